/**
 * A sheet made short for paper: what must not be lost is there, what only opens on the screen is not.
 */
/// <reference types="node" />
import assert from "node:assert/strict";
import test from "node:test";
import { brief } from "./brief.ts";
import type { SheetNode, Text } from "./protocol.ts";
import { dayOf, monthSpans, spansOf } from "./year-strip.ts";

const key = (one: string): Text => ({ key: one });
const line = (one: string, tone?: "danger" | "quiet" | "caution"): SheetNode =>
  tone === undefined ? { node: "line", text: key(one) } : { node: "line", tone, text: key(one) };
const source = (text: string, checked: string): SheetNode => ({ node: "source", text: { text }, checked });

function section(id: string, ...children: SheetNode[]): SheetNode {
  return { node: "section", id, title: key(`title.${id}`), children };
}

/** All keys and data in a tree, in reading order. */
function saidIn(nodes: readonly SheetNode[]): string[] {
  const found: string[] = [];
  JSON.stringify(nodes, (name, value: unknown) => {
    if ((name === "key" || (name === "text" && typeof value === "string")) && typeof value === "string")
      found.push(value);
    return value;
  });
  return found;
}

test("a rule keeps its words, its source and the day it was checked; rules of other days are left out", () => {
  const rule: SheetNode = {
    node: "more",
    summary: [key("law.limit.person_day"), key("law.why.holds")],
    children: [line("its.words"), source("Forest Act", "2026-05-01"), { node: "facts", rows: [] }],
  };
  const other: SheetNode = {
    node: "more",
    summary: [key("sheet.law.others")],
    children: [{ node: "list", style: "plain", items: [[rule]] }],
  };
  const verdict: SheetNode = { node: "verdict", answer: "limits", text: key("law.answer.limits") };
  const short = brief([
    section(
      "law",
      verdict,
      { node: "list", style: "plain", items: [[rule]] },
      other,
      line("sheet.law.summary", "quiet"),
    ),
  ]);
  const law = short[0];
  assert.ok(law?.node === "section");
  assert.deepEqual(law.children[0], verdict);
  assert.deepEqual(law.children[1], {
    node: "list",
    style: "plain",
    items: [[{ node: "line", text: key("law.limit.person_day") }, source("Forest Act", "2026-05-01")]],
  });
  assert.deepEqual(saidIn(law.children.slice(2)), ["sheet.law.summary"]);
});

test("every poisonous kind stays, however many; of the kinds in season the first ten, with what they are taken for", () => {
  const kind = (n: number, tone: "kind" | "deadly"): SheetNode => ({
    node: "more",
    tone,
    summary: [{ text: `${tone} ${String(n)}` }, key("sheet.kind.suits")],
    children: [{ node: "facts", rows: [] }, line("sheet.kind.lookalikes", "danger"), line("handling.K1")],
  });
  const list = (tone: "kind" | "deadly"): SheetNode => ({
    node: "list",
    style: "kinds",
    items: [...Array(30).keys()].map((n) => [kind(n, tone)]),
  });
  const first: SheetNode = {
    node: "more",
    tone: "danger",
    summary: [key("sheet.danger.first")],
    children: [
      { node: "list", style: "plain", items: [[line("sheet.danger.first.call")]] },
      { node: "facts", rows: [] },
    ],
  };
  const short = brief([
    section("season", line("sheet.season.host_note"), list("kind")),
    section("danger", line("sheet.danger.always", "danger"), list("deadly"), first),
  ]);
  const said = saidIn(short);
  assert.equal(said.filter((one) => one.startsWith("kind ")).length, 10);
  assert.equal(said.filter((one) => one === "sheet.kind.lookalikes").length, 10);
  assert.equal(said.filter((one) => one.startsWith("deadly ")).length, 30);
  for (const one of ["sheet.danger.always", "sheet.danger.first", "sheet.danger.first.call"])
    assert.ok(said.includes(one), one);
  for (const one of ["sheet.kind.suits", "handling.K1"]) assert.ok(!said.includes(one), one);
});

test("before going, only what opens is left out", () => {
  const facts: SheetNode = {
    node: "facts",
    rows: [{ term: key("sheet.before.poison_centre"), value: [{ text: "01 23" }] }],
  };
  const keeping: SheetNode = { node: "more", summary: [key("sheet.before.keeping")], children: [] };
  const told = [line("sheet.before.container"), keeping, line("sheet.before.doubt", "caution"), facts];
  const short = brief([section("before", ...told)]);
  assert.deepEqual(short, [section("before", ...told.filter((one) => one !== keeping))]);
});

test("the year is cut into months and stretches of days", () => {
  const months = monthSpans("2028-01-01", 366);
  assert.equal(months.length, 12);
  assert.deepEqual(months[1], [31, 59, "2028-02-01"]);
  assert.deepEqual(months[11], [335, 365, "2028-12-01"]);
  assert.equal(dayOf("2026-01-01", "2026-12-31"), 364);
  assert.equal(dayOf("2026-01-01", "2025-12-31"), null);
  assert.deepEqual(
    spansOf(["closed", "closed", "limits", "closed", "not_known"], (answer) => answer === "closed"),
    [
      [0, 1],
      [3, 3],
    ],
  );
});
