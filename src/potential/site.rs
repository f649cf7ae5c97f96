//! The factors of age, density and site. In go a stand's facts, out come intervals from 0 to 1 with their reasons;
//! the trees are left to `mixture`.
//!
//! A fact that the map does not have at all leaves the product everywhere and is told once as not assessed; a fact that
//! is missing here only takes the factor's whole legal range. No default, no neighbour's value.

use super::View;
use super::interval::Interval;
use super::reasons::{Arg, Effect, Factor, Reason, Unit, amount};
use crate::knowledge::{Curve, Factors};
use crate::names::SourceId;
use crate::order;
use crate::stand::{Aspect, Deadwood, Moisture, Profile, Setting, SoilReaction};
use crate::units::Fact;

/// A factor's interval, and what it says; or not assessed.
#[derive(Debug)]
pub(crate) enum Part {
    /// The map has no such property.
    NotAssessed(Factor),
    /// It has one; here it is missing.
    Missing(Factor, Interval, Reason),
    /// Known, wholly or as a range.
    Told(Interval, Vec<Reason>),
}

impl Part {
    /// Two facts that speak of the same thing: the lower counts, the other is told and not counted again. Ends and
    /// middle fall together, so what is filled in later stays inside the range.
    pub(crate) fn least(self, other: Part, counted: &'static str) -> (Part, Part) {
        let (Some(mine), Some(others)) = (self.interval(), other.interval()) else {
            return (self, other);
        };
        let adds = |part: Interval, to: Interval| {
            part.low < to.low || part.high < to.high || part.mid.zip(to.mid).is_some_and(|(a, b)| a < b)
        };
        if !adds(others, mine) {
            (self, other.told_only(Some(counted)))
        } else if !adds(mine, others) {
            (self.told_only(None), other)
        } else {
            (self, other)
        }
    }

    /// The factor's interval; `None` where it is not assessed.
    pub(crate) fn interval(&self) -> Option<Interval> {
        match self {
            Part::NotAssessed(_) => None,
            Part::Missing(_, interval, _) | Part::Told(interval, _) => Some(*interval),
        }
    }

    /// The same without weight where it would lower, in other words if there are some.
    fn told_only(self, message: Option<&'static str>) -> Part {
        match self {
            Part::Told(interval, reasons) if interval.low < 1.0 => {
                let reasons = reasons.into_iter().map(|reason| {
                    let reason = reason.doing(Effect::Neutral).weighing(0.0);
                    match message {
                        Some(message) => Reason { message, ..reason },
                        None => reason,
                    }
                });
                Part::Told(interval, reasons.collect())
            }
            other => other,
        }
    }
}

/// Either what a map lacks for this stand or what it tells, as plain numbers.
pub(super) enum Told {
    NotMapped,
    Missing,
    Range(Interval),
}

pub(super) fn told<T: Clone>(fact: &Fact<T>, number: impl Fn(T) -> f64) -> Told {
    match fact {
        Fact::NotKnown(_) if fact.is_not_mapped() => Told::NotMapped,
        Fact::NotKnown(_) => Told::Missing,
        Fact::Known(value) => Told::Range(Interval::exact(number(value.clone()))),
        Fact::Within { low, high, mid } => {
            let (low, high) = (number(low.clone()), number(high.clone()));
            Told::Range(Interval {
                low: low.min(high),
                high: high.max(low),
                mid: mid.clone().map(&number),
            })
        }
    }
}

/// A missing fact: the factor's whole legal range.
pub(super) fn missing(
    view: View,
    factor: Factor,
    message: &'static str,
    full: (f64, f64),
    factors: &Factors,
) -> Part {
    let part = Interval::between(full);
    let source = factors.source(rows(factor, view));
    Part::Missing(
        factor,
        part,
        Reason::new(view, factor, message, part).from(source),
    )
}

/// The first name of a factor's rows in the factor table.
fn rows(factor: Factor, view: View) -> &'static str {
    factor.rows(view).first().copied().unwrap_or_default()
}

/// A curve over what is told.
pub(super) fn over(curve: &Curve, x: Interval) -> Interval {
    let (low, high) = curve.over(x.low, x.high);
    Interval {
        low,
        high,
        mid: x.mid.map(|mid| curve.at(mid)),
    }
}

/// Age: rises, then stays. Above an age the low end falls, which is a reason and not by itself a wide range; so the
/// low end without it comes along.
pub(crate) fn age(profile: &Profile, factors: &Factors) -> (Part, f64) {
    let view = View::Roots;
    let years = match told(&profile.age, |years| years.get()) {
        Told::NotMapped => return (Part::NotAssessed(Factor::Age), 1.0),
        Told::Missing => {
            let full = factors.age.full();
            let part = missing(view, Factor::Age, "reason.age.missing", full, factors);
            return (part, full.0);
        }
        Told::Range(years) => years,
    };
    let young = over(&factors.age, years);
    let source = factors.source("age");
    let age = || amount(years.low, years.high, Unit::Year);
    let message = if young.high < 1.0 {
        "reason.age.young"
    } else if young.low < 1.0 {
        "reason.age.perhaps_young"
    } else {
        "reason.age.grown"
    };
    let mut part = young;
    let mut reasons = vec![
        Reason::new(view, Factor::Age, message, young)
            .with("age", age())
            .from(source.clone()),
    ];
    if years.high > factors.old_from {
        part.low = part.low.min(factors.old_low * factors.age.at(years.high));
        let old = Interval::between((factors.old_low, 1.0));
        reasons.push(
            Reason::new(view, Factor::Age, "reason.age.old", old)
                .with("age", age())
                .with("from", amount(factors.old_from, factors.old_from, Unit::Year))
                .from(source),
        );
    }
    (Part::Told(part, reasons), young.low)
}

/// Density by basal area; by canopy cover, stand by stand, where basal area is not told.
pub(crate) fn stocking(profile: &Profile, factors: &Factors) -> Part {
    let basal_area = told(&profile.basal_area, |area| area.get());
    let canopy = told(&profile.canopy, |share| share.get());
    let (curve, x, words, unit) = match (basal_area, canopy) {
        (Told::Range(area), _) => (&factors.basal_area, area, &BASAL_AREA, Unit::Plain),
        (_, Told::Range(cover)) => (&factors.canopy, cover, &CANOPY, Unit::Percent),
        (Told::NotMapped, Told::NotMapped) => return Part::NotAssessed(Factor::Stocking),
        _ => {
            let full = factors.basal_area.full();
            return missing(
                View::Roots,
                Factor::Stocking,
                "reason.stocking.missing",
                full,
                factors,
            );
        }
    };
    let part = over(curve, x);
    let (best_from, best_to) = curve.best();
    let message = if part.low >= 1.0 {
        words.full
    } else if x.high < best_from {
        words.open
    } else if x.low > best_to {
        words.dense
    } else {
        words.open_or_dense
    };
    let scale = if unit == Unit::Percent { 100.0 } else { 1.0 };
    let reason = Reason::new(View::Roots, Factor::Stocking, message, part)
        .with("amount", amount(x.low * scale, x.high * scale, unit))
        .from(factors.source(words.rows));
    Part::Told(part, vec![reason])
}

/// The messages of one measure of density.
struct StockingWords {
    /// Its rows in the factor table.
    rows: &'static str,
    full: &'static str,
    open: &'static str,
    dense: &'static str,
    open_or_dense: &'static str,
}

const BASAL_AREA: StockingWords = StockingWords {
    rows: "basal_area",
    full: "reason.basal_area.full",
    open: "reason.basal_area.open",
    dense: "reason.basal_area.dense",
    open_or_dense: "reason.basal_area.open_or_dense",
};
const CANOPY: StockingWords = StockingWords {
    rows: "canopy",
    full: "reason.canopy.full",
    open: "reason.canopy.open",
    dense: "reason.canopy.dense",
    open_or_dense: "reason.canopy.open_or_dense",
};

const SOILS: [SoilReaction; 4] = [
    SoilReaction::Acid,
    SoilReaction::WeaklyAcid,
    SoilReaction::Neutral,
    SoilReaction::Calcareous,
];
const MOISTURES: [Moisture; 4] = [Moisture::Dry, Moisture::Fresh, Moisture::Moist, Moisture::Wet];

/// The message key of a soil reaction's name.
pub fn soil_key(soil: SoilReaction) -> &'static str {
    match soil {
        SoilReaction::Acid => "soil.acid",
        SoilReaction::WeaklyAcid => "soil.weakly_acid",
        SoilReaction::Neutral => "soil.neutral",
        SoilReaction::Calcareous => "soil.calcareous",
    }
}

/// The message key of a moisture's name.
pub fn moisture_key(moisture: Moisture) -> &'static str {
    match moisture {
        Moisture::Dry => "moisture.dry",
        Moisture::Fresh => "moisture.fresh",
        Moisture::Moist => "moisture.moist",
        Moisture::Wet => "moisture.wet",
    }
}

/// The message key of a setting's name.
pub fn setting_key(setting: Setting) -> &'static str {
    match setting {
        Setting::Edge => "setting.edge",
        Setting::Clearing => "setting.clearing",
        Setting::Grassland => "setting.grassland",
        Setting::Park => "setting.park",
        Setting::Hedge => "setting.hedge",
        Setting::Burnt => "setting.burnt",
        Setting::Felled => "setting.felled",
    }
}

/// The classes a fact may be, in their order, and the middle one where there is one.
pub(crate) fn classes<T: Copy + PartialOrd>(fact: &Fact<T>, all: &[T]) -> Option<(Vec<T>, Option<T>)> {
    let (low, high) = fact.bounds()?;
    let (low, high) = if low <= high { (low, high) } else { (high, low) };
    let within = all
        .iter()
        .copied()
        .filter(|class| low <= *class && *class <= high);
    Some((within.collect(), fact.mid()))
}

pub(crate) fn soils(profile: &Profile) -> Option<(Vec<SoilReaction>, Option<SoilReaction>)> {
    classes(&profile.soil_reaction, &SOILS)
}

/// The interval of a factor over classes.
pub(super) fn class_part<T: Copy>(classes: &[T], mid: Option<T>, value: impl Fn(T) -> f64) -> Interval {
    let values = || classes.iter().map(|class| value(*class));
    Interval {
        low: values().fold(f64::INFINITY, f64::min),
        high: values().fold(0.0, f64::max),
        mid: mid.map(&value),
    }
}

/// The source of the one row that counts, or of the factor where several may.
pub(super) fn class_source(rows: &str, keys: &[&str], factors: &Factors) -> SourceId {
    match keys {
        [key] => factors.source_at(rows, key.rsplit('.').next().unwrap_or_default()),
        _ => factors.source(rows),
    }
}

/// Reaction of the topsoil.
pub(crate) fn soil(profile: &Profile, factors: &Factors) -> Part {
    let value = |soil| factors.soil(soil);
    let Some((classes, mid)) = soils(profile) else {
        if profile.soil_reaction.is_not_mapped() {
            return Part::NotAssessed(Factor::SoilReaction);
        }
        let all = class_part(&SOILS, None, value);
        let full = (all.low, all.high);
        return missing(
            View::Roots,
            Factor::SoilReaction,
            "reason.soil.missing",
            full,
            factors,
        );
    };
    let part = class_part(&classes, mid, value);
    let message = if part.low >= 1.0 {
        "reason.soil.favourable"
    } else {
        "reason.soil.less"
    };
    let keys: Vec<&str> = classes.into_iter().map(soil_key).collect();
    let reason = Reason::new(View::Roots, Factor::SoilReaction, message, part)
        .from(class_source("soil", &keys, factors))
        .with("soil", Arg::Words(keys));
    Part::Told(part, vec![reason])
}

/// Moisture of the site, for any view.
pub(crate) fn moisture(profile: &Profile, view: View, factors: &Factors) -> Part {
    let value = |moisture| match view {
        View::Roots => factors.moisture(moisture),
        View::Wood | View::Litter => factors.decay_moisture(moisture),
    };
    let Some((classes, mid)) = classes(&profile.moisture, &MOISTURES) else {
        if profile.moisture.is_not_mapped() {
            return Part::NotAssessed(Factor::Moisture);
        }
        let all = class_part(&MOISTURES, None, value);
        let full = (all.low, all.high);
        return missing(view, Factor::Moisture, "reason.moisture.missing", full, factors);
    };
    let part = class_part(&classes, mid, value);
    let message = match (view, classes.as_slice()) {
        (View::Roots, [Moisture::Dry]) => "reason.moisture.dry",
        (View::Roots, [Moisture::Fresh]) => "reason.moisture.fresh",
        (View::Roots, [Moisture::Moist]) => "reason.moisture.moist",
        (View::Roots, [Moisture::Wet]) => "reason.moisture.wet",
        (_, [Moisture::Dry]) => "reason.decay_moisture.dry",
        (_, [_]) => "reason.decay_moisture.damp",
        _ => "reason.moisture.several",
    };
    let keys: Vec<&str> = classes.into_iter().map(moisture_key).collect();
    let reason = Reason::new(view, Factor::Moisture, message, part)
        .from(class_source(rows(Factor::Moisture, view), &keys, factors))
        .with("moisture", Arg::Words(keys));
    // Close to the best is no reason against.
    let reason = match message {
        "reason.moisture.moist" | "reason.decay_moisture.damp" if part.high < 1.0 => {
            reason.doing(Effect::Neutral)
        }
        _ => reason,
    };
    Part::Told(part, vec![reason])
}

/// The side of the hill: what the sun does to the ground. That shady sides bear more is published for one dry range
/// only, so the sunny ones get a range.
pub(crate) fn aspect(profile: &Profile, factors: &Factors) -> Part {
    let (view, factor) = (View::Roots, Factor::Aspect);
    let [shady, side, sunny] = factors.aspects();
    let Some((a, b)) = profile.aspect.bounds() else {
        if profile.aspect.is_not_mapped() {
            return Part::NotAssessed(factor);
        }
        return missing(
            view,
            factor,
            "reason.aspect.missing",
            (sunny.low, shady.high),
            factors,
        );
    };
    let of = |aspect: Aspect| {
        let (part, key) = match aspect {
            Aspect::Flat | Aspect::NorthWest | Aspect::North | Aspect::NorthEast => (shady, "shady"),
            Aspect::East | Aspect::West => (side, "side"),
            Aspect::SouthEast | Aspect::South | Aspect::SouthWest => (sunny, "sunny"),
        };
        let part = Interval {
            low: part.low,
            high: part.high,
            mid: part.mid,
        };
        (part, key)
    };
    let ((part, key), (other, _)) = (of(a), of(b));
    let part = part.either(other);
    let message = match a {
        Aspect::Flat => "reason.aspect.flat",
        _ if part.low >= 1.0 => "reason.aspect.shady",
        _ => "reason.aspect.sunny",
    };
    let reason = Reason::new(view, factor, message, part)
        .with("aspect", Arg::Word(aspect_key(a)))
        .from(class_source("aspect", &[key], factors));
    let reason = if part.low >= 1.0 {
        reason.doing(Effect::Neutral)
    } else {
        reason
    };
    Part::Told(part, vec![reason])
}

/// The message key of an aspect's name.
pub fn aspect_key(aspect: Aspect) -> &'static str {
    match aspect {
        Aspect::North => "aspect.north",
        Aspect::NorthEast => "aspect.north_east",
        Aspect::East => "aspect.east",
        Aspect::SouthEast => "aspect.south_east",
        Aspect::South => "aspect.south",
        Aspect::SouthWest => "aspect.south_west",
        Aspect::West => "aspect.west",
        Aspect::NorthWest => "aspect.north_west",
        Aspect::Flat => "aspect.flat",
    }
}

/// Dead wood, for kinds on wood.
pub(crate) fn deadwood(profile: &Profile, factors: &Factors) -> Part {
    let value = |deadwood| factors.deadwood(deadwood);
    let fact = &profile.deadwood;
    let Some((a, b)) = fact.bounds() else {
        if fact.is_not_mapped() {
            return Part::NotAssessed(Factor::Deadwood);
        }
        let full = factors.deadwood_volume.full();
        return missing(
            View::Wood,
            Factor::Deadwood,
            "reason.deadwood.missing",
            full,
            factors,
        );
    };
    let (a_value, b_value) = (value(a), value(b));
    let part = Interval {
        low: a_value.min(b_value),
        high: a_value.max(b_value),
        mid: fact.mid().map(value),
    };
    let reason =
        |message| Reason::new(View::Wood, Factor::Deadwood, message, part).from(factors.source("deadwood"));
    let reason = match (a, b) {
        (Deadwood::Volume(a), Deadwood::Volume(b)) => {
            reason("reason.deadwood.volume").with("amount", amount(a.get(), b.get(), Unit::Plain))
        }
        _ if a == b => match a {
            Deadwood::None => reason("reason.deadwood.none"),
            Deadwood::Little => reason("reason.deadwood.little"),
            Deadwood::Some => reason("reason.deadwood.some"),
            Deadwood::Much | Deadwood::Volume(_) => reason("reason.deadwood.much"),
        },
        _ => reason("reason.deadwood.several"),
    };
    Part::Told(part, vec![reason])
}

/// How open the stand is, for kinds on litter and grass. The most open of its settings counts.
pub(crate) fn setting(profile: &Profile, factors: &Factors) -> Part {
    let openness = |settings: &[Setting]| {
        settings
            .iter()
            .map(|setting| factors.setting(*setting))
            .fold(factors.closed_forest, f64::max)
    };
    let fact = &profile.setting;
    let Some((a, b)) = fact.bounds() else {
        if fact.is_not_mapped() {
            return Part::NotAssessed(Factor::Setting);
        }
        let full = (factors.closed_forest, factors.most_open());
        return missing(
            View::Litter,
            Factor::Setting,
            "reason.setting.missing",
            full,
            factors,
        );
    };
    let (a_value, b_value) = (openness(&a), openness(&b));
    let part = Interval {
        low: a_value.min(b_value),
        high: a_value.max(b_value),
        mid: fact.mid().map(|settings| openness(&settings)),
    };
    let mut keys: Vec<&'static str> = a.iter().chain(&b).map(|setting| setting_key(*setting)).collect();
    order::naturally(&mut keys);
    keys.dedup();
    // Open ground speaks for these kinds even where it is not the most open there is.
    let (message, effect) = if keys.is_empty() {
        ("reason.setting.closed_forest", Effect::Lowers)
    } else {
        ("reason.setting.open", Effect::Raises)
    };
    let reason = Reason::new(View::Litter, Factor::Setting, message, part)
        .with("settings", Arg::Words(keys))
        .from(factors.source("setting"))
        .doing(effect);
    Part::Told(part, vec![reason])
}
