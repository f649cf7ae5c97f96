//! What comes next: the first day, or time of day, on which a stand turns from closed to something else or to closed.
//! In goes a law with a stand's memberships, out comes the next turn within four hundred days.

use super::book::RuleBook;
use super::calendar::Alike;
use super::law::Law;
use super::message::{Arg, Message};
use super::verdict::{Answer, Next};
use super::weigh::turns;
use super::zone::Membership;
use crate::day::{ClockTime, Day};
use crate::visit::Visit;

/// How far to look ahead: every yearly window turns within it.
const DAYS_AHEAD: u16 = 400;

pub(super) fn next(law: &Law<'_>, memberships: &[&Membership], now: Answer) -> Option<Next> {
    let mut alike = Alike::of(law, memberships)?;
    let hours: Vec<ClockTime> = match law.visit.time {
        None => Vec::new(),
        Some(_) => hours(alike.books()),
    };
    let closed = now == Answer::Closed;
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
            let becomes = alike.answer(&visit);
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
