//! Which pieces lie near a place of a board.

use heartside_geometry::Bounds;

use super::buckets::Slots;

/// Slabs of equal width across a board, each with a set of the pieces whose boxes reach into it.
///
/// A piece asks only for those in the slabs that its own box reaches into: a third to a
/// tenth of all on a long board.
#[derive(Debug, Clone)]
pub(super) struct Slabs {
    slots: Slots,
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
        let words = boxes.len().div_ceil(64);
        let mut slabs = Slabs {
            slots: Slots::over(boxes.iter().map(|b| (b.min.x, b.max.x)), SLABS),
            words,
            sets: vec![0; words * SLABS],
        };
        for (k, its_box) in boxes.iter().enumerate().filter(|(k, _)| lies(*k)) {
            slabs.set(k, its_box, true);
        }
        slabs
    }

    /// A piece comes or goes; its box must be the one that it came with.
    pub(super) fn set(&mut self, k: usize, its_box: &Bounds, there: bool) {
        let bit = 1u64 << (k % 64);
        for slab in self.slots.of((its_box.min.x, its_box.max.x)) {
            let word = &mut self.sets[slab * self.words + k / 64];
            *word = if there { *word | bit } else { *word & !bit };
        }
    }

    /// Pieces `64 * word` and following whose boxes may lie between two x.
    pub(super) fn near(&self, word: usize, low: f64, high: f64) -> u64 {
        self.slots
            .of((low, high))
            .fold(0, |all, slab| all | self.sets[slab * self.words + word])
    }
}
