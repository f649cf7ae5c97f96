//! How much each fact moves a stand's value. In goes a directory, out come a table (`sensitivity.csv`) and a drawing
//! (`sensitivity.svg`): over some hundred made-up stands of everyday kinds, each fact is moved over its whole range while
//! the others stay, and the distance from the least to the greatest value is told.
//!
//! ```text
//! cargo run --example sensitivity -- OUTDIR
//! ```

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use hostwood::knowledge::Knowledge;
use hostwood::names::ScientificName;
use hostwood::potential::assess;
use hostwood::stand::{Aspect, Disturbance, Layer, Member, Moisture, Nutrients, Profile, SoilReaction, Tree};
use hostwood::units::{BasalArea, Fact, NitrogenLoad, Share, Years};

/// Mixtures as inventories of the middle and the north have them: names with hundredths.
const MIXTURES: [&[(&str, u32)]; 12] = [
    &[("Picea abies", 100)],
    &[("Picea abies", 70), ("Fagus sylvatica", 30)],
    &[("Pinus sylvestris", 85), ("Betula pendula", 15)],
    &[("Pinus sylvestris", 60), ("Quercus robur", 40)],
    &[("Fagus sylvatica", 90), ("Acer pseudoplatanus", 10)],
    &[("Quercus petraea", 60), ("Carpinus betulus", 40)],
    &[("Fraxinus excelsior", 60), ("Acer pseudoplatanus", 40)],
    &[
        ("Fraxinus excelsior", 50),
        ("Quercus robur", 20),
        ("Alnus glutinosa", 30),
    ],
    &[("Alnus glutinosa", 100)],
    &[("Populus tremula", 70), ("Betula pendula", 30)],
    &[("Larix decidua", 60), ("Acer pseudoplatanus", 40)],
    &[("Abies alba", 40), ("Picea abies", 35), ("Fagus sylvatica", 25)],
];
const AGES: [f64; 5] = [8.0, 18.0, 35.0, 70.0, 120.0];
const AREAS: [f64; 5] = [6.0, 14.0, 26.0, 38.0, 50.0];
const SITES: [(SoilReaction, Moisture, Nutrients); 5] = [
    (SoilReaction::Acid, Moisture::Dry, Nutrients::Poor),
    (SoilReaction::Acid, Moisture::Fresh, Nutrients::Medium),
    (SoilReaction::WeaklyAcid, Moisture::Moist, Nutrients::Medium),
    (SoilReaction::Neutral, Moisture::Fresh, Nutrients::Rich),
    (SoilReaction::Calcareous, Moisture::Wet, Nutrients::Rich),
];

/// One fact and the values it is moved over.
type Moved = (&'static str, Vec<Box<dyn Fn(&mut Profile)>>);

fn main() -> ExitCode {
    let Some(folder) = std::env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("no directory was named; write: cargo run --example sensitivity -- OUTDIR");
        return ExitCode::from(2);
    };
    let rows = measure();
    match write_files(&folder, &rows) {
        Ok(()) => ExitCode::SUCCESS,
        Err((file, error)) => {
            eprintln!("`{}` could not be written: {error}", file.display());
            ExitCode::FAILURE
        }
    }
}

/// What moving one fact does over all stands: distances of the value, 0 to 100.
struct Row {
    fact: &'static str,
    least: f64,
    median: f64,
    greatest: f64,
    mean: f64,
}

fn measure() -> Vec<Row> {
    let knowledge = Knowledge::shipped();
    let stands = stands();
    let mut rows: Vec<Row> = facts()
        .into_iter()
        .map(|(fact, settings)| {
            let mut distances: Vec<f64> = stands
                .iter()
                .map(|stand| {
                    let values = settings.iter().filter_map(|set| {
                        let mut moved = stand.clone();
                        set(&mut moved);
                        assess(&moved, knowledge).roots.known().map(|value| value.value)
                    });
                    let (least, greatest) = values.fold((100.0f64, 0.0f64), |(least, greatest), value| {
                        (least.min(value), greatest.max(value))
                    });
                    greatest - least
                })
                .collect();
            distances.sort_by(f64::total_cmp);
            Row {
                fact,
                least: distances[0],
                median: distances[distances.len() / 2],
                greatest: distances[distances.len() - 1],
                mean: distances.iter().sum::<f64>() / distances.len() as f64,
            }
        })
        .collect();
    rows.sort_by(|a, b| b.mean.total_cmp(&a.mean));
    rows
}

/// Each mixture at each age with a density and a site that go round: three hundred stands.
fn stands() -> Vec<Profile> {
    let mut stands = Vec::new();
    for (place, mixture) in MIXTURES.iter().enumerate() {
        for (step, age) in AGES.iter().enumerate() {
            for turn in 0..5 {
                let (soil, moisture, nutrients) = SITES[(place + turn) % SITES.len()];
                let mut stand = Profile {
                    age: Fact::Known(Years::new(*age).expect("an age")),
                    basal_area: Fact::Known(
                        BasalArea::new(AREAS[(step + turn) % AREAS.len()]).expect("an area"),
                    ),
                    soil_reaction: Fact::Known(soil),
                    moisture: Fact::Known(moisture),
                    nutrients: Fact::Known(nutrients),
                    nitrogen: Fact::Known(NitrogenLoad::new(4.0 + 4.0 * turn as f64).expect("a load")),
                    aspect: Fact::Known([Aspect::Flat, Aspect::North, Aspect::South][(place + step) % 3]),
                    disturbance: Fact::Known(Disturbance::None),
                    ..Profile::default()
                };
                Arc::make_mut(&mut stand.mixture).members =
                    mixture.iter().map(|(name, part)| member(name, *part)).collect();
                stands.push(stand);
            }
        }
    }
    stands
}

fn member(name: &str, hundredths: u32) -> Member {
    Member {
        tree: ScientificName::parse(name).map_or(Tree::Unresolved, Tree::Named),
        share: Fact::Known(Share::new(f64::from(hundredths) / 100.0).expect("a share")),
        layer: Layer::Canopy,
        raw: name.to_owned(),
    }
}

/// What sets one fact of a stand to one value.
type Set = Box<dyn Fn(&mut Profile)>;

fn facts() -> Vec<Moved> {
    fn each<T: Copy + 'static>(values: &[T], set: fn(&mut Profile, T)) -> Vec<Set> {
        values
            .iter()
            .map(|value| {
                let value = *value;
                Box::new(move |stand: &mut Profile| set(stand, value)) as Set
            })
            .collect()
    }
    let parts: Vec<u32> = (0..=100).step_by(5).collect();
    let years: Vec<f64> = (0..=160).step_by(4).map(f64::from).collect();
    let areas: Vec<f64> = (0..=64).step_by(2).map(f64::from).collect();
    let loads: Vec<f64> = (0..=48).step_by(2).map(f64::from).collect();
    vec![
        (
            "share of hosts",
            each(&parts, |stand, part| {
                Arc::make_mut(&mut stand.mixture).members = vec![
                    member("Quercus robur", part),
                    member("Acer campestre", 100 - part),
                ];
            }),
        ),
        (
            "age",
            each(&years, |stand, years| {
                stand.age = Fact::Known(Years::new(years).expect("an age"))
            }),
        ),
        (
            "basal area",
            each(&areas, |stand, area| {
                stand.basal_area = Fact::Known(BasalArea::new(area).expect("an area"));
            }),
        ),
        (
            "soil",
            each(
                &[
                    SoilReaction::Acid,
                    SoilReaction::WeaklyAcid,
                    SoilReaction::Neutral,
                    SoilReaction::Calcareous,
                ],
                |stand, soil| stand.soil_reaction = Fact::Known(soil),
            ),
        ),
        (
            "moisture",
            each(
                &[Moisture::Dry, Moisture::Fresh, Moisture::Moist, Moisture::Wet],
                |stand, moisture| stand.moisture = Fact::Known(moisture),
            ),
        ),
        (
            "nitrogen",
            each(&loads, |stand, load| {
                stand.nitrogen = Fact::Known(NitrogenLoad::new(load).expect("a load"));
            }),
        ),
        (
            "richness",
            each(
                &[Nutrients::Poor, Nutrients::Medium, Nutrients::Rich],
                |stand, nutrients| stand.nutrients = Fact::Known(nutrients),
            ),
        ),
        (
            "side of the hill",
            each(&[Aspect::North, Aspect::East, Aspect::South], |stand, aspect| {
                stand.aspect = Fact::Known(aspect);
            }),
        ),
        (
            "years since fire",
            each(&years, |stand, years| {
                stand.disturbance = Fact::Known(Disturbance::Burnt);
                stand.since = Fact::Known(Years::new(years).expect("years"));
            }),
        ),
    ]
}

fn write_files(folder: &Path, rows: &[Row]) -> Result<(), (PathBuf, std::io::Error)> {
    std::fs::create_dir_all(folder).map_err(|error| (folder.to_owned(), error))?;
    for (name, content) in [
        ("sensitivity.csv", table(rows)),
        ("sensitivity.svg", drawing(rows)),
    ] {
        let file = folder.join(name);
        std::fs::write(&file, content).map_err(|error| (file, error))?;
    }
    Ok(())
}

fn table(rows: &[Row]) -> String {
    rows.iter()
        .fold("fact,least,median,mean,greatest\n".to_owned(), |table, row| {
            table
                + &format!(
                    "{},{:.1},{:.1},{:.1},{:.1}\n",
                    row.fact, row.least, row.median, row.mean, row.greatest
                )
        })
}

/// A bar from the least to the greatest distance for each fact, with a mark at the mean.
fn drawing(rows: &[Row]) -> String {
    let (left, width, height) = (130.0, 520.0, 24.0);
    let x = |value: f64| left + value / 100.0 * (width - left - 20.0);
    let whole = height * rows.len() as f64 + 50.0;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {whole}\" font-family=\"sans-serif\" font-size=\"12\">\n<title>How far each fact moves the value of a stand, 0 to 100</title>\n"
    );
    for tick in [0.0, 25.0, 50.0, 75.0, 100.0] {
        writeln!(
            svg,
            "<line x1=\"{0:.1}\" x2=\"{0:.1}\" y1=\"10\" y2=\"{1:.1}\" stroke=\"#999\" stroke-width=\"0.5\"/>\n<text x=\"{0:.1}\" y=\"{2:.1}\" text-anchor=\"middle\">{tick}</text>",
            x(tick),
            whole - 32.0,
            whole - 16.0
        )
        .expect("text takes text");
    }
    for (place, row) in rows.iter().enumerate() {
        let middle = 22.0 + height * place as f64;
        let (least, mean, greatest) = (x(row.least), x(row.mean), x(row.greatest));
        writeln!(
            svg,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n<rect x=\"{least:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"12\" fill=\"#8a3512\" fill-opacity=\"0.45\"/>\n<line x1=\"{mean:.1}\" x2=\"{mean:.1}\" y1=\"{:.1}\" y2=\"{:.1}\" stroke=\"#28241c\" stroke-width=\"2\"/>",
            left - 8.0,
            middle + 4.0,
            row.fact,
            middle - 6.0,
            greatest - least,
            middle - 8.0,
            middle + 8.0,
        )
        .expect("text takes text");
    }
    svg + "</svg>\n"
}
