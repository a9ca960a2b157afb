use super::*;

use heartside_testkit::{AskewBreakage, Chance, askew_apart, break_askew};
use heartside_timber::job::GrainRule;
use heartside_timber::prepare;

/// The strip ripped off at 54 turns by so many degrees: what is cut from it is square to that.
fn turned_job(degrees: f64) -> (Job, Plan) {
    let (mut job, mut plan) = straight_job();
    job.boards[0].outline = box_of(-200.0, -200.0, 1200.0, 400.0);
    for part in &mut job.parts {
        part.grain = GrainRule::Axis {
            across: false,
            tolerance: 45.0,
        };
    }
    let frame = Frame::default().turned(degrees);
    for placement in &mut plan.layouts[0].placements {
        let at = frame.pose().apply(point(placement.at.x, placement.at.y));
        (placement.at.x, placement.at.y, placement.at.turn) = (at.x, at.y, degrees);
    }
    // The lower edge is cut first and turns the piece; the rest as before, but for the first crosscut.
    let n = nodes(&mut plan);
    n[0] = turned(rip(-3.0, 9, 10), degrees);
    n.push(CutNode::Waste);
    n.push(crosscut(10.0, 1, 2));
    (job, plan)
}

fn turned(mut node: CutNode, degrees: f64) -> CutNode {
    if let CutNode::Cut { angle, .. } = &mut node {
        *angle = Some(degrees);
    }
    node
}

fn causes(job: &Job, plan: &Plan) -> Vec<String> {
    check(job, plan).into_iter().map(|f| f.cause).collect()
}

#[test]
fn a_cut_turns_the_line_of_all_that_comes_after_it() {
    for degrees in [2.0, -3.5, 0.01] {
        let (job, mut plan) = turned_job(degrees);
        assert_good(&job, &plan);
        // No angle at all leaves the blanks askew to their cuts.
        nodes(&mut plan)[0] = rip(-3.0, 9, 10);
        let found = check(&job, &plan);
        let askew = found.iter().find(|f| f.cause == "askew").unwrap();
        assert!((amount(askew).unwrap() - degrees.abs()).abs() < 1e-9);
    }
    // An angle of nothing is none.
    let (job, mut plan) = straight_job();
    for node in nodes(&mut plan) {
        *node = turned(node.clone(), 0.0);
    }
    assert_good(&job, &plan);
}

#[test]
fn a_later_cut_turns_it_back() {
    let (mut job, mut plan) = turned_job(2.0);
    assert_good(&job, &plan);
    // The rest of the strip is crosscut square to the board again.
    let n = nodes(&mut plan);
    n[8] = turned(crosscut(500.0, 11, 12), -2.0);
    n.extend([CutNode::Offcut, CutNode::Offcut]);
    assert_good(&job, &plan);
    // A mitre saw needs an edge in line wherever a cut has turned the piece, be it back.
    let mitre = Tool {
        crosscuts: true,
        guide: Guide::Square,
        ..tool("mitre saw", 2.0)
    };
    job.workshop.tools.push(mitre);
    let by_mitre = |node: &mut CutNode| {
        if let CutNode::Cut { tool, .. } = node {
            *tool = "mitre saw".into();
        }
    };
    by_mitre(&mut nodes(&mut plan)[6]);
    assert_good(&job, &plan);
    by_mitre(&mut nodes(&mut plan)[8]);
    let finding = assert_only(&job, &plan, Rule::Cuts, "no-edge-in-line", None, &[]);
    assert_eq!(
        finding.message,
        "The crosscut at 500 mm on board A: its piece is turned against its old edges, and none follows the new line to lie against the fence of “mitre saw”. Cut to a mark, or cut such an edge first."
    );
}

#[test]
fn the_cut_that_turns_runs_along_no_fence() {
    let (mut job, plan) = turned_job(2.0);
    let saw = &mut job.workshop.tools[0];
    (saw.guide, saw.work_moves) = (Guide::Along, true);
    // The rip that turns has no edge; the next one has the edge that it left.
    assert_only(&job, &plan, Rule::Cuts, "no-true-edge", None, &[]);
}

#[test]
fn too_far_is_told_with_what_to_do() {
    for (degrees, by) in [(45.5, 0.5), (-80.0, 35.0)] {
        let (job, mut plan) = straight_job();
        nodes(&mut plan)[8] = turned(crosscut(700.0, 9, 10), degrees);
        nodes(&mut plan).extend([CutNode::Offcut, CutNode::Offcut]);
        let finding = assert_only(&job, &plan, Rule::Cuts, "too-far-askew", Some(by), &[]);
        assert_eq!(
            finding.message,
            "The crosscut at 700 mm on board A turns its piece more than 45° against the board. Cut it the other way instead."
        );
        nodes(&mut plan)[8] = turned(crosscut(700.0, 9, 10), 45.0);
        assert!(!causes(&job, &plan).contains(&"too-far-askew".to_owned()));
    }
    let (job, mut plan) = straight_job();
    nodes(&mut plan)[0] = turned(crosscut(10.0, 1, 2), f64::NAN);
    assert!(causes(&job, &plan).contains(&"too-far-askew".to_owned()));
}

#[test]
fn a_fixing_stops_the_kerf_where_it_really_runs() {
    let (mut job, plan) = turned_job(4.0);
    let pose = Frame::default().turned(4.0).pose();
    let at = pose.apply(point(700.0, 55.5));
    let screw = |y: f64| Zone {
        margin: 2.0,
        ..zone(
            ZoneKind::Fixing,
            box_of(at.x - 1.0, y - 1.0, at.x + 1.0, y + 1.0),
        )
    };
    mark(&mut job, screw(at.y));
    let found = check(&job, &plan);
    assert!(found.iter().any(|f| f.rule == Rule::Fixings), "{found:?}");
    // As far beside the line as the margin asks, and a little.
    job.boards[0].zones[0] = screw(at.y - 7.0);
    assert_good(&job, &plan);
}

/// Plans of boards cut apart askew, each broken in one way by little or much: where something is
/// wrong it is found, and where nothing is, nothing.
#[test]
fn what_is_turned_wrong_is_found() {
    let mut found = [0; AskewBreakage::ALL.len()];
    for seed in 0..400 {
        let mut chance = Chance::new(seed);
        let whole = askew_apart(seed, 1);
        for (place, way) in AskewBreakage::ALL.into_iter().enumerate() {
            let by = match way {
                AskewBreakage::AngleOff => 0.1,
                _ => 0.01,
            };
            let mut document = whole.clone();
            break_askew(&mut document, way, by, &mut chance);
            let prepared = prepare(&document);
            let wrong = check(&prepared.job, document.plan.as_ref().unwrap());
            found[place] += usize::from(wrong.iter().any(|f| f.severity == Severity::Broken));
        }
    }
    // A cut may move through waste, some edges serve a fence as well, and what is sawn by line has room.
    let least = [380, 100, 150, 120, 300];
    let enough = found
        .iter()
        .zip(least)
        .all(|(found, least)| *found >= least);
    assert!(enough, "{found:?} of 400 each, at least {least:?}");
}
