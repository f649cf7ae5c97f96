//! Kinds of fungi: hosts, months, site, custom, doubles, each with its sources. In go the fungi tables, out come typed
//! rows that lead somewhere; which kinds suit a stand is left to `potential`. Nothing here identifies a mushroom.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::Tables;
use super::fungus_names::Names;
use super::sources::Sources;
use super::table::{Row, TableError, rows};
use super::trees::Trees;
use crate::names::{Genus, KindId, ScientificName, SourceId};
use crate::stand::Climate;

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

/// One host genus of a kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Host {
    /// The genus.
    pub genus: Genus,
    /// How closely the kind keeps to it.
    pub rating: Rating,
    /// Where that comes from.
    pub source: SourceId,
}

/// A field of a kind that was checked in a source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// The field, such as `months`.
    pub field: String,
    /// What of it was checked; empty for all.
    pub scope: String,
    /// The source.
    pub source: SourceId,
}

/// One kind: a species, or a group collectors treat as one.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// Its id.
    pub id: KindId,
    /// Scientific name with author, as the table has it.
    pub scientific: String,
    /// Where it grows.
    pub region: Region,
    /// How it lives.
    pub guild: Guild,
    /// What its hosts are to it.
    pub host_role: HostRole,
    /// Its hosts; none where the role is `none`.
    pub hosts: Vec<Host>,
    months_temperate: Months,
    /// The peak in a temperate climate.
    pub months_core: Months,
    months_boreal: Option<Months>,
    months_mediterranean: Option<Months>,
    /// The soil it prefers; a ranking hint, never a filter.
    pub soil: SoilPreference,
    /// Where it stands; a ranking hint.
    pub habitats: Vec<Habitat>,
    /// The age of stand it prefers; a ranking hint.
    pub age: AgePreference,
    /// Food custom, not advice.
    pub status: CustomStatus,
    /// Kinds to warn of whenever this one is shown, whatever their own host and month.
    pub dangerous_lookalikes: Vec<KindId>,
    /// How it is handled by custom.
    pub handling: Vec<Handling>,
    /// What the row rests on.
    pub sources: Vec<SourceId>,
    /// Which fields were checked where; what is not named here is from memory.
    pub checked: Vec<Checked>,
    /// How well the row was checked.
    pub confidence: Confidence,
    /// A remark in English, as data; may be empty.
    pub note: String,
}

impl Kind {
    /// The months it fruits in a climate; `None` where it does not grow on that continent. A climate without months
    /// of its own takes the temperate ones.
    pub fn months(&self, climate: Climate) -> Option<Months> {
        let in_america = self.region != Region::Europe;
        let in_europe = self.region != Region::NorthAmerica;
        match climate {
            Climate::NaWest | Climate::NaEast => in_america.then_some(self.months_temperate),
            Climate::Temperate => in_europe.then_some(self.months_temperate),
            Climate::Boreal => in_europe.then_some(self.months_boreal.unwrap_or(self.months_temperate)),
            Climate::Mediterranean => {
                in_europe.then_some(self.months_mediterranean.unwrap_or(self.months_temperate))
            }
        }
    }

    /// Whether it can poison: poisonous or deadly by the table.
    pub fn is_poisonous(&self) -> bool {
        self.status >= CustomStatus::Poisonous
    }

    /// The sources that were checked for a field; empty where the field is from memory.
    pub fn sources_of<'a>(&'a self, field: &'a str) -> impl Iterator<Item = &'a SourceId> {
        self.checked
            .iter()
            .filter(move |checked| checked.field == field)
            .map(|checked| &checked.source)
    }
}

/// The fungi tables.
#[derive(Debug, Default)]
pub struct Fungi {
    kinds: Vec<Kind>,
    places: BTreeMap<KindId, usize>,
    pub(super) names: Names,
}

impl Fungi {
    /// All kinds, in the order of the table.
    pub fn kinds(&self) -> &[Kind] {
        &self.kinds
    }

    /// The kind of that id.
    pub fn kind(&self, id: &KindId) -> Option<&Kind> {
        self.places.get(id).and_then(|place| self.kinds.get(*place))
    }

    /// A kind's vernacular names by language (BCP 47 tag), the preferred one first.
    pub fn vernacular(&self, id: &KindId) -> Option<&BTreeMap<String, Vec<String>>> {
        self.names.vernacular(id)
    }

    /// The same fungi without one kind: for whoever wants to see what a table with fewer rows says.
    #[must_use]
    pub fn without(&self, id: &KindId) -> Fungi {
        let kinds: Vec<Kind> = self
            .kinds
            .iter()
            .filter(|kind| kind.id != *id)
            .map(|kind| Kind {
                dangerous_lookalikes: kind
                    .dangerous_lookalikes
                    .iter()
                    .filter(|other| *other != id)
                    .cloned()
                    .collect(),
                ..kind.clone()
            })
            .collect();
        Fungi {
            places: places(&kinds),
            kinds,
            names: self.names.without(id),
        }
    }

    pub(super) fn read(
        tables: &Tables,
        trees: &Trees,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) -> Fungi {
        let mut kinds: Vec<Kind> = Vec::new();
        let rows = rows(TABLE, tables.fungi, COLUMNS, mistakes);
        for row in &rows {
            let kind = kind(row, sources, mistakes);
            if kinds.iter().any(|known| known.id == kind.id) {
                mistakes.push(row.mistake("id", kind.id.as_str(), "an id that no other kind has"));
            }
            kinds.push(kind);
        }
        let mut fungi = Fungi {
            places: places(&kinds),
            kinds,
            names: Names::default(),
        };
        fungi.read_hosts(tables.hosts, trees, sources, mistakes);
        fungi.read_checked(tables.checked, sources, mistakes);
        for (row, kind) in rows.iter().zip(&fungi.kinds) {
            fungi.check(row, kind, mistakes);
        }
        fungi.names = Names::read(tables, &fungi, sources, mistakes);
        fungi
    }

    /// The place of the kind a row names in its column `kind`, or a mistake.
    pub(super) fn place_of(&self, row: &Row, mistakes: &mut Vec<TableError>) -> Option<usize> {
        let place = self.places.get(&KindId::new(row.cell("kind"))).copied();
        if place.is_none() {
            mistakes.push(row.mistake("kind", row.cell("kind"), "the id of a row in fungi.csv"));
        }
        place
    }

    fn read_hosts(&mut self, text: &str, trees: &Trees, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["kind", "genus", "rating", "source"];
        let mut seen = BTreeSet::new();
        for row in rows("hosts.csv", text, COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let genus = row.cell("genus");
            let known = Genus::parse(genus).filter(|genus| trees.genera().any(|known| known.genus == *genus));
            if known.is_none() {
                mistakes.push(row.mistake("genus", genus, "a genus that trees.csv has"));
            }
            let rating = word(&row, "rating", Rating::of, Rating::WORDS, mistakes);
            if !seen.insert((row.cell("kind").to_owned(), genus.to_owned())) {
                mistakes.push(row.mistake("genus", genus, "each host of a kind once"));
            }
            if let (Some(place), Some(genus), Some(rating)) = (self.place_of(&row, mistakes), known, rating)
                && let Some(kind) = self.kinds.get_mut(place)
            {
                kind.hosts.push(Host {
                    genus,
                    rating,
                    source,
                });
            }
        }
    }

    fn read_checked(&mut self, text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["kind", "field", "scope", "source"];
        for row in rows("checked.csv", text, COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            if let Some(place) = self.place_of(&row, mistakes)
                && let Some(kind) = self.kinds.get_mut(place)
            {
                kind.checked.push(Checked {
                    field: row.cell("field").to_owned(),
                    scope: row.cell("scope").to_owned(),
                    source,
                });
            }
        }
    }

    /// What must fit together within a row and between rows.
    fn check(&self, row: &Row, kind: &Kind, mistakes: &mut Vec<TableError>) {
        for other in &kind.dangerous_lookalikes {
            if *other == kind.id || !self.places.contains_key(other) {
                mistakes.push(row.mistake(
                    "dangerous_lookalikes",
                    other.as_str(),
                    "ids of other rows in fungi.csv",
                ));
            }
        }
        if kind.status >= CustomStatus::Inedible && !kind.handling.contains(&Handling::N0) {
            let expected = format!(
                "`N0` (do not collect it for food), as its status is {}",
                kind.status.word()
            );
            mistakes.push(row.mistake("handling", row.cell("handling"), expected));
        }
        if (kind.host_role == HostRole::None) != kind.hosts.is_empty() {
            mistakes.push(row.mistake(
                "host_role",
                kind.host_role.word(),
                "`none` where hosts.csv has no host for it, and hosts there otherwise",
            ));
        }
        let obligate = kind
            .hosts
            .iter()
            .filter(|host| host.rating == Rating::Obligate)
            .count();
        if obligate > 0 && kind.hosts.len() > 1 {
            let found = format!("{} hosts, {obligate} of them obligate", kind.hosts.len());
            mistakes.push(row.mistake(
                "host_role",
                &found,
                "an obligate host to be the only one in hosts.csv",
            ));
        }
        if let Some(month) = kind
            .months_core
            .iter()
            .find(|month| !kind.months_temperate.is_empty() && !kind.months_temperate.contains(*month))
        {
            mistakes.push(row.mistake(
                "months_core",
                &month.to_string(),
                "months that months_temperate has too",
            ));
        }
    }
}

fn places(kinds: &[Kind]) -> BTreeMap<KindId, usize> {
    kinds
        .iter()
        .enumerate()
        .map(|(place, kind)| (kind.id.clone(), place))
        .collect()
}

const TABLE: &str = "fungi.csv";
const COLUMNS: &[&str] = &[
    "id",
    "scientific_name",
    "region",
    "guild",
    "host_role",
    "months_temperate",
    "months_core",
    "months_boreal",
    "months_mediterranean",
    "soil_reaction",
    "habitat",
    "stand_age",
    "status",
    "dangerous_lookalikes",
    "handling",
    "sources",
    "confidence",
    "note",
];

/// Reads a word, or tells which words would do.
fn word<T>(
    row: &Row,
    column: &'static str,
    of: impl Fn(&str) -> Option<T>,
    words: &[&str],
    mistakes: &mut Vec<TableError>,
) -> Option<T> {
    let value = of(row.cell(column));
    if value.is_none() {
        mistakes.push(row.mistake(column, row.cell(column), format!("one of {}", words.join(", "))));
    }
    value
}

/// Reads a list of words.
fn list<T>(
    row: &Row,
    column: &'static str,
    of: impl Fn(&str) -> Option<T>,
    words: &[&str],
    mistakes: &mut Vec<TableError>,
) -> Vec<T> {
    let mut values = Vec::new();
    for part in row.list(column) {
        match of(part) {
            Some(value) => values.push(value),
            None => mistakes.push(row.mistake(column, part, format!("words out of {}", words.join(", ")))),
        }
    }
    values
}

/// Reads months such as `8;9;10`; `none` for no month; an empty cell is not known.
fn months(row: &Row, column: &'static str, mistakes: &mut Vec<TableError>) -> Option<Months> {
    match row.cell(column) {
        "" => return None,
        "none" => return Some(Months::default()),
        _ => {}
    }
    let mut months = Months::default();
    for part in row.list(column) {
        match part.parse::<u8>() {
            Ok(month @ 1..=12) if !months.contains(month) => months.0 |= 1 << month,
            _ => mistakes.push(row.mistake(
                column,
                part,
                "months from 1 to 12, each once, or `none`, or an empty cell",
            )),
        }
    }
    Some(months)
}

fn kind(row: &Row, sources: &Sources, mistakes: &mut Vec<TableError>) -> Kind {
    let scientific = row.cell("scientific_name");
    if ScientificName::parse(scientific).is_none_or(|name| name.epithet.is_none()) {
        mistakes.push(row.mistake("scientific_name", scientific, "the name of a species"));
    }
    let named: Vec<SourceId> = row.list("sources").map(SourceId::new).collect();
    for source in &named {
        if sources.get(source).is_none() {
            mistakes.push(row.mistake("sources", source.as_str(), "ids of rows in sources.csv"));
        }
    }
    if named.is_empty() {
        mistakes.push(row.mistake("sources", "", "ids of rows in sources.csv"));
    }
    let temperate = months(row, "months_temperate", mistakes);
    if temperate.is_none() {
        mistakes.push(row.mistake("months_temperate", "", "months such as `8;9;10`, or `none`"));
    }
    // A word that could not be read has been told as a mistake, and the tables are refused; what stands in for it
    // here is never used.
    Kind {
        id: KindId::new(row.cell("id")),
        scientific: scientific.to_owned(),
        region: word(row, "region", Region::of, Region::WORDS, mistakes).unwrap_or(Region::Both),
        guild: word(row, "guild", Guild::of, Guild::WORDS, mistakes).unwrap_or(Guild::SaprotrophSoil),
        host_role: word(row, "host_role", HostRole::of, HostRole::WORDS, mistakes).unwrap_or(HostRole::None),
        hosts: Vec::new(),
        months_temperate: temperate.unwrap_or_default(),
        months_core: months(row, "months_core", mistakes).unwrap_or_default(),
        months_boreal: months(row, "months_boreal", mistakes),
        months_mediterranean: months(row, "months_mediterranean", mistakes),
        soil: word(
            row,
            "soil_reaction",
            SoilPreference::of,
            SoilPreference::WORDS,
            mistakes,
        )
        .unwrap_or(SoilPreference::Indifferent),
        habitats: list(row, "habitat", Habitat::of, Habitat::WORDS, mistakes),
        age: word(
            row,
            "stand_age",
            AgePreference::of,
            AgePreference::WORDS,
            mistakes,
        )
        .unwrap_or(AgePreference::Indifferent),
        status: word(row, "status", CustomStatus::of, CustomStatus::WORDS, mistakes)
            .unwrap_or(CustomStatus::Deadly),
        dangerous_lookalikes: row.list("dangerous_lookalikes").map(KindId::new).collect(),
        handling: list(row, "handling", Handling::of, Handling::WORDS, mistakes),
        sources: named,
        checked: Vec::new(),
        confidence: word(row, "confidence", Confidence::of, Confidence::WORDS, mistakes)
            .unwrap_or(Confidence::Memory),
        note: row.cell("note").to_owned(),
    }
}
