//! The rows of factors.csv and who asked for them. In goes the text, out come numbers by factor and place; a number that
//! is asked for and lacking is a mistake, and so is a row nobody asks for.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::factors::{Bounds, Curve, FactorRow, Status};
use super::sources::Sources;
use super::table::{Row, TableError, rows};

const TABLE: &str = "factors.csv";
const COLUMNS: &[&str] = &["factor", "at", "value", "status", "source", "note"];

/// The rows, and which of them were asked for.
#[derive(Debug)]
pub(super) struct Table {
    rows: Vec<(FactorRow, Row)>,
    asked: RefCell<BTreeSet<(String, String)>>,
    lacking: RefCell<Vec<TableError>>,
}

impl Table {
    pub(super) fn read(text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) -> Table {
        let mut found: Vec<(FactorRow, Row)> = Vec::new();
        for row in rows(TABLE, text, COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let status = match row.cell("status") {
                "science" => Status::Science,
                "design" => Status::Design,
                "external" => Status::External,
                other => {
                    mistakes.push(row.mistake("status", other, "`science`, `design` or `external`"));
                    continue;
                }
            };
            let value = row
                .cell("value")
                .parse::<f64>()
                .ok()
                .filter(|value| value.is_finite());
            let Some(value) = value else {
                mistakes.push(row.mistake("value", row.cell("value"), "a number such as `0.4`"));
                continue;
            };
            let (factor, at) = (row.cell("factor"), row.cell("at"));
            if found
                .iter()
                .any(|(known, _)| known.factor == factor && known.at == at)
            {
                mistakes.push(row.mistake("at", at, format!("each value of `{factor}` once")));
            }
            let known = FactorRow {
                factor: factor.to_owned(),
                at: at.to_owned(),
                value,
                status,
                source,
                note: row.cell("note").to_owned(),
            };
            found.push((known, row));
        }
        Table {
            rows: found,
            asked: RefCell::default(),
            lacking: RefCell::default(),
        }
    }

    pub(super) fn of<'a>(&'a self, factor: &'a str) -> impl Iterator<Item = &'a (FactorRow, Row)> {
        self.rows.iter().filter(move |(row, _)| row.factor == factor)
    }

    pub(super) fn ask(&self, factor: &str, at: &str) -> Option<f64> {
        let found = self.of(factor).find(|(row, _)| row.at == at)?;
        self.asked.borrow_mut().insert((factor.to_owned(), at.to_owned()));
        Some(found.0.value)
    }

    /// A number that must be there.
    pub(super) fn number(&self, factor: &str, at: &str) -> f64 {
        self.ask(factor, at).unwrap_or_else(|| {
            self.lacking.borrow_mut().push(TableError {
                table: TABLE.to_owned(),
                cell: None,
                line: 0,
                column: None,
                found: format!("no row `{factor}` at `{at}`"),
                expected: "every number that scoring uses".to_owned(),
            });
            0.0
        })
    }

    pub(super) fn numbers<const N: usize>(&self, factor: &str, words: [&str; N]) -> [f64; N] {
        words.map(|word| self.number(factor, word))
    }

    pub(super) fn curve(&self, factor: &str) -> Curve {
        let mut knots: Vec<(f64, f64)> = Vec::new();
        for (row, cells) in self.of(factor) {
            self.asked
                .borrow_mut()
                .insert((factor.to_owned(), row.at.clone()));
            let next = row.at.parse::<f64>().ok().filter(|x| x.is_finite());
            match (next, knots.last()) {
                (Some(x), None) => knots.push((x, row.value)),
                (Some(x), Some((last, _))) if x > *last => knots.push((x, row.value)),
                _ => self.lacking.borrow_mut().push(cells.mistake(
                    "at",
                    &row.at,
                    "a number greater than the knot before",
                )),
            }
        }
        if knots.len() < 2 {
            self.lacking.borrow_mut().push(TableError {
                table: TABLE.to_owned(),
                cell: None,
                line: 0,
                column: None,
                found: format!("{} knots of `{factor}`", knots.len()),
                expected: "two or more".to_owned(),
            });
        }
        Curve(knots)
    }

    pub(super) fn bounds(&self, factor: &str) -> Bounds {
        let [west, east, south, north] = self.numbers(factor, ["west", "east", "south", "north"]);
        Bounds {
            west,
            east,
            south,
            north,
        }
    }

    /// Hands over what was lacking, and the rows nobody asked for.
    pub(super) fn finish(self, mistakes: &mut Vec<TableError>) {
        mistakes.extend(self.lacking.into_inner());
        let asked = self.asked.into_inner();
        for (known, row) in &self.rows {
            if !asked.contains(&(known.factor.clone(), known.at.clone())) {
                let found = format!("{} at {}", known.factor, known.at);
                mistakes.push(row.mistake("factor", &found, "a number that scoring uses"));
            }
        }
    }

    /// The rows as they stand.
    pub(super) fn rows(&self) -> impl Iterator<Item = &FactorRow> {
        self.rows.iter().map(|(row, _)| row)
    }

    /// Notes a row of a factor that cannot be used.
    pub(super) fn refuse(&self, cells: &Row, at: &str, expected: &str) {
        let mistake = cells.mistake("at", at, expected);
        self.lacking.borrow_mut().push(mistake);
    }

    /// Whether nothing was lacking so far.
    pub(super) fn is_whole(&self) -> bool {
        self.lacking.borrow().is_empty()
    }
}
