//! The same three stands, written down in the ways that programs and services write GeoJSON: each has to be read to the
//! same stands. The shapes follow RFC 7946 (sections 3.1.1 heights, 3.1.6 winding, 3.2 feature ids, 4 coordinate
//! reference systems, 5 bounding boxes, 6.1 foreign members, 11.2 digits), GeoJSON of 2008 (a `crs` member, rings in
//! any direction) and OGC API Features, part 1, section 7.16 (links, counts and a time stamp around the features).

use hostwood::knowledge::Knowledge;
use hostwood::standmap::{self, Reading, Severity};

const EXPORTS: [(&str, &[u8]); 5] = [
    ("compact", include_bytes!("fixtures/exports/compact.geojson")),
    (
        "a layer with its crs",
        include_bytes!("fixtures/exports/layer_with_crs.geojson"),
    ),
    (
        "heights and boxes",
        include_bytes!("fixtures/exports/heights_and_boxes.geojson"),
    ),
    (
        "clockwise, ids outside",
        include_bytes!("fixtures/exports/clockwise_ids_outside.geojson"),
    ),
    (
        "all multi, fifteen decimals",
        include_bytes!("fixtures/exports/all_multi_fifteen_decimals.geojson"),
    ),
];

fn read(bytes: &[u8]) -> Reading {
    standmap::read(bytes, None, Knowledge::shipped()).expect("a stand map")
}

/// What matters of a map, in words: id, name, area in square metres, polygons and rings, trees, age.
fn told(reading: &Reading) -> Vec<String> {
    let map = &reading.map;
    map.stands
        .iter()
        .zip(0u32..)
        .map(|(stand, place)| {
            let square_metres = stand.area.map_or(0.0, |area| area.get() * 10_000.0).round();
            let rings: Vec<usize> = map
                .outlines
                .polygons(place)
                .map(|polygon| polygon.count())
                .collect();
            let profile = &map.profiles[stand.profile as usize];
            let trees: Vec<&str> = profile
                .mixture
                .members
                .iter()
                .map(|member| member.raw.as_str())
                .collect();
            let age = profile.age.known().map_or(-1.0, |age| age.get());
            format!(
                "{} {:?} {square_metres} m2 {rings:?} {trees:?} {age}",
                stand.id, stand.name
            )
        })
        .collect()
}

#[test]
fn every_way_of_writing_is_read_to_the_same_stands() {
    let expected = told(&read(EXPORTS[0].1));
    assert_eq!(expected.len(), 3);
    assert!(
        expected[0].contains("[2] [\"Fagus sylvatica\", \"Picea abies\"] 80"),
        "{}",
        expected[0]
    );
    assert!(expected[2].contains("[1, 1]"), "{}", expected[2]);
    for (name, bytes) in EXPORTS {
        assert_eq!(told(&read(bytes)), expected, "{name}");
    }
}

#[test]
fn none_of_them_needs_mending() {
    for (name, bytes) in EXPORTS {
        let reading = read(bytes);
        let grave: Vec<String> = reading
            .findings
            .iter()
            .filter(|finding| finding.severity != Severity::Note)
            .map(|finding| format!("{}: {}", finding.code, finding.found))
            .collect();
        assert_eq!(grave, Vec::<String>::new(), "{name}");
    }
}

/// The comparison can fail: a stand moved by a metre is another stand.
#[test]
fn a_corner_moved_by_a_metre_is_told() {
    let text = String::from_utf8_lossy(EXPORTS[0].1);
    let moved = text.replace("15.6084,49.103", "15.60841,49.103");
    assert_ne!(moved, text);
    assert_ne!(told(&read(moved.as_bytes())), told(&read(EXPORTS[0].1)));
}
