use super::*;

#[test]
fn the_tool_exists_does_that_and_has_that_kerf() {
    let (mut job, plan) = straight_job();
    job.workshop.tools[0].name = "other".into();
    let finding = assert_only(&job, &plan, Rule::Cuts, "no-such-tool", None, &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A wants “ripsaw”, which is not in the workshop."
    );
    let (mut job, plan) = straight_job();
    (job.workshop.tools[0].rips, job.workshop.tools[0].crosscuts) = (false, true);
    assert_only(&job, &plan, Rule::Cuts, "wrong-tool", None, &[]);
    let (mut job, plan) = straight_job();
    job.workshop.tools[0].kerf = 2.6;
    assert_only(&job, &plan, Rule::Cuts, "wrong-kerf", Some(0.4), &[]);
}

#[test]
fn without_a_name_a_tool_without_limits_is_meant() {
    let (mut job, mut plan) = straight_job();
    for node in nodes(&mut plan) {
        if let CutNode::Cut { tool, .. } = node {
            tool.clear();
        }
    }
    assert_good(&job, &plan);
    job.workshop.tools[0].min_piece = 10.0;
    assert_only(&job, &plan, Rule::Cuts, "no-such-tool", None, &[]);
}

#[test]
fn a_cut_beside_its_piece() {
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[8] = crosscut(1000.5, 9, 10);
    nodes(&mut plan).extend([CutNode::Offcut, CutNode::Waste]);
    assert_only(&job, &plan, Rule::Cuts, "cut-misses", Some(0.5), &[]);
    // In the dust of an earlier cut there is no wood at all.
    nodes(&mut plan)[8] = CutNode::Offcut;
    nodes(&mut plan)[1] = crosscut(-5.0, 9, 10);
    assert_only(&job, &plan, Rule::Cuts, "cut-misses", Some(3.0), &[]);
}

#[test]
fn a_cut_that_leaves_nothing() {
    let (job, mut plan) = straight_job();
    // 1.5 are left above y = 198.5.
    nodes(&mut plan)[4] = rip(195.5, 9, 10);
    nodes(&mut plan).extend([
        CutNode::Offcut,
        rip(198.0, 11, 12),
        CutNode::Waste,
        CutNode::Waste,
    ]);
    assert_only(&job, &plan, Rule::Cuts, "cut-leaves-nothing", None, &[]);
}

#[test]
fn less_than_a_kerf_only_where_the_tool_can_skim() {
    let (mut job, mut plan) = straight_job();
    nodes(&mut plan)[4] = rip(198.2, 9, 10);
    nodes(&mut plan).extend([CutNode::Offcut, CutNode::Waste]);
    assert_only(&job, &plan, Rule::Cuts, "cannot-skim", Some(1.2), &[]);
    job.workshop.tools[0].can_skim = true;
    assert_good(&job, &plan);
    // A whole kerf off the edge, or a strip narrower than the kerf beside it, is no skimming.
    job.workshop.tools[0].can_skim = false;
    nodes(&mut plan)[4] = rip(197.0, 9, 10);
    assert_good(&job, &plan);
    nodes(&mut plan)[4] = rip(196.5, 9, 10);
    assert_good(&job, &plan);
}

#[test]
fn skimming_is_measured_where_most_is_taken() {
    // A tapered board: the right end reaches y = 200, the left one 198.5.
    let (mut job, mut plan) = straight_job();
    job.boards[0].outline = polygon(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 200.0), (0.0, 198.5)]);
    nodes(&mut plan)[4] = rip(197.0, 9, 10);
    nodes(&mut plan).extend([CutNode::Offcut, CutNode::Waste]);
    assert_good(&job, &plan);
    nodes(&mut plan)[4] = rip(197.5, 9, 10);
    assert_only(&job, &plan, Rule::Cuts, "cannot-skim", Some(0.5), &[]);
}

/// Gives a tool a rip fence.
fn rip_fence(tool: &mut Tool) {
    (tool.guide, tool.work_moves) = (Guide::Along, true);
}

fn with_rip(change: impl Fn(&mut Tool)) -> (Job, Plan) {
    let (mut job, plan) = straight_job();
    change(&mut job.workshop.tools[0]);
    (job, plan)
}

#[test]
fn the_workpiece_fits_the_tool() {
    // At the rip it is 988 long and 200 wide.
    let (job, plan) = with_rip(|t| t.max_length = 987.0);
    let finding = assert_only(&job, &plan, Rule::Cuts, "piece-too-long", Some(1.0), &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A: the piece is 1 mm too long for “ripsaw”."
    );
    let (job, plan) = with_rip(|t| t.max_width = 199.5);
    assert_only(&job, &plan, Rule::Cuts, "piece-too-wide", Some(0.5), &[]);
    let (job, plan) = with_rip(|t| t.max_depth = 28.0);
    assert_only(&job, &plan, Rule::Cuts, "piece-too-thick", Some(2.0), &[]);
    let (job, plan) = with_rip(|t| t.min_piece = 990.0);
    assert_only(&job, &plan, Rule::Cuts, "piece-too-small", Some(2.0), &[]);
    let (job, plan) = with_rip(|t| {
        (t.max_length, t.max_width, t.max_depth, t.min_piece) = (988.0, 200.0, 30.0, 988.0);
    });
    assert_good(&job, &plan);
}

#[test]
fn a_fence_needs_a_straight_side_or_an_edge_sawn_before() {
    let (mut job, plan) = with_rip(rip_fence);
    assert_good(&job, &plan);
    // A hollow edge of a piece needs no trim, but no fence may rely on it.
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Sawn, EdgeKind::Raw);
    assert_only(&job, &plan, Rule::Cuts, "no-true-edge", None, &[]);
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
    job.workshop.trim_edge = 0.0;
    let finding = assert_only(&job, &plan, Rule::Cuts, "no-true-edge", None, &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A: “ripsaw” needs a straight, true edge against its fence, and this piece has none along the cut."
    );
    // Trued by a hand saw first.
    job.workshop.tools.push(Tool {
        rips: true,
        ..tool("hand saw", 3.0)
    });
    let mut plan = plan;
    for placement in &mut plan.layouts[0].placements {
        placement.at.y += 9.0;
    }
    let n = nodes(&mut plan);
    n[0] = CutNode::Cut {
        angle: None,
        direction: Direction::Rip,
        tool: "hand saw".into(),
        at: 6.0,
        kerf: 3.0,
        low: 9,
        high: 10,
    };
    n.extend([CutNode::Waste, crosscut(10.0, 1, 2)]);
    n[2] = rip(63.0, 3, 4);
    assert_good(&job, &plan);
}

#[test]
fn a_slanted_side_is_true_only_along_the_cut() {
    let (mut job, plan) = with_rip(rip_fence);
    // Both edges straight, but neither along x: rising by 0.5 and 2 over the length.
    job.boards[0].outline = polygon(&[(0.0, -0.5), (1000.0, 0.0), (1000.0, 202.0), (0.0, 200.0)]);
    let found = check(&job, &plan);
    assert!(
        causes(&found).contains(&"no-true-edge"),
        "{:?}",
        causes(&found)
    );
}

#[test]
fn the_fence_may_stand_on_either_side() {
    // Below the blade lie 54, above it 143.
    let (job, plan) = with_rip(|t| {
        rip_fence(t);
        t.max_width = 60.0;
    });
    assert_good(&job, &plan);
    let (job, plan) = with_rip(|t| {
        rip_fence(t);
        t.max_width = 50.0;
    });
    let finding = assert_only(&job, &plan, Rule::Cuts, "fence-too-far", Some(4.0), &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A is 4 mm too far from the fence for “ripsaw”."
    );
    let (mut job, plan) = with_rip(|t| {
        rip_fence(t);
        t.max_width = 50.0;
    });
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
    job.boards[0].sides[2].kind = EdgeKind::Straight;
    job.workshop.trim_edge = 0.0;
    assert_only(&job, &plan, Rule::Cuts, "fence-too-far", Some(93.0), &[]);
}

#[test]
fn the_piece_at_the_fence_is_long_enough() {
    // Every rip fence of these stands at the low edge.
    let (mut job, mut plan) = straight_job();
    rip_fence(&mut job.workshop.tools[0]);
    job.workshop.tools[0].min_piece = 300.0;
    assert_good(&job, &plan);
    // A second rip in the piece of 210: it is held by that length, not by its width.
    job.parts[0].outline = box_of(0.0, 0.0, 200.0, 40.0);
    let n = nodes(&mut plan);
    n[5] = rip(44.0, 9, 10);
    n[7] = rip(44.0, 11, 12);
    n.extend([
        CutNode::Blank { placement: 0 },
        CutNode::Waste,
        CutNode::Blank { placement: 1 },
        CutNode::Waste,
    ]);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["piece-too-small"; 2]);
    assert!(found.iter().all(|f| amount(f) == Some(90.0)));
}

#[test]
fn so_is_what_lies_between_fence_and_blade() {
    // The low edge ends at x = 700; what is above goes on.
    let (mut job, plan) = with_rip(|t| {
        rip_fence(t);
        t.min_piece = 300.0;
    });
    job.boards[0].outline = polygon(&[
        (0.0, 0.0),
        (700.0, 0.0),
        (700.0, 54.0),
        (1000.0, 54.0),
        (1000.0, 200.0),
        (0.0, 200.0),
    ]);
    job.workshop.trim_edge = 0.0;
    let raw = EdgeKind::Raw;
    job.boards[0].sides = sides_of(&job.boards[0].outline, raw, raw);
    job.boards[0].sides[0].kind = EdgeKind::Straight;
    let found = check(&job, &plan);
    // 688 of true edge for a piece of 988.
    assert_eq!(causes(&found), ["true-edge-too-short"]);
    let (mut job, plan) = (job, plan);
    job.boards[0].sides[4].kind = EdgeKind::Straight;
    assert_good(&job, &plan);
    // Against the high edge the whole length is held, against the low one 688.
    job.workshop.tools[0].max_width = 100.0;
    job.boards[0].outline = polygon(&[
        (0.0, 0.0),
        (950.0, 0.0),
        (950.0, 54.0),
        (1000.0, 54.0),
        (1000.0, 200.0),
        (0.0, 200.0),
    ]);
    assert_good(&job, &plan);
    job.workshop.tools[0].min_piece = 940.0;
    let finding = assert_only(
        &job,
        &plan,
        Rule::Cuts,
        "fence-piece-too-small",
        Some(2.0),
        &[],
    );
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A: the piece between fence and blade is 2 mm too short to be held safely at \u{201c}ripsaw\u{201d}."
    );
}

#[test]
fn a_wide_short_board_is_held_by_its_length_along_the_cut() {
    // 60 long and 600 wide, ripped at 200: the larger extent is no hold.
    let (mut job, mut plan) = straight_job();
    rip_fence(&mut job.workshop.tools[0]);
    job.workshop.tools[0].min_piece = 300.0;
    job.boards[0].outline = box_of(0.0, 0.0, 60.0, 600.0);
    let all_straight = (EdgeKind::Straight, EdgeKind::Straight);
    job.boards[0].sides = sides_of(&job.boards[0].outline, all_straight.0, all_straight.1);
    job.parts[0].outline = box_of(0.0, 0.0, 50.0, 196.0);
    job.parts[0].count = 1;
    plan.layouts[0].placements = vec![place("rail", 1, 5.0, 2.0)];
    *nodes(&mut plan) = vec![
        rip(200.0, 1, 2),
        CutNode::Blank { placement: 0 },
        CutNode::Offcut,
    ];
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["piece-too-small"]);
    assert!(found.iter().all(|f| amount(f) == Some(240.0)));
    assert!(found[0].message.ends_with(
        "the piece is 240 mm too short along the cut to be held safely at \u{201c}ripsaw\u{201d}."
    ));
    // A saw guided on the clamped board asks nothing of itself.
    (
        job.workshop.tools[0].work_moves,
        job.workshop.tools[0].min_piece,
    ) = (false, 0.0);
    assert_good(&job, &plan);
}

#[test]
fn against_a_square_fence_the_held_piece_counts_before_and_after_the_cut() {
    let square = |min_piece: f64| {
        let (mut job, plan) = straight_job();
        let saw = &mut job.workshop.tools[1];
        (saw.guide, saw.min_piece) = (Guide::Square, min_piece);
        (job, plan)
    };
    // The last crosscut leaves 210 and 564: one is held, the other falls off.
    let (job, plan) = square(564.0);
    assert_good(&job, &plan);
    let (job, plan) = square(600.0);
    let finding = assert_only(&job, &plan, Rule::Cuts, "piece-too-small", Some(36.0), &[]);
    assert_eq!(
        finding.message,
        "The crosscut at 434 mm on board A: what lies against the fence of \u{201c}cross saw\u{201d} is 36 mm too short to be held safely."
    );
}

#[test]
fn in_the_hand_a_piece_is_held_anywhere() {
    // At the first crosscut it is 1000 by 200, at the rip 988 by 200.
    let (job, plan) = with_rip(|t| t.min_piece = 989.0);
    let finding = assert_only(&job, &plan, Rule::Cuts, "piece-too-small", Some(1.0), &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A: the piece is 1 mm too short to be held safely at \u{201c}ripsaw\u{201d}."
    );
}

#[test]
fn a_fence_against_waste_is_set_to_the_waste() {
    // Only the high edge is straight: between it and the blade lie 143 of waste.
    let (mut job, plan) = with_rip(|t| {
        rip_fence(t);
        t.max_width = 143.0;
    });
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
    job.boards[0].sides[2].kind = EdgeKind::Straight;
    job.workshop.trim_edge = 0.0;
    assert_good(&job, &plan);
    job.workshop.tools[0].max_width = 142.0;
    assert_only(&job, &plan, Rule::Cuts, "fence-too-far", Some(1.0), &[]);
}

/// The straight job on a raw board that is narrower towards its right end, its low edge trued
/// by another tool, which takes `taken` off at the left end.
fn trued(taken: f64, tool: Tool) -> (Job, Plan) {
    let (mut job, mut plan) = straight_job();
    rip_fence(&mut job.workshop.tools[0]);
    let name = tool.name.clone();
    job.workshop.tools.push(tool);
    job.workshop.trim_edge = 0.0;
    // The low edge rises by 40 over the length.
    job.boards[0].outline = polygon(&[(0.0, 0.0), (1000.0, 40.0), (1000.0, 200.0), (0.0, 200.0)]);
    job.boards[0].sides = sides_of(&job.boards[0].outline, EdgeKind::Raw, EdgeKind::Raw);
    for placement in &mut plan.layouts[0].placements {
        placement.at.y += 60.0;
    }
    let n = nodes(&mut plan);
    n[0] = CutNode::Cut {
        angle: None,
        direction: Direction::Rip,
        tool: name,
        at: taken - 3.0,
        kerf: 3.0,
        low: 9,
        high: 10,
    };
    n.extend([CutNode::Waste, crosscut(10.0, 1, 2)]);
    n[2] = rip(57.0, 11, 12);
    n.extend([CutNode::Waste, rip(114.0, 3, 4)]);
    (job, plan)
}

fn guided() -> Tool {
    Tool {
        rips: true,
        guide: Guide::Along,
        can_skim: true,
        ..tool("guided saw", 3.0)
    }
}

#[test]
fn a_true_edge_runs_along_nearly_all_of_the_fence() {
    // The whole low edge is true only from 40 up: 25 of the length for each millimetre.
    let (job, plan) = trued(40.0, guided());
    assert_good(&job, &plan);
    // 988 long after the crosscut; 24 up the true edge runs from 12 to 600.
    let (job, plan) = trued(24.0, guided());
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["true-edge-too-short"]);
    assert!((amount(&found[0]).unwrap() - (0.9 * 988.0 - 588.0)).abs() < 1e-9);
    assert_eq!(
        found[0].message,
        "The rip at 57 mm on board A: only 588 mm of true edge runs against the fence of \u{201c}ripsaw\u{201d}, 301.2 mm too little for this piece."
    );
}

#[test]
fn an_edge_is_true_only_from_a_tool_that_leaves_it_so() {
    let rough = Tool {
        leaves_true_edge: false,
        ..guided()
    };
    let (job, plan) = trued(40.0, rough);
    let found = check(&job, &plan);
    assert_eq!(causes(&found), ["no-true-edge"]);
}

fn planer() -> Tool {
    Tool {
        trues: true,
        work_moves: true,
        ..tool("planer", 3.0)
    }
}

#[test]
fn a_planer_trues_an_edge_and_parts_nothing() {
    // Of an edge that rises by 2 over its length.
    let make = |at: f64, kerf: f64| {
        let (mut job, mut plan) = trued(2.0, planer());
        job.boards[0].outline =
            polygon(&[(0.0, 0.0), (1000.0, 2.0), (1000.0, 200.0), (0.0, 200.0)]);
        if let CutNode::Cut {
            at: old, kerf: was, ..
        } = &mut nodes(&mut plan)[0]
        {
            (*old, *was) = (at, kerf);
        }
        (job, plan)
    };
    for (at, kerf) in [(-1.0, 3.0), (0.0, 2.0), (0.0, 3.0)] {
        let (job, plan) = make(at, kerf);
        assert_good(&job, &plan);
    }
    let (job, plan) = make(0.0, 3.5);
    let finding = assert_only(&job, &plan, Rule::Cuts, "planed-too-deep", Some(0.5), &[]);
    assert_eq!(
        finding.message,
        "The rip at 0 mm on board A takes 0.5 mm more off the edge than \u{201c}planer\u{201d} can."
    );
    let (job, plan) = make(1.0, 3.0);
    let finding = assert_only(&job, &plan, Rule::Cuts, "planer-parts", Some(1.0), &[]);
    assert_eq!(
        finding.message,
        "The rip at 1 mm on board A leaves 1 mm of wood beyond the planed edge, and \u{201c}planer\u{201d} cannot cut that off."
    );
    // It planes no end grain, and it is no rough tool.
    let (job, mut plan) = make(0.0, 2.0);
    if let CutNode::Cut { tool, .. } = &mut nodes(&mut plan)[10] {
        *tool = "planer".into();
    }
    assert_only(&job, &plan, Rule::Cuts, "wrong-tool", None, &[]);
}

#[test]
fn a_twisted_piece_rocks_on_a_machine_that_it_moves_over() {
    // 2 over the board; the first crosscut has all of it, the rip 988 of its 1000.
    let twisted = |work_moves: [bool; 2]| {
        let (mut job, plan) = straight_job();
        for (tool, moves) in job.workshop.tools.iter_mut().zip(work_moves) {
            tool.work_moves = moves;
        }
        job.boards[0].warp = heartside_timber::job::Warp::Measured {
            cup: (0.0, 0.0),
            bow: (0.0, 0.0),
            twist: (2.0, 1000.0, 200.0),
        };
        (job, plan)
    };
    let (job, plan) = twisted([false, false]);
    assert_good(&job, &plan);
    let (job, plan) = twisted([true, false]);
    let finding = assert_only(&job, &plan, Rule::Cuts, "piece-twisted", Some(0.476), &[]);
    assert_eq!(
        finding.message,
        "The rip at 54 mm on board A: the piece is twisted by 1.98 mm, 0.48 mm too much to be pushed over \u{201c}ripsaw\u{201d}, where it would rock. Cut it smaller first with a saw that moves over the clamped work."
    );
    // What the rip leaves has little twist.
    let (job, plan) = twisted([false, true]);
    assert_only(&job, &plan, Rule::Cuts, "piece-twisted", Some(0.5), &[]);
}
