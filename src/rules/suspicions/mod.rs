//! What is legal in a rule book but suspicious: it reads, and may still not say what its writer means. In go a book and
//! today, out come warnings, each with its place in the text. What refuses a book is left to `reading`.

mod contradictions;
mod head;
mod places;
mod rules;
mod together;

pub use together::{BetweenBooks, check_together};

use super::book::{Rule, RuleBook};
use super::condition::{Party, When, Who};
use super::cover::{may_all_be_compared, within_all};
use super::days::in_any;
use super::kind::Provision;
use super::mistake::Mistake;
use super::opening::open;
use super::reading::Read;
use super::zone::Extent;
use crate::day::Day;
use crate::names::FungusNames;
use crate::order;

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
    let placed = open(bytes, |root, log| {
        // The book keeps its zones in an order of its own.
        let mut file_order: Vec<String> = Vec::with_capacity(book.zones.len());
        for place in 0..book.zones.len() {
            let id = root.at(&format!("/zones/{place}/id"));
            file_order.push(id.text(log).unwrap_or_default().to_owned());
        }
        for suspicion in suspicions(&book, &file_order, today) {
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
    order::by_key(&mut mistakes, |mistake| (mistake.line, mistake.column));
    Checked {
        book: Some(book),
        mistakes,
    }
}

/// After this many suspicions of one kind the rest is not looked for: as many are told.
const MOST_TOLD: usize = 200;

/// How much may yet be compared in a book, or between books, so that no book takes for ever: a step is about as much as
/// holding two numbers against each other.
struct Work {
    left: usize,
}

impl Work {
    /// A second or two.
    fn of_a_book() -> Work {
        Work { left: 60_000_000 }
    }

    /// Takes what a comparison costs; `false` where it is more than is left, and then nothing is left.
    fn spend(&mut self, steps: usize) -> bool {
        self.left = self.left.saturating_sub(steps);
        self.left > 0
    }

    fn is_spent(&self) -> bool {
        self.left == 0
    }
}

/// What it costs to hold two rules against each other.
fn cost(one: &Rule, other: &Rule) -> usize {
    let alone = |rule: &Rule| {
        let times = match &rule.provision {
            Provision::Hours { openness, .. } => 1440 * (1 + openness.windows().len()),
            Provision::Season(openness) => 366 * (1 + openness.windows().len()),
            _ => 1,
        };
        10 + times + rule.replaces.len() + rule.exempts.len() + rule.when.windows.len()
    };
    alone(one) + alone(other) + one.zones.len() * other.zones.len()
}

/// Everything suspicious in a book. `file_order` are the ids of its zones as they stand in the file.
fn suspicions(book: &RuleBook, file_order: &[String], today: Option<Day>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut work = Work::of_a_book();
    head::look(book, today, &mut found);
    places::look(book, file_order, &mut found);
    rules::look(book, &mut work, &mut found);
    contradictions::look(book, &mut work, &mut found);
    if work.is_spent() {
        found.push(suspicion(
            "not-compared",
            "/rules",
            "",
            "there are so many rules, zones or windows that not all of them were held against each other",
            "",
            "what is told of rules that do not agree is not all there may be; put together what is the same",
        ));
    }
    found
}

fn suspicion(
    code: &'static str,
    pointer: &str,
    words: &str,
    found: &str,
    expected: &str,
    advice: &str,
) -> Suspicion {
    Suspicion {
        code,
        pointer: pointer.to_owned(),
        words: words.to_owned(),
        found: found.to_owned(),
        expected: expected.to_owned(),
        advice: advice.to_owned(),
    }
}

/// Years over which days are tried where nothing says how long a rule is in force: every date meets every day of the
/// week, and 29 February comes twice.
const YEARS_TRIED: i16 = 12;

/// Taking all zones out of the region is given up after so many positions: a few seconds.
const POSITIONS_AT_MOST: usize = 5_000_000;

/// The days on which a rule is in force and that lie in its `when`; tried over twelve years at most.
fn days_of(book: &RuleBook, rule: &Rule) -> Vec<Day> {
    let from = [rule.valid_from, book.valid_from].into_iter().flatten().max();
    let from = from.unwrap_or_else(|| Day::new(book.checked.year(), 1, 1).unwrap_or(book.checked));
    let end = from.plus_years(YEARS_TRIED);
    let to = [rule.valid_to, book.valid_to]
        .into_iter()
        .flatten()
        .fold(end, Day::min);
    let mut days = Vec::new();
    let mut day = from;
    while day <= to {
        let named = (rule.when.windows.is_empty() || in_any(&rule.when.windows, day))
            && rule.when.days.as_ref().is_none_or(|days| days.contains(day));
        if named {
            days.push(day);
        }
        day = day.next();
    }
    days
}

/// Whether a rule holds always, everywhere in the region and for everybody.
fn is_unconditional(rule: &Rule) -> bool {
    rule.zones.is_empty()
        && rule.when == When::default()
        && rule.who == Who::default()
        && rule.party == Party::default()
        && rule.harvest.is_any()
        && rule.gear.is_any()
        && rule.valid_from.is_none()
        && rule.valid_to.is_none()
}

/// Whether two rules may bind the same person at the same place, time and fungus, as far as that shows without a stand.
fn may_meet(one: &Rule, other: &Rule) -> bool {
    let place = one.zones.is_empty()
        || other.zones.is_empty()
        || one.zones.iter().any(|zone| other.zones.contains(zone));
    let fungi = one.taxa.is_none() || other.taxa.is_none() || one.taxa == other.taxa;
    let person = one.who == Who::default() || other.who == Who::default() || one.who == other.who;
    let party = one.party == Party::default() || other.party == Party::default() || one.party == other.party;
    let validity = one
        .valid_from
        .zip(other.valid_to)
        .is_none_or(|(from, to)| from <= to)
        && other
            .valid_from
            .zip(one.valid_to)
            .is_none_or(|(from, to)| from <= to);
    let when = one.when == When::default() || other.when == When::default() || one.when == other.when;
    place && fungi && person && party && validity && when
}

/// Whether there is any place in the region where none of the book's zones need lie. Where finding out would take too
/// long, there is.
fn has_room(book: &RuleBook) -> bool {
    use geo::CoordsIter as _;
    let area = &book.region.area;
    let mut looked_at = area.coords_count();
    let mut zones = Vec::new();
    for zone in &book.zones {
        if let Extent::Outline(outline) = &zone.extent {
            looked_at += outline.coords_count();
            if looked_at > POSITIONS_AT_MOST {
                return true;
            }
            zones.push(outline);
        }
    }
    !may_all_be_compared(area, &zones) || within_all(area, zones).part() < 1.0 - 1e-9
}

/// The zones a rule names.
fn zones_of(rule: &Rule) -> Vec<usize> {
    let near = match &rule.provision {
        Provision::Distance { near, .. } => *near,
        _ => None,
    };
    rule.zones.iter().copied().chain(near).collect()
}

/// The sets of fungi a rule names.
fn sets_of(rule: &Rule) -> Vec<usize> {
    let mut sets: Vec<usize> = rule.taxa.iter().map(super::names::Taxa::set).collect();
    match &rule.provision {
        Provision::SubLimit { taxa, .. } => sets.push(taxa.set()),
        Provision::SideBySide { parts, .. } | Provision::Alternative { parts, .. } => {
            sets.extend(parts.iter().map(|(taxa, _)| taxa.set()))
        }
        _ => {}
    }
    sets
}
