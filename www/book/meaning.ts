/**
 * What a place in the text means, and what may be written there.
 *
 * In: the text as it was read, and an offset. Out: the meaning of the field or word there, out of the schema, and the
 * fields, words or ids that may stand there. Left to others: showing them (hints.ts), whether the book is right (the
 * engine).
 */
import { findNodeAtOffset, getNodePath, type Node } from "jsonc-parser";
import { referred, setsNamed } from "./controls.ts";
import { ask, startOf } from "./fields.ts";
import { KINDS } from "./kinds.ts";
import { wordName } from "./labels.ts";
import type { Json, Reading, Way } from "./reading.ts";
import { fieldAt, fieldsThere, shapeAt, type Described } from "./schema.ts";

/** What stands at a place, from `from` to `to`. */
export interface Meaning {
  from: number;
  to: number;
  name: string;
  about: string;
  /** The words that may stand there. */
  words: readonly string[];
}

/** One thing that may be written. `insert` takes the place of what is there. */
export interface Offer {
  word: string;
  about: string;
  insert: string;
}

/** All that may be written from an offset on. */
export interface Offers {
  from: number;
  offers: readonly Offer[];
}

/** What stands at an offset means; null where the schema has nothing to say. */
export function meaningAt(reading: Reading, offset: number): Meaning | null {
  const found = reading.root === undefined ? undefined : findNodeAtOffset(reading.root, offset);
  if (found === undefined || found.type === "object" || found.type === "array") return null;
  const way = getNodePath(found);
  const field = fieldFor(reading.book, way);
  if (field === null) return null;
  const { from, to } = { from: found.offset, to: found.offset + found.length };
  const { name, about, shape } = field;
  const words = shape.is === "word" || shape.is === "words" ? shape.words : [];
  const own = isName(found) ? undefined : words.find(({ word }) => word === found.value);
  if (own !== undefined) {
    const told = name === "kind" ? KINDS.get(own.word)?.says : own.about;
    return { from, to, name: own.word, about: told ?? wordName(names(way), own.word) ?? "", words: [] };
  }
  return { from, to, name, about, words: name === "kind" ? [] : words.map(({ word }) => word) };
}

/** What may be written at an offset: the names of fields, or what a field may hold; null where nothing is known. */
export function offersAt(reading: Reading, offset: number): Offers | null {
  const { root, book } = reading;
  const found = root === undefined ? undefined : findNodeAtOffset(root, offset, true);
  if (found === undefined) return null;
  if (found.type === "object") {
    const offers = missing(book, getNodePath(found), namesIn(found)).map((field) => ({
      word: field.name,
      about: field.about,
      insert: `${JSON.stringify(field.name)}: ${JSON.stringify(first(field))}`,
    }));
    return offers.length === 0 ? null : { from: offset, offers };
  }
  if (found.type !== "string" || offset === found.offset) return null;
  const from = found.offset + 1;
  const way = getNodePath(found);
  if (isName(found)) {
    const object = found.parent?.parent;
    const others = object === undefined ? [] : namesIn(object).filter((name) => name !== found.value);
    const offers = missing(book, way.slice(0, -1), others).map(({ name, about }) => ({
      word: name,
      about,
      insert: name,
    }));
    return offers.length === 0 ? null : { from, offers };
  }
  const offers = valuesAt(book, way);
  return offers.length === 0 ? null : { from, offers };
}

/** Whether a node is the name of a field. */
function isName(node: Node): boolean {
  return node.parent?.type === "property" && node.parent.children?.[0] === node;
}

function namesIn(object: Node): string[] {
  return (object.children ?? []).flatMap((property) => {
    const value: unknown = property.children?.[0]?.value;
    return typeof value === "string" ? [value] : [];
  });
}

/** The fields of an object that it does not have yet; what must be there comes first. */
function missing(book: Json, way: Way, there: readonly string[]): Described[] {
  return fieldsThere(book, way)
    .filter(({ name }) => !there.includes(name))
    .sort((one, other) => Number(other.required) - Number(one.required));
}

/** What a field is begun with in the text. */
function first(field: Described): Json {
  const { shape } = field;
  switch (shape.is) {
    case "words":
    case "days":
    case "list":
      return [];
    case "entries":
      return [startOf(shape.fields)];
    case "windows":
      return shape.of === "year" ? { from: "04-01", to: "06-30" } : { from: "07:00", to: "19:00" };
    default:
      return startOf([{ ...field, required: true }])[field.name] ?? "";
  }
}

/** What a field may hold: the words of its list, or the ids that it may refer to. */
function valuesAt(book: Json, way: Way): Offer[] {
  const offer = (word: string, about: string): Offer => ({ word, about, insert: word });
  const path = names(way);
  const shape = shapeAt(book, way);
  const field = fieldFor(book, way);
  if (shape.is === "word") {
    return shape.words.map(({ word, about }) =>
      offer(word, KINDS.get(word)?.says ?? (about === "" ? (wordName(path, word) ?? "") : about)),
    );
  }
  if (field === null) return [];
  if (field.shape.is === "words") {
    return field.shape.words.map(({ word, about }) => offer(word, about || (wordName(path, word) ?? "")));
  }
  if (field.shape.is === "fungi" || field.name === "all_but") {
    return setsNamed(book).map(([id, name]) => offer(id, name));
  }
  const { refers } = ask(path.slice(0, -1), field);
  return referred(book, refers).map(([id, name]) => offer(id, name));
}

/** The field that a value belongs to: its own, or that of the list it stands in. */
function fieldFor(book: Json, way: Way): Described | null {
  return fieldAt(book, typeof way.at(-1) === "number" ? way.slice(0, -1) : way);
}

/** A way by names alone, from the rule's kind or the book. */
function names(way: Way): string[] {
  const all = way.filter((step) => typeof step === "string");
  return way[0] === "rules" ? all.slice(1) : all;
}
