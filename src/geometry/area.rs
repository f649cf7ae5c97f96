//! Area of an outline on the ellipsoid. In goes a stand, out come hectares. Whether the area can be trusted is told by
//! `repair`.
//!
//! RFC 7946 (3.1.1) draws a straight line in longitude and latitude from one position to the next. The area under such
//! a line is found on the equal-area cylinder of the ellipsoid (Snyder 1987, Map Projections: A Working Manual, USGS
//! Professional Paper 1395, eq. 3-12), where a vertex costs a few multiplications and no series. The tests hold it
//! against geodesic areas.

use std::sync::LazyLock;

use super::crossing::{Crossing, crossing};
use super::filled::filled_area;
use super::latitude::{Latitude, RADIANS};
use super::outlines::Outlines;
use crate::units::Hectares;

/// WGS 84: the equator's radius in metres, and the square of the eccentricity, from a flattening of 1/298.257223563.
const RADIUS: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);

/// Heights of latitudes on the equal-area cylinder.
pub(super) static TABLE: LazyLock<Latitude> = LazyLock::new(|| Latitude::new(authalic));
/// Square metres of a unit of longitude times a height of that table.
pub(super) const ON_THE_ELLIPSOID: f64 = RADIANS * RADIUS * RADIUS / 2.0 / 1.0e7;

impl Outlines {
    /// Area of the stand's outline on the WGS 84 ellipsoid, holes left out; `None` where it has no outline. Where the
    /// border crosses itself, the area of what is filled by the even-odd rule.
    pub fn area(&self, stand: u32) -> Option<Hectares> {
        if self.is_empty(stand) {
            return None;
        }
        if let Some(measured) = self.measured(stand) {
            return Hectares::new(measured.max(0.0) / 10_000.0).ok();
        }
        let mut square_metres = 0.0;
        for rings in self.polygons(stand) {
            let rings: Vec<&[i32]> = rings.collect();
            square_metres += match crossing(&rings) {
                Crossing::Found => filled_area(&rings),
                Crossing::None | Crossing::NotChecked | Crossing::Tangled => {
                    let mut areas = rings.iter().map(|ring| ring_area(ring).abs());
                    areas.next().unwrap_or(0.0) - areas.sum::<f64>()
                }
            };
        }
        Hectares::new(square_metres.max(0.0) / 10_000.0).ok()
    }
}

/// Area of a ring in square metres, positive where it runs counter-clockwise.
pub(super) fn ring_area(ring: &[i32]) -> f64 {
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
    sum * ON_THE_ELLIPSOID
}

/// How wide an outline of this area is on average, in metres: twice the area over the length of its rings. Good for
/// small outlines.
pub(super) fn mean_width<'r>(square_metres: f64, rings: impl Iterator<Item = &'r [i32]>) -> f64 {
    let metres_a_unit = RADIUS * RADIANS / 1.0e7;
    let mut length = 0.0;
    for ring in rings {
        let Some(&[mut from_lng, mut from_lat]) = ring.last_chunk::<2>() else {
            continue;
        };
        let shrink = libm::cos(f64::from(from_lat) / 1.0e7 * RADIANS);
        for position in ring.chunks_exact(2) {
            let (to_lng, to_lat) = (position[0], position[1]);
            let east = (f64::from(to_lng) - f64::from(from_lng)) * shrink;
            length += libm::hypot(east, f64::from(to_lat) - f64::from(from_lat)) * metres_a_unit;
            (from_lng, from_lat) = (to_lng, to_lat);
        }
    }
    2.0 * square_metres / length.max(f64::MIN_POSITIVE)
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use geo::GeodesicArea;

    use super::*;
    use crate::geometry::position::Ring;

    fn hectares(polygons: &[Vec<Ring>]) -> f64 {
        let mut outlines = Outlines::new();
        outlines.push(polygons);
        outlines.area(0).expect("an area").get()
    }

    fn rings(rings: &[&[[f64; 2]]]) -> Vec<Vec<Ring>> {
        vec![rings.iter().map(|ring| ring.to_vec()).collect()]
    }

    #[test]
    fn agrees_with_geodesic_areas() {
        // Expected hectares: geographiclib 2.1 for Python (Karney 2013, Algorithms for geodesics, J. Geodesy 87:43),
        // PolygonArea on WGS 84, run on these very rings.
        for (name, polygons, expected) in [
            (
                "a hectare at 47 N",
                rings(&[&[
                    [8.5, 47.0],
                    [8.501317, 47.0],
                    [8.501317, 47.000899],
                    [8.5, 47.000899],
                ]]),
                1.001_074_094_2,
            ),
            (
                "a stand with a hole at 51 N",
                rings(&[
                    &[[13.0, 51.0], [13.02, 51.0], [13.02, 51.01], [13.0, 51.01]],
                    &[
                        [13.005, 51.0025],
                        [13.015, 51.0025],
                        [13.015, 51.0075],
                        [13.005, 51.0075],
                    ],
                ]),
                117.128_069_166,
            ),
            (
                "five corners at 65 N",
                rings(&[&[
                    [26.0, 65.0],
                    [26.01, 65.0],
                    [26.012, 65.004],
                    [26.004, 65.006],
                    [25.998, 65.003],
                ]]),
                31.555_316_034,
            ),
            (
                "across the antimeridian at 16 S",
                rings(&[&[
                    [179.99, -16.5],
                    [180.01, -16.5],
                    [180.01, -16.49],
                    [179.99, -16.49],
                ]]),
                236.304_716_839,
            ),
            (
                "across the equator",
                rings(&[&[[-60.0, -0.005], [-59.99, -0.005], [-59.99, 0.005], [-60.0, 0.005]]]),
                123.090_720_955,
            ),
            (
                "124 square kilometres at 60 N",
                rings(&[&[[15.0, 60.0], [15.2, 60.02], [15.25, 60.1], [15.05, 60.12]]]),
                12_412.130_257_949,
            ),
        ] {
            let found = hectares(&polygons);
            assert!(
                (found / expected - 1.0).abs() < 1e-3,
                "{name}: {found} ha, expected {expected} ha"
            );
        }
    }

    #[test]
    fn one_degree_of_the_equal_area_cylinder() {
        // Straight lines in longitude and latitude bound a quadrangle of meridians and parallels, which has a closed
        // formula (Snyder 1987, eq. 3-12): one degree by one degree north of the equator is 12 308.463 893 975 km2.
        let found = hectares(&rings(&[&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]]));
        assert!((found / 1_230_846.389_397_5 - 1.0).abs() < 1e-9, "{found} ha");
        // Geodesics bulge: between the same corners they hold 12 308 778 361.469 m2 (geographiclib 2.1 for Python).
        assert!((found / 1_230_877.836_146_9 - 1.0).abs() < 1e-3, "{found} ha");
    }

    #[test]
    fn a_bowtie_has_the_area_it_fills() {
        let bowtie = hectares(&rings(&[&[[0.0, 0.0], [0.01, 0.01], [0.01, 0.0], [0.0, 0.01]]]));
        let square = hectares(&rings(&[&[[0.0, 0.0], [0.01, 0.0], [0.01, 0.01], [0.0, 0.01]]]));
        assert!((bowtie / square - 0.5).abs() < 1e-4, "{bowtie} of {square}");
    }

    #[test]
    fn no_outline_has_no_area() {
        let mut outlines = Outlines::new();
        outlines.push(&[]);
        assert_eq!(outlines.area(0), None);
        assert_eq!(outlines.area(1), None);
    }

    proptest! {
        #[test]
        fn a_stand_anywhere_agrees_with_its_geodesic_area(
            lng in -179.0f64..179.0,
            lat in -80.0f64..80.0,
            radii in prop::collection::vec(0.001f64..0.01, 5..30),
        ) {
            let count = radii.len() as f64;
            let ring: Ring = radii.iter().enumerate().map(|(n, radius)| {
                let angle = n as f64 / count * std::f64::consts::TAU;
                [lng + radius * angle.cos(), lat + radius * angle.sin()]
            }).collect();
            let mut outlines = Outlines::new();
            outlines.push(&[vec![ring]]);
            let expected = outlines.to_geo(0).geodesic_area_unsigned() / 10_000.0;
            let found = outlines.area(0).expect("an area").get();
            prop_assert!((found / expected - 1.0).abs() < 1e-3, "{} ha, expected {} ha", found, expected);
        }
    }
}
