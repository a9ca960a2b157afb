//! Filling a board piece by piece, each where most of its outline lies along what is there.
//!
//! What was sawn apart, and much of what is sawn from one board, fits side to side. The next
//! piece on a board is the one, at the turn and place, whose sides run for the greatest share
//! of its outline along sides of the board and of pieces that lie there, a kerf from them.
//! Places are those where one side lies flush with one that is there and the side before or
//! after it with another, or where the ends of the two meet. A little overlap is let pass: the
//! pieces are parted afterwards (see [`super::multi_board`]).

use std::sync::Arc;

use heartside_geometry::math::{sin_cos_deg, within_turn};
use heartside_geometry::{Point, Vector};

use super::build::Floor;
use super::choices::Choices;
use super::lie::Lie;
use super::shape::{Edge, Form};
use super::tools::Tools;

/// How deep a piece may lie in others or in the board's edge, in millimetres.
const DEEP: f64 = 0.7;

/// Sides this far from the distance they keep, in millimetres, and askew by so many degrees, still lie along each other.
const NEAR: f64 = 0.7;
const ASKEW: f64 = 1.0;

/// A piece is laid only where at least this share of its outline lies along what is there.
const LEAST_SHARE: f64 = 0.2;

/// So many pairs of sides are looked at for a piece; of more, as many by chance.
const MOST_PAIRS: f64 = 150.0;

/// Boards being filled.
#[derive(Debug)]
pub(super) struct EdgeMatching {
    /// The boards, as the engine counts them; the last one is being filled.
    stock: Vec<usize>,
    boards: Vec<usize>,
    /// Pieces that do not lie yet.
    queue: Vec<usize>,
    /// The next of them to be looked at.
    next: usize,
    best: Option<Best>,
    /// What lies on the board that is being filled; none where that has changed.
    there: Option<Vec<Fixed>>,
}

#[derive(Debug)]
struct Best {
    /// The share, a little changed by chance.
    share: f64,
    queued: usize,
    form: Arc<Form>,
    at: Point,
}

/// A side of the board or of a piece, what may lie along it to its right.
#[derive(Debug, Clone, Copy)]
struct Fixed {
    edge: Edge,
    along: Vector,
    outward: Vector,
    length: f64,
    /// Kept from it by a blank of radius 0.
    keep: f64,
}

impl Fixed {
    fn new(edge: Edge, keep: f64) -> Option<Fixed> {
        let along = (edge.to - edge.from).unit()?;
        Some(Fixed {
            edge,
            along,
            outward: along.turned_right(),
            length: (edge.to - edge.from).dot(along),
            keep,
        })
    }
}

impl EdgeMatching {
    /// Fills boards with pieces that lie nowhere.
    pub(super) fn new(stock: Vec<usize>, queue: Vec<usize>) -> EdgeMatching {
        EdgeMatching {
            boards: stock.clone(),
            stock,
            queue,
            next: 0,
            best: None,
            there: None,
        }
    }

    /// Looks at one piece, or lays the one found; false when all is done.
    pub(super) fn step(&mut self, tools: &mut Tools<'_>, floor: &mut Floor) -> bool {
        let Some(s) = self.stock.last().copied() else {
            return false;
        };
        if self.next < self.queue.len() {
            let part = |k: usize| tools.pieces[self.queue[k]].part;
            let again = (0..self.next).any(|k| part(k) == part(self.next));
            if !again {
                self.look(tools, s, &floor.boards[s]);
            }
            self.next += 1;
            return true;
        }
        self.next = 0;
        self.there = None;
        match self.best.take() {
            Some(best) => {
                let piece = self.queue.remove(best.queued);
                floor.left.retain(|k| *k != piece);
                floor.boards[s].push(Lie {
                    piece,
                    form: best.form,
                    at: best.at,
                    pinned: false,
                });
            }
            None => {
                self.stock.pop();
            }
        }
        true
    }

    /// All the boards that it fills.
    pub(super) fn boards(&self) -> &[usize] {
        &self.boards
    }

    /// Pieces that found no place.
    pub(super) fn into_left(self) -> Vec<usize> {
        self.queue
    }

    /// The best place of the next piece on a board, if it is better than those before.
    fn look(&mut self, tools: &mut Tools<'_>, s: usize, lies: &[Lie]) {
        let board = tools.stock[s].board;
        let there = self
            .there
            .take()
            .unwrap_or_else(|| sides_there(tools, board, lies));
        let part = tools.pieces[self.queue[self.next]].part;
        let choices = tools.yard.choices(tools.job, board, part);
        for over in [false, true] {
            let Some(like) = choices.all.iter().find(|f| f.turned_over == over).cloned() else {
                continue;
            };
            // About so many are allowed; more than some are left to chance.
            let ranges = choices.ranges.iter().map(|(low, high)| high - low);
            let share = (ranges.sum::<f64>() / 360.0).min(1.0);
            let pairs = (like.side.edges.len() * there.len()) as f64 * share;
            let chance_of_each = if pairs > MOST_PAIRS {
                MOST_PAIRS / pairs
            } else {
                1.0
            };
            for (e, own) in like.side.edges.iter().enumerate() {
                for fixed in &there {
                    if chance_of_each < 1.0 && tools.chance.unit() > chance_of_each {
                        continue;
                    }
                    let turn = fixed.edge.angle + 180.0 - own.angle;
                    if let Some(turn) = allowed(&choices, turn) {
                        self.look_along(tools, (board, lies), &there, (&like, e, turn), fixed);
                    }
                }
            }
        }
        self.there = Some(there);
    }

    /// Places where side `e` lies along a given one.
    fn look_along(
        &mut self,
        tools: &mut Tools<'_>,
        (board, lies): (usize, &[Lie]),
        there: &[Fixed],
        (like, e, turn): (&Arc<Form>, usize, f64),
        fixed: &Fixed,
    ) {
        let (sin, cos) = sin_cos_deg(turn);
        let turned = |p: Point| Point::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
        let edges: Vec<Edge> = (like.side.edges.iter())
            .map(|edge| Edge {
                from: turned(edge.from),
                to: turned(edge.to),
                angle: edge.angle + turn,
            })
            .collect();
        let keep = fixed.outward * (fixed.keep + like.radius);
        // The origin where the side's start meets the end of the other, and where its end meets the other's start.
        let at = Point::ORIGIN + (fixed.edge.to - edges[e].from) + keep;
        let other_end = Point::ORIGIN + (fixed.edge.from - edges[e].to) + keep;
        let mut places = vec![at, other_end];
        for next in [e + 1, e + edges.len() - 1] {
            let next = edges[next % edges.len()];
            for second in there {
                let across = second.outward.dot(fixed.along);
                if across.abs() < 0.2 || !is_opposite(next.angle, second.edge.angle) {
                    continue;
                }
                let middle = next.from + (next.to - next.from) * 0.5 + at.to_vector();
                let gap = (middle - second.edge.from).dot(second.outward);
                let missing = second.keep + like.radius - gap;
                places.push(at + fixed.along * (missing / across));
            }
        }
        let around: f64 = edges.iter().map(|edge| edge.from.distance(edge.to)).sum();
        let mut form = None;
        for at in places {
            let share = share_along(&edges, at, there, like.radius) / around;
            let valued = share * (0.85 + 0.3 * tools.chance.unit());
            if share < LEAST_SHARE || valued <= self.best.as_ref().map_or(0.0, |b| b.share) {
                continue;
            }
            if form.is_none() {
                let wanted = (like.part, turn, like.turned_over);
                form = tools.yard.turned(tools.job, board, wanted, false);
            }
            let Some(form) = &form else {
                return;
            };
            if let Some(at) = nearly_free(tools, board, form, lies, at) {
                self.best = Some(Best {
                    share: valued,
                    queued: self.next,
                    form: form.clone(),
                    at,
                });
            }
        }
    }
}

/// A turn as one that is allowed: within a range, or one of a list.
fn allowed(choices: &Choices, turn: f64) -> Option<f64> {
    if choices.ranges.is_empty() {
        let same = |form: &&Arc<Form>| {
            let off = within_turn(form.turn - turn + 180.0) - 180.0;
            off.abs() < 0.01
        };
        return choices.all.iter().find(same).map(|form| form.turn);
    }
    choices.allowed((turn * 1e5).round() / 1e5)
}

/// True where two sides run against each other, nearly.
fn is_opposite(a: f64, b: f64) -> bool {
    (within_turn(a - b) - 180.0).abs() < ASKEW
}

/// The sides of a board and of what lies on it.
fn sides_there(tools: &Tools<'_>, board: usize, lies: &[Lie]) -> Vec<Fixed> {
    let board = &tools.yard.boards[board];
    let rim = board.sides.iter().filter_map(|(side, trim)| {
        let outside = Edge {
            from: side.to,
            to: side.from,
            angle: side.angle + 180.0,
        };
        Fixed::new(outside, trim + tools.yard.margin.extra)
    });
    let kerf = tools.yard.no_fits.kerf();
    let pieces = lies.iter().flat_map(|lie| {
        let keep = kerf + lie.form.radius;
        let edges = lie.form.side.edges.iter();
        edges.filter_map(move |edge| Fixed::new(edge.posed(&lie.form, lie.at), keep))
    });
    rim.chain(pieces).collect()
}

/// For what length the sides of a blank lie along those that are there.
fn share_along(edges: &[Edge], at: Point, there: &[Fixed], radius: f64) -> f64 {
    let mut sum = 0.0;
    for edge in edges {
        let (from, to) = (edge.from + at.to_vector(), edge.to + at.to_vector());
        let mut along = 0.0;
        for fixed in there {
            if !is_opposite(edge.angle, fixed.edge.angle) {
                continue;
            }
            let gap = |p: Point| (p - fixed.edge.from).dot(fixed.outward) - fixed.keep - radius;
            if 0.5 * (gap(from) + gap(to)).abs() > NEAR {
                continue;
            }
            let (a, b) = (
                (from - fixed.edge.from).dot(fixed.along),
                (to - fixed.edge.from).dot(fixed.along),
            );
            along += (a.max(b).min(fixed.length) - a.min(b).max(0.0)).max(0.0);
        }
        sum += f64::min(along, from.distance(to));
    }
    sum
}

/// The place, moved into the board's box, if nothing there is met deeply.
fn nearly_free(
    tools: &mut Tools<'_>,
    board: usize,
    form: &Form,
    lies: &[Lie],
    at: Point,
) -> Option<Point> {
    let room = tools.yard.room(board, form);
    let inside = Point::new(
        tools.job.snap(at.x.min(room.max.x).max(room.min.x)),
        tools.job.snap(at.y.min(room.max.y).max(room.min.y)),
    );
    if inside.distance(at) > DEEP {
        return None;
    }
    let slack = tools.yard.margin.slack;
    let apart = tools.yard.no_fits.kerf() + form.radius;
    let own = form.bounds_at(inside);
    for other in lies {
        if own.separation(&other.bounds()) >= apart + other.form.radius {
            continue;
        }
        let by = Point::ORIGIN + (inside - other.at);
        let pair = tools.yard.no_fits.between(form, &other.form);
        if pair.way_out(by, slack).is_some_and(|out| out.depth > DEEP) {
            return None;
        }
    }
    let off = tools.yard.way_off_rim(board, form, inside);
    if off.is_some_and(|out| out.depth > DEEP) {
        return None;
    }
    Some(inside)
}
