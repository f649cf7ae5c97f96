/**
 * A book to begin with, where there is none yet.
 *
 * In: today. Out: the text of a book that is refused until the officer has filled in what only they can know: the list
 * of mistakes then is the list of what to do. Left to others: everything that is filled in.
 */

/** The text of a new book. */
export function emptyBook(today: string): string {
  const book = {
    format: "hostwood-rules/1.0",
    region: { code: "", names: { en: "" }, area: { type: "Polygon", coordinates: [] }, time_zone: "" },
    authority: { name: { en: "" } },
    languages: ["en"],
    checked: today,
    sources: [],
    taxa: {},
    zones: [],
    rules: [],
  };
  return `${JSON.stringify(book, null, 2)}\n`;
}
