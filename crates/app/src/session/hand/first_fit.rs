//! The first place on a board where a part would keep every rule.

use heartside_check::Live;
use heartside_geometry::{Point, Pose, math};
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Severity;
use heartside_timber::job::{Board, GrainRule, Part};

use super::poses::pose_at;
use crate::snapping::to_contact;

/// The first place, from the start end on, where a part breaks no rule.
///
/// O(places tried); at most some thousands of looks at the live index.
pub(super) fn first_fit(
    live: &Live,
    part: &Part,
    wood: &Board,
    of: &PartCopy,
    on: &BoardCopy,
) -> Option<Pose> {
    let turns: Vec<f64> = match &part.grain {
        GrainRule::Turns(turns) => turns.clone(),
        GrainRule::Any => vec![0.0, 90.0],
        GrainRule::Axis { across, .. } => {
            let base = wood.grain.base_angle() + if *across { 90.0 } else { 0.0 };
            vec![math::normalise_deg(base), math::normalise_deg(base + 180.0)]
        }
    };
    let bounds = wood.outline.bounds();
    for turn in turns {
        let blank = Blank::of(part).bounds();
        let (sin, cos) = math::sin_cos_deg(turn);
        let along = blank.width() * cos.abs() + blank.height() * sin.abs();
        let across = blank.width() * sin.abs() + blank.height() * cos.abs();
        // Half a blank's step and a snap as far as the step miss nothing that is much larger than the part.
        let (step_x, step_y) = (
            (along / 4.0).clamp(10.0, 200.0),
            (across / 4.0).clamp(8.0, 60.0),
        );
        let reach = step_x.max(step_y);
        let mut x = bounds.min.x + along / 2.0;
        while x <= bounds.max.x - along / 2.0 + 1e-9 {
            let mut y = bounds.min.y + across / 2.0;
            while y <= bounds.max.y - across / 2.0 + 1e-9 {
                let raw = pose_at(part, Point { x, y }, turn, false);
                let pose = to_contact(live, of, on, raw, reach);
                let sound = |pose: Pose| {
                    live.trial(of, on, pose)
                        .iter()
                        .all(|f| f.severity != Severity::Broken)
                };
                if sound(pose) {
                    return Some(pose);
                }
                y += step_y;
            }
            x += step_x;
        }
    }
    None
}
