/*
 * The element on pages of many sorts: without script, twenty times on one page, with headings that fit the page's own,
 * with other limits, put on and taken off again and again, printed.
 */
import assert from "node:assert/strict";
import { openWithoutScript } from "./browsers.mjs";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };
const SOUTH_TYROL = "rules/south-tyrol.rules.json";

visit("without script the page's own words stand there, with links to map and rules", {}, async (visitor) => {
  const page = await openWithoutScript(visitor.browser);
  const context = page.context();
  try {
    // What is watched after each visit is a page with script.
    await visitor.goTo("/fixtures/empty.html");
    await page.goto(new URL("/", visitor.site).href);
    const bare = page.locator("hostwood-map:not(:defined)");
    assert.equal(await bare.count(), 1, "script has run here");
    const links = bare.getByRole("link");
    assert.ok((await links.count()) >= 2, "map and rules are not linked to");
    for (const one of await links.all()) {
      assert.ok(await one.isVisible());
      const address = new URL(await one.getAttribute("href"), page.url()).href;
      const response = await context.request.get(address);
      assert.equal(response.status(), 200, address);
    }
  } finally {
    await context.close();
  }
});

visit("twenty maps on one page keep to themselves", { timeout: 600_000 }, async (visitor) => {
  const { page } = visitor;
  const MANY = 20;
  await visitor.goTo("/fixtures/empty.html");
  await page.evaluate(
    ({ given, rules, many }) => {
      for (let n = 1; n <= many; n += 1) {
        const map = document.createElement("hostwood-map");
        map.id = map.label = `map ${n}`;
        Object.assign(map, given, n % 2 === 0 ? { rules } : {});
        document.querySelector("main").append(map);
      }
    },
    { given: CODES, rules: SOUTH_TYROL, many: MANY },
  );
  const all = page.locator("hostwood-map");
  await visitor.until(
    () => all.evaluateAll((maps, many) => maps.length === many && maps.every((map) => map.ready), MANY),
    "not every map can be used",
  );
  assert.equal(page.workers().length, MANY, "each map has a worker of its own");
  // Only every second one has rules.
  const unruled = await all.evaluateAll(
    (maps, text) => maps.map((map) => map.shadowRoot.querySelector(".notices").textContent.includes(text)),
    say("ui.rules.none.title"),
  );
  assert.deepEqual(
    unruled,
    Array.from({ length: MANY }, (_, at) => at % 2 === 0),
  );
  // A stand that is chosen on one, and a day on another, are nobody else's.
  await page.evaluate(() => {
    document.getElementById("map 3").stand = "7002";
    document.getElementById("map 8").day = "2026-01-15";
  });
  await visitor.until(
    () => all.nth(2).evaluate((map) => map.shadowRoot.querySelector(".sheet [data-section]") !== null),
    "the sheet did not open",
  );
  const chosen = await all.evaluateAll((maps) =>
    maps.map((map) => map.stand).filter((stand) => stand !== null),
  );
  assert.deepEqual(chosen, ["7002"]);
  const days = await all.evaluateAll((maps) =>
    maps.map((map) => map.shadowRoot.querySelector("input[type=date]").value),
  );
  assert.deepEqual(
    days.filter((day) => day !== SEPTEMBER),
    ["2026-01-15"],
  );
  const twice = await all.evaluateAll((maps) => {
    const ids = maps.flatMap((map) =>
      [...map.shadowRoot.querySelectorAll("[id]")].map((one) => `${map.id} ${one.id}`),
    );
    return ids.filter((id, at) => ids.indexOf(id) !== at);
  });
  assert.deepEqual(twice, [], "ids that stand twice in one map");
  await page.evaluate(() => {
    for (const map of document.querySelectorAll("hostwood-map")) map.remove();
  });
  await visitor.until(() => page.workers().length === 0, "workers live on");
});

visit("headings fit the outline of the page", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/fixtures/empty.html");
  await page.evaluate(() => {
    const headings = ["h2", "h3"].map((tag) => document.createElement(tag));
    for (const one of headings) one.textContent = "Our forests";
    document.querySelector("main").append(...headings);
  });
  await visitor.addMap({ ...CODES, stand: "7002", "heading-level": "4" });
  await visitor.ready();
  await visitor.sheet.locator("[data-section]").first().waitFor();
  const line = await page.context().newCDPSession(page);
  // The levels as the browser tells them to assistive technology; the first three headings are the page's own.
  const levels = async () => {
    const { nodes } = await line.send("Accessibility.getFullAXTree");
    const headings = nodes.filter(({ ignored, role }) => !ignored && role?.value === "heading");
    return headings.map(({ properties }) => properties.find(({ name }) => name === "level").value.value);
  };
  const told = await levels();
  assert.deepEqual(told.slice(0, 3), [1, 2, 3]);
  assert.deepEqual([...new Set(told.slice(3))].sort(), [4, 5]);
  await visitor.isAccessible("headings");
  await visitor.change({ "heading-level": "2" });
  await visitor.until(
    async () => String([...new Set((await levels()).slice(3))].sort()) === "2,3",
    "the headings stayed at their level",
  );
});

visit("limits are set without script", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, "max-stands": "3" });
  await visitor.ready();
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 3);
  await visitor.finding(/only the first 3|3 stands/i);
  await visitor.change({ "max-stands": "4000000" });
  await visitor.until(
    async () => (await visitor.rows.count()) === 5,
    "the rest of the map was not read when the limit was raised",
  );
  await visitor.change({ "max-bytes": "100" });
  await page.getByRole("alert").filter({ hasText: "codes/stands.geojson" }).waitFor();
  await visitor.change({ "max-bytes": "4294967296" });
  await visitor.until(
    async () => (await visitor.rows.count()) === 5,
    "the map was not read when more bytes were let in",
  );
});

visit("a map that comes and goes again and again leaves nothing behind", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  const line = await page.context().newCDPSession(page);
  await line.send("Performance.enable");
  const held = async () => {
    await line.send("HeapProfiler.collectGarbage");
    const { metrics } = await line.send("Performance.getMetrics");
    return Object.fromEntries(metrics.map(({ name, value }) => [name, value]));
  };
  const comeAndGo = async (times) => {
    for (let n = 0; n < times; n += 1) {
      await page.evaluate(async () => {
        const map = document.querySelector("hostwood-map");
        const place = map.parentNode;
        map.remove();
        await new Promise((done) => setTimeout(done));
        place.append(map);
        await new Promise((done) => map.addEventListener("hostwood-ready", done, { once: true }));
      });
    }
  };
  await comeAndGo(3);
  const before = await held();
  const TIMES = 12;
  await comeAndGo(TIMES);
  await visitor.until(() => page.workers().length === 1, "workers live on");
  const after = await held();
  const more = after.JSEventListeners - before.JSEventListeners;
  assert.ok(more < TIMES, `${more} listeners more than before`);
  const nodes = after.Nodes - before.Nodes;
  assert.ok(nodes < 40 * TIMES, `${nodes} nodes more than before`);
});

visit("printed, the map is a page with legend and sheet, and nothing to press", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openDemo();
  await visitor.drawn();
  await visitor.openList();
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  await page.getByRole("button", { name: say("ui.map"), exact: true }).click();
  const onScreen = await visitor.read(visitor.sheet);
  await page.emulateMedia({ media: "print" });
  const seen = await page.locator("hostwood-map").evaluate((map) => {
    const inside = (selector) => [...map.shadowRoot.querySelectorAll(selector)];
    const shown = (selector) => inside(selector).some((one) => one.checkVisibility());
    const cut = inside(".frame, .room, .main, .sheet, .sheet *").filter(
      (one) => getComputedStyle(one).overflow !== "visible" && one.scrollHeight > one.clientHeight + 1,
    );
    return {
      press: inside("button, input, select")
        .filter((one) => one.checkVisibility())
        .map((one) => one.textContent),
      legend: shown(".legend .ramp"),
      sheet: shown(".sheet [data-section=danger]"),
      map: shown(".surface canvas"),
      cut: cut.map((one) => one.className),
      ground: getComputedStyle(map).backgroundColor,
    };
  });
  assert.deepEqual(seen, {
    press: [],
    legend: true,
    sheet: true,
    map: true,
    cut: [],
    ground: "rgb(255, 255, 255)",
  });
  const printed = await visitor.read(visitor.sheet);
  for (const key of ["sheet.danger.always", "sheet.before.doubt"]) {
    assert.ok(onScreen.includes(say(key)) && printed.includes(say(key)), key);
  }
  const pdf = await page.pdf({ format: "A4" });
  const pages = [...pdf.toString("latin1").matchAll(/\/Type\s*\/Page\b/g)].length;
  assert.ok(pages >= 2 && pages <= 8, `${pages} pages`);
});

visit("the language is the element's own, else the nearest around it", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/fixtures/empty.html");
  await page.evaluate((given) => {
    const main = document.querySelector("main");
    const section = document.createElement("section");
    section.lang = "fi";
    const host = document.createElement("div");
    host.lang = "it";
    main.append(section, host);
    const root = host.attachShadow({ mode: "open" });
    for (const [place, own] of [
      [main, {}],
      [section, {}],
      [section, { lang: "cs" }],
      [root, {}],
    ]) {
      place.append(Object.assign(document.createElement("hostwood-map"), given, own));
    }
  }, CODES);
  const told = () =>
    page.evaluate(() =>
      [
        document.querySelector("main > hostwood-map"),
        ...document.querySelectorAll("section > hostwood-map"),
        document.querySelector("div").shadowRoot.querySelector("hostwood-map"),
      ].map((map) => map.shadowRoot.querySelector(".frame")?.lang),
    );
  await visitor.until(async () => !(await told()).includes(undefined), "not every map has its words");
  assert.deepEqual(await told(), ["en", "fi", "cs", "it"]);
});

visit("at rest nothing moves and nothing is drawn", { reducedMotion: "no-preference" }, async (visitor) => {
  const { page } = visitor;
  await page.addInitScript(() => {
    window.drawings = 0;
    const ask = window.requestAnimationFrame.bind(window);
    window.requestAnimationFrame = (act) => {
      window.drawings += 1;
      return ask(act);
    };
  });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await visitor.drawn();
  const during = (time) =>
    page.evaluate(async (wait) => {
      const before = window.drawings;
      await new Promise((done) => setTimeout(done, wait));
      return window.drawings - before;
    }, time);
  await visitor.until(async () => (await during(1000)) === 0, "the map goes on drawing");
  const moving = await page
    .locator("hostwood-map")
    .evaluate((map) => map.shadowRoot.getAnimations().filter((one) => one.playState === "running").length);
  assert.equal(moving, 0);
});

visit("the page's styles go before the element's own, and hidden hides it", {}, async (visitor) => {
  await visitor.goTo("/fixtures/empty.html");
  const seen = await visitor.page.evaluate(() => {
    const map = document.createElement("hostwood-map");
    document.querySelector("main").append(map);
    const told = () => {
      const { display, blockSize } = getComputedStyle(map);
      return [display, Number.parseFloat(blockSize)];
    };
    const own = told();
    const sheet = new CSSStyleSheet();
    sheet.replaceSync("hostwood-map { display: grid; block-size: 600px }");
    document.adoptedStyleSheets = [sheet];
    const page = told();
    document.adoptedStyleSheets = [];
    map.hidden = true;
    return { own, page, hidden: told()[0] };
  });
  assert.equal(seen.own[0], "block");
  assert.ok(seen.own[1] >= 384, `a height of ${seen.own[1]}`);
  assert.deepEqual(seen.page, ["grid", 600]);
  assert.equal(seen.hidden, "none");
});
