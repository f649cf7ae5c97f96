//! From what a stand map says of a stand's trees to a mixture. In go claims (a name or code, a share, a layer), out
//! comes the mixture with its shares settled, and findings. What the trees mean for fungi is left to others.
//!
//! Shares sum within a layer. What is missing to the whole is unnamed, never spread over the named ones.

use std::collections::BTreeMap;

use crate::order::Lookup;

use super::cell::Amount;
use super::finding::{Findings, Oddity, Severity, Whereabouts};
use super::report::UnknownTree;
use crate::knowledge::{How, Resolved, Trees};
use crate::names::Genus;
use crate::stand::{Layer, Member, Mixture, ShareState, Tree};
use crate::units::{Absence, Fact, Share};

/// At most so many members of one stand are read; the Canadian inventories, the widest known, have ten a layer
/// (CASFRI documentation, species attributes).
pub(crate) const MEMBERS_AT_MOST: usize = 40;
/// The leading species of a stand has at least the share it would have among ten equal ones (the same source).
const LEADING_AT_LEAST: f64 = 0.1;
/// A trace is more than nothing and at most a twentieth.
const TRACE_AT_MOST: f64 = 0.05;
/// Sums this near to one are one.
const SOUND_WITHIN: f64 = 0.01;
/// Sums this near to one are scaled to one; sums above are scaled and told as inconsistent.
const SCALED_WITHIN: f64 = 0.1;

/// What a stand map says of one tree of a stand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Claim {
    /// The text of the map, for people.
    pub(crate) raw: String,
    /// What stands there.
    pub(crate) tree: Named,
    /// How much of the layer it is.
    pub(crate) share: Claimed,
    /// Which layer.
    pub(crate) layer: Layer,
}

/// A tree as a stand map names it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Named {
    /// A scientific name, genus word or group, still to be looked up.
    Text(String),
    /// A group of the group table, by its name there.
    Group(String),
    /// A code that its list does not hold.
    UnknownCode(String),
    /// A text that could not be read at all; a finding has told why.
    Nothing,
    /// Something in the species column that is no tree, such as rock.
    NoTree,
}

/// A share as a stand map gives it, as a part of one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Claimed {
    /// Not given, and why.
    Unstated(Absence),
    /// Not given; the tree is named as the leading one.
    Leading,
    /// A number or range.
    Stated(Amount),
    /// More than nothing, at most a twentieth.
    Trace,
}

/// For so many different names that nobody knows, the known ones are searched for one alike.
const SUGGESTED_AT_MOST: usize = 100;
/// At most so many different spellings are kept.
const SPELLINGS_AT_MOST: usize = 20_000;

/// Looks up tree names, each spelling once, and counts those nobody knows.
#[derive(Debug)]
pub(crate) struct TreeNames<'k> {
    trees: &'k Trees,
    /// The languages that the map declares, the first counting first.
    languages: Vec<String>,
    known: Lookup<String, Resolved>,
    unknown: BTreeMap<String, UnknownTree>,
}

impl<'k> TreeNames<'k> {
    pub(crate) fn new(trees: &'k Trees, languages: Vec<String>) -> Self {
        TreeNames {
            trees,
            languages,
            known: Lookup::default(),
            unknown: BTreeMap::new(),
        }
    }

    fn resolve(&mut self, text: &str) -> &Resolved {
        if !self.known.contains_key(text) {
            let languages: Vec<&str> = self.languages.iter().map(String::as_str).collect();
            let resolved = if self.unknown.len() < SUGGESTED_AT_MOST {
                self.trees.resolve_in(text, &languages)
            } else {
                self.trees.look_up_in(text, &languages)
            };
            if self.known.len() >= SPELLINGS_AT_MOST {
                self.known.clear();
            }
            self.known.insert(text.to_owned(), resolved);
        }
        &self.known[text]
    }

    /// The names and codes that could not be resolved, with their counts.
    pub(crate) fn into_unknown(self) -> Vec<UnknownTree> {
        self.unknown.into_values().collect()
    }

    fn count_unknown(&mut self, text: &str, suggestion: Option<String>) {
        if self.unknown.len() >= SPELLINGS_AT_MOST && !self.unknown.contains_key(text) {
            return;
        }
        let unknown = self
            .unknown
            .entry(text.to_owned())
            .or_insert_with(|| UnknownTree {
                text: text.to_owned(),
                count: 0,
                suggestion,
            });
        unknown.count += 1;
    }
}

/// Settles the claims about one stand into its mixture. `shares_off` says that the shares were parts of a sum that
/// makes no sense.
pub(crate) fn settle(
    claims: Vec<Claim>,
    shares_off: bool,
    names: &mut TreeNames<'_>,
    findings: &mut Findings,
    at: Whereabouts<'_>,
) -> Mixture {
    let mut claims: Vec<Claim> = claims
        .into_iter()
        .filter(|claim| claim.tree != Named::NoTree)
        .collect();
    if claims.len() > MEMBERS_AT_MOST {
        findings.add(
            at,
            Oddity {
                code: "too-many-trees",
                severity: Severity::Error,
                property: Some("trees"),
                found: &format!("{} trees", claims.len()),
                done: &format!("the first {MEMBERS_AT_MOST} were kept, the rest is unnamed"),
                advice: "Name the main trees of each layer only",
                apart: "",
            },
        );
        claims.truncate(MEMBERS_AT_MOST);
    }
    let shares = settle_shares(&claims, findings, at);
    let members = claims.into_iter().zip(shares.0).map(|(claim, share)| {
        let tree = name(&claim, names, findings, at);
        Member {
            tree,
            share,
            layer: claim.layer,
            raw: claim.raw,
        }
    });
    let members = members.collect();
    let mut state = shares.1;
    if shares_off {
        state = ShareState::Inconsistent;
        findings.add(
            at,
            Oddity {
                code: "shares-inconsistent",
                severity: Severity::Warning,
                property: Some("trees"),
                found: "the shares add up to neither 10 nor 100",
                done: "scaled to 100 %, and the stand has no middle value",
                advice: "Correct the shares, or the crosswalk's `unit`",
                apart: "sum",
            },
        );
    }
    Mixture {
        members,
        shares: state,
    }
}

fn name(claim: &Claim, names: &mut TreeNames<'_>, findings: &mut Findings, at: Whereabouts<'_>) -> Tree {
    let (text, suggestion) = match &claim.tree {
        Named::Text(text) => {
            let resolved = names.resolve(text);
            if resolved.how == How::Ambiguous {
                ambiguous(text, &resolved.tree, findings, at);
            }
            if resolved.tree != Tree::Unresolved {
                return resolved.tree.clone();
            }
            (text, resolved.suggestion.clone())
        }
        Named::Group(group) => match names.trees.group(group) {
            Some(tree) => return tree,
            None => (group, None),
        },
        Named::UnknownCode(code) => (code, None),
        Named::NoTree | Named::Nothing => return Tree::Unresolved,
    };
    let shown: String = text.chars().take(80).collect();
    let advice = match (&claim.tree, &suggestion) {
        (Named::UnknownCode(_), _) => "Add the code to the crosswalk's list".to_owned(),
        (_, Some(near)) => format!("Did the map mean `{near}`? Nothing is assumed; write the name in full"),
        (_, None) => "Write a scientific name, a genus, or a group such as `broadleaf`".to_owned(),
    };
    let what = if matches!(claim.tree, Named::UnknownCode(_)) {
        "code"
    } else {
        "tree"
    };
    findings.add(
        at,
        Oddity {
            code: if what == "code" {
                "unmapped-code"
            } else {
                "unknown-tree"
            },
            severity: Severity::Warning,
            property: Some("trees"),
            found: &format!("the {what} `{shown}` is not known"),
            done: "its share counts as trees that are not known",
            advice: &advice,
            apart: &shown,
        },
    );
    names.count_unknown(&shown, suggestion);
    Tree::Unresolved
}

/// Tells that a name means different trees in different languages.
fn ambiguous(text: &str, tree: &Tree, findings: &mut Findings, at: Whereabouts<'_>) {
    let Tree::AnyOf { genera, .. } = tree else {
        return;
    };
    let genera: Vec<&str> = genera.iter().map(Genus::as_str).collect();
    let shown: String = text.chars().take(80).collect();
    findings.add(
        at,
        Oddity {
            code: "ambiguous-tree",
            severity: Severity::Warning,
            property: Some("trees"),
            found: &format!("`{shown}` means different trees in different languages"),
            done: &format!("taken as any of {}", genera.join(", ")),
            advice: "Name the map's language in the crosswalk (`\"language\": \"de\"`), or write scientific names",
            apart: &shown,
        },
    );
}

/// Shares of each claim as facts, and how they add up.
fn settle_shares(
    claims: &[Claim],
    findings: &mut Findings,
    at: Whereabouts<'_>,
) -> (Vec<Fact<Share>>, ShareState) {
    let mut state = ShareState::Sound;
    let mut factors = BTreeMap::new();
    for layer in [Layer::Canopy, Layer::Understorey, Layer::Retained] {
        let (sum, exact) = sum_of(claims, layer);
        let (factor, found) = judge(sum, exact);
        factors.insert(layer, factor);
        if found == ShareState::Sound {
            continue;
        }
        state = if state == ShareState::Inconsistent {
            state
        } else {
            found
        };
        let percent = (sum * 100.0).round();
        let (severity, code, done) = if found == ShareState::Scaled {
            (Severity::Note, "shares-scaled", "scaled to 100 %")
        } else {
            (
                Severity::Warning,
                "shares-inconsistent",
                "scaled to 100 %, and the stand has no middle value",
            )
        };
        findings.add(
            at,
            Oddity {
                code,
                severity,
                property: Some("trees"),
                found: &format!("the shares of a layer add up to {percent} %"),
                done,
                advice: "Shares are parts of one and add up to at most 1 within a layer",
                apart: "",
            },
        );
    }
    let shares = claims
        .iter()
        .map(|claim| share_of(claim, factors[&claim.layer], findings, at))
        .collect();
    (shares, state)
}

/// The sum of a layer's shares (of the least they can be, where they are ranges), and whether all are exact.
fn sum_of(claims: &[Claim], layer: Layer) -> (f64, bool) {
    let mut exact = true;
    let sum = claims
        .iter()
        .filter(|claim| claim.layer == layer)
        .map(|claim| match claim.share {
            Claimed::Stated(amount) if is_share(amount) => {
                exact &= amount.is_one();
                amount.low
            }
            Claimed::Trace => 0.0,
            _ => {
                exact = false;
                0.0
            }
        })
        .sum();
    (sum, exact)
}

/// Whether an amount can be a share at all, rounding allowed for.
fn is_share(amount: Amount) -> bool {
    (0.0..=1.0 + SCALED_WITHIN).contains(&amount.low)
}

/// The factor a layer's shares are scaled by, and what that makes of them.
fn judge(sum: f64, exact: bool) -> (f64, ShareState) {
    // Sums of decimal fractions miss their round value by less than this.
    const ROUNDING: f64 = 1e-9;
    let over = sum - 1.0;
    if over > SCALED_WITHIN + ROUNDING {
        (1.0 / sum, ShareState::Inconsistent)
    } else if over > SOUND_WITHIN + ROUNDING {
        (1.0 / sum, ShareState::Scaled)
    } else if over > 0.0 {
        (1.0 / sum, ShareState::Sound)
    } else if exact && (-SCALED_WITHIN - ROUNDING..-SOUND_WITHIN - ROUNDING).contains(&over) {
        (1.0 / sum, ShareState::Scaled)
    } else {
        (1.0, ShareState::Sound)
    }
}

fn share_of(claim: &Claim, factor: f64, findings: &mut Findings, at: Whereabouts<'_>) -> Fact<Share> {
    let within = |low: f64, high: f64, mid: Option<f64>| {
        let share = |number: f64| Share::new(number.min(1.0));
        match (share(low), share(high), mid.map(share).transpose()) {
            (Ok(low), Ok(high), Ok(mid)) => Some(Fact::Within { low, high, mid }),
            _ => None,
        }
    };
    let fact = match &claim.share {
        Claimed::Unstated(why) => Some(Fact::NotKnown(why.clone())),
        Claimed::Leading => within(LEADING_AT_LEAST, 1.0, None),
        Claimed::Trace => within(0.0, TRACE_AT_MOST, Some(TRACE_AT_MOST / 2.0)),
        Claimed::Stated(amount) if !is_share(*amount) => None,
        Claimed::Stated(amount) if amount.is_one() => {
            Share::new((amount.low * factor).min(1.0)).ok().map(Fact::Known)
        }
        // Only the low ends decide the scale of a range; the high end may be more than what is left.
        Claimed::Stated(amount) => {
            let mid = amount.mid.map(|mid| (mid * factor).min(1.0));
            within(amount.low * factor, amount.high, mid)
        }
    };
    fact.unwrap_or_else(|| {
        let found = match &claim.share {
            Claimed::Stated(amount) => amount.low.to_string(),
            _ => String::new(),
        };
        findings.add(
            at,
            Oddity {
                code: "bad-share",
                severity: Severity::Warning,
                property: Some("share"),
                found: &format!("the share {found} of `{}`", claim.raw),
                done: "taken as not known",
                advice: "Write a part of one, from 0 to 1",
                apart: "",
            },
        );
        Fact::NotKnown(Absence::Illegal(found))
    })
}
