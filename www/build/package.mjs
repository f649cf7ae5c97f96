/*
 * The npm package, from the folder that agencies put on their servers.
 *
 * In: --from FOLDER (the packed folder), --out FOLDER (the package, filled anew), --version; the sources beside this
 * folder. Out: the same files without their compressed forms, with type declarations made from the sources and a
 * manifest in which each entry has its types first. Left to others: which files are shipped (pack.rs), whether the
 * package says rightly what is in it (tests/e2e/package.test.mjs).
 */
import { cp, mkdir, readdir, rm, writeFile } from "node:fs/promises";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import ts from "typescript";

const { values } = parseArgs({
  options: { from: { type: "string" }, out: { type: "string" }, version: { type: "string" } },
});
const { from, out, version } = values;
if (!from || !out || !version) throw new Error("expected --from, --out and --version");

const www = dirname(dirname(fileURLToPath(import.meta.url)));

/** What can be imported, by its name in the package: the source that it is made from, and the file. */
const ENTRIES = {
  ".": "element/hostwood.ts",
  "./stand-map": "adapters/hostwood-stand-map.ts",
  "./leaflet": "adapters/hostwood-leaflet.ts",
  "./maplibre": "adapters/hostwood-maplibre.ts",
  "./openlayers": "adapters/hostwood-openlayers.ts",
};
/** Files that tools and bundlers ask for by name. */
const FILES = [
  "custom-elements.json",
  "book.schema.json",
  "crosswalk.schema.json",
  "hostwood-worker.js",
  "hostwood_engine.js",
  "hostwood_engine_bg.wasm",
];

await rm(out, { recursive: true, force: true });
await mkdir(out, { recursive: true });
const names = (await readdir(from)).filter((name) => !/\.(br|gz)$/.test(name)).sort();
for (const name of names) await cp(join(from, name), join(out, name));
await declare(Object.values(ENTRIES));
await writeFile(join(out, "package.json"), `${JSON.stringify(manifest(), null, 2)}\n`);

function manifest() {
  const file = (source) => `./${source.split("/").pop().replace(/\.ts$/, ".js")}`;
  const entries = Object.entries(ENTRIES).map(([name, source]) => [
    name,
    { types: `./types/${source.replace(/\.ts$/, ".d.ts")}`, default: file(source) },
  ]);
  const files = [...FILES, "package.json"].map((name) => [`./${name}`, `./${name}`]);
  return {
    name: "hostwood",
    version,
    description:
      "Shades a public forest stand map by fungal fruiting potential and sets the region's rules beside it",
    license: "MIT",
    type: "module",
    exports: Object.fromEntries([...entries, ...files]),
    types: `./types/${ENTRIES["."].replace(/\.ts$/, ".d.ts")}`,
    // Importing the element defines it; the adapters do nothing by being imported.
    sideEffects: ["./hostwood.js"],
    customElements: "custom-elements.json",
    files: [...names, "types"],
  };
}

/** Writes the declarations of these sources and of whatever they name of ours, and nothing else. */
async function declare(sources) {
  const { config } = ts.readConfigFile(join(www, "tsconfig.json"), ts.sys.readFile);
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, www);
  const roots = [...sources, "element/texts.d.ts"].map((source) => join(www, source));
  const program = ts.createProgram(roots, {
    ...options,
    noEmit: false,
    declaration: true,
    emitDeclarationOnly: true,
    rootDir: www,
    outDir: join(out, "types"),
  });
  const written = new Map();
  program.emit(undefined, (path, text) => written.set(relative(join(out, "types"), path), text));
  // A file of declarations is found by the name of the script that it describes.
  const plain = (text) => text.replaceAll(/(["'])(\.{1,2}\/[^"']+)\.ts\1/g, "$1$2.js$1");
  const open = sources.map((source) => source.replace(/\.ts$/, ".d.ts"));
  const reached = new Set();
  while (open.length > 0) {
    const path = open.pop();
    if (reached.has(path)) continue;
    reached.add(path);
    const text = written.get(path);
    if (text === undefined) throw new Error(`no declarations were made for ${path}`);
    const declared = plain(text);
    for (const [, place] of declared.matchAll(/["'](\.{1,2}\/[^"']+)\.js["']/g)) {
      open.push(join(dirname(path), `${place}.d.ts`));
    }
    await mkdir(dirname(join(out, "types", path)), { recursive: true });
    await writeFile(join(out, "types", path), declared);
  }
}
