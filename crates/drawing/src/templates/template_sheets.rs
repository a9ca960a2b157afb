//! The sheets of a template.

use heartside_geometry::Point;

use crate::document::Drawing;
use crate::paper::Paper;
use crate::printed::{Printed, clipped, path_of};
use crate::templates::clear_place::Ground;
use crate::templates::foot::{Sheets, foot};
use crate::templates::inscribed::inscribe;
use crate::templates::joins::joins;
use crate::templates::scale_square::scale_square;
use crate::templates::subject::{LineOf, Lines, Template};
use crate::templates::tiling::{TemplateError, Tiling, tile_name};

/// How templates are printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemplatePrint<'a> {
    /// On what.
    pub paper: Paper,
    /// By how much neighbouring sheets show the same, in millimetres.
    pub overlap: f64,
    /// The date as it shall be written; nothing is written where it is empty.
    pub date: &'a str,
}

impl Default for TemplatePrint<'_> {
    fn default() -> Self {
        TemplatePrint {
            paper: Paper::A4,
            overlap: 10.0,
            date: "",
        }
    }
}

/// A template on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateSheets {
    /// Its sheets, row by row, all lying or all standing, whichever takes fewer.
    pub pages: Vec<Drawing>,
    /// Names of those that would show no line and are left out.
    pub left_out: Vec<String>,
}

/// A template at full size over as many sheets as it takes.
///
/// Every point of its lines is on one sheet up to the seams, and on its neighbour's as well in the overlap.
///
/// # Errors
/// An overlap that is too small or too large, and more than 400 sheets.
///
/// # Cost
/// O(sheets x (lines + parts x places tried for words)).
pub fn template_sheets(
    template: &Template,
    print: &TemplatePrint,
) -> Result<TemplateSheets, TemplateError> {
    let mut sheets = TemplateSheets {
        pages: Vec::new(),
        left_out: Vec::new(),
    };
    let Some(bounds) = template.bounds() else {
        return Ok(sheets);
    };
    let tiling = Tiling::of(bounds, print.paper, print.overlap, &template.title)?;
    let (printed, empty): (Vec<_>, Vec<_>) = tiling
        .tiles()
        .partition(|tile| has_lines(template, &tiling, *tile));
    sheets.left_out = empty.into_iter().map(tile_name).collect();
    let all = Sheets {
        tiling: &tiling,
        printed: &printed,
        left_out: &sheets.left_out,
    };
    for tile in &printed {
        let page = one_sheet(template, &all, *tile, print);
        let (name, described) = match printed.len() {
            1 => (
                template.name.clone(),
                format!("{}, full size", template.title),
            ),
            _ => (
                format!("{}-{}", template.name, tile_name(*tile)),
                format!("{}, full size, sheet {}", template.title, tile_name(*tile)),
            ),
        };
        sheets
            .pages
            .push(page.finished(&name, &template.title, &described));
    }
    Ok(sheets)
}

/// Whether any line lies where this sheet alone stands for it.
fn has_lines(template: &Template, tiling: &Tiling, tile: (usize, usize)) -> bool {
    let cell = tiling.cell(tile);
    let mut sides = template.lines.iter().flat_map(|l| l.chain.windows(2));
    sides.any(|side| clipped(side[0], side[1], &cell).is_some())
}

fn one_sheet(
    template: &Template,
    sheets: &Sheets,
    tile: (usize, usize),
    print: &TemplatePrint,
) -> Printed {
    let tiling = sheets.tiling;
    let (width, height) = tiling.paper;
    let mut page = Printed::new(width, height);
    let mut ground = Ground::default();
    page.pen.open("lines", "", "The template", "");
    for lines in &template.lines {
        let chains = shown(lines, tiling, tile);
        let d: String = chains.iter().map(|chain| path_of(chain)).collect();
        if !d.is_empty() {
            let (width, dash) = pen_of(lines.of);
            page.pen.path("hs-ink", &d, width, dash);
        }
        let sides = chains.iter().flat_map(|chain| chain.windows(2));
        ground.lines.extend(sides.map(|side| (side[0], side[1])));
    }
    page.pen.close();
    joins(&mut page, &mut ground, tiling, tile, |other| {
        sheets.printed.contains(&other)
    });
    // Clear of the seams, and of the foot.
    let within = tiling.window.grown(match sheets.printed.len() {
        1 => -3.0,
        _ => -tiling.overlap,
    });
    scale_square(&mut page, &mut ground, &within);
    for part in &template.parts {
        inscribe(&mut page, &mut ground, tiling, tile, part);
    }
    foot(&mut page, template, sheets, tile, print.date);
    page
}

/// The stretches of a chain that a sheet shows, in its own millimetres.
pub(crate) fn shown(lines: &Lines, tiling: &Tiling, tile: (usize, usize)) -> Vec<Vec<Point>> {
    let sees = tiling.sees(tile);
    let mut chains: Vec<Vec<Point>> = Vec::new();
    for side in lines.chain.windows(2) {
        let Some((a, b)) = clipped(side[0], side[1], &sees) else {
            continue;
        };
        let (a, b) = (tiling.on_sheet(tile, a), tiling.on_sheet(tile, b));
        match chains.last_mut() {
            Some(chain) if chain.last() == Some(&a) => chain.push(b),
            _ => chains.push(vec![a, b]),
        }
    }
    chains
}

/// Width and dashes of a line, in millimetres: what is cut to is the boldest.
fn pen_of(line: LineOf) -> (f64, &'static [f64]) {
    match line {
        LineOf::Finished => (0.35, &[]),
        LineOf::Board => (0.5, &[]),
        LineOf::Blank => (0.25, &[3.0, 1.5]),
        LineOf::Shoulder => (0.2, &[]),
        LineOf::Zone => (0.2, &[0.4, 1.0]),
        LineOf::Cut => (0.25, &[12.0, 2.0]),
    }
}
