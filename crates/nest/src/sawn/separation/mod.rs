//! Parting shapes that overlap, on one board or over several: guided local search.
//!
//! Every pair that overlaps has a weight; a piece is moved to where its weighted overlaps
//! are least; after each pass the weights of the pairs that still overlap grow, those of
//! the others sink back. Places are proposed in [`places`] and improved in [`polish`]; why so
//! is described in the module above.

mod places;
mod polish;

use std::sync::Arc;

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;

use super::choices::Choices;
use super::lie::Lie;
use super::shape::Form;
use super::slabs::Slabs;
use super::yard::Yard;
use crate::chance::Chance;

/// Least and greatest factor by which the weight of an overlapping pair grows in a pass.
///
/// Smaller and local minima hold longer; larger and the search forgets what it had gained.
const GROWTH: (f64, f64) = (1.2, 2.0);

/// Factor by which the weight of a pair without overlap sinks in a pass, down to 1.
const DECAY: f64 = 0.95;

/// Overlapping pieces on one or more boards, being parted.
#[derive(Debug, Clone)]
pub struct Separation {
    /// Places in the job's list of boards; two copies of a board stand here twice.
    boards: Vec<usize>,
    /// The pieces.
    pub lies: Vec<Lie>,
    /// On which of the boards each lies.
    pub(super) on: Vec<usize>,
    /// For each board, then each piece.
    choices: Vec<Vec<Arc<Choices>>>,
    /// Boxes of the pieces, grown by the blank's radius.
    boxes: Vec<Bounds>,
    /// For each board which of them lie in each slab across it.
    slabs: Vec<Slabs>,
    /// Row by row: overlap of each pair, symmetric.
    overlaps: Vec<f64>,
    /// With how many others (and with the board) each piece overlaps.
    overlapping: Vec<u32>,
    weights: Vec<f64>,
    /// Overlap of each piece with the board's own shells and its grain.
    own: Vec<f64>,
    own_weights: Vec<f64>,
    /// No piece may reach beyond this x.
    right: f64,
    /// The pieces still to be moved in this pass.
    pass: Vec<u32>,
    /// Sum of all overlaps when last summed up.
    loss: f64,
    /// Moves made.
    pub(super) moves: u64,
}

/// How a move ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moved {
    /// Pieces still overlap, and the pass goes on.
    On,
    /// A pass has ended and pieces still overlap.
    PassEnded,
    /// Nothing overlaps.
    Clear,
}

impl Separation {
    /// Pieces as they lie, with all weights 1; those that reach beyond `right` are moved back to it.
    pub fn new(yard: &mut Yard, job: &Job, board: usize, lies: Vec<Lie>, right: f64) -> Separation {
        let on = vec![0; lies.len()];
        Separation::over(yard, job, vec![board], (lies, on), right)
    }

    /// Pieces as they lie on several boards; `on` says on which of them.
    pub(super) fn over(
        yard: &mut Yard,
        job: &Job,
        boards: Vec<usize>,
        (lies, on): (Vec<Lie>, Vec<usize>),
        right: f64,
    ) -> Separation {
        let n = lies.len();
        let mut choices = Vec::with_capacity(boards.len());
        for board in &boards {
            let of_piece = |lie: &Lie| yard.choices(job, *board, lie.form.part);
            choices.push(lies.iter().map(of_piece).collect());
        }
        let boxes: Vec<Bounds> = lies
            .iter()
            .map(|l| l.bounds().grown(l.form.radius))
            .collect();
        let mut separation = Separation {
            boards,
            lies,
            on,
            choices,
            slabs: Vec::new(),
            boxes,
            overlaps: vec![0.0; n * n],
            overlapping: vec![0; n],
            weights: vec![1.0; n * n],
            own: vec![0.0; n],
            own_weights: vec![1.0; n],
            right,
            pass: Vec::new(),
            loss: 0.0,
            moves: 0,
        };
        separation.set_right(yard, job, right);
        separation
    }

    /// Sets the greatest x; pieces beyond it are moved back, and everything is measured again.
    pub(super) fn set_right(&mut self, yard: &mut Yard, job: &Job, right: f64) {
        self.right = right;
        for k in 0..self.lies.len() {
            if !self.lies[k].pinned {
                let room = self.room(yard, self.on[k], &self.lies[k].form);
                let at = within(&room, self.lies[k].at);
                self.lies[k].at = snapped(job, at);
            }
        }
        self.box_all();
        self.measure_all(yard, job);
    }

    fn box_all(&mut self) {
        for (lie, its_box) in self.lies.iter().zip(&mut self.boxes) {
            *its_box = lie.bounds().grown(lie.form.radius);
        }
        self.slabs = (0..self.boards.len())
            .map(|board| Slabs::over(&self.boxes, |k| self.on[k] == board))
            .collect();
    }

    /// Takes up other places for the same pieces; the weights stay.
    pub fn lay(&mut self, yard: &mut Yard, job: &Job, lies: &[Lie]) {
        let on = std::mem::take(&mut self.on);
        self.lay_on(yard, job, lies, on);
    }

    /// The same, on other boards.
    pub(super) fn lay_on(&mut self, yard: &mut Yard, job: &Job, lies: &[Lie], on: Vec<usize>) {
        self.lies.clone_from_slice(lies);
        self.on = on;
        let right = self.right;
        self.set_right(yard, job, right);
    }

    /// Takes a piece away; the weights of the others stay.
    pub(super) fn take_out(&mut self, yard: &mut Yard, job: &Job, k: usize) {
        let n = self.lies.len();
        let keeps = |index: usize| index / n != k && index % n != k;
        let weights = self.weights.iter().enumerate();
        self.weights = weights
            .filter(|(i, _)| keeps(*i))
            .map(|(_, w)| *w)
            .collect();
        self.own_weights.remove(k);
        self.own.remove(k);
        self.lies.remove(k);
        self.on.remove(k);
        self.boxes.remove(k);
        self.choices.iter_mut().for_each(|of_board| {
            of_board.remove(k);
        });
        self.overlaps = vec![0.0; (n - 1) * (n - 1)];
        self.overlapping = vec![0; n - 1];
        self.pass.clear();
        self.box_all();
        self.measure_all(yard, job);
    }

    /// All weights are 1 again.
    pub fn forget(&mut self) {
        self.weights.fill(1.0);
        self.own_weights.fill(1.0);
    }

    /// Sum of all overlaps; 0 where the layout is sound.
    pub fn loss(&self) -> f64 {
        self.loss
    }

    /// The weighted overlap of a piece with all others and with its board.
    pub(super) fn burden(&self, k: usize) -> f64 {
        let n = self.lies.len();
        let row = k * n..(k + 1) * n;
        let others = self.overlaps[row.clone()].iter().zip(&self.weights[row]);
        self.own[k] * self.own_weights[k] + others.map(|(o, w)| o * w).sum::<f64>()
    }

    /// The greatest x that any piece reaches.
    pub fn reach(&self) -> f64 {
        self.boxes
            .iter()
            .map(|b| b.max.x)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// One move: the next overlapping piece of the pass looks for a better place.
    pub fn step(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) -> Moved {
        if self.loss <= 0.0 {
            return Moved::Clear;
        }
        if self.pass.is_empty() {
            self.start_pass(chance);
        }
        while let Some(k) = self.pass.pop() {
            let k = k as usize;
            if self.overlapping[k] > 0 {
                self.moves += 1;
                self.move_piece(yard, job, chance, k);
                break;
            }
        }
        if self.overlapping.iter().all(|t| *t == 0) {
            self.loss = 0.0;
            return Moved::Clear;
        }
        if self.pass.is_empty() {
            self.end_pass();
            return Moved::PassEnded;
        }
        Moved::On
    }

    fn start_pass(&mut self, chance: &mut Chance) {
        self.pass = (0..self.lies.len())
            .filter(|k| !self.lies[*k].pinned && self.overlapping[*k] > 0)
            .map(|k| k as u32)
            .collect();
        for k in (1..self.pass.len()).rev() {
            self.pass.swap(k, chance.below(k + 1));
        }
    }

    fn end_pass(&mut self) {
        let n = self.lies.len();
        self.loss = self.loss_left();
        let most = self
            .overlaps
            .iter()
            .chain(&self.own)
            .copied()
            .fold(0.0, f64::max);
        if most <= 0.0 {
            return;
        }
        let grown = |weight: f64, overlap: f64| {
            if overlap > 0.0 {
                weight * (GROWTH.0 + (GROWTH.1 - GROWTH.0) * overlap / most)
            } else {
                (weight * DECAY).max(1.0)
            }
        };
        for k in 0..n * n {
            self.weights[k] = grown(self.weights[k], self.overlaps[k]);
        }
        for k in 0..n {
            self.own_weights[k] = grown(self.own_weights[k], self.own[k]);
        }
    }

    fn loss_left(&self) -> f64 {
        0.5 * self.overlaps.iter().sum::<f64>() + self.own.iter().sum::<f64>()
    }

    fn measure_all(&mut self, yard: &mut Yard, job: &Job) {
        for k in 0..self.lies.len() {
            self.measure(yard, job, k);
        }
        self.loss = self.loss_left();
    }

    /// Measures the overlaps of one piece where it lies. Pinned pieces do not mind each other or the board.
    fn measure(&mut self, yard: &mut Yard, job: &Job, k: usize) {
        let n = self.lies.len();
        let lie = self.lies[k].clone();
        let own = if lie.pinned {
            0.0
        } else {
            let board = self.boards[self.on[k]];
            own_overlap(yard, job, board, &lie.form, lie.at, f64::INFINITY)
        };
        let mut overlapping = u32::from(own > 0.0);
        self.own[k] = own;
        for j in 0..n {
            let overlap =
                if j == k || self.on[j] != self.on[k] || (lie.pinned && self.lies[j].pinned) {
                    0.0
                } else {
                    let other = &self.lies[j];
                    let slack = yard.margin.slack;
                    yard.no_fits.overlap(
                        &lie.form,
                        &other.form,
                        Point::ORIGIN + (lie.at - other.at),
                        slack,
                    )
                };
            let before = std::mem::replace(&mut self.overlaps[k * n + j], overlap);
            self.overlaps[j * n + k] = overlap;
            overlapping += u32::from(overlap > 0.0);
            self.overlapping[j] += u32::from(overlap > 0.0);
            self.overlapping[j] -= u32::from(before > 0.0);
        }
        self.overlapping[k] = overlapping;
    }

    fn room(&self, yard: &Yard, on: usize, form: &Form) -> Bounds {
        let mut room = yard.room(self.boards[on], form);
        room.max.x = room.max.x.min(self.right - form.radius - form.bounds.max.x);
        room.max.x = room.max.x.max(room.min.x);
        room.max.y = room.max.y.max(room.min.y);
        room
    }

    /// Weighted overlap of piece k at a place; any number of at least `bound` where it is not below that.
    fn cost(
        &self,
        yard: &mut Yard,
        job: &Job,
        k: usize,
        (on, form, at): (usize, &Form, Point),
        bound: f64,
    ) -> f64 {
        let mut cost = 0.0;
        let n = self.lies.len();
        let slack = yard.margin.slack;
        let kerf = yard.no_fits.kerf() - slack;
        let own = form.bounds_at(at).grown(form.radius + kerf);
        let row = &self.weights[k * n..(k + 1) * n];
        let slabs = &self.slabs[on];
        for word in 0..slabs.words {
            let mut bits = slabs.near(word, own.min.x, own.max.x);
            while bits != 0 {
                let j = word * 64 + bits.trailing_zeros() as usize;
                bits &= bits - 1;
                let theirs = &self.boxes[j];
                if theirs.min.y >= own.max.y
                    || theirs.max.y <= own.min.y
                    || theirs.min.x >= own.max.x
                    || theirs.max.x <= own.min.x
                    || j == k
                {
                    continue;
                }
                if cost >= bound {
                    return cost;
                }
                let other = &self.lies[j];
                let raw =
                    yard.no_fits
                        .overlap(form, &other.form, Point::ORIGIN + (at - other.at), slack);
                if raw > 0.0 {
                    cost += row[j] * raw;
                }
            }
        }
        if cost >= bound {
            return cost;
        }
        // The board last: what it bars takes longest to ask.
        let (weight, board) = (self.own_weights[k], self.boards[on]);
        let left = (bound - cost) / weight;
        cost + weight * own_overlap(yard, job, board, form, at, left)
    }
}

/// What a form at a place overlaps with its board and misses of its grain, as far as that is below `bound`.
fn own_overlap(
    yard: &mut Yard,
    job: &Job,
    board: usize,
    form: &Form,
    at: Point,
    bound: f64,
) -> f64 {
    let raw = yard.rim_overlap(board, form, at, bound);
    let missed = yard.grain_missed(job, board, form, at);
    // A degree too many weighs like a hundredth of the piece's length, over its width.
    let shape = &yard.shapes[form.part];
    raw + 0.01 * missed * shape.length * shape.area.sqrt()
}

/// The lesser extent of a form.
fn size_of(form: &Form) -> f64 {
    form.bounds.width().min(form.bounds.height())
}

fn within(room: &Bounds, at: Point) -> Point {
    // Not `min` and `max`, which are calls in WebAssembly.
    let clamped = |v: f64, low: f64, high: f64| {
        let v = if v > high { high } else { v };
        if v < low { low } else { v }
    };
    Point::new(
        clamped(at.x, room.min.x, room.max.x),
        clamped(at.y, room.min.y, room.max.y),
    )
}

fn snapped(job: &Job, at: Point) -> Point {
    Point::new(job.snap(at.x), job.snap(at.y))
}
