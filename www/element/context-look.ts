/**
 * How paths, car parks, water and names look above the shading: our own quiet symbols and lettering.
 *
 * In: a thing's role and how near the map is. Out: inks, lines, symbols, lettering. A role without a look of its own
 * gets a thin line or a plain name. Left to others: drawing (overlay.ts, labels.ts).
 */
import type { Scheme } from "./protocol.ts";

/** The inks of one scheme. */
export interface Inks {
  paper: string;
  ink: string;
  soft: string;
  accent: string;
  water: string;
  waterInk: string;
  open: string;
  path: string;
  road: string;
}

/** The inks of both schemes. */
export const INKS: Record<Scheme, Inks> = {
  light: {
    paper: "#fffcf4",
    ink: "#221e17",
    soft: "#5a5142",
    accent: "#8a3512",
    water: "#c3d6dc",
    waterInk: "#2b5564",
    open: "#f1ecdb",
    path: "#5d4c32",
    road: "#fffdf6",
  },
  dark: {
    paper: "#15130f",
    ink: "#fff3dc",
    soft: "#c3b89f",
    accent: "#f0a878",
    water: "#2b4048",
    waterInk: "#a9cbd8",
    open: "#25221c",
    path: "#d9c6a0",
    road: "#544c40",
  },
};

/** How near the map is: small things are left out from afar. */
export type Reach = "near" | "middle" | "far";

/** The reach at this many map metres to a pixel. */
export function reachOf(resolution: number): Reach {
  if (resolution < 12) return "near";
  return resolution < 45 ? "middle" : "far";
}

/** One stroke of a line, in CSS pixels. */
export interface LineLook {
  ink: keyof Inks;
  width: number;
  dash?: readonly number[];
}

/** The lettering of a name. Lower `rank` finds its place first. */
export interface Lettering {
  font: string;
  ink: keyof Inks;
  rank: number;
  /** How far below its point the name stands, in CSS pixels. */
  drop?: number;
}

/** How one role looks. `lines` are drawn one above the other. */
export interface Look {
  fill?: keyof Inks;
  edge?: LineLook;
  lines?: readonly LineLook[];
  symbol?: (context: CanvasRenderingContext2D, x: number, y: number, inks: Inks) => void;
  letters?: Lettering;
}

const SERIF = '"Iowan Old Style", "Palatino Linotype", Palatino, Georgia, serif';
const SANS = "system-ui, sans-serif";

/** The look of a role. */
export function lookOf(role: string, reach: Reach): Look {
  const near = reach === "near";
  switch (role) {
    case "water":
    case "lake":
    case "pond":
    case "river":
      return {
        fill: "water",
        edge: { ink: "waterInk", width: 0.8 },
        lines: [
          { ink: "waterInk", width: near ? 5.4 : 3.6 },
          { ink: "water", width: near ? 4 : 2.4 },
        ],
        letters: { font: `italic 14px ${SERIF}`, ink: "waterInk", rank: 3 },
      };
    case "stream":
      return {
        lines: reach === "far" ? [{ ink: "waterInk", width: 0.6 }] : [{ ink: "waterInk", width: 1.2 }],
        ...(reach === "far" ? {} : { letters: { font: `italic 12px ${SERIF}`, ink: "waterInk", rank: 6 } }),
      };
    case "meadow":
    case "field":
    case "clearing":
      return { fill: "open" };
    case "road":
      return {
        lines: [
          { ink: "soft", width: near ? 5 : 3.2 },
          { ink: "road", width: near ? 3.2 : 1.8 },
        ],
        ...(near ? { letters: { font: `12px ${SANS}`, ink: "soft", rank: 7 } } : {}),
      };
    case "track":
      return {
        lines: [{ ink: "path", width: near ? 1.8 : 1.2, dash: [9, 4] }],
        ...(near ? { letters: { font: `italic 12px ${SERIF}`, ink: "path", rank: 8 } } : {}),
      };
    case "path":
      return {
        ...(reach === "far" ? {} : { lines: [{ ink: "path", width: near ? 1.6 : 1.1, dash: [1.5, 4] }] }),
        ...(near ? { letters: { font: `italic 12px ${SERIF}`, ink: "path", rank: 9 } } : {}),
      };
    case "car_park":
      return reach === "far"
        ? {}
        : {
            symbol: carPark,
            ...(near ? { letters: { font: `12px ${SANS}`, ink: "ink", rank: 5, drop: 18 } } : {}),
          };
    case "viewpoint":
      return reach === "far"
        ? {}
        : { symbol: viewpoint, letters: { font: `italic 12px ${SERIF}`, ink: "ink", rank: 4, drop: 15 } };
    case "place":
    case "village":
    case "settlement":
      return {
        fill: "open",
        edge: { ink: "soft", width: 1 },
        symbol: village,
        letters: { font: `600 15px ${SERIF}`, ink: "ink", rank: 1, drop: 14 },
      };
    default:
      return {
        lines: [{ ink: "soft", width: 1 }],
        edge: { ink: "soft", width: 1 },
        ...(reach === "far" ? {} : { letters: { font: `italic 13px ${SERIF}`, ink: "soft", rank: 5 } }),
      };
  }
}

function carPark(context: CanvasRenderingContext2D, x: number, y: number, inks: Inks): void {
  context.fillStyle = inks.ink;
  context.strokeStyle = inks.paper;
  context.lineWidth = 1.5;
  context.beginPath();
  context.rect(x - 7.5, y - 7.5, 15, 15);
  context.fill();
  context.stroke();
  context.fillStyle = inks.paper;
  context.font = `bold 11px ${SANS}`;
  context.textAlign = "center";
  context.textBaseline = "middle";
  context.fillText("P", x, y + 0.5);
}

function viewpoint(context: CanvasRenderingContext2D, x: number, y: number, inks: Inks): void {
  context.fillStyle = inks.ink;
  context.strokeStyle = inks.paper;
  context.lineWidth = 1.5;
  context.beginPath();
  context.moveTo(x, y - 7);
  context.lineTo(x + 6.5, y + 5);
  context.lineTo(x - 6.5, y + 5);
  context.closePath();
  context.fill();
  context.stroke();
}

function village(context: CanvasRenderingContext2D, x: number, y: number, inks: Inks): void {
  context.fillStyle = inks.paper;
  context.strokeStyle = inks.ink;
  context.lineWidth = 1.8;
  context.beginPath();
  context.arc(x, y, 3.6, 0, 2 * Math.PI);
  context.fill();
  context.stroke();
}
