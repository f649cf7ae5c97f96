//! The JSON Schemas: of what the command line and the engine write of a stand, of crosswalks, and of rule books. Each is made from the
//! Rust types and held against the one in the repository, so that neither changes unseen; `BLESS=1` renews them. That of
//! crosswalks takes every crosswalk that is read and refuses what can be seen to be wrong.

use std::path::PathBuf;
use std::{env, fs};

use hostwood::export::Assessed;
use hostwood::rules::schema;
use hostwood::standmap::{Crosswalk, FORMAT, crosswalk_schema};
use schemars::generate::SchemaSettings;
use serde_json::Value;

const ASSESSED: &str = "src/export/assessed.schema.json";
const RULE_BOOK: &str = "src/rules/book.schema.json";
const CROSSWALK: &str = "src/standmap/crosswalk/crosswalk.schema.json";

/// Holds a schema against the one in the repository.
fn hold(file: &str, schema: &impl serde::Serialize) {
    let mut made = serde_json::to_string_pretty(schema).expect("a schema is JSON");
    made.push('\n');
    if env::var_os("BLESS").is_some() {
        fs::write(file, &made).expect("the schema can be written");
    }
    let kept = fs::read_to_string(file).unwrap_or_default();
    assert!(
        kept == made,
        "{file} is not what the types say; renew it with BLESS=1 and look at the change"
    );
}

#[test]
fn the_schemas_in_the_repository_are_those_of_the_types() {
    let generator = SchemaSettings::draft2020_12().into_generator();
    hold(ASSESSED, &generator.into_root_schema_for::<Assessed>());
    hold(CROSSWALK, &crosswalk_schema());
}

fn crosswalks() -> jsonschema::Validator {
    jsonschema::draft202012::new(&crosswalk_schema()).expect("a JSON Schema")
}

#[test]
fn the_schema_takes_every_crosswalk_of_the_examples_and_fixtures() {
    let validator = crosswalks();
    let mut files: Vec<PathBuf> = vec!["examples/region/crosswalk.json".into()];
    for folder in ["examples/crosswalks", "tests/fixtures/published"] {
        for entry in fs::read_dir(folder).expect(folder) {
            let path = entry.expect("an entry").path();
            match path.is_dir() {
                true => files.push(path.join("crosswalk.json")),
                false if path.extension().is_some_and(|ending| ending == "json") => files.push(path),
                false => {}
            }
        }
    }
    assert!(files.len() > 20, "{files:?}");
    for file in files {
        let crosswalk: Value = serde_json::from_slice(&fs::read(&file).expect("a crosswalk")).expect("JSON");
        let refused: Vec<String> = validator
            .iter_errors(&crosswalk)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert_eq!(refused, Vec::<String>::new(), "{}", file.display());
    }
}

#[test]
fn what_the_reader_refuses_the_schema_refuses_where_it_can() {
    let validator = crosswalks();
    let lists = r#""lists": {"l": {"codes": {"1": "Pinus"}}}"#;
    for (members, seen) in [
        (
            r#""trees": [{"name": {"from": "S"}, "share": {"from": "P", "unit": "percent"}}]"#,
            None,
        ),
        (r#""ages": {}"#, Some(true)),
        (r#""age": {"form": "A"}"#, Some(true)),
        (r#""age": {"from": 3}"#, Some(true)),
        (r#""age": {}"#, Some(true)),
        (r#""age": {"from": "A", "const": 5}"#, Some(true)),
        (r#""age": {"from": "A", "read": "numbr"}"#, Some(true)),
        (r#""age": {"from": "Y", "year": "origin"}"#, Some(true)),
        (
            r#""reference_year": 2026, "age": {"from": "Y", "year": "age"}"#,
            Some(true),
        ),
        (r#""age": {"from": "Y", "as_of": 2020}"#, Some(true)),
        (r#""age": {"from": "D", "class": {"width": 5}}"#, Some(true)),
        (r#""planted": {"from": "Y"}"#, Some(true)),
        (r#""reference_year": "2026""#, Some(true)),
        (r#""region": [1, 2, 3]"#, Some(true)),
        (r#""canopy": {"from": "C"}"#, Some(true)),
        (r#""canopy": {"from": "C", "unit": "promille"}"#, Some(true)),
        (r#""height": {"from": "A", "unit": "metres"}"#, Some(true)),
        (r#""name": {"from": "A", "unit": "m"}"#, Some(true)),
        (r#""name": {"from": "A", "class": {}}"#, Some(true)),
        (r#""name": {"from": "A", "list": "l"}"#, Some(true)),
        (r#""name": {"from": "A", "else": "keep"}"#, Some(true)),
        (r#""name": {"from": "A", "slice": {"part": 2}}"#, Some(true)),
        (r#""moisture": {"from": "M", "codes": {"1": "damp"}}"#, Some(true)),
        (r#""setting": {"from": "M", "codes": {"1": 7}}"#, Some(true)),
        (
            r#""kind": {"when": [{"col": "T", "in": ["x"], "then": "stand"}]}"#,
            Some(true),
        ),
        (
            r#""kind": {"when": [{"col": "T", "then": "stand"}], "else": "stand"}"#,
            Some(true),
        ),
        (r#""designation": {"tags": [{"from": "A"}]}"#, Some(true)),
        (r#""designation": {"tags": [{"tag": "x"}]}"#, Some(true)),
        (r#""lists": {"l": {}}"#, Some(true)),
        (r#""lists": {"l": {"codes": {"1": 5}}}"#, Some(true)),
        (
            r#""lists": {"l": {"codes": {"1": {"grop": "broadleaf"}}}}"#,
            Some(true),
        ),
        (r#""trees": [{}]"#, Some(true)),
        (
            r#""trees": [{"name": {"from": "S", "read": "code"}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "share": {"from": "P"}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "share": {"unstated": [0.5, 2]}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"name": {"from": "S"}, "layer": "overstory"}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"where": {"col": "A", "present": true}, "name": {"from": "S"}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"name": {"const": "Fagus"}, "composition": {"from": "C", "order": "share-code"}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"composition": {"from": "C", "order": "share-code"}}]"#,
            Some(true),
        ),
        (
            r#""trees": [{"composition": {"from": "C", "order": "digits"}}]"#,
            Some(true),
        ),
        // What needs two places at once, or numbers held against each other, only the reader sees.
        (
            r#""trees": [{"name": {"from": "S", "list": "m"}}], "lists": {"l": {"codes": {}}}"#,
            Some(false),
        ),
        (
            r#""canopy": {"from": "D", "class": {"A": [0.8, 1], "B": [0.6, 0.85]}}"#,
            Some(false),
        ),
        (
            r#""moisture": {"from": "M", "missing": [0], "codes": {"0": "dry"}}"#,
            Some(false),
        ),
        (r#""region": [10.2, 50.4, 10.6, 50.1]"#, Some(false)),
        (
            r#""attributes": {"x": {"from": "A"}}, "keep": ["x"]"#,
            Some(false),
        ),
        (
            r#""tables": {"t": {"from_file": "t.csv", "key": "id"}}"#,
            Some(false),
        ),
    ] {
        let text = format!("{{\"format\": \"{FORMAT}\", {members}}}");
        let with_list = members
            .contains("\"list\": \"l\"")
            .then(|| text.replacen("{", &format!("{{{lists}, "), 1));
        let text = with_list.unwrap_or(text);
        let refused = Crosswalk::read(text.as_bytes()).is_err();
        assert_eq!(refused, seen.is_some(), "the reader on {members}");
        let value = serde_json::from_str(&text).expect("JSON");
        assert_eq!(
            !validator.is_valid(&value),
            seen == Some(true),
            "the schema on {members}"
        );
    }
}

/// `tests/rule_book_schema.rs` holds it against the reader.
#[test]
fn the_schema_of_rule_books_is_the_one_of_the_types() {
    hold(RULE_BOOK, &schema::schema());
}
