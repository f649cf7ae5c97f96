//! The answer for one stand, one day and one visitor, with everything that led to it. These are plain values; working
//! them out is left to `law`.

use serde::{Serialize, Serializer};

use super::amount::Amount;
use super::kind::{Counted, Kind, Per, Span};
use super::message::Message;
use super::names::Taxa;
use crate::day::{ClockTime, Day};
use crate::names::RuleId;
use crate::units::Truth;

/// The scale of answers, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Answer {
    /// Collecting is forbidden.
    Closed,
    /// The harvest told breaks a limit.
    Over,
    /// Gear or party told break an obligation.
    Breach,
    /// Open only with a permit, consent or escort that is not shown to exist.
    Need,
    /// Not known: ask.
    NotKnown,
    /// Limits or obligations hold.
    Limits,
    /// The authority checked and found no rule.
    NoRule,
    /// A written rule sets no limit.
    Free,
}

impl Answer {
    /// All of them, worst first.
    pub const ALL: [Answer; 8] = [
        Answer::Closed,
        Answer::Over,
        Answer::Breach,
        Answer::Need,
        Answer::NotKnown,
        Answer::Limits,
        Answer::NoRule,
        Answer::Free,
    ];

    /// Its word in files and in the engine's interface.
    pub fn word(self) -> &'static str {
        match self {
            Answer::Closed => "closed",
            Answer::Over => "over",
            Answer::Breach => "breach",
            Answer::Need => "need",
            Answer::NotKnown => "not_known",
            Answer::Limits => "limits",
            Answer::NoRule => "no_rule",
            Answer::Free => "free",
        }
    }

    /// Reads its word.
    pub fn parse(word: &str) -> Option<Answer> {
        Answer::ALL.into_iter().find(|answer| answer.word() == word)
    }

    /// The worse of two.
    pub fn worse(self, other: Answer) -> Answer {
        self.min(other)
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// A rule of one of the books handed in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct RuleAt {
    /// The book, a place in the list handed in.
    pub book: usize,
    /// The rule.
    pub rule: RuleId,
}

/// What a rule does to the answer, if it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Effect {
    /// It forbids collecting.
    Closes,
    /// What was told of gear or party breaks it.
    Breaks,
    /// It asks for a permit, consent or escort first.
    Needs,
    /// It cannot be weighed, so the answer is not known.
    Unsure,
    /// It limits or obliges.
    Limits,
    /// It states that nothing was found.
    FindsNothing,
    /// It sets no limit in so many words.
    Frees,
    /// It forbids some kinds of fungi only.
    ClosesKinds,
    /// It limits or obliges for some kinds of fungi only.
    LimitsKinds,
    /// It would forbid on other days.
    OpenToday,
    /// It lifts other rules.
    Lifts,
    /// It is shown apart: practice, advice, penalties.
    Aside,
}

impl Effect {
    /// The answer it leads to; `None` where it does not speak of the stand as a whole.
    pub fn answer(self) -> Option<Answer> {
        match self {
            Effect::Closes => Some(Answer::Closed),
            Effect::Breaks => Some(Answer::Breach),
            Effect::Needs => Some(Answer::Need),
            Effect::Unsure => Some(Answer::NotKnown),
            Effect::Limits => Some(Answer::Limits),
            Effect::FindsNothing => Some(Answer::NoRule),
            Effect::Frees => Some(Answer::Free),
            _ => None,
        }
    }
}

/// How a rule stands among the others.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case", tag = "why", content = "by")]
pub enum Why {
    /// It holds.
    Holds,
    /// It holds beside others of its kind: both have to be kept.
    Adds,
    /// It holds, and cannot be ordered against another limit: mass against volume, or another span of time.
    CannotBeCompared,
    /// It says the same as this one.
    Same(RuleAt),
    /// This one is lower.
    Lower(RuleAt),
    /// This one takes its place.
    ReplacedBy(RuleAt),
    /// This one lifts it.
    LiftedBy(RuleAt),
    /// It holds if a condition is met that is not known here.
    OnlyIf,
    /// Not on this day of the year.
    NotToday,
    /// Not before this day.
    NotYetInForce(Day),
    /// Not after this day.
    Ended(Day),
    /// It binds nobody.
    Apart,
}

impl Why {
    /// Its word in files.
    pub fn word(&self) -> &'static str {
        match self {
            Why::Holds => "holds",
            Why::Adds => "adds",
            Why::CannotBeCompared => "cannot be compared",
            Why::Same(_) => "same",
            Why::Lower(_) => "lower",
            Why::ReplacedBy(_) => "replaced by",
            Why::LiftedBy(_) => "lifted by",
            Why::OnlyIf => "only if",
            Why::NotToday => "not today",
            Why::NotYetInForce(_) => "not yet in force",
            Why::Ended(_) => "ended",
            Why::Apart => "apart",
        }
    }
}

/// One rule that concerns the stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The book, a place in the list handed in.
    pub book: usize,
    /// The rule's id; its words, sources and particulars are found there.
    pub rule: RuleId,
    /// What it is about.
    pub kind: Kind,
    /// What it does if it holds.
    pub effect: Effect,
    /// Whether it holds here, on this day, for this visitor.
    pub holds: Truth,
    /// Whether that rests on something presumed until the visitor tells otherwise: an adult, alone, for their own use.
    /// A rule that is presumed not to hold is `NotKnown` here and does not decide.
    pub presumed: bool,
    /// The share of the stand it holds for, 0 to 1, where that is some part of it and known.
    pub share_of_stand: Option<f64>,
    /// How it stands among the others.
    pub why: Why,
    /// Rules that would lift it if a condition were met that is not known: "unless you own the land".
    pub unless: Vec<RuleAt>,
    /// The book is out of date, so the rule may be too.
    pub out_of_date: bool,
    /// What to say of it.
    pub message: Message,
}

/// One amount to keep to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// The amount as the law writes it.
    pub amount: Amount,
    /// What the number of the amount counts, where it is not fruit bodies all together.
    pub counts: Option<Counted>,
    /// For whom it is counted.
    pub per: Per,
    /// Over which time.
    pub period: Span,
    /// The fungi it counts, in the book of the first of `rules`; all, if not told.
    pub taxa: Option<Taxa>,
    /// The limit it is a part of.
    pub of: Option<RuleAt>,
    /// It is one of several amounts of its rule, and the law does not say whether they add up.
    pub either: bool,
    /// The rules that set it: one, or several that say the same.
    pub rules: Vec<RuleAt>,
    /// Whether it holds for certain.
    pub holds: Truth,
    /// The share of the stand it holds for, where that is some part of it and known.
    pub share_of_stand: Option<f64>,
    /// What to say of it.
    pub message: Message,
}

/// When the answer turns from closed to something else, or to closed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Next {
    /// The first day of the new answer.
    pub on: Day,
    /// The time on that day, from the region's clock; midnight where no time was told.
    pub at: Option<ClockTime>,
    /// The new answer.
    pub becomes: Answer,
    /// What to say of it.
    pub message: Message,
}

/// The answer with its grounds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The worst of all findings.
    pub answer: Answer,
    /// Every answer that is possible once what is not known becomes known, worst first, this one among them.
    pub possible: Vec<Answer>,
    /// The answer in one sentence.
    pub headline: Message,
    /// Why the answer is not known, where no rule says so: no book, out of date, silence.
    pub notes: Vec<Message>,
    /// The rules that led to the answer.
    pub decided_by: Vec<Finding>,
    /// All other rules that concern the stand.
    pub others: Vec<Finding>,
    /// The amounts to keep to.
    pub limits: Vec<Limit>,
    /// The share of the stand that is closed, where that is some part of it and known.
    pub closed_share: Option<f64>,
    /// The answer rests on a book that is out of date.
    pub out_of_date: bool,
    /// What comes next.
    pub next: Option<Next>,
    /// The book whose authority to ask, a place in the list handed in.
    pub ask: Option<usize>,
}

impl Verdict {
    /// All rules that concern the stand: first those that decided.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.decided_by.iter().chain(&self.others)
    }

    /// The rules of one kind that hold for certain and are not lifted or replaced.
    pub fn holding(&self, kind: Kind) -> impl Iterator<Item = &Finding> {
        self.findings().filter(move |finding| {
            finding.kind == kind
                && finding.holds == Truth::True
                && !matches!(finding.why, Why::ReplacedBy(_) | Why::LiftedBy(_))
        })
    }
}
