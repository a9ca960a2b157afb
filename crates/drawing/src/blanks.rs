//! Draws placed parts: the blank, the finished outline in it, and what is inscribed.

use heartside_geometry::Point;

use crate::inscription::Inscription;
use crate::laid::{Laid, extreme_corners};
use crate::pen::Pen;
use crate::svg::Origin;
use crate::zones::Sign;

/// Draws a part with what was inscribed in it, and notes the signs it uses.
pub(crate) fn draw(
    pen: &mut Pen,
    laid: &Laid,
    inscription: &Inscription,
    origin: Origin,
    selected: bool,
    corners: bool,
    sign: &mut impl FnMut(Sign),
) {
    let unit = pen.unit;
    let blank: String = laid.blank.iter().map(|r| origin.region(r)).collect();
    if selected {
        pen.path("hs-cut", &blank, 1.3, &[]);
    }
    // A leaf beneath would cover what is written on the first.
    if !laid.is_beneath {
        let class = match pen.on_photo {
            true => "hs-blank hs-veil",
            false => "hs-blank",
        };
        pen.path(class, &blank, 0.26, &[]);
    }
    sign(Sign::Blank);
    pen.path(
        "hs-finish",
        &origin.region(&laid.finished),
        0.17,
        &[1.1, 0.8],
    );
    sign(Sign::Finish);
    if !laid.shoulders.is_empty() {
        pen.path("hs-pencil", &origin.lines(&laid.shoulders), 0.2, &[]);
        sign(Sign::Shoulder);
    }
    if corners && !laid.is_square_to_board() {
        for corner in extreme_corners(laid) {
            pen.circle("hs-dot", origin.map(corner), 0.42 * unit, 0.0);
        }
        sign(Sign::Corner);
    }
    if let (Some(middle), Some(axis)) = (inscription.arrow, laid.grain) {
        grain_arrow(pen, "hs-pencil", middle, axis);
        sign(Sign::GrainArrow);
    }
    if let Some(middle) = inscription.face_mark {
        face_mark(pen, middle, laid.seen);
        sign(Sign::FaceMark);
    }
    for words in inscription.label.iter().chain(&inscription.across) {
        if pen.on_photo && words.halo.is_none() {
            pen.words(&words.clone().haloed(0.9 * unit, "hs-halo-part"));
        } else {
            pen.words(words);
        }
    }
}

/// A double arrow along the grain: it has no head and tail.
pub(crate) fn grain_arrow(pen: &mut Pen, class: &str, middle: Point, axis: Point) {
    let u = pen.unit;
    // The drawing's y runs down.
    let (ax, ay) = (axis.x, -axis.y);
    let at = |along: f64, across: f64| Point {
        x: middle.x + (ax * along - ay * across) * u,
        y: middle.y + (ay * along + ax * across) * u,
    };
    pen.line(class, at(-3.2, 0.0), at(3.2, 0.0), 0.18);
    for end in [-1.0, 1.0] {
        let head = [at(end * 2.2, 0.7), at(end * 3.2, 0.0), at(end * 2.2, -0.7)];
        let d: String = head
            .iter()
            .enumerate()
            .map(|(i, p)| {
                format!(
                    "{}{},{}",
                    if i == 0 { "M" } else { "L" },
                    crate::svg::number(p.x),
                    crate::svg::number(p.y)
                )
            })
            .collect();
        pen.path(class, &d, 0.18, &[]);
    }
}

/// The looped face mark, whole where a seen face lies up, broken where only the one underneath is seen.
pub(crate) fn face_mark(pen: &mut Pen, middle: Point, seen: (bool, bool)) {
    let u = pen.unit;
    let n = |dx: f64, dy: f64| {
        format!(
            "{},{}",
            crate::svg::number(middle.x + dx * u),
            crate::svg::number(middle.y + dy * u)
        )
    };
    let d = format!(
        "M{}C{} {} {}S{} {}S{} {}",
        n(1.4, 1.2),
        n(0.2, 0.6),
        n(-1.4, 0.2),
        n(-1.3, -0.6),
        n(-0.1, -1.6),
        n(0.3, -0.7),
        n(-0.4, 0.9),
        n(-1.5, 1.2)
    );
    let dash: &[f64] = if seen.0 { &[] } else { &[0.6, 0.5] };
    pen.path("hs-ink", &d, 0.22, dash);
}
