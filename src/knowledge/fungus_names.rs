//! Names of fungi: synonyms and vernacular names. In goes a name as a rule book or a visitor writes it, out comes the
//! kind it stands for; which kinds a rule means is left to `rules`.

use std::collections::{BTreeMap, BTreeSet};

use super::Tables;
use super::fungi::{Fungi, Kind};
use super::sources::Sources;
use super::table::{Row, TableError, rows_with_region};
use super::tree_words::folded;
use crate::names::{FungusNames, KindId, ScientificName};

pub(super) const SYNONYMS: &str = "fungi_synonyms.csv";
pub(super) const SYNONYM_COLUMNS: &[&str] = &["kind", "name", "sense", "source"];
pub(super) const VERNACULAR: &str = "fungi_names.csv";
pub(super) const VERNACULAR_COLUMNS: &[&str] = &["kind", "language", "name", "source"];

/// How many words of a name may belong to the name itself: genus, epithet, rank, epithet.
const LONGEST: usize = 4;

/// The names of all kinds.
#[derive(Debug, Default, Clone)]
pub(super) struct Names {
    /// Folded scientific name without author to kind.
    scientific: BTreeMap<String, KindId>,
    /// Folded genus to kinds.
    genera: BTreeMap<String, BTreeSet<KindId>>,
    vernacular: BTreeMap<KindId, BTreeMap<String, Vec<String>>>,
}

impl Names {
    pub(super) fn vernacular(&self, id: &KindId) -> Option<&BTreeMap<String, Vec<String>>> {
        self.vernacular.get(id)
    }

    pub(super) fn read(
        tables: &Tables,
        fungi: &Fungi,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) -> Names {
        let mut names = Names::default();
        for (row, kind) in fungi.kinds_with_rows() {
            if let Some(name) = ScientificName::parse(&kind.scientific)
                && let Some(other) = names.add(&name.to_string(), &kind.id)
            {
                let expected =
                    format!("a name that `{other}` does not have; to correct that kind, use its id");
                mistakes.push(row.mistake("scientific_name", &kind.scientific, expected));
            }
        }
        names.read_synonyms(tables, fungi, sources, mistakes);
        names.read_vernacular(tables, fungi, sources, mistakes);
        names
    }

    /// Adds a scientific name; gives back the kind that had it before, if it was another.
    fn add(&mut self, name: &str, id: &KindId) -> Option<KindId> {
        let name = folded(name);
        if let Some(genus) = name.split(' ').next() {
            self.genera
                .entry(genus.to_owned())
                .or_default()
                .insert(id.clone());
        }
        let before = self.scientific.insert(name, id.clone());
        before.filter(|before| before != id)
    }

    fn read_synonyms(
        &mut self,
        tables: &Tables,
        fungi: &Fungi,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        let rows = rows_with_region(
            SYNONYMS,
            tables.fungi_synonyms,
            tables.region,
            SYNONYM_COLUMNS,
            mistakes,
        );
        for row in rows {
            sources.of(&row, mistakes);
            let place = fungi.place_of(&row, mistakes);
            let name = row.cell("name");
            if ScientificName::parse(name).is_none_or(|name| name.epithet.is_none()) {
                mistakes.push(row.mistake("name", name, "the name of a species"));
                continue;
            }
            match row.cell("sense") {
                "synonym" | "included" => {}
                // The name belongs to another species; it is kept for the record and never leads here.
                "misapplied" => continue,
                other => {
                    mistakes.push(row.mistake("sense", other, "`synonym`, `included` or `misapplied`"));
                    continue;
                }
            }
            if let Some(kind) = place.and_then(|place| fungi.kinds().get(place))
                && let Some(other) = self.add(name, &kind.id)
            {
                let expected = format!("a name that `{other}` does not have");
                mistakes.push(row.mistake("name", name, expected));
            }
        }
    }

    fn read_vernacular(
        &mut self,
        tables: &Tables,
        fungi: &Fungi,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        let rows = rows_with_region(
            VERNACULAR,
            tables.fungi_names,
            tables.region,
            VERNACULAR_COLUMNS,
            mistakes,
        );
        for row in rows {
            sources.of(&row, mistakes);
            for column in ["language", "name"] {
                if row.cell(column).is_empty() {
                    mistakes.push(row.mistake(column, "", "some text"));
                }
            }
            if let Some(kind) = fungi
                .place_of(&row, mistakes)
                .and_then(|place| fungi.kinds().get(place))
            {
                let given = row.list("name").map(ToOwned::to_owned);
                let known = self
                    .vernacular
                    .entry(kind.id.clone())
                    .or_default()
                    .entry(row.cell("language").to_owned())
                    .or_default();
                place_names(known, given.collect(), &row, kind);
            }
        }
    }
}

/// Adds the names of a row. A region's own name is the one its visitors know and comes first; a poisonous kind keeps the
/// name it is known by everywhere.
fn place_names(known: &mut Vec<String>, given: Vec<String>, row: &Row, kind: &Kind) {
    known.retain(|name| !given.contains(name) || row.region().is_none());
    if row.region().is_some() && !kind.is_poisonous() {
        known.splice(0..0, given);
    } else {
        known.extend(given);
    }
}

impl FungusNames for Fungi {
    fn kind_of(&self, name: &str) -> Option<KindId> {
        let name = folded(name);
        let words: Vec<&str> = name.split(' ').collect();
        // The longest name first, so that a variety that is a kind of its own is not taken for its species.
        (2..=words.len().min(LONGEST))
            .rev()
            .filter_map(|count| words.get(..count))
            .find_map(|words| self.names.scientific.get(&words.join(" ")).cloned())
    }

    fn nearest(&self, name: &str) -> Option<String> {
        let wanted = ScientificName::parse(name)?.to_string().to_lowercase();
        self.kinds()
            .iter()
            .filter_map(|kind| Some(ScientificName::parse(&kind.scientific)?.to_string()))
            .map(|known| (strsim::damerau_levenshtein(&wanted, &known.to_lowercase()), known))
            .filter(|(distance, known)| *distance <= 1 + known.len() / 8)
            .min()
            .map(|(_, known)| known)
    }

    fn kinds_of_genus(&self, genus: &str) -> Vec<KindId> {
        self.names
            .genera
            .get(&folded(genus))
            .map(|kinds| kinds.iter().cloned().collect())
            .unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    #[test]
    fn rule_books_may_write_a_fungus_in_many_ways() {
        let fungi = &Knowledge::shipped().fungi;
        for (name, expected) in [
            ("Boletus edulis", Some("boletus_edulis")),
            ("Boletus edulis Bull.", Some("boletus_edulis")),
            ("boletus_edulis", Some("boletus_edulis")),
            ("BOLETUS SATANAS Lenz", Some("rubroboletus_satanas")),
            // Names of the German species protection ordinance (BArtSchV annex 1, by a district's notice).
            ("Tricholoma flavovirens", Some("tricholoma_equestre")),
            ("Lactarius volemus", Some("lactifluus_volemus")),
            ("Boletus aereus", Some("boletus_aereus")),
            (
                "Lactarius deliciosus var. piceus Smotl.",
                Some("lactarius_deterrimus"),
            ),
            ("Lactarius deliciosus (L.) Gray", Some("lactarius_deliciosus")),
            ("Auricularia auricula-judae", Some("auricularia_auricula_judae")),
            ("Armillaria mellea", Some("armillaria_mellea_group")),
            // A name misapplied to an American kind stays with its owner.
            ("Boletus pinophilus", Some("boletus_pinophilus")),
            ("Boletus", None),
            ("Boletus appendiculatus", None),
            ("cep", None),
            ("", None),
        ] {
            assert_eq!(
                fungi.kind_of(name).as_ref().map(KindId::as_str),
                expected,
                "{name}"
            );
        }
    }

    #[test]
    fn a_misspelt_name_leads_to_the_one_that_is_meant() {
        let fungi = &Knowledge::shipped().fungi;
        for (name, expected) in [
            ("Boletus edullis", Some("Boletus edulis")),
            ("Cantarellus cibarius Fr.", Some("Cantharellus cibarius")),
            ("Quercus robur", None),
            ("cep", None),
        ] {
            assert_eq!(fungi.nearest(name).as_deref(), expected, "{name}");
        }
    }

    #[test]
    fn a_genus_covers_its_synonyms_too() {
        let fungi = &Knowledge::shipped().fungi;
        let leccinum: Vec<_> = fungi.kinds_of_genus("Leccinum");
        let leccinum: Vec<_> = leccinum.iter().map(KindId::as_str).collect();
        assert_eq!(
            leccinum,
            [
                "leccinellum_pseudoscabrum",
                "leccinum_aurantiacum",
                "leccinum_insigne",
                "leccinum_scabrum",
                "leccinum_versipelle"
            ]
        );
        assert_eq!(fungi.kinds_of_genus("Picea"), Vec::<KindId>::new());
    }
}
