//! Area of an outline on the ellipsoid. In goes a stand, out come hectares. Whether the area can be trusted is told by
//! `repair`.
//!
//! RFC 7946 (3.1.1) draws a straight line in longitude and latitude from one position to the next. The area under such
//! a line is found on the equal-area cylinder of the ellipsoid (Snyder 1987, Map Projections: A Working Manual, USGS
//! Professional Paper 1395, eq. 3-12), where a vertex costs a few multiplications; geodesic areas of all stands of a
//! large map would take longer than everything else together. The tests hold it against geodesic areas.

use std::sync::LazyLock;

use geo::{BooleanOps, GeodesicArea};

use super::crossing::{Crossing, crossing};
use super::latitude::{Latitude, RADIANS};
use super::outlines::Outlines;
use crate::units::Hectares;

/// WGS 84: the equator's radius in metres, and the square of the eccentricity, from a flattening of 1/298.257223563.
const RADIUS: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);

impl Outlines {
    /// Area of the stand's outline on the WGS 84 ellipsoid, holes left out; `None` where it has no outline. Where the
    /// border crosses itself, the area of what is filled by the even-odd rule.
    pub fn area(&self, stand: u32) -> Option<Hectares> {
        if self.is_empty(stand) {
            return None;
        }
        let mut square_metres = 0.0;
        for rings in self.polygons(stand) {
            let rings: Vec<&[i32]> = rings.collect();
            square_metres += match crossing(&rings) {
                Crossing::Found => filled_area(&rings),
                Crossing::None | Crossing::NotChecked => {
                    let mut areas = rings.iter().map(|ring| ring_area(ring).abs());
                    areas.next().unwrap_or(0.0) - areas.sum::<f64>()
                }
            };
        }
        Hectares::new(square_metres.max(0.0) / 10_000.0).ok()
    }
}

/// Area of a ring in square metres, positive where it runs counter-clockwise.
fn ring_area(ring: &[i32]) -> f64 {
    static TABLE: LazyLock<Latitude> = LazyLock::new(|| Latitude::new(authalic));
    let Some(&[mut from_lng, mut from_lat]) = ring.last_chunk::<2>() else {
        return 0.0;
    };
    let base = TABLE.at(from_lat);
    let mut from = 0.0;
    let mut sum = 0.0;
    for position in ring.chunks_exact(2) {
        let (to_lng, to_lat) = (position[0], position[1]);
        let to = TABLE.at(to_lat) - base;
        let run = f64::from(from_lng) - f64::from(to_lng);
        let rise = f64::from(to_lat) - f64::from(from_lat);
        sum += run
            * if rise.abs() < 100_000.0 {
                (from + to) / 2.0
            } else {
                // A long edge: the curve between its ends counts (Simpson's rule).
                let halfway = (f64::from(from_lat) + rise / 2.0) as i32;
                (from + 4.0 * (TABLE.at(halfway) - base) + to) / 6.0
            };
        (from_lng, from_lat, from) = (to_lng, to_lat, to);
    }
    sum / 1.0e7 * RADIANS * RADIUS * RADIUS / 2.0
}

/// Area of what the rings of one polygon fill by the even-odd rule, in square metres.
fn filled_area(rings: &[&[i32]]) -> f64 {
    let mut alone = Outlines::new();
    let ring = |ring: &&[i32]| {
        ring.chunks_exact(2)
            .map(|p| [f64::from(p[0]) / 1.0e7, f64::from(p[1]) / 1.0e7])
            .collect()
    };
    alone.push(&[rings.iter().map(ring).collect()]);
    let nothing = geo::MultiPolygon::new(Vec::new());
    alone.to_geo(0).union(&nothing).geodesic_area_unsigned()
}

/// Snyder's q, with its slope, at a latitude in radians: areas on the cylinder of this height are true.
fn authalic(latitude: f64) -> (f64, f64) {
    let eccentricity = libm::sqrt(ECCENTRICITY_SQUARED);
    let (sine, cosine) = (libm::sin(latitude), libm::cos(latitude));
    let shrink = 1.0 - ECCENTRICITY_SQUARED * sine * sine;
    let value =
        (1.0 - ECCENTRICITY_SQUARED) * (sine / shrink + libm::atanh(eccentricity * sine) / eccentricity);
    (
        value,
        2.0 * (1.0 - ECCENTRICITY_SQUARED) * cosine / (shrink * shrink),
    )
}
