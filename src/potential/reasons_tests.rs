//! What is said for and against a stand, in which order. Only tests use it.

use super::stands::stand;
use super::{Arg, Effect, Reason, Unit, View, assess};
use crate::knowledge::Knowledge;

fn number(value: f64, unit: Unit) -> String {
    let sign = if unit == Unit::Percent { "%" } else { "" };
    format!("{}{sign}", (value * 100.0).round() / 100.0)
}

fn arg(arg: &Arg) -> String {
    match arg {
        Arg::Number { value, unit } => number(*value, *unit),
        Arg::Range { low, high, unit } => format!("{}-{}", number(*low, *unit), number(*high, *unit)),
        Arg::Trees(genera) => genera
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("+"),
        Arg::Word(key) => (*key).to_owned(),
        Arg::Words(keys) => keys.join("+"),
        Arg::Text(text) => format!("“{text}”"),
    }
}

/// `+`, `-`, `?` for what a reason does, its key without `reason.`, its arguments, its source.
fn told(reason: &Reason) -> String {
    let sign = match reason.effect {
        Effect::Raises => '+',
        Effect::Lowers => '-',
        Effect::Widens => '?',
        Effect::Neutral => '=',
    };
    let args: Vec<String> = reason.args.iter().map(|(_, found)| arg(found)).collect();
    let key = reason.message.strip_prefix("reason.").unwrap_or(reason.message);
    format!("{sign} {key} ({}) {}", args.join(", "), reason.source)
}

fn reasons(text: &str, view: View) -> Vec<String> {
    let potential = assess(&stand(text), Knowledge::shipped());
    potential.reasons(view).map(told).collect()
}

#[test]
fn reasons_come_with_their_words_numbers_and_sources_the_weightiest_first() {
    for (text, view, expected) in [
        (
            "spruce 0.7, ash 0.2, aspen 0.1, 12 yr, 25 m2, acid, wet, N 11",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Picea, 70%) fungalroot",
                "- mixture.arbuscular (Fraxinus, 20%) fungalroot",
                "+ mixture.dual (Populus, 10%) fungalroot",
                "- moisture.wet (moisture.wet) ohenoja_1974",
                "- age.young (12) tahvanainen_2016",
                "- nitrogen.high (11, 5.5) lilleskov_2019",
                "+ basal_area.full (25) bonet_2008",
                "+ soil.favourable (soil.acid) design",
            ],
        ),
        (
            "oak 0.4, broadleaf 0.3, SB 0.1, age ?, cover 0.2..0.4",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Quercus, 40%) fungalroot",
                "? mixture.group (group.broadleaf, 30%) fungalroot",
                "? mixture.unnamed (20%) design",
                "? mixture.unresolved (“SB”, 10%) design",
                "- canopy.open (20%-40%) design",
                "? age.missing () tahvanainen_2016",
            ],
        ),
        (
            "beech 1, under hazel 0.5, under elder 0.5, 160 yr, 50 m2, calcareous",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Fagus, 100%) fungalroot",
                "+ layer.understorey (Corylus, 50%) fungalroot",
                "- basal_area.dense (50) bonet_2008",
                "- soil.less (soil.calcareous) design",
                "? age.old (160, 100) tahvanainen_2016",
                "+ age.grown (160) tahvanainen_2016",
            ],
        ),
        (
            "oak 0.6, spruce 0.4, inconsistent, 10..40 yr, 10..20 m2",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Quercus+Picea, 100%) fungalroot",
                "? mixture.inconsistent () design",
                "? age.perhaps_young (10-40) tahvanainen_2016",
                "? basal_area.open_or_dense (10-20) bonet_2008",
            ],
        ),
        (
            "under hazel 1",
            View::Roots,
            vec![
                "? mixture.canopy_not_told () design",
                "+ layer.understorey (Corylus, 100%) fungalroot",
            ],
        ),
        (
            "SB 0.5, Felled 0.5, 12 yr",
            View::Roots,
            vec![
                "? trees.not_known (“SB, Felled”) design",
                "- age.young (12) tahvanainen_2016",
            ],
        ),
        (
            "oak 1, 12 yr, dry, facing south, rich, N 45, felled 12 ago",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Quercus, 100%) fungalroot",
                "- nitrogen.high (45, 15) lilleskov_2019",
                "- disturbance.felled (12) smith_2002",
                "- moisture.dry (moisture.dry) design",
                "= age.young (12) tahvanainen_2016",
                "= aspect.counted (aspect.south) bonet_2008",
                "= nutrients.counted (nutrients.rich) stojek_2022",
            ],
        ),
        (
            "oak 1, fresh, facing south, poor, N 4, burnt ? ago",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Quercus, 100%) fungalroot",
                "? disturbance.when () franco_manchon_2019",
                "- nutrients.poor (nutrients.poor) design",
                "? aspect.sunny (aspect.south) bonet_2008",
                "+ moisture.fresh (moisture.fresh) design",
                "+ nitrogen.low (4, 15) lilleskov_2019",
            ],
        ),
        ("", View::Roots, vec!["? trees.not_told () design"]),
        (
            "ash 1, deadwood 20, dry",
            View::Wood,
            vec![
                "- deadwood.volume (20) design",
                "- decay_moisture.dry (moisture.dry) design",
            ],
        ),
        (
            "ash 1, edge, moist",
            View::Litter,
            vec![
                "+ setting.open (setting.edge) design",
                "+ decay_moisture.damp (moisture.moist) design",
            ],
        ),
        (
            "ash 1, closed, moisture ?",
            View::Litter,
            vec![
                "- setting.closed_forest () design",
                "? moisture.missing () design",
            ],
        ),
        ("ash 1, fresh", View::Wood, vec![]),
        (
            "fir or spruce 1, moist",
            View::Roots,
            vec![
                "+ mixture.ectomycorrhizal (Abies+Picea, 100%) fungalroot",
                "= moisture.moist (moisture.moist) design",
            ],
        ),
        (
            "ash 1, deadwood some, fresh",
            View::Wood,
            vec![
                "- deadwood.some () design",
                "= decay_moisture.damp (moisture.fresh) design",
            ],
        ),
    ] {
        assert_eq!(reasons(text, view), expected, "{text}");
    }
}
