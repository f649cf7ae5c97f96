//! Attribute tables as agencies publish them, read through crosswalks. Property names, codes and value forms are
//! those of published stand-map documentation (the agency is named beside each table); the rows are made up.

mod notation;

use hostwood::knowledge::Knowledge;
use hostwood::stand::Tree;
use hostwood::standmap::{Crosswalk, Reading, read};
use notation::{codes, table};
use serde_json::Value;

/// A reading of these rows, with the files that the crosswalk names.
fn reading(crosswalk: &str, files: &[(&str, &str)], rows: &str) -> Reading {
    let files = files
        .iter()
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect();
    let crosswalk = match Crosswalk::read_with_files(crosswalk.as_bytes(), &files) {
        Ok(crosswalk) => crosswalk,
        Err(mistakes) => panic!(
            "{}",
            mistakes
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n")
        ),
    };
    assert_eq!(crosswalk.warnings, []);
    let rows: Vec<Value> = rows
        .lines()
        .filter(|row| !row.trim().is_empty())
        .enumerate()
        .map(|(place, text)| row(place, text))
        .collect();
    let map = serde_json::json!({"type": "FeatureCollection", "features": rows});
    read(map.to_string().as_bytes(), Some(&crosswalk), Knowledge::shipped()).expect("a stand map")
}

/// One row of a table as a feature with a small outline, beside the one before.
fn row(place: usize, row: &str) -> Value {
    let properties: Value = serde_json::from_str(row.trim()).expect(row);
    let (west, east) = (10.0 + place as f64 * 0.001, 10.001 + place as f64 * 0.001);
    serde_json::json!({"type": "Feature", "properties": properties,
        "geometry": {"type": "Polygon", "coordinates": [[[west, 50], [east, 50], [east, 50.001], [west, 50]]]}})
}

macro_rules! published {
    ($name:ident, $file:literal $(with $joined:literal $text:literal)?, $rows:literal, [$($line:literal),* $(,)?], [$($finding:literal),* $(,)?]) => {
        #[test]
        fn $name() {
            let files: &[(&str, &str)] = &[$(($joined, $text))?];
            let reading = reading(include_str!(concat!("fixtures/published/", $file)), files, $rows);
            let expected: &[&str] = &[$($line),*];
            assert_eq!(table(&reading), expected);
            let expected: &[&str] = &[$($finding),*];
            assert_eq!(codes(&reading), expected);
        }
    };
}

// Finnish Forest Centre, forest stand data: codes of tree species, fertility and development classes. Codes may come
// as floats; development classes have leading zeros.
published!(
    finland,
    "finland.json",
    r#"
{"STANDID": 1, "MAINTREESPECIES": 1, "MEANAGE": 61, "BASALAREA": 22.5, "MEANHEIGHT": 18, "FERTILITYCLASS": 4, "DEVELOPMENTCLASS": "03"}
{"STANDID": 2, "MAINTREESPECIES": 2.0, "MEANAGE": 0, "FERTILITYCLASS": "2", "DEVELOPMENTCLASS": "02"}
{"STANDID": 3, "MAINTREESPECIES": "29", "MEANAGE": 12, "FERTILITYCLASS": 7, "DEVELOPMENTCLASS": "A0"}
{"STANDID": 4, "MAINTREESPECIES": 31, "MEANAGE": 80, "DEVELOPMENTCLASS": "2"}
{"STANDID": 5, "MAINTREESPECIES": null}
"#,
    [
        r#"1 | Pinus sylvestris 0.1..1 | 61 | canopy empty | basal 22.5 | height 18 | moisture dry | setting [] | {"development_class":"03"}"#,
        r#"2 | Picea abies 0.1..1 | empty | canopy empty | basal empty | height empty | moisture fresh..moist | setting [] | {"development_class":"02"}"#,
        r#"3 | any broadleaf 0.1..1 | 12 | canopy empty | basal empty | height empty | moisture empty | setting [clearing] | {"development_class":"A0"}"#,
        r#"4 | ?31 0.1..1 | 80 | canopy empty | basal empty | height empty | moisture empty | setting unmapped 2 | {"development_class":"2"}"#,
        "5 |  | empty | canopy empty | basal empty | height empty | moisture empty | setting empty",
    ],
    [
        "unmapped-code the code `2` is not in the crosswalk",
        "unmapped-code the code `31` is not known",
    ]
);

// Ontario, forest resources inventory: one text for the composition, padded, in percent or tenths; over- and
// understorey; zero cover and height mean nothing.
published!(
    ontario,
    "ontario.json",
    r#"
{"POLYID": "a", "POLYTYPE": "FOR", "OSPCOMP": "Sb  40Pj  20 Sw 20Bf  10Pt  10", "USPCOMP": null, "OYRORG": 1906, "OCCLO": 70, "OHT": 15.5}
{"POLYID": "b", "POLYTYPE": "FOR", "OSPCOMP": "SB 7PO 2B  1", "USPCOMP": "Bf 100", "OYRORG": 0, "OCCLO": 0, "OHT": 0}
{"POLYID": "c", "POLYTYPE": "FOR", "OSPCOMP": "Sb  50Pj  20", "OYRORG": 2031}
{"POLYID": "d", "POLYTYPE": "FOR", "OSPCOMP": "Oh  60Xx  40", "OYRORG": 1990}
{"POLYID": "e", "POLYTYPE": "FOR", "OSPCOMP": "Sb Pj", "OYRORG": 1990}
{"POLYID": "f", "POLYTYPE": "WAT"}
{"POLYID": "g", "POLYTYPE": "FOR", "OSPCOMP": "Sb  50Pj  45", "OYRORG": 1990}
"#,
    [
        "a | Picea mariana 0.4, Pinus banksiana 0.2, Picea glauca 0.2, Abies balsamea 0.1, Populus tremuloides 0.1 | 120 | canopy 0.7 | basal empty | height 15.5",
        "b | Picea mariana 0.7, Populus 0.2, Betula 0.1, Abies balsamea 1 below | empty | canopy empty | basal empty | height empty",
        "c | Picea mariana 0.714, Pinus banksiana 0.286 inconsistent | illegal 2031 | canopy empty | basal empty | height empty",
        "d | any broadleaf 0.6, ?Xx 0.4 | 36 | canopy empty | basal empty | height empty",
        "e | ?Sb Pj illegal Sb Pj | 36 | canopy empty | basal empty | height empty",
        "g | Picea mariana 0.526, Pinus banksiana 0.474 scaled | 36 | canopy empty | basal empty | height empty",
    ],
    [
        "bad-value found `2031`, expected a year that makes an age from 0 to 1000",
        "shares-inconsistent the shares add up to neither 10 nor 100",
        "unmapped-code the code `Xx` is not known",
        "bad-composition the composition `Sb Pj` is refused: no share follows `SbPj`",
        "shares-scaled the shares of a layer add up to 95 %",
    ]
);

// Quebec, ecoforestry inventories: the fifth has percentages in one text, unsorted; the fourth groups whose position
// tells the share; density and age in classes, and two-storey age classes written as one number.
published!(
    quebec,
    "quebec.json",
    r#"
{"GEOC_MAJ": "a", "ETA_ESS_PC": "BS20WS60TA20", "CL_DENS": "B", "CL_AGE": "50"}
{"GEOC_MAJ": "b", "GR_ESS": "BPBPEP", "CL_DENS": "A", "CL_AGE": "120"}
{"GEOC_MAJ": "c", "ETA_ESS_PC": "SB100", "CL_DENS": "X", "CL_AGE": "3050"}
"#,
    [
        "a | Betula papyrifera 0.2, Picea glauca 0.6, Populus tremuloides 0.2 | 41..60(50.5) | canopy 0.6..0.79(0.695) | basal empty",
        "b | Betula papyrifera 0.8, Picea 0.2 | 101..1000 | canopy 0.8..1(0.9) | basal empty",
        "c | Abies balsamea 1 | unmapped 3050 | canopy unmapped X | basal empty",
    ],
    [
        "unmapped-code the code `3050` is not in the crosswalk",
        "unmapped-code the code `X` is not in the crosswalk",
    ]
);

// Polish State Forests, forest data bank: tenths before codes, dotted codes, a mark for storeys, addresses padded
// with spaces, stands told from clearings by the kind of area.
published!(
    poland,
    "poland.json",
    r#"
{"adr_for": "01-12-1-03-226   -a   -00", "area_type": "D-STAN", "opis": "7So 2Św 1Brz", "spec_age": 64, "prot_categ": "OCH WOD"}
{"adr_for": "01-12-1-03-226   -b   -00", "area_type": "D-STAN", "opis": "6DB.S 4BRZ", "spec_age": 0, "prot_categ": null}
{"adr_for": "01-12-1-03-226   -c   -00", "area_type": "D-STAN", "opis": "8So2Brz+Św", "spec_age": 30}
{"adr_for": "01-12-1-03-226   -d   -00", "area_type": "D-STAN", "opis": "8So 2Db / 10Gb", "spec_age": 90, "prot_categ": "REZ"}
{"adr_for": "01-12-1-03-226   -f   -00", "area_type": "D-STAN", "opis": "7So 2Św", "spec_age": 64}
{"adr_for": "01-12-1-03-226   -g   -00", "area_type": "ZRĄB", "opis": null}
{"adr_for": "01-12-1-03-226   -h   -00", "area_type": "ROLA"}
"#,
    [
        r#"01-12-1-03-226   -a   -00 | Pinus sylvestris 0.7, Picea abies 0.2, Betula pendula 0.1 | 64 | tags ["water_protection"]"#,
        "01-12-1-03-226   -b   -00 | Quercus petraea 0.6, Betula pendula 0.4 | empty | tags []",
        "01-12-1-03-226   -c   -00 | Pinus sylvestris 0.8, Betula pendula 0.2, Picea abies 0..0.05(0.025) | 30 | tags []",
        "01-12-1-03-226   -d   -00 | Pinus sylvestris 0.8, Quercus 0.2, Carpinus betulus 1 below | 90 | tags unmapped REZ",
        "01-12-1-03-226   -f   -00 | Pinus sylvestris 0.778, Picea abies 0.222 scaled | 64 | tags []",
    ],
    [
        "unmapped-code the code `REZ` is not in the crosswalk",
        "shares-scaled the shares of a layer add up to 90 %",
    ]
);

// Japan, prefectural forest registers: numbered slots with full-width digits, tenths, zero age for an empty slot,
// names of protection forests and nature parks.
published!(
    japan,
    "japan.json",
    r#"
{"id": "a", "第１樹種名": "アカマツ", "第１歩合": 7, "第１林齢": 64, "第２樹種名": "その他Ｌ", "第２歩合": 3, "第３樹種名": null, "第３歩合": 0, "保安林１名": "水源かん養", "自然公園名": "なし", "標高": 640}
{"id": "b", "第１樹種名": "ｽｷﾞ", "第１歩合": 10, "第１林齢": 0, "保安林１名": null, "自然公園名": "県立自然公園第３種特別地域"}
{"id": "c", "第１樹種名": "岩石地", "第１歩合": 10, "第１林齢": 0, "保安林１名": false}
"#,
    [
        r#"1 | Pinus densiflora 0.7, any broadleaf 0.3 | 64 | tags ["protection_forest"] | {"標高":640.0}"#,
        r#"2 | Cryptomeria japonica 1 | empty | tags ["nature_park"]"#,
        "3 |  | empty | tags []",
    ],
    ["no-id the stand has no id",]
);

// British Columbia, vegetation resources inventory: six slots of code and percent, age as of a projection date.
published!(
    british_columbia,
    "british_columbia.json",
    r#"
{"FEATURE_ID": 11, "SPECIES_CD_1": "FD", "SPECIES_PCT_1": 60, "SPECIES_CD_2": "CW", "SPECIES_PCT_2": 30, "SPECIES_CD_3": "HW", "SPECIES_PCT_3": 10, "SPECIES_CD_4": null, "SPECIES_PCT_4": null, "PROJ_AGE_1": 90, "PROJECTED_DATE": "2024-01-01Z", "CROWN_CLOSURE": 65, "SOIL_MOISTURE_REGIME_1": "4"}
{"FEATURE_ID": 12, "SPECIES_CD_1": "SB", "SPECIES_PCT_1": 95, "PROJ_AGE_1": 40, "CROWN_CLOSURE": 20, "SOIL_MOISTURE_REGIME_1": "0"}
"#,
    [
        "11 | Pseudotsuga menziesii 0.6, Thuja plicata 0.3, Tsuga heterophylla 0.1 | 92 | canopy 0.65 | basal empty | moisture fresh | climate nawest",
        "12 | Picea mariana 1 scaled | empty | canopy 0.2 | basal empty | moisture unmapped 0 | climate nawest",
    ],
    [
        "unmapped-code the code `0` is not in the crosswalk",
        "shares-scaled the shares of a layer add up to 95 %",
    ]
);

// Forestry England and Forestry and Land Scotland, sub-compartments: three components by English name, planting
// years, percent of the area.
published!(
    great_britain,
    "great_britain.json",
    r#"
{"FID": 7, "PRISPECIES": "Sitka spruce", "PRIPLTYR": 1987, "PRIPCTAREA": 80, "SECSPECIES": "Birch", "SECPCTAREA": 20, "TERSPECIES": " "}
{"FID": 8, "PRISPECIES": "Felled", "PRIPLTYR": 0, "PRIPCTAREA": 100}
{"FID": 9, "PRISPECIES": "Oak", "PRI_PLYEAR": "1880", "PRIPCTAREA": "100"}
"#,
    [
        "7 | Picea sitchensis 0.8, Betula 0.2 | 39 | planted 1987",
        "8 |  | empty",
        "9 | Quercus 1 | 146 | planted 1880",
    ],
    []
);

// Norwegian forest plans and land resource map: every value a text, kinds of forest with 98 and 99 for nothing, site
// class with a word before it, decimal commas.
published!(
    norway,
    "norway.json",
    r#"
{"teig_nr": "1", "treslag": "31", "alder": "110", "regdato": "20210630", "bonitet_beskrivelse": "Bonitet 14", "X": "6541655,25537"}
{"teig_nr": "2", "treslag": "98", "alder": "", "regdato": "20210630"}
{"teig_nr": "3", "treslag": "39", "alder": "12", "regdato": "2021"}
{"teig_nr": "4", "treslag": "33", "alder": "12", "regdato": ""}
"#,
    [
        r#"1 | any conifer 0..1 | 115 | {"easting":6541655.25537,"site_index":14.0}"#,
        "2 |  | empty",
        "3 |  | 17",
        "4 | any mixed 0..1 | empty",
    ],
    []
);

// Swedish forest management plans: tenths of pine, spruce and broadleaves as three digits (common practice).
published!(
    sweden,
    "sweden.json",
    r#"
{"AVD": "1", "TGL": "721"}
{"AVD": "2", "TGL": "0X0"}
{"AVD": "3", "TGL": "800"}
"#,
    [
        "1 | Pinus sylvestris 0.7, Picea abies 0.2, any boreal_broadleaf 0.1 | -",
        "2 | ?0X0 illegal 0X0 | -",
        "3 | Pinus sylvestris 0.8 | -",
    ],
    ["bad-composition the composition `0X0` is refused: `X` is no digit",]
);

// Finnish Forest Centre, forest stand data: the strata of each stand in a table of their own (column names and storey
// codes from memory). Basal areas of trees and stem numbers of young ones are parts of their own sums.
published!(
    finland_strata,
    "finland_strata.json" with
        "treestratum.csv"
        "standid;treespecies;storey;age;basalarea;stemcount\n11;1;11;70;18,0;400\n12;2;10;90;12.5;500\n12;1;10;95;7.5;200\n12;4;20;15;;900\n12;2;20;15;;300\n13;3;10;40;;\n13;2;10;40;6;\n99;1;10;30;5;100\n",
    r#"
{"STANDID": 12}
{"STANDID": 13.0}
{"STANDID": "14"}
{"STANDID": 11}
"#,
    [
        "12 | Picea abies 0.625, Pinus sylvestris 0.375, Betula pubescens 0.75 below, Picea abies 0.25 below | 90",
        "13 | Betula pendula empty, Picea abies 0..1 | 40",
        "14 |  | empty",
        "11 | Pinus sylvestris illegal 18,0 | 70",
    ],
    [
        "bad-value found `18,0`, expected a share",
        "rows-without-stand 1 of 8 rows in the table belongs to no feature of the map",
        "stands-without-rows 1 stand has no row in the table",
    ]
);

// Estonian forest register, element layer of the compartments: percent within each storey, storeys by code (the codes
// of storeys from memory).
published!(
    estonia,
    "estonia.json" with
        "eraldis_element.json"
        r#"[{"eraldis_id": 5, "rinne_kood": "1", "puuliik_kood": "KS", "osakaal": 60, "vanus": 55},
            {"eraldis_id": 5, "rinne_kood": "1", "puuliik_kood": "HB", "osakaal": 40, "vanus": 50},
            {"eraldis_id": 5, "rinne_kood": "2", "puuliik_kood": "KU", "osakaal": 100, "vanus": 30},
            {"eraldis_id": 6, "rinne_kood": "1", "puuliik_kood": "XX", "osakaal": 100},
            {"eraldis_id": 6, "rinne_kood": "Q", "puuliik_kood": "MA", "osakaal": 0}]"#,
    r#"
{"id": 5, "eraldise_nr": 3, "keskm_vanus": 53}
{"id": 6, "eraldise_nr": 4, "keskm_vanus": 0}
"#,
    [
        "5 | Betula 0.6, Populus tremula 0.4, Picea abies 1 below | 53",
        "6 | ?XX 1, Pinus sylvestris 0 | empty",
    ],
    [
        "unmapped-code the code `Q` is not in the crosswalk",
        "unmapped-code the code `XX` is not known",
    ]
);

// Polish State Forests, forest data bank: the species of each storey in a text table with tabs, joined by the number
// of the subarea; letters in place of tenths are "in places" and "single" (from memory).
published!(
    poland_storeys,
    "poland_storeys.json" with
        "f_storey_species.txt"
        "\u{feff}arodes_int_num\tstorey_cd\tsp_rank_order_act\tspecies_cd\tpart_cd_act\tspecies_age\n1001\tDRZEW\t1\tSO\t8\t71\n1001\tDRZEW\t2\tBRZ\t2\t65\n1001\tDRZEW\t3\tŚW\tPJD\t60\n1001\tPODR\t1\tDB.S\t10\t12\n1002\tDRZEW\t1\tSO\tX\t30\n1003\tDRZEW\t1\tSO\t10\t9\n",
    r#"
{"a_i_num": 1001, "area_type": "D-STAN"}
{"a_i_num": 1002, "area_type": "D-STAN"}
{"a_i_num": 1003, "area_type": "HAL"}
"#,
    [
        "1001 | Pinus sylvestris 0.8, Betula pendula 0.2, Picea abies 0..0.05(0.025), Quercus petraea 1 below | 71",
        "1002 | Pinus sylvestris illegal X | 30",
    ],
    ["bad-value found `X`, expected a share"]
);

/// One stand through a crosswalk for its trees alone.
fn trees(entry: &str, row: &str) -> String {
    let crosswalk = format!(r#"{{"format": "hostwood-crosswalk/1.0", "trees": [{entry}]}}"#);
    let reading = reading(&crosswalk, &[], row);
    let line = table(&reading).remove(0);
    line.split(" | ").nth(1).unwrap_or_default().to_owned()
}

// Shares as published tables write them: cubic metres by species (British Columbia, layers with volume by species),
// areas by species (German state forest plans, "Flächenanteil" in hectares), lists in one cell (common practice),
// rows nested in the feature (web services of the Estonian register).
#[test]
fn shares_of_areas_volumes_lists_and_nested_rows_are_read() {
    let slots = |unit: &str| {
        format!(
            r#"{{"repeat": {{"slot": ["1", "2", "3"]}}, "name": {{"from": "S{{slot}}"}}, "share": {{"from": "V{{slot}}", "unit": "{unit}"}}}}"#
        )
    };
    let split =
        r#"{"name": {"from": "S", "split": ";"}, "share": {"from": "P", "split": ";", "unit": "percent"}}"#;
    let names = r#"{"name": {"from": "S", "split": ","}}"#;
    let nested = r#"{"rows": "elements", "where": {"col": "storey", "eq": 1}, "name": {"from": "tree"}, "share": {"from": "part", "unit": "percent"}}"#;
    let marks = r#"{"composition": {"from": "S", "order": "code-share", "unit": "percent", "list": "de", "ignore": "-,%"}}"#;
    let with_list = |entry: &str| {
        let crosswalk = format!(
            r#"{{"format": "hostwood-crosswalk/1.0", "lists": {{"de": {{"codes": {{"Fi": "Picea abies", "Bu": "Fagus sylvatica"}}}}}}, "trees": [{entry}]}}"#
        );
        let reading = reading(&crosswalk, &[], r#"{"S": "Fi-60%, Bu-40%"}"#);
        table(&reading).remove(0)
    };
    for (entry, row, expected) in [
        (
            slots("volume"),
            r#"{"S1": "Picea abies", "V1": 120, "S2": "Fagus sylvatica", "V2": 80}"#,
            "Picea abies 0.6, Fagus sylvatica 0.4",
        ),
        (
            slots("area"),
            r#"{"S1": "Picea abies", "V1": 1.5, "S2": "Fagus sylvatica", "V2": 0.5}"#,
            "Picea abies 0.75, Fagus sylvatica 0.25",
        ),
        (
            slots("area"),
            r#"{"S1": "Picea abies", "V1": 1.5, "S2": "Fagus sylvatica", "V2": null}"#,
            "Picea abies 0..1, Fagus sylvatica empty",
        ),
        (
            slots("area"),
            r#"{"S1": "Picea abies", "V1": 0}"#,
            "Picea abies 0",
        ),
        (
            slots("sum"),
            r#"{"S1": "Picea abies", "V1": 7, "S2": "Fagus sylvatica", "V2": 3}"#,
            "Picea abies 0.7, Fagus sylvatica 0.3",
        ),
        (
            split.to_owned(),
            r#"{"S": "Picea abies;Fagus sylvatica", "P": "60; 40"}"#,
            "Picea abies 0.6, Fagus sylvatica 0.4",
        ),
        (
            split.to_owned(),
            r#"{"S": ["Picea abies", "Fagus sylvatica"], "P": [60, 40]}"#,
            "Picea abies 0.6, Fagus sylvatica 0.4",
        ),
        (
            split.to_owned(),
            r#"{"S": "Picea abies;Fagus sylvatica", "P": "60"}"#,
            "Picea abies empty, Fagus sylvatica empty",
        ),
        (
            names.to_owned(),
            r#"{"S": "Picea abies, Fagus sylvatica"}"#,
            "Picea abies -, Fagus sylvatica -",
        ),
        (
            nested.to_owned(),
            r#"{"elements": [{"storey": 1, "tree": "Picea abies", "part": 80}, {"storey": 2, "tree": "Fagus", "part": 100}, {"storey": "1", "TREE": "Betula", "part": 20}]}"#,
            "Picea abies 0.8, Betula 0.2",
        ),
        (nested.to_owned(), r#"{"elements": "none"}"#, ""),
    ] {
        assert_eq!(trees(&entry, row), expected, "{entry} on {row}");
    }
    assert_eq!(with_list(marks), "1 | Picea abies 0.6, Fagus sylvatica 0.4 | -");
}

#[test]
fn every_code_of_every_list_is_a_known_tree() {
    let trees = &Knowledge::shipped().trees;
    let mut looked_up = 0;
    for file in
        std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/published")).expect("fixtures")
    {
        let path = file.expect("a fixture").path();
        let crosswalk: Value =
            serde_json::from_slice(&std::fs::read(&path).expect("a fixture")).expect("JSON");
        let lists = crosswalk["lists"].as_object().into_iter().flatten();
        for (code, meaning) in lists.flat_map(|(_, list)| list["codes"].as_object().into_iter().flatten()) {
            let known = match meaning {
                Value::String(name) => trees.resolve(name).tree != Tree::Unresolved,
                other => {
                    other["not_tree"] == true
                        || other["group"]
                            .as_str()
                            .is_some_and(|group| trees.group(group).is_some())
                }
            };
            assert!(known, "{}: {code} means {meaning}", path.display());
            looked_up += 1;
        }
    }
    assert!(looked_up > 50, "{looked_up} codes");
}
