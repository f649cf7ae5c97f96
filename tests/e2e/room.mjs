/*
 * Whether everything on the screen has the room it needs.
 *
 * In: a visitor at a page with one map. Out: failure with the words that stick out or are cut, or with the controls that
 * are too small for a finger. Left to others: which state the map is in.
 */
import assert from "node:assert/strict";

/** Fails if the page scrolls sideways, or words stick out of the map's frame or of their own button, cell or line. */
export async function nothingSticksOut(visitor, state) {
  const found = await visitor.page.locator("hostwood-map").evaluate((map) => {
    const { scrollWidth, clientWidth } = document.scrollingElement;
    const out =
      scrollWidth > clientWidth ? [`the page scrolls sideways by ${scrollWidth - clientWidth}`] : [];
    const frame = map.shadowRoot.querySelector(".frame").getBoundingClientRect();
    const screen = { left: 0, right: clientWidth };
    for (const node of map.shadowRoot.querySelectorAll("*")) {
      const own = [...node.childNodes].some((child) => child.nodeType === 3 && child.data.trim() !== "");
      if (!own || node.closest(".unseen, .skip, option") !== null || !node.checkVisibility()) continue;
      const { left, right, width } = node.getBoundingClientRect();
      const told = `\`${node.textContent.trim().slice(0, 60)}\``;
      const room = node.closest("dialog") === null ? frame : screen;
      if (width > 0 && (left < room.left - 1 || right > room.right + 1)) {
        out.push(`${told} reaches from ${left} to ${right}, its room from ${room.left} to ${room.right}`);
      }
      const meant = getComputedStyle(node).textOverflow === "ellipsis";
      if (!meant && getComputedStyle(node).display !== "inline" && node.scrollWidth > node.clientWidth + 1) {
        out.push(`${told} needs ${node.scrollWidth} pixels and has ${node.clientWidth}`);
      }
    }
    const pen = document.createElement("canvas").getContext("2d");
    for (const field of map.shadowRoot.querySelectorAll("input:placeholder-shown")) {
      if (!field.checkVisibility()) continue;
      const { font, letterSpacing, wordSpacing, paddingLeft, paddingRight } = getComputedStyle(field);
      Object.assign(pen, { font, letterSpacing, wordSpacing });
      const room = field.clientWidth - Number.parseFloat(paddingLeft) - Number.parseFloat(paddingRight);
      const needed = pen.measureText(field.placeholder).width;
      if (field.placeholder !== "" && needed > room) {
        out.push(`\`${field.placeholder}\` needs ${Math.round(needed)} pixels and has ${Math.round(room)}`);
      }
    }
    return out;
  });
  assert.deepEqual(found, [], state);
}

/**
 * Fails if a control is smaller than `least` CSS pixels in either direction. Criterion 2.5.8 of WCAG 2.2 asks for 24 and
 * lets links within a sentence be as small as their words.
 */
export async function nothingIsTooSmall(visitor, least, state) {
  const found = await visitor.page.locator("hostwood-map").evaluate((map, size) => {
    const controls = "button, input, select, textarea, summary, a[href], [role=option]";
    const seen = [];
    const small = [];
    for (const node of map.shadowRoot.querySelectorAll(controls)) {
      if (node.closest(".skip") !== null || !node.checkVisibility({ visibilityProperty: true })) continue;
      if (node.closest("[inert]") !== null) continue;
      // A control that lies over its label, or in it, is pressed through the label.
      const pressed = node.matches("input[type=radio], input[type=checkbox]")
        ? (node.closest("label") ?? node)
        : node;
      const { width, height } = pressed.getBoundingClientRect();
      if (width === 0 || height === 0) continue;
      seen.push(node);
      if (node.localName === "a" && getComputedStyle(node).display === "inline") continue;
      if (width < size - 0.5 || height < size - 0.5) {
        const name = (node.ariaLabel ?? node.textContent).trim().slice(0, 40);
        small.push(
          `${node.localName}.${node.className} \`${name}\` is ${Math.round(width)} by ${Math.round(height)}`,
        );
      }
    }
    return { small, seen: seen.length };
  }, least);
  assert.ok(found.seen > 3, `${state}: only ${found.seen} controls were found`);
  assert.deepEqual(found.small, [], `${state}: expected ${least} pixels`);
}
