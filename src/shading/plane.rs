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
            self.mark_equal_in(y, row, value, among.map(|among| among.row(y)));
        }
    }

    #[inline(never)]
    fn mark_equal_in(&mut self, y: usize, row: &[u32], value: u32, among: Option<&[u64]>) {
        for (place, chunk) in row.chunks(64).enumerate() {
            if among.is_some_and(|among| among[place] == 0) {
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

    /// Marks the samples that have a neighbour (left, right, above or below) of another value. Along a row values change
    /// only where `bounds` is set: at the first sample of another value.
    pub(super) fn mark_edges(&mut self, samples: &[u32], bounds: &Plane) {
        for y in 0..self.height {
            let row = &samples[y * self.width..][..self.width];
            self.mark_changes(y, row, bounds.row(y));
            if y + 1 < self.height {
                let below = &samples[(y + 1) * self.width..][..self.width];
                self.mark_steps(y, [row, below], [bounds.row(y), bounds.row(y + 1)]);
            }
        }
    }

    /// Marks where values change along a row. As all that is done row by row, this is a function of its own: browsers
    /// make fast code of a small function that is called often long before they do of a large one that loops.
    #[inline(never)]
    fn mark_changes(&mut self, y: usize, row: &[u32], bounds: &[u64]) {
        let width = self.width;
        let words = self.row_mut(y);
        for (place, &bounds) in bounds.iter().enumerate() {
            for x in places(bounds, place) {
                if x > 0 && x < width && row[x - 1] != row[x] {
                    words[(x - 1) >> 6] |= 1 << ((x - 1) & 63);
                    words[x >> 6] |= 1 << (x & 63);
                }
            }
        }
    }

    /// Marks where values change from a row to the one below.
    #[inline(never)]
    fn mark_steps(&mut self, y: usize, [row, below]: [&[u32]; 2], [bounds, more]: [&[u64]; 2]) {
        let (width, words) = (self.width, self.words);
        self.used = true;
        let (upper, lower) = self.bits[y * words..][..2 * words].split_at_mut(words);
        // Between two bounds all samples of a row are alike.
        let mut from = 0;
        let mut span = |end: usize| {
            if from < end && row[from] != below[from] {
                set_between(upper, from, end);
                set_between(lower, from, end);
            }
            from = end;
        };
        for (place, (bounds, more)) in bounds.iter().zip(more).enumerate() {
            places(bounds | more, place)
                .filter(|&x| x < width)
                .for_each(&mut span);
        }
        span(width);
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

/// The places of the set bits of one word of a row.
#[inline]
fn places(mut word: u64, place: usize) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = word.trailing_zeros() as usize;
        word &= word.checked_sub(1)?;
        Some(place * 64 + bit)
    })
}

/// Sets the bits of a row from one place to just before another.
#[inline]
fn set_between(row: &mut [u64], from: usize, end: usize) {
    let (first, last) = (from >> 6, (end - 1) >> 6);
    let low = u64::MAX << (from & 63);
    let high = u64::MAX >> (63 - ((end - 1) & 63));
    if first == last {
        row[first] |= low & high;
        return;
    }
    row[first] |= low;
    row[first + 1..last].fill(u64::MAX);
    row[last] |= high;
}

/// The first set bit of a row from a place on; the end of the row where there is none.
#[inline]
pub(super) fn next_set(row: &[u64], from: usize) -> usize {
    let mut place = from >> 6;
    let mut word = row[place] & u64::MAX << (from & 63);
    while word == 0 {
        place += 1;
        match row.get(place) {
            Some(&next) => word = next,
            None => return place << 6,
        }
    }
    (place << 6) + word.trailing_zeros() as usize
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

    #[test]
    fn the_next_set_bit_is_found_across_words() {
        let row = [1 << 63, 0, 1 << 5];
        assert_eq!(next_set(&row, 0), 63);
        assert_eq!(next_set(&row, 63), 63);
        assert_eq!(next_set(&row, 64), 133);
        assert_eq!(next_set(&row, 134), 192);
    }

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
        fn edges_are_samples_beside_another_value(
            samples in prop::collection::vec(prop_oneof![3 => Just(None), 1 => (0u32..3).prop_map(Some)], 130 * 4),
            more in prop::collection::vec((0usize..130, 0usize..4), 0..20),
        ) {
            // Runs of one value, and bounds in the midst of some.
            let mut samples: Vec<u32> = samples.iter().scan(0, |last, sample| {
                *last = sample.unwrap_or(*last);
                Some(*last)
            }).collect();
            samples[3 * 130..].fill(1);
            let mut bounds = Plane::default();
            bounds.reset(130, 4);
            more.iter().for_each(|&(x, y)| bounds.set(x, y));
            for y in 0..4 {
                (1..130).filter(|x| samples[y * 130 + x] != samples[y * 130 + x - 1]).for_each(|x| bounds.set(x, y));
            }
            let mut edges = Plane::default();
            edges.reset(130, 4);
            edges.mark_edges(&samples, &bounds);
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
