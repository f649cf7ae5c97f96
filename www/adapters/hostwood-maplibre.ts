/**
 * The shading as a layer for MapLibre GL JS.
 *
 * In: the library itself, as the page has it, a map whose style is loaded, and an open stand map. Out: a raster source
 * and layer on that map that draw the engine's tiles through a protocol of their own, are drawn anew when stands are
 * assessed anew, and tell which stand was clicked; and the way to take them off again. Left to others: the stand map
 * (hostwood-stand-map.ts); what the page makes of a click.
 */
import type { Look, StandMap } from "./hostwood-stand-map.ts";

/** What the layer needs besides the stand map. */
export interface ShadingOptions extends Look {
  /** A stand was clicked, or, with null, a place without one. */
  onStand?: (id: string | null, place: { lng: number; lat: number }) => void;
  /** A tile could not be drawn, or a click not answered. */
  onFault?: (error: unknown) => void;
  /** Credit of the stand map's publisher. The library shows it as HTML: hand over text of your own only. */
  attribution?: string;
  /** From 0 to 1. */
  opacity?: number;
  /** Id of the layer of the style below which the shading lies, such as the first layer of names. */
  before?: string;
}

/** The parts of the library that are used. */
export interface MapLibreParts {
  addProtocol(
    name: string,
    load: (request: { url: string }, abort: AbortController) => Promise<{ data: ImageBitmap }>,
  ): void;
  removeProtocol(name: string): void;
}

/** What is used of the library's map. */
export interface MapLibreMap {
  addSource(id: string, source: RasterSource): unknown;
  addLayer(layer: RasterLayer, before?: string): unknown;
  removeLayer(id: string): unknown;
  removeSource(id: string): unknown;
  getSource(id: string): unknown;
  on(kind: "click", act: (event: MapLibreClick) => void): unknown;
  off(kind: "click", act: (event: MapLibreClick) => void): unknown;
}

interface RasterSource {
  type: "raster";
  tiles: string[];
  tileSize: number;
  maxzoom: number;
  bounds?: [number, number, number, number];
  attribution?: string;
}

interface RasterLayer {
  id: string;
  type: "raster";
  source: string;
  paint: {
    "raster-opacity": number;
    "raster-fade-duration": number;
    "raster-resampling": "nearest" | "linear";
  };
}

interface MapLibreClick {
  lngLat: { wrap(): { lng: number; lat: number } };
}

/** The shading on a map. */
export interface Shading {
  /** The id of source and layer on the map. */
  readonly id: string;
  /** Shows another view, or how well the stands suit another kind. */
  look(look: Look): void;
  /** Outlines one stand, or none. */
  select(id: string | null): void;
  /** Takes the layer off the map. The stand map stays open. */
  remove(): void;
}

/** Sides of a tile, in CSS pixels. */
const TILE = 256;
/** The most device pixels to a CSS pixel that are drawn. */
const MOST_RATIO = 2;
/** The closest zoom of the pyramid. */
const CLOSEST = 22;

/** Layers made on this page so far: each has a name of its own. */
let made = 0;

/** Lays the shading on a map. */
export function addShading(
  library: MapLibreParts,
  map: MapLibreMap,
  stands: StandMap,
  options: ShadingOptions = {},
): Shading {
  const { onStand, onFault, attribution, opacity = 1, before, ...firstLook } = options;
  let look: Look = firstLook;
  let selected: string | null = null;
  let change = 0;
  made += 1;
  const id = `hostwood-${String(made)}`;
  const ratio = Math.max(1, Math.min(MOST_RATIO, Math.round(devicePixelRatio * 4) / 4));
  const failed = (error: unknown): void => {
    if (!(error instanceof DOMException && error.name === "AbortError")) onFault?.(error);
  };
  const tiles = (): string[] => [`${id}://${String(change)}/{z}/{x}/{y}`];

  library.addProtocol(id, async ({ url }, abort) => {
    const [z = 0, x = 0, y = 0] = url.split("/").slice(-3).map(Number);
    const wanted = { ...look, size: TILE, ratio, ...(selected === null ? {} : { selected }) };
    try {
      return { data: await stands.tile(z, x, y, wanted, abort.signal) };
    } catch (error) {
      failed(error);
      throw error;
    }
  });
  map.addSource(id, {
    type: "raster",
    tiles: tiles(),
    tileSize: TILE,
    maxzoom: CLOSEST,
    ...(stands.bounds === null ? {} : { bounds: stands.bounds }),
    ...(attribution === undefined ? {} : { attribution }),
  });
  map.addLayer(
    {
      id,
      type: "raster",
      source: id,
      paint: { "raster-opacity": opacity, "raster-fade-duration": 0, "raster-resampling": "nearest" },
    },
    before,
  );
  const outdate = (): void => {
    change += 1;
    const source = map.getSource(id) as { setTiles(tiles: string[]): void } | undefined;
    source?.setTiles(tiles());
  };
  const clicked = (event: MapLibreClick): void => {
    const { lng, lat } = event.lngLat.wrap();
    stands.standAt(lng, lat).then((stand) => onStand?.(stand, { lng, lat }), failed);
  };

  stands.addEventListener("change", outdate);
  if (onStand !== undefined) map.on("click", clicked);
  return {
    id,
    look: (changed) => {
      look = changed;
      outdate();
    },
    select: (stand) => {
      if (stand === selected) return;
      selected = stand;
      outdate();
    },
    remove: () => {
      stands.removeEventListener("change", outdate);
      map.off("click", clicked);
      map.removeLayer(id);
      map.removeSource(id);
      library.removeProtocol(id);
    },
  };
}
