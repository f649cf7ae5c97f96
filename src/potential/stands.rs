//! Stands in a forester's notation, for tests: `spruce 1, 60 yr, 25 m2, acid, fresh, N 4`. Only tests use it.

use crate::knowledge::Knowledge;
use crate::names::ScientificName;
use crate::stand::{
    Aspect, Deadwood, Disturbance, Layer, Member, Mixture, Moisture, Nutrients, Profile, Setting, ShareState,
    SoilReaction, Tree,
};
use crate::units::{Absence, BasalArea, Fact, NitrogenLoad, Share, WoodVolume, Years};

/// Reads a stand. Trees come as `name share` (`share` may be a range `0.5..1` or `?`), below the canopy with `under`
/// before the name, left over with `retained`; then any of `60 yr`, `25 m2`, `cover 0.4`, a soil, a moisture, `N 4`,
/// `deadwood some`, `edge` or another setting, `closed`, `poor` or another richness, `facing south`, `burnt 3 ago`; `age ?` and the like for a missing cell. What is not said is
/// not mapped.
pub(crate) fn stand(text: &str) -> Profile {
    let mut profile = Profile::default();
    for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let words: Vec<&str> = part.split_whitespace().collect();
        match words.as_slice() {
            ["age", "?"] => profile.age = empty(),
            ["m2", "?"] => profile.basal_area = empty(),
            ["cover", "?"] => profile.canopy = empty(),
            ["soil", "?"] => profile.soil_reaction = empty(),
            ["moisture", "?"] => profile.moisture = empty(),
            ["nutrients", "?"] => profile.nutrients = empty(),
            ["aspect", "?"] => profile.aspect = empty(),
            ["event", "?"] => {
                profile.disturbance = Fact::NotKnown(Absence::UnmappedCode("?".to_owned()));
            }
            ["no", "event"] => profile.disturbance = Fact::Known(Disturbance::None),
            ["felled" | "burnt" | "windthrown", years, "ago"] => {
                profile.disturbance = Fact::Known(event(words[0]));
                profile.since = match *years {
                    "?" => empty(),
                    years => range(years, |years| Years::new(years).expect("years")),
                };
            }
            ["facing", word] => profile.aspect = Fact::Known(aspect(word)),
            [word] if classes(word, nutrients).is_some() => {
                profile.nutrients = classes(word, nutrients).expect("checked");
            }
            ["N", "?"] => profile.nitrogen = empty(),
            ["deadwood", "?"] => profile.deadwood = empty(),
            ["setting", "?"] => profile.setting = empty(),
            [years, "yr"] => profile.age = range(years, |years| Years::new(years).expect("an age")),
            [area, "m2"] => profile.basal_area = range(area, |area| BasalArea::new(area).expect("an area")),
            ["cover", cover] => profile.canopy = range(cover, |cover| Share::new(cover).expect("a share")),
            ["N", load] => profile.nitrogen = range(load, |load| NitrogenLoad::new(load).expect("a load")),
            ["deadwood", word] => profile.deadwood = Fact::Known(deadwood(word)),
            ["inconsistent"] => profile.trees().shares = ShareState::Inconsistent,
            ["closed"] => profile.setting = Fact::Known(Vec::new()),
            [word] if setting(word).is_some() => {
                profile.setting = Fact::Known(setting(word).into_iter().collect());
            }
            [word] if classes(word, soil).is_some() => {
                profile.soil_reaction = classes(word, soil).expect("checked");
            }
            [word] if classes(word, moisture).is_some() => {
                profile.moisture = classes(word, moisture).expect("checked");
            }
            ["under", name @ .., share] => add(profile.trees(), &name.join(" "), share, Layer::Understorey),
            ["retained", name @ .., share] => add(profile.trees(), &name.join(" "), share, Layer::Retained),
            [name @ .., share] if !name.is_empty() => {
                add(profile.trees(), &name.join(" "), share, Layer::Canopy);
            }
            _ => panic!("`{part}` in `{text}`"),
        }
    }
    profile
}

/// The facts of the best site: what is named here leaves nothing to be wished.
pub(crate) const BEST: &str = "60 yr, 25 m2, acid, fresh, N 4";

pub(crate) fn empty<T>() -> Fact<T> {
    Fact::NotKnown(Absence::Empty)
}

fn add(mixture: &mut Mixture, name: &str, share: &str, layer: Layer) {
    let share = match share {
        "?" => empty(),
        _ => range(share, |share| Share::new(share).expect("a share")),
    };
    mixture.members.push(Member {
        tree: tree(name),
        share,
        layer,
        raw: name.to_owned(),
    });
}

/// A tree by any name the tables know, or `genus` and a name that no table has; anything else is unresolved.
pub(crate) fn tree(name: &str) -> Tree {
    match name.strip_prefix("genus ") {
        Some(genus) => ScientificName::parse(genus).map_or(Tree::Unresolved, Tree::Named),
        None => Knowledge::shipped().trees.resolve(name).tree,
    }
}

/// `5` or `5..10`.
fn range<T: Clone>(text: &str, of: impl Fn(f64) -> T) -> Fact<T> {
    let number = |text: &str| {
        of(text
            .parse()
            .unwrap_or_else(|_| panic!("`{text}` is not a number")))
    };
    match text.split_once("..") {
        Some((low, high)) => Fact::Within {
            low: number(low),
            high: number(high),
            mid: None,
        },
        None => Fact::Known(number(text)),
    }
}

/// `fresh` or `fresh..wet`.
fn classes<T: Copy>(text: &str, of: impl Fn(&str) -> Option<T>) -> Option<Fact<T>> {
    match text.split_once("..") {
        Some((low, high)) => Some(Fact::Within {
            low: of(low)?,
            high: of(high)?,
            mid: None,
        }),
        None => of(text).map(Fact::Known),
    }
}

fn soil(word: &str) -> Option<SoilReaction> {
    Some(match word {
        "acid" => SoilReaction::Acid,
        "weakly_acid" => SoilReaction::WeaklyAcid,
        "neutral" => SoilReaction::Neutral,
        "calcareous" => SoilReaction::Calcareous,
        _ => return None,
    })
}

fn moisture(word: &str) -> Option<Moisture> {
    Some(match word {
        "dry" => Moisture::Dry,
        "fresh" => Moisture::Fresh,
        "moist" => Moisture::Moist,
        "wet" => Moisture::Wet,
        _ => return None,
    })
}

fn nutrients(word: &str) -> Option<Nutrients> {
    Some(match word {
        "poor" => Nutrients::Poor,
        "medium" => Nutrients::Medium,
        "rich" => Nutrients::Rich,
        _ => return None,
    })
}

fn aspect(word: &str) -> Aspect {
    match word {
        "north" => Aspect::North,
        "west" => Aspect::West,
        "south" => Aspect::South,
        "flat" => Aspect::Flat,
        other => panic!("`{other}` is no side of a hill"),
    }
}

fn event(word: &str) -> Disturbance {
    match word {
        "felled" => Disturbance::Felled,
        "burnt" => Disturbance::Burnt,
        _ => Disturbance::Windthrown,
    }
}

fn setting(word: &str) -> Option<Setting> {
    Some(match word {
        "edge" => Setting::Edge,
        "clearing" => Setting::Clearing,
        "grassland" => Setting::Grassland,
        "park" => Setting::Park,
        "hedge" => Setting::Hedge,
        "burnt" => Setting::Burnt,
        "felled" => Setting::Felled,
        _ => return None,
    })
}

fn deadwood(word: &str) -> Deadwood {
    match word {
        "none" => Deadwood::None,
        "little" => Deadwood::Little,
        "some" => Deadwood::Some,
        "much" => Deadwood::Much,
        volume => {
            let volume = volume.parse().expect("a volume of dead wood");
            Deadwood::Volume(WoodVolume::new(volume).expect("a volume of dead wood"))
        }
    }
}
