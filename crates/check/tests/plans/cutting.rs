//! Rule 9, and rule 4 along straight cuts.
//!
//! The straight job: a board of 1000 by 200 with raw ends and straight edges. Crosscut at 10
//! (kerf 2), rip at 54 (kerf 3), then crosscuts at 222 and 434: blanks x 12 to 222 and 224 to
//! 434, y 0 to 54.

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

mod orders {
    use super::*;

    #[test]
    fn a_good_straight_plan_has_no_findings() {
        let (job, plan) = straight_job();
        assert_good(&job, &plan);
    }

    #[test]
    fn without_cuts_the_plan_is_broken_and_the_narrowest_kerf_is_kept() {
        let (job, mut plan) = straight_job();
        plan.layouts[0].cuts = None;
        let finding = assert_only(&job, &plan, Rule::Cuts, "no-cut-order", None, &[]);
        assert_eq!(
            finding.message,
            "No order of straight cuts has been found for board A."
        );
        plan.layouts[0].placements[1].at.x -= 0.5;
        let found = check(&job, &plan);
        assert_eq!(
            told(&found)[0],
            (Rule::Kerf, "too-near-part".into(), Some(0.5))
        );
        plan.layouts[0].placements.clear();
        assert!(!causes(&check(&job, &plan)).contains(&"no-cut-order"));
    }

    #[test]
    fn the_kerf_between_blanks_is_that_of_the_cut_that_parts_them() {
        let (mut job, mut plan) = straight_job();
        // One above the other, parted by a rip of 3 mm.
        plan.layouts[0].placements[1] = place("rail", 2, 17.0, 59.0);
        *nodes(&mut plan) = vec![
            crosscut(10.0, 1, 2),
            CutNode::Waste,
            crosscut(222.0, 3, 4),
            rip(54.0, 5, 6),
            CutNode::Offcut,
            CutNode::Blank { placement: 0 },
            rip(111.0, 7, 8),
            CutNode::Blank { placement: 1 },
            CutNode::Offcut,
        ];
        assert_good(&job, &plan);
        // A wider kerf in the tree asks for a wider gap, too.
        job.workshop.tools[0].kerf = 3.5;
        for node in nodes(&mut plan) {
            if let CutNode::Cut {
                direction: Direction::Rip,
                kerf,
                ..
            } = node
            {
                *kerf = 3.5;
            }
        }
        let found = check(&job, &plan);
        assert_eq!(
            told(&found)[0],
            (Rule::Kerf, "too-near-part".into(), Some(0.5))
        );
        assert_eq!(
            told(&found)[1],
            (Rule::Cuts, "cut-into-part".into(), Some(0.5))
        );
    }

    #[test]
    fn damaged_lists_are_findings() {
        let damaged = |change: &dyn Fn(&mut Vec<CutNode>)| {
            let (job, mut plan) = straight_job();
            change(nodes(&mut plan));
            let found = check(&job, &plan);
            assert!(
                causes(&found).contains(&"cuts-damaged"),
                "{:?}",
                causes(&found)
            );
            found
        };
        damaged(&|n| n.clear());
        damaged(&|n| n[0] = crosscut(10.0, 1, 99));
        damaged(&|n| n[0] = crosscut(10.0, 1, 0));
        damaged(&|n| n[0] = crosscut(10.0, 2, 2));
        damaged(&|n| n.push(CutNode::Waste));
        damaged(&|n| n[8] = CutNode::Blank { placement: 7 });
    }

    #[test]
    fn each_placement_has_one_piece() {
        let (job, mut plan) = straight_job();
        nodes(&mut plan)[7] = CutNode::Offcut;
        assert_only(
            &job,
            &plan,
            Rule::Cuts,
            "part-without-piece",
            None,
            &[part_copy("rail", 2)],
        );
        nodes(&mut plan)[7] = CutNode::Blank { placement: 0 };
        let found = check(&job, &plan);
        assert!(causes(&found).contains(&"part-in-two-pieces"));
        assert!(causes(&found).contains(&"part-without-piece"));
    }

    #[test]
    fn numbers_that_are_none() {
        for (at, kerf) in [
            (f64::NAN, 2.0),
            (10.0, f64::NAN),
            (10.0, -2.0),
            (1e300, 2.0),
        ] {
            let (job, mut plan) = straight_job();
            let tool = "cross saw".into();
            nodes(&mut plan)[0] = CutNode::Cut {
                angle: None,
                direction: Direction::Crosscut,
                tool,
                at,
                kerf,
                low: 1,
                high: 2,
            };
            assert_only(&job, &plan, Rule::Cuts, "cut-not-a-number", None, &[]);
        }
        let (job, mut plan) = straight_job();
        plan.layouts[0].frame.angle = f64::NAN;
        assert_only(&job, &plan, Rule::Cuts, "bad-frame", None, &[]);
    }

    #[test]
    fn the_way_a_board_may_be_cut() {
        let (mut job, plan) = straight_job();
        job.boards[0].cuts = Cuts::Straight;
        assert_good(&job, &plan);
        job.boards[0].cuts = Cuts::Sawn;
        assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
        let (mut job, mut plan) = sawn_job();
        job.boards[0].cuts = Cuts::Straight;
        assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
        for either in [Cuts::Any, Cuts::Sawn] {
            job.boards[0].cuts = either;
            plan.layouts[0].cuts = Some(CutTree {
                nodes: vec![crosscut(399.0, 1, 2), region(&[0]), region(&[1])],
            });
            assert_good(&job, &plan);
        }
        job.boards[0].cuts = Cuts::Straight;
        assert_only(&job, &plan, Rule::Cuts, "way-not-allowed", None, &[]);
    }

    #[test]
    fn a_frame_askew_on_the_board_is_as_good() {
        let (mut job, mut plan) = straight_job();
        job.boards[0].outline = box_of(-100.0, -100.0, 1100.0, 300.0);
        let frame = Frame {
            x: 3.0,
            y: 5.0,
            angle: 2.0,
        };
        let pose = frame.pose();
        for placement in &mut plan.layouts[0].placements {
            let moved = pose.apply(point(placement.at.x, placement.at.y));
            (placement.at.x, placement.at.y, placement.at.turn) = (moved.x, moved.y, 2.0);
        }
        plan.layouts[0].frame = frame;
        // The lower edge has to be sawn now.
        let n = nodes(&mut plan);
        n[0] = rip(-3.0, 9, 10);
        n.push(CutNode::Waste);
        n.push(crosscut(10.0, 1, 2));
        assert_good(&job, &plan);
        plan.layouts[0].placements[0].at.turn = 2.5;
        let found = check(&job, &plan);
        let askew = found.iter().find(|f| f.cause == "askew").unwrap();
        assert!((amount(askew).unwrap() - 0.5).abs() < 1e-9);
    }
}

/// Sawn boards that through cuts break down first. The first rail's blank covers x 95 to 305,
/// y 18 to 72, the second's x 495 to 705, y 118 to 172.
mod broken_down {
    use super::*;

    fn broken_down(nodes: Vec<CutNode>) -> (Job, Plan) {
        let (job, mut plan) = sawn_job();
        plan.layouts[0].cuts = Some(CutTree { nodes });
        (job, plan)
    }

    fn by_crosscut(at: f64) -> (Job, Plan) {
        broken_down(vec![crosscut(at, 1, 2), region(&[0]), region(&[1])])
    }

    #[test]
    fn a_through_cut_between_the_parts_is_good_up_to_the_very_blanks() {
        for at in [305.0, 399.0, 493.0] {
            let (job, plan) = by_crosscut(at);
            assert_good(&job, &plan);
        }
        let cuts = vec![rip(72.0, 1, 2), region(&[0]), region(&[1])];
        let (job, plan) = broken_down(cuts);
        assert_good(&job, &plan);
        // The waste beyond the parts may be taken off, and kept.
        let cuts = vec![
            crosscut(399.0, 1, 2),
            region(&[0]),
            crosscut(720.0, 3, 4),
            region(&[1]),
            CutNode::Offcut,
        ];
        let (job, plan) = broken_down(cuts);
        assert_good(&job, &plan);
    }

    #[test]
    fn a_through_cut_nearer_than_its_kerf() {
        let rail = |copy| [part_copy("rail", copy)];
        let (job, plan) = by_crosscut(493.02);
        let cause = "cut-into-part";
        let finding = assert_only(&job, &plan, Rule::Cuts, cause, Some(0.02), &rail(2));
        assert_eq!(
            finding.message,
            "The cuts of board A run 0.02 mm into rail 2."
        );
        let (job, plan) = by_crosscut(304.98);
        assert_only(&job, &plan, Rule::Cuts, cause, Some(0.02), &rail(1));
    }

    #[test]
    fn a_through_cut_that_runs_through_a_part() {
        let (job, plan) = by_crosscut(600.0);
        let found = check(&job, &plan);
        assert_eq!(causes(&found), ["cut-into-part"]);
        assert_eq!(amount(&found[0]), Some(107.0));
        assert_eq!(found[0].parts, [part_copy("rail", 2)]);
    }

    #[test]
    fn a_region_holds_its_parts_and_every_part_has_its_region() {
        let cuts = vec![crosscut(399.0, 1, 2), region(&[1]), region(&[0])];
        let (job, plan) = broken_down(cuts);
        let found = check(&job, &plan);
        assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
        let cuts = vec![crosscut(399.0, 1, 2), region(&[0]), CutNode::Waste];
        let (job, plan) = broken_down(cuts);
        let lost = [part_copy("rail", 2)];
        assert_only(&job, &plan, Rule::Cuts, "part-without-piece", None, &lost);
        let cuts = vec![crosscut(399.0, 1, 2), region(&[0, 1]), region(&[])];
        let (job, plan) = broken_down(cuts);
        let found = check(&job, &plan);
        assert_eq!(causes(&found), ["empty-region", "cut-into-part"]);
    }

    #[test]
    fn tools_and_fixings_stop_a_through_cut_as_any_other() {
        let (mut job, plan) = by_crosscut(399.0);
        job.workshop.tools[1].max_length = 150.0;
        assert_only(&job, &plan, Rule::Cuts, "piece-too-long", Some(50.0), &[]);
        let (mut job, plan) = by_crosscut(399.0);
        job.boards[0].zones = vec![zone(ZoneKind::Fixing, box_of(398.0, 90.0, 404.0, 96.0))];
        let found = check(&job, &plan);
        assert_eq!(found[0].rule, Rule::Fixings, "{:?}", found[0].message);
        assert_eq!(found.len(), 1);
    }

    #[test]
    fn parts_of_two_regions_keep_the_kerf_of_the_cut_and_those_of_one_that_of_the_line() {
        let nodes = vec![crosscut(305.0, 1, 2), region(&[0]), region(&[1])];
        let (job, mut plan) = broken_down(nodes);
        // 2 mm between the blanks: just the cross saw's kerf.
        plan.layouts[0].placements[1] = place("rail", 2, 312.0, 20.0);
        assert_good(&job, &plan);
        plan.layouts[0].placements[1].at.x -= 0.5;
        let found = check(&job, &plan);
        assert_eq!(
            told(&found)[0],
            (Rule::Kerf, "too-near-part".into(), Some(0.5))
        );
        // Sawn whole, the frame saw's 1 mm is enough.
        plan.layouts[0].cuts = None;
        assert_good(&job, &plan);
    }
}

mod leaves {
    use super::*;

    #[test]
    fn a_cut_into_a_part() {
        let (job, mut plan) = straight_job();
        nodes(&mut plan)[2] = rip(53.5, 3, 4);
        let found = check(&job, &plan);
        assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
        assert_eq!(amount(&found[0]), Some(0.5));
        assert_eq!(
            found[0].message,
            "The cuts of board A run 0.5 mm into rail 1."
        );
    }

    #[test]
    fn a_piece_larger_than_its_blank() {
        let (job, mut plan) = straight_job();
        nodes(&mut plan)[6] = crosscut(434.7, 7, 8);
        assert_only(
            &job,
            &plan,
            Rule::Cuts,
            "piece-too-large",
            Some(0.7),
            &[part_copy("rail", 2)],
        );
        // What a solver keeps extra, and the grid, may be left on.
        nodes(&mut plan)[6] = crosscut(434.003, 7, 8);
        assert_good(&job, &plan);
    }

    /// Two sawn parts out of one piece of the straight job.
    fn region_job() -> (Job, Plan) {
        let (mut job, mut plan) = straight_job();
        job.parts[0].cut = PartCut::Sawn;
        // Rounded blanks reach 1.5 beyond y 0 to 50; the kerf between ends is 1.
        plan.layouts[0].placements =
            vec![place("rail", 1, 14.0, 2.0), place("rail", 2, 218.0, 2.0)];
        *nodes(&mut plan) = vec![
            crosscut(10.0, 1, 2),
            CutNode::Waste,
            rip(54.0, 3, 4),
            CutNode::Region {
                placements: vec![0, 1],
            },
            CutNode::Offcut,
        ];
        (job, plan)
    }

    #[test]
    fn sawn_parts_come_out_of_regions() {
        let (job, plan) = region_job();
        assert_good(&job, &plan);
    }

    #[test]
    fn in_a_region_the_sawn_kerf_is_kept() {
        let (job, mut plan) = region_job();
        plan.layouts[0].placements[1].at.x = 217.8;
        let parts = [part_copy("rail", 1), part_copy("rail", 2)];
        assert_only(&job, &plan, Rule::Kerf, "too-near-part", Some(0.2), &parts);
    }

    #[test]
    fn a_blank_does_not_leave_its_region() {
        let (job, mut plan) = region_job();
        nodes(&mut plan)[2] = rip(53.2, 3, 4);
        let found = check(&job, &plan);
        assert_eq!(causes(&found), ["cut-into-part", "cut-into-part"]);
        assert!((amount(&found[0]).unwrap() - 0.3).abs() < 1e-9);
    }

    #[test]
    fn a_sawn_part_is_no_straight_blank_and_a_region_holds_something() {
        let (job, mut plan) = region_job();
        nodes(&mut plan)[3] = crosscut(216.0, 5, 6);
        nodes(&mut plan).extend([
            CutNode::Blank { placement: 0 },
            CutNode::Region {
                placements: vec![1],
            },
        ]);
        let found = check(&job, &plan);
        assert!(
            causes(&found).contains(&"sawn-part-as-blank"),
            "{:?}",
            causes(&found)
        );
        let (job, mut plan) = straight_job();
        nodes(&mut plan)[4] = CutNode::Region { placements: vec![] };
        assert_only(&job, &plan, Rule::Cuts, "empty-region", None, &[]);
    }
}

mod machines {
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
        job.boards[0].outline =
            polygon(&[(0.0, 0.0), (1000.0, 0.0), (1000.0, 200.0), (0.0, 198.5)]);
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
        job.boards[0].outline =
            polygon(&[(0.0, -0.5), (1000.0, 0.0), (1000.0, 202.0), (0.0, 200.0)]);
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
        job.boards[0].outline =
            polygon(&[(0.0, 0.0), (1000.0, 40.0), (1000.0, 200.0), (0.0, 200.0)]);
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
            "The rip at 1 mm on board A leaves 1 mm of wood beyond the planed edge, and \u{201c}planer\u{201d} parts nothing."
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
}

mod fixings {
    use super::*;

    fn screw(x: f64, y: f64, stops: Stops) -> Zone {
        Zone {
            margin: 4.0,
            stops,
            ..zone(ZoneKind::Fixing, box_of(x, y, x + 2.0, y + 2.0))
        }
    }

    #[test]
    fn a_rip_past_a_fixing_that_stops_rips() {
        for (stops, stopped) in [
            (Stops::All, true),
            (Stops::Rips, true),
            (Stops::Crosscuts, false),
        ] {
            let (mut job, plan) = straight_job();
            // 3 above the dust of the rip, beyond the last crosscut.
            mark(&mut job, screw(700.0, 60.0, stops));
            if stopped {
                let finding =
                    assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
                assert_eq!(
                    finding.message,
                    "The rip at 54 mm on board A comes 1 mm too near the old fixing."
                );
                assert_eq!(finding.zone, Some(0));
            } else {
                assert_good(&job, &plan);
            }
        }
    }

    #[test]
    fn a_crosscut_ends_where_its_piece_ends() {
        let (mut job, plan) = straight_job();
        // In line with the crosscut at 222, but 6 above the strip it cuts; the rip stops no one here.
        mark(&mut job, screw(222.0, 60.0, Stops::Crosscuts));
        assert_good(&job, &plan);
        job.boards[0].zones[0].margin = 7.0;
        assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
    }

    #[test]
    fn the_saw_runs_on_across_a_gap_in_its_piece() {
        let (mut job, plan) = straight_job();
        // A notch from the right end swallows the line of the rip between x 600 and 1000; the saw
        // leaves its piece at 600.
        let whole = [
            (0.0, 0.0),
            (1000.0, 0.0),
            (1000.0, 40.0),
            (600.0, 40.0),
            (600.0, 70.0),
            (1000.0, 70.0),
            (1000.0, 200.0),
            (0.0, 200.0),
        ];
        job.boards[0].outline = polygon(&whole);
        job.boards[0].sides = sides_of(
            &job.boards[0].outline,
            EdgeKind::Straight,
            EdgeKind::Straight,
        );
        mark(&mut job, screw(604.0, 71.0, Stops::Rips));
        assert_good(&job, &plan);
        // A hole instead: the saw comes out of it again and runs on to the end.
        let hole = box_of(600.0, 40.0, 900.0, 70.0).outer().clone();
        job.boards[0].outline =
            Region::new(box_of(0.0, 0.0, 1000.0, 200.0).outer().clone(), vec![hole]).unwrap();
        job.boards[0].sides = sides_of(
            &job.boards[0].outline,
            EdgeKind::Straight,
            EdgeKind::Straight,
        );
        job.boards[0].zones[0].margin = 20.0;
        assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(6.0), &[]);
    }

    #[test]
    fn a_kerf_without_width_is_stopped_too() {
        let (mut job, mut plan) = straight_job();
        job.workshop.tools[0].kerf = 0.0;
        let tool = "ripsaw".into();
        nodes(&mut plan)[2] = CutNode::Cut {
            angle: None,
            direction: Direction::Rip,
            tool,
            at: 54.0,
            kerf: 0.0,
            low: 3,
            high: 4,
        };
        assert_good(&job, &plan);
        mark(&mut job, screw(700.0, 57.0, Stops::Rips));
        assert_only(&job, &plan, Rule::Fixings, "cut-at-fixing", Some(1.0), &[]);
    }
}

mod cautions {
    use super::*;

    fn cautions(job: &Job, plan: &Plan) -> Vec<Finding> {
        let found = check(job, plan);
        assert!(is_sound(&found), "{:?}", told(&found));
        assert!(
            found
                .iter()
                .all(|f| f.severity == Severity::Caution && f.rule == Rule::Cuts)
        );
        found
    }

    fn both() -> [PartCopy; 2] {
        [part_copy("rail", 1), part_copy("rail", 2)]
    }

    #[test]
    fn a_hole_needs_an_entry_once_for_all_copies() {
        let (mut job, plan) = sawn_job();
        job.parts[0].cut = PartCut::Sawn;
        job.parts[0].form = Form::Free;
        let hole = box_of(50.0, 20.0, 80.0, 30.0).outer().clone();
        job.parts[0].outline =
            Region::new(box_of(0.0, 0.0, 200.0, 50.0).outer().clone(), vec![hole]).unwrap();
        let found = cautions(&job, &plan);
        // The hole's corners are tight for any saw with a radius; this one has none.
        assert_eq!(causes(&found), ["hole-entry"]);
        assert_eq!(found[0].parts, both());
        job.workshop.tools[2].least_radius = 2.0;
        assert_eq!(
            causes(&cautions(&job, &plan)),
            ["hole-entry", "tight-corner"]
        );
    }

    #[test]
    fn inside_curves_tighter_than_the_saw_follows() {
        let (mut job, plan) = sawn_job();
        job.parts[0].cut = PartCut::Sawn;
        // A round notch of radius 30 from above, drawn in 24 sides; outside corners do not count.
        let mut points = vec![(0.0, 0.0), (200.0, 0.0), (200.0, 50.0)];
        for k in 0..=24 {
            let (s, c) = heartside_geometry::math::sin_cos_deg(f64::from(k) * 180.0 / 24.0);
            points.push((100.0 + 30.0 * c, 50.0 - 30.0 * s));
        }
        points.push((0.0, 50.0));
        job.parts[0].outline = polygon(&points);
        // The blank lies 1.5 further out: its notch has a radius of 28.5, or a little less.
        job.workshop.tools[2].least_radius = 28.0;
        assert_eq!(told(&cautions(&job, &plan)), vec![]);
        job.workshop.tools[2].least_radius = 29.0;
        let found = cautions(&job, &plan);
        assert_eq!(causes(&found), ["tight-corner"]);
        assert_eq!(found[0].parts, both());
        assert!((amount(&found[0]).unwrap() - 0.5).abs() < 0.1);
        assert_eq!(
            found[0].message,
            "rail 1 and rail 2 on board A have an inside corner tighter than the 29 mm that the saw can follow."
        );
    }
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
