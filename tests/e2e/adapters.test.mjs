/*
 * The shading inside other map libraries, on the pages of examples/adapters: it is drawn in the legend's own colours,
 * a click finds the stand whose outline lies there, another view is drawn anew, and another day is told.
 */
import assert from "node:assert/strict";
import { visit } from "./visit.mjs";

/** Where the map is clicked: from its middle, in parts of its height. Some of these lie in a stand, some do not. */
const PLACES = [
  [0, 0],
  [-0.3, -0.2],
  [-0.35, -0.3],
  [-0.1, -0.3],
  [-0.25, 0.3],
  [0.3, 0.25],
  [0.45, 0.2],
  [0.3, -0.2],
  [-0.4, -0.1],
];

const LIBRARIES = ["leaflet", "openlayers", "maplibre"];

for (const library of LIBRARIES) {
  visit(`shading in ${library}`, library === "maplibre" ? { browser: "webgl" } : {}, async (visitor) => {
    const { page } = visitor;
    await visitor.goTo(`/adapters/${library}.html`);
    const told = page.locator("#told");
    await told.filter({ hasText: "No stand is chosen." }).waitFor();

    // Drawn in the colours of the legend, which the engine itself drew.
    const legend = await colours(page.locator("#legend canvas"));
    const shades = () => colours(page.locator("#map canvas"));
    await visitor.until(async () => {
      const seen = await shades();
      return [...legend].filter((one) => seen.has(one)).length >= 4;
    }, "the map does not show the legend's colours");

    // The middle of the map is the middle of the stands' bounds; what lies there the file itself tells.
    const stands = await page.evaluate(async () => (await fetch("/eskenvar/stands.geojson")).json());
    await page.locator("#map").scrollIntoViewIfNeeded();
    const box = await page.locator("#map").boundingBox();
    const middle = { x: box.width / 2, y: box.height / 2 };
    const places = [];
    let met = 0;
    for (const [east, south] of PLACES) {
      // OpenLayers takes two clicks within a quarter of a second for one double click, wherever they are, and zooms.
      await page.waitForTimeout(300);
      await page
        .locator("#map")
        .click({ position: { x: middle.x + east * box.height, y: middle.y + south * box.height } });
      await visitor.until(
        async () => ![undefined, "", places.at(-1)].includes(await told.evaluate((one) => one.dataset.place)),
        "the click was not answered",
      );
      await told.filter({ hasText: /No stand is chosen|:/ }).waitFor();
      const { place, stand } = await told.evaluate((one) => ({ ...one.dataset }));
      places.push(place);
      const [lng, lat] = place.split(",").map(Number);
      const there = stands.features.filter(({ geometry }) => holds(geometry, lng, lat));
      if (there.length === 0) assert.equal(stand, undefined, `${place}: no outline holds this place`);
      else
        await visitor.until(
          async () => names(there).includes(await told.evaluate((one) => one.dataset.stand)),
          `${place}: expected one of ${names(there)}`,
        );
      met += Math.min(1, there.length);
    }
    assert.ok(met >= 3 && met < PLACES.length, `${met} of ${PLACES.length} places lie in a stand`);
    const [lng, lat] = places[0].split(",").map(Number);
    const centre = middleOf(stands);
    assert.ok(
      Math.abs(lng - centre[0]) < 0.002 && Math.abs(lat - centre[1]) < 0.002,
      `${places[0]} ${centre}`,
    );

    // Another view has another picture.
    await page.getByLabel("Stand").selectOption({ index: 1 });
    await told.filter({ hasText: ":" }).waitFor();
    const before = await picture(page);
    const inRoots = await visitor.read(told);
    await page.getByLabel("Fungi that live").selectOption("wood");
    await visitor.until(async () => (await picture(page)) !== before, "the map was not drawn anew");
    await visitor.until(async () => (await visitor.read(told)) !== inRoots, "the stand is told as before");

    // On another day the rules may say otherwise; outside the season of the rule book nothing may be taken for granted.
    const inSeason = await visitor.read(told);
    await page.getByLabel("Day").fill("2031-01-15");
    await visitor.until(async () => (await visitor.read(told)) !== inSeason, "the day changes nothing");
    await visitor.screenshot("another day");
  });
}

/** All colours on canvases, as `r,g,b` of opaque pixels. */
async function colours(canvases) {
  const seen = await canvases.evaluateAll((all) =>
    all.flatMap((canvas) => {
      if (canvas.width === 0 || canvas.height === 0) return [];
      // Whatever context the canvas has, its picture can be drawn onto another.
      const copy = Object.assign(document.createElement("canvas"), {
        width: canvas.width,
        height: canvas.height,
      });
      const pen = copy.getContext("2d");
      pen.drawImage(canvas, 0, 0);
      const { data } = pen.getImageData(0, 0, copy.width, copy.height);
      const found = new Set();
      for (let at = 0; at < data.length; at += 4) {
        if (data[at + 3] === 255) found.add(`${data[at]},${data[at + 1]},${data[at + 2]}`);
      }
      return [...found];
    }),
  );
  return new Set(seen);
}

/** The map as it is seen, to be told apart from another. */
async function picture(page) {
  return (await page.locator("#map").screenshot()).toString("base64");
}

function names(features) {
  return features.map(({ properties }) => String(properties.UNIT_NO));
}

/** Even-odd over all rings, on the plane. */
function holds(geometry, lng, lat) {
  const polygons = geometry?.type === "Polygon" ? [geometry.coordinates] : (geometry?.coordinates ?? []);
  let odd = false;
  for (const ring of polygons.flat()) {
    for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
      const [x1, y1] = ring[at];
      const [x2, y2] = ring[before];
      if (y1 > lat !== y2 > lat && lng < ((x2 - x1) * (lat - y1)) / (y2 - y1) + x1) odd = !odd;
    }
  }
  return odd;
}

/** The middle of the bounds of all outlines on a Web Mercator map, in degrees. */
function middleOf({ features }) {
  const all = features.flatMap(({ geometry }) => (geometry?.coordinates ?? []).flat(Infinity));
  const lngs = all.filter((_, at) => at % 2 === 0);
  const lats = all.filter((_, at) => at % 2 === 1);
  const least = (list) => list.reduce((one, other) => Math.min(one, other));
  const most = (list) => list.reduce((one, other) => Math.max(one, other));
  const y = (lat) => Math.log(Math.tan(Math.PI / 4 + (lat * Math.PI) / 360));
  const middle = (y(least(lats)) + y(most(lats))) / 2;
  return [(least(lngs) + most(lngs)) / 2, (360 / Math.PI) * Math.atan(Math.exp(middle)) - 90];
}
