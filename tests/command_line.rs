//! The command line as a user runs it: arguments in, files and exit codes out.

use std::path::PathBuf;
use std::process::{Command, Output};
use std::{env, fs};

use serde_json::Value;

const PLAIN: &str = "examples/plain/stands.geojson";
const BOOK: &str = "examples/region/eskenvar.rules.json";

fn hostwood(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_hostwood"))
        .args(arguments)
        .output()
        .expect("the command runs")
}

fn file(name: &str, text: &str) -> String {
    let path: PathBuf = env::temp_dir().join(format!("hostwood-{}-{name}", std::process::id()));
    fs::write(&path, text).expect("a file can be written");
    path.display().to_string()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn assess_writes_geojson_with_one_member_a_feature() {
    let done = hostwood(&["assess", PLAIN, "--rules", BOOK, "--day", "2026-09-12"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let map: geojson::FeatureCollection = text(&done.stdout).parse().expect("GeoJSON");
    assert!(map.features.len() >= 10);
    for feature in &map.features {
        let known = &feature.foreign_members.as_ref().expect("a member")["hostwood"];
        for part in [
            "potential",
            "verdict",
            "kinds",
            "poisonous",
            "reasons",
            "not_known",
        ] {
            assert!(!known[part].is_null(), "{part} is missing in {known}");
        }
    }
}

#[test]
fn without_a_rule_book_every_answer_is_not_known() {
    let done = hostwood(&["assess", PLAIN, "--day", "2026-09-12"]);
    let map: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    for feature in map["features"].as_array().expect("features") {
        assert_eq!(feature["hostwood"]["verdict"]["answer"], "not_known");
    }
}

#[test]
fn a_wrong_day_is_wrong_use() {
    let done = hostwood(&["assess", PLAIN, "--day", "2026-02-31"]);
    assert_eq!(done.status.code(), Some(2));
    assert_eq!(
        text(&done.stderr),
        "hostwood: day: `2026-02-31`, expected a day such as `2026-09-12`\n"
    );
    assert_eq!(hostwood(&["assess", PLAIN]).status.code(), Some(2), "no day");
}

#[test]
fn a_rule_book_with_a_mistake_ends_with_one_and_says_where() {
    let broken = fs::read_to_string(BOOK)
        .expect("the book")
        .replacen("\"rules\"", "\"rulse\"", 1);
    let path = file("broken.rules.json", &broken);
    let done = hostwood(&["rules", &path]);
    assert_eq!(done.status.code(), Some(1));
    let told = text(&done.stderr);
    assert!(told.contains("did you mean `rules`?"), "{told}");
    assert!(told.contains("line "), "{told}");
    let json = hostwood(&["rules", &path, "--json"]);
    let told: Value = serde_json::from_slice(&json.stdout).expect("JSON for machines");
    assert_eq!(told["usable"], 0);
    // The stands are still assessed, and what the book would say is not known.
    let assessed = hostwood(&["assess", PLAIN, "--rules", &path, "--day", "2026-09-12"]);
    assert_eq!(assessed.status.code(), Some(1));
    let map: Value = serde_json::from_slice(&assessed.stdout).expect("JSON");
    assert_eq!(map["features"][0]["hostwood"]["verdict"]["answer"], "not_known");
}

#[test]
fn a_sound_rule_book_ends_with_none() {
    let done = hostwood(&["rules", BOOK]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(text(&done.stdout).contains("XX-EV"), "{}", text(&done.stdout));
}

#[test]
fn files_that_are_not_there_or_not_maps_end_with_one() {
    let done = hostwood(&["stands", "nowhere.geojson"]);
    assert_eq!(done.status.code(), Some(1));
    assert!(
        text(&done.stderr).starts_with("nowhere.geojson: the file could not be read"),
        "{}",
        text(&done.stderr)
    );
    let page = file("page.geojson", "<!doctype html><title>Not found</title>");
    let done = hostwood(&["stands", &page]);
    assert_eq!(done.status.code(), Some(1));
    assert!(text(&done.stderr).contains("web page"), "{}", text(&done.stderr));
}

#[test]
fn stands_tells_counts_and_what_nothing_reads() {
    let map = r#"{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","properties":
        {"species":"Pica abies","share":1,"COLOUR":"red"},
        "geometry":{"type":"Polygon","coordinates":[[[10,50],[10.01,50],[10.01,50.01],[10,50]]]}}]}"#;
    let done = hostwood(&["stands", &file("odd.geojson", map)]);
    let told = text(&done.stdout);
    assert!(told.contains("nothing reads `COLOUR` (1 features)"), "{told}");
    assert!(
        told.contains("unknown tree `Pica abies` (1 times); did you mean `Picea abies`?"),
        "{told}"
    );
}

/// A folder of its own with these files in it.
fn folder(name: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = env::temp_dir().join(format!("hostwood-{}-{name}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder can be made");
    for (file, text) in files {
        fs::write(folder.join(file), text).expect("a file can be written");
    }
    folder
}

const JOINED: &str = r#"{"format": "hostwood-crosswalk/1.0", "id": {"from": "NO"},
    "tables": {"strata": {"from_file": "strata.csv", "key": "NO"}},
    "trees": [{"rows": "strata", "name": {"from": "TREE"}, "share": {"from": "PART", "unit": "tenths"}}]}"#;
const ONE_STAND: &str = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"NO": 4},
    "geometry": {"type": "Polygon", "coordinates": [[[10, 50], [10.001, 50], [10.001, 50.001], [10, 50]]]}}]}"#;

#[test]
fn tables_beside_the_crosswalk_are_joined_and_the_dry_run_shows_them() {
    let folder = folder(
        "joined",
        &[
            ("map.geojson", ONE_STAND),
            ("crosswalk.json", JOINED),
            (
                "strata.csv",
                "NO;TREE;PART\n4;Picea abies;8\n4;Fagus sylvatica;2\n",
            ),
        ],
    );
    let path = |name: &str| folder.join(name).display().to_string();
    let (map, crosswalk) = (path("map.geojson"), path("crosswalk.json"));
    let done = hostwood(&["stands", &map, "--crosswalk", &crosswalk, "--sample", "1"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let told = text(&done.stdout);
    assert!(
        told.starts_with(
            "stand `4` (feature 1)\n  id             NO `4`                             4\n  trees          strata \
             `Picea abies`               Picea abies; 80 %; canopy\n"
        ),
        "{told}"
    );
    let done = hostwood(&[
        "stands",
        &map,
        "--crosswalk",
        &crosswalk,
        "--sample",
        "1",
        "--json",
    ]);
    let told: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!(told["sample"][0]["facts"][2]["tree"], "Fagus sylvatica");
    assert_eq!(told["sample"][0]["facts"][2]["value"], 0.2);

    fs::remove_file(folder.join("strata.csv")).expect("the table is there");
    let done = hostwood(&["stands", &map, "--crosswalk", &crosswalk]);
    assert_eq!(done.status.code(), Some(1));
    assert_eq!(
        text(&done.stderr),
        format!(
            "{crosswalk}: error: crosswalk, line 2, column 27, `tables`, `strata`, `from_file`: the table \
             `strata.csv`: the file was not handed over, expected its rows. Put it beside the crosswalk.\n"
        )
    );
}

#[test]
fn crosswalks_are_checked_without_a_map() {
    let fine = file(
        "fine.crosswalk.json",
        r#"{"format": "hostwood-crosswalk/1.0", "trees": [{"name": {"from": "S"}}]}"#,
    );
    let bad = file(
        "bad.crosswalk.json",
        r#"{"format": "hostwood-crosswalk/1.0", "canopy": {"from": "C"}, "height": {"from": "H", "unit": "mt"}}"#,
    );
    let done = hostwood(&["crosswalk", &fine]);
    assert_eq!(
        (done.status.code(), text(&done.stdout)),
        (Some(0), format!("{fine}: can be used\n"))
    );
    let done = hostwood(&["crosswalk", &fine, &bad, "--json"]);
    assert_eq!(done.status.code(), Some(1));
    let told: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!(
        (&told["crosswalks"], &told["usable"]),
        (&Value::from(2), &Value::from(1))
    );
    let codes: Vec<&str> = told["mistakes"]
        .as_array()
        .expect("mistakes")
        .iter()
        .filter_map(|mistake| mistake["code"].as_str())
        .collect();
    assert_eq!(codes, ["unit-missing", "unknown-word"]);
    assert_eq!(told["mistakes"][1]["mistake"]["pointer"], "/height/unit");
}

#[test]
fn a_proposal_is_written_to_be_saved_and_its_guesses_are_told_beside_it() {
    // In its grid, as programs write it that name the grid in the file.
    let sample = fs::read_to_string("examples/crosswalks/poland/sample.geojson").expect("the sample");
    let named = sample.replacen(
        '{',
        r#"{"crs": {"type": "name", "properties": {"name": "EPSG:2180"}}, "#,
        1,
    );
    let map = &file("in_its_grid.geojson", &named);
    let done = hostwood(&["stands", map, "--propose"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let told = text(&done.stderr);
    assert!(
        told.contains("guess: trees from `species_cd`, confidence "),
        "{told}"
    );
    let saved = file("proposed.crosswalk.json", &text(&done.stdout));
    let done = hostwood(&["stands", map, "--crosswalk", &saved]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(
        text(&done.stdout).contains("6 features, 6 stands"),
        "{}",
        text(&done.stdout)
    );
    assert_eq!(
        hostwood(&["stands", map, "--propose", "--crosswalk", &saved])
            .status
            .code(),
        Some(2),
        "one or the other"
    );
}

const WOLD: &str = "examples/rules/wold.rules.json";

#[test]
fn a_basket_is_held_against_the_limits_and_what_is_deadly_comes_first() {
    let basket = file(
        "basket.json",
        r#"[{"kind": "Boletus edulis", "mass": "0.6"}, {"kind": "Amanita phalloides", "mass": "0.1"},
            {"kind": "Cantharellus cibarius", "volume": "2"}, {"kind": "blue one", "mass": "0.2"}]"#,
    );
    let done = hostwood(&["rules", WOLD, "--day", "2026-09-12", "--basket", &basket]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let told = text(&done.stdout);
    let lines: Vec<&str> = told.lines().skip(1).collect();
    assert_eq!(
        lines,
        [
            "DEADLY: entry 2 (Amanita phalloides). Do not eat it; have all that lay beside it checked by a trained person",
            "answer: over",
            "limit XX-WO/daily: 0.9 of 2 kg, not_known",
            "  not counted: entry 3 (Cantharellus cibarius), told in another measure, which cannot be turned into this one",
            "limit XX-WO/ceps-part: 0.6 of 0.5 kg, over",
            "  not counted: entry 4 (blue one), it may be one of these kinds",
            "not known: entry 4 (blue one) is not in the table of fungi; nothing can be told of it",
        ]
    );
    let done = hostwood(&[
        "rules",
        WOLD,
        "--day",
        "2026-09-12",
        "--basket",
        &basket,
        "--json",
    ]);
    let report: Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!(report["basket"]["answer"], "over");
    assert_eq!(report["basket"]["limits"][1]["used"], "0.6");
    assert_eq!(report["basket"]["poisonous"][0]["status"], "deadly");
}

#[test]
fn a_basket_that_makes_no_sense_is_told() {
    let basket = file(
        "bad-basket.json",
        r#"[{"kind": "Boletus edulis", "mass": "much"}]"#,
    );
    let done = hostwood(&["rules", WOLD, "--day", "2026-09-12", "--basket", &basket]);
    assert_eq!(done.status.code(), Some(1));
    assert!(
        text(&done.stderr).contains("basket, entry 1: `mass` is `much`, expected a decimal such as `0.5`"),
        "{}",
        text(&done.stderr)
    );
    let zone = [
        "rules",
        WOLD,
        "--day",
        "2026-09-12",
        "--basket",
        &basket,
        "--zone",
        "yuong",
    ];
    let good = file(
        "good-basket.json",
        r#"[{"kind": "Boletus edulis", "mass": "0.1"}]"#,
    );
    let zone: Vec<&str> = zone
        .iter()
        .map(|word| if *word == basket { good.as_str() } else { *word })
        .collect();
    let done = hostwood(&zone);
    assert!(
        text(&done.stderr).contains("no zone is called `yuong`, expected one of young"),
        "{}",
        text(&done.stderr)
    );
    assert_eq!(
        hostwood(&["rules", WOLD, "--basket", &good]).status.code(),
        Some(2),
        "no day"
    );
}

#[test]
fn a_day_tells_what_has_grown_old() {
    let done = hostwood(&["rules", WOLD, "--day", "2028-01-01"]);
    assert_eq!(done.status.code(), Some(0), "warnings only");
    let told = text(&done.stderr);
    assert!(
        told.contains("warning: line 13, column 3: `review_by` is `2027-09-01`, which is past"),
        "{told}"
    );
}

#[test]
fn the_page_on_kinds_gives_a_command_that_runs() {
    let page = include_str!("../examples/kinds/README.md");
    let command = page.lines().find_map(|line| line.strip_prefix("hostwood "));
    let words: Vec<&str> = command.expect("a command").split(' ').collect();
    let done = hostwood(&words);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert_eq!(
        text(&done.stderr),
        "examples/kinds/eskenvar.kinds.csv: 1 added, 2 corrected (Kinds of the Eskenvar, Eskenvar Forest Office)\n"
    );
    // What the file adds is among the kinds of a stand, and the local name is the one that is told.
    let told = text(&done.stdout);
    for found in ["esken_ring_cap", "boletus_edulis"] {
        assert!(told.contains(found), "{found}");
    }
}
