/**
 * A list of fungi: typed, pasted, or read from a spreadsheet saved as CSV.
 *
 * In: the way to a list's members, the desk, and who reads tables. Out: a control in which each line is one scientific
 * name, kept as the authority writes it; what in a table gave no name is told line by line. Left to others: reading
 * tables, and whether a name is known (the engine).
 */
import { button, fill, make } from "../element/make.ts";
import type { ListedReport } from "../element/protocol.ts";
import { at, entriesOf, fieldsOf, type Json, type Way } from "./reading.ts";
import { row, type Desk, type Held } from "./rows.ts";

/** Reads the names in a table. */
export type ReadFungi = (list: Uint8Array) => Promise<ListedReport>;

/** What stands between the cells of a table. A list of names has none of these. */
const CELLS = /[;\t,|]/;

/** The control for the members of one list. */
export function fungi(desk: Desk, way: Way, readFungi: ReadFungi): Held {
  const area = make("textarea", { rows: 8, spellcheck: "false", lang: "la" });
  const told = make("div", { class: "hint", role: "status" });
  const take = async (list: Uint8Array, from: string): Promise<void> => {
    try {
      const { names, mistakes } = await readFungi(list);
      fill(
        told,
        make("p", {}, `${String(names.length)} names were read from ${from}.`),
        ...(mistakes.length === 0
          ? []
          : [make("ul", {}, ...mistakes.map(({ message }) => make("li", {}, message)))]),
      );
      if (names.length > 0) desk.edit(way, members(names.map(({ name }) => name)));
    } catch (error) {
      fill(told, make("p", {}, error instanceof Error ? error.message : String(error)));
    }
  };
  area.addEventListener("change", () => {
    const text = area.value;
    if (CELLS.test(text)) void take(new TextEncoder().encode(text), "what was pasted");
    else desk.edit(way, members(text.split("\n")));
  });
  const file = make("input", { type: "file", accept: ".csv,.tsv,.txt,text/csv", hidden: true });
  file.addEventListener("change", () => {
    const [chosen] = file.files ?? [];
    file.value = "";
    if (chosen !== undefined)
      void chosen.arrayBuffer().then((bytes) => take(new Uint8Array(bytes), chosen.name));
  });
  const element = row(
    way,
    "Scientific names, one a line",
    "A genus alone stands for all its kinds. You can paste a table, or a column of one.",
    area,
  );
  element.append(
    button(
      { class: "small" },
      () => {
        file.click();
      },
      "Read a CSV file",
    ),
    file,
    told,
  );
  return {
    element,
    way,
    show: () => {
      area.value = entriesOf(at(desk.book(), way))
        .map((entry) => fieldsOf(entry)["scientific_name"])
        .filter((name) => typeof name === "string")
        .join("\n");
    },
  };
}

/** The members of a list; whether a name is that of a species or a genus is told by the name itself. */
function members(names: readonly string[]): Json {
  return names
    .map((name) => name.trim())
    .filter((name) => name !== "")
    .map((name) => ({ scientific_name: name }));
}
