//! The plan in words and figures.

use heartside_nest::{Floor, greater_bound};
use heartside_timber::document::PartCopy;
use heartside_timber::length::write_percent;
use heartside_timber::plan::{Bound, Plan, UnplacedReason};
use heartside_timber::staves::stave_named;
use heartside_timber::words::{capital, counted, listed};

use super::Session;
use super::judged::Judged;
use super::picture::{
    Waiting, least_board_words, reason_words, spent_words, timber_words, total_words, waiting,
    write_rough,
};
use crate::figure::figure_words;
use crate::protocol::{CopyOf, FloorWork, Line, PlanSummary, UnplacedRow};
use crate::sizes::sizes_that_gave;

/// Boards times kinds of parts for which every part is tried on the empty boards before a bound is
/// told. With more the page would stand still for seconds.
const MOST_ASKED: usize = 20_000;

impl Session {
    /// The plan on the floor in words and figures.
    pub(super) fn plan_summary(&mut self) -> Option<PlanSummary> {
        let bound = self.bound_now()?;
        let plan = self.document.plan.as_ref()?;
        let judged = self.judged.as_ref()?;
        let wanted = judged.wanted as usize;
        let in_hand: usize = self.job.parts.iter().map(|p| p.in_hand.len()).sum();
        let others = match in_hand {
            0 => "",
            _ => "other ",
        };
        let parts = |n| self.parts_words(n).replacen(' ', &format!(" {others}"), 1);
        let sentence = match (judged.placed, wanted) {
            (_, 0) if in_hand > 0 => "Nothing is left to saw".to_owned(),
            (_, 0) => "There are no parts to place".to_owned(),
            (placed, wanted) if placed >= wanted => format!("All {} placed", parts(wanted)),
            (placed, wanted) => format!("{placed} of {} placed", parts(wanted)),
        };
        let sentence = match in_hand {
            0 => sentence,
            n => format!(
                "{}; {sentence}",
                counted(n, "part in hand", "parts in hand")
            ),
        };
        Some(PlanSummary {
            sentence,
            verdict: judged.verdict(),
            verdict_text: judged.verdict_text(),
            stale: self.is_stale().then(|| {
                let now = if judged.is_sound() { "it still keeps every rule" } else { "it does not fit any more" };
                format!("Made before your last change; checked again just now, {now}. Set out again for a new plan.")
            }),
            cost: total_words(&self.job, judged.totals.cost),
            spent: spent_words(&self.job, judged.totals.cost),
            bound: Some(self.floor_words(&bound)),
            bound_because: Some(bound.because.clone()),
            figures: self.figures(judged, plan, &bound),
            sizes: sizes_that_gave(&self.document, &self.job, plan),
            unplaced: self.unplaced_rows(plan),
            made: (plan.made.steps > 0).then(|| {
                format!(
                    "starting number {}, {} steps, {}",
                    plan.made.seed,
                    thousands(plan.made.steps),
                    counted(plan.made.workers as usize, "worker", "workers")
                )
            }),
            progress: self.progress(judged, &bound),
            placed_count: judged.placed as u32,
            wanted_count: wanted as u32,
        })
    }

    /// "12 parts", with staves among them "12 parts and staves".
    pub(super) fn parts_words(&self, count: usize) -> String {
        match self.job.panels.is_empty() {
            true => counted(count, "part", "parts"),
            false => counted(count, "part or stave", "parts and staves"),
        }
    }

    /// "no plan can be under 113.90"; of which sizes and staves it speaks, its class says.
    pub(super) fn floor_words(&self, bound: &Bound) -> String {
        let cost = total_words(&self.job, bound.value);
        format!("{} can be under {cost}", bound.no_plan())
    }

    /// What no plan of the job can go under. None where there is no plan to hold against it.
    fn bound_now(&mut self) -> Option<Bound> {
        self.document.plan.as_ref()?;
        if self.bound.is_none() {
            let is_large = self.job.boards.len() * self.job.parts.len() > MOST_ASKED;
            self.bound = Some(if is_large {
                heartside_nest::quick_bound_of(&self.job)
            } else {
                heartside_nest::bound_of(&self.job)
            });
        }
        let plan = self.document.plan.as_ref()?;
        let bound = self.bound.clone()?;
        Some(greater_bound(&self.job, plan, bound, self.floor.as_ref()))
    }

    /// Works a little on the floor under the cost of the plan that lies there, some milliseconds at most.
    pub fn raise_floor(&mut self) -> FloorWork {
        let whole = |j: &Judged| j.is_complete() && j.is_sound();
        let plan = self.document.plan.as_ref();
        let Some(plan) = plan.filter(|_| self.judged.as_ref().is_some_and(whole)) else {
            return FloorWork::default();
        };
        if self.floor.is_none() {
            self.floor = Floor::of(&self.job, plan);
        }
        let Some(floor) = &mut self.floor else {
            return FloorWork::default();
        };
        FloorWork {
            rose: floor.step(&self.job),
            goes_on: !floor.is_finished(),
        }
    }

    fn figures(&self, judged: &Judged, plan: &Plan, bound: &Bound) -> Vec<Line> {
        let mut lines = vec![Line {
            label: "Timber used".to_owned(),
            value: timber_words(&self.job, judged.totals.cost),
        }];
        let mut add = |label: &str, value: String| {
            lines.push(Line {
                label: label.to_owned(),
                value,
            })
        };
        // The bound is for plans with everything in place; against less it would promise too much.
        if judged.is_complete() && judged.is_sound() && judged.totals.cost > 0.0 {
            let proved = plan.bound.as_ref().and_then(|b| b.proved_for.clone());
            let all = self.job.spent + judged.totals.cost;
            let saved = ((judged.totals.cost - bound.value) / all).max(0.0);
            let class = bound.class.as_ref();
            let of_class = || class.map(|class| format!("of plans {class}"));
            match proved.or_else(of_class).filter(|_| saved < 1e-9) {
                Some(class) => add("Proved best", class),
                None => {
                    let class = class.map_or(String::new(), |class| format!(", {class}"));
                    add(
                        "Could still be saved, at most",
                        write_percent(saved) + &class,
                    );
                }
            }
        }
        if let Some(figure) = figure_words(&self.job, plan, &judged.score) {
            add("Figure", figure);
        }
        add("Wood in parts", write_percent(judged.totals.wood_in_parts));
        add("Boards cut", judged.totals.boards.to_string());
        add(
            "Cuts, set-ups",
            format!("{}, {}", judged.totals.cuts, judged.totals.set_ups),
        );
        if let Some(largest) = self.largest_offcut(plan) {
            add("Largest offcut", largest);
        }
        lines
    }

    /// "690 x 231", by the box of the largest kept offcut.
    fn largest_offcut(&self, plan: &Plan) -> Option<String> {
        use heartside_timber::plan::CutNode;
        use heartside_timber::workpieces::Workpieces;
        let mut best: Option<(f64, f64, f64)> = None;
        for layout in &plan.layouts {
            let (Some(tree), Some(board)) = (&layout.cuts, self.job.board(&layout.board.board))
            else {
                continue;
            };
            for piece in Workpieces::of(tree, layout.frame, &board.outline).iter() {
                if !matches!(tree.nodes.get(piece.node), Some(CutNode::Offcut)) {
                    continue;
                }
                let (along, across) = (piece.bounds.width(), piece.bounds.height());
                if best.is_none_or(|(area, ..)| along * across > area) {
                    best = Some((along * across, along, across));
                }
            }
        }
        // A tape tells no tenths.
        let show = |mm: f64| write_rough(mm, &self.job.units);
        best.map(|(_, along, across)| format!("{} \u{d7} {}", show(along), show(across)))
    }

    pub(super) fn unplaced_rows(&self, plan: &Plan) -> Vec<UnplacedRow> {
        let rows = waiting(&self.job, plan);
        rows.into_iter()
            .map(|row| {
                let parts = row.of.iter().flat_map(|unplaced| {
                    unplaced.copies.iter().map(|copy| CopyOf {
                        id: unplaced.part.clone(),
                        copy: *copy,
                    })
                });
                let least = least_board_words(&self.job, row.least());
                let first = row.of[0];
                UnplacedRow {
                    parts: parts.collect(),
                    name: self.waiting_name(&row),
                    reason: match first.reason {
                        UnplacedReason::NotTried => "Waiting on the trestle".to_owned(),
                        _ => capital(&reason_words(&self.job, first)),
                    },
                    least_board: (!least.is_empty())
                        .then(|| format!("The least board that would take one: {least}")),
                }
            })
            .collect()
    }

    /// "Leg 2 and Leg 4", of many "6 of Leg".
    fn waiting_name(&self, row: &Waiting<'_>) -> String {
        let first = row.of[0];
        let is_stave = stave_named(&first.part).is_some();
        match first.copies.len() {
            _ if is_stave => row.name.clone(),
            many if many > 4 => format!("{many} of {}", row.name),
            _ => {
                let copies = first.copies.iter();
                let names = copies.map(|copy| {
                    self.copy_words(&PartCopy {
                        part: first.part.clone(),
                        copy: *copy,
                    })
                });
                listed(&names.collect::<Vec<_>>())
            }
        }
    }
}

/// "4,000".
pub(super) fn thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}
