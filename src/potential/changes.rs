//! What would change a stand's value: what each loss takes away, what a missing fact would tell, what some years do. In
//! go a stand's facts, out come the values it would then have; the value itself is worked out by the room as always, so
//! that no second reckoning can part from the first.

use super::{Effect, Factor, Potential, Value, View, assess};
use crate::knowledge::{Curve, Knowledge};
use crate::order;
use crate::stand::{Aspect, Deadwood, Disturbance, Moisture, Nutrients, Profile, Setting, SoilReaction};
use crate::units::{Absence, BasalArea, Fact, NitrogenLoad, WoodVolume, Years};

/// What would be otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// The factor took nothing away.
    Without(Factor),
    /// The missing fact were told; the value is the widest that could then be left.
    Told(Factor),
    /// So many years on, with the same trees and density.
    Years(f64),
}

/// One change and the value it would give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// What would be otherwise.
    pub what: What,
    /// The value then.
    pub value: Value,
}

/// What would change the value of a view: losses first, the greatest gain first; then missing facts, the most telling
/// first; then years. Empty where the view is not known.
pub fn changes(profile: &Profile, potential: &Potential, view: View, knowledge: &Knowledge) -> Vec<Change> {
    let Some(now) = potential.view(view).known() else {
        return Vec::new();
    };
    let then = |profile: &Profile| assess(profile, knowledge).view(view).known().copied();
    let mut losses: Vec<Change> = Vec::new();
    for reason in potential
        .reasons(view)
        .filter(|reason| reason.effect == Effect::Lowers)
    {
        let what = What::Without(reason.factor);
        if losses.iter().any(|known| known.what == what) {
            continue;
        }
        let mut without = profile.clone();
        if take_away(&mut without, reason.factor)
            && let Some(value) = then(&without)
            && value.value > now.value
        {
            losses.push(Change { what, value });
        }
    }
    order::by(&mut losses, |a, b| b.value.value.total_cmp(&a.value.value));
    let mut missing: Vec<Change> = potential
        .not_known
        .iter()
        .filter(|factor| factor.concerns(view))
        .filter_map(|factor| {
            let widest = could_be(profile, *factor, knowledge)
                .iter()
                .filter_map(then)
                .max_by(|a, b| (a.high - a.low).total_cmp(&(b.high - b.low)))?;
            Some(Change {
                what: What::Told(*factor),
                value: widest,
            })
        })
        .filter(|change| change.value.high - change.value.low < now.high - now.low)
        .collect();
    order::by(&mut missing, |a, b| {
        (a.value.high - a.value.low).total_cmp(&(b.value.high - b.value.low))
    });
    let years = knowledge.factors.years_ahead;
    let older = aged(profile, years)
        .filter(|_| view == View::Roots)
        .and_then(|older| then(&older))
        .filter(|value| (value.low, value.high) != (now.low, now.high))
        .map(|value| Change {
            what: What::Years(years),
            value,
        });
    losses.into_iter().chain(missing).chain(older).collect()
}

/// Takes a factor out of a stand; false where that cannot be done.
fn take_away(profile: &mut Profile, factor: Factor) -> bool {
    match factor {
        Factor::Age => profile.age = Fact::default(),
        Factor::Stocking => {
            profile.basal_area = Fact::default();
            profile.canopy = Fact::default();
        }
        Factor::SoilReaction => profile.soil_reaction = Fact::default(),
        Factor::Moisture => profile.moisture = Fact::default(),
        Factor::Nitrogen => profile.nitrogen = Fact::default(),
        Factor::Nutrients => profile.nutrients = Fact::default(),
        Factor::Aspect => profile.aspect = Fact::default(),
        Factor::Disturbance => profile.disturbance = Fact::default(),
        // Other trees would be another wood; without dead wood or edges told these views are not assessed at all.
        Factor::Trees | Factor::Deadwood | Factor::Setting => return false,
    }
    true
}

/// The stand with each value that a missing fact could turn out to have, as far as they differ in what they do.
fn could_be(profile: &Profile, factor: Factor, knowledge: &Knowledge) -> Vec<Profile> {
    let factors = &knowledge.factors;
    let with = |change: &dyn Fn(&mut Profile)| {
        let mut told = profile.clone();
        change(&mut told);
        told
    };
    let at_knots = |curve: &Curve, set: &dyn Fn(&mut Profile, f64)| -> Vec<Profile> {
        curve.knots().map(|knot| with(&|told| set(told, knot))).collect()
    };
    match factor {
        Factor::Age => at_knots(&factors.age, &|told, years| told.age = known(Years::new(years))),
        Factor::Stocking => at_knots(&factors.basal_area, &|told, area| {
            told.basal_area = known(BasalArea::new(area));
        }),
        Factor::SoilReaction => [
            SoilReaction::Acid,
            SoilReaction::WeaklyAcid,
            SoilReaction::Neutral,
            SoilReaction::Calcareous,
        ]
        .map(|soil| with(&|told| told.soil_reaction = Fact::Known(soil)))
        .into(),
        Factor::Moisture => [Moisture::Dry, Moisture::Fresh, Moisture::Moist, Moisture::Wet]
            .map(|moisture| with(&|told| told.moisture = Fact::Known(moisture)))
            .into(),
        Factor::Nitrogen => {
            let numbers = &factors.nitrogen;
            [0.0, numbers.critical_conifer * 2.0, numbers.critical_other * 2.0]
                .map(|load| with(&|told| told.nitrogen = known(NitrogenLoad::new(load))))
                .into()
        }
        Factor::Nutrients => [Nutrients::Poor, Nutrients::Medium, Nutrients::Rich]
            .map(|nutrients| with(&|told| told.nutrients = Fact::Known(nutrients)))
            .into(),
        Factor::Aspect => [Aspect::North, Aspect::East, Aspect::South]
            .map(|aspect| with(&|told| told.aspect = Fact::Known(aspect)))
            .into(),
        Factor::Disturbance => [
            Disturbance::None,
            Disturbance::Felled,
            Disturbance::Burnt,
            Disturbance::Windthrown,
        ]
        .map(|event| with(&|told| told.disturbance = Fact::Known(event)))
        .into(),
        Factor::Deadwood => at_knots(&factors.deadwood_volume, &|told, volume| {
            told.deadwood = known(WoodVolume::new(volume).map(Deadwood::Volume));
        }),
        Factor::Setting => [Vec::new(), vec![Setting::Edge], vec![Setting::Grassland]]
            .map(|setting| with(&|told| told.setting = Fact::Known(setting.clone())))
            .into(),
        // What trees it could be is not listed here: every one of the table.
        Factor::Trees => Vec::new(),
    }
}

fn known<T, E>(value: Result<T, E>) -> Fact<T> {
    value.map_or(Fact::NotKnown(Absence::Empty), Fact::Known)
}

/// The stand so many years on; `None` where its age is not told.
fn aged(profile: &Profile, years: f64) -> Option<Profile> {
    let older = |fact: &Fact<Years>| -> Option<Fact<Years>> {
        let on = |age: &Years| Years::new(age.get() + years).ok();
        Some(match fact {
            Fact::Known(age) => Fact::Known(on(age)?),
            Fact::Within { low, high, mid } => Fact::Within {
                low: on(low)?,
                high: on(high)?,
                mid: mid.as_ref().and_then(on),
            },
            Fact::NotKnown(_) => return None,
        })
    };
    Some(Profile {
        age: older(&profile.age)?,
        since: older(&profile.since).unwrap_or_else(|| profile.since.clone()),
        ..profile.clone()
    })
}

#[cfg(test)]
mod tests {
    use super::super::stands::stand;
    use super::*;

    /// `without moisture 100..100`, `told age 0..0`, `10 years 85..85`.
    fn told(text: &str, view: View) -> Vec<String> {
        let (profile, knowledge) = (stand(text), Knowledge::shipped());
        let potential = assess(&profile, knowledge);
        changes(&profile, &potential, view, knowledge)
            .into_iter()
            .map(|change| {
                let key = |factor: Factor| factor.key().trim_start_matches("factor.").to_owned();
                let what = match change.what {
                    What::Without(factor) => format!("without {}", key(factor)),
                    What::Told(factor) => format!("told {}", key(factor)),
                    What::Years(years) => format!("{years} years"),
                };
                format!("{what} {:.0}..{:.0}", change.value.low, change.value.high)
            })
            .collect()
    }

    #[test]
    fn each_change_gives_the_value_of_the_stand_so_changed() {
        // Worked by hand from the model's knots: 12 years .53, 20 years .85, dry .6, 50 m2 .75.
        for (text, view, expected) in [
            (
                "oak 1, 10 yr, 50 m2, dry",
                View::Roots,
                vec![
                    "without age 45..45",
                    "without moisture 34..34",
                    "without stocking 27..27",
                    "10 years 38..38",
                ],
            ),
            ("oak 1, 60 yr, 25 m2, fresh", View::Roots, vec![]),
            ("ash 1, 10 yr, dry", View::Roots, vec![]),
            (
                "oak 1, age ?, moisture ?",
                View::Roots,
                vec!["told age 40..100", "told moisture 5..100"],
            ),
            // Which nitrogen load it is says nothing where the trees leave it open.
            ("oak 1, 95 yr", View::Roots, vec!["10 years 60..100"]),
            // By felling 13 years before, worked by hand: .45 + .55 * 3 / 20.
            (
                "oak 1, 3 yr, felled 3 ago",
                View::Roots,
                vec!["without age 17..17", "10 years 53..53"],
            ),
            (
                "ash 1, deadwood ?, dry",
                View::Wood,
                vec!["without moisture 0..100", "told deadwood 60..60"],
            ),
            (
                "ash 1, setting ?, fresh",
                View::Litter,
                vec!["told setting 90..90"],
            ),
            ("SB 1, 10 yr", View::Roots, vec![]),
        ] {
            assert_eq!(told(text, view), expected, "{text}");
        }
    }
}
