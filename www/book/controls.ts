/**
 * The form's controls: one a value of the book, each under its label, with room for what is wrong with it.
 *
 * In: a question, the way to its value, and the desk on which the book lies. Out: elements that show the value and hand
 * a new one to the desk when the officer has finished a change. Left to others: which questions there are (fields.ts),
 * the text (text.ts), windows of time (spans.ts), values in values (nested.ts).
 */
import { fill, make } from "../element/make.ts";
import { options, type Field, type Option, type Refers } from "./fields.ts";
import { KINDS } from "./kinds.ts";
import { entriesControl, objectControl } from "./nested.ts";
import { outlineControl } from "./outline-control.ts";
import { at, entriesOf, fieldsOf, wordOf, type Json, type Way } from "./reading.ts";
import { group, row, type Desk, type Held } from "./rows.ts";
import { openingControl, openingOf, windowControl } from "./spans.ts";

/** A question's control. `base` leads to what the question belongs to. */
export function control(desk: Desk, base: Way, field: Field): Held {
  const way = [...base, ...field.way];
  const { shape } = field;
  switch (shape.is) {
    case "text":
      return field.refers === null
        ? line(desk, way, field, "text")
        : choice(desk, way, field, () => referred(desk.book(), field.refers));
    case "days_of_month":
    case "day_of_year":
    case "clock":
      return line(desk, way, field, "text");
    case "decimal":
      return line(desk, way, field, "text", { inputmode: "decimal", size: 8 });
    case "day":
      return line(desk, way, field, "date");
    case "days":
      return lines(desk, way, field);
    case "list":
      return field.refers === null
        ? lines(desk, way, field)
        : ticks(desk, way, field, () => referred(desk.book(), field.refers));
    case "number":
      return number(desk, way, field);
    case "flag":
      return field.required ? tick(desk, way, field) : choice(desk, way, field, () => YES_NO);
    case "texts":
      return texts(desk, way, field);
    case "word":
      return choice(desk, way, field, () => options(field, shape.words));
    case "words":
      return ticks(desk, way, field, () => options(field, shape.words), shape.loose);
    case "fungi":
      return fungiChoice(desk, way, field);
    case "windows":
      return windowControl(desk, way, field.label, shape.of);
    case "outline":
      return outlineControl(desk, way, field.label);
    case "object":
      return objectControl(desk, way, field, shape.fields, control);
    case "entries":
      return entriesControl(desk, way, field, shape.fields, control);
    case "anything":
      return anything(desk, way, field);
  }
}

/** The controls of an object's questions; what is open or closed is one control. */
export function controls(desk: Desk, base: Way, fields: readonly Field[]): Held[] {
  const opening = openingOf(fields);
  if (opening === null) return fields.map((field) => control(desk, base, field));
  const { kind, label, of, rest } = opening;
  return [
    openingControl(desk, [...base, ...kind], label, of),
    ...rest.map((field) => control(desk, base, field)),
  ];
}

const YES_NO: readonly Option[] = [
  ["true", "yes"],
  ["false", "no"],
];

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

/** Several values, one a line. */
function lines(desk: Desk, way: Way, field: Field): Held {
  const area = make("textarea", { rows: 2, spellcheck: "false" });
  area.addEventListener("change", () => {
    const list = area.value.split(/[\n,;]+/).map((one) => one.trim());
    const told = list.filter((one) => one !== "");
    desk.edit(way, told.length === 0 ? undefined : told);
  });
  return {
    element: row(way, field.label, field.hint, area),
    way,
    show: () => {
      area.value = entriesOf(at(desk.book(), way)).map(wordOf).join("\n");
    },
  };
}

function number(desk: Desk, way: Way, field: Field): Held {
  const { shape } = field;
  const bounds = shape.is === "number" ? shape : { least: null, most: null, whole: false };
  const input = make("input", {
    type: "number",
    min: bounds.least,
    max: bounds.most,
    step: bounds.whole ? 1 : "any",
    inputmode: bounds.whole ? "numeric" : "decimal",
  });
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

/** A text, a number, or yes and no, as the stand map has it. */
function anything(desk: Desk, way: Way, field: Field): Held {
  const input = make("input", { type: "text", autocomplete: "off", spellcheck: "false" });
  input.addEventListener("change", () => {
    const text = input.value.trim();
    const number = Number(text);
    if (text === "") desk.edit(way, undefined);
    else if (text === "true" || text === "false") desk.edit(way, text === "true");
    else desk.edit(way, Number.isFinite(number) ? number : text);
  });
  return {
    element: row(way, field.label, field.hint, input),
    way,
    show: () => {
      const value = at(desk.book(), way);
      input.value = typeof value === "boolean" ? String(value) : wordOf(value);
    },
  };
}

function tick(desk: Desk, way: Way, field: Field): Held {
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
              const value = told(area.value);
              const others = [...areas].some(
                ([other, one]) => other !== tag && told(one.value) !== undefined,
              );
              // With its last words the text goes as a whole.
              desk.edit(value === undefined && !others ? way : [...way, tag], value);
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

/** Any of several words. A loose list of one stands in the book without its brackets. */
function ticks(desk: Desk, way: Way, field: Field, options: () => readonly Option[], loose = false): Held {
  const room = make("div", { class: "ticks" });
  let shown = "";
  const boxes = new Map<string, HTMLInputElement>();
  const held = (): string[] => {
    const value = at(desk.book(), way);
    const list = typeof value === "string" ? [value] : entriesOf(value);
    return list.filter((one) => typeof one === "string");
  };
  const set = (): void => {
    const offered = options().map(([word]) => word);
    const before = held();
    // Words that the form does not offer stay where they are.
    const kept = before.filter((one) => !offered.includes(one) || boxes.get(one)?.checked === true);
    const added = offered.filter((one) => boxes.get(one)?.checked === true && !before.includes(one));
    const words = [...kept, ...added];
    const [only] = words;
    desk.edit(way, only === undefined ? undefined : loose && words.length === 1 ? only : words);
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
      const words = held();
      for (const [word, box] of boxes) box.checked = words.includes(word);
    },
  };
}

/** The fungi a rule is about: one list, or all but those of one. */
function fungiChoice(desk: Desk, way: Way, field: Field): Held {
  const select = make("select");
  const read = (): string => {
    const value = at(desk.book(), way);
    const { all_but: but } = fieldsOf(value);
    return typeof but === "string" ? `!${but}` : textOf(value);
  };
  select.addEventListener("change", () => {
    const { value } = select;
    if (value === "") desk.edit(way, field.required ? "" : undefined);
    else desk.edit(way, value.startsWith("!") ? { all_but: value.slice(1) } : value);
  });
  return {
    element: row(way, field.label, field.hint, select),
    way,
    show: () => {
      const sets = setsNamed(desk.book());
      const offered: Option[] = [
        ["", "–"],
        ...sets,
        ...sets.map(([id, name]): Option => [`!${id}`, `all but ${name}`]),
      ];
      const held = read();
      const known = offered.some(([word]) => word === held);
      fill(
        select,
        ...[...offered, ...(known ? [] : [[held, held] as Option])].map(([word, label]) =>
          make("option", { value: word }, label),
        ),
      );
      select.value = held;
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

/** The lists of fungi, by id and name. */
export function setsNamed(book: Json): Option[] {
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

/** What the ids of a field may be. */
export function referred(book: Json, refers: Refers | null): Option[] {
  switch (refers) {
    case null:
      return [];
    case "zones":
    case "sources":
      return named(book, refers);
    case "limit":
      return rulesNamed(book, (rule) => rule["kind"] === "quantity");
    case "rules":
      return [...rulesNamed(book, () => true), ...kindsNamed(book)];
  }
}

/** All rules of a kind at once, for the kinds that the book has. */
function kindsNamed(book: Json): Option[] {
  const words = entriesOf(at(book, ["rules"])).map((entry) => wordOf(fieldsOf(entry)["kind"]));
  return [...new Set(words)].flatMap((word): Option[] => {
    const kind = KINDS.get(word);
    return kind === undefined ? [] : [[`kind:${word}`, `Every rule of the kind “${kind.label}”`]];
  });
}
