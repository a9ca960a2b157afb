//! A drawing as it is seen: its lines and points as SVG in the floor's units, and what is said of it.

use std::fmt::Write;

use heartside_geometry::{Point, Side};
use heartside_timber::length::{DisplayUnits, write_length};

use super::line::What;
use super::sketch::Sketch;
use super::sound::{Fault, sound};
use super::typed::Typed;
use crate::protocol::{DrawWay, DrawWhat, Drawing};

/// Sizes in pixels, whatever the zoom.
const POINT: f64 = 5.0;
const MIDDLE: f64 = 3.5;
const WRONG: f64 = 14.0;
/// The middle of a shorter side lies too near its ends to be taken hold of.
const LEAST_SIDE: f64 = 44.0;

/// What is seen of a sketch on a board whose frame lies at `origin` of the floor.
pub(super) fn shown(sketch: &Sketch, on: String, origin: Point, units: &DisplayUnits) -> Drawing {
    let lines = &sketch.figure.lines;
    let is_open = sketch.open_line().is_some();
    let checks = !is_open && !lines.is_empty() && sketch.what != What::Grain;
    let fault = checks.then(|| sound(sketch.what, lines).err()).flatten();
    let (labels, now) = numbers(sketch, units);
    let about = match sketch.typed() {
        Typed::Place(place) => place.map(|(l, k)| lines[l].nodes[k].at),
        Typed::Side(from, of) => Some(of.map_or(from, |(l, k)| lines[l].nodes[k].at)),
        Typed::Oval(l) => lines[l].oval_box().map(|b| b.max),
    };
    Drawing {
        what: match sketch.what {
            What::Wood => DrawWhat::Outline,
            What::Area => DrawWhat::Area,
            What::Grain => DrawWhat::Grain,
        },
        way: sketch.way,
        on,
        svg: svg(sketch, origin, fault.as_ref()),
        wrong: fault.is_some(),
        sentence: fault
            .map(|f| f.sentence)
            .or_else(|| sketch.told.clone())
            .unwrap_or_else(|| guidance(sketch, is_open).to_owned()),
        labels: labels.map(str::to_owned).to_vec(),
        now,
        at: about.map(|at| [origin.x + at.x, origin.y - at.y]),
        open: is_open,
        chosen: sketch.figure.chosen.is_some(),
        back: sketch.can_go(true),
        forward: sketch.can_go(false),
        snaps: sketch.snaps,
    }
}

fn numbers(sketch: &Sketch, units: &DisplayUnits) -> ([&'static str; 2], Vec<String>) {
    let length = |mm: f64| write_length(mm, units);
    let now = sketch.numbers();
    let (labels, second): (_, fn(f64) -> Option<String>) = match sketch.typed() {
        Typed::Place(_) => (["Along", "Across"], |_| None),
        Typed::Oval(_) => (["Length", "Width"], |_| None),
        Typed::Side(..) => (["Length", "Angle"], |degrees| {
            Some(format!("{degrees:.1}\u{b0}"))
        }),
    };
    let words = now.map(|[a, b]| vec![length(a), second(b).unwrap_or_else(|| length(b))]);
    (labels, words.unwrap_or_default())
}

fn guidance(sketch: &Sketch, is_open: bool) -> &'static str {
    let is_grain = sketch.what == What::Grain;
    match (sketch.way, is_open) {
        (DrawWay::Freehand, _) if is_grain => "Draw along the grain, one stroke a line.",
        (DrawWay::Freehand, false) if sketch.figure.lines.is_empty() => {
            "Draw all the way round, and end where you began."
        }
        (DrawWay::Freehand, true) => "Draw on, tap the next point, or close the line.",
        (DrawWay::Oval, false) => "Drag from one corner of the oval to the other.",
        (DrawWay::FromMiddle, false) => "Drag from the middle of the oval outwards.",
        (_, true) if is_grain => {
            "Tap the next point along the grain; tap the last one again to end the line."
        }
        (_, true) => "Tap the next point, or type it. Tap the first one to close the line.",
        _ if sketch.begins || sketch.figure.lines.is_empty() => match sketch.what {
            What::Wood if sketch.figure.lines.is_empty() => {
                "Tap the first corner, or type its place."
            }
            What::Wood => "Tap the first point of the hole.",
            What::Area => "Tap its first point, or type its place.",
            What::Grain => "Tap along a line of the grain, or draw it freehand.",
        },
        _ => {
            "Drag points where they belong, or the middle of a side to bow it. Tap a side for another point."
        }
    }
}

fn svg(sketch: &Sketch, origin: Point, fault: Option<&Fault>) -> String {
    let pixel = sketch.pixel();
    let mut out = String::from("<g class=\"drawing-out\">");
    let mut path = String::new();
    for line in &sketch.figure.lines {
        let points = line.points(sketch.what, Side::Outside);
        let closes = line.finished && sketch.what != What::Grain;
        path_into(&mut path, origin, &points, closes);
    }
    path_into(&mut path, origin, sketch.stroke(), false);
    let shade = if sketch.what == What::Grain {
        ""
    } else {
        " is-area"
    };
    let _ = write!(out, "<path class=\"draw-line{shade}\" d=\"{path}\"/>");
    let open = sketch
        .open_line()
        .and_then(|l| sketch.figure.lines[l].nodes.last());
    if let (Some(last), Some(hover)) = (open, sketch.hover) {
        path.clear();
        path_into(&mut path, origin, &[last.at, hover], false);
        let _ = write!(out, "<path class=\"draw-next\" d=\"{path}\"/>");
    }
    let mut dot = |class: &str, at: Point, pixels: f64, name: &str| {
        let (x, y, r) = (origin.x + at.x, origin.y - at.y, pixels * pixel);
        let _ = write!(
            out,
            "<circle class=\"{class}\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{r:.2}\"{name}/>"
        );
    };
    for (l, line) in sketch.figure.lines.iter().enumerate() {
        for k in 0..line.sides(sketch.what) {
            let (a, b) = line.side(k);
            if a.distance(b) > LEAST_SIDE * pixel && line.nodes[k].stroke.is_empty() {
                dot("draw-middle", line.middle(k), MIDDLE, "");
            }
        }
        for (k, node) in line.nodes.iter().enumerate() {
            let class = match sketch.figure.chosen == Some((l, k)) {
                true => "draw-point is-chosen",
                false => "draw-point",
            };
            dot(class, node.at, POINT, &format!(" data-point=\"{l}.{k}\""));
        }
    }
    if let Some(hover) = sketch.hover {
        dot("draw-point is-next", hover, POINT, "");
    }
    if let Some(at) = fault.and_then(|f| f.at) {
        dot("draw-wrong", at, WRONG, "");
    }
    out.push_str("</g>");
    out
}

fn path_into(path: &mut String, origin: Point, points: &[Point], closes: bool) {
    for (k, p) in points.iter().enumerate() {
        let command = if k == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{command}{:.2} {:.2}", origin.x + p.x, origin.y - p.y);
    }
    if closes && !points.is_empty() {
        path.push('Z');
    }
}
