//! The printed page of parts that are seen together, as far as photographs show them.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use super::together::{draw, head, heading};
use super::unseen_in;
use crate::document::{Drawing, Options, document, joined};
use crate::faces::{FaceOf, FaceSeen, faces_of, has_figure};
use crate::paper::{ENLARGED, FOOT_HEIGHT, LEAST_TYPE, MARGIN, Paper, foot, page_title};
use crate::pen::{Pen, Words};
use crate::svg::{number, safe_file_name};
use crate::text::wrap;

/// Room that title and words below take of a page, in millimetres.
const BESIDE_IT: f64 = 50.0;

/// A page for each side of doors, fronts, runs and frames of which a photograph shows something.
pub(crate) fn together_sheets(
    job: &Job,
    plan: &Plan,
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    let faces = faces_of(job, plan).into_iter();
    let shown = faces.filter(|face| {
        let is_panel = matches!(face.of, FaceOf::Panel(_));
        !is_panel && face.tiles.iter().any(|tile| has_figure(job, tile))
    });
    let sheets = shown.map(|face| sheet(job, &face, paper, options));
    sheets.collect()
}

fn sheet(job: &Job, face: &FaceSeen, paper: Paper, options: &Options) -> Drawing {
    let (width, height) = paper.size();
    let inner = width - 2.0 * MARGIN;
    let stands = face.stands;
    let [long, high] = face.size;
    let [across, up] = if stands { [high, long] } else { [long, high] };
    let room = height - 2.0 * MARGIN - FOOT_HEIGHT - BESIDE_IT;
    let scale = (across / (inner - 4.0)).max(up / room).max(1.0);
    let scale = match scale < 10.0 {
        true => (scale * 2.0).ceil() / 2.0,
        false => scale.ceil(),
    };
    let small = joined(&[&format!("scale 1:{}", number(scale)), options.date]);
    let head = head(job, face, small, options);
    let mut pen = Pen::new(1.0);
    let corner = Point {
        x: MARGIN,
        y: MARGIN,
    };
    let mut y = MARGIN + page_title(&mut pen, &head, corner, inner) + 4.0;
    let mut drawn = Pen::new(scale * ENLARGED).on_paper();
    let mut labels = Vec::new();
    draw(&mut drawn, job, face, stands, false, &mut labels);
    let x = MARGIN + (inner - across / scale) / 2.0;
    pen.out.push_str(&format!(
        "<g transform=\"translate({} {}) scale({})\">{}</g>",
        number(x),
        number(y),
        format!("{:.9}", 1.0 / scale).trim_end_matches('0'),
        drawn.out
    ));
    let on_page = |p: Point| Point {
        x: x + p.x / scale,
        y: y + p.y / scale,
    };
    let labels = labels.iter().map(|b| Bounds {
        min: on_page(b.min),
        max: on_page(b.max),
    });
    let labels = labels.collect();
    y += up / scale + 6.0;
    for line in wrap(&unseen_in(job, face), LEAST_TYPE, inner) {
        let at = Point { x: MARGIN, y };
        pen.words(&Words::starting(line, "hs-quiet", at, LEAST_TYPE));
        y += 4.6;
    }
    foot(&mut pen, &heading(face), true, paper);
    let page = Bounds::of_size(width, height);
    let name = format!("sheet-{}", safe_file_name(&heading(face)));
    let told = head.facts.join(". ");
    document(
        &name,
        &head.heading,
        &told,
        page,
        options.theme,
        &pen.out,
        labels,
    )
}
