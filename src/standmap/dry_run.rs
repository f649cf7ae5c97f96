//! The dry run: for a few features of a map, what each property became. In go a map and its crosswalk, out come for
//! each sampled feature the properties with their raw values and the facts that followed; nothing is drawn from it.

use std::cell::RefCell;
use std::fmt;
use std::rc::Rc;

use serde::Serialize;
use serde_json::{Value, json};

use super::cell::{is_blank, text};
use super::columns::Columns;
use super::crosswalk::Mapped;
use super::plain::{self, Draft};
use super::{Crosswalk, Reader, Reading, Unreadable};
use crate::knowledge::Knowledge;
use crate::stand::{Deadwood, Layer, Member, Mixture, Tree};
use crate::units::{Absence, Fact};

/// One feature of a map, as the reading understood it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sampled {
    /// The feature, counted from 1.
    pub feature: usize,
    /// The id of its stand; none where it became no stand.
    pub stand: Option<String>,
    /// Why it became no stand.
    pub left_out: Option<String>,
    /// What its properties became, in the order of the plain form.
    pub facts: Vec<SampledFact>,
}

/// What became of the properties of one fact.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SampledFact {
    /// The plain form's name, such as `age`.
    pub fact: String,
    /// The property that was read; the first that was looked for, where none says anything.
    pub property: String,
    /// What stands there, as it is written in the map.
    pub raw: Value,
    /// The value in the plain form's unit; null where it is a range or not known.
    pub value: Value,
    /// The least it can be, where it is a range.
    pub low: Value,
    /// The most it can be, where it is a range.
    pub high: Value,
    /// The middle of a class.
    pub middle: Value,
    /// The unit of value, low and high, where there is one.
    pub unit: Option<&'static str>,
    /// The tree, where the fact is one.
    pub tree: Option<String>,
    /// Its layer.
    pub layer: Option<Layer>,
    /// Why there is no value.
    pub why: Option<String>,
}

/// Reads a whole map, and tells of up to `count` features, spread evenly over it, what each property became.
///
/// # Errors
/// [`Unreadable`] where the whole file is no stand map.
pub fn dry_run(
    bytes: &[u8],
    crosswalk: Option<&Crosswalk>,
    knowledge: &Knowledge,
    count: usize,
) -> Result<(Reading, Vec<Sampled>), Unreadable> {
    let features = super::read(bytes, crosswalk, knowledge)?.report.features;
    let count = count.min(features);
    let wanted = (0..count).map(|place| 1 + place * features / count).collect();
    let notes = Rc::new(RefCell::new(Vec::new()));
    let witness = Notes {
        wanted,
        taken: Rc::clone(&notes),
    };
    let mut reader = Reader::new(crosswalk.cloned(), knowledge).watched_by(Box::new(witness));
    reader.push(bytes)?;
    let reading = reader.finish()?;
    let sampled = notes.take();
    Ok((reading, sampled))
}

/// Somebody who sees each feature as it is read.
pub(crate) trait Witness: fmt::Debug {
    /// Sees one feature.
    fn see(&mut self, seen: &Seen<'_>);
}

/// A feature as it was read.
pub(crate) struct Seen<'a> {
    pub(crate) feature: usize,
    pub(crate) stand: Option<&'a str>,
    pub(crate) left_out: Option<&'a str>,
    /// The crosswalk; none in the plain form.
    pub(crate) mapped: Option<&'a Mapped>,
    pub(crate) columns: &'a Columns,
    pub(crate) cells: &'a [Option<Value>],
    pub(crate) draft: Option<(&'a Draft, &'a Mixture)>,
}

#[derive(Debug)]
struct Notes {
    wanted: Vec<usize>,
    taken: Rc<RefCell<Vec<Sampled>>>,
}

impl Witness for Notes {
    fn see(&mut self, seen: &Seen<'_>) {
        if self.wanted.contains(&seen.feature) {
            self.taken.borrow_mut().push(Sampled {
                feature: seen.feature,
                stand: seen.stand.map(str::to_owned),
                left_out: seen.left_out.map(str::to_owned),
                facts: facts(seen),
            });
        }
    }
}

/// Where a fact was read from: its name, the property, and what stands there.
struct From {
    fact: String,
    property: String,
    raw: Value,
}

fn facts(seen: &Seen<'_>) -> Vec<SampledFact> {
    let froms: Vec<From> = match seen.mapped {
        Some(mapped) => mapped
            .sources(seen.cells, seen.columns)
            .into_iter()
            .map(|(fact, property, raw)| From { fact, property, raw })
            .collect(),
        None => plain::NAMES
            .iter()
            .filter_map(|name| {
                let raw = plain::cell(seen.cells, name)?;
                let fact = match *name {
                    "species" => "trees",
                    "share" | "layer" => return None,
                    other => other,
                };
                Some(From {
                    fact: fact.to_owned(),
                    property: (*name).to_owned(),
                    raw: raw.clone(),
                })
            })
            .collect(),
    };
    let Some((draft, mixture)) = seen.draft else {
        return froms.into_iter().map(|from| empty(&from)).collect();
    };
    let (trees, others): (Vec<From>, Vec<From>) = froms.into_iter().partition(|from| from.fact == "trees");
    let mut facts: Vec<SampledFact> = others.iter().map(|from| fact(from, seen, draft)).collect();
    let at = facts
        .iter()
        .position(|fact| !["id", "name"].contains(&fact.fact.as_str()))
        .unwrap_or(facts.len());
    let told: Vec<SampledFact> = match (trees.first(), mixture.members.as_slice()) {
        (None, _) => Vec::new(),
        (Some(from), []) => vec![SampledFact {
            why: Some("no tree is named".to_owned()),
            ..empty(from)
        }],
        (Some(_), members) => named_by(&trees, members),
    };
    facts.splice(at..at, told);
    facts
}

/// The trees of a stand, each with the property that names it.
fn named_by(from: &[From], members: &[Member]) -> Vec<SampledFact> {
    let mut taken = vec![false; from.len()];
    let shared = From {
        fact: "trees".to_owned(),
        property: {
            let whole = from
                .iter()
                .filter(|from| !from.raw.is_string() && !from.raw.is_number());
            let names: Vec<&str> = whole.map(|from| from.property.as_str()).collect();
            names.join(", ")
        },
        raw: Value::Null,
    };
    let told = members.iter().map(|member| {
        let names = |from: &From| text(&from.raw).is_some_and(|raw| raw == member.raw);
        let place = (0..from.len()).find(|place| !taken[*place] && names(&from[*place]));
        match place {
            Some(place) => {
                taken[place] = true;
                tree(&from[place], member)
            }
            None => tree(&shared, member),
        }
    });
    told.collect()
}

fn empty(from: &From) -> SampledFact {
    SampledFact {
        fact: from.fact.clone(),
        property: from.property.clone(),
        raw: from.raw.clone(),
        value: Value::Null,
        low: Value::Null,
        high: Value::Null,
        middle: Value::Null,
        unit: None,
        tree: None,
        layer: None,
        why: None,
    }
}

fn tree(from: &From, member: &Member) -> SampledFact {
    let tree = match &member.tree {
        Tree::Named(name) => Some(name.to_string()),
        Tree::AnyOf { group, .. } => Some(format!("any {group}")),
        Tree::Unresolved => None,
    };
    let told = of(from, &member.share, Some("fraction"), |share| json!(share.get()));
    SampledFact {
        raw: Value::from(member.raw.as_str()),
        why: if tree.is_none() {
            Some("the tree is not known".to_owned())
        } else {
            told.why.map(|why| format!("the share is {why}"))
        },
        tree,
        layer: Some(member.layer),
        ..told
    }
}

fn fact(from: &From, seen: &Seen<'_>, draft: &Draft) -> SampledFact {
    let (profile, standing) = (&draft.profile, &draft.standing);
    let words = |told: Option<&str>| SampledFact {
        value: told.map_or(Value::Null, Value::from),
        why: told.is_none().then(|| "empty".to_owned()),
        ..empty(from)
    };
    match from.fact.as_str() {
        "id" => words(seen.stand),
        "name" => words(draft.name.as_deref()),
        "age" => of(from, &profile.age, Some("years"), |age| json!(age.get())),
        "planted" => SampledFact {
            value: json!(standing.planted),
            why: standing.planted.is_none().then(|| "empty".to_owned()),
            ..empty(from)
        },
        "canopy" => of(from, &profile.canopy, Some("fraction"), |share| {
            json!(share.get())
        }),
        "basal_area" => of(from, &profile.basal_area, Some("m2/ha"), |area| json!(area.get())),
        "height" => of(from, &standing.height, Some("m"), |height| json!(height.get())),
        "nitrogen" => of(from, &profile.nitrogen, Some("kg/ha"), |load| json!(load.get())),
        "elevation" => of(from, &draft.elevation, Some("m"), |height| json!(height.get())),
        "soil_reaction" => of(from, &profile.soil_reaction, None, |word| json!(word)),
        "moisture" => of(from, &profile.moisture, None, |word| json!(word)),
        "nutrients" => of(from, &profile.nutrients, None, |word| json!(word)),
        "aspect" => of(from, &profile.aspect, None, |word| json!(word)),
        "disturbance" => of(from, &profile.disturbance, None, |word| json!(word)),
        "since" => of(from, &profile.since, Some("years"), |years| json!(years.get())),
        "ownership" => of(from, &standing.ownership, None, |word| json!(word)),
        "setting" => of(from, &profile.setting, None, |words| json!(words)),
        "designation" => of(from, &standing.designation, None, |tags| json!(tags)),
        "deadwood" => {
            let unit = matches!(
                profile.deadwood,
                Fact::Known(Deadwood::Volume(_)) | Fact::Within { .. }
            );
            of(
                from,
                &profile.deadwood,
                unit.then_some("m3/ha"),
                |wood| match wood {
                    Deadwood::Volume(volume) => json!(volume.get()),
                    word => json!(word),
                },
            )
        }
        "use" => words(standing.land_use.as_deref()),
        "climate" => SampledFact {
            value: json!(profile.climate),
            why: profile.climate.is_none().then(|| "empty".to_owned()),
            ..empty(from)
        },
        other => {
            let name = other.strip_prefix("attributes.").unwrap_or(other);
            let value = match standing.attributes.get(name) {
                Some(value) => json!(value),
                None if other == "attributes" => json!(standing.attributes),
                None => Value::Null,
            };
            SampledFact {
                why: value.is_null().then(|| "empty".to_owned()),
                value,
                ..empty(from)
            }
        }
    }
}

fn of<T>(from: &From, fact: &Fact<T>, unit: Option<&'static str>, show: impl Fn(&T) -> Value) -> SampledFact {
    let told = empty(from);
    match fact {
        Fact::Known(value) => SampledFact {
            value: show(value),
            unit,
            ..told
        },
        Fact::Within { low, high, mid } => SampledFact {
            low: show(low),
            high: show(high),
            middle: mid.as_ref().map_or(Value::Null, show),
            unit,
            ..told
        },
        Fact::NotKnown(why) => {
            let marked = !is_blank(&told.raw);
            SampledFact {
                why: Some(match why {
                    Absence::Empty if marked => "empty: a marker for missing".to_owned(),
                    Absence::Empty | Absence::NotMapped => "empty".to_owned(),
                    Absence::Illegal(found) => format!("not known: `{found}` makes no sense here"),
                    Absence::UnmappedCode(code) => format!("not known: the code `{code}` is in no list"),
                }),
                ..told
            }
        }
    }
}

impl fmt::Display for Sampled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.stand {
            Some(stand) => write!(f, "stand `{stand}` (feature {})", self.feature)?,
            None => write!(f, "feature {}", self.feature)?,
        }
        if let Some(why) = &self.left_out {
            write!(f, ": left out ({why})")?;
        }
        for fact in &self.facts {
            write!(f, "\n  {:<14} {:<34} ", fact.fact, fact.read())?;
            if self.left_out.is_none() {
                write!(f, "{}", fact.became())?;
            }
        }
        Ok(())
    }
}

impl SampledFact {
    /// What was read: the property and its value as it is written.
    fn read(&self) -> String {
        match &self.raw {
            Value::Null => self.property.clone(),
            Value::String(text) => format!("{} `{text}`", self.property),
            other => format!("{} `{other}`", self.property),
        }
    }

    /// What it became, in words.
    fn became(&self) -> String {
        let in_percent = self.unit == Some("fraction");
        let number = |value: &Value| match value {
            Value::Number(number) => {
                let number = number.as_f64().unwrap_or_default() * if in_percent { 100.0 } else { 1.0 };
                ((number * 1000.0).round() / 1000.0).to_string()
            }
            Value::String(text) => text.clone(),
            Value::Array(words) if words.is_empty() => "none".to_owned(),
            Value::Array(words) => {
                let words = words.iter().map(|word| word.as_str().unwrap_or_default());
                words.collect::<Vec<_>>().join(", ")
            }
            other => other.to_string(),
        };
        let unit = match self.unit {
            Some("fraction") => " %".to_owned(),
            Some(unit) => format!(" {unit}"),
            None => String::new(),
        };
        let amount = if !self.value.is_null() {
            Some(format!("{}{unit}", number(&self.value)))
        } else if !self.low.is_null() {
            let mut range = format!("{} to {}{unit}", number(&self.low), number(&self.high));
            if !self.middle.is_null() {
                range.push_str(&format!(", middle {}", number(&self.middle)));
            }
            Some(range)
        } else {
            None
        };
        let layer = self.layer.map(|layer| match layer {
            Layer::Canopy => "canopy",
            Layer::Understorey => "understorey",
            Layer::Retained => "retained",
        });
        let parts = [
            self.tree.clone(),
            amount,
            layer.map(str::to_owned),
            self.why.clone(),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
    }
}
