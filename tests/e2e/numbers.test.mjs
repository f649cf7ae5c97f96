/*
 * The way from what a sheet says to the numbers and sources behind it, with the keyboard alone; and from a number of the
 * page on how the shade is worked out to its source.
 */
import assert from "node:assert/strict";
import { say, visit } from "./visit.mjs";

/** So often the Tab key is pressed at most on the way through one sheet. */
const STEPS = 400;

/** Where the keyboard is: what has the focus within the element's shadow root, and what a reader meets there. */
async function focus(page) {
  return page.evaluate(() => {
    let node = document.activeElement;
    while (node?.shadowRoot?.activeElement) node = node.shadowRoot.activeElement;
    const words = node?.innerText ?? "";
    return {
      tag: node?.localName ?? "",
      section: node?.closest("[data-section]")?.dataset.section ?? "",
      open: node?.localName === "summary" && node.parentElement.open,
      text: words.replaceAll(/\s+/g, " ").trim(),
    };
  });
}

/** What stands in the part that the focused summary opens, without what is folded in it. */
async function behind(page) {
  return page.evaluate(() => {
    let node = document.activeElement;
    while (node?.shadowRoot?.activeElement) node = node.shadowRoot.activeElement;
    const body = node.parentElement.querySelector(":scope > .more-body");
    const seen = (one) => one.checkVisibility();
    // As it is written: a style may show it with a capital.
    const text = (one) => one.textContent.replaceAll(/\s+/g, " ").trim();
    return {
      sources: [...body.querySelectorAll(":scope > .source")].filter(seen).map(text),
      terms: [...body.querySelectorAll(":scope > dl > dt")].filter(seen).map(text),
      values: [...body.querySelectorAll(":scope > dl > dd")].filter(seen).map(text),
    };
  });
}

visit("from a reason to its numbers and their sources with the keyboard alone", {}, async (visitor) => {
  const { page, map } = visitor;
  await visitor.openDemo();
  await visitor.drawn();
  await map.focus();
  await page.keyboard.press("n");
  await visitor.said(new RegExp(say("ui.map.enter")));
  await page.keyboard.press("Enter");
  await visitor.opened();
  const reasons = [];
  const numbers = new Map();
  for (let step = 0; step < STEPS; step += 1) {
    await page.keyboard.press("Tab");
    const here = await focus(page);
    if (here.section === "season") break;
    if (here.section !== "fruit" || here.tag !== "summary" || here.open) continue;
    await page.keyboard.press("Enter");
    const { sources, terms, values } = await behind(page);
    if (here.text === say("sheet.numbers")) {
      assert.ok(terms.length > 0, "the numbers open on nothing");
      for (const term of terms) numbers.set(term, values);
    } else if (sources.length > 0) {
      reasons.push({ text: here.text, sources });
    }
  }
  assert.ok(reasons.length >= 3, `only ${reasons.length} reasons lead to a source`);
  for (const { text, sources } of reasons) {
    for (const source of sources) {
      assert.ok(
        source.startsWith(say("ui.source")) && source.length > 15,
        `\`${text}\` leads to \`${source}\``,
      );
    }
  }
  // The curve of age and the types of trees score in every stand of the demo that tells both.
  for (const wanted of ["host.ectomycorrhizal mid", "step good_to"]) {
    assert.ok(numbers.has(wanted), `${wanted} is not among ${[...numbers.keys()].join(", ")}`);
  }
  const backings = ["backing.science", "backing.design", "backing.external"].map((key) => say(key));
  const values = [...numbers.values()].flat();
  const backed = values.filter((value) => backings.some((backing) => value.includes(backing)));
  assert.ok(backed.length >= 10, `only ${backed.length} values say how far they are backed`);
  assert.ok(
    values.some((value) => value.includes("FungalRoot")),
    "no number names the list it is from",
  );
  await visitor.screenshot("opened");
});

visit("from a number of the shade to its source with the keyboard alone", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.goTo("/shade.html");
  for (let step = 0; step < STEPS; step += 1) {
    await page.keyboard.press("Tab");
    const link = await page.evaluate(() => document.activeElement.getAttribute("href") ?? "");
    if (!link.startsWith("#source-")) continue;
    await page.keyboard.press("Enter");
    const place = page.locator(link.replace(".", "\\."));
    await visitor.until(
      async () => page.evaluate((hash) => location.hash === hash, link),
      `the link ${link} leads nowhere`,
    );
    const seen = await place.evaluate((node) => {
      const { top, bottom } = node.getBoundingClientRect();
      return { inView: top >= -1 && bottom <= innerHeight + 1, source: node.nextElementSibling.innerText };
    });
    assert.ok(seen.inView, `${link} is not in view`);
    assert.ok(seen.source.length > 15, `the source is \`${seen.source}\``);
    return;
  }
  assert.fail("the keyboard met no source");
});
