//! Repair of outlines as they come from the wild. In go polygons in degrees, finite; out come polygons that can be
//! measured and drawn, with their area and what was found wrong. Wording and counting of the flaws is left to
//! `standmap`.
//!
//! The first ring of a polygon is taken as its shell, whatever way it runs; the way is set right without a word
//! (RFC 7946, 3.1.6: shells counter-clockwise, holes clockwise). All work is done on whole ten-millionths of a degree.

mod flaw;
mod spike;

pub use flaw::Flaw;

use spike::cut_spikes;

use super::area::{mean_width, ring_area};
use super::crossing::{Crossing, crossing};
use super::filled::filled_area;
use super::inside::is_inside;
use super::outlines::{Outlines, twice_area};
use super::position::{Polygons, ROUND, degrees, units};
use crate::units::Hectares;

/// Polygons that can be measured and drawn, and what was wrong with them. Only [`repair`] makes one, so its area is
/// that of its polygons, and the search for crossings need not be made again.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Repaired {
    /// Rings in units, open, shells counter-clockwise, holes clockwise.
    parts: Vec<Vec<Worked>>,
    flaws: Vec<Flaw>,
    /// Area in square metres, and what the rings as they were written would add up to.
    area: f64,
    area_as_written: f64,
}

impl Repaired {
    /// The polygons in degrees, rings closed, shells counter-clockwise, holes clockwise. Empty where nothing usable
    /// was left.
    pub fn polygons(&self) -> Polygons {
        let closed = |ring: &Worked| {
            let ring = &ring.ring;
            ring.iter()
                .chain(ring.first())
                .map(|position| position.map(degrees))
                .collect()
        };
        self.parts
            .iter()
            .map(|rings| rings.iter().map(closed).collect())
            .collect()
    }

    /// What was wrong, in the order of the polygons.
    pub fn flaws(&self) -> &[Flaw] {
        &self.flaws
    }

    /// Whether nothing usable was left.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    /// How many positions are left, the first of each ring counted again at its end, as GeoJSON writes them.
    pub fn positions(&self) -> usize {
        self.parts.iter().flatten().map(|ring| ring.ring.len() + 1).sum()
    }

    /// Area on the WGS 84 ellipsoid; of a border that crosses itself, what is filled by the even-odd rule.
    pub fn area(&self) -> Option<Hectares> {
        Hectares::new(self.area.max(0.0) / 10_000.0).ok()
    }

    /// What the rings as they were written would add up to: shells less their holes, whatever is wrong with them.
    pub fn area_as_written(&self) -> Option<Hectares> {
        Hectares::new(self.area_as_written.max(0.0) / 10_000.0).ok()
    }

    /// How wide the outline is on average, in metres: twice its area over the length of its border. Only asked of
    /// outlines below a tenth of a hectare; `None` of larger ones.
    pub fn mean_width(&self) -> Option<f64> {
        (self.area < 1000.0).then(|| mean_width(self.area, self.rings()))
    }

    /// The rings, polygon by polygon: longitude and latitude by turns, in units, open.
    fn rings(&self) -> impl Iterator<Item = &[i32]> {
        self.parts.iter().flatten().map(|ring| ring.ring.as_flattened())
    }

    /// The polygons with their rings in units, and with twice the signed area of each ring on the plane.
    pub(super) fn parts(&self) -> impl Iterator<Item = impl Iterator<Item = (&[i32], i128)>> {
        self.parts.iter().map(|rings| {
            rings
                .iter()
                .map(|ring| (ring.ring.as_flattened(), ring.twice_area))
        })
    }

    /// Area in square metres.
    pub(super) fn square_metres(&self) -> f64 {
        self.area
    }
}

/// To place the holes of a polygon, at most about so many edges of its shell are looked at.
const LOOKS_AT_MOST: usize = 10_000_000;

/// A ring on its way through the repair: positions in units, open.
#[derive(Debug, Clone, PartialEq)]
struct Worked {
    ring: Vec<[i32; 2]>,
    /// Twice its area on the plane, positive where it runs counter-clockwise.
    twice_area: i128,
}

/// Repairs the polygons of one stand. Positions must be finite.
pub fn repair(polygons: &Polygons) -> Repaired {
    let (mut positions, mut ring_ends, mut polygon_ends) = (Vec::new(), Vec::new(), Vec::new());
    for rings in polygons {
        for ring in rings {
            positions.extend_from_slice(ring);
            ring_ends.push(positions.len());
        }
        polygon_ends.push(ring_ends.len());
    }
    repair_rings(&positions, &ring_ends, &polygon_ends)
}

/// Repairs the polygons of one stand, given as positions one after the other, where each ring ends among the positions,
/// and where each polygon ends among the rings. Positions must be finite.
pub fn repair_rings(positions: &[[f64; 2]], ring_ends: &[usize], polygon_ends: &[usize]) -> Repaired {
    let mut repaired = Repaired::default();
    let ring = |ring: usize| {
        let start = if ring == 0 { 0 } else { ring_ends[ring - 1] };
        &positions[start..ring_ends[ring]]
    };
    let mut first = 0;
    for &end in polygon_ends {
        let flaws = &mut repaired.flaws;
        let mut rings = (std::mem::replace(&mut first, end)..end).map(ring);
        let Some(shell) = rings.next().and_then(|ring| work(ring, flaws)) else {
            flaws.push(Flaw::ShellLost);
            continue;
        };
        let mut kept = vec![shell];
        let mut promoted = Vec::new();
        let mut same = 0.0;
        let holes = rings.len();
        for hole in rings {
            let Some(mut hole) = work(hole, flaws) else {
                continue;
            };
            hole.bring_beside(&kept[0]);
            match hole.place_in(&kept[0], LOOKS_AT_MOST / holes) {
                Place::Inside => kept.push(hole),
                Place::Same => {
                    flaws.push(Flaw::HoleIsShell);
                    same += hole.square_metres();
                }
                Place::Outside if crossing(&[hole.ring.as_flattened()]) == Crossing::Tangled => {
                    flaws.push(Flaw::Tangled);
                }
                Place::Outside => {
                    flaws.push(Flaw::HoleOutside);
                    promoted.push(hole);
                }
            }
        }
        let mut areas = kept.iter().map(Worked::square_metres);
        let plain = areas.next().unwrap_or(0.0) - areas.sum::<f64>();
        let beside: f64 = promoted.iter().map(Worked::square_metres).sum();
        let all: Vec<&[i32]> = kept.iter().map(|ring| ring.ring.as_flattened()).collect();
        let filled = match crossing(&all) {
            Crossing::None => plain,
            Crossing::Tangled => {
                flaws.push(Flaw::Tangled);
                continue;
            }
            Crossing::Found => {
                flaws.push(Flaw::SelfCrossing);
                filled_area(&all)
            }
            Crossing::NotChecked => {
                flaws.push(Flaw::CrossingNotChecked);
                plain
            }
        };
        repaired.area += filled.max(0.0) + beside;
        repaired.area_as_written += (plain - beside - same).max(0.0);
        repaired.parts.push(kept);
        repaired.parts.extend(promoted.into_iter().map(|hole| vec![hole]));
    }
    join_at_antimeridian(&mut repaired.parts);
    for (place, ring) in repaired
        .parts
        .iter_mut()
        .flat_map(|rings| rings.iter_mut().enumerate())
    {
        // A crossing border may have as much on its left as on its right: then there is no way to set right.
        if ring.twice_area.signum() == if place == 0 { -1 } else { 1 } {
            ring.ring.reverse();
            ring.twice_area = -ring.twice_area;
        }
    }
    repaired
}

/// Takes a ring through every flaw that concerns it alone; `None` where it must be left out.
fn work(written: &[[f64; 2]], flaws: &mut Vec<Flaw>) -> Option<Worked> {
    let mut ring: Vec<[i32; 2]> = written.iter().map(|position| position.map(units)).collect();
    match (ring.first(), ring.last()) {
        (Some(first), Some(last)) if ring.len() > 1 && first == last => {
            ring.pop();
        }
        (Some(_), Some(_)) => flaws.push(Flaw::UnclosedRing),
        _ => {
            flaws.push(Flaw::TooFewPoints);
            return None;
        }
    }
    let before = ring.len();
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    if before > ring.len() {
        flaws.push(Flaw::DuplicateVertices(before - ring.len()));
    }
    if ring.len() < 3 {
        flaws.push(Flaw::TooFewPoints);
        return None;
    }
    match unwrap(&mut ring) {
        Unwrapped::Untouched => {}
        Unwrapped::AcrossAntimeridian => flaws.push(Flaw::CrossesAntimeridian),
        Unwrapped::AroundGlobe => {
            flaws.push(Flaw::AroundGlobe);
            return None;
        }
    }
    let spikes = cut_spikes(&mut ring);
    let twice_area = twice_area(ring.as_flattened());
    let crosses = || {
        let crossing = crossing(&[ring.as_flattened()]);
        matches!(crossing, Crossing::Found | Crossing::Tangled)
    };
    if ring.len() < 3 || twice_area == 0 && !crosses() {
        flaws.push(Flaw::ZeroArea);
        return None;
    }
    if spikes > 0 {
        flaws.push(Flaw::Spikes(spikes));
    }
    Some(Worked { ring, twice_area })
}

enum Unwrapped {
    Untouched,
    AcrossAntimeridian,
    AroundGlobe,
}

/// Lets a ring that jumps from one side of the globe to the other go on past the antimeridian, and starts it at a
/// longitude of the globe.
fn unwrap(ring: &mut [[i32; 2]]) -> Unwrapped {
    let mut from = i64::from(ring[0][0]);
    let (mut west, mut east) = (from, from);
    let mut jumps = false;
    for position in ring.iter() {
        let lng = i64::from(position[0]);
        jumps |= (lng - from).abs() > ROUND / 2;
        from = lng;
        west = west.min(lng);
        east = east.max(lng);
    }
    let closing = i64::from(ring[0][0]) - from;
    if !jumps
        && closing.abs() <= ROUND / 2
        && east - west <= ROUND / 2
        && (-ROUND / 2..ROUND / 2).contains(&west)
    {
        return Unwrapped::Untouched;
    }
    let mut turn = 0;
    let mut from = i64::from(ring[0][0]);
    let turned: Vec<i64> = ring
        .iter()
        .map(|position| {
            let lng = i64::from(position[0]);
            let step = lng - from;
            from = lng;
            if step.abs() > ROUND / 2 {
                turn -= (step as f64 / ROUND as f64).round() as i64 * ROUND;
            }
            lng + turn
        })
        .collect();
    let (west, east) = turned.iter().fold((i64::MAX, i64::MIN), |(west, east), &lng| {
        (west.min(lng), east.max(lng))
    });
    let closing = turned[0] - turned[turned.len() - 1];
    if closing.abs() > ROUND / 2 || east - west > ROUND / 2 {
        return Unwrapped::AroundGlobe;
    }
    let home = (west + ROUND / 2).div_euclid(ROUND) * ROUND;
    for (position, lng) in ring.iter_mut().zip(turned) {
        position[0] = kept(lng - home);
    }
    if jumps {
        Unwrapped::AcrossAntimeridian
    } else {
        Unwrapped::Untouched
    }
}

/// A longitude that can be kept (to about 214.7 degrees).
fn kept(lng: i64) -> i32 {
    lng.clamp(i64::from(i32::MIN), i64::from(i32::MAX)) as i32
}

enum Place {
    Inside,
    Outside,
    Same,
}

impl Worked {
    fn square_metres(&self) -> f64 {
        ring_area(self.ring.as_flattened()).abs()
    }

    /// Moves a hole a turn around the globe if that brings it to its shell.
    fn bring_beside(&mut self, shell: &Worked) {
        let apart = i64::from(self.ring[0][0]) - i64::from(shell.ring[0][0]);
        let turns = (apart as f64 / ROUND as f64).round() as i64;
        if turns != 0 {
            self.turn(-ROUND * turns);
        }
    }

    fn turn(&mut self, by: i64) {
        for position in &mut self.ring {
            position[0] = kept(i64::from(position[0]) + by);
        }
    }

    /// Where a hole lies, seen from its shell. One that lies partly in it counts as inside. At about so many edges the
    /// shell is looked at: of a long hole around a long shell, some positions stand for all.
    fn place_in(&self, shell: &Worked, looks: usize) -> Place {
        let step = (self.ring.len() * shell.ring.len()).div_ceil(looks.max(1)).max(1);
        let around = shell.ring.as_flattened();
        let lies_in = |[lng, lat]: [i32; 2]| is_inside(around, lng, lat);
        let on_shell = |position: [i32; 2]| on_border(around, position);
        for &position in self.ring.iter().step_by(step) {
            if lies_in(position) && !on_shell(position) {
                return Place::Inside;
            }
        }
        let (size, shell_size) = (self.twice_area.abs(), shell.twice_area.abs());
        if size == shell_size && self.ring.iter().step_by(step).all(|&position| on_shell(position)) {
            return Place::Same;
        }
        // No position of the hole lies properly in the shell; it may still be cut out from border to border.
        let mut alone = Outlines::new();
        let stand = alone.push(&[vec![
            self.ring.iter().map(|position| position.map(degrees)).collect(),
        ]]);
        match alone.inside_point(stand) {
            Some(inside) if size < shell_size && lies_in([units(inside.lng), units(inside.lat)]) => {
                Place::Inside
            }
            _ => Place::Outside,
        }
    }
}

/// Whether a position lies exactly on a ring.
fn on_border(ring: &[i32], [lng, lat]: [i32; 2]) -> bool {
    let Some(&[mut from_lng, mut from_lat]) = ring.last_chunk::<2>() else {
        return false;
    };
    ring.chunks_exact(2).any(|position| {
        let (start_lng, start_lat) = (from_lng, from_lat);
        (from_lng, from_lat) = (position[0], position[1]);
        let within = |value: i32, one: i32, other: i32| value >= one.min(other) && value <= one.max(other);
        within(lng, start_lng, from_lng)
            && within(lat, start_lat, from_lat)
            && (i128::from(from_lng) - i128::from(start_lng)) * (i128::from(lat) - i128::from(start_lat))
                == (i128::from(from_lat) - i128::from(start_lat)) * (i128::from(lng) - i128::from(start_lng))
    })
}

/// Parts that were cut at the antimeridian (RFC 7946, 3.1.9) lie on both sides of the globe: those in the west are
/// moved a turn on, where that brings all parts closer together.
fn join_at_antimeridian(polygons: &mut [Vec<Worked>]) {
    if polygons.len() < 2 {
        return;
    }
    let width = |turn_west: i64| {
        let (mut west, mut east) = (i64::MAX, i64::MIN);
        for position in polygons
            .iter()
            .flat_map(|rings| rings.first())
            .flat_map(|shell| &shell.ring)
        {
            let lng = i64::from(position[0]);
            let lng = if lng < 0 { lng + turn_west } else { lng };
            west = west.min(lng);
            east = east.max(lng);
        }
        east - west
    };
    if width(0) <= ROUND / 2 || width(ROUND) >= width(0) {
        return;
    }
    for rings in polygons.iter_mut() {
        if rings
            .first()
            .is_some_and(|shell| shell.ring.iter().all(|position| position[0] <= 0))
        {
            rings.iter_mut().for_each(|ring| ring.turn(ROUND));
        }
    }
}

#[cfg(test)]
mod tests;
