//! From the geometry of a feature to the polygons of a stand. In goes a geometry as it stands in the file, out come
//! repaired polygons, or none and a finding why. Longitudes and latitudes are told from other grids here.

use super::facts::{Desk, nearest};
use super::finding::{Oddity, Severity};
use super::shape::Geometry;
use super::unreadable::Unreadable;
use crate::geometry::repair::repair;
use crate::geometry::{Flaw, Polygons};

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
const POSITIONS_AT_MOST: usize = 200_000;
const RINGS_AT_MOST: usize = 2_000;
/// After so many outlines off the globe and none on it, the map is in another grid.
const OFF_GLOBE_AT_FIRST: usize = 8;
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
    Stand(Polygons),
    /// Not a stand: it has points or lines only.
    NoStand(&'static str),
}

/// How positions are read, decided by the first outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Axes {
    #[default]
    Open,
    AsGiven,
    Swapped,
}

/// The outlines of one map.
#[derive(Debug, Default)]
pub(crate) struct OutlineReader {
    axes: Axes,
    on_globe: usize,
    off_globe: usize,
    first_off_globe: Option<[f64; 2]>,
}

impl OutlineReader {
    /// The polygons of one feature.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the map is seen to be in another grid than longitude and latitude.
    pub(crate) fn read(
        &mut self,
        geometry: Option<&Geometry>,
        desk: &mut Desk<'_>,
    ) -> Result<Outlined, Unreadable> {
        let Some(geometry) = geometry else {
            desk.tell(no_outline(
                "no-outline",
                Severity::Note,
                "`geometry` is missing or null",
                "",
            ));
            return Ok(Outlined::Stand(Polygons::new()));
        };
        let mut polygons = Polygons::new();
        if let Err(kind) = gather(geometry, &mut polygons, desk) {
            return Ok(kind.map_or(Outlined::Stand(Polygons::new()), Outlined::NoStand));
        }
        if polygons.is_empty() {
            desk.tell(no_outline(
                "no-outline",
                Severity::Warning,
                "the outline has no positions",
                "",
            ));
            return Ok(Outlined::Stand(polygons));
        }
        let rings: usize = polygons.iter().map(Vec::len).sum();
        let positions: usize = polygons.iter().flatten().map(Vec::len).sum();
        if rings > RINGS_AT_MOST || positions > POSITIONS_AT_MOST {
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
            return Ok(Outlined::Stand(Polygons::new()));
        }
        if !self.set_axes(&mut polygons, desk)? {
            return Ok(Outlined::Stand(Polygons::new()));
        }
        let repaired = repair(polygons);
        for flaw in &repaired.flaws {
            tell_flaw(*flaw, desk);
        }
        if repaired.polygons.is_empty() {
            desk.tell(no_outline(
                "no-outline",
                Severity::Warning,
                "nothing of the outline can be used",
                "",
            ));
        }
        Ok(Outlined::Stand(repaired.polygons))
    }

    /// Ends the map.
    ///
    /// # Errors
    /// [`Unreadable`] where more outlines lie off the globe than on it.
    pub(crate) fn finish(&self) -> Result<(), Unreadable> {
        if self.off_globe > self.on_globe {
            Err(self.other_grid())
        } else {
            Ok(())
        }
    }

    /// Whether axes were found swapped.
    pub(crate) fn is_swapped(&self) -> bool {
        self.axes == Axes::Swapped
    }

    /// Puts longitude first; false where the outline lies off the globe.
    fn set_axes(&mut self, polygons: &mut Polygons, desk: &mut Desk<'_>) -> Result<bool, Unreadable> {
        let all = |fits: fn([f64; 2]) -> bool| polygons.iter().flatten().flatten().all(|&at| fits(at));
        let as_given = all(|[lng, lat]| lng.abs() <= 180.0 && lat.abs() <= 90.0);
        let if_swapped = all(|[lat, lng]| lng.abs() <= 180.0 && lat.abs() <= 90.0);
        let certain = all(|[_, lat]| lat.abs() > 90.0);
        if self.axes == Axes::Open {
            self.axes = match (as_given, if_swapped && certain) {
                (true, _) => Axes::AsGiven,
                (_, true) => Axes::Swapped,
                _ => Axes::Open,
            };
        }
        match self.axes {
            Axes::AsGiven if as_given => self.on_globe += 1,
            Axes::Swapped if if_swapped => {
                self.on_globe += 1;
                for position in polygons.iter_mut().flatten().flatten() {
                    position.swap(0, 1);
                }
            }
            _ => {
                let fits = |at: [f64; 2]| at[0].abs() <= 180.0 && at[1].abs() <= 90.0;
                let off = polygons.iter().flatten().flatten().copied().find(|&at| !fits(at));
                let off = off.unwrap_or_default();
                self.first_off_globe.get_or_insert(off);
                self.off_globe += 1;
                if self.on_globe == 0 && self.off_globe >= OFF_GLOBE_AT_FIRST {
                    return Err(self.other_grid());
                }
                let found = format!("the position [{}, {}] is not on the globe", off[0], off[1]);
                let advice =
                    "Positions are degrees: longitude from -180 to 180, then latitude from -90 to 90";
                desk.tell(no_outline("off-globe", Severity::Error, &found, advice));
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn other_grid(&self) -> Unreadable {
        let [x, y] = self.first_off_globe.unwrap_or_default();
        Unreadable::new(
            "not-lonlat",
            format!(
                "the coordinates are not degrees: the first is [{x}, {y}], expected longitude from -180 to 180 and \
                 latitude from -90 to 90"
            ),
            format!(
                "Export the map again in longitude and latitude (WGS 84, EPSG:4326), as GeoJSON asks; {}",
                if x.abs().max(y.abs()) > 180.0 {
                    "these look like metres of a national grid"
                } else {
                    "latitude may stand before longitude here"
                }
            ),
        )
    }
}

fn no_outline<'a>(code: &'static str, severity: Severity, found: &'a str, advice: &'a str) -> Oddity<'a> {
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
fn gather(
    geometry: &Geometry,
    polygons: &mut Polygons,
    desk: &mut Desk<'_>,
) -> Result<(), Option<&'static str>> {
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
            for member in &geometry.members {
                match gather(member, polygons, desk) {
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
            return match (polygons.is_empty(), lost) {
                (false, _) => Ok(()),
                (true, true) => Err(None),
                (true, false) => Err(Some("GeometryCollection without polygons")),
            };
        }
        other => return Err(Some(other)),
    };
    let shape = &geometry.shape;
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
    polygons.extend(shape.polygons());
    Ok(())
}

fn tell_flaw(flaw: Flaw, desk: &mut Desk<'_>) {
    let severity = match flaw {
        // Met in most maps, and nothing is lost by it.
        Flaw::DuplicateVertices(_) => return,
        Flaw::CrossesAntimeridian => Severity::Note,
        Flaw::ShellLost | Flaw::AroundGlobe => Severity::Error,
        _ => Severity::Warning,
    };
    let advice = match flaw {
        Flaw::UnclosedRing => "A ring ends at the position it began with",
        Flaw::TooFewPoints => "A ring has four or more positions, the last the same as the first",
        Flaw::SelfCrossing => "Clean the outline in the source",
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
