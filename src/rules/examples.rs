//! The questions a rule book asks of itself: a zone, a day, a visitor, and the answer its writer expects. In goes the
//! book, out come mistakes for every answer that turned out otherwise.

use super::book::RuleBook;
use super::document::{Fields, Item, Log, one_of};
use super::law::Law;
use super::mistake::{Mistake, Severity};
use super::verdict::Answer;
use super::zone::Zone;
use crate::day::{ClockTime, Day};
use crate::units::{Truth, Years};
use crate::visit::{Visit, Visitor};

/// One question with its expected answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Example {
    /// The zones the imagined stand lies in, as places in the book's list; none for a stand outside all zones.
    pub zones: Vec<usize>,
    /// Who comes when.
    pub visit: Visit,
    /// What the writer expects.
    pub expect: Answer,
    /// Where it stands in the book.
    pub line: u32,
    /// The column there.
    pub column: u32,
}

/// Examples are answered until so many rules were weighed; those that are left are told.
const MOST_WEIGHED: usize = 400_000;

const ASK: &[&str] = &[
    "zone",
    "zones",
    "day",
    "time",
    "resident",
    "permit",
    "owner",
    "consent",
    "commercial",
    "escorted",
    "age",
    "party",
    "family",
];

/// Reads the examples of a book.
pub(super) fn read(fields: &mut Fields<'_>, log: &mut Log<'_>, zones: Option<&[Zone]>) -> Vec<Example> {
    let Some(items) = fields.take("examples").and_then(|item| item.list(log)) else {
        return Vec::new();
    };
    items
        .iter()
        .enumerate()
        .filter_map(|(place, item)| example(item, place + 1, log, zones))
        .collect()
}

fn example(item: &Item<'_>, number: usize, log: &mut Log<'_>, zones: Option<&[Zone]>) -> Option<Example> {
    let mut fields = item.fields(log)?;
    fields.call(&format!("example {number}"));
    let (line, column) = log.place_of(fields.object());
    let ask = fields.need(
        "ask",
        log,
        "what is asked, such as `{\"zone\": \"core\", \"day\": \"2026-09-12\"}`",
    );
    let expect = fields.need("expect", log, "the answer").and_then(|item| {
        let text = item.text(log)?;
        let answer = Answer::parse(text);
        if answer.is_none() {
            let known: Vec<&str> = Answer::ALL.iter().map(|answer| answer.word()).collect();
            log.refuse(
                "expect",
                &item,
                format!("`expect` is `{text}`"),
                format!("one of {}", one_of(&known)),
                "",
            );
        }
        answer
    });
    fields.finish(log, "an example", &["ask", "expect"]);
    let (zones, visit) = question(&ask?, log, zones)?;
    Some(Example {
        zones,
        visit,
        expect: expect?,
        line,
        column,
    })
}

fn question(item: &Item<'_>, log: &mut Log<'_>, zones: Option<&[Zone]>) -> Option<(Vec<usize>, Visit)> {
    let mut fields = item.fields(log)?;
    let mut within = Vec::new();
    let mut named: Vec<Item<'_>> = fields.take("zone").into_iter().collect();
    named.extend(
        fields
            .take("zones")
            .and_then(|item| item.list(log))
            .unwrap_or_default(),
    );
    for item in &named {
        let text = item.text(log)?;
        // Of zones too many to be looked at none is missing.
        let Some(zones) = zones else { continue };
        match zones.iter().position(|zone| zone.id.as_str() == text) {
            Some(place) => within.push(place),
            None => log.refuse(
                "unknown-zone",
                item,
                format!("no zone is called `{text}`"),
                "",
                "check the spelling",
            ),
        }
    }
    let day = fields
        .need("day", log, "a day such as `2026-09-12`")
        .and_then(|item| {
            let text = item.text(log)?;
            let day = Day::parse(text);
            if let Err(error) = &day {
                log.refuse("day", &item, format!("`day` is `{text}`"), error.expected, "");
            }
            day.ok()
        });
    let time = fields.take("time").and_then(|item| {
        let text = item.text(log)?;
        let time = ClockTime::parse(text);
        if let Err(error) = &time {
            log.refuse("time", &item, format!("`time` is `{text}`"), error.expected, "");
        }
        time.ok()
    });
    let mut flag =
        |name: &str, log: &mut Log<'_>| Truth::from(fields.take(name).and_then(|item| item.flag(log)));
    let visitor = Visitor {
        resident: flag("resident", log),
        permit: flag("permit", log),
        owner: flag("owner", log),
        consent: flag("consent", log),
        commercial: flag("commercial", log),
        escorted: flag("escorted", log),
        family: flag("family", log),
        ..Visitor::default()
    };
    let age = fields
        .take("age")
        .and_then(|item| item.whole(log, 0, 120))
        .and_then(|age| Years::new(f64::from(age)).ok());
    let party = fields.take("party").and_then(|item| item.whole(log, 1, 1000));
    fields.finish(log, "a question", ASK);
    Some((
        within,
        Visit {
            day: day?,
            time,
            utc_offset: None,
            visitor: Visitor {
                age,
                party,
                ..visitor
            },
        },
    ))
}

impl RuleBook {
    /// Answers the book's own examples and gives a mistake for each that turns out otherwise than its writer expects. Of
    /// very many examples in a book of very many rules not all are answered, which is told.
    pub fn check_examples(&self) -> Vec<Mistake> {
        let answered = MOST_WEIGHED / self.rules.len().max(1);
        let left = self.examples.iter().enumerate().nth(answered).map(|(place, example)| Mistake {
            code: "examples-left",
            severity: Severity::Warning,
            pointer: format!("/examples/{place}"),
            line: example.line,
            column: example.column,
            path_in_words: format!("example {}", place + 1),
            found: format!(
                "the book has {} rules and {} examples, and this one and those behind it were not answered",
                self.rules.len(),
                self.examples.len()
            ),
            expected: format!("at most {answered} examples for so many rules"),
            advice: "keep the examples that matter most".to_owned(),
        });
        self.examples
            .iter()
            .enumerate()
            .take(answered)
            .filter_map(|(place, example)| {
                let membership = self.membership_of(&example.zones);
                let found = Law::on(&[self], &example.visit).answer(&[&membership]);
                (found != example.expect).then(|| Mistake {
                    code: "example",
                    severity: Severity::Error,
                    pointer: format!("/examples/{place}"),
                    line: example.line,
                    column: example.column,
                    path_in_words: format!("example {}", place + 1),
                    found: format!("the answer is `{}`", found.word()),
                    expected: format!("`{}`", example.expect.word()),
                    advice: "correct the rules or the example".to_owned(),
                })
            })
            .chain(left)
            .collect()
    }
}
