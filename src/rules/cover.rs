//! How much of a stand an outline covers. In go outlines of a rule book in degrees, made ready once and then laid over
//! one stand after the other; out comes the covered part of each stand, or that it is not known. Which rule follows
//! from it is left to `zone` and `law`.
//!
//! Nearly all stands lie wholly inside or outside and cost a look at one strip of the outline. Where a border goes
//! through a stand, the pieces around it are cut out and their areas measured. Outlines that were made to take for ever
//! meet two bounds: how often borders may cross on one stand, and how much work all stands together may be.

use geo::{Area as _, BoundingRect as _, Coord, LineString, MultiPolygon, Polygon, Rect};

use super::zone::Part;
use crate::geometry::{Crossing, Shared, crossing_of_edges, shared};
use crate::order;

/// How many edges may be looked at for all stands of a map and all outlines laid over them: some twenty seconds at the
/// worst, so that a browser that takes twice as long has an answer before the page takes its engine for stuck.
const EDGES_AT_MOST: u64 = 5_000_000_000;
/// Cutting along one edge costs as much as looking at so many.
const CUT: usize = 400;
/// Ground below this part of the smaller outline comes of rounding.
const ROUNDED: f64 = 1e-9;
/// An outline is kept in at most so many strips from south to north.
const STRIPS: usize = 1024;
/// On average a strip holds so many edges; fewer would cost more to find than to look at.
const EDGES_A_STRIP: usize = 8;
/// All strips together hold at most so many times the edges of the outline: high edges lie in many.
const COPIES: usize = 6;

/// What is left of the work that may be done.
#[derive(Debug)]
pub(super) struct Effort {
    left: u64,
}

impl Effort {
    /// The work that one map with its books may be.
    pub(super) fn of_a_map() -> Effort {
        Effort { left: EDGES_AT_MOST }
    }

    /// Takes so many edges from what is left; false where nothing is left any more.
    pub(super) fn spend(&mut self, edges: usize) -> bool {
        self.left = self.left.saturating_sub(edges as u64);
        self.left > 0
    }

    /// Whether nothing is left.
    pub(super) fn is_spent(&self) -> bool {
        self.left == 0
    }
}

/// An edge of an outline, and of which of its polygons.
#[derive(Debug, Clone, Copy)]
struct Edge {
    polygon: u32,
    from: Coord<f64>,
    to: Coord<f64>,
}

impl Edge {
    fn positions(self) -> [[f64; 2]; 2] {
        [[self.from.x, self.from.y], [self.to.x, self.to.y]]
    }
}

/// An outline that is ready to be laid over stands.
#[derive(Debug)]
pub(super) struct Cover<'b> {
    outline: &'b MultiPolygon<f64>,
    around: Option<Rect<f64>>,
    edges: Vec<Edge>,
    /// The edges that reach into each strip, from south to north; polygons one after the other.
    strips: Vec<Vec<u32>>,
}

impl<'b> Cover<'b> {
    pub(super) fn of(outline: &'b MultiPolygon<f64>) -> Cover<'b> {
        let mut cover = Cover {
            outline,
            around: outline.bounding_rect(),
            edges: edges(outline).collect(),
            strips: Vec::new(),
        };
        let mut count = (cover.edges.len() / EDGES_A_STRIP).clamp(1, STRIPS);
        loop {
            cover.strips = vec![Vec::new(); count];
            let copies: usize = cover
                .edges
                .iter()
                .map(|edge| {
                    let (low, high) = cover.strips_of(edge.from.y, edge.to.y);
                    high - low + 1
                })
                .sum();
            if count == 1 || copies <= cover.edges.len() * COPIES {
                break;
            }
            count /= 2;
        }
        for (edge, place) in cover.edges.iter().zip(0u32..) {
            let (low, high) = cover.strips_of(edge.from.y, edge.to.y);
            cover.strips[low..=high]
                .iter_mut()
                .for_each(|strip| strip.push(place));
        }
        cover
    }

    /// How many edges the outline has.
    pub(super) fn edge_count(&self) -> usize {
        self.edges.len()
    }

    /// The first and the last strip between two latitudes.
    fn strips_of(&self, one: f64, other: f64) -> (usize, usize) {
        let Some(around) = self.around else {
            return (0, 0);
        };
        let last = self.strips.len() - 1;
        let strip = |latitude: f64| {
            let share = (latitude - around.min().y) / around.height();
            // Beyond either end, and where the outline has no height, is the first or the last strip.
            ((share * self.strips.len() as f64) as usize).min(last)
        };
        (strip(one.min(other)), strip(one.max(other)))
    }

    /// Which part of a stand lies within; `None` where that would take too long.
    pub(super) fn part_of(&self, stand: &MultiPolygon<f64>, effort: &mut Effort) -> Option<Part> {
        let (Some(around), Some(bounds)) = (self.around, stand.bounding_rect()) else {
            return Some(Part::NONE);
        };
        if !meet(around, bounds) {
            return Some(Part::NONE);
        }
        let near = self.near(bounds, effort)?;
        let some_corner = stand.0.first().and_then(|polygon| polygon.exterior().0.first());
        if near.is_empty() {
            let within = some_corner.is_some_and(|corner| self.holds(*corner));
            return Some(if within { Part::WHOLE } else { Part::NONE });
        }
        let both = edges(stand).chain(near.iter().map(|&place| self.edges[place as usize]));
        let (may_be_cut, compared) = may_be_cut(both);
        let together = edges(stand).count() + near.len();
        if !effort.spend(compared + together) || !may_be_cut {
            return None;
        }
        let mut polygons: Vec<u32> = near
            .iter()
            .map(|&place| self.edges[place as usize].polygon)
            .collect();
        polygons.dedup();
        let holding = self.holding(bounds.min());
        polygons.extend(holding);
        order::naturally(&mut polygons);
        polygons.dedup();
        let mut pieces: Vec<(u32, Edge)> = Vec::new();
        for place in polygons {
            let polygon = &self.outline.0[place as usize];
            let positions = polygon.exterior().0.len()
                + polygon.interiors().iter().map(|ring| ring.0.len()).sum::<usize>();
            if !effort.spend(positions + CUT * together) {
                return None;
            }
            let piece = MultiPolygon::from(cut_out(polygon, bounds));
            pieces.extend(edges(&piece).map(|edge| (place, edge)));
        }
        Some(Part::of(within(edges(stand), pieces.into_iter()).part()))
    }

    /// The edges whose boxes meet a box, in the order of the outline.
    fn near(&self, bounds: Rect<f64>, effort: &mut Effort) -> Option<Vec<u32>> {
        let (low, high) = self.strips_of(bounds.min().y, bounds.max().y);
        let mut near = Vec::new();
        for strip in &self.strips[low..=high] {
            if !effort.spend(strip.len() + 1) {
                return None;
            }
            near.extend(strip.iter().copied().filter(|&place| {
                let edge = &self.edges[place as usize];
                meet(Rect::new(edge.from, edge.to), bounds)
            }));
        }
        order::naturally(&mut near);
        near.dedup();
        Some(near)
    }

    /// Whether a position lies in one of the polygons.
    fn holds(&self, position: Coord<f64>) -> bool {
        !self.holding(position).is_empty()
    }

    /// The polygons in which a position lies, by the even-odd rule.
    fn holding(&self, position: Coord<f64>) -> Vec<u32> {
        let (strip, _) = self.strips_of(position.y, position.y);
        let mut holding = Vec::new();
        for &place in &self.strips[strip] {
            let Edge { polygon, from, to } = self.edges[place as usize];
            if (from.y > position.y) != (to.y > position.y)
                && position.x < from.x + (position.y - from.y) / (to.y - from.y) * (to.x - from.x)
            {
                if holding.last() == Some(&polygon) {
                    holding.pop();
                } else {
                    holding.push(polygon);
                }
            }
        }
        holding
    }
}

/// Whether two outlines can be cut with each other in any useful time.
pub(super) fn may_be_compared(one: &MultiPolygon<f64>, other: &MultiPolygon<f64>) -> bool {
    may_be_cut(edges(one).chain(edges(other))).0
}

/// Whether an outline and others can all be cut with each other in any useful time.
pub(super) fn may_all_be_compared(one: &MultiPolygon<f64>, others: &[&MultiPolygon<f64>]) -> bool {
    may_be_cut(edges(one).chain(others.iter().flat_map(|other| edges(other)))).0
}

/// Whether two outlines share more than a border; where that would take too long to find out, they count as doing so.
pub(super) fn share_ground(one: &MultiPolygon<f64>, other: &MultiPolygon<f64>) -> bool {
    let boxes = one.bounding_rect().zip(other.bounding_rect());
    boxes.is_some_and(|(one, other)| meet(one, other))
        && (!may_be_compared(one, other)
            || within_all(one, [other]).within > ROUNDED * one.unsigned_area().min(other.unsigned_area()))
}

/// How much of an outline lies in any of the polygons of others.
pub(super) fn within_all<'o>(
    one: &MultiPolygon<f64>,
    others: impl IntoIterator<Item = &'o MultiPolygon<f64>>,
) -> Shared {
    let mut count = 0;
    let others = others.into_iter().flat_map(|other| {
        let first = count;
        count += other.0.len() as u32;
        edges(other).map(move |edge| (first + edge.polygon, edge))
    });
    within(edges(one), others)
}

fn within(one: impl Iterator<Item = Edge>, others: impl Iterator<Item = (u32, Edge)>) -> Shared {
    shared(
        one.map(Edge::positions),
        others.map(|(of, edge)| (of, edge.positions())),
    )
}

/// What looking for places at which an outline crosses itself found.
pub(super) fn crossing_of(outline: &MultiPolygon<f64>) -> Crossing {
    crossing_of_edges(edges(outline).map(Edge::positions)).0
}

/// Whether so few edges cross that cutting along them ends, and how many pairs were compared to find out.
fn may_be_cut(edges: impl Iterator<Item = Edge>) -> (bool, usize) {
    let (found, compared) = crossing_of_edges(edges.map(Edge::positions));
    (matches!(found, Crossing::None | Crossing::Found), compared)
}

fn edges(outline: &MultiPolygon<f64>) -> impl Iterator<Item = Edge> + '_ {
    outline.0.iter().zip(0u32..).flat_map(|(rings, polygon)| {
        std::iter::once(rings.exterior())
            .chain(rings.interiors())
            .flat_map(move |ring| {
                ring.lines().map(move |line| Edge {
                    polygon,
                    from: line.start,
                    to: line.end,
                })
            })
    })
}

fn meet(one: Rect<f64>, other: Rect<f64>) -> bool {
    one.min().x <= other.max().x
        && one.max().x >= other.min().x
        && one.min().y <= other.max().y
        && one.max().y >= other.min().y
}

/// The piece of a polygon in a box and a little around it (Sutherland & Hodgman 1974, Reentrant polygon clipping,
/// Communications of the ACM 17:32). Where the polygon leaves the box and comes back its piece has edges on one another
/// along the box, which fill nothing.
fn cut_out(polygon: &Polygon<f64>, bounds: Rect<f64>) -> Polygon<f64> {
    let margin = 0.1 * bounds.width().max(bounds.height()) + 1e-6;
    let (low, high) = (bounds.min(), bounds.max());
    let ring = |ring: &LineString<f64>| {
        let mut positions: Vec<Coord<f64>> = ring.0.clone();
        for (axis, sign, limit) in [
            (0, 1.0, high.x + margin),
            (0, -1.0, margin - low.x),
            (1, 1.0, high.y + margin),
            (1, -1.0, margin - low.y),
        ] {
            let beyond = |at: Coord<f64>| sign * if axis == 0 { at.x } else { at.y } - limit;
            let mut kept: Vec<Coord<f64>> = Vec::new();
            let Some(&last) = positions.last() else {
                break;
            };
            let mut before = last;
            for &here in &positions {
                let (from, to) = (beyond(before), beyond(here));
                if (from > 0.0) != (to > 0.0) {
                    let part = from / (from - to);
                    kept.push(before + (here - before) * part);
                }
                if to <= 0.0 {
                    kept.push(here);
                }
                before = here;
            }
            positions = kept;
        }
        LineString::new(positions)
    };
    Polygon::new(
        ring(polygon.exterior()),
        polygon.interiors().iter().map(ring).collect(),
    )
}

#[cfg(test)]
#[path = "cover_tests.rs"]
mod tests;
