//! What must hold for any books: their order and number of copies do not matter, one more rule never improves an
//! answer, and learning something only picks among the answers that were possible before.

use proptest::prelude::*;

use super::{at, sound};
use crate::names::RuleId;
use crate::rules::book::{Rule, RuleRef};
use crate::rules::circumstance::{GearIs, HarvestIs};
use crate::rules::condition::{Party, When, Who};
use crate::rules::days::{DaySet, MonthDays};
use crate::rules::kind::{
    BadContainer, Clock, Consent, Counted, Duties, Forbids, GroupKind, Handling, HourWindow, Keep, Material,
    MinorQuota, Openness, Per, Quota, Span, Tool,
};
use crate::rules::{
    Amount, Answer, Gear, Kind, Law, Membership, Part, Provision, RuleBook, Taken, Unit, Verdict,
    visitors_are_too_many,
};
use crate::units::{Truth, Years};
use crate::visit::{Visit, Visitor};

/// A book with three zones and no rules.
fn blank(code: &str) -> RuleBook {
    let mut book = sound(include_bytes!("../../../tests/fixtures/rules/three-zones.json"));
    code.clone_into(&mut book.region.code);
    book
}

/// The book with each rule twice: once for those who own the ground, once for those who do not.
fn by_cases(book: &RuleBook) -> RuleBook {
    let rules = book.rules.iter().flat_map(|rule| {
        [true, false].map(|owner| Rule {
            id: RuleId::new(format!("{}-{owner}", rule.id).as_str()),
            who: Who {
                owner: Some(owner),
                ..rule.who.clone()
            },
            replaces: Vec::new(),
            exempts: Vec::new(),
            ..rule.clone()
        })
    });
    RuleBook {
        rules: rules.collect(),
        ..book.clone()
    }
}

/// The same visit of somebody who answers every question, with no where they left it open.
fn all_told(visit: &Visit) -> Visit {
    let told = |truth: Truth| {
        if truth == Truth::NotKnown {
            Truth::False
        } else {
            truth
        }
    };
    let visitor = &visit.visitor;
    Visit {
        visitor: Visitor {
            resident: told(visitor.resident),
            permit: told(visitor.permit),
            owner: told(visitor.owner),
            consent: told(visitor.consent),
            commercial: told(visitor.commercial),
            escorted: told(visitor.escorted),
            family: told(visitor.family),
            age: visitor.age.or(Years::new(40.0).ok()),
            party: visitor.party.or(Some(2)),
            papers: visitor.papers.clone(),
        },
        ..visit.clone()
    }
}

fn quota(amount: &str, unit: Unit) -> Provision {
    let amount = Amount::read(amount, unit).expect(amount);
    Provision::Quantity(Quota {
        amount,
        per: Per::Person,
        period: Span::Day,
    })
}

fn clock(time: &str) -> Clock {
    Clock::At(crate::day::ClockTime::parse(time).expect(time))
}

/// What a rule may say: first all that forbids, limits, obliges or asks for a permit, then what softens or stands apart.
fn provisions() -> Vec<(Kind, Provision)> {
    let days = DaySet {
        days_of_month: MonthDays::parse("1-10").expect("days"),
        ..DaySet::default()
    };
    let night = HourWindow {
        from: clock("19:00"),
        to: clock("07:00"),
    };
    let plastic = BadContainer {
        material: Some(Material::Plastic),
        form: None,
        closed: None,
    };
    vec![
        (Kind::Quantity, quota("2", Unit::Kilogram)),
        (Kind::Quantity, quota("1000", Unit::Gram)),
        (Kind::Quantity, quota("5", Unit::Liter)),
        (Kind::Quantity, quota("0", Unit::Kilogram)),
        (
            Kind::ClosedZone,
            Provision::ClosedZone {
                forbids: vec![Forbids::Collect],
            },
        ),
        (Kind::ClosedDays, Provision::ClosedDays(days)),
        (
            Kind::Hours,
            Provision::Hours {
                openness: Openness::Closed(vec![night]),
                acts: Vec::new(),
            },
        ),
        (
            Kind::Permit,
            Provision::Permit {
                issuer: None,
                link: None,
                price: None,
                where_to_get: None,
                above: Vec::new(),
            },
        ),
        (
            Kind::OwnerConsent,
            Provision::OwnerConsent {
                consent: Consent::Needed,
            },
        ),
        (
            Kind::Minor,
            Provision::Minor {
                below: 10,
                quota: MinorQuota::NotStated,
            },
        ),
        (Kind::Purpose, Provision::Purpose { own_use_only: true }),
        (
            Kind::GroupSize,
            Provision::GroupSize {
                largest: 3,
                except: vec![GroupKind::Family],
            },
        ),
        (
            Kind::Container,
            Provision::Container {
                required: Vec::new(),
                forbidden: vec![plastic],
                most: None,
                largest: None,
            },
        ),
        (
            Kind::GroupQuota,
            Provision::GroupQuota {
                amount: Amount::read("2", Unit::Kilogram).expect("2 kg"),
                each: true,
                most: Some(Amount::read("8", Unit::Kilogram).expect("8 kg")),
                more_than: Some(2),
                pooled: false,
                period: Span::Day,
            },
        ),
        (
            Kind::Count,
            Provision::Count {
                most: 3,
                counts: Counted::Kinds,
                per: Per::Person,
                period: Span::Day,
            },
        ),
        (
            Kind::Distance,
            Provision::Distance {
                metres: 50,
                keep: Keep::Beyond,
                near: Some(0),
            },
        ),
        (
            Kind::WhoMay,
            Provision::WhoMay {
                only: vec![Who {
                    resident: Some(true),
                    ..Who::default()
                }],
            },
        ),
        (
            Kind::Suspension,
            Provision::Suspension {
                announced: std::collections::BTreeSet::new(),
                known_until: None,
                link: None,
            },
        ),
        (
            Kind::Processing,
            Provision::Duties(Duties {
                must: vec![Handling::Halve],
                must_not: Vec::new(),
            }),
        ),
        (
            Kind::Method,
            Provision::Duties(Duties {
                must: vec![Handling::KeepWhole],
                must_not: Vec::new(),
            }),
        ),
        (Kind::EventBan, Provision::EventBan),
        (Kind::Unheard, Provision::Unweighed),
        (Kind::Advice, Provision::Advice),
        (Kind::Tolerance, Provision::Tolerance),
        (Kind::NoRule, Provision::NoRule),
        (Kind::Unlimited, Provision::Unlimited),
        (Kind::Exemption, Provision::Exemption),
    ]
}

/// How many of them, from the first, can only make an answer worse.
const RESTRICTIVE: usize = 22;

fn truth() -> impl Strategy<Value = Truth> {
    prop_oneof![Just(Truth::True), Just(Truth::False), Just(Truth::NotKnown)]
}

fn part() -> impl Strategy<Value = Part> {
    prop_oneof![
        3 => Just(Part::WHOLE),
        3 => Just(Part::NONE),
        2 => Just(Part::NOT_KNOWN),
        1 => Just(Part { least: 400, greatest: 400 }),
    ]
}

fn who() -> impl Strategy<Value = Who> {
    prop_oneof![
        6 => Just(Who::default()),
        1 => any::<bool>().prop_map(|yes| Who { resident: Some(yes), ..Who::default() }),
        1 => any::<bool>().prop_map(|yes| Who { owner: Some(yes), ..Who::default() }),
        1 => any::<bool>().prop_map(|yes| Who { commercial: Some(yes), ..Who::default() }),
        1 => Just(Who { younger_than: Some(14), ..Who::default() }),
        1 => Just(Who { at_least: Some(14), ..Who::default() }),
    ]
}

/// Conditions on harvest and gear: mostly none, else a clump, or a knife.
fn circumstances() -> impl Strategy<Value = (HarvestIs, GearIs)> {
    let clump = HarvestIs {
        clump: Some(true),
        ..HarvestIs::default()
    };
    let knife = GearIs {
        tools: vec![Tool::Knife],
        ..GearIs::default()
    };
    prop_oneof![
        8 => Just((HarvestIs::default(), GearIs::default())),
        1 => Just((clump, GearIs::default())),
        1 => Just((HarvestIs::default(), knife)),
    ]
}

/// A rule that may name the rules before it.
fn rule(place: usize, kinds: std::ops::Range<usize>) -> impl Strategy<Value = Rule> {
    let named = proptest::collection::vec(0..place.max(1), 0..3);
    let party = prop_oneof![5 => Just(None), 1 => Just(Some(2_u32))];
    (
        kinds,
        proptest::collection::vec(0..3_usize, 0..2),
        who(),
        party,
        named,
        any::<bool>(),
        circumstances(),
    )
        .prop_map(
            move |(kind, zones, who, more_than, named, replaces, (harvest, gear))| {
                let (kind, provision) = provisions()[kind].clone();
                let named: Vec<RuleRef> = named
                    .into_iter()
                    .filter(|other| *other < place)
                    .map(RuleRef::Here)
                    .collect();
                let softens = kind == Kind::Exemption;
                Rule {
                    zones,
                    who,
                    harvest,
                    gear,
                    party: Party {
                        more_than,
                        ..Party::default()
                    },
                    replaces: if replaces && !softens {
                        named.clone()
                    } else {
                        Vec::new()
                    },
                    exempts: if softens { named } else { Vec::new() },
                    ..plain(&format!("r{place}"), kind, provision)
                }
            },
        )
}

/// A rule for everybody, everywhere and always.
fn plain(id: &str, kind: Kind, provision: Provision) -> Rule {
    Rule {
        id: RuleId::new(id),
        kind,
        kind_word: kind.word().to_owned(),
        text: crate::rules::Texts::default(),
        sources: vec![0],
        zones: Vec::new(),
        when: When::default(),
        who: Who::default(),
        party: Party::default(),
        harvest: HarvestIs::default(),
        gear: GearIs::default(),
        taxa: None,
        valid_from: None,
        valid_to: None,
        replaces: Vec::new(),
        exempts: Vec::new(),
        provision,
    }
}

fn book(code: &'static str) -> impl Strategy<Value = RuleBook> {
    let all = provisions().len();
    let rules: Vec<_> = (0..5).map(|place| rule(place, 0..all)).collect();
    (rules, 0..6_usize).prop_map(move |(mut rules, most)| {
        rules.truncate(most);
        RuleBook { rules, ..blank(code) }
    })
}

fn visit() -> impl Strategy<Value = Visit> {
    let day = prop_oneof![Just("2026-09-05"), Just("2026-09-12")];
    let time = prop_oneof![Just(None), Just(Some("12:00")), Just(Some("20:00"))];
    let age = prop_oneof![Just(None), Just(Some(8.0)), Just(Some(12.0)), Just(Some(40.0))];
    let party = prop_oneof![Just(None), Just(Some(1_u32)), Just(Some(3)), Just(Some(5))];
    (
        day,
        time,
        [truth(), truth(), truth(), truth(), truth(), truth(), truth()],
        age,
        party,
    )
        .prop_map(
            |(day, time, [resident, permit, owner, consent, commercial, escorted, family], age, party)| {
                let mut visit = at(day, time);
                visit.visitor = crate::visit::Visitor {
                    resident,
                    permit,
                    owner,
                    consent,
                    commercial,
                    escorted,
                    age: age.map(|age| Years::new(age).expect("age")),
                    party,
                    family,
                    papers: Vec::new(),
                };
                visit
            },
        )
}

fn membership() -> impl Strategy<Value = Membership> {
    let area = prop_oneof![6 => Just(Part::WHOLE), 1 => part()];
    (area, [part(), part(), part()]).prop_map(|(area, zones)| Membership {
        area,
        zones: zones.to_vec(),
        jointly: false,
    })
}

fn ask(books: &[&RuleBook], places: &[&Membership], visit: &Visit) -> Verdict {
    Law::on(books, visit).verdict(places)
}

/// Everything a verdict says, with books by name and in no order.
fn said(verdict: &Verdict, books: &[&RuleBook]) -> (Answer, Vec<Answer>, Vec<String>, Vec<String>) {
    let name = |at: &crate::rules::RuleAt| format!("{}/{}", books[at.book].region.code, at.rule);
    let why = |why: &crate::rules::Why| match why {
        crate::rules::Why::Same(by)
        | crate::rules::Why::Lower(by)
        | crate::rules::Why::ReplacedBy(by)
        | crate::rules::Why::LiftedBy(by) => {
            format!("{why:?}").split('(').next().expect("word").to_owned() + &name(by)
        }
        other => format!("{other:?}"),
    };
    let mut findings: Vec<String> = verdict
        .findings()
        .map(|finding| {
            let code = &books[finding.book].region.code;
            let mut unless: Vec<String> = finding.unless.iter().map(name).collect();
            unless.sort();
            format!(
                "{code}/{} {:?} {:?} {} {unless:?}",
                finding.rule,
                finding.effect,
                finding.holds,
                why(&finding.why)
            )
        })
        .collect();
    findings.sort();
    let mut limits: Vec<String> = verdict
        .limits
        .iter()
        .map(|limit| {
            let mut rules: Vec<String> = limit.rules.iter().map(name).collect();
            rules.sort();
            format!("{:?} {:?} {rules:?}", limit.amount.in_base(), limit.holds)
        })
        .collect();
    limits.sort();
    (verdict.answer, verdict.possible.clone(), findings, limits)
}

/// How many facts there are to learn: nine of the visitor, three zones, gear and harvest.
const FACTS: usize = 14;

/// The law and the place once one fact is learnt; what was known stays as it was.
fn learnt<'b>(
    books: &[&'b RuleBook],
    visit: &Visit,
    place: &Membership,
    fact: usize,
    yes: bool,
) -> (Law<'b>, Membership) {
    let (mut visit, mut place) = (visit.clone(), place.clone());
    let mut gear = Gear::default();
    let visitor = &mut visit.visitor;
    let learn = |known: &mut Truth| {
        if *known == Truth::NotKnown {
            *known = Truth::from(yes);
        }
    };
    match fact {
        0 => learn(&mut visitor.resident),
        1 => learn(&mut visitor.permit),
        2 => learn(&mut visitor.owner),
        3 => learn(&mut visitor.consent),
        4 => learn(&mut visitor.commercial),
        5 => learn(&mut visitor.escorted),
        6 => visitor.age = visitor.age.or(Years::new(if yes { 6.0 } else { 33.0 }).ok()),
        7 => visitor.party = visitor.party.or(Some(if yes { 4 } else { 1 })),
        8 => learn(&mut visitor.family),
        9..12 => {
            let zone = &mut place.zones[fact - 9];
            if *zone == Part::NOT_KNOWN {
                *zone = if yes { Part::WHOLE } else { Part::NONE };
            }
        }
        12 => {
            gear.used = Some(if yes { vec![Tool::Knife] } else { Vec::new() });
            gear.carried = Some(Vec::new());
        }
        _ => {}
    }
    let law = Law::with_gear(books, &visit, &gear);
    let clump = Taken {
        clump: Some(yes),
        ..Taken::default()
    };
    (if fact == 13 { law.knowing(&[clump]) } else { law }, place)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_books_and_copies_of_them_do_not_matter(
        first in book("XX-A"), second in book("XX-B"), third in book("XX-C"),
        a in membership(), b in membership(), c in membership(), visit in visit(),
    ) {
        let there = [&first, &second, &third];
        let told = said(&ask(&there, &[&a, &b, &c], &visit), &there);
        for (books, places) in [
            (vec![&third, &first, &second], vec![&c, &a, &b]),
            (vec![&second, &first, &third], vec![&b, &a, &c]),
            (vec![&first, &first, &second, &third, &second], vec![&a, &a, &b, &c, &b]),
        ] {
            prop_assert_eq!(&said(&ask(&books, &places, &visit), &books), &told);
        }
    }

    #[test]
    fn many_stands_and_one_get_the_same_answer(first in book("XX-A"), second in book("XX-B"), a in membership(), b in membership(), visit in visit()) {
        let law = Law::on(&[&first, &second], &visit);
        prop_assert_eq!(law.answer(&[&a, &b]), law.verdict(&[&a, &b]).answer);
        // The same where each rule holds for some by itself and for all by cases: both have to try them.
        let (first, second) = (by_cases(&first), by_cases(&second));
        let visit = Visit { visitor: Visitor { owner: Truth::NotKnown, ..visit.visitor }, ..visit };
        let law = Law::on(&[&first, &second], &visit);
        prop_assert_eq!(law.answer(&[&a, &b]), law.verdict(&[&a, &b]).answer);
    }

    /// Each fact that is not told is learnt by itself, either way; of one of them the possible answers are held, too.
    #[test]
    fn learning_only_picks_among_what_was_possible(
        first in book("XX-A"), second in book("XX-B"), a in membership(), b in membership(), told in visit(),
        nothing_told in any::<bool>(), looked_at in 0..FACTS,
    ) {
        let books = [&first, &second];
        let visit = if nothing_told { Visit { visitor: Visitor::default(), ..told } } else { told };
        let before = ask(&books, &[&a, &b], &visit);
        prop_assert!(before.possible.contains(&before.answer));
        for (fact, yes) in (0..FACTS).flat_map(|fact| [(fact, true), (fact, false)]) {
            let (law, place) = learnt(&books, &visit, &a, fact, yes);
            let answer = law.answer(&[&place, &b]);
            prop_assert!(before.possible.contains(&answer), "{:?} then {answer:?} by {fact} {yes}", before.possible);
            if fact == looked_at {
                let after = law.verdict(&[&place, &b]).possible;
                prop_assert!(after.iter().all(|answer| before.possible.contains(answer)), "{:?} then {after:?}", before.possible);
            }
        }
    }

    #[test]
    fn a_book_out_of_date_opens_nothing(first in book("XX-A"), a in membership(), visit in visit()) {
        let mut old = first.clone();
        old.valid_to = Some(at("2026-08-31", None).day);
        let (before, after) = (ask(&[&first], &[&a], &visit), ask(&[&old], &[&a], &visit));
        prop_assert!(after.answer <= Answer::NotKnown);
        prop_assert!(after.answer <= before.answer);
        if after.answer == Answer::Closed {
            prop_assert!(after.out_of_date);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, max_global_rejects: 16_384, failure_persistence: None, ..ProptestConfig::default() })]

    /// A first word on a place that was silent so far is new coverage, and may improve on "not known". What was closed
    /// stays closed. Of a visitor who left a question open, what else was asked whoever they are may come to hang on who
    /// they are: then it is not known, and never more than that.
    #[test]
    fn one_more_rule_that_forbids_limits_or_asks_never_improves_an_answer(
        base in book("XX-A"), more in rule(9, 0..RESTRICTIVE), a in membership(), visit in visit(),
    ) {
        let before = Law::on(&[&base], &visit).answer(&[&a]);
        let silent = Law::on(&[&base], &visit).outcome(&[&a]).silent;
        prop_assume!(before != Answer::NotKnown || !silent);
        let mut with = base.clone();
        with.rules.push(Rule { replaces: Vec::new(), ..more.clone() });
        let other = RuleBook { rules: vec![Rule { replaces: Vec::new(), ..more }], ..blank("XX-B") };
        let after = |visit: &Visit| {
            [
                Law::on(&[&with], visit).answer(&[&a]),
                Law::on(&[&base, &other], visit).answer(&[&a, &a]),
            ]
        };
        let most = match before {
            Answer::Closed => Answer::Closed,
            _ => before.max(Answer::NotKnown),
        };
        prop_assert!(after(&visit).iter().all(|after| *after <= most), "{before:?} became {:?}", after(&visit));
        let told = all_told(&visit);
        let before = Law::on(&[&base], &told).answer(&[&a]);
        prop_assume!(before != Answer::NotKnown || !Law::on(&[&base], &told).outcome(&[&a]).silent);
        prop_assert!(after(&told).iter().all(|after| *after <= before), "all told, {before:?} became {:?}", after(&told));
    }
}

#[test]
fn silence_of_any_number_of_books_is_not_known() {
    let (first, second) = (blank("XX-A"), blank("XX-B"));
    let place = first.membership_of(&[0, 1, 2]);
    let verdict = ask(&[&first, &second], &[&place, &place], &at("2026-09-12", None));
    assert_eq!(verdict.answer, Answer::NotKnown);
    assert_eq!(verdict.notes[0].key, "law.not_known.silent");
}

/// Residents may take nothing, and nobody else may collect, so that what binds the others is idle: closed whoever asks,
/// and both rules say so.
#[test]
fn an_answer_that_is_the_same_in_every_case_names_the_rules_of_all_cases() {
    let mut book = blank("XX-A");
    let resident = Who {
        resident: Some(true),
        ..Who::default()
    };
    book.rules = vec![
        Rule {
            who: resident.clone(),
            ..plain("none", Kind::Quantity, quota("0", Unit::Kilogram))
        },
        plain(
            "residents",
            Kind::WhoMay,
            Provision::WhoMay { only: vec![resident] },
        ),
        Rule {
            who: Who {
                resident: Some(false),
                ..Who::default()
            },
            ..plain("others", Kind::Quantity, quota("2", Unit::Kilogram))
        },
    ];
    book.valid_to = Some(at("2026-08-31", None).day);
    let place = book.membership_of(&[0, 1, 2]);
    let verdict = ask(&[&book], &[&place], &at("2026-09-05", None));
    assert_eq!(verdict.answer, Answer::Closed);
    let deciding: Vec<&str> = verdict
        .decided_by
        .iter()
        .map(|finding| finding.rule.as_str())
        .collect();
    assert_eq!(deciding, ["none", "residents"]);
    assert!(verdict.out_of_date);
}

/// The same rules, and a limit for everybody beside them: closed whoever asks all the same.
#[test]
fn a_limit_for_everybody_opens_nothing_that_is_closed_to_each() {
    let closed_to = |resident| Rule {
        who: Who {
            resident: Some(resident),
            ..Who::default()
        },
        ..plain(
            &format!("closed-{resident}"),
            Kind::Quantity,
            quota("0", Unit::Kilogram),
        )
    };
    let mut book = blank("XX-A");
    book.rules = vec![closed_to(true), closed_to(false)];
    let place = book.membership_of(&[0, 1, 2]);
    let visit = at("2026-09-05", None);
    assert_eq!(ask(&[&book], &[&place], &visit).answer, Answer::Closed);
    book.rules
        .push(plain("all", Kind::Quantity, quota("2", Unit::Kilogram)));
    let verdict = ask(&[&book], &[&place], &visit);
    assert_eq!(verdict.answer, Answer::Closed);
    let deciding: Vec<&str> = verdict
        .decided_by
        .iter()
        .map(|finding| finding.rule.as_str())
        .collect();
    assert_eq!(deciding, ["closed-false", "closed-true"]);
    // Closed to one of them only, it hangs on who asks.
    book.rules.remove(0);
    assert_eq!(ask(&[&book], &[&place], &visit).answer, Answer::NotKnown);
}

/// Residents may take two kilograms, all others one: limits, whoever asks. On a map where other zones meet in so many
/// places that not every visitor can be tried in each, it is not known, on the map as on a stand.
#[test]
fn where_visitors_are_too_many_to_be_tried_it_is_not_known() {
    let mut book = blank("XX-A");
    let rule = |id, resident, amount| Rule {
        who: Who {
            resident: Some(resident),
            ..Who::default()
        },
        ..plain(id, Kind::Quantity, quota(amount, Unit::Kilogram))
    };
    book.rules = vec![rule("residents", true, "2"), rule("others", false, "1")];
    let place = book.membership_of(&[0]);
    let visit = at("2026-09-05", None);
    for (places, expected) in [
        (1, Answer::Limits),
        (1_000, Answer::Limits),
        (20_000_000, Answer::NotKnown),
    ] {
        let law = Law::on(&[&book], &visit).among(places);
        assert_eq!(law.answer(&[&place]), expected, "{places} places");
        assert_eq!(law.verdict(&[&place]).answer, expected, "{places} places");
        let year = crate::rules::year(&law, &[&place]).1;
        assert!(
            year.iter().all(|answer| *answer == expected),
            "{places} places: {year:?}"
        );
        let too_many = visitors_are_too_many(std::slice::from_ref(&book), places);
        assert_eq!(too_many, expected == Answer::NotKnown, "{places} places");
    }
    let mut told = visit;
    told.visitor.resident = Truth::False;
    let law = Law::on(&[&book], &told).among(20_000_000);
    assert_eq!(law.answer(&[&place]), Answer::Limits, "nothing is left open");
}
