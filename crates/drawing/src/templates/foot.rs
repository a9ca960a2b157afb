//! What stands below the drawing on each sheet: what it is, how to use it, and its place among the others.

use heartside_cutting::DEFERENCE;
use heartside_geometry::{Bounds, Point};
use heartside_timber::words::{counted, listed, plural};

use crate::document::joined;
use crate::printed::{LEAST_PRINTED, Printed, in_one_line, path_of};
use crate::templates::subject::{LineOf, Template};
use crate::templates::tiling::{FOOT, Tiling, tile_name};
use crate::text::{LINE, shorten, text_width, wrap};

/// Room of the key plan at its widest, and as a share of the sheet.
const KEY: (f64, f64) = (56.0, FOOT - 2.5);
const KEY_SHARE: f64 = 0.22;
/// Lines of a key plan are no finer than this.
const FINEST: f64 = 0.15;

/// Which sheets there are.
pub(crate) struct Sheets<'a> {
    pub(crate) tiling: &'a Tiling,
    /// In their order.
    pub(crate) printed: &'a [(usize, usize)],
    pub(crate) left_out: &'a [String],
}

/// Draws the foot of one sheet.
pub(crate) fn foot(
    page: &mut Printed,
    template: &Template,
    sheets: &Sheets,
    tile: (usize, usize),
    date: &str,
) {
    let reached = page.reached();
    let top = reached.max.y - FOOT;
    page.pen.line(
        "hs-ink",
        Point {
            x: reached.min.x,
            y: top + 0.5,
        },
        Point {
            x: reached.max.x,
            y: top + 0.5,
        },
        0.2,
    );
    let is_alone = sheets.printed.len() == 1;
    let key = KEY.0.min(KEY_SHARE * reached.width());
    let width = match is_alone {
        true => reached.width(),
        false => reached.width() - key - 3.0,
    };
    let place = sheets.printed.iter().position(|p| *p == tile).unwrap_or(0) + 1;
    let which = match is_alone {
        true => "one sheet".to_owned(),
        false => format!(
            "sheet {}, {place} of {}",
            tile_name(tile),
            sheets.printed.len()
        ),
    };
    let title = in_one_line(&template.title);
    // Which sheet it is must be read whatever the name.
    let after = format!(" · {which}");
    let large = 3.9;
    let room = width - text_width(&after, large);
    let heading = format!("{}{after}", shorten(&title, large, room));
    let facts: Vec<String> = template.facts.iter().map(|f| in_one_line(f)).collect();
    let mut facts: Vec<&str> = facts.iter().map(String::as_str).collect();
    let date = in_one_line(date);
    facts.push(&date);
    let mut sentences = vec![
        "Print at 100 %, fitted to nothing, and measure the square both ways.".to_owned(),
        lines_words(template),
    ];
    if !is_alone {
        sentences.push(seam_words(sheets.left_out));
    }
    sentences.push(DEFERENCE.to_owned());
    let mut lines = vec![(heading, large), (joined(&facts), 2.6)];
    let sentences = wrap(&sentences.join(" "), LEAST_PRINTED, width);
    lines.extend(sentences.into_iter().map(|line| (line, LEAST_PRINTED)));
    let mut y = top + 1.6;
    for (line, size) in lines {
        let middle = Point {
            x: reached.min.x,
            y: y + LINE * size / 2.0,
        };
        page.line_of_words(&shorten(&line, size, width), middle, size);
        y += LINE * size + 0.25;
    }
    if !is_alone {
        let room = Bounds {
            min: Point {
                x: reached.max.x - key,
                y: reached.max.y - KEY.1,
            },
            max: reached.max,
        };
        key_plan(page, template, sheets, tile, room);
    }
}

/// "Solid: finished. Dashed: ...", of the lines that occur.
fn lines_words(template: &Template) -> String {
    let all = [
        (LineOf::Board, "Bold: the board."),
        (LineOf::Finished, "Solid: finished."),
        (
            LineOf::Blank,
            "Dashed: the blank, keep the kerf outside it.",
        ),
        (LineOf::Zone, "Dotted: marked areas."),
        (LineOf::Cut, "Long dashes: straight cuts, made first."),
    ];
    let occurs = |of: LineOf| template.lines.iter().any(|l| l.of == of);
    let said = all.into_iter().filter(|(of, _)| occurs(*of));
    said.map(|(_, words)| words).collect::<Vec<_>>().join(" ")
}

fn seam_words(left_out: &[String]) -> String {
    let words = "Of two neighbours cut one along the seam and lay it on the other: lines run on, diamonds close.";
    match left_out.len() {
        0 => words.to_owned(),
        1..=6 => format!(
            "{words} {} {} no line and {} not printed.",
            listed(left_out),
            plural(left_out.len(), "has", "have"),
            plural(left_out.len(), "is", "are"),
        ),
        count => format!(
            "{words} {} without a line are not printed.",
            counted(count, "sheet", "sheets")
        ),
    }
}

/// All sheets small, with what they show; this one in bold.
fn key_plan(
    page: &mut Printed,
    template: &Template,
    sheets: &Sheets,
    tile: (usize, usize),
    room: Bounds,
) {
    let tiling = sheets.tiling;
    let first = tiling.cell((0, 0)).min;
    let last = tiling.cell((tiling.rows - 1, tiling.columns - 1)).max;
    let whole = Bounds::new(first, last);
    let room = room.grown(-0.4);
    let scale = (room.width() / whole.width()).min(room.height() / whole.height());
    let on_key = |p: Point| Point {
        x: room.max.x - (whole.max.x - p.x) * scale,
        y: room.centre().y + (p.y - whole.centre().y) * scale,
    };
    page.pen.open("key-plan", "", "Where this sheet lies", "");
    for other in sheets.printed {
        let cell = tiling.cell(*other);
        let cell = Bounds::new(on_key(cell.min), on_key(cell.max));
        page.pen.rect("hs-ink", cell, 0.0, 0.1);
    }
    let shape = match template.lines.iter().any(|l| l.of == LineOf::Board) {
        true => [LineOf::Board, LineOf::Finished],
        false => [LineOf::Finished, LineOf::Finished],
    };
    let mut d = String::new();
    for lines in template.lines.iter().filter(|l| shape.contains(&l.of)) {
        let mut thinned: Vec<Point> = Vec::new();
        for p in lines.chain.iter().map(|p| on_key(*p)) {
            if thinned
                .last()
                .is_none_or(|before| before.distance(p) >= FINEST)
            {
                thinned.push(p);
            }
        }
        d.push_str(&path_of(&thinned));
    }
    page.pen.path("hs-ink", &d, 0.12, &[]);
    let cell = tiling.cell(tile);
    let here = Bounds::new(on_key(cell.min), on_key(cell.max));
    page.pen.rect("hs-ink", here.grown(-0.2), 0.0, 0.6);
    page.pen.close();
}
