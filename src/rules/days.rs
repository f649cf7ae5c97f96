//! Sets of days: days of the month, of the week, odd or even, or named. In goes a set and a day, out comes whether the
//! day is in it; the clock and the year's windows are left to `day`.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::day::{Day, Weekday, YearWindow};

/// Odd or even, by the number of the day in its month.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Parity {
    Odd,
    Even,
}

/// Days of the month as bits, bit n for day n.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct MonthDays(u32);

impl MonthDays {
    /// Reads `1-10`, `1,15` or `1-7,20-31`.
    ///
    /// Gives `None` for anything else, such as a day 32 or a range that runs backwards.
    pub fn parse(text: &str) -> Option<MonthDays> {
        let mut days = MonthDays::default();
        for part in text.split(',') {
            let (from, to) = part.split_once('-').unwrap_or((part, part));
            let (from, to): (u8, u8) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
            if from > to {
                return None;
            }
            for day in from..=to {
                days.add(day)?;
            }
        }
        Some(days)
    }

    /// Adds one day, 1 to 31.
    pub fn add(&mut self, day: u8) -> Option<()> {
        (1..=31).contains(&day).then(|| self.0 |= 1 << day)
    }

    /// Whether the day of the month is in it.
    pub fn contains(self, day: u8) -> bool {
        day < 32 && self.0 & (1 << day) != 0
    }

    /// The days as ranges from the first to the last, ends included.
    pub fn ranges(self) -> Vec<(u8, u8)> {
        let mut ranges: Vec<(u8, u8)> = Vec::new();
        for day in (1..=31).filter(|day| self.contains(*day)) {
            match ranges.last_mut() {
                Some((_, last)) if *last + 1 == day => *last = day,
                _ => ranges.push((day, day)),
            }
        }
        ranges
    }
}

impl Serialize for MonthDays {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let ranges: Vec<String> = self
            .ranges()
            .into_iter()
            .map(|(from, to)| {
                if from == to {
                    from.to_string()
                } else {
                    format!("{from}-{to}")
                }
            })
            .collect();
        serializer.serialize_str(&ranges.join(","))
    }
}

/// A set of days: a day is in it if any of its parts names it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct DaySet {
    pub days_of_month: MonthDays,
    #[serde(serialize_with = "weekday_words")]
    pub weekdays: Vec<Weekday>,
    pub parity: Option<Parity>,
    pub dates: BTreeSet<Day>,
}

/// The days of the week as a rule book spells them, Monday first.
pub const WEEKDAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

/// A day of the week as a rule book spells it.
pub fn weekday_word(weekday: Weekday) -> &'static str {
    WEEKDAYS
        .iter()
        .find(|(_, day)| *day == weekday)
        .map_or("", |(word, _)| word)
}

fn weekday_words<S: serde::Serializer>(weekdays: &[Weekday], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(weekdays.iter().map(|weekday| weekday_word(*weekday)))
}

impl DaySet {
    /// Whether the day is in the set.
    pub fn contains(&self, day: Day) -> bool {
        self.days_of_month.contains(day.day_of_month())
            || self.weekdays.iter().any(|weekday| *weekday == day.weekday())
            || match self.parity {
                Some(Parity::Odd) => !day.day_of_month().is_multiple_of(2),
                Some(Parity::Even) => day.day_of_month().is_multiple_of(2),
                None => false,
            }
            || self.dates.contains(&day)
    }
}

/// Whether the day lies in one of the windows.
pub(super) fn in_any(windows: &[YearWindow], day: Day) -> bool {
    windows.iter().any(|window| window.contains(day))
}
