//! From rings and looks to pixels. In go rings in fine steps and a look for each stand, out come pixels. Where on the
//! globe this is, and what the looks stand for, is left to `tile` and `legend`.

use super::grid::{FINE, Grid};
use super::line::{Dashes, dashes};
use super::look::{Look, Rgba, Show, There, solid};
use super::palette::{Contrast, Palette};
use super::pattern::{Pattern, Patterns};
use super::plane::{Plane, next_set};

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
    /// The look of each stand, by the number it has on the grid less one.
    look_of: Vec<u32>,
    looks: Vec<Look>,
    /// The colours of each look.
    inks: Vec<Inks>,
    /// Where in `looks` each show is, if it is there: one more than its place.
    known: Vec<u32>,
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
    patterns: Option<Patterns>,
}

impl Canvas {
    /// Starts a frame with nothing on it. The grid's corner lies a margin north-west of the frame's.
    pub(super) fn begin(&mut self, frame: Frame, measures: &Measures) {
        let side = |pixels: usize| pixels * measures.fine + 2 * measures.margin;
        self.grid.reset(side(frame.width), side(frame.height));
        self.look_of.clear();
        self.looks.clear();
        self.inks.clear();
        self.known.clear();
        self.known.resize(Show::PLACES, 0);
        self.dashes.reset(self.grid.width, self.grid.height);
    }

    /// Adds a stand; the number it has on the grid comes back.
    pub(super) fn add(&mut self, show: Show, palette: &Palette) -> u32 {
        let known = &mut self.known[show.place()];
        if *known == 0 {
            let look = Look::new(show, palette);
            self.looks.push(look);
            self.inks.push(Inks::new(&look));
            *known = self.looks.len() as u32;
        }
        self.look_of.push(*known - 1);
        self.look_of.len() as u32
    }

    /// The look of a stand, by its number on the grid.
    pub(super) fn look(&self, value: u32) -> &Look {
        &self.looks[self.look_of[value as usize - 1] as usize]
    }

    /// Draws the dashes of one ring of a stand, given in fine steps from the grid's corner. Call it when all stands are
    /// on the grid: dashes keep to the samples of their stand.
    pub(super) fn dash(&mut self, value: u32, ring: &[[i64; 2]], measures: &Measures) {
        let heavy = self.look(value).heavy;
        let radius = if heavy {
            measures.heavy_dash
        } else {
            measures.heavy
        } as i64;
        let scale = measures.ratio * measures.fine as f64 * FINE as f64;
        let (width, height) = (self.grid.width as i64, self.grid.height as i64);
        let lengths = Dashes {
            period: 14.0 * scale,
            dash: 5.0 * scale,
            step: 0.625 * scale,
        };
        let window = [
            -radius * FINE,
            -radius * FINE,
            (width + radius) * FINE,
            (height + radius) * FINE,
        ];
        dashes(ring, lengths, window, |[x, y]| {
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
        let patterns = match self.patterns.take() {
            Some(patterns) if patterns.fit(measures) => patterns,
            _ => Patterns::new(measures.fine, measures.ratio),
        };
        let period = patterns.period() as i64;
        let fine = measures.fine;
        let patterned = self.looks.iter().any(|look| look.pattern != Pattern::None);
        let columns: Vec<usize> = (0..frame.width * fine)
            .map(|column| (frame.west + column as i64).rem_euclid(period) as usize)
            .collect();
        let pen = Pen {
            canvas: self,
            patterns: &patterns,
            rings: Inks::rings(palette),
            patterned,
            columns,
        };
        let mut busy = vec![0_u64; pen.canvas.busy.row(0).len()];
        for y in 0..frame.height {
            let top = measures.margin + y * fine;
            busy.copy_from_slice(pen.canvas.busy.row(top));
            for row in top + 1..top + fine {
                busy.iter_mut()
                    .zip(pen.canvas.busy.row(row))
                    .for_each(|(busy, more)| *busy |= more);
            }
            let rows: [usize; 4] = std::array::from_fn(|row| {
                (frame.north + (y * fine + row) as i64).rem_euclid(period) as usize
            });
            let line = &mut pixels[y * frame.width * 4..][..frame.width * 4];
            if fine == 4 {
                pen.row::<4>(line, measures.margin, top, &busy, &rows);
            } else {
                pen.row::<2>(line, measures.margin, top, &busy, &rows);
            }
        }
        self.patterns = Some(patterns);
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
        self.edges.mark_edges(samples, &self.grid.bounds);
        let lined = self.looks.iter().any(|look| look.line != look.fill);
        if lined {
            // Ground beside a stand is an edge itself.
            self.ground.mark_equal(samples, 0, Some(&self.edges));
        }
        if lined {
            self.line.add_near(&self.edges, measures.line - 1);
        }
        if lined && self.ground.is_used() {
            // Towards open ground the whole line lies in the stand.
            self.ground_edges.add_near(&self.ground, 1);
            self.ground_edges.keep(&self.edges);
            self.ground_edges.drop(&self.ground);
            self.line.add_near(&self.ground_edges, 2 * measures.line - 1);
        }
        if self.looks.iter().any(|look| look.heavy) {
            self.heavy.add_near(&self.edges, measures.heavy - 1);
        }
        if let Some(chosen) = chosen {
            self.chosen.mark_equal(samples, chosen, None);
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
    /// The inner ring's colour, then the outer one's.
    rings: [u64; 2],
    /// Whether any stand carries a pattern.
    patterned: bool,
    /// Where each column of samples lies in the period of the patterns.
    columns: Vec<usize>,
}

impl Pen<'_> {
    /// Colours a row of pixels. `busy` has the samples, in any of its rows, beside which something else lies.
    #[inline(never)]
    fn row<const FINE: usize>(
        &self,
        pixels: &mut [u8],
        margin: usize,
        top: usize,
        busy: &[u64],
        rows: &[usize; 4],
    ) {
        let samples = &self.canvas.grid.samples[top * self.canvas.grid.width..];
        let (pixels, _) = pixels.as_chunks_mut::<4>();
        let mut x = 0;
        while x < pixels.len() {
            let left = margin + x * FINE;
            // So many pixels lie wholly inside one stand, away from every line.
            let alike = ((next_set(busy, left) - left) / FINE).min(pixels.len() - x);
            if alike == 0 {
                pixels[x] = self.mean::<FINE>(x, left, top, rows);
                x += 1;
            } else {
                self.whole::<FINE>(&mut pixels[x..x + alike], samples[left], x, rows[0]);
                x += alike;
            }
        }
    }

    /// Colours pixels that lie wholly inside one stand, away from every line.
    #[inline]
    fn whole<const FINE: usize>(&self, pixels: &mut [Rgba], value: u32, first: usize, row: usize) {
        if value == 0 {
            return;
        }
        let look = self.canvas.look(value);
        if look.pattern == Pattern::None {
            pixels.fill(look.fill);
            return;
        }
        let [fill, ink] = [lanes(look.fill), lanes(look.pattern_ink)];
        for (x, pixel) in pixels.iter_mut().enumerate() {
            let column = self.columns[(first + x) * FINE];
            let inked = u64::from(self.patterns.on_pixel(look.pattern, column, row));
            *pixel = colour((16 - inked) * fill + inked * ink, 16);
        }
    }

    /// The mean colour of a pixel's samples, `FINE` by `FINE` of them.
    #[inline(never)]
    fn mean<const FINE: usize>(&self, x: usize, left: usize, top: usize, rows: &[usize; 4]) -> Rgba {
        let canvas = self.canvas;
        let mask = (1 << FINE) - 1;
        let mut sum = 0;
        for (row, &pattern_row) in rows.iter().enumerate().take(FINE) {
            let y = top + row;
            let samples = &canvas.grid.samples[y * canvas.grid.width + left..][..FINE];
            let lines = canvas.line.few(left, y, mask)
                | canvas.heavy.few(left, y, mask) << 8
                | canvas.dashes.few(left, y, mask) << 16;
            let rings = canvas.ring.few(left, y, mask) | canvas.halo.few(left, y, mask) << 8;
            for (column, &value) in samples.iter().enumerate() {
                if rings >> column & 0x101 != 0 {
                    sum += self.rings[usize::from(rings >> column & 1 == 0)];
                    continue;
                }
                if value == 0 {
                    continue;
                }
                let mut there =
                    (lines >> column & 1 | lines >> (column + 7) & 2 | lines >> (column + 14) & 4) as usize;
                if self.patterned {
                    there |=
                        usize::from(self.patterns.bits(self.columns[x * FINE + column], pattern_row)) << 3;
                }
                sum += canvas.inks[canvas.look_of[value as usize - 1] as usize].0[there];
            }
        }
        colour(sum, (FINE * FINE) as u64)
    }
}

/// The colours of a look by what lies on a sample, as [`There::all`] numbers it, each in [`lanes`].
#[derive(Debug, Clone, Copy)]
struct Inks([u64; 32]);

impl Inks {
    fn new(look: &Look) -> Self {
        let mut inks = [0; 32];
        inks.iter_mut()
            .zip(There::all())
            .for_each(|(ink, there)| *ink = lanes(look.sample(there)));
        Self(inks)
    }

    fn rings(palette: &Palette) -> [u64; 2] {
        [lanes(solid(palette.ring)), lanes(solid(palette.halo))]
    }
}

/// A colour as four numbers of sixteen bits that can be added up: red, green and blue as far as it covers, and its
/// cover.
#[inline]
fn lanes([r, g, b, a]: Rgba) -> u64 {
    let part = |channel: u8| (u64::from(channel) * u64::from(a) + 127) / 255;
    part(r) | part(g) << 16 | part(b) << 32 | u64::from(a) << 48
}

/// The mean of `count` colours that were added up: up to 16.
#[inline]
fn colour(sum: u64, count: u64) -> Rgba {
    let [r, g, b, cover] = [sum, sum >> 16, sum >> 32, sum >> 48].map(|lane| lane & 0xffff);
    if cover == 255 * count {
        let mean = |lane: u64| ((lane + count / 2) / count) as u8;
        return [mean(r), mean(g), mean(b), 255];
    }
    if cover == 0 {
        return [0; 4];
    }
    let straight = |lane: u64| ((lane * 255 + cover / 2) / cover).min(255) as u8;
    [
        straight(r),
        straight(g),
        straight(b),
        ((cover + count / 2) / count) as u8,
    ]
}
