/**
 * The scale bar.
 *
 * In: metres on the ground to a pixel. Out: a bar of a round length, with that length in words. Left to others: where
 * it stands.
 */
import { make } from "./make.ts";
import type { Words } from "./words.ts";

/** The longest that the bar may be, in CSS pixels. */
const LONGEST = 110;

/** The scale bar's element. */
export class ScaleBar {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #bar: HTMLElement;
  readonly #text: HTMLElement;

  constructor(words: Words) {
    this.#words = words;
    this.#bar = make("span", { class: "scale-line", "aria-hidden": "true" });
    this.#text = make("span", {});
    this.element = make("p", { class: "scale-bar", hidden: true }, this.#text, this.#bar);
  }

  /** Shows the scale. */
  show(metresPerPixel: number): void {
    const metres = roundLength(LONGEST * metresPerPixel);
    this.element.hidden = !Number.isFinite(metres) || metres <= 0;
    this.#text.textContent =
      metres >= 1000
        ? this.#words.number(metres / 1000, "kilometer", 0, true)
        : this.#words.number(metres, "meter", 0, true);
    this.#bar.style.inlineSize = `${String(Math.round(metres / metresPerPixel))}px`;
  }
}

/** The longest of 1, 2 and 5 times a power of ten that is not above this length, in metres. */
export function roundLength(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most));
  const lead = [5, 2, 1].find((one) => one * power <= most) ?? 1;
  return lead * power;
}
