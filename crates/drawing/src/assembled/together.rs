//! Parts that must look related, as they are seen together: doors side by side, fronts of drawers, a run end to end.

use heartside_cutting::board_label;
use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;

use super::alone::{Drawn, small};
use super::marks::grain_of;
use super::{face_id, unseen_in};
use crate::document::{Drawing, Options, joined};
use crate::faces::{FaceSeen, TileSeen, figure, has_figure};
use crate::pen::{Pen, Words};
use crate::svg::{Ids, escape, number, safe_file_name};
use crate::text::shorten;
use crate::title::{Title, Verdict};

/// Widths on paper that the drawing is made to be read at, in millimetres: in a file, and beside the floor.
const READ_AT: f64 = 170.0;
const BESIDE: f64 = 64.0;

/// Size of type on paper, in millimetres.
const TYPE: f64 = 2.7;

/// A face of a match, to be shown beside the floor: an `svg` element in millimetres of wood. `stands`: its grain
/// is upright, what comes first lies to the left.
pub fn together(job: &Job, face: &FaceSeen, stands: bool) -> String {
    let mut pen = Pen::new(unit_for(face, stands, BESIDE));
    let extent = draw(&mut pen, job, face, stands, &mut Vec::new()).grown(pen.unit);
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
    let extent = draw(&mut pen, job, face, stands, &mut labels);
    let show = |mm: f64| write_dimension(mm, &job.units);
    let [along, across] = face.size.map(show);
    let head = Title {
        heading: heading(face),
        job: job.title.clone(),
        facts: vec![format!("{along} along the grain × {across}")],
        verdict: Verdict::of(options.findings, None),
        missing: 0,
        small: small(options),
    };
    let name = format!("together-{}", safe_file_name(&heading(face)));
    let drawn = Drawn {
        pen,
        extent,
        labels,
    };
    drawn.alone(job, &name, &head, &unseen_in(job, face), options)
}

fn unit_for(face: &FaceSeen, stands: bool, read_at: f64) -> f64 {
    let wide = face.size[usize::from(stands)];
    (wide / read_at).max(0.05)
}

fn heading(face: &FaceSeen) -> String {
    if face.is_back {
        return format!("{}, from behind", face.name);
    }
    face.name.clone()
}

/// Draws it with its upper left corner at (0, 0); its extent.
fn draw(
    pen: &mut Pen,
    job: &Job,
    face: &FaceSeen,
    stands: bool,
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
    for tile in &face.tiles {
        let own = drawn(face, tile, stands);
        let size = (TYPE * pen.unit).min(0.5 * own.height());
        let from = tile.board.as_ref();
        let from = from.map_or_else(
            || "on the trestle".to_owned(),
            |board| format!("from {}", board_label(job, board)),
        );
        let name = job.name_of(&tile.part).unwrap_or_default();
        let told = shorten(&joined(&[&name, &from]), size, 0.92 * own.width());
        let words = Words::new(told, "hs-name", own.centre(), size);
        let words = words.haloed(0.8 * size, "hs-halo-wood");
        labels.push(words.bounds());
        pen.words(&words);
    }
    if stands {
        Bounds::of_size(high, long)
    } else {
        Bounds::of_size(long, high)
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
