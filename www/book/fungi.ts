/**
 * A list of fungi: pasted, typed, or read from a spreadsheet saved as CSV.
 *
 * In: the way to a list's members, and the desk. Out: a control in which each line is one scientific name. From CSV
 * the column is taken that holds scientific names. Left to others: finding them (names.ts), whether they are known (the engine).
 */
import { button, make } from "../element/make.ts";
import { namesIn } from "./names.ts";
import { at, entriesOf, fieldsOf, type Json, type Way } from "./reading.ts";
import { row, type Desk, type Held } from "./rows.ts";

/** The control for the members of one list. */
export function fungi(desk: Desk, way: Way): Held {
  const area = make("textarea", { rows: 8, spellcheck: "false", lang: "la" });
  area.addEventListener("change", () => {
    desk.edit(way, members(namesIn(area.value)));
  });
  const file = make("input", { type: "file", accept: ".csv,.tsv,.txt,text/csv", hidden: true });
  const told = make("p", { class: "hint", role: "status" });
  file.addEventListener("change", () => {
    const [chosen] = file.files ?? [];
    if (chosen === undefined) return;
    void chosen.text().then((text) => {
      const names = namesIn(text);
      told.textContent =
        names.length === 0
          ? `${chosen.name} holds no scientific names. Expected one such as Boletus edulis in each row.`
          : `${String(names.length)} names were read from ${chosen.name}.`;
      if (names.length > 0) desk.edit(way, members(names));
      file.value = "";
    });
  });
  const element = row(
    way,
    "Scientific names, one a line",
    "A genus alone stands for all its kinds. You can paste a column of a spreadsheet.",
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

function members(names: readonly string[]): Json {
  return names.map((name) => ({
    scientific_name: name,
    rank: name.includes(" ") ? "species" : "genus",
  }));
}
