//! Conditions that rules of real acts carry, one after the other: when, for whom, in which company, what for, where, after
//! which harvest, with which gear; and the kinds of rules that are duties of conduct. How each act was read stands beside
//! it; none was held against the text in force.

use serde_json::{Value, json};

use super::asks::{Ask, act, bare, limits, table, under_the_sun, verdict, why};
use super::{standing_of, subject};
use crate::rules::Answer::{Breach, Closed, Limits, Need, NotKnown};
use crate::rules::BasketFact;
use crate::stand::AttributeValue;

fn daily(amount: &str) -> Value {
    json!({"id": "daily", "kind": "quantity", "quantity": {"amount": amount, "unit": "kg", "per": "person", "period": "day"}})
}

/// Okanogan-Wenatchee National Forest, 1 May to 31 July 2023, read in the press: up to 5 gallons free with an information
/// sheet carried, more with a paid permit. What weighs kilograms may be any number of gallons.
#[test]
fn a_harvest_decides_which_rule_holds() {
    let forest = act(
        "US-WA",
        "forest notice of 2023",
        json!({"rules": [
            {"id": "sheet", "kind": "transport", "harvest": {"at_most": [{"amount": "5", "unit": "gal_us"}]},
                "transport": {"acts": ["carry"], "proof": true}},
            {"id": "paid", "kind": "permit", "harvest": {"more_than": [{"amount": "5", "unit": "gal_us"}]}, "permit": {}},
        ]}),
    );
    let rows = [
        ("2023-06-01 | who !permit", NotKnown),
        (
            "2023-06-01 | who !permit | basket 5 gal_us Morchella americana",
            Limits,
        ),
        (
            "2023-06-01 | who !permit | basket 5.1 gal_us Morchella americana",
            Need,
        ),
        (
            "2023-06-01 | who !permit | basket 3 gal_us Morchella americana, 2.1 gal_us Morchella americana",
            Need,
        ),
        (
            "2023-06-01 | who !permit | basket 18 L Morchella americana",
            Limits,
        ),
        (
            "2023-06-01 | who !permit | basket 3 kg Morchella americana",
            NotKnown,
        ),
        (
            "2023-06-01 | who permit | basket 5.1 gal_us Morchella americana",
            Limits,
        ),
    ];
    table(&[&forest], &rows);
    let before = verdict(&[&forest], "2023-06-01 | who !permit");
    for (row, expected) in rows {
        assert!(
            before.possible.contains(&expected),
            "{row}: {:?}",
            before.possible
        );
    }
    assert_eq!(
        (why(&before, "paid"), why(&before, "sheet")),
        ("only if".into(), "only if".into())
    );
    let little = Ask::read(rows[1].0).with_basket(&[&forest]);
    assert_eq!(
        (why(&little, "paid"), why(&little, "sheet")),
        ("absent".into(), "holds".into())
    );
    assert_eq!(forest.basket_facts(), [BasketFact::Volume]);
}

/// France, Code forestier R163-5 and L163-11, quoted on secondary pages: one penalty up to 10 litres, another above; and
/// harm on purpose is forbidden (Italy, L. 352/1993, article 5, secondary pages). A penalty weighs nothing.
#[test]
fn penalties_by_what_was_taken() {
    let france = act(
        "FR",
        "Code forestier R163-5",
        json!({"rules": [
            daily("2"),
            {"id": "harm", "kind": "destruction"},
            {"id": "fine", "kind": "penalty", "harvest": {"at_most": [{"amount": "10", "unit": "L"}]}},
            {"id": "offence", "kind": "penalty", "harvest": {"more_than": [{"amount": "10", "unit": "L"}]}},
        ]}),
    );
    for (row, fine, offence) in [
        ("2026-09-12 | who held", "apart", "apart"),
        (
            "2026-09-12 | who held | basket 10 L Boletus edulis",
            "apart",
            "absent",
        ),
        (
            "2026-09-12 | who held | basket 10.1 L Boletus edulis",
            "absent",
            "apart",
        ),
    ] {
        let told = Ask::read(row).with_basket(&[&france]);
        let found = (told.answer, why(&told, "fine"), why(&told, "offence"));
        assert_eq!(found, (Limits, fine.to_owned(), offence.to_owned()), "{row}");
        assert_eq!(why(&told, "harm"), "holds");
    }
}

/// Abruzzo, 006R0674, articles 2(2) and 10(4), read in the Gazzetta Ufficiale: what belongs to a clump may be smaller; a
/// rigid container, exceptionally a net.
#[test]
fn clumps_and_nets_are_let_off() {
    let abruzzo = act(
        "IT-65",
        "006R0674, 2(2) and 10(4)",
        json!({"rules": [
            daily("3"),
            {"id": "size", "kind": "min_size", "min_size": {"measure": "cap", "at_least": "4", "unit": "cm"}},
            {"id": "clumps", "kind": "exemption", "harvest": {"clump": true}, "exempts": ["size"]},
            {"id": "rigid", "kind": "container", "container": {"required": ["rigid"]}},
            {"id": "nets", "kind": "exemption", "gear": {"container": [{"material": "net"}]}, "exempts": ["rigid"]},
            {"id": "plastic", "kind": "container", "container": {"forbidden": [{"material": "plastic", "closed": true}]}},
        ]}),
    );
    table(
        &[&abruzzo],
        &[
            (
                "2026-09-12 | who held | basket 0.5 kg Boletus edulis /single /cap-3.9",
                Breach,
            ),
            (
                "2026-09-12 | who held | basket 0.5 kg Boletus edulis /clump /cap-3.9",
                Limits,
            ),
            ("2026-09-12 | who held | gear net bag !rigid perforated", Limits),
            (
                "2026-09-12 | who held | gear wicker bag !rigid perforated",
                Breach,
            ),
            (
                "2026-09-12 | who held | gear plastic bag !rigid !perforated !open",
                Breach,
            ),
        ],
    );
    assert_eq!(
        abruzzo.basket_facts(),
        [BasketFact::Mass, BasketFact::Cap, BasketFact::Clump]
    );
}

/// Lombardy, L.R. 24/1997, read on a park's page: by hand only; the stem may be cut of honey fungus alone.
#[test]
fn with_a_knife_only_some_kinds() {
    let lombardy = act(
        "IT-25",
        "L.R. 24/1997",
        json!({
            "taxa": {"honey": {"members": [{"scientific_name": "Armillaria mellea"}]}},
            "rules": [
                daily("3"),
                {"id": "knife", "kind": "allow_list", "taxa": "honey", "gear": {"tools": ["knife", "scissors"]}},
            ],
        }),
    );
    table(
        &[&lombardy],
        &[
            (
                "2026-10-12 | who held | gear knife | basket 1 kg Armillaria mellea",
                Limits,
            ),
            (
                "2026-10-12 | who held | gear knife | basket 1 kg Boletus edulis",
                Closed,
            ),
            (
                "2026-10-12 | who held | gear hands | basket 1 kg Boletus edulis",
                Limits,
            ),
            ("2026-10-12 | who held | basket 1 kg Boletus edulis", NotKnown),
        ],
    );
}

/// Nothing surveyed has it as a condition: a permit only for what is not cut in half, the wording of this test.
#[test]
fn what_was_done_with_all_of_it() {
    let book = act(
        "XX-H",
        "an act",
        json!({"rules": [
            daily("2"),
            {"id": "permit", "kind": "permit", "permit": {}},
            {"id": "halved", "kind": "exemption", "harvest": {"handled": ["halve"]}, "exempts": ["permit"]},
        ]}),
    );
    table(
        &[&book],
        &[
            (
                "2026-09-12 | who !permit | basket 1 kg Boletus edulis /halved",
                Limits,
            ),
            (
                "2026-09-12 | who !permit | basket 1 kg Boletus edulis /halved, 0.5 kg Boletus edulis /whole",
                Need,
            ),
            ("2026-09-12 | who !permit | basket 1 kg Boletus edulis", Need),
        ],
    );
}

/// Wallonia, communal woods of Wellin, read in the press: cut, do not pull. Haute-Loire, order of 2 September 2013, read in
/// the press: no motor vehicles off the open roads. Tuscany, L.R. 16/1999, read on a health authority's page: Amanita
/// caesarea not while its egg is closed.
#[test]
fn duties_of_conduct() {
    let book = act(
        "BE-WAL",
        "council rule of 28 August 2014, and others",
        json!({
            "taxa": {"caesar": {"members": [{"scientific_name": "Amanita caesarea"}]}},
            "rules": [
                {"id": "cut", "kind": "method", "method": {"must": ["cut"], "must_not": ["take_whole"]}},
                {"id": "vehicles", "kind": "vehicle"},
                {"id": "eggs", "kind": "life_stage", "taxa": "caesar", "life_stage": {"forbidden": ["closed_egg"]}},
            ],
        }),
    );
    table(
        &[&book],
        &[
            ("2026-09-12 | who held", Limits),
            ("2026-09-12 | who held | gear cut", Limits),
            ("2026-09-12 | who held | gear !cut", Breach),
        ],
    );
    let told = verdict(&[&book], "2026-09-12 | who held");
    for rule in ["cut", "vehicles", "eggs"] {
        assert_eq!(why(&told, rule), "holds", "{rule}");
    }
}

/// Erro-Orreaga, ordinance in BON 10 of 15 January 2018 (title read, values in the press): one permit for Monday to Friday
/// except holidays, another for weekends and holidays.
#[test]
fn a_permit_for_working_days_and_one_for_the_others() {
    let navarre = act(
        "ES-NC",
        "BON 10, 15 January 2018",
        json!({
            "holidays": {"from": "2026-01-01", "to": "2026-12-31", "dates": ["2026-10-12"]},
            "rules": [
                daily("8"),
                {"id": "working", "kind": "permit", "permit": {},
                    "when": {"weekdays": ["monday", "tuesday", "wednesday", "thursday", "friday"], "holidays": false}},
                {"id": "weekend", "kind": "permit", "when": {"weekdays": ["saturday", "sunday"]}, "permit": {}},
                {"id": "holiday", "kind": "permit", "when": {"holidays": true}, "permit": {}},
            ],
        }),
    );
    let paper = "paper=ES-NC/working@2026-01-01..2026-12-31";
    for (day, expected) in [
        ("2026-10-13", Limits),
        // A Saturday, and a Monday that is Spain's national day.
        ("2026-10-17", Need),
        ("2026-10-12", Need),
    ] {
        table(&[&navarre], &[(&format!("{day} | who held {paper}"), expected)]);
    }
}

/// Liechtenstein, LGBl. 2002/84, article 2(1) and 2(3), read in the collection of laws: from the 11th to the last of the
/// month, 08:00 to 20:00; groups of more than three, families excepted. South Tyrol, L.P. 18/1991, article 4, secondary
/// pages: even dates, 07:00 to 19:00. Wallonia (press): days of hunts by date.
#[test]
fn days_and_company() {
    let group = json!({"id": "group", "kind": "closed_zone", "party": {"more_than": 3, "family": false},
        "closed_zone": {"forbids": ["collect"]}});
    let liechtenstein = act(
        "LI",
        "LGBl. 2002/84, 2",
        json!({"rules": [
            daily("3"),
            {"id": "days", "kind": "closed_days", "closed_days": {"days_of_month": "1-10"}},
            {"id": "hours", "kind": "hours", "when": {"days_of_month": "11-31"}, "hours": {"open": {"from": "08:00", "to": "20:00"}}},
            group,
        ]}),
    );
    table(
        &[&liechtenstein],
        &[
            ("2026-09-05 12:00 | who held", Closed),
            ("2026-09-12 07:59 | who held", Closed),
            ("2026-09-12 08:00 | who held", Limits),
            ("2026-09-12 12:00 | who held party=4 !family", Closed),
            ("2026-09-12 12:00 | who held party=4 family", Limits),
            ("2026-09-12 12:00 | who held party=3 !family", Limits),
            ("2026-09-12 12:00 | who held party=4", NotKnown),
        ],
    );
    let tyrol = act(
        "IT-BZ",
        "L.P. 18/1991, 4",
        json!({"rules": [
            daily("1"),
            {"id": "even", "kind": "hours", "when": {"parity": "even"}, "hours": {"open": {"from": "07:00", "to": "19:00"}}},
            {"id": "odd", "kind": "closed_zone", "when": {"parity": "odd"}, "closed_zone": {"forbids": ["collect"]}},
            {"id": "hunt", "kind": "closed_zone", "when": {"dates": ["2026-10-24", "2026-11-14"]}, "closed_zone": {"forbids": ["enter"]}},
        ]}),
    );
    table(
        &[&tyrol],
        &[
            ("2026-09-02 06:59 | who held", Closed),
            ("2026-09-02 07:00 | who held", Limits),
            ("2026-09-03 12:00 | who held", Closed),
            ("2026-10-24 12:00 | who held", Closed),
            ("2026-10-26 12:00 | who held", Limits),
        ],
    );
}

/// Luxembourg, RGD of 8 January 2010, article 5 (ministry notice): 1 kg a person, 3 kg for a group of more than three.
/// Vaud, RLPrPNP article 12 (press): 2 kg, for gain 6 kg.
#[test]
fn amounts_by_company_and_purpose() {
    let luxembourg = act(
        "LU",
        "RGD 8 January 2010, 5",
        json!({"rules": [
            {"id": "person", "kind": "quantity", "party": {"at_most": 3}, "quantity": {"amount": "1", "unit": "kg", "per": "person", "period": "day"}},
            {"id": "group", "kind": "quantity", "party": {"more_than": 3}, "quantity": {"amount": "3", "unit": "kg", "per": "group", "period": "day"}},
        ]}),
    );
    let vaud = act(
        "CH-VD",
        "RLPrPNP 12",
        json!({"rules": [
            {"id": "own", "kind": "quantity", "purpose": "own_use", "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}},
            {"id": "gain", "kind": "quantity", "purpose": "commercial", "quantity": {"amount": "6", "unit": "kg", "per": "person", "period": "day"}},
        ]}),
    );
    for (book, row, expected) in [
        (&luxembourg, "2026-09-12 | who held party=3", "1 kg by person"),
        (&luxembourg, "2026-09-12 | who held party=4", "3 kg by group"),
        (&vaud, "2026-09-12 | who !sale", "2 kg by own"),
        (&vaud, "2026-09-12 | who sale", "6 kg by gain"),
    ] {
        assert_eq!(limits(&verdict(&[book], row)), [expected], "{row}");
    }
}

/// Trento, L.P. 16/1991, article 2(2), read in the Gazzetta Ufficiale: who is under 10 only with a member of the family.
/// Tuscany, L.R. 16/1999, article 4(4), read in the collection of laws: no daily limit for farmers and members of forest
/// cooperatives with a certificate, of whom a map knows nothing.
#[test]
fn persons_by_age_company_and_trade() {
    let trento = act(
        "IT-TN",
        "L.P. 16/1991, 2(2)",
        json!({"rules": [
            daily("2"),
            {"id": "alone", "kind": "closed_zone", "who": {"age": {"below": 10}, "escorted": false}, "closed_zone": {"forbids": ["collect"]}},
            {"id": "grown", "kind": "permit", "who": {"age": {"at_least": 10}}, "permit": {}},
        ]}),
    );
    table(
        &[&trento],
        &[
            ("2026-09-12 | who age=9 !escorted", Closed),
            ("2026-09-12 | who age=9 escorted !permit", Limits),
            ("2026-09-12 | who age=9", NotKnown),
            ("2026-09-12 | who age=10 !escorted permit", Limits),
            ("2026-09-12 | who age=10 !escorted !permit", Need),
        ],
    );
    let tuscany = act(
        "IT-52",
        "L.R. 16/1999, 4(4)",
        json!({"rules": [
            daily("3"),
            {"id": "income", "kind": "exemption", "who": {"others": {"en": "farmers with the certificate"}}, "exempts": ["daily"]},
        ]}),
    );
    let told = verdict(&[&tuscany], "2026-09-12 | who held");
    assert_eq!(limits(&told), ["3 kg by daily"]);
    let unless: Vec<&str> = told.decided_by[0]
        .unless
        .iter()
        .map(|at| at.rule.as_str())
        .collect();
    assert_eq!(unless, ["income"], "said, and nobody is let off");
}

/// Carinthia, Pilzverordnung section 1(3), read in the collection of laws: nature reserves and European protected areas.
/// Hungary, Act LIII of 1996, section 38, secondary pages: a permit in protected areas, here those of the state. Poland,
/// Forest Act of 28 September 1991, article 26(2), quoted: stands of up to 4 m.
#[test]
fn places_put_together() {
    let zone = |id: &str, place: Value| json!({"id": id, "where": place});
    let attribute = |name: &str, value: &str| json!({"attribute": {"name": name, "equals": value}});
    let book = act(
        "AT-2",
        "Pilzverordnung 1(3), and others",
        json!({
            "zones": [
                zone("reserve", attribute("attributes.grade", "reserve")),
                zone("european", attribute("attributes.grade", "european")),
                zone("guarded", json!({"any_of": ["reserve", "european"]})),
                zone("state", attribute("attributes.owner", "state")),
                zone("state-reserve", json!({"all_of": ["state", "reserve"]})),
                zone("young", json!({"attribute": {"name": "attributes.height", "at_most": 4}})),
            ],
            "rules": [
                daily("2"),
                {"id": "guarded", "kind": "closed_zone", "where": ["guarded"], "who": {"permit": false}, "closed_zone": {"forbids": ["collect"]}},
                {"id": "permit", "kind": "permit", "where": ["state-reserve"], "permit": {}},
                {"id": "young", "kind": "closed_zone", "where": ["young"], "closed_zone": {"forbids": ["collect"]}},
            ],
        }),
    );
    let text = |text: &str| AttributeValue::Text(text.to_owned());
    for (values, who, expected) in [
        (
            vec![("grade", text("none")), ("owner", text("state"))],
            "!permit",
            Limits,
        ),
        (
            vec![("grade", text("european")), ("owner", text("state"))],
            "!permit",
            Closed,
        ),
        (
            vec![("grade", text("reserve")), ("owner", text("state"))],
            "permit",
            Limits,
        ),
        (
            vec![("grade", text("reserve")), ("owner", text("church"))],
            "!permit",
            Closed,
        ),
        (
            vec![
                ("grade", text("none")),
                ("owner", text("state")),
                ("height", AttributeValue::Number(4.0)),
            ],
            "permit",
            Closed,
        ),
        (vec![("owner", text("state"))], "!permit", NotKnown),
    ] {
        let mut standing = standing_of(None);
        standing
            .attributes
            .insert("height".to_owned(), AttributeValue::Number(12.0));
        for (name, value) in &values {
            standing.attributes.insert((*name).to_owned(), value.clone());
        }
        let asked = Ask::read(&format!("2026-09-12 | who {who}"));
        let told = under_the_sun(&[&book], &subject(&standing, 14.5, 47.5), &asked.visit);
        assert_eq!(told.answer, expected, "{values:?} {who}");
    }
    let asked = Ask::read("2026-09-12 | who held");
    assert_eq!(
        under_the_sun(&[&book], &bare(14.5, 47.5), &asked.visit).answer,
        NotKnown
    );
}
