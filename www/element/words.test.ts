/**
 * The words module: plural forms, ranges, units, dates, isolation of data, gaps; and the English catalogue itself.
 *
 * Plural categories are those of the Unicode CLDR plural rules; the writing of numbers and dates is that of CLDR as
 * shipped with the runtime.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import english from "../locales/en.json";
import type { Arg } from "./protocol.ts";
import { lookUpLanguage, pick, Words, type Catalogue, type Forms } from "./words.ts";

const CATALOGUE: Catalogue = {
  hello: "On {day} at {place}",
  stands: { one: "{n} stand", other: "{n} stands" },
  limit: "at most {amount}",
  between: "from {span}",
  hosts: "With {trees}",
  outer: "Why: {reason}",
  reason: "the stand is {n} old",
  "unit.piece": { one: "{n} piece", other: "{n} pieces" },
};

function words(locale = "en", catalogue = CATALOGUE): { words: Words; warned: string[] } {
  const warned: string[] = [];
  return { words: new Words(locale, catalogue, CATALOGUE, (message) => warned.push(message)), warned };
}

test("plural forms follow the number", () => {
  const table: [n: number, said: string][] = [
    [0, "0 stands"],
    [1, "1 stand"],
    [2, "2 stands"],
    [1112, "1,112 stands"],
    [1.5, "1.5 stands"],
  ];
  for (const [n, said] of table) assert.equal(words().words.say("stands", { n: { n } }), said);
});

test("Polish has four forms (CLDR: one, few, many, other)", () => {
  const polish: Catalogue = {
    stands: {
      one: "{n} drzewostan",
      few: "{n} drzewostany",
      many: "{n} drzewostanów",
      other: "{n} drzewostanu",
    },
  };
  const table: [n: number, said: string][] = [
    [1, "1 drzewostan"],
    [2, "2 drzewostany"],
    [5, "5 drzewostanów"],
    [22, "22 drzewostany"],
    [1.5, "1,5 drzewostanu"],
  ];
  for (const [n, said] of table) assert.equal(words("pl", polish).words.say("stands", { n: { n } }), said);
});

test("a range chooses its own plural form", () => {
  assert.equal(words().words.say("stands", { n: { range: [1, 2] } }), "1–2 stands");
  assert.equal(words().words.say("stands", { n: { range: [0, 1] } }), "0–1 stands");
});

test("numbers carry their units, in words where a sign would be read badly", () => {
  const table: [arg: Arg, said: string][] = [
    [{ n: 2, unit: "kilogram" }, "at most 2 kilograms"],
    [{ n: 0.5, unit: "kilogram" }, "at most 0.5 kilograms"],
    [{ n: 1, unit: "hectare" }, "at most 1 hectare"],
    [{ n: 12.35, unit: "hectare", digits: 1 }, "at most 12.4 hectares"],
    [{ n: 10, unit: "liter" }, "at most 10 litres"],
    [{ n: 80, unit: "percent" }, "at most 80%"],
    [{ n: 20, unit: "piece" }, "at most 20 pieces"],
    [{ n: 1, unit: "piece" }, "at most 1 piece"],
    [{ n: 1250 }, "at most 1,250"],
  ];
  for (const [amount, said] of table) assert.equal(words().words.say("limit", { amount }), said);
});

test("ranges are written once, and as one number where both ends read alike", () => {
  const table: [span: Arg, said: string][] = [
    [{ range: [55, 78] }, "from 55–78"],
    [{ range: [80, 95], unit: "year" }, "from 80–95 years"],
    [{ range: [40, 40] }, "from 40"],
    [{ range: [40.1, 40.2], digits: 0 }, "from 40"],
    [{ range: [1, 3], unit: "piece" }, "from 1–3 pieces"],
  ];
  for (const [span, said] of table) assert.equal(words().words.say("between", { span }), said);
});

test("dates, days of the year, clock times and moments", () => {
  const table: [day: Arg, said: string][] = [
    [{ date: "2026-09-26" }, "On 26 September 2026 at X"],
    [{ monthDay: "02-28" }, "On 28 February at X"],
    [{ monthDay: "02-29" }, "On 29 February at X"],
    [{ time: "07:00" }, "On 07:00 at X"],
    [{ utc: "2026-09-26T05:12:00Z", timeZone: "Europe/Vienna" }, "On 07:12 CEST at X"],
    [{ utc: "2026-12-26T05:12:00Z", timeZone: "Europe/Vienna" }, "On 06:12 CET at X"],
  ];
  for (const [day, said] of table) {
    assert.equal(words().words.say("hello", { day, place: { text: "X" } }), said);
  }
});

test("what is no date is shown as it came", () => {
  assert.equal(words().words.say("hello", { day: { date: "soon" }, place: { text: "X" } }), "On soon at X");
});

test("lists are joined as the language joins them", () => {
  const trees: Arg = {
    list: [
      { text: "Picea", lang: "la" },
      { text: "Fagus", lang: "la" },
      { text: "Quercus", lang: "la" },
    ],
  };
  assert.equal(words().words.say("hosts", { trees }), "With Picea, Fagus and Quercus");
});

test("data stay data: marked, with their language, and never taken for a template", () => {
  const { words: en } = words();
  assert.deepEqual(en.pieces({ key: "hosts", args: { trees: { text: "{n} Picea", lang: "la" } } }), [
    { text: "With " },
    { text: "{n} Picea", lang: "la", data: true },
  ]);
});

test("a message may stand in a message", () => {
  const reason: Arg = { key: "reason", args: { n: { n: 12, unit: "year" } } };
  assert.equal(words().words.say("outer", { reason }), "Why: the stand is 12 years old");
});

test("a gap is filled from the English, marked as English, and told once", () => {
  const { words: german, warned } = words("de", { stands: { one: "{n} Bestand", other: "{n} Bestände" } });
  assert.equal(german.say("stands", { n: { n: 1112 } }), "1.112 Bestände");
  assert.deepEqual(german.pieces({ key: "reason", args: { n: { n: 3, unit: "year" } } }), [
    { text: "the stand is ", lang: "en" },
    { text: "3 Jahre" },
    { text: " old", lang: "en" },
  ]);
  german.say("reason", { n: { n: 3 } });
  assert.deepEqual(warned, ["hostwood: message `reason` has no wording in `de`; the English is shown"]);
});

test("a key without any wording says so and is told", () => {
  const { words: en, warned } = words();
  assert.equal(en.say("law.unheard_of"), "[no wording yet: law.unheard_of]");
  assert.deepEqual(warned, ["hostwood: message `law.unheard_of` has no wording in any language"]);
});

test("a missing argument leaves a visible gap and is told", () => {
  const { words: en, warned } = words();
  assert.equal(en.say("limit"), "at most …");
  assert.deepEqual(warned, ["hostwood: message `limit` needs `amount`, which was not given"]);
});

test("names of the language's own objects are no messages and no arguments", () => {
  const { words: en } = words();
  for (const key of ["constructor", "__proto__", "toString"]) {
    assert.equal(en.has(key), false);
    assert.equal(en.say(key), `[no wording yet: ${key}]`);
  }
});

test("languages are looked up by shortening the tag (RFC 4647, 3.4)", () => {
  const table: [tag: string, offered: string[], found: string | null][] = [
    ["de-AT-1996", ["en", "de"], "de"],
    ["de_CH", ["en", "de"], "de"],
    ["zh-Hant-CN", ["en", "zh-hant"], "zh-hant"],
    ["fr", ["en", "de"], null],
    ["", ["de"], null],
  ];
  for (const [tag, offered, found] of table) assert.equal(lookUpLanguage(tag, offered), found, tag);
});

test("of texts by language the reader's first is taken, then English, then any", () => {
  const texts = { de: "Sammelregeln", en: "Collecting rules" };
  assert.deepEqual(pick(texts, ["de-AT", "en"]), { text: "Sammelregeln", lang: "de" });
  assert.deepEqual(pick(texts, ["fr"]), { text: "Collecting rules", lang: "en" });
  assert.deepEqual(pick({ it: "Regole" }, ["fr"]), { text: "Regole", lang: "it" });
  assert.equal(pick({}, ["en"]), null);
});

/** What is wrong with a catalogue: forms without `other`, forms that disagree in their placeholders, empty words. */
function flaws(catalogue: Catalogue): string[] {
  const holes = (text: string): string =>
    [...text.matchAll(/\{(\w+)\}/g)]
      .map((match) => match[1])
      .sort()
      .join(" ");
  return Object.entries(catalogue).flatMap(([key, entry]) => {
    const forms: Partial<Forms> = typeof entry === "string" ? { other: entry } : entry;
    if (forms.other === undefined) return [`\`${key}\` has no form \`other\``];
    if (forms.other.trim() === "") return [`\`${key}\` has no words`];
    if (typeof entry !== "string" && !forms.other.includes("{n}"))
      return [`\`${key}\` has forms but no \`{n}\``];
    const whole = holes(forms.other);
    return Object.entries(forms).flatMap(([form, text]) =>
      holes(text) === whole ? [] : [`\`${key}\`: the form \`${form}\` has other placeholders than \`other\``],
    );
  });
}

test("the check of a catalogue sees each flaw", () => {
  assert.deepEqual(flaws({ a: { one: "x" } as unknown as Forms }), ["`a` has no form `other`"]);
  assert.deepEqual(flaws({ a: " " }), ["`a` has no words"]);
  assert.deepEqual(flaws({ a: { other: "many" } }), ["`a` has forms but no `{n}`"]);
  assert.deepEqual(flaws({ a: { one: "{n} of {total}", other: "{n}" } }), [
    "`a`: the form `one` has other placeholders than `other`",
  ]);
});

test("the English catalogue has no flaws", () => {
  assert.deepEqual(flaws(english), []);
});

/** The element's own keys that stand in its sources as they are. */
function keysIn(source: string): string[] {
  return [...source.matchAll(/"(ui\.[a-z_.]+[a-z])"/g)].map((match) => match[1] ?? "");
}

test("every key that stands in the element's sources has English words", () => {
  assert.deepEqual(keysIn('words.say("ui.map.west", "ui.")'), ["ui.map.west"]);
  const sources = readdirSync("element").filter((name) => name.endsWith(".ts") && !name.endsWith(".test.ts"));
  assert.ok(sources.length > 15, "the element's sources are read from the folder www");
  const missing = sources.flatMap((name) =>
    keysIn(readFileSync(`element/${name}`, "utf8"))
      .filter((key) => !Object.hasOwn(english, key))
      .map((key) => `${name}: ${key}`),
  );
  assert.deepEqual(missing, []);
});
