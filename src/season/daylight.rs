//! Sunrise and sunset by the method of the NOAA solar calculator (after Meeus, Astronomical Algorithms). In go a day
//! and a place, out come minutes of universal time; turning them into clock time is left to whoever knows the zone.
//! Height, horizon and weather are not in it: a mountain shadow comes earlier.

use serde::Serialize;

use crate::day::Day;
use crate::geometry::LngLat;

/// The sun's centre stands this far from the zenith at sunrise and sunset, in degrees: half a disc and the usual
/// refraction below the horizon.
const ZENITH_AT_RISE: f64 = 90.833;
/// Julian day of 1 January 2000, 12:00, and the days of a Julian century.
const EPOCH: f64 = 2_451_545.0;
const CENTURY: f64 = 36_525.0;

/// The daylight of one day at one place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Daylight {
    /// The sun rises and sets. Minutes of universal time from 00:00 of the day asked for; far from Greenwich they can
    /// lie before 0 or beyond 1440.
    Times {
        /// Sunrise.
        sunrise_utc_minutes: f64,
        /// Sunset.
        sunset_utc_minutes: f64,
    },
    /// The sun stays up all day.
    NeverSets,
    /// The sun stays down all day.
    NeverRises,
}

/// Sunrise and sunset on a day at a place (degrees, WGS 84), to about a minute outside the polar circles.
pub fn daylight(day: Day, place: LngLat) -> Daylight {
    let midnight = julian_day(day);
    let event = |sign: f64| {
        // From noon on, each round looks at the sun where the last one put the event.
        let mut minutes = 720.0 - 4.0 * place.lng;
        for _ in 0..4 {
            let sun = Sun::at((midnight + minutes / 1440.0 - EPOCH) / CENTURY);
            let angle = sun.hour_angle(place.lat)?;
            minutes = 720.0 - 4.0 * (place.lng - sign * angle) - sun.equation_of_time;
        }
        Ok(minutes)
    };
    match (event(-1.0), event(1.0)) {
        (Ok(sunrise_utc_minutes), Ok(sunset_utc_minutes)) => Daylight::Times {
            sunrise_utc_minutes,
            sunset_utc_minutes,
        },
        (Err(always), _) | (_, Err(always)) => always,
    }
}

/// The Julian day at 00:00 universal time.
fn julian_day(day: Day) -> f64 {
    let (year, month) = if day.month() > 2 {
        (f64::from(day.year()), f64::from(day.month()))
    } else {
        (f64::from(day.year()) - 1.0, f64::from(day.month()) + 12.0)
    };
    let century = (year / 100.0).floor();
    let gregorian = 2.0 - century + (century / 4.0).floor();
    (365.25 * (year + 4716.0)).floor()
        + (30.6001 * (month + 1.0)).floor()
        + f64::from(day.day_of_month())
        + gregorian
        - 1524.5
}

/// Where the sun stands at one moment.
#[derive(Debug)]
struct Sun {
    /// Apparent longitude in degrees; only the published example asks for it.
    #[cfg(test)]
    longitude: f64,
    /// Declination in degrees.
    declination: f64,
    /// Equation of time in minutes.
    equation_of_time: f64,
}

impl Sun {
    /// The sun at `t` Julian centuries after the epoch.
    fn at(t: f64) -> Sun {
        let mean_longitude = (280.466_46 + t * (36_000.769_83 + t * 0.000_303_2)).rem_euclid(360.0);
        let anomaly = (357.529_11 + t * (35_999.050_29 - t * 0.000_153_7)).to_radians();
        let eccentricity = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
        let centre = anomaly.sin() * (1.914_602 - t * (0.004_817 + t * 0.000_014))
            + (2.0 * anomaly).sin() * (0.019_993 - t * 0.000_101)
            + (3.0 * anomaly).sin() * 0.000_289;
        let node = (125.04 - 1_934.136 * t).to_radians();
        let longitude = mean_longitude + centre - 0.005_69 - 0.004_78 * node.sin();
        let mean_obliquity =
            23.0 + (26.0 + (21.448 - t * (46.815 + t * (0.000_59 - t * 0.001_813))) / 60.0) / 60.0;
        let obliquity = (mean_obliquity + 0.002_56 * node.cos()).to_radians();
        let declination = (obliquity.sin() * longitude.to_radians().sin())
            .asin()
            .to_degrees();
        let y = (obliquity / 2.0).tan().powi(2);
        let twice = 2.0 * mean_longitude.to_radians();
        let equation = y * twice.sin() - 2.0 * eccentricity * anomaly.sin()
            + 4.0 * eccentricity * y * anomaly.sin() * twice.cos()
            - 0.5 * y * y * (2.0 * twice).sin()
            - 1.25 * eccentricity * eccentricity * (2.0 * anomaly).sin();
        Sun {
            #[cfg(test)]
            longitude: longitude.rem_euclid(360.0),
            declination,
            equation_of_time: 4.0 * equation.to_degrees(),
        }
    }

    /// Degrees the sky turns from sunrise to noon.
    fn hour_angle(&self, latitude: f64) -> Result<f64, Daylight> {
        let (latitude, declination) = (latitude.to_radians(), self.declination.to_radians());
        let cosine = ZENITH_AT_RISE.to_radians().cos() / (latitude.cos() * declination.cos())
            - latitude.tan() * declination.tan();
        if cosine < -1.0 {
            Err(Daylight::NeverSets)
        } else if cosine > 1.0 {
            Err(Daylight::NeverRises)
        } else {
            Ok(cosine.acos().to_degrees())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).expect("a day")
    }

    #[test]
    fn the_julian_day_meets_published_examples() {
        // Meeus, Astronomical Algorithms, chapter 7 (book values from memory).
        assert_eq!(julian_day(day("2000-01-01")), 2_451_544.5);
        assert_eq!(julian_day(day("1987-01-27")), 2_446_822.5);
        assert_eq!(julian_day(day("1988-06-19")), 2_447_331.5);
    }

    #[test]
    fn the_sun_stands_where_the_published_example_puts_it() {
        // Meeus, Astronomical Algorithms, example 25.a: 1992 October 13.0 TD (book values from memory): apparent
        // longitude 199.909 degrees, declination -7.785; example 28: equation of time 13 min 42.7 s.
        let sun = Sun::at((julian_day(day("1992-10-13")) - EPOCH) / CENTURY);
        assert!((sun.longitude - 199.908_94).abs() < 2e-5, "{sun:?}");
        assert!((sun.declination + 7.785_07).abs() < 2e-5, "{sun:?}");
        assert!(
            (sun.equation_of_time - (13.0 + 42.7 / 60.0)).abs() < 0.01,
            "{sun:?}"
        );
    }

    #[test]
    fn sunset_is_met_within_a_minute() {
        // Worked with the NOAA method apart from this code; not compared with printed tables.
        for (on, lng, lat, hours, minutes) in [
            ("2026-09-23", 10.0, 50.0, 17.0, 16.2),
            ("2026-10-01", 25.0, 60.0, 15.0, 52.9),
            ("2026-10-15", -2.5, 42.0, 17.0, 28.6),
        ] {
            let Daylight::Times {
                sunrise_utc_minutes,
                sunset_utc_minutes,
            } = daylight(day(on), LngLat { lng, lat })
            else {
                panic!("{on}: the sun rises and sets");
            };
            let expected = hours * 60.0 + minutes;
            assert!(
                (sunset_utc_minutes - expected).abs() < 1.0,
                "{on}: {sunset_utc_minutes}, not {expected}"
            );
            let noon = (sunrise_utc_minutes + sunset_utc_minutes) / 2.0;
            assert!(
                (noon - (720.0 - 4.0 * lng)).abs() < 17.0,
                "noon within the equation of time: {noon}"
            );
        }
    }

    #[test]
    fn the_sun_rises_and_sets_when_almanacs_say() {
        // Almanac times in universal time, from memory: London at the solstices of 2024 (04:43 and 21:21 by summer time,
        // 08:04 and 15:53), Sydney at its midsummer (05:41 and 20:05 by summer time, eleven hours ahead). Almanacs round
        // to the minute and cities are wide, so a minute and a half is given.
        for (town, on, lng, lat, rise, set) in [
            ("London", "2024-06-20", -0.12, 51.5, 3 * 60 + 43, 20 * 60 + 21),
            ("London", "2024-12-21", -0.12, 51.5, 8 * 60 + 4, 15 * 60 + 53),
            ("Sydney", "2024-12-21", 151.21, -33.87, -5 * 60 - 19, 9 * 60 + 5),
        ] {
            let Daylight::Times {
                sunrise_utc_minutes,
                sunset_utc_minutes,
            } = daylight(day(on), LngLat { lng, lat })
            else {
                panic!("{town}: the sun rises and sets");
            };
            assert!(
                (sunrise_utc_minutes - f64::from(rise)).abs() < 1.5,
                "{town}: {sunrise_utc_minutes}"
            );
            assert!(
                (sunset_utc_minutes - f64::from(set)).abs() < 1.5,
                "{town}: {sunset_utc_minutes}"
            );
        }
    }

    #[test]
    fn the_polar_day_and_night_of_tromso_begin_and_end_when_it_says() {
        // The town's own dates, from memory: midnight sun from 20 May to 22 July, polar night from 27 November to
        // 15 January. A few days are left on both sides, for the year and the refraction taken.
        let place = LngLat {
            lng: 18.96,
            lat: 69.65,
        };
        for (on, expected) in [
            ("2026-05-14", None),
            ("2026-05-22", Some(Daylight::NeverSets)),
            ("2026-07-20", Some(Daylight::NeverSets)),
            ("2026-07-30", None),
            ("2026-11-23", None),
            ("2026-11-30", Some(Daylight::NeverRises)),
            ("2027-01-11", Some(Daylight::NeverRises)),
            ("2027-01-19", None),
        ] {
            let found = daylight(day(on), place);
            match expected {
                Some(expected) => assert_eq!(found, expected, "{on}"),
                None => assert!(matches!(found, Daylight::Times { .. }), "{on}: {found:?}"),
            }
        }
    }

    #[test]
    fn beyond_the_polar_circle_the_sun_stays_up_or_down() {
        // Common knowledge: midsummer and midwinter at 70 degrees north.
        let place = LngLat { lng: 25.0, lat: 70.0 };
        assert_eq!(daylight(day("2026-06-21"), place), Daylight::NeverSets);
        assert_eq!(daylight(day("2026-12-21"), place), Daylight::NeverRises);
        for lat in [-90.0, 90.0] {
            assert!(!matches!(
                daylight(day("2026-06-21"), LngLat { lng: 0.0, lat }),
                Daylight::Times { .. }
            ));
        }
    }

    #[test]
    fn the_day_is_twelve_hours_long_at_the_equator_and_a_little_more() {
        // Common knowledge: the disc and refraction add some minutes to twelve hours.
        for on in ["2026-03-20", "2026-06-21", "2026-09-23", "2026-12-21"] {
            let place = LngLat { lng: 140.0, lat: 0.0 };
            let Daylight::Times {
                sunrise_utc_minutes,
                sunset_utc_minutes,
            } = daylight(day(on), place)
            else {
                panic!("{on}");
            };
            let length = sunset_utc_minutes - sunrise_utc_minutes;
            assert!((720.0..735.0).contains(&length), "{on}: {length}");
        }
    }
}
