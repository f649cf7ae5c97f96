//! Rule books held against real law, against broken books, and against what must hold for any books.

mod asks;
mod calendar;
mod cases_amounts;
mod cases_times;
mod circumstances;
mod combining;
mod harvest;
mod mistakes;
mod places;
mod scenarios;
#[cfg(feature = "schema")]
mod schema;
mod statutes;
mod suspicions;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use geo::{MultiPolygon, polygon};

use super::{Arg, Law, Membership, Read, RuleBook, Subject, Verdict};
use crate::day::{ClockTime, Day};
use crate::geometry::{LngLat, LngLatBox};
use crate::names::{FungusNames, KindId};
use crate::stand::{AttributeValue, Place, Standing};
use crate::units::{Elevation, Fact, Years};
use crate::visit::Visit;

/// A few names, as a table of fungi would know them.
pub(super) struct FewNames;

impl FungusNames for FewNames {
    fn kind_of(&self, name: &str) -> Option<KindId> {
        let id = match crate::names::ScientificName::parse(name)?.to_string().as_str() {
            "Boletus edulis" => "boletus_edulis",
            "Boletus reticulatus" | "Boletus aestivalis" => "boletus_reticulatus",
            "Rubroboletus satanas" | "Boletus satanas" => "rubroboletus_satanas",
            "Amanita caesarea" => "amanita_caesarea",
            "Cantharellus cibarius" => "cantharellus_cibarius",
            _ => return None,
        };
        Some(KindId::new(id))
    }

    fn kinds_of_genus(&self, genus: &str) -> Vec<KindId> {
        match genus {
            "Boletus" => vec![KindId::new("boletus_edulis"), KindId::new("boletus_reticulatus")],
            "Morchella" => vec![KindId::new("morchella")],
            _ => Vec::new(),
        }
    }

    fn nearest(&self, _name: &str) -> Option<String> {
        None
    }
}

/// A book that must be sound: no mistakes, no warnings, and its own examples turn out as written.
pub(super) fn sound(bytes: &[u8]) -> RuleBook {
    let Read { book, warnings } = RuleBook::read(bytes, &FewNames).unwrap_or_else(|mistakes| {
        panic!(
            "{}",
            mistakes
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n")
        )
    });
    assert_eq!(warnings, [], "warnings");
    assert_eq!(book.check_examples(), [], "examples");
    book
}

/// A visit by somebody who told nothing.
pub(super) fn at(day: &str, time: Option<&str>) -> Visit {
    Visit {
        time: time.map(|time| ClockTime::parse(time).expect(time)),
        ..Visit::on(Day::parse(day).expect(day))
    }
}

/// A message without arguments, as an argument.
pub(super) fn key(key: &'static str) -> Arg {
    Arg::Key(key, Vec::new())
}

pub(super) fn standing_of(attribute: Option<(&str, AttributeValue)>) -> Standing {
    Standing {
        attributes: attribute
            .into_iter()
            .map(|(name, value)| (name.to_owned(), value))
            .collect::<BTreeMap<_, _>>(),
        ..Standing::default()
    }
}

/// A stand a hundredth of a degree wide, its south-west corner at a position.
pub(super) fn subject(standing: &Standing, lng: f64, lat: f64) -> Subject<'_> {
    static AGE: Fact<Years> = Fact::NotKnown(crate::units::Absence::NotMapped);
    static ELEVATION: Fact<Elevation> = Fact::NotKnown(crate::units::Absence::NotMapped);
    let (east, north) = (lng + 0.01, lat + 0.01);
    let outline: &'static MultiPolygon<f64> = Box::leak(Box::new(MultiPolygon::new(vec![polygon![
        (x: lng, y: lat), (x: east, y: lat), (x: east, y: north), (x: lng, y: north),
    ]])));
    Subject {
        outline,
        place: Some(Place {
            inside: LngLat {
                lng: lng + 0.005,
                lat: lat + 0.005,
            },
            bounds: LngLatBox {
                west: lng,
                south: lat,
                east,
                north,
            },
        }),
        age: &AGE,
        elevation: &ELEVATION,
        standing,
    }
}

/// The verdict for a stand by all these books.
pub(super) fn verdict_of(books: &[&RuleBook], subject: &Subject<'_>, visit: &Visit) -> Verdict {
    let memberships: Vec<Membership> = books.iter().map(|book| book.membership(subject)).collect();
    Law::on(books, visit).verdict(&memberships.iter().collect::<Vec<_>>())
}

/// A verdict in a few lines: the answer, then each rule with what it does and how it stands.
pub(super) fn notation(verdict: &Verdict, books: &[&RuleBook]) -> String {
    let mut lines = format!("{}: {}\n", verdict.answer.word(), verdict.headline.key);
    for note in &verdict.notes {
        writeln!(lines, "note {}", note.key).expect("text");
    }
    for limit in &verdict.limits {
        writeln!(lines, "limit {} {}", limit.amount, limit.message.key).expect("text");
    }
    for (finding, decides) in verdict
        .decided_by
        .iter()
        .map(|finding| (finding, "*"))
        .chain(verdict.others.iter().map(|finding| (finding, " ")))
    {
        let code = &books[finding.book].region.code;
        writeln!(
            lines,
            "{decides} {code}/{} {}: {:?} {:?}, {}, {}",
            finding.rule,
            finding.kind.word(),
            finding.effect,
            finding.holds,
            finding.why.word(),
            finding.message.key
        )
        .expect("text");
    }
    lines
}
