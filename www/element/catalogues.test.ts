/**
 * The catalogues of all languages held against the English one, and how the words of a language are come by.
 *
 * What is held: every key and no other, the same placeholders, the plural forms that the language's numbers need
 * (CLDR plural rules, as shipped with the runtime), sentences that end as the English ones do, nothing left in English
 * by accident, and no word that calls a find fit to eat or a thing permitted.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import { chooseLanguage, ENGLISH, findWording, LOADERS, type Loader, type Wording } from "./catalogues.ts";
import { Words, type Catalogue, type Forms } from "./words.ts";

const FILES = readdirSync("locales").filter((name) => name.endsWith(".json"));
const READ: Readonly<Record<string, Catalogue>> = Object.fromEntries(
  FILES.map((name) => [
    name.replace(/\.json$/, ""),
    JSON.parse(readFileSync(`locales/${name}`, "utf8")) as Catalogue,
  ]),
);
const OTHERS = Object.keys(READ).filter((language) => language !== "en");

/** Messages that are rightly the same in a language as in English. */
const SAME: Readonly<Record<string, readonly string[]>> = {
  cs: ["setting.park"],
  de: ["month.11", "month.4", "month.8", "month.9", "soil.neutral", "ui.code"],
  es: ["ui.no"],
  fr: [
    "sheet.kind.sources",
    "sheet.law.article",
    "sheet.law.cited",
    "ui.basket.volume",
    "ui.list.distance",
    "ui.messages",
  ],
  it: ["ui.list.area", "ui.no"],
  pl: ["setting.park"],
};

/** Words that would call a find fit to eat or a thing permitted, where no message may. */
const PROMISES: Readonly<Record<string, RegExp>> = {
  cs: /dovolen|(?<!ne)bezpečn|jedl[áéýou]\b|jedl(ých|ými)/i,
  de: /erlaubt|gestattet|unbedenklich|essbar|speisepilz/i,
  en: /\bedible|allowed|permitted|safe\b/i,
  es: /permitid|autorizad|segur[ao]s?\b|comestible/i,
  fi: /sallit|sallitt|turvalli|syötäv|ruokasien/i,
  fr: /autorisé|sans danger|comestible/i,
  it: /consentit|permess[ae]\b|sicur[oaie]\b|commestibil/i,
  pl: /dozwolon|(?<!nie)bezpieczn|jadaln/i,
};

/** The one message that names permission, to deny it. */
const DENIES = "ui.rules.none.text";

/** Numbers as maps and rule books hold them. */
const NUMBERS = [...Array(200).keys(), 0.5, 1.5, 2.5, 1000, 12_345, 250_000];

/** Signs of units, which are the same in all these languages. */
const SIGNS = /\b(mm|cm|m|kg|h|min)\b/g;

function formsOf(entry: string | Forms): Partial<Forms> {
  return typeof entry === "string" ? { other: entry } : entry;
}

function holes(text: string): string {
  return [...new Set([...text.matchAll(/\{(\w+)\}/g)].map((match) => match[1]))].sort().join(" ");
}

function ending(text: string): string {
  return /[.?:…]$/.exec(text)?.[0] ?? "";
}

/** What a catalogue lacks, or has wrong, beside the English one. */
function gaps(language: string, catalogue: Catalogue, english: Catalogue, same: readonly string[]): string[] {
  const plural = new Intl.PluralRules(language);
  const needed = new Set<string>(["other", ...NUMBERS.map((n) => plural.select(n))]);
  const known = new Set<string>(plural.resolvedOptions().pluralCategories);
  const found: string[] = [];
  for (const key of Object.keys(catalogue).filter((one) => !Object.hasOwn(english, one))) {
    found.push(`\`${key}\` is not in the English catalogue`);
  }
  for (const [key, told] of Object.entries(english)) {
    const entry = Object.hasOwn(catalogue, key) ? catalogue[key] : undefined;
    if (entry === undefined) {
      found.push(`\`${key}\` is missing: ${formsOf(told).other ?? ""}`);
      continue;
    }
    if (typeof entry !== typeof told) {
      found.push(`\`${key}\` is ${typeof entry === "string" ? "one text" : "forms"}, unlike the English`);
      continue;
    }
    const original = formsOf(told).other ?? "";
    const forms = formsOf(entry);
    if (typeof entry !== "string") {
      for (const form of needed)
        if (!Object.hasOwn(forms, form)) found.push(`\`${key}\` has no form \`${form}\``);
      for (const form of Object.keys(forms)) {
        if (!known.has(form)) found.push(`\`${key}\`: ${language} has no form \`${form}\``);
      }
    }
    for (const text of Object.values(forms)) {
      if (holes(text) !== holes(original)) {
        found.push(`\`${key}\` holds {${holes(text)}}, expected {${holes(original)}}: ${text}`);
      }
      if (ending(text) !== ending(original)) found.push(`\`${key}\` ends unlike the English: ${text}`);
      if (text !== text.trim() || text === "") found.push(`\`${key}\` has spaces at its ends, or no words`);
    }
    // A message of placeholders and signs of units alone has nothing to translate.
    const wordless = !/\p{L}/u.test(original.replaceAll(/\{\w+\}/g, "").replaceAll(SIGNS, ""));
    if (forms.other === original && !wordless && !same.includes(key)) {
      found.push(`\`${key}\` is still English: ${original}`);
    }
    if (forms.other !== original && same.includes(key)) {
      found.push(`\`${key}\` is listed as the same as in English, but is not`);
    }
  }
  return found;
}

test("the check of a language sees each gap", () => {
  const english: Catalogue = {
    hello: "On {day}.",
    stands: { one: "{n} stand", other: "{n} stands" },
    value: "{value}",
    code: "Code",
  };
  const polish: Catalogue = {
    hello: "Dnia {day}.",
    stands: {
      one: "{n} drzewostan",
      few: "{n} drzewostany",
      many: "{n} drzewostanów",
      other: "{n} drzewostanu",
    },
    value: "{value}",
    code: "Kod",
  };
  const without = (key: string): Catalogue =>
    Object.fromEntries(Object.entries(polish).filter(([one]) => one !== key));
  const table: [catalogue: Catalogue, same: string[], gap: string[]][] = [
    [polish, [], []],
    [without("hello"), [], ["`hello` is missing: On {day}."]],
    [{ ...polish, hallo: "x" }, [], ["`hallo` is not in the English catalogue"]],
    [{ ...polish, hello: "Dnia {dzień}." }, [], ["`hello` holds {}, expected {day}: Dnia {dzień}."]],
    [{ ...polish, hello: "Dnia {day}" }, [], ["`hello` ends unlike the English: Dnia {day}"]],
    [{ ...polish, hello: " {day}." }, [], ["`hello` has spaces at its ends, or no words"]],
    [{ ...polish, hello: { other: "{day}." } }, [], ["`hello` is forms, unlike the English"]],
    [{ ...polish, stands: "{n}" }, [], ["`stands` is one text, unlike the English"]],
    [
      { ...polish, stands: { one: "{n} a", two: "{n} b", few: "{n} c", other: "{n} d" } },
      [],
      ["`stands` has no form `many`", "`stands`: pl has no form `two`"],
    ],
    [{ ...polish, code: "Code" }, [], ["`code` is still English: Code"]],
    [{ ...polish, code: "Code" }, ["code"], []],
    [polish, ["code"], ["`code` is listed as the same as in English, but is not"]],
  ];
  for (const [catalogue, same, gap] of table) assert.deepEqual(gaps("pl", catalogue, english, same), gap);
});

test("every catalogue has its loader, and every loader its catalogue", async () => {
  assert.deepEqual(Object.keys(LOADERS).sort(), OTHERS.sort());
  for (const [language, load] of Object.entries(LOADERS)) {
    assert.deepEqual((await load()).default, READ[language], language);
  }
});

for (const language of OTHERS) {
  test(`the catalogue \`${language}\` is whole`, () => {
    assert.deepEqual(gaps(language, READ[language] ?? {}, ENGLISH, SAME[language] ?? []), []);
  });
}

/** Messages of a catalogue that promise what no message may. */
function promises(language: string, catalogue: Catalogue): string[] {
  const words = PROMISES[language];
  if (words === undefined) return [`no words are listed that \`${language}\` must not use`];
  return Object.entries(catalogue).flatMap(([key, entry]) =>
    Object.values(formsOf(entry)).some((text) => words.test(text)) ? [key] : [],
  );
}

test("no language calls a find fit to eat or a thing permitted", () => {
  assert.deepEqual(promises("de", { a: "Hier ist Sammeln erlaubt.", b: "Nicht essen." }), ["a"]);
  assert.deepEqual(promises("xx", {}), ["no words are listed that `xx` must not use"]);
  for (const [language, catalogue] of Object.entries(READ)) {
    // That silence is no permission is said in every language.
    assert.deepEqual(promises(language, catalogue), [DENIES], language);
  }
});

/** French sets a space that does not break before its double signs and inside its quotation marks. */
const LOOSE_SIGN = /[^\u00a0\u202f][:;?!»]|«[^\u00a0\u202f]/u;

test("in French no sign is left alone at the start of a line", () => {
  for (const text of ["Pourquoi ?", "Pourquoi?", "« bois »"]) assert.match(text, LOOSE_SIGN);
  assert.doesNotMatch("Source\u00a0: «\u00a0bois\u00a0»\u202f?", LOOSE_SIGN);
  const loose = Object.entries(READ["fr"] ?? {}).filter(([, entry]) =>
    Object.values(formsOf(entry)).some((text) => LOOSE_SIGN.test(text)),
  );
  assert.deepEqual(loose, []);
});

test("numbers choose the forms of each language", () => {
  const table: [language: string, n: number, said: string][] = [
    ["cs", 1, "1 porost"],
    ["cs", 3, "3 porosty"],
    ["cs", 1.5, "1,5 porostu"],
    ["cs", 1112, "1\u00a0112 porostů"],
    ["de", 1112, "1.112 Bestände"],
    ["es", 2, "2 rodales"],
    ["fi", 2, "2 metsikköä"],
    ["fr", 0, "0 peuplement"],
    ["fr", 2, "2 peuplements"],
    ["it", 2, "2 popolamenti"],
    ["pl", 22, "22 drzewostany"],
    ["pl", 25, "25 drzewostanów"],
  ];
  for (const [language, n, said] of table) {
    const words = new Words(language, READ[language] ?? {}, ENGLISH, assert.fail);
    assert.equal(words.say("ui.stands", { n: { n } }), said);
  }
});

test("the first language that is spoken is chosen (RFC 4647, 3.4), with the reader's own tag for numbers", () => {
  const table: [tags: string[], language: string, locale: string][] = [
    [["de-AT", "en"], "de", "de-AT"],
    [["nl", "fr-CA", "en"], "fr", "fr-CA"],
    [["en-US", "de"], "en", "en-US"],
    [["nl"], "en", "en"],
    [[], "en", "en"],
  ];
  for (const [tags, language, locale] of table) assert.deepEqual(chooseLanguage(tags), { language, locale });
});

/** A search for words, and what came of it. */
function search(
  tags: string[],
  loaders: Readonly<Record<string, Loader>>,
  patience = 10_000,
): { shown: Wording[]; warned: string[]; end: () => void } {
  const shown: Wording[] = [];
  const warned: string[] = [];
  const end = findWording(tags, (wording) => shown.push(wording), {
    loaders,
    patience,
    warn: (message) => warned.push(message),
  });
  return { shown, warned, end };
}

/** A loader that answers when it is told to. */
function held(): { load: Loader; give: (catalogue: Catalogue) => void; fail: (error: Error) => void } {
  let give: (catalogue: Catalogue) => void = () => assert.fail();
  let fail: (error: Error) => void = () => assert.fail();
  const file = new Promise<{ default: Catalogue }>((resolve, reject) => {
    give = (catalogue) => {
      resolve({ default: catalogue });
    };
    fail = reject;
  });
  return { load: () => file, give, fail };
}

const languages = (shown: Wording[]): string[] => shown.map(({ language }) => language);
const aMoment = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 20));

test("English is there at once, without a request", () => {
  const { shown } = search(["en-US"], { de: () => assert.fail("German was asked for") });
  assert.deepEqual(shown, [{ language: "en", locale: "en-US", catalogue: ENGLISH }]);
});

test("another language is shown when its file has come, and nothing before it", async () => {
  const { load, give } = held();
  const { shown, warned } = search(["de-CH"], { de: load });
  await aMoment();
  assert.deepEqual(languages(shown), []);
  give({ hello: "Hallo" });
  await aMoment();
  assert.deepEqual(shown, [{ language: "de", locale: "de-CH", catalogue: { hello: "Hallo" } }]);
  assert.deepEqual(warned, []);
});

test("a file that cannot be had leaves English, and is told", async () => {
  const { load, fail } = held();
  const { shown, warned } = search(["fi"], { fi: load });
  fail(new TypeError("Failed to fetch"));
  await aMoment();
  assert.deepEqual(shown, [{ language: "en", locale: "en", catalogue: ENGLISH }]);
  assert.deepEqual(warned, [
    "hostwood: the words for `fi` could not be loaded, so English is shown; expected their file beside `hostwood.js` (TypeError: Failed to fetch)",
  ]);
});

test("where a file takes too long English stands in until it comes", async () => {
  const late = held();
  const { shown } = search(["fi"], { fi: late.load }, 1);
  await aMoment();
  assert.deepEqual(languages(shown), ["en"]);
  late.give({});
  await aMoment();
  assert.deepEqual(languages(shown), ["en", "fi"]);
  const lost = held();
  const other = search(["fi"], { fi: lost.load }, 1);
  await aMoment();
  lost.fail(new Error("lost"));
  await aMoment();
  assert.deepEqual(languages(other.shown), ["en"], "English is not shown a second time");
  assert.equal(other.warned.length, 1);
});

test("a language that is not wanted any more is not shown", async () => {
  const { load, give } = held();
  const { shown, end } = search(["de"], { de: load }, 5);
  end();
  give({});
  await aMoment();
  assert.deepEqual(shown, []);
});
