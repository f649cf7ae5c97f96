//! One way to read every knowledge table. In goes CSV text and the columns it must have, out come rows that know
//! their line, and the mistakes found on the way. What a row means is left to the table's own file.

use std::fmt;

/// Something wrong in a knowledge table: where, what was found, what was expected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableError {
    /// The table's file name.
    pub table: &'static str,
    /// The line in the file, counted from 1; 0 where the whole table is meant.
    pub line: u64,
    /// The column, where it is about one.
    pub column: Option<&'static str>,
    /// What was found.
    pub found: String,
    /// What is expected, and so what to write instead.
    pub expected: String,
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.table)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if let Some(column) = self.column {
            write!(f, ", `{column}`")?;
        }
        write!(f, ": found {}, expected {}", self.found, self.expected)
    }
}

impl std::error::Error for TableError {}

/// One row of a table; cells are trimmed.
#[derive(Debug)]
pub(crate) struct Row {
    table: &'static str,
    columns: &'static [&'static str],
    line: u64,
    cells: Vec<String>,
}

impl Row {
    /// The cell of a column; empty if the table has no such column.
    pub(crate) fn cell(&self, column: &str) -> &str {
        self.columns
            .iter()
            .position(|name| *name == column)
            .and_then(|at| self.cells.get(at))
            .map_or("", String::as_str)
    }

    /// The parts of a cell that holds a list with semicolons.
    pub(crate) fn list(&self, column: &str) -> impl Iterator<Item = &str> {
        self.cell(column)
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
    }

    /// A mistake in one cell of this row.
    pub(crate) fn mistake(
        &self,
        column: &'static str,
        found: &str,
        expected: impl Into<String>,
    ) -> TableError {
        let found = if found.is_empty() {
            "nothing".to_owned()
        } else {
            format!("`{found}`")
        };
        TableError {
            table: self.table,
            line: self.line,
            column: Some(column),
            found,
            expected: expected.into(),
        }
    }
}

/// Reads a table whose header must be exactly `columns`; rows that cannot be read become mistakes.
pub(crate) fn rows(
    table: &'static str,
    text: &str,
    columns: &'static [&'static str],
    mistakes: &mut Vec<TableError>,
) -> Vec<Row> {
    let whole = |found: String, expected: String| TableError {
        table,
        line: 0,
        column: None,
        found,
        expected,
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let wanted = columns.join(",");
    match reader.headers() {
        Ok(header) if header.iter().eq(columns.iter().copied()) => {}
        Ok(header) => {
            let found = header.iter().collect::<Vec<_>>().join(",");
            mistakes.push(whole(
                format!("the columns `{found}`"),
                format!("the columns `{wanted}`"),
            ));
            return Vec::new();
        }
        Err(error) => {
            mistakes.push(whole(error.to_string(), format!("the columns `{wanted}`")));
            return Vec::new();
        }
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => rows.push(Row {
                table,
                columns,
                line: record.position().map_or(0, csv::Position::line),
                cells: record.iter().map(str::to_owned).collect(),
            }),
            Err(error) => mistakes.push(TableError {
                table,
                line: error.position().map_or(0, csv::Position::line),
                column: None,
                found: "a row that does not fit the header".to_owned(),
                expected: format!("{} cells", columns.len()),
            }),
        }
    }
    rows
}
