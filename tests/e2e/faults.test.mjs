/*
 * What stops in the browser itself: the engine traps or runs out of memory, the worker is stuck, the tab sleeps, the
 * element goes while it loads, the day ends. Each time the map goes on or says what happened, and what the visitor has
 * put in is still there.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };
const SOUTH_TYROL = "rules/south-tyrol.rules.json";
const REGION = { stands: "/eskenvar/stands.geojson", crosswalk: "/eskenvar/crosswalk.json", day: SEPTEMBER };

const stopped = (visitor) => visitor.page.getByRole("alert").filter({ hasText: say("ui.stopped.title") });
const startAgain = (visitor) =>
  stopped(visitor)
    .getByRole("button", { name: say("ui.start_again") })
    .click();

/** The module with a ceiling on its memory, in pages of 64 KiB (WebAssembly core specification, section 5.5.8). */
function withCeiling(module, pages) {
  const number = (at) => {
    let value = 0;
    for (let shift = 0; ; shift += 7, at += 1) {
      value |= (module[at] & 127) << shift;
      if (module[at] < 128) return [value, at + 1];
    }
  };
  const written = (value) => (value < 128 ? [value] : [(value & 127) | 128, ...written(value >> 7)]);
  for (let at = 8; at < module.length;) {
    const [size, body] = number(at + 1);
    if (module[at] === 5) {
      const [least] = number(body + 2);
      assert.ok(pages > least, `the engine begins with ${least} pages`);
      const limits = [1, 1, ...written(least), ...written(pages)];
      return Buffer.concat([
        module.subarray(0, at),
        Buffer.from([5, ...written(limits.length), ...limits]),
        module.subarray(body + size),
      ]);
    }
    at = body + size;
  }
  return assert.fail("the module has no memory");
}

visit(
  "basket, stand, day and wish outlive an engine that traps",
  { network: true, complaints: [/engine stopped/] },
  async (visitor) => {
    const { page } = visitor;
    // Walking to the next stand hands the engine an address beyond its memory: a trap inside WebAssembly itself.
    await visitor.network.alter({
      "hostwood_engine.js": (body) => {
        const text = body.toString();
        const bad = text.replace(/(wasm\.engine_neighbour\([^)]*?)ptr1/, "$14294967280");
        assert.notEqual(bad, text);
        return bad;
      },
    });
    await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
    await visitor.ready();
    await visitor.chooseDay("2026-09-14");
    await visitor.openList();
    await visitor.rows.first().getByRole("button").click();
    const head = await visitor.read(await visitor.opened());
    await page
      .getByRole("button", { name: say("ui.harvest"), exact: true })
      .filter({ visible: true })
      .first()
      .click();
    const dialog = page.getByRole("dialog", { name: say("ui.harvest.title") });
    await dialog.getByLabel(say("ui.basket.kind"), { exact: true }).fill("Boletus edulis");
    await dialog.getByLabel(say("ui.basket.amount"), { exact: true }).fill("1.5");
    await dialog.getByRole("button", { name: say("ui.harvest.close") }).click();

    await page.getByRole("button", { name: say("ui.map"), exact: true }).click();
    await visitor.map.focus();
    await page.keyboard.press("n");
    await stopped(visitor).waitFor();
    assert.match(await visitor.read(stopped(visitor)), /The map stopped working \(.*(memory|unreachable)/);
    assert.equal(
      await stopped(visitor)
        .filter({ hasText: say("ui.stopped.twice") })
        .count(),
      0,
    );
    await startAgain(visitor);
    await visitor.ready();
    assert.equal(await visitor.read(await visitor.opened()), head);
    assert.equal(await page.getByLabel(say("ui.day"), { exact: true }).inputValue(), "2026-09-14");
    await page
      .getByRole("button", { name: say("ui.harvest"), exact: true })
      .filter({ visible: true })
      .first()
      .click();
    assert.equal(
      await dialog.getByLabel(say("ui.basket.kind"), { exact: true }).inputValue(),
      "Boletus edulis",
    );
    assert.equal(await dialog.getByLabel(say("ui.basket.amount"), { exact: true }).inputValue(), "1.5");
    await dialog.getByRole("button", { name: say("ui.harvest.close") }).click();

    // The same files stop it once more: that is said.
    await visitor.map.focus();
    await page.keyboard.press("n");
    await stopped(visitor)
      .filter({ hasText: say("ui.stopped.twice") })
      .waitFor();
  },
);

visit(
  "an engine that runs out of memory says so, and that starting again does not help",
  { network: true, complaints: [/engine stopped/] },
  async (visitor) => {
    await visitor.network.alter({ "hostwood_engine_bg.wasm": (body) => withCeiling(body, 60) });
    await visitor.openMap(REGION);
    await stopped(visitor).waitFor();
    await startAgain(visitor);
    await stopped(visitor)
      .filter({ hasText: say("ui.stopped.twice") })
      .waitFor();
  },
);

visit("a worker that hangs is found out", {}, async (visitor) => {
  const { page } = visitor;
  await page.clock.install();
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await page.workers()[0].evaluate(() => {
    setTimeout(() => {
      for (;;);
    });
  });
  await visitor.chooseDay("2026-09-14");
  await page.clock.fastForward(61_000);
  await stopped(visitor).waitFor();
  assert.match(await visitor.read(stopped(visitor)), /has not answered for 60 seconds/);
  await startAgain(visitor);
  await visitor.ready();
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
});

visit("a page that slept an hour over a question gets its answer", {}, async (visitor) => {
  const { page } = visitor;
  await page.clock.install();
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  // The worker is busy for a moment, and the page's clock meanwhile jumps as that of a sleeper does.
  await page.workers()[0].evaluate(() => {
    setTimeout(() => {
      for (const end = performance.now() + 3_000; performance.now() < end;);
    });
  });
  await visitor.chooseDay("2026-09-13");
  await page.clock.fastForward(3_600_000);
  await visitor.openList();
  await visitor.until(
    async () => (await visitor.tableRows()).some(({ answer }) => answer === "closed"),
    "the day after the sleep was not worked out",
  );
  assert.equal(await stopped(visitor).count(), 0);
});

visit("a frozen tab goes on when it is looked at again", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  const devtools = await page.context().newCDPSession(page);
  await devtools.send("Page.setWebLifecycleState", { state: "frozen" });
  await new Promise((resolve) => setTimeout(resolve, 2_000));
  await devtools.send("Page.setWebLifecycleState", { state: "active" });
  await visitor.openList();
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
});

visit("an element that goes while it loads takes everything with it", { network: true }, async (visitor) => {
  const { page } = visitor;
  visitor.network.when("codes/stands.geojson", { stallAt: 200, noRanges: true });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.until(
    () => visitor.network.asked.some(({ path }) => path.endsWith("stands.geojson")),
    "nothing loads",
  );
  await page.evaluate(() => {
    window.map = document.querySelector("hostwood-map");
    window.map.remove();
  });
  await visitor.until(() => page.workers().length === 0, "the worker lives on");
  visitor.network.mend();
  await page.evaluate(() => document.querySelector("main").append(window.map));
  await visitor.ready();
});

visit("at midnight where the forest is the map goes on to the new day", {}, async (visitor) => {
  const { page } = visitor;
  const inRome = (moment) =>
    new Intl.DateTimeFormat("en-CA", { timeZone: "Europe/Rome", dateStyle: "short" }).format(moment);
  const now = Date.now();
  const today = inRome(now);
  // The last minute of this day there; days of a change of the clocks have a minute like any other.
  let last = now - (now % 60_000);
  while (inRome(last + 60_000) === today) last += 60_000;
  const tomorrow = inRome(last + 60_000);
  await page.clock.install({ time: last + 30_000 });
  await visitor.openMap({ stands: CODES.stands, crosswalk: CODES.crosswalk, rules: SOUTH_TYROL });
  await visitor.ready();
  const field = page.getByLabel(say("ui.day"), { exact: true });
  assert.equal(await field.inputValue(), today);
  await page.clock.fastForward(40_000);
  await visitor.until(async () => (await field.inputValue()) === tomorrow, "the day stayed");
  await visitor.said(/A new day has begun/);

  // A day that the visitor chose stays.
  await visitor.chooseDay("2026-09-14");
  await page.clock.fastForward(86_400_000);
  await page.clock.runFor(1_000);
  assert.equal(await field.inputValue(), "2026-09-14");
});
