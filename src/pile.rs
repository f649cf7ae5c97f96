//! A list that grows without moving what it holds.
//!
//! In go things, one after the other; out they come by their places or in order. A list that lies in one piece is
//! copied to a place twice as large whenever it is full; of a large map both would be held at once, and half of the new
//! one stand empty. This one lies in blocks; only while it is smaller than one does it grow as usual.

use std::ops::{Index, IndexMut};

/// So many things lie in a block.
const BLOCK: usize = 1 << 10;

/// A list in blocks.
#[derive(Debug, Clone, PartialEq)]
pub struct Pile<T> {
    /// All but the last are full.
    blocks: Vec<Vec<T>>,
}

impl<T> Pile<T> {
    /// A list of nothing.
    pub const fn new() -> Self {
        Self { blocks: Vec::new() }
    }

    /// How many things there are.
    pub fn len(&self) -> usize {
        match self.blocks.split_last() {
            None => 0,
            Some((last, full)) => full.len() * BLOCK + last.len(),
        }
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// Puts one more thing at the end.
    pub fn push(&mut self, thing: T) {
        match self.blocks.last_mut() {
            Some(last) if last.len() < BLOCK => last.push(thing),
            None => self.blocks.push(vec![thing]),
            Some(_) => {
                let mut block = Vec::with_capacity(BLOCK);
                block.push(thing);
                self.blocks.push(block);
            }
        }
    }

    /// The thing at a place, if there is one.
    pub fn get(&self, place: usize) -> Option<&T> {
        self.blocks.get(place / BLOCK)?.get(place % BLOCK)
    }

    /// All things in order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &T> + Clone {
        self.blocks.iter().flatten()
    }

    /// All things in order, to be changed.
    pub fn iter_mut(&mut self) -> impl DoubleEndedIterator<Item = &mut T> {
        self.blocks.iter_mut().flatten()
    }
}

impl<T> Default for Pile<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T> Index<usize> for Pile<T> {
    type Output = T;

    fn index(&self, place: usize) -> &T {
        &self.blocks[place / BLOCK][place % BLOCK]
    }
}

impl<T> IndexMut<usize> for Pile<T> {
    fn index_mut(&mut self, place: usize) -> &mut T {
        &mut self.blocks[place / BLOCK][place % BLOCK]
    }
}

impl<'a, T> IntoIterator for &'a Pile<T> {
    type Item = &'a T;
    type IntoIter = std::iter::Flatten<std::slice::Iter<'a, Vec<T>>>;

    fn into_iter(self) -> Self::IntoIter {
        self.blocks.iter().flatten()
    }
}

impl<'a, T> IntoIterator for &'a mut Pile<T> {
    type Item = &'a mut T;
    type IntoIter = std::iter::Flatten<std::slice::IterMut<'a, Vec<T>>>;

    fn into_iter(self) -> Self::IntoIter {
        self.blocks.iter_mut().flatten()
    }
}

impl<T> FromIterator<T> for Pile<T> {
    fn from_iter<I: IntoIterator<Item = T>>(things: I) -> Self {
        let mut pile = Self::new();
        for thing in things {
            pile.push(thing);
        }
        pile
    }
}

#[cfg(test)]
mod tests {
    use super::{BLOCK, Pile};

    #[test]
    fn a_list_in_blocks_answers_as_one_in_a_piece() {
        for count in [0, 1, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK, 3 * BLOCK + 7] {
            let plain: Vec<usize> = (0..count).map(|at| at * 3).collect();
            let mut pile: Pile<usize> = plain.iter().copied().collect();
            assert_eq!((pile.len(), pile.is_empty()), (count, count == 0));
            assert!(pile.iter().eq(&plain));
            assert!(pile.iter().rev().eq(plain.iter().rev()));
            assert!((&pile).into_iter().eq(&plain));
            for place in [0, BLOCK - 1, BLOCK, count.saturating_sub(1), count, count + BLOCK] {
                assert_eq!(pile.get(place), plain.get(place), "{place} of {count}");
            }
            for thing in &mut pile {
                *thing += 1;
            }
            if let Some(last) = count.checked_sub(1) {
                pile[last] += 1;
                assert_eq!(pile[last], plain[last] + 2);
                assert_eq!(pile[0], if last == 0 { 2 } else { 1 });
            }
        }
    }

    #[test]
    fn what_a_list_holds_is_never_moved_once_it_fills_a_block() {
        let mut pile: Pile<usize> = (0..=BLOCK).collect();
        let at = |pile: &Pile<usize>, place: usize| std::ptr::from_ref(&pile[place]).addr();
        let (first, last) = (at(&pile, 0), at(&pile, BLOCK));
        for more in 0..5 * BLOCK {
            pile.push(more);
        }
        assert_eq!((at(&pile, 0), at(&pile, BLOCK)), (first, last));
    }
}
