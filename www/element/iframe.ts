/**
 * The page that editors frame who cannot add a script to their own.
 *
 * In: the page's own address, with the files and the visit as parameters. Out: one element over the whole frame, or
 * what was wrong with the address; and to the page around the frame, and to no other, the height that is needed. Left
 * to others: reading the address (iframe-address.ts), listening to the height (iframe-height.ts).
 */
import { readAddress } from "./iframe-address.ts";

const sources = document.querySelector<HTMLMetaElement>("meta[name=hostwood-sources]")?.content ?? "";
const { attributes, refused } = readAddress(location.search, location.href, sources.split(/\s+/));
const main = document.querySelector("main");

if (refused.length > 0) {
  const list = document.createElement("ul");
  list.setAttribute("role", "alert");
  for (const one of refused) {
    const line = document.createElement("li");
    line.textContent = one;
    list.append(line);
  }
  main?.replaceChildren(list);
} else {
  const map = document.createElement("hostwood-map");
  for (const [name, value] of attributes) {
    if (name === "lang") document.documentElement.lang = value;
    else map.setAttribute(name, value);
    if (name === "label") document.title = value;
  }
  main?.replaceChildren(map);
}

const around = embedder();
if (around !== null && main !== null) {
  new ResizeObserver(() => {
    const height = Math.ceil(document.documentElement.scrollHeight);
    window.parent.postMessage({ type: "hostwood-height", height }, around);
  }).observe(main);
}

/** The site of the page around the frame; null where there is none, or the browser does not tell. */
function embedder(): string | null {
  if (window.parent === window) return null;
  const { ancestorOrigins } = location as { ancestorOrigins?: DOMStringList };
  const told = ancestorOrigins?.[0] ?? document.referrer;
  if (!URL.canParse(told)) return null;
  const { origin } = new URL(told);
  return origin === "null" ? null : origin;
}
