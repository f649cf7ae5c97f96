/**
 * The outline of a place in a GeoJSON text (RFC 7946).
 *
 * In: a text. Out: all its polygons as one geometry, or null where it holds none. Left to others: whether the outline is
 * sound (the engine).
 */
import { entriesOf, fieldsOf, type Json } from "./reading.ts";

/** The polygons of a GeoJSON text as one geometry, or null. */
export function outlineIn(text: string): Json | null {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    // No JSON: told by the caller, who knows the file's name.
    return null;
  }
  const polygons = polygonsIn(parsed as Json);
  const [only] = polygons;
  if (only === undefined) return null;
  return polygons.length === 1
    ? { type: "Polygon", coordinates: only }
    : { type: "MultiPolygon", coordinates: polygons };
}

/** The first shape of a GeoJSON text that can lie near a place: points, lines or polygons; or null. */
export function featureIn(text: string): Json | null {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    // No JSON: told by the caller, who knows the file's name.
    return null;
  }
  const look = (value: Json): Json | null => {
    const { type, coordinates, geometry, features } = fieldsOf(value);
    if (type === "FeatureCollection")
      return (
        entriesOf(features)
          .map(look)
          .find((one) => one !== null) ?? null
      );
    if (type === "Feature") return geometry === undefined ? null : look(geometry);
    if (typeof type !== "string" || !SHAPES.includes(type) || coordinates === undefined) return null;
    return { type, coordinates };
  };
  return look(parsed as Json);
}

const SHAPES = ["Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon"];

function polygonsIn(value: Json): Json[] {
  const { type, coordinates, geometry, geometries, features } = fieldsOf(value);
  switch (type) {
    case "Polygon":
      return coordinates === undefined ? [] : [coordinates];
    case "MultiPolygon":
      return entriesOf(coordinates);
    case "Feature":
      return geometry === undefined ? [] : polygonsIn(geometry);
    case "FeatureCollection":
      return entriesOf(features).flatMap(polygonsIn);
    case "GeometryCollection":
      return entriesOf(geometries).flatMap(polygonsIn);
    default:
      return [];
  }
}
