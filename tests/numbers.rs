//! Every number that scores can be reached from the sheet: each row of the factor table stands in something that opens.

use std::collections::BTreeSet;

use hostwood::boundary::{Session, SheetOptions, View, VisitInput};
use hostwood::knowledge::Knowledge;
use serde_json::Value;

/// A stand of which everything is told.
const STAND: &str = r#"{"type": "FeatureCollection", "features": [{"type": "Feature",
    "properties": {"id": "all", "trees": [{"name": "Quercus robur", "share": 1}], "age": 40, "basal_area": 25,
        "soil_reaction": "acid", "moisture": "fresh", "nitrogen": 8, "nutrients": "poor", "aspect": "south",
        "disturbance": "burnt", "since": 12, "deadwood": "some", "setting": ["edge"], "elevation": 400},
    "geometry": {"type": "Polygon", "coordinates": [[[11, 47], [11.01, 47], [11.01, 47.01], [11, 47.01], [11, 47]]]}}]}"#;

/// The terms of all tables of terms and values within things that open.
fn terms(tree: &Value, opens: bool, found: &mut BTreeSet<String>) {
    match tree {
        Value::Object(node) => {
            let opens = opens || node.get("node").is_some_and(|kind| kind == "more");
            if opens && node.get("node").is_some_and(|kind| kind == "facts") {
                for row in node["rows"].as_array().into_iter().flatten() {
                    let term = row["term"]["text"].as_str();
                    // A number is told with its value and how far it is backed.
                    let told = row["value"][0]["key"] == "sheet.number";
                    found.extend(term.filter(|_| told).map(ToOwned::to_owned));
                }
            }
            node.values().for_each(|value| terms(value, opens, found));
        }
        Value::Array(values) => values.iter().for_each(|value| terms(value, opens, found)),
        _ => {}
    }
}

#[test]
fn every_number_can_be_reached_from_the_sheet() {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(STAND.as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    let mut weather = "date,rain,low,high\n".to_owned();
    for day in 1..=31 {
        weather += &format!("2026-08-{day:02},3,9,19\n");
    }
    session
        .set_weather(Some(weather.as_bytes()), None)
        .expect("weather");
    let visit = VisitInput {
        day: "2026-09-01".to_owned(),
        ..VisitInput::default()
    };
    session.set_visit(&visit).expect("visit");
    let mut found = BTreeSet::new();
    for view in View::ALL {
        let options = SheetOptions {
            languages: vec!["en".to_owned()],
            view: Some(view),
            ..SheetOptions::default()
        };
        let sheet = session.sheet("all", &options).expect("sheet");
        terms(&serde_json::to_value(sheet).expect("a tree"), false, &mut found);
    }
    let rows = Knowledge::shipped().factors.rows();
    let lacking: Vec<String> = rows
        .iter()
        .map(|row| format!("{} {}", row.factor, row.at))
        .filter(|row| !found.contains(row))
        .collect();
    assert!(rows.len() > 150, "{} rows", rows.len());
    assert!(lacking.is_empty(), "the sheet leads to no {lacking:?}");
}
