/**
 * Where a way begins: the middle of the map, the chosen stand, a named place of the map, or where the visitor is.
 *
 * In: the session with its context things; the visitor's choice. Out: a position in degrees. The device is asked where it
 * is only when the visitor chooses that, once each time; the answer stays in this object, goes into no link and is kept
 * nowhere. Left to others: what is measured from there.
 */
import { fill, freshId, make } from "./make.ts";
import { unproject } from "./outlines.ts";
import type { ContextThing } from "./protocol.ts";
import type { Session } from "./session.ts";
import type { Words } from "./words.ts";

/** Places offered by name; a list of a thousand would help nobody. */
const MOST_PLACES = 60;
/** How long the device may look for itself, in milliseconds. */
const PATIENCE = 20_000;
/** Roles whose things are places that people set out from. */
const PLACES = new Set(["place", "village", "settlement", "car_park", "station", "stop", "viewpoint"]);

/** A named place of the map, in degrees. */
export interface NamedPlace {
  name: string;
  at: [number, number];
}

/** The named points of the context that people set out from, each name once, in the order of the language. */
export function placesOf(things: readonly ContextThing[], collator: Intl.Collator): NamedPlace[] {
  const found = new Map<string, NamedPlace>();
  for (const { name, role, shape, coordinates } of things) {
    const [x, y] = coordinates;
    if (name === undefined || shape !== "point" || x === undefined || y === undefined) continue;
    if (PLACES.has(role) && !found.has(name)) found.set(name, { name, at: unproject(x, y) });
  }
  return [...found.values()].sort((one, other) => collator.compare(one.name, other.name));
}

/** What came of asking where to start. */
export type Started = { at: [number, number] } | { why: string } | null;

/** A labelled choice of a start. */
export class StartChoice {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #middle: () => [number, number] | null;
  readonly #select: HTMLSelectElement;
  readonly #optional: boolean;
  #places: NamedPlace[] = [];
  #contextShown: readonly ContextThing[] | null = null;

  /**
   * @param label the message key of its label
   * @param middle tells the middle of the map
   * @param options `optional`: whether no start may be chosen; `changed`: called when another start is chosen
   */
  constructor(
    words: Words,
    session: Session,
    label: string,
    middle: () => [number, number] | null,
    options: { optional?: boolean; changed?: () => void } = {},
  ) {
    this.#words = words;
    this.#session = session;
    this.#middle = middle;
    this.#optional = options.optional === true;
    this.#select = make("select", { id: freshId("start") });
    this.#select.addEventListener("change", () => {
      options.changed?.();
    });
    this.element = make(
      "div",
      { class: "field" },
      make("label", { for: this.#select.id }, words.say(label)),
      this.#select,
    );
    this.show();
  }

  /** Offers what there is now; keeps the choice where it is still there. */
  show(): void {
    const { context, chosen } = this.#session;
    if (this.#contextShown !== context) {
      this.#contextShown = context;
      this.#places = placesOf(context, this.#words.collator()).slice(0, MOST_PLACES);
    }
    const kept = this.#select.value;
    const option = (value: string, text: string): HTMLOptionElement => make("option", { value }, text);
    fill(
      this.#select,
      this.#optional ? option("", this.#words.say("ui.start.none")) : null,
      option("middle", this.#words.say("ui.start.middle")),
      chosen === null ? null : option("stand", this.#words.say("ui.start.stand")),
      option("own", this.#words.say("ui.start.own")),
      ...this.#places.map(({ name }, n) => option(`place-${String(n)}`, name)),
    );
    const values = [...this.#select.options].map(({ value }) => value);
    this.#select.value = values.includes(kept) ? kept : (values[0] ?? "");
  }

  /** Chooses the stand whose sheet is open, where there is one. */
  preferStand(): void {
    this.show();
    if (this.#session.chosen !== null) this.#select.value = "stand";
  }

  /** Whether the device will be asked where it is. */
  get asksDevice(): boolean {
    return this.#select.value === "own";
  }

  /** The start that is chosen; null where none is, a reason in words where it cannot be had. */
  async read(): Promise<Started> {
    const { value } = this.#select;
    if (value === "") return null;
    if (value === "own") return this.#own();
    if (value === "stand") {
      const { chosen } = this.#session;
      const place = chosen === null ? null : await this.#session.ask("stand", { id: chosen });
      const inside = place?.inside ?? null;
      return inside === null ? { why: this.#words.say("sheet.no_outline") } : { at: inside };
    }
    const named = value.startsWith("place-") ? this.#places[Number(value.slice(6))] : undefined;
    const at = named?.at ?? this.#middle();
    return at === null ? null : { at };
  }

  /** Asks the device where it is. */
  #own(): Promise<Started> {
    const failed = { why: this.#words.say("ui.start.failed") };
    if (!("geolocation" in navigator)) return Promise.resolve(failed);
    return new Promise((resolve) => {
      navigator.geolocation.getCurrentPosition(
        ({ coords }) => {
          resolve({ at: [coords.longitude, coords.latitude] });
        },
        (error) => {
          const refused = error.code === error.PERMISSION_DENIED;
          resolve(refused ? { why: this.#words.say("ui.start.refused") } : failed);
        },
        { enableHighAccuracy: false, timeout: PATIENCE, maximumAge: 60_000 },
      );
    });
  }
}
