//! The year of a stand: what the rules answer on each day of it. In goes a law with a stand's memberships, out comes one
//! answer a day. Days by the clock are not told apart here: a day has no time, so rules on hours close none.
//!
//! Most days are alike, and alike days are weighed once; `next` looks ahead in the same way.

use super::book::{BookState, RuleBook};
use super::gear::Gear;
use super::law::Law;
use super::verdict::Answer;
use super::weigh::{RuleOnDay, Time};
use super::zone::Membership;
use crate::day::Day;
use crate::geometry::LngLat;
use crate::visit::Visit;

/// What decides an answer, apart from the place: the same key, the same answer. Whether a rule is in force counts even
/// where it does not hold for this visitor, since others are tried in their place.
type Key = Vec<(BookState, Vec<(bool, u8, u8, u8)>)>;

/// The answers of one stand by times that were weighed before.
pub(super) struct Alike<'b> {
    books: Vec<&'b RuleBook>,
    memberships: Vec<&'b Membership>,
    gear: &'b Gear,
    place: Option<LngLat>,
    places: usize,
    known: Vec<(Key, Answer)>,
}

impl<'b> Alike<'b> {
    /// Nothing weighed yet; `None` where no book speaks of the stand.
    pub(super) fn of<'l: 'b>(law: &'b Law<'l>, memberships: &[&'b Membership]) -> Option<Alike<'b>> {
        let books: Vec<&RuleBook> = law.books.iter().map(|on_day| on_day.book).collect();
        // Books that were left out as doubles are left out here as well.
        let memberships: Vec<&Membership> = law
            .books
            .iter()
            .filter_map(|on_day| law.membership(on_day, memberships))
            .collect();
        (!books.is_empty() && memberships.len() == books.len()).then_some(Alike {
            books,
            memberships,
            gear: &law.gear,
            place: law.place,
            places: law.places,
            known: Vec::new(),
        })
    }

    /// The books it weighs.
    pub(super) fn books(&self) -> &[&'b RuleBook] {
        &self.books
    }

    /// The answer on another visit.
    pub(super) fn answer(&mut self, visit: &Visit) -> Answer {
        let gear = self.gear;
        let key: Key = self
            .books
            .iter()
            .map(|book| {
                let rules = book.rules.iter().map(|rule| {
                    let today = RuleOnDay::of(rule, book, visit, gear, self.place);
                    let now = today.time == Time::Now;
                    (now, today.holds() as u8, today.effect as u8, today.sure as u8)
                });
                (book.state_on(visit.day), rules.collect())
            })
            .collect();
        if let Some((_, answer)) = self.known.iter().find(|(other, _)| *other == key) {
            return *answer;
        }
        let answer = Law::at(&self.books, visit, gear, self.place)
            .among(self.places)
            .answer(&self.memberships);
        self.known.push((key, answer));
        answer
    }
}

/// The answers of a stand for each day of the year in which the law's own day lies: 365 or 366 of them, from 1 January.
pub fn year(law: &Law<'_>, memberships: &[&Membership]) -> (Day, Vec<Answer>) {
    let year = law.visit.day.year();
    // Every year of the calendar has a first of January.
    let from = Day::new(year, 1, 1).unwrap_or(law.visit.day);
    let mut alike = Alike::of(law, memberships);
    let mut answers = Vec::with_capacity(366);
    let mut day = from;
    while day.year() == year && answers.len() < 366 {
        let visit = Visit {
            day,
            time: None,
            ..law.visit.clone()
        };
        answers.push(match &mut alike {
            Some(alike) => alike.answer(&visit),
            None => Answer::NotKnown,
        });
        day = day.next();
    }
    (from, answers)
}
