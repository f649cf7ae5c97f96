//! Stands that lie on one another, in words. In go a stand map and what the search for overlaps found, out come
//! findings. The search itself is left to `geometry`.

use super::finding::{Finding, Findings, Oddity, Severity, Whereabouts};
use super::survey::StandMap;
use crate::geometry::{Index, Overlaps};

impl StandMap {
    /// Looks for stands that lie on one another, in the same words as a reader that looks for them; gives up after
    /// looking at so many edges. For those who show the map first: the search costs as much as the rest of the reading.
    pub fn overlaps_within(&self, index: &Index, edges_at_most: usize) -> Vec<Finding> {
        let mut findings = Findings::default();
        tell_overlaps(
            self,
            self.outlines.overlaps_within(index, edges_at_most),
            &mut findings,
        );
        findings.into_sorted()
    }
}

/// Tells where stands lie on one another.
pub(super) fn tell_overlaps(map: &StandMap, overlaps: Option<Overlaps>, findings: &mut Findings) {
    let Some(overlaps) = overlaps else {
        return;
    };
    let id = |stand: u32| map.stands[stand as usize].id.as_str();
    let [one, other] = overlaps.first.map(id);
    let all = if overlaps.pairs > 1 {
        format!(
            "; in all, {} pairs of stands share {:.2} ha",
            overlaps.pairs,
            overlaps.shared.get()
        )
    } else {
        String::new()
    };
    let looked = if overlaps.looked_at < map.stands.len() {
        format!("; only the first {} stands were looked at", overlaps.looked_at)
    } else {
        String::new()
    };
    let found = format!(
        "the stands `{one}` and `{other}` lie on one another and share {:.2} ha{all}{looked}",
        overlaps.first_shared.get()
    );
    for &stand in &overlaps.stands {
        findings.add(
            Whereabouts {
                feature: None,
                stand: Some(id(stand)),
            },
            Oddity {
                code: "overlap",
                severity: Severity::Warning,
                property: None,
                found: &found,
                done: "all were kept; a click finds the smallest",
                advice: "Check whether the layers of a stand were exported as stands of their own",
                apart: "",
            },
        );
    }
}
