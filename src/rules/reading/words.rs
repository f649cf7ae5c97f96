//! The small words of a rule book: days, links, texts by language, words out of a closed list, sets of fungi. In go
//! items of the document, out come checked values or a mistake that says what would do.

use std::collections::BTreeMap;

use super::super::document::{Fields, Item, Log, excerpt, nearest, one_of};
use super::super::names::{Rank, Taxa, Taxon, TaxonSet, Texts};
use crate::day::{Day, MonthDay, NotADay, YearWindow};
use crate::names::{FungusNames, ScientificName};
use crate::order;

/// A calendar day.
pub(super) fn day(item: &Item<'_>, log: &mut Log<'_>) -> Option<Day> {
    let text = item.text(log)?;
    checked(Day::parse(text), item, log, "day")
}

fn month_day(item: &Item<'_>, log: &mut Log<'_>) -> Option<MonthDay> {
    let text = item.text(log)?;
    checked(MonthDay::parse(text), item, log, "day-of-year")
}

/// A value, or the mistake that names its field.
pub(super) fn checked<T>(
    value: Result<T, NotADay>,
    item: &Item<'_>,
    log: &mut Log<'_>,
    code: &'static str,
) -> Option<T> {
    match value {
        Ok(value) => Some(value),
        Err(NotADay { found, expected }) => {
            log.refuse(
                code,
                item,
                format!("`{}` is `{}`", item.name(), excerpt(&found)),
                expected,
                "",
            );
            None
        }
    }
}

/// A window of the year: `{"from": "06-15", "to": "09-30"}`.
pub(super) fn year_window(item: &Item<'_>, log: &mut Log<'_>) -> Option<YearWindow> {
    let mut fields = item.fields(log)?;
    let from = fields
        .need("from", log, "the first day, such as `06-15`")
        .and_then(|item| month_day(&item, log));
    let to = fields
        .need("to", log, "the last day, such as `09-30`")
        .and_then(|item| month_day(&item, log));
    fields.finish(log, "a window of the year", &["from", "to"]);
    Some(YearWindow { from: from?, to: to? })
}

/// One or several windows of the year.
pub(super) fn year_windows(item: &Item<'_>, log: &mut Log<'_>) -> Option<Vec<YearWindow>> {
    let windows = item.one_or_list(log)?;
    let read: Vec<YearWindow> = windows.iter().filter_map(|item| year_window(item, log)).collect();
    not_empty(read, item, log)
}

/// A list that must hold something.
pub(super) fn not_empty<T>(list: Vec<T>, item: &Item<'_>, log: &mut Log<'_>) -> Option<Vec<T>> {
    if item.is_empty_list() {
        log.refuse(
            "empty-list",
            item,
            format!("`{}` is an empty list", item.name()),
            "at least one entry",
            "leave the field out if it should not count",
        );
        return None;
    }
    Some(list)
}

/// A word out of a closed list.
pub(super) fn word<T: Copy>(
    item: &Item<'_>,
    log: &mut Log<'_>,
    code: &'static str,
    words: &[(&'static str, T)],
) -> Option<T> {
    let text = item.text(log)?;
    if let Some((_, value)) = words.iter().find(|(word, _)| *word == text) {
        return Some(*value);
    }
    let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    let advice =
        nearest(text, known.iter().copied()).map_or(String::new(), |near| format!("did you mean `{near}`?"));
    log.refuse(
        code,
        item,
        format!("`{}` is `{}`", item.name(), excerpt(text)),
        format!("one of {}", one_of(&known)),
        advice,
    );
    None
}

/// A list of words out of a closed list, each once.
pub(super) fn word_list<T: Copy + Ord>(
    item: &Item<'_>,
    log: &mut Log<'_>,
    code: &'static str,
    words: &[(&'static str, T)],
) -> Option<Vec<T>> {
    let items = item.list(log)?;
    let mut read: Vec<T> = items
        .iter()
        .filter_map(|item| word(item, log, code, words))
        .collect();
    order::naturally(&mut read);
    read.dedup();
    not_empty(read, item, log)
}

/// A link, checked: only `http`, `https`, `mailto` and `tel`, no login in it, no blanks. A link that fails is left
/// out and the rest of the book kept, since the words of a rule matter more than its link.
pub(super) fn link(item: &Item<'_>, log: &mut Log<'_>) -> Option<String> {
    let text = item.text(log)?;
    let scheme = text
        .split_once(':')
        .map(|(scheme, rest)| (scheme.to_ascii_lowercase(), rest));
    let sound = text
        .chars()
        .all(|c| !c.is_whitespace() && !c.is_control() && c != '\\' && c != '<' && c != '>' && c != '"')
        && match &scheme {
            Some((scheme, rest)) if scheme == "http" || scheme == "https" => {
                rest.strip_prefix("//").is_some_and(|rest| {
                    let host = rest.split(['/', '?', '#']).next().unwrap_or_default();
                    !host.is_empty() && !host.contains('@')
                })
            }
            Some((scheme, rest)) => (scheme == "mailto" || scheme == "tel") && !rest.is_empty(),
            None => false,
        };
    if !sound {
        log.warn(
            "link",
            item,
            format!("`{}` is `{}`", item.name(), excerpt(text)),
            "a whole address that begins with `https:`, `http:`, `mailto:` or `tel:`",
            "the link is left out",
        );
        return None;
    }
    Some(text.to_owned())
}

/// Whether a text is shaped like a BCP 47 language tag (RFC 5646: letters and digits in parts of at most eight).
pub(super) fn is_language_tag(tag: &str) -> bool {
    let mut parts = tag.split('-');
    let first = parts.next().unwrap_or_default();
    (2..=3).contains(&first.len())
        && first.bytes().all(|b| b.is_ascii_alphabetic())
        && parts.all(|part| (1..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric()))
}

/// What to write instead of a tag with an underscore.
pub(super) fn language_advice(tag: &str) -> String {
    let hyphened = tag.replace('_', "-");
    if is_language_tag(&hyphened) {
        format!("write `{hyphened}`")
    } else {
        String::new()
    }
}

/// Texts by language: `{"de": "...", "en": "..."}`.
pub(super) fn texts(item: &Item<'_>, log: &mut Log<'_>, languages: &[String]) -> Option<Texts> {
    let mut fields = item.fields_below(log)?;
    let mut texts = BTreeMap::new();
    for (tag, item) in fields.all() {
        if !is_language_tag(tag) {
            let advice = language_advice(tag);
            log.refuse(
                "language",
                &item,
                format!("`{}` is no language tag", excerpt(tag)),
                "one such as `de` or `de-CH` (BCP 47)",
                advice,
            );
            continue;
        }
        if !languages.is_empty() && !languages.iter().any(|known| known == tag) {
            log.refuse(
                "language",
                &item,
                format!("a text in `{tag}`"),
                format!(
                    "one of the book's languages, {}",
                    one_of(&languages.iter().map(String::as_str).collect::<Vec<_>>())
                ),
                "add the language to `languages`",
            );
        }
        if let Some(text) = item.text(log) {
            if text.trim().is_empty() {
                log.refuse(
                    "empty-text",
                    &item,
                    format!("the text in `{tag}` is empty"),
                    "words, or no entry for this language",
                    "",
                );
            }
            if text.contains('<') && text.contains('>') {
                log.warn(
                    "markup",
                    &item,
                    format!("the text in `{tag}` holds angle brackets"),
                    "plain words",
                    "they are shown as they stand",
                );
            }
            texts.insert(tag.to_owned(), text.to_owned());
        }
    }
    Some(Texts(texts))
}

/// Texts that must be there in at least one language.
pub(super) fn needed_texts(
    fields: &mut Fields<'_>,
    name: &'static str,
    log: &mut Log<'_>,
    languages: &[String],
) -> Option<Texts> {
    let item = fields.need(name, log, "words by language such as `{\"en\": \"...\"}`")?;
    let before = log.errors();
    let texts = texts(&item, log, languages)?;
    if texts.is_empty() && log.errors() == before {
        log.refuse(
            "empty-text",
            &item,
            format!("`{name}` holds no words in any language"),
            "at least one",
            "",
        );
    }
    Some(texts)
}

/// All sets of fungi of a book have no more members than this together.
const MOST_MEMBERS: usize = 5000;

/// The named sets of fungi; `None` where there are too many to be looked at, so that none of them counts as missing.
pub(super) fn taxon_sets(
    fields: &mut Fields<'_>,
    log: &mut Log<'_>,
    languages: &[String],
    names: &dyn FungusNames,
) -> Option<Vec<TaxonSet>> {
    let Some(item) = fields.take("taxa") else {
        return Some(Vec::new());
    };
    if !item.is_object() {
        item.fields_below(log);
        return Some(Vec::new());
    }
    let mut sets = item.fields_below(log)?;
    let mut read = Vec::new();
    let mut counted = 0;
    for (name, item) in sets.all() {
        if !is_id(name) {
            log.refuse(
                "id",
                &item,
                format!("the set of fungi is called `{}`", excerpt(name)),
                ID_EXPECTED,
                "",
            );
        }
        let (unread, before) = (log.unread(), log.errors());
        let Some(mut fields) = item.fields(log) else {
            continue;
        };
        fields.call(&format!("set of fungi `{}`", excerpt(name)));
        let set_names = fields
            .take("names")
            .and_then(|item| texts(&item, log, languages))
            .unwrap_or_default();
        let open = fields
            .take("open")
            .and_then(|item| item.flag(log))
            .unwrap_or(false);
        let members = fields
            .need("members", log, "a list of fungi")
            .and_then(|item| {
                let members = item.list_up_to(
                    MOST_MEMBERS.saturating_sub(counted),
                    log,
                    "all sets of fungi of a book have at most 5000 members together: name the genus where a rule holds for all of it",
                )?;
                counted += members.len();
                Some(members)
            })
            .map(|items| {
                items
                    .iter()
                    .filter_map(|item| taxon(item, log, names))
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default();
        if members.is_empty() && log.errors() == before {
            log.refuse(
                "empty-list",
                fields.object(),
                "the set has no members",
                "at least one fungus",
                "",
            );
        }
        fields.finish(log, "a set of fungi", &["names", "members", "open"]);
        let open = open || log.unread() > unread;
        read.push(TaxonSet {
            id: name.to_owned(),
            names: set_names,
            members,
            open,
        });
    }
    Some(read)
}

fn taxon(item: &Item<'_>, log: &mut Log<'_>, names: &dyn FungusNames) -> Option<Taxon> {
    let mut fields = item.fields(log)?;
    let name = fields.need("scientific_name", log, "a name such as `Boletus edulis`")?;
    let text = name.text(log)?;
    let rank = fields.take("rank").and_then(|item| {
        word(
            &item,
            log,
            "rank",
            &[("species", Rank::Species), ("genus", Rank::Genus)],
        )
    });
    fields.finish(log, "a fungus", &["scientific_name", "rank"]);
    let Some(parsed) = ScientificName::parse(text) else {
        log.refuse(
            "scientific-name",
            &name,
            format!("`scientific_name` is `{}`", excerpt(text)),
            "a scientific name such as `Boletus edulis`",
            "",
        );
        return None;
    };
    let rank = rank.unwrap_or(if parsed.epithet.is_some() {
        Rank::Species
    } else {
        Rank::Genus
    });
    let mut kinds = match rank {
        Rank::Genus => names.kinds_of_genus(parsed.genus.as_str()),
        Rank::Species => names.kind_of(text).into_iter().collect(),
    };
    order::naturally(&mut kinds);
    kinds.dedup();
    if kinds.is_empty() {
        log.warn(
            "name-not-known",
            &name,
            format!("`{}` is not in the table of fungi", excerpt(text)),
            "",
            names.nearest(text).map_or_else(
                || "check the spelling; the name is shown as it stands".to_owned(),
                |near| format!("did you mean `{near}`? The name is shown as it stands"),
            ),
        );
    }
    Some(Taxon {
        scientific_name: text.to_owned(),
        rank,
        kinds,
    })
}

/// Which fungi a rule is about: a set's id, or `{"all_but": "..."}`.
pub(super) fn taxa(item: &Item<'_>, log: &mut Log<'_>, sets: Option<&[TaxonSet]>) -> Option<Taxa> {
    let (item, all_but) = if item.is_object() {
        let mut fields = item.fields(log)?;
        let inner = fields.need("all_but", log, "the id of a set of fungi");
        fields.finish(log, "a choice of fungi", &["all_but"]);
        (inner?, true)
    } else {
        (item.clone(), false)
    };
    let text = item.text(log)?;
    let sets = sets?;
    let place = sets.iter().position(|set| set.id == text);
    if place.is_none() {
        no_such(
            &item,
            log,
            "unknown-taxa",
            "set of fungi",
            text,
            sets.iter().map(|set| set.id.as_str()),
        );
    }
    place.map(|place| {
        if all_but {
            Taxa::AllBut(place)
        } else {
            Taxa::Set(place)
        }
    })
}

/// A reference to something that is not there.
pub(super) fn no_such<'k>(
    item: &Item<'_>,
    log: &mut Log<'_>,
    code: &'static str,
    what: &str,
    found: &str,
    known: impl Iterator<Item = &'k str>,
) {
    let advice = log.guess(found, known).map_or_else(
        || format!("add the {what} or leave the reference out"),
        |near| format!("did you mean `{near}`?"),
    );
    log.refuse(
        code,
        item,
        format!("no {what} is called `{}`", excerpt(found)),
        "",
        advice,
    );
}

const ID_EXPECTED: &str = "small letters, digits, `-` and `_`, such as `first-ten`";

/// Whether a text can name something in a book: small letters, digits, hyphens and underscores.
fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.len() <= 64
        && text
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'_')
}

/// An id.
pub(super) fn id<'v>(item: &Item<'v>, log: &mut Log<'_>) -> Option<&'v str> {
    let text = item.text(log)?;
    if !is_id(text) {
        log.refuse(
            "id",
            item,
            format!("`id` is `{}`", excerpt(text)),
            ID_EXPECTED,
            "",
        );
        return None;
    }
    Some(text)
}
