//! How long a new day takes the law. In go a made-up book of 200 rules with 100 zones by outline and 100 000 stands, many
//! of them cut by a zone; out come the times of working out the memberships, once when the book is read, and of all
//! answers for another day, which should stay under 200 ms; and the calendar and the verdict of one stand. Run with
//! `cargo bench --bench law`.

use std::collections::BTreeMap;
use std::hint::black_box;
use std::sync::LazyLock;

use divan::Bencher;
use geo::{MultiPolygon, polygon};
use hostwood::day::Day;
use hostwood::geometry::{LngLat, LngLatBox};
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Answer, Law, Membership, RuleBook, Subject, memberships};
use hostwood::stand::{Place, Standing};
use hostwood::units::{Absence, Elevation, Fact, Years};
use hostwood::visit::Visit;
use serde_json::{Value, json};

/// Stands along each side of a square of one degree.
const SIDE: u32 = 316;
const ZONES: u32 = 100;
const RULES: u32 = 200;

fn main() {
    let places = &*PLACES;
    println!(
        "{} stands, {} distinct sets of memberships",
        places.of_stand.len(),
        places.distinct.len()
    );
    divan::main();
}

static BOOK: LazyLock<RuleBook> = LazyLock::new(|| {
    let zones: Vec<Value> = (0..ZONES)
        .map(|zone| {
            // A wavy disc of fifty corners, its edge across many stands.
            let (east, north) = (14.05 + f64::from(zone % 10) * 0.1, 47.05 + f64::from(zone / 10) * 0.1);
            let mut ring: Vec<[f64; 2]> = (0..50)
                .map(|corner| {
                    let angle = f64::from(corner) / 50.0 * std::f64::consts::TAU;
                    let radius = 0.03 + 0.005 * (angle * 7.0).sin();
                    [east + radius * angle.cos(), north + radius * angle.sin()]
                })
                .collect();
            ring.push(ring[0]);
            json!({"id": format!("z{zone}"), "where": {"outline": {"type": "Polygon", "coordinates": [ring]}}})
        })
        .collect();
    let rules: Vec<Value> = (0..RULES)
        .map(|number| {
            let kind = ["quantity", "closed_days", "season", "permit", "hours", "container", "quantity", "closed_zone"]
                [(number % 8) as usize];
            let said = match kind {
                "quantity" => json!({"amount": format!("{}", 1 + number % 5), "unit": "kg", "per": "person", "period": "day"}),
                "closed_days" => json!({"days_of_month": "1-7"}),
                "season" => json!({"closed": {"from": "11-01", "to": "02-28"}}),
                "hours" => json!({"closed": {"from": "20:00", "to": "07:00"}}),
                "container" => json!({"required": ["rigid"]}),
                "permit" => json!({}),
                _ => json!({"forbids": ["collect"]}),
            };
            let mut rule = json!({"id": format!("r{number}"), "kind": kind, "text": {"en": "Words."}, "sources": ["act"]});
            rule[kind] = said;
            // The first rule holds everywhere, so that no stand is met by silence.
            if number > 0 {
                rule["where"] = json!([format!("z{}", number % ZONES)]);
            }
            if kind == "closed_zone" {
                rule["when"] = json!({"window": {"from": "09-01", "to": "10-31"}});
            }
            rule
        })
        .collect();
    let book = json!({
        "format": "hostwood-rules/1.0",
        "region": {"code": "XX-B", "names": {"en": "Vorrach"}, "time_zone": "Europe/Vienna",
            "area": {"type": "Polygon", "coordinates": [[[13, 46], [16, 46], [16, 49], [13, 49], [13, 46]]]}},
        "authority": {"name": {"en": "the forest office"}, "phone": "0"},
        "languages": ["en"], "checked": "2026-09-01",
        "sources": [{"id": "act", "title": "An act", "kind": "official"}],
        "zones": zones,
        "rules": rules,
    });
    match RuleBook::read(book.to_string().as_bytes(), &Knowledge::shipped().fungi) {
        Ok(read) => read.book,
        Err(mistakes) => panic!("{}", mistakes[0]),
    }
});

/// Each stand's set of memberships, as a place among the distinct ones.
struct Places {
    distinct: Vec<Vec<Membership>>,
    of_stand: Vec<usize>,
}

fn places() -> Places {
    let standing = Standing::default();
    let (age, elevation): (Fact<Years>, Fact<Elevation>) = (
        Fact::NotKnown(Absence::NotMapped),
        Fact::NotKnown(Absence::NotMapped),
    );
    let width = 1.0 / f64::from(SIDE);
    let mut known: BTreeMap<Vec<Membership>, usize> = BTreeMap::new();
    let mut places = Places {
        distinct: Vec::new(),
        of_stand: Vec::new(),
    };
    for stand in 0..SIDE * SIDE {
        let (west, south) = (
            14.0 + f64::from(stand % SIDE) * width,
            47.0 + f64::from(stand / SIDE) * width,
        );
        let (east, north) = (west + width, south + width);
        let outline = MultiPolygon::new(vec![polygon![
            (x: west, y: south), (x: east, y: south), (x: east, y: north), (x: west, y: north),
        ]]);
        let subject = Subject {
            outline: &outline,
            place: Some(Place {
                inside: LngLat {
                    lng: west + width / 2.0,
                    lat: south + width / 2.0,
                },
                bounds: LngLatBox {
                    west,
                    south,
                    east,
                    north,
                },
            }),
            age: &age,
            elevation: &elevation,
            standing: &standing,
        };
        let set = memberships([&*BOOK], &subject);
        let distinct = &mut places.distinct;
        let number = *known.entry(set).or_insert_with_key(|set| {
            distinct.push(set.clone());
            distinct.len() - 1
        });
        places.of_stand.push(number);
    }
    places
}

static PLACES: LazyLock<Places> = LazyLock::new(places);

/// Once, when the book is read.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn memberships_of_all_stands(bencher: Bencher<'_, '_>) {
    bencher.bench(|| black_box(places().of_stand.len()));
}

/// On each new day; September closes zones, so that rules differ from place to place.
#[divan::bench(args = ["2026-09-12", "2026-09-05", "2026-12-01"], sample_count = 20, sample_size = 1)]
fn answers_for_a_new_day(bencher: Bencher<'_, '_>, day: &str) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse(day).expect("a day"));
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        let answers: Vec<Answer> = places
            .distinct
            .iter()
            .map(|set| law.answer(&set.iter().collect::<Vec<_>>()))
            .collect();
        let of_stands: Vec<Answer> = places
            .of_stand
            .iter()
            .map(|number| answers.get(*number).copied().unwrap_or(Answer::NotKnown))
            .collect();
        black_box(of_stands.len())
    });
}

/// The calendar of one stand that a zone cuts: 365 days, most of them alike.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn the_year_of_a_stand(bencher: Bencher<'_, '_>) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
    let most = places
        .distinct
        .iter()
        .max_by_key(|set| touched(set))
        .expect("a stand");
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        black_box(
            hostwood::rules::year(&law, &most.iter().collect::<Vec<_>>())
                .1
                .len(),
        )
    });
}

/// The verdict of one stand with all its grounds, as a sheet shows it.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn the_verdict_of_a_stand(bencher: Bencher<'_, '_>) {
    let (places, book) = (&*PLACES, &*BOOK);
    let visit = Visit::on(Day::parse("2026-09-12").expect("a day"));
    let most = places
        .distinct
        .iter()
        .max_by_key(|set| touched(set))
        .expect("a stand");
    bencher.bench(|| {
        let law = Law::on(&[book], black_box(&visit));
        black_box(law.verdict(&most.iter().collect::<Vec<_>>()).answer)
    });
}

/// How many zones a stand lies in, wholly or in part.
fn touched(set: &[Membership]) -> usize {
    set.iter()
        .flat_map(|membership| &membership.zones)
        .filter(|part| part.greatest > 0)
        .count()
}
