//! The dry run of a crosswalk: what each property of a sampled feature became, in words and for machines. In: a small
//! map in an agency's columns and its crosswalk. Out: the exact lines.

use std::collections::BTreeMap;

use hostwood::boundary::Session;
use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Crosswalk, Sampled, dry_run};
use serde_json::{Value, json};

const CROSSWALK: &str = r#"{
  "format": "hostwood-crosswalk/1.0",
  "reference_year": 2026,
  "missing": ["n/a"],
  "lists": {"pl": {"codes": {"SO": "Pinus sylvestris", "GB": {"group": "broadleaf"}}}},
  "kind": {"when": [{"col": "TYPE", "eq": "W", "then": "not-forest"}], "else": "stand"},
  "id": {"from": ["NO", "NUMBER"]},
  "trees": [{"composition": {"from": "MIX", "order": "share-code", "unit": "tenths", "list": "pl", "layer_mark": "/"}}],
  "age": {"from": "BORN", "missing": [0], "year": "origin"},
  "canopy": {"from": "CROWN", "class": {"B": [0.6, 0.79]}},
  "height": {"from": "H", "unit": "dm"},
  "moisture": {"from": "WET", "codes": {"1": ["fresh", "moist"]}},
  "designation": {"from": "PROT", "split": ";"},
  "ownership": {"const": "state"},
  "attributes": {"block": {"from": "BLOCK"}}
}"#;

const ROWS: &str = r#"
{"NUMBER": "12-a", "MIX": "7SO 3GB / 10XX", "BORN": 1966, "CROWN": "B", "H": 185, "WET": 1, "PROT": "nature;water", "BLOCK": 7}
{"NO": "13", "MIX": "SO", "BORN": 0, "CROWN": "Q", "H": "n/a", "WET": null, "PROT": null}
{"NO": "14", "TYPE": "W"}
"#;

/// The rows as a stand map.
fn map() -> String {
    let features: Vec<Value> = ROWS
        .lines()
        .filter(|row| !row.is_empty())
        .map(|row| {
            let properties: Value = serde_json::from_str(row).expect("a row");
            json!({"type": "Feature", "properties": properties, "geometry": {"type": "Polygon",
                "coordinates": [[[10, 50], [10.001, 50], [10.001, 50.001], [10, 50]]]}})
        })
        .collect();
    json!({"type": "FeatureCollection", "features": features}).to_string()
}

fn sampled(count: usize) -> Vec<Sampled> {
    let crosswalk = Crosswalk::read(CROSSWALK.as_bytes()).expect("a crosswalk");
    let (reading, sampled) =
        dry_run(map().as_bytes(), Some(&crosswalk), Knowledge::shipped(), count).expect("a map");
    assert_eq!(reading.report.stands, 2);
    sampled
}

#[test]
fn each_property_of_a_sampled_feature_is_told_with_its_fact() {
    let told: Vec<String> = sampled(3).iter().map(ToString::to_string).collect();
    let lines: Vec<&str> = told.iter().flat_map(|told| told.lines()).collect();
    assert_eq!(
        lines,
        [
            "stand `12-a` (feature 1)",
            "  id             NUMBER `12-a`                      12-a",
            "  trees          MIX `SO`                           Pinus sylvestris; 70 %; canopy",
            "  trees          MIX `GB`                           any broadleaf; 30 %; canopy",
            "  trees          MIX `XX`                           100 %; understorey; the tree is not known",
            "  age            BORN `1966`                        60 years",
            "  canopy         CROWN `B`                          60 to 79 %, middle 69.5",
            "  height         H `185`                            18.5 m",
            "  moisture       WET `1`                            fresh to moist",
            "  designation    PROT `nature;water`                nature, water",
            "  ownership      (const) `state`                    state",
            "  attributes.block BLOCK `7`                          7",
            "stand `13` (feature 2)",
            "  id             NO `13`                            13",
            "  trees          MIX `SO`                           canopy; the tree is not known",
            "  age            BORN `0`                           empty: a marker for missing",
            "  canopy         CROWN `Q`                          not known: the code `Q` is in no list",
            "  height         H `n/a`                            empty: a marker for missing",
            "  moisture       WET                                empty",
            "  designation    PROT                               empty",
            "  ownership      (const) `state`                    state",
            "  attributes.block BLOCK                              empty",
            "feature 3: left out (no forest, by the crosswalk)",
            "  trees          MIX                                ",
            "  id             NO `14`                            ",
            "  age            BORN                               ",
            "  canopy         CROWN                              ",
            "  height         H                                  ",
            "  moisture       WET                                ",
            "  designation    PROT                               ",
            "  ownership      (const) `state`                    ",
            "  attributes.block BLOCK                              ",
        ]
    );
}

#[test]
fn samples_are_spread_over_the_map_and_never_more_than_it_has() {
    let features = |count: usize| -> Vec<usize> { sampled(count).iter().map(|one| one.feature).collect() };
    assert_eq!(features(0), Vec::<usize>::new());
    assert_eq!(features(1), [1]);
    assert_eq!(features(2), [1, 2]);
    assert_eq!(features(9), [1, 2, 3]);
}

#[test]
fn machines_get_values_units_and_ranges() {
    let told = serde_json::to_value(sampled(1)).expect("JSON");
    let fact = |name: &str| {
        let facts = told[0]["facts"].as_array().expect("facts");
        facts
            .iter()
            .find(|fact| fact["fact"] == name)
            .expect(name)
            .clone()
    };
    assert_eq!(
        fact("canopy"),
        json!({"fact": "canopy", "property": "CROWN", "raw": "B", "value": null, "low": 0.6, "high": 0.79,
            "middle": 0.6950000000000001, "unit": "fraction", "tree": null, "layer": null, "why": null})
    );
    assert_eq!(
        fact("trees"),
        json!({"fact": "trees", "property": "MIX", "raw": "SO", "value": 0.7000000000000001, "low": null,
            "high": null, "middle": null, "unit": "fraction", "tree": "Pinus sylvestris", "layer": "canopy",
            "why": null})
    );
}

/// What a page is told of a crosswalk that is tried, and that the map in use stays.
#[test]
fn a_page_tries_a_crosswalk_without_losing_its_map() {
    let mut session = Session::default();
    session.begin_stands(None).expect("the plain form");
    session
        .push_stands(br#"{"type": "FeatureCollection", "features": []}"#)
        .expect("a map");
    session.finish_stands().expect("a map");
    let files = BTreeMap::new();
    let trial = |crosswalk: Option<&str>, features| {
        session.try_crosswalk(map().as_bytes(), crosswalk.map(str::as_bytes), &files, features)
    };
    let told = serde_json::to_value(trial(Some(CROSSWALK), 1).expect("a crosswalk")).expect("JSON");
    assert_eq!(
        json!([
            told["features"],
            told["stands"],
            told["withoutOutline"],
            told["unread"]
        ]),
        json!([3, 2, 0, {}])
    );
    assert_eq!(told["findings"][0]["code"], "unmapped-code");
    assert_eq!(told["sampled"].as_array().map(Vec::len), Some(1));
    assert_eq!(told["sampled"][0]["stand"], "12-a");
    assert_eq!(told["sampled"][0]["leftOut"], Value::Null);
    assert_eq!(told["sampled"][0]["facts"][4]["property"], "BORN");
    assert_eq!(told["sampled"][0]["facts"][4]["value"], 60.0);
    let all = trial(Some(CROSSWALK), usize::MAX).expect("a crosswalk").sampled;
    assert_eq!(all.len(), 3);
    assert_eq!(all[2].left_out.as_deref(), Some("no forest, by the crosswalk"));
    // In the plain form nothing of it is read.
    let plain = trial(None, 1).expect("the plain form");
    assert_eq!(plain.unread.get("BORN"), Some(&2));
    let refused = trial(
        Some(r#"{"format": "hostwood-crosswalk/1.0", "trees": [{"name": {"from": "MIX"}, "share": {"from": "H"}}]}"#),
        1,
    )
    .expect_err("no unit");
    assert_eq!(
        (refused.code.as_str(), refused.mistakes[0].code.as_str()),
        ("bad-crosswalk", "unit-missing")
    );
    let refused = session.try_crosswalk(b"{}", None, &files, 1).expect_err("no map");
    assert_eq!(refused.code, "not-geojson");
    // The map in use is there as before.
    assert!(
        session
            .set_visit(&serde_json::from_value(json!({"day": "2026-09-12", "visitor": {}})).expect("a visit"))
            .is_ok()
    );
}
