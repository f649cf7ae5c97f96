//! Books that are wrong, and what is said about them. Every fixture below `tests/fixtures/rules/mistakes` is one thing
//! gone wrong, some of them several times over; the snapshot holds every sentence a rule writer would read.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use proptest::prelude::*;

use super::FewNames;
use crate::rules::RuleBook;

/// What is said about one book: one line a mistake, code first.
fn said(bytes: &[u8]) -> String {
    let (verdict, mistakes) = match RuleBook::read(bytes, &FewNames) {
        Ok(read) => ("read", read.warnings),
        Err(mistakes) => ("refused", mistakes),
    };
    let mut said = format!("{verdict}\n");
    for mistake in mistakes {
        writeln!(said, "  [{}] {mistake}", mistake.code).expect("text");
    }
    said
}

#[test]
fn every_mistake_is_said_with_its_place_and_what_to_do() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/rules/mistakes");
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .expect("folder")
        .map(|entry| entry.expect("entry").path())
        .collect();
    files.sort();
    let mut report = String::new();
    for file in files {
        let name = file.file_stem().expect("name").to_string_lossy().into_owned();
        let bytes = std::fs::read(&file).expect("file");
        let said = said(&bytes);
        assert!(said.lines().count() > 1, "{name}: nothing is said");
        writeln!(report, "{name}: {said}").expect("text");
    }
    insta::assert_snapshot!(report);
}

#[test]
fn every_pointer_leads_to_something() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/rules/mistakes");
    let mut followed = 0;
    for entry in std::fs::read_dir(&folder).expect("folder") {
        let bytes = std::fs::read(entry.expect("entry").path()).expect("file");
        let Ok(value) = serde_json::from_slice::<serde_json::Value>(&bytes) else {
            continue;
        };
        let mistakes = match RuleBook::read(&bytes, &FewNames) {
            Ok(read) => read.warnings,
            Err(mistakes) => mistakes,
        };
        for mistake in mistakes {
            assert!(
                value.pointer(&mistake.pointer).is_some(),
                "{} {mistake}",
                mistake.pointer
            );
            followed += 1;
        }
    }
    assert!(followed > 80, "{followed} pointers");
}

#[test]
fn a_book_beyond_all_size_is_not_opened() {
    let mistakes = RuleBook::read(&vec![b' '; 8 * 1024 * 1024 + 1], &FewNames).expect_err("too large");
    let said: Vec<String> = mistakes
        .iter()
        .map(|mistake| format!("[{}] {mistake}", mistake.code))
        .collect();
    assert_eq!(
        said,
        [
            "[too-large] line 1, column 1: the file has 8388609 bytes, expected a rule book in JSON; keep it under 8 MiB: simplify the outlines of the zones"
        ]
    );
}

/// A comb of so many teeth, standing or lying, a tenth of a degree wide.
fn comb(teeth: u32, lying: bool) -> String {
    let step = 0.1 / f64::from(teeth);
    let teeth = (0..teeth).flat_map(|n| {
        let at = f64::from(n) * step;
        [
            (at, -0.05),
            (at, 0.15),
            (at + step / 3.0, 0.15),
            (at + step / 3.0, -0.05),
        ]
    });
    let positions = teeth.chain([(0.1, -0.06), (0.0, -0.06), (0.0, -0.05)]);
    let positions: Vec<String> = positions
        .map(|(along, up)| if lying { (up, along) } else { (along, up) })
        .map(|(east, north)| format!("[{}, {}]", 14.2 + east, 47.2 + north))
        .collect();
    format!("[[{}]]", positions.join(", "))
}

/// Outlines that cross too often, and lists too long: too large to stand in files.
#[test]
fn outlines_and_lists_beyond_measure_are_said() {
    let book = include_str!("../../../tests/fixtures/rules/mistakes/zone-cycle.json");
    let (before, rest) = book.split_once(r#"{"id": "a""#).expect("zones");
    let (_, after) = rest.split_once("\n  ],\n").expect("their end");
    let with_zones = |zones: &str| format!("{before}{zones}\n  ],\n{after}");
    let zone = |outline: &str| {
        with_zones(&format!(
            r#"{{"id": "a", "where": {{"outline": {{"type": "Polygon", "coordinates": {outline}}}}}}}"#
        ))
    };
    let said = |text: &str| -> Vec<String> {
        let checked = crate::rules::check(text.as_bytes(), &FewNames, None);
        let about_outlines =
            |code: &str| ["crossing-outline", "outline", "not-compared", "too-many"].contains(&code);
        let mistakes = checked
            .mistakes
            .iter()
            .filter(|mistake| about_outlines(mistake.code));
        mistakes
            .map(|mistake| format!("[{}] {mistake}", mistake.code))
            .collect()
    };
    let star: Vec<String> = (0..=401)
        .map(|n| f64::from(n % 401) * 200.0 / 401.0 * std::f64::consts::TAU)
        .map(|turn| {
            format!(
                "[{}, {}]",
                14.5 + 0.1 * libm::cos(turn),
                47.5 + 0.1 * libm::sin(turn)
            )
        })
        .collect();
    let many: Vec<String> = (0..501)
        .map(|n| format!(r#"{{"id": "z{n}", "where": {{"not": "a"}}}}"#))
        .collect();
    let area = "[[[14, 47], [15, 47], [15, 48], [14, 48], [14, 47]]]";
    for (text, expected) in [
        (
            zone("[[[14.1, 47.1], [14.2, 47.2], [14.2, 47.1], [14.1, 47.3], [14.1, 47.1]]]"),
            "[crossing-outline] line 10, column 58: zone `a`: the outline crosses itself, so what lies between the crossings may count as outside; clean the outline in its source",
        ),
        (
            zone(&format!("[[{}]]", star.join(", "))),
            "[outline] line 10, column 58: zone `a`: the outline crosses itself in more places than can be followed, expected a border that goes around once; write it again from its source",
        ),
        (
            zone(&comb(40, true)).replace(area, &comb(40, false)),
            "[not-compared] line 10, column 5: zone `a`: its outline winds or crosses the book's `area` too often to tell how much of it lies inside; simplify both outlines",
        ),
        (
            with_zones(&many.join(", ")),
            "[too-many] line 10, column 19395: `zones` has 501 entries, expected at most 500; put outlines to which the same rules apply together into one `MultiPolygon`",
        ),
    ] {
        assert_eq!(said(&text), [expected]);
    }
    assert_eq!(said(&zone(&comb(40, true))), [] as [String; 0]);
}

/// Every code that the sources give out, as the text of a call: the first word of small letters and hyphens in it.
fn codes_given_out(folder: &Path, codes: &mut BTreeSet<String>) {
    const CALLS: &[&str] = &[
        "refuse(",
        "warn(",
        "suspicion(",
        "tell(",
        "word(",
        "word_list(",
        "no_such(",
        "checked(",
        "dated(",
        "whole(",
    ];
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() && !path.ends_with("tests") {
            codes_given_out(&path, codes);
        }
        if path.extension().is_none_or(|ending| ending != "rs") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("source");
        for call in CALLS {
            // Neither where it is defined nor where it ends another name.
            let calls = text.match_indices(call).filter(|(at, _)| {
                let before = &text[..*at];
                !before.ends_with("fn ") && !before.ends_with(|c: char| c.is_alphanumeric() || c == '_')
            });
            for (at, _) in calls {
                let call = &text[at..];
                let end = [";", "\n\n"].into_iter().filter_map(|end| call.find(end)).min();
                let end = end.unwrap_or(call.len());
                let code =
                    call[..end].split('"').skip(1).step_by(2).find(|word| {
                        word.bytes().all(|b| b.is_ascii_lowercase() || b == b'-') && word.len() > 1
                    });
                codes.extend(code.map(str::to_owned));
            }
        }
    }
}

/// A kind of mistake that no fixture shows is one that nobody has read yet.
#[test]
fn every_kind_of_mistake_has_a_fixture() {
    let mut codes = BTreeSet::new();
    codes_given_out(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules"),
        &mut codes,
    );
    let shown = [
        include_str!("snapshots/hostwood__rules__tests__mistakes__every_mistake_is_said_with_its_place_and_what_to_do.snap"),
        include_str!("suspicions.rs"),
        include_str!("mistakes.rs"),
    ]
    .concat();
    let unshown: Vec<&String> = codes
        .iter()
        .filter(|code| !shown.contains(&format!("[{code}] ")))
        .collect();
    assert!(codes.len() > 60, "only {} codes were found", codes.len());
    assert!(unshown.is_empty(), "no fixture shows {unshown:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// A book cut off, or with some bytes changed, is read or refused, and a refusal always says why.
    #[test]
    fn no_damage_goes_unanswered(at in 0..4000_usize, len in 0..40_usize, with in proptest::collection::vec(any::<u8>(), 0..8)) {
        let mut bytes = include_bytes!("../../../tests/fixtures/rules/statutes/it-tn.json").to_vec();
        let start = at.min(bytes.len());
        let end = (start + len).min(bytes.len());
        bytes.splice(start..end, with);
        if let Err(mistakes) = RuleBook::read(&bytes, &FewNames) {
            prop_assert!(mistakes.iter().any(|mistake| mistake.severity == crate::rules::Severity::Error));
            prop_assert!(mistakes.iter().all(|mistake| mistake.line > 0 && mistake.column > 0));
        }
    }
}
