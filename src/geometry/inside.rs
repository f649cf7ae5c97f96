//! What lies inside an outline. In go positions, out come yes or no, or a position inside. Exact on whole units: of
//! stands that share a border, each position of it belongs to exactly one.

use super::outlines::Outlines;
use super::position::{LngLat, ROUND, degrees, units};

impl Outlines {
    /// Whether the position lies in the stand, holes left out, by the even-odd rule. A position on a shared border
    /// belongs to exactly one of the stands that share it: the one that lies just east of it (just north, where the
    /// border runs along the parallel). Longitudes may be given with or without a turn around the globe.
    pub fn contains(&self, stand: u32, position: LngLat) -> bool {
        if !(position.lng.is_finite() && position.lat.is_finite()) {
            return false;
        }
        let lat = units(position.lat);
        let around = self.unit_box(stand);
        if around.is_empty() || lat < around.south || lat > around.north {
            return false;
        }
        let lng = (position.lng * 1.0e7).round_ties_even() as i64;
        [lng - ROUND, lng, lng + ROUND].into_iter().any(|lng| {
            lng >= i64::from(around.west)
                && lng <= i64::from(around.east)
                && self.polygons(stand).any(|rings| {
                    let mut inside = false;
                    for ring in rings {
                        inside ^= is_inside(ring, lng as i32, lat);
                    }
                    inside
                })
        })
    }

    /// A position inside the stand and well away from its border, to point at it; `None` where it has no outline (or
    /// one so thin that nothing lies in it).
    pub fn inside_point(&self, stand: u32) -> Option<LngLat> {
        let mut best: Option<(i64, [i64; 2])> = None;
        for rings in self.polygons(stand) {
            let rings: Vec<&[i32]> = rings.collect();
            let Some(found) = widest(&rings) else { continue };
            if best.is_none_or(|(width, _)| found.0 > width) {
                best = Some(found);
            }
        }
        best.map(|(_, [lng, lat])| LngLat {
            lng: degrees(lng as i32),
            lat: degrees(lat as i32),
        })
    }
}

/// Whether a ring goes around the position an odd number of times.
pub(super) fn is_inside(ring: &[i32], lng: i32, lat: i32) -> bool {
    let mut inside = false;
    let Some(&[mut from_lng, mut from_lat]) = ring.last_chunk::<2>() else {
        return false;
    };
    for position in ring.chunks_exact(2) {
        let (to_lng, to_lat) = (position[0], position[1]);
        if (from_lat > lat) != (to_lat > lat) {
            // The edge crosses the parallel; is the position east of the crossing, or on it?
            let run = i128::from(to_lng) - i128::from(from_lng);
            let rise = i128::from(to_lat) - i128::from(from_lat);
            let ahead = (i128::from(lng) - i128::from(from_lng)) * rise;
            let crossing = run * (i128::from(lat) - i128::from(from_lat));
            if if rise > 0 {
                ahead >= crossing
            } else {
                ahead <= crossing
            } {
                inside = !inside;
            }
        }
        (from_lng, from_lat) = (to_lng, to_lat);
    }
    inside
}

/// The middle of the widest stretch inside the rings, on a few parallels across their box, with its width.
fn widest(rings: &[&[i32]]) -> Option<(i64, [i64; 2])> {
    let latitudes = || {
        rings
            .first()
            .into_iter()
            .flat_map(|shell| shell.iter().skip(1).step_by(2).copied())
    };
    let (south, north) = (i64::from(latitudes().min()?), i64::from(latitudes().max()?));
    let mut best: Option<(i64, [i64; 2])> = None;
    let mut crossings = Vec::new();
    // The middle first; the others only where it gives a narrow stretch or none.
    for part in [8, 6, 10, 4, 12, 2, 14, 1, 15, 7, 9] {
        let lat = south + (north - south) * part / 16;
        crossings.clear();
        for ring in rings {
            let Some(&[mut from_lng, mut from_lat]) = ring.last_chunk::<2>() else {
                continue;
            };
            for position in ring.chunks_exact(2) {
                let (to_lng, to_lat) = (position[0], position[1]);
                if (i64::from(from_lat) > lat) != (i64::from(to_lat) > lat) {
                    let part =
                        (lat - i64::from(from_lat)) as f64 / (i64::from(to_lat) - i64::from(from_lat)) as f64;
                    let run = (i64::from(to_lng) - i64::from(from_lng)) as f64;
                    crossings.push(i64::from(from_lng) + (run * part).round_ties_even() as i64);
                }
                (from_lng, from_lat) = (to_lng, to_lat);
            }
        }
        crossings.sort_unstable();
        for pair in crossings.chunks_exact(2) {
            let width = pair[1] - pair[0];
            if width > 1 && best.is_none_or(|(widest, _)| width > widest) {
                best = Some((width, [pair[0] + width / 2, lat]));
            }
        }
        let shell_width = || {
            let lngs = || rings[0].iter().step_by(2).map(|&lng| i64::from(lng));
            lngs().max().unwrap_or(0) - lngs().min().unwrap_or(0)
        };
        if part == 8 && best.is_some_and(|(width, _)| width * 2 > shell_width()) {
            break;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn one(polygons: &[Vec<Vec<[f64; 2]>>]) -> Outlines {
        let mut outlines = Outlines::new();
        outlines.push(polygons);
        outlines
    }

    fn at(lng: f64, lat: f64) -> LngLat {
        LngLat { lng, lat }
    }

    #[test]
    fn a_hole_lies_outside() {
        let shell = vec![[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let hole = vec![[4.0, 4.0], [4.0, 6.0], [6.0, 6.0], [6.0, 4.0]];
        let outlines = one(&[vec![shell, hole]]);
        for (lng, lat, inside) in [
            (1.0, 1.0, true),
            (5.0, 5.0, false),
            (11.0, 5.0, false),
            (-1.0, 5.0, false),
            (5.0, 4.0, false), // on the hole's southern edge: the hole lies just north
            (5.0, 6.0, true),  // on the hole's northern edge: the stand lies just north
            (0.0, 5.0, true),  // on the shell's western edge
            (10.0, 5.0, false),
            (f64::NAN, 5.0, false),
        ] {
            assert_eq!(outlines.contains(0, at(lng, lat)), inside, "{lng} {lat}");
        }
        assert!(
            !outlines.contains(7, at(1.0, 1.0)),
            "a stand that was never pushed holds nothing"
        );
    }

    #[test]
    fn across_the_antimeridian_with_and_without_a_turn() {
        let outlines = one(&[vec![vec![[179.0, 0.0], [181.0, 0.0], [181.0, 1.0], [179.0, 1.0]]]]);
        assert!(outlines.contains(0, at(179.5, 0.5)));
        assert!(outlines.contains(0, at(-179.5, 0.5)));
        assert!(outlines.contains(0, at(180.5, 0.5)));
        assert!(!outlines.contains(0, at(-178.5, 0.5)));
    }

    #[test]
    fn the_inside_point_of_a_horseshoe_is_inside() {
        // The middle of the box lies in the opening, not in the stand.
        let horseshoe = vec![
            [0.0, 0.0],
            [1.0, 0.0],
            [1.0, 3.0],
            [3.0, 3.0],
            [3.0, 0.0],
            [4.0, 0.0],
            [4.0, 4.0],
            [0.0, 4.0],
        ];
        let outlines = one(&[vec![horseshoe]]);
        let inside = outlines.inside_point(0).expect("an inside point");
        assert!(outlines.contains(0, inside), "{inside:?}");
        assert!(!outlines.contains(0, at(2.0, 1.0)));
        assert_eq!(one(&[]).inside_point(0), None);
    }

    /// A tessellation of the square 0..n: grid corners moved at random, each cell cut into two triangles.
    fn tessellation(n: usize, shifts: &[(i32, i32)], corner_cuts: &[bool]) -> Outlines {
        let corner = |x: usize, y: usize| {
            let edge = x == 0 || y == 0 || x == n || y == n;
            let (dx, dy) = if edge { (0, 0) } else { shifts[y * (n + 1) + x] };
            [x as f64 + f64::from(dx) * 1e-7, y as f64 + f64::from(dy) * 1e-7]
        };
        let mut outlines = Outlines::new();
        for y in 0..n {
            for x in 0..n {
                let (a, b, c, d) = (
                    corner(x, y),
                    corner(x + 1, y),
                    corner(x + 1, y + 1),
                    corner(x, y + 1),
                );
                if corner_cuts[y * n + x] {
                    outlines.push(&[vec![vec![a, b, c]]]);
                    outlines.push(&[vec![vec![a, d, c]]]);
                } else {
                    outlines.push(&[vec![vec![a, b, d]]]);
                    outlines.push(&[vec![vec![d, c, b]]]);
                }
            }
        }
        outlines
    }

    proptest! {
        #[test]
        fn each_position_of_a_tessellation_has_exactly_one_owner(
            shifts in prop::collection::vec((-3i32..=3, -3i32..=3), 25),
            cuts in prop::collection::vec(any::<bool>(), 16),
            spots in prop::collection::vec((0usize..5, 0usize..5, -4i32..=4, -4i32..=4), 60),
        ) {
            // Positions are drawn a few units around the corners, where most lie exactly on a border.
            let outlines = tessellation(4, &shifts, &cuts);
            for (x, y, dx, dy) in spots {
                let spot = at(x as f64 + f64::from(dx) * 1e-7, y as f64 + f64::from(dy) * 1e-7);
                let in_square = spot.lng >= 0.0 && spot.lng < 4.0 && spot.lat >= 0.0 && spot.lat < 4.0;
                let owners = (0..outlines.len() as u32).filter(|&stand| outlines.contains(stand, spot)).count();
                prop_assert_eq!(owners, usize::from(in_square), "{:?}", spot);
            }
        }

        #[test]
        fn an_inside_point_is_inside(
            ring in prop::collection::vec((-1000i32..1000, -1000i32..1000), 3..12),
        ) {
            let ring: Vec<[f64; 2]> =
                ring.into_iter().map(|(x, y)| [f64::from(x) * 1e-4, f64::from(y) * 1e-4]).collect();
            let outlines = one(&[vec![ring]]);
            if let Some(inside) = outlines.inside_point(0) {
                prop_assert!(outlines.contains(0, inside));
            }
        }
    }
}
