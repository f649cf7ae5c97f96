/*
 * Where the engine spends its time while a large map is read and first drawn.
 *
 * In: HOSTWOOD_BENCH (a folder with `maps`), HOSTWOOD_ENGINE (a folder with the bindings and a module that still has
 * the names of its functions), --stands N, --pieces BYTES. Out: `profile.json` in the bench's folder: milliseconds of
 * each stage beside those of `JSON.parse` of the same text, the most memory that the engine had, and the part of the samples by function. Runs under
 * Node.js, whose engine for WebAssembly is that of the browser.
 */
import { readFile, writeFile } from "node:fs/promises";
import { Session } from "node:inspector/promises";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";

const { values } = parseArgs({
  options: {
    stands: { type: "string", default: "100000" },
    pieces: { type: "string", default: "65536" },
  },
});
const folder = process.env.HOSTWOOD_BENCH;
const engineFolder = process.env.HOSTWOOD_ENGINE;
if (!folder || !engineFolder)
  throw new Error("expected HOSTWOOD_BENCH and HOSTWOOD_ENGINE");
const stands = Number(values.stands);
const pieces = Number(values.pieces);
/** Functions that take less than this part of the time are not listed. */
const LEAST = 0.01;

/** What is done for every part of the engine, by what its functions are called. */
const SHARED = [
  [/dlmalloc|__rdl_|__rust_|__rg_/, "taking memory and giving it back"],
  [/sip::Hasher|hash_one|hashbrown/, "hashing"],
  [
    /^(memcmp|memcpy|memmove|memset|compiler_builtins)/,
    "comparing and copying bytes",
  ],
  [/^<?&?(mut )?serde/, "reading properties off the usual path (serde)"],
  [/^core::slice::sort|^order::/, "sorting"],
];

// The engine draws its tiles into image data, which only browsers have.
globalThis.ImageData ??= class {
  constructor(data, width, height) {
    Object.assign(this, { data, width, height });
  }
};
const { default: start, Engine } = await import(
  pathToFileURL(join(engineFolder, "hostwood_engine.js"))
);
const { memory } = await start({
  module_or_path: await readFile(join(engineFolder, "hostwood_engine_bg.wasm")),
});
const map = await readFile(join(folder, "maps", `stands-${stands}.geojson`));
const crosswalk = await readFile(
  join(folder, "maps", `stands-${stands}.crosswalk.json`),
);

// Once before it counts, so that the compiler of the second tier has seen everything.
read(map);
// Memory never shrinks: what there is after one reading is the most that it took.
const most = memory.buffer.byteLength;
const began = performance.now();
JSON.parse(map.toString("utf8"));
const json = performance.now() - began;

const session = new Session();
session.connect();
await session.post("Profiler.enable");
await session.post("Profiler.setSamplingInterval", { interval: 500 });
await session.post("Profiler.start");
const stages = read(map);
const { profile } = await session.post("Profiler.stop");
const { rows, samples } = counted(profile);
const truth = await readFile(
  join(folder, "maps", `stands-${stands}.truth.json`),
  "utf8",
);
const positions = JSON.parse(truth).vertices;
const account = {
  stands,
  json,
  ...stages,
  samples,
  memory: most,
  positions,
  rows,
};
await writeFile(
  join(folder, "profile.json"),
  `${JSON.stringify(account, null, 1)}\n`,
);
for (const stage of ["reading", "finishing", "tiles"]) {
  console.log(
    `${stage.padEnd(10)} ${Math.round(account[stage])} ms, ${(account[stage] / json).toFixed(2)} of JSON.parse`,
  );
}
for (const { what, part } of rows)
  console.log(`${(part * 100).toFixed(1).padStart(5)} %  ${what}`);

function read(bytes) {
  const engine = new Engine();
  engine.beginStands(crosswalk);
  const from = performance.now();
  for (let at = 0; at < bytes.length; at += pieces)
    engine.pushStands(bytes.subarray(at, at + pieces));
  const reading = performance.now() - from;
  const then = performance.now();
  const { bounds } = engine.finishStands();
  const finishing = performance.now() - then;
  engine.setVisit({ day: "2026-09-12" });
  const before = performance.now();
  for (const [z, x, y] of tilesOf(bounds))
    engine.tile(z, x, y, {
      size: 256,
      ratio: 1,
      view: "roots",
      scheme: "light",
    });
  const tiles = performance.now() - before;
  engine.free();
  return { reading, finishing, tiles };
}

/** The tiles of the zoom at which the map fills about 1200 by 800 pixels. */
function tilesOf([west, south, east, north]) {
  const across = (lng) => lng / 360 + 0.5;
  const down = (lat) =>
    0.5 -
    Math.log(Math.tan(Math.PI / 4 + (lat * Math.PI) / 360)) / (2 * Math.PI);
  const [left, right, top, bottom] = [
    across(west),
    across(east),
    down(north),
    down(south),
  ];
  const zoom = Math.floor(
    Math.min(
      Math.log2(1200 / 256 / (right - left)),
      Math.log2(800 / 256 / (bottom - top)),
    ),
  );
  const tiles = [];
  const cell = (part) => Math.floor(part * 2 ** zoom);
  for (let x = cell(left); x <= cell(right); x += 1) {
    for (let y = cell(top); y <= cell(bottom); y += 1) tiles.push([zoom, x, y]);
  }
  return tiles;
}

/** The part of the samples in each function, by its own time. */
function counted({ nodes, samples }) {
  const names = new Map(
    nodes.map(({ id, callFrame }) => [id, callFrame.functionName]),
  );
  const sums = new Map();
  for (const id of samples) {
    const name = plain(names.get(id) ?? "");
    sums.set(name, (sums.get(name) ?? 0) + 1);
  }
  const rows = [...sums]
    .map(([what, count]) => ({ what, part: count / samples.length }))
    .filter(({ part }) => part >= LEAST)
    .sort((one, other) => other.part - one.part);
  return { rows, samples: samples.length };
}

function plain(name) {
  const bare = name
    .replace(/::h[0-9a-f]{16}$/, "")
    .replace(/\[[0-9a-f]{16}\]/g, "")
    .replace(/<impl [\w:]+ for [\w:]+>::|<impl [\w:]+>::/, "")
    .replaceAll("hostwood::", "");
  return (
    SHARED.find(([pattern]) => pattern.test(bare))?.[1] ??
    (bare === "" ? "(elsewhere)" : bare)
  );
}
