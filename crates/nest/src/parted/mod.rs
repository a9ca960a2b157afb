//! Boards whose pins lie at different small angles are parted first, and the rest is planned on what is left.
//!
//! The engines keep a board to one line of reference. A [`Parted`] stands between a job and them, as
//! [`crate::composite`] does: the order of cuts that frees such pins ([`crate::tree_for`]) leaves free pieces
//! between, beside and beyond them, and the engines get a job in which the board is cut already, its
//! pins are in hand and each free piece is a board of its own. What they lay on a piece is handed out as more
//! cuts below the node of that piece.
//!
//! | module | idea |
//! |---|---|
//! | `pieces` | the free pieces of a board as boards |
//! | `joined` | the layout of a board and those of its pieces, joined and taken apart again |

mod joined;
mod pieces;

use heartside_geometry::Arrange;
use heartside_timber::document::{BoardCopy, Hand, PartCopy};
use heartside_timber::job::{Cuts, Job, Origin, Pin};
use heartside_timber::plan::{Bound, Frame, Layout, Placement, Plan, Way};
use heartside_timber::score::Score;

use crate::bound::bound_of;
use crate::settings::WayWanted;
use crate::straight::tree_for::{TreeResult, is_askew, is_turned_together, tree_crosscut_first};

/// Cuts looked at to find an order for the pins of one board.
const PIN_STEPS: u64 = 20_000;

/// A job, and its boards that pins part.
#[derive(Debug, Clone)]
pub(crate) struct Parted {
    /// The job as it was given.
    job: Job,
    boards: Vec<PartedBoard>,
    bound: Bound,
}

/// A board that its pins part.
#[derive(Debug, Clone)]
struct PartedBoard {
    /// Its pins, cut free.
    layout: Layout,
    pieces: Vec<FreePiece>,
}

/// A free piece of it.
#[derive(Debug, Clone)]
struct FreePiece {
    /// The board that it is to the engines.
    id: String,
    /// Its node in the tree of the pins.
    node: usize,
    /// What it was cut in.
    frame: Frame,
}

impl Parted {
    /// The job for the engines, where pins part some board.
    ///
    /// A board whose pins no straight cuts part stays as it is, and so does one from which something
    /// that must lie beside a pin is still wanted.
    pub(crate) fn of(job: &Job, way: WayWanted) -> Option<(Parted, Job)> {
        let mut names: Vec<&BoardCopy> = job.pins.iter().map(|pin| &pin.board).collect();
        names.arrange();
        names.dedup();
        let mut boards = Vec::new();
        let mut inner = None;
        for name in names {
            let pins: Vec<&Pin> = job.pins.iter().filter(|pin| pin.board == *name).collect();
            let Some(layout) = pins_cut_free(job, name, &pins, way) else {
                continue;
            };
            let inner = inner.get_or_insert_with(|| job.clone());
            boards.push(part_board(inner, layout));
        }
        let mut inner = inner?;
        let parted = Parted {
            job: job.clone(),
            boards,
            bound: bound_of(job),
        };
        inner.earlier = parted.taken_apart(job.earlier.clone());
        Some((parted, inner))
    }

    /// The job as it was given.
    pub(crate) fn job(&self) -> &Job {
        &self.job
    }

    /// What no plan of the job can go under.
    pub(crate) fn bound(&self) -> &Bound {
        &self.bound
    }

    /// The engines' plan as it is handed out, and its score.
    pub(crate) fn handed_out(&self, mut plan: Plan) -> (Plan, Score) {
        for board in &self.boards {
            let is_of = |l: &Layout| board.pieces.iter().any(|p| p.id == l.board.board);
            let (own, others) = plan.layouts.into_iter().partition(is_of);
            plan.layouts = others;
            plan.layouts.push(board.joined(own));
        }
        (plan.layouts).arrange_by_key(|l| (self.job.board_index(&l.board.board), l.board.copy));
        plan.bound = Some(self.bound.clone());
        let score = Score::of(&self.job, &plan);
        plan.cost = score.cost;
        (plan, score)
    }

    /// Layouts of the job as the engines know them; what lies on a parted board in another way is left out.
    pub(crate) fn taken_apart(&self, layouts: Vec<Layout>) -> Vec<Layout> {
        let mut known = Vec::with_capacity(layouts.len());
        for layout in layouts {
            match self.boards.iter().find(|b| b.layout.board == layout.board) {
                Some(board) => known.extend(board.taken_apart(&layout)),
                None => known.push(layout),
            }
        }
        known
    }
}

/// The layout of a board's pins, where they lie at different angles and can be cut free.
fn pins_cut_free(job: &Job, name: &BoardCopy, pins: &[&Pin], way: WayWanted) -> Option<Layout> {
    let index = job.board_index(&name.board)?;
    if way == WayWanted::Sawn || job.boards[index].cuts == Cuts::Sawn {
        return None;
    }
    let placements: Vec<Placement> = pins
        .iter()
        .map(|pin| Placement {
            part: pin.part.part.clone(),
            copy: pin.part.copy,
            at: pin.at,
            ..Placement::default()
        })
        .collect();
    let is_alone = |pin: &&Pin| !has_neighbours(job, &pin.part);
    let is_turned = is_askew(job, &placements) || is_turned_together(job, index, &placements);
    if !is_turned || !pins.iter().all(is_alone) {
        return None;
    }
    match tree_crosscut_first(job, index, &placements, PIN_STEPS) {
        TreeResult::Tree(tree, frame) => Some(Layout {
            board: name.clone(),
            way: Way::Straight,
            frame,
            placements,
            cuts: Some(tree),
        }),
        TreeResult::Inseparable(_) | TreeResult::GaveUp => None,
    }
}

/// True for a copy that must come out of the same blank as others.
fn has_neighbours(job: &Job, copy: &PartCopy) -> bool {
    let mut matches = job.matches.iter();
    matches.any(|m| !m.kind.leaves_places_free() && m.parts.contains(copy))
}

/// Makes a board's free pieces boards of the engines' job, and its pins parts in hand.
fn part_board(inner: &mut Job, layout: Layout) -> PartedBoard {
    let root = layout.board.clone();
    let (pieces, boards) = pieces::free_pieces(inner, &layout);
    for placement in &layout.placements {
        inner.pins.retain(|pin| pin.part != placement.part_copy());
        let part = inner.part_index(&placement.part);
        if let Some(part) = part.map(|part| &mut inner.parts[part])
            && let Err(place) = part.in_hand.binary_search(&placement.copy)
        {
            part.in_hand.insert(place, placement.copy);
        }
    }
    if let Some(index) = inner.board_index(&root.board) {
        let board = &mut inner.boards[index];
        if let Err(place) = board.gone.binary_search(&root.copy) {
            board.gone.insert(place, root.copy);
        }
        let mut held = board.clone();
        held.count = 1;
        held.gone.clear();
        held.cost = 0.0;
        // What is in hand is told by the piece that holds it.
        for (number, placement) in layout.placements.iter().enumerate() {
            held.id = format!("..held.{}.{}.{number}", root.board, root.copy);
            held.from = Some(origin(&root, Some(placement.clone())));
            inner.boards.push(held.clone());
        }
    }
    inner.boards.extend(boards);
    PartedBoard { layout, pieces }
}

/// What a piece is of: no cut is made yet, so none is named.
fn origin(root: &BoardCopy, holds: Option<Placement>) -> Origin {
    Origin {
        done: usize::MAX,
        side: Hand::Left,
        root: root.clone(),
        holds,
        leaves: Vec::new(),
        measured: false,
    }
}
