//! The words fungi.csv and hosts.csv use, and what they stand for. In go words, out come values; rows are read by
//! `fungus_rows`.

use serde::Serialize;

/// Words of a table that stand for the values of a type.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$inner:meta])* $value:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$inner])* $value),+ }

        impl $name {
            /// The word the tables and the screen's keys use.
            pub fn word(self) -> &'static str {
                match self { $($name::$value => $word),+ }
            }

            /// The value a word of the tables stands for.
            pub fn of(word: &str) -> Option<$name> {
                match word { $($word => Some($name::$value),)+ _ => None }
            }

            /// All words, for messages.
            pub const WORDS: &'static [&'static str] = &[$($word),+];
        }
    };
}

words!(
    /// How a fungus lives.
    Guild {
        /// With the roots of living trees.
        Ectomycorrhizal = "ectomycorrhizal",
        /// On litter, grass and soil.
        SaprotrophSoil = "saprotroph_soil",
        /// On dead wood.
        SaprotrophWood = "saprotroph_wood",
        /// On living wood, mostly living on in it when dead.
        ParasiteWood = "parasite_wood",
        /// On roots, in a way not settled.
        RootAssociate = "root_associate",
    }
);
words!(
    /// What a host genus is to the fungus.
    HostRole {
        /// Partner of the roots: must be alive and present.
        Symbiont = "symbiont",
        /// Its wood is eaten.
        Substrate = "substrate",
        /// Usually near; no link of the roots is known.
        Companion = "companion",
        /// Its roots are lived on.
        RootAssociate = "root_associate",
        /// No tree is needed.
        None = "none",
    }
);
words!(
    /// How closely a kind keeps to a host genus.
    Rating {
        /// The only one: no tree, no fungus.
        Obligate = "obligate",
        /// A usual one.
        Main = "main",
        /// One now and then.
        Occasional = "occasional",
    }
);
words!(
    /// Food custom, not advice. Least dangerous first.
    CustomStatus {
        /// Eaten by custom.
        Eaten = "eaten",
        /// Eaten by custom, never raw.
        EatenAfterCookingOnly = "eaten_after_cooking_only",
        /// Not eaten.
        Inedible = "inedible",
        /// Poisonous.
        Poisonous = "poisonous",
        /// Deadly.
        Deadly = "deadly",
    }
);
words!(
    /// Where a kind grows.
    Region {
        /// Europe.
        Europe = "europe",
        /// North America.
        NorthAmerica = "north_america",
        /// Both.
        Both = "both",
    }
);
words!(
    /// The soil a kind prefers.
    SoilPreference {
        /// Acid or weakly acid.
        Acid = "acid",
        /// Neutral.
        Neutral = "neutral",
        /// Calcareous.
        Calcareous = "calcareous",
        /// Any.
        Indifferent = "indifferent",
    }
);
words!(
    /// The age of stand a kind prefers.
    AgePreference {
        /// Young.
        Early = "early",
        /// Middle-aged.
        Mid = "mid",
        /// Old.
        Late = "late",
        /// Any.
        Indifferent = "indifferent",
    }
);
words!(
    /// Where in or by the forest a kind stands.
    Habitat {
        /// Under a closed canopy.
        ClosedForest = "closed_forest",
        /// At edges and by paths.
        Edge = "edge",
        /// In clearings.
        Clearing = "clearing",
        /// In grass, parks, gardens.
        Grassland = "grassland",
        /// On wet ground.
        Wet = "wet",
        /// At dead wood.
        Deadwood = "deadwood",
    }
);
words!(
    /// How a kind is carried, kept and prepared by custom.
    Handling {
        /// Cool and airy, use within a day.
        K1 = "K1",
        /// Keeps for hours only.
        K2 = "K2",
        /// Often maggoty: halve it while picking.
        K3 = "K3",
        /// Loose and airy, a day or two.
        K4 = "K4",
        /// Dries well.
        K5 = "K5",
        /// Cook for 15 to 20 minutes.
        C1 = "C1",
        /// Parboil, throw the water away, cook.
        C2 = "C2",
        /// Never raw; a small first portion.
        C3 = "C3",
        /// No alcohol for days before and after.
        A1 = "A1",
        /// Peel the slimy skin.
        P1 = "P1",
        /// Lift it whole, with the base of the stem.
        D1 = "D1",
        /// Protected in some places: the rules decide.
        L1 = "L1",
        /// Do not collect it for food.
        N0 = "N0",
    }
);
words!(
    /// What a poison does; how soon is in the words of each.
    Syndrome {
        /// The liver, after a delay.
        Amatoxin = "amatoxin",
        /// The kidneys, after days to weeks.
        Orellanine = "orellanine",
        /// The gut soon, the kidneys in days.
        Norleucine = "norleucine",
        /// Fits, liver, blood.
        Gyromitrin = "gyromitrin",
        /// Sweat, tears, slow heart.
        Muscarine = "muscarine",
        /// Confusion and sleep.
        Muscimol = "muscimol",
        /// With alcohol, for days.
        Coprine = "coprine",
        /// The muscles, after repeated meals.
        Muscle = "muscle",
        /// The blood, after years of meals without harm.
        Haemolysis = "haemolysis",
        /// Shaky and giddy.
        Unsteadiness = "unsteadiness",
        /// The brain, in people with sick kidneys.
        Encephalopathy = "encephalopathy",
        /// The gut.
        Gut = "gut",
    }
);
words!(
    /// How well a row was checked against sources.
    Confidence {
        /// Host or habitat and months read in a source.
        Read = "read",
        /// Some fields read.
        Part = "part",
        /// Only the genus' guild read.
        Memory = "memory",
    }
);

/// Months of the year as a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Months(u16);

impl Months {
    pub(super) fn add(&mut self, month: u8) {
        self.0 |= 1 << month;
    }

    /// Whether a month, 1 to 12, is in it.
    pub fn contains(self, month: u8) -> bool {
        (1..=12).contains(&month) && self.0 & (1 << month) != 0
    }

    /// Whether it holds no month.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The months in it, January first.
    pub fn iter(self) -> impl Iterator<Item = u8> {
        (1..=12).filter(move |month| self.contains(*month))
    }
}
