//! The basket, natively: what the page sends goes in, a tree comes out. The sums are tested beside the rules; here the
//! whole line has to fit together, and what is deadly has to come first.

use hostwood::boundary::{BasketEntry, BookBytes, Session, VisitInput};
use serde_json::Value;

const STANDS: &str = include_str!("../examples/plain/stands.geojson");
const BOOK: &str = include_str!("../examples/rules/wold.rules.json");

fn session(book: Option<&str>, day: &str) -> Session {
    let mut session = Session::default();
    session.begin_stands(None).expect("begin");
    session.push_stands(STANDS.as_bytes()).expect("push");
    session.finish_stands().expect("finish");
    if let Some(book) = book {
        session.set_rules(&[BookBytes {
            name: "region".to_owned(),
            bytes: Some(book.as_bytes().to_vec()),
        }]);
    }
    let visit = VisitInput {
        day: day.to_owned(),
        ..VisitInput::default()
    };
    session.set_visit(&visit).expect("visit");
    session
}

fn entry(kind: &str, mass: &str) -> BasketEntry {
    BasketEntry {
        kind: kind.to_owned(),
        mass: Some(mass.to_owned()),
        ..BasketEntry::default()
    }
}

fn tree(session: &Session, basket: &[BasketEntry]) -> Vec<Value> {
    let nodes = session
        .harvest(None, basket, &["en".to_owned()])
        .expect("a basket that can be read");
    serde_json::to_value(nodes)
        .expect("a tree")
        .as_array()
        .expect("nodes")
        .clone()
}

fn answer(tree: &[Value]) -> &str {
    tree.iter()
        .find(|node| node["node"] == "verdict")
        .and_then(|node| node["answer"].as_str())
        .expect("an answer")
}

fn fills(tree: &[Value]) -> Vec<String> {
    tree.iter()
        .filter(|node| node["node"] == "fill")
        .map(|node| {
            format!(
                "{} of {} {}: {}",
                node["used"].as_str().expect("used"),
                node["limit"].as_str().expect("limit"),
                node["unit"].as_str().expect("unit"),
                node["level"].as_str().expect("level"),
            )
        })
        .collect()
}

/// A book that could not be fetched might ask for anything: no basket gets a better answer than "not known" beside it.
#[test]
fn a_basket_beside_a_book_that_is_missing_is_not_known() {
    // A limit alone, so that nothing hangs on the place.
    let mut book: Value = serde_json::from_str(BOOK).expect("JSON");
    book["rules"].as_array_mut().expect("rules").truncate(1);
    let book = book.to_string();
    let mut session = session(Some(&book), "2026-09-12");
    let basket = [entry("Boletus edulis", "0.1")];
    assert_eq!(answer(&tree(&session, &basket)), "limits");
    session.set_rules(&[
        BookBytes {
            name: "region".to_owned(),
            bytes: Some(book.as_bytes().to_vec()),
        },
        BookBytes {
            name: "town".to_owned(),
            bytes: None,
        },
    ]);
    assert_eq!(answer(&tree(&session, &basket)), "not_known");
}

#[test]
fn a_basket_is_held_against_the_whole_limit_and_its_part() {
    let session = session(Some(BOOK), "2026-09-12");
    let basket = [
        entry("boletus_edulis", "0.6"),
        entry("cantharellus_cibarius", "0.7"),
    ];
    let tree = tree(&session, &basket);
    assert_eq!(fills(&tree), ["1.3 of 2 kg: under", "0.6 of 0.5 kg: over"]);
    assert!(
        tree.iter()
            .any(|node| node["text"]["key"] == "harvest.excess"
                && node["text"]["args"]["amount"]["n"] == 0.1),
        "{tree:#?}"
    );
}

#[test]
fn what_is_deadly_comes_before_everything_else() {
    let session = session(Some(BOOK), "2026-09-12");
    let basket = [
        entry("boletus_edulis", "0.1"),
        entry("amanita_muscaria", "0.1"),
        entry("Amanita phalloides", "0.1"),
    ];
    let tree = tree(&session, &basket);
    assert_eq!(
        (tree[0]["tone"].as_str(), tree[0]["text"]["key"].as_str()),
        (Some("deadly"), Some("harvest.deadly")),
        "{tree:#?}"
    );
    let poisonous = tree
        .iter()
        .position(|node| node["tone"] == "poisonous")
        .expect("fly agaric");
    let verdict = tree
        .iter()
        .position(|node| node["node"] == "verdict")
        .expect("answer");
    assert!(poisonous < verdict);
}

#[test]
fn no_book_gives_no_permission() {
    let tree = tree(&session(None, "2026-09-12"), &[entry("boletus_edulis", "0.1")]);
    assert_eq!(answer(&tree), "not_known");
    assert_eq!(fills(&tree), [] as [String; 0]);
}

#[test]
fn a_basket_that_makes_no_sense_is_refused_by_entry() {
    let session = session(Some(BOOK), "2026-09-12");
    for (bad, message) in [
        (
            entry("boletus_edulis", "1,5"),
            "basket, entry 1: `mass` is `1,5`, expected a decimal such as `1.5`",
        ),
        (
            entry("boletus_edulis", "-1"),
            "basket, entry 1: `mass` is `-1`, expected 0 or more",
        ),
        (
            entry(" ", "1"),
            "basket, entry 1: `kind` is ``, expected a kind's id or a scientific name such as `Boletus edulis`",
        ),
        (
            BasketEntry {
                cap: Some(-3.0),
                ..entry("boletus_edulis", "1")
            },
            "basket, entry 1: `cap` is `-3`, expected centimetres, 0 to 100",
        ),
    ] {
        let refusal = session.harvest(None, &[bad], &[]).expect_err(message);
        assert_eq!(refusal.message, message);
    }
}
