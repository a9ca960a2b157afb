//! Photographs of boards: where each lies on its board.

use super::reading::{Reading, Thing};
use crate::document::{Document, ZoneFace};
use crate::job::Photo;

/// The pictures of faces. One that cannot be drawn is said and left out, one that is put by is
/// left out; a plan is the same without it.
pub(super) fn photos(document: &Document, reading: &mut Reading<'_>) -> Vec<Photo> {
    let mut photos = Vec::new();
    for (row, photo) in document.photos.iter().enumerate() {
        let place = Thing::job().field(&format!("photos[{row}]"));
        let board = document.boards.iter().position(|b| b.id == photo.board);
        let Some(board) = board else {
            let message = format!(
                "a photo shows board \u{201c}{}\u{201d}, which is not there",
                photo.board
            );
            let hint = "take the photo in again for a board that is there";
            reading.warn("photo-of-no-board", place, message, hint);
            continue;
        };
        let Some(covers) = photo.covers() else {
            if photo.rendered.is_some() && photo.hash.is_empty() {
                // Its picture is still to be made.
                continue;
            }
            let thing = Thing::board(document, board);
            let name = thing.field("").name.unwrap_or_default();
            reading.warn(
                "photo-unusable",
                place,
                format!(
                    "a photo of board {name} cannot be shown: its file or its scale is not told"
                ),
                "take the photo in again",
            );
            continue;
        };
        if photo.put_by.is_some() {
            continue;
        }
        photos.push(Photo {
            hash: photo.hash.clone(),
            board: photo.board.clone(),
            is_down: photo.face == ZoneFace::Down,
            covers,
        });
    }
    photos
}
