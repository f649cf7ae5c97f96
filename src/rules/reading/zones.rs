//! The zones of a rule book, put in an order in which each comes after those it refers to. Outlines are left to
//! `outlines`.

use super::super::document::{Fields, Item, Log, excerpt, one_of};
use super::super::names::Texts;
use super::super::zone::{Attribute, Bounds, Extent, Test, Zone, ownership_word};
use super::outlines::{near, outline};
use super::words::{id, no_such, not_empty, texts, word};
use crate::names::ZoneId;
use crate::stand::{AttributeValue, Ownership};

/// A book has no more zones than this.
const MOST_ZONES: usize = 500;

/// A zone before its references are resolved.
struct Draft<'v> {
    id: String,
    names: Texts,
    place: DraftPlace<'v>,
    item: Item<'v>,
}

enum DraftPlace<'v> {
    Ready(Extent),
    AllOf(Vec<Item<'v>>),
    AnyOf(Vec<Item<'v>>),
    Not(Item<'v>),
}

/// Reads all zones; `None` where there are more than a book may have, so that nobody takes the zones for missing which
/// were not looked at. Zones that refer to themselves, however far round, are refused.
pub(super) fn zones(fields: &mut Fields<'_>, log: &mut Log<'_>, languages: &[String]) -> Option<Vec<Zone>> {
    let Some(item) = fields.take("zones") else {
        return Some(Vec::new());
    };
    if !item.is_list() {
        item.list(log);
        return Some(Vec::new());
    }
    let list = item.list_up_to(
        MOST_ZONES,
        log,
        "put outlines to which the same rules apply together into one `MultiPolygon`",
    )?;
    let mut drafts: Vec<Draft<'_>> = Vec::new();
    for item in list {
        if let Some(draft) = draft(&item, log, languages) {
            if drafts.iter().any(|known| known.id == draft.id) {
                log.refuse(
                    "duplicate-id",
                    &draft.item,
                    format!("two zones are called `{}`", draft.id),
                    "",
                    "give each its own id",
                );
            } else {
                drafts.push(draft);
            }
        }
    }
    Some(order(&drafts, log))
}

fn draft<'v>(item: &Item<'v>, log: &mut Log<'_>, languages: &[String]) -> Option<Draft<'v>> {
    let unread = log.unread();
    let mut fields = item.fields(log)?;
    let id = fields
        .need("id", log, "a short name for it, such as `core`")
        .and_then(|item| id(&item, log))?;
    fields.call(&format!("zone `{id}`"));
    let item = fields.object().clone();
    let names = fields
        .take("names")
        .and_then(|item| texts(&item, log, languages))
        .unwrap_or_default();
    let place = fields
        .need("where", log, "an outline, an attribute or other zones")
        .and_then(|item| draft_place(&item, log));
    fields.finish(log, "a zone", &["id", "names", "where"]);
    // Where the zone lies may depend on what was left unread.
    let place = if log.unread() > unread {
        Some(DraftPlace::Ready(Extent::Unread))
    } else {
        place
    };
    Some(Draft {
        id: id.to_owned(),
        names,
        // What is wrong has been said; the zone still counts as there, so that rules may name it.
        place: place.unwrap_or(DraftPlace::Ready(Extent::Unread)),
        item,
    })
}

const PLACES: &[&str] = &["outline", "near", "attribute", "all_of", "any_of", "not"];

fn draft_place<'v>(item: &Item<'v>, log: &mut Log<'_>) -> Option<DraftPlace<'v>> {
    let mut fields = item.fields(log)?;
    let given: Vec<(&str, Item<'v>)> = PLACES
        .iter()
        .filter_map(|name| fields.take(name).map(|item| (*name, item)))
        .collect();
    let object = fields.object().clone();
    fields.finish(log, "a zone's `where`", PLACES);
    if given.is_empty() && log.unread() > 0 {
        return Some(DraftPlace::Ready(Extent::Unread));
    }
    let [(name, item)] = given.as_slice() else {
        log.refuse(
            "zone-place",
            &object,
            format!("`where` has {} of {}", given.len(), one_of(PLACES)),
            "exactly one of them",
            "put zones together with `all_of` or `any_of`",
        );
        return None;
    };
    Some(match *name {
        "outline" => DraftPlace::Ready(Extent::Outline(outline(item, log)?)),
        "near" => DraftPlace::Ready(Extent::Near(near(item, log)?)),
        "attribute" => DraftPlace::Ready(Extent::Attribute(attribute(item, log)?)),
        "all_of" => DraftPlace::AllOf(not_empty(item.list(log)?, item, log)?),
        "any_of" => DraftPlace::AnyOf(not_empty(item.list(log)?, item, log)?),
        _ => DraftPlace::Not(item.clone()),
    })
}

/// Puts the zones in order by placing again and again those whose references are all placed.
fn order(drafts: &[Draft<'_>], log: &mut Log<'_>) -> Vec<Zone> {
    let before = log.errors();
    let mut placed: Vec<usize> = Vec::new();
    let mut zones: Vec<Zone> = Vec::new();
    let known = |text: &str| drafts.iter().position(|draft| draft.id == text);
    let mut references: Vec<Vec<usize>> = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let items: &[Item<'_>] = match &draft.place {
            DraftPlace::Ready(_) => &[],
            DraftPlace::AllOf(items) | DraftPlace::AnyOf(items) => items,
            DraftPlace::Not(item) => std::slice::from_ref(item),
        };
        let mut places = Vec::new();
        for item in items {
            let Some(text) = item.text(log) else { continue };
            match known(text) {
                Some(place) => places.push(place),
                None => no_such(
                    item,
                    log,
                    "unknown-zone",
                    "zone",
                    text,
                    drafts.iter().map(|draft| draft.id.as_str()),
                ),
            }
        }
        references.push(places);
    }
    loop {
        let before = placed.len();
        for (place, draft) in drafts.iter().enumerate() {
            if placed.contains(&place) {
                continue;
            }
            let refers: Option<Vec<usize>> = references
                .get(place)
                .into_iter()
                .flatten()
                .map(|wanted| placed.iter().position(|done| done == wanted))
                .collect();
            let Some(refers) = refers else { continue };
            let extent = match &draft.place {
                DraftPlace::Ready(extent) => extent.clone(),
                DraftPlace::AllOf(_) => Extent::AllOf(refers),
                DraftPlace::AnyOf(_) => Extent::AnyOf(refers),
                DraftPlace::Not(_) => match refers.first() {
                    Some(zone) => Extent::Not(*zone),
                    None => continue,
                },
            };
            placed.push(place);
            zones.push(Zone {
                id: ZoneId::new(draft.id.as_str()),
                names: draft.names.clone(),
                extent,
            });
        }
        if placed.len() == before {
            break;
        }
    }
    for (place, draft) in drafts.iter().enumerate() {
        if !placed.contains(&place) && log.errors() == before {
            log.refuse(
                "cycle",
                &draft.item,
                format!("the zone `{}` refers to itself through other zones", draft.id),
                "",
                "take one of the references out",
            );
        }
    }
    zones
}

const OWNERS: [(&str, Ownership); 4] = [
    ("state", Ownership::State),
    ("communal", Ownership::Communal),
    ("private", Ownership::Private),
    ("other", Ownership::Other),
];
const ATTRIBUTES: &[&str] = &["age", "height", "elevation", "designation", "ownership", "use"];
const TESTS: &[&str] = &[
    "name", "equals", "one_of", "below", "above", "at_least", "at_most", "present",
];

fn attribute(item: &Item<'_>, log: &mut Log<'_>) -> Option<Test> {
    let before = log.errors();
    let mut fields = item.fields(log)?;
    let name_item = fields.need("name", log, "which value of the stand is tested, such as `age`")?;
    let text = name_item.text(log)?;
    let name = match text {
        "age" => Attribute::Age,
        "height" => Attribute::Height,
        "elevation" => Attribute::Elevation,
        "designation" => Attribute::Designation,
        "ownership" => Attribute::Ownership,
        "use" => Attribute::Use,
        _ => match text.strip_prefix("attributes.").filter(|name| !name.is_empty()) {
            Some(further) => Attribute::Further(further.to_owned()),
            None => {
                let advice = super::super::document::nearest(text, ATTRIBUTES.iter().copied()).map_or_else(
                    || {
                        format!(
                            "write `attributes.{}` for a further value of the stand map",
                            excerpt(text)
                        )
                    },
                    |near| format!("did you mean `{near}`?"),
                );
                log.refuse(
                    "attribute",
                    &name_item,
                    format!("`name` is `{}`", excerpt(text)),
                    format!("one of {} or `attributes.` and a name", one_of(ATTRIBUTES)),
                    advice,
                );
                return None;
            }
        },
    };
    let words_only = matches!(
        name,
        Attribute::Designation | Attribute::Ownership | Attribute::Use
    );
    let mut one_of = None;
    for field in ["equals", "one_of"] {
        if let Some(item) = fields.take(field) {
            let items = if field == "equals" {
                vec![item.clone()]
            } else {
                item.list(log)?
            };
            let values: Vec<AttributeValue> = items
                .iter()
                .filter_map(|item| value(item, log, &name, words_only))
                .collect();
            if one_of.is_some() {
                log.refuse(
                    "attribute",
                    &item,
                    "both `equals` and `one_of` are given",
                    "one of them",
                    "",
                );
            }
            one_of = Some(not_empty(values, &item, log)?);
        }
    }
    let mut number = |field: &str, log: &mut Log<'_>| {
        let item = fields.take(field)?;
        if words_only {
            log.refuse(
                "attribute",
                &item,
                format!("`{field}` is given for a value in words"),
                "`equals` or `one_of`",
                "",
            );
        }
        item.number(log)
    };
    let (below, above) = (number("below", log), number("above", log));
    let (at_least, at_most) = (number("at_least", log), number("at_most", log));
    let present = fields.take("present").and_then(|item| item.flag(log));
    let object = fields.object().clone();
    fields.finish(log, "an attribute test", TESTS);
    let bounds = Bounds {
        one_of,
        below,
        above,
        at_least,
        at_most,
        present,
    };
    if bounds == Bounds::default() && log.errors() == before {
        log.refuse(
            "attribute",
            &object,
            "nothing is said about the value",
            "`equals`, `one_of`, `below`, `above`, `at_least`, `at_most` or `present`",
            "",
        );
    }
    Some(Test { name, bounds })
}

fn value(item: &Item<'_>, log: &mut Log<'_>, name: &Attribute, words_only: bool) -> Option<AttributeValue> {
    if *name == Attribute::Ownership {
        return word(item, log, "ownership", &OWNERS)
            .map(|owner| AttributeValue::Text(ownership_word(owner).to_owned()));
    }
    if item.is_number() && !words_only {
        return item.number(log).map(AttributeValue::Number);
    }
    if item.is_flag() && !words_only {
        return item.flag(log).map(AttributeValue::Flag);
    }
    item.text(log).map(|text| AttributeValue::Text(text.to_owned()))
}
