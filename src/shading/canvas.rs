//! From rings and looks to pixels. In go rings in fine steps and a look for each stand, out come pixels. Where on the
//! globe this is, and what the looks stand for, is left to `tile` and `legend`.

use super::grid::{FINE, Grid};
use super::line::{Dashes, dashes};
use super::look::{Look, Rgba, solid};
use super::palette::{Contrast, Palette};
use super::pattern::{Pattern, Patterns};
use super::plane::Plane;

/// Widths and lengths at one fineness, in samples unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Measures {
    /// Samples in the side of a pixel: 4, or 2 where pixels are small.
    pub(super) fine: usize,
    /// Pixels to a CSS pixel.
    pub(super) ratio: f64,
    /// Half of an outline between two stands.
    line: usize,
    /// How far a heavier outline, or a dash, reaches into its stand.
    heavy: usize,
    /// How far a dash reaches in where the outline is heavier anyway.
    heavy_dash: usize,
    /// How far the two rings around the chosen stand reach in and out.
    ring: usize,
    halo: usize,
    /// Samples around the tile that are worked out too, since what lies there reaches in.
    pub(super) margin: usize,
}

impl Measures {
    pub(super) fn new(ratio: f64, contrast: Contrast) -> Self {
        let fine = if ratio < 1.5 { 4 } else { 2 };
        let scale = ratio * fine as f64;
        let samples = |pixels: f64| ((pixels * scale).round() as usize).clamp(1, 31);
        let (line, heavy) = match contrast {
            Contrast::Usual => (0.3, 1.5),
            Contrast::More => (0.75, 2.5),
        };
        let heavy_dash = samples(heavy + 2.0);
        Self {
            fine,
            ratio,
            line: samples(line),
            heavy: samples(heavy),
            heavy_dash,
            ring: samples(2.0),
            halo: samples(2.0),
            // A whole number of pixels, and of the words that are looked at pixel by pixel.
            margin: (heavy_dash + 2).next_multiple_of(4),
        }
    }
}

/// The side of a tile's worth of pixels, and where its first sample lies in the world.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Pixels across and down.
    pub(super) width: usize,
    pub(super) height: usize,
    /// Samples from the world's north-west corner to the first pixel's first sample.
    pub(super) west: i64,
    pub(super) north: i64,
}

/// Everything needed to draw, kept from tile to tile so that it need not be made anew.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    pub(super) grid: Grid,
    looks: Vec<Look>,
    edges: Plane,
    ground: Plane,
    ground_edges: Plane,
    line: Plane,
    heavy: Plane,
    dashes: Plane,
    ring: Plane,
    halo: Plane,
    chosen: Plane,
    busy: Plane,
    patterns: Option<(usize, u64, Patterns)>,
}

impl Canvas {
    /// Starts a frame with nothing on it. The grid's corner lies a margin north-west of the frame's.
    pub(super) fn begin(&mut self, frame: Frame, measures: &Measures) {
        let side = |pixels: usize| pixels * measures.fine + 2 * measures.margin;
        self.grid.reset(side(frame.width), side(frame.height));
        self.looks.clear();
        self.dashes.reset(self.grid.width, self.grid.height);
    }

    /// Adds a stand with its look; the number it has on the grid comes back.
    pub(super) fn add(&mut self, look: Look) -> u32 {
        self.looks.push(look);
        self.looks.len() as u32
    }

    /// Draws the dashes of one ring of a stand, given in fine steps from the grid's corner. Call it when all stands are
    /// on the grid: dashes keep to the samples of their stand.
    pub(super) fn dash(&mut self, value: u32, ring: &[[i64; 2]], measures: &Measures) {
        let heavy = self.looks[value as usize - 1].heavy.is_some();
        let radius = if heavy {
            measures.heavy_dash
        } else {
            measures.heavy
        } as i64;
        let scale = measures.ratio * measures.fine as f64 * FINE as f64;
        let (width, height) = (self.grid.width as i64, self.grid.height as i64);
        let lengths = Dashes {
            period: 12.0 * scale,
            dash: 5.0 * scale,
            step: 0.625 * scale,
        };
        dashes(ring, lengths, |[x, y]| {
            let (x, y) = (x.div_euclid(FINE), y.div_euclid(FINE));
            if x < -radius || y < -radius || x >= width + radius || y >= height + radius {
                return;
            }
            for row in (y - radius).max(0)..=(y + radius).min(height - 1) {
                let reach = (radius * radius - (row - y) * (row - y)).isqrt();
                for column in (x - reach).max(0)..=(x + reach).min(width - 1) {
                    let (column, row) = (column as usize, row as usize);
                    if self.grid.samples[row * self.grid.width + column] == value {
                        self.dashes.set(column, row);
                    }
                }
            }
        });
    }

    /// Works the pixels out: red, green, blue, alpha by turns, row by row, alpha straight. `chosen` is the number of
    /// the stand that the two rings go around.
    pub(super) fn finish(
        &mut self,
        frame: Frame,
        measures: &Measures,
        chosen: Option<u32>,
        palette: &Palette,
    ) -> Vec<u8> {
        let mut pixels = vec![0; frame.width * frame.height * 4];
        if self.looks.is_empty() {
            return pixels;
        }
        self.mark(measures, chosen);
        let key = (measures.fine, measures.ratio.to_bits());
        let patterns = match self.patterns.take() {
            Some((fine, ratio, patterns)) if (fine, ratio) == key => patterns,
            _ => Patterns::new(measures.fine, measures.ratio),
        };
        let period = patterns.period() as i64;
        let pen = Pen {
            canvas: self,
            patterns: &patterns,
            palette,
            chosen,
        };
        let fine = measures.fine;
        let mut busy = vec![0_u64; self.busy.row(0).len()];
        let columns: Vec<usize> = (0..frame.width * fine)
            .map(|column| (frame.west + column as i64).rem_euclid(period) as usize)
            .collect();
        for y in 0..frame.height {
            let top = measures.margin + y * fine;
            busy.copy_from_slice(self.busy.row(top));
            for row in top + 1..top + fine {
                busy.iter_mut()
                    .zip(self.busy.row(row))
                    .for_each(|(busy, more)| *busy |= more);
            }
            let rows: [usize; 4] = std::array::from_fn(|row| {
                (frame.north + (y * fine + row) as i64).rem_euclid(period) as usize
            });
            let samples = &self.grid.samples[top * self.grid.width..];
            let line = &mut pixels[y * frame.width * 4..][..frame.width * 4];
            for (x, pixel) in line.chunks_exact_mut(4).enumerate() {
                let left = measures.margin + x * fine;
                let inside = busy[left >> 6] >> (left & 63) & ((1 << fine) - 1) == 0;
                let colour = if inside {
                    pen.whole(samples[left], columns[x * fine], rows[0])
                } else {
                    pen.mean(fine, [left, top], &columns[x * fine..], &rows)
                };
                pixel.copy_from_slice(&colour);
            }
        }
        self.patterns = Some((key.0, key.1, patterns));
        pixels
    }

    /// Marks where outlines and rings lie.
    fn mark(&mut self, measures: &Measures, chosen: Option<u32>) {
        let (width, height) = (self.grid.width, self.grid.height);
        for plane in [
            &mut self.edges,
            &mut self.ground,
            &mut self.ground_edges,
            &mut self.line,
            &mut self.heavy,
            &mut self.ring,
            &mut self.halo,
            &mut self.chosen,
            &mut self.busy,
        ] {
            plane.reset(width, height);
        }
        let samples = &self.grid.samples;
        self.edges.mark_edges(samples);
        self.ground.mark_equal(samples, 0);
        self.line.add_near(&self.edges, measures.line - 1);
        if self.ground.is_used() {
            // Towards open ground the whole line lies in the stand.
            self.ground_edges.add_near(&self.ground, 1);
            self.ground_edges.keep(&self.edges);
            self.ground_edges.drop(&self.ground);
            self.line.add_near(&self.ground_edges, 2 * measures.line - 1);
        }
        if self.looks.iter().any(|look| look.heavy.is_some()) {
            self.heavy.add_near(&self.edges, measures.heavy - 1);
        }
        if let Some(chosen) = chosen {
            self.chosen.mark_equal(samples, chosen);
            let mut outside = Plane::default();
            outside.reset(width, height);
            outside.add_near(&self.chosen, 1);
            outside.drop(&self.chosen);
            self.ring.add_near(&outside, measures.ring);
            self.ring.keep(&self.chosen);
            self.halo.add_near(&self.chosen, measures.halo);
            self.halo.drop(&self.chosen);
        }
        for plane in [
            &self.edges,
            &self.line,
            &self.heavy,
            &self.dashes,
            &self.ring,
            &self.halo,
        ] {
            self.busy.join(plane);
        }
    }
}

/// What is needed to colour a pixel.
struct Pen<'a> {
    canvas: &'a Canvas,
    patterns: &'a Patterns,
    palette: &'a Palette,
    chosen: Option<u32>,
}

impl Pen<'_> {
    /// The colour of a pixel that lies wholly inside one stand, away from every line.
    #[inline]
    fn whole(&self, value: u32, column: usize, row: usize) -> Rgba {
        if value == 0 {
            return [0; 4];
        }
        let look = &self.canvas.looks[value as usize - 1];
        if look.pattern == Pattern::None {
            return look.fill;
        }
        let inked = self.patterns.on_pixel(look.pattern, column, row);
        let mut mean = Mean::default();
        mean.add(look.fill, 16 - inked);
        mean.add(look.pattern_ink, inked);
        mean.colour(16)
    }

    /// The mean colour of a pixel's samples.
    fn mean(&self, fine: usize, [left, top]: [usize; 2], columns: &[usize], rows: &[usize; 4]) -> Rgba {
        let mut mean = Mean::default();
        for row in 0..fine {
            for column in 0..fine {
                let colour = self.sample([left + column, top + row], columns[column], rows[row]);
                mean.add(colour, 1);
            }
        }
        mean.colour((fine * fine) as u32)
    }

    #[inline]
    fn sample(&self, [x, y]: [usize; 2], column: usize, row: usize) -> Rgba {
        let canvas = self.canvas;
        let value = canvas.grid.samples[y * canvas.grid.width + x];
        if self.chosen.is_some() {
            if canvas.ring.has(x, y) {
                return solid(self.palette.ring);
            }
            if canvas.halo.has(x, y) {
                return solid(self.palette.halo);
            }
        }
        if value == 0 {
            return [0; 4];
        }
        let look = &canvas.looks[value as usize - 1];
        if look.wide && canvas.dashes.has(x, y) {
            return look.dash;
        }
        if let Some(heavy) = look.heavy
            && canvas.heavy.has(x, y)
        {
            return heavy;
        }
        if canvas.line.has(x, y) && !look.wide {
            return look.line;
        }
        if look.pattern != Pattern::None && self.patterns.on_sample(look.pattern, column, row) {
            return look.pattern_ink;
        }
        look.fill
    }
}

/// A mean of colours, each counted as much as it covers.
#[derive(Default)]
struct Mean {
    colour: [u32; 3],
    cover: u32,
}

impl Mean {
    fn add(&mut self, [r, g, b, a]: Rgba, times: u32) {
        let cover = u32::from(a) * times;
        self.colour[0] += u32::from(r) * cover;
        self.colour[1] += u32::from(g) * cover;
        self.colour[2] += u32::from(b) * cover;
        self.cover += cover;
    }

    fn colour(&self, count: u32) -> Rgba {
        if self.cover == 0 {
            return [0; 4];
        }
        let channel = |sum: u32| ((sum + self.cover / 2) / self.cover) as u8;
        [
            channel(self.colour[0]),
            channel(self.colour[1]),
            channel(self.colour[2]),
            ((self.cover + count / 2) / count) as u8,
        ]
    }
}
