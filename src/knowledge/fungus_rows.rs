//! From a row of fungi.csv to a kind. In goes a row, out come typed values and the mistakes in it; what must fit
//! between rows is checked by `fungi`.

use super::fungi::Kind;
use super::fungus_words::{
    AgePreference, Confidence, CustomStatus, Guild, Habitat, Handling, HostRole, Months, Region,
    SoilPreference,
};
use super::sources::Sources;
use super::table::{Row, TableError};
use crate::names::{KindId, ScientificName, SourceId};

pub(super) const TABLE: &str = "fungi.csv";
pub(super) const COLUMNS: &[&str] = &[
    "id",
    "scientific_name",
    "region",
    "guild",
    "host_role",
    "months_temperate",
    "months_core",
    "months_boreal",
    "months_mediterranean",
    "soil_reaction",
    "habitat",
    "stand_age",
    "status",
    "dangerous_lookalikes",
    "handling",
    "sources",
    "confidence",
    "note",
];

/// Reads a word, or tells which words would do.
pub(super) fn word<T>(
    row: &Row,
    column: &'static str,
    of: impl Fn(&str) -> Option<T>,
    words: &[&str],
    mistakes: &mut Vec<TableError>,
) -> Option<T> {
    let value = of(row.cell(column));
    if value.is_none() {
        mistakes.push(row.mistake_among(
            column,
            row.cell(column),
            &format!("one of {}", words.join(", ")),
            words.iter().copied(),
        ));
    }
    value
}

/// Reads a list of words.
fn list<T>(
    row: &Row,
    column: &'static str,
    of: impl Fn(&str) -> Option<T>,
    words: &[&str],
    mistakes: &mut Vec<TableError>,
) -> Vec<T> {
    let mut values = Vec::new();
    for part in row.list(column) {
        match of(part) {
            Some(value) => values.push(value),
            None => mistakes.push(row.mistake_among(
                column,
                part,
                &format!("words out of {}", words.join(", ")),
                words.iter().copied(),
            )),
        }
    }
    values
}

/// Reads months such as `8;9;10`; `none` for no month; an empty cell is not known.
fn months(row: &Row, column: &'static str, mistakes: &mut Vec<TableError>) -> Option<Months> {
    match row.cell(column) {
        "" => return None,
        "none" => return Some(Months::default()),
        _ => {}
    }
    let mut months = Months::default();
    for part in row.list(column) {
        match part.parse::<u8>() {
            Ok(month @ 1..=12) if !months.contains(month) => months.add(month),
            _ => mistakes.push(row.mistake(
                column,
                part,
                "months from 1 to 12, each once, or `none`, or an empty cell",
            )),
        }
    }
    Some(months)
}

/// Reads a row without its hosts and poisonings, which stand in tables of their own.
pub(super) fn kind(row: &Row, sources: &Sources, mistakes: &mut Vec<TableError>) -> Kind {
    let scientific = row.cell("scientific_name");
    if ScientificName::parse(scientific).is_none_or(|name| name.epithet.is_none()) {
        mistakes.push(row.mistake("scientific_name", scientific, "the name of a species"));
    }
    let named: Vec<SourceId> = row.list("sources").map(SourceId::new).collect();
    for source in &named {
        if sources.get(source).is_none() {
            let known = sources.ids();
            mistakes.push(row.mistake_among("sources", source.as_str(), "ids of rows in sources.csv", known));
        }
    }
    if named.is_empty() {
        mistakes.push(row.mistake("sources", "", "ids of rows in sources.csv"));
    }
    let temperate = months(row, "months_temperate", mistakes);
    if temperate.is_none() {
        mistakes.push(row.mistake("months_temperate", "", "months such as `8;9;10`, or `none`"));
    }
    // A word that could not be read has been told as a mistake, and the tables are refused; what stands in for it
    // here is never used.
    Kind {
        id: KindId::new(row.cell("id")),
        scientific: scientific.to_owned(),
        region: word(row, "region", Region::of, Region::WORDS, mistakes).unwrap_or(Region::Both),
        guild: word(row, "guild", Guild::of, Guild::WORDS, mistakes).unwrap_or(Guild::SaprotrophSoil),
        host_role: word(row, "host_role", HostRole::of, HostRole::WORDS, mistakes).unwrap_or(HostRole::None),
        hosts: Vec::new(),
        months_temperate: temperate.unwrap_or_default(),
        months_core: months(row, "months_core", mistakes).unwrap_or_default(),
        months_boreal: months(row, "months_boreal", mistakes),
        months_mediterranean: months(row, "months_mediterranean", mistakes),
        soil: word(
            row,
            "soil_reaction",
            SoilPreference::of,
            SoilPreference::WORDS,
            mistakes,
        )
        .unwrap_or(SoilPreference::Indifferent),
        habitats: list(row, "habitat", Habitat::of, Habitat::WORDS, mistakes),
        age: word(
            row,
            "stand_age",
            AgePreference::of,
            AgePreference::WORDS,
            mistakes,
        )
        .unwrap_or(AgePreference::Indifferent),
        status: word(row, "status", CustomStatus::of, CustomStatus::WORDS, mistakes)
            .unwrap_or(CustomStatus::Deadly),
        dangerous_lookalikes: row.list("dangerous_lookalikes").map(KindId::new).collect(),
        handling: list(row, "handling", Handling::of, Handling::WORDS, mistakes),
        poisonings: Vec::new(),
        sources: named,
        checked: Vec::new(),
        confidence: word(row, "confidence", Confidence::of, Confidence::WORDS, mistakes)
            .unwrap_or(Confidence::Memory),
        note: row.cell("note").to_owned(),
        region_words: Vec::new(),
    }
}
