//! How full one limit is: what of the basket counts against it, exactly, and what cannot be counted. In go a limit and a
//! basket, out comes a [`Fill`].

use rust_decimal::Decimal;

use super::super::amount::Dimension;
use super::super::kind::{Provision, Span};
use super::super::verdict::{Limit, RuleAt, Verdict};
use super::kinds::belongs;
use super::{Bench, Fill, Level, NotCounted, Taken, bears};
use crate::units::Truth;

/// What a basket comes to against a limit, in base units (grams, litres, pieces).
struct Count {
    /// What counts for certain.
    sure: Decimal,
    /// What may count.
    maybe: Decimal,
    /// What could not be counted, and whether an amount for it is known at all.
    left_out: Vec<(usize, NotCounted)>,
    /// Something counts, or may, of which the amount is not known.
    unmeasured: bool,
}

impl Taken {
    /// How much of it there is in a measure: grams, litres or pieces; `None` where that was not told.
    pub(super) fn amount_in(&self, dimension: Dimension) -> Option<Decimal> {
        match dimension {
            Dimension::Mass => self.mass.as_ref().map(|mass| mass.in_base()),
            Dimension::Volume => self.volume.as_ref().map(|volume| volume.in_base()),
            Dimension::Pieces => self.pieces.map(Decimal::from),
        }
    }

    /// The measure in which it was told, if any.
    fn told_in(&self) -> Option<Dimension> {
        [Dimension::Mass, Dimension::Volume, Dimension::Pieces]
            .into_iter()
            .find(|dimension| self.amount_in(*dimension).is_some())
    }
}

impl Bench<'_, '_> {
    /// One limit with what of the basket counts against it; `None` where its rule is not there.
    pub(super) fn fill(&self, limit: &Limit, verdict: &Verdict, basket: &[Taken]) -> Option<Fill> {
        let at = limit.rules.first()?;
        let count = self.count(limit, at, basket)?;
        let bound = limit.amount.in_base();
        let (level, excepted) = if count.sure > bound {
            match self.exception(at, limit, verdict, basket) {
                (Truth::True, by) => (Level::Full, by),
                (Truth::NotKnown, _) => (Level::NotKnown, None),
                (Truth::False, _) => (Level::Over, None),
            }
        } else if count.unmeasured || count.sure.saturating_add(count.maybe) > bound {
            (Level::NotKnown, None)
        } else if count.sure == bound && !bound.is_zero() {
            (Level::Full, None)
        } else {
            (Level::Under, None)
        };
        Some(Fill {
            used: limit.amount.unit().of_base(count.sure),
            limit: limit.clone(),
            level,
            excepted,
            left_out: count.left_out,
            before_untold: !matches!(limit.period, Span::Trip | Span::Day),
            presumed: verdict
                .findings()
                .any(|finding| finding.book == at.book && finding.rule == at.rule && finding.presumed),
        })
    }

    fn count(&self, limit: &Limit, at: &RuleAt, basket: &[Taken]) -> Option<Count> {
        let (b, r, book, _) = self.rule(at)?;
        let dimension = limit.amount.dimension();
        let mut count = Count {
            sure: Decimal::ZERO,
            maybe: Decimal::ZERO,
            left_out: Vec::new(),
            unmeasured: false,
        };
        for (place, taken) in basket.iter().enumerate() {
            let counts = belongs(book, limit.taxa.as_ref(), taken).and(self.excused(b, r, taken).not());
            if counts == Truth::False {
                continue;
            }
            let told = taken.amount_in(dimension);
            match (counts, told) {
                (Truth::True, Some(amount)) => count.sure = count.sure.saturating_add(amount),
                (_, Some(amount)) => {
                    count.maybe = count.maybe.saturating_add(amount);
                    count.left_out.push((place, NotCounted::MayBelong));
                }
                (_, None) => {
                    count.unmeasured = true;
                    let why = taken
                        .told_in()
                        .map_or(NotCounted::NoAmount, NotCounted::OtherMeasure);
                    count.left_out.push((place, why));
                }
            }
        }
        Some(count)
    }

    /// Whether one big fruit body, or one clump, may be more than the limit, and by which rule.
    ///
    /// With `alone` it must be all there is in the basket; else the rest must keep to the limit. Which fruit body is the
    /// big one shows only where it was told as a single piece, a clump only where it was told as one.
    fn exception(
        &self,
        at: &RuleAt,
        limit: &Limit,
        verdict: &Verdict,
        basket: &[Taken],
    ) -> (Truth, Option<RuleAt>) {
        let mut found = (Truth::False, None);
        for finding in verdict.findings().filter(|finding| bears(finding)) {
            let by = RuleAt {
                book: finding.book,
                rule: finding.rule.clone(),
            };
            let Some((.., rule)) = self.rule(&by) else {
                continue;
            };
            let Provision::OverweightException { alone, clump } = rule.provision else {
                continue;
            };
            if by.book != at.book {
                continue;
            }
            let is_big = |taken: &Taken| -> Truth {
                if clump {
                    taken.clump.into()
                } else {
                    taken.pieces.map(|pieces| pieces == 1).into()
                }
            };
            let holds = basket
                .iter()
                .enumerate()
                .fold(Truth::False, |any, (place, taken)| {
                    let rest = if alone {
                        Truth::from(basket.len() == 1)
                    } else {
                        let others: Vec<Taken> = basket
                            .iter()
                            .enumerate()
                            .filter(|(other, _)| *other != place)
                            .map(|(_, taken)| taken.clone())
                            .collect();
                        self.count(limit, at, &others).map_or(Truth::NotKnown, |count| {
                            let bound = limit.amount.in_base();
                            if count.sure > bound {
                                Truth::False
                            } else if count.unmeasured || count.sure.saturating_add(count.maybe) > bound {
                                Truth::NotKnown
                            } else {
                                Truth::True
                            }
                        })
                    };
                    any.or(is_big(taken).and(rest))
                });
            let holds = holds.and(finding.holds);
            if found.0.or(holds) != found.0 {
                found = (found.0.or(holds), Some(by));
            }
        }
        found
    }
}
