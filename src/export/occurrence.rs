//! A find to be reported: one occurrence record in terms of the Darwin Core standard (TDWG 2009, terms of 2023), as CSV
//! with the terms as its header. In go a kind's name, a day, a position and how far it is to be blurred; out comes the
//! file, which goes nowhere but to the visitor.
//!
//! The position is moved to the middle of a cell of a grid, and the uncertainty is the distance from there to the cell's
//! farthest corner, as the best practices of georeferencing ask (Chapman and Wieczorek 2020, point-radius method). The
//! record carries no id: one that is made up here would stand for nothing anywhere else.

use crate::day::Day;
use crate::geometry::LngLat;

/// Metres to a degree of latitude (a meridian of WGS 84 is 20,004 km long).
const METRES_A_DEGREE: f64 = 111_133.0;

/// How coarse the cells of the grid are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grid {
    /// A hundred metres.
    Hectometre,
    /// One kilometre.
    Kilometre,
    /// Ten kilometres.
    TenKilometres,
}

impl Grid {
    /// The side of a cell in metres.
    pub fn metres(self) -> f64 {
        match self {
            Grid::Hectometre => 100.0,
            Grid::Kilometre => 1000.0,
            Grid::TenKilometres => 10_000.0,
        }
    }

    /// Reads its side, in metres.
    pub fn parse(metres: u32) -> Option<Grid> {
        [Grid::Hectometre, Grid::Kilometre, Grid::TenKilometres]
            .into_iter()
            .find(|grid| grid.metres() == f64::from(metres))
    }
}

/// A place that tells no more than a cell of a grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blurred {
    /// The middle of the cell.
    pub middle: LngLat,
    /// Metres from there to the farthest corner, rounded up.
    pub uncertainty: f64,
}

/// The cell of a grid in which a position lies. Rows are so many metres high; in each row the cells are as many metres
/// wide at the middle of the row, so that a cell is the same for everybody who stands in it.
pub fn blurred(position: LngLat, grid: Grid) -> Blurred {
    let high = grid.metres() / METRES_A_DEGREE;
    let row = (position.lat / high).floor();
    let lat = ((row + 0.5) * high).clamp(-90.0, 90.0);
    // Whole cells around the globe, so that none is cut at the antimeridian.
    let around = (360.0 * METRES_A_DEGREE * libm::cos(lat.to_radians()).max(1e-6) / grid.metres())
        .round()
        .max(1.0);
    let wide = 360.0 / around;
    let lng = (((position.lng + 180.0) / wide).floor() + 0.5) * wide - 180.0;
    let middle = LngLat {
        lng: rounded(lng),
        lat: rounded(lat),
    };
    let farthest = [(-0.5, -0.5), (-0.5, 0.5), (0.5, -0.5), (0.5, 0.5)]
        .into_iter()
        .map(|(east, north)| {
            middle.metres_to(LngLat {
                lng: lng + east * wide,
                lat: (lat + north * high).clamp(-90.0, 90.0),
            })
        })
        .fold(0.0, f64::max);
    Blurred {
        middle,
        uncertainty: farthest.ceil(),
    }
}

/// Five digits, about a metre: more would tell nothing.
fn rounded(degrees: f64) -> f64 {
    (degrees * 1e5).round() / 1e5
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Find<'a> {
    /// The accepted scientific name with its author, where the name that was told stands for a kind of the table.
    pub scientific: Option<&'a str>,
    /// The name as the finder told it.
    pub told: &'a str,
    /// The day.
    pub day: Day,
    /// Where it stands, to be blurred.
    pub position: LngLat,
    /// How coarsely.
    pub grid: Grid,
    /// How many fruit bodies, if counted.
    pub count: Option<u32>,
    /// Trees it stands with, by scientific name.
    pub trees: &'a [String],
    /// The finder's name, if told.
    pub finder: &'a str,
    /// Remarks.
    pub remarks: &'a str,
    /// The sentence that says how the position was blurred, in the visitor's own words.
    pub generalised: &'a str,
}

/// The record as CSV (RFC 4180) with a header of term names. Cells that a table program could take for a formula begin
/// with an apostrophe.
///
/// # Errors
/// Never in practice: writing to memory does not fail.
pub fn occurrence(find: &Find<'_>) -> Result<Vec<u8>, csv::Error> {
    let Blurred { middle, uncertainty } = blurred(find.position, find.grid);
    let with = find.trees.join(" | ");
    let cells: [(&str, String); 15] = [
        ("basisOfRecord", "HumanObservation".to_owned()),
        ("occurrenceStatus", "present".to_owned()),
        ("kingdom", "Fungi".to_owned()),
        // A name that stands for no kind here is told as it was told; the record is then of some fungus.
        ("scientificName", inert(find.scientific.unwrap_or("Fungi"))),
        ("verbatimIdentification", inert(find.told)),
        ("eventDate", find.day.to_string()),
        ("decimalLatitude", format!("{:.5}", middle.lat)),
        ("decimalLongitude", format!("{:.5}", middle.lng)),
        ("geodeticDatum", "EPSG:4326".to_owned()),
        ("coordinateUncertaintyInMeters", format!("{uncertainty:.0}")),
        ("dataGeneralizations", inert(find.generalised)),
        (
            "individualCount",
            find.count.map_or_else(String::new, |count| count.to_string()),
        ),
        ("associatedTaxa", inert(&with)),
        ("recordedBy", inert(find.finder)),
        ("occurrenceRemarks", inert(find.remarks)),
    ];
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(cells.iter().map(|(term, _)| *term))?;
    writer.write_record(cells.iter().map(|(_, text)| text.as_str()))?;
    writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))
}

/// Text on one line that no table program takes for a formula. Numbers of our own, such as a southern latitude, need
/// none of this.
fn inert(text: &str) -> String {
    let text: String = text
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    let text = text.trim();
    if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find<'a>() -> Find<'a> {
        Find {
            scientific: Some("Hericium erinaceus (Bull.) Pers."),
            told: "Igel-Stachelbart",
            day: Day::parse("2026-10-03").expect("a day"),
            position: LngLat {
                lng: 14.303_17,
                lat: 48.299_41,
            },
            grid: Grid::Kilometre,
            count: Some(2),
            trees: &[],
            finder: "",
            remarks: "",
            generalised: "Moved to the middle of a cell of 1 km.",
        }
    }

    /// Header and record by term.
    fn read(bytes: &[u8]) -> Vec<(String, String)> {
        let mut reader = csv::Reader::from_reader(bytes);
        let header = reader.headers().expect("a header").clone();
        let record = reader.records().next().expect("a record").expect("well formed");
        header
            .iter()
            .zip(&record)
            .map(|(term, text)| (term.to_owned(), text.to_owned()))
            .collect()
    }

    fn cell(record: &[(String, String)], term: &str) -> String {
        let (_, text) = record.iter().find(|(name, _)| name == term).expect(term);
        text.clone()
    }

    #[test]
    fn a_record_has_the_terms_of_the_standard_and_no_id() {
        let record = read(&occurrence(&find()).expect("a record"));
        // The terms and their spelling: Darwin Core quick reference guide (TDWG), from memory.
        let terms: Vec<&str> = record.iter().map(|(term, _)| term.as_str()).collect();
        assert_eq!(
            terms,
            [
                "basisOfRecord",
                "occurrenceStatus",
                "kingdom",
                "scientificName",
                "verbatimIdentification",
                "eventDate",
                "decimalLatitude",
                "decimalLongitude",
                "geodeticDatum",
                "coordinateUncertaintyInMeters",
                "dataGeneralizations",
                "individualCount",
                "associatedTaxa",
                "recordedBy",
                "occurrenceRemarks",
            ]
        );
        assert_eq!(cell(&record, "basisOfRecord"), "HumanObservation");
        assert_eq!(cell(&record, "eventDate"), "2026-10-03");
        assert_eq!(
            cell(&record, "scientificName"),
            "Hericium erinaceus (Bull.) Pers."
        );
        assert_eq!(cell(&record, "individualCount"), "2");
    }

    #[test]
    fn a_name_that_stands_for_no_kind_is_told_as_it_was_told() {
        let told = Find {
            scientific: None,
            told: "the white one with teeth",
            ..find()
        };
        let record = read(&occurrence(&told).expect("a record"));
        assert_eq!(cell(&record, "scientificName"), "Fungi");
        assert_eq!(
            cell(&record, "verbatimIdentification"),
            "the white one with teeth"
        );
    }

    #[test]
    fn cells_that_read_as_formulas_are_made_inert() {
        for (told, written) in [
            ("=HYPERLINK(\"x\")", "'=HYPERLINK(\"x\")"),
            ("+1", "'+1"),
            ("@sum", "'@sum"),
            (" -2+3", "'-2+3"),
            ("under \"oak\", by the path", "under \"oak\", by the path"),
            ("two\nlines", "two lines"),
        ] {
            let remarked = Find {
                remarks: told,
                ..find()
            };
            let record = read(&occurrence(&remarked).expect("a record"));
            assert_eq!(cell(&record, "occurrenceRemarks"), written, "{told}");
        }
        let south = Find {
            position: LngLat {
                lng: -70.5,
                lat: -41.2,
            },
            ..find()
        };
        let record = read(&occurrence(&south).expect("a record"));
        assert!(cell(&record, "decimalLatitude").starts_with("-41."), "{record:?}");
    }
}
