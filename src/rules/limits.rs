//! Amounts beside amounts: which counts, which is named beside it, which cannot be ordered. In go the grounds of an
//! answer, out come the amounts to keep to; the grounds learn how they stand among each other.
//!
//! Two limits can be ordered only if they measure the same thing (mass, volume, pieces) for the same somebody over the
//! same time and the same fungi; then the lower one counts. All others hold side by side.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::amount::{Amount, Dimension, Unit};
use super::grounds::Ground;
use super::kind::{Counted, Per, Provision, Span};
use super::law::Law;
use super::names::{Rank, Taxa};
use super::verdict::{Limit, RuleAt, Why};
use crate::order;
use crate::units::Truth;

/// What makes two limits comparable.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Measure {
    dimension: Dimension,
    counts: Option<Counted>,
    per: Per,
    period: Span,
    fungi: Fungi,
}

/// The fungi a limit counts, by the number of their set: the same for two books that list the same ones.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Fungi {
    All,
    These(usize),
    AllBut(usize),
}

/// The amounts to keep to, and how the rules that set them stand among each other.
pub(super) fn limits(law: &Law<'_>, grounds: &mut [Ground<'_>]) -> Vec<Limit> {
    order(law, grounds);
    let all_fungi = grounds
        .iter()
        .filter(|ground| keeps(ground) && ground.rule.taxa.is_none() && quota(law, ground).is_some())
        .count();
    if all_fungi > 1 {
        for ground in grounds.iter_mut() {
            let beside = ground.rule.taxa.is_none() && quota(law, ground).is_some();
            if beside && ground.finding.why == Why::Holds {
                ground.finding.why = Why::CannotBeCompared;
            }
        }
    }
    for ground in grounds.iter_mut() {
        let of_some = quota(law, ground).is_some() && ground.rule.taxa.is_some();
        if of_some && ground.finding.why == Why::Holds {
            ground.finding.why = Why::Adds;
        }
    }
    collect(law, grounds)
}

/// One amount that a rule sets.
struct Quota {
    amount: Amount,
    counts: Option<Counted>,
    per: Per,
    period: Span,
}

/// The one amount a rule sets, if it sets one.
fn quota(law: &Law<'_>, ground: &Ground<'_>) -> Option<Quota> {
    let plain = |amount: &Amount, per, period| Quota {
        amount: amount.clone(),
        counts: None,
        per,
        period,
    };
    match &ground.rule.provision {
        Provision::Quantity(quota) => Some(plain(&quota.amount, quota.per, quota.period)),
        Provision::SubLimit { of, amount, .. } => {
            let (per, period) = parent(law, ground, of)?;
            Some(plain(amount, per, period))
        }
        Provision::Count {
            most,
            counts,
            per,
            period,
        } => Some(Quota {
            amount: Amount::read(&most.to_string(), Unit::Piece).ok()?,
            counts: Some(*counts).filter(|counts| *counts != Counted::Pieces),
            per: *per,
            period: *period,
        }),
        Provision::GroupQuota {
            amount,
            each,
            most,
            period,
            ..
        } => {
            let together = if *each {
                // How much it comes to can be told once the number of persons is.
                let all = amount.times(law.visit.visitor.party?);
                match most {
                    Some(most) if all.compare(most) == Some(Ordering::Greater) => most.clone(),
                    _ => all,
                }
            } else {
                amount.clone()
            };
            Some(plain(&together, Per::Group, *period))
        }
        _ => None,
    }
}

/// For whom and over which time the limit counts that another is a part of.
fn parent(law: &Law<'_>, ground: &Ground<'_>, of: &crate::names::RuleId) -> Option<(Per, Span)> {
    match &law.books.get(ground.book)?.book.rule(of)?.provision {
        Provision::Quantity(quota) => Some((quota.per, quota.period)),
        _ => None,
    }
}

/// Whether a limit still counts.
fn keeps(ground: &Ground<'_>) -> bool {
    matches!(
        ground.finding.why,
        Why::Holds | Why::OnlyIf | Why::Adds | Why::CannotBeCompared
    )
}

/// What a set of fungi says: its members in order, and whether there may be more of them.
type Listed<'b> = (Vec<(&'b str, Rank)>, bool);

/// The fungi of each book's sets by number: the same number for sets that list the same ones.
struct Sets {
    numbers: Vec<Vec<usize>>,
}

impl Sets {
    fn of(law: &Law<'_>) -> Sets {
        let mut known: BTreeMap<Listed<'_>, usize> = BTreeMap::new();
        let mut numbers = Vec::with_capacity(law.books.len());
        for on_day in &law.books {
            let mut of_book = Vec::with_capacity(on_day.book.taxa.len());
            for set in &on_day.book.taxa {
                let mut members: Vec<(&str, Rank)> = set
                    .members
                    .iter()
                    .map(|member| (member.scientific_name.as_str(), member.rank))
                    .collect();
                order::naturally(&mut members);
                members.dedup();
                let next = known.len();
                of_book.push(*known.entry((members, set.open)).or_insert(next));
            }
            numbers.push(of_book);
        }
        Sets { numbers }
    }

    fn number(&self, book: usize, taxa: &Taxa) -> Option<usize> {
        self.numbers.get(book)?.get(taxa.set()).copied()
    }
}

fn measure(quota: &Quota, ground: &Ground<'_>, sets: &Sets) -> Option<Measure> {
    Some(Measure {
        dimension: quota.amount.dimension(),
        counts: quota.counts,
        per: quota.per,
        period: quota.period,
        fungi: match &ground.rule.taxa {
            None => Fungi::All,
            Some(taxa @ Taxa::Set(_)) => Fungi::These(sets.number(ground.book, taxa)?),
            Some(taxa @ Taxa::AllBut(_)) => Fungi::AllBut(sets.number(ground.book, taxa)?),
        },
    })
}

/// Marks limits that another limit makes idle: a lower one, or the same in another act. Only a limit that holds for
/// certain and on the whole stand can do so; of each measure only the two lowest of these can, however many there are.
fn order(law: &Law<'_>, grounds: &mut [Ground<'_>]) {
    let sets = Sets::of(law);
    let measured: Vec<(usize, Measure, Amount)> = grounds
        .iter()
        .enumerate()
        .filter(|(_, ground)| keeps(ground))
        .filter_map(|(place, ground)| {
            let quota = quota(law, ground)?;
            Some((place, measure(&quota, ground, &sets)?, quota.amount))
        })
        .collect();
    let surely_whole = |place: usize| {
        grounds
            .get(place)
            .is_some_and(|ground| ground.finding.holds == Truth::True && ground.part.is_whole())
    };
    let mut lowest: BTreeMap<&Measure, Vec<(usize, &Amount)>> = BTreeMap::new();
    for (place, measure, amount) in &measured {
        if !surely_whole(*place) {
            continue;
        }
        let two = lowest.entry(measure).or_default();
        // They come in the order of their places, so that of equal ones the first stays first.
        let at = two
            .iter()
            .filter(|(_, known)| known.in_base() <= amount.in_base())
            .count();
        two.insert(at, (*place, amount));
        two.truncate(2);
    }
    let mut verdicts: Vec<(usize, Why)> = Vec::new();
    for (place, measure, own) in &measured {
        let two = lowest.get(measure).into_iter().flatten();
        let rival = two
            .filter(|(other, _)| other != place)
            .filter_map(|(other, amount)| Some((*other, amount.compare(own)?)))
            // Of equal limits the first one in order stands for all.
            .find(|(other, order)| match order {
                Ordering::Less => true,
                Ordering::Equal => other < place || !surely_whole(*place),
                Ordering::Greater => false,
            })
            .and_then(|(other, order)| Some((grounds.get(other)?, order)));
        if let Some((rival, order)) = rival {
            let by = RuleAt {
                book: rival.finding.book,
                rule: rival.rule.id.clone(),
            };
            verdicts.push((
                *place,
                if order == Ordering::Equal {
                    Why::Same(by)
                } else {
                    Why::Lower(by)
                },
            ));
        }
    }
    for (place, why) in verdicts {
        if let Some(ground) = grounds.get_mut(place) {
            ground.finding.why = why;
        }
    }
}

fn collect(law: &Law<'_>, grounds: &[Ground<'_>]) -> Vec<Limit> {
    let mut limits = Vec::new();
    for ground in grounds.iter().filter(|ground| keeps(ground)) {
        let at = RuleAt {
            book: ground.finding.book,
            rule: ground.rule.id.clone(),
        };
        let same = grounds
            .iter()
            .filter(|other| matches!(&other.finding.why, Why::Same(by) if *by == at))
            .map(|other| RuleAt {
                book: other.finding.book,
                rule: other.rule.id.clone(),
            });
        let rules: Vec<RuleAt> = std::iter::once(at.clone()).chain(same).collect();
        let limit = |amount: Amount, counts, per, period, taxa| Limit {
            amount,
            counts,
            per,
            period,
            taxa,
            of: match &ground.rule.provision {
                Provision::SubLimit { of, .. } => Some(RuleAt {
                    book: ground.finding.book,
                    rule: of.clone(),
                }),
                _ => None,
            },
            either: matches!(ground.rule.provision, Provision::Alternative { .. }),
            rules: rules.clone(),
            holds: ground.finding.holds,
            share_of_stand: ground.part.share(),
            message: ground.finding.message.clone(),
        };
        match &ground.rule.provision {
            Provision::SideBySide { parts, per, period } | Provision::Alternative { parts, per, period } => {
                for (taxa, amount) in parts {
                    limits.push(limit(amount.clone(), None, *per, *period, Some(taxa.clone())));
                }
            }
            _ => limits.extend(quota(law, ground).map(|quota| {
                limit(
                    quota.amount,
                    quota.counts,
                    quota.per,
                    quota.period,
                    ground.rule.taxa.clone(),
                )
            })),
        }
    }
    limits
}
