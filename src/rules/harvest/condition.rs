//! Whether a rule's condition on the harvest holds of a basket. In go the condition and what was taken today, out comes yes,
//! no or not known. Without a basket nothing is known.

use rust_decimal::Decimal;

use super::super::amount::Amount;
use super::super::book::{Rule, RuleBook};
use super::super::circumstance::HarvestIs;
use super::Taken;
use super::kinds::belongs;
use crate::units::Truth;

impl HarvestIs {
    /// Whether it holds of a basket, of the fungi that the rule is about.
    pub(in crate::rules) fn holds_of(&self, book: &RuleBook, rule: &Rule, basket: &[Taken]) -> Truth {
        if self.is_any() {
            return Truth::True;
        }
        if basket.is_empty() {
            return Truth::NotKnown;
        }
        let counted: Vec<(Truth, &Taken)> = basket
            .iter()
            .filter(|taken| taken.earlier.is_none())
            .map(|taken| (belongs(book, rule.taxa.as_ref(), taken), taken))
            .filter(|(counts, _)| *counts != Truth::False)
            .collect();
        let or = |any: Truth, one: Truth| any.or(one);
        let more = self.more_than.iter().map(|bound| is_more(&counted, bound));
        let too_much = self.at_most.iter().map(|bound| is_more(&counted, bound));
        let more = if self.more_than.is_empty() {
            Truth::True
        } else {
            more.fold(Truth::False, or)
        };
        let clumps = counted
            .iter()
            .map(|(counts, taken)| counts.and(taken.clump.into()))
            .fold(Truth::False, or);
        let clump = match self.clump {
            None => Truth::True,
            Some(true) => clumps,
            Some(false) => clumps.not(),
        };
        let handled = self.handled.iter().flat_map(|handling| {
            counted.iter().map(move |(counts, taken)| {
                let told = |done: bool| taken.handling.contains(&(*handling, done));
                let done = match (told(true), told(false)) {
                    (true, false) => Truth::True,
                    (false, true) => Truth::False,
                    _ => Truth::NotKnown,
                };
                counts.not().or(done)
            })
        });
        more.and(too_much.fold(Truth::False, or).not())
            .and(clump)
            .and(handled.fold(Truth::True, Truth::and))
    }
}

/// Whether what counts is more than an amount. What was not told in the amount's own measure may be any amount.
fn is_more(counted: &[(Truth, &Taken)], bound: &Amount) -> Truth {
    let (mut sure, mut most, mut unmeasured) = (Decimal::ZERO, Decimal::ZERO, false);
    for (counts, taken) in counted {
        match taken.amount_in(bound.dimension()) {
            Some(amount) => {
                most = most.saturating_add(amount);
                if *counts == Truth::True {
                    sure = sure.saturating_add(amount);
                }
            }
            None => unmeasured = true,
        }
    }
    if sure > bound.in_base() {
        Truth::True
    } else if unmeasured || most > bound.in_base() {
        Truth::NotKnown
    } else {
        Truth::False
    }
}
