/*
 * What the linter refuses. Above all the ways in which text from a map or a rule book could become markup or code:
 * the element builds its page from nodes and text alone.
 *
 * Run from the top of the work tree: eslint --config www/eslint.config.mjs www tests/e2e
 */
import js from "@eslint/js";
import css from "@eslint/css";
import { defineConfig, globalIgnores } from "eslint/config";
import globals from "globals";
import ts from "typescript-eslint";

const MARKUP = "text must not become markup: build nodes with createElement and textContent";
const CODE = "text must not become code";
const INLINE_STYLE =
  "an inline style attribute breaks a strict content policy: use a class, or one property of .style";
const INLINE_HANDLER = "an inline handler breaks a strict content policy: use addEventListener";

const markupProperties = ["innerHTML", "outerHTML", "srcdoc"];
const markupCalls = [
  "insertAdjacentHTML",
  "createContextualFragment",
  "parseFromString",
  "parseHTMLUnsafe",
  "setHTMLUnsafe",
];

/** A member by its plain or its quoted name: `a.name` and `a["name"]`. */
const member = (pattern) =>
  `:matches(MemberExpression[computed=false][property.name=/^(${pattern})$/], MemberExpression[computed=true][property.value=/^(${pattern})$/])`;
const attributeCall = (name) =>
  `CallExpression[callee.property.name=/^(setAttribute|toggleAttribute|createAttribute)$/][arguments.0.value=${name}]`;

export const refused = [
  { selector: member(markupProperties.join("|")), message: MARKUP },
  { selector: member(markupCalls.join("|")), message: MARKUP },
  { selector: `Property[key.name=/^(${markupProperties.join("|")})$/]`, message: MARKUP },
  {
    selector: `CallExpression:matches([callee.object.name="document"], [callee.object.property.name="document"])[callee.property.name=/^write(ln)?$/]`,
    message: MARKUP,
  },
  { selector: `CallExpression[callee.name="eval"]`, message: CODE },
  { selector: member("eval"), message: CODE },
  { selector: `:matches(NewExpression, CallExpression)[callee.name="Function"]`, message: CODE },
  {
    selector: `CallExpression[callee.name=/^set(Timeout|Interval)$/]:matches([arguments.0.type="Literal"], [arguments.0.type="TemplateLiteral"])`,
    message: CODE,
  },
  { selector: attributeCall("/^style$/i"), message: INLINE_STYLE },
  { selector: member("cssText"), message: INLINE_STYLE },
  { selector: attributeCall("/^on/i"), message: INLINE_HANDLER },
];

export default defineConfig([
  globalIgnores(["**/dist/**", "**/node_modules/**", "**/target/**"]),
  {
    files: ["**/*.{ts,mjs,js}"],
    extends: [js.configs.recommended, ts.configs.recommended],
    rules: { "no-restricted-syntax": ["error", ...refused], eqeqeq: "error", "no-console": "off" },
  },
  {
    files: ["www/element/**/*.ts", "www/book/**/*.ts", "www/adapters/**/*.ts"],
    extends: [ts.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: { projectService: true } },
    rules: {
      "@typescript-eslint/no-floating-promises": [
        "error",
        { allowForKnownSafeCalls: [{ from: "package", name: "test", package: "node:test" }] },
      ],
    },
  },
  {
    files: ["**/*.{mjs,js}"],
    languageOptions: { globals: { ...globals.node, ...globals.browser } },
  },
  {
    files: ["**/*.css"],
    language: "css/css",
    plugins: { css },
    rules: {
      "css/no-duplicate-imports": "error",
      "css/no-empty-blocks": "error",
      "css/no-invalid-at-rules": "error",
      "css/no-invalid-properties": ["error", { allowUnknownVariables: true }],
    },
  },
  {
    // The element's pages may read from right to left.
    files: ["www/styles/**/*.css"],
    language: "css/css",
    plugins: { css },
    rules: {
      "css/prefer-logical-properties": ["error", { allowUnits: ["vw", "vh"] }],
    },
  },
]);
