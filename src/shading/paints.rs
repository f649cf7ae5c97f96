//! From an assessment to one paint a stand. In go the ground, one visit's answers, a view and perhaps a wish; out come
//! a fill and marks for each stand. The day changes the marks, never the fill.

use std::collections::BTreeMap;

use super::paint::{Fill, Marks, Paint};
use crate::assessment::{Assessment, Ground};
use crate::knowledge::Kind;
use crate::potential::{Step, View, ViewValue};
use crate::rules::Answer;

/// One paint for each stand of the map, in its order.
pub fn paints(ground: &Ground, assessment: &Assessment, view: View, wish: Option<&Kind>) -> Vec<Paint> {
    let mut fills: BTreeMap<u32, Paint> = BTreeMap::new();
    ground
        .map
        .stands
        .iter()
        .zip(0u32..)
        .map(|(stand, place)| {
            let fill = *fills
                .entry(stand.profile)
                .or_insert_with(|| filled(&ground.value(stand, view, wish)));
            let mark = match assessment.answer(place) {
                Answer::Closed => Marks::CLOSED,
                Answer::Need => Marks::NEED,
                _ => Marks::NONE,
            };
            Paint {
                fill: fill.fill,
                marks: fill.marks.with(mark),
            }
        })
        .collect()
}

fn filled(value: &ViewValue) -> Paint {
    match value {
        ViewValue::Known(value) => Paint {
            fill: Fill::Step(match value.step {
                Step::Bare => 0,
                Step::Slight => 1,
                Step::Fair => 2,
                Step::Good => 3,
                Step::Rich => 4,
            }),
            marks: if value.wide { Marks::WIDE } else { Marks::NONE },
        },
        ViewValue::TreesNotKnown => Paint::plain(Fill::NotKnown),
        ViewValue::NotAssessed => Paint::plain(Fill::None),
    }
}
