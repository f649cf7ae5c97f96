//! Tables joined to a stand map: rows of a second file, none, one or many a stand, found by a key. In go the bytes of
//! CSV or JSON and what the crosswalk says of them, out come rows by key; what their cells mean is left to the ways.

use crate::order::Lookup;

use serde_json::Value;

use super::way::{Common, Way};
use super::written::{self, Key};
use crate::standmap::cell;
use crate::standmap::columns::{Columns, fold};
use crate::standmap::letters;

/// A table has at most so many bytes.
const BYTES_AT_MOST: usize = 256 << 20;

/// A table as it came: its columns, and its rows by key. All cells are texts; an empty text says nothing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Table {
    header: Vec<String>,
    places: Lookup<String, usize>,
    rows: Vec<csv::StringRecord>,
    by_key: Lookup<String, Vec<u32>>,
}

impl Table {
    /// Reads a table.
    ///
    /// # Errors
    /// What was found, what was expected, and what to do, in words.
    pub(crate) fn read(bytes: &[u8], said: &written::Table) -> Result<Table, [String; 3]> {
        if bytes.len() > BYTES_AT_MOST {
            let found = format!("the file has {} bytes", bytes.len());
            return Err(told(
                &found,
                "at most 256 MB",
                "Keep the columns and rows that the map needs",
            ));
        }
        let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
        let decoded;
        let text = match (
            said.encoding.as_deref().and_then(letters::of_name),
            std::str::from_utf8(bytes),
        ) {
            // Letters that are all UTF-8 are, whatever is said of them.
            (_, Ok(text)) => text,
            (Some(encoding), Err(_)) => {
                decoded = letters::decoded(bytes, encoding);
                &decoded
            }
            (None, Err(_)) => {
                return Err(told(
                    "the file is not UTF-8",
                    "UTF-8",
                    "Save the file again as UTF-8, or name its encoding, as `\"encoding\": \"windows-1252\"`",
                ));
            }
        };
        let (header, rows) = match text.trim_start().chars().next() {
            None => {
                return Err(told(
                    "the file is empty",
                    "a line with the names of its columns",
                    "",
                ));
            }
            Some('<') => {
                return Err(told(
                    "this looks like a web page or XML",
                    "CSV, or a JSON array of objects",
                    "Check the address of the table",
                ));
            }
            Some('[' | '{') => json_rows(text)?,
            Some(_) => separated_rows(text, said.separator.as_deref())?,
        };
        let places: Lookup<String, usize> = header
            .iter()
            .enumerate()
            .rev()
            .map(|(place, name)| (fold(name), place))
            .collect();
        let mut table = Table {
            header,
            places,
            rows,
            by_key: Lookup::default(),
        };
        let key: Vec<Option<usize>> = said.key.table().iter().map(|name| table.place(name)).collect();
        // A key that the table does not have is told by the lint, with the names that it does have.
        if let Some(key) = key.into_iter().collect::<Option<Vec<usize>>>() {
            for (index, row) in table.rows.iter().enumerate() {
                let parts: Vec<&str> = key.iter().filter_map(|place| row.get(*place)).collect();
                if parts.iter().all(|part| !part.trim().is_empty()) {
                    let rows = table.by_key.entry(joint(parts.into_iter())).or_default();
                    rows.push(u32::try_from(index).unwrap_or(u32::MAX));
                }
            }
        }
        Ok(table)
    }

    /// The place of a column; capitals and width do not matter.
    pub(crate) fn place(&self, name: &str) -> Option<usize> {
        self.places.get(&fold(name)).copied()
    }

    /// The names of its columns.
    pub(crate) fn header(&self) -> &[String] {
        &self.header
    }

    fn cell(&self, row: u32, place: usize) -> Option<Value> {
        let text = self.rows.get(row as usize)?.get(place)?;
        (!text.is_empty()).then(|| Value::from(text))
    }
}

/// A table laid over the columns of a map.
#[derive(Debug)]
pub(crate) struct Joined {
    pub(crate) name: String,
    table: Table,
    /// The columns of the map that make the key.
    pub(crate) key: Vec<Way>,
    /// Which cells of the map's row are filled from which column of the table's first row.
    filled: Vec<(usize, usize)>,
    /// The rows of the stand at hand.
    rows: Vec<u32>,
    /// Which rows a stand was found for.
    met: Vec<bool>,
    without_rows: usize,
}

/// What a join left over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct LeftOver {
    pub(crate) table: String,
    pub(crate) rows: usize,
    pub(crate) rows_without_stand: usize,
    pub(crate) stands_without_rows: usize,
}

impl Joined {
    /// Lays a table over the map's columns: what the crosswalk names as `table.column` becomes a column of the map.
    pub(crate) fn lay(
        name: &str,
        said: &written::Table,
        table: Table,
        common: &Common<'_>,
        columns: &mut Columns,
    ) -> Joined {
        let key = said.key.map().iter();
        let key = key.map(|name| Way::straight(name, common, columns)).collect();
        let filled = table.header.iter().enumerate().map(|(place, column)| {
            let whole = format!("{name}.{column}");
            let cell = columns.want(&whole);
            // The map's own features never carry it, and it is none of their columns.
            columns.meet(&whole);
            columns.count();
            (cell, place)
        });
        Joined {
            name: name.to_owned(),
            filled: filled.collect(),
            met: vec![false; table.rows.len()],
            table,
            key,
            rows: Vec::new(),
            without_rows: 0,
        }
    }

    /// Finds the rows of the feature at hand, and fills the cells that the first of them gives.
    pub(crate) fn join(&mut self, cells: &mut [Option<Value>]) {
        let parts: Option<Vec<String>> = self.key.iter().map(|way| way.raw(cells)).collect();
        let key = parts.map(|parts| joint(parts.iter().map(String::as_str)));
        self.rows.clear();
        self.rows.extend(
            key.and_then(|key| self.table.by_key.get(&key))
                .into_iter()
                .flatten(),
        );
        for row in &self.rows {
            self.met[*row as usize] = true;
        }
        for (cell, place) in &self.filled {
            cells[*cell] = self.rows.first().and_then(|row| self.table.cell(*row, *place));
        }
    }

    /// Counts the feature at hand as a stand.
    pub(crate) fn keep(&mut self) {
        self.without_rows += usize::from(self.rows.is_empty());
    }

    /// The rows of the feature at hand, in the order of the file, as cells of these columns of the table.
    pub(crate) fn rows<'j>(
        &'j self,
        places: &'j [Option<usize>],
    ) -> impl Iterator<Item = Vec<Option<Value>>> + 'j {
        self.rows.iter().map(|row| {
            let cell = |place: &Option<usize>| place.and_then(|place| self.table.cell(*row, place));
            places.iter().map(cell).collect()
        })
    }

    /// The place of a column.
    pub(crate) fn place(&self, name: &str) -> Option<usize> {
        self.table.place(name)
    }

    /// What was left over on either side, when all features have been read.
    pub(crate) fn left_over(&self) -> LeftOver {
        LeftOver {
            table: self.name.clone(),
            rows: self.met.len(),
            rows_without_stand: self.met.iter().filter(|met| !**met).count(),
            stands_without_rows: self.without_rows,
        }
    }
}

impl Key {
    /// The columns of the map.
    pub(crate) fn map(&self) -> &[String] {
        match self {
            Key::Same(names) => &names.0,
            Key::Each { map, .. } => &map.0,
        }
    }

    /// The columns of the table.
    pub(crate) fn table(&self) -> &[String] {
        match self {
            Key::Same(names) => &names.0,
            Key::Each { table, .. } => &table.0,
        }
    }
}

/// The parts of a key as one text. Whole numbers are the same with and without their decimal zero.
fn joint<'p>(parts: impl Iterator<Item = &'p str>) -> String {
    let mut joint = String::new();
    for part in parts {
        let folded = fold(part);
        let whole = folded
            .strip_suffix(".0")
            .filter(|whole| !whole.is_empty() && whole.bytes().all(|byte| byte.is_ascii_digit()));
        joint.push_str(whole.unwrap_or(&folded));
        joint.push('\u{1f}');
    }
    joint
}

type Rows = (Vec<String>, Vec<csv::StringRecord>);

/// Rows of a text whose cells stand between separators, the first line being the names of the columns.
fn separated_rows(text: &str, separator: Option<&str>) -> Result<Rows, [String; 3]> {
    let first = text.lines().next().unwrap_or_default();
    // A separator of several characters is told by the lint.
    let mark = match separator
        .filter(|mark| mark.len() == 1)
        .and_then(|mark| mark.bytes().next())
    {
        Some(mark) => mark,
        // The mark that the line of names has most of.
        None => [b',', b';', b'\t']
            .into_iter()
            .max_by_key(|mark| first.bytes().filter(|byte| byte == mark).count())
            .unwrap_or(b','),
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(mark)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let wrong = |error: csv::Error| {
        let line = error.position().map_or(0, csv::Position::line);
        match error.kind() {
            csv::ErrorKind::UnequalLengths {
                expected_len, len, ..
            } => told(
                &format!("line {line} of the table has {len} cells"),
                &format!("{expected_len}, as the line of names has"),
                "Name the `separator` if it is not the one the line of names has most of",
            ),
            _ => told(&format!("line {line} of the table: {error}"), "CSV", ""),
        }
    };
    let header = reader
        .headers()
        .map_err(wrong)?
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader.records().collect::<Result<Vec<_>, _>>().map_err(wrong)?;
    Ok((header, rows))
}

/// Rows of a JSON array of objects. A column is any name that one of them has.
fn json_rows(text: &str) -> Result<Rows, [String; 3]> {
    let expected = "an array of objects, one for each row";
    let rows: Vec<serde_json::Map<String, Value>> = serde_json::from_str(text).map_err(|error| {
        told(
            &format!(
                "line {}, column {} of the table is none",
                error.line(),
                error.column()
            ),
            expected,
            "",
        )
    })?;
    let mut header: Vec<String> = Vec::new();
    let mut places: Lookup<String, usize> = Lookup::default();
    for name in rows.iter().flat_map(serde_json::Map::keys) {
        if !places.contains_key(name) {
            places.insert(name.clone(), header.len());
            header.push(name.clone());
        }
    }
    let rows = rows.iter().map(|row| {
        let cells = header
            .iter()
            .map(|name| row.get(name).and_then(cell::text).unwrap_or_default());
        csv::StringRecord::from_iter(cells)
    });
    let rows = rows.collect();
    Ok((header, rows))
}

fn told(found: &str, expected: &str, advice: &str) -> [String; 3] {
    [found.to_owned(), expected.to_owned(), advice.to_owned()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standmap::crosswalk::written::Names;

    fn said(separator: Option<&str>) -> written::Table {
        written::Table {
            key: Key::Same(Names(vec!["id".to_owned()])),
            separator: separator.map(str::to_owned),
            ..written::Table::default()
        }
    }

    /// The rows of each key, in short: `1: a 2; b 3 | 2: c 4`.
    fn short(text: &str, separator: Option<&str>) -> String {
        let table = match Table::read(text.as_bytes(), &said(separator)) {
            Ok(table) => table,
            Err([found, expected, _]) => return format!("({found}, expected {expected})"),
        };
        let mut keys: Vec<_> = table.by_key.iter().collect();
        keys.sort();
        let keys = keys.into_iter().map(|(key, rows)| {
            let rows = rows.iter().map(|row| {
                let cells: Vec<&str> = table.rows[*row as usize].iter().skip(1).collect();
                cells.join(" ")
            });
            format!(
                "{}: {}",
                key.trim_end_matches('\u{1f}'),
                rows.collect::<Vec<_>>().join("; ")
            )
        });
        keys.collect::<Vec<_>>().join(" | ")
    }

    #[test]
    fn rows_are_found_by_key_whatever_the_separator() {
        for (text, separator, expected) in [
            (
                "id,code,share\n1,a,2\n1,b,3\n2,c,4\n",
                None,
                "1: a 2; b 3 | 2: c 4",
            ),
            ("id;code;share\r\n1;a;2,5\r\n", None, "1: a 2,5"),
            ("\u{feff}id\tcode\n1\ta; b, c\n", None, "1: a; b, c"),
            ("id|code\n1|a\n", Some("|"), "1: a"),
            ("ID,code\n\"1\",\"a, b\"\n,lost\n", None, "1: a, b"),
            ("id,code\n 1.0 ,a\n1,b\n", None, "1: a; b"),
            (
                r#"[{"id": 1, "code": "a"}, {"id": 1.0, "share": 3}, {"code": "lost"}]"#,
                None,
                "1: a ;  3",
            ),
            (
                "",
                None,
                "(the file is empty, expected a line with the names of its columns)",
            ),
            (
                "<html>",
                None,
                "(this looks like a web page or XML, expected CSV, or a JSON array of objects)",
            ),
            (
                "id,code\n1\n",
                None,
                "(line 2 of the table has 1 cells, expected 2, as the line of names has)",
            ),
            (
                r#"{"id": 1}"#,
                None,
                "(line 1, column 0 of the table is none, expected an array of objects, one for each row)",
            ),
        ] {
            assert_eq!(short(text, separator), expected, "{text}");
        }
    }

    #[test]
    fn a_table_in_the_encoding_that_is_named_is_read() {
        let said = |encoding: Option<&str>| written::Table {
            from_file: "t.csv".to_owned(),
            key: Key::Same(written::Names(vec!["id".to_owned()])),
            encoding: encoding.map(str::to_owned),
            ..written::Table::default()
        };
        let cell = |bytes: &[u8], encoding| Table::read(bytes, &said(encoding)).expect("a table").cell(0, 1);
        assert_eq!(
            cell(b"id,tree\n1,\x9cwierk\n", Some("windows-1250")),
            Some(Value::from("\u{15b}wierk"))
        );
        // What is UTF-8 throughout is read as such, whatever is said of it.
        assert_eq!(
            cell("id,tree\n1,świerk\n".as_bytes(), Some("windows-1250")),
            Some(Value::from("świerk"))
        );
    }

    #[test]
    fn a_table_that_is_not_utf_8_is_refused() {
        let refused = Table::read(b"id,name\n1,\xe9pic\xe9a\n", &said(None)).expect_err("Latin-1");
        assert_eq!(refused[0], "the file is not UTF-8");
    }
}
