//! Outlines laid over stands: held against the geometry library's own intersection, and bounds that stop in time.

use geo::{Area as _, BooleanOps as _, MultiPolygon, Polygon, Rect, coord};
use proptest::prelude::*;

use super::*;

fn polygon(ring: &[(f64, f64)]) -> Polygon<f64> {
    Polygon::new(ring.iter().copied().collect(), Vec::new())
}

fn rectangle(west: f64, south: f64, east: f64, north: f64) -> Polygon<f64> {
    Rect::new(coord! { x: west, y: south }, coord! { x: east, y: north }).to_polygon()
}

/// A shape around a middle, as far from it as each of the reaches says, with a hole of half its size.
fn around(x: f64, y: f64, reaches: &[f64]) -> Polygon<f64> {
    let ring = |scale: f64| {
        reaches
            .iter()
            .zip(0u32..)
            .map(|(reach, n)| {
                let angle = f64::from(n) / reaches.len() as f64 * std::f64::consts::TAU;
                coord! { x: x + reach * scale * libm::cos(angle), y: y + reach * scale * libm::sin(angle) }
            })
            .collect::<LineString<f64>>()
    };
    Polygon::new(ring(1.0), vec![ring(0.5)])
}

fn part(zone: &MultiPolygon<f64>, stand: &MultiPolygon<f64>) -> Option<Part> {
    Cover::of(zone).part_of(stand, &mut Effort::of_a_map())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Any two shapes, near or far, large or small: the same part as by intersecting them whole (`geo`, by i_overlay).
    #[test]
    fn the_part_is_that_of_the_whole_intersection(
        zones in prop::collection::vec((0.0..3.0f64, 0.0..3.0f64, prop::collection::vec(0.2..2.0f64, 3..40)), 1..3),
        x in 0.0..3.0f64,
        y in 0.0..3.0f64,
        size in prop::sample::select(vec![0.02, 0.3, 3.0]),
        reaches in prop::collection::vec(0.3..1.0f64, 3..20),
    ) {
        let zone = zones.iter().fold(MultiPolygon::new(Vec::new()), |all, (x, y, reaches)| {
            all.union(&around(*x, *y, reaches))
        });
        let reaches: Vec<f64> = reaches.iter().map(|reach| reach * size).collect();
        let stand = MultiPolygon::from(around(x, y, &reaches));
        let expected = zone.intersection(&stand).unsigned_area() / stand.unsigned_area();
        let told = part(&zone, &stand).expect("shapes as plain as these are compared");
        let middle = f64::from(told.least) / 1000.0;
        // Slivers of half a hundredth count as nothing.
        prop_assert!((middle - expected).abs() < 0.0065, "{middle} and {expected}");
    }
}

#[test]
fn polygons_on_one_another_cover_once() {
    let zone = MultiPolygon::new(vec![rectangle(0.0, 0.0, 2.0, 2.0), rectangle(1.0, 0.0, 3.0, 2.0)]);
    for (stand, expected) in [
        (rectangle(1.2, 0.5, 1.8, 1.5), Part::WHOLE),
        (rectangle(0.5, 0.5, 2.5, 1.5), Part::WHOLE),
        (rectangle(2.0, 0.0, 4.0, 2.0), Part::of(0.5)),
        (rectangle(3.5, 0.0, 4.0, 2.0), Part::NONE),
    ] {
        assert_eq!(part(&zone, &MultiPolygon::from(stand)), Some(expected));
    }
}

/// A bowtie's lobes cancel each other in a sum of signed areas; a zone over one of them covers half all the same.
#[test]
fn a_stand_that_crosses_itself_is_covered_by_half_where_half_of_it_is() {
    let bowtie = MultiPolygon::from(polygon(&[
        (0.0, 0.0),
        (2.0, 2.0),
        (2.0, 0.0),
        (0.0, 2.0),
        (0.0, 0.0),
    ]));
    let west = MultiPolygon::from(rectangle(-1.0, -1.0, 1.0, 3.0));
    assert_eq!(part(&west, &bowtie), Some(Part::of(0.5)));
}

/// Combs at right angles: each tooth of one crosses each tooth of the other.
#[test]
fn combs_that_cross_everywhere_are_not_compared() {
    let comb = |teeth: u32, turned: bool| {
        let mut ring: Vec<(f64, f64)> = Vec::new();
        for n in 0..teeth {
            let at = f64::from(n) / f64::from(teeth);
            let wide = 0.4 / f64::from(teeth);
            ring.extend([(at, -1.0), (at, 2.0), (at + wide, 2.0), (at + wide, -1.0)]);
        }
        ring.extend([(1.0, -1.5), (0.0, -1.5), (0.0, -1.0)]);
        let turn = |(x, y)| if turned { (y, x) } else { (x, y) };
        MultiPolygon::from(polygon(&ring.into_iter().map(turn).collect::<Vec<_>>()))
    };
    assert!(part(&comb(8, true), &comb(8, false)).is_some());
    assert_eq!(part(&comb(5_000, true), &comb(5_000, false)), None);
    assert!(!may_be_compared(&comb(5_000, true), &comb(5_000, false)));
    assert!(share_ground(&comb(5_000, true), &comb(5_000, false)));
}

#[test]
fn work_that_is_spent_leaves_the_rest_open() {
    let zone = MultiPolygon::from(around(0.0, 0.0, &[1.0; 2_000]));
    let stand = MultiPolygon::from(rectangle(0.9, -0.2, 1.1, 0.2));
    let mut effort = Effort { left: 150_000 };
    let cover = Cover::of(&zone);
    let told: Vec<bool> = (0..6)
        .map(|_| cover.part_of(&stand, &mut effort).is_some())
        .collect();
    let compared = told.iter().take_while(|told| **told).count();
    assert!((1..6).contains(&compared), "{told:?}");
    assert!(told[compared..].iter().all(|told| !told), "{told:?}");
    assert!(effort.is_spent());
}

/// Edges from one end to the other lie in every strip; there are then few strips.
#[test]
fn high_edges_do_not_fill_memory() {
    let mut ring: Vec<(f64, f64)> = (0..40_000)
        .map(|n| (f64::from(n) * 1e-5, f64::from(n % 2)))
        .collect();
    ring.push((0.0, 0.0));
    let zone = MultiPolygon::from(polygon(&ring));
    let cover = Cover::of(&zone);
    let copies: usize = cover.strips.iter().map(Vec::len).sum();
    assert!(copies <= COPIES * cover.edges.len(), "{copies}");
    assert!(cover.holds(coord! { x: 0.100_01, y: 0.5 }) != cover.holds(coord! { x: 0.100_02, y: 0.5 }));
}
