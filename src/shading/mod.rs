//! From assessment to pixels: palette, legend, tiles.
