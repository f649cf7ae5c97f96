//! The message keys for the words of the tables. The locale catalogues word them; names of trees and fungi are data of
//! the tables and have none.

use super::fungus_words::{
    AgePreference, Confidence, CustomStatus, Guild, Habitat, Handling, HostRole, Rating, SoilPreference,
    Syndrome,
};
use super::trees::Mycorrhiza;

/// Gives each value of a type its key, and lists them all.
macro_rules! keys {
    ($($type:ident { $($value:ident => $key:literal),+ $(,)? })+) => {
        $(
            impl $type {
                /// The message key of its name.
                pub fn key(self) -> &'static str {
                    match self { $($type::$value => $key),+ }
                }
            }
        )+

        /// All message keys of this room.
        pub const KEYS: &[&str] = &[$($($key),+),+];
    };
}

keys!(
    Mycorrhiza {
        Ectomycorrhizal => "type.ectomycorrhizal",
        Dual => "type.dual",
        Arbuscular => "type.arbuscular",
        Ericoid => "type.ericoid",
        NonMycorrhizal => "type.non_mycorrhizal",
        Uncertain => "type.uncertain",
    }
    Guild {
        Ectomycorrhizal => "guild.ectomycorrhizal",
        SaprotrophSoil => "guild.saprotroph_soil",
        SaprotrophWood => "guild.saprotroph_wood",
        ParasiteWood => "guild.parasite_wood",
        RootAssociate => "guild.root_associate",
    }
    HostRole {
        Symbiont => "host_role.symbiont",
        Substrate => "host_role.substrate",
        Companion => "host_role.companion",
        RootAssociate => "host_role.root_associate",
        None => "host_role.none",
    }
    Rating {
        Obligate => "rating.obligate",
        Main => "rating.main",
        Occasional => "rating.occasional",
    }
    CustomStatus {
        Eaten => "status.eaten",
        EatenAfterCookingOnly => "status.eaten_after_cooking_only",
        Inedible => "status.inedible",
        Poisonous => "status.poisonous",
        Deadly => "status.deadly",
    }
    SoilPreference {
        Acid => "soil_preference.acid",
        Neutral => "soil_preference.neutral",
        Calcareous => "soil_preference.calcareous",
        Indifferent => "soil_preference.indifferent",
    }
    AgePreference {
        Early => "age_preference.early",
        Mid => "age_preference.mid",
        Late => "age_preference.late",
        Indifferent => "age_preference.indifferent",
    }
    Habitat {
        ClosedForest => "habitat.closed_forest",
        Edge => "habitat.edge",
        Clearing => "habitat.clearing",
        Grassland => "habitat.grassland",
        Wet => "habitat.wet",
        Deadwood => "habitat.deadwood",
    }
    Handling {
        K1 => "handling.K1",
        K2 => "handling.K2",
        K3 => "handling.K3",
        K4 => "handling.K4",
        K5 => "handling.K5",
        C1 => "handling.C1",
        C2 => "handling.C2",
        C3 => "handling.C3",
        A1 => "handling.A1",
        P1 => "handling.P1",
        D1 => "handling.D1",
        L1 => "handling.L1",
        N0 => "handling.N0",
    }
    Syndrome {
        Amatoxin => "syndrome.amatoxin",
        Orellanine => "syndrome.orellanine",
        Norleucine => "syndrome.norleucine",
        Gyromitrin => "syndrome.gyromitrin",
        Muscarine => "syndrome.muscarine",
        Muscimol => "syndrome.muscimol",
        Coprine => "syndrome.coprine",
        Muscle => "syndrome.muscle",
        Haemolysis => "syndrome.haemolysis",
        Unsteadiness => "syndrome.unsteadiness",
        Encephalopathy => "syndrome.encephalopathy",
        Gut => "syndrome.gut",
    }
    Confidence {
        Read => "confidence.read",
        Part => "confidence.part",
        Memory => "confidence.memory",
    }
);
