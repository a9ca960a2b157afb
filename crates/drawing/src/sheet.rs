//! Pages to be printed: one board a page, with its diagram, cut list and part list.

use std::collections::{BTreeMap, BTreeSet};

use heartside_cutting::{Becomes, Column, DEFERENCE, Datum, Step, Table, finished_size};
use heartside_geometry::{Bounds, Point};
use heartside_timber::job::Job;
use heartside_timber::length::{Unit, write_dimension};
use heartside_timber::plan::{Layout, Plan};
use serde::{Deserialize, Serialize};

use crate::blanks::{Laid, across_words, extreme_corners};
use crate::diagram::{Drawing, Options, document, joined, label_name, standalone_groups};
use crate::furniture::{
    Title, Verdict, board_facts, board_heading, layout_facts, legend, right, scale_bar, title,
};
use crate::pen::{Pen, Words};
use crate::picture::{Look, Outside, Picture, Subject, picture};
use crate::svg::{Origin, number};
use crate::text::{LINE, text_width, wrap};

/// Paper, lying.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 297 x 210 mm.
    #[default]
    A4,
    /// 11 x 8 1/2 in.
    Letter,
}

impl Paper {
    /// Width and height in millimetres, lying.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (297.0, 210.0),
            Paper::Letter => (279.4, 215.9),
        }
    }
}

const MARGIN: f64 = 10.0;
const CELL: f64 = 2.45;

/// One page or more for each board that is cut, in the plan's order. Long lists go on to further pages.
pub fn sheets(
    job: &Job,
    plan: &Plan,
    steps: &[Step],
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    plan.layouts
        .iter()
        .enumerate()
        .filter(|(_, l)| !l.placements.is_empty())
        .filter_map(|(place, layout)| board_sheets(job, layout, place, steps, paper, options))
        .flatten()
        .collect()
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
    };
    let (scale, drawn, extent) = fitted(job, subject, inner, height * 0.56);
    let mut head = Title {
        heading: board_heading(job, board, copy),
        job: job.title.clone(),
        facts: vec![
            board_facts(job, board),
            layout_facts(job, board, Some(layout), steps),
        ],
        verdict: Verdict::of(options.findings, Some(copy)),
        small: joined(&[&scale_words(scale), options.date]),
    };
    let lists = Lists::of(job, layout, place, steps);
    let mut pages: Vec<(String, Vec<Bounds>)> = Vec::new();
    let mut pen = Pen::new(1.0);
    let mut y = MARGIN
        + title(
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
        .push_str(&standalone_groups(&drawn, &head.heading, scale));
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
    scale_bar(
        &mut pen,
        job,
        Point {
            x: MARGIN,
            y: y + 4.0,
        },
        1.0 / scale,
        40.0,
    );
    y += legend(
        &mut pen,
        &drawn.signs,
        Point {
            x: MARGIN + 62.0,
            y,
        },
        inner - 62.0,
    )
    .max(5.0)
        + 3.0;
    let mut labels = Some(labels);
    let mut state = lists.start();
    let bottom = height - MARGIN - 5.0;
    for page in 1.. {
        state = lists.draw(&mut pen, state, MARGIN, y, inner, bottom);
        let done = state.is_done(&lists);
        foot(&mut pen, &head, page, done, width, height);
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
            + title(
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
                    1.0,
                    options.theme,
                    &content,
                    labels,
                )
            })
            .collect(),
    )
}

fn foot(pen: &mut Pen, head: &Title, page: usize, last: bool, width: f64, height: f64) {
    let y = height - MARGIN + 1.0;
    let more = if last {
        ""
    } else {
        ", continued on the next page"
    };
    right(
        pen,
        &format!("{}, page {page}{more}", head.heading),
        "hs-quiet",
        width - MARGIN,
        y,
        2.3,
    );
    let kept = "Lengths in the drawing are to the kept side of the kerf; measure twice, the wood may have moved.";
    pen.words(&Words::starting(
        kept,
        "hs-quiet",
        Point { x: MARGIN, y },
        2.3,
    ));
}

/// The largest usual scale at which a board's picture fits, the picture and its extent.
fn fitted(job: &Job, subject: Subject, width: f64, height: f64) -> (f64, Picture, Bounds) {
    let metric = [
        1.0, 2.0, 2.5, 4.0, 5.0, 6.0, 7.5, 8.0, 10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0,
        75.0, 100.0, 200.0,
    ];
    let imperial = [
        1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 18.0, 24.0, 32.0, 48.0, 64.0, 96.0, 192.0,
    ];
    let scales: &[f64] = if job.units.unit == Unit::Inches {
        &imperial
    } else {
        &metric
    };
    let bounds = subject.board.outline.bounds();
    let look = Look {
        dimensions: true,
        cuts: true,
        outside: Outside::Free,
    };
    let wood = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: bounds.width(),
            y: bounds.height(),
        },
    };
    let mut last = None;
    for scale in scales
        .iter()
        .copied()
        .chain([(bounds.width().max(bounds.height()) / 100.0).max(200.0)])
    {
        if bounds.width() / scale > width || bounds.height() / scale > height {
            continue;
        }
        let drawn = picture(
            subject,
            look,
            Origin {
                x: -bounds.min.x,
                y: bounds.max.y,
            },
            scale,
        );
        let extent = drawn.room.extent().map_or(wood, |e| e.union(wood));
        let fits = extent.width() / scale <= width && extent.height() / scale <= height;
        last = Some((scale, drawn, extent));
        if fits {
            break;
        }
    }
    last.unwrap_or_else(|| {
        let scale = (bounds.width() / width)
            .max(bounds.height() / height)
            .max(1.0)
            * 2.0;
        let drawn = picture(
            subject,
            look,
            Origin {
                x: -bounds.min.x,
                y: bounds.max.y,
            },
            scale,
        );
        let extent = drawn.room.extent().map_or(wood, |e| e.union(wood));
        (scale, drawn, extent)
    })
}

fn scale_words(scale: f64) -> String {
    format!("scale 1:{}", number(scale))
}

/// The lists of one board's pages: cuts and cautions at the left, parts at the right.
struct Lists {
    left: Vec<(Table, Vec<f64>)>,
    right: Vec<(Table, Vec<f64>)>,
}

/// How far each column of lists has come: table, row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Progress {
    left: (usize, usize),
    right: (usize, usize),
}

impl Progress {
    fn is_done(self, lists: &Lists) -> bool {
        self.left.0 >= lists.left.len() && self.right.0 >= lists.right.len()
    }
}

impl Lists {
    fn of(job: &Job, layout: &Layout, place: usize, steps: &[Step]) -> Lists {
        let own: Vec<&Step> = steps.iter().filter(|s| s.layout == place).collect();
        let mut cuts = table("Cuts, in order", &["#", "what to do", "tool", "gives"]);
        cuts.columns[0].numeric = true;
        for step in &own {
            let gives: Vec<&str> = step.yields.iter().map(|y| y.name.as_str()).collect();
            cuts.rows.push(vec![
                step.number.to_string(),
                step.title.clone(),
                step.tool.clone(),
                gives.join(", "),
            ]);
        }
        let mut left = Vec::new();
        if !cuts.rows.is_empty() {
            left.push((cuts, vec![0.06, 0.5, 0.17, 0.27]));
        }
        let cautions = cautions(&own);
        if !cautions.rows.is_empty() {
            left.push((cautions, vec![0.12, 0.88]));
        }
        let mut right = vec![(parts(job, layout), vec![0.25, 0.25, 0.21, 0.29])];
        let offcuts = offcuts(&own);
        if !offcuts.rows.is_empty() {
            right.push((offcuts, vec![0.25, 0.25, 0.5]));
        }
        Lists { left, right }
    }

    fn start(&self) -> Progress {
        Progress {
            left: (0, 0),
            right: (0, 0),
        }
    }

    fn draw(
        &self,
        pen: &mut Pen,
        from: Progress,
        x: f64,
        y: f64,
        width: f64,
        bottom: f64,
    ) -> Progress {
        let gap = 8.0;
        let wide = (width - gap) * 0.56;
        let left = draw_tables(pen, &self.left, from.left, Point { x, y }, wide, bottom);
        let right = draw_tables(
            pen,
            &self.right,
            from.right,
            Point {
                x: x + wide + gap,
                y,
            },
            width - gap - wide,
            bottom,
        );
        Progress { left, right }
    }
}

fn table(title: &str, headings: &[&str]) -> Table {
    let columns = headings
        .iter()
        .map(|h| Column {
            title: (*h).to_owned(),
            numeric: false,
        })
        .collect();
    Table {
        title: title.to_owned(),
        columns,
        rows: Vec::new(),
    }
}

/// Equal cautions of several cuts are one row.
fn cautions(steps: &[&Step]) -> Table {
    let mut rows: BTreeMap<(u32, String), BTreeSet<u32>> = BTreeMap::new();
    let mut first: BTreeMap<String, u32> = BTreeMap::new();
    for step in steps {
        for caution in &step.cautions {
            let number = *first.entry(caution.text.clone()).or_insert(step.number);
            rows.entry((number, caution.text.clone()))
                .or_default()
                .insert(step.number);
        }
    }
    let mut table = table("Take care", &["cuts", ""]);
    for ((_, text), numbers) in rows {
        let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
        table.rows.push(vec![numbers.join(", "), text]);
    }
    if !table.rows.is_empty() {
        table.rows.push(vec![String::new(), DEFERENCE.to_owned()]);
    }
    table
}

fn offcuts(steps: &[&Step]) -> Table {
    let mut table = table("Offcuts to keep", &["offcut", "size", "from cut"]);
    for step in steps {
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            table.rows.push(vec![
                offcut.name.clone(),
                offcut.size.clone(),
                step.number.to_string(),
            ]);
        }
    }
    table
}

fn parts(job: &Job, layout: &Layout) -> Table {
    let mut table = table(
        "Parts, blanks marked out from the datum",
        &["part", "finished", "along", "across"],
    );
    let Some(board) = job.board(&layout.board.board) else {
        return table;
    };
    let datum = Datum::of(board);
    let show = |mm: f64| write_dimension(mm, &job.units);
    for placement in &layout.placements {
        let (Some(part), Some(laid)) = (job.part(&placement.part), Laid::of(job, placement, false))
        else {
            continue;
        };
        let bounds = laid.bounds();
        let (along, across) = if laid.is_square_to_board() || laid.sawn {
            let low = across_words(job, &datum, bounds.min);
            let high = across_words(job, &datum, bounds.max);
            (
                format!(
                    "{} to {}",
                    show(datum.along(bounds.min)),
                    show(datum.along(bounds.max))
                ),
                format!("{low} to {high}"),
            )
        } else {
            let corners = extreme_corners(&laid);
            let list = |f: &dyn Fn(Point) -> String| {
                corners.iter().map(|p| f(*p)).collect::<Vec<_>>().join("; ")
            };
            (
                list(&|p| show(datum.along(p))),
                list(&|p| across_words(job, &datum, p)),
            )
        };
        let mut name = part.copy_name(placement.copy);
        if placement.at.turned_over {
            name.push_str(", turned over");
        }
        let size = format!("{} × {}", finished_size(job, part), show(part.thickness));
        table.rows.push(vec![name, size, along, across]);
    }
    table
}

/// Draws tables below each other from a table and row on, as far as they fit; returns where to go on.
fn draw_tables(
    pen: &mut Pen,
    tables: &[(Table, Vec<f64>)],
    from: (usize, usize),
    at: Point,
    width: f64,
    bottom: f64,
) -> (usize, usize) {
    let mut y = at.y;
    let (mut place, mut row) = from;
    let mut any = false;
    while let Some((table, shares)) = tables.get(place) {
        let row_height = |cells: &[String]| -> (f64, Vec<Vec<String>>) {
            let lines: Vec<Vec<String>> = cells
                .iter()
                .zip(shares)
                .map(|(cell, share)| wrap(cell, CELL, (share * width - 2.0).max(6.0)))
                .collect();
            let most = lines.iter().map(Vec::len).max().unwrap_or(1).max(1);
            (most as f64 * CELL * LINE * 1.08 + 1.3, lines)
        };
        let head = 5.0 + CELL * LINE + 2.0;
        let first = table.rows.get(row).map_or(0.0, |r| row_height(r).0);
        if y + head + first > bottom && any {
            return (place, row);
        }
        pen.words(&Words::starting(
            table.title.clone(),
            "hs-name",
            Point {
                x: at.x,
                y: y + 2.0,
            },
            3.1,
        ));
        y += 5.0;
        let mut x = at.x;
        for (column, share) in table.columns.iter().zip(shares) {
            pen.words(&Words::starting(
                column.title.clone(),
                "hs-italic",
                Point {
                    x,
                    y: y + CELL * LINE / 2.0,
                },
                CELL,
            ));
            x += share * width;
        }
        y += CELL * LINE + 0.8;
        pen.line(
            "hs-pencil",
            Point { x: at.x, y },
            Point { x: at.x + width, y },
            0.18,
        );
        y += 0.8;
        while let Some(cells) = table.rows.get(row) {
            let (high, lines) = row_height(cells);
            if y + high > bottom && any {
                return (place, row);
            }
            any = true;
            let mut x = at.x;
            for (cell, share) in lines.iter().zip(shares) {
                for (number, line) in cell.iter().enumerate() {
                    let middle = y + (number as f64 * 1.08 + 0.5) * CELL * LINE;
                    let fitting = if text_width(line, CELL) > share * width - 1.0 {
                        crate::text::shorten(line, CELL, share * width - 1.0)
                    } else {
                        line.clone()
                    };
                    pen.words(&Words::starting(
                        fitting,
                        "hs-name",
                        Point { x, y: middle },
                        CELL,
                    ));
                }
                x += share * width;
            }
            y += high - 0.5;
            pen.line(
                "hs-rule",
                Point { x: at.x, y },
                Point { x: at.x + width, y },
                0.12,
            );
            y += 0.5;
            row += 1;
        }
        y += 4.0;
        place += 1;
        row = 0;
    }
    (place, row)
}
