/*
 * The map in other languages: loaded as a file of their own under the strict content policy, worded throughout, with
 * long words that find room on a phone; and the map on a page that reads from right to left, whose layout follows the
 * page while east stays right.
 */
import assert from "node:assert/strict";
import { nothingSticksOut } from "./room.mjs";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };

/** The languages whose words are longest. */
const LONG = ["de", "fi"];

/** Fails if a message is shown in English because the language has no words for it. */
async function nothingFellBack(visitor) {
  const english = await visitor.page
    .locator("hostwood-map")
    .evaluate((map) => [...map.shadowRoot.querySelectorAll("span[lang=en]")].map((node) => node.textContent));
  assert.deepEqual(english, [], "messages without words in this language");
}

/** The harvest check, with too much in the basket. */
async function harvestIsWorded(visitor) {
  const { page } = visitor;
  const open = page.getByRole("button", { name: visitor.say("ui.harvest"), exact: true });
  await open.filter({ visible: true }).first().click();
  const dialog = page.getByRole("dialog", { name: visitor.say("ui.harvest.title") });
  await dialog.getByLabel(visitor.say("ui.basket.kind"), { exact: true }).fill("Boletus edulis");
  await dialog.getByLabel(visitor.say("ui.basket.amount"), { exact: true }).fill("30");
  await dialog.locator(".fill[data-level=over]").first().waitFor();
  await visitor.saysNothingRaw(dialog);
  await nothingSticksOut(visitor, "harvest");
  await visitor.isAccessible("harvest");
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
}

for (const language of LONG) {
  visit(`the demo on a phone in \`${language}\``, { size: NARROW, touch: true }, async (visitor) => {
    await visitor.readsIn(language);
    await visitor.openDemo({ path: `/?lang=${language}` });
    const frame = visitor.page.locator("hostwood-map .frame");
    assert.equal(await frame.getAttribute("lang"), language);
    const files = visitor.askedFor.filter((path) => /\/hostwood-[a-z]{2}-[A-Z0-9]{8}\.js$/.test(path));
    assert.equal(files.length, 1, `one language is loaded, not ${files.join(" ")}`);
    await visitor.drawn();
    await nothingSticksOut(visitor, "map");
    await visitor.isAccessible("map");
    await visitor.page.locator("hostwood-map .fold").click();
    await nothingSticksOut(visitor, "choices");
    await visitor.isAccessible("choices");
    await harvestIsWorded(visitor);
    await visitor.page.locator("hostwood-map .fold").click();
    await visitor.tapAStand();
    await visitor.saysNothingRaw(visitor.sheet);
    await nothingFellBack(visitor);
    await nothingSticksOut(visitor, "sheet");
    await visitor.isAccessible("sheet");
    await visitor.closeSheet();
    await visitor.openList();
    await nothingSticksOut(visitor, "list");
    await visitor.isAccessible("list");
  });

  visit(`the demo on a desktop in \`${language}\``, { size: WIDE }, async (visitor) => {
    await visitor.readsIn(language);
    await visitor.openDemo({ path: `/?lang=${language}` });
    await visitor.drawn();
    await nothingSticksOut(visitor, "map");
    await visitor.tapAStand();
    await visitor.openAll(visitor.sheet);
    await nothingSticksOut(visitor, "sheet");
    await visitor.closeSheet();
    await visitor.openList();
    await nothingSticksOut(visitor, "list");
    await visitor.screenshot("list");
  });
}

visit("the demo's map changes its language when another is chosen", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openDemo({ path: "/?lang=xx" });
  const choice = page.getByLabel("Language of the map");
  assert.equal(await choice.inputValue(), "en");
  assert.equal(await choice.getByRole("option").count(), 8);
  for (const language of ["pl", "fr", "en", "cs", "it", "es"]) {
    await visitor.readsIn(language);
    await choice.selectOption(language);
    await visitor.map.waitFor();
    assert.equal(new URL(page.url()).searchParams.get("lang"), language);
  }
  await visitor.drawn();
  await visitor.tapAStand();
  await visitor.openAll(visitor.sheet);
  await nothingFellBack(visitor);
  // The chosen stand stays open while its sheet is worded anew.
  const lastWord = async () =>
    (await visitor.read(visitor.sheet.getByRole("heading", { level: 2 }))).split(" ").at(-1);
  const name = await lastWord();
  await visitor.readsIn("it");
  await choice.selectOption("it");
  await visitor.opened();
  assert.equal(await lastWord(), name);
  await visitor.screenshot("sheet");
});

visit(
  "English stands in where the words of a language do not load",
  { complaints: [/404/] },
  async (visitor) => {
    await visitor.replace("**/hostwood/hostwood-fi-*.js", { status: 404 });
    await visitor.openMap({ ...CODES, lang: "fi" });
    await visitor.ready();
    assert.equal(await visitor.page.locator("hostwood-map .frame").getAttribute("lang"), "en");
    await visitor.banner(say("ui.rules.none.title"));
  },
);

for (const [screen, size] of [
  ["desktop", WIDE],
  ["phone", NARROW],
]) {
  const touch = size === NARROW;

  visit(`a page that reads from right to left, on a ${screen}`, { size, touch }, async (visitor) => {
    const { page, sheet } = visitor;
    await visitor.openDemo();
    await visitor.drawn();
    await visitor.tapAStand();
    const leftToRight = await visitor.read(await visitor.opened());
    await visitor.readsRightToLeft();
    await visitor.openDemo();
    await visitor.drawn();
    await nothingSticksOut(visitor, "map");
    await visitor.isAccessible("map");
    const move = page.getByRole("button", { name: say("ui.map.move"), exact: true });
    await move.click();
    const west = await page.getByRole("button", { name: say("ui.map.west"), exact: true }).boundingBox();
    const east = await page.getByRole("button", { name: say("ui.map.east"), exact: true }).boundingBox();
    assert.ok(west.x < east.x, "the button to the east stands west of the one to the west");
    await move.click();
    await visitor.tapAStand();
    const heading = await visitor.opened();
    assert.equal(await visitor.read(heading), leftToRight, "another stand than left to right");
    await visitor.openAll(sheet);
    await nothingSticksOut(visitor, "sheet");
    await visitor.isAccessible("sheet");
    const close = await sheet.getByRole("button", { name: say("ui.sheet.close") }).boundingBox();
    const box = await sheet.boundingBox();
    assert.ok(
      close.x + close.width < box.x + box.width / 2,
      "the button that closes the sheet stands at the line's beginning",
    );
    const begins = await sheet.locator(".head").evaluate((node) => {
      const style = getComputedStyle(node);
      return node.getBoundingClientRect().left + Number.parseFloat(style.paddingLeft);
    });
    assert.ok(begins >= close.x + close.width, "the sheet's name runs under the button that closes it");
    if (!touch) {
      const map = await visitor.map.boundingBox();
      assert.ok(box.x + box.width <= map.x + 1, "the sheet does not stand at the line's end");
    }
    await visitor.closeSheet();
    await visitor.openList();
    await nothingSticksOut(visitor, "list");
    await visitor.isAccessible("list");
    const [number, word] = await page.locator("hostwood-map .stands caption").evaluate((caption) => {
      const letters = document.createRange();
      const text = document.createTreeWalker(caption, NodeFilter.SHOW_TEXT).nextNode();
      return [0, text.length - 1].map((at) => {
        letters.setStart(text, at);
        letters.setEnd(text, at + 1);
        return letters.getBoundingClientRect().left;
      });
    });
    assert.ok(number < word, "English words do not read from left to right");
  });
}
