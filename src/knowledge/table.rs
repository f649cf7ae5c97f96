//! One way to read every knowledge table. In goes CSV text and the columns it must have, out come rows that know
//! their file and line, and the mistakes found on the way. What a row means is left to the table's own file.

use std::fmt;

use super::region::RegionTable;

/// How alike a word and a known one must be to be asked after, 0 to 1.
const ALIKE: f64 = 0.7;

/// Something wrong in a knowledge table: where, what was found, what was expected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableError {
    /// The name of the file: the table's own, or that of a region's file.
    pub table: String,
    /// The line in the file, counted from 1; 0 where the whole table is meant.
    pub line: u64,
    /// The column, where it is about one.
    pub column: Option<&'static str>,
    /// Which cell of the row that is, counted from 1.
    pub cell: Option<usize>,
    /// What was found.
    pub found: String,
    /// What is expected, and so what to write instead.
    pub expected: String,
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.table)?;
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
#[derive(Debug, Clone)]
pub(crate) struct Row {
    file: String,
    /// The title of the region's file it stands in; none for a shipped row.
    region: Option<String>,
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

    /// The title of the region's file the row stands in; none for a shipped row.
    pub(crate) fn region(&self) -> Option<&str> {
        self.region.as_deref()
    }

    /// A mistake in one cell of this row, with the known word that is most like what was found.
    pub(crate) fn mistake_among<'w>(
        &self,
        column: &'static str,
        found: &str,
        expected: &str,
        known: impl IntoIterator<Item = &'w str>,
    ) -> TableError {
        let expected = match nearest(found, known) {
            Some(near) => format!("{expected}; did you mean `{near}`?"),
            None => expected.to_owned(),
        };
        self.mistake(column, found, expected)
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
            table: self.file.clone(),
            line: self.line,
            column: Some(column),
            cell: self
                .columns
                .iter()
                .position(|name| *name == column)
                .map(|at| at + 1),
            found,
            expected: expected.into(),
        }
    }
}

/// The known word that is most like another, if one is alike enough.
pub(crate) fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    known
        .into_iter()
        .map(|known| (strsim::normalized_damerau_levenshtein(word, known), known))
        .filter(|(alike, known)| *alike >= ALIKE && *known != word)
        // The first of equally alike words, in their order.
        .fold(None, |best: Option<(f64, &str)>, next| match best {
            Some(best) if best.0 >= next.0 => Some(best),
            _ => Some(next),
        })
        .map(|(_, known)| known)
}

/// Reads a table whose header must be exactly `columns`; rows that cannot be read become mistakes. Lines that begin with
/// `#` are remarks.
pub(crate) fn rows(
    table: &'static str,
    text: &str,
    columns: &'static [&'static str],
    mistakes: &mut Vec<TableError>,
) -> Vec<Row> {
    read(table, None, 1, text, columns, mistakes)
}

/// Reads a shipped table and whatever a region's files add to it, the shipped rows first.
pub(crate) fn rows_with_region(
    table: &'static str,
    text: &str,
    region: &[RegionTable<'_>],
    columns: &'static [&'static str],
    mistakes: &mut Vec<TableError>,
) -> Vec<Row> {
    let mut rows = rows(table, text, columns, mistakes);
    for more in region.iter().filter(|more| more.table == table) {
        rows.extend(read(
            more.file,
            Some(more.title),
            more.first_line,
            &more.text,
            columns,
            mistakes,
        ));
    }
    rows
}

fn read(
    file: &str,
    region: Option<&str>,
    first_line: u64,
    text: &str,
    columns: &'static [&'static str],
    mistakes: &mut Vec<TableError>,
) -> Vec<Row> {
    let whole = |found: String, expected: String| TableError {
        table: file.to_owned(),
        line: 0,
        column: None,
        cell: None,
        found,
        expected,
    };
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
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
    let line_of =
        |position: Option<&csv::Position>| position.map_or(0, |position| position.line() + first_line - 1);
    let mut rows = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => rows.push(Row {
                file: file.to_owned(),
                region: region.map(ToOwned::to_owned),
                columns,
                line: line_of(record.position()),
                cells: record.iter().map(str::to_owned).collect(),
            }),
            Err(error) => mistakes.push(TableError {
                table: file.to_owned(),
                line: line_of(error.position()),
                column: None,
                cell: None,
                found: "a row that does not fit the header".to_owned(),
                expected: format!("{} cells", columns.len()),
            }),
        }
    }
    rows
}
