/*
 * The element on the bench: started with a map of one stand, then handed the large one.
 */
import { measured } from "./watch.js";

const map = document.createElement("hostwood-map");
const stage = document.getElementById("stage");

function ready() {
  return new Promise((resolve, reject) => {
    map.addEventListener("hostwood-ready", resolve, { once: true });
    map.addEventListener("hostwood-error", (event) => {
      reject(new Error(event.detail.message));
    }, { once: true });
  });
}

const surface = () => map.shadowRoot.querySelector(".surface");
const press = (part) => {
  const at = surface();
  at.dispatchEvent(new KeyboardEvent("keydown", { key: part, bubbles: true, cancelable: true }));
};
const started = ready();
map.setAttribute("stands", "/bench/maps/one.geojson");
map.setAttribute("day", "2026-09-12");
stage.append(map);
// Script and styles come as on any page.
await import("/hostwood/hostwood.js");
await started;
await new Promise((resolve) => {
  setTimeout(resolve, 1500);
});
// The frame of the bench is the map's surface.
const box = surface().getBoundingClientRect();
if (box.width < 600 || box.height < 400) throw new Error(`the map is only ${box.width} x ${box.height} pixels`);

/** Milliseconds to the moment at which the map is read and worked out. */
const marks = {};
measured({
  marks,
  canvases: () => surface().querySelectorAll("canvas"),
  load: (urls) => {
    const began = performance.now();
    const done = ready().then(() => {
      marks.read = performance.now() - began;
    });
    map.setAttribute("stands", urls.stands);
    map.setAttribute("crosswalk", urls.crosswalk);
    return done;
  },
  zoom: () => {
    press("+");
  },
  pan: () => {
    press("ArrowRight");
  },
  at: (lng, lat) => map.standAt(lng, lat),
  more: async (settled) => {
    // Another view recolours the map and tells no event; the picture itself must change. (A new day would change
    // nothing: there is no rule book here that closes anything.)
    const canvases = { canvases: () => surface().querySelectorAll("canvas") };
    const wood = map.shadowRoot.querySelector('input[type="radio"][value="wood"]');
    const view = await settled(canvases, performance.now(), () => wood.click(), true);
    return { view, size: `${Math.round(box.width)}x${Math.round(box.height)}` };
  },
});
