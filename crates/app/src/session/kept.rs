//! Plans kept under a name, shown again, compared.

use std::cmp::Ordering;

use heartside_cutting::board_words;
use heartside_timber::document::KeptPlan;
use heartside_timber::length::write_percent;
use heartside_timber::plan::Plan;

use super::judged::Judged;
use super::picture::total_words;
use super::{Change, Session};
use crate::protocol::{ComparedRow, Comparison, KeptRow, Outcome};

const NO_PLAN: &str = "there is no plan of this name any more";

impl Session {
    /// Keeps the plan on the floor under a name; one of the same name gives way.
    pub fn keep_plan(&mut self, name: &str) -> Outcome {
        let Some(plan) = self.document.plan.clone() else {
            return Outcome::refused("there is no plan on the floor");
        };
        let name = match name.trim() {
            "" => (1usize..)
                .map(|n| format!("Plan {n}"))
                .find(|n| !self.document.plans.iter().any(|k| k.name == *n))
                .unwrap_or_default(),
            given => given.to_owned(),
        };
        let mut after = self.document.clone();
        match after.plans.iter_mut().find(|k| k.name == name) {
            Some(kept) => (kept.plan, kept.pins) = (Some(plan), Some(after.pins.clone())),
            None => after.plans.push(KeptPlan {
                name: name.clone(),
                plan: Some(plan),
                pins: Some(after.pins.clone()),
                ..KeptPlan::default()
            }),
        }
        self.commit(&format!("keeping {name}"), after, Change::Aside);
        Outcome::done().saying(format!("Kept as {name}"))
    }

    /// Puts a kept plan on the floor.
    pub fn show_plan(&mut self, name: &str) -> Outcome {
        self.put_down();
        let Some(plan) = self.kept(name).cloned() else {
            return Outcome::refused(NO_PLAN);
        };
        if let Some(gone) = self.no_longer_there(&plan) {
            return Outcome::refused(format!(
                "{name} is of another state of the work: {gone} is no longer there as it was. Set out the rest, or take the cuts back since then"
            ));
        }
        let mut after = self.document.clone();
        after.plan = Some(plan);
        let kept = after.plans.iter().find(|k| k.name == name);
        // A piece pinned elsewhere than it lies would only make the plan a wrong one.
        if let Some(pins) = kept.and_then(|k| k.pins.clone()) {
            after.pins = pins;
        }
        self.progress.clear();
        self.commit(&format!("showing {name}"), after, Change::Aside);
        let verdict = self
            .judged
            .as_ref()
            .map(Judged::verdict_text)
            .unwrap_or_default();
        Outcome::done().saying(format!("{name} lies on the floor. {verdict}."))
    }

    /// Forgets a kept plan.
    pub fn forget_plan(&mut self, name: &str) -> Outcome {
        let mut after = self.document.clone();
        after.plans.retain(|k| k.name != name);
        if after.plans.len() == self.document.plans.len() {
            return Outcome::refused(NO_PLAN);
        }
        self.commit(&format!("forgetting {name}"), after, Change::Aside);
        Outcome::done()
    }

    fn kept(&self, name: &str) -> Option<&Plan> {
        self.document
            .plans
            .iter()
            .find(|k| k.name == name)?
            .plan
            .as_ref()
    }

    /// The first board of a plan that was cut since, or that is a piece of a cut that was taken back.
    fn no_longer_there(&self, plan: &Plan) -> Option<String> {
        let mut boards = plan.layouts.iter().map(|l| &l.board);
        let gone = boards.find(|copy| {
            let board = self.job.board(&copy.board);
            let is_written = self.document.boards.iter().any(|b| b.id == copy.board);
            board.map_or(!is_written, |b| b.gone.contains(&copy.copy))
        })?;
        Some(board_words(&self.job, gone))
    }

    /// Kept plans as rows. They are judged again only when the job or the list has changed: while a
    /// search shows one plan after another, that would take longer than the plan itself.
    pub(super) fn kept_rows(&mut self) -> Vec<KeptRow> {
        let known = self.kept_known.take();
        let known = known.filter(|(then, _)| *then == self.work.prepared);
        let mut rows = match known {
            Some((_, rows)) => rows,
            None => {
                let rows = self.judged_rows();
                self.work.judged += rows.len() as u32;
                rows
            }
        };
        let plans = self.document.plans.iter();
        let plans = plans.filter_map(|kept| kept.plan.as_ref());
        for (row, plan) in rows.iter_mut().zip(plans) {
            row.shown = self.document.plan.as_ref() == Some(plan);
        }
        self.kept_known = Some((self.work.prepared, rows.clone()));
        rows
    }

    fn judged_rows(&self) -> Vec<KeptRow> {
        self.document
            .plans
            .iter()
            .filter_map(|kept| {
                let plan = kept.plan.as_ref()?;
                let judged = self.judged_of(plan);
                Some(KeptRow {
                    name: kept.name.clone(),
                    text: format!(
                        "{} of {} placed, {}",
                        judged.placed,
                        self.parts_words(judged.wanted as usize),
                        match self.no_longer_there(plan) {
                            Some(gone) =>
                                format!("from before {gone} was cut or put together again"),
                            None => total_words(&self.job, judged.totals.cost),
                        }
                    ),
                    shown: false,
                    verdict: judged.verdict(),
                })
            })
            .collect()
    }

    /// Two plans side by side; an empty name is the plan on the floor.
    pub fn compare(&self, first: &str, second: &str) -> Comparison {
        let plan = |name: &str| {
            if name.is_empty() {
                self.document.plan.as_ref()
            } else {
                self.kept(name)
            }
        };
        let heading = |name: &str| {
            if name.is_empty() {
                "On the floor".to_owned()
            } else {
                name.to_owned()
            }
        };
        let (Some(a), Some(b)) = (plan(first), plan(second)) else {
            return Comparison {
                sentence: NO_PLAN.to_owned(),
                ..Comparison::default()
            };
        };
        // The boards of a plan from before a cut are spent: with them its cost would count them twice.
        let money = |plan: &Plan, cost: f64| match self.no_longer_there(plan) {
            Some(_) => "from before a cut".to_owned(),
            None => total_words(&self.job, cost),
        };
        let plans = [a, b];
        let are_of_now = plans
            .iter()
            .all(|plan| self.no_longer_there(plan).is_none());
        let (a, b) = (self.judged_of(a), self.judged_of(b));
        let mut rows = Vec::new();
        let mut add = |label: &str, one: String, other: String, smaller: Ordering| {
            let better = match smaller {
                Ordering::Less => -1,
                Ordering::Equal => 0,
                Ordering::Greater => 1,
            };
            rows.push(ComparedRow {
                label: label.to_owned(),
                first: one,
                second: other,
                better,
            });
        };
        let (t, u) = (&a.totals, &b.totals);
        add(
            "Checked",
            a.verdict_text(),
            b.verdict_text(),
            b.is_sound().cmp(&a.is_sound()),
        );
        add(
            "Placed",
            a.placed.to_string(),
            b.placed.to_string(),
            b.placed.cmp(&a.placed),
        );
        add(
            "Timber used",
            money(plans[0], t.cost),
            money(plans[1], u.cost),
            match are_of_now {
                true => t.cost.total_cmp(&u.cost),
                false => Ordering::Equal,
            },
        );
        add(
            "Boards cut",
            t.boards.to_string(),
            u.boards.to_string(),
            t.boards.cmp(&u.boards),
        );
        add(
            "Wood in parts",
            write_percent(t.wood_in_parts),
            write_percent(u.wood_in_parts),
            u.wood_in_parts.total_cmp(&t.wood_in_parts),
        );
        add(
            "Cuts",
            t.cuts.to_string(),
            u.cuts.to_string(),
            t.cuts.cmp(&u.cuts),
        );
        add(
            "Set-ups",
            t.set_ups.to_string(),
            u.set_ups.to_string(),
            t.set_ups.cmp(&u.set_ups),
        );
        let (one, other) = (heading(first), heading(second));
        let verdict = b
            .is_sound()
            .cmp(&a.is_sound())
            .then(a.score.compare(&b.score, &self.job.order));
        let sentence = match verdict {
            Ordering::Less => format!("{one} is the better one by what matters most to you"),
            Ordering::Greater => format!("{other} is the better one by what matters most to you"),
            Ordering::Equal => "neither is better by what matters most to you".to_owned(),
        };
        Comparison {
            first: one,
            second: other,
            rows,
            sentence,
        }
    }
}
