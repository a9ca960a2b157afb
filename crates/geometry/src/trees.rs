//! Sets and maps made in little code.
//!
//! Collected by the standard library, entries are sorted first and then packed from the left,
//! and both are compiled anew for each type: some eight kilobytes of WebAssembly each time.
//! Here they are put in one after the other, by what every set and map has anyhow.

use std::collections::{BTreeMap, BTreeSet};

/// The set of some values. O(n log n).
pub fn set_of<T: Ord>(values: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut set = BTreeSet::new();
    for value in values {
        set.insert(value);
    }
    set
}

/// The map of some pairs; of pairs with the same key the last one stays. O(n log n).
pub fn map_of<K: Ord, V>(pairs: impl IntoIterator<Item = (K, V)>) -> BTreeMap<K, V> {
    let mut map = BTreeMap::new();
    for (key, value) in pairs {
        map.insert(key, value);
    }
    map
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_hold_what_collecting_gives() {
        let pairs = [(3, 'a'), (1, 'b'), (3, 'c'), (2, 'd')];
        assert_eq!(map_of(pairs), pairs.into_iter().collect());
        assert_eq!(set_of([3, 1, 3]), BTreeSet::from([1, 3]));
    }
}
