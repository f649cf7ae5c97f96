//! From outlines and one paint a stand to pixels. In go outlines, a fill and marks for each stand, and which tile is
//! wanted; out come the tile's pixels and the legend's swatches. What a step or a mark means is left to `potential`,
//! `rules` and `assessment`; here nobody knows a species or a law.
//!
//! How it draws: a tile is a fine grid of samples, several to a pixel. Each sample is given to the stand that holds its
//! middle, and to one only, so stands that share a border leave no gap and never overlap. Borders, marks and the
//! selection are read off that grid, patterns hang on the world and not on the tile, and pixels are the mean of their
//! samples. Positions are rounded to whole steps counted from the world's corner, and what follows is drawn in whole
//! numbers, so a tile is the same on every machine and fits its neighbours.

mod canvas;
mod grid;
mod lay;
mod legend;
mod line;
mod look;
mod paint;
mod paints;
mod palette;
mod pattern;
mod plane;
mod tile;

pub use legend::{KEYS, Swatch, legend};
pub use paint::{Fill, Marks, Paint};
pub use paints::paints;
pub use palette::{Contrast, Scheme};
pub use tile::{Painter, TileRequest, tile};
