//! The letters of a file. In go plain bytes in UTF-8, UTF-16 or the one-byte encoding that a crosswalk names, out come
//! bytes in UTF-8, which is what GeoJSON must be. UTF-16 is known by its byte-order mark or by its zero bytes; a
//! one-byte encoding cannot be known, so it is never guessed. Everything else goes through untouched, and what is no
//! UTF-8 is refused by the scanner.

mod one_byte;

pub(crate) use one_byte::{ENCODINGS, OneByte, of_name};

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
    OneByte(Box<ByByte>),
}

/// Turns letters to UTF-8 as bytes arrive.
#[derive(Debug)]
pub(super) struct Letters {
    state: State,
    /// Half a letter, or half of a pair, cut by the end of a chunk.
    cut: Vec<u8>,
    /// Halves of pairs without their other half; bytes that the named encoding has no letter for.
    broken: usize,
    /// The one-byte encoding that the crosswalk names.
    named: Option<&'static OneByte>,
}

/// How the letters of a file compare with the encoding that its crosswalk names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AsNamed {
    /// None is named.
    NotNamed,
    /// The file was read in the encoding that is named.
    Read(&'static OneByte),
    /// The same, though all its letters would make sense as UTF-8.
    PerhapsUtf8(&'static OneByte),
    /// A byte-order mark says otherwise, and was followed.
    Otherwise(&'static OneByte),
}

impl Letters {
    /// The letters of a file in UTF-8 or UTF-16, or in the encoding that is named.
    pub(super) fn new(named: Option<&'static OneByte>) -> Letters {
        Letters {
            state: State::Open(Vec::new()),
            cut: Vec::new(),
            broken: 0,
            named,
        }
    }

    /// How the letters compare with the encoding that is named.
    pub(super) fn as_named(&self) -> AsNamed {
        match (self.named, &self.state) {
            (None, _) => AsNamed::NotNamed,
            (Some(named), State::OneByte(by_byte)) if by_byte.utf_8.is_likely() => {
                AsNamed::PerhapsUtf8(named)
            }
            (Some(named), State::OneByte(_) | State::Open(_)) => AsNamed::Read(named),
            (Some(named), State::AsTheyAre | State::Utf16(_)) => AsNamed::Otherwise(named),
        }
    }

    /// Whether the file is UTF-16.
    pub(super) fn is_utf_16(&self) -> bool {
        matches!(self.state, State::Utf16(_))
    }

    /// How many letters were broken; each became U+FFFD.
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
            State::OneByte(by_byte) => {
                let text = by_byte.decode(bytes, &mut self.broken);
                sink(text.as_bytes())
            }
            State::Open(head) => {
                head.extend_from_slice(bytes);
                if head.len() < 4 {
                    return Ok(());
                }
                let head = std::mem::take(head);
                let as_named = || match self.named {
                    Some(named) if !head.starts_with(&[0xef, 0xbb, 0xbf]) => {
                        State::OneByte(Box::new(ByByte::new(named)))
                    }
                    _ => State::AsTheyAre,
                };
                let (state, marked) = match head.as_slice() {
                    [0xff, 0xfe, ..] => (State::Utf16(Halves::LowFirst), true),
                    [0xfe, 0xff, ..] => (State::Utf16(Halves::HighFirst), true),
                    // JSON begins with two letters of ASCII.
                    [1..=127, 0, 1..=127, 0, ..] => (State::Utf16(Halves::LowFirst), false),
                    [0, 1..=127, 0, 1..=127, ..] => (State::Utf16(Halves::HighFirst), false),
                    _ => (as_named(), false),
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

/// Letters of one byte each.
#[derive(Debug)]
struct ByByte {
    letters: Vec<char>,
    utf_8: Likeness,
}

impl ByByte {
    fn new(encoding: &OneByte) -> ByByte {
        ByByte {
            letters: encoding.letters.chars().collect(),
            utf_8: Likeness::default(),
        }
    }

    fn decode(&mut self, bytes: &[u8], broken: &mut usize) -> String {
        let mut text = String::with_capacity(bytes.len());
        for &byte in bytes {
            self.utf_8.take(byte);
            let letter = match byte {
                0..=0x7f => char::from(byte),
                byte => self
                    .letters
                    .get(usize::from(byte & 0x7f))
                    .copied()
                    .unwrap_or(char::REPLACEMENT_CHARACTER),
            };
            *broken += usize::from(letter == char::REPLACEMENT_CHARACTER);
            text.push(letter);
        }
        text
    }
}

/// Whether bytes above ASCII stand as they do in UTF-8: one that begins a letter, then those that go on with it.
#[derive(Debug, Clone, Copy, Default)]
struct Likeness {
    letters: usize,
    /// Bytes that are still due.
    due: u8,
    unlike: bool,
}

impl Likeness {
    fn take(&mut self, byte: u8) {
        let goes_on = (0x80..0xc0).contains(&byte);
        self.unlike |= goes_on != (self.due > 0);
        self.due = match byte {
            _ if goes_on => self.due.saturating_sub(1),
            0xc2..=0xdf => 1,
            0xe0..=0xef => 2,
            0xf0..=0xf4 => 3,
            _ => 0,
        };
        self.unlike |= matches!(byte, 0xc0 | 0xc1 | 0xf5..);
        self.letters += usize::from(byte >= 0xc2);
    }

    fn is_likely(self) -> bool {
        self.letters > 0 && !self.unlike && self.due == 0
    }
}

/// A whole text in an encoding.
pub(crate) fn decoded(bytes: &[u8], encoding: &OneByte) -> String {
    ByByte::new(encoding).decode(bytes, &mut 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8], chunk: usize) -> (String, bool, usize) {
        read_as(None, bytes, chunk).0
    }

    fn read_as(named: Option<&str>, bytes: &[u8], chunk: usize) -> ((String, bool, usize), AsNamed) {
        let mut letters = Letters::new(named.map(|name| of_name(name).expect(name)));
        let mut text = Vec::new();
        let mut sink = |bytes: &[u8]| {
            text.extend_from_slice(bytes);
            Ok(())
        };
        for part in bytes.chunks(chunk) {
            letters.push(part, &mut sink).expect("nothing is refused");
        }
        letters.finish(&mut sink).expect("nothing is refused");
        let told = (
            String::from_utf8(text).expect("UTF-8"),
            letters.is_utf_16(),
            letters.broken(),
        );
        (told, letters.as_named())
    }

    /// Every byte of every encoding, against encoding_rs, which carries the tables of the Encoding Standard of the
    /// WHATWG (https://encoding.spec.whatwg.org/, 4.2 and 9).
    #[test]
    fn every_byte_has_the_letter_of_the_encoding_standard() {
        let bytes: Vec<u8> = (0..=255).collect();
        for encoding in ENCODINGS {
            let standard = encoding_rs::Encoding::for_label(encoding.name.as_bytes()).expect(encoding.name);
            let (expected, _) = standard.decode_without_bom_handling(&bytes);
            assert_eq!(decoded(&bytes, encoding), expected, "{}", encoding.name);
        }
        for (label, name) in [
            ("ISO-8859-1", "windows-1252"),
            ("latin1", "windows-1252"),
            ("cp1250", "windows-1250"),
            ("iso-8859-9", "windows-1254"),
            ("latin2", "iso-8859-2"),
        ] {
            let standard = encoding_rs::Encoding::for_label(label.as_bytes());
            // Not every name that programs write is a label of the standard.
            assert!(
                standard.is_none_or(|standard| standard.name().eq_ignore_ascii_case(name)),
                "{label}"
            );
            assert_eq!(
                of_name(label).map(|encoding| encoding.name),
                Some(name),
                "{label}"
            );
        }
        assert_eq!(of_name("utf-8"), None);
        assert_eq!(of_name("shift_jis"), None);
    }

    #[test]
    fn a_named_encoding_is_followed_unless_a_mark_says_otherwise() {
        let of = |name| of_name(name).expect("an encoding");
        let central = of("windows-1250");
        let text = "{\"n\": \"świerk, buk, PÓŁNOC\"}";
        let (bytes, _, _) = encoding_rs::WINDOWS_1250.encode(text);
        for chunk in [1, 3, 100] {
            assert_eq!(
                read_as(Some("cp1250"), &bytes, chunk),
                ((text.to_owned(), false, 0), AsNamed::Read(central))
            );
            // Plain ASCII is the same in all.
            assert_eq!(
                read_as(Some("cp1250"), b"{\"n\": 1}", chunk),
                (("{\"n\": 1}".to_owned(), false, 0), AsNamed::Read(central))
            );
            let marked = format!("\u{feff}{text}");
            assert_eq!(
                read_as(Some("cp1250"), marked.as_bytes(), chunk),
                ((marked.clone(), false, 0), AsNamed::Otherwise(central))
            );
            let utf_16: Vec<u8> = marked.encode_utf16().flat_map(u16::to_le_bytes).collect();
            assert_eq!(
                read_as(Some("cp1250"), &utf_16, chunk),
                ((text.to_owned(), true, 0), AsNamed::Otherwise(central))
            );
            let (_, as_named) = read_as(Some("cp1250"), text.as_bytes(), chunk);
            assert_eq!(as_named, AsNamed::PerhapsUtf8(central));
        }
        // In Greek Windows, the byte D2 is no letter.
        assert_eq!(
            read_as(Some("windows-1253"), b"{\"n\": \"\xd2\"}", 9),
            (
                ("{\"n\": \"\u{fffd}\"}".to_owned(), false, 1),
                AsNamed::Read(of("windows-1253"))
            )
        );
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
