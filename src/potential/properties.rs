//! What must hold for every stand, whatever grows there. Only tests use it.

use std::sync::Arc;

use proptest::prelude::*;

use super::kinds;
use super::stands::{empty, tree};
use super::{Potential, Step, Value, View, ViewValue, assess, values};
use crate::knowledge::{Knowledge, Tables};
use crate::pile::Pile;
use crate::stand::{
    Aspect, Climate, Deadwood, Disturbance, Layer, Member, Mixture, Moisture, Nutrients, Profile, Setting,
    ShareState, SoilReaction, Tree,
};
use crate::units::{Absence, BasalArea, Fact, NitrogenLoad, Share, WoodVolume, Years};

fn share(percent: u32) -> Share {
    Share::new(f64::from(percent) / 100.0).expect("a share")
}

/// Hosts, others, dual trees, heath, a genus nobody knows, groups, a word nobody can read.
const TREES: [&str; 14] = [
    "oak",
    "spruce",
    "birch",
    "pine",
    "ash",
    "maple",
    "aspen",
    "alder",
    "heather",
    "Cyclocarya",
    "genus Dalbergia",
    "broadleaf",
    "fir or spruce",
    "SB",
];

fn member(name: &str, share: Fact<Share>, layer: Layer) -> Member {
    Member {
        tree: tree(name),
        share,
        layer,
        raw: name.to_owned(),
    }
}

/// Members in whole hundredths that add up to at most one.
fn members(layer: Layer) -> impl Strategy<Value = Vec<Member>> {
    proptest::collection::vec((0..TREES.len(), 1..=100u32), 1..5).prop_map(move |parts| {
        let mut left = 100;
        let mut members = Vec::new();
        for (place, percent) in parts {
            let percent = percent.min(left);
            if percent == 0 {
                break;
            }
            left -= percent;
            members.push(member(TREES[place], Fact::Known(share(percent)), layer));
        }
        members
    })
}

fn mixture() -> impl Strategy<Value = Mixture> {
    let below = prop_oneof![3 => Just(Vec::new()), 1 => members(Layer::Understorey)];
    (members(Layer::Canopy), below).prop_map(|(mut members, below)| {
        members.extend(below);
        Mixture {
            members,
            shares: ShareState::Sound,
        }
    })
}

/// A fact that is not mapped, missing, known, or a range.
fn fact<T: Clone + std::fmt::Debug + PartialOrd + 'static>(
    values: impl Strategy<Value = T> + Clone + 'static,
) -> impl Strategy<Value = Fact<T>> {
    let range = (values.clone(), values.clone()).prop_map(|(a, b)| {
        let (low, high) = if a <= b { (a, b) } else { (b, a) };
        Fact::Within { low, high, mid: None }
    });
    prop_oneof![
        1 => Just(Fact::NotKnown(Absence::NotMapped)),
        1 => Just(empty()),
        3 => values.prop_map(Fact::Known),
        1 => range,
    ]
}

fn years() -> impl Strategy<Value = Years> + Clone {
    (0..200u32).prop_map(|years| Years::new(f64::from(years)).expect("an age"))
}

fn basal_area() -> impl Strategy<Value = BasalArea> + Clone {
    (0..80u32).prop_map(|area| BasalArea::new(f64::from(area)).expect("an area"))
}

fn cover() -> impl Strategy<Value = Share> + Clone {
    (0..=100u32).prop_map(share)
}

fn load() -> impl Strategy<Value = NitrogenLoad> + Clone {
    (0..60u32).prop_map(|load| NitrogenLoad::new(f64::from(load)).expect("a load"))
}

fn soil() -> impl Strategy<Value = SoilReaction> + Clone {
    proptest::sample::select(vec![
        SoilReaction::Acid,
        SoilReaction::WeaklyAcid,
        SoilReaction::Neutral,
        SoilReaction::Calcareous,
    ])
}

fn moisture() -> impl Strategy<Value = Moisture> + Clone {
    proptest::sample::select(vec![
        Moisture::Dry,
        Moisture::Fresh,
        Moisture::Moist,
        Moisture::Wet,
    ])
}

fn nutrients() -> impl Strategy<Value = Nutrients> + Clone {
    proptest::sample::select(vec![Nutrients::Poor, Nutrients::Medium, Nutrients::Rich])
}

fn aspect() -> impl Strategy<Value = Aspect> + Clone {
    proptest::sample::select(vec![Aspect::North, Aspect::West, Aspect::South, Aspect::Flat])
}

fn event() -> impl Strategy<Value = Disturbance> + Clone {
    proptest::sample::select(vec![
        Disturbance::None,
        Disturbance::Felled,
        Disturbance::Burnt,
        Disturbance::Windthrown,
    ])
}

/// A fact that is not mapped, known, or told by a word nobody can read.
fn one<T: Clone + std::fmt::Debug + 'static>(
    values: impl Strategy<Value = T> + 'static,
) -> impl Strategy<Value = Fact<T>> {
    prop_oneof![
        1 => Just(Fact::NotKnown(Absence::NotMapped)),
        1 => Just(Fact::NotKnown(Absence::Illegal("?".to_owned()))),
        2 => values.prop_map(Fact::Known),
    ]
}

fn deadwood() -> impl Strategy<Value = Fact<Deadwood>> {
    let volume = |volume: u32| Deadwood::Volume(WoodVolume::new(f64::from(volume)).expect("a volume"));
    prop_oneof![
        Just(Fact::NotKnown(Absence::NotMapped)),
        Just(empty()),
        proptest::sample::select(vec![
            Deadwood::None,
            Deadwood::Little,
            Deadwood::Some,
            Deadwood::Much
        ])
        .prop_map(Fact::Known),
        (0..90u32).prop_map(move |amount| Fact::Known(volume(amount))),
    ]
}

fn setting() -> impl Strategy<Value = Fact<Vec<Setting>>> {
    let all = vec![
        Setting::Edge,
        Setting::Clearing,
        Setting::Grassland,
        Setting::Park,
        Setting::Hedge,
        Setting::Burnt,
        Setting::Felled,
    ];
    prop_oneof![
        Just(Fact::NotKnown(Absence::NotMapped)),
        Just(empty()),
        proptest::sample::subsequence(all, 0..4).prop_map(Fact::Known),
    ]
}

prop_compose! {
    fn profile()(
        mixture in mixture(),
        age in fact(years()),
        basal_area in fact(basal_area()),
        canopy in fact(cover()),
        soil_reaction in fact(soil()),
        moisture in fact(moisture()),
        nitrogen in fact(load()),
        deadwood in deadwood(),
        setting in setting(),
        (nutrients, aspect, disturbance, since) in (fact(nutrients()), one(aspect()), one(event()), fact(years())),
    ) -> Profile {
        Profile {
            mixture: Arc::new(mixture), age, basal_area, canopy, soil_reaction, moisture, nitrogen, deadwood, setting,
            nutrients, aspect, disturbance, since,
            ..Profile::default()
        }
    }
}

fn potential(profile: &Profile) -> Potential {
    assess(profile, Knowledge::shipped())
}

fn roots(profile: &Profile) -> Option<Value> {
    potential(profile).roots.known().copied()
}

/// Room for the last digit of rounding.
const DUST: f64 = 1e-6;

fn inside(inner: &ViewValue, outer: &ViewValue) -> Result<(), TestCaseError> {
    if let (Some(inner), Some(outer)) = (inner.known(), outer.known()) {
        prop_assert!(
            outer.low <= inner.low + DUST && inner.high <= outer.high + DUST,
            "{inner:?} lies outside {outer:?}"
        );
    }
    Ok(())
}

/// Fills a missing cell; a cell that is told or not mapped stays.
fn fill<T: Clone>(fact: &mut Fact<T>, value: T) {
    if matches!(fact, Fact::NotKnown(_)) && !fact.is_not_mapped() {
        *fact = Fact::Known(value);
    }
}

/// Names a tree for what the layer leaves unnamed.
fn name_the_rest(mixture: &mut Mixture, layer: Layer, name: &str) {
    let named: u32 = mixture
        .members
        .iter()
        .filter(|member| member.layer == layer)
        .filter_map(|member| member.share.known())
        .map(|share| (share.get() * 100.0).round() as u32)
        .sum();
    // A rest of one hundredth counts as none, so naming it says nothing new.
    if named < 99 {
        let rest = Fact::Known(share(100 - named));
        mixture.members.push(member(name, rest, layer));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_a_missing_cell_turns_out_to_be_the_range_held_it(
        before in profile(),
        (age, area, soil, moisture, load) in (years(), basal_area(), soil(), moisture(), load()),
        which in 0..1024u32,
        rest in 0..11usize,
        wood in 0..90u32,
        (nutrients, aspect, event, since) in (nutrients(), aspect(), event(), years()),
    ) {
        let mut after = before.clone();
        if which & 1 != 0 { fill(&mut after.age, age); }
        // Canopy cover stands in where basal area is missing; only without it does the cell count as missing.
        if which & 2 != 0 && after.canopy.bounds().is_none() { fill(&mut after.basal_area, area); }
        if which & 4 != 0 { fill(&mut after.soil_reaction, soil); }
        if which & 8 != 0 { fill(&mut after.moisture, moisture); }
        if which & 16 != 0 { fill(&mut after.nitrogen, load); }
        if which & 32 != 0 { name_the_rest(after.trees(), Layer::Canopy, TREES[rest]); }
        if which & 64 != 0 { fill(&mut after.nutrients, nutrients); }
        if which & 128 != 0 { fill(&mut after.aspect, aspect); }
        if which & 256 != 0 { fill(&mut after.since, since); }
        if which & 512 != 0 {
            fill(&mut after.disturbance, event);
            // An event without its year takes whatever year it has.
            fill(&mut after.since, since);
        }
        fill(&mut after.deadwood, Deadwood::Volume(WoodVolume::new(f64::from(wood)).expect("a volume")));
        fill(&mut after.setting, vec![Setting::Edge]);
        let (before, after) = (potential(&before), potential(&after));
        for view in View::ALL {
            inside(after.view(view), before.view(view))?;
        }
    }

    /// The way of a whole map and the way of one stand lead to the same.
    #[test]
    fn many_profiles_come_to_what_each_comes_to_by_itself(profiles in prop::collection::vec(profile(), 1..6)) {
        // Every mixture stands under every site, too.
        let crossed: Pile<Profile> = profiles
            .iter()
            .flat_map(|site| {
                profiles.iter().map(|trees| Profile { mixture: Arc::clone(&trees.mixture), ..site.clone() })
            })
            .collect();
        let each: Vec<_> = crossed
            .iter()
            .map(|profile| {
                let potential = potential(profile);
                View::ALL.map(|view| *potential.view(view))
            })
            .collect();
        prop_assert_eq!(values(&crossed, Knowledge::shipped()), each);
    }

    #[test]
    fn whichever_tree_of_a_group_it_turns_out_to_be_the_range_held_it(before in profile(), pick in 0..50usize) {
        let mut after = before.clone();
        for member in &mut after.trees().members {
            if let Tree::AnyOf { genera, .. } = &member.tree
                && let Some(genus) = genera.get(pick % genera.len())
            {
                member.tree = tree(genus.as_str());
            }
        }
        inside(&potential(&after).roots, &potential(&before).roots)?;
    }

    #[test]
    fn a_told_value_lies_within_its_class(before in profile(), at in 0.0..=1.0f64) {
        let mut after = before.clone();
        if let Fact::Within { low, high, .. } = before.age {
            let years = low.get() + at * (high.get() - low.get());
            after.age = Fact::Known(Years::new(years).expect("an age"));
        }
        if let Fact::Within { low, high, .. } = before.basal_area {
            let area = low.get() + at * (high.get() - low.get());
            after.basal_area = Fact::Known(BasalArea::new(area).expect("an area"));
        }
        if let Fact::Within { low, high, .. } = before.nitrogen {
            let load = low.get() + at * (high.get() - low.get());
            after.nitrogen = Fact::Known(NitrogenLoad::new(load).expect("a load"));
        }
        inside(&potential(&after).roots, &potential(&before).roots)?;
    }

    #[test]
    fn ends_and_middle_are_in_order_and_bounded(profile in profile()) {
        let potential = potential(&profile);
        for view in View::ALL {
            if let Some(value) = potential.view(view).known() {
                let mid = value.mid.unwrap_or(value.value);
                prop_assert!(
                    0.0 <= value.low && value.low <= mid && mid <= value.high && value.high <= 100.0,
                    "{value:?}"
                );
                prop_assert_eq!(value.step == Step::Bare, value.high == 0.0, "{:?}", value);
            }
        }
        for reason in &potential.reasons {
            prop_assert!(
                0.0 <= reason.low && reason.low <= reason.high && reason.high <= 1.0 + DUST,
                "{reason:?}"
            );
            prop_assert!(super::KEYS.contains(&reason.message), "{reason:?}");
            prop_assert!(Knowledge::shipped().sources.get(&reason.source).is_some(), "{reason:?}");
        }
    }

    #[test]
    fn more_of_a_host_in_place_of_others_never_lowers(profile in profile(), percent in 0..100u32) {
        let stand = |hosts: u32| {
            let mut stand = profile.clone();
            stand.trees().members = vec![
                member("oak", Fact::Known(share(hosts)), Layer::Canopy),
                member("maple", Fact::Known(share(100 - hosts)), Layer::Canopy),
            ];
            roots(&stand).expect("trees are known")
        };
        let (less, more) = (stand(percent), stand(percent + 1));
        prop_assert!(less.low <= more.low && less.mid <= more.mid && less.high <= more.high, "{less:?} {more:?}");
    }

    #[test]
    fn age_never_lowers_the_middle_and_the_high_end(profile in profile(), young in 0..300u32, years in 1..100u32) {
        let at = |years: u32| {
            let mut stand = profile.clone();
            stand.age = Fact::Known(Years::new(f64::from(years)).expect("an age"));
            roots(&stand)
        };
        if let (Some(less), Some(more)) = (at(young), at(young + years)) {
            prop_assert!(less.mid <= more.mid && less.high <= more.high, "{less:?} {more:?}");
            // The low end drops once, above a hundred years.
            if young + years <= 100 {
                prop_assert!(less.low <= more.low, "{less:?} {more:?}");
            }
        }
    }

    #[test]
    fn density_raises_up_to_35_and_lowers_beyond(profile in profile(), area in 0..80u32) {
        let at = |area: u32| {
            let mut stand = profile.clone();
            stand.basal_area = Fact::Known(BasalArea::new(f64::from(area)).expect("an area"));
            roots(&stand)
        };
        if let (Some(less), Some(more)) = (at(area), at(area + 1)) {
            let (lower, upper) = if area < 35 { (less, more) } else { (more, less) };
            prop_assert!(lower.low <= upper.low && lower.mid <= upper.mid && lower.high <= upper.high);
        }
    }

    #[test]
    fn nitrogen_dryness_and_wetness_never_raise(profile in profile(), load in 0..80u32) {
        let at = |change: &dyn Fn(&mut Profile)| {
            let mut stand = profile.clone();
            change(&mut stand);
            roots(&stand)
        };
        let nitrogen = |load: u32| at(&|stand| {
            stand.nitrogen = Fact::Known(NitrogenLoad::new(f64::from(load)).expect("a load"));
        });
        let moisture = |moisture: Moisture| at(&|stand| stand.moisture = Fact::Known(moisture));
        let fresh = moisture(Moisture::Fresh);
        for (better, worse) in [
            (nitrogen(load), nitrogen(load + 1)),
            (fresh, moisture(Moisture::Dry)),
            (fresh, moisture(Moisture::Wet)),
        ] {
            if let (Some(better), Some(worse)) = (better, worse) {
                // A middle may be there for one and not for the other, where it is open which critical load counts.
                let middles = worse.mid.zip(better.mid).is_none_or(|(worse, better)| worse <= better);
                prop_assert!(
                    worse.low <= better.low && middles && worse.high <= better.high,
                    "{better:?} {worse:?}"
                );
            }
        }
    }

    #[test]
    fn years_since_an_event_never_lower_and_no_event_is_best(profile in profile(), years in 0..60u32, event in event()) {
        let at = |event: Disturbance, years: u32| {
            let mut stand = profile.clone();
            stand.disturbance = Fact::Known(event);
            stand.since = Fact::Known(Years::new(f64::from(years)).expect("years"));
            roots(&stand)
        };
        let none = at(Disturbance::None, 0);
        if let (Some(less), Some(more), Some(none)) = (at(event, years), at(event, years + 1), none) {
            prop_assert!(less.low <= more.low && less.mid <= more.mid && less.high <= more.high, "{less:?} {more:?}");
            prop_assert!(more.low <= none.low && more.high <= none.high, "{more:?} {none:?}");
        }
    }

    #[test]
    fn a_sunny_side_never_raises_and_a_second_word_never_counts_twice(profile in profile()) {
        let with = |change: &dyn Fn(&mut Profile)| {
            let mut stand = profile.clone();
            change(&mut stand);
            roots(&stand)
        };
        let (north, south) = (
            with(&|stand| stand.aspect = Fact::Known(Aspect::North)),
            with(&|stand| stand.aspect = Fact::Known(Aspect::South)),
        );
        if let (Some(north), Some(south)) = (north, south) {
            prop_assert!(south.low <= north.low && south.high <= north.high, "{south:?} {north:?}");
        }
        // On dry ground the side of the hill says nothing more; under heavy nitrogen a rich site says nothing more.
        for side in [Aspect::South, Aspect::North] {
            let dry = with(&|stand| stand.moisture = Fact::Known(Moisture::Dry));
            let both = with(&|stand| {
                stand.moisture = Fact::Known(Moisture::Dry);
                stand.aspect = Fact::Known(side);
            });
            let lone = with(&|stand| {
                stand.moisture = Fact::Known(Moisture::Dry);
                stand.aspect = Fact::default();
            });
            prop_assert_eq!(both, lone);
            prop_assert_eq!(dry.is_some(), both.is_some());
        }
    }

    #[test]
    fn the_order_and_splitting_of_rows_change_nothing(profile in profile(), turn in 0..5usize, split in 0..5usize) {
        let before = potential(&profile);
        let mut turned = profile.clone();
        let count = turned.mixture.members.len();
        turned.trees().members.rotate_left(turn % count);
        let place = split % count;
        if let Fact::Known(whole) = turned.mixture.members[place].share {
            let half = Fact::Known(Share::new(whole.get() / 2.0).expect("a share"));
            turned.trees().members[place].share = half;
            let other = turned.mixture.members[place].clone();
            turned.trees().members.push(other);
        }
        let after = potential(&turned);
        for view in View::ALL {
            prop_assert_eq!(before.view(view), after.view(view));
        }
        // A few kinds stand for all: of one host, of many, of dead wood, of none.
        for kind in Knowledge::shipped().fungi.kinds().iter().step_by(30) {
            prop_assert_eq!(
                kinds::suits(&profile, kind, Knowledge::shipped()),
                kinds::suits(&turned, kind, Knowledge::shipped()),
                "{}", kind.id
            );
        }
    }

    #[test]
    fn trees_without_partners_that_fruit_give_exactly_nothing(profile in profile(), percent in 1..=100u32) {
        let mut stand = profile;
        stand.trees().members = ["ash", "maple", "elm"]
            .into_iter()
            .zip([percent, 100 - percent, 0])
            .map(|(name, percent)| member(name, Fact::Known(share(percent)), Layer::Canopy))
            .collect();
        let value = roots(&stand).expect("trees are known");
        prop_assert_eq!((value.low, value.mid.unwrap_or(0.0), value.high), (0.0, 0.0, 0.0));
        prop_assert_eq!(value.step, Step::Bare);
    }

}

proptest! {
    // Each case walks the whole table of kinds.
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_kind_reaches_more_than_its_stand(profile in profile(), month in 1..=12u8, climate in 0..5usize) {
        let knowledge = Knowledge::shipped();
        let climates = [
            Climate::Temperate, Climate::Boreal, Climate::Mediterranean, Climate::NaWest, Climate::NaEast,
        ];
        let potential = potential(&profile);
        let here = kinds::here(&profile, &potential, climates[climate], month, knowledge);
        for found in here.in_season.iter().chain(&here.poisonous) {
            prop_assert!((0.0..=1.0).contains(&found.suits), "{found:?}");
            let kind = knowledge.fungi.kind(&found.kind).expect("a kind of the table");
            let value = potential.view(kind.guild.view()).known();
            match (found.up_to, value) {
                (Some(up_to), Some(value)) => {
                    prop_assert!(up_to <= value.high + DUST, "{found:?} above {value:?}");
                    // Where all is told, it stays below the very value that colours.
                    if value.low == value.high {
                        prop_assert!(up_to <= value.value + DUST, "{found:?} above {value:?}");
                    }
                }
                (None, None) => {}
                other => prop_assert!(false, "{other:?}"),
            }
        }
        for shown in &here.in_season {
            let kind = knowledge.fungi.kind(&shown.kind).expect("a kind of the table");
            prop_assert!(!kind.is_poisonous() && !shown.out_of_season && shown.suits > 0.0);
            for double in &kind.dangerous_lookalikes {
                let grows_here = knowledge.fungi.kind(double).is_some_and(|kind| kind.months(climates[climate]).is_some());
                let warned = here.poisonous.iter().any(|other| other.kind == *double && other.taken_for.contains(&shown.kind));
                prop_assert_eq!(grows_here, warned, "{} is taken for {}", double, shown.kind);
            }
        }
    }
}

#[test]
fn a_trace_of_a_host_is_neither_nothing_nor_a_broken_number() {
    let mut stand = Profile::default();
    stand.trees().members = vec![
        member(
            "birch",
            Fact::Known(Share::new(1e-9).expect("a share")),
            Layer::Canopy,
        ),
        member(
            "maple",
            Fact::Known(Share::new(1.0 - 1e-9).expect("a share")),
            Layer::Canopy,
        ),
    ];
    let value = roots(&stand).expect("trees are known");
    assert!(value.value.is_finite() && value.value > 0.0, "{value:?}");
    assert_eq!(value.step, Step::Slight);
}

#[test]
fn the_table_of_fungi_colours_no_stand() {
    // The same stands with half the table of fungi, with none, and with all: the values stay.
    let halved = |keep: usize| {
        let mut kept = 0;
        let mut lines = Tables::SHIPPED.fungi.lines();
        let mut text = lines.next().unwrap_or_default().to_owned() + "\n";
        let mut ids = Vec::new();
        for line in lines {
            kept += 1;
            if kept % 2 == keep {
                let (id, rest) = line.split_once(',').expect("an id");
                ids.push(id.to_owned());
                text += &format!("{id},{rest}\n");
            }
        }
        (text, ids)
    };
    for keep in [0, 1, 2] {
        let (fungi, ids) = halved(keep);
        // Doubles and rows of other tables that point at a dropped kind go with it.
        let only = |table: &str| -> String {
            let mut lines = table.lines();
            let head = lines.next().unwrap_or_default().to_owned() + "\n";
            lines
                .filter(|line| ids.iter().any(|id| line.starts_with(&format!("{id},"))))
                .fold(head, |text, line| text + line + "\n")
        };
        let fungi = without_doubles(&fungi);
        let (hosts, checked) = (only(Tables::SHIPPED.hosts), only(Tables::SHIPPED.checked));
        let poisons = only(Tables::SHIPPED.poisons);
        let (synonyms, names) = (
            only(Tables::SHIPPED.fungi_synonyms),
            only(Tables::SHIPPED.fungi_names),
        );
        let tables = Tables {
            fungi: &fungi,
            hosts: &hosts,
            checked: &checked,
            poisons: &poisons,
            fungi_synonyms: &synonyms,
            fungi_names: &names,
            ..Tables::SHIPPED
        };
        let fewer = Knowledge::read(&tables).expect("a sound table");
        assert!(fewer.fungi.kinds().len() < Knowledge::shipped().fungi.kinds().len());
        for name in TREES {
            for percent in [5, 40, 100] {
                let mut stand = Profile::default();
                stand.trees().members = vec![member(name, Fact::Known(share(percent)), Layer::Canopy)];
                let (all, some) = (assess(&stand, Knowledge::shipped()), assess(&stand, &fewer));
                assert_eq!(all, some, "{name} {percent}");
            }
        }
    }
}

/// The fungi table with its column of doubles emptied.
fn without_doubles(fungi: &str) -> String {
    let mut reader = csv::Reader::from_reader(fungi.as_bytes());
    let head = reader.headers().expect("a header").clone();
    let place = head
        .iter()
        .position(|name| name == "dangerous_lookalikes")
        .expect("the column");
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&head).expect("a header");
    for record in reader.records() {
        let record = record.expect("a row");
        let cells = record
            .iter()
            .enumerate()
            .map(|(at, cell)| if at == place { "" } else { cell });
        writer.write_record(cells).expect("a row");
    }
    String::from_utf8(writer.into_inner().expect("bytes")).expect("text")
}
