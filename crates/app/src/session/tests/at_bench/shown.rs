//! What the bench and the floor show of what is cut.

use super::*;

#[test]
fn pieces_lie_where_their_board_lay_and_no_board_moves() {
    let mut session = planned(DESK);
    let mut chance = Chance::new(9);
    let view = view(PageName::Bench);
    let before = session.scene(&view).boards;
    for _ in 0..24 {
        tick_any(&mut session, &mut chance);
        let scene = session.scene(&view);
        for place in &scene.boards {
            let of = heartside_timber::document::BoardCopy {
                board: place.board.id.clone(),
                copy: place.board.copy,
            };
            assert!(
                session
                    .job
                    .board(&of.board)
                    .unwrap()
                    .copies()
                    .any(|c| c == of.copy)
            );
            let root = session.job.root(&of);
            let was = before
                .iter()
                .find(|b| b.board.id == root.board && b.board.copy == root.copy);
            let (was, now) = (&was.unwrap().bounds, &place.bounds);
            assert!(now.x >= was.x - 1e-6 && now.y >= was.y - 1e-6);
            assert!(now.x + now.width <= was.x + was.width + 1e-6);
            assert!(now.y + now.height <= was.y + was.height + 1e-6);
        }
    }
    // Which cuts free a blank depends on the plan.
    while session.document.boards.iter().all(|b| b.holds.is_none()) {
        tick_any(&mut session, &mut chance);
    }
    let again = session.scene(&View {
        reset: true,
        ..view
    });
    assert!(again.fragments.iter().any(|f| f.svg.contains("in hand")));
    // A piece that is dragged takes the whole board along.
    let piece = again.boards.iter().find(|b| {
        let board = session.job.board(&b.board.id);
        board.is_some_and(|b| b.from.is_some())
    });
    let piece = piece.unwrap().clone();
    let (id, copy) = (piece.board.id.clone(), piece.board.copy);
    assert!(
        session
            .move_board(&id, copy, piece.bounds.x + 5000.0, piece.bounds.y)
            .done
    );
    let moved = session.scene(&view_again()).boards;
    let now = moved.iter().find(|b| b.board == piece.board).unwrap();
    assert!((now.bounds.x - piece.bounds.x - 5000.0).abs() < 1.0);
    assert!((now.bounds.y - piece.bounds.y).abs() < 1.0);
}

fn view_again() -> View {
    View {
        reset: true,
        ..view(PageName::Bench)
    }
}

#[test]
fn each_cut_has_its_piece_alone_and_what_to_look_at_once_a_board() {
    let mut session = planned(DESK);
    let all = bench(&mut session);
    let steps: Vec<&BenchStep> = all.set_ups.iter().flat_map(|s| &s.steps).collect();
    let mut looks = 0;
    let mut marked = Vec::new();
    for step in &steps {
        let picture = session.step_picture(&step.tick);
        assert!(picture.svg.starts_with("<g") && picture.svg.ends_with("</g>"));
        assert!(picture.bounds.width > 0.0 && picture.bounds.height > 0.0);
        assert!(
            picture.description.contains("is kept"),
            "{}",
            picture.description
        );
        looks += usize::from(step.look.is_some());
        marked.extend(
            step.marks
                .iter()
                .map(|m| m.split(':').next().unwrap().to_owned()),
        );
    }
    let mut boards: Vec<&str> = steps.iter().map(|s| s.board.id.as_str()).collect();
    boards.sort_unstable();
    boards.dedup();
    assert!(looks > 0 && looks <= boards.len());
    let count = marked.len();
    marked.sort();
    marked.dedup();
    assert_eq!(count, marked.len(), "each part is marked once");
    assert_eq!(session.step_picture("nonsense"), StepPicture::default());
    assert!(all.parts.iter().all(|p| p.work.len() >= 5));
}

#[test]
fn board_by_board_every_board_has_its_cuts_together() {
    let mut session = planned(DESK);
    let across = bench(&mut session);
    session.order_cuts(true);
    let by_board = bench(&mut session);
    let ticks = |b: &Bench| {
        let mut ticks: Vec<String> = b
            .set_ups
            .iter()
            .flat_map(|s| &s.steps)
            .map(|s| s.tick.clone())
            .collect();
        ticks.sort();
        ticks
    };
    assert_eq!(ticks(&across), ticks(&by_board));
    assert_eq!(across.saves, by_board.saves);
    let mut seen: Vec<CopyOf> = Vec::new();
    for step in by_board.set_ups.iter().flat_map(|s| &s.steps) {
        if seen.last() != Some(&step.board) {
            assert!(!seen.contains(&step.board), "{:?} comes twice", step.board);
            seen.push(step.board.clone());
        }
    }
    let headed = by_board.set_ups.iter().filter(|s| s.board.is_some());
    assert_eq!(headed.count(), seen.len());
    let tick = by_board.next.unwrap();
    assert!(session.tick(&tick).done);
}
