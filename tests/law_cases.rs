//! What real law a rule book can hold, and the tests that show it: for each kind of rule, each condition, each visit under
//! real acts and each awkward date, a case with its act and the test that holds it.
//!
//! In go `tests/fixtures/rules/cases.csv`, the schema of rule books and the sources of the tests. Out comes failure where a kind or a
//! condition has no case, where a named test is not there, does not cite the act, or does not have the kind or condition
//! in it. What the tests hold is their own; how each act was read stands there.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use hostwood::rules::Kind;
use serde_json::Value;

/// One case: what it shows, what its test cites, and where that test is.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
struct Case {
    table: String,
    what: String,
    law: String,
    file: String,
    test: String,
}

/// The cases of one table.
fn cases(table: &str) -> Vec<Case> {
    let source = text("tests/fixtures/rules/cases.csv").expect("the cases");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(source.as_bytes());
    let all: Vec<Case> = reader
        .deserialize()
        .map(|row| row.expect("a row of five"))
        .collect();
    let tables = ["kind", "condition", "visit", "date"];
    assert!(all.iter().all(|case| tables.contains(&case.table.as_str())));
    all.into_iter().filter(|case| case.table == table).collect()
}

fn text(path: &str) -> Option<String> {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).ok()
}

/// What a test says of itself, on one line, and what it does; none where it is not there.
fn test_in(source: &str, name: &str) -> Option<(String, String)> {
    let (before, after) = source.split_once(&format!("\nfn {name}()"))?;
    // A blank line stands between this and what is above it.
    if before.ends_with('\n') {
        return None;
    }
    let above: Vec<&str> = before.lines().rev().take_while(|line| !line.is_empty()).collect();
    above.contains(&"#[test]").then_some(())?;
    let mut said: Vec<&str> = above
        .iter()
        .filter_map(|line| line.strip_prefix("/// "))
        .collect();
    said.reverse();
    let body = after.split_once("\n}\n").map_or(after, |(body, _)| body);
    Some((said.join(" "), body.to_owned()))
}

/// The books of statutes that a test reads.
fn statutes_in(body: &str) -> String {
    body.split("statute!(\"")
        .skip(1)
        .filter_map(|rest| rest.split_once('"'))
        .filter_map(|(name, _)| text(&format!("tests/fixtures/rules/statutes/{name}.json")))
        .collect()
}

/// What is wrong with a case; `must_have` is what has to stand in the test.
fn trouble(case: &Case, must_have: &str, read: &dyn Fn(&str) -> Option<String>) -> Option<String> {
    let Case {
        what,
        law,
        file,
        test,
        ..
    } = case;
    let Some(source) = read(file) else {
        return Some(format!("{what}: there is no {file}"));
    };
    let Some((said, body)) = test_in(&source, test) else {
        return Some(format!("{what}: {file} has no test `{test}`"));
    };
    if !said.contains(law.as_str()) && law != "nothing surveyed" {
        return Some(format!("{what}: `{test}` does not cite `{law}`"));
    }
    let there = body.contains(must_have) || statutes_in(&body).contains(must_have);
    (!there).then(|| format!("{what}: `{test}` has no {must_have} in it"))
}

fn assert_held(cases: &[Case], must_have: impl Fn(&str) -> String) {
    let wrong: Vec<String> = cases
        .iter()
        .filter_map(|case| trouble(case, &must_have(&case.what), &text))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn assert_complete(cases: &[Case], expected: &BTreeSet<String>) {
    let listed: BTreeSet<String> = cases.iter().map(|case| case.what.clone()).collect();
    assert_eq!(listed.len(), cases.len(), "something is listed twice");
    let missing: Vec<&String> = expected.difference(&listed).collect();
    assert!(missing.is_empty(), "without a case: {missing:?}");
    let odd: Vec<&String> = listed.difference(expected).collect();
    assert!(odd.is_empty(), "no such thing: {odd:?}");
}

#[test]
fn every_kind_of_rule_has_a_case_from_real_law() {
    let cases = cases("kind");
    let kinds = Kind::ALL.iter().map(|kind| kind.word().to_owned());
    assert_complete(&cases, &kinds.collect());
    assert_held(&cases, |kind| format!("\"kind\": \"{kind}\""));
}

#[test]
fn every_condition_has_a_case() {
    let schema = text("src/rules/book.schema.json").expect("the schema");
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    let names = |definition: &str| -> Vec<String> {
        let fields = schema["$defs"][definition]["properties"].as_object();
        fields
            .unwrap_or_else(|| panic!("{definition}"))
            .keys()
            .cloned()
            .collect()
    };
    let whole = [
        ("when", "When"),
        ("who", "Who"),
        ("who.age", "Age"),
        ("party", "Party"),
        ("harvest", "HarvestIs"),
        ("gear", "GearIs"),
        ("zone", "Place"),
        ("zone.attribute", "Test"),
    ];
    let mut expected = BTreeSet::new();
    for (name, definition) in whole {
        expected.extend(names(definition).iter().map(|field| format!("{name}.{field}")));
    }
    // What holds others, and the name of the attribute that is tested.
    expected.remove("who.age");
    expected.remove("zone.attribute.name");
    let no_condition = ["id", "kind", "text", "sources"];
    expected.extend(names("Rule").into_iter().filter(|name| {
        let holds_others = whole.iter().any(|(whole, _)| whole == name);
        !holds_others && !no_condition.contains(&name.as_str())
    }));
    // Told apart by the kind of rule, or by what stands in a list of fungi.
    expected.extend(["purpose", "taxa.all_but", "taxa.open"].map(str::to_owned));
    let cases = cases("condition");
    assert_complete(&cases, &expected);
    assert_held(&cases, |condition| {
        format!("\"{}\"", condition.rsplit('.').next().unwrap_or(condition))
    });
}

#[test]
fn visits_under_real_acts_and_awkward_dates_have_their_tests() {
    let visits = cases("visit");
    assert_eq!(visits.len(), 15);
    assert_held(&visits, |_| String::new());
    for Case { what, file, .. } in &visits {
        let source = text(file).unwrap_or_default();
        assert!(source.contains(&format!("\"{what}\"")), "{file} has no {what}");
    }
    let dates = cases("date");
    assert!(dates.len() >= 6);
    assert_held(&dates, str::to_owned);
}

#[test]
fn a_case_without_its_test_is_found() {
    let source =
        "\n/// An Act, article 1.\n#[test]\nfn held() {\n    \"kind\": \"hours\"\n}\n\nfn helper() {\n}\n";
    let read = |path: &str| (path == "a.rs").then(|| source.to_owned());
    for (law, file, test, must_have, expected) in [
        ("An Act, article 1", "a.rs", "held", "hours", None),
        (
            "An Act, article 2",
            "a.rs",
            "held",
            "hours",
            Some("it: `held` does not cite `An Act, article 2`"),
        ),
        (
            "An Act",
            "a.rs",
            "helper",
            "hours",
            Some("it: a.rs has no test `helper`"),
        ),
        (
            "An Act",
            "a.rs",
            "gone",
            "hours",
            Some("it: a.rs has no test `gone`"),
        ),
        ("An Act", "b.rs", "held", "hours", Some("it: there is no b.rs")),
        (
            "An Act",
            "a.rs",
            "held",
            "season",
            Some("it: `held` has no season in it"),
        ),
    ] {
        let case = Case {
            table: "kind".to_owned(),
            what: "it".to_owned(),
            law: law.to_owned(),
            file: file.to_owned(),
            test: test.to_owned(),
        };
        assert_eq!(trouble(&case, must_have, &read).as_deref(), expected);
    }
}
