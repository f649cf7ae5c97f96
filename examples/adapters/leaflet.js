/*
 * The shading as a layer in Leaflet.
 */
import * as L from "leaflet";
import { shadingLayer } from "../hostwood/hostwood-leaflet.js";
import { openStandMap } from "../hostwood/hostwood-stand-map.js";
import { REGION, VISIT, converse, tell } from "./stand.js";

const stands = await openStandMap(REGION, VISIT);
const map = L.map("map");
map.attributionControl.setPrefix("Leaflet");
const shading = shadingLayer(L, stands, {
  attribution: "Eskenvar Forest Office (invented)",
  onStand: (id, place) => tell(stands, shading, id, place),
  onFault: (error) => console.error(error),
});
map.fitBounds(shading.getBounds());
shading.addTo(map);
await converse(stands, shading);
await tell(stands, shading, null);
