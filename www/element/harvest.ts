/**
 * The harvest check: a basket in, and how it stands to the rules of the chosen stand on the day of the visit.
 *
 * In: the session, and what the visitor enters. Out: a dialog with the basket and, live, what the engine makes of it.
 * Left to others: entering (basket.ts), the tree's elements (sheet-nodes.ts), the rules (the engine).
 */
import { Basket } from "./basket.ts";
import { Dropped, Faulted } from "./courier.ts";
import { dialog } from "./dialog.ts";
import { english, fill, make } from "./make.ts";
import type { SheetNode } from "./protocol.ts";
import type { Session } from "./session.ts";
import { nodes } from "./sheet-nodes.ts";
import { pick, type Words } from "./words.ts";

/** Rest after the last key before the basket is checked, in milliseconds. */
const REST = 200;

/** The dialog. */
export class Harvest {
  readonly element: HTMLDialogElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #place: HTMLElement;
  readonly #alarm: HTMLElement;
  readonly #result: HTMLElement;
  readonly #live: HTMLElement;
  #basket: Basket | null = null;
  readonly #room: HTMLElement;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #asked: AbortController | null = null;

  constructor(words: Words, session: Session) {
    this.#words = words;
    this.#session = session;
    this.#place = make("p", { class: "quiet" });
    this.#room = make("div", {});
    this.#alarm = make("div", { class: "harvest-alarm", hidden: true });
    this.#result = make("div", { class: "harvest-result" });
    this.#live = make("p", { class: "unseen", role: "status" });
    this.element = dialog(
      words,
      { part: "harvest" },
      words.say("ui.harvest.title"),
      words.say("ui.harvest.close"),
      this.#place,
      this.#alarm,
      this.#room,
      this.#result,
      this.#live,
    );
  }

  /** Opens the dialog over the map. */
  open(): void {
    this.#basket ??= this.#made();
    this.#basket.ask(this.#session.rules?.basket ?? []);
    this.#sayPlace();
    this.element.showModal();
    this.#basket.focus();
    void this.#check();
  }

  /** The visit or the rules have changed. */
  refresh(): void {
    this.#basket?.ask(this.#session.rules?.basket ?? []);
    if (this.element.open) void this.#check();
  }

  /** Ends what is under way. */
  close(): void {
    clearTimeout(this.#timer);
    this.#asked?.abort();
    if (this.element.open) this.element.close();
  }

  #made(): Basket {
    const basket = new Basket(this.#words, () => {
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => void this.#check(), REST);
    });
    const collator = this.#words.collator();
    basket.offer(
      this.#session.wishes
        .flatMap(({ id, names, scientific }) => {
          const name = pick(names, this.#session.languages)?.text ?? "";
          const both = [name, scientific].filter((one) => one !== "");
          return [...new Set(both)].map((one) => ({ id, name: one }));
        })
        .sort((one, other) => collator.compare(one.name, other.name)),
    );
    fill(this.#room, basket.element);
    return basket;
  }

  #sayPlace(): void {
    const { chosen, day } = this.#session;
    this.#place.textContent = this.#words.say(chosen === null ? "ui.harvest.region" : "ui.harvest.stand", {
      day: { date: day },
      ...(chosen === null ? {} : { id: { text: chosen } }),
    });
  }

  async #check(): Promise<void> {
    this.#asked?.abort();
    const basket = this.#basket?.entries ?? [];
    if (basket.length === 0) {
      this.#warn([]);
      fill(this.#result, make("p", { class: "quiet" }, this.#words.say("ui.harvest.empty")));
      return;
    }
    const asked = new AbortController();
    this.#asked = asked;
    try {
      const { chosen, languages } = this.#session;
      const tree = await this.#session.ask("harvest", { id: chosen, basket, languages }, asked.signal);
      this.#show(tree);
    } catch (error) {
      if (error instanceof Dropped) return;
      if (!(error instanceof Faulted)) throw error;
      const text = english(error.fault.message);
      fill(this.#result, make("p", { class: "line-of", "data-tone": "caution", role: "alert" }, text));
    }
  }

  /** On a narrow screen the result lies below the entries: what is deadly or poisonous is told above them as well. */
  #warn(tree: readonly SheetNode[]): void {
    const loud = tree.filter(
      (one) => one.node === "line" && (one.tone === "deadly" || one.tone === "poisonous"),
    );
    this.#alarm.hidden = loud.length === 0;
    fill(this.#alarm, ...nodes(this.#words, loud, () => undefined));
  }

  #show(tree: readonly SheetNode[]): void {
    this.#warn(tree);
    const later: (() => void)[] = [];
    fill(this.#result, ...nodes(this.#words, tree, (act) => later.push(act)));
    for (const act of later) act();
    const verdict = tree.find((one) => one.node === "verdict");
    const said = verdict === undefined ? "" : this.#words.plain(verdict.text);
    if (this.#live.textContent !== said) this.#live.textContent = said;
  }
}
