//! The rest of a job, planned after cuts were made or something went wrong: what is gone or in hand is not
//! planned on, what still holds stays, and the plan is as good as one from nothing.

#![allow(clippy::unwrap_used)]

use crate::sample;

use std::cmp::Ordering;

use heartside_app::still_sound::still_sound;
use heartside_geometry::{Point, Vector, clip_half_plane};
use heartside_nest::{Search, Settings, bound_of};
use heartside_testkit::{JobSize, make_cut, workshop_job};
use heartside_timber::document::{Aim, EdgeKind, PartCut, ZoneKind};
use heartside_timber::job::{Job, SideState};
use heartside_timber::plan::{Placement, Plan};
use heartside_timber::prepare::prepare;
use heartside_timber::score::{Score, lexicographic};
use sample::{assert_legal, job, part, plank, rectangle, track_saw, zone};

/// Steps from nothing, and for the rest.
const STEPS: u64 = 600;

fn planned(job: &Job, steps: u64) -> Plan {
    let mut search = Search::new(job, Settings::default()).unwrap();
    search.step(steps);
    assert_legal("planned", job, search.best());
    search.best().clone()
}

/// By parts and timber alone.
fn by_timber(a: &Score, b: &Score) -> Ordering {
    let close = 1e-9 * (a.cost.abs() + b.cost.abs());
    let cost = if (a.cost - b.cost).abs() <= close {
        Ordering::Equal
    } else {
        a.cost.total_cmp(&b.cost)
    };
    lexicographic(&a.missing, &b.missing)
        .then(a.reluctant.total_cmp(&b.reluctant))
        .then(cost)
}

/// Rails for planks, by straight cuts.
fn rails(count: u32, planks: &[&str]) -> Job {
    let mut rail = part("rail", count, rectangle(0.0, 0.0, 400.0, 70.0));
    rail.cut = PartCut::Straight;
    let mut job = job(
        planks.iter().map(|id| plank(id, 1000.0, 190.0)).collect(),
        vec![rail],
    );
    for plank in &mut job.boards {
        plank.cuts = heartside_timber::document::Cuts::Any;
    }
    job.workshop.tools = vec![track_saw()];
    job
}

#[test]
fn what_is_gone_or_in_hand_is_as_if_it_were_not_there() {
    let less = rails(4, &["B"]);
    let mut more = rails(6, &["A", "B"]);
    more.boards[0].gone = vec![1];
    more.parts[0].in_hand = vec![2, 5];
    let (alone, rest) = (planned(&less, STEPS), planned(&more, STEPS));
    let lying = |plan: &Plan| -> Vec<_> {
        let all = plan.layouts.iter().flat_map(|l| &l.placements);
        all.map(|p| (p.at, p.part.clone())).collect()
    };
    assert_eq!(lying(&alone), lying(&rest));
    let mut copies: Vec<u32> = rest.layouts[0].placements.iter().map(|p| p.copy).collect();
    copies.sort_unstable();
    assert_eq!(copies, [1, 3, 4, 6]);
    assert!(rest.unplaced.is_empty());
    assert_eq!(bound_of(&less).value, bound_of(&more).value);
}

#[test]
fn pieces_cost_nothing_and_are_used_before_boards() {
    let mut job = rails(4, &["A", "B"]);
    let line = [Point::new(480.0, 190.0), Point::new(480.0, 0.0)];
    make_cut(&mut job, "A", line, 2.4, EdgeKind::Straight);
    let rest = planned(&job, STEPS);
    let boards: Vec<&str> = rest
        .layouts
        .iter()
        .map(|l| l.board.board.as_str())
        .collect();
    assert_eq!((boards, rest.cost), (vec!["A1", "A2"], 0.0));
    assert!(rest.unplaced.is_empty());
    // The blank of a copy in hand is no stock.
    let holds = Placement {
        part: "rail".into(),
        copy: 1,
        ..Placement::default()
    };
    job.boards[3].from.as_mut().unwrap().holds = Some(holds);
    job.boards[3].from.as_mut().unwrap().measured = true;
    job.parts[0].in_hand = vec![1];
    let mut search = Search::new(&job, Settings::default()).unwrap();
    search.step(STEPS);
    assert!(search.best().layouts.iter().all(|l| l.board.board != "A2"));
    assert_eq!(search.best().placed_count(), 3);
}

/// Where offcuts earn money a large piece is not nicked for what would be left of it.
#[test]
fn the_piece_that_is_kept_whole_is_worth_what_it_is() {
    let mut job = rails(1, &["A"]);
    job.offcut_value = 500.0;
    let line = [Point::new(450.0, 190.0), Point::new(450.0, 0.0)];
    make_cut(&mut job, "A", line, 2.4, EdgeKind::Straight);
    let rest = planned(&job, STEPS);
    assert_eq!(
        rest.layouts[0].board.board, "A1",
        "the smaller piece that takes it"
    );
    assert!(rest.cost >= bound_of(&job).value - 1e-9);
}

/// Boards lie anywhere: pieces keep the coordinates of the board that they came from.
#[test]
fn where_a_piece_lies_in_its_coordinates_changes_nothing() {
    let job = rails(7, &["A", "B"]);
    let mut far = job.clone();
    for (board, by) in far
        .boards
        .iter_mut()
        .zip([(-2048.0, -512.0), (4096.0, 1024.0)])
    {
        board.outline = board.outline.translated(Vector::new(by.0, by.1));
    }
    let (here, there) = (planned(&job, STEPS), planned(&far, STEPS));
    assert_eq!(
        by_timber(&Score::of(&job, &here), &Score::of(&far, &there)),
        Ordering::Equal
    );
    assert_eq!(here.layouts.len(), there.layouts.len());
}

/// A hollow edge is no edge to run along a fence, and needs no trim.
#[test]
fn a_measured_hollow_edge_is_neither_trimmed_nor_relied_on() {
    let mut job = rails(2, &["A"]);
    let side = |kind, is_end| SideState { kind, is_end };
    let points = [
        (0.0, 0.0),
        (250.0, 1.5),
        (500.0, 2.0),
        (750.0, 1.5),
        (1000.0, 0.0),
        (1000.0, 84.0),
        (0.0, 84.0),
    ];
    let piece = &mut job.boards[0];
    piece.outline = sample::polygon(&points);
    piece.sides = vec![side(EdgeKind::Sawn, false); 4];
    piece.sides.extend([
        side(EdgeKind::Straight, true),
        side(EdgeKind::Straight, false),
        side(EdgeKind::Straight, true),
    ]);
    let plan = planned(&job, STEPS);
    assert_eq!(plan.placed_count(), 2);
    // A table saw alone has no fence for the first rip but the straight edge.
    job.workshop.tools[0].guide = heartside_timber::job::Guide::Along;
    job.workshop.tools[0].work_moves = true;
    assert_eq!(planned(&job, STEPS).placed_count(), 2);
    job.boards[0].sides[5].kind = EdgeKind::Sawn;
    assert_eq!(planned(&job, STEPS).placed_count(), 0);
}

/// What a maker meets in the middle of a job.
const DISTURBANCES: [&str; 4] = ["short", "fixing", "one more", "cut"];

/// The job after something happened to the fullest board of a plan.
fn disturbed(job: &Job, plan: &Plan, what: &str) -> Option<Job> {
    let full = plan.layouts.iter().max_by_key(|l| l.placements.len())?;
    let place = job.board_index(&full.board.board)?;
    let mut job = job.clone();
    let bounds = job.boards[place].outline.bounds();
    match what {
        "short" => {
            let end = Point::new(bounds.max.x - 15.0, 0.0);
            let back = Vector::new(-1.0, 0.0);
            let board = &mut job.boards[place];
            let shorter = clip_half_plane(&board.outline, end, back)
                .into_iter()
                .next()?;
            if shorter.outer().points().len() != board.sides.len() {
                return None;
            }
            board.outline = shorter;
        }
        "fixing" => {
            let lying = &full.placements[0];
            let middle = job.part(&lying.part)?.outline.bounds().centre();
            let at = lying.pose().apply(middle);
            let index = job.boards[place].zones.len();
            let mark = rectangle(at.x - 4.0, at.y - 4.0, at.x + 4.0, at.y + 4.0);
            let mut fixing = zone(ZoneKind::Fixing, mark);
            (fixing.index, fixing.margin) = (index, 12.0);
            job.boards[place].zones.push(fixing);
        }
        "one more" => {
            let spoiled = job.part_index(&full.placements[0].part)?;
            job.parts[spoiled].count += 1;
        }
        _ => {
            if job.boards[place].count > 1 {
                return None;
            }
            let x = bounds.min.x + 0.55 * bounds.width();
            let line = [Point::new(x, bounds.max.y), Point::new(x, bounds.min.y)];
            let id = job.boards[place].id.clone();
            make_cut(&mut job, &id, line, 3.2, EdgeKind::Straight);
        }
    }
    Some(job)
}

#[test]
fn the_rest_is_planned_as_well_as_from_nothing_and_moves_nothing_in_vain() {
    let (mut all, mut worse) = (0, Vec::new());
    for seed in 0..6u32 {
        let size = JobSize {
            boards: 4 + seed as usize % 3,
            pieces: 14 + 2 * seed as usize,
            sawn: 15 * (seed as usize % 2),
        };
        let before = prepare(&workshop_job(seed, size)).job;
        let plan = planned(&before, STEPS);
        for what in DISTURBANCES {
            let Some(job) = disturbed(&before, &plan, what) else {
                continue;
            };
            let name = format!("seed {seed}, {what}");
            let earlier = still_sound(&job, &plan);
            let from_nothing = Score::of(&job, &planned(&job, STEPS));
            let rest = Job { earlier, ..job };
            let mut search = Search::new(&rest, Settings::default()).unwrap();
            // Before any step what still holds lies where it lay.
            assert_legal(&name, &rest, search.best());
            let first = search.score().clone();
            assert!(
                rest.earlier.is_empty() || first.moved == Some(0.0),
                "{name}"
            );
            search.step(STEPS);
            assert_legal(&name, &rest, search.best());
            let last = search.score().clone();
            if last.moved > Some(0.0) {
                assert_eq!(
                    by_timber(&last, &first),
                    Ordering::Less,
                    "{name}: moved in vain"
                );
            }
            all += 1;
            if by_timber(&from_nothing, &last).is_lt() {
                worse.push(format!(
                    "{name}: {last:?} and from nothing {from_nothing:?}"
                ));
            }
        }
    }
    assert!(all >= 20, "only {all} were tried");
    assert!(
        20 * worse.len() <= all,
        "{} of {all} are worse: {worse:#?}",
        worse.len()
    );
}

#[test]
fn nothing_moves_but_for_parts_and_timber_whatever_matters_most_to_the_maker() {
    let rest = Score {
        missing: vec![0.0],
        reluctant: 0.0,
        cost: 50.0,
        moved: Some(0.0),
        sizes: 0.0,
        labour: 20.0,
        offcuts: 0.0,
        figure: 0.0,
        figure_worth: 0.0,
    };
    let moved = |cost: f64| Score {
        cost,
        moved: Some(1.0),
        labour: 5.0,
        ..rest.clone()
    };
    for order in [[Aim::Labour, Aim::Timber], [Aim::Timber, Aim::Labour]] {
        assert!(rest.better_than(&moved(50.0), &order));
        assert!(moved(40.0).better_than(&rest, &order));
    }
    // Elsewhere the maker's order is all there is.
    let [here, there] = [rest.clone(), moved(50.0)].map(|s| Score { moved: None, ..s });
    assert!(there.better_than(&here, &[Aim::Timber, Aim::Labour]));
}

/// Two planks full of rails whose numbers no engine would deal so, and a third that costs less than both.
#[test]
fn copies_keep_their_numbers_where_they_stay() {
    let mut job = rails(8, &["A", "B"]);
    let plan = planned(&job, STEPS);
    assert!(plan.unplaced.is_empty());
    let mut earlier = plan.layouts.clone();
    let numbers = [7, 2, 5, 8, 1, 6, 3, 4];
    let all = earlier.iter_mut().flat_map(|l| &mut l.placements);
    for (placement, number) in all.zip(numbers) {
        placement.copy = number;
    }
    // The third and one of the two are better than both.
    job.boards.push(plank("C", 1000.0, 190.0));
    job.boards[2].cost = 1.0;
    let before = earlier.clone();
    let mut search = Search::new(&Job { earlier, ..job }, Settings::default()).unwrap();
    search.step(STEPS);
    let layouts = &search.best().layouts;
    assert_eq!((layouts.len(), search.best().cost), (2, 21.0));
    let stays = layouts.iter().find(|l| l.board.board != "C").unwrap();
    let before = before.iter().find(|l| l.board == stays.board).unwrap();
    let lay_there = |p: &&Placement| before.placements.iter().any(|b| b.at == p.at);
    let alike: Vec<&Placement> = stays.placements.iter().filter(lay_there).collect();
    assert!(!alike.is_empty(), "{stays:?} and before {before:?}");
    assert!(
        alike.iter().all(|p| before.placements.contains(p)),
        "{stays:?} and before {before:?}"
    );
}
