//! The grounds of an answer: every rule that concerns the stand, how it stands among the others, and what to say. In
//! goes a [`Law`] with a stand's memberships, out comes a [`Verdict`].

use super::book::{BookState, Rule};
use super::law::{Law, is_restrictive};
use super::limits;
use super::message::{Arg, Message, Sky, of_rule};
use super::next::next;
use super::possible::possible;
use super::verdict::{Answer, Effect, Finding, RuleAt, Verdict, Why};
use super::weigh::Time;
use super::zone::{Membership, Part};
use crate::order;
use crate::units::Truth;

/// A rule that concerns the stand, before it is told apart from the others of its kind.
pub(super) struct Ground<'l> {
    pub(super) book: usize,
    pub(super) rule: &'l Rule,
    pub(super) part: Part,
    pub(super) finding: Finding,
}

pub(super) fn verdict(law: &Law<'_>, memberships: &[&Membership]) -> Verdict {
    let outcome = law.outcome(memberships);
    let answer = law.settle(outcome, memberships);
    let mut grounds = gather(law, memberships);
    order::by(&mut grounds, |left, right| {
        order(law, left).cmp(&order(law, right))
    });
    let limits = limits::limits(law, &mut grounds);
    let notes = notes(law, memberships, outcome.silent && answer == Answer::NotKnown);
    let ask = ask(law, memberships);
    let closed_share = closed_share(&grounds, answer);
    let (decided, others): (Vec<_>, Vec<_>) = grounds
        .into_iter()
        .map(|ground| ground.finding)
        .partition(|finding| decides(finding, answer, answer != outcome.answer));
    let out_of_date = decided.iter().any(|finding| finding.out_of_date);
    let headline = headline(law, answer, &decided, &limits, &notes, ask);
    Verdict {
        answer,
        possible: possible(law, memberships, answer),
        headline,
        notes,
        decided_by: decided,
        others,
        limits,
        closed_share,
        out_of_date,
        next: next(law, memberships, answer),
        ask,
    }
}

/// The order in which rules are told, which does not hang on the order of the books.
fn order<'l>(law: &Law<'l>, ground: &Ground<'l>) -> (Effect, super::kind::Kind, &'l str, &'l str) {
    let region = law
        .books
        .get(ground.book)
        .map_or("", |on_day| on_day.book.region.code.as_str());
    (
        ground.finding.effect,
        ground.rule.kind,
        region,
        ground.rule.id.as_str(),
    )
}

fn gather<'b>(law: &Law<'b>, memberships: &[&Membership]) -> Vec<Ground<'b>> {
    let mut grounds = Vec::new();
    let sky = Sky {
        day: law.visit.day,
        place: law.place,
        offset: law.visit.utc_offset.map(i64::from),
    };
    for (b, on_day) in law.books.iter().enumerate() {
        let touches = law
            .membership(on_day, memberships)
            .is_some_and(|membership| membership.area.touches() != Truth::False);
        if !touches {
            continue;
        }
        for (r, (rule, today)) in on_day.book.rules.iter().zip(&on_day.rules).enumerate() {
            let part = law.part(b, r, memberships);
            // Another place, surely another visitor, or surely other circumstances.
            let not_here = part.touches() == Truth::False;
            let not_you = today.told.holds == Truth::False && !today.told.presumed;
            let not_so = today.time == Time::Now && today.sure.and(today.so) == Truth::False;
            if not_here || not_you || not_so {
                continue;
            }
            let at = |(b, r): (usize, usize)| rule_at(law, b, r);
            let mut holds = today.holds().and(part.touches());
            let not_yet = match on_day.state {
                BookState::NotYet(from) => Some(from),
                _ => None,
            };
            let why = match (not_yet, today.time, law.softener(b, r, memberships)) {
                (Some(from), ..) | (None, Time::NotYet(from), _) => Why::NotYetInForce(from),
                (None, Time::Ended(on), _) => Why::Ended(on),
                (None, Time::NotToday, _) => Why::NotToday,
                (None, Time::Now, Some(by)) => {
                    if rule_replaces(law, by) {
                        Why::ReplacedBy(at(by))
                    } else {
                        Why::LiftedBy(at(by))
                    }
                }
                (None, Time::Now, None) => match (today.effect, holds) {
                    (Effect::Aside, _) => Why::Apart,
                    (Effect::OpenToday, _) => Why::NotToday,
                    (_, Truth::True) => Why::Holds,
                    _ => Why::OnlyIf,
                },
            };
            if not_yet.is_some() {
                holds = Truth::False;
            }
            // A rule that only a presumption keeps from holding is told as "only if".
            let now = today.time == Time::Now && not_yet.is_none();
            let presumed = today.told.presumed && now;
            let told = if presumed && holds == Truth::False {
                Truth::NotKnown
            } else {
                holds
            };
            let unless = match why {
                Why::Holds | Why::OnlyIf
                    if is_restrictive(today.effect) || today.effect == Effect::Limits =>
                {
                    on_day
                        .softened_by
                        .get(r)
                        .into_iter()
                        .flatten()
                        .filter(|(sb, sr)| may_soften(law, *sb, *sr, memberships))
                        .map(|by| at(*by))
                        .collect()
                }
                _ => Vec::new(),
            };
            let certain = told == Truth::True || today.time != Time::Now;
            grounds.push(Ground {
                book: b,
                rule,
                part,
                finding: Finding {
                    book: on_day.place,
                    rule: rule.id.clone(),
                    kind: rule.kind,
                    effect: today.effect,
                    holds: told,
                    presumed,
                    share_of_stand: part.share(),
                    message: of_rule(on_day.book, rule, today.effect, part, certain, sky),
                    why,
                    unless,
                    out_of_date: matches!(on_day.state, BookState::Expired(_) | BookState::ReviewDue(_)),
                },
            });
        }
    }
    grounds
}

pub(super) fn rule_at(law: &Law<'_>, book: usize, rule: usize) -> RuleAt {
    let on_day = law.books.get(book);
    RuleAt {
        book: on_day.map_or(0, |on_day| on_day.place),
        rule: on_day
            .and_then(|on_day| on_day.book.rules.get(rule))
            .map_or_else(|| crate::names::RuleId::new(""), |rule| rule.id.clone()),
    }
}

/// Whether the softener takes the other's place, or lifts it.
fn rule_replaces(law: &Law<'_>, (book, rule): (usize, usize)) -> bool {
    law.books
        .get(book)
        .and_then(|on_day| on_day.book.rules.get(rule))
        .is_some_and(|rule| rule.kind != super::kind::Kind::Exemption)
}

/// Whether a rule could lift another if something not known turned out so.
fn may_soften(law: &Law<'_>, book: usize, rule: usize, memberships: &[&Membership]) -> bool {
    let Some(on_day) = law.books.get(book) else {
        return false;
    };
    let Some(today) = on_day.rules.get(rule) else {
        return false;
    };
    let told = today.told.holds != Truth::False || today.told.presumed;
    on_day.state == BookState::InForce
        && today.time == Time::Now
        && told
        && law.part(book, rule, memberships).greatest > 0
}

/// Whether a rule is among those that led to the answer. By cases, it is the same answer whoever the visitor turns out to
/// be, and rules lead to it that each hold for some.
fn decides(finding: &Finding, answer: Answer, by_cases: bool) -> bool {
    if !matches!(
        finding.why,
        Why::Holds | Why::OnlyIf | Why::Adds | Why::CannotBeCompared
    ) {
        return false;
    }
    let Some(effect) = finding.effect.answer() else {
        return false;
    };
    match (answer, finding.holds) {
        (_, Truth::NotKnown) if finding.presumed => false,
        (Answer::NotKnown, Truth::NotKnown) => finding.why == Why::OnlyIf && effect <= Answer::NotKnown,
        (_, Truth::True) => effect == answer,
        (Answer::Limits, Truth::NotKnown) => effect == Answer::Limits,
        (_, Truth::NotKnown) if by_cases => effect == answer,
        _ => false,
    }
}

/// Why the answer is not known, where no rule says so.
fn notes(law: &Law<'_>, memberships: &[&Membership], silent: bool) -> Vec<Message> {
    let mut notes = Vec::new();
    if law.books.is_empty() || memberships.is_empty() {
        return vec![Message::plain("law.not_known.no_book")];
    }
    let mut covered = false;
    let mut touched = false;
    let mut partly: Option<f64> = None;
    for on_day in &law.books {
        let Some(membership) = law.membership(on_day, memberships) else {
            continue;
        };
        if membership.area.touches() == Truth::False {
            continue;
        }
        touched = true;
        covered |= membership.area.is_whole() || membership.jointly;
        partly = [partly, membership.area.share()]
            .into_iter()
            .flatten()
            .reduce(f64::max);
        let dated = |key, day| Message::plain(key).with("date", Arg::Date(day));
        match on_day.state {
            BookState::InForce => {}
            BookState::NotYet(from) => notes.push(dated("law.not_known.not_yet", from)),
            BookState::Expired(to) => notes.push(dated("law.not_known.expired", to)),
            BookState::ReviewDue(by) => notes.push(dated("law.not_known.review_due", by)),
        }
    }
    if !touched {
        return vec![Message::plain("law.not_known.outside")];
    }
    if !covered {
        notes.push(match partly {
            Some(share) => Message::plain("law.not_known.partly_outside").with("share", Arg::Share(share)),
            None => Message::plain("law.not_known.outside"),
        });
    }
    if law.clashes(memberships) {
        notes.push(Message::plain("law.not_known.conflict"));
    }
    if silent && notes.is_empty() {
        notes.push(Message::plain("law.not_known.silent"));
    }
    notes.dedup();
    notes
}

/// Whom to ask: of the books that touch the stand, the one with the smallest area, since it is nearest to the place.
fn ask(law: &Law<'_>, memberships: &[&Membership]) -> Option<usize> {
    use geo::Area as _;
    law.books
        .iter()
        .filter(|on_day| {
            law.membership(on_day, memberships)
                .is_some_and(|membership| membership.area.touches() != Truth::False)
        })
        .min_by(|left, right| {
            let area = |on_day: &super::law::BookOnDay<'_>| on_day.book.region.area.unsigned_area();
            area(left)
                .total_cmp(&area(right))
                .then_with(|| left.book.region.code.cmp(&right.book.region.code))
        })
        .map(|on_day| on_day.place)
}

/// The share of the stand that is closed, where it is not all of it: the largest of what the closing rules say.
fn closed_share(grounds: &[Ground<'_>], answer: Answer) -> Option<f64> {
    let closing = || {
        grounds.iter().filter(|ground| {
            ground.finding.effect == Effect::Closes
                && ground.finding.holds == Truth::True
                && ground.finding.why == Why::Holds
        })
    };
    if answer != Answer::Closed || closing().any(|ground| ground.part.is_whole()) {
        return None;
    }
    closing()
        .filter_map(|ground| ground.part.share())
        .max_by(f64::total_cmp)
}

/// The answer in one sentence.
fn headline(
    law: &Law<'_>,
    answer: Answer,
    decided: &[Finding],
    limits: &[super::verdict::Limit],
    notes: &[Message],
    ask: Option<usize>,
) -> Message {
    let reason = |message: &Message| Arg::Key(message.key, message.args.clone());
    let first = decided.first().map(|finding| &finding.message);
    let because = |key: &'static str, message: Option<&Message>| {
        let sentence = Message::plain(key);
        match message {
            Some(message) => sentence.with("reason", reason(message)),
            None => sentence.with("reason", Arg::List(Vec::new())),
        }
    };
    match answer {
        Answer::Closed => because("law.answer.closed", first),
        Answer::Over => because("law.answer.over", first),
        Answer::Breach => because("law.answer.breach", first),
        Answer::Need => because("law.answer.need", first),
        Answer::NoRule => because("law.answer.no_rule", first),
        Answer::Free => because("law.answer.free", first),
        Answer::Limits => {
            // A limit on the whole harvest says most in one sentence.
            let whole = limits
                .iter()
                .filter(|limit| limit.taxa.is_none() && limit.of.is_none() && limit.holds == Truth::True)
                .min_by_key(|limit| (limit.period != super::kind::Span::Day, limit.per));
            match whole {
                Some(limit) => because("law.answer.limits", Some(&limit.message)),
                None => because(
                    "law.answer.limits",
                    Some(&Message::plain("law.limits.obligations")),
                ),
            }
        }
        Answer::NotKnown => {
            let authority = ask
                .and_then(|place| law.books.iter().find(|on_day| on_day.place == place))
                .map(|on_day| on_day.book.authority.name.clone());
            match authority {
                Some(name) => {
                    because("law.not_known.ask", notes.first().or(first)).with("authority", Arg::Texts(name))
                }
                None => because("law.answer.not_known", notes.first().or(first)),
            }
        }
    }
}
