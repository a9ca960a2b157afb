//! A job and its easier twin, both searched, and what must then hold between them.

#![allow(dead_code, reason = "no program needs all of it")]
// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

pub(crate) mod alone;

use heartside_app::still_sound::still_sound;
use heartside_check::check;
use heartside_nest::{Search, Settings};
use heartside_testkit::{Twins, twins};
use heartside_timber::document::Document;
use heartside_timber::finding::is_sound;
use heartside_timber::job::Job;
use heartside_timber::plan::{Plan, UnplacedReason};
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;

use alone::alone;

/// Steps of the search that finds where a piece is pinned.
const STEPS_TO_PIN: u64 = 300;

/// By what part more an easier job may cost.
pub(crate) const COSTS_MORE: f64 = 0.02;

/// The shares of the boards' area that blanks have, in per cent.
pub(crate) const SHARES: [f64; 2] = [60.0, 75.0];

/// What came of one pair.
#[derive(Debug, Clone)]
pub(crate) struct Pair {
    pub(crate) seed: u32,
    pub(crate) share: f64,
    pub(crate) twins: Twins,
    pub(crate) harder: Outcome,
    pub(crate) easier: Outcome,
    /// The easier twin, begun from the harder one's plan; none where that does not hold there.
    pub(crate) begun: Option<Begun>,
    /// Pieces that wait in the easier twin though they lie soundly alone on a board that is not used.
    pub(crate) could_lie: Vec<Waiting>,
}

/// How a search ended.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    pub(crate) missing: usize,
    pub(crate) cost: f64,
    pub(crate) plan: Plan,
    pub(crate) job: Job,
}

/// A search begun from a plan that was sound already.
#[derive(Debug, Clone)]
pub(crate) struct Begun {
    pub(crate) missing: usize,
    pub(crate) cost: f64,
    pub(crate) is_worse: bool,
}

/// A part that waits, though a board that is not used would take it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Waiting {
    pub(crate) part: String,
    pub(crate) board: String,
    pub(crate) reason: UnplacedReason,
}

/// The share of a seed's blanks: every way of easing meets both.
pub(crate) fn share_of(seed: u32) -> f64 {
    SHARES[(seed / 8) as usize % SHARES.len()]
}

/// The twins of a seed, at the share that falls to it.
pub(crate) fn twins_of(seed: u32) -> Twins {
    twins(seed, share_of(seed), |document| {
        searched(&prepare(document).job, STEPS_TO_PIN, None).0
    })
}

/// Searches both twins, and the easier one once more from the harder one's plan.
pub(crate) fn run(seed: u32, steps: u64) -> Pair {
    let twins = twins_of(seed);
    let outcome = |document: &Document| {
        let job = prepare(document).job;
        assert_eq!(job.boards.len(), document.boards.len(), "seed {seed}");
        let (plan, score) = searched(&job, steps, None);
        let found = check(&job, &plan);
        assert!(is_sound(&found), "seed {seed}: {found:#?}");
        Outcome {
            missing: score.missing.iter().sum::<f64>() as usize,
            cost: score.cost,
            plan,
            job,
        }
    };
    let harder = outcome(&twins.harder);
    let easier = outcome(&twins.easier);
    let begun = begun(&easier.job, &harder.plan, steps);
    let could_lie = could_lie(&easier.job, &easier.plan);
    Pair {
        seed,
        share: share_of(seed),
        twins,
        harder,
        easier,
        begun,
        could_lie,
    }
}

fn searched(job: &Job, steps: u64, from: Option<&Plan>) -> (Plan, Score) {
    let mut search = Search::new(job, Settings::default()).unwrap();
    if let Some(plan) = from {
        search.go_on_from(plan.layouts.clone());
    }
    search.step(steps);
    (search.best().clone(), search.score().clone())
}

/// What comes of going on from a plan of the harder twin.
fn begun(job: &Job, harder: &Plan, steps: u64) -> Option<Begun> {
    let kept = Plan {
        layouts: still_sound(job, harder),
        ..Plan::default()
    };
    let before = Score::of(job, &kept);
    (kept.placed_count() > 0).then(|| {
        let (_, score) = searched(job, steps, Some(&kept));
        Begun {
            missing: score.missing.iter().sum::<f64>() as usize,
            cost: score.cost,
            is_worse: before.better_than(&score, &job.order),
        }
    })
}

/// What waits in a plan though it lies soundly alone on a board that the plan does not use.
pub(crate) fn could_lie(job: &Job, plan: &Plan) -> Vec<Waiting> {
    let unused: Vec<usize> = (0..job.boards.len())
        .filter(|b| {
            let board = &job.boards[*b];
            let used = plan.layouts.iter().filter(|l| l.board.board == board.id);
            (used.count() as u64) < u64::from(board.count)
        })
        .collect();
    let mut found = Vec::new();
    for unplaced in &plan.unplaced {
        let Some(part) = job.part_index(&unplaced.part) else {
            continue;
        };
        let taken_by = unused.iter().find(|b| alone(job, part, **b).is_some());
        if let Some(board) = taken_by {
            found.push(Waiting {
                part: unplaced.part.clone(),
                board: job.boards[*board].id.clone(),
                reason: unplaced.reason,
            });
        }
    }
    found
}

impl Pair {
    /// How many more pieces the easier twin leaves out.
    pub(crate) fn leaves_more(&self) -> usize {
        self.easier.missing.saturating_sub(self.harder.missing)
    }

    /// By what part more the easier twin costs, where it leaves out as many.
    pub(crate) fn costs_more(&self) -> Option<f64> {
        let same = self.easier.missing == self.harder.missing && self.harder.cost > 0.0;
        same.then(|| self.easier.cost / self.harder.cost - 1.0)
    }

    /// Whether anything about it must be looked at.
    pub(crate) fn is_exception(&self) -> bool {
        self.leaves_more() > 0
            || self.costs_more().is_some_and(|more| more > COSTS_MORE)
            || self.begun.as_ref().is_some_and(|begun| begun.is_worse)
            || !self.could_lie.is_empty()
    }

    /// The pair in a line or two.
    pub(crate) fn told(&self) -> String {
        let mut told = format!(
            "seed {} at {} %, {:?} ({}): missing {} and {}, cost {:.2} and {:.2}",
            self.seed,
            self.share,
            self.twins.easing,
            self.twins.told,
            self.harder.missing,
            self.easier.missing,
            self.harder.cost,
            self.easier.cost,
        );
        if let Some(begun) = &self.begun {
            let worse = if begun.is_worse { ", WORSE" } else { "" };
            told += &format!(
                "; begun from the harder one's plan {} and {:.2}{worse}",
                begun.missing, begun.cost
            );
        }
        for waiting in &self.could_lie {
            told += &format!(
                "; {} waits ({:?}) though board {} is empty and takes it",
                waiting.part, waiting.reason, waiting.board
            );
        }
        told
    }
}

/// Counts over many pairs.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    pub(crate) pairs: usize,
    pub(crate) leave_more: usize,
    pub(crate) leave_two_more: usize,
    pub(crate) compared: usize,
    pub(crate) cost_more: usize,
    pub(crate) begun: usize,
    pub(crate) begun_worse: usize,
    pub(crate) with_empty_boards: usize,
}

impl Tally {
    /// Counts one pair by its figures: pieces left out more, part of the cost more, how it fared when
    /// begun from the harder plan, and whether a waiting piece could lie on an empty board.
    pub(crate) fn count(
        &mut self,
        leaves_more: usize,
        costs_more: Option<f64>,
        begun_is_worse: Option<bool>,
        empty_board: bool,
    ) {
        self.pairs += 1;
        self.leave_more += usize::from(leaves_more > 0);
        self.leave_two_more += usize::from(leaves_more > 1);
        self.compared += usize::from(costs_more.is_some());
        self.cost_more += usize::from(costs_more.is_some_and(|more| more > COSTS_MORE));
        self.begun += usize::from(begun_is_worse.is_some());
        self.begun_worse += usize::from(begun_is_worse == Some(true));
        self.with_empty_boards += usize::from(empty_board);
    }

    pub(crate) fn add(&mut self, pair: &Pair) {
        self.count(
            pair.leaves_more(),
            pair.costs_more(),
            pair.begun.as_ref().map(|begun| begun.is_worse),
            !pair.could_lie.is_empty(),
        );
    }

    /// One row of the table.
    pub(crate) fn told(&self) -> String {
        let of = |n: usize, all: usize| {
            let share = 100.0 * n as f64 / all.max(1) as f64;
            format!("{n} of {all} ({share:.1} %)")
        };
        format!(
            "leaves out more {}; two or more {}; costs over 2 % more {}; begun from the harder plan and worse {}; waits beside an empty board {}",
            of(self.leave_more, self.pairs),
            self.leave_two_more,
            of(self.cost_more, self.compared),
            of(self.begun_worse, self.begun),
            of(self.with_empty_boards, self.pairs),
        )
    }
}
