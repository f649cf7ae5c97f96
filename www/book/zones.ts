/**
 * Where a place lies: by what the stand map says of a stand, or by an outline from a GeoJSON file.
 *
 * In: the way to a zone's `where`, and the desk. Out: a control for both. Places put together of others (`all_of`,
 * `any_of`, `not`) are told in words and changed in the text. Left to others: whether the outline is sound (the engine).
 */
import { button, fill, make } from "../element/make.ts";
import { outlineIn } from "./outline.ts";
import { at, entriesOf, fieldsOf, wordOf, type Json, type Way } from "./reading.ts";
import { group, row, type Desk, type Held } from "./rows.ts";

/** What a stand map may say of a stand, as the engine's attributes are called. */
const TESTS: readonly [word: string, label: string][] = [
  ["equals", "is"],
  ["below", "is less than"],
  ["at_least", "is at least"],
];

/** The control for one place. */
export function zonePlace(desk: Desk, way: Way): Held {
  const room = make("div", { class: "entries" });
  const told = make("p", { class: "hint", role: "status" });
  const file = make("input", { type: "file", accept: ".json,.geojson,application/geo+json", hidden: true });
  file.addEventListener("change", () => {
    const [chosen] = file.files ?? [];
    if (chosen === undefined) return;
    void chosen.text().then((text) => {
      const outline = outlineIn(text);
      if (outline === null) {
        told.textContent = `${chosen.name} holds no polygon. Expected GeoJSON with one Polygon or MultiPolygon.`;
      } else {
        told.textContent = `The outline was read from ${chosen.name}.`;
        desk.edit(way, { outline });
      }
      file.value = "";
    });
  });
  const element = group(
    way,
    "Where it lies",
    undefined,
    room,
    button(
      { class: "small" },
      () => {
        file.click();
      },
      "Read the outline from a GeoJSON file",
    ),
    button(
      { class: "small" },
      () => {
        desk.edit(way, { attribute: { name: "designation", equals: "reserve" } });
      },
      "Go by what the stand map says",
    ),
    file,
    told,
  );
  return {
    element,
    way,
    show: () => {
      fill(room, ...saidOf(desk, way));
    },
  };
}

function saidOf(desk: Desk, way: Way): HTMLElement[] {
  const where = fieldsOf(at(desk.book(), way));
  if ("attribute" in where) return attribute(desk, [...way, "attribute"]);
  if ("outline" in where) {
    const points = count(fieldsOf(where["outline"])["coordinates"]);
    return [make("p", {}, `An outline of ${String(points)} points.`)];
  }
  const name = Object.keys(where)[0];
  if (name === undefined) return [make("p", {}, "Nothing says yet where it lies.")];
  const words: Record<string, string> = {
    all_of: "Where all of these places are",
    any_of: "Where any of these places is",
    not: "Where this place is not",
  };
  const of = where[name];
  const ids = Array.isArray(of) ? of.map(wordOf).join(", ") : wordOf(of);
  return [make("p", {}, `${words[name] ?? name}: ${ids}. Change it in the text.`)];
}

function attribute(desk: Desk, way: Way): HTMLElement[] {
  const held = fieldsOf(at(desk.book(), way));
  const test = TESTS.find(([word]) => word in held)?.[0];
  const name = make("input", { type: "text", value: wordOf(held["name"]), spellcheck: "false" });
  name.addEventListener("change", () => {
    desk.edit([...way, "name"], name.value.trim());
  });
  if (test === undefined) {
    return [
      row([...way, "name"], "What the stand map calls it", undefined, name),
      make("p", {}, "How it is tested stands in the text."),
    ];
  }
  const how = make(
    "select",
    { "aria-label": "How it is tested" },
    ...TESTS.map(([word, label]) => make("option", { value: word, selected: word === test }, label)),
  );
  const value = make("input", { type: "text", value: wordOf(held[test]), spellcheck: "false" });
  const set = (): void => {
    const number = Number(value.value);
    const told = value.value.trim() !== "" && Number.isFinite(number) ? number : value.value.trim();
    desk.edit(way, { name: name.value.trim(), [how.value]: told });
  };
  how.addEventListener("change", set);
  value.addEventListener("change", set);
  return [
    row([...way, "name"], "What the stand map calls it", "Such as designation, age or ownership", name),
    how,
    row([...way, test], "Value", undefined, value),
  ];
}

/** How many positions there are, however deep they lie. */
function count(coordinates: Json | undefined): number {
  const list = entriesOf(coordinates);
  return typeof list[0] === "number" ? 1 : list.reduce<number>((sum, one) => sum + count(one), 0);
}
