//! What comes next: the first day, or time of day, on which a stand turns from closed to something else or to closed.
//! In goes a law with a stand's memberships, out comes the next turn within four hundred days.

use super::book::{Rule, RuleBook};
use super::calendar::Alike;
use super::kind::{Clock, Openness, Provision};
use super::law::Law;
use super::message::{Arg, Message};
use super::sun::{event, on_the_clock};
use super::verdict::{Answer, Next};
use super::weigh::{turns, windows};
use super::zone::Membership;
use crate::day::{ClockTime, Day};
use crate::order;
use crate::visit::Visit;

/// How far to look ahead: every yearly window turns within it.
const DAYS_AHEAD: u16 = 400;

/// A turn is looked for until so many rules were weighed: a second or two for a book that is made to take for ever.
const MOST_WEIGHED: usize = 5_000_000;

pub(super) fn next(law: &Law<'_>, memberships: &[&Membership], now: Answer) -> Option<Next> {
    let mut alike = Alike::of(law, memberships)?;
    let hours: Vec<ClockTime> = match law.visit.time {
        None => Vec::new(),
        Some(_) => hours(alike.books()),
    };
    let mut sun: Vec<SunBound> = match law.visit.time {
        None => Vec::new(),
        Some(_) => alike
            .books()
            .iter()
            .flat_map(|book| book.rules.iter().flat_map(sun_turns))
            .collect(),
    };
    order::naturally(&mut sun);
    sun.dedup();
    let rules: usize = alike.books().iter().map(|book| book.rules.len()).sum();
    let mut weighed = 0;
    let closed = now == Answer::Closed;
    let mut day = law.visit.day;
    for ahead in 0..DAYS_AHEAD {
        let mut times: Vec<(Option<ClockTime>, Option<Instant>)> = match law.visit.time {
            None if ahead == 0 => Vec::new(),
            None => vec![(None, None)],
            Some(_) => hours.iter().map(|hour| (Some(*hour), None)).collect(),
        };
        times.extend(sun.iter().filter_map(|bound| {
            let (time, instant) = sun_turn(law, *bound, day)?;
            Some((Some(time), Some(instant)))
        }));
        order::by_key(&mut times, |(time, instant)| (*time, instant.is_some()));
        times.retain(|(time, _)| ahead > 0 || time.is_none() || *time > law.visit.time);
        for (time, instant) in times {
            weighed += rules;
            if weighed > MOST_WEIGHED {
                return None;
            }
            let visit = Visit {
                day,
                time,
                ..law.visit.clone()
            };
            let becomes = alike.answer(&visit);
            if (becomes == Answer::Closed) != closed {
                return Some(turn(day, time, instant, becomes, law));
            }
        }
        day = day.next();
    }
    None
}

/// A bound by the sun, and whether its later or its earlier minute counts.
type SunBound = (Clock, bool);
/// A moment as minutes of universal time from 00:00 of a day.
type Instant = (Day, i64);

/// The bounds by the sun at which a rule may begin or cease to close.
fn sun_turns(rule: &Rule) -> Vec<SunBound> {
    let open = matches!(
        &rule.provision,
        Provision::Hours {
            openness: Openness::Open(_),
            ..
        }
    );
    windows(rule)
        .iter()
        .flat_map(|window| [(window.from, open), (window.to, !open)])
        .filter(|(clock, _)| !matches!(clock, Clock::At(_)))
        .collect()
}

/// The clock time of a turn by the sun on a day. Should the clocks change between the visit and that day, it is the
/// time on a clock that was not changed; the moment itself is right.
fn sun_turn(law: &Law<'_>, (clock, later): SunBound, day: Day) -> Option<(ClockTime, Instant)> {
    let (place, offset) = (law.place?, i64::from(law.visit.utc_offset?));
    let minutes = event(clock, day, place, offset, later)?;
    let (on, time) = on_the_clock(day, minutes, offset)?;
    (on == day).then_some((time, (day, minutes)))
}

/// Midnight, and every time at which a rule of these books may begin or cease to close.
fn hours(books: &[&RuleBook]) -> Vec<ClockTime> {
    let mut hours: Vec<ClockTime> = books
        .iter()
        .flat_map(|book| book.rules.iter().flat_map(turns))
        .filter(|time| time.minutes() < 24 * 60)
        .chain(ClockTime::parse("00:00").ok())
        .collect();
    order::naturally(&mut hours);
    hours.dedup();
    hours
}

fn turn(on: Day, at: Option<ClockTime>, sun: Option<Instant>, becomes: Answer, law: &Law<'_>) -> Next {
    let key = match (becomes, at) {
        (Answer::NotKnown, _) => "law.next.unsure",
        (Answer::Closed, None) => "law.next.closes",
        (Answer::Closed, Some(_)) => "law.next.closes_at",
        (_, None) => "law.next.opens",
        (_, Some(_)) => "law.next.opens_at",
    };
    let message = Message::plain(key).with("date", Arg::Date(on));
    let time = match sun {
        // Whoever words it knows the zone, and so the clock of that day.
        Some((day, minutes)) => law.books.first().map(|on_day| Arg::Instant {
            day,
            minutes,
            time_zone: on_day.book.region.time_zone.clone(),
        }),
        None => at.map(Arg::Time),
    };
    Next {
        on,
        at,
        becomes,
        message: match time {
            Some(time) if becomes != Answer::NotKnown => message.with("time", time),
            _ => message,
        },
    }
}
