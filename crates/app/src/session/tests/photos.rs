//! A photograph is taken in as one step, with what was accepted of it.

use heartside_timber::document::{BoardOutline, Length, ZoneFace, ZoneKind, ZoneShape};

use super::*;

const HASH: &str = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";
const OTHER: &str = "ff112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";

/// A board of 1200 x 150 mm with a knot, seen within a rim of 40 mm.
fn taken() -> PhotoTaken {
    PhotoTaken {
        face: ZoneFace::Up,
        hash: HASH.to_owned(),
        pixel: 0.5,
        origin: [-40.0, -40.0],
        size: [2560, 460],
        original: [4000, 3000],
        marks: vec![PhotoMarkAsked {
            seen: PhotoSpot { x: 10.0, y: 20.0 },
            place: Some([0.0, 0.0]),
        }],
        outline: vec![[0.0, 0.0], [1200.0, 0.0], [1200.0, 150.0], [0.0, 150.0]],
        zones: vec![
            PhotoZone {
                kind: ZoneKind::Defect,
                note: "knot".to_owned(),
                oval: true,
                corners: vec![[290.0, 40.0], [310.0, 60.0]],
            },
            PhotoZone {
                kind: ZoneKind::Sapwood,
                corners: vec![[0.0, 130.0], [1200.0, 140.0], [1200.0, 150.0], [0.0, 150.0]],
                ..PhotoZone::default()
            },
        ],
        grain: vec![vec![[0.0, 75.0], [1200.0, 80.0]]],
        thickness: "27".to_owned(),
        species: "oak".to_owned(),
        ..PhotoTaken::default()
    }
}

#[test]
fn a_board_comes_out_of_a_photograph_in_one_step_and_goes_in_one() {
    let mut session = opened(DESK);
    let before = session.save();
    let boards = session.document.boards.len();
    let outcome = session.take_photo(&taken());
    assert!(outcome.done, "{:?}", outcome.problem);
    assert_eq!(outcome.thing, Some(board(boards)));
    let made = session.document.boards.last().unwrap().clone();
    assert_eq!(made.thickness, Some(Length::Mm(27.0)));
    assert_eq!(
        (made.zones.len(), made.zones[0].face),
        (2, ZoneFace::Through)
    );
    assert_eq!(made.zones[1].face, ZoneFace::Up);
    let sound = session.job.board(&made.id).unwrap();
    let knot = sound.zones[0].shape.bounds();
    assert_eq!((knot.min.x, knot.max.y), (290.0, 60.0));
    assert!(sound.grain.is_bent());
    // It is drawn only once its file is at hand.
    assert!(session.job.photos.is_empty());
    session.show_photos(vec![HASH.to_owned()]);
    assert_eq!(session.job.photos[0].covers.max.x, 1240.0);
    assert_eq!(session.photos()[0].board, Some(board(boards)));
    // The file is opened again as it was saved, and nothing is wrong with it.
    let mut again = opened(&session.save());
    assert_eq!(again.document.photos, session.document.photos);
    again.show_photos(vec![HASH.to_owned()]);
    assert_eq!(again.job.photos, session.job.photos);
    session.undo();
    assert_eq!(session.save(), before);
    assert!(session.job.photos.is_empty());
    // Undone, it may come back: its file is still needed.
    assert_eq!(session.photo_files(), [HASH]);
    session.redo();
    assert_eq!(session.job.photos.len(), 1);
}

#[test]
fn the_down_face_lies_under_the_up_face_as_a_page() {
    let mut session = opened(DESK);
    let row = session.document.boards.len();
    session.take_photo(&taken());
    let down = PhotoTaken {
        board: Some(board(row)),
        face: ZoneFace::Down,
        hash: OTHER.to_owned(),
        ..taken()
    };
    let outcome = session.take_photo(&down);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert_eq!(session.document.photos.len(), 2);
    let made = &session.document.boards[row];
    assert_eq!(made.zones.len(), 4);
    // Seen 50 mm above the lower edge from below, it lies 50 mm below the upper edge.
    let knot = session.job.board(&made.id).unwrap().zones[2].shape.bounds();
    assert_eq!((knot.centre().x, knot.centre().y), (300.0, 100.0));
    assert_eq!(made.zones[3].face, ZoneFace::Down);
    // The picture's place in the mirrored frame: the board lies there from -150 to 0.
    assert_eq!(session.document.photos[1].origin, [-40.0, -190.0]);
    session.show_photos(vec![HASH.to_owned(), OTHER.to_owned()]);
    let downs = session.job.photos.iter().map(|p| (&p.hash[..2], p.is_down));
    assert_eq!(downs.collect::<Vec<_>>(), [("00", false), ("ff", true)]);
    // A board's photographs go with it.
    session.remove(&board(row));
    assert!(session.document.photos.is_empty());
    assert_eq!(session.photo_files().len(), 2);
}

#[test]
fn the_form_of_a_board_with_a_known_down_face_shows_either_face() {
    let mut session = opened(DESK);
    let row = session.document.boards.len();
    session.take_photo(&taken());
    let shows = |session: &Session, turned| session.face_picture(&board(row), turned);
    // Nothing is known of its other face; what goes through is seen from above already.
    assert_eq!(shows(&session, false), None);
    session.take_photo(&PhotoTaken {
        board: Some(board(row)),
        face: ZoneFace::Down,
        hash: OTHER.to_owned(),
        zones: Vec::new(),
        ..taken()
    });
    // Before the files are at hand its outline alone turns over.
    assert!(!shows(&session, true).unwrap().contains("<image "));
    session.show_photos(vec![HASH.to_owned(), OTHER.to_owned()]);
    let (up, down) = (shows(&session, false), shows(&session, true));
    for (svg, own, other, word) in [(up, HASH, OTHER, "up"), (down, OTHER, HASH, "down")] {
        let svg = svg.unwrap();
        assert!(svg.contains(&format!("href=\"photo:{own}\"")) && !svg.contains(other));
        assert!(svg.contains(&format!("{word} face</title>")), "{svg}");
    }
    // A mark on it is enough, and a part has no faces to turn.
    session.drop_photo(OTHER);
    assert_eq!(shows(&session, true), None);
    session.take_photo(&PhotoTaken {
        board: Some(board(row)),
        face: ZoneFace::Down,
        hash: String::new(),
        ..taken()
    });
    assert!(shows(&session, true).unwrap().contains("sapwood"));
    let part = Thing::row(ThingKind::Part, 0);
    assert_eq!(session.face_picture(&part, true), None);
}

#[test]
fn on_a_board_that_is_there_it_is_laid_by_the_outline() {
    let mut session = opened(DESK);
    let mut own = taken();
    (own.zones, own.grain) = (Vec::new(), Vec::new());
    session.take_photo(&own);
    let row = session.document.boards.len() - 1;
    // The same board in another frame, and 20 mm longer than it was measured.
    let mut moved = PhotoTaken {
        board: Some(board(row)),
        hash: OTHER.to_owned(),
        ..own.clone()
    };
    moved.outline = vec![[90.0, 30.0], [1310.0, 30.0], [1310.0, 180.0], [90.0, 180.0]];
    moved.origin = [60.0, -10.0];
    let plan_is_stale = session.is_stale();
    let outcome = session.take_photo(&moved);
    assert!(outcome.announce.unwrap().contains("differ by 20 mm"));
    assert_eq!(session.is_stale(), plan_is_stale);
    // The newer photograph has taken the place of the older one.
    assert_eq!(session.document.photos.len(), 1);
    assert_eq!(session.document.photos[0].origin, [-40.0, -40.0]);
    let BoardOutline::Polygon { points, .. } =
        session.document.boards[row].outline.clone().unwrap()
    else {
        panic!("a polygon")
    };
    assert_eq!(points[1][0], Length::Mm(1200.0));
    session.take_photo(&PhotoTaken {
        new_outline: true,
        ..moved
    });
    let outline = session.document.boards[row].outline.clone();
    let Some(BoardOutline::Polygon { points, .. }) = outline else {
        panic!("a polygon")
    };
    assert_eq!(points[1][0], Length::Mm(1210.0));
    // Two photographs side by side are both kept.
    let side = PhotoTaken {
        board: Some(board(row)),
        hash: HASH.to_owned(),
        origin: [1000.0, -40.0],
        ..own
    };
    session.take_photo(&side);
    assert_eq!(session.document.photos.len(), 2);
}

#[test]
fn the_next_part_of_a_long_board_joins_it() {
    let mut session = opened(DESK);
    let row = session.document.boards.len();
    session.take_photo(&taken());
    let next = PhotoTaken {
        board: Some(board(row)),
        hash: OTHER.to_owned(),
        origin: [960.0, -40.0],
        outline: vec![
            [1000.0, 0.0],
            [2300.0, 4.0],
            [2300.0, 148.0],
            [1000.0, 150.0],
        ],
        zones: vec![PhotoZone {
            kind: ZoneKind::Defect,
            oval: true,
            corners: vec![[1990.0, 40.0], [2010.0, 60.0]],
            ..PhotoZone::default()
        }],
        grain: Vec::new(),
        part: true,
        new_outline: true,
        ..taken()
    };
    let outcome = session.take_photo(&next);
    assert!(outcome.done, "{:?}", outcome.problem);
    assert!(!outcome.announce.unwrap().contains("apart"));
    let made = session.job.board(&session.document.boards[row].id).unwrap();
    assert_eq!(made.outline.bounds().max.x, 2300.0);
    assert_eq!(made.zones.last().unwrap().shape.bounds().centre().x, 2000.0);
    assert_eq!(session.document.photos.len(), 2);
    assert_eq!(session.document.photos[1].origin, [960.0, -40.0]);
    session.undo();
    let made = session.job.board(&session.document.boards[row].id).unwrap();
    assert_eq!(made.outline.bounds().max.x, 1200.0);
}

#[test]
fn what_cannot_be_taken_is_refused_in_words_and_changes_nothing() {
    let mut session = opened(DESK);
    let before = session.save();
    let crossed = vec![[0.0, 0.0], [1200.0, 150.0], [1200.0, 0.0], [0.0, 150.0]];
    let wrong = [
        (
            PhotoTaken {
                outline: vec![],
                ..taken()
            },
            "outline",
        ),
        (
            PhotoTaken {
                outline: crossed,
                ..taken()
            },
            "cannot be used",
        ),
        (
            PhotoTaken {
                pixel: f64::NAN,
                ..taken()
            },
            "scale",
        ),
        (
            PhotoTaken {
                hash: "ab".to_owned(),
                ..taken()
            },
            "scale",
        ),
        (
            PhotoTaken {
                thickness: "thick".to_owned(),
                ..taken()
            },
            "thickness",
        ),
        (
            PhotoTaken {
                board: Some(board(99)),
                ..taken()
            },
            "not there",
        ),
    ];
    for (taken, word) in wrong {
        let outcome = session.take_photo(&taken);
        let problem = outcome.problem.unwrap();
        assert!(!outcome.done && problem.contains(word), "{word}: {problem}");
        assert_eq!(session.save(), before);
    }
    assert!(session.drop_photo(HASH).problem.is_some());
    session.take_photo(&taken());
    assert!(session.drop_photo(HASH).done);
    assert!(session.document.photos.is_empty());
    assert!(matches!(
        session.document.boards.last().unwrap().zones[0].shape,
        Some(ZoneShape::Spot { oval: true, .. })
    ));
}

#[test]
fn what_was_traced_is_taken_without_the_photo_where_no_file_is_named() {
    let mut session = opened(DESK);
    let outcome = session.take_photo(&PhotoTaken {
        hash: String::new(),
        ..taken()
    });
    assert!(outcome.done, "{:?}", outcome.problem);
    let made = session.document.boards.last().unwrap();
    assert_eq!(made.zones.len(), 2);
    assert!(session.document.photos.is_empty());
}

/// A map of two layers as a worker hands it over, in the frame of the picture.
const FIGURE: &str = r#"[{"cell": 4, "origin": [-40, -40], "columns": 2, "layers": {"light": "gIA="}},
    {"cell": 20, "origin": [-40, -40], "columns": 1, "layers": {"strength": "BQ=="}}]"#;

#[test]
fn a_map_of_figure_comes_and_goes_with_its_photograph() {
    let mut session = opened(DESK);
    let row = session.document.boards.len();
    let with_figure = |taken: PhotoTaken| PhotoTaken {
        figure: FIGURE.to_owned(),
        ..taken
    };
    session.take_photo(&with_figure(taken()));
    assert_eq!(session.job.figure[0].layers.len(), 2);
    let down = PhotoTaken {
        board: Some(board(row)),
        face: ZoneFace::Down,
        hash: OTHER.to_owned(),
        ..taken()
    };
    session.take_photo(&with_figure(down.clone()));
    let map = &session.job.figure[1];
    // It lies on its face as the picture does.
    assert!(map.is_down && map.layers[0].origin == [-40.0, -190.0]);
    assert_eq!(session.document.figure_maps.len(), 4);
    let again = opened(&session.save());
    assert_eq!(again.job.figure, session.job.figure);
    // The same face taken again: the older map goes with the older photo.
    let hash = "a".repeat(64);
    session.take_photo(&with_figure(PhotoTaken { hash, ..down }));
    assert_eq!(
        (session.document.figure_maps.len(), session.job.figure.len()),
        (4, 2)
    );
    session.undo();
    assert_eq!(session.job.figure, again.job.figure);
    session.drop_photo(OTHER);
    assert_eq!(session.job.figure.len(), 1);
    session.undo();
    assert_eq!(session.job.figure, again.job.figure);
    session.remove(&board(row));
    assert!(session.document.figure_maps.is_empty());
    session.undo();
    assert_eq!(session.job.figure, again.job.figure);
}

#[test]
fn a_photograph_without_a_map_is_mapped_when_it_is_at_hand_and_that_is_no_step() {
    let mut session = opened(DESK);
    session.take_photo(&taken());
    assert!(session.photos_to_map().is_empty(), "its file is not there");
    session.show_photos(vec![HASH.to_owned()]);
    let wanted = session.photos_to_map();
    assert_eq!((wanted.len(), wanted[0].origin), (1, [-40.0, -40.0]));
    assert_eq!(
        wanted[0].outline,
        [0.0, 0.0, 1200.0, 0.0, 1200.0, 150.0, 0.0, 150.0]
    );
    let undo = session.state(PageName::Timber, &View::default()).undo;
    assert!(!session.keep_figure(OTHER, FIGURE) && !session.keep_figure(HASH, "no map"));
    assert!(session.keep_figure(HASH, FIGURE));
    assert_eq!(session.job.figure[0].layers.len(), 2);
    assert!(session.photos_to_map().is_empty());
    assert_eq!(session.state(PageName::Timber, &View::default()).undo, undo);
    session.undo();
    session.redo();
    assert!(
        session.job.figure.len() < 2
            && session
                .diagnostics
                .iter()
                .all(|d| d.code != "figure-unusable")
    );
    // One that tells nothing is not asked again.
    session.keep_figure(HASH, "[]");
    assert!(session.photos_to_map().is_empty() && session.job.figure.is_empty());
}
