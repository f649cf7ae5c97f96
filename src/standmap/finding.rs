//! Findings: what was odd in a stand map, where, and what was done about it. In go single observations, out come
//! groups with a count and up to three examples; nothing here decides what is odd.

use crate::order;
use std::fmt;

use serde::Serialize;

use super::cause;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Something was lost: a feature, an outline, a value.
    Error,
    /// Something was changed or taken with doubt.
    Warning,
    /// Something to know; nothing was lost.
    Note,
}

impl Severity {
    fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}

/// One kind of oddity, met once or many times.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// What kind of oddity, such as `unknown-tree`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The first feature it was met in, counted from 1; `None` where it speaks of the whole map.
    pub feature: Option<usize>,
    /// The id of that feature's stand, if it has one.
    pub stand: Option<String>,
    /// The property it was met in.
    pub property: Option<String>,
    /// What was found there first.
    pub found: String,
    /// What was done about it.
    pub done: String,
    /// What the publisher of the map can do.
    pub advice: String,
    /// How many times it was met.
    pub count: usize,
    /// Up to three places: stand ids, or `feature 12` where there is no id.
    pub examples: Vec<String>,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.severity.word())?;
        match (&self.stand, self.feature) {
            (Some(stand), Some(feature)) => write!(f, "stand `{stand}` (feature {feature})")?,
            (None, Some(feature)) => write!(f, "feature {feature}")?,
            _ => f.write_str("stand map")?,
        }
        if let Some(property) = &self.property {
            write!(f, ", property `{property}`")?;
        }
        write!(f, ": {}; {}.", self.found, self.done)?;
        if !self.advice.is_empty() {
            write!(f, " {}.", self.advice)?;
        }
        if self.count > 1 {
            write!(f, " Met {} times", self.count)?;
            if self.examples.len() > 1 {
                write!(f, ", such as in {}", self.examples.join(", "))?;
            }
            f.write_str(".")?;
        }
        Ok(())
    }
}

/// A count with its word: `1 stand`, `2 stands`.
pub(crate) fn counted(count: usize, word: &str) -> String {
    if count == 1 {
        format!("1 {word}")
    } else {
        format!("{count} {word}s")
    }
}

/// Where a finding was met.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Whereabouts<'a> {
    pub(crate) feature: Option<usize>,
    pub(crate) stand: Option<&'a str>,
}

/// What a kind of oddity says the first time it is met.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Oddity<'a> {
    pub(crate) code: &'static str,
    pub(crate) severity: Severity,
    pub(crate) property: Option<&'a str>,
    pub(crate) found: &'a str,
    pub(crate) done: &'a str,
    pub(crate) advice: &'a str,
    /// Oddities of one code and property are told apart by this text, where it is not empty.
    pub(crate) apart: &'a str,
}

/// At most so many findings of one code and property are told apart by their text.
const APART_AT_MOST: usize = 50;
/// There are at most so many findings; further ones of a code join the last of that code.
const FINDINGS_AT_MOST: usize = 1_000;
/// A finding names at most so many places.
const EXAMPLES_AT_MOST: usize = 3;

/// All findings of one reading, grouped as they come in.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    groups: Vec<(String, Finding)>,
}

impl Findings {
    /// Adds one observation to its group.
    pub(crate) fn add(&mut self, at: Whereabouts<'_>, oddity: Oddity<'_>) {
        debug_assert!(
            cause::is_known(oddity.code),
            "the code `{}` is not in the table of causes, `src/standmap/cause.rs`; add what it means",
            oddity.code
        );
        let alike =
            |finding: &Finding| finding.code == oddity.code && finding.property.as_deref() == oddity.property;
        let known = self
            .groups
            .iter()
            .position(|(apart, finding)| alike(finding) && apart == oddity.apart)
            .or_else(|| {
                let of_code = self.groups.iter().filter(|(_, finding)| alike(finding)).count();
                (of_code >= APART_AT_MOST)
                    .then(|| self.groups.iter().rposition(|(_, finding)| alike(finding)))
                    .flatten()
            })
            .or_else(|| {
                let of_code = |(_, finding): &(String, Finding)| finding.code == oddity.code;
                (self.groups.len() >= FINDINGS_AT_MOST)
                    .then(|| self.groups.iter().rposition(of_code))
                    .flatten()
            });
        let finding = match known {
            Some(index) => &mut self.groups[index].1,
            None => {
                self.groups.push((
                    oddity.apart.to_owned(),
                    Finding {
                        code: oddity.code,
                        severity: oddity.severity,
                        feature: at.feature,
                        stand: at.stand.map(str::to_owned),
                        property: oddity.property.map(str::to_owned),
                        found: oddity.found.to_owned(),
                        done: oddity.done.to_owned(),
                        advice: oddity.advice.to_owned(),
                        count: 0,
                        examples: Vec::new(),
                    },
                ));
                let last = self.groups.len() - 1;
                &mut self.groups[last].1
            }
        };
        finding.count += 1;
        if finding.examples.len() < EXAMPLES_AT_MOST {
            match (at.stand, at.feature) {
                (Some(stand), _) => finding.examples.push(stand.to_owned()),
                (None, Some(feature)) => finding.examples.push(format!("feature {feature}")),
                _ => {}
            }
        }
    }

    /// The groups, worst first, else in the order they were first met.
    pub(crate) fn into_sorted(self) -> Vec<Finding> {
        let mut findings: Vec<Finding> = self.groups.into_iter().map(|(_, finding)| finding).collect();
        order::by_key(&mut findings, |finding| finding.severity);
        findings
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unknown<'a>(token: &'a str) -> Oddity<'a> {
        Oddity {
            code: "unknown-tree",
            severity: Severity::Warning,
            property: Some("species"),
            found: token,
            done: "kept as not known",
            advice: "Write a scientific name",
            apart: token,
        }
    }

    #[test]
    fn alike_findings_are_counted_once_with_three_examples() {
        let mut findings = Findings::default();
        for (feature, stand) in [(1, Some("a")), (2, None), (4, Some("c")), (9, Some("d"))] {
            let at = Whereabouts {
                feature: Some(feature),
                stand,
            };
            findings.add(at, unknown("Spruse"));
        }
        findings.add(
            Whereabouts {
                feature: Some(5),
                stand: None,
            },
            unknown("Bech"),
        );
        let said: Vec<String> = findings.into_sorted().iter().map(Finding::to_string).collect();
        assert_eq!(
            said,
            [
                "warning: stand `a` (feature 1), property `species`: Spruse; kept as not known. Write a \
                 scientific name. Met 4 times, such as in a, feature 2, c.",
                "warning: feature 5, property `species`: Bech; kept as not known. Write a scientific name.",
            ]
        );
    }

    #[test]
    fn the_worst_comes_first() {
        let mut findings = Findings::default();
        findings.add(
            Whereabouts::default(),
            Oddity {
                severity: Severity::Note,
                code: "sliver",
                ..unknown("x")
            },
        );
        findings.add(
            Whereabouts::default(),
            Oddity {
                severity: Severity::Error,
                code: "off-globe",
                ..unknown("x")
            },
        );
        let codes: Vec<&str> = findings
            .into_sorted()
            .iter()
            .map(|finding| finding.code)
            .collect();
        assert_eq!(codes, ["off-globe", "sliver"]);
    }

    #[test]
    fn endless_different_texts_do_not_make_endless_findings() {
        let mut findings = Findings::default();
        for number in 0..1000 {
            findings.add(Whereabouts::default(), unknown(&format!("code {number}")));
        }
        let sorted = findings.into_sorted();
        assert_eq!(sorted.len(), APART_AT_MOST);
        assert_eq!(sorted.iter().map(|finding| finding.count).sum::<usize>(), 1000);
        let mut findings = Findings::default();
        for number in 0..3000 {
            let property = format!("column {number}");
            let oddity = Oddity {
                property: Some(&property),
                ..unknown("x")
            };
            findings.add(Whereabouts::default(), oddity);
        }
        let sorted = findings.into_sorted();
        assert_eq!(sorted.len(), FINDINGS_AT_MOST);
        assert_eq!(sorted.iter().map(|finding| finding.count).sum::<usize>(), 3000);
    }
}
