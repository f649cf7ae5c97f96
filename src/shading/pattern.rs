//! Hatching and dots. In go places of samples counted from the world's north-west corner, out comes whether ink lies
//! there; so a pattern runs on from tile to tile. Which stands carry it is left to `tile`.
//!
//! Dots lie halfway between the lines of the hatching, so a stand that is closed and not known can show both.

use super::canvas::Measures;

/// Which pattern lies over a fill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pattern {
    None,
    Hatch,
    Dots,
    HatchAndDots,
}

/// The patterns at one fineness: repeated every `period` samples both ways.
#[derive(Debug)]
pub(super) struct Patterns {
    period: usize,
    /// Samples in the side of a pixel.
    fine: usize,
    ratio: f64,
    /// One sample of the period: bit 0 hatching, bit 1 dots.
    samples: Vec<u8>,
    /// One pixel of the period: sixteenths covered by hatching, by dots.
    pixels: Vec<[u8; 2]>,
}

/// Distance from line to line along a row, and the share of it that is ink, in CSS pixels.
const PERIOD: f64 = 8.0;
const LINE: f64 = 2.0;
/// Radius of a dot in CSS pixels.
const DOT: f64 = 1.15;

impl Patterns {
    /// Works the patterns out for `fine` samples in the side of a pixel and `ratio` pixels to a CSS pixel.
    pub(super) fn new(fine: usize, ratio: f64) -> Self {
        let side = (PERIOD * ratio).round().max(4.0) as usize;
        let period = side * fine;
        let scale = ratio * fine as f64;
        let line = (LINE * scale).round() as usize;
        let radius = DOT * scale;
        let mut samples = vec![0; period * period];
        for y in 0..period {
            for x in 0..period {
                // The line is centred where x + y is a whole number of periods.
                let hatch = (x + y + line / 2) % period < line;
                let off = |value: usize, middle: usize| {
                    let away = (value as f64 + 0.5 - middle as f64).rem_euclid(period as f64);
                    away.min(period as f64 - away)
                };
                let from = |mx: usize, my: usize| off(x, mx).powi(2) + off(y, my).powi(2) <= radius * radius;
                let dots = from(0, period / 2) || from(period / 2, 0);
                samples[y * period + x] = u8::from(hatch) | u8::from(dots) << 1;
            }
        }
        let share = |px: usize, py: usize, bit: u8| {
            let inked = (0..fine * fine)
                .filter(|n| samples[(py * fine + n / fine) * period + px * fine + n % fine] >> bit & 1 == 1)
                .count();
            (inked * 16 / (fine * fine)) as u8
        };
        let pixels = (0..side * side)
            .map(|n| [share(n % side, n / side, 0), share(n % side, n / side, 1)])
            .collect();
        Self {
            period,
            fine,
            ratio,
            samples,
            pixels,
        }
    }

    /// Whether these are the patterns for these measures.
    pub(super) fn fit(&self, measures: &Measures) -> bool {
        self.fine == measures.fine && self.ratio == measures.ratio
    }

    /// Samples after which the patterns repeat.
    pub(super) fn period(&self) -> usize {
        self.period
    }

    /// What ink lies on a sample, counted within the period: bit 0 hatching, bit 1 dots.
    #[inline]
    pub(super) fn bits(&self, x: usize, y: usize) -> u8 {
        self.samples[y * self.period + x]
    }

    /// Sixteenths of a pixel that carry ink; the pixel whose first sample is this one, counted within the period.
    #[inline]
    pub(super) fn on_pixel(&self, pattern: Pattern, x: usize, y: usize) -> u32 {
        let side = self.period / self.fine;
        let [hatch, dots] = self.pixels[(y / self.fine) * side + x / self.fine];
        u32::from(match pattern {
            Pattern::None => 0,
            Pattern::Hatch => hatch,
            Pattern::Dots => dots,
            Pattern::HatchAndDots => (hatch + dots).min(16),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inked(patterns: &Patterns, bits: u8) -> f64 {
        let period = patterns.period();
        let count = (0..period * period)
            .filter(|n| patterns.bits(n % period, n / period) & bits != 0)
            .count();
        count as f64 / (period * period) as f64
    }

    #[test]
    fn hatching_covers_a_quarter_and_dots_less() {
        for (fine, ratio) in [(4, 1.0), (4, 1.25), (2, 2.0), (2, 3.0)] {
            let patterns = Patterns::new(fine, ratio);
            let (hatch, dots) = (inked(&patterns, 1), inked(&patterns, 2));
            assert!(
                (0.22..0.28).contains(&hatch),
                "hatching covers {hatch} at ratio {ratio}"
            );
            assert!((0.08..0.18).contains(&dots), "dots cover {dots} at ratio {ratio}");
            assert!(
                (inked(&patterns, 3) - hatch - dots).abs() < 1e-9,
                "dots lie between the lines at ratio {ratio}"
            );
        }
    }

    #[test]
    fn a_pixel_holds_the_mean_of_its_samples() {
        let patterns = Patterns::new(4, 1.0);
        for y in 0..8 {
            for x in 0..8 {
                let samples = (0..16)
                    .filter(|n| patterns.bits(x * 4 + n % 4, y * 4 + n / 4) != 0)
                    .count();
                assert_eq!(
                    patterns.on_pixel(Pattern::HatchAndDots, x * 4, y * 4),
                    samples as u32,
                    "{x} {y}"
                );
            }
        }
    }
}
