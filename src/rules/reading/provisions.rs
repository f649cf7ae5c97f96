//! What each kind of rule says: the object that is named for the kind.

use super::super::document::{Fields, Item, Log};
use super::super::kind::{
    Act, BadContainer, Consent, Duties, Forbids, Form, Handling, Kind, Material, Per, Provision, Quality,
    Quota, Span, Tool,
};
use super::amounts::amount;
use super::rules::Ids;
use super::times::{day_set, hour_windows, openness};
use super::words::{link, not_empty, taxa, texts, word, word_list, year_windows};
use crate::names::RuleId;

const PERS: [(&str, Per); 2] = [("person", Per::Person), ("group", Per::Group)];
const SPANS: [(&str, Span); 5] = [
    ("trip", Span::Trip),
    ("day", Span::Day),
    ("week", Span::Week),
    ("season", Span::Season),
    ("year", Span::Year),
];
const ACTS: [(&str, Act); 5] = [
    ("collect", Act::Collect),
    ("own", Act::Own),
    ("carry", Act::Carry),
    ("sell", Act::Sell),
    ("harm", Act::Harm),
];
const MATERIALS: [(&str, Material); 8] = [
    ("wicker", Material::Wicker),
    ("wood", Material::Wood),
    ("cardboard", Material::Cardboard),
    ("paper", Material::Paper),
    ("cloth", Material::Cloth),
    ("net", Material::Net),
    ("metal", Material::Metal),
    ("plastic", Material::Plastic),
];
const FORMS: [(&str, Form); 5] = [
    ("basket", Form::Basket),
    ("bag", Form::Bag),
    ("box", Form::Box),
    ("bucket", Form::Bucket),
    ("backpack", Form::Backpack),
];
const TOOLS: [(&str, Tool); 9] = [
    ("rake", Tool::Rake),
    ("hook", Tool::Hook),
    ("hoe", Tool::Hoe),
    ("shovel", Tool::Shovel),
    ("trowel", Tool::Trowel),
    ("fork", Tool::Fork),
    ("stick", Tool::Stick),
    ("knife", Tool::Knife),
    ("scissors", Tool::Scissors),
];
const HANDLINGS: [(&str, Handling); 7] = [
    ("clean_on_the_spot", Handling::CleanOnTheSpot),
    ("keep_whole", Handling::KeepWhole),
    ("halve", Handling::Halve),
    ("cut", Handling::Cut),
    ("take_whole", Handling::TakeWhole),
    ("close_the_hole", Handling::CloseTheHole),
    ("process", Handling::Process),
];

/// Reads what a rule of this kind says. Kinds that say nothing beyond their words need no object.
pub(super) fn provision(
    kind: Kind,
    said: Option<&Item<'_>>,
    rule: &Fields<'_>,
    log: &mut Log<'_>,
    ids: &Ids<'_>,
) -> Option<Provision> {
    let fields = match said {
        Some(item) => Some(item.fields_below(log)?),
        None => None,
    };
    let silent = match kind {
        Kind::Unlimited => Some(Provision::Unlimited),
        Kind::Qualitative => Some(Provision::Qualitative),
        Kind::Exemption => Some(Provision::Exemption),
        Kind::Tolerance => Some(Provision::Tolerance),
        Kind::NoRule => Some(Provision::NoRule),
        Kind::Advice => Some(Provision::Advice),
        Kind::Penalty => Some(Provision::Penalty),
        Kind::Knowledge | Kind::Destruction | Kind::Vehicle | Kind::EventBan => {
            Some(Provision::Duties(Duties::default()))
        }
        Kind::Suspension => Some(Provision::Unweighed),
        _ => None,
    };
    if let Some(provision) = silent {
        if let Some(fields) = fields {
            fields.finish(log, &object_of(kind), &[]);
        }
        return Some(provision);
    }
    // Kinds that are shown and not weighed keep their object unread: it may say what cannot be told here.
    if !is_weighed(kind) {
        return Some(Provision::Unweighed);
    }
    let Some(mut fields) = fields else {
        log.refuse(
            "missing-field",
            rule.object(),
            format!("`{}` is missing", kind.word()),
            "an object that says what the rule asks",
            "",
        );
        return None;
    };
    let read = weighed(kind, &mut fields, log, ids);
    fields.finish(log, &object_of(kind), fields_of(kind));
    read
}

fn is_weighed(kind: Kind) -> bool {
    !fields_of(kind).is_empty()
}

fn object_of(kind: Kind) -> String {
    let word = kind.word();
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {word} rule")
}

/// The fields of the object of each weighed kind.
fn fields_of(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Quantity => &["amount", "unit", "per", "period"],
        Kind::SubLimit => &["of", "taxa", "amount", "unit"],
        Kind::SideBySide => &["parts", "per", "period"],
        Kind::OverweightException => &["trigger", "alone"],
        Kind::GroupSize => &["largest"],
        Kind::ClosedDays => &["days_of_month", "weekdays", "parity", "dates"],
        Kind::Hours | Kind::Season => &["open", "closed"],
        Kind::ClosedZone => &["forbids"],
        Kind::ProtectedTaxon => &["forbids"],
        Kind::Container => &["required", "forbidden"],
        Kind::Tool => &["forbidden", "only", "carrying"],
        Kind::Method | Kind::Processing => &["must", "must_not"],
        Kind::LifeStage => &["forbidden"],
        Kind::Permit => &["issuer", "link", "price", "where"],
        Kind::OwnerConsent => &["consent"],
        Kind::Minor => &["below"],
        Kind::Purpose => &["only"],
        _ => &[],
    }
}

fn weighed(kind: Kind, fields: &mut Fields<'_>, log: &mut Log<'_>, ids: &Ids<'_>) -> Option<Provision> {
    let before = log.errors();
    match kind {
        Kind::Quantity => {
            let amount = amount(fields, log);
            let (per, period) = counted(fields, log);
            Some(Provision::Quantity(Quota {
                amount: amount?,
                per: per?,
                period: period?,
            }))
        }
        Kind::SubLimit => {
            let of = fields
                .need("of", log, "the id of the limit it is a part of")
                .and_then(|item| item.text(log));
            let set = fields
                .need("taxa", log, "the id of a set of fungi")
                .and_then(|item| taxa(&item, log, ids.taxa));
            let amount = amount(fields, log);
            Some(Provision::SubLimit {
                of: RuleId::new(of?),
                taxa: set?,
                amount: amount?,
            })
        }
        Kind::SideBySide => {
            let (per, period) = counted(fields, log);
            let items = fields.need("parts", log, "a list of amounts, each with its `taxa`")?;
            let parts = items
                .list(log)?
                .iter()
                .filter_map(|item| {
                    let mut fields = item.fields(log)?;
                    let set = fields
                        .need("taxa", log, "the id of a set of fungi")
                        .and_then(|item| taxa(&item, log, ids.taxa));
                    let amount = amount(&mut fields, log);
                    fields.finish(log, "a part of a limit", &["taxa", "amount", "unit"]);
                    Some((set?, amount?))
                })
                .collect();
            Some(Provision::SideBySide {
                parts: not_empty(parts, &items, log)?,
                per: per?,
                period: period?,
            })
        }
        Kind::OverweightException => {
            let trigger = fields
                .need("trigger", log, "`specimen` or `clump`")
                .and_then(|item| word(&item, log, "trigger", &[("specimen", false), ("clump", true)]));
            let alone = fields
                .need("alone", log, "whether it must be the whole harvest")
                .and_then(|item| item.flag(log));
            Some(Provision::OverweightException {
                alone: alone?,
                clump: trigger?,
            })
        }
        Kind::GroupSize => {
            let largest = fields
                .need("largest", log, "a number of persons")
                .and_then(|item| item.whole(log, 1, 1000));
            Some(Provision::GroupSize { largest: largest? })
        }
        Kind::ClosedDays => {
            let days = day_set(fields, log);
            if days.is_none() && log.errors() == before {
                log.refuse(
                    "missing-field",
                    fields.object(),
                    "no days are named",
                    "`days_of_month`, `weekdays`, `parity` or `dates`",
                    "",
                );
            }
            Some(Provision::ClosedDays(days?))
        }
        Kind::Season => openness(fields, log, year_windows).map(Provision::Season),
        Kind::Hours => openness(fields, log, hour_windows).map(Provision::Hours),
        Kind::ClosedZone => {
            let forbids = fields
                .need("forbids", log, "`collect`, `enter` or both")
                .and_then(|item| {
                    word_list(
                        &item,
                        log,
                        "forbids",
                        &[("collect", Forbids::Collect), ("enter", Forbids::Enter)],
                    )
                });
            Some(Provision::ClosedZone { forbids: forbids? })
        }
        Kind::ProtectedTaxon => {
            let forbids = fields
                .need("forbids", log, "what is forbidden, such as `[\"collect\"]`")
                .and_then(|item| word_list(&item, log, "forbids", &ACTS));
            Some(Provision::ProtectedTaxon { forbids: forbids? })
        }
        Kind::Container => container(fields, log),
        Kind::Tool => {
            let forbidden = fields
                .take("forbidden")
                .and_then(|item| word_list(&item, log, "tool", &TOOLS))
                .unwrap_or_default();
            let only = match fields.take("only") {
                // An empty list is meant: no tool at all.
                Some(item) if item.list(log)?.is_empty() => Some(Vec::new()),
                Some(item) => Some(word_list(&item, log, "tool", &TOOLS)?),
                None => None,
            };
            let carrying = fields
                .take("carrying")
                .and_then(|item| item.flag(log))
                .unwrap_or(false);
            if forbidden.is_empty() && only.is_none() && log.errors() == before {
                log.refuse(
                    "missing-field",
                    fields.object(),
                    "no tool is named",
                    "`forbidden` or `only`",
                    "",
                );
            }
            Some(Provision::Tool {
                forbidden,
                only,
                carrying,
            })
        }
        Kind::Method | Kind::Processing => {
            let must = fields
                .take("must")
                .and_then(|item| word_list(&item, log, "handling", &HANDLINGS))
                .unwrap_or_default();
            let must_not = fields
                .take("must_not")
                .and_then(|item| word_list(&item, log, "handling", &HANDLINGS))
                .unwrap_or_default();
            if must.is_empty() && must_not.is_empty() && log.errors() == before {
                log.refuse(
                    "missing-field",
                    fields.object(),
                    "nothing is asked",
                    "`must` or `must_not`",
                    "",
                );
            }
            Some(Provision::Duties(Duties { must, must_not }))
        }
        Kind::LifeStage => {
            let stages = [
                ("closed_egg", 0),
                ("too_young", 1),
                ("over_ripe", 2),
                ("maggoty", 3),
            ];
            fields
                .need("forbidden", log, "the stages that stay")
                .and_then(|item| word_list(&item, log, "life-stage", &stages))?;
            Some(Provision::Duties(Duties::default()))
        }
        Kind::Permit => {
            let issuer = fields
                .take("issuer")
                .and_then(|item| texts(&item, log, ids.languages));
            let where_to_get = fields
                .take("where")
                .and_then(|item| texts(&item, log, ids.languages));
            let link = fields.take("link").and_then(|item| link(&item, log));
            let price = fields
                .take("price")
                .and_then(|item| item.text(log).map(str::to_owned));
            Some(Provision::Permit {
                issuer,
                link,
                price,
                where_to_get,
            })
        }
        Kind::OwnerConsent => {
            let consents = [
                ("needed", Consent::Needed),
                ("until_a_sign", Consent::UntilASign),
                ("presumed", Consent::Presumed),
            ];
            let consent = fields
                .need("consent", log, "`needed`, `until_a_sign` or `presumed`")
                .and_then(|item| word(&item, log, "consent", &consents));
            Some(Provision::OwnerConsent { consent: consent? })
        }
        Kind::Minor => {
            let below = fields
                .need("below", log, "an age in years")
                .and_then(|item| item.whole(log, 1, 30));
            Some(Provision::Minor { below: below? })
        }
        Kind::Purpose => {
            fields
                .need("only", log, "`own_use`")
                .and_then(|item| word(&item, log, "purpose", &[("own_use", ())]))?;
            Some(Provision::Purpose { own_use_only: true })
        }
        _ => None,
    }
}

fn counted(fields: &mut Fields<'_>, log: &mut Log<'_>) -> (Option<Per>, Option<Span>) {
    (
        fields
            .need("per", log, "`person` or `group`")
            .and_then(|item| word(&item, log, "per", &PERS)),
        fields
            .need("period", log, "`trip`, `day`, `week`, `season` or `year`")
            .and_then(|item| word(&item, log, "period", &SPANS)),
    )
}

fn container(fields: &mut Fields<'_>, log: &mut Log<'_>) -> Option<Provision> {
    let before = log.errors();
    let qualities = [
        ("rigid", Quality::Rigid),
        ("perforated", Quality::Perforated),
        ("open", Quality::Open),
    ];
    let required = fields
        .take("required")
        .and_then(|item| word_list(&item, log, "container", &qualities))
        .unwrap_or_default();
    let mut forbidden = Vec::new();
    if let Some(item) = fields.take("forbidden") {
        for item in &item.list(log)? {
            let before = log.errors();
            let mut fields = item.fields(log)?;
            let bad = BadContainer {
                material: fields
                    .take("material")
                    .and_then(|item| word(&item, log, "material", &MATERIALS)),
                form: fields
                    .take("form")
                    .and_then(|item| word(&item, log, "form", &FORMS)),
                closed: fields.take("closed").and_then(|item| item.flag(log)),
            };
            if bad == BadContainer::default() && log.errors() == before {
                log.refuse(
                    "container",
                    fields.object(),
                    "an entry that would forbid every container",
                    "`material`, `form` or `closed`",
                    "",
                );
            }
            fields.finish(log, "a forbidden container", &["material", "form", "closed"]);
            forbidden.push(bad);
        }
    }
    if required.is_empty() && forbidden.is_empty() && log.errors() == before {
        log.refuse(
            "missing-field",
            fields.object(),
            "nothing is said about the container",
            "`required` or `forbidden`",
            "",
        );
    }
    Some(Provision::Container { required, forbidden })
}
