/*
 * What the law says where the visitor presses: a stand that a closed place cuts in half says of itself how much of it is
 * closed, and of the place that was pressed what holds there.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, say, visit } from "./visit.mjs";

visit("the two halves of a stand that a closed place cuts say different things", {}, async (visitor) => {
  await visitor.openMap({
    stands: "halves/stands.geojson",
    rules: "halves/west.rules.json",
    day: SEPTEMBER,
  });
  await visitor.ready();
  await visitor.map.locator("canvas").first().waitFor();
  const law = visitor.sheet.locator("[data-section=law]");
  const [before, after] = say("sheet.law.at_point").split("{answer}");
  const pressed = async (east) => {
    const box = await visitor.map.boundingBox();
    await visitor.map.click({
      position: { x: box.width * east, y: box.height / 2 },
    });
    await visitor.opened();
    const verdicts = law.locator("[data-answer]");
    await visitor.until(
      async () => (await visitor.read(law)).includes(before.trim()),
      "the sheet does not say what holds where the visitor pressed",
    );
    const all = await visitor.read(law);
    const here = await visitor.read(verdicts.filter({ hasText: before.trim() }).first());
    assert.ok(here.startsWith(before.trim()) && here.endsWith(after.trim()), here);
    const answers = await verdicts.evaluateAll((found) => found.map((one) => one.dataset.answer));
    await visitor.closeSheet();
    return { all, here, answers: answers.slice(0, 2) };
  };
  const west = await pressed(0.4);
  const east = await pressed(0.6);
  // The stand as a whole is closed in part, and how large that part is, is said whichever half was pressed.
  for (const { all } of [west, east]) {
    assert.match(all, /50\s?% of this stand/);
    assert.match(all, /the western reserve/);
  }
  assert.deepEqual(west.answers, ["closed", "closed"]);
  assert.deepEqual(east.answers, ["closed", "limits"]);
  assert.match(east.here, /2 kilograms|2 kg/);
  assert.doesNotMatch(west.here, /2 kilograms|2 kg/);
});

visit(
  "a stand that is opened from the list says nothing of a place that nobody pressed",
  {},
  async (visitor) => {
    await visitor.openMap({
      stands: "halves/stands.geojson",
      rules: "halves/west.rules.json",
      day: SEPTEMBER,
    });
    await visitor.ready();
    await visitor.openList();
    await visitor.rows.first().getByRole("button").click();
    await visitor.opened();
    const all = await visitor.read(visitor.sheet.locator("[data-section=law]"));
    assert.match(all, /50\s?% of this stand/);
    assert.ok(!all.includes(say("sheet.law.at_point").split("{answer}")[0].trim()), all);
  },
);
