/*
 * The job that every page of the bench does: fetch a stand map, shade each stand in one of ten classes.
 *
 * In: GeoJSON properties as the bench's forest writes them. Out: a class from 0 to 9 and its colour. It is simpler
 * than what the element works out for a stand, so that no library is slowed down by it.
 */

/** Ten shades, light to dark. */
export const SHADES = Array.from({ length: 10 }, (_, step) => {
  const part = step / 9;
  return [Math.round(238 - 190 * part), Math.round(226 - 140 * part), Math.round(198 - 130 * part)];
});

/** The shades as CSS colours. */
export const COLOURS = SHADES.map(([red, green, blue]) => `rgb(${red},${green},${blue})`);

const HOSTS = { PIAB: 0.8, PISY: 0.9, FASY: 0.85, QUPE: 0.9, BEPE: 0.85, LADE: 0.6, ABAL: 0.7, PSME: 0.5, ACPS: 0.1, FREX: 0.05, ALGL: 0.4, CABE: 0.7 };
const SITES = { SA: 1, WA: 0.9, NE: 0.75, CA: 0.8 };

/** From 0 (least) to 9 (most). */
export function classOf(properties) {
  let hosts = 0;
  for (const slot of [1, 2, 3]) {
    hosts += (HOSTS[properties[`SP${slot}`]] ?? 0) * (properties[`SP${slot}_PCT`] ?? 0);
  }
  const age = properties.AGE_YRS;
  const aged = age < 40 ? age / 40 : age < 80 ? 1 : Math.max(0.4, 1 - (age - 80) / 150);
  const closed = 1 - Math.abs(properties.CANOPY - 75) / 100;
  const value = (hosts / 100) * aged * closed * (SITES[properties.SOIL] ?? 0.5);
  return Math.max(0, Math.min(9, Math.floor(value * 10)));
}

/** The smallest box around all positions: west, south, east, north. */
export function boundsOf(collection) {
  const box = [180, 90, -180, -90];
  for (const { geometry } of collection.features) {
    const polygons = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
    for (const polygon of polygons) {
      for (const [lng, lat] of polygon[0]) {
        if (lng < box[0]) box[0] = lng;
        if (lat < box[1]) box[1] = lat;
        if (lng > box[2]) box[2] = lng;
        if (lat > box[3]) box[3] = lat;
      }
    }
  }
  return box;
}

/** The stand map, parsed as any page would. */
export async function stands(url) {
  return (await fetch(url)).json();
}

/** Box and size as every page uses them. */
export const SIZE = { width: 1200, height: 800 };

/** World coordinates of Web Mercator, 0 to 1 from the north-western corner. */
export function mercator([lng, lat]) {
  const y = Math.log(Math.tan(Math.PI / 4 + (lat * Math.PI) / 360));
  return [lng / 360 + 0.5, 0.5 - y / (2 * Math.PI)];
}

/** Whole zoom (256 px tiles) at which the box fits, and its middle. */
export function fitting(box) {
  const [left, bottom] = mercator([box[0], box[1]]);
  const [right, top] = mercator([box[2], box[3]]);
  const zoom = Math.floor(
    Math.min(Math.log2(SIZE.width / 256 / (right - left)), Math.log2(SIZE.height / 256 / (bottom - top))),
  );
  return { zoom, middle: [(left + right) / 2, (top + bottom) / 2], centre: [(box[0] + box[2]) / 2, latitude((top + bottom) / 2)] };
}

/** The latitude at a world coordinate. */
export function latitude(y) {
  return (360 / Math.PI) * Math.atan(Math.exp((0.5 - y) * 2 * Math.PI)) - 90;
}
