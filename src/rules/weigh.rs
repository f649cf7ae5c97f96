//! One rule on one day for one visitor: whether it is in force, whether it holds for them, and what it does. In go a
//! rule and a visit, out comes a [`RuleOnDay`]; where it holds is left to `law`, which asks for it once a stand.

use super::book::{BookState, Rule, RuleBook};
use super::condition::{Told, Who, both, larger_than};
use super::days::in_any;
use super::gear::Gear;
use super::kind::{Act, Clock, Consent, HourWindow, Openness, Provision};
use super::verdict::Effect;
use crate::day::{ClockTime, Day};
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
}

impl RuleOnDay {
    pub(super) fn of(rule: &Rule, book: &RuleBook, visit: &Visit, gear: &Gear) -> RuleOnDay {
        let day = visit.day;
        let time = match (rule.valid_from, rule.valid_to) {
            (Some(from), _) if day < from => Time::NotYet(from),
            (_, Some(to)) if day > to => Time::Ended(to),
            _ if !rule.when.holds_on(day) => Time::NotToday,
            _ => Time::Now,
        };
        let mut told = both(
            rule.who.holds_for(&visit.visitor),
            rule.party.holds_for(&visit.visitor),
        );
        if let Provision::Minor { below } = rule.provision {
            let minors = Who {
                younger_than: Some(below),
                ..Who::default()
            };
            told = both(told, minors.holds_for(&visit.visitor));
        }
        let (effect, mut sure) = effect(rule, book, visit, gear);
        if rule.depends_on_harvest {
            sure = sure.and(Truth::NotKnown);
        }
        RuleOnDay {
            time,
            told,
            effect,
            sure,
        }
    }

    /// Whether it holds for the visitor today, place aside.
    pub(super) fn holds(&self) -> Truth {
        if self.time == Time::Now {
            self.told.holds.and(self.sure)
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
fn effect(rule: &Rule, book: &RuleBook, visit: &Visit, gear: &Gear) -> (Effect, Truth) {
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
        Provision::Quantity(_)
        | Provision::Qualitative
        | Provision::Container { .. }
        | Provision::Tool { .. }
        | Provision::Duties(_) => sure(limits),
        Provision::SideBySide { .. } => sure(Effect::Limits),
        Provision::SubLimit { .. } | Provision::OverweightException { .. } => sure(Effect::LimitsKinds),
        Provision::Unlimited => sure(if all { Effect::Frees } else { Effect::LimitsKinds }),
        Provision::GroupSize { largest } => {
            let larger = larger_than(visitor, *largest).holds == Truth::True;
            sure(if larger { Effect::Breaks } else { limits })
        }
        Provision::ClosedDays(days) => sure(when(days.contains(visit.day))),
        Provision::Season(Openness::Open(windows)) => sure(when(!in_any(windows, visit.day))),
        Provision::Season(Openness::Closed(windows)) => sure(when(in_any(windows, visit.day))),
        Provision::Hours(openness) => match visit.time {
            None => sure(limits),
            Some(time) => match is_closed(openness, time) {
                Truth::False => sure(limits),
                certain => (closes, certain),
            },
        },
        Provision::ClosedZone { .. } => sure(closes),
        Provision::ProtectedTaxon { forbids } => sure(match (all, forbids.contains(&Act::Collect)) {
            (_, true) => closes,
            (_, false) => limits,
        }),
        Provision::Permit { .. } => sure(match (all, visitor.permit) {
            (false, _) => Effect::LimitsKinds,
            (true, Truth::True) => Effect::Limits,
            (true, _) => Effect::Needs,
        }),
        Provision::OwnerConsent { consent } => {
            let given = visitor.consent.or(visitor.owner) == Truth::True;
            sure(if *consent == Consent::Needed && !given && all {
                Effect::Needs
            } else {
                limits
            })
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

/// Whether a time is closed. Windows that follow the sun cannot be told from the clock alone.
fn is_closed(openness: &Openness<HourWindow>, time: ClockTime) -> Truth {
    let within = |windows: &[HourWindow]| {
        windows
            .iter()
            .fold(Truth::False, |any, window| any.or(contains(*window, time)))
    };
    match openness {
        Openness::Open(windows) => within(windows).not(),
        Openness::Closed(windows) => within(windows),
    }
}

/// Whether a window holds a time: its first minute belongs to it, its last does not.
fn contains(window: HourWindow, time: ClockTime) -> Truth {
    let (Clock::At(from), Clock::At(to)) = (window.from, window.to) else {
        return Truth::NotKnown;
    };
    Truth::from(if from <= to {
        from <= time && time < to
    } else {
        from <= time || time < to
    })
}

/// The times of day at which a rule may begin or cease to close.
pub(super) fn turns(rule: &Rule) -> impl Iterator<Item = ClockTime> {
    let windows: &[HourWindow] = match &rule.provision {
        Provision::Hours(Openness::Open(windows) | Openness::Closed(windows)) => windows,
        _ => &[],
    };
    windows
        .iter()
        .flat_map(|window| [window.from, window.to])
        .filter_map(|clock| match clock {
            Clock::At(time) => Some(time),
            _ => None,
        })
}
