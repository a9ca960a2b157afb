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
//!
//! # Where what stands
//! [`angles`] knows outlines as sides and corners, [`puzzle`] boards, parts and what angles alone
//! rule out, and this module the search: what lies, what is free, and what is to be tried there.

mod angles;
mod puzzle;
#[cfg(test)]
mod tests;

use std::cmp::Ordering;

use heartside_geometry::{Arrange, Point};

use self::angles::{Sector, Wedge, free_at};
use self::puzzle::{Corner, Puzzle};
use heartside_nest::kit::{Chance, Floor, Lie, Phase, Stepped, Tools, is_sound};

/// Places tried in the first try; a try that fails is followed by one of twice as many.
///
/// Of the published puzzles that are solved at all, none takes more than a thousand.
const FIRST_TRY: u64 = 2_000;

/// Tries before it is given up for good: together some 60,000 places, about two seconds.
const TRIES: u32 = 5;

/// Tries so far must have covered this share of the area for there to be another.
const PROMISING: f64 = 0.3;

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

/// A puzzle being put together.
#[derive(Debug)]
pub(crate) struct ExactPacking {
    puzzle: Puzzle,
    chance: Chance,
    laid: Vec<Laid>,
    nodes: Vec<Node>,
    tries: u32,
    left_of_try: u64,
    covered: f64,
    most_covered: f64,
    wedges: Vec<Wedge>,
}
impl ExactPacking {
    /// The puzzle of a floor without pins, its first board begun; none where a filling without waste is out of the question.
    pub(crate) fn new(tools: &mut Tools<'_>, floor: &Floor) -> Option<ExactPacking> {
        if floor.boards.iter().flatten().any(|lie| lie.pinned) {
            return None;
        }
        let mut exact_packing = ExactPacking {
            puzzle: Puzzle::new(tools)?,
            chance: tools.chance.clone(),
            laid: Vec::new(),
            nodes: Vec::new(),
            tries: 0,
            left_of_try: FIRST_TRY,
            covered: 0.0,
            most_covered: 0.0,
            wedges: Vec::new(),
        };
        exact_packing.begin_board(tools, 0).then_some(exact_packing)
    }

    /// Starts again with other luck, or gives up.
    fn begin_again(&mut self, tools: &mut Tools<'_>) -> Stepped {
        self.tries += 1;
        if self.tries == TRIES || self.most_covered < PROMISING * self.puzzle.area {
            return Stepped::GivenUp;
        }
        while !self.laid.is_empty() {
            self.take_up();
        }
        self.nodes.clear();
        self.left_of_try = FIRST_TRY << self.tries;
        self.begin_board(tools, 0);
        Stepped::On
    }

    /// Begins an empty board; false if no part fits into some corner of it.
    fn begin_board(&mut self, tools: &mut Tools<'_>, board: usize) -> bool {
        let outside = &self.puzzle.boards[board].outside;
        let mut sectors = Vec::new();
        for side in &outside.sides {
            self.wedges.clear();
            outside.wedges_at(side.from, self.puzzle.near, &mut self.wedges);
            free_at(side.from, &mut self.wedges, self.puzzle.near, &mut sectors);
        }
        let place = (board, self.laid.len());
        let Some(candidates) = self.candidates(tools, place, &sectors) else {
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
        tools: &mut Tools<'_>,
        (board, first): (usize, usize),
        candidate: &Candidate,
    ) -> Option<Lie> {
        let empty = &self.puzzle.boards[board];
        let piece = *self.puzzle.kinds[candidate.kind].left.last()?;
        let (_, form) = (self.puzzle.forms[tools.pieces[piece].part].iter())
            .find(|f| f.0 == candidate.outline)?;
        let at = candidate.at - form.bounds.min.to_vector();
        let at = Point::new(tools.job.snap(at.x), tools.job.snap(at.y));
        let own = form.bounds_at(at);
        if !empty.frame.grown(self.puzzle.close).contains_bounds(&own)
            || !(tools.yard).is_clear_on(empty.board, form, at, self.puzzle.close)
        {
            return None;
        }
        for other in &self.laid[first..] {
            let by = Point::ORIGIN + (at - other.lie.at);
            if own.separation(&other.lie.bounds()) < 0.0
                && !(tools.yard).are_clear(form, &other.lie.form, by, self.puzzle.close)
            {
                return None;
            }
        }
        let may_lie = tools.yard.may_lie(tools.job, empty.board, form);
        may_lie.then(|| Lie {
            piece,
            form: form.clone(),
            at,
            pinned: false,
        })
    }

    /// Lays a part where it was found to be free.
    fn lay(&mut self, tools: &mut Tools<'_>, candidate: Candidate) -> bool {
        let place = self.nodes.last().map_or((0, 0), |n| (n.board, n.first));
        let Some(lie) = self.free_place(tools, place, &candidate) else {
            return false;
        };
        self.laid.push(Laid {
            kind: candidate.kind,
            outline: candidate.outline,
            at: candidate.at,
            lie,
        });
        self.puzzle.kinds[candidate.kind].left.pop();
        self.covered += self.puzzle.kinds[candidate.kind].area;
        self.most_covered = self.most_covered.max(self.covered);
        true
    }

    /// Takes up the part laid last.
    fn take_up(&mut self) {
        if let Some(laid) = self.laid.pop() {
            let kind = &mut self.puzzle.kinds[laid.kind];
            kind.left.push(laid.lie.piece);
            self.covered -= kind.area;
        }
    }

    /// What is free on the present board after a part was laid.
    fn free_after(&mut self) -> Vec<Sector> {
        let (Some(node), Some(new)) = (self.nodes.last(), self.laid.last()) else {
            return Vec::new();
        };
        let near = self.puzzle.near;
        let outline = &self.puzzle.outlines[new.outline];
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
            let outside = &self.puzzle.boards[node.board].outside;
            outside.wedges_at(at, near, &mut self.wedges);
            for laid in &self.laid[node.first..] {
                let outline = &self.puzzle.outlines[laid.outline];
                if outline.bounds_at(laid.at).grown(near).contains(at) {
                    outline.wedges_at(at - laid.at.to_vector(), near, &mut self.wedges);
                }
            }
            free_at(at, &mut self.wedges, near, &mut sectors);
        }
        sectors
    }

    /// What may lie at the corner with the fewest candidates, the best last; none where some corner has none.
    fn candidates(
        &mut self,
        tools: &mut Tools<'_>,
        place: (usize, usize),
        sectors: &[Sector],
    ) -> Option<Vec<Candidate>> {
        // By angles alone first: that is quick, and tells where to look closer.
        let mut counted: Vec<(&Sector, Vec<&Corner>)> = Vec::with_capacity(sectors.len());
        for sector in sectors {
            let free = &sector.free;
            if self.puzzle.bend(free) != Ordering::Less {
                continue;
            }
            let corners = self.puzzle.filling(free);
            if corners.is_empty() {
                return None;
            }
            counted.push((sector, corners));
        }
        for (sector, _) in &counted {
            let wall = self.puzzle.wall(sector, sectors);
            if wall.is_some_and(|length| !self.puzzle.can_line(sector.free.low, length)) {
                return None;
            }
        }
        counted.arrange_by_key(|c| c.1.len());
        let mut best: Option<Vec<Candidate>> = None;
        for (sector, corners) in counted {
            let fewest = best.as_ref().map_or(usize::MAX, Vec::len);
            let mut list: Vec<Candidate> = Vec::new();
            for corner in corners {
                let candidate = self.puzzle.candidate(corner, sector);
                let seen = |c: &Candidate| {
                    (c.kind, c.outline) == (candidate.kind, candidate.outline)
                        && c.at.distance(candidate.at) <= self.puzzle.near
                };
                if list.iter().any(seen) || self.free_place(tools, place, &candidate).is_none() {
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
            floor.boards[self.puzzle.boards[board].stock].push(laid.lie.clone());
        }
        floor
    }
}

impl Phase for ExactPacking {
    /// Tries one place.
    fn step(&mut self, tools: &mut Tools<'_>, floor: &mut Floor) -> Stepped {
        let Some(node) = self.nodes.last_mut() else {
            // Everything was tried: there is no such filling.
            return Stepped::GivenUp;
        };
        let Some(candidate) = node.candidates.pop() else {
            self.nodes.pop();
            self.take_up();
            return Stepped::On;
        };
        let Some(left) = self.left_of_try.checked_sub(1) else {
            return self.begin_again(tools);
        };
        self.left_of_try = left;
        if !self.lay(tools, candidate) {
            return Stepped::On;
        }
        let (board, first) = self.nodes.last().map_or((0, 0), |n| (n.board, n.first));
        let sectors = self.free_after();
        if !sectors.is_empty() {
            match self.candidates(tools, (board, first), &sectors) {
                Some(candidates) => self.nodes.push(Node {
                    board,
                    first,
                    sectors,
                    candidates,
                }),
                None => self.take_up(),
            }
            return Stepped::On;
        }
        let lies: Vec<Lie> = self.laid[first..].iter().map(|l| l.lie.clone()).collect();
        if !is_sound(
            tools.yard,
            tools.job,
            self.puzzle.boards[board].board,
            &lies,
        ) {
            self.take_up();
            return Stepped::On;
        }
        if self.puzzle.kinds.iter().all(|k| k.left.is_empty()) {
            *floor = self.floor(tools.stock.len());
            return Stepped::Solved;
        }
        if board + 1 == self.puzzle.boards.len() || !self.begin_board(tools, board + 1) {
            self.take_up();
        }
        Stepped::On
    }
}
