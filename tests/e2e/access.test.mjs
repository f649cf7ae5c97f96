/*
 * What axe finds in each state the element can be in, and whether everything has its room: at 320 pixels (WCAG 2.2,
 * criterion 1.4.10), at twice the size (1.4.4), with wider spacing (1.4.12), under a finger (2.5.8).
 */
import assert from "node:assert/strict";
import { nothingIsTooSmall, nothingSticksOut } from "./room.mjs";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const LOOKS = [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
  ["dark phone", { size: NARROW, touch: true, scheme: "dark" }],
  ["forced colours", { size: WIDE, forcedColors: "active" }],
];

for (const [look, options] of LOOKS) {
  visit(`map, sheet and list are accessible: ${look}`, options, async (visitor) => {
    await visitor.openDemo();
    await visitor.drawn();
    await visitor.isAccessible("map");
    await visitor.tapAStand();
    await visitor.openAll(visitor.sheet);
    await visitor.isAccessible("sheet");
    await visitor.closeSheet();
    await visitor.openList();
    await visitor.isAccessible("list");
    await visitor.rows.first().getByRole("button").click();
    await visitor.opened();
    await visitor.isAccessible("list and sheet");
    if (options.forcedColors === undefined) return;
    const chosen = visitor.page.locator("hostwood-map .stands tr[aria-current]");
    const line = await chosen.evaluate((row) => getComputedStyle(row).outlineStyle);
    assert.equal(line, "solid", "nothing shows which row the sheet is about");
  });

  visit(`what can go wrong is accessible: ${look}`, options, async (visitor) => {
    await visitor.openMap({ stands: "broken/web-page.geojson", day: SEPTEMBER });
    await visitor.page.getByRole("alert").waitFor();
    await visitor.isAccessible("unreadable map");
    await visitor.change({ stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json" });
    await visitor.ready();
    await visitor.banner(say("ui.rules.none.title"));
    await visitor.openAll(visitor.page.locator("hostwood-map"));
    await visitor.isAccessible("no rule book, findings open");
    await visitor.change({ rules: "rules/trailing-comma.rules.json" });
    await visitor.banner(say("ui.rules.unreadable.text"));
    await visitor.openAll(visitor.page.locator("hostwood-map"));
    await visitor.isAccessible("unreadable rule book");
  });
}

visit("who is collecting is accessible", {}, async (visitor) => {
  await visitor.openDemo();
  await visitor.page.getByRole("button", { name: say("ui.who") }).click();
  await visitor.isAccessible("questions");
});

visit("nothing is cut off at 320 pixels", { size: { width: 320, height: 640 } }, async (visitor) => {
  await visitor.openDemo();
  await visitor.drawn();
  const overflow = () =>
    visitor.page.evaluate(() => {
      const { scrollWidth, clientWidth } = document.scrollingElement;
      return scrollWidth - clientWidth;
    });
  assert.equal(await overflow(), 0, "the map scrolls sideways");
  await visitor.openList();
  assert.equal(await overflow(), 0, "the list scrolls sideways");
  await visitor.isAccessible("list");
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  assert.equal(await overflow(), 0, "the sheet scrolls sideways");
  await visitor.isAccessible("list under a sheet at half height");
  await visitor.sheet.getByRole("button", { name: say("ui.sheet.taller") }).click();
  await visitor.isAccessible("sheet");
});

/** The map, its sheet and its list, one after the other. */
async function throughTheStates(visitor, look) {
  await visitor.openDemo();
  await visitor.drawn();
  await look("map");
  if (await visitor.page.locator("hostwood-map .fold").isVisible()) {
    await visitor.page.locator("hostwood-map .fold").click();
    await look("choices");
    await visitor.page.locator("hostwood-map .fold").click();
  }
  await visitor.openList();
  await look("list");
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  await visitor.openAll(visitor.sheet);
  await look("sheet");
}

// 1280 by 800 pixels at twice the size are 640 by 400; 1280 by 1024 at four times the size are 320 by 256.
for (const [zoom, size] of [
  ["twice", { width: 640, height: 400 }],
  ["four times", { width: 320, height: 256 }],
]) {
  visit(`nothing is lost at ${zoom} the size`, { size }, async (visitor) => {
    await throughTheStates(visitor, (state) => nothingSticksOut(visitor, state));
    await visitor.isAccessible("sheet");
  });
}

visit(
  "nothing is lost with the spacing that a reader sets",
  { size: NARROW, touch: true },
  async (visitor) => {
    // The values of criterion 1.4.12.
    const spacing = `* {
    line-height: 1.5 !important;
    letter-spacing: 0.12em !important;
    word-spacing: 0.16em !important;
  }
  p { margin-block-end: 2em !important; }`;
    await throughTheStates(visitor, async (state) => {
      await visitor.page.locator("hostwood-map").evaluate((map, text) => {
        const sheet = new CSSStyleSheet();
        sheet.replaceSync(text);
        map.shadowRoot.adoptedStyleSheets = [...map.shadowRoot.adoptedStyleSheets.slice(0, 1), sheet];
      }, spacing);
      await nothingSticksOut(visitor, state);
    });
  },
);

for (const [pointer, least, options] of [
  ["a mouse", 24, { size: WIDE }],
  ["a finger", 44, { size: NARROW, touch: true }],
]) {
  visit(`every control can be met with ${pointer}`, options, async (visitor) => {
    await throughTheStates(visitor, (state) => nothingIsTooSmall(visitor, least, state));
  });
}
