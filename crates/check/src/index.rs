//! Boards and parts made ready: what the rules ask of them again and again is worked out once.

use std::borrow::Cow;
use std::sync::{Arc, OnceLock};

use heartside_geometry::{Bounds, BoxIndex, Point, Pose, PreparedRegion, SortedMap};
use heartside_timber::blank::{Blank, planed_off_each_face};
use heartside_timber::composite::{is_of_leaves, leaves_thickness};
use heartside_timber::document::{BoardCopy, PartCopy, ZoneKind};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Board, Job, Match, Part, PartCut};
use heartside_timber::plan::{Placement, Way};

use crate::wording::Words;

/// What is forgiven in an angle, in degrees: far below what any saw can be set to (over a
/// board of four metres it moves an end by less than a tenth of a micrometre) and far above
/// rounding.
pub const ANGLE_SLACK: f64 = 1e-6;

/// What is forgiven in the angle between part and grain, in degrees.
///
/// Grain that bends is a mean of drawn lines, and two ways of adding the same numbers up may
/// part at the limit. Over a metre it is four hundredths of a millimetre: nobody can draw,
/// measure or lay a part that true.
pub const GRAIN_SLACK: f64 = 2e-3;

/// A position beyond this (ten kilometres, in millimetres) is no place in a workshop, and
/// sums with it would lose the micrometres that are checked.
pub const FAR: f64 = 1e7;

/// The job with everything that is asked of it often.
pub(crate) struct JobIndex<'j> {
    job: Cow<'j, Job>,
    /// Made when first asked about: a plan lies on few of the boards of a large job.
    boards: Arc<Vec<OnceLock<BoardIndex>>>,
    parts: Arc<Vec<PartIndex>>,
    board_places: SortedMap<String, usize>,
    part_places: SortedMap<String, usize>,
    /// What cuts that were made left, worked out when first asked about.
    done: Arc<Done>,
    /// The narrowest kerf of any tool that cuts straight; what two blanks need between them
    /// while no order of cuts is known.
    pub(crate) least_straight_kerf: f64,
    /// The widest kerf of any such tool.
    pub(crate) widest_straight_kerf: f64,
}

/// Copies in hand, and what is wrong with what cuts left.
#[derive(Default)]
struct Done {
    held: OnceLock<Vec<Held>>,
    found: OnceLock<Vec<Finding>>,
}

/// A copy in hand, as it lies in the piece that is its blank.
pub(crate) struct Held {
    /// The place of that piece in the job.
    pub(crate) place: usize,
    pub(crate) board: BoardCopy,
    pub(crate) piece: Piece,
    /// Of a leaf the thick blank that was resawn, in which it is judged with the others; else the piece itself.
    pub(crate) home: (usize, BoardCopy),
}

/// A board made ready.
pub(crate) struct BoardIndex {
    pub(crate) outline: PreparedRegion,
    pub(crate) sides: Vec<Side>,
    side_index: BoxIndex<usize>,
    pub(crate) zones: Vec<ZoneIndex>,
    zone_index: BoxIndex<usize>,
}

/// One raw side of a board, or of a hole in it, from which something is trimmed.
pub(crate) struct Side {
    pub(crate) a: Point,
    pub(crate) b: Point,
    pub(crate) trim: f64,
    pub(crate) is_end: bool,
}

/// A zone made ready; `place` is its place in the job's list of this board.
pub(crate) struct ZoneIndex {
    pub(crate) place: usize,
    pub(crate) shape: PreparedRegion,
}

/// A part made ready.
pub(crate) struct PartIndex {
    core: PreparedRegion,
    radius: f64,
    /// The finished outline; none where it is the core itself.
    finished: Option<PreparedRegion>,
}

/// A part as it lies on a board. Its blank is everything within `radius` of `core`.
#[derive(Debug, Clone)]
pub struct Piece {
    pub(crate) part: usize,
    pub(crate) copy: PartCopy,
    pub(crate) pose: Pose,
    /// The core of its blank, in the board's frame.
    pub core: PreparedRegion,
    /// Millimetres round the core; 0 for straight parts.
    pub radius: f64,
    finished: Option<PreparedRegion>,
    /// The box round the blank.
    pub bounds: Bounds,
    /// Where it lies in a blank that is resawn into leaves.
    pub(crate) leaf: Option<Leaf>,
}

/// Where a leaf lies in the thickness of its blank.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leaf {
    /// Which it is said to be, from 1 at the board's up face.
    pub(crate) said: u32,
    /// How far the finished leaf lies at least below the board's up face, and above its down face: what
    /// comes off the board more than it must may come off either.
    pub(crate) within: (f64, f64),
    /// It lies on the board's up face, and on its down face.
    pub(crate) outermost: (bool, bool),
}

impl Piece {
    /// The finished outline as it lies on the board.
    pub(crate) fn finished(&self) -> &PreparedRegion {
        self.finished.as_ref().unwrap_or(&self.core)
    }
}

impl<'j> JobIndex<'j> {
    /// Prepares all parts, and each board when it is first asked about.
    pub(crate) fn new(job: Cow<'j, Job>) -> JobIndex<'j> {
        let boards = job.boards.iter().map(|_| OnceLock::new()).collect();
        let parts = job.parts.iter().map(PartIndex::new).collect();
        JobIndex::of(job, Arc::new(boards), Arc::new(parts), Arc::default())
    }

    /// The same boards and parts for a job that differs in pins only.
    pub(crate) fn with_pins_of(&self, job: Cow<'j, Job>) -> JobIndex<'j> {
        let (boards, parts) = (Arc::clone(&self.boards), Arc::clone(&self.parts));
        JobIndex::of(job, boards, parts, Arc::clone(&self.done))
    }

    fn of(
        job: Cow<'j, Job>,
        boards: Arc<Vec<OnceLock<BoardIndex>>>,
        parts: Arc<Vec<PartIndex>>,
        done: Arc<Done>,
    ) -> JobIndex<'j> {
        let mut board_places = SortedMap::new();
        for (place, board) in job.boards.iter().enumerate() {
            board_places.entry(board.id.clone()).or_insert(place);
        }
        let mut part_places = SortedMap::new();
        for (place, part) in job.parts.iter().enumerate() {
            part_places.entry(part.id.clone()).or_insert(place);
        }
        let straight = || {
            job.workshop
                .tools
                .iter()
                .filter(|t| t.rips || t.crosscuts)
                .map(|t| t.kerf)
        };
        let least = straight().fold(f64::INFINITY, f64::min);
        let widest = straight().fold(0.0, f64::max);
        let least_straight_kerf = if least.is_finite() {
            least
        } else {
            job.workshop.sawn_kerf
        };
        JobIndex {
            boards,
            parts,
            board_places,
            part_places,
            done,
            least_straight_kerf,
            widest_straight_kerf: widest,
            job,
        }
    }

    pub(crate) fn job(&self) -> &Job {
        &self.job
    }

    pub(crate) fn words(&self) -> Words<'_> {
        Words::new(&self.job)
    }

    /// The slack of every comparison of lengths.
    pub(crate) fn slack(&self) -> f64 {
        self.job.tolerance.slack
    }

    /// How much a distance that may be "at most" something may exceed it: what the solver
    /// keeps extra and what placing on a grid adds are not the plan's fault.
    pub(crate) fn upper_slack(&self) -> f64 {
        let tolerance = &self.job.tolerance;
        tolerance.slack + tolerance.extra + tolerance.grid.unwrap_or(0.0)
    }

    pub(crate) fn board_place(&self, copy: &BoardCopy) -> Option<usize> {
        self.board_places.get(&copy.board).copied()
    }

    pub(crate) fn part_place(&self, copy: &PartCopy) -> Option<usize> {
        self.part_places.get(&copy.part).copied()
    }

    pub(crate) fn board(&self, place: usize) -> (&Board, &BoardIndex) {
        let board = &self.job.boards[place];
        let index = self.boards[place].get_or_init(|| BoardIndex::new(&self.job, board));
        (board, index)
    }

    pub(crate) fn part(&self, place: usize) -> &Part {
        &self.job.parts[place]
    }

    /// The copies in hand, each in the piece that is its blank.
    pub(crate) fn held(&self) -> &[Held] {
        self.done.held.get_or_init(|| {
            let boards = self.job.boards.iter().enumerate();
            let held = boards.flat_map(|(place, board)| {
                let copies = board.from.iter().flat_map(|from| from.held());
                copies.filter_map(move |holds| {
                    let own = BoardCopy {
                        board: board.id.clone(),
                        copy: board.copies().next()?,
                    };
                    let home = self.resawn_from(board);
                    let home = home.unwrap_or_else(|| (place, own.clone()));
                    Some(Held {
                        place,
                        board: own,
                        piece: self.laid(home.0, holds)?,
                        home,
                    })
                })
            });
            held.collect()
        })
    }

    /// The thick blank that a board is a leaf of, by its place; none for other boards.
    pub(crate) fn resawn_from(&self, board: &Board) -> Option<(usize, BoardCopy)> {
        let cut = self.job.done.get(board.from.as_ref()?.done)?;
        let cut = Some(cut).filter(|cut| cut.resawn)?;
        Some((self.board_place(&cut.board)?, cut.board.clone()))
    }

    /// What is wrong with what cuts left, whatever is planned: found once for all plans.
    pub(crate) fn wrong_pieces(&self, find: impl FnOnce(&Self) -> Vec<Finding>) -> &[Finding] {
        self.done.found.get_or_init(|| find(self))
    }

    /// The kerf of lines sawn on a board, by its place in the job.
    pub(crate) fn sawn_kerf(&self, board: Option<usize>) -> f64 {
        let workshop = &self.job.workshop;
        board.map_or(workshop.sawn_kerf, |place| {
            workshop.sawn_kerf_for(self.job.boards[place].thickness)
        })
    }

    /// The kerf between pieces of a board while no order of cuts is known.
    pub(crate) fn kerf_once_moved(&self, way: Way, board: Option<usize>) -> f64 {
        match way {
            Way::Sawn => self.sawn_kerf(board),
            Way::Straight => self.least_straight_kerf,
        }
    }

    /// The part as it lies at a pose; none if the job does not know it, or if the pose is
    /// not a place ([`is_a_place`]).
    pub(crate) fn piece(&self, copy: &PartCopy, pose: Pose) -> Option<Piece> {
        let part = self.part_place(copy)?;
        if !is_a_place(&pose) {
            return None;
        }
        let index = &self.parts[part];
        let transform = pose.transform();
        let core = index.core.transformed(&transform);
        Some(Piece {
            part,
            copy: copy.clone(),
            pose,
            bounds: core.bounds().grown(index.radius),
            finished: index.finished.as_ref().map(|f| f.transformed(&transform)),
            core,
            radius: index.radius,
            leaf: None,
        })
    }

    /// A placement as it lies; none as for [`JobIndex::piece`].
    pub(crate) fn laid(&self, board: usize, placement: &Placement) -> Option<Piece> {
        let mut piece = self.piece(&placement.part_copy(), placement.pose())?;
        piece.leaf = placement.leaf.map(|said| self.leaf(board, &piece, said));
        Some(piece)
    }

    /// The leaves that a copy is one of.
    pub(crate) fn leaves_with(&self, copy: &PartCopy) -> Option<&Match> {
        let mut leaves = self.job.matches.iter().filter(|m| is_of_leaves(m));
        leaves.find(|m| m.parts.contains(copy))
    }

    fn leaf(&self, board: usize, piece: &Piece, said: u32) -> Leaf {
        let wood = &self.job.boards[board];
        let all = self.leaves_with(&piece.copy).map_or(&[][..], |m| &m.parts);
        let place = all.iter().position(|c| *c == piece.copy).unwrap_or(0);
        let parts: Vec<&Part> = all.iter().filter_map(|c| self.job.part(&c.part)).collect();
        let own = &self.job.parts[piece.part].allowances;
        let planed = planed_off_each_face(wood, own);
        // What lies between a face of the board and this leaf: those beyond it, with the kerf next to it.
        let beyond = |others: &[&Part]| match others {
            [] => planed,
            others => planed + leaves_thickness(&self.job, others),
        };
        let next = |at: Option<&&Part>| {
            at.map_or(0.0, |other| {
                let both = [*other, &self.job.parts[piece.part]];
                leaves_thickness(&self.job, &both) - both[0].thickness - both[1].thickness
            })
        };
        let place = place.min(parts.len());
        let (above, below) = (&parts[..place], parts.get(place + 1..).unwrap_or(&[]));
        Leaf {
            said,
            within: (
                beyond(above) + next(above.last()),
                beyond(below) + next(below.first()),
            ),
            outermost: (above.is_empty(), below.is_empty()),
        }
    }
}

/// Whether all numbers of a pose are finite and within [`FAR`].
pub(crate) fn is_a_place(pose: &Pose) -> bool {
    [pose.x, pose.y, pose.turn].iter().all(|v| v.abs() <= FAR)
}

impl BoardIndex {
    fn new(job: &Job, board: &Board) -> BoardIndex {
        let outline = PreparedRegion::new(board.outline.clone());
        let sides: Vec<Side> = board
            .outline
            .edges()
            .zip(&board.sides)
            .map(|((a, b), state)| Side {
                a,
                b,
                trim: state.trim(&job.workshop),
                is_end: state.is_end,
            })
            .filter(|side| side.trim > 0.0)
            .collect();
        let side_index = BoxIndex::of(
            sides
                .iter()
                .enumerate()
                .map(|(k, side)| (Bounds::new(side.a, side.b).grown(side.trim), k)),
        );
        let zones: Vec<ZoneIndex> = board
            .zones
            .iter()
            .enumerate()
            .filter(|(_, zone)| zone.kind != ZoneKind::Figure)
            .map(|(place, zone)| ZoneIndex {
                place,
                shape: PreparedRegion::new(zone.shape.clone()),
            })
            .collect();
        let zone_index = BoxIndex::of(
            zones
                .iter()
                .enumerate()
                .map(|(k, z)| (z.shape.bounds().grown(board.zones[z.place].margin), k)),
        );
        BoardIndex {
            outline,
            sides,
            side_index,
            zones,
            zone_index,
        }
    }

    /// The raw sides whose trimmed strip may come near a box.
    pub(crate) fn sides_near<'a>(
        &'a self,
        bounds: &Bounds,
    ) -> impl Iterator<Item = &'a Side> + use<'a> {
        self.side_index
            .query(bounds)
            .into_iter()
            .map(|k| &self.sides[k])
    }

    /// The zones that, with their margins, may come near a box.
    pub(crate) fn zones_near<'a>(
        &'a self,
        bounds: &Bounds,
    ) -> impl Iterator<Item = &'a ZoneIndex> + use<'a> {
        self.zone_index
            .query(bounds)
            .into_iter()
            .map(|k| &self.zones[k])
    }
}

impl PartIndex {
    fn new(part: &Part) -> PartIndex {
        let blank = Blank::of(part);
        let finished = match part.cut {
            PartCut::Straight => Some(PreparedRegion::new(part.outline.clone())),
            PartCut::Sawn => None,
        };
        PartIndex {
            core: PreparedRegion::new(blank.core),
            radius: blank.radius,
            finished,
        }
    }
}
