//! What a search over what gives tries next: the choices, the boards, and for how long.

use heartside_timber::blank::Blank;
use heartside_timber::choices::Choices;
use heartside_timber::document::{Aim, BoardCopy};
use heartside_timber::job::{Job, Part};
use heartside_timber::plan::{DimensionValue, Plan};
use heartside_timber::score::Score;

use super::laying::Proposal;
use super::sizes::{self, Sizes};
use super::staves::{self, Staves};
use super::timber::{self, Timber};
use crate::chance::Chance;

/// While sizes can still come nearer this share of the trials is for timber, at least and at most; between them
/// twice the chance that there is something to be saved.
const FOR_TIMBER: (f64, f64) = (0.15, 0.85);

/// A plan that there is takes so many times what the first search had for itself until it is found, as trials go: on
/// cheaper boards, and with sizes nearer to those preferred.
const USUAL: (f64, f64) = (8.0, 2.0);

/// After so many rounds trials grow no longer.
const MOST_ROUNDS: u32 = 12;

/// Most trials of staves in a round.
const STAVE_TRIALS: u32 = 12;

/// The choices that a job was made for.
pub fn choices_of(job: &Job) -> Choices {
    Choices {
        dimensions: job.dimensions.iter().map(|d| d.value.clone()).collect(),
        panels: job.panel_choices(),
    }
}

/// What a trial is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Less timber, or less left out: the smallest parts on other boards.
    Timber,
    /// Sizes nearer to those preferred.
    Nearer,
    /// Other staves.
    Staves,
}

/// What was tried, and what that says of what is left.
pub(super) struct Proposals {
    round: u32,
    sizes: Option<Sizes>,
    timber: Timber,
    /// The area of all blanks at their smallest, in square mm.
    need: f64,
    /// What is tried now.
    pub(super) trying: Kind,
    pub(super) turn: u64,
    /// Trials for timber that are due.
    timber_due: f64,
    staves: Staves,
    chance: Chance,
    /// Trials of staves made in this round.
    stave_trials: u32,
}

/// What a trial is made with.
pub(super) struct Next {
    pub(super) choices: Choices,
    /// The boards that it is to do with; all where there are none.
    pub(super) boards: Option<Vec<BoardCopy>>,
    /// Staves that it begins with.
    pub(super) staves: Option<Proposal>,
    /// Its steps.
    pub(super) left: u64,
}

/// What is held when something is tried.
pub(super) struct Here<'a> {
    pub(super) job: &'a Job,
    pub(super) plan: &'a Plan,
    pub(super) score: &'a Score,
    /// Steps made so far.
    pub(super) steps: u64,
    /// Steps that the first search had for itself.
    pub(super) alone: u64,
}

impl Here<'_> {
    fn is_whole(&self) -> bool {
        self.score.missing.iter().all(|missing| *missing <= 0.0)
    }

    /// Boards in use are enough where timber goes first; where the rest is planned nothing is taken away.
    fn is_by_boards(&self) -> bool {
        let place = |aim| self.job.order.iter().position(|a| *a == aim);
        let timber_first = place(Aim::Timber) < place(Aim::Sizes);
        self.is_whole() && self.job.earlier.is_empty() && timber_first
    }
}

impl Proposals {
    pub(super) fn new(chance: Chance) -> Proposals {
        Proposals {
            round: 0,
            sizes: None,
            timber: Timber::default(),
            need: 0.0,
            trying: Kind::Nearer,
            turn: 0,
            timber_due: 0.0,
            staves: Staves::default(),
            chance,
            stave_trials: 0,
        }
    }

    /// What is tried next: for timber, for sizes and of staves in turn; none where there is nothing.
    pub(super) fn next(
        &mut self,
        here: &Here<'_>,
        remake: &dyn Fn(&Choices) -> Job,
    ) -> Option<Next> {
        if self.sizes.is_none() {
            self.begin_sizes(here.job, remake);
        }
        let has_staves = here.job.panels.iter().any(staves::gives);
        let has_sizes = here.job.dimensions.iter().any(|d| d.gives());
        self.turn += 1;
        let is_sizes = has_sizes && !(has_staves && self.turn.is_multiple_of(2));
        let next = match is_sizes {
            true => self.next_sizes(here),
            false if has_staves => self.next_staves(here),
            false => None,
        }?;
        let is_new = next.boards.is_some() || next.choices != choices_of(here.job);
        is_new.then_some(next)
    }

    /// Sizes nearer to those preferred, or the smallest parts on other boards where that is due.
    fn next_sizes(&mut self, here: &Here<'_>) -> Option<Next> {
        self.trying = Kind::Nearer;
        let sizes = self.sizes.as_mut()?;
        let alone = here.alone as f64;
        let nearer = sizes.nearer(here.job, alone * USUAL.1);
        let usual = alone * USUAL.0;
        let by_boards = here.is_by_boards();
        let chance = match (by_boards, here.is_whole()) {
            (true, _) => self.timber.next(here.job, here.plan, self.need, usual),
            (false, false) => Some(self.timber.all(usual)),
            (false, true) => Some(0.0),
        };
        let share = |chance: f64| (2.0 * chance).clamp(FOR_TIMBER.0, FOR_TIMBER.1);
        self.timber_due += chance.map_or(0.0, share);
        let is_due = self.timber_due >= 1.0 || nearer.is_none();
        if is_due {
            self.timber_due = (self.timber_due - 1.0).max(0.0);
        }
        let (dimensions, boards) = match is_due && chance.is_some() {
            true => {
                self.trying = Kind::Timber;
                (
                    sizes.smallest(here.job),
                    by_boards.then(|| self.timber.trying().to_vec()),
                )
            }
            false => (nearer?, by_boards.then(|| timber::used(here.plan))),
        };
        Some(Next {
            choices: with(here.job, dimensions),
            boards,
            staves: None,
            left: (here.alone / 2).max(1),
        })
    }

    /// The next staves that come to something; longer trials once a round of them is through.
    fn next_staves(&mut self, here: &Here<'_>) -> Option<Next> {
        self.trying = Kind::Staves;
        for _ in 0..STAVE_TRIALS {
            self.stave_trials += 1;
            if self.stave_trials > STAVE_TRIALS {
                self.stave_trials = 1;
                self.round = (self.round + 1).min(MOST_ROUNDS);
            }
            if let Some(staves) = self.staves.next(here.job, here.plan, &mut self.chance) {
                let panels = staves.panels.clone();
                return Some(Next {
                    choices: Choices {
                        panels,
                        ..choices_of(here.job)
                    },
                    boards: None,
                    staves: Some(staves),
                    // No trial is longer than all that was made before it.
                    left: (here.alone << self.round).min(here.steps),
                });
            }
        }
        None
    }

    /// Takes down that what is tried came to nothing in so many steps.
    pub(super) fn came_to_nothing(&mut self, steps: u64) {
        match self.trying {
            Kind::Timber => self.timber.failed(steps),
            Kind::Nearer => self.sizes.iter_mut().for_each(|s| s.failed(steps)),
            Kind::Staves => {}
        }
    }

    /// Another plan is held: what all boards come to is open again.
    pub(super) fn reopen(&mut self) {
        self.timber.reopen();
    }

    /// Looks which way each size makes its parts smaller, and how small all can be.
    fn begin_sizes(&mut self, job: &Job, remake: &dyn Fn(&Choices) -> Job) {
        let mut sizes = Sizes::new(smaller(job, remake));
        let smallest = remake(&with(job, sizes.smallest(job)));
        let blank = |part: &Part| Blank::of(part).bounds().area() * f64::from(part.wanted_count());
        self.need = smallest.parts.iter().map(blank).sum();
        self.sizes = Some(sizes);
    }
}

/// The choices of a job with other values of its dimensions.
fn with(job: &Job, dimensions: Vec<DimensionValue>) -> Choices {
    Choices {
        dimensions,
        ..choices_of(job)
    }
}

/// Which way the parts become smaller for each dimension that gives: up (1) or down (-1).
fn smaller(job: &Job, remake: &dyn Fn(&Choices) -> Job) -> Vec<f64> {
    let area_with = |at: usize, value: f64| -> f64 {
        let mut choices = choices_of(job);
        choices.dimensions[at].value = value;
        let area = |part: &Part| part.outline.area() * f64::from(part.wanted_count());
        remake(&choices).parts.iter().map(area).sum()
    };
    let gives = (0..job.dimensions.len()).filter(|k| job.dimensions[*k].gives());
    gives
        .map(|at| {
            let (low, high) = sizes::both_ends(&job.dimensions[at]);
            match area_with(at, high) < area_with(at, low) {
                true => 1.0,
                false => -1.0,
            }
        })
        .collect()
}
