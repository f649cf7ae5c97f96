/**
 * The basket: what the visitor has picked, entry by entry.
 *
 * In: the kinds that are offered by name, what the rules need to be told, and, only where the visitor asked for it, what
 * this device has kept. Out: entries as the engine takes them; nothing is kept unless the visitor ticks the box, and
 * ticking it off takes away what was kept. Left to others: what follows from the basket (harvest.ts, the engine).
 */
import { button, fill, freshId, make } from "./make.ts";
import type { BasketEntry, BasketFact } from "./protocol.ts";
import type { Words } from "./words.ts";

/** How an amount is told. */
type Measure = "mass" | "volume" | "pieces";

const MEASURES: readonly Measure[] = ["mass", "volume", "pieces"];

/** What is asked beside an amount only where some rule turns on it: sizes in centimetres, and yes or no. */
const SIZES = ["cap", "height", "width"] as const;
const TOLD = ["clump", "cleaned"] as const;

type Size = (typeof SIZES)[number];
type Told = (typeof TOLD)[number];

/** One entry as the visitor types it. An amount may be told in other measures, too. */
interface Entry extends Record<Size, string>, Record<Told, "" | "yes" | "no"> {
  kind: string;
  amount: string;
  measure: Measure;
  also: Record<Measure, string>;
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
  #asked: readonly BasketFact[] = [];

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

  /** Asks for these facts in every entry. */
  ask(facts: readonly BasketFact[]): void {
    if (facts.join(" ") === this.#asked.join(" ")) return;
    this.#asked = facts;
    this.#show(null);
  }

  /** The entries that name a kind. An amount that is no number is handed on as it stands, so that it is told. */
  get entries(): BasketEntry[] {
    return this.#entries.flatMap((entry): BasketEntry[] => {
      const kind = entry.kind.trim();
      if (kind === "") return [];
      const wanted = kind.toLocaleLowerCase(this.#words.locale);
      const known = this.#offered.find(({ name }) => name.toLocaleLowerCase(this.#words.locale) === wanted);
      return [
        {
          kind: known?.id ?? kind,
          ...amounts(entry, this.#asked),
          ...Object.fromEntries(
            SIZES.filter((one) => this.#asked.includes(one)).flatMap((one) => {
              const size = Number(decimal(entry[one]));
              return entry[one].trim() === "" || !Number.isFinite(size) ? [] : [[one, size]];
            }),
          ),
          ...Object.fromEntries(
            TOLD.filter((one) => this.#asked.includes(one) && entry[one] !== "").map((one) => [
              one,
              entry[one] === "yes",
            ]),
          ),
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
    const measure = make(
      "select",
      { "aria-label": words.say("ui.basket.measure") },
      ...MEASURES.map((one) =>
        make("option", { value: one, selected: one === entry.measure }, words.say(`ui.basket.${one}`)),
      ),
    );
    const asks = (fact: BasketFact): boolean => this.#asked.includes(fact);
    const told = (): void => {
      this.#store();
      this.#changed();
    };
    const text = (value: string, set: (value: string) => void): HTMLInputElement => {
      const input = make("input", { type: "text", inputmode: "decimal", size: 5, value });
      input.addEventListener("input", () => {
        set(input.value);
        told();
      });
      return input;
    };
    kind.addEventListener("input", () => {
      entry.kind = kind.value;
      told();
    });
    const amount = text(entry.amount, (value) => (entry.amount = value));
    measure.addEventListener("change", () => {
      entry.measure = measure.value as Measure;
      told();
      // The other measures are asked anew.
      this.#show(null);
      this.#rows.querySelectorAll<HTMLElement>(".basket-amount select")[place]?.focus();
    });
    const more = [
      ...MEASURES.filter((one) => asks(one) && one !== entry.measure).map((one) =>
        labelled(
          "",
          words.say(`ui.basket.also_${one}`),
          text(entry.also[one], (value) => (entry.also[one] = value)),
        ),
      ),
      ...SIZES.filter(asks).map((one) =>
        labelled(
          "",
          words.say(`ui.basket.${one}`),
          text(entry[one], (value) => (entry[one] = value)),
        ),
      ),
      ...TOLD.filter(asks).map((one) => {
        const select = make(
          "select",
          {},
          ...(["", "yes", "no"] as const).map((said) =>
            make(
              "option",
              { value: said, selected: said === entry[one] },
              words.say(said === "" ? "ui.who.unsaid" : `ui.${said}`),
            ),
          ),
        );
        select.addEventListener("change", () => {
          entry[one] = select.value as Entry[Told];
          told();
        });
        return labelled("", words.say(`ui.basket.${one}`), select);
      }),
    ];
    return make(
      "div",
      { class: "basket-row", "aria-label": words.say("ui.basket.entry", n), role: "group" },
      labelled("basket-kind", words.say("ui.basket.kind"), kind),
      make("div", { class: "basket-amount" }, labelled("", words.say("ui.basket.amount"), amount), measure),
      ...more,
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
  return {
    kind: "",
    amount: "",
    measure: "mass",
    also: { mass: "", volume: "", pieces: "" },
    ...{ cap: "", height: "", width: "" },
    ...{ clump: "", cleaned: "" },
  };
}

/** A decimal as the engine reads it. */
function decimal(text: string): string {
  return text.trim().replace(",", ".");
}

/** All amounts of an entry: the one that is chosen, and others where some rule turns on them. */
function amounts(entry: Entry, asked: readonly BasketFact[]): Partial<BasketEntry> {
  return Object.fromEntries(
    MEASURES.flatMap((measure) => {
      const own = measure === entry.measure;
      const text = decimal(own ? entry.amount : asked.includes(measure) ? entry.also[measure] : "");
      if (text === "") return [];
      return [[measure, measure === "pieces" ? whole(text) : text]];
    }),
  );
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
      also: {
        mass: string(member(one.also, "mass")),
        volume: string(member(one.also, "volume")),
        pieces: string(member(one.also, "pieces")),
      },
      cap: string(one.cap),
      height: string(one.height),
      width: string(one.width),
      clump: yesOrNo(one.clump),
      cleaned: yesOrNo(one.cleaned),
    }));
  } catch (error) {
    console.warn("hostwood: the basket kept on this device cannot be read", error);
    return null;
  }
}

function member(value: unknown, name: string): unknown {
  return typeof value === "object" && value !== null ? Reflect.get(value, name) : undefined;
}

function yesOrNo(value: unknown): "" | "yes" | "no" {
  return value === "yes" || value === "no" ? value : "";
}

function string(value: unknown): string {
  return typeof value === "string" ? value : "";
}
