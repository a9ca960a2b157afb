//! The hidden plan is whole, sound and wastes what was asked.

use heartside_check::check;
use heartside_timber::finding::{Severity, is_sound};
use heartside_timber::job::{Board, Job};
use heartside_timber::prepare::prepare;

use super::*;

/// The job, its plan, and nothing to complain of in either.
fn sound(seed: u32, wanted: SawnCutApart) -> (Job, Plan) {
    let document = sawn_cut_apart(seed, wanted);
    let prepared = prepare(&document);
    assert_eq!(prepared.diagnostics, [], "seed {seed}");
    let plan = document.plan.expect("the generator gives its plan");
    let found = check(&prepared.job, &plan);
    assert!(
        is_sound(&found) && found.iter().all(|f| f.severity != Severity::Broken),
        "seed {seed}: {found:#?}"
    );
    (prepared.job, plan)
}

#[test]
fn the_hidden_plan_is_whole_and_obeys_every_rule() {
    let (mut hollow, mut end_for_end, mut tilted, mut knots) = (0, 0, 0, 0);
    for seed in 0..60 {
        let boards = 1 + seed as usize % 4;
        let wanted = SawnCutApart {
            boards,
            parts: boards * (3 + seed as usize % 6),
            ..SawnCutApart::default()
        };
        let (job, plan) = sound(seed, wanted);
        assert_eq!(job.boards.len(), boards);
        assert_eq!(job.parts.len(), wanted.parts, "seed {seed}");
        assert_eq!(plan.placed_count(), wanted.parts);
        for part in &job.parts {
            let corners = part.outline.outer().points();
            assert!(CORNERS.contains(&corners.len()), "seed {seed}");
            hollow += usize::from(has_hollow(corners));
        }
        for layout in &plan.layouts {
            let board = job.board(&layout.board.board).unwrap();
            assert!(layout.placements.len() >= 3);
            knots += board.zones.len();
            for placement in &layout.placements {
                let off = (placement.at.turn - board.grain.base_angle()).abs();
                end_for_end += usize::from(off > 90.0);
                tilted += usize::from((off % 180.0 - 90.0).abs() < 89.0);
            }
        }
    }
    assert!(hollow > 100, "{hollow} hollow parts");
    assert!(end_for_end > 100, "{end_for_end} lie end for end");
    assert!(tilted > 100, "{tilted} lie tilted");
    assert!(knots > 100, "{knots} knots");
}

fn has_hollow(corners: &[Point]) -> bool {
    let n = corners.len();
    (0..n).any(|k| {
        let (a, b, c) = (corners[k], corners[(k + 1) % n], corners[(k + 2) % n]);
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) < -1.0
    })
}

#[test]
fn the_tolerance_is_kept_whatever_it_is() {
    for (seed, tolerance) in [(0, 0.0), (1, 0.5), (2, 15.0), (3, 0.0)] {
        let wanted = SawnCutApart {
            tolerance,
            ..SawnCutApart::default()
        };
        let (job, plan) = sound(seed, wanted);
        assert_eq!(plan.placed_count(), 12);
        let rule = heartside_timber::job::GrainRule::Axis {
            across: false,
            tolerance,
        };
        assert!(job.parts.iter().all(|part| part.grain == rule));
    }
}

#[test]
fn forty_parts_lie_on_six_boards() {
    for seed in 0..10 {
        let wanted = SawnCutApart {
            boards: 6,
            parts: 40,
            ..SawnCutApart::default()
        };
        let (job, plan) = sound(seed, wanted);
        assert_eq!((job.boards.len(), plan.placed_count()), (6, 40));
        let each = plan.layouts.iter().map(|l| l.placements.len());
        assert!(each.clone().all(|n| n == 6 || n == 7), "{each:?}");
    }
}

#[test]
fn a_seed_gives_one_document() {
    let text = |seed| sawn_cut_apart(seed, SawnCutApart::default()).save();
    assert_eq!(text(7), text(7));
    assert_ne!(text(7), text(8));
}

#[test]
fn so_many_parts_that_no_board_takes_them_are_fewer() {
    let wanted = SawnCutApart {
        boards: 1,
        parts: 40,
        ..SawnCutApart::default()
    };
    let (job, plan) = sound(0, wanted);
    assert!(plan.placed_count() > 10 && plan.placed_count() < 40);
    assert_eq!(job.parts.len(), plan.placed_count());
}

/// Measured anew from the job and the plan alone, at the points of a grid.
#[test]
fn the_waste_has_its_share_on_every_board() {
    for (seed, parts) in [(0, 3), (1, 5), (2, 7), (3, 8), (4, 6), (5, 4)] {
        let wanted = SawnCutApart {
            boards: 2,
            parts: 2 * parts,
            ..SawnCutApart::default()
        };
        let (job, plan) = sound(seed, wanted);
        for layout in &plan.layouts {
            let board = job.board(&layout.board.board).unwrap();
            let blanks = layout.placements.iter().map(|placement| {
                let part = job.part(&placement.part).unwrap();
                placement.pose().apply_region(&part.outline)
            });
            let share = 100.0 * waste_share(&job, board, &blanks.collect::<Vec<_>>());
            assert!((9.0..=15.0).contains(&share), "seed {seed}: {share} %");
        }
    }
}

/// Of the points clear of the trims, the share that is farther than half a kerf from every blank.
fn waste_share(job: &Job, board: &Board, finished: &[Region]) -> f64 {
    let reach = SAWN_ALLOWANCE + 0.5 * job.workshop.sawn_kerf;
    let bounds = board.outline.bounds();
    let near = |region: &Region, p: Point, by: f64| {
        region.bounds().grown(by).contains(p)
            && (region.contains(p)
                || region
                    .edges()
                    .any(|(a, b)| p.distance_to_segment(a, b) <= by))
    };
    let is_clear = |p: Point| {
        let mut sides = board.outline.outer().edges().zip(&board.sides);
        board.outline.contains(p)
            && sides.all(|((a, b), side)| p.distance_to_segment(a, b) >= side.trim(&job.workshop))
    };
    let (mut clear, mut waste) = (0.0, 0.0);
    let (columns, rows) = (bounds.width() / 3.0, bounds.height() / 3.0);
    for column in 0..columns as u32 {
        for row in 0..rows as u32 {
            let p = Point {
                x: bounds.min.x + 3.0 * (f64::from(column) + 0.5),
                y: bounds.min.y + 3.0 * (f64::from(row) + 0.5),
            };
            if is_clear(p) {
                clear += 1.0;
                if !finished.iter().any(|f| near(f, p, reach)) {
                    waste += 1.0;
                }
            }
        }
    }
    waste / clear
}
