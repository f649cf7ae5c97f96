//! A cell of a stand map's table: in goes the JSON value of one property, out comes a number, a range or a text,
//! or what was found in its place. Which number would make sense is left to the quantity it becomes.

use std::borrow::Cow;

use serde_json::Value;

use super::columns::with_folded;
use crate::units::{Absence, Fact, OutOfRange};

/// A number, or a range of numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Amount {
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// The middle of a class; `None` where nothing is said about the middle.
    pub(crate) mid: Option<f64>,
}

impl Amount {
    pub(crate) fn one(number: f64) -> Amount {
        Amount {
            low: number,
            high: number,
            mid: Some(number),
        }
    }

    /// A class: its middle is its midpoint.
    pub(crate) fn class(low: f64, high: f64) -> Amount {
        Amount {
            low,
            high,
            mid: Some(f64::midpoint(low, high)),
        }
    }

    pub(crate) fn is_one(self) -> bool {
        self.low == self.high
    }

    pub(crate) fn times(self, factor: f64) -> Amount {
        Amount {
            low: self.low * factor,
            high: self.high * factor,
            mid: self.mid.map(|mid| mid * factor),
        }
    }

    /// The amount as a quantity.
    ///
    /// # Errors
    /// [`OutOfRange`] where an end is out of the quantity's range.
    pub(crate) fn quantity<T>(self, make: fn(f64) -> Result<T, OutOfRange>) -> Result<Fact<T>, OutOfRange> {
        if self.is_one() {
            return make(self.low).map(Fact::Known);
        }
        Ok(Fact::Within {
            low: make(self.low)?,
            high: make(self.high)?,
            mid: self.mid.map(make).transpose()?,
        })
    }
}

/// Whether a cell says nothing: null, or text of nothing but spaces.
pub(crate) fn is_blank(cell: &Value) -> bool {
    match cell {
        Value::Null => true,
        Value::String(text) => text.trim().is_empty(),
        _ => false,
    }
}

/// A cell as a number; text that is a number in plain digits counts as one.
pub(crate) fn number(cell: &Value) -> Option<f64> {
    match cell {
        Value::Number(number) => number.as_f64(),
        Value::String(text) => with_folded(text, parse_number),
        _ => None,
    }
}

/// Digits with an optional sign, decimal point and exponent. `inf` and `nan` are no numbers.
pub(crate) fn parse_number(text: &str) -> Option<f64> {
    let plain = text
        .bytes()
        .all(|byte| matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'+' | b'e' | b'E'));
    plain
        .then(|| text.parse().ok())
        .flatten()
        .filter(|number: &f64| number.is_finite())
}

/// A cell as an amount: a number, or a pair of numbers from low to high.
pub(crate) fn amount(cell: &Value) -> Option<Amount> {
    match cell {
        Value::Array(pair) => match pair.as_slice() {
            [low, high] => {
                let (low, high) = (number(low)?, number(high)?);
                (low <= high).then(|| Amount::class(low, high))
            }
            _ => None,
        },
        _ => number(cell).map(Amount::one),
    }
}

/// A cell as a text: text as it stands, whole numbers without a decimal point; `None` for what is neither.
pub(crate) fn text(cell: &Value) -> Option<String> {
    as_text(cell).map(Cow::into_owned)
}

/// As [`text`]; a text that stands there is lent.
pub(crate) fn as_text(cell: &Value) -> Option<Cow<'_, str>> {
    match cell {
        Value::String(text) => Some(text.trim().into()),
        Value::Number(number) => Some(match number.as_f64() {
            Some(whole) if whole.fract() == 0.0 && whole.abs() < 1e15 => (whole as i64).to_string().into(),
            _ => number.to_string().into(),
        }),
        Value::Bool(flag) => Some(if *flag { "true" } else { "false" }.into()),
        _ => None,
    }
}

/// A cell as it is quoted in a finding.
pub(crate) fn quote(cell: &Value) -> String {
    let whole = match cell {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    let cut: String = whole.chars().take(60).collect();
    if cut.len() < whole.len() {
        format!("`{cut}...`")
    } else {
        format!("`{cut}`")
    }
}

/// A cell that makes no sense, as an absence that keeps what was found.
pub(crate) fn illegal(cell: &Value) -> Absence {
    Absence::Illegal(quote(cell).trim_matches('`').to_owned())
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn cells_are_read_as_numbers_or_not_at_all() {
        for (cell, expected) in [
            (json!(12), Some(12.0)),
            (json!(1.5), Some(1.5)),
            (json!("80"), Some(80.0)),
            (json!(" 0.5 "), Some(0.5)),
            (json!("１２"), Some(12.0)),
            (json!("1,5"), None),
            (json!("NaN"), None),
            (json!("inf"), None),
            (json!("1e999"), None),
            (json!("old"), None),
            (json!(true), None),
            (json!(null), None),
        ] {
            assert_eq!(number(&cell), expected, "{cell}");
        }
    }

    #[test]
    fn pairs_are_ranges_from_low_to_high() {
        for (cell, expected) in [
            (
                json!([40, 60]),
                Some(Amount {
                    low: 40.0,
                    high: 60.0,
                    mid: Some(50.0),
                }),
            ),
            (
                json!(["40", 60]),
                Some(Amount {
                    low: 40.0,
                    high: 60.0,
                    mid: Some(50.0),
                }),
            ),
            (json!([50, 50]), Some(Amount::one(50.0))),
            (json!([60, 40]), None),
            (json!([60]), None),
            (json!([1, 2, 3]), None),
            (json!({"low": 1}), None),
        ] {
            assert_eq!(amount(&cell), expected, "{cell}");
        }
    }

    #[test]
    fn whole_numbers_are_texts_without_a_point() {
        for (cell, expected) in [
            (json!(2), Some("2")),
            (json!(2.0), Some("2")),
            (json!("02"), Some("02")),
            (json!(2.5), Some("2.5")),
            (json!(true), Some("true")),
            (json!([1]), None),
        ] {
            assert_eq!(text(&cell).as_deref(), expected, "{cell}");
        }
    }
}
