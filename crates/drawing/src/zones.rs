//! Marked areas: each kind has its own hatch and its word, so that colour is never needed.

use heartside_cutting::zone_words;
use heartside_geometry::{Bounds, Point, math, offset};
use heartside_timber::document::{ZoneFace, ZoneKind};
use heartside_timber::job::{Board, Zone};

use crate::hatch::{dots, hatch};
use crate::pen::Pen;
use crate::svg::Origin;

/// A hatch or sign that a drawing uses and its legend explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Sign {
    Blank,
    Finish,
    Shoulder,
    GrainArrow,
    FaceMark,
    Kerf,
    Offcut,
    Raw,
    Straight,
    Defect,
    Sapwood,
    Fixing,
    Figure,
    Underneath,
    Margin,
    Chalk,
    Corner,
}

/// The sign of a zone's kind.
pub(crate) fn sign(kind: ZoneKind) -> Sign {
    match kind {
        ZoneKind::Defect => Sign::Defect,
        ZoneKind::Sapwood => Sign::Sapwood,
        ZoneKind::Fixing => Sign::Fixing,
        ZoneKind::Figure => Sign::Figure,
    }
}

/// True for zones that lie under the parts: they never keep a blank away altogether.
pub(crate) fn lies_under_parts(zone: &Zone) -> bool {
    matches!(zone.kind, ZoneKind::Sapwood | ZoneKind::Figure)
}

/// "knot", "sapwood, underneath".
pub(crate) fn words(zone: &Zone) -> String {
    let word = zone_words(zone);
    if zone.face == ZoneFace::Down {
        format!("{word}, underneath")
    } else {
        word
    }
}

/// Draws one zone: hatch, outline and margin. On the down face: outline and margin dashed, a thinner hatch.
pub(crate) fn draw(pen: &mut Pen, zone: &Zone, origin: Origin) {
    let unit = pen.unit;
    let underneath = zone.face == ZoneFace::Down;
    let outline = origin.region(&zone.shape);
    let dash: &[f64] = if underneath { &[1.0, 0.7] } else { &[] };
    let wide = if underneath { 1.8 } else { 1.0 };
    // What is marked shall be seen in the photograph.
    let ground = match pen.on_photo {
        true => "hs-zone-wash",
        false => "hs-zone-ground",
    };
    match zone.kind {
        ZoneKind::Defect => {
            pen.path(ground, &outline, 0.0, &[]);
            for angle in [45.0, -45.0] {
                pen.fine_path(
                    "hs-zone",
                    &origin.lines(&hatch(&zone.shape, angle, 0.95 * wide * unit)),
                    0.13,
                    &[],
                );
            }
            pen.path("hs-zone", &outline, 0.24, dash);
        }
        ZoneKind::Sapwood => {
            dotted(pen, zone, origin, wide);
            // Along an edge a casing would cover the edge.
            pen.fine_path("hs-zone", &outline, 0.12, &[0.5, 0.9]);
        }
        ZoneKind::Fixing => {
            pen.path(ground, &outline, 0.0, &[]);
            pen.path("hs-zone", &outline, 0.24, dash);
            let middle = zone.shape.bounds().centre();
            // Never so small that the cross is lost.
            let radius = (zone
                .shape
                .bounds()
                .width()
                .min(zone.shape.bounds().height())
                / 2.0)
                .max(1.25 * unit);
            pen.circle("hs-zone", origin.map(middle), radius, 0.24);
            let reach = radius * 0.707;
            let cross = [
                (
                    Point {
                        x: middle.x - reach,
                        y: middle.y - reach,
                    },
                    Point {
                        x: middle.x + reach,
                        y: middle.y + reach,
                    },
                ),
                (
                    Point {
                        x: middle.x - reach,
                        y: middle.y + reach,
                    },
                    Point {
                        x: middle.x + reach,
                        y: middle.y - reach,
                    },
                ),
            ];
            pen.path("hs-zone", &origin.lines(&cross), 0.24, dash);
        }
        ZoneKind::Figure => {
            pen.fine_path("hs-zone", &waves(zone, origin, unit * wide), 0.13, &[]);
            pen.path("hs-zone", &outline, 0.12, &[2.0, 0.8, 0.3, 0.8]);
        }
    }
    if zone.margin > 0.0 {
        let grown: String = offset(&zone.shape, zone.margin, 0.05)
            .iter()
            .map(|r| origin.region(r))
            .collect();
        pen.path("hs-zone", &grown, 0.14, &[0.7, 0.7]);
    }
}

fn dotted(pen: &mut Pen, zone: &Zone, origin: Origin, wide: f64) {
    let unit = pen.unit;
    let mut d = String::new();
    for dot in dots(&zone.shape, 1.25 * wide * unit) {
        let p = origin.map(dot);
        // A stroke of no length with round ends is a dot, and far shorter to write than a circle.
        d.push_str(&format!(
            "M{},{}h0",
            crate::svg::number(p.x),
            crate::svg::number(p.y)
        ));
    }
    pen.fine_path("hs-zone", &d, 0.42, &[]);
}

/// Gentle waves across a zone.
fn waves(zone: &Zone, origin: Origin, unit: f64) -> String {
    let mut d = String::new();
    let step = 0.8 * unit;
    for (a, b) in hatch(&zone.shape, 0.0, 1.6 * unit) {
        let count = (((b.x - a.x) / step).ceil() as usize).clamp(2, 400);
        let points: Vec<Point> = (0..=count)
            .map(|place| {
                let x = a.x + (b.x - a.x) * place as f64 / count as f64;
                Point {
                    x,
                    y: a.y + 0.35 * unit * math::sin_cos_deg(x / unit * 75.0).0,
                }
            })
            .collect();
        d.push_str(&origin.chain(&points));
    }
    d
}

/// The box of a zone with its sign and margin, in the board's frame.
pub(crate) fn reach(zone: &Zone, unit: f64) -> Bounds {
    let bounds = zone.shape.bounds();
    let least = if zone.kind == ZoneKind::Fixing {
        1.3 * unit
    } else {
        0.0
    };
    let middle = bounds.centre();
    let sign = Bounds {
        min: middle,
        max: middle,
    }
    .grown(least);
    bounds.grown(zone.margin).union(sign)
}

/// The order in which zones are drawn: those under the parts first, then as listed.
pub(crate) fn of(board: &Board, under_parts: bool) -> impl Iterator<Item = &Zone> {
    board
        .zones
        .iter()
        .filter(move |z| lies_under_parts(z) == under_parts)
}
