/*
 * deck.gl with a GeoJSON layer.
 */
import { Deck, MapView } from "@deck.gl/core";
import { GeoJsonLayer } from "@deck.gl/layers";
import { SHADES, SIZE, boundsOf, classOf, fitting, stands } from "./job.js";
import { measured } from "./watch.js";

const stage = document.getElementById("stage");
let state = { longitude: 0, latitude: 0, zoom: 1 };
let drawn = () => undefined;
const deck = new Deck({
  parent: stage,
  width: SIZE.width,
  height: SIZE.height,
  views: new MapView({ repeat: false }),
  viewState: state,
  controller: false,
  useDevicePixels: false,
  deviceProps: { webgl: { preserveDrawingBuffer: true } },
  onAfterRender: () => {
    drawn();
  },
});
const after = () =>
  new Promise((resolve) => {
    drawn = resolve;
  });
const look = (change) => {
  state = { ...state, ...change };
  deck.setProps({ viewState: state });
  return after();
};
await after();

measured({
  canvases: () => stage.querySelectorAll("canvas"),
  load: async (urls) => {
    const collection = await stands(urls.stands);
    const { zoom, centre } = fitting(boundsOf(collection));
    deck.setProps({
      layers: [
        new GeoJsonLayer({
          id: "stands",
          data: collection,
          stroked: false,
          filled: true,
          pickable: true,
          getFillColor: ({ properties }) => SHADES[classOf(properties)],
        }),
      ],
    });
    await look({ longitude: centre[0], latitude: centre[1], zoom: zoom - 1 });
  },
  zoom: () => look({ zoom: state.zoom + 1 }),
  pan: () => look({ longitude: state.longitude + (300 * 360) / (512 * 2 ** state.zoom) }),
  at: async (lng, lat) => {
    await look({ longitude: lng, latitude: lat });
    const found = await deck.pickObjectAsync({ x: SIZE.width / 2, y: SIZE.height / 2 });
    return found?.object?.properties.STAND_ID ?? null;
  },
});
