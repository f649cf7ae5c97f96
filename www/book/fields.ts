/**
 * The questions of the form, worked out from the schema.
 *
 * In: a field as the schema has it, and the way to it by names. Out: the question that the form asks, and what a value
 * begins with. Left to others: the schema (schema.ts), the names (labels.ts), the controls (controls.ts).
 */
import { fieldName, wordName } from "./labels.ts";
import type { Json, Way } from "./reading.ts";
import { BOOK, commonFields, defined, saidBy, type Described, type Shape, type Word } from "./schema.ts";

/** One of a closed list of words: as the file has it, and as the form says it. */
export type Option = readonly [word: string, label: string];

/** What the ids in a field are ids of. */
export type Refers = "limit" | "rules" | "sources" | "zones";

/** One question of the form. `way` leads from the rule, or from the book, to the value. */
export interface Field {
  way: Way;
  /** The way by names alone, from the rule's kind or the book. */
  path: readonly string[];
  label: string;
  hint: string | undefined;
  required: boolean;
  shape: Shape;
  refers: Refers | null;
}

/** The fields that hold ids, by the ending of their way. Whether one or several follows from the shape. */
const REFERRING: Readonly<Record<string, Refers>> = {
  "sub_limit.of": "limit",
  "distance.near": "zones",
  where: "zones",
  sources: "sources",
  source: "sources",
  replaces: "rules",
  exempts: "rules",
  "ask.zone": "zones",
  "ask.zones": "zones",
  all_of: "zones",
  any_of: "zones",
  not: "zones",
};

const HINTS: Partial<Record<Shape["is"], string>> = {
  decimal: "Such as 2 or 0.5",
  days_of_month: "Such as 1-10 or 1,15",
  days: "One a line, such as 2026-11-01",
  list: "One a line",
};

/** The question about a field; `above` is the way by names to what it belongs to. */
export function ask(above: readonly string[], described: Described): Field {
  const { name, about, required, shape } = described;
  const path = [...above, name];
  return {
    way: [name],
    path,
    label: fieldName(path) ?? name,
    hint: HINTS[shape.is] ?? example(about),
    required,
    shape,
    refers: shape.is === "text" || shape.is === "list" ? refersTo(path) : null,
  };
}

/** What the ids in a field are ids of, by the longest ending of its way that is listed. */
function refersTo(path: readonly string[]): Refers | null {
  for (let from = 0; from < path.length; from += 1) {
    const key = path.slice(from).join(".");
    if (Object.hasOwn(REFERRING, key)) return REFERRING[key] ?? null;
  }
  return null;
}

/** Words that give an example serve as a hint. */
function example(about: string): string | undefined {
  const told = /such as `([^`]+)`/.exec(about)?.[1];
  return told === undefined ? undefined : `Such as ${told}`;
}

/** The words of a field with their names. */
export function options(field: Field, words: readonly Word[]): Option[] {
  return words.map(({ word }): Option => [word, wordName(field.path, word) ?? word]);
}

/** Fields that a form has no question for: they are what a rule is called, and what it was begun as. */
const IN_TEXT: readonly string[] = ["id", "kind"];
/** What the form asks of every rule before all else, and where. */
const FIRST: readonly string[] = ["text", "sources"];

/** The questions about what a kind of rule says. An exemption says which rules it lifts. */
export function kindFields(kind: string): Field[] {
  if (kind === "exemption") return named(commonFields(kind), ["exempts"], []);
  return saidBy(kind).map((described) => {
    const field = ask([kind], described);
    return { ...field, way: [kind, ...field.way] };
  });
}

/** What every rule is asked: its words and where they are written. */
export function aboutFields(kind: string): Field[] {
  return commonFields(kind)
    .filter(({ name }) => FIRST.includes(name))
    .map((described) => ask([], described));
}

/** Which fungi the rule is about. A part of a limit, or limits side by side, name them beside their amounts. */
export function taxaField(kind: string): Field[] {
  const own = JSON.stringify(saidBy(kind).map(({ shape }) => shape)).includes('"fungi"');
  return own ? [] : named(commonFields(kind), ["taxa"], []);
}

/** When, where and for whom a rule holds, and what it softens. */
export function conditionFields(kind: string): Field[] {
  const asked = [...IN_TEXT, ...FIRST, "taxa", "exempts"];
  return commonFields(kind)
    .filter(({ name }) => !asked.includes(name))
    .map((described) => ask([], described));
}

/** What the form asks about the book itself. */
export function bookFields(): Field[] {
  const elsewhere = ["$schema", "format", "sources", "taxa", "zones", "rules", "examples"];
  return BOOK.filter(({ name }) => !elsewhere.includes(name)).map((described) => ask([], described));
}

/** The questions that the book asks of itself. */
export function exampleFields(): Field[] {
  return named(BOOK, ["examples"], []);
}

/** What the form asks about one source. */
export function sourceFields(): Field[] {
  return defined("Source")
    .filter(({ name }) => name !== "id")
    .map((described) => ask(["sources"], described));
}

/** What the form asks about one list of fungi, beside its names. */
export function listFields(): Field[] {
  return named(defined("TaxonSet"), ["names", "open"], ["taxa"]);
}

/** What a place is called. */
export function zoneFields(): Field[] {
  return named(defined("Zone"), ["names"], ["zones"]);
}

function named(fields: readonly Described[], names: readonly string[], above: readonly string[]): Field[] {
  return fields.filter(({ name }) => names.includes(name)).map((described) => ask(above, described));
}

/** What a value of this shape begins with; undefined where only the officer can know. */
export function start(shape: Shape): Json | undefined {
  switch (shape.is) {
    case "decimal":
      return "1";
    case "number":
      return shape.least ?? 1;
    case "flag":
      return true;
    case "word":
      return shape.words[0]?.word;
    case "text":
    case "fungi":
      return "";
    case "texts":
      return {};
    case "object":
      return startOf(shape.fields);
    default:
      return undefined;
  }
}

/** What an object with these fields begins with: what must be there, or else the first field. */
export function startOf(fields: readonly Described[]): { [key: string]: Json } {
  const must = fields.filter(({ required }) => required);
  const begun = (must.length > 0 ? must : fields.slice(0, 1)).flatMap(({ name, shape }): [string, Json][] => {
    const value = start(shape);
    return value === undefined ? [] : [[name, value]];
  });
  return Object.fromEntries(begun);
}
