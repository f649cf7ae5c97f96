/**
 * "Who is collecting": asks the visitor only what some rule turns on, and keeps nothing.
 *
 * In: the questions of the rule books. Out: the visitor's answers; what is not said stays not known. Left to others:
 * what follows from an answer (the engine).
 */
import { fill, freshId, make } from "./make.ts";
import type { Question, VisitorAnswers } from "./protocol.ts";
import type { Words } from "./words.ts";

const NUMBERS: Partial<Record<Question, { least: number; most: number }>> = {
  age: { least: 0, most: 120 },
  party: { least: 1, most: 99 },
};

/** The form with the questions. */
export class Collector {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #told: (answers: VisitorAnswers) => void;
  readonly #fields: HTMLElement;
  #answers: VisitorAnswers;
  #asked = "";

  /** @param told called with all answers after each change */
  constructor(words: Words, answers: VisitorAnswers, told: (answers: VisitorAnswers) => void) {
    this.#words = words;
    this.#answers = { ...answers };
    this.#told = told;
    this.#fields = make("div", { class: "questions" });
    this.element = make(
      "div",
      { class: "collector" },
      this.#fields,
      make("p", { class: "quiet" }, words.say("ui.who.kept")),
    );
  }

  /** How many of the questions have an answer. */
  get answered(): number {
    return Object.keys(this.#answers).length;
  }

  /** Asks these questions; what was answered before stays answered. */
  ask(questions: readonly Question[]): void {
    const asked = questions.join(" ");
    if (asked === this.#asked && this.#fields.childElementCount > 0) return;
    this.#asked = asked;
    fill(this.#fields, ...questions.map((one) => (one in NUMBERS ? this.#number(one) : this.#choice(one))));
  }

  #choice(question: Question): HTMLElement {
    const id = freshId("question");
    const select = make(
      "select",
      { id },
      make("option", { value: "" }, this.#words.say("ui.who.unsaid")),
      make("option", { value: "yes" }, this.#words.say("ui.yes")),
      make("option", { value: "no" }, this.#words.say("ui.no")),
    );
    const before = this.#answers[question];
    select.value = before === undefined ? "" : before === true ? "yes" : "no";
    select.addEventListener("change", () => {
      this.#set(question, select.value === "" ? undefined : select.value === "yes");
    });
    return make(
      "div",
      { class: "field" },
      make("label", { for: id }, this.#words.say(`ui.who.${question}`)),
      select,
    );
  }

  #number(question: Question): HTMLElement {
    const id = freshId("question");
    const bounds = NUMBERS[question] ?? { least: 0, most: 999 };
    const input = make("input", {
      id,
      type: "number",
      inputmode: "numeric",
      min: bounds.least,
      max: bounds.most,
      step: 1,
      placeholder: this.#words.say("ui.who.unsaid"),
    });
    const before = this.#answers[question];
    if (typeof before === "number") input.value = String(before);
    input.addEventListener("change", () => {
      const value = input.valueAsNumber;
      const fits = Number.isInteger(value) && value >= bounds.least && value <= bounds.most;
      input.setAttribute("aria-invalid", String(input.value !== "" && !fits));
      this.#set(question, fits ? value : undefined);
    });
    return make(
      "div",
      { class: "field" },
      make("label", { for: id }, this.#words.say(`ui.who.${question}`)),
      input,
    );
  }

  #set(question: Question, value: boolean | number | undefined): void {
    const answers = { ...this.#answers };
    delete answers[question];
    this.#answers = value === undefined ? answers : { ...answers, [question]: value };
    this.#told({ ...this.#answers });
  }
}
