/**
 * The day planner: the best stands of a day within a distance of a start, with reasons.
 *
 * In: the session, and where the visitor starts and how far they go. Out: a dialog with the stands as the engine ranked
 * them; one opens its sheet, or goes into the visit. Left to others: the ranking and every reason (the engine), where
 * the start is (start-choice.ts).
 */
import { Dropped, Faulted } from "./courier.ts";
import { dialog } from "./dialog.ts";
import { button, fill, freshId, heading, make } from "./make.ts";
import type { PlannedStand, PlanReport } from "./protocol.ts";
import type { Session } from "./session.ts";
import { nodes } from "./sheet-nodes.ts";
import { StartChoice } from "./start-choice.ts";
import type { Words } from "./words.ts";

/** Distances to choose from, in metres. */
const DISTANCES = [1000, 2000, 5000, 10_000, 20_000, 50_000];
/** The one that is chosen first. */
const FIRST = 5000;
/** So many stands are named. */
const MOST = 10;

/** What the planner needs from the screen. */
export interface PlannerNews {
  chosen: (id: string) => void;
  middle: () => [number, number] | null;
  /** What the shade is about, in words. */
  look: () => string;
}

/** The dialog. */
export class Planner {
  readonly element: HTMLDialogElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #news: PlannerNews;
  readonly #start: StartChoice;
  readonly #within: HTMLSelectElement;
  readonly #about: HTMLElement;
  readonly #result: HTMLElement;
  readonly #live: HTMLElement;
  readonly #kept: HTMLElement;
  #asked: AbortController | null = null;

  constructor(words: Words, session: Session, news: PlannerNews) {
    this.#words = words;
    this.#session = session;
    this.#news = news;
    this.#kept = make("p", { class: "quiet", hidden: true }, words.say("ui.start.kept"));
    this.#start = new StartChoice(words, session, "ui.plan.start", news.middle, {
      changed: () => {
        this.#kept.hidden = !this.#start.asksDevice;
      },
    });
    this.#within = make(
      "select",
      { id: freshId("within") },
      ...DISTANCES.map((metres) =>
        make(
          "option",
          { value: metres, selected: metres === FIRST },
          words.number(metres / 1000, "kilometer", 0),
        ),
      ),
    );
    this.#about = make("p", { class: "quiet" });
    this.#result = make("div", { class: "plan-result" });
    this.#live = make("p", { class: "unseen", role: "status" });
    const form = make(
      "form",
      { class: "plan-form" },
      this.#start.element,
      make(
        "div",
        { class: "field" },
        make("label", { for: this.#within.id }, words.say("ui.plan.within")),
        this.#within,
      ),
      make("button", { type: "submit", part: "button" }, words.say("ui.plan.show")),
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.#plan();
    });
    this.element = dialog(
      words,
      { part: "planner" },
      words.say("ui.plan.title"),
      words.say("ui.plan.close"),
      this.#about,
      form,
      this.#kept,
      this.#result,
      this.#live,
    );
  }

  /** Opens the dialog; with a stand's sheet open, the way begins there. */
  open(): void {
    this.#start.preferStand();
    this.#kept.hidden = !this.#start.asksDevice;
    this.#sayDay();
    this.element.showModal();
  }

  /** The visit or the look has changed: what stands there is no longer true. */
  refresh(): void {
    if (!this.element.open) {
      fill(this.#result);
      return;
    }
    this.#sayDay();
    if (this.#result.childElementCount > 0) void this.#plan();
  }

  /** Ends what is under way. */
  close(): void {
    this.#asked?.abort();
    if (this.element.open) this.element.close();
  }

  #sayDay(): void {
    this.#about.textContent = this.#words.say("ui.plan.for", {
      day: { date: this.#session.day },
      look: { text: this.#news.look() },
    });
  }

  async #plan(): Promise<void> {
    const words = this.#words;
    this.#asked?.abort();
    const asked = new AbortController();
    this.#asked = asked;
    try {
      if (this.#start.asksDevice) this.#say(words.say("ui.start.asking"));
      const started = await this.#start.read();
      if (asked.signal.aborted || started === null) return;
      if ("why" in started) {
        this.#fault(started.why);
        return;
      }
      const { languages } = this.#session;
      const within = Number(this.#within.value);
      const query = { start: started.at, within, most: MOST, languages, ...this.#session.look() };
      this.#show(await this.#session.ask("plan", { query }, asked.signal));
    } catch (error) {
      if (error instanceof Dropped) return;
      if (!(error instanceof Faulted)) throw error;
      this.#fault(error.fault.message, "en");
    }
  }

  #show({ stands, near, closed, notKnown }: PlanReport): void {
    const words = this.#words;
    const count = words.say("ui.plan.count", {
      near: { key: "ui.stands", args: { n: { n: near } } },
      closed: { n: closed },
      unknown: { n: notKnown },
    });
    const list = make(
      "ol",
      { class: "plan-stands", role: "list" },
      ...stands.map((stand) => this.#stand(stand)),
    );
    fill(
      this.#result,
      make("p", { class: "quiet" }, count),
      stands.length === 0 ? make("p", {}, words.say("ui.plan.none")) : list,
      make("p", { class: "line-of", "data-tone": "danger" }, words.say("sheet.danger.always")),
      make("p", { class: "line-of", "data-tone": "quiet" }, words.say("ui.intro.promise")),
      make("p", { class: "line-of", "data-tone": "quiet" }, words.say("sheet.law.summary")),
    );
    this.#live.textContent =
      stands.length === 0
        ? words.say("ui.plan.none")
        : words.say("ui.search.found", { n: { n: stands.length } });
  }

  #stand(stand: PlannedStand): HTMLElement {
    const words = this.#words;
    const later: (() => void)[] = [];
    const says = nodes(words, stand.says, (act) => later.push(act));
    for (const act of later) act();
    const name = stand.name ?? words.say("ui.stand_number", { id: { text: stand.id } });
    return make(
      "li",
      { "data-stand": stand.id },
      heading(
        words,
        "h3",
        {},
        button(
          { class: "row-button" },
          () => {
            this.element.close();
            this.#news.chosen(stand.id);
          },
          make("bdi", {}, name),
        ),
        " ",
        make(
          "span",
          { class: "quiet" },
          words.say("ui.plan.distance", { distance: { text: this.#far(stand) } }),
        ),
      ),
      ...says,
    );
  }

  #far({ distance }: PlannedStand): string {
    return distance < 1000
      ? this.#words.number(Math.round(distance / 10) * 10, "meter", 0, true)
      : this.#words.number(distance / 1000, "kilometer", 1, true);
  }

  #say(text: string): void {
    this.#live.textContent = text;
    fill(this.#result, make("p", { class: "quiet" }, text));
  }

  #fault(text: string, lang?: string): void {
    fill(
      this.#result,
      make(
        "p",
        { class: "line-of", "data-tone": "caution", role: "alert" },
        make("bdi", { lang: lang ?? null }, text),
      ),
    );
  }
}
