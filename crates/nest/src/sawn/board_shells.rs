//! A board as the search sees it: a frame, and shells that blanks keep away from.

use heartside_geometry::{Bounds, Point, PreparedRegion, Region, simplify_inner, simplify_outer};
use heartside_timber::job::{Board, Job, ZoneKind};

use super::grain_cells::Cells;
use super::keep::{Distance, Keep};
use super::no_fit::NoFit;
use super::rim::Rim;
use super::shape::{Detail, Edge, Form, Forms, Shell};
use crate::fit::{self, Asks};
use crate::waney::FewLines;

/// How far a zone's outline may be moved outwards to have fewer corners, in millimetres: below what anyone marks by hand.
const ZONES_SIMPLER: f64 = 0.3;

/// Outlines with more corners than this are drawn in a little, to have fewer.
const MANY_CORNERS: usize = 24;

/// How far at most, in shares of a board's smaller extent: 0.2 mm on a board of 200.
const OUTLINE_SIMPLER: f64 = 0.001;

/// One board.
#[derive(Debug)]
pub(crate) struct BoardShells {
    /// The box of the outline.
    pub(crate) frame: Bounds,
    /// The outline, for the last word.
    pub(crate) outline: PreparedRegion,
    /// The shapes of the board's zones, for the last word.
    pub(crate) zones: Vec<PreparedRegion>,
    /// The sides of the outline, the board to their left, and the trim that each asks.
    pub(crate) sides: Vec<(Edge, f64)>,
    /// Area that no defect right through takes, in square millimetres.
    pub(crate) clear_area: f64,
    /// Shells to keep away from, for each way in which the zones may matter.
    pub(crate) classes: Vec<Class>,
    /// For each part, lying face up and turned over: its class.
    pub(crate) class_of: Vec<[usize; 2]>,
    /// Directions of the cells of a bent board, row by row.
    pub(super) bent: Option<Cells>,
}

/// What parts for which the zones matter in the same way keep away from.
#[derive(Debug)]
pub(crate) struct Class {
    asks: Vec<Asks>,
    pub(crate) id: u32,
    pub(super) shells: Vec<Keep>,
    pub(super) rim: Rim,
}

impl Class {
    pub(crate) fn barred(&self, form: &Form, extra: f64) -> NoFit {
        let keeps = self
            .shells
            .iter()
            .map(|keep| (&keep.shell, keep.distance.of_core(form.radius) + extra));
        NoFit::new(&form.shells, keeps)
    }
}

impl BoardShells {
    pub(crate) fn new(
        job: &Job,
        board: &Board,
        (used, detail): (bool, Detail),
        forms: &mut Forms,
    ) -> BoardShells {
        let frame = board.outline.bounds();
        let outline = PreparedRegion::new(board.outline.clone());
        let taken: f64 = board
            .zones
            .iter()
            .filter(|z| z.kind == ZoneKind::Defect)
            .map(|z| z.shape.area())
            .sum();
        let mut made = BoardShells {
            frame,
            clear_area: (board.outline.area() - taken).max(0.0),
            sides: Vec::new(),
            zones: Vec::new(),
            classes: Vec::new(),
            class_of: vec![[0, 0]; job.parts.len()],
            bent: board.grain.is_bent().then(|| Cells::of(board, &frame)),
            outline,
        };
        if !used {
            return made;
        }
        let sides = board.outline.edges().zip(&board.sides);
        made.sides = sides
            .map(|(ends, side)| (Edge::new(ends), side.trim(&job.workshop)))
            .collect();
        made.zones = board
            .zones
            .iter()
            .map(|zone| PreparedRegion::new(zone.shape.clone()))
            .collect();
        for (p, part) in job.parts.iter().enumerate() {
            for turned_over in [false, true] {
                let asks: Vec<Asks> = board
                    .zones
                    .iter()
                    .map(|zone| fit::zone_asks(board, zone, part, turned_over))
                    .collect();
                let class = match made.classes.iter().position(|c| c.asks == asks) {
                    Some(class) => class,
                    None => {
                        let shells = keeps(job, board, (&made, detail), &asks);
                        made.classes.push(Class {
                            asks,
                            id: forms.number(),
                            rim: Rim::over(&shells),
                            shells,
                        });
                        made.classes.len() - 1
                    }
                };
                made.class_of[p][usize::from(turned_over)] = class;
            }
        }
        made
    }

    pub(crate) fn room(&self, form: &Form, extra: f64) -> Bounds {
        let inset = form.radius + if form.radius > 0.0 { extra } else { 0.0 };
        Bounds {
            min: Point::new(
                self.frame.min.x + inset - form.bounds.min.x,
                self.frame.min.y + inset - form.bounds.min.y,
            ),
            max: Point::new(
                self.frame.max.x - inset - form.bounds.max.x,
                self.frame.max.y - inset - form.bounds.max.y,
            ),
        }
    }

    pub(crate) fn class_for(&self, form: &Form) -> &Class {
        &self.classes[self.class_of[form.part][usize::from(form.turned_over)]]
    }

    /// True where the grain's direction changes over the board.
    pub(crate) fn is_bent(&self) -> bool {
        self.bent.is_some()
    }

    pub(crate) fn could_hold(&self, form: &Form) -> bool {
        let room = self.room(form, 0.0);
        // As wide as the board and not wider is held, but for the last digit.
        let close = 1e-9 * self.frame.largest_coordinate();
        room.min.x <= room.max.x + close && room.min.y <= room.max.y + close
    }
}

/// What blanks keep away from on a board.
fn keeps(
    job: &Job,
    board: &Board,
    (made, detail): (&BoardShells, Detail),
    asks: &[Asks],
) -> Vec<Keep> {
    let mut list = Vec::new();
    let mut keep = |shell: Shell, distance: Distance| list.push(Keep { shell, distance });
    let is_true = detail == Detail::True;
    let few = (!is_true).then(|| FewLines::of(board, &job.workshop));
    if let Some(few) = few.flatten() {
        for piece in PreparedRegion::new(few.region).outside_pieces() {
            keep(Shell::of(piece), Distance::of_blank(0.0));
        }
        for (a, b, kept) in few.lines.iter().filter(|(_, _, kept)| *kept > 0.0) {
            if let Some(shell) = Shell::segment(*a, *b) {
                keep(shell, Distance::of_blank(*kept));
            }
        }
    } else {
        if !is_upright_rectangle(&board.outline) {
            // Pieces of the outside are what most forms are measured against: the fewer the better.
            let corners: usize = board.outline.rings().map(|r| r.points().len()).sum();
            let simple;
            let mut outline = &made.outline;
            if corners > MANY_CORNERS && !is_true {
                let size = made.frame.width().min(made.frame.height());
                simple =
                    PreparedRegion::new(simplify_inner(&board.outline, OUTLINE_SIMPLER * size));
                outline = &simple;
            }
            let outside = outline.outside_pieces();
            for piece in outside {
                keep(Shell::of(piece), Distance::of_blank(0.0));
            }
        }
        for ((a, b), side) in board.outline.edges().zip(&board.sides) {
            let trim = side.trim(&job.workshop);
            if trim > 0.0
                && let Some(shell) = Shell::segment(a, b)
            {
                keep(shell, Distance::of_blank(trim));
            }
        }
    }
    for ((zone, shape), asks) in board.zones.iter().zip(&made.zones).zip(asks) {
        let Some(distance) = Distance::from_zone(job, zone, *asks) else {
            continue;
        };
        let simple;
        let pieces = if job.tolerance.extra > 0.0 && !is_true {
            simple = PreparedRegion::new(simplify_outer(&zone.shape, ZONES_SIMPLER));
            simple.pieces()
        } else {
            shape.pieces()
        };
        for piece in pieces {
            keep(Shell::of(piece), distance);
        }
    }
    list
}

fn is_upright_rectangle(region: &Region) -> bool {
    region.holes().is_empty()
        && region.outer().points().len() == 4
        && region
            .outer()
            .edges()
            .all(|(a, b)| a.x == b.x || a.y == b.y)
}
