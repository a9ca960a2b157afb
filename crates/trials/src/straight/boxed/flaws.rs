//! What blanks keep clear of, as boxes, and the corner from which it is seen.

use heartside_geometry::{Bounds, Point};
use heartside_nest::kit::cuts::{Class, Ground};

/// From which corner a board is filled: past flaws it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Mirror {
    /// From the end of u.
    pub(crate) along_u: bool,
    /// From the end of v.
    pub(crate) along_v: bool,
}

impl Mirror {
    /// A box seen from that corner; and back.
    pub(super) fn of(self, b: &Bounds, usable: &Bounds) -> Bounds {
        let turn = |turns: bool, (from, to): (f64, f64), (low, high): (f64, f64)| {
            if turns {
                (low + high - to, low + high - from)
            } else {
                (from, to)
            }
        };
        let (u0, u1) = turn(
            self.along_u,
            (b.min.x, b.max.x),
            (usable.min.x, usable.max.x),
        );
        let (v0, v1) = turn(
            self.along_v,
            (b.min.y, b.max.y),
            (usable.min.y, usable.max.y),
        );
        Bounds {
            min: Point { x: u0, y: v0 },
            max: Point { x: u1, y: v1 },
        }
    }
}

/// What blanks of one class keep clear of, as boxes along u and v: a little more than the
/// flaws themselves, and asked about far more quickly.
#[derive(Debug, Clone, Default)]
pub(super) struct Flaws {
    blank: Vec<Bounds>,
    finished: Vec<Bounds>,
}

impl Flaws {
    pub(super) fn of(ground: &Ground, class: &Class, inner: &Bounds, transposed: bool) -> Flaws {
        let boxes = |list: &[usize]| {
            let mut boxes: Vec<Bounds> = Vec::new();
            for piece in list.iter().map(|p| &ground.pieces[*p]) {
                // Only what reaches into the rectangle counts.
                if !piece.meets(&inner.grown(-ground.noise)) {
                    continue;
                }
                let b = *piece.bounds();
                if boxes.iter().all(|other| !other.contains_bounds(&b)) {
                    boxes.retain(|other| !b.contains_bounds(other));
                    boxes.push(b);
                }
            }
            if transposed {
                boxes.iter_mut().for_each(|b| *b = b.transposed());
            }
            boxes
        };
        // What a blank may lie round is kept clear of too: another engine looks for that.
        let blank: Vec<usize> = class.blank.iter().chain(&class.around).copied().collect();
        Flaws {
            blank: boxes(&blank),
            finished: boxes(&class.finished),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.blank.is_empty() && self.finished.is_empty()
    }

    pub(super) fn mirrored(&self, mirror: Mirror, usable: &Bounds) -> Flaws {
        let all = |list: &[Bounds]| list.iter().map(|b| mirror.of(b, usable)).collect();
        Flaws {
            blank: all(&self.blank),
            finished: all(&self.finished),
        }
    }

    /// Every flaw, less what a block's edge may lie over it.
    pub(super) fn reduced(&self, inset: (f64, f64)) -> impl Iterator<Item = Bounds> {
        let finished = self.finished.iter().map(move |b| Bounds {
            min: Point {
                x: b.min.x + inset.0,
                y: b.min.y + inset.1,
            },
            max: Point {
                x: b.max.x - inset.0,
                y: b.max.y - inset.1,
            },
        });
        self.blank.iter().copied().chain(finished)
    }
}
