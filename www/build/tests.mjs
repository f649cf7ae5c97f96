/*
 * Runs tests written in JavaScript or TypeScript under Node.js.
 *
 * In: --report FILE; either --out FOLDER (module tests: *.test.mjs of this folder, and *.test.ts of the element,
 * bundled into FOLDER first) or --e2e FOLDER (its *.test.mjs as they are).
 * Out: a readable account on the terminal, and the same as TAP in FILE. Counting is left to the caller.
 */
import { build } from "esbuild";
import { spawn } from "node:child_process";
import { mkdir, readdir, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const { values } = parseArgs({
  options: { report: { type: "string" }, out: { type: "string" }, e2e: { type: "string" } },
});
if (!values.report || !values.out === !values.e2e) {
  throw new Error("expected --report FILE and one of --out FOLDER, --e2e FOLDER");
}

const here = dirname(fileURLToPath(import.meta.url));
const www = dirname(here);
const files = values.e2e
  ? await named(values.e2e, ".test.mjs")
  : [...(await named(here, ".test.mjs")), ...(await elementTests(values.out))];

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

async function elementTests(out) {
  const folder = join(www, "element");
  if (!existsSync(folder)) return [];
  await rm(out, { recursive: true, force: true });
  await mkdir(out, { recursive: true });
  await build({
    absWorkingDir: www,
    entryPoints: await named(folder, ".test.ts"),
    outdir: out,
    outExtension: { ".js": ".mjs" },
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    sourcemap: "inline",
    loader: { ".css": "text", ".json": "json" },
    logLevel: "warning",
  });
  return named(out, ".mjs");
}
