//! The rules of a book: the fields common to all kinds, and references between rules. What each kind says is left to
//! `provisions`.

use super::super::book::{Rule, Source};
use super::super::condition::{Party, When, Who};
use super::super::document::{Fields, Item, Log, excerpt, nearest};
use super::super::kind::{Kind, Provision};
use super::super::names::TaxonSet;
use super::super::zone::Zone;
use super::circumstances::{gear_is, harvest_is};
use super::header::{source_place, window};
use super::provisions::provision;
use super::references::{check_circles, check_parents, check_protected, check_softeners, refer};
use super::times::day_set;
use super::words::{id, needed_texts, no_such, taxa, texts, year_windows};
use crate::names::RuleId;

/// A book has no more rules than this: four for every zone that it may have.
const MOST_RULES: usize = 2000;
/// The rules of a book name no more zones than this together, and no more other rules.
const MOST_NAMED: usize = 20_000;

/// Everything a rule may refer to; `None` where there was too much of it to be looked at, and so none of it is missing.
pub(super) struct Ids<'b> {
    pub(super) languages: &'b [String],
    pub(super) sources: Option<&'b [Source]>,
    pub(super) taxa: Option<&'b [TaxonSet]>,
    pub(super) zones: Option<&'b [Zone]>,
    pub(super) region: &'b str,
}

pub(in crate::rules) const COMMON: &[&str] = &[
    "id",
    "kind",
    "text",
    "sources",
    "where",
    "when",
    "who",
    "party",
    "purpose",
    "taxa",
    "harvest",
    "gear",
    "valid_from",
    "valid_to",
    "replaces",
    "exempts",
];

/// Reads all rules and resolves what they refer to.
pub(super) fn rules(fields: &mut Fields<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Vec<Rule>> {
    let items = fields.need("rules", log, "the list of rules").and_then(|item| {
        item.list_up_to(
            MOST_RULES,
            log,
            "a rule may name many zones in `where` and many fungi in a set: put together what is the same",
        )
    })?;
    let mut rules: Vec<Rule> = Vec::with_capacity(items.len());
    let mut zones_named = 0;
    let mut references: Vec<(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)> = Vec::new();
    for item in &items {
        let Some((rule, replaces, exempts, item)) = rule(item, log, ids) else {
            continue;
        };
        if rules.iter().any(|known| known.id == rule.id) {
            log.refuse(
                "duplicate-id",
                &item,
                format!("two rules are called `{}`", rule.id),
                "",
                "give each its own id",
            );
            continue;
        }
        zones_named += rule.zones.len();
        if zones_named > MOST_NAMED {
            log.refuse(
                "too-many",
                &item,
                format!("the rules up to this one name {zones_named} zones in `where`"),
                format!("at most {MOST_NAMED} in all"),
                "make a zone of several with `any_of` and name that one",
            );
            return None;
        }
        rules.push(rule);
        references.push((replaces, exempts, item));
    }
    // References may point forward, so they are resolved once every rule is known. A refused rule may be the target of
    // one; then there is no point in a second message about it.
    if rules.len() == items.len() {
        let mut named = 0;
        let mut resolved = Vec::with_capacity(rules.len());
        for (place, (replaces, exempts, _)) in references.iter().enumerate() {
            let mut all = |items: &[Item<'_>]| {
                let mut found = Vec::new();
                for item in items {
                    let refers = refer(item, log, &rules, ids.region, place);
                    named += refers.len().max(1);
                    if named > MOST_NAMED {
                        log.refuse(
                            "too-many",
                            item,
                            "the rules up to here name more than enough other rules in `replaces` and `exempts`",
                            format!("at most {MOST_NAMED} in all, `kind:` counted for each rule of the kind"),
                            "name only the rules that really give way",
                        );
                        return None;
                    }
                    found.extend(refers);
                }
                Some(found)
            };
            resolved.push((all(replaces)?, all(exempts)?));
        }
        for (rule, (replaces, exempts)) in rules.iter_mut().zip(resolved) {
            rule.replaces = replaces;
            rule.exempts = exempts;
        }
        check_parents(&rules, &references, log);
        check_circles(&rules, &references, log);
        check_protected(&rules, &references, ids, log);
    }
    Some(rules)
}

type Drafted<'v> = (Rule, Vec<Item<'v>>, Vec<Item<'v>>, Item<'v>);

fn rule<'v>(item: &Item<'v>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Drafted<'v>> {
    let unread = log.unread();
    let mut fields = item.fields(log)?;
    fields.call(&item_words(item));
    let id = fields
        .need("id", log, "a short name for it, such as `daily`")
        .and_then(|item| id(&item, log));
    let words = id.map_or_else(|| item_words(item), |id| format!("rule `{id}`"));
    fields.call(&words);
    let kind_item = fields.need("kind", log, "what the rule is about, such as `quantity`");
    let kind_word = kind_item
        .as_ref()
        .and_then(|item| item.text(log))
        .unwrap_or_default();
    let kind = Kind::parse(kind_word).unwrap_or(Kind::Unheard);
    let text = needed_texts(&mut fields, "text", log, ids.languages);
    let sources = rule_sources(&mut fields, log, ids);
    let zones = fields
        .take("where")
        .map(|item| zone_places(&item, log, ids))
        .unwrap_or_default();
    let when = fields
        .take("when")
        .and_then(|item| when(&item, log))
        .unwrap_or_default();
    let mut who = fields
        .take("who")
        .and_then(|item| who(&item, log, ids.languages))
        .unwrap_or_default();
    let party = fields
        .take("party")
        .and_then(|item| party(&item, log))
        .unwrap_or_default();
    // In a rule of the kind `purpose` that name is taken by what the rule says.
    if kind != Kind::Purpose
        && let Some(item) = fields.take("purpose")
    {
        let purposes = [("own_use", false), ("commercial", true)];
        who.commercial = super::words::word(&item, log, "purpose", &purposes);
    }
    let about = fields.take("taxa").and_then(|item| taxa(&item, log, ids.taxa));
    let (valid_from, valid_to) = window(&mut fields, log);
    let harvest = fields
        .take("harvest")
        .and_then(|item| harvest_is(&item, log))
        .unwrap_or_default();
    let gear = fields
        .take("gear")
        .and_then(|item| gear_is(&item, log))
        .unwrap_or_default();
    let replaces = fields
        .take("replaces")
        .and_then(|item| item.list(log))
        .unwrap_or_default();
    let exempts = fields
        .take("exempts")
        .and_then(|item| item.list(log))
        .unwrap_or_default();
    let said = fields.take(kind_word);
    let provision = match kind {
        Kind::Unheard => {
            if let Some(item) = &kind_item {
                unheard(item, kind_word, log);
            }
            Some(Provision::Unweighed)
        }
        _ => provision(kind, said.as_ref(), &fields, log, ids),
    };
    // A part of a limit names its fungi beside its amount.
    let about = match &provision {
        Some(Provision::SubLimit { taxa, .. }) => Some(taxa.clone()),
        _ => about,
    };
    check_softeners(kind, &replaces, &exempts, &fields, log);
    let object = fields.object().clone();
    let mut known: Vec<&str> = COMMON.to_vec();
    if kind != Kind::Unheard {
        known.push(kind.word());
    }
    fields.finish(log, &format!("{} rule", with_article(kind_word)), &known);
    // A rule with a part that was left unread may mean something else than what was read of it.
    let provision = if log.unread() > unread {
        Some(Provision::Unweighed)
    } else {
        provision
    };
    let rule = Rule {
        id: RuleId::new(id?),
        kind,
        kind_word: kind_word.to_owned(),
        text: text?,
        sources: sources?,
        zones,
        when,
        who,
        party,
        harvest,
        gear,
        taxa: about,
        valid_from,
        valid_to,
        replaces: Vec::new(),
        exempts: Vec::new(),
        provision: provision?,
    };
    Some((rule, replaces, exempts, object))
}

fn item_words(item: &Item<'_>) -> String {
    format!("rule number {}", item.number_in_list())
}

/// `a quantity` or `an exemption`.
pub(super) fn with_article(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {word}")
}

/// A kind this version does not know is not wrong; a misspelt one is likely, so it is said.
fn unheard(item: &Item<'_>, word: &str, log: &mut Log<'_>) {
    let known: Vec<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
    let advice = match nearest(word, known) {
        Some(near) => {
            format!("did you mean `{near}`? As it stands its words are shown and the answer is not known")
        }
        None => "its words are shown and the answer is not known".to_owned(),
    };
    log.warn(
        "unknown-kind",
        item,
        format!("no kind of rule is called `{}`", excerpt(word)),
        "",
        advice,
    );
}

fn rule_sources(fields: &mut Fields<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Vec<usize>> {
    let item = fields.need("sources", log, "where the rule comes from, such as `[\"s1\"]`")?;
    let items = item.list(log)?;
    if items.is_empty() {
        log.refuse(
            "no-source",
            &item,
            "the rule names no source",
            "at least one of the book's sources",
            "a rule without a source cannot be checked by anybody",
        );
        return None;
    }
    let mut places: Vec<usize> = items
        .iter()
        .filter_map(|item| source_place(item, log, ids.sources))
        .collect();
    // What names a source twice says nothing new; what names none that is there has been told.
    let all_there = places.len() == items.len();
    places.dedup();
    all_there.then_some(places)
}

fn zone_places(item: &Item<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Vec<usize> {
    let mut places = Vec::new();
    let items = item.list(log).unwrap_or_default();
    if item.is_empty_list() {
        log.refuse(
            "empty-list",
            item,
            "`where` is an empty list",
            "the ids of zones",
            "leave `where` out if the rule holds everywhere",
        );
    }
    for place in items.iter().filter_map(|item| zone_place(item, log, ids)) {
        if !places.contains(&place) {
            places.push(place);
        }
    }
    places
}

/// A zone by its id, as a place in the book's list.
pub(super) fn zone_place(item: &Item<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<usize> {
    let text = item.text(log)?;
    let zones = ids.zones?;
    let place = zones.iter().position(|zone| zone.id.as_str() == text);
    if place.is_none() {
        no_such(
            item,
            log,
            "unknown-zone",
            "zone",
            text,
            zones.iter().map(|zone| zone.id.as_str()),
        );
    }
    place
}

fn when(item: &Item<'_>, log: &mut Log<'_>) -> Option<When> {
    let mut fields = item.fields_below(log)?;
    let windows = fields
        .take("window")
        .and_then(|item| year_windows(&item, log))
        .unwrap_or_default();
    let days = day_set(&mut fields, log);
    let holidays = fields.take("holidays").and_then(|item| item.flag(log));
    fields.finish(
        log,
        "`when`",
        &[
            "window",
            "days_of_month",
            "weekdays",
            "parity",
            "dates",
            "holidays",
        ],
    );
    Some(When {
        windows,
        days,
        holidays,
    })
}

/// For whom a rule holds.
pub(super) fn who(item: &Item<'_>, log: &mut Log<'_>, languages: &[String]) -> Option<Who> {
    let before = log.errors();
    let mut fields = item.fields_below(log)?;
    let mut flag = |name: &str, log: &mut Log<'_>| fields.take(name).and_then(|item| item.flag(log));
    let mut who = Who {
        resident: flag("resident", log),
        permit: flag("permit", log),
        owner: flag("owner", log),
        consent: flag("consent", log),
        commercial: flag("commercial", log),
        escorted: flag("escorted", log),
        ..Who::default()
    };
    if let Some(mut age) = fields.take("age").and_then(|item| item.fields(log)) {
        who.younger_than = age.take("below").and_then(|item| item.whole(log, 1, 120));
        who.at_least = age.take("at_least").and_then(|item| item.whole(log, 1, 120));
        age.finish(log, "`age`", &["below", "at_least"]);
    }
    who.others = fields
        .take("others")
        .and_then(|item| texts(&item, log, languages));
    if who.is_anybody() && log.errors() == before {
        log.refuse(
            "empty-condition",
            fields.object(),
            "`who` says nothing",
            "an answer such as `\"owner\": true`",
            "leave `who` out if the rule holds for everybody",
        );
    }
    fields.finish(
        log,
        "`who`",
        &[
            "resident",
            "permit",
            "owner",
            "consent",
            "commercial",
            "escorted",
            "age",
            "others",
        ],
    );
    Some(who)
}

fn party(item: &Item<'_>, log: &mut Log<'_>) -> Option<Party> {
    let mut fields = item.fields_below(log)?;
    let more_than = fields.take("more_than").and_then(|item| item.whole(log, 0, 1000));
    let at_most = fields.take("at_most").and_then(|item| item.whole(log, 1, 1000));
    let family = fields.take("family").and_then(|item| item.flag(log));
    fields.finish(log, "`party`", &["more_than", "at_most", "family"]);
    Some(Party {
        more_than,
        at_most,
        family,
    })
}
