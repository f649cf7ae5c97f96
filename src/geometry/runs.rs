//! The positions of all rings, each ring in one piece. In go rings; out they come by the numbers that their ends have
//! among all. They lie in blocks, so that nothing is moved when a map grows and no block stands half empty.

use std::ops::Range;

/// So many numbers lie in a block, two for a position: a mebibyte. A ring of more has a block of its own.
const BLOCK: usize = 1 << 18;

/// Longitude and latitude by turns, in units of 1e-7 degrees, in blocks that no ring is cut by.
#[derive(Debug, Clone, Default)]
pub(super) struct Runs {
    blocks: Vec<Block>,
}

#[derive(Debug, Clone)]
struct Block {
    /// How many numbers lie before it.
    before: usize,
    numbers: Vec<i32>,
}

impl Runs {
    /// How many numbers there are.
    pub(super) fn len(&self) -> usize {
        self.blocks
            .last()
            .map_or(0, |last| last.before + last.numbers.len())
    }

    /// The list at whose end a ring of so many numbers, or fewer, goes.
    pub(super) fn room_for(&mut self, count: usize) -> &mut Vec<i32> {
        let before = self.len();
        let fits = |block: &Block| block.numbers.len() + count <= BLOCK;
        if !self.blocks.last().is_some_and(fits) {
            let numbers = Vec::with_capacity(if before == 0 { count } else { count.max(BLOCK) });
            self.blocks.push(Block { before, numbers });
        }
        let last = self.blocks.len() - 1;
        let numbers = &mut self.blocks[last].numbers;
        let left = numbers.capacity() - numbers.len();
        if left < count {
            // The first block grows from small to full, so that small maps stay small.
            numbers.reserve_exact(numbers.len().max(count).min(BLOCK - numbers.len()));
        }
        numbers
    }

    /// The numbers of one ring, by where it begins and ends among all.
    pub(super) fn ring(&self, place: Range<usize>) -> &[i32] {
        let block = self.blocks.partition_point(|block| block.before <= place.start);
        match block.checked_sub(1).map(|block| &self.blocks[block]) {
            None => &[],
            Some(block) => &block.numbers[place.start - block.before..place.end - block.before],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{BLOCK, Runs};

    #[test]
    fn rings_come_out_as_they_went_in() {
        let mut runs = Runs::default();
        let mut rings: Vec<(usize, Vec<i32>)> = Vec::new();
        for (number, size) in [6, 8, BLOCK - 20, 6, 2, 3 * BLOCK, 10, BLOCK, BLOCK + 2, 6]
            .into_iter()
            .enumerate()
        {
            let ring: Vec<i32> = (0..size).map(|at| (at * 7 + number) as i32).collect();
            rings.push((runs.len(), ring.clone()));
            runs.room_for(size).extend_from_slice(&ring);
        }
        for (start, ring) in &rings {
            assert_eq!(runs.ring(*start..start + ring.len()), ring);
        }
        let all: usize = rings.iter().map(|(_, ring)| ring.len()).sum();
        assert_eq!(runs.len(), all);
    }

    #[test]
    fn blocks_are_full_and_never_moved() {
        let mut runs = Runs::default();
        let sizes = (0..100_000).map(|ring| 26 + ring % 97 * 4);
        let mut first = 0;
        for (ring, size) in sizes.enumerate() {
            runs.room_for(size).extend(std::iter::repeat_n(0, size));
            if runs.blocks.len() == 2 && first == 0 {
                first = runs.ring(0..26).as_ptr().addr();
            }
            assert!(ring < 2_000 || first != 0);
        }
        assert_eq!(runs.ring(0..26).as_ptr().addr(), first);
        let held: usize = runs.blocks.iter().map(|block| block.numbers.capacity()).sum();
        assert!(
            held < runs.len() + BLOCK + 500 * runs.blocks.len(),
            "{held} numbers of room for {}",
            runs.len()
        );
    }
}
