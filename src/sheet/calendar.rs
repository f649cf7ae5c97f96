//! The year of one stand as spans of days: which kinds are in season when, and which poisonous kinds with them. In go a
//! stand and the year of the visit, out come kinds with their spans; which days are closed is `rules`' year, and drawing
//! is left to others.

use std::collections::BTreeMap;

use super::tree::{Text, Tone};
use super::{Asked, kinds};
use crate::day::Day;
use crate::knowledge::CustomStatus;
use crate::names::KindId;
use crate::order;
use crate::potential::kinds::KindHere;
use crate::stand::Stand;
use crate::visit::Visit;

/// So many kinds that are collected are told one by one.
const COLLECTED: usize = 8;
/// So many poisonous kinds; those that are deadly are told all.
const POISONOUS: usize = 6;

/// A kind and its days of one year.
#[derive(Debug, Clone, PartialEq)]
pub struct KindOfYear {
    /// What it is called.
    pub name: Text,
    /// `Kind`, `Poisonous` or `Deadly`.
    pub tone: Tone,
    /// First and last day of each stretch, counted from 0 for 1 January.
    pub spans: Vec<[u16; 2]>,
}

/// The kinds of a stand over one year: those that are collected first, strongest first, then the deadly, then the other
/// poisonous ones.
#[derive(Debug, Clone, PartialEq)]
pub struct KindsOfYear {
    /// The kinds told one by one.
    pub kinds: Vec<KindOfYear>,
    /// How many collected kinds are not told one by one.
    pub more: usize,
    /// How many poisonous kinds are not told one by one.
    pub more_poisonous: usize,
}

/// What fruits when in a stand, in the year of the visit. Empty where there is no such stand.
pub fn kinds_of_year(place: u32, asked: &Asked<'_>) -> KindsOfYear {
    let mut found = Found::default();
    if let Some(stand) = asked.ground.stand(place) {
        for (days, first) in months(stand, asked) {
            let here = asked.ground.kinds_here(stand, &Visit::on(first));
            for kind in &here.in_season {
                found.take(kind, false, days);
            }
            // A double out of its own months is a danger, but not in season.
            for kind in here.poisonous.iter().filter(|kind| !kind.out_of_season) {
                found.take(kind, true, days);
            }
        }
    }
    found.told(asked)
}

/// The stretches of the year over which one month of the tables counts at the stand, with the first day of each.
fn months(stand: &Stand, asked: &Asked<'_>) -> Vec<([u16; 2], Day)> {
    let year = asked.visit.day.year();
    let mut day = asked
        .visit
        .day
        .plus_days(1 - i32::from(asked.visit.day.day_of_year()));
    let mut stretches: Vec<([u16; 2], Day)> = Vec::new();
    let mut last = None;
    let mut number = 0;
    while day.year() == year {
        let month = asked
            .ground
            .season(stand, &Visit::on(day))
            .map_or(day.month(), |season| season.month);
        match stretches.last_mut() {
            Some((days, _)) if last == Some(month) => days[1] = number,
            _ => stretches.push(([number, number], day)),
        }
        last = Some(month);
        number += 1;
        day = day.next();
    }
    stretches
}

/// The kinds met so far: how well the stand suits them, whether they are dangers, their days.
#[derive(Default)]
struct Found {
    kinds: BTreeMap<KindId, (f64, bool, Vec<[u16; 2]>)>,
}

impl Found {
    fn take(&mut self, kind: &KindHere, danger: bool, days: [u16; 2]) {
        let (suits, is_danger, spans) =
            self.kinds
                .entry(kind.kind.clone())
                .or_insert((kind.suits, danger, Vec::new()));
        *suits = suits.max(kind.suits);
        *is_danger |= danger;
        match spans.last_mut() {
            Some(last) if last[1] + 1 == days[0] => last[1] = days[1],
            _ => spans.push(days),
        }
    }

    fn told(self, asked: &Asked<'_>) -> KindsOfYear {
        let fungi = &asked.ground.knowledge.fungi;
        let wish = asked.wish.map(|kind| &kind.id);
        let mut all: Vec<_> = self
            .kinds
            .into_iter()
            .filter_map(|(id, (suits, danger, spans))| Some((fungi.kind(&id)?, suits, danger, spans)))
            .collect();
        order::by(&mut all, |a, b| {
            let wished = |kind: &KindId| wish == Some(kind);
            (a.2.cmp(&b.2))
                .then(wished(&b.0.id).cmp(&wished(&a.0.id)))
                .then(if a.2 {
                    b.0.status.cmp(&a.0.status)
                } else {
                    std::cmp::Ordering::Equal
                })
                .then(b.1.total_cmp(&a.1))
                .then_with(|| a.0.id.cmp(&b.0.id))
        });
        let (mut collected, mut poisonous) = (0, 0);
        let mut told = KindsOfYear {
            kinds: Vec::new(),
            more: 0,
            more_poisonous: 0,
        };
        for (kind, _, danger, spans) in all {
            let tone = match (danger, kind.status) {
                (false, _) => Tone::Kind,
                (true, CustomStatus::Deadly) => Tone::Deadly,
                (true, _) => Tone::Poisonous,
            };
            let shown = match tone {
                Tone::Deadly => true,
                Tone::Kind => collected < COLLECTED,
                _ => poisonous < POISONOUS,
            };
            if danger {
                poisonous += 1;
                told.more_poisonous += usize::from(!shown);
            } else {
                collected += 1;
                told.more += usize::from(!shown);
            }
            if shown {
                told.kinds.push(KindOfYear {
                    name: kinds::name(kind, asked),
                    tone,
                    spans,
                });
            }
        }
        told
    }
}
