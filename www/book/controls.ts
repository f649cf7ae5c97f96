/**
 * The form's controls: one a value of the book, each under its label, with room for what is wrong with it.
 *
 * In: a field, the way to its value, and the desk on which the book lies. Out: elements that show the value and hand a
 * new one to the desk when the officer has finished a change. Left to others: which fields there are (kinds.ts), the
 * text (text.ts), windows of time (spans.ts).
 */
import { button, fill, make } from "../element/make.ts";
import type { Field, Option } from "./kinds.ts";
import { at, entriesOf, fieldsOf, pointer, type Json, type Way } from "./reading.ts";
import { group, row, type Desk, type Held } from "./rows.ts";
import { openingControl, windowControl } from "./spans.ts";

/** A field's control. `base` leads to what the field belongs to. */
export function control(desk: Desk, base: Way, field: Field): Held {
  const way = [...base, ...field.way];
  const { control: asked } = field;
  switch (asked.is) {
    case "text":
    case "days_of_month":
    case "clock":
      return line(desk, way, field, "text");
    case "amount":
      return line(desk, way, field, "text", { inputmode: "decimal", size: 8 });
    case "day":
      return line(desk, way, field, "date");
    case "dates":
      return dates(desk, way, field);
    case "whole":
      return whole(desk, way, field, asked.least, asked.most);
    case "flag":
      return flag(desk, way, field);
    case "texts":
      return texts(desk, way, field);
    case "choice":
      return choice(desk, way, field, () => asked.options);
    case "words":
      return ticks(desk, way, field, () => asked.options);
    case "zones":
      return ticks(desk, way, field, () => named(desk.book(), "zones"));
    case "sources":
      return ticks(desk, way, field, () => named(desk.book(), "sources"));
    case "rules":
      return ticks(desk, way, field, () => rulesNamed(desk.book(), () => true));
    case "limit":
      return choice(desk, way, field, () =>
        rulesNamed(desk.book(), (rule) => rule["kind"] === "quantity" || rule["kind"] === "side_by_side"),
      );
    case "place":
      return choice(desk, way, field, () => named(desk.book(), "zones"));
    case "sets":
      return choice(desk, way, field, () => setsNamed(desk.book()));
    case "containers":
      return containers(desk, way, field);
    case "window":
      return windowControl(desk, way, field.label);
    case "opening":
      return openingControl(desk, way, field.label, asked.of);
  }
}

/** What a text control holds now, as a value of the book: nothing where it is empty. */
function told(text: string): string | undefined {
  const trimmed = text.trim();
  return trimmed === "" ? undefined : trimmed;
}

/** The text of a value in a control; what is no text is left empty, to be seen in the text of the book. */
function textOf(value: Json | undefined): string {
  if (typeof value === "string") return value;
  return Array.isArray(value) && value.every((one) => typeof one === "number") ? value.join(",") : "";
}

function line(
  desk: Desk,
  way: Way,
  field: Field,
  type: string,
  more: Record<string, string | number> = {},
): Held {
  const input = make("input", { type, autocomplete: "off", spellcheck: "false", ...more });
  input.addEventListener("change", () => {
    desk.edit(way, told(input.value));
  });
  return {
    element: row(way, field.label, field.hint, input),
    way,
    show: () => {
      input.value = textOf(at(desk.book(), way));
    },
  };
}

function dates(desk: Desk, way: Way, field: Field): Held {
  const area = make("textarea", { rows: 2, spellcheck: "false" });
  area.addEventListener("change", () => {
    const list = area.value.split(/[\s,;]+/).filter((one) => one !== "");
    desk.edit(way, list.length === 0 ? undefined : list);
  });
  return {
    element: row(way, field.label, field.hint, area),
    way,
    show: () => {
      area.value = entriesOf(at(desk.book(), way)).map(textOf).join("\n");
    },
  };
}

function whole(desk: Desk, way: Way, field: Field, least: number, most: number): Held {
  const input = make("input", { type: "number", min: least, max: most, step: 1, inputmode: "numeric" });
  input.addEventListener("change", () => {
    desk.edit(way, Number.isFinite(input.valueAsNumber) ? input.valueAsNumber : undefined);
  });
  return {
    element: row(way, field.label, field.hint, input),
    way,
    show: () => {
      const value = at(desk.book(), way);
      input.value = typeof value === "number" ? String(value) : "";
    },
  };
}

function flag(desk: Desk, way: Way, field: Field): Held {
  const input = make("input", { type: "checkbox" });
  input.addEventListener("change", () => {
    desk.edit(way, input.checked);
  });
  const element = row(way, field.label, field.hint, input);
  element.classList.add("tick");
  return {
    element,
    way,
    show: () => {
      input.checked = at(desk.book(), way) === true;
    },
  };
}

/** One field a language of the book. */
function texts(desk: Desk, way: Way, field: Field): Held {
  const room = make("div", { class: "languages" });
  let shown = "";
  const areas = new Map<string, HTMLTextAreaElement>();
  const element = group(way, field.label, field.hint, room);
  return {
    element,
    way,
    show: () => {
      const tags = languages(desk.book());
      if (tags.join(" ") !== shown) {
        shown = tags.join(" ");
        areas.clear();
        fill(
          room,
          ...tags.map((tag) => {
            const area = make("textarea", { rows: 2, lang: tag });
            area.addEventListener("change", () => {
              desk.edit([...way, tag], told(area.value));
            });
            areas.set(tag, area);
            return row([...way, tag], languageName(tag), undefined, area);
          }),
        );
      }
      for (const [tag, area] of areas) area.value = textOf(at(desk.book(), [...way, tag]));
    },
  };
}

/** One of several words. What stands in the book and is none of them is offered as it stands. */
function choice(desk: Desk, way: Way, field: Field, options: () => readonly Option[]): Held {
  const select = make("select");
  select.addEventListener("change", () => {
    const { value } = select;
    const flagged = value === "true" || value === "false" ? value === "true" : value;
    desk.edit(way, value === "" ? undefined : flagged);
  });
  return {
    element: row(way, field.label, field.hint, select),
    way,
    show: () => {
      const value = at(desk.book(), way);
      const held = typeof value === "boolean" ? String(value) : textOf(value);
      const known = options();
      const odd: Option[] =
        value === undefined || known.some(([word]) => word === held)
          ? []
          : [[held, held === "" ? "(see the text)" : held]];
      fill(
        select,
        ...[["", "–"] as Option, ...known, ...odd].map(([word, label]) =>
          make("option", { value: word }, label),
        ),
      );
      select.value = held;
    },
  };
}

/** Any of several words. */
function ticks(desk: Desk, way: Way, field: Field, options: () => readonly Option[]): Held {
  const room = make("div", { class: "ticks" });
  let shown = "";
  const boxes = new Map<string, HTMLInputElement>();
  const set = (): void => {
    const offered = options().map(([word]) => word);
    const before = entriesOf(at(desk.book(), way)).filter((one) => typeof one === "string");
    // Words that the form does not offer stay where they are.
    const kept = before.filter((one) => !offered.includes(one) || boxes.get(one)?.checked === true);
    const added = offered.filter((one) => boxes.get(one)?.checked === true && !before.includes(one));
    const words = [...kept, ...added];
    desk.edit(way, words.length === 0 ? undefined : words);
  };
  return {
    element: group(way, field.label, field.hint, room),
    way,
    show: () => {
      const offered = options();
      const signature = JSON.stringify(offered);
      if (signature !== shown) {
        shown = signature;
        boxes.clear();
        fill(
          room,
          ...(offered.length === 0
            ? [make("p", { class: "hint" }, "There is nothing to choose from yet.")]
            : []),
          ...offered.map(([word, label]) => {
            const box = make("input", { type: "checkbox", value: word });
            box.addEventListener("change", set);
            boxes.set(word, box);
            return make("label", { class: "tick" }, box, label);
          }),
        );
      }
      const words = entriesOf(at(desk.book(), way));
      for (const [word, box] of boxes) box.checked = words.includes(word);
    },
  };
}

const MATERIALS = ["wicker", "wood", "cardboard", "paper", "cloth", "net", "metal", "plastic"];
const FORMS = ["basket", "bag", "box", "bucket", "backpack"];

/** Forbidden containers: each a material, a form, or both. */
function containers(desk: Desk, way: Way, field: Field): Held {
  const room = make("div", { class: "entries" });
  const element = group(
    way,
    field.label,
    field.hint,
    room,
    button(
      { class: "small" },
      () => {
        desk.edit(way, [...entriesOf(at(desk.book(), way)), { material: "plastic" }]);
      },
      "Forbid another",
    ),
  );
  const pick = (place: number, name: string, words: readonly string[], any: string): HTMLElement => {
    const select = make(
      "select",
      { "aria-label": `${name} of the forbidden container ${String(place + 1)}` },
      make("option", { value: "" }, any),
      ...words.map((word) => make("option", { value: word }, word)),
    );
    select.value = textOf(at(desk.book(), [...way, place, name]));
    select.addEventListener("change", () => {
      desk.edit([...way, place, name], told(select.value));
    });
    return select;
  };
  return {
    element,
    way,
    show: () => {
      const entries = entriesOf(at(desk.book(), way));
      fill(
        room,
        ...entries.map((_, place) =>
          make(
            "div",
            { class: "entry", "data-way": pointer([...way, place]) },
            pick(place, "material", MATERIALS, "any material"),
            pick(place, "form", FORMS, "any form"),
            button(
              { class: "small", "aria-label": `Take out container ${String(place + 1)}` },
              () => {
                const left = entries.filter((_, other) => other !== place);
                desk.edit(way, left.length === 0 ? undefined : left);
              },
              "Take out",
            ),
          ),
        ),
      );
    },
  };
}

/** The languages of the book. */
export function languages(book: Json): string[] {
  const tags = entriesOf(at(book, ["languages"])).filter((one) => typeof one === "string");
  return tags.length === 0 ? ["en"] : tags;
}

/** A language by its own name in English, or its tag. */
function languageName(tag: string): string {
  try {
    return new Intl.DisplayNames("en", { type: "language" }).of(tag) ?? tag;
  } catch {
    // Not a tag; the list of mistakes says so.
    return tag;
  }
}

/** Of texts by language, the first that has one. */
export function firstText(texts: Json | undefined, book: Json): string {
  const fields = fieldsOf(texts);
  const text = [...languages(book), ...Object.keys(fields)]
    .map((tag) => fields[tag])
    .find((one) => one !== "");
  const found = text ?? Object.values(fields)[0];
  return typeof found === "string" ? found : "";
}

function named(book: Json, list: "zones" | "sources"): Option[] {
  return entriesOf(at(book, [list])).flatMap((entry): Option[] => {
    const { id, names, title } = fieldsOf(entry);
    if (typeof id !== "string") return [];
    const name = list === "zones" ? firstText(names, book) : textOf(title);
    return [[id, name === "" ? id : name]];
  });
}

function setsNamed(book: Json): Option[] {
  return Object.entries(fieldsOf(at(book, ["taxa"]))).map(([id, set]): Option => {
    const name = firstText(fieldsOf(set)["names"], book);
    return [id, name === "" ? id : name];
  });
}

function rulesNamed(book: Json, fits: (rule: Record<string, Json>) => boolean): Option[] {
  return entriesOf(at(book, ["rules"])).flatMap((entry): Option[] => {
    const rule = fieldsOf(entry);
    const { id, text } = rule;
    if (typeof id !== "string" || !fits(rule)) return [];
    const words = firstText(text, book);
    return [[id, words === "" ? id : words]];
  });
}
