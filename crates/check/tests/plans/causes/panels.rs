//! A panel of 200 by 130 mm, glued up from staves of 40, 50 and 40 mm that lie in a row on one board.

use heartside_timber::choices::{PanelChoice, Stave, piece_id, stave_id};

use super::*;

/// The panel, whatever staves of these widths it is glued up from.
pub(crate) fn panel_job(widths: &[f64]) -> (Job, Plan) {
    let mut job = job(vec![board("A")], Vec::new());
    job.boards[0].heart_side = HeartSide::Up;
    let staves: Vec<Stave> = (1..)
        .zip(widths)
        .map(|(number, width)| Stave::whole(number, *width))
        .collect();
    let chosen = PanelChoice {
        panel: part_copy("top", 1),
        staves,
    };
    let mut placements = Vec::new();
    for (k, stave) in chosen.staves.iter().enumerate() {
        let id = stave_id("top", 1, stave.number);
        job.parts.push(job::Part {
            outline: box_of(0.0, 0.0, 200.0, stave.width),
            stave: Some(job::StaveOf {
                panel: 0,
                copy: 1,
                number: stave.number,
                piece: 0,
                share: 1.0 / widths.len() as f64,
            }),
            ..part(&id, 1)
        });
        placements.push(Placement {
            width: Some(stave.width),
            ..place(&id, 1, 30.0 + 230.0 * k as f64, 40.0)
        });
    }
    job.panels.push(job::Panel {
        part: job::Part {
            name: "Top".into(),
            outline: box_of(0.0, 0.0, 200.0, 130.0),
            ..part("top", 1)
        },
        length: 200.0,
        width: 130.0,
        is_across: false,
        widths: (40.0, 50.0),
        max_count: 3,
        equal: false,
        hearts: Hearts::Any,
        joint: 0.0,
        flatten: 0.0,
        ends: job::EndJoints::default(),
        copies: vec![chosen.clone()],
    });
    let mut plan = plan(vec![sawn("A", placements)]);
    plan.panels.push(chosen);
    (job, plan)
}

/// Stave `number` of the panel.
pub(crate) fn stave(number: u32) -> [PartCopy; 1] {
    [part_copy(&stave_id("top", 1, number), 1)]
}

pub(crate) fn top() -> [PartCopy; 1] {
    [part_copy("top", 1)]
}

fn usual() -> (Job, Plan) {
    panel_job(&[40.0, 50.0, 40.0])
}

#[test]
fn staves_that_make_up_the_panel_are_good() {
    let (mut job, plan) = usual();
    assert_good(&job, &plan);
    job.panels[0].hearts = Hearts::Same;
    assert_good(&job, &plan);
}

#[test]
fn the_plan_says_once_which_staves() {
    let (job, mut plan) = usual();
    let twice = plan.panels[0].clone();
    plan.panels.push(twice);
    let finding = assert_only(&job, &plan, Rule::Matches, "panel-twice", None, &top());
    assert_eq!(
        finding.message,
        "The plan says twice which staves Top is glued up from."
    );
    plan.panels[1].panel.copy = 2;
    assert_only(&job, &plan, Rule::Matches, "panel-unknown", None, &[]);
    plan.panels.clear();
    assert_only(&job, &plan, Rule::Matches, "panel-missing", None, &top());
}

#[test]
fn every_stave_has_a_number_of_its_own_and_they_are_not_too_many() {
    let (mut job, plan) = usual();
    job.panels[0].max_count = 2;
    assert_only(&job, &plan, Rule::Matches, "stave-count", Some(1.0), &top());
    let (job, mut plan) = usual();
    plan.panels[0].staves[2].number = 1;
    let causes: Vec<String> = check(&job, &plan).into_iter().map(|f| f.cause).collect();
    assert!(causes.contains(&"stave-twice".to_owned()), "{causes:?}");
    assert!(causes.contains(&"stave-left-out".to_owned()), "{causes:?}");
    let (job, mut plan) = usual();
    plan.panels[0].staves[1].width = f64::NAN;
    assert_only(&job, &plan, Rule::Matches, "stave-no-width", None, &top());
}

#[test]
fn the_job_has_the_staves_of_the_plan() {
    let (job, mut plan) = usual();
    plan.panels[0].staves[2].number = 7;
    let found = check(&job, &plan);
    let told: Vec<&str> = found.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        told,
        [
            "The plan was made without stave 3 of Top, which the job has.",
            "The plan was made with stave 7 of Top, which the job does not have.",
        ]
    );
}

#[test]
fn heart_sides_alternate_in_glued_order_or_are_all_alike() {
    let (mut job, mut plan) = usual();
    job.panels[0].hearts = Hearts::Alternate;
    let both = [part_copy(&stave_id("top", 1, 2), 1), stave(1)[0].clone()];
    let finding = assert_only(&job, &plan, Rule::Matches, "heart-side", None, &both);
    assert_eq!(
        finding.message,
        "top..1.2 lies heart side up and top..1.1 heart side up: heart sides are to alternate."
    );
    // Turned over about its middle line, as it is wide.
    let over = &mut plan.layouts[0].placements[1].at;
    (over.y, over.turned_over) = (over.y + 50.0, true);
    assert_good(&job, &plan);
    // In another order the two of one side lie side by side.
    let (job, mut plan) = (job, plan);
    plan.panels[0].staves.swap(1, 2);
    let told: Vec<String> = check(&job, &plan).into_iter().map(|f| f.message).collect();
    assert_eq!(
        told,
        ["top..1.3 lies heart side up and top..1.1 heart side up: heart sides are to alternate."]
    );
    let mut job = job;
    job.panels[0].hearts = Hearts::Same;
    let told: Vec<String> = check(&job, &plan).into_iter().map(|f| f.cause).collect();
    assert_eq!(told, ["heart-side"]);
    // What has no place is no reason to complain.
    let gone = plan.layouts[0].placements.remove(1);
    plan.wait(&gone.part, 1);
    assert_good(&job, &plan);
    // It still has its turn: those beside it face alike.
    job.panels[0].hearts = Hearts::Alternate;
    plan.panels[0].staves.swap(1, 2);
    assert_good(&job, &plan);
    let over = &mut plan.layouts[0].placements[1].at;
    (over.y, over.turned_over) = (over.y + 50.0, true);
    let told: Vec<String> = check(&job, &plan).into_iter().map(|f| f.message).collect();
    assert_eq!(
        told,
        [
            "top..1.3 lies heart side down and top..1.1 heart side up, 1 stave between them: heart \
             sides are to alternate."
        ]
    );
}

#[test]
fn a_heart_side_that_nobody_looked_at_is_a_caution() {
    let (mut job, plan) = usual();
    job.panels[0].hearts = Hearts::Alternate;
    job.boards[0].heart_side = HeartSide::Unknown;
    let finding = only(&job, &plan);
    assert_eq!(finding.severity, Severity::Caution);
    assert_eq!(
        finding.message,
        "Nobody has said which face of board A is its heart side, so whether heart sides alternate \
         is open for top..1.1, top..1.2 and top..1.3. Look at its end grain."
    );
}

/// The same panel of two staves, each of two pieces with a joint of 5: 120 and 85, 86 and 119.
pub(crate) fn joined_job() -> (Job, Plan) {
    let (mut job, mut plan) = panel_job(&[65.0, 65.0]);
    job.panels[0].widths = (60.0, 70.0);
    job.panels[0].ends = job::EndJoints {
        allowed: true,
        least: 80.0,
        apart: 34.0,
        taken: 5.0,
    };
    let chosen = &mut plan.panels[0].staves;
    chosen[0].pieces = vec![120.0, 85.0];
    chosen[1].pieces = vec![86.0, 119.0];
    job.panels[0].copies = plan.panels.clone();
    let (whole, mut parts) = (job.parts.clone(), Vec::new());
    plan.layouts[0].placements.clear();
    for (stave, like) in plan.panels[0].staves.iter().zip(&whole) {
        for (piece, length) in (1..).zip(&stave.pieces) {
            let id = piece_id("top", 1, stave.number, piece);
            let of = like.stave.clone().expect("a stave");
            plan.layouts[0].placements.push(Placement {
                width: Some(stave.width),
                length: Some(*length),
                ..place(&id, 1, 30.0 + 150.0 * parts.len() as f64, 40.0)
            });
            parts.push(job::Part {
                id,
                outline: box_of(0.0, 0.0, *length, stave.width),
                stave: Some(job::StaveOf {
                    piece,
                    share: 0.25,
                    ..of
                }),
                ..like.clone()
            });
        }
    }
    job.parts = parts;
    (job, plan)
}

pub(crate) fn piece(number: u32, piece: u32) -> [PartCopy; 1] {
    [part_copy(&piece_id("top", 1, number, piece), 1)]
}

#[test]
fn staves_of_pieces_that_make_up_the_panel_are_good() {
    let (mut job, plan) = joined_job();
    assert_good(&job, &plan);
    job.panels[0].ends.allowed = false;
    let found = check(&job, &plan);
    let told: Vec<&str> = found.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(
        told,
        [
            "Stave 1 of Top is joined end to end, which this panel does not allow.",
            "Stave 2 of Top is joined end to end, which this panel does not allow.",
        ]
    );
    // What was sawn once is as it is.
    job.parts[0].in_hand = vec![1];
    job.parts[2].in_hand = vec![1];
    let is_of_joints = |f: &heartside_timber::finding::Finding| f.cause == "stave-joined";
    assert!(!check(&job, &plan).iter().any(is_of_joints));
}

#[test]
fn pieces_of_one_stave_show_one_side() {
    let (mut job, mut plan) = joined_job();
    job.panels[0].hearts = Hearts::Alternate;
    // The second stave lies the other way up, all of it.
    for placement in &mut plan.layouts[0].placements[2..] {
        placement.at.y += 65.0;
        placement.at.turned_over = true;
    }
    assert_good(&job, &plan);
    let over = &mut plan.layouts[0].placements[3].at;
    (over.y, over.turned_over) = (over.y - 65.0, false);
    let both = [piece(2, 2)[0].clone(), piece(2, 1)[0].clone()];
    let finding = assert_only(&job, &plan, Rule::Matches, "heart-side", None, &both);
    assert!(
        finding
            .message
            .ends_with("pieces of one stave are to show one side."),
        "{}",
        finding.message
    );
}

#[test]
fn end_joints_side_by_side_are_told() {
    let (job, mut plan) = joined_job();
    plan.panels[0].staves[1].pieces.reverse();
    let found = check(&job, &plan);
    let told: Vec<&str> = found.iter().map(|f| f.message.as_str()).collect();
    let near = "End joints of staves 1 and 2 of Top stand 1 mm apart; neighbouring ones are to stand 34 mm apart.";
    assert!(told.contains(&near), "{told:?}");
}
