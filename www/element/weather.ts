/**
 * The weather of the last weeks as a figure, and the same as a table.
 *
 * In: days with rain, warmth and water in the ground, some of them told ahead. Out: a drawing that is hidden from screen
 * readers and a table that is not. A day without a value leaves a gap; nothing is drawn for it. Left to others: what
 * the weather means (the engine says it in words).
 */
import { make, said } from "./make.ts";
import type { SheetNode, WeatherDay } from "./protocol.ts";
import type { Words } from "./words.ts";

const SVG = "http://www.w3.org/2000/svg";

/** Sizes of the drawing, in its own units. */
const WIDE = 600;
const STRIP = 64;
const GAP = 26;

/** One strip of the drawing: its name, its scale, and what is drawn of a day. */
interface Strip {
  title: string;
  least: number;
  most: number;
  ends: [string, string];
  draw: (day: WeatherDay, x: number, width: number, y: (value: number) => number) => SVGElement | null;
}

/** The figure with its words and its table. `later` fills the table when there is time. */
export function weather(
  words: Words,
  one: Extract<SheetNode, { node: "weather" }>,
  later: (act: () => void) => void,
): HTMLElement {
  const body = make("div", { class: "more-body" });
  const table = make(
    "details",
    { class: "more" },
    make("summary", {}, make("span", { class: "more-name" }, words.say("ui.weather.table"))),
    body,
  );
  const complete = (): void => {
    if (body.childElementCount === 0) body.append(daily(words, one));
  };
  table.addEventListener("toggle", complete);
  later(complete);
  return make(
    "div",
    { class: "weather" },
    make("p", {}, said(words, one.text)),
    one.days.length === 0
      ? null
      : make("div", { class: "weather-drawing", "aria-hidden": "true" }, drawing(words, one)),
    table,
  );
}

function drawing(words: Words, one: Extract<SheetNode, { node: "weather" }>): SVGElement {
  const { days } = one;
  const strips = stripsOf(words, days).filter(({ draw }) =>
    days.some((day) => draw(day, 0, 1, () => 0) !== null),
  );
  const high = strips.length * (STRIP + GAP) + 18;
  const root = svg("svg", { viewBox: `0 0 ${String(WIDE)} ${String(high)}`, class: "weather-figure" });
  const width = WIDE / days.length;
  strips.forEach((strip, place) => {
    const top = place * (STRIP + GAP) + GAP - 6;
    const y = (value: number): number =>
      top + STRIP - ((value - strip.least) / Math.max(1e-9, strip.most - strip.least)) * STRIP;
    root.append(
      svg("text", { x: 0, y: top - 6, class: "weather-title" }, strip.title),
      svg("text", { x: WIDE, y: top - 6, class: "weather-end" }, `${strip.ends[0]} – ${strip.ends[1]}`),
      svg("line", { x1: 0, x2: WIDE, y1: top + STRIP, y2: top + STRIP, class: "weather-base" }),
    );
    days.forEach((day, at) => {
      const mark = strip.draw(day, at * width, width, y);
      if (mark === null) return;
      if (day.forecast) mark.classList.add("weather-ahead");
      root.append(mark);
    });
  });
  const foot = high - 4;
  const today = days.findIndex(({ date }) => date === one.today);
  if (today >= 0) {
    const x = (today + 1) * width;
    // In each strip by itself: between the strips stand their names and figures.
    strips.forEach((_, place) => {
      const top = place * (STRIP + GAP) + GAP - 6;
      root.append(svg("line", { x1: x, x2: x, y1: top, y2: top + STRIP, class: "weather-today" }));
    });
  }
  const short: Intl.DateTimeFormatOptions = { day: "numeric", month: "short" };
  root.append(
    svg("text", { x: 0, y: foot, class: "weather-label" }, words.day(one.from, short)),
    svg("text", { x: WIDE, y: foot, class: "weather-end" }, words.day(one.to, short)),
  );
  return root;
}

function stripsOf(words: Words, days: readonly WeatherDay[]): Strip[] {
  const told = (of: (day: WeatherDay) => number | null): number[] =>
    days.map(of).filter((value) => value !== null);
  const lows = told(({ low }) => low);
  const highs = told(({ high }) => high);
  const coldest = Math.min(0, ...lows);
  const warmest = Math.max(10, ...highs);
  const wettest = Math.max(10, ...told(({ rain }) => rain));
  return [
    {
      title: words.say("ui.weather.warmth"),
      least: coldest,
      most: warmest,
      ends: [words.number(coldest, "celsius", 0), words.number(warmest, "celsius", 0)],
      draw: ({ low, high }, x, width, y) =>
        low === null || high === null
          ? null
          : svg("rect", {
              x: x + width * 0.2,
              width: width * 0.6,
              y: y(high),
              height: Math.max(1.5, y(low) - y(high)),
              class: "weather-warmth",
            }),
    },
    {
      title: words.say("ui.weather.rain"),
      least: 0,
      most: wettest,
      ends: [words.number(0, "millimeter", 0, true), words.number(wettest, "millimeter", 0, true)],
      draw: ({ rain }, x, width, y) =>
        rain === null
          ? null
          : svg("rect", {
              x: x + width * 0.1,
              width: width * 0.8,
              y: y(rain),
              height: y(0) - y(rain),
              class: "weather-rain",
            }),
    },
    {
      title: words.say("ui.weather.ground"),
      least: 0,
      most: 1,
      ends: [words.say("ui.weather.dry"), words.say("ui.weather.wet")],
      draw: ({ moisture }, x, width, y) =>
        moisture === null
          ? null
          : svg("rect", {
              x,
              width: width + 0.3,
              y: y(moisture),
              height: y(0) - y(moisture),
              class: "weather-ground",
            }),
    },
  ];
}

function daily(words: Words, one: Extract<SheetNode, { node: "weather" }>): HTMLElement {
  const cell = (value: number | null, unit: string): string =>
    value === null ? words.say("ui.unknown") : words.number(value, unit, 1, true);
  const head = ["ui.day", "ui.weather.rain", "ui.weather.low", "ui.weather.high"];
  return make(
    "div",
    { class: "weather-room", tabindex: 0, role: "region", "aria-label": words.say("ui.weather.table") },
    make(
      "table",
      { class: "weather-table" },
      make("thead", {}, make("tr", {}, ...head.map((key) => make("th", { scope: "col" }, words.say(key))))),
      make(
        "tbody",
        {},
        ...one.days.map((day) => {
          const date = words.day(day.date, { day: "numeric", month: "short" });
          return make(
            "tr",
            {},
            make(
              "th",
              { scope: "row" },
              day.forecast ? words.say("ui.weather.ahead", { day: { text: date } }) : date,
            ),
            make("td", {}, cell(day.rain, "millimeter")),
            make("td", {}, cell(day.low, "celsius")),
            make("td", {}, cell(day.high, "celsius")),
          );
        }),
      ),
    ),
  );
}

/** An element of a drawing, with its attributes and its text. */
function svg(tag: string, attributes: Record<string, string | number>, text = ""): SVGElement {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  if (text !== "") element.textContent = text;
  return element;
}
