//! Names of trees that mean different trees in different languages. In go rows with such names and crosswalks that name a
//! language or none, out come the trees and the findings, word for word.

use hostwood::knowledge::Knowledge;
use hostwood::stand::Tree;
use hostwood::standmap::{Crosswalk, Reading, read};

fn reading(language: &str, names: &[&str]) -> Reading {
    let crosswalk = format!(
        r#"{{"format": "hostwood-crosswalk/1.0", {language} "trees": [{{"name": {{"from": "S"}}, "share": {{"unstated": "leading"}}}}]}}"#
    );
    let crosswalk = Crosswalk::read(crosswalk.as_bytes()).expect("a sound crosswalk");
    let outline = [[[10.0, 50.0], [10.001, 50.0], [10.001, 50.001], [10.0, 50.0]]];
    let rows: Vec<_> = names
        .iter()
        .map(|name| {
            serde_json::json!({"type": "Feature", "properties": {"S": name},
                "geometry": {"type": "Polygon", "coordinates": outline}})
        })
        .collect();
    let map = serde_json::json!({"type": "FeatureCollection", "features": rows});
    read(map.to_string().as_bytes(), Some(&crosswalk), Knowledge::shipped()).expect("a stand map")
}

fn trees(reading: &Reading) -> Vec<String> {
    reading
        .map
        .stands
        .iter()
        .flat_map(|stand| &reading.map.profiles[stand.profile as usize].mixture.members)
        .map(|member| match &member.tree {
            Tree::Named(name) => name.to_string(),
            Tree::AnyOf { genera, .. } => {
                let genera: Vec<&str> = genera.iter().map(hostwood::names::Genus::as_str).collect();
                genera.join("|")
            }
            Tree::Unresolved => "?".to_owned(),
        })
        .collect()
}

fn ambiguous(reading: &Reading) -> Vec<String> {
    reading
        .findings
        .iter()
        .filter(|finding| finding.code == "ambiguous-tree")
        .map(ToString::to_string)
        .collect()
}

#[test]
fn the_crosswalk_says_which_language_a_name_is_in() {
    // Merisier is wild cherry in France and yellow birch in Quebec; two letters are a name where the language is told.
    let names = ["merisier", "en", "hêtre"];
    for (language, expected) in [
        (r#""language": "fr","#, ["Prunus avium", "?", "Fagus"]),
        (r#""language": "fr-CA","#, ["Betula alleghaniensis", "?", "Fagus"]),
        (
            r#""language": ["sv", "fr"],"#,
            ["Prunus avium", "Juniperus", "Fagus"],
        ),
    ] {
        let reading = reading(language, &names);
        assert_eq!(trees(&reading), expected, "{language}");
        assert_eq!(ambiguous(&reading), Vec::<String>::new(), "{language}");
    }
}

#[test]
fn without_a_language_nothing_is_guessed_and_the_finding_says_what_to_do() {
    let reading = reading("", &["merisier", "merisier", "hêtre"]);
    assert_eq!(trees(&reading), ["Betula|Prunus", "Betula|Prunus", "Fagus"]);
    assert_eq!(
        ambiguous(&reading),
        [
            "warning: stand `1` (feature 1), property `trees`: `merisier` means different trees in different languages; \
             taken as any of Betula, Prunus. Name the map's language in the crosswalk (`\"language\": \"de\"`), or write \
             scientific names. Met 2 times, such as in 1, 2."
        ]
    );
}
