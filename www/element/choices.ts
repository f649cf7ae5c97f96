/**
 * The slim line above the map: the day, what the visitor looks for, who is collecting, the harvest check, map or list.
 *
 * In: the session's state. Out: the line, whose controls change the session. On a narrow screen the controls fold
 * behind one button that says what is chosen. Left to others: what the choices lead to.
 */
import { Collector } from "./collector.ts";
import { button, fill, freshId, make } from "./make.ts";
import { VIEWS, type View, type Wish } from "./protocol.ts";
import type { Session } from "./session.ts";
import { pick, type Words } from "./words.ts";

/** Map or list. */
export type Place = "map" | "list";

/** The line of choices. */
export class Choices {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #day: HTMLInputElement;
  readonly #wish: HTMLSelectElement;
  readonly #views = new Map<View, HTMLInputElement>();
  readonly #collector: Collector;
  readonly #who: HTMLButtonElement;
  readonly #whoPanel: HTMLElement;
  readonly #harvest: HTMLButtonElement;
  readonly #plan: HTMLButtonElement;
  readonly #fold: HTMLButtonElement;
  readonly #places = new Map<Place, HTMLButtonElement>();
  #wishesShown: readonly Wish[] | null = null;

  /**
   * @param goTo called when the visitor asks for the map or the list
   * @param checkHarvest called when the visitor wants to hold a harvest against the rules
   * @param plan called when the visitor wants to plan a day
   */
  constructor(
    words: Words,
    session: Session,
    goTo: (place: Place) => void,
    checkHarvest: () => void,
    plan: () => void,
  ) {
    this.#words = words;
    this.#session = session;

    const dayId = freshId("day");
    this.#day = make("input", { id: dayId, type: "date", class: "day" });
    this.#day.addEventListener("change", () => {
      if (this.#day.value === "") this.#day.value = session.day;
      else session.chooseDay(this.#day.value);
    });

    const wishId = freshId("wish");
    this.#wish = make("select", { id: wishId, class: "wish" });
    this.#wish.addEventListener("change", () => {
      session.chooseWish(this.#wish.value === "" ? null : this.#wish.value);
    });

    const group = freshId("view");
    const views = make(
      "fieldset",
      { class: "views" },
      make("legend", { class: "unseen" }, words.say("ui.view")),
      ...VIEWS.map((view) => this.#viewChoice(view, group)),
    );

    this.#collector = new Collector(words, session.visitor, (answers) => {
      void session.tell(answers);
      this.#countAnswers();
    });
    const whoId = freshId("who");
    this.#whoPanel = make("div", { class: "who-panel", id: whoId, hidden: true }, this.#collector.element);
    this.#who = button(
      { class: "who", part: "button", "aria-expanded": "false", "aria-controls": whoId },
      () => {
        this.#toggle(this.#who, this.#whoPanel);
      },
    );
    const who = make("div", { class: "who-box" }, this.#who, this.#whoPanel);
    who.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || this.#whoPanel.hidden) return;
      event.stopPropagation();
      this.#toggle(this.#who, this.#whoPanel);
      this.#who.focus();
    });

    this.#harvest = button({ class: "harvest-open", part: "button" }, checkHarvest, words.say("ui.harvest"));
    this.#plan = button({ class: "harvest-open", part: "button" }, plan, words.say("ui.plan"));

    const foldId = freshId("choices");
    const controls = make(
      "div",
      { class: "controls", id: foldId },
      make("div", { class: "field" }, make("label", { for: dayId }, words.say("ui.day")), this.#day),
      make(
        "div",
        { class: "field field-wish" },
        make("label", { for: wishId }, words.say("ui.wish")),
        this.#wish,
      ),
      views,
      who,
      this.#plan,
      this.#harvest,
    );
    this.#fold = button(
      { class: "fold", part: "button", "aria-expanded": "false", "aria-controls": foldId },
      () => {
        const open = this.#fold.getAttribute("aria-expanded") !== "true";
        this.#fold.setAttribute("aria-expanded", String(open));
        controls.dataset["open"] = String(open);
      },
    );

    const places = make("div", { class: "places", role: "group", "aria-label": words.say("ui.place") });
    for (const place of ["map", "list"] as const) {
      const one = button(
        { class: "place", part: "button", "aria-pressed": String(place === "map") },
        () => {
          goTo(place);
        },
        words.say(`ui.${place}`),
      );
      this.#places.set(place, one);
      places.append(one);
    }

    this.element = make("div", { class: "choices", part: "toolbar" }, this.#fold, controls, places);
    this.show();
  }

  /** Brings every control in line with the session. */
  show(): void {
    const { view, wish, day, rules, wishes } = this.#session;
    this.#day.value = day;
    if (this.#wishesShown !== wishes) this.#fillWishes();
    this.#wish.value = wish ?? "";
    for (const [one, input] of this.#views) input.checked = wish === null && one === view;
    const questions = rules?.questions ?? [];
    this.#who.hidden = questions.length === 0;
    if (questions.length === 0) this.#whoPanel.hidden = true;
    this.#harvest.hidden = !(rules?.books.some(({ state }) => state === "read") ?? false);
    this.#collector.ask(questions);
    this.#countAnswers();
    const shown = day === "" ? "" : this.#words.day(day, { day: "numeric", month: "short" });
    fill(
      this.#fold,
      make("span", { class: "fold-day" }, shown),
      make("span", { class: "fold-look" }, this.lookWords()),
      make("span", { class: "fold-arrow", "aria-hidden": "true" }),
    );
  }

  /** Shows which of map and list is on the screen. */
  setPlace(place: Place): void {
    for (const [one, element] of this.#places) element.setAttribute("aria-pressed", String(one === place));
  }

  /** What the fill shows, in a few words: the kind looked for, or the view. */
  lookWords(): string {
    const wish = this.#session.wishes.find((one) => one.id === this.#session.wish);
    return wish === undefined ? this.#words.say(`ui.view.${this.#session.view}`) : this.#wishName(wish);
  }

  #viewChoice(view: View, group: string): HTMLElement {
    const input = make("input", { type: "radio", name: group, value: view });
    input.addEventListener("change", () => {
      this.#session.chooseView(view);
    });
    this.#views.set(view, input);
    return make("label", {}, input, make("span", {}, this.#words.say(`ui.view.${view}`)));
  }

  #fillWishes(): void {
    this.#wishesShown = this.#session.wishes;
    const collator = this.#words.collator();
    const named = this.#session.wishes
      .map((wish) => ({ id: wish.id, name: this.#wishName(wish) }))
      .sort((one, other) => collator.compare(one.name, other.name));
    fill(
      this.#wish,
      make("option", { value: "" }, this.#words.say("ui.wish.any")),
      ...named.map(({ id, name }) => make("option", { value: id }, begun(name, this.#words.locale))),
    );
  }

  /** The vernacular name, where there is one, with the scientific name beside it. */
  #wishName(wish: Wish): string {
    const name = pick(wish.names, this.#session.languages);
    return name === null || name.text === ""
      ? wish.scientific
      : this.#words.say("ui.kind_name", { name: { text: name.text }, scientific: { text: wish.scientific } });
  }

  #countAnswers(): void {
    const n = this.#collector.answered;
    fill(
      this.#who,
      this.#words.say(n === 0 ? "ui.who" : "ui.who.some", { n: { n } }),
      make("span", { class: "fold-arrow", "aria-hidden": "true" }),
    );
  }

  #toggle(control: HTMLButtonElement, panel: HTMLElement): void {
    panel.hidden = !panel.hidden;
    control.setAttribute("aria-expanded", String(!panel.hidden));
    if (!panel.hidden) panel.querySelector<HTMLElement>("select, input")?.focus();
  }
}

/** A name as it begins a line. */
function begun(name: string, locale: string): string {
  const [first = "", ...rest] = name;
  return first.toLocaleUpperCase(locale) + rest.join("");
}
