//! What is legal in a rule book but suspicious: it reads, and may still not say what its writer means. In go a book and
//! today, out come warnings, each with its place in the text. What refuses a book is left to `reading`.

mod head;

use super::book::RuleBook;
use super::mistake::Mistake;
use super::opening::open;
use super::reading::Read;
use crate::day::Day;
use crate::names::FungusNames;

/// A rule book that was checked, with everything that is to be said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// The book; `None` where a mistake refuses it.
    pub book: Option<RuleBook>,
    /// Everything that is wrong or suspicious, in the order of the text.
    pub mistakes: Vec<Mistake>,
}

/// One thing to look at, before its place in the text is known.
pub(super) struct Suspicion {
    /// A short name of the kind of suspicion that stays the same.
    code: &'static str,
    /// Where, as a JSON Pointer.
    pointer: String,
    /// Where, in words.
    words: String,
    /// What was found.
    found: String,
    /// What was expected; empty where `found` says it all.
    expected: String,
    /// What to do.
    advice: String,
}

/// Reads a book and looks at all of it: mistakes, the answers to its own examples, and what is suspicious. `today` tells
/// what has grown old; without it, nothing has.
pub fn check(bytes: &[u8], names: &dyn FungusNames, today: Option<Day>) -> Checked {
    let Read { book, warnings } = match RuleBook::read(bytes, names) {
        Ok(read) => read,
        Err(mistakes) => {
            return Checked { book: None, mistakes };
        }
    };
    let mut mistakes = warnings;
    mistakes.extend(book.check_examples());
    let suspicions = suspicions(&book, today);
    let placed = open(bytes, |root, log| {
        for suspicion in suspicions {
            let at = root.at(&suspicion.pointer).called(&suspicion.words);
            log.warn(
                suspicion.code,
                &at,
                suspicion.found,
                suspicion.expected,
                suspicion.advice,
            );
        }
        Some(())
    });
    let placed = match placed {
        Ok(((), placed)) | Err(placed) => placed,
    };
    mistakes.extend(placed);
    mistakes.sort_by_key(|mistake| (mistake.line, mistake.column));
    Checked {
        book: Some(book),
        mistakes,
    }
}

/// Everything suspicious in a book.
fn suspicions(book: &RuleBook, today: Option<Day>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    head::look(book, today, &mut found);
    found
}
