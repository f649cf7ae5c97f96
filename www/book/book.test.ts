/**
 * The page on which rule books are written, without the page: edits that leave all else as it stands, places in the
 * text, outlines, the year in words; the form against the schema, and hints out of it.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import type { Answer } from "../element/protocol.ts";
import {
  aboutFields,
  ask,
  bookFields,
  conditionFields,
  exampleFields,
  kindFields,
  listFields,
  sourceFields,
  taxaField,
  zoneFields,
  type Field,
} from "./fields.ts";
import { KINDS } from "./kinds.ts";
import { fieldName, LISTED, wordName } from "./labels.ts";
import { meaningAt, offersAt } from "./meaning.ts";
import { outlineIn } from "./outline.ts";
import { additions, at, changes, offsetOf, pointer, read, valueAt, type Json, type Way } from "./reading.ts";
import { monthsOf, sentence } from "./months.ts";
import { commonFields, defined, KIND_WORDS, saidBy } from "./schema.ts";
import { emptyBook } from "./start.ts";
import { PLACE_WAYS } from "./zones.ts";

const BOOK = `{
  // a remark stays
  "rules": [
    {"id": "daily",   "quantity": {"amount": "2", "unit": "kg"}, "odd": [1,2]}
  ]
}
`;

function edited(text: string, way: Way, value: Json | undefined): string {
  return made(text, changes(text, way, value));
}

function made(text: string, all: ReturnType<typeof changes>): string {
  return [...all]
    .sort((one, other) => other.from - one.from)
    .reduce((now, { from, to, insert }) => now.slice(0, from) + insert + now.slice(to), text);
}

test("an edit changes one value and leaves remarks, blanks and unknown parts as they stand", () => {
  assert.equal(edited(BOOK, ["rules", 0, "quantity", "amount"], "1.5"), BOOK.replace('"2"', '"1.5"'));
});

test("a field is added where it was not, and taken out where nothing is told", () => {
  const added = edited(BOOK, ["rules", 0, "valid_to"], "2026-12-31");
  assert.equal(at(read(added).book, ["rules", 0, "valid_to"]), "2026-12-31");
  assert.ok(added.includes("// a remark stays") && added.includes('"odd": [1,2]'));
  const without = edited(added, ["rules", 0, "valid_to"], undefined);
  assert.deepEqual(read(without).book, read(BOOK).book);
});

test("an entry is added at the end of a list, and a list is made where there is none", () => {
  const more = made(BOOK, additions(read(BOOK), ["rules"], { id: "new" }));
  assert.equal(at(read(more).book, ["rules", 1, "id"]), "new");
  const first = made("{}", additions(read("{}"), ["zones"], { id: "core" }));
  assert.equal(at(read(first).book, ["zones", 0, "id"]), "core");
});

test("what is added is laid out as its neighbours are", () => {
  const lines = '{\n  "a": 1,\n  "b": {\n    "c": 2\n  }\n}';
  const table: [text: string, way: Way, value: Json, becomes: string][] = [
    ['{"a": 1}', ["b"], { c: [1, "x"] }, '{"a": 1, "b": {"c": [1, "x"]}}'],
    [lines, ["d"], true, '{\n  "a": 1,\n  "b": {\n    "c": 2\n  },\n  "d": true\n}'],
    [lines, ["b", "d"], 3, '{\n  "a": 1,\n  "b": {\n    "c": 2,\n    "d": 3\n  }\n}'],
    ["{}", ["a", "b"], "x,y", '{"a": {"b": "x,y"}}'],
    ['{"a": []}', ["a", 0], "x", '{"a": ["x"]}'],
    ['{"a": ["x"]}', ["a", 1], "y", '{"a": ["x", "y"]}'],
  ];
  for (const [text, way, value, becomes] of table) assert.equal(edited(text, way, value), becomes);
});

test("half a text is read as far as it goes, and is not whole", () => {
  const half = read('{"rules": [{"id": "daily", ');
  assert.equal(half.whole, false);
  assert.equal(at(half.book, ["rules", 0, "id"]), "daily");
  assert.equal(read(BOOK).whole, false, "a remark is no JSON (RFC 8259)");
  assert.equal(read("").whole, false);
});

test("lines and columns are found, columns in characters", () => {
  const text = '{\n  "a": "🍄x",\n  "b": 2\n}';
  const table: [line: number, column: number, there: string][] = [
    [1, 1, "{"],
    [2, 3, '"a"'],
    [2, 9, "🍄"],
    [2, 10, "x"],
    [3, 8, "2"],
  ];
  for (const [line, column, there] of table) {
    assert.ok(
      text.slice(offsetOf(text, line, column)).startsWith(there),
      `${String(line)}:${String(column)}`,
    );
  }
  assert.equal(offsetOf(text, 99, 1), text.length);
});

test("a place in the text leads to the value there", () => {
  const text = '{"rules": [{"quantity": {"amount": "2"}}]}';
  const found = valueAt(read(text), text.indexOf('"2"'));
  assert.equal(pointer(found?.way ?? []), "/rules/0/quantity/amount");
  assert.equal(text.slice(found?.from, found?.to), '"2"');
  assert.equal(pointer(["a/b", "c~d"]), "/a~1b/c~0d", "RFC 6901, section 3");
});

test("an outline is taken from any GeoJSON that holds polygons (RFC 7946)", () => {
  const ring = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 0],
  ];
  const polygon = { type: "Polygon", coordinates: [ring] };
  const feature = { type: "Feature", properties: {}, geometry: polygon };
  assert.deepEqual(outlineIn(JSON.stringify(feature)), polygon);
  assert.deepEqual(outlineIn(JSON.stringify({ type: "FeatureCollection", features: [feature, feature] })), {
    type: "MultiPolygon",
    coordinates: [[ring], [ring]],
  });
  assert.equal(outlineIn('{"type": "Point", "coordinates": [0, 0]}'), null);
  assert.equal(outlineIn("no JSON"), null);
});

test("a month is told in stretches of days, what holds on most days last", () => {
  const days = (pattern: string): Answer[] =>
    [...pattern].map((sign) => (sign === "x" ? "closed" : sign === "n" ? "need" : "limits"));
  const table: [pattern: string, said: string][] = [
    ["xxxx", "closed on every day"],
    ["xxx...x...", "closed on 1–3 and 7, with limits on the other days"],
    ["x.n....", "closed on 1, permit or consent first on 3, with limits on the other days"],
  ];
  for (const [pattern, said] of table) assert.equal(sentence(days(pattern)), said);
});

test("a year has its twelve months, a leap year its day more", () => {
  const year = (from: string, n: number): number[] =>
    monthsOf({ from, answers: Array.from({ length: n }, () => "limits") }).map(
      ({ answers }) => answers.length,
    );
  assert.deepEqual(year("2026-01-01", 365), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]);
  assert.deepEqual(year("2028-01-01", 366).slice(0, 3), [31, 29, 31]);
});

test("the form names every kind that the schema knows, and no other", () => {
  assert.ok(KIND_WORDS.length > 30, "the schema's kinds were not found");
  assert.deepEqual([...KINDS.keys()].sort(), [...KIND_WORDS].sort());
});

/** All questions of the form: those asked, and those inside objects and lists. */
function questions(): Field[] {
  const inside = (field: Field): Field[] =>
    field.shape.is === "object" || field.shape.is === "entries"
      ? [field, ...field.shape.fields.flatMap((one) => inside(ask(field.path, one)))]
      : [field];
  // What is open or closed is asked for by one control, under the name of the kind.
  const asOne = ({ path, shape }: Field): boolean =>
    shape.is === "windows" && ["open", "closed"].includes(path.at(-1) ?? "");
  const where = defined("Place").filter(({ name }) => name !== "near" && name !== "outline");
  return [
    ...KIND_WORDS.flatMap((kind) => [
      ...kindFields(kind),
      ...aboutFields(kind),
      ...taxaField(kind),
      ...conditionFields(kind),
    ]),
    ...bookFields(),
    ...exampleFields(),
    ...sourceFields(),
    ...listFields(),
    ...zoneFields(),
    ...where.map((one) => ask(["zones", "where"], one)),
    ...defined("Near")
      .filter(({ name }) => name === "metres")
      .map((one) => ask(["near"], one)),
  ]
    .flatMap(inside)
    .filter((field) => !asOne(field));
}

test("every field and every word of the schema has a name in the form, and every name is used", () => {
  const used = { fields: new Set<string>(), words: new Set<string>() };
  const note = (keys: readonly string[], set: Set<string>, path: readonly string[]): void => {
    const key = path.map((_, from) => path.slice(from).join(".")).find((one) => keys.includes(one));
    if (key !== undefined) set.add(key);
  };
  for (const field of questions()) {
    const { path, shape } = field;
    assert.notEqual(fieldName(path), null, `the field ${path.join(".")} has no name`);
    note(LISTED.fields, used.fields, path);
    const words = shape.is === "word" || shape.is === "words" ? shape.words : [];
    for (const { word } of words) {
      assert.notEqual(wordName(path, word), null, `the word ${path.join(".")} ${word} has no name`);
      note(LISTED.words, used.words, [...path, word]);
    }
    const odd = shape.is === "anything" && !["equals", "one_of"].includes(path.at(-1) ?? "");
    assert.ok(!odd, `the form has no control for ${path.join(".")}`);
  }
  // What is open or closed is one control, and so is what lies near: their parts are not asked for by name.
  const asOne = ["season", "hours", "where.outline"];
  const idle = LISTED.fields.filter((key) => !used.fields.has(key) && !asOne.includes(key));
  assert.deepEqual(idle, [], "names of fields that no field has");
  assert.deepEqual(
    LISTED.words.filter((key) => !used.words.has(key)),
    [],
    "names of words that no field has",
  );
});

test("the form leaves nothing of a rule to the text", () => {
  for (const kind of KIND_WORDS) {
    const asked = [...aboutFields(kind), ...taxaField(kind), ...conditionFields(kind), ...kindFields(kind)];
    const names = new Set(asked.map((field) => field.path[0]));
    const left = commonFields(kind)
      .map(({ name }) => name)
      .filter((name) => !names.has(name) && !["id", "kind", "taxa", "exempts"].includes(name));
    assert.deepEqual(left, [], kind);
    for (const { name } of saidBy(kind)) {
      assert.ok(
        kindFields(kind).some((field) => field.way[1] === name),
        `${kind}.${name}`,
      );
    }
  }
  assert.deepEqual(
    PLACE_WAYS.toSorted(),
    defined("Place")
      .map(({ name }) => name)
      .sort(),
  );
});

test("a new book is whole JSON, and a new rule holds all that its kind must say", () => {
  assert.equal(read(emptyBook("2026-09-12")).whole, true);
  for (const { word, start } of KINDS.values()) {
    const must = saidBy(word).filter(({ required }) => required);
    for (const { name } of must)
      assert.ok(Object.hasOwn(start ?? {}, name), `${word} begins without ${name}`);
  }
});

const HINTED = `{
  "zones": [{"id": "core", "names": {"en": "the core"}, "where": {"attribute": {"name": "age", "below": 15}}}],
  "taxa": {"ceps": {"members": []}},
  "rules": [
    {"id": "daily", "kind": "quantity", "where": [""], "quantity": {"amount": "2", "unit": "kg", "pe"}},
    {"id": "part", "kind": "sub_limit", "sub_limit": {"of": "", "taxa": ""}},
    {"id": "bad", "kind": "container", "container": {"forbidden": [{"material": "plastic", }]}}
  ]
}`;

/** The offset just behind the first place where a stretch of text stands. */
function behind(stretch: string): number {
  return HINTED.indexOf(stretch) + stretch.length;
}

test("the schema offers the fields, words and ids that may stand at a place", () => {
  const table: [stretch: string, offered: string[]][] = [
    ['"unit": "kg", "pe', ["per", "period"]],
    ['"kind": "quantity", "where": ["', ["core"]],
    ['"unit": "', ["kg", "g", "lb_av", "L", "gal_us", "qt_us", "piece"]],
    ['"of": "', ["daily"]],
    ['"of": "", "taxa": "', ["ceps"]],
    ['"material": "', ["wicker", "wood", "cardboard", "paper", "cloth", "net", "metal", "plastic"]],
    ['"material": "plastic", ', ["form", "closed"]],
    ['"amount": "', []],
  ];
  for (const [stretch, offered] of table) {
    const found = offersAt(read(HINTED), behind(stretch));
    assert.deepEqual(
      (found?.offers ?? []).map(({ word }) => word),
      offered,
      stretch,
    );
  }
  const kinds = offersAt(read(HINTED), behind('"kind": "'));
  assert.equal(kinds?.offers.length, KIND_WORDS.length);
});

test("the schema says what a field or a word means", () => {
  const table: [stretch: string, name: string, about: RegExp][] = [
    ['"quantity": {"am', "amount", /ceiling included/],
    ['"unit": "k', "kg", /Kilogram/],
    ['"kind": "quant', "quantity", /for each person or group/],
    ['"materi', "material", /made of/],
    ['{"attribute": {"na', "name", /`age` \(years\)/],
  ];
  for (const [stretch, name, about] of table) {
    const meaning = meaningAt(read(HINTED), behind(stretch));
    assert.equal(meaning?.name, name, stretch);
    assert.match(meaning.about, about, stretch);
  }
  assert.equal(meaningAt(read(HINTED), behind('"unit": "kg", "p')), null, "no such field");
});
