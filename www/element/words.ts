/**
 * From message keys to words in one language.
 *
 * In: a catalogue (flat, key to text or to plural forms), the English catalogue to fall back on, a language tag.
 * Out: a message as pieces of text, each marked with its language and whether it is data, so that a name or a rule's
 * own words can be isolated on the page; or as one plain string. Numbers, units, ranges, dates and lists are written
 * by the browser's Intl. Left to others: making page elements of the pieces (say.ts).
 */
import type { Arg, Text } from "./protocol.ts";

/** Plural forms of one message, chosen by the argument `n`. */
export type Forms = Partial<Record<Intl.LDMLPluralRule, string>> & { other: string };

/** One language's wording. */
export type Catalogue = Readonly<Record<string, string | Forms>>;

/** A stretch of text. `lang` where it differs from the message's; `data` where it is not our own wording. */
export interface Piece {
  text: string;
  lang?: string;
  data?: boolean;
}

/** Units that Intl writes; the others are worded by `unit.*` of the catalogue. */
const SANCTIONED = new Set([
  "hectare",
  "kilogram",
  "gram",
  "pound",
  "liter",
  "milliliter",
  "gallon",
  "year",
  "month",
  "week",
  "day",
  "hour",
  "minute",
  "meter",
  "kilometer",
  "centimeter",
  "millimeter",
  "percent",
  "celsius",
  "megabyte",
]);

/** Units whose sign is read more easily than the word. */
const SIGNED = new Set(["percent", "celsius"]);

const PLACEHOLDER = /\{([A-Za-z_][A-Za-z0-9_]*)\}/g;

/** The level at which headings begin where the page's author says nothing. */
export const FIRST_LEVEL = 2;

/** Words one language. Formatters are made once and kept. */
export class Words {
  readonly #catalogue: Catalogue;
  readonly #english: Catalogue;
  readonly #warn: (message: string) => void;
  readonly #plural: Intl.PluralRules;
  readonly #englishPlural = new Intl.PluralRules("en");
  readonly #numbers = new Map<string, Intl.NumberFormat>();
  readonly #dates = new Map<string, Intl.DateTimeFormat>();
  readonly #warned = new Set<string>();
  /** The tag given to Intl. */
  readonly locale: string;
  /** The zone in which moments are told unless they bring their own. */
  timeZone: string | undefined;
  /** The level at which headings begin, as the outline of the page around them wants it. */
  headingLevel = FIRST_LEVEL;

  /**
   * @param locale BCP 47 tag; plain `en` is written the British way.
   * @param catalogue the wording of that language, which may have gaps
   * @param english the wording that fills the gaps
   * @param warn told once about each gap
   */
  constructor(
    locale: string,
    catalogue: Catalogue,
    english: Catalogue,
    warn: (message: string) => void = (message) => {
      console.warn(message);
    },
  ) {
    this.locale = locale === "en" ? "en-GB" : locale;
    this.#catalogue = catalogue;
    this.#english = english;
    this.#warn = warn;
    this.#plural = new Intl.PluralRules(this.locale);
  }

  /** Whether this key has words in this language or in English. */
  has(key: string): boolean {
    return Object.hasOwn(this.#catalogue, key) || Object.hasOwn(this.#english, key);
  }

  /** A message of the element's own as one string. */
  say(key: string, args: Record<string, Arg> = {}): string {
    return this.plain({ key, args });
  }

  /** A message or a piece of data as one string, for labels and announcements. */
  plain(text: Text): string {
    return this.pieces(text)
      .map((piece) => piece.text)
      .join("");
  }

  /** A message or a piece of data as marked pieces. */
  pieces(text: Text): Piece[] {
    return "key" in text ? this.#message(text.key, text.args ?? {}) : [datum(text)];
  }

  /** A number, with its unit if it has one. `short` writes the unit's sign, for tables. */
  number(n: number, unit?: string, digits?: number, short = false): string {
    if (unit === undefined || SANCTIONED.has(unit)) {
      return this.#numberFormat(unit, digits, short).format(n);
    }
    return this.say(`unit.${unit}`, { n: digits === undefined ? { n } : { n, digits } });
  }

  /** A range of numbers, with their unit if they have one; one number where both ends read alike. */
  range(from: number, to: number, unit?: string, digits?: number): string {
    if (unit === undefined || SANCTIONED.has(unit)) {
      // Some browsers put a tilde before a range whose ends read alike; such a range is one number here.
      const format = this.#numberFormat(unit, digits, false);
      return format.format(from) === format.format(to) ? format.format(to) : format.formatRange(from, to);
    }
    return this.say(`unit.${unit}`, {
      n: digits === undefined ? { range: [from, to] } : { range: [from, to], digits },
    });
  }

  /** An ISO day, as `12 September 2026`. */
  day(iso: string, style: Intl.DateTimeFormatOptions = { dateStyle: "long" }): string {
    const date = new Date(`${iso}T00:00:00Z`);
    return Number.isNaN(date.getTime()) ? iso : this.#dateFormat({ ...style, timeZone: "UTC" }).format(date);
  }

  /** Names in the order a reader of this language expects. */
  collator(): Intl.Collator {
    return new Intl.Collator(this.locale, { numeric: true, sensitivity: "base" });
  }

  #message(key: string, args: Record<string, Arg>): Piece[] {
    const found = this.#template(key, args);
    if (found === null) {
      return [{ text: `[no wording yet: ${key}]`, lang: "en" }];
    }
    const lang = found.fallback ? { lang: "en" } : {};
    const pieces: Piece[] = [];
    let at = 0;
    for (const match of found.template.matchAll(PLACEHOLDER)) {
      if (match.index > at) {
        pieces.push({ text: found.template.slice(at, match.index), ...lang });
      }
      at = match.index + match[0].length;
      const name = match[1] ?? "";
      const arg = Object.hasOwn(args, name) ? args[name] : undefined;
      if (arg === undefined) {
        this.#warnOnce(`message \`${key}\` needs \`${name}\`, which was not given`);
        pieces.push({ text: "…" });
      } else {
        pieces.push(...this.#argument(arg));
      }
    }
    if (at < found.template.length) {
      pieces.push({ text: found.template.slice(at), ...lang });
    }
    return pieces;
  }

  #template(key: string, args: Record<string, Arg>): { template: string; fallback: boolean } | null {
    const own = Object.hasOwn(this.#catalogue, key) ? this.#catalogue[key] : undefined;
    if (own !== undefined) {
      return { template: choose(own, args["n"], this.#plural), fallback: false };
    }
    const english = Object.hasOwn(this.#english, key) ? this.#english[key] : undefined;
    if (english !== undefined) {
      this.#warnOnce(`message \`${key}\` has no wording in \`${this.locale}\`; the English is shown`);
      return { template: choose(english, args["n"], this.#englishPlural), fallback: true };
    }
    this.#warnOnce(`message \`${key}\` has no wording in any language`);
    return null;
  }

  #argument(arg: Arg): Piece[] {
    if ("n" in arg) return [{ text: this.number(arg.n, arg.unit, arg.digits) }];
    if ("range" in arg) return [{ text: this.range(arg.range[0], arg.range[1], arg.unit, arg.digits) }];
    if ("date" in arg) return [{ text: this.day(arg.date) }];
    if ("monthDay" in arg)
      return [{ text: this.day(`2000-${arg.monthDay}`, { day: "numeric", month: "long" }) }];
    if ("time" in arg) return [{ text: this.#clock(arg.time) }];
    if ("utc" in arg) return [{ text: this.#moment(arg.utc, arg.timeZone ?? this.timeZone) }];
    if ("text" in arg) return [datum(arg)];
    if ("key" in arg) return this.#message(arg.key, arg.args ?? {});
    return this.#list(arg.list);
  }

  #list(items: Arg[]): Piece[] {
    const format = new Intl.ListFormat(this.locale, { type: "conjunction" });
    return format.formatToParts(items.map((_, index) => String(index))).flatMap((part) => {
      if (part.type !== "element") return [{ text: part.value }];
      const item = items[Number(part.value)];
      return item === undefined ? [] : this.#argument(item);
    });
  }

  #clock(time: string): string {
    const date = new Date(`2000-01-01T${time.length === 5 ? `${time}:00` : time}Z`);
    return Number.isNaN(date.getTime())
      ? time
      : this.#dateFormat({ timeStyle: "short", timeZone: "UTC" }).format(date);
  }

  #moment(utc: string, timeZone: string | undefined): string {
    const date = new Date(utc);
    if (Number.isNaN(date.getTime())) return utc;
    const style: Intl.DateTimeFormatOptions = { hour: "numeric", minute: "2-digit", timeZoneName: "short" };
    return this.#dateFormat({ ...style, timeZone: timeZone ?? "UTC" }).format(date);
  }

  #numberFormat(unit: string | undefined, digits: number | undefined, short: boolean): Intl.NumberFormat {
    const key = `${unit ?? ""}/${String(digits ?? "")}/${String(short)}`;
    let format = this.#numbers.get(key);
    if (format === undefined) {
      const unitDisplay = short || (unit !== undefined && SIGNED.has(unit)) ? "short" : "long";
      format = new Intl.NumberFormat(this.locale, {
        ...(unit === undefined ? {} : { style: "unit", unit, unitDisplay }),
        maximumFractionDigits: digits ?? 2,
      });
      this.#numbers.set(key, format);
    }
    return format;
  }

  #dateFormat(options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
    const key = JSON.stringify(options);
    let format = this.#dates.get(key);
    if (format === undefined) {
      try {
        format = new Intl.DateTimeFormat(this.locale, options);
      } catch {
        // A zone this browser does not know: told in UTC, which timeZoneName then names.
        this.#warnOnce(`time zone \`${String(options.timeZone)}\` is not known here; UTC is used`);
        format = new Intl.DateTimeFormat(this.locale, { ...options, timeZone: "UTC" });
      }
      this.#dates.set(key, format);
    }
    return format;
  }

  #warnOnce(message: string): void {
    if (this.#warned.has(message)) return;
    this.#warned.add(message);
    this.#warn(`hostwood: ${message}`);
  }
}

/** The wording that fits the number `n`; the last form where a message has forms but no number came. */
function choose(entry: string | Forms, n: Arg | undefined, plural: Intl.PluralRules): string {
  if (typeof entry === "string") return entry;
  if (n !== undefined && "n" in n) return entry[plural.select(n.n)] ?? entry.other;
  if (n !== undefined && "range" in n) return entry[formOfRange(n.range, plural)] ?? entry.other;
  return entry.other;
}

/** The plural form of a range; that of its far end in browsers that do not know ranges. */
function formOfRange([from, to]: [number, number], plural: Intl.PluralRules): Intl.LDMLPluralRule {
  const ranged = plural as Intl.PluralRules & {
    selectRange?: (from: number, to: number) => Intl.LDMLPluralRule;
  };
  return ranged.selectRange?.(from, to) ?? plural.select(to);
}

function datum(text: { text: string; lang?: string }): Piece {
  return text.lang === undefined
    ? { text: text.text, data: true }
    : { text: text.text, lang: text.lang, data: true };
}

/** The best of `offered` for a BCP 47 tag, shortened step by step as RFC 4647 looks tags up; null if there is none. */
export function lookUpLanguage(tag: string, offered: readonly string[]): string | null {
  let rest = tag.toLowerCase().replaceAll("_", "-");
  while (rest !== "") {
    const found = offered.find((one) => one.toLowerCase() === rest);
    if (found !== undefined) return found;
    rest = rest.includes("-") ? rest.slice(0, rest.lastIndexOf("-")) : "";
  }
  return null;
}

/** Of texts by language, the best for the first language that has one, with its tag; English, else any, otherwise. */
export function pick(
  texts: Record<string, string>,
  languages: readonly string[],
): { text: string; lang: string } | null {
  const tags = Object.keys(texts);
  for (const wanted of [...languages, "en"]) {
    let rest = wanted.toLowerCase();
    while (rest !== "") {
      const lang = tags.find((one) => one.toLowerCase() === rest);
      if (lang !== undefined) return { text: texts[lang] ?? "", lang };
      rest = rest.includes("-") ? rest.slice(0, rest.lastIndexOf("-")) : "";
    }
  }
  const first = tags[0];
  return first === undefined ? null : { text: texts[first] ?? "", lang: first };
}
