//! Where a piece that overlaps others might go.

use std::sync::Arc;

use heartside_geometry::math::{sin_cos_deg, within_turn};
use heartside_geometry::{Point, Vector};
use heartside_timber::job::Job;

use super::{Separation, size_of, within};
use crate::chance::Chance;
use crate::sawn::shape::{Edge, Form};
use crate::sawn::yard::Yard;

/// Places proposed anywhere on the board for one move.
const ANYWHERE: usize = 16;

/// Places proposed near where the piece lies.
const NEARBY: usize = 6;

/// Places proposed where a corner touches a neighbour.
const TOUCHING: usize = 10;

/// Places proposed, on strips, where the piece would lie to another as a copy of it lies to a copy of that.
///
/// More of them are worth their time on strips of many copies, and hardly on others.
const COPIED: usize = 10;

/// Places proposed where a side lies flush with one of a neighbour or of the board, for parts that may turn within a range.
const FLUSH: usize = 8;

/// In so many of a hundred cases a place is proposed for any turn, else for one straight with the grain.
const ANY_FORM: u32 = 30;

/// Gaps that make no difference between neighbours, as a share of a piece's lesser extent.
const NEIGHBOUR: f64 = 0.01;

/// Turns that differ by less are one, in degrees.
const SAME_TURN: f64 = 1e-6;

/// A proposed place.
#[derive(Debug, Clone)]
pub(super) struct Proposal {
    pub(super) on: usize,
    pub(super) form: Arc<Form>,
    pub(super) at: Point,
    pub(super) cost: f64,
}

impl Proposal {
    pub(super) fn place(&self) -> (usize, &Form, Point) {
        (self.on, &self.form, self.at)
    }
}

impl Separation {
    /// The best `few` of many places.
    pub(super) fn proposals(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
        few: usize,
    ) -> Vec<Proposal> {
        let lie = &self.lies[k];
        let boards = self.boards.len();
        let mut best: Vec<Proposal> = Vec::with_capacity(few + 2);
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
                let keep = yard.no_fits.kerf() + form.radius + other.form.radius;
                let no_fit = yard.no_fits.between(form, &other.form);
                let corner = chance.below(no_fit.corner_count());
                let at = no_fit.touching(corner, keep) + other.at.to_vector();
                let room = self.room(yard, on, form);
                if !room.contains(at) {
                    continue;
                }
                (form, at)
            };
            let form = form.clone();
            self.propose(yard, job, k, (on, form, at), few, &mut best);
        }
        if self.right.is_finite() {
            for _ in 0..COPIED {
                if let Some(place) = self.copied(yard, job, chance, k) {
                    self.propose(yard, job, k, place, few, &mut best);
                }
            }
        }
        for _ in 0..FLUSH {
            if let Some(place) = self.flush(yard, job, chance, k) {
                self.propose(yard, job, k, place, few, &mut best);
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
        few: usize,
        best: &mut Vec<Proposal>,
    ) {
        let bound = if best.len() < few {
            f64::INFINITY
        } else {
            best[few - 1].cost
        };
        let cost = self.cost(yard, job, k, (on, &form, at), bound);
        if cost < bound {
            let place = best.partition_point(|p| p.cost <= cost);
            best.insert(place, Proposal { on, form, at, cost });
            best.truncate(few);
        }
    }

    /// A place to another piece like that of a copy of the one to a copy of the other.
    ///
    /// Where many copies of few parts are cut, what was found once need not be found again.
    fn copied(
        &self,
        yard: &mut Yard,
        job: &Job,
        chance: &mut Chance,
        k: usize,
    ) -> Option<(usize, Arc<Form>, Point)> {
        let n = self.lies.len();
        let find = |first: usize, wanted: &dyn Fn(usize) -> bool| {
            (first..n).chain(0..first).find(|i| wanted(*i))
        };
        let part = |i: usize| self.lies[i].form.part;
        let a = find(chance.below(n), &|i| i != k && part(i) == part(k))?;
        // Its neighbours: those whose boxes meet, or nearly.
        let nearly = NEIGHBOUR * size_of(&self.lies[a].form);
        let near = self.boxes[a].grown(yard.no_fits.kerf() + nearly);
        let b = find(chance.below(n), &|i| {
            i != a
                && self.on[i] == self.on[a]
                && self.overlaps[a * n + i] <= 0.0
                && near.intersects(&self.boxes[i])
        })?;
        let over = |i: usize| self.lies[i].form.turned_over;
        let j = find(chance.below(n), &|i| {
            i != k && i != b && part(i) == part(b) && over(i) == over(b)
        })?;

        let on = self.on[j];
        let (a, b, j) = (&self.lies[a], &self.lies[b], &self.lies[j]);
        let by = j.form.turn - b.form.turn;
        let form = self.turned_form(yard, job, (on, k), (a.form.turn + by, a.form.turned_over))?;
        let (sin, cos) = sin_cos_deg(by);
        let apart = a.at - b.at;
        let apart = Vector::new(apart.x * cos - apart.y * sin, apart.x * sin + apart.y * cos);
        let at = j.at + apart;
        (self.room(yard, on, &form).contains(at)).then_some((on, form, at))
    }

    /// Piece k at a turn, if it may lie so on one of the boards.
    fn turned_form(
        &self,
        yard: &mut Yard,
        job: &Job,
        (on, k): (usize, usize),
        (turn, over): (f64, bool),
    ) -> Option<Arc<Form>> {
        let choices = &self.choices[on][k];
        let may_be_so = choices.all.iter().any(|form| form.turned_over == over);
        if let (true, Some(turn)) = (may_be_so, choices.allowed(turn)) {
            let wanted = (self.lies[k].form.part, turn, over);
            return yard.turned(job, self.boards[on], wanted, false);
        }
        let is_same = |form: &&Arc<Form>| {
            let off = within_turn(form.turn - turn);
            form.turned_over == over && !(SAME_TURN..=360.0 - SAME_TURN).contains(&off)
        };
        choices.all.iter().find(is_same).cloned()
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
        let board = &yard.boards[self.boards[on]];
        let (along, keep) = if other == k || chance.percent(15) {
            if board.sides.is_empty() {
                return None;
            }
            let (side, trim) = &board.sides[chance.below(board.sides.len())];
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
            let keep = yard.no_fits.kerf() + like.radius + their.form.radius;
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
}
