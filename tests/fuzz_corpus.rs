//! Every fuzz target over its corpus: files that were found to matter, and the fixtures it begins with, each as it is,
//! cut short, and with a few bytes changed. In go the folders, out comes a panic where a promise is broken. What looks
//! for new inputs is `cargo www fuzz`; what it finds comes into `tests/fuzz/corpus` and stays there.

#[path = "fuzz/targets.rs"]
mod targets;

use std::fs;
use std::panic::{catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};

use targets::{TARGETS, Target};

/// Larger files are left to tests of their own.
const BYTES_AT_MOST: usize = 20_000;

fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = match fs::read_dir(folder) {
        Ok(entries) => entries.map(|entry| entry.expect("an entry").path()).collect(),
        Err(error) => panic!("{}: {error}", folder.display()),
    };
    entries.sort();
    for path in entries {
        if path.is_dir() {
            files(&path, found);
        } else {
            found.push(path);
        }
    }
}

/// Inputs of a target with the file each comes from.
fn inputs(target: &Target) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    files(&top().join("tests/fuzz/corpus").join(target.name), &mut found);
    for seeds in target.seeds {
        files(&top().join(seeds), &mut found);
    }
    found
        .into_iter()
        .map(|path| (path.display().to_string(), fs::read(path).expect("a file")))
        .filter(|(_, bytes)| bytes.len() <= BYTES_AT_MOST)
        .collect()
}

/// Numbers that come out alike on every machine (xorshift).
fn next(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
}

/// The input cut short, and with up to four bytes changed.
fn varied(bytes: &[u8], state: &mut u64) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    if next(state).is_multiple_of(4) {
        bytes.truncate(next(state) as usize % (bytes.len() + 1));
    }
    for _ in 0..next(state) % 4 {
        if bytes.is_empty() {
            break;
        }
        let at = next(state) as usize % bytes.len();
        bytes[at] = match next(state) % 3 {
            0 => next(state) as u8,
            1 => b"{}[]\",:-.0e\\\n"[next(state) as usize % 13],
            _ => bytes[next(state) as usize % bytes.len()],
        };
    }
    bytes
}

/// Runs one input. A panic tells what was promised; what broke it is told beside it, to be kept in the corpus.
fn keeps_promises(target: &Target, name: &str, bytes: &[u8]) {
    if let Err(broken) = catch_unwind(|| (target.run)(bytes)) {
        let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        println!("{}: broken by {name}: {hex}", target.name);
        resume_unwind(broken);
    }
}

fn run(name: &str) {
    let target = TARGETS.iter().find(|target| target.name == name).expect(name);
    let inputs = inputs(target);
    assert!(inputs.len() >= 3, "{name} has {} inputs", inputs.len());
    let mut state = 0x9e37_79b9_7f4a_7c15;
    for (file, bytes) in &inputs {
        keeps_promises(target, file, bytes);
        for _ in 0..(10_000 / (bytes.len() + 200)).clamp(1, 12) {
            keeps_promises(target, &format!("{file}, varied"), &varied(bytes, &mut state));
        }
    }
}

macro_rules! corpora {
    ($($test:ident $name:literal),* $(,)?) => {
        $(
            #[test]
            fn $test() {
                run($name);
            }
        )*

        #[test]
        fn every_target_is_run() {
            let run: Vec<&str> = vec![$($name),*];
            let targets: Vec<&str> = TARGETS.iter().map(|target| target.name).collect();
            assert_eq!(run, targets);
        }
    };
}

corpora! {
    stand_maps "stand-map",
    packed_maps "gzip",
    proposals "proposal",
    crosswalks "crosswalk",
    compositions "composition",
    outlines "geometry",
    tiles "tile",
    rule_books "rule-book",
    verdicts "verdict",
    weather "weather",
    tables_of_kinds "kinds",
}
