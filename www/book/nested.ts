/**
 * Controls for values that hold values: one object under a name, or a list of them.
 *
 * In: the way to the value, its fields, and how a single value is asked for. Out: controls as controls.ts has them. An
 * object that may be missing comes with its first value, and goes with its last. Left to others: the controls of single
 * values (controls.ts).
 */
import { button, fill, make } from "../element/make.ts";
import { ask, start, startOf, type Field } from "./fields.ts";
import { at, entriesOf, fieldsOf, pointer, type Json, type Way } from "./reading.ts";
import { group, type Desk, type Held } from "./rows.ts";
import type { Described } from "./schema.ts";

/** How a single value is asked for. */
type Control = (desk: Desk, base: Way, field: Field) => Held;

/** One object. */
export function objectControl(
  desk: Desk,
  way: Way,
  field: Field,
  fields: readonly Described[],
  control: Control,
): Held {
  const own = within(desk, way, field, fields);
  const held = fields.map((one) => control(own, way, ask(field.path, one)));
  return {
    element: group(way, field.label, field.hint, ...held.map(({ element }) => element)),
    way,
    show: () => {
      for (const one of held) one.show();
    },
  };
}

/** The desk for an object's own values: what must be there beside a first value comes with it. */
function within(desk: Desk, way: Way, field: Field, fields: readonly Described[]): Desk {
  return {
    book: desk.book,
    edit: (to, value) => {
      const [name, ...deeper] = to.slice(way.length);
      const there = at(desk.book(), way);
      const one = fields.find((described) => described.name === name);
      const whole = one === undefined || deeper.length > 0;
      if (there === undefined && value !== undefined && !whole) {
        const must = fields.filter((other) => other.required && other !== one);
        const begun = must.flatMap((other): [string, Json][] => {
          const first = start(other.shape);
          return first === undefined ? [] : [[other.name, first]];
        });
        desk.edit(way, Object.fromEntries([[one.name, value], ...begun]));
        return;
      }
      const left = Object.keys(fieldsOf(there)).filter((other) => other !== name);
      const goes = value === undefined && !whole && !field.required && (one.required || left.length === 0);
      desk.edit(goes ? way : to, value);
    },
  };
}

/** A list of objects. */
export function entriesControl(
  desk: Desk,
  way: Way,
  field: Field,
  fields: readonly Described[],
  control: Control,
): Held {
  const room = make("div", { class: "entries" });
  let held: Held[] = [];
  let shown = -1;
  const put = (list: readonly Json[]): void => {
    desk.edit(way, list.length === 0 && !field.required ? undefined : [...list]);
  };
  const add = button(
    { class: "small" },
    () => {
      put([...entriesOf(at(desk.book(), way)), startOf(fields)]);
      room.lastElementChild?.querySelector<HTMLElement>("input, select, textarea")?.focus();
    },
    "Add another",
  );
  const entry = (place: number): HTMLElement => {
    const own = fields.map((one) => control(desk, [...way, place], ask(field.path, one)));
    held.push(...own);
    return make(
      "div",
      {
        class: "entry nested",
        role: "group",
        "aria-label": `${field.label}, ${String(place + 1)}`,
        "data-way": pointer([...way, place]),
      },
      ...own.map(({ element }) => element),
      button(
        { class: "small", "aria-label": `Take out ${String(place + 1)} of “${field.label}”` },
        () => {
          put(entriesOf(at(desk.book(), way)).filter((_, other) => other !== place));
          add.focus();
        },
        "Take out",
      ),
    );
  };
  return {
    element: group(way, field.label, field.hint, room, add),
    way,
    show: () => {
      const count = entriesOf(at(desk.book(), way)).length;
      if (count !== shown) {
        shown = count;
        held = [];
        fill(room, ...Array.from({ length: count }, (_, place) => entry(place)));
      }
      for (const one of held) one.show();
    },
  };
}
