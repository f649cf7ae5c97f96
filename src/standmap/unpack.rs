//! Unpacks a stand map that arrives compressed with gzip (RFC 1952). In go the bytes of the file, out come plain bytes;
//! a file that is not compressed goes through untouched. A file that grows beyond all measure is refused.

use std::io::Write as _;

use flate2::write::MultiGzDecoder;

use super::unreadable::Unreadable;

/// Stand maps shrink to a quarter or a tenth; one that grows more than this on unpacking was made to flood memory.
const GROWS_AT_MOST: u64 = 250;
/// Below so many bytes growth is not judged.
const FLOOD_FROM: u64 = 16 << 20;
/// Packed bytes are unpacked in parts of this size, so that no part becomes large (gzip reaches about 1000 to 1).
const PART: usize = 4 << 10;

/// Unpacks as bytes arrive.
#[derive(Debug)]
pub(super) struct Unpacker {
    state: State,
    taken: u64,
    given: u64,
}

#[derive(Debug)]
enum State {
    /// The first bytes, until there are enough to tell.
    Open(Vec<u8>),
    Plain,
    Packed(Box<MultiGzDecoder<Vec<u8>>>),
}

impl Unpacker {
    pub(super) fn new() -> Unpacker {
        Unpacker {
            state: State::Open(Vec::new()),
            taken: 0,
            given: 0,
        }
    }

    /// Whether the file was packed.
    pub(super) fn is_packed(&self) -> bool {
        matches!(self.state, State::Packed(_))
    }

    /// Takes the next bytes, gives plain ones.
    ///
    /// # Errors
    /// [`Unreadable`] where the file is an archive, is damaged, grows beyond measure, or where `sink` refuses it.
    pub(super) fn push(
        &mut self,
        bytes: &[u8],
        sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        match &mut self.state {
            State::Plain => sink(bytes),
            State::Packed(_) => self.unpack(bytes, sink),
            State::Open(head) => {
                head.extend_from_slice(bytes);
                if head.len() < 4 {
                    return Ok(());
                }
                self.begin(sink)
            }
        }
    }

    fn begin(&mut self, sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>) -> Result<(), Unreadable> {
        let State::Open(head) = &mut self.state else {
            return Ok(());
        };
        let head = std::mem::take(head);
        match head.as_slice() {
            [0x1f, 0x8b, ..] => {
                self.state = State::Packed(Box::new(MultiGzDecoder::new(Vec::new())));
                self.unpack(&head, sink)
            }
            [b'P', b'K', 3, 4, ..] => Err(Unreadable::new(
                "compressed",
                "the file is a ZIP archive, expected GeoJSON, plain or compressed with gzip",
                "Unpack it and publish the GeoJSON file inside",
            )),
            [0x28, 0xb5, 0x2f, 0xfd, ..] => Err(Unreadable::new(
                "compressed",
                "the file is compressed with Zstandard, expected GeoJSON, plain or compressed with gzip",
                "Publish it plain or as gzip, and let the server compress it on the way",
            )),
            _ => {
                self.state = State::Plain;
                sink(&head)
            }
        }
    }

    fn unpack(
        &mut self,
        bytes: &[u8],
        sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        let State::Packed(decoder) = &mut self.state else {
            return Ok(());
        };
        for part in bytes.chunks(PART) {
            decoder.write_all(part).map_err(|error| damaged(&error))?;
            decoder.flush().map_err(|error| damaged(&error))?;
            self.taken += part.len() as u64;
            let plain = std::mem::take(decoder.get_mut());
            self.given += plain.len() as u64;
            if self.given > FLOOD_FROM && self.given > self.taken * GROWS_AT_MOST {
                return Err(Unreadable::new(
                    "compressed",
                    format!(
                        "the file grows from {} to more than {} bytes on unpacking, expected at most {GROWS_AT_MOST} \
                         times its size",
                        self.taken, self.given
                    ),
                    "Publish the map itself; no stand map shrinks that far",
                ));
            }
            sink(&plain)?;
        }
        Ok(())
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`Unreadable`] where a packed file ends too early or does not match its checksum, or where `sink` refuses it.
    pub(super) fn finish(
        &mut self,
        sink: &mut dyn FnMut(&[u8]) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        match &mut self.state {
            State::Plain => Ok(()),
            State::Open(head) => {
                let head = std::mem::take(head);
                sink(&head)
            }
            State::Packed(decoder) => {
                decoder.try_finish().map_err(|error| damaged(&error))?;
                let plain = std::mem::take(decoder.get_mut());
                sink(&plain)
            }
        }
    }
}

fn damaged(error: &std::io::Error) -> Unreadable {
    if error.kind() == std::io::ErrorKind::UnexpectedEof {
        return Unreadable::new(
            "truncated",
            "the compressed file ends before its end mark, expected the whole file",
            "Upload the file again; it was cut off on the way or while it was written",
        );
    }
    Unreadable::new(
        "compressed",
        format!("the compressed file is damaged ({error}), expected gzip"),
        "Compress and upload the file again",
    )
}

#[cfg(test)]
mod tests {
    use flate2::Compression;
    use flate2::write::GzEncoder;

    use super::*;

    fn packed(plain: &[u8]) -> Vec<u8> {
        let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
        encoder.write_all(plain).expect("memory takes bytes");
        encoder.finish().expect("memory takes bytes")
    }

    fn unpacked(bytes: &[u8], chunk: usize) -> Result<Vec<u8>, String> {
        let mut unpacker = Unpacker::new();
        let mut plain = Vec::new();
        let mut sink = |bytes: &[u8]| {
            plain.extend_from_slice(bytes);
            Ok(())
        };
        for part in bytes.chunks(chunk) {
            unpacker
                .push(part, &mut sink)
                .map_err(|refused| refused.to_string())?;
        }
        unpacker
            .finish(&mut sink)
            .map_err(|refused| refused.to_string())?;
        Ok(plain)
    }

    #[test]
    fn packed_and_plain_files_come_out_however_they_are_cut() {
        let text = "{\"type\":\"FeatureCollection\",\"features\":[]}"
            .repeat(40)
            .into_bytes();
        let twice = [packed(&text[..300]), packed(&text[300..])].concat();
        for chunk in [1, 2, 3, 5, 17, 1000, 100_000] {
            assert_eq!(
                unpacked(&text, chunk).as_deref(),
                Ok(&text[..]),
                "plain by {chunk}"
            );
            assert_eq!(
                unpacked(&packed(&text), chunk).as_deref(),
                Ok(&text[..]),
                "packed by {chunk}"
            );
            assert_eq!(
                unpacked(&twice, chunk).as_deref(),
                Ok(&text[..]),
                "two members by {chunk}"
            );
        }
        assert_eq!(unpacked(b"{}", 1).as_deref(), Ok(&b"{}"[..]));
    }

    #[test]
    fn damage_and_floods_are_refused() {
        let text = b"{\"type\":\"FeatureCollection\",\"features\":[]}".repeat(9);
        let whole = packed(&text);
        let mut flipped = whole.clone();
        let checksum = flipped.len() - 8;
        flipped[checksum] ^= 1;
        let flood = packed(&vec![b' '; 64 << 20]);
        for (name, bytes, message) in [
            (
                "cut",
                &whole[..whole.len() / 2],
                "stand map: the compressed file ends before its end mark, expected the whole file. Upload the file \
                 again; it was cut off on the way or while it was written.",
            ),
            (
                "another checksum",
                &flipped,
                "stand map: the compressed file is damaged (corrupt gzip stream does not have a matching checksum), \
                 expected gzip. Compress and upload the file again.",
            ),
            (
                "no gzip inside",
                b"\x1f\x8b\x07\x00\x00\x00\x00\x00\x00\x00\x00\x00",
                "stand map: the compressed file is damaged (invalid gzip header), expected gzip. Compress and upload \
                 the file again.",
            ),
            (
                "ZIP",
                b"PK\x03\x04....",
                "stand map: the file is a ZIP archive, expected GeoJSON, plain or compressed with gzip. Unpack it and \
                 publish the GeoJSON file inside.",
            ),
            (
                "Zstandard",
                b"\x28\xb5\x2f\xfd....",
                "stand map: the file is compressed with Zstandard, expected GeoJSON, plain or compressed with gzip. \
                 Publish it plain or as gzip, and let the server compress it on the way.",
            ),
        ] {
            assert_eq!(unpacked(bytes, 7).expect_err(name), message, "{name}");
        }
        let refused = unpacked(&flood, 1000).expect_err("a flood");
        assert!(
            refused
                .contains("bytes on unpacking, expected at most 250 times its size. Publish the map itself"),
            "{refused}"
        );
    }
}
