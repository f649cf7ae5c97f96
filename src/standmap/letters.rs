//! The letters of a file. In go plain bytes in UTF-8 or UTF-16, out come bytes in UTF-8, which is what GeoJSON must be.
//! UTF-16 is known by its byte-order mark or by its zero bytes; everything else goes through untouched, and what is no
//! UTF-8 is refused by the scanner.

use super::unreadable::Unreadable;

/// Which half of a letter stands first in UTF-16.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Halves {
    LowFirst,
    HighFirst,
}

#[derive(Debug)]
enum State {
    /// The first bytes, until there are enough to tell.
    Open(Vec<u8>),
    AsTheyAre,
    Utf16(Halves),
}

/// Turns letters to UTF-8 as bytes arrive.
#[derive(Debug)]
pub(super) struct Letters {
    state: State,
    /// Half a letter, or half of a pair, cut by the end of a chunk.
    cut: Vec<u8>,
    /// Halves of pairs without their other half.
    broken: usize,
}

impl Letters {
    pub(super) fn new() -> Letters {
        Letters {
            state: State::Open(Vec::new()),
            cut: Vec::new(),
            broken: 0,
        }
    }

    /// Whether the file is UTF-16.
    pub(super) fn is_utf_16(&self) -> bool {
        matches!(self.state, State::Utf16(_))
    }

    /// How many letters of UTF-16 were broken; each became U+FFFD.
    pub(super) fn broken(&self) -> usize {
        self.broken
    }

    /// Takes the next bytes, gives UTF-8.
    ///
    /// # Errors
    /// [`Unreadable`] where `sink` refuses it.
    pub(super) fn push(
        &mut self,
        bytes: &[u8],
        sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        match &mut self.state {
            State::AsTheyAre => sink(bytes),
            State::Utf16(halves) => {
                let halves = *halves;
                let text = self.decode(bytes, halves);
                sink(text.as_bytes())
            }
            State::Open(head) => {
                head.extend_from_slice(bytes);
                if head.len() < 4 {
                    return Ok(());
                }
                let head = std::mem::take(head);
                let (state, marked) = match head.as_slice() {
                    [0xff, 0xfe, ..] => (State::Utf16(Halves::LowFirst), true),
                    [0xfe, 0xff, ..] => (State::Utf16(Halves::HighFirst), true),
                    // JSON begins with two letters of ASCII.
                    [1..=127, 0, 1..=127, 0, ..] => (State::Utf16(Halves::LowFirst), false),
                    [0, 1..=127, 0, 1..=127, ..] => (State::Utf16(Halves::HighFirst), false),
                    _ => (State::AsTheyAre, false),
                };
                self.state = state;
                self.push(&head[if marked { 2 } else { 0 }..], sink)
            }
        }
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`Unreadable`] where `sink` refuses it.
    pub(super) fn finish(
        &mut self,
        sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        if let State::Open(head) = &mut self.state {
            let head = std::mem::take(head);
            return sink(&head);
        }
        if self.cut.is_empty() {
            return Ok(());
        }
        self.cut.clear();
        self.broken += 1;
        sink("\u{fffd}".as_bytes())
    }

    fn decode(&mut self, bytes: &[u8], halves: Halves) -> String {
        self.cut.extend_from_slice(bytes);
        let units: Vec<u16> = self
            .cut
            .chunks_exact(2)
            .map(|pair| match halves {
                Halves::LowFirst => u16::from_le_bytes([pair[0], pair[1]]),
                Halves::HighFirst => u16::from_be_bytes([pair[0], pair[1]]),
            })
            .collect();
        // The first half of a pair waits for the second.
        let waits = units.last().is_some_and(|unit| (0xd800..0xdc00).contains(unit));
        let whole = units.len() - usize::from(waits);
        self.cut.drain(..whole * 2);
        char::decode_utf16(units[..whole].iter().copied())
            .map(|letter| {
                letter.unwrap_or_else(|_| {
                    self.broken += 1;
                    char::REPLACEMENT_CHARACTER
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8], chunk: usize) -> (String, bool, usize) {
        let mut letters = Letters::new();
        let mut text = Vec::new();
        let mut sink = |bytes: &[u8]| {
            text.extend_from_slice(bytes);
            Ok(())
        };
        for part in bytes.chunks(chunk) {
            letters.push(part, &mut sink).expect("nothing is refused");
        }
        letters.finish(&mut sink).expect("nothing is refused");
        let told = (letters.is_utf_16(), letters.broken());
        (String::from_utf8(text).expect("UTF-8"), told.0, told.1)
    }

    #[test]
    fn utf_16_is_known_with_and_without_its_mark_however_it_is_cut() {
        let text = "{\"n\": \"Łęg 森 \u{1f332}\"}";
        let low: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let high: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for chunk in 1..9 {
            for (name, bytes) in [
                ("low first", low.clone()),
                ("high first", high.clone()),
                ("low first, marked", [&[0xff, 0xfe][..], &low].concat()),
                ("high first, marked", [&[0xfe, 0xff][..], &high].concat()),
            ] {
                assert_eq!(
                    read(&bytes, chunk),
                    (text.to_owned(), true, 0),
                    "{name} by {chunk}"
                );
            }
            assert_eq!(
                read(text.as_bytes(), chunk),
                (text.to_owned(), false, 0),
                "by {chunk}"
            );
        }
        assert_eq!(read(b"{}", 1), ("{}".to_owned(), false, 0));
        assert_eq!(read(b"", 1), (String::new(), false, 0));
    }

    #[test]
    fn broken_letters_are_counted() {
        let units: Vec<u16> = [0xd800, u16::from(b'a'), 0xdc00].to_vec();
        let bytes: Vec<u8> = [0xfeff]
            .into_iter()
            .chain(units)
            .flat_map(u16::to_le_bytes)
            .collect();
        for chunk in 1..4 {
            assert_eq!(read(&bytes, chunk), ("\u{fffd}a\u{fffd}".to_owned(), true, 2));
            assert_eq!(
                read(&[&bytes[..], b"x"].concat(), chunk),
                ("\u{fffd}a\u{fffd}\u{fffd}".to_owned(), true, 3)
            );
        }
    }
}
