//! A grid of samples, each given to the stand that holds its middle. In go rings in fine steps, out come the crossings
//! of `lay` and the samples between them. Colours are left to `tile`.
//!
//! A sample's middle that lies exactly on a border goes to the stand just east of it, or just south where the border
//! runs along the row; so of stands that share a border each sample has one owner.

use std::ops::Range;

use super::lay::Lay;
use super::plane::Plane;

/// Fine steps in the side of a sample.
pub(super) const FINE: i64 = 16;
const HALF: i64 = FINE / 2;

/// Samples in rows; 0 is open ground, any other value a stand.
#[derive(Debug, Default)]
pub(super) struct Grid {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) samples: Vec<u32>,
    /// The samples at which another value may begin, seen from the west; it begins nowhere else.
    pub(super) bounds: Plane,
}

impl Grid {
    /// Makes all of it open ground. Sides stay below 65 535.
    pub(super) fn reset(&mut self, width: usize, height: usize) {
        self.width = width;
        self.height = height;
        self.samples.clear();
        self.samples.resize(width * height, 0);
        self.bounds.reset(width, height);
    }

    /// The first row whose middle lies at or below a height; the number of rows where all lie above it. An edge crosses
    /// the middles of the rows between those of its ends.
    #[inline]
    pub(super) fn row(&self, height: i64) -> i64 {
        ((height + HALF - 1) >> FINE.trailing_zeros())
            .max(0)
            .min(self.height as i64)
    }

    /// Takes an edge of the current polygon, from one position to the next in fine steps from the grid's corner.
    #[inline]
    pub(super) fn edge(&self, from: [i64; 2], to: [i64; 2], lay: &mut Lay) {
        let (upper, lower) = if from[1] < to[1] { (from, to) } else { (to, from) };
        let (first, end) = (self.row(upper[1]), self.row(lower[1]));
        if first < end {
            self.cross_rows(upper, lower, first..end, lay);
        }
    }

    /// Finds, for each of the rows, the first sample whose middle lies at or east of the edge.
    fn cross_rows(
        &self,
        upper: [i64; 2],
        lower: [i64; 2],
        Range { start: first, end }: Range<i64>,
        lay: &mut Lay,
    ) {
        let width = self.width as i64;
        let (run, drop) = (lower[0] - upper[0], lower[1] - upper[1]);
        let low = upper[0].min(lower[0]);
        let high = upper[0].max(lower[0]);
        if high <= HALF || low > width * FINE {
            let column = if high <= HALF { 0 } else { width };
            for row in first..end {
                lay.cross(row, column);
            }
            return;
        }
        // The column is the least whole number at or above ((x - HALF) * drop + (y - y0) * run) / (FINE * drop).
        let below = first * FINE + HALF - upper[1];
        let whole = FINE * drop;
        let near = |value: i64| value.abs() < 1 << 30;
        let (mut column, mut rest) = if near(upper[0]) && near(run) && near(drop) {
            let above = (upper[0] - HALF) * drop + below * run + whole - 1;
            (above.div_euclid(whole), above.rem_euclid(whole))
        } else {
            let [from, drop, below, run, whole] = [upper[0] - HALF, drop, below, run, whole].map(i128::from);
            let above = from * drop + below * run + whole - 1;
            (above.div_euclid(whole) as i64, above.rem_euclid(whole) as i64)
        };
        lay.cross(first, column.clamp(0, width));
        if first + 1 == end {
            return;
        }
        let (step, step_rest) = ((FINE * run).div_euclid(whole), (FINE * run).rem_euclid(whole));
        for row in first + 1..end {
            column += step;
            rest += step_rest;
            if rest >= whole {
                rest -= whole;
                column += 1;
            }
            lay.cross(row, column.clamp(0, width));
        }
    }

    /// Gives the samples inside a polygon, by the even-odd rule, to `value`; of samples that are another's, those that
    /// `yields` says are given up to it. Tells whether there were any inside.
    pub(super) fn fill(&mut self, crossings: &[u32], value: u32, yields: impl Fn(u32) -> bool) -> bool {
        let mut any = false;
        for pair in crossings.chunks_exact(2) {
            let y = (pair[0] >> 16) as usize;
            let row = y * self.width;
            let (from, to) = ((pair[0] & 0xffff) as usize, (pair[1] & 0xffff) as usize);
            if from < to {
                self.bounds.set(from, y);
                self.bounds.set(to, y);
                let samples = &mut self.samples[row + from..row + to];
                if samples.iter().fold(0, |all, sample| all | sample) == 0 {
                    samples.fill(value);
                } else {
                    for sample in samples {
                        if *sample == 0 || yields(*sample) {
                            *sample = value;
                        }
                    }
                }
                any = true;
            }
        }
        any
    }

    /// Gives the sample at a place in fine steps to `value`, if it lies on the grid and nobody has it: for stands too
    /// small to hold the middle of any sample.
    pub(super) fn claim(&mut self, [x, y]: [i64; 2], value: u32) {
        let (column, row) = (x.div_euclid(FINE), y.div_euclid(FINE));
        if (0..self.width as i64).contains(&column) && (0..self.height as i64).contains(&row) {
            let (column, row) = (column as usize, row as usize);
            let sample = &mut self.samples[row * self.width + column];
            if *sample == 0 {
                *sample = value;
                self.bounds.set(column, row);
                self.bounds.set(column + 1, row);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn draw(grid: &mut Grid, ring: &[[i64; 2]], value: u32) -> bool {
        let mut lay = Lay::default();
        for (place, &from) in ring.iter().enumerate() {
            grid.edge(from, ring[(place + 1) % ring.len()], &mut lay);
        }
        lay.end_polygon();
        lay.end_stand(0, 0);
        lay.stands()
            .flat_map(|(_, polygons)| polygons)
            .fold(false, |any, crossings| {
                any | grid.fill(crossings, value, |_| true)
            })
    }

    fn picture(grid: &Grid) -> Vec<String> {
        let letter = |&sample: &u32| {
            if sample == 0 {
                '.'
            } else {
                char::from(b'a' + (sample - 1) as u8)
            }
        };
        grid.samples
            .chunks(grid.width)
            .map(|row| row.iter().map(letter).collect())
            .collect()
    }

    #[test]
    fn two_stands_share_a_slanting_border() {
        let mut grid = Grid::default();
        grid.reset(8, 4);
        draw(&mut grid, &[[0, 0], [48, 0], [80, 64], [0, 64]], 1);
        draw(&mut grid, &[[48, 0], [128, 0], [128, 64], [80, 64]], 2);
        assert_eq!(picture(&grid), ["aaabbbbb", "aaaabbbb", "aaaabbbb", "aaaaabbb"]);
    }

    #[test]
    fn a_border_through_the_middles_goes_to_the_east_and_south() {
        let mut grid = Grid::default();
        grid.reset(4, 4);
        draw(&mut grid, &[[8, 8], [40, 8], [40, 40], [8, 40]], 1);
        assert_eq!(picture(&grid), ["aa..", "aa..", "....", "...."]);
    }

    #[test]
    fn what_crosses_itself_is_filled_by_even_odd() {
        let mut grid = Grid::default();
        grid.reset(6, 6);
        draw(&mut grid, &[[0, 0], [96, 96], [96, 0], [0, 96]], 1);
        // The slanting borders run through middles of samples, which go to the east.
        assert_eq!(
            picture(&grid),
            [".....a", "a...aa", "aa.aaa", "aa.aaa", "a...aa", ".....a"]
        );
    }

    #[test]
    fn a_far_away_edge_does_not_overflow() {
        let mut grid = Grid::default();
        grid.reset(3, 3);
        let far = 1_i64 << 40;
        assert!(draw(
            &mut grid,
            &[[-far, -far], [far, -far + 7], [far + 3, far], [-far, far]],
            1
        ));
        assert_eq!(picture(&grid), ["aaa", "aaa", "aaa"]);
    }

    #[test]
    fn a_speck_claims_open_ground_only() {
        let mut grid = Grid::default();
        grid.reset(2, 1);
        assert!(!draw(&mut grid, &[[1, 1], [3, 1], [3, 3], [1, 3]], 1));
        grid.claim([2, 2], 1);
        grid.claim([2, 2], 2);
        grid.claim([-1, 2], 3);
        assert_eq!(picture(&grid), ["a."]);
    }

    proptest! {
        /// Triangles around one inner position share all their inner borders: each sample of the square has one owner,
        /// and a grid cut out of a larger one holds the same samples.
        #[test]
        fn samples_have_one_owner_and_do_not_depend_on_the_cut(
            corners in prop::collection::vec((0i64..=512, 0i64..=512), 5),
            (shift_x, shift_y) in (0i64..20, 0i64..20),
        ) {
            let [a, b, c, d] = [[0, 0], [512, 0], [512, 512], [0, 512]];
            let middle = [corners[0].0, corners[0].1];
            let mut whole = Grid::default();
            whole.reset(32, 32);
            let mut owners = vec![0; 32 * 32];
            for (place, (from, to)) in [(a, b), (b, c), (c, d), (d, a)].into_iter().enumerate() {
                let mut alone = Grid::default();
                alone.reset(32, 32);
                draw(&mut alone, &[from, to, middle], 1);
                owners.iter_mut().zip(&alone.samples).for_each(|(owners, sample)| *owners += sample);
                draw(&mut whole, &[from, to, middle], place as u32 + 1);
            }
            prop_assert!(owners.iter().all(|&owners| owners == 1));
            let mut cut = Grid::default();
            cut.reset(12, 12);
            let moved = |[x, y]: [i64; 2]| [x - shift_x * FINE, y - shift_y * FINE];
            for (place, (from, to)) in [(a, b), (b, c), (c, d), (d, a)].into_iter().enumerate() {
                draw(&mut cut, &[moved(from), moved(to), moved(middle)], place as u32 + 1);
            }
            for y in 0..12 {
                for x in 0..12 {
                    prop_assert_eq!(cut.samples[y * 12 + x], whole.samples[(y + shift_y as usize) * 32 + x + shift_x as usize]);
                }
            }
        }
    }
}
