//! The lint of joined tables: in go what the crosswalk says of them and the columns that they have, out come mistakes
//! in keys, separators, and names of columns. What the rows hold is left to the reading of the map.

use super::super::joined::Table;
use super::super::written::{Names, Test, TreeEntry};
use super::{Lint, quoted};
use crate::standmap::facts::nearest;

/// At most so many columns of a table are listed in a message.
const LISTED_AT_MOST: usize = 12;

impl Lint<'_> {
    /// Checks every table that the crosswalk declares.
    pub(super) fn tables(&mut self) {
        let (written, tables) = (self.written, self.tables);
        self.inside("tables", |lint| {
            for (name, said) in &written.tables.0 {
                lint.inside(name.as_str(), |lint| {
                    if name.is_empty() || name.contains('.') {
                        let found = format!("the table is called `{name}`");
                        lint.error("bad-name", found, "a name without a point", "");
                    }
                    if let Some(encoding) = &said.encoding {
                        lint.encoding(encoding);
                    }
                    if let Some(mark) = &said.separator
                        && (mark.len() != 1 || mark == "\"")
                    {
                        lint.inside("separator", |lint| {
                            let found = format!("found `{mark}`");
                            lint.error("bad-mark", found, "one character such as `;`", "");
                        });
                    }
                    let (map, table) = (said.key.map().len(), said.key.table().len());
                    lint.inside("key", |lint| {
                        if map == 0 || map != table {
                            let found = format!("{map} columns of the map and {table} of the table");
                            lint.error(
                                "bad-key",
                                found,
                                "one of each, or as many of one as of the other",
                                "",
                            );
                        }
                        if let Some((_, table)) = tables.iter().find(|(known, _)| known == name) {
                            for column in said.key.table() {
                                lint.column_of_table(name, table, column);
                            }
                        }
                    });
                });
            }
        });
    }

    /// Checks what an entry of `trees` says of the rows that it reads.
    pub(super) fn entry_rows(&mut self, entry: &TreeEntry) {
        let Some(_) = &entry.rows else {
            if entry.only.is_some() {
                self.inside("where", |lint| {
                    lint.error(
                        "not-here",
                        "`where` stands without `rows`",
                        "`rows` beside it",
                        "",
                    );
                });
            }
            return;
        };
        if entry.repeat.is_some() || entry.composition.is_some() {
            let advice = "The rows of a stand are its trees, one each";
            self.error(
                "two-rules",
                "`rows` stands beside `repeat` or `composition`",
                "`rows` with `name` and `share`",
                advice,
            );
        }
        if let Some(test) = &entry.only {
            self.inside("where", |lint| lint.test(test));
            let read = self
                .tables
                .iter()
                .find(|(name, _)| Some(name) == entry.rows.as_ref());
            if let Some((name, table)) = read {
                self.inside("where", |lint| lint.column_of_table(name, table, &test.col));
            }
        }
    }

    fn test(&mut self, test: &Test) {
        let tests = [
            test.eq.is_some(),
            test.any_of.is_some(),
            test.present.is_some(),
            test.between.is_some(),
        ];
        self.tests(&test.col, tests);
    }

    /// Checks names of columns against the table that they are read from: that of the entry at hand, or the one that
    /// a name such as `strata.age` begins with.
    pub(super) fn columns_of_tables(&mut self, names: &Names) {
        let (rows, tables) = (self.rows, self.tables);
        if let Some((table, known)) = rows {
            if !names.0.iter().any(|name| known.place(name).is_some())
                && let Some(name) = names.0.first()
            {
                self.column_of_table(table, known, name);
            }
            return;
        }
        for name in &names.0 {
            let Some((table, column)) = name.split_once('.') else {
                continue;
            };
            if let Some((_, known)) = tables.iter().find(|(name, _)| name == table) {
                self.column_of_table(table, known, column);
            }
        }
    }

    fn column_of_table(&mut self, name: &str, table: &Table, column: &str) {
        if table.place(column).is_some() {
            return;
        }
        let header: Vec<&str> = table.header().iter().map(String::as_str).collect();
        let mut expected = format!("one of {}", quoted(&header[..header.len().min(LISTED_AT_MOST)]));
        if header.len() > LISTED_AT_MOST {
            expected.push_str(&format!(" and {} more", header.len() - LISTED_AT_MOST));
        }
        let advice = nearest(header.iter().copied(), column).map(|near| format!("Did you mean `{near}`?"));
        let found = format!("the table `{name}` has no column `{column}`");
        self.error("unknown-column", found, &expected, &advice.unwrap_or_default());
    }
}
