//! The piece of a photograph that a part is filled with.

use heartside_geometry::{Bounds, math};
use heartside_timber::job::Job;
use heartside_timber::words::listed;

use super::{FaceSeen, TileSeen};
use crate::lineage::pictures;
use crate::pen::Pen;
use crate::photo;
use crate::svg::{Origin, number};

/// True where a photograph shows what is seen of a piece.
pub fn has_figure(job: &Job, tile: &TileSeen) -> bool {
    !pictures(job, &tile.root, tile.is_down).is_empty()
}

/// Fills a piece with its wood as far as photographs show it, in a drawing in which the face's upper left corner is at
/// (0, 0) and y runs down. What moves with the wood is one group, with `data-figure`, the part and its copy.
/// `id` tells the piece from all others in the drawing.
pub(crate) fn figure(pen: &mut Pen, job: &Job, face: &FaceSeen, tile: &TileSeen, id: &str) {
    if job.photos.is_empty() {
        return;
    }
    let high = face.size[1];
    let Bounds { min, max } = tile.seen;
    let d = format!(
        "M{},{}H{}V{}H{}Z",
        number(min.x),
        number(high - max.y),
        number(max.x),
        number(high - min.y),
        number(min.x)
    );
    let id = &format!("{}{id}", pen.ids);
    photo::clipped(pen, id, &d);
    let part = &tile.part;
    let extra = format!(
        " data-figure=\"{}#{}\" transform=\"{}\"",
        crate::svg::escape(&part.part),
        part.copy,
        transform(face, tile)
    );
    pen.open("", "hs-figure", "", &extra);
    let photos = pictures(job, &tile.root, tile.is_down);
    photo::images(pen, &photos, Origin::at(0.0, 0.0), id);
    pen.close();
    pen.close();
}

/// The pictures of a piece, and the SVG transform of their group: what changes of a face while a blank is dragged. `id` as it
/// was drawn with, so that no other has it.
pub fn pictures_in(job: &Job, face: &FaceSeen, tile: &TileSeen, id: &str) -> (String, String) {
    let mut pen = Pen::new(1.0);
    let photos = pictures(job, &tile.root, tile.is_down);
    photo::images(&mut pen, &photos, Origin::at(0.0, 0.0), id);
    (pen.out, transform(face, tile))
}

/// From the frame of the board's face, its y running down in the drawing, to the piece's place: a turn and a move.
fn transform(face: &FaceSeen, tile: &TileSeen) -> String {
    let pose = &tile.to_face_frame;
    let (sin, cos) = math::sin_cos_deg(pose.turn);
    let right = -cos * pose.x - sin * pose.y;
    let down = face.size[1] - sin * pose.x + cos * pose.y;
    // Nine places: a thousandth of a millimetre over the longest board.
    let fine = |value: f64| {
        let text = format!("{value:.9}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" {
            "0".to_owned()
        } else {
            text.to_owned()
        }
    };
    format!(
        "matrix({} {} {} {} {} {})",
        fine(cos),
        fine(sin),
        fine(-sin),
        fine(cos),
        number(right),
        number(down)
    )
}

/// Which pieces of a face no photograph shows, in a sentence; empty where all are shown. `name` says what a piece is called.
pub(crate) fn unseen_words(
    job: &Job,
    face: &FaceSeen,
    name: impl Fn(&TileSeen) -> String,
) -> String {
    let unseen = face.tiles.iter().filter(|tile| !has_figure(job, tile));
    let unseen: Vec<String> = unseen.map(name).collect();
    if unseen.is_empty() {
        return String::new();
    }
    if unseen.len() == face.tiles.len() {
        return "No photo shows this side: its wood is drawn, not seen.".to_owned();
    }
    format!(
        "No photo shows this side of {}: that wood is drawn, not seen.",
        listed(&unseen)
    )
}
