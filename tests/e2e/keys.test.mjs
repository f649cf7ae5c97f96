/*
 * Keyboard and wheel on a page with a map: every stop can be seen and left again, keys act where the focus is, and the
 * page keeps its own scrolling.
 */
import assert from "node:assert/strict";
import { say, visit } from "./visit.mjs";

/** Where the keyboard is within the element, and whether that can be seen; null where it is elsewhere on the page. */
function stop(page) {
  return page.evaluate(() => {
    const inner = document.activeElement?.shadowRoot?.activeElement;
    if (inner === null || inner === undefined) return null;
    // A choice of several lies over its label, which carries the ring; so may the frame around a table.
    const lit = [inner, inner.closest("label"), inner.closest("td, th")].filter((one) => one !== null);
    const seen = lit.some((one) => {
      const { outlineStyle, outlineWidth } = getComputedStyle(one);
      return outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 2;
    });
    const name = inner.ariaLabel ?? inner.textContent.trim().slice(0, 40);
    return { is: `${inner.localName}.${inner.className} ${name}`, seen };
  });
}

/** What the map shows, as one long text that changes with every move. */
function picture(visitor) {
  return visitor.map.evaluate((map) =>
    [...map.querySelectorAll("canvas")].map((canvas) => canvas.toDataURL()).join(" "),
  );
}

/** The picture when tiles have stopped coming. */
async function atRest(visitor) {
  let last = null;
  await visitor.until(async () => {
    const before = last;
    last = await picture(visitor);
    if (last !== before) await visitor.page.waitForTimeout(500);
    return last === before;
  }, "the map does not come to rest");
  return last;
}

/** The page can be scrolled, and the map lies in its middle. */
async function onALongPage(visitor) {
  await visitor.openDemo();
  await visitor.drawn();
  await visitor.page.evaluate(() => {
    document.body.style.paddingBlockEnd = "200vh";
    document.querySelector("hostwood-map").scrollIntoView({ block: "start" });
  });
  return () => visitor.page.evaluate(() => window.scrollY);
}

visit("the keyboard meets every control, sees where it is, and comes out again", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openDemo();
  await visitor.drawn();
  await page.evaluate(() => {
    const before = document.createElement("a");
    before.href = "#before";
    before.textContent = "before the map";
    document.querySelector("hostwood-map").before(before);
    before.focus();
  });
  await page.keyboard.press("Tab");
  const first = await stop(page);
  assert.match(first.is, new RegExp(say("ui.skip")), "the first stop is not the way to the list");
  const stops = [first];
  for (let at = 0; at < 80; at += 1) {
    await page.keyboard.press("Tab");
    const here = await stop(page);
    if (here === null) break;
    stops.push(here);
  }
  assert.ok(
    stops.length > 8 && stops.length < 60,
    `${stops.length} stops: ${stops.map(({ is }) => is).join("; ")}`,
  );
  assert.deepEqual(
    stops.filter(({ seen }) => !seen).map(({ is }) => is),
    [],
    "the focus cannot be seen there",
  );
  await page.getByRole("link", { name: "before the map" }).focus();
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await visitor.rows.first().waitFor();
  assert.equal(
    await visitor.list.evaluate((list) => list.getRootNode().activeElement === list),
    true,
    "the focus did not go to the list",
  );
});

visit(
  "keys act on the map only while it has the focus, and then do not scroll the page",
  {},
  async (visitor) => {
    const { page } = visitor;
    const scrolled = await onALongPage(visitor);
    await visitor.map.focus();
    const hint = page.locator("hostwood-map .hint");
    assert.ok(await hint.isVisible(), "nothing tells of the keys");
    const at = await scrolled();
    for (const key of ["ArrowRight", "ArrowDown", "+"]) {
      const before = await atRest(visitor);
      await page.keyboard.press(key);
      await visitor.until(async () => (await picture(visitor)) !== before, `${key} did nothing`);
    }
    await page.keyboard.press("Space");
    assert.equal(await scrolled(), at, "the page was scrolled by the map's keys");
    // A link of the page's own head takes the focus, wherever it is.
    await page.evaluate(() => document.querySelector("a").focus({ preventScroll: true }));
    await visitor.until(async () => !(await hint.isVisible()), "the hint stays");
    const resting = await atRest(visitor);
    // What a key does on the page is the browser's own affair; the map must only leave it alone.
    await page.evaluate(() => {
      window.left = [];
      window.addEventListener("keydown", (event) => window.left.push([event.key, event.defaultPrevented]));
    });
    for (const key of ["PageDown", "ArrowDown", "+"]) await page.keyboard.press(key);
    assert.ok((await atRest(visitor)) === resting, "the map was moved by keys that were not for it");
    await visitor.map.focus();
    await page.keyboard.press("ArrowDown");
    assert.deepEqual(await page.evaluate(() => window.left), [
      ["PageDown", false],
      ["ArrowDown", false],
      ["+", false],
      ["ArrowDown", true],
    ]);
  },
);

visit("the wheel scrolls the page until the map has the focus", {}, async (visitor) => {
  const { page } = visitor;
  const scrolled = await onALongPage(visitor);
  const box = await visitor.map.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const [at, before] = [await scrolled(), await atRest(visitor)];
  await page.mouse.wheel(0, 200);
  await visitor.until(async () => (await scrolled()) > at, "the page does not scroll over the map");
  assert.ok((await atRest(visitor)) === before, "the map took the page's wheel");
  await page.evaluate(() => {
    document.querySelector("hostwood-map").scrollIntoView({ block: "start" });
  });
  await visitor.map.focus();
  const [then, now] = [await scrolled(), await atRest(visitor)];
  await page.mouse.wheel(0, -200);
  await visitor.until(async () => (await picture(visitor)) !== now, "the wheel does nothing on the map");
  assert.equal(await scrolled(), then, "the page was scrolled, too");
});
