//! The dry run of a crosswalk: in go a sample of a map and a crosswalk that somebody is writing, out comes for some
//! features what each property became, with everything that was odd. The map in use stays as it is.

use std::collections::BTreeMap;

use serde::Serialize;

use super::shapes::{Refusal, Trouble};
use super::{Session, bad_crosswalk, unreadable};
use crate::knowledge::Knowledge;
use crate::standmap::{Crosswalk, SampledFact, dry_run};

/// At most so many features are told of.
const FEATURES_AT_MOST: usize = 100;

/// What a crosswalk makes of a sample.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct CrosswalkTrial {
    /// Features of the sample, and those of them that became stands.
    pub features: usize,
    /// Stands.
    pub stands: usize,
    /// Stands without a usable outline.
    pub without_outline: usize,
    /// What is doubtful in the crosswalk, then what was odd in the sample.
    pub findings: Vec<Trouble>,
    /// Properties that nothing reads, with the number of features that carry each.
    pub unread: BTreeMap<String, usize>,
    /// Features, spread evenly over the sample, and what their properties became.
    pub sampled: Vec<SampledFeature>,
}

/// One feature of a sample.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct SampledFeature {
    /// The feature, counted from 1.
    pub feature: usize,
    /// The id of its stand; none where it became no stand.
    pub stand: Option<String>,
    /// Why it became no stand.
    pub left_out: Option<String>,
    /// What its properties became, in the order of the plain form.
    pub facts: Vec<SampledFact>,
}

impl Session {
    /// Reads a sample of a map by a crosswalk, or in the plain form, and tells of so many features (at most a hundred)
    /// what each property became. `files` are those that the crosswalk names. Nothing in use changes.
    ///
    /// # Errors
    /// A [`Refusal`] with all mistakes of the crosswalk, or why the sample is no stand map.
    pub fn try_crosswalk(
        &self,
        sample: &[u8],
        crosswalk: Option<&[u8]>,
        files: &BTreeMap<String, Vec<u8>>,
        features: usize,
    ) -> Result<CrosswalkTrial, Refusal> {
        let crosswalk = crosswalk
            .map(|bytes| Crosswalk::read_with_files(bytes, files))
            .transpose()
            .map_err(|mistakes| bad_crosswalk(&mistakes))?;
        let features = features.clamp(1, FEATURES_AT_MOST);
        let (reading, sampled) = dry_run(sample, crosswalk.as_ref(), Knowledge::shipped(), features)
            .map_err(|error| unreadable(&error))?;
        let doubtful = crosswalk.iter().flat_map(|crosswalk| &crosswalk.warnings);
        let findings = doubtful
            .map(|mistake| Trouble::of_crosswalk(mistake, "warning"))
            .chain(reading.findings.iter().map(Trouble::from))
            .collect();
        let sampled = sampled.into_iter().map(|one| SampledFeature {
            feature: one.feature,
            stand: one.stand,
            left_out: one.left_out,
            facts: one.facts,
        });
        Ok(CrosswalkTrial {
            features: reading.report.features,
            stands: reading.report.stands,
            without_outline: reading.report.without_outline,
            findings,
            unread: reading.report.unmapped,
            sampled: sampled.collect(),
        })
    }
}
