//! The head of a book as a schema has it: region, contacts, sources, sets of fungi, the book's own questions.

use std::collections::BTreeMap;

use schemars::JsonSchema;

use super::places::{Outline, Zone};
use super::rules::Rule;
use super::words::{Day, Id, Language, SomeTexts, Texts, TimeOfDay, Words};
use crate::rules::book::SourceKind;
use crate::rules::names::Rank;

/// One region's rules about collecting wild fungi, each with its source. It summarises; the authority's text prevails.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(in crate::rules) struct Book {
    /// Where this schema lies, for editors.
    #[schemars(rename = "$schema")]
    schema: Option<String>,
    /// The format: `hostwood-rules/1.0`. A newer minor number is read as far as it is known, a newer major one refused.
    #[schemars(regex(pattern = r"^hostwood-rules/1\.[0-9]+$"))]
    format: String,
    /// Where the book holds.
    region: Region,
    /// Whom visitors can ask.
    authority: Contact,
    /// Whom to call after eating something bad.
    poison_centre: Option<Contact>,
    /// The general emergency number, such as `112`.
    emergency: Option<Words>,
    /// The languages of its texts, the region's own first.
    #[schemars(length(min = 1))]
    languages: Vec<Language>,
    /// First day in force; from the beginning, if not told.
    valid_from: Option<Day>,
    /// Last day in force.
    valid_to: Option<Day>,
    /// The day the rules were last held against the law.
    checked: Day,
    /// The day after which the book must not be relied on without a new check.
    review_by: Option<Day>,
    /// Licence of the file, an SPDX expression such as `CC0-1.0`.
    licence: Option<Words>,
    /// The acts and pages the rules come from.
    sources: Vec<Source>,
    /// Named sets of fungi.
    #[schemars(extend("propertyNames" = {"pattern": "^[a-z0-9_-]{1,64}$"}))]
    taxa: Option<BTreeMap<String, TaxonSet>>,
    /// Named places.
    zones: Option<Vec<Zone>>,
    /// The rules.
    rules: Vec<Rule>,
    /// Public holidays, for rules that turn on them.
    holidays: Option<Holidays>,
    /// Questions with the answers its writer expects; checked whenever the book is.
    examples: Option<Vec<Example>>,
}

/// Where a book holds.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Region {
    /// A short code such as one of ISO 3166-2, without blanks and slashes.
    #[schemars(regex(pattern = r"^[^ /]{1,64}$"))]
    code: String,
    /// Its name.
    names: SomeTexts,
    /// Its outline, degrees, longitude first (RFC 7946).
    area: Outline,
    /// A name of the IANA time zone database, such as `Europe/Vienna`.
    #[schemars(regex(pattern = r"^[A-Za-z0-9_+-]+(/[A-Za-z0-9_+-]+)*$"))]
    time_zone: String,
}

/// Somebody to ask or to call; a link, a number or an address is needed.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("anyOf" = [{"required": ["link"]}, {"required": ["phone"]}, {"required": ["email"]}]))]
pub(super) struct Contact {
    /// The name.
    name: SomeTexts,
    /// A web page.
    link: Option<Words>,
    /// A telephone number.
    phone: Option<Words>,
    /// An address for letters by electronic mail.
    email: Option<Words>,
    /// The id of the source these facts were read in.
    source: Option<String>,
}

/// An act or page that rules come from.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Source {
    /// A short name, such as `act`.
    id: Id,
    /// The title of the act or page.
    title: Words,
    /// Whether it is the law itself or somebody's account of it.
    kind: SourceKind,
    /// How it is cited.
    citation: Option<Words>,
    /// The article.
    article: Option<Words>,
    /// Where it can be read.
    link: Option<Words>,
    /// Its European Legislation Identifier, or a `urn:lex:`.
    eli: Option<Words>,
    /// The day it was issued.
    issued: Option<Day>,
    /// The day somebody last looked.
    checked: Option<Day>,
    /// Its language.
    language: Option<Words>,
    /// What should be known about how it was read.
    note: Option<Words>,
}

/// A set of fungi that rules refer to.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct TaxonSet {
    /// Its name.
    names: Option<Texts>,
    /// Who belongs to it.
    #[schemars(length(min = 1))]
    members: Vec<Taxon>,
    /// Whether "similar ones" may belong to it too; what is not named is then not known.
    open: Option<bool>,
}

/// One fungus of a set.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Taxon {
    /// The name as the law has it, such as `Boletus edulis`.
    #[schemars(regex(pattern = r"^ *[^ a-z]"))]
    scientific_name: String,
    /// Whether it names a species or all species of a genus; told by the name, if left out.
    rank: Option<Rank>,
}

/// Public holidays, and the time for which the list is whole.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Holidays {
    /// The first day for which the list is whole.
    from: Day,
    /// The last one.
    to: Day,
    /// The holidays.
    dates: Vec<Day>,
}

/// A question that the book asks of itself.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Example {
    /// What is asked.
    ask: Question,
    /// The answer its writer expects.
    expect: Expected,
}

/// Where, when and for whom is asked; who is not told is not known.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Question {
    /// The id of a zone that the stand lies in.
    zone: Option<String>,
    /// The ids of several.
    zones: Option<Vec<String>>,
    /// The day.
    day: Day,
    /// The time on the region's clock.
    time: Option<TimeOfDay>,
    /// Lives in the place that the rules mean.
    resident: Option<bool>,
    /// Holds the permit.
    permit: Option<bool>,
    /// Owns the land.
    owner: Option<bool>,
    /// Has the owner's consent.
    consent: Option<bool>,
    /// Collects for sale.
    commercial: Option<bool>,
    /// Comes with an adult.
    escorted: Option<bool>,
    /// Age in years.
    #[schemars(range(min = 0, max = 120))]
    age: Option<u32>,
    /// How many come together.
    #[schemars(range(min = 1, max = 1000))]
    party: Option<u32>,
    /// Whether they are one family.
    family: Option<bool>,
}

/// The answers there are, worst first.
#[derive(JsonSchema)]
#[schemars(rename_all = "snake_case")]
pub(super) enum Expected {
    /// Collecting is forbidden.
    Closed,
    /// The harvest is over a limit.
    Over,
    /// Gear or party break a rule.
    Breach,
    /// A permit, consent or escort is needed first.
    Need,
    /// Not known.
    NotKnown,
    /// Limits or duties hold.
    Limits,
    /// Checked, and no rule found.
    NoRule,
    /// A written rule sets no limit.
    Free,
}
