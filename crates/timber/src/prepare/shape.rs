//! Finished outlines of parts.

use heartside_geometry::flatten::{
    ArcSide, Ellipse, FLATTEN_TOLERANCE, FlattenError, Side, flatten_arc_sided, flatten_ellipse,
};
use heartside_geometry::{Bounds, Point, Region, Ring, Vector};

use super::outline::{corners, hole_rings, region, ring};
use super::reading::{Reading, Thing, Wanted};
use crate::document::{Length, Shape};
use crate::job::Form;

/// A sound outline with the lower left corner of its bounds at (0, 0), and what it was
/// entered as.
pub(super) struct Finished {
    pub(super) outline: Region,
    pub(super) form: Form,
}

/// Flattens a shape outwards, with tenons of the given lengths at its start and end.
pub(super) fn finished(
    shape: &Shape,
    tenon: (f64, f64),
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Finished> {
    let mut size = |field: &str, what: &str, length: &Length| {
        reading.length(
            thing.field(&format!("shape.{field}")),
            what,
            length,
            Wanted::SIZE,
        )
    };
    match shape {
        Shape::Rectangle { length, width } => {
            let length = size("length", "length", length);
            let width = size("width", "width", width);
            let length = tenon.0 + length? + tenon.1;
            let bounds = Bounds::of_size(length, width?);
            sound(Region::rectangle(bounds), Form::Rectangle, thing, reading)
        }
        Shape::Taper {
            length,
            start_width,
            end_width,
            both_sides,
        } => {
            let length = size("length", "length", length);
            let start = size("start_width", "width at the start", start_width);
            let end = size("end_width", "width at the end", end_width);
            let (start, end) = (start?, end?);
            let points = taper(tenon, length?, start, end, *both_sides);
            let outline = Ring::new(points).ok().map(Region::from_ring);
            sound(outline, Form::Taper(start, end), thing, reading)
        }
        Shape::Disc { diameter } => {
            let diameter = size("diameter", "diameter", diameter)?;
            refuse_tenon(tenon, thing, reading)?;
            round(diameter, diameter, thing, reading)
        }
        Shape::Ellipse { length, width } => {
            let length = size("length", "length", length);
            let width = size("width", "width", width);
            refuse_tenon(tenon, thing, reading)?;
            round(length?, width?, thing, reading)
        }
        Shape::ArcSided {
            points,
            swells,
            holes,
        } => {
            let outer = arc_sided(points, swells, thing, reading);
            let holes = hole_rings(holes, "shape.holes", thing, reading);
            refuse_tenon(tenon, thing, reading)?;
            let outline = region(outer?, holes?, thing.field("shape"), reading)?;
            Some(Finished {
                outline: at_origin(outline),
                form: Form::Free,
            })
        }
        Shape::Polygon { points, holes } => {
            let points = corners(points, "shape.points", thing, reading);
            let holes = hole_rings(holes, "shape.holes", thing, reading);
            refuse_tenon(tenon, thing, reading)?;
            let outer = ring(points?, thing.field("shape.points"), "outline", reading)?;
            let outline = region(outer, holes?, thing.field("shape"), reading)?;
            Some(Finished {
                outline: at_origin(outline),
                form: Form::Free,
            })
        }
    }
}

/// Corners of a taper, its tenons as wide as the end they stand at.
fn taper(
    (start_tenon, end_tenon): (f64, f64),
    length: f64,
    start: f64,
    end: f64,
    both_sides: bool,
) -> Vec<Point> {
    let widest = start.max(end);
    let low = |width: f64| {
        if both_sides {
            (widest - width) / 2.0
        } else {
            0.0
        }
    };
    let (a, b) = (start_tenon, start_tenon + length);
    let far = b + end_tenon;
    let mut points = vec![
        Point {
            x: 0.0,
            y: low(start),
        },
        Point {
            x: a,
            y: low(start),
        },
        Point { x: b, y: low(end) },
        Point {
            x: far,
            y: low(end),
        },
        Point {
            x: far,
            y: low(end) + end,
        },
        Point {
            x: b,
            y: low(end) + end,
        },
        Point {
            x: a,
            y: low(start) + start,
        },
        Point {
            x: 0.0,
            y: low(start) + start,
        },
    ];
    points.dedup();
    points
}

fn round(length: f64, width: f64, thing: &Thing, reading: &mut Reading<'_>) -> Option<Finished> {
    let centre = Point {
        x: length / 2.0,
        y: width / 2.0,
    };
    let ellipse = Ellipse {
        centre,
        radius_x: length / 2.0,
        radius_y: width / 2.0,
        turn: 0.0,
    };
    let outline = flatten_ellipse(&ellipse, FLATTEN_TOLERANCE, Side::Outside).ok();
    sound(outline.map(Region::from_ring), Form::Round, thing, reading)
}

fn arc_sided(
    points: &[[Length; 2]],
    swells: &[Length],
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Ring> {
    let corners = corners(points, "shape.points", thing, reading);
    if swells.len() > points.len() {
        reading.warn(
            "swells-too-many",
            thing.field("shape.swells"),
            "more sides swell than the shape has",
            "remove the last ones",
        );
    }
    let before = reading.errors();
    let mut bulges = Vec::with_capacity(points.len());
    for row in 0..points.len() {
        let bulge = swells.get(row).map_or(Some(0.0), |swell| {
            let what = format!("swell of side {}", row + 1);
            reading.length(
                thing.field(&format!("shape.swells[{row}]")),
                &what,
                swell,
                Wanted::PLACE,
            )
        });
        bulges.extend(bulge);
    }
    let corners = corners?;
    if reading.errors() > before {
        return None;
    }
    let sides: Vec<ArcSide> = corners
        .iter()
        .zip(bulges)
        .map(|(&from, bulge)| ArcSide { from, bulge })
        .collect();
    match flatten_arc_sided(&sides, FLATTEN_TOLERANCE, Side::Outside) {
        Ok(ring) => Some(ring),
        Err(FlattenError::Unsound(faults)) => {
            // The numbers of flattened sides mean nothing to a person; the place does.
            let at = faults.0.iter().find_map(|fault| match fault {
                heartside_geometry::RingFault::Crossing { at, .. }
                | heartside_geometry::RingFault::Overlap { at, .. } => Some(*at),
                _ => None,
            });
            let message = match at {
                Some(at) => format!(
                    "the outline crosses itself near ({:.1}, {:.1}) mm",
                    at.x, at.y
                ),
                None => "the outline encloses no area".to_owned(),
            };
            let hint = "check the corners, and make the swells smaller";
            reading.error(
                "outline-crosses-itself",
                thing.field("shape"),
                message,
                hint,
            );
            None
        }
        Err(error) => {
            let hint = "check the corners and swells";
            reading.error(
                "shape-not-drawable",
                thing.field("shape"),
                error.to_string(),
                hint,
            );
            None
        }
    }
}

fn sound(
    outline: Option<Region>,
    form: Form,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Finished> {
    if outline.is_none() {
        reading.error(
            "shape-not-drawable",
            thing.field("shape"),
            "the shape is too small or too large to be drawn",
            "check its sizes",
        );
    }
    outline.map(|outline| Finished { outline, form })
}

/// Tenons stand at the straight ends of rectangles and tapers; elsewhere they belong to
/// the drawn outline.
fn refuse_tenon(tenon: (f64, f64), thing: &Thing, reading: &mut Reading<'_>) -> Option<()> {
    if tenon == (0.0, 0.0) {
        return Some(());
    }
    reading.error(
        "tenon-on-free-shape",
        thing.field("tenon"),
        "tenons can only be added to rectangles and tapers",
        "draw the tenon as a part of the outline",
    );
    None
}

fn at_origin(region: Region) -> Region {
    let low = region.bounds().min;
    if low.x == 0.0 && low.y == 0.0 {
        region
    } else {
        region.translated(Vector::new(-low.x, -low.y))
    }
}
