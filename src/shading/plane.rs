//! One bit a sample, in rows of words. In go rows of samples, out come masks: where neighbours differ, and all that
//! lies near. What the masks mean is left to `tile`.

/// A mask over a grid of samples.
#[derive(Debug, Default, Clone)]
pub(super) struct Plane {
    width: usize,
    height: usize,
    words: usize,
    bits: Vec<u64>,
    /// Whether any bit may be set.
    used: bool,
}

impl Plane {
    /// Makes the mask empty and fits it to a grid.
    pub(super) fn reset(&mut self, width: usize, height: usize) {
        self.width = width;
        self.height = height;
        // A spare word a row, so that a widened row never runs over its end.
        self.words = width.div_ceil(64) + 1;
        self.bits.clear();
        self.bits.resize(self.words * height, 0);
        self.used = false;
    }

    pub(super) fn is_used(&self) -> bool {
        self.used
    }

    /// Up to 64 bits of a row, from a place that is a multiple of their number on; none if the mask is empty.
    #[inline]
    pub(super) fn few(&self, x: usize, y: usize, mask: u64) -> u64 {
        if self.used {
            self.bits[y * self.words + (x >> 6)] >> (x & 63) & mask
        } else {
            0
        }
    }

    pub(super) fn row(&self, y: usize) -> &[u64] {
        &self.bits[y * self.words..][..self.words]
    }

    fn row_mut(&mut self, y: usize) -> &mut [u64] {
        self.used = true;
        &mut self.bits[y * self.words..][..self.words]
    }

    #[cfg(test)]
    fn has(&self, x: usize, y: usize) -> bool {
        self.bits[y * self.words + (x >> 6)] >> (x & 63) & 1 == 1
    }

    #[inline]
    pub(super) fn set(&mut self, x: usize, y: usize) {
        self.used = true;
        self.bits[y * self.words + (x >> 6)] |= 1 << (x & 63);
    }

    /// Adds all of another mask of the same grid.
    pub(super) fn join(&mut self, other: &Plane) {
        if other.used {
            self.used = true;
            self.bits
                .iter_mut()
                .zip(&other.bits)
                .for_each(|(bits, others)| *bits |= others);
        }
    }

    /// Keeps what the other mask also has.
    pub(super) fn keep(&mut self, other: &Plane) {
        self.bits
            .iter_mut()
            .zip(&other.bits)
            .for_each(|(bits, others)| *bits &= others);
    }

    /// Keeps what the other mask does not have.
    pub(super) fn drop(&mut self, other: &Plane) {
        self.bits
            .iter_mut()
            .zip(&other.bits)
            .for_each(|(bits, others)| *bits &= !others);
    }

    /// Marks the samples that have this value. With another mask of the same grid, those that it has are marked, and
    /// perhaps more.
    pub(super) fn mark_equal(&mut self, samples: &[u32], value: u32, among: Option<&Plane>) {
        for y in 0..self.height {
            let row = &samples[y * self.width..][..self.width];
            for (place, chunk) in row.chunks(64).enumerate() {
                if among.is_some_and(|among| among.row(y)[place] == 0) {
                    continue;
                }
                let mut found = [0; 64];
                found
                    .iter_mut()
                    .zip(chunk)
                    .for_each(|(found, &sample)| *found = u8::from(sample == value));
                let word = packed(&found);
                if word != 0 {
                    self.row_mut(y)[place] |= word;
                }
            }
        }
    }

    /// Marks the samples that have a neighbour (left, right, above or below) of another value.
    pub(super) fn mark_edges(&mut self, samples: &[u32]) {
        for y in 0..self.height {
            let row = &samples[y * self.width..][..self.width];
            for start in (0..self.width - 1).step_by(64) {
                let end = (start + 64).min(self.width - 1);
                let (here, beside) = (&row[start..end], &row[start + 1..=end]);
                if let Some(word) = differences(here, beside) {
                    let words = self.row_mut(y);
                    words[start >> 6] |= word | word << 1;
                    words[(start >> 6) + 1] |= word >> 63;
                }
            }
            if y + 1 == self.height {
                continue;
            }
            let below = &samples[(y + 1) * self.width..][..self.width];
            for start in (0..self.width).step_by(64) {
                let end = (start + 64).min(self.width);
                if let Some(word) = differences(&row[start..end], &below[start..end]) {
                    self.row_mut(y)[start >> 6] |= word;
                    self.row_mut(y + 1)[start >> 6] |= word;
                }
            }
        }
    }

    /// Adds all samples within `radius` (up to 31) samples of a set sample of `seeds`.
    pub(super) fn add_near(&mut self, seeds: &Plane, radius: usize) {
        if !seeds.used {
            return;
        }
        let mut widened = vec![0; self.words];
        for y in 0..self.height {
            if seeds.row(y).iter().all(|&word| word == 0) {
                continue;
            }
            for away in 0..=radius {
                let reach = (radius * radius - away * away).isqrt();
                widen(seeds.row(y), reach, &mut widened);
                let below = (y + away < self.height).then_some(y + away);
                for target in [y.checked_sub(away), below].into_iter().flatten() {
                    self.row_mut(target)
                        .iter_mut()
                        .zip(&widened)
                        .for_each(|(bits, more)| *bits |= more);
                }
            }
        }
    }
}

/// Which of up to 64 pairs differ, one bit a pair; `None` where none does.
#[inline]
fn differences(one: &[u32], other: &[u32]) -> Option<u64> {
    // Two at a time, as one number.
    let two = |[low, high]: &[u32; 2]| u64::from(*low) | u64::from(*high) << 32;
    let (ones, one_rest) = one.as_chunks::<2>();
    let (others, other_rest) = other.as_chunks::<2>();
    let any = ones
        .iter()
        .zip(others)
        .fold(0, |any, (one, other)| any | (two(one) ^ two(other)));
    if any == 0 && one_rest == other_rest {
        return None;
    }
    let mut found = [0; 64];
    for (found, (one, other)) in found.iter_mut().zip(one.iter().zip(other)) {
        *found = u8::from(one != other);
    }
    Some(packed(&found))
}

/// Packs 64 bytes of 0 or 1 into bits, the first lowest.
#[inline]
fn packed(bytes: &[u8; 64]) -> u64 {
    let mut word = 0;
    for (place, eight) in bytes.as_chunks::<8>().0.iter().enumerate() {
        // The product gathers the lowest bit of each byte in its highest byte.
        let gathered = u64::from_le_bytes(*eight).wrapping_mul(0x0102_0408_1020_4080) >> 56;
        word |= gathered << (place * 8);
    }
    word
}

/// Widens every set bit of a row by `reach` bits to both sides.
fn widen(row: &[u64], reach: usize, into: &mut [u64]) {
    into.copy_from_slice(row);
    let wanted = 2 * reach + 1;
    let mut covered = 1;
    while covered < wanted {
        let step = covered.min(wanted - covered);
        for place in (0..into.len()).rev() {
            let carried = if place == 0 {
                0
            } else {
                into[place - 1] >> (64 - step)
            };
            into[place] |= into[place] << step | carried;
        }
        covered += step;
    }
    if reach > 0 {
        for place in 0..into.len() {
            let carried = into.get(place + 1).map_or(0, |next| next << (64 - reach));
            into[place] = into[place] >> reach | carried;
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn near_means_within_the_radius(
            seeds in prop::collection::vec((0usize..150, 0usize..20), 1..12),
            radius in 0usize..16,
        ) {
            let (mut plane, mut near) = (Plane::default(), Plane::default());
            plane.reset(150, 20);
            near.reset(150, 20);
            seeds.iter().for_each(|&(x, y)| plane.set(x, y));
            near.add_near(&plane, radius);
            for y in 0..20usize {
                for x in 0..150usize {
                    let expected = seeds.iter().any(|&(sx, sy)| x.abs_diff(sx).pow(2) + y.abs_diff(sy).pow(2) <= radius * radius);
                    prop_assert_eq!(near.has(x, y), expected, "at {} {}", x, y);
                }
            }
        }

        #[test]
        fn edges_are_samples_beside_another_value(samples in prop::collection::vec(0u32..2, 130 * 4)) {
            let mut edges = Plane::default();
            edges.reset(130, 4);
            edges.mark_edges(&samples);
            let at = |x: usize, y: usize| samples[y * 130 + x];
            for y in 0..4 {
                for x in 0..130 {
                    let expected = (x > 0 && at(x - 1, y) != at(x, y))
                        || (x < 129 && at(x + 1, y) != at(x, y))
                        || (y > 0 && at(x, y - 1) != at(x, y))
                        || (y < 3 && at(x, y + 1) != at(x, y));
                    prop_assert_eq!(edges.has(x, y), expected, "at {} {}", x, y);
                }
            }
        }
    }
}
