//! A stand's fruiting potential, with its reasons. In go what grows in a stand and what is known of trees, fungi and
//! numbers, out come three values that are never added (with roots, on wood, on litter and grass), each from 0 to 100
//! with a low and a high end. It is relative and long-term: not a yield, not a forecast, not a word on what may be
//! eaten. Total: it cannot fail.

mod certainty;
mod changes;
#[cfg(test)]
mod containment;
mod disturbance;
mod feeding;
mod interval;
mod keys;
pub mod kinds;
#[cfg(test)]
mod kinds_tests;
mod mixture;
mod mixture_reasons;
#[cfg(test)]
mod properties;
mod reasons;
#[cfg(test)]
mod reasons_tests;
mod site;
#[cfg(test)]
mod stands;
#[cfg(test)]
mod worked;
#[cfg(test)]
mod yields_tests;

use std::sync::Arc;

use serde::Serialize;

use crate::knowledge::{Factors, Knowledge};
use crate::order::{self, Lookup};
use crate::pile::Pile;
use crate::stand::Profile;
use interval::{Interval, tidy};
use mixture::Hosts;
use site::Part;

pub use certainty::Certainty;
pub use changes::{Change, What, changes};
pub use feeding::nutrients_key;
pub use keys::KEYS;
pub use reasons::{Arg, Effect, Factor, Reason, Unit};
pub use site::{aspect_key, moisture_key, setting_key, soil_key};

/// One of three ways to look at the same map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum View {
    /// Fungi that live with the roots of living trees.
    Roots,
    /// Fungi on wood.
    Wood,
    /// Fungi on litter and grass.
    Litter,
}

impl View {
    /// All views, the default one first.
    pub const ALL: [View; 3] = [View::Roots, View::Wood, View::Litter];

    /// The message key of its name.
    pub fn key(self) -> &'static str {
        match self {
            View::Roots => "view.roots",
            View::Wood => "view.wood",
            View::Litter => "view.litter",
        }
    }
}

/// One of five steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Nothing can fruit as far as is recorded.
    Bare,
    /// A little.
    Slight,
    /// Some.
    Fair,
    /// Much.
    Good,
    /// As much as a stand can.
    Rich,
}

impl Step {
    /// All steps, least first.
    pub const ALL: [Step; 5] = [Step::Bare, Step::Slight, Step::Fair, Step::Good, Step::Rich];

    /// The message key of its name.
    pub fn key(self) -> &'static str {
        match self {
            Step::Bare => "step.bare",
            Step::Slight => "step.slight",
            Step::Fair => "step.fair",
            Step::Good => "step.good",
            Step::Rich => "step.rich",
        }
    }
}

/// A potential that is known, at least as a range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Value {
    /// The least it can be, 0 to 100.
    pub low: f64,
    /// The most it can be.
    pub high: f64,
    /// The middle; only where nothing that enters was missing.
    pub mid: Option<f64>,
    /// What ranks and colours: the middle where there is one, else half way between the ends.
    pub value: f64,
    /// The step of `value`.
    pub step: Step,
    /// Whether the range is so wide that it gets a mark of its own.
    pub wide: bool,
}

/// The potential in one view.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ViewValue {
    /// Known, at least as a range.
    Known(Value),
    /// Nothing is known of the trees.
    TreesNotKnown,
    /// The map has not what this view needs.
    NotAssessed,
}

impl ViewValue {
    /// The value, where there is one.
    pub fn known(&self) -> Option<&Value> {
        match self {
            ViewValue::Known(value) => Some(value),
            ViewValue::TreesNotKnown | ViewValue::NotAssessed => None,
        }
    }
}

/// A stand's potential in all views.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Potential {
    /// With roots.
    pub roots: ViewValue,
    /// On wood.
    pub wood: ViewValue,
    /// On litter and grass.
    pub litter: ViewValue,
    /// What moved the values, by view, the weightiest of each view first.
    pub reasons: Vec<Reason>,
    /// What the map has for other stands and lacks for this one.
    pub not_known: Vec<Factor>,
    /// What the map has for no stand.
    pub not_assessed: Vec<Factor>,
}

impl Potential {
    /// The value in one view.
    pub fn view(&self, view: View) -> &ViewValue {
        match view {
            View::Roots => &self.roots,
            View::Wood => &self.wood,
            View::Litter => &self.litter,
        }
    }

    /// The reasons of one view, the weightiest first.
    pub fn reasons(&self, view: View) -> impl Iterator<Item = &Reason> {
        self.reasons.iter().filter(move |reason| reason.view == view)
    }
}

/// Works out a stand's potential. Stands with equal profiles have equal potentials.
pub fn assess(profile: &Profile, knowledge: &Knowledge) -> Potential {
    let factors = &knowledge.factors;
    let mut tally = Tally::default();
    let hosts = Hosts::of(&profile.mixture, knowledge);
    let roots = match &hosts {
        None => {
            tally.not_known.push(Factor::Trees);
            tally
                .reasons
                .push(mixture_reasons::trees_not_known(profile, factors));
            // The other facts are still told as missing or not assessed.
            with_roots(profile, &Interval::between((0.0, 1.0)), None, factors, &mut tally);
            ViewValue::TreesNotKnown
        }
        Some(hosts) => {
            tally
                .reasons
                .extend(mixture_reasons::of(hosts, profile.mixture.shares, knowledge));
            let capacity = hosts.part.map(|part| serve(part, factors));
            with_roots(profile, &capacity, hosts.conifer_led, factors, &mut tally)
        }
    };
    let wood = on_wood(profile, factors, &mut tally);
    let litter = on_litter(profile, factors, &mut tally);
    tally.finish(roots, wood, litter)
}

/// The potential of many profiles in all views, in the order of [`View::ALL`], without reasons. What the trees come to
/// is worked out once for all profiles that share a mixture.
pub(crate) fn values(profiles: &Pile<Profile>, knowledge: &Knowledge) -> Vec<[ViewValue; 3]> {
    let factors = &knowledge.factors;
    let mut mixtures: Lookup<usize, Option<(Interval, Option<bool>)>> = Lookup::default();
    let mut values = Vec::with_capacity(profiles.len());
    for profile in profiles {
        let trees = *mixtures
            .entry(Arc::as_ptr(&profile.mixture).addr())
            .or_insert_with(|| {
                let hosts = Hosts::of(&profile.mixture, knowledge)?;
                Some((hosts.part.map(|part| serve(part, factors)), hosts.conifer_led))
            });
        let mut tally = Tally::default();
        let roots = trees.map_or(ViewValue::TreesNotKnown, |(capacity, conifer_led)| {
            with_roots(profile, &capacity, conifer_led, factors, &mut tally)
        });
        values.push([
            roots,
            on_wood(profile, factors, &mut tally),
            on_litter(profile, factors, &mut tally),
        ]);
    }
    values
}

/// How far a part of hosts serves: few hosts serve many fungi.
fn serve(part: f64, factors: &Factors) -> f64 {
    if part <= 0.0 {
        return 0.0;
    }
    part / (part + factors.half * (1.0 - part))
}

fn with_roots(
    profile: &Profile,
    capacity: &Interval,
    conifer_led: Option<bool>,
    factors: &Factors,
    tally: &mut Tally,
) -> ViewValue {
    let (age, low_without_age) = site::age(profile, factors);
    let event = disturbance::disturbance(profile, factors);
    let event_low = event.interval().map_or(1.0, |event| event.low);
    let age = tally.lower(age, event, "reason.disturbance.counted");
    let stocking = tally.take(site::stocking(profile, factors));
    let soil = tally.take(site::soil(profile, factors));
    let moisture = site::moisture(profile, View::Roots, factors);
    let water = tally.lower(moisture, site::aspect(profile, factors), "reason.aspect.counted");
    let nitrogen = feeding::nitrogen(profile, conifer_led, factors);
    let nutrients = feeding::nutrients(profile, factors);
    let food = tally.lower(nitrogen, nutrients, "reason.nutrients.counted");
    let rest = [stocking, soil, water, food]
        .into_iter()
        .fold(*capacity, Interval::times);
    let low_for_mark = rest.low * low_without_age.min(event_low);
    ViewValue::Known(value(rest.times(age), low_for_mark, factors))
}

fn on_wood(profile: &Profile, factors: &Factors, tally: &mut Tally) -> ViewValue {
    let deadwood = site::deadwood(profile, factors);
    dead(profile, View::Wood, deadwood, factors, tally)
}

fn on_litter(profile: &Profile, factors: &Factors, tally: &mut Tally) -> ViewValue {
    let setting = site::setting(profile, factors);
    dead(profile, View::Litter, setting, factors, tally)
}

/// A view that one fact and the moisture make.
fn dead(profile: &Profile, view: View, part: Part, factors: &Factors, tally: &mut Tally) -> ViewValue {
    if let Part::NotAssessed(factor) = part {
        tally.not_assessed.push(factor);
        return ViewValue::NotAssessed;
    }
    let part = tally.take(part);
    let moisture = tally.take(site::moisture(profile, view, factors));
    let product = part.times(moisture);
    ViewValue::Known(value(product, product.low, factors))
}

/// From a product of factors to a value; `low_for_mark` is the low end the wide mark goes by.
fn value(product: Interval, low_for_mark: f64, factors: &Factors) -> Value {
    let scaled = product.map(|part| tidy(100.0 * part));
    let steps = &factors.steps;
    let value = tidy(scaled.value());
    let step = if scaled.high <= 0.0 {
        Step::Bare
    } else if value <= steps.slight_to {
        Step::Slight
    } else if value <= steps.fair_to {
        Step::Fair
    } else if value <= steps.good_to {
        Step::Good
    } else {
        Step::Rich
    };
    Value {
        low: scaled.low,
        high: scaled.high,
        mid: scaled.mid,
        value,
        step,
        wide: tidy(scaled.high - 100.0 * low_for_mark) > steps.wide_above,
    }
}

/// What is gathered while the factors are taken.
#[derive(Debug, Default)]
struct Tally {
    reasons: Vec<Reason>,
    not_known: Vec<Factor>,
    not_assessed: Vec<Factor>,
}

impl Tally {
    /// The interval to multiply with; notes what it says.
    fn take(&mut self, part: Part) -> Interval {
        match part {
            Part::NotAssessed(factor) => {
                self.not_assessed.push(factor);
                Interval::ONE
            }
            Part::Missing(factor, interval, reason) => {
                self.not_known.push(factor);
                self.reasons.push(reason);
                interval
            }
            Part::Told(interval, reasons) => {
                self.reasons.extend(reasons);
                interval
            }
        }
    }

    /// The lower of two that speak of the same thing; `counted` says of the second that the first counts it already.
    fn lower(&mut self, one: Part, other: Part, counted: &'static str) -> Interval {
        let (one, other) = one.least(other, counted);
        self.take(one).least(self.take(other))
    }

    fn finish(mut self, roots: ViewValue, wood: ViewValue, litter: ViewValue) -> Potential {
        // The sort is stable: reasons of equal weight keep the order of the factors.
        order::by(&mut self.reasons, |a, b| {
            a.view.cmp(&b.view).then(b.weight.total_cmp(&a.weight))
        });
        for factors in [&mut self.not_known, &mut self.not_assessed] {
            order::naturally(factors);
            factors.dedup();
        }
        Potential {
            roots,
            wood,
            litter,
            reasons: self.reasons,
            not_known: self.not_known,
            not_assessed: self.not_assessed,
        }
    }
}
