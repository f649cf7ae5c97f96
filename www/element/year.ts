/**
 * The year of a stand, to be opened on its sheet.
 *
 * In: the session. Out: something closed that asks the engine for the year when it is opened, and shows it. Left to
 * others: drawing it (year-strip.ts), which comes in a file of its own.
 */
import { Dropped, Faulted } from "./courier.ts";
import { english, fill, make } from "./make.ts";
import type { Session } from "./session.ts";
import type { Words } from "./words.ts";

/** Makes what opens. */
export class YearDetails {
  readonly #words: Words;
  readonly #session: Session;

  constructor(words: Words, session: Session) {
    this.#words = words;
    this.#session = session;
  }

  /** The year of the stand that is chosen now. */
  element(): HTMLElement {
    const words = this.#words;
    const id = this.#session.chosen;
    const body = make(
      "div",
      { class: "more-body" },
      make("p", { class: "quiet" }, words.say("ui.sheet.coming")),
    );
    const details = make(
      "details",
      { class: "more year-more" },
      make("summary", {}, make("span", { class: "more-name" }, words.say("ui.year.title"))),
      body,
    );
    let asked = false;
    details.addEventListener("toggle", () => {
      if (!details.open || asked || id === null) return;
      asked = true;
      void this.#fill(id, body);
    });
    return details;
  }

  async #fill(id: string, body: HTMLElement): Promise<void> {
    const { languages, day } = this.#session;
    try {
      const [year, { yearStrip }] = await Promise.all([
        this.#session.ask("calendar", { id, languages, ...this.#session.look() }),
        import("./year-strip.ts"),
      ]);
      fill(body, yearStrip(this.#words, year, day));
    } catch (error) {
      if (error instanceof Dropped) return;
      if (!(error instanceof Faulted)) throw error;
      const text = english(error.fault.message);
      fill(body, make("p", { class: "line-of", "data-tone": "caution", role: "alert" }, text));
    }
  }
}
