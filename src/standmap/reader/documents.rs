//! Documents and features: in goes the JSON text of one, out comes a feature for the stands, or a refusal or finding
//! why it is none. What the feature makes of a stand is left to `stands`.

use serde_json::Value;

use crate::standmap::cell;
use crate::standmap::crs;
use crate::standmap::facts::nearest;
use crate::standmap::feature::{self, Feature, Features};
use crate::standmap::finding::{Oddity, Severity, Whereabouts};
use crate::standmap::mend::mend;
use crate::standmap::outline::is_type;
use crate::standmap::swift;
use crate::standmap::topology::Topology;
use crate::standmap::unreadable::{Spot, Unreadable};

use super::{Documents, Gathering};

impl Gathering<'_> {
    /// Parses a text that should be one JSON object, mending what can be.
    fn parse(&mut self, text: &str, at: Spot) -> Result<Feature, String> {
        let first = match feature::read(text, &mut self.columns) {
            Ok(feature) => {
                self.columns.count();
                return Ok(feature);
            }
            Err(error) => error,
        };
        self.columns.forget();
        if let Some(mended) = mend(text)
            && let Ok(feature) = feature::read(&mended.text, &mut self.columns)
        {
            self.columns.count();
            let here = Whereabouts {
                feature: Some(self.report.features),
                stand: None,
            };
            if mended.words > 0 {
                self.findings.add(
                    here,
                    Oddity {
                        code: "nan",
                        severity: Severity::Warning,
                        property: None,
                        found: "the word NaN or Infinity in place of a number",
                        done: "taken as missing",
                        advice: "JSON has no such numbers; write `null`",
                        apart: "",
                    },
                );
            }
            if mended.commas > 0 {
                self.findings.add(
                    here,
                    Oddity {
                        code: "stray-comma",
                        severity: Severity::Warning,
                        property: None,
                        found: "a comma before a closing bracket",
                        done: "left out",
                        advice: "Have the file written by a GeoJSON writer",
                        apart: "",
                    },
                );
            }
            return Ok(feature);
        }
        self.columns.forget();
        Err(where_in(text, at, &first))
    }

    /// Takes the feature that the text begins with, where it is written as nearly all are; `taken` is its length.
    pub(super) fn take_ahead(&mut self, text: &str, taken: &mut usize) -> Result<(), Unreadable> {
        let Some(swift) = swift::read(text, &mut self.columns) else {
            return Ok(());
        };
        *taken = swift.length;
        self.columns.count();
        self.report.features += 1;
        self.take_stand(swift.feature)
    }

    pub(super) fn take_feature(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
        self.report.features += 1;
        if !text.starts_with('{') {
            let shown: String = text.chars().take(40).collect();
            let found = format!("found `{shown}`, expected an object of type `Feature`");
            self.leave_out("bad-type", &found, "Leave it out of `features`", "not a feature");
            return Ok(());
        }
        match self.parse(text, at) {
            Ok(feature) => match feature.kind.as_deref() {
                Some("Feature") => self.take_stand(feature),
                Some(kind) if is_type(kind) => {
                    let found = format!("a bare `{kind}` among the features");
                    self.leave_out("bad-type", &found, "Wrap it in a `Feature`", "not a feature");
                    Ok(())
                }
                kind => {
                    let found = match kind {
                        Some(kind) => format!("the type is `{kind}`, expected `Feature`"),
                        None => "the feature has no `type`, expected `Feature`".to_owned(),
                    };
                    let near = nearest(["Feature"], kind.unwrap_or_default());
                    let advice = match near {
                        Some(_) => "Did the map mean `Feature`? Capitals matter",
                        None => "Every member of `features` has the type `Feature`",
                    };
                    self.leave_out("bad-type", &found, advice, "not a feature");
                    Ok(())
                }
            },
            Err(found) => {
                self.leave_out(
                    "not-json",
                    &found,
                    "Have the file written by a GeoJSON writer",
                    "not JSON",
                );
                Ok(())
            }
        }
    }

    /// Takes what a collection says before its features. What is wrong with it is told when the document ends.
    pub(super) fn take_opening(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
        if self.documents != Documents::None {
            return Ok(());
        }
        match self.parse(text, at) {
            Ok(opening) => self.take_crs(opening.crs.as_ref(), At::Beginning),
            Err(_) => Ok(()),
        }
    }

    /// Takes the member `crs` of a map: positions are read by it, unless the crosswalk says otherwise.
    fn take_crs(&mut self, crs: Option<&Value>, at: At) -> Result<(), Unreadable> {
        let Some(crs) = crs else { return Ok(()) };
        let named = crs::of_member(crs);
        if let Some((name, wanted)) = &self.crosswalk_crs {
            if !matches!(&named, Ok(None))
                && named.as_ref() != Ok(&Some(wanted.clone()))
                && at == At::Beginning
            {
                let said = crs
                    .get("properties")
                    .and_then(|properties| properties.get("name"))
                    .unwrap_or(crs);
                let found = format!(
                    "the map's member `crs` says {}, the crosswalk says `{name}`",
                    cell::quote(said)
                );
                self.tell_map(
                    "crs-differs",
                    Severity::Warning,
                    &found,
                    "the crosswalk was followed",
                    "Correct the one that is wrong",
                );
            }
            return Ok(());
        }
        let Some(named) = named? else { return Ok(()) };
        let grid = named.grid();
        match at {
            At::Beginning => self.outlines.placing.set_grid(grid),
            At::End if self.report.features == 0 => self.outlines.placing.set_grid(grid),
            At::End if grid.as_deref() == self.outlines.placing.grid() => {}
            At::End => {
                let name =
                    grid.map_or_else(|| "EPSG:4326".to_owned(), |grid| format!("EPSG:{}", grid.code()));
                return Err(Unreadable::new(
                    "crs",
                    "the member `crs` stands after `features`, so the positions were read before it was seen",
                    format!(
                        "Name it in a crosswalk, as `\"crs\": \"{name}\"`, or have the map written with `crs` before \
                         `features`"
                    ),
                ));
            }
        }
        Ok(())
    }

    /// Takes the stands of a TopoJSON file.
    fn take_topology(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
        let topology = Topology::read(text)?;
        for layer in &topology.without_polygons {
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "other-layer",
                    severity: Severity::Note,
                    property: None,
                    found: &format!("the layer `{layer}` has no polygons"),
                    done: "left out",
                    advice: "",
                    apart: layer,
                },
            );
        }
        for member in &topology.members {
            self.report.features += 1;
            match self.parse(member.get(), at) {
                Ok(feature) => self.take_stand(Feature {
                    geometry: topology.geometry(member),
                    ..feature
                })?,
                Err(found) => self.leave_out(
                    "not-json",
                    &found,
                    "Have the file written by a TopoJSON writer",
                    "not JSON",
                ),
            }
        }
        Ok(())
    }

    pub(super) fn take_document(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
        let before = self.documents;
        let single = || -> Unreadable {
            Unreadable::new(
                "not-geojson",
                "one more document follows the first, expected one collection or a sequence of features",
                "Write all features into one `FeatureCollection`",
            )
            .at(at)
        };
        // A feature of a sequence of documents counts as a feature, and may be as bad as one.
        if before == Documents::Features {
            return self.take_feature(text, at);
        }
        let document = self.parse(text, at).map_err(|found| {
            Unreadable::new(
                "not-json",
                found,
                "Have the file written by a GeoJSON writer, or mend it at this place",
            )
        })?;
        if before == Documents::Collection {
            return Err(single());
        }
        match document.kind.as_deref() {
            Some("FeatureCollection") => {
                self.documents = Documents::Collection;
                let found = match document.features {
                    Some(Features::Array) => {
                        self.take_crs(document.crs.as_ref(), At::End)?;
                        self.reference_year = self.reference_year.or(document.reference_year);
                        return Ok(());
                    }
                    Some(Features::Null) => "`features` is null",
                    Some(Features::Other) => "`features` is no array",
                    None => "the member `features` is missing",
                };
                Err(Unreadable::new(
                    "not-geojson",
                    format!("{found}, expected an array of features"),
                    "Write the features as {\"type\": \"FeatureCollection\", \"features\": [...]}; an empty map \
                     has an empty array",
                ))
            }
            Some("Feature") => {
                self.documents = Documents::Features;
                self.report.features += 1;
                self.take_crs(document.crs.as_ref(), At::Beginning)?;
                self.take_stand(document)
            }
            Some(kind) if is_type(kind) => {
                self.documents = Documents::Collection;
                self.report.features += 1;
                self.take_crs(document.crs.as_ref(), At::Beginning)?;
                let bare = Feature {
                    geometry: Some(document.bare),
                    cells: document.cells,
                    ..Feature::default()
                };
                self.take_stand(bare)
            }
            Some("Topology") => {
                self.documents = Documents::Collection;
                self.take_crs(document.crs.as_ref(), At::Beginning)?;
                self.reference_year = self.reference_year.or(document.reference_year);
                self.take_topology(text, at)
            }
            kind => {
                let found = match kind {
                    Some(kind) => format!("the type of the file is `{kind}`"),
                    None => "the file has no `type`".to_owned(),
                };
                let advice = match nearest(["FeatureCollection", "Feature"], kind.unwrap_or_default()) {
                    Some(near) => format!("Did the map mean `{near}`? Capitals matter"),
                    None => "Export the map as GeoJSON".to_owned(),
                };
                Err(Unreadable::new(
                    "not-geojson",
                    format!("{found}, expected `FeatureCollection`"),
                    advice,
                ))
            }
        }
    }
}

/// Where a member stands in its document: before or after the features.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum At {
    Beginning,
    End,
}

/// Where in the file a text is not JSON, what stands there, and what the parser says.
fn where_in(text: &str, at: Spot, error: &serde_json::Error) -> String {
    let line_begins = text
        .split_inclusive('\n')
        .take(error.line().saturating_sub(1))
        .map(str::len)
        .sum::<usize>();
    let mut offset = (line_begins + error.column().saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let mut from = offset.saturating_sub(20);
    while !text.is_char_boundary(from) {
        from -= 1;
    }
    let shown: String = text[from..].chars().take(40).collect();
    let said = error.to_string();
    let said = said.split(" at line ").next().unwrap_or_default();
    let byte = at.byte + offset as u64;
    let (line, column) = if error.line() <= 1 {
        (at.line, at.column + offset as u64)
    } else {
        (
            at.line + error.line() as u64 - 1,
            (offset - line_begins + 1) as u64,
        )
    };
    format!(
        "not JSON at line {line}, column {column} (byte {byte}): {said}, near `{}`",
        shown.trim()
    )
}
