//! A basket as the page tells it. In go plain values, out comes what `rules` can count, or a refusal that names the entry
//! and what to write instead. Holding it against the rules is left to `rules::harvest`.

use rust_decimal::Decimal;
use serde::Deserialize;

use super::Refusal;
use crate::knowledge::Fungi;
use crate::names::{FungusNames as _, KindId};
use crate::rules::amount::NotAnAmount;
use crate::rules::kind::Handling;
use crate::rules::{Amount, Taken, Unit};

/// One thing in the basket. Amounts are decimals in text, so that they are kept to the last digit.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields, default)]
pub struct BasketEntry {
    /// A kind's id, or a scientific name.
    pub kind: String,
    /// Kilograms.
    pub mass: Option<String>,
    /// Litres.
    pub volume: Option<String>,
    /// How many fruit bodies.
    pub pieces: Option<u32>,
    /// Width of the smallest cap in centimetres.
    pub cap: Option<f64>,
    /// Whether it was cleaned where it was found.
    pub cleaned: Option<bool>,
    /// Whether it is one clump grown together.
    pub clump: Option<bool>,
}

/// The most things a basket may hold.
const MOST_ENTRIES: usize = 200;

/// Reads a basket.
///
/// # Errors
/// A [`Refusal`] with the number of the entry, what was found and what to write instead.
pub fn basket(entries: &[BasketEntry], fungi: &Fungi) -> Result<Vec<Taken>, Refusal> {
    if entries.len() > MOST_ENTRIES {
        return Err(Refusal::new(
            "bad-basket",
            format!(
                "the basket has {} entries, expected at most {MOST_ENTRIES}",
                entries.len()
            ),
        ));
    }
    entries
        .iter()
        .enumerate()
        .map(|(place, entry)| taken(entry, place + 1, fungi))
        .collect()
}

fn taken(entry: &BasketEntry, number: usize, fungi: &Fungi) -> Result<Taken, Refusal> {
    let wrong = |field: &str, found: &str, expected: &str| {
        Refusal::new(
            "bad-basket",
            format!("basket, entry {number}: `{field}` is `{found}`, expected {expected}"),
        )
    };
    let name = entry.kind.trim();
    if name.is_empty() {
        return Err(wrong(
            "kind",
            name,
            "a kind's id or a scientific name such as `Boletus edulis`",
        ));
    }
    let amount = |field: &str, told: &Option<String>, unit: Unit| match told.as_deref().map(str::trim) {
        None | Some("") => Ok(None),
        Some(text) => Amount::read(text, unit).map(Some).map_err(|refused| {
            let expected = match refused {
                NotAnAmount::Comma => format!("a decimal such as `{}`", text.replace(',', ".")),
                NotAnAmount::Negative => "0 or more".to_owned(),
                NotAnAmount::TooLarge => "no more than ten tonnes".to_owned(),
                NotAnAmount::NotDecimal => "a decimal such as `0.5`".to_owned(),
            };
            wrong(field, text, &expected)
        }),
    };
    let id = KindId::new(name);
    let kind = if fungi.kind(&id).is_some() {
        Some(id)
    } else {
        fungi.kind_of(name)
    };
    let cap = match entry.cap {
        None => None,
        Some(cap) => match cap.to_string().parse::<Decimal>() {
            Ok(cap) if (Decimal::ZERO..=Decimal::from(100)).contains(&cap) => Some(cap),
            _ => return Err(wrong("cap", &cap.to_string(), "centimetres, 0 to 100")),
        },
    };
    Ok(Taken {
        name: name.to_owned(),
        kind,
        mass: amount("mass", &entry.mass, Unit::Kilogram)?,
        volume: amount("volume", &entry.volume, Unit::Liter)?,
        pieces: entry.pieces,
        cap,
        clump: entry.clump,
        handling: entry
            .cleaned
            .map(|cleaned| (Handling::CleanOnTheSpot, cleaned))
            .into_iter()
            .collect(),
        ..Taken::default()
    })
}
