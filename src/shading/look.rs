//! From a paint to colours. In go a stand's paint and how large it shows, out come the colours of its fill, its pattern
//! and its outline. Where they are put is left to `canvas`.

use super::paint::{Fill, Marks, Paint};
use super::palette::{Palette, Rgb, mix};
use super::pattern::Pattern;

/// A colour with its cover: red, green, blue, and 0 (clear) to 255.
pub(super) type Rgba = [u8; 4];

/// What there is to see of a stand: its paint, and how much of its outline its size leaves room for. Stands that show
/// alike are drawn from one look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Show {
    paint: Paint,
    /// Sixteenths of its ink that the outline has.
    strength: u8,
    /// Whether there is room for dashes.
    dashed: bool,
}

/// Below this side, in CSS pixels, a stand shows no outline; above the next, its whole outline; between, a fainter one,
/// so that small stands are not drowned in ink.
const FAINT: f64 = 3.0;
const FULL: f64 = 14.0;
/// Stands smaller than this show no dashes: there would be one or two.
const DASHED: f64 = 16.0;

impl Show {
    /// A stand with this paint that shows with about this side, in CSS pixels.
    pub(super) fn new(paint: Paint, side: f64) -> Self {
        let strength = (((side - FAINT) / (FULL - FAINT)).clamp(0.0, 1.0) * 16.0).round() as u8;
        Self {
            paint,
            strength,
            dashed: side >= DASHED,
        }
    }

    /// How many different places there are.
    pub(super) const PLACES: usize = 7 * 8 * 17 * 2;

    /// A place of its own for everything that shows differently.
    pub(super) fn place(self) -> usize {
        let fill = match self.paint.fill {
            Fill::Step(step) => usize::from(step.min(4)),
            Fill::NotKnown => 5,
            Fill::None => 6,
        };
        ((fill * 8 + self.paint.marks.places()) * 17 + usize::from(self.strength)) * 2
            + usize::from(self.dashed)
    }
}

/// How stands that show alike are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Look {
    /// The fill; clear where only the outline is drawn.
    pub(super) fill: Rgba,
    pub(super) pattern: Pattern,
    /// The ink of the pattern.
    pub(super) pattern_ink: Rgba,
    /// The thin outline.
    pub(super) line: Rgba,
    /// Whether the outline is heavier.
    pub(super) heavy: bool,
    /// Whether the outline is broken into dashes: then they stand in place of the thin one.
    pub(super) wide: bool,
}

impl Look {
    pub(super) fn new(show: Show, palette: &Palette) -> Look {
        let Show {
            paint,
            strength,
            dashed,
        } = show;
        let closed = paint.marks.has(Marks::CLOSED);
        let not_known = paint.fill == Fill::NotKnown;
        let (fill, pattern, pattern_ink) = match (closed, paint.fill) {
            (true, _) if not_known => (Some(palette.closed), Pattern::HatchAndDots, palette.hatch),
            (true, _) => (Some(palette.closed), Pattern::Hatch, palette.hatch),
            (false, Fill::NotKnown) => (Some(palette.not_known), Pattern::Dots, palette.dots),
            (false, Fill::Step(step)) => (
                Some(palette.steps[usize::from(step.min(4))]),
                Pattern::None,
                palette.ink,
            ),
            (false, Fill::None) => (None, Pattern::None, palette.ink),
        };
        let line = match fill {
            Some(fill) => solid(mix(fill, palette.ink, strength.into())),
            None => {
                let [r, g, b] = palette.outline;
                [r, g, b, (u32::from(strength) * 255 / 16) as u8]
            }
        };
        Look {
            fill: fill.map_or([0; 4], solid),
            pattern,
            pattern_ink: solid(pattern_ink),
            line,
            heavy: strength > 0 && paint.marks.has(Marks::NEED),
            wide: dashed && paint.marks.has(Marks::WIDE),
        }
    }

    /// The colour of one sample, from what lies there: the thin outline, the reach of a heavier one, a dash, hatching,
    /// dots.
    pub(super) fn sample(&self, there: There) -> Rgba {
        let patterned = match self.pattern {
            Pattern::None => false,
            Pattern::Hatch => there.hatch,
            Pattern::Dots => there.dots,
            Pattern::HatchAndDots => there.hatch || there.dots,
        };
        if (self.wide && there.dash) || (self.heavy && there.heavy) || (!self.wide && there.line) {
            self.line
        } else if patterned {
            self.pattern_ink
        } else {
            self.fill
        }
    }
}

/// What lies on one sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct There {
    pub(super) line: bool,
    pub(super) heavy: bool,
    pub(super) dash: bool,
    pub(super) hatch: bool,
    pub(super) dots: bool,
}

impl There {
    /// Everything that can lie on a sample, by number: one bit each, `line` lowest, then `heavy`, `dash`, `hatch`,
    /// `dots`.
    pub(super) fn all() -> impl Iterator<Item = There> {
        (0..32).map(|number: u32| There {
            line: number & 1 != 0,
            heavy: number & 2 != 0,
            dash: number & 4 != 0,
            hatch: number & 8 != 0,
            dots: number & 16 != 0,
        })
    }
}

/// A colour that covers all.
pub(super) fn solid([r, g, b]: Rgb) -> Rgba {
    [r, g, b, 255]
}
