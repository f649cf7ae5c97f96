/**
 * What the schema of rule books says of a value: its shape, its meaning, the words it may be.
 *
 * In: the schema that is made from the engine's types, and a way through a book. Out: for each kind of rule the fields
 * it has, and for each place of a book what may stand there. Left to others: what the form calls them (labels.ts),
 * controls for them (controls.ts), whether what stands there is right (the engine).
 */
import schema from "../../src/rules/book.schema.json";
import { at, entriesOf, fieldsOf, type Json, type Way } from "./reading.ts";

/** What kind of value a field holds, as far as the form and the editor tell values apart. */
export type Shape =
  | { is: "text" | "day" | "day_of_year" | "clock" | "decimal" | "days_of_month" | "days" | "list" }
  | { is: "flag" | "texts" | "fungi" | "outline" | "anything" }
  | { is: "number"; least: number | null; most: number | null; whole: boolean }
  | { is: "word"; words: readonly Word[] }
  | { is: "words"; words: readonly Word[]; loose: boolean }
  | { is: "windows"; of: "year" | "hours" }
  | { is: "object"; fields: readonly Described[] }
  | { is: "entries"; fields: readonly Described[] };

/** One word of a closed list, with its meaning. */
export interface Word {
  word: string;
  about: string;
}

/** One field of an object. */
export interface Described {
  name: string;
  about: string;
  required: boolean;
  shape: Shape;
}

type Node = Record<string, Json>;

const ROOT = schema as unknown as Node;
const DEFINED = fieldsOf(ROOT["$defs"]);
const RULE = fieldsOf(DEFINED["Rule"]);

/** Values that are told apart by the name of their definition. */
const NAMED: ReadonlyMap<string, Shape> = new Map<string, Shape>([
  ["Day", { is: "day" }],
  ["DayOfYear", { is: "day_of_year" }],
  ["Clock", { is: "clock" }],
  ["Decimal", { is: "decimal" }],
  ["DaysOfMonth", { is: "days_of_month" }],
  ["Texts", { is: "texts" }],
  ["SomeTexts", { is: "texts" }],
  ["Fungi", { is: "fungi" }],
  ["Outline", { is: "outline" }],
]);

/** Follows references and leaves out that a value may be missing. */
function resolved(node: Node): { node: Node; names: readonly string[] } {
  const names: string[] = [];
  let here = node;
  for (;;) {
    const { $ref: to, anyOf } = here;
    if (typeof to === "string") {
      const name = to.replace("#/$defs/", "");
      names.push(name);
      here = fieldsOf(DEFINED[name]);
      continue;
    }
    const there = entriesOf(anyOf)
      .map(fieldsOf)
      .filter((one) => one["type"] !== "null");
    const [only] = there;
    if (there.length === 1 && only !== undefined) {
      here = only;
      continue;
    }
    return { node: here, names };
  }
}

/** Shapes that were worked out before, by their nodes. */
const KNOWN = new Map<Node, Shape>();

/** The shape of a value. */
function shapeOf(node: Node): Shape {
  const known = KNOWN.get(node);
  if (known !== undefined) return known;
  const shape = workedOut(node);
  KNOWN.set(node, shape);
  return shape;
}

function workedOut(given: Node): Shape {
  const { node, names } = resolved(given);
  const named = names.map((name) => NAMED.get(name)).find((shape) => shape !== undefined);
  if (named !== undefined) return named;
  const words = wordsIn(node);
  if (words !== null) return { is: "word", words };
  const [one, several] = entriesOf(node["anyOf"]).map(fieldsOf);
  if (one !== undefined && several?.["type"] === "array") {
    const { names: of } = resolved(one);
    if (of.includes("YearWindow")) return { is: "windows", of: "year" };
    if (of.includes("HourWindow")) return { is: "windows", of: "hours" };
    const shape = shapeOf(one);
    if (shape.is === "word") return { is: "words", words: shape.words, loose: true };
  }
  switch (typeIn(node)) {
    case "boolean":
      return { is: "flag" };
    case "integer":
    case "number":
      return {
        is: "number",
        least: numberIn(node["minimum"]),
        most: numberIn(node["maximum"]),
        whole: typeIn(node) === "integer",
      };
    case "string": {
      // The kinds of rules are an open list: a newer book may have others.
      const known = entriesOf(node["examples"]).filter((one) => typeof one === "string");
      if (known.length === 0) return { is: "text" };
      return { is: "word", words: known.map((word) => ({ word, about: "" })) };
    }
    case "array": {
      const entry = shapeOf(fieldsOf(node["items"]));
      if (entry.is === "word") return { is: "words", words: entry.words, loose: false };
      if (entry.is === "day") return { is: "days" };
      if (entry.is === "object") return { is: "entries", fields: entry.fields };
      return { is: "list" };
    }
    case "object":
      return { is: "object", fields: fieldsIn(node) };
    default:
      return { is: "anything" };
  }
}

/** The one type a value has beside null. */
function typeIn(node: Node): string | null {
  const { type } = node;
  const types = Array.isArray(type) ? type.filter((one) => one !== "null") : [type];
  return typeof types[0] === "string" ? types[0] : null;
}

function numberIn(value: Json | undefined): number | null {
  return typeof value === "number" ? value : null;
}

/** The words of a closed list, or null where the value is none. */
function wordsIn(node: Node): Word[] | null {
  const listed = entriesOf(node["enum"]).filter((one) => typeof one === "string");
  if (listed.length > 0) return listed.map((word) => ({ word, about: "" }));
  const told = entriesOf(node["oneOf"]).map(fieldsOf);
  if (told.length > 0 && told.every((one) => typeof one["const"] === "string" || "enum" in one)) {
    return told.flatMap((one) => {
      const about = typeof one["description"] === "string" ? one["description"] : "";
      const { const: only } = one;
      if (typeof only === "string") return [{ word: only, about }];
      return entriesOf(one["enum"]).flatMap((word) => (typeof word === "string" ? [{ word, about }] : []));
    });
  }
  const { const: only } = node;
  return typeof only === "string" ? [{ word: only, about: aboutOf(node) }] : null;
}

/** What a value means: its own words, or those of what it refers to. */
function aboutOf(given: Node): string {
  const own = given["description"];
  if (typeof own === "string") return own;
  const { description } = resolved(given).node;
  return typeof description === "string" ? description : "";
}

/** The fields of an object. */
function fieldsIn(given: Node): Described[] {
  const { node } = resolved(given);
  const required = entriesOf(node["required"]);
  return Object.entries(fieldsOf(node["properties"])).map(([name, value]) => ({
    name,
    about: aboutOf(fieldsOf(value)),
    required: required.includes(name),
    shape: shapeOf(fieldsOf(value)),
  }));
}

/** What each kind of rule says beside the common fields: the schema of the object that is named for it. */
const SAID: ReadonlyMap<string, Node> = new Map(
  entriesOf(RULE["allOf"]).flatMap((branch): [string, Node][] => {
    const { if: when, then } = fieldsOf(branch);
    const word = at(when, ["properties", "kind", "const"]);
    return typeof word === "string" ? [[word, fieldsOf(at(then, ["properties", word]))]] : [];
  }),
);

/** Every kind of rule by its word, in the engine's order. */
export const KIND_WORDS: readonly string[] = [...SAID.keys()];

/** The fields of what a kind of rule says; none where its words say it all. */
export function saidBy(kind: string): Described[] {
  const node = SAID.get(kind);
  return node === undefined ? [] : fieldsIn(node);
}

/** The fields that rules of all kinds have. One of them holds for all kinds but the one that is called the same. */
export function commonFields(kind: string): Described[] {
  const others = entriesOf(RULE["allOf"]).flatMap((branch) => {
    const { if: when, then } = fieldsOf(branch);
    const but = at(when, ["not", "properties", "kind", "const"]);
    return typeof but === "string" && but !== kind ? fieldsIn(fieldsOf(then)) : [];
  });
  const common = fieldsIn(RULE);
  return [...common, ...others.filter(({ name }) => !common.some((one) => one.name === name))];
}

/** What may stand at the end of a way through a book, as the book is. */
export function shapeAt(book: Json, way: Way): Shape {
  let shape: Shape = { is: "object", fields: fieldsIn(ROOT) };
  for (let length = 0; length < way.length; length += 1) {
    const step = way[length] ?? "";
    const field: Described | undefined = fieldsAt(shape, book, way.slice(0, length)).find(
      ({ name }) => name === step,
    );
    if (field !== undefined) shape = field.shape;
    else if (shape.is === "entries") shape = { is: "object", fields: shape.fields };
    else if (shape.is === "words") shape = { is: "word", words: shape.words };
    else if (shape.is === "days") shape = { is: "day" };
    else if (shape.is === "windows" && typeof step === "number") shape = { is: "windows", of: shape.of };
    else if (length === 1 && way[0] === "taxa")
      shape = { is: "object", fields: fieldsIn(fieldsOf(DEFINED["TaxonSet"])) };
    else return { is: "anything" };
  }
  return shape;
}

/** The field at the end of a way, or null where the schema has none there. */
export function fieldAt(book: Json, way: Way): Described | null {
  const name = way.at(-1);
  if (typeof name !== "string") return null;
  const above = way.slice(0, -1);
  return fieldsAt(shapeAt(book, above), book, above).find((one) => one.name === name) ?? null;
}

/** The fields that an object at the end of a way may have. */
export function fieldsThere(book: Json, way: Way): readonly Described[] {
  return fieldsAt(shapeAt(book, way), book, way);
}

function fieldsAt(shape: Shape, book: Json, way: Way): readonly Described[] {
  if (shape.is === "windows") {
    const window = fieldsOf(DEFINED[shape.of === "year" ? "YearWindow" : "HourWindow"]);
    return fieldsIn(window);
  }
  if (shape.is === "fungi") return fieldsIn(fieldsOf(DEFINED["AllBut"]));
  if (shape.is === "outline") return fieldsIn(fieldsOf(DEFINED["Outline"]));
  if (shape.is !== "object") return [];
  if (way.length !== 2 || way[0] !== "rules") return shape.fields;
  // A rule has the fields of all rules, and one that is named for its kind.
  const kind = at(book, [...way, "kind"]);
  const node = typeof kind === "string" ? SAID.get(kind) : undefined;
  if (typeof kind !== "string" || node === undefined) return shape.fields;
  const said: Described = {
    name: kind,
    about: aboutOf(node),
    required: SAID_REQUIRED.has(kind),
    shape: { is: "object", fields: fieldsIn(node) },
  };
  return [...commonFields(kind), said];
}

/** The kinds of rule that must have the object named for them. */
const SAID_REQUIRED: ReadonlySet<string> = new Set(
  entriesOf(RULE["allOf"]).flatMap((branch) => {
    const { if: when, then } = fieldsOf(branch);
    const word = at(when, ["properties", "kind", "const"]);
    return typeof word === "string" && entriesOf(fieldsOf(then)["required"]).includes(word) ? [word] : [];
  }),
);

/** The fields of a definition of the schema, such as `Zone` or `Source`. */
export function defined(name: string): Described[] {
  return fieldsIn(fieldsOf(DEFINED[name]));
}

/** The fields of the book itself. */
export const BOOK: readonly Described[] = fieldsIn(ROOT);
