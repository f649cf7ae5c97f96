/*
 * What a visitor takes along: the visit sheet, opened without any connection and printed; outlines; a link back; a place
 * for a map program; the record of a rare find. Nothing of it leaves the visitor's device, and where the visitor is
 * stands in no file and no address.
 */
import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

/** The most that a visit sheet may weigh, in bytes. */
const HEAVIEST = 300_000;

/** Opens the sheet of the first stand of the list with this answer. */
async function openStand(visitor, answer = "limits") {
  await visitor.openList();
  await visitor.filter("ui.list.answer", answer);
  await visitor.rows.first().getByRole("button").click();
  return visitor.read(await visitor.opened());
}

function offer(visitor, key) {
  return visitor.sheet
    .locator("[data-section=take]")
    .getByRole("button", { name: visitor.say(key), exact: true });
}

/** Does what ends in a file, and gives back the file's name, path and text. */
async function saved(visitor, act) {
  const [download] = await Promise.all([visitor.page.waitForEvent("download"), act()]);
  const path = await download.path();
  return {
    name: download.suggestedFilename(),
    path,
    text: await readFile(path, "utf8"),
  };
}

/**
 * Opens a saved page from the disk, as a visitor does in the woods: without any network. Gives back the page and what it
 * asked for all the same.
 */
async function openOffline(visitor, text) {
  const context = await visitor.page.context().browser().newContext({ offline: true, locale: "en-GB" });
  const page = await context.newPage();
  const asked = [];
  const said = [];
  page.on("request", (request) => {
    if (!request.url().startsWith("data:image/png")) asked.push(request.url());
  });
  page.on("console", (message) => said.push(message.text()));
  page.on("pageerror", (error) => said.push(String(error)));
  const kept = join(process.env.HOSTWOOD_SCRATCH, "visit-sheet.html");
  await writeFile(kept, text);
  const address = pathToFileURL(kept).href;
  await page.goto(address);
  return {
    page,
    context,
    asked: () => asked.filter((one) => one !== address),
    said,
  };
}

/** Pages of a PDF that Chromium wrote. */
async function pagesOf(page) {
  const pdf = await page.pdf({ preferCSSPageSize: true });
  return [...pdf.toString("latin1").matchAll(/\/Type\s*\/Page\b/g)].length;
}

for (const [look, options] of [
  ["light", { size: WIDE }],
  ["dark phone", { size: NARROW, touch: true, scheme: "dark" }],
]) {
  visit(`the visit sheet is one page that needs nothing else: ${look}`, options, async (visitor) => {
    await visitor.openDemo();
    await visitor.drawn();
    const name = await openStand(visitor);
    const verdict = await visitor.read(visitor.sheet.locator(".verdict").first());
    const file = await saved(visitor, () => offer(visitor, "ui.take.visit_sheet").click());
    assert.match(file.name, /^[\p{L}\p{N}-]+\.html$/u);
    assert.ok(file.text.length <= HEAVIEST, `${file.text.length} bytes`);
    assert.doesNotMatch(file.text, /<script|javascript:|\bon\w+=|url\(/i);
    assert.ok(
      file.text.includes("default-src 'none'; style-src 'unsafe-inline'; img-src data:"),
      "no policy",
    );
    await visitor.said(new RegExp(say("ui.take.saved", { file: file.name })));

    const { page, context, asked, said } = await openOffline(visitor, file.text);
    const text = (await page.locator("body").innerText()).replaceAll(/\s+/g, " ");
    assert.ok(text.toLowerCase().includes(name.toLowerCase()), `${name} is not on the sheet`);
    assert.ok(text.includes(verdict), `the verdict is not on the sheet: ${verdict}`);
    for (const key of [
      "visit.no_permission",
      "sheet.danger.always",
      "sheet.danger.first.call",
      "sheet.before.doubt",
      "sheet.law.summary",
      "visit.legend",
    ]) {
      assert.ok(text.includes(say(key)), `${key} is not on the sheet`);
    }
    assert.match(text, /Source: .*\(checked \d/, "no rule names its source and the day it was checked");
    assert.match(text, /Made on \d/);
    const drawn = await page.locator("img").evaluate((image) => image.complete && image.naturalWidth);
    assert.ok(drawn >= 640, `the picture is ${drawn} pixels wide`);
    const deadly = "[data-section=danger] .items-kinds > li[data-tone=deadly]";
    const sheetKinds = await visitor.sheet.locator(deadly).count();
    assert.ok(sheetKinds > 0);
    assert.equal(await page.locator(deadly).count(), sheetKinds);
    assert.deepEqual(asked(), [], "the sheet asked for something");
    assert.deepEqual(said, [], "the sheet complained");
    const pages = await pagesOf(page);
    assert.ok(pages >= 1 && pages <= 2, `${pages} pages of A4`);
    await page.screenshot({
      path: `${process.env.HOSTWOOD_SCREENSHOTS}/visit-sheet-${look.replace(" ", "-")}.png`,
      fullPage: true,
    });
    await context.close();
    if (look === "light") await visitor.isAccessible("saved");
  });
}

visit("the visit sheet speaks the visitor's language and reads as the page does", {}, async (visitor) => {
  await visitor.readsRightToLeft();
  await visitor.readsIn("de");
  await visitor.openDemo({ path: "/?lang=de" });
  await visitor.drawn();
  const name = await openStand(visitor);
  const file = await saved(visitor, () => offer(visitor, "ui.take.visit_sheet").click());
  const { page, context, asked } = await openOffline(visitor, file.text);
  const root = page.locator("html");
  assert.equal(await root.getAttribute("lang"), "de");
  assert.equal(await root.getAttribute("dir"), "rtl");
  const text = (await page.locator("body").innerText()).replaceAll(/\s+/g, " ");
  assert.ok(text.toLowerCase().includes(name.toLowerCase()), `${name} is not on the sheet`);
  for (const key of ["visit.no_permission", "sheet.danger.always", "sheet.before.doubt"]) {
    assert.ok(text.includes(visitor.say(key)), `${key} is not on the sheet`);
  }
  const sideways = await root.evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth);
  assert.equal(sideways, 0, "the sheet scrolls sideways");
  assert.ok((await pagesOf(page)) <= 2);
  assert.deepEqual(asked(), []);
  await context.close();
});

visit("text of a map cannot become markup on the visit sheet", {}, async (visitor) => {
  await visitor.openMap({ stands: "hostile/stands.geojson", day: SEPTEMBER });
  await visitor.ready();
  await visitor.drawn();
  await visitor.openList();
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  const file = await saved(visitor, () => offer(visitor, "ui.take.visit_sheet").click());
  const { page, context, asked } = await openOffline(visitor, file.text);
  assert.ok((await page.title()).startsWith("Visit sheet for"), await page.title());
  assert.equal(await page.locator("script, [onerror], img:not([alt])").count(), 0);
  assert.equal(await page.locator("img").count(), 1);
  assert.ok((await page.locator("h2").innerText()).includes("<img src=x onerror="));
  assert.deepEqual(asked(), []);
  await context.close();
  const gpx = await saved(visitor, () => offer(visitor, "ui.take.gpx").click());
  const [, name] = /<wpt [^>]*>\s*<name>(.*)<\/name>/.exec(gpx.text);
  assert.ok(name.startsWith("&lt;img src=x onerror="), name);
});

visit("a visit of several stands goes onto one sheet and into one file of outlines", {}, async (visitor) => {
  const { sheet } = visitor;
  await visitor.openDemo();
  await visitor.drawn();
  await visitor.openList();
  await visitor.filter("ui.list.answer", "limits");
  const names = [];
  for (const row of [0, 1]) {
    await visitor.rows.nth(row).getByRole("button").click();
    await visitor.until(async () => {
      const name = await visitor.read(await visitor.opened());
      return !names.includes(name);
    }, "the sheet did not change");
    names.push(await visitor.read(await visitor.opened()));
    await offer(visitor, "ui.take.add").click();
    await offer(visitor, "ui.take.remove").waitFor();
  }
  const said = await visitor.read(sheet.locator("[data-section=take]"));
  for (const name of names) assert.ok(said.toLowerCase().includes(name.toLowerCase()), `${name}: ${said}`);
  const gpx = await saved(visitor, () => offer(visitor, "ui.take.gpx").click());
  assert.equal([...gpx.text.matchAll(/<wpt /g)].length, 2);
  assert.ok([...gpx.text.matchAll(/<trk>/g)].length >= 2);
  assert.ok(gpx.text.includes("no permission"));
  const file = await saved(visitor, () => offer(visitor, "ui.take.visit_sheet").click());
  assert.equal([...file.text.matchAll(/<article/g)].length, 2);
  assert.ok(file.text.length <= HEAVIEST, `${file.text.length} bytes`);
});

visit(
  "a link leads back to stand, day, wish and place, and the history stays as it was",
  {},
  async (visitor) => {
    const { page } = visitor;
    await page.addInitScript(() => {
      // Whether a browser can share depends on its system.
      Object.defineProperty(Navigator.prototype, "share", { value: undefined, configurable: true });
    });
    await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
    await visitor.openDemo();
    await visitor.drawn();
    const before = await page.evaluate(() => history.length);
    assert.equal(await page.evaluate(() => location.hash), "", "nobody has chosen anything yet");
    await openStand(visitor);
    const stand = await page.locator("hostwood-map").evaluate((map) => map.stand);
    await visitor.until(
      async () => (await page.evaluate(() => location.hash)) === `#map.stand=${encodeURIComponent(stand)}`,
      "the address does not name the stand",
    );
    await visitor.chooseDay("2026-09-15");
    await page.getByLabel(say("ui.wish"), { exact: true }).selectOption("boletus_edulis");
    await visitor.until(
      async () =>
        /map\.day=2026-09-15&map\.wish=boletus_edulis/.test(await page.evaluate(() => location.hash)),
      "the address does not name day and wish",
    );
    assert.equal(await page.evaluate(() => history.length), before);
    await offer(visitor, "ui.take.copy").click();
    await visitor.said(new RegExp(say("ui.take.copied")));
    const link = await page.evaluate(() => navigator.clipboard.readText());
    assert.match(link, /map\.at=-?\d+(\.\d+)?,-?\d+(\.\d+)?,\d+(\.\d+)?$/);
    await page.goto("about:blank");
    await page.goto(link);
    await visitor.opened();
    assert.equal(await page.locator("hostwood-map").evaluate((map) => map.stand), stand);
    assert.equal(await page.getByLabel(say("ui.day"), { exact: true }).inputValue(), "2026-09-15");
    assert.equal(await page.getByLabel(say("ui.wish"), { exact: true }).inputValue(), "boletus_edulis");
    const geo = await visitor.sheet
      .getByRole("link", { name: say("ui.take.open_place") })
      .getAttribute("href");
    assert.match(geo, /^geo:-?\d+(\.\d+)?,-?\d+(\.\d+)?$/);
  },
);

visit("an address that makes no sense costs nothing", {}, async (visitor) => {
  const warned = [];
  visitor.page.on("console", (message) => {
    if (message.type() === "warning") warned.push(message.text());
  });
  await visitor.openDemo({
    path: "/#map.day=yesterday&map.at=1,2&map.stand=%E0%A4%A",
  });
  await visitor.drawn();
  assert.equal(warned.filter((text) => text.includes("in the address")).length, 3, warned.join("\n"));
  assert.equal(await visitor.page.getByLabel(say("ui.day"), { exact: true }).inputValue(), SEPTEMBER);
});

visit("a rare find becomes a record on the visitor's own device, its place blurred", {}, async (visitor) => {
  const { page } = visitor;
  const context = page.context();
  await context.grantPermissions(["geolocation"]);
  const own = { longitude: 15.816789, latitude: 49.187654 };
  await context.setGeolocation(own);
  await visitor.openDemo();
  await visitor.drawn();
  await openStand(visitor);
  await offer(visitor, "ui.take.find").click();
  const dialog = page.getByRole("dialog", { name: say("ui.find.title") });
  await dialog.waitFor();
  assert.ok((await visitor.read(dialog)).includes(say("ui.find.leave")));
  await visitor.isAccessible("find");
  await dialog.getByRole("button", { name: say("ui.find.save") }).click();
  await dialog.getByText(say("ui.find.name_missing")).waitFor();
  await dialog.getByLabel(say("ui.find.name"), { exact: true }).fill("Hericium coralloides");
  await dialog.getByLabel(say("ui.find.remarks"), { exact: true }).fill("=1+1");
  await dialog.getByLabel(say("ui.find.where"), { exact: true }).selectOption("own");
  assert.ok((await visitor.read(dialog)).includes(say("ui.start.kept")));
  const file = await saved(visitor, () => dialog.getByRole("button", { name: say("ui.find.save") }).click());
  assert.match(file.name, /\.csv$/);
  const [head, row] = file.text.split("\r\n");
  assert.ok(head.startsWith("basisOfRecord,occurrenceStatus,kingdom,scientificName"), head);
  assert.ok(row.startsWith("HumanObservation,present,Fungi,Hericium coralloides"), row);
  assert.ok(row.includes("'=1+1"), row);
  assert.doesNotMatch(file.text, /15\.8167|49\.1876/, file.text);
  assert.ok(!/15\.81|49\.18/.test(page.url()), "where the visitor is stands in the address");
  const stand = await page.locator("hostwood-map").evaluate((map) => map.stand);
  assert.ok(!row.includes(stand), "the record names the stand");
});
