//! Where in a workpiece a blank may lie.

use heartside_geometry::Arrange;
use heartside_geometry::Bounds;
use heartside_timber::job::Job;
use heartside_timber::plan::{Direction, Placed};

use super::fits::Fit;
use super::ground::Ground;
use super::saw::Saws;
use super::workpiece::Workpiece;

/// Which end of the workpiece is tried first; the low edge always.
///
/// A low corner leaves the rest in one piece; filling from both ends is left to the cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The lowest free y at each x.
    Low,
    /// The highest.
    High,
}

/// A place for a blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Its rectangle in the frame.
    pub rect: Bounds,
    /// Its placement, on the grid.
    pub placed: Placed,
}

/// Most x tried for one blank in one workpiece; a board with more corners than this in a row is not waded through.
const MOST_TRIES: usize = 48;

/// The first place along x, then along y, where the blank meets no obstacle and leaves
/// strips that can be taken off; none if there is none among the x where obstacles end.
///
/// O(tries x sides of the obstacles in the slab).
pub fn find_spot(
    job: &Job,
    ground: &Ground,
    saws: &Saws,
    piece: &Workpiece,
    fit: &Fit,
    edge: Edge,
) -> Option<Spot> {
    let (play, bite) = (ground.leaf_play, ground.bite);
    if fit.width > piece.tight.width() + bite || fit.height > piece.tight.height() + bite {
        return None;
    }
    let room = piece.tight.intersection(ground.usable)?;
    if fit.width > room.width() + bite || fit.height > room.height() + bite {
        return None;
    }
    let strip_x = saws.least_strip(job, Direction::Crosscut, ground.thickness);
    let strip_y = saws.least_strip(job, Direction::Rip, ground.thickness);
    let last = room.max.x - fit.width + bite;
    let mut x = skip_sliver(room.min.x, piece.tight.min.x, strip_x, play);
    let mut starts = Vec::new();
    for _ in 0..MOST_TRIES {
        if x > last {
            return None;
        }
        let next = forbidden_starts(ground, fit, x, &room, &mut starts);
        let y = match edge {
            Edge::Low => lowest(&starts, &room, fit.height, bite, |y| {
                skip_sliver(y, piece.tight.min.y, strip_y, play)
            }),
            Edge::High => highest(&starts, &room, fit.height, bite, |y| {
                let top = piece.tight.max.y - (y + fit.height);
                if top > play && top < strip_y {
                    piece.tight.max.y - strip_y - fit.height
                } else {
                    y
                }
            }),
        };
        if let Some(y) = y
            && let Some(spot) = settled(ground, fit, x, y, &room)
        {
            return Some(spot);
        }
        if !next.is_finite() {
            return None;
        }
        x = skip_sliver(next, piece.tight.min.x, strip_x, play);
    }
    None
}

/// True if the rectangle finds a place clear of obstacles, whatever strips that leaves.
pub(crate) fn has_clear_room(ground: &Ground, piece: &Workpiece, fit: &Fit) -> bool {
    let Some(room) = piece.tight.intersection(ground.usable) else {
        return false;
    };
    let play = ground.leaf_play;
    let (last, mut x) = (room.max.x - fit.width + play, room.min.x);
    let mut starts = Vec::new();
    for _ in 0..MOST_TRIES {
        if x > last {
            return false;
        }
        let next = forbidden_starts(ground, fit, x, &room, &mut starts);
        if lowest(&starts, &room, fit.height, play, |y| y).is_some() {
            return true;
        }
        if !next.is_finite() {
            return false;
        }
        x = next;
    }
    false
}

/// A start nearer to the edge than a strip that can be taken off is moved away from it, unless it lies at the edge.
fn skip_sliver(start: f64, edge: f64, least_strip: f64, play: f64) -> f64 {
    let strip = start - edge;
    if strip > play && strip < least_strip {
        edge + least_strip
    } else {
        start
    }
}

/// Fills in the forbidden starts along y for a blank at x, and gives the next x at which they may change.
fn forbidden_starts(
    ground: &Ground,
    fit: &Fit,
    x: f64,
    room: &Bounds,
    starts: &mut Vec<(f64, f64)>,
) -> f64 {
    starts.clear();
    let class = &ground.classes[fit.class];
    let noise = ground.noise;
    let mut next = f64::INFINITY;
    let mut look =
        |pieces: &[usize], (inset_x, inset_y): (f64, f64), starts: &mut Vec<(f64, f64)>| {
            for piece in pieces {
                let piece = &ground.pieces[*piece];
                let bounds = piece.bounds();
                if bounds.max.y <= room.min.y || bounds.min.y >= room.max.y {
                    continue;
                }
                let (x0, x1) = (x + inset_x + noise, x + fit.width - inset_x - noise);
                if let Some((low, high)) = piece.span_y(x0, x1) {
                    let (from, to) = (low + inset_y - fit.height + noise, high - inset_y - noise);
                    if from < to {
                        starts.push((from, to));
                        next = next.min(piece.next_event(x0) - inset_x);
                    }
                }
            }
        };
    look(&class.blank, (0.0, 0.0), starts);
    look(&class.finished, fit.inset, starts);
    look_around(ground, fit, &class.around, x, room, starts, &mut next);
    starts.arrange_by(|a, b| a.0.total_cmp(&b.0));
    // An event at x itself would not move on.
    if next <= x { x + 1.0 } else { next }
}

/// Fixings that the blank may hold: forbidden are the starts at which it meets one without lying round it.
fn look_around(
    ground: &Ground,
    fit: &Fit,
    pieces: &[usize],
    x: f64,
    room: &Bounds,
    starts: &mut Vec<(f64, f64)>,
    next: &mut f64,
) {
    for piece in pieces {
        let piece = &ground.pieces[*piece];
        let bounds = piece.bounds();
        if bounds.max.y <= room.min.y || bounds.min.y >= room.max.y {
            continue;
        }
        let Some((low, high)) = piece.span_y(x + ground.noise, x + fit.width - ground.noise) else {
            continue;
        };
        *next = next.min(piece.next_event(x + ground.noise));
        let holds_along = bounds.min.x >= x && bounds.max.x <= x + fit.width;
        let (from, to) = (low - fit.height + ground.noise, high - ground.noise);
        if holds_along && bounds.height() <= fit.height {
            // Round it: start at or below the fixing's foot, end at or above its head.
            starts.push((from, bounds.max.y - fit.height));
            starts.push((bounds.min.y, to));
        } else {
            starts.push((from, to));
        }
    }
    starts.retain(|(from, to)| from < to);
}

/// The lowest free start.
fn lowest(
    starts: &[(f64, f64)],
    room: &Bounds,
    height: f64,
    play: f64,
    adjust: impl Fn(f64) -> f64,
) -> Option<f64> {
    let mut y = adjust(room.min.y);
    for (from, to) in starts {
        if *from < y && y < *to {
            y = adjust(*to);
        }
    }
    (y + height <= room.max.y + play).then_some(y)
}

/// The highest free start.
fn highest(
    starts: &[(f64, f64)],
    room: &Bounds,
    height: f64,
    play: f64,
    adjust: impl Fn(f64) -> f64,
) -> Option<f64> {
    let mut y = adjust(room.max.y - height);
    // Few intervals: going over them until nothing moves is quicker than sorting by their ends.
    for _ in 0..=starts.len() {
        let Some((from, _)) = starts.iter().find(|(from, to)| *from < y && y < *to) else {
            break;
        };
        y = adjust(*from);
    }
    let free = starts.iter().all(|(from, to)| y <= *from || y >= *to);
    (free && y >= room.min.y - play).then_some(y)
}

/// The place at (x, y), where the blank lies clear there.
pub(crate) fn place_at(
    ground: &Ground,
    fit: &Fit,
    (x, y): (f64, f64),
    room: &Bounds,
) -> Option<Spot> {
    settled(ground, fit, x, y, room)
}

/// The starts along y next to obstacles for a blank at x, and the next x at which they may change.
pub(crate) fn starts_beside_obstacles(
    ground: &Ground,
    fit: &Fit,
    x: f64,
    room: &Bounds,
) -> (Vec<f64>, f64) {
    let mut forbidden = Vec::new();
    let next = forbidden_starts(ground, fit, x, room, &mut forbidden);
    let is_free = |y: &f64| forbidden.iter().all(|(from, to)| y <= from || y >= to);
    let ends = forbidden.iter().flat_map(|(from, to)| [*from, *to]);
    (ends.filter(is_free).collect(), next)
}

/// The spot on the grid; none if that takes it out of the room or into an obstacle by more than rounding.
///
/// Where an exact fit leaves no room for the next grid point, the one before it serves.
fn settled(ground: &Ground, fit: &Fit, x: f64, y: f64, room: &Bounds) -> Option<Spot> {
    let bite = ground.bite;
    let back = ground.grid_step();
    let inside = |rect: &Bounds| {
        rect.min.x >= room.min.x - bite
            && rect.min.y >= room.min.y - bite
            && rect.max.x <= room.max.x + bite
            && rect.max.y <= room.max.y + bite
    };
    let (placed, rect) = ground.settle(fit, x, y);
    let mut spot = Spot { rect, placed };
    if !inside(&spot.rect) {
        let over_x = rect.max.x > room.max.x + bite;
        let over_y = rect.max.y > room.max.y + bite;
        let (placed, rect) = ground.settle(
            fit,
            if over_x { x - back } else { x },
            if over_y { y - back } else { y },
        );
        spot = Spot { rect, placed };
    }
    (inside(&spot.rect) && is_clear(ground, fit, &spot.rect)).then_some(spot)
}

/// True where nothing that the part keeps clear of is met, up to the grid's play.
pub(crate) fn is_clear(ground: &Ground, fit: &Fit, rect: &Bounds) -> bool {
    let class = &ground.classes[fit.class];
    let blank = shrunk(rect, ground.noise, ground.noise);
    let finished = shrunk(rect, fit.inset.0 + ground.noise, fit.inset.1 + ground.noise);
    class.blank.iter().all(|p| !ground.pieces[*p].meets(&blank))
        && class
            .finished
            .iter()
            .all(|p| !ground.pieces[*p].meets(&finished))
        && class.around.iter().all(|p| {
            let piece = &ground.pieces[*p];
            !piece.meets(&blank) || piece.lies_within(rect)
        })
}

fn shrunk(rect: &Bounds, x: f64, y: f64) -> Bounds {
    let centre = rect.centre();
    let mut inner = *rect;
    inner.min.x = (inner.min.x + x).min(centre.x);
    inner.max.x = (inner.max.x - x).max(centre.x);
    inner.min.y = (inner.min.y + y).min(centre.y);
    inner.max.y = (inner.max.y - y).max(centre.y);
    inner
}
