//! Blocks: blanks that fit together without loss, laid and cut as if they were one.
//!
//! Stages alone reach only patterns of few stages. A block has any number of them: two
//! blanks (or blocks) of equal height side by side, or of equal width one above the other
//! (the rectangles of Wang 1983, with no loss allowed).

use heartside_geometry::{Arrange, Bounds, SortedSet};
use heartside_nest::kit::cuts::Fit;

/// Most blanks in one block.
const MOST_BLANKS: u32 = 12;

/// What a block is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Make {
    /// One blank.
    Blank {
        /// Place in the job's list of parts.
        part: usize,
        /// Place of its way to lie in the ground's list.
        fit: usize,
    },
    /// Two sawn parts in one rectangle: the place of their pair in the ground's list.
    Pair(usize),
    /// The first, then the second further along u.
    Beside(u16, u16),
    /// The first, then the second further along v.
    Above(u16, u16),
}

/// A blank in one way to lie, or a block.
#[derive(Debug, Clone)]
pub(crate) struct Block {
    /// What it is made of.
    pub(crate) make: Make,
    /// Extents along u and v, and what it keeps clear of.
    pub(super) lie: Fit,
    /// Obstacles count for it.
    pub(crate) meets_any: bool,
    /// Area of the blanks.
    pub(crate) area: f64,
    /// Value of the blanks.
    pub(crate) value: f64,
    /// How many blanks.
    pub(crate) blanks: u32,
    /// Which parts it needs and how many of each, in order.
    pub(crate) needs: Vec<(usize, u32)>,
    /// Sum of the parts' random numbers.
    pub(crate) mark: u64,
}

impl Block {
    /// Extent along u.
    pub(crate) fn width(&self) -> f64 {
        self.lie.width
    }

    /// Extent along v.
    pub(crate) fn height(&self) -> f64 {
        self.lie.height
    }

    /// True where enough of each part is left.
    pub(crate) fn is_in(&self, pool: &[u32]) -> bool {
        self.needs.iter().all(|(part, n)| pool[*part] >= *n)
    }
}

/// Adds blocks to single blanks until there are no more, or enough.
///
/// O(blocks x log blocks + pairs that match).
pub(super) fn add_blocks(
    blocks: &mut Vec<Block>,
    usable: &Bounds,
    kerf: (f64, f64),
    bite: f64,
    pool: &[u32],
    most: usize,
) {
    let key = |b: &Block| (b.lie.width.to_bits(), b.lie.height.to_bits(), b.mark);
    let mut known = SortedSet::from_iter(blocks.iter().map(key));
    let mut new_from = 0;
    while new_from < blocks.len() && blocks.len() < most {
        let end = blocks.len();
        for beside in [false, true] {
            let equal = |b: &Block| if beside { b.height() } else { b.width() };
            let mut order: Vec<usize> = (0..end).collect();
            order.arrange_by(|a, b| {
                equal(&blocks[*a])
                    .total_cmp(&equal(&blocks[*b]))
                    .then(a.cmp(b))
            });
            for (k, a) in order.iter().enumerate() {
                for b in &order[k..] {
                    if equal(&blocks[*b]) > equal(&blocks[*a]) + bite {
                        break;
                    }
                    if (*a).max(*b) < new_from {
                        continue;
                    }
                    let joined = join(blocks, (*a.min(b), *a.max(b)), beside, kerf);
                    let Some(joined) = joined.filter(|j| {
                        j.width() <= usable.width() + bite
                            && j.height() <= usable.height() + bite
                            && j.is_in(pool)
                    }) else {
                        continue;
                    };
                    if known.insert(key(&joined)) {
                        blocks.push(joined);
                        if blocks.len() >= most {
                            return;
                        }
                    }
                }
            }
        }
        new_from = end;
    }
}

/// So many more of a part, in order.
pub(super) fn add_need(needs: &mut Vec<(usize, u32)>, part: usize, n: u32) {
    match needs.binary_search_by_key(&part, |(p, _)| *p) {
        Ok(place) => needs[place].1 += n,
        Err(place) => needs.insert(place, (part, n)),
    }
}

fn join(blocks: &[Block], (a, b): (usize, usize), beside: bool, kerf: (f64, f64)) -> Option<Block> {
    let (first, second) = (&blocks[a], &blocks[b]);
    let blanks = first.blanks + second.blanks;
    if blanks > MOST_BLANKS || first.lie.class != second.lie.class {
        return None;
    }
    let (x, y) = (u16::try_from(a).ok()?, u16::try_from(b).ok()?);
    let mut lie = first.lie;
    // Obstacles of finished sizes are kept clear of by the whole block, which is more.
    lie.inset = (0.0, 0.0);
    let make = if beside {
        lie.width = first.width() + kerf.0 + second.width();
        lie.height = first.height().max(second.height());
        Make::Beside(x, y)
    } else {
        lie.height = first.height() + kerf.1 + second.height();
        lie.width = first.width().max(second.width());
        Make::Above(x, y)
    };
    let mut needs = first.needs.clone();
    for (part, n) in &second.needs {
        add_need(&mut needs, *part, *n);
    }
    Some(Block {
        make,
        lie,
        meets_any: first.meets_any,
        area: first.area + second.area,
        value: first.value + second.value,
        blanks,
        needs,
        mark: first.mark.wrapping_add(second.mark),
    })
}
