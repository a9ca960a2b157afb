//! Places near a pose where a part may lie: what a drop that is a little off meant.
//!
//! A contact alone is not enough. Solvers lay straight parts exactly a kerf apart and flush
//! with each other, so that one cut frees several; a part put back two micrometres off needs
//! a cut of two micrometres, which no saw makes. So the lines that a saw would follow are
//! tried first, and a pocket that fits to the last micrometre is found again.

use heartside_check::{Live, Near};
use heartside_geometry::{Arrange, Bounds, Pose, Vector};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, ZoneKind};

use super::contact::Around;
use super::near::{is_reach, kerfs, near, on_grid, sides};

/// So many places are offered at most.
const MOST_PLACES: usize = 12;
/// So many are looked at: a part dragged over a full board must not lag.
const MOST_LOOKS: usize = 120;
/// So many lines along an axis are gone on with, the nearest first.
const MOST_LINES: usize = 24;

/// A line that one side of the part may come to, as a move along one axis.
#[derive(Clone, Copy)]
struct Line {
    by: f64,
    /// What is added to the move when places are compared: a contact draws more than a line that is merely flush.
    reluctance: f64,
}

/// Poses by at most `reach_mm` in x and in y from a given one where the part breaks no rule
/// about its place (inside the board, kerf, zones, fixings), the likeliest meant first; none
/// where there are none. The turn stays.
///
/// `home`, where it lies on this board (or lay, and the caller knows that to be free), comes
/// first while it is within half the reach. Then come
/// contacts: a kerf of some saw from neighbours, the trim from raw sides, nothing from
/// straight ones; then lines flush with neighbours, and those beside flaws.
pub fn places_near(
    live: &Live,
    part: &PartCopy,
    board: &BoardCopy,
    pose: Pose,
    reach_mm: f64,
    home: Option<Pose>,
) -> Vec<Pose> {
    let near = near(live, part, board, pose, reach_mm);
    let Some(near) = near.filter(|_| is_reach(reach_mm)) else {
        return Vec::new();
    };
    let home = home.filter(|home| same_lie(home, &pose) && away(home, &pose) <= reach_mm);
    let (mut places, far_home) = match home {
        Some(home) if away(&home, &pose) <= 0.5 * reach_mm => (vec![home], None),
        home => (Vec::new(), home),
    };
    let mut tried = candidates(live.job(), &near, pose, reach_mm);
    if let Some(home) = far_home {
        tried.push(((home.x - pose.x).abs() + (home.y - pose.y).abs(), home));
    }
    tried.arrange_by(|a, b| a.0.total_cmp(&b.0));
    let mut seen: Vec<Pose> = Vec::new();
    for (_, pose) in tried {
        if places.len() >= MOST_PLACES || seen.len() >= MOST_LOOKS {
            break;
        }
        if seen.contains(&pose) || places.contains(&pose) {
            continue;
        }
        seen.push(pose);
        if live.is_free(part, board, pose) {
            places.push(pose);
        }
    }
    places
}

/// Poses that the part may have been meant for, and how unlikely each is.
fn candidates(job: &Job, near: &Near<'_>, pose: Pose, reach: f64) -> Vec<(f64, Pose)> {
    let around = Around::new(job, near, reach);
    let touching = on_grid(job, pose.moved(around.contact()));
    let hair = 4.0 * job.tolerance.extra;
    let wished = (touching.x - pose.x, touching.y - pose.y);
    let mut tried = vec![(wished.0.abs() + wished.1.abs() + 2.0 * hair, touching)];
    let xs = lines(job, near, reach, wished.0, Axis::X);
    let ys = lines(job, near, reach, wished.1, Axis::Y);
    for x in &xs {
        for y in &ys {
            let cost = x.by.abs() + y.by.abs() + x.reluctance + y.reluctance;
            tried.push((cost, on_grid(job, pose.moved(Vector::new(x.by, y.by)))));
        }
    }
    // Beside slanted sides a line along one axis leaves the other to be slid along.
    for (axis, list) in [(Axis::Y, &xs), (Axis::X, &ys)] {
        for line in list.iter().take(MOST_LINES / 2) {
            let start = axis.other().vector() * line.by;
            for slid in around.slides(start, axis.vector()) {
                let cost = line.reluctance + slid.x.abs() + slid.y.abs() + hair;
                tried.push((cost, on_grid(job, pose.moved(slid))));
            }
        }
    }
    tried
}

fn same_lie(a: &Pose, b: &Pose) -> bool {
    a.turned_over == b.turned_over && (a.turn - b.turn).abs() < 1e-6
}

fn away(a: &Pose, b: &Pose) -> f64 {
    (a.x - b.x).abs().max((a.y - b.y).abs())
}

#[derive(Clone, Copy, PartialEq)]
enum Axis {
    X,
    Y,
}

impl Axis {
    fn other(self) -> Axis {
        match self {
            Axis::X => Axis::Y,
            Axis::Y => Axis::X,
        }
    }

    fn vector(self) -> Vector {
        match self {
            Axis::X => Vector::new(1.0, 0.0),
            Axis::Y => Vector::new(0.0, 1.0),
        }
    }

    /// The low and the high end of a box on this axis.
    fn ends(self, bounds: &Bounds) -> (f64, f64) {
        match self {
            Axis::X => (bounds.min.x, bounds.max.x),
            Axis::Y => (bounds.min.y, bounds.max.y),
        }
    }
}

/// Where the part's sides may come to along an axis, the likeliest first.
fn lines(job: &Job, near: &Near<'_>, reach: f64, wished: f64, axis: Axis) -> Vec<Line> {
    let piece = &near.piece;
    let (low, high) = axis.ends(&piece.bounds);
    let extra = job.tolerance.extra;
    let kerfs = kerfs(job, near);
    let mut lines: Vec<Line> = Vec::new();
    let mut add = |by: f64, reluctance: f64| {
        if by.abs() <= reach {
            lines.push(Line { by, reluctance });
        }
    };
    // Where nothing is near, the place it is held at; else where the nearest contact drew it.
    add(0.0, 0.9 * reach);
    add(wished, 2.0 * extra);
    for other in &near.others {
        let (from, to) = axis.ends(&other.bounds);
        for kerf in &kerfs {
            for more in [0.0, extra] {
                add(to + kerf + more - low, more);
                add(from - kerf - more - high, more);
            }
        }
        add(from - low, 0.6 * reach);
        add(to - high, 0.6 * reach);
    }
    for ((a, b), trim) in sides(job, near) {
        let side = Bounds::new(a, b);
        let (from, to) = axis.ends(&side);
        if to - from > 1e-9 || !piece.bounds.grown(trim + 2.0 * reach).intersects(&side) {
            continue;
        }
        for more in [0.0, extra] {
            add(to + trim + more - low, more);
            add(from - trim - more - high, more);
        }
    }
    for (zone, bounds) in &near.zones {
        let (from, to) = axis.ends(bounds);
        let beside = zone.margin + extra;
        add(to + beside - low, 0.9 * reach);
        add(from - beside - high, 0.9 * reach);
        if zone.kind == ZoneKind::Fixing {
            for kerf in &kerfs {
                add(to + beside + kerf - low, 0.9 * reach);
                add(from - beside - kerf - high, 0.9 * reach);
            }
        }
    }
    lines.arrange_by(|a, b| (a.by.abs() + a.reluctance).total_cmp(&(b.by.abs() + b.reluctance)));
    lines.truncate(MOST_LINES);
    lines
}
