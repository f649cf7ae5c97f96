//! Day and place to a position in the season, and daylight. In go a day, a place and the season's numbers, out come
//! the month whose kinds fruit, how near the peak the day lies, the climate whose months count, sunrise and sunset;
//! what fruits then is left to `potential`.

mod climate;
mod daylight;
mod position;

pub use climate::{ClimateHere, climate_key, climate_of};
pub use daylight::{Daylight, daylight};
pub use position::{Course, Curve, SeasonPosition, Span, position};

/// Message keys of this room.
pub const KEYS: &[&str] = &[
    "climate.temperate",
    "climate.boreal",
    "climate.mediterranean",
    "climate.na_west",
    "climate.na_east",
];
