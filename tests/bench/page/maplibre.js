/*
 * MapLibre GL JS with a GeoJSON source and one fill layer.
 */
// Its own worker lies beside it, so it is served as it comes.
import * as maplibregl from "./maplibre-gl/maplibre-gl.mjs";
import "maplibre-gl/dist/maplibre-gl.css";
import { COLOURS, boundsOf, classOf, fitting, stands } from "./job.js";
import { measured } from "./watch.js";

const stage = document.getElementById("stage");
const map = new maplibregl.Map({
  container: stage,
  style: { version: 8, sources: {}, layers: [] },
  center: [0, 0],
  zoom: 1,
  fadeDuration: 0,
  attributionControl: false,
  canvasContextAttributes: { preserveDrawingBuffer: true },
});
await map.once("load");
const idle = () => map.once("idle");

measured({
  canvases: () => stage.querySelectorAll("canvas"),
  load: async (urls) => {
    const collection = await stands(urls.stands);
    for (const feature of collection.features) feature.properties.step = classOf(feature.properties);
    const { zoom, centre } = fitting(boundsOf(collection));
    map.jumpTo({ center: centre, zoom: zoom - 1 });
    map.addSource("stands", { type: "geojson", data: collection });
    map.addLayer({
      id: "stands",
      type: "fill",
      source: "stands",
      paint: { "fill-antialias": false, "fill-color": ["match", ["get", "step"], ...COLOURS.flatMap((colour, step) => [step, colour]), "#000"] },
    });
    await idle();
  },
  zoom: () => {
    map.jumpTo({ zoom: map.getZoom() + 1 });
    return idle();
  },
  pan: () => {
    map.panBy([300, 0], { animate: false });
    return idle();
  },
  at: async (lng, lat) => {
    map.jumpTo({ center: [lng, lat] });
    await idle();
    const found = map.queryRenderedFeatures(map.project([lng, lat]), { layers: ["stands"] });
    return found[0]?.properties.STAND_ID ?? null;
  },
});
