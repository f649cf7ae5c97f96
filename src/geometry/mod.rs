//! Outlines on the globe: rings in flat arrays, area in hectares, repair, and the spatial index. In go positions in
//! degrees (WGS 84, longitude first, as RFC 7946 has them); what the outlines mean is left to others.

mod outlines;

pub use outlines::{LngLat, LngLatBox, Outlines};
