//! Shapes that are made to take for ever: combs, stars, spirals, spikes in spikes, holes along their shells, stands on
//! one another by the thousand. In go outlines as large as one stand may have, out comes proof that the work stays within
//! a bound: each test ends in seconds, and would take hours or all memory where a bound is missing.

use std::fmt::Write as _;
use std::fs;
use std::time::{Duration, Instant};

use hostwood::boundary::{BookBytes, ListQuery, RulesReport, Session, VisitInput};
use hostwood::geometry::{Index, Outlines, Polygons, repair};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::read;
use serde_json::{Value, json};

const POSITIONS: usize = 20_000;

fn ring(at: impl Fn(f64) -> [f64; 2]) -> Vec<[f64; 2]> {
    let mut ring: Vec<[f64; 2]> = (0..POSITIONS).map(|n| at(n as f64)).collect();
    ring.push(ring[0]);
    ring
}

fn turned(turns: f64, reach: f64) -> [f64; 2] {
    let angle = turns * std::f64::consts::TAU;
    [10.0 + reach * angle.cos(), 50.0 + reach * angle.sin()]
}

fn shapes() -> Vec<(&'static str, Polygons, &'static [&'static str])> {
    let count = POSITIONS as f64;
    let disc = || ring(|n| turned(n / count, 0.1));
    let comb = || {
        ring(|n| {
            [
                10.0 + n * 1e-6 + if n % 2.0 == 0.0 { 0.0 } else { 0.3 },
                50.0 + n % 2.0 * 0.1,
            ]
        })
    };
    vec![
        (
            "a slanting comb",
            vec![vec![comb()]],
            &["crossing-not-checked", "tangled"],
        ),
        (
            "a star",
            vec![vec![ring(|n| turned(n * 0.499_975, 0.1))]],
            &["tangled"],
        ),
        (
            "a spiral",
            vec![vec![ring(|n| turned(n / 60.0, 0.1 * (1.0 - n / count)))]],
            &[],
        ),
        (
            "a scribble",
            vec![vec![ring(|n| {
                turned(n * n * 0.618_034, 0.1 * (n * 0.414).fract())
            })]],
            &["tangled"],
        ),
        (
            "spikes out and back on one line",
            vec![vec![ring(|n| {
                [
                    10.0 + (n % 1000.0) * if n % 2.0 == 0.0 { 1e-5 } else { -1e-5 },
                    50.0,
                ]
            })]],
            &["zero-area"],
        ),
        (
            "a hole like its shell",
            vec![vec![disc(), disc()]],
            &["hole-is-shell"],
        ),
        (
            "two thousand holes in a long shell",
            vec![
                std::iter::once(disc())
                    .chain((0..1999).map(|n| {
                        let [west, south] = turned(f64::from(n) / 1999.0, 0.05);
                        vec![
                            [west, south],
                            [west + 1e-4, south],
                            [west, south + 1e-4],
                            [west, south],
                        ]
                    }))
                    .collect(),
            ],
            &[],
        ),
    ]
}

#[test]
fn outlines_made_to_take_for_ever_do_not() {
    for (name, polygons, expected) in shapes() {
        let repaired = repair(&polygons);
        let mut outlines = Outlines::new();
        let stand = outlines.push_repaired(&repaired);
        outlines.push_repaired(&repaired);
        outlines.overlaps(&Index::build(&outlines));
        let inside = outlines.inside_point(stand);
        let codes: Vec<&str> = repaired.flaws().iter().map(|flaw| flaw.code()).collect();
        assert!(
            expected.is_empty() || expected.iter().any(|code| codes.contains(code)),
            "{name}: {codes:?}, expected one of {expected:?}"
        );
        assert_eq!(inside.is_none(), repaired.is_empty(), "{name}");
    }
}

/// Names by the thousand that nobody knows: each is counted, and only the first are compared with all that are known.
#[test]
fn names_by_the_thousand_that_nobody_knows_are_counted() {
    let mut map = String::from("{\"type\":\"FeatureCollection\",\"features\":[");
    for stand in 0..5_000 {
        let comma = if stand == 0 { "" } else { "," };
        let geometry = "\"geometry\":null";
        write!(
            map,
            "{comma}{{\"type\":\"Feature\",\"id\":{stand},\"properties\":{{\"species\":\"qzx{stand} wvj\"}},{geometry}}}"
        )
        .expect("text grows");
    }
    map.push_str("]}");
    let reading = read(map.as_bytes(), None, Knowledge::shipped()).expect("a stand map");
    let unknown = reading
        .findings
        .iter()
        .filter(|finding| finding.code == "unknown-tree");
    let (findings, count) = unknown.fold((0, 0), |(findings, count), finding| {
        (findings + 1, count + finding.count)
    });
    assert_eq!((findings, count), (50, 5_000));
    assert_eq!(reading.report.unknown_trees.len(), 5_000);
}

/// What laying rule books over a map may take at most, on the slowest machine and without optimisation. Without bounds
/// the books below would take hours.
const PATIENCE: Duration = Duration::from_secs(240);

/// How long this thread has worked: where the system counts it, what other programs take does not count.
struct Worked {
    begun: Instant,
    before: Option<Duration>,
}

impl Worked {
    fn begin() -> Worked {
        Worked {
            begun: Instant::now(),
            before: Worked::counted(),
        }
    }

    fn counted() -> Option<Duration> {
        let counted = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        Some(Duration::from_nanos(counted.split(' ').next()?.parse().ok()?))
    }

    fn elapsed(&self) -> Duration {
        match (self.before, Worked::counted()) {
            (Some(before), Some(now)) => now.saturating_sub(before),
            _ => self.begun.elapsed(),
        }
    }
}

/// The book of the examples with these zones and these further rules.
fn book(zones: Vec<Value>, rules: Vec<Value>) -> Value {
    let mut book: Value =
        serde_json::from_str(include_str!("../examples/rules/wold.rules.json")).expect("a rule book");
    book["region"]["area"] = json!({"type": "Polygon", "coordinates": [[
        [9.0, 49.0], [11.0, 49.0], [11.0, 51.0], [9.0, 51.0], [9.0, 49.0]]]});
    book["examples"] = json!([]);
    book["zones"] = json!(zones);
    book["rules"] = json!(rules);
    book
}

fn closed(id: usize, zone: &str) -> Value {
    json!({"id": format!("closed-{id}"), "kind": "closed_zone", "where": [zone], "text": {"en": "Closed."},
        "sources": ["act"], "closed_zone": {"forbids": ["collect"]}})
}

fn free(id: usize) -> Value {
    json!({"id": format!("daily-{id}"), "kind": "quantity", "text": {"en": "Two kilograms."}, "sources": ["act"],
        "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}})
}

/// The report on a book that is laid over stands, and the answer for each of them.
fn laid(stands: &[Polygons], book: &Value) -> (RulesReport, Vec<String>) {
    let begun = Worked::begin();
    let features: Vec<Value> = stands
        .iter()
        .map(|outline| {
            json!({"type": "Feature", "properties": {},
                "geometry": {"type": "MultiPolygon", "coordinates": outline}})
        })
        .collect();
    let map = json!({"type": "FeatureCollection", "features": features}).to_string();
    let mut session = Session::default();
    session.begin_stands(None).expect("the plain form");
    session.push_stands(map.as_bytes()).expect("a stand map");
    session.finish_stands().expect("a whole map");
    let report = session.set_rules(&[BookBytes {
        name: "book".to_owned(),
        bytes: Some(book.to_string().into_bytes()),
    }]);
    let visit: VisitInput =
        serde_json::from_value(json!({"day": "2026-09-12", "visitor": {}})).expect("a visit");
    session.set_visit(&visit).expect("a visit");
    let query: ListQuery =
        serde_json::from_value(json!({"sort": "name", "descending": false, "view": "roots", "limit": 100}))
            .expect("a query");
    let page = serde_json::to_value(session.list(&query).expect("a list")).expect("JSON");
    let answers = page["rows"].as_array().expect("rows").iter();
    let answers = answers.map(|row| row["answer"].as_str().unwrap_or_default().to_owned());
    let answers = answers.collect();
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
    (report, answers)
}

fn told(report: &RulesReport) -> Vec<(&str, &str)> {
    let mistakes = report.mistakes.iter();
    mistakes
        .map(|mistake| (mistake.severity.as_str(), mistake.code.as_str()))
        .collect()
}

/// A comb of so many teeth, standing or lying, two tenths of a degree wide.
fn comb(teeth: u32, lying: bool) -> Vec<[f64; 2]> {
    let step = 0.2 / f64::from(teeth);
    let mut ring: Vec<[f64; 2]> = (0..teeth)
        .flat_map(|n| {
            let at = f64::from(n) * step;
            [
                [at, -0.05],
                [at, 0.25],
                [at + step * 0.4, 0.25],
                [at + step * 0.4, -0.05],
            ]
        })
        .collect();
    ring.extend([[0.2, -0.06], [0.0, -0.06], [0.0, -0.05]]);
    let place = |[east, north]: [f64; 2]| {
        if lying {
            [10.0 + north, 50.0 + east]
        } else {
            [10.0 + east, 50.0 + north]
        }
    };
    ring.into_iter().map(place).collect()
}

fn square(west: f64, south: f64, size: f64) -> Vec<[f64; 2]> {
    vec![
        [west, south],
        [west + size, south],
        [west + size, south + size],
        [west, south + size],
        [west, south],
    ]
}

/// A stand and a zone whose borders cross millions of times: what the zone means for the stand is not known, and told.
/// Another stand in the same zone has its answer.
#[test]
fn a_zone_that_crosses_a_stand_everywhere_leaves_the_answer_open() {
    let zones = vec![
        json!({"id": "comb", "where": {"outline": {"type": "Polygon", "coordinates": [comb(5_000, true)]}}}),
    ];
    let book = book(zones, vec![free(0), closed(0, "comb")]);
    let stands = [
        vec![vec![comb(5_000, false)]],
        // Below the first tooth, and between the last and the end.
        vec![vec![square(9.941, 50.1, 0.008)]],
        vec![vec![square(10.3, 50.3, 0.01)]],
    ];
    let (report, answers) = laid(&stands, &book);
    assert_eq!(answers, ["not_known", "closed", "limits"]);
    let warning = report
        .mistakes
        .iter()
        .find(|mistake| mistake.code == "not-compared")
        .expect("told");
    assert_eq!(
        (warning.severity.as_str(), warning.message.as_str()),
        (
            "warning",
            "book: zone `comb`: the outline winds too much, or crosses the borders of stands too often, to be compared with 1 stands, so what it means for them is not known; simplify the outline"
        )
    );
}

/// An outline that crosses itself everywhere is none: the book is refused, and no answer is better than not known.
#[test]
fn a_zone_that_crosses_itself_everywhere_refuses_its_book() {
    let star = (0..2_001)
        .map(|n| turned(f64::from(n % 2_000) * 0.499_75, 0.1))
        .collect::<Vec<_>>();
    for (outline, expected) in [
        (star, vec![("error", "outline")]),
        // A bowtie is read by the even-odd rule, and told.
        (
            vec![
                [10.0, 50.0],
                [10.2, 50.2],
                [10.2, 50.0],
                [10.0, 50.3],
                [10.0, 50.0],
            ],
            vec![("warning", "crossing-outline")],
        ),
    ] {
        let zones =
            vec![json!({"id": "z", "where": {"outline": {"type": "Polygon", "coordinates": [outline]}}})];
        let (report, answers) = laid(
            &[vec![vec![square(10.3, 50.3, 0.01)]]],
            &book(zones, vec![free(0), closed(0, "z")]),
        );
        assert_eq!(told(&report), expected);
        let open = if expected[0].0 == "error" {
            "not_known"
        } else {
            "limits"
        };
        assert_eq!(answers, [open]);
    }
}

/// More zones than any book has are refused before any is read; as many as there may be are laid over many stands.
#[test]
fn zones_by_the_hundred_thousand_are_refused() {
    let zone = |n: usize| {
        let (column, row) = (n % 300, n / 300);
        let ring = square(9.5 + column as f64 * 0.001, 49.5 + row as f64 * 0.001, 0.0015);
        json!({"id": format!("z{n}"), "where": {"outline": {"type": "Polygon", "coordinates": [ring]}}})
    };
    let stands: Vec<Polygons> = (0..60)
        .map(|n| vec![vec![square(9.5 + f64::from(n) * 0.005, 49.5, 0.004)]])
        .collect();
    // A hundred thousand outlines would not fit into the bytes of a book: these zones are the shortest there are.
    let many = |n: usize| json!({"id": format!("z{n}"), "where": {"not": "z0"}});
    let zones: Vec<Value> = std::iter::once(zone(0)).chain((1..100_000).map(many)).collect();
    let named = json!([{"ask": {"zone": "z9", "day": "2026-09-12"}, "expect": "closed"}]);
    let mut book_of_many = book(zones, vec![free(0), closed(0, "z1")]);
    book_of_many["examples"] = named;
    let (report, answers) = laid(&stands, &book_of_many);
    // Zones that nobody looked at are not missing: only what is wrong is told.
    assert_eq!(told(&report), [("error", "too-many")]);
    assert!(answers.iter().all(|answer| answer == "not_known"));

    let rules = std::iter::once(free(0)).chain((0..500).map(|n| closed(n, &format!("z{n}"))));
    let (report, answers) = laid(&stands, &book((0..500).map(zone).collect(), rules.collect()));
    assert_eq!(told(&report), []);
    assert!(answers.iter().all(|answer| answer == "closed"), "{answers:?}");
}

/// Rules by the thousand that contradict each other: read in time, and never milder than the strictest.
#[test]
fn rules_by_the_thousand_that_contradict_each_other_stay_strict() {
    let rule = |n: usize| {
        let mut rule = free(n);
        rule["quantity"]["amount"] = json!((n % 7 + 1).to_string());
        rule
    };
    let mut rules: Vec<Value> = (0..1_500).map(rule).collect();
    rules.push(
        json!({"id": "closed", "kind": "closed_zone", "where": ["all"], "text": {"en": "Closed."},
        "sources": ["act"], "closed_zone": {"forbids": ["collect"]}}),
    );
    let zones = vec![
        json!({"id": "none", "where": {"all_of": ["part", "rest"]}}),
        json!({"id": "part", "where": {"outline": {"type": "Polygon", "coordinates": [square(9.5, 49.5, 1.0)]}}}),
        json!({"id": "rest", "where": {"not": "part"}}),
        json!({"id": "all", "where": {"any_of": ["part", "rest"]}}),
    ];
    let (report, answers) = laid(&[vec![vec![square(10.3, 50.3, 0.01)]]], &book(zones, rules));
    assert!(
        report
            .mistakes
            .iter()
            .all(|mistake| mistake.severity == "warning"),
        "{:?}",
        told(&report)
    );
    assert_eq!(answers, ["closed"]);
}

/// Warnings without end do not push out the one mistake that refuses a book.
#[test]
fn a_mistake_behind_many_warnings_still_refuses_the_book() {
    let mut book = book(Vec::new(), vec![free(0)]);
    let source = book["sources"][0].clone();
    let sources = (0..400).map(|n| {
        let mut source = source.clone();
        if n > 0 {
            source["id"] = json!(format!("s{n}"));
        }
        source["link"] = json!("javascript:alert(1)");
        source
    });
    book["sources"] = json!(sources.collect::<Vec<_>>());
    book["rules"][0]["sources"] = json!([book["sources"][0]["id"]]);
    let stand = [vec![vec![square(10.3, 50.3, 0.01)]]];
    let (report, answers) = laid(&stand, &book);
    assert_eq!(told(&report), vec![("warning", "link"); 200]);
    assert_eq!(answers, ["limits"]);

    book["rules"][0]["quantity"]["amount"] = json!("two");
    let (report, answers) = laid(&stand, &book);
    assert_eq!(
        told(&report)
            .iter()
            .filter(|(severity, _)| *severity == "error")
            .collect::<Vec<_>>(),
        [&("error", "amount")]
    );
    assert_eq!(answers, ["not_known"]);
}

/// The message of the only mistake of a book, without its name and place.
fn only_mistake(book: &Value) -> String {
    let report = Session::default().set_rules(&[BookBytes {
        name: "book".to_owned(),
        bytes: Some(book.to_string().into_bytes()),
    }]);
    assert_eq!(told(&report), [("error", "too-many")]);
    let message = &report.mistakes[0].message;
    let (_, said) = message.split_once("column ").expect("a place");
    said.split_once(": ").expect("what is said").1.to_owned()
}

/// What the rule of some number says.
type Says = fn(usize) -> Value;

/// The shortest rules there are.
fn shortest(count: usize) -> Vec<Value> {
    (0..count)
        .map(|n| json!({"id": format!("r{n}"), "kind": "advice", "text": {"en": "T"}, "sources": ["act"]}))
        .collect()
}

/// What a book may hold of everything, one more of it, and the only thing that is said: where, how many there are, how
/// many there may be, and what to write instead. Nothing that was not looked at is called missing.
#[test]
fn books_that_hold_too_much_of_one_thing_tell_only_that() {
    let begun = Worked::begin();
    let member = |n: usize| json!({"scientific_name": format!("Boletus a{n}")});
    let set = |count: usize| json!({"members": (0..count).map(member).collect::<Vec<_>>()});
    let about = |mut rule: Value, field: &str, value: Value| {
        rule[field] = value;
        rule
    };
    let source = book(Vec::new(), vec![free(0)])["sources"][0].clone();
    let zone_names: Vec<String> = (0..500).map(|n| format!("z{n}")).collect();
    let attribute = json!({"attribute": {"name": "age", "at_least": 100}});
    let zones: Vec<Value> = zone_names
        .iter()
        .map(|name| json!({"id": name, "where": attribute}))
        .collect();
    let everywhere = |rule| about(rule, "where", json!(zone_names));
    let replaced = |rule| about(rule, "replaces", json!(["kind:advice", "kind:quantity"]));
    let named_too_often: Vec<Value> = (0..41).map(|n| everywhere(free(n))).collect();
    let replaced_too_often: Vec<Value> = (0..160).map(|n| replaced(free(n))).collect();

    let with = |field: &str, value: Value, rules: Vec<Value>| {
        let mut book = book(Vec::new(), rules);
        book[field] = value;
        book
    };
    let put_together =
        "a rule may name many zones in `where` and many fungi in a set: put together what is the same";
    let members = "all sets of fungi of a book have at most 5000 members together: name the genus where a rule holds for all of it";
    for (book, expected) in [
        (
            book(Vec::new(), shortest(2_001)),
            format!("`rules` has 2001 entries, expected at most 2000; {put_together}"),
        ),
        (
            // As many as go into the bytes of a book.
            book(Vec::new(), shortest(110_000)),
            format!("`rules` has 110000 entries, expected at most 2000; {put_together}"),
        ),
        (
            book(zones, named_too_often),
            "rule `daily-40`: the rules up to this one name 20500 zones in `where`, expected at most 20000 in all; make a zone of several with `any_of` and name that one".to_owned(),
        ),
        (
            book(Vec::new(), replaced_too_often),
            "rule `daily-125`: the rules up to here name more than enough other rules in `replaces` and `exempts`, expected at most 20000 in all, `kind:` counted for each rule of the kind; name only the rules that really give way".to_owned(),
        ),
        (
            with("taxa", json!({"s": set(5_001)}), vec![about(free(0), "taxa", json!("s"))]),
            format!("set of fungi `s`: `members` has 5001 entries, expected at most 5000; {members}"),
        ),
        (
            with("taxa", json!({"s": set(3_000), "t": set(2_001)}), vec![about(free(0), "taxa", json!("t"))]),
            format!("set of fungi `t`: `members` has 2001 entries, expected at most 2000; {members}"),
        ),
        (
            with(
                "taxa",
                Value::Object((0..1_001).map(|n| (format!("s{n}"), set(1))).collect()),
                vec![about(free(0), "taxa", json!("s7"))],
            ),
            "taxa: `taxa` has 1001 fields, expected at most 1000; take out what is not needed".to_owned(),
        ),
        (
            with(
                "sources",
                json!((0..1_001).map(|n| about(source.clone(), "id", json!(format!("act{n}")))).collect::<Vec<_>>()),
                vec![about(free(0), "sources", json!(["act7"]))],
            ),
            "`sources` has 1001 entries, expected at most 1000; shorten the list".to_owned(),
        ),
        (
            with("languages", json!(vec!["en"; 101]), vec![free(0)]),
            "`languages` has 101 entries, expected at most 100; keep those in which the book has words".to_owned(),
        ),
    ] {
        assert_eq!(only_mistake(&book), expected);
    }
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
}

/// As many rules as a book may have, each against every other: read, checked, laid over stands and answered, and of what
/// contradicts only so much is told as anybody reads. Two such books beside each other are no worse.
#[test]
fn as_many_rules_as_there_may_be_are_held_against_each_other_in_time() {
    let begun = Worked::begin();
    let kinds: [(&str, Says); 4] = [
        (
            "quantity",
            |n| json!({"amount": (n % 7 + 1).to_string(), "unit": "kg", "per": "person", "period": "day"}),
        ),
        (
            "owner_consent",
            |n| json!({"consent": if n % 2 == 0 { "needed" } else { "presumed" }}),
        ),
        (
            "processing",
            |n| json!({"must": [if n % 2 == 0 { "halve" } else { "keep_whole" }]}),
        ),
        (
            "hours",
            |n| json!({"open": [{"from": format!("{:02}:00", n % 12), "to": format!("{:02}:00", n % 12 + 1)}]}),
        ),
    ];
    for (kind, says) in kinds {
        let rules = (0..2_000).map(|n| {
            let mut rule = shortest(1).remove(0);
            rule["id"] = json!(format!("r{n}"));
            rule["kind"] = json!(kind);
            rule[kind] = says(n);
            rule
        });
        let one = book(Vec::new(), rules.collect());
        let mut other = one.clone();
        other["region"]["code"] = json!("XX-2");
        let bytes = |book: &Value| book.to_string().into_bytes();
        let mut session = Session::default();
        let checked = session.check_rules(&bytes(&one), None).expect("no day");
        assert!(checked.usable, "{kind}");
        // At most two hundred warnings from reading, as many from looking closely, and one for each of a few others.
        assert!(
            checked.mistakes.len() <= 400,
            "{kind}: {}",
            checked.mistakes.len()
        );

        let square = json!([[
            [10.3, 50.3],
            [10.31, 50.3],
            [10.31, 50.31],
            [10.3, 50.31],
            [10.3, 50.3]
        ]]);
        let map = json!({"type": "FeatureCollection", "features": [{"type": "Feature", "id": "s", "properties": {},
            "geometry": {"type": "Polygon", "coordinates": square}}]});
        session.begin_stands(None).expect("the plain form");
        session
            .push_stands(map.to_string().as_bytes())
            .expect("a stand map");
        session.finish_stands().expect("a whole map");
        let books = [&one, &other].map(|book| BookBytes {
            name: "book".to_owned(),
            bytes: Some(bytes(book)),
        });
        let report = session.set_rules(&books);
        let told = told(&report);
        assert!(told.len() <= 202, "{kind}: {}", told.len());
        if kind != "quantity" {
            assert_eq!(told.last(), Some(&("warning", "not-compared")), "{kind}");
        }
        let visit = json!({"day": "2026-09-12", "time": "08:30", "utcOffset": 120, "visitor": {}});
        session
            .set_visit(&serde_json::from_value(visit).expect("a visit"))
            .expect("a visit");
        let options = serde_json::from_value(json!({"languages": ["en"]})).expect("options");
        session.sheet("s", &options).expect("a sheet");
        session.year("s").expect("a year");
        assert!(begun.elapsed() < PATIENCE, "{kind}: {:?}", begun.elapsed());
    }
}

/// Names by the thousand that nobody knows, in rules: what was meant is looked for only as long as it takes no time.
#[test]
fn references_by_the_thousand_that_lead_nowhere_are_told_in_time() {
    let long = "x".repeat(4_000);
    let rules = (0..1_900).map(|n| {
        let mut rule = free(n);
        rule["where"] = json!([format!("{n}{long}")]);
        rule
    });
    let zones = (0..500)
        .map(|n| json!({"id": format!("z{n}"), "where": {"attribute": {"name": "age", "at_least": 1}}}));
    let book = book(zones.collect(), rules.collect());
    let begun = Worked::begin();
    let (report, _) = laid(&[vec![vec![square(10.3, 50.3, 0.01)]]], &book);
    assert_eq!(told(&report), vec![("error", "unknown-zone"); 200]);
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
}

/// A rule that names its source twice is still a rule.
#[test]
fn a_rule_that_names_a_source_twice_is_kept() {
    let mut ban = closed(0, "all");
    ban["sources"] = json!(["act", "act"]);
    let zones = vec![
        json!({"id": "all", "where": {"outline": {"type": "Polygon", "coordinates": [square(9.5, 49.5, 1.0)]}}}),
    ];
    let (report, answers) = laid(
        &[vec![vec![square(10.3, 50.3, 0.01)]]],
        &book(zones, vec![free(0), ban]),
    );
    assert_eq!(told(&report), []);
    assert_eq!(answers, ["closed"]);
}
