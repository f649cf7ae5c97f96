//! Whether something in the basket is one of the fungi a rule speaks of. In go a book's set and what the visitor takes
//! the find for, out comes yes, no or not known. A name that the table of fungi does not know may stand for anything.

use super::super::book::RuleBook;
use super::super::names::{Rank, Taxa, TaxonSet};
use super::Taken;
use crate::names::ScientificName;
use crate::units::Truth;

/// Whether a rule about these fungi, or about all, is about this one.
pub(super) fn belongs(book: &RuleBook, taxa: Option<&Taxa>, taken: &Taken) -> Truth {
    let Some(taxa) = taxa else {
        return Truth::True;
    };
    let Some(set) = book.taxa.get(taxa.set()) else {
        return Truth::NotKnown;
    };
    let within = is_member(set, taken);
    match taxa {
        Taxa::Set(_) => within,
        Taxa::AllBut(_) => within.not(),
    }
}

fn is_member(set: &TaxonSet, taken: &Taken) -> Truth {
    let told = ScientificName::parse(&taken.name);
    let by_kind =
        |kinds: &[crate::names::KindId]| taken.kind.as_ref().is_some_and(|kind| kinds.contains(kind));
    let by_name = |name: &str, rank: Rank| {
        let (Some(told), Some(listed)) = (&told, ScientificName::parse(name)) else {
            return false;
        };
        told.genus == listed.genus && (rank == Rank::Genus || told.epithet == listed.epithet)
    };
    let listed = set
        .members
        .iter()
        .any(|member| by_kind(&member.kinds) || by_name(&member.scientific_name, member.rank));
    if listed {
        return Truth::True;
    }
    // "And similar ones", or a find that the table cannot tell from the members by another name.
    if set.open || taken.kind.is_none() {
        return Truth::NotKnown;
    }
    Truth::False
}
