//! What to know before going, as a part of the sheet: container, daylight, how the kinds keep, cautions, whom to call.
//! The cautions are always there.

use crate::order::Gather;
use std::collections::BTreeSet;

use super::law::{worded, words};
use super::tree::{Arg, FactRow, Node, Text, Tone};
use super::{Asked, fact};
use crate::potential::kinds::KindsHere;
use crate::rules::{Kind as RuleKind, Verdict};
use crate::season::{Daylight, daylight};
use crate::stand::Stand;

/// How many of the kinds shown first decide what is said of keeping.
const KINDS_FOR_KEEPING: usize = 8;

/// The section on what to know before going.
pub(super) fn section(stand: &Stand, verdict: &Verdict, here: &KindsHere, asked: &Asked<'_>) -> Node {
    let mut children = vec![Node::line(Text::key("sheet.before.container"))];
    for finding in verdict.holding(RuleKind::Container) {
        let rule = worded(&finding.message, asked.languages);
        children.push(Node::line(Text::with(
            "sheet.before.container_rule",
            [("rule", rule.into())],
        )));
    }
    children.extend(light(stand, asked));
    children.extend(keeping(here, asked));
    for (tone, key) in [
        (Tone::Caution, "sheet.before.apart"),
        (Tone::Caution, "sheet.before.doubt"),
        (Tone::Quiet, "sheet.before.trampling"),
        (Tone::Danger, "sheet.before.ill"),
    ] {
        children.push(Node::toned(tone, Text::key(key)));
    }
    children.extend(whom_to_call(asked));
    Node::Section {
        id: "before",
        title: Text::key("sheet.before.title"),
        children,
    }
}

fn light(stand: &Stand, asked: &Asked<'_>) -> Vec<Node> {
    let Some(place) = stand.place else {
        return Vec::new();
    };
    let time_zone = asked
        .ground
        .books()
        .first()
        .map(|book| book.region.time_zone.clone());
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole minutes of a few days at most"
    )]
    let sun = |minutes: f64| super::instant(asked.visit.day, minutes as i64, time_zone.clone());
    let mut length = None;
    let text = match daylight(asked.visit.day, place.inside) {
        Daylight::Times {
            sunrise_utc_minutes,
            sunset_utc_minutes,
        } => {
            let (rise, set) = (sunrise_utc_minutes.round(), sunset_utc_minutes.round());
            let minutes = set - rise;
            length = Some(Text::with(
                "sheet.before.day_length",
                [
                    ("hours", Arg::number((minutes / 60.0).floor(), 0)),
                    ("minutes", Arg::number(minutes.rem_euclid(60.0), 0)),
                ],
            ));
            Text::with("sheet.before.daylight", [("rise", sun(rise)), ("set", sun(set))])
        }
        Daylight::NeverSets => Text::key("sheet.before.never_sets"),
        Daylight::NeverRises => Text::key("sheet.before.never_rises"),
    };
    std::iter::once(text).chain(length).map(Node::line).collect()
}

/// How the kinds shown first keep, one line for each way.
fn keeping(here: &KindsHere, asked: &Asked<'_>) -> Option<Node> {
    let fungi = &asked.ground.knowledge.fungi;
    let ways: BTreeSet<&str> = here
        .in_season
        .iter()
        .take(KINDS_FOR_KEEPING)
        .filter_map(|found| fungi.kind(&found.kind))
        .flat_map(|kind| kind.handling.iter().map(|code| code.word()))
        .into_set();
    let items: Vec<Vec<Node>> = ways
        .into_iter()
        .map(|way| vec![Node::line(Text::key(format!("handling.{way}")))])
        .collect();
    (!items.is_empty()).then(|| {
        let list = Node::List {
            style: "plain",
            items,
        };
        Node::more(None, vec![Text::key("sheet.before.keeping")], vec![list])
    })
}

/// Poison centre and emergency number, or that no rule book names one.
pub(super) fn whom_to_call(asked: &Asked<'_>) -> Vec<Node> {
    let mut rows: Vec<FactRow> = Vec::new();
    for book in asked.ground.books() {
        if let Some(centre) = &book.poison_centre {
            let mut value = vec![words(&centre.name, asked.languages)];
            value.extend(centre.phone.iter().map(|phone| Text::data(phone.clone())));
            let row = FactRow {
                term: Text::key("sheet.before.poison_centre"),
                value,
            };
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
    }
    let mut nodes = Vec::new();
    if rows.is_empty() {
        nodes.push(Node::toned(
            Tone::Caution,
            Text::key("sheet.before.no_poison_centre"),
        ));
    }
    let numbers: BTreeSet<&String> = asked
        .ground
        .books()
        .iter()
        .filter_map(|book| book.emergency.as_ref())
        .into_set();
    rows.extend(
        numbers
            .into_iter()
            .map(|number| fact("sheet.before.emergency", Text::data(number.clone()))),
    );
    if !rows.is_empty() {
        nodes.push(Node::Facts { rows });
    }
    nodes
}
