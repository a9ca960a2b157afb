//! Where boards lie on the floor. It depends on the job and the window's shape alone, never on
//! what was shown before: the same window always shows the same floor.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::{BoardCopy, OnFloor};
use heartside_timber::job::Job;

use crate::on_floor::BoardOnFloor;

/// Gap between boards of a column, in millimetres of wood: room for numbers and notes between them.
const GAP: f64 = 150.0;
/// The same where the longest board fills the width, as a share of its length: its name stands in it.
const GAP_BY_WIDTH: f64 = 0.085;
/// Most columns.
const MOST_COLUMNS: usize = 12;
/// Windows narrower than this share of their height scroll: one column, as wide as they are.
const SCROLLS: f64 = 0.1;

/// How boards lie on the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Arrangement {
    /// Width over height of the room that boards are fitted into.
    aspect: f64,
    /// Gap between boards of a column, in millimetres.
    pub(crate) gap: f64,
    /// Names stand above their boards, not left of them: no width is lost to them.
    pub(crate) names_above: bool,
}

impl Arrangement {
    /// That of a job in a window; one far higher than wide stands for a floor that scrolls.
    pub(crate) fn of(job: &Job, aspect: f64) -> Arrangement {
        let names_above = aspect < SCROLLS;
        let aspect = if aspect.is_finite() {
            aspect.clamp(0.2, 6.0)
        } else {
            1.5
        };
        let gap = if names_above {
            GAP_BY_WIDTH * widest(job)
        } else {
            GAP
        };
        Arrangement {
            aspect,
            gap,
            names_above,
        }
    }
}

fn widest(job: &Job) -> f64 {
    let widths = job.boards.iter().map(|b| b.outline.bounds().width());
    widths.fold(0.0, f64::max)
}

/// Where the boards lie: where they were dragged to, else below each other in the job's order, in
/// as many columns as show them largest in a window of a shape (`aspect`: width over height of
/// the room there is for boards). In a window that scrolls (`aspect` below a tenth) in one.
pub fn boards_on_floor(job: &Job, moved: &[OnFloor], aspect: f64) -> Vec<BoardOnFloor> {
    let arrangement = Arrangement::of(job, aspect);
    let copies: Vec<(BoardCopy, Bounds)> = job
        .board_copies()
        .into_iter()
        .filter_map(|c| job.board(&c.board).map(|b| (c, b.outline.bounds())))
        .collect();
    let sizes: Vec<(f64, f64)> = copies
        .iter()
        .map(|(_, b)| (b.width(), b.height()))
        .collect();
    let columns = columns(&sizes, &arrangement);
    let (mut x, mut y) = (0.0, 0.0);
    let mut column = 0;
    let mut lying = Vec::with_capacity(copies.len());
    for (index, (board, own)) in copies.into_iter().enumerate() {
        if columns
            .get(column + 1)
            .is_some_and(|next| next.first == index)
        {
            x += columns[column].width + side(&arrangement, &sizes);
            y = 0.0;
            column += 1;
        }
        let there = moved
            .iter()
            .find(|m| m.board == board && m.x.is_finite() && m.y.is_finite());
        // A board that was dragged away leaves its place free: the others stay where they lie.
        let own_place = (x, y);
        y += own.height() + arrangement.gap;
        let (left, top) = there.map_or(own_place, |m| (m.x, -m.y - own.height()));
        let bounds = Bounds {
            min: Point { x: left, y: top },
            max: Point {
                x: left + own.width(),
                y: top + own.height(),
            },
        };
        let origin = Point {
            x: left - own.min.x,
            y: top + own.max.y,
        };
        lying.push(BoardOnFloor {
            board,
            bounds,
            origin,
        });
    }
    lying
}

/// A column: its first board and the width of its longest.
#[derive(Clone, Copy)]
struct Column {
    first: usize,
    width: f64,
}

/// Room left of a column for the names of its boards.
fn side(arrangement: &Arrangement, sizes: &[(f64, f64)]) -> f64 {
    if arrangement.names_above {
        return arrangement.gap;
    }
    0.1 * sizes.iter().map(|s| s.0).fold(0.0, f64::max) + 130.0
}

/// The columns that show boards largest; the fewest where several do.
fn columns(sizes: &[(f64, f64)], arrangement: &Arrangement) -> Vec<Column> {
    let side = side(arrangement, sizes);
    let one = vec![Column {
        first: 0,
        width: sizes.iter().map(|s| s.0).fold(0.0, f64::max),
    }];
    if arrangement.names_above {
        return one;
    }
    let mut best = (extent(&one, sizes, arrangement, side), one);
    for count in 2..=MOST_COLUMNS.min(sizes.len()) {
        let columns = parted(sizes, arrangement.gap, count);
        let seen = extent(&columns, sizes, arrangement, side);
        // A hair larger is no reason to send boards about.
        if seen < best.0 * 0.98 {
            best = (seen, columns);
        }
    }
    best.1
}

/// What has to fit the window, in heights of it: the less, the larger boards are seen.
fn extent(columns: &[Column], sizes: &[(f64, f64)], arrangement: &Arrangement, side: f64) -> f64 {
    let ends = columns.iter().skip(1).map(|c| c.first).chain([sizes.len()]);
    let tallest = columns
        .iter()
        .zip(ends)
        .map(|(c, end)| height(&sizes[c.first..end], arrangement.gap))
        .fold(0.0, f64::max);
    let wide: f64 = columns.iter().map(|c| c.width).sum();
    let between = side * (columns.len() as f64 - 1.0);
    ((wide + between) / arrangement.aspect).max(tallest)
}

fn height(sizes: &[(f64, f64)], gap: f64) -> f64 {
    sizes.iter().map(|s| s.1 + gap).sum::<f64>() - gap
}

/// The boards in their order in at most so many columns, of which the tallest is as low as can be.
fn parted(sizes: &[(f64, f64)], gap: f64, count: usize) -> Vec<Column> {
    let tallest = sizes.iter().map(|s| s.1).fold(0.0, f64::max);
    let (mut low, mut high) = (tallest, height(sizes, gap));
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if filled(sizes, gap, middle).len() <= count {
            high = middle;
        } else {
            low = middle;
        }
    }
    filled(sizes, gap, high)
}

/// Columns filled one after the other up to a height.
fn filled(sizes: &[(f64, f64)], gap: f64, most: f64) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::new();
    let mut reached = f64::INFINITY;
    for (index, (width, height)) in sizes.iter().enumerate() {
        if reached + gap + height > most + 1e-6 {
            columns.push(Column {
                first: index,
                width: *width,
            });
            reached = *height;
        } else {
            reached += gap + height;
            if let Some(column) = columns.last_mut() {
                column.width = column.width.max(*width);
            }
        }
    }
    columns
}
