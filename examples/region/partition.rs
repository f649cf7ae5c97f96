//! Cuts the forest into stands: in go the terrain and what covers the ground, out comes for every square the stand
//! it belongs to. Stands follow slopes, streams and reserve borders; on the sandstone plateau they are the straight
//! blocks of old plantations. Drawing their borders is left to `borders`, what grows there to `trees`.

use std::collections::BTreeMap;

use crate::region::chance::{part, rough, step, wave};
use crate::region::land::{ACROSS, Cover, SQUARE, UP, beside, filled, groups, middle};
use crate::region::pieces::{number, open_gaps, untouch};
use crate::region::places::{CORE, RESERVE, rounded, village};
use crate::region::terrain::{Point, Terrain};

/// Squares of the smallest stand kept: 0.6 ha.
pub(crate) const SMALLEST: u32 = 15;
/// Squares of the largest stand kept whole: 29 ha.
const LARGEST: u32 = 725;

/// The stands as squares.
pub(crate) struct Partition {
    /// For each square: 0 for no stand, else the stand's number from 1.
    pub(crate) stand: Vec<u32>,
    /// What covers each square, with the meadows that were cut into stands.
    pub(crate) cover: Vec<Cover>,
    /// For each stand (from number 1) what kind of ground it was cut from.
    pub(crate) ground: Vec<Ground>,
    /// For each stand the forest part it belongs to, a place in `PARTS`.
    pub(crate) parts: Vec<usize>,
}

/// What kind of ground a stand was cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Ground {
    /// Slopes and plains.
    Open,
    /// The floor beside a stream.
    StreamSide,
    /// A block of the plateau's plantations.
    Block,
    /// The strict reserve.
    Core,
    /// A small gap within an older stand, grown over again.
    Gap,
}

/// A square's place in the cutting: ground, reserve, cell.
pub(crate) type Key = (Ground, bool, i64, i64);

/// Cuts the forest.
pub(crate) fn cut(terrain: &Terrain, mut cover: Vec<Cover>) -> Partition {
    let core = filled(&rounded(&CORE));
    let reserve = filled(&rounded(&RESERVE));
    let seats = seats(terrain);
    let mut keys: Vec<Option<Key>> = (0..ACROSS * UP)
        .map(|square| {
            (cover[square] == Cover::Forest)
                .then(|| key(terrain, &seats, square, core[square], reserve[square]))
        })
        .collect();
    smooth(&mut keys);
    let (mut stand, _) = groups(&keys);
    let grounds = |stand: &[u32]| {
        let mut ground: BTreeMap<u32, Key> = BTreeMap::new();
        for (square, &number) in stand.iter().enumerate() {
            if let (true, Some(key)) = (number > 0, keys[square]) {
                ground.entry(number).or_insert(key);
            }
        }
        ground
    };
    let ground = grounds(&stand);
    join_small(&mut stand, &ground);
    halve_large(&mut stand);
    let values: Vec<Option<u32>> = stand
        .iter()
        .map(|&number| (number > 0).then_some(number))
        .collect();
    (stand, _) = groups(&values);
    let ground = grounds(&stand);
    join_small(&mut stand, &ground);
    let gaps = open_gaps(&mut stand, &mut cover);
    untouch(&mut stand);
    number(stand, cover, &gaps, &keys)
}

/// The seats that squares gather around, in a loose lattice of 140 m: many near villages, where woods are small and
/// private, few in the large forests.
struct Seat {
    place: Point,
    height: f64,
}

const LATTICE: f64 = 140.0;
const LATTICE_WIDE: i64 = (ACROSS as f64 * SQUARE / LATTICE) as i64 + 1;
const LATTICE_HIGH: i64 = (UP as f64 * SQUARE / LATTICE) as i64 + 1;

/// The lattice row by row from the south; not every point of it holds a seat.
type Seats = Vec<Option<Seat>>;

fn seats(terrain: &Terrain) -> Seats {
    let mut seats = Vec::new();
    for (i, j) in (0..LATTICE_HIGH).flat_map(|j| (0..LATTICE_WIDE).map(move |i| (i, j))) {
        let x = (i as f64 + part(41, i, j)) * LATTICE;
        let y = (j as f64 + part(42, i, j)) * LATTICE;
        let (_, near) = village([x, y]);
        let kept = 0.17 + 0.24 * step(0.25, 0.65, near) + 0.06 * wave(43, x / 1_800.0, y / 1_800.0);
        let seat = Seat {
            place: [x, y],
            height: terrain.height.at(x, y),
        };
        seats.push((part(44, i, j) < kept).then_some(seat));
    }
    seats
}

fn key(terrain: &Terrain, seats: &Seats, square: usize, core: bool, reserve: bool) -> Key {
    let [x, y] = middle(square);
    // Borders wander a little, so that none runs dead straight.
    let px = x + 38.0 * rough(45, x / 260.0, y / 260.0, 2);
    let py = y + 38.0 * rough(46, x / 260.0, y / 260.0, 2);
    if core {
        let (i, j) = nearest(terrain, seats, [px, py], 5.0);
        return (Ground::Core, reserve, i, j);
    }
    let near_water = terrain.to_water.at(x, y) < 85.0 && terrain.above_water.at(x, y) < 6.5;
    if near_water {
        return (
            Ground::StreamSide,
            reserve,
            (px / 420.0).floor() as i64,
            (py / 420.0).floor() as i64,
        );
    }
    let plateau = terrain.sandstone.at(x, y) > 0.82
        && terrain.slope.at(x, y) < 0.13
        && wave(47, x / 2_300.0, y / 2_300.0) > -0.05;
    if plateau {
        // Rides run along the two sides of a 5-12-13 triangle; rows of blocks are set off against each other.
        let (bend_x, bend_y) = (
            wave(58, x / 1_700.0, y / 1_700.0),
            wave(59, x / 1_700.0, y / 1_700.0),
        );
        let (wx, wy) = (
            x + 0.25 * (px - x) + 130.0 * bend_x,
            y + 0.25 * (py - y) + 130.0 * bend_y,
        );
        let along = (12.0 * wx + 5.0 * wy) / 13.0;
        let across = (12.0 * wy - 5.0 * wx) / 13.0;
        // Now and then a ride was given up, and two rows or two blocks became one.
        let mut row = (across / 230.0).floor();
        if part(50, row as i64, (along / 1_400.0).floor() as i64) < 0.25 {
            row -= 1.0;
        }
        let length = 220.0 + 190.0 * part(48, row as i64, 0);
        let mut column = (along / length + part(49, row as i64, 0)).floor();
        if part(40, row as i64, column as i64) < 0.2 {
            column -= 1.0;
        }
        return (Ground::Block, reserve, column as i64, row as i64);
    }
    let (i, j) = nearest(terrain, seats, [px, py], 6.5);
    (Ground::Open, reserve, i, j)
}

/// The seat nearest on the ground, where a difference in height counts several times its metres: stands then lie
/// along the slope.
fn nearest(terrain: &Terrain, seats: &Seats, [x, y]: Point, height_counts: f64) -> (i64, i64) {
    let (i, j) = ((x / LATTICE).floor() as i64, (y / LATTICE).floor() as i64);
    let height = terrain.height.at(x, y);
    let mut best = (f64::INFINITY, (i, j));
    for row in (j - 4).max(0)..(j + 5).min(LATTICE_HIGH) {
        for column in (i - 4).max(0)..(i + 5).min(LATTICE_WIDE) {
            let Some(seat) = &seats[(row * LATTICE_WIDE + column) as usize] else {
                continue;
            };
            let (dx, dy) = (seat.place[0] - x, seat.place[1] - y);
            let dz = (seat.height - height) * height_counts;
            let far = dx * dx + dy * dy + dz * dz;
            if far < best.0 {
                best = (far, (column, row));
            }
        }
    }
    best.1
}

/// Takes off spikes: a square goes over to the key that five or more of its eight neighbours share.
fn smooth(keys: &mut [Option<Key>]) {
    for _ in 0..2 {
        let before = keys.to_vec();
        for j in 1..UP - 1 {
            for i in 1..ACROSS - 1 {
                let square = j * ACROSS + i;
                if before[square].is_none() {
                    continue;
                }
                let ring = [
                    square - ACROSS - 1,
                    square - ACROSS,
                    square - ACROSS + 1,
                    square - 1,
                    square + 1,
                    square + ACROSS - 1,
                    square + ACROSS,
                    square + ACROSS + 1,
                ];
                for &other in &ring[..4] {
                    if before[other].is_some()
                        && before[other] != before[square]
                        && ring.iter().filter(|&&near| before[near] == before[other]).count() >= 5
                    {
                        keys[square] = before[other];
                    }
                }
            }
        }
    }
}

/// Joins stands that are too small to the neighbour they share the longest border with, like ground first.
fn join_small(stand: &mut [u32], ground: &BTreeMap<u32, Key>) {
    for _ in 0..6 {
        let most = stand.iter().copied().max().unwrap_or(0) as usize;
        let mut sizes = vec![0u32; most + 1];
        for &number in stand.iter() {
            sizes[number as usize] += 1;
        }
        let mut shared: BTreeMap<(u32, u32), u32> = BTreeMap::new();
        for square in 0..stand.len() {
            let own = stand[square];
            if own == 0 || sizes[own as usize] >= SMALLEST {
                continue;
            }
            for next in beside(square) {
                if stand[next] != 0 && stand[next] != own {
                    *shared.entry((own, stand[next])).or_default() += 1;
                }
            }
        }
        let mut best: BTreeMap<u32, (bool, u32, u32)> = BTreeMap::new();
        for (&(own, other), &length) in &shared {
            let same = |number: u32| ground.get(&number).map(|key| (key.0, key.1));
            let rank = (same(own) == same(other), length, other);
            let held = best.entry(own).or_insert(rank);
            *held = (*held).max(rank);
        }
        if best.is_empty() {
            break;
        }
        // A small stand joins only one that stays put this time, so that chains cannot form.
        let target = |own: u32| {
            let other = best.get(&own)?.2;
            (!best.contains_key(&other) || other < own).then_some(other)
        };
        for number in stand.iter_mut() {
            if let Some(other) = target(*number) {
                *number = other;
            }
        }
    }
}

/// Halves stands that are too large across their longer side, along a wandering line.
fn halve_large(stand: &mut [u32]) {
    for _ in 0..4 {
        let most = stand.iter().copied().max().unwrap_or(0) as usize;
        let mut reach = vec![(usize::MAX, 0usize, usize::MAX, 0usize, 0u32, 0usize, 0usize); most + 1];
        for (square, &number) in stand.iter().enumerate() {
            let (i, j) = (square % ACROSS, square / ACROSS);
            let held = &mut reach[number as usize];
            *held = (
                held.0.min(i),
                held.1.max(i),
                held.2.min(j),
                held.3.max(j),
                held.4 + 1,
                held.5 + i,
                held.6 + j,
            );
        }
        let mut fresh = most as u32;
        let mut halves: BTreeMap<u32, u32> = BTreeMap::new();
        for (number, held) in reach.iter().enumerate().skip(1) {
            if held.4 > LARGEST {
                fresh += 1;
                halves.insert(number as u32, fresh);
            }
        }
        for (square, number) in stand.iter_mut().enumerate() {
            let Some(&half) = halves.get(number) else { continue };
            let (west, east, south, north, size, sum_i, sum_j) = reach[*number as usize];
            let (i, j) = (square % ACROSS, square / ACROSS);
            let swing = 4.0 * rough(51, i as f64 / 11.0, j as f64 / 11.0, 2);
            let beyond = if east - west >= north - south {
                i as f64 + swing > sum_i as f64 / f64::from(size)
            } else {
                j as f64 + swing > sum_j as f64 / f64::from(size)
            };
            if beyond {
                *number = half;
            }
        }
    }
}
