//! Panels as they are glued up: sound XML, true measure, labels apart, the mark over every joint.

#![allow(clippy::unwrap_used)]

use crate::svg_read;

use heartside_drawing::{
    Drawing, FaceShown, Options, Paper, assembled, assembled_svg, sheets, staves_seen,
};
use heartside_timber::document::{Document, HeartSide, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Placed, Placement, Plan};
use heartside_timber::prepare::prepare;
use svg_read::read;

fn job(width: f64, widest: f64) -> Job {
    let text = format!(
        r#"{{"format": "heartside-job", "version": 1, "title": "Small table", "units": {{"length": "mm"}},
        "boards": [{{"id": "A", "thickness": 40, "count": 9, "heart_side": "up", "outline": {{"form": "tape",
            "length": 2000, "stations": [{{"at": 0, "left": 150, "right": 150}}]}}}}],
        "parts": [{{"id": "top", "name": "Top of the \"small\" <table>", "count": 2, "thickness": 20,
            "shape": {{"form": "rectangle", "length": 1200, "width": {width}}}}}],
        "panels": [{{"part": "top", "max_width": {widest}, "joint": 6}}]}}"#
    );
    let document = Document::open(&text).unwrap().document;
    prepare(&document).job
}

fn top(copy: u32) -> PartCopy {
    PartCopy {
        part: "top".into(),
        copy,
    }
}

/// The first two staves of the first panel lie on the first board, the second of them turned over.
fn plan() -> Plan {
    let placements = [1, 2].map(|number| Placement {
        part: format!("top..1.{number}"),
        copy: 1,
        at: Placed {
            x: 30.0,
            y: if number == 1 { -140.0 } else { 140.0 },
            turned_over: number == 2,
            ..Placed::default()
        },
        ..Placement::default()
    });
    Plan {
        layouts: vec![Layout {
            board: heartside_timber::document::BoardCopy {
                board: "A".into(),
                copy: 1,
            },
            placements: placements.to_vec(),
            way: heartside_timber::plan::Way::Straight,
            frame: Default::default(),
            cuts: None,
        }],
        ..Plan::default()
    }
}

fn drawings(job: &Job) -> Vec<Drawing> {
    let of = |copy| assembled_svg(job, &plan(), &top(copy), false, &Options::default()).unwrap();
    let mut all = vec![of(1), of(2)];
    for paper in [Paper::A4, Paper::Letter] {
        let pages = sheets(job, &plan(), &[], paper, &Options::default());
        all.extend(pages.into_iter().filter(|p| p.title.contains("glued up")));
    }
    all
}

#[test]
fn every_panel_is_a_drawing_and_a_page_and_no_labels_overlap() {
    for (width, widest) in [(400.0, 140.0), (1000.0, 60.0), (90.0, 60.0), (600.0, 300.0)] {
        let job = job(width, widest);
        let all = drawings(&job);
        assert_eq!(all.len(), 6);
        for drawing in all {
            let (_, ids) = read(&drawing.svg);
            let staves = ids.iter().filter(|id| id.starts_with("stave-")).count();
            assert!(staves >= 2, "{}", drawing.name);
            for (place, a) in drawing.labels.iter().enumerate() {
                for b in &drawing.labels[..place] {
                    let apart = a.min.x >= b.max.x - 1e-6
                        || b.min.x >= a.max.x - 1e-6
                        || a.min.y >= b.max.y - 1e-6
                        || b.min.y >= a.max.y - 1e-6;
                    assert!(apart, "{} at {width}: {a:?} and {b:?}", drawing.name);
                }
            }
        }
    }
    assert!(
        assembled_svg(
            &job(400.0, 140.0),
            &plan(),
            &top(3),
            false,
            &Options::default()
        )
        .is_none()
    );
}

#[test]
fn staves_say_where_they_come_from_and_which_way_their_heart_is() {
    let job = job(400.0, 140.0);
    let seen = staves_seen(&job, &plan(), &job.panels[0].copies[0]);
    let hearts: Vec<HeartSide> = seen.iter().map(|s| s.heart).collect();
    use HeartSide::{Down, Unknown, Up};
    assert_eq!(hearts, [Up, Down, Unknown]);
    let svg = assembled(&job, &plan(), &top(1), FaceShown::default()).unwrap();
    read(&svg);
    assert!(
        svg.contains("stave 1 · 137.4 wide · from A/1 · heart side up"),
        "{svg}"
    );
    assert!(
        svg.contains("on the trestle") && !svg.contains(".."),
        "{svg}"
    );
    // Two joints: one stroke and two, and the slanted line.
    assert_eq!(svg.matches("class=\"hs-cut\"").count(), 4);
}
