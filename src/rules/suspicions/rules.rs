//! Suspicions about single rules: those that can never hold or never count, those that close for ever, bans that rest on
//! hearsay, references that lead nowhere.

use super::{Suspicion, Work, days_of, has_room, is_unconditional, suspicion};
use crate::rules::book::{Rule, RuleBook, RuleRef, SourceKind};
use crate::rules::kind::{Openness, Provision};
use crate::rules::names::{Rank, Taxa};

/// Looks at each rule by itself and beside the amounts of the others.
pub(super) fn look(book: &RuleBook, work: &mut Work, found: &mut Vec<Suspicion>) {
    let softened = softened(book);
    for (place, rule) in book.rules.iter().enumerate() {
        let at = At {
            pointer: format!("/rules/{place}"),
            words: format!("rule `{}`", rule.id),
        };
        // Twelve years of days, each held against all windows.
        if work.spend(4400 * (1 + rule.when.windows.len() + windows_of(rule))) {
            times(book, rule, &at, found);
        }
        hearsay(book, rule, &at, found);
        references(book, rule, work, &at, found);
        idle_limit(book, place, &softened, &at, found);
        protected_by_name(book, rule, &at, found);
    }
    silence(book, found);
}

fn windows_of(rule: &Rule) -> usize {
    match &rule.provision {
        Provision::Season(openness) => openness.windows().len(),
        _ => 0,
    }
}

/// For each rule whether another names it to take its place or to lift it.
fn softened(book: &RuleBook) -> Vec<bool> {
    let mut softened = vec![false; book.rules.len()];
    for reference in book
        .rules
        .iter()
        .flat_map(|rule| rule.replaces.iter().chain(&rule.exempts))
    {
        if let RuleRef::Here(target) = reference
            && let Some(named) = softened.get_mut(*target)
        {
            *named = true;
        }
    }
    softened
}

struct At {
    pointer: String,
    words: String,
}

impl At {
    fn tell(&self, code: &'static str, found: &str, expected: &str, advice: &str) -> Suspicion {
        suspicion(code, &self.pointer, &self.words, found, expected, advice)
    }
}

fn times(book: &RuleBook, rule: &Rule, at: &At, found: &mut Vec<Suspicion>) {
    let apart = rule
        .valid_to
        .zip(book.valid_from)
        .is_some_and(|(to, from)| to < from)
        || rule
            .valid_from
            .zip(book.valid_to)
            .is_some_and(|(from, to)| from > to);
    if apart {
        found.push(at.tell(
            "never-holds",
            "the rule is in force only when the book is not",
            "`valid_from` and `valid_to` within those of the book",
            "",
        ));
        return;
    }
    let days = days_of(book, rule);
    if days.is_empty() {
        found.push(at.tell(
            "never-holds",
            "no day on which the rule is in force lies in its `when`",
            "",
            "check window, days and validity against each other",
        ));
        return;
    }
    let closes = |day: &crate::day::Day| match &rule.provision {
        Provision::ClosedDays(set) => Some(set.contains(*day)),
        Provision::Season(Openness::Open(windows)) => {
            Some(!windows.iter().any(|window| window.contains(*day)))
        }
        Provision::Season(Openness::Closed(windows)) => {
            Some(windows.iter().any(|window| window.contains(*day)))
        }
        _ => None,
    };
    let closed: Vec<bool> = days.iter().filter_map(closes).collect();
    if closed.is_empty() {
        return;
    }
    if closed.iter().all(|closed| *closed) {
        found.push(at.tell(
            "always-closed",
            "it closes every day on which it is in force",
            "",
            "write a `closed_zone` or `protected_taxon` if that is meant",
        ));
    } else if closed.iter().all(|closed| !closed) {
        found.push(at.tell(
            "never-closed",
            "it closes none of the days on which it is in force",
            "",
            "check its days",
        ));
    }
}

/// A ban that rests on somebody else's account only.
fn hearsay(book: &RuleBook, rule: &Rule, at: &At, found: &mut Vec<Suspicion>) {
    let bans = matches!(
        rule.provision,
        Provision::ClosedZone { .. }
            | Provision::ClosedDays(_)
            | Provision::Season(_)
            | Provision::ProtectedTaxon { .. }
    );
    let mut sources = book.sources_of(rule).peekable();
    let hearsay = sources.peek().is_some()
        && sources.all(|source| source.kind == SourceKind::Secondary && source.note.is_none());
    if bans && hearsay {
        found.push(at.tell(
            "hearsay",
            "the ban rests on secondary sources only",
            "the official text",
            "if it cannot be had, say in the source's `note` how far the account goes",
        ));
    }
}

fn references(book: &RuleBook, rule: &Rule, work: &mut Work, at: &At, found: &mut Vec<Suspicion>) {
    let softens = matches!(rule.provision, Provision::Exemption);
    if softens && rule.exempts.is_empty() {
        found.push(at.tell(
            "lifts-nothing",
            "what it exempts from does not exist in this book",
            "the ids of rules that are there",
            "",
        ));
    }
    for reference in rule.exempts.iter().chain(&rule.replaces) {
        match reference {
            RuleRef::Elsewhere { region, rule: id } => {
                // The other book is not at hand; only a name that cannot be one is told.
                if region.is_empty() || id.as_str().is_empty() {
                    found.push(at.tell(
                        "lifts-nothing",
                        &format!("`{region}/{id}` names no rule of another book"),
                        "a region's code, a slash and a rule's id",
                        "",
                    ));
                }
            }
            RuleRef::Here(target) => {
                let Some(target) = book.rules.get(*target) else {
                    continue;
                };
                let never_both = !rule.zones.is_empty()
                    && !target.zones.is_empty()
                    && rule.zones.iter().all(|zone| !target.zones.contains(zone))
                    && is_plain(book, &rule.zones)
                    && is_plain(book, &target.zones);
                if never_both && zones_apart(book, rule, target, work) {
                    found.push(at.tell(
                        "lifts-nothing",
                        &format!(
                            "it softens `{}`, and the two never hold at the same place",
                            target.id
                        ),
                        "",
                        "check `where` of both",
                    ));
                }
            }
        }
    }
}

/// Whether all of these zones are plain outlines, so that it can be told whether they meet.
fn is_plain(book: &RuleBook, zones: &[usize]) -> bool {
    zones.iter().all(|zone| {
        book.zones
            .get(*zone)
            .is_some_and(|zone| matches!(zone.extent, crate::rules::zone::Extent::Outline(_)))
    })
}

/// Whether no zone of one rule meets one of the other; where finding out would take too long, they may.
fn zones_apart(book: &RuleBook, one: &Rule, other: &Rule, work: &mut Work) -> bool {
    use geo::{BoundingRect as _, CoordsIter as _, Intersects as _};
    let outlines = |rule: &Rule| {
        rule.zones
            .iter()
            .filter_map(|zone| match &book.zones.get(*zone)?.extent {
                crate::rules::zone::Extent::Outline(outline) => Some((outline, outline.bounding_rect()?)),
                _ => None,
            })
            .collect::<Vec<_>>()
    };
    let others = outlines(other);
    outlines(one).iter().all(|(outline, around)| {
        others.iter().all(|(other, around_other)| {
            if !around.intersects(around_other) {
                return work.spend(10);
            }
            let edges = outline.coords_count().saturating_mul(other.coords_count());
            work.spend(edges) && !outline.intersects(*other)
        })
    })
}

/// A limit that another one, which always holds, makes idle.
fn idle_limit(book: &RuleBook, place: usize, softened: &[bool], at: &At, found: &mut Vec<Suspicion>) {
    let Some(rule) = book.rules.get(place) else { return };
    let Provision::Quantity(own) = &rule.provision else {
        return;
    };
    let names = |one: &Rule, other: usize| {
        one.replaces
            .iter()
            .chain(&one.exempts)
            .any(|reference| *reference == RuleRef::Here(other))
    };
    for (other, rival) in book.rules.iter().enumerate() {
        let Provision::Quantity(bound) = &rival.provision else {
            continue;
        };
        let same = other != place
            && bound.per == own.per
            && bound.period == own.period
            && (rival.taxa.is_none() || rival.taxa == rule.taxa);
        let lower = bound.amount.compare(&own.amount) == Some(std::cmp::Ordering::Less);
        let softened = softened.get(other).is_some_and(|named| *named);
        if same && lower && is_unconditional(rival) && !softened && !names(rule, other) {
            found.push(at.tell(
                "idle-limit",
                &format!(
                    "`{}` is more than `{}`, {}, which always holds",
                    own.amount, rival.id, bound.amount
                ),
                "",
                &format!(
                    "the lower one counts; add `\"replaces\": [\"{}\"]` if this one is an exception",
                    rival.id
                ),
            ));
            return;
        }
    }
}

/// A protected fungus of which the tables know nothing: the map cannot warn of it.
fn protected_by_name(book: &RuleBook, rule: &Rule, at: &At, found: &mut Vec<Suspicion>) {
    let (Provision::ProtectedTaxon { .. }, Some(Taxa::Set(_)), Some(set)) =
        (&rule.provision, &rule.taxa, book.taxa_of(rule))
    else {
        return;
    };
    let unknown: Vec<String> = set
        .members
        .iter()
        .filter(|member| member.kinds.is_empty())
        .map(|member| match member.rank {
            Rank::Species => format!("`{}`", member.scientific_name),
            Rank::Genus => format!("the genus `{}`", member.scientific_name),
        })
        .collect();
    if !unknown.is_empty() {
        found.push(at.tell(
            "protected-not-in-table",
            &format!("it protects {}, which the table of fungi does not have", unknown.join(", ")),
            "",
            "the name is shown as it stands, but no stand and no basket can be warned of it; a table of the region's own kinds can add it",
        ));
    }
}

/// A book of which no rule binds in the whole region: wherever no zone lies, its answer is "not known".
fn silence(book: &RuleBook, found: &mut Vec<Suspicion>) {
    let speaks = |rule: &Rule| {
        rule.zones.is_empty()
            && rule.taxa.is_none()
            && !matches!(
                rule.provision,
                Provision::Advice | Provision::Penalty | Provision::Tolerance | Provision::Exemption
            )
    };
    let elsewhere = has_room(book);
    if !book.rules.iter().any(speaks) && elsewhere {
        found.push(suspicion(
            "silent",
            "/rules",
            "",
            "no rule speaks of the whole region and all fungi",
            "a limit, a duty, a written right or `no_rule` without `where` and `taxa`",
            "wherever no zone lies the answer is not known",
        ));
    }
}
