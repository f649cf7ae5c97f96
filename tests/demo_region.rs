//! The invented region of the demo: that it comes out the same each time, that its stands are sound outlines which
//! share their borders to the last digit, and that it holds what a real inventory holds. How well it is read is left
//! to the tests of the stand map.

#[path = "../examples/region/region.rs"]
mod region;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use serde_json::Value;

/// A position in hundred-thousandths of a degree, so that comparing is exact.
type Place = (i64, i64);

fn files() -> &'static region::Files {
    static FILES: OnceLock<region::Files> = OnceLock::new();
    FILES.get_or_init(region::make)
}

fn features(text: &str) -> Vec<Value> {
    let map: Value = serde_json::from_str(text).expect("the file is JSON");
    map["features"].as_array().expect("a collection").clone()
}

fn stands() -> &'static [Value] {
    static STANDS: OnceLock<Vec<Value>> = OnceLock::new();
    STANDS.get_or_init(|| features(&files().stands))
}

fn place(position: &Value) -> Place {
    let whole = |axis: usize| (position[axis].as_f64().expect("a number") * 100_000.0).round() as i64;
    (whole(0), whole(1))
}

/// The polygons of a stand, each its rings.
fn polygons(feature: &Value) -> Vec<Vec<Vec<Place>>> {
    let geometry = &feature["geometry"];
    let ring = |ring: &Value| ring.as_array().expect("a ring").iter().map(place).collect();
    let polygon = |polygon: &Value| polygon.as_array().expect("a polygon").iter().map(ring).collect();
    match geometry["type"].as_str() {
        Some("Polygon") => vec![polygon(&geometry["coordinates"])],
        Some("MultiPolygon") => geometry["coordinates"]
            .as_array()
            .expect("polygons")
            .iter()
            .map(polygon)
            .collect(),
        other => panic!("a stand has the geometry {other:?}"),
    }
}

/// Twice the signed area of a ring: above zero where it runs counter-clockwise.
fn turned(ring: &[Place]) -> i64 {
    let (x0, y0) = ring[0];
    ring.windows(2)
        .map(|pair| (pair[0].0 - x0) * (pair[1].1 - y0) - (pair[1].0 - x0) * (pair[0].1 - y0))
        .sum()
}

/// Area of a stand in hectares, from metres a degree at 49.16 degrees north (WGS 84: 72.94 km and 111.21 km).
fn hectares(feature: &Value) -> f64 {
    let doubled: i64 = polygons(feature).iter().flatten().map(|ring| turned(ring)).sum();
    doubled as f64 / 2.0 * 0.729_4 * 1.112_1 / 10_000.0
}

#[test]
fn two_runs_give_the_same_bytes() {
    let again = region::make();
    assert!(
        again.stands == files().stands,
        "the stand map differs from run to run"
    );
    assert!(
        again.context == files().context,
        "the map of ways differs from run to run"
    );
}

#[test]
fn it_says_that_it_is_invented() {
    for text in [&files().stands, &files().context] {
        let map: Value = serde_json::from_str(text).expect("the file is JSON");
        let note = map["about"]["note"].as_str().expect("a note");
        assert!(note.contains("invented region"), "{note}");
    }
}

#[test]
fn it_is_large_enough_and_small_enough() {
    let count = stands().len();
    assert!((1_500..=3_000).contains(&count), "{count} stands");
    assert!(
        files().stands.len() < 1_800_000,
        "{} bytes of stands",
        files().stands.len()
    );
    assert!(
        files().context.len() < 200_000,
        "{} bytes of context",
        files().context.len()
    );
}

#[test]
fn stands_are_as_large_as_stands_are() {
    let mut areas: Vec<f64> = stands().iter().map(hectares).collect();
    areas.sort_by(f64::total_cmp);
    let (least, middle, most) = (areas[0], areas[areas.len() / 2], areas[areas.len() - 1]);
    assert!(least >= 0.4, "the smallest stand has {least} ha");
    assert!(most <= 31.0, "the largest stand has {most} ha");
    assert!(
        (3.0..=8.0).contains(&middle),
        "half of the stands are larger than {middle} ha"
    );
}

/// RFC 7946, section 3.1.6: rings are closed, shells run counter-clockwise, holes clockwise.
#[test]
fn rings_are_closed_and_wound_as_the_standard_asks() {
    let (mut holes, mut in_pieces) = (0, 0);
    for stand in stands() {
        let polygons = polygons(stand);
        in_pieces += usize::from(polygons.len() > 1);
        for polygon in polygons {
            for (number, ring) in polygon.iter().enumerate() {
                assert!(
                    ring.len() >= 4,
                    "{}: a ring of {}",
                    stand["properties"]["UNIT_NO"],
                    ring.len()
                );
                assert_eq!(
                    ring[0],
                    ring[ring.len() - 1],
                    "{}",
                    stand["properties"]["UNIT_NO"]
                );
                assert_eq!(
                    turned(ring) > 0,
                    number == 0,
                    "{}: ring {number}",
                    stand["properties"]["UNIT_NO"]
                );
                holes += usize::from(number > 0);
            }
        }
    }
    assert!(holes >= 20, "{holes} holes");
    assert!(in_pieces >= 10, "{in_pieces} stands in several pieces");
}

/// Every piece of border belongs to one stand, or to two that run along it in opposite directions.
#[test]
fn neighbours_share_their_border_to_the_last_digit() {
    let mut walked: BTreeSet<(Place, Place)> = BTreeSet::new();
    for stand in stands() {
        for ring in polygons(stand).iter().flatten() {
            for pair in ring.windows(2) {
                assert_ne!(
                    pair[0], pair[1],
                    "{}: a vertex stands twice",
                    stand["properties"]["UNIT_NO"]
                );
                let fresh = walked.insert((pair[0], pair[1]));
                assert!(
                    fresh,
                    "{}: a border runs twice the same way",
                    stand["properties"]["UNIT_NO"]
                );
            }
        }
    }
    let shared = walked.iter().filter(|(a, b)| walked.contains(&(*b, *a))).count();
    assert!(
        shared * 10 > walked.len() * 6,
        "only {shared} of {} pieces of border are shared",
        walked.len()
    );
}

/// In whole numbers, so exactly: no two pieces of border cross, overlap, or end on each other but at their ends.
#[test]
fn no_two_borders_cross() {
    const TILE: i64 = 300;
    let mut pieces: BTreeSet<(Place, Place)> = BTreeSet::new();
    for ring in stands().iter().flat_map(polygons).flatten() {
        pieces.extend(
            ring.windows(2)
                .map(|pair| (pair[0].min(pair[1]), pair[0].max(pair[1]))),
        );
    }
    let mut tiles: BTreeMap<(i64, i64), Vec<(Place, Place)>> = BTreeMap::new();
    for (a, b) in pieces {
        for i in a.0.min(b.0).div_euclid(TILE)..=a.0.max(b.0).div_euclid(TILE) {
            for j in a.1.min(b.1).div_euclid(TILE)..=a.1.max(b.1).div_euclid(TILE) {
                tiles.entry((i, j)).or_default().push((a, b));
            }
        }
    }
    let side =
        |a: Place, b: Place, c: Place| ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).signum();
    let on = |a: Place, b: Place, c: Place| {
        let within = |low: i64, high: i64, value: i64| low.min(high) <= value && value <= low.max(high);
        side(a, b, c) == 0 && within(a.0, b.0, c.0) && within(a.1, b.1, c.1) && c != a && c != b
    };
    let mut crossings = BTreeSet::new();
    for pieces in tiles.values() {
        for (number, &(a, b)) in pieces.iter().enumerate() {
            for &(c, d) in &pieces[number + 1..] {
                let across = side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
                if across || on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) {
                    crossings.insert((a, b, c, d));
                }
            }
        }
    }
    assert!(
        crossings.is_empty(),
        "{} crossings, such as {:?}",
        crossings.len(),
        crossings.first()
    );
}

/// The crosswalk's codes, each with the genus or group it stands for.
fn codes() -> BTreeMap<String, String> {
    let crosswalk: Value = serde_json::from_str(include_str!("../examples/region/crosswalk.json"))
        .expect("the crosswalk is JSON");
    let codes = crosswalk["lists"]["eskenvar"]["codes"]
        .as_object()
        .expect("a list of codes");
    codes
        .iter()
        .map(|(code, tree)| {
            let name = tree
                .as_str()
                .or(tree["group"].as_str())
                .expect("a name or a group");
            (code.clone(), name.split(' ').next().unwrap_or(name).to_owned())
        })
        .collect()
}

#[test]
fn at_least_twenty_genera_grow_there() {
    let codes = codes();
    let mut genera: BTreeMap<&str, usize> = BTreeMap::new();
    for stand in stands() {
        for slot in 1..=4 {
            if let Some(name) = stand["properties"][format!("SP{slot}")]
                .as_str()
                .and_then(|code| codes.get(code))
            {
                *genera.entry(name).or_default() += 1;
            }
        }
    }
    genera.remove("broadleaf");
    let often = genera.iter().filter(|(_, count)| **count >= 3).count();
    assert!(often >= 20, "{genera:?}");
}

#[test]
fn shares_add_up_or_are_left_open() {
    for stand in stands() {
        let row = &stand["properties"];
        let shares: Vec<u64> = (1..=4)
            .filter_map(|slot| row[format!("PC{slot}")].as_u64())
            .collect();
        let sum: u64 = shares.iter().sum();
        assert!(
            shares.is_empty() || sum == 100,
            "{}: shares add up to {sum}",
            row["UNIT_NO"]
        );
    }
}

#[test]
fn numbers_and_names_are_unique() {
    for column in ["UNIT_NO", "UNIT_NAME"] {
        let all: BTreeSet<&str> = stands()
            .iter()
            .filter_map(|stand| stand["properties"][column].as_str())
            .collect();
        assert_eq!(all.len(), stands().len(), "{column}");
    }
}

/// What no inventory is without has to occur, or the demo would never show it.
#[test]
fn it_holds_what_is_not_known() {
    type Test<'t> = &'t dyn Fn(&Value) -> bool;
    let codes = codes();
    let count = |test: Test<'_>| {
        stands()
            .iter()
            .map(|stand| &stand["properties"])
            .filter(|row| row["TYPE"] != "T")
            .filter(|row| test(row))
            .count()
    };
    let table: [(&str, Test<'_>); 10] = [
        ("no trees recorded", &|row| row["SP1"].is_null()),
        ("only the leading species", &|row| {
            !row["SP1"].is_null() && row["PC1"].is_null()
        }),
        ("a code in no list", &|row| {
            row["SP1"].as_str().is_some_and(|code| !codes.contains_key(code))
        }),
        ("other broadleaves", &|row| row["SP1"] == "XBL"),
        ("no year of origin", &|row| row["ORIGIN_YR"] == 0),
        ("no canopy cover", &|row| row["CC"].is_null()),
        ("no basal area", &|row| row["BA"].is_null()),
        ("no soil", &|row| row["SOIL"] == ""),
        ("no dead wood", &|row| row["DEADW"].is_null()),
        ("no owner", &|row| row["OWNER"].is_null()),
    ];
    for (what, test) in table {
        let found = count(test);
        assert!(found >= 4 && found * 8 < stands().len(), "{what}: {found} stands");
    }
}

#[test]
fn every_kind_of_closure_and_owner_occurs() {
    let rows: Vec<&Value> = stands().iter().map(|stand| &stand["properties"]).collect();
    let protection = |code: &str| {
        rows.iter()
            .filter(|row| {
                row["PROT"]
                    .as_str()
                    .is_some_and(|all| all.split(';').any(|one| one == code))
            })
            .count()
    };
    for code in ["SR", "LR", "PW", "SS", "N"] {
        assert!(protection(code) >= 10, "{code}: {}", protection(code));
    }
    for owner in ["S", "K", "P", "O"] {
        let found = rows.iter().filter(|row| row["OWNER"] == owner).count();
        assert!(found >= 50, "{owner}: {found}");
    }
    let young = rows
        .iter()
        .filter(|row| row["ORIGIN_YR"].as_i64().is_some_and(|year| year > 2011))
        .count();
    assert!(young >= 50, "{young} stands younger than 15 years");
}

#[test]
fn ways_lead_from_car_parks_to_viewpoints() {
    let context = features(&files().context);
    let of = |role: &str| -> Vec<&Value> {
        context
            .iter()
            .filter(|feature| feature["properties"]["role"] == role)
            .collect()
    };
    for (role, least) in [
        ("road", 10),
        ("track", 5),
        ("path", 4),
        ("stream", 20),
        ("water", 2),
        ("meadow", 10),
        ("car_park", 6),
        ("viewpoint", 4),
        ("place", 8),
    ] {
        assert!(of(role).len() >= least, "{role}: {}", of(role).len());
    }
    let mut on_ways: BTreeSet<Place> = BTreeSet::new();
    for role in ["road", "track", "path"] {
        for way in of(role) {
            let line: Vec<Place> = way["geometry"]["coordinates"]
                .as_array()
                .expect("a line")
                .iter()
                .map(place)
                .collect();
            assert!(line.len() >= 2, "{role}: a line of {}", line.len());
            on_ways.extend([line[0], line[line.len() - 1]]);
        }
    }
    for role in ["car_park", "viewpoint"] {
        for spot in of(role) {
            let at = place(&spot["geometry"]["coordinates"]);
            assert!(
                on_ways.contains(&at),
                "no way ends at {} {}",
                role,
                spot["properties"]["name"]
            );
        }
    }
}
