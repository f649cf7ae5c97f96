//! The reader: in go the bytes of a stand map in chunks cut anywhere, out comes the stand map with its findings and
//! counts. It knows documents, features and limits; what cells mean is left to the plain form and the crosswalk.

use std::collections::BTreeMap;

use serde_json::Value;

use super::cell;
use super::columns::Columns;
use super::crosswalk::{FeatureKind, Mapped};
use super::crs;
use super::facts::{Desk, nearest};
use super::feature::{self, Feature, Features};
use super::finding::{Findings, Oddity, Severity, Whereabouts, counted};
use super::mend::mend;
use super::mixture::{TreeNames, settle};
use super::outline::{OutlineReader, Outlined, is_type};
use super::plain;
use super::report::{Report, Told};
use super::scan::{DEEPEST, Piece, Scanner};
use super::survey::{Assessed, Survey};
use super::unreadable::{Spot, Unreadable};
use super::{Crosswalk, Progress, Reading};
use crate::knowledge::Knowledge;
use crate::names::StandId;

/// How much of a map is read. What lies beyond a limit is left out with a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Bytes, decompressed.
    pub bytes: u64,
    /// Stands.
    pub stands: usize,
    /// Positions of all outlines.
    pub positions: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Limits {
            bytes: 1 << 30,
            stands: 1_000_000,
            positions: 40_000_000,
        }
    }
}

/// Names longer than this are cut.
const NAME_AT_MOST: usize = 200;
/// Ids longer than this are cut.
const ID_AT_MOST: usize = 100;

/// Reads a stand map as it arrives.
///
/// ```
/// use hostwood::knowledge::Knowledge;
/// use hostwood::standmap::Reader;
///
/// let mut reader = Reader::new(None, Knowledge::shipped());
/// for chunk in br#"{"type": "FeatureCollection", "features": []}"#.chunks(7) {
///     reader.push(chunk)?;
/// }
/// let reading = reader.finish()?;
/// assert_eq!(reading.report.features, 0);
/// # Ok::<(), hostwood::standmap::Unreadable>(())
/// ```
#[derive(Debug)]
pub struct Reader<'k> {
    scanner: Scanner,
    desk: Gathering<'k>,
    full: bool,
}

#[derive(Debug)]
struct Gathering<'k> {
    form: Form,
    /// Why every map is refused, where the crosswalk says so.
    refused: Option<Unreadable>,
    limits: Limits,
    columns: Columns,
    names: TreeNames<'k>,
    outlines: OutlineReader,
    findings: Findings,
    survey: Survey,
    report: Report,
    reference_year: Option<i32>,
    positions: usize,
    /// What the documents so far were.
    documents: Documents,
}

/// What the properties of a map mean.
#[derive(Debug)]
enum Form {
    Plain,
    Mapped(Box<Mapped>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Documents {
    None,
    Collection,
    Features,
}

impl<'k> Reader<'k> {
    /// A reader for one stand map: in the plain form, or as the crosswalk says.
    pub fn new(crosswalk: Option<Crosswalk>, knowledge: &'k Knowledge) -> Self {
        let mut columns = Columns::default();
        let mut refused = None;
        let form = match &crosswalk {
            None => {
                plain::want(&mut columns);
                Form::Plain
            }
            Some(crosswalk) => {
                refused = crosswalk.crs().and_then(|crs| crs::accept_name(crs).err());
                Form::Mapped(Box::new(Mapped::lay(crosswalk, &mut columns)))
            }
        };
        let reference_year = match &form {
            Form::Plain => None,
            Form::Mapped(mapped) => mapped.reference_year,
        };
        Reader {
            scanner: Scanner::new(),
            desk: Gathering {
                form,
                refused,
                limits: Limits::default(),
                columns,
                names: TreeNames::new(&knowledge.trees),
                outlines: OutlineReader::default(),
                findings: Findings::default(),
                survey: Survey::default(),
                report: Report::default(),
                reference_year,
                positions: 0,
                documents: Documents::None,
            },
            full: false,
        }
    }

    /// The same reader with other limits.
    #[must_use]
    pub fn with_limits(mut self, limits: Limits) -> Self {
        self.desk.limits = limits;
        self
    }

    /// The same reader, working out ages from planting years as of this year. A `reference_year` of the crosswalk
    /// goes before it, one of the stand map after it.
    #[must_use]
    pub fn as_of(mut self, year: i32) -> Self {
        self.desk.reference_year.get_or_insert(year);
        self
    }

    /// Takes the next bytes of the file.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the whole file is seen to be no stand map.
    pub fn push(&mut self, bytes: &[u8]) -> Result<Progress, Unreadable> {
        if !self.full {
            let room = self.desk.limits.bytes.saturating_sub(self.desk.report.bytes);
            self.full = bytes.len() as u64 > room;
            let taken = &bytes[..bytes.len().min(usize::try_from(room).unwrap_or(usize::MAX))];
            self.desk.report.bytes += taken.len() as u64;
            let desk = &mut self.desk;
            self.scanner.push(taken, &mut |piece| desk.take(piece))?;
        }
        Ok(Progress {
            bytes: self.desk.report.bytes,
            stands: self.desk.survey.map.stands.len(),
        })
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`Unreadable`] where the whole file is no stand map, or ends too early.
    pub fn finish(mut self) -> Result<Reading, Unreadable> {
        let desk = &mut self.desk;
        if self.full {
            let limit = desk.limits.bytes;
            desk.tell_map(
                "limit-bytes",
                Severity::Error,
                &format!("the file is larger than {limit} bytes"),
                "only the stands before that were read",
                "Clip the map or simplify its outlines",
            );
        } else {
            self.scanner.finish(&mut |piece| desk.take(piece))?;
        }
        let commas = self.scanner.stray_commas();
        if commas > 0 {
            desk.tell_map(
                "stray-comma",
                Severity::Warning,
                &format!(
                    "{} too many or missing between features",
                    counted(commas, "comma")
                ),
                "the features were read all the same",
                "Have the file written by a GeoJSON writer",
            );
        }
        self.desk.finish()
    }
}

impl Gathering<'_> {
    fn take(&mut self, piece: Piece<'_>) -> Result<(), Unreadable> {
        if let Some(refused) = self.refused.take() {
            return Err(refused);
        }
        match piece {
            Piece::Feature { text, at } => self.take_feature(text, at),
            Piece::TooDeep { at } => {
                self.report.features += 1;
                let found = format!(
                    "objects or arrays nested more than {DEEPEST} deep, in the feature at byte {}",
                    at.byte
                );
                self.leave_out(
                    "too-deep",
                    &found,
                    "Flatten the feature's properties",
                    "nested too deep",
                );
                Ok(())
            }
            Piece::Document { text, at } => self.take_document(text, at),
        }
    }

    fn tell_map(&mut self, code: &'static str, severity: Severity, found: &str, done: &str, advice: &str) {
        let oddity = Oddity {
            code,
            severity,
            property: None,
            found,
            done,
            advice,
            apart: "",
        };
        self.findings.add(Whereabouts::default(), oddity);
    }

    /// Leaves out the feature at hand, which may have been a stand.
    fn leave_out(&mut self, code: &'static str, found: &str, advice: &str, reason: &str) {
        self.leave_out_as(Severity::Error, code, found, advice, reason);
    }

    fn leave_out_as(
        &mut self,
        severity: Severity,
        code: &'static str,
        found: &str,
        advice: &str,
        reason: &str,
    ) {
        let at = Whereabouts {
            feature: Some(self.report.features),
            stand: None,
        };
        self.findings.add(
            at,
            Oddity {
                code,
                severity,
                property: None,
                found,
                done: "the feature was left out",
                advice,
                apart: reason,
            },
        );
        *self.report.left_out.entry(reason.to_owned()).or_insert(0) += 1;
    }

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

    fn take_feature(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
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

    fn take_document(&mut self, text: &str, at: Spot) -> Result<(), Unreadable> {
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
                        if let Some(crs) = &document.crs {
                            crs::accept(crs)?;
                        }
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
                if let Some(crs) = &document.crs {
                    crs::accept(crs)?;
                }
                self.take_stand(document)
            }
            Some(kind) if is_type(kind) => {
                self.documents = Documents::Collection;
                self.report.features += 1;
                if let Some(crs) = &document.crs {
                    crs::accept(crs)?;
                }
                let bare = Feature {
                    geometry: Some(document.bare),
                    cells: document.cells,
                    ..Feature::default()
                };
                self.take_stand(bare)
            }
            Some("Topology") => Err(Unreadable::new(
                "topojson",
                "the file is TopoJSON, expected GeoJSON",
                "Convert it to GeoJSON, which repeats shared borders",
            )),
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

    /// Takes a feature that is one, as a stand.
    fn take_stand(&mut self, feature: Feature) -> Result<(), Unreadable> {
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
        let own_id = match &self.form {
            Form::Plain => plain::cell(&feature.cells, "id").cloned(),
            Form::Mapped(mapped) => {
                let reason = match mapped.kind(&feature.cells) {
                    FeatureKind::Stand => None,
                    FeatureKind::Open => Some("open land, by the crosswalk"),
                    FeatureKind::NotForest => Some("no forest, by the crosswalk"),
                    FeatureKind::NoData => Some("no data, by the crosswalk"),
                };
                if let Some(reason) = reason {
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
        let polygons = match self.outlines.read(feature.geometry.as_ref(), &mut desk)? {
            Outlined::Stand(polygons) => polygons,
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
        if polygons.is_empty() {
            self.report.without_outline += 1;
        }
        self.positions += polygons.iter().flatten().map(Vec::len).sum::<usize>();
        self.survey.add(id, draft, mixture, &polygons);
        Ok(())
    }

    /// The stand's id: as given, else the feature's position.
    fn name_stand(&mut self, given: Option<&Value>, number: usize) -> (StandId, bool, String) {
        let text = given.and_then(cell::text).filter(|text| !text.is_empty());
        let at = Whereabouts {
            feature: Some(number),
            stand: None,
        };
        let position = number.to_string();
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
        let mut text = text.unwrap_or(position);
        if let Some((end, _)) = text.char_indices().nth(ID_AT_MOST) {
            text.truncate(end);
        }
        let called = self.survey.call(&text);
        (called.id, called.twice, text)
    }

    fn finish(mut self) -> Result<Reading, Unreadable> {
        self.outlines.finish()?;
        if self.outlines.is_swapped() {
            self.tell_map(
                "axes-swapped",
                Severity::Warning,
                "latitudes lie beyond 90, so latitude stands before longitude",
                "the two were swapped",
                "GeoJSON has longitude first",
            );
        }
        let outlined = self.survey.map.stands.len() - self.report.without_outline;
        if self.report.features == 0 {
            self.tell_map(
                "no-stands",
                Severity::Note,
                "the map has no features",
                "the map is empty",
                "",
            );
        } else if outlined == 0 {
            let found = format!(
                "{}, and none has a usable polygon",
                counted(self.report.features, "feature")
            );
            self.tell_map(
                "no-polygons",
                Severity::Error,
                &found,
                "nothing can be drawn",
                "Check which layer was exported",
            );
        }
        let taken = if matches!(self.form, Form::Plain) {
            self.columns.taken_for()
        } else {
            Vec::new()
        };
        for (met, wanted, count) in taken {
            let found = format!("the property is written `{met}` in {}", counted(count, "feature"));
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "guessed-property",
                    severity: Severity::Note,
                    property: Some(&wanted),
                    found: &found,
                    done: &format!("read as `{wanted}`"),
                    advice: "Write it as the plain form does",
                    apart: &met,
                },
            );
        }
        let settled = self.survey.settle_ages(self.reference_year);
        if settled.without_reference > 0 {
            let found = format!(
                "{} with a planting year and without an age, and no reference year is known",
                counted(settled.without_reference, "stand")
            );
            self.tell_map(
                "no-reference-year",
                Severity::Warning,
                &found,
                "their age is not known",
                "Add `\"reference_year\": 2026` (the year the map was last revised) beside `features`",
            );
        }
        if let Some((stand, planted)) = settled.impossible {
            for _ in 0..settled.impossible_count {
                self.findings.add(
                    Whereabouts::default(),
                    Oddity {
                        code: "bad-value",
                        severity: Severity::Warning,
                        property: Some("planted"),
                        found: &format!(
                            "stand `{stand}` was planted in {planted}, which makes no age from 0 to 1000"
                        ),
                        done: "its age is not known",
                        advice: "Correct the year, or the reference year",
                        apart: "year",
                    },
                );
            }
        }
        let assessed = match &self.form {
            Form::Plain => self.assessed(settled.settled),
            Form::Mapped(mapped) => mapped.assessed(),
        };
        self.tell_unknown_columns();
        self.report.stands = self.survey.map.stands.len();
        self.report.unmapped = self.columns.unwanted();
        self.report.told.clone_from(self.survey.told());
        let map = self.survey.finish(assessed);
        let mut report = self.report;
        report.unknown_trees = self.names.into_unknown();
        Ok(Reading {
            map,
            findings: self.findings.into_sorted(),
            report,
        })
    }

    /// Tells which columns of the crosswalk no feature carries, and the nearest name that some do.
    fn tell_unknown_columns(&mut self) {
        let Form::Mapped(mapped) = &self.form else { return };
        if self.report.features == 0 {
            return;
        }
        let never = self.columns.never_met();
        let unwanted = self.columns.unwanted();
        for way in mapped.ways() {
            let mut places = way.places().peekable();
            if places.peek().is_none() || !places.all(|place| never.contains(&self.columns.name(place))) {
                continue;
            }
            let advice = match nearest(unwanted.keys().map(String::as_str), &way.property) {
                Some(near) => format!("Did the crosswalk mean `{near}`?"),
                None => "Correct the name in the crosswalk, or leave the column out".to_owned(),
            };
            self.findings.add(
                Whereabouts::default(),
                Oddity {
                    code: "unknown-column",
                    severity: Severity::Warning,
                    property: Some(&way.property),
                    found: "no feature has the property that the crosswalk names",
                    done: "taken as missing everywhere",
                    advice: &advice,
                    apart: "",
                },
            );
        }
    }

    /// What at least half of the stands carry counts as assessed; each finding says how many do.
    fn assessed(&mut self, ages_settled: usize) -> Assessed {
        let stands = self.survey.map.stands.len();
        let told = self.survey.told().clone();
        let carry = |names: &[&str]| -> usize {
            let carried = |told: &Told| told.known + told.range + told.illegal + told.unmapped;
            names
                .iter()
                .filter_map(|name| told.get(name))
                .map(carried)
                .max()
                .unwrap_or(0)
        };
        let counts = BTreeMap::from([
            ("age", carry(&["age"]) + ages_settled),
            ("stocking", carry(&["basal_area", "canopy"])),
            ("soil_reaction", carry(&["soil_reaction"])),
            ("moisture", carry(&["moisture"])),
            ("nitrogen", carry(&["nitrogen"])),
            ("deadwood", carry(&["deadwood"])),
            ("setting", carry(&["setting"])),
        ]);
        let enough = |name: &str| stands > 0 && counts[name] * 2 >= stands;
        for (name, count) in &counts {
            if *count > 0 && !enough(name) {
                self.findings.add(
                    Whereabouts::default(),
                    Oddity {
                        code: "not-assessed",
                        severity: Severity::Note,
                        property: Some(name),
                        found: &format!("{count} of {} tell it, fewer than half", counted(stands, "stand")),
                        done: "it is not assessed for any stand",
                        advice: "Tell it for at least half of the stands, or use a crosswalk that maps it",
                        apart: "",
                    },
                );
            }
        }
        Assessed {
            age: enough("age"),
            stocking: enough("stocking"),
            soil_reaction: enough("soil_reaction"),
            moisture: enough("moisture"),
            nitrogen: enough("nitrogen"),
            deadwood: enough("deadwood"),
            setting: enough("setting"),
        }
    }
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
