//! Whether an empty board takes a part's rectangle.

use heartside_timber::job::{Cuts, Job};

use crate::cuts::cutting::{Care, Cutting, First};
use crate::cuts::elsewhere::elsewhere;
use crate::cuts::fits::Fit;
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::cuts::position::{Edge, find_spot};
use crate::cuts::saw::Saws;

/// Asks empty boards about one part after the other.
#[derive(Debug, Clone)]
pub(crate) struct ByCuts {
    saws: Saws,
    /// For each board, once asked, its ground in the frames that are tried.
    grounds: Vec<Vec<Ground>>,
}

impl ByCuts {
    /// Nothing is made ready before it is asked for.
    pub(crate) fn new(job: &Job) -> ByCuts {
        ByCuts {
            saws: Saws::of(job),
            grounds: vec![Vec::new(); job.boards.len()],
        }
    }

    /// True where one of these boards, empty, takes the part's rectangle: on boards that are sawn by line
    /// it need only lie there, on others it is cut free.
    pub(crate) fn is_taken(
        &mut self,
        job: &Job,
        part: usize,
        boards: &[usize],
        care: Care,
    ) -> bool {
        let ByCuts { saws, grounds } = self;
        boards.iter().any(|board| {
            let mut grounds = grounds_of(job, grounds, *board).iter();
            grounds.any(|ground| {
                let mut fits = ground.fits[part].iter();
                fits.any(|fit| is_freed((job, ground, saws), part, fit, care))
            })
        })
    }
}

/// The board's grounds, made now if this is the first question.
fn grounds_of<'a>(job: &Job, grounds: &'a mut [Vec<Ground>], board: usize) -> &'a [Ground] {
    debug_assert!(job.boards[board].is_usable());
    if grounds[board].is_empty() {
        let angles = frame_angles(job, board).into_iter();
        let mut made: Vec<Ground> = angles.map(|a| Ground::new(job, board, a)).collect();
        let before = grounds[..board].iter().rev().find_map(|g| g.first());
        if let Some(like) = before {
            made.iter_mut().for_each(|ground| ground.share_with(like));
        }
        grounds[board] = made;
    }
    &grounds[board]
}

fn is_freed(bench: (&Job, &Ground, &Saws), part: usize, fit: &Fit, care: Care) -> bool {
    let (job, ground, saws) = bench;
    if fit.width > ground.usable.width() + ground.bite
        || fit.height > ground.usable.height() + ground.bite
    {
        return false;
    }
    let mut whole = Cutting::whole(ground);
    let Some(work) = whole.works[0] else {
        return false;
    };
    if job.boards[ground.board].cuts == Cuts::Sawn {
        return find_spot(job, ground, saws, &work, fit, Edge::Low).is_some()
            || care == Care::Thorough && !elsewhere(bench, &work, fit, care).is_empty();
    }
    whole.lay_with_care(bench, 0, part, fit, (Edge::Low, First::Rips), care)
}
