//! Names: scientific names read into their parts, and the ids that tie one table to another. In goes text, out
//! come parts; which names are synonyms is left to `knowledge`.

use std::borrow::Borrow;
use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Arc<str>);

        impl $name {
            /// Takes the id as it stands.
            pub fn new(text: impl Into<Arc<str>>) -> Self {
                Self(text.into())
            }

            /// The id's text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(
    /// A stand's id on its map.
    StandId
);
id!(
    /// A kind's id in the table of fungi, such as `boletus_edulis`.
    KindId
);
id!(
    /// A rule's id in its rule book.
    RuleId
);
id!(
    /// A zone's id in its rule book.
    ZoneId
);
id!(
    /// A source's id, in a knowledge table or a rule book.
    SourceId
);

/// A genus name, such as `Quercus`: capital first, letters only. Copies share one text: a map names each a hundred
/// thousand times.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Genus(Arc<str>);

impl Genus {
    /// Reads a genus name; `None` unless it is a capital followed by small letters or hyphens.
    pub fn parse(text: &str) -> Option<Genus> {
        let mut letters = text.chars();
        let first = letters.next()?;
        let rest_is_small = letters
            .clone()
            .all(|c| c == '-' || (c.is_alphabetic() && c.is_lowercase()));
        (first.is_uppercase() && rest_is_small && letters.next().is_some()).then(|| Genus(text.into()))
    }

    /// The name's text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Genus {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A scientific name in its parts, authorship left off.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct ScientificName {
    /// The genus.
    pub genus: Genus,
    /// The species epithet; `None` for a genus alone (`Betula`, `Betula spp.`).
    pub epithet: Option<Arc<str>>,
    /// Whether a hybrid sign stands in it.
    pub hybrid: bool,
}

impl ScientificName {
    /// Reads a name of a genus or species, with or without author, hybrid sign, rank below species, `sp.` or `spp.`.
    ///
    /// Ranks below species and everything after the epithet are left off. `None` where the text does not begin
    /// with a genus name.
    pub fn parse(text: &str) -> Option<ScientificName> {
        let text = text.replace('×', " x ").replace(['\u{00a0}', '_'], " ");
        let hybrid_letter = |word: &str| word == "x" || word == "X";
        let mut words = text.split_whitespace().peekable();
        let mut hybrid = false;
        while words.peek().is_some_and(|word| hybrid_letter(word)) {
            hybrid = true;
            words.next();
        }
        let genus = Genus::parse(words.next()?)?;
        let mut epithet = None;
        for word in words {
            if hybrid_letter(word) {
                hybrid = true;
                continue;
            }
            let is_epithet = word.len() > 1
                && word
                    .chars()
                    .all(|c| c == '-' || (c.is_alphabetic() && c.is_lowercase()));
            let is_rank_or_open = matches!(
                word,
                "sp" | "spp"
                    | "spec"
                    | "species"
                    | "ssp"
                    | "subsp"
                    | "var"
                    | "cv"
                    | "cf"
                    | "aff"
                    | "sect"
                    | "hybr"
                    | "hybrid"
                    | "nothosp"
                    | "indet"
                    | "group"
                    | "agg"
            );
            if is_epithet && !is_rank_or_open {
                epithet = Some(word.into());
            }
            break;
        }
        Some(ScientificName {
            genus,
            epithet,
            hybrid,
        })
    }
}

impl fmt::Display for ScientificName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.epithet {
            Some(epithet) if self.hybrid => write!(f, "{} × {epithet}", self.genus),
            Some(epithet) => write!(f, "{} {epithet}", self.genus),
            None => write!(f, "{}", self.genus),
        }
    }
}

/// A scientific name as it is shown: genus and epithet, the author left to the tables. What is no scientific name stays
/// as it is.
pub fn without_author(scientific: &str) -> String {
    ScientificName::parse(scientific).map_or_else(|| scientific.to_owned(), |name| name.to_string())
}

/// The language of a BCP 47 tag without script, region and the rest: `de` of `de-CH`.
pub fn primary_language(tag: &str) -> &str {
    tag.split('-').next().unwrap_or(tag)
}

/// Whoever knows which fungus name stands for which kind. `knowledge` implements it; `rules` asks it, so that law
/// and biology need not know each other.
pub trait FungusNames {
    /// The kind that a name (accepted or synonym, authorship or not) stands for.
    fn kind_of(&self, name: &str) -> Option<KindId>;
    /// All kinds of a genus, by accepted name or synonym.
    fn kinds_of_genus(&self, genus: &str) -> Vec<KindId>;
    /// The known name nearest to one that stands for no kind, if one is near enough to be meant.
    fn nearest(&self, name: &str) -> Option<String>;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_into_parts() {
        for (text, genus, epithet, hybrid) in [
            ("Quercus robur L.", "Quercus", Some("robur"), false),
            ("Picea abies", "Picea", Some("abies"), false),
            ("Betula", "Betula", None, false),
            ("Betula spp.", "Betula", None, false),
            ("Populus × canadensis Moench", "Populus", Some("canadensis"), true),
            ("Populus x canadensis", "Populus", Some("canadensis"), true),
            ("Pinus nigra subsp. laricio Maire", "Pinus", Some("nigra"), false),
            ("Boletus (Krombh.) Maire", "Boletus", None, false),
        ] {
            let name = ScientificName::parse(text).expect(text);
            assert_eq!(
                (name.genus.as_str(), name.epithet.as_deref(), name.hybrid),
                (genus, epithet, hybrid),
                "{text}"
            );
        }
        for text in ["", "  ", "sitka spruce", "SB", "岩石地", "Q"] {
            assert_eq!(ScientificName::parse(text), None, "{text}");
        }
    }

    #[test]
    fn names_are_shown_without_their_author() {
        for (text, shown) in [
            ("Boletus edulis Bull.", "Boletus edulis"),
            ("Amanita phalloides (Vaill. ex Fr.) Link", "Amanita phalloides"),
            ("sitka spruce", "sitka spruce"),
        ] {
            assert_eq!(without_author(text), shown);
        }
    }
}
