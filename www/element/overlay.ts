/**
 * What is drawn above the shading: paths, car parks, water and names, and the outlines of stands.
 *
 * In: context things and outlines in map metres, the scheme, and for each frame the view. Out: one canvas. It is
 * drawn here and not by the map library, because the library measures text by writing markup, which a strict content
 * policy refuses. Left to others: the looks (context-look.ts), where labels find room (labels.ts), reading the file
 * (outlines.ts).
 */
import Layer from "ol/layer/Layer.js";
import type { FrameState } from "ol/Map.js";
import { INKS, lookOf, reachOf, type Inks, type LineLook } from "./context-look.ts";
import { labelsOf, placeLabels, type Label } from "./labels.ts";
import type { ContextThing, FlatOutline, Scheme } from "./protocol.ts";

/** Things of one role and shape as one path, measured from the overlay's origin. */
interface Group {
  role: string;
  shape: ContextThing["shape"];
  path: Path2D;
  points: number[];
}

/** How the map's metres become the canvas's pixels. */
export interface Frame {
  /** Map metres to a CSS pixel. */
  resolution: number;
  /** Map metres at the canvas's left and top edge. */
  left: number;
  top: number;
  width: number;
  height: number;
}

/** Context things made ready to be drawn again and again: one path a role and shape, and the names. */
class ContextDrawing {
  /** The first of the coordinates, from which short numbers are drawn. */
  readonly origin: [number, number];
  readonly #groups: Group[];
  readonly #labels: Label[];

  constructor(things: readonly ContextThing[]) {
    const first = things[0]?.coordinates;
    this.origin = [first?.[0] ?? 0, first?.[1] ?? 0];
    const groups = new Map<string, Group>();
    for (const thing of things) {
      const key = `${thing.role}/${thing.shape}`;
      const group = groups.get(key) ?? {
        role: thing.role,
        shape: thing.shape,
        path: new Path2D(),
        points: [],
      };
      groups.set(key, group);
      if (thing.shape === "point") group.points.push(...thing.coordinates);
      else trace(group.path, thing.coordinates, thing.shape === "area" ? thing.ends : [], this.origin);
    }
    this.#groups = [...groups.values()];
    this.#labels = labelsOf(things);
  }

  /** Draws in metres from the origin from here on. */
  toMap(context: CanvasRenderingContext2D, frame: Frame, ratio: number): void {
    const scale = ratio / frame.resolution;
    const dx = (this.origin[0] - frame.left) * scale;
    const dy = (frame.top - this.origin[1]) * scale;
    context.setTransform(scale, 0, 0, -scale, dx, dy);
  }

  /** All areas, then all lines in the order of their looks. The context draws in metres from the origin. */
  shapes(context: CanvasRenderingContext2D, resolution: number, inks: Inks): void {
    const reach = reachOf(resolution);
    context.lineCap = "round";
    context.lineJoin = "round";
    for (const group of this.#groups) {
      if (group.shape !== "area") continue;
      const look = lookOf(group.role, reach);
      if (look.fill !== undefined) {
        context.fillStyle = inks[look.fill];
        context.fill(group.path, "evenodd");
      }
      if (look.edge !== undefined) stroke(context, group.path, look.edge, resolution, inks);
    }
    const lines = this.#groups.filter((group) => group.shape === "line");
    const passes = Math.max(0, ...lines.map((group) => lookOf(group.role, reach).lines?.length ?? 0));
    for (let pass = 0; pass < passes; pass += 1) {
      for (const group of lines) {
        const line = lookOf(group.role, reach).lines?.[pass];
        if (line !== undefined) stroke(context, group.path, line, resolution, inks);
      }
    }
  }

  /** Symbols, then names where they find room. The context draws in CSS pixels. */
  names(context: CanvasRenderingContext2D, frame: Frame, inks: Inks): void {
    const reach = reachOf(frame.resolution);
    for (const group of this.#groups) {
      const symbol = lookOf(group.role, reach).symbol;
      if (symbol === undefined) continue;
      for (let at = 0; at + 1 < group.points.length; at += 2) {
        const x = ((group.points[at] ?? 0) - frame.left) / frame.resolution;
        const y = (frame.top - (group.points[at + 1] ?? 0)) / frame.resolution;
        if (x < -20 || y < -20 || x > frame.width + 20 || y > frame.height + 20) continue;
        symbol(context, x, y, inks);
      }
    }
    placeLabels(context, this.#labels, frame, reach, inks);
  }
}

/** Draws context things once, for a picture. `ratio` is pixels to a CSS pixel. */
export function drawContext(
  context: CanvasRenderingContext2D,
  things: readonly ContextThing[],
  frame: Frame,
  inks: Inks,
  ratio: number,
): void {
  const drawing = new ContextDrawing(things);
  context.save();
  drawing.toMap(context, frame, ratio);
  drawing.shapes(context, frame.resolution, inks);
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  drawing.names(context, frame, inks);
  context.restore();
}

/** The overlay and its layer. */
export class Overlay {
  readonly layer: Layer;
  readonly #canvas = document.createElement("canvas");
  #inks: Inks;
  #context = new ContextDrawing([]);
  #chosen: Path2D | null = null;
  #walked: Path2D | null = null;

  constructor(scheme: Scheme) {
    this.#inks = INKS[scheme];
    this.#canvas.style.position = "absolute";
    this.#canvas.style.inset = "0";
    this.layer = new Layer({
      render: (frame: FrameState | null) => {
        if (frame !== null) this.#draw(frame);
        return this.#canvas;
      },
    });
  }

  /** Light or dark. */
  setScheme(scheme: Scheme): void {
    this.#inks = INKS[scheme];
    this.layer.changed();
  }

  /** Takes the context. */
  setContext(things: readonly ContextThing[]): void {
    this.#context = new ContextDrawing(things);
    this.layer.changed();
  }

  /** The outline of the stand whose sheet is open. */
  setChosen(outline: FlatOutline | null): void {
    this.#chosen = this.#pathOf(outline);
    this.layer.changed();
  }

  /** The outline of the stand that the keyboard has walked to. */
  setWalked(outline: FlatOutline | null): void {
    this.#walked = this.#pathOf(outline);
    this.layer.changed();
  }

  #pathOf(outline: FlatOutline | null): Path2D | null {
    if (outline === null) return null;
    const path = new Path2D();
    trace(path, outline.coordinates, outline.ends.flat(), this.#context.origin);
    return path;
  }

  #draw(state: FrameState): void {
    const [width = 0, height = 0] = state.size;
    const ratio = state.pixelRatio;
    const { center, resolution } = state.viewState;
    const [x = 0, y = 0] = center;
    const frame: Frame = {
      resolution,
      left: x - (width / 2) * resolution,
      top: y + (height / 2) * resolution,
      width,
      height,
    };
    const context = this.#ready(width, height, ratio);
    if (context === null) return;
    this.#context.toMap(context, frame, ratio);
    this.#context.shapes(context, resolution, this.#inks);
    this.#drawOutline(context, this.#walked, resolution, this.#inks.accent, [8, 5]);
    this.#drawOutline(context, this.#chosen, resolution, this.#inks.ink, []);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.#context.names(context, frame, this.#inks);
  }

  /** The canvas at the right size, cleared. */
  #ready(width: number, height: number, ratio: number): CanvasRenderingContext2D | null {
    const across = Math.round(width * ratio);
    const down = Math.round(height * ratio);
    if (this.#canvas.width !== across || this.#canvas.height !== down) {
      this.#canvas.width = across;
      this.#canvas.height = down;
      this.#canvas.style.inlineSize = `${String(width)}px`;
      this.#canvas.style.blockSize = `${String(height)}px`;
    }
    const context = this.#canvas.getContext("2d");
    context?.setTransform(1, 0, 0, 1, 0, 0);
    context?.clearRect(0, 0, across, down);
    return context;
  }

  /** A band of paper under a line of ink is seen on every fill, light or dark. */
  #drawOutline(
    context: CanvasRenderingContext2D,
    path: Path2D | null,
    resolution: number,
    colour: string,
    dash: number[],
  ): void {
    if (path === null) return;
    context.lineJoin = "round";
    context.setLineDash([]);
    context.strokeStyle = this.#inks.paper;
    context.lineWidth = 7 * resolution;
    context.stroke(path);
    context.setLineDash(dash.map((length) => length * resolution));
    context.strokeStyle = colour;
    context.lineWidth = 3 * resolution;
    context.stroke(path);
    context.setLineDash([]);
  }
}

/** Adds flat coordinates to a path; `ends` closes rings, none leaves one open line. */
function trace(path: Path2D, flat: Float64Array, ends: readonly number[], origin: [number, number]): void {
  let from = 0;
  for (const end of ends.length === 0 ? [flat.length] : ends) {
    for (let at = from; at + 1 < end; at += 2) {
      const x = (flat[at] ?? 0) - origin[0];
      const y = (flat[at + 1] ?? 0) - origin[1];
      if (at === from) path.moveTo(x, y);
      else path.lineTo(x, y);
    }
    if (ends.length > 0) path.closePath();
    from = end;
  }
}

function stroke(
  context: CanvasRenderingContext2D,
  path: Path2D,
  look: LineLook,
  resolution: number,
  inks: Inks,
): void {
  context.strokeStyle = inks[look.ink];
  context.lineWidth = look.width * resolution;
  context.setLineDash((look.dash ?? []).map((length) => length * resolution));
  context.stroke(path);
  context.setLineDash([]);
}
