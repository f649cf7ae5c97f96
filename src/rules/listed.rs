//! A list of fungi as an authority keeps it, in a table of comma-separated values or the like. In go the bytes, out come
//! the names in it, each with the kind it stands for, and a mistake for every line that gave none. Nothing is taken in
//! silently: what to do with the names is left to whoever asked.

use serde::Serialize;

use super::document::excerpt;
use super::mistake::{Mistake, Severity};
use super::names::Rank;
use crate::names::{FungusNames, KindId, ScientificName};

/// One name of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Listed {
    /// The name as the list has it.
    pub name: String,
    /// Whether it names a species or a genus.
    pub rank: Rank,
    /// The kinds it stands for; empty where the table of fungi does not have it.
    pub kinds: Vec<KindId>,
    /// The line it stands in, from 1.
    pub line: u32,
}

/// The longest list that is read, in bytes.
const GREATEST_LENGTH: usize = 1024 * 1024;
/// What the column of scientific names is called, in small letters and without blanks, hyphens and underscores. The first
/// is the term of Darwin Core (TDWG); the others are common practice in German, French, Italian, Spanish, Polish, Czech,
/// Slovene, Swedish and Finnish lists.
const HEADERS: &[&str] = &[
    "scientificname",
    "species",
    "taxon",
    "taxonname",
    "acceptedname",
    "latinname",
    "latin",
    "botanicalname",
    "wissenschaftlichername",
    "wissname",
    "lateinischername",
    "art",
    "nomscientifique",
    "nomlatin",
    "espèce",
    "nomescientifico",
    "specie",
    "nombrecientífico",
    "nombrecientifico",
    "especie",
    "nazwałacińska",
    "nazwanaukowa",
    "gatunek",
    "latinskýnázev",
    "vědeckéjméno",
    "znanstvenoime",
    "vetenskapligtnamn",
    "tieteellinennimi",
];

/// Reads a list of fungi: UTF-8, UTF-16 with its mark, or Windows-1252; commas, semicolons, tabs or upright strokes
/// between the columns; with or without a line of headings.
pub fn protected_from_csv(bytes: &[u8], names: &dyn FungusNames) -> (Vec<Listed>, Vec<Mistake>) {
    let mut mistakes = Vec::new();
    if bytes.len() > GREATEST_LENGTH {
        let found = format!("the list has {} bytes", bytes.len());
        mistakes.push(mistake(
            "too-large",
            Severity::Error,
            1,
            1,
            found,
            "at most 1 MiB",
            "",
        ));
        return (Vec::new(), mistakes);
    }
    let text = letters(bytes, &mut mistakes);
    let rows = rows(&text);
    let Some(table) = Table::of(&rows) else {
        mistakes.push(mistake(
            "no-names",
            Severity::Error,
            1,
            1,
            "no column of scientific names was found".to_owned(),
            "a column called `scientific_name`, or one that holds names such as `Boletus edulis`",
            "",
        ));
        return (Vec::new(), mistakes);
    };
    let mut listed: Vec<Listed> = Vec::new();
    for row in rows.iter().skip(table.above) {
        let Some(cell) = row.cells.get(table.column) else {
            continue;
        };
        let text = cell.text.trim();
        if text.is_empty() {
            continue;
        }
        let mut tell = |code, found, expected, advice: &str| {
            mistakes.push(mistake(
                code,
                Severity::Warning,
                row.line,
                cell.column,
                found,
                expected,
                advice,
            ));
        };
        let Some(parsed) = name_in(text) else {
            tell(
                "scientific-name",
                format!("`{}`", excerpt(text)),
                "a scientific name such as `Boletus edulis`",
                "the line is left out",
            );
            continue;
        };
        let rank = if parsed.epithet.is_some() {
            Rank::Species
        } else {
            Rank::Genus
        };
        if let Some(first) = listed.iter().find(|known| same(&known.name, &parsed)) {
            let found = format!("`{}` stands here a second time", excerpt(text));
            let advice = format!("the first is in line {}; this one is left out", first.line);
            tell("duplicate-id", found, "", &advice);
            continue;
        }
        let kinds = match rank {
            Rank::Genus => names.kinds_of_genus(parsed.genus.as_str()),
            Rank::Species => names.kind_of(text).into_iter().collect(),
        };
        if kinds.is_empty() {
            let advice = names.nearest(text).map_or_else(
                || "check the spelling; the name is kept as it stands".to_owned(),
                |near| format!("did you mean `{near}`? The name is kept as it stands"),
            );
            let found = format!("`{}` is not in the table of fungi", excerpt(text));
            tell("name-not-known", found, "", &advice);
        }
        listed.push(Listed {
            name: text.to_owned(),
            rank,
            kinds,
            line: row.line,
        });
    }
    (listed, mistakes)
}

fn same(known: &str, parsed: &ScientificName) -> bool {
    ScientificName::parse(known).is_some_and(|known| known == *parsed)
}

/// A scientific name, if the text is one. What a spreadsheet would take for a formula is none.
fn name_in(text: &str) -> Option<ScientificName> {
    ScientificName::parse(text).filter(|_| text.chars().count() <= 200)
}

fn mistake(
    code: &'static str,
    severity: Severity,
    line: u32,
    column: u32,
    found: String,
    expected: &str,
    advice: &str,
) -> Mistake {
    Mistake {
        code,
        severity,
        pointer: String::new(),
        line,
        column,
        path_in_words: String::new(),
        found,
        expected: expected.to_owned(),
        advice: advice.to_owned(),
    }
}

/// The text of the bytes; what had to be guessed is told.
fn letters(bytes: &[u8], mistakes: &mut Vec<Mistake>) -> String {
    let wide = |order: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes
            .get(2..)
            .unwrap_or_default()
            .chunks_exact(2)
            .map(|pair| order([pair[0], pair[1]]))
            .collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text).to_owned(),
            Err(error) => {
                mistakes.push(mistake(
                    "not-utf8",
                    Severity::Warning,
                    1,
                    1,
                    format!("byte {} is not UTF-8", error.valid_up_to() + 1),
                    "",
                    "it is read as Windows-1252; look at names with accents",
                ));
                // Scientific names have no letters in which Windows-1252 and Latin-1 differ.
                bytes.iter().map(|byte| char::from(*byte)).collect()
            }
        },
    }
}

struct Row {
    line: u32,
    cells: Vec<Cell>,
}

struct Cell {
    text: String,
    /// Where the cell begins, in characters from 1.
    column: u32,
}

/// The rows by the separator that cuts the first lines most evenly into most columns.
fn rows(text: &str) -> Vec<Row> {
    let read = |separator: u8| {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut rows: Vec<Row> = Vec::new();
        for record in reader.records().flatten() {
            let at = record.position();
            let start = at.map_or(0, |at| usize::try_from(at.byte()).unwrap_or(0));
            let rest = text.get(start..).unwrap_or_default();
            // The reader counts lines from the end of the one before, which differs with the way lines end.
            let skipped = rest.len() - rest.trim_start_matches(['\r', '\n']).len();
            let line = 1 + text
                .get(..start + skipped)
                .map_or(0, |before| before.matches('\n').count());
            let mut from = skipped;
            let cells = record
                .iter()
                .map(|cell| {
                    let found = rest.get(from..).and_then(|rest| rest.find(cell)).unwrap_or(0);
                    let begin = from + found;
                    from = begin + cell.len();
                    let before = rest.get(..begin).unwrap_or_default();
                    let before = before.rsplit('\n').next().unwrap_or_default();
                    Cell {
                        text: cell.to_owned(),
                        column: u32::try_from(before.chars().count() + 1).unwrap_or(u32::MAX),
                    }
                })
                .collect();
            rows.push(Row {
                line: u32::try_from(line).unwrap_or(u32::MAX),
                cells,
            });
        }
        rows
    };
    b",;\t|"
        .iter()
        .map(|separator| read(*separator))
        .max_by_key(|rows| {
            let widths: Vec<usize> = rows.iter().take(20).map(|row| row.cells.len()).collect();
            let width = widths.first().copied().unwrap_or(0);
            let even = widths.iter().filter(|other| **other == width).count();
            if width > 1 { width * even } else { 0 }
        })
        .unwrap_or_default()
}

/// Which column holds the names, and how many rows stand above the first of them: headings, and titles over them.
struct Table {
    column: usize,
    above: usize,
}

/// Headings are looked for in so many rows; titles may stand over them.
const ROWS_WITH_HEADINGS: usize = 5;

impl Table {
    fn of(rows: &[Row]) -> Option<Table> {
        let first = rows.first()?;
        let plain = |text: &str| -> String {
            text.to_lowercase()
                .chars()
                .filter(|c| c.is_alphabetic())
                .collect()
        };
        let species = |row: &Row, column: usize| {
            row.cells
                .get(column)
                .and_then(|cell| name_in(cell.text.trim()))
                .is_some_and(|name| name.epithet.is_some())
        };
        for (place, row) in rows.iter().enumerate().take(ROWS_WITH_HEADINGS) {
            let named = HEADERS
                .iter()
                .find_map(|wanted| row.cells.iter().position(|cell| plain(&cell.text) == *wanted));
            // Under a heading that is not in the first row there are names, or it is a word in a table without headings.
            let names_below = |column: &usize| rows.iter().skip(place + 1).any(|row| species(row, *column));
            if let Some(column) = named.filter(|column| place == 0 || names_below(column)) {
                return Some(Table {
                    column,
                    above: place + 1,
                });
            }
        }
        // Else the column most of whose cells are names of species.
        let width = rows.iter().map(|row| row.cells.len()).max()?;
        let count = |column: usize| rows.iter().filter(|row| species(row, column)).count();
        let column = (0..width).rev().max_by_key(|column| count(*column))?;
        (count(column) * 2 >= rows.len()).then(|| Table {
            column,
            above: usize::from(!species(first, column)),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::tests::FewNames;

    fn said(bytes: &[u8]) -> String {
        let (listed, mistakes) = protected_from_csv(bytes, &FewNames);
        let mut said: Vec<String> = listed
            .iter()
            .map(|listed| {
                let kinds: Vec<&str> = listed.kinds.iter().map(KindId::as_str).collect();
                format!("{} {}: {}", listed.line, listed.name, kinds.join(", "))
            })
            .collect();
        said.extend(
            mistakes
                .iter()
                .map(|mistake| format!("[{}] {mistake}", mistake.code)),
        );
        said.join("\n")
    }

    #[test]
    fn lists_of_many_forms_are_read() {
        let one = "2 Boletus edulis: boletus_edulis\n3 Boletus aestivalis: boletus_reticulatus";
        for text in [
            "scientificName\nBoletus edulis\nBoletus aestivalis\n",
            "id,scientific_name,status\n1,Boletus edulis,CR\n2,Boletus aestivalis,EN\n",
            "\u{feff}Nr;Wissenschaftlicher Name;Bemerkung\r\n1;Boletus edulis;0,5\r\n2;Boletus aestivalis;\r\n",
            "name\ttaxon\ncep\tBoletus edulis\nsummer cep\tBoletus aestivalis\n",
            "Nom commun|Nom scientifique\ncèpe|Boletus edulis\ncèpe d'été|Boletus aestivalis\n",
            "number,what,else\n1,Boletus edulis,x\n2,Boletus aestivalis,y\n",
            "\"Species\"\n\"Boletus edulis\"\n\"Boletus aestivalis\"\n",
        ] {
            assert_eq!(said(text.as_bytes()), one, "{text}");
        }
        let wide: Vec<u8> = [0xff, 0xfe]
            .into_iter()
            .chain(
                "taxon\nBoletus edulis\nBoletus aestivalis\n"
                    .encode_utf16()
                    .flat_map(u16::to_le_bytes),
            )
            .collect();
        assert_eq!(said(&wide), one);
        assert_eq!(
            said(b"Boletus edulis\nBoletus aestivalis"),
            "1 Boletus edulis: boletus_edulis\n2 Boletus aestivalis: boletus_reticulatus",
            "no headings"
        );
        assert_eq!(
            said(b"taxon\nMorchella\nBoletus edulis Bull.\n\n"),
            "2 Morchella: morchella\n3 Boletus edulis Bull.: boletus_edulis"
        );
    }

    #[test]
    fn what_gives_no_name_is_told_with_its_place() {
        for (bytes, expected) in [
            (
                &b"taxon,note\nBoletus edulis,\n=HYPERLINK(1),\nBoletus edulis Bull.,\nBoletus edullis,\n"[..],
                "2 Boletus edulis: boletus_edulis\n5 Boletus edullis: \n\
                 [scientific-name] line 3, column 1: `=HYPERLINK(1)`, expected a scientific name such as `Boletus edulis`; the line is left out\n\
                 [duplicate-id] line 4, column 1: `Boletus edulis Bull.` stands here a second time; the first is in line 2; this one is left out\n\
                 [name-not-known] line 5, column 1: `Boletus edullis` is not in the table of fungi; check the spelling; the name is kept as it stands",
            ),
            (
                b"nom;esp\xe8ce\nc\xe8pe;Boletus edulis\n",
                "2 Boletus edulis: boletus_edulis\n\
                 [not-utf8] line 1, column 1: byte 8 is not UTF-8; it is read as Windows-1252; look at names with accents",
            ),
            (
                b"when,how much\nMonday,2\n",
                "[no-names] line 1, column 1: no column of scientific names was found, expected a column called `scientific_name`, or one that holds names such as `Boletus edulis`",
            ),
            (
                b"",
                "[no-names] line 1, column 1: no column of scientific names was found, expected a column called `scientific_name`, or one that holds names such as `Boletus edulis`",
            ),
        ] {
            assert_eq!(said(bytes), expected);
        }
        assert!(
            said(&vec![b'x'; GREATEST_LENGTH + 1]).starts_with(
                "[too-large] line 1, column 1: the list has 1048577 bytes, expected at most 1 MiB"
            )
        );
    }
}
