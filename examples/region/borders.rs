//! Draws borders: in goes a sheet of numbered squares, out come for every number its polygons in metres. Each piece
//! of border is drawn once and used by both neighbours, so that neighbours share it to the last digit. Turning
//! metres into degrees is left to `write`.

use std::collections::{BTreeMap, BTreeSet};

use crate::region::land::{ACROSS, SQUARE, UP};
use crate::region::places::within;
use crate::region::terrain::Point;

/// A polygon: shell first, then holes; rings are closed, shells run counter-clockwise.
pub(crate) type Polygon = Vec<Vec<Point>>;

/// Corners of the sheet, one more than squares each way.
const CORNERS: usize = ACROSS + 1;

/// A run by number, and whether it is walked forwards.
type Step = (usize, bool);

/// A piece of a drawn line: the line's number and two ends.
type Piece = (usize, Point, Point);

/// One piece of border between two forks, as places of corners.
type Run = Vec<usize>;

/// Draws the borders of all numbers from 1 to `most`.
pub(crate) fn draw(number: &[u32], most: u32, allowance: f64) -> Vec<Vec<Polygon>> {
    let rings = rings(number, most);
    let forks: BTreeSet<usize> = (0..CORNERS * (UP + 1))
        .filter(|&corner| sides(number, corner) > 2)
        .collect();
    // Which runs each ring is made of, and in which direction.
    let mut runs: BTreeMap<Run, usize> = BTreeMap::new();
    let mut made_of: Vec<Vec<Vec<Step>>> = vec![Vec::new(); most as usize + 1];
    for (owner, ring) in rings {
        let mut pieces = Vec::new();
        for run in split(&ring, &forks) {
            let back: Run = run.iter().rev().copied().collect();
            let (canonical, forward) = if run <= back { (run, true) } else { (back, false) };
            let fresh = runs.len();
            pieces.push((*runs.entry(canonical).or_insert(fresh), forward));
        }
        made_of[owner as usize].push(pieces);
    }
    let mut ordered: Vec<&Run> = vec![&EMPTY; runs.len()];
    for (run, &place) in &runs {
        ordered[place] = run;
    }
    let drawn = drawn(&ordered, &forks, allowance);
    made_of
        .into_iter()
        .map(|rings| polygons(rings.into_iter().map(|pieces| joined(&pieces, &drawn))))
        .collect()
}

static EMPTY: Run = Vec::new();

/// The rings around each number, with the number on the left hand.
fn rings(number: &[u32], most: u32) -> Vec<(u32, Vec<usize>)> {
    const STEPS: [(i64, i64); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];
    let at = |i: i64, j: i64| {
        let inside = i >= 0 && j >= 0 && i < ACROSS as i64 && j < UP as i64;
        if inside {
            number[j as usize * ACROSS + i as usize]
        } else {
            0
        }
    };
    // The squares left and right of a step that starts at a corner.
    let left_right = |x: i64, y: i64, way: usize| match way {
        0 => (at(x, y), at(x, y - 1)),
        1 => (at(x - 1, y), at(x, y)),
        2 => (at(x - 1, y - 1), at(x - 1, y)),
        _ => (at(x, y - 1), at(x - 1, y - 1)),
    };
    let mut walked = vec![false; CORNERS * (UP + 1)];
    let mut rings = Vec::new();
    for y in 0..UP as i64 {
        for x in 0..ACROSS as i64 {
            // Every ring has at least one step to the east.
            let (owner, right) = left_right(x, y, 0);
            if owner == 0 || owner > most || right == owner || walked[y as usize * CORNERS + x as usize] {
                continue;
            }
            let (mut i, mut j, mut way) = (x, y, 0);
            let mut ring = Vec::new();
            loop {
                if way == 0 {
                    walked[j as usize * CORNERS + i as usize] = true;
                }
                ring.push(j as usize * CORNERS + i as usize);
                (i, j) = (i + STEPS[way].0, j + STEPS[way].1);
                // Keep to the own side: left if possible, else straight on, else right, else back.
                way = [1, 0, 3, 2]
                    .into_iter()
                    .map(|turn| (way + turn) % 4)
                    .find(|&turned| {
                        let (left, right) = left_right(i, j, turned);
                        left == owner && right != owner
                    })
                    .unwrap_or(0);
                if (i, j, way) == (x, y, 0) {
                    break;
                }
            }
            rings.push((owner, ring));
        }
    }
    rings
}

/// How many pieces of border meet at a corner.
fn sides(number: &[u32], corner: usize) -> usize {
    let (x, y) = (corner % CORNERS, corner / CORNERS);
    let at = |dx: usize, dy: usize| {
        let inside = x + dx >= 1 && y + dy >= 1 && x + dx <= ACROSS && y + dy <= UP;
        if inside {
            number[(y + dy - 1) * ACROSS + x + dx - 1]
        } else {
            0
        }
    };
    let (a, b, c, d) = (at(0, 0), at(1, 0), at(0, 1), at(1, 1));
    [a != b, b != d, c != d, a != c]
        .into_iter()
        .filter(|&differs| differs)
        .count()
}

/// A ring cut at its forks; a ring without forks starts at its lowest corner, whichever side it is seen from.
fn split(ring: &[usize], forks: &BTreeSet<usize>) -> Vec<Run> {
    let start = ring
        .iter()
        .position(|corner| forks.contains(corner))
        .unwrap_or_else(|| {
            ring.iter()
                .enumerate()
                .min_by_key(|(_, corner)| **corner)
                .map_or(0, |(place, _)| place)
        });
    let mut runs = Vec::new();
    let mut run = vec![ring[start]];
    for step in 1..=ring.len() {
        let corner = ring[(start + step) % ring.len()];
        run.push(corner);
        if forks.contains(&corner) || step == ring.len() {
            runs.push(std::mem::replace(&mut run, vec![corner]));
        }
    }
    runs
}

/// Smooths and thins every run; where two drawn lines cross, both are drawn again closer to the squares.
fn drawn(runs: &[&Run], forks: &BTreeSet<usize>, allowance: f64) -> Vec<Vec<Point>> {
    let free = |run: &Run| !forks.contains(&run[0]);
    let mut care = vec![0u8; runs.len()];
    let mut lines: Vec<Vec<Point>> = runs
        .iter()
        .map(|run| line(run, free(run), 0, allowance))
        .collect();
    for _ in 0..3 {
        let crossing = crossing(&lines);
        if crossing.is_empty() {
            break;
        }
        for run in crossing {
            care[run] += 1;
            lines[run] = line(runs[run], free(runs[run]), care[run], allowance);
        }
    }
    lines
}

/// A run as a line: the middles of its sides, smoothed, then thinned. A run without forks is `closed` and moves as a
/// whole, any other keeps its two ends. The more care, the closer to the squares.
fn line(run: &[usize], closed: bool, care: u8, allowance: f64) -> Vec<Point> {
    let place = |corner: usize| {
        [
            (corner % CORNERS) as f64 * SQUARE,
            (corner / CORNERS) as f64 * SQUARE,
        ]
    };
    let mut points: Vec<Point> = vec![place(run[0])];
    points.extend(run.windows(2).map(|pair| {
        let (a, b) = (place(pair[0]), place(pair[1]));
        [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0]
    }));
    if closed {
        points.remove(0);
        points.push(points[0]);
    } else {
        points.push(place(run[run.len() - 1]));
    }
    let passes = [5, 2, 0, 0][usize::from(care.min(3))];
    for _ in 0..passes {
        let before = points.clone();
        let last = points.len() - 1;
        for step in 0..=last {
            let (a, c) = match step {
                0 if closed => (before[last - 1], before[1]),
                _ if step == last && closed => (before[last - 1], before[1]),
                0 => continue,
                _ if step == last => continue,
                _ => (before[step - 1], before[step + 1]),
            };
            let b = before[step];
            points[step] = [(a[0] + 2.0 * b[0] + c[0]) / 4.0, (a[1] + 2.0 * b[1] + c[1]) / 4.0];
        }
    }
    thinned(
        &points,
        [allowance, allowance / 2.0, 1.0, 0.0][usize::from(care.min(3))],
    )
}

/// Leaves out points nearer than `allowance` metres to the line without them (Douglas and Peucker 1973).
pub(crate) fn thinned(points: &[Point], allowance: f64) -> Vec<Point> {
    let mut keep = vec![false; points.len()];
    let last = points.len() - 1;
    (keep[0], keep[last]) = (true, true);
    let mut open = vec![(0, last)];
    if points[0] == points[last] {
        // A closed line is first parted at its point farthest from the start.
        let far = |place: &usize| apart2(points[*place], points[0]);
        let middle = (0..=last).max_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0);
        keep[middle] = true;
        open = vec![(0, middle), (middle, last)];
    }
    while let Some((from, to)) = open.pop() {
        let mut worst = (allowance * allowance, 0);
        for between in from + 1..to {
            let off = off_line(points[between], points[from], points[to]);
            if off > worst.0 {
                worst = (off, between);
            }
        }
        if worst.1 > 0 {
            keep[worst.1] = true;
            open.push((from, worst.1));
            open.push((worst.1, to));
        }
    }
    points
        .iter()
        .zip(keep)
        .filter(|(_, keep)| *keep)
        .map(|(point, _)| *point)
        .collect()
}

fn apart2(a: Point, b: Point) -> f64 {
    (a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1])
}

/// Square of the distance from a point to a piece of line.
fn off_line(point: Point, a: Point, b: Point) -> f64 {
    let length = apart2(a, b);
    if length == 0.0 {
        return apart2(point, a);
    }
    let t = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / length;
    let t = t.clamp(0.0, 1.0);
    apart2(point, [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t])
}

/// The lines that cross another or themselves, found tile by tile.
fn crossing(lines: &[Vec<Point>]) -> BTreeSet<usize> {
    const TILE: f64 = 200.0;
    let mut tiles: BTreeMap<(i64, i64), Vec<Piece>> = BTreeMap::new();
    for (number, line) in lines.iter().enumerate() {
        for pair in line.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let tile = |value: f64| (value / TILE).floor() as i64;
            for i in tile(a[0].min(b[0]))..=tile(a[0].max(b[0])) {
                for j in tile(a[1].min(b[1]))..=tile(a[1].max(b[1])) {
                    tiles.entry((i, j)).or_default().push((number, a, b));
                }
            }
        }
    }
    let turn = |a: Point, b: Point, c: Point| (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    let mut found = BTreeSet::new();
    for pieces in tiles.values() {
        for (place, &(one, a, b)) in pieces.iter().enumerate() {
            for &(other, c, d) in &pieces[place + 1..] {
                let ends_meet = [a, b].contains(&c) || [a, b].contains(&d);
                let across = turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0;
                let same = [a, b].contains(&c) && [a, b].contains(&d) && (one, a, b) != (other, c, d);
                if across && (!ends_meet || same) {
                    found.extend([one, other]);
                }
            }
        }
    }
    found
}

/// A ring put together from its runs; closed.
fn joined(pieces: &[Step], drawn: &[Vec<Point>]) -> Vec<Point> {
    let mut ring: Vec<Point> = Vec::new();
    for &(run, forward) in pieces {
        let line = &drawn[run];
        let skip = usize::from(!ring.is_empty());
        if forward {
            ring.extend(line.iter().skip(skip));
        } else {
            ring.extend(line.iter().rev().skip(skip));
        }
    }
    ring
}

/// Twice the area of a ring, above zero where it runs counter-clockwise.
pub(crate) fn doubled_area(ring: &[Point]) -> f64 {
    ring.windows(2)
        .map(|pair| pair[0][0] * pair[1][1] - pair[1][0] * pair[0][1])
        .sum()
}

/// Sorts rings into polygons: each hole goes to the smallest shell around it.
fn polygons(rings: impl Iterator<Item = Vec<Point>>) -> Vec<Polygon> {
    let (shells, holes): (Vec<_>, Vec<_>) = rings.partition(|ring| doubled_area(ring) > 0.0);
    let mut polygons: Vec<Polygon> = shells.into_iter().map(|shell| vec![shell]).collect();
    polygons.sort_by(|a, b| doubled_area(&b[0]).total_cmp(&doubled_area(&a[0])));
    for hole in holes {
        if let Some(around) = polygons
            .iter_mut()
            .rev()
            .find(|polygon| within(&polygon[0], hole[0]))
        {
            around.push(hole);
        }
    }
    polygons
}
