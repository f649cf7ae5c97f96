//! Why a whole stand map was refused: in goes what the reader met, out comes one message that says where, what was
//! found, what was expected and what to do. Oddities that do not lose the map are findings.

use std::fmt;

use serde::Serialize;

use super::cause;

/// A whole stand map was refused.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unreadable {
    /// What is wrong, such as `truncated`.
    pub code: &'static str,
    /// What was found and what was expected.
    pub message: String,
    /// Where in the file, if it is at one place.
    pub at: Option<Spot>,
    /// What to do.
    pub advice: String,
}

/// A place in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Spot {
    /// Line, from 1.
    pub line: u64,
    /// Column in bytes, from 1.
    pub column: u64,
    /// Byte, from 0.
    pub byte: u64,
}

impl Unreadable {
    pub(crate) fn new(code: &'static str, message: impl Into<String>, advice: impl Into<String>) -> Self {
        debug_assert!(
            cause::is_known(code),
            "the code `{code}` is not in the table of causes, `src/standmap/cause.rs`; add what it means"
        );
        Unreadable {
            code,
            message: message.into(),
            at: None,
            advice: advice.into(),
        }
    }

    pub(crate) fn at(mut self, spot: Spot) -> Self {
        self.at = Some(spot);
        self
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("stand map")?;
        if let Some(Spot { line, column, byte }) = self.at {
            write!(f, ", line {line}, column {column} (byte {byte})")?;
        }
        write!(f, ": {}. {}.", self.message, self.advice)
    }
}

impl std::error::Error for Unreadable {}
