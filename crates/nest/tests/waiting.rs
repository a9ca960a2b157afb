//! A piece waits only where it must: what lies well on a board that is not used is laid there, or it is
//! said that no order of cuts frees it; and what is said of it is true.
//!
//! The cases are jobs at random in which a piece once waited while a board lay empty. Whether a place is
//! good is asked of the checker, at places of a grid and at turns within the grain's tolerance.

use crate::sample;

use heartside_check::{Checker, Live};
use heartside_geometry::Pose;
use heartside_geometry::math::sin_cos_deg;
use heartside_nest::{Search, Settings};
use heartside_timber::document::{BoardCopy, Cuts, Document, PartCopy, PartCut, Use};
use heartside_timber::finding::Severity;
use heartside_timber::job::{Board, GrainRule, Job, Part, Tool};
use heartside_timber::plan::{Plan, UnplacedReason};
use heartside_timber::prepare::prepare;
use sample::assert_legal;

/// A job of `tests/cases`.
#[allow(clippy::unwrap_used)]
fn case(name: &str) -> Job {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases");
    let text = std::fs::read_to_string(format!("{folder}/{name}.heartside.json")).unwrap();
    prepare(&Document::open(&text).unwrap().document).job
}

#[allow(clippy::unwrap_used)]
fn searched(job: &Job, steps: u64) -> Search {
    let mut search = Search::new(job, Settings::default()).unwrap();
    search.step(steps);
    assert_legal("a plan with pieces waiting", job, search.best());
    search
}

/// Turns at which a part may lie on a straight-grained board, or nearly.
fn turns(part: &Part, grain: f64) -> Vec<f64> {
    match &part.grain {
        GrainRule::Turns(turns) => turns.clone(),
        GrainRule::Any => (0..12).map(|k| 15.0 * f64::from(k)).collect(),
        GrainRule::Axis { across, tolerance } => {
            let along = grain + if *across { 90.0 } else { 0.0 };
            let offs = [-0.95, -0.5, 0.0, 0.5, 0.95];
            let off = |k: &f64| [along + k * tolerance, along + k * tolerance + 180.0];
            offs.iter().flat_map(off).collect()
        }
    }
}

/// A place on a board that the checker finds nothing broken about.
fn place_on(
    job: &Job,
    live: &Live,
    part: &Part,
    copy: &PartCopy,
    board: &BoardCopy,
) -> Option<Pose> {
    const ACROSS: u32 = 7;
    let on = job.boards.iter().find(|b| b.id == board.board)?;
    let box_of_board = on.outline.bounds();
    let middle = part.outline.bounds().centre();
    for turn in turns(part, on.grain.base_angle()) {
        let (sine, cosine) = sin_cos_deg(turn);
        for i in 0..=3 * ACROSS {
            for j in 0..=ACROSS {
                let share = |k: u32, n: u32| f64::from(k) / f64::from(n);
                let x = box_of_board.min.x + box_of_board.width() * share(i, 3 * ACROSS);
                let y = box_of_board.min.y + box_of_board.height() * share(j, ACROSS);
                let pose = Pose {
                    x: x - (cosine * middle.x - sine * middle.y),
                    y: y - (sine * middle.x + cosine * middle.y),
                    turn,
                    turned_over: false,
                };
                let found = live.trial(copy, board, pose);
                if found.iter().all(|f| f.severity != Severity::Broken) {
                    return Some(pose);
                }
            }
        }
    }
    None
}

/// True where the workshop has a tool for each kind of cut that takes the board's thickness.
fn some_tool_takes(job: &Job, board: &Board, part: &Part) -> bool {
    let any = |does: fn(&Tool) -> bool| {
        let mut tools = job.workshop.tools.iter();
        tools.any(|t| does(t) && board.thickness <= t.max_depth)
    };
    let follows_line = part.cut == PartCut::Sawn || board.cuts == Cuts::Sawn;
    let by_line = !follows_line || any(|t| t.saws);
    by_line && (follows_line || any(|t| t.rips) && any(|t| t.crosscuts))
}

/// The pieces that wait although they lie well on a board that is not used, and what is said of them.
fn wait_beside_empty_boards(job: &Job, plan: &Plan) -> Vec<(String, UnplacedReason, String, Pose)> {
    let live = Checker::new(job).live(plan);
    let mut list = Vec::new();
    for unplaced in &plan.unplaced {
        let Some(part) = job.parts.iter().find(|p| p.id == unplaced.part) else {
            continue;
        };
        let copy = PartCopy {
            part: part.id.clone(),
            copy: unplaced.copies[0],
        };
        for board in job.boards.iter().filter(|b| b.usage != Use::Leave) {
            let is_used = |copy: &u32| {
                plan.layouts
                    .iter()
                    .any(|l| l.board.board == board.id && l.board.copy == *copy)
            };
            let Some(unused) = (1..=board.count).find(|copy| !is_used(copy)) else {
                continue;
            };
            if !some_tool_takes(job, board, part) {
                continue;
            }
            let on = BoardCopy {
                board: board.id.clone(),
                copy: unused,
            };
            if let Some(pose) = place_on(job, &live, part, &copy, &on) {
                list.push((part.id.clone(), unplaced.reason, board.id.clone(), pose));
            }
        }
    }
    list
}

/// What waits beside an empty board where it lies well waits for want of cuts, and that is said.
#[track_caller]
fn assert_waits_for_cuts_alone(name: &str) {
    let job = case(name);
    let search = searched(&job, 2_000);
    for (part, reason, board, pose) in wait_beside_empty_boards(&job, search.best()) {
        let for_cuts = [UnplacedReason::Order, UnplacedReason::Tools];
        assert!(
            for_cuts.contains(&reason),
            "{name}: {part} waits ({reason:?}) and lies well on {board} at {pose:?}"
        );
    }
}

#[test]
fn no_piece_waits_beside_an_empty_board_that_takes_it() {
    for name in [
        "j011-huge",
        "j032-zones",
        "j039-huge",
        "j041-mixed",
        "j053-huge",
    ] {
        assert_waits_for_cuts_alone(&format!("unused-board-{name}"));
    }
}

#[test]
fn no_piece_waits_beside_an_empty_bent_or_warped_board_that_takes_it() {
    for name in [
        "j076-bent",
        "j103-fixings",
        "j104-bent",
        "j129-warped",
        "j153-mixed",
    ] {
        assert_waits_for_cuts_alone(&format!("unused-board-{name}"));
    }
}

#[test]
fn straight_parts_leave_their_board_to_a_disc_and_go_to_one_sawn_by_line() {
    let search = searched(&case("disc-and-straight"), 20_000);
    assert_eq!(search.best().placed_count(), 4);
}

#[test]
fn a_board_that_is_sawn_by_line_is_enough_for_straight_parts() {
    let search = searched(&case("straight-parts-not-on-sawn-board"), 2_000);
    assert_eq!(search.best().placed_count(), 4);
    assert_eq!(search.best().cost, 10.0);
}

#[test]
fn what_no_saw_takes_is_not_sawn_by_line() {
    let search = searched(&case("too-thick-for-the-bandsaw"), 500);
    assert_eq!(search.best().placed_count(), 0);
    assert_eq!(search.best().unplaced[0].reason, UnplacedReason::Tools);
}

#[test]
fn before_the_first_step_nothing_is_said_that_was_not_tried() {
    for name in ["unused-board-j032-zones", "disc-and-straight"] {
        let search = searched(&case(name), 0);
        let reasons: Vec<UnplacedReason> =
            search.best().unplaced.iter().map(|u| u.reason).collect();
        assert!(reasons.contains(&UnplacedReason::NotTried), "{reasons:?}");
        assert!(!reasons.contains(&UnplacedReason::NoRoom), "{reasons:?}");
    }
}
