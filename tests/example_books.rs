//! The rule books of the examples answer as their pages say. Each book has a page beside it with three tables: its rules
//! one by one, questions with their answers, and baskets. The tables are read here and run, so that neither can part from
//! the book.

use std::path::Path;

use hostwood::boundary::{BasketEntry, basket};
use hostwood::day::{ClockTime, Day};
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Answer, Law, Membership, RuleBook, check, harvest};
use hostwood::units::{Truth, Years};
use hostwood::visit::Visit;

const FOLDER: &str = "examples/rules";
const PAGES: [&str; 3] = ["brennach", "ostrelle", "skarhalla"];

fn read(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(FOLDER).join(name)).expect(name)
}

fn book(page: &str) -> RuleBook {
    let text = read(&format!("{page}.rules.json"));
    let today = Day::parse("2026-10-01").expect("a day");
    let checked = check(text.as_bytes(), &Knowledge::shipped().fungi, Some(today));
    let said: Vec<String> = checked.mistakes.iter().map(ToString::to_string).collect();
    assert_eq!(said, [] as [String; 0], "{page}");
    checked.book.expect(page)
}

/// The rows of the table under a heading, each cell without its marks.
fn table(page: &str, heading: &str) -> Vec<Vec<String>> {
    let text = read(&format!("{page}.md"));
    let (_, rest) = text.split_once(&format!("\n## {heading}\n")).expect(heading);
    let section = rest.split("\n## ").next().unwrap_or_default();
    let rows: Vec<Vec<String>> = section
        .lines()
        .filter(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| {
            line.trim_matches('|')
                .split('|')
                .map(|cell| cell.trim().replace('`', ""))
                .collect()
        })
        .collect();
    assert!(rows.len() > 2, "{page} has no table under {heading}");
    rows
}

#[test]
fn every_rule_is_told_on_its_page_in_the_order_of_the_book() {
    for page in PAGES {
        let told: Vec<String> = table(page, "The rules, one by one")
            .into_iter()
            .map(|row| row[0].clone())
            .collect();
        let rules: Vec<String> = book(page).rules.iter().map(|rule| rule.id.to_string()).collect();
        assert_eq!(told, rules, "{page}");
    }
}

fn place(book: &RuleBook, told: &str) -> Membership {
    let zones: Vec<usize> = told
        .split(", ")
        .filter(|zone| *zone != "no zone")
        .map(|zone| {
            book.zones
                .iter()
                .position(|known| known.id.as_str() == zone)
                .unwrap_or_else(|| panic!("no zone is called {zone}"))
        })
        .collect();
    book.membership_of(&zones)
}

/// A visit in the words of the tables: `permit: yes; age: 10`.
fn visit(day: &str, who: &str) -> Visit {
    let (day, time) = day
        .split_once(" at ")
        .map_or((day, None), |(day, time)| (day, Some(time)));
    let mut visit = Visit::on(Day::parse(day).expect(day));
    visit.time = time.map(|time| ClockTime::parse(time).expect(time));
    let visitor = &mut visit.visitor;
    for told in who.split("; ").filter(|told| *told != "nothing told") {
        let (name, value) = told.split_once(": ").expect(told);
        let truth = || match value {
            "yes" => Truth::True,
            "no" => Truth::False,
            other => panic!("{other} is neither yes nor no"),
        };
        match name {
            "permit" => visitor.permit = truth(),
            "resident" => visitor.resident = truth(),
            "owner" => visitor.owner = truth(),
            "consent" => visitor.consent = truth(),
            "commercial" => visitor.commercial = truth(),
            "escorted" => visitor.escorted = truth(),
            "family" => visitor.family = truth(),
            "party" => visitor.party = value.parse().ok(),
            "age" => visitor.age = Years::new(value.parse().expect(value)).ok(),
            other => panic!("nobody can tell {other}"),
        }
    }
    visit
}

#[test]
fn every_question_is_answered_as_its_page_says() {
    for page in PAGES {
        let book = book(page);
        for row in table(page, "Questions and answers") {
            let [at, day, who, answer, rules] = row.as_slice() else {
                panic!("{page}: {row:?}")
            };
            let membership = place(&book, at);
            let verdict = Law::on(&[&book], &visit(day, who)).verdict(&[&membership]);
            assert_eq!(verdict.answer.word(), answer, "{page}: {row:?}");
            for rule in rules.split(", ").filter(|rule| *rule != "none") {
                assert!(
                    verdict
                        .decided_by
                        .iter()
                        .any(|finding| finding.rule.as_str() == rule),
                    "{page}: {rule} did not lead to {row:?}, but {:?}",
                    verdict
                        .decided_by
                        .iter()
                        .map(|finding| &finding.rule)
                        .collect::<Vec<_>>()
                );
            }
            assert_eq!(rules == "none", verdict.decided_by.is_empty(), "{page}: {row:?}");
        }
    }
}

/// A basket in the words of the tables: `0.8 kg Boletus edulis, cap 6 cm + 2 L Morchella esculenta`.
fn entries(told: &str) -> Vec<BasketEntry> {
    told.split(" + ")
        .map(|part| {
            let (part, cap) = part.split_once(", cap ").map_or((part, None), |(part, cap)| {
                (part, cap.trim_end_matches(" cm").parse().ok())
            });
            let mut entry = BasketEntry {
                cap,
                ..BasketEntry::default()
            };
            let mut words = part.split(' ').peekable();
            while let Some(number) = words
                .peek()
                .filter(|word| word.starts_with(|c: char| c.is_ascii_digit()))
            {
                let number = (*number).to_owned();
                words.next();
                match words.next() {
                    Some("kg") => entry.mass = Some(number),
                    Some("L") => entry.volume = Some(number),
                    Some("piece") => entry.pieces = number.parse().ok(),
                    other => panic!("{other:?} is no unit of these tables"),
                }
            }
            entry.kind = words.collect::<Vec<_>>().join(" ");
            entry
        })
        .collect()
}

#[test]
fn every_basket_comes_to_what_its_page_says() {
    for (page, at, who) in [
        ("brennach", "no zone", "permit: yes"),
        ("ostrelle", "state", "nothing told"),
        ("skarhalla", "no zone", "nothing told"),
    ] {
        let book = book(page);
        for row in table(page, "Baskets") {
            let basket = basket(&entries(&row[0]), &Knowledge::shipped().fungi).expect("a basket");
            let membership = place(&book, at);
            let visit = visit("2026-09-12", who);
            let law = Law::on(&[&book], &visit);
            let verdict = law.verdict(&[&membership]);
            let check = harvest::check(&law, &[&membership], &verdict, &basket);
            assert_eq!(
                check.answer.word(),
                row[1],
                "{page}: {} {:#?}",
                row[0],
                check.fills
            );
            assert!(Answer::parse(&row[1]).is_some());
        }
    }
}
