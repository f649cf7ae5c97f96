/**
 * The form: the book as questions, part by part, in step with the text.
 *
 * In: the book as it was last read, and what is wrong in it. Out: controls whose changes go to the desk; notes at the
 * controls they are about. A part is built when it is opened and kept as long as the book has the same parts. Left to
 * others: the controls (controls.ts), what is asked (fields.ts), lists of fungi (fungi.ts).
 */
import { button, fill, make } from "../element/make.ts";
import { controls, firstText, languages } from "./controls.ts";
import {
  aboutFields,
  bookFields,
  conditionFields,
  exampleFields,
  kindFields,
  listFields,
  sourceFields,
  taxaField,
  zoneFields,
  type Field,
} from "./fields.ts";
import { fungi, type ReadFungi } from "./fungi.ts";
import { KINDS, KIND_GROUPS } from "./kinds.ts";
import { at, entriesOf, fieldsOf, pointer, wordOf, type Json, type Way } from "./reading.ts";
import type { Desk, Held } from "./rows.ts";
import { zonePlace } from "./zones.ts";

/** Something wrong or odd, at the end of a way. */
export interface Note {
  way: Way;
  severity: "error" | "warning";
  message: string;
}

/** What the form asks of the page beside the desk. */
export interface FormDesk extends Desk {
  /** Adds an entry at the end of a list. */
  add: (way: Way, value: Json) => void;
  /** Shows where a value stands in the text. */
  find: (way: Way) => void;
  /** Reads the names in a table of fungi. */
  readFungi: ReadFungi;
}

/** A part of the form that opens: a rule, a place, a source, a list of fungi. */
interface Part {
  element: HTMLDetailsElement;
  name: HTMLElement;
  key: string;
  way: Way;
  /** The ways to other values that it asks about. */
  also: readonly Way[];
  build: () => Held[];
  body: HTMLElement;
  held: Held[] | null;
  title: () => string;
}

/** One heading of the form with the parts under it. */
interface Section {
  room: HTMLElement;
  make: () => Part[];
  parts: Part[];
  /** Names the parts and their places; while it is the same, the controls stay. */
  signature: string;
}

/** The form. */
export class Form {
  readonly element: HTMLFormElement;
  readonly #desk: FormDesk;
  readonly #frame: HTMLFieldSetElement;
  readonly #broken: HTMLElement;
  readonly #sections: Section[] = [];
  #notes: readonly Note[] = [];
  #openNext: string | null = null;

  constructor(desk: FormDesk) {
    this.#desk = desk;
    this.#broken = make("p", { class: "broken", hidden: true });
    this.#frame = make(
      "fieldset",
      { class: "whole" },
      make("legend", { class: "unseen" }, "The rule book as a form"),
      this.#section("Rules", "What holds, one rule after the other.", () => this.#rules(), this.#newRule()),
      this.#section(
        "The book",
        "Whose rules these are, and how long they may be relied on.",
        () => this.#head(),
        null,
      ),
      this.#section(
        "Kinds of fungi",
        "Lists that rules refer to, such as the protected kinds.",
        () => this.#fungi(),
        this.#adder("Add a list of kinds", () => {
          const id = this.#freeId("kinds", Object.keys(fieldsOf(at(desk.book(), ["taxa"]))));
          this.#openNext = `taxa:${id}`;
          desk.edit(["taxa", id], { names: this.#inLanguages("New list"), members: [], open: false });
        }),
      ),
      this.#section(
        "Places",
        "Places that rules refer to: by what the stand map says of a stand, or by an outline.",
        () => this.#places(),
        this.#adder("Add a place", () => {
          const id = this.#freeId("place", this.#ids("zones"));
          this.#openNext = `zone:${id}`;
          desk.add(["zones"], {
            id,
            names: this.#inLanguages("New place"),
            where: { attribute: { name: "designation", equals: "reserve" } },
          });
        }),
      ),
      this.#section(
        "Sources",
        "Where the rules are written. Every rule names at least one.",
        () => this.#sources(),
        this.#adder("Add a source", () => {
          const id = this.#freeId("source", this.#ids("sources"));
          this.#openNext = `source:${id}`;
          desk.add(["sources"], { id, title: "New source", kind: "official" });
        }),
      ),
    );
    this.element = make("form", { class: "form" }, this.#broken, this.#frame);
    this.element.addEventListener("submit", (event) => {
      event.preventDefault();
    });
  }

  /** Brings the form in line with the book; `broken` says why the text cannot be read, or null. */
  show(broken: string | null): void {
    this.#broken.hidden = broken === null;
    this.#broken.textContent = broken ?? "";
    this.#frame.disabled = broken !== null;
    if (broken !== null) return;
    for (const section of this.#sections) this.#refresh(section);
    this.#showNotes();
  }

  /** Shows what is wrong at the controls it is about. */
  note(notes: readonly Note[]): void {
    this.#notes = notes;
    this.#showNotes();
  }

  /** Opens the part that a value belongs to and moves to its control; says whether there is one. */
  goTo(way: Way): boolean {
    for (const section of this.#sections) {
      const part = section.parts.find((one) => holds(one, way));
      if (part === undefined) continue;
      part.element.open = true;
      this.#complete(part);
      let row = rowOf(this.#rows(), way);
      const more = part.element.querySelector<HTMLDetailsElement>("details.conditions");
      if (row === undefined && more !== null) {
        more.open = true;
        for (const held of part.held ?? []) held.show();
        row = rowOf(this.#rows(), way);
      }
      const target = row?.querySelector<HTMLElement>("input, select, textarea");
      (target ?? part.name).focus();
      part.element.scrollIntoView({ block: "nearest" });
      return true;
    }
    return false;
  }

  #section(title: string, says: string, make_: () => Part[], foot: HTMLElement | null): HTMLElement {
    const room = make("div", { class: "parts" });
    this.#sections.push({ room, make: make_, parts: [], signature: "" });
    return make(
      "section",
      { class: "section" },
      make("h3", {}, title),
      make("p", { class: "hint" }, says),
      room,
      foot,
    );
  }

  #refresh(section: Section): void {
    const name = ({ key, way }: Part): string => `${key} ${pointer(way)}`;
    // A part that is still there keeps its controls, and what is open and focused in it.
    const kept = new Map(section.parts.map((part) => [name(part), part]));
    const parts = section.make().map((part) => kept.get(name(part)) ?? part);
    const signature = JSON.stringify(parts.map(({ key, way }) => [key, way]));
    if (signature !== section.signature) {
      const open = new Set(section.parts.filter(({ element }) => element.open).map(({ key }) => key));
      section.signature = signature;
      section.parts = parts;
      for (const part of parts) {
        if (open.has(part.key) || part.key === this.#openNext) {
          part.element.open = true;
          this.#complete(part);
        }
      }
      parts.forEach(({ element }, place) => {
        const there = section.room.children[place] ?? null;
        if (there !== element) section.room.insertBefore(element, there);
      });
      while (section.room.childElementCount > parts.length) section.room.lastElementChild?.remove();
      const fresh = parts.find(({ key }) => key === this.#openNext);
      if (fresh !== undefined) {
        this.#openNext = null;
        fresh.body.querySelector<HTMLElement>("input, select, textarea")?.focus();
      }
    }
    for (const part of section.parts) {
      part.name.textContent = part.title();
      if (part.element.open) for (const held of part.held ?? []) held.show();
    }
  }

  /** One part; its controls are made when it is first opened. */
  #part(
    key: string,
    way: Way,
    title: () => string,
    build: () => Held[],
    act: HTMLElement[],
    also: readonly Way[] = [],
  ): Part {
    const name = make("span", { class: "part-name" });
    const body = make("div", { class: "part-body" });
    const element = make(
      "details",
      { class: "part", "data-way": pointer(way) },
      make("summary", {}, name, make("span", { class: "part-flag" })),
      body,
      act.length === 0 ? null : make("div", { class: "acts" }, ...act),
    );
    const part: Part = { element, name, key, way, also, build, body, held: null, title };
    element.addEventListener("toggle", () => {
      this.#complete(part);
      if (element.open) for (const held of part.held ?? []) held.show();
      this.#showNotes();
    });
    return part;
  }

  #complete(part: Part): void {
    if (part.held !== null || !part.element.open) return;
    part.held = part.build();
    fill(part.body, ...part.held.map(({ element }) => element));
    for (const held of part.held) held.show();
  }

  #fields(base: Way, fields: readonly Field[]): Held[] {
    return controls(this.#desk, base, fields);
  }

  #rules(): Part[] {
    const { book } = this.#desk;
    return entriesOf(at(book(), ["rules"])).map((entry, place) => {
      const [id, kind] = [wordOf(fieldsOf(entry)["id"]), wordOf(fieldsOf(entry)["kind"])];
      const way = ["rules", place];
      const known = KINDS.get(kind);
      return this.#part(
        `rule:${id}:${kind}`,
        way,
        () => {
          const words = firstText(at(book(), [...way, "text"]), book());
          return `${known?.label ?? kind}: ${words === "" ? id : words}`;
        },
        () => {
          return [
            ...this.#fields(way, kindFields(kind)),
            this.#rest(way, kind),
            ...this.#fields(way, [...aboutFields(kind), ...taxaField(kind)]),
            this.#conditions(way, kind),
          ];
        },
        this.#acts(way, "rule"),
      );
    });
  }

  /** When, where and for whom a rule holds; made when it is first opened, and kept in step while it is open. */
  #conditions(way: Way, kind: string): Held {
    const element = make(
      "details",
      { class: "conditions" },
      make("summary", {}, "When, where and for whom it holds"),
    );
    let held: Held[] | null = null;
    const show = (): void => {
      if (!element.open) return;
      if (held === null) {
        held = this.#fields(way, conditionFields(kind));
        element.append(...held.map((one) => one.element));
      }
      for (const one of held) one.show();
    };
    element.addEventListener("toggle", () => {
      show();
      this.#showNotes();
    });
    return { element, way, show };
  }

  /** Says which parts of a rule stand in the text alone. */
  #rest(way: Way, kind: string): Held {
    const element = make("p", { class: "hint", hidden: true });
    const fields = [...kindFields(kind), ...aboutFields(kind), ...taxaField(kind), ...conditionFields(kind)];
    const asked = new Set(["id", "kind", ...fields.map((field) => String(field.way[0]))]);
    return {
      element,
      way,
      show: () => {
        const rule = fieldsOf(at(this.#desk.book(), way));
        // A kind whose words say it all may still have its object, empty.
        const rest = Object.keys(rule).filter(
          (name) => !asked.has(name) && Object.keys(fieldsOf(rule[name])).length > 0,
        );
        element.hidden = rest.length === 0;
        element.textContent = `The text says more about this rule: ${rest.join(", ")}.`;
      },
    };
  }

  #head(): Part[] {
    const fields = bookFields();
    return [
      this.#part(
        "book",
        ["region"],
        () => "Region, authority, dates",
        () => this.#fields([], fields),
        [],
        fields.map((field) => field.way),
      ),
      this.#part(
        "examples",
        ["examples"],
        () => {
          const n = entriesOf(at(this.#desk.book(), ["examples"])).length;
          return `Questions that the book asks of itself (${String(n)})`;
        },
        () => this.#fields([], exampleFields()),
        [],
      ),
    ];
  }

  #fungi(): Part[] {
    const { book } = this.#desk;
    return Object.keys(fieldsOf(at(book(), ["taxa"]))).map((id) => {
      const way = ["taxa", id];
      return this.#part(
        `taxa:${id}`,
        way,
        () => {
          const name = firstText(at(book(), [...way, "names"]), book());
          const n = entriesOf(at(book(), [...way, "members"])).length;
          return `${name === "" ? id : name} (${String(n)})`;
        },
        () => [
          ...this.#fields(way, listFields()),
          fungi(this.#desk, [...way, "members"], this.#desk.readFungi),
        ],
        this.#acts(way, "list"),
      );
    });
  }

  #places(): Part[] {
    const { book } = this.#desk;
    return entriesOf(at(book(), ["zones"])).map((entry, place) => {
      const id = wordOf(fieldsOf(entry)["id"]);
      const way = ["zones", place];
      return this.#part(
        `zone:${id}`,
        way,
        () => firstText(at(book(), [...way, "names"]), book()) || id,
        () => [...this.#fields(way, zoneFields()), zonePlace(this.#desk, [...way, "where"])],
        this.#acts(way, "place"),
      );
    });
  }

  #sources(): Part[] {
    const { book } = this.#desk;
    return entriesOf(at(book(), ["sources"])).map((entry, place) => {
      const id = wordOf(fieldsOf(entry)["id"]);
      const way = ["sources", place];
      return this.#part(
        `source:${id}`,
        way,
        () => {
          const title = at(book(), [...way, "title"]);
          return typeof title === "string" && title !== "" ? title : id;
        },
        () => this.#fields(way, sourceFields()),
        this.#acts(way, "source"),
      );
    });
  }

  #acts(way: Way, what: string): HTMLElement[] {
    return [
      button(
        { class: "small" },
        () => {
          this.#desk.find(way);
        },
        "Show in the text",
      ),
      button(
        { class: "small" },
        () => {
          this.#desk.edit(way, undefined);
        },
        `Take this ${what} out`,
      ),
    ];
  }

  #adder(words: string, act: () => void): HTMLElement {
    return make("p", {}, button({ class: "small" }, act, words));
  }

  /** Chooses a kind and adds a rule of it. */
  #newRule(): HTMLElement {
    const select = make(
      "select",
      { id: "new-rule" },
      ...KIND_GROUPS.map((one) =>
        make(
          "optgroup",
          { label: one.label },
          ...one.kinds.map((kind) => make("option", { value: kind.word }, kind.label)),
        ),
      ),
    );
    const says = make("p", { class: "hint", id: "new-rule-says", "aria-live": "polite" });
    const explain = (): void => {
      says.textContent = KINDS.get(select.value)?.says ?? "";
    };
    select.addEventListener("change", explain);
    select.setAttribute("aria-describedby", "new-rule-says");
    explain();
    const add = button(
      {},
      () => {
        const kind = KINDS.get(select.value);
        if (kind === undefined) return;
        const id = this.#freeId(kind.word.replaceAll("_", "-"), this.#ids("rules"));
        const [source] = this.#ids("sources");
        this.#openNext = `rule:${id}:${kind.word}`;
        this.#desk.add(["rules"], {
          id,
          kind: kind.word,
          text: this.#inLanguages(kind.label),
          sources: source === undefined ? [] : [source],
          ...(kind.start === undefined ? {} : { [kind.word]: kind.start }),
        });
      },
      "Add this rule",
    );
    return make(
      "div",
      { class: "new-rule" },
      make("label", { for: "new-rule" }, "Add a rule about"),
      select,
      add,
      says,
    );
  }

  #inLanguages(words: string): { [tag: string]: Json } {
    return Object.fromEntries(languages(this.#desk.book()).map((tag) => [tag, words]));
  }

  #ids(list: string): string[] {
    return entriesOf(at(this.#desk.book(), [list])).flatMap((entry) => {
      const { id } = fieldsOf(entry);
      return typeof id === "string" ? [id] : [];
    });
  }

  #freeId(stem: string, taken: readonly string[]): string {
    let id = stem;
    for (let n = 2; taken.includes(id); n += 1) id = `${stem}-${String(n)}`;
    return id;
  }

  /** The rows that have room for notes, by the ways they carry. */
  #rows(): Map<string, HTMLElement> {
    const rows = [...this.element.querySelectorAll<HTMLElement>(".row")].reverse();
    return new Map(rows.map((row) => [row.dataset["way"] ?? "", row]));
  }

  #showNotes(): void {
    for (const note of this.element.querySelectorAll<HTMLElement>(".note")) {
      note.hidden = true;
      note.textContent = "";
      note.parentElement?.querySelector("[aria-invalid]")?.removeAttribute("aria-invalid");
    }
    for (const { parts } of this.#sections) {
      for (const part of parts) {
        const own = this.#notes.filter(({ way }) => holds(part, way));
        const errors = own.filter(({ severity }) => severity === "error").length;
        const flag = part.element.querySelector<HTMLElement>(".part-flag");
        if (flag !== null) {
          flag.dataset["severity"] = errors > 0 ? "error" : "warning";
          flag.textContent = own.length === 0 ? "" : errors > 0 ? "mistake" : "look again";
        }
      }
    }
    const rows = this.#notes.length === 0 ? new Map<string, HTMLElement>() : this.#rows();
    for (const { way, severity, message } of this.#notes) {
      const row = rowOf(rows, way);
      const note = row?.querySelector<HTMLElement>(":scope > .note");
      if (row === undefined || note === null || note === undefined) continue;
      note.hidden = false;
      note.dataset["severity"] = severity;
      note.append(make("span", { class: "note-line" }, message));
      if (severity === "error") {
        row.querySelector(":scope > :is(input, select, textarea)")?.setAttribute("aria-invalid", "true");
      }
    }
  }
}

/** Whether a part asks about the value at the end of a way. */
function holds(part: Part, way: Way): boolean {
  return [part.way, ...part.also].some((own) => own.every((step, place) => step === way[place]));
}

/** The row that is nearest to a value: its own, or that of what it lies in. */
function rowOf(rows: ReadonlyMap<string, HTMLElement>, way: Way): HTMLElement | undefined {
  for (let length = way.length; length > 0; length -= 1) {
    const row = rows.get(pointer(way.slice(0, length)));
    if (row !== undefined) return row;
  }
  return undefined;
}
