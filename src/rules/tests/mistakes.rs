//! Books that are wrong, and what is said about them. Every fixture below `tests/fixtures/rules/mistakes` is one thing
//! gone wrong, some of them several times over; the snapshot holds every sentence a rule writer would read.

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
