//! What if one size were another: a plan for values over its range, each checked and there to be taken.
//!
//! A worker holds it: a value is a whole search, far too long for the page's thread, and a worker is stopped by
//! ending it.

use heartside_check::check;
use heartside_cutting::cost_words;
use heartside_geometry::Arrange;
use heartside_nest::{Search, Settings, laid_in};
use heartside_timber::choices::Choices;
use heartside_timber::document::Document;
use heartside_timber::finding::is_sound;
use heartside_timber::job::{Dimension, Job};
use heartside_timber::length::{Unit, write_dimension, write_length};
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::prepare::{prepare, prepare_with};
use heartside_timber::score::{Score, pieces_placed};
use heartside_timber::words::counted;

use crate::protocol::{WhatIf, WhatIfPoint, WhatIfRange};
use crate::sizes::{AS_THEY_LIE, Hindrance, against};
use crate::still_sound::still_sound;
use crate::words::better_in;

/// Steps of the search of one value, for each piece and beside them.
const STEPS: (u64, u64) = (25, 300);
/// So many values are looked at, the ends of the range among them.
const POINTS: u32 = 13;

/// What was asked of a size, and what is known so far.
#[derive(Debug)]
pub struct SizeAsked {
    document: Document,
    /// Made for the plan on the floor.
    here: Job,
    /// Pieces of parts that have a problem: they have no place in any plan.
    left_out: u64,
    /// None where there is no such size that gives.
    size: Option<Dimension>,
    points: Vec<Point>,
    /// Points still to be looked at, the next one last.
    waiting: Vec<usize>,
    /// What is sound of the plan on the floor.
    lying: Vec<Layout>,
    /// That plan, where it keeps every rule.
    held: Option<Held>,
}

#[derive(Debug)]
struct Point {
    value: f64,
    /// What the wood has against it as the parts lie now.
    why: Option<Hindrance>,
    found: Option<Found>,
}

/// Nothing where the plan that was found breaks a rule.
type Found = Option<Held>;

#[derive(Debug)]
struct Held {
    plan: Plan,
    score: Score,
    missing: u64,
}

impl SizeAsked {
    /// Asks of the size in a row of a job file's dimensions. Never fails: where there is nothing to look at
    /// [`seen`](SizeAsked::seen) says so.
    ///
    /// What is in the way of each value as the plan lies is known from the start: that is one look at the plan a
    /// value and no search.
    pub fn new(document: &str, row: u32) -> SizeAsked {
        let opened = Document::open(document).map(|opened| opened.document);
        let document = opened.unwrap_or_default();
        let prepared = prepare(&document);
        let left_out = prepared.unplaced_parts();
        let left_out = left_out.iter().map(|u| u.copies.len() as u64).sum();
        let typed = document.dimensions.get(row as usize);
        let name = typed.map_or("", |d| d.name.trim());
        let mut known = prepared.job.dimensions.iter();
        let size = known.find(|d| d.value.name == name && d.gives()).cloned();
        let mut asked = SizeAsked {
            here: prepared.job,
            left_out,
            size,
            points: Vec::new(),
            waiting: Vec::new(),
            lying: Vec::new(),
            held: None,
            document,
        };
        let Some(size) = &asked.size else {
            return asked;
        };
        let plan = asked.document.plan.clone();
        let why = |value: f64| {
            let plan = plan.as_ref().filter(|_| value != size.value.value)?;
            against(
                &asked.document,
                (&asked.here, plan),
                &size.value.name,
                value,
            )
        };
        let points = values(size, asked.here.units.unit)
            .into_iter()
            .map(|value| Point {
                value,
                why: why(value),
                found: None,
            });
        asked.points = points.collect();
        asked.waiting = inwards(asked.points.len());
        let here = &asked.here;
        asked.lying = plan
            .as_ref()
            .map_or_else(Vec::new, |plan| still_sound(here, plan));
        if !asked.here.done.is_empty() {
            asked.here.earlier.clone_from(&asked.lying);
        }
        asked.held = plan.and_then(|plan| asked.judged(&asked.here, plan));
        asked
    }

    /// Looks at the next value and tells its place; none where all were looked at.
    pub fn look(&mut self) -> Option<u32> {
        let point = self.waiting.pop()?;
        self.points[point].found = Some(self.found_at(self.points[point].value));
        Some(point as u32)
    }

    /// The plan that was found for a value, as JSON.
    pub fn plan(&self, index: u32) -> Option<String> {
        let point = self.points.get(index as usize)?;
        let found = point.found.as_ref()?.as_ref()?;
        serde_json::to_string(&found.plan).ok()
    }

    /// What is known so far.
    pub fn seen(&self) -> WhatIf {
        let Some(size) = &self.size else {
            return WhatIf {
                sentence: "Write in what it is at least and at most, to see what that is worth"
                    .to_owned(),
                done: true,
                ..WhatIf::default()
            };
        };
        let known = self.points.iter().filter(|p| p.found.is_some()).count();
        let better = self.better();
        WhatIf {
            sentence: format!(
                "{}: {known} of {} looked at",
                size.value.name,
                counted(self.points.len(), "value", "values")
            ),
            better: better.map(|(index, _)| index as u32),
            better_text: better.map_or_else(String::new, |(index, found)| {
                self.better_words(self.points[index].value, found)
            }),
            ranges: self.ranges(size),
            done: self.waiting.is_empty(),
        }
    }

    fn found_at(&self, value: f64) -> Found {
        let name = self.size.as_ref().map_or("", |s| s.value.name.as_str());
        let dimensions = self.here.dimensions.iter();
        let mut choices = Choices {
            dimensions: dimensions.map(|d| d.value.clone()).collect(),
            panels: self.here.panel_choices(),
        };
        for dimension in choices.dimensions.iter_mut().filter(|d| d.name == name) {
            dimension.value = value;
        }
        let mut job = prepare_with(&self.document, &choices).job;
        let plan = self.document.plan.as_ref();
        let holds = plan.map_or_else(Vec::new, |plan| still_sound(&job, plan));
        if !job.done.is_empty() {
            job.earlier.clone_from(&holds);
        }
        // Parts of other sizes in the same order of cuts; where a board cannot be laid so, what holds of it.
        let mut begun = laid_in(&self.here, &job, &self.lying);
        let is_new = |l: &Layout| begun.iter().all(|known| known.board != l.board);
        let rest: Vec<Layout> = holds.into_iter().filter(is_new).collect();
        begun.extend(rest);
        let mut search = Search::new(&job, Settings::default()).ok()?;
        search.go_on_from(begun);
        search.step(STEPS.0 * job.piece_count() + STEPS.1);
        self.judged(&job, search.best().clone())
    }

    fn judged(&self, job: &Job, plan: Plan) -> Found {
        is_sound(&check(job, &plan)).then(|| Held {
            score: Score::of(job, &plan),
            missing: (job.piece_count() + self.left_out).saturating_sub(pieces_placed(job, &plan)),
            plan,
        })
    }

    /// The best plan found that is better than the one on the floor, in the maker's order.
    fn better(&self) -> Option<(usize, &Held)> {
        let order = &self.here.order;
        let points = self.points.iter().enumerate();
        let found = points.filter_map(|(k, p)| Some((k, p.found.as_ref()?.as_ref()?)));
        let held = self.held.as_ref()?;
        found
            .filter(|(_, found)| found.score.better_than(&held.score, order))
            .min_by(|a, b| a.1.score.compare(&b.1.score, order))
    }

    /// "1210 mm comes out better than the plan on the floor: 169.00, not 175.00".
    fn better_words(&self, value: f64, found: &Held) -> String {
        let value = write_length(value, &self.here.units);
        let said = format!("{value} comes out better than the plan on the floor");
        let Some(held) = &self.held else { return said };
        let cost = |held: &Held| cost_words(&self.here, self.here.spent + held.score.cost);
        if found.missing < held.missing {
            let more = (held.missing - found.missing) as usize;
            return format!(
                "{said}: {} placed",
                counted(more, "more part", "more parts")
            );
        }
        let (now, was) = (cost(found), cost(held));
        match better_in(&self.here.order, &held.score, &found.score) {
            _ if found.score.cost < held.score.cost && now != was => {
                format!("{said}: {now}, not {was}")
            }
            Some(what) => format!("{said}: {what}, for {now}"),
            None => said,
        }
    }

    /// The values, neighbours with one thing in the way together.
    fn ranges(&self, size: &Dimension) -> Vec<WhatIfRange> {
        let is_like = |a: &Point, b: &Point| match (&a.why, &b.why) {
            (Some(a), Some(b)) => a.is_like(b),
            (a, b) => a.is_none() && b.is_none(),
        };
        let mut index = 0;
        let chunks = self.points.chunk_by(is_like);
        chunks
            .map(|points| {
                let first = index;
                index += points.len();
                let shown = points.iter().enumerate();
                WhatIfRange {
                    why: self.why_words(size, points),
                    points: shown.map(|(k, p)| self.shown(size, first + k, p)).collect(),
                }
            })
            .collect()
    }

    /// "As the parts lie now, 1215 to 1245 mm would need up to 45 mm more for Top than board E gives".
    fn why_words(&self, size: &Dimension, points: &[Point]) -> String {
        let units = &self.here.units;
        let show = |mm: f64| write_length(mm, units);
        match points {
            [one] => one.why.as_ref().map_or_else(String::new, |why| {
                format!("{AS_THEY_LIE}, {} {}", show(one.value), why.words())
            }),
            [first, .., last] => {
                let here = size.value.value;
                let away = |p: &Point| (p.value - here).abs();
                let worst = if away(first) > away(last) {
                    first
                } else {
                    last
                };
                worst.why.as_ref().map_or_else(String::new, |why| {
                    let (first, last) = (write_dimension(first.value, units), show(last.value));
                    format!("{AS_THEY_LIE}, {first} to {last} {}", why.words_at_worst())
                })
            }
            [] => String::new(),
        }
    }

    fn shown(&self, size: &Dimension, index: usize, point: &Point) -> WhatIfPoint {
        let found = point.found.as_ref().and_then(Option::as_ref);
        let cost = found.filter(|f| f.missing == 0).map(|f| f.score.cost);
        let text = found.map(|f| match f.missing {
            0 => cost_words(&self.here, self.here.spent + f.score.cost),
            n => format!("{} without a place", counted(n as usize, "part", "parts")),
        });
        WhatIfPoint {
            index: index as u32,
            value: point.value,
            value_text: write_length(point.value, &self.here.units),
            cost,
            text: match &point.found {
                Some(None) => "no plan found".to_owned(),
                _ => text.unwrap_or_default(),
            },
            is_here: (size.value.value - point.value).abs() < 1e-6,
            is_preferred: (size.preferred - point.value).abs() < 1e-6,
            may_be_taken: found.is_some(),
        }
    }
}

/// Values over the range of a size, on its steps: the ends, the one preferred and the one it has among them.
fn values(dimension: &Dimension, unit: Unit) -> Vec<f64> {
    let (least, most) = (dimension.least, dimension.most);
    let apart = (most - least) / f64::from(POINTS - 1);
    // As a tape shows it, where that tells them apart.
    let fine = match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 16.0,
    };
    let (from, step) = match dimension.step {
        step if step > 0.0 => (dimension.preferred, step),
        _ if apart >= fine => (0.0, fine),
        _ => (0.0, 0.1 * fine),
    };
    let even = (0..POINTS).map(|k| least + apart * f64::from(k));
    let even = even.map(|value| from + ((value - from) / step).round() * step);
    let mut values: Vec<f64> = even
        .chain([least, most, dimension.preferred, dimension.value.value])
        .filter(|value| dimension.may_be(*value))
        .collect();
    values.arrange_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    values
}

/// Places from the ends and the middle inwards, the first of them last, so that the shape is seen early.
fn inwards(count: usize) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(count);
    for apart in [6, 3, 2, 1] {
        let more = (0..count).step_by(apart);
        let more: Vec<usize> = more.filter(|k| !order.contains(k)).collect();
        order.extend(more);
    }
    order.reverse();
    order
}
