//! Blanks sawn out by line, with their true outlines, on boards as they are.
//!
//! # Shapes and distances
//! A blank is the core of its part and a radius round it; outlines, trimmed sides and zones
//! are shells with a distance of their own ([`ground`]). Two shapes are compared through the
//! differences of their convex pieces ([`difference`]): the place of one relative to the
//! other is a point, the places it may not have are a few convex polygons grown by the
//! distance to keep, corners rounded. The same polygons tell how deep two shapes overlap,
//! the shortest way out, and the barred heights at an x. They are worked out once for each
//! pair of forms (a part at a turn, perhaps turned over) and kept in a table of fixed size,
//! so that a move of a piece costs a few comparisons with a point for each neighbour. Holes
//! need nothing special: a small part in the hole of a large one is simply clear of it.
//!
//! Hollow curves have many convex pieces. Such outlines are simplified outwards for the
//! search, by no more than half the sawn allowance; shapes without allowance stay as they
//! are. Before a layout counts, every distance is measured again on the true outlines
//! ([`verify`]).
//!
//! # First layout
//! [`build`] places the pieces, the largest first, each at the leftmost free place
//! ([`column`]) of the board where clear timber is cheapest: the search for touching places
//! on no-fit polygons (Egeblad, Nielsen & Odgaard 2007 and much before them), done column by
//! column on intervals instead of on whole polygons.
//!
//! # Bettering
//! [`tangle`] parts pieces that overlap in a fixed frame by guided local search: every pair
//! has a weight that grows while it overlaps; a piece moves to where its weighted overlaps
//! are least (Egeblad, Nielsen & Odgaard 2007; Umetani, Yagiura, Imahori, Imamichi, Nonobe &
//! Ibaraki 2009; Elkeran 2013). Overlap is measured by how far the pieces' convex parts
//! would have to move apart, in the manner of Imamichi, Yagiura & Nagamochi (2009), who
//! separate by the penetration depth of no-fit polygons. Places are sampled over the board,
//! near where the piece lies and where corners touch, and the best few improved by steps
//! along the axes, after Gardeyn, Vanden Berghe & Wauters (2025); then the piece is pushed
//! straight out of its deepest overlap, which ends in exact contact where sampling alone
//! only comes near.
//!
//! [`strip`] shortens a strip and parts what then overlaps, in two phases: exploring by
//! larger steps with restarts from the least bad layouts, and pressing the best one together
//! (the frame of Gardeyn, Vanden Berghe & Wauters 2025). [`repair`] works across boards: it
//! empties a board onto the others or onto cheaper ones, or takes up pieces and lays them
//! anew, and forces in what finds no free place by laying it over others and parting them.
//!
//! # What was tried and dropped
//! - Every right end of every polygon of the board as a column for the first layout: 8 times
//!   slower (9 s for 60 parts on 12 boards) and no better.
//! - All turns on every board in the first layout: 0.7 to 1.2 s, against 0.11 to 0.20 s when
//!   they are tried only for pieces that find no place with the grain.
//! - Other measures of overlap (3 s of processor time, one seed; jakobs1, mao, shapes0,
//!   trousers, per cent): the sum of the depths, as it is, 81.7, 81.5, 60.5, 87.1; the greatest depth 84.7, 81.1,
//!   62.3, 82.8; its square root 81.7, 78.9, 63.2, 78.3. Means 77.7, 77.7, 75.5: the first two
//!   win on different shapes, and one measure that has both their strengths is still to be found.
//!
//! # Measured
//! Densities after 5 s of processor time, one seed, one thread of a crowded two-core machine:
//! albano 86.5, fu 90.9, jakobs1 81.7, mao 81.5, shapes0 62.4, shapes2 80.3, trousers 87.2;
//! mean 81.5.
//!
//! # Not there yet
//! Parts of a match are not kept together here (what breaks a match is left out of the plan
//! afterwards). A part that may hold a fixing is kept clear of it all the same. On bent
//! grain the parting judges the grain by the box round a blank, which is stricter than the rule.

mod build;
mod column;
mod difference;
mod ground;
mod lie;
mod repair;
mod shape;
mod strip;
mod tangle;
mod verify;
mod worth;

use std::cmp::Ordering;

use heartside_geometry::Point;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::{Frame, Layout, Placement, Way};

use self::build::{Build, Floor};
use self::ground::Yard;
use self::lie::{Lie, Piece};
use self::repair::{Repair, Tools};
use self::strip::Squeeze;
use self::worth::Worth;
use crate::chance::Chance;
use crate::engine::{Engine, Stock, Task};

/// The engine for a task.
pub(crate) fn engine(job: &Job, task: Task) -> Box<dyn Engine> {
    Box::new(Sawn::new(job, task))
}

/// The search on sawn boards.
#[derive(Debug)]
struct Sawn {
    stock: Vec<Stock>,
    pieces: Vec<Piece>,
    yard: Yard,
    chance: Chance,
    floor: Floor,
    phase: Phase,
    layouts: Vec<Layout>,
}

/// What the search is at.
#[derive(Debug)]
enum Phase {
    /// The first layout.
    Build(Build),
    /// A strip is shortened.
    Squeeze(Box<Squeeze>),
    /// Pieces are taken up and laid again.
    Repair(Box<Repair>),
    /// Nothing can be bettered.
    Done,
}

impl Sawn {
    fn new(job: &Job, task: Task) -> Sawn {
        let mut used = vec![false; job.boards.len()];
        for stock in &task.stock {
            used[stock.board] = true;
        }
        let mut yard = Yard::new(job, &used);
        let mut pieces = Vec::new();
        let mut floor = Floor {
            boards: vec![Vec::new(); task.stock.len()],
            left: Vec::new(),
        };
        for (part, copies) in task.wanted.iter().enumerate() {
            for copy in copies {
                floor.left.push(pieces.len());
                pieces.push(Piece { part, copy: *copy });
            }
        }
        for pin in &task.pins {
            let Some(s) = task.stock.iter().position(|s| *s == pin.stock) else {
                continue;
            };
            let (part, at) = (pin.part, pin.at);
            let shape = &yard.shapes[part];
            let form = yard.forms.passing(part, shape, at.turn, at.turned_over);
            floor.boards[s].push(Lie {
                piece: pieces.len(),
                form,
                at: Point::new(at.x, at.y),
                pinned: true,
            });
            pieces.push(Piece {
                part,
                copy: pin.copy,
            });
        }
        let build = Build::new(job, &yard, &task.stock, &pieces, &floor);
        let mut sawn = Sawn {
            stock: task.stock,
            pieces,
            yard,
            chance: task.chance,
            floor,
            phase: Phase::Build(build),
            layouts: Vec::new(),
        };
        sawn.emit(job);
        sawn
    }

    /// Writes the layouts of the best floor.
    fn emit(&mut self, job: &Job) {
        self.layouts = self
            .stock
            .iter()
            .zip(&self.floor.boards)
            .filter(|(_, lies)| !lies.is_empty())
            .map(|(stock, lies)| Layout {
                board: BoardCopy {
                    board: job.boards[stock.board].id.clone(),
                    copy: stock.copy,
                },
                way: Way::Sawn,
                frame: Frame::default(),
                placements: lies
                    .iter()
                    .map(|lie| Placement {
                        part: job.parts[self.pieces[lie.piece].part].id.clone(),
                        copy: self.pieces[lie.piece].copy,
                        at: lie.placed(),
                    })
                    .collect(),
                cuts: None,
            })
            .collect();
    }

    /// What follows once the first layout stands: squeezing a strip, bettering a floor.
    fn after_build(&mut self, job: &Job) -> Phase {
        if job.goal == Goal::StripLength {
            let Some(lies) = self.floor.boards.first().filter(|l| !l.is_empty()) else {
                return Phase::Done;
            };
            let (board, lies) = (self.stock[0].board, lies.clone());
            let squeeze = Squeeze::new(&mut self.yard, job, board, lies, &mut self.chance);
            return Phase::Squeeze(Box::new(squeeze));
        }
        let repair = Repair::new(
            &mut Tools {
                job,
                yard: &mut self.yard,
                stock: &self.stock,
                pieces: &self.pieces,
                chance: &mut self.chance,
            },
            &self.floor,
        );
        if repair.is_hopeless() {
            Phase::Done
        } else {
            Phase::Repair(Box::new(repair))
        }
    }

    /// A floor read from layouts made elsewhere; none if a board, a piece or a pin is not as here.
    fn read(&mut self, job: &Job, layouts: &[Layout]) -> Option<Floor> {
        let mut floor = Floor {
            boards: vec![Vec::new(); self.stock.len()],
            left: Vec::new(),
        };
        let mut lying = vec![false; self.pieces.len()];
        let pinned: Vec<Lie> = self
            .floor
            .boards
            .iter()
            .flatten()
            .filter(|l| l.pinned)
            .cloned()
            .collect();
        for layout in layouts.iter().filter(|l| l.way == Way::Sawn) {
            let board = job.board_index(&layout.board.board)?;
            let s = self
                .stock
                .iter()
                .position(|s| s.board == board && s.copy == layout.board.copy)?;
            for placement in &layout.placements {
                let part = job.part_index(&placement.part)?;
                let piece = self
                    .pieces
                    .iter()
                    .position(|p| p.part == part && p.copy == placement.copy)?;
                if std::mem::replace(&mut lying[piece], true) {
                    return None;
                }
                let Some(pin) = pinned.iter().find(|l| l.piece == piece) else {
                    let shape = &self.yard.shapes[part];
                    let (turn, over) = (placement.at.turn, placement.at.turned_over);
                    let form = self.yard.forms.kept(part, shape, turn, over);
                    floor.boards[s].push(Lie {
                        piece,
                        form,
                        at: Point::new(placement.at.x, placement.at.y),
                        pinned: false,
                    });
                    continue;
                };
                floor.boards[s].push(pin.clone());
            }
        }
        floor.left = (0..self.pieces.len()).filter(|k| !lying[*k]).collect();
        let all_pins = pinned.iter().all(|l| lying[l.piece]);
        let sound = self
            .stock
            .iter()
            .zip(&floor.boards)
            .all(|(stock, lies)| verify::is_sound(&self.yard, job, stock.board, lies));
        (all_pins && sound).then_some(floor)
    }
}

impl Engine for Sawn {
    fn step(&mut self, job: &Job) -> bool {
        match &mut self.phase {
            Phase::Build(build) => {
                build.step(
                    job,
                    &mut self.yard,
                    &self.stock,
                    &self.pieces,
                    &mut self.floor,
                );
                if !build.is_done() {
                    return false;
                }
                self.emit(job);
                self.phase = self.after_build(job);
                true
            }
            Phase::Squeeze(squeeze) => {
                if !squeeze.step(&mut self.yard, job, &mut self.chance) {
                    return false;
                }
                self.floor.boards[0] = squeeze.best().to_vec();
                self.emit(job);
                true
            }
            Phase::Repair(repair) => {
                let mut tools = Tools {
                    job,
                    yard: &mut self.yard,
                    stock: &self.stock,
                    pieces: &self.pieces,
                    chance: &mut self.chance,
                };
                let Some(floor) = repair.step(&mut tools) else {
                    return false;
                };
                self.floor = floor.clone();
                self.emit(job);
                true
            }
            Phase::Done => false,
        }
    }

    fn turn_steps(&self) -> u64 {
        50
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        matches!(self.phase, Phase::Done)
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        let Some(floor) = self.read(job, layouts) else {
            return false;
        };
        let worth = |floor| Worth::of(job, &self.yard, &self.stock, &self.pieces, floor);
        let order = worth(&floor).compare(&worth(&self.floor));
        let shorter = job.goal == Goal::StripLength && reach(&floor) < reach(&self.floor);
        if order != Ordering::Less && !(order == Ordering::Equal && shorter) {
            return false;
        }
        self.floor = floor;
        self.emit(job);
        self.phase = self.after_build(job);
        true
    }
}

/// The greatest x of any core.
fn reach(floor: &Floor) -> f64 {
    floor
        .boards
        .iter()
        .flatten()
        .map(|l| l.bounds().max.x)
        .fold(f64::NEG_INFINITY, f64::max)
}
