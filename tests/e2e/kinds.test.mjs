/*
 * A region's own kinds on the page: what the file adds and corrects, whose word it is, and what is said where the file
 * cannot be used.
 */
import assert from "node:assert/strict";
import { say, visit } from "./visit.mjs";

/** The first stand of the list whose trees are named so; its sheet with everything open, as text. */
async function sheetOf(visitor, tree) {
  const { sheet } = visitor;
  await visitor.rows
    .filter({ hasText: new RegExp(tree, "i") })
    .first()
    .getByRole("button")
    .first()
    .click();
  await visitor.opened();
  await visitor.openAll(sheet);
  return visitor.read(sheet);
}

visit("a region's own kinds are shown with whose word they are", {}, async (visitor) => {
  await visitor.openDemo();
  await visitor.openList();
  const before = await sheetOf(visitor, "beech");
  const title = "Kinds of the Eskenvar, Eskenvar Forest Office";
  assert.ok(!before.includes(title), "the shipped kinds name no region's file");
  await visitor.closeSheet();
  await visitor.change({ kinds: "eskenvar/kinds.csv" });
  let after = "";
  await visitor.until(async () => {
    after = await sheetOf(visitor, "beech");
    await visitor.closeSheet();
    return after.includes(title);
  }, "the region's kinds were not shown");
  assert.ok(after.includes(say("sheet.kind.region_corrected", { title })), "a corrected kind says so");
  assert.ok(after.includes("valley cep"), "the local name is shown");
  assert.ok(!after.includes(say("sheet.danger.kinds_unread")));
});

visit("kinds that cannot be read are told, and the shipped ones stay", {}, async (visitor) => {
  await visitor.openDemo();
  await visitor.openList();
  await visitor.change({ kinds: "eskenvar/none.csv" });
  let text = "";
  await visitor.until(async () => {
    text = await sheetOf(visitor, "beech");
    await visitor.closeSheet();
    return text.includes(say("sheet.danger.kinds_unread"));
  }, "nothing was said of the kinds that are missing");
  assert.ok(text.includes("(Boletus edulis)"), "the shipped kinds are still shown");
});
