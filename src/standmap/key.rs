//! Keys by which alike profiles and standings are found again. In goes a profile or a standing, out comes its place
//! among those that were kept before, or that it is new.

use std::hash::BuildHasher;
use std::sync::Arc;

use foldhash::fast::RandomState;

use crate::order::Lookup;
use crate::pile::Pile;
use crate::stand::{AttributeValue, Deadwood, Mixture, Profile, Standing, Tree};
use crate::units::{Absence, Fact};

/// Where things that were kept lie, by a number that is the same for equal ones. The things themselves stand elsewhere,
/// once; keeping their bytes as well would fill as much memory again.
#[derive(Debug, Default)]
pub(crate) struct Places {
    places: Lookup<u64, u32>,
    hasher: RandomState,
    key: Key,
}

impl Places {
    /// The mixture among those that were kept that is like this one; one that is not there is pushed.
    pub(crate) fn of_mixture(&mut self, mixture: Mixture, kept: &mut Vec<Arc<Mixture>>) -> Arc<Mixture> {
        self.key.0.clear();
        self.key.mixture(&mixture);
        let mut number = self.hasher.hash_one(&self.key.0);
        while let Some(found) = self
            .places
            .get(&number)
            .and_then(|&place| kept.get(place as usize))
        {
            if **found == mixture {
                return Arc::clone(found);
            }
            number = number.wrapping_add(1);
        }
        let mixture = Arc::new(mixture);
        self.places.insert(number, kept.len() as u32);
        kept.push(Arc::clone(&mixture));
        mixture
    }

    /// The place of a profile among those that were kept; one that is not there is pushed. Its mixture is one of those
    /// that were kept.
    pub(crate) fn of_profile(&mut self, profile: Profile, kept: &mut Pile<Profile>) -> u32 {
        self.key.0.clear();
        self.key.profile(&profile);
        self.place(profile, kept)
    }

    /// The place of a standing among those that were kept; one that is not there is pushed.
    pub(crate) fn of_standing(&mut self, standing: Standing, kept: &mut Pile<Standing>) -> u32 {
        self.key.0.clear();
        self.key.standing(&standing);
        self.place(standing, kept)
    }

    fn place<T: PartialEq>(&mut self, thing: T, kept: &mut Pile<T>) -> u32 {
        self.place_from(self.hasher.hash_one(&self.key.0), thing, kept)
    }

    fn place_from<T: PartialEq>(&mut self, mut number: u64, thing: T, kept: &mut Pile<T>) -> u32 {
        // Unequal things of the same number stand under the next ones.
        while let Some(&place) = self.places.get(&number) {
            if kept.get(place as usize) == Some(&thing) {
                return place;
            }
            number = number.wrapping_add(1);
        }
        let place = kept.len() as u32;
        self.places.insert(number, place);
        kept.push(thing);
        place
    }
}

impl Key {
    fn profile(&mut self, profile: &Profile) {
        let key = self;
        // One that was kept is like itself only.
        key.address(Arc::as_ptr(&profile.mixture));
        key.fact(&profile.age, |key, age| key.number(age.get()));
        key.fact(&profile.basal_area, |key, area| key.number(area.get()));
        key.fact(&profile.canopy, |key, share| key.number(share.get()));
        key.fact(&profile.soil_reaction, |key, reaction| key.byte(*reaction as u8));
        key.fact(&profile.moisture, |key, moisture| key.byte(*moisture as u8));
        key.fact(&profile.nitrogen, |key, load| key.number(load.get()));
        key.fact(&profile.nutrients, |key, nutrients| key.byte(*nutrients as u8));
        key.fact(&profile.aspect, |key, aspect| key.byte(*aspect as u8));
        key.fact(&profile.disturbance, |key, event| key.byte(*event as u8));
        key.fact(&profile.since, |key, years| key.number(years.get()));
        key.fact(&profile.deadwood, |key, deadwood| match deadwood {
            Deadwood::None => key.byte(0),
            Deadwood::Little => key.byte(1),
            Deadwood::Some => key.byte(2),
            Deadwood::Much => key.byte(3),
            Deadwood::Volume(volume) => {
                key.byte(4);
                key.number(volume.get());
            }
        });
        key.fact(&profile.setting, |key, settings| {
            key.number(settings.len() as f64);
            for setting in settings {
                key.byte(*setting as u8);
            }
        });
        key.byte(profile.climate.map_or(255, |climate| climate as u8));
    }

    fn standing(&mut self, standing: &Standing) {
        let key = self;
        key.fact(&standing.designation, |key, tags| {
            key.number(tags.len() as f64);
            for tag in tags {
                key.text(tag);
            }
        });
        key.fact(&standing.ownership, |key, ownership| key.byte(*ownership as u8));
        key.byte(u8::from(standing.land_use.is_some()));
        key.text(standing.land_use.as_deref().unwrap_or_default());
        key.fact(&standing.height, |key, height| key.number(height.get()));
        key.byte(u8::from(standing.planted.is_some()));
        key.number(f64::from(standing.planted.unwrap_or_default()));
        for (name, value) in &standing.attributes {
            key.text(name);
            match value {
                AttributeValue::Number(number) => {
                    key.byte(0);
                    key.number(*number);
                }
                AttributeValue::Text(text) => {
                    key.byte(1);
                    key.text(text);
                }
                AttributeValue::Flag(flag) => key.byte(2 + u8::from(*flag)),
            }
        }
    }
}

#[derive(Debug, Default)]
struct Key(Vec<u8>);

impl Key {
    fn byte(&mut self, byte: u8) {
        self.0.push(byte);
    }

    fn number(&mut self, number: f64) {
        self.0.extend_from_slice(&number.to_bits().to_le_bytes());
    }

    fn address<T>(&mut self, of: *const T) {
        self.0.extend_from_slice(&of.addr().to_le_bytes());
    }

    fn text(&mut self, text: &str) {
        self.0.extend_from_slice(&(text.len() as u64).to_le_bytes());
        self.0.extend_from_slice(text.as_bytes());
    }

    fn fact<T>(&mut self, fact: &Fact<T>, value: impl Fn(&mut Key, &T)) {
        match fact {
            Fact::Known(known) => {
                self.byte(0);
                value(self, known);
            }
            Fact::Within { low, high, mid } => {
                self.byte(if mid.is_some() { 1 } else { 2 });
                value(self, low);
                value(self, high);
                if let Some(mid) = mid {
                    value(self, mid);
                }
            }
            Fact::NotKnown(why) => match why {
                Absence::NotMapped => self.byte(3),
                Absence::Empty => self.byte(4),
                Absence::Illegal(found) => {
                    self.byte(5);
                    self.text(found);
                }
                Absence::UnmappedCode(code) => {
                    self.byte(6);
                    self.text(code);
                }
            },
        }
    }

    fn mixture(&mut self, mixture: &Mixture) {
        self.byte(mixture.shares as u8);
        self.number(mixture.members.len() as f64);
        for member in &mixture.members {
            self.text(&member.raw);
            self.byte(member.layer as u8);
            self.fact(&member.share, |key, share| key.number(share.get()));
            match &member.tree {
                Tree::Named(name) => {
                    self.byte(u8::from(name.hybrid));
                    self.text(name.genus.as_str());
                    self.text(name.epithet.as_deref().unwrap_or_default());
                }
                Tree::AnyOf { group, genera } => {
                    self.byte(2);
                    self.text(group);
                    for genus in genera {
                        self.text(genus.as_str());
                    }
                }
                Tree::Unresolved => self.byte(3),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Places;
    use crate::pile::Pile;

    #[test]
    fn unequal_things_of_one_number_are_both_kept_and_both_found() {
        let (mut places, mut kept) = (Places::default(), Pile::new());
        for (thing, place) in [("a", 0), ("b", 1), ("a", 0), ("c", 2), ("b", 1), ("c", 2)] {
            assert_eq!(places.place_from(u64::MAX, thing, &mut kept), place, "{thing}");
        }
        assert!(kept.iter().eq(&["a", "b", "c"]));
    }
}
