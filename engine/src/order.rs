//! Lists put in order, and ordered maps and sets filled, with little code for each type.
//!
//! The standard library compiles its sort, and that is five thousand bytes, once for every type and every way to
//! compare; to collect into a map or a set sorts as well. What is here compiles the sort once for all, and a map is filled
//! one entry after another. It is for whatever the page uses and is short: a loop that must be quick sorts for itself.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// Puts a list in order; what compares equal stays in the order it had.
///
/// Cost: as that of the standard library's stable sort, and an allocation of one number for each item.
pub fn by<T>(list: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    let swaps = swaps(list.len(), &mut |a, b| compare(&list[a], &list[b]));
    swaps.into_iter().for_each(|(a, b)| list.swap(a, b));
}

/// An ordered map of these entries; of two with the same key the later stays.
pub fn map<K: Ord, V>(entries: impl IntoIterator<Item = (K, V)>) -> BTreeMap<K, V> {
    let mut map = BTreeMap::new();
    for (key, value) in entries {
        map.insert(key, value);
    }
    map
}

/// An ordered set of these items.
pub fn set<T: Ord>(items: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut set = BTreeSet::new();
    for item in items {
        set.insert(item);
    }
    set
}

/// The swaps that put so many items in order, one after another.
fn swaps(count: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<(usize, usize)> {
    let mut wanted: Vec<usize> = (0..count).collect();
    wanted.sort_by(|&a, &b| compare(a, b));
    let mut swaps = Vec::with_capacity(count);
    for start in 0..count {
        // Places pass on what they hold in a ring, until the one that holds what the first had.
        let mut place = start;
        while wanted[place] != start {
            let from = wanted[place];
            swaps.push((place, from));
            wanted[place] = place;
            place = from;
        }
        wanted[place] = place;
    }
    swaps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_come_into_the_order_of_the_standard_librarys_stable_sort() {
        // Every list of up to six of four keys, each item with the place that it had.
        for length in 0..=6_u32 {
            for number in 0..4_usize.pow(length) {
                let key = |place: u32| number / 4_usize.pow(place) % 4;
                let list: Vec<(usize, u32)> =
                    (0..length).map(|place| (key(place), place)).collect();
                let (mut ours, mut theirs) = (list.clone(), list);
                by(&mut ours, |a, b| a.0.cmp(&b.0));
                theirs.sort_by_key(|item| item.0);
                assert_eq!(ours, theirs);
            }
        }
    }

    #[test]
    fn maps_and_sets_are_those_that_the_standard_library_collects() {
        let entries = [(3, 'a'), (1, 'b'), (3, 'c'), (2, 'd')];
        assert_eq!(map(entries), entries.into_iter().collect());
        assert_eq!(set(entries), entries.into_iter().collect());
    }
}
