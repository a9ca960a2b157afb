//! Whether a finished attempt is taken over, and what is learnt from it.

use heartside_timber::job::Job;

use super::{Attempt, Filled, MEMORY, Repair, State, patience, standing};
use crate::objective::Choices;

/// How fast a part that is left out gains weight, how fast it loses it, and the most it can
/// have. Without a limit one part would drive all others out, and it would take as long to
/// fade as it took to grow.
const TROUBLE_GROWS: f64 = 1.2;

const TROUBLE_FADES: f64 = 0.95;

const MOST_TROUBLE: f64 = 30.0;

impl Repair {
    /// Takes a finished attempt over, or not; true if the best improved.
    pub(super) fn judge(&mut self, job: &Job, attempt: Attempt) -> bool {
        let mut boards = self.current.boards.clone();
        for (board, filled) in attempt.changed {
            boards[board] = filled;
        }
        let standing = standing(job, &self.task.wanted, &boards, &attempt.pool);
        self.weigh_trouble(&attempt.pool);
        let place = self.attempts % MEMORY;
        self.attempts += 1;
        let choices = Choices::of(job);
        let starts_anew = choices.buys_boards && self.idle >= patience(job.piece_count());
        let is_first = self.attempts == 1 || starts_anew;
        let accepted = is_first
            || standing.guide(&self.memory[place], &job.order).is_le()
            || standing.guide(&self.current.standing, &job.order).is_le();
        let improved = standing
            .score
            .better_than(&self.best.standing.score, &job.order);
        let state = State {
            boards,
            pool: attempt.pool,
            standing,
        };
        self.idle = if improved || starts_anew {
            0
        } else {
            self.idle + 1
        };
        if improved {
            self.best = state.clone();
        }
        if accepted {
            self.current = state;
        }
        if is_first {
            self.memory = vec![self.current.standing.clone(); MEMORY];
        } else {
            self.memory[place] = self.current.standing.clone();
        }
        if choices.is_strip() {
            self.tighten(job);
        }
        if improved {
            self.layouts = self.layouts_of(job);
        }
        improved
    }

    /// Parts that attempts leave out are laid the sooner in later ones, until they find a place (Joslin & Clements 1999).
    pub(super) fn weigh_trouble(&mut self, left: &[u32]) {
        for ((worth, trouble), left) in self.worths.iter_mut().zip(&mut self.trouble).zip(left) {
            let base = worth.weight / *trouble;
            *trouble = if *left > 0 {
                (*trouble * TROUBLE_GROWS).min(MOST_TROUBLE)
            } else {
                (*trouble * TROUBLE_FADES).max(1.0)
            };
            worth.weight = base * *trouble;
        }
    }

    /// After a strip held everything: shorter. After many failures: less so.
    pub(super) fn tighten(&mut self, job: &Job) {
        let held = self.current.pool.iter().all(|n| *n == 0);
        let best = self.best.standing.score.cost;
        if held && self.current.standing.score.cost > 0.0 {
            self.strip.failures = 0;
        } else {
            self.strip.failures += 1;
            if self.strip.failures < 300 {
                return;
            }
            self.strip.failures = 0;
            self.strip.squeeze *= 0.5;
        }
        if self.best.pool.iter().all(|n| *n == 0) {
            let limit = best * (1.0 - self.strip.squeeze);
            self.strip.limit = Some(limit);
            // Start the shorter strip from nothing: what lies beyond the limit would not be cut off.
            let boards: Vec<Option<Filled>> = vec![None; self.current.boards.len()];
            let pool: Vec<u32> = self
                .task
                .wanted
                .iter()
                .map(|w| u32::try_from(w.len()).unwrap_or(u32::MAX))
                .collect();
            if self.room.shelves.iter().all(|s| s.pinned.is_none()) {
                let standing = standing(job, &self.task.wanted, &boards, &pool);
                self.memory = vec![standing.clone(); MEMORY];
                self.current = State {
                    boards,
                    pool,
                    standing,
                };
            }
        }
    }
}
