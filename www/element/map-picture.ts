/**
 * A piece of the map as a picture for paper: the engine's tiles, paths and names above them, the outlines of the chosen
 * stands, a scale bar, and an arrow to the north.
 *
 * In: the session, a box in degrees, outlines, the words for the scale. Out: a PNG as a data address, its size and its
 * scale. It is drawn light whatever the screen does, since paper is. Base maps of others are left out: their pictures
 * cannot be carried away. Left to others: the page around it (visit-sheet.ts).
 */
import { INKS } from "./context-look.ts";
import { project } from "./outlines.ts";
import { drawContext, type Frame } from "./overlay.ts";
import type { Box, FlatOutline } from "./protocol.ts";
import { roundLength } from "./scale-bar.ts";
import type { Session } from "./session.ts";
import type { Words } from "./words.ts";

/** Sides of the picture and of a tile, in CSS pixels. */
const WIDE = 640;
const HIGH = 400;
const TILE = 256;
/** Pixels of the file to a CSS pixel: the first whose file is light enough, else the last. */
const RATIOS = [1.5, 1.25, 1];
/** The longest address of a picture, in letters: a page of many small stands is still a light file. */
const LONGEST = 200_000;
/** The ground that is shown beside the stands, as a part of their box, and at the least in map metres. */
const BESIDE = 0.35;
const LEAST = 600;
/** The closest and the farthest tiles, by zoom. */
const ZOOM = { least: 3, most: 17 } as const;
/** Map metres to a pixel of a tile at zoom 0 (EPSG:3857). */
const WORLD = (2 * Math.PI * 6_378_137) / TILE;

/** The picture. */
export interface Picture {
  url: string;
  width: number;
  height: number;
}

/** One chosen stand on the picture. */
export interface PicturedStand {
  label: string;
  inside: [number, number];
  outline: FlatOutline;
}

/** Draws the picture. Null where this browser gives no canvas to draw on. */
export async function mapPicture(
  session: Session,
  words: Words,
  box: Box,
  stands: readonly PicturedStand[],
): Promise<Picture | null> {
  let url: string | null = null;
  for (const ratio of RATIOS) {
    url = await drawn(session, words, box, stands, ratio);
    if (url === null || url.length <= LONGEST) break;
  }
  return url === null ? null : { url, width: WIDE, height: HIGH };
}

async function drawn(
  session: Session,
  words: Words,
  box: Box,
  stands: readonly PicturedStand[],
  ratio: number,
): Promise<string | null> {
  const frame = frameOf(box);
  const canvas = document.createElement("canvas");
  canvas.width = WIDE * ratio;
  canvas.height = HIGH * ratio;
  const context = canvas.getContext("2d");
  if (context === null) return null;
  context.scale(ratio, ratio);
  context.fillStyle = "#fff";
  context.fillRect(0, 0, WIDE, HIGH);
  await drawTiles(context, session, frame, ratio);
  drawContext(context, session.context, frame, INKS.light, ratio);
  for (const stand of stands) drawStand(context, stand, frame, stands.length > 1);
  drawScale(context, words, frame, box);
  drawNorth(context);
  context.strokeStyle = "#000";
  context.lineWidth = 1;
  context.strokeRect(0.5, 0.5, WIDE - 1, HIGH - 1);
  fewerColours(context, canvas.width, canvas.height);
  return canvas.toDataURL("image/png");
}

/** Sixteen levels of each colour are enough for paper, and pack to less than half. */
function fewerColours(context: CanvasRenderingContext2D, width: number, height: number): void {
  const image = context.getImageData(0, 0, width, height);
  const { data } = image;
  for (let at = 0; at < data.length; at += 1) {
    data[at] = Math.round((data[at] ?? 0) / 17) * 17;
  }
  context.putImageData(image, 0, 0);
}

/** The frame around a box, at a zoom whose tiles are drawn pixel for pixel. */
function frameOf([west, south, east, north]: Box): Frame {
  const [left, bottom] = project(west, south);
  const [right, top] = project(east, north);
  const width = Math.max((right - left) * (1 + BESIDE), LEAST);
  const height = Math.max((top - bottom) * (1 + BESIDE), LEAST);
  const wanted = Math.max(width / WIDE, height / HIGH);
  const zoom = Math.max(ZOOM.least, Math.min(ZOOM.most, Math.floor(Math.log2(WORLD / wanted))));
  const resolution = WORLD / 2 ** zoom;
  return {
    resolution,
    left: (left + right) / 2 - (WIDE / 2) * resolution,
    top: (top + bottom) / 2 + (HIGH / 2) * resolution,
    width: WIDE,
    height: HIGH,
  };
}

async function drawTiles(
  context: CanvasRenderingContext2D,
  session: Session,
  frame: Frame,
  ratio: number,
): Promise<void> {
  const zoom = Math.round(Math.log2(WORLD / frame.resolution));
  const edge = (WORLD * TILE) / 2;
  const side = TILE * frame.resolution;
  const look = {
    size: TILE,
    ratio,
    scheme: "light" as const,
    moreContrast: true,
    ...session.look(),
  };
  const first = { x: Math.floor((frame.left + edge) / side), y: Math.floor((edge - frame.top) / side) };
  const drawn: Promise<void>[] = [];
  const count = 2 ** zoom;
  for (let y = first.y; y * TILE * frame.resolution < edge - frame.top + HIGH * frame.resolution; y += 1) {
    for (let x = first.x; x * TILE * frame.resolution < frame.left + edge + WIDE * frame.resolution; x += 1) {
      if (y < 0 || y >= count) continue;
      const at = {
        x: Math.round((x * side - edge - frame.left) / frame.resolution),
        y: Math.round((frame.top - (edge - y * side)) / frame.resolution),
      };
      const around = ((x % count) + count) % count;
      drawn.push(
        session.ask("tile", { z: zoom, x: around, y, look }).then((tile) => {
          context.drawImage(tile, at.x, at.y, TILE, TILE);
          tile.close();
        }),
      );
    }
  }
  await Promise.all(drawn);
}

/** A band of white under a black line is seen on every fill; several stands are told apart by their labels. */
function drawStand(
  context: CanvasRenderingContext2D,
  { label, inside, outline }: PicturedStand,
  frame: Frame,
  labelled: boolean,
): void {
  const x = (east: number): number => (east - frame.left) / frame.resolution;
  const y = (north: number): number => (frame.top - north) / frame.resolution;
  context.beginPath();
  let from = 0;
  for (const end of outline.ends.flat()) {
    for (let at = from; at + 1 < end; at += 2) {
      const [px, py] = [x(outline.coordinates[at] ?? 0), y(outline.coordinates[at + 1] ?? 0)];
      if (at === from) context.moveTo(px, py);
      else context.lineTo(px, py);
    }
    context.closePath();
    from = end;
  }
  context.lineJoin = "round";
  context.strokeStyle = "#fff";
  context.lineWidth = 6;
  context.stroke();
  context.strokeStyle = "#000";
  context.lineWidth = 2.5;
  context.stroke();
  if (!labelled) return;
  const [east, north] = project(...inside);
  lettered(context, label, x(east), y(north), "center");
}

function drawScale(context: CanvasRenderingContext2D, words: Words, frame: Frame, box: Box): void {
  const middle = (box[1] + box[3]) / 2;
  const metresPerPixel = frame.resolution * Math.cos((middle * Math.PI) / 180);
  const metres = roundLength(140 * metresPerPixel);
  const length = metres / metresPerPixel;
  const [left, bottom] = [14, HIGH - 14];
  context.fillStyle = "rgb(255 255 255 / 0.85)";
  context.fillRect(left - 6, bottom - 26, length + 12, 32);
  context.strokeStyle = "#000";
  context.lineWidth = 2;
  context.beginPath();
  context.moveTo(left, bottom - 6);
  context.lineTo(left, bottom);
  context.lineTo(left + length, bottom);
  context.lineTo(left + length, bottom - 6);
  context.stroke();
  const text =
    metres >= 1000
      ? words.number(metres / 1000, "kilometer", 0, true)
      : words.number(metres, "meter", 0, true);
  lettered(context, text, left + length / 2, bottom - 14, "center");
}

function drawNorth(context: CanvasRenderingContext2D): void {
  const [x, y] = [WIDE - 26, 16];
  context.fillStyle = "rgb(255 255 255 / 0.85)";
  context.fillRect(x - 16, y - 8, 32, 52);
  context.fillStyle = "#000";
  context.beginPath();
  context.moveTo(x, y - 2);
  context.lineTo(x + 9, y + 34);
  context.lineTo(x, y + 27);
  context.lineTo(x - 9, y + 34);
  context.closePath();
  context.fill();
}

function lettered(
  context: CanvasRenderingContext2D,
  text: string,
  x: number,
  y: number,
  align: CanvasTextAlign,
): void {
  context.font = "600 13px system-ui, sans-serif";
  context.textAlign = align;
  context.textBaseline = "middle";
  context.lineJoin = "round";
  context.strokeStyle = "#fff";
  context.lineWidth = 4;
  context.strokeText(text, x, y);
  context.fillStyle = "#000";
  context.fillText(text, x, y);
}
