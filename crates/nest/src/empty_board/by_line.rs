//! Whether an empty board takes a part's true outline sawn by line, and if not, what is in the way.

use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Pose, Vector};
use heartside_timber::grain::difference;
use heartside_timber::job::{Board, GrainRule, Job};
use heartside_timber::plan::UnplacedReason;

use crate::fit;
use crate::sawn::bottom_left::leftmost;
use crate::sawn::choices::turns;
use crate::sawn::shape::{Detail, Form, PartShape, without_repeats};
use crate::sawn::yard::{Yard, is_thick_enough};

/// Turns for which a place is looked for, on all boards together; what is not settled by then stays
/// open.
///
/// One takes up to a third of a millisecond where there is no place, so that a job in which
/// nothing fits is still told so at once.
const MOST_TURNS: usize = 160;

/// On a bent board the grain is asked besides, which takes so many times as long.
const BENT_TAKES: usize = 8;

/// Turns, and places at them, that are looked at for proofs that there is none.
const MOST_SLICES: usize = 400;
const MOST_LOOKS: usize = 40_000;

/// A slice of turns moves no point of a part by more than this from the middle one, in millimetres.
const SWAY: f64 = 2.0;

/// Cells of places are halved down to this, in millimetres.
const FINEST: f64 = 0.5;

/// By so much deeper than is exact a part must lie in what bars it: far more than rounding, in millimetres.
const SPARE: f64 = 0.02;

/// Convex pieces of a part times corners and zones of a board up to which outlines are seen as they are. Beyond it
/// they are seen in fewer lines, and nothing is proved.
const MOST_PIECES: usize = 1_500;

/// So many points of an outline are asked for their grain.
const GRAIN_POINTS: usize = 24;

/// So many boards are asked about one part: more are not gone through for a reason.
const MOST_BOARDS: usize = 60;

/// Asks empty boards about one part of a job.
pub(crate) struct ByLine {
    /// The boards as they are, without zones, and without zones for parts that bear any bend.
    views: [View; 3],
    left: Left,
    /// Some boards are not asked: then nothing is proved.
    is_cut_short: bool,
}

/// What may still be spent.
struct Left {
    turns: usize,
    slices: usize,
    looks: usize,
}

/// A job with this part and these boards alone, and what the search knows of it once asked.
struct View {
    job: Job,
    is_exact: bool,
    yard: Option<Yard>,
}

impl ByLine {
    /// For a part and some boards, by their places in the job, where lines are sawn with this kerf. Nothing
    /// is made ready before it is asked for.
    pub(crate) fn new(job: &Job, part: usize, boards: &[usize], sawn_kerf: f64) -> ByLine {
        let asked = boards.iter().take(MOST_BOARDS);
        let mut plain = Job {
            parts: vec![job.parts[part].clone()],
            boards: asked.map(|b| job.boards[*b].clone()).collect(),
            panels: Vec::new(),
            matches: Vec::new(),
            done: Vec::new(),
            earlier: Vec::new(),
            photos: Vec::new(),
            figure: Vec::new(),
            wishes: Vec::new(),
            judge: None,
            pins: Vec::new(),
            dimensions: Vec::new(),
            title: String::new(),
            currency: String::new(),
            units: job.units,
            workshop: job.workshop.clone(),
            order: job.order.clone(),
            ..*job
        };
        plain.workshop.sawn_kerf = sawn_kerf;
        let mut clear = plain.clone();
        for board in &mut clear.boards {
            board.zones.clear();
        }
        let mut straight = clear.clone();
        for part in &mut straight.parts {
            if let GrainRule::Axis { tolerance, .. } = &mut part.grain {
                let bends = straight.boards.iter().map(|b| b.grain.range());
                let most = bends.map(|(least, most)| most - least).fold(0.0, f64::max);
                *tolerance = (*tolerance + most).min(90.0);
            }
        }
        ByLine {
            views: [plain, clear, straight].map(View::of),
            left: Left {
                turns: MOST_TURNS,
                slices: MOST_SLICES,
                looks: MOST_LOOKS,
            },
            is_cut_short: boards.len() > MOST_BOARDS,
        }
    }

    /// The best that any of the boards, empty, has to say: [`UnplacedReason::NoRoom`] where one takes
    /// the part; none where that is not settled.
    ///
    /// Zones, grain and width are named only where it is proved that no board takes the part, but for
    /// places of less play than [`SPARE`].
    pub(crate) fn best_answer(&mut self) -> Option<UnplacedReason> {
        let [plain, clear, straight] = &mut self.views;
        let left = &mut self.left;
        let boards = 0..plain.job.boards.len();
        if boards.clone().any(|b| plain.takes(b, left)) {
            return Some(UnplacedReason::NoRoom);
        }
        if self.is_cut_short {
            return None;
        }
        let mut with = |of: fn(&Board) -> bool, view: &mut View| {
            let mut boards = boards.clone().filter(|b| of(&plain.job.boards[*b]));
            boards.any(|b| view.takes(b, left))
        };
        if with(|board| !board.zones.is_empty(), clear) {
            let is_barred = boards.clone().all(|b| plain.bars(b, left));
            return is_barred.then_some(UnplacedReason::Zones);
        }
        if with(|board| board.grain.is_bent(), straight) {
            let is_barred = boards.clone().all(|b| plain.bars(b, left));
            return is_barred.then_some(UnplacedReason::Grain);
        }
        let is_barred = boards.clone().all(|b| straight.bars(b, left));
        is_barred.then_some(UnplacedReason::Width)
    }
}

impl View {
    fn of(job: Job) -> View {
        let pieces = PartShape::new(&job.parts[0], Detail::True).seen_pieces();
        let shells = |board: &Board| board.outline.point_count() + board.zones.len();
        let most = job.boards.iter().map(shells).max().unwrap_or(0);
        View {
            is_exact: pieces * most <= MOST_PIECES,
            yard: None,
            job,
        }
    }

    fn yard(&mut self) -> (&Job, &mut Yard) {
        let View {
            job,
            is_exact,
            yard,
        } = self;
        let yard = yard.get_or_insert_with(|| {
            let used: Vec<bool> = job.boards.iter().map(Board::is_usable).collect();
            match is_exact {
                true => Yard::exact(job, &used),
                false => Yard::new(job, &used),
            }
        });
        (job, yard)
    }

    /// True where a place is found.
    fn takes(&mut self, board: usize, left: &mut Left) -> bool {
        let part = 0;
        let (job, yard) = self.yard();
        // Turns along the grain come up among all of them again: they are not asked twice.
        let choices = yard.choices(job, board, part);
        let others = choices
            .all
            .iter()
            .filter(|form| !choices.first.iter().any(|first| first.id == form.id));
        let takes = if yard.boards[board].is_bent() {
            BENT_TAKES
        } else {
            1
        };
        let mut forms = choices.first.iter().chain(others);
        forms.any(|form| {
            left.turns = left.turns.saturating_sub(takes);
            let anywhere = (f64::NEG_INFINITY, f64::INFINITY);
            left.turns > 0 && leftmost(yard, job, board, form, &[], anywhere).is_some()
        })
    }

    /// True where it is proved that the board takes the part nowhere, at none of the turns it may have.
    ///
    /// Turns are taken in slices, places in cells that are quartered. A cell is barred as a whole
    /// where its middle, at the middle turn, lies deeper in a barred polygon than any place of the
    /// cell is away from it and any turn of the slice moves a point.
    fn bars(&mut self, board: usize, left: &mut Left) -> bool {
        if !self.is_exact {
            return false;
        }
        let part = 0;
        let (job, yard) = self.yard();
        let (_, listed, mut ranges) = turns(&job.boards[board], &job.parts[part].grain);
        if ranges.is_empty() {
            ranges.extend(listed.into_iter().map(|turn| (turn, turn)));
        }
        let overs: &[bool] = if job.parts[part].may_turn_over {
            &[false, true]
        } else {
            &[false]
        };
        let wholes: Vec<Arc<Form>> = overs
            .iter()
            .flat_map(|over| ranges.iter().map(move |range| (over, range)))
            .map(|(over, range)| {
                let shape = &yard.shapes[part];
                yard.forms
                    .kept(part, shape, 0.5 * (range.0 + range.1), *over)
            })
            .collect();
        // A rectangle half turned is itself, and so are all its turns.
        let asks = |zone, form: &Form| {
            let (board, part) = (&job.boards[board], &job.parts[part]);
            fit::zone_asks(board, zone, part, form.turned_over)
        };
        let wholes = without_repeats(wholes, |x, y| {
            let mut zones = job.boards[board].zones.iter();
            zones.all(|zone| asks(zone, x) == asks(zone, y))
        });
        let Some(radius) = wholes.first().map(|whole| whole.radius) else {
            return true;
        };
        let middle = yard.shapes[part].core.bounds().centre();
        let corners = yard.shapes[part].core.region().outer().points().iter();
        let far = corners.map(|p| p.distance(middle)).fold(0.0, f64::max) + radius;
        wholes.iter().all(|whole| {
            let range = ranges
                .iter()
                .find(|(low, high)| 0.5 * (low + high) == whole.turn);
            let (low, high) = range.copied().unwrap_or((whole.turn, whole.turn));
            let sway = far * (high - low).to_radians() * 0.5;
            let count = (sway / SWAY).ceil().max(1.0);
            (0..count as usize).all(|k| {
                let Some(slices) = left.slices.checked_sub(1) else {
                    return false;
                };
                left.slices = slices;
                let turn = low + (high - low) * (k as f64 + 0.5) / count;
                let shape = &yard.shapes[part];
                let form = yard.forms.passing(part, shape, turn, whole.turned_over);
                bars_slice(
                    yard,
                    job,
                    board,
                    &form,
                    (sway / count, (high - low) / count),
                    left,
                )
            })
        })
    }
}

/// True where no place of a form, nor at any turn that sways its points by no more than `sway` and turns
/// it by no more than half of `range`, is free.
fn bars_slice(
    yard: &mut Yard,
    job: &Job,
    board: usize,
    form: &Form,
    (sway, range): (f64, f64),
    left: &mut Left,
) -> bool {
    let spare = SPARE + yard.margin.extra + job.tolerance.slack;
    if range == 0.0 && !is_thick_enough(job, &job.boards[board], form) {
        return true;
    }
    let room = yard.room(board, form).grown(sway + spare);
    let (width, height) = (room.max.x - room.min.x, room.max.y - room.min.y);
    if width < 0.0 || height < 0.0 {
        return true;
    }
    let points = grain_points(yard, job, board, form);
    let axis = fit::grain_axis(&job.parts[form.part], form.turn);
    let borne = fit::grain_tolerance(&job.parts[form.part]).unwrap_or(90.0) + 0.5 * range;
    let grain = &job.boards[board].grain;
    // Cells as nearly square as whole numbers of them let them be.
    let size = width
        .min(height)
        .max(4.0 * FINEST)
        .min(width.max(height))
        .max(FINEST);
    let (columns, rows) = (
        (width / size).ceil().max(1.0),
        (height / size).ceil().max(1.0),
    );
    let half = Vector::new(0.5 * width / columns, 0.5 * height / rows);
    let mut cells: Vec<(Point, Vector)> = Vec::new();
    for column in 0..columns as usize {
        for row in 0..rows as usize {
            let by = Vector::new(
                half.x * (2 * column + 1) as f64,
                half.y * (2 * row + 1) as f64,
            );
            cells.push((room.min + by, half));
        }
    }
    while let Some((at, half)) = cells.pop() {
        let Some(looks) = left.looks.checked_sub(1) else {
            return false;
        };
        left.looks = looks;
        let reach = half.length() + sway;
        let out = yard.barred(board, form).way_out(at, 0.0);
        if out.is_some_and(|out| out.depth > reach + spare) {
            continue;
        }
        let is_wild = |p: &Vector| {
            let around = Bounds::new(at + *p, at + *p).grown(reach);
            let angles = grain.angles_in_bounds(&around);
            angles.iter().all(|a| difference(*a, axis) > borne)
        };
        if points.iter().any(is_wild) {
            continue;
        }
        if half.x.max(half.y) < FINEST {
            return false;
        }
        // The longer side is halved: both, where they are about as long.
        let (x, y) = (half.x > 0.6 * half.y, half.y > 0.6 * half.x);
        let next = Vector::new(
            if x { 0.5 * half.x } else { half.x },
            if y { 0.5 * half.y } else { half.y },
        );
        for i in [-1.0, 1.0] {
            for j in [-1.0, 1.0] {
                if (x || i < 0.0) && (y || j < 0.0) {
                    let by = Vector::new(
                        if x { i * next.x } else { 0.0 },
                        if y { j * next.y } else { 0.0 },
                    );
                    cells.push((at + by, next));
                }
            }
        }
    }
    true
}

/// Some points of the part's outline, from its origin; none where the grain is straight.
fn grain_points(yard: &Yard, job: &Job, board: usize, form: &Form) -> Vec<Vector> {
    if !yard.boards[board].is_bent() || fit::grain_tolerance(&job.parts[form.part]).is_none() {
        return Vec::new();
    }
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn: form.turn,
        turned_over: form.turned_over,
    };
    let points = yard.shapes[form.part].core.region().outer().points();
    let every = points.len().div_ceil(GRAIN_POINTS);
    let some = points.iter().step_by(every);
    some.map(|p| pose.apply(*p).to_vector()).collect()
}
