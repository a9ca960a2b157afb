//! Boards as the search sees them: a frame, and shells that blanks keep away from.

use std::sync::Arc;

use heartside_geometry::math::within_turn;
use heartside_geometry::{
    Bounds, Point, Pose, PreparedRegion, Region, simplify_inner, simplify_outer,
};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::grain::CELL;
use heartside_timber::job::{Board, GrainRule, Job, Zone, ZoneKind};

use super::no_fit::{NoFit, WayOut};
use super::pairs::NoFits;
use super::rim::Rim;
use super::shape::{Detail, Edge, Form, Forms, PartShape, Shell, without_repeats};
use crate::fit::{self, Asks};
use crate::waney::FewLines;

/// Turns tried for a part that may lie at any angle: every 15 degrees.
///
/// Finer ones are found by turning a little afterwards; twice as many only make the table of pairs larger.
const ANY_TURNS: usize = 24;

/// How far a zone's outline may be moved outwards to have fewer corners, in millimetres: below what anyone marks by hand.
const ZONES_SIMPLER: f64 = 0.3;

/// Outlines with more corners than this are drawn in a little, to have fewer.
const MANY_CORNERS: usize = 24;

/// How far at most, in shares of a board's smaller extent: 0.2 mm on a board of 200.
const OUTLINE_SIMPLER: f64 = 0.001;

/// Everything about the job that the search asks again and again.
#[derive(Debug)]
pub(super) struct Yard {
    /// The boards, in the job's order.
    pub(super) boards: Vec<BoardShells>,
    /// The parts, in the job's order.
    pub(super) shapes: Vec<PartShape>,
    /// Forms made so far.
    pub(super) forms: Forms,
    /// No-fit polygons of forms.
    pub(super) no_fits: NoFits,
    /// Rounding allowed for.
    pub(super) margin: Margin,
    /// For each board, then each part: how it may lie there, once asked.
    choices: Vec<Vec<Option<Arc<Choices>>>>,
}

/// Distances for rounding, in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Margin {
    /// Added to every distance that is kept.
    pub(super) extra: f64,
    /// So much less is still good: what placing on the grid may cost, or what the checker forgives.
    pub(super) slack: f64,
}

/// One board.
#[derive(Debug)]
pub(super) struct BoardShells {
    /// The box of the outline.
    pub(super) frame: Bounds,
    /// The outline, for the last word.
    pub(super) outline: PreparedRegion,
    /// The shapes of the board's zones, for the last word.
    pub(super) zones: Vec<PreparedRegion>,
    /// The sides of the outline, the board to their left, and the trim that each asks.
    pub(super) sides: Vec<(Edge, f64)>,
    /// Area that no defect right through takes, in square millimetres.
    pub(super) clear_area: f64,
    /// Shells to keep away from, for each way in which the zones may matter.
    classes: Vec<Class>,
    /// For each part, lying face up and turned over: its class.
    class_of: Vec<[usize; 2]>,
    /// Directions of the cells of a bent board, row by row.
    bent: Option<Cells>,
}

/// What parts for which the zones matter in the same way keep away from.
#[derive(Debug)]
struct Class {
    asks: Vec<Asks>,
    id: u32,
    shells: Vec<Keep>,
    rim: Rim,
}

/// A shell and what keeps its distance from it.
#[derive(Debug)]
pub(super) struct Keep {
    pub(super) shell: Shell,
    pub(super) distance: Distance,
}

/// What a blank and its core keep from something; the larger demand counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Distance {
    /// Kept by the blank.
    blank: f64,
    /// Kept by the core; minus infinity where nothing is asked of it.
    core: f64,
}

impl Distance {
    /// Kept by the blank alone.
    fn of_blank(distance: f64) -> Distance {
        Distance {
            blank: distance,
            core: f64::NEG_INFINITY,
        }
    }

    /// What a part keeps from a zone of its board; none where it may lie over it.
    ///
    /// The line sawn round a blank stays clear of fixings too. A part that may hold a
    /// fixing keeps away from it like any other: that is stricter than the rule.
    pub(super) fn from_zone(job: &Job, zone: &Zone, asks: Asks) -> Option<Distance> {
        let kerf = if zone.kind == ZoneKind::Fixing {
            job.workshop.sawn_kerf
        } else {
            0.0
        };
        let when = |asked: bool, distance: f64| if asked { distance } else { f64::NEG_INFINITY };
        let blank = when(asks.blank_clear || asks.or_around, zone.margin + kerf)
            .max(when(asks.blank_outside, 0.0));
        let core = when(asks.finished_clear, zone.margin);
        (blank.max(core) > f64::NEG_INFINITY).then_some(Distance { blank, core })
    }

    /// What the core keeps, for a blank of this radius.
    pub(super) fn of_core(&self, radius: f64) -> f64 {
        (self.blank + radius).max(self.core)
    }
}

#[derive(Debug)]
struct Cells {
    columns: usize,
    rows: usize,
    angles: Vec<f64>,
}

/// How a part may lie on a board.
#[derive(Debug, Default)]
pub(super) struct Choices {
    /// Turns along the grain, the right way up: for the first layout.
    pub(super) first: Vec<Arc<Form>>,
    /// Turns along the grain, half turns and turned-over copies included: for quick layouts.
    pub(super) plain: Vec<Arc<Form>>,
    /// All turns kept ready.
    pub(super) all: Vec<Arc<Form>>,
    /// Ranges within which any turn is allowed; empty where only those kept ready are.
    pub(super) ranges: Vec<(f64, f64)>,
}

impl Choices {
    /// A turn as one within the ranges, if it is allowed.
    pub(super) fn allowed(&self, turn: f64) -> Option<f64> {
        self.ranges.iter().find_map(|(low, high)| {
            let near = low + within_turn(turn - low);
            (near <= *high).then_some(near)
        })
    }
}

impl Choices {
    /// True if the part can lie on the board in no way at all.
    pub(super) fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

impl Yard {
    /// Makes boards and parts ready. `used` says which boards will be asked about.
    pub(super) fn new(job: &Job, used: &[bool]) -> Yard {
        let fine = |part| PartShape::new(part, Detail::Fine);
        Yard::of(job, used, job.parts.iter().map(fine).collect())
    }

    /// The same with outlines seen coarsely; none where that would hardly make them simpler.
    ///
    /// A part that could no longer lie on the board as it may stays as it is.
    pub(super) fn coarse(&mut self, job: &Job, board: usize) -> Option<Yard> {
        let pieces = |shapes: &[PartShape]| -> usize {
            (shapes.iter().zip(&job.parts))
                .map(|(shape, part)| shape.seen_pieces() * part.count as usize)
                .sum()
        };
        let mut used = vec![false; job.boards.len()];
        used[board] = true;
        let coarse = |part| PartShape::new(part, Detail::Coarse);
        let mut shapes: Vec<PartShape> = job.parts.iter().map(coarse).collect();
        let mut yard = Yard::of(job, &used, shapes.clone());
        for (part, shape) in shapes.iter_mut().enumerate() {
            let ways = |yard: &mut Yard| yard.choices(job, board, part).all.len();
            if ways(&mut yard) < ways(self) {
                *shape = self.shapes[part].clone();
            }
        }
        (4 * pieces(&shapes) < 3 * pieces(&self.shapes)).then(|| Yard::of(job, &used, shapes))
    }

    fn of(job: &Job, used: &[bool], shapes: Vec<PartShape>) -> Yard {
        let tolerance = job.tolerance;
        let margin = Margin {
            extra: tolerance.extra,
            slack: if tolerance.extra > 0.0 {
                0.5 * tolerance.extra
            } else {
                0.25 * tolerance.slack
            },
        };
        let mut forms = Forms::default();
        let boards = job
            .boards
            .iter()
            .zip(used)
            .map(|(board, used)| BoardShells::new(job, board, *used, &mut forms))
            .collect();
        Yard {
            boards,
            choices: vec![vec![None; job.parts.len()]; job.boards.len()],
            shapes,
            forms,
            no_fits: NoFits::new(job.workshop.sawn_kerf + margin.extra),
            margin,
        }
    }

    /// How a part may lie on a board, as far as that does not depend on where.
    pub(super) fn choices(&mut self, job: &Job, board: usize, part: usize) -> Arc<Choices> {
        if let Some(choices) = &self.choices[board][part] {
            return choices.clone();
        }
        let choices = Arc::new(self.make_choices(job, board, part));
        self.choices[board][part] = Some(choices.clone());
        choices
    }

    fn make_choices(&mut self, job: &Job, b: usize, p: usize) -> Choices {
        let (board, part) = (&job.boards[b], &job.parts[p]);
        if !fit::species_fits(board, part) {
            return Choices::default();
        }
        let (plain, more, ranges) = turns(board, &part.grain);
        let overs: &[bool] = if part.may_turn_over {
            &[false, true]
        } else {
            &[false]
        };
        let mut make = |turns: &[f64]| -> Vec<Arc<Form>> {
            let mut list = Vec::new();
            for turned_over in overs {
                for turn in turns {
                    let form = self.forms.kept(p, &self.shapes[p], *turn, *turned_over);
                    if is_thick_enough(job, board, &form) && self.boards[b].could_hold(&form) {
                        list.push(form);
                    }
                }
            }
            let class_of = &self.boards[b].class_of[p];
            without_repeats(list, |x, y| {
                class_of[usize::from(x.turned_over)] == class_of[usize::from(y.turned_over)]
            })
        };
        let plain = make(&plain);
        let all = make(&more);
        let upright = |f: &&Arc<Form>| !f.turned_over;
        let mut first: Vec<Arc<Form>> = plain.iter().filter(upright).cloned().collect();
        if first.is_empty() {
            first.clone_from(&plain);
        }
        Choices {
            first,
            plain,
            all,
            ranges,
        }
    }

    /// The part at any turn, if the board's thickness bears it there; one that is to come up again is `kept`.
    pub(super) fn turned(
        &mut self,
        job: &Job,
        board: usize,
        (part, turn, turned_over): (usize, f64, bool),
        kept: bool,
    ) -> Option<Arc<Form>> {
        let (forms, shape) = (&mut self.forms, &self.shapes[part]);
        let form = if kept {
            forms.kept(part, shape, turn, turned_over)
        } else {
            forms.passing(part, shape, turn, turned_over)
        };
        (is_thick_enough(job, &job.boards[board], &form) && self.boards[board].could_hold(&form))
            .then_some(form)
    }

    /// Where a form may not lie because of the board itself: its outline, trim and zones.
    pub(super) fn barred(&mut self, board: usize, form: &Form) -> &NoFit {
        let class = self.boards[board].class_for(form);
        let extra = self.margin.extra;
        self.no_fits
            .find(form, class.id, || class.barred(form, extra))
    }

    /// How much a form at a place overlaps what the board bars, as far as that is below `bound`: see `NoFit::overlap`.
    pub(super) fn rim_overlap(&self, board: usize, form: &Form, at: Point, bound: f64) -> f64 {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.overlap(&class.shells, (form, at), margin, bound)
    }

    /// True where a form at a place keeps clear of all that the board bars.
    pub(super) fn clears_rim(&self, board: usize, form: &Form, at: Point) -> bool {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.is_clear(&class.shells, (form, at), margin)
    }

    /// The shortest way out of what the board bars and a form at a place meets most deeply.
    pub(super) fn way_off_rim(&self, board: usize, form: &Form, at: Point) -> Option<WayOut> {
        let class = self.boards[board].class_for(form);
        let margin = (self.margin.extra, self.margin.slack);
        class.rim.way_out(&class.shells, (form, at), margin)
    }

    /// The places of a form's origin for which its blank lies within the board's frame; empty where it is too large.
    pub(super) fn room(&self, board: usize, form: &Form) -> Bounds {
        self.boards[board].room(form, self.margin.extra)
    }

    /// True where the grain allows a form at a place; exact.
    pub(super) fn grain_fits(&self, job: &Job, board: usize, form: &Form, at: Point) -> bool {
        if self.grain_missed(job, board, form, at) <= 0.0 {
            return true;
        }
        let part = &job.parts[form.part];
        let Some(tolerance) = fit::grain_tolerance(part) else {
            return true;
        };
        let pose = Pose {
            x: at.x,
            y: at.y,
            turn: form.turn,
            turned_over: form.turned_over,
        };
        let core = self.shapes[form.part].core.posed(&pose);
        let axis = fit::grain_axis(part, form.turn);
        let (worst, _) = job.boards[board].grain.worst_over(axis, &core, form.radius);
        worst <= tolerance
    }

    /// By how many degrees the grain is missed at a place of a bent board, judged by the box round the blank; 0 on straight boards.
    pub(super) fn grain_missed(&self, job: &Job, board: usize, form: &Form, at: Point) -> f64 {
        let part = &job.parts[form.part];
        match (&self.boards[board].bent, fit::grain_tolerance(part)) {
            (Some(cells), Some(tolerance)) => {
                let origin = self.boards[board].frame.min;
                let bounds = form.bounds_at(at).grown(form.radius);
                let axis = fit::grain_axis(part, form.turn);
                (cells.worst(origin, &bounds, axis) - tolerance).max(0.0)
            }
            _ => 0.0,
        }
    }
}

impl Class {
    fn barred(&self, form: &Form, extra: f64) -> NoFit {
        let keeps = self
            .shells
            .iter()
            .map(|keep| (&keep.shell, keep.distance.of_core(form.radius) + extra));
        NoFit::new(&form.shells, keeps)
    }
}

impl BoardShells {
    fn new(job: &Job, board: &Board, used: bool, forms: &mut Forms) -> BoardShells {
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
                        let shells = keeps(job, board, &made, &asks);
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

    fn room(&self, form: &Form, extra: f64) -> Bounds {
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

    fn class_for(&self, form: &Form) -> &Class {
        &self.classes[self.class_of[form.part][usize::from(form.turned_over)]]
    }

    /// True where the grain's direction changes over the board.
    pub(super) fn is_bent(&self) -> bool {
        self.bent.is_some()
    }

    fn could_hold(&self, form: &Form) -> bool {
        let room = self.room(form, 0.0);
        // As wide as the board and not wider is held, but for the last digit.
        let close = 1e-9 * self.frame.largest_coordinate();
        room.min.x <= room.max.x + close && room.min.y <= room.max.y + close
    }
}

impl Cells {
    fn of(board: &Board, frame: &Bounds) -> Cells {
        let count = |extent: f64| ((extent / CELL).ceil() as usize).max(1);
        let (columns, rows) = (count(frame.width()), count(frame.height()));
        let mut angles = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                angles.push(board.grain.angle_at(Point::new(
                    frame.min.x + (column as f64 + 0.5) * CELL,
                    frame.min.y + (row as f64 + 0.5) * CELL,
                )));
            }
        }
        Cells {
            columns,
            rows,
            angles,
        }
    }

    /// The greatest angle between a direction and the grain of the cells that a box meets.
    fn worst(&self, origin: Point, bounds: &Bounds, direction: f64) -> f64 {
        let place =
            |value: f64, count: usize| ((value / CELL).floor().max(0.0) as usize).min(count - 1);
        let columns = place(bounds.min.x - origin.x, self.columns)
            ..=place(bounds.max.x - origin.x, self.columns);
        let rows =
            place(bounds.min.y - origin.y, self.rows)..=place(bounds.max.y - origin.y, self.rows);
        let mut worst = 0.0f64;
        for row in rows {
            for angle in &self.angles[row * self.columns..][columns.clone()] {
                worst = worst.max(heartside_timber::grain::difference(direction, *angle));
            }
        }
        worst
    }
}

/// What blanks keep away from on a board.
fn keeps(job: &Job, board: &Board, made: &BoardShells, asks: &[Asks]) -> Vec<Keep> {
    let mut list = Vec::new();
    let mut keep = |shell: Shell, distance: Distance| list.push(Keep { shell, distance });
    if let Some(few) = FewLines::of(board, &job.workshop) {
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
            if corners > MANY_CORNERS {
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
        let pieces = if job.tolerance.extra > 0.0 {
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

fn is_thick_enough(job: &Job, board: &Board, form: &Form) -> bool {
    let part = &job.parts[form.part];
    let blank = form.bounds.grown(form.radius);
    greatest_finished_thickness(board, &part.allowances, blank.width(), blank.height())
        + job.tolerance.slack * 0.5
        >= part.thickness
}

/// Turns for quick layouts, all turns kept ready, and the ranges of allowed turns.
fn turns(board: &Board, rule: &GrainRule) -> (Vec<f64>, Vec<f64>, Vec<(f64, f64)>) {
    match rule {
        GrainRule::Turns(turns) => (turns.clone(), turns.clone(), Vec::new()),
        GrainRule::Any => {
            let all: Vec<f64> = (0..ANY_TURNS)
                .map(|k| 360.0 * k as f64 / ANY_TURNS as f64)
                .collect();
            let square = [0.0, 90.0, 180.0, 270.0];
            (square.to_vec(), all, vec![(0.0, 360.0)])
        }
        GrainRule::Axis { across, tolerance } => {
            let (least, most) = board.grain.range();
            let off = if *across { -90.0 } else { 0.0 };
            let (low, high) = (least - tolerance + off, most + tolerance + off);
            let both_ways = |list: Vec<f64>| -> Vec<f64> {
                list.iter()
                    .copied()
                    .chain(list.iter().map(|t| t + 180.0))
                    .collect()
            };
            if tolerance.min(90.0) >= 90.0 {
                return turns(board, &GrainRule::Any);
            }
            let spread = |low: f64, high: f64, count: usize| -> Vec<f64> {
                (0..count)
                    .map(|k| low + (high - low) * k as f64 / (count - 1) as f64)
                    .collect()
            };
            let (plain, all) = if board.grain.is_bent() {
                (spread(least + off, most + off, 5), spread(low, high, 11))
            } else {
                let middle = board.grain.base_angle() + off;
                let all = if *tolerance > 0.0 {
                    // The middle first: it is what quick layouts use.
                    vec![
                        middle,
                        middle - tolerance,
                        middle + tolerance,
                        middle - tolerance / 2.0,
                        middle + tolerance / 2.0,
                    ]
                } else {
                    vec![middle]
                };
                (vec![middle], all)
            };
            let ranges = if high > low {
                vec![(low, high), (low + 180.0, high + 180.0)]
            } else {
                Vec::new()
            };
            (both_ways(plain), both_ways(all), ranges)
        }
    }
}
