//! The guide for GIS officers, done as it is written: its files are laid out, its commands are run, and what it says
//! they tell is among what they tell. In: www/site/officers.html. Out: a failure with the command and the missing line.

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

/// Does a guide in a folder of its own; gives how many commands were run.
fn follow(guide: &str, folder: &Path) -> usize {
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
                for file in ["stands=\"", "crosswalk=\""] {
                    let named = page
                        .split_once(file)
                        .expect(file)
                        .1
                        .split('"')
                        .next()
                        .unwrap_or_default();
                    assert!(
                        folder.join(named).exists(),
                        "the page names `{named}`, which the guide does not make"
                    );
                }
            }
        }
    }
    run_so_far
}

#[test]
fn everything_in_the_guide_works_as_it_says() {
    let guide = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/site/officers.html");
    let guide = fs::read_to_string(guide).expect("the guide");
    let folder: PathBuf = env::temp_dir().join(format!("hostwood-guide-{}", std::process::id()));
    let commands = follow(&guide, &folder);
    assert!(commands >= 6, "{commands} commands");
    fs::remove_dir_all(folder).expect("the folder is there");
}

#[test]
fn a_guide_that_says_what_is_not_so_is_refused() {
    let told = "one\ntwo\nthree";
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>();
    assert_eq!(untold(&lines(&["one", "three"]), told), None);
    assert_eq!(untold(&lines(&["three", "one"]), told), Some(&"one".to_owned()));
    assert_eq!(untold(&lines(&["tw"]), told), Some(&"tw".to_owned()));
    assert_eq!(
        blocks("<pre data-run data-ends=\"1\">hostwood rules a &gt; b</pre>"),
        [Block::Run("hostwood rules a > b".to_owned(), 1)]
    );
}
