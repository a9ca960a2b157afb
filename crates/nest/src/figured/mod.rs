//! The plan of the best figure, chosen beside the search and never in its way.
//!
//! The engines know no figure: they go the same way with a judge and without. Every plan that they come to is looked at
//! here, and so are plans as good or a little dearer that they pass by; blanks that are alike change places for
//! the faces that they make ([`rearranging`]). What is handed out is the best of all by [`Score::compare`]. So at equal steps it is
//! never worse than the plan of a search without a judge, and dearer at most by what its figure is worth more.
//!
//! The work is spread over the steps: each makes a few looks at a face and no more.

mod rearranging;

use heartside_timber::document::Aim;
use heartside_timber::job::{FigureJudge, Job};
use heartside_timber::plan::{Bound, CutNode, Layout, Plan};
use heartside_timber::score::Score;

use crate::straight::handier::with_handier_cuts;
use rearranging::Rearranging;

/// Looks at a face in one step.
const LOOKS: usize = 2;

/// A plan and the job for whose choices it was made.
pub(crate) struct Found {
    pub(crate) job: Job,
    pub(crate) plan: Plan,
    pub(crate) score: Score,
    /// What no plan with these choices can go under.
    pub(crate) bound: Bound,
}

/// The best plan so far with its figure judged.
pub(crate) struct Figured {
    judge: FigureJudge,
    order: Vec<Aim>,
    best: Found,
    /// A plan whose blanks are changing places.
    under_way: Option<(Rearranging, Found)>,
    /// What is looked at next.
    waiting: Option<Found>,
    /// What the search passed by last: nothing is looked at twice in a row.
    passed: Vec<Layout>,
}

impl Figured {
    /// Begins with a plan of a job that has no judge itself.
    pub(crate) fn new(judge: FigureJudge, first: Found) -> Figured {
        let mut figured = Figured {
            order: first.job.order.clone(),
            best: first,
            judge,
            under_way: None,
            waiting: None,
            passed: Vec::new(),
        };
        figured.best.score = figured.judged(&figured.best);
        figured
    }

    /// The best so far.
    pub(crate) fn best(&self) -> &Found {
        &self.best
    }

    /// A better plan of the search itself; true if it is better with its figure too.
    pub(crate) fn consider(&mut self, found: Found) -> bool {
        let score = self.judged(&found);
        let found = Found { score, ..found };
        // It is what the search goes on from, so its blanks change places at once.
        self.under_way = None;
        self.waiting = Some(found.clone());
        self.take(found)
    }

    /// A plan from elsewhere, its blanks in their places; true if it is better.
    pub(crate) fn adopt(&mut self, found: Found) -> bool {
        if !self.could_be_better(&found.score) {
            return false;
        }
        let score = self.judged(&found);
        self.take(Found { score, ..found })
    }

    /// A plan that the search passes by: of use only where a better figure could make up for what it lacks.
    pub(crate) fn pass_by(&mut self, found: Found) {
        if self.passed == found.plan.layouts || !self.could_be_better(&found.score) {
            return;
        }
        self.passed.clone_from(&found.plan.layouts);
        self.waiting = Some(found);
    }

    /// True where nothing is left to be looked at.
    pub(crate) fn is_idle(&self) -> bool {
        self.under_way.is_none() && self.waiting.is_none()
    }

    /// True where a plan with such a score would be better if its figure were the best that can be wished for.
    pub(crate) fn could_be_better(&self, score: &Score) -> bool {
        let figure = 0.0;
        let hoped = Score {
            figure,
            ..score.clone()
        };
        hoped.better_than(&self.best.score, &self.order)
    }

    /// Goes on a little; true if a better plan was found.
    pub(crate) fn step(&mut self) -> bool {
        if self.under_way.is_none()
            && let Some(found) = self.waiting.take()
        {
            let rearranging = Rearranging::new(&found.job, &found.plan, &self.judge);
            self.under_way = Some((rearranging, found));
            return false;
        }
        let Some((rearranging, found)) = &mut self.under_way else {
            return false;
        };
        for _ in 0..LOOKS {
            if rearranging.step(&found.job, &self.judge) {
                continue;
            }
            let Some((rearranging, found)) = self.under_way.take() else {
                return false;
            };
            let plan = rearranging.plan;
            let mut changed = Found { plan, ..found };
            changed.score = self.judged(&changed);
            if changed.score.better_than(&self.best.score, &self.order) {
                make_handier(&mut changed);
                changed.score = self.judged(&changed);
            }
            return self.take(changed);
        }
        false
    }

    fn judged(&self, found: &Found) -> Score {
        let figure = self.judge.0.loss(&found.job, &found.plan);
        let plain = Score::of(&found.job, &found.plan);
        Score { figure, ..plain }
    }

    fn take(&mut self, found: Found) -> bool {
        let is_better = found.score.better_than(&self.best.score, &self.order);
        if is_better {
            self.best = found;
        }
        is_better
    }
}

/// The same with handier cuts: what a search passes by was not looked at for that. Blanks that hang together keep
/// their cuts, and so do pins that lie askew.
fn make_handier(found: &mut Found) {
    if !found.job.matches.iter().all(|m| m.kind.leaves_cuts_free()) {
        return;
    }
    for layout in &mut found.plan.layouts {
        let is_askew = |node: &CutNode| matches!(node, CutNode::Cut { angle: Some(_), .. });
        let mut trees = layout.cuts.iter();
        if !trees.any(|tree| tree.nodes.iter().any(is_askew)) {
            *layout = with_handier_cuts(&found.job, layout);
        }
    }
}

impl Clone for Found {
    fn clone(&self) -> Found {
        Found {
            job: self.job.clone(),
            plan: self.plan.clone(),
            score: self.score.clone(),
            bound: self.bound.clone(),
        }
    }
}
