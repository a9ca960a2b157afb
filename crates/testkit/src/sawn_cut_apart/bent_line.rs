//! A bent line that divides a cell in two of wanted areas.

use heartside_geometry::{Bounds, Point};

use crate::chance::Chance;
use crate::timberyard::{SAWN_ALLOWANCE, SAWN_KERF};

/// Beyond rounding to hundredths of a millimetre, what every side keeps to spare.
pub(super) const SPARE: f64 = 0.01;

/// A corner of a cell, and what a part keeps from the side that begins there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Point,
    pub(super) keep: f64,
}

/// A stretch of the board, counter-clockwise.
pub(super) type Cell = Vec<Corner>;

/// A line with a few corners across a cell: for each place along one axis, how far it is off on the other.
pub(super) struct BentLine {
    /// Runs along the board and parts what lies beside each other; otherwise runs across it.
    lengthwise: bool,
    /// Places and how far off, in the order of the places; the first and the last lie beyond the cell.
    corners: Vec<(f64, f64)>,
}

impl BentLine {
    /// A line for a cell of these bounds that is nowhere farther than `most` off its axis.
    pub(super) fn across(
        chance: &mut Chance,
        bounds: &Bounds,
        lengthwise: bool,
        most: f64,
    ) -> BentLine {
        let (from, to) = if lengthwise {
            (bounds.min.x, bounds.max.x)
        } else {
            (bounds.min.y, bounds.max.y)
        };
        let span = to - from;
        let most = most.min(0.14 * span);
        let count = 1 + chance.below(3);
        let mut corners = vec![(from - 1.0, chance.between(-most, most))];
        for k in 1..=count {
            let place = (k as f64 + chance.between(-0.2, 0.2)) / (count + 1) as f64;
            corners.push((from + place * span, chance.between(-most, most)));
        }
        corners.push((to + 1.0, chance.between(-most, most)));
        BentLine {
            lengthwise,
            corners,
        }
    }

    /// Place along the line and distance square to its axis.
    fn axes(&self, p: Point) -> (f64, f64) {
        if self.lengthwise {
            (p.x, p.y)
        } else {
            (p.y, p.x)
        }
    }

    fn point(&self, place: f64, square: f64) -> Point {
        if self.lengthwise {
            Point {
                x: place,
                y: square,
            }
        } else {
            Point {
                x: square,
                y: place,
            }
        }
    }

    /// How far off the line is at a place.
    fn off(&self, place: f64) -> f64 {
        let last = self.corners.len() - 1;
        let k = (1..last)
            .find(|k| place < self.corners[*k].0)
            .unwrap_or(last);
        let ((p, a), (q, b)) = (self.corners[k - 1], self.corners[k]);
        a + (b - a) * (place - p) / (q - p)
    }

    /// The cell's outline with a corner wherever the line has one beside it: (corner, distance from the unmoved line).
    fn beside(&self, cell: &[Corner]) -> Vec<(Corner, f64)> {
        let mut beside = Vec::new();
        for (k, corner) in cell.iter().enumerate() {
            let end = cell[(k + 1) % cell.len()].at;
            let (from, to) = (self.axes(corner.at).0, self.axes(end).0);
            let mut shares: Vec<f64> = self
                .corners
                .iter()
                .map(|(place, _)| (place - from) / (to - from))
                .filter(|t| *t > 0.0 && *t < 1.0)
                .collect();
            shares.sort_by(f64::total_cmp);
            for share in std::iter::once(0.0).chain(shares) {
                let at = corner.at.towards(end, share);
                let (place, square) = self.axes(at);
                beside.push((Corner { at, ..*corner }, square - self.off(place)));
            }
        }
        beside
    }

    /// Moves the line to where the low side has the area wanted, and cuts the cell there.
    ///
    /// None where the line would meet the outline more than twice.
    pub(super) fn cut(&self, cell: &[Corner], wanted: f64) -> Option<(Cell, Cell)> {
        let beside = self.beside(cell);
        let ends = beside.iter().map(|(_, d)| *d);
        let (mut low, mut high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| {
            (l.min(d), h.max(d))
        });
        // Halved some fifty times nothing is left of a board.
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if self.low_area(&beside, middle) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.cut_at(&beside, 0.5 * (low + high))
    }

    /// Area of what lies below the line once that is moved by `by`: shearing the line straight changes no area.
    fn low_area(&self, beside: &[(Corner, f64)], by: f64) -> f64 {
        let mut kept: Vec<(f64, f64)> = Vec::new();
        for (k, (corner, d)) in beside.iter().enumerate() {
            let (next, e) = beside[(k + 1) % beside.len()];
            let (place, end) = (self.axes(corner.at).0, self.axes(next.at).0);
            if *d < by {
                kept.push((place, *d));
            }
            if (*d < by) != (e < by) {
                kept.push((place + (end - place) * (by - d) / (e - d), by));
            }
        }
        let doubled: f64 = (0..kept.len())
            .map(|k| {
                let ((x, y), (u, v)) = (kept[k], kept[(k + 1) % kept.len()]);
                x * v - u * y
            })
            .sum();
        0.5 * doubled.abs()
    }

    fn cut_at(&self, beside: &[(Corner, f64)], by: f64) -> Option<(Cell, Cell)> {
        let (mut low, mut high): (Cell, Cell) = (Vec::new(), Vec::new());
        let mut crossings = 0;
        // The walk begins just below the line, so that each side is walked in one stretch.
        let n = beside.len();
        let begin = (0..n).find(|k| beside[*k].1 < by && beside[(*k + n - 1) % n].1 >= by)?;
        for k in 0..n {
            let ((corner, d), (next, e)) = (beside[(begin + k) % n], beside[(begin + k + 1) % n]);
            if d < by {
                low.push(corner);
            } else {
                high.push(corner);
            }
            if (d < by) == (e < by) {
                continue;
            }
            crossings += 1;
            let at = corner.at.towards(next.at, (by - d) / (e - d));
            let sawn = Corner {
                at,
                keep: SAWN_ALLOWANCE + 0.5 * SAWN_KERF + SPARE,
            };
            let goes_on = Corner { at, ..corner };
            let (leaves, enters) = if d < by {
                (&mut low, &mut high)
            } else {
                (&mut high, &mut low)
            };
            leaves.push(sawn);
            enters.push(goes_on);
        }
        if crossings != 2 {
            return None;
        }
        // The low side ends with the place where the walk came back below the line: that is where it begins.
        let entry = low.pop()?;
        low.insert(0, entry);
        let exit = low.last()?.at;
        let (from, to) = (self.axes(exit).0, self.axes(entry.at).0);
        let mut corners: Cell = self
            .corners
            .iter()
            .filter(|(place, _)| (place - from) * (place - to) < 0.0)
            .map(|(place, off)| Corner {
                at: self.point(*place, off + by),
                keep: SAWN_ALLOWANCE + 0.5 * SAWN_KERF + SPARE,
            })
            .collect();
        if from > to {
            corners.reverse();
        }
        low.extend(corners.iter().copied());
        high.extend(corners.iter().rev().copied());
        Some((true_corners(low), true_corners(high)))
    }
}

/// A cell without the corners in the middle of a straight side.
fn true_corners(cell: Cell) -> Cell {
    let n = cell.len();
    (0..n)
        .filter(|k| {
            let (before, here, after) = (cell[(k + n - 1) % n], cell[*k], cell[(k + 1) % n]);
            before.keep != here.keep || here.at.distance_to_segment(before.at, after.at) > 1e-6
        })
        .map(|k| cell[k])
        .collect()
}

/// The area of a cell.
pub(super) fn area(cell: &[Corner]) -> f64 {
    let doubled: f64 = (0..cell.len())
        .map(|k| {
            let (a, b) = (cell[k].at, cell[(k + 1) % cell.len()].at);
            a.x * b.y - b.x * a.y
        })
        .sum();
    0.5 * doubled
}
