//! Repair of outlines as they come from the wild. In go polygons in degrees, finite; out come polygons that can be
//! measured and drawn, with what was found wrong. Wording and counting of the flaws is left to `standmap`.
//!
//! The first ring of a polygon is taken as its shell, whatever way it runs; the way is set right without a word
//! (RFC 7946, 3.1.6: shells counter-clockwise, holes clockwise).

use std::fmt;

use super::crossing::{Crossing, crossing};
use super::inside::is_inside;
use super::outlines::{Outlines, twice_area};
use super::position::{Polygons, Ring, units};

/// Polygons that can be measured and drawn, and what was wrong with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Repaired {
    /// The polygons, rings closed, shells counter-clockwise, holes clockwise. Empty where nothing usable was left.
    pub polygons: Polygons,
    /// What was wrong, in the order of the polygons.
    pub flaws: Vec<Flaw>,
}

/// Something wrong with an outline, and what was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Flaw {
    /// A ring's last position was not its first: it was closed.
    UnclosedRing,
    /// So many positions were the same as the one before (within a ten-millionth of a degree): they were left out.
    DuplicateVertices(usize),
    /// A ring had fewer than three different positions: it was left out.
    TooFewPoints,
    /// A ring had no area: it was left out.
    ZeroArea,
    /// The border crosses itself: it was kept, and is filled by the even-odd rule; the area is uncertain.
    SelfCrossing,
    /// The border is too long and winding to look for crossings: it was kept.
    CrossingNotChecked,
    /// A hole lay outside its shell: it became a polygon of its own.
    HoleOutside,
    /// A hole was the same as its shell: the hole was left out.
    HoleIsShell,
    /// A ring crossed the antimeridian by jumping from one side of the globe to the other: it now goes on past 180
    /// degrees.
    CrossesAntimeridian,
    /// A ring went around a pole, or half around the globe: it was left out.
    AroundGlobe,
    /// A polygon lost its shell to one of the other flaws: the whole polygon was left out.
    ShellLost,
}

impl Flaw {
    /// A stable code for the flaw.
    pub fn code(self) -> &'static str {
        match self {
            Flaw::UnclosedRing => "unclosed-ring",
            Flaw::DuplicateVertices(_) => "duplicate-vertices",
            Flaw::TooFewPoints => "too-few-points",
            Flaw::ZeroArea => "zero-area",
            Flaw::SelfCrossing => "self-crossing",
            Flaw::CrossingNotChecked => "crossing-not-checked",
            Flaw::HoleOutside => "hole-outside",
            Flaw::HoleIsShell => "hole-is-shell",
            Flaw::CrossesAntimeridian => "crosses-antimeridian",
            Flaw::AroundGlobe => "around-globe",
            Flaw::ShellLost => "shell-lost",
        }
    }

    /// What was found, in words.
    pub fn found(self) -> String {
        match self {
            Flaw::UnclosedRing => "the last position of a ring is not its first".into(),
            Flaw::DuplicateVertices(1) => "a position is the same as the one before".into(),
            Flaw::DuplicateVertices(n) => format!("{n} positions are the same as the one before"),
            Flaw::TooFewPoints => "a ring has fewer than three different positions".into(),
            Flaw::ZeroArea => "a ring has no area".into(),
            Flaw::SelfCrossing => "the border crosses itself".into(),
            Flaw::CrossingNotChecked => "the border is too long to look for crossings".into(),
            Flaw::HoleOutside => "a hole lies outside its outer ring".into(),
            Flaw::HoleIsShell => "a hole is the same as its outer ring".into(),
            Flaw::CrossesAntimeridian => "a ring crosses the 180th meridian".into(),
            Flaw::AroundGlobe => "a ring goes around a pole or half around the globe".into(),
            Flaw::ShellLost => "the outer ring of a polygon cannot be used".into(),
        }
    }

    /// What was done, in words.
    pub fn done(self) -> &'static str {
        match self {
            Flaw::UnclosedRing => "the ring was closed",
            Flaw::DuplicateVertices(_) => "the repeated positions were left out",
            Flaw::TooFewPoints | Flaw::ZeroArea | Flaw::AroundGlobe => "the ring was left out",
            Flaw::SelfCrossing => "the outline was kept; its area is uncertain",
            Flaw::CrossingNotChecked => "the outline was kept as it is",
            Flaw::HoleOutside => "it was kept as a part of its own",
            Flaw::HoleIsShell => "the hole was left out",
            Flaw::CrossesAntimeridian => "the ring was drawn on past 180 degrees",
            Flaw::ShellLost => "the polygon was left out",
        }
    }
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.found(), self.done())
    }
}

/// A ring on its way through the repair: positions in degrees and the same in units, open.
struct Worked {
    degrees: Ring,
    units: Vec<i32>,
}

/// Repairs the polygons of one stand. Positions must be finite.
pub fn repair(polygons: Polygons) -> Repaired {
    let mut flaws = Vec::new();
    let mut repaired: Vec<Vec<Worked>> = Vec::with_capacity(polygons.len());
    for rings in polygons {
        let mut rings = rings.into_iter();
        let Some(shell) = rings.next().and_then(|ring| work(ring, &mut flaws)) else {
            flaws.push(Flaw::ShellLost);
            continue;
        };
        let mut kept = vec![shell];
        let mut promoted = Vec::new();
        for hole in rings {
            let Some(mut hole) = work(hole, &mut flaws) else {
                continue;
            };
            hole.bring_beside(&kept[0]);
            match hole.place_in(&kept[0]) {
                Place::Inside => kept.push(hole),
                Place::Same => flaws.push(Flaw::HoleIsShell),
                Place::Outside => {
                    flaws.push(Flaw::HoleOutside);
                    promoted.push(vec![hole]);
                }
            }
        }
        let all: Vec<&[i32]> = kept.iter().map(|ring| ring.units.as_slice()).collect();
        match crossing(&all) {
            Crossing::Found => flaws.push(Flaw::SelfCrossing),
            Crossing::NotChecked => flaws.push(Flaw::CrossingNotChecked),
            Crossing::None => {}
        }
        repaired.push(kept);
        repaired.extend(promoted);
    }
    join_at_antimeridian(&mut repaired);
    let polygons = repaired.into_iter().map(finish).collect();
    Repaired { polygons, flaws }
}

/// Takes a ring through every flaw that concerns it alone; `None` where it must be left out.
fn work(mut ring: Ring, flaws: &mut Vec<Flaw>) -> Option<Worked> {
    let same = |one: [f64; 2], other: [f64; 2]| one.map(units) == other.map(units);
    match (ring.first().copied(), ring.last().copied()) {
        (Some(first), Some(last)) if ring.len() > 1 && same(first, last) => {
            ring.pop();
        }
        (Some(_), Some(_)) => flaws.push(Flaw::UnclosedRing),
        _ => {
            flaws.push(Flaw::TooFewPoints);
            return None;
        }
    }
    let before = ring.len();
    ring.dedup_by(|later, earlier| same(*later, *earlier));
    while ring.len() > 1 && same(ring[0], ring[ring.len() - 1]) {
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
    let units = in_units(&ring);
    if twice_area(&units) == 0 && crossing(&[&units]) != Crossing::Found {
        flaws.push(Flaw::ZeroArea);
        return None;
    }
    Some(Worked { degrees: ring, units })
}

enum Unwrapped {
    Untouched,
    AcrossAntimeridian,
    AroundGlobe,
}

/// Lets a ring that jumps from one side of the globe to the other go on past the antimeridian, and starts it at a
/// longitude of the globe.
fn unwrap(ring: &mut Ring) -> Unwrapped {
    let mut turn = 0.0;
    let mut found = Unwrapped::Untouched;
    let mut from = ring[0][0];
    for position in ring.iter_mut() {
        let step = position[0] - from;
        from = position[0];
        if step.abs() > 180.0 {
            turn -= (step / 360.0).round() * 360.0;
            found = Unwrapped::AcrossAntimeridian;
        }
        position[0] += turn;
    }
    let closing = ring[0][0] - ring[ring.len() - 1][0];
    let lngs = || ring.iter().map(|position| position[0]);
    let (west, east) = (
        lngs().fold(f64::INFINITY, f64::min),
        lngs().fold(f64::NEG_INFINITY, f64::max),
    );
    if closing.abs() > 180.0 || east - west > 180.0 {
        return Unwrapped::AroundGlobe;
    }
    let home = ((west + 180.0) / 360.0).floor() * 360.0;
    if home != 0.0 {
        ring.iter_mut().for_each(|position| position[0] -= home);
    }
    found
}

enum Place {
    Inside,
    Outside,
    Same,
}

impl Worked {
    /// Moves a hole a turn around the globe if that brings it to its shell.
    fn bring_beside(&mut self, shell: &Worked) {
        let turns = ((self.degrees[0][0] - shell.degrees[0][0]) / 360.0).round();
        if turns != 0.0 {
            self.turn(-360.0 * turns);
        }
    }

    fn turn(&mut self, by: f64) {
        self.degrees.iter_mut().for_each(|position| position[0] += by);
        self.units = in_units(&self.degrees);
    }

    /// Where a hole lies, seen from its shell. One that lies partly in it counts as inside.
    fn place_in(&self, shell: &Worked) -> Place {
        let lies_in = |[lng, lat]: [i32; 2]| is_inside(&shell.units, lng, lat);
        let on_shell = |position: [i32; 2]| on_border(&shell.units, position);
        for position in self
            .units
            .chunks_exact(2)
            .map(|position| [position[0], position[1]])
        {
            if lies_in(position) && !on_shell(position) {
                return Place::Inside;
            }
        }
        let (size, shell_size) = (twice_area(&self.units).abs(), twice_area(&shell.units).abs());
        if size == shell_size
            && self
                .units
                .chunks_exact(2)
                .all(|position| on_shell([position[0], position[1]]))
        {
            return Place::Same;
        }
        // No position of the hole lies properly in the shell; it may still be cut out from border to border.
        let mut alone = Outlines::new();
        let stand = alone.push(&[vec![self.degrees.clone()]]);
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
    let width = |turn_west: f64| {
        let (mut west, mut east) = (f64::INFINITY, f64::NEG_INFINITY);
        for position in polygons
            .iter()
            .flat_map(|rings| rings.first())
            .flat_map(|shell| &shell.degrees)
        {
            let lng = position[0];
            let lng = if lng < 0.0 { lng + turn_west } else { lng };
            west = west.min(lng);
            east = east.max(lng);
        }
        east - west
    };
    if width(0.0) <= 180.0 || width(360.0) >= width(0.0) {
        return;
    }
    for rings in polygons.iter_mut() {
        if rings
            .first()
            .is_some_and(|shell| shell.degrees.iter().all(|position| position[0] <= 0.0))
        {
            rings.iter_mut().for_each(|ring| ring.turn(360.0));
        }
    }
}

/// Sets the way of the rings right and closes them.
fn finish(rings: Vec<Worked>) -> Vec<Ring> {
    rings
        .into_iter()
        .enumerate()
        .map(|(place, Worked { mut degrees, units })| {
            // A crossing border may have as much on its left as on its right: then there is no way to set right.
            let way = twice_area(&units).signum();
            if way == if place == 0 { -1 } else { 1 } {
                degrees.reverse();
            }
            degrees.extend(degrees.first().copied());
            degrees
        })
        .collect()
}

fn in_units(ring: &Ring) -> Vec<i32> {
    ring.iter()
        .flat_map(|&[lng, lat]| [units(lng), units(lat)])
        .collect()
}

#[cfg(test)]
mod tests;
