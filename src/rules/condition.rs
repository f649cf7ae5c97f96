//! When, for whom and for which party a rule holds. In go a condition and a visit, out comes yes, no or not known;
//! where it holds is left to `zone`.
//!
//! Three things are presumed until the visitor tells otherwise: an adult, alone, collecting for their own use. A rule
//! about minors, groups or trade is then shown with its condition and does not decide. Everything else that was not
//! told stays not known.

use serde::Serialize;

use super::book::Holidays;
use super::book::Question;
use super::days::{DaySet, in_any};
use super::names::Texts;
use crate::day::{Day, YearWindow};
use crate::units::Truth;
use crate::visit::Visitor;

/// When in the year a rule holds: in one of the windows, and on one of the days, as far as either is given.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct When {
    pub windows: Vec<YearWindow>,
    pub days: Option<DaySet>,
    /// On public holidays only, or on all other days only.
    pub holidays: Option<bool>,
}

impl When {
    /// Whether the day lies in it. Where it turns on public holidays and the book does not list those of that time, it
    /// is not known.
    pub fn holds_on(&self, day: Day, holidays: Option<&Holidays>) -> Truth {
        let days = (self.windows.is_empty() || in_any(&self.windows, day))
            && self.days.as_ref().is_none_or(|days| days.contains(day));
        let holiday = match self.holidays {
            None => Truth::True,
            Some(wanted) => {
                let is_one = holidays.map_or(Truth::NotKnown, |holidays| holidays.has(day));
                if wanted { is_one } else { is_one.not() }
            }
        };
        Truth::from(days).and(holiday)
    }
}

/// For whom a rule holds: everything given must hold.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Who {
    pub resident: Option<bool>,
    pub permit: Option<bool>,
    pub owner: Option<bool>,
    pub consent: Option<bool>,
    pub commercial: Option<bool>,
    pub escorted: Option<bool>,
    /// Younger than so many years.
    pub younger_than: Option<u32>,
    /// So many years or older.
    pub at_least: Option<u32>,
    /// Something else, told in words only: nobody here can tell whether it holds.
    pub others: Option<Texts>,
}

/// For which parties a rule holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Party {
    /// More persons than this, the visitor included.
    pub more_than: Option<u32>,
    /// At most so many persons.
    pub at_most: Option<u32>,
    /// One family, or not.
    pub family: Option<bool>,
}

/// How a condition on the visitor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Told {
    /// Whether it holds.
    pub(super) holds: Truth,
    /// Whether it would be not known but for something presumed.
    pub(super) presumed: bool,
}

impl Told {
    pub(super) const YES: Told = Told {
        holds: Truth::True,
        presumed: false,
    };

    fn and(self, other: Told) -> Told {
        let holds = self.holds.and(other.holds);
        Told {
            holds,
            // A plain no from either side needs no presumption.
            presumed: match holds {
                Truth::False => {
                    let plain_no = |told: Told| told.holds == Truth::False && !told.presumed;
                    !plain_no(self) && !plain_no(other)
                }
                _ => self.presumed || other.presumed,
            },
        }
    }

    fn presume(answer: Truth, otherwise: bool) -> Told {
        match answer {
            Truth::NotKnown => Told {
                holds: Truth::from(otherwise),
                presumed: true,
            },
            known => Told {
                holds: known,
                presumed: false,
            },
        }
    }

    fn plain(holds: Truth) -> Told {
        Told {
            holds,
            presumed: false,
        }
    }
}

impl Who {
    /// Whether it asks nothing.
    pub fn is_anybody(&self) -> bool {
        *self == Who::default()
    }

    /// What it asks of the visitor.
    pub(super) fn questions(&self) -> Vec<Question> {
        let mut questions = Vec::new();
        for (asked, question) in [
            (self.resident.is_some(), Question::Resident),
            (self.permit.is_some(), Question::Permit),
            (self.owner.is_some(), Question::Owner),
            (self.consent.is_some(), Question::Consent),
            (self.commercial.is_some(), Question::Commercial),
            (self.escorted.is_some(), Question::Escorted),
            (
                self.younger_than.is_some() || self.at_least.is_some(),
                Question::Age,
            ),
        ] {
            if asked {
                questions.push(question);
            }
        }
        questions
    }

    /// Whether it holds for the visitor.
    pub(super) fn holds_for(&self, visitor: &Visitor) -> Told {
        let equals = |answer: Truth, wanted: Option<bool>| match wanted {
            None => Told::YES,
            Some(true) => Told::plain(answer),
            Some(false) => Told::plain(answer.not()),
        };
        let commercial = match self.commercial {
            None => Told::YES,
            Some(true) => Told::presume(visitor.commercial, false),
            Some(false) => Told::presume(visitor.commercial.not(), true),
        };
        let age = visitor.age.map(|age| age.get());
        let younger = match self.younger_than {
            None => Told::YES,
            Some(bound) => Told::presume(age.map(|age| age < f64::from(bound)).into(), false),
        };
        let older = match self.at_least {
            None => Told::YES,
            Some(bound) => Told::presume(age.map(|age| age >= f64::from(bound)).into(), true),
        };
        equals(visitor.resident, self.resident)
            .and(equals(visitor.permit, self.permit))
            .and(equals(visitor.owner, self.owner))
            .and(equals(visitor.consent, self.consent))
            .and(equals(visitor.escorted, self.escorted))
            .and(commercial)
            .and(younger)
            .and(older)
            .and(match self.others {
                None => Told::YES,
                Some(_) => Told::plain(Truth::NotKnown),
            })
    }
}

impl Party {
    /// Whether it asks how many come.
    pub(super) fn asks(self) -> bool {
        self.more_than.is_some() || self.at_most.is_some()
    }

    /// Whether it holds for the visitor's party.
    pub(super) fn holds_for(self, visitor: &Visitor) -> Told {
        let more = match self.more_than {
            None => Told::YES,
            Some(bound) => Told::presume(visitor.party.map(|party| party > bound).into(), 1 > bound),
        };
        let most = match self.at_most {
            None => Told::YES,
            Some(bound) => Told::presume(visitor.party.map(|party| party <= bound).into(), 1 <= bound),
        };
        let family = match self.family {
            None => Told::YES,
            Some(true) => Told::plain(visitor.family),
            Some(false) => Told::plain(visitor.family.not()),
        };
        more.and(most).and(family)
    }
}

/// Whether the party is larger than a bound.
pub(super) fn larger_than(visitor: &Visitor, bound: u32) -> Told {
    Party {
        more_than: Some(bound),
        ..Party::default()
    }
    .holds_for(visitor)
}

/// Whether both hold.
pub(super) fn both(left: Told, right: Told) -> Told {
    left.and(right)
}
