/**
 * The figures of the sheets: the bar of the mixture, the gauge of the potential, how full a limit is.
 *
 * In: shares with their mycorrhizal types, a value with its low and high end, or an amount and its limit. Out: elements that say the same in
 * words and in a picture; the picture is hidden from screen readers. Left to others: colours (the styles take the
 * steps' colours from the engine's own swatches).
 */
import { make, said } from "./make.ts";
import { STEPS, type Arg, type MixturePart, type SheetNode } from "./protocol.ts";
import type { Words } from "./words.ts";

/** A layer of trees: its bar, and one row a tree. */
export function mixture(words: Words, parts: readonly MixturePart[]): HTMLElement {
  const layers = new Map<string, MixturePart[]>();
  for (const part of parts) {
    const layer = words.plain(part.layer);
    layers.set(layer, [...(layers.get(layer) ?? []), part]);
  }
  return make(
    "div",
    { class: "mixture" },
    ...[...layers].flatMap(([name, ofLayer], index) => [
      layers.size > 1 || index > 0 ? make("p", { class: "layer" }, name) : null,
      bar(ofLayer),
      make("ul", { class: "trees", role: "list" }, ...ofLayer.map((part) => tree(words, part))),
    ]),
  );
}

function bar(parts: readonly MixturePart[]): HTMLElement {
  const element = make("div", { class: "bar", "aria-hidden": "true" });
  const known = parts.reduce((sum, part) => sum + (part.share === null ? 0 : middle(part.share)), 0);
  const unknown = parts.filter((part) => part.share === null).length;
  for (const part of parts) {
    const width = part.share === null ? Math.max(0, 1 - known) / unknown : middle(part.share);
    if (width <= 0) continue;
    const piece = make("span", {
      class: "type-fill",
      "data-type": part.type,
      "data-open": part.share === null,
    });
    piece.style.flexGrow = String(width);
    element.append(piece);
  }
  if (unknown === 0 && known < 0.995) {
    const rest = make("span", { class: "type-fill", "data-type": "untold" });
    rest.style.flexGrow = String(1 - known);
    element.append(rest);
  }
  return element;
}

function tree(words: Words, part: MixturePart): HTMLElement {
  return make(
    "li",
    {},
    make("span", { class: "type-fill type-key", "data-type": part.type, "aria-hidden": "true" }),
    make("span", { class: "tree-name" }, said(words, part.name)),
    make("span", { class: "tree-type" }, words.say(`type.${part.type}`)),
    make("span", { class: "tree-share" }, share(words, part.share)),
  );
}

function share(words: Words, pair: [number, number] | null): string {
  if (pair === null) return words.say("ui.share_unknown");
  return words.range(pair[0] * 100, pair[1] * 100, "percent", 0);
}

function middle(pair: [number, number]): number {
  return (pair[0] + pair[1]) / 2;
}

/** Where the potential lies between nothing and the most: the five steps, the range, the value. */
export function gauge(words: Words, one: Extract<SheetNode, { node: "gauge" }>): HTMLElement {
  const scale = make("div", { class: "scale", "aria-hidden": "true" });
  for (const step of STEPS) {
    scale.append(make("span", { class: "scale-step", "data-step": step, "data-here": step === one.step }));
  }
  // Where low and high are one, the value's mark says all; a bracket would be a speck beside it.
  if (one.low !== null && one.high !== null && (one.low !== one.high || one.value === null)) {
    const span = make("span", { class: "scale-range" });
    span.style.insetInlineStart = `${String(one.low)}%`;
    span.style.inlineSize = `${String(Math.max(1, one.high - one.low))}%`;
    scale.append(span);
  }
  if (one.value !== null) {
    const mark = make("span", { class: "scale-value" });
    mark.style.insetInlineStart = `${String(one.value)}%`;
    scale.append(mark);
  }
  return make(
    "div",
    { class: "gauge", "data-known": one.step !== null },
    make("p", { class: "gauge-text" }, said(words, one.text)),
    scale,
  );
}

/** Units as rule books spell them, and as Intl or the catalogue knows them. */
const UNITS: Record<string, string> = {
  kg: "kilogram",
  g: "gram",
  lb_av: "pound",
  L: "liter",
  gal_us: "gallon",
  qt_us: "quart",
  piece: "piece",
};

/** How full a limit is: in words, and as a bar with a mark where the limit lies. */
export function fillBar(words: Words, one: Extract<SheetNode, { node: "fill" }>): HTMLElement {
  const amount = (decimal: string): Arg => ({
    n: Number(decimal),
    unit: UNITS[one.unit] ?? one.unit,
    digits: 3,
  });
  const bar = make("div", { class: "fill-bar", "aria-hidden": "true" });
  const used = make("span", { class: "fill-used" });
  // Twice the limit fills the bar; the limit lies in its middle where it is passed, at its end where it is not.
  const most = Math.max(1, Math.min(2, one.share));
  used.style.inlineSize = `${String((Math.min(one.share, most) / most) * 100)}%`;
  const mark = make("span", { class: "fill-limit" });
  mark.style.insetInlineStart = `${String(100 / most)}%`;
  bar.append(used, mark);
  return make(
    "div",
    { class: "fill", "data-level": one.level },
    make("p", {}, said(words, one.text)),
    bar,
    make(
      "p",
      { class: "fill-words" },
      words.say(`ui.fill.${one.level}`, { used: amount(one.used), limit: amount(one.limit) }),
    ),
  );
}
