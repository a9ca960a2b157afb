use super::*;

/// Two rails as leaves of one blank, just thick enough: 12.7 + 0.8 + 3 + 0.8 + 12.7 in a board of 30 that is
/// flat and planed, resawn with the kerf of the ripsaw for want of another.
fn leaves(kind: MatchKind) -> (Job, Plan) {
    let (mut job, mut plan) = sawn_job();
    job.parts[0].thickness = 12.7;
    job.matches = vec![job::Match {
        kind,
        parts: both().to_vec(),
    }];
    let placements = &mut plan.layouts[0].placements;
    placements[1].at = placements[0].at;
    for (placement, number) in placements.iter_mut().zip(1..) {
        placement.leaf = Some(number);
    }
    if kind == MatchKind::Book {
        // Its blank, from 2 below to 2 above its 50, lies from 18 to 72 as that of the other.
        let first = &mut placements[0].at;
        (first.y, first.turned_over) = (70.0, true);
    }
    (job, plan)
}

fn both() -> [PartCopy; 2] {
    [part_copy("rail", 1), part_copy("rail", 2)]
}

fn second_and_first() -> [PartCopy; 2] {
    [part_copy("rail", 2), part_copy("rail", 1)]
}

const KINDS: [MatchKind; 2] = [MatchKind::Slip, MatchKind::Book];

#[test]
fn a_board_is_thick_enough_for_all_leaves_with_kerf_and_planing() {
    for kind in KINDS {
        let (mut job, plan) = leaves(kind);
        assert_good(&job, &plan);
        for by in [0.01, 0.05, 4.0] {
            job.boards[0].thickness = 30.0 - by;
            let finding = assert_only(
                &job,
                &plan,
                Rule::Thickness,
                "leaves-too-thin",
                Some(by),
                &both(),
            );
            assert!(
                finding
                    .message
                    .starts_with("The leaves rail 1 and rail 2 need ")
            );
        }
        job.boards[0].thickness = 30.0;
        job.parts[0].allowances.clean_up += 0.005;
        assert_only(
            &job,
            &plan,
            Rule::Thickness,
            "leaves-too-thin",
            Some(0.01),
            &both(),
        );
        job.parts[0].allowances.clean_up = 0.8;
        job.workshop.tools[0].kerf += 0.01;
        assert_only(
            &job,
            &plan,
            Rule::Thickness,
            "leaves-too-thin",
            Some(0.01),
            &both(),
        );
    }
}

#[test]
fn leaves_lie_in_one_place() {
    for kind in KINDS {
        for by in [0.01, 0.05, 3.0] {
            for along in [true, false] {
                let (job, mut plan) = leaves(kind);
                let at = &mut plan.layouts[0].placements[1].at;
                *(if along { &mut at.x } else { &mut at.y }) += by;
                let parts = second_and_first();
                assert_only(&job, &plan, Rule::Matches, "leaf-beside", Some(by), &parts);
            }
        }
    }
}

#[test]
fn leaves_are_turned_alike() {
    for kind in KINDS {
        let (job, mut plan) = leaves(kind);
        plan.layouts[0].placements[1].at.turn = 0.11;
        let parts = second_and_first();
        let finding = only(&job, &plan);
        assert_eq!(
            (finding.rule, finding.cause.as_str()),
            (Rule::Matches, "leaf-turn")
        );
        assert!((amount(&finding).unwrap() - 0.01).abs() < 1e-9);
        assert_eq!(finding.parts, parts);
    }
}

#[test]
fn the_order_of_leaves_is_that_of_the_match() {
    for kind in KINDS {
        let (mut job, plan) = leaves(kind);
        job.matches[0].parts.reverse();
        let found = check(&job, &plan);
        assert!(
            found.iter().all(|f| f.cause == "leaf-order"),
            "{:?}",
            told(&found)
        );
        assert_eq!(found.len(), 2);
    }
    let (job, mut plan) = leaves(MatchKind::Slip);
    plan.layouts[0].placements[1].leaf = None;
    let found = check(&job, &plan);
    let causes: Vec<&str> = found.iter().map(|f| f.cause.as_str()).collect();
    // Without a leaf of its own it lies in the other's wood.
    assert_eq!(causes, ["too-near-part", "leaf-order"]);
}

#[test]
fn books_are_opened_and_slipped_leaves_are_not() {
    let (mut job, plan) = leaves(MatchKind::Slip);
    job.matches[0].kind = MatchKind::Book;
    let first = [part_copy("rail", 1)];
    assert_only(&job, &plan, Rule::Matches, "leaf-face", None, &first);
    let (mut job, plan) = leaves(MatchKind::Book);
    job.matches[0].kind = MatchKind::Slip;
    let second = [part_copy("rail", 2)];
    assert_only(&job, &plan, Rule::Matches, "leaf-face", None, &second);
    let (mut job, plan) = leaves(MatchKind::Book);
    job.parts[0].may_turn_over = false;
    assert_only(
        &job,
        &plan,
        Rule::TurnedOver,
        "may-not-turn-over",
        None,
        &first,
    );
}

#[test]
fn some_tool_resaws_the_blank() {
    let (mut job, plan) = leaves(MatchKind::Book);
    job.workshop.tools.push(job::Tool {
        name: "band saw".into(),
        resaws: true,
        kerf: 3.0,
        max_depth: 54.0,
        ..job::Tool::default()
    });
    assert_good(&job, &plan);
    job.workshop.tools.last_mut().unwrap().max_depth = 53.99;
    let first = [part_copy("rail", 1)];
    assert_only(&job, &plan, Rule::Cuts, "cannot-resaw", None, &first);
}

#[test]
fn flaws_on_a_face_spoil_the_leaves_that_they_reach() {
    let (mut job, plan) = leaves(MatchKind::Slip);
    job.parts[0].faces = Faces::Both;
    mark(
        &mut job,
        zone(ZoneKind::Defect, box_of(150.0, 30.0, 160.0, 40.0)),
    );
    job.boards[0].zones[0].sound = true;
    job.boards[0].zones[0].face = ZoneFace::Down;
    // The lower leaf reaches from 0 to 12.7 above the down face, the upper one from 17.3.
    for (depth, spoilt) in [
        (5.0, vec![2]),
        (17.3, vec![2]),
        (17.32, vec![1, 2]),
        (29.0, vec![1, 2]),
    ] {
        job.boards[0].zones[0].depth = depth;
        let found = check(&job, &plan);
        assert!(found.iter().all(|f| f.rule == Rule::Zones));
        let copies: Vec<u32> = found
            .iter()
            .flat_map(|f| &f.parts)
            .map(|p| p.copy)
            .collect();
        assert_eq!(copies, spoilt, "{depth}");
    }
    // On a hidden face nobody minds it, however deep.
    job.parts[0].faces = Faces::Hidden;
    job.boards[0].zones[0].depth = 20.0;
    let found = check(&job, &plan);
    let copies: Vec<u32> = found
        .iter()
        .flat_map(|f| &f.parts)
        .map(|p| p.copy)
        .collect();
    assert_eq!(copies, [2], "it runs right through the lower leaf");
}

#[test]
fn a_fixing_stops_the_blade_that_resaws() {
    let (mut job, plan) = leaves(MatchKind::Slip);
    job.parts[0].fixing_ok = true;
    mark(
        &mut job,
        zone(ZoneKind::Fixing, box_of(150.0, 40.0, 160.0, 50.0)),
    );
    job.boards[0].zones[0].material = FixingMaterial::Wood;
    let found = check(&job, &plan);
    assert!(!found.is_empty() && found.iter().all(|f| f.cause == "fixing-in-blank"));
}

#[test]
fn the_tree_of_cuts_names_the_leaves_of_a_piece() {
    let (mut job, mut plan) = straight_job();
    let (of_leaves, _) = leaves(MatchKind::Slip);
    job.matches = of_leaves.matches;
    job.parts[0].thickness = 12.7;
    let layout = &mut plan.layouts[0];
    layout.placements[1].at = layout.placements[0].at;
    (layout.placements[0].leaf, layout.placements[1].leaf) = (Some(1), Some(2));
    let nodes = &mut layout.cuts.as_mut().unwrap().nodes;
    nodes.truncate(7);
    nodes[5] = CutNode::Leaves {
        placements: vec![0, 1],
    };
    nodes[6] = CutNode::Offcut;
    assert_good(&job, &plan);
    let nodes = &mut plan.layouts[0].cuts.as_mut().unwrap().nodes;
    nodes[5] = CutNode::Leaves {
        placements: vec![0],
    };
    let causes: Vec<String> = check(&job, &plan).into_iter().map(|f| f.cause).collect();
    assert!(causes.contains(&"no-leaves".to_owned()), "{causes:?}");
}
