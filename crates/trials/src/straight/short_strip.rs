//! The shortest strip that takes all pieces: lengths tried one after the other, each decided by blocks.
//!
//! With the pieces' area as their worth, a strip of a given length takes them all just where
//! the greatest value is the area of all (`joined`). A length for which that is refuted
//! raises the floor, one for which it is found is the new best; where the limit on blocks
//! ends a trial before either, longer ones are tried, halfway to the best.

use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::Layout;

use heartside_nest::bound_of;
use heartside_nest::kit::clear::{Clear, Joined, Table};
use heartside_nest::kit::{Engine, Task};

use super::strip::{by_area, length_of};

/// Sums looked at in a step.
const STEP: usize = 100_000;
/// Most blocks of a trial, the first time round and the last.
const FIRST_BLOCKS: usize = 60_000;
const LAST_BLOCKS: usize = 1_000_000;

/// A trial of one length.
enum Trial {
    Table(Table),
    Blocks(Box<Joined>),
}

/// The trials as an engine.
pub(crate) struct Shorter {
    clear: Clear,
    /// The area of all pieces.
    all: f64,
    /// No shorter strip takes all pieces.
    floor: i64,
    /// The longest length that was given up undecided since the limit on blocks was last raised, or one below the floor.
    undecided: i64,
    /// A strip that takes all pieces is known, or none is needed.
    best: i64,
    most_blocks: usize,
    trial: Option<Trial>,
    is_over: bool,
    layouts: Vec<Layout>,
}

impl Shorter {
    /// For a strip without flaws.
    pub(crate) fn new(job: &Job, task: Task) -> Option<Shorter> {
        if job.goal != Goal::StripLength {
            return None;
        }
        let clear = by_area(job, task)?;
        let areas = clear.values.iter().zip(&clear.copies);
        let all = areas.map(|(area, n)| area * f64::from(*n)).sum();
        let floor = ((bound_of(job).value + clear.kerf) / clear.measure - 1e-6).ceil() as i64;
        let whole = clear.length;
        Some(Shorter {
            all,
            floor,
            undecided: floor - 1,
            best: whole,
            most_blocks: FIRST_BLOCKS,
            trial: None,
            is_over: false,
            layouts: Vec::new(),
            clear,
        })
    }

    /// The length tried takes too little; true if that makes the best known one the shortest.
    fn refute(&mut self) -> bool {
        self.floor = self.clear.length + 1;
        self.undecided = self.undecided.max(self.clear.length);
        self.floor >= self.best
    }

    /// The next length, or the end.
    fn begin(&mut self) {
        if self.floor >= self.best {
            self.is_over = true;
            return;
        }
        if self.undecided + 1 >= self.best {
            self.most_blocks *= 4;
            self.undecided = self.floor - 1;
            if self.most_blocks > LAST_BLOCKS {
                self.is_over = true;
                return;
            }
        }
        let next = if self.undecided < self.floor {
            self.floor
        } else {
            self.undecided + (self.best - self.undecided) / 2
        };
        self.clear.length = next;
        let Some(mut table) = self.clear.full_table() else {
            self.is_over = true;
            return;
        };
        let values = &self.clear.values;
        table.begin(&self.clear, |part| values[part]);
        self.trial = Some(Trial::Table(table));
    }
}

impl Engine for Shorter {
    fn step(&mut self, job: &Job) -> bool {
        match self.trial.take() {
            None => self.begin(),
            Some(Trial::Table(mut table)) => {
                let mut work = 0;
                while work < STEP && !table.is_done() {
                    work += table.fill_column(&self.clear);
                }
                if !table.is_done() {
                    self.trial = Some(Trial::Table(table));
                    return false;
                }
                if table.whole() < self.all {
                    return self.refute();
                }
                let free = vec![0.0; self.clear.values.len()];
                let ceiling = f64::INFINITY;
                match Joined::new(&self.clear, free, table, ceiling, self.most_blocks) {
                    Some(joined) => self.trial = Some(Trial::Blocks(Box::new(joined))),
                    None => self.is_over = true,
                }
            }
            Some(Trial::Blocks(mut joined)) => {
                // Only all of them will do.
                if let Some(root) = joined.step(&self.clear, self.all - 0.5) {
                    self.best = self.best.min(joined.length_of(root));
                    self.layouts = joined.cut_out(&self.clear, job, root);
                    return true;
                }
                if !joined.is_over() {
                    self.trial = Some(Trial::Blocks(joined));
                } else if joined.gave_up() {
                    self.undecided = self.clear.length;
                } else {
                    return self.refute();
                }
            }
        }
        false
    }

    fn turn_steps(&self) -> u64 {
        50
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        self.is_over
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        if let Some(length) = length_of(&self.clear, job, layouts) {
            self.best = self.best.min(length);
        }
        false
    }

    fn limit(&self) -> Option<f64> {
        Some(self.floor as f64 * self.clear.measure - self.clear.kerf)
    }
}
