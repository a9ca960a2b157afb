//! The board itself: wood, grain, outline, raw sides.

use heartside_geometry::Arrange;
use heartside_geometry::{Point, Region, math};
use heartside_timber::job::{Board, EdgeKind, Job};

use crate::pen::Pen;
use crate::photo;
use crate::svg::Origin;

/// Most grain lines on one board; more would be a texture, not a drawing.
const MOST_LINES: usize = 16;

/// The ground of a board: wood, quiet grain or a photograph of it, outline with raw sides marked.
pub(crate) fn draw(pen: &mut Pen, job: &Job, board: &Board, origin: Origin) {
    pen.path("hs-wood", &origin.region(&board.outline), 0.0, &[]);
    if pen.on_photo {
        photo::draw(pen, job, board, origin);
    } else {
        let lines = grain_lines(board, pen.unit);
        let d: String = lines.iter().map(|line| origin.chain(line)).collect();
        pen.path("hs-grain", &d, 0.14, &[]);
    }
    let bark = bark_marks(board, pen.unit);
    pen.fine_path("hs-bark", &origin.lines(&bark), 0.16, &[]);
    pen.path("hs-edge", &origin.region(&board.outline), 0.38, &[]);
}

/// A blank that is in hand: its outline, faintly.
pub(crate) fn draw_quietly(pen: &mut Pen, board: &Board, origin: Origin) {
    pen.path("hs-faint", &origin.region(&board.outline), 0.26, &[]);
}

/// Lines along the grain field, from even places across the board, broken here and there as grain is.
fn grain_lines(board: &Board, unit: f64) -> Vec<Vec<Point>> {
    let bounds = board.outline.bounds();
    let spacing = (2.6 * unit).max(bounds.height() / MOST_LINES as f64);
    let step = (if board.grain.is_bent() {
        5.0 * unit
    } else {
        14.0 * unit
    })
    .max(bounds.width() / 120.0);
    let mut lines = Vec::new();
    let steep = math::sin_cos_deg(board.grain.base_angle()).0.abs() > 0.8;
    let (long, count) = if steep {
        (bounds.height(), bounds.width() / spacing)
    } else {
        (bounds.width(), bounds.height() / spacing)
    };
    let count = (count.ceil() as usize).clamp(1, 6 * MOST_LINES);
    for row in 0..=count {
        // Uneven by a fixed pattern, so that grain does not look like a hatch.
        let wander = (scatter(row) - 0.5) * 0.8;
        let middle = if steep {
            Point {
                x: bounds.min.x + (row as f64 + wander) * spacing,
                y: bounds.min.y + bounds.height() * scatter(row + 91),
            }
        } else {
            Point {
                x: bounds.min.x + bounds.width() * scatter(row + 91),
                y: bounds.min.y + (row as f64 + wander) * spacing,
            }
        };
        let mut chain = trace(board, middle, -step, long);
        chain.reverse();
        chain.extend(trace(board, middle, step, long).into_iter().skip(1));
        lines.extend(inside_runs(board, &chain, row));
    }
    lines
}

/// Follows the grain from a point, by midpoint steps, as far as the board is long.
fn trace(board: &Board, from: Point, step: f64, long: f64) -> Vec<Point> {
    let mut points = vec![from];
    let mut at = from;
    let mut heading: Option<(f64, f64)> = None;
    let bounds = board.outline.bounds().grown(step.abs());
    let most = ((long * 1.5 / step.abs()).ceil() as usize).min(200);
    for _ in 0..most {
        let direction = |p: Point| {
            let (sin, cos) = math::sin_cos_deg(board.grain.angle_at(p));
            // The field has no sense of direction; keep going the way we came.
            match heading {
                Some((hx, hy)) if hx * cos + hy * sin < 0.0 => (-cos, -sin),
                _ => (cos, sin),
            }
        };
        let (cx, cy) = direction(at);
        let half = Point {
            x: at.x + cx * step / 2.0,
            y: at.y + cy * step / 2.0,
        };
        let (mx, my) = direction(half);
        heading = Some((mx, my));
        at = Point {
            x: at.x + mx * step,
            y: at.y + my * step,
        };
        points.push(at);
        if !bounds.contains(at) {
            break;
        }
    }
    points
}

/// The parts of a chain inside the board, with gaps that differ from line to line.
fn inside_runs(board: &Board, chain: &[Point], row: usize) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    let period = 9 + (scatter(row + 17) * 9.0) as usize;
    let shift = (scatter(row + 41) * period as f64) as usize;
    for pair in chain.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        for (from, to) in clipped(&board.outline, a, b) {
            let joins = open
                && runs
                    .last()
                    .and_then(|r| r.last())
                    .is_some_and(|last| last.distance(from) < 1e-6);
            if !joins {
                runs.push(vec![from]);
            }
            if let Some(run) = runs.last_mut() {
                run.push(to);
            }
            open = true;
        }
        let place = (a.x / 60.0).floor().abs() as usize + shift;
        if place.is_multiple_of(period) {
            open = false;
            if let Some(run) = runs.last_mut()
                && run.len() > 2
            {
                run.pop();
            }
        }
    }
    runs.retain(|r| r.len() > 1);
    runs
}

/// The parts of a segment inside a region.
pub(crate) fn clipped(region: &Region, a: Point, b: Point) -> Vec<(Point, Point)> {
    let mut cuts = vec![0.0, 1.0];
    for (p, q) in region.edges() {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (ex, ey) = (q.x - p.x, q.y - p.y);
        let cross = dx * ey - dy * ex;
        if cross == 0.0 {
            continue;
        }
        let t = ((p.x - a.x) * ey - (p.y - a.y) * ex) / cross;
        let s = ((p.x - a.x) * dy - (p.y - a.y) * dx) / cross;
        if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&s) {
            cuts.push(t);
        }
    }
    cuts.arrange_by(f64::total_cmp);
    cuts.windows(2)
        .filter(|w| w[1] - w[0] > 1e-9)
        .filter(|w| region.contains(a.towards(b, (w[0] + w[1]) / 2.0)))
        .map(|w| (a.towards(b, w[0]), a.towards(b, w[1])))
        .collect()
}

/// Short slanted strokes along raw sides, inside the outline: bark and torn ends, told from straight sides without colour.
fn bark_marks(board: &Board, unit: f64) -> Vec<(Point, Point)> {
    let mut marks = Vec::new();
    let (spacing, long) = (1.9 * unit, 1.1 * unit);
    for ((a, b), side) in board.outline.outer().edges().zip(&board.sides) {
        let length = a.distance(b);
        if side.kind != EdgeKind::Raw || length <= 0.0 {
            continue;
        }
        let (ux, uy) = ((b.x - a.x) / length, (b.y - a.y) / length);
        let count = (length / spacing).round().clamp(1.0, 500.0);
        for place in 0..count as usize {
            let along = (place as f64 + 0.5) * length / count;
            let foot = Point {
                x: a.x + ux * along,
                y: a.y + uy * along,
            };
            // Inwards is to the left of a counter-clockwise side; leaning back along it.
            let tip = Point {
                x: foot.x + (-uy - ux * 0.6) * long,
                y: foot.y + (ux - uy * 0.6) * long,
            };
            marks.push((foot, tip));
        }
    }
    marks
}

/// A fixed pattern of numbers within [0, 1): the fractional part of multiples of the golden ratio, stirred once.
fn scatter(place: usize) -> f64 {
    let x = (place as f64 + 1.0) * 0.618_033_988_749_895;
    let y = (x - x.floor()) * 7.31;
    y - y.floor()
}

/// True where a board's outline is not a plain rectangle along its axes: it is drawn by its measured widths.
pub(crate) fn is_waney_or_tapered(board: &Board) -> bool {
    board.outline.outer().points().len() != 4
        || board
            .outline
            .outer()
            .edges()
            .any(|(a, b)| (a.x - b.x).abs() > 0.05 && (a.y - b.y).abs() > 0.05)
}
