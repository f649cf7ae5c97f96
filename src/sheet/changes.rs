//! What would change the stand's value, as a part of the sheet that opens. Nothing is computed here.

use super::Asked;
use super::fruit::range;
use super::tree::{Arg, Node, Text, Unit};
use crate::potential::{Potential, What, changes};
use crate::stand::Stand;

/// What would change it; none where nothing would.
pub(super) fn node(stand: &Stand, potential: &Potential, asked: &Asked<'_>) -> Option<Node> {
    let ground = asked.ground;
    let now = potential.view(asked.view).known()?;
    let lines: Vec<Node> = changes(ground.profile(stand), potential, asked.view, &ground.knowledge)
        .into_iter()
        .map(|change| {
            let value = &change.value;
            let step = ("step", Text::key(value.step.key()).into());
            let then = ("range", range(value).into());
            Node::line(match change.what {
                What::Without(factor) => Text::with(
                    "sheet.fruit.change.without",
                    [("factor", Text::key(factor.key()).into()), step, then],
                ),
                What::Told(factor) => Text::with(
                    "sheet.fruit.change.told",
                    [
                        ("factor", Text::key(factor.key()).into()),
                        ("width", Arg::number((value.high - value.low).round(), 0)),
                        ("now", Arg::number((now.high - now.low).round(), 0)),
                    ],
                ),
                What::Years(years) => Text::with(
                    "sheet.fruit.change.years",
                    [("years", Arg::measure(years, Unit::Year, 0)), step, then],
                ),
            })
        })
        .collect();
    (!lines.is_empty()).then(|| Node::more(None, vec![Text::key("sheet.fruit.change.title")], lines))
}
