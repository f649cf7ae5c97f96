//! Checks of a map's outlines, in whole hundred-thousandths of a degree and so exactly: in go features, out come their
//! flaws in words. Each check has a small map that it rejects.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// A position in hundred-thousandths of a degree.
pub(crate) type Place = (i64, i64);

type Ring = Vec<Place>;

/// Reads a position.
pub(crate) fn place(position: &Value) -> Place {
    let whole = |axis: usize| (position[axis].as_f64().expect("a number") * 100_000.0).round() as i64;
    (whole(0), whole(1))
}

/// The polygons of a stand, each its rings.
pub(crate) fn polygons(feature: &Value) -> Vec<Vec<Ring>> {
    let geometry = &feature["geometry"];
    let ring = |ring: &Value| ring.as_array().expect("a ring").iter().map(place).collect();
    let polygon = |polygon: &Value| polygon.as_array().expect("a polygon").iter().map(ring).collect();
    match geometry["type"].as_str() {
        Some("Polygon") => vec![polygon(&geometry["coordinates"])],
        Some("MultiPolygon") => geometry["coordinates"]
            .as_array()
            .expect("polygons")
            .iter()
            .map(polygon)
            .collect(),
        other => panic!("a stand has the geometry {other:?}"),
    }
}

/// Twice the signed area of a ring: above zero where it runs counter-clockwise.
fn turned(ring: &[Place]) -> i64 {
    let (x0, y0) = ring[0];
    ring.windows(2)
        .map(|pair| (pair[0].0 - x0) * (pair[1].1 - y0) - (pair[1].0 - x0) * (pair[0].1 - y0))
        .sum()
}

/// Area of a stand in hectares, from metres a degree at 49.16 degrees north (WGS 84: 72.94 km and 111.21 km).
pub(crate) fn hectares(feature: &Value) -> f64 {
    let doubled: i64 = polygons(feature).iter().flatten().map(|ring| turned(ring)).sum();
    doubled as f64 / 2.0 * 0.729_4 * 1.112_1 / 10_000.0
}

/// How many pieces of border are walked by two stands in opposite directions, and how many there are.
pub(crate) fn shared_border(features: &[Value]) -> (usize, usize) {
    let walked: BTreeSet<(Place, Place)> = pieces(features).map(|(_, piece)| piece).collect();
    (
        walked.iter().filter(|(a, b)| walked.contains(&(*b, *a))).count(),
        walked.len(),
    )
}

/// Every piece of every ring with the number of its stand.
fn pieces(features: &[Value]) -> impl Iterator<Item = (&str, (Place, Place))> {
    features.iter().flat_map(|feature| {
        let name = feature["properties"]["UNIT_NO"].as_str().unwrap_or("?");
        let rings: Vec<Ring> = polygons(feature).into_iter().flatten().collect();
        rings.into_iter().flat_map(move |ring| {
            let pairs: Vec<_> = ring.windows(2).map(|pair| (name, (pair[0], pair[1]))).collect();
            pairs
        })
    })
}

/// Everything that is wrong with the outlines:
///
/// - RFC 7946, section 3.1.6: a ring has four or more positions, its ends are the same, shells run counter-clockwise
///   and holes clockwise;
/// - no position stands twice in a row, and no piece of border is walked twice the same way, as neighbours walk it in
///   opposite directions;
/// - no two pieces of border cross, overlap, or meet but at their ends.
pub(crate) fn flaws(features: &[Value]) -> Vec<String> {
    let mut flaws = Vec::new();
    for feature in features {
        let name = feature["properties"]["UNIT_NO"].as_str().unwrap_or("?");
        for polygon in polygons(feature) {
            for (number, ring) in polygon.iter().enumerate() {
                let what = if number == 0 { "shell" } else { "hole" };
                if ring.len() < 4 {
                    flaws.push(format!("{name}: a {what} of {} positions", ring.len()));
                } else if ring[0] != ring[ring.len() - 1] {
                    flaws.push(format!("{name}: a {what} is open"));
                } else if (turned(ring) > 0) != (number == 0) {
                    flaws.push(format!("{name}: a {what} runs the wrong way round"));
                }
            }
        }
    }
    let mut walked: BTreeSet<(Place, Place)> = BTreeSet::new();
    for (name, piece) in pieces(features) {
        if piece.0 == piece.1 {
            flaws.push(format!(
                "{name}: the position {:?} stands twice in a row",
                piece.0
            ));
        } else if !walked.insert(piece) {
            flaws.push(format!(
                "{name}: the border {piece:?} is walked twice the same way"
            ));
        }
    }
    flaws.extend(meetings(&walked));
    flaws
}

/// Where pieces of border meet that should not, found tile by tile.
fn meetings(walked: &BTreeSet<(Place, Place)>) -> BTreeSet<String> {
    const TILE: i64 = 300;
    let pieces: BTreeSet<(Place, Place)> = walked.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect();
    let mut tiles: BTreeMap<(i64, i64), Vec<(Place, Place)>> = BTreeMap::new();
    for (a, b) in pieces {
        for i in a.0.min(b.0).div_euclid(TILE)..=a.0.max(b.0).div_euclid(TILE) {
            for j in a.1.min(b.1).div_euclid(TILE)..=a.1.max(b.1).div_euclid(TILE) {
                tiles.entry((i, j)).or_default().push((a, b));
            }
        }
    }
    let side =
        |a: Place, b: Place, c: Place| ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).signum();
    let within = |low: i64, high: i64, value: i64| low.min(high) <= value && value <= low.max(high);
    let on = |a: Place, b: Place, c: Place| {
        side(a, b, c) == 0 && within(a.0, b.0, c.0) && within(a.1, b.1, c.1) && c != a && c != b
    };
    let mut found = BTreeSet::new();
    for pieces in tiles.values() {
        for (number, &(a, b)) in pieces.iter().enumerate() {
            for &(c, d) in &pieces[number + 1..] {
                let across = side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
                if across {
                    found.insert(format!("the borders {:?} and {:?} cross", (a, b), (c, d)));
                } else if on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) {
                    found.insert(format!(
                        "the borders {:?} and {:?} touch beside their ends",
                        (a, b),
                        (c, d)
                    ));
                }
            }
        }
    }
    found
}

/// A stand with one ring, or with a shell and holes, from whole positions.
fn stand(name: &str, rings: &[&[Place]]) -> Value {
    let degrees = |&(x, y): &Place| serde_json::json!([x as f64 / 100_000.0, y as f64 / 100_000.0]);
    let rings: Vec<Value> = rings
        .iter()
        .map(|ring| ring.iter().map(degrees).collect())
        .collect();
    serde_json::json!({
        "type": "Feature",
        "properties": {"UNIT_NO": name},
        "geometry": {"type": "Polygon", "coordinates": rings}
    })
}

#[test]
fn two_sound_neighbours_pass() {
    let west = stand(
        "W",
        &[
            &[(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)],
            &[(3, 3), (3, 6), (6, 6), (3, 3)],
        ],
    );
    let east = stand("E", &[&[(9, 0), (20, 0), (20, 9), (9, 9), (9, 0)]]);
    let map = [west, east];
    assert_eq!(flaws(&map), Vec::<String>::new());
    assert_eq!(shared_border(&map), (2, 11));
}

#[test]
fn each_flaw_is_found() {
    let square: &[Place] = &[(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)];
    let table: [(&str, Vec<Value>, &str); 8] = [
        (
            "three positions",
            vec![stand("A", &[&[(0, 0), (9, 0), (0, 0)]])],
            "A: a shell of 3 positions",
        ),
        (
            "open",
            vec![stand("A", &[&[(0, 0), (9, 0), (9, 9), (0, 9)]])],
            "A: a shell is open",
        ),
        (
            "clockwise shell",
            vec![stand("A", &[&[(0, 0), (0, 9), (9, 9), (0, 0)]])],
            "A: a shell runs the wrong way round",
        ),
        (
            "counter-clockwise hole",
            vec![stand("A", &[square, &[(3, 3), (6, 3), (6, 6), (3, 3)]])],
            "A: a hole runs the wrong way round",
        ),
        (
            "a position twice",
            vec![stand("A", &[&[(0, 0), (9, 0), (9, 0), (9, 9), (0, 0)]])],
            "A: the position (9, 0) stands twice in a row",
        ),
        (
            "a stand twice",
            vec![stand("A", &[square]), stand("B", &[square])],
            "B: the border ((0, 0), (9, 0)) is walked twice the same way",
        ),
        (
            "an overlap",
            vec![
                stand("A", &[square]),
                stand("B", &[&[(5, -3), (7, -3), (7, 12), (5, 12), (5, -3)]]),
            ],
            "the borders ((0, 0), (9, 0)) and ((5, -3), (5, 12)) cross",
        ),
        (
            "a corner on a neighbour's border",
            vec![
                stand("A", &[square]),
                stand("B", &[&[(9, 4), (15, 0), (15, 9), (9, 4)]]),
            ],
            "the borders ((9, 0), (9, 9)) and ((9, 4), (15, 0)) touch beside their ends",
        ),
    ];
    for (what, map, expected) in table {
        let found = flaws(&map);
        assert!(found.iter().any(|flaw| flaw == expected), "{what}: {found:?}");
    }
}
