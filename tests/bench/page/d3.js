/*
 * A page written by hand: d3-geo's path on one canvas, a packed tree of boxes for clicks.
 */
import { geoPath, geoTransform } from "d3-geo";
import Flatbush from "flatbush";
import { COLOURS, SIZE, boundsOf, classOf, fitting, mercator, stands } from "./job.js";
import { measured } from "./watch.js";

const canvas = document.createElement("canvas");
Object.assign(canvas, SIZE);
document.getElementById("stage").append(canvas);
const pen = canvas.getContext("2d");
let features = [];
let classes = [];
let tree = null;
let view = null;

function draw() {
  const scale = 256 * 2 ** view.zoom;
  const [x, y] = view.middle;
  const path = geoPath(
    geoTransform({
      point(lng, lat) {
        const [u, v] = mercator([lng, lat]);
        this.stream.point((u - x) * scale + SIZE.width / 2, (v - y) * scale + SIZE.height / 2);
      },
    }),
    pen,
  );
  pen.clearRect(0, 0, SIZE.width, SIZE.height);
  const half = [SIZE.width / 2 / scale, SIZE.height / 2 / scale];
  const seen = tree.search(x - half[0], y - half[1], x + half[0], y + half[1]);
  // Each stand is filled by itself: one path of a hundred thousand outlines takes the canvas a hundred times longer.
  for (const index of seen) {
    pen.beginPath();
    path(features[index]);
    pen.fillStyle = COLOURS[classes[index]];
    pen.fill("evenodd");
  }
}

measured({
  canvases: () => [canvas],
  load: async (urls) => {
    const collection = await stands(urls.stands);
    features = collection.features;
    classes = features.map(({ properties }) => classOf(properties));
    tree = new Flatbush(features.length);
    for (const feature of features) {
      const [west, south, east, north] = boundsOf({ features: [feature] });
      const [left, bottom] = mercator([west, south]);
      const [right, top] = mercator([east, north]);
      tree.add(left, top, right, bottom);
    }
    tree.finish();
    view = fitting(boundsOf(collection));
    draw();
  },
  zoom: () => {
    view.zoom += 1;
    draw();
  },
  pan: () => {
    view.middle[0] += 300 / (256 * 2 ** view.zoom);
    draw();
  },
  at: (lng, lat) => {
    const [x, y] = mercator([lng, lat]);
    const found = tree.search(x, y, x, y).filter((index) => inside(features[index].geometry, lng, lat));
    return features[found[0]]?.properties.STAND_ID ?? null;
  },
});

/** Even-odd, on the plane. */
function inside(geometry, lng, lat) {
  const polygons = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
  let odd = false;
  for (const polygon of polygons) {
    for (const ring of polygon) {
      for (let at = 0, before = ring.length - 1; at < ring.length; before = at, at += 1) {
        const [x1, y1] = ring[at];
        const [x2, y2] = ring[before];
        if (y1 > lat !== y2 > lat && lng < ((x2 - x1) * (lat - y1)) / (y2 - y1) + x1) odd = !odd;
      }
    }
  }
  return odd;
}
