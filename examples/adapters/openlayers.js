/*
 * The shading as a layer in OpenLayers.
 */
import { addShading } from "../hostwood/hostwood-openlayers.js";
import { openStandMap } from "../hostwood/hostwood-stand-map.js";
import { REGION, VISIT, converse, tell } from "./stand.js";

const { ol } = globalThis;
const stands = await openStandMap(REGION, VISIT);
const map = new ol.Map({ target: "map", view: new ol.View({ center: [0, 0], zoom: 2 }) });
const parts = { TileLayer: ol.layer.Tile, ImageTile: ol.source.ImageTile, toLonLat: ol.proj.toLonLat };
const shading = addShading(parts, map, stands, {
  attribution: "Eskenvar Forest Office (invented)",
  onStand: (id, place) => tell(stands, shading, id, place),
  onFault: (error) => console.error(error),
});
map.getView().fit(ol.proj.transformExtent(stands.bounds, "EPSG:4326", "EPSG:3857"));
await converse(stands, shading);
await tell(stands, shading, null);
