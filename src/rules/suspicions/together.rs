//! What is suspicious between books that are laid over one map: two of one region, links to rules that no book has, clocks
//! and duties that do not agree where the books overlap. In go the books, out come warnings, each under the book that
//! should be looked at. On a stand the stricter rule holds all the same; that is left to `law`.

use serde::Serialize;

use super::contradictions::conflict;
use super::{MOST_TOLD, Work, cost, may_meet};
use crate::rules::book::{Rule, RuleBook, RuleRef};
use crate::rules::cover::share_ground;

/// One thing to look at between books.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BetweenBooks {
    /// A short name of the kind of warning that stays the same.
    pub code: &'static str,
    /// The book that should be looked at, a place in the list handed in.
    pub book: usize,
    /// Where, what was found, what was expected and what to do.
    pub message: String,
}

/// Looks at books beside each other. The order in which they are given decides only under which of two a warning stands.
/// Books with rules beyond measure are looked at as long as it takes no time, and what is left is told.
pub fn check_together(books: &[&RuleBook]) -> Vec<BetweenBooks> {
    let mut found = Vec::new();
    let mut work = Work::of_a_book();
    for (place, book) in books.iter().enumerate() {
        links(books, place, book, &mut found);
        for other in books.iter().take(place).filter(|other| **other != *book) {
            pair(place, book, other, &mut work, &mut found);
        }
        let more = found.len() > MOST_TOLD;
        if more || work.is_spent() {
            found.truncate(MOST_TOLD);
            found.push(BetweenBooks {
                code: "not-compared",
                book: place,
                message: "rules: so many of them name or contradict rules of other books that not all were looked at; where two do not agree the stricter holds all the same".to_owned(),
            });
            break;
        }
    }
    found
}

/// Rules of other books that a book names, and that are not there.
fn links(books: &[&RuleBook], place: usize, book: &RuleBook, found: &mut Vec<BetweenBooks>) {
    for rule in &book.rules {
        for reference in rule.replaces.iter().chain(&rule.exempts) {
            let RuleRef::Elsewhere { region, rule: id } = reference else {
                continue;
            };
            let mut named = books
                .iter()
                .filter(|other| other.region.code == *region)
                .peekable();
            let (found_there, advice) = if named.peek().is_none() {
                (
                    format!("there is no book of `{region}`"),
                    "lay that book over the map as well",
                )
            } else if named.any(|other| other.rule(id).is_some()) {
                continue;
            } else {
                (
                    format!("the book of `{region}` has no rule `{id}`"),
                    "check the id in that book",
                )
            };
            found.push(BetweenBooks {
                code: "rule-elsewhere",
                book: place,
                message: format!(
                    "rule `{}` names `{region}/{id}`, and {found_there}, so it changes nothing there; {advice}",
                    rule.id
                ),
            });
        }
    }
}

fn pair(place: usize, book: &RuleBook, other: &RuleBook, work: &mut Work, found: &mut Vec<BetweenBooks>) {
    let told = found.len();
    let tell = |found: &mut Vec<BetweenBooks>, code, message| {
        found.push(BetweenBooks {
            code,
            book: place,
            message,
        });
    };
    let region = &book.region;
    if region.code == other.region.code {
        tell(
            found,
            "same-region",
            format!(
                "region: two different books have the code `{}`, expected one book a region; take the older one away, or give one a code of its own",
                region.code
            ),
        );
    }
    if !overlap(book, other) {
        return;
    }
    if region.time_zone != other.region.time_zone {
        tell(
            found,
            "clocks-differ",
            format!(
                "region: `time_zone` is `{}`, and `{}` where it overlaps the book of `{}`, expected one clock a place; correct one of them",
                region.time_zone, other.region.time_zone, other.region.code
            ),
        );
    }
    for rule in &book.rules {
        for theirs in &other.rules {
            if found.len() > told + MOST_TOLD || !work.spend(cost(rule, theirs)) {
                return;
            }
            if softens(rule, other, theirs)
                || softens(theirs, book, rule)
                || !may_meet_elsewhere(rule, theirs)
            {
                continue;
            }
            if let Some(what) = conflict(rule, theirs) {
                tell(
                    found,
                    "contradiction",
                    format!(
                        "rule `{}`: {what} in `{}` of the book of `{}`, expected rules that can all be kept; where both hold the answer is not known until one names the other in `replaces`",
                        rule.id, theirs.id, other.region.code
                    ),
                );
            }
        }
    }
}

/// Whether a rule names another book's rule to replace or lift it.
fn softens(rule: &Rule, other: &RuleBook, theirs: &Rule) -> bool {
    rule.replaces.iter().chain(&rule.exempts).any(|reference| {
        matches!(reference, RuleRef::Elsewhere { region, rule } if *region == other.region.code && *rule == theirs.id)
    })
}

/// Zones and sets of fungi are each book's own: only rules without them are sure to meet.
fn may_meet_elsewhere(rule: &Rule, other: &Rule) -> bool {
    rule.zones.is_empty()
        && other.zones.is_empty()
        && rule.taxa.is_none()
        && other.taxa.is_none()
        && may_meet(rule, other)
}

/// Whether two books share more than a border.
fn overlap(book: &RuleBook, other: &RuleBook) -> bool {
    share_ground(&book.region.area, &other.region.area)
}
