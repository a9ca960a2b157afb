//! Leaves of one blank: slipped or opened like a book, out of a board thick enough for all of them.

#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_nest::{Floor, Search, Settings, WayWanted, bound_of};
use heartside_timber::document::{BoardCopy, Cuts, Faces, MatchKind, PartCopy, ZoneFace, ZoneKind};
use heartside_timber::job::{Job, Match, Part, PartCut, Pin, Tool};
use heartside_timber::plan::{CutNode, Placed, Plan, UnplacedReason};
use sample::{assert_legal, band_saw, job, part, plank, rectangle, tool, track_saw, zone};

fn copy(part: &str, copy: u32) -> PartCopy {
    PartCopy {
        part: part.into(),
        copy,
    }
}

fn door(count: u32) -> Part {
    Part {
        cut: PartCut::Straight,
        thickness: 10.0,
        ..part("door", count, rectangle(0.0, 0.0, 500.0, 140.0))
    }
}

/// Doors of 10 mm: flat planed boards lose nothing outside, so two leaves take 10 + 0.8 + 2 + 0.8 + 10.
fn doors(kind: MatchKind, count: u32, thickness: f64) -> Job {
    let mut wood = plank("A", 900.0, 200.0);
    (wood.cuts, wood.thickness) = (Cuts::Straight, thickness);
    let mut job = job(vec![wood], vec![door(count)]);
    let resaw = Tool {
        resaws: true,
        max_depth: 200.0,
        ..band_saw()
    };
    job.workshop.tools = vec![track_saw(), resaw];
    job.matches = vec![Match {
        kind,
        parts: (1..=count).map(|c| copy("door", c)).collect(),
    }];
    job
}

fn planned(what: &str, job: &Job) -> Plan {
    let mut search = Search::new(job, Settings::default()).unwrap();
    for _ in 0..3 {
        search.step(150);
        assert_legal(what, job, search.best());
    }
    search.best().clone()
}

fn clean_up(job: &Job) -> f64 {
    job.parts[0].allowances.clean_up
}

#[test]
fn two_leaves_come_from_a_board_just_thick_enough() {
    for kind in [MatchKind::Book, MatchKind::Slip] {
        let needed =
            22.0 + 2.0 * clean_up(&doors(kind, 2, 30.0)) + 2.0 * clean_up(&doors(kind, 2, 30.0));
        // Flat and planed boards lose nothing outside, others a clean-up on each face.
        let outside = 2.0 * clean_up(&doors(kind, 2, 30.0));
        let job = doors(kind, 2, needed - outside);
        let plan = planned("just", &job);
        assert_eq!(plan.placed_count(), 2, "{kind:?}: {:?}", plan.unplaced);
        let nodes = &plan.layouts[0].cuts.as_ref().unwrap().nodes;
        assert!(
            nodes
                .iter()
                .any(|n| matches!(n, CutNode::Leaves { placements } if placements.len() == 2))
        );
        let of = |c| {
            plan.layouts[0]
                .placements
                .iter()
                .find(|p| p.copy == c)
                .unwrap()
        };
        assert_eq!((of(1).leaf, of(2).leaf), (Some(1), Some(2)));
        assert_eq!(
            of(1).at.turned_over != of(2).at.turned_over,
            kind == MatchKind::Book
        );
        let thin = doors(kind, 2, needed - outside - 0.01);
        assert_eq!(planned("thin", &thin).placed_count(), 0);
    }
}

#[test]
fn more_leaves_and_other_parts_share_boards() {
    let mut job = doors(MatchKind::Book, 4, 55.0);
    job.boards[0].outline = rectangle(0.0, 0.0, 1400.0, 200.0);
    job.parts.push(Part {
        thickness: 50.0,
        cut: PartCut::Straight,
        ..part("leg", 2, rectangle(0.0, 0.0, 600.0, 60.0))
    });
    let plan = planned("four leaves", &job);
    assert_eq!(plan.placed_count(), 6, "{:?}", plan.unplaced);
}

#[test]
fn no_tool_resaws_a_blank_that_is_too_wide() {
    let mut job = doors(MatchKind::Book, 2, 40.0);
    job.workshop.tools[1].max_depth = 120.0;
    let plan = planned("too wide", &job);
    assert_eq!(plan.placed_count(), 0);
    assert_eq!(plan.unplaced[0].reason, UnplacedReason::Tools);
    // A workshop that names no such tool resaws with the kerf of a rip.
    job.workshop.tools = vec![track_saw(), tool("Planer", 0.0)];
    assert_eq!(planned("by hand", &job).placed_count(), 2);
}

#[test]
fn leaves_may_be_sawn_by_line_and_from_boards_that_are() {
    for (cuts, way) in [(Cuts::Sawn, WayWanted::AsJob), (Cuts::Any, WayWanted::Sawn)] {
        let mut job = doors(MatchKind::Book, 2, 40.0);
        job.boards[0].cuts = cuts;
        job.workshop.tools[1].max_depth = 400.0;
        let mut search = Search::new(
            &job,
            Settings {
                way,
                ..Settings::default()
            },
        )
        .unwrap();
        search.step(300);
        assert_legal("by line", &job, search.best());
        assert_eq!(
            search.best().placed_count(),
            2,
            "{cuts:?}: {:?}",
            search.best().unplaced
        );
    }
    let mut job = doors(MatchKind::Slip, 2, 40.0);
    job.parts[0].cut = PartCut::Sawn;
    assert_eq!(planned("sawn doors", &job).placed_count(), 2);
}

#[test]
fn a_pinned_leaf_says_where_the_blank_lies() {
    let mut job = doors(MatchKind::Book, 2, 40.0);
    let at = Placed {
        x: 300.0,
        y: 30.0,
        ..Placed::default()
    };
    job.pins = vec![Pin {
        part: copy("door", 2),
        board: BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        at,
    }];
    let plan = planned("pinned", &job);
    assert_eq!(plan.placed_count(), 2, "{:?}", plan.unplaced);
    let second = plan.layouts[0]
        .placements
        .iter()
        .find(|p| p.copy == 2)
        .unwrap();
    assert_eq!(second.at, at);
}

#[test]
fn flaws_on_a_face_count_for_the_leaf_they_reach() {
    let mut job = doors(MatchKind::Slip, 2, 40.0);
    job.boards[0].outline = rectangle(0.0, 0.0, 560.0, 170.0);
    job.parts[0].faces = Faces::Both;
    let mut flaw = zone(ZoneKind::Defect, rectangle(200.0, 60.0, 230.0, 80.0));
    (flaw.face, flaw.depth, flaw.sound) = (ZoneFace::Down, 0.0, true);
    job.boards[0].zones = vec![flaw];
    assert_eq!(planned("shallow", &job).placed_count(), 2);
    job.boards[0].zones[0].depth = 6.0;
    assert_eq!(planned("deep", &job).placed_count(), 0);
}

/// Through a leaf that nobody sees no flaw may run all the same.
#[test]
fn no_flaw_runs_right_through_a_leaf() {
    let mut job = doors(MatchKind::Slip, 2, 40.0);
    job.boards[0].outline = rectangle(0.0, 0.0, 560.0, 170.0);
    job.parts[0].faces = Faces::Hidden;
    let mut flaw = zone(ZoneKind::Defect, rectangle(200.0, 60.0, 230.0, 80.0));
    (flaw.face, flaw.depth, flaw.sound) = (ZoneFace::Up, 9.0, true);
    job.boards[0].zones = vec![flaw];
    assert_eq!(planned("in it", &job).placed_count(), 2);
    job.boards[0].zones[0].depth = 14.0;
    assert_eq!(planned("through it", &job).placed_count(), 0);
}

#[test]
fn plans_with_leaves_are_gone_on_from() {
    let job = doors(MatchKind::Book, 2, 40.0);
    let plan = planned("leaves", &job);
    let mut other = Search::new(
        &job,
        Settings {
            seed: 5,
            ..Settings::default()
        },
    )
    .unwrap();
    assert!(other.adopt(&plan));
    assert_eq!(other.best().layouts, plan.layouts);
    let mut rest = job.clone();
    rest.earlier = plan.layouts.clone();
    let mut search = Search::new(&rest, Settings::default()).unwrap();
    search.step(100);
    assert_legal("the rest", &rest, search.best());
    assert_eq!(search.score().moved, Some(0.0));
}

/// Two doors lie in one footprint: of two boards that take one each, one will do, and no floor asks for both.
#[test]
fn no_floor_counts_each_leaf() {
    let mut job = doors(MatchKind::Book, 2, 30.0);
    job.boards[0].outline = rectangle(0.0, 0.0, 560.0, 160.0);
    job.boards[0].count = 2;
    let plan = planned("one of two", &job);
    assert_eq!((plan.placed_count(), plan.layouts.len()), (2, 1));
    let mut floor = Floor::of(&job, &plan).unwrap();
    for _ in 0..300 {
        floor.step(&job);
    }
    assert!(floor.bound().value <= plan.cost + 1e-9);
    assert!(bound_of(&job).value <= plan.cost + 1e-9);
}
