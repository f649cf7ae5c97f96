//! Pictures to hold pixels against. In go a name and pixels; a test fails where they differ from the picture of that
//! name in `tests/golden`. With `BLESS=1` in the environment the picture is drawn anew instead.

use std::fs::File;
use std::io::{BufReader, BufWriter};
use std::path::PathBuf;

fn place(name: &str) -> PathBuf {
    [
        env!("CARGO_MANIFEST_DIR"),
        "tests",
        "golden",
        &format!("{name}.png"),
    ]
    .iter()
    .collect()
}

/// Holds pixels (red, green, blue, alpha, row by row) against the picture of this name.
#[track_caller]
pub(crate) fn check(name: &str, pixels: &[u8], width: usize) {
    let height = pixels.len() / 4 / width;
    if std::env::var_os("BLESS").is_some() {
        write(name, pixels, width, height);
        return;
    }
    let Some((size, expected)) = read(name) else {
        panic!("tests/golden/{name}.png cannot be read; draw it with BLESS=1 and look at it");
    };
    assert_eq!(size, (width, height), "{name}: size");
    let differing = pixels
        .chunks(4)
        .zip(expected.chunks(4))
        .filter(|(a, b)| a != b)
        .count();
    let first = pixels
        .chunks(4)
        .zip(expected.chunks(4))
        .position(|(a, b)| a != b)
        .unwrap_or(0);
    assert!(
        differing == 0,
        "{name}: {differing} pixels differ, the first at {} across, {} down: {:?}, expected {:?}",
        first % width,
        first / width,
        &pixels[first * 4..][..4],
        &expected[first * 4..][..4],
    );
}

fn write(name: &str, pixels: &[u8], width: usize, height: usize) {
    let file = File::create(place(name)).expect("a file to write");
    let mut encoder = png::Encoder::new(BufWriter::new(file), width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(pixels).expect("pixels to write");
}

fn read(name: &str) -> Option<((usize, usize), Vec<u8>)> {
    let decoder = png::Decoder::new(BufReader::new(File::open(place(name)).ok()?));
    let mut reader = decoder.read_info().ok()?;
    let mut pixels = vec![0; reader.output_buffer_size()?];
    let info = reader.next_frame(&mut pixels).ok()?;
    pixels.truncate(info.buffer_size());
    Some(((info.width as usize, info.height as usize), pixels))
}
