//! `heartside figure` on boards taken in from photographs.

use crate::run;

use std::path::{Path, PathBuf};

use heartside_testkit::{Ground, RealBoard, straight_photo};
use run::{folder, heartside, text, text_of};
use serde_json::json;

/// Ground beside the board in a picture, in millimetres.
const BEYOND: f64 = 40.0;
/// Side of a pixel in millimetres.
const PIXEL: f64 = 2.0;
const LENGTH: f64 = 1200.0;
const WIDTH: f64 = 170.0;

/// A board with straight edges, by its number.
fn straight_board(number: usize) -> (u32, RealBoard) {
    let of = |seed| (seed, RealBoard::new(seed, LENGTH, WIDTH));
    let is_straight = |(_, board): &(u32, RealBoard)| {
        let mut points = board.outline.iter();
        points.all(|p| {
            let off = p.x.min(LENGTH - p.x).min(p.y).min(WIDTH - p.y);
            off.abs() < 4.0
        })
    };
    let mut boards = (1..).map(of).filter(is_straight);
    boards.nth(number).expect("there is always one more")
}

/// Takes the photograph of a board into a job.
fn add(job: &Path, place: &Path, number: usize) {
    let (seed, board) = straight_board(number);
    let photo = straight_photo(seed, Ground::Concrete, &board, PIXEL, BEYOND).picture;
    let file = place.join(format!("{number}.png"));
    let picture = image::RgbImage::from_raw(photo.width, photo.height, photo.rgb);
    picture.expect("a picture").save(&file).expect("written");
    let [left, right] = [BEYOND, BEYOND + LENGTH].map(|v| v / PIXEL);
    let [top, bottom] = [BEYOND, BEYOND + WIDTH].map(|v| v / PIXEL);
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    let corners = corners.map(|(x, y)| format!("{x},{y}"));
    let (job, file) = (plain(job), plain(&file));
    let mut words = vec!["add-photo", &job, &file, "-o", &job, "--corners"];
    words.extend(corners.iter().map(String::as_str));
    words.extend(["--length", "1200", "--width", "170", "--thickness", "34"]);
    words.extend(["--pixel", "2"]);
    let run = heartside(&words);
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
}

fn plain(path: &Path) -> String {
    path.to_str().expect("plain").to_owned()
}

/// A job with so many photographed boards.
fn job(name: &str, boards: usize) -> (PathBuf, PathBuf) {
    let place = folder(name);
    let path = place.join("job.zip");
    let job = json!({
        "format": "heartside-job", "version": 2,
        "workshop": {"tools": [{"name": "circular saw", "does": ["rip", "crosscut"], "kerf": 2.5}]},
        "parts": [{"id": "top", "name": "Top", "thickness": 20, "may_turn_over": true,
            "shape": {"form": "rectangle", "length": 520, "width": 240}}],
        "panels": [{"part": "top", "max_width": 145}],
    });
    std::fs::write(&path, job.to_string()).expect("written");
    for number in 0..boards {
        add(&path, &place, number);
    }
    (path, place)
}

#[test]
fn faces_are_measured_and_better_ones_written() {
    let (job, place) = job("figure", 2);
    let job = plain(&job);
    let (plans, taken) = (place.join("plans"), place.join("taken.zip"));
    let (folder, out) = (plain(&plans), plain(&taken));
    let run = heartside(&["figure", &job, "--plans", &folder, "-o", &out]);
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    let said = text(&run.stdout);
    let measured = |from: &str, said: &str| {
        let lines = said.lines().map(|line| line.trim().to_owned());
        let lines = lines.skip_while(|line| !line.starts_with(from)).skip(1);
        let is_measure = |line: &String| line.starts_with("Halves") || line.starts_with("Runs on");
        lines.filter(is_measure).take(2).collect::<Vec<_>>()
    };
    let best = measured("1. ", &said);
    assert_eq!(best.len(), 2, "{said}");
    for number in 1..=2 {
        let name = format!("face-1-{number}");
        let written = plans.join(format!("{name}.heartside.json"));
        let checked = heartside(&["check", &plain(&written)]);
        assert_eq!(checked.status.code(), Some(0), "{}", text_of(&checked));
        let picture = std::fs::read_to_string(plans.join(format!("{name}.svg")));
        let picture = picture.expect("a picture");
        assert!(picture.contains("data:image/jpeg;base64,") && !picture.contains("photo:"));
    }
    // What was taken is measured as it was offered, and has its photographs with it.
    let run = heartside(&["figure", &out, "--steps", "0"]);
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    assert_eq!(
        measured("Top", &text(&run.stdout)),
        best,
        "{}",
        text_of(&run)
    );
    let run = heartside(&["figure", &out, "--steps", "0", "--panel", "lid"]);
    assert_eq!(run.status.code(), Some(2));
    assert!(
        text(&run.stderr).contains("there are: Top"),
        "{}",
        text_of(&run)
    );
}
