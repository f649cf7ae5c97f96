//! The stand sheet and the stand list as a small tree of what is said. In go a ground, an assessment and a stand; out
//! come message keys with arguments and marked pieces of data. Wording is left to whoever shows it.

mod before;
pub mod calendar;
mod changes;
mod fruit;
pub mod harvest;
mod kinds;
mod law;
mod numbers;
pub mod plan;
mod season;
pub mod tree;
mod trees;
mod weather;
mod wording;

use crate::assessment::Ground;
use crate::day::Day;
use crate::geometry::LngLat;
use crate::knowledge::Kind;
use crate::names::{Genus, ScientificName};
use crate::potential::View;
use crate::visit::Visit;
use tree::{Arg, FactRow, Node, Text};

pub use wording::KEYS;

/// What a sheet is asked about.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// Everything known of the map.
    pub ground: &'a Ground,
    /// The visit.
    pub visit: &'a Visit,
    /// Languages in the order they are wanted (BCP 47).
    pub languages: &'a [&'a str],
    /// The view that is shown.
    pub view: View,
    /// The kind that is looked for.
    pub wish: Option<&'a Kind>,
}

impl Asked<'_> {
    /// A tree's everyday name with its language.
    fn tree_name(&self, taxon: &ScientificName) -> Option<(&str, &str)> {
        self.ground.knowledge.trees.everyday_name(taxon, self.languages)
    }

    /// A kind's everyday name with its language.
    fn kind_name(&self, kind: &Kind) -> Option<(&str, &str)> {
        self.ground
            .knowledge
            .fungi
            .everyday_name(&kind.id, self.languages)
    }
}

/// The sheet of one stand, by its place in the map's list; empty where there is no such stand.
///
/// The order is fixed: head, trees, law, fruit, season, danger, before. The parts on law, danger and cautions are
/// always there.
pub fn sheet(place: u32, asked: &Asked<'_>) -> Vec<Node> {
    let ground = asked.ground;
    let Some(stand) = ground.stand(place) else {
        return Vec::new();
    };
    let profile = ground.profile(stand);
    let verdict = ground.verdict(place, asked.visit);
    let here = ground.kinds_here(stand, asked.visit);
    vec![
        trees::heading(stand),
        trees::section(stand, profile, ground.standing(stand), asked),
        law::section(&verdict, ground.books(), asked.languages),
        fruit::section(stand, asked),
        kinds::season(stand, &here, asked),
        kinds::danger(stand, &here, asked),
        before::section(stand, &verdict, &here, asked),
    ]
}

/// What the rules say at one point of a stand: the verdict there and, if it is closed, what comes next. Empty where all
/// rules hold for the whole stand, so that the point is like the rest of it.
pub fn at_point(place: u32, point: LngLat, asked: &Asked<'_>) -> Vec<Node> {
    let whole = asked.ground.verdict(place, asked.visit);
    if whole.findings().all(|finding| finding.share_of_stand.is_none()) {
        return Vec::new();
    }
    law::at_point(
        &asked.ground.verdict_at(place, point, asked.visit),
        asked.languages,
    )
}

/// Puts what holds at one point of a stand into its sheet, after the answer for the whole stand.
pub fn say_at_point(tree: &mut [Node], at_point: Vec<Node>) {
    for node in tree {
        if let Node::Section {
            id: "law", children, ..
        } = node
        {
            let after = children.len().min(1);
            children.splice(after..after, at_point);
            return;
        }
    }
}

/// A row of terms and values.
fn fact(term: &str, value: Text) -> FactRow {
    FactRow {
        term: Text::key(term),
        value: vec![value],
    }
}

/// A genus by its everyday name in the visitor's language, else by its scientific one.
fn genus_text(genus: &Genus, asked: &Asked<'_>) -> Text {
    let alone = ScientificName {
        genus: genus.clone(),
        epithet: None,
        hybrid: false,
    };
    asked.tree_name(&alone).map_or_else(
        || Text::latin(genus.to_string()),
        |(name, language)| Text::data_in(name, language),
    )
}

/// Minutes of universal time from the start of a day, as an instant for the clock of a zone.
fn instant(mut day: Day, mut minutes: i64, time_zone: Option<String>) -> Arg {
    while minutes < 0 {
        day = day.previous();
        minutes += 24 * 60;
    }
    while minutes >= 24 * 60 {
        day = day.next();
        minutes -= 24 * 60;
    }
    Arg::Instant {
        utc: format!("{day}T{:02}:{:02}:00Z", minutes / 60, minutes % 60),
        time_zone,
    }
}
