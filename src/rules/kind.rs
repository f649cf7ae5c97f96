//! The kinds of rule a book may hold, and what each of them says. These are plain values: reading them is left to
//! `reading`, weighing them to `weigh`.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};

use super::amount::Amount;
use super::condition::Who;
use super::days::DaySet;
use super::names::Taxa;
use crate::day::{ClockTime, Day, YearWindow};
use crate::names::RuleId;

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $word:literal,)*) => {
        /// What a rule is about.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Kind {
            $($(#[$doc])* $name,)*
            /// A kind that this version does not know: its words are shown, and the answer is not known.
            Unheard,
        }

        impl Kind {
            /// Every kind with a name.
            pub const ALL: &[Kind] = &[$(Kind::$name,)*];

            /// The kind's name in a rule book.
            pub fn word(self) -> &'static str {
                match self {
                    $(Kind::$name => $word,)*
                    Kind::Unheard => "unheard",
                }
            }

            /// Reads a kind's name.
            pub fn parse(word: &str) -> Option<Kind> {
                match word {
                    $($word => Some(Kind::$name),)*
                    _ => None,
                }
            }
        }
    };
}

kinds! {
    /// So much per person and day.
    Quantity = "quantity",
    /// A part of another limit for some kinds of fungi together.
    SubLimit = "sub_limit",
    /// Several limits that stand beside each other and add up.
    SideBySide = "side_by_side",
    /// One of several amounts.
    Alternative = "alternative",
    /// A written "no limit", or a written right to collect.
    Unlimited = "unlimited",
    /// So many fruit bodies, or so many different kinds.
    Count = "count",
    /// An amount in words.
    Qualitative = "qualitative",
    /// A share of what stands there must stay.
    FractionLeft = "fraction_left",
    /// One big fruit body may be more than the limit.
    OverweightException = "overweight_exception",
    /// An amount for a group.
    GroupQuota = "group_quota",
    /// The largest group.
    GroupSize = "group_size",
    /// No organised events.
    EventBan = "event_ban",
    /// Days without collecting.
    ClosedDays = "closed_days",
    /// Hours with or without collecting.
    Hours = "hours",
    /// A time of the year with or without collecting.
    Season = "season",
    /// Places without collecting.
    ClosedZone = "closed_zone",
    /// A distance from something.
    Distance = "distance",
    /// Protected kinds.
    ProtectedTaxon = "protected_taxon",
    /// Only the listed kinds.
    AllowList = "allow_list",
    /// A least size.
    MinSize = "min_size",
    /// Stages of growth that stay.
    LifeStage = "life_stage",
    /// What to carry the harvest in.
    Container = "container",
    /// What to collect with.
    Tool = "tool",
    /// How to take a fruit body.
    Method = "method",
    /// What to do with it on the spot.
    Processing = "processing",
    /// Carrying and owning.
    Transport = "transport",
    /// A permit.
    Permit = "permit",
    /// The owner's consent.
    OwnerConsent = "owner_consent",
    /// Who may collect.
    WhoMay = "who_may",
    /// Minors.
    Minor = "minor",
    /// What the harvest is for.
    Purpose = "purpose",
    /// Only kinds that the collector knows.
    Knowledge = "knowledge",
    /// No wilful harm.
    Destruction = "destruction",
    /// No motor vehicles.
    Vehicle = "vehicle",
    /// Closed or changed by announcement.
    Suspension = "suspension",
    /// Lifts named rules.
    Exemption = "exemption",
    /// A practice that binds nobody.
    Tolerance = "tolerance",
    /// Checked, and no rule found.
    NoRule = "no_rule",
    /// Advice, not law.
    Advice = "advice",
    /// What a breach costs.
    Penalty = "penalty",
}

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Whom an amount is counted for.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Per {
    Person,
    Group,
}

/// The time an amount is counted over.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Span {
    Trip,
    Day,
    Week,
    Season,
    Year,
}

/// One amount, counted for somebody over some time.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Quota {
    pub amount: Amount,
    pub per: Per,
    pub period: Span,
}

/// What may be done, or not, with a protected kind.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Act {
    Collect,
    Own,
    Carry,
    Sell,
    Harm,
}

/// What a closed place forbids.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Forbids {
    Collect,
    Enter,
}

/// One end of a window of hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Clock {
    /// A time on the clock of the region.
    At(ClockTime),
    /// So many minutes after sunrise; before it, if negative.
    Sunrise(i16),
    /// So many minutes after sunset; before it, if negative.
    Sunset(i16),
}

/// A window of hours, from its first minute up to, and without, its last. It wraps midnight where `from` is later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct HourWindow {
    pub from: Clock,
    pub to: Clock,
}

/// Times with collecting, or times without.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Openness<W> {
    /// Only within these.
    Open(Vec<W>),
    /// Not within these.
    Closed(Vec<W>),
}

impl<W> Openness<W> {
    /// The times, open or closed.
    pub(super) fn windows(&self) -> &[W] {
        match self {
            Openness::Open(windows) | Openness::Closed(windows) => windows,
        }
    }
}

/// What a container is made of.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Material {
    Wicker,
    Wood,
    Cardboard,
    Paper,
    Cloth,
    Net,
    Metal,
    Plastic,
}

/// What a container is like.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Form {
    Basket,
    Bag,
    Box,
    Bucket,
    Backpack,
}

/// What a container must be, or must not be.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quality {
    /// Keeps its shape.
    Rigid,
    /// Has holes or gaps, so that spores can fall and air can enter.
    Perforated,
    /// Without a closed lid or knot.
    Open,
}

/// A container that a rule means, such as one that may not be used: everything named here at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct BadContainer {
    pub material: Option<Material>,
    pub form: Option<Form>,
    /// `Some(true)`: only if it has no openings; `Some(false)`: only if it has.
    pub closed: Option<bool>,
}

/// Tools that laws name.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Tool {
    Rake,
    Hook,
    Hoe,
    Shovel,
    Trowel,
    Fork,
    Stick,
    Knife,
    Scissors,
}

/// What has to be done with a fruit body, or must not be.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Handling {
    /// Clean it roughly where it was found.
    CleanOnTheSpot,
    /// Keep it so that its kind can still be told.
    KeepWhole,
    /// Cut it in half where it was found.
    Halve,
    /// Cut the stem.
    Cut,
    /// Turn or pull it out whole.
    TakeWhole,
    /// Close the hole again.
    CloseTheHole,
    /// Work it up where it was found.
    Process,
}

/// What an obligation asks, where a rule of some kind carries nothing but obligations.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Duties {
    pub must: Vec<Handling>,
    pub must_not: Vec<Handling>,
}

/// Who or what presumes the owner's consent.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Consent {
    /// It has to be asked for.
    Needed,
    /// It is presumed until a sign says otherwise.
    UntilASign,
    /// It is presumed.
    Presumed,
}

/// What is counted.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counted {
    /// Fruit bodies.
    Pieces,
    /// Fruit bodies of each kind by itself.
    PiecesOfEachKind,
    /// Different kinds of fungi.
    Kinds,
    /// Days of collecting.
    Days,
}

/// Which way a fruit body is measured.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Measured {
    /// Across the cap.
    Cap,
    /// From foot to top.
    Height,
    /// At its widest.
    Width,
}

/// Stages of growth that laws name.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Stage {
    ClosedEgg,
    TooYoung,
    OverRipe,
    Maggoty,
}

/// Groups that a bound on group size may leave out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum GroupKind {
    /// One family.
    Family,
    /// A class with its teachers.
    School,
    /// A mycological society.
    Club,
    /// A guided trip that teaches.
    Course,
    /// Something else: what is told of a party, never what a rule leaves out.
    Other,
}

/// Whose amount the harvest of a minor counts toward.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MinorQuota {
    /// The minor's own.
    Own,
    /// The escort's.
    Shared,
    /// The law does not say.
    NotStated,
}

/// On which side of a distance to keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Keep {
    Within,
    Beyond,
}

/// An amount above which a permit is needed, over some time.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Threshold {
    pub amount: Amount,
    pub period: Span,
}

/// What a rule says, by kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the kinds' own docs say it")]
pub enum Provision {
    Quantity(Quota),
    SubLimit {
        of: RuleId,
        taxa: Taxa,
        amount: Amount,
    },
    SideBySide {
        parts: Vec<(Taxa, Amount)>,
        per: Per,
        period: Span,
    },
    /// One of these amounts; the law does not say whether they add up.
    Alternative {
        parts: Vec<(Taxa, Amount)>,
        per: Per,
        period: Span,
    },
    Unlimited,
    Count {
        most: u32,
        counts: Counted,
        per: Per,
        period: Span,
    },
    Qualitative,
    /// So many parts of so many must stay where they stand.
    FractionLeft {
        parts: u32,
        of: u32,
    },
    OverweightException {
        /// One fruit body may be more than the limit.
        specimen: bool,
        /// One clump may.
        clump: bool,
        /// It must be the whole harvest.
        alone: bool,
        /// It comes on top of the limit.
        adds: bool,
    },
    GroupQuota {
        amount: Amount,
        /// The amount is counted once for each person of the group.
        each: bool,
        /// But never more than this together.
        most: Option<Amount>,
        /// Only for groups of more persons than this.
        more_than: Option<u32>,
        /// Only where the shares cannot be told apart.
        pooled: bool,
        period: Span,
    },
    GroupSize {
        largest: u32,
        except: Vec<GroupKind>,
    },
    /// No organised events.
    EventBan,
    ClosedDays(DaySet),
    Hours {
        openness: Openness<HourWindow>,
        /// What the hours bind; collecting alone, if nothing is named.
        acts: Vec<Act>,
    },
    Season(Openness<YearWindow>),
    ClosedZone {
        forbids: Vec<Forbids>,
    },
    Distance {
        metres: u32,
        keep: Keep,
        /// The zone of all that lies within that distance, a place in the book's list. Without it nobody can tell from
        /// the map, and the rule is one to keep on the spot.
        near: Option<usize>,
    },
    ProtectedTaxon {
        forbids: Vec<Act>,
    },
    /// Nothing but the kinds the rule is about; without kinds, what its words say.
    AllowList,
    MinSize {
        /// At least this; `None` where the law has it in words only.
        size: Option<Amount>,
        measure: Measured,
        clumps_exempt: bool,
    },
    LifeStage {
        forbidden: Vec<Stage>,
    },
    Container {
        required: Vec<Quality>,
        forbidden: Vec<BadContainer>,
        /// No more containers than this for a person.
        most: Option<u32>,
        /// None that holds more than this.
        largest: Option<Amount>,
    },
    Tool {
        forbidden: Vec<Tool>,
        only: Option<Vec<Tool>>,
        carrying: bool,
        /// The blade must be shorter than this.
        blade_below: Option<Amount>,
    },
    Transport {
        /// No more than this on one person or group.
        most: Option<(Amount, Per)>,
        acts: Vec<Act>,
        /// Proof of where it comes from has to be carried.
        proof: bool,
    },
    Permit {
        issuer: Option<super::names::Texts>,
        link: Option<String>,
        price: Option<String>,
        where_to_get: Option<super::names::Texts>,
        /// Not needed while the harvest keeps to all of these; always needed, if empty.
        above: Vec<Threshold>,
    },
    OwnerConsent {
        consent: Consent,
    },
    /// Only who is one of these.
    WhoMay {
        only: Vec<Who>,
    },
    Minor {
        below: u32,
        quota: MinorQuota,
    },
    Purpose {
        own_use_only: bool,
    },
    /// Only kinds that the collector knows.
    Knowledge,
    Duties(Duties),
    /// Closed on days that are announced elsewhere.
    Suspension {
        /// Days announced as closed.
        announced: BTreeSet<Day>,
        /// Until then the list of days is complete.
        known_until: Option<Day>,
        link: Option<String>,
    },
    Exemption,
    Tolerance,
    NoRule,
    Advice,
    Penalty,
    /// The kind's name is known, what it says is shown only: the answer is not known.
    Unweighed,
}
