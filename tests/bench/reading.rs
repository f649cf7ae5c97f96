//! How fast a stand map is read, beside what the same bytes cost `serde_json` alone. In goes a made-up map of 10 000
//! stands of some 50 positions (about 15 MB, as agencies publish them), out come times, bytes a second and the most
//! memory held at once. Run with `cargo bench`.
//!
//! Three yardsticks: looking for what is valid JSON and keeping nothing, building values of all of it (what
//! `JSON.parse` does for a page), and reading the stands.

use std::fmt::Write as _;
use std::hint::black_box;
use std::sync::LazyLock;

use divan::counter::BytesCount;
use divan::{AllocProfiler, Bencher};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Crosswalk, Reader};

#[global_allocator]
static MEMORY: AllocProfiler = AllocProfiler::system();

fn main() {
    let map = &*MAP;
    println!("{} bytes, {} positions", map.len(), STANDS * (POSITIONS + 1));
    divan::main();
}

const STANDS: usize = 10_000;
const POSITIONS: usize = 50;

/// Stands in rows, each a wavy disc; shares and ages go round in a small circle.
static MAP: LazyLock<String> =
    LazyLock::new(|| of_positions(|east, north| [10.0 + east * 1e-5, 48.0 + north * 7e-6]));

/// The same map in metres of a grid.
static GRID: LazyLock<String> =
    LazyLock::new(|| of_positions(|east, north| [500_000.0 + east, 5_300_000.0 + north]));

fn of_positions(place: impl Fn(f64, f64) -> [f64; 2]) -> String {
    let mut map = String::from("{\"type\":\"FeatureCollection\",\"name\":\"stands\",\"features\":[\n");
    for stand in 0..STANDS {
        let (column, row) = ((stand % 100) as f64, (stand / 100) as f64);
        let comma = if stand == 0 { "" } else { ",\n" };
        let share = (stand % 9 + 1) as f64 / 10.0;
        write!(
            map,
            "{comma}{{\"type\":\"Feature\",\"id\":\"s{stand}\",\"properties\":{{\"name\":\"Stand {stand}\",\
             \"species\":\"Picea abies\",\"share\":{share},\"age\":{},\"canopy\":0.7,\"owner\":\"state\",\
             \"compartment\":\"{}\"}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[",
            stand % 120 + 5,
            stand / 10
        )
        .expect("text grows");
        for position in 0..=POSITIONS {
            let turn = (position % POSITIONS) as f64 / POSITIONS as f64 * std::f64::consts::TAU;
            let reach = 45.0 + 5.0 * (turn * 7.0).sin();
            let [x, y] = place(
                column * 100.0 + reach * turn.cos(),
                row * 100.0 + reach * turn.sin(),
            );
            let comma = if position == 0 { "" } else { "," };
            write!(map, "{comma}[{x:.7},{y:.7}]").expect("text grows");
        }
        map.push_str("]]}}");
    }
    map.push_str("\n]}\n");
    map
}

fn read(map: &str, crosswalk: Option<&Crosswalk>) -> usize {
    let mut reader = Reader::new(crosswalk.cloned(), Knowledge::shipped());
    // As a network hands it over.
    for chunk in map.as_bytes().chunks(64 << 10) {
        reader.push(chunk).expect("a stand map");
    }
    let reading = reader.finish().expect("a stand map");
    assert_eq!(reading.map.stands.len(), STANDS);
    reading.map.outlines.vertex_count()
}

#[divan::bench(sample_count = 10)]
fn valid_json_kept_nowhere(bencher: Bencher) {
    bencher.counter(BytesCount::of_str(MAP.as_str())).bench(|| {
        serde_json::from_str::<serde::de::IgnoredAny>(black_box(MAP.as_str())).expect("JSON");
    });
}

#[divan::bench(sample_count = 10)]
fn values_of_all_of_it(bencher: Bencher) {
    bencher
        .counter(BytesCount::of_str(MAP.as_str()))
        .bench(|| serde_json::from_str::<serde_json::Value>(black_box(MAP.as_str())).expect("JSON"));
}

#[divan::bench(sample_count = 10)]
fn the_stands(bencher: Bencher) {
    bencher
        .counter(BytesCount::of_str(MAP.as_str()))
        .bench(|| read(black_box(MAP.as_str()), None));
}

#[divan::bench(sample_count = 10)]
fn the_stands_of_a_grid(bencher: Bencher) {
    let crosswalk = br#"{"format": "hostwood-crosswalk/1.0", "crs": "EPSG:32632", "trees": [{"name": {"from": "species"}}]}"#;
    let crosswalk = Crosswalk::read(crosswalk).expect("a crosswalk");
    bencher
        .counter(BytesCount::of_str(GRID.as_str()))
        .bench(|| read(black_box(GRID.as_str()), Some(&crosswalk)));
}
