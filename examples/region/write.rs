//! Writes the region down: in go stands, waters and ways in metres, out comes GeoJSON (RFC 7946) with one feature a
//! line. Coordinates keep five decimals of a degree, about a metre, and neighbours share them to the last digit.

use serde_json::{Map, Value, json};

use crate::region::borders::Polygon;
use crate::region::terrain::Point;

/// Hundred-thousandths of a degree at the sheet's south-west corner.
const CORNER: (f64, f64) = (1_562_000.0, 4_908_000.0);
/// Metres to a hundred-thousandth of a degree of longitude, of latitude, near 49.16 degrees north.
const METRES: (f64, f64) = (0.729_4, 1.112_1);

/// A place in whole hundred-thousandths of a degree.
pub(crate) fn place([x, y]: Point) -> [i64; 2] {
    [
        (CORNER.0 + x / METRES.0).round() as i64,
        (CORNER.1 + y / METRES.1).round() as i64,
    ]
}

fn degrees(place: [i64; 2]) -> Value {
    json!([place[0] as f64 / 100_000.0, place[1] as f64 / 100_000.0])
}

/// A line's coordinates, without places that fall together.
pub(crate) fn line(points: &[Point]) -> Value {
    let mut places: Vec<[i64; 2]> = points.iter().map(|&point| place(point)).collect();
    places.dedup();
    Value::Array(places.into_iter().map(degrees).collect())
}

/// A point geometry.
pub(crate) fn point(at: Point) -> Value {
    json!({"type": "Point", "coordinates": degrees(place(at))})
}

/// A line geometry.
pub(crate) fn line_string(points: &[Point]) -> Value {
    json!({"type": "LineString", "coordinates": line(points)})
}

/// A polygon geometry, or a multipolygon where there are several.
pub(crate) fn outline(polygons: &[Polygon]) -> Value {
    let mut coordinates: Vec<Value> = polygons
        .iter()
        .map(|polygon| Value::Array(polygon.iter().map(|ring| line(ring)).collect()))
        .collect();
    if coordinates.len() == 1 {
        json!({"type": "Polygon", "coordinates": coordinates.remove(0)})
    } else {
        json!({"type": "MultiPolygon", "coordinates": coordinates})
    }
}

/// A feature.
pub(crate) fn feature(properties: Map<String, Value>, geometry: Value) -> Value {
    json!({"type": "Feature", "properties": properties, "geometry": geometry})
}

/// A collection with its own word on what it is, one feature a line.
pub(crate) fn collection(about: &Value, features: &[Value]) -> String {
    let mut text = format!("{{\"type\":\"FeatureCollection\",\"about\":{about},\"features\":[\n");
    for (number, feature) in features.iter().enumerate() {
        text.push_str(&feature.to_string());
        text.push_str(if number + 1 < features.len() { ",\n" } else { "\n" });
    }
    text.push_str("]}\n");
    text
}
