/**
 * What the element offers to a page's author is what its own description says: slots, parts, custom properties,
 * attributes and events.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import { ATTRIBUTES, HostwoodMap } from "./element.ts";

const sources = readdirSync("element")
  .filter((name) => name.endsWith(".ts") && !name.endsWith(".test.ts"))
  .map((name) => readFileSync(`element/${name}`, "utf8"));
const styles = readdirSync("styles").map((name) => readFileSync(`styles/${name}`, "utf8"));
const description = /\/\*\*([^]*?)\*\//.exec(readFileSync("element/element.ts", "utf8"))?.[1] ?? "";

/** The names in backticks of one paragraph of the description. */
function told(paragraph: string): string[] {
  const text = new RegExp(`${paragraph}:([^]*?)\\n \\*\\n|${paragraph}:([^]*)$`).exec(description);
  return names(text?.[1] ?? text?.[2] ?? "", /`([\w-]+)`/g);
}

function names(text: string, pattern: RegExp): string[] {
  return [...new Set([...text.matchAll(pattern)].map((match) => match[1] ?? ""))].sort();
}

test("every part is described, and every described part is there", () => {
  const used = names(sources.join("\n"), /part: "([\w-]+)"/g);
  assert.ok(used.includes("map"));
  assert.deepEqual(told("Parts"), used);
});

test("every custom property is described, and every described one is used", () => {
  const used = names(styles.join("\n"), /var\(\s*(--hostwood-[\w-]+)/g);
  assert.ok(used.includes("--hostwood-paper"));
  assert.deepEqual(told("Custom properties"), used);
});

test("every named slot is described", () => {
  assert.deepEqual(told("Slots"), names(sources.join("\n"), /make\("slot", \{ name: "(\w+)" \}/g));
});

test("every attribute is a property", () => {
  for (const attribute of ATTRIBUTES.filter((name) => name !== "lang")) {
    const property = attribute.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase());
    const found = Object.getOwnPropertyDescriptor(HostwoodMap.prototype, property);
    assert.equal(typeof found?.get, "function", attribute);
    assert.equal(typeof found?.set, "function", attribute);
  }
});

test("every event that is sent is described", () => {
  const sent = names(sources.join("\n"), /#send\("(hostwood-\w+)"/g);
  assert.equal(sent.length, 5);
  for (const name of sent) assert.ok(description.includes(`\`${name}\``), name);
});
