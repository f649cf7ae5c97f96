//! Suspicions about the head of a book: whom to call, what has grown old, what is missing in a language.

use super::Suspicion;
use crate::day::Day;
use crate::rules::book::RuleBook;

/// Looks at everything outside the rules and zones.
pub(super) fn look(book: &RuleBook, _today: Option<Day>, found: &mut Vec<Suspicion>) {
    if book.poison_centre.is_none() {
        found.push(Suspicion {
            code: "no-poison-centre",
            pointer: String::new(),
            words: String::new(),
            found: "no `poison_centre` is named".to_owned(),
            expected: "whom to call after eating something bad".to_owned(),
            advice: "add its name and telephone number, with the source".to_owned(),
        });
    }
}
