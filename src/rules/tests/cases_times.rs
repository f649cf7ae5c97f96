//! Awkward times and places of real acts: nights, even days, seasons by another calendar, versions, announcements,
//! levels, distances, owners and neighbours. How each act was read stands beside it; none was held against the text in
//! force.

use geo::polygon;
use serde_json::{Value, json};

use super::asks::{Ask, act, bare, limits, table, under_the_sun, verdict, why};
use super::{standing_of, subject};
use crate::geometry::LngLat;
use crate::rules::Answer::{Breach, Closed, Limits, Need, NoRule, NotKnown};
use crate::rules::{Part, Question, RuleBook, Verdict, memberships};
use crate::stand::AttributeValue;

fn daily(amount: &str) -> Value {
    json!({"id": "daily", "kind": "quantity", "quantity": {"amount": amount, "unit": "kg", "per": "person", "period": "day"}})
}

fn hours(id: &str, when: Value, open: Value) -> Value {
    json!({"id": id, "kind": "hours", "when": when, "hours": {"open": open}})
}

fn outline(west: f64, south: f64, east: f64, north: f64) -> Value {
    json!({"type": "Polygon", "coordinates": [[[west, south], [east, south], [east, north], [west, north], [west, south]]]})
}

/// Salzburg, LGBl. 47/1994, section 2(1) Z 7, read in a copy: until 19:00, from 1 October until 17:00. That the winter
/// hours end with the year is our reading.
#[test]
fn hours_that_change_with_the_season() {
    let book = act(
        "AT-5",
        "LGBl. 47/1994, 2(1)",
        json!({"rules": [
            hours("summer", json!({"window": {"from": "01-01", "to": "09-30"}}), json!({"from": "07:00", "to": "19:00"})),
            hours("winter", json!({"window": {"from": "10-01", "to": "12-31"}}), json!({"from": "07:00", "to": "17:00"})),
        ]}),
    );
    table(
        &[&book],
        &[
            ("2026-09-30 18:00 | who held", Limits),
            ("2026-10-01 18:00 | who held", Closed),
            ("2026-10-01 16:59 | who held", Limits),
            ("2027-01-02 18:00 | who held", Limits),
        ],
    );
}

/// South Tyrol, L.P. 18/1991, article 4, read on secondary pages: even dates. After the 31st comes the 1st, and both are
/// closed.
#[test]
fn even_dates_are_no_cycle() {
    let book = act(
        "IT-BZ",
        "L.P. 18/1991, 4",
        json!({"rules": [daily("1"), {"id": "even", "kind": "closed_days", "closed_days": {"parity": "odd"}}]}),
    );
    table(
        &[&book],
        &[
            ("2026-08-30 | who held", Limits),
            ("2026-08-31 | who held", Closed),
            ("2026-09-01 | who held", Closed),
            ("2028-02-28 | who held", Limits),
            ("2028-02-29 | who held", Closed),
        ],
    );
    let next = verdict(&[&book], "2026-08-31 | who held").next.expect("opens");
    assert_eq!(next.on.to_string(), "2026-09-02");
}

/// Grisons, KNHV article 12(2), read in parliament's papers: the 1st to the 10th, to the last minute of the 10th on the
/// clock of the stand.
#[test]
fn ten_days_end_at_midnight() {
    let book = act(
        "CH-GR",
        "KNHV 12(2)",
        json!({"rules": [daily("2"), {"id": "first-ten", "kind": "closed_days", "closed_days": {"days_of_month": "1-10"}}]}),
    );
    table(
        &[&book],
        &[
            ("2026-10-10 23:30 | who held", Closed),
            ("2026-10-10 23:59 | who held", Closed),
            ("2026-10-11 00:00 | who held", Limits),
            ("2026-10-31 23:59 | who held", Limits),
            ("2026-11-01 00:00 | who held", Closed),
        ],
    );
    let next = verdict(&[&book], "2026-10-10 23:30 | who held")
        .next
        .expect("opens");
    assert_eq!(
        (
            next.on.to_string(),
            next.at.map(|at| at.to_string()),
            next.message.key
        ),
        ("2026-10-11".into(), Some("00:00".into()), "law.next.opens_at")
    );
}

/// Helena-Lewis and Clark National Forest: permits from 1 April to 31 March (press). Carinthia, Pilzverordnung section
/// 3(2), read in the collection of laws: ceps only from 15 June to 30 September.
#[test]
fn years_that_do_not_begin_in_january() {
    let montana = act(
        "US-MT",
        "permits",
        json!({"rules": [
            daily("2"),
            {"id": "permit", "kind": "permit", "permit": {}},
            {"id": "burn", "kind": "season", "season": {"open": {"from": "04-01", "to": "03-31"}}},
        ]}),
    );
    table(
        &[&montana],
        &[
            (
                "2027-02-01 | who paper=US-MT/permit@2026-04-01..2027-03-31",
                Limits,
            ),
            ("2027-04-01 | who paper=US-MT/permit@2026-04-01..2027-03-31", Need),
        ],
    );
    let carinthia = act(
        "AT-2",
        "Pilzverordnung 3(2)",
        json!({
            "taxa": {"ceps": {"members": [{"scientific_name": "Boletus edulis"}]}},
            "rules": [daily("2"), {"id": "ceps", "kind": "season", "taxa": "ceps", "season": {"open": {"from": "06-15", "to": "09-30"}}}],
        }),
    );
    table(
        &[&carinthia],
        &[
            ("2026-10-01 | who held", Limits),
            ("2026-10-01 | who held | basket 1 kg Boletus edulis", Closed),
            ("2026-09-30 | who held | basket 1 kg Boletus edulis", Limits),
            ("2026-10-01 | who held | basket 1 kg Hydnum repandum", Limits),
        ],
    );
}

/// Idaho's halves against Italy's whole, nameable fruit bodies (press; L. 352/1993, article 5, secondary pages): nobody
/// can do both, so it is asked which counts.
#[test]
fn duties_that_cannot_both_be_done() {
    let with = |code: &str, must: &str| {
        act(
            code,
            "on handling",
            json!({"rules": [{"id": "handling", "kind": "processing", "processing": {"must": [must]}}]}),
        )
    };
    let (halve, keep) = (with("US-ID", "halve"), with("IT", "keep_whole"));
    table(&[&halve], &[("2026-09-12 | who held", Limits)]);
    let told = verdict(&[&halve, &keep], "2026-09-12 | who held");
    assert_eq!(told.answer, NotKnown);
    assert_eq!(told.notes[0].key, "law.not_known.conflict");
    assert_eq!(told.findings().count(), 2, "both are shown");
}

/// Poland, Forest Act of 28 September 1991, article 26(2) and (4), quoted on a secondary page: stands under 4 m are closed
/// without any sign.
#[test]
fn a_height_that_the_map_does_not_tell() {
    let book = act(
        "PL",
        "Forest Act, 26(2)",
        json!({
            "zones": [{"id": "young", "where": {"attribute": {"name": "height", "below": 4}}}],
            "rules": [
                {"id": "need", "kind": "qualitative"},
                {"id": "young", "kind": "closed_zone", "where": ["young"], "closed_zone": {"forbids": ["enter"]}},
            ],
        }),
    );
    let asked = Ask::read("2026-09-12 | who held");
    let told = under_the_sun(&[&book], &bare(14.5, 47.5), &asked.visit);
    assert_eq!(told.answer, NotKnown);
    assert_eq!(told.decided_by[0].message.key, "law.maybe.closed");
    assert_eq!(told.possible, [Closed, NotKnown, Limits]);
    assert_eq!(
        verdict(&[&book], "2026-09-12 | who held | in young").decided_by[0]
            .message
            .key,
        "law.closed.place",
        "the zone has no name"
    );
}

/// Campania, 007R0595, article 7(5), read in the Gazzetta Ufficiale: fruit chestnuts during their harvest, whenever that
/// is. Wallonia, communal woods (press): closed in the hunting season; a book may list the days announced so far.
#[test]
fn times_that_are_announced_elsewhere() {
    let campania = act(
        "IT-72",
        "007R0595, 7(5)",
        json!({
            "zones": [{"id": "chestnut", "where": {"attribute": {"name": "use", "equals": "fruit chestnut"}}}],
            "rules": [daily("3"), {"id": "harvest", "kind": "suspension", "where": ["chestnut"],
                "when": {"window": {"from": "09-15", "to": "11-30"}}}],
        }),
    );
    table(
        &[&campania],
        &[
            ("2026-10-10 | who held | in chestnut", NotKnown),
            ("2026-07-10 | who held | in chestnut", Limits),
            ("2026-10-10 | who held", Limits),
        ],
    );
    let told = verdict(&[&campania], "2026-10-10 | who held | in chestnut");
    assert_eq!(told.decided_by[0].message.key, "law.maybe.suspended");
    let wallonia = act(
        "BE-WAL",
        "communal rule",
        json!({"rules": [daily("3"), {"id": "hunt", "kind": "suspension",
            "suspension": {"announced": ["2026-10-17", "2026-10-24"], "known_until": "2026-10-31"}}]}),
    );
    table(
        &[&wallonia],
        &[
            ("2026-10-17 | who held", Closed),
            ("2026-10-18 | who held", Limits),
            ("2026-11-01 | who held", NotKnown),
        ],
    );
}

/// Wellin, council rule of 28 August 2014, article 1 (read), and press: inhabitants and neighbours only, within 50 m of
/// paths.
#[test]
fn only_the_people_of_the_place() {
    let book = act(
        "BE-WAL",
        "council rule of 28 August 2014, 1",
        json!({"rules": [
            {"id": "locals", "kind": "who_may", "who_may": {"only": [{"resident": true}, {"permit": true}]}},
            {"id": "paths", "kind": "distance", "distance": {"within": 50}},
        ]}),
    );
    table(
        &[&book],
        &[
            ("2026-09-12 | who !resident !permit", Closed),
            ("2026-09-12 | who resident", Limits),
            ("2026-09-12 | who !resident permit", Limits),
            ("2026-09-12 | who !resident", NotKnown),
        ],
    );
    assert_eq!(book.questions(), [Question::Resident, Question::Permit]);
    let told = verdict(&[&book], "2026-09-12 | who resident");
    let keys: Vec<&str> = told
        .decided_by
        .iter()
        .map(|finding| finding.message.key)
        .collect();
    assert_eq!(keys, ["law.rule.distance_within", "law.rule.who_may"]);
    let unsure = verdict(&[&book], "2026-09-12 | who !resident");
    assert_eq!(unsure.decided_by[0].message.key, "law.maybe.persons");
    assert_eq!(unsure.possible, [Closed, NotKnown, Limits]);
}

/// Castilla y Leon, Decreto 31/2017, read in the press: not in the strips along public roads. Wellin: within 50 m of
/// paths. Where the map has the roads and paths, the part of a stand is told, and a point of it by itself.
#[test]
fn distances_from_roads_and_paths_on_the_map() {
    // A stand of a hundredth of a degree at 47.5 north: 752 m from west to east, 1112 m from south to north.
    let road = json!({"type": "LineString", "coordinates": [[14.5, 47.4], [14.5, 47.6]]});
    let book = |rule: Value, metres: u32| {
        act(
            "ES-CL",
            "Decreto 31/2017",
            json!({
                "zones": [{"id": "strip", "where": {"near": {"feature": road, "metres": metres}}}],
                "rules": [daily("3"), {"id": "strip", "kind": "distance", "distance": rule}],
            }),
        )
    };
    let strip = book(json!({"beyond": 75, "near": "strip"}), 75);
    let paths = book(json!({"within": 300, "near": "strip"}), 300);
    let asked = Ask::read("2026-09-12 | who held");
    let stand = bare(14.5, 47.5);
    let point = |book: &RuleBook, lng: f64| -> Verdict {
        let all = memberships([book], &stand);
        let at = book.membership_at(&all[0], LngLat { lng, lat: 47.505 });
        crate::rules::Law::on(&[book], &asked.visit).verdict(&[&at])
    };
    for (book, share, key, near_the_road, far_off) in [
        (&strip, 0.1, "law.closed.too_near_part", Closed, Limits),
        (&paths, 0.6, "law.closed.too_far_part", Limits, Closed),
    ] {
        let whole = under_the_sun(&[book], &stand, &asked.visit);
        let closed = whole.closed_share.expect("a share");
        assert!((closed - share).abs() < 0.03, "{key}: {closed}");
        assert_eq!((whole.answer, whole.decided_by[0].message.key), (Closed, key));
        assert_eq!(point(book, 14.5005).answer, near_the_road, "{key}");
        assert_eq!(point(book, 14.508).answer, far_off, "{key}");
    }
}

/// England and Wales: Theft Act 1968, section 4(3) (quoted), is no right of entry: the owner's consent, the reserve and
/// the byelaw stay rules of their own.
#[test]
fn no_theft_is_no_right_of_entry() {
    let book = act(
        "GB-ENG",
        "Wildlife and Countryside Act 1981",
        json!({
            "zones": [{"id": "site", "where": {"outline": outline(14.2, 47.2, 14.3, 47.3)}}],
            "rules": [
                {"id": "not-theft", "kind": "advice"},
                {"id": "consent", "kind": "owner_consent", "owner_consent": {"consent": "needed"}},
                {"id": "site", "kind": "closed_zone", "where": ["site"], "closed_zone": {"forbids": ["collect"]}},
            ],
        }),
    );
    table(
        &[&book],
        &[
            ("2026-09-12 | who held !consent !owner", Need),
            ("2026-09-12 | who held", Limits),
            ("2026-09-12 | who held | in site", Closed),
        ],
    );
    assert_eq!(
        why(&verdict(&[&book], "2026-09-12 | who held"), "not-theft"),
        "apart"
    );
}

/// British Columbia (press): the province asks for no licence, a nation for its own permit. Both are listed, and the one
/// who asks for more decides.
#[test]
fn two_authorities_on_one_stand() {
    let province = act(
        "CA-BC",
        "ministry statement",
        json!({"rules": [{"id": "none", "kind": "no_rule"}]}),
    );
    let nation = act(
        "CA-BC-N",
        "permit scheme",
        json!({"rules": [{"id": "permit", "kind": "permit", "permit": {"issuer": {"en": "the nation"}}}]}),
    );
    table(&[&province], &[("2026-09-12 | who !permit", NoRule)]);
    let told = verdict(&[&province, &nation], "2026-09-12 | who !permit");
    assert_eq!(
        (told.answer, told.decided_by.len(), told.others.len()),
        (Need, 1, 1)
    );
}

/// Vaud, RLPrPNP article 12 with council decision, read on the canton's page and in the press: three versions within a
/// year. The day of the visit decides.
#[test]
fn three_versions_within_a_year() {
    let version = |id: &str, kind: &str, from: Option<&str>, to: Option<&str>, said: Value| {
        let mut rule = json!({"id": id, "kind": kind, "valid_from": from, "valid_to": to});
        rule[kind] = said;
        rule
    };
    let book = act(
        "CH-VD",
        "RLPrPNP 12",
        json!({"rules": [
            {"id": "family", "kind": "qualitative", "valid_to": "2024-06-30"},
            version("daily", "quantity", Some("2024-07-01"), None,
                json!({"amount": "2", "unit": "kg", "per": "person", "period": "day"})),
            version("first-seven", "closed_days", Some("2024-07-01"), Some("2024-12-31"), json!({"days_of_month": "1-7"})),
        ]}),
    );
    table(
        &[&book],
        &[
            ("2024-06-05 | who held", Limits),
            ("2024-07-05 | who held", Closed),
            ("2025-01-05 | who held", Limits),
        ],
    );
    for (day, rule, expected) in [
        ("2024-06-05", "daily", "not yet in force"),
        ("2024-07-05", "family", "ended"),
        ("2025-01-05", "first-seven", "ended"),
    ] {
        let told = verdict(&[&book], &format!("{day} | who held"));
        assert_eq!(why(&told, rule), expected, "{day}");
    }
}

/// St. Gallen, a leaflet of the canton of 2015 (copy): closed days and hours in some municipalities, 2 kg in others,
/// nothing in the rest. What is outside every zone of the book is not known.
#[test]
fn rules_by_municipality() {
    let book = act(
        "CH-SG",
        "municipal ordinances",
        json!({
            "zones": [
                {"id": "south", "where": {"attribute": {"name": "attributes.municipality", "one_of": ["Alt", "Berg"]}}},
                {"id": "rhine", "where": {"attribute": {"name": "attributes.municipality", "one_of": ["Au"]}}},
            ],
            "rules": [
                {"id": "days", "kind": "closed_days", "where": ["south"], "closed_days": {"weekdays": ["sunday", "monday", "wednesday", "friday"]}},
                {"id": "groups", "kind": "group_size", "where": ["south"], "group_size": {"largest": 3, "except": ["family"]}},
                {"id": "daily", "kind": "quantity", "where": ["south", "rhine"], "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}},
            ],
        }),
    );
    for (municipality, day, expected) in [
        // 13 September 2026 is a Sunday, the 15th a Tuesday.
        (Some("Berg"), "2026-09-13", Closed),
        (Some("Berg"), "2026-09-15", Limits),
        (Some("Au"), "2026-09-13", Limits),
        (Some("Cham"), "2026-09-13", NotKnown),
        (None, "2026-09-13", NotKnown),
    ] {
        let value = municipality.map(|name| ("municipality", AttributeValue::Text(name.to_owned())));
        let standing = standing_of(value);
        let asked = Ask::read(&format!("{day} | who held"));
        let told = under_the_sun(&[&book], &subject(&standing, 14.5, 47.5), &asked.visit);
        assert_eq!(told.answer, expected, "{municipality:?} {day}");
    }
    table(
        &[&book],
        &[("2026-09-15 | who held party=4 !family | in south", Breach)],
    );
}

/// Alava, Decreto Foral 89/2008, read in the press: a rake is not even carried. Tirol, LGBl. 68/2005, section 2(1): nor
/// mushrooms after 19:00.
#[test]
fn carrying_is_enough() {
    let alava = act(
        "ES-VI",
        "Decreto Foral 89/2008",
        json!({"rules": [{"id": "rakes", "kind": "tool", "tool": {"forbidden": ["rake"], "carrying": true}}]}),
    );
    let trento = act(
        "IT-TN",
        "L.P. 16/1991, 2(5)",
        json!({"rules": [{"id": "rakes", "kind": "tool", "tool": {"forbidden": ["rake"]}}]}),
    );
    let carried = "2026-09-12 | who held | gear rake-carried";
    table(&[&alava], &[(carried, Breach)]);
    table(&[&trento], &[(carried, Limits)]);
    // One basket of a certain size (from memory: several Spanish orders bound both).
    let basket = act(
        "XX-B",
        "an order",
        json!({"rules": [{"id": "one", "kind": "container", "container": {"most": 1, "largest": {"amount": "15", "unit": "L"}}}]}),
    );
    table(
        &[&basket],
        &[
            ("2026-09-12 | who held | gear wicker basket two", Breach),
            ("2026-09-12 | who held | gear wicker basket 20-litres", Breach),
            ("2026-09-12 | who held | gear wicker basket", Limits),
        ],
    );
}

/// Erro-Orreaga, ordinance in BON 10 of 15 January 2018 (title read, values in the press): permits for Monday to Friday
/// except holidays. Without the list of holidays it is not known which days those are.
#[test]
fn working_days_need_the_holidays_of_the_place() {
    let with = |holidays: Option<Value>| {
        let mut body = json!({"rules": [
            daily("8"),
            {"id": "weekend", "kind": "closed_days", "closed_days": {"weekdays": ["saturday", "sunday"]}},
            {"id": "holiday", "kind": "closed_zone", "when": {"holidays": true}, "closed_zone": {"forbids": ["collect"]}},
        ]});
        if let Some(holidays) = holidays {
            body["holidays"] = holidays;
        }
        act("ES-NC", "BON 10, 15 January 2018", body)
    };
    let listed = with(Some(
        json!({"from": "2026-01-01", "to": "2026-12-31", "dates": ["2026-10-12"]}),
    ));
    let unlisted = with(None);
    table(
        &[&listed],
        &[
            // 12 October 2026 is a Monday and Spain's national day.
            ("2026-10-12 | who held", Closed),
            ("2026-10-13 | who held", Limits),
            ("2026-10-17 | who held", Closed),
            ("2027-10-12 | who held", NotKnown),
        ],
    );
    table(
        &[&unlisted],
        &[
            ("2026-10-13 | who held", NotKnown),
            ("2026-10-17 | who held", Closed),
        ],
    );
}

/// Lombardy, L.R. 24/1997, read on a park's page: closed for fifteen years from planting, counted here in years of age.
/// A stand cut by a border keeps both regions' rules, and is covered by the two books together.
#[test]
fn a_stand_on_the_border_of_two_books() {
    let region = |code: &str, west: f64, east: f64, rules: Value| {
        let mut book = act(code, "an act", json!({"rules": rules}));
        book.region.area = geo::MultiPolygon::new(vec![polygon![
            (x: west, y: 47.0), (x: east, y: 47.0), (x: east, y: 48.0), (x: west, y: 48.0),
        ]]);
        book
    };
    let west = region("XX-W", 14.0, 14.504, json!([daily("2")]));
    let east = region(
        "XX-E",
        14.504,
        15.0,
        json!([daily("3"), {"id": "odd", "kind": "closed_days", "closed_days": {"parity": "odd"}}]),
    );
    let gap = region("XX-E", 14.505, 15.0, json!([daily("3")]));
    let silent = region("XX-E", 14.504, 15.0, json!([{"id": "be-kind", "kind": "advice"}]));
    let asked = |day: &str| Ask::read(&format!("{day} | who held")).visit;
    let stand = bare(14.5, 47.5);
    let told = under_the_sun(&[&west, &east], &stand, &asked("2026-09-12"));
    assert_eq!((told.answer, told.notes.len()), (Limits, 0), "{told:#?}");
    let mut shares: Vec<Option<f64>> = told.limits.iter().map(|limit| limit.share_of_stand).collect();
    shares.sort_by(|left, right| left.partial_cmp(right).expect("shares"));
    assert_eq!(shares, [Some(0.4), Some(0.6)]);
    assert_eq!(limits(&told), ["3 kg by daily", "2 kg by daily"]);
    let closed = under_the_sun(&[&west, &east], &stand, &asked("2026-09-13"));
    assert_eq!((closed.answer, closed.closed_share), (Closed, Some(0.6)));
    // A tenth of the stand lies in neither region; or one of the two books says nothing of its part.
    let open = under_the_sun(&[&west, &gap], &stand, &asked("2026-09-12"));
    assert_eq!(open.answer, NotKnown);
    let half = under_the_sun(&[&west, &silent], &stand, &asked("2026-09-12"));
    assert_eq!(
        (half.answer, half.notes[0].key),
        (NotKnown, "law.not_known.silent")
    );
    // A point lies in one of them.
    let all = memberships([&west, &east], &stand);
    assert!(all.iter().all(|membership| membership.jointly));
    let point = LngLat {
        lng: 14.502,
        lat: 47.505,
    };
    let areas: Vec<Part> = [(&west, &all[0]), (&east, &all[1])]
        .map(|(book, membership)| book.membership_at(membership, point).area)
        .to_vec();
    assert_eq!(areas, [Part::WHOLE, Part::NONE]);
}

/// One rule within a zone and one outside it speak of the whole stand between them; a zone that must not be entered is
/// told apart from one where nothing is collected.
#[test]
fn inside_and_outside_of_a_zone() {
    let book = act(
        "XX-Z",
        "an act",
        json!({
            "zones": [
                {"id": "park", "names": {"en": "the park"}, "where": {"outline": outline(14.0, 47.0, 14.504, 48.0)}},
                {"id": "rest", "where": {"not": "park"}},
                {"id": "deer", "names": {"en": "the deer's rest"}, "where": {"outline": outline(14.7, 47.0, 14.704, 48.0)}},
            ],
            "rules": [
                {"id": "park", "kind": "quantity", "where": ["park"], "quantity": {"amount": "1", "unit": "kg", "per": "person", "period": "day"}},
                {"id": "rest", "kind": "quantity", "where": ["rest"], "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}},
                {"id": "deer", "kind": "closed_zone", "where": ["deer"], "closed_zone": {"forbids": ["enter"]}},
            ],
        }),
    );
    let asked = Ask::read("2026-09-12 | who held");
    let cut = under_the_sun(&[&book], &bare(14.5, 47.5), &asked.visit);
    assert_eq!(
        (cut.answer, limits(&cut)),
        (Limits, vec!["1 kg by park".to_owned(), "2 kg by rest".to_owned()])
    );
    let deer = under_the_sun(&[&book], &bare(14.7, 47.5), &asked.visit);
    assert_eq!(
        (deer.answer, deer.decided_by[0].message.key, deer.closed_share),
        (Closed, "law.closed.zone_enter_part", Some(0.4))
    );
}
