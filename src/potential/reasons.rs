//! Reasons: what raised, lowered or widened a stand's potential, as message keys with arguments. In go facts and the
//! factor they gave, out come reasons; wording them is left to the locale catalogue.

use serde::Serialize;

use super::View;
use super::interval::Interval;
use crate::names::{Genus, SourceId};

/// What a stand's potential depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Factor {
    Trees,
    Age,
    Stocking,
    SoilReaction,
    Moisture,
    Nitrogen,
    Nutrients,
    Aspect,
    Disturbance,
    Deadwood,
    Setting,
}

impl Factor {
    /// The message key of its name.
    pub fn key(self) -> &'static str {
        match self {
            Factor::Trees => "factor.trees",
            Factor::Age => "factor.age",
            Factor::Stocking => "factor.stocking",
            Factor::SoilReaction => "factor.soil_reaction",
            Factor::Moisture => "factor.moisture",
            Factor::Nitrogen => "factor.nitrogen",
            Factor::Nutrients => "factor.nutrients",
            Factor::Aspect => "factor.aspect",
            Factor::Disturbance => "factor.disturbance",
            Factor::Deadwood => "factor.deadwood",
            Factor::Setting => "factor.setting",
        }
    }

    /// The names of its rows in the factor table, as they enter a view.
    pub fn rows(self, view: View) -> &'static [&'static str] {
        match self {
            Factor::Trees => &["host", "shares", "layer"],
            Factor::Age => &["age"],
            Factor::Stocking => &["basal_area", "canopy"],
            Factor::SoilReaction => &["soil"],
            Factor::Moisture if view == View::Roots => &["moisture"],
            Factor::Moisture => &["decay_moisture"],
            Factor::Nitrogen => &["nitrogen"],
            Factor::Nutrients => &["nutrients"],
            Factor::Aspect => &["aspect"],
            Factor::Disturbance => &["disturbance"],
            Factor::Deadwood => &["deadwood"],
            Factor::Setting => &["setting"],
        }
    }

    /// Whether it enters a view at all.
    pub fn concerns(self, view: View) -> bool {
        match self {
            Factor::Moisture => true,
            Factor::Deadwood => view == View::Wood,
            Factor::Setting => view == View::Litter,
            Factor::Trees
            | Factor::Age
            | Factor::Stocking
            | Factor::SoilReaction
            | Factor::Nitrogen
            | Factor::Nutrients
            | Factor::Aspect
            | Factor::Disturbance => view == View::Roots,
        }
    }
}

/// What a reason does to the potential.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Effect {
    /// Speaks for it.
    Raises,
    /// Speaks against it.
    Lowers,
    /// Leaves it open.
    Widens,
    /// Neither.
    Neutral,
}

/// The unit of an argument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Hundredths: 60 is sixty per cent.
    Percent,
    /// Years.
    Year,
    /// None, or one the message itself names.
    Plain,
}

/// An argument of a message.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Arg {
    Number {
        value: f64,
        unit: Unit,
    },
    Range {
        low: f64,
        high: f64,
        unit: Unit,
    },
    /// Genera of trees, to be named in the visitor's language and joined as a list.
    Trees(Vec<Genus>),
    /// Another message.
    Word(&'static str),
    /// Other messages, joined as a list.
    Words(Vec<&'static str>),
    /// Text of the map, as data.
    Text(String),
}

/// One thing that moved the potential.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// The view it belongs to.
    pub view: View,
    /// The factor.
    pub factor: Factor,
    /// What it does.
    pub effect: Effect,
    /// The message key.
    pub message: &'static str,
    /// The message's arguments by name.
    pub args: Vec<(&'static str, Arg)>,
    /// The factor's own low end, 0 to 1; for a part of the mixture, the share of the stand that hosts.
    pub low: f64,
    /// The factor's own high end.
    pub high: f64,
    /// Where the factor's number comes from.
    pub source: SourceId,
    /// How much it weighs against the other reasons of its view.
    pub(crate) weight: f64,
}

impl Reason {
    pub(crate) fn new(view: View, factor: Factor, message: &'static str, part: Interval) -> Reason {
        Reason {
            view,
            factor,
            effect: effect(part),
            message,
            args: Vec::new(),
            low: part.low,
            high: part.high,
            source: SourceId::new("design"),
            // What is lost for certain, and half of what may be.
            weight: 1.0 - (part.low + part.high) / 2.0,
        }
    }

    pub(crate) fn with(mut self, name: &'static str, arg: Arg) -> Reason {
        self.args.push((name, arg));
        self
    }

    pub(crate) fn from(mut self, source: SourceId) -> Reason {
        self.source = source;
        self
    }

    pub(crate) fn doing(mut self, effect: Effect) -> Reason {
        self.effect = effect;
        self
    }

    pub(crate) fn weighing(mut self, weight: f64) -> Reason {
        self.weight = weight;
        self
    }
}

/// What a factor does: all of it speaks for, a certain loss against, a possible one leaves it open.
fn effect(part: Interval) -> Effect {
    if part.low >= 1.0 {
        Effect::Raises
    } else if part.high < 1.0 {
        Effect::Lowers
    } else {
        Effect::Widens
    }
}

/// A number where exactly one is known, else a range.
pub(crate) fn amount(low: f64, high: f64, unit: Unit) -> Arg {
    if low == high {
        Arg::Number { value: low, unit }
    } else {
        Arg::Range { low, high, unit }
    }
}

/// A share as hundredths.
pub(crate) fn percent(share: Interval) -> Arg {
    amount(share.low * 100.0, share.high * 100.0, Unit::Percent)
}
