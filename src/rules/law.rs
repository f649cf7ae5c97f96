//! All books together on one day for one visitor. In go rule books and a visit; then, for each stand, its memberships,
//! and out comes an answer or a whole verdict. Nothing here can fail.
//!
//! What depends on the day and the visitor is worked out once for all stands, what depends on the place once a stand
//! at load; what is left for each distinct set of memberships is a walk over the rules. The order in which books are
//! given does not matter, nor whether one is given twice.

use std::cell::OnceCell;

use super::book::{BookState, Question, RuleBook, RuleRef};
use super::gear::Gear;
use super::verdict::{Answer, Effect, Verdict};
use super::weigh::RuleOnDay;
use super::zone::{Membership, Part};
use crate::units::Truth;
use crate::visit::Visit;

/// All books on one day for one visitor.
pub struct Law<'b> {
    pub(super) books: Vec<BookOnDay<'b>>,
    pub(super) visit: Visit,
    pub(super) gear: Gear,
    /// The same day for every visitor that this one may turn out to be.
    variants: OnceCell<Vec<Law<'b>>>,
}

/// One book on one day for one visitor.
pub(super) struct BookOnDay<'b> {
    /// Its place in the list handed in.
    pub(super) place: usize,
    pub(super) book: &'b RuleBook,
    pub(super) state: BookState,
    pub(super) rules: Vec<RuleOnDay>,
    /// The rules that bear on the answer today, with what they lead to, worst first.
    pub(super) active: Vec<(Answer, usize)>,
    /// For each rule, the rules that replace or lift it, as places of book and rule in the law.
    pub(super) softened_by: Vec<Vec<(usize, usize)>>,
}

/// What came of one stand, short of its grounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outcome {
    pub(super) answer: Answer,
    /// No rule speaks of the stand as a whole; looked for only where nothing worse than "not known" was found.
    pub(super) silent: bool,
    /// A limit may hold, depending on who the visitor is.
    pub(super) may_be_limited: bool,
}

impl<'b> Law<'b> {
    /// All books on the visit's day. An empty list is a law that knows nothing.
    pub fn on(books: &[&'b RuleBook], visit: &Visit) -> Law<'b> {
        Law::with_gear(books, visit, &Gear::default())
    }

    /// The same, with what was told of container, tools and handling.
    pub fn with_gear(books: &[&'b RuleBook], visit: &Visit, gear: &Gear) -> Law<'b> {
        let places: Vec<(usize, &RuleBook)> = books.iter().copied().enumerate().collect();
        Law::build(&places, visit, gear)
    }

    /// The same, each book with its place in the list of memberships.
    fn build(books: &[(usize, &'b RuleBook)], visit: &Visit, gear: &Gear) -> Law<'b> {
        let mut law = Law {
            books: Vec::with_capacity(books.len()),
            visit: visit.clone(),
            gear: gear.clone(),
            variants: OnceCell::new(),
        };
        for (place, book) in books.iter().copied() {
            // The same book twice says nothing new.
            if law
                .books
                .iter()
                .any(|known| std::ptr::eq(known.book, book) || known.book == book)
            {
                continue;
            }
            let rules: Vec<RuleOnDay> = book
                .rules
                .iter()
                .map(|rule| RuleOnDay::of(rule, book, visit, gear))
                .collect();
            let mut active: Vec<(Answer, usize)> = rules
                .iter()
                .enumerate()
                .filter(|(_, rule)| rule.holds() != Truth::False)
                .filter_map(|(place, rule)| Some((rule.effect.answer()?, place)))
                .collect();
            active.sort_unstable();
            law.books.push(BookOnDay {
                place,
                book,
                state: book.state_on(visit.day),
                rules,
                active,
                softened_by: vec![Vec::new(); book.rules.len()],
            });
        }
        law.link();
        law
    }

    /// Notes for each rule which others replace or lift it, today, for this visitor.
    fn link(&mut self) {
        let mut links: Vec<((usize, usize), (usize, usize))> = Vec::new();
        for (b, on_day) in self.books.iter().enumerate() {
            for (r, rule) in on_day.book.rules.iter().enumerate() {
                for reference in rule.replaces.iter().chain(&rule.exempts) {
                    match reference {
                        RuleRef::Here(target) => links.push(((b, *target), (b, r))),
                        RuleRef::Elsewhere { region, rule: id } => {
                            for (other, known) in self.books.iter().enumerate() {
                                if known.book.region.code != *region {
                                    continue;
                                }
                                let target = known.book.rules.iter().position(|rule| rule.id == *id);
                                links.extend(target.map(|target| ((other, target), (b, r))));
                            }
                        }
                    }
                }
            }
        }
        for ((book, rule), by) in links {
            if let Some(list) = self
                .books
                .get_mut(book)
                .and_then(|on_day| on_day.softened_by.get_mut(rule))
            {
                list.push(by);
            }
        }
    }

    /// The answer for a stand, by its memberships in the books' order. Meant for many stands: it builds no grounds.
    pub fn answer(&self, memberships: &[&Membership]) -> Answer {
        let outcome = self.outcome(memberships);
        self.settle(outcome, memberships)
    }

    /// The answer for a stand with all its grounds.
    pub fn verdict(&self, memberships: &[&Membership]) -> Verdict {
        super::grounds::verdict(self, memberships)
    }

    /// Where only silence stands against a limit that some visitors have, every visitor this one may be is tried: if a
    /// limit holds whoever they are, the answer is that limits hold.
    pub(super) fn settle(&self, outcome: Outcome, memberships: &[&Membership]) -> Answer {
        if !(outcome.answer == Answer::NotKnown && outcome.silent && outcome.may_be_limited) {
            return outcome.answer;
        }
        let variants = self.variants();
        let mut answers = variants.iter().map(|law| law.outcome(memberships).answer);
        match answers.next() {
            Some(first) if first != Answer::NotKnown && answers.all(|answer| answer == first) => first,
            _ => outcome.answer,
        }
    }

    /// The same day for every visitor that this one may turn out to be, as to yes-or-no questions.
    fn variants(&self) -> &[Law<'b>] {
        self.variants.get_or_init(|| {
            let books: Vec<(usize, &RuleBook)> = self
                .books
                .iter()
                .map(|on_day| (on_day.place, on_day.book))
                .collect();
            let mut visits = vec![self.visit.clone()];
            for question in self.questions() {
                if truth_of(&self.visit, question) != Some(Truth::NotKnown) {
                    continue;
                }
                visits = visits
                    .into_iter()
                    .flat_map(|visit| {
                        [Truth::True, Truth::False].map(|truth| with_truth(&visit, question, truth))
                    })
                    .collect();
            }
            visits
                .iter()
                .map(|visit| Law::build(&books, visit, &self.gear))
                .collect()
        })
    }

    /// What the books ask of the visitor, each once.
    pub(super) fn questions(&self) -> Vec<Question> {
        let mut questions: Vec<Question> = self
            .books
            .iter()
            .flat_map(|on_day| on_day.book.questions())
            .collect();
        questions.sort_unstable();
        questions.dedup();
        questions
    }

    /// The membership of one book; a stand nothing is known of, where none was handed in.
    pub(super) fn membership<'m>(
        &self,
        on_day: &BookOnDay<'_>,
        memberships: &[&'m Membership],
    ) -> Option<&'m Membership> {
        memberships.get(on_day.place).copied()
    }

    /// The part of the stand a rule speaks of.
    pub(super) fn part(&self, book: usize, rule: usize, memberships: &[&Membership]) -> Part {
        let Some(on_day) = self.books.get(book) else {
            return Part::NONE;
        };
        match (self.membership(on_day, memberships), on_day.book.rules.get(rule)) {
            (Some(membership), Some(rule)) => membership.area.and(membership.in_any(&rule.zones)),
            _ => Part::NOT_KNOWN,
        }
    }

    /// The rule that replaces or lifts another on this stand, for certain and on all of it.
    pub(super) fn softener(
        &self,
        book: usize,
        rule: usize,
        memberships: &[&Membership],
    ) -> Option<(usize, usize)> {
        let target = self.books.get(book)?.book.rules.get(rule)?;
        let by = self.books.get(book)?.softened_by.get(rule)?;
        by.iter()
            .copied()
            .filter(|(b, r)| {
                self.covers_kinds(*b, *r, book, target) && self.part(*b, *r, memberships).is_whole()
            })
            .filter(|(b, r)| {
                self.books
                    .get(*b)
                    .and_then(|on_day| Some(on_day.rules.get(*r)?.softens(on_day.state)))
                    .unwrap_or(false)
            })
            // Which of several is named must not hang on the order of the books.
            .min_by_key(|(b, r)| {
                self.books.get(*b).map(|on_day| {
                    (
                        &on_day.book.region.code,
                        on_day.book.rules.get(*r).map(|rule| &rule.id),
                    )
                })
            })
    }

    /// Whether a softener is about all the fungi its target is about.
    pub(super) fn covers_kinds(&self, b: usize, r: usize, book: usize, target: &super::book::Rule) -> bool {
        let Some(rule) = self.books.get(b).and_then(|on_day| on_day.book.rules.get(r)) else {
            return false;
        };
        rule.taxa.is_none() || (b == book && rule.taxa == target.taxa)
    }

    /// Walks over all rules for one stand.
    pub(super) fn outcome(&self, memberships: &[&Membership]) -> Outcome {
        let mut answer = Answer::Free;
        let mut silent = true;
        let mut may_be_limited = false;
        let mut covered = false;
        let mut touched = false;
        for (b, on_day) in self.books.iter().enumerate() {
            let Some(membership) = self.membership(on_day, memberships) else {
                continue;
            };
            if membership.area.touches() == Truth::False {
                continue;
            }
            touched = true;
            covered |= membership.area.is_whole();
            if on_day.state != BookState::InForce {
                answer = answer.worse(Answer::NotKnown);
            }
            if matches!(on_day.state, BookState::NotYet(_)) {
                continue;
            }
            for (effect, r) in on_day.active.iter().copied() {
                // Nothing that follows is worse, and what is only limited no longer matters.
                if answer == Answer::Closed || (effect > Answer::NotKnown && answer < Answer::NotKnown) {
                    break;
                }
                let holds = on_day.rules.get(r).map_or(Truth::False, RuleOnDay::holds);
                let part = self.part(b, r, memberships);
                let holds = holds.and(part.touches());
                if holds == Truth::False || self.softener(b, r, memberships).is_some() {
                    continue;
                }
                match (holds, effect) {
                    // What may forbid or ask for something leaves the answer open; what may only limit does not.
                    (Truth::NotKnown, Answer::Limits) => may_be_limited = true,
                    (Truth::NotKnown, effect) if effect <= Answer::NotKnown => {
                        answer = answer.worse(Answer::NotKnown)
                    }
                    (Truth::NotKnown, _) => {}
                    (_, effect) => {
                        // A right for a part of the stand says nothing of the rest.
                        if effect < Answer::NoRule || part.is_whole() {
                            answer = answer.worse(effect);
                        }
                        if effect > Answer::NotKnown && part.is_whole() && on_day.state == BookState::InForce
                        {
                            silent = false;
                        }
                    }
                }
            }
        }
        if silent || !touched || !covered {
            answer = answer.worse(Answer::NotKnown);
        }
        Outcome {
            answer,
            silent,
            may_be_limited,
        }
    }
}

/// What the visitor told to a yes-or-no question; `None` for questions of number.
pub(super) fn truth_of(visit: &Visit, question: Question) -> Option<Truth> {
    let visitor = &visit.visitor;
    match question {
        Question::Resident => Some(visitor.resident),
        Question::Permit => Some(visitor.permit),
        Question::Owner => Some(visitor.owner),
        Question::Consent => Some(visitor.consent),
        Question::Commercial => Some(visitor.commercial),
        Question::Escorted => Some(visitor.escorted),
        Question::Age | Question::Party => None,
    }
}

/// The same visit with another answer.
pub(super) fn with_truth(visit: &Visit, question: Question, truth: Truth) -> Visit {
    let mut visit = visit.clone();
    let visitor = &mut visit.visitor;
    match question {
        Question::Resident => visitor.resident = truth,
        Question::Permit => visitor.permit = truth,
        Question::Owner => visitor.owner = truth,
        Question::Consent => visitor.consent = truth,
        Question::Commercial => visitor.commercial = truth,
        Question::Escorted => visitor.escorted = truth,
        Question::Age | Question::Party => {}
    }
    visit
}

/// The verdict for one stand by the books that may cover it, each with the stand's membership in it. For many stands
/// on one day, make a [`Law`] and ask it.
pub fn verdict(books: &[(&RuleBook, &Membership)], visit: &Visit) -> Verdict {
    let (books, memberships): (Vec<&RuleBook>, Vec<&Membership>) = books.iter().copied().unzip();
    Law::on(&books, visit).verdict(&memberships)
}

/// Whether what a rule does to the answer would matter at all.
pub(super) fn is_restrictive(effect: Effect) -> bool {
    effect.answer().is_some_and(|answer| answer <= Answer::NotKnown)
}
