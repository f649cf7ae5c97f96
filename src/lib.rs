//! Hostwood shades a public stand map by fungal fruiting potential and sets the region's rules beside it.
//!
//! ```text
//! stand map bytes ─┐
//! crosswalk ───────┴─> standmap ──> stands ─┐
//! knowledge tables ────────> potential ─────┤
//! day, place ─────> season ─────────────────┼──> assessment ──┬─> shading ──> tile pixels
//! rule book bytes ─> rules ─────────────────┘                 ├─> sheet ────> a tree of what is said
//!                                                             └─> export ───> GeoJSON
//! ```
//!
//! One direction, no way back. Biology does not know law, law does not know biology; they first meet in
//! `assessment`. The core does no input or output and reads no clock: the day is an argument. After reading, nothing
//! fails: not known is a value.

pub mod assessment;
pub mod boundary;
pub mod day;
pub mod export;
pub mod geometry;
pub mod knowledge;
pub mod names;
mod order;
pub mod pile;
pub mod potential;
pub mod rules;
pub mod season;
pub mod shading;
pub mod sheet;
pub mod stand;
pub mod standmap;
pub mod units;
pub mod visit;
pub mod weather;

#[cfg(target_arch = "wasm32")]
pub mod wasm;
