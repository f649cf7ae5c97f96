//! Trees: each genus with its mycorrhizal type, species that differ from their genus, names in several languages,
//! synonyms, groups. In go the tree tables, out come typed rows; reading words off a map is `tree_words`.

use crate::order::{self, Lookup};
use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::Tables;
use super::sources::Sources;
use super::table::{Row, TableError, rows};
use super::tree_names::{Meaning, TreeNames};
use crate::names::{Genus, ScientificName, SourceId, primary_language};
use crate::stand::Tree;

/// How a tree's roots live with fungi.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Mycorrhiza {
    /// With fungi that fruit above ground, cep and chanterelle among them.
    Ectomycorrhizal,
    /// With both kinds.
    Dual,
    /// With fungi that make no mushrooms.
    Arbuscular,
    /// The heath type.
    Ericoid,
    /// Without, or arbuscular at best.
    NonMycorrhizal,
    /// The published lists do not settle it.
    Uncertain,
}

impl Mycorrhiza {
    /// All types, in the order of the tables.
    pub const ALL: [Mycorrhiza; 6] = [
        Mycorrhiza::Ectomycorrhizal,
        Mycorrhiza::Dual,
        Mycorrhiza::Arbuscular,
        Mycorrhiza::Ericoid,
        Mycorrhiza::NonMycorrhizal,
        Mycorrhiza::Uncertain,
    ];

    /// The word the tables and the screen's keys use.
    pub fn word(self) -> &'static str {
        match self {
            Mycorrhiza::Ectomycorrhizal => "ectomycorrhizal",
            Mycorrhiza::Dual => "dual",
            Mycorrhiza::Arbuscular => "arbuscular",
            Mycorrhiza::Ericoid => "ericoid",
            Mycorrhiza::NonMycorrhizal => "non_mycorrhizal",
            Mycorrhiza::Uncertain => "uncertain",
        }
    }
}

/// Whether a genus is counted with the conifers or the broadleaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Leaf {
    Conifer,
    Broadleaf,
}

/// One genus of trees or shrubs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreeGenus {
    /// The genus.
    pub genus: Genus,
    /// Its family.
    pub family: String,
    /// Conifer or broadleaf.
    pub leaf: Leaf,
    /// Its mycorrhizal type.
    pub mycorrhiza: Mycorrhiza,
    /// Where the type comes from.
    pub source: SourceId,
    /// A remark, where sources differ; may be empty.
    pub note: String,
}

/// The mycorrhizal type of one species or genus, and whose word it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TypeOf<'a> {
    /// The type.
    pub mycorrhiza: Mycorrhiza,
    /// Where it comes from.
    pub source: &'a SourceId,
}

/// A species whose type is not that of its genus.
#[derive(Debug)]
struct Exception {
    mycorrhiza: Mycorrhiza,
    source: SourceId,
}

/// What a word on a stand map stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Resolved {
    /// The tree, any of several, or unresolved.
    pub tree: Tree,
    /// How it was found.
    pub how: How,
    /// For an unresolved word: the known word most like it. Never applied by itself.
    pub suggestion: Option<String>,
}

/// How a word was resolved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// A scientific name of a species in a known genus.
    Exact,
    /// A scientific name that is a synonym of another.
    Synonym,
    /// A genus alone.
    Genus,
    /// A vernacular name.
    Vernacular,
    /// A word for several genera, or several names in one cell.
    Group,
    /// A word that means different trees in different languages, and the map declares none that settles it.
    Ambiguous,
    /// Not known.
    Unresolved,
}

/// The tree tables.
#[derive(Debug, Default)]
pub struct Trees {
    genera: Lookup<Genus, TreeGenus>,
    exceptions: Lookup<ScientificName, Exception>,
    synonyms: BTreeMap<ScientificName, ScientificName>,
    /// The synonyms of whole genera, by genus.
    pub(super) genus_synonyms: Lookup<Genus, Genus>,
    groups: BTreeMap<String, Vec<Genus>>,
    names: TreeNames,
}

const TREES: &str = "trees.csv";
const SPECIES: &str = "tree_species.csv";
const SYNONYMS: &str = "trees_synonyms.csv";
const GROUPS: &str = "groups.csv";

impl Trees {
    /// What is known of a genus, under the name the tables use or a synonym of it.
    pub fn genus(&self, genus: &Genus) -> Option<&TreeGenus> {
        self.genera.get(self.accepted_genus(genus))
    }

    /// The mycorrhizal type of a species or genus: the species' own where it differs, else that of its genus. A hybrid
    /// goes by its genus. `None` where no table has the genus.
    pub fn type_of(&self, taxon: &ScientificName) -> Option<TypeOf<'_>> {
        if let Some(own) = self.exceptions.get(taxon) {
            return Some(TypeOf {
                mycorrhiza: own.mycorrhiza,
                source: &own.source,
            });
        }
        self.genus(&taxon.genus).map(|genus| TypeOf {
            mycorrhiza: genus.mycorrhiza,
            source: &genus.source,
        })
    }

    /// Whether the tables have a genus under exactly this name.
    pub(super) fn has_genus(&self, genus: &Genus) -> bool {
        self.genera.contains_key(genus)
    }

    /// All genera, by name.
    pub fn genera(&self) -> impl Iterator<Item = &TreeGenus> {
        let mut genera: Vec<&TreeGenus> = self.genera.values().collect();
        order::by(&mut genera, |one, other| one.genus.cmp(&other.genus));
        genera.into_iter()
    }

    /// A group by its name in groups.csv.
    pub fn group(&self, name: &str) -> Option<Tree> {
        self.groups.get(name).map(|genera| Tree::AnyOf {
            group: name.to_owned(),
            genera: genera.clone(),
        })
    }

    /// The names of all groups.
    pub fn groups(&self) -> impl Iterator<Item = &str> {
        self.groups.keys().map(String::as_str)
    }

    /// The names of a species or genus, the preferred one of each language (BCP 47 tag) first; a species without a
    /// name of its own has none.
    pub fn names(&self, taxon: &ScientificName) -> Option<&BTreeMap<String, Vec<String>>> {
        let plain = ScientificName {
            hybrid: false,
            ..taxon.clone()
        };
        self.names.of(&plain)
    }

    /// The everyday name of a species, else of its genus, in the first of the wanted languages (BCP 47 tags) that has
    /// one, with that language.
    pub fn everyday_name<'a>(
        &'a self,
        taxon: &ScientificName,
        wanted: &[&'a str],
    ) -> Option<(&'a str, &'a str)> {
        let alone = genus_alone(taxon.genus.clone());
        wanted.iter().find_map(|tag| {
            let name = self.name_in(taxon, tag).or_else(|| self.name_in(&alone, tag))?;
            Some((name, primary_language(tag)))
        })
    }

    /// The name to show in a language, as it is said in its region (`fr-CA`) where that differs.
    fn name_in(&self, taxon: &ScientificName, tag: &str) -> Option<&str> {
        let names = self.names(taxon)?;
        let names = names.get(tag).or_else(|| names.get(primary_language(tag)));
        names?.first().map(String::as_str)
    }

    /// The name to show for a genus in a language.
    pub fn genus_name(&self, genus: &Genus, language: &str) -> Option<&str> {
        self.name_in(&genus_alone(genus.clone()), language)
    }

    pub(super) fn synonym(&self, name: &ScientificName) -> Option<&ScientificName> {
        if !name.hybrid {
            return self.synonyms.get(name);
        }
        let plain = ScientificName {
            hybrid: false,
            ..name.clone()
        };
        self.synonyms.get(&plain)
    }

    /// What a word means: in the first of the wanted languages that has it, else in all languages.
    pub(super) fn meanings(&self, word: &str, wanted: &[&str]) -> Vec<&Meaning> {
        self.names.meanings(word, wanted)
    }

    /// Every word that could be suggested: genera, species that have an everyday name, everyday names in the wanted
    /// languages, or in all where none is wanted.
    pub(super) fn known_words(&self, wanted: &[&str]) -> Vec<String> {
        let mut words: Vec<String> = self.genera().map(|known| known.genus.to_string()).collect();
        for (taxon, name) in self.names.all(wanted) {
            let taxon = taxon.to_string();
            if words.last() != Some(&taxon) && !words.contains(&taxon) {
                words.push(taxon);
            }
            words.push(name.to_owned());
        }
        words.extend(self.synonyms.keys().map(ToString::to_string));
        words
    }

    pub(super) fn read(tables: &Tables, sources: &Sources, mistakes: &mut Vec<TableError>) -> Trees {
        let mut trees = Trees::default();
        trees.read_genera(tables.trees, sources, mistakes);
        trees.read_species(tables.tree_species, sources, mistakes);
        trees.read_synonyms(tables.trees_synonyms, sources, mistakes);
        trees.genus_synonyms = trees
            .synonyms
            .iter()
            .filter(|(synonym, _)| synonym.epithet.is_none() && !synonym.hybrid)
            .map(|(synonym, accepted)| (synonym.genus.clone(), accepted.genus.clone()))
            .collect();
        trees.read_groups(tables.groups, sources, mistakes);
        trees.names = TreeNames::read(tables, &trees, sources, mistakes);
        trees
    }

    fn read_genera(&mut self, text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["genus", "family", "leaf", "mycorrhiza", "source", "note"];
        for row in rows(TREES, text, COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let Some(genus) = Genus::parse(row.cell("genus")) else {
                mistakes.push(row.mistake("genus", row.cell("genus"), "a genus name such as `Quercus`"));
                continue;
            };
            let leaf = match row.cell("leaf") {
                "conifer" => Leaf::Conifer,
                "broadleaf" => Leaf::Broadleaf,
                other => {
                    mistakes.push(row.mistake("leaf", other, "`conifer` or `broadleaf`"));
                    continue;
                }
            };
            let Some(mycorrhiza) = mycorrhiza(&row, mistakes) else {
                continue;
            };
            let known = TreeGenus {
                genus: genus.clone(),
                family: row.cell("family").to_owned(),
                leaf,
                mycorrhiza,
                source,
                note: row.cell("note").to_owned(),
            };
            if self.genera.insert(genus.clone(), known).is_some() {
                mistakes.push(row.mistake("genus", genus.as_str(), "each genus once"));
            }
        }
    }

    fn read_species(&mut self, text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["species", "mycorrhiza", "source", "note"];
        for row in rows(SPECIES, text, COLUMNS, mistakes) {
            let source = sources.of(&row, mistakes);
            let name = row.cell("species");
            let Some(species) = ScientificName::parse(name).filter(|species| species.epithet.is_some())
            else {
                mistakes.push(row.mistake("species", name, "a species such as `Quercus robur`"));
                continue;
            };
            let Some(mycorrhiza) = mycorrhiza(&row, mistakes) else {
                continue;
            };
            match self.genera.get(&species.genus) {
                None => mistakes.push(row.mistake("species", name, "a genus that trees.csv has")),
                Some(genus) if genus.mycorrhiza == mycorrhiza => {
                    let other = format!("another type than its genus has in {TREES}, or no row");
                    mistakes.push(row.mistake("mycorrhiza", mycorrhiza.word(), other));
                }
                Some(_) => {}
            }
            if self
                .exceptions
                .insert(species, Exception { mycorrhiza, source })
                .is_some()
            {
                mistakes.push(row.mistake("species", name, "each species once"));
            }
        }
    }

    fn read_synonyms(&mut self, text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["name", "accepted", "source"];
        for row in rows(SYNONYMS, text, COLUMNS, mistakes) {
            sources.of(&row, mistakes);
            let (Some(name), Some(accepted)) = (
                ScientificName::parse(row.cell("name")),
                ScientificName::parse(row.cell("accepted")),
            ) else {
                mistakes.push(row.mistake("name", row.cell("name"), "two scientific names"));
                continue;
            };
            if name.epithet.is_none() && self.genera.contains_key(&name.genus) {
                mistakes.push(row.mistake("name", row.cell("name"), "a genus that trees.csv does not have"));
            }
            if self.exceptions.contains_key(&name) {
                let expected =
                    format!("a name that {SPECIES} does not have; give the type to the accepted name");
                mistakes.push(row.mistake("name", row.cell("name"), expected));
            }
            if !self.genera.contains_key(&accepted.genus) {
                mistakes.push(row.mistake("accepted", row.cell("accepted"), "a genus that trees.csv has"));
            }
            if self.synonyms.insert(name, accepted).is_some() {
                mistakes.push(row.mistake("name", row.cell("name"), "each synonym once"));
            }
        }
    }

    fn read_groups(&mut self, text: &str, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["group", "genus", "source"];
        let mut seen = BTreeSet::new();
        for row in rows(GROUPS, text, COLUMNS, mistakes) {
            sources.of(&row, mistakes);
            let known = Genus::parse(row.cell("genus")).filter(|genus| self.genera.contains_key(genus));
            let Some(genus) = known else {
                mistakes.push(row.mistake("genus", row.cell("genus"), "a genus that trees.csv has"));
                continue;
            };
            if !seen.insert((row.cell("group").to_owned(), genus.clone())) {
                mistakes.push(row.mistake("genus", genus.as_str(), "each genus once in a group"));
            }
            self.groups
                .entry(row.cell("group").to_owned())
                .or_default()
                .push(genus);
        }
    }
}

/// The mycorrhizal type in a row.
fn mycorrhiza(row: &Row, mistakes: &mut Vec<TableError>) -> Option<Mycorrhiza> {
    let word = row.cell("mycorrhiza");
    let known = Mycorrhiza::ALL.into_iter().find(|known| known.word() == word);
    if known.is_none() {
        let words = Mycorrhiza::ALL.map(Mycorrhiza::word).join(", ");
        mistakes.push(row.mistake("mycorrhiza", word, format!("one of {words}")));
    }
    known
}

/// The name of a genus alone.
fn genus_alone(genus: Genus) -> ScientificName {
    ScientificName {
        genus,
        epithet: None,
        hybrid: false,
    }
}
