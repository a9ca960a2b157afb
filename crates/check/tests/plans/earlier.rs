//! What still holds of a plan after an edit of the job.

use std::collections::BTreeSet;

use heartside_check::{check, still_sound};
use heartside_testkit::{CutApart, Outfit, cut_apart};
use heartside_timber::finding::Severity;
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::prepare::prepare;
use proptest::prelude::*;

use crate::scenes::{busy_job, busy_plan, put};

/// Broken rules that are said of the boards laid out; what waits for a place, a pinned part even, is said of others.
fn broken_on_boards(job: &heartside_timber::job::Job, layouts: &[Layout]) -> usize {
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_lay_there_what_is_kept_is_sound(puts in prop::collection::vec(put(), 0..12)) {
        let (job, plan) = (busy_job(), busy_plan(&puts));
        let kept = still_sound(&job, &plan);
        prop_assert_eq!(broken_on_boards(&job, &kept), 0);
        let known: BTreeSet<String> = plan
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
