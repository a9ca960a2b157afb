//! Whatever the search returns, the independent checker accepts.

use crate::sample;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit as testkit;
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;
use sample::assert_legal;

#[test]
fn plans_of_workshop_jobs_are_legal() {
    for seed in 0..24 {
        let size = testkit::JobSize {
            boards: 3 + seed as usize % 5,
            pieces: 6 + 3 * (seed as usize % 9),
            sawn: 15,
        };
        let mut document = testkit::workshop_job(seed, size);
        if seed % 3 > 0 {
            testkit::fit_out(&mut document, seed, testkit::Outfit::Sensible);
        }
        let job = prepare(&document).job;
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                way: WayWanted::Straight,
                ..Settings::default()
            },
        )
        .unwrap();
        for _ in 0..4 {
            search.step(400);
            assert_legal(&format!("workshop job {seed}"), &job, search.best());
        }
        assert!(search.best().placed_count() > 0);
    }
}

#[test]
fn plans_of_boards_cut_apart_are_legal() {
    for seed in 0..16 {
        let wanted = testkit::CutApart {
            outfit: (seed % 2 == 1).then_some(testkit::Outfit::Sensible),
            ..testkit::CutApart::default()
        };
        let mut document = testkit::cut_apart(seed, wanted);
        document.pins.clear();
        let job = prepare(&document).job;
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                way: WayWanted::Straight,
                ..Settings::default()
            },
        )
        .unwrap();
        search.step(1500);
        assert_legal(&format!("boards cut apart {seed}"), &job, search.best());
    }
}

#[test]
fn plans_of_the_demo_jobs_are_legal() {
    let fixtures = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures");
    for name in [
        "writing-desk",
        "writing-desk-inches",
        "step-stool",
        "bench-that-does-not-fit",
    ] {
        let text = std::fs::read_to_string(format!("{fixtures}/{name}.heartside.json")).unwrap();
        let document = serde_json::from_str(&text).unwrap();
        let job = prepare(&document).job;
        for way in [WayWanted::Straight, WayWanted::AsJob] {
            let mut search = Search::new(
                &job,
                Settings {
                    way,
                    ..Settings::default()
                },
            )
            .unwrap();
            search.step(3000);
            assert_legal(name, &job, search.best());
        }
    }
}

/// A planed board that two tapered legs only share head to tail, or none at all.
#[allow(clippy::unwrap_used)]
fn legs_on_a_board(width: f64) -> Job {
    let text = serde_json::json!({
        "format": "heartside-job",
        "version": 1,
        "workshop": {
            "tools": [{ "name": "Saw", "does": ["rip", "crosscut"], "kerf": 3, "can_skim": true }],
            "fallback_kerf": { "rip": 3, "crosscut": 3, "sawn": 3 }
        },
        "allowances": { "end": 0, "edge": 0, "sawn": 1, "planing": 0, "clean_up": 0 },
        "boards": [{
            "id": "A", "thickness": 40, "surface": "planed",
            "outline": {
                "form": "tape", "length": 720, "stations": [{ "at": 0, "left": 0, "right": width }, { "at": 720, "left": 0, "right": width }],
                "left": "straight", "right": "straight", "start": "straight", "end": "straight"
            },
            "grain": { "angle": 0 }
        }],
        "parts": [{
            "id": "leg", "count": 2, "thickness": 40, "cut": "sawn",
            "shape": { "form": "taper", "length": 700, "start_width": 60, "end_width": 30 },
            "grain": { "axis": "along", "tolerance": 2 }
        }]
    });
    let opened = heartside_timber::document::Document::open(&text.to_string()).unwrap();
    let prepared = prepare(&opened.document);
    assert_eq!(prepared.job.parts.len(), 1, "{:#?}", prepared.diagnostics);
    assert_eq!(prepared.job.boards.len(), 1, "{:#?}", prepared.diagnostics);
    prepared.job
}

#[test]
fn tapered_legs_share_a_rectangle_head_to_tail() {
    let settings = Settings {
        way: WayWanted::Straight,
        ..Settings::default()
    };
    // Side by side they need 62 + 3 + 62; head to tail little more than 60 + 30 + 2 + 3 square
    // to the slope. Half a millimetre less than what geometry asks for must not be enough.
    let slope: f64 = 30.0 / 700.0;
    let least = 90.0 + (3.0 + 2.0) * (1.0 + slope * slope).sqrt() + 2.0;
    for (width, fit) in [(least + 0.1, 2), (least - 0.5, 1)] {
        let job = legs_on_a_board(width);
        let mut search = Search::new(&job, settings).unwrap();
        search.step(2_000);
        assert_legal("legs head to tail", &job, search.best());
        assert_eq!(search.best().placed_count(), fit, "on a board {width} wide");
    }
}
