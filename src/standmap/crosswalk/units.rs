//! The units a crosswalk may name, with the factor to the unit of the plain form. In goes a target, out comes its
//! list of units; conversion is the reader's.

/// A unit's name, and what one of it is in the plain form's unit.
pub(crate) type Units = &'static [(&'static str, f64)];

/// Shares and canopy cover, as parts of one.
pub(crate) const PARTS: Units = &[("fraction", 1.0), ("tenths", 0.1), ("percent", 0.01)];
/// Shares may also be parts of their own sum: of a sum that is 1, 10 or 100, or of whatever areas, volumes, basal
/// areas or stem numbers come to.
pub(crate) const OWN_SUMS: [(&str, Whole); 5] = [
    ("sum", Whole::Round),
    ("area", Whole::Any),
    ("volume", Whole::Any),
    ("basal_area", Whole::Any),
    ("stems", Whole::Any),
];

/// What the shares of a layer are parts of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Whole {
    /// A unit's own whole.
    Unit,
    /// Their sum, which should be about 1, 10 or 100.
    Round,
    /// Their sum, whatever it is.
    Any,
}

/// What shares of a unit are parts of.
pub(crate) fn whole(unit: &str) -> Whole {
    let own = OWN_SUMS.iter().find(|(name, _)| *name == unit);
    own.map_or(Whole::Unit, |(_, whole)| *whole)
}

/// Heights, in metres. A foot is 0.3048 metres exactly (international yard and pound agreement, 1959).
pub(crate) const LENGTHS: Units = &[("m", 1.0), ("dm", 0.1), ("cm", 0.01), ("ft", FOOT)];
/// Basal area, in square metres a hectare.
pub(crate) const BASAL_AREAS: Units = &[("m2/ha", 1.0), ("ft2/acre", FOOT * FOOT / ACRE)];
/// Dead wood, in cubic metres a hectare.
pub(crate) const WOOD_VOLUMES: Units = &[("m3/ha", 1.0), ("ft3/acre", FOOT * FOOT * FOOT / ACRE)];
/// Nitrogen, in kilograms a hectare and year.
pub(crate) const LOADS: Units = &[("kg/ha", 1.0), ("g/m2", 10.0)];
/// Ages, in years.
pub(crate) const AGES: Units = &[("years", 1.0)];

const FOOT: f64 = 0.3048;
/// 43,560 square feet, in hectares.
const ACRE: f64 = 43_560.0 * FOOT * FOOT / 10_000.0;

/// The factor of a unit, if the list has it.
pub(crate) fn factor(units: Units, name: &str) -> Option<f64> {
    units
        .iter()
        .find(|(unit, _)| *unit == name)
        .map(|(_, factor)| *factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    // NIST Special Publication 811, appendix B: an acre (international foot) is 0.404 685 64 hectares.
    #[test]
    fn areas_and_volumes_convert_as_published() {
        assert!((ACRE - 0.404_685_64).abs() < 1e-8);
        let basal = factor(BASAL_AREAS, "ft2/acre").expect("a unit");
        // 1 square foot an acre is 0.2296 square metres a hectare (common conversion in forest mensuration).
        assert!((basal - 0.2296).abs() < 5e-5, "{basal}");
        let volume = factor(WOOD_VOLUMES, "ft3/acre").expect("a unit");
        // 1 cubic foot an acre is 0.06997 cubic metres a hectare (the same).
        assert!((volume - 0.06997).abs() < 5e-6, "{volume}");
        assert_eq!(factor(PARTS, "promille"), None);
    }
}
