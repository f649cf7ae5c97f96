/**
 * The sheet tree as page elements.
 *
 * In: the nodes the engine composed, and the words. Out: elements, built without knowing any tree, fungus or rule.
 * Left to others: the figures (sheet-figures.ts, weather.ts), opening and closing (sheet.ts).
 */
import { fill, heading as titled, link, make, said, type Child } from "./make.ts";
import type { SheetNode, Text, Tone } from "./protocol.ts";
import { fillBar, gauge, mixture } from "./sheet-figures.ts";
import { weather } from "./weather.ts";
import type { Words } from "./words.ts";

/** Takes what may be made later: what is inside things that are still closed. */
export type Later = (act: () => void) => void;

/** Nodes as elements. What opens is filled when it is opened, or when `later` comes to it. */
export function nodes(words: Words, list: readonly SheetNode[], later: Later): HTMLElement[] {
  return list.map((one) => node(words, one, later));
}

function node(words: Words, one: SheetNode, later: Later): HTMLElement {
  switch (one.node) {
    case "section":
      return section(words, one, later);
    case "heading":
      return heading(words, one);
    case "mixture":
      return mixture(words, one.parts);
    case "verdict":
      return make(
        "div",
        { class: "verdict", "data-answer": one.answer, part: "verdict" },
        make("span", { class: "verdict-mark", "aria-hidden": "true" }),
        make("p", {}, said(words, one.text)),
      );
    case "gauge":
      return gauge(words, one);
    case "fill":
      return fillBar(words, one);
    case "line":
      return make("p", { class: "line-of", "data-tone": one.tone ?? null }, said(words, one.text));
    case "list":
      return make(
        "ul",
        { class: `items items-${one.style}`, role: "list" },
        ...one.items.map((item) => make("li", { "data-tone": toneOf(item) }, ...nodes(words, item, later))),
      );
    case "more":
      return more(words, one, later);
    case "source":
      return source(words, one);
    case "weather":
      return weather(words, one, later);
    case "facts":
      return make(
        "dl",
        { class: "facts" },
        ...one.rows.flatMap((row) => [
          make("dt", {}, said(words, row.term)),
          ...row.value.map((value) => make("dd", {}, said(words, value))),
        ]),
      );
  }
}

/** The sheet's head stands outside the sections and takes the focus when the sheet opens. */
function heading(words: Words, one: Extract<SheetNode, { node: "heading" }>): HTMLElement {
  return make(
    "div",
    { class: "head" },
    titled(words, "h2", { tabindex: -1, class: "head-name" }, said(words, one.text)),
    one.sub === undefined || one.sub.length === 0
      ? null
      : make("p", { class: "head-sub" }, ...between(words, one.sub, " · ")),
  );
}

function section(words: Words, one: Extract<SheetNode, { node: "section" }>, later: Later): HTMLElement {
  const id = `section-${one.id}`;
  return make(
    "section",
    { class: "part", "data-section": one.id, "aria-labelledby": id },
    titled(words, "h3", { id }, said(words, one.title)),
    ...nodes(words, one.children, later),
  );
}

function more(words: Words, one: Extract<SheetNode, { node: "more" }>, later: Later): HTMLElement {
  const [name, ...rest] = one.summary;
  const summary = make(
    "summary",
    {},
    name === undefined ? null : make("span", { class: "more-name" }, said(words, name)),
    ...rest.map((text) => make("span", { class: "more-sub" }, said(words, text))),
  );
  if (one.children.length === 0) {
    // Nothing to open: the same words, without a control that does nothing.
    const plain = make("div", { class: "more more-plain", "data-tone": one.tone ?? null });
    fill(plain, ...summary.childNodes);
    return plain;
  }
  const body = make("div", { class: "more-body" });
  const details = make("details", { class: "more", "data-tone": one.tone ?? null }, summary, body);
  const complete = (): void => {
    if (body.childElementCount === 0) body.append(...nodes(words, one.children, later));
  };
  details.addEventListener("toggle", complete);
  later(complete);
  return details;
}

function source(words: Words, one: Extract<SheetNode, { node: "source" }>): HTMLElement {
  const text = said(words, one.text);
  return make(
    "p",
    { class: "source" },
    make("span", { class: "source-word" }, words.say("ui.source"), " "),
    one.link === undefined ? make("span", {}, text) : link(one.link, text),
    one.checked === undefined
      ? null
      : make("span", { class: "checked" }, " ", words.say("ui.checked", { day: { date: one.checked } })),
  );
}

/** An item is marked by the tone of what it begins with, so that reasons for and against can be told apart. */
function toneOf(item: SheetNode[]): Tone | null {
  const first = item[0];
  return first?.node === "line" || first?.node === "more" ? (first.tone ?? null) : null;
}

function between(words: Words, texts: readonly Text[], mark: string): Child[] {
  return texts.flatMap((text, index) => (index === 0 ? [said(words, text)] : [mark, said(words, text)]));
}
