//! A first layout: pieces one by one, the largest first, each at the leftmost place on the
//! board where timber is cheapest.

use std::sync::Arc;

use heartside_geometry::{Arrange, Point, SortedMap};
use heartside_timber::job::Job;

use super::bottom_left::leftmost;
use super::lie::{Lie, Piece};
use super::shape::Form;
use super::yard::Yard;
use crate::objective::{Choices, Worth};
use crate::task::Stock;

/// Pieces on boards, and those that lie nowhere.
#[derive(Debug, Clone, Default)]
pub struct Floor {
    /// For each of the engine's boards what lies on it.
    pub boards: Vec<Vec<Lie>>,
    /// Pieces that lie nowhere.
    pub left: Vec<usize>,
}

impl Floor {
    /// How good it is.
    pub(super) fn worth(&self, job: &Job, yard: &Yard, stock: &[Stock], pieces: &[Piece]) -> Worth {
        let used = stock
            .iter()
            .zip(&self.boards)
            .filter(|(_, lies)| !lies.is_empty());
        let shares = used.map(|(stock, lies)| {
            let share = covered(yard, lies) / yard.boards[stock.board].clear_area.max(1.0);
            (stock.board, share)
        });
        let left = self.left.iter().map(|piece| pieces[*piece].part);
        let laid = self.boards.iter().flatten().map(|lie| lie.form.part);
        Worth::of(job, shares, left, laid)
    }
}

/// Boards in the order in which they are filled: those to be used freely first, then by cost for each clear square metre and thickness as it is, larger ones first.
pub fn filling_order(job: &Job, yard: &Yard, stock: &[Stock]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..stock.len()).collect();
    let key = |s: usize| {
        let board = &job.boards[stock[s].board];
        let area = yard.boards[stock[s].board].clear_area;
        (board.is_spared(), board.cost / area.max(1.0), -area)
    };
    order.arrange_by(|a, b| {
        let (x, y) = (key(*a), key(*b));
        x.0.cmp(&y.0)
            .then(x.1.total_cmp(&y.1))
            .then(x.2.total_cmp(&y.2))
            .then(a.cmp(b))
    });
    order
}

/// Pieces in the order in which they are placed: by priority (or worth, where that is the aim), then the largest first.
pub(super) fn placing_order(job: &Job, yard: &Yard, pieces: &[Piece], list: &mut [usize]) {
    let size = |k: usize| {
        let shape = &yard.shapes[pieces[k].part];
        // Long ones are harder to place than their area says.
        shape.area * shape.length
    };
    let worth = |k: usize| {
        let shape = &yard.shapes[pieces[k].part];
        if Choices::of(job).is_value() {
            -job.parts[pieces[k].part].value / shape.area.max(1.0)
        } else {
            f64::from(job.parts[pieces[k].part].priority)
        }
    };
    list.arrange_by(|a, b| {
        worth(*a)
            .total_cmp(&worth(*b))
            .then(size(*b).total_cmp(&size(*a)))
            .then(pieces[*a].part.cmp(&pieces[*b].part))
            .then(a.cmp(b))
    });
}

/// Remembers for which boards and forms the leftmost place is known to lie at or right of an x, while boards only fill up.
#[derive(Debug, Default)]
pub(super) struct Fronts(SortedMap<(usize, u32), f64>);

impl Fronts {
    fn of(&self, stock: usize, form: u32) -> f64 {
        self.0
            .get(&(stock, form))
            .copied()
            .unwrap_or(f64::NEG_INFINITY)
    }

    fn set(&mut self, stock: usize, form: u32, x: f64) {
        self.0.insert((stock, form), x);
    }
}

/// Area of the blanks on a board.
pub(super) fn covered(yard: &Yard, lies: &[Lie]) -> f64 {
    lies.iter().map(|l| yard.shapes[l.form.part].area).sum()
}

/// The place whose right end is furthest to the left, over some forms.
pub(super) fn place_on(
    yard: &mut Yard,
    job: &Job,
    (s, board): (usize, usize),
    lies: &[Lie],
    forms: &[Arc<Form>],
    fronts: &mut Fronts,
) -> Option<(Arc<Form>, Point)> {
    let mut best: Option<(Arc<Form>, Point)> = None;
    let mut end = f64::INFINITY;
    for form in forms {
        let front = fronts.of(s, form.id);
        if front == f64::INFINITY {
            continue;
        }
        let before = end - form.bounds.max.x;
        if front > before {
            continue;
        }
        match leftmost(yard, job, board, form, lies, (front, before)) {
            Some(at) => {
                fronts.set(s, form.id, at.x);
                let reach = at.x + form.bounds.max.x;
                let lower = best.as_ref().is_some_and(|(f, p)| {
                    reach == end && at.y + form.bounds.max.y < p.y + f.bounds.max.y
                });
                if reach < end || lower {
                    end = reach;
                    best = Some((form.clone(), at));
                }
            }
            // Nothing left of `before`: that says nothing about what lies beyond, unless there was no such limit.
            None if before == f64::INFINITY => fronts.set(s, form.id, f64::INFINITY),
            None => {}
        }
    }
    best
}

/// The building of a first layout, one piece at a time.
#[derive(Debug)]
pub(super) struct Build {
    queue: Vec<usize>,
    order: Vec<usize>,
    fronts: Fronts,
}

impl Build {
    /// Starts with the pieces that lie nowhere.
    pub(super) fn new(
        job: &Job,
        yard: &Yard,
        stock: &[Stock],
        pieces: &[Piece],
        floor: &Floor,
    ) -> Build {
        let mut queue = floor.left.clone();
        placing_order(job, yard, pieces, &mut queue);
        queue.reverse();
        Build {
            queue,
            order: if Choices::of(job).is_strip() {
                vec![0]
            } else {
                filling_order(job, yard, stock)
            },
            fronts: Fronts::default(),
        }
    }

    /// True when every piece has had its turn.
    pub(super) fn is_done(&self) -> bool {
        self.queue.is_empty()
    }

    /// Places one piece if there is a place.
    pub(super) fn step(
        &mut self,
        job: &Job,
        yard: &mut Yard,
        stock: &[Stock],
        pieces: &[Piece],
        floor: &mut Floor,
    ) {
        let Some(piece) = self.queue.pop() else {
            return;
        };
        // Every turn and both sides are tried only for what finds no place otherwise: on full boards that takes most of the time.
        for thorough in [false, true] {
            if let Some((s, form, at)) =
                self.find(job, yard, stock, pieces[piece].part, floor, thorough)
            {
                floor.boards[s].push(Lie {
                    piece,
                    form,
                    at,
                    pinned: false,
                });
                floor.left.retain(|k| *k != piece);
                return;
            }
        }
    }

    fn find(
        &mut self,
        job: &Job,
        yard: &mut Yard,
        stock: &[Stock],
        part: usize,
        floor: &Floor,
        thorough: bool,
    ) -> Option<(usize, Arc<Form>, Point)> {
        for s in &self.order {
            let board = stock.get(*s)?.board;
            let choices = yard.choices(job, board, part);
            let room = yard.boards[board].clear_area - covered(yard, &floor.boards[*s]);
            if choices.is_empty() || room < yard.shapes[part].core.region().area() {
                continue;
            }
            let forms = if thorough {
                &choices.all
            } else {
                &choices.first
            };
            let lies = &floor.boards[*s];
            if let Some((form, at)) =
                place_on(yard, job, (*s, board), lies, forms, &mut self.fronts)
            {
                return Some((*s, form, at));
            }
        }
        None
    }
}
