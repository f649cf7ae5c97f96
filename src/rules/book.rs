//! A rule book as read: one region's rules with their sources, zones, contacts and languages. Reading is left to
//! `reading`, weighing to `law`.

use std::collections::BTreeSet;

use geo::MultiPolygon;
use serde::Serialize;

use super::circumstance::{GearIs, HarvestIs};
use super::condition::{Party, When, Who};
use super::examples::Example;
use super::kind::{Act, GroupKind, Kind, Provision};
use super::names::{Contact, Taxa, TaxonSet, Texts};
use super::zone::Zone;
use crate::day::Day;
use crate::names::{KindId, RuleId, SourceId};
use crate::order;
use crate::units::Truth;

/// The major version of the format that this engine reads.
pub const FORMAT_MAJOR: u32 = 1;
/// The newest minor version that it knows in full; newer ones are read as far as they are known.
pub const FORMAT_MINOR: u32 = 0;

/// One region's rule book.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleBook {
    /// The minor version of its format.
    pub minor: u32,
    /// The region.
    pub region: Region,
    /// Whom to ask.
    pub authority: Contact,
    /// Whom to call after eating something bad.
    pub poison_centre: Option<Contact>,
    /// The general emergency number.
    pub emergency: Option<String>,
    /// The languages of its texts, first the region's own.
    pub languages: Vec<String>,
    /// First day it is in force; from the beginning, if not told.
    pub valid_from: Option<Day>,
    /// Last day it is in force.
    pub valid_to: Option<Day>,
    /// The day its rules were last held against the law.
    pub checked: Day,
    /// The day after which it must not be relied on without a new check.
    pub review_by: Option<Day>,
    /// Licence of the file, as an SPDX expression.
    pub licence: Option<String>,
    /// Where its rules come from.
    pub sources: Vec<Source>,
    /// Sets of fungi.
    pub taxa: Vec<TaxonSet>,
    /// Zones, each after the zones it refers to.
    pub zones: Vec<Zone>,
    /// Rules.
    pub rules: Vec<Rule>,
    /// The public holidays it lists.
    pub holidays: Option<Holidays>,
    /// Questions with the answers its writer expects.
    pub examples: Vec<Example>,
}

/// Public holidays of a region over some time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Holidays {
    /// First and last day for which the list is whole.
    pub whole: (Day, Day),
    /// The days.
    pub dates: BTreeSet<Day>,
}

impl Holidays {
    /// Whether a day is one; not known beyond the time for which the list is whole.
    pub fn has(&self, day: Day) -> Truth {
        if self.dates.contains(&day) {
            Truth::True
        } else if self.whole.0 <= day && day <= self.whole.1 {
            Truth::False
        } else {
            Truth::NotKnown
        }
    }
}

/// Where a rule book holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// Its code, such as one of ISO 3166-2.
    pub code: String,
    /// Its name.
    pub names: Texts,
    /// Its outline in degrees.
    pub area: MultiPolygon<f64>,
    /// Its time zone, a name of the IANA time zone database.
    pub time_zone: String,
}

/// Whether a source is the law itself.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SourceKind {
    /// An official text or an official body's page.
    Official,
    /// Somebody else's account of it.
    Secondary,
}

/// Where a rule comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Its id in the book.
    pub id: SourceId,
    /// Title of the act or page.
    pub title: String,
    /// Whether it is the law itself.
    pub kind: SourceKind,
    /// How it is cited.
    pub citation: Option<String>,
    /// The article.
    pub article: Option<String>,
    /// A checked link.
    pub link: Option<String>,
    /// Its European Legislation Identifier or the like.
    pub eli: Option<String>,
    /// The day it was issued.
    pub issued: Option<Day>,
    /// The day somebody last looked.
    pub checked: Option<Day>,
    /// Its language.
    pub language: Option<String>,
    /// What should be known about how it was read.
    pub note: Option<String>,
}

/// Another rule by name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RuleRef {
    /// A rule of the same book, by its place.
    Here(usize),
    /// A rule of another region's book.
    Elsewhere {
        /// The other region's code.
        region: String,
        /// The rule.
        rule: RuleId,
    },
}

/// One rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Its id in the book.
    pub id: RuleId,
    /// What it is about.
    pub kind: Kind,
    /// The kind as the book names it; tells what an unheard kind is called.
    pub kind_word: String,
    /// What it says, in plain words.
    pub text: Texts,
    /// Places in the book's list of sources.
    pub sources: Vec<usize>,
    /// The zones it holds in, any of them, as places in the book's list; everywhere, if empty.
    pub zones: Vec<usize>,
    /// When it holds.
    pub when: When,
    /// For whom it holds.
    pub who: Who,
    /// For which parties it holds.
    pub party: Party,
    /// For which harvest it holds; it can be told only once there is one.
    pub harvest: HarvestIs,
    /// With which gear it holds.
    pub gear: GearIs,
    /// The fungi it is about; all, if not told.
    pub taxa: Option<Taxa>,
    /// First day it is in force.
    pub valid_from: Option<Day>,
    /// Last day it is in force.
    pub valid_to: Option<Day>,
    /// Rules it takes the place of.
    pub replaces: Vec<RuleRef>,
    /// Rules it lifts.
    pub exempts: Vec<RuleRef>,
    /// What it says in particular.
    pub provision: Provision,
}

/// Whether a book may be relied on, on some day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case", tag = "state", content = "day")]
pub enum BookState {
    /// Yes.
    InForce,
    /// Not before this day.
    NotYet(Day),
    /// It ended on this day.
    Expired(Day),
    /// It should have been checked again by this day.
    ReviewDue(Day),
}

/// What a rule book asks of the visitor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Question {
    Resident,
    Permit,
    Owner,
    Consent,
    Commercial,
    Age,
    Escorted,
    Party,
    Family,
}

/// One protected list of a book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Protected<'b> {
    /// The rule that protects.
    pub rule: &'b RuleId,
    /// The set of fungi; `None` where the rule protects all.
    pub set: Option<&'b TaxonSet>,
    /// What is forbidden.
    pub forbids: &'b [Act],
}

impl Protected<'_> {
    /// The protected kinds that the table of fungi knows.
    pub fn kinds(&self) -> impl Iterator<Item = &KindId> {
        self.set
            .into_iter()
            .flat_map(|set| set.members.iter().flat_map(|member| member.kinds.iter()))
    }
}

impl RuleBook {
    /// Whether the book may be relied on, on that day.
    pub fn state_on(&self, day: Day) -> BookState {
        match (self.valid_from, self.valid_to, self.review_by) {
            (Some(from), ..) if day < from => BookState::NotYet(from),
            (_, Some(to), _) if day > to => BookState::Expired(to),
            (.., Some(by)) if day > by => BookState::ReviewDue(by),
            _ => BookState::InForce,
        }
    }

    /// A rule by its id.
    pub fn rule(&self, id: &RuleId) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.id == *id)
    }

    /// The sources of a rule.
    pub fn sources_of<'b>(&'b self, rule: &'b Rule) -> impl Iterator<Item = &'b Source> {
        rule.sources.iter().filter_map(|place| self.sources.get(*place))
    }

    /// The set of fungi a rule is about, if it is about some only.
    pub fn taxa_of(&self, rule: &Rule) -> Option<&TaxonSet> {
        self.taxa.get(rule.taxa.as_ref()?.set())
    }

    /// The lists of protected kinds.
    pub fn protected(&self) -> Vec<Protected<'_>> {
        self.rules
            .iter()
            .filter_map(|rule| match &rule.provision {
                Provision::ProtectedTaxon { forbids } => Some(Protected {
                    rule: &rule.id,
                    set: self.taxa_of(rule),
                    forbids,
                }),
                _ => None,
            })
            .collect()
    }

    /// What its rules ask of the visitor, each once, in a fixed order.
    pub fn questions(&self) -> Vec<Question> {
        let mut questions: Vec<Question> = self.rules.iter().flat_map(Rule::questions).collect();
        order::naturally(&mut questions);
        questions.dedup();
        questions
    }

    /// What one walk over the rules costs, in rules and in zones that they name.
    pub(super) fn looks(&self) -> usize {
        self.rules.iter().map(|rule| 1 + rule.zones.len()).sum()
    }

    /// What a distinct set of memberships costs on each new day and in memory, in rules and zones.
    pub(crate) fn weight(&self) -> usize {
        4 * self.zones.len() + self.looks()
    }
}

impl Rule {
    /// What it asks of the visitor.
    pub fn questions(&self) -> Vec<Question> {
        let mut questions = self.who.questions();
        if self.party.asks() {
            questions.push(Question::Party);
        }
        if self.party.family.is_some() {
            questions.push(Question::Family);
        }
        match &self.provision {
            Provision::Permit { .. } => questions.push(Question::Permit),
            Provision::OwnerConsent { .. } => questions.extend([Question::Owner, Question::Consent]),
            Provision::Minor { .. } => questions.extend([Question::Age, Question::Escorted]),
            Provision::Purpose { .. } => questions.push(Question::Commercial),
            Provision::GroupSize { except, .. } => {
                questions.push(Question::Party);
                if except.contains(&GroupKind::Family) {
                    questions.push(Question::Family);
                }
            }
            Provision::GroupQuota { .. } => questions.push(Question::Party),
            Provision::WhoMay { only } => questions.extend(only.iter().flat_map(Who::questions)),
            _ => {}
        }
        questions
    }

    /// Whether it is about all fungi.
    pub fn is_about_all(&self) -> bool {
        self.taxa.is_none()
    }
}
