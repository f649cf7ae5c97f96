//! The message keys this room gives out. The locale catalogues word them.

/// The keys of the groups of trees, by name.
pub(super) fn groups() -> impl Iterator<Item = &'static str> {
    KEYS.iter().copied().filter(|key| key.starts_with("group."))
}

/// All message keys of this room.
pub const KEYS: &[&str] = &[
    "view.roots",
    "view.wood",
    "view.litter",
    "step.bare",
    "step.slight",
    "step.fair",
    "step.good",
    "step.rich",
    "certainty.firm",
    "certainty.rough",
    "certainty.open",
    "factor.trees",
    "factor.age",
    "factor.stocking",
    "factor.soil_reaction",
    "factor.moisture",
    "factor.nitrogen",
    "factor.nutrients",
    "factor.aspect",
    "factor.disturbance",
    "factor.deadwood",
    "factor.setting",
    "soil.acid",
    "soil.weakly_acid",
    "soil.neutral",
    "soil.calcareous",
    "moisture.dry",
    "moisture.fresh",
    "moisture.moist",
    "moisture.wet",
    "nutrients.poor",
    "nutrients.medium",
    "nutrients.rich",
    "aspect.north",
    "aspect.north_east",
    "aspect.east",
    "aspect.south_east",
    "aspect.south",
    "aspect.south_west",
    "aspect.west",
    "aspect.north_west",
    "aspect.flat",
    "setting.edge",
    "setting.clearing",
    "setting.grassland",
    "setting.park",
    "setting.hedge",
    "setting.burnt",
    "setting.felled",
    "group.acacia",
    "group.boreal_broadleaf",
    "group.boreal_conifer",
    "group.broadleaf",
    "group.cedar",
    "group.conifer",
    "group.cypress",
    "group.fir_or_spruce",
    "group.fruit_trees",
    "group.gum",
    "group.heath",
    "group.hornbeam_or_hop_hornbeam",
    "group.ironwood",
    "group.locust",
    "group.mixed",
    "group.mountain_ash",
    "group.noble_broadleaf",
    "group.redwood",
    "group.soft_broadleaf",
    "reason.trees.not_known",
    "reason.trees.not_told",
    "reason.mixture.ectomycorrhizal",
    "reason.mixture.dual",
    "reason.mixture.arbuscular",
    "reason.mixture.ericoid",
    "reason.mixture.non_mycorrhizal",
    "reason.mixture.uncertain",
    "reason.mixture.group",
    "reason.mixture.unresolved",
    "reason.mixture.unnamed",
    "reason.mixture.canopy_not_told",
    "reason.mixture.inconsistent",
    "reason.layer.understorey",
    "reason.layer.retained",
    "reason.age.young",
    "reason.age.perhaps_young",
    "reason.age.grown",
    "reason.age.old",
    "reason.age.missing",
    "reason.basal_area.full",
    "reason.basal_area.open",
    "reason.basal_area.dense",
    "reason.basal_area.open_or_dense",
    "reason.canopy.full",
    "reason.canopy.open",
    "reason.canopy.dense",
    "reason.canopy.open_or_dense",
    "reason.stocking.missing",
    "reason.soil.favourable",
    "reason.soil.less",
    "reason.soil.missing",
    "reason.moisture.dry",
    "reason.moisture.fresh",
    "reason.moisture.moist",
    "reason.moisture.wet",
    "reason.moisture.several",
    "reason.moisture.missing",
    "reason.decay_moisture.dry",
    "reason.decay_moisture.damp",
    "reason.nitrogen.low",
    "reason.nitrogen.high",
    "reason.nitrogen.missing",
    "reason.nutrients.poor",
    "reason.nutrients.medium",
    "reason.nutrients.rich",
    "reason.nutrients.several",
    "reason.nutrients.missing",
    "reason.nutrients.counted",
    "reason.aspect.flat",
    "reason.aspect.shady",
    "reason.aspect.sunny",
    "reason.aspect.missing",
    "reason.aspect.counted",
    "reason.disturbance.felled",
    "reason.disturbance.burnt",
    "reason.disturbance.windthrown",
    "reason.disturbance.when",
    "reason.disturbance.missing",
    "reason.disturbance.counted",
    "reason.deadwood.none",
    "reason.deadwood.little",
    "reason.deadwood.some",
    "reason.deadwood.much",
    "reason.deadwood.volume",
    "reason.deadwood.several",
    "reason.deadwood.missing",
    "reason.setting.closed_forest",
    "reason.setting.open",
    "reason.setting.missing",
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::knowledge::Knowledge;
    use crate::stand::Tree;

    #[test]
    fn every_group_of_the_table_has_a_key() {
        let trees = &Knowledge::shipped().trees;
        let groups: Vec<String> = trees.groups().map(|group| format!("group.{group}")).collect();
        assert_eq!(groups, super::groups().collect::<Vec<_>>());
        for key in super::groups() {
            let name = key.strip_prefix("group.").expect("a group");
            assert!(matches!(trees.group(name), Some(Tree::AnyOf { .. })), "{name}");
        }
    }

    #[test]
    fn each_key_is_given_once() {
        let once: BTreeSet<_> = KEYS.iter().collect();
        assert_eq!(once.len(), KEYS.len());
        let other: BTreeSet<_> = crate::knowledge::KEYS.iter().chain(crate::season::KEYS).collect();
        assert_eq!(
            other.len(),
            crate::knowledge::KEYS.len() + crate::season::KEYS.len()
        );
        assert!(once.is_disjoint(&other));
    }
}
