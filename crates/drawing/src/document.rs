//! A whole SVG document, and the groups in it.

use heartside_cutting::board_label;
use heartside_geometry::Bounds;
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;

use crate::pen::Pen;
use crate::scene::Picture;
use crate::style::{Theme, style_of};
use crate::svg::{Ids, escape, number, safe_file_name};

/// How a drawing is made.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options<'a> {
    /// Colours.
    pub theme: Theme,
    /// The date as it shall be written; nothing is written where it is empty.
    pub date: &'a str,
    /// What the checker found; `None` where it was not asked.
    pub findings: Option<&'a [Finding]>,
    /// Sentences for each size that gave way; they stand where all boards are drawn.
    pub sizes: &'a [String],
    /// Leave the running dimensions for marking out away.
    pub without_dimensions: bool,
}

/// A drawing that stands alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// A file name without ending, in safe letters.
    pub name: String,
    /// "Board A".
    pub title: String,
    /// The whole SVG document.
    pub svg: String,
    /// Its width in millimetres.
    pub width_mm: f64,
    /// Its height in millimetres.
    pub height_mm: f64,
    /// Boxes of its labels in its own coordinates: no two overlap.
    pub labels: Vec<Bounds>,
}

/// A board copy's label as a file name.
pub(crate) fn label_name(job: &Job, copy: &BoardCopy) -> String {
    safe_file_name(&board_label(job, copy))
}

/// The picture's layers as groups with ids and titles.
pub(crate) fn groups(drawn: &Picture, ids: &mut Ids) -> String {
    let mut pen = Pen::new(1.0);
    let mut layer = |ids: &mut Ids, word: &str, title: &str, content: &str| {
        if !content.is_empty() {
            pen.open(&ids.make("layer", word), "", title, "");
            pen.out.push_str(content);
            pen.close();
        }
    };
    layer(ids, "wood", "the board", &drawn.ground);
    let mut parts = Pen::new(1.0);
    for (_, part, title, svg) in &drawn.parts {
        parts.open(
            &ids.make("part", &format!("{}-{}", part.part, part.copy)),
            "",
            title,
            "",
        );
        parts.out.push_str(svg);
        parts.close();
    }
    layer(ids, "parts", "parts", &parts.out);
    layer(ids, "zones", "marked areas", &drawn.zones);
    layer(ids, "cuts", "cuts", &drawn.cuts);
    layer(ids, "labels", "labels", &drawn.labels);
    layer(ids, "dimensions", "running dimensions", &drawn.dimensions);
    layer(ids, "notes", "findings", &drawn.notes);
    pen.out
}

pub(crate) fn standalone_groups(drawn: &Picture, heading: &str, unit: f64) -> String {
    board_groups(drawn, heading, unit, &mut Ids::default())
}

/// The picture of a board in a group of its own, one of several in a drawing.
pub(crate) fn board_groups(drawn: &Picture, heading: &str, unit: f64, ids: &mut Ids) -> String {
    let mut pen = Pen::new(unit);
    pen.open(&ids.make("board", heading), "", heading, "");
    pen.out.push_str(&groups(drawn, ids));
    pen.close();
    pen.out
}

/// A whole SVG document. `page` is its box in millimetres.
#[allow(clippy::too_many_arguments)] // One private place; a struct would only repeat the names.
pub(crate) fn document(
    name: &str,
    title: &str,
    described: &str,
    page: Bounds,
    theme: Theme,
    content: &str,
    labels: Vec<Bounds>,
) -> Drawing {
    let (width_mm, height_mm) = (page.width(), page.height());
    let ground = format!(
        "<rect class=\"hs-paper\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
        number(page.min.x),
        number(page.min.y),
        number(page.width()),
        number(page.height())
    );
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"{} {} {} {}\" role=\"img\">\n\
         <title>{}</title><desc>{}</desc>\n<style>{}</style>\n<g class=\"hs\">{ground}\n{content}\n</g>\n</svg>\n",
        number(width_mm),
        number(height_mm),
        number(page.min.x),
        number(page.min.y),
        number(page.width()),
        number(page.height()),
        escape(title),
        escape(described),
        style_of(theme, content.contains("<image ")),
    );
    Drawing {
        name: name.to_owned(),
        title: title.to_owned(),
        svg: svg.replace("><g", ">\n<g"),
        width_mm,
        height_mm,
        labels,
    }
}

/// Non-empty pieces joined by dots.
pub(crate) fn joined(pieces: &[&str]) -> String {
    pieces
        .iter()
        .filter(|p| !p.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join(" · ")
}
