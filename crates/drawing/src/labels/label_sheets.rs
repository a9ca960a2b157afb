//! Sheets of labels.

use std::fmt;

use heartside_geometry::{Arrange, Bounds, Point};
use heartside_timber::length::DisplayUnits;
use heartside_timber::words::counted;

use crate::document::Drawing;
use crate::labels::grid::{GridFaults, LabelGrid};
use crate::labels::one_label;
use crate::labels::wording::Label;
use crate::printed::{Printed, clipped};

/// How labels are printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelPrint {
    /// Where they lie.
    pub grid: LabelGrid,
    /// The first label of the first sheet that is still there: 1 on a whole sheet, counted row by row.
    pub first: usize,
    /// Lines to cut along, for plain paper.
    pub cut_lines: bool,
}

/// What keeps labels from being printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LabelsRefused {
    /// The measures of the sheet.
    Grid(GridFaults),
    /// A first label that the sheet does not have.
    First {
        /// What was asked for.
        asked: usize,
        /// How many the sheet has.
        each: usize,
    },
}

impl fmt::Display for LabelsRefused {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LabelsRefused::Grid(faults) => faults.fmt(out),
            LabelsRefused::First { asked, each } => write!(
                out,
                "A sheet has {}: begin with one from 1 to {each}, not {asked}.",
                counted(*each, "label", "labels")
            ),
        }
    }
}

/// Pages of labels, standing, in the order of the list; nothing where there are none.
///
/// # Errors
/// [`LabelsRefused`].
pub fn label_sheets(
    labels: &[Label],
    print: &LabelPrint,
    units: &DisplayUnits,
) -> Result<Vec<Drawing>, LabelsRefused> {
    print.grid.checked(units).map_err(LabelsRefused::Grid)?;
    let each = print.grid.on_a_sheet();
    if !(1..=each).contains(&print.first) {
        let asked = print.first;
        return Err(LabelsRefused::First { asked, each });
    }
    if labels.is_empty() {
        return Ok(Vec::new());
    }
    let before = print.first - 1;
    let common = common_type(labels, print, before);
    let count = (before + labels.len()).div_ceil(each);
    let pages = (0..count).map(|page| {
        let from = (page * each).saturating_sub(before);
        let to = ((page + 1) * each - before).min(labels.len());
        let start = (before + from) % each;
        let name = match count {
            1 => "labels".to_owned(),
            _ => format!("labels-{}", page + 1),
        };
        let described = format!("Labels, page {} of {count}", page + 1);
        one_sheet(&labels[from..to], print, start, common).finished(&name, "Labels", &described)
    });
    Ok(pages.collect())
}

/// The type that all but the fullest quarter of the labels are printed in, so that they look alike.
fn common_type(labels: &[Label], print: &LabelPrint, before: usize) -> f64 {
    let each = print.grid.on_a_sheet();
    let rooms = labels
        .iter()
        .zip(before..)
        .filter_map(|(label, at)| Some((label, print.grid.room(at % each)?)));
    let mut sizes: Vec<f64> = rooms
        .map(|(label, room)| one_label::largest_type(label, room))
        .collect();
    sizes.arrange_by(f64::total_cmp);
    sizes.get(sizes.len() / 4).copied().unwrap_or(f64::INFINITY)
}

/// One sheet, its first label at a place of the grid.
fn one_sheet(labels: &[Label], print: &LabelPrint, start: usize, common: f64) -> Printed {
    let (width, height) = print.grid.paper;
    let mut page = Printed::new(width, height);
    for (at, label) in (start..).zip(labels) {
        if print.cut_lines {
            cut_lines(&mut page, print.grid.place(at));
        }
        if let Some(room) = print.grid.room(at) {
            page.pen.open("", "hs-label", &label.name, "");
            let size = one_label::largest_type(label, room).min(common);
            one_label::draw(&mut page, label, room, size);
            page.pen.close();
        }
    }
    page
}

/// The outline of a label, as far as the printer reaches.
fn cut_lines(page: &mut Printed, label: Bounds) {
    let reached = page.reached();
    let corners: [Point; 4] = label.corners();
    for k in 0..4 {
        if let Some((a, b)) = clipped(corners[k], corners[(k + 1) % 4], &reached) {
            page.pen.line("hs-ink", a, b, 0.1);
        }
    }
}
