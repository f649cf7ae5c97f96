//! Every rule book of the examples is read without a mistake, names only fungi that the table knows, and answers its
//! own examples as its writer expects.

use std::path::{Path, PathBuf};

use hostwood::knowledge::Knowledge;
use hostwood::rules::RuleBook;

fn rule_books(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            rule_books(&path, found);
        } else if path.to_string_lossy().ends_with(".rules.json") {
            found.push(path);
        }
    }
}

#[test]
fn the_rule_books_of_the_examples_are_sound() {
    let mut found = Vec::new();
    rule_books(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("examples"),
        &mut found,
    );
    assert!(!found.is_empty(), "no rule books");
    for path in found {
        let bytes = std::fs::read(&path).expect("file");
        let read = RuleBook::read(&bytes, &Knowledge::shipped().fungi).unwrap_or_else(|mistakes| {
            let sentences: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
            panic!("{}:\n{}", path.display(), sentences.join("\n"))
        });
        let path = path.display();
        assert_eq!(read.warnings, [], "{path}");
        assert_eq!(read.book.check_examples(), [], "{path}");
        assert!(!read.book.examples.is_empty(), "{path} has no examples");
    }
}
