//! Mends the two slips that writers of JSON make and that leave no doubt: the words NaN and Infinity in place of a
//! number, and a comma before a closing bracket. In goes the text of a feature that is not JSON, out comes text that
//! may be; nothing else is touched.

/// Mended text, and what was mended.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Mended {
    pub(crate) text: String,
    /// Words in place of numbers, now `null`.
    pub(crate) words: usize,
    /// Commas before closing brackets, now left out.
    pub(crate) commas: usize,
}

/// Mends a text; `None` where there was nothing to mend.
pub(crate) fn mend(text: &str) -> Option<Mended> {
    let mut mended = Mended {
        text: String::with_capacity(text.len()),
        words: 0,
        commas: 0,
    };
    let mut in_string = false;
    let mut escaped = false;
    let mut at = 0;
    while let Some(letter) = text[at..].chars().next() {
        let rest = &text[at..];
        at += letter.len_utf8();
        if in_string {
            in_string = escaped || letter != '"';
            escaped = !escaped && letter == '\\';
        } else if letter == '"' {
            in_string = true;
        } else if letter == ',' && rest[1..].trim_start().starts_with([']', '}']) {
            mended.commas += 1;
            continue;
        } else if let Some(word) = ["-Infinity", "Infinity", "NaN"]
            .iter()
            .find(|word| rest.starts_with(**word))
        {
            mended.words += 1;
            mended.text.push_str("null");
            at += word.len() - 1;
            continue;
        }
        mended.text.push(letter);
    }
    (mended.words + mended.commas > 0).then_some(mended)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_words_for_numbers_and_last_commas_are_mended() {
        for (text, expected) in [
            (
                r#"{"a":NaN,"b":[-Infinity,Infinity]}"#,
                Some((r#"{"a":null,"b":[null,null]}"#, 3, 0)),
            ),
            (r#"{"a":[1,2, ],}"#, Some((r#"{"a":[1,2 ]}"#, 0, 2))),
            (r#"{"n":"NaN,]","m":"\"NaN,}"}"#, None),
            (r#"{"a":1}"#, None),
            (r#"{"ä":NaN}"#, Some((r#"{"ä":null}"#, 1, 0))),
        ] {
            let expected = expected.map(|(text, words, commas)| Mended {
                text: text.to_owned(),
                words,
                commas,
            });
            assert_eq!(mend(text), expected, "{text}");
        }
    }
}
