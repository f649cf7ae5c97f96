//! Finds the features in a stand map that arrives in chunks. In go bytes, cut anywhere; out come what a document says
//! before its features, the text of each member of `features`, and each whole document less those members. What the text means is left to
//! the reader; only what makes the rest of the file unreadable is refused here.
//!
//! The order of members does not matter. Documents may follow one another (newline-delimited features).

use super::unreadable::{Spot, Unreadable};

/// Objects and arrays nested deeper than this are refused, in a feature and in the document.
pub(crate) const DEEPEST: usize = 32;

/// One feature has at most so many bytes: an outline of 200 000 positions with every digit and an indent for each.
pub(super) const FEATURE_AT_MOST: usize = 32 << 20;
/// What stands beside the features of a document, or a whole TopoJSON, has at most so many bytes.
const DOCUMENT_AT_MOST: usize = 256 << 20;

/// Why a member of `features` is not kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lost {
    Deep,
    Large,
}

/// One find of the scanner.
#[derive(Debug)]
pub(crate) enum Piece<'a> {
    /// The rest of the text at hand from where a member of `features` begins. Who can take the member at once sets
    /// `taken` to its length; else it comes again as [`Piece::Feature`].
    Ahead { text: &'a str, taken: &'a mut usize },
    /// A document as far as its `features` array, closed there: what it says before its features.
    Opening { text: &'a str, at: Spot },
    /// One member of `features`.
    Feature { text: &'a str, at: Spot },
    /// One member of `features` nested deeper than [`DEEPEST`]; its text is not kept.
    TooDeep { at: Spot },
    /// One member of `features` of more bytes than one may have; its text is not kept.
    TooLarge { at: Spot },
    /// A whole document, its `features` array emptied.
    Document { text: &'a str, at: Spot },
}

/// Where the scanner stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// Before, between or after documents.
    Outside,
    /// In a document, outside its `features` array.
    Document,
    /// In the `features` array, between two members.
    Between,
    /// In a member of `features` that is an object or array.
    Member,
    /// In a member of `features` that is neither.
    Scalar,
}

/// Whether the next text of a document is the name of one of its members.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Naming {
    Value,
    Expected,
    Reading,
    Read,
}

/// Open brackets: how deep, and of which kind as far as 64 levels.
#[derive(Debug, Clone, Copy, Default)]
struct Brackets {
    depth: usize,
    square: u64,
}

impl Brackets {
    fn open(&mut self, byte: u8) {
        if self.depth < 64 {
            let bit = 1u64 << self.depth;
            if byte == b'[' {
                self.square |= bit;
            } else {
                self.square &= !bit;
            }
        }
        self.depth += 1;
    }

    /// Closes one; false where another kind is open.
    fn close(&mut self, byte: u8) -> bool {
        self.depth -= 1;
        self.depth >= 64 || ((self.square >> self.depth) & 1 == 1) == (byte == b']')
    }
}

/// Bytes that end a run of plain characters outside strings.
const MARKS: [bool; 256] = {
    let mut marks = [false; 256];
    marks[b'"' as usize] = true;
    marks[b'{' as usize] = true;
    marks[b'}' as usize] = true;
    marks[b'[' as usize] = true;
    marks[b']' as usize] = true;
    marks[0] = true;
    marks
};

/// The scanner. Feed it with [`Scanner::push`], then [`Scanner::finish`] it.
#[derive(Debug)]
pub(crate) struct Scanner {
    /// The first bytes, until there are enough to tell what kind of file it is; `None` after that.
    head: Option<Vec<u8>>,
    /// A character cut by the end of a chunk.
    cut: Vec<u8>,
    /// The byte at which the text at hand begins, and how far into it lines are counted.
    begins: u64,
    counted: usize,
    /// The line at that place, and its first byte.
    line: u64,
    line_begins: u64,
    place: Place,
    in_string: bool,
    escaped: bool,
    /// The document so far, and where it began.
    document: String,
    document_at: Spot,
    brackets: Brackets,
    naming: Naming,
    name: Vec<u8>,
    /// The member of `features` so far, and where it began.
    member: String,
    member_at: Spot,
    member_brackets: Brackets,
    /// Why the member at hand is not kept, if it is not.
    lost: Option<Lost>,
    /// Members of `features` met so far.
    members: usize,
    documents: usize,
    comma_due: bool,
    /// Commas missing or too many between members.
    stray_commas: usize,
}

impl Scanner {
    pub(crate) fn new() -> Scanner {
        let start = Spot {
            line: 1,
            column: 1,
            byte: 0,
        };
        Scanner {
            head: Some(Vec::new()),
            cut: Vec::new(),
            begins: 0,
            counted: 0,
            line: 1,
            line_begins: 0,
            place: Place::Outside,
            in_string: false,
            escaped: false,
            document: String::new(),
            document_at: start,
            brackets: Brackets::default(),
            naming: Naming::Value,
            name: Vec::new(),
            member: String::new(),
            member_at: start,
            member_brackets: Brackets::default(),
            lost: None,
            members: 0,
            documents: 0,
            comma_due: false,
            stray_commas: 0,
        }
    }

    /// How many commas between features were missing or too many.
    pub(crate) fn stray_commas(&self) -> usize {
        self.stray_commas
    }

    /// Takes the next bytes.
    ///
    /// # Errors
    /// [`Unreadable`] where the file cannot be a stand map, or where `sink` refuses it.
    pub(crate) fn push(
        &mut self,
        bytes: &[u8],
        sink: &mut dyn FnMut(Piece<'_>) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        let Some(head) = &mut self.head else {
            return self.push_started(bytes, sink);
        };
        head.extend_from_slice(bytes);
        if head.len() < 4 { Ok(()) } else { self.start(sink) }
    }

    /// Looks at the first bytes, then takes them.
    fn start(&mut self, sink: &mut dyn FnMut(Piece<'_>) -> Result<(), Unreadable>) -> Result<(), Unreadable> {
        let head = self.head.take().unwrap_or_default();
        match head.strip_prefix(&[0xEF, 0xBB, 0xBF]) {
            Some(rest) => {
                self.begins = 3;
                self.line_begins = 3;
                self.push_started(rest, sink)
            }
            None => self.push_started(&head, sink),
        }
    }

    fn push_started(
        &mut self,
        bytes: &[u8],
        sink: &mut dyn FnMut(Piece<'_>) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        let joined;
        let bytes = if self.cut.is_empty() {
            bytes
        } else {
            self.cut.extend_from_slice(bytes);
            joined = std::mem::take(&mut self.cut);
            &joined
        };
        match std::str::from_utf8(bytes) {
            Ok(text) => self.scan(text, sink),
            Err(error) => {
                let (good, rest) = bytes.split_at(error.valid_up_to());
                self.scan(std::str::from_utf8(good).unwrap_or_default(), sink)?;
                if error.error_len().is_some() {
                    return Err(self.not_utf8(rest[0]));
                }
                self.cut = rest.to_vec();
                Ok(())
            }
        }
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`Unreadable`] where the file is empty or ends too early, or where `sink` refuses it.
    pub(crate) fn finish(
        &mut self,
        sink: &mut dyn FnMut(Piece<'_>) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        if self.head.is_some() {
            self.start(sink)?;
        }
        if let Some(&byte) = self.cut.first() {
            return Err(self.not_utf8(byte));
        }
        let found = match self.place {
            Place::Outside if self.documents == 0 => {
                return Err(Unreadable::new(
                    "empty",
                    "the file is empty, expected GeoJSON",
                    "Check that the address leads to the file and that the upload was complete",
                ));
            }
            Place::Outside => return Ok(()),
            Place::Member | Place::Scalar => format!("the file ends inside feature {}", self.members),
            Place::Between => format!("the file ends after feature {}, inside `features`", self.members),
            Place::Document if self.members > 0 => {
                format!(
                    "the file ends after feature {}, before the closing brace",
                    self.members
                )
            }
            Place::Document => "the file ends before its closing brace".to_owned(),
        };
        let end = self.spot("", 0);
        Err(Unreadable::new(
            "truncated",
            format!("{found}, expected the whole file"),
            "Upload the file again; it was cut off on the way or while it was written",
        )
        .at(end))
    }

    /// Where a byte of the text at hand stands in the file. Bytes are asked for in order, so each is looked at once.
    fn spot(&mut self, text: &str, at: usize) -> Spot {
        let since = &text.as_bytes()[self.counted..at];
        let lines = line_ends(since);
        if lines > 0
            && let Some(last) = since.iter().rposition(|&byte| byte == b'\n')
        {
            self.line += lines;
            self.line_begins = self.begins + (self.counted + last + 1) as u64;
        }
        self.counted = at;
        let byte = self.begins + at as u64;
        Spot {
            line: self.line,
            column: byte - self.line_begins + 1,
            byte,
        }
    }

    fn not_utf8(&mut self, byte: u8) -> Unreadable {
        Unreadable::new(
            "encoding",
            format!("the byte {byte:02X} is not UTF-8, the encoding that GeoJSON must have"),
            "Save the file again as UTF-8, or name its encoding in a crosswalk, as `\"encoding\": \"windows-1252\"`",
        )
        .at(self.spot("", 0))
    }

    fn not_json(&mut self, text: &str, at: usize, expected: &str) -> Unreadable {
        let found: String = text[at..].chars().take(40).collect();
        Unreadable::new(
            "not-json",
            format!("found `{}`, expected {expected}", found.trim_end()),
            "Have the file written by a GeoJSON writer, or mend it at this place",
        )
        .at(self.spot(text, at))
    }

    fn scan(
        &mut self,
        text: &str,
        sink: &mut dyn FnMut(Piece<'_>) -> Result<(), Unreadable>,
    ) -> Result<(), Unreadable> {
        let bytes = text.as_bytes();
        let mut at = 0;
        // Where the part of the text at hand that belongs to the document, or to the member, begins.
        let mut from = 0;
        while at < bytes.len() {
            let byte = bytes[at];
            match self.place {
                Place::Outside => match byte {
                    b' ' | b'\t' | b'\n' | b'\r' | 0x1e => at += 1,
                    b'{' => {
                        self.place = Place::Document;
                        self.document_at = self.spot(text, at);
                        self.document.clear();
                        self.brackets = Brackets::default();
                        from = at;
                    }
                    _ => return Err(self.no_object(text, at)),
                },
                Place::Document => {
                    let ended = self.scan_document(text, at)?;
                    at += 1;
                    if ended {
                        self.document.push_str(&text[from..at]);
                        self.place = Place::Outside;
                        self.documents += 1;
                        sink(Piece::Document {
                            text: &self.document,
                            at: self.document_at,
                        })?;
                    } else if self.place == Place::Between {
                        self.document.push_str(&text[from..at]);
                        self.comma_due = false;
                        let opening = format!("{}]}}", self.document);
                        sink(Piece::Opening {
                            text: &opening,
                            at: self.document_at,
                        })?;
                    }
                }
                Place::Between => match byte {
                    b' ' | b'\t' | b'\n' | b'\r' => at += 1,
                    b',' => {
                        self.stray_commas += usize::from(!self.comma_due);
                        self.comma_due = false;
                        at += 1;
                    }
                    b']' => {
                        self.stray_commas += usize::from(!self.comma_due && self.members > 0);
                        self.place = Place::Document;
                        from = at;
                    }
                    b'}' => return Err(self.not_json(text, at, "a feature or `]`")),
                    _ => {
                        self.stray_commas += usize::from(self.comma_due);
                        self.comma_due = true;
                        self.members += 1;
                        self.member.clear();
                        if byte == b'{' {
                            let mut taken = 0;
                            sink(Piece::Ahead {
                                text: &text[at..],
                                taken: &mut taken,
                            })?;
                            if taken > 0 {
                                at += taken;
                                continue;
                            }
                        }
                        self.member_at = self.spot(text, at);
                        self.member_brackets = Brackets::default();
                        self.lost = None;
                        self.place = if matches!(byte, b'{' | b'[') {
                            Place::Member
                        } else {
                            Place::Scalar
                        };
                        from = at;
                    }
                },
                Place::Member => {
                    let (end, ended) = self.scan_member(text, at)?;
                    if ended {
                        if self.member.len() + (end - from) > FEATURE_AT_MOST {
                            self.lost.get_or_insert(Lost::Large);
                        }
                        let piece = if let Some(lost) = self.lost {
                            let at = self.member_at;
                            match lost {
                                Lost::Deep => Piece::TooDeep { at },
                                Lost::Large => Piece::TooLarge { at },
                            }
                        } else if self.member.is_empty() {
                            Piece::Feature {
                                text: &text[from..end],
                                at: self.member_at,
                            }
                        } else {
                            self.member.push_str(&text[from..end]);
                            Piece::Feature {
                                text: &self.member,
                                at: self.member_at,
                            }
                        };
                        sink(piece)?;
                        self.place = Place::Between;
                    }
                    at = end;
                }
                Place::Scalar => {
                    let ends = !self.in_string && matches!(byte, b',' | b']' | b'}');
                    if ends {
                        self.member.push_str(&text[from..at]);
                        sink(Piece::Feature {
                            text: self.member.trim_end(),
                            at: self.member_at,
                        })?;
                        self.place = Place::Between;
                    } else {
                        self.step_string(byte);
                        at += 1;
                    }
                }
            }
        }
        match self.place {
            Place::Document => {
                if self.document.len() + (text.len() - from) > DOCUMENT_AT_MOST {
                    return Err(Unreadable::new(
                        "too-large",
                        format!("more than {DOCUMENT_AT_MOST} bytes stand beside the features"),
                        "Leave out members that no stand needs, or publish the stands as a `FeatureCollection`",
                    )
                    .at(self.document_at));
                }
                self.document.push_str(&text[from..]);
            }
            Place::Member if self.lost.is_none() => {
                if self.member.len() + (text.len() - from) > FEATURE_AT_MOST {
                    self.lost = Some(Lost::Large);
                    self.member = String::new();
                } else {
                    self.member.push_str(&text[from..]);
                }
            }
            // Of what is no feature only the beginning is told.
            Place::Scalar if self.member.len() < 1000 => self.member.push_str(&text[from..]),
            _ => {}
        }
        let end = self.spot(text, bytes.len());
        self.begins = end.byte;
        self.counted = 0;
        Ok(())
    }

    /// Follows a byte into, through or out of a string; true while inside one.
    fn step_string(&mut self, byte: u8) -> bool {
        if self.in_string {
            if self.escaped {
                self.escaped = false;
            } else if byte == b'\\' {
                self.escaped = true;
            } else if byte == b'"' {
                self.in_string = false;
            }
            true
        } else if byte == b'"' {
            self.in_string = true;
            true
        } else {
            false
        }
    }

    /// Takes one byte of a document; true where it ends it.
    fn scan_document(&mut self, text: &str, at: usize) -> Result<bool, Unreadable> {
        let byte = text.as_bytes()[at];
        let was_in_string = self.in_string;
        if self.step_string(byte) {
            match (was_in_string, self.in_string) {
                (false, _) if self.naming == Naming::Expected && self.brackets.depth == 1 => {
                    self.naming = Naming::Reading;
                    self.name.clear();
                }
                (true, false) if self.naming == Naming::Reading => self.naming = Naming::Read,
                (true, true) if self.naming == Naming::Reading && self.name.len() < 16 => {
                    self.name.push(byte);
                }
                _ => {}
            }
            return Ok(false);
        }
        match byte {
            b'{' | b'[' => {
                let features = byte == b'['
                    && self.brackets.depth == 1
                    && self.naming == Naming::Read
                    && self.name == b"features";
                self.brackets.open(byte);
                if self.brackets.depth > DEEPEST {
                    return Err(Unreadable::new(
                        "too-deep",
                        format!("objects or arrays are nested more than {DEEPEST} deep"),
                        "Flatten the members that are not features; a stand map needs none so deep",
                    )
                    .at(self.spot(text, at)));
                }
                if features {
                    self.place = Place::Between;
                } else if self.brackets.depth == 1 {
                    self.naming = Naming::Expected;
                }
            }
            b'}' | b']' => {
                if !self.brackets.close(byte) {
                    let expected = if byte == b']' {
                        "`}` or a member"
                    } else {
                        "`]` or a member"
                    };
                    return Err(self.not_json(text, at, expected));
                }
                return Ok(self.brackets.depth == 0);
            }
            b',' if self.brackets.depth == 1 => self.naming = Naming::Expected,
            0 => return Err(self.zero_byte(text, at)),
            _ => {}
        }
        Ok(false)
    }

    /// Follows a member of `features` from `at`; gives where it stopped, and whether the member ended there.
    fn scan_member(&mut self, text: &str, mut at: usize) -> Result<(usize, bool), Unreadable> {
        let bytes = text.as_bytes();
        while at < bytes.len() {
            let byte = bytes[at];
            if self.in_string {
                at += 1;
                if self.escaped {
                    self.escaped = false;
                } else if byte == b'\\' {
                    self.escaped = true;
                } else if byte == b'"' {
                    self.in_string = false;
                }
                continue;
            }
            if !MARKS[usize::from(byte)] {
                at += 1;
                continue;
            }
            match byte {
                b'"' => self.in_string = true,
                b'{' | b'[' => {
                    self.member_brackets.open(byte);
                    if self.member_brackets.depth > DEEPEST {
                        self.lost.get_or_insert(Lost::Deep);
                        self.member = String::new();
                    }
                }
                0 => return Err(self.zero_byte(text, at)),
                _ => {
                    if !self.member_brackets.close(byte) {
                        let expected = if byte == b']' {
                            "`}` or a member"
                        } else {
                            "`]` or a value"
                        };
                        return Err(self.not_json(text, at, expected));
                    }
                    if self.member_brackets.depth == 0 {
                        return Ok((at + 1, true));
                    }
                }
            }
            at += 1;
        }
        Ok((at, false))
    }

    fn zero_byte(&mut self, text: &str, at: usize) -> Unreadable {
        Unreadable::new(
            "encoding",
            "a zero byte stands between the characters, as in UTF-16; GeoJSON must be UTF-8",
            "Save the file again as UTF-8",
        )
        .at(self.spot(text, at))
    }

    /// A document does not begin with `{`.
    fn no_object(&mut self, text: &str, at: usize) -> Unreadable {
        let byte = text.as_bytes()[at];
        if self.documents > 0 {
            return self.not_json(text, at, "the end of the file, or one more feature");
        }
        let what = match byte {
            b'<' => {
                return Unreadable::new(
                    "not-json",
                    "this looks like a web page or XML, expected GeoJSON",
                    "Check the address: the server may have sent an error page or a login page in place of the file",
                )
                .at(self.spot(text, at));
            }
            0 => return self.zero_byte(text, at),
            b'[' => "a JSON array",
            b'"' => "a JSON text",
            b'0'..=b'9' | b'-' => "a JSON number",
            b't' | b'f' | b'n'
                if ["true", "false", "null"]
                    .iter()
                    .any(|word| text[at..].starts_with(word)) =>
            {
                "a bare JSON word"
            }
            _ => return self.not_json(text, at, "`{`, the beginning of a GeoJSON object"),
        };
        Unreadable::new(
            "not-geojson",
            format!("the file is {what}, expected an object of type `FeatureCollection`"),
            "Write the features as {\"type\": \"FeatureCollection\", \"features\": [...]}",
        )
        .at(self.spot(text, at))
    }
}

/// How many line ends there are, eight bytes looked at in one go.
fn line_ends(bytes: &[u8]) -> u64 {
    const LOW: u64 = 0x7f7f_7f7f_7f7f_7f7f;
    const LINE_ENDS: u64 = 0x0a0a_0a0a_0a0a_0a0a;
    let (eights, rest) = bytes.as_chunks::<8>();
    let whole: u64 = eights
        .iter()
        .map(|&eight| {
            let off = u64::from_le_bytes(eight) ^ LINE_ENDS;
            // The highest bit of a lane stays unset in none but a lane of zeros.
            u64::from((!(((off & LOW) + LOW) | off | LOW)).count_ones())
        })
        .sum();
    whole + rest.iter().filter(|&&byte| byte == b'\n').count() as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_are_counted_wherever_they_stand() {
        let text = b"\n\x0b\x8a\n\n ab\xff\n\x00\n\n\n\n\n\n\n\n\n\n\x0b\n";
        for from in 0..text.len() {
            for end in from..=text.len() {
                let part = &text[from..end];
                let expected = part.iter().filter(|&&byte| byte == b'\n').count() as u64;
                assert_eq!(line_ends(part), expected, "{part:?}");
            }
        }
    }

    /// All finds of a file pushed in chunks of so many bytes: features in brackets, documents bare.
    fn pieces(bytes: &[u8], chunk: usize) -> Result<Vec<String>, String> {
        let mut scanner = Scanner::new();
        let mut found = Vec::new();
        let mut sink = |piece: Piece<'_>| {
            found.push(match piece {
                Piece::Ahead { .. } => return Ok(()),
                Piece::Opening { text, .. } => {
                    assert!(text.ends_with("[]}"), "{text}");
                    return Ok(());
                }
                Piece::Feature { text, at } => format!("({text})@{}", at.byte),
                Piece::TooDeep { at } => format!("(deep)@{}:{}", at.line, at.column),
                Piece::TooLarge { at } => format!("(large)@{}:{}", at.line, at.column),
                Piece::Document { text, .. } => text.to_owned(),
            });
            Ok(())
        };
        for part in bytes.chunks(chunk.max(1)) {
            scanner
                .push(part, &mut sink)
                .map_err(|refused| refused.to_string())?;
        }
        scanner.finish(&mut sink).map_err(|refused| refused.to_string())?;
        Ok(found)
    }

    #[test]
    fn features_are_found_wherever_the_bytes_are_cut() {
        let deep = format!("{{\"features\":[{}1{}]}}", "[".repeat(33), "]".repeat(33));
        for (file, expected) in [
            (
                r#"{"a":[1],"features":[{"x":"}"},{"y":[{}]}],"crs":{}}"#,
                vec![
                    r#"({"x":"}"})@21"#,
                    r#"({"y":[{}]})@31"#,
                    r#"{"a":[1],"features":[],"crs":{}}"#,
                ],
            ),
            ("\u{feff}{\"features\" : [ ] }", vec!["{\"features\" : [] }"]),
            (
                r#"{"features":[null, 12 ,"a,]\""]}"#,
                vec!["(null)@13", "(12)@19", r#"("a,]\"")@23"#, r#"{"features":[]}"#],
            ),
            (
                r#"{"type":"Feature","id":1}{"type":"Feature"}"#,
                vec![r#"{"type":"Feature","id":1}"#, r#"{"type":"Feature"}"#],
            ),
            (
                r#"{"x":{"features":[{}]},"features":null}"#,
                vec![r#"{"x":{"features":[{}]},"features":null}"#],
            ),
            (
                r#"{"x":"features","y":[{}]}"#,
                vec![r#"{"x":"features","y":[{}]}"#],
            ),
            (
                r#"{"features":[{"n":"Łęg 森"}]}"#,
                vec![r#"({"n":"Łęg 森"})@13"#, r#"{"features":[]}"#],
            ),
            (&deep, vec!["(deep)@1:14", r#"{"features":[]}"#]),
        ] {
            for chunk in 1..=file.len() {
                assert_eq!(
                    pieces(file.as_bytes(), chunk).expect(file),
                    expected,
                    "{file} by {chunk}"
                );
            }
        }
    }

    #[test]
    fn features_and_documents_beyond_measure_are_not_kept() {
        let file = format!(
            "{{\"features\":[{{\"a\":\"{}\"}},{{}}]}}",
            "a".repeat(FEATURE_AT_MOST)
        );
        for chunk in [file.len(), 1 << 20, 999_999] {
            let found = pieces(file.as_bytes(), chunk).expect("a document");
            assert_eq!(found[..2], ["(large)@1:14", "({})@33554454"], "by {chunk}");
        }
        let mut scanner = Scanner::new();
        let mut push = |text: &str| scanner.push(text.as_bytes(), &mut |_| Ok(()));
        push("{\"a\":\"").expect("a beginning");
        let part = "a".repeat(16 << 20);
        let refused = (0..20).find_map(|_| push(&part).err()).expect("a refusal");
        assert_eq!(
            refused.to_string(),
            "stand map, line 1, column 1 (byte 0): more than 268435456 bytes stand beside the features. Leave out \
             members that no stand needs, or publish the stands as a `FeatureCollection`."
        );
    }

    #[test]
    fn files_that_cannot_be_stand_maps_are_refused() {
        let utf16: Vec<u8> = "{\"type\":1}".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let deep = format!("{{\"x\":{}", "[".repeat(40));
        for (bytes, message) in [
            (
                &b""[..],
                "stand map: the file is empty, expected GeoJSON. Check that the address leads to the file and that the upload was complete.",
            ),
            (
                b" \n",
                "stand map: the file is empty, expected GeoJSON. Check that the address leads to the file and that the upload was complete.",
            ),
            (
                b"<!DOCTYPE html><html>",
                "stand map, line 1, column 1 (byte 0): this looks like a web page or XML, expected GeoJSON. Check the address: the server may have sent an error page or a login page in place of the file.",
            ),
            (
                b"[{\"type\":\"Feature\"}]",
                "stand map, line 1, column 1 (byte 0): the file is a JSON array, expected an object of type `FeatureCollection`. Write the features as {\"type\": \"FeatureCollection\", \"features\": [...]}.",
            ),
            (
                b"id;species\n1;oak",
                "stand map, line 1, column 1 (byte 0): found `id;species\n1;oak`, expected `{`, the beginning of a GeoJSON object. Have the file written by a GeoJSON writer, or mend it at this place.",
            ),
            (
                b"{\"features\":[{}]}\nend",
                "stand map, line 2, column 1 (byte 18): found `end`, expected the end of the file, or one more feature. Have the file written by a GeoJSON writer, or mend it at this place.",
            ),
            (
                b"{\"features\":[\n {\"a\":[1}",
                "stand map, line 2, column 9 (byte 22): found `}`, expected `]` or a value. Have the file written by a GeoJSON writer, or mend it at this place.",
            ),
            (
                b"{\"features\":[{},\n{\"a\":\"b",
                "stand map, line 2, column 8 (byte 24): the file ends inside feature 2, expected the whole file. Upload the file again; it was cut off on the way or while it was written.",
            ),
            (
                b"{\"features\":[{},",
                "stand map, line 1, column 17 (byte 16): the file ends after feature 1, inside `features`, expected the whole file. Upload the file again; it was cut off on the way or while it was written.",
            ),
            (
                b"{\"features\":[{}]",
                "stand map, line 1, column 17 (byte 16): the file ends after feature 1, before the closing brace, expected the whole file. Upload the file again; it was cut off on the way or while it was written.",
            ),
            (
                b"{\"type\":",
                "stand map, line 1, column 9 (byte 8): the file ends before its closing brace, expected the whole file. Upload the file again; it was cut off on the way or while it was written.",
            ),
            (
                b"{\"n\":\"K\xE4fer\"}",
                "stand map, line 1, column 8 (byte 7): the byte E4 is not UTF-8, the encoding that GeoJSON must have. Save the file again as UTF-8, or name its encoding in a crosswalk, as `\"encoding\": \"windows-1252\"`.",
            ),
            (
                &utf16,
                "stand map, line 1, column 2 (byte 1): a zero byte stands between the characters, as in UTF-16; GeoJSON must be UTF-8. Save the file again as UTF-8.",
            ),
            (
                deep.as_bytes(),
                "stand map, line 1, column 37 (byte 36): objects or arrays are nested more than 32 deep. Flatten the members that are not features; a stand map needs none so deep.",
            ),
        ] {
            assert_eq!(pieces(bytes, bytes.len()).expect_err(message), message);
        }
    }

    #[test]
    fn commas_too_many_or_too_few_are_counted() {
        for (file, stray) in [
            (r#"{"features":[{},{}]}"#, 0),
            (r#"{"features":[]}"#, 0),
            (r#"{"features":[{},{},]}"#, 1),
            (r#"{"features":[{}{}]}"#, 1),
            (r#"{"features":[{},,{}]}"#, 1),
        ] {
            let mut scanner = Scanner::new();
            scanner.push(file.as_bytes(), &mut |_| Ok(())).expect(file);
            assert_eq!(scanner.stray_commas(), stray, "{file}");
        }
    }
}
