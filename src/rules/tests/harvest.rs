//! Baskets held against statutes. The statutes stand in `tests/fixtures/rules/statutes`, each with its source and how it
//! was seen; the facts are those of the acts named beside the tables. What counts as over is arithmetic, so the expected
//! answers follow from the act's own figures.

use std::fmt::Write as _;

use super::{FewNames, at, sound, standing_of, subject};
use crate::names::{FungusNames as _, KindId};
use crate::rules::harvest::check;
use crate::rules::kind::Handling;
use crate::rules::{Amount, Law, Membership, RuleBook, Taken, Unit};
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
