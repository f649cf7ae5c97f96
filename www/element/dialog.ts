/**
 * A dialog over the map, with its title and a button that closes it.
 *
 * In: its title, its content. Out: the dialog's element; a press beside it closes it, as Escape does, and the browser
 * returns the focus to where it was opened from. Left to others: what stands in it.
 */
import { button, freshId, heading, make, type Attributes, type Child } from "./make.ts";
import type { Words } from "./words.ts";

/** Makes a dialog. `close` names its closing button. */
export function dialog(
  words: Words,
  attributes: Attributes,
  title: string,
  close: string,
  ...content: Child[]
): HTMLDialogElement {
  const titleId = freshId("dialog");
  const element = make("dialog", { class: "harvest", ...attributes, "aria-labelledby": titleId });
  element.append(
    make(
      "div",
      { class: "harvest-head" },
      heading(words, "h2", { id: titleId, tabindex: -1 }, title),
      button(
        { class: "plain", part: "button", "aria-label": close },
        () => {
          element.close();
        },
        make("span", { "aria-hidden": "true" }, "×"),
      ),
    ),
    ...content.filter((child): child is Node | string => child !== null),
  );
  // A press beside the dialog closes it, as its backdrop belongs to it.
  element.addEventListener("click", (event) => {
    if (event.target === element) element.close();
  });
  return element;
}
