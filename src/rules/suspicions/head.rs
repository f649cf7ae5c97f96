//! Suspicions about the head of a book: whom to call, what has grown old, what is missing in a language, what nothing
//! refers to.

use super::{Suspicion, suspicion};
use crate::day::Day;
use crate::rules::book::{RuleBook, Source};
use crate::rules::names::Texts;

/// A book that ends or is due for review within so many days is told so beforehand.
const DAYS_OF_NOTICE: u16 = 60;

/// Looks at everything outside the rules and zones.
pub(super) fn look(book: &RuleBook, today: Option<Day>, found: &mut Vec<Suspicion>) {
    calls(book, found);
    languages(book, found);
    sources(book, found);
    if book.review_by.is_none() {
        found.push(suspicion(
            "no-review",
            "",
            "",
            "`review_by` is not given",
            "the day by which the rules are held against the law again",
            "without it an old book is shown as if it were new",
        ));
    }
    if book.examples.is_empty() {
        found.push(suspicion(
            "no-examples",
            "",
            "",
            "the book asks itself no questions",
            "a few `examples` with the answers you expect",
            "they show at once when a change turns an answer",
        ));
    }
    if let Some(today) = today {
        age(book, today, found);
    }
}

fn calls(book: &RuleBook, found: &mut Vec<Suspicion>) {
    match &book.poison_centre {
        None => found.push(suspicion(
            "no-poison-centre",
            "",
            "",
            "no `poison_centre` is named",
            "whom to call after eating something bad",
            "add its name and telephone number, with the source",
        )),
        Some(centre) if centre.phone.is_none() => found.push(suspicion(
            "no-poison-centre",
            "/poison_centre",
            "poison_centre",
            "no telephone number is given",
            "a `phone` number that is answered at night too",
            "",
        )),
        Some(centre) if centre.source.is_none() => found.push(suspicion(
            "contact-without-source",
            "/poison_centre",
            "poison_centre",
            "`source` is not given",
            "the id of the source that the number was read in",
            "a wrong number here can cost a life",
        )),
        Some(_) => {}
    }
    if book.emergency.is_none() {
        found.push(suspicion(
            "no-emergency",
            "",
            "",
            "no `emergency` number is given",
            "the number to call when somebody is ill, such as `112`",
            "",
        ));
    }
    let contacts = [
        ("authority", Some(&book.authority)),
        ("poison_centre", book.poison_centre.as_ref()),
    ];
    for (field, contact) in contacts {
        if let Some(phone) = contact.and_then(|contact| contact.phone.as_ref())
            && !is_phone(phone)
        {
            found.push(suspicion(
                "phone",
                &format!("/{field}/phone"),
                field,
                &format!("`phone` is `{phone}`"),
                "digits, blanks, `+`, `-`, `/` and brackets only",
                "put opening hours and the like into the name",
            ));
        }
    }
}

/// Something in braces, or a lone brace: a place that was meant to be filled in.
fn gap_in(text: &str) -> Option<&str> {
    let start = text.find(['{', '}'])?;
    let rest = text.get(start..)?;
    let end = if rest.starts_with('{') {
        rest.find('}').map_or(1, |end| end + 1)
    } else {
        1
    };
    rest.get(..end)
}

fn is_phone(text: &str) -> bool {
    text.bytes().any(|b| b.is_ascii_digit())
        && text.chars().all(|c| c.is_ascii_digit() || " +-/().".contains(c))
}

/// Texts that one of the book's languages lacks.
fn languages(book: &RuleBook, found: &mut Vec<Suspicion>) {
    let mut look = |texts: &Texts, pointer: String, words: String| {
        for (tag, text) in texts.all() {
            if let Some(gap) = gap_in(text) {
                found.push(suspicion(
                    "gap-in-text",
                    &format!("{pointer}/{tag}"),
                    &words,
                    &format!("the words in `{tag}` hold `{gap}`"),
                    "the words as a visitor shall read them",
                    "nothing is filled in: braces are shown as they stand",
                ));
            }
        }
        let missing: Vec<String> = book
            .languages
            .iter()
            .filter(|tag| !texts.all().any(|(known, _)| known == tag.as_str()))
            .map(|tag| format!("`{tag}`"))
            .collect();
        if !missing.is_empty() && !texts.is_empty() {
            found.push(suspicion(
                "missing-text",
                &pointer,
                &words,
                &format!("there are no words in {}", missing.join(", ")),
                "words in each of the book's `languages`",
                "readers of that language get another one",
            ));
        }
    };
    look(
        &book.region.names,
        "/region/names".into(),
        "region › names".into(),
    );
    look(
        &book.authority.name,
        "/authority/name".into(),
        "authority › name".into(),
    );
    if let Some(centre) = &book.poison_centre {
        look(
            &centre.name,
            "/poison_centre/name".into(),
            "poison_centre › name".into(),
        );
    }
    for set in &book.taxa {
        let words = format!("set of fungi `{}`", set.id);
        look(&set.names, format!("/taxa/{}/names", set.id), words);
    }
    for (place, rule) in book.rules.iter().enumerate() {
        look(
            &rule.text,
            format!("/rules/{place}/text"),
            format!("rule `{}`", rule.id),
        );
    }
}

fn sources(book: &RuleBook, found: &mut Vec<Suspicion>) {
    let mut named = vec![false; book.sources.len()];
    let by_rules = book.rules.iter().flat_map(|rule| rule.sources.iter().copied());
    let contacts = [Some(&book.authority), book.poison_centre.as_ref()];
    let by_contacts = contacts
        .into_iter()
        .flatten()
        .filter_map(|contact| contact.source);
    for place in by_rules.chain(by_contacts) {
        if let Some(named) = named.get_mut(place) {
            *named = true;
        }
    }
    for ((place, source), used) in book.sources.iter().enumerate().zip(named) {
        let (pointer, words) = at(place, source);
        if !used {
            found.push(suspicion(
                "unused",
                &pointer,
                &words,
                "no rule names it",
                "",
                "take it out, or name it in the rules that come from it",
            ));
        }
        if source.link.is_none() && source.eli.is_none() && source.citation.is_none() {
            found.push(suspicion(
                "source-not-found",
                &pointer,
                &words,
                "neither `link` nor `eli` nor `citation` is given",
                "at least one of them",
                "a reader must be able to find the text",
            ));
        }
        if let Some(eli) = &source.eli
            && !is_legislation_id(eli)
        {
            found.push(suspicion(
                "eli",
                &format!("{pointer}/eli"),
                &words,
                &format!("`eli` is `{eli}`"),
                "a European Legislation Identifier such as `eli/es-cl/l/2017/07/04/2`, or a `urn:lex:`",
                "",
            ));
        }
    }
}

/// Whether a text is shaped like an identifier of legislation: ELI (Council conclusions 2012/C 325/02: a path that
/// begins with `eli/`, alone or in a web address) or URN:LEX, or the Italian `urn:nir`.
fn is_legislation_id(text: &str) -> bool {
    let path = text
        .strip_prefix("https://")
        .or_else(|| text.strip_prefix("http://"))
        .and_then(|rest| rest.split_once("/eli/"))
        .map(|(_, path)| path)
        .or_else(|| text.strip_prefix("eli/"));
    path.is_some_and(|path| path.contains('/'))
        || text.starts_with("urn:lex:")
        || text.starts_with("urn:nir:")
}

fn at(place: usize, source: &Source) -> (String, String) {
    (format!("/sources/{place}"), format!("source `{}`", source.id))
}

/// What has grown old, or is about to.
fn age(book: &RuleBook, today: Day, found: &mut Vec<Suspicion>) {
    let soon = (0..DAYS_OF_NOTICE).fold(today, |day, _| day.next());
    let mut dated = |code: &'static str, field: &str, day: Day, what: &str, advice: &str| {
        found.push(suspicion(
            code,
            &format!("/{field}"),
            "",
            &format!("`{field}` is `{day}`, {what}"),
            "",
            advice,
        ));
    };
    match book.valid_to {
        Some(to) if to < today => dated(
            "expired",
            "valid_to",
            to,
            "which is past",
            "every answer but closed is now not known; check the law and move the day",
        ),
        Some(to) if to <= soon => dated(
            "ends-soon",
            "valid_to",
            to,
            "less than two months from now",
            "after it every answer but closed is not known",
        ),
        _ => {}
    }
    match book.review_by {
        Some(by) if by < today => dated(
            "review-due",
            "review_by",
            by,
            "which is past",
            "every answer but closed is now not known; hold the rules against the law and set a new day",
        ),
        Some(by) if by <= soon => dated(
            "ends-soon",
            "review_by",
            by,
            "less than two months from now",
            "after it every answer but closed is not known",
        ),
        _ => {}
    }
    if let Some(from) = book.valid_from
        && from > today
    {
        dated(
            "not-yet",
            "valid_from",
            from,
            "which is still to come",
            "until then nothing in the book holds",
        );
    }
    let grown_old = |checked: Day| checked.plus_years(1) < today;
    if book.checked > today {
        dated(
            "checked-ahead",
            "checked",
            book.checked,
            "which is still to come",
            "write the day on which somebody last looked",
        );
    } else if grown_old(book.checked) {
        dated(
            "old-check",
            "checked",
            book.checked,
            "more than a year ago",
            "hold the rules against the law again",
        );
    }
    for (place, source) in book.sources.iter().enumerate() {
        let Some(checked) = source.checked else { continue };
        let (pointer, words) = at(place, source);
        let (code, what, advice) = if checked > today {
            (
                "checked-ahead",
                "which is still to come",
                "write the day on which somebody last looked",
            )
        } else if grown_old(checked) {
            (
                "old-check",
                "more than a year ago",
                "look whether the text still says so",
            )
        } else {
            continue;
        };
        found.push(suspicion(
            code,
            &format!("{pointer}/checked"),
            &words,
            &format!("`checked` is `{checked}`, {what}"),
            "",
            advice,
        ));
    }
}
