//! Faces put together: each place of a face, front and back, is the place of the board that the part has there.

#![allow(clippy::unwrap_used)]

use heartside_drawing::{FaceOf, FaceSeen, faces_of};
use heartside_geometry::{Bounds, Point, Pose};
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Stiles stand at both sides, rails lie between them without their tenons, a panel in the opening behind a rail; nothing
    /// lies over anything else, and from behind left is right.
    #[test]
    fn a_frame_is_two_stiles_with_rails_between_them(
        stile in (300.0..900.0_f64, 30.0..90.0_f64), rail in (150.0..700.0_f64, 30.0..90.0_f64),
        rails in 1_u32..4, tenon in 0.0..30.0_f64, panel in any::<bool>()
    ) {
        let (long, broad) = (stile.0, stile.1);
        let shape = |l: f64, w: f64| serde_json::json!({"form": "rectangle", "length": l, "width": w});
        let part = |id: &str, count: u32, shape| serde_json::json!({"id": id, "count": count, "thickness": 20, "shape": shape});
        let mut rail_part = part("rail", rails, shape(rail.0, rail.1));
        if tenon > 0.0 {
            rail_part["tenon"] = serde_json::json!({"start": tenon, "end": tenon});
        }
        let copy = |part: &str, copy: u32| serde_json::json!({"part": part, "copy": copy});
        let mut parts = vec![copy("stile", 1), copy("stile", 2), copy("rail", 1)];
        if panel {
            parts.push(copy("panel", 1));
        }
        parts.extend((2..=rails).map(|k| copy("rail", k)));
        let file = serde_json::json!({
            "format": "heartside-job", "version": 3, "title": "Frame", "units": {"length": "mm"},
            "boards": [{"id": "A", "thickness": 40, "outline": {"form": "tape", "length": 2000,
                "stations": [{"at": 0, "left": 300, "right": 300}]}}],
            "parts": [part("stile", 2, shape(long, broad)), rail_part, part("panel", 1, shape(2.0 * long, rail.0 + 20.0))],
            "matches": [{"kind": "frame", "parts": parts}],
        });
        let job = prepare(&Document::open(&file.to_string()).unwrap().document).job;
        let faces = faces_of(&job, &Plan::default());
        let (front, back) = (of(&faces, "match 1 front"), of(&faces, "match 1 back"));
        prop_assert!(front.stands);
        let beyond: f64 = front.size[1] - 2.0 * broad - rail.0;
        prop_assert!(beyond.abs() < 1e-6);
        let whole = Bounds::of_size(front.size[0], front.size[1]).grown(1e-6);
        for (k, tile) in front.tiles.iter().enumerate() {
            prop_assert!(whole.contains_bounds(&tile.seen), "{:?}", tile.seen);
            for other in &front.tiles[..k] {
                let both = tile.seen.intersection(other.seen);
                prop_assert!(both.is_none_or(|b| b.width().min(b.height()) < 1e-6));
            }
            let part = job.part(&tile.part.part).unwrap();
            let own = Bounds::of_size(part.length(), part.width()).grown(1e-6);
            for corner in tile.seen.corners() {
                prop_assert!(own.contains(tile.to_part.apply(corner)), "{tile:?}");
            }
            let behind = &back.tiles[k];
            let mirrored = front.size[1] - tile.seen.max.y;
            prop_assert!((behind.seen.min.y - mirrored).abs() < 1e-6);
            match part.id.as_str() {
                "stile" => prop_assert!((tile.seen.height() - broad).abs() < 1e-6),
                "rail" => prop_assert!((tile.seen.height() - rail.0).abs() < 1e-6),
                _ => prop_assert!(tile.seen.min.x > rail.1 - 1e-6),
            }
        }
        // A panel is seen only where there is an opening.
        let has_opening = long > f64::from(rails) * rail.1;
        let seen = front.tiles.iter().any(|t| t.part.part == "panel");
        prop_assert!(!seen || panel && has_opening);
        prop_assert!(seen || !(panel && has_opening));
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
