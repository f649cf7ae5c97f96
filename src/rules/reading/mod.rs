//! From bytes to a [`RuleBook`], or to everything that is wrong with it. The tree with its positions comes from
//! `document`; this room knows which fields a rule book has and what they may hold. Nothing unread is passed over in
//! silence: an unknown field refuses the book, a kind of rule this version does not know keeps its words and makes the
//! answer not known.

mod amounts;
mod circumstances;
mod header;
mod outlines;
pub(super) mod provisions;
mod quotas;
mod references;
pub(super) mod rules;
mod times;
mod words;
mod zones;

use super::book::{FORMAT_MAJOR, FORMAT_MINOR, RuleBook};
use super::document::{Fields, Item, Log, excerpt};
use super::mistake::Mistake;
use super::opening::open;
use crate::names::FungusNames;

/// A rule book that was read, and what in it should be looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// The book.
    pub book: RuleBook,
    /// Warnings; none of them refuses the book.
    pub warnings: Vec<Mistake>,
}

pub(super) const BOOK_FIELDS: &[&str] = &[
    "$schema",
    "format",
    "region",
    "authority",
    "poison_centre",
    "emergency",
    "languages",
    "valid_from",
    "valid_to",
    "checked",
    "review_by",
    "licence",
    "sources",
    "taxa",
    "zones",
    "rules",
    "holidays",
    "examples",
];

impl RuleBook {
    /// Reads a rule book (JSON, UTF-8). `names` says which kinds a scientific name stands for.
    ///
    /// # Errors
    /// Every mistake that was found, warnings among them, in the order of the text, if one of them refuses the book.
    pub fn read(bytes: &[u8], names: &dyn FungusNames) -> Result<Read, Vec<Mistake>> {
        open(bytes, |root, log| read_book(root, log, names)).map(|(book, warnings)| Read { book, warnings })
    }
}

fn read_book(root: &Item<'_>, log: &mut Log<'_>, names: &dyn FungusNames) -> Option<RuleBook> {
    if !root.is_object() {
        log.refuse(
            "not-a-rule-book",
            root,
            "the file holds no object",
            "a rule book, an object in curly brackets",
            "",
        );
        return None;
    }
    let mut fields = root.fields(log)?;
    let minor = read_format(&mut fields, log)?;
    // Where the schema lies is for editors only.
    fields.take("$schema").and_then(|item| item.text(log));
    let languages = header::languages(&mut fields, log);
    let sources = header::sources(&mut fields, log);
    let region = header::region(&mut fields, log, &languages);
    let authority = fields
        .need("authority", log, "whom visitors can ask")
        .and_then(|item| header::contact(&item, log, &languages, sources.as_deref(), true));
    let poison_centre = fields
        .take("poison_centre")
        .and_then(|item| header::contact(&item, log, &languages, sources.as_deref(), false));
    let emergency = fields
        .take("emergency")
        .and_then(|item| item.text(log).map(str::to_owned));
    let validity = header::validity(&mut fields, log);
    let licence = fields
        .take("licence")
        .and_then(|item| item.text(log).map(str::to_owned));
    let holidays = header::holidays(&mut fields, log);
    let taxa = words::taxon_sets(&mut fields, log, &languages, names);
    let zones = zones::zones(&mut fields, log, &languages);
    let ids = rules::Ids {
        languages: &languages,
        sources: sources.as_deref(),
        taxa: taxa.as_deref(),
        zones: zones.as_deref(),
        region: region.as_ref().map_or("", |region| region.code.as_str()),
    };
    let rules = rules::rules(&mut fields, log, &ids);
    let examples = super::examples::read(&mut fields, log, zones.as_deref());
    fields.finish(log, "a rule book", BOOK_FIELDS);
    let (region, authority, validity) = (region?, authority?, validity?);
    let (sources, taxa, zones, rules) = (sources?, taxa?, zones?, rules?);
    Some(RuleBook {
        minor,
        region,
        authority,
        poison_centre,
        emergency,
        languages,
        valid_from: validity.from,
        valid_to: validity.to,
        checked: validity.checked,
        review_by: validity.review_by,
        licence,
        sources,
        taxa,
        zones,
        rules,
        holidays,
        examples,
    })
}

/// Reads `hostwood-rules/1.0`. A newer minor version is read, a newer major one refused: it may mean something else by
/// the same words.
fn read_format(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<u32> {
    let looks_like_a_map = fields.object().is_a_map();
    let Some(item) = fields.take("format") else {
        let root = fields.object().clone();
        if looks_like_a_map {
            log.refuse(
                "not-a-rule-book",
                &root,
                "this is a GeoJSON map",
                "a rule book",
                "give it as the stand map instead",
            );
        } else {
            log.refuse(
                "missing-field",
                &root,
                "`format` is missing",
                format!("`hostwood-rules/{FORMAT_MAJOR}.{FORMAT_MINOR}`"),
                "",
            );
        }
        return None;
    };
    let text = item.text(log)?;
    let version = text
        .strip_prefix("hostwood-rules/")
        .and_then(|version| version.split_once('.'))
        .and_then(|(major, minor)| Some((major.parse::<u32>().ok()?, minor.parse::<u32>().ok()?)));
    match version {
        Some((FORMAT_MAJOR, FORMAT_MINOR)) => Some(FORMAT_MINOR),
        Some((FORMAT_MAJOR, minor)) => {
            log.expect_newer();
            Some(minor)
        }
        Some((major, _)) if major > FORMAT_MAJOR => {
            log.refuse(
                "newer-format",
                &item,
                format!("`format` is `{}`", excerpt(text)),
                format!("`hostwood-rules/{FORMAT_MAJOR}` at most"),
                "the book was made for a newer version; update the page that shows it",
            );
            None
        }
        _ => {
            log.refuse(
                "format",
                &item,
                format!("`format` is `{}`", excerpt(text)),
                format!("`hostwood-rules/{FORMAT_MAJOR}.{FORMAT_MINOR}`"),
                "",
            );
            None
        }
    }
}
