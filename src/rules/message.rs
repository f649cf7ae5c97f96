//! What to say, as keys with arguments: the words are left to whoever shows them, in the visitor's language. In goes a
//! rule with its effect, out comes a message.

use serde::Serialize;

use super::amount::Amount;
use super::book::{Rule, RuleBook};
use super::kind::{Act, Clock, Consent, Counted, Keep, Kind, Measured, Openness, Per, Provision, Span};
use super::names::{Taxa, Texts};
use super::sun::event;
use super::verdict::Effect;
use super::weigh::windows;
use super::zone::Part;
use crate::day::{ClockTime, Day};
use crate::geometry::LngLat;

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
    /// A moment, as minutes of universal time from 00:00 of a day; shown on the clock of that zone.
    Instant {
        /// The day.
        day: Day,
        /// Minutes, which may lie before or after that day.
        minutes: i64,
        /// The zone, a name of the IANA time zone database.
        time_zone: String,
    },
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
    "law.breach.event",
    "law.breach.group",
    "law.breach.handling",
    "law.breach.knowledge",
    "law.breach.tool",
    "law.closed.days",
    "law.closed.hours",
    "law.closed.kinds",
    "law.closed.persons",
    "law.closed.place",
    "law.closed.protected",
    "law.closed.purpose",
    "law.closed.season",
    "law.closed.suspended",
    "law.closed.too_far",
    "law.closed.too_far_part",
    "law.closed.too_near",
    "law.closed.too_near_part",
    "law.closed.zero",
    "law.closed.zone",
    "law.closed.zone_enter",
    "law.closed.zone_enter_part",
    "law.closed.zone_part",
    "law.count.days",
    "law.count.kinds",
    "law.count.pieces",
    "law.count.pieces_of_each_kind",
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
    "law.limit_carried",
    "law.limit_either",
    "law.limit_group_each",
    "law.limit_group_each_most",
    "law.limit_of",
    "law.limit_of_which",
    "law.limit_words",
    "law.limits.obligations",
    "law.maybe.breach",
    "law.maybe.closed",
    "law.maybe.hours_no_clock",
    "law.maybe.hours_no_sun",
    "law.maybe.need",
    "law.maybe.persons",
    "law.maybe.suspended",
    "law.need.consent",
    "law.need.escort",
    "law.need.permit",
    "law.need.permit_above",
    "law.next.closes",
    "law.next.closes_at",
    "law.next.opens",
    "law.next.opens_at",
    "law.next.unsure",
    "law.no_rule",
    "law.not_known.ask",
    "law.not_known.conflict",
    "law.not_known.expired",
    "law.not_known.no_book",
    "law.not_known.not_yet",
    "law.not_known.outside",
    "law.not_known.partly_outside",
    "law.not_known.review_due",
    "law.not_known.rule",
    "law.not_known.silent",
    "law.note.out_of_date",
    "law.over.group_day",
    "law.over.group_season",
    "law.over.group_trip",
    "law.over.group_week",
    "law.over.group_year",
    "law.over.person_day",
    "law.over.person_season",
    "law.over.person_trip",
    "law.over.person_week",
    "law.over.person_year",
    "law.rule.advice",
    "law.rule.allow_list",
    "law.rule.consent_given",
    "law.rule.consent_presumed",
    "law.rule.consent_sign",
    "law.rule.container",
    "law.rule.distance_beyond",
    "law.rule.distance_within",
    "law.rule.duty",
    "law.rule.exemption",
    "law.rule.fraction",
    "law.rule.group",
    "law.rule.open_today",
    "law.rule.own_use",
    "law.rule.penalty",
    "law.rule.permit_held",
    "law.rule.practice",
    "law.rule.size_cap",
    "law.rule.size_height",
    "law.rule.size_width",
    "law.rule.tool",
    "law.rule.unlimited_kinds",
    "law.rule.who_may",
    "law.sun.after_sunrise",
    "law.sun.after_sunset",
    "law.sun.at",
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
    for_fungi(book, rule, all)
}

/// The sky that a message may look at: day and place of the visit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sky {
    pub(super) day: Day,
    pub(super) place: Option<LngLat>,
    /// Minutes by which the region's clock runs before universal time.
    pub(super) offset: Option<i64>,
}

impl Sky {
    /// The moment of a bound by the sun, in minutes of universal time. Without a clock the sun's own is near enough to
    /// tell the day.
    fn moment(self, clock: Clock, later: bool) -> Option<i64> {
        let place = self.place?;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "four minutes a degree, at most twelve hours"
        )]
        let offset = self.offset.unwrap_or((place.lng * 4.0) as i64);
        event(clock, self.day, place, offset, later)
    }

    /// Why hours by the sun cannot be told on this day.
    fn why_not(self, book_key: &'static str, clock: Clock) -> &'static str {
        match (self.place, self.moment(clock, true)) {
            (Some(_), None) => "law.maybe.hours_no_sun",
            _ if self.offset.is_none() => "law.maybe.hours_no_clock",
            _ => book_key,
        }
    }
}

/// A bound of a window of hours in words; one by the sun with its time on that day.
fn clock(clock: Clock, later: bool, sky: Sky, book: &RuleBook) -> Arg {
    let sun = |minutes: i16, at: &'static str, before: &'static str, after: &'static str| {
        let args = vec![("minutes", Arg::Number(u32::from(minutes.unsigned_abs())))];
        let what = match minutes.signum() {
            0 => Arg::Key(at, Vec::new()),
            -1 => Arg::Key(before, args),
            _ => Arg::Key(after, args),
        };
        match sky.moment(clock, later) {
            Some(minutes) => {
                let time = Arg::Instant {
                    day: sky.day,
                    minutes,
                    time_zone: book.region.time_zone.clone(),
                };
                Arg::Key("law.sun.at", vec![("what", what), ("time", time)])
            }
            None => what,
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

/// Amounts for several sets of fungi, as a list.
fn parts(book: &RuleBook, parts: &[(Taxa, Amount)]) -> Arg {
    let worded = parts.iter().map(|(taxa, amount)| {
        let key = match taxa {
            Taxa::Set(_) => "law.limit_of",
            Taxa::AllBut(_) => "law.limit_all_but",
        };
        Arg::Key(
            key,
            vec![
                ("fungi", fungi(book, taxa.set())),
                ("limit", Arg::Amount(amount.clone())),
            ],
        )
    });
    Arg::List(worded.collect())
}

/// A count, per whom and over which time.
fn count(most: u32, counts: Counted, per: Per, period: Span) -> Message {
    let key = match counts {
        Counted::Pieces => "law.count.pieces",
        Counted::PiecesOfEachKind => "law.count.pieces_of_each_kind",
        Counted::Kinds => "law.count.kinds",
        Counted::Days => "law.count.days",
    };
    let over = match (per, period) {
        (Per::Person, Span::Trip) => "law.over.person_trip",
        (Per::Person, Span::Day) => "law.over.person_day",
        (Per::Person, Span::Week) => "law.over.person_week",
        (Per::Person, Span::Season) => "law.over.person_season",
        (Per::Person, Span::Year) => "law.over.person_year",
        (Per::Group, Span::Trip) => "law.over.group_trip",
        (Per::Group, Span::Day) => "law.over.group_day",
        (Per::Group, Span::Week) => "law.over.group_week",
        (Per::Group, Span::Season) => "law.over.group_season",
        (Per::Group, Span::Year) => "law.over.group_year",
    };
    Message::plain(key)
        .with("n", Arg::Number(most))
        .with("over", Arg::Key(over, Vec::new()))
}

/// A sentence for the fungi a rule is about: the sentence alone, if it is about all.
fn for_fungi(book: &RuleBook, rule: &Rule, message: Message) -> Message {
    match &rule.taxa {
        None => message,
        Some(taxa) => Message::plain(match taxa {
            Taxa::Set(_) => "law.limit_of",
            Taxa::AllBut(_) => "law.limit_all_but",
        })
        .with("fungi", fungi(book, taxa.set()))
        .with("limit", Arg::Key(message.key, message.args)),
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
pub(super) fn of_rule(
    book: &RuleBook,
    rule: &Rule,
    effect: Effect,
    part: Part,
    certain: bool,
    sky: Sky,
) -> Message {
    let words = Arg::Texts(rule.text.clone());
    if !certain {
        let key = match effect {
            Effect::Closes => Some(match &rule.provision {
                Provision::Suspension { .. } => "law.maybe.suspended",
                Provision::WhoMay { .. } => "law.maybe.persons",
                Provision::Hours { .. } => windows(rule)
                    .iter()
                    .flat_map(|window| [window.from, window.to])
                    .find(|clock| !matches!(clock, Clock::At(_)))
                    .map_or("law.maybe.closed", |clock| sky.why_not("law.maybe.closed", clock)),
                _ => "law.maybe.closed",
            }),
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
            let set = rule.taxa.as_ref().map_or(usize::MAX, Taxa::set);
            Message::plain("law.limit_of_which")
                .with("amount", Arg::Amount(amount.clone()))
                .with("fungi", fungi(book, set))
        }
        (Provision::SideBySide { parts: of, .. }, _) => {
            Message::plain("law.limit_beside").with("parts", parts(book, of))
        }
        (Provision::Alternative { parts: of, .. }, _) => {
            Message::plain("law.limit_either").with("parts", parts(book, of))
        }
        (Provision::Count { .. }, Effect::Closes) => with_words("law.closed.zero"),
        (
            Provision::Count {
                most,
                counts,
                per,
                period,
            },
            _,
        ) => for_fungi(book, rule, count(*most, *counts, *per, *period)),
        (Provision::FractionLeft { parts, of }, _) => with_words("law.rule.fraction")
            .with("n", Arg::Number(*parts))
            .with("of", Arg::Number(*of)),
        (
            Provision::GroupQuota {
                amount,
                each: true,
                most,
                ..
            },
            _,
        ) => match most {
            Some(most) => with_words("law.limit_group_each_most").with("most", Arg::Amount(most.clone())),
            None => with_words("law.limit_group_each"),
        }
        .with("amount", Arg::Amount(amount.clone())),
        (Provision::GroupQuota { amount, period, .. }, _) => limit(book, rule, amount, Per::Group, *period),
        (Provision::Unlimited, Effect::Frees) => with_words("law.free"),
        (Provision::Unlimited, _) => with_words("law.rule.unlimited_kinds"),
        (Provision::Qualitative, _) => with_words("law.limit_words"),
        (Provision::GroupSize { largest, .. }, effect) => Message::plain(if effect == Effect::Breaks {
            "law.breach.group"
        } else {
            "law.rule.group"
        })
        .with("n", Arg::Number(*largest)),
        (_, Effect::OpenToday) => with_words("law.rule.open_today"),
        (Provision::ClosedDays(_), Effect::Closes) => with_words("law.closed.days"),
        (Provision::Season(_), Effect::Closes) => with_words("law.closed.season"),
        (Provision::Hours { .. }, Effect::Closes) => with_words("law.closed.hours"),
        (Provision::Hours { openness, .. }, _) => match openness {
            Openness::Open(windows) | Openness::Closed(windows) => {
                let open = matches!(openness, Openness::Open(_));
                let key = match (open, windows.len()) {
                    (true, 1) => "law.hours.open",
                    (false, 1) => "law.hours.closed",
                    _ => "law.hours.several",
                };
                let message = with_words(key);
                match windows.as_slice() {
                    [window] => message
                        .with("from", clock(window.from, open, sky, book))
                        .with("to", clock(window.to, !open, sky, book)),
                    _ => message,
                }
            }
        },
        (Provision::Distance { metres, keep, near }, _) => {
            let message = match (near, keep, part.share()) {
                (None, Keep::Within, _) => with_words("law.rule.distance_within"),
                (None, Keep::Beyond, _) => with_words("law.rule.distance_beyond"),
                (Some(_), Keep::Within, None) => with_words("law.closed.too_far"),
                (Some(_), Keep::Beyond, None) => with_words("law.closed.too_near"),
                (Some(_), Keep::Within, Some(share)) => {
                    with_words("law.closed.too_far_part").with("share", Arg::Share(share))
                }
                (Some(_), Keep::Beyond, Some(share)) => {
                    with_words("law.closed.too_near_part").with("share", Arg::Share(share))
                }
            };
            message.with("n", Arg::Number(*metres))
        }
        (Provision::WhoMay { .. }, Effect::Closes) => with_words("law.closed.persons"),
        (Provision::WhoMay { .. }, _) => with_words("law.rule.who_may"),
        (Provision::Suspension { .. }, Effect::Closes) => with_words("law.closed.suspended"),
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
        (Provision::EventBan, Effect::Breaks) => with_words("law.breach.event"),
        (Provision::Knowledge, Effect::Breaks) => with_words("law.breach.knowledge"),
        (Provision::AllowList, _) => match &rule.taxa {
            Some(taxa) => with_words("law.rule.allow_list").with("fungi", fungi(book, taxa.set())),
            None => with_words("law.rule.duty"),
        },
        (
            Provision::MinSize {
                size: Some(size),
                measure,
                ..
            },
            _,
        ) => {
            let message = with_words(match measure {
                Measured::Cap => "law.rule.size_cap",
                Measured::Height => "law.rule.size_height",
                Measured::Width => "law.rule.size_width",
            });
            for_fungi(book, rule, message.with("size", Arg::Amount(size.clone())))
        }
        (
            Provision::Transport {
                most: Some((amount, _)),
                acts,
                ..
            },
            _,
        ) if acts.contains(&Act::Carry) => {
            with_words("law.limit_carried").with("amount", Arg::Amount(amount.clone()))
        }
        (Provision::Duties(_), Effect::Breaks) => with_words("law.breach.handling"),
        (Provision::Permit { above, .. }, Effect::Needs) => match above.first() {
            Some(threshold) => {
                with_words("law.need.permit_above").with("amount", Arg::Amount(threshold.amount.clone()))
            }
            None => with_words("law.need.permit"),
        },
        (Provision::Permit { .. }, _) => with_words("law.rule.permit_held"),
        (Provision::OwnerConsent { .. }, Effect::Needs) => with_words("law.need.consent"),
        (Provision::OwnerConsent { consent }, _) => with_words(match consent {
            Consent::Needed => "law.rule.consent_given",
            Consent::UntilASign => "law.rule.consent_sign",
            Consent::Presumed => "law.rule.consent_presumed",
        }),
        (Provision::Minor { below, .. }, Effect::Needs) => {
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
