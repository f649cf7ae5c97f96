//! What the stand's fruiting potential is and why, as a part of the sheet: step and range of the shown view, reasons
//! for and against with their sources, what is not known and what the map does not say. Nothing is computed here.

use super::tree::{Arg, Node, Text, Tone, Unit};
use super::{Asked, genus_text};
use crate::knowledge::Knowledge;
use crate::names::SourceId;
use crate::order::Gather;
use crate::potential::{self, Effect, Factor, Reason, Value, View, ViewValue};
use crate::stand::Stand;

/// The section on what can fruit.
pub(super) fn section(stand: &Stand, asked: &Asked<'_>) -> Node {
    let potential = &asked.ground.potential(stand);
    let mut children = Vec::new();
    if asked.wish.is_some() {
        children.extend(in_short(stand, asked));
    }
    children.push(gauge(asked.view, potential.view(asked.view)));
    let certainty = potential.certainty(asked.view, &asked.ground.knowledge.factors);
    children.extend(certainty.map(|certainty| Node::toned(Tone::Quiet, Text::key(certainty.key()))));
    children.extend(sides(potential, asked.view));
    let mut told: Vec<Factor> = Vec::new();
    let reasons: Vec<Vec<Node>> = potential
        .reasons(asked.view)
        .map(|found| {
            // The numbers of a factor stand with the first of its reasons.
            let first = !told.contains(&found.factor);
            told.push(found.factor);
            vec![reason(found, first, asked)]
        })
        .collect();
    if !reasons.is_empty() {
        children.push(Node::line(Text::key("sheet.fruit.why")));
        children.push(Node::List {
            style: "reasons",
            items: reasons,
        });
    }
    children.extend(super::changes::node(stand, potential, asked));
    let missing: Vec<Factor> = potential
        .not_known
        .iter()
        .copied()
        .filter(|factor| factor.concerns(asked.view))
        .collect();
    if !missing.is_empty() && *potential.view(asked.view) != ViewValue::TreesNotKnown {
        children.push(Node::toned(
            Tone::Open,
            Text::with("sheet.fruit.missing", [("factors", names(&missing))]),
        ));
    }
    let left_out: Vec<Factor> = potential
        .not_assessed
        .iter()
        .copied()
        .filter(|factor| factor.concerns(asked.view))
        .collect();
    if !left_out.is_empty() {
        children.push(Node::toned(
            Tone::Quiet,
            Text::with("sheet.fruit.left_out", [("factors", names(&left_out))]),
        ));
    }
    for view in View::ALL.into_iter().filter(|view| *view != asked.view) {
        children.push(gauge(view, potential.view(view)));
    }
    children.push(Node::toned(Tone::Quiet, Text::key("sheet.fruit.meaning")));
    children.extend(super::numbers::node(&["step", "change"], asked));
    children.extend(super::weather::nodes(stand, asked));
    Node::Section {
        id: "fruit",
        title: Text::key("sheet.fruit.title"),
        children,
    }
}

/// Why it is not higher, and why not lower.
fn sides(potential: &potential::Potential, view: View) -> Vec<Node> {
    let of = |effect: Effect| {
        let mut factors: Vec<Factor> = Vec::new();
        for reason in potential.reasons(view).filter(|reason| reason.effect == effect) {
            if !factors.contains(&reason.factor) {
                factors.push(reason.factor);
            }
        }
        factors
    };
    let Some(value) = potential.view(view).known() else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    let (against, speaking_for) = (of(Effect::Lowers), of(Effect::Raises));
    if value.high < 100.0 && !against.is_empty() {
        lines.push(Node::line(Text::with(
            "sheet.fruit.not_higher",
            [("factors", names(&against))],
        )));
    }
    if value.high > 0.0 && !speaking_for.is_empty() {
        lines.push(Node::line(Text::with(
            "sheet.fruit.not_lower",
            [("factors", names(&speaking_for))],
        )));
    }
    lines
}

fn names(factors: &[Factor]) -> Arg {
    Arg::list(factors.iter().map(|factor| Text::key(factor.key())))
}

/// Step and range in one view.
fn gauge(view: View, value: &ViewValue) -> Node {
    match value {
        ViewValue::Known(value) => {
            let key = match view {
                View::Roots => "sheet.fruit.roots",
                View::Wood => "sheet.fruit.wood",
                View::Litter => "sheet.fruit.litter",
            };
            let step = Text::key(value.step.key()).into();
            Node::Gauge {
                step: Some(value.step),
                low: Some(value.low),
                high: Some(value.high),
                value: Some(value.value),
                text: Text::with(key, [("step", step), ("range", range(value).into())]),
            }
        }
        ViewValue::TreesNotKnown => Node::Gauge {
            step: None,
            low: None,
            high: None,
            value: None,
            text: Text::key("sheet.fruit.trees_not_known"),
        },
        ViewValue::NotAssessed => Node::toned(
            Tone::Quiet,
            Text::key(match view {
                View::Roots => "sheet.fruit.not_assessed.roots",
                View::Wood => "sheet.fruit.not_assessed.wood",
                View::Litter => "sheet.fruit.not_assessed.litter",
            }),
        ),
    }
}

pub(super) fn range(value: &Value) -> Text {
    if value.low == value.high {
        Text::with("sheet.fruit.range", [("value", Arg::number(value.value, 0))])
    } else {
        let key = if value.wide {
            "sheet.fruit.span_wide"
        } else {
            "sheet.fruit.span"
        };
        Text::with(key, [("value", Arg::span(value.low, value.high, None, 0))])
    }
}

/// How well the stand suits the kind that is looked for.
fn wish(stand: &Stand, kind: &crate::knowledge::Kind, asked: &Asked<'_>) -> Node {
    let name = super::kinds::name(kind, asked);
    match asked.ground.value(stand, asked.view, Some(kind)) {
        ViewValue::Known(value) => Node::Gauge {
            step: Some(value.step),
            low: Some(value.low),
            high: Some(value.high),
            value: Some(value.value),
            text: Text::with(
                "sheet.fruit.wish",
                [
                    ("kind", name.into()),
                    ("value", Arg::span(value.low, value.high, None, 0)),
                ],
            ),
        },
        _ => Node::toned(
            Tone::Open,
            Text::with("sheet.fruit.wish_not_known", [("kind", name.into())]),
        ),
    }
}

/// What a stand is worth in the view, or for the kind that is looked for.
pub(super) fn in_short(stand: &Stand, asked: &Asked<'_>) -> Vec<Node> {
    match asked.wish {
        Some(kind) => {
            let mut nodes = vec![wish(stand, kind, asked)];
            nodes.extend(super::kinds::doubles(kind, asked));
            if super::kinds::is_protected(kind, asked) {
                nodes.push(Node::toned(Tone::Against, Text::key("sheet.kind.conservation")));
            }
            nodes
        }
        None => vec![gauge(asked.view, asked.ground.potential(stand).view(asked.view))],
    }
}

/// How a reason is meant.
pub(super) fn tone(reason: &Reason) -> Option<Tone> {
    match reason.effect {
        Effect::Raises => Some(Tone::For),
        Effect::Lowers => Some(Tone::Against),
        Effect::Widens => Some(Tone::Open),
        Effect::Neutral => None,
    }
}

/// A reason in one sentence.
pub(super) fn reason_text(reason: &Reason, asked: &Asked<'_>) -> Text {
    let args = reason
        .args
        .iter()
        .map(|(name, arg)| ((*name).to_owned(), argument(arg, asked)))
        .into_map();
    Text::Message {
        key: reason.message.to_owned(),
        args,
    }
}

fn reason(reason: &Reason, with_numbers: bool, asked: &Asked<'_>) -> Node {
    let text = reason_text(reason, asked);
    let mut children = Vec::new();
    if reason.factor != Factor::Trees {
        let part = Arg::span(reason.low * 100.0, reason.high * 100.0, Some(Unit::Percent), 0);
        children.push(Node::line(Text::with("sheet.fruit.leaves", [("part", part)])));
    }
    children.push(source(&reason.source, &asked.ground.knowledge));
    if with_numbers {
        children.extend(super::numbers::node(reason.factor.rows(asked.view), asked));
    }
    Node::more(tone(reason), vec![text], children)
}

/// Where a fact of the tables is from, and how it was seen.
pub(super) fn source(id: &SourceId, knowledge: &Knowledge) -> Node {
    let text = match knowledge.sources.get(id) {
        Some(source) => Text::data(source.citation.clone()),
        None => Text::data(id.to_string()),
    };
    Node::Source {
        text,
        link: None,
        checked: None,
    }
}

fn argument(arg: &potential::Arg, asked: &Asked<'_>) -> Arg {
    let unit = |unit: potential::Unit| match unit {
        potential::Unit::Percent => Some(Unit::Percent),
        potential::Unit::Year => Some(Unit::Year),
        potential::Unit::Plain => None,
    };
    match arg {
        potential::Arg::Number { value, unit: u } => Arg::Number {
            n: *value,
            unit: unit(*u),
            digits: Some(0),
        },
        potential::Arg::Range { low, high, unit: u } => Arg::Range {
            range: [*low, *high],
            unit: unit(*u),
            digits: Some(0),
        },
        potential::Arg::Trees(genera) => Arg::list(genera.iter().map(|genus| genus_text(genus, asked))),
        potential::Arg::Word(key) => Text::key(*key).into(),
        potential::Arg::Words(keys) => Arg::list(keys.iter().map(|key| Text::key(*key))),
        potential::Arg::Text(text) => Text::data(text.clone()).into(),
    }
}
