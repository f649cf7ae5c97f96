//! What a basket should tell so that a book's rules can be held against it: amounts in which measures, numbers, sizes,
//! whether something is one clump, whether it was cleaned. In goes a book, out come the facts in a fixed order.

use super::super::amount::{Amount, Dimension};
use super::super::book::RuleBook;
use super::super::circumstance::HarvestIs;
use super::super::kind::{Counted, Duties, Handling, Measured, Provision};
use crate::order;

/// One thing to be told of what was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BasketFact {
    /// Its mass.
    Mass,
    /// Its volume.
    Volume,
    /// How many fruit bodies.
    Pieces,
    /// Width of the smallest cap.
    Cap,
    /// Height of the smallest fruit body.
    Height,
    /// Greatest width of the smallest fruit body.
    Width,
    /// Whether it is one clump grown together.
    Clump,
    /// Whether it was cleaned where it was found.
    Cleaned,
}

impl BasketFact {
    /// Its word in the engine's interface.
    pub fn word(self) -> &'static str {
        match self {
            BasketFact::Mass => "mass",
            BasketFact::Volume => "volume",
            BasketFact::Pieces => "pieces",
            BasketFact::Cap => "cap",
            BasketFact::Height => "height",
            BasketFact::Width => "width",
            BasketFact::Clump => "clump",
            BasketFact::Cleaned => "cleaned",
        }
    }
}

impl RuleBook {
    /// What a basket should tell for this book's rules, each once, in a fixed order.
    pub fn basket_facts(&self) -> Vec<BasketFact> {
        let mut facts: Vec<BasketFact> = self
            .rules
            .iter()
            .flat_map(|rule| of(&rule.provision).into_iter().chain(of_condition(&rule.harvest)))
            .collect();
        order::naturally(&mut facts);
        facts.dedup();
        facts
    }
}

fn measured(amount: &Amount) -> Option<BasketFact> {
    match amount.dimension() {
        Dimension::Mass => Some(BasketFact::Mass),
        Dimension::Volume => Some(BasketFact::Volume),
        Dimension::Pieces => Some(BasketFact::Pieces),
        Dimension::Length => None,
    }
}

fn of_condition(harvest: &HarvestIs) -> Vec<BasketFact> {
    let amounts = harvest.more_than.iter().chain(&harvest.at_most);
    let clump = harvest.clump.map(|_| BasketFact::Clump);
    let cleaned = harvest.handled.contains(&Handling::CleanOnTheSpot);
    amounts
        .filter_map(measured)
        .chain(clump)
        .chain(cleaned.then_some(BasketFact::Cleaned))
        .collect()
}

fn of(provision: &Provision) -> Vec<BasketFact> {
    match provision {
        Provision::Quantity(quota) => measured(&quota.amount).into_iter().collect(),
        Provision::SubLimit { amount, .. } | Provision::GroupQuota { amount, .. } => {
            measured(amount).into_iter().collect()
        }
        Provision::SideBySide { parts, .. } | Provision::Alternative { parts, .. } => {
            parts.iter().filter_map(|(_, amount)| measured(amount)).collect()
        }
        Provision::Permit { above, .. } => above
            .iter()
            .filter_map(|threshold| measured(&threshold.amount))
            .collect(),
        Provision::Count {
            counts: Counted::Pieces | Counted::PiecesOfEachKind,
            ..
        } => vec![BasketFact::Pieces],
        Provision::OverweightException { specimen, clump, .. } => {
            let told = [(*specimen, BasketFact::Pieces), (*clump, BasketFact::Clump)];
            told.into_iter()
                .filter(|(asked, _)| *asked)
                .map(|(_, fact)| fact)
                .collect()
        }
        Provision::MinSize {
            size: Some(_),
            measure,
            clumps_exempt,
        } => {
            let way = match measure {
                Measured::Cap => BasketFact::Cap,
                Measured::Height => BasketFact::Height,
                Measured::Width => BasketFact::Width,
            };
            std::iter::once(way)
                .chain(clumps_exempt.then_some(BasketFact::Clump))
                .collect()
        }
        Provision::Duties(Duties { must, must_not }) => must
            .iter()
            .chain(must_not)
            .filter(|handling| **handling == Handling::CleanOnTheSpot)
            .map(|_| BasketFact::Cleaned)
            .collect(),
        _ => Vec::new(),
    }
}
