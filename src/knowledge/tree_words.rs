//! From a word on a stand map to a tree: scientific names, synonyms, vernacular names, groups. In goes one token,
//! out comes what it stands for and how that was found; codes that need a list are left to the crosswalk.

use crate::order::Gather;
use std::collections::BTreeSet;

use super::tree_names::Meaning;
use super::trees::{How, Resolved, Trees};
use crate::names::{Genus, ScientificName};
use crate::stand::Tree;

/// How alike a token and a known word must be to be suggested, 0 to 1. A suggestion is never applied by itself.
const ALIKE: f64 = 0.8;

/// Tokens of more letters are like no name.
const LONGEST: usize = 80;

/// What may stand between several names in one cell, blanks around it.
const BETWEEN: [&str; 16] = [
    " or ", " and ", " oder ", " und ", " ou ", " et ", " o ", " e ", " y ", " i ", " lub ", " nebo ",
    " eller ", " och ", " og ", " tai ",
];

impl Trees {
    /// What a word on a stand map stands for, where nothing tells the map's language.
    pub fn resolve(&self, token: &str) -> Resolved {
        self.resolve_in(token, &[])
    }

    /// What a word on a stand map stands for. `languages` are those the map declares (BCP 47), the first counting first.
    ///
    /// Takes a scientific name with or without author, a genus, a synonym, an everyday name in the singular or plural,
    /// its words turned round or not ("Fichte, Gemeine"), a word for a group ("other broadleaves"), or several of these
    /// with commas, slashes or "or" between them ("fir or spruce"): one or several of them, weights not known. Nothing is
    /// guessed: a near miss is [`How::Unresolved`] with a suggestion, and a word that means different trees in different
    /// languages is [`How::Ambiguous`] unless a declared language has it.
    pub fn resolve_in(&self, token: &str, languages: &[&str]) -> Resolved {
        let found = self.look_up_in(token, languages);
        match found.how {
            How::Unresolved => Resolved {
                suggestion: self.nearest(token.trim(), languages),
                ..found
            },
            _ => found,
        }
    }

    /// The same without a suggestion, which costs a look at every known name.
    pub fn look_up_in(&self, token: &str, languages: &[&str]) -> Resolved {
        let token = token.trim();
        // "Spruce, Norway" is one name turned round before it is two.
        let turned_round = token.contains(',').then(|| self.everyday(token, languages));
        let found = turned_round
            .flatten()
            .or_else(|| self.several(token, languages))
            .or_else(|| self.one(token, languages))
            .or_else(|| self.explained(token, languages))
            .or_else(|| self.either(token, &token.split(['-', '–']).collect::<Vec<_>>(), languages));
        match found {
            Some((tree, how)) => Resolved {
                tree,
                how,
                suggestion: None,
            },
            None => Resolved {
                tree: Tree::Unresolved,
                how: How::Unresolved,
                suggestion: None,
            },
        }
    }

    /// Several names in one cell, with signs or words between them.
    fn several(&self, token: &str, languages: &[&str]) -> Option<(Tree, How)> {
        let mut parts: Vec<&str> = token.split([',', '/', ';', '+', '&']).collect();
        for word in BETWEEN {
            parts = parts.into_iter().flat_map(|part| part.split(word)).collect();
        }
        self.either(token, &parts, languages)
    }

    /// Any of several names. `None` unless there are several, and each is known by itself.
    fn either(&self, token: &str, parts: &[&str], languages: &[&str]) -> Option<(Tree, How)> {
        if parts.len() < 2 {
            return None;
        }
        let mut genera = BTreeSet::new();
        for part in parts {
            match self.one(part.trim(), languages)?.0 {
                Tree::Named(name) => {
                    genera.insert(name.genus);
                }
                Tree::AnyOf { genera: members, .. } => genera.extend(members),
                Tree::Unresolved => return None,
            }
        }
        Some((any_of(token, genera), How::Group))
    }

    /// A name with another in brackets behind it: "Fichte (Picea abies)". Both must be known, or the one in brackets a
    /// scientific name; the scientific one is taken.
    fn explained(&self, token: &str, languages: &[&str]) -> Option<(Tree, How)> {
        let (outer, rest) = token.split_once('(')?;
        let (inner, after) = rest.split_once(')')?;
        if !after.trim().is_empty() {
            return None;
        }
        let inside = self.scientific(inner.trim())?;
        match self.one(outer.trim(), languages) {
            // Two names for two trees in one cell say nothing certain.
            Some((outside, _)) if genera_of(&outside).is_disjoint(&genera_of(&inside.0)) => None,
            _ => Some(inside),
        }
    }

    fn one(&self, token: &str, languages: &[&str]) -> Option<(Tree, How)> {
        if let Some(tree) = self.group(token) {
            return Some((tree, How::Group));
        }
        // A word for a group comes before a genus of that spelling: "acacia" is mostly Robinia.
        match self.everyday(token, languages) {
            Some((tree, how @ (How::Group | How::Ambiguous))) => Some((tree, how)),
            everyday => self.scientific(token).or(everyday),
        }
    }

    /// An everyday name or a word for a group.
    fn everyday(&self, token: &str, languages: &[&str]) -> Option<(Tree, How)> {
        let meanings = self.meanings(token, languages);
        if let [one] = meanings.as_slice() {
            return match one {
                Meaning::Taxon(name) => Some((Tree::Named(name.clone()), How::Vernacular)),
                Meaning::Group(group) => Some((self.group(group)?, How::Group)),
            };
        }
        let mut genera = BTreeSet::new();
        for meaning in meanings {
            match meaning {
                Meaning::Taxon(name) => {
                    genera.insert(name.genus.clone());
                }
                Meaning::Group(group) => genera.extend(genera_of(&self.group(group)?)),
            }
        }
        let first = genera.first()?.clone();
        if genera.len() == 1 {
            let name = ScientificName {
                genus: first,
                epithet: None,
                hybrid: false,
            };
            return Some((Tree::Named(name), How::Vernacular));
        }
        Some((any_of(token, genera), How::Ambiguous))
    }

    fn scientific(&self, token: &str) -> Option<(Tree, How)> {
        let name = ScientificName::parse(&capitalised(token))?;
        let (accepted, was_synonym) = self.accepted(&name);
        self.genus(&accepted.genus)?;
        let how = match (was_synonym, &accepted.epithet) {
            (true, _) => How::Synonym,
            (false, Some(_)) => How::Exact,
            (false, None) => How::Genus,
        };
        Some((Tree::Named(accepted), how))
    }

    /// The known word that is most like the token, if one is alike enough.
    fn nearest(&self, token: &str, languages: &[&str]) -> Option<String> {
        let word = folded(token);
        if !(3..=LONGEST).contains(&word.chars().count()) {
            return None;
        }
        self.known_words(languages)
            .into_iter()
            .map(|known| {
                let alike = strsim::normalized_damerau_levenshtein(&word, &folded(&known));
                (alike, known)
            })
            .filter(|(alike, _)| *alike >= ALIKE)
            // The first of equally alike words, in the order of the tables.
            .fold(None, |best: Option<(f64, String)>, next| match best {
                Some(best) if best.0 >= next.0 => Some(best),
                _ => Some(next),
            })
            .map(|(_, known)| known)
    }

    /// The accepted name of a synonym, and whether it was one.
    fn accepted(&self, name: &ScientificName) -> (ScientificName, bool) {
        if let Some(accepted) = self.synonym(name) {
            return (accepted.clone(), true);
        }
        let alone = ScientificName {
            genus: name.genus.clone(),
            epithet: None,
            hybrid: false,
        };
        match self.synonym(&alone) {
            Some(accepted) => (
                ScientificName {
                    genus: accepted.genus.clone(),
                    ..name.clone()
                },
                true,
            ),
            None => (name.clone(), false),
        }
    }

    /// The genus under the name the tables use: `Torminalis` is `Sorbus` here.
    pub fn accepted_genus<'a>(&'a self, genus: &'a Genus) -> &'a Genus {
        self.genus_synonyms.get(genus).unwrap_or(genus)
    }
}

fn any_of(token: &str, genera: BTreeSet<Genus>) -> Tree {
    Tree::AnyOf {
        group: token.to_owned(),
        genera: genera.into_iter().collect(),
    }
}

fn genera_of(tree: &Tree) -> BTreeSet<Genus> {
    match tree {
        Tree::Named(name) => BTreeSet::from([name.genus.clone()]),
        Tree::AnyOf { genera, .. } => genera.iter().cloned().into_set(),
        Tree::Unresolved => BTreeSet::new(),
    }
}

/// Small letters, single spaces, hyphens as spaces: how words are compared.
pub(super) fn folded(word: &str) -> String {
    word.to_lowercase()
        .replace(['-', '_', '\u{a0}'], " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// A scientific name as it should be written: maps also give `PICEA ABIES` and `picea abies`.
fn capitalised(token: &str) -> String {
    let mut words = token.split(' ');
    let first = words.next().unwrap_or_default();
    let rest: Vec<&str> = words.collect();
    let is_shouted =
        |word: &str| word.chars().any(char::is_uppercase) && !word.chars().any(char::is_lowercase);
    let small_throughout = !token.chars().any(char::is_uppercase);
    // `Abies (Mill.)` stays as it is; `ABIES ALBA` and `abies alba` are turned.
    if !is_shouted(first) && !small_throughout {
        return token.to_owned();
    }
    let lower = first.to_lowercase();
    let mut letters = lower.chars();
    let first = match letters.next() {
        Some(letter) => letter.to_uppercase().collect::<String>() + letters.as_str(),
        None => lower,
    };
    let rest = rest.into_iter().map(|word| {
        if is_shouted(word) {
            word.to_lowercase()
        } else {
            word.to_owned()
        }
    });
    std::iter::once(first).chain(rest).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    fn told(token: &str) -> String {
        told_in(token, &[])
    }

    fn told_in(token: &str, languages: &[&str]) -> String {
        let resolved = Knowledge::shipped().trees.resolve_in(token, languages);
        let tree = match resolved.tree {
            Tree::Named(name) => name.to_string(),
            Tree::AnyOf { genera, .. } => {
                let genera: Vec<_> = genera.iter().map(Genus::as_str).collect();
                genera.join("|")
            }
            Tree::Unresolved => "?".to_owned(),
        };
        let suggestion = resolved
            .suggestion
            .map_or(String::new(), |near| format!(", perhaps {near}"));
        format!("{tree} ({:?}{suggestion})", resolved.how)
    }

    #[test]
    fn words_of_stand_maps_become_trees() {
        // The kinds of token are those that published stand maps were seen to use.
        for (token, expected) in [
            ("Quercus robur L.", "Quercus robur (Exact)"),
            ("Abies alba Mill., 1768", "Abies alba (Exact)"),
            ("PICEA ABIES", "Picea abies (Exact)"),
            ("picea_abies", "Picea abies (Exact)"),
            ("Populus × canadensis Moench", "Populus × canadensis (Exact)"),
            ("Quercus pedunculata", "Quercus robur (Synonym)"),
            ("Picea excelsa (Lam.) Link", "Picea abies (Synonym)"),
            ("Torminalis glaberrima", "Sorbus torminalis (Synonym)"),
            ("Cormus sp.", "Sorbus (Synonym)"),
            ("Padus maackii", "Prunus maackii (Synonym)"),
            ("Betula spp.", "Betula (Genus)"),
            ("betula", "Betula (Genus)"),
            ("Quercus robur/petraea", "Quercus (Genus)"),
            ("Sitka spruce", "Picea sitchensis (Vernacular)"),
            ("Oaks", "Quercus (Vernacular)"),
            ("larches", "Larix (Vernacular)"),
            ("Rotbuche", "Fagus sylvatica (Vernacular)"),
            ("Small-leaved lime", "Tilia cordata (Vernacular)"),
            ("Sapin, épicéa", "Abies|Picea (Group)"),
            ("fir or spruce", "Abies|Picea (Group)"),
            ("Pinus sylvestris, Betula pendula", "Betula|Pinus (Group)"),
            ("ironwood", "Carpinus|Ostrya (Group)"),
            ("boreal_conifer", "Abies|Larix|Picea|Pinus (Group)"),
            (
                "cedar",
                "Calocedrus|Cedrus|Chamaecyparis|Cryptomeria|Juniperus|Thuja (Group)",
            ),
            ("Quercu robur", "? (Unresolved, perhaps Quercus robur)"),
            ("Norway sprice", "? (Unresolved, perhaps Norway spruce)"),
            ("SB", "? (Unresolved)"),
            ("Felled", "? (Unresolved)"),
            ("NR", "? (Unresolved)"),
            ("岩石地", "? (Unresolved)"),
            ("", "? (Unresolved)"),
        ] {
            assert_eq!(told(token), expected, "`{token}`");
        }
    }

    #[test]
    fn everyday_names_are_read_in_the_languages_of_forestry() {
        // Names as forest services print them; from memory.
        for (token, expected) in [
            ("Gemeine Fichte", "Picea abies (Vernacular)"),
            ("Fichte, Gemeine", "Picea abies (Vernacular)"),
            ("Fichten", "Picea (Vernacular)"),
            ("Stiel-Eiche", "Quercus robur (Vernacular)"),
            ("Stieleichen", "Quercus robur (Vernacular)"),
            ("Laerche", "Larix (Vernacular)"),
            ("Föhre", "Pinus (Vernacular)"),
            ("Norway spruces", "Picea abies (Vernacular)"),
            ("Pine, Scots", "Pinus sylvestris (Vernacular)"),
            ("Douglas-fir", "Pseudotsuga (Vernacular)"),
            ("Whitebark pine", "Pinus albicaulis (Vernacular)"),
            ("sapin pectiné", "Abies alba (Vernacular)"),
            ("sapins pectinés", "Abies alba (Vernacular)"),
            ("Hêtre", "Fagus (Vernacular)"),
            ("Chêne-liège", "Quercus suber (Vernacular)"),
            ("pin d’Alep", "Pinus halepensis (Vernacular)"),
            ("épinette noire", "Picea mariana (Vernacular)"),
            ("świerk pospolity", "Picea abies (Vernacular)"),
            ("swierk pospolity", "Picea abies (Vernacular)"),
            ("świerki", "Picea (Vernacular)"),
            ("Dąb szypułkowy", "Quercus robur (Vernacular)"),
            ("smrk ztepilý", "Picea abies (Vernacular)"),
            ("modřín opadavý", "Larix decidua (Vernacular)"),
            ("abeti rossi", "Picea abies (Vernacular)"),
            ("faggio", "Fagus (Vernacular)"),
            ("querce", "Quercus (Vernacular)"),
            ("carpino nero", "Ostrya (Vernacular)"),
            ("carpino", "Carpinus|Ostrya (Group)"),
            ("abete", "Abies|Picea (Group)"),
            ("pinos silvestres", "Pinus sylvestris (Vernacular)"),
            ("alcornoques", "Quercus suber (Vernacular)"),
            ("sobreiro", "Quercus suber (Vernacular)"),
            ("kuusi", "Picea (Vernacular)"),
            ("Mänty", "Pinus (Vernacular)"),
            ("hieskoivu", "Betula pubescens (Vernacular)"),
            ("gran", "Picea (Vernacular)"),
            ("tallar", "Pinus (Vernacular)"),
            ("bøg", "Fagus (Vernacular)"),
            ("Rødgran", "Picea abies (Vernacular)"),
            ("Zomereik", "Quercus robur (Vernacular)"),
            ("kocsánytalan tölgy", "Quercus petraea (Vernacular)"),
            ("ヒノキ", "Chamaecyparis obtusa (Vernacular)"),
            ("Fichte (Picea abies)", "Picea abies (Exact)"),
            ("Rottanne (Picea abies)", "Picea abies (Exact)"),
            ("Tanne (Picea abies)", "? (Unresolved)"),
            ("Bjørk / lauv", &told("broadleaf")),
            ("Fichte-Tanne", "Abies|Picea (Group)"),
            ("Eiche und Buche", "Fagus|Quercus (Group)"),
            ("ALM", "? (Unresolved, perhaps alm)"),
            ("EN", "? (Unresolved)"),
            ("OAK", "Quercus (Vernacular)"),
        ] {
            assert_eq!(told(token), expected, "`{token}`");
        }
    }

    #[test]
    fn a_declared_language_settles_what_a_word_means() {
        for (token, languages, expected) in [
            ("merisier", &["fr"][..], "Prunus avium (Vernacular)"),
            ("merisier", &["fr-CA"], "Betula alleghaniensis (Vernacular)"),
            ("merisier", &[], "Betula|Prunus (Ambiguous)"),
            ("sycamore", &["en-GB"], "Acer pseudoplatanus (Vernacular)"),
            ("sycamore", &["en-US"], "Platanus (Vernacular)"),
            ("sycamore", &[], "Acer|Platanus (Ambiguous)"),
            ("cèdre", &["fr-CA"], "Thuja (Vernacular)"),
            ("cèdre", &["fr"], "Cedrus (Vernacular)"),
            ("cèdre", &[], "Cedrus|Thuja (Ambiguous)"),
            // Two letters count only where their language is declared.
            ("en", &["sv"], "Juniperus (Vernacular)"),
            ("en", &[], "? (Unresolved)"),
            ("al", &["sv"], "Alnus (Vernacular)"),
            ("ALM", &["sv"], "Ulmus (Vernacular)"),
            // A word of another language is still known where it means one tree everywhere.
            ("Fichte", &["fr"], "Picea (Vernacular)"),
            // A suggestion comes from the declared language.
            ("épicéa comun", &["fr"], "? (Unresolved, perhaps épicéa commun)"),
        ] {
            assert_eq!(told_in(token, languages), expected, "`{token}` in {languages:?}");
        }
    }

    #[test]
    fn scientific_names_are_read_as_botanists_and_databases_write_them() {
        // Hybrid signs and ranks after the International Code of Nomenclature for algae, fungi, and plants, articles 5
        // and H.3 (hybrids), and after the cultivated-plant code (cultivar epithets); synonyms from memory.
        for (token, expected) in [
            ("×Cupressocyparis leylandii", "? (Unresolved)"),
            ("Populus ×canadensis", "Populus × canadensis (Exact)"),
            ("Populus x euramericana", "Populus canadensis (Synonym)"),
            ("Tilia × europaea L.", "Tilia vulgaris (Synonym)"),
            (
                "Platanus × acerifolia (Aiton) Willd.",
                "Platanus hispanica (Synonym)",
            ),
            ("Pinus nigra subsp. laricio (Poir.) Maire", "Pinus nigra (Exact)"),
            ("Pinus nigra ssp. nigra", "Pinus nigra (Exact)"),
            ("Pinus contorta var. latifolia Engelm.", "Pinus contorta (Exact)"),
            ("Quercus robur f. fastigiata", "Quercus robur (Exact)"),
            ("Fagus sylvatica 'Purpurea'", "Fagus sylvatica (Exact)"),
            ("Picea abies cv. Nidiformis", "Picea abies (Exact)"),
            ("Larix × marschlinsii Coaz", "Larix × marschlinsii (Exact)"),
            ("Salix ssp", "Salix (Genus)"),
            ("Quercus spec.", "Quercus (Genus)"),
            ("Betula hybr.", "Betula (Genus)"),
            ("Abies nothosp.", "Abies (Genus)"),
            ("Quercus indet.", "Quercus (Genus)"),
            ("QUERCUS ROBUR L.", "Quercus robur (Exact)"),
            ("QUERCUS robur", "Quercus robur (Exact)"),
            ("Acacia dealbata Link", "Acacia dealbata (Exact)"),
            ("acacia", "Acacia|Robinia (Group)"),
        ] {
            assert_eq!(told(token), expected, "`{token}`");
        }
    }

    #[test]
    fn words_for_many_trees_stay_a_spread() {
        for token in [
            "sonst. Laubholz",
            "feuillus",
            "autres feuillus",
            "liściaste",
            "lehtipuu",
            "latifoglie",
            "frondosas",
            "listnaté",
            "lövträd",
            "loofhout",
            "広葉樹",
        ] {
            let found = told(token);
            assert!(
                found.contains("Fagus") && found.contains("Acer") && found.ends_with("(Group)"),
                "{token}: {found}"
            );
        }
        for token in [
            "iglaste",
            "résineux",
            "havupuu",
            "jehličnaté",
            "conifere",
            "barrträd",
            "naaldhout",
        ] {
            let found = told(token);
            assert!(
                found.contains("Picea") && !found.contains("Fagus") && found.ends_with("(Group)"),
                "{token}: {found}"
            );
        }
    }

    #[test]
    fn a_residual_group_holds_hosts_and_others() {
        for token in [
            "other broadleaves",
            "Other hardwood",
            "sonstiges Laubholz",
            "broadleaf",
        ] {
            let found = told(token);
            assert!(
                found.contains("Fagus") && found.contains("Fraxinus"),
                "{token}: {found}"
            );
        }
        let mixed = told("mixed");
        assert!(mixed.contains("Picea") && mixed.contains("Acer"), "{mixed}");
    }
}
