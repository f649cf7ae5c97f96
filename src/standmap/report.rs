//! What a reading tells of the map as a whole: counts for the publisher of the map and the writer of a crosswalk.
//! What was odd, and where, is told by the findings.

use std::collections::BTreeMap;

use serde::Serialize;

/// Counts over one stand map.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Report {
    /// Bytes read.
    pub bytes: u64,
    /// Features met.
    pub features: usize,
    /// Features that became stands.
    pub stands: usize,
    /// Stands without a usable outline.
    pub without_outline: usize,
    /// Features that did not become stands, by reason in words.
    pub left_out: BTreeMap<String, usize>,
    /// How often each value of the stands was told.
    pub told: BTreeMap<&'static str, Told>,
    /// Properties that nothing reads, with the number of features that carry each.
    pub unmapped: BTreeMap<String, usize>,
    /// Tree names and codes that are not known.
    pub unknown_trees: Vec<UnknownTree>,
}

/// How often one value was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Told {
    /// Stands where it is one value.
    pub known: usize,
    /// Stands where it is a range.
    pub range: usize,
    /// Stands where the cell is missing, null, or a declared missing marker.
    pub empty: usize,
    /// Stands where the cell makes no sense.
    pub illegal: usize,
    /// Stands where the cell is a code that no list holds.
    pub unmapped: usize,
}

/// A tree name or code that is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UnknownTree {
    /// The name or code, as it stands in the map.
    pub text: String,
    /// How many members of mixtures carry it.
    pub count: usize,
    /// The known name most like it, if one is near; never assumed.
    pub suggestion: Option<String>,
}
