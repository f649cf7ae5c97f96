//! The visit: which day, what time if told, and what the visitor told of themselves. Each answer may be missing;
//! the same value goes to season and rules. Nothing here is kept or sent anywhere.

use serde::Serialize;

use crate::day::{ClockTime, Day};
use crate::units::{Truth, Years};

/// One planned visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Visit {
    /// The day, in the region's time zone.
    pub day: Day,
    /// The time of day, if told. Without it, rules on hours are listed and do not close the day.
    pub time: Option<ClockTime>,
    /// What the visitor told of themselves.
    pub visitor: Visitor,
}

impl Visit {
    /// A visit on that day by somebody who told nothing.
    pub fn on(day: Day) -> Visit {
        Visit {
            day,
            time: None,
            visitor: Visitor::default(),
        }
    }
}

/// What the visitor told of themselves; everything may be missing.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Visitor {
    /// Lives in the place the rule means.
    pub resident: Truth,
    /// Holds the permit the rule asks for.
    pub permit: Truth,
    /// Owns the land, or has its owner's rights there.
    pub owner: Truth,
    /// Has the owner's consent.
    pub consent: Truth,
    /// Collects for sale or for a trade.
    pub commercial: Truth,
    /// Age in years.
    pub age: Option<Years>,
    /// An adult comes along (asked only of minors).
    pub escorted: Truth,
    /// How many collect together, the visitor included.
    pub party: Option<u32>,
}
