//! The reader: in go the bytes of a stand map in chunks cut anywhere, out comes the stand map with its findings and
//! counts. It knows documents, features and limits; what cells mean is left to the plain form and the crosswalk.

mod closing;
mod documents;
mod stands;

use super::columns::Columns;
use super::crosswalk::Mapped;
use super::crs::{self, Named};
use super::dry_run::Witness;
use super::finding::{Findings, Oddity, Severity, Whereabouts, counted};
use super::letters::{AsNamed, Letters};
use super::mixture::TreeNames;
use super::outline::OutlineReader;
use super::plain;
use super::report::Report;
use super::scan::{DEEPEST, Piece, Scanner};
use super::survey::Survey;
use super::unpack::Unpacker;
use super::unreadable::Unreadable;
use super::{Crosswalk, Progress, Reading};
use crate::knowledge::Knowledge;

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

impl Limits {
    /// The most that can be asked for: places of positions are counted in 32 bits, and so is the memory of a page.
    pub const MOST: Limits = Limits {
        bytes: 4 << 30,
        stands: 4_000_000,
        positions: 160_000_000,
    };
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
    unpacker: Unpacker,
    letters: Letters,
    scanner: Scanner,
    desk: Gathering<'k>,
    /// Bytes handed in.
    taken: u64,
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
    /// What the crosswalk says that the positions are, by its own name for it.
    crosswalk_crs: Option<(String, Named)>,
    /// What the documents so far were.
    documents: Documents,
    /// Whether stands that lie on one another are looked for.
    looks_for_overlaps: bool,
    /// Who sees each feature as it is read.
    witness: Option<Box<dyn Witness>>,
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
        let mut outlines = OutlineReader::default();
        let mut crosswalk_crs = None;
        let languages = crosswalk.as_ref().map(Crosswalk::languages).unwrap_or_default();
        let form = match &crosswalk {
            None => {
                plain::want(&mut columns);
                Form::Plain
            }
            Some(crosswalk) => {
                outlines.placing.set_region(crosswalk.region());
                match crosswalk.crs().map(|name| (name.to_owned(), crs::of_name(name))) {
                    None => {}
                    Some((_, Err(unreadable))) => refused = Some(unreadable),
                    Some((name, Ok(named))) => {
                        outlines.placing.set_grid(named.clone().grid());
                        crosswalk_crs = Some((name, named));
                    }
                }
                Form::Mapped(Box::new(Mapped::lay(crosswalk, &mut columns)))
            }
        };
        let reference_year = match &form {
            Form::Plain => None,
            Form::Mapped(mapped) => mapped.reference_year,
        };
        Reader {
            unpacker: Unpacker::new(),
            letters: Letters::new(crosswalk.as_ref().and_then(Crosswalk::encoding)),
            scanner: Scanner::new(),
            desk: Gathering {
                form,
                refused,
                limits: Limits::default(),
                columns,
                names: TreeNames::new(&knowledge.trees, languages),
                outlines,
                findings: Findings::default(),
                survey: Survey::default(),
                report: Report::default(),
                reference_year,
                positions: 0,
                crosswalk_crs,
                documents: Documents::None,
                looks_for_overlaps: true,
                witness: None,
            },
            taken: 0,
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

    /// The same reader, not looking for stands that lie on one another: the search costs as much as the rest of the
    /// reading, and can be made later ([`StandMap::overlaps_within`](super::StandMap::overlaps_within)).
    #[must_use]
    pub fn without_overlaps(mut self) -> Self {
        self.desk.looks_for_overlaps = false;
        self
    }

    /// The same reader for a map whose properties alone are asked about: it need not say in which grid it is.
    pub(crate) fn wherever_it_lies(mut self) -> Self {
        self.desk.outlines.placing.set_anywhere();
        self
    }

    /// The same reader, with somebody who sees each feature as it is read.
    pub(crate) fn watched_by(mut self, witness: Box<dyn Witness>) -> Self {
        self.desk.witness = Some(witness);
        self
    }

    /// Takes the next bytes of the file.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the whole file is seen to be no stand map.
    pub fn push(&mut self, bytes: &[u8]) -> Result<Progress, Unreadable> {
        if !self.full {
            let Reader {
                unpacker,
                letters,
                scanner,
                desk,
                full,
                ..
            } = self;
            let mut scan = |plain: &[u8]| take_plain(plain, full, scanner, desk);
            unpacker.push(bytes, &mut |plain| letters.push(plain, &mut scan))?;
        }
        self.taken += bytes.len() as u64;
        Ok(Progress {
            bytes: self.taken,
            stands: self.desk.survey.map.stands.len(),
        })
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`Unreadable`] where the whole file is no stand map, or ends too early.
    pub fn finish(mut self) -> Result<Reading, Unreadable> {
        if !self.full {
            let Reader {
                unpacker,
                letters,
                scanner,
                desk,
                full,
                ..
            } = &mut self;
            let mut scan = |plain: &[u8]| take_plain(plain, full, scanner, desk);
            unpacker.finish(&mut |plain| letters.push(plain, &mut scan))?;
            letters.finish(&mut scan)?;
        }
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
        if self.unpacker.is_packed() {
            desk.tell_map(
                "packed",
                Severity::Note,
                "the file itself is compressed with gzip",
                "unpacked",
                "A server that sends the header `Content-Encoding: gzip` with it lets the browser unpack it",
            );
        }
        desk.tell_letters(&self.letters);
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

/// Takes plain bytes in UTF-8, up to the limit.
fn take_plain(
    plain: &[u8],
    full: &mut bool,
    scanner: &mut Scanner,
    desk: &mut Gathering<'_>,
) -> Result<(), Unreadable> {
    if *full {
        return Ok(());
    }
    let room = desk.limits.bytes.saturating_sub(desk.report.bytes);
    *full = plain.len() as u64 > room;
    let taken = &plain[..plain.len().min(usize::try_from(room).unwrap_or(usize::MAX))];
    desk.report.bytes += taken.len() as u64;
    scanner.push(taken, &mut |piece| desk.take(piece))
}

impl Gathering<'_> {
    fn take(&mut self, piece: Piece<'_>) -> Result<(), Unreadable> {
        if let Some(refused) = self.refused.take() {
            return Err(refused);
        }
        match piece {
            Piece::Ahead { text, taken } => self.take_ahead(text, taken),
            Piece::Opening { text, at } => self.take_opening(text, at),
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
            Piece::TooLarge { at } => {
                self.report.features += 1;
                self.leave_out(
                    "too-large",
                    &format!("a feature of more bytes than one may have, at byte {}", at.byte),
                    "Simplify or split it",
                    "too large",
                );
                Ok(())
            }
            Piece::Document { text, at } => self.take_document(text, at),
        }
    }

    /// Tells in which letters the file was read, where they are not UTF-8.
    fn tell_letters(&mut self, letters: &Letters) {
        let read_as = |name: &str| {
            let broken = match letters.broken() {
                0 => String::new(),
                broken => format!("; {} became U+FFFD", counted(broken, "broken letter")),
            };
            format!("read as {name}; places in the file are counted in UTF-8{broken}")
        };
        let severity = match letters.broken() {
            0 => Severity::Note,
            _ => Severity::Warning,
        };
        let again = "Save the file again as UTF-8";
        if letters.is_utf_16() {
            let found = "the file is UTF-16, GeoJSON must be UTF-8";
            self.tell_map("utf-16", severity, found, &read_as("UTF-16"), again);
        }
        match letters.as_named() {
            AsNamed::NotNamed => {}
            AsNamed::Read(named) => {
                let found = format!(
                    "the crosswalk names the encoding {}, GeoJSON must be UTF-8",
                    named.name
                );
                self.tell_map("one-byte-letters", severity, &found, &read_as(named.name), again);
            }
            AsNamed::PerhapsUtf8(named) => {
                let found = format!(
                    "the crosswalk names the encoding {}, but all letters of the file make sense as UTF-8",
                    named.name
                );
                self.tell_map(
                    "encoding-differs",
                    Severity::Warning,
                    &found,
                    "the crosswalk was followed",
                    "Look at names with accents; where they are garbled, take `encoding` out of the crosswalk",
                );
            }
            AsNamed::Otherwise(named) => {
                let found = format!(
                    "the crosswalk names the encoding {}, but the file's first bytes say UTF-8 or UTF-16",
                    named.name
                );
                self.tell_map(
                    "encoding-differs",
                    Severity::Warning,
                    &found,
                    "the file was followed",
                    "Take `encoding` out of the crosswalk",
                );
            }
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
}
