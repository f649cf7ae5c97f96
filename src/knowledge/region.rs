//! A region's own tables of kinds. In go files as they were handed in, out come the tables in them, each known by its
//! header, and the mistakes that can be told without reading rows. Rows are read with the shipped ones, by `fungi`.
//!
//! A file holds one table or several, one after the other; each begins with its header row. Lines that begin with `#` are
//! remarks, and the first remark is the file's title: it is shown beside every kind the file speaks of.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::fungi::OPEN_TABLES;
use super::table::{TableError, nearest};

/// Bytes a file may have. The shipped tables of kinds have a tenth of that.
const BYTES_AT_MOST: usize = 2_000_000;
/// Characters of a title that are kept.
const TITLE_AT_MOST: usize = 120;

/// A region's file as it was handed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegionFile {
    /// How whoever handed it in calls it.
    pub name: String,
    /// Its bytes: CSV in UTF-8.
    pub bytes: Vec<u8>,
}

/// One table in a region's file.
#[derive(Debug, Clone)]
pub struct RegionTable<'a> {
    /// The file's name.
    pub file: &'a str,
    /// The file's title, else its name.
    pub title: &'a str,
    /// Which of the shipped tables it adds to.
    pub table: &'static str,
    /// The line of the file at which its header stands, counted from 1.
    pub first_line: u64,
    /// Header and rows.
    pub text: Cow<'a, str>,
}

/// How many kinds one file added and corrected.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct RegionCount {
    /// The file's name.
    pub name: String,
    /// The file's title.
    pub title: String,
    /// Kinds that the shipped tables do not have.
    pub added: usize,
    /// Shipped kinds it says something of.
    pub corrected: usize,
}

/// The tables in a region's files.
pub(super) fn tables<'a>(files: &'a [RegionFile], mistakes: &mut Vec<TableError>) -> Vec<RegionTable<'a>> {
    let mut tables = Vec::new();
    for file in files {
        let whole = |line: u64, found: String, expected: &str| TableError {
            table: file.name.clone(),
            line,
            column: None,
            cell: None,
            found,
            expected: expected.to_owned(),
        };
        if file.bytes.len() > BYTES_AT_MOST {
            let expected = format!("at most {BYTES_AT_MOST} bytes; leave out kinds that the region has not");
            mistakes.push(whole(0, format!("{} bytes", file.bytes.len()), &expected));
            continue;
        }
        let Ok(text) = std::str::from_utf8(&file.bytes) else {
            let expected = "text in UTF-8; save the file as \"CSV UTF-8\"";
            mistakes.push(whole(0, "bytes that are not UTF-8".to_owned(), expected));
            continue;
        };
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if let Some((line, hidden)) = hidden(text) {
            let found = format!("the invisible character U+{:04X}", u32::from(hidden));
            mistakes.push(whole(line, found, "visible text only; delete that character"));
            continue;
        }
        split(file, text, &whole, &mut tables, mistakes);
    }
    tables
}

/// The first character that cannot be seen and may turn what is read.
fn hidden(text: &str) -> Option<(u64, char)> {
    let is_hidden = |c: char| {
        (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
            || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
    };
    text.lines()
        .zip(1u64..)
        .find_map(|(line, number)| Some((number, line.chars().find(|c| is_hidden(*c))?)))
}

fn split<'a>(
    file: &'a RegionFile,
    text: &'a str,
    whole: &dyn Fn(u64, String, &str) -> TableError,
    tables: &mut Vec<RegionTable<'a>>,
    mistakes: &mut Vec<TableError>,
) {
    let title = title(text).unwrap_or(&file.name);
    let mut begun = false;
    for (line, number) in text.lines().zip(1u64..) {
        let header = header_of(line);
        if let Some(table) = header {
            begun = true;
            tables.push(RegionTable {
                file: &file.name,
                title,
                table,
                first_line: number,
                text: Cow::Owned(String::new()),
            });
        } else if !begun && !line.trim().is_empty() && !line.starts_with('#') {
            mistakes.push(unknown_header(line, number, whole));
            return;
        }
        if begun && let Some(last) = tables.last_mut() {
            // A remark stays as an empty line, so that lines keep their numbers.
            last.text.to_mut().push_str(line);
            last.text.to_mut().push('\n');
        }
    }
    if !begun {
        mistakes.push(whole(
            0,
            "no table".to_owned(),
            "a table such as fungi.csv, beginning with its header row",
        ));
    }
}

/// The first remark, which is the file's title.
fn title(text: &str) -> Option<&str> {
    let remark = text
        .lines()
        .map(str::trim)
        .take_while(|line| line.is_empty() || line.starts_with('#'))
        .find_map(|line| {
            let remark = line.trim_start_matches('#').trim();
            (!remark.is_empty()).then_some(remark)
        })?;
    let end = remark
        .char_indices()
        .nth(TITLE_AT_MOST)
        .map_or(remark.len(), |(at, _)| at);
    remark.get(..end)
}

/// Cells of a header row, without the marks some programs put around and after them.
fn cells(line: &str) -> String {
    let cells: Vec<&str> = line
        .split(',')
        .map(|cell| cell.trim().trim_matches('"'))
        .collect();
    cells.join(",")
}

fn header_of(line: &str) -> Option<&'static str> {
    let cells = cells(line);
    OPEN_TABLES
        .iter()
        .find(|(_, columns)| columns.join(",") == cells)
        .map(|(table, _)| *table)
}

fn unknown_header(line: &str, number: u64, whole: &dyn Fn(u64, String, &str) -> TableError) -> TableError {
    let shown: String = line.chars().take(200).collect();
    let found = format!("`{shown}`");
    let headers: Vec<String> = OPEN_TABLES.iter().map(|(_, columns)| columns.join(",")).collect();
    let with_commas = line.replace([';', '\t'], ",");
    if with_commas != line && header_of(&with_commas).is_some() {
        return whole(
            number,
            found,
            "commas between the cells of the header; save the file with commas",
        );
    }
    let near = nearest(&cells(line), headers.iter().map(String::as_str))
        .and_then(|near| headers.iter().position(|header| header == near))
        .and_then(|at| Some((OPEN_TABLES.get(at)?.0, headers.get(at)?)));
    let expected = match near {
        Some((table, header)) => format!("the header of a table; that of {table} is `{header}`"),
        None => {
            let names: Vec<&str> = OPEN_TABLES.iter().map(|(table, _)| *table).collect();
            format!("the header row of one of the tables {}", names.join(", "))
        }
    };
    whole(number, found, &expected)
}

/// How many kinds each file added and corrected. A kind of the region's own counts once, for the file that added it.
pub(super) fn counts(files: &[RegionFile], tables: &[RegionTable<'_>]) -> Vec<RegionCount> {
    let shipped = &super::Knowledge::shipped().fungi;
    let is_shipped = |id: &String| shipped.kind(&crate::names::KindId::new(id.as_str())).is_some();
    files
        .iter()
        .map(|file| {
            let of_file = || tables.iter().filter(|table| table.file == file.name);
            let mut own = BTreeSet::new();
            let mut named = BTreeSet::new();
            for table in of_file() {
                let column = if table.table == OPEN_TABLES[0].0 {
                    "id"
                } else {
                    "kind"
                };
                for id in ids(table, column) {
                    if column == "id" {
                        own.insert(id.clone());
                    }
                    named.insert(id);
                }
            }
            RegionCount {
                name: file.name.clone(),
                title: of_file()
                    .next()
                    .map_or(&*file.name, |table| table.title)
                    .to_owned(),
                added: own.iter().filter(|id| !is_shipped(id)).count(),
                corrected: named.iter().filter(|id| is_shipped(id)).count(),
            }
        })
        .collect()
}

/// The cells of one column of a table that was read without mistakes.
fn ids(table: &RegionTable<'_>, column: &str) -> Vec<String> {
    let columns = OPEN_TABLES.iter().find(|(name, _)| *name == table.table);
    let Some((_, columns)) = columns else {
        return Vec::new();
    };
    let mut ignored = Vec::new();
    let rows = super::table::rows(table.table, &table.text, columns, &mut ignored);
    rows.iter()
        .map(|row| row.cell(column).to_owned())
        .filter(|id| !id.is_empty())
        .collect()
}
