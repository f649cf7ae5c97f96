//! Outlines of stands for a satellite receiver: GPX 1.1 (Topografix 2004). In go a ground, stands and their descriptions
//! in the visitor's own words; out comes the file: a waypoint inside each stand, and its outline as tracks.
//!
//! Receivers often read no more than 500 points of a track (common practice). A longer ring is simplified by
//! Douglas and Peucker's way with the least tolerance, doubled from one metre, that makes it fit, and the track says
//! by how much; rings that would not fit into one track together go into a second one.

use std::fmt::Write as _;

use geo::{Coord, LineString, SimplifyIdx};

use crate::assessment::Ground;
use crate::geometry::LngLatBox;

/// The most points of one track.
const POINTS: usize = 500;
/// Metres to a degree of latitude, near enough for a tolerance (a meridian of WGS 84 is 20,004 km long).
const METRES_A_DEGREE: f64 = 111_133.0;

/// Words of the file, in the visitor's language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GpxWords<'a> {
    /// The file's own name.
    pub title: &'a str,
    /// What whoever reads it must know: above all that it is no permission.
    pub caution: &'a str,
    /// Said of a track that was simplified; `{metres}` stands for the tolerance.
    pub simplified: &'a str,
}

/// One stand for the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GpxStand<'a> {
    /// Its place in the map's list.
    pub place: u32,
    /// What it is called.
    pub name: &'a str,
    /// What is said of it.
    pub description: &'a str,
}

/// The file. Stands without an outline are left out. Elements stand in the order that the schema of GPX 1.1 asks for.
pub fn gpx(ground: &Ground, stands: &[GpxStand<'_>], words: &GpxWords<'_>) -> String {
    let outlines: Vec<(&GpxStand<'_>, Vec<Track>)> = stands
        .iter()
        .filter(|stand| !ground.map.outlines.is_empty(stand.place))
        .map(|stand| (stand, tracks(&ground.map.outlines.to_geo(stand.place))))
        .collect();
    let mut file = String::from(concat!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n",
        "<gpx version=\"1.1\" creator=\"Hostwood\" xmlns=\"http://www.topografix.com/GPX/1/1\" ",
        "xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" ",
        "xsi:schemaLocation=\"http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd\">\n",
    ));
    file.push_str("  <metadata>\n");
    element(&mut file, 4, "name", words.title);
    element(&mut file, 4, "desc", words.caution);
    let bounds = outlines
        .iter()
        .filter_map(|(stand, _)| ground.map.outlines.bounds(stand.place))
        .reduce(around);
    // A box that crosses the antimeridian cannot be said in GPX.
    if let Some(bounds) = bounds.filter(|bounds| bounds.west >= -180.0 && bounds.east <= 180.0) {
        let _ = writeln!(
            file,
            "    <bounds minlat=\"{:.7}\" minlon=\"{:.7}\" maxlat=\"{:.7}\" maxlon=\"{:.7}\"/>",
            bounds.south, bounds.west, bounds.north, bounds.east
        );
    }
    file.push_str("  </metadata>\n");
    for (stand, _) in &outlines {
        let Some(inside) = ground.stand(stand.place).and_then(|stand| stand.place) else {
            continue;
        };
        let _ = writeln!(file, "  <wpt {}>", position(inside.inside.lng, inside.inside.lat));
        element(&mut file, 4, "name", stand.name);
        element(&mut file, 4, "desc", stand.description);
        file.push_str("  </wpt>\n");
    }
    for (stand, tracks) in &outlines {
        for (number, track) in tracks.iter().enumerate() {
            file.push_str("  <trk>\n");
            if tracks.len() == 1 {
                element(&mut file, 4, "name", stand.name);
            } else {
                element(&mut file, 4, "name", &format!("{} ({})", stand.name, number + 1));
            }
            if track.tolerance > 0.0 {
                let metres = format!("{:.0}", track.tolerance);
                element(
                    &mut file,
                    4,
                    "desc",
                    &words.simplified.replace("{metres}", &metres),
                );
            }
            for ring in &track.rings {
                file.push_str("    <trkseg>\n");
                for at in ring {
                    let _ = writeln!(file, "      <trkpt {}/>", position(at.x, at.y));
                }
                file.push_str("    </trkseg>\n");
            }
            file.push_str("  </trk>\n");
        }
    }
    file.push_str("</gpx>\n");
    file
}

/// Rings that go into one track, and by how many metres they may differ from the outline.
struct Track {
    rings: Vec<Vec<Coord<f64>>>,
    tolerance: f64,
}

fn tracks(outline: &geo::MultiPolygon<f64>) -> Vec<Track> {
    let rings = outline
        .iter()
        .flat_map(|polygon| std::iter::once(polygon.exterior()).chain(polygon.interiors()));
    let mut tracks: Vec<Track> = Vec::new();
    for ring in rings {
        let (ring, tolerance) = fitted(ring);
        match tracks.last_mut() {
            Some(last) if last.rings.iter().map(Vec::len).sum::<usize>() + ring.len() <= POINTS => {
                last.rings.push(ring);
                last.tolerance = last.tolerance.max(tolerance);
            }
            _ => tracks.push(Track {
                rings: vec![ring],
                tolerance,
            }),
        }
    }
    tracks
}

/// A closed ring with no more points than a track may have, and the tolerance in metres; none where it fits as it is.
fn fitted(ring: &LineString<f64>) -> (Vec<Coord<f64>>, f64) {
    let points = &ring.0;
    if points.len() <= POINTS {
        return (points.clone(), 0.0);
    }
    let middle = points.iter().map(|at| at.y).sum::<f64>() / count(points.len());
    let across = METRES_A_DEGREE * libm::cos(middle.to_radians()).max(0.01);
    let metres: LineString<f64> = points
        .iter()
        .map(|at| Coord {
            x: at.x * across,
            y: at.y * METRES_A_DEGREE,
        })
        .collect();
    let mut tolerance = 1.0;
    loop {
        let kept = metres.simplify_idx(tolerance);
        if kept.len() <= POINTS {
            let kept = kept.into_iter().filter_map(|place| points.get(place).copied());
            return (kept.collect(), tolerance);
        }
        tolerance *= 2.0;
    }
}

#[expect(clippy::cast_precision_loss, reason = "a count of positions")]
fn count(n: usize) -> f64 {
    n as f64
}

/// Latitude and longitude as attributes; longitudes beyond the antimeridian are turned back.
fn position(lng: f64, lat: f64) -> String {
    let lng = if (-180.0..180.0).contains(&lng) {
        lng
    } else {
        (lng + 180.0).rem_euclid(360.0) - 180.0
    };
    format!("lat=\"{lat:.7}\" lon=\"{lng:.7}\"")
}

fn around(one: LngLatBox, other: LngLatBox) -> LngLatBox {
    LngLatBox {
        west: one.west.min(other.west),
        south: one.south.min(other.south),
        east: one.east.max(other.east),
        north: one.north.max(other.north),
    }
}

/// An element that holds text; none where there is no text.
fn element(file: &mut String, indent: usize, name: &str, text: &str) {
    if text.trim().is_empty() {
        return;
    }
    let _ = write!(file, "{:indent$}<{name}>", "");
    for letter in text.chars() {
        match letter {
            '&' => file.push_str("&amp;"),
            '<' => file.push_str("&lt;"),
            '>' => file.push_str("&gt;"),
            '\t' | '\n' | '\r' => file.push(' '),
            // XML 1.0 has no way to write these (production 2).
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            letter => file.push(letter),
        }
    }
    let _ = writeln!(file, "</{name}>");
}
