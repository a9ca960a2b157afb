//! Photographs of boards: inside the board and inside every placed part, with words that stay readable.

#![allow(clippy::unwrap_used)]

mod sample;
// Only sound XML and its ids are asked of it here.
#[allow(dead_code)]
mod svg_read;

use std::collections::BTreeSet;

use heartside_drawing::{
    KeptFloor, OnTheFloor, Options, Paper, View, board_svg, floor, floor_again, overview_svg,
    sheets,
};
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Job, Photo};
use svg_read::read;

fn hash(digit: char) -> String {
    digit.to_string().repeat(64)
}

fn photo(board: &str, digit: char, from: f64, to: f64) -> Photo {
    Photo {
        hash: hash(digit),
        board: board.to_owned(),
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
