/**
 * The stand list: the map as a table, equal to the map and not a lesser copy.
 *
 * In: pages of rows from the engine. Out: a real table, sortable by its heads, filterable, fifty rows a page; a row
 * opens the same sheet as a click on the map. Left to others: sorting and filtering themselves (the engine), the
 * sheet (sheet.ts).
 */
import { button, fill, freshId, make, type Child } from "./make.ts";
import { ANSWERS, STEPS, type ListPage, type ListQuery, type ListRow, type SortBy } from "./protocol.ts";
import { Dropped } from "./courier.ts";
import type { Session } from "./session.ts";
import { StartChoice } from "./start-choice.ts";
import type { Words } from "./words.ts";

/** Rows a page. */
const PAGE = 50;
/** How long the typing must rest before the rows are asked for, in milliseconds. */
const REST = 250;

/** What the list tells the screen. */
export interface ListNews {
  chosen: (id: string, from: HTMLElement) => void;
  announce: (text: string) => void;
  failed: (error: unknown) => void;
  /** The middle of the map, from which distances may be measured. */
  middle: () => [number, number] | null;
}

const COLUMNS: readonly { by: SortBy | null; key: string; descending: boolean }[] = [
  { by: "name", key: "ui.list.stand", descending: false },
  { by: null, key: "ui.list.trees", descending: false },
  { by: "potential", key: "ui.list.potential", descending: true },
  { by: "verdict", key: "ui.list.verdict", descending: false },
  { by: "area", key: "ui.list.area", descending: true },
];

/**
 * The list with its filter and table. Roles are written out because some browsers forget that a table is one when its
 * rows are stacked on a narrow screen.
 */
export class List {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #news: ListNews;
  readonly #head: HTMLTableRowElement;
  readonly #rows: HTMLTableSectionElement;
  readonly #caption: HTMLTableCaptionElement;
  readonly #empty: HTMLElement;
  readonly #more: HTMLButtonElement;
  readonly #form: { text: HTMLInputElement; step: HTMLSelectElement; answer: HTMLSelectElement };
  #sort: { by: SortBy; descending: boolean } = { by: "potential", descending: true };
  readonly #from: StartChoice;
  readonly #fromTold: HTMLElement;
  #start: [number, number] | null = null;
  #shown = 0;
  #stale = true;
  #asking: AbortController | null = null;
  #resting: ReturnType<typeof setTimeout> | undefined;

  constructor(words: Words, session: Session, news: ListNews) {
    this.#words = words;
    this.#session = session;
    this.#news = news;
    this.#form = {
      text: make("input", { type: "search", id: freshId("text"), autocomplete: "off", spellcheck: "false" }),
      step: this.#select("ui.list.any_step", [...STEPS, "not_known"], (step) =>
        step === "not_known" ? "legend.not_known" : `step.${step}`,
      ),
      answer: this.#select("ui.list.any_answer", ANSWERS, (answer) => `answer.${answer}`),
    };
    this.#form.text.addEventListener("input", () => {
      this.#refilter(REST);
    });
    this.#from = new StartChoice(words, session, "ui.list.from", news.middle, {
      optional: true,
      changed: () => void this.#measure(),
    });
    this.#fromTold = make("p", { class: "quiet", role: "status", hidden: true });
    this.#head = make("tr", { role: "row" });
    this.#rows = make("tbody", { role: "rowgroup" });
    this.#caption = make("caption");
    this.#empty = make("div", { class: "none", hidden: true });
    this.#more = button({ class: "more-rows", part: "button", hidden: true }, () => {
      void this.#load(this.#shown);
    });
    const table = make(
      "table",
      { class: "stands", role: "table" },
      this.#caption,
      make("thead", { role: "rowgroup" }, this.#head),
      this.#rows,
    );
    this.element = make(
      "section",
      { class: "list", part: "list", "aria-label": words.say("ui.list.label"), tabindex: -1, hidden: true },
      make(
        "form",
        { class: "filters", role: "search", "aria-label": words.say("ui.list.filter") },
        this.#field("ui.list.text", this.#form.text),
        this.#field("ui.list.step", this.#form.step),
        this.#field("ui.list.answer", this.#form.answer),
        this.#from.element,
        this.#fromTold,
      ),
      make(
        "div",
        { class: "table-room", role: "group", tabindex: 0, "aria-label": words.say("ui.list.label") },
        table,
      ),
      this.#empty,
      this.#more,
    );
    this.element.querySelector("form")?.addEventListener("submit", (event) => {
      event.preventDefault();
    });
    this.#drawHead();
  }

  /** Marks the rows as out of date; asks for them anew if the list is on the screen. */
  refresh(): void {
    this.#stale = true;
    if (!this.element.hidden) void this.#load(0);
  }

  /** Offers the places of the map as starts. */
  showPlaces(): void {
    this.#from.show();
  }

  /** Brings the list on the screen, or takes it away. */
  setShown(shown: boolean): void {
    this.element.hidden = !shown;
    if (shown) this.#from.show();
    if (shown && this.#stale) void this.#load(0);
  }

  /** Marks the row whose sheet is open. */
  mark(id: string | null): void {
    for (const row of this.#rows.rows) {
      if (row.dataset["stand"] === id) row.setAttribute("aria-current", "true");
      else row.removeAttribute("aria-current");
    }
  }

  /** The button of a row, to which the focus returns when its sheet closes. */
  buttonOf(id: string): HTMLElement | null {
    const row = [...this.#rows.rows].find((one) => one.dataset["stand"] === id);
    return row?.querySelector("button") ?? null;
  }

  /** Ends what is under way. */
  close(): void {
    clearTimeout(this.#resting);
    this.#asking?.abort();
  }

  #query(offset: number): ListQuery {
    const text = this.#form.text.value.trim();
    const filter = {
      ...(text === "" ? {} : { text }),
      ...(this.#form.step.value === "" ? {} : { step: this.#form.step.value }),
      ...(this.#form.answer.value === "" ? {} : { answer: this.#form.answer.value }),
    };
    return {
      sort: this.#sort.by,
      descending: this.#sort.descending,
      ...this.#session.look(),
      ...(Object.keys(filter).length === 0 ? {} : { filter }),
      ...(this.#start === null ? {} : { start: this.#start }),
      languages: this.#session.languages,
      offset,
      limit: PAGE,
    };
  }

  async #load(offset: number): Promise<void> {
    if (!this.#session.drawable) return;
    this.#asking?.abort();
    const asking = new AbortController();
    this.#asking = asking;
    try {
      const page = await this.#session.ask("list", { query: this.#query(offset) }, asking.signal);
      this.#stale = false;
      this.#show(page, offset);
    } catch (error) {
      if (!(error instanceof Dropped)) this.#news.failed(error);
    }
  }

  #show(page: ListPage, offset: number): void {
    const words = this.#words;
    const rows = page.rows.map((row) => this.#row(row));
    if (offset === 0) fill(this.#rows, ...rows);
    else this.#rows.append(...rows);
    this.#shown = offset + page.rows.length;
    const count = words.say("ui.list.count", { n: { n: page.total }, shown: { n: this.#shown } });
    this.#caption.textContent = count;
    const rest = page.total - this.#shown;
    this.#more.hidden = rest <= 0;
    fill(this.#more, words.say("ui.list.more", { n: { n: Math.min(PAGE, rest) } }));
    this.#empty.hidden = page.total > 0;
    if (page.total === 0) this.#showEmpty();
    this.#news.announce(count);
    this.mark(this.#session.chosen);
    if (offset > 0) rows[0]?.querySelector("button")?.focus();
  }

  /** No stands at all and no stand that matches are two different messages. */
  #showEmpty(): void {
    const words = this.#words;
    const none = this.#session.stands?.stands === 0;
    fill(
      this.#empty,
      make("p", {}, words.say(none ? "ui.empty" : "ui.list.none")),
      none
        ? null
        : button(
            { part: "button" },
            () => {
              this.#form.text.value = "";
              this.#form.step.value = "";
              this.#form.answer.value = "";
              void this.#load(0);
            },
            words.say("ui.list.reset"),
          ),
    );
  }

  #row(row: ListRow): HTMLTableRowElement {
    const words = this.#words;
    const open = button(
      { class: "row-button" },
      () => {
        this.#news.chosen(row.id, open);
      },
      make("bdi", {}, row.name ?? words.say("ui.stand_number", { id: { text: row.id } })),
    );
    const number = row.name !== null && row.name !== row.id ? make("bdi", { class: "quiet" }, row.id) : null;
    return make(
      "tr",
      { "data-stand": row.id, part: "list-row", role: "row" },
      make("th", { scope: "row", role: "rowheader" }, open, " ", number),
      make("td", { role: "cell", "data-head": words.say("ui.list.trees") }, ...this.#trees(row)),
      make("td", { role: "cell", "data-head": words.say("ui.list.potential") }, ...this.#potential(row)),
      make(
        "td",
        { role: "cell", "data-head": words.say("ui.list.verdict"), "data-answer": row.answer },
        make("span", { class: "verdict-mark", "aria-hidden": "true" }),
        words.say(`answer.${row.answer}`),
      ),
      make(
        "td",
        { role: "cell", class: "number", "data-head": words.say("ui.list.area") },
        row.area === null ? words.say("ui.unknown") : words.number(row.area, "hectare", 1, true),
      ),
      this.#start === null
        ? null
        : make(
            "td",
            { role: "cell", class: "number", "data-head": words.say("ui.list.distance") },
            this.#distance(row),
          ),
    );
  }

  /** The first few trees with their shares; what is no tree by name is not known here, and explained on the sheet. */
  #trees(row: ListRow): Child[] {
    const words = this.#words;
    if (row.trees.length === 0) return [words.say("ui.trees_unknown")];
    return row.trees
      .slice(0, 4)
      .flatMap((tree, index) => [
        index === 0 ? "" : ", ",
        this.#tree(tree),
        tree.share === null ? "" : ` ${words.number(tree.share * 100, "percent", 0)}`,
      ]);
  }

  #tree({ name, genus, group }: ListRow["trees"][number]): Child {
    if (group !== null) return this.#words.say(`group.${group}`);
    return genus === null ? this.#words.say("ui.trees_unknown") : make("bdi", {}, name);
  }

  #potential(row: ListRow): Child[] {
    const words = this.#words;
    if (row.step === null)
      return [
        make("span", { class: "step-key", "data-step": "not_known", "aria-hidden": "true" }),
        words.say("legend.not_known"),
      ];
    const range =
      row.low === null || row.high === null
        ? null
        : make("span", { class: "quiet range" }, words.range(row.low, row.high, undefined, 0));
    const key = make("span", {
      class: "step-key",
      "data-step": row.step,
      "data-wide": row.wide,
      "aria-hidden": "true",
    });
    return [make("span", { class: "step-word" }, key, words.say(`step.${row.step}`)), " ", range];
  }

  #distance(row: ListRow): string {
    if (row.distance === null) return this.#words.say("ui.unknown");
    return row.distance < 1000
      ? this.#words.number(Math.round(row.distance / 10) * 10, "meter", 0, true)
      : this.#words.number(row.distance / 1000, "kilometer", 1, true);
  }

  #drawHead(): void {
    const columns =
      this.#start === null
        ? COLUMNS
        : [...COLUMNS, { by: "distance" as const, key: "ui.list.distance", descending: false }];
    fill(
      this.#head,
      ...columns.map(({ by, key, descending }) => {
        const text = this.#words.say(key);
        if (by === null) return make("th", { scope: "col", role: "columnheader" }, text);
        const sorted = this.#sort.by === by;
        const way = this.#sort.descending ? "descending" : "ascending";
        return make(
          "th",
          { scope: "col", role: "columnheader", "aria-sort": sorted ? way : null },
          button(
            { class: "sort" },
            () => {
              this.#sort = { by, descending: sorted ? !this.#sort.descending : descending };
              this.#drawHead();
              this.#head.querySelector<HTMLElement>("th[aria-sort] button")?.focus();
              void this.#load(0);
            },
            text,
            make("span", { class: "sort-arrow", "aria-hidden": "true" }),
          ),
        );
      }),
    );
  }

  /** Measures distances from the chosen start, and sorts by them; or measures none. */
  async #measure(): Promise<void> {
    try {
      if (this.#from.asksDevice) this.#tellFrom(this.#words.say("ui.start.asking"));
      const started = await this.#from.read();
      const at = started !== null && "at" in started ? started.at : null;
      const kept = this.#from.asksDevice ? this.#words.say("ui.start.kept") : "";
      this.#tellFrom(started !== null && "why" in started ? started.why : kept);
      this.#start = at;
      if (at !== null) this.#sort = { by: "distance", descending: false };
      else if (this.#sort.by === "distance") this.#sort = { by: "potential", descending: true };
      this.#drawHead();
      await this.#load(0);
    } catch (error) {
      if (!(error instanceof Dropped)) this.#news.failed(error);
    }
  }

  #tellFrom(text: string): void {
    this.#fromTold.hidden = text === "";
    this.#fromTold.textContent = text;
  }

  #refilter(after: number): void {
    clearTimeout(this.#resting);
    this.#resting = setTimeout(() => {
      void this.#load(0);
    }, after);
  }

  #select(any: string, values: readonly string[], keyOf: (value: string) => string): HTMLSelectElement {
    const select = make(
      "select",
      { id: freshId("filter") },
      make("option", { value: "" }, this.#words.say(any)),
      ...values.map((value) => make("option", { value }, this.#words.say(keyOf(value)))),
    );
    select.addEventListener("change", () => {
      this.#refilter(0);
    });
    return select;
  }

  #field(key: string, control: HTMLElement): HTMLElement {
    return make("div", { class: "field" }, make("label", { for: control.id }, this.#words.say(key)), control);
  }
}
