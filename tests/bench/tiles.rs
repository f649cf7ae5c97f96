//! How fast the map is drawn, and how fast stands are found: a forest of 100,000 stands and 5.1 million positions, as
//! `forest.rs` grows it, seen whole and from ever nearer. In goes the forest, out come times (`cargo bench --bench
//! tiles`). Beside the tiles runs what to compare them with: one pass over as many positions as the whole forest has,
//! and one over as many samples as a tile has.
//!
//! A tile has 256 pixels a side, as the element asks for them; at zoom 10 it holds some 20,000 of the stands.

use std::sync::LazyLock;

use divan::Bencher;
use hostwood::assessment::Ground;
use hostwood::day::Day;
use hostwood::geometry::{Index, LngLat, LngLatBox};
use hostwood::knowledge::Knowledge;
use hostwood::potential::View;
use hostwood::shading::{Contrast, Paint, Painter, Scheme, TileRequest, paints};
use hostwood::standmap::{Crosswalk, Reader};
use hostwood::visit::Visit;

#[path = "forest.rs"]
#[expect(dead_code, reason = "only the forest itself is wanted, not its files")]
mod forest;

const STANDS: usize = 100_000;

fn main() {
    let (ground, _) = &*FOREST;
    println!(
        "{} stands, {} positions",
        ground.map.stands.len(),
        ground.map.outlines.vertex_count()
    );
    divan::main();
}

/// The forest, and a paint for each of its stands.
static FOREST: LazyLock<(Ground, Vec<Paint>)> = LazyLock::new(|| {
    let crosswalk = Crosswalk::read(forest::CROSSWALK.as_bytes()).expect("a crosswalk");
    let mut reader = Reader::new(Some(crosswalk), Knowledge::shipped()).without_overlaps();
    forest::grow(STANDS, 11.2, |text| {
        reader.push(text.as_bytes()).expect("a stand map");
        Ok(())
    })
    .expect("a forest");
    let ground = Ground::new(reader.finish().expect("a stand map").map, Knowledge::shipped());
    let assessment = ground.assess(&Visit::on(Day::parse("2026-09-12").expect("a day")));
    let paints = paints(&ground, &assessment, |stand| ground.view(stand, View::Roots));
    (ground, paints)
});

/// The tile around the middle of the forest at a zoom.
fn request(z: u8, ratio: f64) -> TileRequest {
    let world = hostwood::geometry::projection::to_world(LngLat {
        lng: 14.55,
        lat: 48.36,
    });
    let tiles = f64::from(1_u32 << z);
    TileRequest {
        z,
        x: (world.x * tiles) as u32,
        y: (world.y * tiles) as u32,
        size: 256,
        ratio,
        scheme: Scheme::Light,
        contrast: Contrast::Usual,
    }
}

fn draw(bencher: Bencher<'_, '_>, z: u8, ratio: f64) {
    let (ground, paints) = &*FOREST;
    let request = request(z, ratio);
    let mut painter = Painter::default();
    bencher.bench_local(|| painter.tile(&ground.map.outlines, &ground.index, paints, &request, None));
}

#[divan::bench(args = [9, 10, 11, 12, 13, 15], sample_count = 20)]
fn a_tile(bencher: Bencher<'_, '_>, z: u8) {
    draw(bencher, z, 1.0);
}

/// The same tile again, as for another view: where its stands lie is remembered.
#[divan::bench(args = [9, 10, 11, 12, 13, 15], sample_count = 20)]
fn a_tile_in_other_paints(bencher: Bencher<'_, '_>, z: u8) {
    let (ground, paints) = &*FOREST;
    let request = request(z, 1.0);
    let mut painter = Painter::of_one_map(12 << 20);
    bencher.bench_local(|| painter.tile(&ground.map.outlines, &ground.index, paints, &request, None));
}

/// On a screen of two pixels to a CSS pixel.
#[divan::bench(args = [9, 10, 12], sample_count = 20)]
fn a_tile_on_a_fine_screen(bencher: Bencher<'_, '_>, z: u8) {
    draw(bencher, z, 2.0);
}

#[divan::bench(sample_count = 10)]
fn the_index_of_all_stands(bencher: Bencher<'_, '_>) {
    let (ground, _) = &*FOREST;
    bencher.bench_local(|| Index::build(&ground.map.outlines));
}

/// The stand at a position, two hundred times.
#[divan::bench(sample_count = 20)]
fn two_hundred_taps(bencher: Bencher<'_, '_>) {
    let (ground, _) = &*FOREST;
    bencher.bench_local(|| {
        (0..200)
            .filter_map(|tap| {
                let (east, south) = (f64::from(tap % 20), f64::from(tap / 20));
                ground.stand_at(LngLat {
                    lng: 14.05 + east * 0.05,
                    lat: 48.05 + south * 0.06,
                })
            })
            .count()
    });
}

/// The stands in a sixteenth of the forest.
#[divan::bench(sample_count = 20)]
fn the_stands_in_a_box(bencher: Bencher<'_, '_>) {
    let (ground, _) = &*FOREST;
    let around = LngLatBox {
        west: 14.4,
        south: 48.3,
        east: 14.68,
        north: 48.49,
    };
    bencher.bench_local(|| ground.index.in_box(around).len());
}

#[divan::bench(sample_count = 20)]
fn one_pass_over_all_positions(bencher: Bencher<'_, '_>) {
    let (ground, _) = &*FOREST;
    bencher.bench_local(|| {
        (0..ground.map.outlines.len() as u32)
            .flat_map(|stand| ground.map.outlines.polygons(stand).flatten())
            .flatten()
            .fold(0_i32, |sum, unit| sum ^ unit)
    });
}

#[divan::bench(sample_count = 20)]
fn one_pass_over_the_samples_of_a_tile(bencher: Bencher<'_, '_>) {
    let mut samples = vec![0_u32; 1024 * 1024];
    bencher.bench_local(|| {
        samples
            .iter_mut()
            .for_each(|sample| *sample = sample.wrapping_add(1));
        samples[77]
    });
}
