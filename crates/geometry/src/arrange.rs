//! Sorting in little code.
//!
//! The standard library's sorts are compiled anew for each type and each comparison, some six
//! kilobytes of WebAssembly each time; a page that sorts in eighty places carried half a
//! megabyte of them. Here only a comparison and an exchange are compiled anew: short lists
//! are sorted by insertion, and of long ones the places are, by one sort for all.

use std::cmp::Ordering;

/// Up to here insertion is as quick as anything; every doubling costs four times the exchanges.
const SHORT: usize = 20;

/// Sorting for slices, stable, in little code.
pub trait Arrange<T> {
    /// Sorts by a comparison; what is equal keeps its order.
    ///
    /// O(n log n) comparisons, O(n) exchanges and places beyond a short list. The comparison
    /// must be a total order; with any other the order is unspecified, but nothing panics.
    fn arrange_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// Sorts by a key; what is equal keeps its order.
    fn arrange_by_key<K: Ord>(&mut self, key: impl Fn(&T) -> K) {
        self.arrange_by(|a, b| key(a).cmp(&key(b)));
    }

    /// Sorts from the least to the greatest.
    fn arrange(&mut self)
    where
        T: Ord,
    {
        self.arrange_by(T::cmp);
    }
}

impl<T> Arrange<T> for [T] {
    fn arrange_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        if self.len() <= SHORT {
            for end in 1..self.len() {
                let mut at = end;
                while at > 0 && compare(&self[at], &self[at - 1]).is_lt() {
                    self.swap(at, at - 1);
                    at -= 1;
                }
            }
            return;
        }
        let mut order = places(self.len(), &mut |a, b| compare(&self[a], &self[b]));
        // Each cycle of the order by exchanges; a place that is done points to itself.
        for start in 0..self.len() {
            let mut at = start;
            while order[at] != start {
                let next = order[at];
                self.swap(at, next);
                order[at] = at;
                at = next;
            }
            order[at] = at;
        }
    }
}

/// The places 0 to n - 1 in the order of what lies there.
fn places(n: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| compare(*a, *b));
    order
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_order_is_that_of_the_standard_library(
            list in proptest::collection::vec((0u8..12, any::<u16>()), 0..90)
        ) {
            let mut ours = list.clone();
            let mut theirs = list;
            ours.arrange_by(|a, b| a.0.cmp(&b.0));
            theirs.sort_by_key(|pair| pair.0);
            prop_assert_eq!(&ours, &theirs);
            ours.arrange_by_key(|pair| std::cmp::Reverse(pair.1));
            theirs.sort_by_key(|pair| std::cmp::Reverse(pair.1));
            prop_assert_eq!(&ours, &theirs);
            ours.arrange();
            theirs.sort();
            prop_assert_eq!(&ours, &theirs);
        }
    }
}
