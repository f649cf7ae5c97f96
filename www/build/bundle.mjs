/*
 * Bundles the element for the browser.
 *
 * In: --engine FOLDER (the generated engine), --out FOLDER (the site to fill), --kept FOLDER (compressed forms kept
 * from one build to the next); the sources in element, styles, locales and site beside this folder.
 * Out: the site's pages in their frame, the element with its manifest, its worker, the engine, and beside each file that gains by it
 * its .br and .gz form. The demo region and pages that are generated are laid out before this step.
 */
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { cp, mkdir, readFile, readdir, rename, writeFile } from "node:fs/promises";
import { existsSync } from "node:fs";
import { dirname, extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs, promisify } from "node:util";
import zlib from "node:zlib";
import { frameSite } from "./frame.mjs";
import { manifestOf } from "./manifest.mjs";
import { withTables } from "./tables.mjs";

const brotli = promisify(zlib.brotliCompress);
const gzip = promisify(zlib.gzip);

const { values } = parseArgs({
  options: {
    engine: { type: "string" },
    out: { type: "string" },
    kept: { type: "string" },
    quick: { type: "boolean" },
  },
});
const { engine, out, kept } = values;
if (!engine || !out || !kept) throw new Error("expected --engine, --out and --kept, each with a folder");

const www = dirname(dirname(fileURLToPath(import.meta.url)));
const element = join(out, "hostwood");
const ENGINE_FILES = ["hostwood_engine.js", "hostwood_engine_bg.wasm"];
const ADAPTERS = ["hostwood-stand-map", "hostwood-leaflet", "hostwood-maplibre", "hostwood-openlayers"];
const WORTH_COMPRESSING = new Set([
  ".css",
  ".geojson",
  ".html",
  ".js",
  ".json",
  ".map",
  ".md",
  ".svg",
  ".txt",
  ".wasm",
]);

await mkdir(element, { recursive: true });
await copyFolder("site", out);
const surface = JSON.parse(await readFile(join(www, "element/surface.json"), "utf8"));
await frameSite(out, (page) => withTables(page, surface));
for (const file of ENGINE_FILES) await cp(join(engine, file), join(element, file));
const metafile = await bundleEntries();
await writeFile(join(element, "custom-elements.json"), `${JSON.stringify(manifestOf(surface), null, 2)}\n`);
await copyFolder("offline", element);
await writeFile(join(element, "files.json"), `${JSON.stringify(await ownFiles(), null, 1)}\n`);
await mkdir(kept, { recursive: true });
await writeFile(join(dirname(kept), "bundled.json"), JSON.stringify(metafile));
if (!values.quick) await compressAll(out);

/**
 * Bundles the element, with what it loads later in files of their own, and the worker, which is one file. The engine's
 * bindings stay a file of their own beside the worker.
 */
async function bundleEntries() {
  const common = {
    absWorkingDir: www,
    outdir: element,
    bundle: true,
    format: "esm",
    target: "es2022",
    minify: true,
    // What is published names no source maps; they are packed apart.
    sourcemap: values.quick ? true : "external",
    legalComments: "none",
    charset: "utf8",
    loader: { ".css": "text", ".json": "json" },
    metafile: true,
    logLevel: "warning",
  };
  // The worker knows the digests of the engine's files, and the element that of the worker.
  const worker = await build({
    ...common,
    entryPoints: ["element/hostwood-worker.ts"],
    define: await digests(ENGINE_FILES),
  });
  const page = await build({
    ...common,
    entryPoints: ["element/hostwood.ts"],
    splitting: true,
    chunkNames: "hostwood-[name]-[hash]",
    define: await digests(["hostwood-worker.js"]),
  });
  // For pages that have a map library of their own; they load nothing of the element.
  const adapters = await build({
    ...common,
    entryPoints: ADAPTERS.map((name) => `adapters/${name}.ts`),
    splitting: true,
    chunkNames: "hostwood-[name]-[hash]",
    define: await digests(["hostwood-worker.js"]),
  });
  // The framed page, and the script for the pages around it.
  await build({ ...common, entryPoints: ["element/iframe.ts", "element/iframe-height.ts"] });
  for (const file of ["iframe.html", "iframe.css"]) await cp(join(www, "element", file), join(element, file));
  // The page on which rule books are written is part of the site, not of what agencies embed.
  const pages = await build({ ...common, outdir: join(out, "book"), entryPoints: ["book/book.ts"] });
  return {
    pages: { inputs: pages.metafile.inputs },
    inputs: { ...page.metafile.inputs, ...worker.metafile.inputs, ...adapters.metafile.inputs },
    outputs: { ...page.metafile.outputs, ...worker.metafile.outputs, ...adapters.metafile.outputs },
  };
}

/** The digests of these files, as the element's sources expect to find them (W3C Subresource Integrity, section 3.5). */
async function digests(files) {
  const entries = files.map(async (file) => {
    const digest = createHash("sha384").update(await readFile(join(element, file)));
    return [file, `sha384-${digest.digest("base64")}`];
  });
  return { HOSTWOOD_DIGESTS: JSON.stringify(Object.fromEntries(await Promise.all(entries))) };
}

/** What the element may ask for of its own folder, for those who keep it for use without a connection. */
async function ownFiles() {
  const others = new Set([...ADAPTERS.map((name) => `${name}.js`), "files.json"]);
  const names = (await readdir(element)).filter((name) => /\.(js|wasm)$/.test(name) && !others.has(name));
  return names.filter((name) => !name.startsWith("hostwood-offline")).sort();
}

async function copyFolder(name, to) {
  const from = join(www, name);
  if (existsSync(from)) await cp(from, to, { recursive: true });
}

/** Writes the .br and .gz form beside every file that gains by it, from the kept ones where the bytes are the same. */
async function compressAll(folder) {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries
    .filter((entry) => entry.isFile() && WORTH_COMPRESSING.has(extname(entry.name)))
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name));
  await Promise.all(files.map(compress));
}

async function compress(file) {
  const bytes = await readFile(file);
  const digest = createHash("sha256").update(bytes).digest("hex");
  const forms = {
    br: () =>
      brotli(bytes, {
        params: {
          [zlib.constants.BROTLI_PARAM_QUALITY]: 11,
          [zlib.constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
        },
      }),
    gz: () => gzip(bytes, { level: 9 }),
  };
  for (const [ending, form] of Object.entries(forms)) {
    const keptFile = join(kept, `${digest}.${ending}`);
    if (!existsSync(keptFile)) {
      await writeFile(`${keptFile}.part`, await form());
      await rename(`${keptFile}.part`, keptFile);
    }
    const small = await readFile(keptFile);
    if (small.length < bytes.length) await writeFile(`${file}.${ending}`, small);
  }
}
