/**
 * Rows of the form: a control, or a group of them, under its name, with room for what is wrong with it.
 *
 * In: the way to a value and the control that shows it. Out: the row, which carries the way so that notes find it.
 * Left to others: the controls (controls.ts, spans.ts), the notes (form.ts).
 */
import { freshId, make } from "../element/make.ts";
import { pointer, type Json, type Way } from "./reading.ts";

/** The desk: the book as it stands, and the way to change it. */
export interface Desk {
  /** The book as it was last read. */
  book: () => Json;
  /** Sets the value at the end of a way; undefined takes it out. */
  edit: (way: Way, value: Json | undefined) => void;
}

/** One control on the page. */
export interface Held {
  element: HTMLElement;
  way: Way;
  /** Brings it in line with the book. */
  show(): void;
}

/** A label, what it labels, a hint, and room for notes. The note is tied to the control by its id. */
export function row(way: Way, label: string, hint: string | undefined, input: HTMLElement): HTMLElement {
  const id = freshId("value");
  const noteId = `${id}-note`;
  input.id = id;
  const hintId = hint === undefined ? null : `${id}-hint`;
  input.setAttribute("aria-describedby", [hintId, noteId].filter((one) => one !== null).join(" "));
  return make(
    "div",
    { class: "row", "data-way": pointer(way) },
    make("label", { for: id }, label),
    input,
    hint === undefined ? null : make("p", { class: "hint", id: hintId }, hint),
    make("p", { class: "note", id: noteId, hidden: true }),
  );
}

/** A group of controls under one name, with room for notes. */
export function group(
  way: Way,
  label: string,
  hint: string | undefined,
  ...inner: (HTMLElement | null)[]
): HTMLFieldSetElement {
  const noteId = freshId("note");
  return make(
    "fieldset",
    { class: "row group", "data-way": pointer(way), "aria-describedby": noteId },
    make("legend", {}, label),
    hint === undefined ? null : make("p", { class: "hint" }, hint),
    ...inner,
    make("p", { class: "note", id: noteId, hidden: true }),
  );
}
