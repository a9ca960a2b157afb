//! What if one size were another: a plan for values over its range, found a few steps at a time so that
//! it can be watched and stopped, each checked and there to be taken.

use heartside_nest::{Search, Settings};
use heartside_timber::choices::Choices;
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;
use heartside_timber::words::counted;

use super::judged::Judged;
use super::picture::total_words;
use super::size_asked::{Asked, Found, Point, Running, values};
use super::{Change, Session};
use crate::protocol::{Outcome, WhatIf, WhatIfPoint};
use crate::sizes::against;
use crate::still_sound::still_sound;
use crate::words::GONE;

/// Steps of the search of one value, for each piece and beside them.
const STEPS: (u64, u64) = (25, 300);
/// Steps made before one may stop again.
const AT_A_TIME: u64 = 40;

impl Session {
    /// Begins to look at what one size would cost over its range.
    pub fn what_if(&mut self, row: u32) -> WhatIf {
        self.put_down();
        self.end_set_out();
        self.asked = None;
        let typed = self.document.dimensions.get(row as usize);
        let name = typed.map_or("", |d| d.name.trim());
        let mut known = self.job.dimensions.iter();
        let Some(dimension) = known.find(|d| d.value.name == name && d.gives()) else {
            return WhatIf {
                sentence: "Write in what it is at least and at most, to see what that is worth"
                    .to_owned(),
                done: true,
                ..WhatIf::default()
            };
        };
        let points: Vec<Point> = values(dimension)
            .into_iter()
            .map(|value| Point { value, found: None })
            .collect();
        // From the ends and the middle inwards, so that the shape is seen early.
        let mut order: Vec<usize> = Vec::with_capacity(points.len());
        for apart in [6, 3, 2, 1] {
            let more = (0..points.len()).step_by(apart);
            let more: Vec<usize> = more.filter(|k| !order.contains(k)).collect();
            order.extend(more);
        }
        order.reverse();
        self.asked = Some(Asked {
            name: name.to_owned(),
            epoch: self.epoch,
            points,
            waiting: order,
            running: None,
        });
        self.what_if_seen()
    }

    /// Goes on a little with what was asked.
    pub fn what_if_more(&mut self) -> WhatIf {
        let Some(mut asked) = self.asked.take().filter(|a| a.epoch == self.epoch) else {
            return WhatIf {
                done: true,
                ..WhatIf::default()
            };
        };
        if asked.running.is_none()
            && let Some(point) = asked.waiting.pop()
        {
            asked.running = self.search_at(&asked, point);
        }
        if let Some(running) = &mut asked.running {
            let steps = AT_A_TIME.min(running.left);
            let status = running.search.step(steps);
            running.left -= steps;
            if running.left == 0 || status.finished {
                let plan = running.search.best().clone();
                let point = running.point;
                asked.points[point].found = Some(self.found(&asked, point, plan));
                asked.running = None;
            }
        }
        self.asked = Some(asked);
        self.what_if_seen()
    }

    fn chosen_at(&self, name: &str, value: f64) -> Choices {
        let mut choices = self.chosen();
        for dimension in choices.dimensions.iter_mut().filter(|d| d.name == name) {
            dimension.value = value;
        }
        choices
    }

    fn search_at(&self, asked: &Asked, point: usize) -> Option<Running> {
        let choices = self.chosen_at(&asked.name, asked.points[point].value);
        let job = prepare_with(&self.document, &choices).job;
        let mut search = Search::new(&job, Settings::default()).ok()?;
        if let Some(plan) = &self.document.plan {
            search.go_on_from(still_sound(&job, plan));
        }
        Some(Running {
            point,
            search,
            left: STEPS.0 * job.piece_count() + STEPS.1,
        })
    }

    fn found(&self, asked: &Asked, point: usize, plan: Plan) -> Found {
        let judged: Judged = self.judged_of(&plan);
        let value = asked.points[point].value;
        let mut dimensions = self.job.dimensions.iter();
        let dimension = dimensions.find(|d| d.value.name == asked.name);
        let here = self.document.plan.as_ref().zip(dimension);
        let here = here.filter(|(_, d)| d.value.value != value);
        let why = here.and_then(|(here, d)| against(&self.document, here, &d.value.name, value));
        Found {
            cost: judged.totals.cost,
            missing: judged.wanted.saturating_sub(judged.placed as u64),
            is_sound: judged.is_sound(),
            why: why.map(|reason| reason.text),
            plan,
        }
    }

    fn what_if_seen(&self) -> WhatIf {
        let Some(asked) = &self.asked else {
            return WhatIf::default();
        };
        let mut dimensions = self.job.dimensions.iter();
        let dimension = dimensions.find(|d| d.value.name == asked.name);
        let point = |(index, point): (usize, &Point)| {
            let found = point.found.as_ref().filter(|f| f.is_sound);
            let value = write_length(point.value, &self.job.units);
            let text = found.map(|f| match f.missing {
                0 => total_words(&self.job, f.cost),
                n => format!("{} without a place", self.parts_words(n as usize)),
            });
            WhatIfPoint {
                index: index as u32,
                value: point.value,
                value_text: value,
                cost: found.filter(|f| f.missing == 0).map(|f| f.cost),
                text: text.unwrap_or_default(),
                why: found.and_then(|f| f.why.clone()).unwrap_or_default(),
                is_here: dimension.is_some_and(|d| (d.value.value - point.value).abs() < 1e-6),
                is_preferred: dimension.is_some_and(|d| (d.preferred - point.value).abs() < 1e-6),
                may_be_taken: found.is_some(),
            }
        };
        let known = asked.points.iter().filter(|p| p.found.is_some()).count();
        WhatIf {
            sentence: format!(
                "{}: {} of {} looked at",
                asked.name,
                known,
                counted(asked.points.len(), "value", "values")
            ),
            points: asked.points.iter().enumerate().map(point).collect(),
            done: asked.waiting.is_empty() && asked.running.is_none(),
        }
    }

    /// Puts the plan of one of the values on the floor: one undo step.
    pub fn what_if_take(&mut self, index: u32) -> Outcome {
        let asked = self.asked.as_ref().filter(|a| a.epoch == self.epoch);
        let point = asked.and_then(|a| a.points.get(index as usize));
        let found = point.and_then(|p| Some((p.value, p.found.as_ref()?)));
        let Some((value, found)) = found.filter(|(_, found)| found.is_sound) else {
            return Outcome::refused(GONE);
        };
        let name = asked.map_or_else(String::new, |a| a.name.clone());
        let mut after = self.document.clone();
        after.plan = Some(Plan {
            // No numbers repeat it, and its bound was for this one value.
            made: Default::default(),
            bound: None,
            ..found.plan.clone()
        });
        self.progress.clear();
        let value = write_length(value, &self.job.units);
        self.commit(&format!("taking {name} {value}"), after, Change::Hand);
        let verdict = self.judged.as_ref().map(Judged::verdict_text);
        Outcome::done().saying(format!(
            "{name} is {value} now. {}.",
            verdict.unwrap_or_default()
        ))
    }
}
