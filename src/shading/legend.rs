//! The legend: a small picture of each fill and mark, drawn by the code that draws the map. In go scheme, contrast and
//! ratio, out come pictures by name. Their titles are left to the page.

use super::canvas::{Canvas, Frame, Measures};
use super::grid::FINE;
use super::lay::Lay;
use super::look::Show;
use super::paint::{Fill, Marks, Paint};
use super::palette::{Contrast, Scheme, palette};

/// One picture of the legend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Swatch {
    /// What it shows, such as `step.rich` or `closed`.
    pub id: &'static str,
    /// Red, green, blue and alpha by turns, row by row, alpha straight.
    pub pixels: Vec<u8>,
    /// Device pixels across.
    pub width: usize,
    /// Device pixels down.
    pub height: usize,
}

/// What the legend shows, in order. A mark is shown over the middle step, since it may lie over any.
const ENTRIES: [(&str, Paint); 10] = [
    ("step.bare", Paint::plain(Fill::Step(0))),
    ("step.slight", Paint::plain(Fill::Step(1))),
    ("step.fair", Paint::plain(Fill::Step(2))),
    ("step.good", Paint::plain(Fill::Step(3))),
    ("step.rich", Paint::plain(Fill::Step(4))),
    ("not_known", Paint::plain(Fill::NotKnown)),
    ("not_assessed", Paint::plain(Fill::None)),
    (
        "wide",
        Paint {
            fill: Fill::Step(2),
            marks: Marks::WIDE,
        },
    ),
    (
        "need",
        Paint {
            fill: Fill::Step(2),
            marks: Marks::NEED,
        },
    ),
    (
        "closed",
        Paint {
            fill: Fill::Step(2),
            marks: Marks::CLOSED,
        },
    ),
];

/// The messages that word the marks; the steps are worded by `potential`.
pub const KEYS: &[&str] = &[
    "legend.not_known",
    "legend.not_assessed",
    "legend.wide",
    "legend.need",
    "legend.closed",
];

/// A swatch's sides in CSS pixels.
const WIDTH: f64 = 36.0;
const HEIGHT: f64 = 24.0;

/// All swatches, in the order of the legend: the five steps, then what has none, then the marks.
pub fn legend(scheme: Scheme, contrast: Contrast, ratio: f64) -> Vec<Swatch> {
    let ratio = if ratio.is_finite() {
        ratio.clamp(1.0, 4.0)
    } else {
        1.0
    };
    let measures = Measures::new(ratio, contrast);
    let palette = palette(scheme);
    let frame = Frame {
        width: (WIDTH * ratio).round() as usize,
        height: (HEIGHT * ratio).round() as usize,
        west: 0,
        north: 0,
    };
    let mut canvas = Canvas::default();
    let mut lay = Lay::default();
    ENTRIES
        .into_iter()
        .map(|(id, paint)| {
            canvas.begin(frame, &measures);
            let value = canvas.add(Show::new(paint, f64::INFINITY), palette);
            let ring = rounded(frame, &measures);
            lay.clear();
            for (place, &from) in ring.iter().enumerate() {
                canvas.grid.edge(from, ring[(place + 1) % ring.len()], &mut lay);
            }
            lay.end_polygon();
            lay.end_stand(0, 0);
            for crossings in lay.stands().flat_map(|(_, polygons)| polygons) {
                canvas.grid.fill(crossings, value, |_| true);
            }
            if paint.marks.has(Marks::WIDE) {
                canvas.dash(value, &ring, &measures);
            }
            let pixels = canvas.finish(frame, &measures, None, palette);
            Swatch {
                id,
                pixels,
                width: frame.width,
                height: frame.height,
            }
        })
        .collect()
}

/// A stand for the swatch: a rectangle with cut corners, half a pixel inside the frame.
fn rounded(frame: Frame, measures: &Measures) -> Vec<[i64; 2]> {
    let pixel = measures.fine as i64 * FINE;
    let (west, north) = (measures.margin as i64 * FINE, measures.margin as i64 * FINE);
    let (east, south) = (
        west + frame.width as i64 * pixel,
        north + frame.height as i64 * pixel,
    );
    let cut = (3.0 * measures.ratio * pixel as f64) as i64;
    vec![
        [west + cut, north],
        [east - cut, north],
        [east, north + cut],
        [east, south - cut],
        [east - cut, south],
        [west + cut, south],
        [west, south - cut],
        [west, north + cut],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_of_the_legend_has_its_words() {
        let marks = ENTRIES
            .iter()
            .map(|(id, _)| *id)
            .filter(|id| !id.starts_with("step."));
        let keys: Vec<String> = marks.map(|id| format!("legend.{id}")).collect();
        assert_eq!(keys, KEYS);
    }
}
