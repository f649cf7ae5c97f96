/**
 * The calendar: what the rules say of one stand on each day of a year.
 *
 * In: the stand's name, the first day of the year and an answer a day. Out: twelve rows of days, told apart by pattern
 * as well as tone, their meaning, and the same in words, month by month. Left to others: the answers (the engine).
 */
import { fill, make } from "../element/make.ts";
import type { YearOfStand } from "../element/protocol.ts";
import { monthsOf, sentence, WORDS } from "./months.ts";

/** The calendar with its head. */
export class Calendar {
  readonly element: HTMLElement;
  readonly #title = make("h3", {}, "The year");
  readonly #body = make("div", {});

  constructor() {
    this.element = make("section", { class: "year" }, this.#title, this.#body);
    this.wait();
  }

  /** Says how to come to a calendar. */
  wait(): void {
    this.#title.textContent = "The year in one stand";
    fill(this.#body, make("p", { class: "hint" }, "Choose a stand on the map to see its whole year here."));
  }

  /** Says why there is no calendar. */
  fail(message: string): void {
    fill(this.#body, make("p", { class: "broken", role: "alert" }, message));
  }

  /** Shows a year; `visit` is the day that is on the map. */
  show(name: string, year: YearOfStand, visit: string): void {
    const months = monthsOf(year);
    this.#title.textContent = `${name}: the year ${year.from.slice(0, 4)}`;
    const met = [...new Set(year.answers)];
    fill(
      this.#body,
      make(
        "ul",
        { class: "year-legend", role: "list" },
        ...met.map((answer) =>
          make(
            "li",
            {},
            make("span", { class: "day", "data-answer": answer, "aria-hidden": "true" }),
            `${WORDS[answer]}: ${days(year.answers.filter((one) => one === answer).length)}`,
          ),
        ),
      ),
      make(
        "div",
        { class: "months", "aria-hidden": "true" },
        ...months.map(({ label, first, answers }) =>
          make(
            "div",
            { class: "month" },
            make("span", { class: "month-name" }, label.slice(0, 3)),
            ...answers.map((answer, place) =>
              make(
                "span",
                {
                  class: "day",
                  "data-answer": answer,
                  "data-visit": isoDay(first, place) === visit,
                  title: `${String(place + 1)} ${label}: ${WORDS[answer]}`,
                },
                String(place + 1),
              ),
            ),
          ),
        ),
      ),
      make(
        "details",
        { class: "in-words" },
        make("summary", {}, "The same in words"),
        make(
          "ul",
          {},
          ...months.map(({ label, answers }) => make("li", {}, `${label}: ${sentence(answers)}.`)),
        ),
      ),
    );
  }
}

function days(n: number): string {
  return n === 1 ? "1 day" : `${String(n)} days`;
}

function isoDay(first: string, later: number): string {
  const date = new Date(`${first}T00:00:00Z`);
  date.setUTCDate(date.getUTCDate() + later);
  return date.toISOString().slice(0, 10);
}
