/**
 * The drawn map: the engine's tiles, the context above them, the outline of the chosen stand.
 *
 * In: the session, which hands tiles over as bitmaps; a box to fit; outlines. Out: a map in the given element, and
 * where on it something lies. Only canvas drawing of the map library is used; its controls and overlays, which write
 * markup, are not. Left to others: keys, buttons and words around the map (map.ts).
 */
import OlMap from "ol/Map.js";
import View from "ol/View.js";
import type MapBrowserEvent from "ol/MapBrowserEvent.js";
import DragPan from "ol/interaction/DragPan.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import PinchZoom from "ol/interaction/PinchZoom.js";
import TileLayer from "ol/layer/Tile.js";
import { getIntersection, isEmpty } from "ol/extent.js";
import { fromLonLat, toLonLat, transformExtent } from "ol/proj.js";
import ImageTile from "ol/source/ImageTile.js";
import { Ahead, type Spot } from "./ahead.ts";
import { Faulted } from "./courier.ts";
import { pixelRatio, prefersStill, wantsContrast } from "./display.ts";
import { Overlay } from "./overlay.ts";
import type { Box, ContextThing, FlatOutline, Scheme, Tasks } from "./protocol.ts";
import { Rough } from "./rough.ts";
import type { Session } from "./session.ts";

/** Sides of a tile, in CSS pixels. */
const TILE = 256;
/** Tiles kept for a way back, for each layer of tiles. */
const KEPT = 40;
/** Tiles drawn ahead take so many bytes at the most. */
const AHEAD_BYTES = 12 << 20;
/** The rough picture is drawn from so many zooms farther away, each of its tiles in the place of sixteen. */
const ROUGH = 2;
/** Fewer tiles than this are there nearly as soon as a rough picture would be. */
const FEW = 6;
/** The closest and the farthest zoom. */
const ZOOM = { least: 2, most: 19 } as const;
/** How long a movement of the map takes, in milliseconds. */
const MOVE = 180;

/** What the map needs to know of its surroundings. */
export interface MapNews {
  /** A place was pressed or clicked. */
  pressed: (lng: number, lat: number) => void;
  /** The map has come to rest somewhere else, or at another scale. */
  moved: () => void;
  /** The map has got another size. */
  resized: () => void;
  /** The wheel was turned where it belongs to the page. */
  wheelRefused: () => void;
  /** Whether the wheel belongs to the map. */
  focused: () => boolean;
  /** Whether the map fills the screen, so that there is no page to scroll. */
  full: () => boolean;
}

/** Tiles that the engine draws. A new key makes every tile out of date; old ones stay until the new are there. */
class StandTiles extends ImageTile {
  redraw(key: string): void {
    this.setKey(key);
  }
}

/** The drawn map. */
export class MapCanvas {
  readonly #session: Session;
  readonly #news: MapNews;
  readonly #map: OlMap;
  readonly #tiles: StandTiles;
  readonly #standLayer: TileLayer<ImageTile>;
  readonly #overlay: Overlay;
  readonly #ahead: Ahead<ImageBitmap>;
  readonly #rough = new Rough();
  readonly #ratio = pixelRatio();
  /** Whether all tiles of a view have been there once; from then on old ones stand in for those that are drawn. */
  #complete = false;
  #basemap: TileLayer<ImageTile> | null = null;
  #scheme: Scheme;
  #still: boolean;

  constructor(surface: HTMLElement, session: Session, scheme: Scheme, news: MapNews) {
    this.#session = session;
    this.#news = news;
    this.#scheme = scheme;
    const still = prefersStill();
    this.#still = still;
    const ratio = this.#ratio;
    this.#tiles = new StandTiles({
      tileSize: TILE * ratio,
      tileGrid: tileGrid(),
      transition: 0,
      wrapX: false,
      loader: (z, x, y, { signal }) => this.#tile({ z, x, y }, ratio, signal),
    });
    this.#ahead = new Ahead(
      (spot) => {
        return session.askAhead("tile", this.#wish(spot, ratio, true));
      },
      () => session.quietFor(),
      Math.max(4, Math.floor(AHEAD_BYTES / (4 * (TILE * ratio) ** 2))),
    );
    this.#standLayer = new TileLayer({ source: this.#tiles, cacheSize: KEPT, visible: false });
    this.#overlay = new Overlay(scheme);
    this.#map = new OlMap({
      target: surface,
      controls: [],
      interactions: [
        new DragPan({
          condition: (event) => isMouseOrPen(event) || news.full() || this.#pointers(event) === 2,
        }),
        new PinchZoom({ duration: still ? 0 : MOVE }),
        new MouseWheelZoom({
          duration: still ? 0 : MOVE,
          condition: (event) => this.#wheel(event.originalEvent),
        }),
      ],
      layers: [this.#rough.layer, this.#standLayer, this.#overlay.layer],
      maxTilesLoading: 6,
      moveTolerance: 4,
      view: new View({ center: [0, 0], zoom: ZOOM.least }),
    });
    // One finger scrolls the page; the map takes two.
    const viewport = this.#map.getViewport();
    if (viewport !== undefined) viewport.style.touchAction = "pan-x pan-y";
    this.#map.on("click", (event) => {
      const [lng, lat] = toLonLat(event.coordinate);
      if (lng !== undefined && lat !== undefined) news.pressed(lng, lat);
    });
    this.#map.on("moveend", () => {
      news.moved();
    });
    this.#map.on("change:size", () => {
      news.resized();
    });
    this.#map.on("movestart", () => {
      this.#ahead.stop();
    });
    this.#map.on("rendercomplete", () => {
      if (this.#standLayer.getVisible() && !this.#complete) {
        this.#complete = true;
        this.#rough.drop();
      }
      this.#ahead.rest(this.#likely());
    });
  }

  /** Shows this box of degrees, as large as it fits beside what covers the map. */
  fit(box: Box): void {
    const extent = transformExtent(box, "EPSG:4326", "EPSG:3857");
    const [west, south, east, north] = extent as Box;
    const wide = Math.max(east - west, north - south, 500);
    this.#map.setView(
      new View({
        center: [(west + east) / 2, (south + north) / 2],
        extent: [west - wide, south - wide, east + wide, north + wide],
        constrainOnlyCenter: true,
        minZoom: ZOOM.least,
        maxZoom: ZOOM.most,
        enableRotation: false,
        zoom: 12,
      }),
    );
    this.#map.updateSize();
    this.#map.getView().fit(extent, { padding: [24, 24, 24, 24], maxZoom: 16 });
  }

  /** Draws the tiles anew if this edition of look and assessment is not the one drawn. */
  draw(edition: number): void {
    this.#standLayer.setVisible(this.#session.drawable);
    const key = `${String(edition)}/${this.#scheme}/${wantsContrast() ? "more" : "usual"}`;
    if (this.#tiles.getKey() === key) return;
    this.#ahead.clear();
    this.#rough.drop();
    if (!this.#complete) this.#sketch(key);
    this.#tiles.redraw(key);
    // Tiles are asked for at once and not only with the next picture of the screen.
    this.#map.renderSync();
  }

  /** Light or dark. */
  setScheme(scheme: Scheme): void {
    if (scheme === this.#scheme) return;
    this.#scheme = scheme;
    this.#overlay.setScheme(scheme);
    this.draw(this.#session.edition);
  }

  /** Draws paths, water and names. */
  setContext(things: readonly ContextThing[]): void {
    this.#overlay.setContext(things);
  }

  /** Lays a base map under the shading, or takes it away. */
  setBasemap(template: string | null): void {
    if (this.#basemap !== null) this.#map.removeLayer(this.#basemap);
    this.#basemap = null;
    if (template === null || template.trim() === "") return;
    this.#basemap = new TileLayer({
      source: new ImageTile({ url: template, wrapX: false, transition: 0, referrerPolicy: "no-referrer" }),
      cacheSize: KEPT,
    });
    this.#map.getLayers().insertAt(0, this.#basemap);
  }

  /** Draws the outline of the stand whose sheet is open. */
  setChosen(outline: FlatOutline | null): void {
    this.#overlay.setChosen(outline);
  }

  /** Draws the outline of the stand that the keyboard has walked to. */
  setWalked(outline: FlatOutline | null): void {
    this.#overlay.setWalked(outline);
  }

  /** Moves by parts of the map's own width and height. */
  pan(east: number, south: number): void {
    const view = this.#map.getView();
    const [width, height] = this.#map.getSize() ?? [0, 0];
    const [x, y] = view.getCenter() ?? [0, 0];
    const resolution = view.getResolution() ?? 1;
    const center = [
      (x ?? 0) + east * (width ?? 0) * resolution,
      (y ?? 0) - south * (height ?? 0) * resolution,
    ];
    this.#move({ center });
  }

  /** Comes nearer, or goes back, by whole zoom levels. */
  zoom(by: number): void {
    const view = this.#map.getView();
    const now = view.getZoom() ?? ZOOM.least;
    const zoom = by > 0 ? Math.floor(now + 0.05) + by : Math.ceil(now - 0.05) + by;
    this.#move({ zoom: Math.max(ZOOM.least, Math.min(ZOOM.most, zoom)) });
  }

  /** Brings a place into the part of the map that nothing covers; does nothing if it is in view there. */
  reveal([lng, lat]: [number, number], covered: { bottom: number }): void {
    const pixel = this.#map.getPixelFromCoordinate(fromLonLat([lng, lat]));
    const [width, height] = this.#map.getSize() ?? [0, 0];
    if (pixel === null || width === undefined || height === undefined) return;
    const [x, y] = pixel as [number, number];
    const bottom = height - covered.bottom;
    if (x > 32 && x < width - 32 && y > 32 && y < bottom - 32) return;
    const view = this.#map.getView();
    const resolution = view.getResolution() ?? 1;
    const [cx, cy] = fromLonLat([lng, lat]);
    this.#move({ center: [cx ?? 0, (cy ?? 0) - (covered.bottom / 2) * resolution] });
  }

  /** The middle of the map in degrees. */
  middle(): [number, number] {
    const [lng, lat] = toLonLat(this.#map.getView().getCenter() ?? [0, 0]);
    return [lng ?? 0, lat ?? 0];
  }

  /** How near the map is. */
  zoomLevel(): number {
    return this.#map.getView().getZoom() ?? ZOOM.least;
  }

  /** Shows this place, as near as it is told or else near enough to see stands. */
  goTo([lng, lat]: readonly [number, number], zoom?: number): void {
    const near = Math.max(this.zoomLevel(), 14);
    this.#move({ center: fromLonLat([lng, lat]), zoom: Math.min(ZOOM.most, zoom ?? near) });
  }

  /** The box in view, in degrees. */
  box(): Box {
    return transformExtent(this.#map.getView().calculateExtent(), "EPSG:3857", "EPSG:4326") as Box;
  }

  /** Where a place lies on the map, in CSS pixels from its top left corner. */
  pixel(place: [number, number]): [number, number] | null {
    const pixel = this.#map.getPixelFromCoordinate(fromLonLat(place));
    return pixel === null ? null : (pixel as [number, number]);
  }

  /** Metres on the ground to a CSS pixel, in the middle of the map. */
  metresPerPixel(): number {
    const [, lat] = this.middle();
    return (this.#map.getView().getResolution() ?? 1) * Math.cos((lat * Math.PI) / 180);
  }

  /** Gives everything back. */
  close(): void {
    this.#ahead.close();
    this.#complete = true;
    this.#rough.drop();
    this.#map.setTarget(undefined);
    this.#map.dispose();
  }

  /** Asks for the rough picture of a view that has none yet, ahead of its tiles. */
  #sketch(key: string): void {
    const grid = this.#tiles.getTileGrid();
    const { bounds } = this.#session.stands ?? {};
    const resolution = this.#map.getView().getResolution();
    if (!this.#session.drawable || bounds === undefined || bounds === null || grid === null) return;
    if (resolution === undefined) return;
    const extent = getIntersection(
      this.#map.getView().calculateExtent(),
      transformExtent(bounds, "EPSG:4326", "EPSG:3857"),
    );
    const z = grid.getZForResolution(resolution);
    if (z < ROUGH || isEmpty(extent) || countOf(grid.getTileRangeForExtentAndZ(extent, z)) < FEW) return;
    grid.forEachTileCoord(extent, z - ROUGH, ([zoom, x, y]) => {
      // It is for a moment only and takes no room from the tiles that stay.
      const wish = this.#wish({ z: zoom ?? 0, x: x ?? 0, y: y ?? 0 }, this.#ratio, true);
      this.#session.askAhead("tile", wish).then(
        (picture) => {
          if (this.#complete || this.#tiles.getKey() !== key) {
            picture.close();
            return;
          }
          const [west, , east, north] = grid.getTileCoordExtent([wish.z, wish.x, wish.y]) as Box;
          this.#rough.add({ picture, west, north, side: east - west });
        },
        // The tiles themselves are asked for as well, and tell what went wrong.
        () => undefined,
      );
    });
  }

  async #tile(spot: Spot, ratio: number, signal: AbortSignal): Promise<ImageBitmap> {
    const there = await this.#ahead.take(spot);
    if (there !== null && there !== undefined) return there;
    try {
      return await this.#session.ask("tile", this.#wish(spot, ratio), signal);
    } catch (error) {
      if (error instanceof Faulted) this.#session.blot(error.fault);
      throw error;
    }
  }

  #wish(spot: Spot, ratio: number, ahead = false): Tasks["tile"]["ask"] {
    return {
      ...spot,
      look: {
        size: TILE,
        ratio,
        scheme: this.#scheme,
        moreContrast: wantsContrast(),
        ...this.#session.look(),
        ...(ahead ? { ahead } : {}),
      },
    };
  }

  /** The tiles with stands that a visitor may want next: those of one zoom nearer, then those around what is shown. */
  #likely(): Spot[] {
    const { bounds } = this.#session.stands ?? {};
    const grid = this.#tiles.getTileGrid();
    const view = this.#map.getView();
    const [x, y] = view.getCenter() ?? [];
    const resolution = view.getResolution();
    if (!this.#session.drawable || bounds === undefined || bounds === null || grid === null) return [];
    if (x === undefined || y === undefined || resolution === undefined) return [];
    const stands = transformExtent(bounds, "EPSG:4326", "EPSG:3857");
    const around = (z: number, extent: number[], more: number): Spot[] => {
      const range = grid.getTileRangeForExtentAndZ(extent, z);
      const there = grid.getTileRangeForExtentAndZ(stands, z);
      const found: Spot[] = [];
      for (let column = range.minX - more; column <= range.maxX + more; column += 1) {
        for (let row = range.minY - more; row <= range.maxY + more; row += 1) {
          if (there.containsXY(column, row)) found.push({ z, x: column, y: row });
        }
      }
      const middle = [(range.minX + range.maxX) / 2, (range.minY + range.maxY) / 2] as const;
      const far = (spot: Spot): number => Math.hypot(spot.x - middle[0], spot.y - middle[1]);
      return found.sort((one, other) => far(one) - far(other));
    };
    const shown = view.calculateExtent();
    const z = grid.getZForResolution(resolution);
    const nearer = z < ZOOM.most ? around(z + 1, halved(shown, [x, y]), 0) : [];
    return [...nearer, ...around(z, shown, 1)];
  }

  /** The interaction asks about every event; only a turn of the wheel is refused, and the visitor told why. */
  #wheel(event: Event): boolean {
    if (!(event instanceof WheelEvent)) return true;
    if (event.ctrlKey || event.metaKey || this.#news.focused() || this.#news.full()) return true;
    this.#news.wheelRefused();
    return false;
  }

  #pointers(event: MapBrowserEvent): number {
    return event.activePointers?.length ?? 0;
  }

  #move(to: { center?: number[]; zoom?: number }): void {
    const view = this.#map.getView();
    view.cancelAnimations();
    view.animate({ ...to, duration: this.#still ? 0 : MOVE });
  }
}

function tileGrid(): NonNullable<ReturnType<ImageTile["getTileGrid"]>> {
  const grid = new ImageTile({ tileSize: TILE, maxZoom: 22 }).getTileGrid();
  if (grid === null) throw new TypeError("the map library made no tile grid");
  return grid;
}

function countOf(range: { getWidth(): number; getHeight(): number }): number {
  return range.getWidth() * range.getHeight();
}

/** The box half as wide and high around a place. */
function halved(extent: number[], [x, y]: readonly [number, number]): number[] {
  return extent.map((side, place) => (side + (place % 2 === 0 ? x : y)) / 2);
}

function isMouseOrPen(event: MapBrowserEvent): boolean {
  return (event.originalEvent as PointerEvent).pointerType !== "touch";
}
