//! One face of a board as it is seen: the board as it lies, or turned over like a page.

use heartside_timber::document::{BoardCopy, ZoneFace};
use heartside_timber::job::{Board, Job, Photo};

use crate::picture::picture;
use crate::scene::{Look, Outside, Subject};
use crate::svg::{Origin, escape, number};

/// How wide on paper the picture is made to be read at, in millimetres: it stands beside the floor.
const READ_AT: f64 = 64.0;

/// Room round the board in the picture, in millimetres of paper: for the signs of areas that reach over its edge.
const RIM: f64 = 2.0;

/// A face of a board: an `svg` element in millimetres of wood, in which both faces have the same size and place.
///
/// The down face is seen with the board turned over about its length: mirrored from y to -y, the words
/// readable. `photos` are those of the face that is seen, in millimetres of its frame: the board's, or that
/// mirrored. Marked areas are those on this face and those that go through; where the word of one finds no
/// room on the wood, it is in the title of the area alone. With `figure` what is
/// known of that lies over the wood. O(outline vertices x hatch lines).
pub fn face_picture(
    job: &Job,
    board: &Board,
    photos: Vec<Photo>,
    turned_over: bool,
    figure: bool,
) -> String {
    let (other, word) = if turned_over {
        (ZoneFace::Up, "down face")
    } else {
        (ZoneFace::Down, "up face")
    };
    // They are given for this face, whatever board of its line they are of.
    let photos = photos.into_iter().map(|photo| Photo {
        board: board.id.clone(),
        is_down: turned_over,
        ..photo
    });
    let job = Job {
        photos: photos.collect(),
        ..job.clone()
    };
    let mut seen = board.clone();
    seen.zones.retain(|zone| zone.face != other);
    for zone in &mut seen.zones {
        // None of them lies underneath as the board is seen.
        zone.face = ZoneFace::Up;
    }
    let bounds = board.outline.bounds();
    let unit = (bounds.width().max(bounds.height()) / READ_AT).max(0.05);
    let upper = if turned_over {
        -bounds.min.y
    } else {
        bounds.max.y
    };
    let origin = Origin {
        turned_over,
        ..Origin::at(-bounds.min.x, upper)
    };
    let copy = BoardCopy {
        board: board.id.clone(),
        copy: 1,
    };
    let subject = Subject {
        job: &job,
        board: &seen,
        copy: &copy,
        layout: None,
        steps: &[],
        findings: &[],
        selected: &[],
        others: &[],
    };
    let look = Look {
        dimensions: false,
        cuts: false,
        chosen: None,
        outside: Outside::Within(0.0),
        least_type: 0.0,
        figure,
    };
    let drawn = picture(subject, look, origin, unit);
    let rim = RIM * unit;
    format!(
        "<svg viewBox=\"{} {} {} {}\" role=\"img\"><title>{}</title><g class=\"hs\">{}</g></svg>",
        number(-rim),
        number(-rim),
        number(bounds.width() + 2.0 * rim),
        number(bounds.height() + 2.0 * rim),
        escape(&format!("Board {}, {word}", board.id)),
        drawn.ground + &drawn.zones + &drawn.labels,
    )
}
