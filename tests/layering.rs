//! Who may know whom: the table in `DEVELOPERS.md` against what the files of `src/` name.
//!
//! In: the table, the sources. Out: failure with file, line, room and what was named. Paths are read from tokens, so
//! imports, inline paths and paths inside macros all count; comments and strings do not. Tests within `src/` are free.

#[path = "layering/paths.rs"]
mod paths;
#[path = "layering/table.rs"]
mod table;

use paths::{Named, named_in};
use std::fs;
use std::path::{Path, PathBuf};
use table::{Known, Table};

/// Crates that only the room `wasm` may name.
const BROWSER: [&str; 4] = ["wasm_bindgen", "js_sys", "web_sys", "serde_wasm_bindgen"];

/// What reaches outside the program; only the command line may.
const OUTSIDE: [&str; 7] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "std::thread",
    "std::time",
    "jiff::Zoned::now",
];

/// Every breach of the table by one file, as `file:line: what, and what is expected`.
fn breaches(table: &Table, file: &str, source: &str) -> Vec<String> {
    let (room, module) = room_and_module(file);
    let named = match named_in(source, &module) {
        Ok(named) => named,
        Err(trouble) => return vec![format!("{file}: not readable as Rust: {trouble}")],
    };
    let Some(known) = table.known_to(&room) else {
        return vec![format!(
            "{file}: the room `{room}` has no row in the table of DEVELOPERS.md; add one"
        )];
    };
    named
        .iter()
        .filter_map(|named| breach(table, known, &room, named))
        .map(|(line, what)| format!("{file}:{line}: {what}"))
        .collect()
}

fn breach(table: &Table, known: &Known, room: &str, named: &Named) -> Option<(usize, String)> {
    let path = named.path.join("::");
    let what = match named.path.first().map(String::as_str)? {
        "crate" => {
            let other = named.path.get(1)?;
            if other == room || known.may_know(&named.path[1..]) {
                return None;
            }
            if table.known_to(other).is_none() {
                format!("`{room}` names `{path}`, which is no room; name it by the room it lies in")
            } else {
                format!("`{room}` names `{path}`, but may know only {known}; see the table in DEVELOPERS.md")
            }
        }
        first if BROWSER.contains(&first) && room != "wasm" => {
            format!("`{room}` names `{path}`; only `wasm` may name the browser")
        }
        _ if path == "std::time::Duration" => return None,
        _ if room != "bin" && OUTSIDE.iter().any(|outside| begins_with(&named.path, outside)) => {
            format!("`{room}` names `{path}`; only `bin` may reach files, network, environment or clock")
        }
        _ => return None,
    };
    Some((named.line, what))
}

fn begins_with(path: &[String], start: &str) -> bool {
    let start: Vec<&str> = start.split("::").collect();
    path.len() >= start.len() && start.iter().zip(path).all(|(a, b)| a == b)
}

/// `src/rules/verdict.rs` is the module `rules::verdict` of the room `rules`; `src/bin/…` is the room `bin`.
fn room_and_module(file: &str) -> (String, Vec<String>) {
    let inner = file.trim_start_matches("src/").trim_end_matches(".rs");
    let mut module: Vec<String> = inner.split('/').map(str::to_owned).collect();
    let room = module[0].clone();
    if room == "lib" || room == "bin" {
        module.clear();
    } else if module.last().is_some_and(|last| last == "mod") {
        module.pop();
    }
    (room, module)
}

fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Paths from the top, with `/` between, in order.
fn sources() -> Vec<String> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("src can be read") {
            let path = entry.expect("an entry of src").path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&top().join("src"), &mut found);
    let mut files: Vec<String> = found
        .iter()
        .map(|path| {
            path.strip_prefix(top())
                .expect("below the top")
                .to_string_lossy()
                .replace('\\', "/")
        })
        .collect();
    files.sort();
    files
}

fn document() -> String {
    fs::read_to_string(top().join("DEVELOPERS.md")).expect("DEVELOPERS.md can be read")
}

#[test]
fn every_file_names_only_the_rooms_its_own_may_know() {
    let table = Table::read(&document()).expect("the table of rooms");
    let files = sources();
    assert!(files.len() > 15, "only {} files found in src", files.len());
    let test_only: Vec<String> = files.iter().flat_map(|file| test_files(file)).collect();
    let for_tests = |file: &str| {
        test_only
            .iter()
            .any(|tests| file == format!("{tests}.rs") || file.starts_with(&format!("{tests}/")))
    };
    let found: Vec<String> = files
        .iter()
        .filter(|file| !for_tests(file))
        .flat_map(|file| breaches(&table, file, &read(file)))
        .collect();
    assert!(
        found.is_empty(),
        "rooms that know too much:\n{}",
        found.join("\n")
    );
}

#[test]
fn every_row_has_a_room() {
    let table = Table::read(&document()).expect("the table of rooms");
    let rooms: Vec<String> = sources().iter().map(|file| room_and_module(file).0).collect();
    for room in table.rooms() {
        assert!(
            rooms.iter().any(|found| found == room),
            "DEVELOPERS.md has a row for `{room}`, but src has no such room"
        );
    }
}

fn read(file: &str) -> String {
    fs::read_to_string(top().join(file)).unwrap_or_else(|trouble| panic!("{file}: {trouble}"))
}

/// Where the modules lie that `file` takes in for tests only: `src/rules/tests` for `#[cfg(test)] mod tests;`.
fn test_files(file: &str) -> Vec<String> {
    let (_, module) = room_and_module(file);
    paths::test_modules(&read(file), &module)
        .iter()
        .map(|module| format!("src/{}", module.join("/")))
        .collect()
}

mod rejected {
    //! Fixtures that must be refused, each with its exact message.

    use super::{Table, breaches};

    const TABLE: &str = "\
# For developers

## Rooms and who may know whom

| room | may know |
|---|---|
| `lib` | every room |
| `units` | nothing |
| `season` | `units` |
| `rules` | `units`, `season` |
| `standmap` | `season::Daylight` |
| `potential` | `season`, `units` |
| `wasm` | nothing |
| `bin` | every room |
";

    fn refused(file: &str, source: &str, expected: &[&str]) {
        let table = Table::read(TABLE).expect("the table");
        assert_eq!(breaches(&table, file, source), expected, "{source}");
    }

    #[test]
    fn law_that_knows_biology() {
        let message = |line| {
            format!(
                "src/rules/verdict.rs:{line}: `rules` names `crate::potential::assess`, but may know only `units`, `season`; see the table in DEVELOPERS.md"
            )
        };
        let file = "src/rules/verdict.rs";
        refused(file, "use crate::potential::assess;", &[&message(1)]);
        refused(
            file,
            "use crate::{units::Share, potential::assess};",
            &[&message(1)],
        );
        refused(file, "fn f() {\n  crate::potential::assess()\n}", &[&message(2)]);
        refused(
            file,
            "fn f() {\n\n  vec![crate::potential::assess()];\n}",
            &[&message(3)],
        );
        refused(file, "use super::super::potential::assess;", &[&message(1)]);
        refused(
            file,
            "mod inner {\n  use super::super::super::potential::assess;\n}",
            &[&message(2)],
        );
        refused(
            file,
            "use crate::{\n  season,\n  potential::{\n    assess,\n  },\n};",
            &[&message(4)],
        );
    }

    #[test]
    fn a_room_entered_by_another_door() {
        let file = "src/standmap/mod.rs";
        let message = |path: &str| {
            format!(
                "src/standmap/mod.rs:1: `standmap` names `{path}`, but may know only `season::Daylight`; see the table in DEVELOPERS.md"
            )
        };
        refused(
            file,
            "use crate::season::{Daylight, position};",
            &[&message("crate::season::position")],
        );
        refused(file, "use crate::season;", &[&message("crate::season")]);
        refused(
            file,
            "fn f() -> crate::season::Daylight { crate::season::Daylight::NeverSets }",
            &[],
        );
    }

    #[test]
    fn units_that_know_anything() {
        refused(
            "src/units.rs",
            "use crate::season;",
            &[
                "src/units.rs:1: `units` names `crate::season`, but may know only nothing; see the table in DEVELOPERS.md",
            ],
        );
    }

    #[test]
    fn a_name_taken_from_the_door() {
        refused(
            "src/potential/mod.rs",
            "use crate::Share;",
            &[
                "src/potential/mod.rs:1: `potential` names `crate::Share`, which is no room; name it by the room it lies in",
            ],
        );
    }

    #[test]
    fn a_room_without_a_row() {
        refused(
            "src/weather.rs",
            "",
            &["src/weather.rs: the room `weather` has no row in the table of DEVELOPERS.md; add one"],
        );
    }

    #[test]
    fn the_browser_outside_wasm() {
        refused(
            "src/rules/mod.rs",
            "use wasm_bindgen::prelude::*;",
            &[
                "src/rules/mod.rs:1: `rules` names `wasm_bindgen::prelude::*`; only `wasm` may name the browser",
            ],
        );
        refused(
            "src/rules/mod.rs",
            "use web_sys as browser;",
            &["src/rules/mod.rs:1: `rules` names `web_sys`; only `wasm` may name the browser"],
        );
        refused("src/wasm.rs", "use wasm_bindgen::prelude::*;", &[]);
    }

    #[test]
    fn a_core_that_reads_files_or_a_clock() {
        let outside = "only `bin` may reach files, network, environment or clock";
        refused(
            "src/season/mod.rs",
            "fn today() { let now = std::time::SystemTime::now(); }",
            &[&format!(
                "src/season/mod.rs:1: `season` names `std::time::SystemTime::now`; {outside}"
            )],
        );
        refused(
            "src/season/mod.rs",
            "use std::{fmt, fs::File};",
            &[&format!(
                "src/season/mod.rs:1: `season` names `std::fs::File`; {outside}"
            )],
        );
        refused("src/bin/hostwood.rs", "use std::fs;", &[]);
    }

    #[test]
    fn what_is_allowed_stays_allowed() {
        refused(
            "src/rules/mod.rs",
            "//! Not [`crate::potential`].\nuse crate::season::daylight;",
            &[],
        );
        refused(
            "src/rules/mod.rs",
            "use crate::rules::book; pub(crate) struct A; const T: &str = \"crate::potential\";",
            &[],
        );
        refused(
            "src/rules/verdict.rs",
            "use super::book::Rule; use std::fmt;",
            &[],
        );
        refused(
            "src/rules/mod.rs",
            "#[cfg(test)]\nmod tests { use crate::potential; }",
            &[],
        );
        refused("src/lib.rs", "pub use crate::potential::assess;", &[]);
    }
}
