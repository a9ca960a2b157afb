//! Maps and sets in little code: entries in one list, sorted by their keys.
//!
//! The standard library's trees are compiled anew for each pair of types, some six kilobytes of
//! WebAssembly each time; a page with fifty of them carried a third of a megabyte. Here a key is
//! found by halving, and what comes after a new one moves up: for the thousands of entries that
//! a job has, about as quick, and walking through is quicker. What may hold very many more is
//! better off in a tree.

use std::borrow::Borrow;
use std::ops::{Bound, Index, RangeBounds};

/// A map whose entries lie sorted by their keys: finding takes O(log n), putting in O(n) moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SortedMap<K, V> {
    entries: Vec<(K, V)>,
}

/// A set whose values lie sorted: finding takes O(log n), putting in O(n) moves.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SortedSet<T> {
    values: Vec<T>,
}

/// Where a key stands, or would.
#[derive(Debug)]
pub struct Entry<'a, K, V> {
    map: &'a mut SortedMap<K, V>,
    key: K,
    at: Result<usize, usize>,
}

impl<K, V> SortedMap<K, V> {
    /// A map of nothing.
    pub const fn new() -> Self {
        let entries = Vec::new();
        SortedMap { entries }
    }

    /// How many entries it has.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// All entries, by their keys from the least.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&K, &V)> + ExactSizeIterator + Clone {
        self.entries.iter().map(|(key, value)| (key, value))
    }

    /// All keys from the least.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> + ExactSizeIterator + Clone {
        self.entries.iter().map(|(key, _)| key)
    }

    /// All values, by their keys from the least.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + ExactSizeIterator + Clone {
        self.entries.iter().map(|(_, value)| value)
    }

    /// All keys from the least, taken out.
    pub fn into_keys(self) -> impl DoubleEndedIterator<Item = K> + ExactSizeIterator {
        self.entries.into_iter().map(|(key, _)| key)
    }

    /// All values, by their keys from the least, taken out.
    pub fn into_values(self) -> impl DoubleEndedIterator<Item = V> + ExactSizeIterator {
        self.entries.into_iter().map(|(_, value)| value)
    }

    /// Takes all entries out.
    pub fn clear(&mut self) {
        self.entries.clear();
    }

    /// Keeps what is wanted.
    pub fn retain(&mut self, mut wanted: impl FnMut(&K, &mut V) -> bool) {
        self.entries.retain_mut(|(key, value)| wanted(key, value));
    }
}

impl<K: Ord, V> SortedMap<K, V> {
    fn place<Q: Ord + ?Sized>(&self, key: &Q) -> Result<usize, usize>
    where
        K: Borrow<Q>,
    {
        self.entries
            .binary_search_by(|(own, _)| own.borrow().cmp(key))
    }

    /// The value of a key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&V>
    where
        K: Borrow<Q>,
    {
        let place = self.place(key).ok()?;
        Some(&self.entries[place].1)
    }

    /// The value of a key, to be changed.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut V>
    where
        K: Borrow<Q>,
    {
        let place = self.place(key).ok()?;
        Some(&mut self.entries[place].1)
    }

    /// Whether a key is there.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.place(key).is_ok()
    }

    /// Puts a value in and gives the one that was there.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        match self.place(&key) {
            Ok(place) => Some(std::mem::replace(&mut self.entries[place].1, value)),
            Err(place) => {
                self.entries.insert(place, (key, value));
                None
            }
        }
    }

    /// Takes a value out.
    pub fn remove<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<V>
    where
        K: Borrow<Q>,
    {
        let place = self.place(key).ok()?;
        Some(self.entries.remove(place).1)
    }

    /// Where a key stands, or would.
    pub fn entry(&mut self, key: K) -> Entry<'_, K, V> {
        let at = self.place(&key);
        Entry { map: self, key, at }
    }

    /// The entries whose keys lie within bounds, from the least.
    pub fn range(&self, keys: impl RangeBounds<K>) -> impl DoubleEndedIterator<Item = (&K, &V)> {
        let [first, end] = ends(&self.entries, |(key, _)| key, keys);
        let within = self.entries.get(first..end).unwrap_or_default();
        within.iter().map(|(key, value)| (key, value))
    }
}

impl<'a, K: Ord, V> Entry<'a, K, V> {
    /// The value, or what is made now if there is none.
    pub fn or_insert_with(self, value: impl FnOnce() -> V) -> &'a mut V {
        let place = match self.at {
            Ok(place) => place,
            Err(place) => {
                self.map.entries.insert(place, (self.key, value()));
                place
            }
        };
        &mut self.map.entries[place].1
    }

    /// The value, or this one if there is none.
    pub fn or_insert(self, value: V) -> &'a mut V {
        self.or_insert_with(|| value)
    }

    /// The value, or the usual one if there is none.
    pub fn or_default(self) -> &'a mut V
    where
        V: Default,
    {
        self.or_insert_with(V::default)
    }
}

impl<T> SortedSet<T> {
    /// A set of nothing.
    pub const fn new() -> Self {
        let values = Vec::new();
        SortedSet { values }
    }

    /// How many values it has.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// All values from the least.
    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.values.iter()
    }

    /// The least value.
    pub fn first(&self) -> Option<&T> {
        self.values.first()
    }

    /// The greatest value.
    pub fn last(&self) -> Option<&T> {
        self.values.last()
    }
}

impl<T: Ord> SortedSet<T> {
    /// Whether a value is there.
    pub fn contains<Q: Ord + ?Sized>(&self, value: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        self.place(value).is_ok()
    }

    fn place<Q: Ord + ?Sized>(&self, value: &Q) -> Result<usize, usize>
    where
        T: Borrow<Q>,
    {
        self.values.binary_search_by(|own| own.borrow().cmp(value))
    }

    /// Puts a value in; whether it was not there.
    pub fn insert(&mut self, value: T) -> bool {
        let place = self.place(&value);
        if let Err(place) = place {
            self.values.insert(place, value);
        }
        place.is_err()
    }

    /// Takes a value out; whether it was there.
    pub fn remove<Q: Ord + ?Sized>(&mut self, value: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        let place = self.place(value);
        if let Ok(place) = place {
            self.values.remove(place);
        }
        place.is_ok()
    }

    /// The values that another set does not have.
    pub fn difference<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = &'a T> {
        self.values.iter().filter(|value| !other.contains(*value))
    }
}

/// The first place within bounds, and the one behind the last.
fn ends<E, K: Ord>(entries: &[E], key: impl Fn(&E) -> &K, keys: impl RangeBounds<K>) -> [usize; 2] {
    let before = |bound: &K, including: bool| {
        entries.partition_point(|entry| match key(entry).cmp(bound) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Equal => including,
            std::cmp::Ordering::Greater => false,
        })
    };
    let first = match keys.start_bound() {
        Bound::Included(bound) => before(bound, false),
        Bound::Excluded(bound) => before(bound, true),
        Bound::Unbounded => 0,
    };
    let end = match keys.end_bound() {
        Bound::Included(bound) => before(bound, true),
        Bound::Excluded(bound) => before(bound, false),
        Bound::Unbounded => entries.len(),
    };
    [first, end]
}

impl<K, V> Default for SortedMap<K, V> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T> Default for SortedSet<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<K: Ord + Borrow<Q>, Q: Ord + ?Sized, V> Index<&Q> for SortedMap<K, V> {
    type Output = V;

    /// # Panics
    /// If the key is not there.
    fn index(&self, key: &Q) -> &V {
        self.get(key).expect("no entry of this key")
    }
}

impl<K: Ord, V> Extend<(K, V)> for SortedMap<K, V> {
    fn extend<I: IntoIterator<Item = (K, V)>>(&mut self, pairs: I) {
        for (key, value) in pairs {
            self.insert(key, value);
        }
    }
}

impl<T: Ord> Extend<T> for SortedSet<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, values: I) {
        for value in values {
            self.insert(value);
        }
    }
}

impl<K: Ord, V> FromIterator<(K, V)> for SortedMap<K, V> {
    /// Of pairs with the same key the last one stays.
    fn from_iter<I: IntoIterator<Item = (K, V)>>(pairs: I) -> Self {
        let mut map = Self::new();
        map.extend(pairs);
        map
    }
}

impl<T: Ord> FromIterator<T> for SortedSet<T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> Self {
        let mut set = Self::new();
        set.extend(values);
        set
    }
}

impl<K, V> IntoIterator for SortedMap<K, V> {
    type Item = (K, V);
    type IntoIter = std::vec::IntoIter<(K, V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.entries.into_iter()
    }
}

impl<'a, K, V> IntoIterator for &'a SortedMap<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = std::iter::Map<std::slice::Iter<'a, (K, V)>, fn(&'a (K, V)) -> (&'a K, &'a V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.entries.iter().map(|(key, value)| (key, value))
    }
}

impl<T> IntoIterator for SortedSet<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.values.into_iter()
    }
}

impl<'a, T> IntoIterator for &'a SortedSet<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.values.iter()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn they_answer_as_trees_do(
            given in prop::collection::vec((any::<bool>(), 0_u8..40, any::<u8>()), 0..120),
            [from, to] in [0_u8..45, 0_u8..45],
        ) {
            let (mut map, mut tree) = (SortedMap::new(), BTreeMap::new());
            let (mut set, mut leaves) = (SortedSet::new(), BTreeSet::new());
            for (puts_in, key, value) in given {
                if puts_in {
                    prop_assert_eq!(map.insert(key, value), tree.insert(key, value));
                    prop_assert_eq!(set.insert(key), leaves.insert(key));
                } else if value < 128 {
                    prop_assert_eq!(map.remove(&key), tree.remove(&key));
                    prop_assert_eq!(set.remove(&key), leaves.remove(&key));
                } else {
                    *map.entry(key).or_insert(7) ^= value;
                    *tree.entry(key).or_insert(7) ^= value;
                }
                prop_assert_eq!(map.get(&key), tree.get(&key));
                prop_assert_eq!(set.contains(&key), leaves.contains(&key));
            }
            prop_assert!(map.iter().eq(tree.iter()) && set.iter().eq(leaves.iter()));
            prop_assert_eq!([set.first(), set.last()], [leaves.first(), leaves.last()]);
            if from <= to {
                prop_assert!(map.range(from..=to).eq(tree.range(from..=to)));
                prop_assert!(map.range(from..to).eq(tree.range(from..to)));
                prop_assert!(map.range(from..).eq(tree.range(from..)));
            }
            let same: SortedMap<u8, u8> = tree.clone().into_iter().rev().collect();
            prop_assert_eq!(&same, &map);
            prop_assert!(map.into_iter().eq(tree));
        }
    }

    #[test]
    fn of_equal_keys_the_last_one_stays() {
        let map: SortedMap<u8, char> = [(3, 'a'), (1, 'b'), (3, 'c')].into_iter().collect();
        assert_eq!(map.into_iter().collect::<Vec<_>>(), [(1, 'b'), (3, 'c')]);
    }
}
