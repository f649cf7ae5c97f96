//! Rules that name other rules: what they may name, and what must not come of it. In go the rules with the places of
//! their references, out come resolved references and mistakes.

use std::collections::BTreeMap;

use super::super::book::{Rule, RuleRef};
use super::super::document::{Fields, Item, Log};
use super::super::kind::{Kind, Provision};
use super::rules::{Ids, with_article};
use super::words::no_such;
use crate::names::RuleId;

/// A rule softens another only by naming it, and only some kinds may.
pub(super) fn check_softeners(
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
pub(super) fn refer(
    item: &Item<'_>,
    log: &mut Log<'_>,
    rules: &[Rule],
    region: &str,
    own: usize,
) -> Vec<RuleRef> {
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
pub(super) fn check_parents(
    rules: &[Rule],
    references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)],
    log: &mut Log<'_>,
) {
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
            // A limit of a newer version, left unread: the part is measured against nothing, and the answer is not known.
            Some(Provision::Unweighed) => {}
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
pub(super) fn check_circles(
    rules: &[Rule],
    references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)],
    log: &mut Log<'_>,
) {
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
pub(super) fn check_protected(
    rules: &[Rule],
    references: &[(Vec<Item<'_>>, Vec<Item<'_>>, Item<'_>)],
    ids: &Ids<'_>,
    log: &mut Log<'_>,
) {
    let mut protected: BTreeMap<&str, &Rule> = BTreeMap::new();
    let sets = ids.taxa.unwrap_or_default();
    let set_of = |rule: &Rule| match rule.taxa {
        Some(super::super::names::Taxa::Set(place)) => Some(place),
        _ => None,
    };
    let protects =
        |rule: &&Rule| matches!(rule.provision, Provision::ProtectedTaxon { .. }) && rule.zones.is_empty();
    // Of several rules about one set the last is named, and each set is gone through once.
    let last: BTreeMap<usize, &RuleId> = rules
        .iter()
        .filter(protects)
        .filter_map(|rule| Some((set_of(rule)?, &rule.id)))
        .collect();
    for rule in rules.iter().filter(protects) {
        let Some(place) = set_of(rule).filter(|place| last.get(place) == Some(&&rule.id)) else {
            continue;
        };
        for member in sets.get(place).into_iter().flat_map(|set| &set.members) {
            protected.insert(&member.scientific_name, rule);
        }
    }
    let both: Vec<Vec<(&str, &Rule)>> = sets
        .iter()
        .map(|set| {
            let names = set.members.iter().map(|member| member.scientific_name.as_str());
            names
                .filter_map(|name| Some((name, *protected.get(name)?)))
                .collect()
        })
        .collect();
    for (rule, (.., item)) in rules.iter().zip(references) {
        if !matches!(
            rule.provision,
            Provision::Quantity(_)
                | Provision::SubLimit { .. }
                | Provision::Count { .. }
                | Provision::Unlimited
                | Provision::AllowList
        ) || !rule.replaces.is_empty()
        {
            continue;
        }
        for (name, other) in set_of(rule)
            .and_then(|place| both.get(place))
            .into_iter()
            .flatten()
        {
            if !log.tells_warnings() {
                return;
            }
            log.warn(
                "contradiction",
                item,
                format!(
                    "`{name}` {} and is protected by `{}`",
                    match rule.provision {
                        Provision::AllowList => "may be taken by this list",
                        Provision::Unlimited => "has no limit here",
                        _ => "has an amount here",
                    },
                    other.id
                ),
                "",
                format!(
                    "the protection counts; add `\"replaces\": [\"{}\"]` if this is an exception",
                    other.id
                ),
            );
        }
    }
}
