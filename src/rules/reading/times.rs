//! Days and hours in a rule book: sets of days, windows of hours by the clock or by the sun, and what is open or closed
//! in them.

use super::super::days::{DaySet, MonthDays, Parity, WEEKDAYS};
use super::super::document::{Fields, Item, Log, excerpt};
use super::super::kind::{Clock, HourWindow, Openness};
use super::words::{checked, day, not_empty, word};
use crate::day::ClockTime;
use crate::order::Gather;

/// The fields that name days; `None` if none of them is there.
pub(super) fn day_set(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<DaySet> {
    let mut set = DaySet::default();
    if let Some(item) = fields.take("days_of_month") {
        set.days_of_month = month_days(&item, log)?;
    }
    if let Some(item) = fields.take("weekdays") {
        for item in &item.list(log)? {
            set.weekdays.extend(word(item, log, "weekday", &WEEKDAYS));
        }
    }
    if let Some(item) = fields.take("parity") {
        set.parity = word(
            &item,
            log,
            "parity",
            &[("odd", Parity::Odd), ("even", Parity::Even)],
        );
    }
    if let Some(item) = fields.take("dates") {
        set.dates = item
            .list(log)?
            .iter()
            .filter_map(|item| day(item, log))
            .into_set();
    }
    (set != DaySet::default()).then_some(set)
}

/// `"1-10"`, or a list of whole numbers.
fn month_days(item: &Item<'_>, log: &mut Log<'_>) -> Option<MonthDays> {
    if item.is_list() {
        let mut days = MonthDays::default();
        for item in &item.list(log)? {
            let day = item.whole(log, 1, 31)?;
            days.add(u8::try_from(day).ok()?);
        }
        return Some(days);
    }
    let text = item.text(log)?;
    let days = MonthDays::parse(text);
    if days.is_none() {
        log.refuse(
            "days-of-month",
            item,
            format!("`days_of_month` is `{}`", excerpt(text)),
            "days such as `1-10` or `1,15` between 1 and 31",
            "",
        );
    }
    days
}

/// `open` or `closed`, one of them.
pub(super) fn openness<W>(
    fields: &mut Fields<'_>,
    log: &mut Log<'_>,
    read: impl Fn(&Item<'_>, &mut Log<'_>) -> Option<Vec<W>>,
) -> Option<Openness<W>> {
    match (fields.take("open"), fields.take("closed")) {
        (Some(item), None) => read(&item, log).map(Openness::Open),
        (None, Some(item)) => read(&item, log).map(Openness::Closed),
        (Some(_), Some(item)) => {
            log.refuse(
                "open-and-closed",
                &item,
                "both `open` and `closed` are given",
                "one of them",
                "write two rules if the law has both",
            );
            None
        }
        (None, None) => {
            log.refuse(
                "missing-field",
                fields.object(),
                "neither `open` nor `closed` is given",
                "one of them, such as `{\"from\": \"...\", \"to\": \"...\"}`",
                "",
            );
            None
        }
    }
}

pub(super) fn hour_windows(item: &Item<'_>, log: &mut Log<'_>) -> Option<Vec<HourWindow>> {
    let windows = item.one_or_list(log)?;
    let mut read = Vec::new();
    for item in &windows {
        let mut fields = item.fields(log)?;
        let from = fields
            .need("from", log, "a time such as `07:00` or `sunrise-01:00`")
            .and_then(|item| clock(&item, log));
        let to = fields
            .need("to", log, "a time such as `19:00` or `sunset+01:00`")
            .and_then(|item| clock(&item, log));
        let object = fields.object().clone();
        fields.finish(log, "a window of hours", &["from", "to"]);
        let (from, to) = (from?, to?);
        if from == to {
            log.refuse(
                "hours",
                &object,
                "the window begins and ends at the same time",
                "two times",
                "write `00:00` and `24:00` for the whole day",
            );
            return None;
        }
        read.push(HourWindow { from, to });
    }
    not_empty(read, item, log)
}

/// `07:00`, `sunrise`, `sunset+01:00`.
fn clock(item: &Item<'_>, log: &mut Log<'_>) -> Option<Clock> {
    let text = item.text(log)?;
    for (word, sun) in [
        ("sunrise", Clock::Sunrise as fn(i16) -> Clock),
        ("sunset", Clock::Sunset),
    ] {
        let Some(rest) = text.strip_prefix(word) else {
            continue;
        };
        if rest.is_empty() {
            return Some(sun(0));
        }
        let sign = match rest.chars().next() {
            Some('+') => 1,
            Some('-') => -1,
            _ => 0,
        };
        let minutes = rest
            .get(1..)
            .and_then(|time| ClockTime::parse(time).ok())
            .and_then(|time| i16::try_from(time.minutes()).ok())
            .filter(|minutes| *minutes <= 720);
        if let (true, Some(minutes)) = (sign != 0, minutes) {
            return Some(sun(sign * minutes));
        }
        log.refuse(
            "time",
            item,
            format!("`{}` is `{}`", item.name(), excerpt(text)),
            format!("`{word}`, or with hours before or after it such as `{word}-01:00`"),
            "",
        );
        return None;
    }
    checked(ClockTime::parse(text), item, log, "time").map(Clock::At)
}
