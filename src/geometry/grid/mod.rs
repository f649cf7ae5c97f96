//! Grids other than longitude and latitude: in go the numbers of a national grid, out come degrees on WGS 84, with how
//! good they are. What a map says its grid is, and what is done where it says nothing, is left to `standmap`.
//!
//! This is the one door to all of it. Trigonometry is that of `libm`, so that the same numbers come out everywhere.

use crate::order;
mod ellipsoid;
mod plane;
mod systems;

use ellipsoid::Ellipsoid;
use plane::{Drawn, Plane};
use systems::System;

use super::position::LngLatBox;

/// Radians in a degree.
const RADIANS: f64 = std::f64::consts::PI / 180.0;

/// Numbers outside a grid's area of use by up to so many degrees are still its own: maps run over borders, and zones
/// are used beyond their edges.
const BEYOND: f64 = 3.5;

/// One grid, ready to read positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    system: System,
    drawn: Drawn,
}

impl Grid {
    /// The grid with this EPSG code, unless it is none of those that can be read.
    ///
    /// ```
    /// use hostwood::geometry::grid::Grid;
    ///
    /// // IOGP 373-7-2, the example of the equal-area azimuthal projection.
    /// let europe = Grid::of_code(3035).expect("a grid");
    /// let [lng, lat] = europe.degrees([3_962_799.45, 2_999_718.85]).expect("a position");
    /// assert!((lng - 5.0).abs() < 1e-7 && (lat - 50.0).abs() < 1e-7);
    /// ```
    pub fn of_code(code: u32) -> Option<Grid> {
        let system = systems::by_code(code)?;
        let drawn = Drawn::new(system.plane, system.datum.ellipsoid);
        Some(Grid { system, drawn })
    }

    /// The codes of all grids that can be read.
    pub fn codes() -> impl Iterator<Item = u32> {
        systems::codes()
    }

    /// Its EPSG code.
    pub fn code(&self) -> u32 {
        self.system.code
    }

    /// Its name in the EPSG dataset.
    pub fn name(&self) -> &str {
        &self.system.name
    }

    /// How far converted positions may be off, in metres: what the shift between the datums is good for.
    pub fn metres_off(&self) -> f64 {
        self.system.datum.metres
    }

    /// Whether its numbers are degrees already.
    pub fn is_degrees(&self) -> bool {
        self.system.plane == Plane::Degrees
    }

    /// Whether its datum is taken as WGS 84, so that degrees need no conversion.
    pub fn is_unshifted(&self) -> bool {
        self.system.datum.shift.is_none()
    }

    /// Where it is used, in whole degrees; east beyond 180 where it crosses the antimeridian.
    pub fn area(&self) -> LngLatBox {
        let [west, south, east, north] = self.system.area;
        LngLatBox {
            west,
            south,
            east,
            north,
        }
    }

    /// Degrees east and north on WGS 84 of a position of the grid (easting first); `None` where the numbers lie
    /// beyond anything the grid can be used for.
    pub fn degrees(&self, [east, north]: [f64; 2]) -> Option<[f64; 2]> {
        let [false_east, false_north] = self.system.origin;
        let ellipsoid: Ellipsoid = self.system.datum.ellipsoid;
        let from_origin = [
            east * self.system.unit - false_east,
            north * self.system.unit - false_north,
        ];
        let [lng, lat] = self
            .system
            .datum
            .to_wgs_84(self.drawn.leave(ellipsoid, from_origin))
            .map(|radians| radians / RADIANS);
        (lng.is_finite() && lat.is_finite() && self.holds([lng, lat])).then_some([lng, lat])
    }

    /// Whether a position lies in the area of use or near it.
    fn holds(&self, [lng, lat]: [f64; 2]) -> bool {
        let area = self.area();
        let lies = |lng: f64| lng >= area.west - BEYOND && lng <= area.east + BEYOND;
        lat >= area.south - BEYOND
            && lat <= area.north + BEYOND
            && (lies(lng) || lies(lng + 360.0) || lies(lng - 360.0))
    }

    /// The grids that this position may be written in, the most local first, State Plane zones last: those in whose area of use it falls, and
    /// in the region where one is given. With each, whether northing stands before easting. Zones of UTM are among
    /// them only where a region tells one from the other.
    pub fn likely(position: [f64; 2], region: Option<LngLatBox>) -> Vec<(Grid, bool)> {
        let [first, second] = position;
        let mut found: Vec<(f64, Grid, bool)> = Vec::new();
        for code in systems::codes() {
            let Some(grid) = Grid::of_code(code).filter(|grid| !grid.is_degrees()) else {
                continue;
            };
            let area = grid.area();
            let within = |[lng, lat]: [f64; 2], around: LngLatBox| {
                lng >= around.west && lng <= around.east && lat >= around.south && lat <= around.north
            };
            let fits = |position: [f64; 2]| {
                grid.degrees(position)
                    .is_some_and(|at| within(at, area) && region.is_none_or(|region| within(at, region)))
            };
            let zoned =
                grid.system.name.contains(" zone ") && grid.system.area[3] - grid.system.area[1] > 30.0;
            if zoned && region.is_none() {
                continue;
            }
            let size = (area.east - area.west) * (area.north - area.south);
            if fits([first, second]) {
                found.push((size, grid, false));
            } else if fits([second, first]) {
                found.push((size, grid, true));
            }
        }
        order::by(&mut found, |one, other| {
            one.2
                .cmp(&other.2)
                .then(systems::is_state_plane(one.1.code()).cmp(&systems::is_state_plane(other.1.code())))
                .then(one.0.total_cmp(&other.0))
                .then(one.1.code().cmp(&other.1.code()))
        });
        found
            .into_iter()
            .map(|(_, grid, swapped)| (grid, swapped))
            .collect()
    }
}
