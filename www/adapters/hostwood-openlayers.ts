/**
 * The shading as a layer for OpenLayers 10.
 *
 * In: the two classes and the one function of OpenLayers that are needed, as the page has them, its map, and an open
 * stand map. Out: a tile layer on that map that draws the engine's tiles, is drawn anew when stands are assessed anew,
 * and tells which stand was clicked; and the way to take it off again. Maps in other projections get the tiles as
 * OpenLayers reprojects them. Left to others: the stand map (hostwood-stand-map.ts); what the page makes of a click.
 */
import type OlMap from "ol/Map.js";
import type MapBrowserEvent from "ol/MapBrowserEvent.js";
import type TileLayer from "ol/layer/Tile.js";
import type { toLonLat } from "ol/proj.js";
import type ImageTile from "ol/source/ImageTile.js";
import type { Look, StandMap } from "./hostwood-stand-map.ts";

/** What the layer needs besides the stand map. */
export interface ShadingOptions extends Look {
  /** A stand was clicked, or, with null, a place without one. */
  onStand?: (id: string | null, place: { lng: number; lat: number }) => void;
  /** A tile could not be drawn, or a click not answered. */
  onFault?: (error: unknown) => void;
  /** Credit of the stand map's publisher. OpenLayers shows it as HTML: hand over text of your own only. */
  attribution?: string;
  /** From 0 to 1. */
  opacity?: number;
}

/** The parts of OpenLayers that are used: `ol/layer/Tile`, `ol/source/ImageTile`, `toLonLat` of `ol/proj`. */
export interface OpenLayersParts {
  TileLayer: typeof TileLayer;
  ImageTile: typeof ImageTile;
  toLonLat: typeof toLonLat;
}

/** The shading on a map. */
export interface Shading {
  /** The layer, for its order, opacity and visibility. */
  readonly layer: TileLayer<ImageTile>;
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

/** Lays the shading on a map, above what is there. */
export function addShading(
  parts: OpenLayersParts,
  map: OlMap,
  stands: StandMap,
  options: ShadingOptions = {},
): Shading {
  const { onStand, onFault, attribution, opacity = 1, ...firstLook } = options;
  let look: Look = firstLook;
  let selected: string | null = null;
  let change = 0;
  const ratio = Math.max(1, Math.min(MOST_RATIO, Math.round(devicePixelRatio * 4) / 4));
  const failed = (error: unknown): void => {
    if (!(error instanceof DOMException && error.name === "AbortError")) onFault?.(error);
  };

  /** A new key makes every tile out of date; old ones stay until the new are there. */
  class Tiles extends parts.ImageTile {
    outdate(key: string): void {
      this.setKey(key);
    }
  }

  const tileGrid = new parts.ImageTile({ tileSize: TILE, maxZoom: CLOSEST }).getTileGrid();
  const source = new Tiles({
    tileSize: TILE * ratio,
    ...(tileGrid === null ? {} : { tileGrid }),
    transition: 0,
    wrapX: false,
    ...(attribution === undefined ? {} : { attributions: attribution }),
    loader: async (z, x, y, { signal }) => {
      const wanted = { ...look, size: TILE, ratio, ...(selected === null ? {} : { selected }) };
      try {
        return await stands.tile(z, x, y, wanted, signal);
      } catch (error) {
        failed(error);
        throw error;
      }
    },
  });
  const layer = new parts.TileLayer<ImageTile>({ source, opacity });
  const outdate = (): void => {
    change += 1;
    source.outdate(String(change));
  };
  const clicked = (event: MapBrowserEvent): void => {
    const [lng, lat] = parts.toLonLat(event.coordinate, map.getView().getProjection());
    if (lng === undefined || lat === undefined) return;
    stands.standAt(lng, lat).then((id) => onStand?.(id, { lng, lat }), failed);
  };

  stands.addEventListener("change", outdate);
  if (onStand !== undefined) map.on("click", clicked);
  map.addLayer(layer);
  return {
    layer,
    look: (changed) => {
      look = changed;
      outdate();
    },
    select: (id) => {
      if (id === selected) return;
      selected = id;
      outdate();
    },
    remove: () => {
      stands.removeEventListener("change", outdate);
      map.un("click", clicked);
      map.removeLayer(layer);
    },
  };
}
