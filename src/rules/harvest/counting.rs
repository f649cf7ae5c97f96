//! How full one limit is: what of the basket counts against it, exactly, and what cannot be counted. In go a limit and a
//! basket, out comes a [`Fill`].

use rust_decimal::Decimal;

use super::super::amount::{Amount, Dimension};
use super::super::kind::{Counted, Provision, Span};
use super::super::names::Taxa;
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
            // Sizes are no part of how much there is.
            Dimension::Length => None,
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
    /// One limit with what of the basket counts against it; `None` where its rule is not there, or where it counts days,
    /// of which a basket knows nothing.
    pub(super) fn fill(&self, limit: &Limit, verdict: &Verdict, basket: &[Taken]) -> Option<Fill> {
        let at = limit.rules.first()?;
        let count = match limit.counts {
            None | Some(Counted::Pieces) => self.count(limit, at, basket)?,
            Some(Counted::Days) => return None,
            Some(Counted::Kinds) => self.kinds(limit, at, basket)?,
            Some(Counted::PiecesOfEachKind) => self.most_of_one_kind(limit, at, basket)?,
        };
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
        // Where the law has "or" and does not say whether the amounts add up, a basket with several of them is open.
        let mixed = limit.either
            && level != Level::Over
            && !count.sure.is_zero()
            && verdict.limits.iter().any(|other| {
                other.either
                    && other.rules == limit.rules
                    && other.taxa != limit.taxa
                    && self
                        .count(other, at, basket)
                        .is_some_and(|count| !count.sure.is_zero() || count.unmeasured)
            });
        let level = if mixed { Level::NotKnown } else { level };
        Some(Fill {
            used: limit.amount.unit().of_base(count.sure),
            limit: limit.clone(),
            level,
            excepted,
            left_out: count.left_out,
            before_untold: !matches!(limit.period, Span::Trip | Span::Day)
                && !basket.iter().any(|taken| taken.earlier == Some(limit.period)),
            presumed: verdict
                .findings()
                .any(|finding| finding.book == at.book && finding.rule == at.rule && finding.presumed),
        })
    }

    /// How many different kinds there are. Things under one name are one kind.
    fn kinds(&self, limit: &Limit, at: &RuleAt, basket: &[Taken]) -> Option<Count> {
        let one_each: Vec<Taken> = basket
            .iter()
            .enumerate()
            .map(|(place, taken)| {
                let again = basket.iter().take(place).any(|other| same_kind(other, taken));
                Taken {
                    pieces: Some(u32::from(!again)),
                    ..taken.clone()
                }
            })
            .collect();
        self.count(limit, at, &one_each)
    }

    /// The kind of which there is most.
    fn most_of_one_kind(&self, limit: &Limit, at: &RuleAt, basket: &[Taken]) -> Option<Count> {
        let counts: Option<Vec<Count>> = basket
            .iter()
            .map(|kind| {
                let of_kind: Vec<Taken> = basket
                    .iter()
                    .map(|taken| {
                        if same_kind(taken, kind) {
                            taken.clone()
                        } else {
                            Taken {
                                pieces: Some(0),
                                ..taken.clone()
                            }
                        }
                    })
                    .collect();
                self.count(limit, at, &of_kind)
            })
            .collect();
        counts?
            .into_iter()
            .max_by_key(|count| (count.sure.saturating_add(count.maybe), count.unmeasured))
            .or_else(|| self.count(limit, at, basket))
    }

    /// Whether a rule asks for a permit only above some amounts, and the basket keeps to all of them for certain. What
    /// was taken before in a longer time has to be told for that.
    pub(super) fn keeps_below(&self, book: usize, rule: usize, basket: &[Taken]) -> bool {
        let known = self.law.books.get(book);
        let Some(Provision::Permit { above, .. }) = known
            .and_then(|on_day| on_day.book.rules.get(rule))
            .map(|rule| &rule.provision)
        else {
            return false;
        };
        !above.is_empty()
            && above.iter().all(|threshold| {
                let told = matches!(threshold.period, Span::Trip | Span::Day)
                    || basket.iter().any(|taken| taken.earlier == Some(threshold.period));
                told && self
                    .amounts(book, rule, &threshold.amount, threshold.period, None, basket)
                    .is_some_and(|count| {
                        let most = count.sure.saturating_add(count.maybe);
                        !count.unmeasured && most <= threshold.amount.in_base()
                    })
            })
    }

    fn count(&self, limit: &Limit, at: &RuleAt, basket: &[Taken]) -> Option<Count> {
        let (b, r, ..) = self.rule(at)?;
        self.amounts(b, r, &limit.amount, limit.period, limit.taxa.as_ref(), basket)
    }

    /// What of a basket counts for a rule: of these fungi, in this amount's measure, over this time.
    fn amounts(
        &self,
        b: usize,
        r: usize,
        amount: &Amount,
        period: Span,
        taxa: Option<&Taxa>,
        basket: &[Taken],
    ) -> Option<Count> {
        let book = self.law.books.get(b)?.book;
        let dimension = amount.dimension();
        let mut count = Count {
            sure: Decimal::ZERO,
            maybe: Decimal::ZERO,
            left_out: Vec::new(),
            unmeasured: false,
        };
        for (place, taken) in basket.iter().enumerate() {
            // What was taken earlier counts only over a time that holds it.
            if taken.earlier.is_some_and(|span| span > period) {
                continue;
            }
            let counts = belongs(book, taxa, taken).and(self.excused(b, r, taken).not());
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
            let Provision::OverweightException {
                alone,
                clump,
                specimen,
                adds,
            } = rule.provision
            else {
                continue;
            };
            if by.book != at.book {
                continue;
            }
            let is_big = |taken: &Taken| -> Truth {
                let as_clump = Truth::from(clump).and(taken.clump.into());
                let as_specimen = Truth::from(specimen).and(taken.pieces.map(|pieces| pieces == 1).into());
                as_clump.or(as_specimen)
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
                            let anything = !count.sure.is_zero() || !count.maybe.is_zero();
                            if anything && !adds {
                                // The law does not say whether the big one comes on top of the rest.
                                Truth::NotKnown
                            } else if count.sure > bound {
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

/// Whether two things in a basket go under one kind.
fn same_kind(one: &Taken, other: &Taken) -> bool {
    match (&one.kind, &other.kind) {
        (Some(one), Some(other)) => one == other,
        _ => one.name == other.name,
    }
}
