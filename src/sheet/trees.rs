//! The stand itself, as a part of the sheet: its head, the bar of its mixture, and what the map says of age and site.

use super::tree::{Arg, FactRow, MixturePart, Node, Text, Unit};
use super::{Asked, fact};
use crate::knowledge::Knowledge;
use crate::names::Genus;
use crate::potential::{aspect_key, moisture_key, nutrients_key, setting_key, soil_key};
use crate::stand::{
    Deadwood, Disturbance, Layer, Member, Ownership, Profile, ShareState, Stand, Standing, Tree,
};
use crate::units::{Absence, Fact};

/// The sheet's head: name or id, and area.
pub(super) fn heading(stand: &Stand) -> Node {
    let mut sub = Vec::new();
    if stand.name.is_some() {
        let id = Text::data(stand.id.to_string()).into();
        sub.push(Text::with("sheet.stand", [("id", id)]));
    }
    sub.push(match stand.area {
        Some(area) => Text::with(
            "sheet.area",
            [("area", Arg::measure(area.get(), Unit::Hectare, 1))],
        ),
        None => Text::key("sheet.no_outline"),
    });
    let text = match &stand.name {
        Some(name) => Text::data(name.clone()),
        None => Text::with("sheet.stand", [("id", Text::data(stand.id.to_string()).into())]),
    };
    Node::Heading { text, sub }
}

/// The section on the trees and the site.
pub(super) fn section(stand: &Stand, profile: &Profile, standing: &Standing, asked: &Asked<'_>) -> Node {
    let mixture = &profile.mixture;
    let mut children = Vec::new();
    if mixture.members.is_empty() {
        children.push(Node::line(Text::key("sheet.trees.none")));
    } else {
        let parts = mixture.members.iter().map(|member| part(member, asked)).collect();
        children.push(Node::Mixture { parts });
    }
    match mixture.shares {
        ShareState::Sound => {}
        ShareState::Scaled => children.push(Node::line(Text::key("sheet.trees.scaled"))),
        ShareState::Inconsistent => children.push(Node::line(Text::key("sheet.trees.inconsistent"))),
    }
    let rows = facts(stand, profile, standing);
    if !rows.is_empty() {
        // Folded, so that the verdict stands high on the sheet.
        let summary = vec![Text::key("sheet.trees.site")];
        children.push(Node::more(None, summary, vec![Node::Facts { rows }]));
    }
    Node::Section {
        id: "trees",
        title: Text::key("sheet.trees.title"),
        children,
    }
}

fn part(member: &Member, asked: &Asked<'_>) -> MixturePart {
    MixturePart {
        name: name(&member.tree, &member.raw, asked),
        share: member.share.bounds().map(|(low, high)| [low.get(), high.get()]),
        mycorrhiza: mycorrhiza(&member.tree, &asked.ground.knowledge),
        layer: Text::key(match member.layer {
            Layer::Canopy => "layer.canopy",
            Layer::Understorey => "layer.understorey",
            Layer::Retained => "layer.retained",
        }),
    }
}

/// A tree's name in the visitor's language with its scientific name; a group by its word; else the map's own text.
fn name(tree: &Tree, raw: &str, asked: &Asked<'_>) -> Text {
    match tree {
        Tree::Named(taxon) => {
            let latin = Text::latin(taxon.to_string());
            match asked.tree_name(taxon) {
                Some((common, lang)) => Text::with(
                    "sheet.trees.named",
                    [
                        ("common", Text::data_in(common, lang).into()),
                        ("latin", latin.into()),
                    ],
                ),
                None => latin,
            }
        }
        Tree::AnyOf { group, .. } => Text::with(
            "sheet.trees.group",
            [
                ("group", Text::key(format!("group.{group}")).into()),
                ("raw", Text::data(raw).into()),
            ],
        ),
        Tree::Unresolved => Text::with("sheet.trees.unresolved", [("raw", Text::data(raw).into())]),
    }
}

/// The mycorrhizal type of a tree; of a group, only where all its genera share one.
fn mycorrhiza(tree: &Tree, knowledge: &Knowledge) -> &'static str {
    let of = |genus: &Genus| {
        knowledge
            .trees
            .genus(genus)
            .map_or("uncertain", |known| known.mycorrhiza.word())
    };
    match tree {
        Tree::Named(taxon) => knowledge
            .trees
            .type_of(taxon)
            .map_or("uncertain", |known| known.mycorrhiza.word()),
        Tree::AnyOf { genera, .. } => {
            let mut words = genera.iter().map(of);
            match words.next() {
                Some(first) if words.all(|word| word == first) => first,
                _ => "uncertain",
            }
        }
        Tree::Unresolved => "uncertain",
    }
}

fn facts(stand: &Stand, profile: &Profile, standing: &Standing) -> Vec<FactRow> {
    let mut rows = Vec::new();
    let mut row = |term: &str, value: Option<Text>| {
        if let Some(value) = value {
            rows.push(fact(term, value));
        }
    };
    row(
        "factor.age",
        number(&profile.age, |age| age.get(), Some(Unit::Year), 0),
    );
    row(
        "factor.canopy",
        number(
            &profile.canopy,
            |share| share.get() * 100.0,
            Some(Unit::Percent),
            0,
        ),
    );
    row(
        "factor.basal_area",
        number(&profile.basal_area, |area| area.get(), None, 0)
            .map(|value| Text::with("sheet.unit.basal_area", [("n", value.into())])),
    );
    row(
        "factor.soil_reaction",
        word(&profile.soil_reaction, |soil| Text::key(soil_key(soil))),
    );
    row(
        "factor.moisture",
        word(&profile.moisture, |moisture| Text::key(moisture_key(moisture))),
    );
    row(
        "factor.nitrogen",
        number(&profile.nitrogen, |load| load.get(), None, 0)
            .map(|value| Text::with("sheet.unit.nitrogen", [("n", value.into())])),
    );
    row(
        "factor.nutrients",
        word(&profile.nutrients, |nutrients| {
            Text::key(nutrients_key(nutrients))
        }),
    );
    row(
        "factor.aspect",
        word(&profile.aspect, |aspect| Text::key(aspect_key(aspect))),
    );
    // Where no event is recorded, nothing is said.
    if !matches!(profile.disturbance, Fact::NotKnown(Absence::Empty)) {
        row("factor.disturbance", word(&profile.disturbance, disturbance));
        if profile.disturbance != Fact::Known(Disturbance::None) {
            row(
                "sheet.since",
                number(&profile.since, |years| years.get(), Some(Unit::Year), 0),
            );
        }
    }
    row("factor.deadwood", word(&profile.deadwood, deadwood));
    row(
        "factor.setting",
        match &profile.setting {
            Fact::Known(settings) if settings.is_empty() => Some(Text::key("setting.closed_forest")),
            Fact::Known(settings) => {
                let words = settings.iter().map(|setting| Text::key(setting_key(*setting)));
                Some(Text::with("sheet.parts", [("parts", Arg::list(words))]))
            }
            other => absent(other),
        },
    );
    row(
        "factor.elevation",
        number(&stand.elevation, |height| height.get(), Some(Unit::Meter), 0),
    );
    row(
        "sheet.designation",
        match &standing.designation {
            Fact::Known(tags) if tags.is_empty() => None,
            Fact::Known(tags) => Some(Text::with(
                "sheet.parts",
                [("parts", Arg::list(tags.iter().map(Text::data)))],
            )),
            other => absent(other),
        },
    );
    row(
        "sheet.ownership",
        word(&standing.ownership, |ownership| match ownership {
            Ownership::State => Text::key("ownership.state"),
            Ownership::Communal => Text::key("ownership.communal"),
            Ownership::Private => Text::key("ownership.private"),
            Ownership::Other => Text::key("ownership.other"),
        }),
    );
    row("sheet.use", standing.land_use.as_ref().map(Text::data));
    rows
}

/// A number or range in words; not known is said; a property the map does not have is left out.
fn number<T: Clone>(
    fact: &Fact<T>,
    plain: impl Fn(&T) -> f64,
    unit: Option<Unit>,
    digits: u8,
) -> Option<Text> {
    match fact.bounds() {
        Some((low, high)) => {
            let span = Arg::span(plain(&low), plain(&high), unit, digits);
            Some(Text::with("sheet.value", [("value", span)]))
        }
        None => absent(fact),
    }
}

fn word<T: Clone + PartialEq>(fact: &Fact<T>, word: impl Fn(T) -> Text) -> Option<Text> {
    match fact.bounds() {
        Some((low, high)) if low == high => Some(word(low)),
        Some((low, high)) => Some(Text::with(
            "sheet.between",
            [("low", word(low).into()), ("high", word(high).into())],
        )),
        None => absent(fact),
    }
}

fn absent<T>(fact: &Fact<T>) -> Option<Text> {
    match fact {
        Fact::NotKnown(Absence::NotMapped) => None,
        Fact::NotKnown(Absence::Empty) => Some(Text::key("sheet.absent.empty")),
        Fact::NotKnown(Absence::Illegal(raw)) => Some(Text::with(
            "sheet.absent.illegal",
            [("raw", Text::data(raw.clone()).into())],
        )),
        Fact::NotKnown(Absence::UnmappedCode(raw)) => Some(Text::with(
            "sheet.absent.unmapped",
            [("raw", Text::data(raw.clone()).into())],
        )),
        _ => None,
    }
}

fn disturbance(event: Disturbance) -> Text {
    Text::key(match event {
        Disturbance::None => "disturbance.none",
        Disturbance::Felled => "disturbance.felled",
        Disturbance::Burnt => "disturbance.burnt",
        Disturbance::Windthrown => "disturbance.windthrown",
    })
}

fn deadwood(deadwood: Deadwood) -> Text {
    match deadwood {
        Deadwood::None => Text::key("deadwood.none"),
        Deadwood::Little => Text::key("deadwood.little"),
        Deadwood::Some => Text::key("deadwood.some"),
        Deadwood::Much => Text::key("deadwood.much"),
        Deadwood::Volume(volume) => Text::with("sheet.unit.deadwood", [("n", Arg::number(volume.get(), 0))]),
    }
}
