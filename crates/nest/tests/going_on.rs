//! A search that goes on from a plan made before, by hand or for a harder job, is never worse than that plan.

use crate::sample;

use heartside_geometry::math::sin_cos_deg;
use heartside_nest::{Search, Settings, TreeResult, tree_for};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{Layout, Placed, Placement, Plan, Way};
use heartside_timber::score::Score;
use sample::{assert_legal, job, part, plank, rectangle, track_saw};

/// Two planks and four rails, each plank wide enough for two of them side by side or one askew.
fn rails() -> Job {
    let mut rail = part("rail", 4, rectangle(0.0, 0.0, 900.0, 70.0));
    rail.cut = PartCut::Straight;
    let mut job = job(
        vec![plank("A", 1000.0, 190.0), plank("B", 1000.0, 190.0)],
        vec![rail],
    );
    for plank in &mut job.boards {
        plank.cuts = heartside_timber::document::Cuts::Any;
    }
    job.workshop.tools = vec![track_saw()];
    job
}

/// A rail laid on plank A by hand, turned by an angle that no engine thinks of, with its order of cuts.
#[allow(clippy::unwrap_used)]
fn laid_askew(job: &Job, turn: f64) -> Layout {
    let (sine, _) = sin_cos_deg(turn);
    let placements = vec![Placement {
        part: "rail".into(),
        copy: 1,
        at: Placed {
            x: job.snap(40.0),
            y: job.snap(30.0 + (900.0 * -sine).max(0.0)),
            turn,
            turned_over: false,
        },
        ..Placement::default()
    }];
    let TreeResult::Tree(tree, frame) = tree_for(job, 0, &placements, 10_000) else {
        panic!("one rail can be cut free");
    };
    Layout {
        board: BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        way: Way::Straight,
        frame,
        placements,
        cuts: Some(tree),
    }
}

#[test]
fn boards_that_lie_empty_are_used_when_going_on_from_a_plan_made_by_hand() {
    for turn in [0.0, 1.3, -2.1] {
        let job = rails();
        let layout = laid_askew(&job, turn);
        let mut search = Search::new(&job, Settings::default()).unwrap();
        assert!(search.go_on_from(vec![layout]), "turned by {turn}");
        // Not time enough to begin anew: what waits is laid beside what lies there.
        search.step(12);
        assert_legal("going on by hand", &job, search.best());
        assert!(search.best().placed_count() >= 3, "turned by {turn}");
        search.step(2_000);
        assert_legal("going on by hand", &job, search.best());
        assert_eq!(search.best().placed_count(), 4, "turned by {turn}");
    }
}

/// The plan of a job, still valid for the same job with more boards, is where that one's search begins.
#[test]
fn going_on_from_the_plan_of_a_harder_job_is_never_worse() {
    for seed in 0..12u32 {
        let size = heartside_testkit::JobSize {
            boards: 3 + seed as usize % 3,
            pieces: 10 + seed as usize,
            sawn: 15 * (seed as usize % 2),
        };
        let document = heartside_testkit::workshop_job(seed, size);
        let easier = heartside_timber::prepare::prepare(&document).job;
        let mut harder = easier.clone();
        harder.boards.pop();
        let mut search = Search::new(&harder, Settings::default()).unwrap();
        search.step(1_000);
        let plan: Plan = search.best().clone();
        let before = Score::of(&easier, &plan);
        let mut search = Search::new(&easier, Settings::default()).unwrap();
        let taken = search.go_on_from(plan.layouts.clone());
        for _ in 0..3 {
            assert_legal("going on", &easier, search.best());
            let is_worse = before.better_than(search.score(), &easier.order);
            assert!(!is_worse, "seed {seed}, taken: {taken}");
            search.step(150);
        }
    }
}

/// Sawn parts that no straight cut parts share a piece only where the saw that follows a line fits between them.
#[test]
fn parts_share_a_piece_only_where_a_line_can_be_sawn_between_them() {
    let bracket = part("bracket", 2, rectangle(0.0, 0.0, 400.0, 60.0));
    let mut job = job(vec![plank("A", 1000.0, 190.0)], vec![bracket]);
    job.boards[0].cuts = heartside_timber::document::Cuts::Any;
    // A rip would need more than there is between them.
    job.workshop.tools = vec![track_saw()];
    job.workshop.tools[0].kerf = 8.0;
    job.workshop.sawn_kerf = 1.8;
    let radius = heartside_timber::blank::Blank::of(&job.parts[0]).radius;
    for (gap, shared) in [(1.7, false), (1.9, true)] {
        let place = |copy: u32, y: f64| Placement {
            part: "bracket".into(),
            copy,
            at: Placed {
                x: 300.0,
                y,
                ..Placed::default()
            },
            ..Placement::default()
        };
        let low = 25.0;
        let placements = vec![place(1, low), place(2, low + 60.0 + 2.0 * radius + gap)];
        let found = tree_for(&job, 0, &placements, 10_000);
        let is_shared = matches!(found, TreeResult::Tree(..));
        assert_eq!(is_shared, shared, "{gap} between them: {found:?}");
    }
}

/// The engines keep a board to one line of reference: a plan that turns pieces stays as it is, or gives
/// way to one that places as much.
#[test]
fn a_plan_with_pieces_turned_is_kept_or_planned_anew() {
    let (mut kept, mut anew) = (0, 0);
    for seed in 0..16u32 {
        let document = heartside_testkit::askew_apart(seed, 2);
        let mut job = heartside_timber::prepare::prepare(&document).job;
        let layouts = document.plan.unwrap_or_default().layouts;
        let nodes = |l: &Layout| l.cuts.clone().unwrap_or_default().nodes;
        let is_square =
            |l: &Layout| (nodes(l).iter()).all(|n| n.cut().is_none_or(|cut| cut.angle == 0.0));
        // Half of it is there already, as after a cut; the other half is to be found.
        job.earlier = vec![layouts[0].clone()];
        let count = layouts[0].placements.len();
        let mut search = Search::new(&job, Settings::default()).unwrap();
        for steps in [0, 1, 60, 400] {
            search.step(steps);
            assert_legal("pieces turned", &job, search.best());
            assert!(
                search.best().placed_count() >= count,
                "seed {seed}, {steps} steps"
            );
        }
        match search.best().layouts.iter().all(is_square) {
            true => anew += 1,
            false => kept += 1,
        }
    }
    assert!(kept > 0, "{kept} kept, {anew} planned anew");
}
