//! Mistakes in a crosswalk: where, what was found, what was expected, what to do. In go places in the JSON text as
//! paths or bytes, out come lines, columns and places in words; what is a mistake is left to reading and lint.

use std::fmt;

use serde::Serialize;

use crate::standmap::Severity;
use crate::standmap::facts::nearest;

/// A mistake in a crosswalk.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mistake {
    /// What kind of mistake, such as `unknown-list`.
    pub code: &'static str,
    /// An error stops the crosswalk; a warning does not.
    pub severity: Severity,
    /// Where, as a JSON pointer (RFC 6901).
    pub pointer: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in bytes, from 1.
    pub column: usize,
    /// Where, in words.
    pub place: String,
    /// What was found.
    pub found: String,
    /// What was expected.
    pub expected: String,
    /// What to do; may be empty.
    pub advice: String,
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "crosswalk, line {}, column {}", self.line, self.column)?;
        if !self.place.is_empty() {
            write!(f, ", {}", self.place)?;
        }
        write!(f, ": {}, expected {}", self.found, self.expected)?;
        if !self.advice.is_empty() {
            write!(f, ". {}", self.advice)?;
        }
        if self.advice.ends_with('?') {
            Ok(())
        } else {
            f.write_str(".")
        }
    }
}

/// One step into a JSON value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Step {
    Member(String),
    Index(usize),
}

impl From<&str> for Step {
    fn from(name: &str) -> Self {
        Step::Member(name.to_owned())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Step::Index(index)
    }
}

/// What a mistake says, before its place in the text is worked out.
#[derive(Debug, Default)]
pub(crate) struct Saying {
    pub(crate) code: &'static str,
    pub(crate) found: String,
    pub(crate) expected: String,
    pub(crate) advice: String,
}

/// The mistake at a path of the text.
pub(crate) fn at_path(text: &str, path: &[Step], severity: Severity, saying: Saying) -> Mistake {
    let mut offset = 0;
    let mut deepest = 0;
    walk(text, |here, at| {
        if here.len() >= deepest && path.starts_with(here) {
            deepest = here.len();
            offset = at;
        }
        here != path
    });
    mistake(text, path, offset, severity, saying)
}

/// The mistake that reading the text as JSON into the types of the crosswalk came upon.
pub(crate) fn from_json(text: &str, error: &serde_json::Error) -> Mistake {
    let line_begins: usize = text
        .split_inclusive('\n')
        .take(error.line().saturating_sub(1))
        .map(str::len)
        .sum();
    let offset = (line_begins + error.column().saturating_sub(1)).min(text.len());
    let mut path = Vec::new();
    walk(text, |here, at| {
        if at <= offset {
            path = here.to_vec();
        }
        at <= offset
    });
    let whole = error.to_string();
    let said = whole.split(" at line ").next().unwrap_or_default();
    let words: Vec<&str> = said.split('`').collect();
    let saying = match words.as_slice() {
        [first, name, rest @ ..]
            if first.starts_with("unknown field") || first.starts_with("unknown variant") =>
        {
            let known: Vec<&str> = rest.iter().skip(1).step_by(2).copied().collect();
            let what = if first.starts_with("unknown field") {
                "member"
            } else {
                "word"
            };
            let listed: Vec<String> = known.iter().map(|known| format!("`{known}`")).collect();
            Saying {
                code: if what == "member" {
                    "unknown-member"
                } else {
                    "unknown-word"
                },
                found: format!("found the {what} `{name}`"),
                expected: if listed.is_empty() {
                    "nothing here".to_owned()
                } else {
                    format!("one of {}", listed.join(", "))
                },
                advice: advice_for(&path, name, known),
            }
        }
        ["missing field ", name, ..] => Saying {
            code: "missing-member",
            found: format!("`{name}` is missing"),
            expected: format!("a member `{name}`"),
            ..Saying::default()
        },
        ["duplicate field ", name, ..] => Saying {
            code: "two-rules",
            found: format!("`{name}` is written twice"),
            expected: "one rule for each target".to_owned(),
            ..Saying::default()
        },
        _ => match said.split_once(", expected ") {
            Some((found, expected)) if said.starts_with("invalid ") => {
                let found = found.split_once(": ").map_or(found, |(_, found)| found);
                Saying {
                    code: "wrong-type",
                    found: format!("found {}", in_json_words(found)),
                    expected: type_in_words(expected).to_owned(),
                    ..Saying::default()
                }
            }
            _ if error.is_eof() => Saying {
                code: "not-json",
                found: "the text ends too early".to_owned(),
                expected: "the closing bracket".to_owned(),
                advice: "Upload the whole file".to_owned(),
            },
            _ => {
                let shown: String = text.get(offset..).unwrap_or_default().chars().take(30).collect();
                Saying {
                    code: "not-json",
                    found: format!("{said}, before `{}`", shown.trim_end()),
                    expected: "JSON".to_owned(),
                    ..Saying::default()
                }
            }
        },
    };
    mistake(text, &path, offset, Severity::Error, saying)
}

fn advice_for(path: &[Step], name: &str, known: Vec<&str>) -> String {
    match (path, name, nearest(known, name)) {
        (_, _, Some(near)) => format!("Did you mean `{near}`?"),
        ([_], "when" | "else", None) => "Write both inside `kind`".to_owned(),
        ([_], "species" | "share" | "layer", None) => "Write it as an entry of `trees`".to_owned(),
        _ => String::new(),
    }
}

/// A type that was expected, as a writer of JSON knows it.
fn type_in_words(expected: &str) -> &str {
    match expected {
        "i32" | "u64" | "usize" => "a whole number",
        "f64" => "a number",
        "a string" => "a text",
        "a sequence" => "an array",
        "a boolean" => "true or false",
        "a map" => "an object",
        other => other,
    }
}

/// What was found, as a writer of JSON knows it.
fn in_json_words(found: &str) -> String {
    let found = found
        .replace("floating point `", "the number `")
        .replace("integer `", "the number `");
    match found.as_str() {
        "map" => "an object".to_owned(),
        "sequence" => "an array".to_owned(),
        // An array where an object should be is first taken for one without names.
        length if length.starts_with("invalid length") => "an array".to_owned(),
        "null" => "null".to_owned(),
        other => match other.strip_prefix("string ") {
            Some(text) => format!("the text {text}"),
            None => other.strip_prefix("boolean ").unwrap_or(other).to_owned(),
        },
    }
}

fn mistake(text: &str, path: &[Step], offset: usize, severity: Severity, saying: Saying) -> Mistake {
    let before = &text.as_bytes()[..offset.min(text.len())];
    let line_begins = before
        .iter()
        .rposition(|&byte| byte == b'\n')
        .map_or(0, |at| at + 1);
    Mistake {
        code: saying.code,
        severity,
        pointer: pointer(path),
        line: before.iter().filter(|&&byte| byte == b'\n').count() + 1,
        column: before.len() - line_begins + 1,
        place: in_words(path),
        found: saying.found,
        expected: saying.expected,
        advice: saying.advice,
    }
}

fn pointer(path: &[Step]) -> String {
    let steps = path.iter().map(|step| match step {
        Step::Member(name) => format!("/{}", name.replace('~', "~0").replace('/', "~1")),
        Step::Index(index) => format!("/{index}"),
    });
    steps.collect()
}

/// A path in words: `` `trees` 2, `share`, `unit` ``.
fn in_words(path: &[Step]) -> String {
    let mut words = String::new();
    for step in path {
        match step {
            Step::Member(name) => {
                if !words.is_empty() {
                    words.push_str(", ");
                }
                words.push_str(&format!("`{name}`"));
            }
            Step::Index(index) => words.push_str(&format!(" {}", index + 1)),
        }
    }
    words
}

/// Visits every value of a JSON text with its path and the byte where its name (or itself, in an array) begins;
/// stops where the visitor says so, or where the text is no JSON.
fn walk(text: &str, mut visit: impl FnMut(&[Step], usize) -> bool) {
    let bytes = text.as_bytes();
    let mut path: Vec<Step> = Vec::new();
    // For each open bracket: whether it is an object.
    let mut open: Vec<bool> = Vec::new();
    let mut name: Option<(String, usize)> = None;
    let mut at = 0;
    while at < bytes.len() {
        let byte = bytes[at];
        match byte {
            b' ' | b'\t' | b'\n' | b'\r' | b':' => {
                at += 1;
                continue;
            }
            b',' => {
                at += 1;
                if open.last() == Some(&false)
                    && let Some(Step::Index(index)) = path.last_mut()
                {
                    *index += 1;
                }
                continue;
            }
            b'}' | b']' => {
                if open.pop() == Some(false) {
                    path.pop();
                }
                path_out(&mut path, &open);
                at += 1;
                continue;
            }
            _ => {}
        }
        let end = match byte {
            b'"' => string_end(bytes, at),
            b'{' | b'[' => at + 1,
            _ => bytes[at..]
                .iter()
                .position(|byte| b",]} \n\t\r".contains(byte))
                .map_or(bytes.len(), |by| at + by.max(1)),
        };
        if open.last() == Some(&true) && name.is_none() && byte == b'"' {
            let text = serde_json::from_str(text.get(at..end).unwrap_or_default()).unwrap_or_default();
            name = Some((text, at));
            at = end;
            continue;
        }
        let begins = match name.take() {
            Some((name, begins)) => {
                path.push(Step::Member(name));
                begins
            }
            None => at,
        };
        if !visit(&path, begins) {
            return;
        }
        match byte {
            b'{' => open.push(true),
            b'[' => {
                open.push(false);
                path.push(Step::Index(0));
            }
            _ => path_out(&mut path, &open),
        }
        at = end;
    }
}

/// Leaves a member of an object; the index of an array stays until its bracket closes.
fn path_out(path: &mut Vec<Step>, open: &[bool]) {
    if open.last() == Some(&true) {
        path.pop();
    }
}

fn string_end(bytes: &[u8], from: usize) -> usize {
    let mut at = from + 1;
    while at < bytes.len() {
        match bytes[at] {
            b'\\' => at += 2,
            b'"' => return at + 1,
            _ => at += 1,
        }
    }
    bytes.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_visited_with_their_paths() {
        let text = "{\"a\": [1, {\"b\\\"\": \"x,]\"}, []],\n \"c\": {}, \"d\": null}";
        let mut visited = Vec::new();
        walk(text, |path, at| {
            visited.push(format!("{}@{at}", pointer(path)));
            true
        });
        assert_eq!(
            visited,
            [
                "@0",
                "/a@1",
                "/a/0@7",
                "/a/1@10",
                "/a/1/b\"@11",
                "/a/2@26",
                "/c@32",
                "/d@41"
            ]
        );
    }

    #[test]
    fn places_are_told_in_words() {
        let path = [
            Step::from("trees"),
            Step::from(1),
            Step::from("share"),
            Step::from("unit"),
        ];
        assert_eq!(in_words(&path), "`trees` 2, `share`, `unit`");
        assert_eq!(pointer(&path), "/trees/1/share/unit");
    }
}
