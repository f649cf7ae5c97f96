//! The few shapes that cross to JavaScript, as plain data. Their names there are in camelCase; the element's
//! type declarations say the same in TypeScript.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::day::{ClockTime, Day};
use crate::rules::Answer;
use crate::standmap::Limits;
use crate::units::{Truth, Years};
use crate::visit::{Visit, Visitor};

pub use crate::potential::View;

/// Why something could not be done, for the person who embeds the map.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refusal {
    /// A short code that does not change.
    pub code: String,
    /// Where, what was found, and what to do, in English sentences.
    pub message: String,
    /// The mistakes of a crosswalk, one by one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub mistakes: Vec<Trouble>,
}

impl Refusal {
    /// A refusal with nothing more to it.
    pub fn new(code: &str, message: impl Into<String>) -> Refusal {
        Refusal {
            code: code.to_owned(),
            message: message.into(),
            mistakes: Vec::new(),
        }
    }

    /// An argument was not what it should be.
    pub fn argument(message: impl Into<String>) -> Refusal {
        Refusal::new("bad-argument", message)
    }
}

/// A finding of the stand map, or a mistake in a crosswalk or rule book.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Trouble {
    /// A short code that does not change.
    pub code: String,
    /// `error`, `warning` or `note`.
    pub severity: String,
    /// Where, what was found, what was done and what to do, in English sentences.
    pub message: String,
    /// The rule book or file it is in, as the embedder named it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The first feature it was met in, counted from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feature: Option<usize>,
    /// That feature's stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stand: Option<String>,
    /// The property it was met in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub property: Option<String>,
    /// Line in the file, counted from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column in that line, counted from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// Where in the file, as a JSON Pointer (RFC 6901); empty for the whole file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pointer: Option<String>,
    /// How often it was met.
    pub count: usize,
    /// Up to three stands or values it was met with.
    pub examples: Vec<String>,
}

/// A rule book as fetched: its name, and its bytes unless it could not be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookBytes {
    /// How the embedder named it.
    pub name: String,
    /// Its bytes; `None` where it could not be had.
    pub bytes: Option<Vec<u8>>,
}

/// What became of the region's own tables of kinds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindsReport {
    /// One entry a file, in the embedder's order.
    pub files: Vec<KindsFileReport>,
}

/// What became of one file of kinds. With a mistake in any of the files none of them counts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KindsFileReport {
    /// How the embedder named it.
    pub name: String,
    /// Its title, as shown beside the kinds it speaks of.
    pub title: String,
    /// Kinds that the shipped tables do not have.
    pub added: usize,
    /// Shipped kinds it says something of.
    pub corrected: usize,
    /// What is wrong in it.
    pub mistakes: Vec<Trouble>,
}

/// How far reading is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ReadingProgress {
    /// Bytes taken.
    pub bytes: u64,
    /// Stands found.
    pub stands: usize,
}

/// How much of a stand map is read; what is not said is as usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct LimitsWanted {
    /// Bytes, unpacked.
    pub bytes: Option<u64>,
    /// Stands.
    pub stands: Option<usize>,
    /// Positions of all outlines.
    pub positions: Option<usize>,
}

impl LimitsWanted {
    /// The limits of a reading.
    ///
    /// # Errors
    /// A [`Refusal`] if one is 0 or more than the engine can hold.
    pub(crate) fn read(&self) -> Result<Limits, Refusal> {
        let usual = Limits::default();
        let most = Limits::MOST;
        let within = |name: &str, wanted: Option<u64>, usual: u64, most: u64| match wanted {
            None => Ok(usual),
            Some(wanted) if (1..=most).contains(&wanted) => Ok(wanted),
            Some(wanted) => Err(Refusal::argument(format!(
                "the limit `{name}` is {wanted}, expected 1 to {most}"
            ))),
        };
        let count = |wanted: Option<usize>| wanted.map(|wanted| wanted as u64);
        let size = |limit: u64| usize::try_from(limit).unwrap_or(usize::MAX);
        Ok(Limits {
            bytes: within("bytes", self.bytes, usual.bytes, most.bytes)?,
            stands: size(within(
                "stands",
                count(self.stands),
                usual.stands as u64,
                most.stands as u64,
            )?),
            positions: size(within(
                "positions",
                count(self.positions),
                usual.positions as u64,
                most.positions as u64,
            )?),
        })
    }
}

/// What a stand map held.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct StandsReport {
    /// All stands.
    pub stands: usize,
    /// Those without a usable outline: in the list, not on the map.
    pub without_outline: usize,
    /// West, south, east, north in degrees.
    pub bounds: Option<[f64; 4]>,
    /// Distinct profiles among them.
    pub profiles: usize,
    /// What was odd.
    pub findings: Vec<Trouble>,
    /// Factors that this map does not assess, by the catalogue's `factor.*` words.
    pub not_assessed: Vec<String>,
}

/// What the rule books are.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct RulesReport {
    /// One entry a book, in the embedder's order.
    pub books: Vec<BookReport>,
    /// Mistakes and warnings of all books.
    pub mistakes: Vec<Trouble>,
    /// The region's time zone, an IANA name.
    pub time_zone: Option<String>,
    /// What the rules ask of the visitor.
    pub questions: Vec<String>,
    /// What the rules need to be told of a basket: `mass`, `volume`, `pieces`, `cap`, `height`, `width`, `clump`,
    /// `cleaned`.
    pub basket: Vec<String>,
    /// The emergency number.
    pub emergency: Option<String>,
}

/// What was found while checking a rule book that somebody is writing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct BookCheck {
    /// Whether the book can be used: nothing in it is refused.
    pub usable: bool,
    /// Everything that is wrong (`error`) or suspicious (`warning`), in the order of the text.
    pub mistakes: Vec<Trouble>,
    /// The region's name by language, where the book can be used.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<BTreeMap<String, String>>,
}

/// The names in an authority's list of fungi.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListedReport {
    /// The names, in the order of the list.
    pub names: Vec<crate::rules::Listed>,
    /// What gave no name, or one that the table of fungi does not have.
    pub mistakes: Vec<Trouble>,
}

/// The year of a stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct YearOfStand {
    /// The first of January of the visit's year.
    pub from: Day,
    /// One answer a day, 365 or 366 of them.
    pub answers: Vec<Answer>,
    /// When the answer turns next, seen from the day of the visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<NextTurn>,
}

/// When the answer turns from closed to something else, or to closed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextTurn {
    /// The first day of the new answer.
    pub on: Day,
    /// The time on that day, where the visit has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<ClockTime>,
    /// The new answer.
    pub becomes: Answer,
}

/// What one rule book is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct BookReport {
    /// How the embedder named it.
    pub name: String,
    /// The region's name by language.
    pub title: BTreeMap<String, String>,
    /// The authority's name by language.
    pub authority: BTreeMap<String, String>,
    /// The authority's page.
    pub link: Option<String>,
    /// The authority's telephone number.
    pub phone: Option<String>,
    /// `read`, `unreadable` or `missing`. Whether it is in force depends on the day: the visit's report says.
    pub state: String,
    /// The day it was last checked against the law.
    pub checked: Option<Day>,
    /// Its last day.
    pub valid_to: Option<Day>,
    /// The region's time zone, an IANA name.
    pub time_zone: Option<String>,
}

/// A planned visit, as the page tells it.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
pub struct VisitInput {
    /// ISO day.
    pub day: String,
    /// `HH:MM`, if told.
    pub time: Option<String>,
    /// Minutes by which the region's clock runs before universal time at that time, if the browser knows its zone.
    pub utc_offset: Option<i16>,
    /// What the visitor told.
    pub visitor: VisitorInput,
}

/// What the visitor told of themselves.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
#[expect(missing_docs, reason = "as in `visit::Visitor`")]
pub struct VisitorInput {
    pub resident: Option<bool>,
    pub permit: Option<bool>,
    pub owner: Option<bool>,
    pub consent: Option<bool>,
    pub commercial: Option<bool>,
    pub age: Option<f64>,
    pub escorted: Option<bool>,
    pub party: Option<u32>,
    pub family: Option<bool>,
}

impl VisitInput {
    /// The visit.
    ///
    /// # Errors
    /// A [`Refusal`] that names the field and what to write instead.
    pub fn read(&self) -> Result<Visit, Refusal> {
        let field = |name: &str, error: String| Refusal::new("bad-visit", format!("{name}: {error}"));
        let told = &self.visitor;
        Ok(Visit {
            day: Day::parse(&self.day).map_err(|error| field("day", error.to_string()))?,
            time: match self.time.as_deref() {
                None | Some("") => None,
                Some(time) => Some(ClockTime::parse(time).map_err(|error| field("time", error.to_string()))?),
            },
            utc_offset: match self.utc_offset {
                // Clocks on Earth run from 12 hours behind to 14 hours before universal time.
                Some(minutes) if !(-720..=840).contains(&minutes) => {
                    return Err(field(
                        "utcOffset",
                        format!("`{minutes}`, expected minutes from -720 to 840 such as 120"),
                    ));
                }
                told => told,
            },
            visitor: Visitor {
                resident: Truth::from(told.resident),
                permit: Truth::from(told.permit),
                owner: Truth::from(told.owner),
                consent: Truth::from(told.consent),
                commercial: Truth::from(told.commercial),
                age: match told.age {
                    None => None,
                    Some(age) => {
                        Some(Years::new(age).map_err(|error| field("visitor's age", error.to_string()))?)
                    }
                },
                escorted: Truth::from(told.escorted),
                party: told.party,
                family: Truth::from(told.family),
                papers: Vec::new(),
            },
        })
    }
}

/// What a visit comes to over the whole map.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct VisitReport {
    /// The day.
    pub day: Day,
    /// How many stands have which answer.
    pub answers: BTreeMap<Answer, usize>,
    /// How many stands have which step with roots; `not_known` among them.
    pub steps: BTreeMap<String, usize>,
    /// For each book whether it may be relied on that day: `in_force`, `not_yet`, `expired`, `review_due`,
    /// `unreadable`, `missing`.
    pub books: Vec<String>,
}

/// How a tile is asked for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TileOptions {
    /// Side in CSS pixels.
    pub size: u32,
    /// Device pixels a CSS pixel.
    pub ratio: f64,
    /// Which view colours.
    pub view: View,
    /// The kind that is looked for, by id.
    #[serde(default)]
    pub wish: Option<String>,
    /// `light` or `dark`.
    #[serde(default)]
    pub scheme: Option<String>,
    /// The selected stand.
    #[serde(default)]
    pub selected: Option<String>,
    /// Stronger outlines.
    #[serde(default)]
    pub more_contrast: bool,
    /// Nobody waits for it yet: it may take no room from what is shown.
    #[serde(default)]
    pub ahead: bool,
}

/// How the legend is to be drawn.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct LegendLook {
    /// `light` or `dark`.
    pub scheme: String,
    /// Device pixels a CSS pixel.
    pub ratio: f64,
    /// Which view colours.
    pub view: View,
    /// The kind that is looked for, by id.
    #[serde(default)]
    pub wish: Option<String>,
    /// Stronger outlines.
    #[serde(default)]
    pub more_contrast: bool,
}

/// A swatch of the legend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LegendEntry {
    /// What it stands for, such as `step.good` or `closed`.
    pub id: String,
    /// RGBA, straight alpha.
    pub pixels: Vec<u8>,
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
}

/// Where a stand lies and what it is called.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandPlace {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: Option<String>,
    /// West, south, east, north in degrees; none without an outline.
    pub bounds: Option<[f64; 4]>,
    /// A point inside it, degrees.
    pub inside: Option<[f64; 2]>,
}

/// How a sheet is asked for.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
pub struct SheetOptions {
    /// Languages in the order they are wanted (BCP 47).
    pub languages: Vec<String>,
    /// The view that is shown.
    pub view: Option<View>,
    /// The kind that is looked for, by id.
    pub wish: Option<String>,
    /// The place that was pressed, longitude and latitude in degrees. Where a zone cuts the stand, the sheet says what
    /// holds there; a place outside the stand adds nothing.
    pub at: Option<[f64; 2]>,
}

/// A question to the stand list.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ListQuery {
    /// What to sort by.
    #[serde(default)]
    pub sort: Sort,
    /// Greatest first.
    #[serde(default)]
    pub descending: bool,
    /// Which view's values are shown.
    pub view: View,
    /// The kind that is looked for, by id.
    #[serde(default)]
    pub wish: Option<String>,
    /// Which stands.
    #[serde(default)]
    pub filter: Filter,
    /// The first row.
    #[serde(default)]
    pub offset: usize,
    /// How many rows.
    pub limit: usize,
    /// Where distances are measured from, degrees.
    #[serde(default)]
    pub start: Option<[f64; 2]>,
    /// Languages of the trees' names.
    #[serde(default)]
    pub languages: Vec<String>,
}

/// What the stand list is sorted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Sort {
    #[default]
    Potential,
    Verdict,
    Area,
    Name,
    Distance,
}

/// Which stands the list shows.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
pub struct Filter {
    /// Part of the id, the name or a tree's name.
    pub text: Option<String>,
    /// A step, or `not_known`.
    pub step: Option<String>,
    /// An answer.
    pub answer: Option<String>,
    /// A genus.
    pub genus: Option<String>,
}

/// A page of the stand list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListPage {
    /// How many stands there are in all that the filter lets through.
    pub total: usize,
    /// The rows asked for.
    pub rows: Vec<ListRow>,
}

/// One stand in the list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListRow {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: Option<String>,
    /// Hectares.
    pub area: Option<f64>,
    /// Its trees.
    pub trees: Vec<ListTree>,
    /// Step of the shown view; none where not known or not assessed.
    pub step: Option<String>,
    /// What ranks, 0 to 100.
    pub value: Option<f64>,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Whether the range is wide.
    pub wide: bool,
    /// What the rule book says.
    pub answer: Answer,
    /// Metres from the start to a point inside it.
    pub distance: Option<f64>,
}

/// A tree in a list row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListTree {
    /// Its name in the visitor's language where there is one.
    pub name: String,
    /// Its genus, where known.
    pub genus: Option<String>,
    /// The group it is one of, by the catalogue's `group.*` words, where the map names a group.
    pub group: Option<String>,
    /// Its share, where one value is known.
    pub share: Option<f64>,
}

/// A kind that a visitor may look for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wish {
    /// Its id.
    pub id: String,
    /// Its scientific name.
    pub scientific: String,
    /// Names by language, the first one given.
    pub names: BTreeMap<String, String>,
    /// Food custom, by the catalogue's `status.*` words.
    pub status: String,
    /// The view it belongs to.
    pub view: View,
}
