//! The schema of rule books that is shipped beside the element, held against the reader over every book of the examples
//! and fixtures: an editor and the reader must not disagree on the shape of a book.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use hostwood::knowledge::Knowledge;
use hostwood::rules::{RuleBook, Severity};
use serde_json::Value;

/// Mistakes of shape, which a schema can tell and must.
const OF_SHAPE: &[&str] = &[
    "amount",
    "consent",
    "container",
    "counts",
    "distance",
    "empty-condition",
    "empty-text",
    "expect",
    "feature",
    "forbids",
    "form",
    "fraction",
    "handling",
    "id",
    "life-stage",
    "material",
    "missing-field",
    "no-source",
    "not-a-rule-book",
    "open-and-closed",
    "parity",
    "purpose",
    "quota",
    "rank",
    "source-kind",
    "time",
    "time-zone",
    "tool",
    "trigger",
    "unit",
    "unknown-field",
    "weekday",
    "wrong-type",
    "zone-place",
];

/// Mistakes of sense, which no schema can tell: what names what, whether days exist, which key of two counts.
const OF_SENSE: &[&str] = &[
    "contradiction",
    "cycle",
    "duplicate-id",
    "duplicate-key",
    "hidden-characters",
    "sub-limit",
    "unknown-rule",
    "unknown-source",
    "unknown-taxa",
    "unknown-zone",
    "validity",
];

fn books(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            books(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "json") {
            found.push(path);
        }
    }
}

/// The reader and the schema, over every book there is: what the reader takes fits the schema, a mistake of shape does
/// not, and a mistake of sense alone does.
#[test]
fn the_schema_of_rule_books_agrees_with_the_reader() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let schema = fs::read(root.join("src/rules/book.schema.json")).expect("the schema");
    let schema: Value = serde_json::from_slice(&schema).expect("a schema is JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let mut files = Vec::new();
    books(&root.join("tests/fixtures/rules"), &mut files);
    books(&root.join("examples/rules"), &mut files);
    files.push(root.join("examples/region/eskenvar.rules.json"));
    files.push(root.join("tests/e2e/fixtures/rules/south-tyrol.rules.json"));
    let (mut taken, mut refused) = (0, 0);
    let mut wrong = Vec::new();
    for file in files {
        let bytes = fs::read(&file).expect("file");
        let Ok(json) = serde_json::from_slice::<Value>(&bytes) else {
            continue;
        };
        let errors: Vec<String> = validator
            .iter_errors(&json)
            .take(3)
            .map(|error| format!("{} at {}", error, error.instance_path()))
            .collect();
        let file = file.display();
        match RuleBook::read(&bytes, &Knowledge::shipped().fungi) {
            Ok(read) => {
                // What a newer version has is not known to this one's schema.
                if read.warnings.iter().any(|warning| warning.code == "newer-field") {
                    continue;
                }
                taken += 1;
                if !errors.is_empty() {
                    wrong.push(format!("{file}: taken, but {errors:#?}"));
                }
            }
            Err(mistakes) => {
                refused += 1;
                let codes: BTreeSet<&str> = mistakes
                    .iter()
                    .filter(|mistake| mistake.severity == Severity::Error)
                    .map(|mistake| mistake.code)
                    .collect();
                if errors.is_empty() && codes.iter().any(|code| OF_SHAPE.contains(code)) {
                    wrong.push(format!("{file}: fits the schema, but {codes:?}"));
                }
                if !errors.is_empty() && codes.iter().all(|code| OF_SENSE.contains(code)) {
                    wrong.push(format!("{file}: only {codes:?}, but {errors:#?}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(taken > 20 && refused > 40, "{taken} taken, {refused} refused");
}
