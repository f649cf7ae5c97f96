/**
 * The report of a rare find: one record, saved to the visitor's own device.
 *
 * In: the session, and what the visitor tells. Out: a dialog, and a CSV file in Darwin Core terms with the position
 * blurred to a grid. Nothing is sent, and nothing is kept on the page once the dialog is used again for another stand.
 * Left to others: blurring and writing (the engine), where the find is (start-choice.ts).
 */
import { Dropped, Faulted } from "./courier.ts";
import { dialog } from "./dialog.ts";
import { english, fill, freshId, make } from "./make.ts";
import { fileName, save } from "./save.ts";
import type { Session } from "./session.ts";
import { StartChoice } from "./start-choice.ts";
import { pick, type Words } from "./words.ts";

/** Sides of the cells to choose from, in metres, and the one that is chosen first. */
const GRIDS = [100, 1000, 10_000];
const FIRST = 1000;

/** The dialog. */
export class FindReport {
  readonly element: HTMLDialogElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #name: HTMLInputElement;
  readonly #names: HTMLElement;
  readonly #day: HTMLInputElement;
  readonly #where: StartChoice;
  readonly #grid: HTMLSelectElement;
  readonly #count: HTMLInputElement;
  readonly #finder: HTMLInputElement;
  readonly #remarks: HTMLInputElement;
  readonly #kept: HTMLElement;
  readonly #told: HTMLElement;

  constructor(words: Words, session: Session, middle: () => [number, number] | null) {
    this.#words = words;
    this.#session = session;
    this.#names = make("datalist", { id: freshId("find-kinds") });
    this.#name = input({ type: "text", list: this.#names.id, required: true });
    this.#day = input({ type: "date", required: true });
    this.#count = input({ type: "number", min: 1, max: 10_000, step: 1 });
    this.#finder = input({ type: "text", autocomplete: "off" });
    this.#remarks = input({ type: "text" });
    this.#kept = make("p", { class: "quiet", hidden: true }, words.say("ui.start.kept"));
    this.#where = new StartChoice(words, session, "ui.find.where", middle, {
      changed: () => {
        this.#kept.hidden = !this.#where.asksDevice;
      },
    });
    this.#grid = make(
      "select",
      { id: freshId("grid") },
      ...GRIDS.map((metres) =>
        make("option", { value: metres, selected: metres === FIRST }, this.#side(metres)),
      ),
    );
    this.#told = make("p", { class: "find-told", role: "status" });
    const field = (key: string, control: HTMLElement): HTMLElement =>
      make(
        "div",
        { class: "field" },
        make("label", { for: control.id }, words.say(`ui.find.${key}`)),
        control,
      );
    const form = make(
      "form",
      { class: "find-form", novalidate: true },
      this.#names,
      field("name", this.#name),
      field("day", this.#day),
      this.#where.element,
      field("grid", this.#grid),
      field("count", this.#count),
      field("remarks", this.#remarks),
      field("finder", this.#finder),
      make("button", { type: "submit", part: "button" }, words.say("ui.find.save")),
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.#save();
    });
    this.element = dialog(
      words,
      { part: "find" },
      words.say("ui.find.title"),
      words.say("ui.find.close"),
      make("p", { class: "line-of", "data-tone": "danger" }, words.say("ui.find.leave")),
      make("p", { class: "quiet" }, words.say("ui.find.where_to")),
      form,
      this.#kept,
      this.#told,
    );
  }

  /** Opens the dialog for the stand whose sheet is open, on the day of the visit. */
  open(): void {
    this.#where.preferStand();
    this.#kept.hidden = !this.#where.asksDevice;
    this.#day.value = this.#session.day;
    this.#told.textContent = "";
    this.#offer();
    this.element.showModal();
    this.#name.focus();
  }

  /** Takes the dialog off the screen. */
  close(): void {
    if (this.element.open) this.element.close();
  }

  /** Names of kinds, to spare typing; any other name may be written. */
  #offer(): void {
    const names = this.#session.wishes.flatMap(({ names, scientific }) => [
      pick(names, this.#session.languages)?.text ?? "",
      scientific,
    ]);
    const offered = [...new Set(names.filter((name) => name !== ""))].sort(this.#words.collator().compare);
    fill(this.#names, ...offered.map((value) => make("option", { value })));
  }

  #side(metres: number): string {
    return metres < 1000
      ? this.#words.number(metres, "meter", 0)
      : this.#words.number(metres / 1000, "kilometer", 0);
  }

  async #save(): Promise<void> {
    const words = this.#words;
    const name = this.#name.value.trim();
    if (name === "") {
      this.#name.setAttribute("aria-invalid", "true");
      this.#fault(words.say("ui.find.name_missing"));
      this.#name.focus();
      return;
    }
    this.#name.removeAttribute("aria-invalid");
    try {
      if (this.#where.asksDevice) this.#told.textContent = words.say("ui.start.asking");
      const where = await this.#where.read();
      if (where === null) return;
      if ("why" in where) {
        this.#fault(where.why);
        return;
      }
      const { chosen, wishes, languages } = this.#session;
      const wanted = name.toLocaleLowerCase(words.locale);
      const known = wishes.find(
        (wish) => pick(wish.names, languages)?.text.toLocaleLowerCase(words.locale) === wanted,
      );
      const grid = Number(this.#grid.value);
      const count = Math.trunc(Number(this.#count.value));
      const find = {
        name: known?.scientific ?? name,
        day: this.#day.value,
        position: where.at,
        grid,
        ...(count >= 1 ? { count } : {}),
        ...(chosen === null ? {} : { stand: chosen }),
        finder: this.#finder.value,
        remarks: this.#remarks.value,
        generalised: words.say("ui.find.generalised", { side: { text: this.#side(grid) } }),
      };
      const bytes = await this.#session.ask("occurrence", { find });
      const file = fileName([words.say("ui.find.title"), find.name, find.day], "csv");
      save([bytes], "text/csv;charset=utf-8", file);
      delete this.#told.dataset["tone"];
      this.#told.textContent = words.say("ui.take.saved", { file: { text: file } });
    } catch (error) {
      if (error instanceof Dropped) return;
      if (!(error instanceof Faulted)) throw error;
      this.#fault(english(error.fault.message));
    }
  }

  #fault(text: Node | string): void {
    this.#told.dataset["tone"] = "caution";
    fill(this.#told, text);
  }
}

function input(attributes: Record<string, string | number | boolean>): HTMLInputElement {
  return make("input", { id: freshId("find"), ...attributes });
}
