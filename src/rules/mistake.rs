//! What is wrong in a rule book. In go a place in the text and what was found there, out comes one [`Mistake`] that
//! says where in the rule writer's words, what was found, what was expected and what to write instead. Looking for
//! mistakes is left to `reading`.

use std::fmt;

use serde::Serialize;

/// How much a mistake matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The book is refused: it could say something else than it means.
    Error,
    /// The book is read; something in it should be looked at.
    Warning,
}

/// One thing wrong in a rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Mistake {
    /// A short name of the kind of mistake that stays the same, such as `unknown-field`.
    pub code: &'static str,
    /// Whether the book is refused for it.
    pub severity: Severity,
    /// Where, as a JSON Pointer (RFC 6901); empty for the whole book.
    pub pointer: String,
    /// Line in the text, from 1.
    pub line: u32,
    /// Character in the line, from 1.
    pub column: u32,
    /// Where, in words: ``rule `daily` › quantity``; empty for the whole book.
    pub path_in_words: String,
    /// What was found, as a clause: `` `from` is `31-02` ``.
    pub found: String,
    /// What was expected, as a noun: ``a day of the year such as `02-28` ``; empty where `found` says it all.
    pub expected: String,
    /// What to do; empty where that is plain.
    pub advice: String,
}

impl Mistake {
    /// The mistake as one sentence without its line and column.
    pub fn sentence(&self) -> String {
        let mut sentence = String::new();
        if !self.path_in_words.is_empty() {
            sentence.push_str(&self.path_in_words);
            sentence.push_str(": ");
        }
        sentence.push_str(&self.found);
        if !self.expected.is_empty() {
            sentence.push_str(", expected ");
            sentence.push_str(&self.expected);
        }
        if !self.advice.is_empty() {
            sentence.push_str("; ");
            sentence.push_str(&self.advice);
        }
        sentence
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "line {}, column {}: {}",
            self.line,
            self.column,
            self.sentence()
        )
    }
}

impl std::error::Error for Mistake {}
