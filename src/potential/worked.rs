//! Worked stands: the model's own examples, and what every forester knows. What studies say is held in `yields_tests`.

use super::stands::{BEST, stand};
use super::{Factor, Step, Value, View, ViewValue, assess};
use crate::knowledge::Knowledge;

fn roots(text: &str) -> Value {
    match assess(&stand(text), Knowledge::shipped()).roots {
        ViewValue::Known(value) => value,
        other => panic!("`{text}`: {other:?}"),
    }
}

/// `low / mid / high` to two digits, as in a table.
fn told(value: Value) -> String {
    let mid = value.mid.map_or("none".to_owned(), digits);
    format!("{} / {mid} / {}", digits(value.low), digits(value.high))
}

fn digits(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[test]
fn worked_stands_come_out_to_the_digits() {
    // The model's worked stands, computed apart from this code.
    for (id, text, expected) in [
        ("A", format!("spruce 1, {BEST}"), "100 / 100 / 100"),
        ("B", format!("ash 1, {BEST}"), "0 / 0 / 0"),
        (
            "C",
            format!("maple 0.7, birch 0.3, {BEST}"),
            "46.15 / 46.15 / 46.15",
        ),
        (
            "D",
            "alder 1, 40 yr, 22 m2, neutral, wet, N 10".to_owned(),
            "15.69 / 25.5 / 32.21",
        ),
        (
            "E",
            "pine 1, 10 yr, 8 m2, acid, dry, N 4".to_owned(),
            "15.12 / 15.12 / 15.12",
        ),
        ("G", format!("oak 0.6, {BEST}"), "75 / none / 100"),
        (
            "H",
            "spruce 1, 60 yr, 55 m2, acid, fresh, N 4".to_owned(),
            "67.5 / 67.5 / 67.5",
        ),
        (
            "I",
            "spruce 1, 60 yr, 25 m2, acid, fresh, N 16.5".to_owned(),
            "50 / 50 / 50",
        ),
        (
            "J",
            "spruce 1, 1 yr, 0 m2, acid, fresh, N 4".to_owned(),
            "0 / 0 / 0",
        ),
        (
            "K",
            "spruce 1, 160 yr, 25 m2, acid, fresh, N 4".to_owned(),
            "60 / 100 / 100",
        ),
        ("L", format!("heather 1, {BEST}"), "0 / 0 / 18.18"),
        ("N", "oak 1".to_owned(), "100 / 100 / 100"),
        ("O", "oak 1, age ?".to_owned(), "5 / none / 100"),
        ("P", "oak 1, 12 yr".to_owned(), "53 / 53 / 53"),
        (
            "Q",
            "oak 1, age ?, moisture ?, 25 m2".to_owned(),
            "2 / none / 100",
        ),
        (
            "S",
            "beech 0.5, ash 0.3, 80 yr".to_owned(),
            "66.67 / none / 82.35",
        ),
        ("T", "aspen 1, 40 yr".to_owned(), "46.15 / 75 / 94.74"),
        ("U", "willow 0.5, maple 0.5".to_owned(), "26.09 / 46.15 / 62.07"),
    ] {
        assert_eq!(told(roots(&text)), expected, "{id}: {text}");
    }
}

#[test]
fn what_is_missing_is_told_apart_from_what_is_not_assessed() {
    let potential = |text| assess(&stand(text), Knowledge::shipped());
    let not_assessed = |text| -> Vec<Factor> {
        let all = potential(text).not_assessed;
        all.into_iter()
            .filter(|factor| factor.concerns(View::Roots))
            .collect()
    };
    let all = [
        Factor::Age,
        Factor::Stocking,
        Factor::SoilReaction,
        Factor::Moisture,
        Factor::Nitrogen,
        Factor::Nutrients,
        Factor::Aspect,
        Factor::Disturbance,
    ];
    assert_eq!(not_assessed("oak 1"), all);
    assert_eq!(not_assessed("oak 1, age ?"), all[1..]);
    assert_eq!(potential("oak 1, age ?").not_known, [Factor::Age]);
    assert_eq!(potential("oak 1, 12 yr").not_known, []);
    assert_eq!(
        potential("oak 1, age ?, moisture ?, 25 m2").not_known,
        [Factor::Age, Factor::Moisture]
    );
    // Canopy cover stands in where basal area is missing; with neither, density is missing.
    assert_eq!(potential("oak 1, m2 ?, cover 0.7").not_known, []);
    assert_eq!(potential("oak 1, m2 ?").not_known, [Factor::Stocking]);
    assert_eq!(told(roots("oak 1, m2 ?, cover 0.3")), "50 / 50 / 50");
    assert_eq!(told(roots("oak 1, 25 m2, cover 0.3")), "100 / 100 / 100");
}

#[test]
fn steps_and_the_wide_mark_follow_the_value() {
    for (text, step, wide) in [
        (format!("ash 1, {BEST}"), Step::Bare, false),
        // Any host at all is at least slight.
        (format!("maple 0.999, birch 0.001, {BEST}"), Step::Slight, false),
        (format!("heather 1, {BEST}"), Step::Slight, false),
        (
            "spruce 1, 60 yr, 25 m2, calcareous, wet, N 4".to_owned(),
            Step::Slight,
            false,
        ),
        (format!("maple 0.7, birch 0.3, {BEST}"), Step::Fair, false),
        ("oak 1, 12 yr".to_owned(), Step::Fair, false),
        ("oak 1, age ?".to_owned(), Step::Fair, true),
        (
            "spruce 1, 60 yr, 55 m2, acid, fresh, N 4".to_owned(),
            Step::Good,
            false,
        ),
        (format!("spruce 1, {BEST}"), Step::Rich, false),
        (format!("oak 0.6, {BEST}"), Step::Rich, false),
        // A dual tree keeps its step, with the mark.
        ("aspen 1, 40 yr".to_owned(), Step::Good, true),
        // Age over a hundred lowers the low end; that is a reason, not a wide range.
        (
            "spruce 1, 160 yr, 25 m2, acid, fresh, N 4".to_owned(),
            Step::Rich,
            false,
        ),
    ] {
        let value = roots(&text);
        assert_eq!((value.step, value.wide), (step, wide), "{text}: {value:?}");
    }
    // Upper ends are included: 30, 55 and 80 belong to the lower step.
    let factors = &Knowledge::shipped().factors;
    for (percent, step) in [
        (0.3, Step::Slight),
        (0.300_1, Step::Fair),
        (0.55, Step::Fair),
        (0.550_1, Step::Good),
        (0.8, Step::Good),
        (0.800_1, Step::Rich),
    ] {
        let exact = super::Interval::exact(percent);
        assert_eq!(super::value(exact, percent, factors).step, step, "{percent}");
    }
}

#[test]
fn nothing_known_of_the_trees_is_no_step() {
    for text in ["", BEST, "SB 1", "SB 0.5, Felled 0.5"] {
        let potential = assess(&stand(text), Knowledge::shipped());
        assert_eq!(potential.roots, ViewValue::TreesNotKnown, "{text}");
        assert!(potential.not_known.contains(&Factor::Trees), "{text}");
    }
    // One tree known is enough to tell a range.
    assert_eq!(told(roots("spruce 0.5, SB 0.5")), "66.67 / none / 100");
}

#[test]
fn groups_and_classes_are_ranges() {
    for (text, expected) in [
        ("fir or spruce 1", "100 / 100 / 100"),
        ("boreal_conifer 1", "100 / 100 / 100"),
        ("broadleaf 1", "0 / none / 100"),
        ("conifer 1", "0 / none / 100"),
        ("spruce 0.5, broadleaf 0.5", "66.67 / none / 100"),
        // A leading tree: the rest is not told.
        ("oak 0.6..1", "75 / none / 100"),
        ("ash 0.6..1", "0 / none / 57.14"),
        ("oak ?", "0 / none / 100"),
        // A genus nobody knows may be anything.
        ("genus Dalbergia 1", "0 / none / 100"),
        ("Eucalyptus 1", "0 / 75 / 94.74"),
        // A species that differs from its genus counts as itself.
        ("Acacia dealbata 1", "46.15 / 75 / 94.74"),
        ("Acacia saligna 1", "0 / 0 / 0"),
        ("Salix herbacea 1", "100 / 100 / 100"),
        // Shares that miss one by a rounding are whole.
        ("oak 0.333, beech 0.333, spruce 0.333", "100 / 100 / 100"),
        ("oak 1, 10..30 yr", "45 / none / 100"),
        ("oak 1, 80..120 yr", "60 / none / 100"),
        ("oak 1, acid..calcareous", "75 / none / 100"),
        ("oak 1, 10..60 m2", "60 / none / 100"),
        // Which critical load counts is open where conifers may lead.
        ("spruce 0.4, broadleaf 0.6, N 11", "42.86 / none / 100"),
        ("spruce 0.6, ash 0.4, N 11", "56.25 / 56.25 / 56.25"),
        ("oak 0.6, spruce 0.4, N 11", "100 / 100 / 100"),
    ] {
        assert_eq!(told(roots(text)), expected, "{text}");
    }
    assert_eq!(
        told(roots("oak 0.6, spruce 0.4, inconsistent")),
        "100 / none / 100"
    );
}

#[test]
fn what_speaks_of_the_same_thing_is_counted_once() {
    for (text, expected) in [
        // A dry ground on a sunny slope is dry, not dry twice.
        ("oak 1, dry, facing south", "60 / 60 / 60"),
        ("oak 1, fresh, facing south", "80 / 90 / 100"),
        ("oak 1, fresh, facing north", "100 / 100 / 100"),
        ("oak 1, moisture ?, facing south", "40 / none / 100"),
        ("oak 1, aspect ?", "80 / none / 100"),
        // Nitrogen from the air on a rich site.
        ("oak 1, rich, N 45", "50 / 50 / 50"),
        ("oak 1, rich, N 10", "85 / 85 / 85"),
        ("oak 1, poor..rich", "80 / none / 100"),
        ("oak 1, nutrients ?, N 30", "75 / none / 75"),
        // A stand felled twenty years ago is twenty years old.
        ("oak 1, 10 yr, felled 10 ago", "45 / 45 / 45"),
        ("oak 1, 80 yr, felled 10 ago", "45 / 45 / 45"),
        ("oak 1, 10 yr, felled 25 ago", "45 / 45 / 45"),
        ("oak 1, burnt 0..3 ago", "0 / none / 15"),
        ("oak 1, windthrown 0 ago", "20 / 20 / 20"),
        // When is not told; a word that makes no sense; none.
        ("oak 1, burnt ? ago", "0 / none / 100"),
        ("oak 1, felled ? ago", "5 / none / 100"),
        ("oak 1, event ?", "0 / none / 100"),
        ("oak 1, no event", "100 / 100 / 100"),
    ] {
        assert_eq!(told(roots(text)), expected, "{text}");
    }
    // Events are listed where they happened: an empty cell says that none is recorded, like the word for none.
    let mut stand = stand("oak 1, no event");
    let none = assess(&stand, Knowledge::shipped());
    stand.disturbance = super::stands::empty();
    assert_eq!(assess(&stand, Knowledge::shipped()), none);
}

#[test]
fn layers_below_and_above_raise_the_canopy_by_their_weight() {
    for (text, expected) in [
        // 0.3 of a full understorey of hosts: 0.3 / (0.3 + 0.5 * 0.7).
        ("ash 1, under hazel 1", "46.15 / 46.15 / 46.15"),
        ("ash 1, under elder 1", "0 / 0 / 0"),
        ("oak 1, under hazel 1", "100 / 100 / 100"),
        ("maple 1, retained oak 1", "46.15 / 46.15 / 46.15"),
        // No canopy told: it may be anything.
        ("under hazel 1", "46.15 / none / 100"),
    ] {
        assert_eq!(told(roots(text)), expected, "{text}");
    }
}

#[test]
fn wood_and_litter_are_values_of_their_own() {
    let potential = |text| assess(&stand(text), Knowledge::shipped());
    let of = |value: ViewValue| value.known().copied().map(told);
    for (text, wood, litter) in [
        ("ash 1, deadwood much, moist", Some("100 / 100 / 100"), None),
        ("ash 1, deadwood little, dry", Some("18 / 18 / 18"), None),
        ("ash 1, edge, fresh", None, Some("72 / 72 / 72")),
        ("ash 1, closed, fresh", None, Some("36 / 36 / 36")),
        ("ash 1, deadwood none, moist", Some("0 / 0 / 0"), None),
        ("ash 1, deadwood 20, wet", Some("45 / 45 / 45"), None),
        ("ash 1, deadwood ?", Some("0 / none / 100"), None),
        ("ash 1, setting ?, moist", None, Some("40 / none / 100")),
        ("ash 1, park, moisture ?", None, Some("60 / none / 100")),
        ("SB 1, hedge, moist", None, Some("100 / 100 / 100")),
        ("ash 1, moist", None, None),
    ] {
        let found = potential(text);
        assert_eq!(of(found.wood).as_deref(), wood, "wood of {text}");
        assert_eq!(of(found.litter).as_deref(), litter, "litter of {text}");
        // The three views are never added: what lies on the ground does not touch the trees' value.
        if text.starts_with("ash") {
            assert_eq!(found.roots.known().map(|value| value.value), Some(0.0), "{text}");
        }
    }
    assert_eq!(potential("ash 1").wood, ViewValue::NotAssessed);
}

#[test]
fn what_every_forester_knows_of_trees() {
    // Common practice of collectors and foresters.
    for alone in [
        "maple", "elm", "rowan", "apple", "pear", "ash", "cherry", "walnut", "yew", "thuja", "robinia",
        "hawthorn",
    ] {
        let value = roots(&format!("{alone} 1, {BEST}"));
        assert_eq!((value.high, value.step), (0.0, Step::Bare), "{alone}");
    }
    for promising in [
        "oak", "spruce", "birch", "beech", "hornbeam", "larch", "pine", "fir", "hazel", "lime",
    ] {
        let value = roots(&format!("{promising} 1, {BEST}"));
        assert_eq!((value.low, value.step), (100.0, Step::Rich), "{promising}");
    }
    for between in ["alder", "willow", "aspen"] {
        let value = roots(&format!("{between} 1, {BEST}"));
        assert!(
            value.low > 0.0 && value.high < 100.0,
            "{between} lies between: {value:?}"
        );
        assert!(
            value.mid.is_some_and(|mid| mid > 50.0 && mid < 100.0),
            "{between}: {value:?}"
        );
    }
}
