//! What rings fill, by the even-odd rule, however often they cross themselves or each other. In go rings, out comes the
//! area that those of one polygon fill, or how much of one outline lies in others. Whether a border crosses itself, and
//! whether so often that this would take too long, is told by `crossing`.
//!
//! The outlines are cut into slabs, from one position or crossing to the next. Within a slab no two edges cross, so each
//! piece between two neighbours lies wholly within a ring or wholly outside; edges on one another have nothing between
//! them.

use std::sync::LazyLock;

use super::area::{ON_THE_ELLIPSOID, TABLE};
use super::crossing::edges;
use super::latitude::Latitude;
use crate::order;

/// Area of what the rings of one polygon fill by the even-odd rule, in square metres.
pub(super) fn filled_area(rings: &[&[i32]]) -> f64 {
    let all = rings.iter().flat_map(|ring| edges(ring));
    let mut edges: Vec<Rising> = all
        .map(|edge| Rising::between(edge.from.map(f64::from), edge.to.map(f64::from), 0))
        .collect();
    let turned = set_upright(&mut edges);
    let Some(&Rising {
        from: [origin, base], ..
    }) = edges.first()
    else {
        return 0.0;
    };
    let height = Heights::from(if turned { origin } else { base });
    let mut sum = 0.0;
    slabs(&edges, |[low, middle, high], open| {
        for pair in open.chunks_exact(2) {
            let [one, other] = [pair[0], pair[1]].map(|edge| {
                let [start, halfway, end] = [low, middle, high].map(|along| edge.at(along));
                if turned {
                    (high - low) * height.mean(start, halfway, end)
                } else {
                    let under = (end - start) * height.mean(low, middle, high);
                    height.of(high) * (end - origin) - height.of(low) * (start - origin) - under
                }
            });
            sum += other - one;
        }
    });
    sum * ON_THE_ELLIPSOID
}

/// An edge from one position to the next, in degrees.
pub type Edge = [[f64; 2]; 2];

/// What an outline fills, and how much of it lies in others; on the plane, in square degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shared {
    /// All that the outline fills.
    pub whole: f64,
    /// What lies in any of the others.
    pub within: f64,
}

impl Shared {
    /// The shared part; not a number where the outline fills nothing.
    pub fn part(self) -> f64 {
        self.within / self.whole
    }
}

/// How much of an outline, given by its edges, lies in others: edges with the number of the outline they are of. Each by
/// the even-odd rule. The time grows with the number of edges times how many lie beside one another.
pub fn shared(outline: impl Iterator<Item = Edge>, others: impl Iterator<Item = (u32, Edge)>) -> Shared {
    let mut edges: Vec<Rising> = outline.map(|[from, to]| Rising::between(from, to, 0)).collect();
    let mut count = 0;
    edges.extend(others.map(|(of, [from, to])| {
        count = count.max(of + 1);
        Rising::between(from, to, of + 1)
    }));
    set_upright(&mut edges);
    let mut shared = Shared::default();
    // Whether the place is within the outline, then within each of the others, and in how many of those.
    let mut within = vec![false; count as usize + 1];
    slabs(&edges, |[low, middle, high], open| {
        within.fill(false);
        let mut others = 0_usize;
        let mut before = f64::NAN;
        for edge in open {
            let here = edge.at(middle);
            if within[0] {
                let ground = (here - before) * (high - low);
                shared.whole += ground;
                if others > 0 {
                    shared.within += ground;
                }
            }
            let of = edge.of as usize;
            within[of] = !within[of];
            if of > 0 && within[of] {
                others += 1;
            } else if of > 0 {
                others -= 1;
            }
            before = here;
        }
    });
    shared
}

/// Leaves out level edges and puts the others in the order of their lower ends; exchanges both axes first where fewer
/// edges then lie beside one another, and tells whether it did.
fn set_upright(edges: &mut Vec<Rising>) -> bool {
    let beside = |axis: usize| {
        let (mut low, mut high, mut sum) = (f64::MAX, f64::MIN, 0.0);
        for edge in edges.iter() {
            let (from, to) = (edge.from[axis], edge.to[axis]);
            low = low.min(from.min(to));
            high = high.max(from.max(to));
            sum += (from - to).abs();
        }
        sum / (high - low).max(f64::MIN_POSITIVE)
    };
    let turned = beside(0) < beside(1);
    for edge in edges.iter_mut() {
        let turn = |[across, along]: [f64; 2]| if turned { [along, across] } else { [across, along] };
        *edge = Rising::between(turn(edge.from), turn(edge.to), edge.of);
    }
    edges.retain(|edge| edge.from[1] < edge.to[1]);
    order::by(edges, |one, other| one.from[1].total_cmp(&other.from[1]));
    turned
}

/// Goes through slab after slab: where it begins, its middle and its end, and the edges through it from side to side.
fn slabs(edges: &[Rising], mut each: impl FnMut([f64; 3], &[&Rising])) {
    let mut cuts: Vec<f64> = edges.iter().flat_map(|edge| [edge.from[1], edge.to[1]]).collect();
    let mut open: Vec<&Rising> = Vec::new();
    for edge in edges {
        open.retain(|other| other.to[1] > edge.from[1]);
        cuts.extend(open.iter().filter_map(|other| edge.crosses_at(other)));
        open.push(edge);
    }
    order::by(&mut cuts, f64::total_cmp);
    cuts.dedup();
    let mut later = edges.iter().peekable();
    open.clear();
    for slab in cuts.windows(2) {
        let &[low, high] = slab else { continue };
        open.retain(|edge| edge.to[1] > low);
        while let Some(edge) = later.next_if(|edge| edge.from[1] <= low) {
            open.push(edge);
        }
        let middle = low.midpoint(high);
        // From slab to slab few change places.
        for next in 1..open.len() {
            let mut place = next;
            while place > 0 && open[place].at(middle) < open[place - 1].at(middle) {
                open.swap(place, place - 1);
                place -= 1;
            }
        }
        each([low, middle, high], &open);
    }
}

/// An edge from its lower to its upper end, across and along the slabs, and which outline it is of.
#[derive(Debug, Clone, Copy)]
struct Rising {
    from: [f64; 2],
    to: [f64; 2],
    of: u32,
}

impl Rising {
    fn between(one: [f64; 2], other: [f64; 2], of: u32) -> Rising {
        let (from, to) = if one[1] <= other[1] {
            (one, other)
        } else {
            (other, one)
        };
        Rising { from, to, of }
    }

    /// Where it is across the slabs, so far along them.
    fn at(&self, along: f64) -> f64 {
        let part = (along - self.from[1]) / (self.to[1] - self.from[1]);
        self.from[0] + part * (self.to[0] - self.from[0])
    }

    /// How far along the slabs it crosses another.
    fn crosses_at(&self, other: &Rising) -> Option<f64> {
        let beside =
            |one: &Rising, other: &Rising| one.from[0].max(one.to[0]) < other.from[0].min(other.to[0]);
        if beside(self, other) || beside(other, self) {
            return None;
        }
        let low = self.from[1].max(other.from[1]);
        let high = self.to[1].min(other.to[1]);
        let (before, after) = (self.at(low) - other.at(low), self.at(high) - other.at(high));
        (before * after < 0.0).then(|| low + before / (before - after) * (high - low))
    }
}

/// Heights on the equal-area cylinder, above that of a latitude.
struct Heights {
    table: &'static Latitude,
    base: f64,
}

impl Heights {
    fn from(latitude: f64) -> Heights {
        let mut heights = Heights {
            table: LazyLock::force(&TABLE),
            base: 0.0,
        };
        heights.base = heights.of(latitude);
        heights
    }

    fn of(&self, latitude: f64) -> f64 {
        let below = latitude.floor();
        let [from, to] = [below as i32, (below as i32).saturating_add(1)].map(|units| self.table.at(units));
        from + (latitude - below) * (to - from) - self.base
    }

    /// The mean height along an edge (Simpson's rule).
    fn mean(&self, start: f64, halfway: f64, end: f64) -> f64 {
        (self.of(start) + 4.0 * self.of(halfway) + self.of(end)) / 6.0
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::area::ring_area;
    use crate::geometry::inside::is_inside;

    /// Units of a side of a square in which positions of tests are counted.
    const STEP: i32 = 1000;

    fn stepped(ring: &[(i32, i32)]) -> Vec<i32> {
        ring.iter()
            .flat_map(|(east, north)| [east * STEP, north * STEP])
            .collect()
    }

    /// Squares of the size of one step, counted by hand on squared paper.
    #[test]
    fn fills_every_second_piece() {
        let square = ring_area(&[0, 0, STEP, 0, STEP, STEP, 0, STEP]);
        let big: &[(i32, i32)] = &[(0, 0), (4, 0), (4, 4), (0, 4)];
        for (name, rings, expected) in [
            ("a square", vec![big], 16.0),
            ("a bowtie", vec![&[(0, 0), (4, 4), (4, 0), (0, 4)][..]], 8.0),
            ("the same ring twice", vec![big, big], 0.0),
            (
                "a hole across the border",
                vec![big, &[(3, 1), (5, 1), (5, 3), (3, 3)][..]],
                16.0,
            ),
            (
                "twice around",
                vec![&[(0, 0), (4, 0), (4, 4), (1, 4), (1, 1), (3, 1), (3, 3), (0, 3)][..]],
                // The square, less its upper left corner, less what lies within the inner loop.
                15.0 - 4.0 - 1.0 + 1.0,
            ),
            (
                "a border drawn out and back",
                vec![&[(0, 0), (4, 0), (4, 4), (4, 0)][..]],
                0.0,
            ),
        ] {
            let rings: Vec<Vec<i32>> = rings.into_iter().map(stepped).collect();
            let rings: Vec<&[i32]> = rings.iter().map(Vec::as_slice).collect();
            let found = filled_area(&rings) / square;
            assert!(
                (found - expected).abs() < 1e-6,
                "{name}: {found}, expected {expected}"
            );
        }
        assert_eq!(filled_area(&[]), 0.0);
    }

    fn around(ring: &[[f64; 2]]) -> Vec<Edge> {
        ring.iter()
            .zip(ring.iter().cycle().skip(1))
            .map(|(from, to)| [*from, *to])
            .collect()
    }

    fn square(west: f64, south: f64, side: f64) -> Vec<Edge> {
        let (east, north) = (west + side, south + side);
        around(&[[west, south], [east, south], [east, north], [west, north]])
    }

    #[test]
    fn what_lies_in_two_others_is_shared_once() {
        let outline = square(0.0, 0.0, 4.0);
        let of = |others: &[Vec<Edge>]| {
            let edges = others
                .iter()
                .zip(0..)
                .flat_map(|(edges, of)| edges.iter().map(move |edge| (of, *edge)));
            shared(outline.iter().copied(), edges)
        };
        let told = |within: f64| Shared { whole: 16.0, within };
        assert_eq!(of(&[]), told(0.0));
        assert_eq!(of(&[square(4.0, 0.0, 4.0)]), told(0.0), "beside");
        assert_eq!(of(&[square(0.0, 0.0, 4.0)]), told(16.0), "the same");
        assert_eq!(
            of(&[square(0.0, 0.0, 4.0), square(-1.0, -1.0, 8.0)]),
            told(16.0),
            "and a larger one"
        );
        assert_eq!(of(&[square(1.0, 1.0, 2.0)]), told(4.0), "inside");
        assert_eq!(
            of(&[square(3.0, 3.0, 3.0), square(2.0, 2.0, 4.0)]),
            told(4.0),
            "on one another"
        );
        let bowtie = around(&[[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0]]);
        assert_eq!(of(&[bowtie]), told(8.0), "a bowtie");
        assert!(shared(std::iter::empty(), std::iter::empty()).part().is_nan());
    }

    proptest! {
        /// Held against counting places on a fine grid that lie within (even-odd, edge by edge).
        #[test]
        fn agrees_with_counting_places(
            rings in prop::collection::vec(prop::collection::vec((0i32..12, 0i32..12), 3..9), 1..4),
            east in -170i32..170, north in -60i32..60,
        ) {
            let shift = |ring: &[(i32, i32)]| -> Vec<i32> {
                let ring = stepped(ring);
                let corner = [east * 10_000_000, north * 10_000_000];
                ring.iter().zip(corner.iter().cycle()).map(|(at, corner)| at + corner).collect()
            };
            let rings: Vec<Vec<i32>> = rings.iter().map(|ring| shift(ring)).collect();
            let rings: Vec<&[i32]> = rings.iter().map(Vec::as_slice).collect();
            let (mut within, mut all) = (0, 0);
            let fine = STEP / 10;
            let places = |from: i32| (0..12 * STEP / fine).map(move |n| from * 10_000_000 + n * fine + fine / 2 + 1);
            for lat in places(north) {
                for lng in places(east) {
                    all += 1;
                    within += i32::from(rings.iter().filter(|ring| is_inside(ring, lng, lat)).count() % 2 == 1);
                }
            }
            let side = 12 * STEP;
            let corner = [east * 10_000_000, north * 10_000_000];
            let square = ring_area(&[
                corner[0], corner[1], corner[0] + side, corner[1],
                corner[0] + side, corner[1] + side, corner[0], corner[1] + side,
            ]);
            let expected = f64::from(within) / f64::from(all);
            let found = filled_area(&rings) / square;
            // Each edge may be off by half a place all along; most cancel.
            prop_assert!((found - expected).abs() < 0.01, "{} of the square, expected {}", found, expected);
        }
    }
}
