/*
 * Every page of the site: it is reached by its link, says that the region is invented, is accessible, and does not
 * scroll sideways on the narrowest screen that WCAG 2.2 criterion 1.4.10 asks for.
 */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { NARROW, WIDE, visit } from "./visit.mjs";

const PAGES = JSON.parse(await readFile(new URL("../../www/site/pages.json", import.meta.url), "utf8"));

const LOOKS = [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
];

for (const { file, link } of PAGES) {
  for (const [look, options] of LOOKS) {
    visit(`page ${file}: ${look}`, options, async (visitor) => {
      const { page } = visitor;
      await visitor.goTo("/");
      const links = page.getByRole("navigation", { name: "Pages" }).getByRole("link");
      assert.equal(await links.count(), PAGES.length);
      await links.filter({ hasText: link }).click();
      const here = page.locator("nav [aria-current=page]");
      assert.equal(await visitor.read(here), link);
      assert.equal(await page.getByRole("heading", { level: 1 }).count(), 1);
      assert.match(await visitor.read(page.getByRole("contentinfo")), /invented/);
      if ((await page.locator("hostwood-map").count()) > 0) await visitor.ready();
      await visitor.isAccessible("page");
    });
  }

  visit(`page ${file} at 320 pixels`, { size: { width: 320, height: 640 } }, async (visitor) => {
    await visitor.goTo(file);
    const wider = await visitor.page.evaluate(() => {
      const { scrollWidth, clientWidth } = document.scrollingElement;
      return scrollWidth - clientWidth;
    });
    assert.equal(wider, 0, `${file} scrolls sideways`);
  });
}
