//! Amounts as the law writes them. In go a decimal text and a unit, out comes an exact amount that keeps what was
//! written. Mass and volume are never turned into one another; which limit counts is left to `limits`.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

/// What an amount measures. Amounts of different dimensions cannot be ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Dimension {
    Mass,
    Volume,
    Pieces,
    Length,
}

/// The units a rule book may use. Spelling follows the Unified Code for Units of Measure (UCUM), brackets left off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Avoirdupois pound, 453.59237 g exactly.
    Pound,
    /// Litre.
    Liter,
    /// US liquid gallon, 3.785411784 l exactly.
    Gallon,
    /// US liquid quart, a quarter of a gallon.
    Quart,
    /// Fruit bodies counted.
    Piece,
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Inch, 25.4 mm exactly.
    Inch,
}

impl Unit {
    /// Every unit that a harvest can be measured in.
    pub const ALL: [Unit; 7] = [
        Unit::Kilogram,
        Unit::Gram,
        Unit::Pound,
        Unit::Liter,
        Unit::Gallon,
        Unit::Quart,
        Unit::Piece,
    ];

    /// Every unit that a fruit body or a blade can be measured in.
    pub const LENGTHS: [Unit; 3] = [Unit::Centimetre, Unit::Millimetre, Unit::Inch];

    /// The unit as a rule book spells it.
    pub fn code(self) -> &'static str {
        match self {
            Unit::Gram => "g",
            Unit::Kilogram => "kg",
            Unit::Pound => "lb_av",
            Unit::Liter => "L",
            Unit::Gallon => "gal_us",
            Unit::Quart => "qt_us",
            Unit::Piece => "piece",
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Inch => "in",
        }
    }

    /// Reads the spelling of [`Unit::code`]; nothing else.
    pub fn parse(text: &str) -> Option<Unit> {
        Unit::ALL
            .into_iter()
            .chain(Unit::LENGTHS)
            .find(|unit| unit.code() == text)
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        match self {
            Unit::Gram | Unit::Kilogram | Unit::Pound => Dimension::Mass,
            Unit::Liter | Unit::Gallon | Unit::Quart => Dimension::Volume,
            Unit::Piece => Dimension::Pieces,
            Unit::Millimetre | Unit::Centimetre | Unit::Inch => Dimension::Length,
        }
    }

    /// An amount in base units (grams, litres, pieces), in this unit, to show it beside an amount of this unit: exact for
    /// metric units, rounded up to a ten-thousandth for the others.
    pub(super) fn of_base(self, base: Decimal) -> Decimal {
        base.checked_div(self.in_base())
            .unwrap_or(base)
            .round_dp_with_strategy(
                if self.in_base().scale() == 0 { 9 } else { 4 },
                rust_decimal::RoundingStrategy::AwayFromZero,
            )
            .normalize()
    }

    /// How many base units (gram, litre, piece, millimetre) one of it is. Source: NIST Special Publication 811, appendix B.
    pub(super) fn in_base(self) -> Decimal {
        match self {
            Unit::Gram | Unit::Liter | Unit::Piece | Unit::Millimetre => Decimal::ONE,
            Unit::Centimetre => Decimal::TEN,
            Unit::Inch => Decimal::new(254, 1),
            Unit::Kilogram => Decimal::from(1000),
            Unit::Pound => Decimal::new(45_359_237, 5),
            Unit::Gallon => Decimal::new(3_785_411_784, 9),
            Unit::Quart => Decimal::new(946_352_946, 9),
        }
    }
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

/// Why a text is not an amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotAnAmount {
    /// A comma stands where the point belongs.
    Comma,
    /// It is below zero.
    Negative,
    /// It is beyond anything a law could mean.
    TooLarge,
    /// It is no decimal number.
    NotDecimal,
}

/// An exact amount. `0.5 kg` and `500 g` are equal, and each is still shown as written.
#[derive(Debug, Clone)]
pub struct Amount {
    written: String,
    value: Decimal,
    unit: Unit,
}

impl Amount {
    /// More than this in base units (grams, litres, pieces) is taken for a slip of the pen.
    const GREATEST: i64 = 10_000_000;

    /// Reads a decimal text such as `2`, `0.5` or `1.25`: digits, at most one point, nothing else.
    ///
    /// # Errors
    /// [`NotAnAmount`] for a comma, a sign, an exponent, or more than ten tonnes, litres or pieces by the million.
    pub fn read(written: &str, unit: Unit) -> Result<Amount, NotAnAmount> {
        if written.contains(',') {
            return Err(NotAnAmount::Comma);
        }
        let digits = written.strip_prefix('-').unwrap_or(written);
        let plain = !digits.is_empty()
            && digits.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && digits.split('.').count() <= 2
            && digits.split('.').all(|part| !part.is_empty());
        if !plain {
            return Err(NotAnAmount::NotDecimal);
        }
        if digits.len() != written.len() {
            return Err(NotAnAmount::Negative);
        }
        if digits.len() > 20 {
            return Err(NotAnAmount::TooLarge);
        }
        let value: Decimal = written.parse().map_err(|_| NotAnAmount::NotDecimal)?;
        let base = value.checked_mul(unit.in_base()).ok_or(NotAnAmount::TooLarge)?;
        if base > Decimal::from(Self::GREATEST) {
            return Err(NotAnAmount::TooLarge);
        }
        Ok(Amount {
            written: written.to_owned(),
            value,
            unit,
        })
    }

    /// The decimal text as the rule book has it.
    pub fn written(&self) -> &str {
        &self.written
    }

    /// The number in its own unit, exact.
    pub fn value(&self) -> Decimal {
        self.value
    }

    /// The unit as written.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }

    /// The amount so many times over, as for a group; never more than what [`Amount::read`] takes.
    #[must_use]
    pub fn times(&self, n: u32) -> Amount {
        let most = Decimal::from(Self::GREATEST)
            .checked_div(self.unit.in_base())
            .unwrap_or(self.value);
        let value = self.value.saturating_mul(Decimal::from(n)).min(most);
        Amount {
            written: value.normalize().to_string(),
            value,
            unit: self.unit,
        }
    }

    /// Whether nothing at all may be taken.
    pub fn is_zero(&self) -> bool {
        self.value.is_zero()
    }

    /// The exact number of grams, litres or pieces.
    pub fn in_base(&self) -> Decimal {
        // Reading made sure that the product exists.
        self.value.saturating_mul(self.unit.in_base())
    }

    /// Which of two is the lesser; `None` where one is a mass, the other a volume or a count.
    pub fn compare(&self, other: &Amount) -> Option<Ordering> {
        (self.dimension() == other.dimension()).then(|| self.in_base().cmp(&other.in_base()))
    }
}

impl PartialEq for Amount {
    fn eq(&self, other: &Amount) -> bool {
        self.compare(other) == Some(Ordering::Equal)
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.written, self.unit.code())
    }
}

impl Serialize for Amount {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct as _;
        let mut fields = serializer.serialize_struct("Amount", 2)?;
        fields.serialize_field("amount", &self.written)?;
        fields.serialize_field("unit", self.unit.code())?;
        fields.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn amount(written: &str, unit: &str) -> Amount {
        Amount::read(written, Unit::parse(unit).expect(unit)).expect(written)
    }

    /// Factors: NIST Special Publication 811 (2008), appendix B.8.
    #[test]
    fn equal_amounts_are_equal_in_any_unit_of_their_dimension() {
        for (left, right) in [
            (("0.5", "kg"), ("500", "g")),
            (("2", "kg"), ("2.000", "kg")),
            (("5", "gal_us"), ("18.92705892", "L")),
            (("4", "qt_us"), ("1", "gal_us")),
            (("1", "lb_av"), ("453.59237", "g")),
            (("4", "cm"), ("40", "mm")),
            (("1.5", "in"), ("38.1", "mm")),
        ] {
            assert_eq!(
                amount(left.0, left.1),
                amount(right.0, right.1),
                "{left:?} {right:?}"
            );
        }
        assert!(amount("501", "g").compare(&amount("0.5", "kg")) == Some(Ordering::Greater));
    }

    #[test]
    fn mass_volume_and_pieces_are_never_ordered() {
        assert_eq!(amount("5", "L").compare(&amount("5", "kg")), None);
        assert_eq!(amount("15", "piece").compare(&amount("3", "kg")), None);
        assert_eq!(amount("4", "cm").compare(&amount("4", "piece")), None);
        assert!(amount("5", "L") != amount("5", "kg"));
    }

    /// 0.1 and 0.2 are not 0.3 in binary fractions; they are here.
    #[test]
    fn amounts_are_multiplied_exactly() {
        assert_eq!(amount("0.1", "kg").times(3), amount("300", "g"));
        assert_eq!(amount("0.1", "kg").times(3).written(), "0.3");
        assert_eq!(amount("2", "kg").times(4).written(), "8");
        assert_eq!(amount("2", "kg").times(u32::MAX).written(), "10000");
    }

    #[test]
    fn only_plain_decimals_are_read() {
        for (written, expected) in [
            ("1,5", NotAnAmount::Comma),
            ("-2", NotAnAmount::Negative),
            ("1e3", NotAnAmount::NotDecimal),
            ("2 kg", NotAnAmount::NotDecimal),
            ("", NotAnAmount::NotDecimal),
            (".5", NotAnAmount::NotDecimal),
            ("1.", NotAnAmount::NotDecimal),
            ("1.2.3", NotAnAmount::NotDecimal),
            ("+1", NotAnAmount::NotDecimal),
            ("1000000", NotAnAmount::TooLarge),
            ("99999999999999999999999999999", NotAnAmount::TooLarge),
        ] {
            assert_eq!(
                Amount::read(written, Unit::Kilogram).expect_err(written),
                expected,
                "{written}"
            );
        }
        assert!(amount("0", "kg").is_zero());
        assert_eq!(amount("2.0", "kg").to_string(), "2.0 kg");
    }
}
