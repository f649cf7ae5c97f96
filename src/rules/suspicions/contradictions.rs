//! Suspicions about two rules that cannot both be kept: one asks for what the other forbids. Within one region that is a
//! slip of the pen; between regions it is law, and `law` tells it on the stand.

use super::{MOST_TOLD, Suspicion, Work, cost, is_unconditional, may_meet, suspicion};
use crate::rules::book::{Rule, RuleBook, RuleRef};
use crate::rules::days::in_any;
use crate::rules::kind::{Clock, Consent, Duties, Handling, HourWindow, Openness, Provision, Quality, Tool};

/// Handlings that shut each other out.
const OPPOSITES: [(Handling, Handling); 3] = [
    (Handling::Halve, Handling::KeepWhole),
    (Handling::Process, Handling::KeepWhole),
    (Handling::Cut, Handling::TakeWhole),
];

/// Looks at every two rules that may hold at the same time and place, and at each with itself, as long as the work lasts.
pub(super) fn look(book: &RuleBook, work: &mut Work, found: &mut Vec<Suspicion>) {
    let before_all = found.len();
    for (place, rule) in book.rules.iter().enumerate() {
        for (before, other) in book.rules.iter().enumerate().take(place + 1) {
            if found.len() - before_all >= MOST_TOLD || !work.spend(cost(rule, other)) {
                return;
            }
            let softens = names(rule, before) || names(other, place);
            if softens || !may_meet(rule, other) {
                continue;
            }
            if let Some(what) = conflict(rule, other) {
                let with = if before == place {
                    format!("{what} in the same rule")
                } else {
                    format!("{what} in `{}`", other.id)
                };
                found.push(suspicion(
                    "contradiction",
                    &format!("/rules/{place}"),
                    &format!("rule `{}`", rule.id),
                    &with,
                    "rules that can all be kept",
                    "correct one of them, or say in `where`, `when` or `who` when each holds",
                ));
            }
        }
    }
}

fn names(rule: &Rule, other: usize) -> bool {
    rule.replaces
        .iter()
        .chain(&rule.exempts)
        .any(|reference| *reference == RuleRef::Here(other))
}

/// What one rule asks for and the other shuts out, in words that go before "in `other`".
pub(super) fn conflict(rule: &Rule, other: &Rule) -> Option<String> {
    one_way(rule, other).or_else(|| {
        if std::ptr::eq(rule, other) {
            None
        } else {
            one_way(other, rule)
        }
    })
}

fn one_way(rule: &Rule, other: &Rule) -> Option<String> {
    match (&rule.provision, &other.provision) {
        (Provision::Duties(own), Provision::Duties(theirs)) => handling(own, theirs),
        (Provision::Container { required, .. }, Provision::Container { forbidden, .. }) => {
            let airy = required
                .iter()
                .any(|quality| matches!(quality, Quality::Perforated | Quality::Open));
            let no_airy = forbidden
                .iter()
                .any(|bad| bad.closed == Some(false) && bad.material.is_none() && bad.form.is_none());
            (airy && no_airy)
                .then(|| "a container with openings is asked for, and every one is forbidden".to_owned())
        }
        (Provision::Tool { only: Some(only), .. }, Provision::Tool { forbidden, .. }) => {
            let both: Vec<String> = only
                .iter()
                .filter(|tool| forbidden.contains(tool))
                .map(|tool| format!("`{}`", tool_word(*tool)))
                .collect();
            (!both.is_empty()).then(|| format!("{} may be used, and is forbidden", both.join(", ")))
        }
        (Provision::Season(own), Provision::Season(theirs)) if !std::ptr::eq(rule, other) => {
            let both_always = is_unconditional(rule) && is_unconditional(other) && rule.taxa == other.taxa;
            (both_always && never_open(own, theirs))
                .then(|| "a season is opened that leaves no day of the season".to_owned())
        }
        (
            Provision::Hours { openness: own, acts },
            Provision::Hours {
                openness: theirs,
                acts: their_acts,
            },
        ) if !std::ptr::eq(rule, other) && acts == their_acts && rule.taxa == other.taxa => {
            no_hour_left(own, theirs).then(|| "hours are opened that leave no minute of the hours".to_owned())
        }
        (Provision::OwnerConsent { consent: own }, Provision::OwnerConsent { consent: theirs }) => {
            let contrary = matches!(
                (own, theirs),
                (Consent::Needed, Consent::Presumed) | (Consent::Presumed, Consent::Needed)
            );
            contrary.then(|| "the owner's consent is both needed and presumed, as".to_owned())
        }
        (Provision::Quantity(_), Provision::Unlimited)
            if rule.taxa == other.taxa && is_unconditional(rule) && is_unconditional(other) =>
        {
            Some("an amount is set, and there is no limit by what stands".to_owned())
        }
        _ => None,
    }
}

fn handling(own: &Duties, theirs: &Duties) -> Option<String> {
    let refused = own.must.iter().find(|asked| theirs.must_not.contains(asked));
    if let Some(asked) = refused {
        return Some(format!("`{}` is asked for, and forbidden", word(*asked)));
    }
    OPPOSITES
        .iter()
        .find(|(one, other)| {
            (own.must.contains(one) && theirs.must.contains(other))
                || (own.must.contains(other) && theirs.must.contains(one))
        })
        .map(|(one, other)| {
            format!(
                "`{}` and `{}` are both asked for, which cannot be, as",
                word(*one),
                word(*other)
            )
        })
}

/// Whether two sets of hours by the clock leave no minute of the day open between them, though each leaves some. Hours by
/// the sun differ from day to day and are not looked at.
fn no_hour_left(own: &Openness<HourWindow>, theirs: &Openness<HourWindow>) -> bool {
    let (Some(own), Some(theirs)) = (open_minutes(own), open_minutes(theirs)) else {
        return false;
    };
    let both = own.iter().zip(&theirs).any(|(own, theirs)| *own && *theirs);
    !both && own.contains(&true) && theirs.contains(&true)
}

/// For each minute of a day whether it is open; `None` where an end hangs on the sun.
fn open_minutes(hours: &Openness<HourWindow>) -> Option<Vec<bool>> {
    let (windows, open) = match hours {
        Openness::Open(windows) => (windows, true),
        Openness::Closed(windows) => (windows, false),
    };
    let mut minutes = vec![!open; 24 * 60];
    for window in windows {
        let (Clock::At(from), Clock::At(to)) = (window.from, window.to) else {
            return None;
        };
        let (from, to) = (usize::from(from.minutes()), usize::from(to.minutes()));
        for (minute, is_open) in minutes.iter_mut().enumerate() {
            let within = if from < to {
                (from..to).contains(&minute)
            } else {
                minute >= from || minute < to
            };
            if within {
                *is_open = open;
            }
        }
    }
    Some(minutes)
}

/// Whether two seasons leave no day open between them, over a leap year.
fn never_open(own: &Openness<crate::day::YearWindow>, theirs: &Openness<crate::day::YearWindow>) -> bool {
    let open = |season: &Openness<crate::day::YearWindow>, day| match season {
        Openness::Open(windows) => in_any(windows, day),
        Openness::Closed(windows) => !in_any(windows, day),
    };
    let Some(mut day) = crate::day::Day::new(2024, 1, 1) else {
        return false;
    };
    let (mut own_days, mut their_days) = (false, false);
    while day.year() == 2024 {
        if open(own, day) && open(theirs, day) {
            return false;
        }
        own_days |= open(own, day);
        their_days |= open(theirs, day);
        day = day.next();
    }
    own_days && their_days
}

fn word(handling: Handling) -> &'static str {
    match handling {
        Handling::CleanOnTheSpot => "clean_on_the_spot",
        Handling::KeepWhole => "keep_whole",
        Handling::Halve => "halve",
        Handling::Cut => "cut",
        Handling::TakeWhole => "take_whole",
        Handling::CloseTheHole => "close_the_hole",
        Handling::Process => "process",
    }
}

fn tool_word(tool: Tool) -> &'static str {
    match tool {
        Tool::Rake => "rake",
        Tool::Hook => "hook",
        Tool::Hoe => "hoe",
        Tool::Shovel => "shovel",
        Tool::Trowel => "trowel",
        Tool::Fork => "fork",
        Tool::Stick => "stick",
        Tool::Knife => "knife",
        Tool::Scissors => "scissors",
    }
}
