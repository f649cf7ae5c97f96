/*
 * How a page comes into the site's frame, and which pages and lists are refused.
 */
import { test } from "node:test";
import assert from "node:assert/strict";
import { framed, listed } from "./frame.mjs";

const FRAME = "<title>[title]</title>[head]<nav>[links]</nav>[main]";
const PAGES = [
  { file: "index.html", link: "Map" },
  { file: "soil.html", link: "Soil & water" },
];

test("a page is framed, and its own link is the current one", () => {
  const page = `<!-- about soil -->\n<title>Soil</title>\n<link rel="x" />\n<main id="main"><p>Of [links] and $& only.</p></main>\n`;
  assert.equal(
    framed(FRAME, PAGES, "soil.html", page),
    `<title>Soil</title><link rel="x" /><nav><a href="./">Map</a> ` +
      `<a href="soil.html" aria-current="page">Soil &amp; water</a></nav>` +
      `<main id="main"><p>Of [links] and $& only.</p></main>`,
  );
});

const REFUSED = [
  ["<main></main>", FRAME, "soil.html has no <title>; every page needs one"],
  ["<title>Soil</title>", FRAME, "soil.html has no <main>; what the page says stands in it"],
  [
    "<title>Soil</title><main></main>",
    "[title][head][main]",
    "frame.html has no place for the page's links: [links]",
  ],
];

for (const [page, frame, message] of REFUSED) {
  test(`refused: ${message}`, () => {
    assert.throws(() => framed(frame, PAGES, "soil.html", page), { message });
  });
}

test("a page of the list needs its file and the words of its link", () => {
  assert.throws(() => listed('[{ "file": "soil.html" }]'), {
    message:
      'pages.json: a page has no `link`; expected { "file": "name.html", "link": "Words of the link" }',
  });
});
