//! What covers the ground: in goes the terrain, out comes a sheet of squares of 20 m, each forest, field, meadow,
//! lake or river, or beyond the border. How the forest is cut into stands is left to `partition`.

use crate::region::chance::{rough, step, wave};
use crate::region::places::{apart, border, village};
use crate::region::terrain::{HEIGHT, Point, Terrain, WIDTH, in_lake};

/// Side of a square in metres.
pub(crate) const SQUARE: f64 = 20.0;
/// Squares from west to east.
pub(crate) const ACROSS: usize = (WIDTH / SQUARE) as usize;
/// Squares from south to north.
pub(crate) const UP: usize = (HEIGHT / SQUARE) as usize;

/// What covers a square.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cover {
    /// Beyond the region's border.
    Beyond,
    /// Fields and villages.
    Field,
    /// A meadow within the forest.
    Meadow,
    /// Forest.
    Forest,
    /// The lake.
    Lake,
    /// The river.
    River,
}

/// The middle of a square.
pub(crate) fn middle(square: usize) -> Point {
    [
        ((square % ACROSS) as f64 + 0.5) * SQUARE,
        ((square / ACROSS) as f64 + 0.5) * SQUARE,
    ]
}

/// The four squares that share a side.
pub(crate) fn beside(square: usize) -> impl Iterator<Item = usize> {
    let (i, j) = (square % ACROSS, square / ACROSS);
    [
        (i + 1 < ACROSS).then(|| square + 1),
        (j + 1 < UP).then(|| square + ACROSS),
        (i > 0).then(|| square - 1),
        (j > 0).then(|| square - ACROSS),
    ]
    .into_iter()
    .flatten()
}

/// Which squares have their middle within a ring, by scan lines.
pub(crate) fn filled(ring: &[Point]) -> Vec<bool> {
    let mut inside = vec![false; ACROSS * UP];
    for j in 0..UP {
        let y = (j as f64 + 0.5) * SQUARE;
        let mut crossings: Vec<f64> = ring
            .iter()
            .zip(ring.iter().cycle().skip(1))
            .filter(|(a, b)| (a[1] > y) != (b[1] > y))
            .map(|(a, b)| a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let from = (pair[0] / SQUARE + 0.5).floor().max(0.0) as usize;
            let to = ((pair[1] / SQUARE + 0.5).floor().max(0.0) as usize).min(ACROSS);
            inside[j * ACROSS + from..j * ACROSS + to.max(from)].fill(true);
        }
    }
    inside
}

/// Groups of squares that hang together by their sides and have the same value; `None` belongs to no group.
/// Returns the group of each square (0 for none, else from 1) and the size of each group in squares.
pub(crate) fn groups<T: PartialEq + Copy>(value: &[Option<T>]) -> (Vec<u32>, Vec<u32>) {
    let mut group = vec![0u32; value.len()];
    let mut sizes = vec![0u32];
    let mut open = Vec::new();
    for first in 0..value.len() {
        if group[first] != 0 || value[first].is_none() {
            continue;
        }
        let number = sizes.len() as u32;
        sizes.push(0);
        group[first] = number;
        open.push(first);
        while let Some(square) = open.pop() {
            sizes[number as usize] += 1;
            for next in beside(square) {
                if group[next] == 0 && value[next] == value[first] {
                    group[next] = number;
                    open.push(next);
                }
            }
        }
    }
    (group, sizes)
}

/// Covers the land.
pub(crate) fn cover(terrain: &Terrain) -> Vec<Cover> {
    let inside = filled(&border());
    let mut cover: Vec<Cover> = (0..ACROSS * UP)
        .map(|square| {
            let [x, y] = middle(square);
            if !inside[square] {
                Cover::Beyond
            } else if in_lake(x, y) {
                Cover::Lake
            } else if wooded(terrain, x, y) {
                Cover::Forest
            } else {
                Cover::Field
            }
        })
        .collect();
    // The river is about 60 m wide, a little wider on its way down.
    for pair in terrain.river.windows(2) {
        for part in 0..8 {
            let t = f64::from(part) / 8.0;
            let x = pair[0][0] + (pair[1][0] - pair[0][0]) * t;
            let y = pair[0][1] + (pair[1][1] - pair[0][1]) * t;
            let wide = 36.0 - 0.0006 * x + 6.0 * wave(21, x / 300.0, 0.5);
            let reach = (wide / SQUARE).ceil() as i64;
            let (i, j) = ((x / SQUARE).floor() as i64, (y / SQUARE).floor() as i64);
            for (di, dj) in (-reach..=reach).flat_map(|dj| (-reach..=reach).map(move |di| (di, dj))) {
                let (i, j) = (i + di, j + dj);
                if i < 0 || j < 0 || i >= ACROSS as i64 || j >= UP as i64 {
                    continue;
                }
                let square = j as usize * ACROSS + i as usize;
                let [sx, sy] = middle(square);
                let near = (sx - x) * (sx - x) + (sy - y) * (sy - y) <= wide * wide;
                if near && cover[square] != Cover::Beyond {
                    cover[square] = Cover::River;
                }
            }
        }
    }
    tidy(&mut cover);
    cover
}

/// Low hills in the farmland that kept their woods: middle and reach in metres.
const KNOLLS: [(Point, f64); 6] = [
    ([21_700.0, 4_700.0], 2_300.0),
    ([9_000.0, 5_600.0], 1_300.0),
    ([13_900.0, 6_600.0], 1_200.0),
    ([21_000.0, 12_000.0], 1_500.0),
    ([11_900.0, 11_300.0], 1_200.0),
    ([3_200.0, 9_300.0], 1_500.0),
];

/// Whether a place is wooded: steep, high, poor or far from a village.
fn wooded(terrain: &Terrain, x: f64, y: f64) -> bool {
    let height = terrain.height.at(x, y);
    let (_, near) = village([x, y]);
    let fine = 0.30 * rough(31, x / 420.0, y / 420.0, 3);
    let score = 0.62 * step(0.03, 0.17, terrain.slope.at(x, y))
        + 0.60 * step(300.0, 520.0, height)
        + 0.30 * terrain.sandstone.at(x, y)
        + 0.12 * terrain.limestone.at(x, y)
        + 1.15 * rough(32, x / 3_000.0, y / 3_000.0, 4)
        + fine
        - 1.05 * step(0.25, 0.85, near);
    let stream_side = terrain.to_water.at(x, y) < 38.0 && near < 0.9 && wave(33, x / 700.0, y / 700.0) > 0.25;
    let knoll = 0.55
        * KNOLLS
            .iter()
            .map(|&(at, reach)| step(reach, 0.3 * reach, apart(at, [x, y])))
            .sum::<f64>();
    score + knoll > 0.56 || stream_side
}

/// Leaves out woods under 1 ha, closes gaps under 0.6 ha, calls gaps up to 40 ha meadows.
fn tidy(cover: &mut [Cover]) {
    let woods: Vec<Option<()>> = cover
        .iter()
        .map(|&is| (is == Cover::Forest).then_some(()))
        .collect();
    let (group, sizes) = groups(&woods);
    for (square, is) in cover.iter_mut().enumerate() {
        if *is == Cover::Forest && sizes[group[square] as usize] < 25 {
            *is = Cover::Field;
        }
    }
    let open: Vec<Option<()>> = cover
        .iter()
        .map(|&is| (is == Cover::Field).then_some(()))
        .collect();
    let (group, sizes) = groups(&open);
    for (square, is) in cover.iter_mut().enumerate() {
        if *is == Cover::Field {
            *is = match sizes[group[square] as usize] {
                0..15 => Cover::Forest,
                15..1_000 => Cover::Meadow,
                _ => Cover::Field,
            };
        }
    }
}
