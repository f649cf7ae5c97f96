//! Real law as rule books, and what it says. The values come from the acts named in the fixtures, which also say how
//! each was read; none was held against the text in force, so this is test data and no legal information.

use super::{at, sound, standing_of, subject, verdict_of};
use crate::rules::{
    Answer, Container, Dimension, Gear, Law, Membership, Part, Question, RuleBook, Unit, Verdict, Why,
};
use crate::stand::{AttributeValue, Ownership, Standing};
use crate::units::{Fact, Truth, Years};
use crate::visit::Visit;

macro_rules! statute {
    ($file:literal) => {
        sound(include_bytes!(concat!(
            "../../../tests/fixtures/rules/statutes/",
            $file,
            ".json"
        )))
    };
}

/// The verdict for a stand that lies in these zones and in no other.
fn within(books: &[&RuleBook], zones: &[&str], visit: &Visit) -> Verdict {
    let memberships: Vec<Membership> = books
        .iter()
        .map(|book| {
            let places: Vec<usize> = zones
                .iter()
                .filter_map(|id| book.zones.iter().position(|zone| zone.id.as_str() == *id))
                .collect();
            book.membership_of(&places)
        })
        .collect();
    Law::on(books, visit).verdict(&memberships.iter().collect::<Vec<_>>())
}

/// Asks one book day by day: `2026-09-01 12:00` closed.
fn asks(book: &RuleBook, zones: &[&str], rows: &[(&str, Answer)]) {
    for (when, expected) in rows {
        let (day, time) = when
            .split_once(' ')
            .map_or((*when, None), |(day, time)| (day, Some(time)));
        let verdict = within(&[book], zones, &at(day, time));
        assert_eq!(
            verdict.answer, *expected,
            "{} {when}: {verdict:#?}",
            book.region.code
        );
    }
}

/// The rules that set each limit, and its amount.
fn limits(verdict: &Verdict, books: &[&RuleBook]) -> Vec<String> {
    verdict
        .limits
        .iter()
        .map(|limit| {
            let mut rules: Vec<String> = limit
                .rules
                .iter()
                .map(|at| format!("{}/{}", books[at.book].region.code, at.rule))
                .collect();
            rules.sort();
            format!("{} by {}", limit.amount, rules.join(" and "))
        })
        .collect()
}

fn why<'v>(verdict: &'v Verdict, book: usize, rule: &str) -> &'v Why {
    let finding = verdict
        .findings()
        .find(|finding| finding.book == book && finding.rule.as_str() == rule)
        .unwrap_or_else(|| panic!("no finding on {rule}"));
    &finding.why
}

/// Canton of Zurich, Pilzschutzverordnung of 23 March 1983, sections 2 and 5.
#[test]
fn one_kilogram_and_ten_closed_days() {
    let book = statute!("ch-zh");
    asks(
        &book,
        &[],
        &[
            ("2026-09-01 12:00", Answer::Closed),
            ("2026-09-10 23:30", Answer::Closed),
            ("2026-09-11 12:00", Answer::Limits),
            ("2026-09-30", Answer::Limits),
            ("2026-10-01", Answer::Closed),
        ],
    );
    let verdict = within(&[&book], &[], &at("2026-09-11", None));
    assert_eq!(limits(&verdict, &[&book]), ["1 kg by CH-ZH/daily"]);
    assert_eq!(verdict.headline.key, "law.answer.limits");
}

/// Canton of Fribourg, RPNat article 26: hours and amount do not hold in gardens and orchards near dwellings.
#[test]
fn hours_with_an_exempt_place() {
    let book = statute!("ch-fr");
    asks(
        &book,
        &[],
        &[
            ("2026-09-12 20:30", Answer::Closed),
            ("2026-09-12 12:00", Answer::Limits),
        ],
    );
    asks(&book, &["garden"], &[("2026-09-12 20:30", Answer::Free)]);
    let verdict = within(&[&book], &["garden"], &at("2026-09-12", None));
    assert!(matches!(why(&verdict, 0, "hours"), Why::ReplacedBy(by) if by.rule.as_str() == "gardens"));
    assert_eq!(limits(&verdict, &[&book]), <[&str; 0]>::default());
}

/// Canton of Bern, NSchV article 23: the closed days ended on 30 June 2012.
#[test]
fn a_rule_that_ended() {
    let book = statute!("ch-be");
    asks(
        &book,
        &[],
        &[
            ("2012-06-05 10:00", Answer::Closed),
            ("2012-06-30", Answer::Limits),
            ("2012-07-05 10:00", Answer::Limits),
        ],
    );
    let after = within(&[&book], &[], &at("2012-07-05", None));
    assert_eq!(
        *why(&after, 0, "first-seven"),
        Why::Ended(at("2012-06-30", None).day)
    );
    let before = within(&[&book], &[], &at("2012-06-05", None));
    assert_eq!(before.next.map(|next| next.on), Some(at("2012-06-08", None).day));
}

/// Canton of Ticino, law of 30 May 2005, articles 1 to 3.
#[test]
fn a_night_across_midnight() {
    let book = statute!("ch-ti");
    asks(
        &book,
        &[],
        &[
            ("2026-09-12 02:00", Answer::Closed),
            ("2026-09-12 06:59", Answer::Closed),
            ("2026-09-12 07:00", Answer::Limits),
            ("2026-09-12 19:59", Answer::Limits),
            ("2026-09-12 20:00", Answer::Closed),
            // Without a time the hours are told and close nothing.
            ("2026-09-12", Answer::Limits),
        ],
    );
    let night = within(&[&book], &[], &at("2026-09-12", Some("20:00")))
        .next
        .expect("opens");
    assert_eq!(
        (night.on.to_string(), night.at.map(|at| at.to_string())),
        ("2026-09-13".into(), Some("07:00".into()))
    );
    let day = within(&[&book], &[], &at("2026-09-12", Some("10:00")))
        .next
        .expect("closes");
    assert_eq!(
        (day.on.to_string(), day.at.map(|at| at.to_string())),
        ("2026-09-12".into(), Some("20:00".into()))
    );
}

fn geared(book: &RuleBook, gear: &Gear, visit: &Visit) -> Answer {
    let membership = book.membership_of(&[]);
    Law::with_gear(&[book], visit, gear).answer(&[&membership])
}

fn carrying(container: Container) -> Gear {
    Gear {
        container: Some(container),
        ..Gear::default()
    }
}

/// Trento, L.P. 6 August 1991 n. 16, article 2.
#[test]
fn container_hours_and_children() {
    use crate::rules::kind::{Form, Handling, Material, Tool};
    let book = statute!("it-tn");
    let mut visit = at("2026-09-12", Some("10:00"));
    visit.visitor.resident = Truth::True;
    let bag = Container {
        material: Some(Material::Plastic),
        form: Some(Form::Bag),
        rigid: Truth::False,
        perforated: Truth::False,
        open: Truth::False,
        ..Container::default()
    };
    let basket = Container {
        material: Some(Material::Wicker),
        form: Some(Form::Basket),
        rigid: Truth::True,
        perforated: Truth::True,
        open: Truth::True,
        ..Container::default()
    };
    let handled = |handling, done| Gear {
        handling: vec![(handling, done)],
        ..carrying(basket.clone())
    };
    for (gear, expected) in [
        (carrying(bag), Answer::Breach),
        (carrying(basket.clone()), Answer::Limits),
        (handled(Handling::CleanOnTheSpot, false), Answer::Breach),
        (handled(Handling::CleanOnTheSpot, true), Answer::Limits),
        (
            Gear {
                used: Some(vec![Tool::Rake]),
                ..Gear::default()
            },
            Answer::Breach,
        ),
        (
            Gear {
                used: Some(vec![Tool::Knife]),
                ..Gear::default()
            },
            Answer::Limits,
        ),
        // Carrying a rake is not using it, as this act has it.
        (
            Gear {
                carried: Some(vec![Tool::Rake]),
                ..Gear::default()
            },
            Answer::Limits,
        ),
        (Gear::default(), Answer::Limits),
    ] {
        assert_eq!(geared(&book, &gear, &visit), expected, "{gear:?}");
    }
    for (age, escorted, expected) in [
        (Some(8.0), Truth::False, Answer::Need),
        (Some(8.0), Truth::NotKnown, Answer::Need),
        (Some(8.0), Truth::True, Answer::Limits),
        (Some(10.0), Truth::False, Answer::Limits),
        (None, Truth::NotKnown, Answer::Limits),
    ] {
        visit.visitor.age = age.map(|age| Years::new(age).expect("age"));
        visit.visitor.escorted = escorted;
        assert_eq!(
            geared(&book, &Gear::default(), &visit),
            expected,
            "{age:?} {escorted:?}"
        );
    }
    asks(&book, &[], &[("2026-09-12 19:30", Answer::Closed)]);
    assert_eq!(
        book.questions(),
        [
            Question::Resident,
            Question::Permit,
            Question::Owner,
            Question::Age,
            Question::Escorted
        ]
    );
}

/// The framework law of 23 August 1993 n. 352, articles 4 and 5, and Trento's act on top of it.
#[test]
fn italy_and_trento_stack() {
    let (italy, trento) = (statute!("it"), statute!("it-tn"));
    let books = [&italy, &trento];
    let mut visit = at("2026-09-12", None);
    visit.visitor.resident = Truth::True;
    let verdict = within(&books, &[], &visit);
    assert_eq!(verdict.answer, Answer::Limits);
    assert_eq!(limits(&verdict, &books), ["2 kg by IT-TN/daily"]);
    assert!(matches!(why(&verdict, 0, "daily"), Why::Lower(by) if by.book == 1));
    assert!(matches!(why(&verdict, 1, "notice"), Why::LiftedBy(by) if by.rule.as_str() == "no-notice"));
    assert_eq!(verdict.ask, Some(1), "the smaller region is nearer");
    insta::assert_snapshot!("italy_and_trento", super::notation(&verdict, &books));
    // A guest who told nothing has to give notice first, unless they live there or own the wood.
    let guest = within(&books, &[], &at("2026-09-12", None));
    assert_eq!(guest.answer, Answer::Need);
    assert_eq!(guest.decided_by[0].unless.len(), 2);
}

/// Piedmont L.R. 24/2007 article 2(4) bans all plastic, Lombardy L.R. 24/1997 closed plastic.
#[test]
fn two_texts_on_plastic() {
    use crate::rules::kind::{Form, Material};
    let (piedmont, lombardy) = (statute!("it-21"), statute!("it-25"));
    let visit = at("2026-09-12", None);
    let container = |material, form, airy| {
        carrying(Container {
            material: Some(material),
            form: Some(form),
            rigid: Truth::True,
            perforated: airy,
            open: Truth::False,
            ..Container::default()
        })
    };
    let crate_ = container(Material::Plastic, Form::Box, Truth::True);
    let bag = container(Material::Plastic, Form::Bag, Truth::False);
    let basket = container(Material::Wicker, Form::Basket, Truth::True);
    for (gear, in_piedmont, in_lombardy) in [
        (&crate_, Answer::Breach, Answer::Limits),
        (&bag, Answer::Breach, Answer::Breach),
        (&basket, Answer::Limits, Answer::Limits),
    ] {
        assert_eq!(geared(&piedmont, gear, &visit), in_piedmont, "{gear:?}");
        assert_eq!(geared(&lombardy, gear, &visit), in_lombardy, "{gear:?}");
    }
    let memberships = [piedmont.membership_of(&[]), lombardy.membership_of(&[])];
    let border = Law::with_gear(&[&piedmont, &lombardy], &visit, &crate_)
        .verdict(&memberships.iter().collect::<Vec<_>>());
    assert_eq!(border.answer, Answer::Breach);
    assert_eq!((border.decided_by.len(), border.decided_by[0].book), (1, 0));
    assert_eq!(*why(&border, 1, "container"), Why::Holds);
}

/// Austria, ForstG 1975 section 174(3), and Tirol, LGBl. 68/2005 section 2(1): the same amount, written once in
/// kilograms and once, for this test, in grams.
#[test]
fn the_same_limit_from_two_acts() {
    let (austria, tirol) = (statute!("at"), statute!("at-7"));
    let books = [&austria, &tirol];
    let verdict = within(&books, &[], &at("2026-09-12", Some("10:00")));
    assert_eq!(verdict.answer, Answer::Limits);
    assert_eq!(limits(&verdict, &books), ["2 kg by AT-7/daily and AT/daily"]);
    let twice = within(
        &[&austria, &tirol, &austria],
        &[],
        &at("2026-09-12", Some("10:00")),
    );
    assert_eq!(twice, verdict);
    assert_eq!(
        within(&books, &[], &at("2026-09-12", Some("19:00"))).answer,
        Answer::Closed
    );
}

/// Hungary, Act XXXVII of 2009 section 69(7) and Act LIII of 1996 section 38.
#[test]
fn ownership_decides() {
    let book = statute!("hu");
    let ask = |ownership: Fact<Ownership>, designation: &[&str], permit, consent| {
        let standing = Standing {
            ownership,
            designation: Fact::Known(designation.iter().map(|tag| (*tag).to_owned()).collect()),
            ..Standing::default()
        };
        let mut visit = at("2026-09-12", None);
        visit.visitor.permit = permit;
        visit.visitor.consent = consent;
        verdict_of(&[&book], &subject(&standing, 19.0, 47.0), &visit)
    };
    let (yes, no) = (Truth::True, Truth::False);
    let state = || Fact::Known(Ownership::State);
    assert_eq!(ask(state(), &[], yes, yes).answer, Answer::Limits);
    assert_eq!(
        ask(Fact::Known(Ownership::Private), &[], yes, no).answer,
        Answer::Need
    );
    assert_eq!(
        ask(Fact::Known(Ownership::Private), &[], yes, yes).answer,
        Answer::Limits
    );
    assert_eq!(ask(state(), &["protected_area"], no, yes).answer, Answer::Need);
    assert_eq!(ask(state(), &["protected_area"], yes, yes).answer, Answer::Limits);
    let unknown = ask(Fact::default(), &[], yes, no);
    assert_eq!(unknown.answer, Answer::NotKnown);
    assert_eq!(unknown.possible, [Answer::Need, Answer::NotKnown, Answer::Limits]);
}

/// Croatia, NN 114/2017: a permit, not for owners.
#[test]
fn a_permit_owners_do_not_need() {
    let book = statute!("hr");
    let mut visit = at("2026-09-12", None);
    let ask = |visit: &Visit| within(&[&book], &[], visit).answer;
    assert_eq!(ask(&visit), Answer::Need);
    visit.visitor.permit = Truth::True;
    assert_eq!(ask(&visit), Answer::Limits);
    visit.visitor.permit = Truth::False;
    visit.visitor.owner = Truth::True;
    assert_eq!(ask(&visit), Answer::Limits);
}

/// Slovakia: protection levels 1 to 5, closed from 3 upwards, not for owners.
#[test]
fn graded_zones() {
    let book = statute!("sk");
    let ask = |level: Option<f64>, owner| {
        let standing = standing_of(level.map(|level| ("protection_level", AttributeValue::Number(level))));
        let mut visit = at("2026-09-12", None);
        visit.visitor.owner = owner;
        verdict_of(&[&book], &subject(&standing, 19.0, 48.5), &visit)
    };
    for (level, owner, expected) in [
        (Some(2.0), Truth::False, Answer::NoRule),
        (Some(3.0), Truth::False, Answer::Closed),
        (Some(5.0), Truth::NotKnown, Answer::Closed),
        (None, Truth::False, Answer::NotKnown),
        (Some(3.0), Truth::True, Answer::NoRule),
    ] {
        assert_eq!(ask(level, owner).answer, expected, "{level:?} {owner:?}");
    }
    let verdict = ask(Some(1.0), Truth::False);
    let protected: Vec<_> = verdict.holding(crate::rules::Kind::ProtectedTaxon).collect();
    assert_eq!(
        protected.len(),
        1,
        "closed for the protected kinds, not for the stand"
    );
    assert_eq!(verdict.answer, Answer::NoRule);
    assert_eq!(
        book.protected()[0].set.expect("a set").members[0].scientific_name,
        "Rubroboletus satanas"
    );
}

/// Canton of Lucerne: 2 kg, of which half a kilogram of morels and chanterelles together; closed on the 1st to 7th.
#[test]
fn a_part_of_a_limit() {
    let book = statute!("ch-lu");
    asks(
        &book,
        &[],
        &[("2026-09-07", Answer::Closed), ("2026-09-08", Answer::Limits)],
    );
    let verdict = within(&[&book], &[], &at("2026-09-10", None));
    assert_eq!(
        limits(&verdict, &[&book]),
        ["2 kg by CH-LU/daily", "0.5 kg by CH-LU/pooled"]
    );
    assert_eq!(*why(&verdict, 0, "pooled"), Why::Adds);
    let part = &verdict.limits[1];
    assert_eq!(part.of.as_ref().map(|of| of.rule.as_str()), Some("daily"));
    assert_eq!(
        (part.amount.unit(), part.amount.dimension()),
        (Unit::Kilogram, Dimension::Mass)
    );
}

#[test]
fn no_book_and_a_book_elsewhere_are_never_permission() {
    let visit = at("2026-09-10", None);
    let nothing = crate::rules::verdict(&[], &visit);
    assert_eq!(
        (nothing.answer, nothing.headline.key),
        (Answer::NotKnown, "law.answer.not_known")
    );
    assert_eq!(nothing.notes[0].key, "law.not_known.no_book");
    let book = statute!("ch-lu");
    let standing = Standing::default();
    let elsewhere = verdict_of(&[&book], &subject(&standing, 19.0, 48.5), &visit);
    assert_eq!(elsewhere.answer, Answer::NotKnown);
    assert_eq!(elsewhere.notes[0].key, "law.not_known.outside");
}

/// Liechtenstein, LGBl. 2002/84 article 2: two amounts that add up, and groups of at most three.
#[test]
fn amounts_side_by_side() {
    let book = statute!("li");
    let verdict = within(&[&book], &[], &at("2026-09-11", Some("12:00")));
    assert_eq!(verdict.answer, Answer::Limits);
    assert_eq!(
        limits(&verdict, &[&book]),
        ["1 kg by LI/two-amounts", "2 kg by LI/two-amounts"]
    );
    assert_eq!(verdict.headline.args[0].1, super::key("law.limits.obligations"));
    for (party, expected) in [
        (None, Answer::Limits),
        (Some(3), Answer::Limits),
        (Some(4), Answer::Breach),
    ] {
        let mut visit = at("2026-09-11", Some("12:00"));
        visit.visitor.party = party;
        assert_eq!(within(&[&book], &[], &visit).answer, expected, "{party:?}");
    }
}

/// South Tyrol, L.P. 18/1991: even days only, amounts by residence, owners apart.
#[test]
fn even_days_and_owners() {
    let book = statute!("it-bz");
    asks(
        &book,
        &[],
        &[
            ("2026-08-30", Answer::Limits),
            ("2026-08-31", Answer::Closed),
            ("2026-09-01", Answer::Closed),
            ("2026-09-02", Answer::Limits),
        ],
    );
    // Nobody told whether they live there: one of two limits holds, and both are shown.
    let verdict = within(&[&book], &[], &at("2026-09-02", None));
    assert_eq!(
        limits(&verdict, &[&book]),
        [
            "1 kg by IT-BZ/guests",
            "3 kg by IT-BZ/owners-amount",
            "2 kg by IT-BZ/residents"
        ]
    );
    assert!(verdict.limits.iter().all(|limit| limit.holds == Truth::NotKnown));
    let mut owner = at("2026-09-01", None);
    owner.visitor.owner = Truth::True;
    owner.visitor.resident = Truth::False;
    let verdict = within(&[&book], &[], &owner);
    assert_eq!(verdict.answer, Answer::Limits);
    assert_eq!(limits(&verdict, &[&book]), ["3 kg by IT-BZ/owners-amount"]);
    assert!(matches!(why(&verdict, 0, "even"), Why::LiftedBy(_)));
    assert!(matches!(why(&verdict, 0, "guests"), Why::ReplacedBy(_)));
}

/// Tuscany, L.R. 16/1999 article 4(2): residents of mountain areas take more than the framework law has.
#[test]
fn a_higher_amount_only_by_naming_the_lower() {
    let (italy, tuscany) = (statute!("it"), statute!("it-52"));
    let books = [&italy, &tuscany];
    for (resident, expected) in [
        (Truth::True, vec!["10 kg by IT-52/mountain"]),
        (Truth::False, vec!["3 kg by IT-52/daily and IT/daily"]),
        (Truth::NotKnown, vec!["3 kg by IT-52/daily and IT/daily"]),
    ] {
        let mut visit = at("2026-09-12", None);
        visit.visitor.resident = resident;
        let verdict = within(&books, &[], &visit);
        assert_eq!(verdict.answer, Answer::Limits);
        assert_eq!(limits(&verdict, &books), expected, "{resident:?}");
    }
}

/// The Netherlands: forbidden, and 250 g tolerated in practice. Practice opens nothing.
#[test]
fn practice_is_no_law() {
    let book = statute!("nl");
    let verdict = within(&[&book], &[], &at("2026-09-12", None));
    assert_eq!(verdict.answer, Answer::Closed);
    assert_eq!(*why(&verdict, 0, "practice"), Why::Apart);
    assert_eq!(verdict.possible, [Answer::Closed]);
}

/// Piedmont before 2007: pieces and kilograms at once.
#[test]
fn pieces_and_kilograms_cannot_be_compared() {
    let book = statute!("it-21-1982");
    let verdict = within(&[&book], &[], &at("2000-09-12", None));
    assert_eq!(
        limits(&verdict, &[&book]),
        ["20 piece by IT-21-1982/pieces", "3 kg by IT-21-1982/weight"]
    );
    assert_eq!(*why(&verdict, 0, "pieces"), Why::CannotBeCompared);
    assert_eq!(*why(&verdict, 0, "weight"), Why::CannotBeCompared);
}

/// Lombardy, L.R. 24/1997: plantings are closed for fifteen years.
#[test]
fn young_stands_are_closed() {
    let book = statute!("it-25");
    let standing = Standing::default();
    let years = |years| Years::new(years).expect("years");
    for (age, expected) in [
        (Fact::Known(years(14.0)), Answer::Closed),
        (Fact::Known(years(15.0)), Answer::Limits),
        (
            Fact::Within {
                low: years(10.0),
                high: years(14.0),
                mid: None,
            },
            Answer::Closed,
        ),
        (
            Fact::Within {
                low: years(10.0),
                high: years(20.0),
                mid: Some(years(15.0)),
            },
            Answer::NotKnown,
        ),
        (Fact::default(), Answer::NotKnown),
    ] {
        let subject = subject(&standing, 9.5, 45.5);
        let subject = crate::rules::Subject { age: &age, ..subject };
        let verdict = verdict_of(&[&book], &subject, &at("2026-09-12", None));
        assert_eq!(verdict.answer, expected, "{age:?}");
    }
    assert_eq!(book.membership_of(&[0]).zones, [Part::WHOLE]);
}
