//! Files of weather, good and bad, each with the exact words. Only tests use it.

use super::*;

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn csv_file(rows: &str) -> String {
    format!("date,rain,low,high,snow,forecast\n{rows}")
}

/// `09-01 2 8..18 snow 3 forecast` a day, the year left out; `-` for what is not told.
fn told(read: &Read) -> Vec<String> {
    let value = |value: Option<f64>| value.map_or("-".to_owned(), |value| value.to_string());
    read.weather
        .days
        .iter()
        .map(|day| {
            let mut said = format!(
                "{} {} {}..{}",
                &day.date.to_string()[5..],
                value(day.rain),
                value(day.low),
                value(day.high)
            );
            if let Some(snow) = day.snow {
                said += &format!(" snow {snow}");
            }
            if day.forecast {
                said += " forecast";
            }
            said
        })
        .collect()
}

#[test]
fn both_forms_say_the_same() {
    let json = r#"{"format": "hostwood-weather/1.0", "station": "Tess Mill", "place": [11.5, 47.2], "elevation": 420,
        "days": [{"date": "2026-09-01", "rain": 2.5, "low": 8, "high": 18, "snow": 0},
                 {"date": "2026-09-02", "rain": 0, "low": 9.5, "high": 21, "forecast": true}]}"#;
    let comma = "date,rain,low,high,snow,forecast,station,lng,lat,elevation\n\
        2026-09-01,2.5,8,18,0,,Tess Mill,11.5,47.2,420\n2026-09-02,0,9.5,21,,yes,,,,\n";
    let semicolon = "\u{feff}Date;Rain;Low;High;Snow;Forecast;Station;Lng;Lat;Elevation\r\n\
        2026-09-01;2,5;8;18;0;no;Tess Mill;11,5;47,2;420\r\n2026-09-02;0;9,5;21;;1;;;;\r\n";
    for file in [json, comma, semicolon] {
        let read = read(file.as_bytes(), Some(day("2026-09-01"))).expect("a file");
        assert_eq!(
            told(&read),
            ["09-01 2.5 8..18 snow 0", "09-02 0 9.5..21 forecast"],
            "{file}"
        );
        assert_eq!(read.findings, [], "{file}");
        let weather = &read.weather;
        assert_eq!(weather.station.as_deref(), Some("Tess Mill"));
        assert_eq!(weather.place, Some(LngLat { lng: 11.5, lat: 47.2 }));
        assert_eq!(weather.elevation, Elevation::new(420.0).ok());
        assert_eq!(
            (weather.first(), weather.last(), weather.last_measured()),
            (
                Some(day("2026-09-01")),
                Some(day("2026-09-02")),
                Some(day("2026-09-01"))
            )
        );
    }
}

#[test]
fn what_is_odd_is_told_and_never_taken_in_silence() {
    let today = Some(day("2026-09-05"));
    for (rows, days, findings) in [
        (
            "2026-09-01,-2,8,18,,\n",
            vec!["09-01 - 8..18"],
            vec![
                "warning bad-value x1: 2026-09-01, `rain`: found `-2`, expected millimetres, 0 to 2000; taken as not known.",
            ],
        ),
        (
            "2026-09-01,wet,8,18,,\n2026-09-02,NaN,8,98,,\n2026-09-03,1,8,18,-1,\n",
            vec!["09-01 - 8..18", "09-02 - 8..-", "09-03 1 8..18"],
            vec![
                "warning bad-value x2: 2026-09-01, `rain`: found `wet`, expected millimetres, 0 to 2000; taken as not known.",
                "warning bad-value x1: 2026-09-02, `high`: found `98`, expected degrees Celsius, -90 to 60; taken as not known.",
                "warning bad-value x1: 2026-09-03, `snow`: found `-1`, expected centimetres that lie, 0 to 2000; taken as not known.",
            ],
        ),
        (
            "2026-09-01,2,19,18,,\n",
            vec!["09-01 2 -..-"],
            vec![
                "warning low-above-high x1: 2026-09-01: `low` is 19 and `high` is 18; both are taken as not known. Correct the values.",
            ],
        ),
        (
            "2026-09-03,3,8,18,,\n2026-09-01,1,8,18,,\n2026-09-02,2,8,18,,\n",
            vec!["09-01 1 8..18", "09-02 2 8..18", "09-03 3 8..18"],
            vec![
                "warning out-of-order x1: line 3: 2026-09-01 stands after a later day; the days are put in order.",
            ],
        ),
        (
            "2026-09-01,1,8,18,,\n2026-09-01,5,8,18,,\n",
            vec!["09-01 1 8..18"],
            vec!["warning date-twice x1: line 3: 2026-09-01 is given twice; the first row counts."],
        ),
        (
            "2026-09-01,1,8,18,,\n2026-09-04,4,8,18,,\n",
            vec!["09-01 1 8..18", "09-02 - -..-", "09-03 - -..-", "09-04 4 8..18"],
            vec![
                "warning days-missing x2: 2026-09-02 is missing between 2026-09-01 and 2026-09-04; taken as not known.",
            ],
        ),
        (
            "2026-09-05,1,8,18,,\n2026-09-06,4,8,18,,\n",
            vec!["09-05 1 8..18", "09-06 4 8..18 forecast"],
            vec![
                "warning future-not-forecast x1: 2026-09-06 lies ahead and is not marked as forecast; taken as one. Mark days ahead with `forecast`.",
            ],
        ),
        (
            "2026-09-01,1,8,18,,yes\n2026-09-02,4,8,18,,\n",
            vec!["09-01 1 8..18 forecast", "09-02 4 8..18 forecast"],
            vec![
                "warning measured-after-forecast x1: 2026-09-02 follows a forecast day and is not marked as forecast; taken as one. Mark both or none.",
            ],
        ),
        (
            "2026-09-01,1,8,18,,perhaps\n",
            vec!["09-01 1 8..18 forecast"],
            vec![
                "warning bad-value x1: 2026-09-01, `forecast`: found `perhaps`, expected true or false; taken as a forecast.",
            ],
        ),
        (
            "31.08.2026,1,8,18,,\n2026-09-01,1,8,18,,\n",
            vec!["09-01 1 8..18"],
            vec![
                "error bad-date x1: line 2, `date`: found `31.08.2026`, expected a day such as `2026-09-12`; the row is left out.",
            ],
        ),
        (
            "1901-01-01,1,8,18,,\n2026-09-01,1,8,18,,\n",
            vec!["09-01 1 8..18"],
            vec!["note long-ago x1: 1901-01-01 lies more than 4000 days before the last day; left out."],
        ),
    ] {
        let read = read(csv_file(rows).as_bytes(), today).expect(rows);
        assert_eq!(told(&read), days, "{rows}");
        let said: Vec<String> = read
            .findings
            .iter()
            .map(|found| {
                let severity = format!("{:?}", found.severity).to_lowercase();
                format!("{severity} {} x{}: {}", found.code, found.count, found.message)
            })
            .collect();
        assert_eq!(said, findings, "{rows}");
    }
}

#[test]
fn what_no_form_knows_is_told() {
    let file = r#"{"format": "hostwood-weather/1.0", "place": [200, 47], "elevation": "high", "wind": 3,
        "days": [{"date": "2026-09-01", "rain": 1, "sun": 7}]}"#;
    let said: Vec<String> = read(file.as_bytes(), None)
        .expect("a file")
        .findings
        .into_iter()
        .map(|found| found.message)
        .collect();
    assert_eq!(
        said,
        [
            "the file, `place`: found `[200,47]`, expected `[longitude, latitude]` in degrees; taken as not known.",
            "the file, `elevation`: found `high`, expected metres above the sea, -500 to 9000; taken as not known.",
            "`wind` is not read. Known are `format`, `days`, `station`, `place`, `elevation`, `$comment`.",
        ]
    );
}

#[test]
fn a_file_without_days_is_refused_with_what_to_do() {
    for (file, expected) in [
        (
            "<!DOCTYPE html>\n<p>not found</p>",
            "weather file: it is neither JSON nor CSV with a column `date`: its first line is `<!DOCTYPE html>`; name the columns `date`, `rain`, `low`, `high`, `snow`, `forecast`",
        ),
        (
            "",
            "weather file: it is neither JSON nor CSV with a column `date`: its first line is ``; name the columns `date`, `rain`, `low`, `high`, `snow`, `forecast`",
        ),
        (
            "date,rain\n",
            "weather file: it holds no day with a date such as `2026-09-12`; give one row a day",
        ),
        (
            "{\"days\": []}",
            "weather file: found no `format`, expected `\"format\": \"hostwood-weather/1.0\"`",
        ),
        (
            "{\"format\": \"hostwood-weather/2.0\"}",
            "weather file: found the format `hostwood-weather/2.0`, expected `\"format\": \"hostwood-weather/1.0\"`",
        ),
        (
            "{\"format\": \"hostwood-weather/1.0\"}",
            "weather file: it has no array `days`; give one object a day, such as {\"date\": \"2026-09-12\", \"rain\": 3.5}",
        ),
        (
            "{\"format\": ",
            "weather file: it begins as JSON and cannot be read: EOF while parsing a value at line 1 column 11",
        ),
    ] {
        let refused = read(file.as_bytes(), None).expect_err(file);
        assert_eq!(refused.to_string(), expected);
    }
    let refused = read(b"date,rain\n\xff", None).expect_err("not text");
    assert_eq!(
        refused.to_string(),
        "weather file: its bytes are not UTF-8 text; save it as UTF-8"
    );
}
