//! Faces put together: each place of a face, front and back, is the place of the board that the part has there.

#![allow(clippy::unwrap_used)]

use heartside_drawing::{FaceOf, FaceSeen, faces_of};
use heartside_geometry::{Point, Pose};
use heartside_timber::document::{BoardCopy, Document};
use heartside_timber::job::Job;
use heartside_timber::plan::{Frame, Layout, Placed, Placement, Plan, Way};
use heartside_timber::prepare::prepare;
use proptest::prelude::*;

fn job(kind: &str) -> Job {
    let text = format!(
        r#"{{"format": "heartside-job", "version": 1, "title": "Cupboard", "units": {{"length": "mm"}},
        "boards": [{{"id": "A", "thickness": 40, "count": 2, "outline": {{"form": "tape",
            "length": 2000, "stations": [{{"at": 0, "left": 300, "right": 300}}]}}}}],
        "parts": [{{"id": "top", "name": "Top", "thickness": 20,
            "shape": {{"form": "rectangle", "length": 900, "width": 400}}}},
          {{"id": "door", "name": "Door", "count": 2, "thickness": 20, "grain": {{"axis": "across"}},
            "shape": {{"form": "rectangle", "length": 300, "width": 500}}}}],
        "panels": [{{"part": "top", "max_width": 150, "joint": 6}}],
        "matches": [{{"kind": "{kind}", "parts": [{{"part": "door", "copy": 1}}, {{"part": "door", "copy": 2}}]}},
          {{"kind": "same_board", "parts": [{{"part": "door", "copy": 1}}, {{"part": "door", "copy": 2}}]}}]}}"#
    );
    prepare(&Document::open(&text).unwrap().document).job
}

/// Everything on one board: no rule is asked here.
fn plan(job: &Job, at: &[Placed]) -> Plan {
    let copies = job
        .parts
        .iter()
        .flat_map(|p| (1..=p.count).map(move |copy| (p, copy)));
    let placements = copies
        .zip(at.iter().cycle())
        .map(|((part, copy), at)| Placement {
            part: part.id.clone(),
            copy,
            at: *at,
            ..Placement::default()
        });
    Plan {
        layouts: vec![Layout {
            board: BoardCopy {
                board: "A".into(),
                copy: 2,
            },
            placements: placements.collect(),
            way: Way::Straight,
            frame: Frame::default(),
            cuts: None,
        }],
        ..Plan::default()
    }
}

fn poses() -> impl Strategy<Value = Vec<Placed>> {
    let one = (
        0.0..900.0,
        -200.0..200.0,
        prop::sample::select(vec![0.0, 2.5, 90.0, 180.0, 359.0]),
        any::<bool>(),
    );
    let one = one.prop_map(|(x, y, turn, turned_over)| Placed {
        x,
        y,
        turn,
        turned_over,
    });
    prop::collection::vec(one, 5)
}

fn of<'a>(faces: &'a [FaceSeen], key: &str) -> &'a FaceSeen {
    faces.iter().find(|f| f.key == key).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_place_of_a_face_is_the_place_of_the_board_that_its_part_has_there(
        at in poses(), share in (0.0..1.0, 0.0..1.0), along in any::<bool>()
    ) {
        let job = job(if along { "continuous_along" } else { "balanced" });
        let plan = plan(&job, &at);
        let faces = faces_of(&job, &plan);
        for name in ["panel top 1", "match 1"] {
            let front = of(&faces, &format!("{name} front"));
            let back = of(&faces, &format!("{name} back"));
            let mut covered = 0.0;
            for (tile, behind) in front.tiles.iter().zip(&back.tiles) {
                covered += tile.seen.area();
                let part = job.part(&tile.part.part).unwrap();
                let (layout, place) = plan.find(&tile.part.part, tile.part.copy).unwrap();
                let placement = &plan.layouts[layout].placements[place];
                let pose = Pose::from(placement.at);
                // A place of the part, and where it is in the face: doors have their grain across.
                let in_tile = Point::new(share.0 * tile.seen.width(), share.1 * tile.seen.height());
                let in_part = if name.starts_with("match") {
                    Point::new(part.length() - in_tile.y, in_tile.x)
                } else {
                    in_tile
                };
                let seen = Point::new(tile.seen.min.x + in_tile.x, tile.seen.min.y + in_tile.y);
                let from_behind = Point::new(seen.x, front.size[1] - seen.y);
                let board = pose.apply(in_part);
                for (tile, seen) in [(tile, seen), (behind, from_behind)] {
                    prop_assert!(!tile.to_face_frame.turned_over, "no picture is mirrored");
                    let face = tile.to_face_frame.apply(seen);
                    let flip = if tile.is_down { -1.0 } else { 1.0 };
                    prop_assert!((face.x - board.x).abs() < 1e-6 && (flip * face.y - board.y).abs() < 1e-6,
                        "{seen:?} {face:?} {board:?}");
                    prop_assert!(tile.seen.grown(1e-6).contains(seen));
                    prop_assert_eq!(&tile.root, "A");
                }
                prop_assert_eq!(tile.is_down, placement.at.turned_over);
                prop_assert_eq!(behind.is_down, !placement.at.turned_over);
            }
            // Tiles fill the face, but for what is over for trimming.
            prop_assert!((covered - front.size[0] * front.size[1]).abs() < 1e-3);
        }
    }
}

#[test]
fn a_run_lies_as_it_was_laid_and_nothing_is_shown_twice() {
    let job = job("continuous_across");
    let at = |x, y| Placed {
        x,
        y,
        turn: 90.0,
        turned_over: false,
    };
    // Doors have their grain across: turned by a quarter it runs along the board.
    let laid = plan(
        &job,
        &[
            at(0.0, 0.0),
            at(0.0, 0.0),
            at(0.0, 0.0),
            at(400.0, -303.0),
            at(400.0, 0.0),
        ],
    );
    let faces = faces_of(&job, &laid);
    let run = of(&faces, "match 1 front");
    assert_eq!(run.size, [500.0, 600.0]);
    assert_eq!(run.name, "Door 1 and Door 2");
    assert!(matches!(run.of, FaceOf::Match(0)));
    // Parts of one board are not seen together for that.
    assert_eq!(faces.len(), 4);
    // Nothing placed: nothing known of its wood.
    let none = faces_of(&job, &Plan::default());
    assert!(
        none.iter()
            .flat_map(|f| &f.tiles)
            .all(|t| t.board.is_none() && t.root.is_empty())
    );
}
