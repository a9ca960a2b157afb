//! Drawings that stand alone: one board, or all boards together, in true millimetres.

use heartside_cutting::{Step, board_label, totals};
use heartside_geometry::{Bounds, Point, set_of};
use heartside_timber::document::{BoardCopy, HeartSide};
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::words::counted;

use crate::legend::legend;
use crate::measures::{end_grain, ruler, scale_bar};
use crate::pen::{Pen, Words};
use crate::picture::{Look, Outside, Picture, Subject, picture};
use crate::style::{Theme, style_sheet};
use crate::svg::{Ids, Origin, escape, number, safe_file_name};
use crate::title::{Title, Verdict, board_facts, board_heading, layout_facts, title};

/// How a drawing is made.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options<'a> {
    /// Colours.
    pub theme: Theme,
    /// The date as it shall be written; nothing is written where it is empty.
    pub date: &'a str,
    /// What the checker found; `None` where it was not asked.
    pub findings: Option<&'a [Finding]>,
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

/// Width on paper that a board's drawing is made to be read at, in millimetres: an A4 page lying, less its margins and the names at the sides.
const READ_AT: f64 = 205.0;

/// The true-size diagram of one copy of a board: one unit of the drawing is one millimetre of wood.
///
/// Text is sized so that it reads well when the whole is fit to a page. None where the
/// board is not in the job. O(labels² + outline vertices x hatch lines).
pub fn board_svg(
    job: &Job,
    plan: &Plan,
    copy: &BoardCopy,
    steps: &[Step],
    options: &Options,
) -> Option<Drawing> {
    let board = job.board(&copy.board)?;
    let bounds = board.outline.bounds();
    let unit = (bounds.width() / READ_AT)
        .max(bounds.height() / 110.0)
        .max(0.05);
    let layout = plan.layout(&copy.board, copy.copy);
    let findings = options.findings.unwrap_or(&[]);
    let subject = Subject {
        job,
        board,
        copy,
        layout,
        steps,
        findings,
        selected: &[],
        others: &[],
    };
    let dimensions =
        !options.without_dimensions && layout.is_some_and(|l| !l.placements.is_empty());
    let look = Look {
        dimensions,
        cuts: true,
        chosen: None,
        outside: Outside::Free,
        least_type: 0.0,
    };
    // The board's lower left corner lies at (0, height): all coordinates of the wood are positive.
    let origin = Origin {
        x: -bounds.min.x,
        y: bounds.max.y,
    };
    let drawn = picture(subject, look, origin, unit);
    let mut facts = vec![
        board_facts(job, board),
        layout_facts(job, board, layout, steps),
    ];
    facts.extend(left_out_words(drawn.left_out));
    let wood = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: bounds.width(),
            y: bounds.height(),
        },
    };
    let mut extent = drawn.room.extent().map_or(wood, |e| e.union(wood));
    let mut pen = Pen::new(unit);
    let width = extent.width().max(150.0 * unit);
    let head = Title {
        heading: board_heading(job, board, copy),
        job: job.title.clone(),
        facts,
        verdict: Verdict::of(options.findings, Some(copy)),
        missing: 0,
        small: joined(&["true size, scale 1:1", options.date]),
    };
    // Drawn once to learn its height, then in its place.
    let height = title(&mut Pen::new(unit), &head, Point { x: 0.0, y: 0.0 }, width);
    let left = extent.min.x;
    title(
        &mut pen,
        &head,
        Point {
            x: left,
            y: extent.min.y - height - 4.0 * unit,
        },
        width,
    );
    extent.min.y -= height + 4.0 * unit;
    extent.max.x = extent.max.x.max(left + width);
    if board.heart_side != HeartSide::Unknown {
        let text = if board.heart_side == HeartSide::Up {
            "heart side up"
        } else {
            "heart side down"
        };
        pen.open("", "", text, "");
        end_grain(
            &mut pen,
            board.heart_side,
            Point {
                x: wood.min.x + 4.0 * unit,
                y: extent.max.y + 5.0 * unit,
            },
        );
        pen.words(&Words::starting(
            text,
            "hs-quiet",
            Point {
                x: wood.min.x + 9.5 * unit,
                y: extent.max.y + 5.0 * unit,
            },
            2.3 * unit,
        ));
        pen.close();
    }
    scale_bar(
        &mut pen,
        job,
        Point {
            x: wood.min.x + 38.0 * unit,
            y: extent.max.y + 5.8 * unit,
        },
        1.0,
        45.0 * unit,
    );
    extent.max.y += 8.5 * unit;
    extent.max.y += legend(
        &mut pen,
        &drawn.signs,
        Point {
            x: left,
            y: extent.max.y + 1.0 * unit,
        },
        width,
    ) + 1.0 * unit;
    let labels = drawn.room.labels().copied().collect();
    let content = standalone_groups(&drawn, &head.heading, unit) + &pen.out;
    let page = extent.grown(5.0 * unit);
    let described = format!(
        "{}. {}. {}.",
        head.heading,
        head.facts.join(". "),
        head.verdict.words(0)
    );
    Some(document(
        &format!("board-{}", label_name(job, copy)),
        &head.heading,
        &described,
        page,
        1.0,
        options.theme,
        &content,
        labels,
    ))
}

/// "12 labels found no room on this drawing"; nothing where all did.
pub(crate) fn left_out_words(count: usize) -> Option<String> {
    let labels = counted(count, "label", "labels");
    (count > 0).then(|| format!("{labels} found no room on this drawing"))
}

/// With more boards than this only those that are cut are drawn together, without labels beside
/// them: thousands of whole boards on one drawing show nothing and fill tens of megabytes.
const MOST_WHOLE_BOARDS: usize = 300;

/// All boards together in true millimetres, those that are cut with their parts; dimensions are left to the drawings of single boards.
pub fn overview_svg(job: &Job, plan: &Plan, steps: &[Step], options: &Options) -> Drawing {
    let mut copies = board_copies(job);
    let all = copies.len();
    if all > MOST_WHOLE_BOARDS {
        let cut = set_of(plan.layouts.iter().map(|l| &l.board));
        copies.retain(|copy| cut.contains(copy));
    }
    let not_drawn = all - copies.len();
    let mut left_out = 0;
    let widest = copies
        .iter()
        .filter_map(|c| job.board(&c.board))
        .map(|b| b.outline.bounds().width())
        .fold(1.0, f64::max);
    let unit = (widest / READ_AT).max(0.05);
    let mut pen = Pen::new(unit);
    let mut ids = Ids::default();
    let mut signs = std::collections::BTreeSet::new();
    let mut labels = Vec::new();
    let (mut extent, mut y) = (
        Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point { x: widest, y: 0.0 },
        },
        0.0,
    );
    for copy in &copies {
        let Some(board) = job.board(&copy.board) else {
            continue;
        };
        let bounds = board.outline.bounds();
        let findings = options.findings.unwrap_or(&[]);
        let subject = Subject {
            job,
            board,
            copy,
            layout: plan.layout(&copy.board, copy.copy),
            steps,
            findings,
            selected: &[],
            others: &[],
        };
        let look = Look {
            dimensions: false,
            cuts: true,
            chosen: None,
            outside: if all > MOST_WHOLE_BOARDS {
                Outside::Within(0.0)
            } else {
                Outside::Free
            },
            least_type: 0.0,
        };
        // Once to learn how far its labels reach, then in its place below the last.
        let probe = picture(
            subject,
            look,
            Origin {
                x: -bounds.min.x,
                y: bounds.max.y,
            },
            unit,
        );
        let reach = probe.room.extent().map_or(0.0, |e| -e.min.y).max(0.0);
        y += reach + 7.0 * unit;
        let drawn = picture(
            subject,
            look,
            Origin {
                x: -bounds.min.x,
                y: y + bounds.max.y,
            },
            unit,
        );
        pen.open(
            &ids.make("board", &board_label(job, copy)),
            "",
            &board_heading(job, board, copy),
            "",
        );
        pen.out.push_str(&groups(&drawn, &mut ids));
        let middle = y + bounds.height() / 2.0;
        let label = board_label(job, copy);
        crate::title::right(
            &mut pen,
            &label,
            "hs-name",
            -4.0 * unit,
            middle - 1.5 * unit,
            6.0 * unit,
        );
        let thick = heartside_timber::length::write_length(board.thickness, &job.units);
        crate::title::right(
            &mut pen,
            &thick,
            "hs-quiet",
            -4.0 * unit,
            middle + 2.8 * unit,
            2.6 * unit,
        );
        pen.close();
        extent.min.x = extent.min.x.min(
            -6.0 * unit
                - crate::text::text_width(&label, 6.0 * unit)
                    .max(crate::text::text_width(&thick, 2.6 * unit)),
        );
        let own = drawn.room.extent().unwrap_or(extent);
        extent = extent.union(own);
        y = own.max.y.max(y + bounds.height());
        left_out += drawn.left_out;
        labels.extend(drawn.room.labels().copied());
        signs.extend(drawn.signs);
    }
    extent.max.y = extent.max.y.max(y);
    let sums = totals(job, plan, steps);
    let mut facts = vec![
        sums.rows
            .iter()
            .map(|(what, value)| format!("{} {value}", lower(what)))
            .collect::<Vec<_>>()
            .join(" · "),
    ];
    if not_drawn > 0 {
        facts.push(format!("{not_drawn} boards that are not cut are not drawn"));
    }
    facts.extend(left_out_words(left_out));
    let head = Title {
        heading: if job.title.is_empty() {
            "All boards".into()
        } else {
            job.title.clone()
        },
        job: "all boards".into(),
        facts,
        verdict: Verdict::of(options.findings, None),
        missing: sums.wanted.saturating_sub(sums.placed as u64),
        small: joined(&["true size, scale 1:1", options.date]),
    };
    let width = extent.width().max(150.0 * unit);
    let left = extent.min.x;
    let height = title(&mut Pen::new(unit), &head, Point { x: 0.0, y: 0.0 }, width);
    let top = extent.min.y - height - 10.0 * unit;
    title(&mut pen, &head, Point { x: left, y: top }, width);
    ruler(&mut pen, job, 0.0, 0.0, widest, extent.min.y + 1.0 * unit);
    extent.min.y = top;
    extent.max.x = extent.max.x.max(left + width);
    scale_bar(
        &mut pen,
        job,
        Point {
            x: 0.0,
            y: extent.max.y + 7.0 * unit,
        },
        1.0,
        45.0 * unit,
    );
    extent.max.y += 9.0 * unit;
    extent.max.y += legend(
        &mut pen,
        &signs,
        Point {
            x: left,
            y: extent.max.y + 1.0 * unit,
        },
        width,
    ) + 1.0 * unit;
    let described = format!("All boards of {}. {}.", head.heading, head.facts.join(". "));
    document(
        "overview",
        "All boards",
        &described,
        extent.grown(5.0 * unit),
        1.0,
        options.theme,
        &pen.out,
        labels,
    )
}

/// Every copy of every board, in the job's order.
pub(crate) fn board_copies(job: &Job) -> Vec<BoardCopy> {
    job.boards
        .iter()
        .flat_map(|b| {
            (1..=b.count.max(1)).map(|copy| BoardCopy {
                board: b.id.clone(),
                copy,
            })
        })
        .collect()
}

/// A board copy's label as a file name.
pub(crate) fn label_name(job: &Job, copy: &BoardCopy) -> String {
    safe_file_name(&board_label(job, copy))
}

/// The picture's layers as groups with ids and titles.
fn groups(drawn: &Picture, ids: &mut Ids) -> String {
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

/// A whole SVG document. `page` is its box in its own units, of which `per_unit` millimetres are one.
#[allow(clippy::too_many_arguments)] // One private place; a struct would only repeat the names.
pub(crate) fn document(
    name: &str,
    title: &str,
    described: &str,
    page: Bounds,
    per_unit: f64,
    theme: Theme,
    content: &str,
    labels: Vec<Bounds>,
) -> Drawing {
    let (width_mm, height_mm) = (page.width() * per_unit, page.height() * per_unit);
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
        style_sheet(theme),
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

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
