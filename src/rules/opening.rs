//! Opening a rule book: from bytes to the root of its tree, or one mistake that says why the text is no JSON. The tree
//! itself is left to `document`.

use jsonc_parser::ast::Value;
use jsonc_parser::errors::{ParseError, ParseErrorKind};
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};

use super::document::{Item, Log, excerpt};
use super::mistake::{Mistake, Severity};

/// A rule book longer than this many bytes is not opened.
const GREATEST_LENGTH: usize = 8 * 1024 * 1024;
/// Nesting deeper than this is refused. Outlines need six levels below their zone.
const GREATEST_DEPTH: usize = 16;

/// Opens the text and hands its root to `read`; a text that is not JSON gives one mistake that says why.
///
/// # Errors
/// All mistakes, if the text is no JSON or `read` found one that refuses the book.
pub(super) fn open<T>(
    bytes: &[u8],
    read: impl FnOnce(&Item<'_>, &mut Log<'_>) -> Option<T>,
) -> Result<(T, Vec<Mistake>), Vec<Mistake>> {
    let whole = |code, found: String, advice: &str| {
        vec![Mistake {
            code,
            severity: Severity::Error,
            pointer: String::new(),
            line: 1,
            column: 1,
            path_in_words: String::new(),
            found,
            expected: "a rule book in JSON".to_owned(),
            advice: advice.to_owned(),
        }]
    };
    if bytes.len() > GREATEST_LENGTH {
        return Err(whole(
            "too-large",
            format!("the file has {} bytes", bytes.len()),
            "keep it under 8 MiB: simplify the outlines of the zones",
        ));
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => {
            return Err(whole(
                "not-utf8",
                format!("byte {} is not UTF-8", error.valid_up_to() + 1),
                "save the file in the encoding UTF-8",
            ));
        }
    };
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(whole(
            "empty",
            "the file is empty".to_owned(),
            "check that the address of the rule book is right",
        ));
    }
    if trimmed.starts_with('<') {
        return Err(whole(
            "not-json",
            "the file is a web page".to_owned(),
            "check the address: an error or login page may have been sent instead of the rule book",
        ));
    }
    if is_table(trimmed) {
        return Err(whole(
            "not-json",
            "the file is a table".to_owned(),
            "give the rule book instead; a table of protected fungi can be read on the page on which rule books are written",
        ));
    }
    let strict = ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    let mut log = Log::new(text);
    let parsed = match parse_to_ast(text, &CollectOptions::default(), &strict) {
        Ok(parsed) => parsed.value,
        Err(error) => {
            let start = error.range().start;
            let (line, column) = log.place(start);
            let (code, found, advice) = not_json(&error, text);
            return Err(vec![Mistake {
                line,
                column,
                code,
                ..whole(code, found, advice).remove(0)
            }]);
        }
    };
    let Some(root) = &parsed else {
        return Err(whole("empty", "the file is empty".to_owned(), ""));
    };
    let item = Item::root(root);
    if depth(root, 0) > GREATEST_DEPTH {
        log.refuse(
            "too-deep",
            &item,
            format!("values are nested more than {GREATEST_DEPTH} deep"),
            "",
            "name parts as zones of their own and refer to them",
        );
        return Err(log.into_mistakes());
    }
    let value = read(&item, &mut log);
    match value {
        Some(value) if !log.is_refused() => Ok((value, log.into_mistakes())),
        _ => Err(log.into_mistakes()),
    }
}

/// Whether a text looks like a table of separated values: its first two lines have the same cells, and no JSON begins so.
fn is_table(text: &str) -> bool {
    let mut lines = text.lines();
    let (first, second) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
    let cells = |separator: char| {
        (
            first.matches(separator).count(),
            second.matches(separator).count(),
        )
    };
    !first.starts_with(['{', '[', '"', '/'])
        && [';', '\t', ',']
            .into_iter()
            .map(cells)
            .any(|(first, second)| first > 0 && first == second)
}

/// How deep a value nests.
fn depth(value: &Value<'_>, above: usize) -> usize {
    if above > GREATEST_DEPTH {
        return above;
    }
    match value {
        Value::Object(object) => object
            .properties
            .iter()
            .map(|property| depth(&property.value, above + 1))
            .max()
            .unwrap_or(above + 1),
        Value::Array(array) => array
            .elements
            .iter()
            .map(|element| depth(element, above + 1))
            .max()
            .unwrap_or(above + 1),
        _ => above,
    }
}

/// Words for a text that is not JSON.
fn not_json(error: &ParseError, text: &str) -> (&'static str, String, &'static str) {
    let rest = text.get(error.range().start..).unwrap_or_default();
    let here = excerpt(
        rest.get(..rest.len().min(rest.find('\n').unwrap_or(rest.len())))
            .unwrap_or_default(),
    );
    let smart = |c: char| {
        matches!(
            c,
            '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{2018}' | '\u{2019}' | '«' | '»'
        )
    };
    if rest.starts_with(smart) {
        return (
            "quotes",
            format!("typographic quotation marks at `{here}`"),
            "write straight quotation marks \" instead; word processors change them",
        );
    }
    if error.range().end >= text.trim_end().len()
        && !matches!(error.kind(), ParseErrorKind::MultipleRootJsonValues)
    {
        return (
            "cut-off",
            "the text ends before everything is closed".to_owned(),
            "the file may have been cut off while it was copied; copy it again",
        );
    }
    match error.kind() {
        ParseErrorKind::CommentsNotAllowed | ParseErrorKind::UnterminatedCommentBlock => (
            "comment",
            format!("a comment at `{here}`"),
            "take it out: JSON (RFC 8259) has no comments",
        ),
        ParseErrorKind::TrailingCommasNotAllowed => (
            "trailing-comma",
            "a comma after the last entry".to_owned(),
            "take the comma out",
        ),
        ParseErrorKind::SingleQuotedStringsNotAllowed => (
            "quotes",
            format!("single quotation marks at `{here}`"),
            "write \" instead",
        ),
        ParseErrorKind::ExpectedComma => (
            "missing-comma",
            "two entries with no comma between them".to_owned(),
            "put a comma here",
        ),
        ParseErrorKind::MultipleRootJsonValues => (
            "not-json",
            format!("more text after the end at `{here}`"),
            "keep one rule book to a file",
        ),
        ParseErrorKind::NestingDepthExceeded => (
            "too-deep",
            format!("values are nested more than {GREATEST_DEPTH} deep"),
            "name parts as zones of their own and refer to them",
        ),
        _ => (
            "not-json",
            format!("`{here}` cannot stand here"),
            "check commas, quotation marks and brackets just before this place",
        ),
    }
}
