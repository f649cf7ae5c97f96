//! A number as far as it is known: least, greatest, and a middle where nothing was missing. In go facts, out come
//! intervals that multiply end by end; what they stand for is left to others.
//!
//! All factors are 0 or more, so the product of the low ends and the product of the high ends are exact, whatever the
//! truth between them.

/// Least, greatest, middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Interval {
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// `None` where something that enters was missing.
    pub(crate) mid: Option<f64>,
}

impl Interval {
    pub(crate) const ONE: Interval = Interval::exact(1.0);
    pub(crate) const ZERO: Interval = Interval::exact(0.0);

    pub(crate) const fn exact(value: f64) -> Interval {
        Interval {
            low: value,
            high: value,
            mid: Some(value),
        }
    }

    /// Between two ends, nothing known of the middle.
    pub(crate) fn between((low, high): (f64, f64)) -> Interval {
        Interval { low, high, mid: None }
    }

    pub(crate) fn times(self, other: Interval) -> Interval {
        Interval {
            low: self.low * other.low,
            high: self.high * other.high,
            mid: self.mid.zip(other.mid).map(|(a, b)| a * b),
        }
    }

    /// The lower of two, end by end.
    pub(crate) fn least(self, other: Interval) -> Interval {
        Interval {
            low: self.low.min(other.low),
            high: self.high.min(other.high),
            mid: self.mid.zip(other.mid).map(|(a, b)| a.min(b)),
        }
    }

    /// One of two, not known which: a middle only where they agree.
    pub(crate) fn either(self, other: Interval) -> Interval {
        Interval {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
            mid: self.mid.filter(|mid| other.mid == Some(*mid)),
        }
    }

    pub(crate) fn plus(self, other: Interval) -> Interval {
        Interval {
            low: self.low + other.low,
            high: self.high + other.high,
            mid: self.mid.zip(other.mid).map(|(a, b)| a + b),
        }
    }

    /// End by end through a function that never falls.
    pub(crate) fn map(self, rising: impl Fn(f64) -> f64) -> Interval {
        Interval {
            low: rising(self.low),
            high: rising(self.high),
            mid: self.mid.map(&rising),
        }
    }

    /// The value to rank by: the middle where there is one, else half way.
    pub(crate) fn value(self) -> f64 {
        self.mid.unwrap_or((self.low + self.high) / 2.0)
    }
}

/// Rounds away what adding in another order changes, so that equal stands get equal values.
pub(crate) fn tidy(value: f64) -> f64 {
    (value * 1.0e9).round() / 1.0e9
}
