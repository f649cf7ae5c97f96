/**
 * Search: a stand by name or number, a kind to look for, a place of the map.
 *
 * In: what is typed; the session. Out: a combobox with its list of options (the pattern of the ARIA Authoring Practices:
 * focus stays in the field, arrow keys walk the list, Enter takes, Escape gives up). A stand opens its sheet, a kind
 * becomes what is looked for, a place moves the map. Left to others: finding stands (the engine), all that follows.
 */
import { Dropped } from "./courier.ts";
import { fill, freshId, make } from "./make.ts";
import type { Session } from "./session.ts";
import { placesOf, type NamedPlace } from "./start-choice.ts";
import { pick, type Words } from "./words.ts";

/** How long the typing must rest before stands are asked for, in milliseconds. */
const REST = 200;
/** At most so many options of each sort. */
const EACH = 6;

/** What the search tells the screen. */
export interface SearchNews {
  stand: (id: string) => void;
  kind: (id: string) => void;
  place: (at: [number, number]) => void;
  failed: (error: unknown) => void;
}

/** One thing that was found. */
interface Option {
  name: string;
  sort: "stand" | "kind" | "place";
  take: () => void;
}

/** The field and its list. */
export class Search {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #news: SearchNews;
  readonly #input: HTMLInputElement;
  readonly #list: HTMLElement;
  readonly #status: HTMLElement;
  #options: Option[] = [];
  #active = -1;
  #asking: AbortController | null = null;
  #resting: ReturnType<typeof setTimeout> | undefined;

  constructor(words: Words, session: Session, news: SearchNews) {
    this.#words = words;
    this.#session = session;
    this.#news = news;
    const listId = freshId("found");
    const label = words.say("ui.search");
    this.#input = make("input", {
      id: freshId("search"),
      type: "search",
      role: "combobox",
      autocomplete: "off",
      spellcheck: "false",
      placeholder: words.say("ui.search.short"),
      "aria-label": label,
      "aria-expanded": "false",
      "aria-autocomplete": "list",
      "aria-controls": listId,
    });
    this.#list = make("ul", {
      id: listId,
      role: "listbox",
      class: "found",
      "aria-label": label,
      hidden: true,
    });
    this.#status = make("span", { class: "unseen", role: "status" });
    this.element = make("div", { class: "search" }, this.#input, this.#list, this.#status);
    this.#input.addEventListener("input", () => {
      clearTimeout(this.#resting);
      this.#resting = setTimeout(() => void this.#find(), REST);
    });
    this.#input.addEventListener("keydown", (event) => {
      this.#key(event);
    });
    this.element.addEventListener("focusout", (event) => {
      if (!(event.relatedTarget instanceof Node && this.element.contains(event.relatedTarget))) this.#shut();
    });
    // A press on an option must not take the focus out of the field before the click has come.
    this.#list.addEventListener("pointerdown", (event) => {
      event.preventDefault();
    });
  }

  /** Ends what is under way. */
  close(): void {
    clearTimeout(this.#resting);
    this.#asking?.abort();
  }

  async #find(): Promise<void> {
    const text = this.#input.value.trim();
    this.#asking?.abort();
    if (text === "" || !this.#session.drawable) {
      this.#shut();
      return;
    }
    const asking = new AbortController();
    this.#asking = asking;
    try {
      const stands = await this.#stands(text, asking.signal);
      this.#show([...this.#kinds(text), ...this.#places(text), ...stands]);
    } catch (error) {
      if (!(error instanceof Dropped)) this.#news.failed(error);
    }
  }

  async #stands(text: string, signal: AbortSignal): Promise<Option[]> {
    const { languages } = this.#session;
    const page = await this.#session.ask(
      "list",
      {
        query: {
          sort: "name",
          descending: false,
          ...this.#session.look(),
          filter: { text },
          languages,
          offset: 0,
          limit: 60,
        },
      },
      signal,
    );
    const wanted = this.#plain(text);
    const number = (id: string): string => this.#words.say("ui.stand_number", { id: { text: id } });
    // The list also finds trees; here only the stand's own name or number counts, the nearest first.
    return page.rows
      .map((row) => ({ row, own: [row.id, row.name ?? ""].map((one) => this.#plain(one)) }))
      .filter(({ own }) => own.some((one) => one.includes(wanted)))
      .sort((one, other) => rank(one.own, wanted) - rank(other.own, wanted))
      .slice(0, EACH)
      .map(({ row }) => ({
        name: row.name === null || row.name === row.id ? number(row.id) : `${row.name} (${row.id})`,
        sort: "stand",
        take: () => {
          this.#news.stand(row.id);
        },
      }));
  }

  #kinds(text: string): Option[] {
    const wanted = this.#plain(text);
    return this.#session.wishes
      .map((wish) => ({ wish, name: pick(wish.names, this.#session.languages)?.text ?? "" }))
      .filter(({ wish, name }) => [name, wish.scientific].some((one) => this.#plain(one).includes(wanted)))
      .slice(0, EACH)
      .map(({ wish, name }) => ({
        name:
          name === ""
            ? wish.scientific
            : this.#words.say("ui.kind_name", {
                name: { text: name },
                scientific: { text: wish.scientific },
              }),
        sort: "kind",
        take: () => {
          this.#news.kind(wish.id);
        },
      }));
  }

  #places(text: string): Option[] {
    const wanted = this.#plain(text);
    return placesOf(this.#session.context, this.#words.collator())
      .filter(({ name }) => this.#plain(name).includes(wanted))
      .slice(0, EACH)
      .map(({ name, at }: NamedPlace) => ({
        name,
        sort: "place",
        take: () => {
          this.#news.place(at);
        },
      }));
  }

  #show(options: Option[]): void {
    this.#options = options;
    this.#active = -1;
    this.#input.removeAttribute("aria-activedescendant");
    fill(
      this.#list,
      ...options.map((option, place) => {
        const one = make(
          "li",
          { role: "option", id: `${this.#list.id}-${String(place)}`, "aria-selected": "false" },
          make("bdi", {}, option.name),
          " ",
          make("span", { class: "quiet" }, this.#words.say(`ui.search.${option.sort}`)),
        );
        one.addEventListener("click", () => {
          this.#take(place);
        });
        return one;
      }),
    );
    const none = options.length === 0;
    this.#list.hidden = none;
    this.#input.setAttribute("aria-expanded", String(!none));
    this.#status.textContent = none
      ? this.#words.say("ui.search.none")
      : this.#words.say("ui.search.found", { n: { n: options.length } });
    this.#status.classList.toggle("unseen", !none);
  }

  #shut(): void {
    this.#asking?.abort();
    this.#options = [];
    this.#active = -1;
    this.#list.hidden = true;
    fill(this.#list);
    this.#input.setAttribute("aria-expanded", "false");
    this.#input.removeAttribute("aria-activedescendant");
    this.#status.textContent = "";
    this.#status.classList.add("unseen");
  }

  #key(event: KeyboardEvent): void {
    const last = this.#options.length - 1;
    switch (event.key) {
      case "ArrowDown":
        if (last < 0) void this.#find();
        else this.#walk(this.#active === last ? 0 : this.#active + 1);
        break;
      case "ArrowUp":
        if (last >= 0) this.#walk(this.#active <= 0 ? last : this.#active - 1);
        break;
      case "Enter":
        if (this.#active >= 0) this.#take(this.#active);
        else if (last === 0) this.#take(0);
        else void this.#find();
        break;
      case "Escape":
        if (this.#list.hidden && this.#input.value === "") return;
        if (this.#list.hidden) this.#input.value = "";
        this.#shut();
        break;
      default:
        return;
    }
    event.preventDefault();
    event.stopPropagation();
  }

  #walk(to: number): void {
    this.#list.children[this.#active]?.setAttribute("aria-selected", "false");
    this.#active = to;
    const option = this.#list.children[to];
    option?.setAttribute("aria-selected", "true");
    option?.scrollIntoView({ block: "nearest" });
    if (option !== undefined) this.#input.setAttribute("aria-activedescendant", option.id);
  }

  #take(place: number): void {
    const option = this.#options[place];
    if (option === undefined) return;
    this.#input.value = "";
    this.#shut();
    option.take();
  }

  #plain(text: string): string {
    return text.toLocaleLowerCase(this.#words.locale).normalize("NFC");
  }
}

/** Whole names before beginnings before the rest. */
function rank(own: readonly string[], wanted: string): number {
  if (own.includes(wanted)) return 0;
  return own.some((one) => one.startsWith(wanted)) ? 1 : 2;
}
