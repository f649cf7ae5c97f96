/*
 * The shading as a layer in MapLibre GL JS.
 */
import * as maplibregl from "maplibre-gl";
import { addShading } from "../hostwood/hostwood-maplibre.js";
import { openStandMap } from "../hostwood/hostwood-stand-map.js";
import { REGION, VISIT, converse, tell } from "./stand.js";

const map = new maplibregl.Map({
  container: "map",
  style: { version: 8, sources: {}, layers: [] },
  // Headless browsers read the picture back after it was drawn.
  canvasContextAttributes: { preserveDrawingBuffer: true },
});
const [stands] = await Promise.all([openStandMap(REGION, VISIT), map.once("load")]);
const shading = addShading(maplibregl, map, stands, {
  attribution: "Eskenvar Forest Office (invented)",
  onStand: (id, place) => tell(stands, shading, id, place),
  onFault: (error) => console.error(error),
});
map.fitBounds(stands.bounds, { animate: false });
await converse(stands, shading);
await tell(stands, shading, null);
