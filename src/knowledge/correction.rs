//! What a region may not take away. In go a kind as it was and the row that corrects it, out come mistakes where the
//! row is milder: a correction may add cautions, never remove danger. Everything else about a row is left to `fungi`.

use super::fungi::Kind;
use super::fungus_words::{Handling, Months, Region};
use super::table::{Row, TableError};

/// Ways of handling that are a caution; the others say how a kind keeps.
const CAUTIONS: [Handling; 8] = [
    Handling::C1,
    Handling::C2,
    Handling::C3,
    Handling::A1,
    Handling::P1,
    Handling::D1,
    Handling::L1,
    Handling::N0,
];

/// Checks that a correction is nowhere milder than what it corrects.
pub(super) fn check(row: &Row, known: &Kind, correction: &Kind, mistakes: &mut Vec<TableError>) {
    if correction.status < known.status {
        let expected = format!(
            "`{}` or worse, as it was: a correction may add cautions and never takes danger away",
            known.status.word()
        );
        mistakes.push(row.mistake("status", correction.status.word(), expected));
    }
    let missing = |kept: Vec<&str>, column: &'static str, mistakes: &mut Vec<TableError>| {
        if !kept.is_empty() {
            let expected = format!(
                "{} as well, as it was: a correction may add cautions and never takes danger away",
                kept.join(", ")
            );
            mistakes.push(row.mistake(column, row.cell(column), expected));
        }
    };
    let doubles = known
        .dangerous_lookalikes
        .iter()
        .filter(|double| !correction.dangerous_lookalikes.contains(double))
        .map(|double| double.as_str());
    missing(doubles.collect(), "dangerous_lookalikes", mistakes);
    let cautions = known
        .handling
        .iter()
        .filter(|code| CAUTIONS.contains(code) && !correction.handling.contains(code))
        .map(|code| code.word());
    missing(cautions.collect(), "handling", mistakes);
    if known.is_poisonous() {
        stays_in_sight(row, known, correction, mistakes);
    }
}

/// A poisonous kind keeps its months, continents and way of living with trees, or it would not be shown where it was.
fn stays_in_sight(row: &Row, known: &Kind, correction: &Kind, mistakes: &mut Vec<TableError>) {
    if known.region != correction.region && correction.region != Region::Both {
        let before = match known.region {
            Region::Both => "`both`".to_owned(),
            one => format!("`{}` or `both`", one.word()),
        };
        let expected = format!("{before}, as it was: a poisonous kind stays in sight");
        mistakes.push(row.mistake("region", correction.region.word(), expected));
    }
    if known.host_role != correction.host_role {
        let expected = format!(
            "`{}`, as it was: a poisonous kind stays in sight",
            known.host_role.word()
        );
        mistakes.push(row.mistake("host_role", correction.host_role.word(), expected));
    }
    // A climate without months of its own takes the temperate ones.
    let of = |kind: &Kind, own: Option<Months>| own.unwrap_or(kind.months_temperate);
    for (column, before, after) in [
        (
            "months_temperate",
            known.months_temperate,
            correction.months_temperate,
        ),
        (
            "months_boreal",
            of(known, known.months_boreal),
            of(correction, correction.months_boreal),
        ),
        (
            "months_mediterranean",
            of(known, known.months_mediterranean),
            of(correction, correction.months_mediterranean),
        ),
    ] {
        let lost: Vec<String> = before
            .iter()
            .filter(|month| !after.contains(*month))
            .map(|month| month.to_string())
            .collect();
        if !lost.is_empty() {
            let expected = format!(
                "the months {} as well, as it was: a poisonous kind stays in sight",
                lost.join(";")
            );
            mistakes.push(row.mistake(column, row.cell(column), expected));
        }
    }
}
