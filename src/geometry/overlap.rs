//! Stands that lie on one another. In go outlines with a position inside each, out come how many share ground with
//! another and an example, measured. What it means for a map is left to others.
//!
//! Only the position inside is looked at: it finds stands that are the same, that lie in one another, or that overlap
//! by much. Slips of a few metres along a border stay unfound.

use geo::{BooleanOps, GeodesicArea};

use super::index::Index;
use super::outlines::Outlines;
use super::position::LngLat;
use crate::units::Hectares;

/// After looking at so many pairs of boxes the search is given up: all stands of a map may lie on one another.
const PAIRS_AT_MOST: usize = 4_000_000;

/// What looking for overlaps found.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlaps {
    /// Stands whose inner position lies in another stand as well.
    pub stands: Vec<u32>,
    /// The first of them, and the smallest other stand that holds its inner position.
    pub first: [u32; 2],
    /// The ground that these two share.
    pub shared: Option<Hectares>,
    /// How many stands were looked at.
    pub looked_at: usize,
}

impl Outlines {
    /// Looks for stands that lie on one another; `inside` gives a position inside each, where there is one. `None`
    /// where none were found.
    pub fn overlaps(&self, index: &Index, inside: impl Fn(u32) -> Option<LngLat>) -> Option<Overlaps> {
        let mut found: Option<Overlaps> = None;
        let mut pairs = 0;
        for stand in 0..self.len() as u32 {
            let Some(position) = inside(stand) else { continue };
            let near = index.near(position);
            pairs += near.len();
            if pairs > PAIRS_AT_MOST {
                break;
            }
            let mut others = near
                .into_iter()
                .filter(|&other| other != stand && self.contains(other, position));
            if let Some(other) = others
                .by_ref()
                .min_by(|&one, &other| self.size(one).total_cmp(&self.size(other)))
            {
                found
                    .get_or_insert_with(|| Overlaps {
                        stands: Vec::new(),
                        first: [stand, other],
                        shared: None,
                        looked_at: 0,
                    })
                    .stands
                    .push(stand);
            }
            if let Some(found) = &mut found {
                found.looked_at = stand as usize + 1;
            }
        }
        if let Some(found) = &mut found {
            let [one, other] = found.first.map(|stand| self.to_geo(stand));
            let square_metres = one.intersection(&other).geodesic_area_unsigned();
            found.shared = Hectares::new(square_metres / 10_000.0).ok();
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(west: f64, south: f64, side: f64) -> Vec<Vec<Vec<[f64; 2]>>> {
        let (east, north) = (west + side, south + side);
        vec![vec![vec![
            [west, south],
            [east, south],
            [east, north],
            [west, north],
        ]]]
    }

    fn looked_for(squares: &[(f64, f64, f64)]) -> Option<Overlaps> {
        let mut outlines = Outlines::new();
        for &(west, south, side) in squares {
            outlines.push(&square(west, south, side));
        }
        let index = Index::build(&outlines);
        outlines.overlaps(&index, |stand| outlines.inside_point(stand))
    }

    #[test]
    fn stands_that_share_ground_are_found() {
        assert_eq!(
            looked_for(&[(0.0, 0.0, 0.01), (0.01, 0.0, 0.01), (0.0, 0.01, 0.01)]),
            None
        );
        assert_eq!(looked_for(&[]), None);
        let found =
            looked_for(&[(0.0, 0.0, 0.01), (0.002, 0.002, 0.002), (0.02, 0.0, 0.01)]).expect("overlaps");
        assert_eq!((found.stands.as_slice(), found.first), (&[1][..], [1, 0]));
        let found = looked_for(&[(0.0, 0.0, 0.01), (0.0, 0.0, 0.01)]).expect("overlaps");
        assert_eq!((found.stands.as_slice(), found.first), (&[0, 1][..], [0, 1]));
        // A square of 0.01 degrees on the equator: 123.1 ha (geographiclib 2.1 for Python, as in `area`).
        let shared = found.shared.expect("an area").get();
        assert!((shared - 123.09).abs() < 0.1, "{shared} ha");
    }
}
