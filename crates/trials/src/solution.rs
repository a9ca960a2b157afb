//! A plan for a published instance, so that anybody can check it without our code.

use heartside_timber::plan::Plan;
use serde::Serialize;

use crate::instance::{Instance, Measure};

/// A solution in the common form: placements take the published outlines, turned by
/// `turn_deg` about the origin of their published coordinates, then moved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Solution {
    /// The instance.
    pub name: String,
    /// Length, for strips.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length: Option<f64>,
    /// One entry for each board used.
    pub boards: Vec<SolutionBoard>,
}

/// One board of a solution.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolutionBoard {
    /// The board's place in the instance's list.
    pub board: usize,
    /// What lies on it.
    pub placements: Vec<SolutionPlacement>,
}

/// One part of a solution.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolutionPlacement {
    /// The part's id.
    pub part: String,
    /// Movement along x.
    pub x: f64,
    /// Movement along y.
    pub y: f64,
    /// Degrees, counter-clockwise.
    pub turn_deg: f64,
    /// Mirrored (x to -x) before it is turned.
    pub mirrored: bool,
}

/// The solution that a plan is.
pub fn solution(instance: &Instance, plan: &Plan) -> Solution {
    let job = &instance.job;
    let boards = plan
        .layouts
        .iter()
        .filter(|l| !l.placements.is_empty())
        .filter_map(|layout| {
            let placements = layout.placements.iter().filter_map(|placement| {
                let part = job.part_index(&placement.part)?;
                let origin = instance.origins[part];
                // The part frame starts at the published bounding box's corner: take that back.
                let still = heartside_geometry::Pose {
                    x: 0.0,
                    y: 0.0,
                    ..placement.pose()
                };
                let shift = still.apply(origin);
                Some(SolutionPlacement {
                    part: placement.part.clone(),
                    x: placement.at.x - shift.x,
                    y: placement.at.y - shift.y,
                    turn_deg: placement.at.turn,
                    mirrored: false,
                })
            });
            Some(SolutionBoard {
                board: job.board_index(&layout.board.board)?,
                placements: placements.collect(),
            })
        })
        .collect();
    let strip = matches!(instance.measure, Measure::Density { .. })
        || job.goal == heartside_timber::job::Goal::StripLength;
    let length = strip.then(|| heartside_timber::score::strip_length(job, plan));
    Solution {
        name: instance.name.clone(),
        length,
        boards,
    }
}
