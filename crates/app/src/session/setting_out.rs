//! Plans offered by searches: checked before they are shown, one undo step in all.

use heartside_cutting::free_already;
use heartside_geometry::SortedSet;
use heartside_timber::choices::Choices;
use heartside_timber::document::{Document, DoneCut, PartCopy};
use heartside_timber::edit::Edit;
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::plan::{Layout, Plan, UnplacedReason};
use heartside_timber::score::Score;
use heartside_timber::words::counted;

use super::picture::total_words;
use super::placed::everything_waits;
use super::set_out::{Passed, SetOut};
use super::{Change, Session};
use crate::protocol::{Offered, Outcome, ProgressPoint, SetOutStart};
use crate::search::Search;
use crate::still_sound::begun_from;

/// Workers by default, everywhere the same: never the number of cores, so that a plan can be repeated.
const WORKERS: u32 = 2;

impl Session {
    /// Begins a set-out.
    pub fn begin_set_out(&mut self) -> SetOutStart {
        self.put_down();
        self.end_set_out();
        let problem = if self.job.boards.is_empty() {
            Some("there is no board to set out on: add one, or mend those that have a problem")
        } else if self.job.parts.is_empty() {
            Some("there is no part to set out: add one, or mend those that have a problem")
        } else if self.job.piece_count() == 0 {
            Some("every part is in hand: nothing is left to set out")
        } else {
            None
        };
        let problem = problem
            .map(str::to_owned)
            .or_else(|| self.wrong_with_what_is_cut());
        if let Some(problem) = problem {
            return SetOutStart {
                problem: Some(problem),
                ..SetOutStart::default()
            };
        }
        self.set_out = Some(SetOut {
            before: self.document.plan.clone().map(Box::new),
            first: true,
        });
        let rest = !self.job.done.is_empty();
        if rest {
            self.compare_with_what_holds();
        }
        let usable = self.job.boards.iter().filter(|b| b.is_usable());
        let boards: usize = usable.map(|b| b.left() as usize).sum();
        SetOutStart {
            ready: true,
            problem: None,
            what: format!(
                "{} and {}",
                counted(boards, "board", "boards"),
                self.parts_words(self.job.piece_count() as usize)
            ),
            rest,
            document: self.to_be_searched(rest).save(),
            revision: self.epoch,
            steps_per_round: Search::steps_per_round(),
            workers: WORKERS,
        }
    }

    /// What is wrong with what was cut, whatever is planned: no plan could be taken before it is mended.
    fn wrong_with_what_is_cut(&self) -> Option<String> {
        if self.job.done.is_empty() {
            return None;
        }
        let bare = Plan {
            unplaced: everything_waits(&self.job),
            ..Plan::default()
        };
        let found = self.checker.check(&bare).into_iter();
        let mut wrong = found.filter(|f| f.severity == Severity::Broken && f.rule == Rule::Done);
        wrong.next().map(|finding| finding.message)
    }

    /// What a search needs: boards, parts, pins and settings, and what was set out before an edit;
    /// other plans would only be copied to every worker. Where a board is cut already, what is planned
    /// goes along in any case: what of it holds stays where it lies, unless moving it is worth it.
    fn to_be_searched(&self, rest: bool) -> Document {
        let mut plan = self.document.plan_before_edits().cloned();
        if rest {
            plan.clone_from(&self.document.plan);
        }
        let done = self.document.done.iter().map(|cut| DoneCut {
            layout: None,
            ..cut.clone()
        });
        Document {
            plan,
            plans: Vec::new(),
            floor: Vec::new(),
            done: done.collect(),
            ..self.document.clone()
        }
    }

    /// While the rest of a job is set out, plans are compared also by how many copies they move.
    fn compare_with_what_holds(&mut self) {
        if self.changed_from.is_none() {
            self.changed_from = Some(self.standing());
        }
        begun_from(&self.document, &mut self.job);
        self.score_again();
    }

    /// From now on plans are compared also by how many of these copies they move.
    pub(super) fn compare_with(&mut self, earlier: Vec<Layout>) {
        self.job.earlier = earlier;
        self.score_again();
    }

    /// The plan on the floor is scored anew after what plans are compared by has changed.
    fn score_again(&mut self) {
        if let (Some(judged), Some(plan)) = (&mut self.judged, &self.document.plan) {
            judged.score = Score::of(&self.job, plan);
        }
    }

    /// Offers a plan of a search. It is shown if it was made for the job as it is, breaks no rule, and is better.
    pub fn offer(&mut self, plan: &str, revision: u32) -> Offered {
        let refused = |why: &str| Offered {
            taken: false,
            problem: Some(why.to_owned()),
            announce: None,
        };
        if self.set_out.is_none() {
            return refused("no set-out is on");
        }
        if revision != self.epoch {
            return refused("the job was changed since this plan was begun");
        }
        let Ok(mut plan) = Plan::read(plan) else {
            return refused("this plan cannot be read");
        };
        let judged = self.judged_of(&plan);
        if !judged.is_sound() {
            let first = judged
                .findings
                .iter()
                .find(|f| f.severity == Severity::Broken);
            let why = first.map(|f| f.message.clone()).unwrap_or_default();
            return refused(&format!(
                "the checker refused this plan and it is not shown: {why}"
            ));
        }
        let here = self.judged.as_ref().filter(|j| j.is_sound());
        // A plan of an older revision gives way to one for the job as it is, unless it is better still.
        let better = here.is_none_or(|h| judged.score.better_than(&h.score, &self.job.order))
            || (self.is_stale()
                && here.is_none_or(|h| !h.score.better_than(&judged.score, &self.job.order)));
        if !better {
            if let Some(known) = self
                .document
                .plan
                .as_ref()
                .and_then(|here| why_it_waits(here, &plan))
            {
                self.document.plan = Some(known);
                self.judge();
            }
            return Offered {
                taken: false,
                problem: None,
                announce: None,
            };
        }
        self.make_job_for(&plan);
        plan.revision = self.document.revision;
        plan.cost = judged.score.cost;
        let first = self
            .set_out
            .as_mut()
            .is_some_and(|s| std::mem::replace(&mut s.first, false));
        if first {
            self.progress.clear();
        }
        self.progress.push(Passed {
            point: ProgressPoint {
                steps: plan.made.steps as f64,
                cost: judged.totals.cost,
                missing: judged.wanted.saturating_sub(judged.placed as u64) as u32,
            },
            score: judged.score.clone(),
            wanted: judged.wanted,
            spent: self.job.spent,
        });
        let announce = format!(
            "{} of {} placed, {}",
            judged.placed,
            self.parts_words(judged.wanted as usize),
            total_words(&self.job, judged.totals.cost)
        );
        self.document.plan = Some(plan);
        self.judged = Some(judged);
        Offered {
            taken: true,
            problem: None,
            announce: Some(announce),
        }
    }

    /// Ends the set-out: whatever it brought is one undo step. Where an edit has ended it already, nothing happens.
    pub fn end_set_out(&mut self) -> Outcome {
        let Some(set_out) = self.set_out.take() else {
            return Outcome::done();
        };
        if !std::mem::take(&mut self.job.earlier).is_empty() {
            self.score_again();
        }
        let found = self.document.plan.take();
        self.document.plan = set_out.before.map(|plan| *plan);
        if found == self.document.plan {
            return Outcome::done().saying("no better plan was found");
        }
        let plan = found.as_ref();
        let free = plan.and_then(|plan| free_already(&self.document, &self.job, plan));
        let frees = free.is_some();
        self.do_edit("set out", free.unwrap_or(Edit::Plan(found.map(Box::new))));
        if frees {
            // What is in hand is a piece of the job.
            self.refresh();
        }
        Outcome::done()
    }

    /// Something was changed that no plan depends on: the set-out goes on behind it.
    pub(super) fn go_on_setting_out(&mut self) {
        self.set_out = Some(SetOut {
            before: self.document.plan.clone().map(Box::new),
            first: false,
        });
    }

    pub(super) fn set_out_changed_something(&self) -> bool {
        self.set_out
            .as_ref()
            .is_some_and(|s| s.before.as_deref() != self.document.plan.as_ref())
    }

    /// Whether the first plan is better than the second in the maker's order.
    pub fn better(&self, first: &str, second: &str) -> bool {
        let score = |plan: &Plan| self.in_its_job(plan, |_, job, _| Score::of(job, plan));
        match (Plan::read(first), Plan::read(second)) {
            (Ok(a), Ok(b)) => score(&a).better_than(&score(&b), &self.job.order),
            (first, _) => first.is_ok(),
        }
    }

    /// Takes the plan off the floor: every part goes to the trestle, pins are let go.
    pub fn clear_plan(&mut self) -> Outcome {
        self.put_down();
        if self.document.plan.is_none() && self.document.pins.is_empty() {
            return Outcome::refused("there is no plan on the floor");
        }
        let mut after = self.document.clone();
        after.pins.clear();
        after.plan = Some(self.empty_plan());
        self.progress.clear();
        self.commit("clearing the boards", after, Change::Hand);
        Outcome::done().saying("All parts wait on the trestle")
    }
}

/// The plan with the reasons that a search found for what still waits; none where it has them already,
/// or where other copies wait in the search's plan.
fn why_it_waits(here: &Plan, found: &Plan) -> Option<Plan> {
    let not_tried = |plan: &Plan| {
        let mut unplaced = plan.unplaced.iter();
        unplaced.any(|u| u.reason == UnplacedReason::NotTried)
    };
    let waits = |plan: &Plan| -> SortedSet<PartCopy> {
        let unplaced = plan.unplaced.iter();
        SortedSet::from_iter(unplaced.flat_map(|u| {
            let part = &u.part;
            u.copies.iter().map(|copy| PartCopy {
                part: part.clone(),
                copy: *copy,
            })
        }))
    };
    let alike = Choices::of(here) == Choices::of(found);
    let is_news = alike && not_tried(here) && !not_tried(found) && waits(here) == waits(found);
    is_news.then(|| Plan {
        unplaced: found.unplaced.clone(),
        ..here.clone()
    })
}
