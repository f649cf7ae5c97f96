//! The weather along the whole line, natively: a file of days goes in, the sheet says what they come to, and the stand's
//! own potential stays what it was.

use hostwood::boundary::{Filter, ListQuery, Session, SheetOptions, Sort, View, VisitInput};
use serde_json::Value;

fn session(day: &str) -> Session {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session
        .push_stands(include_bytes!("../examples/plain/stands.geojson"))
        .expect("push");
    session.finish_stands().expect("finish");
    visit(&mut session, day);
    session
}

fn visit(session: &mut Session, day: &str) {
    let visit = VisitInput {
        day: day.to_owned(),
        ..VisitInput::default()
    };
    session.set_visit(&visit).expect("visit");
}

/// Days from 1 July to 12 September 2026, each with so much rain, mild.
fn days(rain: impl Fn(u32, u32) -> f64) -> String {
    let mut file = "date,rain,low,high,station\n".to_owned();
    for (month, length) in [(7, 31), (8, 31), (9, 12)] {
        for day in 1..=length {
            file += &format!("2026-{month:02}-{day:02},{},9,19,Tess Mill\n", rain(month, day));
        }
    }
    file
}

/// The nodes of the section on fruiting.
fn fruit(session: &Session, stand: &str) -> Vec<Value> {
    let options = SheetOptions {
        languages: vec!["en".to_owned()],
        ..SheetOptions::default()
    };
    let sheet = serde_json::to_value(session.sheet(stand, &options).expect("sheet")).expect("a tree");
    let section = sheet
        .as_array()
        .and_then(|nodes| nodes.iter().find(|node| node["id"] == "fruit"))
        .expect("a section on fruiting");
    section["children"].as_array().expect("nodes").clone()
}

fn keys(nodes: &[Value]) -> Vec<&str> {
    nodes
        .iter()
        .filter_map(|node| node["text"]["key"].as_str())
        .collect()
}

fn values(session: &Session) -> Vec<(String, Option<f64>)> {
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
    let page = session.list(&query).expect("list");
    page.rows.into_iter().map(|row| (row.id, row.value)).collect()
}

#[test]
fn a_good_wood_in_a_dry_week_stays_a_good_wood() {
    let mut session = session("2026-09-12");
    let (before, standing) = (fruit(&session, "old-growth"), values(&session));
    for (rain, expected) in [(4.0, "sheet.weather.now.good"), (0.0, "sheet.weather.now.dry")] {
        let report = session
            .set_weather(Some(days(|_, _| rain).as_bytes()), Some("2026-09-12"))
            .expect("weather");
        assert_eq!((report.days, report.findings.len()), (74, 0));
        assert_eq!(report.station.as_deref(), Some("Tess Mill"));
        let after = fruit(&session, "old-growth");
        // What was said of the stand stands unchanged before what is said of the weather.
        assert_eq!(after[..before.len()], before[..]);
        let said = keys(&after[before.len()..]);
        assert_eq!(said[..2], ["sheet.weather.title", expected]);
        assert_eq!(values(&session), standing, "the weather moves no value");
        let drawn = after
            .iter()
            .find(|node| node["node"] == "weather")
            .expect("a drawing");
        assert_eq!(
            (
                drawn["from"].as_str(),
                drawn["to"].as_str(),
                drawn["today"].as_str()
            ),
            (Some("2026-08-02"), Some("2026-09-12"), Some("2026-09-12"))
        );
        let first = &drawn["days"][0];
        assert_eq!(
            (first["rain"].as_f64(), first["low"].as_f64()),
            (Some(rain), Some(9.0))
        );
        assert!(
            first["moisture"].is_number() && first["forecast"] == false,
            "{first}"
        );
        assert_eq!(said.contains(&"sheet.weather.drought"), rain == 0.0);
    }
    // A stand of which the trees are not known says the weather alone.
    assert!(keys(&fruit(&session, "not-recorded")).contains(&"sheet.weather.alone.dry"));
    let report = session.set_weather(None, None).expect("taken away");
    assert_eq!((report.days, report.from), (0, None));
    assert_eq!(fruit(&session, "old-growth"), before);
}

#[test]
fn another_day_looks_back_on_other_weeks() {
    let mut session = session("2026-09-12");
    // Rain in July and the first days of August only.
    let file = days(|month, day| {
        if month == 7 || (month == 8 && day < 8) {
            6.0
        } else {
            0.0
        }
    });
    session.set_weather(Some(file.as_bytes()), None).expect("weather");
    for (day, expected) in [
        ("2026-08-10", "sheet.weather.now.good"),
        ("2026-09-12", "sheet.weather.now.dry"),
        ("2026-12-01", "sheet.weather.not_told"),
    ] {
        visit(&mut session, day);
        let nodes = fruit(&session, "old-growth");
        assert!(keys(&nodes).contains(&expected), "{day}: {:?}", keys(&nodes));
    }
}

#[test]
fn a_bad_file_is_refused_and_the_weather_there_was_stays() {
    let mut session = session("2026-09-12");
    session
        .set_weather(Some(days(|_, _| 4.0).as_bytes()), None)
        .expect("weather");
    let before = fruit(&session, "old-growth");
    let refused = session
        .set_weather(Some(b"<!DOCTYPE html>"), None)
        .expect_err("a page is no weather");
    assert_eq!(refused.code, "bad-weather");
    assert!(
        refused
            .message
            .starts_with("weather file: it is neither JSON nor CSV"),
        "{}",
        refused.message
    );
    let refused = session.set_weather(None, Some("today")).expect_err("no day");
    assert_eq!(
        refused.message,
        "today: `today`, expected a day such as `2026-09-12`"
    );
    assert_eq!(fruit(&session, "old-growth"), before);
    // Odd days are told with their count, and the file is used.
    let odd = days(|month, day| if month == 8 && day < 4 { -1.0 } else { 4.0 });
    let report = session
        .set_weather(Some(odd.as_bytes()), Some("2026-09-10"))
        .expect("weather");
    let told: Vec<(&str, usize)> = report
        .findings
        .iter()
        .map(|finding| (finding.code.as_str(), finding.count))
        .collect();
    assert_eq!(told, [("bad-value", 3), ("future-not-forecast", 2)]);
    assert!(keys(&fruit(&session, "old-growth")).contains(&"sheet.weather.forecast"));
}

#[test]
fn the_examples_are_read_without_a_finding_and_say_the_same() {
    let csv = include_bytes!("../examples/weather/days.csv");
    let json = include_bytes!("../examples/weather/days.json");
    let region = include_bytes!("../examples/region/eskenvar.weather.csv");
    let mut session = session("2026-09-12");
    let mut said = Vec::new();
    for (file, today, days) in [
        (&csv[..], "2026-09-12", 48),
        (&json[..], "2026-09-12", 48),
        (&region[..], "2026-11-25", 183),
    ] {
        let report = session.set_weather(Some(file), Some(today)).expect("weather");
        assert_eq!((report.days, report.findings), (days, Vec::new()));
        said.push(fruit(&session, "old-growth"));
    }
    assert_eq!(said[0], said[1], "both forms say the same");
}
