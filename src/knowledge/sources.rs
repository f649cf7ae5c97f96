//! Where every fact comes from. In goes sources.csv, out come citations by id; judging a source is left to readers.

use std::collections::BTreeMap;

use serde::Serialize;

use super::region::RegionTable;
use super::table::{Row, TableError, rows_with_region};
use crate::names::SourceId;

/// One source: what it is, how much of it was seen, under which licence its facts are carried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Its id in every other table.
    pub id: SourceId,
    /// What to cite.
    pub citation: String,
    /// How it was seen: read whole, abstract read, from memory ...
    pub seen: String,
    /// Licence of what was carried over.
    pub licence: String,
}

/// All sources, by id.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sources(BTreeMap<SourceId, Source>);

pub(super) const TABLE: &str = "sources.csv";
pub(super) const COLUMNS: &[&str] = &["id", "citation", "seen", "licence"];

impl Sources {
    /// The source of that id.
    pub fn get(&self, id: &SourceId) -> Option<&Source> {
        self.0.get(id)
    }

    /// All sources in the order of their ids.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.0.values()
    }

    pub(super) fn read(text: &str, region: &[RegionTable<'_>], mistakes: &mut Vec<TableError>) -> Sources {
        let mut sources = BTreeMap::new();
        for row in rows_with_region(TABLE, text, region, COLUMNS, mistakes) {
            for column in ["id", "citation", "seen", "licence"] {
                if row.cell(column).is_empty() {
                    mistakes.push(row.mistake(column, "", "some text"));
                }
            }
            let id = SourceId::new(row.cell("id"));
            let source = Source {
                id: id.clone(),
                citation: row.cell("citation").to_owned(),
                seen: row.cell("seen").to_owned(),
                licence: row.cell("licence").to_owned(),
            };
            if sources.insert(id.clone(), source).is_some() {
                mistakes.push(row.mistake("id", id.as_str(), "an id that no other source has"));
            }
        }
        Sources(sources)
    }

    /// The ids of all sources.
    pub(super) fn ids(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(SourceId::as_str)
    }

    /// The source a row names in its column `source`, or a mistake if there is no such source.
    pub(super) fn of(&self, row: &Row, mistakes: &mut Vec<TableError>) -> SourceId {
        let id = SourceId::new(row.cell("source"));
        if !self.0.contains_key(&id) {
            mistakes.push(row.mistake_among(
                "source",
                id.as_str(),
                "the id of a row in sources.csv",
                self.ids(),
            ));
        }
        id
    }
}
