/*
 * The element's life on a page: several at once, moved, taken away and put back; and what a visitor is left with when
 * script, engine, worker or connection fail.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };
const SOUTH_TYROL = "rules/south-tyrol.rules.json";

visit("two maps on one page keep to themselves", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await visitor.addMap({ ...CODES });
  const [first, second] = [page.locator("hostwood-map").nth(0), page.locator("hostwood-map").nth(1)];
  const notice = second.locator(".notice").filter({ hasText: say("ui.rules.none.title") });
  await notice.waitFor();
  assert.equal(
    await first
      .locator(".notice")
      .filter({ hasText: say("ui.rules.none.title") })
      .count(),
    0,
  );
  for (const map of [first, second]) {
    await map.getByRole("button", { name: say("ui.list"), exact: true }).click();
    await map.getByRole("table").locator("tbody tr").first().waitFor();
  }
  const answers = (map) =>
    map
      .locator("tbody [data-answer]")
      .evaluateAll((all) => [...new Set(all.map((one) => one.dataset.answer))]);
  assert.deepEqual(await answers(second), ["not_known"]);
  assert.ok((await answers(first)).includes("limits"));
});

visit("a map that is moved within the page loads nothing anew", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  const before = visitor.askedFor.length;
  await visitor.page.evaluate(() => {
    const section = document.createElement("section");
    document.querySelector("main").append(section);
    section.append(document.querySelector("hostwood-map"));
  });
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
  assert.equal(visitor.askedFor.length, before);
});

visit("a map that is taken away ends its worker, and works when it is put back", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  assert.equal(page.workers().length, 1);
  await page.evaluate(() => {
    window.map = document.querySelector("hostwood-map");
    window.map.remove();
  });
  await visitor.until(() => page.workers().length === 0, "the worker lives on");
  await page.evaluate(() => document.querySelector("main").append(window.map));
  await visitor.ready();
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
  assert.equal(page.workers().length, 1);
});

visit(
  "the page's own words stand where the script does not load",
  { complaints: [/404/] },
  async (visitor) => {
    await visitor.replace("**/hostwood/hostwood.js", { status: 404 });
    await visitor.goTo("/");
    await visitor.page.locator("hostwood-map").getByRole("link").first().waitFor();
  },
);

visit("the page's own words stand where the engine does not load", {}, async (visitor) => {
  await visitor.replace("**/hostwood/hostwood_engine_bg.wasm", { status: 404 });
  await visitor.goTo("/");
  const alert = visitor.page.getByRole("alert").filter({ hasText: say("ui.unable.title") });
  await alert.waitFor();
  assert.match(await visitor.read(alert), /404/);
  await visitor.page
    .locator("hostwood-map")
    .getByRole("link", { name: /stand map/ })
    .waitFor();
  await visitor.isAccessible("no engine");
});

visit("an engine that is served under a wrong type still starts", {}, async (visitor) => {
  await visitor.replace("**/hostwood/hostwood_engine_bg.wasm", { contentType: "application/octet-stream" });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
});

visit("a map that has stopped can be started again", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await page.workers()[0].evaluate(() => {
    setTimeout(() => {
      throw new WebAssembly.RuntimeError("unreachable");
    });
  });
  const alert = page.getByRole("alert").filter({ hasText: say("ui.stopped.title") });
  await alert.waitFor();
  await visitor.isAccessible("stopped");
  await alert.getByRole("button", { name: say("ui.start_again") }).click();
  await visitor.ready();
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
});

visit("what is loaded keeps working without a connection", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await page.context().setOffline(true);
  await visitor.banner(say("ui.offline.title"));
  await visitor.openList();
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  await visitor.chooseDay("2026-09-13");
  await visitor.filter("ui.list.answer", "closed");
  await visitor.counted((count) => count >= 4);
  await page.context().setOffline(false);
});
