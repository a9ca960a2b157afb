//! Blanks laid one after the other, each into the first free place of the first board that takes it.
//!
//! With the tools, obstacles and cuts that the search has, so that a plain rule measured against it
//! differs by its order alone. Pins are not heeded.

use heartside_nest::kit::cuts::{
    Cutout, Cutting, Edge, First, Stockroom, find_spot, keep_matches, layouts_of, usable_stock,
};
use heartside_nest::kit::{Chance, Task};
use heartside_timber::document::Cuts;
use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

/// Boards being filled.
pub(crate) struct FirstFit<'a> {
    job: &'a Job,
    room: Stockroom,
    boards: Vec<Option<Cutting>>,
}

impl FirstFit<'_> {
    /// The job's boards that may be cut straight, all whole.
    pub(crate) fn new(job: &Job) -> FirstFit<'_> {
        let task = Task {
            stock: usable_stock(job, |c| c != Cuts::Sawn),
            wanted: Vec::new(),
            pins: Vec::new(),
            chance: Chance::new(0, 0, 9),
        };
        let room = Stockroom::new(job, &task);
        let boards = vec![None; room.shelves.len()];
        FirstFit { job, room, boards }
    }

    /// All boards are whole again.
    pub(crate) fn begin_anew(&mut self) {
        self.boards.fill(None);
    }

    /// Lays one copy of a part, by its place in the job's list; false where no board has a free place for it.
    pub(crate) fn lay(&mut self, part: usize) -> bool {
        (0..self.boards.len()).any(|shelf| self.lay_on(shelf, part))
    }

    fn lay_on(&mut self, shelf: usize, part: usize) -> bool {
        let FirstFit { job, room, boards } = self;
        if !room.takes(&room.shelves[shelf], part) {
            return false;
        }
        let ground = &room.grounds[room.shelves[shelf].frames[0]];
        let bench = (*job, ground, &room.saws);
        let mut cutting = boards[shelf]
            .take()
            .unwrap_or_else(|| Cutting::whole(ground));
        let laid = cutting.open.clone().into_iter().any(|leaf| {
            ground.fits[part].iter().any(|fit| {
                let Some(work) = cutting.works[leaf] else {
                    return false;
                };
                let Some(spot) = find_spot(job, ground, &room.saws, &work, fit, Edge::Low) else {
                    return false;
                };
                let cutout = Cutout {
                    part,
                    copy: None,
                    placed: spot.placed,
                    rect: spot.rect,
                };
                [First::Rips, First::Crosscuts]
                    .into_iter()
                    .any(|first| cutting.free(bench, leaf, cutout, first))
            })
        });
        boards[shelf] = (!cutting.cutouts.is_empty()).then_some(cutting);
        laid
    }

    /// What lies on the boards so far, without what would break a match.
    pub(crate) fn layouts(&self) -> Vec<Layout> {
        let all = self.job.parts.iter().map(|p| p.wanted().collect());
        let wanted: Vec<Vec<u32>> = all.collect();
        let boards = self.boards.iter().zip(&self.room.shelves);
        let boards: Vec<_> = boards
            .map(|(cutting, shelf)| Some((shelf.frames[0], cutting.as_ref()?)))
            .collect();
        let layouts = layouts_of(self.job, &self.room, &wanted, &boards);
        keep_matches(self.job, layouts)
    }
}
