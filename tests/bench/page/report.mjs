/*
 * The page that tells how fast the element is, from what was measured.
 *
 * In: HOSTWOOD_BENCH (the folder with `results.json` and, where it was made, `profile.json`), --out FILE, --weight BYTES
 * (what a visitor downloads before the first map). Out: a page of the site with tables and plots. Measuring is left to
 * `run.mjs` and `profile.mjs`; nothing is made up here: a goal that was not measured is said to be so.
 */
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { median, ms } from "./numbers.mjs";
import { plot, slope } from "./plot.mjs";

const folder = process.env.HOSTWOOD_BENCH;
const { values } = parseArgs({
  options: { out: { type: "string" }, weight: { type: "string" } },
});
if (!folder || !values.out || !values.weight)
  throw new Error("expected HOSTWOOD_BENCH, --out FILE and --weight BYTES");
const { machine, link, results, phones } = JSON.parse(
  await readFile(join(folder, "results.json"), "utf8"),
);
const [profile, grown] = await Promise.all(
  ["profile.json", "growth.json"].map((file) =>
    readFile(join(folder, file), "utf8").then(JSON.parse, () => null),
  ),
);

/** Pages in the order of the tables, as their readers name them. */
const NAMES = {
  ours: "this map",
  d3: "d3-geo, written by hand",
  leaflet: "Leaflet, canvas",
  "leaflet-tiles": "Leaflet, geojson-vt",
  ol: "OpenLayers, canvas",
  maplibre: "MapLibre GL JS",
  deck: "deck.gl",
};
/** Why a goal is missed, where it is: told below the table. */
const WHY = {
  small:
    "A browser runs WebAssembly slowly at first and makes it fast while it runs. A map of 1,000 stands is read before that is done, one of 10,000 hardly after: the first reading takes four times as long as a later one, or twice. Then a dozen tiles are drawn, one after the other.",
  large:
    "Each stand is checked, its outline repaired, its trees named and its potential worked out before the first picture, all in one worker. Nothing stands out in the profile below: reading the numbers is a tenth of it. Two workers would share two cores with the browser's own reading of the file.",
  view: "All tiles in view are coloured anew, one after the other.",
  memory:
    "What the engine holds (told below, with the profile) comes on top of what the browser takes for the page, for compiled code and for pictures of tiles, those drawn ahead among them.",
  phone:
    "Over a slow link what travels takes most of the time by itself. The engine is the bulk of it, and its parts are alike: reading stand maps, crosswalks, tables of kinds and rule books, each with messages that say what is wrong where. Compiled for size it would be a tenth lighter, and slower.",
};
/** Sizes of which there is what to compare with; a file that is too long for it is told apart. */
const sizes = [...new Set(results.map((one) => one.size))]
  .filter((size) => json(size) !== null)
  .sort((one, other) => one - other);
const peers = Object.keys(NAMES).filter((page) => page !== "ours");

await writeFile(values.out, page());

function page() {
  const parts = [
    "<!-- How fast it is. Made from measurements by `cargo www bench --publish`; do not write into it. -->",
    "<title>How fast it is</title>",
    '<main id="main">',
    "<h1>How fast it is</h1>",
    paragraph(
      "The map is measured beside what a site could build from general map libraries: each page fetches the same stand map, shades every stand and draws it at 1200 by 800 pixels. The measure is R: the time to the first full shading, divided by the time the browser needs to fetch the same file and parse it as JSON. R takes the machine out; at 1, a page has parsed and drawn nothing.",
      "lead",
    ),
    paragraph(
      `Measured on ${machine.day} in Chromium ${machine.browser ?? ""} on ${machine.cores} cores (${machine.processor}), without a graphics card: pages that draw by WebGL would draw faster with one. Each page ran in a fresh browser, in turns. The forests are made up: the same bytes on every machine.`,
    ),
    goals(),
    paragraph(
      "While the map rests, this map draws the tiles around it and those of one zoom nearer ahead of time. Each zoom step and each move here follows on the last after at least 0.7 seconds of rest, on every page.",
    ),
    paragraph(
      "Nothing is quick by drawing less: a test of every release paints the same stands one by one on the browser's own canvas, and holds each step's part of the picture to within one part in a hundred.",
    ),
    "<h2>Time to the first full shading</h2>",
    growth(),
    ...sizes.map(table),
    onAPhone(),
    profiled(),
    grows(),
    "</main>",
  ];
  return `${parts.filter((part) => part !== "").join("\n")}\n`;
}

function goals() {
  const rows = [];
  const missed = new Map();
  const big = 100_000;
  const goal = (what, reached, met, why) => {
    rows.push([
      what,
      reached ?? "not measured",
      reached === null ? "-" : met ? "yes" : "no",
    ]);
    if (reached === null || met) return;
    const words = why ?? "Why is not known yet.";
    missed.set(words, [...(missed.get(words) ?? []), what]);
  };
  for (const [size, most] of [
    [10_000, 1],
    [100_000, 0.7],
    [400_000, 0.6],
  ]) {
    const ratio = r("ours", size);
    goal(
      `R at most ${most} for ${number(size)} stands`,
      ratio === null ? null : ratio.toFixed(2),
      ratio <= most,
      size < big ? WHY.small : WHY.large,
    );
  }
  const one = first("ours", 1000);
  const best = Math.min(...peers.map((peer) => first(peer, 1000) ?? Infinity));
  goal(
    "for 1,000 stands no other page faster by more than one frame (17 ms)",
    one === null || best === Infinity
      ? null
      : `${ms(one)} ms, the fastest other ${ms(best)} ms`,
    one - best <= 17,
    WHY.small,
  );
  const of = (read) => {
    const all = good("ours", big).map(read);
    return all.length === 0 ? null : median(all);
  };
  const told = (value, unit) =>
    value === null ? null : `${ms(value)} ${unit}`;
  const longest = of((run) => run.longest);
  goal(
    "longest task of the page under 50 ms",
    longest === 0 ? "none above 50 ms" : told(longest, "ms"),
    longest < 50,
  );
  const blocked = of((run) => run.blocked);
  goal(
    "page blocked for under 100 ms in all",
    told(blocked, "ms"),
    blocked < 100,
  );
  const zooms = [0, 1, 2].map((step) => of((run) => run.zooms[step]));
  goal(
    "each zoom step settles in under 100 ms",
    zooms[0] === null ? null : `${zooms.map(ms).join(", ")} ms`,
    Math.max(...zooms) < 100,
  );
  const view = of((run) => run.more?.view ?? Number.NaN);
  goal(
    "another view shown in under 150 ms",
    told(view, "ms"),
    view < 150,
    WHY.view,
  );
  const tap = of((run) => run.tap95);
  goal(
    "a tap answered in under 16 ms, 95 of 100 times",
    tap === null ? null : `${tap.toFixed(1)} ms`,
    tap < 16,
  );
  const right = good("ours", big)[0];
  goal(
    "200 of 200 taps right",
    right === undefined ? null : `${right.right} of ${right.asked}`,
    right?.right === 200,
  );
  const peak = of((run) => run.peak);
  goal(
    "the page's memory under 400 MiB at its most",
    told(peak, "MiB"),
    peak < 400,
    WHY.memory,
  );
  const share =
    profile?.positions === undefined
      ? null
      : profile.memory / (16 * profile.positions);
  goal(
    "the engine's memory at most 4 times the bytes of the coordinates",
    share === null ? null : `${share.toFixed(1)} times`,
    share <= 4,
  );
  // The longest text that a browser takes has some 537 million characters.
  const long = results.find(
    ({ page, size }) => page === "ours" && !sizes.includes(size),
  );
  goal(
    "a file too long for a JavaScript string loads",
    long === undefined
      ? null
      : (long.error ??
          `${number(long.size)} stands in ${(long.first / 1000).toFixed(1)} s; a page that parses the file fails`),
    long?.error === undefined,
  );
  const painted = (name) =>
    median(good(name, big).map((run) => run.covered ?? Number.NaN));
  goal(
    "as much ground painted as the page written by hand, to one part in a hundred",
    Number.isFinite(painted("ours") - painted("d3"))
      ? `${(painted("ours") * 100).toFixed(1)} % of the forest’s box, the other ${(painted("d3") * 100).toFixed(1)} %`
      : null,
    Math.abs(painted("ours") - painted("d3")) <= 0.01,
  );
  const phone = phones?.filter((run) => run.error === undefined) ?? [];
  const words =
    phone.length === 0 ? null : median(phone.map((run) => run.words));
  const shaded =
    phone.length === 0 ? null : median(phone.map((run) => run.shaded));
  goal(
    "the demo's words on a phone in under 2 s",
    words === null ? null : `${(words / 1000).toFixed(1)} s`,
    words < 2000,
  );
  goal(
    "the demo's shaded map on a phone in under 5 s",
    shaded === null ? null : `${(shaded / 1000).toFixed(1)} s`,
    shaded < 5000,
    WHY.phone,
  );
  const weight = Number(values.weight);
  goal(
    "scripts, engine, styles and the words of one language in at most 350 KB",
    `${number(Math.round(weight / 1000))} KB`,
    weight <= 350_000,
    WHY.phone,
  );
  const whys = [...missed].map(
    ([why, goals]) =>
      `<dt>${goals.map(escaped).join("; ")}</dt>\n<dd>${escaped(why)}</dd>`,
  );
  const reasons =
    whys.length === 0
      ? ""
      : `\n<h3>Why goals are missed</h3>\n<dl class="reasons">\n${whys.join("\n")}\n</dl>`;
  return `<h2>Goals, and what is reached</h2>\n${paragraph("For 100,000 stands (152 MB) where nothing else is said. The median of the runs.")}\n${tableOf("Goals", ["goal", "reached", "met"], rows)}${reasons}`;
}

function growth() {
  const lines = Object.keys(NAMES)
    .map((name) => ({
      name: NAMES[name],
      points: sizes
        .map((size) => [size, first(name, size)])
        .filter(([, time]) => time !== null),
    }))
    .filter(({ points }) => points.length > 0);
  lines.push({
    name: "fetched and parsed as JSON",
    points: sizes
      .map((size) => [size, json(size)])
      .filter(([, time]) => time !== null),
    dashed: true,
  });
  const ours = lines.find(({ name }) => name === NAMES.ours);
  const exponent =
    ours === undefined || ours.points.length < 2
      ? null
      : slope(ours.points.slice(-2));
  const told =
    exponent === null
      ? ""
      : paragraph(
          `From ${number(ours.points.at(-2)[0])} to ${number(ours.points.at(-1)[0])} stands the time of this map grows with the number of stands to the power ${exponent.toFixed(2)}.`,
        );
  return `<figure>${plot(lines, { x: "stands", y: "milliseconds" })}<figcaption>Milliseconds to the first full shading by number of stands; both scales are logarithmic. The same numbers stand in the tables.</figcaption></figure>\n${told}`;
}

function table(size) {
  const rows = [];
  for (const name of Object.keys(NAMES)) {
    const all = results.filter((one) => one.page === name && one.size === size);
    if (all.length === 0) continue;
    const runs = good(name, size);
    const m = (read) => median(runs.map(read));
    if (runs.length === 0) {
      rows.push([
        NAMES[name],
        `0 of ${all.length}`,
        all[0].error,
        "",
        "",
        "",
        "",
        "",
        "",
        "",
      ]);
      continue;
    }
    rows.push([
      NAMES[name],
      `${runs.length} of ${all.length}`,
      ms(first(name, size)),
      r(name, size)?.toFixed(2) ?? "-",
      ms(m((run) => run.longest)),
      [0, 1, 2].map((step) => ms(m((run) => run.zooms[step]))).join(" / "),
      ms(m((run) => run.pan)),
      `${m((run) => run.tap95).toFixed(1)}; ${runs[0].right} of ${runs[0].asked}`,
      ms(m((run) => run.peak)),
      Number.isFinite(runs[0].covered)
        ? `${(m((run) => run.covered) * 100).toFixed(1)} %`
        : "-",
    ]);
  }
  const head = [
    "page",
    "runs",
    "first shading, ms",
    "R",
    "longest task, ms",
    "zoom steps, ms",
    "pan, ms",
    "tap, 95 of 100 under ms; right",
    "memory at most, MiB",
    "painted of the forest’s box",
  ];
  const read = median(
    good("ours", size).map((run) => run.marks?.read ?? Number.NaN),
  );
  const beside = Number.isFinite(read)
    ? ` Read, checked and assessed by this map in ${ms(read)} ms, ${(read / json(size)).toFixed(2)} times as long.`
    : "";
  return `<h3>${number(size)} stands</h3>\n${paragraph(`Fetched and parsed as JSON in ${ms(json(size))} ms.${beside}`)}\n${tableOf(`${number(size)} stands`, head, rows)}`;
}

function onAPhone() {
  const runs = phones?.filter((run) => run.error === undefined) ?? [];
  if (runs.length === 0) return "";
  const words = `${(median(runs.map((run) => run.words)) / 1000).toFixed(1)} s`;
  const shaded = `${(median(runs.map((run) => run.shaded)) / 1000).toFixed(1)} s`;
  const bytes = Math.round(median(runs.map((run) => run.bytes)) / 1000);
  return `<h2>The demo on a weak phone</h2>\n${paragraph(`Over a link of ${(link.rate * 8) / 1e6} Mbit/s with ${link.wait} ms to each answer, the page's main thread slowed ${link.slower} times (the worker is not): the map's words and frame stand after ${words}, the shaded map after ${shaded}; ${number(bytes)} KB travel in all. ${runs.length} runs, medians.`)}`;
}

function profiled() {
  if (profile === null) return "";
  const rows = profile.rows.map(({ what, part }) => [
    what,
    `${(part * 100).toFixed(0)} %`,
  ]);
  return `<h2>What bounds it</h2>\n${paragraph(`Where the engine spends its time on ${number(profile.stands)} stands, from a profile of ${number(profile.samples)} samples: reading ${ms(profile.reading)} ms, the whole map worked out ${ms(profile.finishing)} ms, first tiles ${ms(profile.tiles)} ms; ${ms(profile.json)} ms for parsing the same text as JSON in the same process.${profile.positions ? ` The engine's memory was ${ms(profile.memory / 2 ** 20)} MiB at the most, ${(profile.memory / (16 * profile.positions)).toFixed(1)} times what two numbers for each of the ${number(profile.positions)} positions take.` : ""}`)}\n${tableOf("Profile", ["function, or the part of the engine it stands in", "part of the time"], rows)}`;
}

/** What the native engine takes as one thing after the other grows. */
function grows() {
  if (grown === null) return "";
  const part = (rows, by, word, columns) => {
    const lines = Object.entries(columns).map(([column, name]) => ({
      name,
      points: rows.map((row) => [row[by], row[column]]),
    }));
    const told = lines.map(
      ({ name, points }) => `${name}: to the power ${slope(points).toFixed(2)}`,
    );
    const head = [word, ...Object.values(columns).map((name) => `${name}, ms`)];
    const cells = rows.map((row) => [
      number(row[by]),
      ...Object.keys(columns).map((column) => row[column].toPrecision(3)),
    ]);
    return [
      `<h3>By ${word}</h3>`,
      `<figure>${plot(lines, { x: word, y: "milliseconds" })}<figcaption>Growth by ${word}: ${told.join("; ")}.</figcaption></figure>`,
      tableOf(`By ${word}`, head, cells),
    ].join("\n");
  };
  return [
    "<h2>How cost grows</h2>",
    paragraph(
      "The engine natively, on one core; medians of five. A power of 1 means: twice as many, twice as long.",
    ),
    part(grown.by_stands, "stands", "stands", {
      reading: "reading",
      indexing: "indexing",
      drawing: "drawing into one tile",
    }),
    part(grown.by_positions, "positions", "positions, the stands the same", {
      reading: "reading",
    }),
    part(grown.by_rules, "rules", "rules", {
      answering: "all answers of a new day",
    }),
    part(grown.by_zones, "zones", "zones", {
      placing: "placing 10,000 stands, once",
    }),
  ].join("\n");
}

function good(name, size) {
  return results.filter(
    (one) => one.page === name && one.size === size && one.error === undefined,
  );
}

function first(name, size) {
  const times = good(name, size).map((run) => run.first);
  return times.length === 0 ? null : median(times);
}

function json(size) {
  const times = good("floor", size).map((run) => run.json);
  return times.length === 0 ? null : median(times);
}

function r(name, size) {
  const [time, floor] = [first(name, size), json(size)];
  return time === null || floor === null ? null : time / floor;
}

function number(value) {
  return value.toLocaleString("en");
}

function paragraph(text, kind = "plain") {
  return `<p class="${kind}">${escaped(text)}</p>`;
}

function tableOf(name, head, rows) {
  const cells = (row, tag) =>
    row.map((cell) => `<${tag}>${escaped(String(cell))}</${tag}>`).join("");
  const body = rows.map((row) => `<tr>${cells(row, "td")}</tr>`).join("\n");
  const heads = head
    .map((cell) => `<th scope="col">${escaped(cell)}</th>`)
    .join("");
  return `<div class="table-room" tabindex="0" role="region" aria-label="${escaped(name)}"><table>\n<thead><tr>${heads}</tr></thead>\n<tbody>\n${body}\n</tbody>\n</table></div>`;
}

function escaped(text) {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
}
