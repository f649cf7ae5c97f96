/*
 * The tables of the pages: text stays text, and a mark that names no table is refused.
 */
import { test } from "node:test";
import assert from "node:assert/strict";
import { withTables } from "./tables.mjs";

const SURFACE = { slots: [{ name: "", text: "What <b> is in `no` slot" }] };

test("a mark becomes its table", () => {
  assert.equal(
    withTables("<p>[table slots]</p>", SURFACE),
    '<p><div class="table-room" role="region" tabindex="0" aria-label="Table: slot"><table><thead>' +
      '<tr><th scope="col">slot</th><th scope="col">what stands in it</th></tr></thead><tbody>' +
      "<tr><td>no name</td><td>What &lt;b> is in <code>no</code> slot</td></tr></tbody></table></div></p>",
  );
});

test("a mark without a table is refused", () => {
  assert.throws(() => withTables("[table colours]", SURFACE), {
    message:
      "there is no table `colours`; expected one of attributes, properties, methods, events, slots, parts, customProperties",
  });
});
