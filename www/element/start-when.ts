/**
 * When an element begins that is not to begin at once.
 *
 * In: the element, and what to call. Out: the call, as soon as the element is near the part of the page in view, or
 * when the visitor presses the button that is shown. Left to others: what beginning means (element.ts).
 */
import { button, make } from "./make.ts";
import type { Words } from "./words.ts";

/** The element begins when it comes this near, so that a reader who scrolls on finds it loaded. */
const NEAR = "200px";

/** Calls once the element is near the part of the page in view; at once where the browser cannot tell. @returns ends the wait */
export function whenNear(element: Element, begin: () => void): () => void {
  if (typeof IntersectionObserver === "undefined") {
    begin();
    return () => undefined;
  }
  const observer = new IntersectionObserver(
    (entries) => {
      if (!entries.some(({ isIntersecting }) => isIntersecting)) return;
      observer.disconnect();
      begin();
    },
    { rootMargin: NEAR },
  );
  observer.observe(element);
  return () => {
    observer.disconnect();
  };
}

/** The page's own words with a button below them that begins. */
export function invitation(words: Words, language: string, begin: () => void): HTMLElement {
  return make(
    "div",
    { class: "invitation", lang: language },
    make("slot"),
    button({ class: "main-button", part: "button" }, begin, words.say("ui.show_map")),
  );
}
