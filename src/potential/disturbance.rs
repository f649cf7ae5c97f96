//! What felling, fire and storm leave of a stand, by the years since. In go the event and the years, out comes an
//! interval from 0 to 1 with its reason. It speaks of the same thing as the age, so of the two only the lower counts.
//!
//! A map lists events where they happened: an empty cell means that none is recorded, and widens nothing. A word that
//! makes no sense is an event nobody knows, and does widen.

use super::View;
use super::interval::Interval;
use super::reasons::{Factor, Reason, Unit, amount};
use super::site::{Part, Told, missing, over, told};
use crate::knowledge::Factors;
use crate::stand::{Disturbance, Profile};
use crate::units::{Absence, Fact};

/// What the last event leaves.
pub(super) fn disturbance(profile: &Profile, factors: &Factors) -> Part {
    let (view, factor) = (View::Roots, Factor::Disturbance);
    let event = match &profile.disturbance {
        Fact::NotKnown(Absence::NotMapped) => return Part::NotAssessed(factor),
        Fact::NotKnown(Absence::Empty) | Fact::Known(Disturbance::None) => {
            return Part::Told(Interval::ONE, Vec::new());
        }
        Fact::Known(event) => *event,
        Fact::Within { .. } | Fact::NotKnown(_) => {
            return missing(view, factor, "reason.disturbance.missing", (0.0, 1.0), factors);
        }
    };
    let (curve, rows, message) = match event {
        Disturbance::Burnt => (&factors.burnt, "disturbance.burnt", "reason.disturbance.burnt"),
        Disturbance::Windthrown => (
            &factors.windthrown,
            "disturbance.windthrown",
            "reason.disturbance.windthrown",
        ),
        Disturbance::Felled | Disturbance::None => {
            (&factors.felled, "disturbance.felled", "reason.disturbance.felled")
        }
    };
    let source = factors.source(rows);
    match told(&profile.since, |years| years.get()) {
        Told::NotMapped | Told::Missing => {
            let part = Interval::between(curve.full());
            let reason = Reason::new(view, factor, "reason.disturbance.when", part).from(source);
            Part::Told(part, vec![reason])
        }
        Told::Range(years) => {
            let part = over(curve, years);
            let reason = Reason::new(view, factor, message, part)
                .with("years", amount(years.low, years.high, Unit::Year))
                .from(source);
            Part::Told(part, vec![reason])
        }
    }
}
