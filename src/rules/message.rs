//! What to say, as keys with arguments: the words are left to whoever shows them, in the visitor's language. In goes a
//! rule with its effect, out comes a message.

use serde::Serialize;

use super::amount::Amount;
use super::book::{Rule, RuleBook};
use super::kind::{Clock, Consent, Kind, Openness, Per, Provision, Span};
use super::names::Texts;
use super::verdict::Effect;
use super::zone::Part;
use crate::day::{ClockTime, Day};

/// A sentence to be worded.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Message {
    /// Its key in the catalogue.
    pub key: &'static str,
    /// What it is about, by the names the catalogue uses.
    pub args: Vec<(&'static str, Arg)>,
}

/// One thing a sentence is about.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Arg {
    /// An amount with its unit, as the law writes it.
    Amount(Amount),
    /// A whole number.
    Number(u32),
    /// A share of the stand, 0 to 1.
    Share(f64),
    /// A day.
    Date(Day),
    /// A time on the region's clock.
    Time(ClockTime),
    /// Another message.
    Key(&'static str, Vec<(&'static str, Arg)>),
    /// A text out of the rule book, in the languages it has.
    Texts(Texts),
    /// A piece of data that is the same in every language, such as a scientific name.
    Text(String),
    /// Several, to be joined as a list.
    List(Vec<Arg>),
}

macro_rules! keys {
    ($($key:literal,)*) => {
        /// Every key of a message that this room gives out.
        pub const KEYS: &[&str] = &[$($key,)*];
    };
}

keys! {
    "law.answer.closed",
    "law.answer.over",
    "law.answer.breach",
    "law.answer.need",
    "law.answer.not_known",
    "law.answer.limits",
    "law.answer.no_rule",
    "law.answer.free",
    "law.breach.container",
    "law.breach.group",
    "law.breach.handling",
    "law.breach.tool",
    "law.closed.days",
    "law.closed.hours",
    "law.closed.kinds",
    "law.closed.place",
    "law.closed.protected",
    "law.closed.purpose",
    "law.closed.season",
    "law.closed.zero",
    "law.closed.zone",
    "law.closed.zone_enter",
    "law.closed.zone_enter_part",
    "law.closed.zone_part",
    "law.free",
    "law.hours.closed",
    "law.hours.open",
    "law.hours.several",
    "law.limit.group_day",
    "law.limit.group_season",
    "law.limit.group_trip",
    "law.limit.group_week",
    "law.limit.group_year",
    "law.limit.person_day",
    "law.limit.person_season",
    "law.limit.person_trip",
    "law.limit.person_week",
    "law.limit.person_year",
    "law.limit_all_but",
    "law.limit_beside",
    "law.limit_of",
    "law.limit_of_which",
    "law.limit_words",
    "law.limits.obligations",
    "law.maybe.breach",
    "law.maybe.closed",
    "law.maybe.need",
    "law.need.consent",
    "law.need.escort",
    "law.need.permit",
    "law.next.closes",
    "law.next.closes_at",
    "law.next.opens",
    "law.next.opens_at",
    "law.next.unsure",
    "law.no_rule",
    "law.not_known.ask",
    "law.not_known.expired",
    "law.not_known.no_book",
    "law.not_known.not_yet",
    "law.not_known.outside",
    "law.not_known.partly_outside",
    "law.not_known.review_due",
    "law.not_known.rule",
    "law.not_known.silent",
    "law.note.out_of_date",
    "law.rule.advice",
    "law.rule.consent_given",
    "law.rule.consent_presumed",
    "law.rule.consent_sign",
    "law.rule.container",
    "law.rule.duty",
    "law.rule.exemption",
    "law.rule.group",
    "law.rule.open_today",
    "law.rule.own_use",
    "law.rule.penalty",
    "law.rule.permit_held",
    "law.rule.practice",
    "law.rule.tool",
    "law.rule.unlimited_kinds",
    "law.sun.after_sunrise",
    "law.sun.after_sunset",
    "law.sun.before_sunrise",
    "law.sun.before_sunset",
    "law.sun.sunrise",
    "law.sun.sunset",
    "law.why.adds",
    "law.why.apart",
    "law.why.cannot_be_compared",
    "law.why.ended",
    "law.why.holds",
    "law.why.lifted_by",
    "law.why.lower",
    "law.why.not_today",
    "law.why.not_yet",
    "law.why.only_if",
    "law.why.replaced_by",
    "law.why.same",
}

impl Message {
    pub(super) fn plain(key: &'static str) -> Message {
        Message {
            key,
            args: Vec::new(),
        }
    }

    pub(super) fn with(mut self, name: &'static str, arg: Arg) -> Message {
        self.args.push((name, arg));
        self
    }
}

/// The key of a limit by whom and over which time it counts.
fn limit_key(per: Per, period: Span) -> &'static str {
    match (per, period) {
        (Per::Person, Span::Trip) => "law.limit.person_trip",
        (Per::Person, Span::Day) => "law.limit.person_day",
        (Per::Person, Span::Week) => "law.limit.person_week",
        (Per::Person, Span::Season) => "law.limit.person_season",
        (Per::Person, Span::Year) => "law.limit.person_year",
        (Per::Group, Span::Trip) => "law.limit.group_trip",
        (Per::Group, Span::Day) => "law.limit.group_day",
        (Per::Group, Span::Week) => "law.limit.group_week",
        (Per::Group, Span::Season) => "law.limit.group_season",
        (Per::Group, Span::Year) => "law.limit.group_year",
    }
}

/// The fungi a rule is about: the set's own name, or its members.
pub(super) fn fungi(book: &RuleBook, set: usize) -> Arg {
    match book.taxa.get(set) {
        Some(set) if !set.names.is_empty() => Arg::Texts(set.names.clone()),
        Some(set) => Arg::List(
            set.members
                .iter()
                .map(|member| Arg::Text(member.scientific_name.clone()))
                .collect(),
        ),
        None => Arg::List(Vec::new()),
    }
}

/// An amount counted for somebody, for all fungi or some.
pub(super) fn limit(book: &RuleBook, rule: &Rule, amount: &Amount, per: Per, period: Span) -> Message {
    let all = Message::plain(limit_key(per, period)).with("amount", Arg::Amount(amount.clone()));
    match &rule.taxa {
        None => all,
        Some(taxa) => {
            let key = match taxa {
                super::names::Taxa::Set(_) => "law.limit_of",
                super::names::Taxa::AllBut(_) => "law.limit_all_but",
            };
            Message::plain(key)
                .with("fungi", fungi(book, taxa.set()))
                .with("limit", Arg::Key(all.key, all.args))
        }
    }
}

fn clock(clock: Clock) -> Arg {
    let sun = |minutes: i16, at: &'static str, before: &'static str, after: &'static str| {
        let args = vec![("minutes", Arg::Number(u32::from(minutes.unsigned_abs())))];
        match minutes.signum() {
            0 => Arg::Key(at, Vec::new()),
            -1 => Arg::Key(before, args),
            _ => Arg::Key(after, args),
        }
    };
    match clock {
        Clock::At(time) => Arg::Time(time),
        Clock::Sunrise(minutes) => sun(
            minutes,
            "law.sun.sunrise",
            "law.sun.before_sunrise",
            "law.sun.after_sunrise",
        ),
        Clock::Sunset(minutes) => sun(
            minutes,
            "law.sun.sunset",
            "law.sun.before_sunset",
            "law.sun.after_sunset",
        ),
    }
}

/// The names of the zones a rule holds in.
fn zones(book: &RuleBook, rule: &Rule) -> Option<Arg> {
    let names: Vec<Arg> = rule
        .zones
        .iter()
        .filter_map(|place| book.zones.get(*place))
        .filter(|zone| !zone.names.is_empty())
        .map(|zone| Arg::Texts(zone.names.clone()))
        .collect();
    (!names.is_empty()).then_some(Arg::List(names))
}

/// What to say of a rule with its effect. The rule's own words come along as `text` wherever a sentence of ours cannot
/// hold all of it.
pub(super) fn of_rule(book: &RuleBook, rule: &Rule, effect: Effect, part: Part, certain: bool) -> Message {
    let words = Arg::Texts(rule.text.clone());
    if !certain {
        let key = match effect {
            Effect::Closes => Some("law.maybe.closed"),
            Effect::Breaks => Some("law.maybe.breach"),
            Effect::Needs => Some("law.maybe.need"),
            _ => None,
        };
        if let Some(key) = key {
            return Message::plain(key).with("text", words);
        }
    }
    let with_words = |key: &'static str| Message::plain(key).with("text", words.clone());
    match (&rule.provision, effect) {
        (_, Effect::Unsure) => with_words("law.not_known.rule"),
        (Provision::Quantity(_), Effect::Closes) => with_words("law.closed.zero"),
        (Provision::Quantity(quota), _) => limit(book, rule, &quota.amount, quota.per, quota.period),
        (Provision::SubLimit { amount, .. }, _) => {
            let set = rule.taxa.as_ref().map_or(usize::MAX, super::names::Taxa::set);
            Message::plain("law.limit_of_which")
                .with("amount", Arg::Amount(amount.clone()))
                .with("fungi", fungi(book, set))
        }
        (Provision::SideBySide { parts, .. }, _) => {
            let parts = parts.iter().map(|(taxa, amount)| {
                let key = match taxa {
                    super::names::Taxa::Set(_) => "law.limit_of",
                    super::names::Taxa::AllBut(_) => "law.limit_all_but",
                };
                Arg::Key(
                    key,
                    vec![
                        ("fungi", fungi(book, taxa.set())),
                        ("limit", Arg::Amount(amount.clone())),
                    ],
                )
            });
            Message::plain("law.limit_beside").with("parts", Arg::List(parts.collect()))
        }
        (Provision::Unlimited, Effect::Frees) => with_words("law.free"),
        (Provision::Unlimited, _) => with_words("law.rule.unlimited_kinds"),
        (Provision::Qualitative, _) => with_words("law.limit_words"),
        (Provision::GroupSize { largest }, effect) => Message::plain(if effect == Effect::Breaks {
            "law.breach.group"
        } else {
            "law.rule.group"
        })
        .with("n", Arg::Number(*largest)),
        (_, Effect::OpenToday) => with_words("law.rule.open_today"),
        (Provision::ClosedDays(_), Effect::Closes) => with_words("law.closed.days"),
        (Provision::Season(_), Effect::Closes) => with_words("law.closed.season"),
        (Provision::Hours(_), Effect::Closes) => with_words("law.closed.hours"),
        (Provision::Hours(openness), _) => match openness {
            Openness::Open(windows) | Openness::Closed(windows) => {
                let key = match (openness, windows.len()) {
                    (Openness::Open(_), 1) => "law.hours.open",
                    (Openness::Closed(_), 1) => "law.hours.closed",
                    _ => "law.hours.several",
                };
                let message = with_words(key);
                match windows.as_slice() {
                    [window] => message
                        .with("from", clock(window.from))
                        .with("to", clock(window.to)),
                    _ => message,
                }
            }
        },
        (Provision::ClosedZone { forbids }, _) => {
            let enter = forbids.contains(&super::kind::Forbids::Enter);
            match (zones(book, rule), part.share()) {
                (None, _) => with_words("law.closed.place"),
                (Some(zones), None) => with_words(if enter {
                    "law.closed.zone_enter"
                } else {
                    "law.closed.zone"
                })
                .with("zone", zones),
                (Some(zones), Some(share)) => with_words(if enter {
                    "law.closed.zone_enter_part"
                } else {
                    "law.closed.zone_part"
                })
                .with("zone", zones)
                .with("share", Arg::Share(share)),
            }
        }
        (Provision::ProtectedTaxon { .. }, _) => {
            let message = with_words("law.closed.protected");
            match &rule.taxa {
                Some(taxa) => message.with("fungi", fungi(book, taxa.set())),
                None => with_words("law.closed.place"),
            }
        }
        (_, Effect::ClosesKinds) => {
            let message = with_words("law.closed.kinds");
            match &rule.taxa {
                Some(taxa) => message.with("fungi", fungi(book, taxa.set())),
                None => message,
            }
        }
        (Provision::Container { .. }, Effect::Breaks) => with_words("law.breach.container"),
        (Provision::Container { .. }, _) => with_words("law.rule.container"),
        (Provision::Tool { .. }, Effect::Breaks) => with_words("law.breach.tool"),
        (Provision::Tool { .. }, _) => with_words("law.rule.tool"),
        (Provision::Duties(_), Effect::Breaks) => with_words("law.breach.handling"),
        (Provision::Permit { .. }, Effect::Needs) => with_words("law.need.permit"),
        (Provision::Permit { .. }, _) => with_words("law.rule.permit_held"),
        (Provision::OwnerConsent { .. }, Effect::Needs) => with_words("law.need.consent"),
        (Provision::OwnerConsent { consent }, _) => with_words(match consent {
            Consent::Needed => "law.rule.consent_given",
            Consent::UntilASign => "law.rule.consent_sign",
            Consent::Presumed => "law.rule.consent_presumed",
        }),
        (Provision::Minor { below }, Effect::Needs) => {
            with_words("law.need.escort").with("n", Arg::Number(*below))
        }
        (Provision::Purpose { .. }, Effect::Closes) => with_words("law.closed.purpose"),
        (Provision::Purpose { .. }, _) => with_words("law.rule.own_use"),
        (Provision::Exemption, _) => with_words("law.rule.exemption"),
        (Provision::Tolerance, _) => with_words("law.rule.practice"),
        (Provision::Advice, _) => with_words("law.rule.advice"),
        (Provision::Penalty, _) => with_words("law.rule.penalty"),
        (Provision::NoRule, _) => with_words("law.no_rule").with("date", Arg::Date(book.checked)),
        _ if rule.kind == Kind::Unheard => with_words("law.not_known.rule"),
        _ => with_words("law.rule.duty"),
    }
}
