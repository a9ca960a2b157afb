//! Room for one piece more on a board, sawn by line.

use std::sync::Arc;

use heartside_geometry::Point;
use heartside_timber::document::{BoardCopy, Cuts, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::plan::{Frame, Layout, Placed, Placement, Way};

use super::bottom_left::leftmost;
use super::lie::Lie;
use super::shape::Form;
use super::verify;
use super::yard::Yard;

/// Turns looked at within a range of turns besides its ends, its middle and the grain's direction.
///
/// A part whose outline just fits a board's slanting edge lies there at few of its turns: with
/// fewer it is missed, with more a part that fits nowhere takes longer to be told so.
const TURNS: u32 = 12;

/// The boards and parts as the search by line sees them.
pub(crate) struct Spare {
    yard: Yard,
}

/// Whether pieces may lie so on a board, this kerf apart, as all outlines and the grain say. Of those that
/// are marked as pinned only the distance from others is judged.
pub(crate) fn may_lie(
    job: &Job,
    board: usize,
    kerf: f64,
    pieces: &[(&PartCopy, Placed, bool)],
) -> bool {
    let mut job = job.clone();
    job.workshop.sawn_kerf = kerf;
    let used: Vec<bool> = (0..job.boards.len()).map(|b| b == board).collect();
    let mut yard = Yard::new(&job, &used);
    let mut lies = Vec::with_capacity(pieces.len());
    for (copy, at, pinned) in pieces {
        let Some(part) = job.part_index(&copy.part) else {
            return false;
        };
        let shape = &yard.shapes[part];
        lies.push(Lie {
            piece: lies.len(),
            form: yard.forms.kept(part, shape, at.turn, at.turned_over),
            at: Point::new(at.x, at.y),
            pinned: *pinned,
        });
    }
    verify::is_sound(&yard, &job, board, &lies)
}

impl Spare {
    /// Makes the boards that may be sawn by line ready.
    pub(crate) fn new(job: &Job) -> Spare {
        let used: Vec<bool> = job
            .boards
            .iter()
            .map(|b| b.is_usable() && b.cuts != Cuts::Straight)
            .collect();
        Spare {
            yard: Yard::new(job, &used),
        }
    }

    /// A board with this piece beside what lies on it already, if anything does; none where no room is found.
    pub(crate) fn on(
        &mut self,
        job: &Job,
        (part, copy): (usize, u32),
        board: BoardCopy,
        layout: Option<&Layout>,
    ) -> Option<Layout> {
        let place = job.board_index(&board.board)?;
        let mut lies = Vec::new();
        for placement in layout.iter().flat_map(|l| &l.placements) {
            let other = job.part_index(&placement.part)?;
            let (turn, over) = (placement.at.turn, placement.at.turned_over);
            let shape = &self.yard.shapes[other];
            lies.push(Lie {
                piece: lies.len(),
                form: self.yard.forms.kept(other, shape, turn, over),
                at: Point::new(placement.at.x, placement.at.y),
                pinned: true,
            });
        }
        let at = self.forms(job, place, part).into_iter().find_map(|form| {
            let anywhere = (f64::NEG_INFINITY, f64::INFINITY);
            let at = leftmost(&mut self.yard, job, place, &form, &lies, anywhere)?;
            lies.push(Lie {
                piece: lies.len(),
                form,
                at,
                pinned: false,
            });
            if verify::is_sound(&self.yard, job, place, &lies) {
                return lies.last().map(Lie::placed);
            }
            lies.pop();
            None
        })?;
        let placements = layout.map_or_else(Vec::new, |l| l.placements.clone());
        let mut layout = Layout {
            board,
            way: Way::Sawn,
            frame: Frame::default(),
            placements,
            cuts: None,
        };
        layout.placements.push(Placement {
            part: job.parts[part].id.clone(),
            copy,
            at,
            ..Placement::default()
        });
        Some(layout)
    }

    /// The ways in which the part may lie: as the search tries them first, then at turns between.
    fn forms(&mut self, job: &Job, board: usize, part: usize) -> Vec<Arc<Form>> {
        let choices = self.yard.choices(job, board, part);
        let mut forms = choices.first.clone();
        for form in &choices.all {
            if forms.iter().all(|f| f.id != form.id) {
                forms.push(form.clone());
            }
        }
        let overs: &[bool] = if job.parts[part].may_turn_over {
            &[false, true]
        } else {
            &[false]
        };
        for (low, high) in &choices.ranges {
            for k in 0..=TURNS {
                let turn = low + (high - low) * f64::from(k) / f64::from(TURNS);
                for over in overs {
                    let way = (part, turn, *over);
                    let form = self.yard.turned(job, board, way, true);
                    forms.extend(form.filter(|new| forms.iter().all(|f| f.id != new.id)));
                }
            }
        }
        forms
    }
}
