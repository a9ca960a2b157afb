//! Boards, parts and jobs that are sawn by line, and how a plan is judged: for more than one test program.

#![allow(dead_code, unused_imports, reason = "no test program needs all of it")]
// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

#[path = "../../src/samples.rs"]
mod samples;

use heartside_check::check;
use heartside_geometry::Region;
use heartside_timber::document::{Cuts, EdgeKind, PartCut, ZoneKind};
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::{Board, Form, Job, Part, Tool, Workshop, Zone};
use heartside_timber::plan::Plan;

pub(crate) use samples::{polygon, rectangle};

/// A board of 30 mm that is sawn by line, all its sides raw.
pub(crate) fn board(id: &str, outline: Region) -> Board {
    Board {
        cost: outline.area() * 1e-5,
        cuts: Cuts::Sawn,
        ..samples::board(id, outline, EdgeKind::Raw)
    }
}

/// A board of 27 mm with raw ends and straight edges, the start end at (0, 0).
pub(crate) fn plank(id: &str, length: f64, width: f64) -> Board {
    let outline = rectangle(0.0, 0.0, length, width);
    let mut plank = Board {
        thickness: 27.0,
        cost: 20.0,
        ..samples::board(id, outline, EdgeKind::Straight)
    };
    for end in plank.sides.iter_mut().filter(|side| side.is_end) {
        end.kind = EdgeKind::Raw;
    }
    plank
}

/// A part of 25 mm that is sawn by line, its grain within 5 degrees.
pub(crate) fn part(id: &str, count: u32, outline: Region) -> Part {
    Part {
        form: Form::Free,
        cut: PartCut::Sawn,
        value: outline.area(),
        outline,
        ..samples::part(id, count, 1.0, 1.0)
    }
}

/// A saw for nothing yet, without limits.
pub(crate) fn tool(name: &str, kerf: f64) -> Tool {
    Tool {
        name: name.into(),
        rips: false,
        crosscuts: false,
        can_skim: false,
        ..samples::free_saw(kerf)
    }
}

pub(crate) fn track_saw() -> Tool {
    Tool {
        rips: true,
        crosscuts: true,
        ..tool("Track saw", 2.4)
    }
}

pub(crate) fn band_saw() -> Tool {
    Tool {
        saws: true,
        ..tool("Band saw", 2.0)
    }
}

/// A job for a track saw and a band saw.
pub(crate) fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    let job = samples::job(boards, parts);
    Job {
        workshop: Workshop {
            tools: vec![track_saw(), band_saw()],
            sawn_kerf: 2.0,
            trim_end: 15.0,
            trim_edge: 4.0,
            min_offcut: (250.0, 60.0),
            ..job.workshop
        },
        ..job
    }
}

/// Gives a job's lines this kerf: that of its band saw, and of the saw that stands in.
pub(crate) fn set_kerf_of_lines(job: &mut Job, kerf: f64) {
    job.workshop.sawn_kerf = kerf;
    for tool in job.workshop.tools.iter_mut().filter(|t| t.saws) {
        tool.kerf = kerf;
    }
}

pub(crate) fn zone(kind: ZoneKind, shape: Region) -> Zone {
    samples::zone(0, kind, shape)
}

/// What the independent checker finds broken.
pub(crate) fn broken(job: &Job, plan: &Plan) -> Vec<Finding> {
    check(job, plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect()
}

#[track_caller]
pub(crate) fn assert_legal(what: &str, job: &Job, plan: &Plan) {
    let found = broken(job, plan);
    assert!(
        found.is_empty(),
        "{what}: {:#?}",
        found.iter().take(3).collect::<Vec<_>>()
    );
}
