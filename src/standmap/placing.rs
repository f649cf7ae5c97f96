//! Where the positions of a map lie. In go positions as they stand in the file, with what the map or its crosswalk says
//! of them, out come positions in degrees, longitude first, or a finding or refusal that says what they may be instead.
//! How a grid becomes degrees is left to `geometry`.
//!
//! Nothing is guessed: the two numbers of a position are exchanged only where they can mean nothing otherwise, or where
//! the region decides, and both are told.

use super::facts::Desk;
use super::finding::{Oddity, Severity};
use super::outline::no_outline;
use super::unreadable::Unreadable;
use crate::geometry::LngLatBox;
use crate::geometry::grid::Grid;

/// After so many outlines off the globe or grid and none on it, the map is in another grid.
const OFF_AT_FIRST: usize = 8;
/// At most so many grids are named where a map names none.
const GRIDS_NAMED: usize = 8;

/// In which order the two numbers of a position are read, decided by the first outline that decides it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Order {
    #[default]
    Open,
    AsGiven,
    Swapped(Because),
}

/// Why the two numbers of a position were exchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Because {
    /// All latitudes lie beyond 90.
    BeyondPoles,
    /// As given, positions lie outside the area of the grid.
    OffGrid,
    /// As given, positions lie outside the region of the crosswalk, and inside it otherwise.
    OutsideRegion,
}

/// How the positions of one map are placed.
#[derive(Debug, Default)]
pub(crate) struct Placing {
    /// The grid of the positions; none where they are degrees on WGS 84.
    grid: Option<Box<Grid>>,
    /// The box that the map should lie in.
    region: Option<LngLatBox>,
    order: Order,
    placed: usize,
    off: usize,
    first_off: Option<[f64; 2]>,
    /// Whether positions of a grid lie in its area in either order, and nothing decides which is meant.
    either_way: bool,
    /// Whether it does not matter where the map lies: outlines off the globe are left out without a word.
    anywhere: bool,
}

impl Placing {
    /// Takes positions to be of this grid from now on.
    pub(crate) fn set_grid(&mut self, grid: Option<Box<Grid>>) {
        self.grid = grid;
    }

    /// The grid of the positions; none where they are degrees on WGS 84.
    pub(crate) fn grid(&self) -> Option<&Grid> {
        self.grid.as_deref()
    }

    /// Expects positions in this box (west, south, east, north; west beyond east where it crosses the antimeridian).
    pub(crate) fn set_region(&mut self, region: Option<[f64; 4]>) {
        self.region = region.map(|[west, south, east, north]| LngLatBox {
            west,
            south,
            east: if east < west { east + 360.0 } else { east },
            north,
        });
    }

    /// Takes the map wherever it lies, for somebody who asks only what its properties are.
    pub(crate) fn set_anywhere(&mut self) {
        self.anywhere = true;
    }

    /// Ends the map.
    ///
    /// # Errors
    /// [`Unreadable`] where more outlines lie off the globe or grid than on it.
    pub(crate) fn finish(&self) -> Result<(), Unreadable> {
        if self.off > self.placed && !self.anywhere {
            Err(self.other_grid())
        } else {
            Ok(())
        }
    }

    /// Why the two numbers of positions were exchanged, if they were.
    pub(crate) fn swapped(&self) -> Option<Because> {
        match self.order {
            Order::Swapped(because) => Some(because),
            Order::Open | Order::AsGiven => None,
        }
    }

    /// Whether easting was taken to stand first though positions lie in the grid's area in either order.
    pub(crate) fn is_either_way(&self) -> bool {
        self.either_way
    }

    /// Turns the positions of an outline into degrees, longitude first; false where it lies off the globe or grid.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the map is seen to be in another grid than it should be.
    pub(crate) fn place(
        &mut self,
        positions: &mut [[f64; 2]],
        desk: &mut Desk<'_>,
    ) -> Result<bool, Unreadable> {
        if self.order == Order::Open {
            self.order = self.judge(positions);
            self.either_way = self.grid.is_some()
                && self.region.is_none()
                && self.order == Order::AsGiven
                && self.all_degrees(positions, true).is_some();
        }
        let swapped = matches!(self.order, Order::Swapped(_));
        let turned = |[first, second]: [f64; 2]| if swapped { [second, first] } else { [first, second] };
        let mut off = None;
        let converts = self.grid.is_some();
        for position in &mut *positions {
            match self.degrees(turned(*position)) {
                Some(degrees) if converts || swapped => *position = degrees,
                Some(_) => {}
                None => {
                    off = Some(*position);
                    break;
                }
            }
        }
        if let Some(off) = off {
            if self.anywhere {
                return Ok(false);
            }
            self.first_off.get_or_insert(off);
            self.off += 1;
            if self.placed == 0 && self.off >= OFF_AT_FIRST {
                return Err(self.other_grid());
            }
            let (code, found, advice) = match &self.grid {
                None => (
                    "off-globe",
                    format!("the position [{}, {}] is not on the globe", off[0], off[1]),
                    "Positions are degrees: longitude from -180 to 180, then latitude from -90 to 90"
                        .to_owned(),
                ),
                Some(grid) => (
                    "off-grid",
                    format!(
                        "the position [{}, {}] is not in the area of EPSG:{}, {}",
                        off[0],
                        off[1],
                        grid.code(),
                        grid.name()
                    ),
                    format!("It is used from {}", area_in_words(grid.area())),
                ),
            };
            desk.tell(no_outline(code, Severity::Error, &found, &advice));
            return Ok(false);
        }
        self.placed += 1;
        if let Some(region) = self.region
            && !touches(positions, region)
        {
            desk.tell(Oddity {
                code: "outside-region",
                severity: Severity::Warning,
                property: None,
                found: &format!(
                    "the stand lies outside the region of the crosswalk, {}",
                    area_in_words(region)
                ),
                done: "kept where it lies",
                advice: "Check the reference system of the map, or widen `region`",
                apart: "",
            });
        }
        Ok(true)
    }

    /// Degrees of a position, if it lies on the globe or grid.
    fn degrees(&self, position: [f64; 2]) -> Option<[f64; 2]> {
        match &self.grid {
            Some(grid) => grid.degrees(position),
            None => (position[0].abs() <= 180.0 && position[1].abs() <= 90.0).then_some(position),
        }
    }

    /// All positions in degrees, as given or swapped; `None` where one lies off the globe or grid.
    fn all_degrees(&self, positions: &[[f64; 2]], swapped: bool) -> Option<Vec<[f64; 2]>> {
        let degrees = |&[first, second]: &[f64; 2]| {
            self.degrees(if swapped { [second, first] } else { [first, second] })
        };
        positions.iter().map(degrees).collect()
    }

    /// In which order this outline says that numbers stand.
    fn judge(&self, positions: &[[f64; 2]]) -> Order {
        let Some(as_given) = self.all_degrees(positions, false) else {
            let none_fits = || {
                let mut positions = positions.iter();
                positions.all(|&position| self.degrees(position).is_none())
            };
            return match self.all_degrees(positions, true) {
                Some(_) if none_fits() => Order::Swapped(match self.grid {
                    Some(_) => Because::OffGrid,
                    None => Because::BeyondPoles,
                }),
                _ => Order::Open,
            };
        };
        match self.region {
            None => Order::AsGiven,
            Some(region) if touches(&as_given, region) => Order::AsGiven,
            Some(region) => match self.all_degrees(positions, true) {
                Some(swapped) if touches(&swapped, region) => Order::Swapped(Because::OutsideRegion),
                _ => Order::Open,
            },
        }
    }

    /// The map is in another grid than it says, or says none.
    fn other_grid(&self) -> Unreadable {
        let [x, y] = self.first_off.unwrap_or_default();
        let are_degrees = x.abs().max(y.abs()) <= 180.0;
        let likely = if are_degrees {
            String::new()
        } else {
            self.likely([x, y])
        };
        match &self.grid {
            None => Unreadable::new(
                "not-lonlat",
                format!(
                    "the coordinates are not degrees: the first is [{x}, {y}], expected longitude from -180 to 180 \
                     and latitude from -90 to 90"
                ),
                if are_degrees {
                    "Export the map again in longitude and latitude (WGS 84, EPSG:4326), as GeoJSON asks; latitude \
                     may stand before longitude here"
                        .to_owned()
                } else {
                    format!(
                        "Export the map again in longitude and latitude (WGS 84, EPSG:4326), as GeoJSON asks, or name \
                         its grid in a crosswalk by its code, as `\"crs\": \"EPSG:25832\"` does; {likely}"
                    )
                },
            ),
            Some(grid) => Unreadable::new(
                "not-in-grid",
                format!(
                    "the map is said to be in EPSG:{} ({}), which is used from {}, but its first position is \
                     [{x}, {y}]",
                    grid.code(),
                    grid.name(),
                    area_in_words(grid.area())
                ),
                if are_degrees {
                    "These look like degrees: leave `crs` out, or write `EPSG:4326`".to_owned()
                } else {
                    format!("Name the grid that the numbers are in; {likely}")
                },
            ),
        }
    }

    /// Which grids a position may be written in, in words.
    fn likely(&self, position: [f64; 2]) -> String {
        let likely = Grid::likely(position, self.region);
        let mut named: Vec<String> = likely
            .iter()
            .take(GRIDS_NAMED)
            .map(|(grid, swapped)| {
                let order = if *swapped { ", northing first" } else { "" };
                format!("EPSG:{} ({}{order})", grid.code(), grid.name())
            })
            .collect();
        if self.region.is_none() {
            named.push("a zone of UTM".to_owned());
        }
        if named.is_empty() {
            return "no grid that can be converted puts them in the region of the crosswalk".to_owned();
        }
        format!("the numbers would fit {}", named.join(", "))
    }
}

/// Whether any of the positions lies in a box, or within a hundredth of a degree of it.
fn touches(positions: &[[f64; 2]], around: LngLatBox) -> bool {
    const NEAR: f64 = 0.01;
    positions.iter().any(|&[lng, lat]| {
        let lies = |lng: f64| lng >= around.west - NEAR && lng <= around.east + NEAR;
        lat >= around.south - NEAR && lat <= around.north + NEAR && (lies(lng) || lies(lng + 360.0))
    })
}

/// A box in words: `19 to 32 degrees east, 58 to 71 north`.
fn area_in_words(area: LngLatBox) -> String {
    format!(
        "longitude {} to {}, latitude {} to {}",
        area.west, area.east, area.south, area.north
    )
}
