//! How parts are put together to a face: the staves of a panel, doors side by side, a run end to end.

use heartside_geometry::{Bounds, Point, Pose, Vector};
use heartside_timber::choices::{PanelChoice, stave_named};
use heartside_timber::composite::is_run;
use heartside_timber::document::{MatchKind, PartCopy};
use heartside_timber::job::{GrainRule, Job, Match, Panel, Part};
use heartside_timber::plan::Plan;
use heartside_timber::words::listed;

use super::wood::Lies;
use super::{Made, Piece, after};

/// How far the narrower of two may reach beyond the wider, in millimetres, to lie flush with it as it is cut.
const FLUSH: f64 = 0.5;

/// A copy of a panel: its first stave lowest, its pieces from the start on. What the joints take of a stave is
/// hidden at its upper edge, and at both sides of an end joint.
pub(super) fn of_panel(panel: &Panel, choice: &PanelChoice) -> Made {
    let taken = panel.ends.taken;
    let mut pieces = Vec::new();
    let mut low = 0.0;
    let last = choice.staves.len().saturating_sub(1);
    for (place, stave) in choice.staves.iter().enumerate() {
        let hidden = if place == last { 0.0 } else { panel.joint };
        let high = low + stave.width - hidden;
        let ends = stave.ends(taken);
        for (k, part) in stave.ids(&choice.panel).enumerate() {
            let from = k.checked_sub(1).map(|k| ends[k]);
            let to = ends.get(k).copied().unwrap_or(panel.length);
            let start = from.map_or(0.0, |from| from - taken / 2.0);
            pieces.push(Piece {
                part: PartCopy { part, copy: 1 },
                seen: Bounds {
                    min: Point::new(from.unwrap_or(0.0), low),
                    max: Point::new(to.min(panel.length), high),
                },
                to_part: Pose::new(-start, -low, 0.0),
            });
        }
        low = high;
    }
    Made {
        name: panel.part.copy_name(choice.panel.copy),
        stands: false,
        size: [panel.length, low.max(panel.width)],
        pieces,
    }
}

/// The parts of a match; none where they are not seen together, and where all are staves of one panel.
pub(super) fn of_match(job: &Job, plan: &Plan, wanted: &Match) -> Option<Made> {
    let along = match wanted.kind {
        MatchKind::SameBoard | MatchKind::Frame => return None,
        MatchKind::ContinuousAlong => true,
        MatchKind::ContinuousAcross | MatchKind::Slip | MatchKind::Book | MatchKind::Balanced => {
            false
        }
    };
    let units = units(job, wanted)?;
    if units.len() < 2 {
        return None;
    }
    let aside = if is_run(wanted) {
        as_laid(job, plan, &units, along)
    } else {
        None
    };
    let breadth = |unit: &Made| unit.size[usize::from(along)];
    let widest = units.iter().map(breadth).fold(0.0, f64::max);
    let aside = aside.unwrap_or_else(|| {
        let middles = units.iter().map(|unit| (widest - breadth(unit)) / 2.0);
        middles.collect()
    });
    let names: Vec<&str> = units.iter().map(|unit| unit.name.as_str()).collect();
    let mut all = Made {
        name: listed(&names),
        // Pairs are doors more often than not; fronts of drawers lie one above the other.
        stands: matches!(
            wanted.kind,
            MatchKind::Book | MatchKind::Slip | MatchKind::Balanced
        ),
        ..Made::default()
    };
    let mut reached = 0.0;
    for (unit, aside) in units.iter().zip(aside) {
        let corner = if along {
            Vector::new(reached, aside)
        } else {
            Vector::new(aside, reached)
        };
        reached += unit.size[usize::from(!along)];
        all.size[0] = all.size[0].max(corner.x + unit.size[0]);
        all.size[1] = all.size[1].max(corner.y + unit.size[1]);
        all.pieces
            .extend(unit.pieces.iter().map(|piece| moved(piece, corner)));
    }
    Some(all)
}

/// The parts and whole panels of a match, in its order.
pub(super) fn units(job: &Job, wanted: &Match) -> Option<Vec<Made>> {
    let groups = wanted
        .parts
        .chunk_by(|a, b| panel_of(a).is_some() && panel_of(a) == panel_of(b));
    let units = groups.map(|group| {
        if let Some((id, copy)) = panel_of(&group[0]) {
            let panel = job.panels.iter().find(|p| p.part.id == id)?;
            let choice = panel.copies.iter().find(|c| c.panel.copy == copy)?;
            return Some(of_panel(panel, choice));
        }
        let copy = &group[0];
        Some(of_part(job.part(&copy.part)?, copy))
    });
    units.collect()
}

/// The panel that a copy is a stave of, and which copy of it.
fn panel_of(copy: &PartCopy) -> Option<(&str, u32)> {
    stave_named(&copy.part).map(|stave| (stave.panel, stave.copy))
}

/// One part, its grain along x.
fn of_part(part: &Part, copy: &PartCopy) -> Made {
    let (long, wide) = (part.length(), part.width());
    let (size, to_part) = match part.grain {
        GrainRule::Axis { across: true, .. } => ([wide, long], Pose::new(long, 0.0, 90.0)),
        _ => ([long, wide], Pose::IDENTITY),
    };
    let seen = Bounds::of_size(size[0], size[1]);
    let part_of = part.copy_name(copy.copy);
    Made {
        name: part_of,
        stands: false,
        size,
        pieces: vec![Piece {
            part: copy.clone(),
            seen,
            to_part,
        }],
    }
}

/// How far aside each part of a run lies as they are laid on their board, the least 0; none where they do not lie
/// in one row of one board, each within the next or the other way round.
fn as_laid(job: &Job, plan: &Plan, units: &[Made], along: bool) -> Option<Vec<f64>> {
    let lie = units.iter().map(|unit| {
        let [piece] = unit.pieces.as_slice() else {
            return None;
        };
        let lies = Lies::of(job, plan, &piece.part)?;
        let over = lies.pose.turned_over;
        let (_, pose) = super::face_shown(&lies.pose, false);
        let root = job.root(&lies.board).clone();
        Some((root, over, after(&pose, &piece.to_part)))
    });
    let lie: Vec<_> = lie.collect::<Option<Vec<_>>>()?;
    let (root, over, first) = lie.first()?;
    let is_alike = lie.iter().all(|(other, turned, pose)| {
        (other, turned) == (root, over) && (pose.turn - first.turn).abs() < 1e-6
    });
    if !is_alike {
        return None;
    }
    let aside = lie.iter().map(|(_, _, pose)| {
        let at = first.inverse_apply(Point::new(pose.x, pose.y));
        if along { at.y } else { at.x }
    });
    let aside: Vec<f64> = aside.collect();
    let breadth = |k: usize| units[k].size[usize::from(along)];
    let is_flush = (1..aside.len()).all(|k| {
        let span = |k: usize| (aside[k], aside[k] + breadth(k));
        let (a, b) = (span(k - 1), span(k));
        let shared = a.1.min(b.1) - a.0.max(b.0);
        shared >= breadth(k - 1).min(breadth(k)) - FLUSH
    });
    let least = aside.iter().copied().fold(f64::INFINITY, f64::min);
    is_flush.then(|| aside.iter().map(|a| a - least).collect())
}

fn moved(piece: &Piece, by: Vector) -> Piece {
    Piece {
        part: piece.part.clone(),
        seen: Bounds {
            min: piece.seen.min + by,
            max: piece.seen.max + by,
        },
        to_part: piece.to_part.moved(piece.to_part.apply_vector(-by)),
    }
}
