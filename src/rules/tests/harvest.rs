//! Baskets held against statutes. The statutes stand in `tests/fixtures/rules/statutes`, each with its source and how it
//! was seen; the facts are those of the acts named beside the tables. What counts as over is arithmetic, so the expected
//! answers follow from the act's own figures.

use std::fmt::Write as _;

use super::{FewNames, at, sound, standing_of, subject};
use crate::names::{FungusNames as _, KindId};
use crate::rules::harvest::check;
use crate::rules::kind::Handling;
use crate::rules::{
    Amount, BasketFact, Kind, Law, Measured, Membership, Provision, RuleBook, Span, Taken, Unit,
};
use crate::units::Truth;
use crate::visit::Visit;

/// A basket in a few words: `0.6 kg Boletus edulis`, `2 L Morchella esculenta`, `1 piece Boletus edulis`; several with
/// ` + `. A piece with a weight is `1 piece 2.5 kg Boletus edulis`.
fn basket(text: &str) -> Vec<Taken> {
    text.split(" + ")
        .filter(|part| !part.is_empty())
        .map(|part| {
            let mut taken = Taken::default();
            let mut words = part.split(' ').peekable();
            while let Some(number) = words
                .peek()
                .copied()
                .filter(|word| word.as_bytes()[0].is_ascii_digit())
            {
                words.next();
                let unit = Unit::parse(words.next().expect("a unit")).expect("a unit");
                match unit {
                    Unit::Piece => taken.pieces = number.parse().ok(),
                    Unit::Liter | Unit::Gallon | Unit::Quart => {
                        taken.volume = Amount::read(number, unit).ok()
                    }
                    _ => taken.mass = Amount::read(number, unit).ok(),
                }
            }
            taken.name = words.collect::<Vec<_>>().join(" ");
            taken.kind = if taken.name.starts_with("Morchella") {
                Some(KindId::new("morchella"))
            } else {
                FewNames.kind_of(&taken.name)
            };
            taken
        })
        .collect()
}

fn memberships(books: &[&RuleBook]) -> Vec<Membership> {
    let standing = standing_of(None);
    let area = &books[0].region.area;
    let corner = area.0[0].exterior().0[0];
    let subject = subject(&standing, corner.x + 0.05, corner.y + 0.05);
    books.iter().map(|book| book.membership(&subject)).collect()
}

/// The check in a few lines: the answer, then each limit.
fn said(books: &[&RuleBook], visit: &Visit, basket: &[Taken]) -> String {
    let memberships = memberships(books);
    let memberships: Vec<&Membership> = memberships.iter().collect();
    let law = Law::on(books, visit);
    let check = check(&law, &memberships, &law.verdict(&memberships), basket);
    let mut said = check.answer.word().to_owned();
    for fill in &check.fills {
        write!(
            said,
            "; {} of {} {}",
            fill.used,
            fill.limit.amount,
            fill.level.word()
        )
        .expect("text");
    }
    for remark in &check.put_back {
        write!(said, "; back {} by {}", remark.entry + 1, remark.rule.rule).expect("text");
    }
    for remark in &check.mishandled {
        write!(said, "; mishandled {} by {}", remark.entry + 1, remark.rule.rule).expect("text");
    }
    said
}

fn table(book: &[u8], day: &str, rows: &[(&str, &str)]) {
    let book = sound(book);
    for (text, expected) in rows {
        assert_eq!(said(&[&book], &at(day, None), &basket(text)), *expected, "{text}");
    }
}

/// Canton of Lucerne: 2 kg a person and day, of which half a kilogram of morels and chanterelles together (by the press,
/// 11 October 2017; secondary). Sums are exact: in binary fractions 0.1 + 0.2 + 0.2 is more than 0.5.
#[test]
fn parts_of_a_limit_are_counted_together_and_exactly() {
    table(
        include_bytes!("../../../tests/fixtures/rules/statutes/ch-lu.json"),
        "2026-09-10",
        &[
            (
                "0.2 kg Morchella esculenta + 0.3 kg Cantharellus cibarius",
                "limits; 0.5 of 2 kg under; 0.5 of 0.5 kg full",
            ),
            (
                "0.1 kg Cantharellus cibarius + 0.2 kg Cantharellus cibarius + 0.2 kg Cantharellus cibarius",
                "limits; 0.5 of 2 kg under; 0.5 of 0.5 kg full",
            ),
            (
                "501 g Cantharellus cibarius",
                "over; 0.501 of 2 kg under; 0.501 of 0.5 kg over",
            ),
            (
                "0.5 kg Morchella esculenta + 1.6 kg Boletus edulis",
                "over; 2.1 of 2 kg over; 0.5 of 0.5 kg full",
            ),
            ("", "limits; 0 of 2 kg under; 0 of 0.5 kg under"),
        ],
    );
}

/// The same, of what cannot be counted: a volume against a limit by weight, no amount, a name that no table knows.
#[test]
fn what_cannot_be_counted_is_not_known_and_never_nothing() {
    table(
        include_bytes!("../../../tests/fixtures/rules/statutes/ch-lu.json"),
        "2026-09-10",
        &[
            (
                "1 L Boletus edulis",
                "not_known; 0 of 2 kg not_known; 0 of 0.5 kg under",
            ),
            (
                "3 piece Cantharellus cibarius",
                "not_known; 0 of 2 kg not_known; 0 of 0.5 kg not_known",
            ),
            (
                "0.6 kg Cantharellus cibarius + 1 L Boletus edulis",
                "over; 0.6 of 2 kg not_known; 0.6 of 0.5 kg over",
            ),
            (
                "0.4 kg Nobody knows",
                "not_known; 0.4 of 2 kg under; 0 of 0.5 kg under",
            ),
            (
                "0.6 kg Nobody knows",
                "not_known; 0.6 of 2 kg under; 0 of 0.5 kg not_known",
            ),
        ],
    );
}

/// Canton of Zurich, Pilzschutzverordnung of 23 March 1983, § 5: closed from the 1st to the 10th, 1 kg a person and day.
#[test]
fn a_closed_day_stays_closed_whatever_is_in_the_basket() {
    let book = sound(include_bytes!(
        "../../../tests/fixtures/rules/statutes/ch-zh.json"
    ));
    for (day, text, expected) in [
        ("2026-09-01", "0.5 kg Boletus edulis", "closed"),
        ("2026-09-11", "1 kg Boletus edulis", "limits"),
        ("2026-09-11", "1.2 kg Boletus edulis", "over"),
    ] {
        let said = said(&[&book], &at(day, None), &basket(text));
        assert_eq!(said.split(';').next(), Some(expected), "{day} {text}: {said}");
    }
}

/// Trento, L.P. 6 August 1991 n. 16, article 2(1) and (3): 2 kg a person and day; not where one single fruit body, not in
/// addition to others, is more than that by itself. Article 2(4): rough cleaning on the spot.
#[test]
fn one_big_fruit_body_may_be_more_than_the_limit_if_it_is_alone() {
    let book = sound(include_bytes!(
        "../../../tests/fixtures/rules/statutes/it-tn.json"
    ));
    let mut visit = at("2026-09-11", None);
    visit.visitor.permit = Truth::True;
    let first = |text: &str| {
        let said = said(&[&book], &visit, &basket(text));
        said.split("; ").take(2).collect::<Vec<_>>().join("; ")
    };
    for (text, expected) in [
        ("1 piece 2.4 kg Boletus edulis", "limits; 2.4 of 2 kg full"),
        ("2 piece 2.4 kg Boletus edulis", "over; 2.4 of 2 kg over"),
        ("2.4 kg Boletus edulis", "not_known; 2.4 of 2 kg not_known"),
        (
            "1 piece 2.4 kg Boletus edulis + 0.1 kg Cantharellus cibarius",
            "over; 2.5 of 2 kg over",
        ),
    ] {
        assert_eq!(first(text), expected, "{text}");
    }
    let mut unclean = basket("1 kg Boletus edulis");
    unclean[0].handling.push((Handling::CleanOnTheSpot, false));
    assert!(
        said(&[&book], &visit, &unclean).contains("mishandled 1 by"),
        "{}",
        said(&[&book], &visit, &unclean)
    );
}

/// Austria, Forstgesetz § 174(3), and Vorarlberg, LGBl. 68/2005 § 2(1): 2 kg in both acts. The second is not counted once
/// more, and a book that is given twice changes nothing.
#[test]
fn the_same_limit_from_two_acts_is_one() {
    let (state, land) = (
        sound(include_bytes!("../../../tests/fixtures/rules/statutes/at.json")),
        sound(include_bytes!("../../../tests/fixtures/rules/statutes/at-7.json")),
    );
    let visit = at("2026-09-11", None);
    let basket = basket("2.1 kg Boletus edulis");
    let once = said(&[&land, &state], &visit, &basket);
    assert_eq!(once.matches("2.1 of 2 kg over").count(), 1, "{once}");
    assert_eq!(once, said(&[&land, &state, &land], &visit, &basket));
    assert_eq!(once, said(&[&state, &land], &visit, &basket));
}

/// A book of one region with the given rules after a limit of 5 kg.
fn book_with(rules: &str) -> RuleBook {
    let text = format!(
        r#"{{"format": "hostwood-rules/1.0", "region": {{"code": "XX-HV", "names": {{"en": "Harvest"}}, "area": {{"type": "Polygon", "coordinates": [[[10, 46], [11, 46], [11, 47], [10, 47], [10, 46]]]}}, "time_zone": "Europe/Vienna"}},
  "authority": {{"name": {{"en": "Forest Office"}}, "phone": "1"}}, "languages": ["en"], "checked": "2026-09-01",
  "sources": [{{"id": "act", "title": "Act", "kind": "official"}}],
  "taxa": {{"ceps": {{"members": [{{"scientific_name": "Boletus edulis"}}, {{"scientific_name": "Boletus reticulatus"}}]}},
           "morels": {{"members": [{{"scientific_name": "Morchella", "rank": "genus"}}]}},
           "rare": {{"members": [{{"scientific_name": "Amanita caesarea"}}], "open": true}}}},
  "rules": [{{"id": "daily", "kind": "quantity", "text": {{"en": "5 kg"}}, "sources": ["act"], "quantity": {{"amount": "5", "unit": "kg", "per": "person", "period": "day"}}}}, {rules}]}}"#
    );
    sound(text.as_bytes())
}

fn rule(id: &str, kind: &str, more: &str, object: &str) -> String {
    format!(
        r#"{{"id": "{id}", "kind": "{kind}", "text": {{"en": "x"}}, "sources": ["act"]{more}, "{kind}": {object}}}"#
    )
}

/// Castilla y León, Decreto 31/2017: caps of 4 cm in general, 4 cm of height for Morchella (sizes read at the government's
/// announcement in the official journal; a copy).
#[test]
fn sizes_are_held_against_the_way_they_were_measured() {
    let book = book_with(
        &[
            rule(
                "caps",
                "min_size",
                r#", "taxa": {"all_but": "morels"}"#,
                r#"{"at_least": "4", "unit": "cm", "measure": "cap", "clumps_exempt": true}"#,
            ),
            rule(
                "morels",
                "min_size",
                r#", "taxa": "morels""#,
                r#"{"at_least": "4", "unit": "cm", "measure": "height"}"#,
            ),
        ]
        .join(", "),
    );
    let held = |name: &str, sizes: &[(Measured, &str)], clump: Option<bool>| {
        let mut basket = basket(&format!("0.5 kg {name}"));
        for (way, size) in sizes {
            let size = Some(size.parse().expect(size));
            match way {
                Measured::Cap => basket[0].cap = size,
                _ => basket[0].height = size,
            }
        }
        basket[0].clump = clump;
        let visit = at("2026-09-11", None);
        let memberships = memberships(&[&book]);
        let memberships: Vec<&Membership> = memberships.iter().collect();
        let law = Law::on(&[&book], &visit);
        check(&law, &memberships, &law.verdict(&memberships), &basket)
    };
    use Measured::{Cap, Height};
    for (name, sizes, clump, expected) in [
        ("Boletus edulis", &[(Cap, "3.8")][..], Some(false), "breach"),
        ("Boletus edulis", &[(Cap, "4.0")], Some(false), "limits"),
        ("Boletus edulis", &[(Cap, "3.8")], Some(true), "limits"),
        ("Boletus edulis", &[(Cap, "3.8")], None, "not_known"),
        ("Boletus edulis", &[(Height, "9")], Some(false), "not_known"),
        ("Boletus edulis", &[], None, "not_known"),
        (
            "Morchella esculenta",
            &[(Cap, "2.5"), (Height, "6")],
            None,
            "limits",
        ),
        (
            "Morchella esculenta",
            &[(Cap, "2.5"), (Height, "3.9")],
            None,
            "breach",
        ),
    ] {
        let check = held(name, sizes, clump);
        assert_eq!(check.answer.word(), expected, "{name} {sizes:?} {clump:?}");
        assert_eq!(
            check.too_small.is_empty(),
            expected == "limits",
            "{name} {sizes:?}"
        );
    }
}

/// What is protected goes back, whatever its amount; in a set with "and similar ones" what is not named may belong to it.
/// A list of what may be taken works the other way round (Luxembourg and Abruzzo have such lists).
#[test]
fn what_must_not_be_taken_goes_back() {
    let protects = rule(
        "kept",
        "protected_taxon",
        r#", "taxa": "rare""#,
        r#"{"forbids": ["collect"]}"#,
    );
    let sells = rule(
        "no-sale",
        "protected_taxon",
        r#", "taxa": "ceps""#,
        r#"{"forbids": ["sell"]}"#,
    );
    let lists = rule("only-these", "allow_list", r#", "taxa": "ceps""#, "{}");
    let morels = rule(
        "spring",
        "season",
        r#", "taxa": "morels""#,
        r#"{"open": {"from": "04-01", "to": "05-31"}}"#,
    );
    let none = rule(
        "none",
        "quantity",
        r#", "taxa": "morels""#,
        r#"{"amount": "0", "unit": "kg", "per": "person", "period": "day"}"#,
    );
    for (rules, text, expected) in [
        (
            &protects,
            "0.1 kg Amanita caesarea",
            "closed; 0.1 of 5 kg under; back 1 by kept",
        ),
        (
            &protects,
            "0.1 kg Boletus edulis",
            "not_known; 0.1 of 5 kg under; back 1 by kept",
        ),
        (&sells, "0.1 kg Boletus edulis", "limits; 0.1 of 5 kg under"),
        (&lists, "0.1 kg Boletus edulis", "limits; 0.1 of 5 kg under"),
        (
            &lists,
            "0.1 kg Amanita caesarea",
            "closed; 0.1 of 5 kg under; back 1 by only-these",
        ),
        (
            &lists,
            "0.1 kg Nobody knows",
            "not_known; 0.1 of 5 kg under; back 1 by only-these",
        ),
        (
            &morels,
            "0.1 kg Morchella esculenta",
            "closed; 0.1 of 5 kg under; back 1 by spring",
        ),
        (&morels, "0.1 kg Boletus edulis", "limits; 0.1 of 5 kg under"),
        (
            &none,
            "0.1 kg Morchella esculenta",
            "closed; 0.1 of 5 kg under; 0.1 of 0 kg over; back 1 by none",
        ),
    ] {
        let book = book_with(rules);
        assert_eq!(
            said(&[&book], &at("2026-09-11", None), &basket(text)),
            expected,
            "{text}"
        );
    }
}

/// Liguria, Gazzetta Ufficiale 007R0692, article 3: honey fungus without limit, the others within the whole (the reading
/// that honey fungus stands outside the whole is ours).
#[test]
fn a_kind_that_a_rule_sets_free_does_not_count() {
    let free = r#"{"id": "free", "kind": "unlimited", "taxa": "ceps", "replaces": ["daily"], "text": {"en": "x"}, "sources": ["act"]}"#;
    let book = book_with(free);
    for (text, expected) in [
        (
            "5 kg Cantharellus cibarius + 2 kg Boletus edulis",
            "limits; 5 of 5 kg full",
        ),
        (
            "5.1 kg Cantharellus cibarius + 2 kg Boletus edulis",
            "over; 5.1 of 5 kg over",
        ),
    ] {
        assert_eq!(
            said(&[&book], &at("2026-09-11", None), &basket(text)),
            expected,
            "{text}"
        );
    }
}

/// Gifford Pinchot National Forest: 2 US gallons a day and 20 a year (forest page, a copy). What was taken before is not
/// told, so the year's limit stays open; a gallon is 3.785411784 l exactly (NIST Special Publication 811, appendix B).
#[test]
fn a_limit_over_a_year_stays_open_and_gallons_are_exact() {
    let gallons = |id: &str, amount: &str, period: &str| {
        rule(
            id,
            "quantity",
            "",
            &format!(r#"{{"amount": "{amount}", "unit": "gal_us", "per": "person", "period": "{period}"}}"#),
        )
    };
    let book = book_with(&[gallons("day", "2", "day"), gallons("year", "20", "year")].join(", "));
    for (text, expected) in [
        (
            "2 gal_us 1 kg Boletus edulis",
            "not_known; 1 of 5 kg under; 2 of 2 gal_us full; 2 of 20 gal_us under",
        ),
        (
            "7.570823568 L 1 kg Boletus edulis",
            "not_known; 1 of 5 kg under; 2 of 2 gal_us full; 2 of 20 gal_us under",
        ),
        (
            "7.570823569 L 1 kg Boletus edulis",
            "over; 1 of 5 kg under; 2.0001 of 2 gal_us over; 2.0001 of 20 gal_us under",
        ),
    ] {
        assert_eq!(
            said(&[&book], &at("2026-09-11", None), &basket(text)),
            expected,
            "{text}"
        );
    }
}

/// Piedmont, L.R. 24/2007, article 3(8) as amended in 2014 (read on a municipality's page): no title is asked for eight
/// kinds by name, morels among them; the limit holds for them all the same. A stand by itself, and a basket with any other
/// kind, asks for it.
#[test]
fn a_basket_of_kinds_that_need_no_permit_asks_for_none() {
    let book = book_with(
        &[
            rule("title", "permit", "", "{}"),
            r#"{"id": "free-of-title", "kind": "exemption", "taxa": "morels", "exempts": ["title"], "text": {"en": "x"}, "sources": ["act"]}"#.to_owned(),
        ]
        .join(", "),
    );
    for (text, expected) in [
        ("", "need; 0 of 5 kg under"),
        ("0.1 kg Morchella esculenta", "limits; 0.1 of 5 kg under"),
        ("5.1 kg Morchella esculenta", "over; 5.1 of 5 kg over"),
        (
            "0.1 kg Morchella esculenta + 0.1 kg Boletus edulis",
            "need; 0.2 of 5 kg under",
        ),
        ("0.1 kg Nobody knows", "need; 0.1 of 5 kg under"),
    ] {
        assert_eq!(
            said(&[&book], &at("2026-09-11", None), &basket(text)),
            expected,
            "{text}"
        );
    }
    // Where the permit is all that speaks of the stand, silence is left, and silence is not known.
    let mut silent = book;
    (silent.rules[0].kind, silent.rules[0].provision) = (Kind::Advice, Provision::Advice);
    let alone = basket("0.1 kg Morchella esculenta");
    assert_eq!(said(&[&silent], &at("2026-09-11", None), &alone), "not_known");
}

/// Helena-Lewis and Clark National Forest, 2021 (forest page, a copy): no permit below 1 gallon at a time and 5 gallons in
/// the season. What was taken before in the season has to be told.
#[test]
fn a_permit_above_an_amount_is_not_asked_below_it() {
    let above = r#"{"above": [{"amount": "1", "unit": "gal_us", "period": "trip"}, {"amount": "5", "unit": "gal_us", "period": "season"}]}"#;
    let book = book_with(&rule("paper", "permit", "", above));
    for (text, earlier, expected) in [
        (
            "1 gal_us 1 kg Morchella esculenta",
            Some("3 gal_us 2 kg Morchella esculenta"),
            "limits",
        ),
        (
            "1 gal_us 1 kg Morchella esculenta",
            Some("4.1 gal_us 2 kg Morchella esculenta"),
            "need",
        ),
        (
            "1.1 gal_us 1 kg Morchella esculenta",
            Some("0 gal_us 0 kg Morchella esculenta"),
            "need",
        ),
        ("1 gal_us 1 kg Morchella esculenta", None, "need"),
        (
            "1 kg Morchella esculenta",
            Some("0 gal_us 0 kg Morchella esculenta"),
            "need",
        ),
    ] {
        let mut held = basket(text);
        for mut taken in basket(earlier.unwrap_or_default()) {
            taken.earlier = Some(Span::Season);
            held.push(taken);
        }
        let said = said(&[&book], &at("2026-09-11", None), &held);
        assert_eq!(
            said.split(';').next(),
            Some(expected),
            "{text} after {earlier:?}: {said}"
        );
    }
}

/// What a page has to ask so that the rules can be held against a basket.
#[test]
fn a_book_says_what_a_basket_should_tell() {
    let asked = |rules: &str| {
        let facts = book_with(rules).basket_facts();
        facts
            .into_iter()
            .map(BasketFact::word)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let table = [
        (rule("a", "advice", "", "{}"), "mass"),
        (
            rule(
                "a",
                "quantity",
                "",
                r#"{"amount": "5", "unit": "L", "per": "person", "period": "day"}"#,
            ),
            "mass volume",
        ),
        (
            rule(
                "a",
                "count",
                "",
                r#"{"most": 15, "counts": "pieces", "per": "person", "period": "day"}"#,
            ),
            "mass pieces",
        ),
        (
            rule(
                "a",
                "count",
                "",
                r#"{"most": 3, "counts": "kinds", "per": "person", "period": "day"}"#,
            ),
            "mass",
        ),
        (
            rule(
                "a",
                "overweight_exception",
                "",
                r#"{"trigger": ["specimen", "clump"], "alone": true}"#,
            ),
            "mass pieces clump",
        ),
        (
            rule(
                "a",
                "min_size",
                "",
                r#"{"at_least": "4", "unit": "cm", "measure": "height", "clumps_exempt": true}"#,
            ),
            "mass height clump",
        ),
        (rule("a", "min_size", "", r#"{"measure": "width"}"#), "mass"),
        (
            rule(
                "a",
                "min_size",
                "",
                r#"{"at_least": "4", "unit": "cm", "measure": "width"}"#,
            ),
            "mass width",
        ),
        (
            rule("a", "processing", "", r#"{"must": ["clean_on_the_spot"]}"#),
            "mass cleaned",
        ),
        (
            rule(
                "a",
                "permit",
                "",
                r#"{"above": [{"amount": "1", "unit": "gal_us", "period": "day"}]}"#,
            ),
            "mass volume",
        ),
    ];
    for (rule, expected) in table {
        assert_eq!(asked(&rule), expected, "{rule}");
    }
}
