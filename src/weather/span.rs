//! A weather value as far as it is known: from a least to a greatest. In go days with and without values, out come
//! ends that hold whatever the missing days were.

use serde::Serialize;

/// From a least to a greatest value; equal where exactly one is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Span {
    pub low: f64,
    pub high: f64,
}

impl Span {
    /// One value.
    pub const fn exact(value: f64) -> Span {
        Span {
            low: value,
            high: value,
        }
    }

    /// Half way between the ends.
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// How far apart the ends lie.
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// Both ends by another's, all of them 0 or more.
    pub(super) fn times(self, other: Span) -> Span {
        Span {
            low: self.low * other.low,
            high: self.high * other.high,
        }
    }

    /// The mean of spans, end by end; `None` of none.
    pub(super) fn mean(spans: impl Iterator<Item = Span>) -> Option<Span> {
        let (mut sum, mut count) = (Span::exact(0.0), 0.0);
        for span in spans {
            sum.low += span.low;
            sum.high += span.high;
            count += 1.0;
        }
        (count > 0.0).then_some(Span {
            low: sum.low / count,
            high: sum.high / count,
        })
    }
}
