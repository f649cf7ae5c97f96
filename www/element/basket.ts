/**
 * The basket: what the visitor has picked, entry by entry.
 *
 * In: the kinds that are offered by name, and, only where the visitor asked for it, what this device has kept. Out:
 * entries as the engine takes them; nothing is kept unless the visitor ticks the box, and ticking it off takes away
 * what was kept. Left to others: what follows from the basket (harvest.ts, the engine).
 */
import { button, fill, freshId, make } from "./make.ts";
import type { BasketEntry } from "./protocol.ts";
import type { Words } from "./words.ts";

/** How an amount is told. */
type Measure = "mass" | "volume" | "pieces";

const MEASURES: readonly Measure[] = ["mass", "volume", "pieces"];

/** One entry as the visitor types it. */
interface Entry {
  kind: string;
  amount: string;
  measure: Measure;
  cap: string;
  cleaned: "" | "yes" | "no";
}

/** A kind by the name that is offered. */
export interface Offered {
  id: string;
  name: string;
}

/** Where the basket is kept on the visitor's own device, if asked. */
const PLACE = "hostwood-basket";

/** The form for the basket. */
export class Basket {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #changed: () => void;
  readonly #rows: HTMLElement;
  readonly #names: HTMLElement;
  readonly #keep: HTMLInputElement;
  #entries: Entry[];
  #offered: readonly Offered[] = [];

  /** @param changed called after each change */
  constructor(words: Words, changed: () => void) {
    this.#words = words;
    this.#changed = changed;
    this.#names = make("datalist", { id: freshId("kinds") });
    this.#rows = make("div", { class: "basket-rows" });
    const kept = fromDevice();
    this.#entries = kept ?? [empty()];
    const keepId = freshId("keep");
    this.#keep = make("input", { id: keepId, type: "checkbox" });
    this.#keep.checked = kept !== null;
    this.#keep.addEventListener("change", () => {
      this.#store();
    });
    this.element = make(
      "div",
      { class: "basket" },
      this.#names,
      this.#rows,
      button(
        { part: "button" },
        () => {
          this.#entries.push(empty());
          this.#show(this.#entries.length - 1);
        },
        words.say("ui.basket.add"),
      ),
      make(
        "p",
        { class: "basket-keep" },
        this.#keep,
        make("label", { for: keepId }, words.say("ui.basket.keep")),
      ),
    );
    this.#show(null);
  }

  /** Offers these kinds by name. */
  offer(kinds: readonly Offered[]): void {
    this.#offered = kinds;
    fill(this.#names, ...kinds.map(({ name }) => make("option", { value: name })));
  }

  /** The entries that name a kind. An amount that is no number is handed on as it stands, so that it is told. */
  get entries(): BasketEntry[] {
    return this.#entries.flatMap((entry): BasketEntry[] => {
      const kind = entry.kind.trim();
      if (kind === "") return [];
      const wanted = kind.toLocaleLowerCase(this.#words.locale);
      const known = this.#offered.find(({ name }) => name.toLocaleLowerCase(this.#words.locale) === wanted);
      const amount = entry.amount.trim().replace(",", ".");
      const cap = Number(entry.cap.trim().replace(",", "."));
      return [
        {
          kind: known?.id ?? kind,
          ...(amount === ""
            ? {}
            : entry.measure === "pieces"
              ? { pieces: whole(amount) }
              : { [entry.measure]: amount }),
          ...(entry.cap.trim() === "" || !Number.isFinite(cap) ? {} : { cap }),
          ...(entry.cleaned === "" ? {} : { cleaned: entry.cleaned === "yes" }),
        },
      ];
    });
  }

  /** Moves to the first entry. */
  focus(): void {
    this.#rows.querySelector("input")?.focus();
  }

  #show(focus: number | null): void {
    fill(this.#rows, ...this.#entries.map((entry, place) => this.#row(entry, place)));
    if (focus !== null) this.#rows.querySelectorAll<HTMLElement>(".basket-kind input")[focus]?.focus();
  }

  #row(entry: Entry, place: number): HTMLElement {
    const words = this.#words;
    const n = { n: { n: place + 1 } };
    const kind = make("input", {
      type: "text",
      list: this.#names.id,
      autocomplete: "off",
      value: entry.kind,
    });
    const amount = make("input", { type: "text", inputmode: "decimal", size: 5, value: entry.amount });
    const measure = make(
      "select",
      { "aria-label": words.say("ui.basket.measure") },
      ...MEASURES.map((one) =>
        make("option", { value: one, selected: one === entry.measure }, words.say(`ui.basket.${one}`)),
      ),
    );
    const cap = make("input", { type: "text", inputmode: "decimal", size: 5, value: entry.cap });
    const cleaned = make(
      "select",
      {},
      ...(["", "yes", "no"] as const).map((one) =>
        make(
          "option",
          { value: one, selected: one === entry.cleaned },
          words.say(one === "" ? "ui.who.unsaid" : `ui.${one}`),
        ),
      ),
    );
    const told = (): void => {
      Object.assign(entry, {
        kind: kind.value,
        amount: amount.value,
        measure: measure.value as Measure,
        cap: cap.value,
        cleaned: cleaned.value as Entry["cleaned"],
      });
      this.#store();
      this.#changed();
    };
    for (const control of [kind, amount, cap]) control.addEventListener("input", told);
    for (const control of [measure, cleaned]) control.addEventListener("change", told);
    return make(
      "div",
      { class: "basket-row", "aria-label": words.say("ui.basket.entry", n), role: "group" },
      labelled("basket-kind", words.say("ui.basket.kind"), kind),
      make("div", { class: "basket-amount" }, labelled("", words.say("ui.basket.amount"), amount), measure),
      labelled("", words.say("ui.basket.cap"), cap),
      labelled("", words.say("ui.basket.cleaned"), cleaned),
      button(
        { part: "button", class: "plain", "aria-label": words.say("ui.basket.remove", n) },
        () => {
          this.#entries.splice(place, 1);
          if (this.#entries.length === 0) this.#entries.push(empty());
          this.#show(Math.min(place, this.#entries.length - 1));
          this.#store();
          this.#changed();
        },
        make("span", { "aria-hidden": "true" }, "×"),
      ),
    );
  }

  /** Keeps the basket on this device, or takes away what was kept. */
  #store(): void {
    try {
      if (this.#keep.checked) localStorage.setItem(PLACE, JSON.stringify(this.#entries));
      else if (localStorage.getItem(PLACE) !== null) localStorage.removeItem(PLACE);
    } catch (error) {
      // A page may forbid storage; then nothing is kept, and the box says so.
      this.#keep.checked = false;
      this.#keep.disabled = true;
      console.warn("hostwood: the basket cannot be kept on this device", error);
    }
  }
}

function labelled(part: string, label: string, control: HTMLElement): HTMLElement {
  control.id = freshId("basket");
  return make("div", { class: `basket-field ${part}` }, make("label", { for: control.id }, label), control);
}

function empty(): Entry {
  return { kind: "", amount: "", measure: "mass", cap: "", cleaned: "" };
}

/** A whole number, or what was typed, for the engine to say what is wrong with it. */
function whole(text: string): number {
  const n = Number(text);
  return Number.isInteger(n) && n >= 0 ? n : Number.NaN;
}

/** What this device has kept, or null. What does not read as a basket is not used. */
function fromDevice(): Entry[] | null {
  try {
    const text = localStorage.getItem(PLACE);
    const list: unknown = text === null ? null : JSON.parse(text);
    if (!Array.isArray(list) || list.length === 0) return null;
    return list.map((one: Partial<Record<keyof Entry, unknown>>) => ({
      kind: string(one.kind),
      amount: string(one.amount),
      measure: MEASURES.find((measure) => measure === one.measure) ?? "mass",
      cap: string(one.cap),
      cleaned: one.cleaned === "yes" || one.cleaned === "no" ? one.cleaned : "",
    }));
  } catch (error) {
    console.warn("hostwood: the basket kept on this device cannot be read", error);
    return null;
  }
}

function string(value: unknown): string {
  return typeof value === "string" ? value : "";
}
