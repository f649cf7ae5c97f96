//! Lays out roads, tracks and paths: in go the terrain and what covers the ground, out come lines that climb as
//! little as they can, car parks where a road meets the forest, and viewpoints. Writing them is left to `write`.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::region::borders::thinned;
use crate::region::chance::wave;
use crate::region::land::{ACROSS, Cover, SQUARE, beside};
use crate::region::places::{PARTS, VILLAGES, apart, part_of};
use crate::region::terrain::{COLUMNS, Point, ROWS, Terrain, around, cell_of, middle};

/// A line one can go along.
pub(crate) struct Way {
    /// `road`, `track` or `path`.
    pub(crate) role: &'static str,
    /// From where to where, or empty.
    pub(crate) name: String,
    /// Its line.
    pub(crate) line: Vec<Point>,
}

/// Ways and the places they lead to.
pub(crate) struct Ways {
    /// Roads, tracks, paths.
    pub(crate) ways: Vec<Way>,
    /// Car parks with their names.
    pub(crate) car_parks: Vec<(String, Point)>,
    /// Viewpoints with their names.
    pub(crate) viewpoints: Vec<(String, Point)>,
}

const ROADS: [(&str, Point, Point); 12] = [
    ("Esken Valley Road", VILLAGES[0].1, VILLAGES[1].1),
    ("Esken Valley Road", VILLAGES[1].1, VILLAGES[2].1),
    ("Esken Valley Road", VILLAGES[0].1, [450.0, 7_600.0]),
    ("Esken Valley Road", VILLAGES[2].1, [23_050.0, 10_100.0]),
    ("Lake Road", VILLAGES[1].1, VILLAGES[3].1),
    ("Ullen Road", VILLAGES[3].1, VILLAGES[4].1),
    ("Ullen Road", VILLAGES[4].1, VILLAGES[2].1),
    ("Fennoe Road", VILLAGES[0].1, VILLAGES[5].1),
    ("Harsau Road", VILLAGES[1].1, VILLAGES[6].1),
    ("Harsau Road", VILLAGES[6].1, [14_700.0, 650.0]),
    ("Plateau Road", VILLAGES[6].1, VILLAGES[5].1),
    ("Pelmdorn Lane", VILLAGES[1].1, VILLAGES[7].1),
];

const VIEWPOINTS: [&str; 7] = ["Tower", "Rock", "View", "Edge", "Cairn", "Top", "Bench"];

/// The forest parts that a lane leads into, places in `PARTS`.
const HEARTS: [usize; 16] = [0, 1, 4, 5, 10, 11, 17, 18, 9, 12, 14, 16, 21, 6, 20, 13];

/// The names of the car parks at their edge.
const LANES: [&str; 16] = [
    "Sawyer's Yard",
    "Three Beeches",
    "Old Kiln",
    "Charcoal Meadow",
    "Tollhouse",
    "Mill Pool",
    "Crane Bridge",
    "Lime Quarry",
    "Fir Gate",
    "Sheepwash",
    "Long Ride",
    "Boundary Oak",
    "Ford End",
    "Peat Shed",
    "Hollow Lane",
    "Stone Trough",
];

/// What a step onto a cell costs beside its length.
struct Ground {
    cost: Vec<f64>,
    used: Vec<bool>,
}

impl Ground {
    /// The stretches of a way that no way ran along before, each tied to the ways at its ends; from now on they are
    /// ways too.
    fn fresh(&mut self, cells: &[usize]) -> Vec<Vec<usize>> {
        let mut stretches = Vec::new();
        let mut stretch: Vec<usize> = Vec::new();
        for pair in cells.windows(2) {
            if self.used[pair[0]] && self.used[pair[1]] {
                if stretch.len() > 2 {
                    stretches.push(std::mem::take(&mut stretch));
                }
                stretch.clear();
            } else {
                if stretch.is_empty() {
                    stretch.push(pair[0]);
                }
                stretch.push(pair[1]);
            }
        }
        if stretch.len() > 2 {
            stretches.push(stretch);
        }
        for &cell in cells {
            self.used[cell] = true;
        }
        stretches
    }
}

/// Lays out the ways.
pub(crate) fn lay(terrain: &Terrain, cover: &[Cover]) -> Ways {
    let covers: Vec<Cover> = (0..COLUMNS * ROWS)
        .map(|cell| {
            let [x, y] = middle(cell);
            cover[(y / SQUARE) as usize * ACROSS + (x / SQUARE) as usize]
        })
        .collect();
    // Old ways bend around what is long gone.
    let turns = |cell: usize| {
        let [x, y] = middle(cell);
        1.0 + 0.5 * wave(91, x / 420.0, y / 420.0) + 0.3 * wave(92, x / 160.0, y / 160.0)
    };
    let cost = |forest: f64, open: f64| -> Vec<f64> {
        covers
            .iter()
            .enumerate()
            .map(|(cell, cover)| match cover {
                Cover::Forest => forest * turns(cell),
                Cover::Field | Cover::Meadow => open * turns(cell),
                Cover::River => 14.0,
                Cover::Lake => 400.0,
                Cover::Beyond => 60.0,
            })
            .collect()
    };
    let mut ways = Vec::new();
    let mut ground = Ground {
        cost: cost(1.5, 1.0),
        used: vec![false; COLUMNS * ROWS],
    };
    for (name, from, to) in ROADS {
        for cells in route(terrain, &mut ground, from, to, 34.0) {
            ways.push(Way {
                role: "road",
                name: name.to_owned(),
                line: drawn(&cells),
            });
        }
    }
    let mut car_parks = Vec::new();
    for (name, heart) in LANES
        .into_iter()
        .zip(HEARTS)
        .map(|(name, part)| (name, PARTS[part].1))
    {
        let mut homes = VILLAGES.to_vec();
        homes.sort_by(|a, b| apart(a.1, heart).total_cmp(&apart(b.1, heart)));
        let cells = cheapest(terrain, &ground, homes[0].1, heart, 26.0);
        // The car park lies where the lane has come into the forest for good.
        let entered = (0..cells.len())
            .find(|&step| {
                cells[step..]
                    .iter()
                    .take(6)
                    .all(|&cell| covers[cell] == Cover::Forest)
            })
            .unwrap_or(cells.len() - 1);
        let spot = middle(cells[entered]);
        let wooded = entered + 1 < cells.len();
        for (role, stretch) in [("road", &cells[..=entered]), ("track", &cells[entered..])] {
            for piece in ground.fresh(stretch) {
                ways.push(Way {
                    role,
                    name: String::new(),
                    line: drawn(&piece),
                });
            }
        }
        if wooded && car_parks.iter().all(|(_, other)| apart(*other, spot) > 900.0) {
            car_parks.push((name.to_owned(), spot));
        }
    }
    let viewpoints = viewpoints(terrain, &covers);
    ground.cost = cost(1.0, 1.7);
    for (place, (name, at)) in car_parks.iter().enumerate() {
        let mut others: Vec<&(String, Point)> = car_parks
            .iter()
            .enumerate()
            .filter(|(other, (_, spot))| *other > place && apart(*spot, *at) < 6_500.0)
            .map(|(_, other)| other)
            .collect();
        others.sort_by(|a, b| apart(a.1, *at).total_cmp(&apart(b.1, *at)));
        for (other, to) in others.into_iter().take(2) {
            for cells in route(terrain, &mut ground, *at, *to, 20.0) {
                ways.push(Way {
                    role: "track",
                    name: format!("{name} to {other}"),
                    line: drawn(&cells),
                });
            }
        }
    }
    let hearts: Vec<Point> = PARTS
        .iter()
        .map(|(_, heart)| *heart)
        .filter(|heart| covers[cell_of(*heart)] == Cover::Forest)
        .collect();
    for (place, heart) in hearts.iter().enumerate() {
        let mut others: Vec<Point> = hearts[place + 1..].to_vec();
        others.extend(car_parks.iter().map(|(_, spot)| *spot));
        others.retain(|other| apart(*other, *heart) < 4_600.0);
        others.sort_by(|a, b| apart(*a, *heart).total_cmp(&apart(*b, *heart)));
        for to in others.into_iter().take(3) {
            for cells in route(terrain, &mut ground, *heart, to, 20.0) {
                ways.push(Way {
                    role: "track",
                    name: String::new(),
                    line: drawn(&cells),
                });
            }
        }
    }
    for (name, top) in &viewpoints {
        let mut near: Vec<&(String, Point)> = car_parks.iter().collect();
        near.sort_by(|a, b| apart(a.1, *top).total_cmp(&apart(b.1, *top)));
        for (start, from) in near
            .into_iter()
            .take(2)
            .filter(|(_, from)| apart(*from, *top) < 7_000.0)
        {
            for cells in route(terrain, &mut ground, *from, *top, 9.0) {
                ways.push(Way {
                    role: "path",
                    name: format!("{start} to {name}"),
                    line: drawn(&cells),
                });
            }
        }
    }
    Ways {
        ways,
        car_parks,
        viewpoints,
    }
}

/// A way between two places: only the stretches that no way ran along before.
fn route(terrain: &Terrain, ground: &mut Ground, from: Point, to: Point, steep: f64) -> Vec<Vec<usize>> {
    let cells = cheapest(terrain, ground, from, to, steep);
    ground.fresh(&cells)
}

/// The cheapest way between two places, cell by cell. Steepness along the way costs most, an existing way costs
/// little.
fn cheapest(terrain: &Terrain, ground: &Ground, from: Point, to: Point, steep: f64) -> Vec<usize> {
    let (start, goal) = (cell_of(from), cell_of(to));
    let count = ground.cost.len();
    let mut best = vec![u64::MAX; count];
    let mut came = vec![usize::MAX; count];
    let mut heap = BinaryHeap::new();
    // A lower bound on the rest of the way keeps the search short.
    let rest = |cell: usize| (apart(middle(cell), middle(goal)) * 0.42 * 0.6 * 1_000.0) as u64;
    best[start] = 0;
    heap.push(Reverse((rest(start), start)));
    while let Some(Reverse((reached, cell))) = heap.pop() {
        if cell == goal {
            break;
        }
        if reached > best[cell] + rest(cell) {
            continue;
        }
        for (next, far) in around(cell) {
            let climb = ((terrain.height.0[next] - terrain.height.0[cell]) / far).abs() * steep;
            let worn = if ground.used[next] && ground.used[cell] {
                0.42
            } else {
                1.0
            };
            let along = worn * far * (ground.cost[next].max(0.6) + climb * climb);
            let total = best[cell] + (along * 1_000.0) as u64;
            if total < best[next] {
                best[next] = total;
                came[next] = cell;
                heap.push(Reverse((total + rest(next), next)));
            }
        }
    }
    let mut cells = vec![goal];
    let mut cell = goal;
    while came[cell] != usize::MAX {
        cell = came[cell];
        cells.push(cell);
    }
    cells.reverse();
    cells
}

/// Cells as a smooth, thin line; its ends stay where they are.
pub(crate) fn drawn(cells: &[usize]) -> Vec<Point> {
    let points: Vec<Point> = cells.iter().map(|&cell| middle(cell)).collect();
    eased(points)
}

/// A line smoothed between its ends and thinned.
pub(crate) fn eased(mut points: Vec<Point>) -> Vec<Point> {
    for _ in 0..4 {
        let before = points.clone();
        for step in 1..points.len().saturating_sub(1) {
            for axis in 0..2 {
                points[step][axis] =
                    (before[step - 1][axis] + 2.0 * before[step][axis] + before[step + 1][axis]) / 4.0;
            }
        }
    }
    thinned(&points, 7.0)
}

/// The highest places that stand well over their surroundings, well apart.
fn viewpoints(terrain: &Terrain, covers: &[Cover]) -> Vec<(String, Point)> {
    let mut cells: Vec<usize> = (0..COLUMNS * ROWS)
        .filter(|&cell| covers[cell] == Cover::Forest && terrain.position.0[cell] > 22.0)
        .collect();
    let rank = |cell: usize| terrain.position.0[cell] + 0.08 * terrain.height.0[cell];
    cells.sort_by(|&a, &b| rank(b).total_cmp(&rank(a)));
    let mut tops: Vec<Point> = Vec::new();
    for cell in cells {
        let top = middle(cell);
        if tops.iter().all(|&other| apart(other, top) > 2_600.0) {
            tops.push(top);
        }
    }
    VIEWPOINTS
        .into_iter()
        .zip(tops)
        .map(|(what, top)| {
            let word = PARTS[part_of(top)].0.split(' ').next().unwrap_or_default();
            (format!("{word} {what}"), top)
        })
        .collect()
}

/// Whether a square borders on open land.
pub(crate) fn by_open_land(cover: &[Cover], square: usize) -> bool {
    beside(square).any(|next| !matches!(cover[next], Cover::Forest))
}
