/*
 * Nothing is quick by drawing less: the tiles of the demo beside the same stands filled one by one by the browser's own
 * canvas, step for step. The engine is used by itself, since no line, pattern or name of the map is wanted here but the
 * tiles; which step a stand has comes from the annotated stand map, which says it in words.
 */
import assert from "node:assert/strict";
import { visit } from "./visit.mjs";

/** The demo's forest as a whole, and a part of it. */
const ZOOMS = [12, 14];
/** How far apart the parts of a step may lie. */
const WITHIN = 0.01;
/** So many of a hundred thousand pixels that lie inside a stand on both pictures may differ. */
const DIFFERING = 50;

for (const zoom of ZOOMS) {
  visit(
    `each step covers as much as the browser's canvas paints of it, at zoom ${zoom}`,
    {},
    async (visitor) => {
      const { page } = visitor;
      await visitor.openDemo();
      const { steps, both, differing } = await page.evaluate(compared, zoom);
      const sum = (one) => steps.reduce((all, step) => all + step[one], 0);
      const [drawn, painted] = [sum("drawn"), sum("painted")];
      assert.ok(drawn > 100_000 && painted > 100_000, `only ${drawn} and ${painted} pixels`);
      assert.ok(
        steps.filter((step) => step.painted > painted / 100).length >= 4,
        "hardly any steps to compare",
      );
      for (const step of steps) {
        const [one, other] = [step.drawn / drawn, step.painted / painted];
        assert.ok(
          Math.abs(one - other) < WITHIN,
          `${step.id}: ${(one * 100).toFixed(2)} % of the map, painted by the canvas ${(other * 100).toFixed(2)} %`,
        );
      }
      assert.ok(
        differing * 100_000 <= both * DIFFERING,
        `${differing} of ${both} pixels are of another step`,
      );
      assert.ok(both > 0.7 * painted, `only ${both} of ${painted} pixels lie inside a stand on both`);
    },
  );
}

/** Draws both pictures in the page and counts the pixels of each step, and those that both give to a step. */
async function compared(zoom) {
  const { default: start, Engine } = await import("/hostwood/hostwood_engine.js");
  const bytes = async (path) => new Uint8Array(await (await fetch(path)).arrayBuffer());
  await start({ module_or_path: await bytes("/hostwood/hostwood_engine_bg.wasm") });
  const engine = new Engine();
  engine.beginStands(await bytes("/eskenvar/crosswalk.json"));
  engine.pushStands(await bytes("/eskenvar/stands.geojson"));
  const { bounds } = engine.finishStands();
  engine.setRules([]);
  engine.setVisit({ day: "2026-09-26", visitor: {} });
  const look = { size: 256, ratio: 1, scheme: "light", moreContrast: false, view: "roots" };
  const world = 256 * 2 ** zoom;
  const at = (lng, lat) => {
    const north = Math.log(Math.tan(Math.PI / 4 + (lat * Math.PI) / 360));
    return [(lng / 360 + 0.5) * world, (0.5 - north / (2 * Math.PI)) * world];
  };
  const middle = at((bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2);
  const side = 1024;
  const [west, north] = middle.map((one) => Math.floor(one / 256) * 256 - side / 2);
  const sheet = () => {
    const canvas = document.createElement("canvas");
    canvas.width = side;
    canvas.height = side;
    return canvas.getContext("2d", { willReadFrequently: true });
  };
  const drawn = sheet();
  for (let x = 0; x < side; x += 256) {
    for (let y = 0; y < side; y += 256) {
      drawn.putImageData(engine.tile(zoom, (west + x) / 256, (north + y) / 256, look), x, y);
    }
  }
  // The middle of a swatch is the colour of its step.
  const colours = new Map();
  for (const { id, pixels, width, height } of engine.swatches(look)) {
    const middle = (Math.floor(height / 2) * width + Math.floor(width / 2)) * 4;
    if (id.startsWith("step.")) colours.set(id.slice(5), [...pixels.slice(middle, middle + 3)]);
  }
  const painted = sheet();
  const { features } = JSON.parse(new TextDecoder().decode(engine.toGeoJSON()));
  for (const { geometry, hostwood } of features) {
    const colour = colours.get(hostwood.potential.step);
    if (colour === undefined || geometry === null) continue;
    const polygons = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
    painted.beginPath();
    for (const ring of polygons.flat()) {
      for (const [place, [lng, lat]] of ring.entries()) {
        const [x, y] = at(lng, lat);
        if (place === 0) painted.moveTo(x - west, y - north);
        else painted.lineTo(x - west, y - north);
      }
      painted.closePath();
    }
    painted.fillStyle = `rgb(${colour.join(" ")})`;
    painted.fill("evenodd");
  }
  engine.free();
  const names = [...colours.keys()];
  const stepOf = new Map(names.map((name, place) => [colours.get(name).join(" "), place]));
  const read = (pen) => {
    const { data } = pen.getImageData(0, 0, side, side);
    const found = new Int8Array(side * side).fill(-1);
    for (let pixel = 0; pixel < found.length; pixel += 1) {
      if (data[pixel * 4 + 3] !== 255) continue;
      found[pixel] = stepOf.get(data.slice(pixel * 4, pixel * 4 + 3).join(" ")) ?? -1;
    }
    return found;
  };
  const [one, other] = [read(drawn), read(painted)];
  const steps = names.map((id) => ({ id, drawn: 0, painted: 0 }));
  let [both, differing] = [0, 0];
  for (let pixel = 0; pixel < one.length; pixel += 1) {
    if (one[pixel] >= 0) steps[one[pixel]].drawn += 1;
    if (other[pixel] >= 0) steps[other[pixel]].painted += 1;
    if (one[pixel] < 0 || other[pixel] < 0) continue;
    both += 1;
    if (one[pixel] !== other[pixel]) differing += 1;
  }
  return { steps, both, differing };
}

visit("a rough picture is there before the tiles, and gives way to them", {}, async (visitor) => {
  const { page } = visitor;
  // Tiles that stay are held back on their way to the engine; those of the rough picture are not.
  await page.addInitScript(() => {
    const send = Worker.prototype.postMessage;
    const held = [];
    const open = new Set();
    let [holds, answered] = [true, 0];
    const hear = ({ data }) => {
      if (open.delete(data.call)) answered += 1;
    };
    Worker.prototype.postMessage = function (message, ...rest) {
      const { kind, look } = message?.task ?? {};
      if (holds && kind === "tile" && look.ahead !== true) {
        held.push(() => send.call(this, message, ...rest));
        return;
      }
      if (kind === "tile") {
        open.add(message.call);
        this.addEventListener("message", hear);
      }
      send.call(this, message, ...rest);
    };
    globalThis.sketched = () => answered > 0 && open.size === 0;
    globalThis.letGo = () => {
      holds = false;
      for (const go of held) go();
      return held.length;
    };
  });
  await visitor.openDemo();
  const rough = page.locator("canvas.rough");
  await rough.waitFor();
  await visitor.until(() => page.evaluate(() => globalThis.sketched()), "the rough picture is not all there");
  await visitor.until(
    async () => (await paintedPart(rough)).colours.some((colour) => colour !== null),
    "the rough picture is empty",
  );
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  await visitor.screenshot("rough");
  const before = await paintedPart(rough);
  assert.ok((await page.evaluate(() => globalThis.letGo())) >= 6, "the map has hardly any tiles");
  await rough.waitFor({ state: "detached" });
  const after = await paintedPart(page.locator(".ol-layer canvas").first());
  const opaque = after.colours.filter((colour) => colour !== null).length;
  const here = compare(before, after, 0);
  assert.ok(here.both > 0.85 * opaque, `${here.both} of ${opaque} places are painted on both`);
  // Borders are blurred, so colours differ; laid beside its place the picture would differ far more.
  const beside = compare(before, after, 8);
  assert.ok(here.apart < 0.6 * beside.apart, `colours lie ${here.apart} apart, beside it ${beside.apart}`);
});

/** How many places two pictures both paint, and how far their colours lie apart there, one of them moved aside. */
function compare(one, other, aside) {
  let [both, sum] = [0, 0];
  for (const [at, colour] of other.colours.entries()) {
    const there = at % other.across >= aside ? one.colours[at - aside] : null;
    if (colour === null || there === null || there === undefined) continue;
    both += 1;
    sum += Math.max(...colour.map((part, place) => Math.abs(part - there[place])));
  }
  return { both, apart: sum / both };
}

/** Colours of a canvas at places five pixels apart; null where it is hardly painted. */
function paintedPart(canvas) {
  return canvas.evaluate((one) => {
    const { width, height } = one;
    if (width === 0) return { across: 0, colours: [] };
    const { data } = one.getContext("2d").getImageData(0, 0, width, height);
    const colours = [];
    for (let y = 2; y < height; y += 5) {
      for (let x = 2; x < width; x += 5) {
        const at = (y * width + x) * 4;
        colours.push(data[at + 3] >= 128 ? [...data.slice(at, at + 3)] : null);
      }
    }
    return { across: Math.ceil((width - 2) / 5), colours };
  });
}
