//! How much memory a reading holds. In go made-up maps, handed over as a network does, out comes the most that was held
//! at once beyond what was held before, with everything: buffers, tables of ids, findings, the index that looks for
//! overlaps. Maps made to fill memory are held against limits as well.
//!
//! One allocator counts for all tests here, so they run one after the other.

use std::fmt::Write as _;
use std::sync::{Mutex, MutexGuard, PoisonError};

use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Reader, Reading, Unreadable};
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

static ALONE: Mutex<()> = Mutex::new(());

fn alone() -> MutexGuard<'static, ()> {
    // The tables are read once and stay; they are no part of a reading.
    Knowledge::shipped();
    ALONE.lock().unwrap_or_else(PoisonError::into_inner)
}

const MEGABYTE: usize = 1 << 20;

/// What came of a reading in chunks, and the most memory that was held at once.
fn read(chunks: impl Iterator<Item = impl AsRef<[u8]>>) -> (Result<Reading, Unreadable>, usize) {
    MEMORY.reset_peak_usage();
    let before = MEMORY.current_usage();
    let mut reader = Reader::new(None, Knowledge::shipped());
    let mut pushed = Ok(());
    for chunk in chunks {
        if let Err(refused) = reader.push(chunk.as_ref()) {
            pushed = Err(refused);
            break;
        }
    }
    let reading = pushed.and_then(|()| reader.finish());
    (reading, MEMORY.peak_usage().saturating_sub(before))
}

fn in_chunks(map: &str) -> impl Iterator<Item = &[u8]> {
    map.as_bytes().chunks(64 << 10)
}

/// A made-up map: stands in rows, each a wavy disc of so many positions, with properties as agencies publish them.
fn forest(stands: usize, positions: usize) -> String {
    let mut map = String::from("{\"type\":\"FeatureCollection\",\"features\":[\n");
    for stand in 0..stands {
        let comma = if stand == 0 { "" } else { ",\n" };
        write!(
            map,
            "{comma}{{\"type\":\"Feature\",\"id\":\"s{stand}\",\"properties\":{{\"name\":\"Stand {stand}\",\
             \"species\":\"Picea abies\",\"share\":0.{},\"age\":{},\"canopy\":0.7,\"owner\":\"state\"}},\
             \"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[",
            stand % 8 + 1,
            stand % 120 + 5
        )
        .expect("text grows");
        let (column, row) = ((stand % 100) as f64, (stand / 100) as f64);
        for position in 0..=positions {
            let turn = (position % positions) as f64 / positions as f64 * std::f64::consts::TAU;
            let reach = 45.0 + 5.0 * (turn * 7.0).sin();
            let comma = if position == 0 { "" } else { "," };
            let east = 10.0 + (column * 100.0 + reach * turn.cos()) * 1e-5;
            let north = 48.0 + (row * 100.0 + reach * turn.sin()) * 7e-6;
            write!(map, "{comma}[{east:.7},{north:.7}]").expect("text grows");
        }
        map.push_str("]]}}");
    }
    map.push_str("\n]}\n");
    map
}

/// Four times the 16 bytes that the two numbers of a position take.
#[test]
fn reading_holds_less_than_four_times_the_positions_alone() {
    let _alone = alone();
    let map = forest(4_000, 50);
    let (reading, peak) = read(in_chunks(&map));
    let reading = reading.expect("a stand map");
    let positions = 4_000 * 51;
    assert_eq!(reading.map.stands.len(), 4_000);
    assert_eq!(reading.findings, []);
    let each = peak as f64 / positions as f64;
    println!(
        "{each:.1} bytes a position at most; {positions} positions, {} bytes of text",
        map.len()
    );
    assert!(each < 64.0, "{each:.1} bytes a position, expected less than 64");
}

fn code(reading: &Result<Reading, Unreadable>) -> &'static str {
    match reading {
        Ok(reading) => reading.findings.first().map_or("", |finding| finding.code),
        Err(refused) => refused.code,
    }
}

fn repeated(before: &str, part: &str, times: usize, after: &str) -> impl Iterator<Item = Vec<u8>> {
    let block = part.repeat((64 << 10) / part.len() + 1);
    let blocks = (times * part.len()).div_ceil(block.len());
    let (before, after) = (before.as_bytes().to_vec(), after.as_bytes().to_vec());
    [before]
        .into_iter()
        .chain((0..blocks).map(move |_| block.clone().into_bytes()))
        .chain([after])
}

const FEATURE: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","properties":{"#;
const OUTLINE: &str =
    r#"},"geometry":{"type":"Polygon","coordinates":[[[10,50],[10.01,50],[10.01,50.01],[10,50]]]}}]}"#;

/// Maps that are made to fill memory: what is said of each, and how much it may hold.
#[test]
fn maps_beyond_measure_hold_little() {
    let _alone = alone();
    let polygon = format!(r#"{FEATURE}}},"geometry":{{"type":"Polygon","coordinates":[["#);
    let deep = format!(r#"{FEATURE}"a":"#);
    let named = format!(r#"{FEATURE}"name":""#);
    for (what, map, expected, megabytes) in [
        (
            "an outline of five million positions",
            Box::new(repeated(
                &polygon,
                "[10.1234567,50.1234567],",
                5_000_000,
                "[10,50]]]}}]}",
            )) as Box<dyn Iterator<Item = Vec<u8>>>,
            "too-large",
            70,
        ),
        (
            "an outline of four million short positions",
            Box::new(repeated(&polygon, "[1,2],", 4_000_000, "[1,2]]]}}]}")),
            "outline-too-large",
            90,
        ),
        (
            "a hundred thousand arrays in one another",
            Box::new(repeated(&deep, "[", 100_000, OUTLINE)),
            "truncated",
            1,
        ),
        (
            "a name of ten million letters",
            Box::new(repeated(&named, "x", 10_000_000, &format!("\"{OUTLINE}"))),
            "too-long",
            70,
        ),
        (
            "a name of forty million letters",
            Box::new(repeated(&named, "x", 40_000_000, &format!("\"{OUTLINE}"))),
            "too-large",
            70,
        ),
        (
            "a hundred thousand different properties",
            Box::new(
                [FEATURE.as_bytes().to_vec()]
                    .into_iter()
                    .chain((0..100_000).map(|n| format!("\"k{n}\":{n},").into_bytes()))
                    .chain([format!("\"species\":\"Fagus\"{OUTLINE}").into_bytes()]),
            ),
            "",
            8,
        ),
        (
            "a text of three hundred million letters in place of a map",
            Box::new(repeated("{\"a\":\"", "x", 300_000_000, "\"}")),
            "too-large",
            600,
        ),
    ] {
        let (reading, peak) = read(map);
        assert_eq!(code(&reading), expected, "{what}");
        assert!(
            peak < megabytes * MEGABYTE,
            "{what}: {peak} bytes held, expected less than {megabytes} MB"
        );
    }
}

/// Two gigabytes, as a network hands them over: what comes before the limit is kept, what lies beyond is told, and no
/// more is held than for a small map.
#[test]
#[ignore = "takes a minute; `cargo www test` waits for it"]
fn two_gigabytes_are_read_up_to_the_limit() {
    let _alone = alone();
    const GIGABYTE: u64 = 1 << 30;
    let filler = "n".repeat(MEGABYTE / 2);
    let feature = |place: u64| {
        let west = 10.0 + (place % 100) as f64 * 0.01;
        let south = 48.0 + (place / 100) as f64 * 0.01;
        let (east, north) = (west + 0.009, south + 0.009);
        format!(
            "{}{{\"type\":\"Feature\",\"id\":{place},\"properties\":{{\"remark\":\"{filler}\"}},\"geometry\":{{\"type\":\"Polygon\",\
             \"coordinates\":[[[{west:.3},{south:.3}],[{east:.3},{south:.3}],[{east:.3},{north:.3}],[{west:.3},{south:.3}]]]}}}}",
            if place == 0 {
                "{\"type\":\"FeatureCollection\",\"features\":["
            } else {
                ",\n"
            }
        )
    };
    let mut sent = 0;
    let stream = (0..).map(feature).take_while(|part| {
        sent += part.len() as u64;
        sent <= 2 * GIGABYTE
    });
    let (reading, held) = read(stream);
    let reading = reading.expect("what came before the limit");
    let codes: Vec<&str> = reading.findings.iter().map(|finding| finding.code).collect();
    assert!(codes.contains(&"limit-bytes"), "{codes:?}");
    let expected = GIGABYTE as usize / (MEGABYTE / 2);
    let stands = reading.map.stands.len();
    assert!(stands > expected - 5 && stands <= expected, "{stands} stands");
    assert!(held < 16 * MEGABYTE, "{} MB were held", held / MEGABYTE);
}
