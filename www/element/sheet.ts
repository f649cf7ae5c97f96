/**
 * The stand sheet's place on the screen: beside a wide map, rising from below over a narrow one.
 *
 * In: the chosen stand's tree, or none. Out: the panel with its head, its close button, and, on a narrow screen, a
 * grip that sets its height by dragging or by pressing. Focus goes to the head when a sheet opens. Left to others:
 * what the sheet says (sheet-nodes.ts), where focus returns to (screen.ts).
 */
import { button, fill, heading, make } from "./make.ts";
import type { SheetNode, VisitReport } from "./protocol.ts";
import { ANSWERS } from "./protocol.ts";
import { nodes, type Later } from "./sheet-nodes.ts";
import type { Words } from "./words.ts";

/** How much of a narrow screen the sheet takes. */
type Height = "half" | "full";

/** How long the sheet may be filled in one go, in milliseconds. */
const SLICE = 8;

/** What stands on the sheet beside what the engine says of the stand. */
export interface SheetMore {
  /** The button that opens the harvest check, or nothing where there is nothing to check against. */
  harvest: () => HTMLElement | null;
  /** The button that opens the day planner. */
  plan: () => HTMLElement;
  /** The year of the stand, to be opened. */
  year: () => HTMLElement;
  /** What can be taken along from a stand of this name. */
  take: (name: string) => HTMLElement | null;
}

/** The sheet panel. */
export class Sheet {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #body: HTMLElement;
  readonly #grip: HTMLButtonElement;
  readonly #close: HTMLButtonElement;
  readonly #more: SheetMore;
  #height: Height = "half";
  #pending: (() => void)[] = [];
  #dragEnded = Number.NEGATIVE_INFINITY;

  /**
   * @param closed called when the visitor closes the sheet
   * @param more what stands on the sheet beside what the engine says
   */
  constructor(words: Words, closed: () => void, more: SheetMore) {
    this.#more = more;
    this.#words = words;
    this.#body = make("div", { class: "sheet-body" });
    this.#close = button(
      { class: "plain sheet-close", part: "button", "aria-label": words.say("ui.sheet.close") },
      closed,
      make("span", { "aria-hidden": "true" }, "×"),
    );
    this.#grip = button({ class: "grip", part: "button" }, () => {
      // The click that follows a drag must not change the height again.
      if (performance.now() - this.#dragEnded < 300) return;
      this.#setHeight(this.#height === "half" ? "full" : "half");
    });
    this.#grip.append(make("span", { class: "grip-bar", "aria-hidden": "true" }));
    this.element = make(
      "aside",
      { class: "sheet", part: "panel", "aria-label": words.say("ui.sheet.label"), "data-open": false },
      this.#grip,
      this.#close,
      this.#body,
    );
    this.rest(null);
    this.#draggable(closed);
    this.element.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || this.element.dataset["open"] !== "true") return;
      event.stopPropagation();
      closed();
    });
  }

  /** Shows a stand. The head takes the focus unless the same stand is only shown anew. */
  open(tree: readonly SheetNode[], focus: boolean): void {
    const opened = focus ? new Set<string>() : this.#opened();
    this.#pending = [];
    const later: Later = (act) => this.#pending.push(act);
    fill(this.#body, ...nodes(this.#words, tree, later));
    const check = this.#more.harvest();
    if (check !== null) this.#body.querySelector("[data-section=law]")?.append(check);
    this.#body.querySelector("[data-section=season]")?.append(this.#more.year());
    const head = tree.find((one) => one.node === "heading");
    const take = this.#more.take(head === undefined ? "" : this.#words.plain(head.text));
    if (take !== null) this.#body.append(take);
    this.#reopen(opened);
    if (focus) this.#body.scrollTop = 0;
    this.#setOpen(true);
    this.#complete(this.#pending, opened);
    if (focus) {
      const head = this.#body.querySelector<HTMLElement>(".head-name") ?? this.#close;
      head.focus({ preventScroll: true });
    }
  }

  /** Shows that a stand's sheet is on its way. */
  wait(): void {
    this.#setOpen(true);
    if (this.#body.childElementCount === 0 || this.#body.querySelector(".intro") !== null) {
      fill(this.#body, make("p", { class: "quiet" }, this.#words.say("ui.sheet.coming")));
    }
  }

  /** Shows what the whole map says of the day, and how to choose a stand. */
  rest(visit: VisitReport | null): void {
    this.#setOpen(false);
    this.#setHeight("half");
    this.#pending = [];
    fill(this.#body, ...(visit === null ? [] : [this.#intro(visit)]));
  }

  /** Says that a stand's sheet could not be composed. */
  fail(message: string): void {
    this.#setOpen(true);
    fill(this.#body, make("p", { role: "alert", "data-tone": "caution", class: "line-of" }, message));
  }

  #intro(visit: VisitReport): HTMLElement {
    const words = this.#words;
    const rows = ANSWERS.flatMap((answer) => {
      const n = visit.answers[answer] ?? 0;
      if (n === 0) return [];
      return [
        make(
          "dt",
          { "data-answer": answer },
          make("span", { class: "verdict-mark" }),
          words.say(`answer.${answer}`),
        ),
        make("dd", {}, words.say("ui.stands", { n: { n } })),
      ];
    });
    // A map without stands has nothing to choose.
    if (rows.length === 0) return make("p", { class: "intro quiet" }, words.say("ui.intro.promise"));
    return make(
      "div",
      { class: "intro" },
      heading(words, "h2", { class: "head-name" }, words.say("ui.intro.title")),
      make("p", {}, words.say("ui.intro.how")),
      heading(
        words,
        "h3",
        {},
        words.say("ui.intro.day", { day: { text: words.day(visit.day, { dateStyle: "full" }) } }),
      ),
      make("dl", { class: "facts tally" }, ...rows),
      make("p", { class: "quiet" }, words.say("ui.intro.promise")),
      make("div", { class: "intro-offers" }, this.#more.plan(), this.#more.harvest()),
    );
  }

  #setOpen(open: boolean): void {
    this.element.dataset["open"] = String(open);
    this.#close.hidden = !open;
    this.#grip.hidden = !open;
  }

  #setHeight(height: Height): void {
    this.#height = height;
    this.element.dataset["height"] = height;
    this.element.style.removeProperty("block-size");
    this.#grip.setAttribute(
      "aria-label",
      this.#words.say(height === "half" ? "ui.sheet.taller" : "ui.sheet.shorter"),
    );
    this.#grip.setAttribute("aria-expanded", String(height === "full"));
  }

  /** Dragging the grip sets the height; on letting go it settles at half or full, or closes. */
  #draggable(closed: () => void): void {
    let from: { y: number; height: number; moved: boolean } | null = null;
    this.#grip.addEventListener("pointerdown", (event) => {
      from = { y: event.clientY, height: this.element.offsetHeight, moved: false };
      this.#grip.setPointerCapture(event.pointerId);
    });
    this.#grip.addEventListener("pointermove", (event) => {
      if (from === null) return;
      const by = from.y - event.clientY;
      if (Math.abs(by) > 4) from.moved = true;
      if (from.moved) {
        this.element.dataset["dragged"] = "true";
        this.element.style.blockSize = `${String(Math.max(60, from.height + by))}px`;
      }
    });
    const settle = (event: PointerEvent): void => {
      if (from === null) return;
      const { moved } = from;
      from = null;
      delete this.element.dataset["dragged"];
      if (!moved) return;
      this.#dragEnded = event.timeStamp;
      const room = this.element.parentElement?.offsetHeight ?? 1;
      const part = this.element.offsetHeight / room;
      if (part < 0.28) closed();
      else this.#setHeight(part > 0.72 ? "full" : "half");
    };
    this.#grip.addEventListener("pointerup", settle);
    this.#grip.addEventListener("pointercancel", settle);
  }

  /** Fills what is still closed, a little at a time, so that the page stays quick. */
  #complete(pending: (() => void)[], opened: Set<string>): void {
    if (pending !== this.#pending) return;
    const until = performance.now() + SLICE;
    while (performance.now() < until) {
      const act = pending.shift();
      if (act === undefined) {
        this.#reopen(opened);
        return;
      }
      act();
    }
    setTimeout(() => {
      this.#complete(pending, opened);
    }, 0);
  }

  /** The words of what the reader has opened. */
  #opened(): Set<string> {
    const open = [...this.#body.querySelectorAll<HTMLDetailsElement>("details[open]")];
    return new Set(open.map(summaryOf));
  }

  /** The same stand on another day keeps open what the reader had opened. */
  #reopen(opened: ReadonlySet<string>): void {
    if (opened.size === 0) return;
    for (const one of this.#body.querySelectorAll("details")) {
      if (opened.has(summaryOf(one))) one.open = true;
    }
  }
}

function summaryOf(details: HTMLDetailsElement): string {
  return details.querySelector("summary")?.textContent ?? "";
}
