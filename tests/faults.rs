//! The table of faults in `DEVELOPERS.md`: what is handed in wrongly, what becomes of it, and the test that holds it. In
//! goes the table, out comes failure where a test it names is not there, or where an odd map or rule book is told with
//! another code than the table says. What the tests themselves hold is left to them.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn text(path: &str) -> Option<String> {
    fs::read_to_string(top().join(path)).ok()
}

/// What is said about the wrong rule books, book by book.
const SAID_OF_BOOKS: &str = "src/rules/tests/snapshots/\
    hostwood__rules__tests__mistakes__every_mistake_is_said_with_its_place_and_what_to_do.snap";

/// The cells of a row; none where the line is no row of three.
fn cells(line: &str) -> Option<[&str; 3]> {
    let inner = line.strip_prefix("| ")?.strip_suffix(" |")?;
    inner.split(" | ").collect::<Vec<_>>().try_into().ok()
}

/// The codes that stand in a cell.
fn codes(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

/// What is wrong with a row; nothing where it is held.
fn trouble([handed_in, happens, held_by]: [&str; 3]) -> Option<String> {
    let whole = |what: String| Some(format!("{handed_in}: {what}"));
    if let Some(name) = held_by
        .strip_prefix("odd map `")
        .and_then(|rest| rest.strip_suffix('`'))
    {
        let path = format!("tests/fixtures/odd_maps/{name}.expected");
        let Some(said) = text(&path) else {
            return whole(format!("there is no {path}"));
        };
        let told = |code: &str| {
            said.lines().any(|line| {
                line.starts_with(&format!("{code}: ")) || line.starts_with(&format!("refused, {code}: "))
            })
        };
        return codes(happens)
            .into_iter()
            .filter(|code| code.contains('-') || !code.starts_with(char::is_uppercase))
            .find(|code| !told(code))
            .and_then(|code| whole(format!("{path} does not tell `{code}`")));
    }
    if let Some(name) = held_by
        .strip_prefix("rule book `")
        .and_then(|rest| rest.strip_suffix('`'))
    {
        let said = text(SAID_OF_BOOKS).unwrap_or_default();
        let section = format!("\n{name}: ");
        let Some((_, section)) = said.split_once(&section) else {
            return whole(format!("nothing is said of a rule book {name}"));
        };
        let section = section.split("\n\n").next().unwrap_or_default();
        return codes(happens)
            .into_iter()
            .find(|code| !section.contains(&format!("[{code}]")))
            .and_then(|code| whole(format!("the rule book {name} is not told with `{code}`")));
    }
    if let Some(name) = held_by
        .strip_prefix("bad book `")
        .and_then(|rest| rest.strip_suffix('`'))
    {
        let path = format!("tests/fixtures/bad_books/{name}.expected");
        let Some(said) = text(&path) else {
            return whole(format!("there is no {path}"));
        };
        let refused = said.starts_with("refused");
        if happens.contains("refused") != refused {
            return whole(format!(
                "{path} says that the book is {}refused",
                if refused { "" } else { "not " }
            ));
        }
        let told = |code: &str| {
            said.lines().any(|line| {
                line.starts_with(&format!("error, {code}: "))
                    || line.starts_with(&format!("warning, {code}: "))
            })
        };
        return codes(happens)
            .into_iter()
            .find(|code| !told(code))
            .and_then(|code| whole(format!("{path} does not tell `{code}`")));
    }
    let Some((path, name)) = held_by.trim_matches('`').split_once("::") else {
        return whole(format!("`{held_by}` names no test"));
    };
    let Some(source) = text(path) else {
        return whole(format!("there is no {path}"));
    };
    let there = if path.ends_with(".rs") {
        // A test by its function, or by its place in a list of tests that a macro makes.
        source.contains(&format!("fn {name}(")) || source.contains(&format!("\n    {name} \""))
    } else {
        source.contains(&format!("\"{name}\""))
    };
    (!there).then(|| format!("{handed_in}: {path} has no test `{name}`"))
}

fn rows(document: &str) -> Vec<&str> {
    let (_, rest) = document
        .split_once("<!-- faults -->\n")
        .expect("the mark where the table begins");
    let (table, _) = rest
        .split_once("<!-- end of faults -->")
        .expect("the mark where the table ends");
    table.lines().skip(2).collect()
}

#[test]
fn every_fault_of_the_table_is_held_by_a_test() {
    let document = text("DEVELOPERS.md").expect("the document");
    let rows = rows(&document);
    assert!(rows.len() >= 100, "only {} faults", rows.len());
    let mut wrong = Vec::new();
    let mut met = BTreeSet::new();
    for row in rows {
        match cells(row) {
            Some(cells) => {
                wrong.extend(trouble(cells));
                if !met.insert(cells[0]) {
                    wrong.push(format!("{}: stands in the table twice", cells[0]));
                }
            }
            None => wrong.push(format!("`{row}` has not three cells")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every odd map that is refused, and every wrong rule book, stands in the table or is a variant of one that does.
#[test]
fn every_refusal_of_a_stand_map_stands_in_the_table() {
    let document = text("DEVELOPERS.md").expect("the document");
    let all = rows(&document).concat();
    for cause in hostwood::standmap::CAUSES {
        if cause.kind == hostwood::standmap::Kind::Refusal {
            assert!(
                all.contains(&format!("`{}`", cause.code)),
                "{} is in no row",
                cause.code
            );
        }
    }
}

#[test]
fn rows_that_are_not_held_are_found() {
    for (row, expected) in [
        ("| a page | `not-json`: refused | odd map `web_page` |", None),
        (
            "| a page | `truncated`: refused | odd map `web_page` |",
            Some("a page: tests/fixtures/odd_maps/web_page.expected does not tell `truncated`"),
        ),
        (
            "| a page | refused | odd map `no_such_page` |",
            Some("a page: there is no tests/fixtures/odd_maps/no_such_page.expected"),
        ),
        (
            "| a comma | `trailing-comma` | rule book `trailing-comma` |",
            None,
        ),
        (
            "| a comma | `comment` | rule book `trailing-comma` |",
            Some("a comma: the rule book trailing-comma is not told with `comment`"),
        ),
        (
            "| a comma | `comment` | rule book `semicolon` |",
            Some("a comma: nothing is said of a rule book semicolon"),
        ),
        ("| a table | `not-json`: refused | bad book `a_table` |", None),
        (
            "| a table | `not-json`: read | bad book `a_table` |",
            Some("a table: tests/fixtures/bad_books/a_table.expected says that the book is refused"),
        ),
        (
            "| a table | `empty`: refused | bad book `a_table` |",
            Some("a table: tests/fixtures/bad_books/a_table.expected does not tell `empty`"),
        ),
        (
            "| a table | refused | bad book `a_chair` |",
            Some("a table: there is no tests/fixtures/bad_books/a_chair.expected"),
        ),
        ("| cut | refused | `tests/fuzz_corpus.rs::packed_maps` |", None),
        (
            "| cut | refused | `tests/fuzz_corpus.rs::unpacked_maps` |",
            Some("cut: tests/fuzz_corpus.rs has no test `unpacked_maps`"),
        ),
        (
            "| cut | refused | `tests/no_such.rs::packed_maps` |",
            Some("cut: there is no tests/no_such.rs"),
        ),
        (
            "| cut | refused | by hand |",
            Some("cut: `by hand` names no test"),
        ),
    ] {
        let cells = cells(row).expect(row);
        assert_eq!(trouble(cells).as_deref(), expected, "{row}");
    }
    assert_eq!(cells("| one | two |"), None);
}
