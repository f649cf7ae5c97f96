//! Zones: outlines, values of the stand, and zones put together; parts of a stand, and what is not known of it.

use super::{at, sound, standing_of, subject, verdict_of};
use crate::rules::{Answer, Law, Membership, Part, RuleBook, Subject};
use crate::stand::{AttributeValue, Ownership, Standing};
use crate::units::{Absence, Elevation, Fact, Metres, Truth, Years};

/// A book with these zones and a limit, closed in the last zone.
fn zoned(zones: &[&str]) -> RuleBook {
    let head = include_str!("../../../tests/fixtures/rules/three-zones.json");
    let (before, rest) = head.split_once(r#""zones": ["#).expect("zones");
    let (_, after) = rest.split_once("],\n  \"rules\": []").expect("rules");
    let zones: Vec<String> = zones
        .iter()
        .enumerate()
        .map(|(place, zone)| format!(r#"{{"id": "z{place}", "where": {zone}}}"#))
        .collect();
    let rules = format!(
        r#"{{"id": "daily", "kind": "quantity", "text": {{"en": "2 kg."}}, "sources": ["act"], "quantity": {{"amount": "2", "unit": "kg", "per": "person", "period": "day"}}}},
           {{"id": "closed", "kind": "closed_zone", "where": ["z{}"], "text": {{"en": "Closed."}}, "sources": ["act"], "closed_zone": {{"forbids": ["collect"]}}}}"#,
        zones.len() - 1
    );
    let text = format!(
        "{before}\"zones\": [{}],\n  \"rules\": [{rules}]{after}",
        zones.join(", ")
    );
    sound(text.as_bytes())
}

/// A square of a zone from its corners.
fn square(west: f64, south: f64, east: f64, north: f64) -> String {
    format!(
        r#"{{"outline": {{"type": "Polygon", "coordinates": [[[{west}, {south}], [{east}, {south}], [{east}, {north}], [{west}, {north}], [{west}, {south}]]]}}}}"#
    )
}

fn thousandths(part: Part) -> (u16, u16) {
    (part.least, part.greatest)
}

#[test]
fn shares_of_a_stand_in_an_outline() {
    let standing = Standing::default();
    // The stand is a hundredth of a degree wide; the zone begins so far into it.
    for (from, expected, answer, share) in [
        (14.50, (1000, 1000), Answer::Closed, None),
        (14.501, (900, 900), Answer::Closed, Some(0.9)),
        (14.506, (400, 400), Answer::Closed, Some(0.4)),
        // Less than half a hundredth is a line drawn twice.
        (14.509_96, (0, 0), Answer::Limits, None),
        // Only the border is shared.
        (14.51, (0, 0), Answer::Limits, None),
        (14.60, (0, 0), Answer::Limits, None),
    ] {
        let book = zoned(&[&square(from, 47.0, 14.9, 48.0)]);
        let verdict = verdict_of(&[&book], &subject(&standing, 14.5, 47.5), &at("2026-09-12", None));
        let membership = book.membership(&subject(&standing, 14.5, 47.5));
        assert_eq!(thousandths(membership.zones[0]), expected, "{from}");
        assert_eq!((verdict.answer, verdict.closed_share), (answer, share), "{from}");
        if share.is_some() {
            assert_eq!(
                verdict.decided_by[0].message.key, "law.closed.place",
                "the zone has no name"
            );
            assert_eq!(verdict.decided_by[0].share_of_stand, share);
        }
    }
}

#[test]
fn zones_put_together() {
    let west = square(14.0, 47.0, 14.506, 48.0);
    let south = square(14.0, 47.0, 15.0, 47.503);
    for (zone, expected) in [
        (r#"{"all_of": ["z0", "z1"]}"#, (0, 300)),
        (r#"{"any_of": ["z0", "z1"]}"#, (600, 900)),
        (r#"{"not": "z0"}"#, (400, 400)),
    ] {
        let book = zoned(&[&west, &south, zone]);
        let standing = Standing::default();
        let membership = book.membership(&subject(&standing, 14.5, 47.5));
        assert_eq!(thousandths(membership.zones[2]), expected, "{zone}");
    }
    // Zones may refer to zones that are written further down.
    let book = zoned(&[r#"{"not": "z1"}"#, &west]);
    let ids: Vec<&str> = book.zones.iter().map(|zone| zone.id.as_str()).collect();
    assert_eq!(ids, ["z1", "z0"]);
}

#[test]
fn a_region_that_covers_a_part_leaves_the_rest_not_known() {
    let book = zoned(&[&square(14.0, 47.0, 14.1, 47.1)]);
    let standing = Standing::default();
    // The region ends at 15 degrees east.
    let verdict = verdict_of(
        &[&book],
        &subject(&standing, 14.996, 47.5),
        &at("2026-09-12", None),
    );
    assert_eq!(verdict.answer, Answer::NotKnown);
    assert_eq!(verdict.notes[0].key, "law.not_known.partly_outside");
    assert_eq!(verdict.limits[0].share_of_stand, Some(0.4));
}

#[test]
fn a_stand_without_an_outline_may_lie_anywhere() {
    let book = zoned(&[&square(14.0, 47.0, 14.1, 47.1)]);
    let standing = Standing::default();
    let subject = Subject {
        place: None,
        ..subject(&standing, 14.5, 47.5)
    };
    let membership = book.membership(&subject);
    assert_eq!(
        (membership.area, membership.zones[0]),
        (Part::NOT_KNOWN, Part::NOT_KNOWN)
    );
    let verdict = verdict_of(&[&book], &subject, &at("2026-09-12", None));
    assert_eq!(verdict.answer, Answer::NotKnown);
}

fn test_of(test: &str, subject: &Subject<'_>) -> Truth {
    let book = zoned(&[&format!(r#"{{"attribute": {test}}}"#)]);
    book.membership(subject).zones[0].touches()
}

#[test]
fn values_of_a_stand_are_tested_in_three_ways() {
    let metres = |metres| Metres::new(metres).expect("metres");
    let full = Standing {
        designation: Fact::Known(vec!["reserve".into(), "park".into()]),
        ownership: Fact::Known(Ownership::Communal),
        land_use: Some("fruit chestnut".into()),
        height: Fact::Within {
            low: metres(3.0),
            high: metres(6.0),
            mid: None,
        },
        ..standing_of(Some(("level", AttributeValue::Number(3.0))))
    };
    let empty = Standing {
        designation: Fact::NotKnown(Absence::Empty),
        ..Standing::default()
    };
    let (age, elevation) = (
        Fact::Known(Years::new(40.0).expect("years")),
        Fact::Known(Elevation::new(900.0).expect("metres")),
    );
    let known = Subject {
        age: &age,
        elevation: &elevation,
        ..subject(&full, 14.5, 47.5)
    };
    let unknown = subject(&empty, 14.5, 47.5);
    use Truth::{False, NotKnown, True};
    for (test, with_values, without) in [
        (r#"{"name": "age", "below": 40}"#, False, NotKnown),
        (r#"{"name": "age", "at_most": 40}"#, True, NotKnown),
        (r#"{"name": "age", "above": 40}"#, False, NotKnown),
        (r#"{"name": "age", "at_least": 40}"#, True, NotKnown),
        (r#"{"name": "age", "equals": 40}"#, True, NotKnown),
        (r#"{"name": "age", "at_least": 20, "below": 60}"#, True, NotKnown),
        (r#"{"name": "elevation", "above": 1000}"#, False, NotKnown),
        // A stand of 3 to 6 metres, closed under 4 metres: Poland's Forest Act of 1991 article 26(2) has such a bound.
        (r#"{"name": "height", "below": 4}"#, NotKnown, NotKnown),
        (r#"{"name": "height", "below": 7}"#, True, NotKnown),
        (r#"{"name": "height", "below": 3}"#, False, NotKnown),
        (r#"{"name": "height", "equals": 5}"#, NotKnown, NotKnown),
        (r#"{"name": "designation", "equals": "park"}"#, True, NotKnown),
        (r#"{"name": "designation", "equals": "core"}"#, False, NotKnown),
        (r#"{"name": "designation", "present": true}"#, True, False),
        (
            r#"{"name": "ownership", "one_of": ["state", "communal"]}"#,
            True,
            NotKnown,
        ),
        (r#"{"name": "ownership", "equals": "private"}"#, False, NotKnown),
        (r#"{"name": "use", "equals": "fruit chestnut"}"#, True, NotKnown),
        (r#"{"name": "attributes.level", "at_least": 3}"#, True, NotKnown),
        (r#"{"name": "attributes.level", "above": 3}"#, False, NotKnown),
        (r#"{"name": "attributes.level", "present": false}"#, False, True),
        (
            r#"{"name": "attributes.level", "equals": "three"}"#,
            False,
            NotKnown,
        ),
        (
            r#"{"name": "attributes.other", "equals": true}"#,
            NotKnown,
            NotKnown,
        ),
    ] {
        assert_eq!(test_of(test, &known), with_values, "{test} with values");
        assert_eq!(test_of(test, &unknown), without, "{test} without");
    }
}

#[test]
fn what_a_map_does_not_tell_is_asked_for() {
    let book = zoned(&[r#"{"attribute": {"name": "age", "below": 15}}"#]);
    let standing = Standing::default();
    let verdict = verdict_of(&[&book], &subject(&standing, 14.5, 47.5), &at("2026-09-12", None));
    assert_eq!(verdict.answer, Answer::NotKnown);
    assert_eq!(
        verdict.possible,
        [Answer::Closed, Answer::NotKnown, Answer::Limits]
    );
    assert_eq!(verdict.decided_by[0].message.key, "law.maybe.closed");
    assert_eq!(verdict.headline.key, "law.not_known.ask");
}

#[test]
fn equal_memberships_are_equal() {
    let book = zoned(&[&square(14.0, 47.0, 14.506, 48.0)]);
    let standing = Standing::default();
    let places: Vec<Membership> = [47.2, 47.3]
        .map(|lat| book.membership(&subject(&standing, 14.5, lat)))
        .to_vec();
    assert_eq!(places[0], places[1]);
    let law = Law::on(&[&book], &at("2026-09-12", None));
    assert_eq!(law.answer(&[&places[0]]), law.answer(&[&places[1]]));
}
