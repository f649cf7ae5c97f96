//! Keys by which alike profiles and standings are found again. In goes a profile or a standing, out come bytes that
//! are equal exactly where the values are.

use crate::stand::{AttributeValue, Deadwood, Mixture, Profile, Standing, Tree};
use crate::units::{Absence, Fact};

/// Bytes under which a profile is kept.
pub(crate) fn of_profile(profile: &Profile) -> Vec<u8> {
    let mut key = Key(Vec::with_capacity(160));
    key.mixture(&profile.mixture);
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
    key.0
}

/// Bytes under which a standing is kept.
pub(crate) fn of_standing(standing: &Standing) -> Vec<u8> {
    let mut key = Key::default();
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
    key.0
}

#[derive(Default)]
struct Key(Vec<u8>);

impl Key {
    fn byte(&mut self, byte: u8) {
        self.0.push(byte);
    }

    fn number(&mut self, number: f64) {
        self.0.extend_from_slice(&number.to_bits().to_le_bytes());
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
