//! Poses by the middle of a blank, which is what a hand holds.

use heartside_geometry::{Point, Pose};
use heartside_timber::blank::Blank;
use heartside_timber::job::Part;

/// The pose that brings the middle of a part's blank to a point of the board.
pub(super) fn pose_at(part: &Part, middle: Point, turn: f64, turned_over: bool) -> Pose {
    let centre = Blank::of(part).bounds().centre();
    let off = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    }
    .apply(centre);
    Pose {
        x: middle.x - off.x,
        y: middle.y - off.y,
        turn,
        turned_over,
    }
}

pub(super) fn middle_of(part: &Part, pose: &Pose) -> Point {
    pose.apply(Blank::of(part).bounds().centre())
}

pub(super) fn same_pose(a: &Pose, b: &Pose) -> bool {
    (a.x - b.x).abs() < 1e-6
        && (a.y - b.y).abs() < 1e-6
        && (a.turn - b.turn).abs() < 1e-9
        && a.turned_over == b.turned_over
}

pub(super) fn finite(value: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-1e7, 1e7)
    } else {
        0.0
    }
}
