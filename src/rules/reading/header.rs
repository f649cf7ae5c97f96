//! The head of a rule book: region, languages, contacts, validity, sources.

use super::super::book::{Holidays, Region, Source, SourceKind};
use super::super::document::{Fields, Item, Log, excerpt};
use super::super::names::Contact;
use super::outlines::outline;
use super::words::{day, id, is_language_tag, language_advice, link, needed_texts, no_such, word};
use crate::day::Day;
use crate::names::SourceId;
use crate::order::Gather;

/// A book has no more languages than this.
const MOST_LANGUAGES: usize = 100;

pub(super) fn languages(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Vec<String> {
    let Some(item) = fields.need(
        "languages",
        log,
        "the languages of its texts, such as `[\"de\", \"en\"]`",
    ) else {
        return Vec::new();
    };
    let mut languages: Vec<String> = Vec::new();
    let errors = log.errors();
    let tags = item.list_up_to(MOST_LANGUAGES, log, "keep those in which the book has words");
    for item in tags.unwrap_or_default() {
        let Some(tag) = item.text(log) else { continue };
        languages.push(tag.to_owned());
        if !is_language_tag(tag) {
            log.refuse(
                "language",
                &item,
                format!("`{}` is no language tag", excerpt(tag)),
                "one such as `de` or `de-CH` (BCP 47)",
                language_advice(tag),
            );
        }
    }
    if item.is_empty_list() {
        log.refuse(
            "empty-list",
            &item,
            "`languages` is an empty list",
            "at least one language",
            "",
        );
    }
    // Which language a wrong tag means is not known: texts are then held against none, so that one slip is told once.
    if log.errors() > errors {
        languages.clear();
    }
    languages
}

pub(super) fn region(fields: &mut Fields<'_>, log: &mut Log<'_>, languages: &[String]) -> Option<Region> {
    let item = fields.need("region", log, "where the book holds")?;
    let mut fields = item.fields_below(log)?;
    let code = fields
        .need("code", log, "a code such as one of ISO 3166-2")
        .and_then(|item| {
            let code = item.text(log)?;
            let sound = !code.is_empty() && code.len() <= 64 && !code.contains(['/', ' ']);
            if !sound {
                log.refuse(
                    "region-code",
                    &item,
                    format!("`code` is `{}`", excerpt(code)),
                    "a short code without blanks or slashes, such as `XX-VR`",
                    "",
                );
            }
            sound.then(|| code.to_owned())
        });
    let names = needed_texts(&mut fields, "names", log, languages);
    let area = fields
        .need("area", log, "the region's outline, a GeoJSON polygon")
        .and_then(|item| outline(&item, log));
    let time_zone = fields
        .need("time_zone", log, "an IANA time zone such as `Europe/Vienna`")
        .and_then(|item| {
            let zone = item.text(log)?;
            let sound = is_time_zone(zone);
            if !sound {
                log.refuse(
                    "time-zone",
                    &item,
                    format!("`time_zone` is `{}`", excerpt(zone)),
                    "an IANA time zone such as `Europe/Vienna`",
                    "",
                );
            }
            sound.then(|| zone.to_owned())
        });
    fields.finish(log, "a region", &["code", "names", "area", "time_zone"]);
    Some(Region {
        code: code?,
        names: names?,
        area: area?,
        time_zone: time_zone?,
    })
}

/// Names of the IANA time zone database that name no region with a slash: kept there for older files, and known to
/// browsers. `EST`, `MST` and `HST` have no summer time.
const ZONES_WITHOUT_SLASH: &[&str] = &[
    "CET",
    "CST6CDT",
    "Cuba",
    "EET",
    "EST",
    "EST5EDT",
    "Egypt",
    "Eire",
    "GB",
    "GB-Eire",
    "GMT",
    "GMT+0",
    "GMT-0",
    "GMT0",
    "Greenwich",
    "HST",
    "Hongkong",
    "Iceland",
    "Iran",
    "Israel",
    "Jamaica",
    "Japan",
    "Kwajalein",
    "Libya",
    "MET",
    "MST",
    "MST7MDT",
    "NZ",
    "NZ-CHAT",
    "Navajo",
    "PRC",
    "PST8PDT",
    "Poland",
    "Portugal",
    "ROC",
    "ROK",
    "Singapore",
    "Turkey",
    "UCT",
    "UTC",
    "Universal",
    "W-SU",
    "WET",
    "Zulu",
];

/// Whether a name may be one of the IANA time zone database. Of names with a slash only the form is looked at: which of
/// them there are is known to the browser, which keeps the clock.
pub(in crate::rules) fn is_time_zone(name: &str) -> bool {
    let part = |part: &str| {
        !part.is_empty()
            && part
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b"_-+".contains(&b))
    };
    ZONES_WITHOUT_SLASH.contains(&name) || (name.contains('/') && name.split('/').all(part))
}

/// A contact; an authority must be reachable somehow, since "ask the authority" is the answer to every doubt.
pub(super) fn contact(
    item: &Item<'_>,
    log: &mut Log<'_>,
    languages: &[String],
    sources: Option<&[Source]>,
    authority: bool,
) -> Option<Contact> {
    let mut fields = item.fields_below(log)?;
    let name = needed_texts(&mut fields, "name", log, languages);
    let link_item = fields.take("link");
    let link = link_item.as_ref().and_then(|item| link(item, log));
    let phone = fields
        .take("phone")
        .and_then(|item| item.text(log).map(str::to_owned));
    let email = fields
        .take("email")
        .and_then(|item| item.text(log).map(str::to_owned));
    let source = fields
        .take("source")
        .and_then(|item| source_place(&item, log, sources));
    if link_item.is_none() && phone.is_none() && email.is_none() {
        let what = if authority {
            "a `link`, a `phone` number or an `email` address of the authority"
        } else {
            "a `link`, a `phone` number or an `email` address"
        };
        log.refuse(
            "missing-field",
            fields.object(),
            "no way to reach them is given",
            what,
            "",
        );
    }
    fields.finish(log, "a contact", &["name", "link", "phone", "email", "source"]);
    Some(Contact {
        name: name?,
        link,
        phone,
        email,
        source,
    })
}

pub(super) struct Validity {
    pub(super) from: Option<Day>,
    pub(super) to: Option<Day>,
    pub(super) checked: Day,
    pub(super) review_by: Option<Day>,
}

pub(super) fn validity(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Validity> {
    let (from, to) = window(fields, log);
    let checked = fields
        .need(
            "checked",
            log,
            "the day the rules were last held against the law, such as `2026-09-01`",
        )
        .and_then(|item| day(&item, log));
    let review_by = fields.take("review_by").and_then(|item| day(&item, log));
    Some(Validity {
        from,
        to,
        checked: checked?,
        review_by,
    })
}

/// Public holidays, and the time for which the list is whole.
pub(super) fn holidays(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Holidays> {
    let item = fields.take("holidays")?;
    let mut fields = item.fields_below(log)?;
    let from = fields
        .need("from", log, "the first day for which the list is whole")
        .and_then(|item| day(&item, log));
    let to_item = fields.need("to", log, "the last day for which the list is whole");
    let to = to_item.as_ref().and_then(|item| day(item, log));
    let dates = fields
        .need("dates", log, "the public holidays, a list of days")
        .and_then(|item| item.list(log));
    let dates = dates?.iter().filter_map(|item| day(item, log)).into_set();
    fields.finish(log, "`holidays`", &["from", "to", "dates"]);
    if let (Some(from), Some(to), Some(item)) = (from, to, &to_item)
        && to < from
    {
        log.refuse(
            "validity",
            item,
            format!("`to` is `{to}`"),
            format!("a day not before `from`, `{from}`"),
            "",
        );
    }
    Some(Holidays {
        whole: (from?, to?),
        dates,
    })
}

/// `valid_from` and `valid_to`, in their order.
pub(super) fn window(fields: &mut Fields<'_>, log: &mut Log<'_>) -> (Option<Day>, Option<Day>) {
    let from = fields.take("valid_from").and_then(|item| day(&item, log));
    let to_item = fields.take("valid_to");
    let to = to_item.as_ref().and_then(|item| day(item, log));
    if let (Some(from), Some(to), Some(item)) = (from, to, &to_item)
        && to < from
    {
        log.refuse(
            "validity",
            item,
            format!("`valid_to` is `{to}`"),
            format!("a day not before `valid_from`, `{from}`"),
            "",
        );
    }
    (from, to)
}

/// The sources; `None` where there are too many to be looked at, so that none of them counts as missing.
pub(super) fn sources(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Vec<Source>> {
    let Some(item) = fields.need("sources", log, "the acts and pages the rules come from") else {
        return Some(Vec::new());
    };
    if !item.is_list() {
        item.list(log);
        return Some(Vec::new());
    }
    let mut sources: Vec<Source> = Vec::new();
    for item in item.list(log)? {
        if let Some(source) = source(&item, log) {
            if sources.iter().any(|known| known.id == source.id) {
                log.refuse(
                    "duplicate-id",
                    &item,
                    format!("two sources are called `{}`", source.id),
                    "",
                    "give each its own id",
                );
            }
            sources.push(source);
        }
    }
    Some(sources)
}

fn source(item: &Item<'_>, log: &mut Log<'_>) -> Option<Source> {
    let mut fields = item.fields(log)?;
    let id = fields
        .need("id", log, "a short name for it, such as `s1`")
        .and_then(|item| id(&item, log));
    if let Some(id) = id {
        fields.call(&format!("source `{id}`"));
    }
    let mut text = |name: &str, log: &mut Log<'_>| {
        fields
            .take(name)
            .and_then(|item| item.text(log).map(str::to_owned))
    };
    let (citation, article, eli, note, language) = (
        text("citation", log),
        text("article", log),
        text("eli", log),
        text("note", log),
        text("language", log),
    );
    let title = fields
        .need("title", log, "the title of the act or page")
        .and_then(|item| item.text(log).map(str::to_owned));
    let kind = fields
        .need("kind", log, "`official` or `secondary`")
        .and_then(|item| {
            word(
                &item,
                log,
                "source-kind",
                &[
                    ("official", SourceKind::Official),
                    ("secondary", SourceKind::Secondary),
                ],
            )
        });
    let link = fields.take("link").and_then(|item| link(&item, log));
    let issued = fields.take("issued").and_then(|item| day(&item, log));
    let checked = fields.take("checked").and_then(|item| day(&item, log));
    fields.finish(
        log,
        "a source",
        &[
            "id", "title", "kind", "citation", "article", "link", "eli", "issued", "checked", "language",
            "note",
        ],
    );
    // What is missing has been said; the source still counts as there, so that rules may name it.
    Some(Source {
        id: SourceId::new(id?),
        title: title.unwrap_or_default(),
        kind: kind.unwrap_or(SourceKind::Secondary),
        citation,
        article,
        link,
        eli,
        issued,
        checked,
        language,
        note,
    })
}

/// The place of a source in the book's list.
pub(super) fn source_place(item: &Item<'_>, log: &mut Log<'_>, sources: Option<&[Source]>) -> Option<usize> {
    let text = item.text(log)?;
    let sources = sources?;
    let place = sources.iter().position(|source| source.id.as_str() == text);
    if place.is_none() {
        no_such(
            item,
            log,
            "unknown-source",
            "source",
            text,
            sources.iter().map(|source| source.id.as_str()),
        );
    }
    place
}
