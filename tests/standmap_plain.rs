//! The plain form, read: what each property becomes, what is missing, what counts as assessed. Maps are written in
//! the test, as short as they can be.

use hostwood::knowledge::Knowledge;
use hostwood::stand::{Layer, ShareState, Tree};
use hostwood::standmap::{Reading, read};
use hostwood::units::{Absence, Fact};
use serde_json::{Value, json};

const SQUARE: &str =
    r#"{"type":"Polygon","coordinates":[[[10,50],[10.001,50],[10.001,50.001],[10,50.001],[10,50]]]}"#;

/// A map with one square stand for each set of properties.
fn map(stands: &[Value]) -> Vec<u8> {
    let features: Vec<String> = stands
        .iter()
        .map(|properties| format!(r#"{{"type":"Feature","geometry":{SQUARE},"properties":{properties}}}"#))
        .collect();
    format!(
        r#"{{"type":"FeatureCollection","features":[{}]}}"#,
        features.join(",")
    )
    .into_bytes()
}

fn reading(stands: &[Value]) -> Reading {
    read(&map(stands), None, Knowledge::shipped()).expect("a stand map")
}

/// The mixture of the first stand in short: name share layer.
fn mixture(reading: &Reading) -> String {
    let stand = &reading.map.stands[0];
    let mixture = &reading.map.profiles[stand.profile as usize].mixture;
    let members = mixture.members.iter().map(|member| {
        let tree = match &member.tree {
            Tree::Named(name) => name.to_string(),
            Tree::AnyOf { group, .. } => format!("any {group}"),
            Tree::Unresolved => format!("?{}", member.raw),
        };
        let share = match &member.share {
            Fact::Known(share) => format!("{:.3}", share.get()),
            Fact::Within { low, high, mid: None } => format!("{:.3}-{:.3}", low.get(), high.get()),
            Fact::Within { low, high, .. } => format!("{:.3}~{:.3}", low.get(), high.get()),
            Fact::NotKnown(Absence::Empty) => "empty".to_owned(),
            Fact::NotKnown(why) => format!("{why:?}"),
        };
        let layer = match member.layer {
            Layer::Canopy => "",
            Layer::Understorey => " understorey",
            Layer::Retained => " retained",
        };
        format!("{tree} {share}{layer}")
    });
    let members = members.collect::<Vec<_>>().join(", ");
    match mixture.shares {
        ShareState::Sound => members,
        other => format!("{members} [{other:?}]"),
    }
}

fn codes(reading: &Reading) -> Vec<&str> {
    reading
        .findings
        .iter()
        .map(|finding| finding.code)
        .filter(|code| *code != "no-id")
        .collect()
}

#[test]
fn mixtures_are_read_with_shares_and_layers() {
    let cases: &[(Value, &str, &[&str])] = &[
        (
            json!({"species": "Picea abies", "share": 1}),
            "Picea abies 1.000",
            &[],
        ),
        (json!({"species": "Picea abies"}), "Picea abies empty", &[]),
        (json!({"trees": "Betula"}), "Betula empty", &[]),
        (
            json!({"trees": [{"name": "Quercus robur L.", "share": 0.6}, {"name": "birch", "share": "0.4"}]}),
            "Quercus robur 0.600, Betula 0.400",
            &[],
        ),
        (
            json!({"trees": [{"name": "Picea abies", "share": 0.4}]}),
            "Picea abies 0.400",
            &[],
        ),
        (
            json!({"trees": [{"name": "Picea abies", "share": 0.95}]}),
            "Picea abies 1.000 [Scaled]",
            &["shares-scaled"],
        ),
        (
            json!({"trees": [{"name": "Picea abies", "share": 0.55}, {"name": "Fagus", "share": 0.55}]}),
            "Picea abies 0.500, Fagus 0.500 [Scaled]",
            &["shares-scaled"],
        ),
        (
            json!({"trees": [{"name": "Picea abies", "share": 0.8}, {"name": "Fagus", "share": 0.8}]}),
            "Picea abies 0.500, Fagus 0.500 [Inconsistent]",
            &["shares-inconsistent"],
        ),
        (
            json!({"trees": [{"name": "Picea abies", "share": 0.33}, {"name": "Fagus", "share": 0.33},
                             {"name": "Abies alba", "share": 0.33}]}),
            "Picea abies 0.330, Fagus 0.330, Abies alba 0.330",
            &[],
        ),
        (
            json!({"trees": [{"name": "Pinus", "share": 1}, {"name": "Fagus", "share": 0.7, "layer": "understorey"}]}),
            "Pinus 1.000, Fagus 0.700 understorey",
            &[],
        ),
        (
            json!({"trees": [{"name": "Pinus", "share": [0.5, 0.8]}]}),
            "Pinus 0.500-0.800",
            &[],
        ),
        (
            json!({"species": "Picea abies", "share": 90}),
            "Picea abies Illegal(\"90\")",
            &["bad-share"],
        ),
        (
            json!({"species": "Picea abies", "share": -0.5}),
            "Picea abies Illegal(\"-0.5\")",
            &["bad-share"],
        ),
        (
            json!({"species": "Picea abies", "share": "most"}),
            "Picea abies Illegal(\"most\")",
            &["bad-value"],
        ),
        (
            json!({"species": "other broadleaves"}),
            "any broadleaf empty",
            &[],
        ),
        (
            json!({"species": "Picaea abies"}),
            "?Picaea abies empty",
            &["unknown-tree"],
        ),
        (json!({"species": "SB"}), "?SB empty", &["unknown-tree"]),
        (json!({"trees": []}), "", &[]),
        (json!({"trees": null}), "", &[]),
        (json!({}), "", &[]),
    ];
    for (properties, expected, findings) in cases {
        let reading = reading(std::slice::from_ref(properties));
        assert_eq!(mixture(&reading), *expected, "{properties}");
        assert_eq!(codes(&reading), *findings, "{properties}");
    }
}
