/*
 * A long visit: thousands of days, wishes, taps, walks and zooms in one worker. In: HOSTWOOD_SOAK, how many
 * interactions (120 if absent), and HOSTWOOD_SEED. Out: failure where the map complains, stops, answers a question
 * otherwise after the visit than before it, or takes more and more memory.
 *
 * The long run: HOSTWOOD_SOAK=10000 cargo www test --only e2e --visit soak
 */
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const INTERACTIONS = Number(process.env.HOSTWOOD_SOAK ?? 120);
const SEED = Number(process.env.HOSTWOOD_SEED ?? 20_260_912);
/** What the page's own objects may grow by after it has warmed up; heaps breathe. */
const BREATH = 1.25;

/** Numbers from 0 to 1, the same for the same seed (SplitMix32, a common mixer of bits). */
function chances(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return ((mixed ^ (mixed >>> 15)) >>> 0) / 4_294_967_296;
  };
}

test("the chances of one seed are the same each time, and spread", () => {
  const [one, other] = [chances(7), chances(7)];
  const drawn = Array.from({ length: 1000 }, one);
  assert.deepEqual(Array.from({ length: 1000 }, other), drawn);
  const mean = drawn.reduce((sum, chance) => sum + chance, 0) / drawn.length;
  assert.ok(mean > 0.45 && mean < 0.55, String(mean));
});

/** Memory after the garbage has gone: the page's objects, and all that the engine has taken, in bytes. */
async function memory(page, devtools) {
  await devtools.send("HeapProfiler.collectGarbage");
  const { metrics } = await devtools.send("Performance.getMetrics");
  const engine = await page.workers()[0].evaluate(async () => {
    const bindings = await import(new URL("hostwood_engine.js", location.href).href);
    return (await bindings.default()).memory.buffer.byteLength;
  });
  return { page: metrics.find(({ name }) => name === "JSHeapUsedSize").value, engine };
}

/** Whether a press at a position of the window would meet the element itself, in the page. */
function isOnTop(element, [x, y]) {
  return element.contains(element.getRootNode().elementFromPoint(x, y));
}

/** The first page of the list and one sheet on one day, as they are read. */
async function answers(visitor) {
  await visitor.page.getByLabel(say("ui.wish"), { exact: true }).selectOption({ index: 0 });
  // A kind that was looked for has taken its own view along.
  await visitor.page.locator('hostwood-map input[type="radio"][value="roots"]').check({ force: true });
  await visitor.chooseDay(SEPTEMBER);
  await visitor.openList();
  await visitor.until(async () => (await visitor.rows.count()) > 20, "the list is not there");
  // The rows of the question before stay until those of this one are there.
  let [rows, earlier] = [await visitor.tableRows(), ""];
  while (JSON.stringify(rows) !== earlier) {
    earlier = JSON.stringify(rows);
    await visitor.page.waitForTimeout(700);
    rows = await visitor.tableRows();
  }
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  const sheet = await visitor.read(visitor.sheet);
  await visitor.closeSheet();
  await visitor.page.getByRole("button", { name: say("ui.map"), exact: true }).click();
  return createHash("sha256")
    .update(JSON.stringify([rows, sheet]))
    .digest("hex");
}

visit(
  `${INTERACTIONS} interactions leave the map as it was`,
  { timeout: 300_000 + INTERACTIONS * 2_000 },
  async (visitor) => {
    const { page } = visitor;
    const chance = chances(SEED);
    const below = (count) => Math.floor(chance() * count);
    await visitor.openMap({
      stands: "/eskenvar/stands.geojson",
      crosswalk: "/eskenvar/crosswalk.json",
      rules: "/eskenvar/eskenvar.rules.json",
      day: SEPTEMBER,
    });
    await visitor.ready();
    await visitor.drawn();
    const devtools = await page.context().newCDPSession(page);
    await devtools.send("Performance.enable");
    const wishes = await page.getByLabel(say("ui.wish"), { exact: true }).locator("option").count();
    const before = await answers(visitor);

    const day = page.getByLabel(say("ui.day"), { exact: true });
    const wish = page.getByLabel(say("ui.wish"), { exact: true });
    const acts = {
      day: () => day.fill(new Date(Date.UTC(2026, 0, 1 + below(700))).toISOString().slice(0, 10)),
      wish: () => wish.selectOption({ index: below(wishes) }),
      tap: async () => {
        await visitor.map.scrollIntoViewIfNeeded();
        const { x, y, width, height } = await visitor.map.boundingBox();
        const position = [x + 1 + chance() * (width - 2), y + 1 + chance() * (height * 0.8)];
        // Buttons and the sheet lie over parts of the map; what is pressed there is another act.
        if (await visitor.map.evaluate(isOnTop, position)) await page.mouse.click(...position);
        else beside += 1;
      },
      nearer: () => page.getByRole("button", { name: say("ui.map.nearer") }).click(),
      farther: () => page.getByRole("button", { name: say("ui.map.farther") }).click(),
      key: async () => {
        await visitor.map.focus();
        await page.keyboard.press(
          ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "n", "p", "Enter"][below(7)],
        );
      },
      whole: () => page.getByRole("button", { name: say("ui.map.whole") }).click(),
    };
    let beside = 0;
    const kinds = Object.keys(acts);
    const done = new Map();
    let warm = null;
    const began = Date.now();
    for (let step = 0; step < INTERACTIONS; step += 1) {
      const kind = kinds[below(kinds.length)];
      await acts[kind]();
      done.set(kind, (done.get(kind) ?? 0) + 1);
      if (step === Math.floor(INTERACTIONS / 3)) warm = await memory(page, devtools);
      if (step % 500 === 499) {
        const { engine, page: taken } = await memory(page, devtools);
        const minutes = ((Date.now() - began) / 60_000).toFixed(1);
        console.log(`soak: ${step + 1} in ${minutes} minutes, engine ${engine} bytes, page ${taken}`);
      }
    }
    assert.ok(beside < done.get("tap") / 2, `${beside} of ${done.get("tap")} taps were beside the map`);
    assert.equal(done.size, kinds.length, `not every kind of interaction was met: ${[...done.keys()]}`);
    assert.equal(await answers(visitor), before, "the same question has another answer");
    const after = await memory(page, devtools);
    console.log(
      `soak: ${INTERACTIONS} interactions, engine ${warm.engine} to ${after.engine} bytes, page ${warm.page} to ${after.page}`,
    );
    assert.ok(
      after.engine <= warm.engine * BREATH,
      `the engine took ${warm.engine}, then ${after.engine} bytes`,
    );
    assert.ok(
      after.page <= warm.page * BREATH + 4_000_000,
      `the page took ${warm.page}, then ${after.page} bytes`,
    );
    assert.equal(page.workers().length, 1);
  },
);
