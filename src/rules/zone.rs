//! Zones: places a rule book names by outline, by stand attribute, or by putting others together. In go a rule book
//! and what is known of a stand, out comes which part of the stand lies in each zone. This is worked out once a stand;
//! what follows from it on some day is left to `law`.
//!
//! The part of a stand that lies in a zone is kept as a least and a greatest share in thousandths: whole, none, some
//! part, or not known (anything from none to whole). Putting zones together is then plain arithmetic on these ranges.

use geo::{Coord, Intersects as _, MultiPolygon};
use serde::Serialize;

use super::book::RuleBook;
use super::names::Texts;
use super::nearness::Near;
use super::survey::Survey;
use crate::geometry::LngLat;
use crate::names::ZoneId;
use crate::stand::{AttributeValue, Ownership, Place, Standing};
use crate::units::{Elevation, Fact, Truth, Years};

/// Overlaps of less than this many thousandths are taken for lines drawn twice, not for a zone: outlines of stands and
/// zones come from different surveys (common practice in overlaying maps).
const SLIVER: u16 = 5;
/// The whole stand in thousandths.
const WHOLE: u16 = 1000;

/// One zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Its id in the book.
    pub id: ZoneId,
    /// Its name, if it has one.
    pub names: Texts,
    /// What makes a place belong to it.
    pub extent: Extent,
}

/// What makes a place belong to a zone.
#[derive(Debug, Clone, PartialEq)]
pub enum Extent {
    /// It lies within this outline (degrees).
    Outline(MultiPolygon<f64>),
    /// It lies within a distance of some feature.
    Near(Near),
    /// The stand's value passes this test.
    Attribute(Test),
    /// It lies in all of these zones, each named earlier in the book's list.
    AllOf(Vec<usize>),
    /// It lies in one of these.
    AnyOf(Vec<usize>),
    /// It does not lie in this one.
    Not(usize),
    /// It is written in a newer format than this engine knows.
    Unread,
}

/// A value of the stand and what it must be.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// Which value.
    pub name: Attribute,
    /// What it must be; all of it.
    pub bounds: Bounds,
}

/// The values of a stand that zones may test.
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Attribute {
    Age,
    Height,
    Elevation,
    Designation,
    Ownership,
    Use,
    /// A further value of the stand map, by name.
    Further(String),
}

/// What a value must be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bounds {
    /// One of these; for a list of values, one of them.
    pub one_of: Option<Vec<AttributeValue>>,
    /// Less than this.
    pub below: Option<f64>,
    /// More than this.
    pub above: Option<f64>,
    /// This or more.
    pub at_least: Option<f64>,
    /// This or less.
    pub at_most: Option<f64>,
    /// Whether the stand map gives a value at all.
    pub present: Option<bool>,
}

/// What rules may know of a stand.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The outline in degrees; without polygons where the stand has none.
    pub outline: &'a MultiPolygon<f64>,
    /// Where it lies; `None` where it has no usable outline.
    pub place: Option<Place>,
    /// Age of its trees.
    pub age: &'a Fact<Years>,
    /// Height above the sea.
    pub elevation: &'a Fact<Elevation>,
    /// Designation, ownership, use, height and further values.
    pub standing: &'a Standing,
}

/// Which part of a stand lies in a zone, as the least and greatest share in thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Part {
    pub least: u16,
    pub greatest: u16,
}

impl Part {
    /// All of it.
    pub const WHOLE: Part = Part {
        least: WHOLE,
        greatest: WHOLE,
    };
    /// None of it.
    pub const NONE: Part = Part {
        least: 0,
        greatest: 0,
    };
    /// Anything from none to all.
    pub const NOT_KNOWN: Part = Part {
        least: 0,
        greatest: WHOLE,
    };

    /// A share from 0 to 1. Slivers count as nothing, and all but a sliver as everything.
    pub(super) fn of(share: f64) -> Part {
        if !share.is_finite() {
            return Part::NOT_KNOWN;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0..=1000 before"
        )]
        let thousandths = (share.clamp(0.0, 1.0) * f64::from(WHOLE)).round() as u16;
        if thousandths < SLIVER {
            Part::NONE
        } else if thousandths > WHOLE - SLIVER {
            Part::WHOLE
        } else {
            Part {
                least: thousandths,
                greatest: thousandths,
            }
        }
    }

    /// Whether any of the stand lies in it.
    pub fn touches(self) -> Truth {
        match (self.least, self.greatest) {
            (_, 0) => Truth::False,
            (0, _) => Truth::NotKnown,
            _ => Truth::True,
        }
    }

    /// Whether the whole stand lies in it, for certain.
    pub fn is_whole(self) -> bool {
        self.least == WHOLE
    }

    /// The share from 0 to 1, if it is a part and known.
    pub fn share(self) -> Option<f64> {
        (self.least == self.greatest && self.least > 0 && self.least < WHOLE)
            .then(|| f64::from(self.least) / f64::from(WHOLE))
    }

    pub(super) fn and(self, other: Part) -> Part {
        Part {
            least: (self.least + other.least).saturating_sub(WHOLE),
            greatest: self.greatest.min(other.greatest),
        }
    }

    pub(super) fn or(self, other: Part) -> Part {
        Part {
            least: self.least.max(other.least),
            greatest: (self.greatest + other.greatest).min(WHOLE),
        }
    }

    pub(super) fn not(self) -> Part {
        Part {
            least: WHOLE - self.greatest,
            greatest: WHOLE - self.least,
        }
    }
}

impl From<Truth> for Part {
    fn from(truth: Truth) -> Part {
        match truth {
            Truth::True => Part::WHOLE,
            Truth::False => Part::NONE,
            Truth::NotKnown => Part::NOT_KNOWN,
        }
    }
}

/// Which part of a stand lies in the book's area and in each of its zones. Stands with equal memberships have equal
/// verdicts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Membership {
    /// The part in the book's own area.
    pub area: Part,
    /// The part in each zone, in the order of the book's list.
    pub zones: Vec<Part>,
    /// The book's area covers the stand together with those of other books, though not by itself.
    pub jointly: bool,
}

impl RuleBook {
    /// Which part of the stand lies where. Never fails: what cannot be worked out is not known.
    pub fn membership(&self, subject: &Subject<'_>) -> Membership {
        Survey::of([self]).memberships(subject).remove(0)
    }

    /// The membership of one point of a stand: in or out of every place that is drawn, and like the whole stand in all
    /// that is told of the stand as one.
    pub fn membership_at(&self, membership: &Membership, point: LngLat) -> Membership {
        let position = Coord {
            x: point.lng,
            y: point.lat,
        };
        let drawn: Vec<(usize, Part)> = self
            .zones
            .iter()
            .enumerate()
            .filter_map(|(place, zone)| {
                let within = match &zone.extent {
                    Extent::Outline(outline) => outline.intersects(&position),
                    Extent::Near(near) => near.holds(position),
                    _ => return None,
                };
                Some((place, Truth::from(within).into()))
            })
            .collect();
        let within = Truth::from(self.region.area.intersects(&position));
        Membership {
            area: within.into(),
            jointly: false,
            ..self.with_zones(membership, &drawn)
        }
    }

    /// A stand that lies wholly in these zones and in no other: for the book's own examples.
    pub fn membership_of(&self, within: &[usize]) -> Membership {
        let mut zones: Vec<Part> = Vec::with_capacity(self.zones.len());
        for (place, zone) in self.zones.iter().enumerate() {
            let part = if within.contains(&place) {
                Part::WHOLE
            } else {
                match &zone.extent {
                    Extent::Outline(_) | Extent::Near(_) | Extent::Attribute(_) | Extent::Unread => {
                        Part::NONE
                    }
                    derived => derive(derived, &zones),
                }
            };
            zones.push(part);
        }
        Membership {
            area: Part::WHOLE,
            zones,
            jointly: false,
        }
    }

    /// The membership with the given base zones set otherwise, and the derived ones worked out anew.
    pub(super) fn with_zones(&self, membership: &Membership, set: &[(usize, Part)]) -> Membership {
        let mut zones: Vec<Part> = Vec::with_capacity(self.zones.len());
        for (place, zone) in self.zones.iter().enumerate() {
            let part = match &zone.extent {
                Extent::Outline(_) | Extent::Near(_) | Extent::Attribute(_) | Extent::Unread => set
                    .iter()
                    .find(|(other, _)| *other == place)
                    .map_or_else(|| membership.zone(place), |(_, part)| *part),
                derived => derive(derived, &zones),
            };
            zones.push(part);
        }
        Membership {
            area: membership.area,
            zones,
            jointly: membership.jointly,
        }
    }
}

impl Membership {
    /// The part in one zone.
    pub fn zone(&self, place: usize) -> Part {
        self.zones.get(place).copied().unwrap_or(Part::NOT_KNOWN)
    }

    /// The part in any of these zones; everything, if none is named.
    pub(super) fn in_any(&self, zones: &[usize]) -> Part {
        if zones.is_empty() {
            return Part::WHOLE;
        }
        zones
            .iter()
            .fold(Part::NONE, |part, zone| part.or(self.zone(*zone)))
    }
}

pub(super) fn derive(extent: &Extent, earlier: &[Part]) -> Part {
    let part = |zone: &usize| earlier.get(*zone).copied().unwrap_or(Part::NOT_KNOWN);
    match extent {
        Extent::AllOf(zones) => zones.iter().fold(Part::WHOLE, |all, zone| all.and(part(zone))),
        Extent::AnyOf(zones) => zones.iter().fold(Part::NONE, |any, zone| any.or(part(zone))),
        Extent::Not(zone) => part(zone).not(),
        Extent::Outline(_) | Extent::Near(_) | Extent::Attribute(_) | Extent::Unread => Part::NOT_KNOWN,
    }
}

impl Test {
    /// Whether the stand's value passes.
    pub(super) fn holds_for(&self, subject: &Subject<'_>) -> Truth {
        let standing = subject.standing;
        match &self.name {
            Attribute::Age => self.bounds.hold_for(subject.age, |age| age.get()),
            Attribute::Height => self.bounds.hold_for(&standing.height, |height| height.get()),
            Attribute::Elevation => self.bounds.hold_for(subject.elevation, |height| height.get()),
            Attribute::Designation => self.bounds.hold_for_words(
                standing
                    .designation
                    .known()
                    .map(|tags| tags.iter().map(String::as_str).collect()),
            ),
            Attribute::Ownership => self.bounds.hold_for_words(
                standing
                    .ownership
                    .known()
                    .map(|owner| vec![ownership_word(*owner)]),
            ),
            Attribute::Use => self
                .bounds
                .hold_for_words(standing.land_use.as_deref().map(|word| vec![word])),
            Attribute::Further(name) => match standing.attributes.get(name) {
                Some(AttributeValue::Number(number)) => self.bounds.hold_for_number(*number),
                Some(AttributeValue::Text(text)) => self.bounds.hold_for_words(Some(vec![text])),
                Some(AttributeValue::Flag(flag)) => self.bounds.hold_for_flag(*flag),
                None => self.bounds.hold_for_words(None),
            },
        }
    }
}

/// An owner as rule books and stand maps spell it.
pub(super) fn ownership_word(ownership: Ownership) -> &'static str {
    match ownership {
        Ownership::State => "state",
        Ownership::Communal => "communal",
        Ownership::Private => "private",
        Ownership::Other => "other",
    }
}

impl Bounds {
    fn presence(&self, there: bool) -> Truth {
        self.present
            .map_or(Truth::True, |wanted| Truth::from(wanted == there))
    }

    fn hold_for<T: Clone>(&self, fact: &Fact<T>, number: impl Fn(T) -> f64) -> Truth {
        match fact.bounds() {
            None if self.only_presence() => self.presence(false),
            None => Truth::NotKnown,
            Some((low, high)) => self.hold_for_range(number(low), number(high)),
        }
    }

    /// Whether the bounds ask nothing but whether there is a value.
    fn only_presence(&self) -> bool {
        *self
            == Bounds {
                present: self.present,
                ..Bounds::default()
            }
    }

    /// A value somewhere from `low` to `high`: true where all of it passes, false where none of it does.
    fn hold_for_range(&self, low: f64, high: f64) -> Truth {
        let less = |bound: Option<f64>, strict: bool| match bound {
            None => Truth::True,
            Some(bound) if (strict && high < bound) || (!strict && high <= bound) => Truth::True,
            Some(bound) if (strict && low >= bound) || (!strict && low > bound) => Truth::False,
            Some(_) => Truth::NotKnown,
        };
        let more = |bound: Option<f64>, strict: bool| match bound {
            None => Truth::True,
            Some(bound) if (strict && low > bound) || (!strict && low >= bound) => Truth::True,
            Some(bound) if (strict && high <= bound) || (!strict && high < bound) => Truth::False,
            Some(_) => Truth::NotKnown,
        };
        let equal = self.one_of.as_ref().map_or(Truth::True, |values| {
            values.iter().fold(Truth::False, |any, value| {
                any.or(match value {
                    #[expect(clippy::float_cmp, reason = "a value read twice from the same text")]
                    AttributeValue::Number(number) if low == high => Truth::from(*number == low),
                    AttributeValue::Number(number) if low <= *number && *number <= high => Truth::NotKnown,
                    _ => Truth::False,
                })
            })
        });
        less(self.below, true)
            .and(less(self.at_most, false))
            .and(more(self.above, true))
            .and(more(self.at_least, false))
            .and(equal)
            .and(self.presence(true))
    }

    fn hold_for_number(&self, number: f64) -> Truth {
        self.hold_for_range(number, number)
    }

    fn hold_for_flag(&self, flag: bool) -> Truth {
        let equal = self.one_of.as_ref().map_or(Truth::True, |values| {
            Truth::from(values.contains(&AttributeValue::Flag(flag)))
        });
        self.size_of_no_number().and(equal).and(self.presence(true))
    }

    /// Words pass if one of them is wanted. A word has no size, so a bound on size cannot be told.
    fn hold_for_words(&self, words: Option<Vec<&str>>) -> Truth {
        let Some(words) = words else {
            return if self.only_presence() {
                self.presence(false)
            } else {
                Truth::NotKnown
            };
        };
        let equal = self.one_of.as_ref().map_or(Truth::True, |values| {
            Truth::from(values.iter().any(|value| match value {
                AttributeValue::Text(wanted) => words.iter().any(|word| word == wanted),
                _ => false,
            }))
        });
        self.size_of_no_number()
            .and(equal)
            .and(self.presence(!words.is_empty()))
    }

    fn size_of_no_number(&self) -> Truth {
        let sized = [self.below, self.above, self.at_least, self.at_most]
            .iter()
            .any(Option::is_some);
        if sized { Truth::NotKnown } else { Truth::True }
    }
}
