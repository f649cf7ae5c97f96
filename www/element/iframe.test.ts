/**
 * Which addresses of the framed page are taken and which refused, each with its exact words.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { PARAMETERS, readAddress } from "./iframe-address.ts";
import surface from "./surface.json";

const PAGE = "https://office.example/hostwood/iframe.html";
const SOURCES = ["https://data.example"];

const TAKEN: [search: string, attributes: [string, string][]][] = [
  ["?stands=/maps/stands.geojson", [["stands", "/maps/stands.geojson"]]],
  [
    "?stands=a.geojson&lang=de&day=2026-09-12",
    [
      ["stands", "a.geojson"],
      ["lang", "de"],
      ["day", "2026-09-12"],
    ],
  ],
  [
    "?stands=a&heading-level=3&max-bytes=1000&max-stands=10&deep-links=map&basemap-credit=Survey+office",
    [
      ["stands", "a"],
      ["heading-level", "3"],
      ["max-bytes", "1000"],
      ["max-stands", "10"],
      ["deep-links", "map"],
      ["basemap-credit", "Survey office"],
    ],
  ],
  [
    "?stands=a&basemap=https://data.example/{z}/{x}/{y}.png&asset-base=/scripts/",
    [
      ["stands", "a"],
      ["basemap", "https://data.example/{z}/{x}/{y}.png"],
      ["asset-base", "/scripts/"],
    ],
  ],
  ["?stands=https://data.example/a.geojson", [["stands", "https://data.example/a.geojson"]]],
  [
    "?rules=state.json++https://office.example/town.json&stands=a",
    [
      ["rules", "state.json https://office.example/town.json"],
      ["stands", "a"],
    ],
  ],
];

for (const [search, attributes] of TAKEN) {
  test(`taken: ${search}`, () => {
    assert.deepEqual(readAddress(search, PAGE, SOURCES), { attributes, refused: [] });
  });
}

const ELSEWHERE =
  "expected a file of this site; whoever keeps this page can name other sites in its `hostwood-sources`.";
const REFUSED: [search: string, refused: string[]][] = [
  ["", ["`stands` is missing; expected the address of a stand map, such as `?stands=/maps/stands.geojson`."]],
  [
    "?stands=a&rules=https://evil.example/r.json",
    [`\`rules\` lies on \`https://evil.example\`, ${ELSEWHERE}`],
  ],
  ["?stands=//evil.example/a", [`\`stands\` lies on \`https://evil.example\`, ${ELSEWHERE}`]],
  ["?stands=https://data.example:444/a", [`\`stands\` lies on \`https://data.example:444\`, ${ELSEWHERE}`]],
  [
    "?stands=http://data.example/a",
    ["`stands` is `http://data.example/a`, expected a file of this site, or of another over https."],
  ],
  [
    "?stands=data:application/json,{}",
    ["`stands` is `data:application/json,{}`, expected a file of this site, or of another over https."],
  ],
  [
    "?stands=javascript:alert(1)",
    ["`stands` is `javascript:alert(1)`, expected a file of this site, or of another over https."],
  ],
  ["?stands=http://[x", ["`stands` is `http://[x`, expected an address such as `/maps/stands.geojson`."]],
  [
    "?stands=a&basemap=https://tiles.example/{z}/{x}/{y}.png",
    [`\`basemap\` lies on \`https://tiles.example\`, ${ELSEWHERE}`],
  ],
  [
    "?stands=a&asset-base=https://data.example/scripts/",
    ["`asset-base` is `https://data.example/scripts/`, expected a folder of this site."],
  ],
  [
    "?stands=a&rule=b",
    [
      "`rule` is no parameter of this page; expected one of `stands`, `crosswalk`, `rules`, `context`, `weather`, `kinds`, `basemap`, `asset-base`, `day`, `time`, `lang`, `stand`, `label`, `loading`, `basemap-credit`, `deep-links`, `heading-level`, `max-bytes`, `max-stands`.",
    ],
  ],
];

for (const [search, refused] of REFUSED) {
  test(`refused: ${search}`, () => {
    assert.deepEqual(readAddress(search, PAGE, SOURCES).refused, refused);
  });
}

test("the framed page takes every attribute of the element, and no others", () => {
  assert.deepEqual([...PARAMETERS].sort(), surface.attributes.map(({ name }) => name).sort());
});
