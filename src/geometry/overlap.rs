//! Stands that lie on one another. In go outlines and their index, out come the stands that share ground with another,
//! how much ground that is, and an example, measured. What it means for a map is left to others.
//!
//! Two stands whose boxes meet are compared on lines laid through the ground that both boxes share, as many from west
//! to east as from south to north: a shared piece is found wherever it reaches over more than one part in twelve of
//! that ground, either way. Slips along a common border are left alone: less than a metre, or less than one part in a
//! hundred of the smaller stand.

use super::filled::{Edge, shared};
use super::index::Index;
use super::outlines::Outlines;
use super::position::{ROUND, UNITS_PER_DEGREE, UnitBox};
use crate::units::Hectares;

/// Lines laid through the ground that two boxes share, each way.
const LINES: usize = 12;
/// Shared stretches of a line below so many metres are slips along a border.
const SLIP: f64 = 1.0;
/// Shared ground below this part of the smaller stand is a slip along a border.
const PART: f64 = 0.01;
/// So many pairs are measured exactly; of further ones the lines tell how much they share.
const MEASURED: usize = 200;
/// Pairs whose edges might cross in more places are not measured exactly either.
const CROSSINGS_AT_MOST: usize = 250_000;
/// After looking at so many edges the search is given up: all stands of a map may lie on one another. About a second.
const EDGES_AT_MOST: usize = 200_000_000;
/// A pair costs as much as looking at so many edges, whatever its edges cost.
const PAIR: usize = 100;
/// Metres of a unit along a meridian.
const METRES: f64 = 6_371_008.8 * std::f64::consts::PI / 180.0 / UNITS_PER_DEGREE;

/// What looking for overlaps found.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlaps {
    /// Stands that share ground with another, in the order of the map.
    pub stands: Vec<u32>,
    /// How many pairs share ground.
    pub pairs: usize,
    /// The ground that all pairs share, added up.
    pub shared: Hectares,
    /// The first pair.
    pub first: [u32; 2],
    /// The ground that the first pair shares.
    pub first_shared: Hectares,
    /// How many stands were looked at.
    pub looked_at: usize,
}

/// What two stands share on the lines laid through them.
#[derive(Debug, Clone, Copy, Default)]
struct OnLines {
    /// Square metres, about.
    square_metres: f64,
    /// The longest shared stretch, in metres.
    longest: f64,
}

impl Outlines {
    /// Looks for stands that lie on one another; `None` where none were found.
    pub fn overlaps(&self, index: &Index) -> Option<Overlaps> {
        self.overlaps_within(index, EDGES_AT_MOST)
    }

    /// As [`Outlines::overlaps`]; after looking at so many edges the search is given up.
    pub fn overlaps_within(&self, index: &Index, edges_at_most: usize) -> Option<Overlaps> {
        let edges: Vec<u32> = (0..self.len() as u32)
            .map(|stand| self.edge_count(stand))
            .collect();
        let mut shares = vec![false; self.len()];
        let mut first = None;
        let (mut pairs, mut square_metres, mut looked_at) = (0, 0.0, 0);
        let mut looked = 0;
        let mut lines = Lines::default();
        for stand in 0..self.len() as u32 {
            if looked > edges_at_most {
                break;
            }
            looked_at = stand as usize + 1;
            let Some(around) = self.bounds(stand) else {
                continue;
            };
            for other in index.in_box(around) {
                // Finding a box costs about as much as looking at a few edges.
                looked += 4;
                if other <= stand || looked > edges_at_most {
                    continue;
                }
                let Some((shared_box, turn)) = shared_box(self.unit_box(stand), self.unit_box(other)) else {
                    continue;
                };
                looked += PAIR + edges[stand as usize] as usize + edges[other as usize] as usize;
                let on_lines = lines.shared(self, [stand, other], shared_box, turn);
                let smaller = self.square_metres(stand).min(self.square_metres(other));
                // The lines may miss by much where they meet a piece once or twice: what is near counts, until measured.
                if on_lines.longest < SLIP || on_lines.square_metres < PART / 5.0 * smaller {
                    continue;
                }
                let together = edges[stand as usize] as usize * edges[other as usize] as usize;
                let measured = pairs < MEASURED && turn == 0 && together <= CROSSINGS_AT_MOST;
                let shared = if measured {
                    // On the plane, a part of either is the same as on the ground.
                    let others = self.edges_of(other).map(|edge| (0, edge));
                    self.square_metres(stand) * shared(self.edges_of(stand), others).part()
                } else {
                    on_lines.square_metres
                };
                if shared < PART * smaller {
                    continue;
                }
                first.get_or_insert(([stand, other], shared));
                pairs += 1;
                square_metres += shared;
                shares[stand as usize] = true;
                shares[other as usize] = true;
            }
        }
        let (first, first_shared) = first?;
        let hectares =
            |square_metres: f64| Hectares::new(square_metres / 10_000.0).unwrap_or(Hectares::GREATEST);
        Some(Overlaps {
            stands: (0..)
                .zip(shares)
                .filter_map(|(stand, shares)| shares.then_some(stand))
                .collect(),
            pairs,
            shared: hectares(square_metres),
            first,
            first_shared: hectares(first_shared),
            looked_at,
        })
    }

    fn edges_of(&self, stand: u32) -> impl Iterator<Item = Edge> + '_ {
        let rings = self.polygons(stand).flatten();
        rings
            .flat_map(super::crossing::edges)
            .map(|edge| [edge.from, edge.to].map(|position| position.map(f64::from)))
    }

    fn edge_count(&self, stand: u32) -> u32 {
        self.polygons(stand)
            .flatten()
            .map(|ring| (ring.len() / 2) as u32)
            .sum()
    }

    fn square_metres(&self, stand: u32) -> f64 {
        self.measured(stand)
            .unwrap_or_else(|| self.area(stand).map_or(0.0, |area| area.get() * 10_000.0))
    }
}

/// The ground that two boxes share, in units of the first, and how far east the second is turned to meet the first;
/// `None` where they share none or meet along a border only.
fn shared_box(one: UnitBox, other: UnitBox) -> Option<([i64; 4], i64)> {
    let wide = |side: i32| i64::from(side);
    for turn in [0, ROUND, -ROUND] {
        let west = wide(one.west).max(wide(other.west) + turn);
        let east = wide(one.east).min(wide(other.east) + turn);
        let south = wide(one.south).max(wide(other.south));
        let north = wide(one.north).min(wide(other.north));
        let across =
            METRES * libm::cos(middle(south, north) / UNITS_PER_DEGREE * std::f64::consts::PI / 180.0);
        if (east - west) as f64 * across > SLIP && (north - south) as f64 * METRES > SLIP {
            return Some(([west, south, east, north], turn));
        }
    }
    None
}

fn middle(from: i64, to: i64) -> f64 {
    (from as f64).midpoint(to as f64)
}

/// Room for the places at which borders cross the lines, kept from pair to pair.
#[derive(Debug, Default)]
struct Lines {
    crossings: [[Vec<f64>; LINES]; 2],
}

impl Lines {
    /// What two stands share on lines through a box; the second is turned east by so many units.
    fn shared(&mut self, outlines: &Outlines, stands: [u32; 2], shared_box: [i64; 4], turn: i64) -> OnLines {
        let [west, south, east, north] = shared_box;
        let latitude = middle(south, north) / UNITS_PER_DEGREE * std::f64::consts::PI / 180.0;
        let across = METRES * libm::cos(latitude);
        let mut best = OnLines::default();
        // From west to east at certain latitudes, then from south to north at certain longitudes.
        for (axis, from, to, spacing_metres, along_metres) in
            [(1, south, north, METRES, across), (0, west, east, across, METRES)]
        {
            // Half a unit beside whole ones: no line goes through a position.
            let spacing = (to - from) as f64 / LINES as f64;
            let line = |n: usize| (from as f64 + (n as f64 + 0.5) * spacing).floor() + 0.5;
            for (place, &stand) in stands.iter().enumerate() {
                let turn = if place == 1 { turn as f64 } else { 0.0 };
                let crossings = &mut self.crossings[place];
                crossings.iter_mut().for_each(Vec::clear);
                for ring in outlines.polygons(stand).flatten() {
                    let Some(last) = ring.last_chunk::<2>() else {
                        continue;
                    };
                    let position = |at: &[i32]| [f64::from(at[0]) + turn, f64::from(at[1])];
                    let mut before = position(last);
                    for at in ring.chunks_exact(2) {
                        let here = position(at);
                        let low = before[axis].min(here[axis]);
                        let high = before[axis].max(here[axis]);
                        if high > from as f64 && low < to as f64 {
                            let first = ((low - from as f64) / spacing - 1.0).max(0.0) as usize;
                            for (n, crossings) in crossings.iter_mut().enumerate().skip(first) {
                                let line = line(n);
                                if line > high {
                                    break;
                                }
                                if line > low {
                                    let part = (line - before[axis]) / (here[axis] - before[axis]);
                                    let other = 1 - axis;
                                    crossings.push(before[other] + part * (here[other] - before[other]));
                                }
                            }
                        }
                        before = here;
                    }
                }
            }
            let [ones, others] = &mut self.crossings;
            let mut length = 0.0;
            for (one, other) in ones.iter_mut().zip(others) {
                one.sort_unstable_by(f64::total_cmp);
                other.sort_unstable_by(f64::total_cmp);
                let (all, longest) = shared_stretches(one, other);
                length += all * along_metres;
                best.longest = best.longest.max(longest * along_metres);
            }
            best.square_metres = best.square_metres.max(length * spacing * spacing_metres);
        }
        best
    }
}

/// How long the stretches are that lie between odd and even crossings of both, all together and the longest.
fn shared_stretches(one: &[f64], other: &[f64]) -> (f64, f64) {
    let (mut all, mut longest) = (0.0, 0.0_f64);
    let (mut here, mut there) = (0, 0);
    while let (Some(&[from, to]), Some(&[other_from, other_to])) = (
        one.get(here..here + 2).and_then(<[f64]>::first_chunk::<2>),
        other.get(there..there + 2).and_then(<[f64]>::first_chunk::<2>),
    ) {
        let stretch = to.min(other_to) - from.max(other_from);
        if stretch > 0.0 {
            all += stretch;
            longest = longest.max(stretch);
        }
        if to < other_to {
            here += 2;
        } else {
            there += 2;
        }
    }
    (all, longest)
}

#[cfg(test)]
mod tests {
    use geo::{Area, BooleanOps, GeodesicArea};
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::position::{Polygons, Ring};

    fn square(west: f64, south: f64, width: f64, height: f64) -> Ring {
        let (east, north) = (west + width, south + height);
        vec![[west, south], [east, south], [east, north], [west, north]]
    }

    fn looked_for(stands: &[Polygons]) -> Option<Overlaps> {
        let mut outlines = Outlines::new();
        for polygons in stands {
            outlines.push(polygons);
        }
        let index = Index::build(&outlines);
        outlines.overlaps(&index)
    }

    /// Squares of a hundredth of a degree and less on the equator, where one has 123.09 ha (geographiclib 2.1 for
    /// Python, as in `area`): 0.0001 degrees are 11 m.
    #[test]
    fn stands_that_share_ground_are_found() {
        let whole = || vec![vec![square(0.0, 0.0, 0.01, 0.01)]];
        let ring = || {
            vec![vec![
                square(0.0, 0.0, 0.01, 0.01),
                square(0.001, 0.001, 0.008, 0.008),
            ]]
        };
        let at = |west, south, width, height| vec![vec![square(west, south, width, height)]];
        for (name, stands, expected) in [
            ("none", vec![], None),
            (
                "one beside and one above",
                vec![whole(), at(0.01, 0.0, 0.01, 0.01), at(0.0, 0.01, 0.01, 0.01)],
                None,
            ),
            ("one without an outline", vec![whole(), vec![]], None),
            (
                "one in another",
                vec![whole(), at(0.002, 0.002, 0.002, 0.002)],
                Some((vec![0, 1], 1, 4.924)),
            ),
            (
                "the same twice",
                vec![whole(), whole()],
                Some((vec![0, 1], 1, 123.09)),
            ),
            (
                "the same three times",
                vec![whole(), whole(), whole()],
                Some((vec![0, 1, 2], 3, 3.0 * 123.09)),
            ),
            (
                "corners over one another",
                vec![whole(), at(0.008, 0.008, 0.01, 0.01)],
                Some((vec![0, 1], 1, 4.924)),
            ),
            (
                "a cross: no position of one in the other",
                vec![at(0.0, 0.004, 0.01, 0.002), at(0.004, 0.0, 0.002, 0.01)],
                Some((vec![0, 1], 1, 4.924)),
            ),
            (
                "a strip of 22 m along a border",
                vec![whole(), at(0.0098, 0.0, 0.01, 0.01)],
                Some((vec![0, 1], 1, 2.462)),
            ),
            (
                "a slip of 2 m along a border",
                vec![whole(), at(0.00998, 0.0, 0.01, 0.01)],
                None,
            ),
            (
                "a slip of half a metre beside a narrow stand",
                vec![whole(), at(0.009_995_5, 0.0, 0.000_1, 0.01)],
                None,
            ),
            ("in a hole", vec![ring(), at(0.001, 0.001, 0.008, 0.008)], None),
            (
                "in a hole and over its border",
                vec![ring(), at(0.0005, 0.001, 0.008, 0.008)],
                Some((vec![0, 1], 1, 4.924)),
            ),
            (
                "over the antimeridian",
                vec![at(179.995, 0.0, 0.01, 0.01), at(-179.999, 0.0, 0.01, 0.01)],
                Some((vec![0, 1], 1, 49.24)),
            ),
        ] {
            let found = looked_for(&stands);
            match (&found, &expected) {
                (None, None) => {}
                (Some(found), Some((stands, pairs, hectares))) => {
                    assert_eq!((&found.stands, found.pairs), (stands, *pairs), "{name}");
                    assert!(
                        (found.shared.get() / hectares - 1.0).abs() < 0.01,
                        "{name}: {found:?}"
                    );
                }
                _ => panic!("{name}: {found:?}, expected {expected:?}"),
            }
        }
    }

    #[test]
    fn the_search_can_be_given_up() {
        let mut outlines = Outlines::new();
        for _ in 0..50 {
            outlines.push(&[vec![square(0.0, 0.0, 0.01, 0.01)]]);
        }
        let index = Index::build(&outlines);
        let found = outlines.overlaps_within(&index, 1000).expect("overlaps");
        assert!((1..20).contains(&found.looked_at), "{found:?}");
        assert_eq!(outlines.overlaps(&index).map(|found| found.looked_at), Some(50));
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

        /// Held against the intersection that the `geo` crate works out for every pair. The lines surely meet a piece
        /// that has more than four of the 144 cells between them; what is smaller may fall between them, or not.
        #[test]
        fn agrees_with_intersecting_every_pair(
            discs in prop::collection::vec(
                (0.0f64..0.03, 0.0f64..0.03, prop::collection::vec(0.002f64..0.008, 5..20)), 2..8),
        ) {
            let mut outlines = Outlines::new();
            for (lng, lat, radii) in &discs {
                let count = radii.len() as f64;
                let ring: Ring = radii.iter().enumerate().map(|(n, radius)| {
                    let angle = n as f64 / count * std::f64::consts::TAU;
                    [8.0 + lng + radius * angle.cos(), 47.0 + lat + radius * angle.sin()]
                }).collect();
                outlines.push(&[vec![ring]]);
            }
            let (mut surely, mut perhaps) = (0, 0);
            for one in 0..outlines.len() as u32 {
                for other in 0..one {
                    let pieces = outlines.to_geo(one).intersection(&outlines.to_geo(other));
                    let part = pieces.geodesic_area_unsigned()
                        / outlines.square_metres(one).min(outlines.square_metres(other));
                    let largest = pieces.iter().map(Area::unsigned_area).fold(0.0, f64::max);
                    let around = shared_box(outlines.unit_box(one), outlines.unit_box(other));
                    let cell = around.map_or(0.0, |([west, south, east, north], _)| {
                        let side = |from: i64, to: i64| (to - from) as f64 / UNITS_PER_DEGREE / LINES as f64;
                        side(west, east) * side(south, north)
                    });
                    surely += usize::from(part > 0.03 && largest > 4.0 * cell);
                    perhaps += usize::from(part > 0.0099);
                }
            }
            let found = outlines.overlaps(&Index::build(&outlines)).map_or(0, |found| found.pairs);
            prop_assert!((surely..=perhaps).contains(&found), "{} found, {} to {} expected", found, surely, perhaps);
        }
    }
}
