/*
 * Puts the pages of the site into their one frame.
 *
 * In: a folder that holds `frame.html`, `pages.json` (the pages in the order of their links) and each page as a file
 * of its own: its title, what it adds to the head, and its main part. Out: the same folder with whole pages, without
 * the frame and the list. What a page says is left to its file, which an earlier step of the build may have written.
 */
import { existsSync } from "node:fs";
import { readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";

/** One page of the list: the name of its file and the words of the link to it. */
const FIELDS = ["file", "link"];
const COMMENT = /<!--[^]*?-->\s*/g;

/** Frames every page of the folder's list; `fill` gives each page what is made from tables. */
export async function frameSite(folder, fill = (page) => page) {
  const frame = await readFile(join(folder, "frame.html"), "utf8");
  const pages = listed(await readFile(join(folder, "pages.json"), "utf8"));
  for (const { file } of pages) {
    const path = join(folder, file);
    if (!existsSync(path)) {
      throw new Error(
        `pages.json lists \`${file}\`, but no step of the build made it; write www/site/${file} or take it off the list`,
      );
    }
    await writeFile(path, framed(frame, pages, file, fill(await readFile(path, "utf8"))));
  }
  await rm(join(folder, "frame.html"));
  await rm(join(folder, "pages.json"));
}

/** The list of pages, read. */
export function listed(text) {
  const pages = JSON.parse(text);
  for (const page of pages) {
    const odd = FIELDS.find((field) => typeof page[field] !== "string" || page[field] === "");
    if (odd !== undefined) {
      throw new Error(
        `pages.json: a page has no \`${odd}\`; expected { "file": "name.html", "link": "Words of the link" }`,
      );
    }
  }
  return pages;
}

/** One page in the frame; the link to itself is marked as the current one. */
export function framed(frame, pages, file, text) {
  // Comments speak to whoever works on the site.
  const page = text.replaceAll(COMMENT, "");
  const title = /<title>([^]*?)<\/title>/.exec(page)?.[1]?.trim();
  if (!title) throw new Error(`${file} has no <title>; every page needs one`);
  const begin = page.indexOf("<main");
  const end = page.lastIndexOf("</main>");
  if (begin < 0 || end < begin) throw new Error(`${file} has no <main>; what the page says stands in it`);
  const links = pages.map(({ file: other, link }) => {
    const here = other === file ? ' aria-current="page"' : "";
    return `<a href="${other === "index.html" ? "./" : other}"${here}>${escaped(link)}</a>`;
  });
  const places = {
    title,
    head: page
      .slice(0, begin)
      .replace(/<title>[^]*?<\/title>/, "")
      .trim(),
    links: links.join(" "),
    main: page.slice(begin, end + "</main>".length),
  };
  const filled = new Set();
  const whole = frame.replaceAll(COMMENT, "").replaceAll(/\[(title|head|links|main)\]/g, (_, place) => {
    filled.add(place);
    return places[place];
  });
  const missing = Object.keys(places).find((place) => !filled.has(place));
  if (missing !== undefined)
    throw new Error(`frame.html has no place for the page's ${missing}: [${missing}]`);
  return whole;
}

function escaped(text) {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
}
