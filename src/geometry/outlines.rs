//! All outlines of a map in flat arrays.

use serde::Serialize;

/// A position: degrees east, then degrees north (WGS 84).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LngLat {
    /// Degrees east.
    pub lng: f64,
    /// Degrees north.
    pub lat: f64,
}

/// A box in degrees. West lies left of east; a map that crosses the antimeridian uses longitudes beyond 180.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct LngLatBox {
    pub west: f64,
    pub south: f64,
    pub east: f64,
    pub north: f64,
}

/// Positions are kept as whole ten-millionths of a degree (about a centimetre), so shared borders stay exactly shared.
pub const UNITS_PER_DEGREE: f64 = 1.0e7;

/// All outlines of a stand map: stand n has polygons, a polygon has rings (the first is its shell), a ring has
/// positions. Rings are kept open: the last position is not the first.
#[derive(Debug, Clone, Default)]
pub struct Outlines {
    /// Longitude and latitude by turns, in units of 1e-7 degrees.
    positions: Vec<i32>,
    /// Where each ring ends, in positions.
    ring_ends: Vec<u32>,
    /// Where each polygon ends, in rings.
    polygon_ends: Vec<u32>,
    /// Where each stand ends, in polygons.
    stand_ends: Vec<u32>,
}
