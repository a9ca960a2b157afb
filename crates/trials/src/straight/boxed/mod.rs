//! Boards seen as upright rectangles, their flaws as upright boxes: for searches over rectangles.
//!
//! [`Boxes`] holds all boards of a task in their frames, [`Bench`] cuts one of them up as a search says;
//! [`Boxed`] is a single board in one frame.

mod block;
mod field;
mod flaws;
mod inscribed;

use heartside_geometry::Bounds;
use heartside_nest::kit::Task;
use heartside_nest::kit::cuts::{Cutting, Edge, First, Ground, Piece, Stockroom, layouts_of};
use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

use self::field::Order;

pub(crate) use self::block::{Block, Make};
pub(crate) use self::field::{Axis, Field};
pub(crate) use self::flaws::Mirror;

/// Frames of a board that are looked at.
const MOST_FRAMES: usize = 2;

/// The boards of a task, for searches that look at several.
pub(crate) struct Boxes {
    room: Stockroom,
    wanted: Vec<Vec<u32>>,
}

impl Boxes {
    /// For a task without pins.
    pub(crate) fn new(job: &Job, task: &Task) -> Boxes {
        Boxes {
            room: Stockroom::new(job, task),
            wanted: task.wanted.clone(),
        }
    }

    /// For each copy of a board, in the task's order, its board's place in the job's list.
    pub(crate) fn boards(&self) -> impl Iterator<Item = usize> + '_ {
        self.room.shelves.iter().map(|s| s.stock.board)
    }

    /// How many of each part are wanted and may come out of some board.
    pub(crate) fn possible(&self) -> Vec<u32> {
        let takes = |part: usize| self.room.shelves.iter().any(|s| self.room.takes(s, part));
        let counts = self.wanted.iter().enumerate();
        counts
            .map(|(part, copies)| if takes(part) { copies.len() as u32 } else { 0 })
            .collect()
    }

    /// True where a sawn part may share its rectangle with another.
    pub(crate) fn may_pair(&self, part: usize) -> bool {
        let mut pairs = self.room.grounds.iter().flat_map(|g| &g.pairs);
        pairs.any(|pair| pair.parts.contains(&part))
    }

    /// The views of one copy of a board, in its best frames, sections along it and, where `both`, across it
    /// too. `pool` says how many of each part, `marks` has a random number for each, and `kind` is kept in the view.
    pub(crate) fn fields(
        &self,
        job: &Job,
        copy: usize,
        (pool, marks): (&[u32], &[u64]),
        (kind, both): (usize, bool),
    ) -> Vec<Field> {
        let order = Order {
            job,
            saws: &self.room.saws,
            wanted: pool,
            marks,
            boards: self.room.shelves.len(),
        };
        let ways: &[bool] = if both { &[false, true] } else { &[false] };
        let frames = self.room.shelves[copy].frames.iter().take(MOST_FRAMES);
        let views = frames.flat_map(|ground| ways.iter().map(move |way| (*ground, *way)));
        views
            .filter_map(|(ground, transposed)| {
                Field::new(
                    &order,
                    &self.room.grounds[ground],
                    (kind, ground),
                    transposed,
                )
            })
            .collect()
    }

    /// What boards that were cut up come to as layouts; none for copies that were not used.
    pub(crate) fn layouts(&self, job: &Job, cut: &[Option<Bench<'_>>]) -> Vec<Layout> {
        let cut: Vec<Option<(usize, &Cutting)>> = cut
            .iter()
            .map(|c| c.as_ref().map(|b| (b.field.ground, &b.cutting)))
            .collect();
        layouts_of(job, &self.room, &self.wanted, &cut)
    }
}

/// One board being cut up with the tools. Leaves are workpieces still open; the first, 0, is the whole board.
pub(crate) struct Bench<'a> {
    boxes: &'a Boxes,
    job: &'a Job,
    field: &'a Field,
    cutting: Cutting,
    /// Blanks that could not be freed where they were planned.
    waiting: Vec<(usize, usize)>,
}

impl<'a> Bench<'a> {
    /// The whole board of a view.
    pub(crate) fn new(job: &'a Job, boxes: &'a Boxes, field: &'a Field) -> Bench<'a> {
        Bench {
            boxes,
            job,
            field,
            cutting: Cutting::whole(&boxes.room.grounds[field.ground]),
            waiting: Vec::new(),
        }
    }

    fn ground(&self) -> &'a Ground {
        &self.boxes.room.grounds[self.field.ground]
    }

    /// Cuts a leaf beyond an edge: the leaf below it, and what lies above. Where no tool can, or nothing
    /// lies beyond, the leaf stays whole and is its own rest.
    pub(crate) fn split(&mut self, leaf: usize, along_u: bool, edge: f64) -> (usize, usize) {
        let (side, edge) = self.field.side(along_u, edge);
        let ground = self.ground();
        let beyond = self.cutting.works[leaf].map_or(0.0, |w| {
            let wood = side.of(&w.tight);
            if side.is_low() {
                edge - wood
            } else {
                wood - edge
            }
        });
        if beyond <= ground.leaf_play {
            return (leaf, leaf);
        }
        let saws = &self.boxes.room.saws;
        let halves = self
            .cutting
            .part_in_two(self.job, ground, saws, leaf, side, edge);
        match halves {
            Some((low, high)) if side.is_low() => (high, low),
            Some(halves) => halves,
            None => (leaf, leaf),
        }
    }

    /// Cuts a block of the view out of a leaf: it is parted where its halves meet, wherever in the leaf it
    /// came to lie. A blank that finds no place there waits.
    pub(crate) fn block(&mut self, leaf: usize, place: u16) {
        let field = self.field;
        let block = &field.blocks[usize::from(place)];
        let (along_u, first, second) = match block.make {
            Make::Blank { part, fit } => {
                if !self.lay(leaf, part, fit) {
                    self.waiting.push((part, fit));
                }
                return;
            }
            Make::Pair(pair) => {
                self.lay_pair(leaf, pair);
                return;
            }
            Make::Beside(first, second) => (true, first, second),
            Make::Above(first, second) => (false, first, second),
        };
        // Where the block lies in the leaf: its low corner, unless something is in the way there.
        let low = self.cutting.works[leaf]
            .and_then(|w| {
                let wood = field.seen(&w.tight).intersection(field.usable)?;
                field.place(block, &wood, Axis::U, &mut Vec::new())
            })
            .map_or(0.0, |(u, v)| if along_u { u } else { v });
        let half = &field.blocks[usize::from(first)];
        let extent = if along_u { half.width() } else { half.height() };
        let (own, rest) = self.split(leaf, along_u, low + extent);
        self.block(own, first);
        self.block(rest, second);
    }

    fn lay(&mut self, leaf: usize, part: usize, fit: usize) -> bool {
        let ground = self.ground();
        let fit = &ground.fits[part][fit];
        let bench = (self.job, ground, &self.boxes.room.saws);
        let how = (Edge::Low, First::Rips);
        self.cutting.lay(bench, leaf, part, fit, how)
    }

    /// Two sawn parts in one rectangle, or by themselves where that finds no place.
    fn lay_pair(&mut self, leaf: usize, pair: usize) {
        let ground = self.ground();
        let pair = &ground.pairs[pair];
        let bench = (self.job, ground, &self.boxes.room.saws);
        let how = (Edge::Low, First::Rips);
        if !self.cutting.lay_pair(bench, leaf, pair, how) {
            self.waiting.extend(pair.parts.map(|part| (part, 0)));
        }
    }

    /// Blanks that wait go into whatever is still open.
    pub(crate) fn lay_the_rest(&mut self) {
        for (part, fit) in std::mem::take(&mut self.waiting) {
            for leaf in self.cutting.open.clone() {
                if self.lay(leaf, part, fit) {
                    break;
                }
            }
        }
    }
}

/// A board and the parts for it. All lengths are in the frame of its cuts, in millimetres.
pub(crate) struct Boxed {
    room: Stockroom,
    field: Field,
    wanted: Vec<Vec<u32>>,
}

/// One way in which a part may lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Blank {
    /// Place in the job's list of parts.
    pub(crate) part: usize,
    fit: usize,
}

/// What becomes of a rectangle of the board.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Fate<P> {
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
    pub(crate) fn new(job: &Job, task: Task) -> Option<Boxed> {
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
    pub(crate) fn same(&self) -> f64 {
        self.ground().noise.max(1e-9)
    }

    /// The boxes are the flaws themselves, and nothing is lost by looking at rectangles alone.
    pub(crate) fn is_exact(&self) -> bool {
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
    pub(crate) fn usable(&self) -> Bounds {
        self.field.usable
    }

    /// Kerf of cuts square to x, and square to y.
    pub(crate) fn kerf(&self) -> (f64, f64) {
        self.field.kerf
    }

    /// The narrowest strip that can be cut off along x, and along y.
    pub(crate) fn least_strip(&self) -> (f64, f64) {
        self.field.strip
    }

    /// Width and height of every way in which a part may lie.
    pub(crate) fn sizes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
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
    pub(crate) fn flaws(&self) -> Vec<Bounds> {
        self.field.flaw_boxes()
    }

    /// Fixings, which stop cuts.
    pub(crate) fn fixings(&self) -> Vec<Bounds> {
        self.field.fixing_boxes()
    }

    /// The blanks that fill a rectangle and are clear of flaws there. O(ways to lie x flaws).
    pub(crate) fn that_fill(&self, rect: &Bounds) -> Vec<Blank> {
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
    pub(crate) fn can_cut(&self, along_x: bool, at: f64, stretch: (f64, f64)) -> bool {
        let passes = if along_x {
            self.field.cut_u(at, stretch)
        } else {
            self.field.cut_v(at, stretch)
        };
        passes <= at + self.same()
    }

    /// Cuts the whole board up as `fate` says, as far as the tools can.
    pub(crate) fn cut_out<P>(
        &self,
        job: &Job,
        whole: P,
        fate: impl Fn(&P) -> Fate<P>,
    ) -> Vec<Layout> {
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
