/**
 * The text of a rule book as a tree, and edits of the text that change one value and leave all else as it stands.
 *
 * In: the text as it is at the moment, whole or half written. Out: its values, places in it, and the least changes that
 * set, add or take out one value. Left to others: what the values mean (the engine checks them), showing the text
 * (text.ts).
 */
import {
  findNodeAtLocation,
  findNodeAtOffset,
  getNodePath,
  getNodeValue,
  modify,
  parseTree,
  type JSONPath,
  type Node,
  type ParseError,
} from "jsonc-parser";

/** A value in the text. Objects have no prototype. */
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** The way from the root to a value: names of fields and places in lists. */
export type Way = JSONPath;

/** The text, read. `whole` is false where it is no JSON as it stands; then the values are what could be made out. */
export interface Reading {
  text: string;
  root: Node | undefined;
  book: Json;
  whole: boolean;
}

/** A change of the text: what stands from `from` to `to` gives way to `insert`. Offsets in UTF-16 units. */
export interface Change {
  from: number;
  to: number;
  insert: string;
}

const STRICT = { disallowComments: true, allowTrailingComma: false };

/** Reads the text as far as it can be read. */
export function read(text: string): Reading {
  const errors: ParseError[] = [];
  const root = parseTree(text, errors, STRICT);
  return {
    text,
    root,
    book: root === undefined ? null : (getNodeValue(root) as Json),
    whole: errors.length === 0 && root !== undefined,
  };
}

/** The value at the end of a way, or undefined. */
export function at(value: Json | undefined, way: Way): Json | undefined {
  let here = value;
  for (const step of way) {
    if (here === null || here === undefined || typeof here !== "object") return undefined;
    here = Array.isArray(here)
      ? typeof step === "number"
        ? here[step]
        : undefined
      : Object.hasOwn(here, step)
        ? here[step]
        : undefined;
  }
  return here;
}

/** An object's fields, or none where the value is no object. */
export function fieldsOf(value: Json | undefined): Record<string, Json> {
  return value !== null && typeof value === "object" && !Array.isArray(value) ? value : {};
}

/** A list's entries, or none where the value is no list. */
export function entriesOf(value: Json | undefined): Json[] {
  return Array.isArray(value) ? value : [];
}

/** A text or a number as text; empty where the value is neither. */
export function wordOf(value: Json | undefined): string {
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}

/**
 * The changes that set the value at the end of a way, or take it out where `value` is undefined. What is added is laid
 * out as its neighbours are: on a line of its own where they are, else beside them.
 */
export function changes(text: string, way: Way, value: Json | undefined): Change[] {
  return modify(text, way, value, {}).map(({ offset, length, content }) => ({
    from: offset,
    to: offset + length,
    insert: laidOut(text, offset, content),
  }));
}

/** The changes that add an entry at the end of a list; the list is made where there is none. */
export function additions(reading: Reading, way: Way, value: Json): Change[] {
  const list = at(reading.book, way);
  if (!Array.isArray(list)) return changes(reading.text, way, [value]);
  return changes(reading.text, [...way, list.length], value);
}

/** New text as it reads best where it comes to stand. It arrives without any blanks: `,"field":value` and the like. */
function laidOut(text: string, offset: number, content: string): string {
  const [, comma = "", field, rest = "", after = ""] =
    /^(,?)(?:("(?:[^"\\]|\\.)*"):)?([^]*?)(,?)$/.exec(content) ?? [];
  if (rest === "") return content;
  const lineStart = text.lastIndexOf("\n", offset - 1) + 1;
  const indent = /^[ \t]*/.exec(text.slice(lineStart))?.[0] ?? "";
  const value = written(JSON.parse(rest) as Json, indent);
  const whole = field === undefined ? value : `${field}: ${value}`;
  if (comma === "") return `${whole}${after === "" ? "" : ", "}`;
  // The last neighbour begins its line, or ends it as a closing bracket does: the newcomer gets a line too.
  const before = text.slice(lineStart, offset).trim();
  const alone = /^(?:[\]}]|"(?:[^"\\]|\\.)*"\s*:)/.test(before) && isOneEntry(before);
  return alone ? `,\n${indent}${whole}` : `, ${whole}`;
}

/** Whether a line holds one entry and no more: brackets closed, or closing what was opened above. */
function isOneEntry(line: string): boolean {
  if (/^[\]}]+$/.test(line)) return true;
  let depth = 0;
  for (const sign of line.replaceAll(/"(?:[^"\\]|\\.)*"/g, '""')) {
    if (sign === "{" || sign === "[") depth += 1;
    if (sign === "}" || sign === "]") depth -= 1;
    if (sign === "," && depth === 0) return false;
  }
  return depth === 0;
}

/** So much stands on one line; what is longer is broken up. */
const LINE = 90;

/** A value as text: short ones on one line, long ones with an entry a line. */
function written(value: Json, indent: string): string {
  const flat = oneLine(value);
  if (flat.length <= LINE || value === null || typeof value !== "object") return flat;
  const inner = `${indent}  `;
  const entries = Array.isArray(value)
    ? value.map((entry) => written(entry, inner))
    : Object.entries(value).map(([name, entry]) => `${JSON.stringify(name)}: ${written(entry, inner)}`);
  const [open, close] = Array.isArray(value) ? ["[", "]"] : ["{", "}"];
  return `${open}\n${entries.map((entry) => inner + entry).join(",\n")}\n${indent}${close}`;
}

function oneLine(value: Json): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(", ")}]`;
  if (value !== null && typeof value === "object") {
    return `{${Object.entries(value)
      .map(([name, entry]) => `${JSON.stringify(name)}: ${oneLine(entry)}`)
      .join(", ")}}`;
  }
  return JSON.stringify(value);
}

/** Where a line (from 1) and a column (from 1, in characters) lie in the text. */
export function offsetOf(text: string, line: number, column: number): number {
  let start = 0;
  for (let passed = 1; passed < line; passed += 1) {
    const end = text.indexOf("\n", start);
    if (end < 0) return text.length;
    start = end + 1;
  }
  let offset = start;
  for (const character of text.slice(start)) {
    if (offset - start >= 0 && column <= 1) break;
    if (character === "\n") break;
    column -= 1;
    offset += character.length;
  }
  return Math.min(offset, text.length);
}

/** The innermost value at an offset: its way and its stretch of text. */
export function valueAt(reading: Reading, offset: number): { way: Way; from: number; to: number } | null {
  if (reading.root === undefined) return null;
  const node = findNodeAtOffset(reading.root, offset);
  if (node === undefined) return null;
  const inner = node.type === "property" ? (node.children?.[1] ?? node) : node;
  return { way: getNodePath(inner), from: node.offset, to: node.offset + node.length };
}

/** Where the value at the end of a way stands in the text. */
export function stretchOf(reading: Reading, way: Way): { from: number; to: number } | null {
  const node = reading.root === undefined ? undefined : findNodeAtLocation(reading.root, way);
  return node === undefined ? null : { from: node.offset, to: node.offset + node.length };
}

/** So many characters of positions are a sight that nobody wants to read through. */
const LONG = 200;

/** Where long lists of positions stand, without their brackets. */
export function outlines(reading: Reading): { from: number; to: number }[] {
  const found: { from: number; to: number }[] = [];
  const look = (node: Node): void => {
    const [name, value] = node.children ?? [];
    if (node.type === "property" && name?.value === "coordinates" && value !== undefined) {
      if (value.length > LONG) found.push({ from: value.offset + 1, to: value.offset + value.length - 1 });
      return;
    }
    node.children?.forEach(look);
  };
  if (reading.root !== undefined) look(reading.root);
  return found;
}

/** A way as one string, to be compared and looked up: a JSON Pointer (RFC 6901). */
export function pointer(way: Way): string {
  return way.map((step) => `/${String(step).replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");
}
