//! The legend: only the signs that a drawing uses, each with what it means.

use heartside_geometry::{Bounds, Point, Region, SortedSet};

use crate::blanks::{face_mark, grain_arrow};
use crate::pen::{Pen, Words};
use crate::svg::number;
use crate::text::text_width;
use crate::zones::Sign;

/// What a sign means.
fn meaning(sign: Sign) -> &'static str {
    match sign {
        Sign::Blank => "blank, rough size",
        Sign::Finish => "finished outline",
        Sign::Shoulder => "tenon shoulder",
        Sign::GrainArrow => "grain",
        Sign::FaceMark => "seen face up (broken: underneath)",
        Sign::Kerf => "cut with its number",
        Sign::Offcut => "offcut to keep",
        Sign::Raw => "raw edge or end",
        Sign::Straight => "straight edge",
        Sign::Defect => "defect",
        Sign::Sapwood => "sapwood",
        Sign::Fixing => "old fixing",
        Sign::Figure => "figure",
        Sign::Underneath => "broken line: underneath",
        Sign::Margin => "distance kept",
        Sign::Chalk => "chalk line",
        Sign::Corner => "corner to mark",
    }
}

/// Draws the legend of the signs that occur, in rows; returns its height.
pub(crate) fn legend(pen: &mut Pen, signs: &SortedSet<Sign>, at: Point, width: f64) -> f64 {
    let u = pen.unit;
    let (size, swatch, row) = (2.3 * u, 7.0 * u, 4.6 * u);
    let (mut x, mut y) = (at.x, at.y + row / 2.0);
    for sign in signs {
        let long = swatch + 1.4 * u + text_width(meaning(*sign), size) + 4.5 * u;
        if x > at.x && x + long > at.x + width {
            x = at.x;
            y += row;
        }
        pen.open("", "", meaning(*sign), "");
        draw_swatch(
            pen,
            *sign,
            Point {
                x: x + swatch / 2.0,
                y,
            },
        );
        pen.words(&Words::starting(
            meaning(*sign),
            "hs-quiet",
            Point {
                x: x + swatch + 1.4 * u,
                y,
            },
            size,
        ));
        pen.close();
        x += long;
    }
    if signs.is_empty() {
        0.0
    } else {
        y + row / 2.0 - at.y
    }
}

fn draw_swatch(pen: &mut Pen, sign: Sign, middle: Point) {
    let u = pen.unit;
    let (w, h) = (7.0 * u, 3.2 * u);
    let own = Bounds {
        min: Point {
            x: middle.x - w / 2.0,
            y: middle.y - h / 2.0,
        },
        max: Point {
            x: middle.x + w / 2.0,
            y: middle.y + h / 2.0,
        },
    };
    let across = |pen: &mut Pen, class: &str, width: f64, dash: &[f64]| {
        let d = format!(
            "M{},{}H{}",
            number(own.min.x),
            number(middle.y),
            number(own.max.x)
        );
        pen.path(class, &d, width, dash);
    };
    let zone = |pen: &mut Pen, kind| {
        if let Some(shape) = Region::rectangle(Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point { x: w, y: h },
        }) {
            let zone = heartside_timber::job::Zone {
                index: 0,
                kind,
                shape,
                face: heartside_timber::document::ZoneFace::Through,
                depth: f64::INFINITY,
                sound: false,
                margin: 0.0,
                clear_of: heartside_timber::document::ClearOf::Blank,
                stops: heartside_timber::document::Stops::All,
                material: heartside_timber::document::FixingMaterial::Unknown,
                buried: None,
                drawn_before_planing: false,
                weight: 0.0,
                note: String::new(),
            };
            crate::zones::draw(pen, &zone, crate::svg::Origin::at(own.min.x, own.max.y));
        }
    };
    match sign {
        Sign::Blank => pen.rect("hs-blank", own, 0.0, 0.26),
        Sign::Finish => across(pen, "hs-finish", 0.2, &[1.1, 0.8]),
        Sign::Shoulder => {
            let x = middle.x;
            pen.line(
                "hs-pencil",
                Point { x, y: own.min.y },
                Point { x, y: own.max.y },
                0.2,
            );
            pen.rect("hs-finish", own, 0.0, 0.17);
        }
        Sign::GrainArrow => grain_arrow(pen, "hs-pencil", middle, Point { x: 1.0, y: 0.0 }),
        Sign::FaceMark => face_mark(pen, middle, (true, false)),
        Sign::Kerf => {
            across(pen, "hs-cut", 0.35, &[]);
            pen.circle("hs-bubble", middle, 1.4 * u, 0.24);
        }
        Sign::Offcut => {
            let (long, high) = (number(2.0 * u), number(1.1 * u));
            let (left, right) = (number(own.min.x), number(own.max.x));
            let (top, foot) = (number(own.min.y), number(own.max.y));
            let d = format!(
                "M{left},{top}m0,{high}v-{high}h{long}M{right},{top}m0,{high}v-{high}h-{long}\
                 M{left},{foot}m0,-{high}v{high}h{long}M{right},{foot}m0,-{high}v{high}h-{long}"
            );
            pen.path("hs-pencil", &d, 0.28, &[]);
        }
        Sign::Raw => {
            across(pen, "hs-edge", 0.38, &[]);
            let mut d = String::new();
            for k in 0..4 {
                let x = own.min.x + (f64::from(k) + 0.5) * w / 4.0;
                d.push_str(&format!(
                    "M{},{}l{},{}",
                    number(x),
                    number(middle.y),
                    number(-0.6 * u),
                    number(1.1 * u)
                ));
            }
            pen.path("hs-bark", &d, 0.16, &[]);
        }
        Sign::Straight => across(pen, "hs-edge", 0.38, &[]),
        Sign::Defect => zone(pen, heartside_timber::document::ZoneKind::Defect),
        Sign::Sapwood => zone(pen, heartside_timber::document::ZoneKind::Sapwood),
        Sign::Fixing => zone(pen, heartside_timber::document::ZoneKind::Fixing),
        Sign::Figure => zone(pen, heartside_timber::document::ZoneKind::Figure),
        Sign::Underneath => across(pen, "hs-zone", 0.24, &[1.0, 0.7]),
        Sign::Margin => across(pen, "hs-zone", 0.14, &[0.7, 0.7]),
        Sign::Chalk => across(pen, "hs-pencil", 0.16, &[3.0, 0.8, 0.5, 0.8]),
        Sign::Corner => pen.circle("hs-dot", middle, 0.42 * u, 0.0),
    }
}
