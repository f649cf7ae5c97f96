//! Amounts with whom and what they are counted for, sizes and distances, as rules of several kinds have them. In go the
//! fields of a rule's object, out come values or mistakes; which kind has which field is left to `provisions`.

use super::super::amount::Amount;
use super::super::document::{Fields, Item, Log};
use super::super::kind::{Keep, Measured, Per, Provision, Span, Threshold};
use super::super::names::Taxa;
use super::amounts::{amount, amount_of, length_unit};
use super::provisions::ACTS;
use super::rules::{Ids, zone_place};
use super::words::{not_empty, taxa, word, word_list};

const PERS: [(&str, Per); 2] = [("person", Per::Person), ("group", Per::Group)];
const SPANS: [(&str, Span); 5] = [
    ("trip", Span::Trip),
    ("day", Span::Day),
    ("week", Span::Week),
    ("season", Span::Season),
    ("year", Span::Year),
];
const MEASURES: [(&str, Measured); 3] = [
    ("cap", Measured::Cap),
    ("height", Measured::Height),
    ("width", Measured::Width),
];

pub(super) fn counted(fields: &mut Fields<'_>, log: &mut Log<'_>) -> (Option<Per>, Option<Span>) {
    (
        fields
            .need("per", log, "`person` or `group`")
            .and_then(|item| word(&item, log, "per", &PERS)),
        period(fields, log),
    )
}

pub(super) fn period(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Span> {
    fields
        .need("period", log, "`trip`, `day`, `week`, `season` or `year`")
        .and_then(|item| word(&item, log, "period", &SPANS))
}

/// Amounts for several sets of fungi; `None` if one of them could not be read.
pub(super) fn parts(items: &Item<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Vec<(Taxa, Amount)>> {
    let read: Vec<Option<(Taxa, Amount)>> = items
        .list(log)?
        .iter()
        .map(|item| {
            let mut fields = item.fields(log)?;
            let set = fields
                .need("taxa", log, "the id of a set of fungi")
                .and_then(|item| taxa(&item, log, ids.taxa));
            let amount = amount(&mut fields, log);
            fields.finish(log, "a part of a limit", &["taxa", "amount", "unit"]);
            Some((set?, amount?))
        })
        .collect();
    read.into_iter().collect()
}

pub(super) fn group_quota(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Provision> {
    let amount = amount(fields, log);
    let mut flag =
        |name: &str, log: &mut Log<'_>| fields.take(name).and_then(|item| item.flag(log)).unwrap_or(false);
    let (each, pooled) = (flag("each", log), flag("pooled", log));
    let more_than = fields.take("more_than").and_then(|item| item.whole(log, 1, 1000));
    let period = period(fields, log);
    let most = fields.take("at_most");
    let amount = amount?;
    let most = match most {
        Some(item) if !each => {
            log.refuse(
                "group-quota",
                &item,
                "`at_most` stands beside an amount that is not counted for each person",
                "`\"each\": true`",
                "without it `amount` is what the group may take together",
            );
            return None;
        }
        Some(item) => Some(amount_of(&item, log, amount.unit())?),
        None => None,
    };
    Some(Provision::GroupQuota {
        amount,
        each,
        most,
        more_than,
        pooled,
        period: period?,
    })
}

pub(super) fn distance(fields: &mut Fields<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Provision> {
    let near = match fields.take("near") {
        Some(item) => Some(zone_place(&item, log, ids)?),
        None => None,
    };
    let (keep, item) = match (fields.take("within"), fields.take("beyond")) {
        (Some(item), None) => (Keep::Within, item),
        (None, Some(item)) => (Keep::Beyond, item),
        (within, _) => {
            let found = if within.is_some() {
                "both `within` and `beyond` are given"
            } else {
                "neither `within` nor `beyond` is given"
            };
            log.refuse(
                "distance",
                fields.object(),
                found,
                "one of them, a whole number of metres",
                "",
            );
            return None;
        }
    };
    Some(Provision::Distance {
        metres: item.whole(log, 1, 10_000)?,
        keep,
        near,
    })
}

pub(super) fn min_size(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Provision> {
    let measure = fields
        .need("measure", log, "`cap`, `height` or `width`")
        .and_then(|item| word(&item, log, "measure", &MEASURES));
    let clumps_exempt = fields
        .take("clumps_exempt")
        .and_then(|item| item.flag(log))
        .unwrap_or(false);
    // A law may have it in words, such as the thumb of an adult.
    let size = match (fields.take("at_least"), fields.take("unit")) {
        (None, None) => None,
        (Some(size), Some(unit)) => {
            let unit = length_unit(&unit, log)?;
            Some(amount_of(&size, log, unit)?)
        }
        (size, _) => {
            let (there, lacks) = if size.is_some() {
                ("at_least", "unit")
            } else {
                ("unit", "at_least")
            };
            log.refuse(
                "missing-field",
                fields.object(),
                format!("`{lacks}` is missing"),
                format!("`{there}` together with `{lacks}`"),
                "leave both out if the law has the size in words",
            );
            return None;
        }
    };
    Some(Provision::MinSize {
        size,
        measure: measure?,
        clumps_exempt,
    })
}

pub(super) fn transport(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Provision> {
    let acts = fields
        .need("acts", log, "what is bound, such as `[\"carry\", \"own\"]`")
        .and_then(|item| word_list(&item, log, "acts", &ACTS));
    let proof = fields
        .take("proof")
        .and_then(|item| item.flag(log))
        .unwrap_or(false);
    let most = if fields.has("amount") || fields.has("unit") {
        let amount = amount(fields, log);
        let per = fields
            .need("per", log, "`person` or `group`")
            .and_then(|item| word(&item, log, "per", &PERS));
        Some((amount?, per?))
    } else {
        None
    };
    Some(Provision::Transport {
        most,
        acts: acts?,
        proof,
    })
}

/// Amounts above which a permit is needed.
pub(super) fn thresholds(item: &Item<'_>, log: &mut Log<'_>) -> Option<Vec<Threshold>> {
    let read: Vec<Option<Threshold>> = item
        .list(log)?
        .iter()
        .map(|item| {
            let mut fields = item.fields(log)?;
            let amount = amount(&mut fields, log);
            let period = period(&mut fields, log);
            fields.finish(log, "an amount with its time", &["amount", "unit", "period"]);
            Some(Threshold {
                amount: amount?,
                period: period?,
            })
        })
        .collect();
    not_empty(read.into_iter().collect::<Option<Vec<_>>>()?, item, log)
}
