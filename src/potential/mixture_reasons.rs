//! What the mixture says, as reasons. In go the blocks of a mixture, out come reasons in the order of their shares;
//! how much they host was worked out by `mixture`.

use super::View;
use super::interval::Interval;
use super::mixture::{Block, Hosts, Sort};
use super::reasons::{Arg, Effect, Factor, Reason, percent};
use crate::knowledge::{Factors, Knowledge, Mycorrhiza};
use crate::names::SourceId;
use crate::stand::{Layer, Profile, ShareState};

/// A group of so many genera or fewer is told by their names.
const FEW: usize = 4;
/// What the trees say comes before what the site says, whatever it weighs.
const FIRST: f64 = 1.0;

/// Nothing is known of the trees; the raw words of the map come along.
pub(crate) fn trees_not_known(profile: &Profile, factors: &Factors) -> Reason {
    let words: Vec<&str> = profile
        .mixture
        .members
        .iter()
        .map(|member| member.raw.as_str())
        .filter(|raw| !raw.is_empty())
        .collect();
    let part = Interval::between((0.0, 1.0));
    let reason = |message| reason(message, part, factors).weighing(FIRST + 1.0);
    if words.is_empty() {
        reason("reason.trees.not_told")
    } else {
        reason("reason.trees.not_known").with("words", Arg::Text(words.join(", ")))
    }
}

/// What the trees say for and against.
pub(crate) fn of(hosts: &Hosts, shares: ShareState, knowledge: &Knowledge) -> Vec<Reason> {
    let factors = &knowledge.factors;
    let mut reasons: Vec<Reason> = hosts
        .blocks
        .iter()
        .filter_map(|block| of_block(block, knowledge))
        .collect();
    if !hosts.canopy_told {
        let part = Interval::between((0.0, 1.0));
        reasons.push(reason("reason.mixture.canopy_not_told", part, factors).weighing(FIRST + 1.0));
    } else if hosts.unnamed > 0.0 {
        let part = Interval::between((0.0, hosts.unnamed));
        reasons.push(
            reason("reason.mixture.unnamed", part, factors)
                .with("share", percent(Interval::exact(hosts.unnamed)))
                .weighing(FIRST + hosts.unnamed),
        );
    }
    if shares == ShareState::Inconsistent {
        reasons.push(reason("reason.mixture.inconsistent", hosts.part, factors).weighing(FIRST));
    }
    reasons
}

fn reason(message: &'static str, part: Interval, factors: &Factors) -> Reason {
    Reason::new(View::Roots, Factor::Trees, message, part)
        .from(factors.source("host.uncertain"))
        .doing(Effect::Widens)
}

fn of_block(block: &Block, knowledge: &Knowledge) -> Option<Reason> {
    let message = match (block.layer, block.sort) {
        (Layer::Canopy, Sort::Of(Mycorrhiza::Ectomycorrhizal)) => "reason.mixture.ectomycorrhizal",
        (Layer::Canopy, Sort::Of(Mycorrhiza::Dual)) => "reason.mixture.dual",
        (Layer::Canopy, Sort::Of(Mycorrhiza::Arbuscular)) => "reason.mixture.arbuscular",
        (Layer::Canopy, Sort::Of(Mycorrhiza::Ericoid)) => "reason.mixture.ericoid",
        (Layer::Canopy, Sort::Of(Mycorrhiza::NonMycorrhizal)) => "reason.mixture.non_mycorrhizal",
        (Layer::Canopy, Sort::Of(Mycorrhiza::Uncertain)) => "reason.mixture.uncertain",
        (Layer::Canopy, Sort::Group) => "reason.mixture.group",
        (Layer::Canopy, Sort::Unresolved) => "reason.mixture.unresolved",
        (Layer::Understorey, _) if block.hosts.high > 0.0 => "reason.layer.understorey",
        (Layer::Retained, _) if block.hosts.high > 0.0 => "reason.layer.retained",
        (Layer::Understorey | Layer::Retained, _) => return None,
    };
    let effect = match block.sort {
        Sort::Of(Mycorrhiza::Ectomycorrhizal | Mycorrhiza::Dual) => Effect::Raises,
        Sort::Of(Mycorrhiza::Arbuscular | Mycorrhiza::NonMycorrhizal | Mycorrhiza::Ericoid) => Effect::Lowers,
        Sort::Of(Mycorrhiza::Uncertain) | Sort::Group | Sort::Unresolved => Effect::Widens,
    };
    let trees = match block.sort {
        Sort::Unresolved => Arg::Text(block.told.clone()),
        Sort::Of(_) | Sort::Group if block.genera.len() <= FEW => Arg::Trees(block.genera.clone()),
        Sort::Of(_) | Sort::Group => match group_key(&block.told) {
            Some(key) => Arg::Word(key),
            None => Arg::Trees(block.genera.clone()),
        },
    };
    let layer_weight = match block.layer {
        Layer::Canopy => 1.0,
        Layer::Understorey | Layer::Retained => knowledge.factors.layer_weight,
    };
    Some(
        Reason::new(View::Roots, Factor::Trees, message, block.hosts)
            .with("trees", trees)
            .with("share", percent(block.share))
            .from(source(block, knowledge))
            .doing(effect)
            .weighing(FIRST + layer_weight * block.share.value()),
    )
}

/// The source of the first tree's type, else of the numbers for trees nobody knows.
fn source(block: &Block, knowledge: &Knowledge) -> SourceId {
    block
        .source
        .clone()
        .unwrap_or_else(|| knowledge.factors.source("host.uncertain"))
}

/// The message key of a group's name; `None` for several names in one cell.
fn group_key(group: &str) -> Option<&'static str> {
    super::keys::groups().find(|key| key.strip_prefix("group.") == Some(group))
}
