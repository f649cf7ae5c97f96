/*
 * The tables of the site's pages that tell what a page's author can use.
 *
 * In: the table surface.json, and a page with marks such as `[table attributes]`. Out: the page with each mark replaced
 * by its table. Left to others: the page around it (frame.mjs), holding the table against the code.
 */

/** Heads of the columns, and the cells of one row, by the name of the table. */
const TABLES = {
  attributes: [["attribute", "what it is"], ({ name, text }) => [code(name), prose(text)]],
  properties: [
    ["property", "what it is"],
    ({ name, readonly, text }) => [code(name), prose(`${text}${readonly ? "; read only" : ""}`)],
  ],
  methods: [
    ["method", "what it does"],
    ({ name, parameters, text }) => [
      code(`${name}(${parameters.map((one) => one.name).join(", ")})`),
      prose(text),
    ],
  ],
  events: [
    ["event", "when, and what it carries"],
    ({ name, type, text }) => [
      code(name),
      `${prose(text)}: ${code(type.replace(/^CustomEvent<(.*)>$/, "$1"))}`,
    ],
  ],
  slots: [
    ["slot", "what stands in it"],
    ({ name, text }) => [name === "" ? "no name" : code(name), prose(text)],
  ],
  parts: [["part", "what it is"], ({ name, text }) => [code(name), prose(text)]],
  customProperties: [
    ["custom property", "what it colours or sets", "by itself"],
    ({ name, text, default: value }) => [code(name), prose(text), code(value)],
  ],
};

/** The page with its tables. @throws Error where a mark names no table */
export function withTables(page, surface) {
  return page.replaceAll(/\[table (\w+)\]/g, (_, name) => {
    if (!Object.hasOwn(TABLES, name)) {
      throw new Error(`there is no table \`${name}\`; expected one of ${Object.keys(TABLES).join(", ")}`);
    }
    const [heads, cells] = TABLES[name];
    const row = (all, tag) =>
      `<tr>${all.map((one) => `<${tag}${tag === "th" ? ' scope="col"' : ""}>${one}</${tag}>`).join("")}</tr>`;
    const rows = surface[name].map((one) => row(cells(one), "td"));
    return `<div class="table-room" role="region" tabindex="0" aria-label="Table: ${heads[0]}"><table><thead>${row(heads, "th")}</thead><tbody>${rows.join("")}</tbody></table></div>`;
  });
}

function code(text) {
  return `<code>${escaped(text)}</code>`;
}

/** A sentence of the table, in which names stand in backticks. */
function prose(text) {
  return escaped(text).replaceAll(/`([^`]+)`/g, "<code>$1</code>");
}

function escaped(text) {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
}
