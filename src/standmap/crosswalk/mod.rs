//! The crosswalk: a file that says which property of a stand map means what. In goes its JSON, out comes a checked
//! crosswalk that the reader applies feature by feature, or its mistakes. It has tables and words, no code and no
//! expressions; the target names are those of the plain form.
//!
//! The order of steps is fixed, whatever the order of members: `from`, `missing`, `slice`, `read`, then `codes`,
//! `list` or `class`, then `unit`, then `year`.

use crate::order;
mod apply;
mod composition;
mod joined;
mod known;
mod lint;
mod mistake;
mod rows;
#[cfg(feature = "schema")]
mod schema;
mod trees;
mod units;
mod way;
mod written;

use std::collections::BTreeMap;

pub(crate) use apply::Mapped;
pub(crate) use composition::{Grammar, Writing, read as read_composition};
pub(crate) use known::KnownList;
pub use mistake::Mistake;
#[cfg(feature = "schema")]
pub use schema::schema;
pub(crate) use written::FeatureKind;

use super::Severity;
use super::letters::{self, OneByte};
use joined::Table;
use mistake::{Saying, Step, at_path, from_json};
use written::{List, Written};

/// The format's name and version, as the member `format` must have it.
pub const FORMAT: &str = "hostwood-crosswalk/1.0";
/// A crosswalk has at most so many bytes.
const BYTES_AT_MOST: usize = 4 << 20;

/// A crosswalk, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Crosswalk {
    written: Written,
    /// The tables that its files hold, by name.
    tables: Vec<(String, Table)>,
    /// What is doubtful in it, though it can be used.
    pub warnings: Vec<Mistake>,
}

impl Crosswalk {
    /// Reads and checks a crosswalk.
    ///
    /// # Errors
    /// All mistakes that can be found at once: the first one only where the file is not JSON of the right types.
    ///
    /// ```
    /// use hostwood::standmap::Crosswalk;
    ///
    /// let crosswalk = br#"{"format": "hostwood-crosswalk/1.0", "trees": [{
    ///     "name": {"from": "SPECIES"}, "share": {"from": "PERCENT"}}]}"#;
    /// let mistakes = Crosswalk::read(crosswalk).expect_err("a share without its unit");
    /// assert_eq!(mistakes[0].code, "unit-missing");
    /// ```
    pub fn read(bytes: &[u8]) -> Result<Crosswalk, Vec<Mistake>> {
        Crosswalk::read_with_files(bytes, &BTreeMap::new())
    }

    /// The files that a crosswalk names: lists and joined tables, each once, as `from_file` has them. Their addresses
    /// are relative to the crosswalk's own.
    ///
    /// # Errors
    /// The mistake for which the crosswalk cannot be read at all.
    pub fn files(bytes: &[u8]) -> Result<Vec<String>, Vec<Mistake>> {
        let text = json_text(bytes).map_err(|mistake| vec![*mistake])?;
        let written: Written = serde_json::from_str(text).map_err(|error| vec![from_json(text, &error)])?;
        let of_lists = written.lists.0.iter().filter(|(_, list)| list.codes.is_none());
        let of_tables = written.tables.0.iter().map(|(_, table)| &table.from_file);
        let all = of_lists
            .filter_map(|(_, list)| list.from_file.as_ref())
            .chain(of_tables);
        let mut files: Vec<String> = Vec::new();
        for file in all.filter(|file| !file.is_empty()) {
            if !files.contains(file) {
                files.push(file.clone());
            }
        }
        Ok(files)
    }

    /// Reads and checks a crosswalk whose lists or joined tables stand in files of their own: the bytes of each file,
    /// under the name that `from_file` has. A list is an object with the member `codes`; a table is CSV with the names
    /// of its columns in the first line, or a JSON array of objects.
    ///
    /// # Errors
    /// As [`Crosswalk::read`], and for mistakes in the files.
    pub fn read_with_files(
        bytes: &[u8],
        files: &BTreeMap<String, Vec<u8>>,
    ) -> Result<Crosswalk, Vec<Mistake>> {
        let text = json_text(bytes).map_err(|mistake| vec![*mistake])?;
        let mut written: Written =
            serde_json::from_str(text).map_err(|error| vec![from_json(text, &error)])?;
        let mut mistakes = Vec::new();
        for (name, list) in &mut written.lists.0 {
            let Some(bytes) = list.from_file.as_ref().and_then(|file| files.get(file)) else {
                continue;
            };
            let read = json_text(bytes).and_then(|text| {
                serde_json::from_str::<List>(text).map_err(|error| Box::new(from_json(text, &error)))
            });
            match read {
                Ok(read) => list.codes = read.codes,
                Err(mut mistake) => {
                    mistake.place = format!("the file of the list `{name}` {}", mistake.place)
                        .trim_end()
                        .to_owned();
                    mistakes.push(*mistake);
                }
            }
        }
        let mut tables = Vec::new();
        for (name, said) in &written.tables.0 {
            let at = [
                Step::from("tables"),
                Step::from(name.as_str()),
                Step::from("from_file"),
            ];
            let refuse = |code, [found, expected, advice]: [String; 3]| {
                let found = format!("the table `{}`: {found}", said.from_file);
                let saying = Saying {
                    code,
                    found,
                    expected,
                    advice,
                };
                at_path(text, &at, Severity::Error, saying)
            };
            match files.get(&said.from_file).map(|bytes| Table::read(bytes, said)) {
                Some(Ok(table)) => tables.push((name.clone(), table)),
                Some(Err(told)) => mistakes.push(refuse("bad-table", told)),
                None => mistakes.push(refuse(
                    "table-not-given",
                    [
                        "the file was not handed over".to_owned(),
                        "its rows".to_owned(),
                        "Put it beside the crosswalk".to_owned(),
                    ],
                )),
            }
        }
        mistakes.extend(lint::lint(&written, &tables, text));
        order::by_key(&mut mistakes, |mistake| (mistake.line, mistake.column));
        let (errors, warnings): (Vec<Mistake>, Vec<Mistake>) = mistakes
            .into_iter()
            .partition(|mistake| mistake.severity == Severity::Error);
        if errors.is_empty() {
            Ok(Crosswalk {
                written,
                tables,
                warnings,
            })
        } else {
            Err(errors)
        }
    }

    /// The one-byte encoding of the map's letters, if the crosswalk names one.
    pub(crate) fn encoding(&self) -> Option<&'static OneByte> {
        letters::of_name(self.written.encoding.as_deref()?)
    }

    /// The reference system of the map's coordinates, if the crosswalk names one.
    pub(crate) fn crs(&self) -> Option<&str> {
        self.written.crs.as_deref()
    }

    /// The box that the map lies in, if the crosswalk gives one: west, south, east, north, in degrees.
    pub(crate) fn region(&self) -> Option<[f64; 4]> {
        self.written.region
    }

    /// The languages of the map's tree names, the first counting first.
    pub(crate) fn languages(&self) -> Vec<String> {
        self.written
            .language
            .as_ref()
            .map(|names| names.0.clone())
            .unwrap_or_default()
    }
}

/// The bytes as text, a byte order mark left off.
fn json_text(bytes: &[u8]) -> Result<&str, Box<Mistake>> {
    let refuse = |code, found: &str, expected: &str, advice: &str| {
        let saying = Saying {
            code,
            found: found.to_owned(),
            expected: expected.to_owned(),
            advice: advice.to_owned(),
        };
        Err(Box::new(at_path("", &[], Severity::Error, saying)))
    };
    if bytes.len() > BYTES_AT_MOST {
        let found = format!("the file has {} bytes", bytes.len());
        return refuse(
            "too-large",
            &found,
            "at most 4 MB",
            "Shorten its lists to the codes that the map uses",
        );
    }
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) if text.trim().is_empty() => refuse("empty", "the file is empty", "a crosswalk", ""),
        Ok(text) if text.trim_start().starts_with('<') => refuse(
            "not-json",
            "this looks like a web page or XML",
            "JSON",
            "Check the address of the crosswalk",
        ),
        Ok(text) => Ok(text),
        Err(_) => refuse(
            "encoding",
            "the file is not UTF-8",
            "UTF-8",
            "Save the file again as UTF-8",
        ),
    }
}
