/**
 * The year of a stand as strips of days: what is closed or not known, which kinds are in season, which poisonous kinds
 * with them; and the same as a table by months.
 *
 * In: one answer a day and kinds with their spans, as the engine tells them. Out: a drawing that is hidden from screen
 * readers and a table that is not. Left to others: opening it (sheet.ts), what the days mean (the engine).
 */
import { make, said } from "./make.ts";
import type { Answer, CalendarOfStand } from "./protocol.ts";
import type { Words } from "./words.ts";

const SVG = "http://www.w3.org/2000/svg";

/** Sizes of a strip's drawing, in its own units: one unit a day. */
const HIGH = 12;

/** Answers that the strip of closures draws. */
const SHUT: readonly Answer[] = ["closed", "over", "breach"];

/** The figure: strips with their names, and the table. */
export function yearStrip(words: Words, year: CalendarOfStand, day: string): HTMLElement {
  const days = year.answers.length;
  const today = dayOf(year.from, day);
  const shut = spansOf(year.answers, (answer) => SHUT.includes(answer));
  const open = spansOf(year.answers, (answer) => answer === "not_known");
  const strip = (name: DocumentFragment | string, tone: string, spans: Marked[]): HTMLElement =>
    make(
      "div",
      { class: "year-row", "data-tone": tone },
      make("span", { class: "year-name" }, name),
      drawing(spans, days, today),
    );
  const law = strip(`${words.say("answer.closed")}, ${words.say("answer.not_known")}`, "law", [
    ...shut.map((span) => ({ span, mark: "shut" })),
    ...open.map((span) => ({ span, mark: "open" })),
  ]);
  const kinds = year.kinds.map(({ name, tone, spans }) =>
    strip(
      said(words, name),
      tone,
      spans.map((span) => ({ span, mark: tone })),
    ),
  );
  return make(
    "div",
    { class: "year" },
    make(
      "div",
      { class: "year-figure", "aria-hidden": "true" },
      months(words, year.from, days),
      law,
      ...kinds,
    ),
    more(words, year),
    table(words, year),
    make("p", { class: "quiet" }, words.say("ui.year.note")),
  );
}

interface Marked {
  span: [number, number];
  mark: string;
}

/** The names of the months over the strips. */
function months(words: Words, from: string, days: number): HTMLElement {
  const row = make("div", { class: "year-months" });
  for (const [first, last, month] of monthSpans(from, days)) {
    const name = words.day(month, { month: "narrow" });
    const cell = make("span", {}, name);
    cell.style.flexGrow = String(last - first + 1);
    row.append(cell);
  }
  return make("div", { class: "year-row" }, make("span", { class: "year-name" }), row);
}

function drawing(spans: readonly Marked[], days: number, today: number | null): SVGElement {
  const root = svg("svg", { viewBox: `0 0 ${String(days)} ${String(HIGH)}`, preserveAspectRatio: "none" });
  root.append(svg("rect", { x: 0, y: HIGH - 1, width: days, height: 1, class: "year-base" }));
  for (const { span, mark } of spans) {
    const width = span[1] - span[0] + 1;
    root.append(svg("rect", { x: span[0], y: 1, width, height: HIGH - 3, class: `year-${mark}` }));
  }
  if (today !== null)
    root.append(svg("rect", { x: today, y: 0, width: 1.6, height: HIGH, class: "year-today" }));
  return root;
}

/** How many kinds are not drawn one by one. */
function more(words: Words, { more, morePoisonous }: CalendarOfStand): HTMLElement | null {
  const parts = [
    more === 0 ? "" : words.say("sheet.season.more", { n: { n: more } }),
    morePoisonous === 0 ? "" : `${words.say("sheet.danger.poisonous")}: ${words.number(morePoisonous)}`,
  ].filter((part) => part !== "");
  return parts.length === 0 ? null : make("p", { class: "quiet" }, `${parts.join(" · ")}`);
}

/** Month by month: how many days are closed, how many not known, which kinds. */
function table(words: Words, year: CalendarOfStand): HTMLElement {
  const heads = ["month", "closed_days", "unknown_days", "season", "poisonous"];
  const rows = monthSpans(year.from, year.answers.length).map(([first, last, month]) => {
    const answers = year.answers.slice(first, last + 1);
    const closed = answers.filter((answer) => SHUT.includes(answer)).length;
    const unknown = answers.filter((answer) => answer === "not_known").length;
    const named = (poisonous: boolean): HTMLElement =>
      make(
        "td",
        {},
        ...year.kinds
          .filter(({ tone, spans }) => {
            const here = spans.some(([from, to]) => from <= last && to >= first);
            return here && (tone !== "kind") === poisonous;
          })
          .map(({ name }) => make("div", {}, said(words, name))),
      );
    return make(
      "tr",
      {},
      make("th", { scope: "row" }, words.day(month, { month: "long" })),
      make("td", {}, words.number(closed)),
      make("td", {}, words.number(unknown)),
      named(false),
      named(true),
    );
  });
  const name = words.say("ui.year.table");
  return make(
    "details",
    { class: "more" },
    make("summary", {}, make("span", { class: "more-name" }, name)),
    make(
      "div",
      { class: "weather-room", tabindex: 0, role: "region", "aria-label": name },
      make(
        "table",
        { class: "weather-table year-table" },
        make(
          "thead",
          {},
          make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, words.say(`ui.year.${head}`)))),
        ),
        make("tbody", {}, ...rows),
      ),
    ),
  );
}

/** Stretches of days whose answer passes. */
export function spansOf(answers: readonly Answer[], passes: (answer: Answer) => boolean): [number, number][] {
  const spans: [number, number][] = [];
  answers.forEach((answer, day) => {
    if (!passes(answer)) return;
    const last = spans.at(-1);
    if (last !== undefined && last[1] === day - 1) last[1] = day;
    else spans.push([day, day]);
  });
  return spans;
}

/** First and last day of each month, counted from 0, and an ISO day in it. */
export function monthSpans(from: string, days: number): [first: number, last: number, day: string][] {
  const year = Number(from.slice(0, 4));
  const spans: [number, number, string][] = [];
  let first = 0;
  for (let month = 1; month <= 12 && first < days; month += 1) {
    const length = new Date(Date.UTC(year, month, 0)).getUTCDate();
    spans.push([first, first + length - 1, `${from.slice(0, 4)}-${String(month).padStart(2, "0")}-01`]);
    first += length;
  }
  return spans;
}

/** Which day of that year a day is, counted from 0; null in another year. */
export function dayOf(from: string, day: string): number | null {
  const days = (Date.parse(`${day}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / 86_400_000;
  return Number.isInteger(days) && days >= 0 && days < 366 ? days : null;
}

function svg(tag: string, attributes: Record<string, string | number>): SVGElement {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  return element;
}
