//! Unpacks a stand map that arrives compressed with gzip (RFC 1952). In go the bytes of the file, out come plain bytes;
//! a file that is not compressed goes through untouched. A file that grows beyond all measure is refused.

use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::inflate_flags::TINFL_FLAG_HAS_MORE_INPUT;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress};

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
    Packed(Box<Members>),
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
                self.state = State::Packed(Box::default());
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
        let State::Packed(members) = &mut self.state else {
            return Ok(());
        };
        let mut plain = Vec::new();
        for part in bytes.chunks(PART) {
            plain.clear();
            // What was unpacked before a damage is looked at first, wherever the bytes are cut.
            let unpacked = members.push(part, &mut plain);
            self.taken += part.len() as u64;
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
            unpacked.map_err(damaged)?;
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
            State::Packed(members) if members.is_complete() => Ok(()),
            State::Packed(_) => Err(Unreadable::new(
                "truncated",
                "the compressed file ends before its end mark, expected the whole file",
                "Upload the file again; it was cut off on the way or while it was written",
            )),
        }
    }
}

fn damaged(how: &str) -> Unreadable {
    Unreadable::new(
        "compressed",
        format!("the compressed file is damaged ({how}), expected gzip"),
        "Compress and upload the file again",
    )
}

/// The members of a gzip file: each a header, packed bytes, and a trailer with checksum and length.
#[derive(Default)]
struct Members {
    stage: Stage,
    /// Bytes of a header or trailer so far.
    head: Vec<u8>,
    decoder: DecompressorOxide,
    /// The last plain bytes, to which packed ones refer: a ring.
    window: Vec<u8>,
    at: usize,
    checksum: Checksum,
    length: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Stage {
    #[default]
    Header,
    Packed,
    Trailer,
    /// Between members, or after the last.
    Between,
}

/// Packed bytes refer at most so far back (RFC 1951).
const WINDOW: usize = 32 << 10;
/// A header, with the name of the file and a comment, is at most so long.
const HEADER_AT_MOST: usize = 64 << 10;

impl std::fmt::Debug for Members {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Members")
            .field("stage", &self.stage)
            .finish_non_exhaustive()
    }
}

impl Members {
    fn is_complete(&self) -> bool {
        self.stage == Stage::Between
    }

    /// Takes packed bytes, appends plain ones.
    fn push(&mut self, mut bytes: &[u8], plain: &mut Vec<u8>) -> Result<(), &'static str> {
        while !bytes.is_empty() {
            match self.stage {
                Stage::Between => {
                    // Some writers fill the last block with zeros.
                    let zeros = bytes.iter().take_while(|byte| **byte == 0).count();
                    bytes = &bytes[zeros..];
                    if !bytes.is_empty() {
                        self.stage = Stage::Header;
                    }
                }
                Stage::Header => {
                    self.head.push(bytes[0]);
                    bytes = &bytes[1..];
                    if header_is_whole(&self.head)? {
                        self.begin();
                    }
                }
                Stage::Packed => bytes = self.inflate(bytes, plain)?,
                Stage::Trailer => {
                    let taken = bytes.len().min(8 - self.head.len());
                    self.head.extend_from_slice(&bytes[..taken]);
                    bytes = &bytes[taken..];
                    if let &[a, b, c, d, e, f, g, h] = self.head.as_slice() {
                        if u32::from_le_bytes([a, b, c, d]) != self.checksum.value() {
                            return Err("its checksum is another");
                        }
                        if u32::from_le_bytes([e, f, g, h]) != self.length {
                            return Err("its length is another");
                        }
                        self.head.clear();
                        self.stage = Stage::Between;
                    }
                }
            }
        }
        Ok(())
    }

    fn begin(&mut self) {
        self.head.clear();
        self.decoder = DecompressorOxide::default();
        self.window.resize(WINDOW, 0);
        self.at = 0;
        self.checksum = Checksum::default();
        self.length = 0;
        self.stage = Stage::Packed;
    }

    /// Unpacks until the bytes or the member end; gives the bytes that are left.
    fn inflate<'b>(&mut self, mut bytes: &'b [u8], plain: &mut Vec<u8>) -> Result<&'b [u8], &'static str> {
        loop {
            let (status, taken, given) = decompress(
                &mut self.decoder,
                bytes,
                &mut self.window,
                self.at,
                TINFL_FLAG_HAS_MORE_INPUT,
            );
            bytes = &bytes[taken..];
            let new = &self.window[self.at..self.at + given];
            self.checksum.take(new);
            self.length = self.length.wrapping_add(given as u32);
            plain.extend_from_slice(new);
            self.at = (self.at + given) % WINDOW;
            match status {
                TINFLStatus::HasMoreOutput => {}
                TINFLStatus::NeedsMoreInput => return Ok(bytes),
                TINFLStatus::Done => {
                    self.stage = Stage::Trailer;
                    return Ok(bytes);
                }
                _ => return Err("its packed bytes make no sense"),
            }
        }
    }
}

/// Whether these bytes are a whole header of a member (RFC 1952, 2.3).
fn header_is_whole(head: &[u8]) -> Result<bool, &'static str> {
    const WRONG: &str = "its header is no gzip header";
    if !head
        .iter()
        .zip([0x1f, 0x8b, 8])
        .all(|(found, expected)| *found == expected)
    {
        return Err(WRONG);
    }
    let Some(&flags) = head.get(3) else {
        return Ok(false);
    };
    if flags & 0xe0 != 0 || head.len() > HEADER_AT_MOST {
        return Err(WRONG);
    }
    let mut needed = 10;
    if flags & 4 != 0 {
        let [low, high] = match head.get(10..12) {
            Some(&[low, high]) => [low, high],
            _ => return Ok(false),
        };
        needed += 2 + usize::from(u16::from_le_bytes([low, high]));
    }
    // The name of the file and a comment end with a zero each.
    for flag in [8, 16] {
        if flags & flag != 0 {
            let Some(end) = head
                .get(needed..)
                .and_then(|rest| rest.iter().position(|byte| *byte == 0))
            else {
                return Ok(false);
            };
            needed += end + 1;
        }
    }
    if flags & 2 != 0 {
        needed += 2;
    }
    Ok(head.len() >= needed)
}

/// The checksum of gzip (CRC-32, RFC 1952, 8).
struct Checksum(u32);

impl Default for Checksum {
    fn default() -> Checksum {
        Checksum(u32::MAX)
    }
}

/// The checksum of each byte alone.
const CHECKSUMS: [u32; 256] = {
    let mut table = [0; 256];
    let mut byte = 0;
    while byte < 256 {
        let mut value = byte as u32;
        let mut bit = 0;
        while bit < 8 {
            value = if value & 1 == 1 {
                0xedb8_8320 ^ (value >> 1)
            } else {
                value >> 1
            };
            bit += 1;
        }
        table[byte] = value;
        byte += 1;
    }
    table
};

impl Checksum {
    fn take(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = CHECKSUMS[usize::from(self.0 as u8 ^ byte)] ^ (self.0 >> 8);
        }
    }

    fn value(&self) -> u32 {
        !self.0
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use flate2::write::GzEncoder;
    use flate2::{Compression, GzBuilder};

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
        // More than a window, with all that a header may hold, and zeros after the end.
        let long: Vec<u8> = (0..200_000_u32)
            .map(|n| (n % 1009 * (n % 997) / 7 % 251) as u8)
            .collect();
        let mut encoder = GzBuilder::new()
            .filename("stands.geojson")
            .comment("made up")
            .extra(vec![1, 0, 3])
            .write(Vec::new(), Compression::best());
        encoder.write_all(&long).expect("memory takes bytes");
        let mut file = encoder.finish().expect("memory takes bytes");
        file.extend([0; 100]);
        for chunk in [1, 7, 4096, 1 << 20] {
            assert!(
                unpacked(&file, chunk).as_deref() == Ok(&long[..]),
                "long by {chunk}"
            );
        }
    }

    #[test]
    fn damage_and_floods_are_refused() {
        let text = b"{\"type\":\"FeatureCollection\",\"features\":[]}".repeat(9);
        let whole = packed(&text);
        let mut flipped = whole.clone();
        let checksum = flipped.len() - 8;
        flipped[checksum] ^= 1;
        let flood = packed(&vec![b' '; 20 << 20]);
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
                "stand map: the compressed file is damaged (its checksum is another), \
                 expected gzip. Compress and upload the file again.",
            ),
            (
                "another length",
                &[&whole[..whole.len() - 1], &[9]].concat(),
                "stand map: the compressed file is damaged (its length is another), expected gzip. Compress and \
                 upload the file again.",
            ),
            (
                "something after the end",
                &[&whole[..], b"end"].concat(),
                "stand map: the compressed file is damaged (its header is no gzip header), expected gzip. Compress \
                 and upload the file again.",
            ),
            (
                "packed bytes that make no sense",
                &[&whole[..10], &[0xff; 30]].concat(),
                "stand map: the compressed file is damaged (its packed bytes make no sense), expected gzip. Compress \
                 and upload the file again.",
            ),
            (
                "no gzip inside",
                b"\x1f\x8b\x07\x00\x00\x00\x00\x00\x00\x00\x00\x00",
                "stand map: the compressed file is damaged (its header is no gzip header), expected gzip. Compress and upload \
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
