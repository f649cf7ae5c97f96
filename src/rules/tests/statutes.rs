//! Real law as rule books, and what it says. The values come from the acts named in the fixtures, which also say how
//! each was read; none was held against the text in force, so this is test data and no legal information.

use super::sound;
use crate::day::{ClockTime, Day};
use crate::rules::{Answer, Law, RuleBook};
use crate::visit::Visit;

pub(super) fn at(day: &str, time: Option<&str>) -> Visit {
    Visit {
        time: time.map(|time| ClockTime::parse(time).expect(time)),
        ..Visit::on(Day::parse(day).expect(day))
    }
}

/// The answer for a stand that lies in all the books and in no zone of theirs.
pub(super) fn answer(books: &[&RuleBook], visit: &Visit) -> Answer {
    let memberships: Vec<_> = books.iter().map(|book| book.membership_of(&[])).collect();
    Law::on(books, visit).answer(&memberships.iter().collect::<Vec<_>>())
}

#[test]
fn italy_and_trento_stack() {
    let italy = sound(include_bytes!("../../../tests/fixtures/rules/statutes/it.json"));
    let trento = sound(include_bytes!(
        "../../../tests/fixtures/rules/statutes/it-tn.json"
    ));
    let books = [&italy, &trento];
    let memberships = books.map(|book| book.membership_of(&[]));
    let mut visit = at("2026-09-12", None);
    visit.visitor.resident = true.into();
    let verdict = Law::on(&books, &visit).verdict(&memberships.iter().collect::<Vec<_>>());
    assert_eq!(verdict.answer, Answer::Limits);
}
