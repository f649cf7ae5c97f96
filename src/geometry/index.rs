//! Which stands lie in a box or at a position. In go outlines, out come places of stands; what is asked of them is
//! left to others.

use geo_index::rtree::sort::HilbertSort;
use geo_index::rtree::{RTree, RTreeBuilder, RTreeIndex};

use super::outlines::Outlines;
use super::position::{LngLat, LngLatBox, ROUND};

/// A packed tree of the boxes of all stands.
#[derive(Debug)]
pub struct Index {
    tree: RTree<i32>,
    /// The stand of each box.
    stands: Vec<u32>,
    /// The westernmost and easternmost longitude of all boxes, in units.
    reach: [i64; 2],
}

/// The tree keeps coarser units, rounded outwards, so that sums and differences of two cannot overflow.
const COARSER: u32 = 2;

fn coarse_down(units: i64) -> i32 {
    (units >> COARSER).clamp(-(1 << 30), (1 << 30) - 1) as i32
}

fn coarse_up(units: i64) -> i32 {
    coarse_down(units + (1 << COARSER) - 1)
}

impl Index {
    /// Builds the index of all stands that have an outline.
    pub fn build(outlines: &Outlines) -> Index {
        let stands: Vec<u32> = (0..outlines.len() as u32)
            .filter(|&stand| !outlines.is_empty(stand))
            .collect();
        let mut reach = [i64::MAX, i64::MIN];
        let mut builder = RTreeBuilder::new(stands.len() as u32);
        for &stand in &stands {
            let around = outlines.unit_box(stand);
            reach = [reach[0].min(around.west.into()), reach[1].max(around.east.into())];
            builder.add(
                coarse_down(around.west.into()),
                coarse_down(around.south.into()),
                coarse_up(around.east.into()),
                coarse_up(around.north.into()),
            );
        }
        Index {
            tree: builder.finish::<HilbertSort>(),
            stands,
            reach,
        }
    }

    /// The stands whose boxes meet this box (degrees), in ascending order, with or without a turn around the globe.
    pub fn in_box(&self, around: LngLatBox) -> Vec<u32> {
        if ![around.west, around.south, around.east, around.north]
            .iter()
            .all(|side| side.is_finite())
        {
            return Vec::new();
        }
        let west = (around.west * 1.0e7).floor() as i64;
        let east = (around.east * 1.0e7).ceil() as i64;
        let south = (around.south * 1.0e7).floor() as i64;
        let north = (around.north * 1.0e7).ceil() as i64;
        let mut found: Vec<u32> = Vec::new();
        let [westernmost, easternmost] = self.reach;
        for turn in [-ROUND, 0, ROUND] {
            // Most maps lie on one side of the antimeridian, and only one turn can meet them.
            if west.saturating_add(turn) > easternmost || east.saturating_add(turn) < westernmost {
                continue;
            }
            found.extend(
                self.tree
                    .search(
                        coarse_down(west.saturating_add(turn)),
                        coarse_down(south),
                        coarse_up(east.saturating_add(turn)),
                        coarse_up(north),
                    )
                    .into_iter()
                    .filter_map(|place| self.stands.get(place as usize)),
            );
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// The stands whose boxes hold this position, or nearly hold it.
    pub(super) fn near(&self, position: LngLat) -> Vec<u32> {
        self.in_box(LngLatBox {
            west: position.lng,
            south: position.lat,
            east: position.lng,
            north: position.lat,
        })
    }

    /// The stands that hold this position, the smallest first: the one that lies on top.
    pub fn stands_at(&self, outlines: &Outlines, position: LngLat) -> Vec<u32> {
        let mut found = self.near(position);
        found.retain(|&stand| outlines.contains(stand, position));
        outlines.largest_first(&mut found);
        found.reverse();
        found
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

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

    #[test]
    fn finds_across_the_antimeridian() {
        let mut outlines = Outlines::new();
        outlines.push(&square(179.5, 10.0, 1.0));
        outlines.push(&[]);
        outlines.push(&square(-179.5, 10.0, 1.0));
        outlines.push(&square(20.0, 10.0, 1.0));
        let index = Index::build(&outlines);
        let around = |west, east| {
            index.in_box(LngLatBox {
                west,
                south: 10.2,
                east,
                north: 10.3,
            })
        };
        assert_eq!(around(-180.0, -179.6), [0]);
        assert_eq!(around(-180.0, -179.0), [0, 2]);
        assert_eq!(around(179.0, 181.0), [0, 2]);
        assert_eq!(around(0.0, 90.0), [3]);
        assert_eq!(around(f64::NAN, 90.0), [0; 0]);
        assert_eq!(
            index.stands_at(
                &outlines,
                LngLat {
                    lng: -179.75,
                    lat: 10.5
                }
            ),
            [0]
        );
    }

    #[test]
    fn the_smallest_stand_lies_on_top() {
        let mut outlines = Outlines::new();
        outlines.push(&square(0.0, 0.0, 1.0));
        outlines.push(&square(0.4, 0.4, 0.2));
        outlines.push(&square(0.0, 0.0, 2.0));
        let index = Index::build(&outlines);
        assert_eq!(
            index.stands_at(&outlines, LngLat { lng: 0.5, lat: 0.5 }),
            [1, 0, 2]
        );
        assert_eq!(
            Index::build(&Outlines::new()).stands_at(&outlines, LngLat { lng: 0.5, lat: 0.5 }),
            [0; 0]
        );
    }

    proptest! {
        #[test]
        fn finds_what_looking_at_every_box_finds(
            squares in prop::collection::vec((-180.0f64..180.0, -90.0f64..89.0, 0.001f64..30.0), 0..60),
            (west, south, width, height) in (-180.0f64..180.0, -90.0f64..90.0, 0.0f64..90.0, 0.0f64..90.0),
        ) {
            let mut outlines = Outlines::new();
            for &(west, south, side) in &squares {
                outlines.push(&square(west, south, side));
            }
            let around = LngLatBox { west, south, east: west + width, north: south + height };
            let meets = |stand: u32| {
                let it = outlines.bounds(stand).expect("every square has an outline");
                it.south <= around.north && around.south <= it.north
                    && [-360.0, 0.0, 360.0].iter().any(|turn| it.west <= around.east + turn && around.west + turn <= it.east)
            };
            let expected: Vec<u32> = (0..squares.len() as u32).filter(|&stand| meets(stand)).collect();
            let found = Index::build(&outlines).in_box(around);
            // Boxes are kept rounded outwards, so a near miss may be found too; a hit may never be missed.
            prop_assert!(expected.iter().all(|stand| found.contains(stand)), "{:?} lacks some of {:?}", found, expected);
            prop_assert!(found.len() <= expected.len() + 1);
        }
    }
}
