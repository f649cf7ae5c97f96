//! Repeatable chance: in go a key and a place, out comes the same number on every machine and on every run.
//! Only whole-number mixing and plain arithmetic, nothing that differs between platforms. What is drawn is left to
//! others.

/// A well-mixed number for a key and a place (finaliser of SplitMix64, public domain, Vigna 2015).
pub(crate) fn draw(key: u64, x: i64, y: i64) -> u64 {
    let mut z = key
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add((x as u64).wrapping_mul(0xd1b5_4a32_d192_ed03))
        .wrapping_add((y as u64).wrapping_mul(0x8cb9_2ba7_2f3d_8dd7));
    for _ in 0..2 {
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
    }
    z
}

/// A number from 0 up to, not including, 1.
pub(crate) fn part(key: u64, x: i64, y: i64) -> f64 {
    (draw(key, x, y) >> 11) as f64 / (1u64 << 53) as f64
}

/// Smooth noise from -1 to 1; its waves are one unit long.
pub(crate) fn wave(key: u64, x: f64, y: f64) -> f64 {
    let (left, low) = (x.floor(), y.floor());
    let (u, v) = (ease(x - left), ease(y - low));
    let (i, j) = (left as i64, low as i64);
    let bottom = part(key, i, j) * (1.0 - u) + part(key, i + 1, j) * u;
    let top = part(key, i, j + 1) * (1.0 - u) + part(key, i + 1, j + 1) * u;
    (bottom * (1.0 - v) + top * v) * 2.0 - 1.0
}

/// Noise of several wave lengths, each half as long and half as high as the one before; about -1 to 1.
pub(crate) fn rough(key: u64, x: f64, y: f64, octaves: u64) -> f64 {
    let (mut sum, mut reach, mut height, mut scale) = (0.0, 0.0, 1.0, 1.0);
    for octave in 0..octaves {
        // Each octave is turned by a fixed angle (3-4-5 triangle), so that no lattice shows.
        let (a, b) = if octave % 2 == 0 {
            (x, y)
        } else {
            (0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y)
        };
        sum += height * wave(key * 31 + octave, a * scale, b * scale);
        reach += height;
        height *= 0.5;
        scale *= 2.0;
    }
    sum / reach
}

/// From 0 to 1 with level ends.
pub(crate) fn ease(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// 0 below `from`, 1 above `to`, eased between; `from` may lie above `to`.
pub(crate) fn step(from: f64, to: f64, value: f64) -> f64 {
    ease((value - from) / (to - from))
}
