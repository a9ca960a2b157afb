//! What phases from outside ask of a yard, and what a search asks of them.

use std::fmt::Debug;
use std::sync::Arc;

use heartside_geometry::{Bounds, Point, PreparedRegion};
use heartside_timber::job::Job;

use super::build::Floor;
use super::shape::Form;
use super::tools::Tools;
use super::yard::Yard;

/// A way of bettering a floor, from outside.
pub trait Phase: Debug + Send {
    /// One small unit of work; a better floor takes the place of the one given.
    fn step(&mut self, tools: &mut Tools<'_>, floor: &mut Floor) -> Stepped;

    /// A better floor from elsewhere has taken the place of the one there was.
    fn adopt(&mut self, tools: &mut Tools<'_>, floor: &Floor) {
        let _ = (tools, floor);
    }
}

/// How a step of a phase ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stepped {
    /// There is more to do.
    On,
    /// The same, and the floor is a better one now.
    Better,
    /// The floor is the best there is.
    Solved,
    /// Nothing more is to be had here.
    GivenUp,
}

impl Yard {
    /// The outline of a part as it stands in the job.
    pub fn core(&self, part: usize) -> &PreparedRegion {
        &self.shapes[part].core
    }

    /// Area of a part's blank.
    pub fn area(&self, part: usize) -> f64 {
        self.shapes[part].area
    }

    /// Area of a part's outline as it is seen, made simpler.
    pub fn seen_area(&self, part: usize) -> f64 {
        self.shapes[part].seen_area()
    }

    /// The box round a board.
    pub fn frame(&self, board: usize) -> Bounds {
        self.boards[board].frame
    }

    /// How deep shapes may lie in each other for rounding, at most `most` of it what the job forgives.
    pub fn margin(&self, most: f64) -> f64 {
        self.margin.extra + self.margin.slack.min(most)
    }

    /// Every form of a part that is kept ready for a board.
    pub fn forms_on(&mut self, job: &Job, board: usize, part: usize) -> Vec<Arc<Form>> {
        self.choices(job, board, part).all.clone()
    }

    /// True where that form is kept ready for the board.
    pub fn may_lie(&mut self, job: &Job, board: usize, form: &Form) -> bool {
        let choices = self.choices(job, board, form.part);
        choices.all.iter().any(|f| f.id == form.id)
    }

    /// A part at any turn.
    pub fn form(&mut self, part: usize, turn: f64, turned_over: bool) -> Arc<Form> {
        let shape = &self.shapes[part];
        self.forms.passing(part, shape, turn, turned_over)
    }

    /// The form is seen as it is, not made simpler.
    pub fn is_exact(&self, form: &Form) -> bool {
        form.shells.len() == self.core(form.part).pieces().len()
    }

    /// True where a form lies clear of all that it keeps clear of on a board.
    pub fn is_clear_on(&mut self, board: usize, form: &Form, at: Point, slack: f64) -> bool {
        self.barred(board, form).is_clear(at, slack)
    }

    /// True where a form that lies by so much from another is clear of it.
    pub fn are_clear(&mut self, form: &Form, other: &Form, by: Point, slack: f64) -> bool {
        self.no_fits.between(form, other).is_clear(by, slack)
    }
}
