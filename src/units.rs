//! Quantities with their unit in the type. In go plain numbers, out come checked values; what they mean is left
//! to others.
//!
//! A [`Fact`] is how every stand value travels: known, a range, or not known and why. Not known is a variant,
//! never zero and never NaN.

use std::fmt;

use serde::Serialize;

/// A number was refused: which quantity, what was found, what would do.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// The quantity in words, such as `share`.
    pub quantity: &'static str,
    /// What was found.
    pub found: f64,
    /// What is expected, in words.
    pub expected: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} is {}, expected {}",
            self.quantity, self.found, self.expected
        )
    }
}

impl std::error::Error for OutOfRange {}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $words:literal, $low:expr, $high:expr, $expected:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// The least value there is.
            pub const LEAST: $name = $name($low);
            /// The greatest value there is.
            pub const GREATEST: $name = $name($high);

            /// Takes a finite number within the quantity's range.
            ///
            /// # Errors
            /// [`OutOfRange`] if it is not finite or outside the range.
            pub fn new(value: f64) -> Result<Self, OutOfRange> {
                if value.is_finite() && value >= $low && value <= $high {
                    Ok(Self(value))
                } else {
                    Err(OutOfRange { quantity: $words, found: value, expected: $expected })
                }
            }

            /// The plain number, in the type's unit.
            pub fn get(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// A part of a whole, 0 to 1.
    Share, "share", 0.0, 1.0, "a number from 0 to 1"
);
quantity!(
    /// Area in hectares.
    Hectares, "area", 0.0, 1.0e9, "hectares, 0 or more"
);
quantity!(
    /// Time in years, as a stand's age.
    Years, "age", 0.0, 5000.0, "years, 0 to 5000"
);
quantity!(
    /// Height or distance in metres.
    Metres, "metres", 0.0, 1.0e7, "metres, 0 or more"
);
quantity!(
    /// Height above the sea in metres; may lie below it.
    Elevation, "elevation", -500.0, 9000.0, "metres above the sea, -500 to 9000"
);
quantity!(
    /// Basal area of the stems, square metres a hectare.
    BasalArea, "basal area", 0.0, 500.0, "square metres a hectare, 0 to 500"
);
quantity!(
    /// Deposition of nitrogen, kilograms a hectare and year.
    NitrogenLoad, "nitrogen", 0.0, 1000.0, "kilograms a hectare and year, 0 to 1000"
);
quantity!(
    /// Dead wood, cubic metres a hectare.
    WoodVolume, "dead wood", 0.0, 10000.0, "cubic metres a hectare, 0 to 10000"
);
quantity!(
    /// A geographic latitude in degrees north.
    Latitude, "latitude", -90.0, 90.0, "degrees, -90 to 90"
);
quantity!(
    /// A geographic longitude in degrees east.
    Longitude, "longitude", -180.0, 180.0, "degrees, -180 to 180"
);

/// Why a value is not there.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case", tag = "why", content = "found")]
pub enum Absence {
    /// The stand map has no such property at all: the factor is not assessed anywhere.
    NotMapped,
    /// The property is there for other stands; here it is missing, null or a declared missing marker.
    Empty,
    /// The property is there and makes no sense; the raw text is kept.
    Illegal(String),
    /// A code that the crosswalk's list does not hold; the raw code is kept.
    UnmappedCode(String),
}

/// A value of a stand: known, known within a range, or not known and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fact<T> {
    /// One value.
    Known(T),
    /// Somewhere from `low` to `high`, ends included. `mid` is the class midpoint where the source is a class;
    /// `None` where the source says nothing about the middle.
    Within {
        /// The least it can be.
        low: T,
        /// The most it can be.
        high: T,
        /// The class midpoint, if it is a class.
        mid: Option<T>,
    },
    /// Not known, and why.
    NotKnown(Absence),
}

impl<T: Clone> Fact<T> {
    /// The one value, where exactly one is known.
    pub fn known(&self) -> Option<&T> {
        match self {
            Fact::Known(value) => Some(value),
            _ => None,
        }
    }

    /// The least and greatest it can be, if anything is known.
    pub fn bounds(&self) -> Option<(T, T)> {
        match self {
            Fact::Known(value) => Some((value.clone(), value.clone())),
            Fact::Within { low, high, .. } => Some((low.clone(), high.clone())),
            Fact::NotKnown(_) => None,
        }
    }

    /// The value to compute a middle with, if there is one.
    pub fn mid(&self) -> Option<T> {
        match self {
            Fact::Known(value) => Some(value.clone()),
            Fact::Within { mid, .. } => mid.clone(),
            Fact::NotKnown(_) => None,
        }
    }

    /// True where the stand map has no such property at all.
    pub fn is_not_mapped(&self) -> bool {
        matches!(self, Fact::NotKnown(Absence::NotMapped))
    }
}

impl<T> Default for Fact<T> {
    fn default() -> Self {
        Fact::NotKnown(Absence::NotMapped)
    }
}

/// An answer that may be missing: yes, no, or not known. Never guessed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Truth {
    /// It holds.
    True,
    /// It does not hold.
    False,
    /// Not told, or not known.
    #[default]
    NotKnown,
}

impl Truth {
    /// Both must hold.
    pub fn and(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::False, _) | (_, Truth::False) => Truth::False,
            (Truth::True, Truth::True) => Truth::True,
            _ => Truth::NotKnown,
        }
    }

    /// One is enough.
    pub fn or(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::True, _) | (_, Truth::True) => Truth::True,
            (Truth::False, Truth::False) => Truth::False,
            _ => Truth::NotKnown,
        }
    }

    /// The opposite; not known stays not known.
    #[expect(clippy::should_implement_trait, reason = "reads as a method beside and, or")]
    pub fn not(self) -> Truth {
        match self {
            Truth::True => Truth::False,
            Truth::False => Truth::True,
            Truth::NotKnown => Truth::NotKnown,
        }
    }
}

impl From<bool> for Truth {
    fn from(value: bool) -> Self {
        if value { Truth::True } else { Truth::False }
    }
}

impl From<Option<bool>> for Truth {
    fn from(value: Option<bool>) -> Self {
        value.map_or(Truth::NotKnown, Truth::from)
    }
}
