//! Stands: in goes a feature that is one, out comes a stand in the survey, with an id of its own, or a finding why it
//! is left out. What its cells mean is left to the plain form and the crosswalk.

use serde_json::Value;

use crate::names::StandId;
use crate::standmap::cell;
use crate::standmap::crosswalk::FeatureKind;
use crate::standmap::dry_run::Seen;
use crate::standmap::facts::Desk;
use crate::standmap::feature::Feature;
use crate::standmap::finding::{Findings, Oddity, Severity, Whereabouts};
use crate::standmap::garbled;
use crate::standmap::legible::{Done, legible, make_legible};
use crate::standmap::mixture::settle;
use crate::standmap::outline::Outlined;
use crate::standmap::plain;
use crate::standmap::unreadable::Unreadable;

use super::{Form, Gathering, ID_AT_MOST, NAME_AT_MOST};

/// Tells what was done to make a text legible.
fn tell_illegible(done: &Done, property: Option<&str>, number: usize, findings: &mut Findings) {
    let at = Whereabouts {
        feature: Some(number),
        stand: None,
    };
    if let Some(letter) = done.hidden {
        findings.add(
            at,
            Oddity {
                code: "hidden-letters",
                severity: Severity::Warning,
                property,
                found: &format!("a letter that cannot be seen, U+{:04X}", u32::from(letter)),
                done: "such letters were left out",
                advice: "Take them out of the source; they can make a name look like another",
                apart: "",
            },
        );
    }
    if done.cut {
        findings.add(
            at,
            Oddity {
                code: "too-long",
                severity: Severity::Warning,
                property,
                found: "a text of more than 2000 letters, or a list of more than 1000 members",
                done: "what lies beyond was left out",
                advice: "Keep such texts out of the map",
                apart: "",
            },
        );
    }
}

impl Gathering<'_> {
    /// Takes a feature that is one, as a stand.
    pub(super) fn take_stand(&mut self, mut feature: Feature) -> Result<(), Unreadable> {
        let full = [
            (
                "limit-stands",
                self.survey.map.stands.len() >= self.limits.stands,
                self.limits.stands,
                "stands",
            ),
            (
                "limit-positions",
                self.positions >= self.limits.positions,
                self.limits.positions,
                "positions",
            ),
        ];
        for (code, reached, limit, of) in full {
            if reached {
                let found = format!("the map has more than {limit} {of}");
                self.leave_out(
                    code,
                    &found,
                    "Split the map, or simplify its outlines",
                    "beyond the limit",
                );
                return Ok(());
            }
        }
        let number = self.report.features;
        self.mend_letters(&mut feature, number);
        self.make_legible(&mut feature, number);
        let own_id = match &mut self.form {
            Form::Plain => plain::cell(&feature.cells, "id").cloned(),
            Form::Mapped(mapped) => {
                mapped.join(&mut feature.cells);
                let reason = match mapped.kind(&feature.cells) {
                    FeatureKind::Stand => None,
                    FeatureKind::Open => Some("open land, by the crosswalk"),
                    FeatureKind::NotForest => Some("no forest, by the crosswalk"),
                    FeatureKind::NoData => Some("no data, by the crosswalk"),
                };
                if let Some(reason) = reason {
                    if let Some(witness) = &mut self.witness {
                        witness.see(&Seen {
                            feature: number,
                            stand: None,
                            left_out: Some(reason),
                            mapped: Some(mapped),
                            columns: &self.columns,
                            cells: &feature.cells,
                            draft: None,
                        });
                    }
                    *self.report.left_out.entry(reason.to_owned()).or_insert(0) += 1;
                    return Ok(());
                }
                mapped.id(&feature.cells)
            }
        };
        let (id, twice, given) = self.name_stand(own_id.as_ref().or(feature.id.as_ref()), number);
        let at = Whereabouts {
            feature: Some(number),
            stand: Some(id.as_str()),
        };
        let mut desk = Desk {
            findings: &mut self.findings,
            at,
        };
        let outline = match self.outlines.read(feature.geometry.take(), &mut desk)? {
            Outlined::Stand(outline) => outline,
            Outlined::NoStand(kind) => {
                self.survey.uncall(&id);
                let found = format!("the geometry is a {kind}, expected a Polygon or MultiPolygon");
                // Points and lines never were stands.
                self.leave_out_as(
                    Severity::Warning,
                    "wrong-geometry",
                    &found,
                    "A stand is a polygon",
                    kind,
                );
                return Ok(());
            }
        };
        if twice {
            desk.tell(Oddity {
                code: "duplicate-id",
                severity: Severity::Warning,
                property: Some("id"),
                found: &format!("the id `{given}` was given to a stand before"),
                done: &format!("called `{id}`"),
                advice: "Give every stand its own id; links to a stand depend on it",
                apart: "",
            });
        }
        if let Some(odd) = &feature.odd_properties {
            desk.tell(Oddity {
                code: "bad-properties",
                severity: Severity::Warning,
                property: None,
                found: &format!("`properties` is {odd}, expected an object"),
                done: "taken as empty",
                advice: "",
                apart: "",
            });
        }
        let mut draft = match &self.form {
            Form::Plain => plain::draft(&feature.cells, &mut desk),
            Form::Mapped(mapped) => mapped.draft(&feature.cells, &mut desk),
        };
        if let Some(name) = &mut draft.name
            && let Some((end, _)) = name.char_indices().nth(NAME_AT_MOST)
        {
            name.truncate(end);
            desk.tell(Oddity {
                code: "long-name",
                severity: Severity::Note,
                property: Some("name"),
                found: &format!("a name longer than {NAME_AT_MOST} characters"),
                done: "cut",
                advice: "",
                apart: "",
            });
        }
        let claims = std::mem::take(&mut draft.claims);
        let mixture = settle(claims, draft.shares_off, &mut self.names, desk.findings, at);
        if outline.is_empty() {
            self.report.without_outline += 1;
        }
        if let Form::Mapped(mapped) = &mut self.form {
            mapped.keep();
        }
        if let Some(witness) = &mut self.witness {
            witness.see(&Seen {
                feature: number,
                stand: Some(id.as_str()),
                left_out: None,
                mapped: match &self.form {
                    Form::Plain => None,
                    Form::Mapped(mapped) => Some(mapped),
                },
                columns: &self.columns,
                cells: &feature.cells,
                draft: Some((&draft, &mixture)),
            });
        }
        self.positions += outline.positions();
        self.survey.add(id, draft, mixture, &outline);
        Ok(())
    }

    /// Mends the garbled letters of all cells.
    fn mend_letters(&mut self, feature: &mut Feature, number: usize) {
        for (column, cell) in feature.cells.iter_mut().enumerate() {
            let Some((before, now)) = cell.as_mut().and_then(garbled::mend_cell) else {
                continue;
            };
            let cut = |text: &str| -> String { text.chars().take(60).collect() };
            self.findings.add(
                Whereabouts {
                    feature: Some(number),
                    stand: None,
                },
                Oddity {
                    code: "garbled-letters",
                    severity: Severity::Warning,
                    property: Some(self.columns.name(column)),
                    found: &format!("`{}`, which is UTF-8 taken for a one-byte encoding", cut(&before)),
                    done: &format!("read as `{}`", cut(&now)),
                    advice: "Export the map again and give UTF-8 as the encoding of its source",
                    apart: "",
                },
            );
        }
    }

    /// Leaves out letters of all cells that cannot be seen, and cuts what is beyond measure.
    fn make_legible(&mut self, feature: &mut Feature, number: usize) {
        for (column, cell) in feature.cells.iter_mut().enumerate() {
            let Some(cell) = cell else { continue };
            let mut done = Done::default();
            make_legible(cell, &mut done);
            let property = Some(self.columns.name(column));
            tell_illegible(&done, property, number, &mut self.findings);
        }
    }

    /// The stand's id: as given, else the feature's position.
    fn name_stand(&mut self, given: Option<&Value>, number: usize) -> (StandId, bool, String) {
        let text = given.and_then(cell::text).filter(|text| !text.is_empty());
        let at = Whereabouts {
            feature: Some(number),
            stand: None,
        };
        if text.is_none() {
            let found = match given {
                Some(given) if !cell::is_blank(given) => {
                    format!("the id is {}, expected a text or a number", cell::quote(given))
                }
                _ => "the stand has no id".to_owned(),
            };
            self.findings.add(
                at,
                Oddity {
                    code: "no-id",
                    severity: Severity::Note,
                    property: Some("id"),
                    found: &found,
                    done: "its place in the file became its id",
                    advice: "Give every stand an id that lasts; links to a stand depend on it",
                    apart: "",
                },
            );
        }
        let mut text = text.unwrap_or_else(|| number.to_string());
        let mut done = Done::default();
        if let Some(seen) = legible(&text, &mut done) {
            text = seen;
        }
        done.cut = false;
        tell_illegible(&done, Some("id"), number, &mut self.findings);
        if let Some((end, _)) = text.char_indices().nth(ID_AT_MOST) {
            text.truncate(end);
        }
        let called = self.survey.call(&text);
        (called.id, called.twice, text)
    }
}
