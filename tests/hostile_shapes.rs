//! Shapes that are made to take for ever: combs, stars, spirals, spikes in spikes, holes along their shells, stands on
//! one another by the thousand. In go outlines as large as one stand may have, out comes proof that the work stays within
//! a bound: each test ends in seconds, and would take hours or all memory where a bound is missing.

use std::fmt::Write as _;

use hostwood::geometry::{Index, Outlines, Polygons, repair};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::read;

const POSITIONS: usize = 20_000;

fn ring(at: impl Fn(f64) -> [f64; 2]) -> Vec<[f64; 2]> {
    let mut ring: Vec<[f64; 2]> = (0..POSITIONS).map(|n| at(n as f64)).collect();
    ring.push(ring[0]);
    ring
}

fn turned(turns: f64, reach: f64) -> [f64; 2] {
    let angle = turns * std::f64::consts::TAU;
    [10.0 + reach * angle.cos(), 50.0 + reach * angle.sin()]
}

fn shapes() -> Vec<(&'static str, Polygons, &'static [&'static str])> {
    let count = POSITIONS as f64;
    let disc = || ring(|n| turned(n / count, 0.1));
    let comb = || {
        ring(|n| {
            [
                10.0 + n * 1e-6 + if n % 2.0 == 0.0 { 0.0 } else { 0.3 },
                50.0 + n % 2.0 * 0.1,
            ]
        })
    };
    vec![
        (
            "a slanting comb",
            vec![vec![comb()]],
            &["crossing-not-checked", "tangled"],
        ),
        (
            "a star",
            vec![vec![ring(|n| turned(n * 0.499_975, 0.1))]],
            &["tangled"],
        ),
        (
            "a spiral",
            vec![vec![ring(|n| turned(n / 60.0, 0.1 * (1.0 - n / count)))]],
            &[],
        ),
        (
            "a scribble",
            vec![vec![ring(|n| {
                turned(n * n * 0.618_034, 0.1 * (n * 0.414).fract())
            })]],
            &["tangled"],
        ),
        (
            "spikes out and back on one line",
            vec![vec![ring(|n| {
                [
                    10.0 + (n % 1000.0) * if n % 2.0 == 0.0 { 1e-5 } else { -1e-5 },
                    50.0,
                ]
            })]],
            &["zero-area"],
        ),
        (
            "a hole like its shell",
            vec![vec![disc(), disc()]],
            &["hole-is-shell"],
        ),
        (
            "two thousand holes in a long shell",
            vec![
                std::iter::once(disc())
                    .chain((0..1999).map(|n| {
                        let [west, south] = turned(f64::from(n) / 1999.0, 0.05);
                        vec![
                            [west, south],
                            [west + 1e-4, south],
                            [west, south + 1e-4],
                            [west, south],
                        ]
                    }))
                    .collect(),
            ],
            &[],
        ),
    ]
}

#[test]
fn outlines_made_to_take_for_ever_do_not() {
    for (name, polygons, expected) in shapes() {
        let repaired = repair(&polygons);
        let mut outlines = Outlines::new();
        let stand = outlines.push_repaired(&repaired);
        outlines.push_repaired(&repaired);
        outlines.overlaps(&Index::build(&outlines));
        let inside = outlines.inside_point(stand);
        let codes: Vec<&str> = repaired.flaws().iter().map(|flaw| flaw.code()).collect();
        assert!(
            expected.is_empty() || expected.iter().any(|code| codes.contains(code)),
            "{name}: {codes:?}, expected one of {expected:?}"
        );
        assert_eq!(inside.is_none(), repaired.is_empty(), "{name}");
    }
}

/// Names by the thousand that nobody knows: each is counted, and only the first are compared with all that are known.
#[test]
fn names_by_the_thousand_that_nobody_knows_are_counted() {
    let mut map = String::from("{\"type\":\"FeatureCollection\",\"features\":[");
    for stand in 0..5_000 {
        let comma = if stand == 0 { "" } else { "," };
        let geometry = "\"geometry\":null";
        write!(
            map,
            "{comma}{{\"type\":\"Feature\",\"id\":{stand},\"properties\":{{\"species\":\"qzx{stand} wvj\"}},{geometry}}}"
        )
        .expect("text grows");
    }
    map.push_str("]}");
    let reading = read(map.as_bytes(), None, Knowledge::shipped()).expect("a stand map");
    let unknown = reading
        .findings
        .iter()
        .filter(|finding| finding.code == "unknown-tree");
    let (findings, count) = unknown.fold((0, 0), |(findings, count), finding| {
        (findings + 1, count + finding.count)
    });
    assert_eq!((findings, count), (50, 5_000));
    assert_eq!(reading.report.unknown_trees.len(), 5_000);
}
