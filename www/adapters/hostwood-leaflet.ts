/**
 * The shading as a layer for Leaflet, 1.9 or 2.
 *
 * In: Leaflet itself, as the page has it, and an open stand map. Out: an ordinary layer (`addTo`, `remove`,
 * `getBounds`, `getAttribution`) that draws the engine's tiles, is drawn anew in place when stands are assessed anew,
 * and tells which stand was clicked. Left to others: the stand map (hostwood-stand-map.ts); what the page makes of a
 * click.
 */
import type { Look, StandMap } from "./hostwood-stand-map.ts";

/** What the layer needs besides the stand map. */
export interface ShadingOptions extends Look {
  /** A stand was clicked, or, with null, a place without one. */
  onStand?: (id: string | null, place: { lng: number; lat: number }) => void;
  /** A tile could not be drawn, or a click not answered. */
  onFault?: (error: unknown) => void;
  /** Credit of the stand map's publisher. Leaflet shows it as HTML: hand over text of your own only. */
  attribution?: string;
  /** From 0 to 1. */
  opacity?: number;
}

/** The parts of Leaflet that are used, as both of its lines have them. */
export interface LeafletParts {
  GridLayer: new (options?: object) => GridLayer;
  latLngBounds: ((corner: [number, number], opposite: [number, number]) => unknown) | undefined;
  LatLngBounds: new (corner: [number, number], opposite: [number, number]) => unknown;
}

/** What is used of Leaflet's class of the same name. */
export interface GridLayer {
  options: object;
  on(kind: string, act: (event: { tile: HTMLElement }) => void): unknown;
  onAdd(map: LeafletMap): unknown;
  onRemove(map: LeafletMap): unknown;
  addTo(map: unknown): unknown;
  remove(): unknown;
  getTileSize(): { x: number; y: number };
}

/** What is used of Leaflet's map. */
export interface LeafletMap {
  on(kind: "click", act: (event: LeafletClick) => void): unknown;
  off(kind: "click", act: (event: LeafletClick) => void): unknown;
}

interface LeafletClick {
  latlng: { lng: number; lat: number; wrap(): { lng: number; lat: number } };
}

/** The layer: Leaflet's own, and two things more. */
export interface ShadingLayer extends GridLayer {
  /** Shows another view, or how well the stands suit another kind. */
  look(look: Look): void;
  /** Outlines one stand, or none. */
  select(id: string | null): void;
  /** The box of all stands as Leaflet's bounds; null where no stand has an outline. */
  getBounds(): unknown;
}

/** One tile on the page and the question that is out for it. */
interface Drawn {
  coords: { z: number; x: number; y: number };
  asked: AbortController | null;
  /** Leaflet's word that the tile is there; said once. */
  ready: (() => void) | null;
}

/** The most device pixels to a CSS pixel that are drawn. */
const MOST_RATIO = 2;

/** A layer for `map.addLayer` or `layer.addTo(map)`. Hand over the library as `L`. */
export function shadingLayer(L: LeafletParts, stands: StandMap, options: ShadingOptions = {}): ShadingLayer {
  const { onStand, onFault, attribution, opacity, ...firstLook } = options;
  let look: Look = firstLook;
  let selected: string | null = null;
  const tiles = new Map<HTMLElement, Drawn>();
  const ratio = Math.max(1, Math.min(MOST_RATIO, Math.round(devicePixelRatio * 4) / 4));
  const failed = (error: unknown): void => {
    if (!(error instanceof DOMException && error.name === "AbortError")) onFault?.(error);
  };

  async function draw(canvas: HTMLCanvasElement, tile: Drawn, size: number): Promise<void> {
    tile.asked?.abort();
    const asked = new AbortController();
    tile.asked = asked;
    const { z, x, y } = tile.coords;
    const wanted = { ...look, size, ratio, ...(selected === null ? {} : { selected }) };
    try {
      const bitmap = await stands.tile(z, x, y, wanted, asked.signal);
      canvas.width = bitmap.width;
      canvas.height = bitmap.height;
      canvas.getContext("bitmaprenderer")?.transferFromImageBitmap(bitmap);
    } catch (error) {
      if (asked.signal.aborted) return;
      failed(error);
    }
    tile.ready?.();
    tile.ready = null;
  }

  class Shading extends L.GridLayer {
    createTile(coords: Drawn["coords"], done: (error: undefined, tile: HTMLElement) => void): HTMLElement {
      const canvas = document.createElement("canvas");
      const tile: Drawn = {
        coords: { z: coords.z, x: coords.x, y: coords.y },
        asked: null,
        ready: () => {
          done(undefined, canvas);
        },
      };
      tiles.set(canvas, tile);
      void draw(canvas, tile, this.getTileSize().x);
      return canvas;
    }

    redrawTiles = (): void => {
      const size = this.getTileSize().x;
      for (const [canvas, tile] of tiles) void draw(canvas as HTMLCanvasElement, tile, size);
    };

    clicked = (event: LeafletClick): void => {
      const { lng, lat } = event.latlng.wrap();
      stands.standAt(lng, lat).then((id) => onStand?.(id, { lng, lat }), failed);
    };

    override onAdd(map: LeafletMap): unknown {
      stands.addEventListener("change", this.redrawTiles);
      if (onStand !== undefined) map.on("click", this.clicked);
      return super.onAdd(map);
    }

    override onRemove(map: LeafletMap): unknown {
      stands.removeEventListener("change", this.redrawTiles);
      map.off("click", this.clicked);
      for (const { asked } of tiles.values()) asked?.abort();
      tiles.clear();
      return super.onRemove(map);
    }

    look(changed: Look): void {
      look = changed;
      this.redrawTiles();
    }

    select(id: string | null): void {
      if (id === selected) return;
      selected = id;
      this.redrawTiles();
    }

    getBounds(): unknown {
      if (stands.bounds === null) return null;
      const [west, south, east, north] = stands.bounds;
      const corners: [[number, number], [number, number]] = [
        [south, west],
        [north, east],
      ];
      // The line 2 has classes only.
      return L.latLngBounds?.(...corners) ?? new L.LatLngBounds(...corners);
    }
  }

  const layer = new Shading({
    noWrap: true,
    ...(attribution === undefined ? {} : { attribution }),
    ...(opacity === undefined ? {} : { opacity }),
  });
  layer.on("tileunload", ({ tile }) => {
    tiles.get(tile)?.asked?.abort();
    tiles.delete(tile);
  });
  return layer;
}
