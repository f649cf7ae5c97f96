/**
 * The page on which a rules officer writes the book: form and text side by side, and what follows on the map.
 *
 * In: the page's elements by their ids, a rule book to begin with, the officer's own files. Out: the text as the one
 * truth, edited from both sides; mistakes at their places; the book on the map; the file. Nothing is sent anywhere and
 * nothing is kept. Left to others: form (form.ts), text (text.ts), calendar (year.ts), the map (the element).
 */
import { button, fill, make } from "../element/make.ts";
import type { HostwoodMap } from "../element/element.ts";
import type { Answer, Mistake } from "../element/protocol.ts";
import { Form, type Note } from "./form.ts";
import {
  additions,
  at,
  changes,
  offsetOf,
  outlines,
  read,
  stretchOf,
  valueAt,
  type Reading,
} from "./reading.ts";
import { emptyBook } from "./start.ts";
import { BookText, type Mark } from "./text.ts";
import { Calendar } from "./year.ts";

/** Rests before the book is checked and before it is laid over the map, in milliseconds. */
const BEFORE_CHECK = 150;
const BEFORE_MAP = 450;

/** A mistake with its place in the text and its way through the book. */
interface Placed extends Mark, Note {}

const map = found("preview") as HostwoodMap;
const status = found("status");
const effect = found("effect");
const list = found("mistakes");
const fileName = found("file-name");
const calendar = new Calendar();
const text = new BookText(found("text"), onChange);
let reading: Reading = read("");
let name = "rules.json";
let saved = "";
let placed: readonly Placed[] = [];
let check = 0;
let checkTimer: ReturnType<typeof setTimeout> | undefined;
let mapTimer: ReturnType<typeof setTimeout> | undefined;
let stand: string | null = null;
let visit = "";

const form = new Form({
  book: () => reading.book,
  edit: (way, value) => {
    text.change(changes(text.text, way, value));
  },
  add: (way, value) => {
    text.change(additions(reading, way, value));
  },
  find: (way) => {
    const stretch = stretchOf(reading, way);
    if (stretch !== null) text.goTo(stretch.from);
  },
  readFungi: (list) => map.readFungi(list),
});

const undoButton = button(
  {},
  () => {
    text.undo();
  },
  "Undo",
);
const redoButton = button(
  {},
  () => {
    text.redo();
  },
  "Redo",
);
const opener = make("input", { type: "file", accept: ".json,application/json", hidden: true });
found("tools").append(
  button(
    {},
    () => {
      opener.click();
    },
    "Open a file",
  ),
  opener,
  button({}, save, "Save the file"),
  button(
    {},
    () => {
      begin(emptyBook(today()), "rules.json");
    },
    "New book",
  ),
  undoButton,
  redoButton,
);
found("form").append(form.element);
found("calendar").append(calendar.element);

opener.addEventListener("change", () => {
  const [file] = opener.files ?? [];
  opener.value = "";
  if (file !== undefined) void file.text().then((content) => begin(content, file.name));
});
addEventListener("beforeunload", (event) => {
  if (text.text !== saved) event.preventDefault();
});
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.key.toLowerCase() === "s") {
    event.preventDefault();
    save();
  }
});

mapFiles();
map.addEventListener("hostwood-ready", () => {
  void checkText();
});
map.addEventListener("hostwood-visit", (event) => {
  visit = event.detail.day;
  sayEffect(event.detail.answers);
  void showYear();
});
map.addEventListener("hostwood-stand", (event) => {
  stand = event.detail.id;
  void showYear();
});
void start();

/** The invented region's own book is what the page opens with. */
async function start(): Promise<void> {
  const address = map.getAttribute("rules");
  const response = address === null ? null : await fetch(address).catch(() => null);
  if (response?.ok === true) begin(await response.text(), address?.split("/").pop() ?? name);
  else begin(emptyBook(today()), name);
}

/** Puts a book on the desk. What was there can be had back with undo. */
function begin(content: string, called: string): void {
  name = called;
  fileName.textContent = called;
  saved = content;
  const before = text.text;
  // The desk hears of the change by itself; a task of its own folds, so that none is long.
  text.replace(content);
  saved = text.text;
  if (text.text === before) onChange();
  fileName.dataset["changed"] = "false";
  setTimeout(() => {
    text.fold(outlines(reading));
  }, 0);
}

function onChange(): void {
  reading = read(text.text);
  const { steps } = text;
  undoButton.disabled = !steps.undo;
  redoButton.disabled = !steps.redo;
  fileName.dataset["changed"] = String(text.text !== saved);
  form.show(reading.whole ? null : brokenWords());
  clearTimeout(checkTimer);
  checkTimer = setTimeout(() => void checkText(), BEFORE_CHECK);
  clearTimeout(mapTimer);
  mapTimer = setTimeout(() => {
    map.ruleBooks = [{ name, text: text.text }];
  }, BEFORE_MAP);
}

function brokenWords(): string {
  return "The text cannot be read as it stands. The form waits until the mistake marked in the text is mended; Undo takes the last change back.";
}

/** Has the engine read the text, and shows what it found at its places in text, form and list. */
async function checkText(): Promise<void> {
  check += 1;
  const own = check;
  let mistakes: Mistake[];
  try {
    ({ mistakes } = await map.checkRules(text.text));
  } catch (error) {
    // Before the map is there, or where a newer check has overtaken this one, there is nothing to show.
    if (error instanceof Error && error.name === "Dropped") return;
    status.textContent = error instanceof Error ? error.message : String(error);
    return;
  }
  if (own !== check) return;
  placed = [...mistakes.map(place), ...unknownZone()];
  text.mark(placed);
  form.note(placed);
  sayMistakes();
}

function place(mistake: Mistake): Placed {
  const offset = offsetOf(reading.text, mistake.line ?? 1, mistake.column ?? 1);
  const value = reading.whole ? valueAt(reading, offset) : null;
  return {
    way: value?.way ?? [],
    from: value?.from ?? offset,
    // A whole object would be underlined from end to end; its first character says where it is.
    to: value === null ? offset + 1 : firstLine(value.from, value.to),
    severity: mistake.severity === "error" ? "error" : "warning",
    message: mistake.message,
  };
}

/** Which time zones there are is the browser's knowledge, not the engine's. */
function unknownZone(): Placed[] {
  const way = ["region", "time_zone"];
  const zone = at(reading.book, way);
  const stretch = stretchOf(reading, way);
  if (typeof zone !== "string" || zone === "" || stretch === null || isZone(zone)) return [];
  const message = `region: \`time_zone\` is \`${zone}\`, which this browser does not know, expected a time zone such as \`Europe/Vienna\``;
  return [{ way, ...stretch, severity: "warning", message }];
}

function isZone(zone: string): boolean {
  try {
    return new Intl.DateTimeFormat("en", { timeZone: zone }).resolvedOptions().timeZone !== "";
  } catch {
    // A RangeError says that the zone is not known.
    return false;
  }
}

function firstLine(from: number, to: number): number {
  const end = reading.text.indexOf("\n", from);
  return end < 0 ? to : Math.min(to, end);
}

function sayMistakes(): void {
  const errors = placed.filter(({ severity }) => severity === "error").length;
  const odd = placed.length - errors;
  const words = [
    errors === 0
      ? null
      : errors === 1
        ? "1 mistake: the book is refused"
        : `${String(errors)} mistakes: the book is refused`,
    odd === 0 ? null : odd === 1 ? "1 thing to look at again" : `${String(odd)} things to look at again`,
  ].filter((one) => one !== null);
  status.textContent = words.length === 0 ? "No mistakes found" : words.join(", ");
  status.dataset["severity"] = errors > 0 ? "error" : odd > 0 ? "warning" : "none";
  fill(
    list,
    ...placed.map((one) =>
      make(
        "li",
        { "data-severity": one.severity },
        make("span", {}, one.message),
        " ",
        button(
          { class: "small" },
          () => {
            text.goTo(one.from);
          },
          "Show in the text",
        ),
        " ",
        one.way.length === 0
          ? null
          : button(
              { class: "small" },
              () => {
                if (!form.goTo(one.way)) text.goTo(one.from);
              },
              "Show in the form",
            ),
      ),
    ),
  );
}

const COUNTED: readonly [Answer, string][] = [
  ["closed", "closed"],
  ["need", "with permit or consent first"],
  ["limits", "with limits"],
  ["not_known", "not known"],
  ["no_rule", "no rule found"],
  ["free", "free by a written rule"],
];

/** What the book makes of the map on the day of the visit, in one line. */
function sayEffect(answers: Partial<Record<Answer, number>>): void {
  const date = new Date(`${visit}T00:00:00Z`);
  const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "long", timeZone: "UTC" }).format(date);
  const number = new Intl.NumberFormat("en-GB");
  const parts = COUNTED.flatMap(([answer, words]) => {
    const n = answers[answer] ?? 0;
    return n === 0 ? [] : [`${number.format(n)} ${words}`];
  });
  effect.textContent = `Stands on ${day}: ${parts.join(", ")}.`;
}

async function showYear(): Promise<void> {
  const asked = stand;
  if (asked === null) {
    calendar.wait();
    return;
  }
  try {
    const year = await map.year(asked);
    if (asked === stand) calendar.show(`Stand ${asked}`, year, visit);
  } catch (error) {
    if (error instanceof Error && error.name === "Dropped") return;
    calendar.fail(error instanceof Error ? error.message : String(error));
  }
}

/** The officer's own stand map in the place of the invented one. */
function mapFiles(): void {
  const stands = found("own-stands") as HTMLInputElement;
  const crosswalk = found("own-crosswalk") as HTMLInputElement;
  const use = (): void => {
    map.crosswalkFile = crosswalk.files?.[0] ?? null;
    map.standsFile = stands.files?.[0] ?? null;
    map.removeAttribute("context");
    stand = null;
    calendar.wait();
  };
  stands.addEventListener("change", use);
  crosswalk.addEventListener("change", () => {
    if (map.standsFile !== null) use();
  });
}

function save(): void {
  const address = URL.createObjectURL(new Blob([text.text], { type: "application/json" }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => {
    URL.revokeObjectURL(address);
  }, 10_000);
  saved = text.text;
  fileName.dataset["changed"] = "false";
}

function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${String(now.getFullYear())}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function found(id: string): HTMLElement {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no element with the id \`${id}\``);
  return element;
}
