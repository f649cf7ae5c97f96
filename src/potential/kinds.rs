//! Single kinds in a stand: how well it suits each, which fruit in a month, which are poisonous with the same trees. In
//! go a stand's facts, its potential and the table of kinds, out come ranked lists. They rank, they never add to the
//! stand's value: a longer table colours no stand.

use std::collections::BTreeMap;

use serde::Serialize;

use super::interval::{Interval, tidy};
use super::mixture::Hosts;
use super::{Potential, View, ViewValue, site};
use crate::knowledge::{
    AgePreference, CustomStatus, Factors, Guild, Habitat, HostRole, Kind, KindFactors, Knowledge, Rating,
    SoilPreference,
};
use crate::names::{Genus, KindId};
use crate::order;
use crate::stand::{Climate, Deadwood, Moisture, Profile, Setting, SoilReaction};
use crate::units::Fact;

impl Guild {
    /// The view a guild is seen in.
    pub fn view(self) -> View {
        match self {
            Guild::Ectomycorrhizal => View::Roots,
            Guild::SaprotrophWood | Guild::ParasiteWood => View::Wood,
            Guild::SaprotrophSoil | Guild::RootAssociate => View::Litter,
        }
    }
}

/// One kind in one stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindHere {
    /// The kind.
    pub kind: KindId,
    /// How well the stand suits it, 0 to 1.
    pub suits: f64,
    /// The most it can reach, 0 to 100: never above its view's high end; `None` where that is not assessed.
    pub up_to: Option<f64>,
    /// Its hosts that stand here, the best first; empty for kinds without, and where the trees are not known.
    pub hosts: Vec<Genus>,
    /// Whether it needs the host it has here and no other will do.
    pub obligate: bool,
    /// For a poisonous kind: the kinds shown in season that it is taken for.
    pub taken_for: Vec<KindId>,
    /// Whether the month is not one of its months.
    pub out_of_season: bool,
}

/// The kinds of one stand in one month.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindsHere {
    /// What is not poisonous and in season: those that go with these trees first, then those that need no tree, each
    /// strongest first. In a young stand those at their best in young stands come first.
    pub in_season: Vec<KindHere>,
    /// What is poisonous with the same trees in the same month, and whatever is taken for a kind in season even out of
    /// its own month and trees. Deadly first. Empty only means that none is recorded.
    pub poisonous: Vec<KindHere>,
    /// Whether anything is known of the trees. If not, `in_season` holds only kinds that need no tree, and
    /// `poisonous` all of the month.
    pub trees_known: bool,
    /// Whether the stand is known to be young, so that fewer kinds fruit yet.
    pub young: bool,
}

/// How well a stand suits a kind, 0 to 1; `None` where it depends on the trees and nothing is known of them. To colour
/// a map by a wish.
pub fn suits(profile: &Profile, kind: &Kind, knowledge: &Knowledge) -> Option<f64> {
    let stand = Site::of(profile, knowledge);
    (stand.trees_known || kind.host_role == HostRole::None).then(|| tidy(stand.fit(kind).value()))
}

/// How well a stand suits a kind, 0 to 100 with its range, to colour a map by a wish.
pub fn wish_value(profile: &Profile, kind: &Kind, knowledge: &Knowledge) -> ViewValue {
    let stand = Site::of(profile, knowledge);
    if !stand.trees_known && kind.host_role != HostRole::None {
        return ViewValue::TreesNotKnown;
    }
    let fit = stand.fit(kind);
    ViewValue::Known(super::value(fit, fit.low, &knowledge.factors))
}

/// The kinds of a stand in a month (1 to 12, as the season has it) of a climate.
pub fn here(
    profile: &Profile,
    potential: &Potential,
    climate: Climate,
    month: u8,
    knowledge: &Knowledge,
) -> KindsHere {
    let stand = Site::of(profile, knowledge);
    let kinds = knowledge.fungi.kinds();
    let entry = |kind: &Kind| stand.entry(kind, potential, climate, month);
    let mut in_season: Vec<KindHere> = kinds
        .iter()
        .filter(|kind| !kind.is_poisonous())
        .filter(|kind| stand.trees_known || kind.host_role == HostRole::None)
        .filter_map(entry)
        .filter(|here| !here.out_of_season && here.suits > 0.0 && here.up_to != Some(0.0))
        .collect();
    let mut poisonous: Vec<KindHere> = Vec::new();
    for mut here in kinds.iter().filter_map(entry) {
        here.taken_for = taken_for(&here.kind, &in_season, knowledge);
        let with_these_trees = here.suits > 0.0 && !here.out_of_season;
        let is_poisonous = knowledge.fungi.kind(&here.kind).is_some_and(Kind::is_poisonous);
        if !here.taken_for.is_empty() || (is_poisonous && with_these_trees) {
            poisonous.push(here);
        }
    }
    // A kind that others are mixed up with is told there, and not once more as one to look for.
    in_season.retain(|here| !poisonous.iter().any(|other| other.kind == here.kind));
    let young = stand.is_young();
    let early = |here: &KindHere| {
        let age = knowledge.fungi.kind(&here.kind).map(|kind| kind.age);
        young && age == Some(AgePreference::Early)
    };
    order::by(&mut in_season, |a, b| {
        let without_tree = |here: &KindHere| here.hosts.is_empty();
        early(b)
            .cmp(&early(a))
            .then(without_tree(a).cmp(&without_tree(b)))
            .then(b.suits.total_cmp(&a.suits))
            .then_with(|| a.kind.cmp(&b.kind))
    });
    let danger = |here: &KindHere| {
        knowledge
            .fungi
            .kind(&here.kind)
            .map_or(CustomStatus::Deadly, |kind| kind.status)
    };
    order::by(&mut poisonous, |a, b| {
        danger(b)
            .cmp(&danger(a))
            .then(a.out_of_season.cmp(&b.out_of_season))
            .then(b.suits.total_cmp(&a.suits))
            .then_with(|| a.kind.cmp(&b.kind))
    });
    KindsHere {
        in_season,
        poisonous,
        trees_known: stand.trees_known,
        young,
    }
}

/// The kinds in season that a kind is taken for.
fn taken_for(kind: &KindId, in_season: &[KindHere], knowledge: &Knowledge) -> Vec<KindId> {
    in_season
        .iter()
        .filter(|here| {
            knowledge
                .fungi
                .kind(&here.kind)
                .is_some_and(|shown| shown.dangerous_lookalikes.contains(kind))
        })
        .map(|here| here.kind.clone())
        .collect()
}

/// What of a stand single kinds ask for.
struct Site<'a> {
    profile: &'a Profile,
    factors: &'a Factors,
    trees_known: bool,
    genera: BTreeMap<Genus, Interval>,
}

impl<'a> Site<'a> {
    fn of(profile: &'a Profile, knowledge: &'a Knowledge) -> Site<'a> {
        let hosts = Hosts::of(&profile.mixture, knowledge);
        Site {
            profile,
            factors: &knowledge.factors,
            trees_known: hosts.is_some(),
            genera: hosts.map(|hosts| hosts.genera).unwrap_or_default(),
        }
    }

    /// The kind in this stand; `None` where it does not grow on this continent.
    fn entry(&self, kind: &Kind, potential: &Potential, climate: Climate, month: u8) -> Option<KindHere> {
        let months = kind.months(climate)?;
        let fit = self.fit(kind);
        let up_to = match potential.view(kind.guild.view()) {
            ViewValue::Known(value) => Some(tidy(value.high * fit.high)),
            ViewValue::TreesNotKnown | ViewValue::NotAssessed => None,
        };
        Some(KindHere {
            kind: kind.id.clone(),
            suits: tidy(fit.value()),
            up_to,
            hosts: self.hosts_of(kind),
            obligate: kind.hosts.iter().any(|host| host.rating == Rating::Obligate),
            taken_for: Vec::new(),
            out_of_season: !months.contains(month),
        })
    }

    /// How well the stand suits the kind: host, age, soil and setting, each 0 to 1.
    fn fit(&self, kind: &Kind) -> Interval {
        self.host(kind)
            .times(self.age(kind.age))
            .times(self.soil(kind.soil))
            .times(self.setting(&kind.habitats))
    }

    /// The best host counts, not the sum: spruce and fir give one host, not two.
    fn host(&self, kind: &Kind) -> Interval {
        if kind.host_role == HostRole::None {
            return Interval::ONE;
        }
        if !self.trees_known {
            return Interval::between((0.0, 1.0));
        }
        let best = |best: Interval, next: Interval| Interval {
            low: best.low.max(next.low),
            high: best.high.max(next.high),
            mid: best.mid.zip(next.mid).map(|(a, b)| a.max(b)),
        };
        self.ratings(kind)
            .map(|(_, part)| part)
            .fold(Interval::ZERO, best)
    }

    /// The kind's hosts that may stand here, each with what it counts.
    fn ratings<'k>(&'k self, kind: &'k Kind) -> impl Iterator<Item = (&'k Genus, Interval)> {
        let KindFactors {
            obligate,
            main,
            occasional,
            ..
        } = self.factors.kinds;
        kind.hosts.iter().filter_map(move |host| {
            let share = self.genera.get(&host.genus)?;
            let rating = match host.rating {
                Rating::Obligate => obligate,
                Rating::Main => main,
                Rating::Occasional => occasional,
            };
            let rating = self.with_dead_wood(rating, kind, &host.genus);
            Some((&host.genus, share.map(f64::sqrt).times(rating)))
        })
    }

    /// A host of a kind on wood or litter may count more where dead wood lies. Where dead wood is missing it may lie.
    fn with_dead_wood(&self, rating: f64, kind: &Kind, genus: &Genus) -> Interval {
        let dead = match self.factors.dead_host(genus) {
            Some(dead) if kind.guild.view() != View::Roots => rating.max(dead),
            _ => return Interval::exact(rating),
        };
        let lies = |deadwood: Deadwood| match deadwood {
            Deadwood::None => false,
            Deadwood::Volume(volume) => volume.get() > 0.0,
            Deadwood::Little | Deadwood::Some | Deadwood::Much => true,
        };
        let fact = &self.profile.deadwood;
        let (certain, possible) = match fact.bounds() {
            Some((low, high)) => (lies(low) && lies(high), lies(low) || lies(high)),
            None => (false, !fact.is_not_mapped()),
        };
        match (certain, possible) {
            (true, _) => Interval::exact(dead),
            (false, true) => Interval::between((rating, dead)),
            (false, false) => Interval::exact(rating),
        }
    }

    fn hosts_of(&self, kind: &Kind) -> Vec<Genus> {
        let mut hosts: Vec<(&Genus, f64)> = self
            .ratings(kind)
            .filter(|(_, part)| part.high > 0.0)
            .map(|(genus, part)| (genus, part.value()))
            .collect();
        order::by(&mut hosts, |a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(b.0)));
        hosts.into_iter().map(|(genus, _)| genus.clone()).collect()
    }

    /// A hint from how far apart two classes lie: the same, neighbouring, opposite.
    fn hint(&self, apart: u8) -> f64 {
        let kinds = &self.factors.kinds;
        match apart {
            0 => kinds.fit,
            1 => kinds.neighbouring,
            _ => kinds.opposite,
        }
    }

    /// The hint where a fact is missing: anything; where it is not mapped it leaves the product.
    fn unknown_hint(&self, not_mapped: bool) -> Interval {
        if not_mapped {
            Interval::ONE
        } else {
            Interval::between((self.factors.kinds.opposite, self.factors.kinds.fit))
        }
    }

    fn age_class(&self, years: f64) -> u8 {
        let kinds = &self.factors.kinds;
        if years < kinds.early_below {
            0
        } else if years <= kinds.late_above {
            1
        } else {
            2
        }
    }

    /// Whether the stand is known to be young.
    fn is_young(&self) -> bool {
        self.profile
            .age
            .bounds()
            .is_some_and(|(_, high)| self.age_class(high.get()) == 0)
    }

    fn age(&self, preference: AgePreference) -> Interval {
        let wanted = match preference {
            AgePreference::Indifferent => return Interval::ONE,
            AgePreference::Early => 0,
            AgePreference::Mid => 1,
            AgePreference::Late => 2u8,
        };
        let Some((low, high)) = self.profile.age.bounds() else {
            return self.unknown_hint(self.profile.age.is_not_mapped());
        };
        let hint = |class: u8| self.hint(class.abs_diff(wanted));
        let classes = self.age_class(low.get())..=self.age_class(high.get());
        let mid = self
            .profile
            .age
            .mid()
            .map(|years| hint(self.age_class(years.get())));
        spread(classes.map(hint), mid)
    }

    fn soil(&self, preference: SoilPreference) -> Interval {
        let wanted = match preference {
            SoilPreference::Indifferent => return Interval::ONE,
            SoilPreference::Acid => 0u8,
            SoilPreference::Neutral => 1,
            SoilPreference::Calcareous => 2,
        };
        let class = |soil: SoilReaction| match soil {
            SoilReaction::Acid | SoilReaction::WeaklyAcid => 0u8,
            SoilReaction::Neutral => 1,
            SoilReaction::Calcareous => 2,
        };
        let Some((soils, mid)) = site::soils(self.profile) else {
            return self.unknown_hint(self.profile.soil_reaction.is_not_mapped());
        };
        let hint = |soil: SoilReaction| self.hint(class(soil).abs_diff(wanted));
        spread(soils.into_iter().map(hint), mid.map(hint))
    }

    /// The habitat that fits best counts. How open the stand is decides; wet ground and dead wood fit too where the map
    /// tells of them.
    fn setting(&self, habitats: &[Habitat]) -> Interval {
        if habitats.is_empty() {
            return Interval::ONE;
        }
        let settings = match &self.profile.setting {
            Fact::Known(settings) => settings,
            Fact::Within { low, .. } => low,
            Fact::NotKnown(_) => return self.unknown_hint(self.profile.setting.is_not_mapped()),
        };
        let best = habitats
            .iter()
            .filter_map(|habitat| self.habitat(*habitat, settings))
            .fold(self.factors.kinds.opposite, f64::max);
        Interval::exact(best)
    }

    /// How well one habitat is met; `None` where the map does not tell.
    fn habitat(&self, habitat: Habitat, settings: &[Setting]) -> Option<f64> {
        let openness = |setting: &Setting| match setting {
            Setting::Edge | Setting::Hedge => 1u8,
            Setting::Clearing | Setting::Grassland | Setting::Park | Setting::Burnt | Setting::Felled => 2,
        };
        let wanted = match habitat {
            Habitat::ClosedForest => 0u8,
            Habitat::Edge => 1,
            Habitat::Clearing | Habitat::Grassland => 2,
            Habitat::Wet => {
                return match self.profile.moisture.known()? {
                    Moisture::Wet => Some(self.hint(0)),
                    Moisture::Moist => Some(self.hint(1)),
                    Moisture::Fresh | Moisture::Dry => Some(self.hint(2)),
                };
            }
            Habitat::Deadwood => {
                return match self.profile.deadwood.known()? {
                    Deadwood::None => Some(self.hint(2)),
                    Deadwood::Little => Some(self.hint(1)),
                    Deadwood::Some | Deadwood::Much => Some(self.hint(0)),
                    Deadwood::Volume(volume) => Some(self.hint(if volume.get() > 0.0 { 0 } else { 2 })),
                };
            }
        };
        let nearest = settings
            .iter()
            .map(|setting| openness(setting).abs_diff(wanted))
            .min();
        Some(self.hint(nearest.unwrap_or(wanted)))
    }
}

fn spread(hints: impl Iterator<Item = f64>, mid: Option<f64>) -> Interval {
    let (low, high) = hints.fold((f64::INFINITY, 0.0f64), |(low, high), hint| {
        (low.min(hint), high.max(hint))
    });
    Interval { low, high, mid }
}
