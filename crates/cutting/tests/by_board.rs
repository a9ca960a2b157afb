//! The cuts of one board after the other, and the work after the saw.

use heartside_cutting::{Step, steps, steps_by_board, work_after_saw};
use heartside_testkit::{CutApart, JobSize, Outfit, cut_apart, workshop_job};
use heartside_timber::length::write_length;
use heartside_timber::prepare::prepare;

fn named(step: &Step) -> (String, u32, Option<usize>, Option<usize>) {
    let board = &step.board;
    (board.board.clone(), board.copy, step.node, step.placement)
}

#[test]
fn board_by_board_the_same_cuts_come_in_an_order_that_can_be_made() {
    let mut differs = 0;
    for seed in 1..12 {
        let wanted = CutApart {
            boards: 2 + seed as usize % 5,
            outfit: Some(Outfit::Sensible),
            ..CutApart::default()
        };
        let document = cut_apart(seed, wanted);
        let job = prepare(&document).job;
        let plan = document.plan.as_ref().unwrap();
        let (across, by_board) = (steps(&job, plan), steps_by_board(&job, plan));
        let sorted = |steps: &[Step]| {
            let mut names: Vec<_> = steps.iter().map(named).collect();
            names.sort();
            names
        };
        assert_eq!(sorted(&across), sorted(&by_board), "seed {seed}");
        differs += usize::from(across.iter().map(named).ne(by_board.iter().map(named)));
        let mut boards = Vec::new();
        for (place, step) in by_board.iter().enumerate() {
            assert_eq!(step.number as usize, place + 1);
            if boards.last() != Some(&step.board) {
                assert!(!boards.contains(&step.board), "a board comes once");
                boards.push(step.board.clone());
            }
            let given = |earlier: &Step| {
                earlier.board == step.board && earlier.yields.iter().any(|y| y.node == step.node)
            };
            assert!(
                step.node == Some(0) || by_board[..place].iter().any(given),
                "seed {seed}: {} is cut before it is there",
                step.workpiece
            );
        }
    }
    assert!(differs > 3, "the orders differ: {differs}");
}

#[test]
fn the_work_after_the_saw_names_every_finished_size() {
    let size = JobSize {
        boards: 4,
        pieces: 40,
        sawn: 40,
    };
    for seed in 0..4 {
        let job = prepare(&workshop_job(seed, size)).job;
        for part in &job.parts {
            let work = work_after_saw(&job, part);
            let all = work.join(" ");
            let bounds = part.outline.bounds();
            for mm in [part.thickness, bounds.height()] {
                let shown = write_length(mm, &job.units);
                assert!(all.contains(&shown), "{}: no {shown} in {all}", part.name);
            }
            assert!(
                work[0].contains("settle")
                    && work.iter().all(|w| w.ends_with('.') || w.ends_with(")."))
            );
        }
    }
}
