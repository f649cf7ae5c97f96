/**
 * Addresses that lead back to a stand: what is written is read again, what is not ours stays, what makes no sense is
 * told and costs nothing else. `geo:` addresses are held against RFC 5870.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { isLinkName, readLink, writeLink, type Linked } from "./deep-links.ts";
import { geoLink } from "./geo-link.ts";
import { fileName } from "./save.ts";

function read(fragment: string, name = "map"): { linked: Linked; warned: string[] } {
  const warned: string[] = [];
  return { linked: readLink(fragment, name, (message) => warned.push(message)), warned };
}

test("what is written is read again", () => {
  const states: Linked[] = [
    {},
    { stand: "12/a & b=c#d?", day: "2026-09-26", wish: "boletus_edulis" },
    { stand: "Őrség 7", view: "wood", place: [14.3012, 48.3, 12.5] },
    { place: [-70.5, -41.25, 9] },
  ];
  for (const state of states) {
    const fragment = writeLink("", "map", state);
    const { linked, warned } = read(`#${fragment}`);
    assert.deepEqual(linked, state, fragment);
    assert.deepEqual(warned, []);
  }
});

test("two elements and the page's own anchor do not collide", () => {
  const first = writeLink("#rules", "one", { stand: "1" });
  const both = writeLink(`#${first}`, "two", { stand: "2" });
  assert.equal(both, "rules&one.stand=1&two.stand=2");
  assert.deepEqual(read(both, "one").linked, { stand: "1" });
  assert.deepEqual(read(both, "two").linked, { stand: "2" });
  // A name that begins like another is another name.
  assert.deepEqual(read(both, "tw"), { linked: {}, warned: [] });
  assert.equal(writeLink(`#${both}`, "tw", {}), both);
  assert.equal(writeLink(`#${both}`, "one", {}), "rules&two.stand=2");
});

test("what makes no sense in an address is told, and the rest is read", () => {
  const table: [part: string, told: RegExp][] = [
    ["map.stand=", /the id of a stand/],
    ["map.stand=%E0%A4%A", /the id of a stand/],
    ["map.day=2026-02-30", /a day such as `map\.day=2026-09-26`/],
    ["map.view=moss", /one of `roots`, `wood`, `litter`/],
    ["map.wish=<b>", /the id of a kind/],
    ["map.at=14.3,48.3", /longitude, latitude and zoom/],
    ["map.at=14.3,98,12", /longitude, latitude and zoom/],
    ["map.at=,,", /longitude, latitude and zoom/],
    ["map.colour=red", /`stand`, `day`, `view`, `wish` or `at`/],
  ];
  for (const [part, told] of table) {
    const { linked, warned } = read(`#${part}&map.stand=7`);
    assert.deepEqual(linked, { stand: "7" }, part);
    assert.equal(warned.length, 1, part);
    assert.match(warned[0] ?? "", told);
  }
});

test("a name for the address is a plain word", () => {
  for (const name of ["map", "hw", "stand-map2"]) assert.ok(isLinkName(name), name);
  for (const name of ["", "2nd", "a.b", "a=b", "x".repeat(40), "ö"]) assert.ok(!isLinkName(name), name);
});

test("geo addresses are written as RFC 5870 has them: latitude first, WGS 84, a point as decimal sign", () => {
  // RFC 5870, 3.3: coord-a [ "," coord-b ], num = [ "-" ] pnum, uncp = ";u=" pnum.
  const form = /^geo:-?\d+(\.\d+)?,-?\d+(\.\d+)?(;u=\d+(\.\d+)?)?$/;
  const table: [place: [number, number], u: number | undefined, address: string][] = [
    // The example of RFC 5870, 1.
    [[16.3695, 48.198634], undefined, "geo:48.19863,16.3695"],
    [[-70.5, -41], 120.4, "geo:-41,-70.5;u=120"],
    [[181, 10], undefined, "geo:10,-179"],
    [[0.0000001, 0], undefined, "geo:0,0"],
  ];
  for (const [place, u, address] of table) {
    assert.equal(geoLink(place, u), address);
    assert.match(geoLink(place, u), form);
  }
});

test("file names hold letters and digits only", () => {
  assert.equal(fileName(["Church Wood 1", "2026-09-12"], "gpx"), "church-wood-1-2026-09-12.gpx");
  assert.equal(fileName(["../../<b>", ""], "html"), "b.html");
  assert.equal(fileName(["/", "."], "csv"), "hostwood.csv");
});
