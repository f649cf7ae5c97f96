//! Conditions of a rule on what was taken and on what it was taken with. In go the fields `harvest` and `gear` of a rule,
//! out come conditions or mistakes; weighing them is left to `weigh` and `harvest`.

use super::super::amount::Amount;
use super::super::circumstance::{GearIs, HarvestIs};
use super::super::document::{Fields, Item, Log};
use super::amounts::amount;
use super::provisions::{HANDLINGS, TOOLS, containers};
use super::words::{not_empty, word_list};

/// Reads for which harvest a rule holds.
pub(super) fn harvest_is(item: &Item<'_>, log: &mut Log<'_>) -> Option<HarvestIs> {
    let before = log.errors();
    let mut fields = item.fields_below(log)?;
    let harvest = HarvestIs {
        more_than: amounts(&mut fields, log, "more_than"),
        at_most: amounts(&mut fields, log, "at_most"),
        clump: fields.take("clump").and_then(|item| item.flag(log)),
        handled: fields
            .take("handled")
            .and_then(|item| word_list(&item, log, "handling", &HANDLINGS))
            .unwrap_or_default(),
    };
    if harvest.is_any() && log.errors() == before {
        log.refuse(
            "empty-condition",
            fields.object(),
            "`harvest` says nothing",
            "an amount such as `\"more_than\": [{\"amount\": \"5\", \"unit\": \"L\"}]`",
            "leave `harvest` out if the rule holds whatever was taken",
        );
    }
    fields.finish(log, "`harvest`", &["more_than", "at_most", "clump", "handled"]);
    Some(harvest)
}

/// Reads with which gear a rule holds.
pub(super) fn gear_is(item: &Item<'_>, log: &mut Log<'_>) -> Option<GearIs> {
    let before = log.errors();
    let mut fields = item.fields_below(log)?;
    let gear = GearIs {
        container: fields
            .take("container")
            .and_then(|item| not_empty(containers(&item, log, "a container")?, &item, log))
            .unwrap_or_default(),
        tools: fields
            .take("tools")
            .and_then(|item| word_list(&item, log, "tool", &TOOLS))
            .unwrap_or_default(),
    };
    if gear.is_any() && log.errors() == before {
        log.refuse(
            "empty-condition",
            fields.object(),
            "`gear` says nothing",
            "a tool such as `\"tools\": [\"knife\"]`",
            "leave `gear` out if the rule holds with any",
        );
    }
    fields.finish(log, "`gear`", &["container", "tools"]);
    Some(gear)
}

/// A list of amounts; those that could not be read are told and left out.
fn amounts(fields: &mut Fields<'_>, log: &mut Log<'_>, name: &str) -> Vec<Amount> {
    let Some(items) = fields.take(name) else {
        return Vec::new();
    };
    let read: Option<Vec<Amount>> = items.list(log).and_then(|list| {
        let amounts: Vec<Option<Amount>> = list
            .iter()
            .map(|item| {
                let mut fields = item.fields(log)?;
                let amount = amount(&mut fields, log);
                fields.finish(log, "an amount of a harvest", &["amount", "unit"]);
                amount
            })
            .collect();
        amounts.into_iter().collect()
    });
    read.and_then(|amounts| not_empty(amounts, &items, log))
        .unwrap_or_default()
}
