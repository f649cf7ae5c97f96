//! Conditions on what was taken and on what it was taken with. In go a rule's condition and what was told of the gear, out
//! comes yes, no or not known. What was not told is not known, so a rule with such a condition is shown with it until
//! then; weighing a basket against the condition on the harvest is left to `harvest`.

use serde::Serialize;

use super::amount::Amount;
use super::gear::Gear;
use super::kind::{BadContainer, Handling, Tool};
use crate::units::Truth;

/// For which harvest a rule holds: everything given must hold. A rule about some fungi counts those alone.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct HarvestIs {
    /// More than one of these amounts.
    pub more_than: Vec<Amount>,
    /// No more than each of these amounts.
    pub at_most: Vec<Amount>,
    /// One clump grown together is among it, or none is.
    pub clump: Option<bool>,
    /// All of it was handled in all of these ways.
    pub handled: Vec<Handling>,
}

/// With which gear a rule holds: everything given must hold.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct GearIs {
    /// The container is one of these.
    pub container: Vec<BadContainer>,
    /// One of these tools is used or carried.
    pub tools: Vec<Tool>,
}

impl HarvestIs {
    /// Whether it asks nothing.
    pub(super) fn is_any(&self) -> bool {
        *self == HarvestIs::default()
    }
}

impl GearIs {
    /// Whether it asks nothing.
    pub(super) fn is_any(&self) -> bool {
        *self == GearIs::default()
    }

    /// Whether it holds with what the visitor brings, as far as that was told.
    pub(super) fn holds_with(&self, gear: &Gear) -> Truth {
        let container = if self.container.is_empty() {
            Truth::True
        } else {
            gear.container
                .as_ref()
                .map_or(Truth::NotKnown, |container| container.is_one_of(&self.container))
        };
        container.and(self.names_a_tool_of(gear))
    }

    fn names_a_tool_of(&self, gear: &Gear) -> Truth {
        let mut told = gear.used.iter().chain(&gear.carried).flatten();
        if self.tools.is_empty() || told.any(|tool| self.tools.contains(tool)) {
            return Truth::True;
        }
        // What is used was told whole; what else is carried may yet be one of them.
        match (&gear.used, &gear.carried) {
            (Some(_), Some(_)) => Truth::False,
            _ => Truth::NotKnown,
        }
    }
}
