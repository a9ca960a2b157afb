//! The engine's boards, prepared: each in its frames, with its pins already cut round.

use heartside_timber::document::{BoardCopy, Cuts};
use heartside_timber::job::{Job, Part, PartCut};
use heartside_timber::plan::{Layout, Placement, Way};

use super::separator::{common_angle, cutting_for};
use super::takes::Takes;
use crate::cuts::cutting::{Cutout, Cutting};
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::cuts::pair::{Nested, nested_pairs};
use crate::cuts::saw::Saws;
use crate::cuts::side::Side;
use crate::objective::Choices;
use crate::task::{Pinned, Stock, Task};

/// Cuts looked at to find an order for the pins of one board.
const PIN_STEPS: u64 = 20_000;

/// Boards made ready before that a board's ways to lie are compared with.
const SHARED_WITH: usize = 3;

/// Frames of one board, those of layouts made elsewhere among them.
const MOST_FRAMES: usize = 8;

/// The boards of one engine.
pub struct Stockroom {
    /// The tools.
    pub saws: Saws,
    /// Every board in every frame it may be cut in; copies of a board share them.
    pub grounds: Vec<Ground>,
    /// The boards, in the task's order.
    pub shelves: Vec<Shelf>,
    /// Layouts of pins that no straight cuts can separate; their boards are left alone otherwise.
    pub(crate) stuck: Vec<Layout>,
}

/// One copy of a board.
#[derive(Debug, Clone)]
pub struct Shelf {
    /// Which board.
    pub stock: Stock,
    /// Its frames: places in the list of grounds, best first.
    pub frames: Vec<usize>,
    /// Where it starts from: its pins cut free.
    pub(crate) pinned: Option<Cutting>,
    /// Nothing can be laid on it: its pins cannot be separated.
    pub(crate) is_stuck: bool,
}

impl Stockroom {
    /// Prepares the boards of a task.
    pub fn new(job: &Job, task: &Task) -> Stockroom {
        let mut room = Stockroom {
            saws: Saws::of(job),
            grounds: Vec::new(),
            shelves: Vec::new(),
            stuck: Vec::new(),
        };
        let mut shared: Vec<(usize, Vec<usize>)> = Vec::new();
        let nested = nested_pairs(job);
        for stock in &task.stock {
            let pins: Vec<Pinned> = task
                .pins
                .iter()
                .filter(|p| p.stock == *stock)
                .copied()
                .collect();
            if !pins.is_empty() {
                room.add_pinned(job, *stock, &pins, &nested);
                continue;
            }
            let frames = match shared.iter().find(|(board, _)| *board == stock.board) {
                Some((_, frames)) => frames.clone(),
                None => {
                    let frames: Vec<usize> = frame_angles(job, stock.board)
                        .into_iter()
                        .map(|a| room.add_ground(Ground::new(job, stock.board, a), &nested))
                        .collect();
                    shared.push((stock.board, frames.clone()));
                    frames
                }
            };
            room.shelves.push(Shelf {
                stock: *stock,
                frames,
                pinned: None,
                is_stuck: false,
            });
        }
        room
    }

    fn add_ground(&mut self, mut ground: Ground, nested: &[Nested]) -> usize {
        ground.pair_up(nested);
        for like in self.grounds.iter().rev().take(SHARED_WITH) {
            ground.share_with(like);
        }
        self.grounds.push(ground);
        self.grounds.len() - 1
    }

    /// Makes a board ready in the frame of a layout made elsewhere, by hand or askew, so that it can be read.
    pub(crate) fn add_frame_of(&mut self, job: &Job, layout: &Layout) {
        let shelves = self.shelves.iter();
        let places: Vec<usize> = shelves
            .enumerate()
            .filter(|(_, s)| s.pinned.is_none() && !s.is_stuck && s.frames.len() < MOST_FRAMES)
            .filter(|(_, s)| board_copy(job, s.stock) == layout.board)
            .map(|(place, _)| place)
            .collect();
        for place in places {
            let shelf = &self.shelves[place];
            let is_known = |f: &usize| self.grounds[*f].frame == layout.frame;
            if layout.cuts.is_none() || shelf.frames.iter().any(is_known) {
                continue;
            }
            let ground = Ground::new(job, shelf.stock.board, layout.frame.angle);
            if ground.frame == layout.frame {
                let frame = self.add_ground(ground, &[]);
                self.shelves[place].frames.push(frame);
            }
        }
    }

    fn add_pinned(&mut self, job: &Job, stock: Stock, pins: &[Pinned], nested: &[Nested]) {
        let placements: Vec<Placement> = pins
            .iter()
            .map(|p| Placement {
                part: job.parts[p.part].id.clone(),
                copy: p.copy,
                at: p.at,
                ..Placement::default()
            })
            .collect();
        let ground = Ground::new(job, stock.board, common_angle(job, &placements));
        let frame = ground.frame;
        let found = cutting_for(job, &ground, &self.saws, &placements, PIN_STEPS);
        let frames = vec![self.add_ground(ground, nested)];
        match found {
            Ok((mut cutting, _)) => {
                cutting.reopen();
                self.shelves.push(Shelf {
                    stock,
                    frames,
                    pinned: Some(cutting),
                    is_stuck: false,
                });
            }
            Err(_) => {
                // Sawn parts that no straight cuts part are sawn from the whole board.
                let board = &job.boards[stock.board];
                let by_line = board.cuts == Cuts::Any
                    && job.workshop.can_saw_by_line(board.thickness)
                    && pins.iter().all(|p| job.parts[p.part].cut == PartCut::Sawn);
                self.stuck.push(Layout {
                    board: board_copy(job, stock),
                    way: if by_line { Way::Sawn } else { Way::Straight },
                    frame,
                    placements,
                    cuts: None,
                });
                self.shelves.push(Shelf {
                    stock,
                    frames,
                    pinned: None,
                    is_stuck: true,
                });
            }
        }
    }

    /// The board uncut, or with its pins cut free; for a strip no longer than `limit`.
    pub(crate) fn start(
        &self,
        job: &Job,
        shelf: usize,
        frame: usize,
        limit: Option<f64>,
    ) -> Cutting {
        let ground = &self.grounds[frame];
        let mut cutting = match &self.shelves[shelf].pinned {
            Some(cutting) => cutting.clone(),
            None => Cutting::whole(ground),
        };
        if let Some(limit) =
            limit.filter(|_| Choices::of(job).is_strip() && self.shelves[shelf].pinned.is_none())
        {
            let edge = ground.usable.min.x + limit;
            if edge < ground.bounds.max.x
                && let Some((low, _)) =
                    cutting.part_in_two(job, ground, &self.saws, 0, Side::HighX, edge)
            {
                cutting.open = vec![low];
            }
        }
        cutting
    }

    /// For each board and part, whether the board, empty, takes the part. O(boards x parts).
    pub(crate) fn table(&self, job: &Job) -> Takes {
        Takes::new(self.shelves.len(), job.parts.len(), |shelf, part| {
            self.takes(&self.shelves[shelf], part)
        })
    }

    /// True where the board, empty, is large, thick and straight enough for the part in one of its frames.
    pub fn takes(&self, shelf: &Shelf, part: usize) -> bool {
        !shelf.is_stuck
            && shelf.frames.iter().any(|f| {
                let ground = &self.grounds[*f];
                let room = ground.usable;
                ground.fits[part].iter().any(|fit| {
                    fit.width <= room.width() + ground.bite
                        && fit.height <= room.height() + ground.bite
                })
            })
    }
}

/// The board's name in plans.
pub(crate) fn board_copy(job: &Job, stock: Stock) -> BoardCopy {
    BoardCopy {
        board: job.boards[stock.board].id.clone(),
        copy: stock.copy,
    }
}

/// The cutouts of a layout made elsewhere; none where it is not square to the frame or names unknown parts.
pub(crate) fn cutouts_of(
    job: &Job,
    ground: &Ground,
    layout: &Layout,
    is_pinned: impl Fn(&Part, u32) -> bool,
) -> Option<Vec<Cutout>> {
    layout
        .placements
        .iter()
        .map(|p| {
            let part = job.part_index(&p.part)?;
            let rect = ground.rect_of(&job.parts[part], &p.at)?;
            let copy = is_pinned(&job.parts[part], p.copy).then_some(p.copy);
            Some(Cutout {
                part,
                copy,
                placed: p.at,
                rect,
            })
        })
        .collect()
}
