//! How long rule books take at their limits: as many zones, corners, rules and open questions as a book may have, over
//! a stand map.
//!
//! In go the paths of a map such as `forest` writes and of its crosswalk, out comes a table of times:
//! `cargo run --profile bench --example limits -- MAP CROSSWALK`. Every book is made up to be as slow as can be.

use std::process::ExitCode;
use std::sync::Arc;
use std::time::Instant;

use hostwood::assessment::Ground;
use hostwood::day::Day;
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Answer, RuleBook};
use hostwood::standmap::{Crosswalk, read};
use hostwood::visit::Visit;
use serde_json::{Value, json};

fn main() -> ExitCode {
    match measured() {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("{trouble}");
            ExitCode::FAILURE
        }
    }
}

fn measured() -> Result<(), String> {
    let mut arguments = std::env::args().skip(1);
    let mut file = || {
        let path = arguments.next().ok_or("expected a map and its crosswalk")?;
        std::fs::read(&path).map_err(|trouble| format!("{path}: {trouble}"))
    };
    let (map, crosswalk) = (file()?, file()?);
    let crosswalk = Crosswalk::read(&crosswalk).map_err(|mistakes| mistakes[0].to_string())?;
    let knowledge: &Arc<Knowledge> = Knowledge::shipped();
    let reading = read(&map, Some(&crosswalk), knowledge).map_err(|refused| refused.to_string())?;
    let bounds = reading
        .map
        .outlines
        .all_bounds()
        .ok_or("a map without outlines")?;
    let stands = reading.map.stands.len();
    let mut ground = Ground::new(reading.map, knowledge);
    let all = Area {
        west: bounds.west,
        south: bounds.south,
        width: bounds.east - bounds.west,
        height: bounds.north - bounds.south,
    };
    println!("{stands} stands");
    println!(
        "| book | reading | laid over the map | places | a new day | one stand | its year | not known |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for (name, book) in books(&all) {
        let text = book.to_string();
        let began = Instant::now();
        let read =
            RuleBook::read(text.as_bytes(), &knowledge.fungi).map_err(|mistakes| mistakes[0].to_string())?;
        let reading = began.elapsed();
        let began = Instant::now();
        let left_open = ground.set_books(vec![read.book], 0);
        let laid = began.elapsed();
        let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
        let began = Instant::now();
        let assessment = ground.assess(&visit);
        let day = began.elapsed();
        let middle = stands as u32 / 2;
        let began = Instant::now();
        let verdict = ground.verdict(middle, &visit);
        let one = began.elapsed();
        assert_eq!(
            verdict.answer,
            assessment.answer(middle),
            "map and stand say the same"
        );
        let began = Instant::now();
        let days = ground.year(middle, &visit).1.len();
        let year = began.elapsed();
        assert!(days >= 365);
        let places = (0..stands as u32)
            .map(|stand| ground.law_place(stand))
            .max()
            .unwrap_or(0)
            + 1;
        let open = (0..stands as u32)
            .filter(|stand| assessment.answer(*stand) == Answer::NotKnown)
            .count();
        println!(
            "| {name}, {:.1} MB | {reading:.0?} | {laid:.0?} | {places} | {day:.0?} | {one:.0?} | {year:.0?} | {open} |",
            text.len() as f64 / 1e6
        );
        left_open
            .iter()
            .take(3)
            .for_each(|left_open| println!("  {left_open}"));
    }
    Ok(())
}

struct Area {
    west: f64,
    south: f64,
    width: f64,
    height: f64,
}

/// Where the rules of a book hold, and what they are.
struct Rules {
    count: usize,
    zones_each: usize,
    /// Whether each hangs on one of the seven yes-or-no questions, so that a visitor who tells nothing may be any of
    /// 128.
    asks: bool,
}

fn books(all: &Area) -> Vec<(&'static str, Value)> {
    let plain = |count, zones_each| Rules {
        count,
        zones_each,
        asks: false,
    };
    let asking = |count, zones_each| Rules {
        count,
        zones_each,
        asks: true,
    };
    vec![
        (
            "100 zones of 50 corners side by side, 200 rules",
            book(&beside(all, 10, 50), &plain(200, 1)),
        ),
        (
            "500 zones of 50 corners side by side, 500 rules",
            book(&beside(all, 23, 50), &plain(500, 1)),
        ),
        (
            "500 zones of 700 corners side by side, 500 rules",
            book(&beside(all, 23, 700), &plain(500, 1)),
        ),
        (
            "one zone of 350,000 corners",
            book(&[star(all, 350_000)], &plain(10, 1)),
        ),
        (
            "500 zones over one another, 500 rules",
            book(&strewn(all, 50), &plain(500, 1)),
        ),
        (
            "500 zones over one another, 2,000 rules for 10 zones each",
            book(&strewn(all, 50), &plain(2000, 10)),
        ),
        (
            "100 zones side by side, 200 rules that ask",
            book(&beside(all, 10, 50), &asking(200, 1)),
        ),
        (
            "500 zones over one another, 390 rules that ask",
            book(&strewn(all, 50), &asking(390, 1)),
        ),
        (
            "500 zones over one another, 390 rules for 50 zones each that ask",
            book(&strewn(all, 50), &asking(390, 50)),
        ),
    ]
}

fn ring(east: f64, north: f64, reach: [f64; 2], corners: usize, wave: f64) -> Value {
    let mut ring: Vec<[f64; 2]> = (0..corners)
        .map(|corner| {
            let turn = corner as f64 / corners as f64 * std::f64::consts::TAU;
            let far = 1.0 + 0.1 * (turn * wave).sin();
            [
                east + reach[0] * far * turn.cos(),
                north + reach[1] * far * turn.sin(),
            ]
            .map(|degrees| (degrees * 1e6).round() / 1e6)
        })
        .collect();
    ring.push(ring[0]);
    json!({"type": "Polygon", "coordinates": [ring]})
}

/// Zones in rows, each as wide as its place, at most 500 of them.
fn beside(all: &Area, side: usize, corners: usize) -> Vec<Value> {
    let (wide, high) = (all.width / side as f64, all.height / side as f64);
    (0..(side * side).min(500))
        .map(|zone| {
            let east = all.west + ((zone % side) as f64 + 0.5) * wide;
            let north = all.south + ((zone / side) as f64 + 0.5) * high;
            ring(east, north, [wide * 0.4, high * 0.4], corners, 7.0)
        })
        .collect()
}

/// 500 zones that each cover a good part of the map: hardly two stands lie in the same.
fn strewn(all: &Area, corners: usize) -> Vec<Value> {
    (0..500)
        .map(|zone| {
            // Places that never come together (the golden section, in two dimensions).
            let (across, up) = (
                (f64::from(zone) * 0.754_877_666) % 1.0,
                (f64::from(zone) * 0.569_840_29) % 1.0,
            );
            let reach = 0.1 + 0.1 * ((f64::from(zone) * 0.618_033_99) % 1.0);
            ring(
                all.west + across * all.width,
                all.south + up * all.height,
                [reach * all.width, reach * all.height],
                corners,
                7.0,
            )
        })
        .collect()
}

/// One zone over most of the map whose border goes in and out.
fn star(all: &Area, corners: usize) -> Value {
    ring(
        all.west + all.width / 2.0,
        all.south + all.height / 2.0,
        [all.width * 0.4, all.height * 0.4],
        corners,
        2000.0,
    )
}

fn book(zones: &[Value], rules: &Rules) -> Value {
    let asked = [
        json!({"resident": true}),
        json!({"permit": true}),
        json!({"owner": true}),
        json!({"consent": true}),
        json!({"commercial": true}),
        json!({"escorted": true}),
        json!({"family": true}),
    ];
    let told: Vec<Value> = (0..rules.count)
        .map(|number| {
            let mut rule = json!({
                "id": format!("r{number}"), "kind": "quantity", "text": {"en": "W"}, "sources": ["act"],
                "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"},
            });
            rule["where"] = (0..rules.zones_each)
                .map(|zone| json!(format!("z{}", (number * 7 + zone * 31) % zones.len())))
                .collect();
            if rules.asks {
                let who = asked[number % 7].clone();
                if number % 7 == 6 {
                    rule["party"] = who;
                } else {
                    rule["who"] = who;
                }
            }
            rule
        })
        .collect();
    json!({
        "format": "hostwood-rules/1.0",
        "region": {"code": "XX-B", "names": {"en": "Vorrach"}, "time_zone": "Europe/Vienna",
            "area": {"type": "Polygon", "coordinates": [[[13, 46], [18, 46], [18, 50], [13, 50], [13, 46]]]}},
        "authority": {"name": {"en": "the forest office"}, "phone": "0"},
        "languages": ["en"], "checked": "2026-09-01",
        "sources": [{"id": "act", "title": "An act", "kind": "official"}],
        "zones": zones.iter().enumerate()
            .map(|(zone, outline)| json!({"id": format!("z{zone}"), "where": {"outline": outline}}))
            .collect::<Vec<Value>>(),
        "rules": told,
    })
}
