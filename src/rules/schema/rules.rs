//! A rule as a schema has it: the fields of all kinds, and for each kind the object that is named for it.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Value, json};

use super::objects::{BadContainer, Said, Size, said};
use super::words::{Day, DaysOfMonth, Fungi, Id, OneOrMore, SomeTexts, Texts, Weekday, YearWindow};
use crate::rules::days::Parity;
use crate::rules::kind::{Handling, Kind, Tool};

/// The fields that rules of all kinds have.
#[derive(JsonSchema)]
pub(in crate::rules) struct Common {
    /// A short name for it, such as `daily`.
    id: Id,
    /// What it is about. A kind that a version does not know is shown in its words, and the answer is not known.
    kind: String,
    /// What it says, in plain words.
    text: SomeTexts,
    /// The ids of the sources it comes from.
    #[schemars(length(min = 1))]
    sources: Vec<String>,
    /// The ids of the zones it holds in, any of them; everywhere, if left out.
    #[schemars(rename = "where", length(min = 1))]
    place: Option<Vec<String>>,
    /// When it holds.
    when: Option<When>,
    /// For whom it holds.
    who: Option<Who>,
    /// For which parties it holds.
    party: Option<Party>,
    /// The fungi it is about; all, if left out.
    taxa: Option<Fungi>,
    /// For which harvest it holds; it can be told only once there is one.
    harvest: Option<HarvestIs>,
    /// With which gear it holds; it can be told only once that is.
    gear: Option<GearIs>,
    /// First day in force.
    valid_from: Option<Day>,
    /// Last day in force.
    valid_to: Option<Day>,
    /// The rules it takes the place of: `daily`, `kind:hours` for all of a kind, `IT/daily` for another region's rule.
    replaces: Option<Vec<String>>,
    /// The rules it lifts, in an `exemption` only.
    exempts: Option<Vec<String>>,
}

/// When in the year a rule holds: in the window and on the days, as far as either is given.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct When {
    /// One or several windows of the year.
    window: Option<OneOrMore<YearWindow>>,
    /// Days of the month.
    days_of_month: Option<DaysOfMonth>,
    /// Days of the week.
    weekdays: Option<Vec<Weekday>>,
    /// Odd or even days of the month.
    parity: Option<Parity>,
    /// Named days.
    dates: Option<Vec<Day>>,
    /// On public holidays only, or on all other days only.
    holidays: Option<bool>,
}

/// For whom a rule holds: everything given must hold.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct Who {
    /// Lives in the place that the rule means.
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
    /// Of an age.
    age: Option<Age>,
    /// Something else, in words only: nobody can tell whether it holds.
    others: Option<Texts>,
}

/// An age in years.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Age {
    /// Younger than this.
    #[schemars(range(min = 1, max = 120))]
    below: Option<u32>,
    /// This old or older.
    #[schemars(range(min = 1, max = 120))]
    at_least: Option<u32>,
}

/// For which parties a rule holds.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Party {
    /// More persons than this.
    #[schemars(range(min = 0, max = 1000))]
    more_than: Option<u32>,
    /// At most so many.
    #[schemars(range(min = 1, max = 1000))]
    at_most: Option<u32>,
    /// One family, or not.
    family: Option<bool>,
}

/// For which harvest a rule holds: everything given must hold. A rule about some fungi counts those alone.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct HarvestIs {
    /// More than one of these amounts.
    #[schemars(length(min = 1))]
    more_than: Option<Vec<Size>>,
    /// No more than each of these amounts.
    #[schemars(length(min = 1))]
    at_most: Option<Vec<Size>>,
    /// One clump grown together is among it, or none is.
    clump: Option<bool>,
    /// All of it was handled in all of these ways.
    #[schemars(length(min = 1))]
    handled: Option<Vec<Handling>>,
}

/// With which gear a rule holds: everything given must hold.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct GearIs {
    /// The container is one of these.
    #[schemars(length(min = 1))]
    container: Option<Vec<BadContainer>>,
    /// One of these tools is used or carried.
    #[schemars(length(min = 1))]
    tools: Option<Vec<Tool>>,
}

/// A rule: the common fields, and the object named for its kind.
pub(super) struct Rule;

impl JsonSchema for Rule {
    fn schema_name() -> Cow<'static, str> {
        "Rule".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut rule = Common::json_schema(generator);
        rule.insert(
            "description".to_owned(),
            "One rule: the fields of all kinds, and one object named for its kind. It softens another rule only by naming it."
                .into(),
        );
        let words: Vec<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
        if let Some(kind) = rule
            .pointer_mut("/properties/kind")
            .and_then(Value::as_object_mut)
        {
            kind.insert("examples".to_owned(), json!(words));
        }
        let is = |word: &str| json!({"properties": {"kind": {"const": word}}, "required": ["kind"]});
        let mut branches = Vec::new();
        for kind in Kind::ALL {
            let word = kind.word();
            let mut then = match said(*kind, generator) {
                Said::Fields(object) => json!({"properties": {word: object}, "required": [word]}),
                Said::MayHave(object) => json!({"properties": {word: object}}),
                Said::InWords => {
                    json!({"properties": {word: {"type": ["object", "null"], "maxProperties": 0}}})
                }
            };
            if *kind == Kind::Exemption {
                then["properties"]["exempts"] = json!({"minItems": 1});
                then["required"] = json!(["exempts"]);
            }
            branches.push(json!({"if": is(word), "then": then}));
        }
        branches.push(
            json!({"if": {"not": is("exemption")}, "then": {"properties": {"exempts": {"maxItems": 0}}}}),
        );
        // In a rule of the kind `purpose` that name is taken by what the rule says.
        branches.push(json!({
            "if": {"not": is("purpose")},
            "then": {"properties": {"purpose": {
                "description": "Own use, or for sale.", "enum": ["own_use", "commercial", null],
            }}},
        }));
        // What a kind of a newer version says is not known here.
        branches.push(json!({
            "if": {"properties": {"kind": {"not": {"enum": words}}}, "required": ["kind"]},
            "then": {"additionalProperties": true},
        }));
        rule.insert("allOf".to_owned(), Value::Array(branches));
        rule.insert("unevaluatedProperties".to_owned(), false.into());
        rule
    }
}
