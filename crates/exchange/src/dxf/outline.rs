//! The true outline of a part: with its arcs, where the document tells them.

use heartside_geometry::{
    ArcSide, FLATTEN_TOLERANCE, Point, Region, Ring, Side, Vector, flatten_arc_sided,
};
use heartside_timber::document::{Document, Length, Shape};
use heartside_timber::expression::Expression;
use heartside_timber::job::{Job, Part};

/// A job's outline is flattened outwards by at most the tolerance; a shape that is further off is another one.
const SAME: f64 = 2.0 * FLATTEN_TOLERANCE;

/// A part's outline in its own frame.
pub(super) enum Outline {
    /// Corner by corner.
    Corners(Region),
    /// Corners with the bulge of the side behind each: the tangent of a quarter of its arc, positive where it
    /// runs counter-clockwise; and straight-sided holes.
    Arcs {
        outer: Vec<(Point, f64)>,
        holes: Vec<Ring>,
    },
    /// A disc or an ellipse, its lower left corner at (0, 0).
    Oval { length: f64, width: f64 },
}

impl Outline {
    /// The outline of a part as the document has it, if its shape is the one that the job has; else the job's.
    pub(super) fn of(job: &Job, document: &Document, part: &Part) -> Outline {
        let source = document.parts.iter().find(|source| source.id == part.id);
        source
            .and_then(|source| curved(job, document, part, source.shape.as_ref()?))
            .unwrap_or_else(|| Outline::Corners(part.outline.clone()))
    }
}

fn curved(job: &Job, document: &Document, part: &Part, shape: &Shape) -> Option<Outline> {
    let size = |length: &Length| match length {
        Length::Expr { expr } => {
            let expression = Expression::read(expr, document.units.length).ok()?;
            let named = |name: &str| {
                let known = job.dimensions.iter().find(|d| d.value.name == name);
                known.map(|d| d.value.value)
            };
            expression.value(&named).ok()
        }
        plain => plain.plain_mm(),
    };
    match shape {
        Shape::Disc { diameter } => {
            let across = size(diameter)?;
            oval(part, across, across)
        }
        Shape::Ellipse { length, width } => oval(part, size(length)?, size(width)?),
        Shape::ArcSided { points, swells, .. } if !swells.is_empty() => {
            let mut sides = Vec::with_capacity(points.len());
            for (place, [x, y]) in points.iter().enumerate() {
                sides.push(ArcSide {
                    from: Point::new(size(x)?, size(y)?),
                    bulge: swells.get(place).map_or(Some(0.0), size)?,
                });
            }
            arc_sided(part, &sides)
        }
        _ => None,
    }
}

fn oval(part: &Part, length: f64, width: f64) -> Option<Outline> {
    let is_same = (part.length() - length).abs() <= SAME && (part.width() - width).abs() <= SAME;
    is_same.then_some(Outline::Oval { length, width })
}

fn arc_sided(part: &Part, sides: &[ArcSide]) -> Option<Outline> {
    // Moved as the job moved what it made of it.
    let flat = flatten_arc_sided(sides, FLATTEN_TOLERANCE, Side::Outside).ok()?;
    let outer = part.outline.outer();
    let gap = flat.signed_area().abs() - outer.signed_area().abs();
    if gap.abs() > 1e-6 * outer.signed_area().abs() {
        return None;
    }
    let low = flat.bounds().min;
    let by = Vector::new(-low.x, -low.y);
    let outwards = if shoelace(sides) < 0.0 { -1.0 } else { 1.0 };
    let count = sides.len();
    let corners = (0..count).map(|place| {
        let (side, next) = (sides[place], sides[(place + 1) % count]);
        let chord = side.from.distance(next.from);
        // The tangent of a quarter of the arc is its height over half its chord.
        let bulge = if chord > 0.0 {
            2.0 * side.bulge / chord
        } else {
            0.0
        };
        (side.from + by, outwards * bulge)
    });
    Some(Outline::Arcs {
        outer: corners.collect(),
        holes: part.outline.holes().to_vec(),
    })
}

/// Twice the area between the corners, negative where they run clockwise.
fn shoelace(sides: &[ArcSide]) -> f64 {
    let next = sides.iter().cycle().skip(1);
    let pairs = sides.iter().zip(next);
    pairs
        .map(|(a, b)| a.from.x * b.from.y - b.from.x * a.from.y)
        .sum()
}
