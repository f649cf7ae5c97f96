//! Web Mercator, the square that map tiles cut the world into. In go degrees, out come places in the world square and
//! back, and the box of a tile. Which pixels are painted there is left to `shading`.
//!
//! The world square runs from 0 to 1 eastwards and southwards; at zoom `z` and tiles of `size` pixels it is
//! `size * 2^z` pixels wide. Formulas: EPSG Guidance Note 7-2, Popular Visualisation Pseudo-Mercator (EPSG 1024).

use std::sync::LazyLock;

use super::latitude::{Latitude, RADIANS};
use super::position::{LngLat, LngLatBox, ROUND};

/// The latitude where the world square ends, in degrees: atan(sinh(pi)).
pub const NORTH_END: f64 = 85.051_128_779_806_59;

/// A place in the world square: 0 to 1 from west to east and from north to south. Beyond the antimeridian, x goes on
/// past 1.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "the names say it")]
pub struct World {
    pub x: f64,
    pub y: f64,
}

/// The place of a position in the world square.
pub fn to_world(position: LngLat) -> World {
    World {
        x: position.lng / 360.0 + 0.5,
        y: mercator(position.lat * RADIANS).0,
    }
}

/// The position at a place of the world square.
pub fn from_world(world: World) -> LngLat {
    let stretched = (0.5 - world.y) * std::f64::consts::TAU;
    LngLat {
        lng: (world.x - 0.5) * 360.0,
        lat: libm::atan(libm::sinh(stretched)) / RADIANS,
    }
}

/// The place of a position in pixels from the north-west corner of the world, at a zoom (which need not be whole) and
/// for tiles of `size` pixels.
pub fn to_pixels(position: LngLat, zoom: f64, size: f64) -> [f64; 2] {
    let world = to_world(position);
    let width = size * libm::exp2(zoom);
    [world.x * width, world.y * width]
}

/// The position at a pixel; the other way round of [`to_pixels`].
pub fn from_pixels(pixel: [f64; 2], zoom: f64, size: f64) -> LngLat {
    let width = size * libm::exp2(zoom);
    from_world(World {
        x: pixel[0] / width,
        y: pixel[1] / width,
    })
}

/// The box of a tile in degrees. Tiles count from the north-west corner, as is common practice for tiled maps.
pub fn tile_bounds(z: u8, x: u32, y: u32) -> LngLatBox {
    let tiles = libm::exp2(f64::from(z));
    let corner = |x: f64, y: f64| {
        from_world(World {
            x: x / tiles,
            y: y / tiles,
        })
    };
    let north_west = corner(f64::from(x), f64::from(y));
    let south_east = corner(f64::from(x) + 1.0, f64::from(y) + 1.0);
    LngLatBox {
        west: north_west.lng,
        south: south_east.lat,
        east: south_east.lng,
        north: north_west.lat,
    }
}

/// Metres on the ground that one pixel spans at a latitude (degrees), zoom and tile size: the equator of WGS 84 shared
/// out over the pixels, shrunk by the latitude.
pub fn metres_a_pixel(latitude: f64, zoom: f64, size: f64) -> f64 {
    std::f64::consts::TAU * 6_378_137.0 * libm::cos(latitude * RADIANS) / (size * libm::exp2(zoom))
}

/// The way from positions in units to whole steps of a world that is so many steps wide: the same on every machine.
pub(crate) struct Steps {
    table: &'static Latitude,
    a_unit: f64,
    half: f64,
    world: f64,
}

impl Steps {
    /// For a world of this many steps, below 2^50.
    pub(crate) fn new(world: i64) -> Self {
        static TABLE: LazyLock<Latitude> = LazyLock::new(|| Latitude::new(mercator));
        let world = world as f64;
        Self {
            table: &TABLE,
            a_unit: world / ROUND as f64,
            half: world / 2.0,
            world,
        }
    }

    /// The steps from the world's north-west corner, to the nearest whole one.
    #[inline]
    pub(crate) fn at(&self, lng: i32, lat: i32) -> [i64; 2] {
        [self.east(lng), self.south(lat)]
    }

    /// The steps eastward from the world's western side.
    #[inline]
    pub(crate) fn east(&self, lng: i32) -> i64 {
        nearest(f64::from(lng) * self.a_unit + self.half)
    }

    /// The steps southward from the world's northern side.
    #[inline]
    pub(crate) fn south(&self, lat: i32) -> i64 {
        nearest(self.table.at(lat) * self.world)
    }
}

/// The nearest whole number, ties to even, of a number below 2^51: adding this makes a double drop its fraction and
/// leaves the whole number in its low bits, which costs less than asking for it.
#[inline]
fn nearest(value: f64) -> i64 {
    const DROP: f64 = 6_755_399_441_055_744.0;
    (value + DROP).to_bits() as i64 - DROP.to_bits() as i64
}

/// Southward place in the world square, and its slope, at a latitude in radians. The last degree before a pole is
/// taken as flat: it lies far outside the square.
fn mercator(latitude: f64) -> (f64, f64) {
    let latitude = latitude.clamp(-89.0 * RADIANS, 89.0 * RADIANS);
    let value = 0.5 - libm::asinh(libm::tan(latitude)) / std::f64::consts::TAU;
    (value, -1.0 / (std::f64::consts::TAU * libm::cos(latitude)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::position::units;

    fn near(found: f64, expected: f64, within: f64) {
        assert!((found - expected).abs() <= within, "{found}, expected {expected}");
    }

    #[test]
    fn agrees_with_the_worked_example_of_epsg_guidance_note_7_2() {
        // Popular Visualisation Pseudo-Mercator (EPSG method 1024), worked example: 24°22'54.433"N, 100°20'00.000"W is
        // E -11 169 055.58 m, N 2 800 000.00 m (from memory, checked here against the formula).
        let place = LngLat {
            lng: -(100.0 + 20.0 / 60.0),
            lat: 24.0 + 22.0 / 60.0 + 54.433 / 3600.0,
        };
        let around = std::f64::consts::TAU * 6_378_137.0;
        let world = to_world(place);
        near((world.x - 0.5) * around, -11_169_055.58, 0.01);
        near((0.5 - world.y) * around, 2_800_000.00, 0.01);
    }

    #[test]
    fn the_table_follows_the_formula() {
        for lat in [-85.0, -66.6, -12.345_678_9, 0.0, 0.000_000_1, 47.25, 65.0, 84.9] {
            let exact = to_world(LngLat { lng: 13.5, lat });
            let world = 1_i64 << 45;
            let [x, y] = Steps::new(world)
                .at(units(13.5), units(lat))
                .map(|steps| steps as f64 / world as f64);
            near(x, exact.x, 1e-13);
            near(y, exact.y, if lat.abs() < 70.0 { 1e-11 } else { 1e-9 });
        }
    }

    #[test]
    fn goes_there_and_back() {
        for (lng, lat) in [(0.0, 0.0), (179.5, -84.0), (-120.25, 49.5), (26.0, 65.0)] {
            let pixel = to_pixels(LngLat { lng, lat }, 13.5, 256.0);
            let back = from_pixels(pixel, 13.5, 256.0);
            near(back.lng, lng, 1e-10);
            near(back.lat, lat, 1e-10);
        }
    }

    #[test]
    fn tiles_halve_the_world() {
        let world = tile_bounds(0, 0, 0);
        near(world.north, NORTH_END, 1e-12);
        near(world.south, -NORTH_END, 1e-12);
        assert_eq!((world.west, world.east), (-180.0, 180.0));
        let south_east = tile_bounds(1, 1, 1);
        near(south_east.west, 0.0, 1e-12);
        near(south_east.north, 0.0, 1e-12);
    }

    #[test]
    fn a_pixel_spans_the_known_ground() {
        // Common practice: 156 543.03 m a pixel at the equator, zoom 0, tiles of 256.
        near(metres_a_pixel(0.0, 0.0, 256.0), 156_543.033_93, 1e-4);
        near(
            metres_a_pixel(60.0, 10.0, 256.0),
            156_543.033_93 / 1024.0 / 2.0,
            1e-4,
        );
    }
}
