//! Which climate's months are taken at a place. In goes a place, out comes a climate by plain bands of latitude and
//! longitude (our choice, rows `climate.*` of the factor table): in Europe boreal in the north, mediterranean in the
//! south, temperate between; North America west or east of one meridian. A map that tells its climate is believed
//! instead.

use crate::geometry::LngLat;
use crate::knowledge::{Bounds, Factors};
use crate::stand::Climate;

/// The message key of a climate's name.
pub fn climate_key(climate: Climate) -> &'static str {
    match climate {
        Climate::Temperate => "climate.temperate",
        Climate::Boreal => "climate.boreal",
        Climate::Mediterranean => "climate.mediterranean",
        Climate::NaWest => "climate.na_west",
        Climate::NaEast => "climate.na_east",
    }
}

/// The climate taken for a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClimateHere {
    /// The climate whose months are taken.
    pub climate: Climate,
    /// Whether another climate begins near by, so that its months may fit as well.
    pub near_border: bool,
    /// Whether the table of kinds covers the place at all; where it does not, the climate is only the nearest there
    /// is.
    pub covered: bool,
}

/// The climate whose months are taken at a place (degrees, WGS 84).
pub fn climate_of(place: LngLat, factors: &Factors) -> ClimateHere {
    let bands = &factors.climates;
    let latitude = place.lat.abs();
    if holds(&bands.north_america, place) {
        let climate = if place.lng < bands.east_from {
            Climate::NaWest
        } else {
            Climate::NaEast
        };
        return ClimateHere {
            climate,
            near_border: (place.lng - bands.east_from).abs() < bands.border_longitude,
            covered: true,
        };
    }
    let climate = if latitude >= bands.boreal_from {
        Climate::Boreal
    } else if latitude < bands.mediterranean_below {
        Climate::Mediterranean
    } else {
        Climate::Temperate
    };
    ClimateHere {
        climate,
        near_border: [bands.boreal_from, bands.mediterranean_below]
            .iter()
            .any(|border| (latitude - border).abs() < bands.border_latitude),
        covered: holds(&bands.europe, place),
    }
}

fn holds(bounds: &Bounds, place: LngLat) -> bool {
    (bounds.west..=bounds.east).contains(&place.lng) && (bounds.south..=bounds.north).contains(&place.lat)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    #[test]
    fn bands_of_latitude_and_longitude_give_the_climate() {
        // Which zone these towns lie in is common knowledge of geography; where exactly a band ends is our choice.
        for (town, lng, lat, climate, near_border, covered) in [
            ("Freiburg", 7.8, 48.0, Climate::Temperate, false, true),
            ("Oulu", 25.5, 65.0, Climate::Boreal, false, true),
            ("Helsinki", 24.9, 60.2, Climate::Boreal, true, true),
            ("Rome", 12.5, 41.9, Climate::Mediterranean, true, true),
            ("Seville", -6.0, 37.4, Climate::Mediterranean, false, true),
            ("Seattle", -122.3, 47.6, Climate::NaWest, false, true),
            ("Winnipeg", -97.1, 49.9, Climate::NaEast, true, true),
            ("Boston", -71.1, 42.4, Climate::NaEast, false, true),
            ("Sapporo", 141.3, 43.1, Climate::Temperate, true, false),
            ("Hobart", 147.3, -42.9, Climate::Mediterranean, true, false),
        ] {
            assert_eq!(
                climate_of(LngLat { lng, lat }, &Knowledge::shipped().factors),
                ClimateHere {
                    climate,
                    near_border,
                    covered
                },
                "{town}"
            );
        }
    }
}
