//! What is written is read back by the reader of drawings, with its areas; nothing breaks a file.

use heartside_timber::document::{BoardOutline, Length, ZoneShape};
use heartside_timber::ids::TakenIds;
use heartside_timber::prepare;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::outlines::{Meaning, Read, Said, read_dxf};

/// A board with a knot, and parts of every shape lying about on it.
fn document(name: &str, lie: impl Fn(usize) -> Value) -> Document {
    let shapes = [
        json!({"form": "rectangle", "length": 700, "width": 60}),
        json!({"form": "disc", "diameter": 300}),
        json!({"form": "ellipse", "length": 120, "width": 200}),
        json!({"form": "arc_sided", "points": [[0, 0], [400, 20], [380, 150], [10, 140]],
            "swells": [-12, 30, {"expr": "sweep"}, 0],
            "holes": [[[50, 60], [90, 60], [90, 100], [50, 100]]]}),
    ];
    let parts = shapes.iter().enumerate().map(|(k, shape)| {
        json!({"id": format!("p{k}"), "name": name, "count": 2, "thickness": 20, "shape": shape,
            "cut": if k % 2 == 1 { "sawn" } else { "straight" }})
    });
    let placed = (0..shapes.len()).map(|k| {
        let mut at = lie(k);
        at["part"] = json!(format!("p{k}"));
        at
    });
    let job = json!({
        "format": "heartside-job", "version": heartside_timber::document::VERSION,
        "title": name,
        "dimensions": [{"name": "sweep", "preferred": 25}],
        "boards": [{"id": "A", "name": name, "thickness": 27,
            "outline": {"form": "polygon", "points": [[0, 0], [2400, 15], [2380, 300], [20, 290]]},
            "zones": [{"kind": "defect", "note": name,
                "shape": {"form": "polygon", "points": [[900, 100], [980, 90], [970, 160]]}}]}],
        "parts": parts.collect::<Vec<Value>>(),
        "plan": {"layouts": [{"board": "A", "copy": 1, "way": "sawn",
            "placements": placed.collect::<Vec<Value>>()}], "unplaced": []},
    });
    let opened = Document::open(&job.to_string()).expect("it is a job");
    assert!(opened.diagnostics.is_empty(), "{:?}", opened.diagnostics);
    opened.document
}

fn straight(k: usize) -> Value {
    json!({"x": 100.0 + 450.0 * k as f64, "y": 20})
}

/// Areas of the outlines with their holes, and of the marked areas.
fn read_back(file: &str, left_out: &[&str]) -> (Vec<f64>, Vec<f64>) {
    let meanings = left_out.iter().map(|n| ((*n).to_owned(), Meaning::LeftOut));
    let said = Said {
        meanings: meanings.collect(),
        ..Said::default()
    };
    let Read::Boards(read) = read_dxf(file, &said, &mut TakenIds::default()) else {
        panic!("it tells its unit");
    };
    let area = |points: &[[Length; 2]]| {
        let at = |length: &Length| length.plain_mm().unwrap_or(f64::NAN);
        let points = points.iter().map(|[x, y]| Point::new(at(x), at(y)));
        heartside_geometry::Ring::new(points.collect()).map_or(f64::NAN, |r| r.signed_area().abs())
    };
    let boards = read.boards.iter().map(|board| match &board.outline {
        Some(BoardOutline::Polygon { points, holes, .. }) => {
            area(points) - holes.iter().map(|hole| area(hole)).sum::<f64>()
        }
        _ => f64::NAN,
    });
    let zones = read.boards.iter().flat_map(|board| &board.zones);
    let zones = zones.map(|zone| match &zone.shape {
        Some(ZoneShape::Polygon { points }) => area(points),
        _ => f64::NAN,
    });
    (boards.collect(), zones.collect())
}

fn near(found: f64, known: f64) -> bool {
    (found - known).abs() <= 1e-3 * known
}

/// A word of letters that mean something to a reader of such files.
fn hostile() -> impl Strategy<Value = String> {
    prop_oneof![
        "[\\PC\r\n\t\\\\^%\u{202e}\u{1f600}\"';,=]{0,12}",
        Just("\r\n  0\r\nEOF\r\n".to_owned()),
        Just("%%u%%d\\U+0041\\P^J{\\C1;x}".to_owned()),
        Just("</svg>../".repeat(60)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn boards_and_parts_are_read_back_with_their_areas(
        name in hostile(),
        turn in -360.0..360.0f64,
        over in any::<bool>(),
    ) {
        let lie = |k: usize| json!({"x": 100.0 * k as f64, "y": 31.5, "turn": turn, "turned_over": over});
        let document = document(&name, lie);
        let job = prepare(&document).job;
        let plan = document.plan.clone().expect("a plan");
        let board = board_dxf(&job, &document, &plan.layouts[0], &[]).expect("a board");
        prop_assert!(board.is_ascii());
        let (outlines, zones) = read_back(&board, &["blanks", "parts", "names"]);
        prop_assert_eq!((outlines.len(), zones.len()), (1, 1));
        prop_assert!(near(outlines[0], job.boards[0].outline.area()));
        prop_assert!(near(zones[0], job.boards[0].zones[0].shape.area()));
        // Only the finished parts: the reader takes the outermost lines for boards, so each lies alone.
        for part in &job.parts {
            let (outlines, _) = read_back(&part_dxf(&job, &document, part), &["names"]);
            prop_assert_eq!(outlines.len(), 1);
            prop_assert!(near(outlines[0], part.outline.area()), "{} {}", outlines[0], part.outline.area());
        }
    }
}

#[test]
fn curves_are_written_as_curves() {
    let document = document("Leg", straight);
    let job = prepare(&document).job;
    let plan = document.plan.clone().expect("a plan");
    let board = board_dxf(&job, &document, &plan.layouts[0], &[]).expect("a board");
    let count = |file: &str, word: &str| {
        let drawn = file.split("ENTITIES").nth(1).unwrap_or_default();
        drawn.lines().filter(|l| *l == word).count()
    };
    assert_eq!(count(&board, "CIRCLE"), 1);
    assert_eq!(count(&board, "ELLIPSE"), 1);
    // Three sides swell, of which one is sized by a name.
    assert_eq!(count(&board, " 42"), 3 + 1, "bulges, and the ellipse's end");
    // Another shape than the job has is never written: it falls back to what the job has.
    let mut other = document.clone();
    other.parts[1].shape = other.parts[2].shape.clone();
    let part = part_dxf(&job, &other, &job.parts[1]);
    assert_eq!(
        (count(&part, "ELLIPSE"), count(&part, "LWPOLYLINE")),
        (0, 1)
    );
}

#[test]
fn a_straight_kerf_is_a_line_as_wide_as_it_is() {
    let mut file = File::default();
    let (x, y) = (Point::new(10.0, 0.0), Point::new(10.0, 80.0));
    let corner = |dx: f64, y: f64| Point::new(10.0 + dx, y);
    let step = Step {
        line: [x, y],
        band: vec![
            corner(0.0, -1.0),
            corner(2.4, -1.0),
            corner(2.4, 81.0),
            corner(0.0, 81.0),
        ],
        ..step()
    };
    straight_cut(&mut file, &step);
    let text = file.finished();
    for expected in [
        " 43\r\n2.4\r\n",
        " 10\r\n11.2\r\n 20\r\n-1\r\n",
        " 20\r\n81\r\n",
    ] {
        assert!(text.contains(expected), "{expected:?} is not in {text}");
    }
}

fn step() -> Step {
    let point = Point::new(0.0, 0.0);
    Step {
        number: 1,
        board: heartside_timber::document::BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        layout: 0,
        node: Some(0),
        placement: None,
        action: Action::Crosscut,
        tool: String::new(),
        same_setting: false,
        workpiece: String::new(),
        workpiece_size: String::new(),
        workpiece_kg: None,
        setting: None,
        line: [point, point],
        band: Vec::new(),
        sawn_length: 0.0,
        yields: Vec::new(),
        cautions: Vec::new(),
        title: String::new(),
        brief: String::new(),
        text: Vec::new(),
    }
}
