/**
 * Outlines and context things made ready for drawing, inside the worker.
 *
 * In: the bytes of a small GeoJSON. Out: flat coordinates in map metres (EPSG:3857, the spherical Mercator formulas
 * of the EPSG Guidance Note 7-2), so that the page only hands numbers to the map. Features that cannot be drawn are
 * left out. Left to others: how things look (context-look.ts).
 */
import type { ContextThing, FlatOutline } from "./protocol.ts";

/** The radius of the sphere of EPSG:3857, in metres. */
const RADIUS = 6_378_137;
/** Beyond this latitude the projection has no room, in degrees. */
const LAST_LATITUDE = 85.051_128;
/** The most context things that are drawn; a context file is small by its nature. */
const MOST_THINGS = 20_000;
/** The longest name that is written on the map, in characters. */
const LONGEST_NAME = 80;

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** Degrees to map metres. */
export function project(lng: number, lat: number): [number, number] {
  const held = Math.max(-LAST_LATITUDE, Math.min(LAST_LATITUDE, lat));
  const x = (RADIUS * lng * Math.PI) / 180;
  const y = RADIUS * Math.log(Math.tan(Math.PI / 4 + (held * Math.PI) / 360));
  return [x, y];
}

/** Map metres to degrees. */
export function unproject(x: number, y: number): [lng: number, lat: number] {
  return [((x / RADIUS) * 180) / Math.PI, (2 * Math.atan(Math.exp(y / RADIUS)) * 180) / Math.PI - 90];
}

/** The outline of one stand, from the GeoJSON the engine writes; null where there is no area in it. */
export function flatOutline(bytes: Uint8Array): FlatOutline | null {
  const ends: number[][] = [];
  const flat: number[] = [];
  for (const polygon of polygonsOf(JSON.parse(new TextDecoder().decode(bytes)) as Json)) {
    const ringEnds: number[] = [];
    for (const ring of polygon) {
      if (pushLine(ring, flat)) ringEnds.push(flat.length);
    }
    if (ringEnds.length > 0) ends.push(ringEnds);
  }
  return ends.length === 0 ? null : { coordinates: new Float64Array(flat), ends };
}

/** The things of a context file. @throws SyntaxError where the file is no JSON */
export function contextThings(bytes: Uint8Array): ContextThing[] {
  const json = JSON.parse(new TextDecoder().decode(bytes)) as Json;
  const features = member(json, "features");
  const things: ContextThing[] = [];
  for (const feature of Array.isArray(features) ? features.slice(0, MOST_THINGS) : []) {
    const properties = member(feature, "properties");
    const role = member(properties, "role");
    const name = member(properties, "name");
    const about = {
      role: typeof role === "string" ? role : "other",
      ...(typeof name === "string" && name !== "" ? { name: name.slice(0, LONGEST_NAME) } : {}),
    };
    for (const drawn of shapesOf(member(feature, "geometry"))) things.push({ ...about, ...drawn });
  }
  return things;
}

type Drawn = Pick<ContextThing, "shape" | "coordinates" | "ends">;

function shapesOf(geometry: Json): Drawn[] {
  const at = member(geometry, "coordinates");
  const list = Array.isArray(at) ? at : [];
  switch (member(geometry, "type")) {
    case "Point":
      return point(at);
    case "MultiPoint":
      return list.flatMap(point);
    case "LineString":
      return line(at);
    case "MultiLineString":
      return list.flatMap(line);
    case "Polygon":
      return area(at);
    case "MultiPolygon":
      return list.flatMap(area);
    default:
      return [];
  }
}

function point(at: Json): Drawn[] {
  const flat: number[] = [];
  return pushPosition(at, flat) ? [{ shape: "point", coordinates: new Float64Array(flat), ends: [] }] : [];
}

function line(at: Json): Drawn[] {
  const flat: number[] = [];
  return pushLine(at, flat) ? [{ shape: "line", coordinates: new Float64Array(flat), ends: [] }] : [];
}

function area(at: Json): Drawn[] {
  const flat: number[] = [];
  const ends: number[] = [];
  for (const ring of Array.isArray(at) ? at : []) {
    if (pushLine(ring, flat)) ends.push(flat.length);
  }
  return ends.length === 0 ? [] : [{ shape: "area", coordinates: new Float64Array(flat), ends }];
}

function polygonsOf(json: Json): Json[][] {
  const features = member(json, "features");
  if (Array.isArray(features)) return features.flatMap(polygonsOf);
  const geometry = member(json, "geometry");
  const shape = geometry === null ? json : geometry;
  const at = member(shape, "coordinates");
  if (!Array.isArray(at)) return [];
  if (member(shape, "type") === "Polygon") return [at];
  if (member(shape, "type") === "MultiPolygon") return at.filter((polygon) => Array.isArray(polygon));
  return [];
}

/** Appends a line's positions; takes back what it wrote where one of them is no position. */
function pushLine(at: Json, flat: number[]): boolean {
  const before = flat.length;
  if (Array.isArray(at) && at.length > 1 && at.every((position) => pushPosition(position, flat))) return true;
  flat.length = before;
  return false;
}

function pushPosition(at: Json, flat: number[]): boolean {
  if (!Array.isArray(at)) return false;
  const [lng, lat] = at;
  if (typeof lng !== "number" || typeof lat !== "number") return false;
  if (Math.abs(lng) > 540 || Math.abs(lat) > 90) return false;
  flat.push(...project(lng, lat));
  return true;
}

function member(json: Json, name: string): Json {
  if (json === null || typeof json !== "object" || Array.isArray(json)) return null;
  return Object.hasOwn(json, name) ? (json[name] ?? null) : null;
}
