//! The guides for GIS officers and for rules officers, done as they are written: their files are laid out, their commands
//! are run, and what they say is told is among what is told. In: www/site/officers.html, www/site/rule-books.html. Out: a
//! failure with the command and the missing line.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// One block of the guide, in its order.
#[derive(Debug, PartialEq)]
enum Block {
    /// A file with its name.
    File(String, String),
    /// A command, and the exit code that it ends with.
    Run(String, i32),
    /// Lines that the command before tells, in this order.
    Tells(Vec<String>),
    /// What is pasted into a page.
    Page(String),
}

/// The blocks of a guide: `<pre data-file>`, `<pre data-run>`, `<pre data-tells>` and `<pre data-page>`.
fn blocks(guide: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    for piece in guide.split("<pre ").skip(1) {
        let (attributes, rest) = piece.split_once('>').expect("a tag that closes");
        let body = rest.split("</pre>").next().unwrap_or_default();
        let body = body
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&");
        let value = |name: &str| {
            let value = attributes.split_once(&format!("{name}=\""))?.1;
            Some(value.split('"').next().unwrap_or_default().to_owned())
        };
        blocks.push(if let Some(name) = value("data-file") {
            Block::File(name, body.trim_start().to_owned())
        } else if attributes.contains("data-run") {
            let ends = value("data-ends").map_or(0, |code| code.parse().expect("an exit code"));
            Block::Run(body.trim().to_owned(), ends)
        } else if attributes.contains("data-tells") {
            let lines = body.lines().map(str::trim_end).filter(|line| !line.is_empty());
            Block::Tells(lines.map(str::to_owned).collect())
        } else if attributes.contains("data-page") {
            Block::Page(body)
        } else {
            panic!("`<pre {attributes}>` says neither data-file, data-run, data-tells nor data-page");
        });
    }
    blocks
}

/// Runs a command of the guide in a folder; gives what it tells and its exit code. `>` writes to a file.
fn run(folder: &Path, command: &str) -> (String, i32) {
    let (command, into) = match command.split_once('>') {
        Some((command, into)) => (command, Some(into.trim())),
        None => (command, None),
    };
    let mut words = command.split_whitespace();
    assert_eq!(words.next(), Some("hostwood"), "{command}");
    let done = Command::new(env!("CARGO_BIN_EXE_hostwood"))
        .args(words)
        .current_dir(folder)
        .output()
        .expect("the command runs");
    let mut told = String::from_utf8_lossy(&done.stderr).into_owned();
    match into {
        Some(file) => fs::write(folder.join(file), &done.stdout).expect("a file can be written"),
        None => told.push_str(&String::from_utf8_lossy(&done.stdout)),
    }
    (told, done.status.code().unwrap_or(-1))
}

/// The first line that is not told, or not after the one before it.
fn untold<'l>(lines: &'l [String], told: &str) -> Option<&'l String> {
    let mut rest = told.lines().map(str::trim_end);
    lines
        .iter()
        .find(|line| !rest.any(|found| found == line.as_str()))
}

/// Does a guide in a folder of its own; gives how many commands were run. What its page names in `attributes` must have
/// been made on the way.
fn follow(guide: &str, attributes: &[&str], folder: &Path) -> usize {
    fs::create_dir_all(folder).expect("a folder can be made");
    let (mut told, mut run_so_far) = (String::new(), 0);
    for block in blocks(guide) {
        match block {
            Block::File(name, text) => fs::write(folder.join(name), text).expect("a file can be written"),
            Block::Run(command, ends) => {
                let (tells, code) = run(folder, &command);
                assert_eq!(code, ends, "`{command}` tells:\n{tells}");
                told = tells;
                run_so_far += 1;
            }
            Block::Tells(lines) => {
                assert!(!lines.is_empty(), "a block with data-tells has lines");
                assert_eq!(untold(&lines, &told), None, "all that is told is:\n{told}");
            }
            Block::Page(page) => {
                let files = files_named(&page, attributes);
                assert!(files.len() >= 2, "the page names {files:?}");
                for file in files {
                    assert!(
                        folder.join(&file).exists(),
                        "the page names `{file}`, which the guide does not make"
                    );
                }
            }
        }
    }
    run_so_far
}

/// The files that the element on a page is given in these attributes.
fn files_named(page: &str, attributes: &[&str]) -> Vec<String> {
    attributes
        .iter()
        .filter_map(|name| page.split_once(&format!(" {name}=\""))?.1.split('"').next())
        .flat_map(str::split_whitespace)
        .map(str::to_owned)
        .collect()
}

fn guide(page: &str) -> String {
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/site").join(page);
    fs::read_to_string(guide).expect(page)
}

#[test]
fn everything_in_the_guides_works_as_it_says() {
    for (page, attributes, least) in [
        ("officers.html", ["stands", "crosswalk"], 6),
        ("rule-books.html", ["stands", "rules"], 6),
    ] {
        let folder: PathBuf = env::temp_dir().join(format!("hostwood-{page}-{}", std::process::id()));
        let commands = follow(&guide(page), &attributes, &folder);
        assert!(commands >= least, "{page}: {commands} commands");
        fs::remove_dir_all(folder).expect("the folder is there");
    }
}

/// Rules officers find every kind of rule in their guide, once.
#[test]
fn the_guide_for_rules_officers_names_every_kind() {
    let guide = guide("rule-books.html");
    let mut told: Vec<&str> = guide
        .split("<code data-kind>")
        .skip(1)
        .filter_map(|piece| piece.split("</code>").next())
        .collect();
    told.sort_unstable();
    let mut there: Vec<&str> = hostwood::rules::Kind::ALL
        .iter()
        .map(|kind| kind.word())
        .collect();
    there.sort_unstable();
    assert_eq!(told, there);
}

/// The rows of one table of limits, cell by cell: of the guide for developers, and of a page.
fn limits_told(name: &str, page: &str) -> [Vec<String>; 2] {
    let developers = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"));
    let developers = developers.expect("DEVELOPERS.md");
    let (_, table) = developers
        .split_once(&format!("<!-- limits of a {name} -->"))
        .expect("the table begins");
    let (table, _) = table
        .split_once("<!-- end of limits -->")
        .expect("the table ends");
    let written = table.lines().filter(|line| line.starts_with('|')).skip(2);
    let written = written.map(|line| line.trim_matches('|').replace('`', ""));
    let told = page.split("<tr>").skip(1).map(|row| {
        let row = row.split("</tr>").next().unwrap_or_default();
        let cells = row.replace("</th>", "|").replace("</td>", "|");
        let words = cells.split('<').filter_map(|piece| piece.rsplit('>').next());
        words.collect::<String>().trim().trim_end_matches('|').to_owned()
    });
    let plain = |row: String| {
        row.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .replace(" |", "|")
            .replace("| ", "|")
    };
    [written.map(plain).collect(), told.map(plain).collect()]
}

/// Both guides tell every limit as the guide for developers does, number by number and code by code.
#[test]
fn the_guides_tell_every_limit() {
    for (name, page, least) in [("map", "embed.html", 14), ("book", "rule-books.html", 15)] {
        let [written, told] = limits_told(name, &guide(page));
        assert!(written.len() >= least, "{name}: {} limits", written.len());
        for row in written {
            assert!(told.contains(&row), "{page} does not say: {row}\n{told:#?}");
        }
    }
}

#[test]
fn a_guide_that_says_what_is_not_so_is_refused() {
    let told = "one\ntwo\nthree";
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>();
    assert_eq!(untold(&lines(&["one", "three"]), told), None);
    assert_eq!(untold(&lines(&["three", "one"]), told), Some(&"one".to_owned()));
    assert_eq!(untold(&lines(&["tw"]), told), Some(&"tw".to_owned()));
    assert_eq!(
        files_named(
            r#"<hostwood-map stands="a.geojson" rules="b.json c.json">"#,
            &["stands", "rules"]
        ),
        ["a.geojson", "b.json", "c.json"]
    );
    assert_eq!(
        blocks("<pre data-run data-ends=\"1\">hostwood rules a &gt; b</pre>"),
        [Block::Run("hostwood rules a > b".to_owned(), 1)]
    );
}
