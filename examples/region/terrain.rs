//! The lie of the land: in goes nothing but fixed shapes and repeatable chance, out come heights, slopes, rocks,
//! a river, streams and how high each place lies above the water it drains to. What grows there is left to `land`
//! and `trees`.
//!
//! Places are metres east and north of the region's south-west corner.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::region::chance::{rough, step, wave};

/// Width of the sheet in metres.
pub(crate) const WIDTH: f64 = 24_000.0;
/// Height of the sheet in metres.
pub(crate) const HEIGHT: f64 = 18_000.0;
/// Side of a terrain cell in metres.
pub(crate) const CELL: f64 = 50.0;
/// Columns of the terrain.
pub(crate) const COLUMNS: usize = 480;
/// Rows of the terrain.
pub(crate) const ROWS: usize = 360;

/// A place in metres.
pub(crate) type Point = [f64; 2];

/// One number for each terrain cell.
#[derive(Clone)]
pub(crate) struct Field(pub(crate) Vec<f64>);

impl Field {
    fn of(value: impl Fn(f64, f64) -> f64) -> Field {
        Field(
            (0..COLUMNS * ROWS)
                .map(|cell| {
                    let [x, y] = middle(cell);
                    value(x, y)
                })
                .collect(),
        )
    }

    /// The value at a place, blended from the four cells around it.
    pub(crate) fn at(&self, x: f64, y: f64) -> f64 {
        let (u, v) = (x / CELL - 0.5, y / CELL - 0.5);
        let i = (u.floor().max(0.0) as usize).min(COLUMNS - 2);
        let j = (v.floor().max(0.0) as usize).min(ROWS - 2);
        let (a, b) = ((u - i as f64).clamp(0.0, 1.0), (v - j as f64).clamp(0.0, 1.0));
        let value = |i: usize, j: usize| self.0[j * COLUMNS + i];
        let low = value(i, j) * (1.0 - a) + value(i + 1, j) * a;
        let high = value(i, j + 1) * (1.0 - a) + value(i + 1, j + 1) * a;
        low * (1.0 - b) + high * b
    }
}

/// The middle of a terrain cell.
pub(crate) fn middle(cell: usize) -> Point {
    [
        ((cell % COLUMNS) as f64 + 0.5) * CELL,
        ((cell / COLUMNS) as f64 + 0.5) * CELL,
    ]
}

/// The terrain cell of a place.
pub(crate) fn cell_of([x, y]: Point) -> usize {
    let i = ((x / CELL).max(0.0) as usize).min(COLUMNS - 1);
    let j = ((y / CELL).max(0.0) as usize).min(ROWS - 1);
    j * COLUMNS + i
}

/// The cells around a cell with the distance to each in metres.
pub(crate) fn around(cell: usize) -> impl Iterator<Item = (usize, f64)> {
    const DIAGONAL: f64 = CELL * std::f64::consts::SQRT_2;
    const STEPS: [(isize, isize, f64); 8] = [
        (1, 0, CELL),
        (0, 1, CELL),
        (-1, 0, CELL),
        (0, -1, CELL),
        (1, 1, DIAGONAL),
        (-1, 1, DIAGONAL),
        (-1, -1, DIAGONAL),
        (1, -1, DIAGONAL),
    ];
    let (i, j) = ((cell % COLUMNS) as isize, (cell / COLUMNS) as isize);
    STEPS.into_iter().filter_map(move |(di, dj, far)| {
        let (i, j) = (i + di, j + dj);
        let inside = i >= 0 && j >= 0 && i < COLUMNS as isize && j < ROWS as isize;
        inside.then(|| (j as usize * COLUMNS + i as usize, far))
    })
}

/// The lie of the land.
pub(crate) struct Terrain {
    /// Height above the sea in metres.
    pub(crate) height: Field,
    /// Rise over run.
    pub(crate) slope: Field,
    /// Height above the stream, river or lake the place drains to, in metres.
    pub(crate) above_water: Field,
    /// Distance to the nearest stream, river or lake in metres.
    pub(crate) to_water: Field,
    /// Height above the mean of the surroundings (about 500 m), in metres: ridges above, hollows below zero.
    pub(crate) position: Field,
    /// How much of a limestone site it is, 0 to 1.
    pub(crate) limestone: Field,
    /// How much of a sandstone site it is, 0 to 1.
    pub(crate) sandstone: Field,
    /// The river's middle line.
    pub(crate) river: Vec<Point>,
    /// Streams from spring to mouth.
    pub(crate) streams: Vec<Vec<Point>>,
}

/// Whether a place lies in the lake.
pub(crate) fn in_lake(x: f64, y: f64) -> bool {
    let (u, v) = (x - 13_650.0, y - 13_500.0);
    // Turned by the angle of a 3-4-5 triangle: the lake lies along its valley.
    let (along, across) = (0.8 * u - 0.6 * v, 0.6 * u + 0.8 * v);
    let bays = 0.85 * rough(71, x / 560.0, y / 560.0, 3);
    let waist = 1.0 - 0.35 * step(500.0, 0.0, (along - 150.0).abs());
    (along / 1150.0) * (along / 1150.0) + (across / (430.0 * waist)) * (across / (430.0 * waist)) + bays < 1.0
}

/// The river's middle line, from the east border to the west border.
fn river() -> Vec<Point> {
    const BENDS: [Point; 13] = [
        [30_000.0, 11_400.0],
        [26_500.0, 10_600.0],
        [24_000.0, 9_700.0],
        [21_600.0, 8_300.0],
        [18_700.0, 8_900.0],
        [16_200.0, 8_000.0],
        [13_600.0, 8_500.0],
        [11_000.0, 7_100.0],
        [8_200.0, 7_500.0],
        [5_300.0, 6_300.0],
        [2_300.0, 6_500.0],
        [-2_000.0, 5_200.0],
        [-5_000.0, 5_600.0],
    ];
    let mut line = Vec::new();
    for four in BENDS.windows(4) {
        for part in 0..60 {
            let t = f64::from(part) / 60.0;
            let along = |axis: usize| {
                let [a, b, c, d] = [four[0][axis], four[1][axis], four[2][axis], four[3][axis]];
                // Catmull-Rom spline, uniform.
                0.5 * (2.0 * b
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
                    + (3.0 * b - a - 3.0 * c + d) * t * t * t)
            };
            let (x, y) = (along(0), along(1));
            // Meanders: one wave about 1.3 km long, a smaller one upon it.
            let swing = 250.0 * wave(83, x / 640.0, 0.5) + 90.0 * wave(84, x / 300.0, 0.5);
            line.push([x, y + swing]);
        }
    }
    line
}

impl Terrain {
    /// Shapes the land.
    pub(crate) fn shape() -> Terrain {
        let river = river();
        let to_river = Field(distances(&stamped(&river)));
        let limestone = Field::of(|x, y| {
            let bend = 1_500.0 * step(4_000.0, 17_000.0, y) + 500.0 * wave(5, 0.5, y / 3_000.0);
            let off = (x - 17_300.0 - bend).abs() + 1_000.0 * rough(6, x / 2_100.0, y / 2_100.0, 4);
            step(1_900.0, 1_100.0, off) * step(-0.75, -0.3, wave(8, x / 4_000.0, y / 2_700.0))
        });
        let sandstone = Field::of(|x, y| {
            let (u, v) = ((x - 8_300.0) / 5_600.0, (y - 2_900.0) / 2_700.0);
            step(
                1.10,
                0.75,
                u * u + v * v + 0.75 * rough(7, x / 2_800.0, y / 2_800.0, 4),
            )
        });
        let mut height = Field::of(|x, y| raw_height(x, y, limestone.at(x, y), sandstone.at(x, y)));
        for (cell, value) in height.0.iter_mut().enumerate() {
            let [x, y] = middle(cell);
            let far = to_river.0[cell] + 420.0 * rough(9, x / 1_300.0, y / 1_300.0, 2);
            let floor = 196.0 + 0.0032 * x;
            let side = step(140.0, 2_300.0, far);
            let swells =
                5.0 + 9.0 * rough(10, x / 700.0, y / 700.0, 4).abs() + 2.5 * wave(15, x / 170.0, y / 170.0);
            *value =
                floor + (*value - floor).max(14.0) * (0.04 + 0.96 * side) + swells + 0.006 * to_river.0[cell];
            if to_river.0[cell] < CELL {
                *value = floor - 4.0;
            }
            if in_lake(x, y) {
                *value = (*value).min(372.0);
            }
        }
        let drained = drain(&height, &to_river);
        let slope = Field((0..height.0.len()).map(|cell| steepness(&height, cell)).collect());
        let position = Field(over_surroundings(&height.0));
        let to_water = Field(distances(&drained.wet));
        Terrain {
            height,
            slope,
            above_water: drained.above_water,
            to_water,
            position,
            limestone,
            sandstone,
            river,
            streams: drained.streams,
        }
    }
}

/// Height before the river has cut its valley.
fn raw_height(x: f64, y: f64, limestone: f64, sandstone: f64) -> f64 {
    let bump = |cx: f64, cy: f64, rx: f64, ry: f64| {
        let (u, v) = ((x - cx) / rx, (y - cy) / ry);
        1.0 / (1.0 + (u * u + v * v) * (u * u + v * v))
    };
    let ridges = 1.0 - rough(11, x / 3_400.0 + 0.3, y / 3_400.0, 4).abs() * 2.4;
    let massif = bump(5_800.0, 14_400.0, 5_600.0, 4_200.0);
    300.0
        + 300.0 * massif
        + 130.0 * massif * ridges
        + 70.0 * ridges * step(0.0, 0.5, bump(20_500.0, 15_000.0, 4_000.0, 4_500.0))
        + 130.0 * bump(21_600.0, 4_700.0, 2_300.0, 2_100.0)
        + 75.0 * bump(9_000.0, 5_700.0, 1_900.0, 700.0)
        + 70.0 * bump(13_900.0, 6_700.0, 1_300.0, 800.0)
        + 80.0 * bump(21_000.0, 12_000.0, 1_500.0, 1_300.0)
        + 60.0 * bump(11_900.0, 11_300.0, 1_300.0, 900.0)
        + 60.0 * bump(3_300.0, 9_300.0, 1_700.0, 900.0)
        + 125.0 * limestone
        + 85.0 * sandstone
        + 78.0 * rough(12, x / 2_600.0, y / 2_600.0, 4)
        + 26.0 * rough(13, x / 800.0, y / 800.0, 3)
        + 5.0 * rough(14, x / 190.0, y / 190.0, 2)
}

fn steepness(height: &Field, cell: usize) -> f64 {
    let (i, j) = (cell % COLUMNS, cell / COLUMNS);
    let at = |i: usize, j: usize| height.0[j * COLUMNS + i];
    let (west, east) = (i.saturating_sub(1), (i + 1).min(COLUMNS - 1));
    let (south, north) = (j.saturating_sub(1), (j + 1).min(ROWS - 1));
    let rise_x = (at(east, j) - at(west, j)) / ((east - west) as f64 * CELL);
    let rise_y = (at(i, north) - at(i, south)) / ((north - south) as f64 * CELL);
    (rise_x * rise_x + rise_y * rise_y).sqrt()
}

/// Height over the mean of a square of 21 cells, by running sums along rows, then columns.
fn over_surroundings(height: &[f64]) -> Vec<f64> {
    const REACH: usize = 10;
    let smooth = |values: &[f64], stride: usize, length: usize, lines: usize, line_stride: usize| {
        let mut out = vec![0.0; values.len()];
        for line in 0..lines {
            let mut sums = vec![0.0];
            for step in 0..length {
                sums.push(sums[step] + values[line * line_stride + step * stride]);
            }
            for step in 0..length {
                let (from, to) = (step.saturating_sub(REACH), (step + REACH + 1).min(length));
                out[line * line_stride + step * stride] = (sums[to] - sums[from]) / (to - from) as f64;
            }
        }
        out
    };
    let rows = smooth(height, 1, COLUMNS, ROWS, COLUMNS);
    let both = smooth(&rows, COLUMNS, ROWS, COLUMNS, 1);
    height
        .iter()
        .zip(both)
        .map(|(value, mean)| value - mean)
        .collect()
}

/// The cells a line passes.
fn stamped(line: &[Point]) -> Vec<bool> {
    let mut cells = vec![false; COLUMNS * ROWS];
    for pair in line.windows(2) {
        for part in 0..16 {
            let t = f64::from(part) / 16.0;
            let [x, y] = [
                pair[0][0] + (pair[1][0] - pair[0][0]) * t,
                pair[0][1] + (pair[1][1] - pair[0][1]) * t,
            ];
            if (0.0..WIDTH).contains(&x) && (0.0..HEIGHT).contains(&y) {
                cells[cell_of([x, y])] = true;
            }
        }
    }
    cells
}

/// Distance in metres of each cell to the nearest marked one, over cell steps (chamfer distance).
pub(crate) fn distances(marked: &[bool]) -> Vec<f64> {
    let mut far: Vec<f64> = marked.iter().map(|&is| if is { 0.0 } else { 1.0e9 }).collect();
    for cell in (0..far.len()).chain((0..far.len()).rev()) {
        for (next, step) in around(cell) {
            far[cell] = far[cell].min(far[next] + step);
        }
    }
    far
}

struct Drained {
    wet: Vec<bool>,
    above_water: Field,
    streams: Vec<Vec<Point>>,
}

/// Lets the water run: hollows are filled from the border inwards (priority flood), each cell then runs to its
/// lowest neighbour, and cells that gather more than about 65 ha are streams.
fn drain(height: &Field, to_river: &Field) -> Drained {
    const GATHERS: u32 = 260;
    let count = COLUMNS * ROWS;
    let millimetres = |value: f64| (value * 1000.0) as i64;
    let mut filled = vec![i64::MAX; count];
    let mut heap = BinaryHeap::new();
    for (cell, level) in filled
        .iter_mut()
        .enumerate()
        .filter(|(cell, _)| around(*cell).count() < 8)
    {
        *level = millimetres(height.0[cell]);
        heap.push(Reverse((*level, *level, cell)));
    }
    // Within a hollow the lowest ground is reached first, so that its outflow runs along its floor.
    let mut came: Vec<usize> = (0..count).collect();
    let mut order = Vec::with_capacity(count);
    while let Some(Reverse((level, _, cell))) = heap.pop() {
        order.push(cell);
        for (next, _) in around(cell) {
            if filled[next] == i64::MAX {
                let own = millimetres(height.0[next]);
                filled[next] = own.max(level);
                came[next] = cell;
                heap.push(Reverse((filled[next], own, next)));
            }
        }
    }
    let runs_to: Vec<usize> = (0..count)
        .map(|cell| {
            let mut best = (0.0, came[cell]);
            for (next, far) in around(cell) {
                let fall = (filled[cell] - filled[next]) as f64 / far;
                if fall > best.0 {
                    best = (fall, next);
                }
            }
            best.1
        })
        .collect();
    let mut gathered = vec![1u32; count];
    for &cell in order.iter().rev() {
        if runs_to[cell] != cell {
            gathered[runs_to[cell]] += gathered[cell];
        }
    }
    let still: Vec<bool> = (0..count)
        .map(|cell| {
            let [x, y] = middle(cell);
            to_river.0[cell] < CELL || in_lake(x, y)
        })
        .collect();
    let wet: Vec<bool> = (0..count)
        .map(|cell| still[cell] || gathered[cell] >= GATHERS)
        .collect();
    let mut water_level = height.0.clone();
    for &cell in &order {
        if !wet[cell] {
            water_level[cell] = water_level[runs_to[cell]];
        }
    }
    let above_water = Field(
        (0..count)
            .map(|cell| (height.0[cell] - water_level[cell]).max(0.0))
            .collect(),
    );
    Drained {
        streams: trace(&wet, &still, &runs_to, &order),
        wet,
        above_water,
    }
}

/// Streams as lines, each from its spring to the water it joins.
fn trace(wet: &[bool], still: &[bool], runs_to: &[usize], order: &[usize]) -> Vec<Vec<Point>> {
    let mut fed = vec![false; wet.len()];
    for cell in (0..wet.len()).filter(|&cell| wet[cell] && !still[cell]) {
        fed[runs_to[cell]] = true;
    }
    let mut traced = vec![false; wet.len()];
    let mut streams = Vec::new();
    for &spring in order.iter().rev() {
        if !wet[spring] || still[spring] || fed[spring] {
            continue;
        }
        let mut line = vec![middle(spring)];
        let mut cell = spring;
        traced[cell] = true;
        while runs_to[cell] != cell {
            cell = runs_to[cell];
            line.push(middle(cell));
            if traced[cell] || still[cell] {
                break;
            }
            traced[cell] = true;
        }
        if line.len() > 8 {
            streams.push(line);
        }
    }
    streams
}
