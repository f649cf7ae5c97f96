/**
 * Tiles drawn before anybody asks for them: which, when, and what becomes of them.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { Ahead, type Spot } from "./ahead.ts";

/** A place to draw, and what was drawn there. */
class Easel {
  readonly begun: number[] = [];
  readonly closed: number[] = [];
  quiet = 1000;
  readonly ahead: Ahead<{ x: number; close: () => void }>;
  #finish: (() => void)[] = [];

  constructor(most = 10) {
    this.ahead = new Ahead(
      ({ x }) => {
        this.begun.push(x);
        return new Promise((resolve) => {
          this.#finish.push(() => {
            resolve({ x, close: () => this.closed.push(x) });
          });
        });
      },
      () => this.quiet,
      most,
    );
  }

  /** Ends the drawing that is under way. */
  async finish(): Promise<void> {
    this.#finish.shift()?.();
    await new Promise((resolve) => setImmediate(resolve));
  }
}

const spots = (...places: number[]): Spot[] => places.map((x) => ({ z: 3, x, y: 0 }));
const spot = (x: number): Spot => ({ z: 3, x, y: 0 });

test("one tile is drawn at a time, the likeliest first", async () => {
  const easel = new Easel();
  easel.ahead.rest(spots(4, 2, 3));
  easel.ahead.rest(spots(4, 2, 3));
  assert.deepEqual(easel.begun, [4]);
  await easel.finish();
  await easel.finish();
  assert.deepEqual(easel.begun, [4, 2, 3]);
});

test("nothing is drawn ahead before the engine has been left alone for a while", async () => {
  const easel = new Easel();
  easel.quiet = 100;
  easel.ahead.rest(spots(1));
  assert.deepEqual(easel.begun, []);
  easel.quiet = 1000;
  await new Promise((resolve) => setTimeout(resolve, 80));
  assert.deepEqual(easel.begun, [1]);
});

test("a tile is handed over once, and the map's own are not drawn ahead", async () => {
  const easel = new Easel();
  easel.ahead.rest(spots(1));
  const early = easel.ahead.take(spot(1));
  await easel.finish();
  assert.equal((await early)?.x, 1, "one that is being drawn is waited for");
  assert.equal(easel.ahead.take(spot(1)), undefined);
  assert.equal(easel.ahead.take(spot(2)), undefined);
  easel.ahead.rest(spots(1, 2, 3));
  assert.deepEqual(easel.begun, [1, 3]);
  assert.deepEqual(easel.closed, []);
});

test("a map that moves stops the drawing; what is there stays for as long as it is likely", async () => {
  const easel = new Easel();
  easel.ahead.rest(spots(1, 2));
  easel.ahead.stop();
  await easel.finish();
  assert.deepEqual(easel.begun, [1]);
  easel.ahead.rest(spots(1, 5));
  assert.deepEqual(easel.begun, [1, 5]);
  await easel.finish();
  easel.ahead.rest(spots(5));
  await easel.finish();
  assert.deepEqual(easel.closed, [1]);
  assert.equal((await easel.ahead.take(spot(5)))?.x, 5);
});

test("no more are kept than there is room for", async () => {
  const easel = new Easel(2);
  easel.ahead.rest(spots(1, 2, 3));
  for (let n = 0; n < 3; n += 1) await easel.finish();
  assert.deepEqual(easel.begun, [1, 2]);
});

test("what is out of date is given up, also where it is still being drawn", async () => {
  const easel = new Easel();
  easel.ahead.rest(spots(1, 2));
  await easel.finish();
  easel.ahead.clear();
  await easel.finish();
  assert.deepEqual(easel.closed, [1, 2]);
  assert.equal(easel.ahead.take(spot(1)), undefined);
  easel.ahead.rest(spots(2));
  assert.deepEqual(easel.begun, [1, 2, 2]);
});

test("a tile that could not be drawn is asked for again where it is wanted", async () => {
  let tried = 0;
  const ahead = new Ahead<{ close: () => void }>(
    () => {
      tried += 1;
      return Promise.reject(new Error("no room"));
    },
    () => 1000,
    4,
  );
  ahead.rest(spots(1, 2));
  await new Promise((resolve) => setImmediate(resolve));
  assert.equal(tried, 1, "and no other is tried meanwhile");
  assert.equal(ahead.take(spot(1)), undefined);
});
