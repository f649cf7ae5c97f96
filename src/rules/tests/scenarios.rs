//! Fifteen visits under real acts, from the day to the basket, each with the answer that follows. The acts are cited at
//! each test with how they were seen; none was held against the text in force, so this is test data and no legal
//! information. Where a row is in order, the answer is that limits hold.

use serde_json::json;

use super::asks::{Ask, act, limits, table, verdict, why};
use crate::rules::Answer::{Breach, Closed, Limits, Need, NotKnown, Over};
use crate::rules::RuleBook;

fn kilograms(id: &str, amount: &str) -> serde_json::Value {
    json!({"id": id, "kind": "quantity", "quantity": {"amount": amount, "unit": "kg", "per": "person", "period": "day"}})
}

fn sets(names: &[(&str, &[&str])]) -> serde_json::Value {
    names
        .iter()
        .map(|(id, members)| {
            let members: Vec<_> = members
                .iter()
                .map(|name| json!({"scientific_name": name}))
                .collect();
            ((*id).to_owned(), json!({"members": members}))
        })
        .collect::<serde_json::Map<_, _>>()
        .into()
}

/// Zurich, Pilzschutzverordnung of 23 March 1983, sections 2 and 5; read on two municipalities' pages.
#[test]
fn one_kilogram_ten_closed_days_and_kinds_that_are_known() {
    let zurich = act(
        "CH-ZH",
        "Pilzschutzverordnung",
        json!({"rules": [
            kilograms("daily", "1"),
            {"id": "first-ten", "kind": "closed_days", "closed_days": {"days_of_month": "1-10"}},
            {"id": "known", "kind": "knowledge"},
        ]}),
    );
    table(
        &[&zurich],
        &[
            ("2026-09-01 12:00 | who held", Closed),
            ("2026-09-11 12:00 | who held | basket 1 kg Boletus edulis", Limits),
            ("2026-09-11 12:00 | who held | basket 1.2 kg Boletus edulis", Over),
            (
                "2026-09-11 | who held | gear !known | basket 0.5 kg Boletus edulis",
                Breach,
            ),
        ],
    );
}

/// Fribourg, RPNat article 26; read on the canton's page.
#[test]
fn hours_and_amount_do_not_hold_in_gardens() {
    let fribourg = act(
        "CH-FR",
        "RPNat 26",
        json!({
            "zones": [{"id": "garden", "where": {"attribute": {"name": "use", "equals": "garden"}}}],
            "rules": [
                kilograms("daily", "2"),
                {"id": "hours", "kind": "hours", "hours": {"open": {"from": "07:00", "to": "20:00"}}},
                {"id": "gardens", "kind": "unlimited", "where": ["garden"], "replaces": ["daily", "hours"]},
            ],
        }),
    );
    table(
        &[&fribourg],
        &[
            ("2026-09-12 20:30 | who held", Closed),
            (
                "2026-09-12 20:30 | who held | in garden | basket 3 kg Boletus edulis",
                crate::rules::Answer::Free,
            ),
            ("2026-09-12 12:00 | who held | basket 2.5 kg Boletus edulis", Over),
        ],
    );
}

/// Bern, NSchV of 10 November 1993, article 23, and its revision of 2012; read on a municipality's page and in the press.
#[test]
fn a_rule_ends_and_groups_stay_forbidden() {
    let bern = act(
        "CH-BE",
        "NSchV 23",
        json!({"rules": [
            kilograms("daily", "2"),
            {"id": "first-seven", "kind": "closed_days", "valid_to": "2012-06-30", "closed_days": {"days_of_month": "1-7"}},
            // "No organised group picking; families and guided trips excepted": one person is a group of one.
            {"id": "groups", "kind": "group_size", "group_size": {"largest": 1, "except": ["family", "course"]}},
        ]}),
    );
    table(
        &[&bern],
        &[
            ("2012-06-05 10:00 | who held | basket 1 kg Boletus edulis", Closed),
            ("2012-07-05 10:00 | who held | basket 1 kg Boletus edulis", Limits),
            ("2012-07-05 | who held party=6 !family", Breach),
            ("2012-07-05 | who held party=6 family", Limits),
            ("2012-07-05 | who held party=6 | gear course", Limits),
            // Nobody said whether they are a family.
            ("2012-07-05 | who held party=6", NotKnown),
        ],
    );
}

/// Ticino, law of 30 May 2005, articles 1 to 3; read in the canton's collection of laws.
#[test]
fn a_night_window_over_midnight() {
    let ticino = act(
        "CH-TI",
        "Law on picking fungi",
        json!({"rules": [
            kilograms("daily", "3"),
            {"id": "night", "kind": "hours", "hours": {"closed": {"from": "20:00", "to": "07:00"}}},
            {"id": "tools", "kind": "tool", "tool": {"forbidden": ["rake", "shovel"]}},
        ]}),
    );
    table(
        &[&ticino],
        &[
            ("2026-09-12 02:00 | who held", Closed),
            ("2026-09-12 06:59 | who held", Closed),
            ("2026-09-12 07:00 | who held", Limits),
            ("2026-09-12 19:59 | who held", Limits),
            (
                "2026-09-12 10:00 | who held | basket 3.0 kg Boletus edulis",
                Limits,
            ),
            ("2026-09-12 10:00 | who held | basket 3.1 kg Boletus edulis", Over),
            ("2026-09-12 10:00 | who held | gear shovel", Breach),
        ],
    );
}

/// Schwyz, landscape and nature law, section 9b; read on the canton's page.
#[test]
fn a_part_of_a_limit_and_the_whole() {
    let schwyz = act(
        "CH-SZ",
        "9b",
        json!({
            "taxa": sets(&[("morels", &["Morchella"])]),
            "rules": [
                kilograms("daily", "2"),
                {"id": "morels", "kind": "sub_limit", "sub_limit": {"of": "daily", "taxa": "morels", "amount": "1", "unit": "kg"}},
                {"id": "events", "kind": "event_ban"},
            ],
        }),
    );
    table(
        &[&schwyz],
        &[
            (
                "2026-04-12 | who held | basket 1 kg Morchella esculenta, 1 kg Boletus edulis",
                Limits,
            ),
            ("2026-04-12 | who held | basket 1.1 kg Morchella esculenta", Over),
            (
                "2026-04-12 | who held | basket 0.5 kg Morchella esculenta, 1.6 kg Boletus edulis",
                Over,
            ),
            ("2026-04-12 | who held | gear organised", Breach),
        ],
    );
}

/// Trento, L.P. 6 August 1991 n. 16, article 2; read in the Gazzetta Ufficiale of 11 January 1992.
#[test]
fn container_cleaning_children_and_hours() {
    let trento = act(
        "IT-TN",
        "L.P. 16/1991, 2",
        json!({"rules": [
            kilograms("daily", "2"),
            {"id": "night", "kind": "hours", "hours": {"closed": {"from": "19:00", "to": "07:00"}}},
            {"id": "container", "kind": "container", "container": {"required": ["rigid", "perforated"]}},
            {"id": "cleaning", "kind": "processing", "processing": {"must": ["clean_on_the_spot"]}},
            {"id": "children", "kind": "minor", "minor": {"below": 10}},
        ]}),
    );
    table(
        &[&trento],
        &[
            (
                "2026-09-12 10:00 | who held | gear plastic bag !rigid !perforated !open | basket 1 kg Boletus edulis",
                Breach,
            ),
            (
                "2026-09-12 10:00 | who held | basket 1 kg Boletus edulis /uncleaned",
                Breach,
            ),
            ("2026-09-12 10:00 | who held | gear !cleaned", Breach),
            ("2026-09-12 10:00 | who held age=8 !escorted", Need),
            ("2026-09-12 10:00 | who held age=8 escorted", Limits),
            ("2026-09-12 19:30 | who held", Closed),
        ],
    );
}

/// Piedmont, L.R. 24/2007, article 2(4), and Lombardy, L.R. 24/1997; both read in copies of the texts.
#[test]
fn two_texts_on_plastic_and_a_stand_under_both() {
    let with = |code: &str, forbidden: serde_json::Value| {
        act(
            code,
            "on containers",
            json!({"rules": [{"id": "container", "kind": "container", "container": {"forbidden": [forbidden]}}]}),
        )
    };
    let piedmont = with("IT-21", json!({"material": "plastic"}));
    let lombardy = with("IT-25", json!({"material": "plastic", "closed": true}));
    let crate_ = "2026-09-12 | who held | gear plastic box rigid perforated !open";
    let bag = "2026-09-12 | who held | gear plastic bag !rigid !perforated !open";
    let basket = "2026-09-12 | who held | gear wicker basket rigid perforated open";
    table(&[&piedmont], &[(crate_, Breach), (bag, Breach), (basket, Limits)]);
    table(&[&lombardy], &[(crate_, Limits), (bag, Breach), (basket, Limits)]);
    let border = verdict(&[&piedmont, &lombardy], crate_);
    assert_eq!(border.answer, Breach);
    let decided: Vec<usize> = border.decided_by.iter().map(|finding| finding.book).collect();
    assert_eq!(decided, [0], "the first region's rule decides");
    assert_eq!(border.others.len(), 1, "and the other's is listed");
}

/// Austria, ForstG 1975 section 174(3) (quoted in the press), and Tirol, LGBl. 68/2005 section 2(1) (read in a copy).
#[test]
fn the_same_limit_in_two_acts() {
    let austria = act("AT", "ForstG 174(3)", json!({"rules": [kilograms("daily", "2")]}));
    let tirol = act(
        "AT-7",
        "LGBl. 68/2005, 2(1)",
        json!({"rules": [
            {"id": "daily", "kind": "quantity", "quantity": {"amount": "2000", "unit": "g", "per": "person", "period": "day"}},
            {"id": "hours", "kind": "hours", "hours": {"open": {"from": "07:00", "to": "19:00"}, "acts": ["collect", "carry"]}},
        ]}),
    );
    let books = [&austria, &tirol];
    table(
        &books,
        &[
            ("2026-09-12 10:00 | who held | basket 2.1 kg Boletus edulis", Over),
            (
                "2026-09-12 10:00 | who held | basket 2.0 kg Boletus edulis",
                Limits,
            ),
        ],
    );
    let asked = Ask::read("2026-09-12 10:00 | who held | basket 2.1 kg Boletus edulis");
    let (once, check) = asked.put(&books);
    assert_eq!(check.fills.len(), 1, "one line");
    assert_eq!(check.fills[0].limit.rules.len(), 2, "with two sources");
    assert_eq!(
        asked.put(&[&austria, &tirol, &austria]).0,
        once,
        "a file loaded twice"
    );
}

/// Castilla y Leon, Decreto 31/2017: sizes read on the region's page, tools and containers in the press.
#[test]
fn sizes_measured_in_different_ways() {
    let size = |id: &str, taxa: serde_json::Value, at_least: &str, measure: &str| {
        json!({"id": id, "kind": "min_size", "taxa": taxa,
            "min_size": {"measure": measure, "at_least": at_least, "unit": "cm"}})
    };
    let castilla = act(
        "ES-CL",
        "Decreto 31/2017",
        json!({
            "taxa": sets(&[
                ("named", &["Morchella", "Calocybe gambosa", "Marasmius oreades"]),
                ("morels", &["Morchella"]),
                ("st-george", &["Calocybe gambosa"]),
                ("fairy-ring", &["Marasmius oreades"]),
            ]),
            "rules": [
                size("in-general", json!({"all_but": "named"}), "4", "cap"),
                size("morels", json!("morels"), "4", "height"),
                size("st-george", json!("st-george"), "3", "cap"),
                size("fairy-ring", json!("fairy-ring"), "2", "cap"),
                {"id": "blade", "kind": "tool", "tool": {"only": ["knife", "scissors"], "blade_below": {"amount": "11", "unit": "cm"}}},
                {"id": "container", "kind": "container", "container": {"forbidden": [{"form": "bucket"}, {"material": "plastic", "form": "bag"}]}},
            ],
        }),
    );
    table(
        &[&castilla],
        &[
            (
                "2026-10-12 | who held | basket 3.8 cm Lactarius deliciosus",
                Breach,
            ),
            ("2026-10-12 | who held | basket 4 cm Lactarius deliciosus", Limits),
            (
                "2026-04-12 | who held | basket 2.5 cm Morchella esculenta /high-6",
                Limits,
            ),
            (
                "2026-04-12 | who held | basket 3.9 cm-high Morchella esculenta",
                Breach,
            ),
            ("2026-10-12 | who held | basket 2 cm Marasmius oreades", Limits),
            ("2026-10-12 | who held | gear knife blade-11", Breach),
            ("2026-10-12 | who held | gear knife blade-10.9", Limits),
            ("2026-10-12 | who held | gear bucket", Breach),
        ],
    );
}

/// Hungary, Act XXXVII of 2009 section 69(7) and Act LIII of 1996 section 38; read on secondary pages.
#[test]
fn ownership_decides_who_is_asked() {
    let hungary = act(
        "HU",
        "Act XXXVII of 2009, 69(7)",
        json!({
            "zones": [
                {"id": "state", "where": {"attribute": {"name": "ownership", "equals": "state"}}},
                {"id": "others", "where": {"not": "state"}},
                {"id": "protected", "where": {"attribute": {"name": "designation", "equals": "protected"}}},
            ],
            "rules": [
                {"id": "state", "kind": "quantity", "where": ["state"], "quantity": {"amount": "2", "unit": "kg", "per": "person", "period": "day"}},
                {"id": "consent", "kind": "owner_consent", "where": ["others"], "owner_consent": {"consent": "needed"}},
                {"id": "permit", "kind": "permit", "where": ["protected"], "permit": {}},
            ],
        }),
    );
    table(
        &[&hungary],
        &[
            (
                "2026-09-12 | who held | in state | basket 2 kg Boletus edulis",
                Limits,
            ),
            ("2026-09-12 | who held !consent !owner", Need),
            ("2026-09-12 | who held !permit | in state protected", Need),
        ],
    );
    // Not in the map: neither who owns it nor whether it is protected.
    let asked = Ask::read("2026-09-12 | who held !permit !consent !owner");
    let nothing = super::asks::bare(14.5, 47.5);
    assert_eq!(
        super::asks::under_the_sun(&[&hungary], &nothing, &asked.visit).answer,
        NotKnown
    );
}

/// Idaho, Nez Perce-Clearwater National Forest, 2019; read in the press. 18 L are less than 5 gallons, 18.927 L.
#[test]
fn gallons_and_halving() {
    let forest = act(
        "US-ID",
        "forest notice of 2019",
        json!({"rules": [
            {"id": "daily", "kind": "quantity", "quantity": {"amount": "5", "unit": "gal_us", "per": "person", "period": "day"}},
            {"id": "season", "kind": "quantity", "quantity": {"amount": "20", "unit": "gal_us", "per": "person", "period": "season"}},
            {"id": "halve", "kind": "processing", "processing": {"must": ["halve"]}},
            {"id": "permit", "kind": "permit", "permit": {}},
            {"id": "own", "kind": "purpose", "purpose": {"only": "own_use"}},
        ]}),
    );
    table(
        &[&forest],
        &[
            (
                "2019-09-12 | who held | basket 4 gal_us Morchella americana /halved, 10 gal_us Morchella americana /season",
                Limits,
            ),
            (
                "2019-09-12 | who held | basket 4 gal_us Morchella americana /whole, 10 gal_us Morchella americana /season",
                Breach,
            ),
            (
                "2019-09-12 | who held | basket 4 gal_us Morchella americana /halved, 17 gal_us Morchella americana /season",
                Over,
            ),
            (
                "2019-09-12 | who held | basket 18 L Morchella americana /halved, 0 L Morchella americana /season",
                Limits,
            ),
            (
                "2019-09-12 | who held | basket 5 kg Morchella americana /halved, 0 L Morchella americana /season",
                NotKnown,
            ),
            // What was taken this season is not told.
            (
                "2019-09-12 | who held | basket 4 gal_us Morchella americana /halved",
                NotKnown,
            ),
            ("2019-09-12 | who held sale", Closed),
        ],
    );
}

/// Liguria, act in the Gazzetta Ufficiale of 29 December 2007 (007R0692), article 3; that honey fungus stays outside the
/// whole is our reading.
#[test]
fn limits_within_limits_and_one_kind_without() {
    let liguria = liguria();
    table(
        &[&liguria],
        &[
            (
                "2026-10-12 | who held !owner | basket 2 kg Boletus edulis, 1 kg Amanita caesarea",
                Limits,
            ),
            (
                "2026-10-12 | who held !owner | basket 1.1 kg Amanita caesarea",
                Over,
            ),
            (
                "2026-10-12 | who held !owner | basket 2 kg Boletus edulis, 1.5 kg Hydnum repandum",
                Over,
            ),
            (
                "2026-10-12 | who held !owner | basket 3 kg Boletus edulis, 2 kg Armillaria mellea",
                Limits,
            ),
            (
                "2026-10-12 | who held owner | basket 6 kg Boletus edulis",
                crate::rules::Answer::Free,
            ),
        ],
    );
}

fn liguria() -> RuleBook {
    act(
        "IT-42",
        "007R0692, 3",
        json!({
            "taxa": sets(&[
                ("ceps", &["Boletus edulis", "Boletus aereus", "Boletus pinophilus", "Boletus reticulatus"]),
                ("caesar", &["Amanita caesarea"]),
                ("honey", &["Armillaria mellea"]),
            ]),
            "rules": [
                {"id": "all", "kind": "quantity", "taxa": {"all_but": "honey"},
                    "quantity": {"amount": "3", "unit": "kg", "per": "person", "period": "day"}},
                {"id": "ceps", "kind": "sub_limit", "sub_limit": {"of": "all", "taxa": "ceps", "amount": "3", "unit": "kg"}},
                {"id": "caesar", "kind": "sub_limit", "sub_limit": {"of": "all", "taxa": "caesar", "amount": "1", "unit": "kg"}},
                {"id": "honey", "kind": "unlimited", "taxa": "honey"},
                {"id": "own-use", "kind": "qualitative"},
                {"id": "owners", "kind": "unlimited", "who": {"owner": true}, "replaces": ["all", "ceps", "caesar", "own-use"]},
            ],
        }),
    )
}

/// Croatia, NN 114/2017: title read in the official gazette, values on secondary pages.
#[test]
fn a_permit_for_each_branch_and_year() {
    let croatia = act(
        "HR",
        "NN 114/2017",
        json!({
            "zones": [
                {"id": "branch-a", "where": {"outline": {"type": "Polygon", "coordinates": [[[14, 47], [14.5, 47], [14.5, 48], [14, 48], [14, 47]]]}}},
                {"id": "branch-b", "where": {"outline": {"type": "Polygon", "coordinates": [[[14.5, 47], [15, 47], [15, 48], [14.5, 48], [14.5, 47]]]}}},
            ],
            "rules": [
                kilograms("daily", "3"),
                {"id": "permit-a", "kind": "permit", "where": ["branch-a"], "permit": {}},
                {"id": "permit-b", "kind": "permit", "where": ["branch-b"], "permit": {}},
                {"id": "owners", "kind": "exemption", "who": {"owner": true}, "exempts": ["permit-a", "permit-b"]},
            ],
        }),
    );
    let paper = "paper=HR/permit-a@2026-01-01..2026-12-31";
    let last_year = "paper=HR/permit-a@2025-01-01..2025-12-31";
    let rows = [
        (
            format!("2026-09-12 | who held {paper} | in branch-a | basket 3 kg Boletus edulis"),
            Limits,
        ),
        (format!("2026-09-12 | who held {paper} | in branch-b"), Need),
        (format!("2026-09-12 | who held {last_year} | in branch-a"), Need),
        (
            "2026-09-12 | who held !permit owner | in branch-a | basket 3.5 kg Boletus edulis".to_owned(),
            Over,
        ),
    ];
    for (row, expected) in &rows {
        table(&[&croatia], &[(row, *expected)]);
    }
    let owner = verdict(&[&croatia], "2026-09-12 | who held !permit owner | in branch-a");
    assert_eq!(
        (owner.answer, why(&owner, "permit-a").as_str()),
        (Limits, "lifted by")
    );
}

/// Slovakia, protection levels of the nature protection act; read on secondary pages.
#[test]
fn levels_of_protection() {
    let slovakia = act(
        "SK",
        "nature protection act",
        json!({
            "taxa": sets(&[("protected", &["Boletus aereus"])]),
            "zones": [{"id": "level-3", "where": {"attribute": {"name": "attributes.protection_level", "at_least": 3}}}],
            "rules": [
                {"id": "level", "kind": "closed_zone", "where": ["level-3"], "closed_zone": {"forbids": ["collect"]}},
                {"id": "owners", "kind": "exemption", "who": {"owner": true}, "exempts": ["level"]},
                {"id": "species", "kind": "protected_taxon", "taxa": "protected", "protected_taxon": {"forbids": ["collect"]}},
                {"id": "small", "kind": "qualitative"},
            ],
        }),
    );
    table(
        &[&slovakia],
        &[
            ("2026-09-12 | who held !owner", Limits),
            ("2026-09-12 | who held !owner | in level-3", Closed),
            ("2026-09-12 | who held owner | in level-3", Limits),
            (
                "2026-09-12 | who held !owner | basket 1 piece Boletus aereus",
                Closed,
            ),
        ],
    );
    let level_untold = super::asks::bare(14.5, 47.5);
    let asked = Ask::read("2026-09-12 | who held !owner");
    let verdict = super::asks::under_the_sun(&[&slovakia], &level_untold, &asked.visit);
    assert_eq!(verdict.answer, NotKnown);
}

/// Lucerne, 2017: read on secondary pages. The half kilogram is exact, and what no book says is not known.
#[test]
fn exact_sums_and_what_is_not_known() {
    let rules = json!([
        kilograms("daily", "2"),
        {"id": "pooled", "kind": "sub_limit", "sub_limit": {"of": "daily", "taxa": "pooled", "amount": "0.5", "unit": "kg"}},
        {"id": "first-seven", "kind": "closed_days", "closed_days": {"days_of_month": "1-7"}},
    ]);
    let taxa = sets(&[("pooled", &["Morchella", "Cantharellus"])]);
    let lucerne = act("CH-LU", "ordinance", json!({"taxa": taxa, "rules": rules}));
    table(
        &[&lucerne],
        &[
            (
                "2026-09-10 | who held | basket 0.2 kg Morchella esculenta, 0.3 kg Cantharellus cibarius",
                Limits,
            ),
            (
                "2026-09-10 | who held | basket 0.1 kg Cantharellus cibarius, 0.2 kg Cantharellus cibarius, 0.2 kg Cantharellus cibarius",
                Limits,
            ),
            ("2026-09-10 | who held | basket 501 g Cantharellus cibarius", Over),
            ("2026-09-07 | who held", Closed),
            ("2026-09-08 | who held", Limits),
        ],
    );
    let told = verdict(&[&lucerne], "2026-09-10 | who held");
    assert_eq!(limits(&told), ["2 kg by daily", "0.5 kg by pooled"]);
    assert_eq!(verdict(&[], "2026-09-10 | who held").answer, NotKnown, "no book");
    // A kind of rule that this version does not know: its words are shown, and the answer is at best not known.
    let newer = act(
        "CH-LU",
        "ordinance",
        json!({"rules": [kilograms("daily", "2"), {"id": "moon", "kind": "moon_phase", "moon_phase": {"full": true}}]}),
    );
    let told = verdict(&[&newer], "2026-09-10 | who held");
    assert_eq!(told.answer, NotKnown);
    assert_eq!(told.decided_by[0].rule.as_str(), "moon");
}
