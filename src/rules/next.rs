//! What comes next: the first day, or time of day, on which a stand turns from closed to something else or to closed.
//! In goes a law with a stand's memberships, out comes the next turn within four hundred days.

use super::book::{BookState, RuleBook};
use super::law::Law;
use super::message::{Arg, Message};
use super::verdict::{Answer, Next};
use super::weigh::{RuleOnDay, turns};
use super::zone::Membership;
use crate::day::{ClockTime, Day};
use crate::visit::Visit;

/// How far to look ahead: every yearly window turns within it.
const DAYS_AHEAD: u16 = 400;

/// What decides an answer, apart from the place: the same key, the same answer.
type Key = Vec<(BookState, Vec<(u8, u8, u8)>)>;

pub(super) fn next(law: &Law<'_>, memberships: &[&Membership], now: Answer) -> Option<Next> {
    let books: Vec<&RuleBook> = law.books.iter().map(|on_day| on_day.book).collect();
    // Books that were left out as doubles are left out here as well.
    let memberships: Vec<&Membership> = law
        .books
        .iter()
        .filter_map(|on_day| law.membership(on_day, memberships))
        .collect();
    if books.is_empty() || memberships.len() != books.len() {
        return None;
    }
    let hours: Vec<ClockTime> = match law.visit.time {
        None => Vec::new(),
        Some(_) => hours(&books),
    };
    let closed = now == Answer::Closed;
    let mut known: Vec<(Key, Answer)> = Vec::new();
    let mut day = law.visit.day;
    for ahead in 0..DAYS_AHEAD {
        let times: Vec<Option<ClockTime>> = match law.visit.time {
            None if ahead == 0 => Vec::new(),
            None => vec![None],
            Some(time) => hours
                .iter()
                .copied()
                .filter(|hour| ahead > 0 || *hour > time)
                .map(Some)
                .collect(),
        };
        for time in times {
            let visit = Visit {
                day,
                time,
                visitor: law.visit.visitor.clone(),
            };
            let becomes = answer(&books, &visit, law, &memberships, &mut known);
            if (becomes == Answer::Closed) != closed {
                return Some(turn(day, time, becomes));
            }
        }
        day = day.next();
    }
    None
}

/// Midnight, and every time at which a rule of these books may begin or cease to close.
fn hours(books: &[&RuleBook]) -> Vec<ClockTime> {
    let mut hours: Vec<ClockTime> = books
        .iter()
        .flat_map(|book| book.rules.iter().flat_map(turns))
        .filter(|time| time.minutes() < 24 * 60)
        .chain(ClockTime::parse("00:00").ok())
        .collect();
    hours.sort_unstable();
    hours.dedup();
    hours
}

/// The answer at another time. Most days are alike, and alike days are weighed once.
fn answer(
    books: &[&RuleBook],
    visit: &Visit,
    law: &Law<'_>,
    memberships: &[&Membership],
    known: &mut Vec<(Key, Answer)>,
) -> Answer {
    let key: Key = books
        .iter()
        .map(|book| {
            let rules = book.rules.iter().map(|rule| {
                let today = RuleOnDay::of(rule, book, visit, &law.gear);
                (today.holds() as u8, today.effect as u8, today.sure as u8)
            });
            (book.state_on(visit.day), rules.collect())
        })
        .collect();
    if let Some((_, answer)) = known.iter().find(|(other, _)| *other == key) {
        return *answer;
    }
    let answer = Law::with_gear(books, visit, &law.gear).answer(memberships);
    known.push((key, answer));
    answer
}

fn turn(on: Day, at: Option<ClockTime>, becomes: Answer) -> Next {
    let key = match (becomes, at) {
        (Answer::NotKnown, _) => "law.next.unsure",
        (Answer::Closed, None) => "law.next.closes",
        (Answer::Closed, Some(_)) => "law.next.closes_at",
        (_, None) => "law.next.opens",
        (_, Some(_)) => "law.next.opens_at",
    };
    let message = Message::plain(key).with("date", Arg::Date(on));
    Next {
        on,
        at,
        becomes,
        message: match at {
            Some(time) if becomes != Answer::NotKnown => message.with("time", Arg::Time(time)),
            _ => message,
        },
    }
}
