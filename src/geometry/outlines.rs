//! All outlines of a map in flat arrays. In go polygons in degrees, stand by stand; out come rings, boxes and
//! geometries of the `geo` crate. Whether an outline is sound is asked in `repair`, before it comes here.

use super::position::{LngLatBox, Ring, UnitBox, degrees, units};
use super::repair::Repaired;
use super::runs::Runs;
use crate::order;

/// All outlines of a stand map: stand n has polygons, a polygon has rings (the first is its shell), a ring has
/// positions. Rings are kept open: the last position is not the first.
#[derive(Debug, Clone, Default)]
pub struct Outlines {
    /// Longitude and latitude by turns, in units of 1e-7 degrees.
    positions: Runs,
    /// Where each ring ends, in positions.
    ring_ends: Vec<u32>,
    /// Where each polygon ends, in rings.
    polygon_ends: Vec<u32>,
    /// Where each stand ends, in polygons.
    stand_ends: Vec<u32>,
    /// The box around each stand.
    boxes: Vec<UnitBox>,
    /// How large each stand is on the plane of degrees: for putting the smaller one on top, and for nothing else.
    sizes: Vec<f64>,
    /// The area of each stand in square metres, where it was measured on the way in; NaN where it was not.
    measured: Vec<f64>,
}

impl Outlines {
    /// No outlines yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes the polygons of the next stand, in degrees, and gives the stand's place: 0 for the first. A stand without
    /// an outline is pushed as no polygons, so that places and stands stay in step. Rings may be open or closed;
    /// positions that fall together within a ten-millionth of a degree become one, and a ring that keeps fewer than
    /// three is left out (with its polygon, if it was the shell).
    pub fn push(&mut self, polygons: &[Vec<Ring>]) -> u32 {
        let mut around = UnitBox::EMPTY;
        for rings in polygons {
            let mut shell = true;
            for ring in rings {
                let kept = self.push_ring(ring);
                if shell && !kept {
                    break;
                }
                shell = false;
            }
            let ring_count = self.ring_ends.len() as u32;
            if self.polygon_ends.last().copied().unwrap_or(0) < ring_count {
                self.polygon_ends.push(ring_count);
            }
        }
        let first_polygon = self.stand_ends.last().copied().unwrap_or(0);
        self.stand_ends.push(self.polygon_ends.len() as u32);
        let stand = self.stand_ends.len() as u32 - 1;
        let mut size = 0.0;
        if first_polygon < self.polygon_ends.len() as u32 {
            for (place, ring) in self.polygons(stand).flat_map(|rings| rings.enumerate()) {
                let part = (twice_area(ring) as f64).abs();
                size += if place == 0 { part } else { -part };
                // What a hole cuts beyond its shell is filled by the even-odd rule.
                for position in ring.chunks_exact(2) {
                    around.take(position[0], position[1]);
                }
            }
        }
        self.boxes.push(around);
        self.sizes.push(size);
        self.measured.push(f64::NAN);
        stand
    }

    /// Takes the repaired polygons of the next stand, as [`Outlines::push`] does, with the area that was measured.
    pub fn push_repaired(&mut self, repaired: &Repaired) -> u32 {
        let mut around = UnitBox::EMPTY;
        let mut size = 0.0;
        for rings in repaired.parts() {
            for (place, (ring, twice_area)) in rings.enumerate() {
                self.positions.room_for(ring.len()).extend_from_slice(ring);
                self.ring_ends.push((self.positions.len() / 2) as u32);
                let part = (twice_area as f64).abs();
                size += if place == 0 { part } else { -part };
                for position in ring.chunks_exact(2) {
                    around.take(position[0], position[1]);
                }
            }
            self.polygon_ends.push(self.ring_ends.len() as u32);
        }
        self.stand_ends.push(self.polygon_ends.len() as u32);
        self.boxes.push(around);
        self.sizes.push(size);
        self.measured.push(repaired.square_metres());
        self.stand_ends.len() as u32 - 1
    }

    /// The stand's area in square metres, where it was measured on the way in.
    pub(super) fn measured(&self, stand: u32) -> Option<f64> {
        self.measured
            .get(stand as usize)
            .copied()
            .filter(|area| !area.is_nan())
    }

    fn push_ring(&mut self, ring: &Ring) -> bool {
        let numbers = self.positions.room_for(2 * ring.len());
        let start = numbers.len();
        for &[lng, lat] in ring {
            let (lng, lat) = (units(lng), units(lat));
            if numbers[start..].last_chunk::<2>() != Some(&[lng, lat]) {
                numbers.extend([lng, lat]);
            }
        }
        while numbers.len() > start + 2
            && numbers[start..].first_chunk::<2>() == numbers[start..].last_chunk::<2>()
        {
            numbers.truncate(numbers.len() - 2);
        }
        if numbers.len() < start + 6 {
            numbers.truncate(start);
            return false;
        }
        self.ring_ends.push((self.positions.len() / 2) as u32);
        true
    }

    /// How many stands were pushed, with or without an outline.
    #[expect(
        clippy::len_without_is_empty,
        reason = "what is asked is whether one stand is empty"
    )]
    pub fn len(&self) -> usize {
        self.stand_ends.len()
    }

    /// Whether the stand has no outline: it lies nowhere, and is found in the list only. A place that was never pushed
    /// is empty too.
    pub fn is_empty(&self, stand: u32) -> bool {
        self.unit_box(stand).is_empty()
    }

    /// How many positions all outlines have.
    pub fn vertex_count(&self) -> usize {
        self.positions.len() / 2
    }

    /// The stand's polygons; each gives its rings, shell first; each ring is longitude and latitude by turns, in units
    /// of 1e-7 degrees, open.
    pub fn polygons(&self, stand: u32) -> impl Iterator<Item = impl Iterator<Item = &[i32]> + '_> + '_ {
        span(&self.stand_ends, stand).map(move |polygon| {
            span(&self.polygon_ends, polygon).map(move |ring| {
                let positions = span(&self.ring_ends, ring);
                self.positions
                    .ring(positions.start as usize * 2..positions.end as usize * 2)
            })
        })
    }

    /// The stand's box in units; [`UnitBox::EMPTY`] where it has no outline.
    pub(crate) fn unit_box(&self, stand: u32) -> UnitBox {
        self.boxes.get(stand as usize).copied().unwrap_or(UnitBox::EMPTY)
    }

    /// The box around the stand in degrees.
    pub fn bounds(&self, stand: u32) -> Option<LngLatBox> {
        self.unit_box(stand).in_degrees()
    }

    /// The box around all stands in degrees. Where the map lies on both sides of the antimeridian, the box goes across
    /// it, with an east beyond 180, instead of around the globe.
    pub fn all_bounds(&self) -> Option<LngLatBox> {
        let mut plain: Option<LngLatBox> = None;
        let mut across: Option<LngLatBox> = None;
        for found in self.boxes.iter().filter_map(|around| around.in_degrees()) {
            let turn = if found.east < 0.0 { 360.0 } else { 0.0 };
            let turned = LngLatBox {
                west: found.west + turn,
                east: found.east + turn,
                ..found
            };
            plain = Some(plain.map_or(found, |all| join(all, found)));
            across = Some(across.map_or(turned, |all| join(all, turned)));
        }
        match (plain, across) {
            (Some(plain), Some(across)) if across.east - across.west < plain.east - plain.west => {
                Some(across)
            }
            _ => plain,
        }
    }

    /// How large the stand is on the plane of degrees: twice its area in square units.
    pub(crate) fn size(&self, stand: u32) -> f64 {
        self.sizes.get(stand as usize).copied().unwrap_or(0.0)
    }

    /// Sorts stands so that the smaller ones come later; of two of the same size, the later one.
    pub(crate) fn largest_first(&self, stands: &mut [u32]) {
        order::sort_places(stands, &|one, other| {
            self.size(other).total_cmp(&self.size(one)).then(one.cmp(&other))
        });
    }

    /// The stand's polygons in degrees, rings closed, for the predicates of the `geo` crate; empty where it has no
    /// outline.
    pub fn to_geo(&self, stand: u32) -> geo::MultiPolygon<f64> {
        self.polygons(stand)
            .map(|rings| {
                let mut rings = rings.map(|ring| {
                    ring.chunks_exact(2)
                        .map(|position| geo::Coord {
                            x: degrees(position[0]),
                            y: degrees(position[1]),
                        })
                        .collect::<geo::LineString<f64>>()
                });
                let shell = rings.next().unwrap_or_else(|| geo::LineString::new(Vec::new()));
                geo::Polygon::new(shell, rings.collect())
            })
            .collect()
    }
}

/// Twice the area of a ring on the plane, in square units; positive where it runs counter-clockwise.
pub(super) fn twice_area(ring: &[i32]) -> i128 {
    let Some(&[base_lng, base_lat]) = ring.last_chunk::<2>() else {
        return 0;
    };
    let (base_lng, base_lat) = (i64::from(base_lng), i64::from(base_lat));
    let from_base = || {
        ring.chunks_exact(2).map(|position| {
            (
                i64::from(position[0]) - base_lng,
                i64::from(position[1]) - base_lat,
            )
        })
    };
    let reach = from_base().fold(0, |reach, (lng, lat)| reach.max(lng.abs()).max(lat.abs()));
    let (mut from_lng, mut from_lat) = (0, 0);
    // Of a ring that is small enough, the sum fits in 64 bits.
    if reach < 1 << 22 && ring.len() < 1 << 18 {
        let mut sum = 0_i64;
        for (to_lng, to_lat) in from_base() {
            sum += from_lng * to_lat - to_lng * from_lat;
            (from_lng, from_lat) = (to_lng, to_lat);
        }
        return sum.into();
    }
    let mut sum = 0_i128;
    for (to_lng, to_lat) in from_base() {
        sum += i128::from(from_lng) * i128::from(to_lat) - i128::from(to_lng) * i128::from(from_lat);
        (from_lng, from_lat) = (to_lng, to_lat);
    }
    sum
}

fn span(ends: &[u32], place: u32) -> std::ops::Range<u32> {
    let place = place as usize;
    let Some(&end) = ends.get(place) else { return 0..0 };
    let start = if place == 0 { 0 } else { ends[place - 1] };
    start..end
}

fn join(one: LngLatBox, other: LngLatBox) -> LngLatBox {
    LngLatBox {
        west: one.west.min(other.west),
        south: one.south.min(other.south),
        east: one.east.max(other.east),
        north: one.north.max(other.north),
    }
}
