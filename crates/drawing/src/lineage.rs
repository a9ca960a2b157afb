//! What a piece was cut from, and so whose photographs show its wood.

use heartside_geometry::Arrange;
use heartside_timber::job::{Board, Job, Photo};

/// The pictures of a face of a board, from left to right: a piece shows its own, else those of the nearest that it
/// was cut from.
pub fn photos_of<'a>(job: &'a Job, board: &Board, is_down: bool) -> Vec<&'a Photo> {
    let line = lineage(job, board);
    let mut found = line.iter().map(|(id, _)| pictures(job, id, is_down));
    found.find(|of| !of.is_empty()).unwrap_or_default()
}

/// The pictures of a face that are of this board or piece itself, from left to right.
pub(crate) fn pictures<'a>(job: &'a Job, id: &str, is_down: bool) -> Vec<&'a Photo> {
    let photos = job.photos.iter();
    let mut photos: Vec<&Photo> = photos
        .filter(|p| p.board == id && p.is_down == is_down)
        .collect();
    photos.arrange_by(|a, b| a.covers.min.x.total_cmp(&b.covers.min.x));
    photos
}

/// Whether one is known of this board or piece itself: its map is kept with the job even where the file of the
/// photograph is not at hand.
pub(crate) fn has_picture(job: &Job, id: &str, is_down: bool) -> bool {
    let mut maps = job.figure.iter();
    maps.any(|map| map.board == id && map.is_down == is_down)
        || !pictures(job, id, is_down).is_empty()
}

/// The ids of a piece and of everything that it was cut from, the board as it was bought last; with each whether
/// it came free by resawing.
pub(crate) fn lineage<'a>(job: &'a Job, board: &'a Board) -> Vec<(&'a str, bool)> {
    let mut line: Vec<(&str, bool)> = Vec::new();
    let mut at = Some(board);
    while let Some(board) = at {
        // A job from a file is no circle, and this is no place to find out.
        if line.iter().any(|(id, _)| *id == board.id) {
            break;
        }
        let cut = board.from.as_ref().and_then(|from| job.done.get(from.done));
        line.push((&board.id, cut.is_some_and(|cut| cut.resawn)));
        at = cut.and_then(|cut| job.board(&cut.board.board));
    }
    // Also where a cut between them cannot be read.
    if let Some(from) = &board.from
        && line.iter().all(|(id, _)| *id != from.root.board)
    {
        line.push((&from.root.board, false));
    }
    line
}
