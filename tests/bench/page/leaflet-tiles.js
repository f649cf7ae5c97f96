/*
 * Leaflet with canvas tiles cut by geojson-vt.
 */
import L from "leaflet";
import GeoJSONVT from "geojson-vt";
import "leaflet/dist/leaflet.css";
import { COLOURS, boundsOf, classOf, fitting, stands } from "./job.js";
import { measured } from "./watch.js";

const stage = document.getElementById("stage");
const map = L.map(stage, { zoomAnimation: false, fadeAnimation: false, inertia: false, attributionControl: false, zoomControl: false, maxZoom: 19 });
map.setView([0, 0], 2);
let tiles = null;

const Grid = L.GridLayer.extend({
  createTile({ x, y, z }) {
    const canvas = document.createElement("canvas");
    canvas.width = 256;
    canvas.height = 256;
    const pen = canvas.getContext("2d");
    const tile = tiles?.getTile(z, x, y);
    if (!tile) return canvas;
    const scale = 256 / 4096;
    const byClass = COLOURS.map(() => []);
    for (const feature of tile.features) byClass[feature.tags.step].push(feature);
    byClass.forEach((features, step) => {
      pen.beginPath();
      for (const { geometry } of features) {
        for (const ring of geometry) {
          ring.forEach(([u, v], index) => {
            if (index === 0) pen.moveTo(u * scale, v * scale);
            else pen.lineTo(u * scale, v * scale);
          });
        }
      }
      pen.fillStyle = COLOURS[step];
      pen.fill("evenodd");
    });
    return canvas;
  },
});

measured({
  canvases: () => stage.querySelectorAll("canvas"),
  load: async (urls) => {
    const collection = await stands(urls.stands);
    for (const feature of collection.features) feature.properties.step = classOf(feature.properties);
    tiles = new GeoJSONVT(collection);
    const { zoom, centre } = fitting(boundsOf(collection));
    map.setView([centre[1], centre[0]], zoom, { animate: false });
    new Grid({ updateWhenIdle: false }).addTo(map);
  },
  zoom: () => map.setZoom(map.getZoom() + 1, { animate: false }),
  pan: () => map.panBy([300, 0], { animate: false }),
  at: (lng, lat) => {
    const z = Math.min(map.getZoom(), 14);
    const world = map.project([lat, lng], z);
    const [x, y] = [Math.floor(world.x / 256), Math.floor(world.y / 256)];
    const [u, v] = [((world.x - x * 256) * 4096) / 256, ((world.y - y * 256) * 4096) / 256];
    const tile = tiles.getTile(z, x, y);
    const found = tile?.features.find(({ geometry }) => {
      let odd = false;
      for (const ring of geometry) {
        for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
          const [x1, y1] = ring[at];
          const [x2, y2] = ring[before];
          if (y1 > v !== y2 > v && u < ((x2 - x1) * (v - y1)) / (y2 - y1) + x1) odd = !odd;
        }
      }
      return odd;
    });
    return found?.tags.STAND_ID ?? null;
  },
});
