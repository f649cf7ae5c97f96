//! The invented places of Eskenvar: its border, villages, forest parts and the outlines its agency draws. In goes
//! nothing, out come named places in metres; the lie of the land is left to `terrain`. No place here exists.

use crate::region::chance::rough;
use crate::region::terrain::Point;

/// A village: name, place, inhabitants in hundreds (how far its fields reach).
pub(crate) const VILLAGES: [(&str, Point, f64); 8] = [
    ("Tesselbro", [5_050.0, 7_500.0], 14.0),
    ("Ambrick", [12_300.0, 9_450.0], 22.0),
    ("Ostrimm", [20_300.0, 9_350.0], 11.0),
    ("Karrelau", [15_350.0, 12_300.0], 6.0),
    ("Ullenbrod", [21_200.0, 14_300.0], 5.0),
    ("Fennoe", [2_700.0, 4_300.0], 5.0),
    ("Harsau", [14_300.0, 4_500.0], 8.0),
    ("Pelmdorn", [10_300.0, 12_900.0], 4.0),
];

/// A forest part: name and heart. A stand belongs to the nearest.
pub(crate) const PARTS: [(&str, Point); 26] = [
    ("Quirnwood", [3_000.0, 12_300.0]),
    ("Lauven Slope", [6_300.0, 11_100.0]),
    ("Hollenfried", [6_000.0, 14_500.0]),
    ("Brumsel Ridge", [3_200.0, 15_300.0]),
    ("Kestelfirst", [8_900.0, 15_400.0]),
    ("Ammerlow Wood", [11_500.0, 15_200.0]),
    ("Mirrel Bank", [14_600.0, 14_900.0]),
    ("Zwirbelholt", [9_200.0, 10_900.0]),
    ("Oddermoss", [12_200.0, 11_600.0]),
    ("Grauken Scarp", [17_300.0, 14_700.0]),
    ("Whitlaun", [17_700.0, 11_500.0]),
    ("Limmerholt", [17_100.0, 6_300.0]),
    ("Vorrelstein", [17_400.0, 3_000.0]),
    ("Eskerlund", [20_700.0, 11_900.0]),
    ("Ullen Heights", [19_900.0, 16_000.0]),
    ("Sorrelmark", [22_000.0, 7_300.0]),
    ("Hexelgrund", [20_600.0, 4_700.0]),
    ("Teskel Plateau", [8_500.0, 2_900.0]),
    ("Ravelsand", [5_200.0, 2_300.0]),
    ("Ochrelund", [11_600.0, 2_500.0]),
    ("Miregrund", [9_200.0, 5_400.0]),
    ("Sillerwood", [2_600.0, 9_300.0]),
    ("Pennerdell", [6_100.0, 4_900.0]),
    ("Nockenhart", [14_700.0, 6_900.0]),
    ("Twellholm", [15_000.0, 2_300.0]),
    ("Corvenlee", [21_900.0, 16_000.0]),
];

/// The region's border before it is rounded off.
const BORDER: [Point; 22] = [
    [1_200.0, 2_600.0],
    [3_600.0, 900.0],
    [7_200.0, 600.0],
    [9_800.0, 1_200.0],
    [12_800.0, 500.0],
    [16_600.0, 800.0],
    [19_800.0, 2_200.0],
    [22_600.0, 3_100.0],
    [23_500.0, 6_300.0],
    [22_800.0, 9_200.0],
    [23_600.0, 12_200.0],
    [22_900.0, 15_400.0],
    [20_300.0, 16_800.0],
    [17_400.0, 17_400.0],
    [14_200.0, 16_700.0],
    [11_400.0, 17_500.0],
    [8_200.0, 17_200.0],
    [4_700.0, 17_600.0],
    [2_000.0, 16_200.0],
    [600.0, 13_200.0],
    [1_000.0, 10_300.0],
    [400.0, 7_200.0],
];

/// The strict reserve Hollenfried core before it is rounded off.
pub(crate) const CORE: [Point; 9] = [
    [4_600.0, 13_700.0],
    [5_600.0, 13_100.0],
    [6_900.0, 13_300.0],
    [7_600.0, 14_200.0],
    [7_300.0, 15_400.0],
    [6_500.0, 16_000.0],
    [5_300.0, 15_800.0],
    [4_600.0, 15_200.0],
    [4_300.0, 14_400.0],
];

/// The landscape reserve Whitlaun before it is rounded off.
pub(crate) const RESERVE: [Point; 8] = [
    [16_200.0, 10_400.0],
    [17_600.0, 10_000.0],
    [19_000.0, 10_600.0],
    [19_500.0, 12_400.0],
    [19_000.0, 13_700.0],
    [17_600.0, 14_000.0],
    [16_600.0, 13_000.0],
    [16_100.0, 11_600.0],
];

/// The municipality of Tesselbro.
pub(crate) const TESSELBRO: [Point; 9] = [
    [400.0, 7_200.0],
    [1_900.0, 5_500.0],
    [4_300.0, 5_300.0],
    [7_000.0, 5_900.0],
    [8_100.0, 7_600.0],
    [7_600.0, 10_200.0],
    [5_200.0, 11_800.0],
    [2_600.0, 11_300.0],
    [800.0, 10_300.0],
];

/// The region's border: the drawn one with the bends of brooks and banks it follows.
pub(crate) fn border() -> Vec<Point> {
    let next = BORDER.iter().cycle().skip(1);
    let mut ring = Vec::new();
    for (a, b) in BORDER.iter().zip(next) {
        for part in 0..5 {
            let t = f64::from(part) / 5.0;
            let [x, y] = [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
            let off = |key: u64| 330.0 * rough(key, x / 1_500.0, y / 1_500.0, 3);
            ring.push([x + off(61), y + off(62)]);
        }
    }
    rounded(&ring)
}

/// Corners cut three times, so that a drawn outline runs in curves (Chaikin's corner cutting).
pub(crate) fn rounded(corners: &[Point]) -> Vec<Point> {
    let mut ring = corners.to_vec();
    for _ in 0..3 {
        let next = ring.iter().cycle().skip(1);
        ring = ring
            .iter()
            .zip(next)
            .flat_map(|(a, b)| {
                let between = |t: f64| [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
                [between(0.25), between(0.75)]
            })
            .collect();
    }
    ring
}

/// Whether a place lies within a ring (even-odd rule).
pub(crate) fn within(ring: &[Point], [x, y]: Point) -> bool {
    let mut inside = false;
    let mut last = ring[ring.len() - 1];
    for &corner in ring {
        let crosses = (corner[1] > y) != (last[1] > y);
        if crosses && x < (last[0] - corner[0]) * (y - corner[1]) / (last[1] - corner[1]) + corner[0] {
            inside = !inside;
        }
        last = corner;
    }
    inside
}

/// Distance between two places in metres.
pub(crate) fn apart(a: Point, b: Point) -> f64 {
    let (dx, dy) = (a[0] - b[0], a[1] - b[1]);
    (dx * dx + dy * dy).sqrt()
}

/// The village whose fields and lanes reach a place most, and how near it is for its size (0 far, 1 in it).
pub(crate) fn village(place: Point) -> (usize, f64) {
    let mut best = (0, 0.0);
    for (number, (_, heart, size)) in VILLAGES.iter().enumerate() {
        let reach = 900.0 + 75.0 * size;
        let near = (1.0 - apart(place, *heart) / (2.0 * reach)).max(0.0);
        if near > best.1 {
            best = (number, near);
        }
    }
    best
}

/// The forest part whose heart is nearest, a place in `PARTS`.
pub(crate) fn part_of(place: Point) -> usize {
    let far = |part: &usize| apart(PARTS[*part].1, place);
    (0..PARTS.len())
        .min_by(|a, b| far(a).total_cmp(&far(b)))
        .unwrap_or(0)
}
