//! Reads a file of daily weather. In go bytes, JSON or CSV, and today where the caller knows it; out come days in order,
//! each once, and what was odd. A bad value is taken as not known and told; only a file that holds no days at all is
//! refused.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;
use serde_json::Value;

use super::{Weather, WeatherDay};
use crate::day::Day;
use crate::geometry::LngLat;
use crate::order;
use crate::units::{Elevation, Latitude, Longitude};

/// What the JSON form says in its member `format`.
pub const FORMAT: &str = "hostwood-weather/1.0";

/// So many days are kept, the last ones.
const DAYS_AT_MOST: i32 = 4000;
/// A finding names at most so many places.
const EXAMPLES_AT_MOST: usize = 3;

/// The columns of the CSV form, and the members of a day in the JSON form.
const COLUMNS: [&str; 6] = ["date", "rain", "low", "high", "snow", "forecast"];
/// Columns of the CSV form that speak of the station; members of the whole file in the JSON form.
const STATION: [&str; 4] = ["station", "lng", "lat", "elevation"];

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Something was lost.
    Error,
    /// Something was changed or taken with doubt.
    Warning,
    /// Something to know.
    Note,
}

/// One kind of oddity, met once or many times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What kind, such as `bad-value`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The column or member it was met in.
    pub property: Option<&'static str>,
    /// Where it was met first, what was found, what was done and what to do.
    pub message: String,
    /// How many times it was met.
    pub count: usize,
    /// Up to three places.
    pub examples: Vec<String>,
}

/// Why a whole file cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable(pub String);

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "weather file: {}", self.0)
    }
}

impl std::error::Error for Unreadable {}

/// A file, read.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// The days.
    pub weather: Weather,
    /// What was odd, worst first.
    pub findings: Vec<Finding>,
}

/// One day as it is written, and where it stands.
struct Row {
    at: String,
    cells: [Value; 6],
}

/// Reads a file of daily weather.
///
/// `today` is the day where the forest is; with it, later days that are not marked as forecast are told.
///
/// # Errors
/// [`Unreadable`] where the file is neither form or holds no day.
pub fn read(bytes: &[u8], today: Option<Day>) -> Result<Read, Unreadable> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Unreadable("its bytes are not UTF-8 text; save it as UTF-8".to_owned()))?
        .trim_start_matches('\u{feff}');
    let mut desk = Desk::default();
    let (rows, mut weather) = if text.trim_start().starts_with('{') {
        json(text, &mut desk)?
    } else {
        csv_rows(text, &mut desk)?
    };
    let days = in_order(rows, &mut desk);
    if days.is_empty() {
        return Err(Unreadable(
            "it holds no day with a date such as `2026-09-12`; give one row a day".to_owned(),
        ));
    }
    weather.days = filled(marked(days, today, &mut desk), &mut desk);
    Ok(Read {
        weather,
        findings: desk.into_sorted(),
    })
}

/// The JSON form.
fn json(text: &str, desk: &mut Desk) -> Result<(Vec<Row>, Weather), Unreadable> {
    let file: Value = serde_json::from_str(text)
        .map_err(|error| Unreadable(format!("it begins as JSON and cannot be read: {error}")))?;
    match file.get("format").and_then(Value::as_str) {
        Some(FORMAT) => {}
        found => {
            let found = found.map_or("no `format`".to_owned(), |found| format!("the format `{found}`"));
            return Err(Unreadable(format!(
                "found {found}, expected `\"format\": \"{FORMAT}\"`"
            )));
        }
    }
    let Some(days) = file.get("days").and_then(Value::as_array) else {
        return Err(Unreadable(
            "it has no array `days`; give one object a day, such as {\"date\": \"2026-09-12\", \"rain\": 3.5}"
                .to_owned(),
        ));
    };
    let known = ["format", "days", "station", "place", "elevation", "$comment"];
    unknown(
        file.as_object().into_iter().flat_map(|file| file.keys()),
        &known,
        desk,
    );
    let mut weather = Weather {
        station: file.get("station").and_then(Value::as_str).map(ToOwned::to_owned),
        ..Weather::default()
    };
    if let Some(place) = file.get("place").filter(|place| !place.is_null()) {
        let pair = |at: usize| place.get(at).and_then(Value::as_f64);
        weather.place = position(pair(0), pair(1));
        if weather.place.is_none() {
            desk.bad("place", "the file", place, "`[longitude, latitude]` in degrees");
        }
    }
    weather.elevation = height(file.get("elevation"), desk);
    let rows = days.iter().enumerate().map(|(place, day)| {
        if let Some(members) = day.as_object() {
            unknown(members.keys(), &COLUMNS, desk);
        }
        Row {
            at: format!("day {}", place + 1),
            cells: COLUMNS.map(|name| day.get(name).cloned().unwrap_or_default()),
        }
    });
    Ok((rows.collect(), weather))
}

/// The CSV form: comma or semicolon between cells; with semicolons numbers may have a decimal comma.
fn csv_rows(text: &str, desk: &mut Desk) -> Result<(Vec<Row>, Weather), Unreadable> {
    let header = text.lines().next().unwrap_or_default();
    let semicolons = header.contains(';');
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(if semicolons { b';' } else { b',' })
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .map(|head| head.iter().map(str::to_lowercase).collect())
        .unwrap_or_default();
    if !head.iter().any(|name| name == "date") {
        let shown: String = header.chars().take(60).collect();
        return Err(Unreadable(format!(
            "it is neither JSON nor CSV with a column `date`: its first line is `{shown}`; name the columns {}",
            COLUMNS.map(|name| format!("`{name}`")).join(", ")
        )));
    }
    let known: Vec<&str> = COLUMNS.iter().chain(&STATION).copied().collect();
    unknown(head.iter().filter(|name| !name.is_empty()), &known, desk);
    let mut weather = Weather::default();
    let mut rows = Vec::new();
    for (place, record) in reader.records().enumerate() {
        let record = record.map_err(|error| Unreadable(format!("it cannot be read as CSV: {error}")))?;
        let cell = |name: &str| -> Value {
            let found = head
                .iter()
                .position(|known| known == name)
                .and_then(|at| record.get(at));
            match found.filter(|text| !text.is_empty()) {
                Some(text) if semicolons => Value::String(text.replace(',', ".")),
                Some(text) => Value::String(text.to_owned()),
                None => Value::Null,
            }
        };
        if place == 0 {
            let [station, lng, lat, elevation] = STATION.map(cell);
            weather.station = station.as_str().map(ToOwned::to_owned);
            if !lng.is_null() || !lat.is_null() {
                weather.place = position(number(&lng), number(&lat));
                if weather.place.is_none() {
                    desk.bad("place", "line 2", &lat, "`lng` and `lat` in degrees");
                }
            }
            weather.elevation = height(Some(&elevation), desk);
        }
        rows.push(Row {
            at: format!(
                "line {}",
                record.position().map_or(place as u64 + 2, csv::Position::line)
            ),
            cells: COLUMNS.map(cell),
        });
    }
    Ok((rows, weather))
}

fn position(lng: Option<f64>, lat: Option<f64>) -> Option<LngLat> {
    let (lng, lat) = (Longitude::new(lng?).ok()?, Latitude::new(lat?).ok()?);
    Some(LngLat {
        lng: lng.get(),
        lat: lat.get(),
    })
}

fn height(cell: Option<&Value>, desk: &mut Desk) -> Option<Elevation> {
    let cell = cell.filter(|cell| !cell.is_null())?;
    let height = number(cell).and_then(|metres| Elevation::new(metres).ok());
    if height.is_none() {
        desk.bad(
            "elevation",
            "the file",
            cell,
            "metres above the sea, -500 to 9000",
        );
    }
    height
}

fn number(cell: &Value) -> Option<f64> {
    match cell {
        Value::Number(number) => number.as_f64(),
        Value::String(text) => text.trim().parse().ok().filter(|number: &f64| number.is_finite()),
        _ => None,
    }
}

fn unknown<'k>(names: impl Iterator<Item = &'k String>, known: &[&str], desk: &mut Desk) {
    for name in names.filter(|name| !known.contains(&name.as_str())) {
        desk.tell("unknown-column", Severity::Note, None, name, || {
            let known: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
            format!("`{name}` is not read. Known are {}.", known.join(", "))
        });
    }
}

/// Rows as days, each date once, in order.
fn in_order(rows: Vec<Row>, desk: &mut Desk) -> Vec<WeatherDay> {
    let mut days: BTreeMap<Day, WeatherDay> = BTreeMap::new();
    let mut before: Option<Day> = None;
    for row in rows {
        let [date, ..] = &row.cells;
        let Some(date) = date.as_str().and_then(|text| Day::parse(text).ok()) else {
            let found = shown(date);
            desk.tell("bad-date", Severity::Error, Some("date"), &row.at, || {
                format!(
                    "{}, `date`: found {found}, expected a day such as `2026-09-12`; the row is left out.",
                    row.at
                )
            });
            continue;
        };
        if before.is_some_and(|before| date < before) {
            desk.tell(
                "out-of-order",
                Severity::Warning,
                Some("date"),
                &date.to_string(),
                || {
                    format!(
                        "{}: {date} stands after a later day; the days are put in order.",
                        row.at
                    )
                },
            );
        }
        before = Some(date);
        if days.contains_key(&date) {
            desk.tell(
                "date-twice",
                Severity::Warning,
                Some("date"),
                &date.to_string(),
                || format!("{}: {date} is given twice; the first row counts.", row.at),
            );
            continue;
        }
        days.insert(date, day(date, &row, desk));
    }
    days.into_values().collect()
}

fn day(date: Day, row: &Row, desk: &mut Desk) -> WeatherDay {
    let [_, rain, low, high, snow, forecast] = &row.cells;
    let mut value = |property: &'static str, cell: &Value, from: f64, to: f64, expected: &str| {
        if cell.is_null() {
            return None;
        }
        let found = number(cell).filter(|number| (from..=to).contains(number));
        if found.is_none() {
            desk.bad(property, &date.to_string(), cell, expected);
        }
        found
    };
    // The wettest, coldest and hottest days that were ever measured lie within these (World Meteorological Organization,
    // archive of extremes, from memory: 1825 mm, -89.2 and 56.7 degrees).
    let rain = value("rain", rain, 0.0, 2000.0, "millimetres, 0 to 2000");
    let mut low = value("low", low, -90.0, 60.0, "degrees Celsius, -90 to 60");
    let mut high = value("high", high, -90.0, 60.0, "degrees Celsius, -90 to 60");
    let snow = value("snow", snow, 0.0, 2000.0, "centimetres that lie, 0 to 2000");
    if let (Some(lowest), Some(highest)) = (low, high)
        && lowest > highest
    {
        desk.tell("low-above-high", Severity::Warning, Some("low"), &date.to_string(), || {
            format!(
                "{date}: `low` is {lowest} and `high` is {highest}; both are taken as not known. Correct the values."
            )
        });
        (low, high) = (None, None);
    }
    let forecast =
        match forecast {
            Value::Null => false,
            Value::Bool(forecast) => *forecast,
            cell => {
                match cell.as_str().map(str::to_lowercase).as_deref() {
                    Some("true" | "yes" | "1") => true,
                    Some("false" | "no" | "0") => false,
                    _ => {
                        // What may be a forecast is not taken as measured.
                        desk.tell("bad-value", Severity::Warning, Some("forecast"), &date.to_string(), || {
                    format!(
                        "{date}, `forecast`: found {}, expected true or false; taken as a forecast.",
                        shown(cell)
                    )
                });
                        true
                    }
                }
            }
        };
    WeatherDay {
        date,
        rain,
        low,
        high,
        snow,
        forecast,
    }
}

/// Marks as forecast what cannot have been measured.
fn marked(mut days: Vec<WeatherDay>, today: Option<Day>, desk: &mut Desk) -> Vec<WeatherDay> {
    let mut forecast_before = false;
    for day in &mut days {
        let date = day.date;
        if !day.forecast && today.is_some_and(|today| date > today) {
            desk.tell("future-not-forecast", Severity::Warning, Some("forecast"), &date.to_string(), || {
                format!("{date} lies ahead and is not marked as forecast; taken as one. Mark days ahead with `forecast`.")
            });
            day.forecast = true;
        } else if !day.forecast && forecast_before {
            desk.tell(
                "measured-after-forecast",
                Severity::Warning,
                Some("forecast"),
                &date.to_string(),
                || format!("{date} follows a forecast day and is not marked as forecast; taken as one. Mark both or none."),
            );
            day.forecast = true;
        }
        forecast_before |= day.forecast;
    }
    days
}

/// Every day from the first to the last; days that the file leaves out have nothing told.
fn filled(days: Vec<WeatherDay>, desk: &mut Desk) -> Vec<WeatherDay> {
    let Some(last) = days.last().map(|day| day.date) else {
        return days;
    };
    let earliest = last.plus_days(1 - DAYS_AT_MOST);
    let mut all: Vec<WeatherDay> = Vec::new();
    for day in days {
        if day.date < earliest {
            desk.tell(
                "long-ago",
                Severity::Note,
                Some("date"),
                &day.date.to_string(),
                || {
                    format!(
                        "{} lies more than {DAYS_AT_MOST} days before the last day; left out.",
                        day.date
                    )
                },
            );
            continue;
        }
        if let Some(before) = all.last().map(|before| before.date) {
            let (mut next, forecast) = (before.next(), day.forecast);
            while next < day.date {
                let missing = next;
                desk.tell(
                    "days-missing",
                    Severity::Warning,
                    Some("date"),
                    &missing.to_string(),
                    || {
                        format!(
                            "{missing} is missing between {before} and {}; taken as not known.",
                            day.date
                        )
                    },
                );
                all.push(WeatherDay {
                    forecast,
                    ..WeatherDay::untold(next)
                });
                next = next.next();
            }
        }
        all.push(day);
    }
    all
}

fn shown(cell: &Value) -> String {
    match cell {
        Value::Null => "nothing".to_owned(),
        Value::String(text) => format!("`{}`", text.chars().take(40).collect::<String>()),
        other => format!("`{other}`").chars().take(42).collect(),
    }
}

/// Findings as they come in, those alike counted together.
#[derive(Default)]
struct Desk(Vec<Finding>);

impl Desk {
    fn tell(
        &mut self,
        code: &'static str,
        severity: Severity,
        property: Option<&'static str>,
        place: &str,
        message: impl FnOnce() -> String,
    ) {
        let alike = self
            .0
            .iter_mut()
            .find(|known| known.code == code && known.property == property);
        match alike {
            Some(known) => {
                known.count += 1;
                if known.examples.len() < EXAMPLES_AT_MOST {
                    known.examples.push(place.to_owned());
                }
            }
            None => self.0.push(Finding {
                code,
                severity,
                property,
                message: message(),
                count: 1,
                examples: vec![place.to_owned()],
            }),
        }
    }

    fn bad(&mut self, property: &'static str, place: &str, cell: &Value, expected: &str) {
        self.tell("bad-value", Severity::Warning, Some(property), place, || {
            format!(
                "{place}, `{property}`: found {}, expected {expected}; taken as not known.",
                shown(cell)
            )
        });
    }

    fn into_sorted(self) -> Vec<Finding> {
        let mut findings = self.0;
        order::by_key(&mut findings, |finding| finding.severity);
        findings
    }
}

#[cfg(test)]
#[path = "reading_tests.rs"]
mod tests;
