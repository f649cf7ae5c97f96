/**
 * What the worker does beside the engine: the order of its tasks, and coordinates for drawing.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { contextThings, flatOutline, project } from "./outlines.ts";
import type { Ask, TileLook } from "./protocol.ts";
import { Queue } from "./queue.ts";
import { roundLength } from "./scale-bar.ts";
import { isClock, isDay, today, utcOffset } from "./today.ts";

const LOOK: TileLook = { size: 256, ratio: 1, view: "roots", scheme: "light", moreContrast: false };
const TILE: Ask = { kind: "tile", z: 1, x: 0, y: 0, look: LOOK };
const AT: Ask = { kind: "standAt", lng: 13, lat: 49 };
const VISIT: Ask = { kind: "visit", visit: { day: "2026-09-26", visitor: {} } };
const SHEET: Ask = { kind: "sheet", id: "7", languages: ["en"], view: "roots" };

/** The calls in the order in which they would be done. */
function order(queue: Queue): number[] {
  const calls: number[] = [];
  for (let next = queue.next(); next !== undefined; next = queue.next()) calls.push(next.call);
  return calls;
}

test("the visitor's questions go before drawing, equals in the order of asking", () => {
  const queue = new Queue();
  for (const [call, task] of [TILE, TILE, AT, TILE, SHEET].entries())
    queue.push({ call, generation: 1, task });
  assert.deepEqual(order(queue), [2, 4, 0, 1, 3]);
});

test("a new generation drops what was drawn for the old one, and keeps questions about places", () => {
  const queue = new Queue();
  for (const [call, task] of [TILE, AT, SHEET].entries()) queue.push({ call, generation: 1, task });
  assert.deepEqual(queue.push({ call: 3, generation: 2, task: VISIT }), [0, 2]);
  assert.deepEqual(order(queue), [3, 1]);
});

test("what comes late for an old generation is dropped at once", () => {
  const queue = new Queue();
  queue.push({ call: 0, generation: 2, task: VISIT });
  assert.deepEqual(queue.push({ call: 1, generation: 1, task: TILE }), [1]);
  assert.deepEqual(order(queue), [0]);
});

test("a cancelled task is taken out; one that is under way is not found", () => {
  const queue = new Queue();
  queue.push({ call: 0, generation: 1, task: TILE });
  assert.equal(queue.cancel(0), true);
  assert.equal(queue.cancel(0), false);
  assert.deepEqual(order(queue), []);
});

// IOGP Guidance Note 7-2, method 1024 "Popular Visualisation Pseudo Mercator", worked example (from memory):
// 24°22'54.433" N, 100°20'00.000" W gives E -11 169 055.58 m, N 2 800 000.00 m.
test("degrees become map metres as in the published example", () => {
  const [x, y] = project(-(100 + 20 / 60), 24 + 22 / 60 + 54.433 / 3600);
  assert.equal(x.toFixed(2), "-11169055.58");
  assert.equal(y.toFixed(2), "2800000.00");
});

const bytes = (json: unknown): Uint8Array => new TextEncoder().encode(JSON.stringify(json));
const SQUARE = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 0],
];

test("an outline is flat, each polygon with the ends of its rings", () => {
  const two = { type: "MultiPolygon", coordinates: [[SQUARE, SQUARE], [SQUARE]] };
  const outline = flatOutline(bytes({ type: "Feature", properties: {}, geometry: two }));
  assert.deepEqual(outline?.ends, [[8, 16], [24]]);
  assert.equal(outline?.coordinates.length, 24);
});

test("what has no area has no outline", () => {
  assert.equal(flatOutline(bytes({ type: "Feature", properties: {}, geometry: null })), null);
  assert.equal(flatOutline(bytes({ type: "Point", coordinates: [0, 0] })), null);
});

test("context things keep role and name; what cannot be drawn is left out", () => {
  const feature = (role: unknown, name: unknown, type: string, coordinates: unknown): unknown => ({
    type: "Feature",
    properties: { role, name },
    geometry: { type, coordinates },
  });
  const things = contextThings(
    bytes({
      type: "FeatureCollection",
      features: [
        feature("path", "Ridge path", "LineString", [
          [0, 0],
          [1, 1],
        ]),
        feature("car_park", null, "Point", [0, 0]),
        feature(7, "", "Polygon", [SQUARE]),
        feature("path", "Nowhere", "LineString", [
          [0, 0],
          ["east", 1],
        ]),
        feature("place", "Off the map", "Point", [0, 91]),
        null,
      ],
    }),
  );
  assert.deepEqual(
    things.map(({ role, name, shape }) => ({ role, name, shape })),
    [
      { role: "path", name: "Ridge path", shape: "line" },
      { role: "car_park", name: undefined, shape: "point" },
      { role: "other", name: undefined, shape: "area" },
    ],
  );
});

test("the scale bar has a round length that is not longer than its room", () => {
  const table: [most: number, length: number][] = [
    [1999, 1000],
    [2000, 2000],
    [4999, 2000],
    [5000, 5000],
    [99, 50],
    [1.5, 1],
  ];
  for (const [most, length] of table) assert.equal(roundLength(most), length);
});

// At 22:30 UTC on 25 September it is half past midnight on the 26th in Vienna (CEST, UTC+2).
/** Clocks in the European Union go back on 25 October 2026 at 01:00 universal time (Directive 2000/84/EC, article 3). */
test("the clock of the forest is told against universal time", () => {
  const table: [zone: string | null, day: string, time: string, minutes: number | undefined][] = [
    ["Europe/Vienna", "2026-10-24", "23:59", 120],
    ["Europe/Vienna", "2026-10-25", "01:30", 120],
    ["Europe/Vienna", "2026-10-25", "02:30", 120],
    ["Europe/Vienna", "2026-10-25", "03:00", 60],
    ["Europe/Vienna", "2026-10-25", "24:00", 60],
    ["Europe/Vienna", "2026-03-29", "03:00", 120],
    ["America/Vancouver", "2026-07-01", "12:00", -420],
    ["Pacific/Kiritimati", "2026-07-01", "12:00", 840],
    ["Asia/Kathmandu", "2026-07-01", "12:00", 345],
    ["Nowhere/Vorrach", "2026-07-01", "12:00", undefined],
    [null, "2026-07-01", "12:00", undefined],
    ["Europe/Vienna", "", "12:00", undefined],
  ];
  for (const [zone, day, time, minutes] of table)
    assert.equal(utcOffset(zone, day, time), minutes, `${String(zone)} ${day} ${time}`);
});

test("today is told where the forest is", () => {
  const moment = new Date("2026-09-25T22:30:00Z");
  assert.equal(today("Europe/Vienna", moment), "2026-09-26");
  assert.equal(today("America/Vancouver", moment), "2026-09-25");
  assert.equal(today("Pacific/Kiritimati", moment), "2026-09-26");
});

test("days and times are held against the calendar and the clock", () => {
  for (const day of ["2026-09-26", "2024-02-29"]) assert.equal(isDay(day), true, day);
  for (const day of ["2026-02-29", "2026-13-01", "26-09-2026", "2026-9-6", "", "today"])
    assert.equal(isDay(day), false, day);
  for (const time of ["00:00", "07:30", "23:59"]) assert.equal(isClock(time), true, time);
  for (const time of ["24:00", "7:30", "07:60", ""]) assert.equal(isClock(time), false, time);
});
