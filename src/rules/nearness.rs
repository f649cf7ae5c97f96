//! What lies within some distance of a path, a road, a spring or another feature. In go features in degrees and a
//! stand, out comes the share of the stand within that distance, and whether a point is. Which rule follows from it is
//! left to `zone`.
//!
//! Distances are taken on a plane laid through the stand, which is fair for the few hundred metres that laws name. The
//! share is counted on a raster of points over the stand.

use geo::{
    BoundingRect as _, Coord, CoordsIter, Geometry, Intersects as _, LineString, MultiPolygon, Polygon,
};

use super::cover::Effort;

/// Metres of a degree of latitude, and of longitude at the equator (a sphere of the mean radius 6371.0088 km, IUGG).
const METRES_A_DEGREE: f64 = 111_195.08;
/// Points of the raster along each side of a stand's bounds.
const RASTER: u32 = 32;

/// Features and a distance to them.
#[derive(Debug, Clone, PartialEq)]
pub struct Near {
    /// Points, lines and polygons in degrees.
    pub features: Vec<Geometry<f64>>,
    /// The distance in metres.
    pub metres: f64,
}

/// A stretch of a feature on the plane, in metres.
type Stretch = (Coord<f64>, Coord<f64>);

/// A plane through one place.
struct Plane {
    east: f64,
    north: f64,
}

impl Plane {
    fn through(latitude: f64) -> Plane {
        Plane {
            east: METRES_A_DEGREE * libm::cos(latitude.to_radians()),
            north: METRES_A_DEGREE,
        }
    }

    fn lay(&self, position: Coord<f64>) -> Coord<f64> {
        Coord {
            x: position.x * self.east,
            y: position.y * self.north,
        }
    }
}

impl Near {
    /// The share of a stand within the distance, 0 to 1; `None` for a stand without an outline, and where that would
    /// take too long.
    pub(super) fn share(&self, stand: &MultiPolygon<f64>, effort: &mut Effort) -> Option<f64> {
        let bounds = stand.bounding_rect()?;
        if !effort.spend(self.features.iter().map(CoordsIter::coords_count).sum()) {
            return None;
        }
        let plane = Plane::through(bounds.center().y);
        let (low, high) = (plane.lay(bounds.min()), plane.lay(bounds.max()));
        // Only stretches that come near the stand at all have to be measured.
        let around = |(from, to): &Stretch| {
            from.x.min(to.x) <= high.x + self.metres
                && from.x.max(to.x) >= low.x - self.metres
                && from.y.min(to.y) <= high.y + self.metres
                && from.y.max(to.y) >= low.y - self.metres
        };
        let stretches: Vec<Stretch> = self.stretches(&plane).filter(around).collect();
        let areas: Vec<&Polygon<f64>> = self
            .areas()
            .filter(|area| {
                area.bounding_rect()
                    .is_some_and(|other| other.intersects(&bounds))
            })
            .collect();
        if stretches.is_empty() && areas.is_empty() {
            return Some(0.0);
        }
        let positions = stretches.len()
            + areas.iter().map(|area| area.coords_count()).sum::<usize>()
            + stand.coords_count();
        if !effort.spend(positions * (RASTER * RASTER) as usize) {
            return None;
        }
        let (mut within, mut all) = (0_u32, 0_u32);
        let step =
            |low: f64, high: f64, n: u32| low + (high - low) * (f64::from(n) + 0.5) / f64::from(RASTER);
        for row in 0..RASTER {
            for column in 0..RASTER {
                let point = Coord {
                    x: step(bounds.min().x, bounds.max().x, column),
                    y: step(bounds.min().y, bounds.max().y, row),
                };
                if stand.intersects(&point) {
                    all += 1;
                    within += u32::from(self.reaches(point, &plane, &stretches, &areas));
                }
            }
        }
        (all > 0).then(|| f64::from(within) / f64::from(all))
    }

    /// Whether a point lies within the distance.
    pub(super) fn holds(&self, point: Coord<f64>) -> bool {
        let plane = Plane::through(point.y);
        let stretches: Vec<Stretch> = self.stretches(&plane).collect();
        let areas: Vec<&Polygon<f64>> = self.areas().collect();
        self.reaches(point, &plane, &stretches, &areas)
    }

    fn reaches(
        &self,
        point: Coord<f64>,
        plane: &Plane,
        stretches: &[Stretch],
        areas: &[&Polygon<f64>],
    ) -> bool {
        let on_plane = plane.lay(point);
        areas.iter().any(|area| area.intersects(&point))
            || stretches
                .iter()
                .any(|stretch| distance(on_plane, *stretch) <= self.metres)
    }

    fn areas(&self) -> impl Iterator<Item = &Polygon<f64>> {
        self.features.iter().flat_map(|feature| match feature {
            Geometry::Polygon(polygon) => std::slice::from_ref(polygon),
            Geometry::MultiPolygon(polygons) => polygons.0.as_slice(),
            _ => &[],
        })
    }

    /// All stretches of the features: a point is one of no length.
    fn stretches<'n>(&'n self, plane: &'n Plane) -> impl Iterator<Item = Stretch> + 'n {
        let lines = |feature: &'n Geometry<f64>| -> Vec<&'n LineString<f64>> {
            let rings =
                |polygon: &'n Polygon<f64>| std::iter::once(polygon.exterior()).chain(polygon.interiors());
            match feature {
                Geometry::LineString(line) => vec![line],
                Geometry::MultiLineString(lines) => lines.0.iter().collect(),
                Geometry::Polygon(polygon) => rings(polygon).collect(),
                Geometry::MultiPolygon(polygons) => polygons.0.iter().flat_map(rings).collect(),
                _ => Vec::new(),
            }
        };
        let points = |feature: &'n Geometry<f64>| -> Vec<Coord<f64>> {
            match feature {
                Geometry::Point(point) => vec![point.0],
                Geometry::MultiPoint(points) => points.0.iter().map(|point| point.0).collect(),
                _ => Vec::new(),
            }
        };
        self.features.iter().flat_map(move |feature| {
            let of_lines = lines(feature)
                .into_iter()
                .flat_map(|line| line.0.windows(2))
                .filter_map(|pair| match pair {
                    [from, to] => Some((plane.lay(*from), plane.lay(*to))),
                    _ => None,
                });
            let of_points = points(feature)
                .into_iter()
                .map(|point| (plane.lay(point), plane.lay(point)));
            of_lines.chain(of_points).collect::<Vec<_>>()
        })
    }
}

/// From a point to the nearest place of a stretch.
fn distance(point: Coord<f64>, (from, to): Stretch) -> f64 {
    let along = to - from;
    let length = along.x * along.x + along.y * along.y;
    let share = if length > 0.0 {
        (((point.x - from.x) * along.x + (point.y - from.y) * along.y) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    libm::hypot(
        point.x - (from.x + share * along.x),
        point.y - (from.y + share * along.y),
    )
}

#[cfg(test)]
mod tests {
    use geo::{Distance as _, Geodesic, Point, line_string, polygon};

    use super::*;

    /// Held against the ellipsoid (the `geo` crate's geodesics after Karney 2013) at three latitudes: within 4 m of a
    /// kilometre, so within a hand's width of fifty metres.
    #[test]
    fn the_plane_is_fair_for_the_distances_that_laws_name() {
        for latitude in [0.5, 46.0, 68.0] {
            let from = Point::new(14.5, latitude);
            for (x, y) in [(0.0005, 0.0), (0.0, 0.0005), (0.0004, -0.0003)] {
                let to = Point::new(14.5 + x, latitude + y);
                let plane = Plane::through(latitude);
                let own = distance(plane.lay(from.0), (plane.lay(to.0), plane.lay(to.0)));
                let exact = Geodesic.distance(from, to);
                assert!(
                    (own - exact).abs() <= exact * 0.007,
                    "{latitude}: {own} and {exact}"
                );
            }
        }
    }

    #[test]
    fn a_strip_along_a_path_has_its_share_of_a_stand() {
        // A stand a hundredth of a degree square at the equator: 1112 m. A path runs along its western side.
        let stand = MultiPolygon::new(vec![polygon![
            (x: 10.0, y: 0.0), (x: 10.01, y: 0.0), (x: 10.01, y: 0.01), (x: 10.0, y: 0.01),
        ]]);
        let path = Geometry::LineString(line_string![(x: 10.0, y: -0.1), (x: 10.0, y: 0.1)]);
        for (metres, expected) in [
            (0.0, 0.0),
            (111.2, 0.1),
            (556.0, 0.5),
            (1112.0, 1.0),
            (5000.0, 1.0),
        ] {
            let near = Near {
                features: vec![path.clone()],
                metres,
            };
            let share = near.share(&stand, &mut Effort::of_a_map()).expect("a share");
            assert!((share - expected).abs() < 0.03, "{metres} m: {share}");
        }
        let far = Near {
            features: vec![Geometry::Point(Point::new(11.0, 0.0))],
            metres: 50.0,
        };
        assert_eq!(far.share(&stand, &mut Effort::of_a_map()), Some(0.0));
        assert_eq!(
            far.share(&MultiPolygon::new(Vec::new()), &mut Effort::of_a_map()),
            None
        );
    }

    #[test]
    fn a_point_is_near_a_place_a_line_or_an_area() {
        let yard = Geometry::Polygon(polygon![
            (x: 10.0, y: 46.0), (x: 10.01, y: 46.0), (x: 10.01, y: 46.01), (x: 10.0, y: 46.01),
        ]);
        let spring = Geometry::Point(Point::new(10.02, 46.0));
        let near = Near {
            features: vec![yard, spring],
            metres: 60.0,
        };
        for (x, y, expected) in [
            (10.005, 46.005, true),
            // 0.0005 degrees of latitude are 55.6 m.
            (10.005, 46.0105, true),
            (10.005, 46.0106, false),
            (10.02, 46.0005, true),
            (10.021, 46.0, false),
        ] {
            assert_eq!(near.holds(Coord { x, y }), expected, "{x} {y}");
        }
    }
}
