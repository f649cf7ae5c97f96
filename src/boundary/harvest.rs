//! A basket as the page tells it. In go plain values, out comes what `rules` can count, or a refusal that names the entry
//! and what to write instead. Holding it against the rules is left to `rules::harvest`.

use rust_decimal::Decimal;
use serde::Deserialize;

use super::Refusal;
use crate::knowledge::Fungi;
use crate::names::{FungusNames as _, KindId};
use crate::rules::amount::NotAnAmount;
use crate::rules::kind::Handling;
use crate::rules::{Amount, Span, Taken, Unit};

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
    /// Height of the smallest fruit body in centimetres.
    pub height: Option<f64>,
    /// Greatest width of the smallest fruit body in centimetres.
    pub width: Option<f64>,
    /// `day`, `week`, `season` or `year`: it was taken earlier in that time, and counts only against limits over it.
    pub earlier: Option<String>,
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
    let size = |field: &str, told: Option<f64>| {
        let Some(told) = told else { return Ok(None) };
        match told.to_string().parse::<Decimal>() {
            Ok(size) if (Decimal::ZERO..=Decimal::from(100)).contains(&size) => Ok(Some(size)),
            _ => Err(wrong(field, &told.to_string(), "centimetres, 0 to 100")),
        }
    };
    let earlier = match entry.earlier.as_deref() {
        None => None,
        Some("day") => Some(Span::Day),
        Some("week") => Some(Span::Week),
        Some("season") => Some(Span::Season),
        Some("year") => Some(Span::Year),
        Some(other) => {
            return Err(wrong("earlier", other, "one of `day`, `week`, `season`, `year`"));
        }
    };
    Ok(Taken {
        name: name.to_owned(),
        kind,
        mass: amount("mass", &entry.mass, Unit::Kilogram)?,
        volume: amount("volume", &entry.volume, Unit::Liter)?,
        pieces: entry.pieces,
        cap: size("cap", entry.cap)?,
        height: size("height", entry.height)?,
        width: size("width", entry.width)?,
        earlier,
        clump: entry.clump,
        handling: entry
            .cleaned
            .map(|cleaned| (Handling::CleanOnTheSpot, cleaned))
            .into_iter()
            .collect(),
    })
}
