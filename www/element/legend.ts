/**
 * The legend: what the fills and marks mean, always in view and readable without colour.
 *
 * In: the engine's own swatches, drawn by the code that draws the tiles. Out: the legend's element, and the colours
 * of the five steps for the rest of the screen. Left to others: which view or kind is shown (choices.ts).
 */
import { fill, heading, make } from "./make.ts";
import { STEPS, type LegendEntry } from "./protocol.ts";
import type { Words } from "./words.ts";

/** The legend's element with its entries. */
export class Legend {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #title: HTMLElement;
  readonly #ramp: HTMLElement;
  readonly #marks: HTMLElement;

  constructor(words: Words) {
    this.#words = words;
    this.#title = heading(words, "h2", { class: "legend-title", id: "legend-title" });
    this.#ramp = make("ol", { class: "ramp", role: "list" });
    this.#marks = make("ul", { class: "marks", role: "list" });
    this.element = make(
      "section",
      { class: "legend", part: "legend", "aria-labelledby": "legend-title" },
      this.#title,
      this.#ramp,
      this.#marks,
      make("slot", { name: "legend-note" }),
    );
  }

  /** Shows these entries under this title. */
  show(title: string, entries: readonly LegendEntry[], ratio: number): void {
    this.#title.textContent = title;
    const steps = entries.filter((entry) => stepOf(entry) !== null);
    const marks = entries.filter((entry) => stepOf(entry) === null);
    fill(this.#ramp, ...steps.map((entry) => this.#entry(entry, ratio)));
    fill(this.#marks, ...marks.map((entry) => this.#entry(entry, ratio)));
  }

  #entry(entry: LegendEntry, ratio: number): HTMLElement {
    return make("li", {}, swatch(entry, ratio), make("span", {}, this.#words.say(keyOf(entry))));
  }
}

/** The colour in the middle of each step's swatch, as CSS, by step. */
export function stepColours(entries: readonly LegendEntry[]): Map<string, string> {
  const colours = new Map<string, string>();
  for (const entry of entries) {
    const step = stepOf(entry);
    const at = 4 * (Math.floor(entry.height / 2) * entry.width + Math.floor(entry.width / 2));
    const [red, green, blue, alpha] = entry.pixels.slice(at, at + 4);
    if (
      step === null ||
      red === undefined ||
      green === undefined ||
      blue === undefined ||
      alpha === undefined
    )
      continue;
    colours.set(step, `rgb(${String(red)} ${String(green)} ${String(blue)} / ${String(alpha / 255)})`);
  }
  return colours;
}

/** The key of an entry's words: steps have those of the sheet, marks have words of their own. */
export function keyOf(entry: LegendEntry): string {
  const step = stepOf(entry);
  return step === null ? `legend.${entry.id}` : `step.${step}`;
}

/** `step.fair` and `wish.fair` are both the step `fair`. */
function stepOf(entry: LegendEntry): string | null {
  const last = entry.id.split(".").pop() ?? "";
  return entry.id.includes(".") && STEPS.includes(last) ? last : null;
}

function swatch(entry: LegendEntry, ratio: number): HTMLCanvasElement {
  const canvas = make("canvas", {
    class: "swatch",
    width: entry.width,
    height: entry.height,
    "aria-hidden": "true",
  });
  canvas.style.inlineSize = `${String(entry.width / ratio)}px`;
  canvas.style.blockSize = `${String(entry.height / ratio)}px`;
  if (entry.pixels.length === entry.width * entry.height * 4) {
    canvas.getContext("2d")?.putImageData(new ImageData(entry.pixels, entry.width, entry.height), 0, 0);
  }
  return canvas;
}
