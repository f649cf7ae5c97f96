/**
 * What the page's author asks for, read from the element's attributes.
 *
 * In: the element as it stands in its page. Out: addresses made absolute, day, time, languages, limits and the way to begin; a
 * warning for each value that cannot be used, which then counts as not given. The same value is warned of once. Left to
 * others: what is done with it (element.ts, session.ts).
 */
import type { ReadLimits } from "./protocol.ts";
import { isClock, isDay } from "./today.ts";
import { FIRST_LEVEL } from "./words.ts";

/** A value that an attribute cannot take. `message` is whole English sentences for the page's author. */
export interface Warning {
  attribute: string;
  value: string;
  message: string;
}

/** When the element begins to load: at once, when it comes near the part of the page in view, when it is asked to. */
export type Loading = "eager" | "lazy" | "click";

const LOADING: readonly Loading[] = ["eager", "lazy", "click"];

/** The most that the engine can hold of a stand map. */
const MOST = { bytes: 4_294_967_296, stands: 4_000_000 } as const;

/** Reads the attributes of one element. */
export class Author {
  readonly #element: Element;
  readonly #warn: (warning: Warning) => void;
  readonly #warned = new Map<string, string>();

  constructor(element: Element, warn: (warning: Warning) => void) {
    this.#element = element;
    this.#warn = warn;
  }

  /** The address in an attribute; null where there is none, or none that can be followed. */
  address(attribute: string): string | null {
    return this.addresses(attribute)[0] ?? null;
  }

  /** The addresses in an attribute, separated by spaces. */
  addresses(attribute: string): string[] {
    const given = this.#text(attribute)?.split(/\s+/) ?? [];
    return given.flatMap((one) => this.#resolved(attribute, one) ?? []);
  }

  /** The day of the visit. */
  day(): string | null {
    return this.#checked("day", isDay, "a day such as `2026-09-12`", "today's date counts");
  }

  /** The time of the visit. */
  time(): string | null {
    return this.#checked("time", isClock, "a time such as `07:30`", "the visit counts as one without a time");
  }

  /** The tile address of a base map. */
  basemap(): string | null {
    const whole = (template: string): boolean =>
      ["{z}", "{x}"].every((place) => template.includes(place)) && /\{-?y\}/.test(template);
    return this.#checked(
      "basemap",
      whole,
      "an address with `{z}`, `{x}` and `{y}` in it",
      "no base map is drawn",
    );
  }

  /** When to begin. */
  loading(): Loading {
    const known = (value: string): value is Loading => LOADING.some((one) => one === value);
    const value = this.#checked("loading", known, "one of `eager`, `lazy`, `click`", "the map loads at once");
    return value !== null && known(value) ? value : "eager";
  }

  /** The level at which headings begin. */
  headingLevel(): number {
    const within = (value: string): boolean => /^[1-5]$/.test(value);
    const value = this.#checked("heading-level", within, "a number from 1 to 5", "headings begin at level 2");
    return value === null ? FIRST_LEVEL : Number(value);
  }

  /** How much of the stand map is read, where it is to be other than usual. */
  limits(): ReadLimits {
    const bytes = this.#limit("max-bytes", MOST.bytes);
    const stands = this.#limit("max-stands", MOST.stands);
    return { ...(bytes === null ? {} : { bytes }), ...(stands === null ? {} : { stands }) };
  }

  #limit(attribute: string, most: number): number | null {
    const within = (value: string): boolean => /^[1-9]\d*$/.test(value) && Number(value) <= most;
    const expected = `a whole number from 1 to ${String(most)}`;
    const value = this.#checked(attribute, within, expected, "the usual limit counts");
    return value === null ? null : Number(value);
  }

  /** The element's own language, its page's, then the visitor's; the best first, English last. */
  languages(): string[] {
    const near = this.#text("lang") ?? nearestLanguage(this.#element);
    const tags = [near, ...navigator.languages, "en"].filter((tag): tag is string => {
      if (tag === null) return false;
      if (isTag(tag)) return true;
      this.#say("lang", tag, "a language tag such as `en` or `de-AT`", "the next best is used");
      return false;
    });
    return [...new Set(tags)];
  }

  #text(attribute: string): string | null {
    const text = this.#element.getAttribute(attribute)?.trim() ?? "";
    return text === "" ? null : text;
  }

  #checked(
    attribute: string,
    holds: (value: string) => boolean,
    expected: string,
    instead: string,
  ): string | null {
    const value = this.#text(attribute);
    if (value === null || holds(value)) return value;
    this.#say(attribute, value, expected, instead);
    return null;
  }

  #resolved(attribute: string, value: string): string | null {
    const { baseURI } = this.#element;
    if (URL.canParse(value, baseURI)) return new URL(value, baseURI).href;
    this.#say(attribute, value, "an address such as `stands.geojson`", "it is left out");
    return null;
  }

  #say(attribute: string, value: string, expected: string, instead: string): void {
    if (this.#warned.get(attribute) === value) return;
    this.#warned.set(attribute, value);
    const message = `\`${attribute}\` is \`${value}\`, expected ${expected}; ${instead}.`;
    this.#warn({ attribute, value, message });
  }
}

/** The property that mirrors an attribute: `basemap-credit` is `basemapCredit`. */
export function propertyOf(attribute: string): string {
  return attribute.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase());
}

/** The language of the page around an element, also beyond the shadow roots that it may stand in. */
function nearestLanguage(element: Element): string | null {
  const near = element.closest("[lang]")?.getAttribute("lang");
  if (near !== undefined && near !== null && near !== "") return near;
  const root = element.getRootNode();
  return root instanceof ShadowRoot ? nearestLanguage(root.host) : null;
}

function isTag(tag: string): boolean {
  try {
    return Intl.getCanonicalLocales(tag).length === 1;
  } catch {
    return false;
  }
}
