//! All books together on one day for one visitor. In go rule books and a visit; then, for each stand, its memberships,
//! and out comes an answer or a whole verdict. Nothing here can fail.
//!
//! What depends on the day and the visitor is worked out once for all stands, what depends on the place once a stand
//! at load; what is left for each distinct set of memberships is a walk over the rules. The order in which books are
//! given does not matter, nor whether one is given twice.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use super::book::{BookState, Question, RuleBook, RuleRef};
use super::gear::Gear;
use super::harvest::Taken;
use super::kind::{Handling, Keep, Openness, Provision};
use super::sun::{Moment, follows_the_sun};
use super::verdict::{Answer, Effect, Verdict};
use super::weigh::{RuleOnDay, windows};
use super::zone::{Extent, Membership, Part};
use crate::geometry::LngLat;
use crate::order;
use crate::units::Truth;
use crate::visit::Visit;

/// Every visitor that one may turn out to be is tried, unless it comes to more rules weighed than this; then it is not
/// known.
const MOST_TRIED: usize = 100_000;
/// On a map they are tried wherever other rules meet, as long as that comes to no more rules, and zones that rules name,
/// looked at than this: about a second.
const MOST_TRIED_ON_A_MAP: usize = 50_000_000;

/// All books on one day for one visitor.
pub struct Law<'b> {
    pub(super) books: Vec<BookOnDay<'b>>,
    pub(super) visit: Visit,
    pub(super) gear: Gear,
    /// What was taken, in a harvest check; otherwise nothing is known of it.
    pub(super) basket: Vec<Taken>,
    /// What is assumed of the conditions of rules on gear and harvest, by places of book and rule.
    pub(super) assumed: Vec<((usize, usize), Truth)>,
    /// Where the sun is looked at; without it, hours by the sun cannot be told.
    pub(super) place: Option<LngLat>,
    /// The duties of today, by places of book and rule, if some of them cannot be done together.
    pub(super) clashing: Vec<(usize, usize)>,
    /// How many distinct sets of memberships the map has that it is asked about.
    pub(super) places: usize,
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
    /// What forbids or asks for something may hold, depending on who the visitor is.
    may_be_closed: bool,
}

impl<'b> Law<'b> {
    /// All books on the visit's day. An empty list is a law that knows nothing.
    pub fn on(books: &[&'b RuleBook], visit: &Visit) -> Law<'b> {
        Law::with_gear(books, visit, &Gear::default())
    }

    /// The same, with what was told of container, tools and handling.
    pub fn with_gear(books: &[&'b RuleBook], visit: &Visit, gear: &Gear) -> Law<'b> {
        Law::at(books, visit, gear, None)
    }

    /// The same, with the place at which sunrise and sunset are looked at.
    pub fn at(books: &[&'b RuleBook], visit: &Visit, gear: &Gear, place: Option<LngLat>) -> Law<'b> {
        let places: Vec<(usize, &RuleBook)> = books.iter().copied().enumerate().collect();
        Law::build(&places, visit, gear, place)
    }

    /// The same, each book with its place in the list of memberships.
    fn build(books: &[(usize, &'b RuleBook)], visit: &Visit, gear: &Gear, sun: Option<LngLat>) -> Law<'b> {
        let mut law = Law {
            books: Vec::with_capacity(books.len()),
            visit: visit.clone(),
            gear: gear.clone(),
            basket: Vec::new(),
            assumed: Vec::new(),
            place: sun,
            clashing: Vec::new(),
            places: 1,
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
                .map(|rule| RuleOnDay::of(rule, book, visit, gear, sun))
                .collect();
            law.books.push(BookOnDay {
                place,
                book,
                state: book.state_on(visit.day),
                rules,
                active: Vec::new(),
                softened_by: vec![Vec::new(); book.rules.len()],
            });
        }
        law.link();
        law.settle_circumstances();
        law
    }

    /// The same for a map with so many distinct sets of memberships: the more there are, the fewer visitors are tried
    /// at each. Ask about one stand of the map with the number of the whole, so that map and stand say the same.
    #[must_use]
    pub fn among(mut self, places: usize) -> Law<'b> {
        self.places = places;
        self.variants = OnceCell::new();
        self
    }

    /// The same, knowing what was taken.
    #[must_use]
    pub(super) fn knowing(&self, basket: &[Taken]) -> Law<'b> {
        let mut law = Law::build(&self.listed(), &self.visit, &self.gear, self.place).among(self.places);
        law.basket = basket.to_vec();
        law.settle_circumstances();
        law
    }

    /// The same, with the conditions of some rules on gear and harvest taken to stand so.
    #[must_use]
    pub(super) fn assuming(mut self, assumed: &[((usize, usize), Truth)]) -> Law<'b> {
        if assumed.is_empty() {
            return self;
        }
        self.assumed = assumed.to_vec();
        self.settle_circumstances();
        self
    }

    /// The same for another visitor, everything else as it is known or assumed.
    fn for_another(&self, visit: &Visit) -> Law<'b> {
        let mut law = Law::build(&self.listed(), visit, &self.gear, self.place);
        if !(self.basket.is_empty() && self.assumed.is_empty()) {
            law.basket.clone_from(&self.basket);
            law.assumed.clone_from(&self.assumed);
            law.settle_circumstances();
        }
        law
    }

    /// Whether a rule has a condition on the harvest.
    pub(super) fn asks_for_the_harvest(&self) -> bool {
        let mut rules = self.books.iter().flat_map(|on_day| &on_day.book.rules);
        rules.any(|rule| !rule.harvest.is_any())
    }

    /// Works out how the conditions of rules on gear and harvest stand, and what follows from it.
    fn settle_circumstances(&mut self) {
        let (gear, basket, assumed) = (&self.gear, &self.basket, &self.assumed);
        for (b, on_day) in self.books.iter_mut().enumerate() {
            for (r, (rule, today)) in on_day.book.rules.iter().zip(&mut on_day.rules).enumerate() {
                let known = rule
                    .gear
                    .holds_with(gear)
                    .and(rule.harvest.holds_of(on_day.book, rule, basket));
                let taken_for = assumed.iter().find(|(at, _)| *at == (b, r));
                today.so = taken_for.map_or(known, |(_, truth)| *truth);
            }
            let mut active: Vec<(Answer, usize)> = on_day
                .rules
                .iter()
                .enumerate()
                .filter(|(_, rule)| rule.holds() != Truth::False)
                .filter_map(|(place, rule)| Some((rule.effect.answer()?, place)))
                .collect();
            order::naturally(&mut active);
            on_day.active = active;
        }
        self.clashing = self.duties_that_clash();
    }

    /// The rules with conditions on gear and harvest, by places of book and rule, and how those stand.
    pub(super) fn circumstances(&self) -> Vec<((usize, usize), Truth)> {
        let books = self.books.iter().enumerate();
        books
            .flat_map(|(b, on_day)| {
                let rules = on_day.book.rules.iter().zip(&on_day.rules).enumerate();
                rules
                    .filter(|(_, (rule, _))| !(rule.gear.is_any() && rule.harvest.is_any()))
                    .map(move |(r, (_, today))| ((b, r), today.so))
            })
            .collect()
    }

    /// Whether the answer may differ with the place of the sun: a time was told, and rules follow the sun.
    pub fn follows_the_sun(&self) -> bool {
        self.visit.time.is_some() && self.visit.utc_offset.is_some() && self.sun_rules().next().is_some()
    }

    fn sun_rules(&self) -> impl Iterator<Item = &Openness<super::kind::HourWindow>> {
        self.books
            .iter()
            .flat_map(|on_day| &on_day.book.rules)
            .filter(|rule| windows(rule).iter().any(follows_the_sun))
            .filter_map(|rule| match &rule.provision {
                Provision::Hours { openness, .. } => Some(openness),
                _ => None,
            })
    }

    /// How the visit's time stands to sunrise and sunset at a place, in all that rules ask of it. Places with the same
    /// sky and the same memberships have the same answer.
    pub fn sky(&self, place: LngLat) -> Vec<(Truth, Truth)> {
        let moment = Moment::of(&self.visit, Some(place));
        self.sun_rules()
            .filter_map(|openness| Some(moment.as_ref()?.sky(openness)))
            .flatten()
            .collect()
    }

    /// The same day under the sun of a place.
    #[must_use]
    pub fn under(&self, place: LngLat) -> Law<'b> {
        Law::build(&self.listed(), &self.visit, &self.gear, Some(place)).among(self.places)
    }

    /// The books, each with its place in the list handed in.
    fn listed(&self) -> Vec<(usize, &'b RuleBook)> {
        self.books
            .iter()
            .map(|on_day| (on_day.place, on_day.book))
            .collect()
    }

    /// The duties that hold today, if two of them cannot both be done, such as to halve a fruit body and to keep it whole.
    fn duties_that_clash(&self) -> Vec<(usize, usize)> {
        let mut duties = Vec::new();
        for (b, on_day) in self.books.iter().enumerate() {
            for (r, (rule, today)) in on_day.book.rules.iter().zip(&on_day.rules).enumerate() {
                if let (Provision::Duties(_), Truth::True) = (&rule.provision, today.holds()) {
                    duties.push((b, r));
                }
            }
        }
        if !clash(duties.iter().filter_map(|at| self.duties(*at))) {
            duties.clear();
        }
        duties
    }

    fn duties(&self, (b, r): (usize, usize)) -> Option<((usize, usize), &super::kind::Duties)> {
        match &self.books.get(b)?.book.rules.get(r)?.provision {
            Provision::Duties(duties) => Some(((b, r), duties)),
            _ => None,
        }
    }

    /// Whether two duties that cannot both be done hold on this stand.
    pub(super) fn clashes(&self, memberships: &[&Membership]) -> bool {
        let here = self.clashing.iter().copied().filter(|(b, r)| {
            self.part(*b, *r, memberships).touches() == Truth::True
                && self.softener(*b, *r, memberships).is_none()
        });
        clash(here.filter_map(|at| self.duties(at)))
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
        self.answer_without(memberships, &|_, _| false)
    }

    /// The same, as if the rules that `left_out` names by book and rule forbade and asked for nothing. A limit that is
    /// lifted for some still speaks of the place.
    pub(super) fn answer_without(
        &self,
        memberships: &[&Membership],
        left_out: &impl Fn(usize, usize) -> bool,
    ) -> Answer {
        let outcome = self.outcome_without(memberships, left_out);
        self.settle_without(outcome, memberships, left_out)
    }

    /// The answer for a stand with all its grounds.
    pub fn verdict(&self, memberships: &[&Membership]) -> Verdict {
        super::grounds::verdict(self, memberships)
    }

    /// Where it hangs on who the visitor is, every visitor this one may be is tried: what is closed to each of them is
    /// closed. And where only silence stands against a limit that some have: if a limit holds whoever they are, the
    /// answer is that limits hold.
    pub(super) fn settle(&self, outcome: Outcome, memberships: &[&Membership]) -> Answer {
        self.settle_without(outcome, memberships, &|_, _| false)
    }

    fn settle_without(
        &self,
        outcome: Outcome,
        memberships: &[&Membership],
        left_out: &impl Fn(usize, usize) -> bool,
    ) -> Answer {
        let by_silence = outcome.silent && outcome.may_be_limited;
        if outcome.answer != Answer::NotKnown || !(by_silence || outcome.may_be_closed) {
            return outcome.answer;
        }
        let mut answers = self
            .variants()
            .iter()
            .map(|law| law.outcome_without(memberships, left_out).answer);
        match answers.next() {
            Some(first)
                if (first == Answer::Closed || by_silence && first != Answer::NotKnown)
                    && answers.all(|answer| answer == first) =>
            {
                first
            }
            _ => outcome.answer,
        }
    }

    /// The same day for every visitor that this one may turn out to be, as to yes-or-no questions; none where so many
    /// rules and questions come together that trying them all takes too long.
    fn variants(&self) -> &[Law<'b>] {
        self.variants.get_or_init(|| {
            let mut visits = vec![self.visit.clone()];
            let books = || self.books.iter().map(|on_day| on_day.book);
            for question in self.questions() {
                if truth_of(&self.visit, question) != Some(Truth::NotKnown) {
                    continue;
                }
                if too_many(books(), 2 * visits.len(), self.places) {
                    return Vec::new();
                }
                visits = visits
                    .into_iter()
                    .flat_map(|visit| {
                        [Truth::True, Truth::False].map(|truth| with_truth(&visit, question, truth))
                    })
                    .collect();
            }
            visits.iter().map(|visit| self.for_another(visit)).collect()
        })
    }

    /// What the books ask of the visitor, each once.
    pub(super) fn questions(&self) -> Vec<Question> {
        let mut questions: Vec<Question> = self
            .books
            .iter()
            .flat_map(|on_day| on_day.book.questions())
            .collect();
        order::naturally(&mut questions);
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
            (Some(membership), Some(rule)) => membership.area.and(within(rule, membership)),
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
                self.covers_kinds(*b, *r, book, target)
                    && self.covers_place(*b, *r, book, target, memberships)
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

    /// Whether a softener holds wherever its target does: on the whole stand, or in all the zones of a rule of the same
    /// book.
    fn covers_place(
        &self,
        b: usize,
        r: usize,
        book: usize,
        target: &super::book::Rule,
        memberships: &[&Membership],
    ) -> bool {
        if self.part(b, r, memberships).is_whole() {
            return true;
        }
        let Some((on_day, rule)) = self
            .books
            .get(b)
            .and_then(|on_day| Some((on_day, on_day.book.rules.get(r)?)))
            .filter(|_| b == book)
        else {
            return false;
        };
        let everywhere = self
            .membership(on_day, memberships)
            .is_some_and(|membership| within(rule, membership).is_whole());
        let same_zones =
            !target.zones.is_empty() && target.zones.iter().all(|zone| rule.zones.contains(zone));
        everywhere || same_zones
    }

    /// Walks over all rules for one stand.
    pub(super) fn outcome(&self, memberships: &[&Membership]) -> Outcome {
        self.outcome_without(memberships, &|_, _| false)
    }

    fn outcome_without(
        &self,
        memberships: &[&Membership],
        left_out: &impl Fn(usize, usize) -> bool,
    ) -> Outcome {
        let mut answer = Answer::Free;
        let (mut may_be_limited, mut may_be_closed) = (false, false);
        let mut covered = false;
        // Whether some book that covers the stand speaks of all of it; whether every book that shares it does so for
        // its share.
        let (mut spoken, mut shared, mut all_speak) = (false, false, true);
        for (b, on_day) in self.books.iter().enumerate() {
            let Some(membership) = self.membership(on_day, memberships) else {
                continue;
            };
            if membership.area.touches() == Truth::False {
                continue;
            }
            covered |= membership.area.is_whole() || membership.jointly;
            if on_day.state != BookState::InForce {
                answer = answer.worse(Answer::NotKnown);
            }
            let mut speaks = false;
            if !matches!(on_day.state, BookState::NotYet(_)) {
                let mut partly: Vec<(Answer, &[usize])> = Vec::new();
                for (effect, r) in on_day.active.iter().copied() {
                    // Nothing that follows is worse, and what is only limited no longer matters.
                    if answer == Answer::Closed || (effect > Answer::NotKnown && answer < Answer::NotKnown) {
                        break;
                    }
                    let Some(rule) = on_day.book.rules.get(r) else {
                        continue;
                    };
                    let here = within(rule, membership);
                    let touches = membership.area.and(here).touches();
                    let holds = on_day
                        .rules
                        .get(r)
                        .map_or(Truth::False, RuleOnDay::holds)
                        .and(touches);
                    if holds == Truth::False
                        || (effect < Answer::Limits && left_out(b, r))
                        || self.softener(b, r, memberships).is_some()
                    {
                        continue;
                    }
                    match (holds, effect) {
                        // What may forbid or ask for something leaves the answer open; what may only limit does not.
                        (Truth::NotKnown, Answer::Limits) => may_be_limited = true,
                        (Truth::NotKnown, effect) if effect <= Answer::NotKnown => {
                            may_be_closed = true;
                            answer = answer.worse(Answer::NotKnown);
                        }
                        (Truth::NotKnown, _) => {}
                        (_, effect) => {
                            // A right for a part of the stand says nothing of the rest.
                            if effect < Answer::NoRule || here.is_whole() {
                                answer = answer.worse(effect);
                            }
                            if effect > Answer::NotKnown && on_day.state == BookState::InForce {
                                speaks |= here.is_whole();
                                partly.push((effect, &rule.zones));
                            }
                        }
                    }
                }
                // One rule for a zone and one for all outside it speak of everything between them.
                if !speaks && fill(on_day.book, &partly) {
                    speaks = true;
                    answer = partly
                        .iter()
                        .fold(answer, |answer, (effect, _)| answer.worse(*effect));
                }
            }
            spoken |= speaks && membership.area.is_whole();
            if membership.jointly {
                shared = true;
                all_speak &= speaks;
            }
        }
        let silent = !(spoken || shared && all_speak);
        if silent || !covered || (answer > Answer::NotKnown && self.clashes(memberships)) {
            answer = answer.worse(Answer::NotKnown);
        }
        Outcome {
            answer,
            silent,
            may_be_limited,
            may_be_closed,
        }
    }
}

/// Whether a visitor who tells nothing may be so many different ones that not all of them can be tried on a map with so
/// many distinct sets of memberships. Then what hangs on who asks is not known, though it might be the same for all.
pub(crate) fn visitors_are_too_many(books: &[RuleBook], places: usize) -> bool {
    let mut questions: Vec<Question> = books.iter().flat_map(RuleBook::questions).collect();
    order::naturally(&mut questions);
    questions.dedup();
    questions.retain(|question| !matches!(question, Question::Age | Question::Party));
    !questions.is_empty() && too_many(books.iter(), 1 << questions.len(), places)
}

/// Whether so many visitors are too many to be tried.
fn too_many<'a>(books: impl Iterator<Item = &'a RuleBook>, visitors: usize, places: usize) -> bool {
    let (rules, looks) = books.fold((0, 0), |(rules, looks), book| {
        (rules + book.rules.len(), looks + book.looks())
    });
    visitors * rules > MOST_TRIED || (visitors * looks).saturating_mul(places) > MOST_TRIED_ON_A_MAP
}

/// The part of a stand a rule speaks of, as far as the book's area holds it.
fn within(rule: &super::book::Rule, membership: &Membership) -> Part {
    let zones = membership.in_any(&rule.zones);
    match rule.provision {
        Provision::Distance {
            keep,
            near: Some(near),
            ..
        } => {
            let near = membership.zone(near);
            zones.and(match keep {
                Keep::Within => near.not(),
                Keep::Beyond => near,
            })
        }
        _ => zones,
    }
}

/// Whether rules that hold in parts of a stand leave nothing out: one holds in a zone, another outside it.
fn fill(book: &RuleBook, partly: &[(Answer, &[usize])]) -> bool {
    let named: Vec<usize> = partly
        .iter()
        .flat_map(|(_, zones)| zones.iter().copied())
        .collect();
    named
        .iter()
        .any(|zone| match book.zones.get(*zone).map(|zone| &zone.extent) {
            Some(Extent::Not(other)) => named.contains(other),
            _ => false,
        })
}

/// Whether two different rules among these ask for what cannot be done together. Each rule is looked at once, however
/// many there are: of each way of handling it is enough to know one rule that asks for it or shuts it out, and whether
/// there is another.
fn clash<'l>(duties: impl Iterator<Item = ((usize, usize), &'l super::kind::Duties)>) -> bool {
    #[derive(Default)]
    struct By(Option<(usize, usize)>, bool);
    impl By {
        fn note(&mut self, at: (usize, usize)) {
            match self.0 {
                None => self.0 = Some(at),
                Some(known) => self.1 |= known != at,
            }
        }
        fn is_beside(&self, other: &By) -> bool {
            match (self.0, other.0) {
                (Some(one), Some(two)) => one != two || self.1 || other.1,
                _ => false,
            }
        }
    }
    let mut asked: BTreeMap<Handling, By> = BTreeMap::new();
    let mut shut_out: BTreeMap<Handling, By> = BTreeMap::new();
    for (at, duties) in duties {
        for must in &duties.must {
            asked.entry(*must).or_default().note(at);
        }
        for must_not in &duties.must_not {
            shut_out.entry(*must_not).or_default().note(at);
        }
    }
    let both = |one: Option<&By>, other: Option<&By>| {
        one.zip(other).is_some_and(|(one, other)| one.is_beside(other))
    };
    asked
        .iter()
        .any(|(handling, by)| both(Some(by), shut_out.get(handling)))
        || EXCLUSIVE
            .iter()
            .any(|(one, other)| both(asked.get(one), asked.get(other)))
}

/// Ways of handling a fruit body that exclude each other.
const EXCLUSIVE: [(Handling, Handling); 2] = [
    (Handling::Halve, Handling::KeepWhole),
    (Handling::Cut, Handling::TakeWhole),
];

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
        Question::Family => Some(visitor.family),
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
        Question::Family => visitor.family = truth,
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
