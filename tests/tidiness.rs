//! What every file of the project owes its reader: it says what it is for, and speaks of the project alone.
//!
//! In: the files of the work tree, without what builds leave behind. Out: failure with file, line and what was found.

use std::fs;
use std::path::{Path, PathBuf};

/// Folders that builds and package managers fill.
const LEFT_BEHIND: [&str; 4] = ["target", "node_modules", "dist", ".git"];

/// Files too foreign to read as text, or written by package managers.
const SKIPPED_ENDINGS: [&str; 8] = ["png", "wasm", "gz", "br", "ico", "snap", "woff2", "lock"];

/// The start of paths that exist on one machine only. Taken apart, so that this file does not find itself.
fn machine_paths() -> [String; 5] {
    ["/ho;me/", "/ro;ot/", "/Us;ers/", "/wo;rk/", ":\\Us;ers\\"].map(|path| path.replace(';', ""))
}

/// Paths of one machine in one file, as `file:line: what was found`.
fn foreign_words(file: &str, text: &str) -> Vec<String> {
    let paths = machine_paths();
    let in_line = |(number, line): (usize, &str)| {
        let found = paths.iter().find(|path| standing_alone(line, path))?;
        Some(format!(
            "{file}:{}: found `{found}`, a path of one machine; name what lies there from the top of the project",
            number + 1
        ))
    };
    text.lines().enumerate().filter_map(in_line).collect()
}

/// Whether `path` begins a path in `line`, rather than going on with an address or a longer path.
fn standing_alone(line: &str, path: &str) -> bool {
    line.match_indices(path).any(|(at, _)| {
        line[..at]
            .chars()
            .next_back()
            .is_none_or(|before| !before.is_alphanumeric() && !"-_./".contains(before))
            || path.starts_with(':')
    })
}

/// Whether a file that must open by saying what it is for does not.
fn unopened(file: &str, text: &str) -> Option<String> {
    let (ending, opening) = match file.rsplit_once('.')?.1 {
        "rs" => ("Rust", "//!"),
        "ts" | "mjs" | "js" | "css" => ("JavaScript and CSS", "/*"),
        _ => return None,
    };
    if text.starts_with(opening) || text.starts_with("#!") {
        return None;
    }
    Some(format!(
        "{file}: opens with `{}`; {ending} files open with `{opening}` and what goes in and comes out",
        text.lines().next().unwrap_or_default()
    ))
}

fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Path from the top and text of every file that is ours.
fn files() -> Vec<(String, String)> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("a folder of the project can be read") {
            let path = entry.expect("an entry of the project").path();
            let name = path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default();
            if path.is_dir() && !LEFT_BEHIND.contains(&name.as_str()) {
                walk(&path, found);
            } else if path.is_file() {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&top(), &mut found);
    found.sort();
    let ours = |path: &PathBuf| {
        let ending = path
            .extension()
            .map(|ending| ending.to_string_lossy().into_owned())
            .unwrap_or_default();
        if SKIPPED_ENDINGS.contains(&ending.as_str()) || path.ends_with(".git") {
            return None;
        }
        let name = path
            .strip_prefix(top())
            .expect("below the top")
            .to_string_lossy()
            .replace('\\', "/");
        Some((
            name,
            String::from_utf8_lossy(&fs::read(path).expect("a file of the project")).into_owned(),
        ))
    };
    found.iter().filter_map(ours).collect()
}

#[test]
fn no_file_names_a_path_of_one_machine() {
    let files = files();
    assert!(files.len() > 30, "only {} files found", files.len());
    let found: Vec<String> = files
        .iter()
        .flat_map(|(file, text)| foreign_words(file, text))
        .collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_file_opens_with_what_it_is_for() {
    let found: Vec<String> = files()
        .iter()
        .filter_map(|(file, text)| unopened(file, text))
        .collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// A package's address in the lock would tie the install to one server.
#[test]
fn the_npm_lock_names_no_server() {
    let lock = fs::read_to_string(top().join("www/package-lock.json")).expect("the npm lock");
    assert!(
        lock.contains("\"integrity\""),
        "the npm lock has no digests; it is not what npm writes"
    );
    let line = lock.lines().position(|line| line.contains("\"resolved\""));
    assert_eq!(
        line, None,
        "the npm lock names a server; write it with the .npmrc of www in force"
    );
}

#[test]
fn what_is_untidy_is_refused() {
    let file = "src/rules/mod.rs";
    let path = &machine_paths()[0];
    assert_eq!(
        foreign_words(
            file,
            &format!("//! Reads.\nconst A: &str = \"{path}anna/map.geojson\";")
        ),
        [format!(
            "{file}:2: found `{path}`, a path of one machine; name what lies there from the top of the project"
        )]
    );
    for fine in [
        "https://example.org/ho;me/",
        "see the fieldwork/wo;rk/ folder",
        "/usr/bin/chromium",
    ] {
        assert_eq!(
            foreign_words(file, &fine.replace(';', "")),
            Vec::<String>::new(),
            "{fine}"
        );
    }
    assert_eq!(
        unopened(file, "use std::fmt;\n").as_deref(),
        Some(
            "src/rules/mod.rs: opens with `use std::fmt;`; Rust files open with `//!` and what goes in and comes out"
        )
    );
    assert_eq!(
        unopened("www/element/map.ts", "export {};\n").as_deref(),
        Some(
            "www/element/map.ts: opens with `export {};`; JavaScript and CSS files open with `/*` and what goes in and comes out"
        )
    );
    assert_eq!(unopened("README.md", "# Hostwood\n"), None);
}
