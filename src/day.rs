//! Calendar days, windows of the year that may wrap New Year, and clock times. In goes text, out come checked
//! values; no clock is read here, so today is always an argument.

use std::fmt;

use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::{Serialize, Serializer};

/// Text that is not a day, a day of the year or a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotADay {
    /// What was found.
    pub found: String,
    /// What is expected, with an example.
    pub expected: &'static str,
}

impl fmt::Display for NotADay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`, expected {}", self.found, self.expected)
    }
}

impl std::error::Error for NotADay {}

/// One day of the Gregorian calendar, with no time zone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(Date);

/// Days of the week, Monday first as in ISO 8601.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl Day {
    /// Reads `YYYY-MM-DD` (ISO 8601 calendar date, extended form).
    ///
    /// # Errors
    /// [`NotADay`] for anything else, such as 31 February.
    pub fn parse(text: &str) -> Result<Day, NotADay> {
        let refuse = || NotADay {
            found: text.to_owned(),
            expected: "a day such as `2026-09-12`",
        };
        if !is_shaped(text, "dddd-dd-dd") {
            return Err(refuse());
        }
        text.parse().map(Day).map_err(|_| refuse())
    }

    /// The day of that year, month (1 to 12) and day of the month, if there is one.
    pub fn new(year: i16, month: u8, day: u8) -> Option<Day> {
        Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?)
            .ok()
            .map(Day)
    }

    /// The calendar year.
    pub fn year(self) -> i16 {
        self.0.year()
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u8 {
        self.0.month().unsigned_abs()
    }

    /// The day of the month, 1 to 31.
    pub fn day_of_month(self) -> u8 {
        self.0.day().unsigned_abs()
    }

    /// The day of the year, 1 to 366.
    pub fn day_of_year(self) -> u16 {
        self.0.day_of_year().unsigned_abs()
    }

    /// The day of the week.
    pub fn weekday(self) -> Weekday {
        match self.0.weekday() {
            jiff::civil::Weekday::Monday => Weekday::Monday,
            jiff::civil::Weekday::Tuesday => Weekday::Tuesday,
            jiff::civil::Weekday::Wednesday => Weekday::Wednesday,
            jiff::civil::Weekday::Thursday => Weekday::Thursday,
            jiff::civil::Weekday::Friday => Weekday::Friday,
            jiff::civil::Weekday::Saturday => Weekday::Saturday,
            jiff::civil::Weekday::Sunday => Weekday::Sunday,
        }
    }

    /// The day after; the last day of the calendar is its own successor.
    pub fn next(self) -> Day {
        Day(self.0.saturating_add(1.day()))
    }

    /// The day before; the first day of the calendar is its own predecessor.
    pub fn previous(self) -> Day {
        Day(self.0.saturating_sub(1.day()))
    }

    /// So many days on, or back where negative; the calendar's ends are their own neighbours.
    pub fn plus_days(self, days: i32) -> Day {
        Day(self.0.saturating_add(i64::from(days).days()))
    }

    /// Days from this day to another; negative where that lies before.
    pub fn days_to(self, other: Day) -> i32 {
        (other.0 - self.0).get_days()
    }

    /// The same calendar day so many years on; 29 February becomes 28 February where there is none.
    pub fn plus_years(self, years: i16) -> Day {
        Day(self.0.saturating_add(i64::from(years).years()))
    }

    /// The month and day without the year.
    pub fn month_day(self) -> MonthDay {
        MonthDay {
            month: self.month(),
            day: self.day_of_month(),
        }
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:04}-{:02}-{:02}",
            self.year(),
            self.month(),
            self.day_of_month()
        )
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A day of any year, such as 11 October.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonthDay {
    month: u8,
    day: u8,
}

impl MonthDay {
    /// Reads `MM-DD`; 29 February is a day of the year, 30 February is not.
    ///
    /// # Errors
    /// [`NotADay`] for anything else.
    pub fn parse(text: &str) -> Result<MonthDay, NotADay> {
        let refuse = || NotADay {
            found: text.to_owned(),
            expected: "a day of the year such as `02-28` (month, then day)",
        };
        if !is_shaped(text, "dd-dd") {
            return Err(refuse());
        }
        let (month, day) = text.split_once('-').ok_or_else(refuse)?;
        match (month.parse(), day.parse()) {
            // 2024 is a leap year, so every day of the year exists in it.
            (Ok(month), Ok(day)) if Day::new(2024, month, day).is_some() => Ok(MonthDay { month, day }),
            _ => Err(refuse()),
        }
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, 1 to 31.
    pub fn day(self) -> u8 {
        self.day
    }
}

impl fmt::Display for MonthDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

impl Serialize for MonthDay {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A yearly window, both ends included. Where `from` lies after `to` it wraps New Year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct YearWindow {
    /// First day in it.
    pub from: MonthDay,
    /// Last day in it.
    pub to: MonthDay,
}

impl YearWindow {
    /// Whether the day lies in the window.
    pub fn contains(self, day: Day) -> bool {
        let day = day.month_day();
        if self.from <= self.to {
            self.from <= day && day <= self.to
        } else {
            self.from <= day || day <= self.to
        }
    }
}

/// A time of day to the minute, 00:00 to 24:00.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClockTime(u16);

impl ClockTime {
    /// Reads `HH:MM`; 24:00 is the end of the day.
    ///
    /// # Errors
    /// [`NotADay`] for anything else.
    pub fn parse(text: &str) -> Result<ClockTime, NotADay> {
        let refuse = || NotADay {
            found: text.to_owned(),
            expected: "a time such as `07:00` (hours, then minutes)",
        };
        if !is_shaped(text, "dd:dd") {
            return Err(refuse());
        }
        let (hours, minutes) = text.split_once(':').ok_or_else(refuse)?;
        match (hours.parse::<u16>(), minutes.parse::<u16>()) {
            (Ok(hours), Ok(minutes)) if minutes < 60 && hours * 60 + minutes <= 24 * 60 => {
                Ok(ClockTime(hours * 60 + minutes))
            }
            _ => Err(refuse()),
        }
    }

    /// Minutes since midnight.
    pub fn minutes(self) -> u16 {
        self.0
    }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl Serialize for ClockTime {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Whether the text has the shape; `d` stands for an ASCII digit, anything else for itself.
fn is_shaped(text: &str, shape: &str) -> bool {
    text.len() == shape.len()
        && text
            .bytes()
            .zip(shape.bytes())
            .all(|(found, wanted)| match wanted {
                b'd' => found.is_ascii_digit(),
                other => found == other,
            })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_do_not_exist_are_refused_with_an_example() {
        for text in [
            "2026-02-31",
            "2025-02-29",
            "2026-2-3",
            "12.09.2026",
            "",
            "2026-09-12T10:00",
            "+002026-09-12",
        ] {
            let error = Day::parse(text).expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("`{text}`, expected a day such as `2026-09-12`")
            );
        }
        assert_eq!(
            Day::parse("2024-02-29").expect("leap day").to_string(),
            "2024-02-29"
        );
    }

    #[test]
    fn windows_include_both_ends_and_may_wrap_new_year() {
        let window = |from, to| YearWindow {
            from: MonthDay::parse(from).expect("from"),
            to: MonthDay::parse(to).expect("to"),
        };
        let day = |text| Day::parse(text).expect("day");
        for (from, to, on, expected) in [
            ("06-15", "09-30", "2026-06-15", true),
            ("06-15", "09-30", "2026-09-30", true),
            ("06-15", "09-30", "2026-10-01", false),
            ("11-01", "02-29", "2027-01-10", true),
            ("11-01", "02-28", "2028-02-29", false),
            ("11-01", "02-28", "2026-10-31", false),
        ] {
            assert_eq!(
                window(from, to).contains(day(on)),
                expected,
                "{from}..{to} on {on}"
            );
        }
    }

    #[test]
    fn days_of_the_year_and_times_are_checked() {
        assert!(MonthDay::parse("02-29").is_ok());
        assert_eq!(
            MonthDay::parse("31-02").expect_err("month 31").to_string(),
            "`31-02`, expected a day of the year such as `02-28` (month, then day)"
        );
        assert_eq!(ClockTime::parse("24:00").expect("end of day").minutes(), 1440);
        for text in ["24:01", "7:00", "07:60", "07.00"] {
            assert!(ClockTime::parse(text).is_err(), "{text}");
        }
    }
}
