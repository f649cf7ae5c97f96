//! What the properties of a map hold. In go the bytes of a map, out comes each property with its values over the first
//! features; what it may mean is left to the evidence.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use serde_json::{Value, json};

use crate::knowledge::Knowledge;
use crate::standmap::cell;
use crate::standmap::dry_run::{Seen, Witness};
use crate::standmap::{Crosswalk, FORMAT, Reader, Unreadable};

/// So many features are looked at, and so many different values of a property are kept.
const FEATURES_AT_MOST: usize = 5_000;
const VALUES_AT_MOST: usize = 400;

/// One property and its values.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Property {
    pub(super) name: String,
    /// Each different value as text, with how many features carry it.
    pub(super) values: BTreeMap<String, usize>,
    /// Features that carry a value at all, and those whose value is a number.
    pub(super) told: usize,
    pub(super) numbers: usize,
    /// Whether every number is a whole one.
    pub(super) whole: bool,
    /// Least and greatest number that is not zero or below.
    pub(super) least: f64,
    pub(super) greatest: f64,
    pub(super) zeros: usize,
    /// The number of each feature in its row, for sums over properties.
    pub(super) rows: BTreeMap<usize, f64>,
}

impl Property {
    fn add(&mut self, feature: usize, value: &Value) {
        let Some(text) = cell::text(value).filter(|text| !text.is_empty()) else {
            return;
        };
        self.told += 1;
        let comma = text.replacen(',', ".", 1);
        if let Some(number) = cell::number(value).or_else(|| cell::parse_number(&comma)) {
            if self.numbers == 0 {
                (self.least, self.greatest, self.whole) = (f64::INFINITY, f64::NEG_INFINITY, true);
            }
            self.numbers += 1;
            self.whole &= number.fract() == 0.0;
            self.rows.insert(feature, number);
            if number <= 0.0 {
                self.zeros += 1;
            } else {
                self.least = self.least.min(number);
                self.greatest = self.greatest.max(number);
            }
        }
        if self.values.len() < VALUES_AT_MOST || self.values.contains_key(&text) {
            *self.values.entry(text).or_insert(0) += 1;
        }
    }

    /// The part of its values that are numbers.
    pub(super) fn numeric(&self) -> f64 {
        if self.told == 0 {
            0.0
        } else {
            self.numbers as f64 / self.told as f64
        }
    }

    /// Whether some number is written with a decimal comma.
    pub(super) fn has_comma(&self) -> bool {
        self.numbers > 0 && self.values.keys().any(|value| value.contains(','))
    }

    /// Whether numbers are written as texts that only `read` makes numbers, or zeros stand for nothing.
    pub(super) fn has_zeros(&self) -> bool {
        self.zeros > 0
    }
}

#[derive(Debug)]
struct Looker {
    names: Vec<String>,
    properties: Rc<RefCell<Vec<Property>>>,
    looked: usize,
}

impl Witness for Looker {
    fn see(&mut self, seen: &Seen<'_>) {
        self.looked += 1;
        if self.looked > FEATURES_AT_MOST {
            return;
        }
        let mut properties = self.properties.borrow_mut();
        for (property, name) in properties.iter_mut().zip(&self.names) {
            let cell = seen
                .columns
                .place(name)
                .and_then(|place| seen.cells[place].as_ref());
            if let Some(cell) = cell {
                property.add(seen.feature, cell);
            }
        }
    }
}

/// Looks at every property of a map. The map is read twice: once for their names, once for their values.
pub(super) fn look(bytes: &[u8], knowledge: &Knowledge) -> Result<Vec<Property>, Unreadable> {
    // A crosswalk that names nothing leaves every name over, as the map writes it.
    let keeping = |names: &[String]| {
        let crosswalk = json!({"format": FORMAT, "keep": names}).to_string();
        Crosswalk::read(crosswalk.as_bytes()).ok()
    };
    // What columns mean does not hang on where the map lies; that it names no grid is told when it is read.
    let mut first = Reader::new(keeping(&[]), knowledge).wherever_it_lies();
    first.push(bytes)?;
    let first = first.finish()?;
    let names: Vec<String> = first.report.unmapped.into_keys().collect();
    let crosswalk = keeping(&names);
    let properties = names.iter().map(|name| Property {
        name: name.clone(),
        ..Property::default()
    });
    let properties = Rc::new(RefCell::new(properties.collect::<Vec<_>>()));
    let looker = Looker {
        names,
        properties: Rc::clone(&properties),
        looked: 0,
    };
    let mut reader = Reader::new(crosswalk, knowledge)
        .wherever_it_lies()
        .watched_by(Box::new(looker));
    reader.push(bytes)?;
    reader.finish()?;
    let mut properties = properties.take();
    properties.retain(|property| property.told > 0);
    Ok(properties)
}
