//! Reference systems by name: the `crs` member of older GeoJSON, and that of a crosswalk. In goes a name or the JSON
//! of the member, out comes the grid it means, or a refusal that says what can be read. RFC 7946 knows no such member
//! any more; positions are read easting and longitude first whatever the axis order of the name.

use serde_json::Value;

use super::unreadable::Unreadable;
use crate::geometry::grid::Grid;

/// What a map or crosswalk says of its positions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Named {
    /// Longitude and latitude on WGS 84.
    Degrees,
    /// Positions of this grid.
    Grid(Box<Grid>),
}

impl Named {
    /// The grid; none where positions are degrees on WGS 84.
    pub(crate) fn grid(self) -> Option<Box<Grid>> {
        match self {
            Named::Degrees => None,
            Named::Grid(grid) => Some(grid),
        }
    }
}

/// What the member `crs` names; `None` where it is null.
///
/// # Errors
/// [`Unreadable`] where it names nothing that can be read.
pub(crate) fn of_member(crs: &Value) -> Result<Option<Named>, Unreadable> {
    let properties = crs.get("properties");
    let name = match crs {
        Value::Null => return Ok(None),
        Value::String(name) => Some(name.clone()),
        _ => properties.and_then(
            |properties| match (properties.get("name"), properties.get("code")) {
                (Some(Value::String(name)), _) => Some(name.clone()),
                (_, Some(code @ (Value::Number(_) | Value::String(_)))) => {
                    Some(format!("EPSG:{}", code.to_string().trim_matches('"')))
                }
                _ => None,
            },
        ),
    };
    let Some(name) = name else {
        let shown: String = crs.to_string().chars().take(80).collect();
        return Err(Unreadable::new(
            "crs",
            format!("the member `crs` is {shown}, expected a name such as `urn:ogc:def:crs:EPSG::3035`"),
            "Name the reference system by its EPSG code, or export the map in longitude and latitude (WGS 84) and \
             leave `crs` out",
        ));
    };
    of_name(&name).map(Some)
}

/// What a name such as `EPSG:3035` means.
///
/// # Errors
/// [`Unreadable`] where it means nothing that can be read.
pub(crate) fn of_name(name: &str) -> Result<Named, Unreadable> {
    let folded = name.trim().to_ascii_uppercase();
    let parts: Vec<&str> = folded
        .split([':', '/', '#'])
        .filter(|part| !part.is_empty())
        .collect();
    let known_path = match parts.as_slice() {
        [_] => true,
        ["EPSG" | "OGC" | "CRS" | "ESRI", _] => true,
        ["URN", "OGC" | "X-OGC", "DEF", "CRS", "EPSG" | "OGC", ..] => parts.len() <= 7,
        [
            "HTTP" | "HTTPS",
            "WWW.OPENGIS.NET",
            "DEF",
            "CRS",
            "EPSG" | "OGC",
            _,
            _,
        ] => true,
        ["HTTP" | "HTTPS", "WWW.OPENGIS.NET", "GML", "SRS", "EPSG.XML", _] => true,
        _ => false,
    };
    let code = parts.last().copied().unwrap_or_default();
    if known_path
        && matches!(
            code,
            "4326" | "4979" | "CRS84" | "CRS84H" | "84" | "WGS84" | "WGS 84"
        )
        && (code != "84" || folded.starts_with("CRS:"))
    {
        return Ok(Named::Degrees);
    }
    if known_path && let Some(grid) = code.parse().ok().and_then(Grid::of_code) {
        return Ok(
            if grid.is_degrees() && grid.is_unshifted() && grid.metres_off() <= 1.0 {
                Named::Degrees
            } else {
                Named::Grid(Box::new(grid))
            },
        );
    }
    let shown: String = name.chars().take(80).collect();
    Err(Unreadable::new(
        "crs",
        format!(
            "the coordinates are in `{shown}`, which is none of the reference systems that can be converted"
        ),
        "Export the map in longitude and latitude (WGS 84, EPSG:4326), or in a grid that can be: UTM zones (EPSG:326xx, \
         327xx, 258xx, 269xx), Europe (EPSG:3035), or a national grid such as EPSG:27700, 2154, 2180, 3067, 5514 or 5070",
    ))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn longitude_and_latitude_are_known_in_every_spelling() {
        for name in [
            "urn:ogc:def:crs:OGC:1.3:CRS84",
            "urn:ogc:def:crs:OGC::CRS84",
            "OGC:CRS84",
            "CRS84",
            "CRS:84",
            "EPSG:4326",
            "epsg:4326",
            "urn:ogc:def:crs:EPSG::4326",
            "urn:ogc:def:crs:EPSG:6.6:4326",
            "urn:x-ogc:def:crs:EPSG:4326",
            "http://www.opengis.net/def/crs/EPSG/0/4326",
            "https://www.opengis.net/def/crs/OGC/1.3/CRS84",
            "http://www.opengis.net/gml/srs/epsg.xml#4326",
            "EPSG:4258",
        ] {
            let crs = json!({"type": "name", "properties": {"name": name}});
            assert_eq!(of_member(&crs), Ok(Some(Named::Degrees)), "{name}");
        }
        assert_eq!(of_member(&Value::Null), Ok(None));
        assert_eq!(
            of_member(&json!({"type": "EPSG", "properties": {"code": 4326}})),
            Ok(Some(Named::Degrees))
        );
    }

    #[test]
    fn grids_are_known_by_their_code_in_every_spelling() {
        let code = |crs: &Value| match of_member(crs) {
            Ok(Some(Named::Grid(grid))) => grid.code(),
            other => panic!("{crs}: {other:?}"),
        };
        for (name, expected) in [
            ("urn:ogc:def:crs:EPSG::3035", 3035),
            ("urn:ogc:def:crs:EPSG:9.9.1:25832", 25_832),
            ("EPSG:27700", 27_700),
            ("epsg:900913", 3857),
            ("ESRI:102100", 3857),
            ("http://www.opengis.net/def/crs/EPSG/0/3067", 3067),
            ("http://www.opengis.net/gml/srs/epsg.xml#2180", 2180),
            ("5514", 5514),
            ("EPSG:4277", 4277),
        ] {
            assert_eq!(
                code(&json!({"type": "name", "properties": {"name": name}})),
                expected,
                "{name}"
            );
        }
        assert_eq!(code(&json!({"type": "EPSG", "properties": {"code": 2180}})), 2180);
        assert_eq!(code(&json!("EPSG:3006")), 3006);
    }

    #[test]
    fn everything_else_is_refused() {
        for name in ["EPSG:14326", "84", "my 4326", "x:y:4326", "EPSG:27582", "LAMB93"] {
            let refused = of_member(&json!({"type": "name", "properties": {"name": name}})).expect_err(name);
            assert_eq!(
                refused.to_string(),
                format!(
                    "stand map: the coordinates are in `{name}`, which is none of the reference systems that can be \
                     converted. Export the map in longitude and latitude (WGS 84, EPSG:4326), or in a grid that can \
                     be: UTM zones (EPSG:326xx, 327xx, 258xx, 269xx), Europe (EPSG:3035), or a national grid such as \
                     EPSG:27700, 2154, 2180, 3067, 5514 or 5070."
                )
            );
        }
        let link = of_member(&json!({"type": "link", "properties": {"href": "x.prj"}})).expect_err("link");
        assert_eq!(
            link.to_string(),
            "stand map: the member `crs` is {\"type\":\"link\",\"properties\":{\"href\":\"x.prj\"}}, expected a \
             name such as `urn:ogc:def:crs:EPSG::3035`. Name the reference system by its EPSG code, or export the \
             map in longitude and latitude (WGS 84) and leave `crs` out."
        );
    }
}
