//! Outlines on the globe: rings in flat arrays, area in hectares, repair, and the spatial index. In go positions in
//! degrees (WGS 84, longitude first, as RFC 7946 has them); what the outlines mean is left to others.

mod area;
mod crossing;
mod filled;
pub mod grid;
mod index;
mod inside;
mod latitude;
mod outlines;
mod overlap;
mod position;
pub mod projection;
pub mod repair;
mod runs;

pub use crossing::{Crossing, crossing_of_edges};
pub use filled::{Edge, Shared, shared};
pub use index::Index;
pub use outlines::Outlines;
pub use overlap::Overlaps;
pub use position::{LngLat, LngLatBox, Polygons, Ring, UNITS_PER_DEGREE};
pub use repair::{Flaw, Repaired, repair};
