//! One upright board, its flaws seen as upright boxes: for searches over rectangles from outside.

use heartside_geometry::Bounds;
use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

use super::layouts::layouts_of;
use super::staged::block::{Block, Make};
use super::staged::field::{Axis, Field, Order};
use super::stockroom::Stockroom;
use crate::cuts::cutting::{Cutting, First};
use crate::cuts::ground::Ground;
use crate::cuts::obstacle::Piece;
use crate::cuts::position::Edge;
use crate::engine::Task;

/// A board and the parts for it. All lengths are in the frame of its cuts, in millimetres.
pub struct Boxed {
    room: Stockroom,
    field: Field,
    wanted: Vec<Vec<u32>>,
}

/// One way in which a part may lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Blank {
    /// Place in the job's list of parts.
    pub part: usize,
    fit: usize,
}

/// What becomes of a rectangle of the board.
#[derive(Debug, Clone, Copy)]
pub enum Fate<P> {
    /// Nothing is cut out of it.
    Left,
    /// A blank fills it.
    Blank(Blank),
    /// A cut parts it.
    Parted {
        /// The cut runs square to x, so that its parts follow each other along x.
        along_x: bool,
        /// The cut's low side.
        at: f64,
        /// What lies below the cut.
        low: P,
        /// What lies above it; none where nothing is left there.
        high: Option<P>,
    },
}

impl Boxed {
    /// For a task of one board in one upright frame, without pins and pairs of parts.
    pub fn new(job: &Job, task: Task) -> Option<Boxed> {
        if task.stock.len() != 1 || !task.pins.is_empty() {
            return None;
        }
        let room = Stockroom::new(job, &task);
        let place = *room.shelves.first()?.frames.first()?;
        let ground = &room.grounds[place];
        // What two sawn parts in one rectangle could give is not looked at.
        if ground.outside_count() > 0 || !ground.pairs.is_empty() {
            return None;
        }
        let pool: Vec<u32> = task.wanted.iter().map(|w| w.len() as u32).collect();
        let marks = vec![0; pool.len()];
        let order = Order {
            job,
            saws: &room.saws,
            wanted: &pool,
            marks: &marks,
            boards: usize::MAX,
        };
        let field = Field::new(&order, ground, (0, place), false)?;
        Some(Boxed {
            room,
            field,
            wanted: task.wanted,
        })
    }

    fn ground(&self) -> &Ground {
        &self.room.grounds[self.field.ground]
    }

    /// Lengths that differ by less are the same.
    pub fn same(&self) -> f64 {
        self.ground().noise.max(1e-9)
    }

    /// The boxes are the flaws themselves, and nothing is lost by looking at rectangles alone.
    pub fn is_exact(&self) -> bool {
        // With a kerf, strips thinner than it at an edge could be skimmed off, which rectangles leave out.
        // Round flaws are taken as their boxes, and blanks that may lie round a fixing as if they could not.
        let ground = self.ground();
        self.field.kerf == (0.0, 0.0)
            && ground.pieces.iter().all(Piece::is_box)
            && ground
                .classes
                .iter()
                .all(|c| c.around.is_empty() && c.finished.is_empty())
    }

    /// Where blanks may lie.
    pub fn usable(&self) -> Bounds {
        self.field.usable
    }

    /// Kerf of cuts square to x, and square to y.
    pub fn kerf(&self) -> (f64, f64) {
        self.field.kerf
    }

    /// The narrowest strip that can be cut off along x, and along y.
    pub fn least_strip(&self) -> (f64, f64) {
        self.field.strip
    }

    /// Width and height of every way in which a part may lie.
    pub fn sizes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.blanks()
            .map(|(block, _)| (block.width(), block.height()))
    }

    fn blanks(&self) -> impl Iterator<Item = (&Block, Blank)> {
        self.field
            .blocks
            .iter()
            .filter_map(|block| match block.make {
                Make::Blank { part, fit } => Some((block, Blank { part, fit })),
                Make::Pair(_) | Make::Beside(..) | Make::Above(..) => None,
            })
    }

    /// What blanks keep clear of.
    pub fn flaws(&self) -> Vec<Bounds> {
        self.field.flaw_boxes()
    }

    /// Fixings, which stop cuts.
    pub fn fixings(&self) -> Vec<Bounds> {
        self.field.fixing_boxes()
    }

    /// The blanks that fill a rectangle and are clear of flaws there. O(ways to lie x flaws).
    pub fn that_fill(&self, rect: &Bounds) -> Vec<Blank> {
        let (same, mut starts) = (self.same(), Vec::new());
        self.blanks()
            .filter(|(block, _)| {
                (block.width() - rect.width()).abs() <= same
                    && (block.height() - rect.height()).abs() <= same
                    && (self.field.place(block, rect, Axis::U, &mut starts)).is_some()
            })
            .map(|(_, blank)| blank)
            .collect()
    }

    /// True where no fixing stops a cut over a stretch across it.
    pub fn can_cut(&self, along_x: bool, at: f64, stretch: (f64, f64)) -> bool {
        let passes = if along_x {
            self.field.cut_u(at, stretch)
        } else {
            self.field.cut_v(at, stretch)
        };
        passes <= at + self.same()
    }

    /// Cuts the whole board up as `fate` says, as far as the tools can.
    pub fn cut_out<P>(&self, job: &Job, whole: P, fate: impl Fn(&P) -> Fate<P>) -> Vec<Layout> {
        let (ground, saws) = (self.ground(), &self.room.saws);
        let bench = (job, ground, saws);
        let mut cutting = Cutting::whole(ground);
        let mut waiting = vec![(0, whole)];
        while let Some((leaf, piece)) = waiting.pop() {
            match fate(&piece) {
                Fate::Left => {}
                Fate::Blank(Blank { part, fit }) => {
                    let how = (Edge::Low, First::Rips);
                    cutting.lay(bench, leaf, part, &ground.fits[part][fit], how);
                }
                Fate::Parted {
                    along_x,
                    at,
                    low,
                    high,
                } => {
                    let (side, edge) = self.field.side(along_x, at);
                    let halves = cutting.part_in_two(job, ground, saws, leaf, side, edge);
                    if let Some((low_leaf, high_leaf)) = halves {
                        waiting.push((low_leaf, low));
                        waiting.extend(high.map(|high| (high_leaf, high)));
                    }
                }
            }
        }
        let board = [Some((self.field.ground, &cutting))];
        layouts_of(job, &self.room, &self.wanted, &board)
    }
}
