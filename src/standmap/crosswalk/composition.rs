//! Compositions written as one text, such as `7So 2Św 1Brz`. In goes the text and how it is written, out come codes
//! with their numbers, or the reason why it is refused; what the codes stand for is left to their list.
//!
//! Spaces never matter. Letters and dots make codes, digits make numbers; full-width forms count as plain ones.

/// In what order codes and numbers stand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Grammar {
    /// `Sw 10Sb 90`
    CodeShare,
    /// `7So 2Św 1Brz`
    ShareCode,
    /// `721`: one digit, in tenths, for each of the named slots.
    Digits(Vec<String>),
    /// `BPBPEP`: codes of so many letters; the shares come from a row of weights for each count of codes.
    Positional { width: usize, weights: Vec<Vec<f64>> },
}

/// How compositions of a map are written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Writing {
    pub(crate) grammar: Grammar,
    /// Stands before a code that has no number: a trace.
    pub(crate) trace: Option<char>,
    /// Stands between the layers.
    pub(crate) layer_mark: Option<char>,
    /// Characters that mean no more than a space does.
    pub(crate) ignore: String,
}

/// One member: its code, its number (`None` for a trace), and the place of its layer, from 0.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    pub(crate) code: String,
    pub(crate) number: Option<f64>,
    pub(crate) layer: usize,
}

/// Reads a composition.
///
/// # Errors
/// Where the text does not follow the writing: what was found, in words.
pub(crate) fn read(text: &str, writing: &Writing) -> Result<Vec<Part>, String> {
    let mut parts = Vec::new();
    let text: String = text
        .chars()
        .filter(|letter| !writing.ignore.contains(*letter))
        .collect();
    let layers: Vec<&str> = match writing.layer_mark {
        Some(mark) => text.split(mark).collect(),
        None => vec![text.as_str()],
    };
    for (layer, text) in layers.into_iter().enumerate() {
        let read = match &writing.grammar {
            Grammar::CodeShare => pairs(&tokens(text, writing.trace)?, true)?,
            Grammar::ShareCode => pairs(&tokens(text, writing.trace)?, false)?,
            Grammar::Digits(slots) => digits(text, slots)?,
            Grammar::Positional { width, weights } => positional(text, *width, weights)?,
        };
        parts.extend(
            read.into_iter()
                .map(|(code, number)| Part { code, number, layer }),
        );
    }
    if parts.is_empty() {
        Err("it names no tree".to_owned())
    } else {
        Ok(parts)
    }
}

#[derive(Debug, PartialEq)]
enum Token {
    Code(String),
    Number(f64),
    Trace,
}

fn plain(letter: char) -> char {
    match letter {
        '\u{ff01}'..='\u{ff5e}' => char::from_u32(letter as u32 - 0xff01 + 0x21).unwrap_or(letter),
        '\u{3000}' => ' ',
        other => other,
    }
}

fn tokens(text: &str, trace: Option<char>) -> Result<Vec<Token>, String> {
    let mut tokens = Vec::new();
    let mut letters = text
        .chars()
        .map(plain)
        .filter(|letter| !letter.is_whitespace())
        .peekable();
    while let Some(&first) = letters.peek() {
        let mut run = String::new();
        if Some(first) == trace {
            letters.next();
            tokens.push(Token::Trace);
        } else if first.is_ascii_digit() {
            while let Some(digit) = letters.next_if(char::is_ascii_digit) {
                run.push(digit);
            }
            let number = run.parse().map_err(|_| format!("the number {run} is too long"))?;
            tokens.push(Token::Number(number));
        } else if first.is_alphabetic() {
            while let Some(letter) = letters.next_if(|letter| letter.is_alphabetic() || *letter == '.') {
                run.push(letter);
            }
            tokens.push(Token::Code(run));
        } else {
            return Err(format!("`{first}` is neither code nor number"));
        }
    }
    Ok(tokens)
}

/// Codes with their numbers, code first or number first.
fn pairs(tokens: &[Token], code_first: bool) -> Result<Vec<(String, Option<f64>)>, String> {
    let mut pairs = Vec::new();
    let mut rest = tokens;
    loop {
        rest = match (rest, code_first) {
            ([], _) => return Ok(pairs),
            ([Token::Trace, Token::Code(code), rest @ ..], _) => {
                pairs.push((code.clone(), None));
                rest
            }
            ([Token::Code(code), Token::Number(number), rest @ ..], true)
            | ([Token::Number(number), Token::Code(code), rest @ ..], false) => {
                pairs.push((code.clone(), Some(*number)));
                rest
            }
            ([Token::Trace, ..], _) => return Err("no code follows the mark of a trace".to_owned()),
            ([Token::Code(code), ..], true) => return Err(format!("no share follows `{code}`")),
            ([Token::Code(code), ..], false) => return Err(format!("no share stands before `{code}`")),
            ([Token::Number(number), ..], true) => return Err(format!("no code stands before {number}")),
            ([Token::Number(number), ..], false) => return Err(format!("no code follows {number}")),
        };
    }
}

fn digits(text: &str, slots: &[String]) -> Result<Vec<(String, Option<f64>)>, String> {
    let numbers: Vec<u32> = text
        .chars()
        .map(plain)
        .filter(|letter| !letter.is_whitespace())
        .map(|letter| {
            letter
                .to_digit(10)
                .ok_or_else(|| format!("`{letter}` is no digit"))
        })
        .collect::<Result<_, _>>()?;
    if numbers.len() != slots.len() {
        return Err(format!(
            "it has {} digits, expected {}",
            numbers.len(),
            slots.len()
        ));
    }
    let members = slots.iter().zip(numbers).filter(|(_, number)| *number > 0);
    Ok(members
        .map(|(slot, number)| (slot.clone(), Some(f64::from(number))))
        .collect())
}

fn positional(text: &str, width: usize, weights: &[Vec<f64>]) -> Result<Vec<(String, Option<f64>)>, String> {
    let letters: Vec<char> = text
        .chars()
        .map(plain)
        .filter(|letter| !letter.is_whitespace())
        .collect();
    if !letters.len().is_multiple_of(width) {
        return Err(format!(
            "it has {} letters, expected codes of {width}",
            letters.len()
        ));
    }
    let codes: Vec<String> = letters.chunks(width).map(|code| code.iter().collect()).collect();
    let Some(weights) = weights.iter().find(|row| row.len() == codes.len()) else {
        return Err(format!(
            "it has {} codes, and no row of `weights` is so long",
            codes.len()
        ));
    };
    let mut members: Vec<(String, Option<f64>)> = Vec::new();
    for (code, weight) in codes.into_iter().zip(weights) {
        // A code that stands twice counts for both its places.
        match members.iter_mut().find(|(known, _)| *known == code) {
            Some((_, Some(sum))) => *sum += weight,
            _ => members.push((code, Some(*weight))),
        }
    }
    Ok(members)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn writing(order: &str) -> Writing {
        let grammar = match order {
            "code-share" => Grammar::CodeShare,
            "share-code" => Grammar::ShareCode,
            "digits" => Grammar::Digits(["pine", "spruce", "broadleaf"].map(str::to_owned).to_vec()),
            _ => Grammar::Positional {
                width: 2,
                weights: vec![vec![100.0], vec![60.0, 40.0], vec![50.0, 30.0, 20.0]],
            },
        };
        Writing {
            grammar,
            trace: Some('+'),
            layer_mark: Some('/'),
            ignore: "%;".to_owned(),
        }
    }

    /// Parts in short: `Sw 10, Sb 90 | Pj 100`, a trace as `Sw +`, or the reason in brackets.
    fn short(text: &str, order: &str) -> String {
        match read(text, &writing(order)) {
            Ok(parts) => {
                let mut said = String::new();
                let mut layer = 0;
                for part in parts {
                    let between = if part.layer == layer { ", " } else { " | " };
                    said.push_str(if said.is_empty() { "" } else { between });
                    layer = part.layer;
                    said.push_str(&part.code);
                    said.push_str(&part.number.map_or(" +".to_owned(), |number| format!(" {number}")));
                }
                said
            }
            Err(reason) => format!("({reason})"),
        }
    }

    // The forms are those of published stand-map documentation: Ontario (forest resource inventory), Quebec (fourth
    // and fifth ecoforestry inventories), Poland (forest data bank, printed form), Lithuania (stand formulae), Japan
    // (prefectural forest registers), Sweden (tenths of pine, spruce and broadleaves).
    #[test]
    fn published_compositions_are_read() {
        for (text, order, expected) in [
            ("Sw  10Sb  90", "code-share", "Sw 10, Sb 90"),
            (
                "Sb  40Pj  20 Sw 20Bf  10Pt  10",
                "code-share",
                "Sb 40, Pj 20, Sw 20, Bf 10, Pt 10",
            ),
            ("SB 7PO 2B  1", "code-share", "SB 7, PO 2, B 1"),
            ("BS20WS60TA20", "code-share", "BS 20, WS 60, TA 20"),
            ("7So 2Św 1Brz", "share-code", "So 7, Św 2, Brz 1"),
            ("6E3B1D", "share-code", "E 6, B 3, D 1"),
            ("10SO", "share-code", "SO 10"),
            ("6DB.S 4BRZ", "share-code", "DB.S 6, BRZ 4"),
            ("8So2Brz+Św", "share-code", "So 8, Brz 2, Św +"),
            ("8So 2Db / 10Gb", "share-code", "So 8, Db 2 | Gb 10"),
            ("６スギ４ヒノキ", "share-code", "スギ 6, ヒノキ 4"),
            ("7So 2Św", "share-code", "So 7, Św 2"),
            ("Fi 60%; Bu 40%", "code-share", "Fi 60, Bu 40"),
            ("721", "digits", "pine 7, spruce 2, broadleaf 1"),
            ("X00", "digits", "(`X` is no digit)"),
            ("BPBPEP", "positional", "BP 80, EP 20"),
            ("EPEP", "positional", "EP 100"),
            ("EP", "positional", "EP 100"),
        ] {
            assert_eq!(short(text, order), expected, "{text} as {order}");
        }
    }

    #[test]
    fn what_does_not_follow_the_writing_is_refused() {
        for (text, order, expected) in [
            ("5So5", "share-code", "(no code follows 5)"),
            ("So Św", "share-code", "(no share stands before `SoŚw`)"),
            ("So Św", "code-share", "(no share follows `SoŚw`)"),
            ("7So", "code-share", "(no code stands before 7)"),
            ("7So+", "share-code", "(no code follows the mark of a trace)"),
            ("7So&3Św", "share-code", "(`&` is neither code nor number)"),
            ("", "share-code", "(it names no tree)"),
            ("72", "digits", "(it has 2 digits, expected 3)"),
            ("EPB", "positional", "(it has 3 letters, expected codes of 2)"),
            (
                "EPBPSASA",
                "positional",
                "(it has 4 codes, and no row of `weights` is so long)",
            ),
        ] {
            assert_eq!(short(text, order), expected, "{text} as {order}");
        }
    }
}
