//! An invented piece of land for the shading tests: a patchwork of stands with wavy borders that they share exactly.
//! In goes how fine it is, out come outlines and paints. Nothing here is taken from a real map.

use hostwood::geometry::{Index, Outlines};
use hostwood::shading::{Fill, Marks, Paint};

/// Outlines, index and paints of an invented land.
pub(crate) struct Land {
    pub(crate) outlines: Outlines,
    pub(crate) index: Index,
    pub(crate) paints: Vec<Paint>,
}

/// A number from 0 to 1 that looks random and depends on nothing but its arguments.
fn chance(a: i64, b: i64, c: i64) -> f64 {
    let mut state =
        (a.wrapping_mul(0x9E37_79B9) ^ b.wrapping_mul(0x85EB_CA6B) ^ c.wrapping_mul(0xC2B2_AE35)) as u64;
    for _ in 0..3 {
        state ^= state >> 31;
        state = state.wrapping_mul(0xBF58_476D_1CE4_E5B9);
        state ^= state >> 29;
    }
    (state % 1_000_003) as f64 / 1_000_003.0
}

/// The border between two corners, wavy, the same from both sides.
fn border(
    from: (i64, i64),
    to: (i64, i64),
    steps: usize,
    at: &impl Fn(f64, f64) -> [f64; 2],
) -> Vec<[f64; 2]> {
    let turned = from > to;
    let (first, last) = if turned { (to, from) } else { (from, to) };
    let corner = |(x, y): (i64, i64)| {
        (
            x as f64 + 0.6 * (chance(x, y, 1) - 0.5),
            y as f64 + 0.6 * (chance(x, y, 2) - 0.5),
        )
    };
    let (a, b) = (corner(first), corner(last));
    let (run, rise) = (b.0 - a.0, b.1 - a.1);
    let mut line: Vec<[f64; 2]> = (0..=steps)
        .map(|n| {
            let part = n as f64 / steps as f64;
            let calm = (part * std::f64::consts::PI).sin();
            let wave = |which: i64, turns: f64| {
                let start =
                    chance(first.0 * 31 + last.0, first.1 * 17 + last.1, which) * std::f64::consts::TAU;
                (part * turns * std::f64::consts::TAU + start).sin()
            };
            let away = calm * (0.07 * wave(3, 1.3) + 0.035 * wave(4, 3.1) + 0.015 * wave(5, 7.7));
            at(a.0 + run * part - rise * away, a.1 + rise * part + run * away)
        })
        .collect();
    if turned {
        line.reverse();
    }
    line
}

/// A land of `side` by `side` cells south-east of a position, each cell `cell` degrees across. `open` of all cells, from
/// 0 to 1, are open ground; if there is any, one cell in eleven also has a clearing.
pub(crate) fn land(north_west: [f64; 2], side: i64, cell: f64, steps: usize, open: f64) -> Land {
    let at = |x: f64, y: f64| [north_west[0] + x * cell, north_west[1] - y * cell * 0.62];
    let mut outlines = Outlines::new();
    let mut paints = Vec::new();
    for y in 0..side {
        for x in 0..side {
            if chance(x, y, 7) < open {
                continue;
            }
            let corners = [(x, y), (x, y + 1), (x + 1, y + 1), (x + 1, y)];
            let mut ring = Vec::new();
            for n in 0..4 {
                let mut line = border(corners[n], corners[(n + 1) % 4], steps, &at);
                line.pop();
                ring.extend(line);
            }
            let mut rings = vec![ring];
            if open > 0.0 && chance(x, y, 8) < 0.09 {
                let middle = (x as f64 + 0.5, y as f64 + 0.5);
                rings.push(
                    (0..14)
                        .map(|n| {
                            let angle = n as f64 / 14.0 * std::f64::consts::TAU;
                            let reach = 0.13 + 0.06 * chance(x * 20 + n, y, 9);
                            at(middle.0 + reach * angle.cos(), middle.1 - reach * angle.sin())
                        })
                        .collect(),
                );
            }
            outlines.push(&[rings]);
            let mut paint = paint(x, y);
            if open == 0.0 && paint.fill == Fill::None {
                paint.fill = Fill::Step(2);
            }
            paints.push(paint);
        }
    }
    let index = Index::build(&outlines);
    Land {
        outlines,
        index,
        paints,
    }
}

/// Richer towards the middle of the land, with marks here and there.
fn paint(x: i64, y: i64) -> Paint {
    let swell = (x as f64 * 0.42).sin() + (y as f64 * 0.37 + 1.0).cos() + 1.6 * (chance(x, y, 10) - 0.5);
    let step = ((swell + 1.9) / 3.8 * 5.0).clamp(0.0, 4.0) as u8;
    let fill = match chance(x, y, 11) {
        roll if roll < 0.07 => Fill::NotKnown,
        roll if roll > 0.985 => Fill::None,
        _ => Fill::Step(step),
    };
    let mut marks = Marks::NONE;
    let (gx, gy) = (x.div_euclid(3), y.div_euclid(3));
    if chance(gx, gy, 12) < 0.13 {
        marks = marks.with(Marks::CLOSED);
    }
    if chance(gx, gy, 13) < 0.16 {
        marks = marks.with(Marks::NEED);
    }
    if chance(x, y, 14) < 0.18 {
        marks = marks.with(Marks::WIDE);
    }
    Paint { fill, marks }
}
