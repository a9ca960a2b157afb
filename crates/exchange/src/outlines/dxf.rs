//! Reads the lines and curves of a DXF file.

use heartside_geometry::math::{atan, to_degrees};
use heartside_geometry::{Point, SortedMap, Vector};

use super::curve::{Affine, Curve, arc_between, oval, spline};
use super::drawn::{Chain, Drawing, MOST_CURVES, MOST_DEPTH, Refused, broken, quoted, too_many};
use super::groups::{Group, Thing, groups};

/// More blocks than this are refused.
const MOST_BLOCKS: usize = 10_000;
/// Copies of one block in rows and columns; more is a slip of the pen.
const MOST_COPIES: f64 = 10_000.0;

/// A block: what it is made of and the point by which it is placed.
#[derive(Clone, Copy)]
struct Block<'a> {
    base: Point,
    things: &'a [Thing<'a>],
}

/// Reads a drawing.
pub(super) fn read(text: &str) -> Result<Drawing, Refused> {
    let groups = groups(text)?;
    let things = Thing::all(&groups);
    let mut reader = Reader {
        drawing: Drawing::default(),
        blocks: Vec::new(),
        named: SortedMap::new(),
    };
    let mut entities: Option<&[Thing<'_>]> = None;
    let mut at = 0;
    while at < things.len() {
        let begins = &things[at];
        at += 1;
        if begins.kind != "SECTION" {
            continue;
        }
        let inner = until(&things[at..], "ENDSEC");
        at += inner.len();
        match begins.text(2).unwrap_or_default() {
            "HEADER" => reader.drawing.unit = unit(begins.groups)?,
            "BLOCKS" => reader.blocks(inner)?,
            "ENTITIES" => entities = Some(inner),
            _ => {}
        }
    }
    let Some(entities) = entities else {
        let line = groups.last().map_or(1, |g| g.line);
        return Err(broken(line, "the file has no section of entities"));
    };
    reader.things(entities, &Affine::SAME, &[], MOST_DEPTH)?;
    Ok(reader.drawing)
}

/// The things before the next of a kind.
fn until<'a>(things: &'a [Thing<'a>], kind: &str) -> &'a [Thing<'a>] {
    let end = things.iter().position(|thing| thing.kind == kind);
    &things[..end.unwrap_or(things.len())]
}

/// Millimetres in the unit that `$INSUNITS` names; none where it names none that boards are drawn in.
fn unit(header: &[Group<'_>]) -> Result<Option<f64>, Refused> {
    let at = header.iter().position(|group| group.value == "$INSUNITS");
    let group = at.and_then(|at| header.get(at + 1));
    let Some(group) = group.filter(|group| group.code == 70) else {
        return Ok(None);
    };
    Ok(Some(match group.number()? as u32 {
        1 => 25.4,
        2 => 304.8,
        4 => 1.0,
        5 => 10.0,
        6 => 1000.0,
        9 => 0.0254,
        10 => 914.4,
        13 => 0.001,
        14 => 100.0,
        _ => return Ok(None),
    }))
}

struct Reader<'a> {
    drawing: Drawing,
    blocks: Vec<Block<'a>>,
    /// The places of blocks by their names, in small letters.
    named: SortedMap<String, usize>,
}

impl<'a> Reader<'a> {
    fn blocks(&mut self, section: &'a [Thing<'a>]) -> Result<(), Refused> {
        for (at, begins) in section.iter().enumerate() {
            if begins.kind != "BLOCK" {
                continue;
            }
            if self.blocks.len() >= MOST_BLOCKS {
                return Err(too_many(begins.line));
            }
            let name = begins.text(2).unwrap_or_default().to_lowercase();
            self.named.insert(name, self.blocks.len());
            self.blocks.push(Block {
                base: Point::new(begins.number_or(10, 0.0)?, begins.number_or(20, 0.0)?),
                things: until(&section[at + 1..], "ENDBLK"),
            });
        }
        Ok(())
    }

    /// Takes things as they are placed by `place`, in blocks on the layers `outer`, innermost first.
    fn things(
        &mut self,
        things: &[Thing<'a>],
        place: &Affine,
        outer: &[String],
        depth: usize,
    ) -> Result<(), Refused> {
        let mut at = 0;
        while let Some(&thing) = things.get(at) {
            at += 1;
            // The corners of an old polyline are things of their own.
            let corners = at;
            while matches!(things.get(at), Some(next) if matches!(next.kind, "VERTEX" | "SEQEND" | "ATTRIB"))
            {
                at += 1;
            }
            let corners = &things[corners..at];
            if thing.number_or(67, 0.0)? == 1.0 {
                self.drawing
                    .cannot_use("drawing on a sheet of paper", thing.line);
                continue;
            }
            let Some(turned) = seen_from_above(&thing)? else {
                self.drawing
                    .cannot_use("shape that is tilted out of the plane", thing.line);
                continue;
            };
            if thing.kind == "INSERT" {
                self.insert(&thing, &place.after(&turned), outer, depth)?;
                continue;
            }
            let Some((curves, closed, flat)) = self.curves(&thing, corners)? else {
                continue;
            };
            let layer = thing.text(8).unwrap_or("0");
            let mut names: Vec<String> = outer.to_vec();
            // Layer 0 in a block is the layer that the block is placed on.
            if layer != "0" || names.is_empty() {
                names.insert(0, layer.to_owned());
            }
            let mut chain = Chain {
                curves,
                closed,
                within: names[0].clone(),
                names,
                meaning: None,
                line: thing.line,
            };
            chain.map(&if flat { *place } else { place.after(&turned) });
            if !self.drawing.take(chain) {
                return Err(too_many(thing.line));
            }
        }
        Ok(())
    }

    /// The sides of a thing, whether they close, and whether they lie in the drawing's own axes
    /// rather than the thing's. None for what bounds nothing, which is told.
    fn curves(
        &mut self,
        thing: &Thing<'a>,
        corners: &[Thing<'a>],
    ) -> Result<Option<(Vec<Curve>, bool, bool)>, Refused> {
        let point = |x: i32| -> Result<Point, Refused> {
            Ok(Point::new(thing.needs(x)?, thing.needs(x + 10)?))
        };
        Ok(match thing.kind {
            "LINE" => Some((vec![Curve::line(point(10)?, point(11)?)], false, true)),
            "CIRCLE" => {
                let Some(radius) = self.radius(thing)? else {
                    return Ok(None);
                };
                let (x, y) = (Vector::new(radius, 0.0), Vector::new(0.0, radius));
                Some((oval(point(10)?, x, y, 0.0, 360.0), true, false))
            }
            "ARC" => {
                let Some(radius) = self.radius(thing)? else {
                    return Ok(None);
                };
                let (start, end) = (thing.needs(50)?, thing.needs(51)?);
                let sweep = onwards(start, end);
                let (x, y) = (Vector::new(radius, 0.0), Vector::new(0.0, radius));
                let closed = sweep == 360.0;
                Some((oval(point(10)?, x, y, start, sweep), closed, false))
            }
            "ELLIPSE" => self.ellipse(thing)?,
            "SPLINE" => self.spline(thing)?,
            "LWPOLYLINE" => {
                let closed = thing.flags(70)? & 1 == 1;
                let mut points: Vec<(Point, f64)> = Vec::new();
                for group in thing.groups {
                    match (group.code, points.last_mut()) {
                        (10, _) => points.push((Point::new(group.number()?, 0.0), 0.0)),
                        (20, Some((last, _))) => last.y = group.number()?,
                        (42, Some((_, bulge))) => *bulge = group.number()?,
                        _ => {}
                    }
                }
                Some((bulged(&points, closed), closed, false))
            }
            "POLYLINE" => {
                let flags = thing.flags(70)?;
                if flags & (16 | 64) != 0 {
                    self.drawing.cannot_use("mesh of faces", thing.line);
                    return Ok(None);
                }
                let mut points = Vec::new();
                for corner in corners.iter().filter(|c| c.kind == "VERTEX") {
                    // The frame of a smoothed line is not the line.
                    if corner.flags(70)? & 16 == 0 {
                        let at = Point::new(corner.needs(10)?, corner.needs(20)?);
                        points.push((at, corner.number_or(42, 0.0)?));
                    }
                }
                let closed = flags & 1 == 1;
                Some((bulged(&points, closed), closed, flags & 8 != 0))
            }
            other => {
                self.drawing.cannot_use(other, thing.line);
                None
            }
        })
    }

    fn radius(&mut self, thing: &Thing<'a>) -> Result<Option<f64>, Refused> {
        let radius = thing.needs(40)?;
        if radius > 0.0 {
            return Ok(Some(radius));
        }
        let message = format!("{} has a radius of {radius}", quoted(thing.kind));
        let hint = "draw it with its radius";
        self.drawing
            .say(thing.line, "drawing-radius", &message, hint);
        Ok(None)
    }

    fn ellipse(&mut self, thing: &Thing<'a>) -> Result<Option<(Vec<Curve>, bool, bool)>, Refused> {
        let centre = Point::new(thing.needs(10)?, thing.needs(20)?);
        let long = Vector::new(thing.needs(11)?, thing.needs(21)?);
        let ratio = thing.needs(40)?;
        if !(ratio > 0.0 && long.length_squared() > 0.0) {
            let message = "an ellipse has no width";
            let hint = "draw it with both axes";
            self.drawing
                .say(thing.line, "drawing-radius", message, hint);
            return Ok(None);
        }
        let from = to_degrees(thing.number_or(41, 0.0)?);
        let to = to_degrees(thing.number_or(42, core::f64::consts::TAU)?);
        let sweep = onwards(from, to);
        // Its axes are the drawing's own; only its sense of turning follows its upright.
        let below = thing.number_or(230, 1.0)? < 0.0;
        let short = if below {
            long.turned_right()
        } else {
            long.turned_left()
        } * ratio;
        Ok(Some((
            oval(centre, long, short, from, sweep),
            sweep == 360.0,
            true,
        )))
    }

    fn spline(&mut self, thing: &Thing<'a>) -> Result<Option<(Vec<Curve>, bool, bool)>, Refused> {
        let (x, y) = (thing.numbers(10)?, thing.numbers(20)?);
        let weights = thing.numbers(41)?;
        if x.is_empty() {
            let message = "a spline is given only by points that it passes through";
            let hint = "save it with its control points, or as a polyline";
            self.drawing
                .say(thing.line, "drawing-spline", message, hint);
            return Ok(None);
        }
        let mut control = Vec::new();
        for (k, (x, y)) in x.iter().zip(&y).enumerate() {
            let w = weights.get(k).copied().unwrap_or(1.0);
            control.push([x * w, y * w, w]);
        }
        let degree = thing.needs(71)?;
        let whole = if (1.0..=100.0).contains(&degree) {
            degree as usize
        } else {
            0
        };
        let fits = x.len() == y.len() && (weights.is_empty() || weights.len() == x.len());
        let Some(curves) = spline(whole, &thing.numbers(40)?, &control).filter(|_| fits) else {
            let message = "a spline cannot be read: it is of a degree above 3, or its knots, weights and points do not fit together";
            let hint = "save it as a polyline";
            self.drawing
                .say(thing.line, "drawing-spline", message, hint);
            return Ok(None);
        };
        let closed = thing.flags(70)? & 1 == 1;
        Ok(Some((curves, closed, true)))
    }

    /// The things of a block where it is placed, as often as it is.
    fn insert(
        &mut self,
        thing: &Thing<'a>,
        place: &Affine,
        outer: &[String],
        depth: usize,
    ) -> Result<(), Refused> {
        let name = thing.text(2).unwrap_or_default();
        let Some(&block) = self.named.get(&name.to_lowercase()) else {
            let message = format!("the block {} is not in the file", quoted(name));
            let hint = "save the drawing with its blocks";
            self.drawing
                .say(thing.line, "drawing-block", &message, hint);
            return Ok(());
        };
        if depth == 0 {
            let message = format!("the block {} lies within itself", quoted(name));
            return Err(broken(thing.line, &message));
        }
        let Block { base, things } = self.blocks[block];
        let columns = thing.number_or(70, 1.0)?.max(1.0).floor();
        let rows = thing.number_or(71, 1.0)?.max(1.0).floor();
        if columns * rows > MOST_COPIES {
            return Err(too_many(thing.line));
        }
        let mut layers = outer.to_vec();
        let layer = thing.text(8).unwrap_or("0");
        if layer != "0" || layers.is_empty() {
            layers.insert(0, layer.to_owned());
        }
        let at = Affine::shift(thing.needs(10)?, thing.needs(20)?)
            .after(&Affine::turn(thing.number_or(50, 0.0)?));
        let size = Affine::stretch(thing.number_or(41, 1.0)?, thing.number_or(42, 1.0)?);
        let apart = (thing.number_or(44, 0.0)?, thing.number_or(45, 0.0)?);
        for row in 0..rows as usize {
            for column in 0..columns as usize {
                let step = Affine::shift(apart.0 * column as f64, apart.1 * row as f64);
                let own = at
                    .after(&step)
                    .after(&size)
                    .after(&Affine::shift(-base.x, -base.y));
                self.things(things, &place.after(&own), &layers, depth - 1)?;
                // Nothing but blocks within blocks draws nothing, however often.
                self.drawing.curves += 1;
                if self.drawing.curves > MOST_CURVES {
                    return Err(too_many(thing.line));
                }
            }
        }
        Ok(())
    }
}

/// How a thing's own axes lie in the drawing: as they are, or mirrored where it is seen from below.
/// None where it is tilted.
fn seen_from_above(thing: &Thing<'_>) -> Result<Option<Affine>, Refused> {
    let upright = [
        thing.number_or(210, 0.0)?,
        thing.number_or(220, 0.0)?,
        thing.number_or(230, 1.0)?,
    ];
    let across = upright[0].abs().max(upright[1].abs());
    Ok(if across > 1e-6 * upright[2].abs() {
        None
    } else if upright[2] < 0.0 {
        Some(Affine::stretch(-1.0, 1.0))
    } else {
        Some(Affine::SAME)
    })
}

/// Degrees counter-clockwise from one direction on to another; a full turn where they are equal.
fn onwards(from: f64, to: f64) -> f64 {
    let sweep = (to - from) % 360.0;
    let sweep = if sweep <= 1e-9 { sweep + 360.0 } else { sweep };
    if (sweep - 360.0).abs() < 1e-9 {
        360.0
    } else {
        sweep
    }
}

/// The sides between corners; a bulge is the tangent of a quarter of the angle that a side goes round.
fn bulged(points: &[(Point, f64)], closed: bool) -> Vec<Curve> {
    let count = if closed {
        points.len()
    } else {
        points.len().saturating_sub(1)
    };
    let mut curves = Vec::new();
    for k in 0..count {
        let (from, bulge) = points[k];
        let (to, _) = points[(k + 1) % points.len()];
        curves.extend(arc_between(from, to, to_degrees(4.0 * atan(bulge))));
    }
    curves
}
