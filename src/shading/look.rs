//! From a paint to colours. In go a stand's paint and how large it shows, out come the colours of its fill, its pattern
//! and its outline. Where they are put is left to `canvas`.

use super::paint::{Fill, Marks, Paint};
use super::palette::{Palette, Rgb, mix};
use super::pattern::Pattern;

/// A colour with its cover: red, green, blue, and 0 (clear) to 255.
pub(super) type Rgba = [u8; 4];

/// How one stand is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Look {
    /// The fill; clear where only the outline is drawn.
    pub(super) fill: Rgba,
    pub(super) pattern: Pattern,
    /// The ink of the pattern.
    pub(super) pattern_ink: Rgba,
    /// The thin outline.
    pub(super) line: Rgba,
    /// The heavier outline; the same as what it covers where there is none.
    pub(super) heavy: Option<Rgba>,
    /// Whether the outline is broken into dashes: then they stand in place of the thin one.
    pub(super) wide: bool,
    /// The dashes.
    pub(super) dash: Rgba,
}

/// Below this side, in CSS pixels, a stand shows no outline; above the next, its whole outline; between, a fainter one,
/// so that small stands are not drowned in ink.
const FAINT: f64 = 3.0;
const FULL: f64 = 14.0;
/// Stands smaller than this show no dashes: there would be one or two.
const DASHED: f64 = 16.0;

impl Look {
    /// The look of a stand that shows with about this side, in CSS pixels.
    pub(super) fn new(paint: Paint, side: f64, palette: &Palette) -> Look {
        let strength = (((side - FAINT) / (FULL - FAINT)).clamp(0.0, 1.0) * 16.0).round() as u32;
        let closed = paint.marks.has(Marks::CLOSED);
        let not_known = paint.fill == Fill::NotKnown;
        let (fill, pattern, pattern_ink) = match (closed, paint.fill) {
            (true, _) => (
                Some(palette.closed),
                if not_known {
                    Pattern::HatchAndDots
                } else {
                    Pattern::Hatch
                },
                palette.hatch,
            ),
            (false, Fill::NotKnown) => (Some(palette.not_known), Pattern::Dots, palette.dots),
            (false, Fill::Step(step)) => (
                Some(palette.steps[usize::from(step.min(4))]),
                Pattern::None,
                palette.ink,
            ),
            (false, Fill::None) => (None, Pattern::None, palette.ink),
        };
        let inked = |strength: u32| match fill {
            Some(fill) => solid(mix(fill, palette.ink, strength)),
            None => {
                let [r, g, b] = palette.outline;
                [r, g, b, (strength * 255 / 16) as u8]
            }
        };
        Look {
            fill: fill.map_or([0; 4], solid),
            pattern,
            pattern_ink: solid(pattern_ink),
            line: inked(strength),
            heavy: (strength > 0 && paint.marks.has(Marks::NEED)).then(|| inked(strength)),
            wide: side >= DASHED && paint.marks.has(Marks::WIDE),
            dash: inked(strength),
        }
    }
}

/// A colour that covers all.
pub(super) fn solid([r, g, b]: Rgb) -> Rgba {
    [r, g, b, 255]
}
