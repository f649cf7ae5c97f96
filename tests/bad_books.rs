//! Rule books gone wrong, one a file in `fixtures/bad_books`, with what is said of each in a file beside it, to the
//! letter. In go the books, out come refusals, warnings and the answers to the books' own questions. What is wrong is
//! listed here, so that no file is without its reason; that every kind of mistake is shown is held beside the reader.
//!
//! `BLESS=1` writes anew what is said; look at what changed.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use hostwood::boundary::{BookBytes, Session, VisitInput};
use hostwood::day::Day;
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Severity, check};

/// What becomes of a book.
#[derive(Debug, PartialEq, Eq)]
enum Becomes {
    /// It is not read.
    Refused,
    /// It is read, and something is told.
    Warned,
    /// It is read and nothing is told: what is odd about it has its answer, which the book asks for itself.
    Read,
}
use Becomes::{Read, Refused, Warned};

/// Each book, what is wrong with it, and what becomes of it.
const BOOKS: &[(&str, &str, Becomes)] = &[
    ("an_empty_file", "the file has no bytes", Refused),
    (
        "a_login_page",
        "a page was sent in the place of the book",
        Refused,
    ),
    ("a_comma_after_the_last_entry", "`[1,]`", Refused),
    (
        "typographic_quotation_marks",
        "quotation marks of a word processor",
        Refused,
    ),
    ("comments", "`//`", Refused),
    ("a_block_comment", "`/* */`", Refused),
    ("single_quotation_marks", "`'a'`", Refused),
    (
        "one_set_twice",
        "one key twice, of which the last would win in silence",
        Refused,
    ),
    (
        "names_that_differ_by_their_form",
        "keys that differ by a capital, a blank or a combining accent alone",
        Refused,
    ),
    ("a_field_that_nobody_knows", "a field of another format", Refused),
    ("no_authority", "nobody to ask", Refused),
    (
        "no_source_and_no_date",
        "a rule without a source, a book that was never checked",
        Refused,
    ),
    ("no_version", "no `format`", Refused),
    ("a_version_to_come", "a newer major version", Refused),
    (
        "a_minor_version_to_come",
        "a newer minor version with a field of its own",
        Warned,
    ),
    (
        "the_first_version",
        "the oldest version there is, which reads on",
        Read,
    ),
    ("a_table", "a table in the place of the book", Refused),
    ("a_stand_map", "a stand map in the place of the book", Refused),
    ("a_list", "a list in the place of the book", Refused),
    ("a_schema", "the schema in the place of the book", Refused),
    ("less_than_nothing", "a limit below nothing", Refused),
    (
        "a_limit_of_nothing",
        "0 kg means that none may be taken, never that there is no limit",
        Warned,
    ),
    (
        "numbers_with_a_comma",
        "a decimal comma in text, and one that makes a list",
        Refused,
    ),
    (
        "a_bare_number_with_a_comma",
        "a decimal comma that breaks the text",
        Refused,
    ),
    (
        "units_that_are_none",
        "no unit, and units written otherwise",
        Refused,
    ),
    (
        "amounts_beyond_all_measure",
        "amounts that nobody carries",
        Refused,
    ),
    (
        "days_that_do_not_exist",
        "31 February, 29 February of a common year, `13/05`",
        Refused,
    ),
    (
        "a_season_over_the_new_year",
        "a season that ends before it begins runs over the new year",
        Read,
    ),
    (
        "a_book_that_ended",
        "its last day is past: what was closed stays closed, all else is not known",
        Warned,
    ),
    (
        "a_book_that_has_not_begun",
        "its first day is to come: until then it says nothing",
        Warned,
    ),
    (
        "a_ban_that_ends_at_midnight",
        "a closed day lasts until midnight by the region's clock",
        Read,
    ),
    (
        "zones_with_opposite_rules",
        "where one zone closes and another frees, the place is closed",
        Read,
    ),
    (
        "a_gap_between_zones",
        "outside all zones nothing is known, least of all that one may collect",
        Warned,
    ),
    (
        "outlines_that_are_none",
        "rings not closed, positions the other way round, a border that crosses itself",
        Refused,
    ),
    (
        "protected_and_listed_as_free_to_take",
        "one kind both protected and listed",
        Warned,
    ),
    ("a_name_written_wrong", "a misspelt scientific name", Warned),
    (
        "other_names_and_authors",
        "synonyms, and names with their authors",
        Read,
    ),
    (
        "protected_kinds_that_no_table_knows",
        "a protected kind of which nothing is known",
        Warned,
    ),
    (
        "nobody_to_call",
        "no poison centre and no emergency number",
        Warned,
    ),
    (
        "markup_in_the_words",
        "tags and entities, which are shown as they stand",
        Warned,
    ),
    (
        "links_that_lead_astray",
        "addresses that run scripts, hide a login or look like another",
        Warned,
    ),
    (
        "writing_turned_round",
        "characters that make words read as their opposite",
        Refused,
    ),
    (
        "languages_with_gaps",
        "tags that are none, and a text in a language the book does not have",
        Refused,
    ),
    ("one_language_missing", "words in one of two languages", Warned),
    (
        "a_gap_left_to_fill_in",
        "a place for a number that nobody filled in",
        Warned,
    ),
    (
        "rules_that_turn_in_circles",
        "rules that replace themselves or each other, places made of each other",
        Refused,
    ),
    ("conditions_without_end", "lists in lists in lists", Refused),
    (
        "a_text_beyond_all_length",
        "more words than a screen holds",
        Refused,
    ),
    (
        "names_of_a_language_s_own_objects",
        "`__proto__`, `constructor`, nothing, and a picture for a name",
        Refused,
    ),
    ("cut_off_while_it_was_copied", "half a file", Refused),
    ("two_books_in_one_file", "one book after another", Refused),
    ("not_in_utf_8", "another encoding", Refused),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/bad_books")
}

fn book(name: &str) -> Vec<u8> {
    fs::read(folder().join(format!("{name}.json"))).expect(name)
}

/// What is said of a book on 1 October 2026, and what became of it.
fn said(bytes: &[u8]) -> (String, Becomes) {
    let today = Day::parse("2026-10-01").expect("a day");
    let checked = check(bytes, &Knowledge::shipped().fungi, Some(today));
    let mut said = match &checked.book {
        None => "refused\n".to_owned(),
        Some(book) => format!("read, {} questions to itself\n", book.examples.len()),
    };
    for mistake in &checked.mistakes {
        let severity = match mistake.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        writeln!(said, "{severity}, {}: {mistake}", mistake.code).expect("text");
    }
    let becomes = match (&checked.book, checked.mistakes.is_empty()) {
        (None, _) => Refused,
        (Some(_), false) => Warned,
        (Some(_), true) => Read,
    };
    (said, becomes)
}

#[test]
fn what_is_said_of_each_book_is_what_stands_beside_it() {
    let bless = std::env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    for (name, why, expected) in BOOKS {
        let (said, becomes) = said(&book(name));
        if becomes != *expected {
            wrong.push(format!(
                "{name}, {why}: {becomes:?}, expected {expected:?}\n{said}"
            ));
        }
        let path = folder().join(format!("{name}.expected"));
        if bless {
            fs::write(&path, &said).expect("what is expected can be written");
            continue;
        }
        let beside = fs::read_to_string(&path).unwrap_or_default();
        if said != beside {
            wrong.push(format!("{name}: said\n{said}expected\n{beside}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_is_listed_with_its_reason_and_every_listed_book_is_there() {
    let listed: BTreeSet<String> = BOOKS.iter().map(|(name, ..)| (*name).to_owned()).collect();
    assert_eq!(listed.len(), BOOKS.len(), "a book is listed twice");
    let there: BTreeSet<String> = fs::read_dir(folder())
        .expect("the folder of bad books")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned())
        .collect();
    assert_eq!(there, listed);
}

/// No answer is "no rule found" or free by a written rule because a book could not be read: until another comes, nothing
/// is known. The good book after it is read as if nothing had been.
#[test]
fn a_bad_book_leaves_nothing_behind() {
    let good = book("the_first_version");
    let stands = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "a", "properties": {}, "geometry":
        {"type": "Polygon", "coordinates": [[[10.5, 46.5], [10.51, 46.5], [10.51, 46.51], [10.5, 46.5]]]}}]}"#;
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(stands.as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    let visit = VisitInput {
        day: "2026-10-01".to_owned(),
        ..VisitInput::default()
    };
    let mut answer = |bytes: &[u8]| {
        let given = BookBytes {
            name: "region".to_owned(),
            bytes: Some(bytes.to_vec()),
        };
        let report = session.set_rules(&[given]);
        let answers = session.set_visit(&visit).expect("visit").answers;
        let answers = serde_json::to_string(&answers).expect("JSON");
        (answers, report.books[0].state.clone(), report.mistakes.len())
    };
    let sound = (r#"{"not_known":1}"#.to_owned(), "read".to_owned(), 0);
    for (name, _, becomes) in BOOKS.iter().filter(|(.., becomes)| *becomes == Refused) {
        let once = answer(&book(name));
        assert_eq!(
            (once.0.as_str(), once.1.as_str()),
            (r#"{"not_known":1}"#, "unreadable"),
            "{name} {becomes:?}"
        );
        assert!(once.2 > 0, "{name}: nothing is said");
        assert_eq!(answer(&book(name)), once, "{name}, twice in a row");
        assert_eq!(answer(&good), sound, "the good book after {name}");
    }
}

/// A book of another region may be sound in itself: over this map it says nothing, and is not silent about that.
#[test]
fn a_book_of_another_region_says_nothing_here() {
    let stands = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "a", "properties": {}, "geometry":
        {"type": "Polygon", "coordinates": [[[20.5, 46.5], [20.51, 46.5], [20.51, 46.51], [20.5, 46.5]]]}}]}"#;
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(stands.as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    session.set_rules(&[BookBytes {
        name: "region".to_owned(),
        bytes: Some(book("the_first_version")),
    }]);
    let visit = VisitInput {
        day: "2026-10-01".to_owned(),
        ..VisitInput::default()
    };
    let report = session.set_visit(&visit).expect("visit");
    assert_eq!(
        serde_json::to_string(&report.answers).expect("JSON"),
        r#"{"not_known":1}"#
    );
    let sheet = session
        .sheet("a", &hostwood::boundary::SheetOptions::default())
        .expect("sheet");
    let sheet = serde_json::to_string(&sheet).expect("JSON");
    assert!(sheet.contains("law.not_known.outside"), "{sheet}");
}
