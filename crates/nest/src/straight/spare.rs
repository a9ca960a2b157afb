//! Room for one piece more on a board, by straight cuts: looked for as hard as for nothing else.

use heartside_geometry::Arrange;
use heartside_timber::job::{GrainRule, Job};
use heartside_timber::plan::{Layout, Placement, Way};

use super::stockroom::{board_copy, cutouts_of};
use crate::cuts::cutting::{Care, Cutting, First};
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::position::Edge;
use crate::cuts::saw::Saws;
use crate::task::Stock;

/// The boards, prepared once they are asked about.
pub(crate) struct Spare {
    saws: Saws,
    /// For each board of the job, its ground in each frame asked about.
    grounds: Vec<Vec<Ground>>,
}

impl Spare {
    /// Nothing is made ready before it is asked for.
    pub(crate) fn new(job: &Job) -> Spare {
        Spare {
            saws: Saws::of(job),
            grounds: vec![Vec::new(); job.boards.len()],
        }
    }

    /// The board with this piece alone cut from it, in the first frame in which that can be done.
    pub(crate) fn on_empty(
        &mut self,
        job: &Job,
        (part, copy): (usize, u32),
        stock: Stock,
    ) -> Option<Layout> {
        angles_for(job, part, stock.board)
            .into_iter()
            .find_map(|angle| {
                let ground = ground_at(job, &mut self.grounds, stock.board, angle);
                let mut cutting = Cutting::whole(ground);
                let layout = Layout {
                    board: board_copy(job, stock),
                    way: Way::Straight,
                    frame: ground.frame,
                    placements: Vec::new(),
                    cuts: None,
                };
                lay(job, ground, &self.saws, &mut cutting, part)
                    .then(|| with_piece(job, ground, cutting, &layout, (part, copy)))?
            })
    }

    /// The layout with this piece cut from what it leaves of its board; none where no room is found.
    pub(crate) fn on_cut(
        &mut self,
        job: &Job,
        (part, copy): (usize, u32),
        layout: &Layout,
    ) -> Option<Layout> {
        let board = job.board_index(&layout.board.board)?;
        let ground = ground_at(job, &mut self.grounds, board, layout.frame.angle);
        if ground.frame != layout.frame {
            return None;
        }
        let cutouts = cutouts_of(job, ground, layout, |_, _| true)?;
        let mut cutting = Cutting::from_tree(job, ground, layout.cuts.as_ref()?, cutouts)?;
        lay(job, ground, &self.saws, &mut cutting, part)
            .then(|| with_piece(job, ground, cutting, layout, (part, copy)))?
    }
}

/// The board's frames, and others in which the part's grain bears to lie: where a board tapers or is waney,
/// a long part may lie askew only.
fn angles_for(job: &Job, part: usize, board: usize) -> Vec<f64> {
    let mut angles = frame_angles(job, board);
    if let GrainRule::Axis { tolerance, .. } = job.parts[part].grain {
        let (least, most) = job.boards[board].grain.range();
        let middle = 0.5 * (least + most);
        let reach = (0.5 * (most - least) + tolerance).min(MOST_ASKEW);
        angles.extend([-0.97, 0.97, -0.5, 0.5].map(|share| middle + share * reach));
    }
    angles.retain(|angle| angle.abs() <= MOST_ASKEW);
    angles
}

/// Cuts more askew than this are not lengthwise any more; as for the board's own frames, in degrees.
const MOST_ASKEW: f64 = 15.0;

/// The board in a frame, made ready if this is the first question.
fn ground_at<'a>(
    job: &Job,
    grounds: &'a mut [Vec<Ground>],
    board: usize,
    angle: f64,
) -> &'a Ground {
    let grounds = &mut grounds[board];
    let known = grounds.iter().position(|g| g.frame.angle == angle);
    let place = known.unwrap_or_else(|| {
        grounds.push(Ground::new(job, board, angle));
        grounds.len() - 1
    });
    &grounds[place]
}

/// Cuts the part free from the smallest open workpiece that has room for it.
fn lay(job: &Job, ground: &Ground, saws: &Saws, cutting: &mut Cutting, part: usize) -> bool {
    let mut leaves = cutting.open.clone();
    let area = |leaf: &usize| cutting.works[*leaf].map_or(0.0, |w| w.tight.area());
    leaves.arrange_by(|a, b| area(a).total_cmp(&area(b)).then(a.cmp(b)));
    let how = (Edge::Low, First::Rips);
    leaves.into_iter().any(|leaf| {
        let mut fits = ground.fits[part].iter();
        fits.any(|fit| {
            cutting.lay_with_care((job, ground, saws), leaf, part, fit, how, Care::Thorough)
        })
    })
}

/// The layout with the piece that was laid last.
fn with_piece(
    job: &Job,
    ground: &Ground,
    cutting: Cutting,
    layout: &Layout,
    (part, copy): (usize, u32),
) -> Option<Layout> {
    let mut layout = layout.clone();
    layout.placements.push(Placement {
        part: job.parts[part].id.clone(),
        copy,
        at: cutting.cutouts.last()?.placed,
        ..Placement::default()
    });
    layout.cuts = Some(cutting.finished_tree(|w| is_offcut(job, ground, w)));
    Some(layout)
}
