/*
 * The element as a page's author has it: set up late, loaded twice, loaded when it is seen or asked for, given values
 * that it cannot use, with slots of the page's own, and over the whole screen.
 */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const CODES = {
  stands: "codes/stands.geojson",
  crosswalk: "codes/crosswalk.json",
  day: SEPTEMBER,
};
const SCRIPT = "/hostwood/hostwood.js";

/** A page without the element's script; what stands in its main part. */
async function openBare(visitor) {
  await visitor.replace("**/hostwood/hostwood.js", { status: 404 });
  await visitor.goTo("/fixtures/empty.html");
  await visitor.page.context().unroute("**/hostwood/hostwood.js");
}

/** Loads the element's script, once more where it is there already. */
function load(visitor, again = "") {
  return visitor.page.evaluate((address) => import(address).then(() => true), `${SCRIPT}${again}`);
}

/** What the element has sent so far, by the events' names. */
function listen(visitor) {
  return visitor.page.evaluate(() => {
    window.heard = [];
    for (const name of [
      "ready",
      "visit",
      "stand",
      "findings",
      "error",
      "warning",
      "progress",
      "fullscreen",
    ]) {
      document.addEventListener(`hostwood-${name}`, ({ type, detail, composed }) => {
        window.heard.push({ type, detail, composed });
      });
    }
  });
}

const heard = (visitor, name) =>
  visitor.page.evaluate((type) => window.heard.filter((one) => one.type === type), `hostwood-${name}`);

visit(
  "what was set before the element was there counts, and what the author wrote on it stays",
  { complaints: [/404/] },
  async (visitor) => {
    const { page } = visitor;
    await openBare(visitor);
    await listen(visitor);
    const before = await page.evaluate(() => ({
      globals: Object.keys(window).sort(),
      head: document.head.childElementCount,
      history: history.length,
    }));
    await page.evaluate((given) => {
      const map = document.createElement("hostwood-map");
      Object.assign(map, given);
      map.role = "presentation";
      map.className = "wide";
      map.dir = "ltr";
      map.tabIndex = 0;
      document.querySelector("main").append(map);
    }, CODES);
    assert.equal(await load(visitor), true);
    await visitor.ready();
    const map = page.locator("hostwood-map");
    assert.deepEqual(
      await map.evaluate((node) =>
        Object.fromEntries([...node.attributes].map(({ name, value }) => [name, value])),
      ),
      {
        ...CODES,
        role: "presentation",
        class: "wide",
        dir: "ltr",
        tabindex: "0",
      },
    );
    assert.equal(await map.evaluate((node) => node.ready), true);
    const [ready] = await heard(visitor, "ready");
    assert.deepEqual(ready, {
      type: "hostwood-ready",
      detail: { stands: 5, day: SEPTEMBER },
      composed: true,
    });
    assert.ok((await heard(visitor, "progress")).length > 0, "nothing was told of the progress");

    // A second copy of the script leaves everything as it is.
    const warnings = [];
    page.on("console", (message) => {
      if (message.type() === "warning") warnings.push(message.text());
    });
    assert.equal(await load(visitor, "?copy"), true);
    assert.deepEqual(
      warnings.filter((text) => text.includes("defined already")),
      ["hostwood: `hostwood-map` is defined already; this second copy stays out of its way"],
    );
    await visitor.openList();
    assert.equal((await visitor.tableRows()).length, 5);

    // What the page sets itself is not told to it; what the visitor chooses is.
    await map.evaluate((node) => {
      node.stand = "7002";
    });
    await visitor.opened();
    assert.deepEqual(await heard(visitor, "stand"), []);
    await visitor.closeSheet();
    assert.deepEqual(
      (await heard(visitor, "stand")).map(({ detail }) => detail.id),
      [null],
    );

    const after = await page.evaluate(() => ({
      globals: Object.keys(window).sort(),
      head: document.head.childElementCount,
      history: history.length,
    }));
    assert.deepEqual(after, before, "the page around the element was changed");
  },
);

visit("values that cannot be used are told, and the rest works", {}, async (visitor) => {
  await visitor.goTo("/fixtures/empty.html");
  await listen(visitor);
  await visitor.addMap({
    ...CODES,
    day: "12.9.2026",
    time: "half past seven",
    loading: "soon",
    lang: "german!",
    basemap: "tiles/only.png",
    context: "http://[broken",
    "heading-level": "7",
    "max-bytes": "1 GB",
    "max-stands": "0",
  });
  await visitor.ready();
  const warnings = await heard(visitor, "warning");
  assert.deepEqual(warnings.map(({ detail }) => detail.message).sort(), [
    "`basemap` is `tiles/only.png`, expected an address with `{z}`, `{x}` and `{y}` in it; no base map is drawn.",
    "`context` is `http://[broken`, expected an address such as `stands.geojson`; it is left out.",
    "`day` is `12.9.2026`, expected a day such as `2026-09-12`; today's date counts.",
    "`heading-level` is `7`, expected a number from 1 to 5; headings begin at level 2.",
    "`lang` is `german!`, expected a language tag such as `en` or `de-AT`; the next best is used.",
    "`loading` is `soon`, expected one of `eager`, `lazy`, `click`; the map loads at once.",
    "`max-bytes` is `1 GB`, expected a whole number from 1 to 4294967296; the usual limit counts.",
    "`max-stands` is `0`, expected a whole number from 1 to 4000000; the usual limit counts.",
    "`time` is `half past seven`, expected a time such as `07:30`; the visit counts as one without a time.",
  ]);
  // Odd values of every attribute, and none of them throws.
  const odd = ["", " ", "null", "\u0000", "javascript:alert(1)", "{z}", "9".repeat(5000), "../..", "–"];
  await visitor.page.locator("hostwood-map").evaluate((map, values) => {
    const names = map.constructor.observedAttributes.filter((name) => name !== "stands");
    for (const name of names) for (const value of values) map.setAttribute(name, value);
    for (const name of names) map.removeAttribute(name);
  }, odd);
  await visitor.change({ day: SEPTEMBER, crosswalk: CODES.crosswalk });
  await visitor.until(async () => {
    const last = (await heard(visitor, "visit")).at(-1);
    return last?.detail.day === SEPTEMBER;
  }, "the day was not taken after odd values");
});

visit("a lazy map waits until it is near, a map on request until it is asked for", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/fixtures/empty.html");
  await page.evaluate(() => {
    document.querySelector("main").style.paddingBlockEnd = "400vh";
  });
  const before = visitor.askedFor.length;
  await visitor.addMap({ ...CODES, loading: "click" });
  const map = page.locator("hostwood-map");
  await map.evaluate((node) => {
    node.textContent = "The data stand here, too.";
  });
  const asked = map.getByRole("button", { name: say("ui.show_map") });
  await asked.waitFor();
  assert.ok(await map.getByText("The data stand here, too.").isVisible());
  await visitor.isAccessible("asked for");
  assert.equal(visitor.askedFor.length, before, "something was loaded before the map was asked for");
  await asked.click();
  await visitor.ready();
  const focused = await map.evaluate((node) => node.shadowRoot.activeElement?.getAttribute("part"));
  assert.equal(focused, "frame", "the focus went with the button");
  // What the first map still asks for must not count for the second.
  await visitor.drawn();
  await map.evaluate((node) => node.remove());
  await visitor.until(() => page.workers().length === 0, "the worker lives on");

  await page.evaluate(() => {
    document.querySelector("h1").style.marginBlockEnd = "300vh";
  });
  const far = visitor.askedFor.length;
  await visitor.addMap({ ...CODES, loading: "lazy" });
  await page.evaluate(() => new Promise((done) => setTimeout(done, 600)));
  assert.equal(visitor.askedFor.length, far, "a map far away was loaded");
  assert.equal(await map.evaluate((node) => node.ready), false);
  await map.evaluate((node) => {
    node.scrollIntoView();
  });
  await visitor.until(() => map.evaluate((node) => node.ready), "the map was not loaded when it was near");
});

visit("the page's own words stand in the slots", {}, async (visitor) => {
  const { page } = visitor;
  const { slots } = JSON.parse(
    await readFile(new URL("../../www/element/surface.json", import.meta.url), "utf8"),
  );
  const named = slots.map(({ name }) => name).filter((name) => name !== "");
  const fill = async (attributes) => {
    await visitor.openMap({ ...attributes });
    await page.locator("hostwood-map").evaluate((map, names) => {
      for (const name of names) {
        const note = document.createElement("p");
        note.slot = name;
        note.textContent = `our ${name}`;
        map.append(note);
      }
    }, named);
  };
  const seen = async () => {
    const shown = [];
    for (const name of named) {
      if (await page.getByText(`our ${name}`, { exact: true }).isVisible()) shown.push(name);
    }
    return shown.sort();
  };
  await fill(CODES);
  await visitor.ready();
  await visitor.drawn();
  assert.deepEqual(await seen(), ["attribution", "footer", "legend-note", "notice"]);
  await visitor.isAccessible("slots");
  await fill({ stands: "broken/no-stands.geojson" });
  await page.getByText(say("ui.empty")).waitFor();
  assert.ok((await seen()).includes("empty"));
  await fill({ stands: "broken/web-page.geojson" });
  await page.getByRole("alert").waitFor();
  assert.ok((await seen()).includes("error"));
});

visit("worker and engine are had from another folder", {}, async (visitor) => {
  const { page } = visitor;
  await page.context().route("**/elsewhere/**", async (route) => {
    const address = route.request().url().replace("/elsewhere/", "/hostwood/");
    await route.fulfill({ response: await route.fetch({ url: address }) });
  });
  await visitor.openMap({ ...CODES, "asset-base": "/elsewhere/" });
  await visitor.ready();
  const taken = visitor.askedFor.filter((path) => path.startsWith("/elsewhere/"));
  assert.deepEqual([...new Set(taken)].sort(), [
    "/elsewhere/hostwood-worker.js",
    "/elsewhere/hostwood_engine.js",
    "/elsewhere/hostwood_engine_bg.wasm",
  ]);
  assert.ok(!visitor.askedFor.includes("/hostwood/hostwood-worker.js"));
});

for (const file of ["hostwood-worker.js", "hostwood_engine.js", "hostwood_engine_bg.wasm"]) {
  visit(`an altered ${file} does not run`, {}, async (visitor) => {
    const { page } = visitor;
    await page.context().route(`**/hostwood/${file}`, async (route) => {
      const response = await route.fetch();
      const body = await response.body();
      // One letter of a comment or of a name, so that the file itself would still run.
      await route.fulfill({
        response,
        body: Buffer.concat([body, Buffer.from(file.endsWith(".js") ? "\n//" : [0, 1, 0])]),
      });
    });
    await visitor.goTo("/fixtures/empty.html");
    await listen(visitor);
    await visitor.addMap(CODES);
    const alert = page.getByRole("alert").filter({ hasText: say("ui.unable.title") });
    await alert.waitFor();
    assert.match(
      await visitor.read(alert),
      new RegExp(`${file.replaceAll(".", "\\.")} is not the file that belongs to this version`),
    );
    const [error] = await heard(visitor, "error");
    assert.equal(error.detail.code, "altered");
    assert.equal((await heard(visitor, "ready")).length, 0);
  });
}

visit("the map fills the screen and comes back, and the focus stays", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/fixtures/empty.html");
  await listen(visitor);
  await visitor.addMap(CODES);
  await visitor.ready();
  const map = page.locator("hostwood-map");
  const focusName = () => map.evaluate((node) => node.shadowRoot.activeElement?.ariaLabel);
  const covers = () =>
    map.evaluate((node) => {
      const { x, y, width, height } = node.getBoundingClientRect();
      return [x, y, Math.round(width), Math.round(height)];
    });
  const screen = [0, 0, WIDE.width, WIDE.height];
  const enter = page.getByRole("button", { name: say("ui.full.enter") });
  const leave = page.getByRole("button", { name: say("ui.full.leave") });

  await enter.click();
  await leave.waitFor();
  assert.equal(await page.evaluate(() => document.fullscreenElement?.localName), "hostwood-map");
  await visitor.until(async () => String(await covers()) === String(screen), "the screen was not filled");
  assert.equal(await focusName(), say("ui.full.leave"));
  await visitor.said(new RegExp(say("ui.full.on").slice(0, 20)));
  await visitor.isAccessible("full screen");
  await leave.click();
  await enter.waitFor();
  assert.equal(await page.evaluate(() => document.fullscreenElement), null);
  assert.equal(await focusName(), say("ui.full.enter"));

  // Where the browser gives no full screen the map is laid over the page.
  await page.evaluate(() => {
    Object.defineProperty(document, "fullscreenEnabled", { value: false });
  });
  await enter.click();
  await leave.waitFor();
  assert.deepEqual(await covers(), screen);
  await map.evaluate((node) => {
    node.stand = "1";
  });
  await page.keyboard.press("Escape");
  await enter.waitFor();
  assert.equal(await focusName(), say("ui.full.enter"));
  assert.notDeepEqual(await covers(), screen);
  // The overlay ends when the focus goes on to the page behind it.
  await page.evaluate(() => {
    const link = document.createElement("a");
    link.href = "#after";
    link.textContent = "after the map";
    document.querySelector("main").append(link);
  });
  await enter.click();
  await leave.waitFor();
  await page.getByRole("link", { name: "after the map" }).focus();
  await enter.waitFor();
  assert.deepEqual(
    (await heard(visitor, "fullscreen")).map(({ detail }) => detail.full),
    [true, false, true, false, true, false],
  );
});
