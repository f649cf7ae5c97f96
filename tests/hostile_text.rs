//! Text that means harm: markup, scripts, links that run, turns of direction, names of JavaScript's own objects. In go
//! maps, crosswalks, rule books, tables of kinds and weather with such text in every field that holds text, out come
//! answers in which it is text and nothing else: no message key, no link, no letter that cannot be seen. The page's side
//! is held by `tests/e2e/hostile.test.mjs`.

use std::collections::BTreeMap;

use hostwood::boundary::{BookBytes, ListQuery, Session, SheetOptions, VisitInput};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// What somebody may write where a name is expected.
const HOSTILE: [&str; 16] = [
    "<img src=x onerror=alert(1)>",
    "<script>alert(1)</script>",
    "javascript:alert(1)",
    "data:text/html,<script>alert(1)</script>",
    "//evil.example.org/x",
    "&lt;b&gt;",
    "\" onmouseover=\"alert(1)",
    "{name}",
    "${7*7}",
    "__proto__",
    "constructor",
    "toString",
    "=HYPERLINK(\"https://evil.example.org\")",
    "old\u{202e}dlo\u{202c} oak",
    "o\u{200b}a\u{feff}k",
    "\u{0}\u{7}\u{1b}[31m",
];

fn as_told<T: DeserializeOwned>(told: Value) -> T {
    serde_json::from_value(told).expect("what a page would send")
}

/// A stand for each hostile text, with it in every property that holds text, and each as the name of a property.
fn map() -> Value {
    let features = HOSTILE.iter().enumerate().map(|(place, text)| {
        let mut properties = json!({
            "id": format!("{text}{place}"), "name": text, "species": text, "designation": [text],
            "ownership": text, "use": text, "moisture": text, "soil_reaction": text, "setting": [text],
            "climate": text, "age": text, "attributes": {"plain": text},
        });
        properties["attributes"][*text] = json!(text);
        properties[*text] = json!(text);
        let west = 14.1 + place as f64 * 0.001;
        json!({"type": "Feature", "properties": properties, "geometry": {"type": "Polygon", "coordinates": [[
            [west, 47.1], [west + 0.001, 47.1], [west + 0.001, 47.101], [west, 47.101], [west, 47.1]]]}})
    });
    json!({"type": "FeatureCollection", "name": HOSTILE[0], "features": features.collect::<Vec<_>>()})
}

const HIDDEN: [char; 7] = [
    '\u{202e}', '\u{202c}', '\u{200b}', '\u{feff}', '\u{0}', '\u{7}', '\u{1b}',
];

/// Holds what the engine said against what may never be said.
fn nothing_let_in(told: &Value, words: &BTreeMap<String, Value>, hidden_from_map: bool) {
    match told {
        Value::Object(members) => {
            for (name, value) in members {
                if name == "key" {
                    let key = value.as_str().expect("a key is text");
                    assert!(words.contains_key(key), "`{key}` is no key of the catalogue");
                }
                if name == "link" || name == "href" {
                    let link = value.as_str().unwrap_or_default();
                    let fine = ["https://", "http://", "mailto:", "tel:"];
                    assert!(
                        link.is_empty() || fine.iter().any(|scheme| link.starts_with(scheme)),
                        "{link}"
                    );
                }
                nothing_let_in(value, words, hidden_from_map);
            }
        }
        Value::Array(members) => members
            .iter()
            .for_each(|member| nothing_let_in(member, words, hidden_from_map)),
        Value::String(text) if hidden_from_map => {
            assert!(!text.contains(HIDDEN), "{text:?} has letters that cannot be seen");
        }
        _ => {}
    }
}

fn catalogue() -> BTreeMap<String, Value> {
    serde_json::from_str(include_str!("../www/locales/en.json")).expect("the catalogue is flat JSON")
}

fn opened(map: &Value, crosswalk: Option<&Value>) -> Session {
    let mut session = Session::default();
    let crosswalk = crosswalk.map(Value::to_string);
    session
        .begin_stands(crosswalk.as_deref().map(str::as_bytes))
        .expect("the crosswalk is read");
    session
        .push_stands(map.to_string().as_bytes())
        .expect("the map is read");
    let report = session.finish_stands().expect("the map is whole");
    assert_eq!(report.stands, HOSTILE.len());
    session
        .set_visit(&as_told::<VisitInput>(
            json!({"day": "2026-09-12", "visitor": {}}),
        ))
        .expect("a visit");
    session
}

/// All that the engine says of a map: list, so many sheets, export.
fn all_told(session: &Session, sheets: usize) -> Vec<Value> {
    let query =
        as_told::<ListQuery>(json!({"sort": "name", "descending": false, "view": "roots", "limit": 100}));
    let page = session.list(&query).expect("a page of the list");
    let mut told = vec![serde_json::to_value(&page).expect("JSON")];
    for row in page.rows.iter().take(sheets) {
        let options = as_told::<SheetOptions>(json!({"languages": ["en"], "view": "roots"}));
        let sheet = session.sheet(&row.id, &options).expect("a sheet");
        told.push(serde_json::to_value(sheet).expect("JSON"));
        told.push(serde_json::to_value(session.stand(&row.id)).expect("JSON"));
    }
    let export = session.to_geojson().expect("the assessed map");
    told.push(serde_json::from_slice(&export).expect("the export is JSON"));
    told
}

#[test]
fn text_of_a_map_stays_text() {
    let session = opened(&map(), None);
    let words = catalogue();
    let told = all_told(&session, HOSTILE.len());
    for one in &told {
        nothing_let_in(one, &words, true);
    }
    // It is shown as it was written, where it can be seen.
    let all = told.iter().map(Value::to_string).collect::<String>();
    for text in [
        "<img src=x onerror=alert(1)>",
        "__proto__",
        "olddlo oak",
        "{name}",
    ] {
        let written = serde_json::to_string(text).expect("JSON");
        assert!(all.contains(written.trim_matches('"')), "{text} is not shown");
    }
}

#[test]
fn text_of_a_crosswalk_stays_text() {
    let codes: BTreeMap<&str, &str> = HOSTILE.iter().map(|text| (*text, "Picea abies")).collect();
    let attributes: BTreeMap<&str, Value> = HOSTILE
        .iter()
        .map(|text| (*text, json!({"from": "plain"})))
        .collect();
    let crosswalk = json!({
        "format": "hostwood-crosswalk/1.0", "$comment": HOSTILE[1],
        "lists": {"__proto__": {"source": HOSTILE[2], "codes": codes}},
        "trees": [{"name": {"from": "species", "list": "__proto__"}}],
        "name": {"from": "name"}, "designation": {"from": "use"}, "attributes": attributes, "keep": ["owner"],
    });
    let session = opened(&map(), Some(&crosswalk));
    let words = catalogue();
    for one in all_told(&session, HOSTILE.len()) {
        nothing_let_in(&one, &words, true);
    }
}

/// A rule book with text in every place that takes it: each link is left out with a warning, each text is shown or the
/// book refused, and no answer becomes milder than closed.
#[test]
fn text_of_a_rule_book_stays_text_and_its_links_are_left_out() {
    let sound: Value =
        serde_json::from_str(include_str!("../examples/rules/wold.rules.json")).expect("a rule book");
    let words = catalogue();
    let mut read = 0;
    for text in HOSTILE {
        let mut book = sound.clone();
        book["region"]["names"]["en"] = json!(text);
        book["authority"] = json!({"name": {"en": text}, "link": text, "phone": text});
        book["sources"][0]["title"] = json!(text);
        book["sources"][0]["link"] = json!(text);
        book["zones"][0]["names"]["en"] = json!(text);
        book["taxa"]["ceps"]["names"]["en"] = json!(text);
        for rule in book["rules"].as_array_mut().expect("rules") {
            rule["text"]["en"] = json!(text);
        }
        let mut session = opened(&map(), None);
        let report = session.set_rules(&[BookBytes {
            name: "book".to_owned(),
            bytes: Some(book.to_string().into_bytes()),
        }]);
        let told = serde_json::to_value(&report).expect("JSON");
        nothing_let_in(&told, &words, false);
        let codes: Vec<&str> = report
            .mistakes
            .iter()
            .map(|mistake| mistake.code.as_str())
            .collect();
        if report.books[0].state == "read" {
            read += 1;
            assert!(codes.contains(&"link"), "{text}: {codes:?}");
        } else {
            let refused = report.mistakes.iter().any(|mistake| mistake.severity == "error");
            assert!(refused, "{text}: {codes:?}");
        }
        session
            .set_visit(&as_told::<VisitInput>(
                json!({"day": "2026-09-10", "visitor": {}}),
            ))
            .expect("a visit");
        let all = all_told(&session, 1);
        let answers: Vec<String> = all[0]["rows"]
            .as_array()
            .expect("rows")
            .iter()
            .map(|row| row["answer"].as_str().unwrap_or_default().to_owned())
            .collect();
        // The tenth of a month: the book closes the forest, or what it says is not known.
        assert!(
            answers
                .iter()
                .all(|answer| answer == "closed" || answer == "not_known"),
            "{text}: {answers:?}"
        );
        for one in all {
            nothing_let_in(&one, &words, false);
        }
    }
    assert!(read >= 10, "only {read} of the books were read");
}

/// Weather and tables of kinds: refused in words, or shown as text.
#[test]
fn text_of_weather_and_kinds_stays_text() {
    let words = catalogue();
    for text in HOSTILE {
        let mut session = opened(&map(), None);
        let days = json!({"station": text, "days": [{"date": "2026-09-01", "rain": 3, "note": text}]});
        let told = match session.set_weather(Some(days.to_string().as_bytes()), Some("2026-09-12")) {
            Ok(report) => serde_json::to_value(&report).expect("JSON"),
            Err(refused) => serde_json::to_value(&refused).expect("JSON"),
        };
        nothing_let_in(&told, &words, false);
        let kinds = format!("# {text}\n{text},scientific_name\n{text},{text}\n");
        let report = session.set_kinds(&[BookBytes {
            name: text.to_owned(),
            bytes: Some(kinds.into_bytes()),
        }]);
        nothing_let_in(&serde_json::to_value(&report).expect("JSON"), &words, false);
        session
            .set_visit(&as_told::<VisitInput>(
                json!({"day": "2026-09-12", "visitor": {}}),
            ))
            .expect("a visit");
        for one in all_told(&session, 1) {
            nothing_let_in(&one, &words, false);
        }
    }
}

/// Half of a pair of letters (RFC 8259, 8.2) is no text: the feature is left out, and nothing else.
#[test]
fn a_lone_surrogate_costs_its_feature_alone() {
    let sound = map().to_string();
    let broken = sound.replacen("<script>alert(1)</script>", r"\ud83c broken", 1);
    let mut session = Session::default();
    session.begin_stands(None).expect("the plain form");
    session.push_stands(broken.as_bytes()).expect("the map is read");
    let report = session.finish_stands().expect("the map is whole");
    assert_eq!(report.stands, HOSTILE.len() - 1);
    let codes: Vec<&str> = report
        .findings
        .iter()
        .map(|finding| finding.code.as_str())
        .collect();
    assert_eq!(codes[0], "not-json");
}
