//! Pages to be printed: first all boards with the parts and what is still to buy, then one board a
//! page with its diagram, its cuts to tick and its parts.

use heartside_cutting::{Step, board_label};
use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::Unit;
use heartside_timber::plan::{Layout, Plan};

use crate::assembled::{panel_sheets, together_sheets};
use crate::document::{Drawing, Options, document, joined, label_name, standalone_groups};
use crate::first_sheet::first_sheets;
use crate::legend::legend;
use crate::measures::scale_bar;
use crate::paper::{ENLARGED, FOOT_HEIGHT, LEAST_TYPE, MARGIN, Paper, foot, page_title};
use crate::pen::Pen;
use crate::picture::picture;
use crate::scene::{Look, Outside, Picture, Subject};
use crate::sheet_lists::{Lists, WORTH};
use crate::svg::{Origin, number};
use crate::title::{Title, Verdict, board_facts, board_heading, layout_facts, left_out_words};

/// Height of what stands above and below a board's picture on a page without lists, in millimetres.
const AROUND: f64 = 78.0;

/// A page or more with all boards and the parts, then for each board that is cut, in the plan's
/// order, then a page for each panel. Long lists go on to further pages. Nothing where nothing is cut.
pub fn sheets(
    job: &Job,
    plan: &Plan,
    steps: &[Step],
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    let of_boards: Vec<Drawing> = plan
        .layouts
        .iter()
        .enumerate()
        .filter(|(_, l)| !l.placements.is_empty())
        .filter_map(|(place, layout)| board_sheets(job, layout, place, steps, paper, options))
        .flatten()
        .collect();
    // What is still to be resawn stands on the first sheet.
    if of_boards.is_empty() && steps.is_empty() {
        return of_boards;
    }
    let mut all = first_sheets(job, plan, steps, paper, options);
    all.extend(of_boards);
    all.extend(panel_sheets(job, plan, paper, options));
    all.extend(together_sheets(job, plan, paper, options));
    all
}

fn board_sheets(
    job: &Job,
    layout: &Layout,
    place: usize,
    steps: &[Step],
    paper: Paper,
    options: &Options,
) -> Option<Vec<Drawing>> {
    let copy = &layout.board;
    let board = job.board(&copy.board)?;
    let (width, height) = paper.size();
    let inner = width - 2.0 * MARGIN;
    let findings = options.findings.unwrap_or(&[]);
    let subject = Subject {
        job,
        board,
        copy,
        layout: Some(layout),
        steps,
        findings,
        selected: &[],
        others: &[],
    };
    let (scale, drawn, extent) = fitted(job, subject, inner, [height * 0.56, height - AROUND]);
    let mut head = Title {
        heading: board_heading(job, board, copy),
        job: job.title.clone(),
        facts: vec![
            board_facts(job, board),
            layout_facts(job, board, Some(layout), steps),
        ],
        verdict: Verdict::of(options.findings, Some(copy)),
        missing: 0,
        small: joined(&[&scale_words(scale), options.date]),
    };
    head.facts.extend(left_out_words(drawn.left_out));
    let lists = Lists::of(job, layout, place, steps);
    let mut pages: Vec<(String, Vec<Bounds>)> = Vec::new();
    let mut pen = Pen::new(1.0);
    let mut y = MARGIN
        + page_title(
            &mut pen,
            &head,
            Point {
                x: MARGIN,
                y: MARGIN,
            },
            inner,
        )
        + 3.0;
    // The diagram, in millimetres of wood, scaled to the page.
    let left = MARGIN + (inner - extent.width() / scale) / 2.0;
    let shift = Point {
        x: left - extent.min.x / scale,
        y: y - extent.min.y / scale,
    };
    pen.out.push_str(&format!(
        "<g transform=\"translate({} {}) scale({})\">",
        number(shift.x),
        number(shift.y),
        // More digits than a coordinate: it is multiplied by thousands of millimetres.
        format!("{:.9}", 1.0 / scale).trim_end_matches('0')
    ));
    pen.out
        .push_str(&standalone_groups(&drawn, &head.heading, scale * ENLARGED));
    pen.close();
    let labels: Vec<Bounds> = drawn
        .room
        .labels()
        .map(|b| {
            let on_page = |p: Point| Point {
                x: shift.x + p.x / scale,
                y: shift.y + p.y / scale,
            };
            Bounds {
                min: on_page(b.min),
                max: on_page(b.max),
            }
        })
        .collect();
    y += extent.height() / scale + 2.0;
    let mut enlarged = Pen::new(ENLARGED);
    scale_bar(
        &mut enlarged,
        job,
        Point {
            x: MARGIN,
            y: y + 5.5,
        },
        1.0 / scale,
        40.0,
    );
    y += legend(
        &mut enlarged,
        &drawn.signs,
        Point {
            x: MARGIN + 68.0,
            y,
        },
        inner - 68.0,
    )
    .max(7.0)
        + 3.0;
    pen.out.push_str(&enlarged.out);
    let mut labels = Some(labels);
    let mut state = lists.start();
    let bottom = height - MARGIN - FOOT_HEIGHT;
    for page in 1.. {
        // Where a picture leaves hardly any room the lists begin on the next page.
        if page > 1 || y + WORTH <= bottom {
            state = lists.draw(&mut pen, state, MARGIN, y, inner, bottom);
        }
        let done = state.is_done(&lists);
        let words = format!("Board {}, page {page}", board_label(job, copy));
        foot(&mut pen, &words, done, paper);
        pages.push((
            std::mem::take(&mut pen.out),
            labels.take().unwrap_or_default(),
        ));
        // Every page takes at least one row, so this ends; the bound is for safety.
        if done || page >= 200 {
            break;
        }
        head.facts = vec!["continued".into()];
        y = MARGIN
            + page_title(
                &mut pen,
                &head,
                Point {
                    x: MARGIN,
                    y: MARGIN,
                },
                inner,
            )
            + 4.0;
    }
    let count = pages.len();
    let sheet = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: width,
            y: height,
        },
    };
    Some(
        pages
            .into_iter()
            .enumerate()
            .map(|(place, (content, labels))| {
                let name = if count == 1 {
                    format!("sheet-{}", label_name(job, copy))
                } else {
                    format!("sheet-{}-{}", label_name(job, copy), place + 1)
                };
                let described = format!(
                    "{}, page {} of {count}, {}",
                    head.heading,
                    place + 1,
                    head.small
                );
                document(
                    &name,
                    &head.heading,
                    &described,
                    sheet,
                    options.theme,
                    &content,
                    labels,
                )
            })
            .collect(),
    )
}

/// The largest usual scale at which a board's picture fits, the picture and its extent. It is to be no higher than the
/// first of the heights, and is no higher than the second.
fn fitted(job: &Job, subject: Subject, width: f64, heights: [f64; 2]) -> (f64, Picture, Bounds) {
    let metric = [
        1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 12.5, 13.0, 14.0,
        15.0, 16.0, 18.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0,
    ];
    let imperial = [
        1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 20.0, 24.0,
        32.0, 48.0, 64.0, 96.0, 192.0,
    ];
    let scales: &[f64] = if job.units.unit == Unit::Inches {
        &imperial
    } else {
        &metric
    };
    let bounds = subject.board.outline.bounds();
    let look = |scale: f64| Look {
        dimensions: true,
        cuts: true,
        chosen: None,
        outside: Outside::Free,
        least_type: LEAST_TYPE * scale,
        figure: false,
    };
    let wood = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: bounds.width(),
            y: bounds.height(),
        },
    };
    let [low, tall] = heights;
    let least = (bounds.width().max(bounds.height()) / 100.0).max(200.0);
    let drawn_at = |scale: f64| {
        let origin = Origin::at(-bounds.min.x, bounds.max.y);
        let drawn = picture(subject, look(scale), origin, scale * ENLARGED);
        let extent = drawn.room.extent().map_or(wood, |e| e.union(wood));
        (scale, drawn, extent)
    };
    // How many times as large as its room a picture is.
    let excess = |scale: f64, extent: &Bounds, height: f64| {
        (extent.width() / scale / width).max(extent.height() / scale / height)
    };
    let across = (bounds.width() / width).max(bounds.height() / low);
    let mut closest = (f64::INFINITY, across.max(1.0) * 2.0);
    for scale in scales.iter().copied().chain([least]) {
        // The names of the datum need some room at the side, the dimensions below.
        if bounds.width() / scale > width - 20.0 || bounds.height() / scale > low - 14.0 {
            continue;
        }
        let tried = drawn_at(scale);
        if excess(scale, &tried.2, low) <= 1.0 {
            return tried;
        }
        // From farther away more names stand outside, so that the next may be taller.
        let over = excess(scale, &tried.2, tall).max(1.0);
        if over < closest.0 {
            closest = (over, scale);
        }
    }
    let (scale, drawn, extent) = drawn_at(closest.1);
    // Whatever stands beside it, a picture stays on its page, if need be in smaller type.
    let over = excess(scale, &extent, tall);
    let smaller = (scale * over * 10.0).ceil() / 10.0;
    (if over > 1.0 { smaller } else { scale }, drawn, extent)
}

fn scale_words(scale: f64) -> String {
    format!("scale 1:{}", number(scale))
}
