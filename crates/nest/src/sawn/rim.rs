//! What blanks keep away from on a board, asked shell by shell where a blank lies.
//!
//! A board has some dozens of shells (the pieces of its outside, trimmed sides, zones). Their
//! no-fit polygons with a form are many numbers, and every part at every turn has its own: made
//! and kept like those of pairs they took more than half of the time on waney boards, and
//! pushed the others out of the table. A blank meets few of the shells where it lies, and for
//! two convex shells the same depth comes from their own sides, so it is worked out each time.

use heartside_geometry::{Bounds, Point, Vector};

use super::buckets::Buckets;
use super::direct::missing;
use super::keep::Keep;
use super::shape::{Form, Shell};
use super::span::WayOut;

/// The shells of a board, sorted into slots along it.
#[derive(Debug)]
pub(super) struct Rim {
    buckets: Buckets,
    /// For each shell its box and its first slot.
    boxes: Vec<(Point, Point, usize)>,
    /// For each shell the heights of its sides.
    heights: Vec<Vec<f64>>,
    /// The greatest distance that any shell asks of a blank's outline or core.
    widest: f64,
}

/// Slots along a board.
const SLOTS: usize = 64;

impl Rim {
    /// Sorts the shells.
    pub(super) fn over(keeps: &[Keep]) -> Rim {
        let boxes: Vec<(Point, Point)> = (keeps.iter())
            .map(|keep| (keep.shell.bounds.min, keep.shell.bounds.max))
            .collect();
        let buckets = Buckets::of(boxes.iter().map(|(low, high)| (low.x, high.x)), SLOTS);
        let with_slots = boxes.into_iter().map(|(low, high)| {
            let first = buckets.slots.at(low.x);
            (low, high, first)
        });
        Rim {
            boxes: with_slots.collect(),
            buckets,
            heights: keeps.iter().map(|keep| heights(&keep.shell)).collect(),
            widest: keeps
                .iter()
                .map(|k| k.distance.of_core(0.0))
                .fold(0.0, f64::max),
        }
    }

    /// Calls `look` with the weight of every shell that is too near the form at a place, and the way out of it; stops where it says so.
    fn look(
        &self,
        keeps: &[Keep],
        (form, at): (&Form, Point),
        (extra, slack): (f64, f64),
        mut look: impl FnMut(f64, WayOut) -> bool,
    ) {
        if keeps.is_empty() {
            return;
        }
        let reach = self.widest + form.radius + extra;
        for shell in &form.shells {
            let own = shell.bounds.translated(at.to_vector()).grown(reach);
            let slots = self.buckets.slots.of((own.min.x, own.max.x));
            let first = *slots.start();
            for slot in slots {
                for k in self.buckets.in_slot(slot) {
                    let (low, high, their_first) = &self.boxes[*k as usize];
                    if slot != first.max(*their_first)
                        || low.x >= own.max.x
                        || high.x <= own.min.x
                        || low.y >= own.max.y
                        || high.y <= own.min.y
                    {
                        continue;
                    }
                    let keep = &keeps[*k as usize];
                    let distance = keep.distance.of_core(form.radius) + extra;
                    let off_box = keep.shell.normals.iter().zip(&self.heights[*k as usize]);
                    if off_box
                        .into_iter()
                        .any(|(n, h)| least(&own, reach, *n) - h >= distance - slack)
                    {
                        continue;
                    }
                    if let Some(out) = missing((shell, at), &keep.shell, distance, slack)
                        && !look(shell.width.min(keep.shell.width), out)
                    {
                        return;
                    }
                }
            }
        }
    }

    /// A measure of the overlap: see `NoFit::overlap`; any number of at least `bound` where it is not below that.
    pub(super) fn overlap(
        &self,
        keeps: &[Keep],
        place: (&Form, Point),
        margin: (f64, f64),
        bound: f64,
    ) -> f64 {
        let mut sum = 0.0;
        self.look(keeps, place, margin, |width, out| {
            sum += width * out.depth;
            sum < bound
        });
        sum
    }

    /// True where every distance is kept.
    pub(super) fn is_clear(
        &self,
        keeps: &[Keep],
        place: (&Form, Point),
        margin: (f64, f64),
    ) -> bool {
        let mut clear = true;
        self.look(keeps, place, margin, |_, _| {
            clear = false;
            false
        });
        clear
    }

    /// The way out of the deepest shell.
    pub(super) fn way_out(
        &self,
        keeps: &[Keep],
        place: (&Form, Point),
        margin: (f64, f64),
    ) -> Option<WayOut> {
        let mut worst: Option<WayOut> = None;
        self.look(keeps, place, margin, |_, out| {
            if worst.is_none_or(|w| out.depth > w.depth) {
                worst = Some(out);
            }
            true
        });
        worst
    }
}

/// How far a box, less the distance that it was grown by, reaches at least in a direction.
fn least(grown: &Bounds, by: f64, n: Vector) -> f64 {
    let x = if n.x > 0.0 {
        grown.min.x + by
    } else {
        grown.max.x - by
    };
    let y = if n.y > 0.0 {
        grown.min.y + by
    } else {
        grown.max.y - by
    };
    n.x * x + n.y * y
}

fn heights(shell: &Shell) -> Vec<f64> {
    let sides = shell.points.iter().zip(&shell.normals);
    sides.map(|(p, n)| p.to_vector().dot(*n)).collect()
}
