/**
 * A sheet's tree made short enough for paper: what is said stays, what only opens on the screen is told in one line or
 * left out.
 *
 * In: the nodes the engine composed. Out: fewer nodes of the same sorts. It knows the sections and the shape of the tree,
 * no tree, fungus or rule. The verdict with every rule, its source and the day it was checked, every poisonous kind, all
 * cautions and numbers to call stay. Left to others: making elements of it (visit-sheet.ts).
 */
import type { SheetNode, Text } from "./protocol.ts";

type More = Extract<SheetNode, { node: "more" }>;
type Section = Extract<SheetNode, { node: "section" }>;

/** So many kinds in season are named on paper. */
const KINDS = 10;

/** The tree of one stand for paper. */
export function brief(tree: readonly SheetNode[]): SheetNode[] {
  return tree.flatMap((one): SheetNode[] => (one.node === "section" ? section(one) : [one]));
}

function section(one: Section): SheetNode[] {
  switch (one.id) {
    case "trees":
      return [{ ...one, children: one.children.filter(({ node }) => node === "mixture" || node === "line") }];
    case "law":
      return [{ ...one, children: one.children.flatMap(law) }];
    case "fruit":
      return [{ ...one, children: one.children.filter(({ node }) => node === "gauge") }];
    case "season":
      return [{ ...one, children: one.children.flatMap((child) => kinds(child, KINDS)) }];
    case "danger":
      return [{ ...one, children: one.children.flatMap((child) => kinds(child, Number.POSITIVE_INFINITY)) }];
    case "before":
      return [{ ...one, children: one.children.filter(({ node }) => node !== "more") }];
    default:
      return [one];
  }
}

/** Each rule in its own words, with its source; rules of other days are left out. */
function law(one: SheetNode): SheetNode[] {
  if (one.node === "list") {
    const items = one.items.map((item) =>
      item.flatMap((node) => (node.node === "more" ? ruleOf(node) : [node])),
    );
    return [{ ...one, style: "plain", items }];
  }
  return one.node === "more" ? [] : [one];
}

/** What a rule says in one line, then its sources. */
function ruleOf(rule: More): SheetNode[] {
  const said: SheetNode[] = rule.summary.slice(0, 1).map((text) => ({ node: "line", text }));
  return [...said, ...sourcesIn(rule.children)];
}

function sourcesIn(nodes: readonly SheetNode[]): SheetNode[] {
  return nodes.flatMap((node): SheetNode[] => {
    if (node.node === "source") return [node];
    return node.node === "more" || node.node === "section" ? sourcesIn(node.children) : [];
  });
}

/** Kinds by name, one line each with what stands beside it; what opens besides is left out. */
function kinds(one: SheetNode, most: number): SheetNode[] {
  if (one.node === "more") return one.tone === "danger" ? firstAid(one) : [];
  if (one.node === "line") return one.tone === "quiet" ? [] : [one];
  if (one.node !== "list") return [];
  const items = one.items.slice(0, most).flatMap((item) =>
    item.flatMap((node): SheetNode[][] => {
      if (node.node !== "more") return [[node]];
      return [
        [
          {
            node: "more",
            ...(node.tone === undefined ? {} : { tone: node.tone }),
            summary: node.summary.filter(isNoNumber),
            children: warnings(node),
          },
        ],
      ];
    }),
  );
  return [{ ...one, items }];
}

/** How well a kind suits the stand is read on the screen; on paper the order tells it. */
function isNoNumber(text: Text): boolean {
  return !("key" in text && text.key === "sheet.kind.suits");
}

/** What a kind is taken for, told beside a kind that is collected. */
function warnings(kind: More): SheetNode[] {
  if (kind.tone !== "kind") return [];
  return kind.children.filter(
    (child) =>
      child.node === "line" &&
      child.tone === "danger" &&
      "key" in child.text &&
      child.text.key === "sheet.kind.lookalikes",
  );
}

/** What to do first: title and steps, without the numbers, which stand before. */
function firstAid(one: More): SheetNode[] {
  const title: SheetNode[] = one.summary.slice(0, 1).map((text) => ({ node: "line", tone: "danger", text }));
  return [...title, ...one.children.filter(({ node }) => node === "list")];
}
