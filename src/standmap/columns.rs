//! The columns of a stand map: which of its properties the reading wants, and how often each of the others was
//! met. In go property names as features carry them, out come places in a row of cells; what a cell means is left
//! to the plain form and the crosswalk.

use crate::order::{self, Gather, Lookup};
use std::collections::BTreeMap;

use super::garbled;

/// At most so many different property names are counted one by one.
const NAMES_AT_MOST: usize = 2_000;

/// The wanted columns, and what was met of them.
#[derive(Debug, Default)]
pub(crate) struct Columns {
    /// The wanted names, as they were asked for.
    wanted: Vec<String>,
    /// Their folded forms.
    folded: Lookup<String, usize>,
    /// Every name met, exactly as it stands in the map, with its place in `counts`.
    met: Lookup<String, Met>,
    counts: Vec<usize>,
    /// The names of the feature at hand, not counted yet.
    at_hand: Vec<usize>,
}

#[derive(Debug)]
struct Met {
    column: Option<usize>,
    counter: usize,
}

impl Columns {
    /// Wants one more column; gives its place in the row. A name wanted twice keeps its place.
    pub(crate) fn want(&mut self, name: &str) -> usize {
        let next = self.wanted.len();
        let place = *self.folded.entry(fold(name)).or_insert(next);
        if place == next {
            self.wanted.push(name.to_owned());
        }
        place
    }

    /// How many cells a row has.
    pub(crate) fn len(&self) -> usize {
        self.wanted.len()
    }

    /// The name a column was asked for by.
    pub(crate) fn name(&self, place: usize) -> &str {
        &self.wanted[place]
    }

    /// The place of a wanted column in the row.
    pub(crate) fn place(&self, name: &str) -> Option<usize> {
        self.folded.get(&fold(name)).copied()
    }

    /// The column that a property of the feature at hand belongs to, if it is wanted.
    pub(crate) fn meet(&mut self, name: &str) -> Option<usize> {
        if let Some(met) = self.met.get(name) {
            self.at_hand.push(met.counter);
            return met.column;
        }
        let column = self
            .place(name)
            .or_else(|| garbled::mended(name).and_then(|name| self.place(&name)));
        if self.met.len() < NAMES_AT_MOST {
            let counter = self.counts.len();
            self.counts.push(0);
            self.at_hand.push(counter);
            self.met.insert(name.to_owned(), Met { column, counter });
        }
        column
    }

    /// Counts the names of the feature at hand, which was read well.
    pub(crate) fn count(&mut self) {
        for counter in self.at_hand.drain(..) {
            self.counts[counter] += 1;
        }
    }

    /// Forgets the names of the feature at hand, which was not read.
    pub(crate) fn forget(&mut self) {
        self.at_hand.clear();
    }

    fn counted(&self) -> impl Iterator<Item = (&String, Option<usize>, usize)> {
        let all = self
            .met
            .iter()
            .map(|(name, met)| (name, met.column, self.counts[met.counter]));
        all.filter(|(_, _, count)| *count > 0)
    }

    /// The names met that no column wants, with how many features carry each.
    pub(crate) fn unwanted(&self) -> BTreeMap<String, usize> {
        let unwanted = self.counted().filter(|(_, column, _)| column.is_none());
        unwanted.map(|(name, _, count)| (name.clone(), count)).into_map()
    }

    /// The names met that were taken for a wanted one though written otherwise: as met, as wanted, how often.
    pub(crate) fn taken_for(&self) -> Vec<(String, String, usize)> {
        let taken = self.counted().filter_map(|(name, column, count)| {
            let wanted = &self.wanted[column?];
            (name != wanted && fold(name) == fold(wanted)).then(|| (name.clone(), wanted.clone(), count))
        });
        let mut taken: Vec<_> = taken.collect();
        order::naturally(&mut taken);
        taken
    }

    /// The names met whose letters are garbled and that are wanted once mended: as met, as wanted, how often.
    pub(crate) fn garbled(&self) -> Vec<(String, String, usize)> {
        let garbled = self.counted().filter_map(|(name, column, count)| {
            let wanted = &self.wanted[column?];
            (fold(name) != fold(wanted)).then(|| (name.clone(), wanted.clone(), count))
        });
        let mut garbled: Vec<_> = garbled.collect();
        order::naturally(&mut garbled);
        garbled
    }

    /// The wanted names that no feature carries.
    pub(crate) fn never_met(&self) -> Vec<&str> {
        let mut met = vec![false; self.wanted.len()];
        for (_, column, _) in self.counted() {
            if let Some(column) = column {
                met[column] = true;
            }
        }
        let wanted = self.wanted.iter().zip(met);
        wanted
            .filter(|(_, met)| !met)
            .map(|(name, _)| name.as_str())
            .collect()
    }
}

/// Folds a name or code for comparison: full-width letters, digits and spaces to their plain forms, half-width
/// katakana to full width, outer spaces off, ASCII letters to small ones. All else is compared as it is.
pub(crate) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for letter in text.trim().chars() {
        match letter {
            '\u{ff01}'..='\u{ff5e}' => {
                let plain = char::from_u32(letter as u32 - 0xff01 + 0x21).unwrap_or(letter);
                folded.push(plain.to_ascii_lowercase());
            }
            '\u{3000}' | '\u{00a0}' => folded.push(' '),
            '\u{ff9e}' | '\u{ff9f}' => voice(&mut folded, letter),
            '\u{ff61}'..='\u{ff9d}' => folded.push(KATAKANA[letter as usize - 0xff61]),
            _ => folded.push(letter.to_ascii_lowercase()),
        }
    }
    folded
}

/// Reads a text as [`fold`] folds it, without taking memory for a short and plain one.
pub(crate) fn with_folded<R>(text: &str, read: impl FnOnce(&str) -> R) -> R {
    let plain = text.trim();
    let mut room = [0; 32];
    if let Some(room) = room.get_mut(..plain.len()).filter(|_| plain.is_ascii()) {
        room.copy_from_slice(plain.as_bytes());
        room.make_ascii_lowercase();
        if let Ok(folded) = std::str::from_utf8(room) {
            return read(folded);
        }
    }
    read(&fold(text))
}

/// The full-width forms of U+FF61 to U+FF9D, in order.
const KATAKANA: [char; 61] = [
    '。', '「', '」', '、', '・', 'ヲ', 'ァ', 'ィ', 'ゥ', 'ェ', 'ォ', 'ャ', 'ュ', 'ョ', 'ッ', 'ー', 'ア',
    'イ', 'ウ', 'エ', 'オ', 'カ', 'キ', 'ク', 'ケ', 'コ', 'サ', 'シ', 'ス', 'セ', 'ソ', 'タ', 'チ', 'ツ',
    'テ', 'ト', 'ナ', 'ニ', 'ヌ', 'ネ', 'ノ', 'ハ', 'ヒ', 'フ', 'ヘ', 'ホ', 'マ', 'ミ', 'ム', 'メ', 'モ',
    'ヤ', 'ユ', 'ヨ', 'ラ', 'リ', 'ル', 'レ', 'ロ', 'ワ', 'ン',
];

/// Joins a half-width voicing mark to the letter before it.
fn voice(folded: &mut String, mark: char) {
    let Some(last) = folded.pop() else { return };
    let step = match (mark, last) {
        ('\u{ff9f}', 'ハ' | 'ヒ' | 'フ' | 'ヘ' | 'ホ') => 2,
        ('\u{ff9e}', 'ウ') => {
            folded.push('ヴ');
            return;
        }
        ('\u{ff9e}', 'カ'..='ト' | 'ハ'..='ホ') => 1,
        _ => 0,
    };
    folded.push(char::from_u32(last as u32 + step).unwrap_or(last));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_compared_without_width_and_case() {
        for (one, other) in [
            ("MEANAGE", "meanage"),
            ("第１樹種名", "第1樹種名"),
            ("ＳＢ", "sb"),
            ("　oak ", "oak"),
            ("ｽｷﾞ", "スギ"),
            ("ﾌﾞﾅ", "ブナ"),
            ("ﾋﾟﾝ", "ピン"),
        ] {
            assert_eq!(fold(one), fold(other), "{one} and {other}");
            for text in [one, other] {
                assert_eq!(with_folded(text, str::to_owned), fold(text), "{text}");
            }
        }
        for text in [
            "",
            " A-b C ",
            "\u{a0}x",
            "A text of more letters than most codes and words have",
        ] {
            assert_eq!(with_folded(text, str::to_owned), fold(text), "{text}");
        }
        for (one, other) in [("İ", "i"), ("ß", "ss"), ("SW", "ŚW"), ("ｽｷﾞ", "スキ")] {
            assert_ne!(fold(one), fold(other), "{one} and {other}");
        }
    }

    #[test]
    fn columns_are_met_and_the_others_counted() {
        let mut columns = Columns::default();
        assert_eq!(
            (columns.want("age"), columns.want("species"), columns.want("AGE")),
            (0, 1, 0)
        );
        let met: Vec<Option<usize>> = ["Age", "owner", "age", "owner"]
            .iter()
            .map(|name| columns.meet(name))
            .collect();
        columns.count();
        columns.meet("species");
        columns.meet("lost");
        columns.forget();
        assert_eq!(met, [Some(0), None, Some(0), None]);
        assert_eq!(columns.unwanted(), BTreeMap::from([("owner".to_owned(), 2)]));
        assert_eq!(columns.taken_for(), [("Age".to_owned(), "age".to_owned(), 1)]);
        assert_eq!(columns.never_met(), ["species"]);
    }
}
