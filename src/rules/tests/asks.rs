//! Questions to rule books in one line each, and books from a few words of JSON: the notation of the tables beside.
//!
//! ```text
//! 2026-09-11 12:00 +120 | who held !resident age=8 | in core | gear plastic bag closed | basket 1.2 kg Boletus edulis
//! ```
//!
//! `held` is an adult who collects for their own use, with permit and consent. A basket's entries may carry marks behind
//! a slash: `0.5 kg Boletus edulis /single /clump /whole /halved /uncleaned /season`; one in `cm` is a cap, one in
//! `cm-high` a height.

use serde_json::{Value, json};

use super::{at, subject};
use crate::knowledge::Knowledge;
use crate::names::{FungusNames as _, RuleId};
use crate::rules::harvest::{HarvestCheck, Taken, check};
use crate::rules::kind::{Form, GroupKind, Handling, Material, Span, Tool};
use crate::rules::{Amount, Answer, Container, Gear, Law, Membership, RuleBook, Subject, Unit, Verdict};
use crate::units::{Truth, Years};
use crate::visit::{Paper, Visit};

/// A book of one act. `body` holds `rules` and what they need; words and sources are filled in.
pub(super) fn act(code: &str, citation: &str, body: Value) -> RuleBook {
    let mut book = json!({
        "format": "hostwood-rules/1.0",
        "region": {
            "code": code,
            "names": {"en": code},
            "area": {"type": "Polygon", "coordinates": [[[14, 47], [15, 47], [15, 48], [14, 48], [14, 47]]]},
            "time_zone": "Europe/Vienna",
        },
        "authority": {"name": {"en": "the authority"}, "phone": "0"},
        "languages": ["en"],
        "checked": "2026-11-25",
        "sources": [{"id": "act", "title": citation, "kind": "official"}],
    });
    let (Value::Object(book_members), Value::Object(members)) = (&mut book, body) else {
        panic!("{code}: objects");
    };
    book_members.extend(members);
    let rules = book_members.get_mut("rules").and_then(Value::as_array_mut);
    for rule in rules.expect("rules") {
        let id = rule["id"].as_str().expect("an id").to_owned();
        let rule = rule.as_object_mut().expect("a rule");
        rule.entry("text").or_insert_with(|| json!({"en": id}));
        rule.entry("sources").or_insert_with(|| json!(["act"]));
    }
    let read = RuleBook::read(book.to_string().as_bytes(), &Knowledge::shipped().fungi);
    let read = read.unwrap_or_else(|mistakes| {
        let said: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        panic!("{code}: {}", said.join("\n"))
    });
    // Laws name fungi that the table of fungi leaves out, and newer books hold kinds of rules that this version lacks.
    let warnings: Vec<String> = read
        .warnings
        .iter()
        .filter(|warning| !["name-not-known", "unknown-kind"].contains(&warning.code))
        .map(ToString::to_string)
        .collect();
    assert_eq!(warnings, <[&str; 0]>::default(), "{code}");
    read.book
}

/// One question, read.
pub(super) struct Ask {
    pub(super) visit: Visit,
    pub(super) zones: Vec<String>,
    pub(super) gear: Gear,
    pub(super) basket: Vec<Taken>,
}

impl Ask {
    pub(super) fn read(text: &str) -> Ask {
        let mut parts = text.split(" | ");
        let mut when = parts.next().expect("a day").split(' ');
        let (day, time) = (when.next().expect("a day"), when.next());
        let mut ask = Ask {
            visit: at(day, time),
            zones: Vec::new(),
            gear: Gear::default(),
            basket: Vec::new(),
        };
        ask.visit.utc_offset = when.next().map(|offset| offset.parse().expect("minutes"));
        for part in parts {
            let (word, rest) = part.split_once(' ').unwrap_or_else(|| panic!("{part}"));
            match word {
                "who" => rest.split(' ').for_each(|word| ask.who(word)),
                "in" => ask.zones.extend(rest.split(' ').map(str::to_owned)),
                "gear" => rest.split(' ').for_each(|word| ask.gear(word)),
                "basket" => ask.basket.extend(rest.split(", ").map(taken)),
                _ => panic!("{text}: {word}"),
            }
        }
        ask
    }

    fn who(&mut self, word: &str) {
        let visitor = &mut self.visit.visitor;
        if let Some((name, value)) = word.split_once('=') {
            match name {
                "age" => visitor.age = Some(Years::new(value.parse().expect("age")).expect("age")),
                "party" => visitor.party = Some(value.parse().expect("a number")),
                // paper=HR/branch-a@2026-01-01..2026-12-31
                "paper" => {
                    let (rule, days) = value.split_once('@').expect("@");
                    let (region, rule) = rule.split_once('/').expect("/");
                    let (from, to) = days.split_once("..").expect("..");
                    visitor.permit = Truth::NotKnown;
                    visitor.papers.push(Paper {
                        region: region.to_owned(),
                        rule: RuleId::new(rule),
                        good: (at(from, None).day, at(to, None).day),
                    });
                }
                _ => panic!("{word}"),
            }
            return;
        }
        let (name, truth) = match word.strip_prefix('!') {
            Some(name) => (name, Truth::False),
            None => (word, Truth::True),
        };
        match name {
            "held" => {
                visitor.permit = Truth::True;
                visitor.consent = Truth::True;
                visitor.commercial = Truth::False;
                visitor.age = Years::new(40.0).ok();
            }
            "resident" => visitor.resident = truth,
            "permit" => visitor.permit = truth,
            "owner" => visitor.owner = truth,
            "consent" => visitor.consent = truth,
            "sale" => visitor.commercial = truth,
            "escorted" => visitor.escorted = truth,
            "family" => visitor.family = truth,
            _ => panic!("{word}"),
        }
    }

    fn gear(&mut self, word: &str) {
        let (name, truth) = match word.strip_prefix('!') {
            Some(name) => (name, Truth::False),
            None => (word, Truth::True),
        };
        let gear = &mut self.gear;
        let mut handled = |handling| gear.handling.push((handling, truth == Truth::True));
        match name {
            "cleaned" => handled(Handling::CleanOnTheSpot),
            "halved" => handled(Handling::Halve),
            "whole" => handled(Handling::KeepWhole),
            "cut" => handled(Handling::Cut),
            "processed" => handled(Handling::Process),
            "organised" => gear.organised = truth,
            "course" => gear.group = Some(GroupKind::Course),
            "other-group" => gear.group = Some(GroupKind::Other),
            "apart" => gear.shares_apart = truth,
            "known" => gear.knows_kinds = truth,
            "rake" => gear.used = Some(vec![Tool::Rake]),
            "shovel" => gear.used = Some(vec![Tool::Shovel]),
            "knife" => gear.used = Some(vec![Tool::Knife]),
            "hands" => (gear.used, gear.carried) = (Some(Vec::new()), Some(Vec::new())),
            "rake-carried" => gear.carried = Some(vec![Tool::Rake]),
            "blade-11" => gear.blade = Amount::read("11", Unit::Centimetre).ok(),
            "blade-10.9" => gear.blade = Amount::read("10.9", Unit::Centimetre).ok(),
            _ => {
                let container = gear.container.get_or_insert_with(Container::default);
                match name {
                    "plastic" => container.material = Some(Material::Plastic),
                    "wicker" => container.material = Some(Material::Wicker),
                    "net" => container.material = Some(Material::Net),
                    "bag" => container.form = Some(Form::Bag),
                    "box" => container.form = Some(Form::Box),
                    "basket" => container.form = Some(Form::Basket),
                    "bucket" => container.form = Some(Form::Bucket),
                    "rigid" => container.rigid = truth,
                    "perforated" => container.perforated = truth,
                    "open" => container.open = truth,
                    "two" => container.count = Some(2),
                    "20-litres" => container.size = Amount::read("20", Unit::Liter).ok(),
                    _ => panic!("{word}"),
                }
            }
        }
    }

    fn memberships(&self, books: &[&RuleBook]) -> Vec<Membership> {
        books
            .iter()
            .map(|book| {
                let places: Vec<usize> = self
                    .zones
                    .iter()
                    .filter_map(|id| book.zones.iter().position(|zone| zone.id.as_str() == id))
                    .collect();
                book.membership_of(&places)
            })
            .collect()
    }

    /// The verdict, knowing the basket.
    pub(super) fn with_basket(&self, books: &[&RuleBook]) -> Verdict {
        let memberships = self.memberships(books);
        let law = Law::with_gear(books, &self.visit, &self.gear).knowing(&self.basket);
        law.verdict(&memberships.iter().collect::<Vec<_>>())
    }

    /// What the books say of it: the verdict on the stand, and the check of the basket.
    pub(super) fn put(&self, books: &[&RuleBook]) -> (Verdict, HarvestCheck) {
        let memberships = self.memberships(books);
        let memberships: Vec<&Membership> = memberships.iter().collect();
        let law = Law::with_gear(books, &self.visit, &self.gear);
        let verdict = law.verdict(&memberships);
        let check = check(&law, &memberships, &verdict, &self.basket);
        (verdict, check)
    }
}

fn taken(text: &str) -> Taken {
    let mut words = text.split(" /");
    let what = words.next().expect("what");
    let mut parts = what.splitn(3, ' ');
    let (n, unit, name) = (parts.next(), parts.next(), parts.next());
    let (Some(n), Some(unit), Some(name)) = (n, unit, name) else {
        panic!("{text}");
    };
    let mut taken = Taken {
        name: name.to_owned(),
        kind: Knowledge::shipped().fungi.kind_of(name),
        ..Taken::default()
    };
    let amount = |unit| Amount::read(n, Unit::parse(unit).expect(unit)).expect(n);
    match unit {
        "kg" | "g" => taken.mass = Some(amount(unit)),
        "L" | "gal_us" => taken.volume = Some(amount(unit)),
        "piece" => taken.pieces = Some(n.parse().expect("a number")),
        "cm" => taken.cap = Some(n.parse().expect("centimetres")),
        "cm-high" => taken.height = Some(n.parse().expect("centimetres")),
        _ => panic!("{text}"),
    }
    for mark in words {
        match mark {
            "single" => {
                taken.pieces = Some(1);
                taken.clump = Some(false);
            }
            "clump" => taken.clump = Some(true),
            "uncleaned" => taken.handling.push((Handling::CleanOnTheSpot, false)),
            "halved" => taken.handling.push((Handling::Halve, true)),
            "whole" => taken.handling.push((Handling::Halve, false)),
            "season" => taken.earlier = Some(Span::Season),
            "year" => taken.earlier = Some(Span::Year),
            "high-6" => taken.height = Some(rust_decimal::Decimal::from(6)),
            _ => match mark.strip_prefix("cap-") {
                Some(centimetres) => taken.cap = Some(centimetres.parse().expect("centimetres")),
                None => panic!("{text}"),
            },
        }
    }
    taken
}

/// Asks books by a table: each row a question and the answer expected.
pub(super) fn table(books: &[&RuleBook], rows: &[(&str, Answer)]) {
    for (row, expected) in rows {
        let (verdict, check) = Ask::read(row).put(books);
        assert_eq!(check.answer, *expected, "{row}\n{verdict:#?}\n{check:#?}");
    }
}

/// The verdict on a question without a basket.
pub(super) fn verdict(books: &[&RuleBook], ask: &str) -> Verdict {
    Ask::read(ask).put(books).0
}

/// The verdict for a stand with a place, looked at under its own sky.
pub(super) fn under_the_sun(books: &[&RuleBook], subject: &Subject<'_>, visit: &Visit) -> Verdict {
    let memberships = crate::rules::memberships(books.iter().copied(), subject);
    let place = subject.place.map(|place| place.inside);
    Law::at(books, visit, &Gear::default(), place).verdict(&memberships.iter().collect::<Vec<_>>())
}

/// A stand of which nothing is known, with its south-west corner at a position.
pub(super) fn bare(lng: f64, lat: f64) -> Subject<'static> {
    static NOTHING: std::sync::LazyLock<crate::stand::Standing> =
        std::sync::LazyLock::new(crate::stand::Standing::default);
    subject(&NOTHING, lng, lat)
}

/// How each rule of a verdict stands, by id.
pub(super) fn why(verdict: &Verdict, rule: &str) -> String {
    verdict
        .findings()
        .find(|finding| finding.rule.as_str() == rule)
        .map_or_else(|| "absent".to_owned(), |finding| finding.why.word().to_owned())
}

/// The limits of a verdict: `2 kg by daily`.
pub(super) fn limits(verdict: &Verdict) -> Vec<String> {
    verdict
        .limits
        .iter()
        .map(|limit| {
            let mut rules: Vec<&str> = limit.rules.iter().map(|at| at.rule.as_str()).collect();
            rules.sort_unstable();
            format!("{} by {}", limit.amount, rules.join(" and "))
        })
        .collect()
}
