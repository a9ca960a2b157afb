//! The kerf between neighbours of a run: that of a saw that can cut the run apart.

use heartside_geometry::Arrange;
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::composite::{Composite, Saw};
use heartside_timber::document::Cuts;
use heartside_timber::job::{Board, GrainRule, Guide, Job, Match, MatchKind, Tool};
use heartside_timber::plan::Direction;

use crate::cuts::saw::Saws;
use crate::fit;
use crate::settings::WayWanted;

/// The blank of a run where it is cut apart by straight cuts, and where it is sawn apart by line; none where its
/// copies cannot lie in a row.
///
/// By cuts one kerf serves all boards that could take it, if some saw cuts all of them; else the widest of those that
/// are needed, and where a narrower one is used a little is left over at the end.
pub(super) fn composite(job: &Job, way: WayWanted, run: &Match) -> Option<(Composite, Composite)> {
    let strip = widest_strip(job);
    let narrow = Saw {
        kerf: least_kerf(job),
        strip,
    };
    let first = Composite::run(job, run.kind, &run.parts, narrow).ok()?;
    let part = &first.part;
    let could_take = |b: &&Board| {
        let thick = greatest_finished_thickness(b, &part.allowances, 0.0, 0.0);
        b.is_usable() && fit::species_fits(b, part) && thick >= part.thickness - job.tolerance.slack
    };
    let boards: Vec<&Board> = job.boards.iter().filter(could_take).collect();
    let mut by_cuts: Vec<f64> = Vec::new();
    let is_cut_across = |b: &&&Board| way != WayWanted::Sawn && b.cuts != Cuts::Sawn;
    for board in boards.iter().filter(is_cut_across) {
        if !by_cuts.contains(&board.thickness) {
            by_cuts.push(board.thickness);
        }
    }
    let kerfs: Vec<Vec<f64>> = by_cuts
        .iter()
        .map(|thickness| kerfs_for(job, &first, *thickness))
        .filter(|kerfs| !kerfs.is_empty())
        .collect();
    let common = kerfs.first().and_then(|some| {
        let serves_all = |k: &&f64| kerfs.iter().all(|other| other.contains(k));
        some.iter().find(serves_all).copied()
    });
    let widest = kerfs
        .iter()
        .filter_map(|k| k.first().copied())
        .reduce(f64::max);
    let by_line = boards
        .iter()
        .filter(|b| b.cuts != Cuts::Straight && job.workshop.can_saw_by_line(b.thickness));
    let by_line = by_line
        .map(|b| job.workshop.sawn_kerf_for(b.thickness))
        .reduce(f64::max);
    // Where no board takes it the reason is told of a blank all the same.
    let kerf = common.or(widest).or(by_line).unwrap_or(narrow.kerf);
    let of = |kerf| Composite::run(job, run.kind, &run.parts, Saw { kerf, strip }).ok();
    Some((of(kerf)?, of(by_line.unwrap_or(kerf))?))
}

/// The kerfs of the saws that may cut a run apart in a board of this thickness, the narrowest first.
pub(super) fn kerfs_for(job: &Job, composite: &Composite, thickness: f64) -> Vec<f64> {
    let kind = composite.kind;
    let blank = fit::turned_blank(&composite.part, 0.0, false);
    let (length, breadth) = if kind == MatchKind::ContinuousAcross {
        (blank.height(), blank.width())
    } else {
        (blank.width(), blank.height())
    };
    let saws = Saws::of(job);
    let mut kerfs: Vec<f64> = Vec::new();
    for direction in directions(kind, &composite.part.grain) {
        for tool in saws
            .along(direction)
            .iter()
            .map(|t| &job.workshop.tools[*t])
        {
            let suits = thickness <= tool.max_depth && may_part(tool, length, breadth);
            if suits && !kerfs.contains(&tool.kerf) {
                kerfs.push(tool.kerf);
            }
        }
    }
    kerfs.arrange_by(f64::total_cmp);
    kerfs
}

/// Whether a saw takes the run as a workpiece, so far as its extents along and across the row say.
fn may_part(tool: &Tool, length: f64, breadth: f64) -> bool {
    let held = if tool.has_square_fence() {
        length
    } else if tool.guide == Guide::Along {
        breadth
    } else {
        length.max(breadth)
    };
    breadth <= tool.max_length
        && held >= tool.min_piece
        && (tool.has_rip_fence() || length <= tool.max_width)
}

/// Along which lines of the frame a run may be cut apart, by how its grain may lie.
fn directions(kind: MatchKind, grain: &GrainRule) -> Vec<Direction> {
    let row_along_grain = match grain {
        GrainRule::Axis { across, .. } => Some((kind == MatchKind::ContinuousAlong) != *across),
        GrainRule::Any | GrainRule::Turns(_) => None,
    };
    match row_along_grain {
        Some(true) => vec![Direction::Crosscut],
        Some(false) => vec![Direction::Rip],
        None => vec![Direction::Crosscut, Direction::Rip],
    }
}

fn least_kerf(job: &Job) -> f64 {
    let kerfs = job.workshop.tools.iter().filter(|t| t.rips || t.crosscuts);
    kerfs.map(|t| t.kerf).fold(job.workshop.sawn_kerf, f64::min)
}

/// A strip as wide as this is taken off by any saw.
pub(super) fn widest_strip(job: &Job) -> f64 {
    let kerfs = job.workshop.tools.iter().filter(|t| t.rips || t.crosscuts);
    kerfs.map(|t| t.kerf).fold(job.workshop.sawn_kerf, f64::max)
}
