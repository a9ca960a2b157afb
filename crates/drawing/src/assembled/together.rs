//! Parts that must look related, as they are seen together: doors side by side, fronts of drawers, a run end to end.

use heartside_cutting::board_label;
use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;

use super::alone::{Drawn, small};
use super::marks::grain_of;
use super::{FaceShown, face_id, tag, unseen_in};
use crate::document::{Drawing, Options, joined};
use crate::faces::{FaceSeen, TileSeen, figure, has_figure};
use crate::pen::{Pen, Words};
use crate::svg::{Ids, escape, number, safe_file_name};
use crate::text::{shorten, text_width};
use crate::title::{Title, Verdict};

/// The width on paper that the drawing in a file is made to be read at, in millimetres.
const READ_AT: f64 = 170.0;

/// Size of type on paper, in millimetres.
const TYPE: f64 = 2.7;

/// A face of a match, to be shown beside the floor: an `svg` element in millimetres of wood. Where it stands,
/// what comes first lies to the left.
pub fn together(job: &Job, face: &FaceSeen, shown: FaceShown) -> String {
    let mut pen = Pen::new(unit_for(face, shown.stands, shown.read_at()));
    let extent = draw(
        &mut pen,
        job,
        face,
        shown.stands,
        shown.is_bare,
        &mut Vec::new(),
    );
    let extent = extent.grown(0.3 * pen.unit);
    format!(
        "<svg viewBox=\"{} {} {} {}\" role=\"img\"><title>{}</title><g class=\"hs\">{}</g></svg>",
        number(extent.min.x),
        number(extent.min.y),
        number(extent.width()),
        number(extent.height()),
        escape(&heading(face)),
        pen.out
    )
}

/// The drawing of a face of a match that stands alone, one unit a millimetre of wood.
pub fn together_svg(job: &Job, face: &FaceSeen, stands: bool, options: &Options) -> Drawing {
    let mut pen = Pen::new(unit_for(face, stands, READ_AT));
    let mut labels = Vec::new();
    let extent = draw(&mut pen, job, face, stands, false, &mut labels);
    let head = head(job, face, small(options), options);
    let name = format!("together-{}", safe_file_name(&heading(face)));
    let drawn = Drawn {
        pen,
        extent,
        labels,
    };
    drawn.alone(job, &name, &head, &unseen_in(job, face), options)
}

/// What stands over the drawing.
pub(super) fn head(job: &Job, face: &FaceSeen, small: String, options: &Options) -> Title {
    let show = |mm: f64| write_dimension(mm, &job.units);
    let [along, across] = face.size.map(show);
    Title {
        heading: heading(face),
        job: job.title.clone(),
        facts: vec![format!("{along} along the grain × {across}")],
        verdict: Verdict::of(options.findings, None),
        missing: 0,
        small,
    }
}

fn unit_for(face: &FaceSeen, stands: bool, read_at: f64) -> f64 {
    let wide = face.size[usize::from(stands)];
    (wide / read_at).max(0.05)
}

pub(super) fn heading(face: &FaceSeen) -> String {
    if face.is_back {
        return format!("{}, from behind", face.name);
    }
    face.name.clone()
}

/// Draws it with its upper left corner at (0, 0); its extent.
pub(super) fn draw(
    pen: &mut Pen,
    job: &Job,
    face: &FaceSeen,
    stands: bool,
    is_bare: bool,
    labels: &mut Vec<Bounds>,
) -> Bounds {
    let [long, high] = face.size;
    let turned = if stands {
        // The start of the grain comes to the top, the lowest part to the left.
        " transform=\"matrix(0 1 -1 0 HIGH 0)\"".replace("HIGH", &number(high))
    } else {
        String::new()
    };
    let mut ids = Ids::default();
    pen.open("", "", "", &turned);
    for (k, tile) in face.tiles.iter().enumerate() {
        let own = drawn(face, tile, false);
        let title = job.name_of(&tile.part).unwrap_or_default();
        let id = ids.make("seen", &tile.part.part);
        let (part, copy) = (escape(&tile.part.part), tile.part.copy);
        pen.open(
            &id,
            "hs-seen",
            &title,
            &format!(" data-seen=\"{part}#{copy}\""),
        );
        pen.rect("hs-wood", own, 0.0, 0.0);
        figure(pen, job, face, tile, &format!("{}-{k}", face_id(face)));
        if !has_figure(job, tile) {
            pen.path("hs-grain", &grain_of(own, k as u32, pen.unit), 0.14, &[]);
        }
        pen.rect("hs-edge", own, 0.0, 0.3);
        pen.close();
    }
    pen.close();
    for tile in face.tiles.iter().filter(|_| !is_bare) {
        let own = drawn(face, tile, stands);
        let from = tile.board.as_ref();
        let from = from.map_or_else(
            || "on the trestle".to_owned(),
            |board| format!("from {}", board_label(job, board)),
        );
        let name = job.name_of(&tile.part).unwrap_or_default();
        let on_photo = has_figure(job, tile);
        let words = written(&joined(&[&name, &from]), own, TYPE * pen.unit, on_photo);
        labels.push(words.bounds());
        if on_photo {
            tag(pen, &words);
        }
        pen.words(&words);
    }
    if stands {
        Bounds::of_size(high, long)
    } else {
        Bounds::of_size(long, high)
    }
}

/// What is written on a piece: upwards where it is narrow and high. On a photograph at its lower edge, so that
/// little of the wood is hidden.
fn written(told: &str, own: Bounds, size: f64, on_photo: bool) -> Words {
    let is_upright = own.height() > own.width() && text_width(told, size) > 0.92 * own.width();
    let (long, high) = match is_upright {
        true => (own.height(), own.width()),
        false => (own.width(), own.height()),
    };
    let size = size.min(0.5 * high) * if on_photo { 0.85 } else { 1.0 };
    let told = shorten(told, size, 0.92 * long);
    let mut at = own.centre();
    if on_photo && is_upright {
        at.x = own.min.x + size.min(0.5 * high);
    } else if on_photo {
        at.y = own.max.y - size.min(0.5 * high);
    }
    let words = Words::new(told, "hs-name", at, size);
    let words = if is_upright { words.turned() } else { words };
    match on_photo {
        true => words,
        false => words.haloed(0.8 * size, "hs-halo-wood"),
    }
}

/// Where a piece is in the drawing.
fn drawn(face: &FaceSeen, tile: &TileSeen, stands: bool) -> Bounds {
    let Bounds { min, max } = tile.seen;
    if stands {
        return Bounds::new(Point::new(min.y, min.x), Point::new(max.y, max.x));
    }
    let high = face.size[1];
    Bounds::new(
        Point::new(min.x, high - max.y),
        Point::new(max.x, high - min.y),
    )
}
