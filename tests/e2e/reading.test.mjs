/*
 * Maps and rule books that the demo did not make: another agency's columns, the example of the standard, and files
 * with one fault each. A bad file says what is wrong with it, in place, and costs nothing else.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };
const SOUTH_TYROL = "rules/south-tyrol.rules.json";

visit("another agency's columns are read through a crosswalk", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await visitor.openList();
  const rows = await visitor.tableRows();
  const trees = Object.fromEntries(rows.map((row) => [row.stand, row.trees]));
  assert.match(trees["7001"], /Scots pine/);
  assert.match(trees["7002"], /Norway spruce/);
  assert.match(trees["7003"], /[Gg]rey alder/);
  assert.equal(trees["7004"], say("ui.trees_unknown"), "a code that is not in the list is no tree");
  assert.deepEqual(
    rows.map((row) => row.stand).sort(),
    ["7001", "7002", "7003", "7004", "7005"],
    "a stand without an outline stays in the list",
  );
  await visitor.finding(/99/);
});

visit("stands that lie on one another are told when the map has come to rest", {}, async (visitor) => {
  await visitor.openMap({ stands: "layers/stands.geojson", day: SEPTEMBER });
  await visitor.ready();
  await visitor.page.locator("hostwood-map .findings").waitFor();
  await visitor.finding(/lie on one another/);
});

visit("odd and even days are told apart", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await visitor.openList();
  assert.equal(await visitor.filter("ui.list.answer", "closed"), 0);
  await visitor.chooseDay("2026-09-13");
  await visitor.counted((count) => count >= 4);
});

visit("the standard's own example opens", {}, async (visitor) => {
  await visitor.openMap({ stands: "rfc7946/stands.geojson", day: SEPTEMBER });
  await visitor.ready();
  await visitor.openList();
  const rows = await visitor.tableRows();
  const known = rows.filter((row) => row.trees !== say("ui.trees_unknown"));
  assert.deepEqual(known, [], "no tree is named in the example, and none may be made up");
  assert.ok(rows.length >= 1);
  // One degree by one degree at the equator: 1 230 846 ha (Snyder 1987, eq. 3-12, on WGS 84).
  assert.ok(
    rows.some((row) => /1,230,846/.test(row.area)),
    `areas: ${rows.map((row) => row.area)}`,
  );
  await visitor.banner(say("ui.rules.none.title"));
  assert.ok(
    rows.every((row) => row.answer === "not_known"),
    "without a rule book nothing is known of the law",
  );
});

const UNREADABLE = [
  { name: "a web page instead of a map", stands: "broken/web-page.geojson", told: [/web page/i, /line 1\b/] },
  { name: "a map cut short", stands: "broken/cut-short.geojson", told: [/end/i, /\d/] },
  { name: "a map in metres", stands: "broken/metres.geojson", told: [/385\s?000/, /degree/i] },
  { name: "a map that is not there", stands: "broken/none.geojson", told: [/404/] },
  {
    name: "a crosswalk with a misspelt field",
    stands: "codes/stands.geojson",
    crosswalk: "broken/crosswalk.json",
    told: [/frm/, /from/],
  },
];

for (const { name, stands, crosswalk, told } of UNREADABLE) {
  visit(`${name} says what is wrong, and costs nothing else`, {}, async (visitor) => {
    await visitor.openMap({
      stands,
      ...(crosswalk ? { crosswalk } : {}),
      rules: SOUTH_TYROL,
      day: SEPTEMBER,
    });
    const alert = visitor.page.getByRole("alert");
    await alert.waitFor();
    const text = await visitor.read(alert);
    for (const pattern of told) assert.match(text, pattern);
    await alert.getByRole("button", { name: say("ui.again") }).waitFor();
    await visitor.screenshot("error");
    await visitor.change({ stands: CODES.stands, crosswalk: CODES.crosswalk });
    await visitor.ready();
    await visitor.openList();
    assert.equal((await visitor.tableRows()).length, 5);
  });
}

visit("a rule book with a fault gives no permission", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: "rules/trailing-comma.rules.json" });
  await visitor.ready();
  const notice = await visitor.banner(say("ui.rules.unreadable.text"));
  const told = await visitor.read(notice.getByRole("listitem").first());
  assert.match(told, /line 3/);
  assert.match(told, /comma/);
  await visitor.openList();
  const rows = await visitor.tableRows();
  assert.equal(rows.length, 5, "the stands stay");
  assert.ok(rows.every((row) => row.answer === "not_known"));
  await visitor.change({ rules: SOUTH_TYROL });
  await visitor.counted(() => true);
  await visitor.rows.first().locator("[data-answer=limits]").waitFor();
});

visit("a rule book that is not there gives no permission", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: "rules/none.rules.json" });
  await visitor.ready();
  await visitor.banner(say("ui.rules.missing.text"));
  await visitor.openList();
  assert.ok((await visitor.tableRows()).every((row) => row.answer === "not_known"));
});
