//! A region's rule book: reading it, and what it says of a stand on a day for a visitor.
//!
//! ```text
//! bytes ─> document ─> reading ──> RuleBook ─┬─> zone: Membership, once a stand
//!                                            └─> law: one day, one visitor ──> Answer, Verdict
//! ```
//!
//! What always holds: silence is never permission; a rule softens another only by naming it; what is not known is not
//! known. Words are left to whoever shows them: a verdict is message keys with arguments, and the books' own texts.

pub mod amount;
pub mod book;
mod calendar;
pub mod circumstance;
pub mod condition;
mod cover;
pub mod days;
mod document;
pub mod examples;
pub mod gear;
mod grounds;
pub mod harvest;
pub mod kind;
pub mod law;
mod limits;
mod listed;
pub mod message;
pub mod mistake;
pub mod names;
pub mod nearness;
mod next;
mod opening;
mod possible;
mod reading;
#[cfg(feature = "schema")]
pub mod schema;
mod sun;
mod survey;
pub mod suspicions;
pub mod verdict;
mod weigh;
pub mod zone;

pub use amount::{Amount, Dimension, Unit};
pub use book::{BookState, Protected, Question, Rule, RuleBook, Source, SourceKind};
pub use calendar::year;
pub use circumstance::{GearIs, HarvestIs};
pub use gear::{Container, Gear};
pub use harvest::{BasketFact, Fill, HarvestCheck, Level, NotCounted, Remark, Taken};
pub use kind::{Act, Kind, Measured, Per, Provision, Span};
pub(crate) use law::visitors_are_too_many;
pub use law::{Law, verdict};
pub use listed::{Listed, protected_from_csv};
pub use message::{Arg, KEYS, Message};
pub use mistake::{Mistake, Severity};
pub use names::{Contact, Taxon, TaxonSet, Texts};
pub use reading::Read;
pub use survey::{NotCompared, Survey, memberships};
pub use suspicions::{BetweenBooks, Checked, check, check_together};
pub use verdict::{Answer, Effect, Finding, Limit, Next, RuleAt, Verdict, Why};
pub use zone::{Membership, Part, Subject};

#[cfg(test)]
mod tests;
