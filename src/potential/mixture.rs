//! From a mixture to its part of hosts. In go a stand's trees with their shares, out comes how much of the stand can
//! host fungi with roots, tree by tree; age, density and site are left to `site`.

use std::collections::BTreeMap;

use super::interval::{Interval, tidy};
use crate::knowledge::{HostPart, Knowledge, Leaf, Mycorrhiza};
use crate::names::{Genus, SourceId};
use crate::stand::{Layer, Member, Mixture, ShareState, Tree};
use crate::units::Fact;

/// What a mixture says about hosts.
#[derive(Debug)]
pub(crate) struct Hosts {
    /// The part of the stand that hosts, 0 to 1.
    pub(crate) part: Interval,
    /// What stands there, merged by what it means for fungi.
    pub(crate) blocks: Vec<Block>,
    /// Part of the canopy without a named tree, at most.
    pub(crate) unnamed: f64,
    /// Whether any tree of the canopy is known.
    pub(crate) canopy_told: bool,
    /// Whether conifers lead among the hosts.
    pub(crate) conifer_led: Option<bool>,
    /// Share of each genus, the canopy counted whole and other layers by their weight.
    pub(crate) genera: BTreeMap<Genus, Interval>,
}

/// Trees of one layer that mean the same for fungi.
#[derive(Debug)]
pub(crate) struct Block {
    pub(crate) layer: Layer,
    pub(crate) sort: Sort,
    /// The genera, in the order of the map.
    pub(crate) genera: Vec<Genus>,
    /// The group's name where only a group is told, the raw text where it could not be read.
    pub(crate) told: String,
    /// Where the type of the first tree comes from; `None` for a tree nobody knows.
    pub(crate) source: Option<SourceId>,
    pub(crate) share: Interval,
    /// Share of the layer that hosts.
    pub(crate) hosts: Interval,
}

/// What a block is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sort {
    /// Trees of one mycorrhizal type.
    Of(Mycorrhiza),
    /// One or several of genera that differ in type.
    Group,
    /// A word that could not be read.
    Unresolved,
}

impl Hosts {
    /// What the mixture says; `None` where nothing is known of the trees.
    pub(crate) fn of(mixture: &Mixture, knowledge: &Knowledge) -> Option<Hosts> {
        if !mixture
            .members
            .iter()
            .any(|member| member.tree != Tree::Unresolved)
        {
            return None;
        }
        let mut hosts = Hosts {
            part: Interval::ZERO,
            blocks: Vec::new(),
            unnamed: 1.0,
            canopy_told: false,
            conifer_led: None,
            genera: BTreeMap::new(),
        };
        let mut lead = Lead::default();
        for layer in [Layer::Canopy, Layer::Understorey, Layer::Retained] {
            let members: Vec<&Member> = mixture
                .members
                .iter()
                .filter(|member| member.layer == layer)
                .collect();
            if members.is_empty() && layer != Layer::Canopy {
                continue;
            }
            let weight = match layer {
                Layer::Canopy => 1.0,
                Layer::Understorey | Layer::Retained => knowledge.factors.layer_weight,
            };
            hosts.add(layer, weight, &shares(&members, knowledge), knowledge, &mut lead);
        }
        hosts.part = hosts.part.map(|part| part.min(1.0));
        hosts.genera.values_mut().for_each(|share| {
            *share = share.map(|share| share.min(1.0));
        });
        if mixture.shares == ShareState::Inconsistent {
            hosts.part.mid = None;
        }
        hosts.conifer_led = lead.conifer_led();
        Some(hosts)
    }

    fn add(
        &mut self,
        layer: Layer,
        weight: f64,
        shares: &[(&Member, Interval)],
        knowledge: &Knowledge,
        lead: &mut Lead,
    ) {
        let anything = knowledge.factors.host(None);
        // What is certain to be named leaves the rest: it may be hosts, wholly or not at all.
        let rest = (1.0 - shares.iter().map(|(_, share)| share.low).sum::<f64>()).max(0.0);
        let (mut low, mut high) = (rest * anything.low, rest * anything.high);
        lead.rest(weight * rest);
        let meanings: Vec<_> = shares
            .iter()
            .map(|(member, _)| meaning(member, knowledge))
            .collect();
        let of_middle = middle(shares, &meanings, knowledge);
        for ((member, share), (sort, genera, hosts)) in shares.iter().zip(meanings) {
            low += share.low * hosts.low;
            high += share.low * hosts.high;
            lead.add(weight, share, &genera, hosts, knowledge);
            for genus in &genera {
                let present = if genera.len() == 1 {
                    *share
                } else {
                    Interval::between((0.0, share.high))
                };
                let sum = self.genera.entry(genus.clone()).or_insert(Interval::ZERO);
                *sum = sum.plus(present.times(Interval::exact(weight)));
            }
            self.block(
                layer,
                (sort, genera),
                member,
                *share,
                share.times(hosts),
                knowledge,
            );
        }
        let of_layer = Interval {
            low,
            high,
            mid: of_middle.map(|mid| mid.clamp(low, high)),
        };
        if layer == Layer::Canopy {
            self.canopy_told = !shares.is_empty();
            self.unnamed = rest;
        }
        self.part = self.part.plus(of_layer.times(Interval::exact(weight)));
    }

    /// Adds to the block that means the same, or begins one.
    fn block(
        &mut self,
        layer: Layer,
        (sort, genera): (Sort, Vec<Genus>),
        member: &Member,
        share: Interval,
        hosts: Interval,
        knowledge: &Knowledge,
    ) {
        let same = self
            .blocks
            .iter_mut()
            .find(|block| block.layer == layer && block.sort == sort && matches!(sort, Sort::Of(_)));
        if let Some(block) = same {
            block.share = block.share.plus(share);
            block.hosts = block.hosts.plus(hosts);
            for genus in genera {
                if !block.genera.contains(&genus) {
                    block.genera.push(genus);
                }
            }
            return;
        }
        let told = match &member.tree {
            Tree::AnyOf { group, .. } => group.clone(),
            Tree::Named(_) | Tree::Unresolved => member.raw.clone(),
        };
        let source = match &member.tree {
            Tree::Named(name) => knowledge.trees.type_of(name).map(|known| known.source.clone()),
            Tree::AnyOf { genera, .. } => genera
                .first()
                .and_then(|genus| knowledge.trees.genus(genus))
                .map(|known| known.source.clone()),
            Tree::Unresolved => None,
        };
        self.blocks.push(Block {
            layer,
            sort,
            genera,
            told,
            source,
            share,
            hosts,
        });
    }
}

/// The middle of a layer: only where the shares, or the midpoints of their classes, fill it.
fn middle(
    shares: &[(&Member, Interval)],
    meanings: &[(Sort, Vec<Genus>, Interval)],
    knowledge: &Knowledge,
) -> Option<f64> {
    let mids: Option<Vec<f64>> = shares.iter().map(|(_, share)| share.mid).collect();
    let mids = mids?;
    let sum: f64 = mids.iter().sum();
    if tidy(sum) < knowledge.factors.complete_from {
        return None;
    }
    let hosting: Option<Vec<f64>> = meanings
        .iter()
        .zip(&mids)
        .map(|((_, _, hosts), mid)| hosts.mid.map(|host| host * mid / sum))
        .collect();
    hosting.map(|parts| parts.iter().sum())
}

/// The shares of one layer; scaled where even the least add up to more than one, and taken as whole where they miss
/// one by a hundredth.
fn shares<'a>(members: &[&'a Member], knowledge: &Knowledge) -> Vec<(&'a Member, Interval)> {
    let mut shares: Vec<(&Member, Interval)> = members
        .iter()
        .map(|member| {
            let share = match &member.share {
                Fact::Known(share) => Interval::exact(share.get()),
                Fact::Within { low, high, mid } => Interval {
                    low: low.get(),
                    high: high.get(),
                    mid: mid.map(|mid| mid.get()),
                },
                Fact::NotKnown(_) => Interval::between((0.0, 1.0)),
            };
            (*member, share)
        })
        .collect();
    let sum: f64 = shares.iter().map(|(_, share)| share.low).sum();
    let all_exact = shares.iter().all(|(_, share)| share.low == share.high);
    let nearly_whole = all_exact && tidy(sum) >= knowledge.factors.complete_from;
    if sum > 1.0 || nearly_whole {
        for (_, share) in &mut shares {
            *share = share.map(|share| (share / sum).min(1.0));
        }
    }
    shares
}

/// What a member means for fungi: its sort, its genera, how much of its share hosts.
fn meaning(member: &Member, knowledge: &Knowledge) -> (Sort, Vec<Genus>, Interval) {
    let of = |genus: &Genus, kind: Option<Mycorrhiza>| {
        let genus = knowledge.trees.accepted_genus(genus).clone();
        let part = knowledge.factors.host(kind.map(|kind| (&genus, kind)));
        (genus, kind.unwrap_or(Mycorrhiza::Uncertain), part)
    };
    match &member.tree {
        Tree::Named(name) => {
            let kind = knowledge.trees.type_of(name).map(|known| known.mycorrhiza);
            let (genus, kind, part) = of(&name.genus, kind);
            (Sort::Of(kind), vec![genus], interval(part))
        }
        Tree::AnyOf { genera, .. } => {
            let one = |genus| of(genus, knowledge.trees.genus(genus).map(|known| known.mycorrhiza));
            let members: Vec<_> = genera.iter().map(one).collect();
            let all = members.iter().map(|(_, _, part)| *part);
            let hosts = all.reduce(either).map_or(Interval::between((0.0, 1.0)), interval);
            let mut kinds = members.iter().map(|(_, kind, _)| *kind);
            let sort = match kinds.next() {
                Some(first) if kinds.all(|kind| kind == first) => Sort::Of(first),
                _ => Sort::Group,
            };
            (
                sort,
                members.into_iter().map(|(genus, _, _)| genus).collect(),
                hosts,
            )
        }
        Tree::Unresolved => (Sort::Unresolved, Vec::new(), Interval::between((0.0, 1.0))),
    }
}

fn interval(part: HostPart) -> Interval {
    Interval {
        low: part.low,
        high: part.high,
        mid: part.mid,
    }
}

/// One of two, not known which: a middle only where they agree.
fn either(a: HostPart, b: HostPart) -> HostPart {
    HostPart {
        low: a.low.min(b.low),
        high: a.high.max(b.high),
        mid: a.mid.filter(|mid| b.mid == Some(*mid)),
    }
}

/// How much of the hosts is conifers and how much other trees, at least and at most.
#[derive(Debug, Default)]
struct Lead {
    conifer: (f64, f64),
    other: (f64, f64),
}

impl Lead {
    /// Adds trees of which `hosts` of their share hosts.
    fn add(
        &mut self,
        weight: f64,
        share: &Interval,
        genera: &[Genus],
        hosts: Interval,
        knowledge: &Knowledge,
    ) {
        if genera.is_empty() {
            self.rest(weight * share.high);
            return;
        }
        let mut certain = true;
        let (mut conifer, mut other) = (false, false);
        for genus in genera {
            let known = knowledge.trees.genus(genus);
            // A species may differ from its genus; of a group only the genera are known.
            let part = match genera {
                [_] => hosts,
                _ => interval(
                    knowledge
                        .factors
                        .host(known.map(|known| (genus, known.mycorrhiza))),
                ),
            };
            certain &= part.low > 0.0;
            if part.high > 0.0 {
                match known.map(|known| known.leaf) {
                    Some(Leaf::Conifer) => conifer = true,
                    Some(Leaf::Broadleaf) => other = true,
                    None => (conifer, other) = (true, true),
                }
            }
        }
        let low = if certain && conifer != other {
            weight * share.low
        } else {
            0.0
        };
        if conifer {
            self.conifer.0 += low;
            self.conifer.1 += weight * share.high;
        }
        if other {
            self.other.0 += low;
            self.other.1 += weight * share.high;
        }
    }

    fn rest(&mut self, share: f64) {
        self.conifer.1 += share;
        self.other.1 += share;
    }

    fn conifer_led(&self) -> Option<bool> {
        if tidy(self.conifer.0) > tidy(self.other.1) {
            Some(true)
        } else if tidy(self.other.0) >= tidy(self.conifer.1) {
            Some(false)
        } else {
            None
        }
    }
}
