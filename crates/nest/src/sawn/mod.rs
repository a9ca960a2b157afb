//! Blanks sawn out by line, with their true outlines, on boards as they are.
//!
//! # Shapes and distances
//! A blank is the core of its part and a radius round it; outlines, trimmed sides and zones
//! are shells with a distance of their own ([`yard`]). Two shapes are compared through the
//! no-fit polygons of their convex pieces ([`no_fit`]): the place of one relative to the
//! other is a point, the places it may not have are a few convex polygons grown by the
//! distance to keep, corners rounded. The same polygons tell how deep two shapes overlap,
//! the shortest way out, and the barred heights at an x. They are worked out once for each
//! pair of forms (a part at a turn, perhaps turned over) and kept in a table of fixed size,
//! so that a move of a piece costs a few comparisons with a point for each neighbour. Holes
//! need nothing special: a small part in the hole of a large one is simply clear of it.
//!
//! What takes the time is fetching these polygons from memory, not the arithmetic. So each is
//! kept once for all pairs with the same angle between them ([`pairs`]: turning both pieces
//! turns it too, and exchanging them turns it by a half), what is asked for often
//! gets a net whose meshes list the few sides that can matter there ([`net`]), and the
//! neighbours of a place are found by sets of bits in slabs across the board ([`slabs`]). What
//! is asked for only a few times (turns that hardly come up again, the sides of a board) is
//! worked out each time from the convex pieces themselves ([`rim`]).
//!
//! Hollow curves have many convex pieces. Such outlines are simplified outwards for the
//! search, by no more than half the sawn allowance; shapes without allowance stay as they
//! are. Before a layout counts, every distance is measured again on the true outlines
//! ([`verify`]).
//!
//! # First layout
//! [`build`] places the pieces, the largest first, each at the leftmost free place
//! ([`bottom_left`]) of the board where clear timber is cheapest: the search for touching places
//! on no-fit polygons (Egeblad, Nielsen & Odgaard 2007 and much before them), done column by
//! column on intervals instead of on whole polygons.
//!
//! # Bettering
//! [`separation`] parts pieces that overlap in a fixed frame by guided local search: every pair
//! has a weight that grows while it overlaps; a piece moves to where its weighted overlaps
//! are least (Egeblad, Nielsen & Odgaard 2007; Umetani, Yagiura, Imahori, Imamichi, Nonobe &
//! Ibaraki 2009; Elkeran 2013). Overlap is measured by how far the pieces' convex parts
//! would have to move apart, each times the width (root of the area) of the smaller of the
//! two: about the area of the overlap, but nowhere flat and exactly 0 in contact. The depth
//! is that of Imamichi, Yagiura & Nagamochi (2009), who
//! separate by the penetration depth of no-fit polygons. Places are sampled over the board,
//! near where the piece lies and where corners touch, and the best few improved by steps
//! along the axes, after Gardeyn, Vanden Berghe & Wauters (2025); then the piece is pushed
//! straight out of its deepest overlap, which ends in exact contact where sampling alone
//! only comes near. For parts that may turn within a range, places are also proposed where a
//! side lies flush with one of a neighbour or of the board: that finds the turn, which sampling
//! does not. Nothing else here did as much for boards whose parts were sawn from them.
//! On strips places are also copied: where one part lies to another as a copy of the one lies to
//! a copy of the other. Of what is proposed so, four to ten times as much is taken as of places
//! anywhere.
//!
//! [`repair`] works across boards: it
//! empties a board onto the others or onto cheaper ones, or takes up pieces and lays them
//! anew, and forces in what finds no free place by laying it over others and parting them.
//! Two more ways of laying anew work on several boards: [`edge_matching`] fills boards side to side,
//! each time with the piece whose outline has most in common with what is there; [`multi_board`]
//! lays the pieces of several boards over each other and parts them over all of these boards
//! at once, taking out what stands most in the way where pieces may be left out. Where all lie,
//! up to three boards are exchanged for as many or fewer that cost less together: of forty
//! drawn the exchange that saves most, among those that cover the boards hardly more than now.
//! Where offcuts are asked for, [`compaction`] takes turns with it and presses the pieces of each
//! board together, so that the largest clear rest stays whole.
//!
//! Other ways of bettering may come from outside ([`outside`]): published instances have some.
//!
//! What was measured, tried and dropped stands in `notes/sawn.md` of this crate.
//!
//! # Not there yet
//! Parts of a match are not kept together here (what breaks a match is left out of the plan
//! afterwards). A part that may hold a fixing is kept clear of it all the same. On bent
//! grain the parting judges the grain by the box round a blank, which is stricter than the rule.

mod attempt;
mod board_shells;
pub(crate) mod bottom_left;
mod buckets;
mod build;
pub(crate) mod choices;
mod compaction;
mod direct;
mod edge_matching;
mod grain_cells;
mod keep;
pub(crate) mod lie;
mod multi_board;
mod net;
pub(crate) mod no_fit;
mod outside;
mod pairs;
mod repair;
mod rim;
mod separation;
pub(crate) mod shape;
mod slabs;
pub(crate) mod span;
pub(crate) mod spare;
mod tools;
mod verify;
pub(crate) mod yard;

use std::cmp::Ordering;

use heartside_geometry::Point;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Way};

use self::build::Build;
use self::compaction::{Compaction, score_of};
use self::lie::layout_of;
use self::repair::Repair;
use crate::chance::Chance;
use crate::engine::{Beside, Engine};
use crate::objective::Choices;
use crate::task::{Stock, Task};

pub use self::build::{Floor, filling_order};
pub use self::lie::{Lie, Piece};
pub use self::outside::{Phase, Stepped};
pub use self::separation::{Moved, Separation};
pub use self::shape::Form;
pub use self::tools::Tools;
pub use self::verify::is_sound;
pub use self::yard::Yard;

/// The engine for a task.
pub(crate) fn engine(job: &Job, task: Task, beside: &'static dyn Beside) -> Box<dyn Engine> {
    Box::new(Sawn::new(job, task, beside))
}

/// The search on sawn boards.
#[derive(Debug)]
struct Sawn {
    stock: Vec<Stock>,
    pieces: Vec<Piece>,
    yard: Yard,
    chance: Chance,
    floor: Floor,
    at: At,
    beside: &'static dyn Beside,
    /// Keeps offcuts whole, where they are asked for.
    compaction: Option<Compaction>,
    layouts: Vec<Layout>,
}

/// What the search is at.
#[derive(Debug)]
enum At {
    /// The first layout.
    Build(Build),
    /// Something from outside.
    Outside(Box<dyn Phase>),
    /// Pieces are taken up and laid again.
    Repair(Box<Repair>),
    /// Nothing can be bettered.
    Done,
}

impl Sawn {
    fn new(job: &Job, task: Task, beside: &'static dyn Beside) -> Sawn {
        let mut used = vec![false; job.boards.len()];
        for stock in &task.stock {
            used[stock.board] = true;
        }
        let compaction = Compaction::new(job);
        let mut yard = Yard::new(compaction.as_ref().map_or(job, Compaction::job), &used);
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
            at: At::Build(build),
            beside,
            compaction,
            layouts: Vec::new(),
        };
        sawn.emit(job);
        sawn
    }

    /// Writes the layouts of the best floor.
    fn emit(&mut self, job: &Job) {
        self.layouts = self.layouts_on(job, &self.floor);
    }

    fn layouts_on(&self, job: &Job, floor: &Floor) -> Vec<Layout> {
        self.stock
            .iter()
            .zip(&floor.boards)
            .filter(|(_, lies)| !lies.is_empty())
            .map(|(stock, lies)| layout_of(job, stock, &self.pieces, lies))
            .collect()
    }

    /// What the phases work with, and the floor.
    fn tools<'a>(&'a mut self, job: &'a Job) -> (Tools<'a>, &'a mut Floor) {
        let tools = Tools {
            job,
            yard: &mut self.yard,
            stock: &self.stock,
            pieces: &self.pieces,
            chance: &mut self.chance,
        };
        (tools, &mut self.floor)
    }

    /// What follows once the first layout stands.
    fn after_first(&mut self, job: &Job) -> At {
        let beside = self.beside;
        let (mut tools, floor) = self.tools(job);
        match beside.after_first_layout(&mut tools, floor) {
            Some(phase) => At::Outside(phase),
            None => self.after_build(job),
        }
    }

    /// What betters a floor: something from outside, or laying pieces anew.
    fn after_build(&mut self, job: &Job) -> At {
        let beside = self.beside;
        let (mut tools, floor) = self.tools(job);
        if let Some(phase) = beside.instead_of_repair(&mut tools, floor) {
            return At::Outside(phase);
        }
        let repair = Repair::new(&mut tools, floor);
        if repair.is_hopeless() {
            At::Done
        } else {
            At::Repair(Box::new(repair))
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
        match &mut self.at {
            At::Build(build) => {
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
                self.at = self.after_first(job);
                true
            }
            At::Outside(phase) => {
                let mut tools = Tools {
                    job,
                    yard: &mut self.yard,
                    stock: &self.stock,
                    pieces: &self.pieces,
                    chance: &mut self.chance,
                };
                match phase.step(&mut tools, &mut self.floor) {
                    Stepped::On => false,
                    Stepped::Better => {
                        self.emit(job);
                        true
                    }
                    Stepped::Solved => {
                        self.emit(job);
                        self.at = At::Done;
                        true
                    }
                    Stepped::GivenUp => {
                        self.at = self.after_build(job);
                        matches!(self.at, At::Done)
                    }
                }
            }
            At::Repair(repair) => {
                let mut tools = Tools {
                    job,
                    yard: &mut self.yard,
                    stock: &self.stock,
                    pieces: &self.pieces,
                    chance: &mut self.chance,
                };
                if let Some(compaction) = &mut self.compaction
                    && compaction.has_turn(&self.floor, repair.is_at_its_best(&tools))
                {
                    let is_better = compaction.step(&mut tools, &mut self.floor);
                    if is_better {
                        self.emit(job);
                    }
                    return is_better;
                }
                let Some(floor) = repair.step(&mut tools) else {
                    return false;
                };
                self.floor = floor.clone();
                if let Some(compaction) = &mut self.compaction {
                    compaction.begin_anew();
                }
                self.emit(job);
                true
            }
            At::Done => false,
        }
    }

    fn turn_steps(&self) -> u64 {
        50
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        matches!(self.at, At::Done)
    }

    fn passing(&self, job: &Job, dearer: f64) -> Option<Vec<Layout>> {
        let At::Repair(repair) = &self.at else {
            return None;
        };
        let floor = repair.passing(dearer)?;
        Some(self.layouts_on(job, floor))
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        let Some(floor) = self.read(job, layouts) else {
            return false;
        };
        let worth = |floor: &Floor| floor.worth(job, &self.yard, &self.stock, &self.pieces);
        let order = worth(&floor).compare(&worth(&self.floor));
        let shorter = Choices::of(job).is_strip() && reach(&floor) < reach(&self.floor);
        let keeps_more = || {
            let (theirs, own) = (layouts.to_vec(), self.layouts.clone());
            self.compaction.is_some()
                && score_of(job, theirs).better_than(&score_of(job, own), &job.order)
        };
        if order != Ordering::Less && !(order == Ordering::Equal && (shorter || keeps_more())) {
            return false;
        }
        self.floor = floor;
        if let Some(compaction) = &mut self.compaction {
            compaction.begin_anew();
        }
        self.emit(job);
        if let At::Outside(phase) = &mut self.at {
            let mut tools = Tools {
                job,
                yard: &mut self.yard,
                stock: &self.stock,
                pieces: &self.pieces,
                chance: &mut self.chance,
            };
            phase.adopt(&mut tools, &self.floor);
        } else {
            self.at = self.after_build(job);
        }
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
