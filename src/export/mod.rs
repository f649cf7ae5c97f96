//! Files to take along: the stand map with what is known of each stand (GeoJSON, RFC 7946), outlines for a satellite
//! receiver (GPX 1.1), and the record of a find (Darwin Core terms as CSV). In go a ground, an assessment or a find, out
//! come bytes; writing them anywhere is left to others.

mod assessed;
mod gpx;
mod occurrence;

use geojson::{Feature, Geometry, JsonObject, feature::Id};

use crate::assessment::Ground;

pub use assessed::{Assessed, assessed};
pub use gpx::{GpxStand, GpxWords, gpx};
pub use occurrence::{Blurred, Find, Grid, blurred, occurrence};

/// One stand's outline as a feature with its id and name; none where it has no usable outline.
pub fn outline(ground: &Ground, place: u32) -> Option<Feature> {
    let stand = ground.stand(place)?;
    stand.place?;
    let mut properties = JsonObject::new();
    if let Some(name) = &stand.name {
        properties.insert("name".to_owned(), name.clone().into());
    }
    Some(Feature {
        bbox: None,
        geometry: Some(Geometry::from(&ground.map.outlines.to_geo(place))),
        id: Some(Id::String(stand.id.to_string())),
        properties: Some(properties),
        foreign_members: None,
    })
}
