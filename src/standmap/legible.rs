//! Makes the texts of a feature legible: letters that cannot be seen are left out, and texts and lists beyond measure are
//! cut. In goes a cell, out comes the same cell, and what was done to it. What the texts mean is left to others.
//!
//! Letters that turn the direction of writing, or that have no width, can make a name look like another. Joiners stay:
//! some scripts cannot be written without them.

use serde_json::Value;

/// A text has at most so many letters.
const LETTERS_AT_MOST: usize = 2_000;
/// A list has at most so many members, and so has an object.
const MEMBERS_AT_MOST: usize = 1_000;

/// What was done to a cell.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Done {
    /// The first letter that cannot be seen and was left out.
    pub(crate) hidden: Option<char>,
    /// Whether something was cut.
    pub(crate) cut: bool,
}

/// Makes all texts of a cell legible.
pub(crate) fn make_legible(cell: &mut Value, done: &mut Done) {
    match cell {
        Value::String(text) => {
            if let Some(legible) = legible(text, done) {
                *text = legible;
            }
        }
        Value::Array(members) => {
            done.cut |= members.len() > MEMBERS_AT_MOST;
            members.truncate(MEMBERS_AT_MOST);
            members.iter_mut().for_each(|member| make_legible(member, done));
        }
        Value::Object(members) => {
            let mut kept = 0;
            members.retain(|name, _| {
                let keep = kept < MEMBERS_AT_MOST && name.len() <= LETTERS_AT_MOST;
                kept += usize::from(keep);
                done.cut |= !keep;
                keep
            });
            members.values_mut().for_each(|member| make_legible(member, done));
        }
        _ => {}
    }
}

/// A legible text; `None` where it is one as it stands.
pub(crate) fn legible(text: &str, done: &mut Done) -> Option<String> {
    let plain = |byte: u8| (0x20..0x7f).contains(&byte);
    if text.len() <= LETTERS_AT_MOST && (text.bytes().all(plain) || !text.contains(is_hidden)) {
        return None;
    }
    done.hidden = done
        .hidden
        .or_else(|| text.chars().find(|letter| is_hidden(*letter)));
    let mut letters = text.chars().filter(|letter| !is_hidden(*letter));
    let kept: String = letters.by_ref().take(LETTERS_AT_MOST).collect();
    done.cut |= letters.next().is_some();
    Some(kept)
}

/// Whether a letter cannot be seen: controls but for tabs and line ends, marks and turns of direction, blanks without
/// width, and tags.
fn is_hidden(letter: char) -> bool {
    matches!(
        letter,
        '\u{0}'..='\u{8}'
            | '\u{b}'
            | '\u{c}'
            | '\u{e}'..='\u{1f}'
            | '\u{7f}'..='\u{9f}'
            | '\u{200b}'
            | '\u{200e}'
            | '\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'
            | '\u{2066}'..='\u{2069}'
            | '\u{feff}'
            | '\u{e0000}'..='\u{e007f}'
    )
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn hidden_letters_are_left_out_and_long_texts_cut() {
        let long = "ä".repeat(LETTERS_AT_MOST + 1);
        for (name, mut cell, expected, hidden, cut) in [
            ("plain", json!("oak"), json!("oak"), None, false),
            ("accents", json!("Łęg – dąb"), json!("Łęg – dąb"), None, false),
            (
                "joiners",
                json!("می\u{200c}رود"),
                json!("می\u{200c}رود"),
                None,
                false,
            ),
            ("tab", json!("a\tb\nc"), json!("a\tb\nc"), None, false),
            (
                "turned",
                json!("oak\u{202e}kao"),
                json!("oakkao"),
                Some('\u{202e}'),
                false,
            ),
            (
                "no width",
                json!("o\u{200b}ak\u{feff}"),
                json!("oak"),
                Some('\u{200b}'),
                false,
            ),
            ("zero", json!("o\u{0}ak"), json!("oak"), Some('\u{0}'), false),
            (
                "tags",
                json!(["\u{e0041}a"]),
                json!(["a"]),
                Some('\u{e0041}'),
                false,
            ),
            (
                "long",
                json!(long),
                json!("ä".repeat(LETTERS_AT_MOST)),
                None,
                true,
            ),
            (
                "as long as may be",
                json!("ä".repeat(LETTERS_AT_MOST)),
                json!("ä".repeat(LETTERS_AT_MOST)),
                None,
                false,
            ),
            (
                "many",
                json!(vec![1; MEMBERS_AT_MOST + 1]),
                json!(vec![1; MEMBERS_AT_MOST]),
                None,
                true,
            ),
            (
                "inside",
                json!({"n": {"m": "\u{7}x"}}),
                json!({"n": {"m": "x"}}),
                Some('\u{7}'),
                false,
            ),
            ("number", json!(7), json!(7), None, false),
        ] {
            let mut done = Done::default();
            make_legible(&mut cell, &mut done);
            assert_eq!(cell, expected, "{name}");
            assert_eq!(done, Done { hidden, cut }, "{name}");
        }
        let mut many: Value = (0..MEMBERS_AT_MOST + 5)
            .map(|n| (format!("k{n}"), json!(n)))
            .collect();
        let mut done = Done::default();
        make_legible(&mut many, &mut done);
        assert_eq!(many.as_object().map(serde_json::Map::len), Some(MEMBERS_AT_MOST));
        assert!(done.cut);
    }
}
