//! Faces with their wood, live while a blank is in the hand.

use serde_json::json;

use super::*;

/// A top glued up from three staves and a pair of doors, from two boards of which one is known on both faces.
fn cupboard() -> Session {
    let photo = |digit: &str, board: &str, face: &str| {
        json!({"hash": digit.repeat(64), "board": board, "face": face, "pixel": 1.0,
            "origin": [-20.0, -220.0], "size": [2440, 440]})
    };
    let board = |id: &str| {
        json!({"id": id, "thickness": 34, "outline": {"form": "tape", "length": 2400,
            "stations": [{"at": 0, "left": 200, "right": 200}]}})
    };
    let job = json!({
        "format": "heartside-job", "version": 3, "title": "Cupboard", "units": {"length": "mm"},
        "workshop": {"tools": [{"name": "table saw", "does": ["rip", "crosscut"], "kerf": 3}]},
        "boards": [board("A"), board("B")],
        "parts": [
            {"id": "top", "name": "Top", "thickness": 20,
                "shape": {"form": "rectangle", "length": 900, "width": 360}},
            {"id": "door", "name": "Door", "count": 2, "thickness": 20,
                "shape": {"form": "rectangle", "length": 500, "width": 150}}],
        "panels": [{"part": "top", "max_width": 125}],
        "matches": [{"kind": "balanced", "parts": [{"part": "door", "copy": 1}, {"part": "door", "copy": 2}]}],
        "photos": [photo("a", "A", "up"), photo("b", "A", "down"), photo("c", "B", "up")],
    });
    let mut session = opened(&job.to_string());
    for (part, copy, board) in [
        ("top..1.1", 1, "A"),
        ("top..1.2", 1, "A"),
        ("top..1.3", 1, "B"),
        ("door", 1, "A"),
        ("door", 2, "B"),
    ] {
        let laid = session.lay_on(part, copy, board, 1);
        assert!(laid.done, "{:?}", laid.problem);
    }
    session.show_photos(["a", "b", "c"].map(|digit| digit.repeat(64)).to_vec());
    session
}

/// The six numbers of the group's transform.
fn matrix(svg: &str, figure: &str) -> [f64; 6] {
    let group = svg
        .split(&format!("data-figure=\"{figure}\""))
        .nth(1)
        .unwrap();
    read(group.split("transform=\"").nth(1).unwrap())
}

fn read(transform: &str) -> [f64; 6] {
    let numbers = transform
        .trim_start_matches("matrix(")
        .split(')')
        .next()
        .unwrap();
    let numbers: Vec<f64> = numbers.split(' ').map(|n| n.parse().unwrap()).collect();
    numbers.try_into().unwrap()
}

fn pictures<'a>(svg: &'a str, figure: &str) -> &'a str {
    let group = svg
        .split(&format!("data-figure=\"{figure}\""))
        .nth(1)
        .unwrap();
    group.split("</g>").next().unwrap()
}

#[test]
fn each_stave_shows_its_own_wood_and_what_no_photo_shows_is_said() {
    let mut session = cupboard();
    let front = session.face_view("panel top 1", false, false);
    let back = session.face_view("panel top 1", true, false);
    assert!(front.photo && front.unseen.is_empty(), "{}", front.unseen);
    // Of B only the up face is known.
    assert!(back.unseen.contains("stave 3"), "{}", back.unseen);
    let named = |svg: &str, stave: u32, digit: &str| {
        pictures(svg, &format!("top..1.{stave}#1")).contains(&format!("photo:{}", digit.repeat(64)))
    };
    assert!(named(&front.svg, 1, "a") && named(&front.svg, 3, "c"));
    assert!(named(&back.svg, 1, "b") && !named(&back.svg, 3, "c"));
    // Turned over it shows the other face, turned and never mirrored.
    assert!(session.turn_over("top..1.1", 1).done);
    let front = session.face_view("panel top 1", false, false);
    assert!(named(&front.svg, 1, "b"));
    let doors = session.face_view("match 1", false, true);
    assert!(doors.svg.contains("data-figure=\"door#2\""));
    for view in [front, back, doors] {
        for figure in view.svg.split("data-figure=\"").skip(1) {
            let [a, b, c, d, ..] = read(figure.split("transform=\"").nth(1).unwrap());
            assert!((a * d - b * c - 1.0).abs() < 1e-6, "{a} {b} {c} {d}");
        }
    }
    // Without the files the wood is drawn, and that is said.
    session.show_photos(Vec::new());
    let plain = session.face_view("panel top 1", false, false);
    assert!(!plain.photo && !plain.svg.contains("<image") && plain.unseen.contains("drawn"));
}

#[test]
fn what_moves_in_the_hand_is_what_is_drawn_once_it_lies() {
    let mut session = cupboard();
    for (part, copy, keys) in [
        ("top..1.2", 1, ["panel top 1 front", "panel top 1 back"]),
        ("door", 1, ["match 1 front", "match 1 back"]),
    ] {
        let held = session.drag_begin(part, copy);
        assert!(held.held);
        let moved = session.drag(held.x + 310.0, held.y + 21.0, 2.0, false, false);
        assert!(moved.board.is_some());
        let figures = session.held_figures();
        let faces: Vec<&str> = figures.iter().map(|f| f.face.as_str()).collect();
        assert_eq!(faces, keys);
        assert!(figures.iter().all(|f| f.pictures.is_some()));
        session.drag(held.x + 300.0, held.y + 20.0, 1.0, false, false);
        // On the same board nothing is drawn again.
        let figures = session.held_figures();
        assert!(figures.iter().all(|f| f.pictures.is_none()));
        assert!(session.drag_end().done);
        for (figure, is_back) in figures.iter().zip([false, true]) {
            let of = keys[0].trim_end_matches(" front");
            let drawn = session.face_view(of, is_back, false);
            let (live, drawn) = (read(&figure.transform), matrix(&drawn.svg, &figure.figure));
            assert!(
                live.iter().zip(drawn).all(|(a, b)| (a - b).abs() < 2e-3),
                "{live:?} {drawn:?}"
            );
        }
    }
}

#[test]
fn wood_that_is_pushed_goes_as_far_as_the_hand_in_one_step() {
    let mut session = cupboard();
    assert!(session.turn_over("top..1.1", 1).done);
    let before = session.save();
    for (part, copy, of, is_back) in [
        ("top..1.1", 1, "panel top 1", false),
        ("top..1.2", 1, "panel top 1", true),
        ("door", 2, "match 1", true),
    ] {
        let figure = format!("{part}#{copy}");
        let view = session.face_view(of, is_back, false);
        let was = matrix(&view.svg, &figure);
        assert!(session.drag_begin(part, copy).held);
        let held = session.slide_held(&view.key, 40.0, -5.0);
        assert!(held.held, "{:?}", held.problem);
        assert!(!held.sentence.is_empty());
        assert!(session.drag_end().done);
        let is = matrix(&session.face_view(of, is_back, false).svg, &figure);
        // Down in the drawing is less across the face.
        assert!((is[4] - was[4] - 40.0).abs() < 2e-3 && (is[5] - was[5] - 5.0).abs() < 2e-3);
        session.undo();
        assert_eq!(session.save(), before, "one step, and it is as it was");
    }
    // On the trestle there is no wood to push.
    assert!(session.to_trestle("door", 1).done);
    assert!(session.drag_begin("door", 1).held);
    assert!(
        session
            .slide_held("match 1 front", 5.0, 0.0)
            .problem
            .is_some()
    );
}

#[test]
fn a_piece_that_is_photographed_is_shown_as_it_is_and_its_photo_goes_with_its_cut() {
    let mut session = cupboard();
    let step = session
        .judged
        .as_ref()
        .unwrap()
        .steps
        .iter()
        .find(|s| s.is_ready());
    let tick = session.tick_of(step.unwrap());
    assert!(session.tick(&tick).done);
    let plan = session.document.plan.clone().unwrap();
    let on_piece = |board: &str| session.job.board(board).is_some_and(|b| b.from.is_some());
    let stave = ["top..1.1", "top..1.2", "top..1.3", "door"]
        .into_iter()
        .find_map(|part| {
            let (layout, _) = plan.find(part, 1)?;
            let board = plan.layouts[layout].board.board.clone();
            on_piece(&board).then_some((part, board))
        });
    let (part, piece) = stave.expect("a part on a piece of the board that was cut");
    let figure = format!("{part}#1");
    let of = if part == "door" {
        "match 1"
    } else {
        "panel top 1"
    };
    let before = pictures(&session.face_view(of, false, false).svg, &figure).to_owned();
    let row = session
        .document
        .boards
        .iter()
        .position(|b| b.id == piece)
        .unwrap();
    let own = session.job.board(&piece).unwrap().outline.bounds();
    let (long, wide) = (own.width(), own.height());
    // In the picture the piece begins at 0, 0, within a rim.
    let taken = |long: f64| PhotoTaken {
        board: Some(Thing::row(ThingKind::Board, row)),
        hash: "d".repeat(64),
        pixel: 1.0,
        origin: [-10.0, -10.0],
        size: [(long + 20.0) as u32, (wide + 20.0) as u32],
        original: [4000, 3000],
        outline: vec![[0.0, 0.0], [long, 0.0], [long, wide], [0.0, wide]],
        ..PhotoTaken::default()
    };
    let odd = session.take_photo(&taken(long - 40.0));
    assert!(
        odd.announce
            .as_ref()
            .is_some_and(|a| a.contains("differ by 40 mm")),
        "{odd:?}"
    );
    session.undo();
    // Taken in from the other end it is asked about, as it lies it is not.
    let wave = |at: f64| 50.0 * heartside_geometry::math::sin(at);
    let light = |x: f64, y: f64| 128.0 + wave(x * x / 4e4) + wave(y * y / 2.5e3 + x / 90.0);
    let map = |origin: [f64; 2], size: [f64; 2], place: &dyn Fn(f64, f64) -> (f64, f64)| {
        let [columns, rows] = size.map(|s| (s / 4.0) as usize);
        let levels = (0..columns * rows).map(|at| {
            let along = |cells: usize| 4.0 * (cells as f64 + 0.5);
            let (x, y) = place(
                origin[0] + along(at % columns),
                origin[1] + along(at / columns),
            );
            light(x, y) as u8
        });
        json!([{"cell": 4.0, "origin": origin, "columns": columns, "layers": {"light": levels.collect::<Vec<_>>()}}]).to_string()
    };
    for (digit, down) in [("a", 1.0), ("b", -1.0)] {
        let whole = map([-20.0, -220.0], [2440.0, 440.0], &|x, y| (x, down * y));
        assert!(session.keep_figure(&digit.repeat(64), &whole));
    }
    let as_it_lies = |x, y| (own.min.x + x, own.min.y + y);
    let turned = |x: f64, y: f64| (own.max.x - x, own.max.y - y);
    let with = |place: &dyn Fn(f64, f64) -> (f64, f64), sure| PhotoTaken {
        figure: map([0.0, 0.0], [long, wide], place),
        sure,
        ..taken(long)
    };
    let why = session.take_photo(&with(&turned, false)).problem;
    assert!(why.is_some_and(|why| why.contains("end for end")));
    assert!(session.take_photo(&with(&turned, true)).done);
    session.undo();
    let done = session.take_photo(&with(&as_it_lies, false));
    assert!(done.done && !done.announce.unwrap().contains("differ"));
    session.show_photos(["a", "b", "c", "d"].map(|digit| digit.repeat(64)).to_vec());
    let photo = session.job.photos.last().unwrap();
    assert_eq!(photo.board, piece);
    assert!(
        (photo.covers.min.x - (own.min.x - 10.0)).abs() < 1.0,
        "in its root's coordinates"
    );
    let now = pictures(&session.face_view(of, false, false).svg, &figure).to_owned();
    assert!(now != before && now.contains(&"d".repeat(64)) && !now.contains(&"a".repeat(64)));
    // The cut is taken back: the board's own photo is seen again, the piece's is put by until it is cut again.
    let photos = session.document.photos.clone();
    let id = session.document.done[0].id;
    assert!(session.not_cut(id).done);
    let put_by = session.document.photos.last().unwrap();
    assert!(put_by.put_by.is_some());
    let to_map = session.photos_to_map();
    assert!(!to_map.iter().any(|p| p.hash == put_by.hash));
    assert!(!session.job.photos.iter().any(|p| p.hash == put_by.hash));
    assert_eq!(
        pictures(&session.face_view(of, false, false).svg, &figure),
        before
    );
    let step = session.judged.as_ref().unwrap().steps.iter();
    let tick = session.tick_of(step.clone().find(|s| s.is_ready()).unwrap());
    assert!(session.tick(&tick).done);
    assert_eq!(session.document.photos, photos);
    let again = pictures(&session.face_view(of, false, false).svg, &figure).to_owned();
    assert_eq!(again, now);
}
