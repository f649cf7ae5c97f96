//! A crosswalk proposed for a map that has none. In go the map and the lists of crosswalks that are known, out comes a
//! crosswalk to be read, mended and saved, with the confidence and the evidence of every line. Nothing of it is used
//! by itself: the reader reads what somebody has decided.

mod evidence;
mod seen;
mod slots;
mod writing;

use serde::Serialize;
use serde_json::Value;

use super::Unreadable;
use super::crosswalk::KnownList;
use crate::knowledge::Knowledge;
use evidence::{Words, guess_of};
use seen::look;
use slots::Table;

/// A proposed crosswalk.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// The crosswalk as JSON; confidence and evidence stand in its `$comment` members.
    pub crosswalk: Value,
    /// Each guess, the trees first, then the surest first.
    pub guesses: Vec<Guess>,
}

/// One guess: what a property may be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Guess {
    /// The plain form's name, such as `age`; `trees` for trees and shares.
    pub fact: String,
    /// The properties.
    pub properties: Vec<String>,
    /// How sure it is, from 0 to 1.
    pub confidence: f64,
    /// Why.
    pub evidence: String,
    /// Whether it stands in the proposal. What a map calls moisture, say, cannot be mapped before somebody has said
    /// what its codes mean.
    pub written: bool,
}

impl std::fmt::Display for Guess {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let properties: Vec<String> = self.properties.iter().map(|name| format!("`{name}`")).collect();
        write!(
            f,
            "{}: {} from {}, confidence {:.2}: {}",
            if self.written { "guess" } else { "left to you" },
            self.fact,
            properties.join(", "),
            self.confidence,
            self.evidence
        )
    }
}

/// Proposes a crosswalk for a map. `known` are the names and bytes of crosswalks whose lists of codes may fit the map's;
/// `year` is the year as of which ages are meant, where the map does not tell one.
///
/// # Errors
/// [`Unreadable`] where the whole file is no stand map.
pub fn propose(
    bytes: &[u8],
    knowledge: &Knowledge,
    known: &[(&str, &[u8])],
    year: i32,
) -> Result<Proposal, Unreadable> {
    let columns = look(bytes, knowledge)?;
    let lists: Vec<KnownList> = known
        .iter()
        .flat_map(|(name, bytes)| KnownList::in_crosswalk(name, bytes))
        .collect();
    let table = Table::of(columns);
    let words = Words::shipped();
    let guesses = guess_of(&table, &words, &knowledge.trees, &lists);
    Ok(writing::write(guesses, &lists, year))
}
