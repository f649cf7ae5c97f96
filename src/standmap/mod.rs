//! Reads a stand map as an agency publishes it, in chunks as they arrive. In go the bytes of a GeoJSON file (and a
//! crosswalk, where the map is not in the plain form), out comes a stand map with findings and counts. Nothing else
//! reads stand maps; what the stands mean for fungi and for the law is left to others.
//!
//! One bad feature never loses the map: it is told as a finding, and the rest is read.

mod cause;
mod cell;
mod columns;
mod crosswalk;
mod crs;
mod dry_run;
mod facts;
mod feature;
mod finding;
mod garbled;
mod key;
mod legible;
mod letters;
mod mend;
mod mixture;
mod outline;
mod overlapping;
mod placing;
mod plain;
mod propose;
mod reader;
mod report;
mod scan;
mod shape;
mod survey;
mod swift;
mod topology;
mod unpack;
mod unreadable;

pub use cause::{CAUSES, Cause, Kind};
#[cfg(feature = "schema")]
pub use crosswalk::schema as crosswalk_schema;
pub use crosswalk::{Crosswalk, FORMAT, Mistake};
pub use dry_run::{Sampled, SampledFact, dry_run};
pub use finding::{Finding, Severity};
pub use propose::{Guess, Proposal, propose};
pub use reader::{Limits, Reader};
pub use report::{Report, Told, UnknownTree};
pub use survey::{Assessed, StandMap};
pub use unreadable::{Spot, Unreadable};

use crate::knowledge::Knowledge;

/// A stand map, read.
#[derive(Debug, Clone)]
pub struct Reading {
    /// The stands.
    pub map: StandMap,
    /// What was odd, worst first.
    pub findings: Vec<Finding>,
    /// Counts over the map.
    pub report: Report,
}

/// How far a reader has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Progress {
    /// Bytes taken.
    pub bytes: u64,
    /// Stands read.
    pub stands: usize,
}

/// Reads a whole stand map.
///
/// # Errors
/// [`Unreadable`] where the whole file is no stand map.
pub fn read(
    bytes: &[u8],
    crosswalk: Option<&Crosswalk>,
    knowledge: &Knowledge,
) -> Result<Reading, Unreadable> {
    let mut reader = Reader::new(crosswalk.cloned(), knowledge);
    reader.push(bytes)?;
    reader.finish()
}
