//! What is left at the end of a job, as boards of the next.

use heartside_geometry::Vector;
use heartside_timber::document::{self, BoardCopy, Document, Hand, Use};
use heartside_timber::job::Job;

use super::Ground;
use super::row::{row, zones};
use super::wood::Wood;

/// The pieces that are worth keeping, as boards of their own: measured from their own corner, with a note of
/// where they came from.
///
/// Blanks in hand are none; nor is what is smaller than the workshop's smallest offcut.
pub fn offcuts_home(document: &Document, job: &Job) -> Vec<document::Board> {
    let (length, width) = job.workshop.min_offcut;
    let mut boards = Vec::new();
    for board in &job.boards {
        let extent = board.outline.bounds();
        let is_worth = extent.width() >= length && extent.height() >= width;
        let Some(origin) = board.from.as_ref().filter(|_| is_worth) else {
            continue;
        };
        if origin.holds.is_some() || board.left() == 0 {
            continue;
        }
        let copy = BoardCopy {
            board: board.id.clone(),
            copy: 1,
        };
        let Ok(ground) = Ground::find(document, job, &copy) else {
            continue;
        };
        let wood = Wood::of(board);
        let whole = row(
            &ground,
            &wood,
            board.id.clone(),
            (String::new(), None),
            (0, Hand::Left),
        );
        let Some(mut kept) = whole else { continue };
        kept.from = None;
        // The wood of a spoiled part is left alone only where that part is wanted.
        if kept.usage == Use::Leave {
            kept.usage = Use::default();
        }
        move_to_zero(&mut kept, &ground, &wood);
        let title = document.title.trim();
        kept.note = match title.is_empty() {
            true => format!("offcut of {}", origin.root.board),
            false => format!("offcut of {} ({title})", origin.root.board),
        };
        boards.push(kept);
    }
    boards
}

/// Moves a board so that its corners count from its own lowest.
fn move_to_zero(board: &mut document::Board, ground: &Ground<'_>, wood: &Wood) {
    let low = wood.region.bounds().min;
    let by = Vector::new(-low.x, -low.y);
    let moved = Wood {
        region: wood.region.translated(by),
        sides: wood.sides.clone(),
    };
    board.outline = moved.outline();
    board.zones = zones(ground.source, ground.board, &wood.region, by);
    if let Some(grain) = &mut board.grain {
        for [x, y] in grain.lines.iter_mut().flatten() {
            (*x, *y) = (*x + by.x, *y + by.y);
        }
    }
}
