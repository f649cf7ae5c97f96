//! What the visitor brings: container, tools, handling. In go what was told and a rule, out comes whether the rule is
//! kept, broken, or cannot be told. Untold gear breaks nothing.

use serde::Serialize;

use super::amount::Amount;
use super::kind::{BadContainer, Duties, Form, GroupKind, Handling, Material, Provision, Quality, Tool};
use crate::units::Truth;

/// A container as far as it was told.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Container {
    /// What it is made of.
    pub material: Option<Material>,
    /// What it is like.
    pub form: Option<Form>,
    /// Whether it keeps its shape.
    pub rigid: Truth,
    /// Whether it has holes or gaps.
    pub perforated: Truth,
    /// Whether it has no closed lid or knot.
    pub open: Truth,
    /// How many of them each person carries.
    pub count: Option<u32>,
    /// How much it holds.
    pub size: Option<Amount>,
}

/// What the visitor brings and does, as far as it was told.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Gear {
    /// The container.
    pub container: Option<Container>,
    /// Tools used; `None` if nothing was told.
    pub used: Option<Vec<Tool>>,
    /// Tools carried; `None` if nothing was told.
    pub carried: Option<Vec<Tool>>,
    /// What is done with the fruit bodies, and what is not: each told or not.
    pub handling: Vec<(Handling, bool)>,
    /// The longest blade.
    pub blade: Option<Amount>,
    /// What the group is, if it is more than friends.
    pub group: Option<GroupKind>,
    /// Whether the trip is organised for others.
    pub organised: Truth,
    /// Whether each person's share can be told apart.
    pub shares_apart: Truth,
    /// Whether the collector knows every kind in the harvest.
    pub knows_kinds: Truth,
}

impl Gear {
    /// Whether a rule is broken by what was told.
    pub(super) fn breaks(&self, provision: &Provision) -> Truth {
        match provision {
            Provision::Container {
                required,
                forbidden,
                most,
                largest,
            } => self.container.as_ref().map_or(Truth::False, |container| {
                container
                    .breaks(required, forbidden)
                    .or(container.is_too_much(*most, largest.as_ref()))
            }),
            Provision::Tool {
                forbidden,
                only,
                carrying,
                blade_below,
            } => {
                // The law says "under 11 cm": a blade of 11 cm is too long.
                let blade = match (blade_below, &self.blade) {
                    (Some(bound), Some(blade)) => blade.compare(bound).is_some_and(|order| order.is_ge()),
                    _ => false,
                };
                let bad = |tool: &Tool| {
                    forbidden.contains(tool) || only.as_ref().is_some_and(|only| !only.contains(tool))
                };
                let used = self.used.iter().flatten();
                let carried = self.carried.iter().flatten().filter(|_| *carrying);
                Truth::from(blade || used.chain(carried).any(bad))
            }
            Provision::EventBan => self.organised,
            Provision::Knowledge => self.knows_kinds.not(),
            Provision::Duties(Duties { must, must_not }) => {
                let told = |handling: &Handling, done: bool| self.handling.contains(&(*handling, done));
                Truth::from(
                    must.iter().any(|handling| told(handling, false))
                        || must_not.iter().any(|handling| told(handling, true)),
                )
            }
            _ => Truth::False,
        }
    }
}

impl Container {
    fn is_too_much(&self, most: Option<u32>, largest: Option<&Amount>) -> Truth {
        let many = match (most, self.count) {
            (Some(most), Some(count)) => count > most,
            _ => false,
        };
        let large = match (largest, &self.size) {
            (Some(largest), Some(size)) => size.compare(largest).is_some_and(|order| order.is_gt()),
            _ => false,
        };
        Truth::from(many || large)
    }

    fn breaks(&self, required: &[Quality], forbidden: &[BadContainer]) -> Truth {
        let lacks = required.iter().fold(Truth::False, |any, quality| {
            any.or(match quality {
                Quality::Rigid => self.rigid,
                Quality::Perforated => self.perforated,
                Quality::Open => self.open,
            }
            .not())
        });
        lacks.or(self.is_one_of(forbidden))
    }

    /// Whether it is one of these containers, each with everything it names.
    pub(super) fn is_one_of(&self, these: &[BadContainer]) -> Truth {
        these.iter().fold(Truth::False, |any, one| {
            let material = match (one.material, self.material) {
                (None, _) => Truth::True,
                (Some(named), Some(own)) => Truth::from(named == own),
                (Some(_), None) => Truth::NotKnown,
            };
            let form = match (one.form, self.form) {
                (None, _) => Truth::True,
                (Some(named), Some(own)) => Truth::from(named == own),
                (Some(_), None) => Truth::NotKnown,
            };
            let closed = match one.closed {
                None => Truth::True,
                Some(true) => self.perforated.not().and(self.open.not()),
                Some(false) => self.perforated.or(self.open),
            };
            any.or(material.and(form).and(closed))
        })
    }
}
