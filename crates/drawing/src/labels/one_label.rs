//! One label: a heading, facts below it, grain arrow and face mark at its right.

use heartside_geometry::{Bounds, Point};

use crate::blanks::{face_mark, grain_arrow};
use crate::fitting::around;
use crate::labels::wording::Label;
use crate::printed::{LEAST_PRINTED, Printed, in_one_line};
use crate::text::{LINE, shorten, text_width, wrap};

/// Type of the facts at its largest, and how much larger the heading is where there is room.
const LARGEST: f64 = 4.2;
const HEADING: f64 = 1.5;
/// From here on smaller type is worse than a fact that goes on in the next line.
const MAY_BREAK: f64 = 2.7;
/// Between two facts in a line.
const BETWEEN: &str = " · ";
/// Half the length of the grain arrow and the width of the face mark, in units of the pen.
const ARROW: f64 = 3.4;
const MARK: (f64, f64) = (3.4, 3.2);

/// The largest type in which all of a label finds room; six points where none is small enough.
pub(crate) fn largest_type(label: &Label, room: Bounds) -> f64 {
    let width = room.width() - signs_width(label, room);
    let facts: Vec<String> = label.facts.iter().map(|f| in_one_line(f)).collect();
    let mut size = LARGEST;
    while size > LEAST_PRINTED {
        let (lines, is_whole) = flow(&facts, size, width);
        if is_whole && height_of(size, lines.len()) <= room.height() {
            return size;
        }
        size -= 0.1;
    }
    LEAST_PRINTED
}

fn height_of(size: f64, lines: usize) -> f64 {
    LINE * size * (HEADING + lines as f64)
}

/// Draws a label within its room in type of a size: no word leaves it, none meets another.
///
/// Where the type is too large lines end in an ellipsis, and the facts at the end of the list go first.
pub(crate) fn draw(page: &mut Printed, label: &Label, room: Bounds, size: f64) {
    draw_signs(page, label, room);
    let width = room.width() - signs_width(label, room);
    let facts: Vec<String> = label.facts.iter().map(|f| in_one_line(f)).collect();
    let (lines, _) = flow(&facts, size, width);
    let most = (room.height() / (LINE * size) - HEADING + 1e-9).floor();
    let lines = cut_short(lines, most.max(0.0) as usize, size, width);
    let name = in_one_line(&label.name);
    let mut heading = size * HEADING;
    while heading > size && text_width(&name, heading) > width {
        heading = (heading - 0.1).max(size);
    }
    // A single line stands where the heading of a larger type would.
    let mut y = room.min.y + LINE * size * HEADING / 2.0;
    let left = |y| Point { x: room.min.x, y };
    page.line_of_words(&shorten(&name, heading, width), left(y), heading);
    y += LINE * size * (HEADING + 1.0) / 2.0;
    for line in lines {
        page.line_of_words(&line, left(y), size);
        y += LINE * size;
    }
}

/// Facts joined into lines, and whether none is too wide, or broken in large type.
fn flow(facts: &[String], size: f64, width: f64) -> (Vec<String>, bool) {
    let mut lines: Vec<String> = Vec::new();
    let mut is_whole = true;
    for fact in facts {
        let joined = lines.last().map(|line| format!("{line}{BETWEEN}{fact}"));
        match joined.filter(|line| text_width(line, size) <= width) {
            Some(line) => {
                lines.pop();
                lines.push(line);
            }
            None => {
                is_whole &= size < MAY_BREAK || text_width(fact, size) <= width;
                for line in wrap(fact, size, width) {
                    is_whole &= text_width(&line, size) <= width;
                    lines.push(line);
                }
            }
        }
    }
    (lines, is_whole)
}

/// The first lines alone, none too wide, the last of them with an ellipsis where there were more.
fn cut_short(mut lines: Vec<String>, most: usize, size: f64, width: f64) -> Vec<String> {
    let is_all = lines.len() <= most;
    lines.truncate(most);
    for line in &mut lines {
        *line = shorten(line, size, width);
    }
    if let Some(last) = lines.last_mut().filter(|_| !is_all) {
        let more = format!("{last} …");
        *last = match text_width(&more, size) <= width {
            true => more,
            // A hair wider than it is, so that something gives way to the ellipsis.
            false => shorten(&format!("{last}………"), size, width),
        };
    }
    lines
}

/// How large arrow and face mark are drawn: both find room one below the other, the arrow standing.
fn sign_unit(room: Bounds) -> f64 {
    (room.height() / (2.0 * ARROW + MARK.1 + 1.0))
        .min(room.width() / 40.0)
        .min(1.5)
}

/// The width of the column of signs with the room beside it.
fn signs_width(label: &Label, room: Bounds) -> f64 {
    let is_seen = label.seen.0 || label.seen.1;
    match label.grain_is_across.is_some() || is_seen {
        true => 2.0 * ARROW * sign_unit(room) + 1.0,
        false => 0.0,
    }
}

/// Arrow and face mark in a column at the right.
fn draw_signs(page: &mut Printed, label: &Label, room: Bounds) {
    let unit = sign_unit(room);
    let column = 2.0 * ARROW * unit;
    let x = room.max.x - column / 2.0;
    let mut y = room.min.y;
    if let Some(across) = label.grain_is_across {
        let (long, thick) = (2.0 * ARROW * unit, 2.0 * unit);
        let (w, h) = if across { (thick, long) } else { (long, thick) };
        let middle = Point { x, y: y + h / 2.0 };
        let axis = if across {
            Point { x: 0.0, y: 1.0 }
        } else {
            Point { x: 1.0, y: 0.0 }
        };
        page.sign(around(middle, w, h), unit, |pen| {
            grain_arrow(pen, "hs-ink", middle, axis)
        });
        y += h + unit;
    }
    if label.seen.0 || label.seen.1 {
        let (w, h) = (MARK.0 * unit, MARK.1 * unit);
        let middle = Point { x, y: y + h / 2.0 };
        page.sign(around(middle, w, h), unit, |pen| {
            // The mark reaches a little higher than it does low.
            let middle = Point {
                x: middle.x,
                y: middle.y + 0.2 * unit,
            };
            face_mark(pen, middle, label.seen);
        });
    }
}
