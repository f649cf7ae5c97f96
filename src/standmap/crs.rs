//! The `crs` member of older GeoJSON. In goes its JSON, out comes yes where it names longitude and latitude on
//! WGS 84, and a refusal where it names anything else. RFC 7946 knows no such member any more.

use serde_json::Value;

use super::unreadable::Unreadable;

/// Accepts longitude and latitude in every spelling of CRS84 and EPSG:4326; positions are read longitude first
/// whatever the axis order of the name.
///
/// # Errors
/// [`Unreadable`] for any other reference system.
pub(crate) fn accept(crs: &Value) -> Result<(), Unreadable> {
    let properties = crs.get("properties");
    let name = match crs {
        Value::Null => return Ok(()),
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
            format!("the member `crs` is {shown}, expected a name such as `urn:ogc:def:crs:OGC:1.3:CRS84`"),
            "Export the map again in longitude and latitude (WGS 84) and leave `crs` out",
        ));
    };
    accept_name(&name)
}

/// Accepts a reference system by name, as [`accept`] does.
///
/// # Errors
/// [`Unreadable`] for any other reference system.
pub(crate) fn accept_name(name: &str) -> Result<(), Unreadable> {
    if is_lonlat(name) {
        return Ok(());
    }
    let shown: String = name.chars().take(80).collect();
    Err(Unreadable::new(
        "crs",
        format!("the coordinates are in `{shown}`, expected longitude and latitude (CRS84 or EPSG:4326)"),
        "Export the map again in longitude and latitude (WGS 84, EPSG:4326); other reference systems are not \
         converted yet",
    ))
}

fn is_lonlat(name: &str) -> bool {
    let name = name.trim().to_ascii_uppercase();
    let parts: Vec<&str> = name
        .split([':', '/', '#'])
        .filter(|part| !part.is_empty())
        .collect();
    let known_path = match parts.as_slice() {
        [_] => true,
        ["EPSG" | "OGC" | "CRS", _] => true,
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
    known_path
        && matches!(code, "4326" | "CRS84" | "CRS84H" | "84" | "WGS84" | "WGS 84")
        && (code != "84" || name.starts_with("CRS:"))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn longitude_and_latitude_are_accepted_in_every_spelling() {
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
        ] {
            let crs = json!({"type": "name", "properties": {"name": name}});
            assert_eq!(accept(&crs), Ok(()), "{name}");
        }
        assert_eq!(accept(&Value::Null), Ok(()));
        assert_eq!(
            accept(&json!({"type": "EPSG", "properties": {"code": 4326}})),
            Ok(())
        );
    }

    #[test]
    fn everything_else_is_refused() {
        let grid = |name: &str| {
            format!(
                "stand map: the coordinates are in `{name}`, expected longitude and latitude (CRS84 or EPSG:4326). \
                 Export the map again in longitude and latitude (WGS 84, EPSG:4326); other reference systems are \
                 not converted yet."
            )
        };
        for name in [
            "urn:ogc:def:crs:EPSG::3067",
            "EPSG:25832",
            "EPSG:14326",
            "84",
            "my 4326",
            "x:y:4326",
        ] {
            let refused = accept(&json!({"type": "name", "properties": {"name": name}})).expect_err(name);
            assert_eq!(refused.to_string(), grid(name));
        }
        let code = accept(&json!({"type": "EPSG", "properties": {"code": 2180}})).expect_err("2180");
        assert_eq!(code.to_string(), grid("EPSG:2180"));
        let link = accept(&json!({"type": "link", "properties": {"href": "x.prj"}})).expect_err("link");
        assert_eq!(
            link.to_string(),
            "stand map: the member `crs` is {\"type\":\"link\",\"properties\":{\"href\":\"x.prj\"}}, expected a \
             name such as `urn:ogc:def:crs:OGC:1.3:CRS84`. Export the map again in longitude and latitude (WGS 84) \
             and leave `crs` out."
        );
    }
}
