//! Strips of parts sawn by line are squeezed, and the independent checker accepts what comes of it.

use crate::sample;

use heartside_geometry::Tolerance;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_timber::document::EdgeKind;
use heartside_timber::job::{Board, Goal, GrainRule, Job, Part};
use heartside_timber::plan::Way;
use heartside_timber::score::strip_length;
use heartside_trials::ENGINES;
use sample::{assert_legal, band_saw, board, part, polygon, rectangle, set_kerf_of_lines};

fn search(job: &Job, seed: u32) -> Search {
    let settings = Settings {
        seed,
        way: WayWanted::Sawn,
        beside: ENGINES,
        ..Settings::default()
    };
    Search::new(job, settings).expect("worker 0 of 1 exists")
}

/// A job for a band saw alone.
fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    let mut job = sample::job(boards, parts);
    job.workshop.tools = vec![band_saw()];
    job.workshop.min_offcut = (300.0, 50.0);
    job
}

#[test]
fn a_strip_of_parts_of_a_thousand_corners_is_laid_and_squeezed() {
    let mut strip = board("1", rectangle(0.0, 0.0, 4000.0, 300.0));
    for side in &mut strip.sides {
        side.kind = EdgeKind::Straight;
    }
    // Flowers of five and of eleven leaves, laid without any allowance.
    let flower = |id: &str, leaves: f64| {
        let points: Vec<(f64, f64)> = (0..1000)
            .map(|k| {
                let turn = heartside_geometry::math::sin_cos_deg;
                let (s, c) = turn(0.36 * f64::from(k));
                let r = 60.0 + 12.0 * turn(0.36 * leaves * f64::from(k)).0;
                (r * c, r * s)
            })
            .collect();
        let outline = polygon(&points);
        let low = outline.bounds().min;
        let back = heartside_geometry::Pose::new(-low.x, -low.y, 0.0);
        let mut flower = part(id, 6, back.apply_region(&outline));
        flower.grain = GrainRule::Turns(vec![0.0, 90.0]);
        flower.allowances.sawn = 0.0;
        flower.may_turn_over = false;
        flower
    };
    let mut job = job(
        vec![strip],
        vec![flower("five", 5.0), flower("eleven", 11.0)],
    );
    job.goal = Goal::StripLength;
    job.tolerance = Tolerance::instance(4000.0);
    set_kerf_of_lines(&mut job, 0.0);
    let mut search = search(&job, 1);
    // A piece a step.
    search.step(12);
    assert_eq!(search.best().placed_count(), 12);
    let first = strip_length(&job, search.best());
    search.step(600);
    assert_legal("flowers in a strip", &job, search.best());
    let length = strip_length(&job, search.best());
    assert!(length < 0.99 * first, "{length} is hardly below {first}");
}

#[test]
fn a_strip_is_squeezed_and_exact_contact_is_allowed() {
    // Eight right triangles make four squares, side by side: nothing shorter exists.
    let mut strip = board("1", rectangle(0.0, 0.0, 2000.0, 100.0));
    for side in &mut strip.sides {
        side.kind = EdgeKind::Straight;
    }
    let mut triangle = part("t", 8, polygon(&[(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]));
    triangle.grain = GrainRule::Turns(vec![0.0, 180.0]);
    triangle.allowances.sawn = 0.0;
    triangle.may_turn_over = false;
    let mut job = job(vec![strip], vec![triangle]);
    job.goal = Goal::StripLength;
    job.tolerance = Tolerance::instance(2000.0);
    set_kerf_of_lines(&mut job, 0.0);
    let mut search = search(&job, 1);
    search.step(3000);
    assert_legal("triangles", &job, search.best());
    let length = strip_length(&job, search.best());
    assert!(
        length < 402.0,
        "{length}: within half a per cent of the shortest, 400"
    );
    assert!(search.best().layouts.iter().all(|l| l.way == Way::Sawn));
}
