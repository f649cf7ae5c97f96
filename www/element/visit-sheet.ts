/**
 * The visit sheet: stands of one day as a page that needs nothing else, to be kept on a phone without signal or printed.
 *
 * In: the trees of the stands, a picture of the map, the words. Out: one HTML file as text: no script, no request, the
 * picture inside it, a policy that refuses all else. It is built of nodes and text only, in a document that is shown
 * nowhere, and written out by the browser's own serialiser. Left to others: making the trees short (brief.ts), the
 * picture (map-picture.ts), saving (save.ts).
 */
import { brief } from "./brief.ts";
import { make } from "./make.ts";
import type { Picture } from "./map-picture.ts";
import type { SheetNode } from "./protocol.ts";
import { nodes } from "./sheet-nodes.ts";
import paper from "../styles/paper.css";
import type { Words } from "./words.ts";

/** What the file may do: show its own picture and its own styles. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";

/** What goes on the sheet. */
export interface VisitSheet {
  /** Language of the words, and the direction in which the page reads. */
  language: string;
  direction: "ltr" | "rtl";
  /** ISO day of the visit, and of today where the forest is. */
  day: string;
  made: string;
  stands: readonly { id: string; tree: readonly SheetNode[] }[];
  picture: Picture | null;
}

/** The file's text. */
export function visitSheet(words: Words, sheet: VisitSheet): string {
  const title = words.say("visit.title", { day: { text: words.day(sheet.day, { dateStyle: "full" }) } });
  // The document belongs to no window, so that no picture is fetched; and the page's root stands in no document, so
  // that no style is applied. Both would come under the policy of the site.
  const page = document.implementation.createHTMLDocument();
  const root = page.createElement("html");
  root.lang = sheet.language;
  root.dir = sheet.direction;
  const head = page.createElement("head");
  const body = page.createElement("body");
  root.append(head, body);
  const meta = (attributes: Record<string, string>): void => {
    const one = page.createElement("meta");
    for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
    head.append(one);
  };
  meta({ charset: "utf-8" });
  meta({ "http-equiv": "Content-Security-Policy", content: POLICY });
  meta({ name: "viewport", content: "width=device-width, initial-scale=1" });
  const called = page.createElement("title");
  called.textContent = title;
  const style = page.createElement("style");
  style.textContent = paper;
  head.append(called, style);
  body.append(
    make(
      "header",
      {},
      make("h1", {}, title),
      make("p", { class: "no-permission" }, words.say("visit.no_permission")),
    ),
    make("main", {}, ...sheet.stands.map(({ tree }, place) => article(words, tree, place))),
    make("footer", {}, make("p", {}, words.say("visit.made", { day: { date: sheet.made } }))),
  );
  if (sheet.picture !== null) body.querySelector("header")?.after(figure(page, words, sheet.picture));
  return `<!DOCTYPE html>\n${new XMLSerializer().serializeToString(root)}\n`;
}

/** The picture must be made in the document that is shown nowhere: elsewhere the page's own policy would refuse it. */
function figure(page: Document, words: Words, { url, width, height }: Picture): HTMLElement {
  const image = page.createElement("img");
  image.alt = words.say("visit.map");
  image.width = width;
  image.height = height;
  image.src = url;
  const caption = page.createElement("figcaption");
  caption.textContent = `${words.say("visit.map")} ${words.say("visit.legend")}`;
  const element = page.createElement("figure");
  element.append(image, caption);
  return element;
}

function article(words: Words, tree: readonly SheetNode[], place: number): HTMLElement {
  const later: (() => void)[] = [];
  const element = make("article", {}, ...nodes(words, brief(tree), (act) => later.push(act)));
  for (const act of later) act();
  for (const opening of element.querySelectorAll("details")) opening.open = true;
  // Several stands have the same sections: each gets an id of its own.
  for (const section of element.querySelectorAll("[data-section]")) {
    const heading = section.querySelector("h3");
    if (heading === null) continue;
    heading.id = `${heading.id}-${String(place + 1)}`;
    section.setAttribute("aria-labelledby", heading.id);
  }
  for (const one of element.querySelectorAll(".more-sub")) asSentence(one, words);
  for (const one of element.querySelectorAll("[tabindex]")) one.removeAttribute("tabindex");
  for (const one of element.querySelectorAll("[part]")) one.removeAttribute("part");
  // A page of its own has an outline of its own.
  for (const one of element.querySelectorAll("[aria-level]")) one.removeAttribute("aria-level");
  return element;
}

/** What stands below another on the screen follows it on paper: it begins and ends as a sentence does. */
function asSentence(element: Element, words: Words): void {
  const first = document.createTreeWalker(element, NodeFilter.SHOW_TEXT).nextNode();
  const [letter] = first?.nodeValue ?? "";
  if (first !== null && letter !== undefined) {
    first.nodeValue = letter.toLocaleUpperCase(words.locale) + (first.nodeValue ?? "").slice(letter.length);
  }
  if (!/[.!?]\s*$/u.test(element.textContent)) element.append(".");
}
