/**
 * The control for an outline, or for something on the map: read from a GeoJSON file, told by its number of points.
 *
 * In: the way to the outline, and the desk. Out: a control as controls.ts has them. Left to others: finding the shape
 * in the file (outline.ts), whether it is sound (the engine).
 */
import { button, make } from "../element/make.ts";
import { outlineIn } from "./outline.ts";
import { at, entriesOf, fieldsOf, type Json, type Way } from "./reading.ts";
import { group, type Desk, type Held } from "./rows.ts";

/** The control for an outline; `take` finds the shape in a text, and `expected` says what the file should hold. */
export function outlineControl(
  desk: Desk,
  way: Way,
  label: string,
  take: (text: string) => Json | null = outlineIn,
  expected = "one Polygon or MultiPolygon",
): Held {
  const told = make("p", { class: "hint", role: "status" });
  const file = make("input", { type: "file", accept: ".json,.geojson,application/geo+json", hidden: true });
  file.addEventListener("change", () => {
    const [chosen] = file.files ?? [];
    if (chosen === undefined) return;
    void chosen.text().then((text) => {
      const shape = take(text);
      told.textContent =
        shape === null
          ? `${chosen.name} holds nothing that fits. Expected GeoJSON with ${expected}.`
          : `The outline was read from ${chosen.name}.`;
      if (shape !== null) desk.edit(way, shape);
      file.value = "";
    });
  });
  const points = make("p", {});
  const read = button(
    { class: "small" },
    () => {
      file.click();
    },
    "Read it from a GeoJSON file",
  );
  return {
    element: group(way, label, undefined, points, read, file, told),
    way,
    show: () => {
      const n = count(fieldsOf(at(desk.book(), way))["coordinates"]);
      points.textContent = n === 0 ? "There is no outline yet." : `An outline of ${String(n)} points.`;
    },
  };
}

/** How many positions there are, however deep they lie. */
function count(coordinates: Json | undefined): number {
  const list = entriesOf(coordinates);
  return typeof list[0] === "number" ? 1 : list.reduce<number>((sum, one) => sum + count(one), 0);
}
