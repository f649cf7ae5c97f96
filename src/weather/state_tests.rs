//! What weeks of weather come to: steady weeks, spells, gaps. Only tests use it.

use super::*;
use crate::knowledge::Knowledge;

fn numbers() -> &'static WeatherFactors {
    &Knowledge::shipped().factors.weather
}

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// What the weeks were like, each day of them by days back, and what that comes to.
type Weeks<'a> = (&'a str, &'a dyn Fn(i32, &mut WeatherDay), Limit);

/// Ninety days up to 12 September, each as `of` has it by days before that.
fn weeks(of: impl Fn(i32, &mut WeatherDay)) -> Weather {
    let today = day("2026-09-12");
    Weather {
        days: (0..90)
            .rev()
            .map(|back| {
                let mut day = WeatherDay {
                    rain: Some(2.0),
                    low: Some(8.0),
                    high: Some(18.0),
                    ..WeatherDay::untold(today.plus_days(-back))
                };
                of(back, &mut day);
                day
            })
            .collect(),
        ..Weather::default()
    }
}

fn on(weather: &Weather, today: &str) -> Option<State> {
    let latitude = Latitude::new(47.0).expect("a latitude");
    state(weather, day(today), latitude, None, numbers())
}

fn told(weather: &Weather) -> State {
    on(weather, "2026-09-12").expect("the weeks before are told")
}

#[test]
fn the_weeks_before_say_what_holds_fruiting_back() {
    // Common practice of collectors: damp and mild is good; drought, cold, heat, hard frost and snow are not.
    let cases: [Weeks<'_>; 8] = [
        ("damp and mild", &|_, day| day.rain = Some(4.0), Limit::Nothing),
        (
            "no rain for ninety days",
            &|_, day| day.rain = Some(0.0),
            Limit::Dry,
        ),
        (
            "rain only in the last three days, too late to count",
            &|back, day| day.rain = Some(if back < 3 { 30.0 } else { 0.0 }),
            Limit::Dry,
        ),
        (
            "damp and cold",
            &|_, day| (day.rain, day.low, day.high) = (Some(4.0), Some(-1.0), Some(5.0)),
            Limit::Cold,
        ),
        (
            "wet and hot",
            &|_, day| (day.rain, day.low, day.high) = (Some(12.0), Some(20.0), Some(34.0)),
            Limit::Hot,
        ),
        (
            "one hard frost five nights ago",
            &|back, day| {
                day.rain = Some(4.0);
                if back == 5 {
                    day.low = Some(-6.0);
                }
            },
            Limit::Frost,
        ),
        (
            "snow lies",
            &|back, day| {
                day.rain = Some(4.0);
                day.snow = Some(if back < 2 { 8.0 } else { 0.0 });
            },
            Limit::Snow,
        ),
        ("no rain told at all", &|_, day| day.rain = None, Limit::NotKnown),
    ];
    for (name, of, expected) in cases {
        let found = told(&weeks(of));
        assert_eq!(found.limit, expected, "{name}: {found:?}");
        assert!(
            0.0 <= found.all.low && found.all.low <= found.all.high && found.all.high <= 1.0,
            "{name}: {found:?}"
        );
    }
}

#[test]
fn rain_counts_with_the_lag() {
    // The same 40 mm on one day: 30 days before it has run off again, 14 days before it counts, yesterday not yet.
    let with = |when: i32| {
        told(&weeks(move |back, day| {
            day.rain = Some(if back == when { 40.0 } else { 0.0 });
        }))
        .water
        .high
    };
    let (old, counting, late) = (with(60), with(19), with(1));
    assert!(counting > old && counting > late, "{old} {counting} {late}");
}

#[test]
fn without_temperatures_the_rain_alone_counts() {
    // The model's worked values: steady 1, 2, 3 mm a day give an index of 10, 20, 30 and water of .25, .75, 1.
    for (rain, expected, limit) in [
        // Too dry, however warm it was.
        (1.0, 0.25, Limit::Dry),
        // Nothing is known of warmth, so nothing is said for certain.
        (2.0, 0.75, Limit::NotKnown),
        (3.0, 1.0, Limit::NotKnown),
    ] {
        let found = told(&weeks(|_, day| {
            (day.rain, day.low, day.high) = (Some(rain), None, None)
        }));
        assert_eq!(found.water_by, Water::Rain);
        assert!(
            (found.water.middle() - expected).abs() < 0.01,
            "{rain}: {found:?}"
        );
        assert_eq!((found.mean, found.lowest), (None, None));
        assert!(found.days.iter().all(|day| day.moisture.is_none()));
        assert_eq!(found.limit, limit);
    }
}

#[test]
fn warmth_meets_the_worked_values() {
    // The model's worked values of the curve over the mean temperature.
    for (mean, expected) in [
        (0.0, 0.0),
        (3.0, 0.3),
        (8.0, 0.8),
        (14.0, 1.0),
        (20.0, 0.8),
        (24.0, 0.4),
        (26.0, 0.25),
        (30.0, 0.1),
    ] {
        let found = told(&weeks(|_, day| {
            (day.low, day.high) = (Some(mean - 5.0), Some(mean + 5.0))
        }));
        assert!(
            (found.warmth.middle() - expected).abs() < 1e-9,
            "{mean}: {found:?}"
        );
        assert_eq!(found.mean, Some(Span::exact(mean)));
    }
}

#[test]
fn dry_days_are_counted_up_to_the_day() {
    let found = told(&weeks(|back, day| {
        day.rain = Some(if back < 17 { 0.6 } else { 3.0 })
    }));
    assert_eq!(found.dry_spell, 17);
    let broken = told(&weeks(|back, day| {
        day.rain = match back {
            0..5 => Some(0.0),
            5 => None,
            _ => Some(0.0),
        };
    }));
    assert_eq!(broken.dry_spell, 5, "a day not told may have been wet");
}

#[test]
fn higher_up_it_is_colder() {
    // The standard atmosphere (ICAO Doc 7488, from memory): 6.5 degrees for a thousand metres.
    let mut weather = weeks(|_, _| ());
    weather.elevation = Elevation::new(400.0).ok();
    let latitude = Latitude::new(47.0).expect("a latitude");
    let at = |metres| {
        let found = state(
            &weather,
            day("2026-09-12"),
            latitude,
            Elevation::new(metres).ok(),
            numbers(),
        );
        found.and_then(|state| state.mean).expect("a mean").middle()
    };
    assert!((at(400.0) - 13.0).abs() < 1e-9);
    assert!((at(1400.0) - 6.5).abs() < 1e-9);
}

#[test]
fn only_days_that_the_file_reaches_are_spoken_of() {
    let weather = weeks(|_, day| day.rain = Some(4.0));
    assert!(on(&weather, "2026-06-15").is_none(), "the first day is too near");
    assert!(on(&weather, "2027-01-01").is_none(), "the file ended long before");
    // A week after its end the rain that counts is still told; the temperatures of half the days are not.
    let later = on(&weather, "2026-09-19").expect("told");
    assert_eq!((later.untold, later.limit), (7, Limit::NotKnown));
    assert_eq!(
        later.days.last().map(|drawn| drawn.day.date),
        Some(day("2026-09-19"))
    );
    // The drawing holds six weeks.
    let now = told(&weather);
    assert_eq!(now.days.len(), 42);
    assert_eq!(now.days[0].day.date, day("2026-08-02"));
    assert!(now.days.iter().all(|drawn| drawn.moisture.is_some()));
}

#[test]
fn forecast_days_are_counted_and_drawn_after_the_day() {
    let mut weather = weeks(|back, day| day.forecast = back < 3);
    let mut next = day("2026-09-13");
    for _ in 0..4 {
        weather.days.push(WeatherDay {
            rain: Some(1.0),
            forecast: true,
            ..WeatherDay::untold(next)
        });
        next = next.next();
    }
    let found = told(&weather);
    assert_eq!(found.forecast, 3);
    assert_eq!(found.days.len(), 46);
    assert!(found.days[45].day.forecast);
}

#[test]
fn whatever_a_missing_value_was_the_span_held_it() {
    let gappy = weeks(|back, day| {
        if back % 7 == 3 {
            day.rain = None;
        }
        if back % 5 == 2 {
            (day.low, day.high) = (None, None);
        }
    });
    let open = told(&gappy);
    for (rain, mean) in [(0.0, -5.0), (3.0, 12.0), (20.0, 30.0)] {
        let mut filled = gappy.clone();
        for day in &mut filled.days {
            day.rain = day.rain.or(Some(rain));
            day.low = day.low.or(Some(mean - 2.0));
            day.high = day.high.or(Some(mean + 2.0));
        }
        let one = told(&filled);
        for (outer, inner) in [
            (open.all, one.all),
            (open.water, one.water),
            (open.warmth, one.warmth),
            (open.rain, one.rain),
            (open.rain_kept, one.rain_kept),
        ] {
            assert!(
                outer.low <= inner.low + 1e-12 && inner.high <= outer.high + 1e-12,
                "{rain} mm, {mean} degrees: {inner:?} outside {outer:?}"
            );
        }
    }
}
