//! Whole searches on small jobs.

use heartside_timber::document::EdgeKind;
use heartside_timber::plan::{CutNode, UnplacedReason};

use crate::samples::{board, job, part, rectangle};
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
