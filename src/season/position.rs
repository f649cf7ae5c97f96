//! How near the peak of the season a day lies, and which month of the tables counts there. In go day, latitude, height
//! and climate, out come curves for kinds with roots, for kinds on litter and for the kinds of spring, the days of their
//! peaks, and the month. Summer-rain climates are not in the curves, and below a least latitude they say nothing.
//!
//! Autumn comes earlier northwards and upwards, spring later (Andrew et al. 2018). The tables of kinds give months for the
//! lowlands at one latitude of each climate; elsewhere the day is moved by as many days before the month is looked up.

use serde::Serialize;

use crate::day::Day;
use crate::knowledge::{Factors, Season};
use crate::stand::Climate;
use crate::units::{Elevation, Latitude};

/// From a least to a greatest value; equal where exactly one is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Span {
    pub low: f64,
    pub high: f64,
}

/// Where a day lies against the peak of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Course {
    /// More than two spreads before the peak.
    Before,
    /// Between one and two spreads before it.
    Rising,
    /// Within one spread of it.
    Peak,
    /// Between one and two spreads after it.
    Falling,
    /// More than two spreads after it.
    Over,
    /// It depends on the height above the sea, which is not told.
    Open,
}

/// One season at one place, seen from one day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Curve {
    /// Part of the peak, 0 to 1; a range where the height above the sea is not known.
    pub part: Span,
    /// Where the day lies.
    pub course: Course,
    /// The day of the nearest peak, earliest and latest.
    pub peak: [Day; 2],
}

/// Where in the season a day lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SeasonPosition {
    /// The month of the tables whose kinds fruit, 1 to 12: moved by latitude and height, south of the equator six months
    /// on.
    pub month: u8,
    /// So many days the season is ahead of the tables here; negative where it is behind.
    pub ahead: i32,
    /// Kinds with roots; `None` where the curve says nothing.
    pub roots: Option<Curve>,
    /// Kinds on litter and grass.
    pub litter: Option<Curve>,
    /// The kinds of spring.
    pub spring: Option<Curve>,
}

/// The position of a day in the season at a latitude and height.
pub fn position(
    day: Day,
    latitude: Latitude,
    elevation: Option<Elevation>,
    climate: Climate,
    factors: &Factors,
) -> SeasonPosition {
    let season = &factors.season;
    let says = latitude.get().abs() >= season.least_latitude;
    let curve = |spread: f64, peak: fn(Latitude, f64, &Season) -> f64| {
        says.then(|| curve(day, latitude, elevation, spread, peak, season))
    };
    let ahead = ahead(day, latitude, elevation, climate, season);
    SeasonPosition {
        month: month(day.plus_days(ahead), latitude),
        ahead,
        roots: curve(season.spread_roots, autumn),
        litter: curve(season.spread_litter, autumn),
        spring: curve(season.spread_spring, spring),
    }
}

fn month(day: Day, latitude: Latitude) -> u8 {
    let month = day.month();
    if latitude.get() < 0.0 {
        (month + 5) % 12 + 1
    } else {
        month
    }
}

/// How many days the tables' calendar is to be moved on. In the half of the year around autumn the season comes earlier
/// northwards and upwards, in that around spring later; at midsummer and midwinter one passes into the other.
fn ahead(
    day: Day,
    latitude: Latitude,
    elevation: Option<Elevation>,
    climate: Climate,
    season: &Season,
) -> i32 {
    let by_latitude = season.reference_latitude(climate).map_or(0.0, |reference| {
        season.days_per_degree * (latitude.get().abs() - reference)
    });
    let height = elevation.map_or(0.0, |height| {
        height
            .get()
            .clamp(season.least_elevation, season.greatest_elevation)
    });
    let most = season.most_by_latitude;
    let earlier = by_latitude.clamp(-most, most) + season.days_per_metre * height;
    let north = if latitude.get() < 0.0 {
        season.half_year
    } else {
        0.0
    };
    let of_year = (f64::from(day.day_of_year()) + north).rem_euclid(2.0 * season.half_year);
    // From -1 in spring through 0 at midsummer to 1 in autumn and 0 again at midwinter.
    let quarter = season.half_year / 2.0;
    let from_midsummer = of_year - season.half_year;
    let nearest_turn = quarter - (from_midsummer.abs() - quarter).abs();
    let strength = (nearest_turn / season.turn_days).min(1.0);
    #[expect(clippy::cast_possible_truncation, reason = "a few dozen days")]
    let days = (strength * earlier * from_midsummer.signum()).round() as i32;
    days
}

/// The day of the autumn peak, as a day of the year that may lie beyond its end.
fn autumn(latitude: Latitude, metres: f64, season: &Season) -> f64 {
    turned(
        season.peak_day - earlier(latitude, metres, season),
        latitude,
        season,
    )
}

/// The day of the spring peak.
fn spring(latitude: Latitude, metres: f64, season: &Season) -> f64 {
    turned(
        season.spring_day + earlier(latitude, metres, season),
        latitude,
        season,
    )
}

/// Days by which autumn comes earlier than at the peak's own latitude by the sea.
fn earlier(latitude: Latitude, metres: f64, season: &Season) -> f64 {
    season.days_per_degree * (latitude.get().abs() - season.peak_latitude) + season.days_per_metre * metres
}

fn turned(north: f64, latitude: Latitude, season: &Season) -> f64 {
    if latitude.get() < 0.0 {
        north + season.half_year
    } else {
        north
    }
}

/// Days from the peak, the year taken as a round: from minus half a year to half a year.
fn days_from(day: Day, peak: f64, season: &Season) -> f64 {
    let days = f64::from(day.day_of_year()) - peak;
    (days + season.half_year).rem_euclid(2.0 * season.half_year) - season.half_year
}

fn bell(days: f64, spread: f64) -> f64 {
    libm::exp(-0.5 * (days / spread).powi(2))
}

fn course(days: f64, spread: f64) -> Course {
    let spreads = days.abs() / spread;
    match (spreads <= 1.0, spreads <= 2.0, days < 0.0) {
        (true, _, _) => Course::Peak,
        (_, true, true) => Course::Rising,
        (_, true, false) => Course::Falling,
        (_, _, true) => Course::Before,
        (_, _, false) => Course::Over,
    }
}

/// One season, over all heights it was drawn for where the height is not told.
fn curve(
    day: Day,
    latitude: Latitude,
    elevation: Option<Elevation>,
    spread: f64,
    peak: fn(Latitude, f64, &Season) -> f64,
    season: &Season,
) -> Curve {
    let at = |metres| days_from(day, peak(latitude, metres, season), season);
    let (a, b) = match elevation {
        Some(height) => (at(height.get()), at(height.get())),
        None => (at(season.least_elevation), at(season.greatest_elevation)),
    };
    // Over the heights the peak moves by far less than half a year: where the ends lie farther apart, midwinter lies
    // between them.
    let (first, last) = (a.min(b), a.max(b));
    let passes_midwinter = last - first > season.half_year;
    let passes_the_peak = !passes_midwinter && first <= 0.0 && 0.0 <= last;
    let (at_first, at_last) = (bell(first, spread), bell(last, spread));
    #[expect(clippy::cast_possible_truncation, reason = "days within a year")]
    let peak_day = |days: f64| day.plus_days(-(days.round() as i32));
    Curve {
        part: Span {
            low: if passes_midwinter {
                bell(season.half_year, spread)
            } else {
                at_first.min(at_last)
            },
            high: if passes_the_peak {
                1.0
            } else {
                at_first.max(at_last)
            },
        },
        course: if course(first, spread) == course(last, spread) {
            course(first, spread)
        } else {
            Course::Open
        },
        peak: [peak_day(last), peak_day(first)],
    }
}

#[cfg(test)]
#[path = "position_tests.rs"]
mod tests;
