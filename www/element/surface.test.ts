/**
 * What the element offers to a page's author is what surface.json says: attributes, properties, methods, events, slots,
 * parts and custom properties; nothing more and nothing less. The manifest and the tables of the pages are made from it.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import { propertyOf } from "./author.ts";
import { ATTRIBUTES, FILES, HostwoodMap } from "./element.ts";
import surface from "./surface.json";

const sources = readdirSync("element")
  .filter((name) => name.endsWith(".ts") && !name.endsWith(".test.ts"))
  .map((name) => readFileSync(`element/${name}`, "utf8"))
  .join("\n");
const element = readFileSync("element/element.ts", "utf8");
const styles = readdirSync("styles")
  .map((name) => readFileSync(`styles/${name}`, "utf8"))
  .join("\n");

/** The callbacks that the platform calls, and the names it looks for. */
const PLATFORM = ["constructor", "connectedCallback", "disconnectedCallback", "attributeChangedCallback"];

function found(text: string, pattern: RegExp): string[] {
  return [...new Set([...text.matchAll(pattern)].map((match) => match[1] ?? ""))].sort();
}

function told(rows: readonly { name: string }[]): string[] {
  return rows.map(({ name }) => name).sort();
}

/** Fails with what to do where the two differ. */
function same(what: string, inTable: string[], inCode: string[]): void {
  assert.ok(inCode.length > 0, `no ${what} were found in the code`);
  assert.deepEqual(
    inTable,
    inCode,
    `${what} of the code and of element/surface.json differ; give each a row there`,
  );
}

test("attributes", () => {
  same("attributes", told(surface.attributes), [...ATTRIBUTES].sort());
});

test("every attribute is a property", () => {
  for (const attribute of ATTRIBUTES.filter((name) => name !== "lang")) {
    const mirror = Object.getOwnPropertyDescriptor(HostwoodMap.prototype, propertyOf(attribute));
    assert.equal(typeof mirror?.get, "function", attribute);
    assert.equal(typeof mirror?.set, "function", attribute);
  }
});

test("properties and methods", () => {
  const members = Object.entries(Object.getOwnPropertyDescriptors(HostwoodMap.prototype)).filter(
    ([name]) => !PLATFORM.includes(name),
  );
  const mirrors = ATTRIBUTES.map(propertyOf);
  const properties = members.filter(
    ([name, one]) => one.value === undefined && !mirrors.includes(name as never),
  );
  same(
    "properties",
    surface.properties.map(({ name, readonly }) => `${name} ${readonly ? "read" : "set"}`).sort(),
    properties.map(([name, one]) => `${name} ${one.set === undefined ? "read" : "set"}`).sort(),
  );
  for (const name of FILES) assert.ok(told(surface.properties).includes(name), name);
  same(
    "methods",
    surface.methods
      .map(
        ({ name, parameters }) => `${name}/${String(parameters.filter((one) => !("default" in one)).length)}`,
      )
      .sort(),
    members
      .filter(([, { value }]) => typeof value === "function")
      .map(([name, { value }]) => `${name}/${String((value as () => void).length)}`)
      .sort(),
  );
});

test("events, with their types", () => {
  same("events", told(surface.events), found(element, /#send\("(hostwood-\w+)"/g));
  const types = new Map(
    [...element.matchAll(/"(hostwood-\w+)": (CustomEvent<.*>);/g)].map(([, name, type]) => [name, type]),
  );
  for (const { name, type } of surface.events) assert.equal(type, types.get(name), name);
  same("events", told(surface.events), found(element, /"(hostwood-\w+)": HostwoodEvents/g));
});

test("slots", () => {
  const named = found(sources, /make\("slot", \{ name: "([\w-]+)" \}/g);
  same("slots", told(surface.slots), ["", ...named]);
});

test("parts", () => {
  same("parts", told(surface.parts), found(sources, /part: "([\w-]+)"/g));
});

test("custom properties, with what they are by themselves", () => {
  same("custom properties", told(surface.customProperties), found(styles, /var\(\s*(--hostwood-[\w-]+)/g));
  const flat = styles.replaceAll(/\s+/g, " ");
  for (const row of surface.customProperties) {
    const use = `var( ${row.name}, ${row.default} )`.replaceAll(/\s+/g, "");
    assert.ok(
      flat.replaceAll(/\s+/g, "").includes(use),
      `${row.name}: its default in element/surface.json is not the one of the styles`,
    );
  }
});

test("nothing that would keep a page from being put aside and taken up again", () => {
  assert.deepEqual(found(sources, /["'`]((?:before)?unload)["'`]/g), []);
  assert.deepEqual(found('addEventListener("beforeunload", f)', /["'`]((?:before)?unload)["'`]/g), [
    "beforeunload",
  ]);
});
