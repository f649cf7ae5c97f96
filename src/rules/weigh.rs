//! One rule on one day for one visitor: whether it is in force, whether it holds for them, and what it does. In go a
//! rule and a visit, out comes a [`RuleOnDay`]; where it holds is left to `law`, which asks for it once a stand.

use super::book::{BookState, Rule, RuleBook};
use super::condition::{Party, Told, Who, both, larger_than};
use super::days::in_any;
use super::gear::Gear;
use super::kind::{Act, Clock, Consent, Counted, GroupKind, HourWindow, Openness, Provision};
use super::sun::Moment;
use super::verdict::Effect;
use crate::day::{ClockTime, Day};
use crate::geometry::LngLat;
use crate::units::Truth;
use crate::visit::Visit;

/// Where a rule stands in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Time {
    Now,
    NotToday,
    NotYet(Day),
    Ended(Day),
}

/// A rule on one day for one visitor.
#[derive(Debug, Clone)]
pub(super) struct RuleOnDay {
    pub(super) time: Time,
    /// Whether it holds for the visitor and their party.
    pub(super) told: Told,
    pub(super) effect: Effect,
    /// Whether the effect is certain where the rule holds; hours by the sun are not, once a time was told.
    pub(super) sure: Truth,
    /// Whether its conditions on gear and harvest hold; `law` settles that.
    pub(super) so: Truth,
}

impl RuleOnDay {
    /// `place` is where the sun is looked at; without it hours by the sun cannot be told.
    pub(super) fn of(
        rule: &Rule,
        book: &RuleBook,
        visit: &Visit,
        gear: &Gear,
        place: Option<LngLat>,
    ) -> RuleOnDay {
        let day = visit.day;
        let when = rule.when.holds_on(day, book.holidays.as_ref());
        let time = match (rule.valid_from, rule.valid_to) {
            (Some(from), _) if day < from => Time::NotYet(from),
            (_, Some(to)) if day > to => Time::Ended(to),
            _ if when == Truth::False => Time::NotToday,
            _ => Time::Now,
        };
        let mut told = both(
            rule.who.holds_for(&visit.visitor),
            rule.party.holds_for(&visit.visitor),
        );
        if let Provision::Minor { below, .. } = rule.provision {
            let minors = Who {
                younger_than: Some(below),
                ..Who::default()
            };
            told = both(told, minors.holds_for(&visit.visitor));
        }
        if let Provision::GroupQuota { more_than, .. } = rule.provision {
            // One person is no group.
            let group = Party {
                more_than: Some(more_than.unwrap_or(1)),
                ..Party::default()
            };
            told = both(told, group.holds_for(&visit.visitor));
        }
        let (effect, sure) = effect(rule, book, visit, gear, place);
        let sure = sure.and(when);
        RuleOnDay {
            time,
            told,
            effect,
            sure,
            so: Truth::NotKnown,
        }
    }

    /// Whether it holds for the visitor today, place aside.
    pub(super) fn holds(&self) -> Truth {
        if self.time == Time::Now {
            self.told.holds.and(self.sure).and(self.so)
        } else {
            Truth::False
        }
    }

    /// Whether it may lift or replace another: only for certain, and on nothing presumed.
    pub(super) fn softens(&self, state: BookState) -> bool {
        self.holds() == Truth::True && !self.told.presumed && state == BookState::InForce
    }
}

/// What a rule does where it holds, and whether that is certain.
fn effect(
    rule: &Rule,
    book: &RuleBook,
    visit: &Visit,
    gear: &Gear,
    place: Option<LngLat>,
) -> (Effect, Truth) {
    let all = rule.is_about_all();
    let visitor = &visit.visitor;
    let closes = if all { Effect::Closes } else { Effect::ClosesKinds };
    let limits = if all { Effect::Limits } else { Effect::LimitsKinds };
    let when = |closed: bool| if closed { closes } else { Effect::OpenToday };
    let sure = |effect| (effect, Truth::True);
    if gear.breaks(&rule.provision) == Truth::True {
        return sure(Effect::Breaks);
    }
    match &rule.provision {
        Provision::Quantity(quota) if quota.amount.is_zero() => sure(closes),
        Provision::SubLimit { amount, .. } if amount.is_zero() => sure(closes),
        Provision::Count { most: 0, counts, .. } if *counts != Counted::PiecesOfEachKind => sure(closes),
        Provision::GroupQuota { pooled: true, .. } => (limits, gear.shares_apart.not()),
        Provision::Quantity(_)
        | Provision::Count { .. }
        | Provision::Qualitative
        | Provision::FractionLeft { .. }
        | Provision::GroupQuota { .. }
        | Provision::EventBan
        | Provision::MinSize { .. }
        | Provision::LifeStage { .. }
        | Provision::Container { .. }
        | Provision::Tool { .. }
        | Provision::Transport { .. }
        | Provision::Knowledge
        | Provision::Duties(_) => sure(limits),
        // What is left open to take is a limit on the harvest as a whole.
        Provision::SideBySide { .. } | Provision::Alternative { .. } | Provision::AllowList => {
            sure(Effect::Limits)
        }
        Provision::SubLimit { .. } | Provision::OverweightException { .. } => sure(Effect::LimitsKinds),
        Provision::Unlimited => sure(if all { Effect::Frees } else { Effect::LimitsKinds }),
        Provision::GroupSize { largest, except } => {
            let larger = larger_than(visitor, *largest).holds == Truth::True;
            match (larger, is_left_out(except, visit, gear)) {
                (false, _) | (true, Truth::True) => sure(limits),
                (true, left_out) => (Effect::Breaks, left_out.not()),
            }
        }
        Provision::ClosedDays(days) => sure(when(days.contains(visit.day))),
        Provision::Season(Openness::Open(windows)) => sure(when(!in_any(windows, visit.day))),
        Provision::Season(Openness::Closed(windows)) => sure(when(in_any(windows, visit.day))),
        Provision::Hours { openness, .. } => match Moment::of(visit, place) {
            None => sure(limits),
            Some(moment) => match moment.is_closed(openness) {
                Truth::False => sure(limits),
                certain => (closes, certain),
            },
        },
        Provision::ClosedZone { .. } | Provision::Distance { near: Some(_), .. } => sure(closes),
        // Where the paths or roads are is not on the map: a distance to keep on the spot.
        Provision::Distance { near: None, .. } => sure(limits),
        Provision::ProtectedTaxon { forbids } => sure(match (all, forbids.contains(&Act::Collect)) {
            (_, true) => closes,
            (_, false) => limits,
        }),
        Provision::Permit { .. } => sure(
            match (all, visitor.holds(&book.region.code, &rule.id, visit.day)) {
                (false, _) => Effect::LimitsKinds,
                (true, Truth::True) => Effect::Limits,
                (true, _) => Effect::Needs,
            },
        ),
        Provision::OwnerConsent { consent } => {
            let given = visitor.consent.or(visitor.owner) == Truth::True;
            sure(if *consent == Consent::Needed && !given && all {
                Effect::Needs
            } else {
                limits
            })
        }
        Provision::WhoMay { only } => {
            let one_of_them = only
                .iter()
                .fold(Truth::False, |any, who| any.or(who.holds_for(visitor).holds));
            match one_of_them {
                Truth::True => sure(limits),
                other => (closes, other.not()),
            }
        }
        Provision::Suspension {
            announced,
            known_until,
            ..
        } => {
            if announced.contains(&visit.day) {
                sure(closes)
            } else if known_until.is_some_and(|until| visit.day <= until) {
                sure(Effect::OpenToday)
            } else {
                (closes, Truth::NotKnown)
            }
        }
        Provision::Minor { .. } => sure(if visitor.escorted == Truth::True {
            limits
        } else {
            Effect::Needs
        }),
        Provision::Purpose { .. } => sure(if visitor.commercial == Truth::True {
            closes
        } else {
            limits
        }),
        Provision::Exemption => sure(Effect::Lifts),
        Provision::Tolerance | Provision::Advice | Provision::Penalty => sure(Effect::Aside),
        Provision::NoRule => sure(if all && book.state_on(visit.day) == BookState::InForce {
            Effect::FindsNothing
        } else {
            Effect::Aside
        }),
        Provision::Unweighed => sure(Effect::Unsure),
    }
}

/// Whether a bound on the size of groups leaves this party out. A party is taken for friends until something else is
/// told; whether it is one family is asked.
fn is_left_out(except: &[GroupKind], visit: &Visit, gear: &Gear) -> Truth {
    except.iter().fold(Truth::False, |any, kind| {
        any.or(match (gear.group, kind) {
            (Some(told), kind) => Truth::from(told == *kind),
            (None, GroupKind::Family) => visit.visitor.family,
            (None, _) => Truth::False,
        })
    })
}

/// The windows of hours a rule has.
pub(super) fn windows(rule: &Rule) -> &[HourWindow] {
    match &rule.provision {
        Provision::Hours {
            openness: Openness::Open(windows) | Openness::Closed(windows),
            ..
        } => windows,
        _ => &[],
    }
}

/// The times of day at which a rule may begin or cease to close.
pub(super) fn turns(rule: &Rule) -> impl Iterator<Item = ClockTime> {
    windows(rule)
        .iter()
        .flat_map(|window| [window.from, window.to])
        .filter_map(|clock| match clock {
            Clock::At(time) => Some(time),
            _ => None,
        })
}
