//! The crosswalk: a file that says which property of a stand map means what. In goes its JSON, out comes a checked
//! crosswalk that the reader applies feature by feature, or its mistakes. It has tables and words, no code and no
//! expressions; the target names are those of the plain form.
//!
//! The order of steps is fixed, whatever the order of members: `from`, `missing`, `slice`, `read`, then `codes`,
//! `list` or `class`, then `unit`, then `year`.

mod apply;
mod composition;
mod lint;
mod mistake;
mod trees;
mod units;
mod way;
mod written;

use std::collections::BTreeMap;

pub(crate) use apply::Mapped;
pub use mistake::Mistake;
pub(crate) use written::FeatureKind;

use super::Severity;
use mistake::{Saying, at_path, from_json};
use written::{List, Written};

/// The format's name and version, as the member `format` must have it.
pub const FORMAT: &str = "hostwood-crosswalk/1.0";
/// A crosswalk has at most so many bytes.
const BYTES_AT_MOST: usize = 4 << 20;

/// A crosswalk, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Crosswalk {
    written: Written,
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
        Crosswalk::read_with_lists(bytes, &BTreeMap::new())
    }

    /// Reads and checks a crosswalk whose lists stand in files of their own: the bytes of each file, under the name
    /// that `from_file` has. Such a file is an object with the member `codes`.
    ///
    /// # Errors
    /// As [`Crosswalk::read`], and for mistakes in the files.
    pub fn read_with_lists(
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
        mistakes.extend(lint::lint(&written, text));
        let (errors, warnings): (Vec<Mistake>, Vec<Mistake>) = mistakes
            .into_iter()
            .partition(|mistake| mistake.severity == Severity::Error);
        if errors.is_empty() {
            Ok(Crosswalk { written, warnings })
        } else {
            Err(errors)
        }
    }

    /// The reference system of the map's coordinates, if the crosswalk names one.
    pub(crate) fn crs(&self) -> Option<&str> {
        self.written.crs.as_deref()
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
