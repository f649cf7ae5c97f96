//! The survey: drafts of stands come in one by one, the stand map comes out. Equal profiles and standings are kept
//! once; ages from planting years, and which values count as assessed, are settled when all stands are in.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use super::key::Places;
use super::plain::Draft;
use super::report::Told;
use crate::geometry::{LngLat, Outlines, Repaired};
use crate::names::StandId;
use crate::order::{Gather, Lookup};
use crate::pile::Pile;
use crate::stand::{Mixture, Place, Profile, Stand, Standing};
use crate::units::{Absence, Fact, Years};

/// All stands of a map.
#[derive(Debug, Clone, Default)]
pub struct StandMap {
    /// The stands, in the order of the map. A stand without a usable outline is among them.
    pub stands: Pile<Stand>,
    /// Their outlines, in the same order.
    pub outlines: Outlines,
    /// What grows there; alike stands share one.
    pub profiles: Pile<Profile>,
    /// What only the rules ask about; alike stands share one.
    pub standings: Pile<Standing>,
    /// What the map tells of its stands at all.
    pub assessed: Assessed,
}

/// Which values the map tells at all. Where one is false, no stand has it, and it is left out of the potential;
/// where it is true, a stand without it has it missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Assessed {
    /// Age of the canopy.
    pub age: bool,
    /// Basal area, or canopy cover in its place.
    pub stocking: bool,
    /// Reaction of the topsoil.
    pub soil_reaction: bool,
    /// Moisture of the site.
    pub moisture: bool,
    /// Nitrogen deposition.
    pub nitrogen: bool,
    /// How well the site feeds its trees.
    pub nutrients: bool,
    /// The side of the hill.
    pub aspect: bool,
    /// Felling, fire and windthrow.
    pub disturbance: bool,
    /// Dead wood.
    pub deadwood: bool,
    /// Setting.
    pub setting: bool,
}

impl Assessed {
    /// The values with their names.
    pub fn each(self) -> [(&'static str, bool); 10] {
        [
            ("age", self.age),
            ("stocking", self.stocking),
            ("soil_reaction", self.soil_reaction),
            ("moisture", self.moisture),
            ("nitrogen", self.nitrogen),
            ("nutrients", self.nutrients),
            ("aspect", self.aspect),
            ("disturbance", self.disturbance),
            ("deadwood", self.deadwood),
            ("setting", self.setting),
        ]
    }
}

/// Ids made unique: what was given, and what it was called before if it had to change.
#[derive(Debug)]
pub(crate) struct Called {
    pub(crate) id: StandId,
    pub(crate) twice: bool,
}

#[derive(Debug, Default)]
pub(crate) struct Survey {
    pub(crate) map: StandMap,
    mixtures: Places,
    mixtures_kept: Vec<Arc<Mixture>>,
    profiles: Places,
    standings: Places,
    ids: Lookup<StandId, u32>,
    told: [Told; TOLD.len()],
    /// Whether a stand was given another profile than it came with.
    resettled: bool,
}

/// The values that are counted, in the order of [`Survey::count`].
const TOLD: [&str; 18] = [
    "age",
    "basal_area",
    "canopy",
    "soil_reaction",
    "moisture",
    "nitrogen",
    "nutrients",
    "aspect",
    "disturbance",
    "since",
    "deadwood",
    "setting",
    "elevation",
    "designation",
    "ownership",
    "height",
    "planted",
    "trees",
];

impl Survey {
    /// A unique id for the next stand: as given, or with `-2`, `-3` and so on where it was given before.
    pub(crate) fn call(&mut self, given: &str) -> Called {
        let mut id = StandId::new(given);
        let twice = self.ids.contains_key(&id);
        while self.ids.contains_key(&id) {
            let count = self.ids.entry(StandId::new(given)).or_insert(1);
            *count += 1;
            id = StandId::new(format!("{given}-{count}"));
        }
        self.ids.insert(id.clone(), 1);
        Called { id, twice }
    }

    /// Gives back the id of a feature that did not become a stand.
    pub(crate) fn uncall(&mut self, id: &StandId) {
        self.ids.remove(id);
    }

    /// Takes one stand.
    pub(crate) fn add(&mut self, id: StandId, mut draft: Draft, mixture: Mixture, outline: &Repaired) {
        draft.profile.mixture = self.mixtures.of_mixture(mixture, &mut self.mixtures_kept);
        self.count(&draft);
        let stand = self.map.outlines.push_repaired(outline);
        let place = || {
            let inside: LngLat = self.map.outlines.inside_point(stand)?;
            Some(Place {
                inside,
                bounds: self.map.outlines.bounds(stand)?,
            })
        };
        let profile = self.profiles.of_profile(draft.profile, &mut self.map.profiles);
        let standing = self
            .standings
            .of_standing(draft.standing, &mut self.map.standings);
        self.map.stands.push(Stand {
            id,
            name: draft.name,
            area: self.map.outlines.area(stand),
            place: place(),
            elevation: draft.elevation,
            profile,
            standing,
        });
    }

    fn count(&mut self, draft: &Draft) {
        let (profile, standing) = (&draft.profile, &draft.standing);
        let told = |is: bool| if is { How::Known } else { How::Empty };
        let how = [
            how(&profile.age),
            how(&profile.basal_area),
            how(&profile.canopy),
            how(&profile.soil_reaction),
            how(&profile.moisture),
            how(&profile.nitrogen),
            how(&profile.nutrients),
            how(&profile.aspect),
            how(&profile.disturbance),
            how(&profile.since),
            how(&profile.deadwood),
            how(&profile.setting),
            how(&draft.elevation),
            how(&standing.designation),
            how(&standing.ownership),
            how(&standing.height),
            told(standing.planted.is_some()),
            told(!profile.mixture.members.is_empty()),
        ];
        for (told, how) in self.told.iter_mut().zip(how) {
            match how {
                How::Known => told.known += 1,
                How::Range => told.range += 1,
                How::Empty => told.empty += 1,
                How::Illegal => told.illegal += 1,
                How::Unmapped => told.unmapped += 1,
            }
        }
    }

    /// How often each value was told so far; nothing before the first stand.
    pub(crate) fn told(&self) -> BTreeMap<&'static str, Told> {
        if self.map.stands.is_empty() {
            return BTreeMap::new();
        }
        TOLD.into_iter().zip(self.told.iter().cloned()).into_map()
    }

    /// Works out ages from planting years for the stands that give no age; gives how many have a year and no age
    /// because the reference year is not known, and how many would be younger than nothing or older than a
    /// thousand years.
    pub(crate) fn settle_ages(&mut self, reference_year: Option<i32>) -> AgesSettled {
        let mut settled = AgesSettled::default();
        for index in 0..self.map.stands.len() {
            let stand = &self.map.stands[index];
            let Some(planted) = self.map.standings[stand.standing as usize].planted else {
                continue;
            };
            let profile = &self.map.profiles[stand.profile as usize];
            if !matches!(profile.age, Fact::NotKnown(Absence::Empty | Absence::NotMapped)) {
                continue;
            }
            let Some(year) = reference_year else {
                settled.without_reference += 1;
                continue;
            };
            let age = f64::from(year) - f64::from(planted);
            let age = if (0.0..=super::facts::OLDEST).contains(&age) {
                Years::new(age).ok()
            } else {
                None
            };
            let mut profile = profile.clone();
            profile.age = match age {
                Some(age) => {
                    settled.settled += 1;
                    Fact::Known(age)
                }
                None => {
                    settled
                        .impossible
                        .get_or_insert_with(|| (stand.id.clone(), planted));
                    settled.impossible_count += 1;
                    Fact::NotKnown(Absence::Illegal(planted.to_string()))
                }
            };
            self.map.stands[index].profile = self.profiles.of_profile(profile, &mut self.map.profiles);
            self.resettled = true;
        }
        settled
    }

    /// Ends the survey: what is not assessed leaves every profile, and profiles that became equal are joined.
    pub(crate) fn finish(self, assessed: Assessed) -> StandMap {
        let Survey {
            mut map,
            mixtures,
            mixtures_kept,
            profiles,
            ids,
            resettled,
            ..
        } = self;
        // Room for the new table.
        drop((mixtures, mixtures_kept, profiles, ids));
        map.assessed = assessed;
        let mut gaps = [0; 12];
        let mut alike = resettled;
        for profile in &mut map.profiles {
            for (gaps, change) in gaps.iter_mut().zip(limit_to(profile, assessed)) {
                *gaps += usize::from(change == Change::Gap);
                alike |= change == Change::Taken;
            }
        }
        alike |= gaps.iter().any(|&gaps| gaps > 0 && gaps < map.profiles.len());
        if !alike {
            // Profiles that differed still do, and each has a stand.
            return map;
        }
        let mut kept: Pile<Profile> = Pile::new();
        let mut places = Places::default();
        let mut moved: Vec<Option<u32>> = vec![None; map.profiles.len()];
        for stand in &mut map.stands {
            let old = stand.profile as usize;
            stand.profile = *moved[old]
                .get_or_insert_with(|| places.of_profile(std::mem::take(&mut map.profiles[old]), &mut kept));
        }
        map.profiles = kept;
        map
    }
}

/// How a value is told of one stand.
#[derive(Clone, Copy)]
enum How {
    Known,
    Range,
    Empty,
    Illegal,
    Unmapped,
}

fn how<T>(fact: &Fact<T>) -> How {
    match fact {
        Fact::Known(_) => How::Known,
        Fact::Within { .. } => How::Range,
        Fact::NotKnown(Absence::NotMapped | Absence::Empty) => How::Empty,
        Fact::NotKnown(Absence::Illegal(_)) => How::Illegal,
        Fact::NotKnown(Absence::UnmappedCode(_)) => How::Unmapped,
    }
}

/// What became of planting years.
#[derive(Debug, Default)]
pub(crate) struct AgesSettled {
    pub(crate) settled: usize,
    pub(crate) without_reference: usize,
    pub(crate) impossible: Option<(StandId, i32)>,
    pub(crate) impossible_count: usize,
}

/// Takes from a profile what the map does not tell at all, and marks the rest of the gaps as missing.
/// Tells what changed in each value.
fn limit_to(profile: &mut Profile, assessed: Assessed) -> [Change; 12] {
    [
        limit_fact(&mut profile.age, assessed.age),
        limit_fact(&mut profile.basal_area, assessed.stocking),
        limit_fact(&mut profile.canopy, assessed.stocking),
        limit_fact(&mut profile.soil_reaction, assessed.soil_reaction),
        limit_fact(&mut profile.moisture, assessed.moisture),
        limit_fact(&mut profile.nitrogen, assessed.nitrogen),
        limit_fact(&mut profile.nutrients, assessed.nutrients),
        limit_fact(&mut profile.aspect, assessed.aspect),
        limit_fact(&mut profile.disturbance, assessed.disturbance),
        limit_fact(&mut profile.since, assessed.disturbance),
        limit_fact(&mut profile.deadwood, assessed.deadwood),
        limit_fact(&mut profile.setting, assessed.setting),
    ]
}

/// What became of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Change {
    None,
    /// It was not mapped, and now is missing.
    Gap,
    /// It was told, and now is not.
    Taken,
}

fn limit_fact<T>(fact: &mut Fact<T>, assessed: bool) -> Change {
    match (assessed, matches!(fact, Fact::NotKnown(Absence::NotMapped))) {
        (true, true) => {
            *fact = Fact::NotKnown(Absence::Empty);
            Change::Gap
        }
        (false, false) => {
            *fact = Fact::NotKnown(Absence::NotMapped);
            Change::Taken
        }
        _ => Change::None,
    }
}
