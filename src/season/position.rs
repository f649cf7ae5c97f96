//! How near the peak of the season a day lies. In go day, latitude and height, out come the month whose kinds fruit and
//! two curves, one for kinds with roots and one for kinds on litter. The curves are for the autumn season of the
//! middle and the north; spring kinds and summer-rain climates are not in them, and below a least latitude they say
//! nothing.

use serde::Serialize;

use crate::day::Day;
use crate::knowledge::{Factors, Season};
use crate::units::{Elevation, Latitude};

/// From a least to a greatest value; equal where exactly one is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Span {
    pub low: f64,
    pub high: f64,
}

/// Where in the season a day lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SeasonPosition {
    /// The month whose kinds fruit, 1 to 12: south of the equator six months on.
    pub month: u8,
    /// Part of the peak, 0 to 1, for kinds with roots; a range where the height above the sea is not known, `None`
    /// where the curve says nothing.
    pub roots: Option<Span>,
    /// The same for kinds on litter and grass.
    pub litter: Option<Span>,
}

/// The position of a day in the season at a latitude and height.
pub fn position(
    day: Day,
    latitude: Latitude,
    elevation: Option<Elevation>,
    factors: &Factors,
) -> SeasonPosition {
    let season = &factors.season;
    let curve = |spread: f64| {
        if latitude.get().abs() < season.least_latitude {
            return None;
        }
        Some(match elevation {
            Some(height) => {
                let value = near_peak(day, latitude, height.get(), spread, season);
                Span {
                    low: value,
                    high: value,
                }
            }
            None => over_heights(day, latitude, spread, season),
        })
    };
    SeasonPosition {
        month: month(day, latitude),
        roots: curve(season.spread_roots),
        litter: curve(season.spread_litter),
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

/// The day of the peak, as a day of the year that may lie beyond its end.
fn peak(latitude: Latitude, metres: f64, season: &Season) -> f64 {
    let north = season.peak_day
        - season.days_per_degree * (latitude.get().abs() - season.peak_latitude)
        - season.days_per_metre * metres;
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

fn near_peak(day: Day, latitude: Latitude, metres: f64, spread: f64, season: &Season) -> f64 {
    bell(days_from(day, peak(latitude, metres, season), season), spread)
}

fn bell(days: f64, spread: f64) -> f64 {
    (-0.5 * (days / spread).powi(2)).exp()
}

/// The range over all heights the curve was drawn for.
fn over_heights(day: Day, latitude: Latitude, spread: f64, season: &Season) -> Span {
    let at = |metres| days_from(day, peak(latitude, metres, season), season);
    // The peak comes earlier with height, so days from the peak only grow from the sea upwards, until half a year
    // from the peak they start again from below.
    let (sea, top) = (at(season.least_elevation), at(season.greatest_elevation));
    let (a, b) = (bell(sea, spread), bell(top, spread));
    let passes_the_peak = sea <= 0.0 && 0.0 <= top;
    let passes_midwinter = top < sea;
    Span {
        low: if passes_midwinter {
            bell(season.half_year, spread)
        } else {
            a.min(b)
        },
        high: if passes_the_peak { 1.0 } else { a.max(b) },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    fn factors() -> &'static Factors {
        &Knowledge::shipped().factors
    }

    fn latitude(degrees: f64) -> Latitude {
        Latitude::new(degrees).expect("a latitude")
    }

    fn on(day_of_year: u16) -> Day {
        let mut day = Day::new(2026, 1, 1).expect("a day");
        while day.day_of_year() < day_of_year {
            day = day.next();
        }
        day
    }

    #[test]
    fn the_peak_comes_earlier_northwards_and_upwards() {
        // Worked days of the model. The slopes are those of Andrew et al. 2018: 25 days by latitude, 30 by altitude.
        for (degrees, metres, expected) in [
            (48.0, 500.0, 267.5),
            (60.0, 100.0, 256.7),
            (42.0, 1200.0, 265.4),
            (52.0, 50.0, 268.65),
            (67.0, 200.0, 245.4),
        ] {
            let found = peak(latitude(degrees), metres, &factors().season);
            assert!(
                (found - expected).abs() < 1e-9,
                "{degrees} N, {metres} m: {found}"
            );
        }
        let days = |degrees, metres| peak(latitude(degrees), metres, &factors().season);
        assert!((days(48.0, 0.0) - days(65.86, 0.0) - 25.0).abs() < 0.01);
        assert!((days(48.0, 0.0) - days(48.0, 2000.0) - 30.0).abs() < 1e-9);
    }

    #[test]
    fn the_curves_meet_the_worked_values() {
        // Worked values of the model, to the digits given.
        for (degrees, metres, day, roots, litter) in [
            (48.0, 500.0, 274, 0.9734, Some(0.9869)),
            (48.0, 500.0, 215, 0.1724, None),
            (60.0, 100.0, 274, 0.8262, None),
            (42.0, 1200.0, 300, 0.4660, None),
        ] {
            let elevation = Some(Elevation::new(metres).expect("a height"));
            let found = position(on(day), latitude(degrees), elevation, factors());
            let root_span = found.roots.expect("a curve");
            assert!((root_span.low - roots).abs() < 5e-5, "{found:?}");
            assert_eq!(root_span.low, root_span.high);
            if let Some(litter) = litter {
                assert!(
                    (found.litter.expect("a curve").low - litter).abs() < 5e-5,
                    "{found:?}"
                );
            }
        }
        for (days, roots, litter) in [
            (14.0, 0.8825, 0.9406),
            (28.0, 0.6065, 0.7827),
            (56.0, 0.1353, 0.3753),
        ] {
            let season = &factors().season;
            assert!((bell(days, season.spread_roots) - roots).abs() < 5e-5);
            assert!((bell(days, season.spread_litter) - litter).abs() < 5e-5);
        }
    }

    #[test]
    fn an_unknown_height_gives_a_range_that_holds_every_height() {
        for day in (1..=365).step_by(7) {
            let whole = position(on(day), latitude(47.0), None, factors())
                .roots
                .expect("a curve");
            for metres in [0.0, 400.0, 900.0, 1500.0, 2000.0] {
                let one = position(on(day), latitude(47.0), Elevation::new(metres).ok(), factors())
                    .roots
                    .expect("a curve");
                assert!(
                    whole.low <= one.low && one.high <= whole.high,
                    "day {day}, {metres} m: {one:?} outside {whole:?}"
                );
            }
        }
    }

    #[test]
    fn the_south_has_its_season_half_a_year_on() {
        let sea = Elevation::new(0.0).ok();
        let autumn = Day::parse("2026-04-05").expect("a day");
        let south = position(autumn, latitude(-48.0), sea, factors());
        assert_eq!(south.month, 10);
        assert!(south.roots.expect("a curve").low > 0.9, "{south:?}");
        let north = position(autumn, latitude(48.0), sea, factors());
        assert_eq!(north.month, 4);
        assert!(north.roots.expect("a curve").high < 0.01, "{north:?}");
        for (month, shifted) in [(1, 7), (6, 12), (7, 1), (12, 6)] {
            let day = Day::new(2026, month, 15).expect("a day");
            assert_eq!(position(day, latitude(-40.0), sea, factors()).month, shifted);
        }
    }

    #[test]
    fn below_the_least_latitude_the_curve_says_nothing() {
        let day = Day::parse("2026-10-01").expect("a day");
        let near_equator = position(day, latitude(20.0), None, factors());
        assert_eq!((near_equator.roots, near_equator.litter), (None, None));
        assert_eq!(near_equator.month, 10);
    }
}
