/*
 * Holds the linter to what it must refuse in the element: one line of source, and the message it must give.
 */
import { test } from "node:test";
import assert from "node:assert/strict";
import { Linter } from "eslint";
import ts from "typescript-eslint";
import { refused } from "../eslint.config.mjs";

const MARKUP = "text must not become markup: build nodes with createElement and textContent";
const CODE = "text must not become code";
const STYLE =
  "an inline style attribute breaks a strict content policy: use a class, or one property of .style";
const HANDLER = "an inline handler breaks a strict content policy: use addEventListener";

const REFUSED = [
  ["node.innerHTML = text;", MARKUP],
  ["node['innerHTML'] = text;", MARKUP],
  ["node!.outerHTML += text;", MARKUP],
  ["Object.assign(node, { innerHTML: text });", MARKUP],
  ["frame.srcdoc = text;", MARKUP],
  ["node.insertAdjacentHTML('beforeend', text);", MARKUP],
  ["range.createContextualFragment(text);", MARKUP],
  ["new DOMParser().parseFromString(text, 'text/html');", MARKUP],
  ["node.setHTMLUnsafe(text);", MARKUP],
  ["document.write(text);", MARKUP],
  ["document.writeln(text);", MARKUP],
  ["window.document.write(text);", MARKUP],
  ["eval(text);", CODE],
  ["globalThis.eval(text);", CODE],
  ["new Function(text);", CODE],
  ["Function(text);", CODE],
  ["setTimeout('draw()', 10);", CODE],
  ["setInterval(`draw(${text})`, 10);", CODE],
  ["node.setAttribute('style', text);", STYLE],
  ["node.setAttribute('STYLE', text);", STYLE],
  ["node.style.cssText = text;", STYLE],
  ["node.setAttribute('onclick', text);", HANDLER],
  ["node.setAttribute('onError', text);", HANDLER],
];

const LEFT_ALONE = [
  "node.textContent = text;",
  "node.setAttribute('aria-label', text);",
  "node.setAttribute('open', '');",
  "node.style.width = '50%';",
  "node.addEventListener('click', open);",
  "stream.write(text);",
  "setTimeout(draw, 10);",
  "// innerHTML is never set\nexport {};",
];

const config = {
  files: ["**/*.ts"],
  languageOptions: { parser: ts.parser },
  rules: { "no-restricted-syntax": ["error", ...refused] },
};
const complaints = (source) => new Linter().verify(source, config, "sample.ts").map(({ message }) => message);

for (const [source, message] of REFUSED) {
  test(`refuses ${source}`, () => assert.deepEqual([...new Set(complaints(source))], [message]));
}

for (const source of LEFT_ALONE) {
  test(`leaves alone ${source}`, () => assert.deepEqual(complaints(source), []));
}
