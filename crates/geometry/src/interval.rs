//! Unions of intervals on a line.

use crate::arrange::Arrange;
use serde::{Deserialize, Serialize};

/// A union of closed intervals, kept apart and in order.
///
/// Intervals that touch are joined: their common end leaves no room.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Intervals {
    parts: Vec<(f64, f64)>,
}

impl Intervals {
    /// The union of nothing.
    pub fn new() -> Intervals {
        Intervals::default()
    }

    /// The union of many intervals at once: O(n log n).
    pub fn of(intervals: impl IntoIterator<Item = (f64, f64)>) -> Intervals {
        let mut all: Vec<(f64, f64)> = intervals
            .into_iter()
            .filter(|(low, high)| low <= high)
            .collect();
        all.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut parts: Vec<(f64, f64)> = Vec::with_capacity(all.len());
        for (low, high) in all {
            match parts.last_mut() {
                Some(last) if low <= last.1 => last.1 = last.1.max(high),
                _ => parts.push((low, high)),
            }
        }
        Intervals { parts }
    }

    /// Adds the interval from `low` to `high`; one with `low` above `high` (or not a number)
    /// is empty and changes nothing. O(n) at worst.
    pub fn insert(&mut self, low: f64, high: f64) {
        if low.is_nan() || high.is_nan() || low > high {
            return;
        }
        let first = self.parts.partition_point(|part| part.1 < low);
        let last = self.parts.partition_point(|part| part.0 <= high);
        if first == last {
            self.parts.insert(first, (low, high));
        } else {
            let joined = (
                low.min(self.parts[first].0),
                high.max(self.parts[last - 1].1),
            );
            self.parts.splice(first..last, [joined]);
        }
    }

    /// Removes everything, keeping the memory.
    pub fn clear(&mut self) {
        self.parts.clear();
    }

    /// The intervals, in order, none touching the next.
    pub fn parts(&self) -> &[(f64, f64)] {
        &self.parts
    }

    /// Whether the value lies in one of the intervals, ends included.
    pub fn contains(&self, value: f64) -> bool {
        let k = self.parts.partition_point(|part| part.1 < value);
        self.parts.get(k).is_some_and(|part| part.0 <= value)
    }

    /// The free stretches between `from` and `to`, in order.
    pub fn gaps(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        let mut gaps = Vec::new();
        let mut start = from;
        for &(low, high) in &self.parts {
            if low >= to {
                break;
            }
            if low > start {
                gaps.push((start, low));
            }
            start = start.max(high);
        }
        if start < to {
            gaps.push((start, to));
        }
        gaps
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joins_what_overlaps_or_touches() {
        let mut set = Intervals::new();
        for (low, high) in [(5.0, 6.0), (1.0, 2.0), (8.0, 9.0), (2.0, 3.0), (7.0, 6.5)] {
            set.insert(low, high);
        }
        assert_eq!(set.parts(), &[(1.0, 3.0), (5.0, 6.0), (8.0, 9.0)]);
        set.insert(2.5, 8.5);
        assert_eq!(set.parts(), &[(1.0, 9.0)]);
        assert!(set.contains(9.0) && !set.contains(9.1));
        set.insert(f64::NAN, 3.0);
        assert_eq!(set.parts().len(), 1);
    }

    #[test]
    fn finds_the_gaps() {
        let set = Intervals::of([(0.0, 1.0), (3.0, 4.0), (4.5, 10.0)]);
        assert_eq!(
            set.gaps(0.5, 20.0),
            vec![(1.0, 3.0), (4.0, 4.5), (10.0, 20.0)]
        );
    }
}
