//! Zones and outlines as a schema has them.

use schemars::JsonSchema;

use super::words::{Id, Texts};

/// A GeoJSON Polygon or MultiPolygon (RFC 7946): degrees, longitude first, rings closed.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Outline {
    /// Which of the two.
    #[schemars(rename = "type")]
    shape: Shape,
    /// Positions, nested as RFC 7946 has it.
    coordinates: Vec<serde_json::Value>,
    /// Not read.
    bbox: Option<Vec<f64>>,
}

/// The shapes of an outline.
#[derive(JsonSchema)]
pub(super) enum Shape {
    Polygon,
    MultiPolygon,
}

/// A named place.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Zone {
    /// A short name, such as `core`.
    id: Id,
    /// Its name.
    names: Option<Texts>,
    /// What makes a place belong to it: exactly one of the fields.
    #[schemars(rename = "where")]
    place: Place,
}

/// What makes a place belong to a zone: exactly one of these.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1, "maxProperties" = 1))]
pub(super) struct Place {
    /// It lies within this outline.
    outline: Option<Outline>,
    /// It lies within a distance of something.
    near: Option<Near>,
    /// The stand's own value passes a test.
    attribute: Option<Test>,
    /// It lies in all of these zones, by id.
    #[schemars(length(min = 1))]
    all_of: Option<Vec<String>>,
    /// It lies in one of these zones, by id.
    #[schemars(length(min = 1))]
    any_of: Option<Vec<String>>,
    /// It does not lie in this zone.
    not: Option<String>,
}

/// Within a distance of something.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Near {
    /// A point, line or polygon as in GeoJSON (RFC 7946).
    feature: Feature,
    /// How near, in metres.
    #[schemars(range(min = 1, max = 10_000))]
    metres: u32,
}

/// Something on the map.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Feature {
    /// Its shape.
    #[schemars(rename = "type")]
    shape: FeatureShape,
    /// Positions, nested as RFC 7946 has it.
    coordinates: Vec<serde_json::Value>,
    /// Not read.
    bbox: Option<Vec<f64>>,
}

/// The shapes something on the map may have.
#[derive(JsonSchema)]
pub(super) enum FeatureShape {
    Point,
    MultiPoint,
    LineString,
    MultiLineString,
    Polygon,
    MultiPolygon,
}

/// A value of the stand and what it must be; where the map does not give it, the answer is not known.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 2, "not" = {"required": ["equals", "one_of"]}))]
pub(super) struct Test {
    /// `age` (years), `height` (metres), `elevation` (metres), `designation`, `ownership`, `use`, or `attributes.NAME`.
    #[schemars(regex(pattern = r"^(age|height|elevation|designation|ownership|use|attributes\..+)$"))]
    name: String,
    /// It is this; for a list of values, one of them is.
    equals: Option<Scalar>,
    /// It is one of these.
    #[schemars(length(min = 1))]
    one_of: Option<Vec<Scalar>>,
    /// It is less than this.
    below: Option<f64>,
    /// It is more than this.
    above: Option<f64>,
    /// It is this or more.
    at_least: Option<f64>,
    /// It is this or less.
    at_most: Option<f64>,
    /// Whether the map gives a value at all.
    present: Option<bool>,
}

/// A value of a stand.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum Scalar {
    Text(String),
    Number(f64),
    Flag(bool),
}
