//! Outlines and features of a rule book: GeoJSON geometries (RFC 7946) in degrees. In go items of the document, out come
//! checked geometries or a mistake; which zone they make is left to `zones`.

use geo::{Area as _, Coord, Geometry, LineString, MultiLineString, MultiPolygon, Point, Polygon};

use super::super::cover::crossing_of;
use super::super::document::{Item, Log};
use super::super::nearness::Near;
use super::words::word;
use crate::geometry::Crossing;

/// An outline: a GeoJSON Polygon or MultiPolygon (RFC 7946), longitude first. Rings must be closed, since an open one
/// may have lost a piece.
pub(super) fn outline(item: &Item<'_>, log: &mut Log<'_>) -> Option<MultiPolygon<f64>> {
    let mut fields = item.fields(log)?;
    let kind = fields
        .need("type", log, "`Polygon` or `MultiPolygon`")
        .and_then(|item| {
            word(
                &item,
                log,
                "outline",
                &[("Polygon", false), ("MultiPolygon", true)],
            )
        });
    let coordinates = fields.need("coordinates", log, "positions as in GeoJSON (RFC 7946)")?;
    fields.take("bbox");
    fields.finish(log, "an outline", &["type", "coordinates", "bbox"]);
    let polygons = if kind? {
        coordinates.entries(log)?
    } else {
        vec![coordinates.clone()]
    };
    let mut outline = Vec::with_capacity(polygons.len());
    for polygon in &polygons {
        let mut rings = Vec::new();
        for ring in &polygon.entries(log)? {
            rings.push(self::ring(ring, log)?);
        }
        let mut rings = rings.into_iter();
        let Some(shell) = rings.next() else {
            log.refuse(
                "outline",
                polygon,
                "a polygon has no ring",
                "at least one ring of four positions",
                "",
            );
            return None;
        };
        outline.push(Polygon::new(shell, rings.collect()));
    }
    let outline = MultiPolygon::new(outline);
    if outline.0.is_empty() || outline.unsigned_area() <= 0.0 {
        log.refuse(
            "outline",
            &coordinates,
            "the outline has no area",
            "a polygon that encloses something",
            "",
        );
        return None;
    }
    match crossing_of(&outline) {
        Crossing::None | Crossing::NotChecked => {}
        Crossing::Found => log.warn(
            "crossing-outline",
            &coordinates,
            "the outline crosses itself, so what lies between the crossings may count as outside",
            "",
            "clean the outline in its source",
        ),
        Crossing::Tangled => {
            log.refuse(
                "outline",
                &coordinates,
                "the outline crosses itself in more places than can be followed",
                "a border that goes around once",
                "write it again from its source",
            );
            return None;
        }
    }
    Some(outline)
}

/// Features and a distance: `{"feature": {"type": "LineString", ...}, "metres": 50}`. The feature is a GeoJSON geometry
/// (RFC 7946): points for springs, lines for paths and roads, polygons for lakes and yards.
pub(super) fn near(item: &Item<'_>, log: &mut Log<'_>) -> Option<Near> {
    let mut fields = item.fields_below(log)?;
    let feature = fields.need(
        "feature",
        log,
        "a point, line or polygon as in GeoJSON (RFC 7946)",
    );
    let metres = fields
        .need("metres", log, "a whole number of metres")
        .and_then(|item| item.whole(log, 1, 10_000));
    fields.finish(log, "a zone near something", &["feature", "metres"]);
    let feature = feature?;
    let kind = feature.fields(log)?.take("type").and_then(|item| {
        let kinds = [
            ("Point", 0),
            ("MultiPoint", 1),
            ("LineString", 2),
            ("MultiLineString", 3),
            ("Polygon", 4),
            ("MultiPolygon", 4),
        ];
        word(&item, log, "feature", &kinds)
    })?;
    let geometry = if kind == 4 {
        Geometry::MultiPolygon(outline(&feature, log)?)
    } else {
        let mut fields = feature.fields(log)?;
        fields.take("type");
        let coordinates = fields.need("coordinates", log, "positions as in GeoJSON (RFC 7946)")?;
        fields.take("bbox");
        fields.finish(log, "a feature", &["type", "coordinates", "bbox"]);
        let lines: Vec<Vec<Coord<f64>>> = match kind {
            0 => vec![vec![position(&coordinates, log)?]],
            3 => coordinates
                .entries(log)?
                .iter()
                .map(|line| positions(line, log))
                .collect::<Option<_>>()?,
            _ => vec![positions(&coordinates, log)?],
        };
        let least = if kind < 2 { 1 } else { 2 };
        if lines.is_empty() || lines.iter().any(|line| line.len() < least) {
            log.refuse(
                "feature",
                &coordinates,
                "a feature with too few positions",
                "one for a point, two or more for a line",
                "",
            );
            return None;
        }
        if kind < 2 {
            Geometry::MultiPoint(lines.into_iter().flatten().map(Point::from).collect())
        } else {
            Geometry::MultiLineString(MultiLineString::new(
                lines.into_iter().map(LineString::new).collect(),
            ))
        }
    };
    Some(Near {
        features: vec![geometry],
        metres: f64::from(metres?),
    })
}

fn ring(item: &Item<'_>, log: &mut Log<'_>) -> Option<LineString<f64>> {
    let ring = positions(item, log)?;
    if ring.len() < 4 {
        log.refuse(
            "outline",
            item,
            format!("a ring of {} positions", ring.len()),
            "four or more, the last the same as the first",
            "",
        );
        return None;
    }
    if ring.first() != ring.last() {
        log.refuse(
            "outline",
            item,
            "a ring that is not closed",
            "the last position the same as the first",
            "",
        );
        return None;
    }
    Some(LineString::new(ring))
}

fn positions(item: &Item<'_>, log: &mut Log<'_>) -> Option<Vec<Coord<f64>>> {
    item.entries(log)?
        .iter()
        .map(|item| position(item, log))
        .collect()
}

/// Longitude and latitude in degrees.
fn position(item: &Item<'_>, log: &mut Log<'_>) -> Option<Coord<f64>> {
    let position = item.entries(log)?;
    let (Some(x), Some(y)) = (position.first(), position.get(1)) else {
        log.refuse(
            "outline",
            item,
            "a position with fewer than two numbers",
            "longitude and latitude",
            "",
        );
        return None;
    };
    let (x, y) = (x.number(log)?, y.number(log)?);
    if !(-180.0..=180.0).contains(&x) || !(-90.0..=90.0).contains(&y) {
        log.refuse(
            "outline",
            item,
            format!("a position of {x}, {y}"),
            "degrees, longitude first (WGS 84, RFC 7946)",
            "turn the outline into degrees; metres of a national grid cannot be read",
        );
        return None;
    }
    Some(Coord { x, y })
}
