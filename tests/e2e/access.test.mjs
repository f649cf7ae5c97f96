/*
 * What axe finds in each state the element can be in, and whether the page can be used at 320 pixels, the width that
 * WCAG 2.2 criterion 1.4.10 asks for.
 */
import assert from "node:assert/strict";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const LOOKS = [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
  ["dark phone", { size: NARROW, touch: true, scheme: "dark" }],
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
