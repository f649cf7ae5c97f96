//! Which answers are possible once what is not known becomes known. In goes a law with a stand's memberships, out
//! come the answers; learning a fact only picks among them.

use super::book::{Question, RuleBook};
use super::condition::Who;
use super::kind::Provision;
use super::law::{Law, truth_of, with_truth};
use super::verdict::Answer;
use super::zone::{Extent, Membership, Part};
use crate::order;
use crate::units::{Truth, Years};
use crate::visit::Visit;

/// With more combinations than this nothing is ruled out.
const MOST_COMBINATIONS: usize = 800;

/// One thing that a visitor may yet tell.
type Telling = Box<dyn Fn(&Visit) -> Visit>;

/// Every answer that is possible, worst first, `now` among them.
pub(super) fn possible(law: &Law<'_>, memberships: &[&Membership], now: Answer) -> Vec<Answer> {
    let books: Vec<&RuleBook> = law.books.iter().map(|on_day| on_day.book).collect();
    let Some(own) = law
        .books
        .iter()
        .map(|on_day| law.membership(on_day, memberships))
        .collect::<Option<Vec<&Membership>>>()
    else {
        return vec![now];
    };
    let Some(visits) = visits(law, &books) else {
        return Answer::ALL.to_vec();
    };
    let Some(places) = places(&books, &own, visits.len()) else {
        return Answer::ALL.to_vec();
    };
    let Some(circumstances) = circumstances(law, visits.len() * places.len()) else {
        return Answer::ALL.to_vec();
    };
    let mut found = vec![now];
    for visit in &visits {
        for assumed in &circumstances {
            let law = Law::at(&books, visit, &law.gear, law.place)
                .among(law.places)
                .assuming(assumed);
            for place in &places {
                let place: Vec<&Membership> = place.iter().collect();
                found.push(law.answer(&place));
            }
        }
    }
    order::naturally(&mut found);
    found.dedup();
    found
}

/// How the conditions of one rule each on gear and harvest may stand.
type Assumed = Vec<((usize, usize), Truth)>;

/// Every way in which the conditions of rules on gear and harvest may turn out, still untold among them. What is known
/// stays as it is.
fn circumstances(law: &Law<'_>, others: usize) -> Option<Vec<Assumed>> {
    let (untold, known): (Assumed, Assumed) = law
        .circumstances()
        .into_iter()
        .partition(|(_, so)| *so == Truth::NotKnown);
    let mut all = vec![known];
    for (at, _) in untold {
        if all.len() * 3 * others > MOST_COMBINATIONS {
            return None;
        }
        all = all
            .into_iter()
            .flat_map(|assumed| {
                [Truth::True, Truth::False, Truth::NotKnown].map(|truth| {
                    let mut assumed = assumed.clone();
                    assumed.push((at, truth));
                    assumed
                })
            })
            .collect();
    }
    Some(all)
}

/// Every visitor this one may turn out to be, some things still untold among them.
fn visits(law: &Law<'_>, books: &[&RuleBook]) -> Option<Vec<Visit>> {
    let mut visits = vec![law.visit.clone()];
    for question in law.questions() {
        let options: Vec<Telling> = match truth_of(&law.visit, question) {
            Some(Truth::NotKnown) => [Truth::True, Truth::False, Truth::NotKnown]
                .into_iter()
                .map(|truth| Box::new(move |visit: &Visit| with_truth(visit, question, truth)) as Telling)
                .collect(),
            Some(_) => continue,
            None => numbers(law, books, question)
                .into_iter()
                .map(|number| Box::new(move |visit: &Visit| with_number(visit, question, number)) as Telling)
                .collect(),
        };
        if options.is_empty() {
            continue;
        }
        if visits.len() * options.len() > MOST_COMBINATIONS {
            return None;
        }
        visits = visits
            .iter()
            .flat_map(|visit| options.iter().map(move |option| option(visit)))
            .collect();
    }
    Some(visits)
}

/// The ages or party sizes that rules tell apart: each bound and its neighbour, and untold.
fn numbers(law: &Law<'_>, books: &[&RuleBook], question: Question) -> Vec<Option<u32>> {
    let told = match question {
        Question::Age => law.visit.visitor.age.is_some(),
        _ => law.visit.visitor.party.is_some(),
    };
    if told {
        return Vec::new();
    }
    let mut numbers: Vec<Option<u32>> = vec![None];
    for rule in books.iter().flat_map(|book| &book.rules) {
        let mut bounds: Vec<Option<u32>> = Vec::new();
        match question {
            Question::Age => {
                let among: &[Who] = match &rule.provision {
                    Provision::WhoMay { only } => only,
                    _ => &[],
                };
                for who in std::iter::once(&rule.who).chain(among) {
                    bounds.extend([who.younger_than, who.at_least]);
                }
                if let Provision::Minor { below, .. } = rule.provision {
                    bounds.push(Some(below));
                }
            }
            _ => {
                let above = [
                    rule.party.more_than,
                    rule.party.at_most,
                    match rule.provision {
                        Provision::GroupSize { largest, .. } => Some(largest),
                        Provision::GroupQuota { more_than, .. } => Some(more_than.unwrap_or(1)),
                        _ => None,
                    },
                ];
                bounds.extend(above.map(|bound| bound.map(|bound| bound + 1)));
            }
        }
        for bound in bounds.into_iter().flatten() {
            numbers.extend([Some(bound), Some(bound.saturating_sub(1))]);
        }
    }
    order::naturally(&mut numbers);
    numbers.dedup();
    numbers
}

fn with_number(visit: &Visit, question: Question, number: Option<u32>) -> Visit {
    let mut visit = visit.clone();
    match question {
        Question::Age => visit.visitor.age = number.and_then(|age| Years::new(f64::from(age)).ok()),
        _ => visit.visitor.party = number,
    }
    visit
}

/// Every place this stand may turn out to be: each zone that depends on a value the map does not give, in or out or
/// still not known.
fn places(books: &[&RuleBook], memberships: &[&Membership], visits: usize) -> Option<Vec<Vec<Membership>>> {
    let mut places: Vec<Vec<Membership>> = vec![
        memberships
            .iter()
            .map(|membership| (*membership).clone())
            .collect(),
    ];
    for (b, (book, membership)) in books.iter().zip(memberships).enumerate() {
        for (z, zone) in book.zones.iter().enumerate() {
            let base = matches!(
                zone.extent,
                Extent::Attribute(_) | Extent::Outline(_) | Extent::Near(_)
            );
            if !base || membership.zone(z).touches() != Truth::NotKnown {
                continue;
            }
            if places.len() * 3 * visits > MOST_COMBINATIONS {
                return None;
            }
            places = places
                .into_iter()
                .flat_map(|place| {
                    [Part::WHOLE, Part::NONE, Part::NOT_KNOWN].map(|part| {
                        let mut place = place.clone();
                        if let Some(own) = place.get_mut(b) {
                            let mut set: Vec<(usize, Part)> = own.zones.iter().copied().enumerate().collect();
                            set.retain(|(zone, _)| *zone != z);
                            set.push((z, part));
                            *own = book.with_zones(own, &set);
                        }
                        place
                    })
                })
                .collect();
        }
    }
    Some(places)
}
