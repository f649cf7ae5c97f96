//! From an assessment to one paint a stand. In go the ground, one visit's answers and the value of each stand; out come
//! a fill and marks for each stand. The day changes the marks, never the fill.

use super::paint::{Fill, Marks, Paint};
use crate::assessment::{Assessment, Ground};
use crate::potential::{Step, ViewValue};
use crate::rules::Answer;
use crate::stand::Stand;

/// One paint for each stand of the map, in its order. `value` gives what fills a stand: its potential in the view that
/// is looked at, or how well it suits what is wished for. Stands of one profile have one value.
pub fn paints(ground: &Ground, assessment: &Assessment, value: impl Fn(&Stand) -> ViewValue) -> Vec<Paint> {
    let mut fills: Vec<Option<Paint>> = vec![None; ground.map.profiles.len()];
    ground
        .map
        .stands
        .iter()
        .zip(0u32..)
        .map(|(stand, place)| {
            let fill = *fills[stand.profile as usize].get_or_insert_with(|| filled(&value(stand)));
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
