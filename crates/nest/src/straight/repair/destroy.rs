//! What the next attempt takes up again, and which boards it may open.

use heartside_geometry::Arrange;
use heartside_timber::job::Job;

use super::{Attempt, FIRST_RULES, Filled, Repair, patience};
use crate::cuts::cutting::Cutting;
use crate::objective::Choices;
use crate::straight::pattern_pool::{Combination, PatternPool};
use crate::straight::priority_rule::PriorityRule;

/// Attempts between two times that fillings are combined anew: by then there are new ones, and
/// combining takes as long as some dozen attempts.
const COMBINE_EVERY: usize = 400;

/// Once attempts are thorough all are where something is left out, and every so manieth where nothing is: what they
/// find then is room for a large part, and seldom a cheaper plan (`notes/straight.md` has the figures).
const THOROUGH_EVERY: usize = 3;

impl Repair {
    /// What the next attempt destroys.
    pub(super) fn next_attempt(&mut self, job: &Job) -> Attempt {
        let used: Vec<usize> = (0..self.current.boards.len())
            .filter(|b| self.current.boards[*b].is_some())
            .collect();
        let empty: Vec<usize> = (0..self.current.boards.len())
            .filter(|b| self.current.boards[*b].is_none() && !self.room.shelves[*b].is_stuck)
            .collect();
        let choices = Choices::of(job);
        if choices.buys_boards && self.attempts % COMBINE_EVERY == COMBINE_EVERY - 1 {
            return self.recombined(job);
        }
        // A strip or a knapsack is one board: parts of it are repaired by turns with all of it.
        let anew = if choices.buys_boards {
            self.idle >= patience(job.piece_count())
        } else {
            self.attempts.is_multiple_of(choices.anew_every)
        };
        if anew || self.first_rule().is_some() {
            return self.anew(job, &empty, &used);
        }
        let mut attempt = Attempt::new(self.current.pool.clone());
        // A job is searched quickly first: thorough attempts are dear, and pay where nothing else does.
        let is_missing = self.current.pool.iter().any(|n| *n > 0);
        let is_due = is_missing || self.attempts.is_multiple_of(THOROUGH_EVERY);
        attempt.is_thorough =
            is_due && choices.buys_boards && self.idle as u64 >= job.piece_count();
        let mut left = used;
        let releases = if attempt.is_thorough {
            [2, 2, 3, 3, 4, 5]
        } else {
            [1, 1, 2, 2, 2, 3]
        };
        let releases = releases[self.chance.below(releases.len())];
        for _ in 0..releases {
            if left.is_empty() {
                break;
            }
            let board = left.remove(self.pick(&left));
            self.release(job, board, &mut attempt);
        }
        self.offer_empty(&empty, &mut attempt);
        attempt
    }

    /// By what an attempt without chance is made, while there are such.
    fn first_rule(&self) -> Option<PriorityRule> {
        let rule = FIRST_RULES.get(self.attempts).copied();
        rule.filter(|_| !self.hurries)
    }

    /// Everything from the start.
    pub(super) fn anew(&mut self, job: &Job, empty: &[usize], used: &[usize]) -> Attempt {
        let mut attempt = Attempt {
            candidates: empty.to_vec(),
            rule: self.first_rule(),
            ..Attempt::new(self.current.pool.clone())
        };
        for board in used {
            self.empty_board(job, *board, &mut attempt);
        }
        attempt.candidates.arrange();
        attempt
    }

    /// One of the boards, badly filled ones rather than well filled ones.
    pub(super) fn pick(&mut self, boards: &[usize]) -> usize {
        let one = self.chance.below(boards.len());
        let other = self.chance.below(boards.len());
        let fill = |place: usize| {
            self.current.boards[boards[place]]
                .as_ref()
                .map_or(0.0, |f| {
                    f.cutting.cutouts.iter().map(|c| c.rect.area()).sum::<f64>()
                        / self.room.grounds[f.frame].bounds.area().max(1e-9)
                })
        };
        if self.chance.percent(60) && fill(other) < fill(one) {
            other
        } else {
            one
        }
    }

    /// Gives back what lies on a board, or on one workpiece of it.
    pub(super) fn release(&mut self, job: &Job, board: usize, attempt: &mut Attempt) {
        let whole = Choices::of(job).buys_boards && self.chance.percent(60);
        let Some(filled) = self.current.boards[board].clone().filter(|_| !whole) else {
            self.empty_board(job, board, attempt);
            return;
        };
        let nodes: Vec<usize> = filled
            .cutting
            .cut_nodes()
            .into_iter()
            .filter(|n| *n > 0)
            .collect();
        let mut cutting = filled.cutting;
        if nodes.is_empty() {
            self.empty_board(job, board, attempt);
            return;
        }
        let node = nodes[self.chance.below(nodes.len())];
        let mut trial = cutting.clone();
        let released = trial.undo(node);
        if released.iter().any(|c| c.copy.is_some()) {
            self.empty_board(job, board, attempt);
            return;
        }
        for cutout in &released {
            attempt.pool[cutout.part] += 1;
        }
        cutting = trial;
        cutting.reopen();
        self.keep_limit(job, filled.frame, &mut cutting);
        attempt.reopened.push((board, filled.frame, cutting));
    }

    /// The remainder of a strip beyond its limit stays closed.
    pub(super) fn keep_limit(&self, job: &Job, frame: usize, cutting: &mut Cutting) {
        if let (true, Some(limit)) = (Choices::of(job).is_strip(), self.strip.limit) {
            let edge = self.room.grounds[frame].usable.min.x + limit;
            let works = &cutting.works;
            cutting
                .open
                .retain(|o| works[*o].is_some_and(|w| w.rect.max.x <= edge + 1e-9));
        }
    }

    pub(super) fn empty_board(&mut self, job: &Job, board: usize, attempt: &mut Attempt) {
        if let Some(filled) = &self.current.boards[board] {
            for cutout in filled.cutting.cutouts.iter().filter(|c| c.copy.is_none()) {
                attempt.pool[cutout.part] += 1;
            }
        }
        if self.room.shelves[board].pinned.is_some() {
            let frame = self.room.shelves[board].frames[0];
            attempt.reopened.push((
                board,
                frame,
                self.room.start(job, board, frame, self.strip.limit),
            ));
        } else {
            attempt.changed.push((board, None));
            attempt.candidates.push(board);
        }
    }

    /// A few unused boards to choose from besides; all of them while something is missing.
    pub(super) fn offer_empty(&mut self, empty: &[usize], attempt: &mut Attempt) {
        if self.current.pool.iter().any(|n| *n > 0) || empty.len() <= 3 {
            attempt.candidates.extend(empty);
        } else {
            for _ in 0..2 {
                let board = empty[self.chance.below(empty.len())];
                if !attempt.candidates.contains(&board) {
                    attempt.candidates.push(board);
                }
            }
        }
        attempt.candidates.arrange();
    }

    /// A whole plan put together from fillings met so far, shelf by shelf.
    fn recombined(&self, job: &Job) -> Attempt {
        let open = self.open_shelves();
        let mut attempt = Attempt::new(self.current.pool.clone());
        for filled in open.iter().filter_map(|s| self.current.boards[*s].as_ref()) {
            let cutouts = filled.cutting.cutouts.iter();
            cutouts.for_each(|c| attempt.pool[c.part] += 1);
        }
        let boards = open.iter().map(|s| self.room.shelves[*s].stock.board);
        let area = |p: usize| job.parts[p].length() * job.parts[p].width();
        let combination = PatternPool::begin(boards.collect(), &attempt.pool, area);
        attempt.combination = Some(combination);
        attempt
    }

    /// Takes the fillings that were chosen over into the attempt.
    pub(super) fn take_combined(&self, attempt: &mut Attempt, combination: &Combination) {
        let chosen = self.pool.chosen(combination);
        for (shelf, filling) in self.open_shelves().into_iter().zip(chosen) {
            let filled = filling.map(|f| Filled {
                frame: f.frame,
                cutting: f.cutting.clone(),
                measure: f.measure,
            });
            if let Some(filled) = &filled {
                let cutouts = &filled.cutting.cutouts;
                cutouts.iter().for_each(|c| attempt.pool[c.part] -= 1);
            }
            attempt.changed.push((shelf, filled));
        }
    }

    /// Boards that can be filled in any way.
    fn open_shelves(&self) -> Vec<usize> {
        let shelves = self.room.shelves.iter().enumerate();
        let open = shelves.filter(|(_, s)| s.pinned.is_none() && !s.is_stuck);
        open.map(|(place, _)| place).collect()
    }
}
