//! Rain that still counts, and water in the topsoil, day by day. In go days, latitude and numbers, out come two rows of
//! spans that start from not known and narrow as the days go by; a missing value may have been anything that is usual.
//!
//! Rain that still counts is the antecedent precipitation index of Kohler & Linsley 1951 (United States Weather Bureau
//! Research Paper 34): each day keeps a part of the day before. Water in the topsoil takes rain in, and gives off what
//! grass would evaporate, less where it is half empty and below (FAO-56, equation 84).

use super::evaporation::Sky;
use super::span::Span;
use super::{Weather, WeatherDay};
use crate::knowledge::WeatherFactors;
use crate::units::Latitude;

/// Rain that still counts at the end of each day, millimetres.
pub(super) fn rain_that_counts(days: &[WeatherDay], numbers: &WeatherFactors) -> Vec<Span> {
    // Before the first day it may have been as wet as steady usual rain makes it.
    let mut index = Span {
        low: 0.0,
        high: numbers.rain_missing / (1.0 - numbers.rain_kept),
    };
    let mut told = Vec::with_capacity(days.len());
    for day in days {
        let rain = rain(day, numbers);
        index = Span {
            low: numbers.rain_kept * index.low + rain.low,
            high: numbers.rain_kept * index.high + rain.high,
        };
        told.push(index);
    }
    told
}

fn rain(day: &WeatherDay, numbers: &WeatherFactors) -> Span {
    day.rain.map_or(
        Span {
            low: 0.0,
            high: numbers.rain_missing,
        },
        Span::exact,
    )
}

/// Part of the topsoil's room for water that is full at the end of each day, 0 to 1.
///
/// `warmer` is how many degrees the stand is warmer than the station.
pub(super) fn moisture(
    weather: &Weather,
    latitude: Latitude,
    warmer: f64,
    numbers: &WeatherFactors,
) -> Vec<Span> {
    let room = numbers.soil_room;
    let mut water = Span { low: 0.0, high: room };
    let mut told = Vec::with_capacity(weather.days.len());
    for day in &weather.days {
        let rain = rain(day, numbers);
        let dries = match day.low.zip(day.high) {
            Some((low, high)) => {
                Span::exact(Sky::over(latitude, day.date).evaporation(low + warmer, high + warmer))
            }
            None => Span {
                low: 0.0,
                high: numbers.evaporation_missing,
            },
        };
        // More rain never leaves less water, more drying never more; so the ends stay the ends.
        water = Span {
            low: after(water.low, rain.low, dries.high, numbers),
            high: after(water.high, rain.high, dries.low, numbers),
        };
        told.push(Span {
            low: water.low / room,
            high: water.high / room,
        });
    }
    told
}

/// Water after one day: rain comes first, what does not fit runs off.
fn after(water: f64, rain: f64, dries: f64, numbers: &WeatherFactors) -> f64 {
    let room = numbers.soil_room;
    let wet = (water + rain).min(room);
    let easy = numbers.soil_easy * room;
    let stress = (wet / (room - easy)).min(1.0);
    (wet - stress * dries).clamp(0.0, room)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::Day;
    use crate::knowledge::Knowledge;

    fn numbers() -> &'static WeatherFactors {
        &Knowledge::shipped().factors.weather
    }

    fn days(rain: &[Option<f64>], temperatures: Option<(f64, f64)>) -> Vec<WeatherDay> {
        let mut date = Day::parse("2026-07-01").expect("a day");
        rain.iter()
            .map(|rain| {
                let day = WeatherDay {
                    rain: *rain,
                    low: temperatures.map(|(low, _)| low),
                    high: temperatures.map(|(_, high)| high),
                    ..WeatherDay::untold(date)
                };
                date = date.next();
                day
            })
            .collect()
    }

    fn told(rain: &[f64]) -> Vec<Option<f64>> {
        rain.iter().copied().map(Some).collect()
    }

    #[test]
    fn the_index_follows_the_published_recursion() {
        // Kohler & Linsley 1951: each day's index is k times the day before's, plus the day's rain. Worked by hand with
        // k = 0.9 from an index of 0, then from 50 without rain, then in a steady state p / (1 - k).
        let from = |start: f64, rain: &[f64]| {
            let mut all = vec![start];
            all.extend_from_slice(rain);
            let spans = rain_that_counts(&days(&told(&all), None), numbers());
            // The unknown start fades: take the low end, which begins from nothing.
            spans[1..].iter().map(|span| span.low).collect::<Vec<f64>>()
        };
        for (start, rain, expected) in [
            (
                0.0,
                &[20.0, 0.0, 0.0, 10.0, 0.0, 0.0, 0.0][..],
                &[20.0, 18.0, 16.2, 24.58, 22.122, 19.9098, 17.918_82][..],
            ),
            (
                50.0,
                &[0.0; 7],
                &[45.0, 40.5, 36.45, 32.805, 29.5245, 26.572_05, 23.914_845],
            ),
        ] {
            for (found, expected) in from(start, rain).iter().zip(expected) {
                assert!((found - expected).abs() < 1e-6, "{found}, not {expected}");
            }
        }
        let steady = from(0.0, &[2.0; 200]);
        assert!((steady[199] - 20.0).abs() < 1e-6);
    }

    #[test]
    fn what_was_before_the_first_day_fades() {
        // 0.9 to the 60th is 0.0018.
        let spans = rain_that_counts(&days(&told(&[1.0; 60]), None), numbers());
        let start = numbers().rain_missing / (1.0 - numbers().rain_kept);
        assert!(
            (spans[59].width() - start * 0.9f64.powi(60)).abs() < 1e-9,
            "{:?}",
            spans[59]
        );
    }

    #[test]
    fn water_comes_in_goes_out_and_never_leaves_its_room() {
        let latitude = Latitude::new(47.0).expect("a latitude");
        let run = |rain: &[Option<f64>], temperatures| {
            let weather = Weather {
                days: days(rain, temperatures),
                ..Weather::default()
            };
            moisture(&weather, latitude, 0.0, numbers())
        };
        let summer = Some((12.0, 26.0));
        let wet = run(&told(&[50.0, 0.0, 0.0]), summer);
        assert!(
            wet[0].low > 0.85 && wet[0].high <= 1.0,
            "a soaking fills it: {wet:?}"
        );
        assert!(wet[2].high < wet[1].high && wet[1].high < wet[0].high, "{wet:?}");
        // FAO-56, equation 84: below the easy half the loss is in proportion to what is left.
        let room = numbers().soil_room;
        let lost = |water: f64| water - after(water, 0.0, 4.0, numbers());
        assert!((lost(room) - 4.0).abs() < 1e-9);
        assert!((lost(room * 0.25) - 2.0).abs() < 1e-9);
        assert_eq!(lost(0.0), 0.0);
        let dry = run(&told(&[0.0; 40]), summer);
        assert!(dry[39].high < 0.1, "six weeks of drought: {:?}", dry[39]);
        let rainy = run(&told(&[8.0; 40]), summer);
        assert!(rainy[39].low > 0.85, "{:?}", rainy[39]);
    }

    #[test]
    fn a_missing_day_is_a_span_that_holds_whatever_it_was() {
        let latitude = Latitude::new(47.0).expect("a latitude");
        let weather = |third: Option<f64>| Weather {
            days: days(
                &[Some(5.0), Some(0.0), third, Some(0.0), Some(3.0)],
                Some((8.0, 20.0)),
            ),
            ..Weather::default()
        };
        let open = moisture(&weather(None), latitude, 0.0, numbers());
        let counted = rain_that_counts(&weather(None).days, numbers());
        for rain in [0.0, 4.0, 20.0] {
            let one = moisture(&weather(Some(rain)), latitude, 0.0, numbers());
            let one_counted = rain_that_counts(&weather(Some(rain)).days, numbers());
            for (outer, inner) in open.iter().zip(&one).chain(counted.iter().zip(&one_counted)) {
                assert!(
                    outer.low <= inner.low && inner.high <= outer.high,
                    "{rain}: {outer:?} {inner:?}"
                );
            }
        }
    }
}
