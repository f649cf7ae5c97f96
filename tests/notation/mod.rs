//! Stands and findings in the notation of the crosswalk tests: in goes a reading, out come lines such as
//! `7 | Picea sitchensis 0.8, Betula 0.2 | 39 | planted 1987`. What they should be is left to each test.

use hostwood::stand::{Layer, ShareState, Tree};
use hostwood::standmap::Reading;
use hostwood::units::{Absence, Fact};

fn number<T>(fact: &Fact<T>, get: impl Fn(&T) -> f64) -> String {
    let digits = |value: &T| format!("{}", (get(value) * 1000.0).round() / 1000.0);
    match fact {
        Fact::Known(value) => digits(value),
        Fact::Within {
            low,
            high,
            mid: Some(mid),
        } => format!("{}..{}({})", digits(low), digits(high), digits(mid)),
        Fact::Within { low, high, mid: None } => format!("{}..{}", digits(low), digits(high)),
        Fact::NotKnown(why) => absence(why),
    }
}

fn absence(why: &Absence) -> String {
    match why {
        Absence::NotMapped => "-".to_owned(),
        Absence::Empty => "empty".to_owned(),
        Absence::Illegal(found) => format!("illegal {found}"),
        Absence::UnmappedCode(code) => format!("unmapped {code}"),
    }
}

/// The stands in the notation of this page: id | trees | age | what else is known.
pub(crate) fn table(reading: &Reading) -> Vec<String> {
    let map = &reading.map;
    let line = |stand: &hostwood::stand::Stand| {
        let profile = &map.profiles[stand.profile as usize];
        let standing = &map.standings[stand.standing as usize];
        let trees = profile.mixture.members.iter().map(|member| {
            let tree = match &member.tree {
                Tree::Named(name) => name.to_string(),
                Tree::AnyOf { group, .. } => format!("any {group}"),
                Tree::Unresolved => format!("?{}", member.raw),
            };
            let layer = if member.layer == Layer::Canopy {
                ""
            } else {
                " below"
            };
            format!("{tree} {}{layer}", number(&member.share, |share| share.get()))
        });
        let mut trees = trees.collect::<Vec<_>>().join(", ");
        if profile.mixture.shares != ShareState::Sound {
            trees.push_str(&format!(" {:?}", profile.mixture.shares).to_lowercase());
        }
        let mut said = format!(
            "{} | {trees} | {}",
            stand.id,
            number(&profile.age, |age| age.get())
        );
        for (name, value) in [
            ("canopy", number(&profile.canopy, |share| share.get())),
            ("basal", number(&profile.basal_area, |area| area.get())),
            ("height", number(&standing.height, |height| height.get())),
            ("moisture", words(&profile.moisture)),
            ("soil", words(&profile.soil_reaction)),
            ("nutrients", words(&profile.nutrients)),
            ("setting", words(&profile.setting)),
            ("tags", words(&standing.designation)),
            ("owner", words(&standing.ownership)),
            (
                "planted",
                standing.planted.map_or("-".to_owned(), |year| year.to_string()),
            ),
            (
                "climate",
                profile
                    .climate
                    .map_or("-".to_owned(), |climate| format!("{climate:?}").to_lowercase()),
            ),
        ] {
            if value != "-" {
                said.push_str(&format!(" | {name} {value}"));
            }
        }
        if !standing.attributes.is_empty() {
            said.push_str(&format!(
                " | {}",
                serde_json::to_string(&standing.attributes).expect("attributes")
            ));
        }
        said
    };
    map.stands.iter().map(line).collect()
}

fn words<T: std::fmt::Debug>(fact: &Fact<T>) -> String {
    match fact {
        Fact::Known(value) => format!("{value:?}").to_lowercase(),
        Fact::Within { low, high, .. } => format!("{low:?}..{high:?}").to_lowercase(),
        Fact::NotKnown(why) => absence(why),
    }
}

pub(crate) fn codes(reading: &Reading) -> Vec<String> {
    let said = reading
        .findings
        .iter()
        .map(|finding| format!("{} {}", finding.code, finding.found));
    said.collect()
}
