//! The pixels of the map, held against pictures, against each other and against the true areas.
//!
//! The pictures lie in `tests/golden`. After a change that is meant, draw them anew with
//! `BLESS=1 cargo test --test shading` and look at each before it is committed.

mod land;
mod picture;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use hostwood::geometry::projection::{tile_bounds, to_pixels};
use hostwood::geometry::{Index, LngLat, Outlines};
use hostwood::shading::{Contrast, Fill, Marks, Paint, Painter, Scheme, TileRequest, legend, tile};
use land::{Land, land};
use proptest::prelude::*;

/// A place in the middle of the invented land.
const HERE: [f64; 2] = [13.04, 47.57];

fn here() -> Land {
    land([13.0, 47.6], 24, 0.004, 14, 0.11)
}

/// The tile at a zoom that holds a position.
fn request(z: u8, at: [f64; 2], size: u32, ratio: f64, scheme: Scheme) -> TileRequest {
    let [x, y] = to_pixels(
        LngLat {
            lng: at[0],
            lat: at[1],
        },
        f64::from(z),
        f64::from(size),
    );
    TileRequest {
        z,
        x: (x / f64::from(size)) as u32,
        y: (y / f64::from(size)) as u32,
        size,
        ratio,
        scheme,
        contrast: Contrast::Usual,
    }
}

fn draw(land: &Land, request: &TileRequest, selected: Option<u32>) -> Vec<u8> {
    tile(&land.outlines, &land.index, &land.paints, request, selected)
}

#[test]
fn tiles_look_as_they_did() {
    let land = here();
    let chosen = land.index.stands_at(
        &land.outlines,
        LngLat {
            lng: HERE[0],
            lat: HERE[1],
        },
    )[0];
    for (scheme, name) in [(Scheme::Light, "light"), (Scheme::Dark, "dark")] {
        for (z, ratio) in [(11, 1.0), (13, 1.0), (15, 1.0), (14, 2.0)] {
            let request = request(z, HERE, 256, ratio, scheme);
            let pixels = draw(&land, &request, Some(chosen));
            picture::check(&format!("tile-{name}-{z}-at-{ratio}"), &pixels, request.side());
        }
    }
    let more = TileRequest {
        contrast: Contrast::More,
        ..request(14, HERE, 256, 1.0, Scheme::Light)
    };
    picture::check(
        "tile-more-contrast",
        &draw(&land, &more, Some(chosen)),
        more.side(),
    );
}

#[test]
fn swatches_look_as_they_did() {
    for (scheme, name) in [(Scheme::Light, "light"), (Scheme::Dark, "dark")] {
        for ratio in [1.0, 2.0] {
            let swatches = legend(scheme, Contrast::Usual, ratio);
            // One under the other.
            let width = swatches[0].width;
            let pixels: Vec<u8> = swatches
                .iter()
                .flat_map(|swatch| swatch.pixels.iter().copied())
                .collect();
            picture::check(&format!("legend-{name}-at-{ratio}"), &pixels, width);
        }
    }
    let ids: Vec<&str> = legend(Scheme::Light, Contrast::Usual, 1.0)
        .iter()
        .map(|swatch| swatch.id)
        .collect();
    assert_eq!(
        ids,
        [
            "step.bare",
            "step.slight",
            "step.fair",
            "step.good",
            "step.rich",
            "not_known",
            "not_assessed",
            "wide",
            "need",
            "closed"
        ]
    );
}

#[test]
fn no_two_swatches_look_alike() {
    for scheme in [Scheme::Light, Scheme::Dark] {
        let swatches = legend(scheme, Contrast::Usual, 1.0);
        for (n, one) in swatches.iter().enumerate() {
            for other in &swatches[..n] {
                let differing = one
                    .pixels
                    .chunks(4)
                    .zip(other.pixels.chunks(4))
                    .filter(|(a, b)| a != b)
                    .count();
                assert!(
                    differing * 20 > one.width * one.height,
                    "{} and {}: {differing} pixels",
                    one.id,
                    other.id
                );
            }
        }
    }
}

/// The part of a picture that starts `left` pixels across and `top` down.
fn part(pixels: &[u8], width: usize, [left, top]: [usize; 2], side: usize) -> Vec<u8> {
    (top..top + side)
        .flat_map(|y| {
            pixels[(y * width + left) * 4..(y * width + left + side) * 4]
                .iter()
                .copied()
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn four_tiles_are_one_large_tile(
        z in 10u8..17,
        lng in 13.0f64..13.09,
        lat in 47.545f64..47.6,
        ratio in prop::sample::select(vec![1.0, 1.25, 2.0]),
        selected in prop::option::of(0u32..400),
    ) {
        static LAND: LazyLock<Land> = LazyLock::new(here);
        let land = &*LAND;
        let large = request(z + 2, [lng, lat], 128, ratio, Scheme::Light);
        let whole = draw(land, &large, selected);
        let mut painter = Painter::default();
        for (right, down) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
            let small = TileRequest { z: large.z + 1, x: large.x * 2 + right, y: large.y * 2 + down, size: 64, ..large };
            let side = small.side();
            let pixels = painter.tile(&land.outlines, &land.index, &land.paints, &small, selected);
            let expected = part(&whole, large.side(), [right as usize * side, down as usize * side], side);
            prop_assert!(pixels == expected, "the tile {} {} of z {} differs", small.x, small.y, small.z);
        }
    }
}

#[test]
fn drawing_again_and_after_other_tiles_gives_the_same_pixels() {
    let mut land = here();
    let wanted = request(14, HERE, 256, 1.0, Scheme::Dark);
    let first = draw(&land, &wanted, Some(40));
    let mut painter = Painter::default();
    for (z, ratio) in [(12, 2.0), (16, 1.0), (9, 1.0)] {
        painter.tile(
            &land.outlines,
            &land.index,
            &land.paints,
            &request(z, HERE, 512, ratio, Scheme::Light),
            None,
        );
    }
    let before = land.paints.clone();
    land.paints
        .iter_mut()
        .for_each(|paint| *paint = Paint::plain(Fill::Step(4)));
    let recoloured = painter.tile(&land.outlines, &land.index, &land.paints, &wanted, Some(40));
    assert!(recoloured != first, "other paints, other pixels");
    land.paints = before;
    let again = painter.tile(&land.outlines, &land.index, &land.paints, &wanted, Some(40));
    assert!(again == first, "the same paints, the same pixels");
}

/// Whether it remembers where stands lie, all tiles of them, one or none.
#[test]
fn a_painter_that_remembers_where_stands_lie_draws_the_same_pixels() {
    let mut land = here();
    for room in [0, 40_000, 4_000_000] {
        let mut painter = Painter::of_one_map(room);
        for round in 0..3 {
            let step = Paint::plain(Fill::Step(round));
            let paints = land.paints.len();
            land.paints[paints / 3..paints / 2].fill(step);
            for (z, ratio, scheme, contrast) in [
                (13, 1.0, Scheme::Light, Contrast::Usual),
                (14, 2.0, Scheme::Light, Contrast::Usual),
                (13, 1.0, Scheme::Dark, Contrast::Usual),
                (13, 1.0, Scheme::Dark, Contrast::More),
            ] {
                let request = TileRequest {
                    contrast,
                    ..request(z, HERE, 128, ratio, scheme)
                };
                let selected = (round == 1).then_some(40);
                // A stand beyond the end of the paints is not drawn.
                let paints = &land.paints[..paints - 60 * usize::from(round)];
                let found = painter.tile(&land.outlines, &land.index, paints, &request, selected);
                let expected = tile(&land.outlines, &land.index, paints, &request, selected);
                assert!(found == expected, "{room} bytes, round {round}, {request:?}");
            }
        }
    }
}

#[test]
fn a_stand_covers_its_true_share_of_the_pixels() {
    // A stand is drawn alone, on a tile without its outline's ink, and what it covers is added up; its true area on
    // the map is that of its corners projected with the formula of Web Mercator.
    let land = here();
    for stand in [3, 111, 333] {
        let mut alone = Outlines::new();
        let polygons: Vec<Vec<Vec<[f64; 2]>>> = land
            .outlines
            .polygons(stand)
            .map(|rings| {
                rings
                    .map(|ring| {
                        ring.chunks(2)
                            .map(|p| [f64::from(p[0]) / 1e7, f64::from(p[1]) / 1e7])
                            .collect()
                    })
                    .collect()
            })
            .collect();
        alone.push(&polygons);
        let index = Index::build(&alone);
        let inside = alone.inside_point(0).expect("an outline");
        for (z, ratio, within) in [(15, 1.0, 0.01), (15, 2.0, 0.01), (13, 1.0, 0.05)] {
            let middle = request(z, [inside.lng, inside.lat], 256, ratio, Scheme::Light);
            let mut covered = 0.0;
            for x in middle.x - 1..=middle.x + 1 {
                for y in middle.y - 1..=middle.y + 1 {
                    let pixels = tile(
                        &alone,
                        &index,
                        &[Paint::plain(Fill::Step(2))],
                        &TileRequest { x, y, ..middle },
                        None,
                    );
                    covered += pixels
                        .chunks(4)
                        .map(|pixel| f64::from(pixel[3]) / 255.0)
                        .sum::<f64>();
                }
            }
            let size = 256.0 * ratio;
            let true_area: f64 = polygons[0]
                .iter()
                .enumerate()
                .map(|(n, ring)| {
                    let corners: Vec<[f64; 2]> = ring
                        .iter()
                        .map(|p| to_pixels(LngLat { lng: p[0], lat: p[1] }, f64::from(z), size))
                        .collect();
                    let twice: f64 = (0..corners.len())
                        .map(|n| {
                            let (a, b) = (corners[n], corners[(n + 1) % corners.len()]);
                            (a[0] - corners[0][0]) * (b[1] - corners[0][1])
                                - (b[0] - corners[0][0]) * (a[1] - corners[0][1])
                        })
                        .sum();
                    if n == 0 {
                        twice.abs() / 2.0
                    } else {
                        -twice.abs() / 2.0
                    }
                })
                .sum();
            assert!(
                (covered / true_area - 1.0).abs() < within,
                "stand {stand} covers {covered:.1} pixels at z {z} and ratio {ratio}, expected {true_area:.1}"
            );
        }
    }
}

/// A rectangle as an outline.
fn rectangle(west: f64, south: f64, east: f64, north: f64) -> Vec<Vec<Vec<[f64; 2]>>> {
    vec![vec![vec![
        [west, south],
        [east, south],
        [east, north],
        [west, north],
    ]]]
}

/// How many pixels have each colour.
fn colours(pixels: &[u8]) -> BTreeMap<[u8; 4], usize> {
    let mut found = BTreeMap::new();
    for pixel in pixels.chunks(4) {
        *found.entry([pixel[0], pixel[1], pixel[2], pixel[3]]).or_default() += 1;
    }
    found
}

#[test]
fn stands_that_share_a_border_leave_no_gap() {
    // Inside a land without open ground or clearings every pixel is covered whole, at every zoom.
    let land = land([13.0, 47.6], 12, 0.004, 14, 0.0);
    for (z, ratio) in [(14, 1.0), (15, 1.0), (16, 2.0), (18, 1.0)] {
        let wanted = request(z, [13.024, 47.585], 256, ratio, Scheme::Light);
        let tile = tile_bounds(wanted.z, wanted.x, wanted.y);
        assert!(
            tile.west > 13.002 && tile.east < 13.046 && tile.north < 47.599 && tile.south > 47.5712,
            "{tile:?}"
        );
        assert!(land.index.in_box(tile).len() > 1, "several stands are in view");
        let open = draw(&land, &wanted, None)
            .chunks(4)
            .filter(|pixel| pixel[3] != 255)
            .count();
        assert_eq!(open, 0, "open pixels at z {z} and ratio {ratio}");
    }
}

#[test]
fn specks_are_seen() {
    // A thousand stands of a square metre or so, far apart: on one pixel of a tile each covers next to nothing, but
    // none is left out.
    let mut outlines = Outlines::new();
    for n in 0..1000 {
        let (x, y) = (f64::from(n % 40) * 0.002, f64::from(n / 40) * 0.002);
        outlines.push(&rectangle(13.0 + x, 47.5 + y, 13.000_01 + x, 47.500_01 + y));
    }
    let index = Index::build(&outlines);
    let paints = vec![Paint::plain(Fill::Step(4)); 1000];
    let wanted = request(11, [13.04, 47.52], 256, 1.0, Scheme::Light);
    let mut covered = 0;
    for x in wanted.x - 1..=wanted.x + 1 {
        for y in wanted.y - 1..=wanted.y + 1 {
            let pixels = tile(&outlines, &index, &paints, &TileRequest { x, y, ..wanted }, None);
            covered += pixels
                .chunks(4)
                .map(|pixel| (f64::from(pixel[3]) / 255.0 * 16.0).round() as usize)
                .sum::<usize>();
        }
    }
    assert_eq!(covered, 1000, "one sample, a sixteenth of a pixel, for each");
}

#[test]
fn the_smaller_of_two_stands_lies_on_top() {
    let mut outlines = Outlines::new();
    outlines.push(&rectangle(13.01, 47.51, 13.02, 47.52));
    outlines.push(&rectangle(13.0, 47.5, 13.03, 47.53));
    let index = Index::build(&outlines);
    let paints = [Paint::plain(Fill::Step(0)), Paint::plain(Fill::Step(4))];
    let wanted = request(17, [13.015, 47.515], 256, 1.0, Scheme::Light);
    let found = colours(&tile(&outlines, &index, &paints, &wanted, None));
    assert_eq!(
        found,
        BTreeMap::from([([246, 240, 224, 255], 256 * 256)]),
        "only the bare stand on top is seen"
    );
}

#[test]
fn a_closed_stand_shows_nothing_of_its_step() {
    let mut outlines = Outlines::new();
    outlines.push(&rectangle(13.0, 47.5, 13.03, 47.53));
    let index = Index::build(&outlines);
    let wanted = request(12, [13.015, 47.515], 256, 1.0, Scheme::Light);
    let shut = |fill, marks| tile(&outlines, &index, &[Paint { fill, marks }], &wanted, None);
    let poor = shut(Fill::Step(0), Marks::CLOSED);
    assert!(
        poor == shut(Fill::Step(4), Marks::CLOSED),
        "bare and rich look the same when closed"
    );
    assert!(poor == shut(Fill::None, Marks::CLOSED), "not assessed, too");
    assert!(
        poor != shut(Fill::NotKnown, Marks::CLOSED),
        "not known keeps its dots"
    );
    assert!(
        poor != shut(Fill::Step(0), Marks::CLOSED.with(Marks::NEED)),
        "and a heavier outline stays"
    );
}

#[test]
fn a_stand_across_the_antimeridian_is_drawn_on_both_sides() {
    let mut outlines = Outlines::new();
    outlines.push(&rectangle(179.99, 10.0, 180.01, 10.02));
    let index = Index::build(&outlines);
    let paints = [Paint::plain(Fill::Step(3))];
    let covered = |lng: f64| {
        let wanted = request(12, [lng, 10.01], 256, 1.0, Scheme::Light);
        let pixels = tile(&outlines, &index, &paints, &wanted, None);
        pixels.chunks(4).map(|pixel| u64::from(pixel[3])).sum::<u64>()
    };
    let (west, east) = (covered(-179.999), covered(179.999));
    assert!(west > 0, "seen from the west");
    assert!(
        (west as f64 / east as f64 - 1.0).abs() < 0.02,
        "half of it on each side: {west} and {east}"
    );
    assert_eq!(covered(0.0), 0);
    // At zoom 0 the whole world is one tile: it is there once on each edge.
    let world = TileRequest {
        z: 0,
        x: 0,
        y: 0,
        ..request(0, [0.0, 0.0], 256, 1.0, Scheme::Light)
    };
    let pixels = tile(&outlines, &index, &paints, &world, None);
    let seen: Vec<usize> = pixels
        .chunks(4)
        .enumerate()
        .filter(|(_, p)| p[3] > 0)
        .map(|(n, _)| n % 256)
        .collect();
    assert!(
        seen.iter().all(|&x| x == 0 || x == 255) && !seen.is_empty(),
        "{seen:?}"
    );
}

#[test]
fn nothing_in_view_is_clear() {
    let land = here();
    let far = request(14, [-60.0, -30.0], 256, 1.0, Scheme::Light);
    assert!(draw(&land, &far, Some(3)).iter().all(|&byte| byte == 0));
    let none = tile(&Outlines::new(), &Index::build(&Outlines::new()), &[], &far, None);
    assert_eq!(none.len(), 256 * 256 * 4);
    let unpainted = tile(
        &land.outlines,
        &land.index,
        &[],
        &request(14, HERE, 256, 1.0, Scheme::Light),
        Some(3),
    );
    assert!(
        unpainted.iter().all(|&byte| byte == 0),
        "a stand without a paint is not drawn"
    );
}

#[test]
fn odd_requests_still_give_a_tile() {
    let land = here();
    let odd = TileRequest {
        z: 200,
        x: u32::MAX,
        y: u32::MAX,
        size: 0,
        ratio: f64::NAN,
        ..request(14, HERE, 256, 1.0, Scheme::Light)
    };
    assert_eq!(draw(&land, &odd, None).len(), 16 * 16 * 4);
    let fractional = request(14, HERE, 256, 2.625, Scheme::Light);
    assert_eq!(fractional.side(), 672);
    assert_eq!(draw(&land, &fractional, None).len(), 672 * 672 * 4);
}
