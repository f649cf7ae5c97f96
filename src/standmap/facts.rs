//! From a cell to a fact of the plain form: numbers in their units, words of the plain form's lists. In goes a cell
//! that says something, out comes a fact, and a finding where the cell makes no sense; which cell belongs to which
//! fact is left to the plain form and the crosswalk.

use serde_json::Value;

use super::cell::{self, Amount, illegal, quote};
use super::columns::{fold, with_folded};
use super::finding::{Findings, Oddity, Severity, Whereabouts};
use crate::order;
use crate::stand::{
    Aspect, Climate, Deadwood, Disturbance, Layer, Moisture, Nutrients, Ownership, Setting, SoilReaction,
};
use crate::units::{Absence, Fact, OutOfRange, WoodVolume, Years};

/// Words of a list, with what they mean.
pub(crate) type Words<T> = &'static [(&'static str, T)];

pub(crate) const SOIL_REACTION: Words<SoilReaction> = &[
    ("acid", SoilReaction::Acid),
    ("weakly_acid", SoilReaction::WeaklyAcid),
    ("neutral", SoilReaction::Neutral),
    ("calcareous", SoilReaction::Calcareous),
];
pub(crate) const MOISTURE: Words<Moisture> = &[
    ("dry", Moisture::Dry),
    ("fresh", Moisture::Fresh),
    ("moist", Moisture::Moist),
    ("wet", Moisture::Wet),
];
pub(crate) const NUTRIENTS: Words<Nutrients> = &[
    ("poor", Nutrients::Poor),
    ("medium", Nutrients::Medium),
    ("rich", Nutrients::Rich),
];
pub(crate) const ASPECT: Words<Aspect> = &[
    ("north", Aspect::North),
    ("north_east", Aspect::NorthEast),
    ("east", Aspect::East),
    ("south_east", Aspect::SouthEast),
    ("south", Aspect::South),
    ("south_west", Aspect::SouthWest),
    ("west", Aspect::West),
    ("north_west", Aspect::NorthWest),
    ("flat", Aspect::Flat),
];
pub(crate) const DISTURBANCE: Words<Disturbance> = &[
    ("none", Disturbance::None),
    ("felled", Disturbance::Felled),
    ("burnt", Disturbance::Burnt),
    ("windthrown", Disturbance::Windthrown),
];
pub(crate) const DEADWOOD: Words<Deadwood> = &[
    ("none", Deadwood::None),
    ("little", Deadwood::Little),
    ("some", Deadwood::Some),
    ("much", Deadwood::Much),
];
pub(crate) const SETTING: Words<Setting> = &[
    ("edge", Setting::Edge),
    ("clearing", Setting::Clearing),
    ("grassland", Setting::Grassland),
    ("park", Setting::Park),
    ("hedge", Setting::Hedge),
    ("burnt", Setting::Burnt),
    ("felled", Setting::Felled),
];
/// The word for a closed forest, which is no setting.
pub(crate) const NO_SETTING: &str = "none";
pub(crate) const OWNERSHIP: Words<Ownership> = &[
    ("state", Ownership::State),
    ("communal", Ownership::Communal),
    ("private", Ownership::Private),
    ("other", Ownership::Other),
];
pub(crate) const CLIMATE: Words<Climate> = &[
    ("temperate", Climate::Temperate),
    ("boreal", Climate::Boreal),
    ("mediterranean", Climate::Mediterranean),
    ("na_west", Climate::NaWest),
    ("na_east", Climate::NaEast),
];
pub(crate) const LAYER: Words<Layer> = &[
    ("canopy", Layer::Canopy),
    ("understorey", Layer::Understorey),
    ("retained", Layer::Retained),
];

/// Stands older than this are a mistake of the map: no managed or mapped stand is known to be.
pub(crate) const OLDEST: f64 = 1000.0;

/// What a word means; capitals, spaces and hyphens do not matter.
pub(crate) fn word<T: Copy>(words: Words<T>, text: &str) -> Option<T> {
    let find = |text: &str| {
        words
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, meaning)| *meaning)
    };
    with_folded(text, |text| {
        if text.contains([' ', '-']) {
            find(&text.replace([' ', '-'], "_"))
        } else {
            find(text)
        }
    })
}

/// The words of a list, for an advice.
pub(crate) fn list<T>(words: Words<T>) -> String {
    let words: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
    words.join(", ")
}

/// The word of a list that is most like a text, if one is near.
pub(crate) fn nearest<'w>(words: impl IntoIterator<Item = &'w str>, text: &str) -> Option<&'w str> {
    let text = fold(text);
    let near = words
        .into_iter()
        .map(|word| (strsim::damerau_levenshtein(&fold(word), &text), word));
    near.filter(|(steps, word)| *steps <= 1 + word.chars().count() / 5)
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, word)| word)
}

/// Where findings about one feature go.
pub(crate) struct Desk<'a> {
    pub(crate) findings: &'a mut Findings,
    pub(crate) at: Whereabouts<'a>,
}

impl Desk<'_> {
    pub(crate) fn tell(&mut self, oddity: Oddity<'_>) {
        self.findings.add(self.at, oddity);
    }

    /// Tells of a cell that makes no sense, and gives the absence to keep in its place.
    pub(crate) fn bad_value(&mut self, property: &str, cell: &Value, expected: &str) -> Absence {
        self.tell(Oddity {
            code: "bad-value",
            severity: Severity::Warning,
            property: Some(property),
            found: &format!("found {}, expected {expected}", quote(cell)),
            done: "taken as not known",
            advice: "Correct the value, or leave it out where it is not known",
            apart: "",
        });
        illegal(cell)
    }

    /// Tells of a code that no table of the crosswalk holds.
    pub(crate) fn unmapped(&mut self, property: &str, code: &str) {
        let shown: String = code.chars().take(60).collect();
        self.tell(Oddity {
            code: "unmapped-code",
            severity: Severity::Warning,
            property: Some(property),
            found: &format!("the code `{shown}` is not in the crosswalk"),
            done: "taken as not known",
            advice: "Add the code to the crosswalk, or declare it under `missing`",
            apart: &shown,
        });
    }

    /// An amount as a quantity.
    pub(crate) fn quantity<T>(
        &mut self,
        property: &str,
        cell: &Value,
        amount: Option<Amount>,
        make: fn(f64) -> Result<T, OutOfRange>,
        expected: &str,
    ) -> Fact<T> {
        match amount.map(|amount| amount.quantity(make)) {
            Some(Ok(fact)) => fact,
            _ => Fact::NotKnown(self.bad_value(property, cell, expected)),
        }
    }

    /// An age in years.
    pub(crate) fn age(&mut self, property: &str, cell: &Value, amount: Option<Amount>) -> Fact<Years> {
        self.quantity(property, cell, amount, years, "years, 0 to 1000")
    }

    /// A word of a list, or two of them for "between".
    pub(crate) fn words<T: Copy + Ord>(&mut self, property: &str, cell: &Value, words: Words<T>) -> Fact<T> {
        let read = |cell: &Value| cell::as_text(cell).and_then(|text| word(words, &text));
        let bounds = match cell {
            Value::Array(cells) => cells
                .iter()
                .map(read)
                .collect::<Option<Vec<T>>>()
                .and_then(|found| Some((*found.iter().min()?, *found.iter().max()?))),
            one => read(one).map(|meaning| (meaning, meaning)),
        };
        match bounds {
            Some((low, high)) if low == high => Fact::Known(low),
            Some((low, high)) => Fact::Within { low, high, mid: None },
            None => Fact::NotKnown(self.bad_value(property, cell, &format!("one of {}", list(words)))),
        }
    }

    /// One word of a list.
    pub(crate) fn one_word<T: Copy>(&mut self, property: &str, cell: &Value, words: Words<T>) -> Fact<T> {
        match cell::as_text(cell).and_then(|text| word(words, &text)) {
            Some(meaning) => Fact::Known(meaning),
            None => Fact::NotKnown(self.bad_value(property, cell, &format!("one of {}", list(words)))),
        }
    }

    /// Aspect: a word, or degrees clockwise from north, taken to the nearest of the eight winds; -1 is flat, as
    /// terrain models write it (common practice).
    pub(crate) fn aspect(&mut self, property: &str, cell: &Value, amount: Option<Amount>) -> Fact<Aspect> {
        let winds = &ASPECT[..8];
        let of_degrees = |degrees: f64| {
            if degrees == -1.0 {
                return Some(Aspect::Flat);
            }
            let turned = (0.0..=360.0).contains(&degrees).then_some(degrees / 45.0)?;
            winds.get(turned.round() as usize % 8).map(|(_, wind)| *wind)
        };
        let number = amount.filter(|amount| amount.is_one()).map(|amount| amount.low);
        match cell::as_text(cell)
            .and_then(|text| word(ASPECT, &text))
            .or_else(|| number.and_then(of_degrees))
        {
            Some(aspect) => Fact::Known(aspect),
            None => {
                let expected = format!("degrees from north, 0 to 360, or one of {}", list(ASPECT));
                Fact::NotKnown(self.bad_value(property, cell, &expected))
            }
        }
    }

    /// Dead wood: a word, or cubic metres a hectare.
    pub(crate) fn deadwood(
        &mut self,
        property: &str,
        cell: &Value,
        amount: Option<Amount>,
    ) -> Fact<Deadwood> {
        if let Some(meaning) = cell::as_text(cell).and_then(|text| word(DEADWOOD, &text)) {
            return Fact::Known(meaning);
        }
        let volume = |number| WoodVolume::new(number).map(Deadwood::Volume);
        let expected = format!("cubic metres a hectare, 0 to 10000, or one of {}", list(DEADWOOD));
        self.quantity(property, cell, amount, volume, &expected)
    }

    /// Settings; words that are not in the list are left off with a finding.
    pub(crate) fn settings(&mut self, property: &str, cell: &Value) -> Fact<Vec<Setting>> {
        let cells = match cell {
            Value::Array(cells) => cells.as_slice(),
            one => std::slice::from_ref(one),
        };
        let mut settings = Vec::new();
        let mut absence = None;
        for cell in cells {
            let text = cell::as_text(cell);
            match text.as_deref().and_then(|text| word(SETTING, text)) {
                Some(setting) => settings.push(setting),
                None if text.as_deref() == Some(NO_SETTING) => {}
                None => absence = Some(self.bad_value(property, cell, &format!("one of {}", list(SETTING)))),
            }
        }
        order::naturally(&mut settings);
        settings.dedup();
        match absence {
            Some(absence) if settings.is_empty() => Fact::NotKnown(absence),
            _ => Fact::Known(settings),
        }
    }

    /// Tags, such as designations: an array of texts, or one text.
    pub(crate) fn tags(&mut self, property: &str, cell: &Value) -> Fact<Vec<String>> {
        let cells = match cell {
            Value::Array(cells) => cells.as_slice(),
            one => std::slice::from_ref(one),
        };
        let mut tags = Vec::new();
        for cell in cells {
            match cell::text(cell) {
                Some(text) if !text.is_empty() => tags.push(text),
                Some(_) => {}
                // A designation that cannot be read may be the one that closes the stand.
                None => return Fact::NotKnown(self.bad_value(property, cell, "an array of texts")),
            }
        }
        order::naturally(&mut tags);
        tags.dedup();
        Fact::Known(tags)
    }
}

/// Years of a stand's age, within what stands can be.
fn years(number: f64) -> Result<Years, OutOfRange> {
    if number > OLDEST {
        return Err(OutOfRange {
            quantity: "age",
            found: number,
            expected: "years, 0 to 1000",
        });
    }
    Years::new(number)
}
