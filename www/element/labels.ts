/**
 * Where names find room on the map.
 *
 * In: context things with names; for each frame the view. Out: names drawn so that none covers another; the more
 * important ones go first. A line's name lies along it. Left to others: the lettering (context-look.ts).
 */
import { lookOf, type Inks, type Reach } from "./context-look.ts";
import type { Frame } from "./overlay.ts";
import type { ContextThing } from "./protocol.ts";

/** A name and where it belongs, in map metres. */
export interface Label {
  name: string;
  role: string;
  shape: ContextThing["shape"];
  x: number;
  y: number;
  /** For lines: the flat coordinates that the name lies along. */
  along: Float64Array | null;
}

type Rect = [left: number, top: number, right: number, bottom: number];

/** Room left around a name, in CSS pixels. */
const MARGIN = 4;

/** The names in these things. */
export function labelsOf(things: readonly ContextThing[]): Label[] {
  return things.flatMap((thing) => {
    if (thing.name === undefined) return [];
    const [x, y] = anchor(thing);
    const along = thing.shape === "line" ? thing.coordinates : null;
    return [{ name: thing.name, role: thing.role, shape: thing.shape, x, y, along }];
  });
}

/** Draws as many names as find room. The context is in CSS pixels. */
export function placeLabels(
  context: CanvasRenderingContext2D,
  labels: readonly Label[],
  frame: Frame,
  reach: Reach,
  inks: Inks,
): void {
  const lettered = labels
    .flatMap((label) => {
      const letters = lookOf(label.role, reach).letters;
      return letters === undefined ? [] : [{ label, letters }];
    })
    .sort((one, other) => one.letters.rank - other.letters.rank);
  const taken: Rect[] = [];
  context.textAlign = "center";
  context.textBaseline = "middle";
  context.lineJoin = "round";
  for (const { label, letters } of lettered) {
    context.font = letters.font;
    const width = context.measureText(label.name).width;
    const place = label.along === null ? spot(label, frame) : lie(label.along, frame, width);
    if (place === null) continue;
    const drop = label.shape === "point" ? (letters.drop ?? 0) : 0;
    const rect = around(place.x, place.y + drop, width, 14, place.turn);
    if (taken.some((other) => overlap(rect, other))) continue;
    taken.push(rect);
    context.save();
    context.translate(place.x, place.y + drop);
    context.rotate(place.turn);
    context.strokeStyle = inks.paper;
    context.lineWidth = 3.5;
    context.strokeText(label.name, 0, 0);
    context.fillStyle = inks[letters.ink];
    context.fillText(label.name, 0, 0);
    context.restore();
  }
}

interface Spot {
  x: number;
  y: number;
  turn: number;
}

function spot(label: Label, frame: Frame): Spot | null {
  const x = (label.x - frame.left) / frame.resolution;
  const y = (frame.top - label.y) / frame.resolution;
  const near = x > -60 && y > -30 && x < frame.width + 60 && y < frame.height + 30;
  return near ? { x, y, turn: 0 } : null;
}

/** The middle of the line, if the line is long enough for the name and straight enough there to carry it. */
function lie(flat: Float64Array, frame: Frame, width: number): Spot | null {
  const points: [number, number, number][] = [];
  let length = 0;
  for (let at = 0; at + 1 < flat.length; at += 2) {
    const x = ((flat[at] ?? 0) - frame.left) / frame.resolution;
    const y = (frame.top - (flat[at + 1] ?? 0)) / frame.resolution;
    const last = points.at(-1);
    if (last !== undefined) length += Math.hypot(x - last[0], y - last[1]);
    points.push([x, y, length]);
  }
  if (length < width * 1.3) return null;
  const from = at(points, length / 2 - width / 2);
  const to = at(points, length / 2 + width / 2);
  if (from === null || to === null) return null;
  const chord = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (chord < width * 0.93) return null;
  const x = (from[0] + to[0]) / 2;
  const y = (from[1] + to[1]) / 2;
  if (x < -60 || y < -30 || x > frame.width + 60 || y > frame.height + 30) return null;
  const turn = Math.atan2(to[1] - from[1], to[0] - from[0]);
  // Never upside down.
  return { x, y, turn: Math.abs(turn) > Math.PI / 2 ? turn + Math.PI : turn };
}

/** The point at this distance along the line. */
function at(points: readonly [number, number, number][], distance: number): [number, number] | null {
  for (let index = 1; index < points.length; index += 1) {
    const [from, to] = [points[index - 1], points[index]];
    if (from === undefined || to === undefined || to[2] < distance) continue;
    const part = to[2] === from[2] ? 0 : (distance - from[2]) / (to[2] - from[2]);
    return [from[0] + (to[0] - from[0]) * part, from[1] + (to[1] - from[1]) * part];
  }
  return null;
}

function around(x: number, y: number, width: number, height: number, turn: number): Rect {
  const across = (Math.abs(Math.cos(turn)) * width + Math.abs(Math.sin(turn)) * height) / 2 + MARGIN;
  const down = (Math.abs(Math.sin(turn)) * width + Math.abs(Math.cos(turn)) * height) / 2 + MARGIN;
  return [x - across, y - down, x + across, y + down];
}

function overlap(one: Rect, other: Rect): boolean {
  return one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3];
}

/** Points stand for themselves; an area's name stands in the middle of its first ring's box. */
function anchor(thing: ContextThing): [number, number] {
  const flat = thing.coordinates;
  if (thing.shape === "point") return [flat[0] ?? 0, flat[1] ?? 0];
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let index = 0; index + 1 < (thing.ends[0] ?? flat.length); index += 2) {
    const [x, y] = [flat[index] ?? 0, flat[index + 1] ?? 0];
    west = Math.min(west, x);
    east = Math.max(east, x);
    south = Math.min(south, y);
    north = Math.max(north, y);
  }
  return [(west + east) / 2, (south + north) / 2];
}
