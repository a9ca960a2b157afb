//! Photographs of boards: inside the board and inside every placed part, with words that stay readable.

#![allow(clippy::unwrap_used)]

use crate::sample;
// Only sound XML and its ids are asked of it here.
use crate::svg_read;

use std::collections::BTreeSet;

use heartside_drawing::{
    KeptFloor, OnTheFloor, Options, Paper, View, board_svg, face_picture, floor, floor_again,
    overview_svg, sheets,
};
use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_timber::document::{BoardCopy, ZoneFace, ZoneKind};
use heartside_timber::job::{FigureLayer, FigureMap, Job, Photo};
use svg_read::read;

fn hash(digit: char) -> String {
    digit.to_string().repeat(64)
}

fn photo(board: &str, digit: char, from: f64, to: f64) -> Photo {
    Photo {
        hash: hash(digit),
        board: board.to_owned(),
        is_down: false,
        covers: Bounds::new(Point::new(from, -150.0), Point::new(to, 150.0)),
    }
}

/// The sample job with one photograph of board A and two side by side of board C.
fn job() -> Job {
    let mut job = sample::job();
    job.photos = vec![
        photo("A", 'a', -40.0, 3000.0),
        photo("C", 'd', 700.0, 3000.0),
        photo("C", 'c', -40.0, 900.0),
    ];
    job
}

fn on<'a>(job: &'a Job, plan: &'a heartside_timber::plan::Plan) -> OnTheFloor<'a> {
    OnTheFloor {
        job,
        plan: Some(plan),
        steps: &[],
        findings: &[],
        moved: &[],
    }
}

#[test]
fn a_photograph_lies_within_its_board_and_shows_in_every_part_on_it() {
    let (job, plan) = (job(), sample::plan());
    let view = View::default();
    let drawn = floor(&on(&job, &plan), &view);
    let plain = floor(&on(&sample::job(), &plan), &view);
    let mut worded = 0;
    for fragment in &drawn.fragments {
        let before = plain.fragments.iter().find(|f| f.id == fragment.id);
        let board = fragment.board.as_ref().map_or("", |b| b.board.as_str());
        let has_photo = ["A", "C"].contains(&board);
        if !has_photo {
            assert_eq!(Some(fragment), before, "{}", fragment.id);
        }
        if fragment.id.starts_with("board-") {
            let images = fragment.svg.matches("<image ").count();
            let expected = match board {
                "A" => 1,
                "C" => 2,
                _ => 0,
            };
            assert_eq!(images, expected, "{board}");
            assert_eq!(has_photo, !fragment.svg.contains("hs-grain"));
        }
        if fragment.id.starts_with("part-") && fragment.svg.contains("hs-blank") {
            assert_eq!(fragment.svg.contains("hs-blank hs-veil"), has_photo);
        }
        // No word stands on a photograph without a ground of its own; what finds no room is led off the board.
        if has_photo && fragment.id.starts_with("part-") {
            let inside = fragment.svg.split("hs-leader").next().unwrap();
            let words: Vec<&str> = inside.split("<text").skip(1).collect();
            assert!(
                words.iter().all(|w| w.contains("hs-halo-part")),
                "{words:?}"
            );
            worded += words.len();
        }
    }
    assert!(worded > 5, "{worded}");
    // Labels stand where they stood.
    assert_eq!(drawn.labels, plain.labels);
}

#[test]
fn two_photographs_side_by_side_meet_in_the_middle_of_what_both_show() {
    let (job, plan) = (job(), sample::plan());
    let copy = BoardCopy {
        board: "C".into(),
        copy: 1,
    };
    let drawing = board_svg(&job, &plan, &copy, &[], &Options::default()).unwrap();
    let (first, second) = (hash('c'), hash('d'));
    assert!(drawing.svg.find(&first).unwrap() < drawing.svg.find(&second).unwrap());
    // The board begins at x = 0 in its own drawing: so does its frame.
    let left = job.board("C").unwrap().outline.bounds().min.x;
    let seam = format!("L{},", 800.0 - left);
    assert!(drawing.svg.contains(&seam), "{seam}");
}

#[test]
fn drawings_and_sheets_show_them_and_stay_sound() {
    let (job, plan) = (job(), sample::plan());
    let steps = heartside_cutting::steps(&job, &plan);
    let options = Options::default();
    let mut all = sheets(&job, &plan, &steps, Paper::A4, &options);
    all.push(overview_svg(&job, &plan, &steps, &options));
    let mut shown = BTreeSet::new();
    for drawing in &all {
        let (_, ids) = read(&drawing.svg);
        let own: BTreeSet<_> = ids.iter().collect();
        assert_eq!(ids.len(), own.len(), "{}", drawing.name);
        for piece in drawing.svg.split("clip-path=\"url(#").skip(1) {
            let id = piece.split(')').next().unwrap();
            assert!(ids.iter().any(|i| i == id), "{id}");
        }
        for digit in ['a', 'c', 'd'] {
            if drawing
                .svg
                .contains(&format!("href=\"photo:{}\"", hash(digit)))
            {
                shown.insert((digit, drawing.name.contains("overview")));
            }
        }
    }
    assert!(shown.len() >= 3, "{shown:?}");
}

#[test]
fn a_photograph_that_comes_or_goes_is_drawn_again() {
    let (with, without, plan) = (job(), sample::job(), sample::plan());
    let view = View::default();
    let mut kept = KeptFloor::default();
    for job in [&without, &with, &without] {
        let again = floor_again(&on(job, &plan), &view, &mut kept);
        assert_eq!(again.fragments, floor(&on(job, &plan), &view).fragments);
    }
}

/// The numbers of a path of straight lines, pair by pair.
fn points_of(d: &str) -> Vec<(f64, f64)> {
    let pairs = d.trim_matches(['M', 'Z']).split(['M', 'L']);
    let read = |pair: &str| {
        let (x, y) = pair.split_once(',').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    };
    pairs.map(read).collect()
}

fn after<'a>(text: &'a str, before: &str) -> &'a str {
    let (_, rest) = text.split_once(before).unwrap();
    rest.split('"').next().unwrap()
}

#[test]
fn a_board_turns_over_like_a_page() {
    let ring = |points: &[(f64, f64)]| {
        let points = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Region::from_ring(Ring::new(points).unwrap())
    };
    let mut job = sample::job();
    let mut board = job.board("A").unwrap().clone();
    // Wider at the left end; a knot through it near its lower edge, and a mark on each face.
    let corners = [(0.0, -80.0), (1000.0, -60.0), (1000.0, 110.0), (0.0, 120.0)];
    board.outline = ring(&corners);
    board.sides = vec![board.sides[0]; 4];
    let mut zone = board.zones[0].clone();
    zone.shape = ring(&[
        (300.0, -60.0),
        (340.0, -60.0),
        (340.0, -30.0),
        (300.0, -30.0),
    ]);
    let zones = [ZoneFace::Through, ZoneFace::Up, ZoneFace::Down].map(|face| {
        zone.face = face;
        zone.note = format!("mark {face:?}");
        zone.clone()
    });
    board.zones = zones.to_vec();
    job.boards.retain(|b| b.id != "A");
    job.boards.push(board.clone());
    // Of the down face: in the mirrored frame the board lies from -120 to 80.
    let photo = Photo {
        is_down: true,
        covers: Bounds::new(Point::new(-40.0, -160.0), Point::new(1040.0, 120.0)),
        ..photo("A", 'b', 0.0, 0.0)
    };
    let up = face_picture(&job, &board, Vec::new(), false, false);
    let down = face_picture(&job, &board, vec![photo.clone()], true, false);
    for (svg, own, other) in [
        (&up, "mark Up", "mark Down"),
        (&down, "mark Down", "mark Up"),
    ] {
        read(svg);
        assert!(svg.contains(own) && svg.contains("mark Through"), "{svg}");
        assert!(!svg.contains(other) && !svg.contains("underneath"), "{svg}");
        assert!(!svg.contains("scale("), "words would be mirrored");
    }
    // The same size and place.
    assert_eq!(after(&up, "viewBox=\""), after(&down, "viewBox=\""));
    let outline = |svg: &str| points_of(after(svg, "<path class=\"hs-wood\" d=\""));
    // The picture's y runs down from the edge that is uppermost.
    let as_it_lies = corners.map(|(x, y)| (x, 120.0 - y));
    let turned = corners.map(|(x, y)| (x, y + 80.0));
    assert_eq!(outline(&up), as_it_lies);
    assert_eq!(outline(&down), turned);
    // A point that the photo shows at the middle of the knot falls on the middle of the knot.
    let knot = Point::new(320.0, -45.0);
    let drawn = (knot.x, knot.y + 80.0);
    let attribute = |name: &str| -> f64 {
        let image = down.split("<image ").nth(1).unwrap();
        after(image, &format!(" {name}=\"")).parse().unwrap()
    };
    let share = (
        (knot.x - photo.covers.min.x) / photo.covers.width(),
        // From the top of the picture; the face's frame is the board's mirrored.
        (photo.covers.max.y - -knot.y) / photo.covers.height(),
    );
    let shown = (
        attribute("x") + share.0 * attribute("width"),
        attribute("y") + share.1 * attribute("height"),
    );
    assert!((shown.0 - drawn.0).abs() < 1e-6 && (shown.1 - drawn.1).abs() < 1e-6);
    // Its own clip: on the floor a board of the same place lies the other way up.
    assert!(down.contains("url(#clip-down-"), "{down}");
}

#[test]
fn what_is_known_of_the_figure_lies_over_the_wood_of_its_face() {
    let layer = |name: &str, levels: [u8; 4]| FigureLayer {
        name: name.to_owned(),
        cell: 20.0,
        origin: [100.0, -20.0],
        columns: 2,
        levels: levels.into(),
    };
    let mut job = sample::job();
    // Along the board at the lower left cell of the face, as strong as a whole stroke.
    job.figure = vec![FigureMap {
        photo: "b".repeat(64),
        board: "A".to_owned(),
        is_down: true,
        layers: vec![
            layer("strength", [100, 0, 1, 1]),
            layer("direction", [128, 1, 1, 1]),
            layer("sapwood", [1, 255, 1, 255]),
        ],
    }];
    let board = job.boards.iter_mut().find(|b| b.id == "A").unwrap();
    let mut zone = board.zones[0].clone();
    (zone.kind, zone.face, zone.weight) = (ZoneKind::Figure, ZoneFace::Up, -1.0);
    let corners = [(90.0, 10.0), (110.0, 10.0), (110.0, 30.0), (90.0, 30.0)];
    zone.shape =
        Region::from_ring(Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap());
    board.zones = vec![zone];
    let board = board.clone();
    let shown = |turned, figure| {
        let svg = face_picture(&job, &board, Vec::new(), turned, figure);
        read(&svg);
        svg.split_once("class=\"hs-overlay\" opacity=\"0.8\">")
            .map(|(_, rest)| rest.split_once("</g>").unwrap().0.to_owned())
    };
    assert_eq!((shown(false, false), shown(true, false)), (None, None));
    let bounds = board.outline.bounds();
    let down = shown(true, true).unwrap();
    let lines: Vec<Vec<(f64, f64)>> = down
        .split(" d=\"")
        .skip(1)
        .map(|d| points_of(d.split('"').next().unwrap()))
        .collect();
    let x = |x: f64| ((x - bounds.min.x) * 1000.0).round() / 1000.0;
    // As finely as drawings are written.
    let y = |y: f64| ((-bounds.min.y - y) * 1000.0).round() / 1000.0;
    assert_eq!(lines[0], [(x(101.5), y(-10.0)), (x(118.5), y(-10.0))]);
    // Between the two columns sapwood begins, from the lowest row to the highest.
    assert_eq!(lines[1], [(x(120.0), y(-20.0)), (x(120.0), y(20.0))]);
    assert_eq!(lines.len(), 2);
    // On the other face nothing was photographed; there one place is not wanted.
    let up = shown(false, true).unwrap();
    assert!(
        up.matches(" d=\"").count() == 1 && up.matches('M').count() == 1,
        "{up}"
    );
}
