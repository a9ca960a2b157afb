//! Which pieces lie near a place of a board.

use heartside_geometry::Bounds;

/// Slabs of equal width across a board, each with a set of the pieces whose boxes reach into it.
///
/// A piece asks only for those in the slabs that its own box reaches into: a third to a
/// tenth of all on a long board.
#[derive(Debug, Clone)]
pub(super) struct Slabs {
    start: f64,
    per_mm: f64,
    /// Words of 64 pieces each.
    pub(super) words: usize,
    /// Slab by slab.
    sets: Vec<u64>,
}

/// So many slabs: fewer hold too much, more take longer to look through.
const SLABS: usize = 32;

impl Slabs {
    /// Slabs over all the boxes, holding those of the pieces that `lies` picks.
    pub(super) fn over(boxes: &[Bounds], lies: impl Fn(usize) -> bool) -> Slabs {
        let start = boxes.iter().map(|b| b.min.x).fold(f64::INFINITY, f64::min);
        let end = (boxes.iter().map(|b| b.max.x)).fold(f64::NEG_INFINITY, f64::max);
        let words = boxes.len().div_ceil(64);
        let mut slabs = Slabs {
            start,
            per_mm: SLABS as f64 / (end - start).max(1e-9),
            words,
            sets: vec![0; words * SLABS],
        };
        for (k, its_box) in boxes.iter().enumerate().filter(|(k, _)| lies(*k)) {
            slabs.set(k, its_box, true);
        }
        slabs
    }

    fn range(&self, low: f64, high: f64) -> std::ops::RangeInclusive<usize> {
        // Negative numbers become 0.
        let slab = |x: f64| (((x - self.start) * self.per_mm) as usize).min(SLABS - 1);
        slab(low)..=slab(high)
    }

    /// A piece comes or goes; its box must be the one that it came with.
    pub(super) fn set(&mut self, k: usize, its_box: &Bounds, there: bool) {
        let bit = 1u64 << (k % 64);
        for slab in self.range(its_box.min.x, its_box.max.x) {
            let word = &mut self.sets[slab * self.words + k / 64];
            *word = if there { *word | bit } else { *word & !bit };
        }
    }

    /// Pieces `64 * word` and following whose boxes may lie between two x.
    pub(super) fn near(&self, word: usize, low: f64, high: f64) -> u64 {
        self.range(low, high)
            .fold(0, |all, slab| all | self.sets[slab * self.words + word])
    }
}
