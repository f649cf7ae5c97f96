//! Where stands lie on the grid of a tile, whatever their colours are. In go rings in fine steps, out come the rows that
//! each polygon crosses and where; kept for a while, they let a tile be drawn in other colours without looking at the
//! outlines again.

use std::collections::VecDeque;

/// A stand on the grid of a tile.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laid {
    pub(super) stand: u32,
    /// Fine steps eastward, around the world, to where it is seen.
    pub(super) shift: i64,
    /// Where its polygons end, among all ends of the tile.
    ends: u32,
}

/// All stands on the grid of one tile.
#[derive(Debug, Default, Clone)]
pub(super) struct Lay {
    stands: Vec<Laid>,
    /// Where the crossings of each polygon end.
    ends: Vec<u32>,
    /// Where borders cross the middles of rows: row in the upper half, column in the lower; in order for each polygon.
    crossings: Vec<u32>,
}

impl Lay {
    pub(super) fn clear(&mut self) {
        self.stands.clear();
        self.ends.clear();
        self.crossings.clear();
    }

    /// Takes a crossing of the current polygon.
    #[inline]
    pub(super) fn cross(&mut self, row: i64, column: i64) {
        self.crossings.push((row << 16 | column) as u32);
    }

    /// Ends the current polygon.
    pub(super) fn end_polygon(&mut self) {
        let from = self.ends.last().map_or(0, |&end| end as usize);
        self.crossings[from..].sort_unstable();
        self.ends.push(self.crossings.len() as u32);
    }

    /// Ends the current stand.
    pub(super) fn end_stand(&mut self, stand: u32, shift: i64) {
        let ends = self.ends.len() as u32;
        self.stands.push(Laid { stand, shift, ends });
    }

    /// The stands in the order in which they were laid, and with each the crossings of its polygons.
    pub(super) fn stands(&self) -> impl Iterator<Item = (Laid, impl Iterator<Item = &[u32]>)> {
        let mut polygon = 0;
        let mut from = 0;
        self.stands.iter().map(move |laid| {
            let ends = &self.ends[polygon..laid.ends as usize];
            polygon = laid.ends as usize;
            let begin = from;
            from = ends.last().map_or(from, |&end| end as usize);
            let mut from = begin;
            let polygons = ends.iter().map(move |&end| {
                let crossings = &self.crossings[from..end as usize];
                from = end as usize;
                crossings
            });
            (*laid, polygons)
        })
    }

    fn bytes(&self) -> usize {
        size_of_val(&*self.stands) + size_of_val(&*self.ends) + size_of_val(&*self.crossings)
    }
}

/// What a tile's grid hangs on: zoom, place, samples in its side and around it.
pub(super) type Name = (u8, u32, u32, usize, usize);

/// The tiles laid last, as far as there is room for them; the first is forgotten first.
#[derive(Debug, Default)]
pub(super) struct Lays {
    room: usize,
    kept: VecDeque<(Name, Lay)>,
    bytes: usize,
}

impl Lays {
    /// Keeps tiles of so many bytes at the most.
    pub(super) fn of(room: usize) -> Self {
        Self {
            room,
            ..Self::default()
        }
    }

    /// Takes a tile out, if it is there.
    pub(super) fn take(&mut self, name: Name) -> Option<Lay> {
        let place = self.kept.iter().position(|(kept, _)| *kept == name)?;
        let (_, lay) = self.kept.remove(place)?;
        self.bytes -= lay.bytes();
        Some(lay)
    }

    /// Whether a tile is small enough to be kept at all.
    pub(super) fn fits(&self, lay: &Lay) -> bool {
        lay.bytes() <= self.room
    }

    /// Keeps a tile, before all others where it was drawn ahead.
    pub(super) fn put(&mut self, name: Name, lay: Lay, ahead: bool) {
        self.bytes += lay.bytes();
        if ahead {
            self.kept.push_front((name, lay));
        } else {
            self.kept.push_back((name, lay));
        }
        while self.bytes > self.room {
            let Some((_, oldest)) = self.kept.pop_front() else {
                break;
            };
            self.bytes -= oldest.bytes();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid(crossings: i64) -> Lay {
        let mut lay = Lay::default();
        (0..crossings).rev().for_each(|row| lay.cross(row, 7));
        lay.end_polygon();
        lay.end_stand(5, -3);
        lay
    }

    #[test]
    fn each_stand_comes_with_its_own_polygons() {
        let mut lay = laid(2);
        lay.end_stand(6, 0);
        lay.cross(1, 1);
        lay.end_polygon();
        lay.end_polygon();
        lay.end_stand(9, 0);
        let found: Vec<(u32, i64, Vec<Vec<u32>>)> = lay
            .stands()
            .map(|(laid, polygons)| (laid.stand, laid.shift, polygons.map(<[u32]>::to_vec).collect()))
            .collect();
        assert_eq!(
            found,
            [
                (5, -3, vec![vec![7, 1 << 16 | 7]]),
                (6, 0, vec![]),
                (9, 0, vec![vec![1 << 16 | 1], vec![]]),
            ]
        );
    }

    #[test]
    fn the_oldest_go_first_where_there_is_no_more_room() {
        let name = |x| (3, x, 0, 64, 4);
        let one = {
            let mut lays = Lays::of(usize::MAX);
            lays.put(name(0), laid(100), false);
            lays.bytes
        };
        let mut lays = Lays::of(2 * one);
        lays.put(name(1), laid(100), false);
        lays.put(name(2), laid(100), false);
        // Used again, the first is the younger of the two.
        let first = lays.take(name(1)).expect("kept");
        lays.put(name(1), first, false);
        lays.put(name(3), laid(100), false);
        assert!(lays.take(name(2)).is_none());
        lays.put(name(5), laid(100), true);
        assert!(
            lays.take(name(5)).is_none(),
            "drawn ahead, it takes no room from others"
        );
        assert!(lays.take(name(1)).is_some());
        lays.put(name(6), laid(50), true);
        assert!(lays.take(name(6)).is_some(), "there is room");
        assert!(lays.take(name(3)).is_some());
        assert_eq!(lays.bytes, 0);
        assert!(lays.fits(&laid(100)) && !lays.fits(&laid(1000)));
    }
}
