//! What each kind of rule says: the object that is named for the kind. In goes the object, out comes a [`Provision`] or
//! the mistakes in it; what all rules have in common is left to `rules`.

use crate::order::Gather;
use std::collections::BTreeSet;

use super::super::document::{Fields, Item, Log};
use super::super::kind::{
    Act, BadContainer, Consent, Counted, Duties, Forbids, Form, GroupKind, Handling, Kind, Material,
    MinorQuota, Provision, Quality, Quota, Stage, Tool,
};
use super::amounts::{amount, fraction, length};
use super::quotas::{counted, distance, group_quota, min_size, parts, thresholds, transport};
use super::rules::{Ids, who};
use super::times::{day_set, hour_windows, openness};
use super::words::{day, link, not_empty, taxa, texts, word, word_list, year_windows};
use crate::names::RuleId;

pub(super) const ACTS: [(&str, Act); 5] = [
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
pub(super) const TOOLS: [(&str, Tool); 9] = [
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
pub(super) const HANDLINGS: [(&str, Handling); 7] = [
    ("clean_on_the_spot", Handling::CleanOnTheSpot),
    ("keep_whole", Handling::KeepWhole),
    ("halve", Handling::Halve),
    ("cut", Handling::Cut),
    ("take_whole", Handling::TakeWhole),
    ("close_the_hole", Handling::CloseTheHole),
    ("process", Handling::Process),
];

const COUNTS: [(&str, Counted); 4] = [
    ("pieces", Counted::Pieces),
    ("pieces_of_each_kind", Counted::PiecesOfEachKind),
    ("kinds", Counted::Kinds),
    ("days", Counted::Days),
];
const STAGES: [(&str, Stage); 4] = [
    ("closed_egg", Stage::ClosedEgg),
    ("too_young", Stage::TooYoung),
    ("over_ripe", Stage::OverRipe),
    ("maggoty", Stage::Maggoty),
];
const GROUPS: [(&str, GroupKind); 4] = [
    ("family", GroupKind::Family),
    ("school", GroupKind::School),
    ("club", GroupKind::Club),
    ("course", GroupKind::Course),
];
const QUOTAS: [(&str, MinorQuota); 3] = [
    ("own", MinorQuota::Own),
    ("shared", MinorQuota::Shared),
    ("not_stated", MinorQuota::NotStated),
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
        Kind::Knowledge => Some(Provision::Knowledge),
        Kind::EventBan => Some(Provision::EventBan),
        Kind::Destruction | Kind::Vehicle => Some(Provision::Duties(Duties::default())),
        Kind::AllowList => Some(Provision::AllowList),
        // What is announced elsewhere needs no list of days here.
        Kind::Suspension if fields.is_none() => Some(Provision::Suspension {
            announced: BTreeSet::new(),
            known_until: None,
            link: None,
        }),
        _ => None,
    };
    if let Some(provision) = silent {
        if let Some(fields) = fields {
            fields.finish(log, &object_of(kind), &[]);
        }
        return Some(provision);
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
pub(in crate::rules) fn fields_of(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Quantity => &["amount", "unit", "per", "period"],
        Kind::SubLimit => &["of", "taxa", "amount", "unit"],
        Kind::SideBySide => &["parts", "per", "period"],
        Kind::Alternative => &["parts", "per", "period"],
        Kind::Count => &["most", "counts", "per", "period"],
        Kind::FractionLeft => &["leave"],
        Kind::OverweightException => &["trigger", "alone", "adds"],
        Kind::GroupQuota => &[
            "amount",
            "unit",
            "each",
            "at_most",
            "more_than",
            "pooled",
            "period",
        ],
        Kind::GroupSize => &["largest", "except"],
        Kind::ClosedDays => &["days_of_month", "weekdays", "parity", "dates"],
        Kind::Hours => &["open", "closed", "acts"],
        Kind::Season => &["open", "closed"],
        Kind::Distance => &["within", "beyond", "near"],
        Kind::ClosedZone => &["forbids"],
        Kind::ProtectedTaxon => &["forbids"],
        Kind::MinSize => &["at_least", "unit", "measure", "clumps_exempt"],
        Kind::Container => &["required", "forbidden", "most", "largest"],
        Kind::Tool => &["forbidden", "only", "carrying", "blade_below"],
        Kind::Transport => &["amount", "unit", "per", "acts", "proof"],
        Kind::Method | Kind::Processing => &["must", "must_not"],
        Kind::LifeStage => &["forbidden"],
        Kind::Permit => &["issuer", "link", "price", "where", "above"],
        Kind::OwnerConsent => &["consent"],
        Kind::WhoMay => &["only"],
        Kind::Suspension => &["announced", "known_until", "link"],
        Kind::Minor => &["below", "quota"],
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
        Kind::SideBySide | Kind::Alternative => {
            let (per, period) = counted(fields, log);
            let items = fields.need("parts", log, "a list of amounts, each with its `taxa`")?;
            let parts = parts(&items, log, ids);
            let (parts, per, period) = (not_empty(parts?, &items, log)?, per?, period?);
            Some(if kind == Kind::SideBySide {
                Provision::SideBySide { parts, per, period }
            } else {
                Provision::Alternative { parts, per, period }
            })
        }
        Kind::Count => {
            let most = fields
                .need("most", log, "a whole number")
                .and_then(|item| item.whole(log, 0, 100_000));
            let counts = fields
                .need("counts", log, "what is counted, such as `pieces`")
                .and_then(|item| word(&item, log, "counts", &COUNTS));
            let (per, period) = counted(fields, log);
            Some(Provision::Count {
                most: most?,
                counts: counts?,
                per: per?,
                period: period?,
            })
        }
        Kind::FractionLeft => {
            let (parts, of) = fields
                .need("leave", log, "the share that stays, such as `1/3`")
                .and_then(|item| fraction(&item, log))?;
            Some(Provision::FractionLeft { parts, of })
        }
        Kind::GroupQuota => group_quota(fields, log),
        Kind::OverweightException => {
            let triggers = [("specimen", false), ("clump", true)];
            let trigger = fields
                .need("trigger", log, "`specimen`, `clump` or a list of both")
                .and_then(|item| {
                    if item.is_list() {
                        word_list(&item, log, "trigger", &triggers)
                    } else {
                        word(&item, log, "trigger", &triggers).map(|clump| vec![clump])
                    }
                });
            let alone = fields
                .need("alone", log, "whether it must be the whole harvest")
                .and_then(|item| item.flag(log));
            let adds = fields
                .take("adds")
                .and_then(|item| item.flag(log))
                .unwrap_or(false);
            let trigger = trigger?;
            Some(Provision::OverweightException {
                specimen: trigger.contains(&false),
                clump: trigger.contains(&true),
                alone: alone?,
                adds,
            })
        }
        Kind::GroupSize => {
            let largest = fields
                .need("largest", log, "a number of persons")
                .and_then(|item| item.whole(log, 1, 1000));
            let except = fields
                .take("except")
                .and_then(|item| word_list(&item, log, "group", &GROUPS))
                .unwrap_or_default();
            Some(Provision::GroupSize {
                largest: largest?,
                except,
            })
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
        Kind::Hours => {
            let acts = fields
                .take("acts")
                .and_then(|item| word_list(&item, log, "acts", &ACTS))
                .unwrap_or_default();
            let openness = openness(fields, log, hour_windows)?;
            Some(Provision::Hours { openness, acts })
        }
        Kind::Distance => distance(fields, log, ids),
        Kind::MinSize => min_size(fields, log),
        Kind::Transport => transport(fields, log),
        Kind::WhoMay => {
            let items = fields.need("only", log, "a list of who may, such as `[{\"resident\": true}]`")?;
            let only = items
                .list(log)?
                .iter()
                .map(|item| who(item, log, ids.languages))
                .collect::<Option<Vec<_>>>();
            Some(Provision::WhoMay {
                only: not_empty(only?, &items, log)?,
            })
        }
        Kind::Suspension => {
            let announced = match fields.take("announced") {
                Some(item) => item
                    .list(log)?
                    .iter()
                    .filter_map(|item| day(item, log))
                    .into_set(),
                None => BTreeSet::new(),
            };
            let known_until = fields.take("known_until").and_then(|item| day(&item, log));
            let link = fields.take("link").and_then(|item| link(&item, log));
            Some(Provision::Suspension {
                announced,
                known_until,
                link,
            })
        }
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
            let blade_below = fields
                .take("blade_below")
                .and_then(|item| length(&item, log, "a blade"));
            let silent = forbidden.is_empty() && only.is_none() && blade_below.is_none();
            if silent && log.errors() == before {
                log.refuse(
                    "missing-field",
                    fields.object(),
                    "no tool is named",
                    "`forbidden`, `only` or `blade_below`",
                    "",
                );
            }
            Some(Provision::Tool {
                forbidden,
                only,
                carrying,
                blade_below,
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
            let forbidden = fields
                .need("forbidden", log, "the stages that stay")
                .and_then(|item| word_list(&item, log, "life-stage", &STAGES));
            Some(Provision::LifeStage {
                forbidden: forbidden?,
            })
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
            let above = match fields.take("above") {
                Some(item) => thresholds(&item, log)?,
                None => Vec::new(),
            };
            Some(Provision::Permit {
                issuer,
                link,
                price,
                where_to_get,
                above,
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
            let quota = fields
                .take("quota")
                .and_then(|item| word(&item, log, "quota", &QUOTAS))
                .unwrap_or(MinorQuota::NotStated);
            Some(Provision::Minor { below: below?, quota })
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
    let forbidden = match fields.take("forbidden") {
        Some(item) => containers(&item, log, "a forbidden container")?,
        None => Vec::new(),
    };
    let most = fields.take("most").and_then(|item| item.whole(log, 1, 100));
    let largest = match fields.take("largest").map(|item| item.fields(log)) {
        Some(Some(mut fields)) => {
            let size = amount(&mut fields, log);
            fields.finish(log, "the size of a container", &["amount", "unit"]);
            size
        }
        _ => None,
    };
    let silent = required.is_empty() && forbidden.is_empty() && most.is_none() && largest.is_none();
    if silent && log.errors() == before {
        log.refuse(
            "missing-field",
            fields.object(),
            "nothing is said about the container",
            "`required`, `forbidden`, `most` or `largest`",
            "",
        );
    }
    Some(Provision::Container {
        required,
        forbidden,
        most,
        largest,
    })
}

/// A list of containers, each told by what it is made of, what it is like, and whether it has openings.
pub(super) fn containers(item: &Item<'_>, log: &mut Log<'_>, what: &str) -> Option<Vec<BadContainer>> {
    let mut containers = Vec::new();
    for item in &item.list(log)? {
        let before = log.errors();
        let mut fields = item.fields(log)?;
        let container = BadContainer {
            material: fields
                .take("material")
                .and_then(|item| word(&item, log, "material", &MATERIALS)),
            form: fields
                .take("form")
                .and_then(|item| word(&item, log, "form", &FORMS)),
            closed: fields.take("closed").and_then(|item| item.flag(log)),
        };
        if container == BadContainer::default() && log.errors() == before {
            log.refuse(
                "container",
                fields.object(),
                "an entry that would mean every container",
                "`material`, `form` or `closed`",
                "",
            );
        }
        fields.finish(log, what, &["material", "form", "closed"]);
        containers.push(container);
    }
    Some(containers)
}
