//! The printed page of a panel.

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;
use heartside_timber::plan::Plan;

use super::facts::head;
use super::staves::{from_words, heart_words};
use super::{Glued, as_seen};
use crate::document::{Drawing, Options, document, joined};
use crate::paper::{ENLARGED, FOOT_HEIGHT, LEAST_TYPE, MARGIN, Paper, foot, page_title};
use crate::pen::{Pen, Words};
use crate::svg::{Ids, number, safe_file_name};
use crate::text::{shorten, wrap};

/// A page for each panel: as it is glued up, with its staves one by one.
pub(crate) fn panel_sheets(
    job: &Job,
    plan: &Plan,
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    let copies = job.panels.iter().flat_map(|p| &p.copies);
    let sheets = copies.filter_map(|choice| {
        let front = Glued::of(job, plan, &choice.panel, false)?;
        // From behind it is no more than its staves in the other order, but for what photographs show.
        let back = Glued::of(job, plan, &choice.panel, true).filter(Glued::has_figure);
        Some([Some(front), back].into_iter().flatten())
    });
    let sheets = sheets.flatten().map(|glued| glued.sheet(paper, options));
    sheets.collect()
}

impl Glued<'_> {
    fn sheet(&self, paper: Paper, options: &Options) -> Drawing {
        let (width, height) = paper.size();
        let inner = width - 2.0 * MARGIN;
        // What is told of the staves stands below, a line each in two columns.
        let rows = self.staves.len().div_ceil(2) as f64;
        let list = (rows * 4.6 + 16.0).min(height * 0.4);
        let wood = self.wood();
        let scale = ((wood.width() + 1.0) / (inner - 30.0))
            .max(wood.height() / (height - 2.0 * MARGIN - FOOT_HEIGHT - 40.0 - list))
            .max(1.0);
        let scale = if scale < 10.0 {
            (scale * 2.0).ceil() / 2.0
        } else {
            scale.ceil()
        };
        let head = head(
            self,
            joined(&[&format!("scale 1:{}", number(scale)), options.date]),
            options,
        );
        let mut pen = Pen::new(1.0);
        let corner = Point {
            x: MARGIN,
            y: MARGIN,
        };
        let mut y = MARGIN + page_title(&mut pen, &head, corner, inner) + 4.0;
        let narrowest = self.staves.iter().map(|s| s.width - self.panel.joint);
        let narrowest = narrowest.fold(f64::INFINITY, f64::min);
        let mut drawn = Pen::new((scale * ENLARGED).min(narrowest / 3.0)).on_paper();
        let (extent, labels) = self.draw(&mut drawn, &mut Ids::default(), false);
        let shift = Point {
            x: MARGIN + (inner - extent.width() / scale) / 2.0 - extent.min.x / scale,
            y: y - extent.min.y / scale,
        };
        pen.out.push_str(&format!(
            "<g transform=\"translate({} {}) scale({})\">{}</g>",
            number(shift.x),
            number(shift.y),
            format!("{:.9}", 1.0 / scale).trim_end_matches('0'),
            drawn.out
        ));
        let on_page = |p: Point| Point {
            x: shift.x + p.x / scale,
            y: shift.y + p.y / scale,
        };
        let labels = labels.iter().map(|b| Bounds {
            min: on_page(b.min),
            max: on_page(b.max),
        });
        let labels = labels.collect();
        y += extent.height() / scale + 6.0;
        for line in wrap(&self.told_below(), LEAST_TYPE, inner) {
            pen.words(&Words::starting(
                line,
                "hs-quiet",
                Point { x: MARGIN, y },
                LEAST_TYPE,
            ));
            y += 4.6;
        }
        for (place, stave) in self.staves.iter().enumerate() {
            let show = |mm: f64| write_dimension(mm, &self.job.units);
            let name = match stave.piece {
                0 => format!("Stave {}", stave.number),
                piece => format!(
                    "Stave {}, piece {piece} · {} long",
                    stave.number,
                    show(stave.length)
                ),
            };
            let words = joined(&[
                &name,
                &format!("{} wide", show(stave.width)),
                &from_words(self.job, stave),
                heart_words(as_seen(stave.heart, self.face.is_back)),
            ]);
            let at = Point {
                x: MARGIN + if place % 2 == 0 { 0.0 } else { inner / 2.0 },
                y: y + (place / 2) as f64 * 4.6,
            };
            let words = shorten(&words, LEAST_TYPE, inner / 2.0 - 3.0);
            pen.words(&Words::starting(words, "hs-size", at, LEAST_TYPE));
        }
        foot(&mut pen, &format!("{}, glued up", self.name()), true, paper);
        let sheet = Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point {
                x: width,
                y: height,
            },
        };
        let name = format!("sheet-{}", safe_file_name(&self.name()));
        document(
            &name,
            &head.heading,
            &head.facts.join(". "),
            sheet,
            options.theme,
            &pen.out,
            labels,
        )
    }
}
