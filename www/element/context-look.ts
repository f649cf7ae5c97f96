/**
 * How paths, car parks, water and names look above the shading.
 *
 * In: a thing's role and name, the scheme, the scale. Out: styles for the map library, all drawn with our own quiet
 * symbols. Roles without a look of their own get a thin line or a dot. Left to others: reading the file (outlines.ts).
 */
import type { FeatureLike } from "ol/Feature.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";
import Style, { type StyleFunction } from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import type { Scheme } from "./protocol.ts";

interface Inks {
  paper: string;
  ink: string;
  soft: string;
  water: string;
  waterInk: string;
  open: string;
  path: string;
  road: string;
}

const INKS: Record<Scheme, Inks> = {
  light: {
    paper: "#fbf7ec",
    ink: "#2a261f",
    soft: "#5a5142",
    water: "#bfd3da",
    waterInk: "#28505f",
    open: "#f1ecdb",
    path: "#6b5a3f",
    road: "#fffdf6",
  },
  dark: {
    paper: "#1b1915",
    ink: "#f1e9d8",
    soft: "#c3b89f",
    water: "#2b4048",
    waterInk: "#a9cbd8",
    open: "#25221c",
    path: "#c2ad88",
    road: "#4a443a",
  },
};

const SERIF = '"Iowan Old Style", Palatino, "Palatino Linotype", Georgia, serif';
const SANS = "system-ui, sans-serif";

/** Metres a pixel beyond which small things are left out. */
const NEAR = 12;
const MIDDLE = 40;

/** The look of the context in this scheme. */
export function contextLook(scheme: Scheme): StyleFunction {
  const inks = INKS[scheme];
  const looks = new Looks(inks);
  return (feature, resolution) => looks.of(feature, resolution);
}

/** Styles, made once for each role and scale class; names are set on a copy. */
class Looks {
  readonly #inks: Inks;
  readonly #made = new Map<string, Style[]>();

  constructor(inks: Inks) {
    this.#inks = inks;
  }

  of(feature: FeatureLike, resolution: number): Style[] {
    const role = String(feature.get("role") ?? "other");
    const name = String(feature.get("name") ?? "");
    const shape = feature.getGeometry()?.getType() ?? "Point";
    const reach = resolution < NEAR ? "near" : resolution < MIDDLE ? "middle" : "far";
    const key = `${role}/${shape}/${reach}/${name}`;
    let styles = this.#made.get(key);
    if (styles === undefined) {
      styles = this.#make(role, shape, reach, name);
      this.#made.set(key, styles);
    }
    return styles;
  }

  #make(role: string, shape: string, reach: "near" | "middle" | "far", name: string): Style[] {
    const { paper, ink, water, waterInk, open, path, road, soft } = this.#inks;
    const near = reach === "near";
    switch (role) {
      case "water":
      case "lake":
      case "river":
      case "stream":
        if (shape === "Polygon") {
          return [
            new Style({
              fill: new Fill({ color: water }),
              stroke: new Stroke({ color: waterInk, width: 0.8 }),
              zIndex: 2,
            }),
            ...this.#label(name, `italic 14px ${SERIF}`, waterInk, 6),
          ];
        }
        return [
          new Style({
            stroke: new Stroke({
              color: role === "stream" ? waterInk : water,
              width: role === "stream" ? 1 : 3.5,
              lineCap: "round",
            }),
            zIndex: 3,
          }),
          ...(reach === "far" ? [] : this.#alongLine(name, `italic 12px ${SERIF}`, waterInk)),
        ];
      case "meadow":
      case "field":
      case "clearing":
        return [new Style({ fill: new Fill({ color: open }), zIndex: 1 })];
      case "road":
        return [
          new Style({
            stroke: new Stroke({ color: soft, width: near ? 5 : 3.4, lineCap: "round", lineJoin: "round" }),
            zIndex: 4,
          }),
          new Style({
            stroke: new Stroke({ color: road, width: near ? 3.2 : 1.8, lineCap: "round", lineJoin: "round" }),
            zIndex: 5,
          }),
          ...(near ? this.#alongLine(name, `12px ${SANS}`, soft) : []),
        ];
      case "track":
      case "path":
        if (reach === "far" && role === "path") return [];
        return [
          new Style({
            stroke: new Stroke({
              color: path,
              width: role === "track" ? 1.6 : 1.2,
              lineDash: role === "track" ? [8, 3] : [3, 3],
            }),
            zIndex: 4,
          }),
          ...(near ? this.#alongLine(name, `italic 12px ${SERIF}`, path) : []),
        ];
      case "car_park":
        if (reach === "far") return [];
        return [
          new Style({
            image: new RegularShape({
              points: 4,
              radius: 10,
              angle: Math.PI / 4,
              fill: new Fill({ color: ink }),
              stroke: new Stroke({ color: paper, width: 1.5 }),
              declutterMode: "obstacle",
            }),
            text: new Text({
              text: "P",
              font: `bold 11px ${SANS}`,
              fill: new Fill({ color: paper }),
              declutterMode: "none",
            }),
            zIndex: 9,
          }),
          ...(near ? this.#label(name, `12px ${SANS}`, ink, 7, 17) : []),
        ];
      case "viewpoint":
        if (reach === "far") return [];
        return [
          new Style({
            image: new RegularShape({
              points: 3,
              radius: 7,
              fill: new Fill({ color: ink }),
              stroke: new Stroke({ color: paper, width: 1.5 }),
              declutterMode: "obstacle",
            }),
            zIndex: 8,
          }),
          ...this.#label(name, `italic 12px ${SERIF}`, ink, 7, 15),
        ];
      case "place":
      case "village":
      case "settlement":
        if (shape === "Polygon") {
          return [
            new Style({
              fill: new Fill({ color: open }),
              stroke: new Stroke({ color: soft, width: 1 }),
              zIndex: 2,
            }),
            ...this.#label(name, `600 14px ${SERIF}`, ink, 12),
          ];
        }
        return [
          new Style({
            image: new CircleStyle({
              radius: 3.5,
              fill: new Fill({ color: paper }),
              stroke: new Stroke({ color: ink, width: 1.6 }),
              declutterMode: "none",
            }),
            zIndex: 8,
          }),
          ...this.#label(name, `600 15px ${SERIF}`, ink, 12, 14),
        ];
      default:
        return this.#plain(shape, name, near);
    }
  }

  /** A role that has no look of its own: a name where it is a point, else a thin line. */
  #plain(shape: string, name: string, near: boolean): Style[] {
    const { soft } = this.#inks;
    if (shape === "Point") return this.#label(name, `italic 13px ${SERIF}`, soft, 5);
    return [
      new Style({ stroke: new Stroke({ color: soft, width: 1 }), zIndex: 3 }),
      ...(near ? this.#label(name, `italic 12px ${SERIF}`, soft, 4) : []),
    ];
  }

  #label(name: string, font: string, color: string, zIndex: number, offsetY = 0): Style[] {
    if (name === "") return [];
    const text = new Text({
      text: name,
      font,
      offsetY,
      fill: new Fill({ color }),
      stroke: new Stroke({ color: this.#inks.paper, width: 3.5 }),
      overflow: true,
    });
    return [new Style({ text, zIndex })];
  }

  #alongLine(name: string, font: string, color: string): Style[] {
    if (name === "") return [];
    const text = new Text({
      text: name,
      font,
      placement: "line",
      repeat: 480,
      fill: new Fill({ color }),
      stroke: new Stroke({ color: this.#inks.paper, width: 3 }),
    });
    return [new Style({ text, zIndex: 6 })];
  }
}
