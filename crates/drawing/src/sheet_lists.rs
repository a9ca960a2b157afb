//! The lists of a printed page: cuts, cautions, parts with their marking-out figures, offcuts.

use std::collections::{BTreeMap, BTreeSet};

use heartside_cutting::{Becomes, Column, Datum, Step, Table, finished_size, holds_words};
use heartside_geometry::Point;
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;
use heartside_timber::plan::Layout;

use crate::inscription::across_words;
use crate::laid::{Laid, extreme_corners};
use crate::pen::Pen;
use crate::rows::draw_tables;

/// The lists of one board's pages: cuts and cautions at the left, parts at the right.
pub(crate) struct Lists {
    left: Vec<(Table, Vec<f64>)>,
    right: Vec<(Table, Vec<f64>)>,
}

/// How far each column of lists has come: table, row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Progress {
    left: (usize, usize),
    right: (usize, usize),
}

impl Progress {
    pub(crate) fn is_done(self, lists: &Lists) -> bool {
        self.left.0 >= lists.left.len() && self.right.0 >= lists.right.len()
    }
}

impl Lists {
    pub(crate) fn of(job: &Job, layout: &Layout, place: usize, steps: &[Step]) -> Lists {
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
        let mut right = vec![(parts(job, layout), vec![0.25, 0.25, 0.21, 0.29])];
        let offcuts = offcuts(&own);
        if !offcuts.rows.is_empty() {
            right.push((offcuts, vec![0.25, 0.25, 0.5]));
        }
        let cautions = cautions(&own);
        if !cautions.rows.is_empty() {
            // Where the page is emptier.
            let rows = |tables: &[(Table, Vec<f64>)]| -> usize {
                let lines = |row: &Vec<String>| row.iter().map(|c| c.lines().count()).max();
                tables
                    .iter()
                    .map(|(t, _)| 3 + t.rows.iter().filter_map(lines).sum::<usize>())
                    .sum()
            };
            let shorter = if rows(&right) < rows(&left) {
                &mut right
            } else {
                &mut left
            };
            shorter.push((cautions, vec![0.12, 0.88]));
        }
        Lists { left, right }
    }

    pub(crate) fn start(&self) -> Progress {
        Progress {
            left: (0, 0),
            right: (0, 0),
        }
    }

    pub(crate) fn draw(
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
    table
}

fn offcuts(steps: &[&Step]) -> Table {
    let mut table = table("Offcuts to keep", &["offcut", "size", "from cut"]);
    for step in steps {
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            let size = match offcut.holds.is_empty() {
                true => offcut.size.clone(),
                false => format!("{}\n{}", offcut.size, holds_words(&offcut.holds)),
            };
            table
                .rows
                .push(vec![offcut.name.clone(), size, step.number.to_string()]);
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
            // One corner a line, so that its two distances stand side by side.
            let corners = extreme_corners(&laid);
            let list = |f: &dyn Fn(Point) -> String| {
                corners.iter().map(|p| f(*p)).collect::<Vec<_>>().join("\n")
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
