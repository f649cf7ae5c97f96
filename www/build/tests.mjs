/*
 * Runs tests written in JavaScript or TypeScript under Node.js.
 *
 * In: --report FILE; either --out FOLDER (module tests: *.test.mjs of this folder, and *.test.ts of the element and of
 * the page on which rule books are written, bundled into FOLDER first) or --e2e FOLDER (its *.test.mjs as they are; with
 * --named TEXT those whose names hold it).
 * Out: a readable account on the terminal, and the same as TAP in FILE. Counting is left to the caller.
 */
import { build } from "esbuild";
import { spawn } from "node:child_process";
import { mkdir, readdir, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const { values } = parseArgs({
  options: {
    report: { type: "string" },
    out: { type: "string" },
    e2e: { type: "string" },
    named: { type: "string" },
  },
});
if (!values.report || !values.out === !values.e2e) {
  throw new Error("expected --report FILE and one of --out FOLDER, --e2e FOLDER");
}

const here = dirname(fileURLToPath(import.meta.url));
const www = dirname(here);
const files = values.e2e
  ? (await named(values.e2e, ".test.mjs")).filter((file) => basename(file).includes(values.named ?? ""))
  : [...(await named(here, ".test.mjs")), ...(await bundledTests(values.out))];

const node = spawn(
  process.execPath,
  [
    "--test",
    "--enable-source-maps",
    ...["--test-reporter", "spec", "--test-reporter-destination", "stdout"],
    ...["--test-reporter", "tap", "--test-reporter-destination", values.report],
    ...files,
  ],
  { stdio: ["ignore", "inherit", "inherit"] },
);
node.on("exit", (code) => process.exit(code ?? 1));

async function named(folder, ending) {
  const names = await readdir(folder);
  return names
    .filter((name) => name.endsWith(ending))
    .sort()
    .map((name) => join(folder, name));
}

async function bundledTests(out) {
  const folders = ["element", "book"].map((name) => join(www, name)).filter((folder) => existsSync(folder));
  await rm(out, { recursive: true, force: true });
  await mkdir(out, { recursive: true });
  await build({
    absWorkingDir: www,
    entryPoints: (await Promise.all(folders.map((folder) => named(folder, ".test.ts")))).flat(),
    entryNames: "[name]",
    outdir: out,
    outExtension: { ".js": ".mjs" },
    bundle: true,
    platform: "node",
    mainFields: ["module", "main"],
    format: "esm",
    target: "node20",
    sourcemap: "inline",
    loader: { ".css": "text", ".json": "json" },
    logLevel: "warning",
  });
  return named(out, ".mjs");
}
