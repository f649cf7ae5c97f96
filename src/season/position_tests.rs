//! Days of the season against what is published, and against common knowledge. Only tests use it.

use super::*;
use crate::knowledge::Knowledge;

fn factors() -> &'static Factors {
    &Knowledge::shipped().factors
}

fn latitude(degrees: f64) -> Latitude {
    Latitude::new(degrees).expect("a latitude")
}

fn on(day_of_year: u16) -> Day {
    Day::new(2026, 1, 1)
        .expect("a day")
        .plus_days(i32::from(day_of_year) - 1)
}

fn metres(metres: f64) -> Option<Elevation> {
    Some(Elevation::new(metres).expect("a height"))
}

fn here(day: Day, degrees: f64, elevation: Option<Elevation>) -> SeasonPosition {
    position(day, latitude(degrees), elevation, Climate::Temperate, factors())
}

fn roots(day: Day, degrees: f64, elevation: Option<Elevation>) -> Curve {
    here(day, degrees, elevation).roots.expect("a curve")
}

#[test]
fn the_peak_comes_earlier_northwards_and_upwards() {
    // Worked days of the model. The slopes are those of Andrew et al. 2018: 25 days by latitude, 30 by altitude.
    let season = &factors().season;
    for (degrees, metres, expected) in [
        (48.0, 500.0, 267.5),
        (60.0, 100.0, 256.7),
        (42.0, 1200.0, 265.4),
        (52.0, 50.0, 268.65),
        (67.0, 200.0, 245.4),
    ] {
        let found = autumn(latitude(degrees), metres, season);
        assert!(
            (found - expected).abs() < 1e-9,
            "{degrees} N, {metres} m: {found}"
        );
    }
    let days = |degrees, metres| autumn(latitude(degrees), metres, season);
    assert!((days(48.0, 0.0) - days(65.86, 0.0) - 25.0).abs() < 0.01);
    assert!((days(48.0, 0.0) - days(48.0, 2000.0) - 30.0).abs() < 1e-9);
    // Spring goes the other way: later with height (Andrew et al. 2018).
    assert!(
        (spring(latitude(48.0), 2000.0, season) - spring(latitude(48.0), 0.0, season) - 30.0).abs() < 1e-9
    );
}

#[test]
fn the_curves_meet_the_worked_values() {
    // Worked values of the model, to the digits given.
    for (degrees, height, day, part, litter) in [
        (48.0, 500.0, 274, 0.9734, Some(0.9869)),
        (48.0, 500.0, 215, 0.1724, None),
        (60.0, 100.0, 274, 0.8262, None),
        (42.0, 1200.0, 300, 0.4660, None),
    ] {
        let found = here(on(day), degrees, metres(height));
        let curve = found.roots.expect("a curve");
        assert!((curve.part.low - part).abs() < 5e-5, "{found:?}");
        assert_eq!(curve.part.low, curve.part.high);
        if let Some(litter) = litter {
            let found = found.litter.expect("a curve").part.low;
            assert!((found - litter).abs() < 5e-5, "{found}");
        }
    }
    for (days, with_roots, litter) in [
        (14.0, 0.8825, 0.9406),
        (28.0, 0.6065, 0.7827),
        (56.0, 0.1353, 0.3753),
    ] {
        let season = &factors().season;
        assert!((bell(days, season.spread_roots) - with_roots).abs() < 5e-5);
        assert!((bell(days, season.spread_litter) - litter).abs() < 5e-5);
    }
}

#[test]
fn the_day_of_the_peak_and_the_course_are_told() {
    for (day, expected) in [
        (on(150), Course::Before),
        (on(225), Course::Rising),
        (on(267), Course::Peak),
        (on(310), Course::Falling),
        (on(360), Course::Over),
    ] {
        let curve = roots(day, 48.0, metres(500.0));
        assert_eq!(curve.course, expected, "{day}");
        // The 267.5th day of 2026, the nearest one to the day asked for.
        let peak = curve.peak[0].to_string();
        assert!(
            ["2026-09-24", "2026-09-25"].contains(&peak.as_str()),
            "{day}: {peak}"
        );
    }
    // Seen from spring, the autumn before is as near as the next.
    assert_eq!(roots(on(20), 48.0, metres(500.0)).peak[0].year(), 2025);
    let open = roots(on(235), 48.0, None);
    assert_eq!(
        open.course,
        Course::Open,
        "rising by the sea, at the peak high up"
    );
    assert_eq!(
        open.peak.map(|day| day.to_string()),
        ["2026-09-02", "2026-10-02"],
        "thirty days by height"
    );
}

#[test]
fn an_unknown_height_gives_a_range_that_holds_every_height() {
    for day in (1..=365).step_by(7) {
        let whole = here(on(day), 47.0, None);
        for height in [0.0, 400.0, 900.0, 1500.0, 2000.0] {
            let one = here(on(day), 47.0, metres(height));
            for (whole, one) in [
                (whole.roots, one.roots),
                (whole.litter, one.litter),
                (whole.spring, one.spring),
            ] {
                let (whole, one) = (whole.expect("a curve").part, one.expect("a curve").part);
                assert!(
                    whole.low <= one.low && one.high <= whole.high,
                    "day {day}, {height} m: {one:?} outside {whole:?}"
                );
            }
        }
    }
}

#[test]
fn spring_has_a_season_of_its_own() {
    // Common practice: morels and St George's mushrooms from April to May in the lowlands, weeks later in the hills.
    let may = Day::parse("2026-05-01").expect("a day");
    let spring = |elevation| here(may, 48.0, elevation).spring.expect("a curve");
    assert_eq!(spring(metres(200.0)).course, Course::Peak);
    assert_eq!(
        spring(metres(1800.0)).course,
        Course::Rising,
        "{:?}",
        spring(metres(1800.0))
    );
    let autumn = Day::parse("2026-10-01").expect("a day");
    assert_eq!(
        here(autumn, 48.0, metres(200.0)).spring.expect("a curve").course,
        Course::Over
    );
    assert_eq!(roots(may, 48.0, metres(200.0)).course, Course::Before);
}

#[test]
fn the_months_of_the_tables_move_with_latitude_and_height() {
    let month = |day: &str, degrees, climate, elevation| {
        let day = Day::parse(day).expect("a day");
        let found = position(day, latitude(degrees), elevation, climate, factors());
        (found.month, found.ahead)
    };
    for (day, degrees, climate, height, expected) in [
        // At the tables' own latitude by the sea they stand as they are.
        ("2026-09-20", 48.0, Climate::Temperate, 0.0, (9, 0)),
        ("2026-04-20", 48.0, Climate::Temperate, 0.0, (4, 0)),
        // At 1200 m autumn is 18 days ahead and spring 18 days behind (Andrew et al. 2018: 30 days over 2000 m).
        ("2026-09-20", 48.0, Climate::Temperate, 1200.0, (10, 18)),
        ("2026-04-20", 48.0, Climate::Temperate, 1200.0, (4, -18)),
        ("2026-05-10", 48.0, Climate::Temperate, 1200.0, (4, -16)),
        // Ten degrees north of it, 14 days.
        ("2026-09-20", 58.0, Climate::Temperate, 0.0, (10, 14)),
        ("2026-10-10", 43.0, Climate::Temperate, 0.0, (10, -7)),
        // The tables of the north and the south have a latitude of their own; those of North America have none.
        ("2026-09-20", 63.0, Climate::Boreal, 0.0, (9, 0)),
        ("2026-11-20", 41.0, Climate::Mediterranean, 0.0, (11, 0)),
        ("2026-09-20", 55.0, Climate::NaWest, 0.0, (9, 0)),
        ("2026-09-20", 55.0, Climate::NaWest, 1000.0, (10, 15)),
        // At midsummer and midwinter one passes into the other.
        ("2026-07-01", 48.0, Climate::Temperate, 1200.0, (7, 0)),
        ("2026-12-31", 48.0, Climate::Temperate, 1200.0, (12, 0)),
        // South of the equator six months on, and moved like the north.
        ("2026-03-20", -48.0, Climate::Temperate, 1200.0, (10, 18)),
    ] {
        let found = month(day, degrees, climate, metres(height));
        assert_eq!(found, expected, "{day} at {degrees}, {height} m");
    }
    // Day by day the tables' calendar only goes on.
    for height in [0.0, 700.0, 2000.0] {
        let mut before = None;
        for of_year in 1..=364 {
            let moved = on(of_year).plus_days(here(on(of_year), 65.0, metres(height)).ahead);
            assert!(
                before.is_none_or(|before| before <= moved),
                "{of_year} at {height} m"
            );
            before = Some(moved);
        }
    }
    assert_eq!(month("2026-09-20", 48.0, Climate::Temperate, None), (9, 0));
}

#[test]
fn the_south_has_its_season_half_a_year_on() {
    let day = Day::parse("2026-04-05").expect("a day");
    let south = here(day, -48.0, metres(0.0));
    assert_eq!(south.month, 10);
    assert!(south.roots.expect("a curve").part.low > 0.9, "{south:?}");
    let north = here(day, 48.0, metres(0.0));
    assert_eq!(north.month, 4);
    assert!(north.roots.expect("a curve").part.high < 0.01, "{north:?}");
    for (month, shifted) in [(1, 7), (6, 12), (7, 1), (12, 6)] {
        let day = Day::new(2026, month, 15).expect("a day");
        assert_eq!(here(day, -40.0, metres(0.0)).month, shifted);
    }
}

#[test]
fn below_the_least_latitude_the_curve_says_nothing() {
    let day = Day::parse("2026-10-15").expect("a day");
    let near_equator = here(day, 20.0, None);
    assert_eq!(
        (near_equator.roots, near_equator.litter, near_equator.spring),
        (None, None, None)
    );
}
