//! Amounts beside amounts: which counts, which is named beside it, which cannot be ordered. In go the grounds of an
//! answer, out come the amounts to keep to; the grounds learn how they stand among each other.
//!
//! Two limits can be ordered only if they measure the same thing (mass, volume, pieces) for the same somebody over the
//! same time and the same fungi; then the lower one counts. All others hold side by side.

use std::cmp::Ordering;

use super::grounds::Ground;
use super::kind::{Per, Provision, Span};
use super::law::Law;
use super::names::{Rank, Taxa};
use super::verdict::{Limit, RuleAt, Why};
use crate::units::Truth;

/// What makes two limits comparable.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Measure {
    dimension: super::amount::Dimension,
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
        .filter(|ground| keeps(ground) && ground.rule.taxa.is_none() && quota(ground).is_some())
        .count();
    if all_fungi > 1 {
        for ground in grounds.iter_mut() {
            let beside = ground.rule.taxa.is_none() && quota(ground).is_some();
            if beside && ground.finding.why == Why::Holds {
                ground.finding.why = Why::CannotBeCompared;
            }
        }
    }
    for ground in grounds.iter_mut() {
        let part_of = matches!(ground.rule.provision, Provision::SubLimit { .. });
        let of_some = quota(ground).is_some() && ground.rule.taxa.is_some();
        if (part_of || of_some) && ground.finding.why == Why::Holds {
            ground.finding.why = Why::Adds;
        }
    }
    collect(law, grounds)
}

fn quota<'g>(ground: &'g Ground<'_>) -> Option<&'g super::kind::Quota> {
    match &ground.rule.provision {
        Provision::Quantity(quota) => Some(quota),
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
    let quota = quota(ground)?;
    let members = |taxa: &Taxa| {
        let set = law.books.get(ground.book)?.book.taxa.get(taxa.set())?;
        let mut members: Vec<(String, Rank)> = set
            .members
            .iter()
            .map(|member| (member.scientific_name.clone(), member.rank))
            .collect();
        members.sort();
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
        let (Some(own), Some(measured), true) = (quota(ground), measure(law, ground), keeps(ground)) else {
            continue;
        };
        let surely_whole = ground.finding.holds == Truth::True && ground.part.is_whole();
        let rival = grounds
            .iter()
            .enumerate()
            .filter(|(other, rival)| *other != place && keeps(rival) && rival.part.is_whole())
            .filter(|(_, rival)| rival.finding.holds == Truth::True)
            .filter(|(_, rival)| measure(law, rival).is_some_and(|measure| measure == measured))
            .filter_map(|(other, rival)| Some((other, rival, quota(rival)?.amount.compare(&own.amount)?)))
            // Of equal limits the first one in order stands for all.
            .filter(|(other, _, order)| match order {
                Ordering::Less => true,
                Ordering::Equal => *other < place || !surely_whole,
                Ordering::Greater => false,
            })
            .min_by(|(left_place, left, _), (right_place, right, _)| {
                let amount = |ground: &Ground<'_>| quota(ground).map(|quota| quota.amount.in_base());
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
        let limit = |amount: &super::amount::Amount, per, period, taxa, of| Limit {
            amount: amount.clone(),
            per,
            period,
            taxa,
            of,
            rules: rules.clone(),
            holds: ground.finding.holds,
            share_of_stand: ground.part.share(),
            message: ground.finding.message.clone(),
        };
        match &ground.rule.provision {
            Provision::Quantity(quota) => {
                limits.push(limit(
                    &quota.amount,
                    quota.per,
                    quota.period,
                    ground.rule.taxa.clone(),
                    None,
                ));
            }
            Provision::SubLimit { of, amount, .. } => {
                let parent = law
                    .books
                    .get(ground.book)
                    .and_then(|on_day| on_day.book.rule(of))
                    .and_then(|parent| match &parent.provision {
                        Provision::Quantity(quota) => Some((quota.per, quota.period)),
                        _ => None,
                    });
                if let Some((per, period)) = parent {
                    let of = RuleAt {
                        book: ground.finding.book,
                        rule: of.clone(),
                    };
                    limits.push(limit(amount, per, period, ground.rule.taxa.clone(), Some(of)));
                }
            }
            Provision::SideBySide { parts, per, period } => {
                for (taxa, amount) in parts {
                    limits.push(limit(amount, *per, *period, Some(taxa.clone()), None));
                }
            }
            _ => {}
        }
    }
    limits
}
