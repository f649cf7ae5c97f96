//! Whether the border of a polygon crosses itself. In go rings in units, or edges in degrees, out comes what was found.
//! What to do about it is left to others.

use super::position::units;

/// What looking for crossings found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Crossing {
    /// No two edges cross.
    None,
    /// At least two edges cross.
    Found,
    /// Edges cross in more places than those of any stand.
    Tangled,
    /// The border is so long and winding that the search was given up.
    NotChecked,
}

/// After so many comparisons an edge the search is given up: about a fifth of a second for the largest outlines, and
/// never for one of fewer edges than twice that.
const COMPARISONS_AN_EDGE: usize = 250;
/// A border that crosses itself more often is no outline, and what it fills cannot be worked out in any useful time.
const CROSSINGS_AT_MOST: usize = 1_000;

/// Looks for two edges, of one ring or of two, that cross in a point inside both. Edges that only touch do not cross.
pub(super) fn crossing(rings: &[&[i32]]) -> Crossing {
    if let [ring] = rings
        && is_star(ring)
    {
        return Crossing::None;
    }
    let mut edges: Vec<Edge> = Vec::with_capacity(rings.iter().map(|ring| ring.len() / 2).sum());
    rings.iter().for_each(|ring| edges.extend(self::edges(ring)));
    sweep(edges).0
}

/// Looks among edges in degrees for two that cross in a point inside both, whatever outlines they are of. Tells too how
/// many pairs of edges were compared.
pub fn crossing_of_edges(edges: impl Iterator<Item = [[f64; 2]; 2]>) -> (Crossing, usize) {
    let position = |[lng, lat]: [f64; 2]| [units(lng), units(lat)];
    sweep(
        edges
            .map(|[from, to]| Edge {
                from: position(from),
                to: position(to),
            })
            .collect(),
    )
}

fn sweep(mut edges: Vec<Edge>) -> (Crossing, usize) {
    if sweeps_better_eastwards(&edges) {
        edges.iter_mut().for_each(|edge| *edge = edge.turned());
    }
    // South to north; each number holds where an edge begins and which it is.
    let mut order: Vec<u64> = edges
        .iter()
        .zip(0u64..)
        .map(|(edge, place)| u64::from(edge.south().abs_diff(i32::MIN)) << 32 | place)
        .collect();
    order.sort_unstable();
    let mut open: Vec<Edge> = Vec::new();
    let (mut compared, mut crossings) = (0, 0);
    let comparisons = edges.len() * COMPARISONS_AN_EDGE;
    for place in order {
        let edge = edges[(place & 0xffff_ffff) as usize];
        let south = edge.south();
        compared += open.len();
        if compared > comparisons {
            // Where some edges cross, how many more do is not known.
            let found = if crossings > 0 {
                Crossing::Tangled
            } else {
                Crossing::NotChecked
            };
            return (found, compared);
        }
        let mut next = 0;
        while let Some(other) = open.get(next) {
            if other.north() < south {
                open.swap_remove(next);
            } else {
                crossings += usize::from(edge.crosses(other));
                next += 1;
            }
        }
        if crossings > CROSSINGS_AT_MOST {
            return (Crossing::Tangled, compared);
        }
        open.push(edge);
    }
    let found = if crossings > 0 {
        Crossing::Found
    } else {
        Crossing::None
    };
    (found, compared)
}

/// An edge from one position to the next, in units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) from: [i32; 2],
    pub(super) to: [i32; 2],
}

impl Edge {
    fn south(&self) -> i32 {
        self.from[1].min(self.to[1])
    }

    fn north(&self) -> i32 {
        self.from[1].max(self.to[1])
    }

    fn turned(&self) -> Edge {
        let turn = |[a, b]: [i32; 2]| [b, a];
        Edge {
            from: turn(self.from),
            to: turn(self.to),
        }
    }

    fn crosses(&self, other: &Edge) -> bool {
        self.from[0].min(self.to[0]) <= other.from[0].max(other.to[0])
            && other.from[0].min(other.to[0]) <= self.from[0].max(self.to[0])
            && side(self, other.from) * side(self, other.to) < 0
            && side(other, self.from) * side(other, self.to) < 0
    }
}

/// On which side of an edge a position lies: -1, 0 or 1.
fn side(edge: &Edge, position: [i32; 2]) -> i32 {
    let along = |place: [i32; 2], axis: usize| i64::from(place[axis]) - i64::from(edge.from[axis]);
    let (run, rise) = (along(edge.to, 0), along(edge.to, 1));
    let (east, north) = (along(position, 0), along(position, 1));
    let near = |length: i64| i32::try_from(length).is_ok();
    // Nearly all are near enough for whole numbers of one register.
    if near(run) && near(rise) && near(east) && near(north) {
        return (run * north - rise * east).signum() as i32;
    }
    let wide = |one: i64, other: i64| i128::from(one) * i128::from(other);
    (wide(run, north) - wide(rise, east)).signum() as i32
}

/// The edges of a ring, the last position to the first among them.
pub(super) fn edges(ring: &[i32]) -> impl Iterator<Item = Edge> + '_ {
    let last = ring.last_chunk::<2>().copied().unwrap_or_default();
    ring.chunks_exact(2)
        .map(|position| [position[0], position[1]])
        .scan(last, |from, to| {
            let edge = Edge { from: *from, to };
            *from = to;
            Some(edge)
        })
}

/// Fewer edges are open at once along the axis on which edges are shorter against the whole.
fn sweeps_better_eastwards(edges: &[Edge]) -> bool {
    let open_at_once = |axis: usize| {
        let (mut low, mut high, mut sum) = (i64::MAX, i64::MIN, 0.0);
        for edge in edges {
            let (from, to) = (i64::from(edge.from[axis]), i64::from(edge.to[axis]));
            low = low.min(from.min(to));
            high = high.max(from.max(to));
            sum += (from - to).abs() as f64;
        }
        sum / (high - low).max(1) as f64
    };
    open_at_once(0) < open_at_once(1)
}

/// Whether all of the ring is seen from its middle, going round once: such a ring cannot cross itself. True for most
/// stands, and quick.
fn is_star(ring: &[i32]) -> bool {
    let count = (ring.len() / 2) as i64;
    if count < 3 {
        return false;
    }
    let middle = |axis: usize| {
        ring.iter()
            .skip(axis)
            .step_by(2)
            .map(|&value| i64::from(value))
            .sum::<i64>()
            / count
    };
    let (lng, lat) = (middle(0), middle(1));
    let turn = |edge: &Edge| {
        let from = [i64::from(edge.from[0]) - lng, i64::from(edge.from[1]) - lat];
        let to = [i64::from(edge.to[0]) - lng, i64::from(edge.to[1]) - lat];
        (i128::from(from[0]) * i128::from(to[1]) - i128::from(from[1]) * i128::from(to[0])).signum()
    };
    let Some(way) = edges(ring).next().map(|edge| turn(&edge)) else {
        return false;
    };
    let mut rises = 0;
    for edge in edges(ring) {
        if way == 0 || turn(&edge) != way {
            return false;
        }
        if (i64::from(edge.from[1]) < lat) && (i64::from(edge.to[1]) >= lat) {
            rises += 1;
        }
    }
    rises == 1
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn tells_crossing_from_touching() {
        for (name, ring, expected) in [
            ("square", &[0, 0, 10, 0, 10, 10, 0, 10][..], Crossing::None),
            ("bowtie", &[0, 0, 10, 10, 10, 0, 0, 10], Crossing::Found),
            (
                "bowtie that meets at a position",
                &[0, 0, 5, 5, 10, 10, 10, 0, 5, 5, 0, 10],
                Crossing::None,
            ),
            (
                "a tip that touches an edge",
                &[0, 0, 10, 0, 10, 10, 5, 0, 0, 10],
                Crossing::None,
            ),
            (
                "a tip that touches a slope",
                &[0, 0, 12, 0, 12, 6, 6, 3, 0, 12],
                Crossing::None,
            ),
            (
                "a tip from below",
                &[0, 0, 5, 10, 10, 0, 10, 10, 0, 10],
                Crossing::None,
            ),
            (
                "a tip from the west",
                &[0, 0, 10, 5, 0, 10, 10, 10, 10, 0],
                Crossing::None,
            ),
            (
                "spike out and back",
                &[0, 0, 10, 0, 10, 5, 20, 5, 10, 5, 10, 10, 0, 10],
                Crossing::None,
            ),
            (
                "horseshoe",
                &[0, 0, 1, 0, 1, 3, 3, 3, 3, 0, 4, 0, 4, 4, 0, 4],
                Crossing::None,
            ),
            (
                "horseshoe whose arm goes through the other",
                &[0, 0, 4, 0, 4, 4, 2, 4, 2, -2, 1, -2, 1, 4, 0, 4],
                Crossing::Found,
            ),
            (
                "twice around",
                &[0, 0, 10, 0, 10, 10, 0, 10, -1, -1, 11, -1, 9, 11, 1, 9],
                Crossing::Found,
            ),
        ] {
            assert_eq!(crossing(&[ring]), expected, "{name}");
        }
    }

    #[test]
    fn a_hole_may_cross_its_shell() {
        let shell = &[0, 0, 10, 0, 10, 10, 0, 10][..];
        assert_eq!(crossing(&[shell, &[2, 2, 2, 4, 4, 4, 4, 2]]), Crossing::None);
        assert_eq!(crossing(&[shell, &[8, 2, 8, 4, 12, 4, 12, 2]]), Crossing::Found);
    }

    #[test]
    fn a_long_search_is_given_up() {
        // A slanting comb: whichever way is swept, every tooth is open while every other is looked at.
        let slant = |n: i32| if n % 2 == 0 { 0 } else { 100_000 };
        let comb = |teeth: i32| -> Vec<i32> {
            let teeth = (0..teeth).flat_map(|n| [n * 10 + slant(n), slant(n)]);
            teeth.chain([200_000, -10, 0, -10]).collect()
        };
        assert_eq!(crossing(&[&comb(400)]), Crossing::None);
        assert_eq!(crossing(&[&comb(2000)]), Crossing::NotChecked);
    }

    #[test]
    fn a_tangle_is_told_from_a_crossing() {
        // A star of so many tips, drawn in one line: each edge crosses nearly all others.
        let star = |tips: i32| -> Vec<i32> {
            let at = |tip: i32| f64::from(tip * (tips / 2)) / f64::from(tips) * std::f64::consts::TAU;
            let position =
                |tip: i32| [libm::cos(at(tip)), libm::sin(at(tip))].map(|part| (part * 1e6) as i32);
            (0..tips).flat_map(position).collect()
        };
        assert_eq!(crossing(&[&star(5)]), Crossing::Found);
        assert_eq!(crossing(&[&star(31)]), Crossing::Found);
        assert_eq!(crossing(&[&star(201)]), Crossing::Tangled);
        assert_eq!(crossing(&[&star(2001)]), Crossing::Tangled);
    }

    proptest! {
        #[test]
        fn agrees_with_comparing_every_pair(ring in prop::collection::vec(-20i32..20, 6..28)) {
            let ring = &ring[..ring.len() / 2 * 2];
            let all: Vec<Edge> = edges(ring).collect();
            let expected = all.iter().enumerate().any(|(n, edge)| all[..n].iter().any(|other| edge.crosses(other)));
            prop_assert_eq!(crossing(&[ring]) == Crossing::Found, expected);
        }
    }
}
