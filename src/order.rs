//! Puts things in order, and tables that need none.
//!
//! In go things and how two of them compare; out come the same things in order, equal ones as they stood. What is
//! sorted is their places, by one sort for the whole engine: the standard library's sort is built anew for every type
//! and weighs five to eight kilobytes each time. Loops that a whole map goes through sort for themselves.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A table without an order, whose hash costs little for short texts. It is not proof against somebody who makes up
/// keys that collide; nor is the standard library's in WebAssembly, where nothing is random.
pub(crate) type Lookup<K, V> = HashMap<K, V, foldhash::fast::RandomState>;

/// Puts a list in order by a comparison.
pub(crate) fn by<T>(items: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let count = u32::try_from(items.len()).unwrap_or(u32::MAX);
    let mut places: Vec<u32> = (0..count).collect();
    {
        let items = &*items;
        sort_places(&mut places, &|one, other| {
            compare(&items[one as usize], &items[other as usize])
        });
    }
    for place in 0..places.len() {
        // What belongs here may have been moved away already by an earlier exchange: follow it.
        let mut from = places[place] as usize;
        while from < place {
            from = places[from] as usize;
        }
        items.swap(place, from);
    }
}

/// Puts a list in order by a key.
pub(crate) fn by_key<T, K: Ord>(items: &mut [T], key: impl Fn(&T) -> K) {
    by(items, |one, other| key(one).cmp(&key(other)));
}

/// Puts a list in the order of its own values.
pub(crate) fn naturally<T: Ord>(items: &mut [T]) {
    by(items, T::cmp);
}

/// Puts numbers of places in order by a comparison of what lies there.
pub(crate) fn sort_places(places: &mut [u32], compare: &dyn Fn(u32, u32) -> Ordering) {
    places.sort_by(|one, other| compare(*one, *other));
}

/// Gathers into an ordered map or set, one by one.
pub(crate) trait Gather: Iterator + Sized {
    /// A map of pairs; of two with the same key the later counts.
    fn into_map<K: Ord, V>(self) -> BTreeMap<K, V>
    where
        Self: Iterator<Item = (K, V)>,
    {
        let mut map = BTreeMap::new();
        for (key, value) in self {
            map.insert(key, value);
        }
        map
    }

    /// A set.
    fn into_set(self) -> BTreeSet<Self::Item>
    where
        Self::Item: Ord,
    {
        let mut set = BTreeSet::new();
        for item in self {
            set.insert(item);
        }
        set
    }
}

impl<I: Iterator> Gather for I {}

#[cfg(test)]
mod tests {
    use super::{Gather, by, by_key, naturally};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_order_is_that_of_the_standard_library(items in prop::collection::vec((0u8..6, any::<u16>()), 0..200)) {
            let mut ours = items.clone();
            let mut theirs = items.clone();
            by_key(&mut ours, |item| item.0);
            theirs.sort_by_key(|item| item.0);
            prop_assert_eq!(&ours, &theirs);
            by(&mut ours, |one, other| other.1.cmp(&one.1));
            theirs.sort_by_key(|item| std::cmp::Reverse(item.1));
            prop_assert_eq!(&ours, &theirs);
            naturally(&mut ours);
            theirs.sort();
            prop_assert_eq!(&ours, &theirs);
            prop_assert_eq!(items.iter().copied().into_map(), items.iter().copied().collect());
            prop_assert_eq!(items.iter().into_set(), items.iter().collect());
        }
    }
}
