//! What still holds of a plan after an edit of the job.

use heartside_geometry::SortedSet;

use heartside_check::check;
use heartside_testkit::{CutApart, Outfit, cut_apart};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::Severity;
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::{Layout, Placed, Plan, Way};
use heartside_timber::prepare::prepare;
use proptest::prelude::*;

use crate::still_sound::still_sound;

/// Broken rules that are said of the boards laid out; what waits for a place, a pinned part even, is said of others.
fn broken_on_boards(job: &Job, layouts: &[Layout]) -> usize {
    let plan = Plan {
        layouts: layouts.to_vec(),
        ..Plan::default()
    };
    let found = check(job, &plan);
    let said = |f: &&heartside_timber::finding::Finding| {
        let here = layouts.iter().any(|l| Some(&l.board) == f.board.as_ref());
        f.severity == Severity::Broken && here
    };
    found.iter().filter(said).count()
}

/// A placement thrown somewhere: which, by number, onto which board, and where. Things that the
/// job does not know are rare.
type Throw = (usize, usize, Placed, u32);

fn throw() -> impl Strategy<Value = Throw> {
    let turns = prop_oneof![Just(0.0), Just(90.0), Just(180.0), -6.0..6.0f64];
    let at = (-20.0..2_000.0f64, -150.0..150.0f64, turns, any::<bool>());
    let at = at.prop_map(|(x, y, turn, turned_over)| Placed {
        x,
        y,
        turn,
        turned_over,
    });
    (0usize..40, 0usize..5, at, 0u32..24)
}

/// A job cut apart, with a pin, and its plan after some of the parts were thrown about.
fn thrown_about(seed: u32, throws: &[Throw]) -> (Job, Plan) {
    let document = cut_apart(
        seed,
        CutApart {
            boards: 4,
            ..CutApart::default()
        },
    );
    let mut job = prepare(&document).job;
    let mut plan = document.plan.unwrap_or_default();
    let first = &plan.layouts[0];
    job.pins.push(Pin {
        part: first.placements[0].part_copy(),
        board: first.board.clone(),
        at: first.placements[0].at,
    });
    for (which, board, at, odd) in throws {
        let count = plan.placed_count();
        let mut all = plan.layouts.iter_mut().flat_map(|l| &mut l.placements);
        let Some(placement) = all.nth(which % count.max(1)) else {
            break;
        };
        let mut thrown = placement.clone();
        if which % 2 == 0 {
            // It leaves its place; else it lies in two.
            let of = placement.part_copy();
            for layout in &mut plan.layouts {
                layout.placements.retain(|p| p.part_copy() != of);
            }
        }
        thrown.at = *at;
        match odd {
            0 => thrown.part = "ghost".into(),
            1 => thrown.copy = 0,
            _ => {}
        }
        let board = match job.boards.get(*board) {
            Some(board) => BoardCopy {
                board: board.id.clone(),
                copy: 1,
            },
            None => BoardCopy {
                board: "gone".into(),
                copy: 1,
            },
        };
        match plan.layouts.iter_mut().find(|l| l.board == board) {
            Some(layout) => {
                layout.placements.push(thrown);
                layout.cuts = None;
                layout.way = Way::Sawn;
            }
            None => plan.layouts.push(Layout {
                board,
                way: Way::Sawn,
                frame: Default::default(),
                placements: vec![thrown],
                cuts: None,
            }),
        }
    }
    (job, plan)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_lay_there_what_is_kept_is_sound(
        seed in 0u32..40,
        throws in prop::collection::vec(throw(), 0..12),
    ) {
        let (job, plan) = thrown_about(seed, &throws);
        let kept = still_sound(&job, &plan);
        prop_assert_eq!(broken_on_boards(&job, &kept), 0);
        let known: SortedSet<String> = plan
            .layouts
            .iter()
            .flat_map(|l| l.placements.iter().map(|p| format!("{:?} {:?}", l.board, p)))
            .collect();
        for layout in &kept {
            for placement in &layout.placements {
                let lies = format!("{:?} {:?}", layout.board, placement);
                prop_assert!(known.contains(&lies), "{} was moved", lies);
            }
        }
    }

    #[test]
    fn an_edit_of_one_part_takes_no_other_away(seed in 0u32..200, wider in 3.0f64..9.0) {
        let wanted = CutApart {
            outfit: (seed % 2 == 1).then_some(Outfit::Sensible),
            ..CutApart::default()
        };
        let document = cut_apart(seed, wanted);
        let mut job = prepare(&document).job;
        let plan = document.plan.unwrap_or_default();
        prop_assert_eq!(&still_sound(&job, &plan), &plan.layouts, "a sound plan is kept as it is");
        let changed = seed as usize % job.parts.len();
        let part = &mut job.parts[changed];
        part.allowances.edge += wider;
        let id = part.id.clone();
        let kept = still_sound(&job, &plan);
        prop_assert_eq!(broken_on_boards(&job, &kept), 0);
        let (mut others, mut left) = (0, 0);
        for placement in plan.layouts.iter().flat_map(|l| &l.placements) {
            others += usize::from(placement.part != id);
        }
        for placement in kept.iter().flat_map(|l| &l.placements) {
            prop_assert!(placement.part != id, "the wider part cannot lie where it lay");
            left += usize::from(placement.part != id);
        }
        prop_assert_eq!(left, others);
    }
}
