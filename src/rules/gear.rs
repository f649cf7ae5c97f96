//! What the visitor brings: container, tools, handling. In go what was told and a rule, out comes whether the rule is
//! kept, broken, or cannot be told. Untold gear breaks nothing.

use serde::Serialize;

use super::kind::{BadContainer, Duties, Form, Handling, Material, Provision, Quality, Tool};
use crate::units::Truth;

/// A container as far as it was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
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
}

/// What the visitor brings and does, as far as it was told.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Gear {
    /// The container.
    pub container: Option<Container>,
    /// Tools used; `None` if nothing was told.
    pub used: Option<Vec<Tool>>,
    /// Tools carried; `None` if nothing was told.
    pub carried: Option<Vec<Tool>>,
    /// What is done with the fruit bodies, and what is not: each told or not.
    pub handling: Vec<(Handling, bool)>,
}

impl Gear {
    /// Whether a rule is broken by what was told.
    pub(super) fn breaks(&self, provision: &Provision) -> Truth {
        match provision {
            Provision::Container { required, forbidden } => self
                .container
                .map_or(Truth::False, |container| container.breaks(required, forbidden)),
            Provision::Tool {
                forbidden,
                only,
                carrying,
            } => {
                let bad = |tool: &Tool| {
                    forbidden.contains(tool) || only.as_ref().is_some_and(|only| !only.contains(tool))
                };
                let used = self.used.iter().flatten();
                let carried = self.carried.iter().flatten().filter(|_| *carrying);
                Truth::from(used.chain(carried).any(bad))
            }
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
    fn breaks(&self, required: &[Quality], forbidden: &[BadContainer]) -> Truth {
        let lacks = required.iter().fold(Truth::False, |any, quality| {
            any.or(match quality {
                Quality::Rigid => self.rigid,
                Quality::Perforated => self.perforated,
                Quality::Open => self.open,
            }
            .not())
        });
        let is_forbidden = forbidden.iter().fold(Truth::False, |any, bad| {
            let material = match (bad.material, self.material) {
                (None, _) => Truth::True,
                (Some(bad), Some(own)) => Truth::from(bad == own),
                (Some(_), None) => Truth::NotKnown,
            };
            let form = match (bad.form, self.form) {
                (None, _) => Truth::True,
                (Some(bad), Some(own)) => Truth::from(bad == own),
                (Some(_), None) => Truth::NotKnown,
            };
            let closed = match bad.closed {
                None => Truth::True,
                Some(true) => self.perforated.not().and(self.open.not()),
                Some(false) => self.perforated.or(self.open),
            };
            any.or(material.and(form).and(closed))
        });
        lacks.or(is_forbidden)
    }
}
