//! Boards that are not square to themselves: the saw follows a true edge.

use heartside_check::check;
use heartside_geometry::{Point, Region, Ring};
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit as testkit;
use heartside_timber::document::EdgeKind;
use heartside_timber::finding::Severity;
use heartside_timber::grain::GrainField;
use heartside_timber::job::{Job, SideState};
use heartside_timber::prepare::prepare;

/// A job whose boards are slanted by a few degrees: one long edge straight, the other raw.
fn slanted(seed: u32) -> Job {
    let size = testkit::JobSize {
        boards: 4,
        pieces: 14,
        sawn: 10,
    };
    let mut job = prepare(&testkit::workshop_job(seed, size)).job;
    for (k, board) in job.boards.iter_mut().enumerate() {
        let (length, rise) = (1900.0 + 130.0 * k as f64, 61.7 + 11.3 * k as f64);
        let corners = [
            (0.0, 0.0),
            (length, rise),
            (length - 7.3, rise + 176.6),
            (900.0, 231.1),
            (3.1, 214.9),
        ];
        let ring = Ring::new(corners.iter().map(|c| Point { x: c.0, y: c.1 }).collect())
            .expect("five corners of a simple outline");
        board.outline = Region::from_ring(ring);
        board.sides = board
            .outline
            .outer()
            .edges()
            .map(|(a, b)| SideState {
                kind: if b.x > a.x {
                    EdgeKind::Straight
                } else {
                    EdgeKind::Raw
                },
                is_end: (b.y - a.y).abs() > (b.x - a.x).abs(),
            })
            .collect();
        board.zones.truncate(1);
        board.grain = GrainField::straight(1.0);
    }
    job
}

#[test]
fn cuts_follow_the_true_edge() {
    for seed in 0..12 {
        let job = slanted(seed);
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                way: WayWanted::Straight,
                ..Settings::default()
            },
        )
        .unwrap();
        for _ in 0..3 {
            search.step(500);
            let found = check(&job, search.best());
            let broken: Vec<_> = found
                .iter()
                .filter(|f| f.severity == Severity::Broken)
                .collect();
            assert!(broken.is_empty(), "job {seed}: {broken:#?}");
        }
        assert!(search.best().placed_count() > 8);
        assert!(search.best().layouts.iter().any(|l| l.frame.angle != 0.0));
    }
}
