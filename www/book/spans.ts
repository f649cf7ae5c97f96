/**
 * Controls for stretches of time: windows of the year, hours of the day, and what is open or closed in them.
 *
 * In: the way to the value and the desk. Out: controls as controls.ts has them. A window of the year is a day and a
 * month at either end, both included, and may run over the turn of the year. One window stands in the book as it is,
 * several as a list. Left to others: whether such a day exists (the engine).
 */
import { button, fill, freshId, make } from "../element/make.ts";
import type { Field } from "./fields.ts";
import { fieldName } from "./labels.ts";
import { at, entriesOf, fieldsOf, pointer, type Json, type Way } from "./reading.ts";
import { group, type Desk, type Held } from "./rows.ts";

const MONTHS = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/** What is open or closed among the questions of a kind: two lists of windows of which one stands in the book. */
export function openingOf(
  fields: readonly Field[],
): { kind: Way; label: string; of: "year" | "hours"; rest: readonly Field[] } | null {
  const [open, closed] = ["open", "closed"].map((name) => fields.find(({ path }) => path.at(-1) === name));
  if (open?.shape.is !== "windows" || closed === undefined) return null;
  const kind = open.way.slice(0, -1);
  return {
    kind,
    label: fieldName(open.path.slice(0, -1)) ?? kind.join(" "),
    of: open.shape.of,
    rest: fields.filter((field) => field !== open && field !== closed),
  };
}

/** One or several windows, or none. */
export function windowControl(desk: Desk, way: Way, label: string, of: "year" | "hours"): Held {
  const room = make("div", { class: "entries" });
  const element = group(way, label, undefined, room);
  return {
    element,
    way,
    show: () => {
      fill(room, ...windows(desk, way, of));
    },
  };
}

/** Open or closed, and the windows in which it is. */
export function openingControl(desk: Desk, way: Way, label: string, of: "year" | "hours"): Held {
  const select = make(
    "select",
    { "aria-label": `${label}: open or closed` },
    make("option", { value: "open" }, "Open only"),
    make("option", { value: "closed" }, "Closed"),
  );
  const room = make("div", { class: "entries" });
  const state = (): "open" | "closed" =>
    Object.hasOwn(fieldsOf(at(desk.book(), way)), "open") ? "open" : "closed";
  select.addEventListener("change", () => {
    // What else the rule says, such as what its hours bind, stays.
    const { open, closed, ...rest } = fieldsOf(at(desk.book(), way));
    desk.edit(way, { [select.value]: open ?? closed ?? START[of], ...rest });
  });
  return {
    element: group(
      way,
      label,
      of === "hours" ? "By the clock, such as 07:00, or by the sun, such as sunrise-01:00" : undefined,
      select,
      room,
    ),
    way,
    show: () => {
      select.value = state();
      fill(room, ...windows(desk, [...way, state()], of));
    },
  };
}

const START: Record<"year" | "hours", { [key: string]: Json }> = {
  year: { from: "04-01", to: "06-30" },
  hours: { from: "07:00", to: "19:00" },
};

/** The windows at the end of a way, each with its ends, and the buttons that add one or take one out. */
function windows(desk: Desk, way: Way, of: "year" | "hours"): HTMLElement[] {
  const value = at(desk.book(), way);
  const list = Array.isArray(value) ? value : value === undefined ? [] : [value];
  const put = (entries: Json[]): void => {
    const [only] = entries;
    desk.edit(way, entries.length > 1 ? entries : only);
  };
  return [
    ...list.map((_, place) => {
      const own = Array.isArray(value) ? [...way, place] : way;
      const ends = (["from", "to"] as const).map((end) =>
        of === "year" ? yearDay(desk, [...own, end], end) : clock(desk, [...own, end], end),
      );
      return make(
        "div",
        { class: "entry span", "data-way": pointer(own) },
        ...ends,
        button(
          { class: "small", "aria-label": `Take out time ${String(place + 1)}` },
          () => {
            put(list.filter((_, other) => other !== place));
          },
          "Take out",
        ),
      );
    }),
    button(
      { class: "small" },
      () => {
        put([...entriesOf(list), START[of]]);
      },
      list.length === 0 ? "Add a time" : "Add another time",
    ),
  ];
}

const ENDS = { from: "From", to: "To" } as const;

/** A day of the year: `06-15`. */
function yearDay(desk: Desk, way: Way, end: "from" | "to"): HTMLElement {
  const value = at(desk.book(), way);
  const [month = "", day = ""] = typeof value === "string" ? value.split("-") : [];
  const number = make("input", {
    type: "number",
    min: 1,
    max: 31,
    step: 1,
    inputmode: "numeric",
    class: "day-number",
    "aria-label": `${ENDS[end]}: day`,
    value: Number(day) || null,
  });
  const name = make(
    "select",
    { "aria-label": `${ENDS[end]}: month` },
    ...MONTHS.map((label, place) =>
      make(
        "option",
        { value: String(place + 1).padStart(2, "0"), selected: Number(month) === place + 1 },
        label,
      ),
    ),
  );
  const set = (): void => {
    desk.edit(way, `${name.value}-${number.value.padStart(2, "0")}`);
  };
  number.addEventListener("change", set);
  name.addEventListener("change", set);
  return make(
    "div",
    { class: "end", "data-way": pointer(way), role: "group", "aria-label": ENDS[end] },
    make("span", { class: "end-name", "aria-hidden": "true" }, ENDS[end]),
    number,
    name,
  );
}

/** An hour: `07:00`, or by the sun, `sunset+00:30`. */
function clock(desk: Desk, way: Way, end: "from" | "to"): HTMLElement {
  const value = at(desk.book(), way);
  const id = freshId("hour");
  const input = make("input", { id, type: "text", size: 14, value: typeof value === "string" ? value : "" });
  input.addEventListener("change", () => {
    desk.edit(way, input.value.trim());
  });
  return make(
    "div",
    { class: "end", "data-way": pointer(way) },
    make("label", { class: "end-name", for: id }, ENDS[end]),
    input,
  );
}
