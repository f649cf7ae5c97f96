//! Proposed crosswalks, held against the samples of examples/crosswalks: which key columns are found, which are not, and
//! that every proposal is a crosswalk that reads. In: the samples. Out: a table with its misses, and its recall and
//! precision. The words of column names were gathered with these forms at hand, so the numbers say that nothing gets
//! lost, not how well a form does that nobody has seen.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use hostwood::knowledge::Knowledge;
use hostwood::standmap::{Crosswalk, Proposal, propose, read};
use serde_json::{Value, json};

/// For each sample the columns that a forester would map, as `fact:property`, and what the proposal is known to miss or
/// to take for something else.
const KEYS: [(&str, &str, &str, &str); 12] = [
    // sample, what is to be found, known misses, known mistakes
    (
        "british-columbia",
        "id:FEATURE_ID trees:SPECIES_CD_1 share:SPECIES_PCT_1 age:PROJ_AGE_1 canopy:CROWN_CLOSURE basal_area:BASAL_AREA height:PROJ_HEIGHT_1",
        "",
        "",
    ),
    (
        "california",
        "id:OBJECTID trees:REGIONAL_DOMINANCE_TYPE_1 canopy:TOTAL_TREE_CFA",
        "",
        "",
    ),
    ("czechia", "id:PSK_ID trees:DR1 share:ZAST1 age:VEK", "", ""),
    (
        "estonia",
        "id:id trees:peapuuliik_kood age:keskm_vanus height:korgus",
        "",
        "",
    ),
    (
        "finland",
        "id:STANDID trees:MAINTREESPECIES age:MEANAGE basal_area:BASALAREA height:MEANHEIGHT",
        "",
        "",
    ),
    // The column of species words is taken for the trees, not the code of the type, which tells more of the mixture.
    (
        "france",
        "id:ID trees:CODE_TFV",
        "trees:CODE_TFV",
        "trees:ESSENCE",
    ),
    (
        "great-britain",
        "id:SCPT_ID trees:PRISPECIES share:PRIPCTAREA planted:PRIPLTYR",
        "",
        "",
    ),
    (
        "norway",
        "id:teig_nr trees:treslag age:alder elevation:hoh",
        "",
        "",
    ),
    (
        "ontario",
        "id:POLYID trees:OSPCOMP trees:USPCOMP planted:OYRORG canopy:OCCLO height:OHT",
        "",
        "",
    ),
    (
        "poland",
        "id:a_i_num trees:species_cd share:part_cd age:spec_age",
        "",
        "",
    ),
    (
        "quebec",
        "id:GEOC_MAJ trees:ETA_ESS_PC trees:GR_ESS",
        "trees:GR_ESS",
        "",
    ),
    (
        "spain",
        "id:POLIGON trees:ESPECIE1 share:O1 canopy:FCCARB",
        "",
        "",
    ),
];

fn examples() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/crosswalks")
}

fn proposal(map: &[u8]) -> Proposal {
    let known: Vec<(&str, Vec<u8>)> = KEYS
        .iter()
        .map(|(name, ..)| {
            let bytes = fs::read(examples().join(name).join("crosswalk.json")).expect("a crosswalk");
            (*name, bytes)
        })
        .collect();
    let known: Vec<(&str, &[u8])> = known
        .iter()
        .map(|(name, bytes)| (*name, bytes.as_slice()))
        .collect();
    propose(map, Knowledge::shipped(), &known, 2026).expect("a stand map")
}

/// The written guesses as `fact:property`, the first property of each.
fn found(proposal: &Proposal) -> BTreeSet<String> {
    let written = proposal.guesses.iter().filter(|guess| guess.written);
    let short = written.map(|guess| {
        let fact = if guess.fact == "trees, share" {
            "share"
        } else {
            guess.fact.as_str()
        };
        format!("{fact}:{}", guess.properties[0])
    });
    short.collect()
}

#[test]
fn the_key_columns_of_published_forms_are_found() {
    let (mut wanted_all, mut met_all, mut offered_all) = (0, 0, 0);
    let mut table = Vec::new();
    let mut known = Vec::new();
    for (name, keys, misses, mistakes) in KEYS {
        let map = fs::read(examples().join(name).join("sample.geojson")).expect("a sample");
        let found = found(&proposal(&map));
        let keys: BTreeSet<String> = keys.split(' ').map(str::to_owned).collect();
        // Of what is offered only the facts of the key columns count: a name or a date beside them is no mistake.
        let facts: BTreeSet<&str> = [
            "id",
            "trees",
            "share",
            "age",
            "planted",
            "canopy",
            "basal_area",
            "height",
            "elevation",
        ]
        .into();
        let offered: BTreeSet<String> = found
            .into_iter()
            .filter(|found| facts.contains(found.split(':').next().unwrap_or_default()))
            .collect();
        let list = |some: BTreeSet<&String>| some.into_iter().cloned().collect::<Vec<_>>().join(" ");
        wanted_all += keys.len();
        offered_all += offered.len();
        met_all += keys.intersection(&offered).count();
        table.push((
            name,
            list(keys.difference(&offered).collect()),
            list(offered.difference(&keys).collect()),
        ));
        known.push((name, misses.to_owned(), mistakes.to_owned()));
    }
    assert_eq!(table, known);
    let recall = f64::from(met_all as u32) / f64::from(wanted_all as u32);
    let precision = f64::from(met_all as u32) / f64::from(offered_all as u32);
    println!("recall {recall:.2} of {wanted_all}, precision {precision:.2} of {offered_all}");
    assert!(recall >= 0.85, "recall {recall:.2}");
    assert!(precision >= 0.85, "precision {precision:.2}");
}

#[test]
fn every_proposal_reads_as_a_crosswalk_and_finds_the_trees() {
    for (name, ..) in KEYS {
        let map = fs::read(examples().join(name).join("sample.geojson")).expect("a sample");
        let proposal = proposal(&map);
        // The grid is nothing to guess: whoever takes the proposal names it.
        let mut named = proposal.crosswalk.clone();
        let published = fs::read(examples().join(name).join("crosswalk.json")).expect("a crosswalk");
        let published: serde_json::Value = serde_json::from_slice(&published).expect("JSON");
        if let Some(crs) = published.get("crs") {
            named["crs"] = crs.clone();
        }
        let text = serde_json::to_vec_pretty(&named).expect("JSON");
        let crosswalk = match Crosswalk::read(&text) {
            Ok(crosswalk) => crosswalk,
            Err(mistakes) => panic!("{name}: {}", mistakes[0]),
        };
        let reading = read(&map, Some(&crosswalk), Knowledge::shipped()).expect("a stand map");
        let with_trees = reading
            .map
            .profiles
            .iter()
            .filter(|profile| !profile.mixture.members.is_empty())
            .count();
        assert!(
            with_trees > 0,
            "{name}: no stand has trees\n{}",
            proposal.crosswalk
        );
        for guess in proposal.guesses {
            assert!((0.5..=1.0).contains(&guess.confidence), "{name}: {guess}");
        }
    }
}

fn map(rows: &[Value]) -> Vec<u8> {
    let features: Vec<Value> = rows
        .iter()
        .map(|row| {
            json!({"type": "Feature", "properties": row, "geometry": {"type": "Polygon",
                "coordinates": [[[10, 50], [10.001, 50], [10.001, 50.001], [10, 50]]]}})
        })
        .collect();
    json!({"type": "FeatureCollection", "features": features})
        .to_string()
        .into_bytes()
}

// Column names in the words of their languages (common practice), with values as such tables have them.
#[test]
fn columns_are_found_by_their_words_in_many_languages() {
    for (species, age, height, tree) in [
        ("Hauptbaumart", "Bestandesalter", "Oberhöhe", "Fichte"),
        ("gatunek_panujący", "wiek", "wysokość", "Picea abies"),
        ("dřevina", "věk", "výška", "Picea abies"),
        ("pääpuulaji", "keski-ikä", "keskipituus", "Picea abies"),
        ("Trädslag", "Ålder", "Medelhöjd", "Picea abies"),
        ("especie", "edad", "altura", "Picea abies"),
        ("Specie", "Età", "Altezza", "Picea abies"),
        ("essence", "âge", "hauteur", "Picea abies"),
        ("treslag", "alder", "høyde", "Picea abies"),
        ("main_tree_species", "StandAge", "meanHeight", "Norway spruce"),
    ] {
        let rows: Vec<Value> = [60, 80, 100]
            .iter()
            .map(|years| json!({species: tree, age: years, height: f64::from(*years) / 4.0, "remark": "x"}))
            .collect();
        let expected = [
            format!("trees:{species}"),
            format!("age:{age}"),
            format!("height:{height}"),
        ];
        let found = found(&proposal(&map(&rows)));
        assert_eq!(found, expected.into_iter().collect(), "{species}");
    }
}

#[test]
fn what_codes_mean_is_never_made_up() {
    let rows = [
        json!({"baumart": "Q1", "feuchte": 3}),
        json!({"baumart": "Q2", "feuchte": 1}),
        json!({"baumart": "Q1", "feuchte": 2}),
    ];
    let proposal = proposal(&map(&rows));
    let told: Vec<String> = proposal.guesses.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "guess: trees from `baumart`, confidence 0.68: its name has `baumart`, the German word; 2 different codes, \
             which stand in no known list",
            "left to you: moisture from `feuchte`, confidence 0.68: its name has `feuchte`, the German word; what its 3 \
             different values mean is to be written",
        ]
    );
    assert_eq!(
        proposal.crosswalk["trees"][0]["name"]["codes"],
        json!({"Q1": null, "Q2": null}),
        "codes are listed for their meaning to be written"
    );
    assert_eq!(proposal.crosswalk.get("moisture"), None);
}

#[test]
fn codes_of_several_lists_are_offered_for_a_choice() {
    // SB is a spruce in Ontario and British Columbia, and a fir in Quebec.
    let rows = [json!({"species": "SB"}), json!({"species": "SB"})];
    let proposal = proposal(&map(&rows));
    assert_eq!(
        proposal.guesses[0].to_string(),
        "guess: trees from `species`, confidence 0.84: its name has `species`, the English word; 1 of 1 codes stand in \
         the list `ca-bc (british-columbia)`, and as many in `ca-on (ontario)`, `ca-qc (quebec)`: choose"
    );
}
