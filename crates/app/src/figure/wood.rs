//! Where the parts of a face may lie, judged by the checker itself.

use heartside_check::{Checker, Live};
use heartside_figure::matching::{Room, Source};
use heartside_geometry::{Bounds, Point, Pose, Vector};
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Severity;
use heartside_timber::job::{Job, Part};
use heartside_timber::plan::{Layout, Placement, Plan};

use super::known::{KnownFace, on_board, on_face, place_on};
use super::wanted::{Seat, Wanted};

/// How far a face that is more like another may have its parts from where they lie there, in millimetres.
const LIKE: f64 = 150.0;

/// A gap that is wider than one cut by less than this, in millimetres, is one cut.
const TOUCHING: f64 = 1e-6;

/// Where one part of a face lies.
pub(super) type Lies = (PartCopy, BoardCopy, Pose);

/// The wood that is free for the parts of a face: boards that may be cut, without what is pinned on them.
pub(super) struct Wood {
    live: Live,
    /// Where parts may be seen, and on which boards.
    pub(super) sources: Vec<Source>,
    pub(super) boards: Vec<BoardCopy>,
    outlines: Vec<Bounds>,
    /// The parts in their places in the face, and the boxes of their blanks.
    tiles: Vec<(Seat, Bounds)>,
    may_turn_over: Vec<bool>,
    /// Kept between blanks by a cut along them and by one across.
    kerfs: [f64; 2],
    /// Where each part is to lie about, of a face that is more like another.
    like: Option<Vec<Lies>>,
}

impl Wood {
    /// The wood of a job for the parts of a face; none where one of them is not in the job.
    pub(super) fn new(
        job: &Job,
        known: &[KnownFace],
        wanted: &Wanted,
        like: Option<Vec<Lies>>,
    ) -> Option<Wood> {
        let parts = wanted.seats.iter().map(|seat| job.part(&seat.part.part));
        let parts: Vec<&Part> = parts.collect::<Option<_>>()?;
        let is_here = |copy: &PartCopy| wanted.seats.iter().any(|seat| seat.part == *copy);
        let mut plain = job.clone();
        // Each part of the face is judged by itself: what holds of them together is the caller's.
        (plain.matches, plain.panels) = Default::default();
        plain.pins.retain(|pin| !is_here(&pin.part));
        for (place, part) in parts.iter().enumerate() {
            plain.parts.push(Part {
                id: tile_id(place),
                count: 1,
                in_hand: Vec::new(),
                ..(*part).clone()
            });
        }
        plain.parts.iter_mut().for_each(|part| part.stave = None);
        let pinned = Plan {
            layouts: pinned(&plain),
            ..Plan::default()
        };
        let live = Checker::new(&plain).live(&pinned);
        let boards: Vec<BoardCopy> = job
            .board_copies()
            .into_iter()
            .filter(|copy| job.board(&copy.board).is_some_and(|b| b.is_usable()))
            .collect();
        let sources = boards.iter().enumerate().flat_map(|(board, copy)| {
            [false, true].into_iter().filter_map(move |is_down| {
                let Bounds { min, max } = job.board(&copy.board)?.outline.bounds();
                let turned_over = Bounds::new(Point::new(min.x, -min.y), Point::new(max.x, -max.y));
                Some(Source {
                    map: place_on(job, known, copy, is_down)?,
                    board,
                    is_down,
                    extent: if is_down {
                        turned_over
                    } else {
                        Bounds { min, max }
                    },
                })
            })
        });
        let over = parts.iter().map(|part| part.may_turn_over);
        let over: Vec<bool> = over.collect();
        let wanted_face = |s: &Source| !s.is_down || over.iter().any(|over| *over);
        let outlines = boards.iter().filter_map(|b| job.board(&b.board));
        let widest = |does: fn(&heartside_timber::job::Tool) -> bool| {
            let tools = job.workshop.tools.iter().filter(|tool| does(tool));
            let kerf = tools.map(|tool| tool.kerf).fold(0.0, f64::max);
            kerf.max(0.0)
        };
        let blanks = parts.iter().map(|part| Blank::of(part).bounds());
        let tiles = wanted.seats.iter().cloned().zip(blanks);
        Some(Wood {
            sources: sources.filter(wanted_face).collect(),
            outlines: outlines.map(|b| b.outline.bounds()).collect(),
            tiles: tiles.collect(),
            kerfs: [widest(|t| t.rips), widest(|t| t.crosscuts)],
            may_turn_over: over,
            live,
            boards,
            like,
        })
    }

    /// The copy of a board that a source is a face of.
    pub(super) fn board(&self, source: usize) -> &BoardCopy {
        &self.boards[self.sources[source].board]
    }

    /// How a part lies on the board where what is seen of it lies so.
    pub(super) fn lies(&self, tile: usize, source: usize, at: Pose) -> Pose {
        let part_at = self.tiles[tile].0.part_at(at);
        on_board(self.sources[source].is_down, part_at)
    }

    /// How what is seen of each part lies on which face, where the parts lie so; none where nothing is known there.
    pub(super) fn seen(&self, lies: &[Lies]) -> Option<Vec<(usize, Pose)>> {
        let seen = lies.iter().enumerate().map(|(tile, (_, board, pose))| {
            let source = self.source(board, pose.turned_over)?;
            Some((source, self.tiles[tile].0.seen_at(on_face(*pose))))
        });
        seen.collect()
    }

    fn source(&self, board: &BoardCopy, is_down: bool) -> Option<usize> {
        let mut sources = self.sources.iter();
        sources.position(|s| self.boards[s.board] == *board && s.is_down == is_down)
    }

    /// Whether a part may lie so on a board, whichever face of that shows it.
    pub(super) fn may_lie_on(&self, tile: usize, board: &BoardCopy, lies: Pose) -> bool {
        let source = self.source(board, lies.turned_over);
        let seen_at = self.tiles[tile].0.seen_at(on_face(lies));
        source.is_some_and(|source| self.may_lie(tile, source, seen_at))
    }

    fn is_like(&self, tile: usize, source: usize, lies: Pose) -> bool {
        let Some(like) = &self.like else { return true };
        let Some((_, board, pose)) = like.get(tile) else {
            return true;
        };
        let ends = |pose: Pose| {
            let bounds = self.tiles[tile].1;
            [pose.apply(bounds.min), pose.apply(bounds.max)]
        };
        let ends = ends(lies).into_iter().zip(ends(*pose));
        self.board(source) == board
            && lies.turned_over == pose.turned_over
            && ends.map(|(a, b)| (a - b).length()).all(|far| far <= LIKE)
    }

    /// The corners of a blank on its board, and the ways along and across it.
    fn corners(&self, (tile, source, at): (usize, usize, Pose)) -> ([Point; 4], [Vector; 2]) {
        let lies = self.lies(tile, source, at).transform();
        let b = self.tiles[tile].1;
        let corners = [
            b.min,
            Point::new(b.max.x, b.min.y),
            b.max,
            Point::new(b.min.x, b.max.y),
        ];
        let ways = [Vector::new(1.0, 0.0), Vector::new(0.0, 1.0)];
        (
            corners.map(|p| lies.apply(p)),
            ways.map(|v| lies.apply_vector(v)),
        )
    }
}

impl Room for Wood {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        let Some(on) = self.sources.get(source) else {
            return false;
        };
        if on.is_down && !self.may_turn_over[tile] {
            return false;
        }
        let lies = self.lies(tile, source, at);
        if !self.is_like(tile, source, lies) {
            return false;
        }
        // Most places that are asked about are off the board: that needs no look at its wood.
        let outline = self.outlines[on.board].grown(1e-6);
        let (corners, _) = self.corners((tile, source, at));
        if !corners.iter().all(|p| outline.contains(*p)) {
            return false;
        }
        let part = PartCopy {
            part: tile_id(tile),
            copy: 1,
        };
        let found = self.live.trial(&part, &self.boards[on.board], lies);
        found.iter().all(|f| f.severity != Severity::Broken)
    }

    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        if self.sources[one.1].board != self.sources[other.1].board {
            return true;
        }
        let ((a, along), (b, across)) = (self.corners(one), self.corners(other));
        // A straight line between two rectangles can always be laid along a side of one of them.
        [along, across].iter().any(|[x, y]| {
            [(*y, self.kerfs[0]), (*x, self.kerfs[1])]
                .iter()
                .any(|(square, kerf)| {
                    let far = |corners: &[Point; 4]| {
                        let off = corners.map(|p| p.x * square.x + p.y * square.y);
                        let least = off.iter().copied().fold(f64::INFINITY, f64::min);
                        (least, off.iter().copied().fold(f64::NEG_INFINITY, f64::max))
                    };
                    let (a, b) = (far(&a), far(&b));
                    let gap = (b.0 - a.1).max(a.0 - b.1);
                    // One cut parts them, or two with a strip between that is no less than what a saw takes off.
                    gap >= 2.0 * kerf || (gap - kerf).abs() <= TOUCHING
                })
        })
    }
}

/// No maker's id has two points in a row.
fn tile_id(place: usize) -> String {
    format!("..tile{place}")
}

/// What is pinned, as layouts without cuts.
fn pinned(job: &Job) -> Vec<Layout> {
    let mut layouts: Vec<Layout> = Vec::new();
    for pin in &job.pins {
        let placement = Placement {
            part: pin.part.part.clone(),
            copy: pin.part.copy,
            at: pin.at,
            ..Placement::default()
        };
        match layouts.iter_mut().find(|l| l.board == pin.board) {
            Some(layout) => layout.placements.push(placement),
            None => layouts.push(Layout {
                board: pin.board.clone(),
                way: Default::default(),
                frame: Default::default(),
                placements: vec![placement],
                cuts: None,
            }),
        }
    }
    layouts
}
