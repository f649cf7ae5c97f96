//! The quick way through a feature that is written as nearly all are. In go the bytes of a stand map from where a
//! feature begins, out come its parts and where it ends, from one look at every byte; or nothing, as soon as anything
//! is unusual: then `feature` reads it, member by member. Whatever both read they read alike, but for the last bit of
//! numbers of 16 digits or more.
//!
//! Unusual are names with escapes, members met twice, empty arrays among the coordinates, a type that is no `Feature`,
//! a feature cut by the end of the chunk, and every mistake: none of them is judged here.

use std::borrow::Cow;

use serde::de::{DeserializeSeed, IgnoredAny};

use super::columns::Columns;
use super::feature::{Feature, PropertiesSeed};
use super::scan::{DEEPEST, FEATURE_AT_MOST};
use super::shape::{Geometry, Shape};

/// A feature, and how many bytes it takes.
pub(crate) struct Swift {
    pub(crate) feature: Feature,
    pub(crate) length: usize,
}

/// Reads the feature that begins the text; `None` where it is unusual. Names of properties are met in `columns` only
/// where the feature is read.
pub(crate) fn read(text: &str, columns: &mut Columns) -> Option<Swift> {
    let mut pen = Pen { text, at: 0 };
    let mut feature = Feature::default();
    let mut properties = None;
    let (mut typed, mut named, mut shaped) = (false, false, false);
    if !text.starts_with('{') {
        return None;
    }
    pen.at = 1;
    loop {
        match pen.name()? {
            "type" if !typed => {
                typed = true;
                pen.short_text().filter(|kind| *kind == "Feature")?;
                feature.kind = Some(Cow::Borrowed("Feature"));
            }
            "id" if !named => {
                named = true;
                feature.id = Some(serde_json::from_str(pen.value()?).ok()?);
            }
            "geometry" if !shaped => {
                shaped = true;
                feature.geometry = Some(pen.geometry()?);
            }
            "properties" if properties.is_none() => properties = Some(pen.value()?),
            "type" | "id" | "geometry" | "properties" | "coordinates" | "geometries" | "crs" | "features"
            | "reference_year" => return None,
            _ => {
                let value = pen.value()?;
                serde_json::from_str::<IgnoredAny>(value).ok()?;
            }
        }
        match pen.next()? {
            b',' => {}
            b'}' => break,
            _ => return None,
        }
    }
    if !typed || pen.at > FEATURE_AT_MOST {
        return None;
    }
    feature.bare.kind.clone_from(&feature.kind);
    if let Some(text) = properties {
        let mut json = serde_json::Deserializer::from_str(text);
        let seed = PropertiesSeed {
            columns,
            feature: &mut feature,
        };
        let read = seed.deserialize(&mut json).and_then(|()| json.end());
        if read.is_err() {
            columns.forget();
            return None;
        }
    }
    if feature.cells.is_empty() {
        feature.cells.resize_with(columns.len(), || None);
    }
    Some(Swift {
        feature,
        length: pen.at,
    })
}

/// Powers of ten that a number of at most 19 digits is divided by.
const TENS: [f64; 20] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19,
];

/// So many digits always fit into 64 bits.
const DIGITS: usize = 19;

/// Where the reading stands.
struct Pen<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Pen<'t> {
    fn bytes(&self) -> &'t [u8] {
        self.text.as_bytes()
    }

    /// The next byte that is no blank, taken.
    fn next(&mut self) -> Option<u8> {
        loop {
            let byte = *self.bytes().get(self.at)?;
            self.at += 1;
            if !matches!(byte, b' ' | b'\t' | b'\n' | b'\r') {
                return Some(byte);
            }
        }
    }

    fn mark(&mut self, mark: u8) -> Option<()> {
        (self.next()? == mark).then_some(())
    }

    /// A text without escapes, its quotes left off.
    fn plain_text(&mut self) -> Option<&'t str> {
        self.mark(b'"')?;
        let from = self.at;
        let length = self.bytes()[from..]
            .iter()
            .position(|&byte| byte == b'"' || byte == b'\\' || byte < b' ')?;
        self.at += length + 1;
        (self.bytes()[from + length] == b'"').then(|| &self.text[from..from + length])
    }

    /// A text so short that it is never cut.
    fn short_text(&mut self) -> Option<&'t str> {
        self.plain_text().filter(|text| text.len() <= 40)
    }

    /// The name of a member, with its colon.
    fn name(&mut self) -> Option<&'t str> {
        let name = self.plain_text()?;
        self.mark(b':')?;
        Some(name)
    }

    /// The text of the value that follows, whatever it is; that its brackets are of the right kind is not looked at.
    fn value(&mut self) -> Option<&'t str> {
        let first = self.next()?;
        let from = self.at - 1;
        let bytes = self.bytes();
        match first {
            b'"' => self.pass_text()?,
            b'{' | b'[' => {
                // One object is open already: the feature.
                let mut open = 2;
                while open > 1 {
                    let byte = *bytes.get(self.at)?;
                    self.at += 1;
                    match byte {
                        b'"' => self.pass_text()?,
                        b'{' | b'[' => {
                            open += 1;
                            if open > DEEPEST {
                                return None;
                            }
                        }
                        b'}' | b']' => open -= 1,
                        0 => return None,
                        _ => {}
                    }
                }
            }
            _ => {
                let length = bytes[from..]
                    .iter()
                    .position(|&byte| matches!(byte, b',' | b'}' | b']' | b' ' | b'\t' | b'\n' | b'\r'))?;
                self.at = from + length;
            }
        }
        Some(&self.text[from..self.at])
    }

    /// Passes the rest of a text whose first quote was taken.
    fn pass_text(&mut self) -> Option<()> {
        let bytes = self.bytes();
        loop {
            let byte = *bytes.get(self.at)?;
            self.at += 1;
            match byte {
                b'"' => return Some(()),
                b'\\' => self.at += 1,
                _ => {}
            }
        }
    }

    /// A geometry that is a polygon, or several.
    fn geometry(&mut self) -> Option<Geometry> {
        let mut geometry = Geometry::default();
        let mut shaped = false;
        self.mark(b'{')?;
        loop {
            match self.name()? {
                "type" if geometry.kind.is_none() => {
                    geometry.kind = Some(match self.short_text()? {
                        "Polygon" => Cow::Borrowed("Polygon"),
                        "MultiPolygon" => Cow::Borrowed("MultiPolygon"),
                        other => Cow::Owned(other.to_owned()),
                    });
                }
                "coordinates" if !shaped => {
                    shaped = true;
                    self.coordinates(&mut geometry.shape)?;
                }
                _ => return None,
            }
            match self.next()? {
                b',' => {}
                b'}' => return Some(geometry),
                _ => return None,
            }
        }
    }

    /// Positions nested three or four deep.
    fn coordinates(&mut self, shape: &mut Shape) -> Option<()> {
        self.mark(b'[')?;
        self.mark(b'[')?;
        self.mark(b'[')?;
        // Most outlines have no more.
        shape.positions.reserve(64);
        let begin = self.at;
        if self.next()? == b'[' {
            shape.height = 4;
            loop {
                self.polygon(shape)?;
                match self.next()? {
                    b',' => {
                        self.mark(b'[')?;
                        self.mark(b'[')?;
                        self.mark(b'[')?;
                    }
                    b']' => return Some(()),
                    _ => return None,
                }
            }
        }
        self.at = begin;
        shape.height = 3;
        self.polygon(shape)
    }

    /// A polygon whose first three brackets were taken.
    fn polygon(&mut self, shape: &mut Shape) -> Option<()> {
        loop {
            self.ring(shape)?;
            match self.next()? {
                b',' => {
                    self.mark(b'[')?;
                    self.mark(b'[')?;
                }
                b']' => break,
                _ => return None,
            }
        }
        shape.end_polygon();
        Some(())
    }

    /// A ring whose first two brackets were taken.
    fn ring(&mut self, shape: &mut Shape) -> Option<()> {
        loop {
            let first = self.number()?;
            self.mark(b',')?;
            let second = self.number()?;
            shape.positions.push([first, second]);
            let mut mark = self.next()?;
            while mark == b',' {
                self.number()?;
                mark = self.next()?;
            }
            if mark != b']' {
                return None;
            }
            match self.next()? {
                b',' => self.mark(b'[')?,
                b']' => break,
                _ => return None,
            }
        }
        shape.end_ring();
        Some(())
    }

    fn number(&mut self) -> Option<f64> {
        let bytes = self.bytes();
        let mut at = self.at;
        while matches!(bytes.get(at)?, b' ' | b'\t' | b'\n' | b'\r') {
            at += 1;
        }
        let from = at;
        let negative = *bytes.get(at)? == b'-';
        at += usize::from(negative);
        let first = at;
        let mut digits = 0u64;
        while let digit @ 0..=9 = bytes.get(at)?.wrapping_sub(b'0') {
            digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        let whole = at - first;
        if whole == 0 || whole > 1 && bytes[first] == b'0' {
            return None;
        }
        let mut decimals = 0;
        if bytes[at] == b'.' {
            at += 1;
            let begin = at;
            at += take_digits(bytes, at, &mut digits)?;
            decimals = at - begin;
            if decimals == 0 {
                return None;
            }
        }
        self.at = at;
        if whole + decimals > DIGITS || matches!(bytes[at], b'e' | b'E') {
            self.at = from;
            return serde_json::from_str(self.value()?).ok();
        }
        let mut number = digits as f64;
        if decimals > 0 {
            number /= TENS[decimals];
        }
        Some(if negative { -number } else { number })
    }
}

/// Takes the digits that stand here, eight at a time, and tells how many they were. `None` at the end of the text.
fn take_digits(bytes: &[u8], from: usize, digits: &mut u64) -> Option<usize> {
    let mut at = from;
    while let Some(&eight) = bytes.get(at..).and_then(|rest| rest.first_chunk::<8>()) {
        let eight = u64::from_le_bytes(eight);
        let (value, count) = leading_digits(eight);
        *digits = digits.wrapping_mul(POWERS[count]).wrapping_add(value);
        at += count;
        if count < 8 {
            return Some(at - from);
        }
    }
    loop {
        let digit = bytes.get(at)?.wrapping_sub(b'0');
        if digit > 9 {
            return Some(at - from);
        }
        *digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
}

const POWERS: [u64; 9] = [
    1,
    10,
    100,
    1_000,
    10_000,
    100_000,
    1_000_000,
    10_000_000,
    100_000_000,
];

/// The value of the digits that eight bytes begin with, and how many they are: all eight are worked on at once, as
/// eight lanes of one number (a technique of common knowledge).
fn leading_digits(eight: u64) -> (u64, usize) {
    const ZEROS: u64 = 0x3030_3030_3030_3030;
    let off = eight ^ ZEROS;
    // A lane is a digit where it is at most nine: adding 0x76 then leaves its highest bit unset.
    let other = (off.wrapping_add(0x7676_7676_7676_7676) | off) & 0x8080_8080_8080_8080;
    let count = (other.trailing_zeros() / 8) as usize;
    if count == 0 {
        return (0, 0);
    }
    // The digits moved to the end of the number; what stands before them counts as zero.
    let lanes = off << (8 * (8 - count));
    let pairs = (lanes.wrapping_mul(10).wrapping_add(lanes >> 8)) & 0x00ff_00ff_00ff_00ff;
    let fours = (pairs.wrapping_mul(100).wrapping_add(pairs >> 16)) & 0x0000_ffff_0000_ffff;
    let all = fours.wrapping_mul(10_000).wrapping_add(fours >> 32) & 0xffff_ffff;
    (all, count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standmap::feature;
    use crate::standmap::scan::{Piece, Scanner};
    use proptest::prelude::*;

    fn columns() -> Columns {
        let mut columns = Columns::default();
        for name in ["age", "species"] {
            columns.want(name);
        }
        columns
    }

    /// A feature and the names that were met in it, as a text; the last number of its coordinates is a note of the
    /// careful reader to itself.
    fn told(feature: &Feature, mut columns: Columns) -> String {
        columns.count();
        let mut told = format!("{feature:?}");
        while let Some(from) = told.find(", number: ") {
            let end = told[from..].find(" }").map_or(told.len(), |end| from + end);
            told.replace_range(from..end, "");
        }
        format!(
            "{told} {:?} {:?} {:?}",
            columns.unwanted(),
            columns.taken_for(),
            columns.never_met()
        )
    }

    /// What the careful reader makes of the first feature of the text: its length, its parts and the names it met.
    fn careful(text: &str) -> Option<(usize, String)> {
        let mut length = 0;
        let file = format!("{{\"features\":[{text}");
        let scanned = Scanner::new().push(file.as_bytes(), &mut |piece| {
            if let Piece::Feature { text, .. } = piece
                && length == 0
            {
                length = text.len();
            }
            Ok(())
        });
        if length == 0 {
            assert!(
                scanned.is_err() || text.len() < 4 || !text.ends_with(']'),
                "{text}"
            );
            return None;
        }
        let mut columns = columns();
        let feature = feature::read(&text[..length], &mut columns).ok()?;
        Some((length, told(&feature, columns)))
    }

    fn swift(text: &str) -> Option<(usize, String)> {
        let mut columns = columns();
        let swift = read(text, &mut columns);
        if swift.is_none() {
            columns.count();
            let counted: usize = columns.unwanted().values().sum();
            assert_eq!(
                counted, 0,
                "a feature that was not read left names behind: {text}"
            );
        }
        let swift = swift?;
        Some((swift.length, told(&swift.feature, columns)))
    }

    const PLAIN: &str = r#"{ "type" : "Feature", "id":"s1","properties":{"age":40,"Species":"Picea {abies}","owner":[{"a":"]"}]},"bbox":[1,2,3,4],
 "geometry":{"type":"Polygon","coordinates":[[[10.5,48.25] , [10.6000001,48.25,312.5],[ 10.5,-0.30000000004],[10.5,48.25]],[[1e1,2],[3,4],[5,6]]]}}"#;
    const PARTS: &str = r#"{"geometry":{"coordinates":[[[[1,2],[3,4],[5,6],[1,2]]],[[[7.1234567890,8],[9,-10],[11,12]]]],"type":"MultiPolygon"},"type":"Feature"}"#;

    #[test]
    fn common_features_are_read_at_once() {
        for text in [PLAIN, PARTS] {
            let read = swift(&format!("{text},{{")).expect(text);
            assert_eq!(Some(read), careful(&format!("{text},{{")));
        }
    }

    #[test]
    fn unusual_features_are_left_to_the_careful_reader() {
        for text in [
            r#"{"type":"Feature","geometry":null}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[]}}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[1,2],[3,null]]]}}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[1],[3,4]]]}}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[01,2],[3,4]]]}}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[1.,2],[3,4]]]}}"#,
            r#"{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[1e999,2],[3,4]]]}}"#,
            r#"{"type":"Feature","properties":{},"properties":{}}"#,
            r#"{"type":"Feature","properties":{"age":}}"#,
            r#"{"type":"Feature","properties":{"x":1,"age":"a\qb"}}"#,
            r#"{"type":"feature"}"#,
            r#"{"id":1}"#,
            r#"{"type":"Feature""#,
            r#"{}"#,
        ] {
            assert_eq!(swift(&format!("{text},")), None, "{text}");
        }
        let deep = format!(
            r#"{{"type":"Feature","properties":{{"x":{}1{}}}}},"#,
            "[".repeat(31),
            "]".repeat(31)
        );
        assert_eq!(swift(&deep), None);
        let long = format!(r#"{{"type":"Feature","x":"{}"}},"#, "a".repeat(FEATURE_AT_MOST));
        assert!(swift(&long).is_none(), "a feature beyond measure");
        assert!(swift(&deep.replace("[[", "[").replace("]]", "]")).is_some());
    }

    #[test]
    fn digits_are_read_eight_at_a_time_as_one_by_one() {
        for text in [
            "1234567,",
            "12345678",
            "0000000]",
            "9999999e",
            "7:345678",
            "/1234567",
            "1\u{e9}34567",
            "12\u{fe}4567",
        ] {
            let mut eight = [0; 8];
            let bytes = text.as_bytes();
            let length = bytes.len().min(8);
            eight[..length].copy_from_slice(&bytes[..length]);
            let digits: String = text.chars().take_while(char::is_ascii_digit).take(8).collect();
            let expected = (digits.parse().unwrap_or(0), digits.len());
            assert_eq!(leading_digits(u64::from_le_bytes(eight)), expected, "{text}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// A byte of a good feature changed, taken out or put in twice: what is still read at once is what the careful
        /// reader reads.
        #[test]
        fn whatever_is_read_at_once_is_read_alike(
            parts: bool,
            at in 0usize..320,
            byte in prop::sample::select(b"[]{}\",:.eE+-0123456789 \nntf\\x\0".to_vec()),
            how in 0u8..3,
        ) {
            let mut bytes = format!("{},", if parts { PARTS } else { PLAIN }).into_bytes();
            let at = at % bytes.len();
            match how {
                0 => bytes[at] = byte,
                1 => { bytes.remove(at); }
                _ => bytes.insert(at, byte),
            }
            let text = String::from_utf8(bytes).expect("ASCII");
            if let Some(read) = swift(&text) {
                prop_assert_eq!(Some(read), careful(&text));
            }
        }

        /// Numbers of any length are the nearest that 64 bits can hold, or the one beside it: no border moves by that.
        #[test]
        fn numbers_are_read_to_the_last_place_but_one(
            one in "-?(0|[1-9][0-9]{0,4})(\\.[0-9]{1,22})?([eE][+-]?[0-9]{1,2})?",
            other in "-?(0|[1-9][0-9]{0,20})(\\.[0-9]{1,9})?",
        ) {
            let text = format!(
                "{{\"type\":\"Feature\",\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[[{one},{other}]]]}}}},"
            );
            let read = read(&text, &mut columns()).and_then(|swift| swift.feature.geometry);
            let position = read.and_then(|geometry| geometry.shape.positions.first().copied());
            let [x, y] = position.expect("a position");
            for (read, written) in [(x, &one), (y, &other)] {
                let nearest: f64 = written.parse().expect("a number");
                let beside = [nearest.next_down(), nearest, nearest.next_up()];
                prop_assert!(beside.contains(&read), "{} was read as {}", written, read);
            }
        }
    }
}
