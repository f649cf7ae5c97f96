//! The annotated stand map: each feature with one member `hostwood` that holds its potential, its verdict, its kinds
//! and the reasons. The shape is the public one of the command line and the engine.

use std::collections::BTreeMap;

use geojson::{FeatureCollection, JsonObject};
use serde::Serialize;

use crate::assessment::{Assessment, Ground};
use crate::names::without_author;
use crate::potential::kinds::KindHere;
use crate::potential::{Effect, Step, Value, View, ViewValue};
use crate::rules::{Answer, Finding, Limit, RuleBook, Verdict};
use crate::stand::Stand;

/// What is known of one stand on one visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Assessed {
    /// The fruiting potential.
    pub potential: PotentialOut,
    /// What the rule books say.
    pub verdict: VerdictOut,
    /// Kinds in season that are not poisonous, best suited first.
    pub kinds: Vec<KindOut>,
    /// Poisonous kinds with the same trees or taken for those, deadly first.
    pub poisonous: Vec<KindOut>,
    /// What moved the potential, the weightiest first.
    pub reasons: Vec<ReasonOut>,
    /// Factors that other stands of the map tell and this one does not.
    pub not_known: Vec<&'static str>,
}

/// The fruiting potential: that with roots, and all views.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PotentialOut {
    /// With roots.
    #[serde(flatten)]
    pub roots: ValueOut,
    /// All views by name.
    pub guilds: BTreeMap<&'static str, ValueOut>,
}

/// A value with its range, 0 to 100. Step and value are null where the trees are not known or the map does not assess
/// it; `mid` is there only where nothing that enters was missing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ValueOut {
    /// `bare`, `slight`, `fair`, `good` or `rich`.
    pub step: Option<Step>,
    /// What ranks and colours.
    pub value: Option<f64>,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// The middle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mid: Option<f64>,
    /// Why there is no value: `trees_not_known` or `not_assessed`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_not: Option<&'static str>,
}

/// What the rule books say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct VerdictOut {
    /// `closed`, `over`, `breach`, `need`, `not_known`, `limits`, `no_rule` or `free`.
    pub answer: &'static str,
    /// Every rule that concerns the stand, those that decided first.
    pub rules: Vec<RuleOut>,
    /// The amounts to keep to, as the law writes them.
    pub limits: Vec<LimitOut>,
    /// When the answer changes next: a day, or day and time on the region's clock.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
    /// The answer rests on a book that is out of date.
    pub out_of_date: bool,
}

/// One rule that concerns the stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RuleOut {
    /// Its id in its book.
    pub id: String,
    /// Its book's region code.
    pub region: String,
    /// What it does if it holds, such as `closes` or `limits`.
    pub effect: String,
    /// `true`, `false` or `not_known`.
    pub holds: String,
    /// How it stands among the others, such as `holds`, `lower` or `replaced by`.
    pub why: &'static str,
    /// Its words in the language asked for, else the nearest.
    pub text: String,
    /// Title and article of its sources.
    pub source: String,
    /// The day they were last checked.
    pub checked: String,
    /// The share of the stand it holds for, where that is a part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
}

/// One amount to keep to.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LimitOut {
    /// The amount as written.
    pub amount: String,
    /// Its unit, spelled as in the rule book.
    pub unit: &'static str,
    /// The rules that set it.
    pub rules: Vec<String>,
}

/// One kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct KindOut {
    /// Its id.
    pub id: String,
    /// Its scientific name without author.
    pub name: String,
    /// Its everyday name in the language asked for, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vernacular: Option<String>,
    /// How well the stand suits it, 0 to 100.
    pub value: f64,
    /// For a poisonous kind: the kinds it is taken for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub taken_for: Vec<String>,
}

/// One thing that moved the potential.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ReasonOut {
    /// The view it belongs to: `roots`, `wood` or `litter`.
    pub view: View,
    /// The factor.
    pub factor: &'static str,
    /// The message key, worded in the locale catalogues.
    pub message: &'static str,
    /// `raises`, `lowers`, `widens` or `neutral`.
    pub effect: Effect,
    /// The factor's own interval, 0 to 1.
    pub interval: [f64; 2],
    /// The source of its number.
    pub source: String,
}

/// The whole map, annotated. Rule texts and everyday names come in the first of the languages (BCP 47) that there is.
pub fn assessed(ground: &Ground, assessment: &Assessment, languages: &[&str]) -> FeatureCollection {
    // Stands that lie in the same zones share a verdict, unless a rule follows the sun and tells them apart.
    let mut verdicts: BTreeMap<(u32, Answer), VerdictOut> = BTreeMap::new();
    let features = ground
        .map
        .stands
        .iter()
        .zip(0u32..)
        .filter_map(|(stand, place)| {
            let mut feature = super::outline(ground, place).unwrap_or_else(|| bare(stand));
            let verdict = verdicts
                .entry((ground.law_place(place), assessment.answer(place)))
                .or_insert_with(|| {
                    let verdict = ground.verdict(place, &assessment.visit);
                    verdict_out(&verdict, ground.books(), languages)
                });
            let known = of(ground, assessment, stand, verdict.clone(), languages);
            let mut members = JsonObject::new();
            members.insert("hostwood".to_owned(), serde_json::to_value(known).ok()?);
            feature.foreign_members = Some(members);
            Some(feature)
        })
        .collect();
    FeatureCollection {
        bbox: None,
        features,
        foreign_members: None,
    }
}

/// A stand without a usable outline: RFC 7946 has such features with a null geometry.
fn bare(stand: &Stand) -> geojson::Feature {
    let mut properties = JsonObject::new();
    if let Some(name) = &stand.name {
        properties.insert("name".to_owned(), name.clone().into());
    }
    geojson::Feature {
        bbox: None,
        geometry: None,
        id: Some(geojson::feature::Id::String(stand.id.to_string())),
        properties: Some(properties),
        foreign_members: None,
    }
}

/// One stand.
fn of(
    ground: &Ground,
    assessment: &Assessment,
    stand: &Stand,
    verdict: VerdictOut,
    languages: &[&str],
) -> Assessed {
    let potential = &ground.potential(stand);
    let here = ground.kinds_here(stand, &assessment.visit);
    let kinds = |kinds: &[KindHere]| {
        kinds
            .iter()
            .filter_map(|kind| kind_out(ground, kind, languages))
            .collect()
    };
    Assessed {
        potential: PotentialOut {
            roots: value_out(&potential.roots),
            guilds: [
                ("roots", value_out(&potential.roots)),
                ("wood", value_out(&potential.wood)),
                ("litter", value_out(&potential.litter)),
            ]
            .into(),
        },
        verdict,
        kinds: kinds(&here.in_season),
        poisonous: kinds(&here.poisonous),
        reasons: potential
            .reasons
            .iter()
            .map(|reason| ReasonOut {
                view: reason.view,
                factor: short(reason.factor.key()),
                message: reason.message,
                effect: reason.effect,
                interval: [reason.low, reason.high],
                source: reason.source.to_string(),
            })
            .collect(),
        not_known: potential
            .not_known
            .iter()
            .map(|factor| short(factor.key()))
            .collect(),
    }
}

/// A key without its namespace.
fn short(key: &'static str) -> &'static str {
    key.rsplit_once('.').map_or(key, |(_, short)| short)
}

fn value_out(value: &ViewValue) -> ValueOut {
    let none = |why| ValueOut {
        step: None,
        value: None,
        low: None,
        high: None,
        mid: None,
        why_not: Some(why),
    };
    match value {
        ViewValue::Known(Value {
            low,
            high,
            mid,
            value,
            step,
            ..
        }) => ValueOut {
            step: Some(*step),
            value: Some(*value),
            low: Some(*low),
            high: Some(*high),
            mid: *mid,
            why_not: None,
        },
        ViewValue::TreesNotKnown => none("trees_not_known"),
        ViewValue::NotAssessed => none("not_assessed"),
    }
}

fn kind_out(ground: &Ground, here: &KindHere, languages: &[&str]) -> Option<KindOut> {
    let kind = ground.knowledge.fungi.kind(&here.kind)?;
    Some(KindOut {
        id: here.kind.to_string(),
        name: without_author(&kind.scientific),
        vernacular: ground
            .knowledge
            .fungi
            .everyday_name(&here.kind, languages)
            .map(|(name, _)| name.to_owned()),
        value: here.suits * 100.0,
        taken_for: here.taken_for.iter().map(ToString::to_string).collect(),
    })
}

fn verdict_out(verdict: &Verdict, books: &[RuleBook], languages: &[&str]) -> VerdictOut {
    VerdictOut {
        answer: verdict.answer.word(),
        rules: verdict
            .findings()
            .filter_map(|finding| rule_out(finding, books, languages))
            .collect(),
        limits: verdict.limits.iter().map(limit_out).collect(),
        next: verdict.next.as_ref().map(|next| match next.at {
            Some(time) => format!("{}T{time}", next.on),
            None => next.on.to_string(),
        }),
        out_of_date: verdict.out_of_date,
    }
}

fn rule_out(finding: &Finding, books: &[RuleBook], languages: &[&str]) -> Option<RuleOut> {
    let book = books.get(finding.book)?;
    let rule = book.rule(&finding.rule)?;
    let sources: Vec<String> = book
        .sources_of(rule)
        .map(|source| match &source.article {
            Some(article) => format!("{}, {article}", source.title),
            None => source.title.clone(),
        })
        .collect();
    let checked = book
        .sources_of(rule)
        .filter_map(|source| source.checked)
        .min()
        .unwrap_or(book.checked);
    Some(RuleOut {
        id: finding.rule.to_string(),
        region: book.region.code.clone(),
        effect: word_of(&finding.effect),
        holds: match finding.holds {
            crate::units::Truth::True => "true",
            crate::units::Truth::False => "false",
            crate::units::Truth::NotKnown => "not_known",
        }
        .to_owned(),
        why: finding.why.word(),
        text: rule
            .text
            .pick(languages)
            .map_or_else(String::new, |(_, text)| text.to_owned()),
        source: sources.join("; "),
        checked: checked.to_string(),
        share: finding.share_of_stand,
    })
}

fn limit_out(limit: &Limit) -> LimitOut {
    LimitOut {
        amount: limit.amount.written().to_owned(),
        unit: limit.amount.unit().code(),
        rules: limit.rules.iter().map(|at| at.rule.to_string()).collect(),
    }
}

/// The word a plain enum has in files.
fn word_of<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}
