/*
 * OpenLayers with a vector layer on canvas.
 */
import OlMap from "ol/Map.js";
import View from "ol/View.js";
import GeoJSON from "ol/format/GeoJSON.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorSource from "ol/source/Vector.js";
import Fill from "ol/style/Fill.js";
import Style from "ol/style/Style.js";
import { fromLonLat } from "ol/proj.js";
import "ol/ol.css";
import { COLOURS, boundsOf, classOf, fitting, stands } from "./job.js";
import { measured } from "./watch.js";

const stage = document.getElementById("stage");
const styles = COLOURS.map((colour) => new Style({ fill: new Fill({ color: colour }) }));
const source = new VectorSource();
const layer = new VectorLayer({ source, style: (feature) => styles[feature.get("step")] });
const map = new OlMap({ target: stage, controls: [], layers: [layer], view: new View({ center: [0, 0], zoom: 2 }) });

const rendered = () =>
  new Promise((resolve) => {
    map.once("rendercomplete", resolve);
  });

measured({
  canvases: () => stage.querySelectorAll("canvas"),
  load: async (urls) => {
    const collection = await stands(urls.stands);
    const { zoom, centre } = fitting(boundsOf(collection));
    for (const feature of collection.features) feature.properties.step = classOf(feature.properties);
    const features = new GeoJSON().readFeatures(collection, { featureProjection: "EPSG:3857" });
    map.getView().setCenter(fromLonLat(centre));
    map.getView().setZoom(zoom);
    source.addFeatures(features);
    await rendered();
  },
  zoom: () => {
    map.getView().setZoom(map.getView().getZoom() + 1);
    return rendered();
  },
  pan: () => {
    const view = map.getView();
    const [x, y] = view.getCenter();
    view.setCenter([x + 300 * view.getResolution(), y]);
    return rendered();
  },
  at: async (lng, lat) => {
    map.getView().setCenter(fromLonLat([lng, lat]));
    map.renderSync();
    const pixel = map.getPixelFromCoordinate(fromLonLat([lng, lat]));
    return map.forEachFeatureAtPixel(pixel, (feature) => feature.get("STAND_ID")) ?? null;
  },
});
