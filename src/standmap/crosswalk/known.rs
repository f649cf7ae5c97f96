//! Lists of codes out of crosswalks that are known, for a map whose crosswalk is still to be written. In go the bytes of
//! a crosswalk, out come its lists; whether one fits is left to the proposal.

use serde_json::{Map, Value};

use super::written::Written;
use crate::standmap::columns::fold;

/// A list of codes, and the crosswalk it stands in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KnownList {
    /// Its name in that crosswalk.
    pub(crate) name: String,
    of: String,
    source: Option<String>,
    codes: Vec<(String, Value)>,
}

impl KnownList {
    /// The lists of a crosswalk that have their codes inside; none where it cannot be read.
    pub(crate) fn in_crosswalk(of: &str, bytes: &[u8]) -> Vec<KnownList> {
        let Ok(written) = serde_json::from_slice::<Written>(bytes) else {
            return Vec::new();
        };
        let lists = written.lists.0.into_iter().filter_map(|(name, list)| {
            Some(KnownList {
                name,
                of: of.to_owned(),
                source: list.source,
                codes: list.codes?.0,
            })
        });
        lists.collect()
    }

    /// Whether it holds a code, folded.
    pub(crate) fn has(&self, folded: &str) -> bool {
        self.codes.iter().any(|(code, _)| fold(code) == folded)
    }

    /// What it is called for people.
    pub(crate) fn called(&self) -> String {
        format!("{} ({})", self.name, self.of)
    }

    /// The list as a crosswalk has it.
    pub(crate) fn written(&self) -> Value {
        let mut list = Map::new();
        if let Some(source) = &self.source {
            list.insert("source".to_owned(), Value::from(source.as_str()));
        }
        list.insert(
            "codes".to_owned(),
            Value::Object(self.codes.iter().cloned().collect()),
        );
        Value::Object(list)
    }
}
