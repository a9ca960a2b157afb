//! Rule 12: boards that are cut already, their pieces, and copies in hand.
//!
//! A board of 1000 by 200 is crosscut at 400 by a saw of 2: pieces A1 (0 to 399) and A2 (401 to 1000).
//! A rail's blank is 210 by 54.

use heartside_check::{Checker, check};
use heartside_geometry::Pose;
use heartside_geometry::math::sin_cos_deg;
use heartside_testkit::{by_hand, make_cut};
use heartside_timber::document::*;
use heartside_timber::finding::Rule;
use heartside_timber::job::{Board, Job, Match};
use heartside_timber::plan::*;
use proptest::prelude::*;

use crate::fixtures::*;

const A1: usize = 1;
const A2: usize = 2;

/// Rail 1 lies on A1, rail 2 on A2.
fn cut_job() -> (Job, Plan) {
    let mut job = job(vec![board("A")], vec![part("rail", 2)]);
    let line = [point(400.0, 200.0), point(400.0, 0.0)];
    make_cut(&mut job, "A", line, 2.0, EdgeKind::Straight);
    let layouts = [("A1", 1, 100.0), ("A2", 2, 500.0)];
    let layouts = layouts.map(|(board, copy, x)| sawn(board, vec![place("rail", copy, x, 20.0)]));
    (job, plan(layouts.to_vec()))
}

/// The blank of rail 1 is cut free: A1 is exactly its blank, and it is in hand.
fn in_hand_job() -> (Job, Plan) {
    let (mut job, mut plan) = cut_job();
    let blank = box_of(95.0, 18.0, 305.0, 72.0);
    hold(&mut job, blank);
    plan.layouts.remove(0);
    (job, plan)
}

/// A1 has this outline, and is the blank of rail 1.
fn hold(job: &mut Job, outline: heartside_geometry::Region) {
    let piece = &mut job.boards[A1];
    piece.sides = sides_of(&outline, EdgeKind::Straight, EdgeKind::Straight);
    piece.outline = outline;
    let from = piece.from.as_mut().unwrap();
    from.holds = Some(place("rail", 1, 100.0, 20.0));
    // What lay round it is of no matter here.
    from.measured = true;
    piece.usage = Use::Leave;
    job.parts[0].in_hand = vec![1];
}

fn rail() -> [PartCopy; 1] {
    [part_copy("rail", 1)]
}

#[track_caller]
fn says(job: &Job, plan: &Plan, cause: &str, by: Option<f64>, parts: &[PartCopy], message: &str) {
    let finding = assert_only(job, plan, Rule::Done, cause, by, parts);
    assert_eq!(finding.message, message);
}

#[test]
fn what_is_left_of_a_board_is_planned_on() {
    let (job, plan) = cut_job();
    assert_good(&job, &plan);
    let (job, plan) = in_hand_job();
    assert_good(&job, &plan);
}

#[test]
fn nothing_lies_on_a_board_that_is_cut_already() {
    let (job, mut plan) = cut_job();
    plan.layouts[0].board.board = "A".into();
    says(
        &job,
        &plan,
        "board-is-cut",
        None,
        &[],
        "Board A is cut already, so nothing can be laid on it: lay it on what is left of it.",
    );
    // Of several copies the others are still there.
    let mut two = job.clone();
    two.boards[0].count = 2;
    assert_eq!(check(&two, &plan).len(), 1);
    plan.layouts[0].board.copy = 2;
    assert_good(&two, &plan);
}

#[test]
fn what_is_in_hand_is_neither_cut_nor_planned_again() {
    let (mut job, mut plan) = in_hand_job();
    job.parts[0].count = 3;
    plan.layouts[0]
        .placements
        .push(place("rail", 1, 750.0, 20.0));
    let of_three = part_copy("rail", 3);
    let forgotten = |p: &Plan| {
        let mut p = p.clone();
        p.unplaced = vec![Unplaced {
            part: "rail".into(),
            copies: vec![3],
            reason: UnplacedReason::NoRoom,
            least_board: None,
            longest: None,
        }];
        p
    };
    says(
        &job,
        &forgotten(&plan),
        "in-hand-and-placed",
        None,
        &rail(),
        "rail 1 is in hand, yet this plan cuts it again.",
    );
    plan.layouts[0].placements[1].copy = 3;
    assert_good(&job, &plan);
    plan.unplaced = forgotten(&plan).unplaced;
    plan.unplaced[0].copies = vec![1];
    says(
        &job,
        &plan,
        "in-hand-and-listed",
        None,
        &rail(),
        "rail 1 is in hand, yet listed as without a place.",
    );
    plan.unplaced.clear();
    plan.layouts[0].placements.pop();
    plan.layouts
        .insert(0, sawn("A1", vec![place("rail", 3, 100.0, 20.0)]));
    says(
        &job,
        &plan,
        "blank-cut-again",
        None,
        &rail(),
        "Piece A1 is the blank of rail 1, which is in hand: nothing more is cut from it.",
    );
    // A hand over the board is told the same.
    let live = Checker::new(&job).live(&plan);
    let causes = |part: &PartCopy, board: &str| -> Vec<String> {
        let at = Pose::new(500.0, 120.0, 0.0);
        let found = live.trial(part, &board_copy(board), at);
        found.into_iter().map(|f| f.cause).collect()
    };
    assert_eq!(causes(&rail()[0], "A2"), ["in-hand-and-placed"]);
    assert!(causes(&of_three, "A1").contains(&"blank-cut-again".into()));
    assert_eq!(causes(&of_three, "A"), ["board-is-cut"]);
}

#[test]
fn a_blank_in_hand_still_holds_its_part() {
    for (d, found) in [(0.0, false), (0.0009, false), (0.01, true), (3.0, true)] {
        let (mut job, plan) = in_hand_job();
        hold(&mut job, box_of(100.0 + d, 18.0, 305.0, 72.0));
        if !found {
            assert_good(&job, &plan);
            continue;
        }
        let told = assert_only(&job, &plan, Rule::Done, "blank-too-small", Some(d), &rail());
        assert!(
            told.message
                .starts_with("rail 1 is in hand, but piece A1, its blank, is ")
        );
    }
    let (mut job, plan) = in_hand_job();
    job.boards[A1].thickness = 24.5;
    assert_only(
        &job,
        &plan,
        Rule::Done,
        "blank-too-thin",
        Some(0.5),
        &rail(),
    );
}

#[test]
fn a_flaw_that_came_to_light_matters_in_the_finished_part_alone() {
    let (mut job, plan) = in_hand_job();
    let knot = |y: f64| zone(ZoneKind::Defect, box_of(150.0, y - 10.0, 160.0, y));
    job.boards[A1].zones = vec![knot(20.0)];
    assert_good(&job, &plan);
    job.boards[A1].zones = vec![knot(21.0)];
    let parts = rail();
    let found = assert_only(&job, &plan, Rule::Done, "flaw-in-hand", Some(1.0), &parts);
    assert_eq!(
        found.message,
        "rail 1 is in hand, but the marked defect lies in it, on piece A1."
    );
    job.boards[A1].zones = vec![zone(ZoneKind::Fixing, box_of(150.0, 30.0, 160.0, 40.0))];
    assert_eq!(only(&job, &plan).cause, "fixing-in-blank");
}

/// `make(d)` has pieces that are wrong by d; none for d = 0, nor by less than is forgiven.
#[track_caller]
fn breaks(change: impl Fn(&mut Job, f64), causes: &[&str]) {
    for d in [0.0, 0.0003] {
        let (mut job, plan) = cut_job();
        change(&mut job, d);
        assert_good(&job, &plan);
    }
    for d in [0.01, 1.5] {
        let (mut job, plan) = cut_job();
        change(&mut job, d);
        let found = check(&job, &plan);
        assert!(found.iter().all(|f| f.rule == Rule::Done));
        let told: Vec<&str> = found.iter().map(|f| f.cause.as_str()).collect();
        assert_eq!(told, causes, "by {d}");
        let by = found.iter().find_map(amount);
        assert!(
            by.is_none_or(|by| (by - d).abs() < 1e-6),
            "{by:?} is not {d}"
        );
    }
}

#[test]
fn pieces_are_what_was_cut() {
    let reach = |x0: f64, x1: f64, y1: f64| box_of(x0, 0.0, x1, y1);
    breaks(
        |job, d| job.boards[A1].outline = reach(-d, 399.0, 200.0),
        &["more-than-there-was", "piece-beyond-board"],
    );
    breaks(
        |job, d| job.boards[A1].outline = reach(0.0, 399.0 + d, 200.0),
        &["more-than-there-was", "piece-in-kerf"],
    );
    breaks(
        |job, d| job.boards[A2].outline = reach(401.0 - d, 1000.0, 200.0),
        &["more-than-there-was", "piece-in-kerf"],
    );
    breaks(
        |job, d| job.boards[A2].outline = reach(401.0, 1000.0, 200.0 - d),
        &["wood-is-missing"],
    );
    // Another kerf than the saw had, and another line.
    breaks(|job, d| job.done[0].kerf = 2.0 - d, &["wood-is-missing"]);
    let (mut job, plan) = cut_job();
    job.done[0].line[1].x += 1.0;
    let told: Vec<String> = check(&job, &plan).into_iter().map(|f| f.cause).collect();
    assert_eq!(told, ["piece-in-kerf"]);
}

#[test]
fn a_piece_that_is_not_there_is_missed() {
    let (mut job, plan) = cut_job();
    let lost = job.boards[A1].clone();
    job.done[0].pieces.retain(|k| *k != A1);
    job.boards[A1].from = None;
    says(
        &job,
        &plan,
        "wood-is-missing",
        None,
        &[],
        "The pieces of board A and the kerf add up to less than it was: a piece is missing, or measure them again.",
    );
    // One that is there twice overlaps itself.
    let (mut job, plan) = cut_job();
    job.boards.push(heartside_timber::job::Board {
        id: "A3".into(),
        ..lost
    });
    job.done[0].pieces.push(3);
    let told: Vec<String> = check(&job, &plan).into_iter().map(|f| f.cause).collect();
    assert_eq!(told, ["more-than-there-was", "pieces-too-near"]);
}

#[test]
fn a_sliver_is_no_piece() {
    let mut job = job(vec![board("A")], vec![part("rail", 1)]);
    // 0.04 of wood would be left above a rip that trues the upper edge.
    let line = [point(0.0, 198.46), point(1000.0, 198.46)];
    make_cut(&mut job, "A", line, 3.0, EdgeKind::Straight);
    assert_eq!(job.boards.len(), 3);
    let on = |job: &Job| {
        let rail = sawn(&job.boards[1].id, vec![place("rail", 1, 100.0, 20.0)]);
        plan(vec![rail])
    };
    assert_good(&job, &on(&job));
    job.boards.pop();
    job.done[0].pieces.pop();
    assert_good(&job, &on(&job));
}

#[test]
fn what_was_measured_wins_but_no_wood_grows() {
    let shorter = |job: &mut Job, measured| {
        job.boards[A2].outline = box_of(401.0, 0.0, 985.0, 199.0);
        job.boards[A2].from.as_mut().unwrap().measured = measured;
    };
    let (mut job, plan) = cut_job();
    shorter(&mut job, false);
    assert_eq!(only(&job, &plan).cause, "wood-is-missing");
    shorter(&mut job, true);
    assert_good(&job, &plan);
    // A tape may find a little of what the kerf was thought to take, but no more than there was.
    job.boards[A2].outline = box_of(400.0, 0.0, 1000.0, 200.0);
    assert_good(&job, &plan);
    job.boards[A2].outline = box_of(401.0, 0.0, 1003.0, 200.0);
    says(
        &job,
        &plan,
        "more-than-there-was",
        None,
        &[],
        "The pieces of board A hold more wood than it did: measure them again.",
    );
}

/// Rail 1 is sawn out of the board by line with a kerf of 1: its blank and the board with a hole.
#[test]
fn a_line_sawn_round_a_part() {
    let sawn_out = |hole: heartside_geometry::Region, kerf: f64| {
        let mut job = job(vec![board("A")], vec![part("rail", 2)]);
        let line = [point(400.0, 200.0), point(400.0, 0.0)];
        make_cut(&mut job, "A", line, 2.0, EdgeKind::Straight);
        let round = box_of(94.5, 17.5, 305.5, 72.5);
        let mut line = round.outer().points().to_vec();
        line.push(line[0]);
        (job.done[0].line, job.done[0].kerf) = (line, kerf);
        hold(&mut job, box_of(95.0, 18.0, 305.0, 72.0));
        job.boards[A1].from.as_mut().unwrap().measured = false;
        let outer = job.boards[0].outline.outer().clone();
        let rest = heartside_geometry::Region::new(outer, vec![hole.outer().clone()]).unwrap();
        job.boards[A2].sides = sides_of(&rest, EdgeKind::Straight, EdgeKind::Raw);
        let of_hole = std::iter::repeat_n(job.boards[A2].sides[0], 4);
        job.boards[A2].sides.extend(of_hole);
        job.boards[A2].outline = rest;
        let plan = plan(vec![sawn("A2", vec![place("rail", 2, 500.0, 120.0)])]);
        let told = check(&job, &plan).into_iter().map(|f| f.cause);
        told.collect::<Vec<String>>()
    };
    let clear = box_of(94.0, 17.0, 306.0, 73.0);
    assert_eq!(sawn_out(clear.clone(), 1.0), Vec::<String>::new());
    // The hole is too narrow for the kerf by 0.2; wider than any kerf; the rest goes beyond the board.
    assert_eq!(
        sawn_out(box_of(94.2, 17.0, 306.0, 73.0), 1.0),
        ["pieces-too-near"]
    );
    assert_eq!(
        sawn_out(box_of(90.0, 13.0, 310.0, 77.0), 1.0),
        ["wood-is-missing"]
    );
    assert_eq!(
        sawn_out(box_of(120.0, 30.0, 280.0, 60.0), 1.0)
            .last()
            .unwrap(),
        "pieces-too-near"
    );
}

#[test]
fn pieces_of_one_board_are_one_board_to_parts_that_belong_together() {
    let (mut job, plan) = cut_job();
    job.boards.push(board("B"));
    job.matches = vec![Match {
        kind: MatchKind::SameBoard,
        parts: vec![part_copy("rail", 1), part_copy("rail", 2)],
    }];
    assert_good(&job, &plan);
    // The first is in hand: the other must still come from what is left of its board.
    let (held, mut rest) = in_hand_job();
    let job = Job {
        matches: job.matches.clone(),
        boards: [held.boards, vec![board("B")]].concat(),
        ..held
    };
    assert_good(&job, &rest);
    rest.layouts[0].board = board_copy("B");
    assert_eq!(only(&job, &rest).cause, "not-same-board");
}

#[test]
fn grain_runs_on_across_a_cut_that_was_made() {
    let (mut job, mut plan) = cut_job();
    job.matches = vec![Match {
        kind: MatchKind::ContinuousAlong,
        parts: vec![part_copy("rail", 1), part_copy("rail", 2)],
    }];
    // Both blanks reach the cut: 5 of allowance each, and 2 of kerf.
    plan.layouts[0].placements[0].at.x = 399.0 - 205.0;
    plan.layouts[1].placements[0].at.x = 406.0;
    assert_good(&job, &plan);
    plan.layouts[1].placements[0].at.x = 409.0;
    let found = only(&job, &plan);
    assert_eq!(
        (found.cause.as_str(), amount(&found)),
        ("match-too-far", Some(2.0))
    );
}

/// A waney board: how far its lower and upper edge lie from 0 and 200 at each of six stations.
fn waney(edges: &[(f64, f64)]) -> heartside_geometry::Region {
    let xs = |k: usize| 1000.0 * k as f64 / (edges.len() - 1) as f64;
    let low = edges.iter().enumerate().map(|(k, e)| (xs(k), e.0));
    let high = edges.iter().enumerate().map(|(k, e)| (xs(k), 200.0 + e.1));
    polygon(&low.chain(high.rev()).collect::<Vec<_>>())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn whatever_straight_cuts_leave_adds_up(
        edges in prop::collection::vec((-15.0..15.0f64, -15.0..15.0f64), 6),
        cuts in prop::collection::vec(
            (0usize..9, 0.02..0.98f64, 0.02..0.98f64, 0.0..180.0f64, 0.0..6.0f64),
            1..5,
        ),
        lost in 0usize..9,
    ) {
        let outline = waney(&edges);
        let mut job = job(vec![by_hand::board("A", outline, |_, _| EdgeKind::Raw)], vec![]);
        for (which, along, across, turn, kerf) in cuts {
            let left: Vec<&Board> = job.boards.iter().filter(|b| b.left() > 0).collect();
            let Some(board) = left.get(which % left.len().max(1)) else {
                break;
            };
            let bounds = board.outline.bounds();
            let through = point(
                bounds.min.x + along * bounds.width(),
                bounds.min.y + across * bounds.height(),
            );
            let (sine, cosine) = sin_cos_deg(turn);
            let other = point(through.x + 300.0 * cosine, through.y + 300.0 * sine);
            let id = board.id.clone();
            make_cut(&mut job, &id, [through, other], kerf, EdgeKind::Straight);
        }
        prop_assert_eq!(told(&check(&job, &plan(vec![]))), vec![]);
        // Whatever is no sliver is missed.
        let cut = lost % job.done.len();
        let whole = job.board(&job.done[cut].board.board).unwrap().outline.area();
        let is_piece = |place: &usize| {
            let outline = &job.boards[*place].outline;
            let bounds = outline.bounds();
            outline.area() > 1e-5 * whole + 0.3 * bounds.width().max(bounds.height())
        };
        let Some(gone) = job.done[cut].pieces.iter().copied().find(is_piece) else {
            return Ok(());
        };
        job.done[cut].pieces.retain(|place| *place != gone);
        let found = check(&job, &plan(vec![]));
        prop_assert!(found.iter().any(|f| f.cause == "wood-is-missing"));
    }
}
