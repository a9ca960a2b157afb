//! Parting shapes that overlap, on one board or over several: guided local search.
//!
//! Every pair that overlaps has a weight; a piece is moved to where its weighted overlaps
//! are least; after each pass the weights of the pairs that still overlap grow, those of
//! the others sink back. What is measured and how places are proposed is described in the
//! module above.

use std::sync::Arc;

use heartside_geometry::{Arrange, Bounds, Point, Vector};
use heartside_timber::job::Job;

use super::ground::{Choices, Yard};
use super::lie::Lie;
use super::shape::{Edge, Form};
use super::slabs::Slabs;
use crate::chance::Chance;

/// Places proposed anywhere on the board for one move.
const ANYWHERE: usize = 16;

/// Places proposed near where the piece lies.
const NEARBY: usize = 6;

/// Places proposed where a corner touches a neighbour.
const TOUCHING: usize = 10;

/// Places proposed where a side lies flush with one of a neighbour or of the board, for parts that may turn within a range.
const FLUSH: usize = 8;

/// So many of the proposed places are improved step by step, and then so many of them finely on strips.
const POLISHED: usize = 3;
const FINISHED: usize = 1;

/// The first step of that and the last ones, as shares of the piece's lesser extent.
const FIRST_STEP: f64 = 0.2;
const ROUGHLY: f64 = 0.03;
const FINELY: f64 = 0.004;

/// In so many of a hundred cases a place is also improved by turning, and so many turns are tried.
///
/// A turned form is new to the table of differences: each costs as much as some hundred moves.
const TURNED: u32 = 20;
const TURNS: usize = 3;

/// In so many of a hundred cases a place is proposed for any turn, else for one straight with the grain.
const ANY_FORM: u32 = 30;

/// Least and greatest factor by which the weight of an overlapping pair grows in a pass.
///
/// Smaller and local minima hold longer; larger and the search forgets what it had gained.
const GROWTH: (f64, f64) = (1.2, 2.0);

/// Factor by which the weight of a pair without overlap sinks in a pass, down to 1.
const DECAY: f64 = 0.95;

/// Overlapping pieces on one or more boards, being parted.
#[derive(Debug, Clone)]
pub(super) struct Tangle {
    /// Places in the job's list of boards; two copies of a board stand here twice.
    boards: Vec<usize>,
    /// The pieces.
    pub(super) lies: Vec<Lie>,
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
    tangled: Vec<u32>,
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

/// A proposed place.
#[derive(Debug, Clone)]
struct Proposal {
    on: usize,
    form: Arc<Form>,
    at: Point,
    cost: f64,
}

impl Proposal {
    fn place(&self) -> (usize, &Form, Point) {
        (self.on, &self.form, self.at)
    }
}

/// How a move ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moved {
    /// Pieces still overlap, and the pass goes on.
    On,
    /// A pass has ended and pieces still overlap.
    PassEnded,
    /// Nothing overlaps.
    Clear,
}

impl Tangle {
    /// Pieces as they lie, with all weights 1; those that reach beyond `right` are moved back to it.
    pub(super) fn new(
        yard: &mut Yard,
        job: &Job,
        board: usize,
        lies: Vec<Lie>,
        right: f64,
    ) -> Tangle {
        let on = vec![0; lies.len()];
        Tangle::over(yard, job, vec![board], (lies, on), right)
    }

    /// Pieces as they lie on several boards; `on` says on which of them.
    pub(super) fn over(
        yard: &mut Yard,
        job: &Job,
        boards: Vec<usize>,
        (lies, on): (Vec<Lie>, Vec<usize>),
        right: f64,
    ) -> Tangle {
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
        let mut tangle = Tangle {
            boards,
            lies,
            on,
            choices,
            slabs: Vec::new(),
            boxes,
            overlaps: vec![0.0; n * n],
            tangled: vec![0; n],
            weights: vec![1.0; n * n],
            own: vec![0.0; n],
            own_weights: vec![1.0; n],
            right,
            pass: Vec::new(),
            loss: 0.0,
            moves: 0,
        };
        tangle.set_right(yard, job, right);
        tangle
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
    pub(super) fn lay(&mut self, yard: &mut Yard, job: &Job, lies: &[Lie]) {
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
        self.tangled = vec![0; n - 1];
        self.pass.clear();
        self.box_all();
        self.measure_all(yard, job);
    }

    /// All weights are 1 again.
    pub(super) fn forget(&mut self) {
        self.weights.fill(1.0);
        self.own_weights.fill(1.0);
    }

    /// Sum of all overlaps; 0 where the layout is sound.
    pub(super) fn loss(&self) -> f64 {
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
    pub(super) fn reach(&self) -> f64 {
        self.boxes
            .iter()
            .map(|b| b.max.x)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// One move: the next overlapping piece of the pass looks for a better place.
    pub(super) fn step(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance) -> Moved {
        if self.loss <= 0.0 {
            return Moved::Clear;
        }
        if self.pass.is_empty() {
            self.start_pass(chance);
        }
        while let Some(k) = self.pass.pop() {
            let k = k as usize;
            if self.tangled[k] > 0 {
                self.moves += 1;
                self.move_piece(yard, job, chance, k);
                break;
            }
        }
        if self.tangled.iter().all(|t| *t == 0) {
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
            .filter(|k| !self.lies[*k].pinned && self.tangled[*k] > 0)
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
        let mut tangled = u32::from(own > 0.0);
        self.own[k] = own;
        for j in 0..n {
            let overlap =
                if j == k || self.on[j] != self.on[k] || (lie.pinned && self.lies[j].pinned) {
                    0.0
                } else {
                    let other = &self.lies[j];
                    let slack = yard.margin.slack;
                    yard.differences.overlap(
                        &lie.form,
                        &other.form,
                        Point::ORIGIN + (lie.at - other.at),
                        slack,
                    )
                };
            let before = std::mem::replace(&mut self.overlaps[k * n + j], overlap);
            self.overlaps[j * n + k] = overlap;
            tangled += u32::from(overlap > 0.0);
            self.tangled[j] += u32::from(overlap > 0.0);
            self.tangled[j] -= u32::from(before > 0.0);
        }
        self.tangled[k] = tangled;
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
        let kerf = yard.differences.kerf() - slack;
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
                let raw = yard.differences.overlap(
                    form,
                    &other.form,
                    Point::ORIGIN + (at - other.at),
                    slack,
                );
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

    fn move_piece(&mut self, yard: &mut Yard, job: &Job, chance: &mut Chance, k: usize) {
        let lie = self.lies[k].clone();
        let on = self.on[k];
        let here = self.cost(yard, job, k, (on, &lie.form, lie.at), f64::INFINITY);
        let mut best = Proposal {
            on,
            form: lie.form.clone(),
            at: lie.at,
            cost: here,
        };
        let mut proposals = self.proposals(yard, job, chance, k);
        proposals.push(best.clone());
        // All are improved roughly, then the most promising ones finely.
        let mut steps = Vec::with_capacity(proposals.len());
        for (number, proposal) in proposals.iter_mut().enumerate() {
            let first = FIRST_STEP * size_of(&proposal.form);
            let mut step = (first, first);
            self.descend(yard, job, chance, k, proposal, &mut step, ROUGHLY);
            steps.push((proposal.cost, number, step));
        }
        steps.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // On boards that are filled to the last corner more of them are worth it.
        let finished = if self.right.is_finite() {
            FINISHED
        } else {
            POLISHED + 1
        };
        for (_, number, mut step) in steps.into_iter().take(finished) {
            let mut polished = proposals[number].clone();
            self.descend(yard, job, chance, k, &mut polished, &mut step, FINELY);
            if polished.cost > 0.0 {
                self.push_out(yard, job, k, &mut polished);
            }
            polished.at = snapped(job, polished.at);
            polished.cost = self.cost(yard, job, k, polished.place(), f64::INFINITY);
            if polished.cost < best.cost {
                best = polished;
            }
            if best.cost <= 0.0 {
                break;
            }
        }
        if best.cost > 0.0 && !self.choices[best.on][k].ranges.is_empty() && chance.percent(TURNED)
        {
            self.turn_a_little(yard, job, k, &mut best);
            self.push_out(yard, job, k, &mut best);
            best.at = snapped(job, best.at);
            best.cost = self.cost(yard, job, k, best.place(), f64::INFINITY);
        }
        if best.cost < here {
            self.lies[k].form = best.form;
            self.lies[k].at = best.at;
            let before = self.boxes[k];
            self.boxes[k] = self.lies[k].bounds().grown(self.lies[k].form.radius);
            self.slabs[on].set(k, &before, false);
            self.on[k] = best.on;
            self.slabs[best.on].set(k, &self.boxes[k], true);
            self.measure(yard, job, k);
        }
    }

    /// The best few of many places.
    fn proposals(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
    ) -> Vec<Proposal> {
        let lie = &self.lies[k];
        let boards = self.boards.len();
        let mut best: Vec<Proposal> = Vec::with_capacity(POLISHED + 1);
        for sample in 0..ANYWHERE + NEARBY + TOUCHING {
            let neighbour = sample >= ANYWHERE + NEARBY;
            let other = if neighbour {
                chance.below(self.lies.len())
            } else {
                k
            };
            let on = if neighbour {
                self.on[other]
            } else if sample < ANYWHERE && boards > 1 {
                chance.below(boards)
            } else {
                self.on[k]
            };
            let choices = &self.choices[on][k];
            if choices.all.is_empty() || (neighbour && other == k) {
                continue;
            }
            let forms = if choices.plain.is_empty() || chance.percent(ANY_FORM) {
                &choices.all
            } else {
                &choices.plain
            };
            let form = &forms[chance.below(forms.len())];
            let (form, at) = if sample < ANYWHERE {
                let room = self.room(yard, on, form);
                let at = Point::new(
                    room.min.x + chance.unit() * (room.max.x - room.min.x),
                    room.min.y + chance.unit() * (room.max.y - room.min.y),
                );
                (form, at)
            } else if sample < ANYWHERE + NEARBY {
                let form = if chance.percent(50) { form } else { &lie.form };
                let reach = 0.25 * (lie.form.bounds.width() + lie.form.bounds.height());
                let centre = lie.bounds().centre() - form.bounds.centre();
                let at = Point::ORIGIN
                    + centre
                    + Vector::new(
                        reach * (chance.unit() + chance.unit() - 1.0),
                        reach * (chance.unit() + chance.unit() - 1.0),
                    );
                (form, within(&self.room(yard, on, form), at))
            } else {
                let other = &self.lies[other];
                let keep = yard.differences.kerf() + form.radius + other.form.radius;
                let difference = yard.differences.between(form, &other.form);
                let corner = chance.below(difference.corner_count());
                let at = difference.touching(corner, keep) + other.at.to_vector();
                let room = self.room(yard, on, form);
                if !room.contains(at) {
                    continue;
                }
                (form, at)
            };
            let form = form.clone();
            self.propose(yard, job, k, (on, form, at), &mut best);
        }
        for _ in 0..FLUSH {
            if let Some(place) = self.flush(yard, job, chance, k) {
                self.propose(yard, job, k, place, &mut best);
            }
        }
        best
    }

    /// Takes a place among the best few if it is one of them.
    fn propose(
        &self,
        yard: &mut Yard,
        job: &Job,
        k: usize,
        (on, form, at): (usize, Arc<Form>, Point),
        best: &mut Vec<Proposal>,
    ) {
        let bound = if best.len() < POLISHED {
            f64::INFINITY
        } else {
            best[POLISHED - 1].cost
        };
        let cost = self.cost(yard, job, k, (on, &form, at), bound);
        if cost < bound {
            let place = best.partition_point(|p| p.cost <= cost);
            best.insert(place, Proposal { on, form, at, cost });
            best.truncate(POLISHED);
        }
    }

    /// A place where a side of the piece lies along one of a neighbour or of the board, end to end with it.
    ///
    /// Turns within a range are found by chance only roughly; parts that lie close lie flush.
    fn flush(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
    ) -> Option<(usize, Arc<Form>, Point)> {
        let other = chance.below(self.lies.len());
        // The piece's own number stands for the board.
        let on = self.on[other];
        let choices = self.choices[on][k].clone();
        if choices.ranges.is_empty() || choices.all.is_empty() {
            return None;
        }
        let like = &choices.all[chance.below(choices.all.len())];
        let ground = &yard.boards[self.boards[on]];
        let (along, keep) = if other == k || chance.percent(15) {
            if ground.sides.is_empty() {
                return None;
            }
            let (side, trim) = &ground.sides[chance.below(ground.sides.len())];
            // Run the other way: the outside is to its left, like a neighbour.
            let outside = Edge {
                from: side.to,
                to: side.from,
                angle: side.angle + 180.0,
            };
            (outside, trim + like.radius + yard.margin.extra)
        } else {
            let their = &self.lies[other];
            let edges = &their.form.side.edges;
            let keep = yard.differences.kerf() + like.radius + their.form.radius;
            let edge = &edges[chance.below(edges.len())];
            (edge.posed(&their.form, their.at), keep)
        };
        let edges = &like.side.edges;
        let first = chance.below(edges.len());
        let (own, turn) = (0..edges.len()).find_map(|e| {
            let own = edges[(first + e) % edges.len()];
            let turn = along.angle + 180.0 - own.angle;
            // Fine enough for sides of a metre to be flush within a fifth of a micrometre.
            let turn = (turn * 1e5).round() / 1e5;
            Some((own, choices.allowed(turn)?))
        })?;
        let wanted = (like.part, turn, like.turned_over);
        let form = yard.turned(job, self.boards[on], wanted, false)?;
        let own = own.posed(&form, Point::ORIGIN);
        let outward = (along.to - along.from).turned_right().unit()?;
        let (theirs, ours) = if chance.percent(50) {
            (along.to, own.from)
        } else {
            (along.from, own.to)
        };
        let at = Point::ORIGIN + (theirs - ours) + outward * keep;
        Some((on, form.clone(), within(&self.room(yard, on, &form), at)))
    }

    /// Improves a place by steps along the axes that grow with success and shrink with failure, until they are less than `least` of the piece.
    #[allow(clippy::too_many_arguments)]
    fn descend(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
        best: &mut Proposal,
        (dx, dy): &mut (f64, f64),
        least: f64,
    ) {
        let room = self.room(yard, best.on, &best.form);
        let least = least * size_of(&best.form);
        while dx.max(*dy) > least && best.cost > 0.0 {
            let moves: [Vector; 2] = match chance.below(4) {
                0 => [Vector::new(*dx, 0.0), Vector::new(-*dx, 0.0)],
                1 => [Vector::new(0.0, *dy), Vector::new(0.0, -*dy)],
                2 => [Vector::new(*dx, *dy), Vector::new(-*dx, -*dy)],
                _ => [Vector::new(*dx, -*dy), Vector::new(-*dx, *dy)],
            };
            let mut better = false;
            for by in moves {
                let at = within(&room, best.at + by);
                let cost = self.cost(yard, job, k, (best.on, &best.form, at), best.cost);
                if cost < best.cost {
                    best.at = at;
                    best.cost = cost;
                    better = true;
                }
            }
            let factor = if better { 1.1 } else { 0.5 };
            if moves[0].x != 0.0 {
                *dx *= factor;
            }
            if moves[0].y != 0.0 {
                *dy *= factor;
            }
        }
    }

    /// Turns the piece about its middle, within what the grain allows, by steps that are halved where neither way is better.
    fn turn_a_little(&self, yard: &mut Yard, job: &Job, k: usize, best: &mut Proposal) {
        let choices = self.choices[best.on][k].clone();
        let widest = choices
            .ranges
            .iter()
            .map(|(l, h)| h - l)
            .fold(0.0, f64::max);
        let grid = (widest / 16.0).min(1.0);
        let mut step = 4.0 * grid;
        for _ in 0..TURNS {
            let mut better = false;
            for by in [step, -step] {
                // Few turns come up again and again; thousandths of a degree: short numbers in a plan.
                let turn =
                    (((best.form.turn + by) / grid).round() * grid * 1000.0).round() / 1000.0;
                let Some(turn) = choices.allowed(turn) else {
                    continue;
                };
                let wanted = (best.form.part, turn, best.form.turned_over);
                let Some(form) = yard.turned(job, self.boards[best.on], wanted, true) else {
                    continue;
                };
                let middle = best.form.bounds.centre() - form.bounds.centre();
                let on = best.on;
                let at = within(&self.room(yard, on, &form), best.at + middle);
                let cost = self.cost(yard, job, k, (on, &form, at), best.cost);
                if cost < best.cost {
                    *best = Proposal { on, form, at, cost };
                    better = true;
                    break;
                }
            }
            if best.cost <= 0.0 {
                return;
            }
            if !better {
                step *= 0.5;
            }
        }
    }

    /// Moves the piece straight out of the neighbour that it overlaps by most, again and again; the best place on the way is kept.
    fn push_out(&self, yard: &mut Yard, job: &Job, k: usize, best: &mut Proposal) {
        let room = self.room(yard, best.on, &best.form);
        let mut at = best.at;
        for _ in 0..6 {
            let Some(by) = self.way_out(yard, k, (best.on, &best.form, at)) else {
                return;
            };
            at = within(&room, at + by);
            let cost = self.cost(yard, job, k, (best.on, &best.form, at), f64::INFINITY);
            if cost < best.cost {
                best.at = at;
                best.cost = cost;
            }
            if cost <= 0.0 {
                return;
            }
        }
    }

    /// The shortest way out of the deepest overlap, weights counted.
    fn way_out(
        &self,
        yard: &mut Yard,
        k: usize,
        (on, form, at): (usize, &Form, Point),
    ) -> Option<Vector> {
        let n = self.lies.len();
        let slack = yard.margin.slack;
        let mut worst = (0.0, Vector::ZERO);
        if let Some(out) = yard.way_off_rim(self.boards[on], form, at) {
            worst = (self.own_weights[k] * out.depth, out.direction * out.depth);
        }
        let own = form
            .bounds_at(at)
            .grown(form.radius + yard.differences.kerf());
        for j in 0..n {
            if j == k || self.on[j] != on || !own.intersects(&self.boxes[j]) {
                continue;
            }
            let other = &self.lies[j];
            if let Some(out) = yard
                .differences
                .between(form, &other.form)
                .way_out(Point::ORIGIN + (at - other.at), slack)
            {
                let weighted = self.weights[k * n + j] * out.depth;
                if weighted > worst.0 {
                    worst = (weighted, out.direction * out.depth);
                }
            }
        }
        (worst.0 > 0.0).then_some(worst.1)
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
