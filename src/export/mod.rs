//! Files to take along: the stand map with what is known of each stand. In go a ground and an assessment, out comes
//! GeoJSON (RFC 7946) by the geojson library; writing it anywhere is left to others.

mod assessed;

use geojson::{Feature, Geometry, JsonObject, feature::Id};

use crate::assessment::Ground;

pub use assessed::{Assessed, assessed};

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
