//! Garbled letters: UTF-8 that some program took for a one-byte encoding and wrote again, so that `ś` became `Å›`. In
//! goes a text, out comes what it was before, where there is hardly a doubt. Whether it was anything is left to others.
//!
//! The one-byte encoding is Windows-1252, of which Latin-1 is a part.

use serde_json::Value;

/// The letters of the bytes 0x80 to 0x9F in Windows-1252; the five bytes without a letter stand for themselves.
const ABOVE_ASCII: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}',
    '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// The letters in which trees and places are written: Latin, Greek and Cyrillic, Vietnamese, punctuation, Chinese and
/// Japanese, Korean, and full-width forms. Rare letters of phonetics are left out: garbling would be seen everywhere.
const SCRIPTS: [std::ops::RangeInclusive<char>; 8] = [
    '\u{a0}'..='\u{17f}',
    '\u{218}'..='\u{21b}',
    '\u{370}'..='\u{52f}',
    '\u{1e00}'..='\u{1eff}',
    '\u{2010}'..='\u{206f}',
    '\u{3000}'..='\u{9fff}',
    '\u{ac00}'..='\u{d7a3}',
    '\u{ff00}'..='\u{ffef}',
];

/// The text before it was garbled; `None` where it is as it should be.
pub(crate) fn mended(text: &str) -> Option<String> {
    if text.is_ascii() {
        return None;
    }
    let letters: Vec<char> = text.chars().collect();
    let bytes: Vec<u8> = letters.iter().copied().map(byte).collect::<Option<_>>()?;
    let once = String::from_utf8(bytes).ok()?;
    // Two letters beside each other may look so by chance, as in a word in capitals before a closing quotation mark.
    let by_chance = letters.windows(2).any(|pair| {
        let [before, letter] = [pair[0], pair[1]];
        before.is_uppercase() && letter.is_uppercase() && !"ÃÂ".contains(letter)
    });
    let plausible = once
        .chars()
        .filter(|letter| !letter.is_ascii())
        .all(|letter| ABOVE_ASCII.contains(&letter) || SCRIPTS.iter().any(|script| script.contains(&letter)));
    (plausible && !by_chance).then(|| mended(&once).unwrap_or(once))
}

/// The byte that Windows-1252 has for a letter.
fn byte(letter: char) -> Option<u8> {
    match u32::from(letter) {
        code @ (0..=0x7f | 0xa0..=0xff) => u8::try_from(code).ok(),
        _ => (0x80..)
            .zip(ABOVE_ASCII)
            .find(|(_, known)| *known == letter)
            .map(|(byte, _)| byte),
    }
}

/// Mends all texts of a cell; gives the first that was garbled and what it is now.
pub(crate) fn mend_cell(cell: &mut Value) -> Option<(String, String)> {
    match cell {
        Value::String(text) => {
            let now = mended(text)?;
            let before = std::mem::replace(text, now.clone());
            Some((before, now))
        }
        Value::Array(members) => mend_all(members.iter_mut()),
        Value::Object(members) => mend_all(members.values_mut()),
        _ => None,
    }
}

fn mend_all<'v>(cells: impl Iterator<Item = &'v mut Value>) -> Option<(String, String)> {
    let mut first = None;
    for cell in cells {
        let mended = mend_cell(cell);
        first = first.or(mended);
    }
    first
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    /// Garbles a text once, as a program does that takes UTF-8 for Windows-1252.
    fn garble(text: &str) -> String {
        text.bytes()
            .map(|byte| match byte {
                0x80..=0x9f => ABOVE_ASCII[usize::from(byte - 0x80)],
                byte => char::from(byte),
            })
            .collect()
    }

    #[test]
    fn garbled_names_come_back() {
        for name in [
            "świerk",
            "dąb szypułkowy",
            "Fichte und Lärche",
            "chêne pédonculé",
            "bříza bělokorá",
            "kuusi, mänty",
            "rødgran",
            "スギ",
            "アカマツ",
            "сосна",
            "abeto común",
            "Łęg",
            "hêtre – sapin",
            "Brzoza — „biała”",
        ] {
            assert_ne!(garble(name), name);
            assert_eq!(mended(&garble(name)).as_deref(), Some(name), "{}", garble(name));
            assert_eq!(
                mended(&garble(&garble(name))).as_deref(),
                Some(name),
                "twice: {}",
                garble(&garble(name))
            );
        }
    }

    #[test]
    fn names_as_they_should_be_stay() {
        for name in [
            "Picea abies",
            "świerk",
            "Fichte und Lärche",
            "MÄNTY",
            "«CHARMÉ»",
            "„GERÄ“",
            "METSÄ”",
            "forêt",
            "Ã",
            "São João",
            "スギ",
            "Ørsted",
            "100 m²",
            "½",
            "é",
            "CAFÉ®",
            "",
            "Å",
            "åäö",
            "ÅÄÖ",
            "LÆRK …",
        ] {
            assert_eq!(mended(name), None, "{name}");
        }
    }

    #[test]
    fn all_texts_of_a_cell_are_mended() {
        let mut cell = json!([{"name": "Å›wierk", "share": 0.5}, "dÄ…b", 7, null]);
        assert_eq!(
            mend_cell(&mut cell),
            Some(("Å›wierk".to_owned(), "świerk".to_owned()))
        );
        assert_eq!(cell, json!([{"name": "świerk", "share": 0.5}, "dąb", 7, null]));
        assert_eq!(mend_cell(&mut json!({"a": "oak"})), None);
    }
}
