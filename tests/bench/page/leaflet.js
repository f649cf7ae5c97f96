/*
 * Leaflet with its canvas renderer and a GeoJSON layer.
 */
import L from "leaflet";
import "leaflet/dist/leaflet.css";
import { COLOURS, SIZE, boundsOf, classOf, fitting, stands } from "./job.js";
import { measured } from "./watch.js";

const stage = document.getElementById("stage");
const map = L.map(stage, { preferCanvas: true, zoomAnimation: false, fadeAnimation: false, inertia: false, attributionControl: false, zoomControl: false, maxZoom: 19 });
map.setView([0, 0], 2);
let clicked = null;

measured({
  canvases: () => stage.querySelectorAll("canvas"),
  load: async (urls) => {
    const collection = await stands(urls.stands);
    const { zoom, centre } = fitting(boundsOf(collection));
    map.setView([centre[1], centre[0]], zoom, { animate: false });
    L.geoJSON(collection, {
      style: ({ properties }) => ({ stroke: false, fill: true, fillOpacity: 1, fillColor: COLOURS[classOf(properties)] }),
      onEachFeature: ({ properties }, layer) => {
        layer.on("click", () => {
          clicked = properties.STAND_ID;
        });
      },
    }).addTo(map);
  },
  zoom: () => map.setZoom(map.getZoom() + 1, { animate: false }),
  pan: () => map.panBy([300, 0], { animate: false }),
  at: (lng, lat) => {
    map.setView([lat, lng], map.getZoom(), { animate: false });
    const frame = stage.getBoundingClientRect();
    const at = { clientX: frame.left + SIZE.width / 2, clientY: frame.top + SIZE.height / 2, bubbles: true };
    clicked = null;
    const canvas = stage.querySelector("canvas");
    for (const kind of ["mousemove", "mousedown", "mouseup", "click"]) canvas.dispatchEvent(new MouseEvent(kind, at));
    return clicked;
  },
});
