//! Days, windows, hours and what comes next.

use super::{at, sound};
use crate::day::Day;
use crate::rules::{Answer, Law, RuleBook};

/// A book of one region and one daily limit, with these rules beside it.
fn with(rules: &str) -> RuleBook {
    let head = include_str!("../../../tests/fixtures/rules/three-zones.json");
    let daily = r#"{"id": "daily", "kind": "quantity", "text": {"en": "2 kg."}, "sources": ["act"],
        "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}}"#;
    let book = head
        .replace(r#""rules": []"#, &format!(r#""rules": [{daily}, {rules}]"#))
        .replace(r#""valid_from": "2026-01-01","#, "");
    sound(book.as_bytes())
}

fn rule(kind: &str, rest: &str) -> String {
    format!(r#"{{"id": "r", "kind": "{kind}", "text": {{"en": "Words."}}, "sources": ["act"], {rest}}}"#)
}

fn closed(book: &RuleBook, day: &str, time: Option<&str>) -> bool {
    let place = book.membership_of(&[]);
    match Law::on(&[book], &at(day, time)).answer(&[&place]) {
        Answer::Closed => true,
        Answer::Limits => false,
        other => panic!("{day}: {other:?}"),
    }
}

#[test]
fn days_of_the_month_of_the_week_and_by_parity() {
    let first_ten = with(&rule(
        "closed_days",
        r#""closed_days": {"days_of_month": "1-10"}"#,
    ));
    let odd = with(&rule("closed_days", r#""closed_days": {"parity": "odd"}"#));
    let days = with(&rule(
        "closed_days",
        r#""closed_days": {"weekdays": ["tuesday"], "dates": ["2026-08-15"], "days_of_month": [29]}"#,
    ));
    for (book, day, expected) in [
        (&first_ten, "2026-02-28", false),
        (&first_ten, "2026-03-01", true),
        (&first_ten, "2026-03-10", true),
        (&first_ten, "2026-03-11", false),
        (&first_ten, "2028-02-29", false),
        // Even days over a month's end: the 31st and the 1st are both odd.
        (&odd, "2026-08-30", false),
        (&odd, "2026-08-31", true),
        (&odd, "2026-09-01", true),
        (&odd, "2026-09-02", false),
        (&odd, "2028-02-29", true),
        (&odd, "2028-03-01", true),
        // 15 September 2026 is a Tuesday.
        (&days, "2026-09-15", true),
        (&days, "2026-09-16", false),
        (&days, "2026-08-15", true),
        (&days, "2027-08-15", false),
        (&days, "2028-02-29", true),
    ] {
        assert_eq!(closed(book, day, None), expected, "{day}");
    }
}

#[test]
fn seasons_include_both_ends_and_may_wrap_the_year() {
    let summer = with(&rule(
        "season",
        r#""season": {"open": {"from": "06-15", "to": "09-30"}}"#,
    ));
    let winter = with(&rule(
        "season",
        r#""season": {"closed": {"from": "11-01", "to": "02-29"}}"#,
    ));
    let two = with(&rule(
        "season",
        r#""season": {"open": [{"from": "04-01", "to": "05-31"}, {"from": "09-01", "to": "10-31"}]}"#,
    ));
    let when = with(&rule(
        "closed_zone",
        r#""when": {"window": {"from": "10-01", "to": "01-31"}, "weekdays": ["saturday"]}, "closed_zone": {"forbids": ["enter"]}"#,
    ));
    for (book, day, expected) in [
        (&summer, "2026-06-14", true),
        (&summer, "2026-06-15", false),
        (&summer, "2026-09-30", false),
        (&summer, "2026-10-01", true),
        (&winter, "2026-10-31", false),
        (&winter, "2026-12-31", true),
        (&winter, "2027-01-01", true),
        (&winter, "2027-02-28", true),
        (&winter, "2028-02-29", true),
        (&winter, "2027-03-01", false),
        (&two, "2026-05-31", false),
        (&two, "2026-06-01", true),
        (&two, "2026-10-31", false),
        // 3 October 2026 is a Saturday.
        (&when, "2026-10-03", true),
        (&when, "2026-10-04", false),
        (&when, "2027-01-30", true),
        (&when, "2027-02-06", false),
    ] {
        assert_eq!(closed(book, day, None), expected, "{day}");
    }
}

#[test]
fn hours_close_only_when_a_time_is_told() {
    let night = with(&rule(
        "hours",
        r#""hours": {"closed": {"from": "19:00", "to": "07:00"}}"#,
    ));
    let day = with(&rule(
        "hours",
        r#""hours": {"open": {"from": "07:00", "to": "19:00"}}"#,
    ));
    let october = with(&rule(
        "hours",
        r#""when": {"window": {"from": "10-01", "to": "12-31"}}, "hours": {"open": {"from": "07:00", "to": "17:00"}}"#,
    ));
    for book in [&night, &day] {
        for (time, expected) in [
            (None, false),
            (Some("00:00"), true),
            (Some("06:59"), true),
            (Some("07:00"), false),
            (Some("18:59"), false),
            (Some("19:00"), true),
            (Some("24:00"), true),
        ] {
            assert_eq!(closed(book, "2026-09-12", time), expected, "{time:?}");
        }
    }
    assert!(!closed(&october, "2026-09-30", Some("18:00")));
    assert!(closed(&october, "2026-10-01", Some("18:00")));
    // Hours by the sun cannot be told from the clock alone; they close nothing while no time is told.
    let sun = with(&rule(
        "hours",
        r#""hours": {"open": {"from": "sunrise-01:00", "to": "sunset+01:00"}}"#,
    ));
    let place = sun.membership_of(&[]);
    let ask = |time| Law::on(&[&sun], &at("2026-09-12", time)).answer(&[&place]);
    assert_eq!(
        (ask(None), ask(Some("12:00"))),
        (Answer::Limits, Answer::NotKnown)
    );
}

#[test]
fn what_comes_next() {
    let first_ten = with(&rule(
        "closed_days",
        r#""closed_days": {"days_of_month": "1-10"}"#,
    ));
    let summer = with(&rule(
        "season",
        r#""season": {"open": {"from": "06-15", "to": "09-30"}}"#,
    ));
    let night = with(&rule(
        "hours",
        r#""hours": {"closed": {"from": "19:00", "to": "07:00"}}"#,
    ));
    let always = with(&rule("closed_zone", r#""closed_zone": {"forbids": ["collect"]}"#));
    let both = with(
        &(rule("closed_days", r#""closed_days": {"days_of_month": "1-10"}"#)
            + ", "
            + &rule(
                "season",
                r#""season": {"closed": {"from": "10-08", "to": "10-14"}}"#,
            )
            .replace(r#""r""#, r#""s""#)),
    );
    let ended = with(&rule(
        "closed_zone",
        r#""valid_to": "2026-12-31", "closed_zone": {"forbids": ["collect"]}"#,
    ));
    let mut expires = first_ten.clone();
    expires.valid_to = Some(at("2026-10-05", None).day);
    for (book, day, time, expected) in [
        (&first_ten, "2026-10-03", None, "2026-10-11 limits law.next.opens"),
        (
            &first_ten,
            "2026-10-11",
            None,
            "2026-11-01 closed law.next.closes",
        ),
        (
            &first_ten,
            "2026-10-03",
            Some("12:00"),
            "2026-10-11 00:00 limits law.next.opens_at",
        ),
        (&summer, "2026-10-01", None, "2027-06-15 limits law.next.opens"),
        (&summer, "2027-06-15", None, "2027-10-01 closed law.next.closes"),
        (
            &night,
            "2026-10-03",
            Some("06:00"),
            "2026-10-03 07:00 limits law.next.opens_at",
        ),
        (
            &night,
            "2026-10-03",
            Some("19:00"),
            "2026-10-04 07:00 limits law.next.opens_at",
        ),
        (
            &night,
            "2026-10-03",
            Some("12:00"),
            "2026-10-03 19:00 closed law.next.closes_at",
        ),
        (&night, "2026-10-03", None, "nothing"),
        (&always, "2026-10-03", None, "nothing"),
        // Two closures that touch: open only after the later one.
        (&both, "2026-10-03", None, "2026-10-15 limits law.next.opens"),
        (&ended, "2026-10-03", None, "2027-01-01 limits law.next.opens"),
        // After the book's last day nobody knows what is open; what it closes stays closed.
        (
            &expires,
            "2026-10-03",
            None,
            "2026-10-11 not_known law.next.unsure",
        ),
    ] {
        let place = book.membership_of(&[]);
        let next = Law::on(&[book], &at(day, time)).verdict(&[&place]).next;
        let told = next.map_or("nothing".to_owned(), |next| {
            let time = next.at.map_or(String::new(), |at| format!(" {at}"));
            format!("{}{time} {} {}", next.on, next.becomes.word(), next.message.key)
        });
        assert_eq!(told, expected, "{day} {time:?}");
    }
}

#[test]
fn a_book_has_a_state_on_each_day() {
    use crate::rules::BookState;
    let mut book = with(&rule("advice", r#""valid_from": "2026-01-01""#));
    let day = |text| Day::parse(text).expect(text);
    book.valid_from = Some(day("2026-01-01"));
    book.valid_to = Some(day("2027-12-31"));
    book.review_by = Some(day("2027-03-01"));
    for (on, state, answer) in [
        (
            "2025-12-31",
            BookState::NotYet(day("2026-01-01")),
            Answer::NotKnown,
        ),
        ("2026-01-01", BookState::InForce, Answer::Limits),
        ("2027-03-01", BookState::InForce, Answer::Limits),
        (
            "2027-03-02",
            BookState::ReviewDue(day("2027-03-01")),
            Answer::NotKnown,
        ),
        (
            "2028-01-01",
            BookState::Expired(day("2027-12-31")),
            Answer::NotKnown,
        ),
    ] {
        assert_eq!(book.state_on(day(on)), state, "{on}");
        let place = book.membership_of(&[]);
        assert_eq!(Law::on(&[&book], &at(on, None)).answer(&[&place]), answer, "{on}");
    }
}

#[test]
fn a_book_out_of_date_beside_a_sound_one_still_leaves_the_answer_open() {
    let sound = with(&rule("advice", r#""valid_from": "2026-01-01""#));
    let mut old = with(&rule(
        "closed_days",
        r#""closed_days": {"days_of_month": "1-10"}"#,
    ));
    "XX-OLD".clone_into(&mut old.region.code);
    old.review_by = Some(Day::parse("2026-08-31").expect("day"));
    let place = sound.membership_of(&[]);
    let ask = |day| Law::on(&[&sound, &old], &at(day, None)).verdict(&[&place, &place]);
    let open = ask("2026-09-12");
    assert_eq!(
        (open.answer, open.notes[0].key),
        (Answer::NotKnown, "law.not_known.review_due")
    );
    let closed = ask("2026-09-05");
    assert_eq!((closed.answer, closed.out_of_date), (Answer::Closed, true));
}
