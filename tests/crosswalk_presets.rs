//! The crosswalks of examples/crosswalks: each is read with its invented sample, stand by stand. The forms are those of
//! the data sets that each crosswalk names; the stands are made up.

mod notation;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::{env, fs};

use hostwood::knowledge::Knowledge;
use hostwood::stand::Tree;
use hostwood::standmap::{Crosswalk, Reading, read};
use notation::{codes, table};
use serde_json::Value;

fn folder(preset: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("examples/crosswalks")
        .join(preset)
}

fn reading(preset: &str) -> Reading {
    let folder = folder(preset);
    let text = fs::read(folder.join("crosswalk.json")).expect("a crosswalk");
    let files: BTreeMap<String, Vec<u8>> = Crosswalk::files(&text)
        .expect("JSON")
        .into_iter()
        .map(|name| {
            let bytes = fs::read(folder.join(&name)).expect("a file that the crosswalk names");
            (name, bytes)
        })
        .collect();
    let crosswalk = match Crosswalk::read_with_files(&text, &files) {
        Ok(crosswalk) => crosswalk,
        Err(mistakes) => panic!("{preset}: {}", mistakes[0]),
    };
    assert_eq!(crosswalk.warnings, [], "{preset}");
    let sample = fs::read(folder.join("sample.geojson")).expect("a sample");
    read(&sample, Some(&crosswalk), Knowledge::shipped()).expect("a stand map")
}

macro_rules! preset {
    ($name:ident, $preset:literal, [$($line:literal),* $(,)?], [$($finding:literal),* $(,)?]) => {
        #[test]
        fn $name() {
            let reading = reading($preset);
            let expected: &[&str] = &[$($line),*];
            assert_eq!(table(&reading), expected);
            assert_eq!(table(&reading), expected);
            let expected: &[&str] = &[$($finding),*];
            assert_eq!(codes(&reading), expected);
        }
    };
}

preset!(
    british_columbia,
    "british-columbia",
    [
        "4101 | Tsuga heterophylla 0.6, Thuja plicata 0.3, Pseudotsuga menziesii 0.1 | 92 | canopy 0.65 | basal 48.5 | height 31.2 | moisture fresh..moist | climate nawest",
        "4102 | Pinus contorta 0.95, Picea 0.05 | 42 | canopy 0.5 | basal 21 | height 14 | moisture dry..fresh | climate nawest",
        "4103 | Populus tremuloides 0.7, Picea glauca 0.2, Populus trichocarpa 0.1 | 64 | canopy 0.55 | basal 30.2 | height 19.7 | moisture empty | climate nawest",
    ],
    []
);
preset!(
    california,
    "california",
    [
        "61 | Pseudotsuga menziesii 0.1..1 | - | canopy 0.7..0.79(0.745) | basal empty | climate nawest",
        "62 | any conifer 0.1..1 | - | canopy 0.5..0.59(0.545) | basal empty | climate nawest",
        "63 | Notholithocarpus densiflorus 0.1..1 | - | canopy 0.8..0.89(0.845) | basal empty | climate nawest",
        "65 | ?ZZ 0.1..1 | - | canopy 0.3..0.39(0.345) | basal empty | climate nawest",
    ],
    ["unmapped-code the code `ZZ` is not known",]
);
preset!(
    czechia,
    "czechia",
    [
        r#"812A07 | Picea abies 0.8, Fagus sylvatica 0.15, Larix decidua 0.05 | 68 | moisture fresh | soil acid | {"KATEGORIE":"10","stocking":9.0}"#,
        r#"812A11 | Quercus petraea 0.6, Carpinus betulus 0.3, Tilia cordata 0.1 | 112 | moisture fresh | soil weaklyacid..neutral | {"KATEGORIE":"10","stocking":8.0}"#,
        r#"812B04 | Alnus glutinosa 0.9, Fraxinus excelsior 0.1 | 35 | moisture moist..wet | soil empty | {"KATEGORIE":"31b","stocking":10.0}"#,
        r#"812C09 | Pinus sylvestris 1 | 91 | moisture dry..fresh | soil calcareous | {"KATEGORIE":"32a","stocking":7.0}"#,
        r#"812C10 | ?XX 1 | 5 | moisture unmapped E | soil unmapped E | {"KATEGORIE":"10","stocking":10.0}"#,
    ],
    [
        "unmapped-code the code `E` is not in the crosswalk",
        "unmapped-code the code `XX` is not known",
    ]
);
preset!(
    estonia,
    "estonia",
    [
        r#"5001 | Betula 0.6, Populus tremula 0.4, Picea abies 1 below | 55 | height 21 | {"drained":false,"site_type":"JK"}"#,
        r#"5002 | Pinus sylvestris 1, Quercus robur 1 below | 90 | height 24 | {"drained":false,"site_type":"PH"}"#,
        r#"5003 |  | empty | height empty | {"drained":true,"site_type":"AN"}"#,
    ],
    ["stands-without-rows 1 stand has no row in the table",]
);
preset!(
    finland,
    "finland",
    [
        r#"901 | Picea abies 0.75, Pinus sylvestris 0.25, Betula pubescens 1 below | 76 | canopy empty | basal 24 | height 21.5 | moisture fresh | nutrients medium | {"development_class":"03"}"#,
        r#"902 | Pinus sylvestris 1 | 43 | canopy empty | basal 17.5 | height 12 | moisture dry | nutrients poor | {"development_class":"02"}"#,
        r#"903 | Betula pendula 0.667, Populus tremula 0.333, Picea abies 0.7 below, ?31 0.3 below | 92 | canopy empty | basal 21 | height 24 | moisture fresh..moist | nutrients rich | {"development_class":"04"}"#,
        r#"904 |  | empty | canopy empty | basal empty | height 1.5 | moisture dry | nutrients poor..medium | {"development_class":"T1"}"#,
    ],
    [
        "unmapped-code the code `31` is not known",
        "stands-without-rows 1 stand has no row in the table",
        "converted the coordinates are in EPSG:3067 (ETRS89 / TM35FIN(E,N))",
    ]
);
preset!(
    france,
    "france",
    [
        "FORESTV2_0001 | Fagus sylvatica 0.75..1 | - | canopy 0.4..1(0.7) | basal empty",
        "FORESTV2_0002 | any Abies, Picea 0.75..1 | - | canopy 0.4..1(0.7) | basal empty",
        "FORESTV2_0003 | any mixed 0.75..1 | - | canopy 0.4..1(0.7) | basal empty",
        "FORESTV2_0004 | any conifer 0.75..1 | - | canopy 0.1..0.4(0.25) | basal empty",
        "FORESTV2_0006 | ?FF9 0.75..1 | - | canopy 0.4..1(0.7) | basal empty",
    ],
    [
        "unmapped-code the code `FF9` is not known",
        "converted the coordinates are in EPSG:2154 (RGF93 v1 / Lambert-93)",
    ]
);
preset!(
    great_britain,
    "great-britain",
    [
        r#"7a | Picea sitchensis 0.8, Betula 0.2 | 39 | owner state | planted 1987 | {"PRIHABITAT":"Conifer"}"#,
        r#"7b | Quercus 0.7, Fagus 0.3 | 146 | owner state | planted 1880 | {"PRIHABITAT":"Native"}"#,
        r#"7c | Pinus sylvestris 0.6, Larix 0.25, any broadleaf 0.15 | 94 | owner state | planted 1932 | {"PRIHABITAT":"Native pine woodlands"}"#,
        "7e | Fagus 0.4 | empty | owner state",
    ],
    [
        "axes-either-way in either order of their two numbers, positions lie in the area of EPSG:27700 (OSGB36 / British National Grid)",
        "converted the coordinates are in EPSG:27700 (OSGB36 / British National Grid)",
    ]
);
preset!(
    norway,
    "norway",
    [
        r#"31/1 | any conifer 0.5..1 | 115 | {"site_index":14.0}"#,
        r#"31/2 | any mixed 0.5..1 | 50 | {"site_index":17.0}"#,
        r#"31/3 |  | empty | {"site_index":8.0}"#,
    ],
    []
);
preset!(
    ontario,
    "ontario",
    [
        "101-a | Picea mariana 0.4, Pinus banksiana 0.2, Picea glauca 0.2, Abies balsamea 0.1, Populus tremuloides 0.1 | 120 | canopy 0.7 | basal empty | height 15.5 | climate naeast",
        "101-b | Acer saccharum 0.7, Betula alleghaniensis 0.2, Tsuga canadensis 0.1, Abies balsamea 1 below | 76 | canopy 0.85 | basal empty | height 22 | climate naeast",
        "101-c | any broadleaf 0.6, ?Xx 0.4 | empty | canopy empty | basal empty | height empty | climate naeast",
    ],
    ["unmapped-code the code `Xx` is not known",]
);
preset!(
    poland,
    "poland",
    [
        "4100011 | Pinus sylvestris 1 | 64 | moisture fresh | nutrients poor | tags [] | owner state",
        r#"4100012 | Quercus robur 0.6 | 112 | moisture moist | nutrients medium | tags ["water_protection"] | owner state"#,
        r#"4100013 | Alnus glutinosa 0.8 | 45 | moisture wet | nutrients rich | tags ["nature_reserve"] | owner state"#,
        "4100014 | Picea abies 0.1..1 | empty | moisture fresh | nutrients poor..medium | tags [] | owner state",
    ],
    [
        "axes-either-way in either order of their two numbers, positions lie in the area of EPSG:2180 (ETRF2000-PL / CS92)",
        "converted the coordinates are in EPSG:2180 (ETRF2000-PL / CS92)",
    ]
);
preset!(
    quebec,
    "quebec",
    [
        "+00001 | Betula papyrifera 0.2, Picea glauca 0.6, Populus tremuloides 0.2 | 41..60(50.5) | canopy 0.6..0.79(0.695) | basal empty | moisture fresh..moist | climate naeast",
        "+00002 | Betula papyrifera 0.8, Picea 0.2 | 61..80(70.5) | canopy 0.8..1(0.9) | basal empty | moisture fresh | climate naeast",
        "+00003 | Abies balsamea 1 | unmapped 3050 | canopy unmapped X | basal empty | moisture moist | climate naeast",
    ],
    [
        "unmapped-code the code `3050` is not in the crosswalk",
        "unmapped-code the code `X` is not in the crosswalk",
    ]
);
preset!(
    spain,
    "spain",
    [
        r#"15001 | Quercus ilex 0.7, Quercus faginea 0.3 | - | canopy 0.75 | basal empty | {"stage":"timber"}"#,
        r#"15002 | Pinus pinaster 1 | - | canopy 0.6 | basal empty | {"stage":"pole"}"#,
        r#"15003 | Fagus sylvatica 0.6, Abies alba 0.3, Pinus sylvestris 0.1 | - | canopy 0.85 | basal empty | {"stage":"timber"}"#,
        r#"15004 | Quercus suber 0.8, ?99 0.2 | - | canopy 0.2 | basal empty | {"stage":"timber"}"#,
    ],
    ["unmapped-code the code `99` is not known",]
);

/// Where PROJ (pyproj 3.7.2, always_xy) put the samples when it turned them into the grids that the crosswalks name:
/// their south-western corners.
#[test]
fn samples_in_a_grid_lie_where_they_were_laid() {
    for (preset, west, south) in [
        ("finland", 27.0, 62.0),
        ("france", 3.0, 47.0),
        ("great-britain", -3.0, 54.5),
        ("poland", 19.0, 52.0),
    ] {
        let found = reading(preset).map.outlines.all_bounds().expect(preset);
        // A ten-thousandth of a degree is some ten metres; datum shifts without grids are good to five.
        assert!(
            (found.west - west).abs() < 1e-4 && (found.south - south).abs() < 1e-4,
            "{preset}: {found:?}"
        );
    }
}

/// The folders of examples/crosswalks.
fn presets() -> Vec<String> {
    let entries = fs::read_dir(folder(""))
        .expect("the examples")
        .map(|entry| entry.expect("an entry").path());
    let mut names: Vec<String> = entries
        .filter(|path| path.is_dir())
        .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()))
        .collect();
    names.sort();
    names
}

#[test]
fn every_preset_says_its_source_and_is_tested_here() {
    let here = include_str!("crosswalk_presets.rs");
    let presets = presets();
    assert!(presets.len() >= 12, "{presets:?}");
    for preset in presets {
        assert!(
            here.contains(&format!("    \"{preset}\",\n")),
            "{preset} has no test"
        );
        let crosswalk: Value =
            serde_json::from_slice(&fs::read(folder(&preset).join("crosswalk.json")).expect("a crosswalk"))
                .expect("JSON");
        let comment = crosswalk["$comment"].as_str().unwrap_or_default();
        assert!(
            comment.starts_with("Form: "),
            "{preset} does not say whose form it is"
        );
        for (name, list) in crosswalk["lists"].as_object().into_iter().flatten() {
            assert!(
                list["source"].is_string(),
                "{preset}: the list {name} has no source"
            );
        }
    }
}

#[test]
fn every_code_of_every_list_is_a_known_tree() {
    let trees = &Knowledge::shipped().trees;
    let mut looked_up = 0;
    for preset in presets() {
        let crosswalk: Value =
            serde_json::from_slice(&fs::read(folder(&preset).join("crosswalk.json")).expect("a crosswalk"))
                .expect("JSON");
        let lists = crosswalk["lists"]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(_, list)| list);
        let inside = crosswalk["trees"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|entry| &entry["name"]);
        for (code, meaning) in lists
            .chain(inside)
            .flat_map(|of| of["codes"].as_object().into_iter().flatten())
        {
            let known = match meaning {
                Value::String(name) => trees.resolve(name).tree != Tree::Unresolved,
                other => {
                    other["not_tree"] == true
                        || other["group"]
                            .as_str()
                            .is_some_and(|group| trees.group(group).is_some())
                }
            };
            assert!(known, "{preset}: {code} means {meaning}");
            looked_up += 1;
        }
    }
    assert!(looked_up > 250, "{looked_up} codes");
}
