//! The invented region as a visitor meets it: its stand map read through its crosswalk, its rule book set beside it,
//! on days whose answers its writer can tell beforehand. How each part works is left to the tests of the rooms.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use hostwood::assessment::Ground;
use hostwood::day::Day;
use hostwood::geometry::LngLat;
use hostwood::knowledge::Knowledge;
use hostwood::potential::{Step, ViewValue};
use hostwood::rules::{Answer, RuleBook};
use hostwood::stand::Ownership;
use hostwood::standmap::{self, Crosswalk, Reading, Severity};
use hostwood::units::{Fact, Truth};
use hostwood::visit::Visit;

use crate::files;

fn reading() -> Reading {
    let crosswalk = Crosswalk::read(include_bytes!("../../examples/region/crosswalk.json"));
    let crosswalk = crosswalk.unwrap_or_else(|mistakes| panic!("the crosswalk is refused: {mistakes:#?}"));
    assert!(crosswalk.warnings.is_empty(), "{:#?}", crosswalk.warnings);
    standmap::read(files().stands.as_bytes(), Some(&crosswalk), Knowledge::shipped())
        .expect("the stand map is read")
}

fn ground() -> &'static Ground {
    static GROUND: OnceLock<Ground> = OnceLock::new();
    GROUND.get_or_init(|| {
        let book = include_bytes!("../../examples/region/eskenvar.rules.json");
        let book = RuleBook::read(book, &Knowledge::shipped().fungi)
            .expect("the rule book is read")
            .book;
        let mut ground = Ground::new(reading().map, Knowledge::shipped());
        ground.set_books(vec![book], 0);
        ground
    })
}

fn visit(day: &str) -> Visit {
    Visit::on(Day::parse(day).expect("a day"))
}

/// How many stands get each answer.
fn answers(visit: &Visit) -> BTreeMap<Answer, usize> {
    let mut count = BTreeMap::new();
    let assessment = ground().assess(visit);
    for place in (0..).take(ground().map.stands.len()) {
        *count.entry(assessment.answer(place)).or_default() += 1;
    }
    count
}

/// The two codes of an older key are the only thing to be told, and no column is left unmapped.
#[test]
fn it_is_read_with_no_more_findings_than_it_was_given() {
    let reading = reading();
    let told: Vec<(Severity, &str)> = reading
        .findings
        .iter()
        .map(|finding| (finding.severity, finding.found.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (Severity::Warning, "the code `LH3` is not known"),
            (Severity::Warning, "the code `ZB` is not known")
        ]
    );
    assert!(
        reading.report.unmapped.is_empty(),
        "{:?}",
        reading.report.unmapped
    );
    assert_eq!(reading.report.without_outline, 0);
    let yards = reading.report.features - reading.report.stands;
    assert!((1..20).contains(&yards), "{yards} timber yards were left out");
    assert!(
        reading.map.stands.len() >= 1_500,
        "{} stands",
        reading.map.stands.len()
    );
}

/// Each step, the mark for a wide range and the mark for unknown trees have to be seen on the map.
#[test]
fn every_step_and_mark_shows_on_the_map() {
    let (mut steps, mut wide, mut not_known) = (BTreeMap::new(), 0, 0);
    let ground = ground();
    for stand in &ground.map.stands {
        match &ground.potential(stand).roots {
            ViewValue::Known(value) => {
                *steps.entry(value.step).or_insert(0) += 1;
                wide += usize::from(value.wide);
            }
            ViewValue::TreesNotKnown => not_known += 1,
            ViewValue::NotAssessed => panic!("{}: fungi with roots are always assessed", stand.id),
        }
    }
    let all = ground.map.stands.len();
    for step in Step::ALL {
        let found = steps.get(&step).copied().unwrap_or(0);
        assert!(
            found >= 20 && found * 2 < all,
            "{step:?}: {found} of {all} stands; all: {steps:?}"
        );
    }
    assert!(
        (10..all / 10).contains(&not_known),
        "{not_known} stands whose trees are not known"
    );
    assert!((50..all / 4).contains(&wide), "{wide} stands with a wide range");
}

#[test]
fn on_a_saturday_in_september_most_stands_have_limits() {
    let count = answers(&visit("2026-09-12"));
    let of = |answer| count.get(&answer).copied().unwrap_or(0);
    let all: usize = count.values().sum();
    assert!(of(Answer::Limits) * 2 > all, "{count:?}");
    for answer in [Answer::Closed, Answer::Need] {
        assert!(of(answer) >= 150, "{count:?}");
    }
    // Where age or owner are not recorded, a rule about them cannot be told.
    assert!((10..all / 8).contains(&of(Answer::NotKnown)), "{count:?}");
    for answer in [Answer::Over, Answer::Breach, Answer::NoRule, Answer::Free] {
        assert_eq!(of(answer), 0, "{count:?}");
    }
}

/// Tesselbro is closed on Tuesdays, Kestelfirst in winter, and after its review day the book promises nothing.
#[test]
fn days_change_what_is_closed() {
    let closed = |day: &str| answers(&visit(day)).get(&Answer::Closed).copied().unwrap_or(0);
    let saturday = closed("2026-09-12");
    assert!(
        closed("2026-09-15") > saturday + 50,
        "a Tuesday: {} and {saturday}",
        closed("2026-09-15")
    );
    assert!(
        closed("2026-11-14") > saturday + 30,
        "in winter: {} and {saturday}",
        closed("2026-11-14")
    );
    let late = answers(&visit("2027-03-13"));
    assert_eq!(late.get(&Answer::Limits), None, "after the review day: {late:?}");
    assert!(
        late.contains_key(&Answer::Closed),
        "what is closed stays closed: {late:?}"
    );
}

/// What a visitor tells can only open what hung on it.
#[test]
fn telling_of_permit_and_consent_opens_what_needed_them() {
    let silent = visit("2026-09-12");
    let mut told = silent.clone();
    told.visitor.permit = Truth::True;
    told.visitor.consent = Truth::True;
    let (before, after) = (answers(&silent), answers(&told));
    assert_eq!(after.get(&Answer::Need), None, "{after:?}");
    assert_eq!(
        before.get(&Answer::Closed),
        after.get(&Answer::Closed),
        "{before:?} {after:?}"
    );
}

/// Stand by stand, from what the map says of it.
#[test]
fn each_stand_gets_the_answer_its_columns_lead_to() {
    let ground = ground();
    let day = visit("2026-09-12");
    let assessment = ground.assess(&day);
    let mut seen = [0; 4];
    for (stand, place) in ground.map.stands.iter().zip(0..) {
        let answer = assessment.answer(place);
        let standing = ground.standing(stand);
        let age = &ground.profile(stand).age;
        let young = age.known().map(|age| age.get() < 15.0);
        let strict = standing.is_designated("strict_reserve") == Truth::True;
        let reserve = strict || standing.is_designated("landscape_reserve") == Truth::True;
        let expected = match (reserve || young == Some(true), young, &standing.ownership) {
            (true, ..) => vec![Answer::Closed],
            (false, _, Fact::Known(Ownership::Private)) => vec![Answer::Need],
            (false, None, Fact::Known(Ownership::Communal)) | (false, _, Fact::NotKnown(_)) => {
                vec![Answer::Need, Answer::NotKnown]
            }
            (false, None, _) => vec![Answer::NotKnown],
            (false, _, Fact::Known(Ownership::Communal)) => vec![Answer::Need, Answer::Limits],
            _ => vec![Answer::Limits],
        };
        assert!(
            expected.contains(&answer),
            "{}: {answer:?}, expected one of {expected:?}",
            stand.id
        );
        for (kind, is) in [
            strict,
            young == Some(true),
            answer == Answer::Need,
            answer == Answer::NotKnown,
        ]
        .into_iter()
        .enumerate()
        {
            seen[kind] += usize::from(is);
        }
    }
    assert!(
        seen.iter().all(|count| *count >= 10),
        "strict, young, need, not known: {seen:?}"
    );
}

#[test]
fn a_click_finds_the_stand_under_it() {
    let ground = ground();
    for stand in ground.map.stands.iter().step_by(97) {
        let place = stand.place.expect("every stand has a place");
        let found = ground
            .stand_at(place.inside)
            .and_then(|found| ground.stand(found));
        assert_eq!(found.map(|found| &found.id), Some(&stand.id));
    }
    assert_eq!(ground.stand_at(LngLat { lng: 15.0, lat: 49.0 }), None);
}
