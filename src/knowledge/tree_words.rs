//! From a word on a stand map to a tree: scientific names, synonyms, vernacular names, groups. In goes one token,
//! out comes what it stands for and how that was found; codes that need a list are left to the crosswalk.

use std::collections::BTreeSet;

use super::trees::{How, Resolved, Trees};
use crate::names::{Genus, ScientificName};
use crate::stand::Tree;

/// How alike a token and a known word must be to be suggested, 0 to 1. A suggestion is never applied by itself.
const ALIKE: f64 = 0.8;

impl Trees {
    /// What a word on a stand map stands for.
    ///
    /// Takes a scientific name with or without author, a genus, a synonym, an English or German vernacular name, a
    /// word for a group ("other broadleaves"), or several of these with commas, slashes or "or" between them
    /// ("fir or spruce"): one or several of them, weights not known. Nothing is guessed: a near miss is
    /// [`How::Unresolved`] with a suggestion.
    pub fn resolve(&self, token: &str) -> Resolved {
        let token = token.trim();
        let parts: Vec<&str> = token
            .split([',', '/', ';'])
            .flat_map(|part| part.split(" or "))
            .flat_map(|part| part.split(" oder "))
            .map(str::trim)
            .collect();
        if parts.len() > 1
            && let Some(tree) = self.either(token, &parts)
        {
            return Resolved {
                tree,
                how: How::Group,
                suggestion: None,
            };
        }
        match self.one(token) {
            Some((tree, how)) => Resolved {
                tree,
                how,
                suggestion: None,
            },
            None => Resolved {
                tree: Tree::Unresolved,
                how: How::Unresolved,
                suggestion: self.nearest(token),
            },
        }
    }

    /// Several names in one cell: any of their genera. `None` unless each of them is known by itself.
    fn either(&self, token: &str, parts: &[&str]) -> Option<Tree> {
        let mut genera = BTreeSet::new();
        for part in parts {
            match self.one(part)?.0 {
                Tree::Named(name) => {
                    genera.insert(name.genus);
                }
                Tree::AnyOf { genera: members, .. } => genera.extend(members),
                Tree::Unresolved => return None,
            }
        }
        Some(Tree::AnyOf {
            group: token.to_owned(),
            genera: genera.into_iter().collect(),
        })
    }

    fn one(&self, token: &str) -> Option<(Tree, How)> {
        let word = folded(token);
        if let Some(group) = self.group_word(&word) {
            return Some((self.group(group)?, How::Group));
        }
        if let Some(tree) = self.group(token) {
            return Some((tree, How::Group));
        }
        if let Some(found) = self.scientific(token) {
            return Some(found);
        }
        let singulars = [word.strip_suffix("es"), word.strip_suffix('s')];
        [Some(word.as_str())]
            .into_iter()
            .chain(singulars)
            .flatten()
            .find_map(|word| self.vernacular(word))
            .map(|name| (Tree::Named(name.clone()), How::Vernacular))
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
    fn nearest(&self, token: &str) -> Option<String> {
        let word = folded(token);
        if word.chars().count() < 3 {
            return None;
        }
        self.known_words()
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
        let alone = ScientificName {
            genus: genus.clone(),
            epithet: None,
            hybrid: false,
        };
        self.synonym(&alone).map_or(genus, |accepted| &accepted.genus)
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
    let has_small = token.chars().any(char::is_lowercase);
    let has_capital = token.chars().any(char::is_uppercase);
    if has_small && has_capital {
        return token.to_owned();
    }
    let lower = token.to_lowercase();
    let mut letters = lower.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().collect::<String>() + letters.as_str(),
        None => lower,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    fn told(token: &str) -> String {
        let resolved = Knowledge::shipped().trees.resolve(token);
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
            ("Sapin, épicéa", "? (Unresolved)"),
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
