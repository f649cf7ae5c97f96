//! Days and hours of rule books against libraries that were made apart from this one: the calendar and the clocks of
//! `chrono` with the IANA time zone database in `chrono-tz`, sunrise and sunset of `sunrise`.
//!
//! | what is asked | where |
//! |---|---|
//! | weekdays, days of the month, parity, seasons over New Year, 29 February in nine years | `every_day_of_nine_years` |
//! | the year of a stand against each of its days by itself, in a leap year and a common one | `the_year_of_a_stand` |
//! | hours by the sun around the world, over changes of the clocks | `hours_by_the_sun_over_the_zones_of_the_world` |
//! | the clock change of 25 October 2026 | `what_comes_next_over_a_change_of_the_clocks` |
//! | a place and day without sunset or sunrise | `a_day_without_sunset_is_not_known` |
//! | names of time zones | `zone_names_are_those_of_the_database` |
//! | even dates over a month's end | `even_dates_are_no_cycle` in `src/rules/tests/cases_times.rs` |
//! | midnight of a closed day | `ten_days_end_at_midnight` there |

use chrono::{
    DateTime, Datelike as _, NaiveDate, NaiveDateTime, Offset as _, TimeDelta, TimeZone as _, Timelike as _,
    Utc,
};
use chrono_tz::Tz;
use hostwood::day::{ClockTime, Day};
use hostwood::geometry::LngLat;
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Answer, Arg, Gear, Law, RuleBook, Verdict};
use hostwood::visit::Visit;
use sunrise::{Coordinates, SolarDay, SolarEvent};

/// A book with a limit and these rules, on the clock of a zone.
fn book(zone: &str, rules: &str) -> RuleBook {
    let text = format!(
        r#"{{"format": "hostwood-rules/1.0",
        "region": {{"code": "XX-R", "names": {{"en": "Vorrach"}}, "time_zone": "{zone}",
            "area": {{"type": "Polygon", "coordinates": [[[14, 47], [15, 47], [15, 48], [14, 48], [14, 47]]]}}}},
        "authority": {{"name": {{"en": "the forest office"}}, "phone": "0"}},
        "languages": ["en"], "checked": "2026-09-01",
        "sources": [{{"id": "act", "title": "An act", "kind": "official"}}],
        "rules": [{{"id": "daily", "kind": "quantity", "text": {{"en": "2 kg."}}, "sources": ["act"],
            "quantity": {{"amount": "2", "unit": "kg", "per": "person", "period": "day"}}}}, {rules}]}}"#
    );
    match RuleBook::read(text.as_bytes(), &Knowledge::shipped().fungi) {
        Ok(read) => {
            assert_eq!(read.warnings, [], "{zone}");
            read.book
        }
        Err(mistakes) => panic!("{zone}: {mistakes:?}"),
    }
}

fn rule(kind: &str, said: &str) -> String {
    format!(
        r#"{{"id": "r", "kind": "{kind}", "text": {{"en": "Words."}}, "sources": ["act"], "{kind}": {said}}}"#
    )
}

fn day(date: NaiveDate) -> Day {
    Day::parse(&date.to_string()).expect("a day of the calendar")
}

fn date(text: &str) -> NaiveDate {
    text.parse().expect(text)
}

/// What a book says on a day without a time.
fn closed_on(book: &RuleBook, on: NaiveDate) -> bool {
    let place = book.membership_of(&[]);
    Law::on(&[book], &Visit::on(day(on))).answer(&[&place]) == Answer::Closed
}

/// What a book says at a moment, told on the clock of a zone, at a place.
fn at(book: &RuleBook, zone: Tz, moment: DateTime<Utc>, place: LngLat) -> Verdict {
    let local = moment.with_timezone(&zone);
    let visit = Visit {
        time: Some(ClockTime::parse(&format!("{:02}:{:02}", local.hour(), local.minute())).expect("a time")),
        utc_offset: i16::try_from(local.offset().fix().local_minus_utc() / 60).ok(),
        ..Visit::on(day(local.date_naive()))
    };
    let membership = book.membership_of(&[]);
    Law::at(&[book], &visit, &Gear::default(), Some(place)).verdict(&[&membership])
}

/// Sunrise and sunset by the reference, on the local date.
fn reference(on: NaiveDate, place: LngLat) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
    let coordinates = Coordinates::new(place.lat, place.lng).expect("degrees");
    let solar = SolarDay::new(coordinates, on);
    Some((
        solar.event_time(SolarEvent::Sunrise)?,
        solar.event_time(SolarEvent::Sunset)?,
    ))
}

/// Nine years with three leap days: weekdays, days of the month, even and odd days, and a winter that wraps New Year.
#[test]
fn every_day_of_nine_years() {
    let days = book(
        "Europe/Vienna",
        &rule("closed_days", r#"{"weekdays": ["tuesday", "thursday"]}"#),
    );
    let first_ten = book(
        "Europe/Vienna",
        &rule("closed_days", r#"{"days_of_month": "1-10"}"#),
    );
    let odd = book("Europe/Vienna", &rule("closed_days", r#"{"parity": "odd"}"#));
    let winter = book(
        "Europe/Vienna",
        &rule("season", r#"{"closed": {"from": "11-15", "to": "02-29"}}"#),
    );
    let (mut on, mut asked) = (date("2024-01-01"), 0);
    while on < date("2033-01-01") {
        let weekday = on.weekday().number_from_monday();
        let wanted = [
            (&days, weekday == 2 || weekday == 4),
            (&first_ten, on.day() <= 10),
            (&odd, on.day() % 2 == 1),
            (
                &winter,
                on.month() <= 2 || on.month() == 12 || on.month() == 11 && on.day() >= 15,
            ),
        ];
        for (place, (book, closed)) in wanted.into_iter().enumerate() {
            assert_eq!(closed_on(book, on), closed, "book {place} on {on}");
        }
        on = on.succ_opt().expect("a day");
        asked += 1;
    }
    assert_eq!(asked, 3288, "nine years hold three leap days");
}

/// The calendar of a stand answers for each day what the law answers for that day by itself, with a leap day where the
/// reference has one.
#[test]
fn the_year_of_a_stand() {
    let books = [
        rule("closed_days", r#"{"weekdays": ["tuesday", "thursday"]}"#),
        rule("closed_days", r#"{"days_of_month": "1-10"}"#),
        rule("closed_days", r#"{"parity": "even", "dates": ["2026-11-01"]}"#),
        rule("season", r#"{"closed": {"from": "11-15", "to": "02-29"}}"#),
        rule("hours", r#"{"open": {"from": "sunrise", "to": "sunset"}}"#),
    ]
    .map(|rule| book("Europe/Vienna", &rule));
    for (year, length) in [(2024, 366), (2026, 365), (2100, 365)] {
        for book in &books {
            let place = book.membership_of(&[]);
            let middle = date(&format!("{year}-07-15"));
            let law = Law::on(&[book], &Visit::on(day(middle)));
            let (from, answers) = hostwood::rules::year(&law, &[&place]);
            let first = date(&format!("{year}-01-01"));
            assert_eq!((from, answers.len()), (day(first), length), "{year}");
            for (on, answer) in first.iter_days().zip(&answers) {
                assert_eq!(*answer == Answer::Closed, closed_on(book, on), "{on}");
            }
            let last = first.iter_days().nth(answers.len() - 1);
            assert_eq!(last, Some(date(&format!("{year}-12-31"))));
        }
    }
}

/// Emilia-Romagna, L.R. 6/1996, article 6 (secondary page): one hour before sunrise to one hour after sunset. Asked every
/// five minutes around both ends, in zones ahead of and behind universal time, over changes of the clocks; the reference
/// and the engine may differ by four minutes, in which nothing is asked.
#[test]
fn hours_by_the_sun_over_the_zones_of_the_world() {
    let mut asked = 0;
    for (zone, lng, lat) in [
        ("Europe/Rome", 11.3, 44.5),
        ("Europe/London", -1.6, 50.9),
        ("Atlantic/Reykjavik", -21.9, 64.1),
        ("Europe/Helsinki", 25.0, 60.2),
        ("America/Vancouver", -123.1, 49.3),
        ("America/St_Johns", -52.7, 47.6),
        ("Asia/Kathmandu", 85.3, 27.7),
        ("Asia/Tokyo", 139.7, 35.7),
        ("Australia/Hobart", 147.3, -42.9),
        ("Pacific/Auckland", 174.8, -36.8),
        ("Pacific/Honolulu", -157.9, 21.3),
        // Fourteen hours ahead of universal time, and west of Hawaii's meridian by the sun.
        ("Pacific/Kiritimati", -157.4, 1.9),
    ] {
        let zone_name: Tz = zone.parse().expect(zone);
        let place = LngLat { lng, lat };
        let sun = book(
            zone,
            &rule(
                "hours",
                r#"{"open": {"from": "sunrise-01:00", "to": "sunset+01:00"}}"#,
            ),
        );
        let night = book(
            zone,
            &rule(
                "hours",
                r#"{"closed": {"from": "sunset+01:00", "to": "sunrise-01:00"}}"#,
            ),
        );
        for on in [
            "2026-01-15",
            "2026-03-29",
            "2026-04-05",
            "2026-06-21",
            "2026-09-23",
            "2026-10-25",
            "2026-11-01",
            "2028-02-29",
        ] {
            let noon = zone_name
                .from_local_datetime(&date(on).and_hms_opt(12, 0, 0).expect("noon"))
                .earliest()
                .expect("a noon")
                .to_utc();
            // The windows of the days around, since in the far north one can reach into the next.
            let windows: Vec<(DateTime<Utc>, DateTime<Utc>)> = [-2, -1, 0, 1, 2]
                .into_iter()
                .filter_map(|shift| reference(date(on) + TimeDelta::days(shift), place))
                .map(|(rise, set)| (rise - TimeDelta::hours(1), set + TimeDelta::hours(1)))
                .collect();
            let (first, last) = *windows
                .iter()
                .find(|(first, last)| *first < noon && noon < *last)
                .unwrap_or_else(|| panic!("{zone} {on}: no light at noon"));
            for minutes in [-61, -31, -6, -5, 5, 6, 31, 61] {
                for end in [first, last] {
                    let moment = end + TimeDelta::minutes(minutes);
                    let near = |other: DateTime<Utc>| (moment - other).num_minutes().abs() < 5;
                    if windows.iter().any(|(first, last)| near(*first) || near(*last)) {
                        continue;
                    }
                    let open = windows
                        .iter()
                        .any(|(first, last)| *first <= moment && moment < *last);
                    let expected = if open { Answer::Limits } else { Answer::Closed };
                    for (name, book) in [("open", &sun), ("closed", &night)] {
                        let told = at(book, zone_name, moment, place);
                        assert_eq!(
                            told.answer,
                            expected,
                            "{name} {zone} {on}, {minutes} minutes from {end}: {}",
                            moment.with_timezone(&zone_name)
                        );
                    }
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 12 * 8 * 15, "{asked} moments");
}

/// Clocks in the European Union go back on 25 October 2026 at 01:00 universal time (Directive 2000/84/EC, article 3): the
/// evening before, the next opening is told as a moment, and the clock shows it an hour earlier than the old one would.
#[test]
fn what_comes_next_over_a_change_of_the_clocks() {
    let rome: Tz = chrono_tz::Europe::Rome;
    let place = LngLat { lng: 11.3, lat: 44.5 };
    let sun = book(
        "Europe/Rome",
        &rule(
            "hours",
            r#"{"open": {"from": "sunrise-01:00", "to": "sunset+01:00"}}"#,
        ),
    );
    let evening = rome
        .with_ymd_and_hms(2026, 10, 24, 22, 0, 0)
        .single()
        .expect("one evening");
    let told = at(&sun, rome, evening.to_utc(), place);
    let next = told.next.expect("opens");
    assert_eq!(
        (told.answer, next.message.key, next.on),
        (Answer::Closed, "law.next.opens_at", day(date("2026-10-25")))
    );
    let Some((
        _,
        Arg::Instant {
            day: on,
            minutes,
            time_zone,
        },
    )) = next.message.args.iter().find(|(name, _)| *name == "time")
    else {
        panic!("a moment: {:?}", next.message)
    };
    assert_eq!(time_zone, "Europe/Rome");
    let midnight: NaiveDateTime = date(&on.to_string()).and_hms_opt(0, 0, 0).expect("midnight");
    let moment = midnight.and_utc() + TimeDelta::minutes(*minutes);
    let (rise, _) = reference(date("2026-10-25"), place).expect("sunrise");
    let apart = (moment - (rise - TimeDelta::hours(1))).num_minutes().abs();
    assert!(apart <= 4, "{moment} and {rise}");
    assert_eq!(moment.with_timezone(&rome).hour(), 5, "on the winter clock");
    // The day before, the same opening stood on the summer clock.
    let (before, _) = reference(date("2026-10-24"), place).expect("sunrise");
    assert_eq!((before - TimeDelta::hours(1)).with_timezone(&rome).hour(), 6);
}

/// Beyond the polar circle the sun neither rises nor sets in midsummer (common knowledge): the hours are not known, and the
/// words say why. Without the clock or the place they are not known either.
#[test]
fn a_day_without_sunset_is_not_known() {
    let sun = book(
        "Europe/Oslo",
        &rule("hours", r#"{"open": {"from": "sunrise", "to": "sunset"}}"#),
    );
    let tromso = LngLat {
        lng: 18.96,
        lat: 69.65,
    };
    let oslo: Tz = chrono_tz::Europe::Oslo;
    for (on, expected, key) in [
        ("2026-06-21", Answer::NotKnown, "law.maybe.hours_no_sun"),
        ("2026-12-21", Answer::NotKnown, "law.maybe.hours_no_sun"),
        ("2026-09-21", Answer::Limits, "law.hours.open"),
    ] {
        assert_eq!(
            reference(date(on), tromso).is_some(),
            expected == Answer::Limits,
            "{on}"
        );
        let noon = date(on).and_hms_opt(10, 0, 0).expect("a time").and_utc();
        let told = at(&sun, oslo, noon, tromso);
        let hours = told
            .findings()
            .find(|finding| finding.rule.as_str() == "r")
            .expect("the hours");
        assert_eq!((told.answer, hours.message.key), (expected, key), "{on}");
    }
    let clockless = Visit {
        time: ClockTime::parse("12:00").ok(),
        ..Visit::on(day(date("2026-09-21")))
    };
    let membership = sun.membership_of(&[]);
    for place in [None, Some(tromso)] {
        let told = Law::at(&[&sun], &clockless, &Gear::default(), place).verdict(&[&membership]);
        assert_eq!(
            (told.answer, told.decided_by[0].message.key),
            (Answer::NotKnown, "law.maybe.hours_no_clock")
        );
    }
    // Without a time the hours are listed and close nothing.
    let dayless = Law::at(
        &[&sun],
        &Visit::on(day(date("2026-06-21"))),
        &Gear::default(),
        Some(tromso),
    );
    assert_eq!(dayless.answer(&[&membership]), Answer::Limits);
}

/// Every name of the IANA database can stand in a book, those without a slash too; what is not in it is refused where
/// that shows. The books of the examples and tests name zones of the database.
#[test]
fn zone_names_are_those_of_the_database() {
    for zone in chrono_tz::TZ_VARIANTS.iter() {
        let read = book(zone.name(), &rule("closed_days", r#"{"days_of_month": "1-10"}"#));
        assert_eq!(read.region.time_zone, zone.name());
    }
    for none in ["Vienna", "MEZ", "cet", "UTC+1", "Europe/", "Europe /Vienna", ""] {
        assert!(none.parse::<Tz>().is_err(), "{none} is one");
        let text = include_str!("fixtures/rules/unsuspicious.json").replace("Europe/Vienna", none);
        let mistakes = RuleBook::read(text.as_bytes(), &Knowledge::shipped().fungi).expect_err(none);
        let said: Vec<String> = mistakes.iter().map(|mistake| mistake.sentence()).collect();
        assert_eq!(
            said,
            [format!(
                "region: `time_zone` is `{none}`, expected an IANA time zone such as `Europe/Vienna`"
            )]
        );
    }
    assert!(chrono_tz::TZ_VARIANTS.len() > 400);
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut held = 0;
    for folder in [
        "examples/region",
        "examples/rules",
        "tests/fixtures/rules/statutes",
    ] {
        for entry in std::fs::read_dir(root.join(folder)).expect(folder) {
            let path = entry.expect("entry").path();
            if path.extension().is_none_or(|ending| ending != "json") {
                continue;
            }
            let value: serde_json::Value =
                serde_json::from_slice(&std::fs::read(&path).expect("file")).expect("JSON");
            if let Some(zone) = value["region"]["time_zone"].as_str() {
                assert!(zone.parse::<Tz>().is_ok(), "{}: {zone}", path.display());
                held += 1;
            }
        }
    }
    assert!(held >= 20, "{held} books");
}
