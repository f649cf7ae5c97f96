//! What each kind of rule says, as a schema has it: the object that is named for the kind.

use schemars::{JsonSchema, Schema, SchemaGenerator};

use super::words::{
    Day, DaysOfMonth, Decimal, Fungi, HourWindow, LengthUnit, OneOrMore, Texts, Unit, Weekday, Words,
    YearWindow,
};
use crate::rules::days::Parity;
use crate::rules::kind::{
    Act, Consent, Counted, Forbids, Form, Handling, Kind, Material, Measured, MinorQuota, Per, Quality, Span,
    Stage, Tool,
};

/// What a kind says beside its words.
pub(super) enum Said {
    /// An object that must be there.
    Fields(Schema),
    /// An object that may be left out.
    MayHave(Schema),
    /// Nothing: its words say it.
    InWords,
}

/// What a rule of this kind says.
pub(super) fn said(kind: Kind, generator: &mut SchemaGenerator) -> Said {
    fn of<T: JsonSchema>(generator: &mut SchemaGenerator) -> Said {
        Said::Fields(generator.subschema_for::<T>())
    }
    match kind {
        Kind::Quantity => of::<Quantity>(generator),
        Kind::SubLimit => of::<SubLimit>(generator),
        Kind::SideBySide | Kind::Alternative => of::<Beside>(generator),
        Kind::Count => of::<Count>(generator),
        Kind::FractionLeft => of::<FractionLeft>(generator),
        Kind::OverweightException => of::<OverweightException>(generator),
        Kind::GroupQuota => of::<GroupQuota>(generator),
        Kind::GroupSize => of::<GroupSize>(generator),
        Kind::ClosedDays => of::<ClosedDays>(generator),
        Kind::Hours => of::<Hours>(generator),
        Kind::Season => of::<Season>(generator),
        Kind::ClosedZone => of::<ClosedZone>(generator),
        Kind::Distance => of::<Distance>(generator),
        Kind::ProtectedTaxon => of::<ProtectedTaxon>(generator),
        Kind::MinSize => of::<MinSize>(generator),
        Kind::LifeStage => of::<LifeStage>(generator),
        Kind::Container => of::<Container>(generator),
        Kind::Tool => of::<Tools>(generator),
        Kind::Method | Kind::Processing => of::<Duties>(generator),
        Kind::Transport => of::<Transport>(generator),
        Kind::Permit => of::<Permit>(generator),
        Kind::OwnerConsent => of::<OwnerConsent>(generator),
        Kind::WhoMay => of::<WhoMay>(generator),
        Kind::Minor => of::<Minor>(generator),
        Kind::Purpose => of::<Purpose>(generator),
        Kind::Suspension => Said::MayHave(generator.subschema_for::<Suspension>()),
        Kind::Unlimited
        | Kind::Qualitative
        | Kind::EventBan
        | Kind::AllowList
        | Kind::Knowledge
        | Kind::Destruction
        | Kind::Vehicle
        | Kind::Exemption
        | Kind::Tolerance
        | Kind::NoRule
        | Kind::Advice
        | Kind::Penalty
        | Kind::Unheard => Said::InWords,
    }
}

/// So much for somebody over some time.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Quantity {
    /// How much, the ceiling included.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
    /// For whom it is counted.
    per: Per,
    /// Over which time.
    period: Span,
}

/// A part of another limit, for one set of fungi together.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct SubLimit {
    /// The id of the limit it is a part of.
    of: String,
    /// The fungi that count together.
    taxa: Fungi,
    /// How much.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
}

/// Several amounts, each for some fungi.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Beside {
    /// The amounts.
    #[schemars(length(min = 1))]
    parts: Vec<Part>,
    /// For whom they are counted.
    per: Per,
    /// Over which time.
    period: Span,
}

/// One of several amounts.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Part {
    /// The fungi that count together.
    taxa: Fungi,
    /// How much.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
}

/// A number of fruit bodies, kinds or days.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Count {
    /// At most so many.
    #[schemars(range(min = 0, max = 100_000))]
    most: u32,
    /// What is counted.
    counts: Counted,
    /// For whom.
    per: Per,
    /// Over which time.
    period: Span,
}

/// A share of what stands there must stay.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct FractionLeft {
    /// The share, such as `1/3`.
    #[schemars(regex(pattern = r"^[0-9]+/[0-9]+$"))]
    leave: String,
}

/// What may be more than a limit.
#[derive(JsonSchema)]
#[schemars(rename_all = "snake_case")]
pub(super) enum Trigger {
    /// One fruit body.
    Specimen,
    /// One clump grown together.
    Clump,
}

/// One big fruit body or clump may be more than the limit.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct OverweightException {
    /// Which.
    trigger: OneOrMore<Trigger>,
    /// Whether it must be the whole harvest.
    alone: bool,
    /// Whether it comes on top of the limit.
    adds: Option<bool>,
}

/// An amount for a group.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct GroupQuota {
    /// How much.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
    /// Whether it counts once for each person of the group.
    each: Option<bool>,
    /// With `each`: never more than this together, in the same unit.
    at_most: Option<Decimal>,
    /// Only for groups of more persons than this.
    #[schemars(range(min = 1, max = 1000))]
    more_than: Option<u32>,
    /// Only where the shares cannot be told apart.
    pooled: Option<bool>,
    /// Over which time.
    period: Span,
}

/// Groups that a bound may leave out.
#[derive(JsonSchema)]
#[schemars(rename_all = "snake_case")]
pub(super) enum LeftOut {
    /// One family.
    Family,
    /// A class with its teachers.
    School,
    /// A mycological society.
    Club,
    /// A guided trip that teaches.
    Course,
}

/// The largest group.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct GroupSize {
    /// So many persons at most.
    #[schemars(range(min = 1, max = 1000))]
    largest: u32,
    /// Groups that may be larger.
    #[schemars(length(min = 1))]
    except: Option<Vec<LeftOut>>,
}

/// Days without collecting: a day is closed if any of these names it.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct ClosedDays {
    /// Days of the month.
    days_of_month: Option<DaysOfMonth>,
    /// Days of the week.
    weekdays: Option<Vec<Weekday>>,
    /// Odd or even days of the month.
    parity: Option<Parity>,
    /// Named days.
    dates: Option<Vec<Day>>,
}

/// Hours with or without collecting: `open` or `closed`, one of them.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["open"]}, {"required": ["closed"]}]))]
pub(super) struct Hours {
    /// Only within these.
    open: Option<OneOrMore<HourWindow>>,
    /// Not within these.
    closed: Option<OneOrMore<HourWindow>>,
    /// What the hours bind; collecting alone, if left out.
    #[schemars(length(min = 1))]
    acts: Option<Vec<Act>>,
}

/// A time of the year with or without collecting: `open` or `closed`, one of them.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["open"]}, {"required": ["closed"]}]))]
pub(super) struct Season {
    /// Only within these.
    open: Option<OneOrMore<YearWindow>>,
    /// Not within these.
    closed: Option<OneOrMore<YearWindow>>,
}

/// What a closed place forbids.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct ClosedZone {
    /// Collecting, entering, or both.
    #[schemars(length(min = 1))]
    forbids: Vec<Forbids>,
}

/// A distance to keep: `within` or `beyond`, one of them.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["within"]}, {"required": ["beyond"]}]))]
pub(super) struct Distance {
    /// Keep within so many metres.
    #[schemars(range(min = 1, max = 10_000))]
    within: Option<u32>,
    /// Keep more than so many metres away.
    #[schemars(range(min = 1, max = 10_000))]
    beyond: Option<u32>,
    /// The id of the zone of all that lies within that distance; without it the rule is one to keep on the spot.
    near: Option<String>,
}

/// What may not be done with a protected kind.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct ProtectedTaxon {
    /// What is forbidden.
    #[schemars(length(min = 1))]
    forbids: Vec<Act>,
}

/// A least size.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct MinSize {
    /// At least this; left out where the law has it in words only.
    at_least: Option<Decimal>,
    /// In which unit.
    unit: Option<LengthUnit>,
    /// Which way it is measured.
    measure: Measured,
    /// Whether fruit bodies grown together are left out.
    clumps_exempt: Option<bool>,
}

/// Stages of growth that stay.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct LifeStage {
    /// The stages.
    #[schemars(length(min = 1))]
    forbidden: Vec<Stage>,
}

/// What to carry the harvest in.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct Container {
    /// What it must be; all of it.
    #[schemars(length(min = 1))]
    required: Option<Vec<Quality>>,
    /// What it must not be; none of these.
    forbidden: Option<Vec<BadContainer>>,
    /// No more containers than this for a person.
    #[schemars(range(min = 1, max = 100))]
    most: Option<u32>,
    /// None that holds more than this.
    largest: Option<Size>,
}

/// An amount: what a container holds, or a harvest comes to.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Size {
    /// How much.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
}

/// A container: everything named here at once.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct BadContainer {
    /// What it is made of.
    material: Option<Material>,
    /// What it is like.
    form: Option<Form>,
    /// True: only if it has no openings; false: only if it has.
    closed: Option<bool>,
}

/// What to collect with.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct Tools {
    /// None of these.
    #[schemars(length(min = 1))]
    forbidden: Option<Vec<Tool>>,
    /// Only these; an empty list means none at all.
    only: Option<Vec<Tool>>,
    /// Whether carrying a forbidden tool is forbidden too.
    carrying: Option<bool>,
    /// The blade must be shorter than this.
    blade_below: Option<Length>,
}

/// A length.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Length {
    /// How long.
    amount: Decimal,
    /// In which unit.
    unit: LengthUnit,
}

/// How a fruit body is taken and what is done with it.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub(super) struct Duties {
    /// What has to be done.
    #[schemars(length(min = 1))]
    must: Option<Vec<Handling>>,
    /// What must not be done.
    #[schemars(length(min = 1))]
    must_not: Option<Vec<Handling>>,
}

/// Carrying and owning.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[schemars(extend("dependentRequired" = {"amount": ["unit", "per"], "unit": ["amount", "per"]}))]
pub(super) struct Transport {
    /// No more than this.
    amount: Option<Decimal>,
    /// In which unit.
    unit: Option<Unit>,
    /// On one person or in one group.
    per: Option<Per>,
    /// What is bound.
    #[schemars(length(min = 1))]
    acts: Vec<Act>,
    /// Whether proof of where it comes from has to be carried.
    proof: Option<bool>,
}

/// A permit. Everything may be left out.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Permit {
    /// Who issues it.
    issuer: Option<Texts>,
    /// A page about it.
    link: Option<Words>,
    /// What it costs, in words.
    price: Option<Words>,
    /// Where to get it.
    #[schemars(rename = "where")]
    place: Option<Texts>,
    /// Not needed while the harvest keeps to all of these.
    #[schemars(length(min = 1))]
    above: Option<Vec<Threshold>>,
}

/// An amount over some time.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Threshold {
    /// How much.
    amount: Decimal,
    /// In which unit.
    unit: Unit,
    /// Over which time.
    period: Span,
}

/// The owner's consent.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct OwnerConsent {
    /// Whether it has to be asked for.
    consent: Consent,
}

/// Who may collect.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct WhoMay {
    /// Only who is one of these.
    #[schemars(length(min = 1))]
    only: Vec<super::rules::Who>,
}

/// Minors.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Minor {
    /// Who is younger than this needs an adult.
    #[schemars(range(min = 1, max = 30))]
    below: u32,
    /// Whose amount their harvest counts toward.
    quota: Option<MinorQuota>,
}

/// What the harvest is for.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Purpose {
    /// Own use only.
    only: OwnUse,
}

/// The one purpose a rule may name.
#[derive(JsonSchema)]
#[schemars(rename_all = "snake_case")]
pub(super) enum OwnUse {
    /// For oneself.
    OwnUse,
}

/// Closed on days that are announced elsewhere.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Suspension {
    /// Days announced as closed.
    announced: Option<Vec<Day>>,
    /// Until then the list of days is whole; after it the answer is not known.
    known_until: Option<Day>,
    /// Where it is announced.
    link: Option<Words>,
}
