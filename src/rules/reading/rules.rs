//! The rules of a book: the fields common to all kinds, and references between rules. What each kind says is left to
//! `provisions`.

use std::collections::BTreeMap;

use super::super::book::{Rule, RuleRef, Source};
use super::super::condition::{Party, When, Who};
use super::super::document::{Fields, Item, Log, excerpt, nearest, one_of};
use super::super::kind::{Kind, Provision};
use super::super::names::TaxonSet;
use super::super::zone::Zone;
use super::header::{source_place, window};
use super::provisions::{day_set, provision};
use super::words::{id, needed_texts, no_such, taxa, year_windows};
use crate::names::RuleId;

/// Everything a rule may refer to.
pub(super) struct Ids<'b> {
    pub(super) languages: &'b [String],
    pub(super) sources: &'b [Source],
    pub(super) taxa: &'b [TaxonSet],
    pub(super) zones: &'b [Zone],
    pub(super) region: &'b str,
}

const COMMON: &[&str] = &[
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
    let items = fields
        .need("rules", log, "the list of rules")
        .and_then(|item| item.list(log))?;
    let mut rules: Vec<Rule> = Vec::with_capacity(items.len());
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
        rules.push(rule);
        references.push((replaces, exempts, item));
    }
    // References may point forward, so they are resolved once every rule is known. A refused rule may be the target of
    // one; then there is no point in a second message about it.
    if rules.len() == items.len() {
        for (place, (replaces, exempts, _)) in references.iter().enumerate() {
            let replaced = replaces
                .iter()
                .flat_map(|item| refer(item, log, &rules, ids.region, place))
                .collect();
            let exempted = exempts
                .iter()
                .flat_map(|item| refer(item, log, &rules, ids.region, place))
                .collect();
            if let Some(rule) = rules.get_mut(place) {
                rule.replaces = replaced;
                rule.exempts = exempted;
            }
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
        .and_then(|item| who(&item, log))
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
    // Conditions on harvest and gear can be told only once there is one.
    let depends_on_harvest = [fields.take("harvest"), fields.take("gear")]
        .iter()
        .any(Option::is_some);
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
        depends_on_harvest,
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
fn with_article(word: &str) -> String {
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
    places.dedup();
    (places.len() == items.len()).then_some(places)
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
    for item in items {
        let Some(text) = item.text(log) else { continue };
        match ids.zones.iter().position(|zone| zone.id.as_str() == text) {
            Some(place) => places.push(place),
            None => no_such(
                &item,
                log,
                "unknown-zone",
                "zone",
                text,
                ids.zones.iter().map(|zone| zone.id.as_str()),
            ),
        }
    }
    places
}

fn when(item: &Item<'_>, log: &mut Log<'_>) -> Option<When> {
    let mut fields = item.fields_below(log)?;
    let windows = fields
        .take("window")
        .and_then(|item| year_windows(&item, log))
        .unwrap_or_default();
    let days = day_set(&mut fields, log);
    fields.finish(
        log,
        "`when`",
        &["window", "days_of_month", "weekdays", "parity", "dates"],
    );
    Some(When { windows, days })
}

fn who(item: &Item<'_>, log: &mut Log<'_>) -> Option<Who> {
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
        ],
    );
    Some(who)
}

fn party(item: &Item<'_>, log: &mut Log<'_>) -> Option<Party> {
    let mut fields = item.fields_below(log)?;
    let more_than = fields.take("more_than").and_then(|item| item.whole(log, 0, 1000));
    let at_most = fields.take("at_most").and_then(|item| item.whole(log, 1, 1000));
    fields.finish(log, "`party`", &["more_than", "at_most"]);
    Some(Party { more_than, at_most })
}

/// A rule softens another only by naming it, and only some kinds may.
fn check_softeners(
    kind: Kind,
    replaces: &[Item<'_>],
    exempts: &[Item<'_>],
    fields: &Fields<'_>,
    log: &mut Log<'_>,
) {
    if !exempts.is_empty() && kind != Kind::Exemption {
        let item = exempts.first().unwrap_or(fields.object());
        log.refuse(
            "exempts",
            item,
            format!("`exempts` stands in {} rule", with_article(kind.word())),
            "a rule of the kind `exemption`",
            "write an exemption, or `replaces` if this rule takes the other's place",
        );
    }
    if kind == Kind::Exemption && exempts.is_empty() {
        log.refuse(
            "exempts",
            fields.object(),
            "the exemption names no rule",
            "the ids of the rules it lifts in `exempts`",
            "",
        );
    }
    if let Some(item) = replaces.first()
        && matches!(
            kind,
            Kind::Advice | Kind::Tolerance | Kind::Penalty | Kind::Unheard
        )
    {
        log.refuse(
            "replaces",
            item,
            format!("`replaces` stands in {} rule", with_article(kind.word())),
            "a rule that binds",
            "advice and practice take no rule's place",
        );
    }
}

/// One reference: `daily`, `kind:hours` for all rules of a kind, or `IT/daily` for a rule of another region's book.
fn refer(item: &Item<'_>, log: &mut Log<'_>, rules: &[Rule], region: &str, own: usize) -> Vec<RuleRef> {
    let Some(text) = item.text(log) else {
        return Vec::new();
    };
    if let Some(word) = text.strip_prefix("kind:") {
        let Some(kind) = Kind::parse(word) else {
            let known: Vec<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
            no_such(item, log, "unknown-rule", "kind of rule", word, known.into_iter());
            return Vec::new();
        };
        return rules
            .iter()
            .enumerate()
            .filter(|(place, rule)| rule.kind == kind && *place != own)
            .map(|(place, _)| RuleRef::Here(place))
            .collect();
    }
    if let Some((other, rule)) = text.rsplit_once('/')
        && other != region
    {
        return vec![RuleRef::Elsewhere {
            region: other.to_owned(),
            rule: RuleId::new(rule),
        }];
    }
    let text = text.rsplit('/').next().unwrap_or(text);
    match rules.iter().position(|rule| rule.id.as_str() == text) {
        Some(place) if place == own => {
            log.refuse("cycle", item, "the rule names itself", "another rule", "");
            Vec::new()
        }
        Some(place) => vec![RuleRef::Here(place)],
        None => {
            no_such(
                item,
                log,
                "unknown-rule",
                "rule",
                text,
                rules.iter().map(|rule| rule.id.as_str()),
            );
            Vec::new()
        }
    }
}

/// A part of a limit must belong to a limit it can be measured against.
fn check_parents(rules: &[Rule], references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)], log: &mut Log<'_>) {
    for (rule, (.., item)) in rules.iter().zip(references) {
        let Provision::SubLimit { of, amount, .. } = &rule.provision else {
            continue;
        };
        match rules
            .iter()
            .find(|other| other.id == *of)
            .map(|other| &other.provision)
        {
            Some(Provision::Quantity(parent)) => {
                if amount.compare(&parent.amount) == Some(std::cmp::Ordering::Greater) {
                    log.warn(
                        "sub-limit",
                        item,
                        format!(
                            "`{amount}` is more than the whole limit `{of}`, {}",
                            parent.amount
                        ),
                        "",
                        "check the two amounts",
                    );
                }
            }
            Some(_) => log.refuse(
                "sub-limit",
                item,
                format!("`of` names `{of}`, which is no limit"),
                "a rule of the kind `quantity`",
                "",
            ),
            None => no_such(
                item,
                log,
                "unknown-rule",
                "rule",
                of.as_str(),
                rules.iter().map(|rule| rule.id.as_str()),
            ),
        }
    }
}

/// Rules that take each other's place would leave none of them.
fn check_circles(rules: &[Rule], references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)], log: &mut Log<'_>) {
    let here = |rule: &Rule| -> Vec<usize> {
        rule.replaces
            .iter()
            .chain(&rule.exempts)
            .filter_map(|reference| match reference {
                RuleRef::Here(place) => Some(*place),
                RuleRef::Elsewhere { .. } => None,
            })
            .collect()
    };
    for (start, (.., item)) in references.iter().enumerate() {
        let mut seen = vec![false; rules.len()];
        let mut open: Vec<usize> = rules.get(start).map(here).unwrap_or_default();
        while let Some(place) = open.pop() {
            if place == start {
                log.refuse(
                    "cycle",
                    item,
                    "the rule takes its own place through other rules",
                    "",
                    "take one of the references out",
                );
                return;
            }
            if let Some(flag) = seen.get_mut(place)
                && !*flag
            {
                *flag = true;
                open.extend(rules.get(place).map(here).unwrap_or_default());
            }
        }
    }
}

/// A fungus that is protected by one rule and given an amount by another, with nothing said of which gives way.
fn check_protected(
    rules: &[Rule],
    references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)],
    ids: &Ids<'_>,
    log: &mut Log<'_>,
) {
    let mut protected: BTreeMap<&str, &Rule> = BTreeMap::new();
    let members = |rule: &Rule| match rule.taxa {
        Some(super::super::names::Taxa::Set(place)) => ids
            .taxa
            .get(place)
            .map(|set| set.members.as_slice())
            .unwrap_or_default(),
        _ => &[],
    };
    for rule in rules
        .iter()
        .filter(|rule| matches!(rule.provision, Provision::ProtectedTaxon { .. }) && rule.zones.is_empty())
    {
        for member in members(rule) {
            protected.insert(&member.scientific_name, rule);
        }
    }
    for (rule, (.., item)) in rules.iter().zip(references) {
        if !matches!(
            rule.provision,
            Provision::Quantity(_) | Provision::SubLimit { .. }
        ) || !rule.replaces.is_empty()
        {
            continue;
        }
        for member in members(rule) {
            if let Some(other) = protected.get(member.scientific_name.as_str()) {
                log.warn(
                    "contradiction",
                    item,
                    format!(
                        "`{}` has an amount here and is protected by `{}`",
                        member.scientific_name, other.id
                    ),
                    "",
                    format!(
                        "the protection counts; add `\"replaces\": [\"{}\"]` if the amount is an exception",
                        other.id
                    ),
                );
            }
        }
    }
}

/// Words for a list of kinds, used where one is missing.
pub(super) fn amounts_expected() -> String {
    let codes: Vec<&str> = super::super::amount::Unit::ALL
        .iter()
        .map(|unit| unit.code())
        .collect();
    format!("one of {}", one_of(&codes))
}
