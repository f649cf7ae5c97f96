//! The invented region of the demo: that it comes out the same each time, that its stands are sound outlines which
//! share their borders to the last digit, and that it holds what a real inventory holds. How it is read and
//! what a visitor meets there is left to `visits`.

mod outlines;
#[path = "../../examples/region/region.rs"]
mod region;
mod visits;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use serde_json::Value;

use outlines::{Place, flaws, hectares, place, polygons, shared_border};

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

/// RFC 7946, section 3.1.6, and what a map of stands needs besides: see `outlines`.
#[test]
fn outlines_are_sound() {
    assert_eq!(flaws(stands()), Vec::<String>::new());
}

#[test]
fn holes_pieces_and_shared_borders_occur() {
    let all: Vec<_> = stands().iter().map(polygons).collect();
    let holes: usize = all.iter().flatten().map(|polygon| polygon.len() - 1).sum();
    assert!(holes >= 20, "{holes} holes");
    let in_pieces = all.iter().filter(|polygons| polygons.len() > 1).count();
    assert!(in_pieces >= 10, "{in_pieces} stands in several pieces");
    let (shared, walked) = shared_border(stands());
    assert!(
        shared * 10 > walked * 6,
        "only {shared} of {walked} pieces of border are shared"
    );
}

/// The crosswalk's codes, each with the genus or group it stands for.
fn codes() -> BTreeMap<String, String> {
    let crosswalk: Value = serde_json::from_str(include_str!("../../examples/region/crosswalk.json"))
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
