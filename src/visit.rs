//! The visit: which day, what time if told, and what the visitor told of themselves. Each answer may be missing;
//! the same value goes to season and rules. Nothing here is kept or sent anywhere.

use serde::Serialize;

use crate::day::{ClockTime, Day};
use crate::names::RuleId;
use crate::units::{Truth, Years};

/// One planned visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Visit {
    /// The day, in the region's time zone.
    pub day: Day,
    /// The time of day, if told. Without it, rules on hours are listed and do not close the day.
    pub time: Option<ClockTime>,
    /// Minutes by which the region's clock runs before universal time at that time, if told: 120 for Central European
    /// summer time. Rules that follow the sun need it.
    pub utc_offset: Option<i16>,
    /// What the visitor told of themselves.
    pub visitor: Visitor,
}

impl Visit {
    /// A visit on that day by somebody who told nothing.
    pub fn on(day: Day) -> Visit {
        Visit {
            day,
            time: None,
            utc_offset: None,
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
    /// Whether those who collect together are one family (asked only of parties).
    pub family: Truth,
    /// Permits held, one by one: for visitors who hold some of those that rules ask for. With `permit` told, these
    /// count for nothing.
    pub papers: Vec<Paper>,
}

/// One permit that a visitor holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Paper {
    /// The code of the region whose book asks for it.
    pub region: String,
    /// The rule that asks for it.
    pub rule: RuleId,
    /// First and last day on which it is good.
    pub good: (Day, Day),
}

impl Visitor {
    /// Whether they hold the permit that this rule asks for, on that day.
    pub fn holds(&self, region: &str, rule: &RuleId, day: Day) -> Truth {
        let paper = self.papers.iter().any(|paper| {
            paper.region == region && paper.rule == *rule && paper.good.0 <= day && day <= paper.good.1
        });
        match self.permit {
            Truth::NotKnown if paper => Truth::True,
            // Who named their papers has no others.
            Truth::NotKnown if !self.papers.is_empty() => Truth::False,
            told => told,
        }
    }
}
