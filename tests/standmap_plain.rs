//! The plain form, read: what each property becomes, what is missing, what counts as assessed. Maps are written in
//! the test, as short as they can be.

use hostwood::knowledge::Knowledge;
use hostwood::stand::{Layer, ShareState, Tree};
use hostwood::standmap::{Reading, read};
use hostwood::units::{Absence, Fact};
use serde_json::{Value, json};

/// A square, so many squares east of the first.
fn square(place: usize) -> Value {
    let (west, east) = (10.0 + place as f64 * 0.001, 10.001 + place as f64 * 0.001);
    json!({"type": "Polygon", "coordinates": [[[west, 50], [east, 50], [east, 50.001], [west, 50.001], [west, 50]]]})
}

/// A map with one square stand for each set of properties.
fn map(stands: &[Value]) -> Vec<u8> {
    let features: Vec<String> = stands
        .iter()
        .enumerate()
        .map(|(place, properties)| {
            let square = square(place);
            format!(r#"{{"type":"Feature","geometry":{square},"properties":{properties}}}"#)
        })
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

/// The profile and standing of the first stand, one value after another, in the words of the plain form.
fn site(properties: &Value) -> String {
    let reading = reading(std::slice::from_ref(properties));
    let stand = &reading.map.stands[0];
    let profile = &reading.map.profiles[stand.profile as usize];
    let standing = &reading.map.standings[stand.standing as usize];
    let mut said: Vec<String> = Vec::new();
    let mut say = |name: &str, value: String| {
        if value != "-" {
            said.push(format!("{name} {value}"));
        }
    };
    say("age", fact(&profile.age, |age| age.get().to_string()));
    say("canopy", fact(&profile.canopy, |share| share.get().to_string()));
    say(
        "basal_area",
        fact(&profile.basal_area, |area| area.get().to_string()),
    );
    say("nitrogen", fact(&profile.nitrogen, |load| load.get().to_string()));
    say(
        "elevation",
        fact(&stand.elevation, |height| height.get().to_string()),
    );
    say(
        "height",
        fact(&standing.height, |height| height.get().to_string()),
    );
    say(
        "soil_reaction",
        fact(&profile.soil_reaction, |reaction| format!("{reaction:?}")),
    );
    say(
        "moisture",
        fact(&profile.moisture, |moisture| format!("{moisture:?}")),
    );
    say(
        "nutrients",
        fact(&profile.nutrients, |nutrients| format!("{nutrients:?}")),
    );
    say("aspect", fact(&profile.aspect, |aspect| format!("{aspect:?}")));
    say(
        "disturbance",
        fact(&profile.disturbance, |event| format!("{event:?}")),
    );
    say("since", fact(&profile.since, |years| years.get().to_string()));
    say(
        "deadwood",
        fact(&profile.deadwood, |deadwood| format!("{deadwood:?}")),
    );
    say(
        "setting",
        fact(&profile.setting, |setting| format!("{setting:?}")),
    );
    say(
        "climate",
        profile
            .climate
            .map_or("-".into(), |climate| format!("{climate:?}")),
    );
    say(
        "designation",
        fact(&standing.designation, |tags| format!("{tags:?}")),
    );
    say(
        "ownership",
        fact(&standing.ownership, |owner| format!("{owner:?}")),
    );
    say("use", standing.land_use.clone().unwrap_or("-".into()));
    say(
        "planted",
        standing.planted.map_or("-".into(), |year| year.to_string()),
    );
    if !standing.attributes.is_empty() {
        say(
            "attributes",
            serde_json::to_string(&standing.attributes).expect("attributes"),
        );
    }
    said.join("; ")
}

fn fact<T>(fact: &Fact<T>, show: impl Fn(&T) -> String) -> String {
    match fact {
        Fact::Known(value) => show(value),
        Fact::Within {
            low,
            high,
            mid: Some(mid),
        } => format!("{}..{} mid {}", show(low), show(high), show(mid)),
        Fact::Within { low, high, mid: None } => format!("{}..{}", show(low), show(high)),
        Fact::NotKnown(Absence::NotMapped | Absence::Empty) => "-".to_owned(),
        Fact::NotKnown(why) => format!("{why:?}"),
    }
}

#[test]
fn every_property_of_the_plain_form_is_read() {
    for (properties, expected) in [
        (
            json!({"age": 80, "canopy": 0.7, "basal_area": 25, "height": 22}),
            "age 80; canopy 0.7; basal_area 25; height 22",
        ),
        (
            json!({"age": [41, 60], "canopy": [0.6, 0.8]}),
            "age 41..60 mid 50.5; canopy 0.6..0.8 mid 0.7",
        ),
        (
            json!({"age": "80", "elevation": "-12.5", "nitrogen": 9.5}),
            "age 80; nitrogen 9.5; elevation -12.5",
        ),
        (json!({"age": [60, 41]}), "age Illegal(\"[60,41]\")"),
        (
            json!({"soil_reaction": "weakly_acid", "moisture": "Fresh"}),
            "soil_reaction WeaklyAcid; moisture Fresh",
        ),
        (
            json!({"soil_reaction": "weakly acid", "moisture": ["moist", "fresh"]}),
            "soil_reaction WeaklyAcid; moisture Fresh..Moist",
        ),
        (json!({"moisture": "boggy"}), "moisture Illegal(\"boggy\")"),
        (
            json!({"nutrients": "rich", "aspect": "north east"}),
            "nutrients Rich; aspect NorthEast",
        ),
        (json!({"nutrients": ["poor", "medium"]}), "nutrients Poor..Medium"),
        (json!({"aspect": 200}), "aspect South"),
        (json!({"aspect": "337.5"}), "aspect North"),
        (json!({"aspect": 337}), "aspect NorthWest"),
        (json!({"aspect": 360}), "aspect North"),
        (json!({"aspect": -1}), "aspect Flat"),
        (json!({"aspect": 400}), "aspect Illegal(\"400\")"),
        (json!({"aspect": "uphill"}), "aspect Illegal(\"uphill\")"),
        (
            json!({"disturbance": "burnt", "since": 3}),
            "disturbance Burnt; since 3",
        ),
        (json!({"disturbance": "windthrown"}), "disturbance Windthrown"),
        (json!({"disturbance": "none"}), "disturbance None"),
        (json!({"disturbance": "mined"}), "disturbance Illegal(\"mined\")"),
        (
            json!({"disturbance": "felled", "since": [2, 5]}),
            "disturbance Felled; since 2..5 mid 3.5",
        ),
        (json!({"deadwood": "much"}), "deadwood Much"),
        (json!({"deadwood": 12.5}), "deadwood Volume(WoodVolume(12.5))"),
        (json!({"deadwood": "12.5"}), "deadwood Volume(WoodVolume(12.5))"),
        (json!({"deadwood": "lots"}), "deadwood Illegal(\"lots\")"),
        (json!({"setting": []}), "setting []"),
        (json!({"setting": "none"}), "setting []"),
        (
            json!({"setting": ["park", "edge", "edge"]}),
            "setting [Edge, Park]",
        ),
        (json!({"setting": ["edge", "moor"]}), "setting [Edge]"),
        (json!({"setting": ["moor"]}), "setting Illegal(\"moor\")"),
        (json!({"climate": "na_west"}), "climate NaWest"),
        (json!({"climate": "polar"}), ""),
        (
            json!({"designation": ["reserve", "Core Zone"]}),
            "designation [\"Core Zone\", \"reserve\"]",
        ),
        (json!({"designation": "reserve"}), "designation [\"reserve\"]"),
        (json!({"designation": []}), "designation []"),
        (json!({"designation": [1, null]}), "designation Illegal(\"null\")"),
        (
            json!({"ownership": "communal", "use": "fruit chestnut"}),
            "ownership Communal; use fruit chestnut",
        ),
        (json!({"planted": 1987}), "planted 1987"),
        (json!({"planted": "1987"}), "planted 1987"),
        (json!({"planted": 1987.5}), ""),
        (
            json!({"attributes": {"parish": "Tess", "zone": 3, "open": true, "gone": null}}),
            "attributes {\"open\":true,\"parish\":\"Tess\",\"zone\":3.0}",
        ),
        (json!({"age": null, "canopy": "", "moisture": " "}), ""),
    ] {
        assert_eq!(site(&properties), expected, "{properties}");
    }
}

#[test]
fn what_half_of_the_stands_tell_is_assessed() {
    let stands = |told: usize, all: usize| -> Vec<Value> {
        (0..all)
            .map(|n| {
                if n < told {
                    json!({"id": n, "age": 80})
                } else {
                    json!({"id": n})
                }
            })
            .collect()
    };
    let ages = |reading: &Reading| -> Vec<Fact<hostwood::units::Years>> {
        let map = &reading.map;
        map.stands
            .iter()
            .map(|stand| map.profiles[stand.profile as usize].age.clone())
            .collect()
    };
    let half = reading(&stands(2, 4));
    assert!(half.map.assessed.age && !half.map.assessed.moisture);
    assert_eq!(fact(&ages(&half)[0], |age| age.get().to_string()), "80");
    assert_eq!(ages(&half)[3], Fact::NotKnown(Absence::Empty));
    assert_eq!(half.findings, []);

    let fewer = reading(&stands(1, 3));
    assert!(!fewer.map.assessed.age);
    assert!(ages(&fewer).iter().all(Fact::is_not_mapped));
    let said: Vec<String> = fewer.findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "note: stand map, property `age`: 1 of 3 stands tell it, fewer than half; it is not assessed for any stand. \
          Tell it for at least half of the stands, or use a crosswalk that maps it."
        ]
    );
    let canopy = reading(&[json!({"canopy": 0.5}), json!({"basal_area": 20})]);
    assert!(canopy.map.assessed.stocking);
}

#[test]
fn ages_follow_from_planting_years_as_of_a_reference_year() {
    let map = String::from_utf8(map(&[
        json!({"id": "a", "planted": 1987}),
        json!({"id": "b", "planted": 1987, "age": 35}),
        json!({"id": "c", "planted": 2040}),
    ]))
    .expect("text");
    let dated = map.replacen('{', "{\"reference_year\": 2026, ", 1);
    let ages = |reading: &Reading| -> Vec<String> {
        let map = &reading.map;
        let profile = |stand: &hostwood::stand::Stand| &map.profiles[stand.profile as usize];
        map.stands
            .iter()
            .map(|stand| fact(&profile(stand).age, |age| age.get().to_string()))
            .collect()
    };
    let by_map = read(dated.as_bytes(), None, Knowledge::shipped()).expect("a stand map");
    assert_eq!(ages(&by_map), ["39", "35", "Illegal(\"2040\")"]);
    let said: Vec<String> = by_map.findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "warning: stand map, property `planted`: stand `c` was planted in 2040, which makes no age from 0 to 1000; \
          its age is not known. Correct the year, or the reference year."
        ]
    );
    // The host's year goes before the map's.
    let mut reader = hostwood::standmap::Reader::new(None, Knowledge::shipped()).as_of(2030);
    reader.push(dated.as_bytes()).expect("a stand map");
    assert_eq!(ages(&reader.finish().expect("a stand map"))[0], "43");
    // Without any, ages are not known, and nothing is guessed.
    let undated = read(map.as_bytes(), None, Knowledge::shipped()).expect("a stand map");
    assert_eq!(ages(&undated), ["-", "-", "-"]);
}

#[test]
fn alike_stands_share_one_profile() {
    let alike = json!({"species": "Picea abies", "age": 80, "designation": ["a"]});
    let older = json!({"species": "Picea abies", "age": 81, "designation": ["a"]});
    let tagged = json!({"species": "Picea abies", "age": 80, "designation": ["b"]});
    let reading = reading(&[alike.clone(), older, alike, tagged]);
    let map = &reading.map;
    let places: Vec<(u32, u32)> = map
        .stands
        .iter()
        .map(|stand| (stand.profile, stand.standing))
        .collect();
    assert_eq!(places, [(0, 0), (1, 0), (0, 0), (0, 1)]);
    assert_eq!((map.profiles.len(), map.standings.len()), (2, 2));
}

#[test]
fn unknown_trees_are_counted_and_never_assumed() {
    let reading = reading(&[
        json!({"id": "a", "species": "Picaea abies"}),
        json!({"id": "b", "trees": [{"name": "Picaea abies"}, {"name": "岩石地"}]}),
    ]);
    let unknown: Vec<(&str, usize, Option<&str>)> = reading
        .report
        .unknown_trees
        .iter()
        .map(|unknown| {
            (
                unknown.text.as_str(),
                unknown.count,
                unknown.suggestion.as_deref(),
            )
        })
        .collect();
    assert_eq!(
        unknown,
        [("Picaea abies", 2, Some("Picea abies")), ("岩石地", 1, None)]
    );
    let said: Vec<String> = reading.findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "warning: stand `a` (feature 1), property `trees`: the tree `Picaea abies` is not known; its share counts \
             as trees that are not known. Did the map mean `Picea abies`? Nothing is assumed; write the name in full. \
             Met 2 times, such as in a, b.",
            "warning: stand `b` (feature 2), property `trees`: the tree `岩石地` is not known; its share counts as \
             trees that are not known. Write a scientific name, a genus, or a group such as `broadleaf`.",
        ]
    );
}

#[test]
fn limits_keep_what_was_read_before_them() {
    use hostwood::standmap::{Limits, Reader};
    let stands: Vec<Value> = (0..5).map(|n| json!({"id": n})).collect();
    let bytes = map(&stands);
    let read = |limits: Limits| {
        let mut reader = Reader::new(None, Knowledge::shipped()).with_limits(limits);
        for chunk in bytes.chunks(50) {
            reader.push(chunk).expect("a stand map");
        }
        let reading = reader.finish().expect("a stand map");
        (reading.map.stands.len(), reading.findings[0].to_string())
    };
    assert_eq!(
        read(Limits { bytes: 400, ..Limits::default() }),
        (2, "error: stand map: the file is larger than 400 bytes; only the stands before that were read. Clip the \
             map or simplify its outlines.".to_owned())
    );
    assert_eq!(
        read(Limits { stands: 3, ..Limits::default() }),
        (3, "error: feature 4: the map has more than 3 stands; the feature was left out. Split the map, or simplify \
             its outlines. Met 2 times, such as in feature 4, feature 5.".to_owned())
    );
    assert_eq!(
        read(Limits { positions: 10, ..Limits::default() }),
        (2, "error: feature 3: the map has more than 10 positions; the feature was left out. Split the map, or \
             simplify its outlines. Met 3 times, such as in feature 3, feature 4, feature 5.".to_owned())
    );
}
