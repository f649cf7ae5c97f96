//! From the geometry of a feature to the polygons of a stand. In goes a geometry as it stands in the file, out come
//! repaired polygons in degrees, or none and a finding why. Longitudes and latitudes are told from other grids here; how a
//! grid becomes degrees is left to `geometry`.

use super::facts::{Desk, nearest};
use super::finding::{Oddity, Severity};
use super::shape::Geometry;
use super::unreadable::Unreadable;
use crate::geometry::grid::Grid;
use crate::geometry::repair::{Repaired, repair};
use crate::geometry::{Flaw, LngLatBox, Polygons};
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
const POSITIONS_AT_MOST: usize = 200_000;
const RINGS_AT_MOST: usize = 2_000;
/// After so many outlines off the globe or grid and none on it, the map is in another grid.
const OFF_AT_FIRST: usize = 8;
/// At most so many grids are named where a map names none.
const GRIDS_NAMED: usize = 8;
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

/// The outlines of one map.
#[derive(Debug, Default)]
pub(crate) struct OutlineReader {
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
}

impl OutlineReader {
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

    /// The polygons of one feature.
    ///
    /// # Errors
    /// [`Unreadable`] as soon as the map is seen to be in another grid than it should be.
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
            return Ok(Outlined::Stand(Repaired::default()));
        };
        let mut polygons = Polygons::new();
        if let Err(kind) = gather(geometry, &mut polygons, desk) {
            return Ok(kind.map_or(Outlined::Stand(Repaired::default()), Outlined::NoStand));
        }
        if polygons.is_empty() {
            desk.tell(no_outline(
                "no-outline",
                Severity::Warning,
                "the outline has no positions",
                "",
            ));
            return Ok(Outlined::Stand(Repaired::default()));
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
            return Ok(Outlined::Stand(Repaired::default()));
        }
        if !self.place(&mut polygons, desk)? {
            return Ok(Outlined::Stand(Repaired::default()));
        }
        let repaired = repair(&polygons);
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

    /// Ends the map.
    ///
    /// # Errors
    /// [`Unreadable`] where more outlines lie off the globe or grid than on it.
    pub(crate) fn finish(&self) -> Result<(), Unreadable> {
        if self.off > self.placed {
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

    /// Turns positions into degrees, longitude first; false where the outline lies off the globe or grid.
    fn place(&mut self, polygons: &mut Polygons, desk: &mut Desk<'_>) -> Result<bool, Unreadable> {
        if self.order == Order::Open {
            self.order = self.judge(polygons);
            self.either_way = self.grid.is_some()
                && self.region.is_none()
                && self.order == Order::AsGiven
                && self.all_degrees(polygons, true).is_some();
        }
        let swapped = matches!(self.order, Order::Swapped(_));
        let turned = |[first, second]: [f64; 2]| if swapped { [second, first] } else { [first, second] };
        let mut off = None;
        let converts = self.grid.is_some();
        for position in polygons.iter_mut().flatten().flatten() {
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
            && !touches(polygons, region)
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
    fn all_degrees(&self, polygons: &Polygons, swapped: bool) -> Option<Polygons> {
        let degrees = |&[first, second]: &[f64; 2]| {
            self.degrees(if swapped { [second, first] } else { [first, second] })
        };
        let ring = |ring: &Vec<[f64; 2]>| ring.iter().map(degrees).collect::<Option<Vec<_>>>();
        let rings = |rings: &Vec<Vec<[f64; 2]>>| rings.iter().map(ring).collect::<Option<Vec<_>>>();
        polygons.iter().map(rings).collect()
    }

    /// In which order this outline says that numbers stand.
    fn judge(&self, polygons: &Polygons) -> Order {
        let Some(as_given) = self.all_degrees(polygons, false) else {
            let none_fits = || {
                let mut positions = polygons.iter().flatten().flatten();
                positions.all(|&position| self.degrees(position).is_none())
            };
            return match self.all_degrees(polygons, true) {
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
            Some(region) => match self.all_degrees(polygons, true) {
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

/// Whether any position of the polygons lies in a box, or within a hundredth of a degree of it.
fn touches(polygons: &Polygons, around: LngLatBox) -> bool {
    const NEAR: f64 = 0.01;
    polygons.iter().flatten().flatten().any(|&[lng, lat]| {
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
        Flaw::ShellLost | Flaw::AroundGlobe => Severity::Error,
        _ => Severity::Warning,
    };
    let advice = match flaw {
        Flaw::UnclosedRing => "A ring ends at the position it began with",
        Flaw::TooFewPoints => "A ring has four or more positions, the last the same as the first",
        Flaw::SelfCrossing | Flaw::Spikes(_) => "Clean the outline in the source",
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
