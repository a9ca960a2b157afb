//! Everything that the search by line asks about boards and parts again and again.

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::job::{Board, Job};

use super::board_shells::BoardShells;
use super::choices::{Choices, turns};
use super::no_fit::NoFit;
use super::pairs::NoFits;
use super::shape::{Detail, Form, Forms, PartShape, without_repeats};
use super::span::WayOut;
use crate::fit;

/// Everything about the job that the search asks again and again.
#[derive(Debug)]
pub struct Yard {
    /// The boards, in the job's order.
    pub(crate) boards: Vec<BoardShells>,
    /// The parts, in the job's order.
    pub(crate) shapes: Vec<PartShape>,
    /// Forms made so far.
    pub(crate) forms: Forms,
    /// No-fit polygons of forms.
    pub(super) no_fits: NoFits,
    /// Rounding allowed for.
    pub(crate) margin: Margin,
    /// For each board, then each part: how it may lie there, once asked.
    choices: Vec<Vec<Option<Arc<Choices>>>>,
}

/// Distances for rounding, in millimetres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Margin {
    /// Added to every distance that is kept.
    pub(crate) extra: f64,
    /// So much less is still good: what placing on the grid may cost, or what the checker forgives.
    pub(crate) slack: f64,
}

impl Yard {
    /// Makes boards and parts ready. `used` says which boards will be asked about.
    pub fn new(job: &Job, used: &[bool]) -> Yard {
        Yard::seen(job, used, Detail::Fine)
    }

    /// The same with all outlines as they are: for the few questions that must be answered exactly.
    pub(crate) fn exact(job: &Job, used: &[bool]) -> Yard {
        Yard::seen(job, used, Detail::True)
    }

    fn seen(job: &Job, used: &[bool], detail: Detail) -> Yard {
        let shape = |part| PartShape::new(part, detail);
        Yard::of(job, (used, detail), job.parts.iter().map(shape).collect())
    }

    /// The same with outlines seen coarsely; none where that would hardly make them simpler.
    ///
    /// A part that could no longer lie on the board as it may stays as it is.
    pub fn coarse(&mut self, job: &Job, board: usize) -> Option<Yard> {
        let pieces = |shapes: &[PartShape]| -> usize {
            (shapes.iter().zip(&job.parts))
                .map(|(shape, part)| shape.seen_pieces() * part.wanted_count() as usize)
                .sum()
        };
        let mut used = vec![false; job.boards.len()];
        used[board] = true;
        let coarse = |part| PartShape::new(part, Detail::Coarse);
        let mut shapes: Vec<PartShape> = job.parts.iter().map(coarse).collect();
        let mut yard = Yard::of(job, (&used, Detail::Coarse), shapes.clone());
        for (part, shape) in shapes.iter_mut().enumerate() {
            let ways = |yard: &mut Yard| yard.choices(job, board, part).all.len();
            if ways(&mut yard) < ways(self) {
                *shape = self.shapes[part].clone();
            }
        }
        (4 * pieces(&shapes) < 3 * pieces(&self.shapes))
            .then(|| Yard::of(job, (&used, Detail::Coarse), shapes))
    }

    fn of(job: &Job, (used, detail): (&[bool], Detail), shapes: Vec<PartShape>) -> Yard {
        let tolerance = job.tolerance;
        let margin = Margin {
            extra: tolerance.extra,
            slack: if tolerance.extra > 0.0 {
                0.5 * tolerance.extra
            } else {
                0.25 * tolerance.slack
            },
        };
        let mut forms = Forms::default();
        let boards = job
            .boards
            .iter()
            .zip(used)
            .map(|(board, used)| BoardShells::new(job, board, (*used, detail), &mut forms))
            .collect();
        Yard {
            boards,
            choices: vec![vec![None; job.parts.len()]; job.boards.len()],
            shapes,
            forms,
            no_fits: NoFits::new(job.workshop.sawn_kerf + margin.extra),
            margin,
        }
    }

    /// How a part may lie on a board, as far as that does not depend on where.
    pub(crate) fn choices(&mut self, job: &Job, board: usize, part: usize) -> Arc<Choices> {
        if let Some(choices) = &self.choices[board][part] {
            return choices.clone();
        }
        let choices = Arc::new(self.make_choices(job, board, part));
        self.choices[board][part] = Some(choices.clone());
        choices
    }

    fn make_choices(&mut self, job: &Job, b: usize, p: usize) -> Choices {
        let (board, part) = (&job.boards[b], &job.parts[p]);
        if !fit::species_fits(board, part) {
            return Choices::default();
        }
        let (plain, more, ranges) = turns(board, &part.grain);
        let overs: &[bool] = if part.may_turn_over {
            &[false, true]
        } else {
            &[false]
        };
        let mut make = |turns: &[f64]| -> Vec<Arc<Form>> {
            let mut list = Vec::new();
            for turned_over in overs {
                for turn in turns {
                    let form = self.forms.kept(p, &self.shapes[p], *turn, *turned_over);
                    if is_thick_enough(job, board, &form) && self.boards[b].could_hold(&form) {
                        list.push(form);
                    }
                }
            }
            let class_of = &self.boards[b].class_of[p];
            without_repeats(list, |x, y| {
                class_of[usize::from(x.turned_over)] == class_of[usize::from(y.turned_over)]
            })
        };
        let plain = make(&plain);
        let all = make(&more);
        let upright = |f: &&Arc<Form>| !f.turned_over;
        let mut first: Vec<Arc<Form>> = plain.iter().filter(upright).cloned().collect();
        if first.is_empty() {
            first.clone_from(&plain);
        }
        Choices {
            first,
            plain,
            all,
            ranges,
        }
    }

    /// The part at any turn, if the board's thickness bears it there; one that is to come up again is `kept`.
    pub(crate) fn turned(
        &mut self,
        job: &Job,
        board: usize,
        (part, turn, turned_over): (usize, f64, bool),
        kept: bool,
    ) -> Option<Arc<Form>> {
        let (forms, shape) = (&mut self.forms, &self.shapes[part]);
        let form = if kept {
            forms.kept(part, shape, turn, turned_over)
        } else {
            forms.passing(part, shape, turn, turned_over)
        };
        (is_thick_enough(job, &job.boards[board], &form) && self.boards[board].could_hold(&form))
            .then_some(form)
    }

    /// Where a form may not lie because of the board itself: its outline, trim and zones.
    pub(crate) fn barred(&mut self, board: usize, form: &Form) -> &NoFit {
        let class = self.boards[board].class_for(form);
        let extra = self.margin.extra;
        self.no_fits
            .find(form, class.id, || class.barred(form, extra))
    }

    /// How much a form at a place overlaps what the board bars, as far as that is below `bound`: see `NoFit::overlap`.
    pub(crate) fn rim_overlap(&self, board: usize, form: &Form, at: Point, bound: f64) -> f64 {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.overlap(&class.shells, (form, at), margin, bound)
    }

    /// True where a form at a place keeps clear of all that the board bars.
    pub(crate) fn clears_rim(&self, board: usize, form: &Form, at: Point) -> bool {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.is_clear(&class.shells, (form, at), margin)
    }

    /// The shortest way out of what the board bars and a form at a place meets most deeply.
    pub(crate) fn way_off_rim(&self, board: usize, form: &Form, at: Point) -> Option<WayOut> {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.way_out(&class.shells, (form, at), margin)
    }

    /// The places of a form's origin for which its blank lies within the board's frame; empty where it is too large.
    pub(crate) fn room(&self, board: usize, form: &Form) -> Bounds {
        self.boards[board].room(form, self.margin.extra)
    }

    /// True where the grain allows a form at a place; exact.
    pub(crate) fn grain_fits(&self, job: &Job, board: usize, form: &Form, at: Point) -> bool {
        if self.grain_missed(job, board, form, at) <= 0.0 {
            return true;
        }
        let part = &job.parts[form.part];
        let Some(tolerance) = fit::grain_tolerance(part) else {
            return true;
        };
        let pose = Pose {
            x: at.x,
            y: at.y,
            turn: form.turn,
            turned_over: form.turned_over,
        };
        let core = self.shapes[form.part].core.posed(&pose);
        let axis = fit::grain_axis(part, form.turn);
        let (worst, _) = job.boards[board].grain.worst_over(axis, &core, form.radius);
        worst <= tolerance
    }

    /// By how many degrees the grain is missed at a place of a bent board, judged by the box round the blank; 0 on straight boards.
    pub(crate) fn grain_missed(&self, job: &Job, board: usize, form: &Form, at: Point) -> f64 {
        let part = &job.parts[form.part];
        match (&self.boards[board].bent, fit::grain_tolerance(part)) {
            (Some(cells), Some(tolerance)) => {
                let origin = self.boards[board].frame.min;
                let bounds = form.bounds_at(at).grown(form.radius);
                let axis = fit::grain_axis(part, form.turn);
                (cells.worst(origin, &bounds, axis) - tolerance).max(0.0)
            }
            _ => 0.0,
        }
    }
}

/// True where the board, once flat, is thick enough for the part as it lies.
pub(crate) fn is_thick_enough(job: &Job, board: &Board, form: &Form) -> bool {
    let part = &job.parts[form.part];
    if part.composed.is_some() {
        return fit::thick_enough(job, board, part, form.turn, form.turned_over);
    }
    let blank = form.bounds.grown(form.radius);
    greatest_finished_thickness(board, &part.allowances, blank.width(), blank.height())
        + job.tolerance.slack * 0.5
        >= part.thickness
}
