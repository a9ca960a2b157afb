//! Intervals along a line, sorted into slots of equal width: what may lie at a place is found in one list.

use std::ops::RangeInclusive;

/// Slots of equal width.
#[derive(Debug, Clone)]
pub(super) struct Slots {
    start: f64,
    per_mm: f64,
    count: usize,
}

impl Slots {
    /// So many, from the first to the last place of all intervals.
    pub(super) fn over(intervals: impl Iterator<Item = (f64, f64)>, count: usize) -> Slots {
        let ends = (f64::INFINITY, f64::NEG_INFINITY);
        let (start, end) = intervals.fold(ends, |(a, b), (low, high)| (a.min(low), b.max(high)));
        Slots {
            start,
            per_mm: count as f64 / (end - start).max(1e-9),
            count,
        }
    }

    /// The slot of a place; that of the nearer end for places beyond.
    pub(super) fn at(&self, x: f64) -> usize {
        // Negative numbers become 0.
        (((x - self.start) * self.per_mm) as usize).min(self.count - 1)
    }

    /// The slots that an interval reaches into.
    pub(super) fn of(&self, (low, high): (f64, f64)) -> RangeInclusive<usize> {
        self.at(low)..=self.at(high)
    }
}

/// For each slot the intervals that reach into it, by their numbers, in order.
#[derive(Debug)]
pub(super) struct Buckets {
    pub(super) slots: Slots,
    /// Where the list of each slot begins, one more for the end.
    starts: Vec<u32>,
    /// The lists, one after the other.
    held: Vec<u32>,
}

impl Buckets {
    /// Sorts the intervals. O(intervals x slots that each reaches into).
    pub(super) fn of(
        intervals: impl DoubleEndedIterator<Item = (f64, f64)> + ExactSizeIterator + Clone,
        count: usize,
    ) -> Buckets {
        let slots = Slots::over(intervals.clone(), count);
        // First how many each slot holds, then where each ends; filling from behind leaves where it begins.
        let mut starts = vec![0u32; count + 1];
        for interval in intervals.clone() {
            starts[slots.of(interval)].iter_mut().for_each(|n| *n += 1);
        }
        let mut sum = 0;
        for n in &mut starts {
            sum += *n;
            *n = sum;
        }
        let mut held = vec![0; sum as usize];
        for (k, interval) in intervals.enumerate().rev() {
            for end in &mut starts[slots.of(interval)] {
                *end -= 1;
                held[*end as usize] = k as u32;
            }
        }
        Buckets {
            slots,
            starts,
            held,
        }
    }

    /// What reaches into a slot.
    pub(super) fn in_slot(&self, slot: usize) -> &[u32] {
        &self.held[self.starts[slot] as usize..self.starts[slot + 1] as usize]
    }

    /// What may hold a place.
    pub(super) fn near(&self, x: f64) -> &[u32] {
        if x < self.slots.start {
            return &[];
        }
        self.in_slot(self.slots.at(x))
    }

    /// How many numbers the lists hold together.
    pub(super) fn held_count(&self) -> usize {
        self.held.len()
    }
}
