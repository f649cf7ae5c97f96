//! The small words of a book as a schema has them: days, amounts, ids, texts by language. What a pattern cannot tell,
//! such as whether 31 April exists, is left to the reader.

use std::collections::BTreeMap;

use schemars::JsonSchema;

/// A calendar day (ISO 8601), such as `2026-09-12`.
#[derive(JsonSchema)]
pub(super) struct Day(
    #[schemars(regex(pattern = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"))] String,
);

/// A day of any year, month first, such as `02-28`.
#[derive(JsonSchema)]
pub(super) struct DayOfYear(
    #[schemars(regex(pattern = r"^(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"))] String,
);

/// A time of day on the region's clock, such as `07:00`; `24:00` ends the day.
#[derive(JsonSchema)]
pub(super) struct TimeOfDay(#[schemars(regex(pattern = r"^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"))] String);

/// A time of day, or one before or after the sun: `07:00`, `sunrise`, `sunset+01:00`.
#[derive(JsonSchema)]
pub(super) struct Clock(
    #[schemars(regex(
        pattern = r"^((([01][0-9]|2[0-3]):[0-5][0-9]|24:00)|(sunrise|sunset)([+-](0[0-9]|1[0-2]):[0-5][0-9])?)$"
    ))]
    String,
);

/// An exact decimal in quotation marks, such as `"0.5"`.
#[derive(JsonSchema)]
pub(super) struct Decimal(#[schemars(regex(pattern = r"^[0-9]+(\.[0-9]+)?$"), length(max = 20))] String);

/// A short name: small letters, digits, `-` and `_`, such as `first-ten`.
#[derive(JsonSchema)]
pub(super) struct Id(#[schemars(regex(pattern = r"^[a-z0-9_-]{1,64}$"))] String);

/// A language tag (BCP 47), such as `de` or `de-CH`.
#[derive(JsonSchema)]
pub(super) struct Language(#[schemars(regex(pattern = r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$"))] String);

/// Plain words of at most 4096 bytes.
#[derive(JsonSchema)]
pub(super) struct Words(#[schemars(length(max = 4096))] String);

/// Plain words by language, such as `{"de": "…", "en": "…"}`; the languages are those of `languages`.
#[derive(JsonSchema)]
#[schemars(extend("propertyNames" = {"pattern": "^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$"}))]
pub(super) struct Texts(BTreeMap<String, NoBlank>);

/// Plain words, at least one of them.
#[derive(JsonSchema)]
pub(super) struct NoBlank(#[schemars(regex(pattern = r"\S"), length(max = 4096))] String);

/// Plain words by language, in one at least.
#[derive(JsonSchema)]
#[schemars(extend("propertyNames" = {"pattern": "^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$"}, "minProperties" = 1))]
pub(super) struct SomeTexts(BTreeMap<String, NoBlank>);

/// One window of the year, first and last day included; it wraps New Year where `from` is the later one.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct YearWindow {
    /// The first day.
    from: DayOfYear,
    /// The last day.
    to: DayOfYear,
}

/// One window of hours, up to and without `to`; it wraps midnight where `from` is the later one.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct HourWindow {
    /// When it begins.
    from: Clock,
    /// When it ends.
    to: Clock,
}

/// One, or a list of several.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum OneOrMore<T> {
    /// One.
    One(T),
    /// Several.
    More(#[schemars(length(min = 1))] Vec<T>),
}

/// Days of the month: `"1-10"`, `"1,15"`, or a list of numbers.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum DaysOfMonth {
    /// Ranges in text.
    Text(
        #[schemars(regex(
            pattern = r"^ *[0-9]{1,2} *(- *[0-9]{1,2} *)?(, *[0-9]{1,2} *(- *[0-9]{1,2} *)?)*$"
        ))]
        String,
    ),
    /// Numbers.
    Numbers(#[schemars(inner(range(min = 1, max = 31)))] Vec<u32>),
}

/// A day of the week.
#[derive(JsonSchema)]
#[schemars(rename_all = "snake_case")]
pub(super) enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

/// A unit of mass, volume or number, as UCUM spells it, brackets left off.
#[derive(JsonSchema)]
pub(super) enum Unit {
    /// Kilogram.
    #[schemars(rename = "kg")]
    Kilogram,
    /// Gram.
    #[schemars(rename = "g")]
    Gram,
    /// Avoirdupois pound.
    #[schemars(rename = "lb_av")]
    Pound,
    /// Litre.
    #[schemars(rename = "L")]
    Liter,
    /// US liquid gallon.
    #[schemars(rename = "gal_us")]
    Gallon,
    /// US liquid quart.
    #[schemars(rename = "qt_us")]
    Quart,
    /// Fruit bodies.
    #[schemars(rename = "piece")]
    Piece,
}

/// A unit of length.
#[derive(JsonSchema)]
pub(super) enum LengthUnit {
    /// Centimetre.
    #[schemars(rename = "cm")]
    Centimetre,
    /// Millimetre.
    #[schemars(rename = "mm")]
    Millimetre,
    /// Inch.
    #[schemars(rename = "in")]
    Inch,
}

/// The fungi a rule is about: the id of a set in `taxa`, or all but those of one.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum Fungi {
    /// The id of a set.
    Set(String),
    /// All but those of a set.
    AllBut(AllBut),
}

/// All fungi but those of a set.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct AllBut {
    /// The id of a set in `taxa`.
    all_but: String,
}
