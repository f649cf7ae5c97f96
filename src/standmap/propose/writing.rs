//! A proposal as a crosswalk: in go guesses, out comes the JSON that would be saved, each line with its confidence and
//! evidence beside it. Which guesses there are is left to the evidence.

use serde_json::{Map, Value, json};

use super::evidence::{Found, Shape, year_in};
use super::{Guess, Proposal};
use crate::order;
use crate::standmap::FORMAT;
use crate::standmap::crosswalk::KnownList;

/// What a proposal says at its top.
const COMMENT: &str = "Proposed from the names and values of a map. Nothing here is certain: go through each line, \
                       correct it, and try it with a dry run. A confidence runs from 0 to 1.";

pub(super) fn write(found: Vec<Found>, lists: &[KnownList], year: i32) -> Proposal {
    let one = |fact: &str| found.iter().find(|found| found.fact == fact);
    let mut members = Map::new();
    members.insert("format".to_owned(), json!(FORMAT));
    members.insert("$comment".to_owned(), json!(COMMENT));
    let surveyed = one("surveyed").filter(|_| one("age").is_some_and(|age| age.shape != Shape::LeftOpen));
    if surveyed.is_some() || one("planted").is_some() {
        members.insert("reference_year".to_owned(), json!(reference_year(surveyed, year)));
    }
    let mut used: Vec<usize> = found
        .iter()
        .filter_map(|found| match found.shape {
            Shape::Codes(list) | Shape::Composition { list, .. } => list,
            _ => None,
        })
        .collect();
    order::naturally(&mut used);
    used.dedup();
    let mut own_lists = Map::new();
    for list in used {
        own_lists.insert(lists[list].name.clone(), lists[list].written());
    }
    let mut trees = Vec::new();
    for found in &found {
        match (&found.shape, found.fact) {
            (Shape::Composition { .. }, _) => trees.push(composition(found, lists, &mut own_lists)),
            (_, "species") => trees.push(species(found, one("share"), lists)),
            _ => {}
        }
    }
    if !own_lists.is_empty() {
        members.insert("lists".to_owned(), Value::Object(own_lists));
    }
    for fact in ["id", "name"] {
        if let Some(found) = one(fact) {
            members.insert(fact.to_owned(), column(found));
        }
    }
    if !trees.is_empty() {
        members.insert("trees".to_owned(), Value::Array(trees));
    }
    for fact in [
        "age",
        "planted",
        "canopy",
        "basal_area",
        "height",
        "elevation",
        "moisture",
        "nutrients",
        "soil_reaction",
        "deadwood",
        "designation",
        "ownership",
        "climate",
    ] {
        let Some(found) = one(fact).filter(|found| found.shape != Shape::LeftOpen) else {
            continue;
        };
        let mut column = column(found);
        if let (Some(surveyed), "age") = (surveyed, fact) {
            column["year"] = json!("age");
            column["as_of"] = json!({"$comment": remark(surveyed), "from": surveyed.family.members[0].name, "read": "year"});
        }
        members.insert(fact.to_owned(), column);
    }
    Proposal {
        crosswalk: Value::Object(members),
        guesses: found.iter().map(guess).collect(),
    }
}

fn guess(found: &Found) -> Guess {
    let fact = match found.fact {
        "species" | "composition" | "understorey" => "trees",
        "share" => "trees, share",
        "surveyed" => "age, as of",
        other => other,
    };
    let of_one = ["species", "share"].contains(&found.fact);
    Guess {
        fact: fact.to_owned(),
        properties: if of_one {
            found.family.names()
        } else {
            vec![found.family.members[0].name.clone()]
        },
        confidence: found.confidence,
        evidence: found.evidence.clone(),
        written: found.shape != Shape::LeftOpen,
    }
}

/// The year as of which ages are meant: that of the latest survey, else the one handed in.
fn reference_year(surveyed: Option<&Found>, year: i32) -> i32 {
    let years = surveyed
        .into_iter()
        .flat_map(|found| found.family.members[0].values.keys())
        .filter_map(|value| year_in(value));
    years.max().unwrap_or(year)
}

fn remark(found: &Found) -> String {
    format!("confidence {:.2}: {}", found.confidence, found.evidence)
}

fn column(found: &Found) -> Value {
    let property = &found.family.members[0];
    let mut column = json!({"$comment": remark(found), "from": property.name});
    if let Shape::Number(unit) = found.shape {
        if property.has_zeros() && found.fact != "elevation" {
            column["missing"] = json!([0]);
        }
        if property.has_comma() {
            column["read"] = json!("number");
            column["decimal"] = json!(",");
        }
        if let Some(unit) = unit {
            column["unit"] = json!(unit);
        }
    }
    column
}

fn species(found: &Found, share: Option<&Found>, lists: &[KnownList]) -> Value {
    let family = &found.family;
    let mut entry = json!({"$comment": remark(found)});
    if family.is_numbered() {
        entry["repeat"] = json!({"slot": family.slots, "stop_on_missing": family.template});
    }
    let mut name = json!({"from": family.template});
    match found.shape {
        Shape::Codes(Some(list)) => {
            name["read"] = json!("code");
            name["list"] = json!(lists[list].name);
        }
        Shape::Codes(None) => {
            let codes = family.members.iter().flat_map(|member| member.values.keys());
            let codes: Map<String, Value> = codes.map(|code| (code.clone(), Value::Null)).collect();
            name["$comment"] = json!("Write the scientific name of each code; null means no tree.");
            name["read"] = json!("code");
            name["codes"] = Value::Object(codes);
        }
        _ => {}
    }
    if family
        .members
        .iter()
        .any(|member| member.values.contains_key("0"))
    {
        name["missing"] = json!([0]);
        if let Some(codes) = name.get_mut("codes").and_then(Value::as_object_mut) {
            codes.remove("0");
        }
    }
    entry["name"] = name;
    entry["share"] = match share {
        Some(share) => {
            let unit = match share.shape {
                Shape::Number(Some(unit)) => unit,
                _ => "percent",
            };
            let mut told = json!({"$comment": remark(share), "from": share.family.template, "unit": unit});
            if share.family.members.iter().any(|member| member.has_comma()) {
                told["read"] = json!("number");
                told["decimal"] = json!(",");
            }
            told
        }
        None => json!({"unstated": "leading"}),
    };
    entry
}

fn composition(found: &Found, lists: &[KnownList], own_lists: &mut Map<String, Value>) -> Value {
    let Shape::Composition {
        order,
        unit,
        list,
        trace,
        layers,
    } = found.shape
    else {
        return Value::Null;
    };
    let list = match list {
        Some(list) => lists[list].name.clone(),
        None => {
            let empty =
                json!({"$comment": "Write each code with the scientific name of its tree.", "codes": {}});
            own_lists.insert("own".to_owned(), empty);
            "own".to_owned()
        }
    };
    let from = &found.family.members[0].name;
    let mut composition = json!({"from": from, "order": order, "unit": unit, "list": list});
    if trace {
        composition["trace"] = json!("+");
    }
    if layers {
        composition["layer_mark"] = json!("/");
    }
    let mut entry = json!({"$comment": remark(found), "composition": composition});
    if found.fact == "understorey" {
        entry["layer"] = json!("understorey");
    }
    entry
}
