//! Smooth functions of latitude from a table. In goes a latitude in units of 1e-7 degrees, out comes the value of the
//! function there. Which function it is, is left to others. The table makes a vertex cost a few multiplications
//! instead of a logarithm, and gives the same bits on every machine.

/// Each piece spans this many units (about a tenth of a degree).
const SPAN_BITS: u32 = 20;
const SPAN: f64 = (1_u32 << SPAN_BITS) as f64;
/// The table reaches from the South Pole to the North Pole.
const POLE: i32 = 900_000_000;

/// A function of latitude in cubic pieces that share value and slope where they meet.
pub(crate) struct Latitude {
    pieces: Vec<[f64; 4]>,
}

impl Latitude {
    /// Builds the table. `function` is given a latitude in radians, up to a tenth of a degree beyond a pole, and
    /// gives value and slope a radian.
    pub(crate) fn new(function: impl Fn(f64) -> (f64, f64)) -> Self {
        let count = ((2 * POLE) >> SPAN_BITS) + 1;
        let at = |piece: i32| {
            let units = f64::from(piece) * SPAN - f64::from(POLE);
            let (value, slope) = function(units / 1.0e7 * RADIANS);
            (value, slope * SPAN / 1.0e7 * RADIANS)
        };
        let pieces = (0..count)
            .map(|piece| {
                let (from, from_slope) = at(piece);
                let (to, to_slope) = at(piece + 1);
                let rise = to - from;
                [
                    from,
                    from_slope,
                    3.0 * rise - 2.0 * from_slope - to_slope,
                    from_slope + to_slope - 2.0 * rise,
                ]
            })
            .collect();
        Self { pieces }
    }

    /// The value at a latitude in units; beyond a pole, the pole's.
    #[inline]
    pub(crate) fn at(&self, latitude: i32) -> f64 {
        let from_south = (latitude.clamp(-POLE, POLE) + POLE) as u32;
        let [c0, c1, c2, c3] = self.pieces[(from_south >> SPAN_BITS) as usize];
        let t = f64::from(from_south & ((1 << SPAN_BITS) - 1)) / SPAN;
        ((c3 * t + c2) * t + c1) * t + c0
    }
}

/// Radians in a degree.
pub(crate) const RADIANS: f64 = std::f64::consts::PI / 180.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn follows_a_sine_to_the_last_bits() {
        let sine = Latitude::new(|radians| (radians.sin(), radians.cos()));
        for units in (-POLE..=POLE).step_by(9_876_543) {
            let expected = (f64::from(units) / 1.0e7 * RADIANS).sin();
            assert!(
                (sine.at(units) - expected).abs() < 1e-13,
                "at {units}: {} for {expected}",
                sine.at(units)
            );
        }
        assert_eq!(sine.at(POLE), sine.at(i32::MAX));
    }
}
