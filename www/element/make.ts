/**
 * Page elements, made by createElement and filled with text only.
 *
 * In: a tag, its attributes, its children. Out: the element. No markup is ever parsed. Left to others: what is shown.
 */
import { safeLink } from "./links.ts";
import type { Text } from "./protocol.ts";
import { FIRST_LEVEL, type Piece, type Words } from "./words.ts";

/** What may stand inside an element; null leaves nothing. */
export type Child = Node | string | null;

/** Attributes; null and false leave the attribute out, true writes it empty. */
export type Attributes = Record<string, string | number | boolean | null | undefined>;

/** An element with attributes and children. */
export function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  fill(element, ...children);
  return element;
}

/** Puts these children in the place of those that were there. */
export function fill(element: Element, ...children: Child[]): void {
  element.replaceChildren(
    ...children.filter((child): child is Node | string => child !== null && child !== ""),
  );
}

/** A heading, or one below it, at the level at which the page wants them. Styles go by the tag, readers by the level. */
export function heading(
  words: Words,
  tag: "h2" | "h3",
  attributes: Attributes,
  ...children: Child[]
): HTMLHeadingElement {
  const away = words.headingLevel - FIRST_LEVEL;
  return make(
    tag,
    { "aria-level": away === 0 ? null : Number(tag.slice(1)) + away, ...attributes },
    ...children,
  );
}

/**
 * A message for the people who keep the files: it is English whatever the page's language. What stands between
 * backticks, such as a name of a field, is shown as what is written in a file.
 */
export function english(message: string): HTMLElement {
  const pieces = message.split(/`([^`]+)`/);
  return make(
    "bdi",
    { lang: "en" },
    ...pieces.map((piece, at) => (at % 2 === 1 ? make("code", {}, piece) : piece)),
  );
}

/** A button that does one thing. */
export function button(attributes: Attributes, act: () => void, ...children: Child[]): HTMLButtonElement {
  const element = make("button", { type: "button", ...attributes }, ...children);
  element.addEventListener("click", act);
  return element;
}

/** Worded pieces as nodes: data isolated from the direction of the text around it, other languages marked. */
export function written(pieces: Piece[]): DocumentFragment {
  const fragment = document.createDocumentFragment();
  for (const piece of pieces) {
    if (piece.data === true) {
      const inner = make("bdi", {
        lang: piece.lang ?? null,
        class: piece.lang === "la" ? "scientific" : null,
      });
      inner.textContent = piece.text;
      fragment.append(inner);
    } else if (piece.lang !== undefined) {
      const inner = make("span", { lang: piece.lang });
      inner.textContent = piece.text;
      fragment.append(inner);
    } else {
      fragment.append(document.createTextNode(piece.text));
    }
  }
  return fragment;
}

/** A message or a piece of data as nodes. */
export function said(words: Words, text: Text): DocumentFragment {
  return written(words.pieces(text));
}

/** A link to an address from data, or the bare words where the address is not safe to follow. */
export function link(address: string, ...children: Child[]): HTMLElement {
  const safe = safeLink(address);
  if (safe === null) return make("span", {}, ...children);
  const away = safe.href.startsWith("http");
  return make(
    "a",
    { href: safe.href, rel: "noopener noreferrer", target: away ? "_blank" : null },
    ...children,
  );
}

let ids = 0;

/** An id that no other element of this page's copies of us has. */
export function freshId(stem: string): string {
  ids += 1;
  return `${stem}-${String(ids)}`;
}
