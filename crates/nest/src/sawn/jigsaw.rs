//! Fillings without any waste: boards put together like a jigsaw puzzle.
//!
//! Where nothing is lost between parts (a knife, shears) a set of parts may fill its boards
//! exactly, and such a filling proves itself: no plan needs less. Moving parts about hardly
//! ever finds it, as each lies in one place only; putting the puzzle together corner by
//! corner does.
//!
//! # Why corners suffice
//! At a corner of what lies there, or of the board, let the free angle be a sector of less
//! than 180 degrees from its lower side, counter-clockwise, to its upper one. In a filling
//! some part covers what is next to the lower side. The part's outline passes through the
//! corner, and not straight on, which would need 180 degrees: so the part has a corner of its
//! own there, one side leaves along the lower side, and its angle is no more than the sector.
//! The leftmost free point (the lowest of these) is always such a corner: everything left of
//! it and straight below is full. So there is always a corner to go on from, and any such
//! corner will do: the search takes the one with the fewest candidates (the part, how it is
//! turned, which of its corners) and comes back to try the others. This is backtracking as
//! for any jigsaw puzzle, the choice of the corner that of Golomb & Baumert (1965): branch
//! where there is least to choose from.
//!
//! # What it is asked to do
//! Only jobs are tried whose parts have exactly the area of the boards that would prove the
//! optimum (on a strip: of the strip cut at area over height), with nothing lost between
//! parts, no pins, and turns from a list. Where all corners lie on a common grid, the boards
//! must too: that refutes most strips at once. Parts and boards with more corners than the
//! search takes as they are, zones and trimmed sides are left to the ordinary search.
//!
//! # What is cut off
//! A state is given up where some corner has no candidate left, where what a candidate leaves
//! of its sector has none, and where a straight wall between two corners of less than 180
//! degrees is no sum of up to three sides (what lies along it cannot reach beyond). Candidates
//! are counted by angles first, then truly laid, the corner with the fewest first. Parts that
//! are alike, whichever way they are drawn, are tried once. Candidates whose sides are as long
//! as those beside them come first. A try that lasts too long is begun anew in another order
//! (Gomes, Selman & Kautz 1998).
//!
//! # Measured
//! The 26 puzzles of Terashima-Marin, Ross, Farias-Zarate, Lopez-Camacho & Valenzuela-Rendon
//! (2010), 20 to 60 parts, 2 to 15 boards, turned by quarters: 25 are solved and proved on the
//! first try in 0.01 to 0.06 s of processor time each. Steps, first
//! layout included: ta001 116, ta016 69, tb001 87, td001 297, te001 162, th001 100, tk001 190,
//! tl001 115, tm016 877, tn001 967, to001 56, tq001 120 of t1; ta001c5 149, ta021c20 217,
//! tb001c10 118, tf001c5 107, th001c6 126, tm001c5 949, tm021c18 343, to001c5 66, tt001c10 60,
//! tu001c5c5 40, tw001c8 91, tx001c8c5 159, tz001c20 120 of t2. The strip dighe1: 32. Counting
//! by angles alone, four were left unsolved after 6 s, and the others took up to 10,000 steps.
//!
//! Of the seven strips that the search is measured on five are off the grid; albano is refuted after 56 steps
//! and mao after 3.
//!
//! t1_ti001 is not solved: its 57 parts are rectangles, of which angles say nothing. Tried for
//! it in vain, 8 to 20 s each: short tries (100 to 2,000 places), more or less luck in the
//! order, large parts first, the leftmost corner in place of the one with the fewest
//! candidates (that covers 95 % of the first board, the fewest candidates 86 %).

use std::cmp::Ordering;
use std::sync::Arc;

use heartside_geometry::math::{atan2, cos, sin};
use heartside_geometry::{Arrange, Bounds, Point, Pose, Region, Vector};
use heartside_timber::job::{Goal, GrainRule, Job};

use super::build::{Floor, filling_order};
use super::ground::Yard;
use super::lie::{Lie, Piece};
use super::shape::Form;
use super::verify::is_sound;
use crate::chance::Chance;
use crate::engine::Stock;

const TAU: f64 = std::f64::consts::TAU;
const HALF: f64 = std::f64::consts::PI;

/// Places tried in the first try; a try that fails is followed by one of twice as many.
///
/// Of the published puzzles that are solved at all, none takes more than a thousand.
const FIRST_TRY: u64 = 2_000;

/// Tries before it is given up for good: together some 60,000 places, about two seconds.
const TRIES: u32 = 5;

/// Tries so far must have covered this share of the area for there to be another.
const PROMISING: f64 = 0.3;

/// Directions further apart than this (radians) are never taken for one, however short the sides.
const WIDEST: f64 = 1e-3;

/// A direction, and how long the side is that runs along it.
#[derive(Debug, Clone, Copy)]
struct Ray {
    /// Radians, within a turn.
    angle: f64,
    length: f64,
}

/// By how much an angle turns counter-clockwise, from -180 to 180 degrees in radians.
fn turn(angle: f64) -> f64 {
    angle - TAU * ((angle + HALF) / TAU).floor()
}

impl Ray {
    /// True if the sides leave no gap between them that counts: at the end of the shorter one they are no further apart than that.
    fn meets(&self, other: &Ray, near: f64) -> bool {
        turn(self.angle - other.angle).abs() * self.length.min(other.length) <= near
    }

    fn back(&self) -> Ray {
        Ray {
            angle: (self.angle + HALF) % TAU,
            length: self.length,
        }
    }
}

/// A side of an outline; what is covered lies on its left.
#[derive(Debug, Clone, Copy)]
struct Side {
    from: Point,
    to: Point,
    ray: Ray,
    /// The side before it in its ring.
    before: usize,
}

/// An angle at a point, counter-clockwise from one ray to another.
#[derive(Debug, Clone, Copy)]
struct Wedge {
    low: Ray,
    high: Ray,
    /// Radians.
    opening: f64,
}

impl Wedge {
    fn between(low: Ray, high: Ray) -> Wedge {
        let opening = high.angle - low.angle;
        Wedge {
            low,
            high,
            opening: opening - TAU * (opening / TAU).floor(),
        }
    }
}

/// An outline with the lower left of its box at the origin: what forms that differ by a displacement have in common.
#[derive(Debug)]
struct Outline {
    sides: Vec<Side>,
    size: Vector,
}

impl Outline {
    /// The sides of a region moved by `by`; the other way round, so that its outside counts as covered, if `inside_out`.
    fn of(region: &Region, by: Vector, inside_out: bool) -> Outline {
        let mut sides: Vec<Side> = Vec::new();
        for (ring, outline) in region.rings().enumerate() {
            let mut points: Vec<Point> = outline.points().iter().map(|p| *p + by).collect();
            // Holes, too, run counter-clockwise as they come.
            let is_hole = ring > 0;
            if is_hole != inside_out {
                points.reverse();
            }
            let first = sides.len();
            for (k, from) in points.iter().enumerate() {
                let to = points[(k + 1) % points.len()];
                let along = to - *from;
                let angle = atan2(along.y, along.x);
                sides.push(Side {
                    from: *from,
                    to,
                    ray: Ray {
                        angle: if angle < 0.0 { angle + TAU } else { angle },
                        length: along.length(),
                    },
                    before: first + (k + points.len() - 1) % points.len(),
                });
            }
        }
        let bounds = region.bounds();
        Outline {
            sides,
            size: bounds.max - bounds.min,
        }
    }

    /// The angle that is covered at the corner from which side k leaves.
    fn corner(&self, k: usize) -> Wedge {
        Wedge::between(
            self.sides[k].ray,
            self.sides[self.sides[k].before].ray.back(),
        )
    }

    /// Adds the angles covered at a point.
    fn wedges_at(&self, p: Point, near: f64, into: &mut Vec<Wedge>) {
        for (k, side) in self.sides.iter().enumerate() {
            if p.distance(side.from) <= near {
                into.push(self.corner(k));
            } else if p.distance(side.to) > near
                && p.distance_to_segment(side.from, side.to) <= near
            {
                let with = |ray: Ray, length| Ray { length, ..ray };
                into.push(Wedge {
                    low: with(side.ray, p.distance(side.to)),
                    high: with(side.ray.back(), p.distance(side.from)),
                    opening: HALF,
                });
            }
        }
    }

    fn bounds_at(&self, at: Point) -> Bounds {
        Bounds {
            min: at,
            max: at + self.size,
        }
    }

    /// True if both are the same but for rounding.
    fn is_like(&self, other: &Outline, near: f64) -> bool {
        let holds = |side: &Side| {
            (other.sides.iter())
                .any(|s| s.from.distance(side.from) <= near && s.to.distance(side.to) <= near)
        };
        self.sides.len() == other.sides.len() && self.sides.iter().all(holds)
    }
}

/// A free angle at a point.
#[derive(Debug, Clone, Copy)]
struct Sector {
    at: Point,
    free: Wedge,
}

/// Adds what the covered angles round a point leave free.
fn free_at(at: Point, covered: &mut [Wedge], near: f64, into: &mut Vec<Sector>) {
    covered.arrange_by(|a, b| a.low.angle.total_cmp(&b.low.angle));
    // How far round all is covered before the first one begins, seen from a turn earlier.
    let end = |w: &Wedge| w.low.angle + w.opening;
    let Some(last) = covered
        .iter()
        .max_by(|a, b| end(a).total_cmp(&end(b)))
        .copied()
    else {
        return;
    };
    let (mut reach, mut ray) = (end(&last) - TAU, last.high);
    for wedge in covered.iter() {
        let opening = wedge.low.angle - reach;
        if opening * ray.length.min(wedge.low.length) > near {
            into.push(Sector {
                at,
                free: Wedge {
                    low: ray,
                    high: wedge.low,
                    opening,
                },
            });
        }
        if end(wedge) > reach {
            (reach, ray) = (end(wedge), wedge.high);
        }
    }
}

/// A corner of a kind of part, turned in one way.
#[derive(Debug, Clone, Copy)]
struct Corner {
    kind: usize,
    outline: usize,
    /// From the lower left of the outline's box.
    at: Vector,
    wedge: Wedge,
}

/// Parts that are alike, turns and all.
#[derive(Debug)]
struct Kind {
    /// What it may look like.
    outlines: Vec<usize>,
    area: f64,
    /// The pieces not laid yet.
    left: Vec<usize>,
}

/// A board to be filled.
#[derive(Debug)]
struct Empty {
    /// Its place in the engine's stock.
    stock: usize,
    board: usize,
    /// What is filled of it.
    frame: Bounds,
    outside: Outline,
}

/// A part laid on the present board, by the lower left of its box.
#[derive(Debug, Clone)]
struct Laid {
    kind: usize,
    outline: usize,
    at: Point,
    lie: Lie,
}

/// A place that might be tried.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    kind: usize,
    outline: usize,
    at: Point,
    rank: f64,
}

/// A state of the search: what is free, and what is still to be tried there.
#[derive(Debug)]
struct Node {
    board: usize,
    /// The parts laid before this board was begun.
    first: usize,
    sectors: Vec<Sector>,
    /// The best last.
    candidates: Vec<Candidate>,
}

/// How a step of the puzzle ended.
#[derive(Debug)]
pub(super) enum Tried {
    /// There is more to try.
    On,
    /// Every board is full.
    Solved(Floor),
    /// There is no such filling, or none was found.
    GivenUp,
}

/// What a puzzle works with.
#[derive(Debug)]
pub(super) struct Table<'a> {
    pub(super) job: &'a Job,
    pub(super) yard: &'a mut Yard,
    pub(super) pieces: &'a [Piece],
    /// How many boards the engine has.
    pub(super) boards: usize,
}

/// A puzzle being put together.
#[derive(Debug)]
pub(super) struct Jigsaw {
    boards: Vec<Empty>,
    outlines: Vec<Outline>,
    kinds: Vec<Kind>,
    /// For every part: its forms, each with its outline.
    forms: Vec<Vec<(usize, Arc<Form>)>>,
    /// Corners of all kinds by the direction of their lower side; those near the whole turn stand at both ends.
    corners: Vec<Corner>,
    /// Two points no further apart are one.
    near: f64,
    /// How far two parts may overlap for rounding.
    close: f64,
    area: f64,
    chance: Chance,
    laid: Vec<Laid>,
    nodes: Vec<Node>,
    tries: u32,
    left_of_try: u64,
    covered: f64,
    most_covered: f64,
    wedges: Vec<Wedge>,
}

impl Jigsaw {
    /// The puzzle of a task without pins; none where a filling without waste is out of the question.
    pub(super) fn new(
        job: &Job,
        yard: &mut Yard,
        stock: &[Stock],
        pieces: &[Piece],
        chance: &Chance,
    ) -> Option<Jigsaw> {
        let near = job.tolerance.slack;
        let by_list = |p: &Piece| {
            matches!(job.parts[p.part].grain, GrainRule::Turns(_))
                && yard.shapes[p.part].radius <= 0.0
        };
        if job.workshop.sawn_kerf > 0.0 || pieces.is_empty() || !pieces.iter().all(by_list) {
            return None;
        }
        let area_of = |part: usize| yard.shapes[part].core.region().area();
        let area: f64 = pieces.iter().map(|p| area_of(p.part)).sum();
        let boards = boards_to_fill(job, yard, stock, area)?;

        let mut outlines: Vec<Outline> = Vec::new();
        let mut forms: Vec<Vec<(usize, Arc<Form>)>> = vec![Vec::new(); job.parts.len()];
        let mut kinds: Vec<Kind> = Vec::new();
        let mut kind_of: Vec<Option<usize>> = vec![None; job.parts.len()];
        for (k, piece) in pieces.iter().enumerate() {
            let part = piece.part;
            if let Some(kind) = kind_of[part] {
                kinds[kind].left.push(k);
                continue;
            }
            for empty in &boards {
                let choices = yard.choices(job, empty.board, part);
                for form in &choices.all {
                    if forms[part].iter().any(|f| f.1.id == form.id) {
                        continue;
                    }
                    let core = &yard.shapes[part].core;
                    if form.shells.len() != core.pieces().len() {
                        // Simplified for the search: it would not go in exactly.
                        return None;
                    }
                    let outline = outline_of(yard, form);
                    let known = outlines.iter().position(|o| o.is_like(&outline, near));
                    let outline = known.unwrap_or_else(|| {
                        outlines.push(outline);
                        outlines.len() - 1
                    });
                    forms[part].push((outline, form.clone()));
                }
            }
            let mut looks: Vec<usize> = forms[part].iter().map(|f| f.0).collect();
            looks.arrange();
            looks.dedup();
            let fits = |o: &usize| {
                let size = outlines[*o].size;
                (boards.iter())
                    .any(|b| size.x <= b.frame.width() + near && size.y <= b.frame.height() + near)
            };
            if !looks.iter().any(fits) {
                return None;
            }
            let kind = (kinds.iter())
                .position(|kind| kind.outlines == looks)
                .unwrap_or_else(|| {
                    kinds.push(Kind {
                        outlines: looks,
                        area: yard.shapes[part].core.region().area(),
                        left: Vec::new(),
                    });
                    kinds.len() - 1
                });
            kinds[kind].left.push(k);
            kind_of[part] = Some(kind);
        }
        if !is_on_grid(&outlines, &boards, near) {
            return None;
        }
        let mut jigsaw = Jigsaw {
            corners: corners_of(&kinds, &outlines),
            boards,
            outlines,
            kinds,
            forms,
            near,
            close: yard.margin.extra + yard.margin.slack.min(0.25 * near),
            area,
            chance: chance.clone(),
            laid: Vec::new(),
            nodes: Vec::new(),
            tries: 0,
            left_of_try: FIRST_TRY,
            covered: 0.0,
            most_covered: 0.0,
            wedges: Vec::new(),
        };
        let mut table = Table {
            job,
            yard,
            pieces,
            boards: stock.len(),
        };
        jigsaw.begin_board(&mut table, 0).then_some(jigsaw)
    }

    /// Tries one place.
    pub(super) fn step(&mut self, table: &mut Table) -> Tried {
        let Some(node) = self.nodes.last_mut() else {
            // Everything was tried: there is no such filling.
            return Tried::GivenUp;
        };
        let Some(candidate) = node.candidates.pop() else {
            self.nodes.pop();
            self.take_up();
            return Tried::On;
        };
        let Some(left) = self.left_of_try.checked_sub(1) else {
            return self.begin_again(table);
        };
        self.left_of_try = left;
        if !self.lay(table, candidate) {
            return Tried::On;
        }
        let (board, first) = self.nodes.last().map_or((0, 0), |n| (n.board, n.first));
        let sectors = self.free_after();
        if !sectors.is_empty() {
            match self.candidates(table, (board, first), &sectors) {
                Some(candidates) => self.nodes.push(Node {
                    board,
                    first,
                    sectors,
                    candidates,
                }),
                None => self.take_up(),
            }
            return Tried::On;
        }
        let lies: Vec<Lie> = self.laid[first..].iter().map(|l| l.lie.clone()).collect();
        if !is_sound(table.yard, table.job, self.boards[board].board, &lies) {
            self.take_up();
            return Tried::On;
        }
        if self.kinds.iter().all(|k| k.left.is_empty()) {
            return Tried::Solved(self.floor(table.boards));
        }
        if board + 1 == self.boards.len() || !self.begin_board(table, board + 1) {
            self.take_up();
        }
        Tried::On
    }

    /// Starts again with other luck, or gives up.
    fn begin_again(&mut self, table: &mut Table) -> Tried {
        self.tries += 1;
        if self.tries == TRIES || self.most_covered < PROMISING * self.area {
            return Tried::GivenUp;
        }
        while !self.laid.is_empty() {
            self.take_up();
        }
        self.nodes.clear();
        self.left_of_try = FIRST_TRY << self.tries;
        self.begin_board(table, 0);
        Tried::On
    }

    /// Begins an empty board; false if no part fits into some corner of it.
    fn begin_board(&mut self, table: &mut Table, board: usize) -> bool {
        let outside = &self.boards[board].outside;
        let mut sectors = Vec::new();
        for side in &outside.sides {
            self.wedges.clear();
            outside.wedges_at(side.from, self.near, &mut self.wedges);
            free_at(side.from, &mut self.wedges, self.near, &mut sectors);
        }
        let place = (board, self.laid.len());
        let Some(candidates) = self.candidates(table, place, &sectors) else {
            return false;
        };
        self.nodes.push(Node {
            board,
            first: place.1,
            sectors,
            candidates,
        });
        true
    }

    /// Where a candidate would lie, if it is free there; `first` are the parts laid before this board was begun.
    fn free_place(
        &self,
        table: &mut Table,
        (board, first): (usize, usize),
        candidate: &Candidate,
    ) -> Option<Lie> {
        let empty = &self.boards[board];
        let piece = *self.kinds[candidate.kind].left.last()?;
        let (_, form) =
            (self.forms[table.pieces[piece].part].iter()).find(|f| f.0 == candidate.outline)?;
        let at = candidate.at - form.bounds.min.to_vector();
        let at = Point::new(table.job.snap(at.x), table.job.snap(at.y));
        let own = form.bounds_at(at);
        if !empty.frame.grown(self.close).contains_bounds(&own)
            || !table
                .yard
                .barred(empty.board, form)
                .is_clear(at, self.close)
        {
            return None;
        }
        for other in &self.laid[first..] {
            let by = Point::ORIGIN + (at - other.lie.at);
            if own.separation(&other.lie.bounds()) < 0.0
                && !(table.yard.differences)
                    .between(form, &other.lie.form)
                    .is_clear(by, self.close)
            {
                return None;
            }
        }
        let choices = table.yard.choices(table.job, empty.board, form.part);
        choices.all.iter().any(|f| f.id == form.id).then(|| Lie {
            piece,
            form: form.clone(),
            at,
            pinned: false,
        })
    }

    /// Lays a part where it was found to be free.
    fn lay(&mut self, table: &mut Table, candidate: Candidate) -> bool {
        let place = self.nodes.last().map_or((0, 0), |n| (n.board, n.first));
        let Some(lie) = self.free_place(table, place, &candidate) else {
            return false;
        };
        self.laid.push(Laid {
            kind: candidate.kind,
            outline: candidate.outline,
            at: candidate.at,
            lie,
        });
        self.kinds[candidate.kind].left.pop();
        self.covered += self.kinds[candidate.kind].area;
        self.most_covered = self.most_covered.max(self.covered);
        true
    }

    /// Takes up the part laid last.
    fn take_up(&mut self) {
        if let Some(laid) = self.laid.pop() {
            let kind = &mut self.kinds[laid.kind];
            kind.left.push(laid.lie.piece);
            self.covered -= kind.area;
        }
    }

    /// What is free on the present board after a part was laid.
    fn free_after(&mut self) -> Vec<Sector> {
        let (Some(node), Some(new)) = (self.nodes.last(), self.laid.last()) else {
            return Vec::new();
        };
        let near = self.near;
        let outline = &self.outlines[new.outline];
        let back = -new.at.to_vector();
        let mut sectors = Vec::with_capacity(node.sectors.len() + 4);
        let mut points: Vec<Point> = Vec::new();
        let box_round = outline.bounds_at(new.at).grown(near);
        for sector in &node.sectors {
            let touched = box_round.contains(sector.at) && {
                self.wedges.clear();
                outline.wedges_at(sector.at + back, near, &mut self.wedges);
                !self.wedges.is_empty()
            };
            if !touched {
                sectors.push(*sector);
            } else if !points.iter().any(|p| p.distance(sector.at) <= near) {
                points.push(sector.at);
            }
        }
        for side in &outline.sides {
            let at = side.from - back;
            if !points.iter().any(|p| p.distance(at) <= near) {
                points.push(at);
            }
        }
        for at in points {
            self.wedges.clear();
            let outside = &self.boards[node.board].outside;
            outside.wedges_at(at, near, &mut self.wedges);
            for laid in &self.laid[node.first..] {
                let outline = &self.outlines[laid.outline];
                if outline.bounds_at(laid.at).grown(near).contains(at) {
                    outline.wedges_at(at - laid.at.to_vector(), near, &mut self.wedges);
                }
            }
            free_at(at, &mut self.wedges, near, &mut sectors);
        }
        sectors
    }

    /// Corners whose lower side may leave in a direction, of parts that are left.
    fn leaving(&self, ray: Ray) -> impl Iterator<Item = &Corner> {
        let from = self
            .corners
            .partition_point(|c| c.wedge.low.angle < ray.angle - WIDEST);
        self.corners[from..]
            .iter()
            .take_while(move |c| c.wedge.low.angle <= ray.angle + WIDEST)
            .filter(move |c| {
                !self.kinds[c.kind].left.is_empty() && c.wedge.low.meets(&ray, self.near)
            })
    }

    /// True if the corner is no wider than what is free.
    fn goes_into(&self, corner: &Wedge, free: &Wedge) -> bool {
        corner.opening <= free.opening || corner.high.meets(&free.high, self.near)
    }

    /// What may lie at the corner with the fewest candidates, the best last; none where some corner has none.
    fn candidates(
        &mut self,
        table: &mut Table,
        place: (usize, usize),
        sectors: &[Sector],
    ) -> Option<Vec<Candidate>> {
        // By angles alone first: that is quick, and tells where to look closer.
        let mut counted: Vec<(&Sector, Vec<&Corner>)> = Vec::with_capacity(sectors.len());
        for sector in sectors {
            let free = &sector.free;
            if self.bend(free) != Ordering::Less {
                continue;
            }
            let corners = self.filling(free);
            if corners.is_empty() {
                return None;
            }
            counted.push((sector, corners));
        }
        for (sector, _) in &counted {
            let wall = self.wall(sector, sectors);
            if wall.is_some_and(|length| !self.can_line(sector.free.low, length)) {
                return None;
            }
        }
        counted.arrange_by_key(|c| c.1.len());
        let mut best: Option<Vec<Candidate>> = None;
        for (sector, corners) in counted {
            let fewest = best.as_ref().map_or(usize::MAX, Vec::len);
            let mut list: Vec<Candidate> = Vec::new();
            for corner in corners {
                let candidate = self.candidate(corner, sector);
                let seen = |c: &Candidate| {
                    (c.kind, c.outline) == (candidate.kind, candidate.outline)
                        && c.at.distance(candidate.at) <= self.near
                };
                if list.iter().any(seen) || self.free_place(table, place, &candidate).is_none() {
                    continue;
                }
                list.push(candidate);
                if list.len() == fewest {
                    break;
                }
            }
            if list.is_empty() {
                return None;
            }
            if list.len() < fewest {
                best = Some(list);
            }
        }
        let mut list = best?;
        if self.tries > 0 {
            for candidate in &mut list {
                candidate.rank += self.chance.unit();
            }
        }
        list.arrange_by(|a, b| a.rank.total_cmp(&b.rank));
        Some(list)
    }

    /// Whether a free angle is less than 180 degrees, just that, or more.
    fn bend(&self, free: &Wedge) -> Ordering {
        let off = (free.opening - HALF) * free.low.length.min(free.high.length);
        if off.abs() <= self.near {
            Ordering::Equal
        } else {
            off.total_cmp(&0.0)
        }
    }

    /// The length of the straight wall that leaves a corner along its lower side; none where it
    /// does not end at another corner, so that what lies along it may reach beyond.
    fn wall(&self, sector: &Sector, sectors: &[Sector]) -> Option<f64> {
        let (mut from, mut ray, mut length) = (sector.at, sector.free.low, 0.0);
        let along = Vector::new(cos(ray.angle), sin(ray.angle));
        for _ in sectors {
            let (end, way) = (sectors.iter())
                .filter_map(|s| {
                    let to = s.at - from;
                    let way = to.dot(along);
                    let is_on = way > self.near
                        && way <= ray.length + self.near
                        && to.cross(along).abs() <= self.near
                        && s.free.high.meets(&ray.back(), self.near);
                    is_on.then_some((s, way))
                })
                .min_by(|a, b| a.1.total_cmp(&b.1))?;
            length += way;
            match self.bend(&end.free) {
                Ordering::Less => return Some(length),
                Ordering::Equal => (from, ray) = (end.at, end.free.low),
                Ordering::Greater => return None,
            }
        }
        None
    }

    /// True if sides of parts that are left might add up to the length of a wall; so it is held to be where four of them may.
    fn can_line(&self, ray: Ray, length: f64) -> bool {
        let mut sides: Vec<&Corner> = self.leaving(ray).collect();
        let long = |c: &Corner| c.wedge.low.length;
        sides.retain(|c| long(c) <= length + self.near);
        sides.arrange_by(|a, b| long(a).total_cmp(&long(b)));
        let Some(shortest) = sides.first().map(|c| long(c)) else {
            return false;
        };
        if 4.0 * shortest <= length + self.near {
            return true;
        }
        // Two sides of one part may lie along one wall, if it is turned one way.
        let together = |a: &Corner, b: &Corner| {
            a.kind != b.kind || a.outline == b.outline || self.kinds[a.kind].left.len() > 1
        };
        let of_this_length = |rest: f64| {
            let from = sides.partition_point(|c| long(c) < rest - self.near);
            sides[from..]
                .iter()
                .take_while(move |c| long(c) <= rest + self.near)
        };
        let two = |a: &Corner, rest: f64| of_this_length(rest).any(|b| together(a, b));
        of_this_length(length).next().is_some()
            || sides.iter().any(|a| two(a, length - long(a)))
            || (sides.iter().enumerate()).any(|(k, a)| {
                (sides[k..].iter())
                    .take_while(|b| long(a) + 2.0 * long(b) <= length + self.near)
                    .any(|b| together(a, b) && two(b, length - long(a) - long(b)))
            })
    }

    /// Corners that angles allow in what is free.
    fn filling(&self, free: &Wedge) -> Vec<&Corner> {
        self.leaving(free.low)
            .filter(|c| self.goes_into(&c.wedge, free) && self.can_go_on(c, free))
            .collect()
    }

    /// A corner laid into a free one, and how well its sides go with those beside it.
    fn candidate(&self, corner: &Corner, sector: &Sector) -> Candidate {
        let (own, free) = (&corner.wedge, &sector.free);
        let alike = |a: f64, b: f64| f64::from(u8::from((a - b).abs() <= self.near));
        let mut rank = alike(own.low.length, free.low.length);
        if own.high.meets(&free.high, self.near) {
            rank += 1.0 + alike(own.high.length, free.high.length);
        }
        Candidate {
            kind: corner.kind,
            outline: corner.outline,
            at: sector.at - corner.at,
            rank: rank + self.kinds[corner.kind].area / self.area,
        }
    }

    /// True if the corner fills what is free, or another could lie beside it.
    fn can_go_on(&self, corner: &Corner, free: &Wedge) -> bool {
        if corner.wedge.high.meets(&free.high, self.near) {
            return true;
        }
        let rest = Wedge {
            low: corner.wedge.high,
            high: free.high,
            opening: free.opening - corner.wedge.opening,
        };
        self.leaving(rest.low).any(|c| {
            self.goes_into(&c.wedge, &rest)
                && (c.kind != corner.kind || self.kinds[c.kind].left.len() > 1)
        })
    }

    /// The filling as a floor.
    fn floor(&self, boards: usize) -> Floor {
        let mut floor = Floor {
            boards: vec![Vec::new(); boards],
            left: Vec::new(),
        };
        let mut firsts = self.nodes.iter().map(|n| (n.first, n.board)).peekable();
        let mut board = 0;
        for (k, laid) in self.laid.iter().enumerate() {
            while let Some((_, b)) = firsts.next_if(|(first, _)| *first <= k) {
                board = b;
            }
            floor.boards[self.boards[board].stock].push(laid.lie.clone());
        }
        floor
    }
}

/// The boards whose area is just that of the parts, taken from the cheapest for their area on: no others could be cheaper.
fn boards_to_fill(job: &Job, yard: &Yard, stock: &[Stock], area: f64) -> Option<Vec<Empty>> {
    let near = job.tolerance.slack;
    let untouched = |board: usize| {
        let board = &job.boards[board];
        board.zones.is_empty() && (board.sides.iter()).all(|s| s.trim(&job.workshop) <= 0.0)
    };
    let empty = |stock: usize, board: usize, region: &Region| Empty {
        stock,
        board,
        frame: region.bounds(),
        outside: Outline::of(region, Vector::ZERO, true),
    };
    match job.goal {
        Goal::StripLength => {
            let board = stock.first()?.board;
            let mut frame = yard.boards[board].frame;
            let whole = job.boards[board].outline.area();
            if !untouched(board) || (whole - frame.area()).abs() > near * frame.height() {
                return None;
            }
            frame.max.x = (frame.min.x + area / frame.height()).min(frame.max.x);
            Some(vec![empty(0, board, &Region::rectangle(frame)?)])
        }
        Goal::Furnish => {
            let mut boards = Vec::new();
            let mut missing = area;
            for s in filling_order(job, yard, stock) {
                let board = stock[s].board;
                let outline = &job.boards[board].outline;
                let around: f64 = outline.rings().map(|r| r.perimeter()).sum();
                missing -= outline.area();
                if !untouched(board) || missing < -near * around {
                    return None;
                }
                boards.push(empty(s, board, outline));
                if missing <= near * around {
                    return Some(boards);
                }
            }
            None
        }
        Goal::InOrder | Goal::Value => None,
    }
}

fn outline_of(yard: &Yard, form: &Form) -> Outline {
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn: form.turn,
        turned_over: form.turned_over,
    };
    let core = yard.shapes[form.part].core.posed(&pose);
    Outline::of(core.region(), -form.bounds.min.to_vector(), false)
}

/// All corners by the direction in which their lower side leaves.
fn corners_of(kinds: &[Kind], outlines: &[Outline]) -> Vec<Corner> {
    let mut corners = Vec::new();
    for (k, kind) in kinds.iter().enumerate() {
        for o in &kind.outlines {
            for (s, side) in outlines[*o].sides.iter().enumerate() {
                let mut corner = Corner {
                    kind: k,
                    outline: *o,
                    at: side.from.to_vector(),
                    wedge: outlines[*o].corner(s),
                };
                corners.push(corner);
                let low = &mut corner.wedge.low;
                if low.angle <= WIDEST {
                    low.angle += TAU;
                    corners.push(corner);
                } else if low.angle >= TAU - WIDEST {
                    low.angle -= TAU;
                    corners.push(corner);
                }
            }
        }
    }
    corners.arrange_by(|a, b| {
        (a.wedge.low.angle.total_cmp(&b.wedge.low.angle)).then(a.kind.cmp(&b.kind))
    });
    corners
}

/// False where the outlines' corners lie on a grid and the boards' do not.
///
/// In a filling every part begins at a corner of another or of the board, so all of them lie on the grid.
fn is_on_grid(outlines: &[Outline], boards: &[Empty], near: f64) -> bool {
    let mut grid = 0.0f64;
    for side in outlines.iter().flat_map(|o| &o.sides) {
        for extent in [side.from.x, side.from.y] {
            let (mut a, mut b) = (grid.max(extent), grid.min(extent).max(0.0));
            while b > near {
                let rest = a % b;
                (a, b) = (b, if b - rest <= near { 0.0 } else { rest });
            }
            grid = a;
        }
    }
    let on_grid = |extent: f64| {
        let times = extent / grid;
        (times - times.round()).abs() * grid <= near * times.max(1.0)
    };
    (boards.iter()).all(|b| on_grid(b.frame.width()) && on_grid(b.frame.height()))
}

#[cfg(test)]
mod tests {
    use heartside_geometry::Tolerance;
    use heartside_timber::document::EdgeKind;
    use heartside_timber::job::{Allowances, Part, PartCut};

    use super::*;
    use crate::engine::usable_stock;
    use crate::samples::{board, job, part, polygon, rectangle};

    fn cut_by_knife(id: &str, points: &[(f64, f64)]) -> Part {
        let outline = polygon(points);
        Part {
            outline,
            grain: GrainRule::Turns(vec![0.0, 90.0, 180.0, 270.0]),
            may_turn_over: false,
            allowances: Allowances {
                end: 0.0,
                edge: 0.0,
                sawn: 0.0,
                planing: 0.0,
                clean_up: 0.0,
            },
            cut: PartCut::Sawn,
            form: heartside_timber::job::Form::Free,
            ..part(id, 1, 1.0, 1.0)
        }
    }

    /// Two boards of 400 x 300, one cut by a slanting line, one by a bent one.
    fn puzzle() -> Job {
        let boards = vec![heartside_timber::job::Board {
            count: 3,
            ..board("b", rectangle(0.0, 0.0, 400.0, 300.0), EdgeKind::Straight)
        }];
        let parts = vec![
            cut_by_knife(
                "a",
                &[(0.0, 0.0), (150.0, 0.0), (250.0, 300.0), (0.0, 300.0)],
            ),
            cut_by_knife(
                "b",
                &[(0.0, 0.0), (250.0, 0.0), (250.0, 300.0), (100.0, 300.0)],
            ),
            cut_by_knife(
                "c",
                &[(0.0, 0.0), (400.0, 0.0), (200.0, 80.0), (0.0, 200.0)],
            ),
            cut_by_knife(
                "d",
                &[
                    (0.0, 200.0),
                    (200.0, 80.0),
                    (400.0, 0.0),
                    (400.0, 300.0),
                    (0.0, 300.0),
                ],
            ),
        ];
        let mut job = job(boards, parts);
        job.workshop.sawn_kerf = 0.0;
        job
    }

    /// How it ends, and after how many steps; none where it is not tried at all.
    fn put_together(job: &Job) -> Option<(Tried, u64)> {
        let mut yard = Yard::new(job, &vec![true; job.boards.len()]);
        let stock = usable_stock(job, |_| true);
        let pieces: Vec<Piece> = (0..job.parts.len())
            .flat_map(|part| (1..=job.parts[part].count).map(move |copy| Piece { part, copy }))
            .collect();
        let chance = Chance::new(1, 0, 0);
        let mut jigsaw = Jigsaw::new(job, &mut yard, &stock, &pieces, &chance)?;
        let mut table = Table {
            job,
            yard: &mut yard,
            pieces: &pieces,
            boards: stock.len(),
        };
        for steps in 1.. {
            match jigsaw.step(&mut table) {
                Tried::On => {}
                end => return Some((end, steps)),
            }
        }
        None
    }

    #[test]
    fn two_boards_are_filled_by_four_parts_whatever_the_tolerance() {
        let mut job = puzzle();
        for tolerance in [Tolerance::JOB, Tolerance::instance(400.0)] {
            job.tolerance = tolerance;
            let Some((Tried::Solved(floor), _)) = put_together(&job) else {
                panic!("not solved");
            };
            let counts: Vec<usize> = floor.boards.iter().map(Vec::len).collect();
            assert_eq!(counts, [2, 2, 0]);
        }
    }

    #[test]
    fn holes_of_parts_are_filled() {
        let mut job = puzzle();
        let ring = |r: Region| r.outer().clone();
        let hole = ring(rectangle(120.0, 90.0, 220.0, 170.0));
        let outer = ring(rectangle(0.0, 0.0, 400.0, 300.0));
        let mut frame = cut_by_knife("frame", &[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]);
        frame.outline = Region::new(outer, vec![hole]).expect("a hole inside");
        let triangle = [(0.0, 0.0), (100.0, 0.0), (0.0, 80.0)];
        job.parts = vec![frame, cut_by_knife("triangle", &triangle)];
        job.parts[1].count = 2;
        let Some((Tried::Solved(floor), _)) = put_together(&job) else {
            panic!("not solved");
        };
        let counts: Vec<usize> = floor.boards.iter().map(Vec::len).collect();
        assert_eq!(counts, [3, 0, 0]);
    }

    #[test]
    fn it_is_only_tried_where_nothing_may_be_lost() {
        assert!(put_together(&puzzle()).is_some());
        let mut with_kerf = puzzle();
        with_kerf.workshop.sawn_kerf = 0.5;
        let mut with_allowance = puzzle();
        with_allowance.parts[0].allowances.sawn = 0.5;
        let mut trimmed = puzzle();
        trimmed.boards[0].sides[0].kind = EdgeKind::Raw;
        let mut one_missing = puzzle();
        one_missing.parts.pop();
        let mut at_any_angle = puzzle();
        at_any_angle.parts[1].grain = GrainRule::Any;
        for (what, job) in [
            ("a kerf", with_kerf),
            ("an allowance", with_allowance),
            ("trim", trimmed),
            ("a part missing", one_missing),
            ("any angle", at_any_angle),
        ] {
            assert!(put_together(&job).is_none(), "tried with {what}");
        }
    }

    #[test]
    fn a_strip_off_the_grid_of_its_parts_is_not_tried() {
        let mut job = puzzle();
        job.goal = Goal::StripLength;
        job.boards[0] = board(
            "strip",
            rectangle(0.0, 0.0, 5_000.0, 300.0),
            EdgeKind::Straight,
        );
        assert!(put_together(&job).is_some(), "800 long");
        job.parts
            .push(cut_by_knife("e", &[(0.0, 0.0), (50.0, 0.0), (0.0, 50.0)]));
        assert!(put_together(&job).is_none(), "804 1/6 long");
    }

    /// The strips that the search is measured on are no puzzles, which is seen at once.
    #[test]
    #[allow(clippy::print_stdout)]
    fn published_strips_are_hardly_tried() {
        let folder = std::env::var("HEARTSIDE_INSTANCES").unwrap_or_else(|_| {
            concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/benchmarks").into()
        });
        for name in [
            "albano", "fu", "jakobs1", "mao", "shapes0", "shapes2", "trousers",
        ] {
            let path = format!("{folder}/strip-irregular/{name}.json");
            let Ok(text) = std::fs::read_to_string(&path) else {
                assert!(std::env::var("CI").is_err(), "{path} is missing");
                println!("skipped: {path} is not there");
                return;
            };
            let instance = heartside_exchange::instance::Instance::read(&text, &Default::default());
            let job = instance.expect("it is read").job;
            if let Some((end, steps)) = put_together(&job) {
                println!("{name}: {steps} steps");
                assert!(matches!(end, Tried::GivenUp), "{name}: {end:?}");
                assert!(steps < 100, "{name}: {steps}");
            }
        }
    }

    #[test]
    fn a_puzzle_with_a_wrong_part_is_given_up() {
        let mut job = puzzle();
        // As much area, but its slanting side goes with no other.
        job.parts[1] = cut_by_knife(
            "b",
            &[(0.0, 0.0), (200.0, 0.0), (200.0, 300.0), (0.0, 300.0)],
        );
        if let Some((end, steps)) = put_together(&job) {
            assert!(matches!(end, Tried::GivenUp), "{end:?}");
            assert!(steps < 100, "{steps}");
        }
        // Rectangles, which angles say nothing about: it goes on to the end of the budget at most.
        let sizes = [
            (170.0, 130.0),
            (110.0, 90.0),
            (230.0, 70.0),
            (90.0, 50.0),
            (150.0, 110.0),
        ];
        let mut parts = Vec::new();
        let mut area = 0.0;
        for k in 0..40 {
            let (width, height) = sizes[k % sizes.len()];
            let (width, height) = (width + 2.0 * k as f64, height + 10.0 * (k % 7) as f64);
            area += width * height;
            parts.push(cut_by_knife(
                &format!("{k}"),
                &[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)],
            ));
        }
        let side = 10.0 * (area / 100.0).sqrt().ceil();
        let rest = side * side - area;
        parts.push(cut_by_knife(
            "rest",
            &[
                (0.0, 0.0),
                (rest / 25.0, 0.0),
                (rest / 25.0, 25.0),
                (0.0, 25.0),
            ],
        ));
        job.parts = parts;
        job.boards[0] = board("b", rectangle(0.0, 0.0, side, side), EdgeKind::Straight);
        job.tolerance = Tolerance::instance(side);
        let (end, steps) = put_together(&job).expect("the area is just right");
        assert!(matches!(end, Tried::GivenUp), "{end:?}");
        // What is taken up again counts as steps, too: one for each place laid.
        assert!(steps <= 2 * (FIRST_TRY << TRIES), "{steps}");
    }
}
