//! How cost grows: with stands, with positions, with rules and with zones.
//!
//! In goes the path of a file, out come medians of milliseconds for a row of sizes, as JSON, which the page on speed
//! plots: `cargo run --profile bench --example growth -- FILE`. Everything it runs on is made up.

#[path = "made.rs"]
mod made;

use std::fmt::Write as _;
use std::hint::black_box;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use hostwood::day::Day;
use hostwood::geometry::Index;
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Answer, Law};
use hostwood::shading::{Contrast, Fill, Paint, Scheme, TileRequest, tile};
use hostwood::standmap::read;
use hostwood::visit::Visit;
use serde_json::{Value, json};

/// Times are medians of so many runs.
const RUNS: usize = 5;

fn main() -> ExitCode {
    let Some(out) = std::env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("expected the file to write, such as growth.json");
        return ExitCode::from(2);
    };
    let account = json!({"by_stands": by_stands(), "by_positions": by_positions(), "by_rules": by_rules(), "by_zones": by_zones()});
    match std::fs::write(&out, format!("{account:#}\n")) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("could not write {}: {trouble}", out.display());
            ExitCode::FAILURE
        }
    }
}

/// The median time of the work, in milliseconds.
fn time<T>(mut work: impl FnMut() -> T) -> f64 {
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let began = Instant::now();
            black_box(work());
            began.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[RUNS / 2]
}

fn by_stands() -> Value {
    let mut rows = Vec::new();
    for stands in [1_000, 4_000, 16_000, 64_000] {
        let text = map(stands, 40);
        let reading =
            time(|| read(text.as_bytes(), None, Knowledge::shipped()).map(|read| read.map.stands.len()));
        let Ok(ready) = read(text.as_bytes(), None, Knowledge::shipped()) else {
            continue;
        };
        let outlines = &ready.map.outlines;
        let indexing = time(|| Index::build(outlines));
        let index = Index::build(outlines);
        let paints = vec![Paint::plain(Fill::Step(3)); outlines.len()];
        // One tile with the whole map in it.
        let request = TileRequest {
            z: 8,
            x: 135,
            y: 88,
            size: 512,
            ratio: 1.0,
            scheme: Scheme::Light,
            contrast: Contrast::Usual,
        };
        let drawing = time(|| tile(outlines, &index, &paints, &request, None));
        println!(
            "{stands} stands: reading {reading:.1} ms, indexing {indexing:.2} ms, drawing {drawing:.1} ms"
        );
        rows.push(json!({"stands": stands, "reading": reading, "indexing": indexing, "drawing": drawing}));
    }
    Value::Array(rows)
}

fn by_positions() -> Value {
    let mut rows = Vec::new();
    for corners in [10, 40, 160, 640] {
        let text = map(2_000, corners);
        let reading =
            time(|| read(text.as_bytes(), None, Knowledge::shipped()).map(|read| read.map.stands.len()));
        println!("{corners} corners a stand: reading {reading:.1} ms");
        rows.push(json!({"positions": 2_000 * (corners + 1), "reading": reading}));
    }
    Value::Array(rows)
}

fn by_rules() -> Value {
    let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
    let mut rows = Vec::new();
    for rules in [25, 50, 100, 200, 400] {
        let book = made::book(100, rules);
        let places = made::places(&book, 100);
        let answering = time(|| {
            let law = Law::on(&[&book], &visit);
            let answers = places
                .distinct
                .iter()
                .map(|set| law.answer(&set.iter().collect::<Vec<_>>()));
            answers.filter(|answer| *answer == Answer::Closed).count()
        });
        println!("{rules} rules: answering {answering:.2} ms");
        rows.push(json!({"rules": rules, "answering": answering}));
    }
    Value::Array(rows)
}

fn by_zones() -> Value {
    let mut rows = Vec::new();
    for zones in [25, 50, 100] {
        let book = made::book(zones, 200);
        let placing = time(|| made::places(&book, 100).distinct.len());
        println!("{zones} zones: placing 10,000 stands {placing:.1} ms");
        rows.push(json!({"zones": zones, "placing": placing}));
    }
    Value::Array(rows)
}

/// Wavy discs in rows of a hundred, with so many corners each.
fn map(stands: usize, corners: usize) -> String {
    let mut map = String::from("{\"type\":\"FeatureCollection\",\"features\":[\n");
    for stand in 0..stands {
        let (east, north) = (
            10.0 + (stand % 250) as f64 * 0.001,
            48.0 + (stand / 250) as f64 * 0.001,
        );
        let separator = if stand == 0 { "" } else { ",\n" };
        let _ = write!(
            map,
            "{separator}{{\"type\":\"Feature\",\"properties\":{{\"id\":\"s{stand}\",\"trees\":[{{\"name\":\"Picea abies\",\"share\":1}}],\
             \"age\":{}}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[",
            5 + stand % 140
        );
        for corner in 0..=corners {
            let turn = (corner % corners) as f64 / corners as f64 * std::f64::consts::TAU;
            let reach = 0.00045 + 0.00004 * (turn * 7.0).sin();
            let separator = if corner == 0 { "" } else { "," };
            let _ = write!(
                map,
                "{separator}[{:.7},{:.7}]",
                east + reach * turn.cos(),
                north + reach * turn.sin()
            );
        }
        map += "]]}}";
    }
    map + "]}"
}
