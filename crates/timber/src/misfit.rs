//! What certainly keeps a part off a board, even an empty one without a flaw.
//!
//! Only theorems stand here: whatever turn the grain rule allows, the blank would have to be
//! larger than the board in some direction, or meet grain that bends more than it bears.
//! Nothing said of a part means only that nothing is certain. This is the half of the question
//! "does the part fit the empty board, and if not, why" that sizes answer: it is asked on every
//! edit, so it stands here and not with the search. The other half tries, and stands in
//! `nest/src/empty_board`.

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Arrange, Bounds, Point, Vector};

use crate::blank::{Blank, flattened_bounds, greatest_finished_thickness};
use crate::job::{Board, GrainRule, Job, Part, Workshop};

/// What rounding may make of an angle, in degrees.
const ANGLE_SLACK: f64 = 1e-6;

/// Turns are told apart no further than this, in degrees.
const FINEST: f64 = 1e-3;

/// Ranges of turns looked at for one part on one board: so many, and more for a hull of few corners.
///
/// Where a part is too large by a hair at every turn, each range would be halved to the finest.
const FEWEST_RANGES: usize = 64;
const MOST_CORNERS: usize = 50_000;

/// What is in the way, the nearer to a place the later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Misfit {
    /// The board is too thin once flat.
    Thickness,
    /// It is too short along its grain; for a part that may lie any way round, shorter than the part is wide.
    Length,
    /// It is too narrow, however the part may be turned.
    Width,
    /// Its grain bends too much along the part.
    Grain,
}

/// What lies convex round a blank: corners, and a radius round them.
#[derive(Debug, Clone)]
pub(crate) struct Hull {
    corners: Vec<Point>,
    radius: f64,
}

impl Hull {
    /// The hull of a part's blank, in the part's frame.
    pub(crate) fn of(part: &Part) -> Hull {
        let blank = Blank::of(part);
        Hull {
            corners: hull_of(blank.core.outer().points()),
            radius: blank.radius,
        }
    }

    /// The least extent in a direction that may be off by up to `tolerance` degrees, at most 90.
    ///
    /// Between two directions square to sides of the hull the same two corners are the outermost,
    /// and the extent, their distance times a cosine, is least at one of the two; so besides the
    /// ends of the range only such directions count. A shape that fills its box badly may need far
    /// less once it is turned than the box does.
    pub(crate) fn least_extent(&self, direction: f64, tolerance: f64) -> f64 {
        let middle = towards(direction);
        let (_, nearest) = sin_cos_deg(tolerance);
        let next = self.corners.iter().cycle().skip(1);
        let square_to_sides = self
            .corners
            .iter()
            .zip(next)
            .filter_map(|(a, b)| Some((*b - *a).unit()?.turned_left()))
            .filter(|normal| normal.dot(middle).abs() >= nearest);
        let ends = [direction - tolerance, direction + tolerance].map(towards);
        let least = square_to_sides
            .chain(ends)
            .map(|v| spread(&self.corners, v))
            .fold(f64::INFINITY, f64::min);
        least + 2.0 * self.radius
    }

    /// The extent in a direction, and a floor under it for directions off by up to `off` degrees.
    ///
    /// The two outermost corners remain within the hull, so it reaches at least as far as they do.
    fn extent(&self, direction: f64, off: f64) -> (f64, f64) {
        let along = towards(direction);
        let reach = |p: &Point| p.to_vector().dot(along);
        let (mut low, mut high) = (self.corners[0], self.corners[0]);
        for corner in &self.corners {
            if reach(corner) < reach(&low) {
                low = *corner;
            }
            if reach(corner) > reach(&high) {
                high = *corner;
            }
        }
        let (across, extent) = ((high - low).cross(along).abs(), (high - low).dot(along));
        let (sine, cosine) = sin_cos_deg(off);
        let round = 2.0 * self.radius;
        (
            extent + round,
            (extent * cosine - across * sine).max(0.0) + round,
        )
    }

    fn turned_over(&self) -> Hull {
        let corners = self.corners.iter().map(|p| Point::new(p.x, -p.y));
        Hull {
            corners: corners.collect(),
            radius: self.radius,
        }
    }
}

/// Why certainly no board of a job takes a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RuledOut {
    /// There is no board to be used.
    NoBoards,
    /// None is of a species that the part accepts.
    Species,
    /// What is in the way on the board that comes nearest.
    Misfit(Misfit),
}

/// The boards of a job, made ready to be compared with its parts.
#[derive(Debug, Clone)]
pub struct Boards<'a> {
    job: &'a Job,
    /// The boards that may be used, with their places in the job.
    rooms: Vec<(usize, Room<'a>)>,
}

impl<'a> Boards<'a> {
    /// The boards that may be used. O(corners of their outlines).
    pub fn of(job: &'a Job) -> Boards<'a> {
        let boards = job.boards.iter().enumerate();
        let usable = boards.filter(|(_, b)| b.is_usable());
        Boards {
            job,
            rooms: usable.map(|(k, b)| (k, Room::of(job, b))).collect(),
        }
    }

    /// The places of the boards that may take the part, for all that is certain; why there is none.
    ///
    /// `most` boards are enough. Of each board that is looked at O(corners of the part's hull), more where the
    /// part is too large by a hair.
    pub fn open_to(&self, part: &Part, most: usize) -> Result<Vec<usize>, RuledOut> {
        if self.rooms.is_empty() {
            return Err(RuledOut::NoBoards);
        }
        let asked = Asked::of(part);
        let (mut open, mut nearest) = (Vec::new(), None);
        for (place, room) in &self.rooms {
            if !room.is_of_species(part) {
                continue;
            }
            match room.certain_misfit(&asked, self.job.tolerance.slack) {
                Some(misfit) => nearest = nearest.max(Some(misfit)),
                None => open.push(*place),
            }
            if open.len() == most {
                break;
            }
        }
        match nearest {
            _ if !open.is_empty() => Ok(open),
            None => Err(RuledOut::Species),
            Some(misfit) => Err(RuledOut::Misfit(misfit)),
        }
    }

    /// The boards on which nothing but the bend of their grain keeps the part off.
    pub(crate) fn bent_too_much_for(&self, part: &Part) -> Vec<&'a Board> {
        let asked = Asked::of(part);
        let slack = self.job.tolerance.slack;
        let rooms = self.rooms.iter().map(|(_, room)| room);
        let of_species = rooms.filter(|room| room.is_of_species(part));
        let bent = of_species.filter(|r| r.certain_misfit(&asked, slack) == Some(Misfit::Grain));
        bent.map(|room| room.board).collect()
    }
}

/// A part, made ready to be compared with boards.
struct Asked<'a> {
    part: &'a Part,
    hull: Hull,
    turned_over: Option<Hull>,
    /// What is flattened in one piece, where that is less than the blank.
    flattened: Option<Hull>,
    /// About its greatest extent.
    longest: f64,
}

impl<'a> Asked<'a> {
    fn of(part: &'a Part) -> Asked<'a> {
        let hull = Hull::of(part);
        // Some twelve directions tell the greatest extent to within one per cent.
        let longest = (0..12).map(|k| hull.extent(15.0 * f64::from(k), 0.0).0);
        Asked {
            part,
            longest: longest.fold(0.0, f64::max),
            turned_over: part.may_turn_over.then(|| hull.turned_over()),
            flattened: flattened_bounds(part).map(|flat| Hull {
                corners: flat.corners().to_vec(),
                radius: 0.0,
            }),
            hull,
        }
    }
}

/// Two directions of the board's grain that a part's blank meets wherever it lies are at least so far apart, in degrees; 0 where nothing is certain.
pub(crate) fn certain_bend(board: &Board, part: &Part, hull: &Hull) -> f64 {
    let GrainRule::Axis { across, tolerance } = part.grain else {
        return 0.0;
    };
    let (least, most) = board.grain.range();
    // Beyond that a part may lie any way round, and nothing is certain.
    let reach = least.abs().max(most.abs()) + tolerance;
    if reach >= 90.0 {
        return 0.0;
    }
    let along = if across { 90.0 } else { 0.0 };
    board.grain.least_bend_over(hull.least_extent(along, reach))
}

/// The ranges of turns that a board's grain could allow, modulo half a turn.
fn turns(board: &Board, rule: &GrainRule) -> Vec<(f64, f64)> {
    match rule {
        GrainRule::Turns(turns) => turns.iter().map(|t| (*t, *t)).collect(),
        GrainRule::Any => vec![(0.0, 180.0)],
        GrainRule::Axis { across, tolerance } => {
            let (least, most) = board.grain.range();
            let off = if *across { -90.0 } else { 0.0 };
            let tolerance = tolerance + ANGLE_SLACK;
            let range = (least - tolerance + off, most + tolerance + off);
            vec![if range.1 - range.0 < 180.0 {
                range
            } else {
                (0.0, 180.0)
            }]
        }
    }
}

/// A board as far as sizes go.
#[derive(Debug, Clone)]
struct Room<'a> {
    board: &'a Board,
    /// Directions in which the board's extent is known, that extent, and whether that is its length.
    sides: Vec<(f64, f64, bool)>,
    /// The larger extent of its box, less the trim.
    longest: f64,
}

impl<'a> Room<'a> {
    fn of(job: &Job, board: &'a Board) -> Room<'a> {
        let clear = less_trim(board, &job.workshop);
        let mut sides = vec![(0.0, clear.width(), true), (90.0, clear.height(), false)];
        let grain = board.grain.base_angle();
        if !board.grain.is_bent() && grain != 0.0 {
            let points = board.outline.outer().points();
            let along = spread(points, towards(grain));
            let across = spread(points, towards(grain + 90.0));
            sides.extend([(grain, along, true), (grain + 90.0, across, false)]);
        }
        Room {
            board,
            sides,
            longest: clear.width().max(clear.height()),
        }
    }

    fn is_of_species(&self, part: &Part) -> bool {
        part.species.is_empty() || part.species.contains(&self.board.species)
    }

    /// What certainly keeps the part off the board, empty and without zones; none where nothing is certain.
    fn certain_misfit(&self, asked: &Asked<'_>, slack: f64) -> Option<Misfit> {
        let (board, part) = (self.board, asked.part);
        self.by_size(asked, slack).or_else(|| match part.grain {
            GrainRule::Axis { tolerance, .. }
                if 0.5 * certain_bend(board, part, &asked.hull) > tolerance + ANGLE_SLACK =>
            {
                Some(Misfit::Grain)
            }
            _ => None,
        })
    }

    fn by_size(&self, asked: &Asked<'_>, slack: f64) -> Option<Misfit> {
        let mut worst = None;
        for hull in [Some(&asked.hull), asked.turned_over.as_ref()]
            .into_iter()
            .flatten()
        {
            for (low, high) in turns(self.board, &asked.part.grain) {
                let mut ranges = FEWEST_RANGES + MOST_CORNERS / hull.corners.len();
                let misfit = self.misfit(asked, (hull, slack), (low, high), &mut ranges)?;
                worst = worst.max(Some(misfit));
            }
        }
        worst
    }

    /// What certainly is in the way at every turn of a range: halved until each half is barred, or some turn is not.
    fn misfit(
        &self,
        asked: &Asked<'_>,
        (hull, slack): (&Hull, f64),
        (low, high): (f64, f64),
        ranges: &mut usize,
    ) -> Option<Misfit> {
        *ranges = ranges.checked_sub(1)?;
        let (turn, off) = (0.5 * (low + high), 0.5 * (high - low));
        let extent = |direction: f64| hull.extent(direction - turn, off);
        let flattened = asked.flattened.as_ref().unwrap_or(hull);
        let (along, across) = (
            flattened.extent(-turn, off),
            flattened.extent(90.0 - turn, off),
        );
        let finished = |along: f64, across: f64| {
            greatest_finished_thickness(self.board, &asked.part.allowances, along, across) + slack
        };
        // Smaller blanks come out thicker: the floors serve for what is certain.
        if finished(along.1, across.1) < asked.part.thickness {
            return Some(Misfit::Thickness);
        }
        let mut fits = finished(along.0, across.0) >= asked.part.thickness;
        // A part without a direction of its own that is longer than the board is not too wide for it.
        let is_too_long =
            !matches!(asked.part.grain, GrainRule::Axis { .. }) && asked.longest > self.longest;
        let mut found = None;
        for (direction, length, is_along) in &self.sides {
            let (here, least) = extent(*direction);
            fits &= here <= length + slack;
            if least > length + slack {
                let misfit = if *is_along || is_too_long {
                    Misfit::Length
                } else {
                    Misfit::Width
                };
                found = Some(found.map_or(misfit, |f: Misfit| f.min(misfit)));
            }
        }
        if found.is_some() || fits || off < FINEST {
            return found;
        }
        let first = self.misfit(asked, (hull, slack), (low, turn), ranges)?;
        Some(first.max(self.misfit(asked, (hull, slack), (turn, high), ranges)?))
    }
}

/// The box of the outline less what trim certainly takes off each of its sides.
///
/// Who goes from a point of the wood towards a side of the box leaves the outline through some
/// side of it. If all those within a distance of that side of the box are trimmed by as much, no
/// blank comes nearer.
fn less_trim(board: &Board, workshop: &Workshop) -> Bounds {
    let bounds = board.outline.bounds();
    let sides: Vec<((Point, Point), f64)> = board
        .outline
        .outer()
        .edges()
        .zip(board.sides.iter().map(|s| s.trim(workshop)))
        .collect();
    // How far each side is from the box's, and whether one can leave through it on that way.
    let taken = |from: &dyn Fn(Point) -> f64, lateral: &dyn Fn(Point) -> f64| -> f64 {
        let mut trim = workshop.trim_end.max(workshop.trim_edge);
        for _ in 0..2 {
            trim = sides
                .iter()
                .filter(|((a, b), _)| lateral(*a) != lateral(*b) && from(*a).min(from(*b)) < trim)
                .map(|(_, trim)| *trim)
                .fold(trim, f64::min);
        }
        trim.max(0.0)
    };
    let (x, y) = (|p: Point| p.x, |p: Point| p.y);
    Bounds {
        min: Point::new(
            bounds.min.x + taken(&|p| p.x - bounds.min.x, &y),
            bounds.min.y + taken(&|p| p.y - bounds.min.y, &x),
        ),
        max: Point::new(
            bounds.max.x - taken(&|p| bounds.max.x - p.x, &y),
            bounds.max.y - taken(&|p| bounds.max.y - p.y, &x),
        ),
    }
}

fn towards(degrees: f64) -> Vector {
    let (sine, cosine) = sin_cos_deg(degrees);
    Vector { x: cosine, y: sine }
}

/// The corners of the hull of some points, counter-clockwise, by lower and upper chain (Andrew 1979).
///
/// Rounding may leave a corner on a side in or out, which changes extents by no more than it.
/// The exact hull of `geometry` would be five kilobytes of the page.
fn hull_of(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.arrange_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Point> = Vec::new();
    for _chain in 0..2 {
        let start = hull.len();
        for point in &sorted {
            while hull.len() > start + 1 {
                let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
                if (b - a).cross(*point - b) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(*point);
        }
        // The last corner begins the other chain.
        hull.pop();
        sorted.reverse();
    }
    hull
}

/// How far points reach in a direction, from the first to the last.
fn spread(points: &[Point], direction: Vector) -> f64 {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in points {
        let reach = point.x * direction.x + point.y * direction.y;
        least = least.min(reach);
        most = most.max(reach);
    }
    most - least
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prepare::prepare;
    use serde_json::{Value, json};

    fn job(board: Value, part: Value) -> Job {
        let document = json!({
            "format": "heartside-job", "version": 1,
            "workshop": { "trim": { "end": 20, "edge": 5 } },
            "allowances": { "end": 0, "edge": 0, "sawn": 2, "planing": 0, "clean_up": 0 },
            "boards": [board], "parts": [part],
        });
        prepare(&serde_json::from_value(document).unwrap()).job
    }

    fn found(board: &Value, part: &Value) -> Option<Misfit> {
        let job = job(board.clone(), part.clone());
        match Boards::of(&job).open_to(&job.parts[0], 1) {
            Err(RuledOut::Misfit(misfit)) => Some(misfit),
            found => {
                assert_eq!(found, Ok(vec![0]));
                None
            }
        }
    }

    fn board(length: f64, width: f64, sides: &str) -> Value {
        json!({ "id": "A", "thickness": 25, "surface": "planed", "warp": {}, "grain": { "angle": 0 },
            "outline": { "form": "polygon", "sides": [sides, sides, sides, sides],
                "points": [[0, 0], [length, 0], [length, width], [0, width]] } })
    }

    fn slat(length: f64, width: f64, tolerance: f64) -> Value {
        json!({ "id": "slat", "count": 1, "thickness": 25, "cut": "sawn",
            "shape": { "form": "rectangle", "length": length, "width": width },
            "grain": { "axis": "along", "tolerance": tolerance } })
    }

    #[test]
    fn trim_takes_from_the_extents_what_it_takes_from_the_board() {
        let (true_sides, raw) = (board(900.0, 200.0, "straight"), board(900.0, 200.0, "raw"));
        let cases = [
            (&true_sides, 896.0, 196.0, None),
            (&true_sides, 896.1, 100.0, Some(Misfit::Length)),
            (&true_sides, 800.0, 196.1, Some(Misfit::Width)),
            (&raw, 856.0, 186.0, None),
            (&raw, 856.1, 100.0, Some(Misfit::Length)),
            (&raw, 800.0, 186.1, Some(Misfit::Width)),
        ];
        for (board, length, width, expected) in cases {
            let slat = slat(length, width, 0.0);
            assert_eq!(found(board, &slat), expected, "{length} x {width}");
        }
        // A tip is trimmed along its slanting sides: the end's trim is not certain there.
        let mut tip = raw;
        tip["outline"] = json!({ "form": "polygon", "sides": ["raw", "raw", "raw"],
            "points": [[0, 0], [900, 100], [0, 200]] });
        assert_eq!(found(&tip, &slat(885.9, 0.1, 0.0)), None);
        assert_eq!(found(&tip, &slat(886.1, 0.1, 0.0)), Some(Misfit::Length));
    }

    #[test]
    fn a_part_that_may_lie_any_way_is_too_long_and_not_too_wide() {
        let board = board(900.0, 200.0, "straight");
        let any = |length: f64, width: f64| {
            let mut part = slat(length, width, 0.0);
            part["grain"] = json!({ "axis": "any" });
            part
        };
        assert_eq!(found(&board, &any(1300.0, 70.0)), Some(Misfit::Length));
        assert_eq!(found(&board, &any(500.0, 230.0)), Some(Misfit::Width));
        assert_eq!(found(&board, &any(190.0, 880.0)), None);
        // Longer than the board, but not than its diagonal.
        assert_eq!(found(&board, &any(905.0, 5.0)), None);
        assert_eq!(found(&board, &any(930.0, 5.0)), Some(Misfit::Length));
        let mut listed = slat(190.0, 880.0, 0.0);
        listed["grain"] = json!({ "turns": [0, 180] });
        assert_eq!(found(&board, &listed), Some(Misfit::Width));
    }

    /// Whatever is certain holds for turns gone through one by one, and what none of them bars is not said.
    #[test]
    fn what_is_certain_holds_at_every_turn() {
        let slanting = |rise: f64, tolerance: f64| {
            let mut part = slat(1500.0, 90.0, tolerance);
            part["shape"] = json!({ "form": "polygon",
                "points": [[0, 0], [1500, rise], [1500, rise + 90.0], [0, 90]] });
            part
        };
        let board = board(1600.0, 200.0, "straight");
        let mut seen = [false; 2];
        for rise in (0..400).step_by(10) {
            for tolerance in [0.0, 2.0, 5.0, 10.0] {
                let part = slanting(f64::from(rise), tolerance);
                let job = job(board.clone(), part.clone());
                let hull = Hull::of(&job.parts[0]);
                let fits = (-1000..=1000).any(|k| {
                    let turn = tolerance * f64::from(k) / 1000.0;
                    hull.extent(-turn, 0.0).0 <= 1600.0 && hull.extent(90.0 - turn, 0.0).0 <= 200.0
                });
                let certain = found(&board, &part);
                assert_eq!(certain.is_none(), fits, "{rise} {tolerance}: {certain:?}");
                seen[usize::from(fits)] = true;
            }
        }
        assert_eq!(seen, [true; 2]);
    }
}
