//! Amounts beside amounts: which counts, which is named beside it, which cannot be ordered. In go the grounds of an
//! answer, out come the amounts to keep to; the grounds learn how they stand among each other.
//!
//! Two limits can be ordered only if they measure the same thing (mass, volume, pieces) for the same somebody over the
//! same time and the same fungi; then the lower one counts. All others hold side by side.

use std::cmp::Ordering;

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

/// The fungi a limit counts, the same for two books that list the same ones.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Fungi {
    All,
    These(Vec<(String, Rank)>, bool),
    AllBut(Vec<(String, Rank)>, bool),
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

fn measure(law: &Law<'_>, ground: &Ground<'_>) -> Option<Measure> {
    let quota = quota(law, ground)?;
    let members = |taxa: &Taxa| {
        let set = law.books.get(ground.book)?.book.taxa.get(taxa.set())?;
        let mut members: Vec<(String, Rank)> = set
            .members
            .iter()
            .map(|member| (member.scientific_name.clone(), member.rank))
            .collect();
        order::naturally(&mut members);
        members.dedup();
        Some((members, set.open))
    };
    let fungi = match &ground.rule.taxa {
        None => Fungi::All,
        Some(taxa) => {
            let (members, open) = members(taxa)?;
            match taxa {
                Taxa::Set(_) => Fungi::These(members, open),
                Taxa::AllBut(_) => Fungi::AllBut(members, open),
            }
        }
    };
    Some(Measure {
        dimension: quota.amount.dimension(),
        counts: quota.counts,
        per: quota.per,
        period: quota.period,
        fungi,
    })
}

/// Marks limits that another limit makes idle: a lower one, or the same in another act. Only a limit that holds for
/// certain and on the whole stand can do so.
fn order(law: &Law<'_>, grounds: &mut [Ground<'_>]) {
    let mut verdicts: Vec<(usize, Why)> = Vec::new();
    for (place, ground) in grounds.iter().enumerate() {
        let (Some(own), Some(measured), true) = (quota(law, ground), measure(law, ground), keeps(ground))
        else {
            continue;
        };
        let surely_whole = ground.finding.holds == Truth::True && ground.part.is_whole();
        let rival = grounds
            .iter()
            .enumerate()
            .filter(|(other, rival)| *other != place && keeps(rival) && rival.part.is_whole())
            .filter(|(_, rival)| rival.finding.holds == Truth::True)
            .filter(|(_, rival)| measure(law, rival).is_some_and(|measure| measure == measured))
            .filter_map(|(other, rival)| {
                Some((other, rival, quota(law, rival)?.amount.compare(&own.amount)?))
            })
            // Of equal limits the first one in order stands for all.
            .filter(|(other, _, order)| match order {
                Ordering::Less => true,
                Ordering::Equal => *other < place || !surely_whole,
                Ordering::Greater => false,
            })
            .min_by(|(left_place, left, _), (right_place, right, _)| {
                let amount = |ground: &Ground<'_>| quota(law, ground).map(|quota| quota.amount.in_base());
                amount(left).cmp(&amount(right)).then(left_place.cmp(right_place))
            });
        if let Some((_, rival, order)) = rival {
            let by = RuleAt {
                book: rival.finding.book,
                rule: rival.rule.id.clone(),
            };
            verdicts.push((
                place,
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
            .filter(|other| other.finding.why == Why::Same(at.clone()))
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
