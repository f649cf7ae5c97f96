//! The law along the whole line, natively: a stand cut by a zone and a point of it, hours that follow the sun at each
//! stand's own place, and what a page may say wrong about its clock.

use hostwood::boundary::{BookBytes, Session, SheetOptions, VisitInput};
use serde_json::{Value, json};

/// Two stands of a hundredth of a degree, ten degrees apart from west to east on one parallel.
fn map() -> Value {
    let stand = |id: &str, west: f64| {
        let east = west + 0.01;
        json!({"type": "Feature", "id": id, "properties": {}, "geometry": {"type": "Polygon", "coordinates":
            [[[west, 47.5], [east, 47.5], [east, 47.51], [west, 47.51], [west, 47.5]]]}})
    };
    json!({"type": "FeatureCollection", "features": [stand("west", 10.5), stand("east", 20.5)]})
}

fn book(zones: Value, rule: Value) -> Value {
    let mut rule = rule;
    rule["text"] = json!({"en": "Words."});
    rule["sources"] = json!(["act"]);
    json!({
        "format": "hostwood-rules/1.0",
        "region": {"code": "XX-VR", "names": {"en": "Vorrach"}, "time_zone": "Europe/Vienna",
            "area": {"type": "Polygon", "coordinates": [[[9, 46], [22, 46], [22, 49], [9, 49], [9, 46]]]}},
        "authority": {"name": {"en": "the forest office"}, "phone": "0"},
        "languages": ["en"], "checked": "2026-09-01",
        "sources": [{"id": "act", "title": "An act", "kind": "official"}],
        "zones": zones,
        "rules": [
            {"id": "daily", "kind": "quantity", "text": {"en": "2 kg."}, "sources": ["act"],
                "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}},
            rule,
        ],
    })
}

fn session(book: &Value) -> Session {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(map().to_string().as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    let report = session.set_rules(&[BookBytes {
        name: "region".to_owned(),
        bytes: Some(book.to_string().into_bytes()),
    }]);
    assert!(report.mistakes.is_empty(), "{:?}", report.mistakes);
    session
}

fn visit(time: Option<&str>, utc_offset: Option<i16>) -> VisitInput {
    VisitInput {
        day: "2026-09-23".to_owned(),
        time: time.map(str::to_owned),
        utc_offset,
        ..VisitInput::default()
    }
}

#[test]
fn a_point_of_a_stand_that_a_zone_cuts() {
    // The zone takes the western four tenths of the western stand.
    let zone = json!([{"id": "rest", "names": {"en": "the deer's rest"}, "where": {"outline": {"type": "Polygon",
        "coordinates": [[[10.4, 47.4], [10.504, 47.4], [10.504, 47.6], [10.4, 47.6], [10.4, 47.4]]]}}}]);
    let closed = json!({"id": "rest", "kind": "closed_zone", "where": ["rest"], "closed_zone": {"forbids": ["enter"]}});
    let mut session = session(&book(zone, closed));
    session.set_visit(&visit(None, None)).expect("visit");
    let languages = ["en".to_owned()];
    let told = |lng: f64| {
        let nodes = session.verdict_at(lng, 47.505, &languages).expect("nodes");
        serde_json::to_value(nodes).expect("a tree")
    };
    assert_eq!(told(10.502)[0]["answer"], "closed");
    assert_eq!(told(10.502)[0]["text"]["key"], "sheet.law.at_point");
    assert_eq!(told(10.508)[0]["answer"], "limits");
    // The eastern stand is alike all over, and between the two there is none.
    assert_eq!(told(20.505), json!([]));
    assert_eq!(told(15.0), json!([]));
    // The sheet of the stand that was pressed says so too, after its answer for the whole.
    let said = |id: &str, at: Option<f64>| {
        let options = SheetOptions {
            languages: languages.to_vec(),
            at: at.map(|lng| [lng, 47.505]),
            ..SheetOptions::default()
        };
        let tree = serde_json::to_value(session.sheet(id, &options).expect("sheet")).expect("a tree");
        let law = tree
            .as_array()
            .expect("nodes")
            .iter()
            .find(|node| node["id"] == "law")
            .expect("the law")
            .clone();
        let verdicts = law["children"]
            .as_array()
            .expect("children")
            .iter()
            .filter(|node| node["node"] == "verdict");
        verdicts
            .map(|node| node["answer"].as_str().expect("an answer").to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(said("west", None), ["closed"]);
    assert_eq!(said("west", Some(10.502)), ["closed", "closed"]);
    assert_eq!(said("west", Some(10.508)), ["closed", "limits"]);
    assert_eq!(said("east", Some(20.505)), ["limits"], "alike all over");
    assert_eq!(
        said("west", Some(20.505)),
        ["closed"],
        "another stand was pressed"
    );
}

/// On the day of the equinox the sun rises forty minutes earlier ten degrees further east (four minutes a degree; common
/// knowledge). At 06:30 on one clock the eastern stand is open and the western one is not.
#[test]
fn hours_by_the_sun_at_each_stand() {
    let hours =
        json!({"id": "light", "kind": "hours", "hours": {"open": {"from": "sunrise", "to": "sunset"}}});
    let mut session = session(&book(json!([]), hours));
    for (time, offset, expected) in [
        (Some("06:30"), Some(120), r#"{"closed":1,"limits":1}"#),
        (Some("12:00"), Some(120), r#"{"limits":2}"#),
        (Some("04:00"), Some(120), r#"{"closed":2}"#),
        // Nobody told the clock of the region.
        (Some("12:00"), None, r#"{"not_known":2}"#),
        (None, None, r#"{"limits":2}"#),
    ] {
        let report = session.set_visit(&visit(time, offset)).expect("visit");
        let answers = serde_json::to_string(&report.answers).expect("JSON");
        assert_eq!(answers, expected, "{time:?} {offset:?}");
    }
}

#[test]
fn a_clock_that_no_place_on_earth_has_is_refused() {
    let hours =
        json!({"id": "light", "kind": "hours", "hours": {"open": {"from": "sunrise", "to": "sunset"}}});
    let mut session = session(&book(json!([]), hours));
    for minutes in [-721, 841] {
        let refusal = session
            .set_visit(&visit(Some("12:00"), Some(minutes)))
            .expect_err("no such clock");
        assert_eq!(
            (refusal.code.as_ref(), refusal.message),
            (
                "bad-visit",
                format!("utcOffset: `{minutes}`, expected minutes from -720 to 840 such as 120")
            )
        );
    }
}
