//! Kinds of fungi: hosts, months, site, custom, doubles, each with its sources. In go the fungi tables, out come typed
//! rows that lead somewhere; which kinds suit a stand is left to `potential`. Nothing here identifies a mushroom.

use std::collections::{BTreeMap, BTreeSet};

use super::Tables;
use super::correction;
use super::fungus_names::{Names, SYNONYM_COLUMNS, SYNONYMS, VERNACULAR, VERNACULAR_COLUMNS};
use super::fungus_rows::{COLUMNS, TABLE, kind, word};
use super::fungus_words::{
    AgePreference, Confidence, CustomStatus, Guild, Habitat, Handling, HostRole, Months, Rating, Region,
    SoilPreference, Syndrome,
};
use super::region::RegionTable;
use super::sources::Sources;
use super::table::{Row, TableError, rows_with_region};
use super::trees::Trees;
use crate::names::{Genus, KindId, SourceId, primary_language};
use crate::stand::Climate;

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

/// What a kind does to those who eat it, or eat it raw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Poisoning {
    /// What it does, and how soon.
    pub syndrome: Syndrome,
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

/// That a region's own file speaks of a kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegionWord {
    /// The file's title.
    pub title: String,
    /// Whether the kind is the region's addition; else the file corrects a shipped one.
    pub added: bool,
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
    pub(super) months_temperate: Months,
    /// The peak in a temperate climate.
    pub months_core: Months,
    pub(super) months_boreal: Option<Months>,
    pub(super) months_mediterranean: Option<Months>,
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
    /// What it does to those who eat it; poisonous and deadly kinds have at least one.
    pub poisonings: Vec<Poisoning>,
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
    /// The region's files that added or corrected it, in their order; none for a kind as shipped.
    pub region_words: Vec<RegionWord>,
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
    /// For each kind the row that last spoke of it, to name in messages.
    rows: Vec<Row>,
    pub(super) names: Names,
}

const HOSTS: &str = "hosts.csv";
const HOST_COLUMNS: &[&str] = &["kind", "genus", "rating", "source"];
const CHECKED: &str = "checked.csv";
const CHECKED_COLUMNS: &[&str] = &["kind", "field", "scope", "source"];
const POISONS: &str = "poisons.csv";
const POISON_COLUMNS: &[&str] = &["kind", "syndrome", "source"];

/// The tables a region may add to, each with its columns.
pub(super) const OPEN_TABLES: [(&str, &[&str]); 7] = [
    (TABLE, COLUMNS),
    (HOSTS, HOST_COLUMNS),
    (POISONS, POISON_COLUMNS),
    (VERNACULAR, VERNACULAR_COLUMNS),
    (SYNONYMS, SYNONYM_COLUMNS),
    (CHECKED, CHECKED_COLUMNS),
    (super::sources::TABLE, super::sources::COLUMNS),
];

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

    /// A kind's everyday name in the first of the wanted languages (BCP 47 tags) that has one, with that language.
    pub fn everyday_name<'a>(&'a self, id: &KindId, wanted: &[&'a str]) -> Option<(&'a str, &'a str)> {
        let names = self.vernacular(id)?;
        wanted.iter().find_map(|tag| {
            let language = primary_language(tag);
            Some((names.get(language)?.first()?.as_str(), language))
        })
    }

    pub(super) fn read(
        tables: &Tables,
        trees: &Trees,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) -> Fungi {
        let mut fungi = Fungi::default();
        let region = tables.region;
        for row in rows_with_region(TABLE, tables.fungi, region, COLUMNS, mistakes) {
            let kind = kind(&row, sources, mistakes);
            fungi.take(row, kind, mistakes);
        }
        fungi.read_hosts(tables.hosts, region, trees, sources, mistakes);
        fungi.read_checked(tables.checked, region, sources, mistakes);
        fungi.read_poisons(tables.poisons, region, sources, mistakes);
        for (row, kind) in fungi.kinds_with_rows() {
            fungi.check(row, kind, mistakes);
        }
        fungi.names = Names::read(tables, &fungi, sources, mistakes);
        fungi
    }

    /// Takes a kind's own row: a new kind, or a region's correction of a shipped one.
    fn take(&mut self, row: Row, mut kind: Kind, mistakes: &mut Vec<TableError>) {
        let before = self.places.get(&kind.id).copied();
        let added = before.is_none();
        kind.region_words = row
            .region()
            .map(|title| RegionWord {
                title: title.to_owned(),
                added,
            })
            .into_iter()
            .collect();
        match before {
            None => {
                self.places.insert(kind.id.clone(), self.kinds.len());
                self.kinds.push(kind);
                self.rows.push(row);
            }
            Some(place) => {
                if let (Some(known), Some(last)) = (self.kinds.get_mut(place), self.rows.get_mut(place)) {
                    if row.region().is_none() || last.region().is_some() {
                        mistakes.push(row.mistake("id", kind.id.as_str(), "an id that no other kind has"));
                    }
                    correction::check(&row, known, &kind, mistakes);
                    *known = kind;
                    *last = row;
                }
            }
        }
    }

    /// Notes that a row speaks of the kind at a place.
    fn note(&mut self, place: usize, row: &Row) {
        let (Some(kind), Some(title)) = (self.kinds.get_mut(place), row.region()) else {
            return;
        };
        if !kind.region_words.iter().any(|word| word.title == title) {
            let added = kind.region_words.iter().any(|word| word.added);
            kind.region_words.push(RegionWord {
                title: title.to_owned(),
                added,
            });
        }
        if let Some(last) = self.rows.get_mut(place) {
            last.clone_from(row);
        }
    }

    /// All kinds, each with the row that last spoke of it.
    pub(super) fn kinds_with_rows(&self) -> impl Iterator<Item = (&Row, &Kind)> {
        self.rows.iter().zip(&self.kinds)
    }

    /// The place of the kind a row names in its column `kind`, or a mistake.
    pub(super) fn place_of(&self, row: &Row, mistakes: &mut Vec<TableError>) -> Option<usize> {
        let place = self.places.get(&KindId::new(row.cell("kind"))).copied();
        if place.is_none() {
            mistakes.push(row.mistake_among(
                "kind",
                row.cell("kind"),
                "the id of a row in fungi.csv",
                self.places.keys().map(KindId::as_str),
            ));
        }
        place
    }

    fn read_hosts(
        &mut self,
        text: &str,
        region: &[RegionTable<'_>],
        trees: &Trees,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        let mut seen = BTreeSet::new();
        for row in rows_with_region(HOSTS, text, region, HOST_COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let genus = row.cell("genus");
            let known = Genus::parse(genus).filter(|genus| trees.has_genus(genus));
            if known.is_none() {
                mistakes.push(row.mistake_among(
                    "genus",
                    genus,
                    "a genus that trees.csv has",
                    trees.genera().map(|known| known.genus.as_str()),
                ));
            }
            let rating = word(&row, "rating", Rating::of, Rating::WORDS, mistakes);
            if !seen.insert((
                row.region().is_some(),
                row.cell("kind").to_owned(),
                genus.to_owned(),
            )) {
                mistakes.push(row.mistake("genus", genus, "each host of a kind once"));
            }
            if let (Some(place), Some(genus), Some(rating)) = (self.place_of(&row, mistakes), known, rating) {
                self.note(place, &row);
                if let Some(kind) = self.kinds.get_mut(place) {
                    // A region may say how closely a shipped kind keeps to a host.
                    kind.hosts.retain(|host| host.genus != genus);
                    kind.hosts.push(Host {
                        genus,
                        rating,
                        source,
                    });
                }
            }
        }
    }

    fn read_checked(
        &mut self,
        text: &str,
        region: &[RegionTable<'_>],
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        for row in rows_with_region(CHECKED, text, region, CHECKED_COLUMNS, mistakes) {
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

    fn read_poisons(
        &mut self,
        text: &str,
        region: &[RegionTable<'_>],
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        for row in rows_with_region(POISONS, text, region, POISON_COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let syndrome = word(&row, "syndrome", Syndrome::of, Syndrome::WORDS, mistakes);
            if let (Some(place), Some(syndrome)) = (self.place_of(&row, mistakes), syndrome) {
                self.note(place, &row);
                if let Some(kind) = self.kinds.get_mut(place) {
                    kind.poisonings.push(Poisoning { syndrome, source });
                }
            }
        }
    }

    /// What must fit together within a row and between rows.
    fn check(&self, row: &Row, kind: &Kind, mistakes: &mut Vec<TableError>) {
        for other in &kind.dangerous_lookalikes {
            if *other == kind.id || !self.places.contains_key(other) {
                let others = self.places.keys().filter(|_| *other != kind.id);
                mistakes.push(row.mistake_among(
                    "dangerous_lookalikes",
                    other.as_str(),
                    "ids of other rows in fungi.csv",
                    others.map(KindId::as_str),
                ));
            }
        }
        for double in kind.dangerous_lookalikes.iter().filter_map(|id| self.kind(id)) {
            if double.status < CustomStatus::Inedible {
                mistakes.push(row.mistake(
                    "dangerous_lookalikes",
                    double.id.as_str(),
                    "kinds that are inedible, poisonous or deadly",
                ));
            }
        }
        if kind.is_poisonous() && kind.poisonings.is_empty() {
            let expected = "what it does in poisons.csv, for a poisonous or deadly kind";
            mistakes.push(row.mistake("status", kind.status.word(), expected));
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
