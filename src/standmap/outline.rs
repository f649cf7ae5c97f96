//! From the geometry of a feature to the polygons of a stand. In goes a geometry as it stands in the file, out come
//! repaired polygons in degrees, or none and a finding why. Where its positions lie is left to `placing`.

use super::facts::{Desk, nearest};
use super::finding::{Oddity, Severity};
use super::placing::Placing;
use super::shape::{Geometry, Shape};
use super::unreadable::Unreadable;
use crate::geometry::Flaw;
use crate::geometry::repair::{Repaired, repair_rings};
use crate::units::Hectares;

/// The types of RFC 7946, section 1.4.
const TYPES: [&str; 7] = [
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
];
/// One stand has at most so many positions and rings; a larger outline is a mistake, or no stand.
pub(crate) const POSITIONS_AT_MOST: usize = 200_000;
const RINGS_AT_MOST: usize = 2_000;
/// A repair that changes the area by more than this part is told.
const CHANGED: f64 = 0.01;
/// Outlines below so many square metres, or so many metres wide on average, are slivers (common practice).
const SMALLEST: f64 = 1.0;
const NARROWEST: f64 = 0.5;
/// No grid on Earth has coordinates beyond this, in metres or feet.
const FARTHEST: f64 = 1e9;

/// Whether a type is one of GeoJSON's geometries.
pub(crate) fn is_type(kind: &str) -> bool {
    TYPES.contains(&kind)
}

/// What a feature's geometry makes of it.
#[derive(Debug)]
pub(crate) enum Outlined {
    /// A stand with these polygons; none where there is no usable outline.
    Stand(Repaired),
    /// Not a stand: it has points or lines only.
    NoStand(&'static str),
}

/// The outlines of one map.
#[derive(Debug, Default)]
pub(crate) struct OutlineReader {
    /// Where its positions lie.
    pub(crate) placing: Placing,
}

impl OutlineReader {
    /// The polygons of one feature.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the map is seen to be in another grid than it should be.
    pub(crate) fn read(
        &mut self,
        geometry: Option<Geometry>,
        desk: &mut Desk<'_>,
    ) -> Result<Outlined, Unreadable> {
        let Some(geometry) = geometry else {
            desk.tell(no_outline(
                "no-outline",
                Severity::Note,
                "`geometry` is missing or null",
                "",
            ));
            return Ok(Outlined::Stand(Repaired::default()));
        };
        let mut shape = Shape::default();
        if let Err(kind) = gather(geometry, &mut shape, desk) {
            return Ok(kind.map_or(Outlined::Stand(Repaired::default()), Outlined::NoStand));
        }
        if shape.polygon_ends().is_empty() {
            desk.tell(no_outline(
                "no-outline",
                Severity::Warning,
                "the outline has no positions",
                "",
            ));
            return Ok(Outlined::Stand(Repaired::default()));
        }
        let (rings, positions) = (shape.rings(), shape.positions.len());
        if rings > RINGS_AT_MOST || positions > POSITIONS_AT_MOST {
            tell_too_large(positions, rings, desk);
            return Ok(Outlined::Stand(Repaired::default()));
        }
        if !self.placing.place(&mut shape.positions, desk)? {
            return Ok(Outlined::Stand(Repaired::default()));
        }
        let repaired = repair_rings(&shape.positions, shape.ring_ends(), shape.polygon_ends());
        for flaw in repaired.flaws() {
            tell_flaw(*flaw, desk);
        }
        if repaired.is_empty() {
            desk.tell(no_outline(
                "no-outline",
                Severity::Warning,
                "nothing of the outline can be used",
                "",
            ));
        } else {
            tell_size(&repaired, desk);
        }
        Ok(Outlined::Stand(repaired))
    }
}

pub(crate) fn no_outline<'a>(
    code: &'static str,
    severity: Severity,
    found: &'a str,
    advice: &'a str,
) -> Oddity<'a> {
    Oddity {
        code,
        severity,
        property: None,
        found,
        done: "the stand stays in the list without an outline",
        advice,
        apart: "",
    }
}

/// Takes the polygons of a geometry; `Err` where it has none, with the type if that makes it no stand.
fn gather(geometry: Geometry, into: &mut Shape, desk: &mut Desk<'_>) -> Result<(), Option<&'static str>> {
    let kind = geometry.kind.as_deref().unwrap_or_default();
    let Some(&kind) = TYPES.iter().find(|known| **known == kind) else {
        let found = if let Some(flaw) = &geometry.shape.flaw {
            flaw.clone()
        } else if kind.is_empty() {
            "the geometry has no `type`".to_owned()
        } else {
            format!("the geometry's type is `{kind}`")
        };
        let advice = match nearest(TYPES, kind) {
            Some(near) => format!("Did the map mean `{near}`? Capitals matter"),
            None => "Expected `Polygon` or `MultiPolygon`".to_owned(),
        };
        desk.tell(no_outline("bad-type", Severity::Error, &found, &advice));
        return Err(None);
    };
    let height = match kind {
        "Polygon" => 3,
        "MultiPolygon" => 4,
        "GeometryCollection" => {
            let mut lost = false;
            for member in geometry.members {
                match gather(member, into, desk) {
                    Err(Some(kind)) => desk.tell(Oddity {
                        code: "wrong-geometry",
                        severity: Severity::Warning,
                        property: None,
                        found: &format!("a {kind} in a GeometryCollection"),
                        done: "left out of the outline",
                        advice: "A stand's outline is made of polygons",
                        apart: kind,
                    }),
                    Err(None) => lost = true,
                    Ok(()) => {}
                }
            }
            return match (into.polygon_ends().is_empty(), lost) {
                (false, _) => Ok(()),
                (true, true) => Err(None),
                (true, false) => Err(Some("GeometryCollection without polygons")),
            };
        }
        other => return Err(Some(other)),
    };
    let shape = geometry.shape;
    let flaw = match &shape.flaw {
        Some(flaw) => Some(flaw.clone()),
        None if shape.height != 0 && shape.height != height => Some(format!(
            "the coordinates are nested {} deep, a {kind}'s are nested {height} deep",
            shape.height
        )),
        None => {
            let beyond = shape
                .positions
                .iter()
                .flatten()
                .find(|number| number.is_nan() || number.abs() > FARTHEST);
            beyond.map(|number| format!("the number {number:e} among the coordinates"))
        }
    };
    if let Some(flaw) = flaw {
        desk.tell(no_outline(
            "bad-coordinates",
            Severity::Error,
            &flaw,
            "Write the outline again from its source",
        ));
        return Err(None);
    }
    if shape.beyond > 0 {
        tell_too_large(shape.positions.len() + shape.beyond, shape.rings(), desk);
        return Err(None);
    }
    into.take_in(shape);
    Ok(())
}

fn tell_too_large(positions: usize, rings: usize, desk: &mut Desk<'_>) {
    let found = format!(
        "an outline of {positions} positions in {rings} rings, expected at most {POSITIONS_AT_MOST} in \
         {RINGS_AT_MOST}"
    );
    desk.tell(no_outline(
        "outline-too-large",
        Severity::Error,
        &found,
        "Simplify or split it",
    ));
}

/// Tells where a repair changed the area, and where the outline is too small or narrow to be a stand.
fn tell_size(repaired: &Repaired, desk: &mut Desk<'_>) {
    let hectares = |area: Option<Hectares>| area.map_or(0.0, Hectares::get);
    let (before, after) = (hectares(repaired.area_as_written()), hectares(repaired.area()));
    if (after - before).abs() > CHANGED * before.max(after) {
        desk.tell(Oddity {
            code: "area-changed",
            severity: Severity::Warning,
            property: None,
            found: &format!(
                "the rings as written add up to {before:.2} ha, the repaired outline to {after:.2} ha"
            ),
            done: "the repaired outline counts",
            advice: "Compare it with its source",
            apart: "",
        });
    }
    let square_metres = after * 10_000.0;
    let Some(width) = repaired.mean_width() else {
        return;
    };
    if square_metres < SMALLEST || width < NARROWEST {
        desk.tell(Oddity {
            code: "sliver",
            severity: Severity::Note,
            property: None,
            found: &format!(
                "the stand has {square_metres:.1} square metres and is {width:.2} m wide on average"
            ),
            done: "kept",
            advice: "Dissolve slivers into their neighbours in the source",
            apart: "",
        });
    }
}

fn tell_flaw(flaw: Flaw, desk: &mut Desk<'_>) {
    let severity = match flaw {
        // Met in most maps, and nothing is lost by it.
        Flaw::DuplicateVertices(_) => return,
        Flaw::CrossesAntimeridian => Severity::Note,
        Flaw::ShellLost | Flaw::AroundGlobe | Flaw::Tangled => Severity::Error,
        _ => Severity::Warning,
    };
    let advice = match flaw {
        Flaw::UnclosedRing => "A ring ends at the position it began with",
        Flaw::TooFewPoints => "A ring has four or more positions, the last the same as the first",
        Flaw::SelfCrossing | Flaw::Spikes(_) | Flaw::Tangled => "Clean the outline in the source",
        _ => "",
    };
    desk.tell(Oddity {
        code: flaw.code(),
        severity,
        property: None,
        found: &flaw.found(),
        done: flaw.done(),
        advice,
        apart: "",
    });
}
