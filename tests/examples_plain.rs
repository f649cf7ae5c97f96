//! The small example in the plain form: that it is read without a finding to mend, and that each stand shows what
//! examples/README.md says it shows.

use hostwood::knowledge::Knowledge;
use hostwood::potential::{Step, ViewValue, assess};
use hostwood::standmap::{self, Reading};

const STANDS: &[u8] = include_bytes!("../examples/plain/stands.geojson");

fn reading() -> Reading {
    standmap::read(STANDS, None, Knowledge::shipped()).expect("the example is a stand map")
}

#[test]
fn nothing_in_it_has_to_be_mended() {
    let reading = reading();
    let told: Vec<String> = reading
        .findings
        .iter()
        .map(|finding| format!("{}: {}", finding.code, finding.found))
        .collect();
    assert_eq!(told, Vec::<String>::new());
    assert_eq!(reading.map.stands.len(), 12);
    assert_eq!(reading.report.without_outline, 0);
}

/// `None`: trees not known, no step. The flag: whether the range is wide.
#[test]
fn each_stand_shows_what_it_is_there_for() {
    let reading = reading();
    let table = [
        ("church-wood-1", Some((Step::Rich, false))),
        ("church-wood-2", Some((Step::Rich, false))),
        ("church-wood-3", Some((Step::Rich, false))),
        ("mill-bank", Some((Step::Slight, false))),
        ("sand-pit", Some((Step::Good, false))),
        ("young-larch", Some((Step::Slight, false))),
        ("ash-dell", Some((Step::Fair, false))),
        ("oak-pasture", Some((Step::Fair, true))),
        ("half-told", Some((Step::Fair, false))),
        ("broadleaves", Some((Step::Fair, true))),
        ("not-recorded", None),
        ("old-growth", Some((Step::Rich, false))),
    ];
    let found: Vec<(&str, Option<(Step, bool)>)> = reading
        .map
        .stands
        .iter()
        .map(|stand| {
            let roots = assess(
                &reading.map.profiles[stand.profile as usize],
                Knowledge::shipped(),
            )
            .roots;
            let step = match roots {
                ViewValue::Known(value) => Some((value.step, value.wide)),
                ViewValue::TreesNotKnown => None,
                ViewValue::NotAssessed => panic!("{}: fungi with roots are always assessed", stand.id),
            };
            (stand.id.as_str(), step)
        })
        .collect();
    assert_eq!(found, table);
}
