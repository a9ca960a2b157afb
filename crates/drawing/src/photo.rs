//! Photographs of a board, on its wood and under everything that is drawn there.
//!
//! A drawing names a picture `photo:` and the hash of its file; whoever shows it puts the file's own address
//! in its place, or the file itself.

use heartside_geometry::Bounds;
use heartside_timber::job::{Board, Job, Photo};

use crate::lineage::photos_of;
use crate::pen::Pen;
use crate::svg::{Origin, number};

/// Draws them, in millimetres of the frame of the face that is seen, as far as the wood goes.
pub(crate) fn draw(pen: &mut Pen, job: &Job, board: &Board, origin: Origin) {
    let photos = photos_of(job, board, origin.turned_over);
    if photos.is_empty() {
        return;
    }
    let place = job.board_index(&board.id).unwrap_or_default();
    let face = if origin.turned_over { "down-" } else { "" };
    let (x, y) = (number(origin.x), number(origin.y));
    let clip = format!("clip-{face}{place}-{x}-{y}");
    clipped(pen, &clip, &origin.region(&board.outline));
    images(pen, &photos, origin.of_face(), &clip);
    pen.close();
}

/// Opens a group of which only what lies within a path is seen. Its id has a number of the path in it, so that the
/// same id in another drawing on the same page is the same shape (FNV-1a, 32 bits; Fowler, Noll and Vo).
pub(crate) fn clipped(pen: &mut Pen, id: &str, d: &str) {
    let step = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    let path = d.bytes().fold(0x811c_9dc5, step);
    let id = format!("{id}-{path:x}");
    pen.out.push_str(&format!(
        "<clipPath id=\"{id}\"><path d=\"{d}\"/></clipPath>"
    ));
    pen.open("", "", "", &format!(" clip-path=\"url(#{id})\""));
}

/// Pictures of one face from left to right, in the frame of the face; where two lie side by side the seam is in the
/// middle of what both show. Ids begin with `clip`.
pub(crate) fn images(pen: &mut Pen, photos: &[&Photo], origin: Origin, clip: &str) {
    for (k, photo) in photos.iter().enumerate() {
        let shown = between_seams(photos, k);
        let is_whole = shown == photo.covers;
        if !is_whole {
            let corners = shown.corners();
            clipped(pen, &format!("{clip}-{k}"), &origin.ring(&corners));
        }
        let Bounds { min, max } = photo.covers;
        let corner = origin.map(heartside_geometry::Point::new(min.x, max.y));
        pen.out.push_str(&format!(
            "<image href=\"photo:{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\"/>",
            photo.hash,
            number(corner.x),
            number(corner.y),
            number(photo.covers.width()),
            number(photo.covers.height()),
        ));
        if !is_whole {
            pen.close();
        }
    }
}

/// What is shown of one of several pictures.
fn between_seams(photos: &[&Photo], k: usize) -> Bounds {
    let seam = |left: &Photo, right: &Photo| {
        let overlap = left.covers.max.x > right.covers.min.x;
        overlap.then_some(0.5 * (left.covers.max.x + right.covers.min.x))
    };
    let mut shown = photos[k].covers;
    if let Some(x) = photos.get(k + 1).and_then(|next| seam(photos[k], next)) {
        shown.max.x = shown.max.x.min(x);
    }
    let before = k.checked_sub(1).map(|k| photos[k]);
    if let Some(x) = before.and_then(|before| seam(before, photos[k])) {
        shown.min.x = shown.min.x.max(x);
    }
    shown
}
