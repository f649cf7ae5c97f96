//! The harvest check: what was taken, held against every limit, protection and duty that holds on the stand. In go a law
//! with a stand's memberships and a basket, out comes how full each limit is and what has to be put back. Naming a find
//! is left to whoever found it; words are left to `sheet`.
//!
//! Every sum is exact, and mass, volume and pieces are never turned into one another: what was not told in a limit's own
//! measure is not known to it.

mod asked;
mod condition;
mod counting;
mod kinds;

pub use asked::BasketFact;

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::amount::{Amount, Dimension, Unit};
use super::book::{Rule, RuleBook};
use super::kind::{Act, Duties, Handling, Kind, Measured, Provision, Span};
use super::law::Law;
use super::verdict::{Answer, Effect, Finding, Limit, RuleAt, Verdict, Why};
use super::zone::{Membership, Part};
use crate::names::KindId;
use crate::units::Truth;
use kinds::belongs;

/// One thing in the basket, as far as it was told.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taken {
    /// What the visitor takes it for, as told: a kind's id or a scientific name.
    pub name: String,
    /// The kind, where the table of fungi knows it.
    pub kind: Option<KindId>,
    /// Its mass.
    pub mass: Option<Amount>,
    /// Its volume.
    pub volume: Option<Amount>,
    /// How many fruit bodies.
    pub pieces: Option<u32>,
    /// Width of the smallest cap in centimetres.
    pub cap: Option<Decimal>,
    /// Height of the smallest fruit body in centimetres.
    pub height: Option<Decimal>,
    /// Greatest width of the smallest fruit body in centimetres.
    pub width: Option<Decimal>,
    /// Taken earlier in this span of time, not today: it counts only against limits over that long or longer.
    pub earlier: Option<Span>,
    /// Whether it is one clump grown together.
    pub clump: Option<bool>,
    /// What was done with it: each told or not.
    pub handling: Vec<(Handling, bool)>,
}

/// Why a part of the basket could not be counted against a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NotCounted {
    /// Nothing was told of how much it is.
    NoAmount,
    /// It was told in this measure only, and the limit has another.
    OtherMeasure(Dimension),
    /// It may be one of the kinds that the limit counts.
    MayBelong,
}

/// How a limit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// More than the limit.
    Over,
    /// It cannot be told.
    NotKnown,
    /// The limit exactly.
    Full,
    /// Less than the limit.
    Under,
}

impl Level {
    /// Its word in files and in the engine's interface.
    pub fn word(self) -> &'static str {
        match self {
            Level::Over => "over",
            Level::NotKnown => "not_known",
            Level::Full => "full",
            Level::Under => "under",
        }
    }
}

/// One limit with what of the basket counts against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// The limit.
    pub limit: Limit,
    /// What counts against it for certain, in the limit's own unit.
    pub used: Decimal,
    /// How it stands.
    pub level: Level,
    /// The rule that lets one big fruit body be more than the limit, where it is what keeps this one from being over.
    pub excepted: Option<RuleAt>,
    /// What could not be counted, by places in the basket.
    pub left_out: Vec<(usize, NotCounted)>,
    /// The limit counts over a longer time than a day, and what was taken before is not told.
    pub before_untold: bool,
    /// Only something presumed of the visitor keeps the limit from holding, so it decides nothing.
    pub presumed: bool,
}

impl Fill {
    /// How much of the limit is used, 0 to 1 and above; 1 where nothing may be taken and something was.
    pub fn share(&self) -> f64 {
        use rust_decimal::prelude::ToPrimitive as _;
        let limit = self.limit.amount.value();
        if limit.is_zero() {
            return if self.used.is_zero() { 0.0 } else { 1.0 };
        }
        self.used
            .checked_div(limit)
            .and_then(|share| share.to_f64())
            .unwrap_or(f64::MAX)
    }

    /// How much is too much, in the limit's own unit.
    pub fn excess(&self) -> Option<Decimal> {
        (self.level == Level::Over).then(|| self.used.saturating_sub(self.limit.amount.value()))
    }
}

/// Something in the basket that a rule speaks of.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// Its place in the basket.
    pub entry: usize,
    /// The rule.
    pub rule: RuleAt,
    /// Whether the rule holds for it for certain.
    pub holds: Truth,
}

/// A basket held against the rules.
#[derive(Debug, Clone, PartialEq)]
pub struct HarvestCheck {
    /// The worst that came of stand and basket together.
    pub answer: Answer,
    /// The limits, each with how full it is.
    pub fills: Vec<Fill>,
    /// What must not be taken and has to be put back: protected, closed today, or not on the list of what may be taken.
    pub put_back: Vec<Remark>,
    /// What is smaller than a rule asks.
    pub too_small: Vec<Remark>,
    /// What was not handled as a rule asks.
    pub mishandled: Vec<Remark>,
    /// Places in the basket of what the table of fungi does not know.
    pub unknown: Vec<usize>,
}

/// The rules that bear on a basket, with what they need to be weighed.
struct Bench<'l, 'b> {
    law: &'l Law<'b>,
    memberships: &'l [&'l Membership],
}

/// Holds a basket against a verdict of the same law and stand. Where a rule has a condition on the harvest, the verdict is
/// worked out anew, knowing the basket.
pub fn check(
    law: &Law<'_>,
    memberships: &[&Membership],
    verdict: &Verdict,
    basket: &[Taken],
) -> HarvestCheck {
    if law.asks_for_the_harvest() && !basket.is_empty() {
        let law = law.knowing(basket);
        return held(&law, memberships, &law.verdict(memberships), basket);
    }
    held(law, memberships, verdict, basket)
}

fn held(law: &Law<'_>, memberships: &[&Membership], verdict: &Verdict, basket: &[Taken]) -> HarvestCheck {
    let bench = Bench { law, memberships };
    let fills: Vec<Fill> = verdict
        .limits
        .iter()
        .filter_map(|limit| bench.fill(limit, verdict, basket))
        .collect();
    let put_back = bench.remarks(verdict, basket, |finding, book, rule, taken| {
        let about = belongs(book, rule.taxa.as_ref(), taken);
        match &rule.provision {
            // A list of what may be taken: whatever is not on it stays. Without a set the list is in words.
            Provision::AllowList if rule.taxa.is_some() => about.not(),
            Provision::AllowList => Truth::NotKnown,
            Provision::ProtectedTaxon { forbids } if rule.taxa.is_some() => {
                let stays = |act: &Act| matches!(act, Act::Collect | Act::Own | Act::Carry);
                Truth::from(forbids.iter().any(stays)).and(about)
            }
            _ if rule.taxa.is_some() => {
                Truth::from(matches!(finding.effect, Effect::Closes | Effect::ClosesKinds)).and(about)
            }
            _ => Truth::False,
        }
    });
    let mishandled = bench.remarks(verdict, basket, |_, book, rule, taken| match &rule.provision {
        Provision::Duties(Duties { must, must_not }) => {
            let told = |handling: &Handling, done: bool| taken.handling.contains(&(*handling, done));
            let broken =
                must.iter().any(|asked| told(asked, false)) || must_not.iter().any(|asked| told(asked, true));
            Truth::from(broken).and(belongs(book, rule.taxa.as_ref(), taken))
        }
        _ => Truth::False,
    });
    let too_small = bench.remarks(verdict, basket, |_, book, rule, taken| match &rule.provision {
        Provision::MinSize {
            size,
            measure,
            clumps_exempt,
        } => {
            let in_clump = Truth::from(*clumps_exempt).and(taken.clump.into());
            taken
                .is_smaller(*measure, size.as_ref())
                .and(in_clump.not())
                .and(belongs(book, rule.taxa.as_ref(), taken))
        }
        _ => Truth::False,
    });
    let unknown: Vec<usize> = basket
        .iter()
        .enumerate()
        .filter(|(_, taken)| taken.kind.is_none())
        .map(|(place, _)| place)
        .collect();
    let mut check = HarvestCheck {
        answer: bench.own_answer(verdict, basket),
        fills,
        put_back,
        too_small,
        mishandled,
        unknown,
    };
    check.answer = check.worst();
    check
}

/// A place that nothing is known of but that the largest of the books covers it: for a basket without a stand.
pub fn somewhere(books: &[&RuleBook]) -> Vec<Membership> {
    use geo::Area as _;
    let area = |book: &RuleBook| book.region.area.unsigned_area();
    let largest = books.iter().map(|book| area(book)).fold(0.0, f64::max);
    books
        .iter()
        .map(|book| Membership {
            area: if area(book) >= largest {
                Part::WHOLE
            } else {
                Part::NOT_KNOWN
            },
            zones: vec![Part::NOT_KNOWN; book.zones.len()],
            jointly: false,
        })
        .collect()
}

impl Taken {
    /// Whether it is smaller than a rule asks; not known where it was not measured that way, or the law has the size in
    /// words only.
    fn is_smaller(&self, measure: Measured, least: Option<&Amount>) -> Truth {
        let told = match measure {
            Measured::Cap => self.cap,
            Measured::Height => self.height,
            Measured::Width => self.width,
        };
        match (told, least) {
            (Some(size), Some(least)) => {
                Truth::from(size.saturating_mul(Unit::Centimetre.in_base()) < least.in_base())
            }
            _ => Truth::NotKnown,
        }
    }
}

impl HarvestCheck {
    /// The worst of the stand's own answer and of everything that was found in the basket.
    fn worst(&self) -> Answer {
        let remarks = |list: &[Remark], answer: Answer| {
            list.iter()
                .map(|remark| match remark.holds {
                    Truth::True => answer,
                    _ => Answer::NotKnown,
                })
                .collect::<Vec<_>>()
        };
        let deciding = self.fills.iter().filter(|fill| !fill.presumed);
        let fills = deciding.filter_map(|fill| match (fill.level, fill.limit.holds) {
            (Level::Over, Truth::True) => Some(Answer::Over),
            (Level::Over, Truth::NotKnown) | (Level::NotKnown, _) => Some(Answer::NotKnown),
            _ if fill.before_untold && !fill.used.is_zero() => Some(Answer::NotKnown),
            _ => None,
        });
        let unknown = self.unknown.first().map(|_| Answer::NotKnown);
        fills
            .chain(remarks(&self.put_back, Answer::Closed))
            .chain(remarks(&self.too_small, Answer::Breach))
            .chain(remarks(&self.mishandled, Answer::Breach))
            .chain(unknown)
            .fold(self.answer, Answer::worse)
    }
}

impl Bench<'_, '_> {
    /// The stand's own answer for this basket. A rule that is lifted for a kind says nothing of it, and neither does a
    /// permit that is needed only above amounts to which the basket keeps; so a basket of kinds for which no permit is
    /// needed does not ask for one. What is left may be silence, and that is not known.
    fn own_answer(&self, verdict: &Verdict, basket: &[Taken]) -> Answer {
        let today = basket.iter().filter(|taken| taken.earlier.is_none());
        let answers = today.map(|taken| {
            self.law.answer_without(self.memberships, &|book, rule| {
                self.excused(book, rule, taken) == Truth::True || self.keeps_below(book, rule, basket)
            })
        });
        answers.reduce(Answer::worse).unwrap_or(verdict.answer)
    }

    /// The book and rule of a finding.
    fn rule(&self, at: &RuleAt) -> Option<(usize, usize, &RuleBook, &Rule)> {
        let b = self.law.books.iter().position(|on_day| on_day.place == at.book)?;
        let book = self.law.books.get(b)?.book;
        let r = book.rules.iter().position(|rule| rule.id == at.rule)?;
        Some((b, r, book, book.rules.get(r)?))
    }

    /// Every rule that holds, or may, for every thing in the basket of which it says something.
    fn remarks(
        &self,
        verdict: &Verdict,
        basket: &[Taken],
        says: impl Fn(&Finding, &RuleBook, &Rule, &Taken) -> Truth,
    ) -> Vec<Remark> {
        let mut remarks: BTreeMap<usize, Vec<Remark>> = BTreeMap::new();
        for finding in verdict.findings().filter(|finding| bears(finding)) {
            let at = RuleAt {
                book: finding.book,
                rule: finding.rule.clone(),
            };
            let Some((b, r, book, rule)) = self.rule(&at) else {
                continue;
            };
            for (entry, taken) in basket.iter().enumerate() {
                // What was taken earlier is counted, not looked at.
                if taken.earlier.is_some() {
                    continue;
                }
                let said = says(finding, book, rule, taken);
                let holds = finding.holds.and(self.excused(b, r, taken).not()).and(said);
                if holds != Truth::False {
                    remarks.entry(entry).or_default().push(Remark {
                        entry,
                        rule: at.clone(),
                        holds,
                    });
                }
            }
        }
        remarks.into_values().flatten().collect()
    }

    /// Whether a rule is lifted or replaced for one thing in the basket, by a rule that names it and is about that kind.
    fn excused(&self, book: usize, rule: usize, taken: &Taken) -> Truth {
        let softeners = self
            .law
            .books
            .get(book)
            .and_then(|on_day| on_day.softened_by.get(rule));
        softeners.into_iter().flatten().fold(Truth::False, |any, (b, r)| {
            let Some(on_day) = self.law.books.get(*b) else {
                return any;
            };
            let (Some(softener), Some(today)) = (on_day.book.rules.get(*r), on_day.rules.get(*r)) else {
                return any;
            };
            // Only for certain: what is merely possible lifts nothing.
            let lifts = today.softens(on_day.state) && self.law.part(*b, *r, self.memberships).is_whole();
            if !lifts || softener.taxa.is_none() {
                return any;
            }
            any.or(belongs(on_day.book, softener.taxa.as_ref(), taken))
        })
    }
}

/// Whether a rule bears on a basket: it holds or may, no other took its place, and it is not merely presumed away.
fn bears(finding: &Finding) -> bool {
    finding.holds != Truth::False
        && !finding.presumed
        && finding.kind != Kind::Exemption
        && matches!(
            finding.why,
            Why::Holds | Why::OnlyIf | Why::Adds | Why::CannotBeCompared
        )
}
