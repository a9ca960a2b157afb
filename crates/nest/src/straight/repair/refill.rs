//! How an attempt fills its boards again.

use heartside_timber::document::Use;
use heartside_timber::job::Job;

use super::{Attempt, Filled, Repair, TRIES, Tries};
use crate::cuts::cutting::Cutting;
use crate::objective::{BoardMeasure, Choices};
use crate::straight::fill::Filling;
use crate::straight::priority_rule::PriorityRule;
use crate::straight::takes::Chosen;

/// Share of a board's clear area that fillings usually reach; for choosing boards only.
const USUAL_FILL: f64 = 0.8;

impl Repair {
    /// One unit of an attempt; true once it is complete.
    pub(super) fn advance(&mut self, job: &Job, attempt: &mut Attempt) -> bool {
        if let Some(mut combination) = attempt.combination.take() {
            let cost = |board: usize| job.boards[board].cost;
            let is_chosen = self.pool.advance(&mut combination, cost);
            if is_chosen {
                self.take_combined(attempt, &combination);
            } else {
                attempt.combination = Some(combination);
            }
            return is_chosen;
        }
        if let Some((board, frame, mut filling)) = attempt.filling.take() {
            let mut chance = self.chance.clone();
            let goes_on = attempt.pool.iter().any(|n| *n > 0)
                && filling.advance(&self.shop(job, frame), &mut attempt.pool, &mut chance);
            self.chance = chance;
            if goes_on {
                attempt.filling = Some((board, frame, filling));
            } else {
                self.weigh_try(job, attempt, (board, frame), filling.cutting);
            }
            return false;
        }
        if let Some((board, frame, cutting)) = attempt.reopened.pop() {
            self.begin(job, attempt, board, frame, cutting);
            return false;
        }
        let Some((board, frame)) = self.choose_board(job, attempt) else {
            return true;
        };
        attempt.candidates.retain(|c| *c != board);
        let cutting = self.room.start(job, board, frame, self.strip.limit);
        self.begin(job, attempt, board, frame, cutting);
        false
    }

    /// Begins with a board: to fill it once, or several times.
    fn begin(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        board: usize,
        frame: usize,
        cutting: Cutting,
    ) {
        attempt.tries = attempt.is_thorough.then(|| Tries {
            left: TRIES,
            start: (cutting.clone(), attempt.pool.clone()),
            best: None,
        });
        self.begin_filling(job, attempt, (board, frame), cutting);
    }

    fn begin_filling(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        (board, frame): (usize, usize),
        cutting: Cutting,
    ) {
        let mut chance = self.chance.clone();
        let spread = Choices::of(job).rule_spread;
        let rule = attempt
            .rule
            .unwrap_or_else(|| PriorityRule::drawn(&mut chance, spread));
        let filling = Filling::new(
            &self.shop(job, frame),
            cutting,
            rule,
            &attempt.pool,
            &mut chance,
        );
        self.chance = chance;
        attempt.filling = Some((board, frame, filling));
    }

    /// A board was filled: once more, or on with the best of its fillings.
    fn weigh_try(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        (board, frame): (usize, usize),
        cutting: Cutting,
    ) {
        let Some(mut tries) = attempt.tries.take() else {
            self.close(job, attempt, board, frame, cutting);
            return;
        };
        // By area, and what found no place for long counts for more.
        let cutouts = cutting.cutouts.iter();
        let worth = cutouts.map(|c| c.rect.area() * self.trouble[c.part]).sum();
        let holds_all = attempt.pool.iter().all(|n| *n == 0);
        tries.left -= 1;
        let best = match tries.best.take() {
            Some(best) if best.0 >= worth => best,
            _ => (worth, cutting, attempt.pool.clone()),
        };
        if holds_all || tries.left == 0 {
            attempt.pool = best.2;
            self.close(job, attempt, board, frame, best.1);
            return;
        }
        attempt.pool.clone_from(&tries.start.1);
        let start = tries.start.0.clone();
        tries.best = Some(best);
        attempt.tries = Some(tries);
        self.begin_filling(job, attempt, (board, frame), start);
    }

    fn close(
        &mut self,
        job: &Job,
        attempt: &mut Attempt,
        board: usize,
        frame: usize,
        cutting: Cutting,
    ) {
        attempt.changed.retain(|(b, _)| *b != board);
        let filled = (!cutting.cutouts.is_empty()).then(|| Filled {
            frame,
            measure: BoardMeasure::of(job, &self.room.grounds[frame], &cutting),
            cutting,
        });
        if let Some(filled) = &filled
            && self.room.shelves[board].pinned.is_none()
        {
            let area = |p: usize| job.parts[p].length() * job.parts[p].width();
            let place = self.room.shelves[board].stock.board;
            let Filled {
                frame,
                cutting,
                measure,
            } = filled;
            self.pool.keep(place, *frame, cutting, *measure, area);
        }
        attempt.changed.push((board, filled));
    }

    /// The next board to open, and its frame: the cheapest, for what it will take, of those that take the hardest piece left.
    pub(super) fn choose_board(&mut self, job: &Job, attempt: &Attempt) -> Option<(usize, usize)> {
        let shelves = self.room.shelves.len();
        let candidates = Chosen::of(shelves, attempt.candidates.iter().copied());
        let waiting = (0..attempt.pool.len()).filter(|p| attempt.pool[*p] > 0);
        let waiting = Chosen::of(attempt.pool.len(), waiting);
        let mut hardest: Option<(f64, usize)> = None;
        for (part, left) in attempt
            .pool
            .iter()
            .enumerate()
            .filter(|(_, left)| **left > 0)
        {
            let count = self.takes.takers(part, &candidates);
            if count == 0 {
                continue;
            }
            let size = job.parts[part].length().max(job.parts[part].width());
            let hardness = self.worths[part].weight * size / count as f64;
            debug_assert!(*left > 0);
            if hardest.is_none_or(|(most, _)| hardness > most) {
                hardest = Some((hardness, part));
            }
        }
        let (_, part) = hardest?;
        let areas: Vec<f64> = (job.parts.iter())
            .map(|part| part.length() * part.width())
            .collect();
        let noise = if attempt.rule.is_some() { 0.0 } else { 0.35 };
        let mut best: Option<(f64, usize)> = None;
        for board in attempt.candidates.clone() {
            let shelf = &self.room.shelves[board];
            if !self.takes.takes(board, part) {
                continue;
            }
            let wanted: f64 = (self.takes.taken(board, &waiting))
                .map(|p| f64::from(attempt.pool[p]) * areas[p])
                .sum();
            let stock = &job.boards[shelf.stock.board];
            let useful = (USUAL_FILL * stock.outline.area()).min(wanted).max(1e-9);
            let preference = match stock.usage {
                Use::First => 1e-6,
                _ if stock.is_spared() => 1e6,
                Use::Freely | Use::IfNeeded | Use::Leave => 1.0,
            };
            let price = (stock.cost + 1e-9) / useful * preference;
            let price = price * (1.0 + noise * self.chance.unit());
            if best.is_none_or(|(least, _)| price < least) {
                best = Some((price, board));
            }
        }
        let (_, board) = best?;
        let frames: Vec<usize> = self.room.shelves[board]
            .frames
            .iter()
            .copied()
            .filter(|f| !self.room.grounds[*f].fits[part].is_empty())
            .collect();
        let first = *frames.first()?;
        let other = noise > 0.0 && frames.len() > 1 && self.chance.percent(20);
        Some((
            board,
            if other {
                frames[self.chance.below(frames.len())]
            } else {
                first
            },
        ))
    }
}
