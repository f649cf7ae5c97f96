/**
 * Where a place lies: by an outline, near something, by what the stand map says of a stand, or by other places.
 *
 * In: the way to a zone's `where`, and the desk. Out: one control for all of these, of which one stands in the book.
 * Left to others: whether an outline is sound (the engine), the single controls (controls.ts).
 */
import { fill, make } from "../element/make.ts";
import { control } from "./controls.ts";
import { ask } from "./fields.ts";
import { featureIn } from "./outline.ts";
import { outlineControl } from "./outline-control.ts";
import { at, fieldsOf, type Json, type Way } from "./reading.ts";
import { group, row, type Desk, type Held } from "./rows.ts";
import { defined } from "./schema.ts";

/** The ways in which a place can lie, as the form says them, and what each begins with. */
const WAYS: Readonly<Record<string, { label: string; start: Json }>> = {
  outline: { label: "within an outline", start: { type: "Polygon", coordinates: [] } },
  near: {
    label: "within a distance of something",
    start: { feature: { type: "Point", coordinates: [] }, metres: 100 },
  },
  attribute: {
    label: "where the stand map says so",
    start: { name: "designation", equals: "reserve" },
  },
  all_of: { label: "where all of these places are", start: [] },
  any_of: { label: "where any of these places is", start: [] },
  not: { label: "where this place is not", start: "" },
};

/** The words of the ways in which a place can lie. */
export const PLACE_WAYS: readonly string[] = Object.keys(WAYS);

/** The control for one place. */
export function zonePlace(desk: Desk, way: Way): Held {
  const room = make("div", { class: "entries" });
  const select = make(
    "select",
    {},
    ...Object.entries(WAYS).map(([word, { label }]) => make("option", { value: word }, label)),
  );
  select.addEventListener("change", () => {
    const begun = WAYS[select.value];
    if (begun !== undefined) desk.edit(way, { [select.value]: begun.start });
  });
  let shown = "";
  let held: Held | null = null;
  return {
    element: group(way, "Where it lies", undefined, row(way, "It lies", undefined, select), room),
    way,
    show: () => {
      const [word = ""] = Object.keys(fieldsOf(at(desk.book(), way)));
      select.value = word;
      if (word !== shown) {
        shown = word;
        held = placeControl(desk, way, word);
        fill(room, ...(held === null ? [] : [held.element]));
      }
      held?.show();
    },
  };
}

function placeControl(desk: Desk, way: Way, word: string): Held | null {
  if (word === "near") return near(desk, [...way, word]);
  const described = defined("Place").find(({ name }) => name === word);
  if (described === undefined) return null;
  // What says where the place lies is there as long as the place is.
  return control(desk, way, { ...ask(["zones", "where"], described), required: true });
}

function near(desk: Desk, way: Way): Held {
  const [feature, metres] = ["feature", "metres"].map((name) =>
    defined("Near").find((described) => described.name === name),
  );
  const held = [
    ...(feature === undefined
      ? []
      : [outlineControl(desk, [...way, "feature"], "Near this", featureIn, "points, lines or polygons")]),
    ...(metres === undefined ? [] : [control(desk, way, ask(["near"], metres))]),
  ];
  return {
    element: make("div", {}, ...held.map(({ element }) => element)),
    way,
    show: () => {
      for (const one of held) one.show();
    },
  };
}
