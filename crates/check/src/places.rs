//! Places near a pose where a part may lie: what a drop that is a little off meant.
//!
//! A contact alone is not enough. Solvers lay straight parts exactly a kerf apart and flush
//! with each other, so that one cut frees several; a part put back two micrometres off needs
//! a cut of two micrometres, which no saw makes. So the lines that a saw would follow are
//! tried first, and a pocket that fits to the last micrometre is found again.

use heartside_geometry::{Arrange, Bounds, Pose, Vector};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Finding, Rule, Severity};
use heartside_timber::job::ZoneKind;
use heartside_timber::plan::Way;

use crate::floor::Laid;
use crate::index::{FAR, JobIndex, Piece};
use crate::live::Live;
use crate::snap::Around;

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

impl Live {
    /// Poses by at most `reach_mm` in x and in y from a given one where the part breaks no rule
    /// about its place (inside the board, kerf, zones, fixings), the likeliest meant first; none
    /// where there are none. The turn stays.
    ///
    /// The place where it lies now, or `lay` (which the caller knows to be free), comes first while it is within half the reach. Then come
    /// contacts: a kerf of some saw from neighbours, the trim from raw sides, nothing from
    /// straight ones; then lines flush with neighbours, and those beside flaws.
    pub fn places_near(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        pose: Pose,
        reach_mm: f64,
        lay: Option<Pose>,
    ) -> Vec<Pose> {
        let index = self.index();
        let (Some(piece), Some(place)) = (index.piece(part, pose), index.board_place(board)) else {
            return Vec::new();
        };
        if !(reach_mm > 0.0 && reach_mm <= FAR) {
            return Vec::new();
        }
        let fresh;
        let laid = match self.laid_on(board) {
            Some(laid) => laid,
            None => {
                fresh = Laid::empty(index, board, self.way_for(part, board));
                &fresh
            }
        };
        let home = laid
            .find(part)
            .map(|slot| laid.layout().placements[slot].pose())
            .or(lay)
            .filter(|home| same_lie(home, &pose) && away(home, &pose) <= reach_mm);
        let (mut places, far_home) = match home {
            Some(home) if away(&home, &pose) <= 0.5 * reach_mm => (vec![home], None),
            home => (Vec::new(), home),
        };
        let around = Around::new(index, place, laid, &piece, reach_mm);
        let mut tried: Vec<(f64, Pose)> = Vec::new();
        let on_grid = |moved: Vector| {
            let pose = pose.moved(moved);
            Pose {
                x: index.job().snap(pose.x),
                y: index.job().snap(pose.y),
                ..pose
            }
        };
        if let Some(home) = far_home {
            tried.push(((home.x - pose.x).abs() + (home.y - pose.y).abs(), home));
        }
        let near = self.snap(part, board, pose, reach_mm);
        let hair = 4.0 * index.job().tolerance.extra;
        tried.push((
            (near.x - pose.x).abs() + (near.y - pose.y).abs() + 2.0 * hair,
            near,
        ));
        let wished = (near.x - pose.x, near.y - pose.y);
        let xs = lines(index, place, laid, &piece, reach_mm, wished.0, Axis::X);
        let ys = lines(index, place, laid, &piece, reach_mm, wished.1, Axis::Y);
        for x in &xs {
            for y in &ys {
                let cost = x.by.abs() + y.by.abs() + x.reluctance + y.reluctance;
                tried.push((cost, on_grid(Vector::new(x.by, y.by))));
            }
        }
        // Beside slanted sides a line along one axis leaves the other to be slid along.
        for (axis, list) in [(Axis::Y, &xs), (Axis::X, &ys)] {
            for line in list.iter().take(MOST_LINES / 2) {
                let start = axis.other().vector() * line.by;
                for slid in around.slides(start, axis.vector()) {
                    let cost = line.reluctance + slid.x.abs() + slid.y.abs() + hair;
                    tried.push((cost, on_grid(slid)));
                }
            }
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
            if is_free(index, laid, part, pose) {
                places.push(pose);
            }
        }
        places
    }
}

fn same_lie(a: &Pose, b: &Pose) -> bool {
    a.turned_over == b.turned_over && (a.turn - b.turn).abs() < 1e-6
}

fn away(a: &Pose, b: &Pose) -> f64 {
    (a.x - b.x).abs().max((a.y - b.y).abs())
}

/// No rule about the place is broken; what no move could mend does not count.
fn is_free(index: &JobIndex<'_>, laid: &Laid, part: &PartCopy, pose: Pose) -> bool {
    let about_place = |finding: &Finding| {
        finding.severity == Severity::Broken
            && matches!(
                finding.rule,
                Rule::Inside | Rule::Kerf | Rule::Zones | Rule::Fixings
            )
    };
    index
        .piece(part, pose)
        .is_some_and(|piece| !laid.supposing(index, &piece).iter().any(about_place))
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
fn lines(
    index: &JobIndex<'_>,
    board: usize,
    laid: &Laid,
    piece: &Piece,
    reach: f64,
    wished: f64,
    axis: Axis,
) -> Vec<Line> {
    let (low, high) = axis.ends(&piece.bounds);
    let extra = index.job().tolerance.extra;
    let kerfs = kerfs(index, board, laid);
    let widest = kerfs.iter().copied().fold(0.0, f64::max);
    let mut lines: Vec<Line> = Vec::new();
    let mut add = |by: f64, reluctance: f64| {
        if by.abs() <= reach {
            lines.push(Line { by, reluctance });
        }
    };
    // Where nothing is near, the place it is held at; else where the nearest contact drew it.
    add(0.0, 0.9 * reach);
    add(wished, 2.0 * extra);
    for (_, other) in laid.neighbours(piece, widest + 2.0 * reach) {
        if other.copy == piece.copy {
            continue;
        }
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
    let (wood, prepared) = index.board(board);
    let trims = wood
        .sides
        .iter()
        .map(|side| side.trim(&index.job().workshop))
        .chain(std::iter::repeat(0.0));
    for ((a, b), trim) in wood.outline.edges().zip(trims) {
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
    for near in prepared.zones_near(&piece.bounds.grown(widest + 2.0 * reach)) {
        let zone = &wood.zones[near.place];
        let (from, to) = axis.ends(near.shape.bounds());
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

/// The kerfs that may lie between two blanks of a board, each once.
fn kerfs(index: &JobIndex<'_>, board: usize, laid: &Laid) -> Vec<f64> {
    let mut kerfs = match laid.layout().way {
        Way::Sawn => vec![index.sawn_kerf(Some(board))],
        Way::Straight => Vec::new(),
    };
    for tool in &index.job().workshop.tools {
        if (tool.rips || tool.crosscuts) && !kerfs.contains(&tool.kerf) {
            kerfs.push(tool.kerf);
        }
    }
    if kerfs.is_empty() {
        kerfs.push(index.least_straight_kerf);
    }
    kerfs
}
