//! How fast stands are assessed: a hundred thousand stands of five thousand profiles for a new day, and the profiles
//! themselves when a map is read. In goes a made-up map, out come times (`cargo bench --bench assess`). Beside them runs
//! what to compare them with: one pass over as many numbers as there are stands, and each stand assessed by itself.
//!
//! The budget for a new day is 50 ms on one core.

use std::fmt::Write as _;

use divan::Bencher;
use hostwood::assessment::Ground;
use hostwood::day::Day;
use hostwood::knowledge::Knowledge;
use hostwood::potential::{self, View};
use hostwood::rules::RuleBook;
use hostwood::standmap::{StandMap, read};
use hostwood::visit::Visit;

const STANDS: usize = 100_000;
const PROFILES: usize = 5_000;
const TREES: [&str; 10] = [
    "Picea abies",
    "Fagus sylvatica",
    "Quercus robur",
    "Pinus sylvestris",
    "Betula pendula",
    "Fraxinus excelsior",
    "Acer pseudoplatanus",
    "Alnus glutinosa",
    "Abies alba",
    "Larix decidua",
];
const MOISTURES: [&str; 4] = ["dry", "fresh", "moist", "wet"];

/// A grid of squares, each fiftieth part of a degree, whose facts go round five thousand times.
fn map() -> StandMap {
    let mut text = String::from("{\"type\":\"FeatureCollection\",\"features\":[\n");
    for stand in 0..STANDS {
        let profile = stand % PROFILES;
        let (west, south) = (
            10.0 + (stand % 400) as f64 * 0.002,
            47.0 + (stand / 400) as f64 * 0.002,
        );
        let (east, north) = (west + 0.0019, south + 0.0019);
        let share = 0.5 + 0.05 * (profile / 10 % 10) as f64;
        let separator = if stand == 0 { "" } else { ",\n" };
        write!(
            text,
            "{separator}{{\"type\":\"Feature\",\"properties\":{{\"id\":\"s{stand}\",\"trees\":[{{\"name\":\"{}\",\"share\":{share:.2}}},{{\"name\":\"{}\",\"share\":{:.2}}}],\"age\":{},\"basal_area\":{},\"moisture\":\"{}\",\"elevation\":{}}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[[{west:.4},{south:.4}],[{east:.4},{south:.4}],[{east:.4},{north:.4}],[{west:.4},{north:.4}],[{west:.4},{south:.4}]]]}}}}",
            TREES[profile % 10],
            TREES[(profile + 3) % 10],
            1.0 - share,
            10 + profile / 100,
            8 + profile % 40,
            MOISTURES[profile / 7 % 4],
            300 + stand % 900,
        )
        .expect("text takes text");
    }
    text += "]}";
    read(text.as_bytes(), None, Knowledge::shipped())
        .expect("a stand map")
        .map
}

fn ground() -> Ground {
    let knowledge = Knowledge::shipped();
    let mut ground = Ground::new(map(), knowledge);
    let book = include_bytes!("../../examples/region/eskenvar.rules.json");
    let book = RuleBook::read(book, &knowledge.fungi).expect("a rule book").book;
    ground.set_books(vec![book], 0);
    ground
}

/// Everything anew for another day: the potential of every profile, the answer of the law for every stand, and both
/// read for each stand. (The engine keeps the potential, since no day changes it: the season stands beside it. It is
/// worked out again here so that nothing of the job is left out.)
#[divan::bench(sample_count = 30)]
fn a_new_day(bencher: Bencher<'_, '_>) {
    let (ground, knowledge) = (ground(), Knowledge::shipped());
    println!(
        "{} stands, {} profiles",
        ground.map.stands.len(),
        ground.map.profiles.len()
    );
    let days = days();
    let mut turn = 0;
    bencher.bench_local(|| {
        turn += 1;
        let values: Vec<f64> = ground
            .map
            .profiles
            .iter()
            .map(|profile| {
                let potential = potential::assess(profile, knowledge);
                potential.roots.known().map_or(0.0, |value| value.value)
            })
            .collect();
        let assessment = ground.assess(&days[turn % days.len()]);
        let stands = ground.map.stands.iter().zip(0u32..);
        let sum: f64 = stands
            .map(|(stand, place)| values[stand.profile as usize] + f64::from(assessment.answer(place) as u8))
            .sum();
        divan::black_box(sum)
    });
}

/// The same as the engine does it: the potential is kept, the law is asked again.
#[divan::bench(sample_count = 30)]
fn a_new_day_with_the_potential_kept(bencher: Bencher<'_, '_>) {
    let (ground, days) = (ground(), days());
    let mut turn = 0;
    bencher.bench_local(|| {
        turn += 1;
        let assessment = ground.assess(&days[turn % days.len()]);
        let stands = ground.map.stands.iter().zip(0u32..);
        let sum: f64 = stands
            .map(|(stand, place)| {
                let value = ground.view(stand, View::Roots);
                value.known().map_or(0.0, |value| value.value) + f64::from(assessment.answer(place) as u8)
            })
            .sum();
        divan::black_box(sum)
    });
}

fn days() -> [Visit; 3] {
    ["2026-09-12", "2026-09-13", "2026-10-01"].map(|day| Visit::on(Day::parse(day).expect("a day")))
}

/// The potential of five thousand profiles, as when a map is read.
#[divan::bench(sample_count = 10)]
fn all_profiles(bencher: Bencher<'_, '_>) {
    let (map, knowledge) = (map(), Knowledge::shipped());
    bencher.bench_local(|| {
        map.profiles
            .iter()
            .map(|profile| potential::assess(profile, knowledge).reasons.len())
            .sum::<usize>()
    });
}

/// One pass over as many numbers as there are stands: no machine can answer for each stand in less.
#[divan::bench(sample_count = 30)]
fn one_pass_over_as_many_numbers(bencher: Bencher<'_, '_>) {
    let numbers: Vec<f64> = (0..STANDS).map(|stand| stand as f64).collect();
    bencher.bench_local(|| divan::black_box(&numbers).iter().sum::<f64>());
}

/// Each stand assessed by itself, as if no two had the same facts.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn each_stand_by_itself(bencher: Bencher<'_, '_>) {
    let (map, knowledge) = (map(), Knowledge::shipped());
    bencher.bench_local(|| {
        map.stands
            .iter()
            .map(|stand| {
                let profile = &map.profiles[stand.profile as usize];
                potential::assess(profile, knowledge).reasons.len()
            })
            .sum::<usize>()
    });
}

fn main() {
    divan::main();
}
