//! Every message key that the engine can give out has its words in the English catalogue, and sheets give out no key
//! that is not listed.

use std::collections::{BTreeMap, BTreeSet};

use hostwood::boundary::{BookBytes, Filter, ListQuery, Session, SheetOptions, Sort, View, VisitInput};
use serde_json::Value;

fn catalogue() -> BTreeMap<String, Value> {
    serde_json::from_str(include_str!("../www/locales/en.json")).expect("the catalogue is flat JSON")
}

#[test]
fn every_listed_key_has_its_words() {
    let words = catalogue();
    let rooms = [
        hostwood::sheet::KEYS,
        hostwood::sheet::harvest::KEYS,
        hostwood::sheet::plan::KEYS,
        hostwood::rules::KEYS,
        hostwood::potential::KEYS,
        hostwood::knowledge::KEYS,
    ];
    let missing: Vec<&str> = rooms
        .concat()
        .into_iter()
        .filter(|key| !words.contains_key(*key))
        .collect();
    assert!(missing.is_empty(), "no words for {missing:?}");
}

/// All keys of a tree: every `key` member that holds text.
fn keys(tree: &Value, found: &mut BTreeSet<String>) {
    match tree {
        Value::Object(members) => {
            if let Some(key) = members.get("key").and_then(Value::as_str) {
                found.insert(key.to_owned());
            }
            members.values().for_each(|value| keys(value, found));
        }
        Value::Array(values) => values.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

#[test]
fn sheets_give_out_only_keys_with_words() {
    let words = catalogue();
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session
        .push_stands(include_bytes!("../examples/plain/stands.geojson"))
        .expect("push");
    session.finish_stands().expect("finish");
    let book = include_bytes!("../examples/region/eskenvar.rules.json").to_vec();
    // Two months of weather, the last week of it dry and cold.
    let mut weather = "date,rain,low,high,snow,forecast,station\n".to_owned();
    for (month, length) in [(7, 31), (8, 31), (9, 12)] {
        for day in 1..=length {
            let late = month == 9 && day > 5;
            let (rain, low, snow) = if late { ("", -6, 3) } else { ("0.5", 9, 0) };
            weather += &format!("2026-{month:02}-{day:02},{rain},{low},18,{snow},{late},Tess Mill\n");
        }
    }
    session
        .set_weather(Some(weather.as_bytes()), None)
        .expect("weather");
    let mut found = BTreeSet::new();
    for books in [
        vec![],
        vec![BookBytes {
            name: "region".to_owned(),
            bytes: Some(book.clone()),
        }],
        vec![
            BookBytes {
                name: "region".to_owned(),
                bytes: Some(book),
            },
            BookBytes {
                name: "lost".to_owned(),
                bytes: None,
            },
        ],
    ] {
        session.set_rules(&books);
        for day in [
            "2026-01-15",
            "2026-05-05",
            "2026-09-12",
            "2027-06-01",
            "2020-06-01",
        ] {
            let visit = VisitInput {
                day: day.to_owned(),
                ..VisitInput::default()
            };
            session.set_visit(&visit).expect("visit");
            let query = ListQuery {
                sort: Sort::Name,
                descending: false,
                view: View::Roots,
                wish: None,
                filter: Filter::default(),
                offset: 0,
                limit: 100,
                start: None,
                languages: Vec::new(),
            };
            for row in session.list(&query).expect("list").rows {
                for (view, wish) in [
                    (View::Roots, None),
                    (View::Wood, Some("boletus_edulis")),
                    (View::Litter, None),
                ] {
                    let options = SheetOptions {
                        languages: vec!["en".to_owned()],
                        view: Some(view),
                        wish: wish.map(ToOwned::to_owned),
                        at: None,
                    };
                    let sheet = session.sheet(&row.id, &options).expect("sheet");
                    keys(&serde_json::to_value(sheet).expect("a tree"), &mut found);
                }
            }
        }
    }
    assert!(found.len() > 100, "only {} keys were met", found.len());
    for key in [
        "sheet.weather.now.snow",
        "sheet.weather.frost",
        "sheet.weather.not_told",
    ] {
        assert!(found.contains(key), "`{key}` was not met");
    }
    let missing: Vec<&String> = found.iter().filter(|key| !words.contains_key(*key)).collect();
    assert!(missing.is_empty(), "no words for {missing:?}");
}
