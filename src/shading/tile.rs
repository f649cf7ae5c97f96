//! One tile of the map. In go outlines, their index, a paint for each stand and the tile wanted; out come its pixels.
//! Colours are left to `palette`, drawing to `canvas`.

use super::canvas::{Canvas, Frame, Measures};
use super::grid::{FINE, Grid};
use super::lay::{Laid, Lay, Lays};
use super::look::Show;
use super::paint::Paint;
use super::palette::{Contrast, Scheme, palette};
use crate::geometry::projection::{Steps, World, from_world};
use crate::geometry::{Index, LngLatBox, Outlines, UNITS_PER_DEGREE};

/// Which tile is wanted, and how it is to look. Tiles count from the world's north-west corner in Web Mercator, as is
/// common practice for tiled maps; at zoom `z` the world is `size * 2^z` CSS pixels wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TileRequest {
    /// Zoom, 0 to 24; anything above counts as 24.
    pub z: u8,
    /// Tiles from the west.
    pub x: u32,
    /// Tiles from the north.
    pub y: u32,
    /// CSS pixels in the side, 16 to 1024; common practice is 256 or 512.
    pub size: u32,
    /// Device pixels to a CSS pixel, 1 to 4.
    pub ratio: f64,
    /// The page's scheme.
    pub scheme: Scheme,
    /// How strong outlines are.
    pub contrast: Contrast,
}

impl TileRequest {
    /// Device pixels in the side of the tile: `size` times `ratio`, to the nearest whole one.
    pub fn side(&self) -> usize {
        (f64::from(self.size.clamp(16, 1024)) * self.clean_ratio()).round() as usize
    }

    fn clean_ratio(&self) -> f64 {
        if self.ratio.is_finite() {
            self.ratio.clamp(1.0, 4.0)
        } else {
            1.0
        }
    }
}

/// The pixels of a tile: red, green, blue and alpha by turns, row by row from the north-west, alpha straight. Paints
/// are by stand; a stand beyond their end is not drawn.
pub fn tile(
    outlines: &Outlines,
    index: &Index,
    paints: &[Paint],
    request: &TileRequest,
    selected: Option<u32>,
) -> Vec<u8> {
    Painter::default().tile(outlines, index, paints, request, selected)
}

/// Draws tile after tile and keeps its working memory between them.
#[derive(Debug, Default)]
pub struct Painter {
    canvas: Canvas,
    ring: Vec<[i64; 2]>,
    /// How large each stand on the grid is, by its number there less one.
    sizes: Vec<f64>,
    lays: Lays,
    /// Where stands lie on a tile that is not kept. Its memory grows to that of the fullest tile and stays.
    scratch: Lay,
    ahead: bool,
}

impl Painter {
    /// A painter of one map: where its stands lie on the tiles drawn last is kept in so many bytes, so that these are
    /// drawn in other paints in half the time. It must be given the same outlines every time.
    pub fn of_one_map(bytes: usize) -> Self {
        Self {
            lays: Lays::of(bytes),
            ..Self::default()
        }
    }

    /// Whether the tiles that follow are drawn before anybody asks for them: where stands lie on them is the first to be
    /// forgotten.
    pub fn draws_ahead(&mut self, ahead: bool) {
        self.ahead = ahead;
    }

    /// As [`tile`].
    pub fn tile(
        &mut self,
        outlines: &Outlines,
        index: &Index,
        paints: &[Paint],
        request: &TileRequest,
        selected: Option<u32>,
    ) -> Vec<u8> {
        let measures = Measures::new(request.clean_ratio(), request.contrast);
        let place = Placed::new(request, &measures);
        let palette = palette(request.scheme);
        self.canvas.begin(place.frame, &measures);
        let name = (
            request.z,
            request.x,
            request.y,
            place.frame.width * measures.fine,
            measures.margin,
        );
        let kept = self.lays.take(name);
        let known = kept.is_some();
        let lay = kept.unwrap_or_else(|| {
            let mut lay = std::mem::take(&mut self.scratch);
            self.lay(&mut lay, outlines, index, &place);
            lay
        });
        let mut chosen = None;
        let mut dashed = Vec::new();
        let mut specks = Vec::new();
        self.sizes.clear();
        let mut before = None;
        // In the order in which they lie in memory. Where two lie on one another the smaller is seen, and of two of the
        // same size the later.
        for (laid, polygons) in lay.stands() {
            let Laid { stand, shift, .. } = laid;
            let Some(&paint) = paints.get(stand as usize) else {
                continue;
            };
            let value = match before {
                Some((same, value)) if same == stand => value,
                _ => {
                    self.sizes.push(outlines.size(stand));
                    let show = Show::new(paint, place.side_of(outlines, stand));
                    self.canvas.add(show, palette)
                }
            };
            before = Some((stand, value));
            let sizes = &self.sizes;
            let size = sizes[value as usize - 1];
            let yields = |other: u32| size.total_cmp(&sizes[other as usize - 1]).is_le();
            let mut any = false;
            for crossings in polygons {
                any |= self.canvas.grid.fill(crossings, value, yields);
            }
            if !any {
                let [west, north, east, south] = place.box_of(outlines, stand);
                if east - west <= FINE && south - north <= FINE {
                    specks.push((size, value, [(west + east) / 2 + shift, (north + south) / 2]));
                }
            }
            if self.canvas.look(value).wide {
                dashed.push((stand, value, shift));
            }
            if selected == Some(stand) {
                chosen = Some(value);
            }
        }
        if known {
            self.lays.put(name, lay, self.ahead);
        } else {
            if self.lays.fits(&lay) {
                // A copy takes as much memory as it needs and no more.
                self.lays.put(name, lay.clone(), self.ahead);
            }
            self.scratch = lay;
        }
        specks.sort_by(|one, other| other.0.total_cmp(&one.0));
        for (_, value, middle) in specks {
            self.canvas.grid.claim(middle, value);
        }
        for (stand, value, shift) in dashed {
            for ring in outlines.polygons(stand).flatten() {
                self.ring.clear();
                self.ring.extend(ring.chunks_exact(2).map(|position| {
                    let [x, y] = place.fine(position[0], position[1]);
                    [x + shift, y]
                }));
                self.canvas.dash(value, &self.ring, &measures);
            }
        }
        self.canvas.finish(place.frame, &measures, chosen, palette)
    }

    /// Finds where stands lie on the grid.
    fn lay(&self, lay: &mut Lay, outlines: &Outlines, index: &Index, place: &Placed) {
        lay.clear();
        let grid = &self.canvas.grid;
        let (width, height) = (grid.width as i64 * FINE, grid.height as i64 * FINE);
        for stand in index.in_box(place.around()) {
            let [west, north, east, south] = place.box_of(outlines, stand);
            for turn in [-1, 0, 1] {
                let shift = turn * place.world;
                if east + shift < 0 || west + shift >= width || south < 0 || north >= height {
                    continue;
                }
                for rings in outlines.polygons(stand) {
                    for ring in rings {
                        place_edges(grid, lay, ring, place, shift);
                    }
                    lay.end_polygon();
                }
                lay.end_stand(stand, shift);
            }
        }
    }
}

/// Puts the edges of a ring on the grid.
#[inline]
fn place_edges(grid: &Grid, lay: &mut Lay, ring: &[i32], place: &Placed, shift: i64) {
    let Some(&[lng, lat]) = ring.last_chunk::<2>() else {
        return;
    };
    let east = |lng: i32| place.steps.east(lng) - place.west + shift;
    let south = |lat: i32| place.steps.south(lat) - place.north;
    let (mut from_lng, mut from_y) = (lng, south(lat));
    let mut from_row = grid.row(from_y);
    for position in ring.chunks_exact(2) {
        let y = south(position[1]);
        let row = grid.row(y);
        // Seen from far, most edges cross no row: then it does not matter where along the row they lie.
        if row != from_row {
            grid.edge([east(from_lng), from_y], [east(position[0]), y], lay);
        }
        (from_lng, from_y, from_row) = (position[0], y, row);
    }
}

/// Where a tile lies: the way from positions to fine steps of its grid.
struct Placed {
    frame: Frame,
    /// Fine steps around the world.
    world: i64,
    steps: Steps,
    /// The grid's corner, in fine steps from the world's.
    west: i64,
    north: i64,
    /// The grid's side in fine steps.
    span: i64,
    /// CSS pixels around the world.
    css: f64,
}

impl Placed {
    fn new(request: &TileRequest, measures: &Measures) -> Self {
        let side = request.side();
        let tiles = 1_i64 << request.z.min(24);
        let samples = (side * measures.fine) as i64;
        let frame = Frame {
            width: side,
            height: side,
            west: i64::from(request.x) * samples,
            north: i64::from(request.y) * samples,
        };
        let margin = measures.margin as i64;
        Self {
            frame,
            world: tiles * samples * FINE,
            steps: Steps::new(tiles * samples * FINE),
            west: (frame.west - margin) * FINE,
            north: (frame.north - margin) * FINE,
            span: (samples + 2 * margin) * FINE,
            css: tiles as f64 * side as f64 / measures.ratio,
        }
    }

    /// A position in fine steps from the grid's corner. The rounding is done from the world's corner, so that it does
    /// not depend on the tile.
    #[inline]
    fn fine(&self, lng: i32, lat: i32) -> [i64; 2] {
        let [x, y] = self.steps.at(lng, lat);
        [x - self.west, y - self.north]
    }

    /// The box of the grid in degrees.
    fn around(&self) -> LngLatBox {
        let corner = |x: i64, y: i64| {
            from_world(World {
                x: x as f64 / self.world as f64,
                y: y as f64 / self.world as f64,
            })
        };
        let north_west = corner(self.west, self.north);
        let south_east = corner(self.west + self.span, self.north + self.span);
        LngLatBox {
            west: north_west.lng,
            south: south_east.lat,
            east: south_east.lng,
            north: north_west.lat,
        }
    }

    /// The box of a stand in fine steps: west, north, east, south.
    fn box_of(&self, outlines: &Outlines, stand: u32) -> [i64; 4] {
        let around = outlines.unit_box(stand);
        let [west, north] = self.fine(around.west, around.north);
        let [east, south] = self.fine(around.east, around.south);
        [west, north, east, south]
    }

    /// The side, in CSS pixels, of a square as large as the stand.
    fn side_of(&self, outlines: &Outlines, stand: u32) -> f64 {
        let around = outlines.unit_box(stand);
        let middle = (f64::from(around.south) + f64::from(around.north)) / 2.0 / UNITS_PER_DEGREE;
        // Mercator stretches along the meridian as much as along the parallel.
        let stretch = 1.0 / libm::cos(middle.to_radians()).max(0.01);
        let round = 360.0 * UNITS_PER_DEGREE;
        (outlines.size(stand).max(0.0) / 2.0 * stretch).sqrt() / round * self.css
    }
}
