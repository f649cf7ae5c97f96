/*
 * Measures the element beside general-purpose map libraries in headless Chromium, and writes what it found.
 *
 * In: HOSTWOOD_SITE (the served build, with the bench's folder under /bench), HOSTWOOD_BROWSER (the browser's
 * program), HOSTWOOD_BENCH (a folder with `maps`), and --sizes, --runs, --pages. Out: `results.json` and `results.md`
 * in that folder. Each page runs in a fresh browser; the order is turned round from run to run, so that what else
 * happens on the machine falls on all alike. Growing the maps and serving are left to the build tool.
 */
import { createRequire } from "node:module";
import { cpus, loadavg } from "node:os";
import {
  copyFile,
  cp,
  mkdir,
  readFile,
  readdir,
  rm,
  writeFile,
} from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { fileURLToPath } from "node:url";
import { median, ms } from "./numbers.mjs";
import { LINK, phone } from "./phone.mjs";

const require = createRequire(
  new URL("../../../www/package.json", import.meta.url),
);
const { chromium } = require("playwright-core");
const { build } = require("esbuild");

const here = fileURLToPath(new URL(".", import.meta.url));
const site = needed("HOSTWOOD_SITE");
const program = needed("HOSTWOOD_BROWSER");
const folder = needed("HOSTWOOD_BENCH");
const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: "1000,10000,100000" },
    runs: { type: "string", default: "5" },
    phone: { type: "boolean", default: false },
    keep: { type: "boolean", default: false },
    pages: {
      type: "string",
      default: "floor,stream,ours,d3,leaflet,leaflet-tiles,ol,maplibre,deck",
    },
  },
});
const pages = values.pages.split(",");
const sizes = values.sizes.split(",").map(Number);
const runs = Number(values.runs);

/** A page that has not done its job after so many milliseconds has failed. */
const LONGEST = 180_000;

/** Pages that draw by WebGL; without a graphics card their drawing is done by the processor. */
const WEBGL = new Set(["maplibre", "deck"]);

const FLAGS = [
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--disable-dev-shm-usage",
];

await bundle();
const results = [];
for (const size of sizes) {
  for (let run = 0; run < runs; run += 1) {
    for (const page of run % 2 === 0 ? pages : [...pages].reverse()) {
      const result = await one(page, size);
      results.push({ page, size, run, ...result });
      const told =
        result.error ??
        `${Math.round(result.first ?? result.json ?? result.stream)} ms`;
      console.log(
        `${String(size).padStart(7)} ${page.padEnd(14)} run ${run + 1}/${runs}: ${told}`,
      );
    }
  }
}
const phones = [];
for (let run = 0; run < (values.phone ? runs : 0); run += 1) {
  phones.push(await onAPhone());
  console.log(
    `the demo on a phone run ${run + 1}/${runs}: ${phones.at(-1).error ?? `${Math.round(phones.at(-1).shaded)} ms`}`,
  );
}
const account = {
  machine: machine(),
  link: LINK,
  results: [...(await kept()), ...results],
  phones,
};
await writeFile(
  join(folder, "results.json"),
  `${JSON.stringify(account, null, 1)}\n`,
);
const table = tables(results);
await writeFile(join(folder, "results.md"), table);
console.log(table);

/** What was measured before and not now. */
async function kept() {
  if (!values.keep) return [];
  const before = JSON.parse(
    await readFile(join(folder, "results.json"), "utf8"),
  );
  if (!values.phone) phones.push(...(before.phones ?? []));
  return before.results.filter(
    ({ page, size }) => !pages.includes(page) || !sizes.includes(size),
  );
}

/** One page's scripts in one file each, and a document that loads it. */
async function bundle() {
  const out = join(folder, "pages");
  await rm(out, { recursive: true, force: true });
  await mkdir(out, { recursive: true });
  await build({
    absWorkingDir: here,
    entryPoints: pages.map((page) => `${page}.js`),
    outdir: out,
    bundle: true,
    format: "esm",
    target: "es2022",
    minify: true,
    external: ["/hostwood/hostwood.js", "./maplibre-gl/*"],
    loader: { ".png": "dataurl" },
    logLevel: "warning",
  });
  await cp(
    join(here, "node_modules/maplibre-gl/dist"),
    join(out, "maplibre-gl"),
    { recursive: true },
  );
  const document = await readFile(join(here, "page.html"), "utf8");
  const files = new Set(await readdir(out));
  for (const page of pages) {
    const style = files.has(`${page}.css`)
      ? `<link rel="stylesheet" href="${page}.css" />`
      : "";
    const script = `${style}<script type="module" src="${page}.js"></script></head>`;
    await writeFile(
      join(out, `${page}.html`),
      document.replace("</head>", script),
    );
  }
  await copyFile(
    join(here, "one.geojson"),
    join(folder, "maps", "one.geojson"),
  );
}

async function one(name, size) {
  const webgl = WEBGL.has(name);
  const browser = await chromium.launch({
    executablePath: program,
    chromiumSandbox: process.getuid?.() !== 0,
    args: [
      ...FLAGS,
      ...(webgl
        ? ["--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
        : ["--disable-gpu"]),
    ],
  });
  try {
    const context = await browser.newContext({
      viewport: { width: 1700, height: 1100 },
      reducedMotion: "reduce",
      colorScheme: "light",
    });
    const page = await context.newPage();
    const said = [];
    page.on("pageerror", (error) => said.push(String(error)));
    await page.goto(new URL(`bench/pages/${name}.html`, site).href);
    await page
      .waitForFunction("window.bench_ready === true", undefined, {
        timeout: 60_000,
      })
      .catch((error) => {
        throw new Error(
          `${name} did not start: ${said.join("; ") || error.message}`,
        );
      });
    const truth = JSON.parse(
      await readFile(join(folder, "maps", `stands-${size}.truth.json`), "utf8"),
    );
    const url = (ending) =>
      new URL(`bench/maps/stands-${size}.${ending}`, site).href;
    const load = loadavg()[0];
    const measured = await Promise.race([
      page.evaluate(
        ([urls, clicks]) => window.measure(urls, clicks),
        [
          { stands: url("geojson"), crosswalk: url("crosswalk.json") },
          truth.clicks,
        ],
      ),
      new Promise((_, reject) => {
        setTimeout(
          () => reject(new Error(`not done after ${LONGEST / 1000} seconds`)),
          LONGEST,
        ).unref();
      }),
    ]);
    return {
      ...measured,
      peak: await peak(browser),
      load,
      browser: browser.version(),
    };
  } catch (error) {
    return { error: String(error.message ?? error).split("\n")[0] };
  } finally {
    await browser.close();
  }
}

async function onAPhone() {
  const browser = await chromium.launch({
    executablePath: program,
    chromiumSandbox: process.getuid?.() !== 0,
    args: [...FLAGS, "--disable-gpu"],
  });
  try {
    return await phone(browser, site);
  } catch (error) {
    return { error: String(error.message ?? error).split("\n")[0] };
  } finally {
    await browser.close();
  }
}

/** The largest resident memory that a renderer process of the browser has had, in MiB; Linux only. */
async function peak(browser) {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  let most = 0;
  for (const { type, id } of processInfo) {
    if (type !== "renderer") continue;
    const status = await readFile(`/proc/${id}/status`, "utf8").catch(() => "");
    most = Math.max(most, Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? 0));
  }
  return most / 1024;
}

function machine() {
  const browser = results.find((one) => one.browser !== undefined)?.browser;
  return {
    processor: cpus()[0]?.model,
    cores: cpus().length,
    browser,
    day: new Date().toISOString().slice(0, 10),
  };
}

/** Half the range, as a part of the median. */
function spread(numbers) {
  const real = numbers.filter(Number.isFinite);
  return real.length < 2
    ? Number.NaN
    : (Math.max(...real) - Math.min(...real)) / 2 / median(real);
}

function tables(all) {
  const lines = [];
  for (const size of sizes) {
    const of = (page) =>
      all.filter((one) => one.page === page && one.size === size);
    const json = median(of("floor").map((one) => one.json));
    const stream = median(of("stream").map((one) => one.stream));
    lines.push(`## ${size.toLocaleString("en")} stands`, "");
    lines.push(
      `The file as a tree of JSON values (\`fetch().json()\`): ${ms(json)} ms; a streaming look at every byte: ${ms(stream)} ms. Medians of ${runs}.`,
      "",
    );
    lines.push(
      "| page | runs | first shading ms | spread | R | longest task ms | blocked ms | zoom steps ms | pan ms | tap / 95th ms | right | peak MiB |",
      "|---|---|---|---|---|---|---|---|---|---|---|---|",
    );
    for (const page of pages.filter(
      (one) => one !== "floor" && one !== "stream",
    )) {
      const runsOf = of(page);
      const good = runsOf.filter((one) => one.error === undefined);
      const m = (read) => median(good.map(read));
      const first = m((one) => one.first);
      const cells = [
        page,
        `${good.length}/${runsOf.length}`,
        ms(first),
        `±${Math.round(spread(good.map((one) => one.first)) * 100)} %`,
        (first / json).toFixed(2),
        ms(m((one) => one.longest)),
        ms(m((one) => one.blocked)),
        [0, 1, 2].map((step) => ms(m((one) => one.zooms[step]))).join(" / "),
        ms(m((one) => one.pan)),
        `${m((one) => one.tap).toFixed(1)} / ${m((one) => one.tap95).toFixed(1)}`,
        good.length === 0 ? "-" : `${good[0].right}/${good[0].asked}`,
        ms(m((one) => one.peak)),
      ];
      lines.push(`| ${cells.join(" | ")} |`);
      const view = m((one) => one.more?.view);
      if (Number.isFinite(view))
        lines.push("", `${page}: another view shown in ${ms(view)} ms.`, "");
    }
    lines.push("");
  }
  return `${lines.join("\n")}\n`;
}

function needed(name) {
  const value = process.env[name];
  if (value === undefined || value === "")
    throw new Error(`${name} is not set; \`cargo www bench\` sets it`);
  return value;
}
