/*
 * The packed folder and the npm package: the guide's own lines, followed to the letter beside that folder and nothing
 * else, show the map; the package says rightly what is in it; its types are found; the bill of materials is one.
 *
 * Outside: the JSON Schema of CycloneDX 1.6 as the npm package @cyclonedx/cyclonedx-library carries it, read by ajv;
 * publint's rules for packages; TypeScript's own search for types under `nodenext` and `bundler`.
 */
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { cp, mkdir, readFile, readdir, rm, symlink, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { visit } from "./visit.mjs";

const require = createRequire(new URL("../../www/package.json", import.meta.url));
const ROOT = new URL("../../", import.meta.url);
const packed = process.env.HOSTWOOD_PACKED;
const scratch = process.env.HOSTWOOD_SCRATCH;
const npm = join(dirname(packed), "npm");

/** The agency's own files, by the names that the guide gives them. */
const FILES = {
  "stands.geojson": "tests/e2e/fixtures/codes/stands.geojson",
  "crosswalk.json": "tests/e2e/fixtures/codes/crosswalk.json",
  "region.rules.json": "tests/e2e/fixtures/rules/south-tyrol.rules.json",
};

/** Lays the packed folder and the agency's files into an empty folder, and reads the guide's lines. */
async function layOut(visitor) {
  await rm(scratch, { recursive: true, force: true });
  await mkdir(scratch, { recursive: true });
  await cp(packed, join(scratch, "hostwood"), { recursive: true });
  for (const [name, path] of Object.entries(FILES)) await cp(new URL(path, ROOT), join(scratch, name));
  await visitor.goTo("/embed.html");
  const snippets = await visitor.page
    .locator("pre[data-snippet]")
    .evaluateAll((all) => all.map((one) => [one.dataset.snippet, one.textContent]));
  assert.deepEqual(
    snippets.map(([name]) => name),
    ["page", "style", "frame", "frame-height"],
  );
  return Object.fromEntries(snippets);
}

const whole = (head, body) =>
  `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Our forest</title><link rel="icon" href="/icon.svg">${head}</head>\n<body><main><h1>Our forest</h1>\n${body}</main></body></html>\n`;

visit("the guide's lines show the map, with the packed folder alone", {}, async (visitor) => {
  const { page } = visitor;
  const { page: lines, style } = await layOut(visitor);
  await writeFile(join(scratch, "map.css"), style);
  await writeFile(
    join(scratch, "index.html"),
    whole('<link rel="stylesheet" href="map.css">', `${lines}\n<p>Below the map</p>`),
  );
  await page.addInitScript(() => {
    window.shift = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) window.shift += entry.value;
    }).observe({ type: "layout-shift", buffered: true });
    window.tops = new Set();
    const look = () => {
      const below = document.querySelector("main > p");
      if (below !== null) window.tops.add(Math.round(below.getBoundingClientRect().top));
      requestAnimationFrame(look);
    };
    look();
  });
  const before = visitor.askedFor.length;
  await visitor.goTo("/scratch/index.html");
  await visitor.ready();
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
  const beyond = visitor.askedFor.slice(before).filter((path) => !path.startsWith("/scratch/"));
  assert.deepEqual(beyond, ["/icon.svg"], "something was asked for beside the folder and the agency's files");
  const jumps = await page.evaluate(() => ({ shift: window.shift, tops: [...window.tops] }));
  assert.equal(jumps.tops.length, 1, `the page jumped while it loaded: ${jumps.tops}`);
  assert.ok(jumps.shift < 0.01, `the map jumped while it loaded: ${jumps.shift}`);
});

visit("the guide's frame shows the map", {}, async (visitor) => {
  const { page } = visitor;
  const { frame, "frame-height": height } = await layOut(visitor);
  // The server's own policy frames nothing; this page has none.
  await page
    .context()
    .route("**/scratch/framed.html", (route) =>
      route.fulfill({ contentType: "text/html", body: whole("", frame + height) }),
    );
  await visitor.goTo("/scratch/framed.html");
  await page
    .frameLocator("iframe")
    .getByRole("button", { name: visitor.say("ui.list"), exact: true })
    .click();
  const rows = page.frameLocator("iframe").getByRole("table").locator("tbody").getByRole("row");
  await rows.first().waitFor();
  assert.equal(await rows.count(), 5);
});

visit("the policy that the page on security gives is the one that holds here", {}, async (visitor) => {
  const response = await visitor.page.goto(new URL("/security.html", process.env.HOSTWOOD_SITE).href);
  const told = (await visitor.page.locator("#policy").textContent()).trim();
  assert.equal(told, response.headers()["content-security-policy"]);
});

test("every file of the folder has its digest, and no source map is among them", async () => {
  const { files } = JSON.parse(await readFile(join(packed, "integrity.json"), "utf8"));
  const there = (await readdir(packed)).filter(
    (name) => !/\.(br|gz)$/.test(name) && name !== "integrity.json",
  );
  assert.deepEqual(Object.keys(files), there.sort());
  for (const [name, digest] of Object.entries(files)) {
    const found = createHash("sha384")
      .update(await readFile(join(packed, name)))
      .digest("base64");
    assert.equal(digest, `sha384-${found}`, name);
    assert.doesNotMatch(name, /\.map$/);
  }
});

test("the bill of materials follows its published schema and names what is inside", async () => {
  const Ajv = require("ajv");
  const schemas = join(dirname(require.resolve("@cyclonedx/cyclonedx-library/package.json")), "res/schema");
  const schema = async (name) => JSON.parse(await readFile(join(schemas, name), "utf8"));
  const ajv = new Ajv({ strict: false, allErrors: true });
  require("ajv-formats")(ajv);
  // An address in other letters than English ones, which the formats above do not know; none is in our bill.
  ajv.addFormat("iri-reference", true);
  ajv.addFormat("idn-email", true);
  for (const name of [
    "spdx.SNAPSHOT.schema.json",
    "jsf-0.82.SNAPSHOT.schema.json",
    "cryptography-defs.SNAPSHOT.schema.json",
  ]) {
    ajv.addSchema({ ...(await schema(name)), $id: `http://cyclonedx.org/schema/${name}` });
  }
  const holds = ajv.compile(await schema("bom-1.6.SNAPSHOT.schema.json"));
  const bill = JSON.parse(await readFile(join(packed, "materials.cdx.json"), "utf8"));
  assert.ok(holds(bill), ajv.errorsText(holds.errors));
  const named = bill.components.map(({ purl }) => purl ?? "");
  assert.ok(
    named.some((purl) => purl.startsWith("pkg:cargo/geo@")),
    "the engine's crates are missing",
  );
  assert.ok(
    named.some((purl) => purl.startsWith("pkg:npm/ol@")),
    "the element's packages are missing",
  );
  const notices = await readFile(join(packed, "THIRD-PARTY.txt"), "utf8");
  for (const { name, version } of bill.components) assert.ok(notices.includes(`${name} ${version}`), name);

  delete bill.components[0].name;
  assert.equal(holds(bill), false);
  assert.match(ajv.errorsText(holds.errors), /components\/0 must have required property 'name'/);
});

test("the npm package says rightly what is in it", async () => {
  const { publint } = await import(pathToFileURL(require.resolve("publint")).href);
  const { messages } = await publint({ pkgDir: npm, strict: true, pack: false });
  assert.deepEqual(
    messages.map(({ code, path }) => `${code} at ${path.join(".")}`),
    [],
  );
  const manifest = JSON.parse(await readFile(join(npm, "package.json"), "utf8"));
  for (const [name, entry] of Object.entries(manifest.exports)) {
    if (typeof entry === "object") assert.equal(Object.keys(entry)[0], "types", `${name}: types come first`);
  }
  // What cannot be right is told.
  const broken = join(scratch, "broken");
  await rm(broken, { recursive: true, force: true });
  await mkdir(broken, { recursive: true });
  await writeFile(
    join(broken, "package.json"),
    JSON.stringify({ name: "broken", version: "1.0.0", type: "module", exports: { ".": "./missing.js" } }),
  );
  const told = await publint({ pkgDir: broken, strict: true, pack: false });
  assert.deepEqual(
    told.messages.map(({ code }) => code),
    ["FILE_DOES_NOT_EXIST"],
  );
});

test("the package can be imported where there is no page", async () => {
  const element = await import(pathToFileURL(join(npm, "hostwood.js")).href);
  assert.equal(typeof element.HostwoodMap, "function");
  for (const name of ["stand-map", "leaflet", "openlayers", "maplibre"]) {
    const file = await readFile(join(npm, `hostwood-${name}.js`), "utf8");
    assert.ok(file.length > 0, name);
  }
});

test("types are found by both ways of looking for them, and wrong use is refused", async () => {
  const ts = require("typescript");
  const user = join(scratch, "user");
  await rm(user, { recursive: true, force: true });
  await mkdir(join(user, "node_modules"), { recursive: true });
  await symlink(npm, join(user, "node_modules/hostwood"));
  await writeFile(join(user, "package.json"), '{ "type": "module" }');
  const source = join(user, "use.ts");
  await writeFile(
    source,
    `import { HostwoodMap, type Answer } from "hostwood";
const map: HostwoodMap = document.createElement("hostwood-map");
map.stands = "stands.geojson";
map.addEventListener("hostwood-stand", ({ detail }) => { const id: string | null = detail.id; console.log(id); });
const answer: Answer = "closed";
console.log(answer, map.ready);
// @ts-expect-error no such thing
map.stand = 5;
// @ts-expect-error read only
map.ready = true;
`,
  );
  for (const [module, moduleResolution] of [
    [ts.ModuleKind.NodeNext, ts.ModuleResolutionKind.NodeNext],
    [ts.ModuleKind.ESNext, ts.ModuleResolutionKind.Bundler],
  ]) {
    const program = ts.createProgram([source], {
      module,
      moduleResolution,
      target: ts.ScriptTarget.ES2022,
      lib: ["lib.es2023.d.ts", "lib.dom.d.ts", "lib.dom.iterable.d.ts"],
      types: [],
      strict: true,
      noEmit: true,
    });
    const complaints = ts
      .getPreEmitDiagnostics(program)
      .map(
        ({ file, messageText }) => `${file?.fileName}: ${ts.flattenDiagnosticMessageText(messageText, " ")}`,
      );
    assert.deepEqual(complaints, []);
  }
});
