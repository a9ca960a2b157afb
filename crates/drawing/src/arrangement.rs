//! Where boards lie on the floor. It depends on the job and the window's shape alone, never on
//! what was shown before: the same window always shows the same floor.

use heartside_geometry::{Bounds, Point, SortedMap};
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

/// A board as it was bought, on the floor: itself, or what is there of its pieces.
struct Slot {
    /// The box of the board as it was bought, in its own frame.
    own: Bounds,
    root: BoardCopy,
    /// What lies there, with its box in the same frame.
    lies: Vec<(BoardCopy, Bounds)>,
}

/// The boards as they were bought, in the job's order, those that are gone with their pieces.
fn slots(job: &Job) -> Vec<Slot> {
    let mut slots = Vec::new();
    for board in job.boards.iter().filter(|b| b.from.is_none()) {
        let own = board.outline.bounds();
        for copy in 1..=board.count {
            let root = BoardCopy {
                board: board.id.clone(),
                copy,
            };
            let whole = board.gone.binary_search(&copy).is_err();
            slots.push(Slot {
                own,
                lies: whole.then(|| (root.clone(), own)).into_iter().collect(),
                root,
            });
        }
    }
    let place = slots.iter().enumerate();
    let place = SortedMap::from_iter(place.map(|(k, slot): (usize, &Slot)| (slot.root.clone(), k)));
    for piece in &job.boards {
        let slot = piece.from.as_ref().and_then(|from| place.get(&from.root));
        if let Some(slot) = slot.and_then(|k| slots.get_mut(*k)) {
            let bounds = piece.outline.bounds();
            let there = piece.copies().map(|copy| {
                let board = piece.id.clone();
                (BoardCopy { board, copy }, bounds)
            });
            slot.lies.extend(there);
        }
    }
    slots
}

/// Where the boards lie: where they were dragged to, else below each other in the job's order, in
/// as many columns as show them largest in a window of a shape (`aspect`: width over height of
/// the room there is for boards). In a window that scrolls (`aspect` below a tenth) in one.
///
/// Pieces lie where their board lay, a kerf apart, and keep its place free: no cut moves a board.
pub fn boards_on_floor(job: &Job, moved: &[OnFloor], aspect: f64) -> Vec<BoardOnFloor> {
    let arrangement = Arrangement::of(job, aspect);
    let slots = slots(job);
    let sizes: Vec<(f64, f64)> = slots
        .iter()
        .map(|slot| (slot.own.width(), slot.own.height()))
        .collect();
    let columns = columns(&sizes, &arrangement);
    let (mut x, mut y) = (0.0, 0.0);
    let mut column = 0;
    let mut lying = Vec::with_capacity(slots.len());
    for (index, Slot { own, root, lies }) in slots.into_iter().enumerate() {
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
            .find(|m| m.board == root && m.x.is_finite() && m.y.is_finite());
        // A board that was dragged away leaves its place free: the others stay where they lie.
        let own_place = (x, y);
        y += own.height() + arrangement.gap;
        let (left, top) = there.map_or(own_place, |m| (m.x, -m.y - own.height()));
        let origin = Point {
            x: left - own.min.x,
            y: top + own.max.y,
        };
        let on_floor = |own: &Bounds| {
            let at = |p: Point| Point {
                x: origin.x + p.x,
                y: origin.y - p.y,
            };
            Bounds::new(at(own.min), at(own.max))
        };
        let slot = on_floor(&own);
        lying.extend(lies.into_iter().map(|(board, own)| BoardOnFloor {
            board,
            bounds: on_floor(&own),
            slot,
            origin,
        }));
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
