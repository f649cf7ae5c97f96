//! The text of a rule book as a tree that remembers where everything stood. In go parsed values, out come the same with
//! their line, column and path, and a list of mistakes that grows while they are read. Opening the text is left to
//! `opening`, what the fields mean to `reading`.

use crate::order;
use std::rc::Rc;

use jsonc_parser::ast::{ObjectPropName, Value};
use jsonc_parser::common::{Range, Ranged as _};

use super::mistake::{Mistake, Severity};

/// After this many mistakes of one severity the rest of them is counted, not told.
const MOST_MISTAKES: usize = 200;
/// A list has no more entries than this, an object no more fields, where nothing else is said of it. Positions of
/// outlines are bounded by the bytes of the book.
const MOST_ENTRIES: usize = 1000;
/// So many known words are held beside words that nobody knows, to say which was meant; after that, none is offered.
const MOST_GUESSES: usize = 20_000;

/// Where lines begin, and the mistakes found so far.
pub(super) struct Log<'t> {
    text: &'t str,
    line_starts: Vec<usize>,
    mistakes: Vec<Mistake>,
    /// How many were met, told or not: those that refuse the book, and the others.
    errors: usize,
    warnings: usize,
    /// The book's format is newer than this engine: fields not known may be new ones.
    newer: bool,
    /// How many fields of a newer format were left unread.
    unread: usize,
    /// How many known words may still be held beside unknown ones.
    guesses: usize,
}

/// A value with its path. Cheap to make and to copy, since an outline has thousands of them.
#[derive(Clone)]
pub(super) struct Item<'v> {
    pub(super) value: &'v Value<'v>,
    range: Range,
    path: Rc<Path<'v>>,
    /// The path in words, `rule `daily` › quantity`.
    words: Rc<str>,
    /// The field's own name, for messages.
    name: &'v str,
}

/// The way from the root to a value.
enum Path<'v> {
    Root,
    Field(Rc<Path<'v>>, &'v str),
    Entry(Rc<Path<'v>>, usize),
}

impl Path<'_> {
    /// As a JSON Pointer (RFC 6901).
    fn pointer(&self) -> String {
        match self {
            Path::Root => String::new(),
            Path::Field(above, name) => {
                format!(
                    "{}/{}",
                    above.pointer(),
                    name.replace('~', "~0").replace('/', "~1")
                )
            }
            Path::Entry(above, place) => format!("{}/{place}", above.pointer()),
        }
    }
}

/// An object whose fields are taken one by one; what is left at the end is unknown.
pub(super) struct Fields<'v> {
    object: Item<'v>,
    fields: Vec<(&'v str, Item<'v>, bool)>,
}

impl<'t> Log<'t> {
    /// Starts a list of mistakes over a text.
    pub(super) fn new(text: &'t str) -> Log<'t> {
        let line_starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        Log {
            text,
            line_starts,
            mistakes: Vec::new(),
            errors: 0,
            warnings: 0,
            newer: false,
            unread: 0,
            guesses: MOST_GUESSES,
        }
    }

    /// Line and column of a byte, both from 1, columns in characters.
    pub(super) fn place(&self, byte: usize) -> (u32, u32) {
        let line = self.line_starts.partition_point(|start| *start <= byte).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = self
            .text
            .get(start..byte)
            .map_or(1, |before| before.chars().count() + 1);
        (
            u32::try_from(line).unwrap_or(u32::MAX),
            u32::try_from(column).unwrap_or(u32::MAX),
        )
    }

    /// Line and column at which an item begins.
    pub(super) fn place_of(&self, item: &Item<'_>) -> (u32, u32) {
        self.place(item.range.start)
    }

    fn push(&mut self, code: &'static str, severity: Severity, at: &Item<'_>, clauses: Clauses) {
        let met = match severity {
            Severity::Error => &mut self.errors,
            Severity::Warning => &mut self.warnings,
        };
        *met += 1;
        if *met > MOST_MISTAKES {
            return;
        }
        let (line, column) = self.place(at.range.start);
        self.mistakes.push(Mistake {
            code,
            severity,
            pointer: at.path.pointer(),
            line,
            column,
            path_in_words: at.words.to_string(),
            found: clauses.0,
            expected: clauses.1,
            advice: clauses.2,
        });
    }

    /// Takes fields that are not known for new ones from here on: they are left unread with a warning.
    pub(super) fn expect_newer(&mut self) {
        self.newer = true;
    }

    /// How many fields of a newer format were left unread so far. What holds such a field cannot be relied on.
    pub(super) fn unread(&self) -> usize {
        self.unread
    }

    /// Notes a mistake that refuses the book.
    pub(super) fn refuse(
        &mut self,
        code: &'static str,
        at: &Item<'_>,
        found: impl Into<String>,
        expected: impl Into<String>,
        advice: impl Into<String>,
    ) {
        self.push(
            code,
            Severity::Error,
            at,
            Clauses(found.into(), expected.into(), advice.into()),
        );
    }

    /// Notes something that should be looked at.
    pub(super) fn warn(
        &mut self,
        code: &'static str,
        at: &Item<'_>,
        found: impl Into<String>,
        expected: impl Into<String>,
        advice: impl Into<String>,
    ) {
        self.push(
            code,
            Severity::Warning,
            at,
            Clauses(found.into(), expected.into(), advice.into()),
        );
    }

    /// Whether one more mistake that refuses the book is told, and not only counted.
    fn tells_errors(&self) -> bool {
        self.errors < MOST_MISTAKES
    }

    /// Whether one more warning is told.
    pub(super) fn tells_warnings(&self) -> bool {
        self.warnings < MOST_MISTAKES
    }

    /// The nearest of the known words, if one is near enough to be meant, as long as looking for it takes no time.
    pub(super) fn guess<'k>(&mut self, found: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
        if !self.tells_errors() {
            return None;
        }
        let guesses = &mut self.guesses;
        nearest(
            found,
            known.take_while(|_| {
                *guesses = guesses.saturating_sub(1);
                *guesses > 0
            }),
        )
    }

    /// Whether the book has to be refused.
    pub(super) fn is_refused(&self) -> bool {
        self.errors > 0
    }

    /// How many mistakes so far refuse the book. Where it grew while a part was read, what is missing from that part
    /// needs no second message.
    pub(super) fn errors(&self) -> usize {
        self.errors
    }

    /// All mistakes in the order of the text.
    pub(super) fn into_mistakes(mut self) -> Vec<Mistake> {
        order::by_key(&mut self.mistakes, |mistake| (mistake.line, mistake.column));
        self.mistakes
    }

    /// What stands at the item, cut to a length fit for a message.
    fn excerpt(&self, range: Range) -> String {
        excerpt(self.text.get(range.start..range.end).unwrap_or_default())
    }
}

struct Clauses(String, String, String);

/// Cuts a piece of text for a message: one line, at most forty characters.
pub(super) fn excerpt(text: &str) -> String {
    let line = text.split('\n').next().unwrap_or_default().trim_end();
    let mut cut: String = line.chars().take(40).collect();
    if cut.len() < text.trim_end().len() {
        cut.push('…');
    }
    cut
}

impl<'v> Item<'v> {
    /// The root of a tree.
    pub(super) fn root(value: &'v Value<'v>) -> Item<'v> {
        Item {
            value,
            range: value.range(),
            path: Rc::new(Path::Root),
            words: "".into(),
            name: "the file",
        }
    }

    /// The item a JSON Pointer leads to from here, or the last one on the way that is there.
    pub(super) fn at(&self, pointer: &str) -> Item<'v> {
        let mut here = self.clone();
        for step in pointer.split('/').filter(|step| !step.is_empty()) {
            let below = match here.value {
                Value::Object(object) => object.properties.iter().find_map(|property| {
                    let name: &'v str = match &property.name {
                        ObjectPropName::String(name) => &name.value,
                        ObjectPropName::Word(name) => name.value,
                    };
                    (name == step).then(|| Item {
                        value: &property.value,
                        range: property.range,
                        path: Rc::new(Path::Field(here.path.clone(), name)),
                        words: here.words.clone(),
                        name,
                    })
                }),
                Value::Array(array) => step.parse::<usize>().ok().and_then(|place| {
                    array.elements.get(place).map(|value| Item {
                        value,
                        range: value.range(),
                        path: Rc::new(Path::Entry(here.path.clone(), place)),
                        words: here.words.clone(),
                        name: here.name,
                    })
                }),
                _ => None,
            };
            match below {
                Some(below) => here = below,
                None => break,
            }
        }
        here
    }

    /// The field's own name as a message quotes it.
    pub(super) fn name(&self) -> &'v str {
        self.name
    }

    /// The same item under other words, once its id is known.
    pub(super) fn called(mut self, words: &str) -> Item<'v> {
        self.words = words.into();
        self
    }

    /// Its place in the list it belongs to, from 1; 0 for a field.
    pub(super) fn number_in_list(&self) -> usize {
        match &*self.path {
            Path::Entry(_, place) => place + 1,
            _ => 0,
        }
    }

    /// Whether it is a list.
    pub(super) fn is_list(&self) -> bool {
        matches!(self.value, Value::Array(_))
    }

    /// Whether it is an object.
    pub(super) fn is_object(&self) -> bool {
        matches!(self.value, Value::Object(_))
    }

    /// Whether it is a list with nothing in it.
    pub(super) fn is_empty_list(&self) -> bool {
        matches!(self.value, Value::Array(array) if array.elements.is_empty())
    }

    /// Whether it is text.
    pub(super) fn is_text(&self) -> bool {
        matches!(self.value, Value::StringLit(_))
    }

    /// Whether it is a number.
    pub(super) fn is_number(&self) -> bool {
        matches!(self.value, Value::NumberLit(_))
    }

    /// Whether it is true or false.
    pub(super) fn is_flag(&self) -> bool {
        matches!(self.value, Value::BooleanLit(_))
    }

    /// Whether it looks like a GeoJSON object.
    pub(super) fn is_a_map(&self) -> bool {
        let Value::Object(object) = self.value else {
            return false;
        };
        object.get_string("type").is_some_and(|kind| {
            matches!(
                &*kind.value,
                "FeatureCollection" | "Feature" | "GeometryCollection"
            )
        })
    }

    fn wrong_type(&self, log: &mut Log<'_>, expected: &str) {
        let found = match self.value {
            Value::Object(_) => "an object".to_owned(),
            Value::Array(_) => "a list".to_owned(),
            other => format!("`{}`", log.excerpt(other.range())),
        };
        let name = self.name;
        log.refuse("wrong-type", self, format!("`{name}` is {found}"), expected, "");
    }

    /// The text in it.
    pub(super) fn text(&self, log: &mut Log<'_>) -> Option<&'v str> {
        match self.value {
            Value::StringLit(text) => {
                let text: &'v str = &text.value;
                if text.chars().any(is_hidden) {
                    log.refuse(
                        "hidden-characters",
                        self,
                        format!(
                            "`{}` holds characters that change the direction of writing",
                            self.name
                        ),
                        "",
                        "take them out: they can make a text read as its opposite",
                    );
                    return None;
                }
                if text.len() > 4096 {
                    log.refuse(
                        "too-long",
                        self,
                        format!("`{}` has {} bytes", self.name, text.len()),
                        "at most 4096 bytes",
                        "shorten it and link the law instead of copying it",
                    );
                    return None;
                }
                Some(text)
            }
            _ => {
                self.wrong_type(log, "text in quotation marks");
                None
            }
        }
    }

    /// Yes or no.
    pub(super) fn flag(&self, log: &mut Log<'_>) -> Option<bool> {
        match self.value {
            Value::BooleanLit(flag) => Some(flag.value),
            _ => {
                self.wrong_type(log, "true or false, without quotation marks");
                None
            }
        }
    }

    /// A finite number.
    pub(super) fn number(&self, log: &mut Log<'_>) -> Option<f64> {
        let number = match self.value {
            Value::NumberLit(number) => number.value.parse::<f64>().ok().filter(|n| n.is_finite()),
            _ => None,
        };
        if number.is_none() {
            self.wrong_type(log, "a number, without quotation marks");
        }
        number
    }

    /// A whole number from `low` to `high`.
    pub(super) fn whole(&self, log: &mut Log<'_>, low: u32, high: u32) -> Option<u32> {
        let number = match self.value {
            Value::NumberLit(number) => number.value.parse::<u32>().ok(),
            _ => None,
        };
        match number.filter(|n| (low..=high).contains(n)) {
            Some(number) => Some(number),
            None => {
                self.wrong_type(log, &format!("a whole number from {low} to {high}"));
                None
            }
        }
    }

    /// The entries of a list.
    pub(super) fn list(&self, log: &mut Log<'_>) -> Option<Vec<Item<'v>>> {
        self.list_up_to(MOST_ENTRIES, log, "shorten the list")
    }

    /// The entries of a list that may have so many of them, and what to do about more.
    pub(super) fn list_up_to(&self, most: usize, log: &mut Log<'_>, advice: &str) -> Option<Vec<Item<'v>>> {
        if let Value::Array(array) = self.value
            && array.elements.len() > most
        {
            let first_too_many = self.at(&format!("/{most}"));
            log.refuse(
                "too-many",
                &first_too_many,
                format!("`{}` has {} entries", self.name, array.elements.len()),
                format!("at most {most}"),
                advice,
            );
            return None;
        }
        self.entries(log)
    }

    /// The entries of a list, however many there are: positions of an outline.
    pub(super) fn entries(&self, log: &mut Log<'_>) -> Option<Vec<Item<'v>>> {
        let Value::Array(array) = self.value else {
            self.wrong_type(log, "a list in square brackets");
            return None;
        };
        Some(
            array
                .elements
                .iter()
                .enumerate()
                .map(|(place, value)| Item {
                    value,
                    range: value.range(),
                    path: Rc::new(Path::Entry(self.path.clone(), place)),
                    words: self.words.clone(),
                    name: self.name,
                })
                .collect(),
        )
    }

    /// The entries of a list, or the one value as a list of one.
    pub(super) fn one_or_list(&self, log: &mut Log<'_>) -> Option<Vec<Item<'v>>> {
        match self.value {
            Value::Array(_) => self.list(log),
            _ => Some(vec![self.clone()]),
        }
    }

    /// The fields of an object. Two fields of one name refuse the book: the last would silently win and could hide a
    /// ban.
    pub(super) fn fields(&self, log: &mut Log<'_>) -> Option<Fields<'v>> {
        let Value::Object(object) = self.value else {
            self.wrong_type(log, "an object in curly brackets");
            return None;
        };
        if object.properties.len() > MOST_ENTRIES {
            log.refuse(
                "too-many",
                self,
                format!("`{}` has {} fields", self.name, object.properties.len()),
                format!("at most {MOST_ENTRIES}"),
                "take out what is not needed",
            );
            return None;
        }
        let mut fields: Vec<(&'v str, Item<'v>, bool)> = Vec::with_capacity(object.properties.len());
        for property in &object.properties {
            let name: &'v str = match &property.name {
                ObjectPropName::String(name) => &name.value,
                ObjectPropName::Word(name) => name.value,
            };
            let item = Item {
                value: &property.value,
                range: property.range,
                path: Rc::new(Path::Field(self.path.clone(), name)),
                words: self.words.clone(),
                name,
            };
            if let Some((_, first, _)) = fields.iter().find(|(known, ..)| *known == name) {
                let (line, column) = if log.tells_errors() {
                    log.place(first.range.start)
                } else {
                    (1, 1)
                };
                log.refuse(
                    "duplicate-key",
                    &item,
                    format!("`{}` stands here a second time", excerpt(name)),
                    "",
                    format!("keep one of the two; the first is in line {line}, column {column}"),
                );
                continue;
            }
            fields.push((name, item, false));
        }
        Some(Fields {
            object: self.clone(),
            fields,
        })
    }

    /// The same, with the field's own name added to the path in words.
    pub(super) fn fields_below(&self, log: &mut Log<'_>) -> Option<Fields<'v>> {
        let words = if self.words.is_empty() {
            self.name.to_owned()
        } else {
            format!("{} › {}", self.words, self.name)
        };
        self.clone().called(&words).fields(log)
    }
}

/// Marks of writing direction and the like, which can turn a sentence's sense round (Unicode Technical Report 36).
fn is_hidden(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{061c}')
        || (c.is_control() && !matches!(c, '\n' | '\t'))
}

impl<'v> Fields<'v> {
    /// The object they belong to.
    pub(super) fn object(&self) -> &Item<'v> {
        &self.object
    }

    /// Puts all fields under other words, once the object's id is known.
    pub(super) fn call(&mut self, words: &str) {
        let words: Rc<str> = words.into();
        self.object.words = words.clone();
        for (_, item, _) in &mut self.fields {
            item.words = words.clone();
        }
    }

    /// Whether a field is there and not null, taken or not.
    pub(super) fn has(&self, name: &str) -> bool {
        self.fields
            .iter()
            .any(|(known, item, _)| *known == name && !matches!(item.value, Value::NullKeyword(_)))
    }

    /// Takes a field if it is there and not null.
    pub(super) fn take(&mut self, name: &str) -> Option<Item<'v>> {
        let (_, item, taken) = self.fields.iter_mut().find(|(known, ..)| *known == name)?;
        *taken = true;
        (!matches!(item.value, Value::NullKeyword(_))).then(|| item.clone())
    }

    /// Takes a field that must be there.
    pub(super) fn need(&mut self, name: &str, log: &mut Log<'_>, what: &str) -> Option<Item<'v>> {
        let item = self.take(name);
        if item.is_none() {
            log.refuse(
                "missing-field",
                &self.object,
                format!("`{name}` is missing"),
                what,
                "",
            );
        }
        item
    }

    /// All fields by name, for objects whose keys are data.
    pub(super) fn all(&mut self) -> Vec<(&'v str, Item<'v>)> {
        self.fields
            .iter_mut()
            .map(|(name, item, taken)| {
                *taken = true;
                (*name, item.clone())
            })
            .collect()
    }

    /// Refuses every field that nobody took. `known` are all names the object may have.
    pub(super) fn finish(self, log: &mut Log<'_>, object: &str, known: &[&str]) {
        for (name, item, taken) in self.fields {
            if taken || known.contains(&name) {
                continue;
            }
            let advice = match nearest(name, known.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None if known.is_empty() => "it has no fields".to_owned(),
                None => format!("it may have {}", one_of(known)),
            };
            if log.newer {
                log.unread += 1;
                log.warn(
                    "newer-field",
                    &item,
                    format!("`{}` is not known to this version", excerpt(name)),
                    "",
                    "it is left unread, and what depends on it is not known",
                );
                continue;
            }
            log.refuse(
                "unknown-field",
                &item,
                format!("`{}`: no such field in {object}", excerpt(name)),
                "",
                advice,
            );
        }
    }
}

/// The nearest of the known words, if one is near enough to be meant.
pub(super) fn nearest<'k>(found: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let found = found.to_lowercase();
    known
        .into_iter()
        // A word that is longer or shorter by more than the distance cannot be meant.
        .filter(|word| found.len().abs_diff(word.len()) <= 4 * (1 + word.len() / 4))
        .map(|word| (strsim::damerau_levenshtein(&found, &word.to_lowercase()), word))
        .filter(|(distance, word)| *distance <= 1 + word.len() / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// A list of quoted words for a message.
pub(super) fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    quoted.join(", ")
}
