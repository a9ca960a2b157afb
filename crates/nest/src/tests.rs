//! Whole searches on small jobs.

use heartside_timber::document::{EdgeKind, ZoneKind};
use heartside_timber::plan::{CutNode, UnplacedReason};

use crate::samples::{board, job, part, rectangle, zone};
use crate::{Search, Settings};

#[test]
fn a_small_job_is_placed_at_once() {
    let boards = vec![
        board("A", rectangle(0.0, 0.0, 2400.0, 200.0), EdgeKind::Straight),
        board("B", rectangle(0.0, 0.0, 1800.0, 180.0), EdgeKind::Raw),
    ];
    let job = job(
        boards,
        vec![part("rail", 4, 700.0, 70.0), part("leg", 4, 600.0, 50.0)],
    );
    let mut search = Search::new(&job, Settings::default()).unwrap();
    assert_eq!(
        search.best().unplaced.len(),
        2,
        "nothing is placed before the first step"
    );
    search.step(100);
    let plan = search.best();
    assert!(plan.unplaced.is_empty(), "{plan:#?}");
    assert_eq!(plan.placed_count(), 8);
    for layout in &plan.layouts {
        let tree = layout.cuts.as_ref().unwrap();
        let blanks = tree
            .nodes
            .iter()
            .filter(|n| matches!(n, CutNode::Blank { .. }))
            .count();
        assert_eq!(blanks, layout.placements.len());
    }
    assert!(plan.bound.as_ref().unwrap().value <= plan.cost);
}

#[test]
fn no_boards_and_no_tools_are_said_so() {
    let mut empty = job(Vec::new(), vec![part("rail", 2, 700.0, 70.0)]);
    let mut search = Search::new(&empty, Settings::default()).unwrap();
    assert!(search.step(1000).finished);
    assert_eq!(search.best().unplaced[0].reason, UnplacedReason::NoBoards);
    empty.boards.push(board(
        "A",
        rectangle(0.0, 0.0, 2400.0, 200.0),
        EdgeKind::Raw,
    ));
    empty.workshop.tools[0].max_depth = 10.0;
    let mut search = Search::new(&empty, Settings::default()).unwrap();
    search.step(1000);
    assert_eq!(search.best().unplaced[0].reason, UnplacedReason::Tools);
    assert_eq!(search.best().unplaced[0].copies, vec![1, 2]);
}

/// The search made, the checker finding nothing, and why the first part lies nowhere.
fn left_for(job: &heartside_timber::job::Job) -> (Option<UnplacedReason>, usize) {
    let mut search = Search::new(job, Settings::default()).unwrap();
    search.step(3000);
    let plan = search.best();
    let found = heartside_check::check(job, plan);
    assert!(heartside_timber::finding::is_sound(&found), "{found:#?}");
    (plan.unplaced.first().map(|u| u.reason), plan.placed_count())
}

#[test]
fn what_cannot_be_done_is_left_with_its_reason() {
    let plank = || board("A", rectangle(0.0, 0.0, 2400.0, 200.0), EdgeKind::Straight);
    let mut thin = plank();
    thin.thickness = 9.0;
    let rails = || vec![part("rail", 2, 1300.0, 70.0)];
    assert_eq!(
        left_for(&job(vec![thin], rails())),
        (Some(UnplacedReason::Thickness), 0)
    );

    // A strip of screws right across the middle: no rail passes it, none is long enough beside it.
    let mut split = plank();
    split.zones = vec![zone(
        0,
        ZoneKind::Fixing,
        rectangle(1190.0, 0.0, 1210.0, 200.0),
    )];
    assert_eq!(
        left_for(&job(vec![split.clone()], rails())),
        (Some(UnplacedReason::Zones), 0)
    );
    let short = vec![part("rail", 4, 1000.0, 70.0)];
    assert_eq!(
        left_for(&job(vec![split], short)),
        (None, 4),
        "beside it short ones lie well"
    );

    // A kerf wider than the parts takes what it takes: two lie side by side, a third would not.
    let mut wide = job(vec![plank()], vec![part("slat", 3, 2300.0, 40.0)]);
    wide.workshop.tools[0].kerf = 90.0;
    assert_eq!(left_for(&wide), (Some(UnplacedReason::NoRoom), 2));
}
