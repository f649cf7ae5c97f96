//! Outlines with one fault each: what is found, and the area that is left.

use super::*;
use crate::geometry::Ring;

fn ring(positions: &[(f64, f64)]) -> Ring {
    positions.iter().map(|&(lng, lat)| [lng, lat]).collect()
}

/// Hectares of an outline; none where nothing was left of it.
fn hectares(polygons: &Polygons) -> f64 {
    let mut outlines = Outlines::new();
    outlines.push(polygons);
    outlines.area(0).map_or(0.0, crate::units::Hectares::get)
}

/// Hectares of a square of 0.01 degrees on the equator; the faulty outlines are built from such squares.
fn square() -> f64 {
    hectares(&vec![vec![ring(&[
        (0.0, 0.0),
        (0.01, 0.0),
        (0.01, 0.01),
        (0.0, 0.01),
    ])]])
}

#[track_caller]
fn check(name: &str, polygons: Polygons, flaws: &[Flaw], parts: usize, squares: f64) {
    let repaired = repair(&polygons);
    assert_eq!(repaired.flaws(), flaws, "{name}: flaws");
    assert_eq!(repaired.polygons().len(), parts, "{name}: polygons");
    let found = hectares(&repaired.polygons()) / square();
    assert!(
        (found - squares).abs() < 1e-3,
        "{name}: {found} squares, expected {squares}"
    );
    let measured = repaired.area().map_or(0.0, Hectares::get) / square();
    assert!(
        (measured - found).abs() < 1e-9,
        "{name}: measured on the way {measured}, afterwards {found} squares"
    );
    let again = repair(&repaired.polygons());
    assert!(
        again
            .flaws()
            .iter()
            .all(|flaw| matches!(flaw, Flaw::SelfCrossing)),
        "{name}: a repaired outline has no flaws but crossings: {:?}",
        again.flaws()
    );
    assert_eq!(
        again.polygons(),
        repaired.polygons(),
        "{name}: repairing twice changes nothing"
    );
}

const SQUARE: [(f64, f64); 5] = [(0.0, 0.0), (0.01, 0.0), (0.01, 0.01), (0.0, 0.01), (0.0, 0.0)];

#[test]
fn sound_outlines_stay() {
    check("square", vec![vec![ring(&SQUARE)]], &[], 1, 1.0);
    let hole = ring(&[
        (0.002, 0.002),
        (0.002, 0.007),
        (0.007, 0.007),
        (0.007, 0.002),
        (0.002, 0.002),
    ]);
    check(
        "square with a hole",
        vec![vec![ring(&SQUARE), hole]],
        &[],
        1,
        0.75,
    );
    check("nothing", vec![], &[], 0, 0.0);
}

#[test]
fn the_way_of_a_ring_is_set_right_without_a_word() {
    let clockwise = SQUARE.iter().rev().copied().collect::<Vec<_>>();
    let hole = ring(&[
        (0.002, 0.002),
        (0.007, 0.002),
        (0.007, 0.007),
        (0.002, 0.007),
        (0.002, 0.002),
    ]);
    let repaired = repair(&vec![vec![ring(&clockwise), hole]]);
    assert_eq!(repaired.flaws(), []);
    let way = |ring: &Ring| {
        let units: Vec<i32> = ring.iter().flat_map(|position| position.map(units)).collect();
        twice_area(&units).signum()
    };
    assert_eq!(
        way(&repaired.polygons()[0][0]),
        1,
        "the shell runs counter-clockwise"
    );
    assert_eq!(way(&repaired.polygons()[0][1]), -1, "the hole runs clockwise");
    assert!((hectares(&repaired.polygons()) / square() - 0.75).abs() < 1e-6);
}

#[test]
fn each_fault_is_found_and_mended() {
    check(
        "unclosed",
        vec![vec![ring(&SQUARE[..4])]],
        &[Flaw::UnclosedRing],
        1,
        1.0,
    );
    let doubled = ring(&[
        (0.0, 0.0),
        (0.0, 0.0),
        (0.01, 0.0),
        (0.01, 0.000_000_01),
        (0.01, 0.01),
        (0.0, 0.01),
        (0.0, 0.0),
    ]);
    check(
        "the same position twice",
        vec![vec![doubled]],
        &[Flaw::DuplicateVertices(2)],
        1,
        1.0,
    );
    check(
        "two positions",
        vec![vec![ring(&[(0.0, 0.0), (0.01, 0.0), (0.0, 0.0)])]],
        &[Flaw::TooFewPoints, Flaw::ShellLost],
        0,
        0.0,
    );
    check(
        "no positions",
        vec![vec![vec![]]],
        &[Flaw::TooFewPoints, Flaw::ShellLost],
        0,
        0.0,
    );
    check("no rings", vec![vec![]], &[Flaw::ShellLost], 0, 0.0);
    check(
        "one line",
        vec![vec![ring(&[(0.0, 0.0), (0.01, 0.01), (0.02, 0.02), (0.0, 0.0)])]],
        &[Flaw::ZeroArea, Flaw::ShellLost],
        0,
        0.0,
    );
    check(
        "out and back on a bent line",
        vec![vec![ring(&[
            (0.0, 0.0),
            (0.01, 0.0),
            (0.01, 0.01),
            (0.01, 0.0),
            (0.0, 0.0),
        ])]],
        &[Flaw::ZeroArea, Flaw::ShellLost],
        0,
        0.0,
    );
    let empty_hole = ring(&[(0.002, 0.002), (0.003, 0.003), (0.002, 0.002)]);
    check(
        "a hole of two positions",
        vec![vec![ring(&SQUARE), empty_hole]],
        &[Flaw::TooFewPoints],
        1,
        1.0,
    );
}

#[test]
fn tips_that_turn_back_on_their_own_line_are_left_out() {
    let spike = |tip: &[(f64, f64)]| {
        let mut positions = SQUARE.to_vec();
        positions.splice(2..2, tip.iter().copied());
        vec![vec![ring(&positions)]]
    };
    for (name, polygons, spikes) in [
        (
            "out and back",
            spike(&[(0.01, 0.005), (0.03, 0.005), (0.01, 0.005)]),
            1,
        ),
        (
            "out by two positions and back",
            spike(&[
                (0.01, 0.005),
                (0.02, 0.006),
                (0.03, 0.005),
                (0.02, 0.006),
                (0.01, 0.005),
            ]),
            2,
        ),
        ("along the border and back", spike(&[(0.01, 0.02)]), 1),
        (
            "back a centimetre beside",
            spike(&[(0.01, 0.005), (0.03, 0.005), (0.01, 0.005_000_1)]),
            1,
        ),
        (
            "two tips",
            spike(&[
                (0.01, 0.002),
                (0.03, 0.002),
                (0.01, 0.002),
                (0.01, 0.005),
                (-0.03, 0.009),
                (0.01, 0.005),
            ]),
            2,
        ),
    ] {
        check(name, polygons, &[Flaw::Spikes(spikes)], 1, 1.0);
    }
    let first = vec![vec![ring(&[
        (0.0, 0.0),
        (0.01, 0.0),
        (0.01, 0.01),
        (0.0, 0.01),
        (0.0, 0.0),
        (-0.02, -0.02),
        (0.0, 0.0),
    ])]];
    check("where the ring begins", first, &[Flaw::Spikes(1)], 1, 1.0);
    // A tip a metre wide is land.
    let sharp = repair(&spike(&[(0.01, 0.005), (0.03, 0.005), (0.01, 0.005_01)]));
    assert_eq!(sharp.flaws(), []);
}

#[test]
fn a_repair_tells_the_area_before_and_after() {
    let squares =
        |area: Option<Hectares>| (area.map_or(0.0, Hectares::get) / square() * 1000.0).round() / 1000.0;
    let beside = ring(&[
        (0.02, 0.0),
        (0.02, 0.005),
        (0.03, 0.005),
        (0.03, 0.0),
        (0.02, 0.0),
    ]);
    let bowtie = ring(&[(0.0, 0.0), (0.01, 0.01), (0.01, 0.0), (0.0, 0.01), (0.0, 0.0)]);
    for (name, polygons, before, after) in [
        ("sound", vec![vec![ring(&SQUARE)]], 1.0, 1.0),
        ("hole beside", vec![vec![ring(&SQUARE), beside]], 0.5, 1.5),
        (
            "hole like its shell",
            vec![vec![ring(&SQUARE), ring(&SQUARE)]],
            0.0,
            1.0,
        ),
        ("bowtie", vec![vec![bowtie]], 0.0, 0.5),
        ("nothing", vec![], 0.0, 0.0),
    ] {
        let repaired = repair(&polygons);
        assert_eq!(
            (squares(repaired.area_as_written()), squares(repaired.area())),
            (before, after),
            "{name}"
        );
    }
}

#[test]
fn small_outlines_tell_how_wide_they_are() {
    let strip = |width: f64| {
        let lat = width / 111_320.0;
        repair(&vec![vec![ring(&[
            (10.0, 0.0),
            (10.001, 0.0),
            (10.001, lat),
            (10.0, lat),
            (10.0, 0.0),
        ])]])
    };
    // 111.3 m long: a strip has its width, less a little for its ends.
    for (width, expected) in [(0.5, Some(0.5)), (2.0, Some(2.0)), (20.0, None)] {
        let found = strip(width).mean_width();
        assert_eq!(found.is_some(), expected.is_some(), "{width} m");
        if let (Some(found), Some(expected)) = (found, expected) {
            assert!(
                (found / expected - 1.0).abs() < 0.03,
                "{found} m, expected {expected} m"
            );
        }
    }
}

#[test]
fn a_crossing_border_is_kept_and_filled_by_even_odd() {
    let bowtie = ring(&[(0.0, 0.0), (0.01, 0.01), (0.01, 0.0), (0.0, 0.01), (0.0, 0.0)]);
    check("bowtie", vec![vec![bowtie]], &[Flaw::SelfCrossing], 1, 0.5);
    // Twice around a common middle: the middle is counted twice, so it lies outside.
    let twice = ring(&[
        (0.0, 0.0),
        (0.01, 0.0),
        (0.01, 0.01),
        (0.0, 0.01),
        (0.0, 0.001),
        (0.009, 0.001),
        (0.009, 0.02),
        (0.001, 0.02),
        (0.001, 0.0),
        (0.0, 0.0),
    ]);
    let before = repair(&vec![vec![twice]]);
    // The closing edge turns back on the first.
    assert_eq!(before.flaws(), [Flaw::Spikes(1), Flaw::SelfCrossing]);
    assert!(hectares(&before.polygons()) > 0.0);
}

#[test]
fn a_hole_outside_becomes_a_part() {
    let beside = ring(&[(0.02, 0.0), (0.02, 0.01), (0.03, 0.01), (0.03, 0.0), (0.02, 0.0)]);
    check(
        "hole beside its shell",
        vec![vec![ring(&SQUARE), beside]],
        &[Flaw::HoleOutside],
        2,
        2.0,
    );
    let around = ring(&[
        (-0.01, -0.01),
        (0.02, -0.01),
        (0.02, 0.02),
        (-0.01, 0.02),
        (-0.01, -0.01),
    ]);
    let repaired = repair(&vec![vec![ring(&SQUARE), around]]);
    assert_eq!(repaired.flaws(), [Flaw::HoleOutside], "a hole around its shell");
    let touching = ring(&[(0.01, 0.0), (0.01, 0.01), (0.02, 0.01), (0.02, 0.0), (0.01, 0.0)]);
    check(
        "hole that shares an edge from outside",
        vec![vec![ring(&SQUARE), touching]],
        &[Flaw::HoleOutside],
        2,
        2.0,
    );
}

#[test]
fn a_hole_from_border_to_border_stays_a_hole() {
    let strip = ring(&[(0.0, 0.0), (0.0, 0.005), (0.01, 0.005), (0.01, 0.0), (0.0, 0.0)]);
    check(
        "hole along an edge",
        vec![vec![ring(&SQUARE), strip]],
        &[],
        1,
        0.5,
    );
    check(
        "hole the same as its shell",
        vec![vec![ring(&SQUARE), ring(&SQUARE)]],
        &[Flaw::HoleIsShell],
        1,
        1.0,
    );
}

#[test]
fn a_ring_across_the_antimeridian_goes_on_past_180() {
    let jumping = ring(&[
        (179.995, 0.0),
        (-179.995, 0.0),
        (-179.995, 0.01),
        (179.995, 0.01),
        (179.995, 0.0),
    ]);
    let hole = ring(&[
        (-179.999, 0.002),
        (-179.999, 0.007),
        (-179.996, 0.007),
        (-179.996, 0.002),
        (-179.999, 0.002),
    ]);
    check(
        "jump",
        vec![vec![jumping.clone(), hole]],
        &[Flaw::CrossesAntimeridian],
        1,
        0.85,
    );
    let mut outlines = Outlines::new();
    outlines.push(&repair(&vec![vec![jumping]]).polygons());
    let bounds = outlines.bounds(0).expect("an outline");
    assert_eq!((bounds.west, bounds.east), (179.995, 180.005));
}

#[test]
fn parts_cut_at_the_antimeridian_come_together() {
    // The cut form of RFC 7946, section 3.1.9, with its own positions.
    let east = ring(&[
        (180.0, 40.0),
        (180.0, 50.0),
        (170.0, 50.0),
        (170.0, 40.0),
        (180.0, 40.0),
    ]);
    let west = ring(&[
        (-170.0, 40.0),
        (-170.0, 50.0),
        (-180.0, 50.0),
        (-180.0, 40.0),
        (-170.0, 40.0),
    ]);
    let repaired = repair(&vec![vec![east], vec![west]]);
    assert_eq!(repaired.flaws(), []);
    let mut outlines = Outlines::new();
    outlines.push(&repaired.polygons());
    let bounds = outlines.bounds(0).expect("an outline");
    assert_eq!((bounds.west, bounds.east), (170.0, 190.0));
    assert!(outlines.contains(
        0,
        crate::geometry::LngLat {
            lng: -175.0,
            lat: 45.0
        }
    ));
    assert!(!outlines.contains(0, crate::geometry::LngLat { lng: 0.0, lat: 45.0 }));
}

#[test]
fn a_ring_around_the_globe_is_left_out() {
    let polar = ring(&[
        (-180.0, 70.0),
        (-90.0, 70.0),
        (0.0, 70.0),
        (90.0, 70.0),
        (179.0, 70.0),
        (-180.0, 70.0),
    ]);
    check(
        "around a pole",
        vec![vec![polar]],
        &[Flaw::AroundGlobe, Flaw::ShellLost],
        0,
        0.0,
    );
    let wide = ring(&[
        (-100.0, 0.0),
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 10.0),
        (0.0, 10.0),
        (-100.0, 10.0),
        (-100.0, 0.0),
    ]);
    check(
        "half around",
        vec![vec![wide]],
        &[Flaw::AroundGlobe, Flaw::ShellLost],
        0,
        0.0,
    );
}

#[test]
fn the_examples_of_rfc_7946_are_sound() {
    // Appendix A.3 (polygon with a hole) and A.6 (multipolygon), with their own positions.
    let with_hole = vec![vec![
        ring(&[
            (100.0, 0.0),
            (101.0, 0.0),
            (101.0, 1.0),
            (100.0, 1.0),
            (100.0, 0.0),
        ]),
        ring(&[
            (100.8, 0.8),
            (100.8, 0.2),
            (100.2, 0.2),
            (100.2, 0.8),
            (100.8, 0.8),
        ]),
    ]];
    let several = vec![
        vec![ring(&[
            (102.0, 2.0),
            (103.0, 2.0),
            (103.0, 3.0),
            (102.0, 3.0),
            (102.0, 2.0),
        ])],
        vec![
            ring(&[
                (100.0, 0.0),
                (101.0, 0.0),
                (101.0, 1.0),
                (100.0, 1.0),
                (100.0, 0.0),
            ]),
            ring(&[
                (100.2, 0.2),
                (100.2, 0.8),
                (100.8, 0.8),
                (100.8, 0.2),
                (100.2, 0.2),
            ]),
        ],
    ];
    for example in [with_hole, several] {
        let repaired = repair(&example);
        assert_eq!(repaired.flaws(), []);
        assert_eq!(
            repaired.polygons(),
            example,
            "RFC 7946 rings already run the right way"
        );
    }
}

#[test]
fn every_flaw_says_what_was_found_and_done() {
    assert_eq!(
        Flaw::HoleOutside.to_string(),
        "a hole lies outside its outer ring: it was kept as a part of its own"
    );
    assert_eq!(
        Flaw::DuplicateVertices(3).to_string(),
        "3 positions are the same as the one before: the repeated positions were left out"
    );
    assert_eq!(Flaw::AroundGlobe.code(), "around-globe");
}
