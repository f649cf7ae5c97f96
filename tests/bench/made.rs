//! What the benches of the law and of growth are run on: a rule book and stands, made up.
//!
//! In go numbers of rules, zones and stands, out come a book that was read and the memberships of the stands. Taking
//! times is left to the benches.

use std::collections::BTreeMap;

use geo::{MultiPolygon, polygon};
use hostwood::geometry::{LngLat, LngLatBox};
use hostwood::knowledge::Knowledge;
use hostwood::rules::{Membership, RuleBook, Subject, Survey};
use hostwood::stand::{Place, Standing};
use hostwood::units::{Absence, Elevation, Fact, Years};
use serde_json::{Value, json};

/// A book of so many rules and zones by outline, in turns of eight kinds.
pub(crate) fn book(zone_count: u32, rule_count: u32) -> RuleBook {
    let zones: Vec<Value> = (0..zone_count)
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
    let rules: Vec<Value> = (0..rule_count)
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
                rule["where"] = json!([format!("z{}", number % zone_count)]);
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
}

/// Each stand's set of memberships, as a place among the distinct ones.
pub(crate) struct Places {
    /// The distinct ones.
    pub(crate) distinct: Vec<Vec<Membership>>,
    /// Of each stand.
    pub(crate) of_stand: Vec<usize>,
}

/// The memberships of squares in rows, so many along each side of a square of one degree.
pub(crate) fn places(book: &RuleBook, side: u32) -> Places {
    let standing = Standing::default();
    let (age, elevation): (Fact<Years>, Fact<Elevation>) = (
        Fact::NotKnown(Absence::NotMapped),
        Fact::NotKnown(Absence::NotMapped),
    );
    let width = 1.0 / f64::from(side);
    let mut known: BTreeMap<Vec<Membership>, usize> = BTreeMap::new();
    let mut places = Places {
        distinct: Vec::new(),
        of_stand: Vec::new(),
    };
    let mut survey = Survey::of([book]);
    for stand in 0..side * side {
        let (west, south) = (
            14.0 + f64::from(stand % side) * width,
            47.0 + f64::from(stand / side) * width,
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
        let set = survey.memberships(&subject);
        let distinct = &mut places.distinct;
        let number = *known.entry(set).or_insert_with_key(|set| {
            distinct.push(set.clone());
            distinct.len() - 1
        });
        places.of_stand.push(number);
    }
    places
}
