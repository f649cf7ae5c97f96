/*
 * The main job in a second browser engine: Firefox as its makers ship it. The other visits are made in Chromium; these
 * hold what differs between engines: drawing in the worker, pointer and finger, dialogs, downloads, the content policy
 * with Trusted Types, frames. Where the machine has no Firefox they are left out, and said to be.
 */
import assert from "node:assert/strict";
import { copyFile } from "node:fs/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { firefoxIsHere } from "./browsers.mjs";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const scratch = process.env.HOSTWOOD_SCRATCH;

/** A visit in Firefox. */
function inFirefox(name, options, steps) {
  if (firefoxIsHere) visit(`in Firefox ${name}`, { browser: "firefox", ...options }, steps);
}

if (!firefoxIsHere) console.error("the visits in Firefox are left out: this machine has no Firefox");

for (const [screen, size] of [
  ["desktop", WIDE],
  ["phone", NARROW],
]) {
  const touch = size === NARROW;

  inFirefox(`the map is shaded and a stand is pressed on a ${screen}`, { size, touch }, async (visitor) => {
    await visitor.openDemo();
    await visitor.drawn();
    assert.match(await visitor.page.evaluate(() => navigator.userAgent), /Firefox/);
    assert.equal(await visitor.page.evaluate(() => matchMedia("(pointer: coarse)").matches), touch);
    await visitor.screenshot("map");
    await visitor.tapAStand();
    assert.match(await visitor.read(visitor.sheet), /\d/, "the sheet holds no figure");
    await visitor.saysNothingRaw(visitor.sheet);
    await visitor.screenshot("sheet");
    await visitor.closeSheet();
  });

  inFirefox(
    `a visit is planned, checked and taken along on a ${screen}`,
    { size, touch },
    async (visitor) => {
      const { page, sheet } = visitor;
      await visitor.openDemo();
      await visitor.drawn();

      await fold(page, "open");
      const legend = page.locator("hostwood-map .legend").first();
      const before = await visitor.read(legend);
      await page.getByLabel(say("ui.wish"), { exact: true }).selectOption("boletus_edulis");
      await visitor.until(async () => (await visitor.read(legend)) !== before, "the legend knows of no wish");
      await visitor.drawn();

      await visitor.openList();
      const onSaturday = await visitor.filter("ui.list.answer", "closed");
      await visitor.chooseDay("2026-09-15");
      await visitor.counted((count) => count > onSaturday);
      await visitor.chooseDay(SEPTEMBER);
      await visitor.counted((count) => count === onSaturday);

      await visitor.filter("ui.list.answer", "limits");
      await fold(page, "shut");
      const chosen = visitor.rows.first();
      const row = (await visitor.tableRows())[0];
      await chosen.getByRole("button").click();
      const name = await visitor.read(await visitor.opened());
      assert.ok(row.stand.length > 0 && name.length > 0);
      const verdict = await visitor.read(sheet.locator(".verdict").first());

      const [download] = await Promise.all([
        page.waitForEvent("download"),
        sheet.getByRole("button", { name: say("ui.take.visit_sheet"), exact: true }).click(),
      ]);
      const kept = join(scratch, `firefox-${screen}.html`);
      await copyFile(await download.path(), kept);
      const paper = await page.context().newPage();
      await paper.goto(pathToFileURL(kept).href);
      const text = await visitor.read(paper.locator("body"));
      assert.ok(text.toLowerCase().includes(name.toLowerCase()), `${name} is not on the sheet`);
      assert.ok(text.includes(verdict), `the verdict is not on the sheet: ${verdict}`);
      assert.ok(
        await paper
          .locator("img")
          .first()
          .evaluate((picture) => picture.naturalWidth > 100),
      );
      await paper.close();

      await openHarvest(visitor);
      const dialog = page.getByRole("dialog", { name: say("ui.harvest.title") });
      const entry = dialog.getByRole("group", { name: say("ui.basket.entry", { n: 1 }), exact: true });
      await entry.getByLabel(say("ui.basket.kind"), { exact: true }).fill("Boletus edulis");
      await entry.getByLabel(say("ui.basket.amount"), { exact: true }).fill("2.5");
      await dialog.locator(".verdict[data-answer=over]").waitFor();
      await visitor.screenshot("harvest");
    },
  );
}

inFirefox("the keyboard alone reaches a stand and comes back", {}, async (visitor) => {
  const { page, map } = visitor;
  await visitor.openDemo();
  await visitor.drawn();
  await map.focus();
  await page.keyboard.press("n");
  await visitor.said(new RegExp(say("ui.map.enter")));
  await page.keyboard.press("Enter");
  const head = await visitor.opened();
  const hasFocus = (locator) => locator.evaluate((node) => node.getRootNode().activeElement === node);
  assert.ok(await hasFocus(head), "the focus is not on the sheet's head");
  await page.keyboard.press("Escape");
  await visitor.closed();
  assert.ok(await hasFocus(map), "the focus did not come back");
});

inFirefox(
  "the site's policy with Trusted Types holds",
  { complaints: [/innerHTML|Trusted|require-trusted-types-for/] },
  async (visitor) => {
    await visitor.goTo("/fixtures/empty.html");
    const refused = await visitor.page.evaluate(() => {
      try {
        Reflect.set(document.createElement("div"), "innerHTML", "<b>text</b>");
        return false;
      } catch (error) {
        return error instanceof TypeError;
      }
    });
    assert.ok(refused, "the page may make markup out of text");
    // Under this very policy the element runs, and breaks it nowhere: each visit is held to that when it ends.
    await visitor.openMap({
      stands: "codes/stands.geojson",
      crosswalk: "codes/crosswalk.json",
      day: SEPTEMBER,
    });
    await visitor.ready();
    await visitor.drawn();
  },
);

inFirefox("a framed map tells the page around it the height it needs", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/fixtures/empty.html");
  const address = new URL(
    `/hostwood/iframe.html?stands=/fixtures/codes/stands.geojson&crosswalk=/fixtures/codes/crosswalk.json&day=${SEPTEMBER}`,
    page.url(),
  ).href;
  const body = `<!doctype html><html lang="en"><title>Around</title><h1>Around</h1>
<iframe data-hostwood title="Stand map" width="800" height="300" src="${address}"></iframe>
<script type="module" src="/hostwood/iframe-height.js"></script>`;
  await page.route("**/around.html", (route) => route.fulfill({ contentType: "text/html", body }));
  await visitor.goTo("/around.html");
  await page
    .frameLocator("iframe")
    .getByRole("button", { name: say("ui.list"), exact: true })
    .waitFor();
  const height = () => page.locator("iframe").evaluate((node) => node.getBoundingClientRect().height);
  await visitor.until(async () => (await height()) >= 570, "the frame kept its height");
});

/** Opens or shuts the fold that a narrow screen has the choices behind. */
async function fold(page, wanted) {
  const choices = page.locator("hostwood-map .fold");
  if (!(await choices.isVisible())) return;
  const open = (await choices.getAttribute("aria-expanded")) === "true";
  if (open !== (wanted === "open")) await choices.click();
}

async function openHarvest({ page }) {
  await fold(page, "open");
  const buttons = page.getByRole("button", { name: say("ui.harvest"), exact: true });
  await buttons.filter({ visible: true }).first().click();
}
