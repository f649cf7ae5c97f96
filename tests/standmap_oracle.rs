//! The streaming reader held against another reader of GeoJSON (the crate `geojson`, which parses whole documents):
//! the same outlines for valid files, the example documents of RFC 7946 among them, and the same reading however the
//! bytes are cut.

use geojson::{Feature, GeoJson, GeometryValue};
use hostwood::geometry::{Outlines, Polygons, Repaired, repair};
use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Reader, Reading, read};
use proptest::prelude::*;

fn plain(bytes: &[u8]) -> Reading {
    read(bytes, None, Knowledge::shipped()).expect("a stand map")
}

/// The polygons of a geometry, as the other reader sees them; `None` where it is no stand.
fn polygons(geometry: &GeometryValue) -> Option<Polygons> {
    let polygon = |rings: &Vec<Vec<geojson::Position>>| -> Vec<Vec<[f64; 2]>> {
        let ring = |ring: &Vec<geojson::Position>| {
            ring.iter()
                .map(|at| [at.as_slice()[0], at.as_slice()[1]])
                .collect()
        };
        rings.iter().map(ring).collect()
    };
    match geometry {
        GeometryValue::Polygon { coordinates } => Some(vec![polygon(coordinates)]),
        GeometryValue::MultiPolygon { coordinates } => Some(coordinates.iter().map(polygon).collect()),
        GeometryValue::GeometryCollection { geometries } => {
            let members: Polygons = geometries
                .iter()
                .filter_map(|member| polygons(&member.value))
                .flatten()
                .collect();
            (!members.is_empty()).then_some(members)
        }
        _ => None,
    }
}

/// The outlines as the other reader sees them, after the same repair.
fn expected(text: &str) -> Outlines {
    let features: Vec<Feature> = match text.parse::<GeoJson>().expect("valid GeoJSON") {
        GeoJson::FeatureCollection(collection) => collection.features,
        GeoJson::Feature(feature) => vec![feature],
        GeoJson::Geometry(geometry) => vec![Feature::from(geometry)],
    };
    let mut outlines = Outlines::new();
    for feature in features {
        let Some(geometry) = feature.geometry else {
            outlines.push_repaired(&Repaired::default());
            continue;
        };
        if let Some(polygons) = polygons(&geometry.value) {
            outlines.push_repaired(&repair(&polygons));
        }
    }
    outlines
}

fn same_outlines(text: &str) {
    let reading = plain(text.as_bytes());
    assert_eq!(
        format!("{:?}", reading.map.outlines),
        format!("{:?}", expected(text)),
        "{text}"
    );
}

/// The example document of RFC 7946, section 1.5.
const SECTION_1_5: &str = r#"{"type": "FeatureCollection", "features": [
  {"type": "Feature", "geometry": {"type": "Point", "coordinates": [102.0, 0.5]}, "properties": {"prop0": "value0"}},
  {"type": "Feature", "geometry": {"type": "LineString",
    "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]]},
   "properties": {"prop0": "value0", "prop1": 0.0}},
  {"type": "Feature", "geometry": {"type": "Polygon",
    "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]]},
   "properties": {"prop0": "value0", "prop1": {"this": "that"}}}]}"#;

/// RFC 7946, appendix A.3: a polygon without and with a hole.
const A_3: [&str; 2] = [
    r#"{"type": "Polygon", "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]]}"#,
    r#"{"type": "Polygon", "coordinates": [
        [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
        [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]]}"#,
];

/// RFC 7946, appendix A.6: a multipolygon whose second part has a hole.
const A_6: &str = r#"{"type": "MultiPolygon", "coordinates": [
    [[[102.0, 2.0], [103.0, 2.0], [103.0, 3.0], [102.0, 3.0], [102.0, 2.0]]],
    [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
     [[100.2, 0.2], [100.2, 0.8], [100.8, 0.8], [100.8, 0.2], [100.2, 0.2]]]]}"#;

/// RFC 7946, appendix A.7: a collection without a polygon.
const A_7: &str = r#"{"type": "GeometryCollection", "geometries": [
    {"type": "Point", "coordinates": [100.0, 0.0]},
    {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]}]}"#;

/// RFC 7946, section 3.1.9: a polygon cut in two at the antimeridian.
const SECTION_3_1_9: &str = r#"{"type": "MultiPolygon", "coordinates": [
    [[[180.0, 40.0], [180.0, 50.0], [170.0, 50.0], [170.0, 40.0], [180.0, 40.0]]],
    [[[-170.0, 40.0], [-170.0, 50.0], [-180.0, 50.0], [-180.0, 40.0], [-170.0, 40.0]]]]}"#;

#[test]
fn the_first_example_of_the_standard_has_one_stand() {
    let reading = plain(SECTION_1_5.as_bytes());
    let stand = &reading.map.stands[0];
    assert_eq!(
        (
            reading.report.features,
            reading.map.stands.len(),
            stand.id.as_str()
        ),
        (3, 1, "3")
    );
    let bounds = stand.place.expect("an outline").bounds;
    assert_eq!(
        [bounds.west, bounds.south, bounds.east, bounds.north],
        [100.0, 0.0, 101.0, 1.0]
    );
    assert_eq!(reading.report.left_out.values().sum::<usize>(), 2);
    let unmapped: Vec<(&str, usize)> = reading
        .report
        .unmapped
        .iter()
        .map(|(name, count)| (name.as_str(), *count))
        .collect();
    assert_eq!(unmapped, [("prop0", 3), ("prop1", 2)]);
    same_outlines(SECTION_1_5);
}

#[test]
fn geometries_of_the_standard_are_read_as_the_other_reader_reads_them() {
    for geometry in A_3.into_iter().chain([A_6, A_7, SECTION_3_1_9]) {
        same_outlines(geometry);
        same_outlines(&format!(
            r#"{{"type": "Feature", "properties": null, "geometry": {geometry}}}"#
        ));
    }
    // The standard's own figures: one hole, two parts, nothing.
    let shape = |geometry: &str| -> Vec<Vec<usize>> {
        let outlines = plain(geometry.as_bytes()).map.outlines;
        if outlines.len() == 0 {
            return Vec::new();
        }
        outlines
            .polygons(0)
            .map(|polygon| polygon.map(|ring| ring.len() / 2).collect())
            .collect()
    };
    assert_eq!(shape(A_3[0]), [[4]]);
    assert_eq!(shape(A_3[1]), [[4, 4]]);
    assert_eq!(shape(A_6), [vec![4], vec![4, 4]]);
    assert!(shape(A_7).is_empty());
}

/// A third and a fourth number of a position are left off (RFC 7946, section 3.1.1), and foreign members do not
/// matter (section 6.1), nor does the order of members.
#[test]
fn what_the_standard_leaves_open_does_not_matter() {
    let bare = r#"{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[10,50],[11,50],[11,51],[10,50]]]},"properties":{"id":"a"}}]}"#;
    let dressed = r#"{"title": "Map", "features": [{"title": "Example", "properties": {"id": "a"}, "bbox": [1, 2],
        "geometry": {"coordinates": [[[10, 50, 5], [11, 50, 6, 7], [11, 51], [10, 50, 5]]], "note": {"a": [1]},
        "type": "Polygon"}, "type": "Feature"}], "bbox": [10, 50, 11, 51], "crs": null, "type": "FeatureCollection"}"#;
    let (bare, dressed) = (plain(bare.as_bytes()), plain(dressed.as_bytes()));
    assert_eq!(format!("{:?}", bare.map), format!("{:?}", dressed.map));
    assert_eq!(dressed.findings, []);
}

/// A ring near a place: sound, clockwise or not, closed or not, perhaps with a double position.
fn ring() -> impl Strategy<Value = Vec<[f64; 2]>> {
    let corners = prop::collection::vec((-0.01..0.01f64, -0.01..0.01f64), 3..9);
    (
        (-170.0..170.0f64),
        (-80.0..80.0f64),
        corners,
        any::<(bool, bool)>(),
    )
        .prop_map(|(lng, lat, corners, (closed, doubled))| {
            let mut ring: Vec<[f64; 2]> = corners.iter().map(|(x, y)| [lng + x, lat + y]).collect();
            if doubled {
                ring.push(ring[ring.len() - 1]);
            }
            if closed {
                ring.push(ring[0]);
            }
            ring
        })
}

/// A feature as text, its members in one of several orders.
fn feature() -> impl Strategy<Value = String> {
    let geometry = prop_oneof![
        4 => prop::collection::vec(ring(), 1..3).prop_map(|rings| serde_json::json!({"type": "Polygon", "coordinates": rings})),
        2 => prop::collection::vec(prop::collection::vec(ring(), 1..2), 1..3)
            .prop_map(|polygons| serde_json::json!({"coordinates": polygons, "type": "MultiPolygon"})),
        1 => Just(serde_json::json!(null)),
        1 => Just(serde_json::json!({"type": "Point", "coordinates": [1.5, 2.5]})),
    ];
    let text = prop_oneof![Just("Łęg \"x\" ]}"), Just("plain"), Just("森\\n{"), Just("")];
    (geometry, text, any::<u8>(), prop::option::of(0.0..1.2f64)).prop_map(|(geometry, text, order, share)| {
        let name = serde_json::json!(text);
        let share = serde_json::json!(share);
        let properties =
            format!(r#""properties" : {{"name":{name},"species":"Picea abies","share":{share},"x":[{{}}]}}"#);
        let geometry = format!(r#""geometry":{geometry}"#);
        let kind = r#""type": "Feature""#.to_owned();
        let mut members = [kind, geometry, properties];
        members.rotate_left(usize::from(order % 3));
        if order > 127 {
            members.swap(0, 1);
        }
        format!("{{{}}}", members.join(",\r\n "))
    })
}

fn document() -> impl Strategy<Value = String> {
    (prop::collection::vec(feature(), 0..6), any::<bool>()).prop_map(|(features, last)| {
        let features = format!(r#""features": [{} ]"#, features.join(" ,\n"));
        if last {
            format!(r#"{{"type": "FeatureCollection", "name": "a[\"b", {features}}}"#)
        } else {
            format!(r#"{{{features}, "links": [{{"features": [1]}}], "type": "FeatureCollection"}}"#)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn valid_files_have_the_outlines_the_other_reader_sees(text in document()) {
        same_outlines(&text);
    }

    #[test]
    fn it_does_not_matter_where_the_bytes_are_cut(text in document(), cuts in prop::collection::vec(0.0..1.0f64, 0..8)) {
        let bytes = text.as_bytes();
        let mut places: Vec<usize> = cuts.iter().map(|cut| (cut * bytes.len() as f64) as usize).collect();
        places.extend([0, bytes.len()]);
        places.sort_unstable();
        let mut reader = Reader::new(None, Knowledge::shipped());
        for pair in places.windows(2) {
            reader.push(&bytes[pair[0]..pair[1]]).expect("a stand map");
        }
        let cut = reader.finish().expect("a stand map");
        prop_assert_eq!(format!("{:?}", cut), format!("{:?}", plain(bytes)));
    }

    #[test]
    fn a_file_cut_short_is_refused_or_has_lost_nothing(text in document(), cut in 0.0..1.0f64) {
        let bytes = text.as_bytes();
        let short = &bytes[..(cut * bytes.len() as f64) as usize];
        let refused = read(short, None, Knowledge::shipped()).expect_err("a file cut short");
        prop_assert!(["truncated", "empty", "encoding"].contains(&refused.code), "{}", refused);
    }

    #[test]
    fn one_bad_feature_never_loses_the_map(
        features in prop::collection::vec(feature(), 1..6),
        which in any::<prop::sample::Index>(),
        slip in prop_oneof![Just((":", ";")), Just(("\"type\"", "type")), Just(("{", "{1e,")), Just(("Feature", "feature")), Just(("[", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[["))],
    ) {
        let bad = which.index(features.len());
        let document = |features: &[String]| {
            format!(r#"{{"type": "FeatureCollection", "features": [{}]}}"#, features.join(","))
        };
        let mut others = features.clone();
        others.remove(bad);
        let mut slipped = features.clone();
        slipped[bad] = slipped[bad].replacen(slip.0, slip.1, 1);
        if slip.0 == "[" {
            slipped[bad] = features[bad].replace("{}", &format!("{}1{}", "[".repeat(40), "]".repeat(40)));
        }
        let (whole, rest) = (plain(document(&slipped).as_bytes()), plain(document(&others).as_bytes()));
        prop_assert_eq!(format!("{:?}", whole.map.outlines), format!("{:?}", rest.map.outlines));
        prop_assert_eq!(whole.report.features, features.len());
        let told = whole.findings.iter().any(|finding| finding.feature == Some(bad + 1) && finding.done == "the feature was left out");
        prop_assert!(told, "{:?}", whole.findings);
    }

    #[test]
    fn bytes_changed_at_random_never_stop_the_reader(
        text in document(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = text.into_bytes();
        for (place, byte) in changes {
            let place = place.index(bytes.len());
            bytes[place] = byte;
        }
        match read(&bytes, None, Knowledge::shipped()) {
            Ok(reading) => {
                let map = &reading.map;
                prop_assert_eq!(map.outlines.len(), map.stands.len());
                let left_out: usize = reading.report.left_out.values().sum();
                prop_assert_eq!(map.stands.len() + left_out, reading.report.features);
            }
            Err(refused) => prop_assert!(!refused.message.is_empty() && !refused.advice.is_empty()),
        }
    }

    #[test]
    fn whatever_the_bytes_are_the_reader_ends(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let whole = read(&bytes, None, Knowledge::shipped()).map(|reading| reading.report.features);
        prop_assert!(whole.is_err() || whole == Ok(0));
    }
}

#[test]
fn one_byte_at_a_time_is_enough() {
    let mut reader = Reader::new(None, Knowledge::shipped());
    for byte in SECTION_1_5.as_bytes() {
        reader.push(std::slice::from_ref(byte)).expect("a stand map");
    }
    let reading = reader.finish().expect("a stand map");
    assert_eq!(
        format!("{reading:?}"),
        format!("{:?}", plain(SECTION_1_5.as_bytes()))
    );
}
