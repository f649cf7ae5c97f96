//! What a property may be: by its name, in the words that forestry tables use in many languages, and by its values. In
//! go the properties, the words, the known trees and lists, out come guesses with their confidence and evidence.

use std::collections::BTreeMap;

use super::seen::Property;
use super::slots::{Family, Table};
use crate::knowledge::Trees;
use crate::order;
use crate::stand::Tree;
use crate::standmap::columns::fold;
use crate::standmap::crosswalk::{Grammar, KnownList, Writing, read_composition};
use crate::standmap::facts::{CLIMATE, DEADWOOD, MOISTURE, NUTRIENTS, OWNERSHIP, SOIL_REACTION, word};

/// Guesses below this are not offered.
const ENOUGH: f64 = 0.5;

/// A guess, and how it would be written.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) fact: &'static str,
    pub(super) family: Family,
    pub(super) confidence: f64,
    pub(super) evidence: String,
    pub(super) shape: Shape,
}

/// How a guess would be written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Shape {
    /// As it stands.
    Straight,
    /// Numbers, in a unit where the fact needs one.
    Number(Option<&'static str>),
    /// Codes of trees: of a known list, or of none.
    Codes(Option<usize>),
    /// One text for the whole composition.
    Composition {
        order: &'static str,
        unit: &'static str,
        list: Option<usize>,
        trace: bool,
        layers: bool,
    },
    /// Not before somebody has said what the values mean.
    LeftOpen,
}

/// The words of column names.
#[derive(Debug)]
pub(super) struct Words(Vec<(String, String, String)>);

impl Words {
    /// The words shipped with the engine, by fact and language.
    pub(super) fn shipped() -> Words {
        let rows = include_str!("words.csv").lines().skip(1);
        let rows = rows.filter_map(|row| {
            let mut cells = row.split(',');
            let (fact, language, word) = (cells.next()?, cells.next()?, cells.next()?);
            Some((fact.to_owned(), language.to_owned(), without_umlauts(word)))
        });
        Words(rows.collect())
    }

    /// How well a name fits a fact, 0 to 1, and by which word of which language.
    fn fit(&self, fact: &str, name: &str) -> Option<(f64, &str, &str)> {
        let tokens = tokens(name);
        let whole = tokens.concat();
        let of_fact = self.0.iter().filter(|(of, ..)| of == fact);
        let fits = of_fact.filter_map(|(_, language, word)| {
            let run = |(from, to): (usize, usize)| tokens[from..to].concat() == *word;
            let mut runs =
                (0..tokens.len()).flat_map(|from| (from + 1..=tokens.len()).map(move |to| (from, to)));
            let fit = if whole == *word {
                1.0
            } else if runs.any(run) {
                if word.chars().count() > 2 { 0.85 } else { 0.6 }
            } else if word.chars().count() >= 4
                && (whole.starts_with(word.as_str()) || whole.ends_with(word.as_str()))
            {
                0.7
            } else {
                return None;
            };
            Some((fit, word.as_str(), language.as_str()))
        });
        fits.fold(None, |best: Option<(f64, &str, &str)>, next| match best {
            Some(best) if best.0 >= next.0 => Some(best),
            _ => Some(next),
        })
    }
}

/// A name in parts: small plain letters, without digits and slots.
fn tokens(name: &str) -> Vec<String> {
    let mut tokens = vec![String::new()];
    let mut before = ' ';
    for letter in name.replace("{slot}", " ").chars() {
        if !letter.is_alphabetic() {
            tokens.push(String::new());
        } else if letter.is_uppercase() && before.is_lowercase() {
            tokens.push(plain(letter).to_owned());
        } else if let Some(last) = tokens.last_mut() {
            last.push_str(&plain(letter));
        }
        before = letter;
    }
    tokens.retain(|token| !token.is_empty());
    tokens.iter().map(|token| without_umlauts(token)).collect()
}

/// `hoehe` and `höhe` are one word; so they are one without either spelling of the umlaut.
fn without_umlauts(word: &str) -> String {
    word.replace("ae", "a").replace("oe", "o").replace("ue", "u")
}

/// A letter without its marks, as tables without them write it.
fn plain(letter: char) -> String {
    let small = letter.to_lowercase().next().unwrap_or(letter);
    let plain = match small {
        'ä' | 'á' | 'à' | 'â' | 'ã' | 'å' | 'ă' | 'ą' | 'ā' => 'a',
        'ö' | 'ó' | 'ò' | 'ô' | 'õ' | 'ø' | 'ő' => 'o',
        'ü' | 'ú' | 'ù' | 'û' | 'ů' | 'ű' | 'ū' | 'ų' => 'u',
        'é' | 'è' | 'ê' | 'ë' | 'ě' | 'ę' | 'ē' | 'ė' => 'e',
        'í' | 'ì' | 'î' | 'ï' | 'ī' | 'į' => 'i',
        'ý' => 'y',
        'č' | 'ć' | 'ç' => 'c',
        'š' | 'ś' | 'ș' | 'ş' => 's',
        'ž' | 'ź' | 'ż' => 'z',
        'ř' => 'r',
        'ň' | 'ń' | 'ñ' | 'ņ' => 'n',
        'ł' | 'ľ' | 'ļ' => 'l',
        'ď' | 'đ' => 'd',
        'ť' | 'ț' => 't',
        other => other,
    };
    match plain {
        'ß' => "ss".to_owned(),
        'æ' => "ae".to_owned(),
        plain => plain.to_string(),
    }
}

/// The best guess for each fact. A property serves one fact only.
pub(super) fn guess_of(table: &Table, words: &Words, trees: &Trees, lists: &[KnownList]) -> Vec<Found> {
    let features = table
        .families
        .iter()
        .flat_map(|family| family.members.iter().map(|member| member.told))
        .max()
        .unwrap_or(0);
    let judge = Judge {
        words,
        trees,
        lists,
        features,
    };
    let mut all: Vec<(usize, Found)> = Vec::new();
    for (place, family) in table.families.iter().enumerate() {
        all.extend(judge.family(family).into_iter().map(|found| (place, found)));
    }
    all.retain(|(_, found)| found.confidence >= ENOUGH);
    order::by(&mut all, |(_, one), (_, other)| {
        other.confidence.total_cmp(&one.confidence)
    });
    let mut taken: Vec<usize> = Vec::new();
    let mut chosen: Vec<(usize, Found)> = Vec::new();
    // The trees first: which shares are theirs depends on them.
    for round in 0..2 {
        for (place, found) in &all {
            let of_trees = ["species", "composition", "understorey"].contains(&found.fact);
            let has = |fact: &str| chosen.iter().any(|(_, known)| known.fact == fact);
            let fits = match found.fact {
                "species" => !has("composition"),
                "composition" => !has("species"),
                "share" => chosen
                    .iter()
                    .any(|(_, known)| known.fact == "species" && known.family.slots == found.family.slots),
                _ => true,
            };
            if of_trees == (round == 0) && fits && !taken.contains(place) && !has(found.fact) {
                taken.push(*place);
                chosen.push((*place, found.clone()));
            }
        }
    }
    chosen.into_iter().map(|(_, found)| found).collect()
}

struct Judge<'a> {
    words: &'a Words,
    trees: &'a Trees,
    lists: &'a [KnownList],
    features: usize,
}

/// What the values say: how well they fit, in words, and how they would be written.
type Told = Option<(f64, String, Shape)>;

impl Judge<'_> {
    fn family(&self, family: &Family) -> Vec<Found> {
        let first = &family.members[0];
        let single = !family.is_numbered();
        let mut found = Vec::new();
        let mut offer = |fact: &'static str, told: Told, by_values: f64| {
            let Some((values, said, shape)) = told else { return };
            let fit = self.words.fit(fact, &family.template);
            let (name, named) = match fit {
                Some((fit, word, language)) => (
                    fit,
                    format!("its name has `{word}`, the {} word", in_words(language)),
                ),
                None if by_values > 0.0 => (0.0, "its name says nothing".to_owned()),
                None => return,
            };
            let weight = if by_values > 0.0 { by_values } else { 0.4 };
            let confidence = (1.0 - weight) * name + weight * values;
            found.push(Found {
                fact,
                family: family.clone(),
                confidence: (confidence * 100.0).round() / 100.0,
                evidence: format!("{named}; {said}"),
                shape,
            });
        };
        let species = self.species(family);
        let by_names = matches!(&species, Some((fit, _, Shape::Straight)) if *fit >= 0.8);
        offer("species", species, if by_names { 0.7 } else { 0.0 });
        offer("share", shares(family), 0.0);
        if single {
            // A name that says composition makes one of texts with one tree each, too.
            let called = |fact| self.words.fit(fact, &first.name).is_some();
            let below = called("understorey");
            let composition = self.composition(first, below || called("composition"));
            if below {
                offer("understorey", composition.clone(), 0.4);
            }
            offer("composition", composition, 0.7);
            offer("id", self.id(first), 0.0);
            offer(
                "name",
                Some((0.6, "any text will do".to_owned(), Shape::Straight)),
                0.0,
            );
        }
        // Of a numbered family the first speaks for the stand.
        offer("age", numbers(first, 1.0, 600.0, None), 0.0);
        offer("planted", years(first), 0.0);
        offer("surveyed", dates(first), 0.0);
        offer("canopy", cover(first), 0.0);
        offer("basal_area", numbers(first, 0.0, 150.0, None), 0.0);
        let metres = if first.greatest > 90.0 {
            ("dm", 900.0)
        } else {
            ("m", 90.0)
        };
        offer("height", numbers(first, 0.0, metres.1, Some(metres.0)), 0.0);
        offer("elevation", numbers(first, -500.0, 6000.0, Some("m")), 0.0);
        for (fact, known) in [
            (
                "moisture",
                all_words(first, |text| word(MOISTURE, text).is_some()),
            ),
            (
                "nutrients",
                all_words(first, |text| word(NUTRIENTS, text).is_some()),
            ),
            (
                "soil_reaction",
                all_words(first, |text| word(SOIL_REACTION, text).is_some()),
            ),
            (
                "ownership",
                all_words(first, |text| word(OWNERSHIP, text).is_some()),
            ),
            (
                "deadwood",
                all_words(first, |text| word(DEADWOOD, text).is_some()),
            ),
            ("climate", all_words(first, |text| word(CLIMATE, text).is_some())),
        ] {
            offer(fact, Some(known), 0.0);
        }
        let tags = Some((
            0.6,
            "each value becomes a tag that rules can ask for".to_owned(),
            Shape::Straight,
        ));
        offer("designation", tags, 0.0);
        found
    }

    fn id(&self, property: &Property) -> Told {
        let different = property.values.len();
        let unique = different as f64 / self.features.max(1) as f64;
        let said = format!("{different} different values in {} features", self.features);
        Some((unique.min(1.0), said, Shape::Straight))
    }

    fn species(&self, family: &Family) -> Told {
        let mut values: BTreeMap<&str, usize> = BTreeMap::new();
        for (value, count) in family.members.iter().flat_map(|member| &member.values) {
            *values.entry(value).or_insert(0) += count;
        }
        let total: usize = values.values().sum();
        let part = |known: &dyn Fn(&str) -> bool| -> (usize, f64) {
            let met = values.iter().filter(|(value, _)| known(value));
            let count: usize = met.map(|(_, count)| count).sum();
            (count, count as f64 / total.max(1) as f64)
        };
        let (named, fit) =
            part(&|value| value.chars().count() > 2 && self.trees.resolve(value).tree != Tree::Unresolved);
        if fit >= 0.5 {
            return Some((
                fit,
                format!("{named} of {total} values are names of trees"),
                Shape::Straight,
            ));
        }
        let codes: Vec<&str> = values.keys().copied().collect();
        if let Some((list, met, all, ties)) = self.list_of(&codes) {
            let fit = met as f64 / all as f64;
            let mut said = format!(
                "{met} of {all} codes stand in the list `{}`",
                self.lists[list].called()
            );
            if !ties.is_empty() {
                said.push_str(&format!(", and as many in {}: choose", ties.join(", ")));
            }
            return Some((
                if ties.is_empty() { fit } else { fit * 0.6 },
                said,
                Shape::Codes(Some(list)),
            ));
        }
        let short = values.len() <= 60 && codes.iter().all(|code| code.chars().count() <= 8);
        let whole = family
            .members
            .iter()
            .all(|member| member.numbers == 0 || member.whole);
        (short && whole).then(|| {
            let said = format!("{} different codes, which stand in no known list", values.len());
            (0.2, said, Shape::Codes(None))
        })
    }

    /// The known list that holds most of some codes, how many it holds, and the lists that hold as many.
    fn list_of(&self, codes: &[&str]) -> Option<(usize, usize, usize, Vec<String>)> {
        let met = |list: &KnownList| codes.iter().filter(|code| list.has(&fold(code))).count();
        let counts: Vec<usize> = self.lists.iter().map(met).collect();
        let most = counts
            .iter()
            .copied()
            .max()
            .filter(|most| *most > 0 && most * 10 >= codes.len() * 6)?;
        let best: Vec<usize> = (0..counts.len()).filter(|list| counts[*list] == most).collect();
        let ties = best
            .iter()
            .skip(1)
            .map(|list| format!("`{}`", self.lists[*list].called()));
        Some((*best.first()?, most, codes.len(), ties.collect()))
    }

    fn composition(&self, property: &Property, called: bool) -> Told {
        let mut best: Told = None;
        for (order, grammar) in [
            ("code-share", Grammar::CodeShare),
            ("share-code", Grammar::ShareCode),
        ] {
            let has = |mark: char| property.values.keys().any(|value| value.contains(mark));
            let (trace, layers) = (has('+'), has('/'));
            let writing = Writing {
                grammar,
                trace: trace.then_some('+'),
                layer_mark: layers.then_some('/'),
                ignore: String::new(),
            };
            let (mut met, mut several) = (0, false);
            let (mut tens, mut hundreds) = (false, false);
            let mut codes: Vec<String> = Vec::new();
            for (value, count) in &property.values {
                let Ok(parts) = read_composition(value, &writing) else {
                    continue;
                };
                let sum: f64 = parts
                    .iter()
                    .filter(|part| part.layer == 0)
                    .filter_map(|part| part.number)
                    .sum();
                let (ten, hundred) = ((8.0..=12.0).contains(&sum), (80.0..=120.0).contains(&sum));
                if ten || hundred {
                    met += count;
                    tens |= ten;
                    hundreds |= hundred;
                    several |= parts.len() > 1;
                    codes.extend(parts.into_iter().map(|part| part.code));
                }
            }
            let fit = met as f64 / property.told.max(1) as f64;
            if met == 0
                || fit < 0.6
                || !(several || called)
                || best.as_ref().is_some_and(|(known, ..)| *known >= fit)
            {
                continue;
            }
            order::naturally(&mut codes);
            codes.dedup();
            let codes: Vec<&str> = codes.iter().map(String::as_str).collect();
            let list = self.list_of(&codes);
            let unit = match (tens, hundreds) {
                (true, false) => "tenths",
                (false, true) => "percent",
                _ => "sum",
            };
            let listed = match &list {
                Some((list, met, all, ties)) => {
                    let called = self.lists[*list].called();
                    let ties = if ties.is_empty() {
                        String::new()
                    } else {
                        format!(" (and as many in {})", ties.join(", "))
                    };
                    format!("{met} of {all} codes stand in the list `{called}`{ties}")
                }
                None => "its codes stand in no known list".to_owned(),
            };
            let said = format!(
                "{met} of {} values are codes with shares, in {unit}; {listed}",
                property.told
            );
            let shape = Shape::Composition {
                order,
                unit,
                list: list.map(|(list, ..)| list),
                trace,
                layers,
            };
            best = Some((fit, said, shape));
        }
        best
    }
}

fn in_words(language: &str) -> &str {
    match language {
        "en" => "English",
        "de" => "German",
        "fr" => "French",
        "pl" => "Polish",
        "cs" => "Czech",
        "sk" => "Slovak",
        "fi" => "Finnish",
        "sv" => "Swedish",
        "no" => "Norwegian",
        "da" => "Danish",
        "et" => "Estonian",
        "lv" => "Latvian",
        "lt" => "Lithuanian",
        "es" => "Spanish",
        "it" => "Italian",
        "pt" => "Portuguese",
        "hu" => "Hungarian",
        "sl" => "Slovene",
        "ro" => "Romanian",
        "ja" => "Japanese",
        other => other,
    }
}

/// Numbers within what the fact can be, zero being nothing.
fn numbers(property: &Property, least: f64, greatest: f64, unit: Option<&'static str>) -> Told {
    let sensible = property.numeric() >= 0.9
        && property.numbers > property.zeros
        && property.least >= least
        && property.greatest <= greatest;
    if !sensible {
        return (property.numeric() < 0.5).then(|| {
            let said = format!(
                "{} different texts: classes, whose ranges are to be written",
                property.values.len()
            );
            (0.2, said, Shape::LeftOpen)
        });
    }
    let said = format!("numbers from {} to {}", property.least, property.greatest);
    Some((1.0, said, Shape::Number(unit)))
}

fn years(property: &Property) -> Told {
    let sensible = property.numeric() >= 0.9
        && property.whole
        && property.numbers > property.zeros
        && property.least >= 1400.0
        && property.greatest <= 2100.0;
    sensible.then(|| {
        let said = format!("years from {} to {}", property.least, property.greatest);
        (1.0, said, Shape::Number(None))
    })
}

fn dates(property: &Property) -> Told {
    let dated = property
        .values
        .iter()
        .filter(|(value, _)| year_in(value).is_some());
    let count: usize = dated.map(|(_, count)| count).sum();
    let fit = count as f64 / property.told.max(1) as f64;
    (fit >= 0.9).then(|| {
        (
            fit,
            format!("{count} of {} values have a year", property.told),
            Shape::Straight,
        )
    })
}

/// The year in a date, the four digits that begin or end it.
pub(super) fn year_in(text: &str) -> Option<i32> {
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    let first = digits.get(..4).filter(|_| digits.len() == 4 || digits.len() == 8);
    let last = text.rsplit(|letter: char| !letter.is_ascii_digit()).next();
    let year = first.or(last.filter(|last| last.len() == 4))?.parse().ok()?;
    (1900..=2100).contains(&year).then_some(year)
}

fn cover(property: &Property) -> Told {
    let unit = match property.greatest {
        greatest if greatest <= 1.0 => "fraction",
        greatest if greatest <= 10.0 && property.whole => "tenths",
        _ => "percent",
    };
    let told = numbers(property, 0.0, 100.0, Some(unit));
    // Codes such as 05, 15 and 25 are classes, not numbers.
    let padded = property
        .values
        .keys()
        .any(|value| value.len() > 1 && value.starts_with('0') && !value.contains(['.', ',']));
    match told {
        Some((_, _, Shape::Number(_))) if padded => Some((
            0.2,
            "codes with leading zeros: classes, whose ranges are to be written".to_owned(),
            Shape::LeftOpen,
        )),
        told => told,
    }
}

fn shares(family: &Family) -> Told {
    let told: usize = family.members.iter().map(|member| member.told).sum();
    let numbers: usize = family.members.iter().map(|member| member.numbers).sum();
    let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
    for (feature, number) in family.members.iter().flat_map(|member| &member.rows) {
        *sums.entry(*feature).or_insert(0.0) += number;
    }
    let greatest = sums.values().copied().fold(0.0, f64::max);
    if numbers * 10 < told * 6 || greatest <= 0.0 {
        return None;
    }
    let (unit, whole) = match greatest {
        greatest if greatest <= 1.2 => ("fraction", 1.0),
        greatest if greatest <= 12.0 => ("tenths", 10.0),
        greatest if greatest <= 120.0 => ("percent", 100.0),
        _ => return None,
    };
    let full = sums
        .values()
        .filter(|sum| (0.8 * whole..=1.2 * whole).contains(*sum))
        .count();
    let fit = if family.is_numbered() {
        full as f64 / sums.len().max(1) as f64
    } else {
        0.7
    };
    let said = match family.is_numbered() {
        true => format!(
            "they add up to about {whole} in {full} of {} features",
            sums.len()
        ),
        false => format!("numbers up to {greatest}"),
    };
    Some((fit, said, Shape::Number(Some(unit))))
}

/// Whether all values are words of the plain form.
fn all_words(property: &Property, is_word: impl Fn(&str) -> bool) -> (f64, String, Shape) {
    if property.values.keys().all(|value| is_word(value)) {
        (
            1.0,
            "every value is a word of the plain form".to_owned(),
            Shape::Straight,
        )
    } else {
        let said = match property.values.len() {
            1 => "what its one value means is to be written".to_owned(),
            many => format!("what its {many} different values mean is to be written"),
        };
        (0.2, said, Shape::LeftOpen)
    }
}
