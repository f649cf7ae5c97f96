/*
 * The manifest is one after the published schema, and says of each row of the table what the table says.
 *
 * Outside: schema.json of the npm package custom-elements-manifest 2.1.0 (JSON Schema draft 7), read by ajv.
 */
import { test } from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import Ajv from "ajv";
import { manifestOf } from "./manifest.mjs";

const require = createRequire(import.meta.url);
const surface = JSON.parse(readFileSync(new URL("../element/surface.json", import.meta.url), "utf8"));
const schema = JSON.parse(readFileSync(require.resolve("custom-elements-manifest/schema.json"), "utf8"));
const ajv = new Ajv({ strict: false, allErrors: true });
ajv.addSchema(schema, "manifest");
const holds = ajv.compile({ $ref: "manifest" });
// In the whole, a declaration may be of any kind, so that a bad one passes for another; by itself it may not.
const declares = ajv.compile({ $ref: "manifest#/definitions/CustomElementDeclaration" });

test("the manifest follows the published schema", () => {
  const manifest = manifestOf(surface);
  assert.ok(holds(manifest), ajv.errorsText(holds.errors));
  assert.ok(declares(manifest.modules[0].declarations[0]), ajv.errorsText(declares.errors));
});

test("a manifest that does not is refused", () => {
  const [module] = manifestOf(surface).modules;
  delete module.declarations[0].cssParts[0].name;
  assert.equal(declares(module.declarations[0]), false);
  assert.match(ajv.errorsText(declares.errors), /cssParts\/0 must have required property 'name'/);
  delete module.path;
  assert.equal(holds({ schemaVersion: "2.1.0", modules: [module] }), false);
  assert.match(ajv.errorsText(holds.errors), /modules\/0 must have required property 'path'/);
});

test("every row of the table is in the manifest", () => {
  const [{ declarations }] = manifestOf(surface).modules;
  const [element] = declarations;
  const names = (rows) => rows.map(({ name }) => name);
  assert.deepEqual(names(element.attributes), names(surface.attributes));
  assert.deepEqual(names(element.events), names(surface.events));
  assert.deepEqual(names(element.slots), names(surface.slots));
  assert.deepEqual(names(element.cssParts), names(surface.parts));
  assert.deepEqual(names(element.cssProperties), names(surface.customProperties));
  const mirrored = element.members.filter(({ attribute }) => attribute !== undefined);
  assert.deepEqual(
    mirrored.map(({ attribute }) => attribute),
    names(surface.attributes).filter((name) => name !== "lang"),
  );
  assert.equal(element.members.length, mirrored.length + surface.properties.length + surface.methods.length);
});
