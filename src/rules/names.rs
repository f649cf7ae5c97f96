//! Words in several languages, and the fungi a rule speaks of. In go texts and scientific names, out come values that
//! keep the law's own spelling beside the kinds it stands for. Which name means which kind is left to whoever
//! implements `FungusNames`.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::names::KindId;

/// A text in one or several languages, by BCP 47 tag.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default, Serialize)]
#[serde(transparent)]
pub struct Texts(pub(super) BTreeMap<String, String>);

impl Texts {
    /// The best text for the wanted languages, with its language: the first wanted tag that is there, shortened from
    /// the right if need be (RFC 4647, lookup); else English; else the first there is.
    pub fn pick(&self, wanted: &[&str]) -> Option<(&str, &str)> {
        let look_up = |tag: &str| {
            let mut tag = tag;
            loop {
                let found = self.0.iter().find(|(known, _)| known.eq_ignore_ascii_case(tag));
                if let Some((known, text)) = found {
                    return Some((known.as_str(), text.as_str()));
                }
                tag = tag.rsplit_once('-')?.0;
            }
        };
        wanted
            .iter()
            .copied()
            .find_map(look_up)
            .or_else(|| look_up("en"))
            .or_else(|| {
                self.0
                    .iter()
                    .next()
                    .map(|(tag, text)| (tag.as_str(), text.as_str()))
            })
    }

    /// All texts by language tag.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(tag, text)| (tag.as_str(), text.as_str()))
    }

    /// Whether there is no text in any language.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// A rank in the sense of the code of nomenclature.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Rank {
    Species,
    Genus,
}

/// One name in a set of fungi.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
pub struct Taxon {
    /// The name as the law has it.
    pub scientific_name: String,
    /// Whether it names a species or all species of a genus.
    pub rank: Rank,
    /// The kinds it stands for; empty where the name is not in the table of fungi.
    pub kinds: Vec<KindId>,
}

/// A set of fungi that rules refer to.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
pub struct TaxonSet {
    /// Its id in the book.
    pub id: String,
    /// Its name, if the book gives one.
    pub names: Texts,
    /// Who belongs to it.
    pub members: Vec<Taxon>,
    /// Whether others "and similar ones" may belong to it too.
    pub open: bool,
}

/// Which fungi a rule is about; a rule without it is about all.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Taxa {
    /// Those of one set, a place in the book's list of sets.
    Set(usize),
    /// All but those of one set.
    AllBut(usize),
}

impl Taxa {
    /// The set's place in the book.
    pub fn set(&self) -> usize {
        match self {
            Taxa::Set(place) | Taxa::AllBut(place) => *place,
        }
    }
}

/// Somebody to ask or to call.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
pub struct Contact {
    /// The name.
    pub name: Texts,
    /// A checked link: http, https, mailto or tel.
    pub link: Option<String>,
    /// The telephone number as written.
    pub phone: Option<String>,
    /// The address for letters by electronic mail.
    pub email: Option<String>,
    /// Where the facts come from, a place in the book's list of sources.
    pub source: Option<usize>,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4647, section 3.4: lookup shortens the wanted tag from the right.
    #[test]
    fn the_best_language_is_looked_up() {
        let texts = |tags: &[&str]| {
            Texts(
                tags.iter()
                    .map(|tag| ((*tag).to_owned(), format!("in {tag}")))
                    .collect(),
            )
        };
        for (there, wanted, expected) in [
            (&["de", "en"][..], &["de-CH"][..], Some("de")),
            (&["de", "de-CH", "en"], &["de-CH-1996"], Some("de-CH")),
            (&["de", "en"], &["fr", "de"], Some("de")),
            (&["de", "en"], &["fr"], Some("en")),
            (&["sl", "it"], &["fr"], Some("it")),
            (&[], &["fr"], None),
        ] {
            let texts = texts(there);
            assert_eq!(
                texts.pick(wanted).map(|(tag, _)| tag),
                expected,
                "{there:?} {wanted:?}"
            );
        }
    }
}
