//! The tables of `DEVELOPERS.md` that name tests: every test named there exists.
//!
//! In: the tables between `<!-- NAME -->` and `<!-- end of NAME -->`, and the test files they name, each as
//! `` `file`: name of the test ``; or, where a table may say so, `no test:` with the reason. Out: failure with the row
//! and what was not found. What the tests hold is their own.

use std::fs;
use std::path::Path;

/// The tables, the fewest rows each must have, and the most of them that may give a reason in place of a test.
const TABLES: [(&str, usize, usize); 2] = [("promises", 20, 0), ("element", 80, 14)];

/// What stands before the reason why nothing holds a row.
const NO_TEST: &str = "no test: ";

/// Whether a row only says what the rows below it are about.
fn is_head(row: &[&str]) -> bool {
    row.first().is_some_and(|first| first.starts_with("**")) && row.last() == Some(&"")
}

/// The reason why nothing holds a row, where it gives one that says something.
fn reason<'a>(row: &[&'a str]) -> Option<&'a str> {
    row.last()?
        .strip_prefix(NO_TEST)
        .filter(|reason| reason.len() > 20)
}

/// The rows of one table: its cells, without head and rule.
fn rows<'a>(document: &'a str, name: &str) -> Vec<Vec<&'a str>> {
    let begin = format!("<!-- {name} -->");
    let end = format!("<!-- end of {name} -->");
    let Some((_, rest)) = document.split_once(&begin) else {
        return Vec::new();
    };
    let table = rest.split_once(&end).map_or("", |(table, _)| table);
    table
        .lines()
        .filter(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect()
}

/// What is wrong with one row, whose last cell names its tests, parted by `;`.
fn untrue(row: &[&str], read: &dyn Fn(&str) -> Option<String>) -> Vec<String> {
    let promise = row.first().copied().unwrap_or_default();
    let tests = row.last().copied().unwrap_or_default();
    tests
        .split("; ")
        .filter_map(|test| {
            let Some((file, name)) = test.strip_prefix('`').and_then(|rest| rest.split_once("`: ")) else {
                return Some(format!(
                    "`{promise}`: found `{test}`, expected a test as `file`: its name"
                ));
            };
            match read(file) {
                None => Some(format!("`{promise}`: there is no file `{file}`")),
                Some(text) if !text.contains(name) => {
                    Some(format!("`{promise}`: `{file}` has no test `{name}`"))
                }
                Some(_) => None,
            }
        })
        .collect()
}

#[test]
fn every_test_that_a_table_names_exists() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR"));
    let document = fs::read_to_string(top.join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    for (name, fewest, most_reasons) in TABLES {
        let mut rows = rows(&document, name);
        rows.retain(|row| !is_head(row));
        assert!(rows.len() >= fewest, "`{name}` has {} rows", rows.len());
        let all = rows.len();
        if most_reasons > 0 {
            rows.retain(|row| reason(row).is_none());
        }
        let reasons = all - rows.len();
        assert!(
            reasons <= most_reasons,
            "{reasons} rows of `{name}` give a reason in place of a test"
        );
        let found: Vec<String> = rows
            .iter()
            .flat_map(|row| untrue(row, &|file| fs::read_to_string(top.join(file)).ok()))
            .collect();
        assert!(found.is_empty(), "{}", found.join("\n"));
    }
}

#[test]
fn a_row_without_its_test_is_refused() {
    let read = |file: &str| (file == "tests/a.rs").then(|| String::from("fn it_holds() {}"));
    let table = [
        ("`tests/a.rs`: it_holds", None),
        (
            "`tests/a.rs`: it_helps",
            Some("`P`: `tests/a.rs` has no test `it_helps`"),
        ),
        (
            "`tests/b.rs`: it_holds",
            Some("`P`: there is no file `tests/b.rs`"),
        ),
        (
            "all of them",
            Some("`P`: found `all of them`, expected a test as `file`: its name"),
        ),
        (
            "`tests/a.rs`: it_holds; `tests/b.rs`: x",
            Some("`P`: there is no file `tests/b.rs`"),
        ),
    ];
    for (cell, expected) in table {
        assert_eq!(
            untrue(&["P", cell], &read).first().map(String::as_str),
            expected,
            "{cell}"
        );
    }
    let document = "<!-- t -->\n| a | b |\n|---|---|\n| 1 | 2 |\n<!-- end of t -->\n| 3 | 4 |";
    assert_eq!(rows(document, "t"), [["1", "2"]]);
    assert_eq!(reason(&["a", "no test: later"]), None);
    let told = "it needs a server that answers for each address";
    assert_eq!(reason(&["a", &format!("{NO_TEST}{told}")]), Some(told));
    assert!(is_head(&["**For everyone**", ""]) && !is_head(&["For everyone", ""]));
}
