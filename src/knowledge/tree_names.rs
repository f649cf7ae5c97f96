//! Everyday names of trees and words for groups, language by language. In go tree_names.csv and group_words.csv, out comes
//! what a word may mean in which language; choosing among meanings is left to `tree_words`.
//!
//! A word is compared by its stem, so that singular and plural, "Gemeine Fichte" and "Fichte, Gemeine", "Stieleiche" and
//! "Stiel-Eiche", "świerk" and "swierk" are one. Languages are kept apart: a word that means two trees in one language
//! is a mistake of the tables, in two languages it is ambiguous.

use std::collections::BTreeMap;

use super::Tables;
use super::sources::Sources;
use super::table::{TableError, rows};
use super::trees::Trees;
use crate::names::{ScientificName, primary_language};
use crate::order;

const NAMES: &str = "tree_names.csv";
const GROUP_WORDS: &str = "group_words.csv";

/// What a word stands for in one language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A species or a genus.
    Taxon(ScientificName),
    /// A group of groups.csv.
    Group(String),
}

/// The names of trees in all languages.
#[derive(Debug, Default)]
pub(super) struct TreeNames {
    /// Names by taxon, then language; the first of a language is the one to show.
    shown: BTreeMap<ScientificName, BTreeMap<String, Vec<String>>>,
    /// By language (BCP 47 tag), stem to meaning.
    words: BTreeMap<String, BTreeMap<String, Meaning>>,
}

impl TreeNames {
    /// The names of a taxon by language.
    pub(super) fn of(&self, taxon: &ScientificName) -> Option<&BTreeMap<String, Vec<String>>> {
        self.shown.get(taxon)
    }

    /// All taxa with names, with those in some of the languages (all, where none is wanted).
    pub(super) fn all<'a>(
        &'a self,
        wanted: &'a [&'a str],
    ) -> impl Iterator<Item = (&'a ScientificName, &'a str)> {
        self.shown.iter().flat_map(move |(taxon, names)| {
            names
                .iter()
                .filter(move |(language, _)| {
                    wanted.is_empty()
                        || wanted
                            .iter()
                            .any(|tag| primary_language(tag) == primary_language(language))
                })
                .flat_map(|(_, names)| names)
                .map(move |name| (taxon, name.as_str()))
        })
    }

    /// What a word means: in the first of the wanted languages that has it, else in all languages.
    pub(super) fn meanings(&self, word: &str, wanted: &[&str]) -> Vec<&Meaning> {
        let of = |tag: &str| {
            let words = self.words.get(tag)?;
            keys(tag, word).into_iter().find_map(|key| words.get(&key))
        };
        for tag in wanted {
            let found = of(tag).or_else(|| of(primary_language(tag)));
            if let Some(found) = found {
                return vec![found];
            }
        }
        let mut meanings: Vec<&Meaning> = Vec::new();
        for tag in self.words.keys().filter(|tag| counts_anywhere(word, tag)) {
            if let Some(found) = of(tag)
                && !meanings.contains(&found)
            {
                meanings.push(found);
            }
        }
        meanings
    }

    pub(super) fn read(
        tables: &Tables,
        trees: &Trees,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) -> TreeNames {
        let mut names = TreeNames::default();
        names.read_names(tables.tree_names, trees, sources, mistakes);
        names.read_group_words(tables.group_words, trees, sources, mistakes);
        names
    }

    fn read_names(&mut self, text: &str, trees: &Trees, sources: &Sources, mistakes: &mut Vec<TableError>) {
        const COLUMNS: &[&str] = &["taxon", "language", "name", "source"];
        for row in rows(NAMES, text, COLUMNS, mistakes) {
            sources.of(&row, mistakes);
            let taxon =
                ScientificName::parse(row.cell("taxon")).filter(|taxon| trees.has_genus(&taxon.genus));
            let Some(taxon) = taxon else {
                mistakes.push(row.mistake("taxon", row.cell("taxon"), "a genus that trees.csv has"));
                continue;
            };
            let language = row.cell("language");
            if language.is_empty() {
                mistakes.push(row.mistake("language", "", "a language such as `de` or `fr-CA`"));
            }
            if row.list("name").next().is_none() {
                mistakes.push(row.mistake("name", "", "a name"));
            }
            for name in row.list("name") {
                match self.add(language, name, Meaning::Taxon(taxon.clone())) {
                    Some(Meaning::Taxon(other)) => mistakes.push(row.mistake(
                        "name",
                        name,
                        format!(
                            "a name of one taxon in a language; it already stands for {other}, so make it a group word"
                        ),
                    )),
                    Some(Meaning::Group(_)) | None => {}
                }
            }
            let shown = self.shown.entry(taxon).or_default();
            shown
                .entry(language.to_owned())
                .or_default()
                .extend(row.list("name").map(ToOwned::to_owned));
        }
    }

    fn read_group_words(
        &mut self,
        text: &str,
        trees: &Trees,
        sources: &Sources,
        mistakes: &mut Vec<TableError>,
    ) {
        const COLUMNS: &[&str] = &["group", "language", "word", "source"];
        for row in rows(GROUP_WORDS, text, COLUMNS, mistakes) {
            sources.of(&row, mistakes);
            let group = row.cell("group");
            if trees.group(group).is_none() {
                mistakes.push(row.mistake("group", group, "a group that groups.csv has"));
            }
            for word in row.list("word") {
                match self.add(row.cell("language"), word, Meaning::Group(group.to_owned())) {
                    Some(Meaning::Taxon(taxon)) => mistakes.push(row.mistake(
                        "word",
                        word,
                        format!("a word that tree_names.csv does not give to {taxon}"),
                    )),
                    Some(Meaning::Group(other)) => mistakes.push(row.mistake(
                        "word",
                        word,
                        format!("a word of one group in a language; it already stands for `{other}`"),
                    )),
                    None => {}
                }
            }
        }
    }

    /// Adds a word; gives back what it meant before in that language, if that was something else.
    fn add(&mut self, language: &str, word: &str, meaning: Meaning) -> Option<Meaning> {
        let words = self.words.entry(language.to_owned()).or_default();
        let mut before = None;
        for key in keys(language, word) {
            match words.get(&key) {
                Some(known) if *known != meaning => before = Some(known.clone()),
                _ => {
                    words.insert(key, meaning.clone());
                }
            }
        }
        before
    }
}

/// Whether a word may be looked up in a language that the map does not declare. One or two letters are mostly codes, and
/// so are three capitals, unless they are an English word.
fn counts_anywhere(word: &str, language: &str) -> bool {
    let word = word.trim();
    if !word.is_ascii() || word.len() > 3 {
        return true;
    }
    let is_capitals = word.bytes().all(|byte| byte.is_ascii_uppercase());
    word.len() == 3 && (!is_capitals || primary_language(language) == "en")
}

/// How a word is compared in a language: its stems in the order of the alphabet, and written in one.
fn keys(language: &str, word: &str) -> [String; 2] {
    let language = primary_language(language);
    let stems: Vec<String> = plain(word)
        .split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .map(|part| stem(language, part))
        .collect();
    let mut sorted: Vec<&str> = stems.iter().map(String::as_str).collect();
    order::naturally(&mut sorted);
    [sorted.join(" "), stems.concat()]
}

/// A word in small letters without accents.
fn plain(word: &str) -> String {
    let mut plain = String::with_capacity(word.len());
    for letter in word.chars().flat_map(char::to_lowercase) {
        match letter {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' | 'ă' | 'ą' => plain.push('a'),
            'æ' => plain.push_str("ae"),
            'ç' | 'ć' | 'č' => plain.push('c'),
            'ď' | 'đ' | 'ð' => plain.push('d'),
            'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ę' | 'ě' | 'ė' => plain.push('e'),
            'ģ' | 'ğ' => plain.push('g'),
            'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => plain.push('i'),
            'ķ' => plain.push('k'),
            'ĺ' | 'ļ' | 'ľ' | 'ł' => plain.push('l'),
            'ñ' | 'ń' | 'ņ' | 'ň' => plain.push('n'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' | 'ő' => plain.push('o'),
            'œ' => plain.push_str("oe"),
            'ŕ' | 'ř' => plain.push('r'),
            'ś' | 'š' | 'ş' | 'ș' => plain.push('s'),
            'ß' => plain.push_str("ss"),
            'ť' | 'ţ' | 'ț' => plain.push('t'),
            'ù' | 'ú' | 'û' | 'ü' | 'ū' | 'ů' | 'ű' | 'ų' => plain.push('u'),
            'ý' | 'ÿ' => plain.push('y'),
            'ź' | 'ž' | 'ż' => plain.push('z'),
            // A combining accent is left off with its letter kept.
            '\u{300}'..='\u{36f}' => {}
            other => plain.push(other),
        }
    }
    plain
}

/// A word without the endings that tell singular from plural; never shorter than two letters.
fn stem(language: &str, word: &str) -> String {
    let vowels = |word: &str| word.trim_end_matches(['a', 'e', 'i', 'o', 'u', 'y']).to_owned();
    let without = |word: &str, endings: &[&str]| {
        let found = endings.iter().find_map(|ending| word.strip_suffix(ending));
        found.unwrap_or(word).to_owned()
    };
    let stem = match language {
        "en" => match word {
            _ if word.ends_with("ies") => without(word, &["ies"]) + "y",
            _ if ["shes", "ches", "xes", "sses"]
                .iter()
                .any(|end| word.ends_with(end)) =>
            {
                without(word, &["es"])
            }
            _ if word.ends_with("ss") => word.to_owned(),
            _ => without(word, &["s"]),
        },
        // Umlauts are also written with an e after the vowel.
        "de" => {
            let word = word.replace("ae", "a").replace("oe", "o").replace("ue", "u");
            without(&without(&word, &["n"]), &["e"])
        }
        "fr" => without(word, &["s", "x"]),
        "es" | "pt" => without(&without(word, &["s"]), &["e"]),
        "it" | "pl" | "cs" | "sk" => vowels(word),
        "sv" => without(word, &["ar", "or", "er"]),
        "no" | "da" => without(word, &["er", "e"]),
        "nl" => without(word, &["en"]),
        _ => word.to_owned(),
    };
    if stem.chars().count() < 2 {
        word.to_owned()
    } else {
        stem
    }
}
