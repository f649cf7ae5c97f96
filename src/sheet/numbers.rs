//! The numbers behind what a sheet says, as they stand in the table: each with how far it is backed and where it is from.
//! In go names of factors, out come parts of the sheet that open; nothing is computed here.

use super::Asked;
use super::tree::{Arg, FactRow, Node, Text};
use crate::knowledge::{FactorRow, Status};

/// The rows of some factors, in something that opens; none where no row has such a name.
pub(super) fn node(names: &[&str], asked: &Asked<'_>) -> Option<Node> {
    let rows = rows(names, asked);
    (!rows.is_empty()).then(|| Node::more(None, vec![Text::key("sheet.numbers")], vec![Node::Facts { rows }]))
}

/// The rows of some factors and of all below them.
fn rows(names: &[&str], asked: &Asked<'_>) -> Vec<FactRow> {
    let belongs = |row: &FactorRow| {
        names.iter().any(|name| {
            row.factor
                .strip_prefix(name)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    };
    let knowledge = &asked.ground.knowledge;
    let rows = knowledge.factors.rows().iter().filter(|row| belongs(row));
    rows.map(|row| {
        let mut value = vec![Text::with(
            "sheet.number",
            [
                ("value", Arg::number(row.value, 4)),
                ("backing", Text::key(backing(row.status)).into()),
            ],
        )];
        if row.source.as_str() != "design" {
            let source = knowledge.sources.get(&row.source);
            value.push(Text::data(source.map_or_else(
                || row.source.to_string(),
                |source| format!("{} ({})", source.citation, source.seen),
            )));
        }
        FactRow {
            term: Text::data(format!("{} {}", row.factor, row.at)),
            value,
        }
    })
    .collect()
}

fn backing(status: Status) -> &'static str {
    match status {
        Status::Science => "backing.science",
        Status::Design => "backing.design",
        Status::External => "backing.external",
    }
}
