//! Positions and boxes. In go degrees, out come degrees or whole ten-millionths of a degree; what lies there is left
//! to others.

use geo::{Distance as _, Geodesic, Point};
use serde::Serialize;

/// A position: degrees east, then degrees north (WGS 84).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LngLat {
    /// Degrees east.
    pub lng: f64,
    /// Degrees north.
    pub lat: f64,
}

impl LngLat {
    /// Metres to another position, on the ellipsoid (WGS 84; Karney 2013, by the `geo` library).
    pub fn metres_to(self, other: LngLat) -> f64 {
        Geodesic.distance(Point::new(self.lng, self.lat), Point::new(other.lng, other.lat))
    }
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

/// A ring: positions in degrees, longitude first; it may be open, or closed by repeating the first position.
pub type Ring = Vec<[f64; 2]>;

/// Polygons of rings of positions; the first ring of a polygon is its shell, the others are its holes.
pub type Polygons = Vec<Vec<Ring>>;

/// Positions are kept as whole ten-millionths of a degree (about a centimetre), so shared borders stay exactly shared.
pub const UNITS_PER_DEGREE: f64 = 1.0e7;

/// Once round the globe, in units.
pub(crate) const ROUND: i64 = 3_600_000_000;

/// Degrees to units; what cannot be kept goes to the nearest that can (about 214.7 degrees).
pub(crate) fn units(degrees: f64) -> i32 {
    (degrees * UNITS_PER_DEGREE).round_ties_even() as i32
}

/// Units to degrees.
pub(crate) fn degrees(units: i32) -> f64 {
    f64::from(units) / UNITS_PER_DEGREE
}

/// A box in units: west, south, east, north.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct UnitBox {
    pub(crate) west: i32,
    pub(crate) south: i32,
    pub(crate) east: i32,
    pub(crate) north: i32,
}

impl UnitBox {
    /// The box that any position widens: nothing lies in it.
    pub(crate) const EMPTY: UnitBox = UnitBox {
        west: i32::MAX,
        south: i32::MAX,
        east: i32::MIN,
        north: i32::MIN,
    };

    /// Whether nothing lies in it.
    pub(crate) fn is_empty(self) -> bool {
        self.west > self.east
    }

    /// Widens it to hold this position.
    pub(crate) fn take(&mut self, lng: i32, lat: i32) {
        self.west = self.west.min(lng);
        self.south = self.south.min(lat);
        self.east = self.east.max(lng);
        self.north = self.north.max(lat);
    }

    /// The same box in degrees, unless nothing lies in it.
    pub(crate) fn in_degrees(self) -> Option<LngLatBox> {
        (!self.is_empty()).then(|| LngLatBox {
            west: degrees(self.west),
            south: degrees(self.south),
            east: degrees(self.east),
            north: degrees(self.north),
        })
    }
}
