//! Writes a stand map of any size for the benches: in go the number of stands, the mean number of corners and a
//! folder, out come `stands-N.geojson`, `stands-N.crosswalk.json` and `stands-N.truth.json`, the same bytes on every
//! machine. The forest is invented. What is measured with it is left to the benches.
//!
//! Cells of a bent grid share their borders corner by corner; some pairs are one stand, some stands have two parts or
//! a hole, and half of the holes hold a stand of their own.
//!
//! ```text
//! cargo run --example forest -- 100000 11.2 FOLDER
//! ```

#[path = "../../examples/region/chance.rs"]
#[expect(
    dead_code,
    reason = "the demo region uses all of it, the benches draw plain numbers only"
)]
mod chance;

use chance::{draw, part};
use std::fmt::Write as _;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// South-western corner of the forest, in degrees.
const CORNER: (f64, f64) = (14.0, 48.0);
/// Width and height of a cell, in degrees: about 220 m by 220 m.
const CELL: (f64, f64) = (0.003, 0.002);
/// How far a node may lie from its place in the grid, as a part of a cell.
const JITTER: f64 = 0.2;
/// Numbers of steps along a border, and how often each comes when the mean is to be about 11.
const STEPS: [i64; 9] = [3, 4, 6, 8, 10, 12, 16, 20, 36];
/// One in so many cells gets a second part, this many columns to the east.
const SECOND_PART: (u64, i64) = (26, 7);
/// One in so many cells has a hole.
const HOLE: u64 = 15;
/// One in so many cells takes in its eastern neighbour.
const PAIR: u64 = 6;
/// Clicks whose stand is known.
const CLICKS: usize = 200;

const SPECIES: [&str; 12] = [
    "PIAB", "PISY", "FASY", "QUPE", "BEPE", "LADE", "ABAL", "PSME", "ACPS", "FREX", "ALGL", "CABE",
];
/// What the columns of the map mean.
pub(crate) const CROSSWALK: &str = r#"{
  "format": "hostwood-crosswalk/1.0",
  "reference_year": 2026,
  "lists": {
    "bench": {
      "codes": {
        "PIAB": "Picea abies", "PISY": "Pinus sylvestris", "FASY": "Fagus sylvatica", "QUPE": "Quercus petraea",
        "BEPE": "Betula pendula", "LADE": "Larix decidua", "ABAL": "Abies alba", "PSME": "Pseudotsuga menziesii",
        "ACPS": "Acer pseudoplatanus", "FREX": "Fraxinus excelsior", "ALGL": "Alnus glutinosa", "CABE": "Carpinus betulus"
      }
    }
  },
  "id": {"from": "STAND_ID"},
  "trees": [
    {
      "repeat": {"slot": ["1", "2", "3"]},
      "name": {"from": "SP{slot}", "read": "code", "list": "bench"},
      "share": {"from": "SP{slot}_PCT", "unit": "percent"}
    }
  ],
  "age": {"from": "AGE_YRS"},
  "canopy": {"from": "CANOPY", "unit": "percent"},
  "soil_reaction": {"from": "SOIL", "codes": {"SA": "acid", "WA": "weakly_acid", "NE": "neutral", "CA": "calcareous"}}
}
"#;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [stands, steps, folder] = arguments.as_slice() else {
        eprintln!("write: cargo run --example forest -- STANDS MEAN_STEPS FOLDER");
        return ExitCode::from(2);
    };
    let (Ok(stands), Ok(steps)) = (stands.parse::<usize>(), steps.parse::<f64>()) else {
        eprintln!("`{stands}` stands and `{steps}` steps along a border: both must be numbers");
        return ExitCode::from(2);
    };
    match write(stands, steps, &PathBuf::from(folder)) {
        Ok(about) => {
            println!("{about}");
            ExitCode::SUCCESS
        }
        Err(trouble) => {
            eprintln!("the forest could not be written: {trouble}");
            ExitCode::FAILURE
        }
    }
}

fn write(stands: usize, steps: f64, folder: &Path) -> std::io::Result<String> {
    std::fs::create_dir_all(folder)?;
    let file = |ending: &str| folder.join(format!("stands-{stands}.{ending}"));
    let mut out = BufWriter::with_capacity(1 << 20, std::fs::File::create(file("geojson"))?);
    let forest = grow(stands, steps, |text| out.write_all(text.as_bytes()))?;
    out.flush()?;
    std::fs::write(file("crosswalk.json"), CROSSWALK)?;
    std::fs::write(file("truth.json"), forest.truth())?;
    Ok(format!(
        "{stands} stands, {} vertices, {} of two parts, {} holes",
        forest.vertices, forest.two_parts, forest.holes
    ))
}

/// Grows a forest and hands its stand map over, piece by piece.
pub(crate) fn grow(
    stands: usize,
    steps: f64,
    mut hand_over: impl FnMut(&str) -> std::io::Result<()>,
) -> std::io::Result<Forest> {
    let mut forest = Forest::new(stands, steps);
    hand_over("{\"type\":\"FeatureCollection\",\"features\":[\n")?;
    let mut text = String::new();
    while let Some(stand) = forest.next_stand() {
        text.clear();
        if stand > 0 {
            text.push_str(",\n");
        }
        forest.tell(stand, &mut text);
        hand_over(&text)?;
    }
    hand_over("\n]}\n")?;
    Ok(forest)
}

/// One polygon: the cell it begins in, how many cells wide, and whether it is the stand in a cell's hole.
#[derive(Clone, Copy)]
struct Piece {
    column: i64,
    row: i64,
    width: i64,
    islet: bool,
    hole: bool,
}

/// The forest as it grows.
pub(crate) struct Forest {
    stands: usize,
    columns: i64,
    steps: f64,
    taken: Vec<bool>,
    cursor: i64,
    islet: Option<(i64, i64)>,
    told: usize,
    pieces: Vec<Piece>,
    clicks: Vec<(f64, f64, usize)>,
    vertices: usize,
    two_parts: usize,
    holes: usize,
}

impl Forest {
    fn new(stands: usize, steps: f64) -> Self {
        let cells = stands as f64 * 1.4 + 40.0;
        let columns = (cells * 1.0).sqrt().ceil() as i64 + 8;
        let rows = (cells / columns as f64).ceil() as i64 + 4;
        Self {
            stands,
            columns,
            steps,
            taken: vec![false; (columns * rows) as usize],
            cursor: 0,
            islet: None,
            told: 0,
            pieces: Vec::new(),
            clicks: Vec::new(),
            vertices: 0,
            two_parts: 0,
            holes: 0,
        }
    }

    /// Goes on to the next stand: its pieces are in `pieces`.
    fn next_stand(&mut self) -> Option<usize> {
        if self.told == self.stands {
            return None;
        }
        self.pieces.clear();
        if let Some((column, row)) = self.islet.take() {
            self.pieces.push(Piece {
                column,
                row,
                width: 1,
                islet: true,
                hole: false,
            });
        } else {
            self.cells();
        }
        self.told += 1;
        Some(self.told - 1)
    }

    fn cells(&mut self) {
        while self.taken[self.cursor as usize] {
            self.cursor += 1;
        }
        let (row, column) = (self.cursor / self.columns, self.cursor % self.columns);
        self.taken[self.cursor as usize] = true;
        let free = |taken: &[bool], right: i64| {
            column + right < self.columns && !taken[(self.cursor + right) as usize]
        };
        let mut width = 1;
        if draw(1, column, row).is_multiple_of(PAIR) && free(&self.taken, 1) {
            self.taken[self.cursor as usize + 1] = true;
            width = 2;
        }
        self.pieces.push(Piece {
            column,
            row,
            width,
            islet: false,
            hole: false,
        });
        if width == 1 {
            let (often, east) = SECOND_PART;
            if draw(2, column, row).is_multiple_of(often) && free(&self.taken, east) {
                self.taken[(self.cursor + east) as usize] = true;
                self.two_parts += 1;
                self.pieces.push(Piece {
                    column: column + east,
                    row,
                    width: 1,
                    islet: false,
                    hole: false,
                });
            } else if draw(3, column, row).is_multiple_of(HOLE) {
                self.holes += 1;
                self.pieces[0].hole = true;
                if draw(4, column, row).is_multiple_of(2) {
                    self.islet = Some((column, row));
                }
            }
        }
    }

    fn tell(&mut self, stand: usize, text: &mut String) {
        let key = stand as i64;
        let percent = [60, 50, 70, 80, 40][(draw(11, key, 0) % 5) as usize];
        let second = (100 - percent) * 2 / 3 / 5 * 5;
        let species = |slot: i64| SPECIES[(draw(12, key / 3, slot) % 12) as usize];
        let _ = write!(
            text,
            "{{\"type\":\"Feature\",\"properties\":{{\"STAND_ID\":\"F-{stand:07}\",\"DISTRICT\":\"District {}\",\"COMPARTMT\":\"{} {}\",\
             \"SP1\":\"{}\",\"SP1_PCT\":{percent},\"SP2\":\"{}\",\"SP2_PCT\":{second},\"SP3\":\"{}\",\"SP3_PCT\":{},\
             \"AGE_YRS\":{},\"CANOPY\":{},\"SOIL\":\"{}\",\"SURVEYED\":\"20{:02}-0{}-1{}\",\"REMARK\":null}},\"geometry\":",
            stand / 5000 + 1,
            stand / 12 + 1,
            ["a", "b", "c", "d"][(draw(13, key, 0) % 4) as usize],
            species(1),
            species(2),
            species(3),
            100 - percent - second,
            (draw(14, key, 0) % 16 + 1) * 10,
            (draw(15, key, 0) % 5 + 6) * 10,
            ["SA", "WA", "NE", "CA"][(draw(16, key / 50, 0) % 4) as usize],
            draw(17, key, 0) % 16 + 10,
            draw(18, key, 0) % 9 + 1,
            draw(19, key, 0) % 10,
        );
        let pieces = std::mem::take(&mut self.pieces);
        let several = pieces.len() > 1;
        text.push_str(if several {
            "{\"type\":\"MultiPolygon\",\"coordinates\":["
        } else {
            "{\"type\":\"Polygon\",\"coordinates\":"
        });
        for (number, piece) in pieces.iter().enumerate() {
            if number > 0 {
                text.push(',');
            }
            self.polygon(*piece, stand, text);
        }
        text.push_str(if several { "]}}" } else { "}}" });
        self.pieces = pieces;
    }

    fn polygon(&mut self, piece: Piece, stand: usize, text: &mut String) {
        let Piece {
            column,
            row,
            width,
            islet,
            hole,
        } = piece;
        let ring = if islet {
            circle(column, row)
        } else {
            self.outline(column, row, width)
        };
        text.push('[');
        self.ring(&ring, text);
        if hole {
            let mut inner = circle(column, row);
            inner.reverse();
            text.push(',');
            self.ring(&inner, text);
        }
        text.push(']');
        let every = (self.stands / CLICKS).max(1);
        if stand.is_multiple_of(every)
            && self.clicks.len() < CLICKS
            && self.clicks.last().is_none_or(|last| last.2 != stand)
        {
            let (x, y) = if islet || !hole {
                centre(column, row)
            } else {
                // Beside the hole, well inside the cell.
                let (x, y) = centre(column, row);
                (x + CELL.0 * 0.27, y)
            };
            self.clicks.push((x, y, stand));
        }
    }

    /// The border of one or two cells, counter-clockwise, closed.
    fn outline(&self, column: i64, row: i64, width: i64) -> Vec<(f64, f64)> {
        let mut ring = Vec::new();
        for right in 0..width {
            ring.extend(self.border(false, column + right, row, false));
        }
        ring.extend(self.border(true, column + width, row, false));
        for right in (0..width).rev() {
            ring.extend(self.border(false, column + right, row + 1, true));
        }
        ring.extend(self.border(true, column, row, true));
        ring.push(ring[0]);
        ring
    }

    /// The corners along one border of the grid, without its last: both sides get the very same ones.
    fn border(&self, upright: bool, column: i64, row: i64, backwards: bool) -> Vec<(f64, f64)> {
        let key = if upright { 21 } else { 22 };
        let from = node(column, row);
        let to = if upright {
            node(column, row + 1)
        } else {
            node(column + 1, row)
        };
        let wanted = STEPS[(draw(key, column, row) % 9) as usize] as f64 * self.steps / 12.8;
        let steps = (wanted.round() as i64).max(3);
        let sway = |n: u64| (part(key * 7 + n, column, row) - 0.5) * 0.12;
        let (first, second, third) = (sway(1), sway(2), sway(3) * 0.4);
        let along = (to.0 - from.0, to.1 - from.1);
        // Across, in a space where a cell is a square.
        let across = (-along.1 / CELL.1 * CELL.0, along.0 / CELL.0 * CELL.1);
        let mut points: Vec<(f64, f64)> = (0..=steps)
            .map(|step| {
                let t = step as f64 / steps as f64;
                let turn = std::f64::consts::PI * t;
                let off = first * turn.sin() + second * (2.0 * turn).sin() + third * (7.0 * turn).sin();
                (
                    from.0 + along.0 * t + across.0 * off,
                    from.1 + along.1 * t + across.1 * off,
                )
            })
            .collect();
        // Both ends are the nodes themselves, whatever the sines leave over.
        if let Some(last) = points.last_mut() {
            *last = to;
        }
        if backwards {
            points.reverse();
        }
        points.pop();
        points
    }

    fn ring(&mut self, ring: &[(f64, f64)], text: &mut String) {
        self.vertices += ring.len();
        text.push('[');
        for (number, (x, y)) in ring.iter().enumerate() {
            let _ = write!(text, "{}[{x:.7},{y:.7}]", if number > 0 { "," } else { "" });
        }
        text.push(']');
    }

    fn truth(&self) -> String {
        let clicks: Vec<String> = self
            .clicks
            .iter()
            .map(|(x, y, stand)| format!("[{x:.7},{y:.7},\"F-{stand:07}\"]"))
            .collect();
        format!(
            "{{\"stands\":{},\"vertices\":{},\"clicks\":[{}]}}\n",
            self.stands,
            self.vertices,
            clicks.join(",")
        )
    }
}

fn node(column: i64, row: i64) -> (f64, f64) {
    let off = |key| (part(key, column, row) - 0.5) * 2.0 * JITTER;
    (
        CORNER.0 + (column as f64 + off(31)) * CELL.0,
        CORNER.1 + (row as f64 + off(32)) * CELL.1,
    )
}

fn centre(column: i64, row: i64) -> (f64, f64) {
    let corners = [
        node(column, row),
        node(column + 1, row),
        node(column, row + 1),
        node(column + 1, row + 1),
    ];
    (
        corners.iter().map(|corner| corner.0).sum::<f64>() / 4.0,
        corners.iter().map(|corner| corner.1).sum::<f64>() / 4.0,
    )
}

/// A small round stand in the middle of a cell, counter-clockwise, closed.
fn circle(column: i64, row: i64) -> Vec<(f64, f64)> {
    let (x, y) = centre(column, row);
    let corners = 12 + (draw(5, column, row) % 12) as i64;
    let mut ring: Vec<(f64, f64)> = (0..corners)
        .map(|corner| {
            let turn = std::f64::consts::TAU * corner as f64 / corners as f64;
            (x + turn.cos() * CELL.0 * 0.12, y + turn.sin() * CELL.1 * 0.12)
        })
        .collect();
    ring.push(ring[0]);
    ring
}
