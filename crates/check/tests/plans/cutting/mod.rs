//! Rule 9, and rule 4 along straight cuts.
//!
//! The straight job: a board of 1000 by 200 with raw ends and straight edges. Crosscut at 10
//! (kerf 2), rip at 54 (kerf 3), then crosscuts at 222 and 434: blanks x 12 to 222 and 224 to
//! 434, y 0 to 54.

mod askew;
mod broken_down;
mod cautions;
mod fixings;
mod leaves;
mod machines;
mod orders;

use heartside_check::check;
use heartside_geometry::{Pose, Region};
use heartside_timber::document::*;
use heartside_timber::finding::{Finding, Rule, Severity, is_sound};
use heartside_timber::job::{Cuts, Form, Job, Stops, Tool, Zone};
use heartside_timber::plan::*;

use crate::fixtures::*;

fn nodes(plan: &mut Plan) -> &mut Vec<CutNode> {
    &mut plan.layouts[0].cuts.as_mut().unwrap().nodes
}

fn region(placements: &[usize]) -> CutNode {
    CutNode::Region {
        placements: placements.to_vec(),
    }
}

fn causes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|f| f.cause.as_str()).collect()
}

#[test]
fn too_thick_for_every_tool_that_saws_by_line() {
    let (mut job, plan) = sawn_job();
    job.workshop.tools[2].max_depth = 27.0;
    let finding = assert_only(&job, &plan, Rule::Cuts, "too-thick-to-saw", Some(3.0), &[]);
    assert_eq!(
        finding.message,
        "Board A is 3 mm too thick for every tool that saws by line."
    );
    // Another that takes it, with its own kerf between the blanks.
    let jigsaw = Tool {
        saws: true,
        ..tool("jigsaw", 1.4)
    };
    job.workshop.tools.push(jigsaw);
    assert_good(&job, &plan);
    let mut near = plan.clone();
    let second = &mut near.layouts[0].placements[1].at;
    (second.x, second.y) = (100.0, 75.0);
    assert_only(
        &job,
        &near,
        Rule::Kerf,
        "too-near-part",
        Some(0.4),
        &[part_copy("rail", 1), part_copy("rail", 2)],
    );
    // Where the workshop names no such tool at all, one is taken to be there.
    let (mut job, plan) = sawn_job();
    job.workshop.tools.pop();
    assert_good(&job, &plan);
    // Straight cuts do not care.
    let (mut job, plan) = straight_job();
    job.workshop.tools[2].max_depth = 27.0;
    assert_good(&job, &plan);
}

#[test]
fn poses_turned_over_and_by_quarters_are_square_too() {
    let (job, mut plan) = straight_job();
    // The same blanks, turned over and turned by half.
    for (placement, x) in plan.layouts[0].placements.iter_mut().zip([17.0, 229.0]) {
        placement.at = Placed {
            x: x + 200.0,
            y: 2.0,
            turn: 180.0,
            turned_over: true,
        };
    }
    assert_good(&job, &plan);
    let pose: Pose = plan.layouts[0].placements[0].pose();
    assert_eq!(pose.apply(point(200.0, 50.0)), point(17.0, 52.0));
}
