/**
 * Scientific names in a pasted list or in a spreadsheet saved as CSV.
 *
 * In: a text. Out: the names in it, each once, from the column that holds them. Left to others: whether a name is
 * known (the engine).
 */

/** A name such as `Boletus edulis`, or a genus alone. Authors and what follows are left off. */
const NAME = /^[A-Z][a-zë-]+(?:\s+(?:×\s*)?[a-zë][a-zë-]+)?/;

/** The scientific names in a pasted list or a CSV file, each once, in their order. */
export function namesIn(text: string): string[] {
  const rows = text
    .replace(/^\uFEFF/, "")
    .split(/\r?\n/)
    .filter((line) => line.trim() !== "")
    .map(cells);
  const width = Math.max(0, ...rows.map((cells) => cells.length));
  // The column in which most cells are names of two words; a list without columns has one.
  let best = { column: 0, found: -1 };
  for (let column = 0; column < width; column += 1) {
    const found = rows.filter((cells) => nameOf(cells[column] ?? "")?.includes(" ")).length;
    if (found > best.found) best = { column, found };
  }
  const names = rows.map((cells, place) => {
    const name = nameOf(cells[best.column] ?? "");
    // The head of a column is one word among names of two.
    return place === 0 && width > 1 && name?.includes(" ") === false ? null : name;
  });
  return [...new Set(names.filter((name) => name !== null))];
}

function nameOf(cell: string): string | null {
  return NAME.exec(cell.trim().replaceAll(/\s+/g, " "))?.[0] ?? null;
}

/** The cells of one row; separated by semicolons, tabs or commas, in quotation marks where they hold one (RFC 4180). */
function cells(line: string): string[] {
  const separator = [";", "\t", ","].find((one) => line.includes(one)) ?? ",";
  const found: string[] = [];
  let cell = "";
  let quoted = false;
  for (let place = 0; place < line.length; place += 1) {
    const character = line[place] ?? "";
    if (character === '"') {
      if (quoted && line[place + 1] === '"') {
        cell += '"';
        place += 1;
      } else quoted = !quoted;
    } else if (character === separator && !quoted) {
      found.push(cell);
      cell = "";
    } else cell += character;
  }
  return [...found, cell];
}
