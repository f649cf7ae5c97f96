//! What feeds a stand's trees: nitrogen from the air, and how rich the site is. In go a stand's facts, out come
//! intervals from 0 to 1 with their reasons. Both speak of the same thing, so of the two only the lower counts.

use super::View;
use super::interval::Interval;
use super::reasons::{Arg, Factor, Reason, Unit, amount};
use super::site::{Part, Told, class_part, class_source, classes, missing, told};
use crate::knowledge::Factors;
use crate::stand::{Nutrients, Profile};

const NUTRIENTS: [Nutrients; 3] = [Nutrients::Poor, Nutrients::Medium, Nutrients::Rich];

/// The message key of a site's richness.
pub fn nutrients_key(nutrients: Nutrients) -> &'static str {
    match nutrients {
        Nutrients::Poor => "nutrients.poor",
        Nutrients::Medium => "nutrients.medium",
        Nutrients::Rich => "nutrients.rich",
    }
}

/// How well the site feeds its trees.
pub(super) fn nutrients(profile: &Profile, factors: &Factors) -> Part {
    let (view, factor) = (View::Roots, Factor::Nutrients);
    let value = |nutrients| factors.nutrients(nutrients);
    let Some((classes, mid)) = classes(&profile.nutrients, &NUTRIENTS) else {
        if profile.nutrients.is_not_mapped() {
            return Part::NotAssessed(factor);
        }
        let all = class_part(&NUTRIENTS, None, value);
        let full = (all.low, all.high);
        return missing(view, factor, "reason.nutrients.missing", full, factors);
    };
    let part = class_part(&classes, mid, value);
    let message = match classes.as_slice() {
        [Nutrients::Poor] => "reason.nutrients.poor",
        [Nutrients::Medium] => "reason.nutrients.medium",
        [Nutrients::Rich] => "reason.nutrients.rich",
        _ => "reason.nutrients.several",
    };
    let keys: Vec<&str> = classes.into_iter().map(nutrients_key).collect();
    let reason = Reason::new(view, factor, message, part)
        .from(class_source("nutrients", &keys, factors))
        .with("nutrients", Arg::Words(keys));
    Part::Told(part, vec![reason])
}

/// Nitrogen above the critical load. Which load counts depends on whether conifers lead among the hosts; where that is
/// open, both may.
pub(super) fn nitrogen(profile: &Profile, conifer_led: Option<bool>, factors: &Factors) -> Part {
    let numbers = &factors.nitrogen;
    let load = match told(&profile.nitrogen, |load| load.get()) {
        Told::NotMapped => return Part::NotAssessed(Factor::Nitrogen),
        Told::Missing => {
            return missing(
                View::Roots,
                Factor::Nitrogen,
                "reason.nitrogen.missing",
                (numbers.floor, 1.0),
                factors,
            );
        }
        Told::Range(load) => load,
    };
    let value = |load: f64, critical: f64| {
        let above = (load - critical).max(0.0);
        (1.0 - numbers.loss * above / (numbers.span * critical)).max(numbers.floor)
    };
    let (strict, lax) = match conifer_led {
        Some(true) => (numbers.critical_conifer, numbers.critical_conifer),
        Some(false) => (numbers.critical_other, numbers.critical_other),
        None => (numbers.critical_conifer, numbers.critical_other),
    };
    let (low, high) = (value(load.high, strict), value(load.low, lax));
    let by = |critical| load.mid.map(|mid| value(mid, critical));
    let part = Interval {
        low,
        high,
        // Where either load may count, a middle is there only if both give the same.
        mid: by(strict).filter(|mid| by(lax) == Some(*mid)),
    };
    let message = if part.low >= 1.0 {
        "reason.nitrogen.low"
    } else {
        "reason.nitrogen.high"
    };
    let reason = Reason::new(View::Roots, Factor::Nitrogen, message, part)
        .with("load", amount(load.low, load.high, Unit::Plain))
        .with("critical", amount(strict, lax, Unit::Plain))
        .from(factors.source("nitrogen.critical"));
    Part::Told(part, vec![reason])
}
